/** Paper and files: what is printed, what is saved, the printer's bars, the minutes it took. */
import { html, nothing } from "../vendor/lit-html.js";
import { ask, edit, faultsOf, file, native, redraw } from "./store.js";
import { numberOf, t } from "./words.js";
import { panel } from "./panels.js";
import { planSection } from "./measured.js";
import { say } from "./live-region.js";

const p = {
	/** @type {{url: string, name: string}[]} */
	pages: [],
	/** @type {CardSection[]} */
	sections: [],
	/** @type {any[]} */
	printers: [],
	says: "",
	/** Where it is said. @type {"files" | "printer" | "minutes"} */
	at: "files",
	busy: "",
};

panel("paper", { title: "head.paper", view: paperPanel, enter: () => void look(), leave: forget });

function forget() {
	for (const page of p.pages) URL.revokeObjectURL(page.url);
	p.pages = [];
}

async function look() {
	p.says = "";
	p.sections = [];
	const paper = await ask({ ask: "paper" });
	forget();
	p.pages = (paper.pages ?? []).map((/** @type {string} */ text, /** @type {number} */ i) => ({
		url: URL.createObjectURL(new Blob([text], { type: "image/svg+xml" })),
		name: paper.names?.[i] ?? "",
	}));
	redraw();
	const plan = await ask({ ask: "plan" });
	p.sections = plan.ok ? plan.sections : [];
	redraw();
	if (!native) return;
	const printers = await ask({ ask: "printers" });
	p.printers = printers.ok ? (printers.printers ?? []) : [];
	redraw();
}

/** Says something beside the button that was pressed. @param {typeof p.at} at @param {string} says */
function tell(at, says) {
	Object.assign(p, { at, says, busy: "" });
	say(says);
	redraw();
}

/** @param {Answer} answer */
const told = (answer) => (answer.ok ? [answer.says].flat().join("\n") : faultsOf(answer));

/** What is said there. @param {typeof p.at} at */
const said = (at) => (p.at === at && (p.busy || p.says) ? html`<p role="status" class="says">${p.busy ? t("paper.busy") : p.says}</p>` : nothing);

/** Has a file made, and says what became of it. @param {string} kind @param {Use} use */
async function make(kind, use) {
	p.busy = kind;
	p.at = "files";
	redraw();
	let says;
	try {
		const made = await file(kind);
		const a = document.createElement("a");
		a.href = URL.createObjectURL(made.blob);
		says = use(made, a);
		a.click();
		// What is looked at in another tab may be kept from there.
		if (a.download) setTimeout(() => URL.revokeObjectURL(a.href), 60_000);
	} catch (reason) {
		says = String(reason);
	}
	tell("files", says);
}

/** Prints by way of the PDF, which keeps its size; pages of a browser are scaled. */
function print() {
	void make("pdf", (_, a) => {
		a.target = "_blank";
		a.rel = "noopener";
		return t("paper.printing");
	});
}

/** @param {string} kind */
export function save(kind) {
	void make(kind, ({ name }, a) => {
		a.download = name;
		return t("paper.saved", { name });
	});
}

const KINDS = ["pdf", "card", "quote", "svg", "job", "sampler", "bridge-map", "png", "json"];

function paperPanel() {
	return html`<div class="row">
			<button class="do" data-do="print" ?disabled=${p.busy !== ""} @click=${print}>${t("paper.print")}</button>
			${said("files")}
		</div>
		<h3 id="saves">${t("paper.save")}</h3>
		<ul class="row saves" aria-labelledby="saves">
			${KINDS.map((kind) => html`<li><button data-save=${kind} ?disabled=${p.busy !== ""} @click=${() => save(kind)}>${t(`save.${kind}`)}</button></li>`)}
		</ul>
		<ul class="pages" tabindex="0" aria-label=${t("paper.pages")}>
			${p.pages.map((page, i) => html`<li><img src=${page.url} alt=${t("paper.page", { n: i + 1, name: page.name })} /></li>`)}
		</ul>
		${native ? html`<div class="native">${printers()}${minutes()}</div>` : nothing}
		<details class="plan" data-plan>
			<summary>${t("paper.card")}</summary>
			${p.sections.map(planSection)}
		</details>`;
}

function printers() {
	return html`<form class="part-form" @submit=${keepPrinter}>
		<fieldset class="part">
			<legend>${t("printer.title")}</legend>
			<p class="hint">${t("printer.lead")} <button type="button" class="quiet" data-save="true-size" @click=${() => save("true-size")}>${t("printer.page")}</button></p>
			<label class="line">${t("printer.name")} <input name="name" autocomplete="off" required /></label>
			<label class="line">${t("printer.across")} <input name="across" inputmode="decimal" autocomplete="off" required /> mm</label>
			<label class="line">${t("printer.up")} <input name="up" inputmode="decimal" autocomplete="off" required /> mm</label>
			<label class="tick"><input type="checkbox" name="corrected" /> <span>${t("printer.corrected")}</span></label>
			<button data-do="printer">${t("printer.keep")}</button>
			${said("printer")}
			<ul class="printers">
				${p.printers.map((one) => html`<li>${one.name}: ${one.across} / ${one.up} mm
					<button type="button" class="quiet" @click=${() => usePrinter(one.name)}>${t("printer.use")}</button></li>`)}
			</ul>
		</fieldset>
	</form>`;
}

/** @param {any} e */
async function keepPrinter(e) {
	e.preventDefault();
	const d = new FormData(e.target);
	const typed = (/** @type {string} */ key) => String(d.get(key) ?? "").trim();
	// A new printer's page cannot have been corrected; of a known one it must be said.
	const known = p.printers.some((one) => one.name === typed("name"));
	const answer = await ask({
		ask: "true-size", printer: typed("name"), across: typed("across"), up: typed("up"), corrected: known ? d.has("corrected") : undefined,
	});
	if (answer.ok) p.printers = (await ask({ ask: "printers" })).printers;
	tell("printer", told(answer));
}

/** @param {string} name */
async function usePrinter(name) {
	await edit([{ path: "paper.printer", value: name }]);
	await look();
}

function minutes() {
	return html`<form class="part-form" @submit=${keepMinutes}>
		<fieldset class="part">
			<legend>${t("minutes.title")}</legend>
			<p class="hint">${t("minutes.lead")}</p>
			<label class="line">${t("minutes.took")} <input name="minutes" inputmode="decimal" autocomplete="off" required /></label>
			<button data-do="minutes">${t("minutes.keep")}</button>
			${said("minutes")}
		</fieldset>
	</form>`;
}

/** @param {any} e */
async function keepMinutes(e) {
	e.preventDefault();
	const answer = await ask({ ask: "minutes", minutes: numberOf(new FormData(e.target).get("minutes")) });
	tell("minutes", told(answer));
}

