/** A pair hung side by side, a band rolled up: flat pictures of the piece as it is worn. */
import { html, nothing, svg } from "../vendor/lit-html.js";
import { ask, bench, redraw } from "./store.js";
import { t } from "./words.js";
import { panel } from "./panels.js";
import { metalNow } from "./metal.js";

/** @type {{box: string, says: string, paths: {d: string, kind: string}[]}} */
const w = { box: "", says: "", paths: [] };

panel("worn", { enter: () => void look() });

async function look() {
	const answer = await ask({ ask: "worn" });
	w.says = answer.ok ? "" : (answer.faults?.[0]?.says ?? "");
	const picture = new DOMParser().parseFromString(answer.svg ?? "<svg/>", "image/svg+xml").documentElement;
	w.box = picture.getAttribute("viewBox") ?? "0 0 1 1";
	w.paths = [...picture.querySelectorAll("path")].map((p) => ({ d: p.getAttribute("d") ?? "", kind: p.getAttribute("class") ?? "" }));
	redraw();
}

/** Only pairs and bands look different when worn. */
export function canBeWorn() {
	return /^\s*pair\s*=\s*true/m.test(bench.text) || /^\s*shape\s*=\s*"band"/m.test(bench.text);
}

export function wornPanel() {
	return html`<h2 id="panel-title">${t("worn.open")}</h2>
		<p class="lead">${w.says || t("worn.lead")}</p>
		${
			w.paths.length
				? html`<svg class="worn" data-metal=${metalNow()} viewBox=${w.box} role="img" aria-label=${t("worn.open")}>
						${w.paths.map((p) => svg`<path class=${p.kind === "far" ? "metal flat far" : "metal flat"} fill-rule="evenodd" d=${p.d}></path>`)}
					</svg>`
				: nothing
		}`;
}
