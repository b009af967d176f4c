/** "I measured ...": what the bench found takes the place of what was planned, and all that follows is worked out again. */
import { html, nothing } from "../vendor/lit-html.js";
import { ask, edit, faultsOf, fieldOf, redraw } from "./store.js";
import { t } from "./words.js";
import { fault, panel } from "./panels.js";

/** @type {{sections: CardSection[], fault: string}} */
const m = { sections: [], fault: "" };

panel("measured", { title: "open.measured", view: measuredPanel, enter: () => ((m.sections = []), void look()) });

async function look() {
	const answer = await ask({ ask: "plan" });
	m.sections = answer.ok ? answer.sections : [];
	redraw();
}

/** @param {string} path */
function typed(path) {
	const value = fieldOf(path)?.typed;
	return value === null || value === undefined ? "" : String(value);
}

function isRound() {
	return fieldOf("outline.shape")?.value === "circle";
}

function measuredPanel() {
	const readings = (typed("measured.outline").match(/-?\d+(?:[.,]\d+)?/g) ?? []).map(String);
	const round = isRound();
	const boxes = round ? 4 : 2;
	return html`<form class="measured" @submit=${(e) => (e.preventDefault(), take(e.target))}>
			<fieldset class="part">
				<legend>${t(round ? "measured.across" : "measured.sizes")}</legend>
				${Array.from({ length: boxes }, (_, i) => {
					const label = round ? t("measured.reading", { n: i + 1 }) : t(i === 0 ? "first.width" : "first.height");
					return html`<label class="line">${label} <input name=${`r${i}`} inputmode="decimal" autocomplete="off" .defaultValue=${readings[i] ?? ""} /></label>`;
				})}
				${round ? html`<p class="hint">${t("measured.uneven")}</p>` : nothing}
			</fieldset>
			<fieldset class="part">
				<legend>${t("measured.sheet")}</legend>
				<label class="line">${t("first.thickness.label")} <input name="thickness" inputmode="decimal" autocomplete="off" .defaultValue=${typed("measured.thickness").replace(/"/g, "")} /></label>
				<p class="hint">${t("measured.thinnest")}</p>
			</fieldset>
			${fault(m.fault)}
			<div class="row">
				<button type="button" class="quiet" @click=${clear}>${t("measured.clear")}</button>
				<button class="do" data-do="measured">${t("measured.do")}</button>
			</div>
		</form>
		<div class="plan" data-plan>${m.sections.map(planSection)}</div>`;
}

/** A section of the job card. @param {CardSection} s */
export function planSection(s) {
	return html`<section><h3>${s.title}</h3><ul>${s.lines?.map(planLine)}</ul></section>`;
}

/** A row of the job card, by its kind. @param {CardLine} l */
function planLine(l) {
	if (l.kind === "table")
		return html`<li class="table"><table><thead><tr>${l.head?.map((c) => html`<th scope="col">${c}</th>`)}</tr></thead>
			<tbody>${l.rows?.map((r) => html`<tr>${r.map((c) => html`<td>${c}</td>`)}</tr>`)}</tbody></table></li>`;
	if (l.says !== undefined) return html`<li class=${l.kind}>${l.kind === "caution" ? "▲ " : l.kind === "tick" ? "☐ " : ""}${l.says}</li>`;
	return html`<li class=${l.kind}>
		<span class="label">${l.label}</span>
		<span class="value">${l.was ? html`<del>${l.was}</del> ` : nothing}${l.value}</span>
		${l.was ? html`<b class="tag">${t("plan.changed")}</b>` : nothing}
		${l.sum ? html`<span class="sum">${l.sum}</span>` : nothing}
	</li>`;
}

/** What stands in the boxes takes the place of what was planned. @param {any} form */
async function take(form) {
	const data = new FormData(form);
	const said = (/** @type {string} */ k) => String(data.get(k) ?? "").trim().replace(",", ".");
	const readings = ["r0", "r1", "r2", "r3"].map(said).filter(Boolean);
	/** @type {Edit[]} */
	const edits = [{ path: "measured.thickness", value: said("thickness") || null }];
	if (!readings.length) edits.push({ path: "measured.outline", value: null });
	else if (isRound()) edits.push({ path: "measured.outline", value: readings.length === 1 ? readings[0] : `[${readings.join(", ")}]` });
	else if (readings.length === 2) edits.push({ path: "measured.outline", value: `{ width = ${readings[0]}, height = ${readings[1]} }` });
	const before = new Map(edits.map((x) => [x.path, typed(x.path)]));
	const answer = await edit(edits.filter((x) => String(x.value ?? "") !== before.get(x.path)));
	m.fault = faultsOf(answer);
	await look();
}

/** @param {any} e */
function clear({ target: { form } }) {
	for (const box of form.querySelectorAll("input")) box.value = "";
	void take(form);
}
