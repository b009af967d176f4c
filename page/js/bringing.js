/** What people bring: a job file, the drawing of an outline, dropped anywhere on the page or chosen. */
import { ask, bench, change, edit, redraw } from "./store.js";
import { t } from "./words.js";
import { say } from "./live-region.js";
import { sizes } from "./outline.js";

/** @param {Blob} file @returns {Promise<string>} */
function base64(file) {
	return new Promise((done) => {
		const reader = new FileReader();
		reader.onload = () => done(String(reader.result).replace(/^.*,/, ""));
		reader.readAsDataURL(file);
	});
}

/** The drawing of an outline becomes the outline. @param {File} file */
export async function giveFile(file) {
	const whole = await ask({ ask: "whole" });
	if (!whole.ok) return whole;
	const files = { ...whole.files, [file.name]: await base64(file) };
	const given = await change({ ask: "open", text: bench.text, name: bench.name, files });
	if (!given.ok) return given;
	return edit([{ path: "outline.shape", value: "file" }, ...sizes("file"), { path: "outline.file", value: file.name }]);
}

/** A job that waits for the files it names. @type {JobFiles | null} */
let waiting = null;

/** @param {FileList | File[]} list @returns {Promise<Answer>} */
export async function bring(list) {
	const files = [...list];
	const job = files.find((f) => /\.toml$/i.test(f.name));
	const named = Object.fromEntries(await Promise.all(files.filter((f) => f !== job).map(async (f) => [f.name, await base64(f)])));
	const others = Object.keys(named);
	if (job) waiting = { text: await job.text(), name: job.name, files: named };
	else if (waiting && others.some((name) => bench.needs.includes(name))) waiting.files = { ...waiting.files, ...named };
	else if (others.length) return told(await giveFile(files[0]), others[0]);
	else return { ok: false, turn: bench.turn, faults: [{ says: t("bring.what") }] };
	const { name } = waiting;
	const answer = await change({ ask: "open", ...waiting });
	if (answer.ok) waiting = null;
	return told(answer, name);
}

/** @param {Answer} answer @param {string} name */
function told(answer, name) {
	if (answer.ok) say(t("say.opened", { name }));
	return answer;
}

/** The same, with what was wrong told on the page. @param {FileList} list */
export async function bringOpenly(list) {
	const answer = await bring(list);
	if (!answer.ok) bench.faults = answer.faults ?? [];
	redraw();
}

/** Anything dropped on the page. */
export function listenForDrops() {
	const page = document.documentElement;
	page.addEventListener("dragover", (e) => {
		e.preventDefault();
		page.classList.add("dropping");
	});
	page.addEventListener("dragleave", (e) => {
		if (!e.relatedTarget) page.classList.remove("dropping");
	});
	page.addEventListener("drop", (e) => {
		e.preventDefault();
		page.classList.remove("dropping");
		if (e.dataTransfer?.files.length) void bringOpenly(e.dataTransfer.files);
	});
}
