/** The page: what stands where, and what every drawing of it brings up to date. */
import { html, noChange, nothing, render } from "../vendor/lit-html.js";
import { words } from "./engine.js";
import { ask, bench, catchUp, change, edit, faultsOf, isSettled, kept, redraw, save, watch } from "./store.js";
import { setWords, t } from "./words.js";
import { choose, read, removeSolid, sheet, shown, solidOf, whatAt } from "./sheet.js";
import { findings, rail } from "./rail.js";
import { areFresh, forgetRefusals, freshen, questions } from "./questions.js";
import { forgetDraft, freshenText, jobText } from "./job-text.js";
import { closePanel, openPanel, panels, panelView, showPanel } from "./panels.js";
import { remarks } from "./first.js";
import { canBeWorn } from "./worn.js";
import { lifeSize } from "./life.js";
import "./eye.js";
import "./mending.js";
import "./measured.js";
import "./paper.js";
import { bringOpenly, listenForDrops } from "./bringing.js";
import { fit, view, zoom } from "./view.js";
import { say } from "./live-region.js";

/** The faces of the card beside the drawing, and which is up. */
const FACES = ["questions", "text"];
let face = FACES[0];
/** The turn whose numbers were last read out. */
let told = -1;
/** The turn that is wholly shown. */
let settled = -1;
/** The page that stands until the first drawing is gone. */
let drawn = false;
/** The box the drawing was last fitted to, and in which window. */
let fittedTo = "";

function page() {
	return html`
		<header class="head">
			<h1><span class="mark" aria-hidden="true"></span><span class="hidden">Sawpierce</span></h1>
			<label class="title"><span class="hidden">${t("head.title")}</span>
				<input id="title" autocomplete="off" spellcheck="false" .value=${bench.title} placeholder=${t("head.untitled")}
					@change=${(e) => edit([{ path: "title", value: e.target.value || null }])} /></label>
			<nav class="acts" aria-label=${t("head.acts")}>
				<button data-act="undo" ?disabled=${!bench.canUndo} @click=${() => step("undo")} title="Ctrl+Z"><span aria-hidden="true">↶</span> ${t("head.undo")}</button>
				<button data-act="redo" ?disabled=${!bench.canRedo} @click=${() => step("redo")} title="Ctrl+Shift+Z"><span aria-hidden="true">↷</span> ${t("head.redo")}</button>
				<button data-act="first" @click=${() => openPanel("first")}>${t("head.start")}</button>
				<label class="file" data-act="open">${t("head.open")}<input type="file" multiple accept=".toml,.svg" @change=${openFiles} /></label>
				<button data-act="eye" data-open="eye" @click=${() => openPanel("eye")}>${t("open.eye")}</button>
				<button data-act="paper" class="do" @click=${() => openPanel("paper")}>${t("head.paper")}</button>
			</nav>
		</header>
		<main class="bench">
			<p class="hidden" id="sheet-help">${t("sheet.help")}</p>
			<div class="board" id="board-of-piece">${sheet()}${tools()}${readout()}</div>
			${rail()} ${troubles()} ${remarks()} ${findings()}
		</main>
		<aside class="card" aria-label=${t("card.label")}>
			<div class="faces" role="group" aria-label=${t("card.faces")}>
				${FACES.map((one) => html`<button aria-pressed=${face === one} data-face=${one} @click=${() => ((face = one), redraw())}>${t(`card.${one}`)}</button>`)}
			</div>
			${cardFace()} ${where()}
		</aside>
		<dialog id="panel" class="panel p-${panels.open ?? "none"}" aria-labelledby="panel-title" @close=${closePanel} @cancel=${(e) => e.target === e.currentTarget && closePanel()}>
			${panelView()}
			<button class="close" aria-label=${t("close")} @click=${closePanel}>×</button>
		</dialog>`;
}

/** The face that was drawn last. */
let facing = "";

function cardFace() {
	const same = face === facing && face === "questions" && areFresh();
	facing = face;
	if (same) return noChange;
	return face === "questions" ? questions() : jobText();
}

function tools() {
	const tick = (/** @type {"thin" | "drill" | "numbers"} */ key) =>
		html`<label class="tick"><input type="checkbox" .checked=${shown[key]} @change=${(e) => ((shown[key] = e.target.checked), redraw())} />
			<span>${t(`show.${key}`)}</span></label>`;
	return html`<div class="tools" role="group" aria-label=${t("tools.label")}>
		<span class="ticks">${tick("thin")}${tick("drill")}${tick("numbers")}</span>
		<span class="zooms">
			${canBeWorn() ? html`<button @click=${() => openPanel("worn")}>${t("open.worn")}</button>` : nothing}
			<button data-act="life" aria-pressed=${view.life} @click=${lifeSize}>${t("tools.life")}</button>
			${view.life ? html`<button @click=${() => openPanel("life")}>${t("tools.card")}</button>` : nothing}
			<button data-act="whole" @click=${() => bench.drawing && fit(bench.drawing.box)}>${t("tools.whole")}</button>
			<button data-act="smaller" aria-label=${t("tools.smaller")} @click=${() => zoom(0.8)}>−</button>
			<button data-act="larger" aria-label=${t("tools.larger")} @click=${() => zoom(1.25)}>+</button>
		</span>
	</div>`;
}

