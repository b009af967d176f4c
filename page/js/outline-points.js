/** A drawn outline as points: straight and round pieces between them. mm, y up; written for the job as path data, y down. */
import { round } from "./store.js";

/**
 * `rise`: height of the round piece that ends in this point, over the middle of its chord; positive bulges to the left of the
 * way from the point before; 0 is straight.
 * @typedef {{x: number, y: number, rise: number}} Point
 */

/** @param {number} v */
const n = (v) => String(round(v, 3));

/** One piece of line, drawn from `a` to `b`. @param {Point} a @param {Point} b */
export function piece(a, b) {
	const chord = Math.hypot(b.x - a.x, b.y - a.y);
	const h = Math.abs(b.rise);
	if (h < 0.005 || chord < 0.001) return `L ${n(b.x)} ${n(-b.y)}`;
	const r = (chord * chord) / (8 * h) + h / 2;
	const large = h > chord / 2 ? 1 : 0;
	// Left of the way, y up, is counter-sense to the eye of a picture drawn y down: sweep 1 turns clockwise on the screen.
	const sweep = b.rise > 0 ? 1 : 0;
	return `A ${n(r)} ${n(r)} 0 ${large} ${sweep} ${n(b.x)} ${n(-b.y)}`;
}

/**
 * The points with the other side added: mirrored left to right, from the last back to the first.
 * @param {Point[]} points
 * @returns {Point[]}
 */
export function bothSides(points) {
	const last = points.length - 1;
	if (last < 1) return points;
	const out = [...points];
	const onAxis = (/** @type {Point} */ p) => Math.abs(p.x) < 0.05;
	for (let i = last; i >= 0; i -= 1) {
		const rise = i === last ? 0 : points[i + 1].rise;
		if (i === last && onAxis(points[i])) continue;
		if (i === 0 && onAxis(points[0])) continue;
		out.push({ x: -points[i].x, y: points[i].y, rise });
	}
	return out;
}

/** Path data of the closed line. The first point's rise belongs to the piece that closes it. @param {Point[]} points */
export function pathData(points) {
	if (!points.length) return "";
	const [first, ...rest] = points;
	let d = `M ${n(first.x)} ${n(-first.y)}`;
	let at = first;
	for (const p of rest) {
		d += ` ${piece(at, p)}`;
		at = p;
	}
	if (Math.abs(first.rise) >= 0.005) d += ` ${piece(at, first)}`;
	return `${d} Z`;
}

/**
 * The closing rise of a mirrored line whose first point stands on the middle: the same as its first piece.
 * @param {Point[]} points as drawn, one side
 */
export function closed(points) {
	const both = bothSides(points);
	if (both.length < 2 || both === points) return both;
	const startsOnAxis = Math.abs(points[0].x) < 0.05;
	const first = { ...both[0], rise: startsOnAxis ? (points[1]?.rise ?? 0) : 0 };
	return [first, ...both.slice(1)];
}

/**
 * Points of path data made of M, L, A and Z with absolute places, as this page writes it; null for any other.
 * @param {string} d
 * @returns {Point[] | null}
 */
export function pointsOf(d) {
	const words = d.trim().split(/[\s,]+/);
	/** @type {Point[]} */
	const points = [];
	for (let i = 0; i < words.length; ) {
		const letter = words[i];
		const take = (/** @type {number} */ k) => words.slice(i + 1, i + 1 + k).map(Number);
		if (letter === "M" || letter === "L") {
			const [x, y] = take(2);
			points.push({ x, y: -y, rise: 0 });
			i += 3;
		} else if (letter === "A") {
			const [r, , , large, sweep, x, y] = take(7);
			const from = points.at(-1);
			if (!from) return null;
			const chord = Math.hypot(x - from.x, -y - from.y);
			const depth = Math.sqrt(Math.max(0, r * r - (chord * chord) / 4));
			const h = large ? r + depth : r - depth;
			points.push({ x, y: -y, rise: sweep ? h : -h });
			i += 8;
		} else if (letter === "Z") i += 1;
		else return null;
	}
	if (points.some((p) => !Number.isFinite(p.x + p.y + p.rise))) return null;
	const first = points[0];
	const last = points.at(-1);
	if (points.length > 2 && first && last && Math.hypot(first.x - last.x, first.y - last.y) < 0.002) {
		first.rise = last.rise;
		points.pop();
	}
	return points.length > 1 ? points : null;
}
