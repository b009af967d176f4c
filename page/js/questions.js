/** The questions beside the drawing, in the order of the bench. They are made from the engine's one table of keys. */
import { html, nothing } from "../vendor/lit-html.js";
import { bench, change, edit, faultsOf, gesture, micro } from "./store.js";
import { known, numberOf, t } from "./words.js";
import { openPanel } from "./panels.js";
import { choose, keyOf } from "./sheet.js";
import { metalOf } from "./metal.js";

/** Faults of single boxes: path to text. @type {Map<string, string>} */
const refused = new Map();
/** Questions that have a panel of their own, until they are answered. */
const ELSEWHERE = /^(measured|wish)\./;
/** The gesture of the box that has the keyboard. */
let typing = gesture();

/** What the questions were made of when they were last drawn. @type {{form: Group[] | null, told: number}} */
const made = { form: null, told: -1 };
/** Counts refusals told and taken back. */
let told = 0;

/** Nothing has changed since they were drawn: while a hand moves something they need not be made again. */
export function areFresh() {
	return made.form === bench.form && made.told === told;
}

export function questions() {
	Object.assign(made, { form: bench.form, told });
	return html`<form class="questions" aria-label=${t("questions.label")} @submit=${(e) => e.preventDefault()}>
		${bench.form.map(group)}
	</form>`;
}

/** @param {Group} g @param {number} i */
function group(g, i) {
	const heads = new Set((g.sections ?? []).filter((x) => x.count > 0).map((x) => x.section));
	const seen = g.fields.filter((f) => f.path !== "title" && (f.origin === "typed" || !ELSEWHERE.test(f.path)));
	const plain = seen.filter((f) => !heads.has(f.section));
	const parts = new Map();
	for (const f of seen) {
		if (!heads.has(f.section)) continue;
		const head = f.path.slice(0, -f.key.length - 1);
		parts.set(head, [...(parts.get(head) ?? []), f]);
	}
	return html`<details class="group" data-group=${g.name} ?open=${g.open ?? i === 0}>
		<summary><span class="name">${g.title}</span><span class="gist">${gist(g)}</span></summary>
		<div class="fields">
			${asked(plain, html`${doors(g)} ${[...parts].map(([head, fields]) => part(head, fields))} ${adds(g)}`)}
		</div>
	</details>`;
}

/** Questions, those that few ask folded at the end. @param {Field[]} fields @param {any} [between] what stands before those */
function asked(fields, between) {
	const more = fields.filter((f) => f.advanced);
	return html`${fields.filter((f) => !f.advanced).map(field)} ${between}
		${
			more.length
				? html`<details class="more">
						<summary>${t("questions.more")}</summary>
						<div class="fields">${more.map(field)}</div>
					</details>`
				: nothing
		}`;
}

/** A line of what was typed, to read while the group is folded. @param {Group} g */
function gist(g) {
	const typed = g.fields.filter((f) => f.origin === "typed" && f.value !== "" && f.value !== null && f.kind !== "text");
	return typed
		.filter((f) => f.index === null && f.path.split(".").length < 3)
		.slice(0, 4)
		.map((f) => titleOf(f, f.value))
		.join(" · ");
}

/** @param {Field} f @param {unknown} value */
function titleOf(f, value) {
	if (f.kind === "yes-no") return truth(value) ? labelOf(f) : "";
	const choice = f.choices?.find((c) => c.value === String(value));
	return choice ? wordOf(f, choice) : asTyped(f, value);
}

/** What a choice is called: shapes by the words of a new piece. @param {Field} f @param {{value: string, title: string}} choice */
const wordOf = (f, { value, title }) => (f.key === "shape" && known(`shape.${value}`)) || title;

/** Two numbers stand in a box as people write them. @param {Field} f @param {unknown} value */
const asTyped = (f, value) => (PAIRS.has(f.kind) ? String(value).replace(/^\[|\]$/g, "") : String(value ?? ""));
const PAIRS = new Set(["place", "size"]);

/** Panels that belong to a group of questions. @type {Record<string, string[]>} */
const DOORS = { piece: ["outline"], pattern: ["eye", "wish"], building: ["measured"], paper: ["paper"] };

/** @param {Group} g */
function doors(g) {
	const door = (/** @type {string} */ panel) =>
		html`<button type="button" data-open=${panel} @click=${() => openPanel(panel)}>${t(`open.${panel}`)}</button>`;
	return DOORS[g.name] ? html`<div class="row">${DOORS[g.name].map(door)}</div>` : nothing;
}

