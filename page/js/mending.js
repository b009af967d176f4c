/** Mending in one click and wishes: before and after side by side, then one button. */
import { html, nothing } from "../vendor/lit-html.js";
import { ask, bench, change, edit, redraw } from "./store.js";
import { numberOf, t } from "./words.js";
import { closePanel, panel } from "./panels.js";
import { picture } from "./metal.js";
import { around } from "./view.js";

/** @type {Sought} */
const state = { answer: null, busy: false, cautions: false, wish: { key: "openings", text: "" } };

panel("mend", { view: mendPanel, enter: () => void mend(false) });
panel("wish", { view: wishPanel, enter: () => ((state.answer = null), (state.busy = false)) });

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
	const thin = (d.thin ?? [])
		.map((b) => `M${b.a[0]} ${-b.a[1]}L${b.b[0]} ${-b.b[1]}`)
		.join("");
	return html`<figure>
		${picture(around(d.box), [{ d: `${d.outline}${d.windows ?? ""}${d.holes ?? ""}${d.openings.join("")}` }, { d: thin, kind: "thin" }], label)}
		<figcaption>${label}</figcaption>
	</figure>`;
}

function mendPanel() {
	const a = state.answer;
	return html`<h2 id="panel-title">${t("open.mend")}</h2>
		<p class="lead">${t("mend.lead")}</p>
		${state.busy ? html`<p role="status" class="busy">${t("mend.busy")}</p>` : nothing}
		${
			a && !a.ok
				? html`<p class="says" role="status">${a.faults?.[0]?.says}</p>`
				: a
					? html`<ul class="says" role="status">${said(a).map((line) => html`<li>${line}</li>`)}</ul>
							<div class="before-after">${small(a.before, t("mend.before"))}${small(a.after, t("mend.after"))}</div>
							<ul class="changes" data-changes>
								${(a.changes ?? []).map((/** @type {string} */ c) => html`<li>${c}</li>`)}
							</ul>
							${a.left?.length ? html`<p>${t("mend.left")}</p><ul>${a.left.map((/** @type {any} */ f) => html`<li>${f.says ?? f}</li>`)}</ul>` : nothing}`
					: nothing
		}
		<div class="row end">
			<label class="tick"><input type="checkbox" .checked=${state.cautions} @change=${(e) => mend(e.target.checked)} />
				<span>${t("mend.cautions")}</span></label>
			<button class="do" ?disabled=${!canTake(a)} data-do="mend" @click=${take}>${t("mend.do")}</button>
		</div>`;
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
	const a = state.answer;
	const w = state.wish;
	return html`<h2 id="panel-title">${t("open.wish")}</h2>
		<p class="lead">${t("wish.lead")}</p>
		<div class="fields">
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
		${state.busy ? html`<p role="status" class="busy">${t("mend.busy")}</p>` : nothing}
		${
			a
				? html`<p class="says" role="status">${a.ok ? said(a).join(" ") : a.faults?.[0]?.says}</p>
						${a.ok && a.after ? html`<div class="before-after">${small(bench.drawing, t("mend.before"))}${small(a.after, t("wish.then"))}</div>` : nothing}`
				: nothing
		}
		<div class="row end"><button class="do" data-do="wish" ?disabled=${!canTake(a)} @click=${take}>${t("wish.do")}</button></div>`;
}

/** @param {string} key */
async function wish(key) {
	const text = state.wish.key === key ? state.wish.text : "";
	const n = numberOf(text);
	if (n > 0) await look({ ask: "wish", [key]: n });
}
