/**
 * The one module that differs between the two ways the page is delivered. This one speaks to the program that serves
 * the page from 127.0.0.1; the single offline file has another with the same names that speaks to an engine inside it.
 */

const here = new URL("./", document.baseURI);

/** True where a program stands behind the page: printers, minutes and a folder to save into. */
export const native = true;

/** One question, one answer. @param {Record<string, unknown>} question @returns {Promise<any>} */
export async function ask(question) {
	const answer = await fetch(new URL("ask", here), {
		method: "POST",
		headers: { "Content-Type": "application/json" },
		body: JSON.stringify(question),
	});
	if (!answer.ok) throw new Error(`${answer.status} ${answer.statusText}`);
	return answer.json();
}

/** A finished file. @param {string} kind @returns {Promise<{name: string, blob: Blob}>} */
export async function file(kind) {
	const answer = await fetch(new URL(`file/${kind}`, here));
	if (!answer.ok) throw new Error((await answer.text()) || answer.statusText);
	const named = /filename="?([^";]+)"?/.exec(answer.headers.get("content-disposition") ?? "");
	return { name: named ? named[1] : kind, blob: await answer.blob() };
}

/** @returns {Promise<Record<string, string>>} the table of words */
export async function words() {
	return (await fetch(new URL("words/en.json", here))).json();
}

/**
 * Keeps the work as it changes. The program behind the page does so itself, beside the job file; the page only keeps a
 * second copy, in case the program is gone.
 * @param {string} text
 * @param {string} name
 */
export async function keep(text, name) {
	try {
		localStorage.setItem("sawpierce.work", JSON.stringify({ text, name }));
	} catch {
		// A full or forbidden store: the program's own copy stands.
	}
}

/** @returns {Promise<{text: string, name: string} | null>} */
export async function kept() {
	try {
		return JSON.parse(localStorage.getItem("sawpierce.work") ?? "null");
	} catch {
		return null;
	}
}
