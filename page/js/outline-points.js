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
function piece(a, b) {
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
 * The points with the other side added: mirrored left to right, from the last back to the first. What stands on the middle
 * comes once.
 * @param {Point[]} points as drawn, one side
 * @returns {Point[]}
 */
export function closed(points) {
	const last = points.length - 1;
	if (last < 1) return points;
	const [top, foot] = [points[0], points[last]].map((p) => Math.abs(p.x) < 0.05);
	const other = points.map(({ x, y }, i) => ({ x: -x, y, rise: points[i + 1]?.rise ?? 0 }));
	const back = other.slice(top ? 1 : 0, foot ? last : points.length).reverse();
	return [{ ...points[0], rise: top ? points[1].rise : 0 }, ...points.slice(1), ...back];
}

/** Path data of the closed line. The first point's rise belongs to the piece that closes it. @param {Point[]} points */
export function pathData(points) {
	const [first] = points;
	if (!first) return "";
	const pieces = points.slice(1).map((p, i) => piece(points[i], p));
	if (Math.abs(first.rise) >= 0.005) pieces.push(piece(points[points.length - 1], first));
	return [`M ${n(first.x)} ${n(-first.y)}`, ...pieces, "Z"].join(" ");
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
