// Draws the pictures of the bench page: page-light, -dark, -wide, -by-eye, -outline, -mend, -phone.
//   SAWPIERCE_ENGINE=target/release/sawpierce node pictures/page.mjs [NAME...]
import { readFileSync } from "node:fs";
import path from "node:path";
import { drawn, openPage, openPanel, settled } from "../page/tests/bench.js";

const here = import.meta.dirname;
const only = process.argv.slice(2);
const example = (/** @type {string} */ name) => readFileSync(path.join(here, "../examples", `${name}.toml`), "utf8");
const WIDE = { width: 1440, height: 900 };

/** @param {string} name @param {object} how @param {(page: any) => Promise<void>} [steps] */
async function picture(name, how, steps) {
  if (only.length && !only.includes(name)) return;
  const { page, close } = await openPage({ view: WIDE, ...how });
  await steps?.(page);
  await page.waitForTimeout(300);
  await page.screenshot({ path: path.join(process.env.OUT ?? here, `page-${name}.png`) });
  await close();
}

const fold = (/** @type {any} */ page, /** @type {string[]} */ ...open) =>
  page.evaluate((names) => {
    for (const group of document.querySelectorAll("details.group")) group.open = names.includes(group.dataset.group);
  }, open);
const byEye = async (/** @type {any} */ page) => {
  await openPanel(page, '[data-open="eye"]');
  await page.waitForFunction(() => Number(document.querySelector("ul.eye")?.dataset.done) >= 18, undefined, { timeout: 120_000 });
};
const THIN = `title = "Tern pendant"\nskill = "practised"\n[sheet]\nmetal = "sterling-silver"\nthickness = 0.8\n[outline]\nshape = "circle"\ndiameter = 42\nborder = 2.6\n[pattern]\nname = "hexagon"\npitch = 4.6\nbridge = 0.9\n`;

await picture("light", { job: example("tide-dial"), name: "tide-dial.toml" }, (page) => fold(page, "piece"));
await picture("dark", { job: example("lantern-panel"), name: "lantern-panel.toml", scheme: "dark" }, (page) => fold(page, "pattern"));
await picture("wide", { job: example("bee-pane"), name: "bee-pane.toml", view: { width: 1920, height: 1080 } }, (page) => fold(page, "piece"));
await picture("by-eye", { job: example("rain-earrings"), name: "rain-earrings.toml", wait: drawn }, byEye);
await picture("mend", { job: THIN }, async (page) => {
  await page.click(".findings h2 button.do");
  await page.waitForSelector(".before-after figure:nth-child(2)", { timeout: 60_000 });
});
await picture("outline", {}, async (page) => {
  await page.keyboard.press("Escape");
  await openPanel(page, '[data-open="outline"]');
  const board = await page.locator("#board").boundingBox();
  const scale = Math.min(board.width, board.height) / 60;
  const put = (/** @type {number} */ x, /** @type {number} */ y) => page.mouse.click(board.x + board.width / 2 + x * scale, board.y + board.height / 2 - y * scale);
  await put(0, 20);
  await page.click(".outline-side .row button:nth-child(2)");
  await put(16, 8);
  await put(0, -22);
});
await picture("phone", { job: example("tide-dial"), view: { width: 390, height: 844 }, more: { hasTouch: true, isMobile: true, deviceScaleFactor: 2 } }, settled);
