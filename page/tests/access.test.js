// For everyone: axe-core in light and dark, the keyboard alone, narrow screens, large letters.
import test from "node:test";
import assert from "node:assert/strict";
import { createRequire } from "node:module";
import { readFileSync } from "node:fs";
import { number, openPage, openPanel, settled, writing } from "./bench.js";
import { PLAIN } from "./jobs.js";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

async function faults(page) {
  // Put in past the page's content policy, as a browser extension would.
  const session = await page.context().newCDPSession(page);
  await session.send("Runtime.evaluate", { expression: axe });
  return page.evaluate(async () => {
    const run = await /** @type {any} */ (globalThis).axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] });
    return run.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).slice(0, 4).join(" | ")} ${v.nodes[0]?.any?.[0]?.message ?? ""}`);
  });
}

const PANELS = ['[data-open="eye"]', '[data-open="wish"]', '[data-open="outline"]', '[data-open="measured"]', "[data-act=paper]", "[data-act=first]", "[data-act=life]"];

for (const scheme of /** @type {const} */ (["light", "dark"]))
  test(`axe finds nothing, ${scheme}`, async (t) => {
    const { page, close, complaints } = await openPage({ job: PLAIN.replace("bridge = 1.4", "bridge = 0.6"), scheme });
    t.after(close);
    await page.evaluate(() => document.querySelectorAll("details.group").forEach((group) => (/** @type {HTMLDetailsElement} */ (group).open = true)));
    assert.deepEqual(await faults(page), [], "questions");
    await page.click("[data-face=text]");
    assert.deepEqual(await faults(page), [], "the job in writing");
    await page.click("[data-face=questions]");
    for (const open of PANELS) {
      await openPanel(page, open);
      await page.waitForTimeout(700);
      assert.deepEqual(await faults(page), [], open);
      await page.keyboard.press("Escape");
      await page.waitForFunction(() => !(/** @type {HTMLDialogElement} */ (document.getElementById("panel")).open));
    }
    assert.deepEqual(complaints, []);
  });

test("keys alone: move, size and take out a place; read the numbers out; draw an outline", async (t) => {
  const { page, close, complaints } = await openPage({ job: PLAIN });
  t.after(close);
  // Tab from the top of the page until the solid place has the keyboard.
  const names = [];
  let found = false;
  for (let i = 0; i < 60 && !found; i += 1) {
    await page.keyboard.press("Tab");
    const name = await page.evaluate(() => document.activeElement?.getAttribute("aria-label") ?? document.activeElement?.textContent ?? "");
    names.push(name);
    found = /Solid place: bail tab/.test(name);
  }
  assert.ok(found, names.join(" / "));
  for (let i = 0; i < 4; i += 1) await page.keyboard.press("ArrowDown");
  await page.keyboard.press("Shift+ArrowLeft");
  await settled(page);
  assert.match(await writing(page), /name = "bail tab"[^[]*at = \[-0\.1, 12(\.0)?\]/);
  assert.match(await page.locator("#say").innerText(), /thinnest bridge|at -?\d/i);
  const tab = page.locator("svg.sheet .solid.keep");
  await tab.focus();
  await page.keyboard.press("+");
  await settled(page);
  assert.match(await writing(page), /diameter = 6\.2/);
  await tab.focus();
  await page.keyboard.press("Delete");
  await settled(page);
  assert.doesNotMatch(await writing(page), /bail tab/);
  await page.locator("svg.sheet").focus();
  for (let i = 0; i < 3; i += 1) {
    await page.keyboard.press("Control+z");
    await settled(page);
  }
  assert.equal(await writing(page), PLAIN, "three gestures, three steps back");

  await page.locator('[data-open="outline"]').focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector("#panel[open]");
  await page.locator("#board").focus();
  await page.keyboard.press("Enter");
  for (let i = 0; i < 12; i += 1) await page.keyboard.press("ArrowRight");
  for (let i = 0; i < 15; i += 1) await page.keyboard.press("ArrowDown");
  await page.keyboard.press("r");
  await page.keyboard.press("Enter");
  for (let i = 0; i < 12; i += 1) await page.keyboard.press("ArrowLeft");
  for (let i = 0; i < 18; i += 1) await page.keyboard.press("ArrowDown");
  await page.keyboard.press("Enter");
  assert.match(await page.locator("#say").textContent(), /Corner 3 at 0, -18/);
  await page.locator('[data-do="outline"]').focus();
  await page.keyboard.press("Enter");
  await settled(page);
  assert.match(await writing(page), /shape = "drawn"/);
  assert.deepEqual(complaints, []);
});

test("a box of numbers goes up and down by arrow keys, and the piece follows", async (t) => {
  const { page, close } = await openPage({ job: PLAIN });
  t.after(close);
  const box = page.locator('[data-path="outline.border"] input');
  await box.focus();
  const openings = await number(page, "openings");
  for (let i = 0; i < 20; i += 1) await page.keyboard.press("ArrowUp");
  await settled(page);
  assert.match(await writing(page), /border = 4\.5/);
  assert.ok((await number(page, "openings")) <= openings);
  await page.click("[data-act=undo]");
  await settled(page);
  assert.equal(await writing(page), PLAIN, "one run of keys is one step");
});

for (const [name, view, more] of /** @type {const} */ ([
  ["a phone", { width: 390, height: 844 }, { hasTouch: true, isMobile: true }],
  ["letters at 200 %", { width: 720, height: 450 }, {}],
  ["a small laptop", { width: 1024, height: 720 }, {}],
]))
  test(`nothing is cut off: ${name}`, async (t) => {
    const { page, close, complaints } = await openPage({ job: PLAIN, view, more });
    t.after(close);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.ok(wide <= 1, `the page is ${wide} pixels too wide`);
    const sheet = await page.locator("svg.sheet").boundingBox();
    assert.ok(sheet.width > 200 && sheet.height > 150, JSON.stringify(sheet));
    const small = await page.evaluate(() =>
      [...document.querySelectorAll("button, select, .file")]
        .filter((e) => e.getClientRects().length && e.getBoundingClientRect().height < 24)
        .map((e) => e.textContent?.trim()),
    );
    assert.deepEqual(small, [], "too small for a finger");
    // No list cuts what it may say; 24 pixels are its arrow's.
    const cut = await page.evaluate(() => {
      for (const group of document.querySelectorAll("details")) group.open = true;
      const pen = document.createElement("canvas").getContext("2d");
      return [...document.querySelectorAll("select")].flatMap((list) => {
        const { font, paddingLeft, paddingRight } = getComputedStyle(list);
        pen.font = font;
        const room = list.clientWidth - Number.parseFloat(paddingLeft) - Number.parseFloat(paddingRight) - 24;
        return [...list.options].map((o) => o.text).filter((text) => pen.measureText(text).width > room);
      });
    });
    assert.deepEqual(cut, []);
    assert.deepEqual(await faults(page), []);
    assert.deepEqual(complaints, []);
  });

for (const view of [{ width: 1366, height: 768 }, { width: 390, height: 844 }])
  test(`what a panel is for is in sight, ${view.width} wide`, async (t) => {
    const { page, close } = await openPage({ view });
    t.after(close);
    const inSight = async (/** @type {string} */ button) => {
      const box = await page.locator(button).boundingBox();
      assert.ok(box && box.y >= 0 && box.y + box.height <= view.height && box.x + box.width <= view.width, `${button}: ${JSON.stringify(box)}`);
    };
    await inSight('#panel [data-do="first"]');
    await page.click('#panel [data-do="first"]');
    await page.waitForSelector("#panel:not([open])", { state: "attached" });
    for (const [open, button] of [["outline", "outline"], ["wish", "wish"], ["paper", "print"]]) {
      await openPanel(page, `[data-open="${open}"]`);
      await inSight(`#panel [data-do="${button}"]`);
      await page.keyboard.press("Escape");
      await page.waitForFunction(() => !(/** @type {HTMLDialogElement} */ (document.getElementById("panel")).open));
    }
    await page.click("[data-act=life]");
    await inSight('#panel [data-do="life"]');
  });

