/** All text of the page stands in one table, `words/en.json`; what the engine says comes ready made. */

/** @type {Record<string, string>} */
let table = {};

/** @param {Record<string, string>} words */
export function setWords(words) {
	table = words;
}

/** The text of a key that may not be there. @param {string} key @returns {string | undefined} */
export const known = (key) => table[key];

/** The text of a key, with `{name}` places filled in. @param {string} key @param {Record<string, string | number>} [places] */
export function t(key, places = {}) {
	const text = table[key] ?? key;
	return text.replace(/\{(\w+)\}/g, (whole, name) => String(places[name] ?? whole));
}

/** A number as people type it; none is NaN. @param {unknown} text */
export const numberOf = (text) => Number(String(text).replace(",", "."));

/** One or many: `key.one` or `key.many`, with `{n}`. @param {string} key @param {number} n */
export function count(key, n) {
	return t(`${key}.${n === 1 ? "one" : "many"}`, { n });
}