/** What can be put in. @param {Group} g */
function adds(g) {
	const free = (g.sections ?? []).filter((x) => (x.many || x.count === 0) && x.section !== "change");
	if (!free.length) return nothing;
	return html`<div class="row" role="group" aria-label=${t("questions.adds")}>
		${free.map(
			(x) => html`<button type="button" class="add" data-add=${x.section} title=${x.says} @click=${() => add(x.section)}>+ ${name(x.section, x.title)}</button>`,
		)}
	</div>`;
}

/** What a part is called: the table's word, or the engine's. @param {string} section @param {string} own */
const name = (section, own) => known(`section.${section}`) ?? own;

/** @param {string} section */
async function add(section) {
	const answer = await change({ ask: "add", section });
	if (!answer.ok) return;
	const mine = answer.drawing?.solid?.findLast((/** @type {Solid} */ s) => s.section === section);
	if (mine) choose(keyOf(mine));
}

/** @param {string} head @param {Field[]} fields */
function part(head, fields) {
	const own = fields.find((f) => f.key === "name")?.value;
	const word = name(fields[0].section, head);
	const title = own && own.toLowerCase() !== word.toLowerCase() ? `${word}: ${own}` : word;
	return html`<fieldset class="part" data-part=${head}>
		<legend>${title}</legend>
		${asked(fields)}
		<button type="button" class="quiet remove" aria-label=${t("questions.remove-this", { name: title })} @click=${() => remove(fields[0])}>
			${t("questions.remove")}
		</button>
	</fieldset>`;
}

/** @param {Field} f a field of the part */
function remove(f) {
	choose(null);
	void change({ ask: "remove", section: f.section, index: f.index });
}

/** Letters that a list beside its label has room for. */
const LONG = 12;

/** @param {Field} f */
function field(f) {
	const id = `f-${f.path.replace(/[^\w]/g, "-")}`;
	const typed = f.origin === "typed";
	const fault = refused.get(f.path);
	const long = f.choices?.some((c) => wordOf(f, c).length > LONG) ? "long" : "";
	return html`<div class="field kind-${f.kind} ${f.origin} ${long}" data-path=${f.path}>
		${f.kind === "yes-no" ? nothing : html`<label for=${id}>${labelOf(f)}</label>`}
		<div class="box">
			${control(f, id)}
			${f.unit && !(f.choices?.length && f.kind !== "drill") ? html`<span class="unit" aria-hidden="true">${f.unit}</span>` : nothing}
			${
				typed && f.reason
					? html`<button type="button" class="quiet usual-again" title=${t("field.usual-again", { reason: f.reason })}
							aria-label=${`${labelOf(f)}: ${t("field.usual-again", { reason: f.reason })}`} @click=${() => send(f, "", false)}>↺</button>`
					: nothing
			}
		</div>
		<p class="why" id=${`${id}-why`}>
			${fault ? html`<span class="fault" role="alert">${fault}</span>` : nothing}
			${typed || !f.reason ? f.doc : why(f)}
		</p>
	</div>`;
}

/** Why a box that nobody filled holds what it holds. @param {Field} f */
function why(f) {
	const said = f.reason?.replace(/^"|"$/g, "");
	const usual = f.kind === "yes-no" ? t(truth(f.value) ? "origin.yes" : "origin.no") : titleOf(f, f.value);
	if (said === String(f.value)) return html`<b>${t("origin.usual")}</b> ${usual} · ${f.doc}`;
	return html`<b>${t(f.origin === "absent" ? "origin.absent" : "origin.usual")}</b> ${f.reason}`;
}

/** The table's word for a key, or the engine's. @param {Field} f */
const labelOf = (f) => known(`label.${f.path}`) ?? known(`label.${f.key}`) ?? f.label;

const NUMBERS = new Set(["length", "number", "whole", "drill"]);

