/**
 * What the page knows: the engine's last answers, and the one way to change the job. Changes go one at a time; those of
 * one gesture that still wait are replaced by the newest. What follows a change (the best fit, the questions, remedies) is
 * asked only while nothing else waits.
 */
import * as engine from "./engine.js";

export const native = engine.native;

export const bench = {
	/** Whether a job is on the bench at all. */
	begun: false,
	/** Nothing was opened or changed yet. */
	fresh: false,
	turn: 0,
	text: "",
	title: "",
	name: "",
	canUndo: false,
	canRedo: false,
	units: "mm",
	/** @type {Drawing | null} */
	drawing: null,
	/** @type {any} */
	numbers: null,
	/** @type {Finding[]} */
	findings: [],
	/** @type {Group[]} */
	form: [],
	/** What is wrong with the last change, which was not made. @type {Fault[]} */
	faults: [],
	/** Names of files the job wants and has not got. @type {string[]} */
	needs: [],
	/** Where the work is kept, in words. @type {any} */
	where: null,
	/** The program behind the page does not answer. */
	lost: false,
};

/** @type {Set<() => void>} */
const watchers = new Set();
let due = false;

/** @param {() => void} look called once a frame in which something changed */
export function watch(look) {
	watchers.add(look);
}

export function redraw() {
	if (due) return;
	due = true;
	requestAnimationFrame(() => {
		due = false;
		for (const look of watchers) look();
	});
}

/** A question that changes nothing. @param {Record<string, unknown>} question @returns {Promise<any>} */
export async function ask(question) {
	try {
		const answer = await engine.ask(question);
		if (bench.lost) redraw();
		bench.lost = false;
		return answer;
	} catch (reason) {
		bench.lost = true;
		redraw();
		return { ok: false, turn: bench.turn, faults: [{ line: 0, column: 0, says: String(reason) }], lost: true };
	}
}

export const file = engine.file;
export const kept = engine.kept;

/** @type {Waiting[]} */
const waiting = [];
let running = false;

/**
 * A question that changes the job: `edit`, `add`, `remove`, `text`, `undo`, `redo`, `open`, `begin`.
 * @param {Record<string, any>} question
 * @returns {Promise<any>}
 */
export function change(question) {
	const last = waiting.at(-1);
	if (last && question.gesture !== undefined && last.question.gesture === question.gesture) {
		last.question = question;
		return last.promise;
	}
	/** @type {(answer: any) => void} */
	let resolve = () => {};
	const promise = new Promise((r) => (resolve = r));
	waiting.push({ question, promise, resolve, since: performance.now() });
	void work();
	return promise;
}

/** @param {Edit[]} edits @param {{gesture?: string, quiet?: boolean}} [how] */
export async function edit(edits, how = {}) {
	const { quiet, ...rest } = how;
	return change({ ask: "edit", edits, quiet, ...rest });
}

async function work() {
	if (running) return;
	running = true;
	for (let next = waiting.shift(); next; next = waiting.shift()) {
		const { quiet, ...question } = next.question;
		// The first drawing at once; what takes longer follows when the hand rests.
		const answer = await ask({ ...question, quick: true, window: mine, turn: bench.turn, has: bench.drawing?.tiles });
		if (answer.stale) void catchUp();
		if (answer.drawing) measure(next.since);
		take(answer, quiet === true);
		next.resolve(answer);
	}
	running = false;
	clearTimeout(pause);
	pause = setTimeout(follow, REST);
}

/** A hand that rests for so long has come to a stop, ms. The program gives way to the next change at once, the single file's engine does not. */
const REST = native ? 15 : 50;
let pause = 0;

/** From the asking to the frame that shows it; the tests read these. @param {number} since */
function measure(since) {
	performance.measure("sawpierce-answered", { start: since });
	requestAnimationFrame(() => {
		const channel = new MessageChannel();
		channel.port1.onmessage = () => performance.measure("sawpierce-drawn", { start: since });
		channel.port2.postMessage(0);
	});
}

/** Puts an answer on the bench. @param {any} answer @param {boolean} quiet a half-typed value is not yet a fault */
function take(answer, quiet) {
	if (!answer.ok) {
		if (answer.needs) bench.needs = answer.needs;
		if (!quiet && !answer.superseded) bench.faults = answer.faults ?? [];
		redraw();
		return;
	}
	bench.faults = [];
	bench.turn = answer.turn;
	if (typeof answer.text === "string") {
		const { text, title = "", name = "", units = "mm", needs = [] } = answer;
		Object.assign(bench, { begun: true, text, title, name, units, needs, canUndo: answer.can_undo, canRedo: answer.can_redo });
		bench.fresh = bench.turn === 0 && name === "piece.toml";
		void engine.keep(bench.text, bench.name);
	}
	if (answer.drawing) putDrawing(answer);
	if (answer.numbers) putNumbers(answer.numbers, answer.turn);
	redraw();
}