/** What lies under the last click, or what is chosen, with what can be done to it. */
function readout() {
	const s = shown.chosen ? solidOf(shown.chosen) : null;
	if (s)
		return html`<section class="readout" aria-label=${t("read.label")}>
			<p>${whatAt(s, s.at)}</p>
			<p class="hint">${t("read.hands")}</p>
			${shown.chosen === "pattern" ? nothing : html`<button @click=${() => removeSolid(shown.chosen ?? "")}>${t("questions.remove")}</button>`}
			<button class="quiet" @click=${() => choose(null)}>${t("close")}</button>
		</section>`;
	const r = shown.read;
	if (!r) return nothing;
	const act = async (/** @type {any[]} */ edits) => {
		const [x, y] = r.at ?? [0, 0];
		const answer = await edit(edits);
		if (answer.ok) await read(x, y);
	};
	return html`<section class="readout" data-kind=${r.kind} aria-label=${t("read.label")}>
		${(r.says ?? []).map((/** @type {string} */ line) => html`<p>${line}</p>`)}
		${["close", "draw_in", "as_it_was"].map((key) => r.edits?.[key] ? html`<button data-do=${key} @click=${() => act(r.edits[key])}>${t(`read.${key}`)}</button>` : nothing)}
		<button class="quiet" @click=${() => ((shown.read = null), redraw())}>${t("close")}</button>
	</section>`;
}

/** What stands in the way: a change refused, files wanted, the program gone. */
function troubles() {
	const { lost, needs } = bench;
	const says = lost ? t("lost") : needs.length ? t("needs", { names: needs.join(", ") }) : faultsOf(bench);
	if (!says) return nothing;
	const close = html`<button class="quiet" @click=${() => ((bench.faults = []), redraw())}>${t("close")}</button>`;
	return html`<p class="trouble" role="alert">■ ${says} ${lost || needs.length ? nothing : close}</p>`;
}

/** Where the work is, and the way into its job file. */
function where() {
	const w = bench.where;
	if (!w?.ok) return nothing;
	return html`<p class="where"><span>${w.says}</span>${w.path && w.saved === false ? html`<button data-act="save" @click=${save}>${t("where.save")}</button>` : nothing}</p>`;
}

/** @param {"undo" | "redo"} way */
function step(way) {
	forgetRefusals();
	forgetDraft();
	void change({ ask: way });
}

/** @param {any} e */
async function openFiles(e) {
	await bringOpenly(e.target.files);
	e.target.value = "";
}

/** @param {KeyboardEvent} e */
function shortcuts(e) {
	const writing = e.target instanceof HTMLTextAreaElement || (e.target instanceof HTMLInputElement && e.target.type === "text");
	if (!(e.ctrlKey || e.metaKey) || writing) return;
	const key = e.key.toLowerCase();
	if (key === "z") step(e.shiftKey ? "redo" : "undo");
	else if (key === "y") step("redo");
	else if (key === "p") openPanel("paper");
	else return;
	e.preventDefault();
}

/** The drawing is fitted to its window until a hand zooms. */
function keepFitted() {
	const board = document.getElementById("board-of-piece");
	if (!board || !bench.drawing) return;
	const size = [board.clientWidth, board.clientHeight];
	const key = `${size} ${bench.drawing.box}`;
	if (key === fittedTo) return;
	fittedTo = key;
	[view.width, view.height] = size;
	if (view.fitted) fit(bench.drawing.box);
	else redraw();
}

/** Reads the numbers out once they have come to rest. */
function tell() {
	if (!isSettled() || told === bench.turn || !bench.numbers) return;
	const first = told === -1;
	told = bench.turn;
	if (first) return;
	const n = bench.numbers;
	const stops = bench.findings.filter((f) => f.level === "stop").length;
	say(t("say.numbers", { bridge: n.bridge?.says ?? "", openings: n.openings, hours: n.hours?.says ?? "", grams: n.grams?.says ?? "", stops }));
}

function draw() {
	if (!drawn) document.getElementById("page")?.replaceChildren();
	drawn = true;
	render(page(), /** @type {HTMLElement} */ (document.getElementById("page")));
	showPanel();
	freshen();
	freshenText();
	keepFitted();
	tell();
	if (bench.drawing && !performance.getEntriesByName("sawpierce-piece").length) performance.mark("sawpierce-piece");
	document.title = bench.title ? `${bench.title} · Sawpierce` : "Sawpierce";
	settled = isSettled() ? bench.turn : -1;
}

/** For tests, and for whoever looks under the page: the job's one way to be changed. */
Object.assign(globalThis, { sawpierce: { ask, bench, change, edit, isSettled: () => isSettled() && settled === bench.turn } });

async function start() {
	setWords(await words());
	watch(draw);
	redraw();
	addEventListener("keydown", shortcuts);
	addEventListener("resize", redraw);
	addEventListener("focus", () => void catchUp());
	listenForDrops();
	const mine = await kept();
	await change({ ask: "state" });
	if (bench.fresh && mine?.text) await change({ ask: "open", text: mine.text, name: mine.name });
	else if (bench.fresh) openPanel("first");
}

void start();
