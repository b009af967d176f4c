/** Starting a piece: at most five questions, each with an answer already standing there. */
import { html, nothing } from "../vendor/lit-html.js";
import { change, faultsOf, redraw } from "./store.js";
import { t } from "./words.js";
import { closePanel, openPanel, panel } from "./panels.js";
import { bring } from "./bringing.js";

const SHAPES = ["circle", "ellipse", "teardrop", "heart", "marquise", "cushion", "rectangle", "crescent", "band"];
const METALS = ["copper", "brass", "sterling-silver", "gilding-metal", "nickel-silver", "aluminium"];
const SKILLS = ["first", "practised", "fine-work"];

/** Sizes that suit a pendant to begin with, mm. @type {Record<string, [string, number][]>} */
const SIZES = {
	circle: [["diameter", 30]],
	ellipse: [["width", 26], ["height", 36]],
	teardrop: [["width", 26], ["height", 38]],
	heart: [["width", 32], ["height", 32]],
	marquise: [["width", 20], ["height", 40]],
	cushion: [["width", 30], ["height", 30]],
	rectangle: [["width", 24], ["height", 38]],
	crescent: [["width", 32], ["height", 34]],
	band: [["ring_size", 0], ["width", 8]],
};

const f = { shape: "circle", metal: "copper", skill: "first", fault: "", /** @type {string[]} */ remarks: [] };

panel("first", { enter: () => ((f.fault = ""), (f.remarks = [])) });

export function firstPanel() {
	return html`<h2 id="panel-title">${t("first.title")}</h2>
		<p class="lead">${t("first.lead")}</p>
		<form class="first" @submit=${begin}>
			<fieldset>
				<legend>${t("first.shape")}</legend>
				<div class="shapes">${SHAPES.map((s) => choice("shape", s, t(`shape.${s}`), f.shape === s, () => (f.shape = s)))}</div>
			</fieldset>
			<fieldset>
				<legend>${t("first.size")}</legend>
				${SIZES[f.shape].map(
					([key, usual]) =>
						html`<label class="line">${t(`first.${key}`)}
							<input name=${key} autocomplete="off" .value=${key === "ring_size" ? "US 7" : String(usual)} inputmode=${key === "ring_size" ? "text" : "decimal"} />
							${key === "ring_size" ? nothing : "mm"}</label>`,
				)}
			</fieldset>
			<fieldset>
				<legend>${t("first.metal")}</legend>
				<div class="shapes">${METALS.map((s) => choice("metal", s, t(`metal.${s}`), f.metal === s, () => (f.metal = s)))}</div>
			</fieldset>
			<fieldset>
				<legend>${t("first.thickness")}</legend>
				<label class="line">${t("first.thickness.label")} <input name="thickness" autocomplete="off" .defaultValue=${"0.8"} /> <span class="hint">${t("first.thickness.hint")}</span></label>
			</fieldset>
			<fieldset>
				<legend>${t("first.skill")}</legend>
				<div class="shapes wide">${SKILLS.map((s) => choice("skill", s, t(`first.skill.${s}`), f.skill === s, () => (f.skill = s)))}</div>
			</fieldset>
			${f.fault ? html`<p class="fault" role="alert">■ ${f.fault}</p>` : nothing}
			<div class="row end">
				<label class="file quiet">${t("first.open")} <input type="file" multiple accept=".toml,.svg" @change=${opened} /></label>
				<button class="do" data-do="first">${t("first.do")}</button>
			</div>
		</form>`;
}

/** @param {string} name @param {string} value @param {string} title @param {boolean} on @param {() => void} pick */
function choice(name, value, title, on, pick) {
	return html`<label class="choice"><input type="radio" name=${name} value=${value} .checked=${on} @change=${() => (pick(), redraw())} /><span>${title}</span></label>`;
}

/** @param {any} e */
async function begin(e) {
	e.preventDefault();
	/** @type {Record<string, string>} */
	const answers = {};
	for (const [key, value] of new FormData(e.target)) if (typeof value === "string" && value.trim()) answers[key] = value.trim();
	await after(await change({ ask: "begin", answers }));
}

/** @param {any} e */
async function opened(e) {
	if (e.target.files?.length) await after(await bring(e.target.files));
}

/** @param {Answer} answer */
async function after(answer) {
	f.fault = faultsOf(answer);
	f.remarks = (answer.remarks ?? []).flat().filter(Boolean);
	if (answer.ok) closePanel();
	redraw();
}

/** What the engine remarked on the answers, until closed. */
export function remarks() {
	if (!f.remarks.length) return nothing;
	return html`<div class="remarks" role="status">
		${f.remarks.map((r) => html`<p>${r}</p>`)}
		<button class="quiet" @click=${() => ((f.remarks = []), redraw())}>${t("close")}</button>
		<button class="quiet" @click=${() => openPanel("eye")}>${t("eye.open")}</button>
	</div>`;
}

