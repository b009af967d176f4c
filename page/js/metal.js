/** Which of the style sheet's metal tones a metal of the table is drawn in. */

import { bench } from "./store.js";

/** The tone of the metal on the bench. */
export function metalNow() {
	return metalOf(bench.drawing?.metal ?? /^\s*metal\s*=\s*"([^"]+)"/m.exec(bench.text)?.[1] ?? "copper");
}

/** @param {string} name */
export function metalOf(name) {
	if (/copper|bronze/.test(name)) return "copper";
	if (/brass|gilding/.test(name)) return "brass";
	if (/gold-18k-white|platinum|palladium|nickel/.test(name)) return "white";
	if (/gold/.test(name)) return "gold";
	if (/silver/.test(name)) return "silver";
	return "grey";
}
