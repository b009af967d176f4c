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
/** A leaf on linen, as a camera might see it. */
const leaf = (/** @type {any} */ page) =>
  page.evaluate(() => {
    const board = document.createElement("canvas");
    [board.width, board.height] = [440, 600];
    const pen = board.getContext("2d");
    pen.fillStyle = "#d9d0bd";
    pen.fillRect(0, 0, 440, 600);
    pen.filter = "blur(1.5px)";
    const green = pen.createLinearGradient(60, 60, 380, 540);
    for (const [at, tone] of [[0, "#8fae5d"], [0.5, "#6d9148"], [1, "#4c6f35"]]) green.addColorStop(at, tone);
    pen.fillStyle = green;
    pen.fill(new Path2D("M220 40C330 110 385 210 372 300C360 400 300 480 220 540C140 480 80 400 68 300C55 210 110 110 220 40Z"));
    pen.strokeStyle = "#c9d8a4";
    pen.lineWidth = 4;
    pen.stroke(new Path2D("M220 50V580"));
    pen.lineWidth = 2;
    for (let y = 150; y < 480; y += 55) pen.stroke(new Path2D(`M220 ${y + 40}Q280 ${y + 20} ${330 - Math.abs(y - 260) / 5} ${y - 25}M220 ${y + 40}Q160 ${y + 20} ${110 + Math.abs(y - 260) / 5} ${y - 25}`));
    return board.toDataURL("image/png").split(",")[1];
  });
await picture("outline", {}, async (page) => {
  await page.keyboard.press("Escape");
  await openPanel(page, '[data-open="outline"]');
  await page.setInputFiles('.outline-side input[accept^="image"]', [{ name: "leaf.png", mimeType: "image/png", buffer: Buffer.from(await leaf(page), "base64") }]);
  await page.waitForSelector("#board image");
  const wide = page.locator(".outline-side label", { hasText: "How wide it is" }).locator("input");
  await wide.fill("40");
  await wide.blur();
  await page.locator("#panel").evaluate((panel) => (panel.scrollTop = 0));
  const board = await page.locator("#board").boundingBox();
  const scale = Math.min(board.width, board.height) / 60;
  const put = (/** @type {number} */ x, /** @type {number} */ y) => page.mouse.click(board.x + board.width / 2 + x * scale, board.y + board.height / 2 - y * scale);
  await put(0, 24);
  await page.click(".outline-side .row button:nth-child(2)");
  await put(14, 0);
  await put(0, -22);
  for (const corner of [1, 2]) {
    const rise = page.locator(".points li").nth(corner).locator("input").nth(2);
    await rise.fill("3.4");
    await rise.blur();
  }
});
await picture("phone", { job: example("tide-dial"), view: { width: 390, height: 844 }, more: { hasTouch: true, isMobile: true, deviceScaleFactor: 2 } }, settled);
