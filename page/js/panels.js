/** The panels that open over the page, one at a time: by eye, mending, paper, measuring, starting. */
import { redraw } from "./store.js";

/** @type {{open: string | null, back: HTMLElement | null}} */
export const panels = { open: null, back: null };

/** @type {Map<string, {enter?: () => void, leave?: () => void}>} */
const known = new Map();

/** @param {string} name @param {{enter?: () => void, leave?: () => void}} what */
export function panel(name, what) {
	known.set(name, what);
}

/** @param {string} name */
export function openPanel(name) {
	if (panels.open) known.get(panels.open)?.leave?.();
	else panels.back = /** @type {HTMLElement} */ (document.activeElement);
	panels.open = name;
	known.get(name)?.enter?.();
	redraw();
}

export function closePanel() {
	if (!panels.open) return;
	known.get(panels.open)?.leave?.();
	panels.open = null;
	redraw();
}

/** Keeps the dialog element in step with what is open; called after each drawing of the page. */
export function showPanel() {
	const dialog = /** @type {HTMLDialogElement | null} */ (document.getElementById("panel"));
	if (!dialog) return;
	if (panels.open && !dialog.open) {
		dialog.showModal();
		dialog.scrollTop = 0;
	} else if (!panels.open && dialog.open) {
		dialog.close();
		panels.back?.focus();
	}
}
