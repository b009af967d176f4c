/** Life size: a card held to the screen tells how large its pixels are. */
import { html } from "../vendor/lit-html.js";
import { redraw } from "./store.js";
import { t } from "./words.js";
import { closePanel, openPanel, panel } from "./panels.js";
import { CARD, lifeScale, setLifeScale, toLife } from "./view.js";

const life = { pixels: 0 };

panel("life", { title: "tools.life", view: lifePanel, enter: () => (life.pixels = Math.round((lifeScale() ?? 96 / 25.4) * CARD)) });

/** Straight to life size when a card was held up before; else the card first. */
export function lifeSize() {
	if (!toLife()) openPanel("life");
}

function lifePanel() {
	return html`<svg class="card-shape" width=${life.pixels} height=${(life.pixels * 53.98) / CARD} role="img" aria-label=${t("life.card")}>
			<rect x="1" y="1" rx="12" width=${Math.max(2, life.pixels - 2)} height=${Math.max(2, (life.pixels * 53.98) / CARD - 2)}></rect>
		</svg>
		<label class="line life">${t("life.long")}
			<input type="range" min="160" max="900" step="1" .value=${String(life.pixels)} @input=${set} />
			<input type="text" inputmode="numeric" aria-label=${t("life.pixels")} .value=${String(life.pixels)} @change=${set} /></label>
		<div class="row end"><button class="do" data-do="life" @click=${done}>${t("life.do")}</button></div>`;
}

/** @param {any} e */
function set(e) {
	const v = Number(e.target.value);
	if (v >= 100 && v <= 2000) life.pixels = v;
	redraw();
}

function done() {
	setLifeScale(life.pixels);
	closePanel();
	toLife();
}
