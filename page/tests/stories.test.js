// Makers' stories, each done on the page from its first click to what the maker reads.
import test from "node:test";
import assert from "node:assert/strict";
import { drawing, figure, fill, heard, native, number, openPage, openPanel, reveal, settled, writing } from "./bench.js";
import { BAND, DROPS, EARRINGS, PLAIN, RIMMED, STONE, THIN } from "./jobs.js";

/** Words that are not the bench's. */
const NOT_OURS =
  /\b(polyline|spline|vertex|boolean|tessellation|lattice|parameter|constraint|bounding box|island|fillet|chamfer|perimeter|centroid|viewport|canvas|toolpath|scale factor|aspect ratio|iteration|BOM)\b/i;

async function story(t, with_, steps) {
  const opened = await openPage(with_);
  t.after(() => opened.close());
  await steps(opened.page, opened);
  assert.deepEqual(opened.complaints, []);
}

test("S1: a first piece from five questions", (t) =>
  story(t, {}, async (page) => {
    await page.waitForSelector("#panel.p-first[open]");
    assert.ok((await page.locator("#panel fieldset").count()) <= 5);
    await page.click('[data-do="first"]');
    await page.waitForSelector("#panel:not([open])", { state: "attached" });
    await settled(page);
    assert.ok((await number(page, "openings")) <= 12 && (await number(page, "openings")) >= 4);
    assert.ok((await number(page, "bridge")) >= 1.5);
    assert.match(await figure(page, "hours"), /\d.* to .*\d/);
    assert.equal(await page.locator(".findings > h2 .stop").count(), 0, await heard(page));
    await page.click("[data-act=paper]");
    await page.waitForSelector(".pages img");
    await page.waitForSelector("details.plan section", { state: "attached" });
    assert.equal(await page.locator(".pages img").count(), 2);
    const card = await page.locator("details.plan").textContent();
    assert.match(card, /2\/0/);
    assert.match(card, /\b1 mm/);
    await page.keyboard.press("Escape");
    const seen = await page.locator("body").innerText();
    assert.doesNotMatch(seen, NOT_OURS);
    // Shrunk to 18 mm nothing is refused: it says what it comes to.
    await fill(page, "outline.diameter", "18");
    assert.equal(await page.locator(".trouble").count(), 0);
    assert.ok((await heard(page)).length > 20, "a piece of 18 mm is not as good for a first hand");
  }));

test("S1: patterns by eye say which cannot be sawn", (t) =>
  story(t, {}, async (page) => {
    await page.waitForSelector("#panel.p-first[open]");
    await page.click('[data-do="first"]');
    await settled(page);
    await openPanel(page, '[data-open="eye"]');
    await page.waitForFunction(
      () => {
        const list = /** @type {HTMLElement} */ (document.querySelector("ul.eye"));
        return Number(list?.dataset.all) > 50 && list.dataset.done === list.dataset.all;
      },
      undefined,
      { timeout: 240_000 },
    );
    const fits = await page.locator("ul.eye li.fits").count();
    assert.ok(fits > 5);
    for (const text of await page.locator("ul.eye li.fits p").allInnerTexts()) assert.match(text, /thinnest bridge \d/);
    for (const text of await page.locator("ul.eye li.unfit p").allInnerTexts()) assert.ok(text.length > 12, `no reason: ${text}`);
    const before = await drawing(page);
    const other = page.locator("ul.eye li.fits:not([data-name=hexagon]) button").first();
    await other.click();
    await settled(page);
    assert.notEqual(await drawing(page), before);
    await page.click("[data-act=undo]");
    await settled(page);
    assert.equal(await drawing(page), before);
  }));

test("S2: forty pairs are quoted", (t) =>
  story(t, { job: EARRINGS }, async (page) => {
    const openings = await number(page, "openings");
    assert.match(await figure(page, "hours"), /80 pieces/);
    await page.click("[data-act=paper]");
    await page.waitForSelector("details.plan section", { state: "attached" });
    const card = await page.locator("details.plan").textContent();
    assert.ok(card.includes(String(openings * 80)) || card.includes((openings * 80).toLocaleString("en")), `holes in all: ${openings * 80}`);
    assert.match(card, /your own/);
    const [quote] = await Promise.all([page.waitForEvent("download"), page.click('[data-save="quote"]')]);
    assert.match(quote.suggestedFilename(), /quote.*\.pdf$/);
  }));

test("S4: a band shows as worn", (t) =>
  story(t, { job: BAND }, async (page) => {
    await page.click(".zooms button >> text=As worn");
    await page.waitForSelector(".p-worn .picture path");
    assert.ok((await page.locator(".p-worn .picture path").count()) >= 2);
  }));

test("S5: a stone in the middle; a larger one moves pad, window, strip and pattern", (t) =>
  story(t, { job: STONE }, async (page) => {
    const strip = async () => {
      await page.click("[data-act=paper]");
      await page.waitForSelector("details.plan section", { state: "attached" });
      const text = await page.locator("details.plan").textContent();
      await page.keyboard.press("Escape");
      return text;
    };
    assert.match(await strip(), /32\.67/);
    const pad = page.locator("svg.sheet .solid.stone .hold");
    const width = async () => (await pad.boundingBox())?.width ?? 0;
    const [was, metal] = [await width(), await drawing(page)];
    await fill(page, "construction.bezel.stone", "12");
    assert.match(await strip(), /38\.96/);
    assert.ok((await width()) > was * 1.1);
    assert.notEqual(await drawing(page), metal);
    // A hole off the hang line says how far to move.
    await fill(page, "hole[0].at", "2, 14");
    assert.match(await heard(page), /mm left/);
  }));

