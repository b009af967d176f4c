/** What a screen reader is told when the piece changes. */

let last = "";

/** @param {string} text */
export function say(text) {
	const region = document.getElementById("say");
	if (!region || text === last) return;
	last = text;
	region.textContent = text;
}
