// A drawn outline from points to path data and back.
import test from "node:test";
import assert from "node:assert/strict";

globalThis.document ??= /** @type {any} */ ({ baseURI: "http://localhost/" });
globalThis.requestAnimationFrame ??= () => 0;
const { closed, pathData, pointsOf } = await import("../js/outline-points.js");

const p = (x, y, rise = 0) => ({ x, y, rise });

test("straight pieces are lines, round ones arcs that bulge to the side they should", () => {
	assert.equal(pathData([p(0, 0), p(10, 0), p(5, 8)]), "M 0 0 L 10 0 L 5 -8 Z");
	// Left of the way from (0, 0) to (10, 0) is up; a rise of 5 over a chord of 10 is half a circle.
	assert.equal(pathData([p(0, 0), p(10, 0, 5)]), "M 0 0 A 5 5 0 0 1 10 0 Z");
	assert.equal(pathData([p(0, 0), p(10, 0, -5)]), "M 0 0 A 5 5 0 0 0 10 0 Z");
	// More than half a circle takes the long way.
	assert.match(pathData([p(0, 0), p(10, 0, 8)]), /A 5\.563 5\.563 0 1 1 10 0/);
});

test("the other side is the mirror of the one that was drawn", () => {
	const line = closed([p(0, 20), p(12, 4, -3), p(0, -18)]);
	assert.deepEqual(line, [p(0, 20, -3), p(12, 4, -3), p(0, -18), p(-12, 4)]);
	const open = closed([p(4, 10), p(9, 0), p(3, -10)]);
	assert.equal(open.length, 6);
	assert.deepEqual(open.slice(3), [p(-3, -10), p(-9, 0), p(-4, 10)]);
});

test("path data come back as the points they were made of", () => {
	for (const points of [[p(0, 20, -3), p(12, 4, -3), p(0, -18), p(-12, 4)], [p(0, 0), p(10, 0, 8), p(4, 9, 1.5)], [p(-5, 0, 5), p(5, 0, 5)]]) {
		const back = pointsOf(pathData(points));
		assert.equal(back?.length, points.length);
		points.forEach((q, i) => {
			for (const key of ["x", "y", "rise"]) assert.ok(Math.abs(q[key] - back[i][key]) < 0.02, `${i} ${key}: ${q[key]} ${back[i][key]}`);
		});
	}
	assert.equal(pointsOf("M 0 0 C 1 1 2 2 3 3 Z"), null);
});
