// By hand and by eye, further: the pattern's middle, turning, rows and motifs, a photograph, a drawing dropped in, printing, minutes.
import test from "node:test";
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { drag, drawing, fill, heard, native, number, onScreen, openPage, openPanel, settled, writing } from "./bench.js";
import { PLAIN } from "./jobs.js";

async function hands(t, with_, steps) {
  const opened = await openPage({ job: PLAIN, ...with_ });
  t.after(() => opened.close());
  await steps(opened.page, opened);
  assert.deepEqual(opened.complaints, []);
}

const TRIMMED = PLAIN.replace("bridge = 1.4", 'bridge = 1.4\nat_border = "trim"');
const WINDOWED = `${TRIMMED}
[[window]]
name = "slot"
shape = "rectangle"
width = 8
height = 4
at = [0, -4]
`;

test("the pattern's middle is dragged, moved by keys, and put back", (t) =>
  hands(t, { job: TRIMMED }, async (page) => {
    const [text, metal] = [await writing(page), await drawing(page)];
    await drag(page, [0, 0], [2, 1]);
    assert.match(await writing(page), /\[pattern\][^[]*\bat = \[2(\.0)?, 1(\.0)?\]/);
    assert.notEqual(await drawing(page), metal, "the openings have moved");
    // An opening stands where the middle was put: that is what lies in the middle.
    const spot = await onScreen(page, 2, 1);
    await page.keyboard.press("Escape");
    const grip = page.locator("svg.sheet .solid.pattern");
    await grip.focus();
    await page.keyboard.press("ArrowRight");
    await settled(page);
    assert.match(await writing(page), /\bat = \[2\.5, 1(\.0)?\]/);
    assert.match(await grip.getAttribute("aria-label"), /Middle of the pattern, at 2\.5, 1/);
    assert.ok(spot.x > 0);
    await page.click("[data-act=undo]");
    await page.click("[data-act=undo]");
    await settled(page);
    assert.equal(await writing(page), text);
    assert.equal(await drawing(page), metal);
  }));

test("a window is turned by its handle, and by keys", (t) =>
  hands(t, { job: WINDOWED }, async (page) => {
    const spot = await onScreen(page, 0, -4);
    await page.mouse.click(spot.x, spot.y);
    const handle = page.locator('svg.sheet [data-handle="window[0].turn"] .touch');
    await handle.waitFor();
    const box = await handle.boundingBox();
    const right = await onScreen(page, 8, -4);
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    for (let i = 1; i <= 8; i += 1) {
      const a = Math.PI / 2 - (i / 8) * (Math.PI / 2);
      await page.mouse.move(spot.x + (right.x - spot.x) * Math.cos(a), spot.y - (right.x - spot.x) * Math.sin(a));
    }
    await page.mouse.up();
    await settled(page);
    assert.match(await writing(page), /name = "slot"[^]*turn = -90\b/);
    await page.locator("svg.sheet .solid.window").focus();
    await page.keyboard.press("[");
    await settled(page);
    assert.match(await writing(page), /name = "slot"[^]*turn = -85\b/);
  }));

for (const [of, word, written] of /** @type {const} */ ([
  ["row", "Drops", /\[\[row\]\][^[]*shape = "drop"/],
  ["middle", "Rosette", /\bmiddle\b[^[]*shape = "rosette"/],
]))
  test(`by eye: ${of}`, (t) =>
    hands(t, { job: PLAIN.replace("diameter = 36", "diameter = 52") }, async (page) => {
      const metal = await drawing(page);
      await openPanel(page, '[data-open="eye"]');
      await page.click(`[data-of=${of}]`);
      await page.waitForFunction(
        () => {
          const list = /** @type {HTMLElement} */ (document.querySelector("ul.eye"));
          return list && Number(list.dataset.all) < 12 && list.dataset.done === list.dataset.all;
        },
        undefined,
        { timeout: 90_000 },
      );
      assert.match(await page.locator("ul.eye li.fits").first().innerText(), /thinnest bridge \d/, "without one the piece is as it is");
      assert.equal(await page.locator("ul.eye li svg.picture path").count(), await page.locator("ul.eye li").count(), "every one has its picture");
      const choice = page.locator("ul.eye li", { hasText: word });
      assert.match(await choice.locator("p").innerText(), /thinnest bridge \d|▲/);
      assert.ok(await choice.locator("svg.picture path").count(), "it is shown as a picture");
      await choice.locator("button").click();
      await settled(page);
      assert.match(await writing(page), written);
      assert.notEqual(await drawing(page), metal);
    }));

/** A picture of one colour, 40 by 60. */
const photo = (page) =>
  page.evaluate(() => {
    const board = document.createElement("canvas");
    [board.width, board.height] = [40, 60];
    board.getContext("2d")?.fillRect(0, 0, 40, 60);
    return board.toDataURL("image/png").split(",")[1];
  });

test("a photograph lies under the line and is sized", (t) =>
  hands(t, {}, async (page) => {
    const png = Buffer.from(await photo(page), "base64");
    await openPanel(page, '[data-open="outline"]');
    await page.setInputFiles('.outline-side input[accept^="image"]', [{ name: "leaf.png", mimeType: "image/png", buffer: png }]);
    const picture = page.locator("#board image");
    await picture.waitFor();
    assert.equal(Number(await picture.getAttribute("height")) / Number(await picture.getAttribute("width")), 1.5);
    const width = page.locator(".outline-side label", { hasText: "How wide it is" }).locator("input");
    await width.fill("30");
    await width.blur();
    await page.waitForFunction(() => document.querySelector("#board image")?.getAttribute("width") === "30");
    const seen = await picture.boundingBox();
    const board = await page.locator("#board").boundingBox();
    assert.ok(Math.abs(seen.width / Math.min(board.width, board.height) - 0.5) < 0.02, "30 of the 60 mm that the board shows");
    assert.equal(await page.locator(".points li").count(), 0, "nothing is traced by itself");
  }));

test("a drawing that is dropped becomes the outline; one that is no outline says why", (t) =>
  hands(t, {}, async (page) => {
    const drop = (name, text) =>
      page.evaluate(
        ([n, svg]) => {
          const data = new DataTransfer();
          data.items.add(new File([svg], n, { type: "image/svg+xml" }));
          document.documentElement.dispatchEvent(new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
        },
        [name, text],
      );
    const svg = '<svg xmlns="http://www.w3.org/2000/svg" width="44mm" height="40mm" viewBox="0 0 44 40"><path d="M2 2H42V38H2Z"/></svg>';
    await drop("plate.svg", svg);
    await page.waitForFunction(() => /40 × 36/.test(document.querySelector("[data-figure=size] dd")?.textContent ?? ""));
    await settled(page);
    assert.match(await writing(page), /shape = "file"[^[]*file = "plate\.svg"/);
    await drop("words.svg", '<svg xmlns="http://www.w3.org/2000/svg"><text>no line</text></svg>');
    await page.waitForSelector(".trouble");
    assert.match(await page.locator(".trouble").innerText(), /words\.svg/);
    assert.match(await writing(page), /plate\.svg/, "the outline before stays");
  }));

test("the button to print opens the PDF in a tab of its own", (t) =>
  hands(t, {}, async (page, { page: _page }) => {
    await page.click("[data-act=paper]");
    await page.waitForSelector(".pages img");
    // A browser without a window has no reader of PDF files: it takes the file down instead.
    const opened = Promise.race([
      page.context().waitForEvent("page", { timeout: 20_000 }).then(() => "tab"),
      page.waitForEvent("download", { timeout: 20_000 }).then(() => "file"),
    ]);
    await page.click('[data-do="print"]');
    assert.match(await opened, /tab|file/);
    await page.waitForFunction(() => /actual size/.test(document.querySelector(".says")?.textContent ?? ""));
  }));

test("every file that can be saved comes down whole", (t) =>
  hands(t, {}, async (page) => {
    await page.click("[data-act=paper]");
    await page.waitForSelector(".pages img");
    const begins = { pdf: "%PDF", card: "%PDF", quote: "%PDF", svg: "<", job: "title", sampler: "%PDF", "bridge-map": "<|%PDF", png: ".PNG", json: "{" };
    const kinds = await page.locator(".saves [data-save]").evaluateAll((all) => all.map((b) => b.dataset.save));
    assert.deepEqual(kinds.sort(), Object.keys(begins).sort());
    // A quote wants prices (S2 saves one); a card of all patterns takes long.
    for (const kind of kinds.filter((one) => !["quote", "sampler"].includes(one))) {
      const [made] = await Promise.all([page.waitForEvent("download", { timeout: 60_000 }), page.click(`.saves [data-save="${kind}"]`)]);
      const bytes = readFileSync(await made.path());
      assert.match(bytes.subarray(0, 200).toString("latin1").replace(/^(\s|#[^\n]*\n)+/, ""), new RegExp(`^(${begins[kind]})`), `${kind}: ${made.suggestedFilename()}`);
      assert.ok(bytes.length > 150, kind);
      await page.waitForFunction((name) => document.querySelector(".says")?.textContent?.includes(name), made.suggestedFilename());
    }
  }));

test("minutes that were taken teach the hours", { skip: !native }, (t) =>
  hands(t, {}, async (page) => {
    const before = await page.locator("[data-figure=hours] dd").innerText();
    await page.click("[data-act=paper]");
    await page.waitForSelector(".pages img");
    for (const took of ["400", "420", "410"]) {
      await page.fill(".part-form [name=minutes]", took);
      await page.click('[data-do="minutes"]');
      await page.waitForFunction(() => (document.querySelector(".says")?.textContent ?? "").length > 5);
      await page.waitForTimeout(300);
    }
    assert.match(await page.locator(".part-form .says").innerText(), /minute|piece|job|log/i, "beside the button that was pressed");
    await page.keyboard.press("Escape");
    await fill(page, "outline.border", "2.6");
    assert.notEqual(await page.locator("[data-figure=hours] dd").innerText(), before, "the hours are this hand's own now");
    assert.ok((await heard(page)).length >= 0 && (await number(page, "openings")) > 5);
  }));