/** @param {Field} f @param {string} id */
function control(f, id) {
	const value = asTyped(f, f.value ?? "");
	const bad = refused.has(f.path);
	if (f.kind === "yes-no")
		return html`<label class="tick"><input type="checkbox" id=${id} .checked=${truth(f.value)} aria-describedby=${`${id}-why`}
				@change=${(e) => send(f, e.target.checked ? "true" : "false", false)} /> <span>${labelOf(f)}</span></label>`;
	if ((f.kind === "choice" || f.kind === "paper") && f.choices?.length) {
		const listed = f.choices.some((c) => c.value === value);
		return html`<select id=${id} data-value=${value} aria-describedby=${`${id}-why`}
				data-metal=${f.path === "sheet.metal" ? metalOf(value) : nothing}
				@change=${(e) => send(f, e.target.value, false)}>
			${listed ? nothing : html`<option value=${value}>${value || t("field.choose")}</option>`}
			${f.choices.map((c) => html`<option value=${c.value} ?selected=${c.value === value}>${wordOf(f, c)}</option>`)}
		</select>`;
	}
	const numeric = NUMBERS.has(f.kind);
	return html`<input type="text" id=${id} data-value=${value} .defaultValue=${value} autocomplete="off" spellcheck="false"
		inputmode=${numeric ? "decimal" : "text"} aria-describedby=${`${id}-why`} aria-invalid=${bad ? "true" : "false"}
		@focus=${() => (typing = gesture())}
		@input=${(e) => numeric && send(f, e.target.value, true)}
		@change=${(e) => send(f, e.target.value, false)}
		@keydown=${(e) => numeric && step(f, e)} />`;
}

const truth = (/** @type {unknown} */ value) => value === true || value === "true" || value === "yes";

/** Arrow keys in a box of numbers go up and down by a step a hand would take. @param {Field} f @param {KeyboardEvent} e */
function step(f, e) {
	const way = { ArrowUp: 1, ArrowDown: -1 }[e.key];
	const box = /** @type {HTMLInputElement} */ (e.target);
	const now = numberOf(box.value);
	if (!way || !Number.isFinite(now) || box.value.trim() === "") return;
	e.preventDefault();
	const whole = f.kind === "whole" || (Number.isInteger(now) && Math.abs(now) >= 10);
	const by = e.shiftKey && f.kind !== "whole" ? 0.01 : whole && f.kind !== "length" ? 1 : 0.1;
	box.value = String(Math.round((now + way * by) * 1000) / 1000);
	void send(f, box.value, true);
}

/**
 * @param {Field} f
 * @param {string} text as typed
 * @param {boolean} live while the box still has the keyboard: a refusal is not told yet
 */
async function send(f, text, live) {
	const said = text.trim();
	if (live && said === "") return;
	if (!live && said === asTyped(f, f.value ?? "") && f.origin !== "typed") return;
	/** @type {unknown} */
	let value = said === "" ? null : said;
	if (PAIRS.has(f.kind) && /[,x×]/.test(said) && !said.startsWith("[")) value = `[${said.replace(/\s*[x×]/, ",")}]`;
	if (f.kind === "yes-no") value = said === "true";
	const how = { gesture: f.kind === "choice" ? undefined : typing, quiet: true };
	let answer = await edit([{ path: f.path, value }], how);
	const smaller = numberOf(said) / numberOf(f.value);
	if (!answer.ok && !live && /^outline\.(diameter|width|height|across)$/.test(f.path) && smaller > 0)
		answer = await edit([{ path: f.path, value }, ...drawnTogether(smaller)], how);
	told += 1;
	if (answer.ok) refused.delete(f.path);
	else if (!live) refused.set(f.path, faultsOf(answer));
	if (!live) typing = gesture();
}

/** On a piece made smaller or larger what stands on it moves with it, so that nothing lies off the piece. @param {number} by */
function drawnTogether(by) {
	return (bench.drawing?.solid ?? []).flatMap((s) => {
		const place = s.handles?.find((h) => h.kind === "move");
		return place ? [{ path: place.path, value: s.at.map((mm) => micro(mm * by)) }] : [];
	});
}

/** Boxes that the maker does not hold show what the job says now. Called after each drawing of the page. */
export function freshen() {
	for (const box of document.querySelectorAll(".questions [data-value]")) {
		const input = /** @type {HTMLInputElement} */ (box);
		const path = input.closest("[data-path]")?.getAttribute("data-path") ?? "";
		if (input !== document.activeElement && !refused.has(path) && input.value !== input.dataset.value)
			input.value = input.dataset.value ?? "";
	}
}

/** After an undo or another job nothing is left refused. */
export function forgetRefusals() {
	refused.clear();
	told += 1;
}
