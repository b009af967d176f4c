/** The panels that open over the page, one at a time: by eye, mending, paper, measuring, starting. */
import { html, nothing } from "../vendor/lit-html.js";
import { redraw } from "./store.js";
import { t } from "./words.js";

/** @typedef {{title: string, lead?: () => string, view: () => any, enter?: () => void, leave?: () => void}} Panel */

/** @type {{open: string | null, back: HTMLElement | null}} */
export const panels = { open: null, back: null };

/** @type {Map<string, Panel>} */
const known = new Map();

/** @param {string} name @param {Panel} what */
export function panel(name, what) {
	known.set(name, what);
}

const now = () => known.get(panels.open ?? "");

export function panelView() {
	const open = now();
	if (!open) return nothing;
	return html`<h2 id="panel-title">${t(open.title)}</h2>
		<p class="lead" id="panel-lead">${open.lead?.() || t(`lead.${panels.open}`)}</p>
		${open.view()}`;
}

/** What speaks against what was asked for. @param {string} says */
export const fault = (says) => (says ? html`<p class="fault" role="alert">■ ${says}</p>` : nothing);

/** @param {string} name */
export function openPanel(name) {
	now()?.leave?.();
	if (!panels.open) panels.back = /** @type {HTMLElement} */ (document.activeElement);
	panels.open = name;
	now()?.enter?.();
	redraw();
}

export function closePanel() {
	if (!panels.open) return;
	now()?.leave?.();
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
