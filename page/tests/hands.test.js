// What hands do: dragging, sizing, clicking, zooming, writing; and a thousand random edits undone to the start.
import test from "node:test";
import assert from "node:assert/strict";
import { drag, drawing, figure, fill, heard, number, onScreen, openPage, openPanel, settled, writing } from "./bench.js";
import { PLAIN } from "./jobs.js";

async function hands(t, with_, steps) {
  const opened = await openPage({ job: PLAIN, ...with_ });
  t.after(() => opened.close());
  await steps(opened.page, opened);
  assert.deepEqual(opened.complaints, []);
}

/** The start hole of the first opening. */
const first = (page) => page.evaluate(() => /** @type {any} */ (globalThis).sawpierce.bench.drawing.drill.split(" ").slice(0, 2).map(Number));

test("a solid place is dragged and sized; each gesture is undone by one step", (t) =>
  hands(t, {}, async (page) => {
    const text = await writing(page);
    await drag(page, [-2.2, 14], [-9.2, 4]);
    assert.match(await writing(page), /name = "bail tab"[^[]*at = \[-7(\.0)?, 4(\.0)?\]/);
    const handle = page.locator('svg.sheet [data-handle="keep_solid[0].diameter"]');
    await handle.waitFor();
    await drag(page, [-4, 4], [-3, 4]);
    assert.match(await writing(page), /name = "bail tab"[^[]*diameter = 8(\.0)?\b/);
    await page.click("[data-act=undo]");
    await page.click("[data-act=undo]");
    await settled(page);
    assert.equal(await writing(page), text);
    await page.click("[data-act=redo]");
    await page.click("[data-act=redo]");
    await settled(page);
    assert.match(await writing(page), /diameter = 8(\.0)?\b/);
  }));

test("a change asks for no frame before its answer is there: that frame would keep the next one waiting", (t) =>
  hands(t, { job: PLAIN }, async (page) => {
    const early = await page.evaluate(async () => {
      const real = requestAnimationFrame;
      let asked = 0;
      globalThis.requestAnimationFrame = (show) => ((asked += 1), real(show));
      const answer = /** @type {any} */ (globalThis).sawpierce.edit([{ path: "pattern.bridge", value: 1.5 }]);
      await null;
      const before = asked;
      await answer;
      await new Promise((r) => real(() => setTimeout(r)));
      return { before, all: asked };
    });
    assert.equal(early.before, 0);
    assert.ok(early.all > 0, "the answer is drawn");
  }));

test("start holes are drawn as large as the drill, each once", (t) =>
  hands(t, {}, async (page) => {
    const holes = () =>
      page.evaluate(() => {
        const d = [...document.querySelectorAll("svg.sheet .drill")].map((path) => path.getAttribute("d")).join("");
        return { count: d.split("M").length - 1, radii: [...new Set([...d.matchAll(/a([\d.]+) /g)].map((m) => Number(m[1])))] };
      });
    for (const mm of [0.8, 1.1]) {
      await page.evaluate((value) => /** @type {any} */ (globalThis).sawpierce.edit([{ path: "saw.drill", value }]), mm);
      await settled(page);
      assert.deepEqual(await holes(), { count: await number(page, "openings"), radii: [mm / 2] });
    }
  }));

test("an opening is read, left solid, and opened again", (t) =>
  hands(t, {}, async (page) => {
    const openings = await number(page, "openings");
    const spot = await onScreen(page, ...(await first(page)));
    await page.mouse.click(spot.x, spot.y);
    const card = page.locator(".readout");
    await card.waitFor();
    assert.match(await card.innerText(), /Opening \d+/);
    assert.match(await card.innerText(), /Widest circle \d/);
    await page.click('[data-do="close"]');
    await settled(page);
    assert.equal(await number(page, "openings"), openings - 1);
    await page.click('[data-do="as_it_was"]');
    await settled(page);
    assert.equal(await number(page, "openings"), openings);
    await page.mouse.click(spot.x, spot.y);
    await page.click('[data-do="draw_in"]');
    await settled(page);
    assert.match(await writing(page), /draw_in = 0\.15/);
  }));

test("a bridge is read", (t) =>
  hands(t, {}, async (page) => {
    // Going out from an opening's middle the hand comes upon a bridge within a pitch.
    const [x, y] = await first(page);
    const said = [];
    for (let k = 1; k < 14 && !/Bridge between/.test(said.at(-1) ?? ""); k += 1) {
      const spot = await onScreen(page, x + Math.sign(-x || 1) * k * 0.5, y);
      await page.mouse.click(spot.x, spot.y);
      await page.waitForTimeout(200);
      said.push(await page.locator(".readout").innerText().catch(() => ""));
    }
    assert.match(said.at(-1), /Bridge between opening \d+ and opening \d+[^]*once filed/);
  }));

test("zoom, whole piece, and life size from a card held to the screen", (t) =>
  hands(t, {}, async (page) => {
    const across = async () => {
      await page.waitForTimeout(150);
      const [a, b] = [await onScreen(page, -18, 0), await onScreen(page, 18, 0)];
      return b.x - a.x;
    };
    const whole = await across();
    await page.click("[data-act=larger]");
    assert.ok((await across()) > whole * 1.2);
    await page.click("[data-act=whole]");
    assert.ok(Math.abs((await across()) - whole) < 1);
    await page.click("[data-act=life]");
    await page.waitForSelector("#panel.p-life[open]");
    await page.fill("#panel.p-life input[type=text]", "428");
    await page.keyboard.press("Tab");
    await page.click('[data-do="life"]');
    await page.waitForTimeout(100);
    assert.ok(Math.abs((await across()) - (36 * 428) / 85.6) < 1.5, `36 mm measure ${await across()} pixels`);
    await page.reload();
    await page.waitForSelector("svg.sheet path.metal");
    await settled(page);
    await page.keyboard.press("Escape");
    await page.click("[data-act=life]");
    await page.waitForTimeout(100);
    assert.ok(Math.abs((await across()) - (36 * 428) / 85.6) < 1.5, "the card is remembered");
  }));

test("the job in writing goes both ways, keeps comments, and shows a fault at its line", (t) =>
  hands(t, {}, async (page) => {
    await fill(page, "sheet.thickness", "1.0");
    assert.match(await writing(page), /# kept through every edit[^]*thickness = 1\.0/);
    assert.match(await writing(page), /# from the drawer/);
    await page.click("[data-face=text]");
    const box = page.locator("#job-text");
    const text = await box.inputValue();
    const metal = await drawing(page);
    await box.fill(text.replace("bridge = 1.4", 'bridge = "wide"'));
    await page.waitForSelector(".faults li");
    const line = text.split("\n").findIndex((l) => l.startsWith("bridge")) + 1;
    assert.match(await page.locator(".faults").innerText(), new RegExp(`Line ${line}\\b`));
    assert.match(await page.locator(".lines li.bad").innerText(), new RegExp(`${line}`));
    assert.equal(await drawing(page), metal, "the drawing stays the last good one");
    assert.match(await box.inputValue(), /bridge = "wide"/, "the wrong text stays in the box");
    await box.fill(text.replace("bridge = 1.4", "bridge = 1.8"));
    await page.waitForFunction(() => !document.querySelector(".faults li"));
    await settled(page);
    assert.notEqual(await drawing(page), metal);
  }));

test("places, windows, holes and lugs are put in and taken out", (t) =>
  hands(t, {}, async (page) => {
    const text = await writing(page);
    await page.locator('[data-group="solid"] > summary').click();
    for (const section of ["keep_solid", "window", "hole", "lug", "construction.bezel"]) {
      const before = await page.locator("fieldset.part").count();
      await page.click(`[data-add="${section}"]`);
      await settled(page);
      assert.ok((await page.locator("fieldset.part").count()) > before, section);
      const part = page.locator(`fieldset.part[data-part^="${section}"]`).last();
      const there = await page.locator("fieldset.part").count();
      await part.locator(".remove").click();
      await settled(page);
      assert.ok((await page.locator("fieldset.part").count()) < there, section);
      await page.click("[data-act=undo]");
      await page.click("[data-act=undo]");
      await settled(page);
    }
    assert.equal(await writing(page), text);
  }));

test("an own outline is drawn with straight and round pieces, and comes back to be changed", (t) =>
  hands(t, {}, async (page) => {
    await openPanel(page, '[data-open="outline"]');
    const board = await page.locator("#board").boundingBox();
    const put = (x, y) => page.mouse.click(board.x + board.width / 2 + (x * Math.min(board.width, board.height)) / 60, board.y + board.height / 2 - (y * Math.min(board.width, board.height)) / 60);
    await put(0, 22);
    await put(14, 4);
    await page.click(".outline-side .row button:nth-child(2)");
    await put(0, -20);
    await page.locator(".points li").nth(2).waitFor();
    assert.equal(await page.locator(".points li").count(), 3);
    await page.click('[data-do="outline"]');
    await settled(page);
    const text = await writing(page);
    assert.match(text, /shape = "drawn"/);
    assert.match(text, /d = "M 0 -22 L 14 -4 A /);
    assert.doesNotMatch(text, /^diameter = 36/m);
    assert.doesNotMatch(await figure(page, "size"), /36 × 36/);
    await openPanel(page, '[data-open="outline"]');
    assert.ok((await page.locator(".points li").count()) >= 4);
  }));

test("a job is opened by dropping it", (t) =>
  hands(t, {}, async (page) => {
    const text = PLAIN.replace("Reed disc", "Dropped disc");
    await page.evaluate((job) => {
      const data = new DataTransfer();
      data.items.add(new File([job], "dropped.toml", { type: "text/plain" }));
      document.documentElement.dispatchEvent(new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
    }, text);
    await page.waitForFunction(() => /** @type {HTMLInputElement} */ (document.getElementById("title")).value === "Dropped disc");
    await settled(page);
    assert.equal(await writing(page), text);
  }));

test("work survives a reload", (t) =>
  hands(t, {}, async (page) => {
    await fill(page, "outline.border", "3.1");
    await page.reload();
    await page.waitForSelector("svg.sheet path.metal");
    await settled(page);
    assert.match(await writing(page), /border = 3\.1/);
  }));

test("a finding is clicked and its place is marked", (t) =>
  hands(t, { job: PLAIN.replace("bridge = 1.4", "bridge = 0.5") }, async (page) => {
    assert.match(await heard(page), /bridge/);
    await page.locator(".finding.stop button.show").first().click();
    await page.locator("svg.sheet .place").first().waitFor();
    assert.ok((await page.locator("svg.sheet .place").count()) >= 1);
  }));

test("a thousand random edits, undone to the start", { timeout: 900_000 }, (t) =>
  hands(t, {}, async (page) => {
    const start = await writing(page);
    const metal = await drawing(page);
    const made = await page.evaluate(async () => {
      const { edit, change, bench } = /** @type {any} */ (globalThis).sawpierce;
      let seed = 20260711;
      const random = () => ((seed = (seed * 48271) % 2147483647) / 2147483647);
      const between = (a, b) => Math.round((a + random() * (b - a)) * 100) / 100;
      const pick = (list) => list[Math.floor(random() * list.length)];
      const edits = [
        () => [{ path: "outline.diameter", value: between(30, 44) }],
        () => [{ path: "outline.border", value: pick([null, "2.5", "3", "2,8"]) }],
        () => [{ path: "sheet.thickness", value: pick(["0.6", "20 ga", "0,9", "1/32 in"]) }],
        () => [{ path: "sheet.metal", value: pick(["copper", "brass", "sterling-silver"]) }],
        () => [{ path: "pattern.pitch", value: between(4, 9) }],
        () => [{ path: "pattern.bridge", value: pick([null, "0.9", "1.2", "1.6"]) }],
        () => [{ path: "pattern.name", value: pick(["hexagon", "triangle", "square", "diamond"]) }],
        () => [{ path: "pattern.turn", value: between(-90, 90) }],
        () => [{ path: "keep_solid[0].at", value: [between(-10, 10), between(-10, 14)] }],
        () => [{ path: "hole[0].at", value: [between(-10, 10), between(-10, 14)] }],
        () => [{ path: "keep_solid[0].diameter", value: between(3, 8) }],
        () => [{ path: "skill", value: pick(["first", "practised", "fine-work", null]) }],
        () => [{ path: "title", value: pick(["Moth", "Reed disc", "\u00c9toile \u201cn\u00ba 2\u201d"]) }],
        () => [{ path: "saw.blade", value: pick(["2/0", "4/0", null]) }],
        () => [{ path: "paper.copies", value: pick(["2", "3", null]) }],
        () => [{ path: "pattern.bridge", value: "nonsense" }],
      ];
      let made = 0;
      let refused = 0;
      for (let i = 0; i < 1000; i += 1) {
        const answer = await edit(pick(edits)(), { quiet: true });
        if (answer.ok) made += 1;
        else refused += 1;
      }
      let undone = 0;
      // Opening the job is a step of its own, before these.
      while (bench.canUndo && undone < made) {
        await change({ ask: "undo" });
        undone += 1;
      }
      return { made, refused, undone };
    });
    await settled(page);
    t.diagnostic(`${made.made} edits made, ${made.refused} refused, ${made.undone} undone`);
    assert.ok(made.made > 800 && made.refused > 20);
    assert.equal(await writing(page), start);
    assert.equal(await drawing(page), metal);
  }));