test("touch: a place is dragged with a finger, two fingers zoom", async (t) => {
  const { page, close } = await openPage({ job: PLAIN, view: { width: 390, height: 844 }, more: { hasTouch: true, isMobile: true } });
  t.after(close);
  const box = await page.locator("svg.sheet .solid.keep").boundingBox();
  const session = await page.context().newCDPSession(page);
  const from = { x: box.x + 4, y: box.y + box.height / 2 };
  const touch = (type, points) => session.send("Input.dispatchTouchEvent", { type, touchPoints: points });
  await touch("touchStart", [from]);
  for (let i = 1; i <= 6; i += 1) await touch("touchMove", [{ x: from.x, y: from.y + i * 8 }]);
  await touch("touchEnd", []);
  await settled(page);
  assert.doesNotMatch(await writing(page), /name = "bail tab"[^[]*at = \[0, 14\]/);
  const before = await page.locator("svg.sheet").getAttribute("viewBox");
  const middle = await page.locator("svg.sheet").boundingBox();
  const [x, y] = [middle.x + middle.width / 2, middle.y + middle.height * 0.75];
  await touch("touchStart", [{ x: x - 30, y }, { x: x + 30, y }]);
  for (let i = 1; i <= 4; i += 1) await touch("touchMove", [{ x: x - 30 - i * 10, y }, { x: x + 30 + i * 10, y }]);
  await touch("touchEnd", []);
  await page.waitForTimeout(100);
  const [was, is] = [before, await page.locator("svg.sheet").getAttribute("viewBox")].map((v) => Number(v.split(" ")[2]));
  assert.ok(is < was * 0.8, `${was} -> ${is}`);
});