/**
 * Puts a drawing on the bench. Of its openings only those parts come that are not as in the drawing that was there.
 * @param {any} answer
 */
function putDrawing({ drawing, turn }) {
	const before = bench.drawing;
	if (drawing.since && drawing.since !== before?.tiles) {
		// Another one was put there meanwhile: what is shown is not the last word, and is asked for again.
		bench.drawing = before && { ...before, final: false };
		return;
	}
	const openings = drawing.openings.map((/** @type {string | null} */ d, /** @type {number} */ i) => d ?? before?.openings[i] ?? "");
	bench.drawing = { ...drawing, openings, turn };
}

/** The turn whose numbers are shown. */
let numbered = -1;

/** @param {any} numbers @param {number} turn */
function putNumbers(numbers, turn) {
	bench.numbers = numbers;
	numbered = turn;
}

/** Asks, and takes the answer unless another change waits. @param {Record<string, unknown>} question @param {(answer: any) => void} put */
async function then(question, put) {
	const answer = await ask(question);
	if (answer.ok && !waiting.length) put(answer);
}

/** What is asked when nothing waits: each step gives way to a new change. */
async function follow() {
	if (!bench.begun) return;
	const steps = [
		async () => {
			if (bench.drawing && bench.drawing.final !== false && bench.drawing.turn === bench.turn) return;
			const answer = await ask({ ask: "drawing", has: bench.drawing?.tiles });
			if (waiting.length || running) return;
			if (answer.ok) putDrawing(answer);
			else if (!answer.superseded && !answer.lost) {
				// Only the best drawing showed that the change makes no piece: it was taken back.
				bench.faults = answer.faults;
				await catchUp();
			}
		},
		async () => {
			if (numbered !== bench.turn) await then({ ask: "numbers" }, (answer) => putNumbers(answer.numbers, answer.turn));
		},
		() => then({ ask: "form" }, (answer) => (bench.form = answer.groups)),
		() => then({ ask: "findings", remedies: false }, (answer) => (bench.findings = answer.findings)),
		async () => {
			if (native) bench.where = await ask({ ask: "where" });
		},
		async () => {
			await new Promise((later) => setTimeout(later, 250));
			if (waiting.length || running) return;
			await then({ ask: "findings", remedies: true }, (answer) => (bench.findings = answer.findings));
		},
	];
	const turn = bench.turn;
	for (const step of steps) {
		if (waiting.length || running || turn !== bench.turn) return;
		await step();
		redraw();
	}
	settled = turn;
}

let settled = -1;

/** The name of this window: what another changed is not written over. */
const mine = `w${Math.random().toString(36).slice(2)}`;

/** Another window may have changed the job: looks at what it is now. */
export async function catchUp() {
	const answer = await ask({ ask: "state" });
	if (!answer.ok || answer.turn === bench.turn) return;
	const faults = bench.faults;
	take(answer, true);
	bench.faults = faults;
	void follow();
}

/** True when the newest turn is wholly shown, remedies included. */
export function isSettled() {
	return !running && !waiting.length && settled === bench.turn;
}

/** Writes the work into its job file. */
export async function save() {
	const answer = await ask({ ask: "save" });
	if (answer.ok) bench.where = answer;
	else bench.faults = answer.faults;
	redraw();
}

let gestures = 0;

/** A name for the steps of one gesture, so that they are undone together. */
export function gesture() {
	gestures += 1;
	return `g${gestures}-${Math.round(performance.now())}`;
}

/** What speaks against a change, in one line. @param {{faults?: Fault[]}} answer */
export function faultsOf(answer) {
	return (answer.faults ?? []).map((f) => f.says).join(" ");
}

/** A question of the form, by its path. @param {string} path */
export const fieldOf = (path) => bench.form.flatMap((g) => g.fields).find((f) => f.path === path);

/** A length as it is sent: mm to the micrometre. @param {number} mm */
export function micro(mm) {
	return round(mm, 3);
}

/** @param {number} x @param {number} places */
export function round(x, places) {
	const p = 10 ** places;
	return Math.round(x * p) / p + 0;
}
