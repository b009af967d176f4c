/** Starting a piece: at most five questions, each with an answer already standing there. */
import { html, nothing } from "../vendor/lit-html.js";
import { change, faultsOf, redraw } from "./store.js";
import { t } from "./words.js";
import { closePanel, openPanel, fault, panel } from "./panels.js";
import { bring } from "./bringing.js";
import { metalOf } from "./metal.js";

const METALS = ["copper", "brass", "sterling-silver", "gilding-metal", "nickel-silver", "aluminium"];
const SKILLS = ["first", "practised", "fine-work"];

/** Each shape at a glance, 20 by 20. @type {Record<string, string>} */
const GLANCE = {
	circle: "M-8 0a8 8 0 1 0 16 0a8 8 0 1 0-16 0z",
	ellipse: "M-6 0a6 9 0 1 0 12 0a6 9 0 1 0-12 0z",
	teardrop: "M0-9C1-5 6-2 6 3a6 6 0 0 1-12 0C-6-2-1-5 0-9z",
	heart: "M0 8C-3 4-9 1-8-4S-2-8 0-4C2-8 7-8 8-4S3 4 0 8z",
	marquise: "M0-9Q10 0 0 9Q-10 0 0-9z",
	cushion: "M-7-7Q0-9 7-7Q9 0 7 7Q0 9-7 7Q-9 0-7-7z",
	rectangle: "M-6-9H6V9H-6z",
	crescent: "M5-6.2A8 8 0 1 0 5 6.2A6.4 6.4 0 1 1 5-6.2z",
	band: "M-9 0a9 6 0 1 0 18 0a9 6 0 1 0-18 0zM-7-1a7 3 0 1 0 14 0a7 3 0 1 0-14 0z",
};

/** Sizes that suit a pendant to begin with, mm. @type {Record<string, Record<string, number | string>>} */
const SIZES = {
	circle: { diameter: 30 },
	ellipse: { width: 26, height: 36 },
	teardrop: { width: 26, height: 38 },
	heart: { width: 32, height: 32 },
	marquise: { width: 20, height: 40 },
	cushion: { width: 30, height: 30 },
	rectangle: { width: 24, height: 38 },
	crescent: { width: 32, height: 34 },
	band: { ring_size: "US 7", width: 8 },
};

const f = { shape: "circle", metal: "copper", skill: "first", busy: false, fault: "", /** @type {string[]} */ remarks: [] };

panel("first", { title: "first.title", view: firstPanel, enter: () => ((f.fault = ""), (f.remarks = [])) });

function firstPanel() {
	return html`<form class="first" @submit=${begin}>
			${part("shape", row(Object.keys(SIZES).map((s) => choice("shape", s, t(`shape.${s}`), glance(GLANCE[s], f.metal)))))}
			${part(
				"size",
				Object.entries(SIZES[f.shape]).map(([key, usual]) => {
					const mm = typeof usual === "number";
					return html`<label class="line">${t(`first.${key}`)}
						<input name=${key} autocomplete="off" .value=${String(usual)} inputmode=${mm ? "decimal" : "text"} /> ${mm ? "mm" : nothing}</label>`;
				}),
			)}
			${part("metal", row(METALS.map((s) => choice("metal", s, t(`metal.${s}`), glance(GLANCE.rectangle, s)))))}
			${part("thickness", html`<label class="line">${t("first.thickness.label")} <input name="thickness" autocomplete="off" .defaultValue=${"0.8"} /> <span class="hint">${t("first.thickness.hint")}</span></label>`)}
			${part("skill", row(SKILLS.map((s) => choice("skill", s, t(`first.skill.${s}`)))))}
			${fault(f.fault)}
			<div class="row end">
				<label class="file quiet">${t("first.open")} <input type="file" multiple accept=".toml,.svg" @change=${opened} /></label>
				<button class="do" data-do="first" ?disabled=${f.busy}>${t(f.busy ? "first.busy" : "first.do")}</button>
			</div>
		</form>`;
}

/** One of the questions. @param {string} name @param {any} answers */
const part = (name, answers) => html`<fieldset><legend>${t(`first.${name}`)}</legend>${answers}</fieldset>`;

/** @param {any[]} choices */
const row = (choices) => html`<div class="row">${choices}</div>`;

/** @param {"shape" | "metal" | "skill"} name @param {string} value @param {string} title @param {any} [sign] */
function choice(name, value, title, sign) {
	const pick = () => ((f[name] = value), redraw());
	return html`<label class="choice"><input type="radio" name=${name} value=${value} class=${sign ? "hidden" : ""} .checked=${f[name] === value} @change=${pick} />${sign}<span>${title}</span></label>`;
}

/** @param {string} d @param {string} metal */
function glance(d, metal) {
	return html`<svg class="glance" data-metal=${metalOf(metal)} viewBox="-10 -10 20 20" aria-hidden="true"><path class="metal flat" fill-rule="evenodd" d=${d}></path></svg>`;
}

/** @param {any} e */
async function begin(e) {
	e.preventDefault();
	/** @type {Record<string, string>} */
	const answers = {};
	for (const [key, value] of new FormData(e.target)) if (typeof value === "string" && value.trim()) answers[key] = value.trim();
	f.busy = true;
	redraw();
	await after(await change({ ask: "begin", answers }));
}

/** @param {any} e */
async function opened(e) {
	if (e.target.files?.length) await after(await bring(e.target.files));
}

/** @param {Answer} answer */
async function after(answer) {
	f.busy = false;
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
		<button class="quiet" @click=${() => openPanel("eye")}>${t("open.eye")}</button>
	</div>`;
}

