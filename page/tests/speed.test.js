// How fast it feels, in a table. Nothing is asserted but that it was measured: this machine may be busy. Times are taken in
// the page, from the asking to the frame that shows the answer; the screen's own beat (up to 17 ms more) is switched off,
// since it says nothing about the page. SAWPIERCE_BEAT=1 leaves it on.
import test from "node:test";
import assert from "node:assert/strict";
import { drawn, figure, openPage, settled } from "./bench.js";
import { wide } from "./jobs.js";

/** About so many openings, and how wide a disc holds them, mm. */
const SIZES = /** @type {const} */ ([
  [300, 50],
  [1000, 90],
  [5000, 198],
]);
const EDITS = 60;
const args = process.env.SAWPIERCE_BEAT ? [] : ["--disable-gpu-vsync", "--disable-frame-rate-limit"];

const at = (/** @type {number[]} */ list, /** @type {number} */ share) => list[Math.min(list.length - 1, Math.floor(list.length * share))];

for (const edge of ["trim", "fit"])
  test(`first paint, and from a change to its drawing: at_border = ${edge}`, { timeout: 600_000 }, async (t) => {
    t.diagnostic("openings | change | answered p50 ms | drawn p50 | drawn p95 | least (or first paint) | best fit (or piece drawn)");
    const tell = (/** @type {(string | number)[]} */ ...row) =>
      t.diagnostic(row.map((v) => (typeof v === "number" ? (Number.isNaN(v) ? "" : v.toFixed(1)) : v)).join(" | "));
    for (const [, across] of SIZES) {
      const { page, close } = await openPage({ job: wide(across, edge), args, wait: drawn });
      t.after(close);
      await page.waitForFunction((n) => Number(document.querySelector("[data-figure=openings] dd")?.textContent) > n, across);
      const openings = await figure(page, "openings");
      // A hand begins when the page has come to rest: what follows the opening of a job is not its doing.
      await settled(page);
      for (const what of ["a place dragged", "a bridge typed"]) {
        const times = await page.evaluate(
          async ({ n, what }) => {
            const { edit } = /** @type {any} */ (globalThis).sawpierce;
            const value = (/** @type {number} */ i) =>
              what === "a bridge typed"
                ? { path: "pattern.bridge", value: 0.8 + (i % 7) / 100 }
                : { path: "keep_solid[0].at", value: [Math.round(Math.sin(i / 7) * 80) / 10, 14 - (i % 20) / 4] };
            performance.clearMeasures();
            for (let i = 0; i < n; i += 1) {
              await edit([value(i)], { gesture: what });
              await new Promise((r) => requestAnimationFrame(() => setTimeout(r)));
            }
            await new Promise((r) => setTimeout(r, 100));
            const all = (/** @type {string} */ name) =>
              performance.getEntriesByName(name).map((m) => m.duration).sort((a, b) => a - b);
            return { drawn: all("sawpierce-drawn"), answered: all("sawpierce-answered") };
          },
          { n: EDITS, what },
        );
        await drawn(page);
        // The last edit again, until the drawing is the best one.
        const best = await page.evaluate(async (what) => {
          const { edit, bench } = /** @type {any} */ (globalThis).sawpierce;
          const started = performance.now();
          const last = what === "a bridge typed" ? { path: "pattern.bridge", value: 0.83 } : { path: "keep_solid[0].at", value: [2, 11] };
          const { turn } = await edit([last]);
          while (bench.drawing.turn !== turn || bench.drawing.final === false) await new Promise((r) => setTimeout(r, 5));
          return performance.now() - started;
        }, what);
        await settled(page);
        assert.ok(times.drawn.length >= EDITS / 2, `${times.drawn.length} drawings seen`);
        tell(openings, what, at(times.answered, 0.5), at(times.drawn, 0.5), at(times.drawn, 0.95), times.drawn[0], best);
      }
      await page.reload();
      await page.waitForSelector("svg.sheet path.metal");
      await page.waitForTimeout(300);
      const paint = await page.evaluate(() =>
        ["first-contentful-paint", "sawpierce-piece"].map((name) => performance.getEntriesByName(name)[0]?.startTime ?? Number.NaN),
      );
      assert.ok(paint.every(Number.isFinite), "first paint was measured");
      tell(openings, "loaded anew", Number.NaN, Number.NaN, Number.NaN, ...paint);
      await close();
    }
  });
