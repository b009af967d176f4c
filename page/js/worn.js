/** A pair hung side by side, a band rolled up: flat pictures of the piece as it is worn. */
import { html, nothing } from "../vendor/lit-html.js";
import { ask, bench, redraw } from "./store.js";
import { t } from "./words.js";
import { panel } from "./panels.js";
import { picture } from "./metal.js";

/** @type {{box: string, says: string, paths: {d: string, kind?: string}[]}} */
const w = { box: "", says: "", paths: [] };

panel("worn", { title: "open.worn", lead: () => w.says, view: wornPanel, enter: () => void look() });

async function look() {
	const answer = await ask({ ask: "worn" });
	w.says = answer.ok ? "" : (answer.faults?.[0]?.says ?? "");
	const picture = new DOMParser().parseFromString(answer.svg ?? "<svg/>", "image/svg+xml").documentElement;
	w.box = picture.getAttribute("viewBox") ?? "0 0 1 1";
	w.paths = [...picture.querySelectorAll("path")].map((p) => ({ d: p.getAttribute("d") ?? "", kind: p.matches(".far") ? "metal flat far" : undefined }));
	redraw();
}

/** Only pairs and bands look different when worn. */
export function canBeWorn() {
	return /^\s*pair\s*=\s*true/m.test(bench.text) || /^\s*shape\s*=\s*"band"/m.test(bench.text);
}

function wornPanel() {
	return html`${w.paths.length ? picture(w.box, w.paths, t("open.worn")) : nothing}`;
}
