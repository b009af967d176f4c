/** Mending in one click and wishes: before and after side by side, then one button. */
import { html, nothing } from "../vendor/lit-html.js";
import { ask, bench, change, edit, redraw } from "./store.js";
import { numberOf, t } from "./words.js";
import { closePanel, panel } from "./panels.js";
import { picture } from "./metal.js";
import { around } from "./view.js";
import { across } from "./sheet.js";

/** @type {Sought} */
const state = { answer: null, busy: false, cautions: false, wish: { key: "openings", text: "" } };

panel("mend", { title: "open.mend", view: mendPanel, enter: () => void mend(false) });
panel("wish", { title: "open.wish", view: wishPanel, enter: () => ((state.answer = null), (state.busy = false)) });

/** @param {boolean} cautions */
async function mend(cautions) {
	state.cautions = cautions;
	await look({ ask: "mend", cautions });
}

/** @param {Record<string, unknown>} question */
async function look(question) {
	state.answer = null;
	state.busy = true;
	redraw();
	state.answer = await ask(question);
	state.busy = false;
	redraw();
}

/** A drawing as a small picture. @param {Drawing | null} d @param {string} label */
function small(d, label) {
	if (!d?.outline) return nothing;
	return html`<figure>
		${picture(around(d.box), [{ d: `${d.outline}${d.windows ?? ""}${d.holes ?? ""}${d.openings.join("")}` }, { d: across(d.thin ?? []), kind: "thin" }], label)}
		<figcaption>${label}</figcaption>
	</figure>`;
}

function mendPanel() {
	return html`${found(t("mend.after"))}
		<div class="row end">
			<label class="tick"><input type="checkbox" .checked=${state.cautions} @change=${(e) => mend(e.target.checked)} />
				<span>${t("mend.cautions")}</span></label>
			<button class="do" ?disabled=${!canTake(state.answer)} data-do="mend" @click=${take}>${t("mend.do")}</button>
		</div>`;
}

/** What came of it, with the piece before and after. @param {string} after */
function found(after) {
	const a = state.answer;
	if (state.busy) return html`<p role="status" class="busy">${t("mend.busy")}</p>`;
	if (!a?.ok) return a ? html`<p class="says" role="status">${a.faults?.[0]?.says}</p>` : nothing;
	const list = (/** @type {any[]} */ lines, kind = "changes") => html`<ul class=${kind} role=${kind === "says" ? "status" : nothing}>${lines.map((line) => html`<li>${line.says ?? line}</li>`)}</ul>`;
	return html`${list(said(a), "says")}
		${a.after ? html`<div class="before-after">${small(a.before ?? bench.drawing, t("mend.before"))}${small(a.after, after)}</div>` : nothing}
		${a.changes?.length ? list(a.changes) : nothing} ${a.left?.length ? html`<p>${t("mend.left")}</p>${list(a.left)}` : nothing}`;
}

/** Before and after of a figure stay in one line. @param {Answer} a @returns {string[]} */
const said = (a) => [a.says].flat().map((line) => line.replaceAll(" -> ", "\u00a0→ "));

const canTake = (/** @type {Answer} */ a) => Boolean(a?.ok && (a.edits?.length || a.text));

/** Changes that build on each other come as the whole text. */
async function take() {
	const { edits, text } = state.answer;
	const answer = edits?.length ? await edit(edits) : await change({ ask: "text", text });
	if (answer.ok) closePanel();
}

function wishPanel() {
	const w = state.wish;
	return html`<div class="fields">
			${["openings", "hours", "weight"].map(
				(key) => html`<form class="wish" @submit=${(e) => (e.preventDefault(), wish(key))}>
					<label for=${`wish-${key}`}>${t(`wish.${key}`)}</label>
					<input id=${`wish-${key}`} inputmode="decimal" autocomplete="off" .value=${w.key === key ? w.text : ""}
						@input=${(e) => (state.wish = { key, text: e.target.value })} />
					<span class="unit">${t(`wish.${key}.unit`)}</span>
					<button class="quiet">${t("wish.try")}</button>
				</form>`,
			)}
		</div>
		${found(t("wish.then"))}
		<div class="row end"><button class="do" data-do="wish" ?disabled=${!canTake(state.answer)} @click=${take}>${t("wish.do")}</button></div>`;
}

/** @param {string} key */
async function wish(key) {
	const text = state.wish.key === key ? state.wish.text : "";
	const n = numberOf(text);
	if (n > 0) await look({ ask: "wish", [key]: n });
}
