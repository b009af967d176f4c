// How fast it feels, in a table. Nothing is asserted but that it was measured: this machine may be busy.
import test from "node:test";
import { openPage, settled } from "./bench.js";
import { PLAIN } from "./jobs.js";

const SIZES = /** @type {const} */ ([
  [300, PLAIN.replace("diameter = 36", "diameter = 72").replace("pitch = 6", "pitch = 3.6").replace("bridge = 1.4", "bridge = 1")],
  [1000, PLAIN.replace("diameter = 36", "diameter = 128").replace("pitch = 6", "pitch = 3.6").replace("bridge = 1.4", "bridge = 1")],
  [5000, PLAIN.replace("diameter = 36", "diameter = 280").replace("pitch = 6", "pitch = 3.6").replace("bridge = 1.4", "bridge = 1")],
]);
const EDITS = 60;

const at = (list, share) => list[Math.min(list.length - 1, Math.floor(list.length * share))];

test("first paint, and from a change to its drawing", { timeout: 600_000 }, async (t) => {
  const rows = [];
  for (const [about, job] of SIZES) {
    const { page, close } = await openPage({ job });
    t.after(close);
    const openings = await page.locator("[data-figure=openings] dd").innerText();
    const times = await page.evaluate(async (n) => {
      const { edit } = /** @type {any} */ (globalThis).sawpierce;
      performance.clearMeasures();
      for (let i = 0; i < n; i += 1) {
        await edit([{ path: "keep_solid[0].at", value: [Math.round(Math.sin(i / 7) * 80) / 10, 14 - (i % 20) / 4] }], { gesture: "speed", quick: true });
        await new Promise((r) => requestAnimationFrame(() => setTimeout(r)));
      }
      await new Promise((r) => setTimeout(r, 300));
      return performance.getEntriesByName("sawpierce-drawn").map((m) => m.duration).sort((a, b) => a - b);
    }, EDITS);
    await settled(page);
    await page.reload();
    await page.waitForSelector("svg.sheet path.metal");
    const paint = await page.evaluate(() => ({
      first: performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? 0,
      piece: performance.getEntriesByName("sawpierce-piece")[0]?.startTime ?? 0,
    }));
    rows.push({ about, openings, edits: times.length, p50: at(times, 0.5), p95: at(times, 0.95), least: times[0], ...paint });
    await close();
  }
  t.diagnostic("openings | change to drawn p50 ms | p95 ms | least ms | first paint ms | piece drawn ms");
  for (const r of rows)
    t.diagnostic(`${r.openings} | ${r.p50?.toFixed(1)} | ${r.p95?.toFixed(1)} | ${r.least?.toFixed(1)} | ${r.first.toFixed(0)} | ${r.piece.toFixed(0)}`);
});
