/** Pieces drawn small and flat, and which of the style sheet's metal tones a metal of the table is drawn in. */
import { html, nothing, svg } from "../vendor/lit-html.js";
import { bench } from "./store.js";

/**
 * A picture of a piece, in the metal on the bench.
 * @param {string} box its window as SVG writes it
 * @param {{d: string, kind?: string}[]} paths
 * @param {string} [label] an ornament has none
 */
export function picture(box, paths, label) {
	return html`<svg class="picture" data-metal=${metalNow()} viewBox=${box} role=${label ? "img" : nothing} aria-label=${label ?? nothing} aria-hidden=${label ? nothing : "true"}>
		${paths.map(({ d, kind = "metal flat" }) => svg`<path class=${kind} fill-rule="evenodd" d=${d}></path>`)}
	</svg>`;
}

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
