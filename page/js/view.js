/**
 * Where the drawing stands on the screen: pan, zoom, life size. mm, y down as the picture is drawn; the engine's places are
 * y up, so `y` changes sign between the two.
 */
import { redraw } from "./store.js";

/** mm at the middle of the window, and how many screen pixels show one mm. */
export const view = { x: 0, y: 0, scale: 8, width: 800, height: 600, life: false, fitted: true };

/** The long edge of a bank card, mm (ISO/IEC 7810 ID-1). */
export const CARD = 85.6;

/** Screen pixels in a true mm, once a card was held to the screen. */
export function lifeScale() {
	const kept = Number(localStorage.getItem("sawpierce.life"));
	return kept > 0.5 && kept < 40 ? kept : null;
}

/** @param {number} cardPixels what the card's long edge measured on the screen */
export function setLifeScale(cardPixels) {
	try {
		localStorage.setItem("sawpierce.life", String(cardPixels / CARD));
	} catch {
		// Not remembered then; asked again next time.
	}
}

/** The whole piece with some bench round it. @param {number[]} box x0 y0 x1 y1, y up */
export function fit(box) {
	const [x0, y0, x1, y1] = box;
	view.x = (x0 + x1) / 2;
	view.y = -(y0 + y1) / 2;
	const room = 1.16;
	view.scale = Math.max(0.05, Math.min(view.width / ((x1 - x0) * room), view.height / ((y1 - y0) * room)));
	view.life = false;
	view.fitted = true;
	redraw();
}

/**
 * Zooms and keeps the place under the pointer where it is.
 * @param {number} by
 * @param {Spot} [at] screen pixels from the window's corner
 */
export function zoom(by, at = { x: view.width / 2, y: view.height / 2 }) {
	const scale = Math.min(400, Math.max(0.1, view.scale * by));
	const dx = at.x - view.width / 2;
	const dy = at.y - view.height / 2;
	view.x += dx / view.scale - dx / scale;
	view.y += dy / view.scale - dy / scale;
	view.scale = scale;
	view.life = false;
	view.fitted = false;
	redraw();
}

/** @param {number} dx screen pixels @param {number} dy */
export function pan(dx, dy) {
	view.x -= dx / view.scale;
	view.y -= dy / view.scale;
	view.fitted = false;
	redraw();
}

/** @param {number} x mm @param {number} y mm, y up */
export function lookAt(x, y) {
	view.x = x;
	view.y = -y;
	view.fitted = false;
	redraw();
}

export function toLife() {
	const scale = lifeScale();
	if (!scale) return false;
	view.scale = scale;
	view.life = true;
	view.fitted = false;
	redraw();
	return true;
}

/** A picture's window round a box of the job. @param {number[]} box x0 y0 x1 y1, y up */
export function around([x0, y0, x1, y1]) {
	const m = Math.max(x1 - x0, y1 - y0) * 0.04;
	return `${x0 - m} ${-y1 - m} ${x1 - x0 + 2 * m} ${y1 - y0 + 2 * m}`;
}

export function viewBox() {
	const w = view.width / view.scale;
	const h = view.height / view.scale;
	return `${view.x - w / 2} ${view.y - h / 2} ${w} ${h}`;
}

/** A place on the screen as a place of the job: mm, y up. @param {Spot} at pixels from the window's corner @returns {Place} */
export function placeAt(at) {
	return [view.x + (at.x - view.width / 2) / view.scale, -(view.y + (at.y - view.height / 2) / view.scale)];
}