test("S6: a pair, as it is worn", (t) =>
  story(t, { job: DROPS }, async (page) => {
    await page.click(".zooms button >> text=As worn");
    await page.waitForSelector(".p-worn .picture path");
    await page.keyboard.press("Escape");
    await page.click("[data-act=paper]");
    await page.waitForSelector(".pages img");
    const pages = await page.evaluate(async () => (await /** @type {any} */ (globalThis).sawpierce.ask({ ask: "paper" })).pages.join(""));
    assert.equal(await page.locator(".pages img").count(), await page.evaluate(async () => (await /** @type {any} */ (globalThis).sawpierce.ask({ ask: "paper" })).pages.length));
    assert.match(pages, /data-mirrored="true"/);
    await page.waitForSelector("details.plan section", { state: "attached" });
    const card = await page.locator("details.plan").textContent();
    assert.match(card, /pair/i);
  }));

test("S9: bridges too thin, mended in one click, undone in one", (t) =>
  story(t, { job: THIN }, async (page) => {
    assert.match(await page.locator(".findings > h2").innerText(), /stop/);
    assert.equal(await page.locator("[data-figure=bridge]").getAttribute("class"), "figure stop");
    assert.ok((await page.locator("svg.sheet .thin-mark").count()) > 0, "thin bridges are marked by shape too");
    const [text, metal] = [await writing(page), await drawing(page)];
    await page.click(".findings h2 button.do");
    await page.waitForSelector(".before-after figure:nth-child(2)", { timeout: 60_000 });
    assert.equal(await page.locator(".before-after figure").count(), 2);
    assert.ok((await page.locator(".changes li").count()) >= 1);
    await page.click('[data-do="mend"]');
    await settled(page);
    assert.ok((await number(page, "bridge")) >= 0.9);
    assert.equal(await page.locator(".findings > h2 .stop").count(), 0, await heard(page));
    await page.click("[data-act=undo]");
    await settled(page);
    assert.equal(await writing(page), text);
    assert.equal(await drawing(page), metal);
  }));

test("S9: a wish is tried before it is taken", (t) =>
  story(t, { job: PLAIN }, async (page) => {
    await openPanel(page, '[data-open="wish"]');
    await page.fill("#wish-openings", "20");
    await page.keyboard.press("Enter");
    await page.waitForSelector(".before-after figure:nth-child(2)", { timeout: 60_000 });
    await page.click('[data-do="wish"]');
    await settled(page);
    assert.ok(Math.abs((await number(page, "openings")) - 20) <= 6, await figure(page, "openings"));
  }));

test("S10: a printer's bars are typed and kept", { skip: !native }, (t) =>
  story(t, { job: RIMMED }, async (page) => {
    await page.click("[data-act=paper]");
    await page.waitForSelector(".pages img");
    await page.fill(".part-form [name=name]", "hall inkjet");
    await page.fill(".part-form [name=across]", "97.8");
    await page.fill(".part-form [name=up]", "98.1");
    await page.click('[data-do="printer"]');
    await page.waitForSelector(".printers li");
    assert.match(await page.locator(".printers").innerText(), /hall inkjet/);
    await page.click(".printers li button");
    await settled(page);
    await page.keyboard.press("Escape");
    assert.match(await writing(page), /printer = "hall inkjet"/);
    await page.click("[data-act=paper]");
    const [pdf] = await Promise.all([page.waitForEvent("download"), page.click('[data-save="pdf"]')]);
    assert.match(pdf.suggestedFilename(), /\.pdf$/);
  }));

test("S11: the disc came out small", (t) =>
  story(t, { job: RIMMED }, async (page) => {
    await openPanel(page, '[data-open="measured"]');
    await page.waitForSelector("[data-plan] section");
    assert.match(await page.locator("[data-plan]").innerText(), /95\.82/);
    await page.fill(".measured [name=r0]", "29.6");
    await page.click('[data-do="measured"]');
    await page.waitForFunction(() => /94\.56/.test(document.querySelector("[data-plan]")?.textContent ?? ""));
    const changed = page.locator("[data-plan] li.changed", { hasText: "94.56" }).first();
    assert.match(await changed.locator("del").innerText(), /95\.82/, "the old number is struck through, not erased");
    assert.match(await changed.innerText(), /changed/);
    await page.fill(".measured [name=r1]", "29.8");
    await page.click('[data-do="measured"]');
    await settled(page);
    await page.keyboard.press("Escape");
    assert.match(await writing(page), /outline = \[29\.6, 29\.8\]/);
  }));

test("S12: an off-cut that is too small, and one that is not", (t) =>
  story(t, { job: RIMMED }, async (page) => {
    await fill(page, "sheet.stock", "[30, 30]");
    const stops = page.locator('.finding.caution[data-check="stock-fit"], .finding.stop[data-check="stock-fit"]');
    assert.equal(await stops.count(), 1, await heard(page));
    const row = await reveal(page, "sheet.stock");
    await row.locator("input").fill("150 x 100");
    await row.locator("input").blur();
    await settled(page);
    assert.equal(await row.locator("input").inputValue(), "150, 100");
    assert.match(await writing(page), /stock = \[150, 100\]/);
    assert.equal(await stops.count(), 0);
  }));
