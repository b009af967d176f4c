/** The job's own text: edits both ways, comments kept, faults at their line. */
import { html, nothing } from "../vendor/lit-html.js";
import { bench, change, gesture, redraw } from "./store.js";
import { t } from "./words.js";

/** What stands in the box while it differs from the job. @type {string | null} */
let draft = null;
/** @type {Fault[]} */
let faults = [];
let timer = 0;
let typing = "";

export function jobText() {
	const text = draft ?? bench.text;
	const lines = text.split("\n").length;
	const bad = new Map(faults.map((f) => [f.line, f]));
	return html`<section class="job-text" aria-label=${t("card.text")}>
		<p class="hint" id="text-hint">${t("text.hint")}</p>
		<div class="paper">
			<ol class="lines" aria-hidden="true">
				${Array.from({ length: lines }, (_, i) => html`<li class=${bad.has(i + 1) ? "bad" : ""}>${bad.has(i + 1) ? "▶ " : ""}${i + 1}</li>`)}
			</ol>
			<textarea
				id="job-text"
				spellcheck="false"
				autocapitalize="off"
				wrap="off"
				rows=${lines + 1}
				aria-label=${t("card.text")}
				aria-describedby="text-hint text-faults"
				aria-invalid=${faults.length ? "true" : "false"}
				@focus=${() => (typing = gesture())}
				@input=${input}
			></textarea>
		</div>
		<div role="status" id="text-faults"><ul class="faults">
			${faults.map(
				(f) => html`<li><button type="button" @click=${() => goTo(f)}>■ ${f.line ? t("text.line", { line: f.line }) : nothing}</button> ${f.says}</li>`,
			)}
		</ul></div>
	</section>`;
}

/** @param {any} e */
function input(e) {
	draft = e.target.value;
	clearTimeout(timer);
	timer = setTimeout(send, 250);
}

async function send() {
	const sent = draft;
	if (sent === null) return;
	const answer = await change({ ask: "text", text: sent, gesture: typing, quiet: true });
	if (draft !== sent) return;
	if (answer.ok) {
		faults = [];
		draft = answer.text === sent ? null : sent;
	} else faults = answer.faults ?? [];
	redraw();
}

/** @param {Fault} f */
function goTo(f) {
	const box = /** @type {HTMLTextAreaElement | null} */ (document.getElementById("job-text"));
	if (!box) return;
	const { line = 0, column = 0 } = f;
	const lines = box.value.split("\n");
	const start = lines.slice(0, Math.max(0, line - 1)).reduce((n, l) => n + l.length + 1, 0);
	box.focus();
	box.setSelectionRange(start + Math.max(0, column - 1), start + (lines[line - 1]?.length ?? 0));
}

/** The box follows the job unless its own text is refused. Called after each drawing of the page. */
export function freshenText() {
	const box = /** @type {HTMLTextAreaElement | null} */ (document.getElementById("job-text"));
	if (!box) return;
	const text = draft ?? bench.text;
	if (box.value !== text && (draft === null || document.activeElement !== box)) box.value = text;
}

/** Another job or an undo: the draft goes. */
export function forgetDraft() {
	draft = null;
	faults = [];
}
