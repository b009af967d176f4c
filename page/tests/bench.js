// Opens the page as a person would: either as the program serves it, or the single file from disk; and reads what is seen.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { chromium } from "playwright-core";

const engine = process.env.SAWPIERCE_ENGINE ?? "";
/** True where a program stands behind the page. */
export const native = !engine.endsWith(".html");

/** The page's address: of the file, or of the program, which is started on an empty home. */
export async function serve() {
  if (!native) return { address: `file://${engine}`, end: () => {} };
  const home = mkdtempSync(path.join(tmpdir(), "sawpierce-page-"));
  const folder = process.env.SAWPIERCE_PAGE_DIR;
  const args = ["open", "--no-browser", "--port", "0", ...(folder ? ["--page-dir", path.resolve(folder)] : [])];
  const env = { ...process.env, HOME: home, XDG_DATA_HOME: home, XDG_CONFIG_HOME: home, XDG_STATE_HOME: home, XDG_CACHE_HOME: home };
  const program = spawn(engine, args, { env, stdio: ["ignore", "pipe", "pipe"] });
  const address = await new Promise((resolve, reject) => {
    let said = "";
    let wrong = "";
    program.stdout.on("data", (d) => {
      said += d;
      const line = /^http:\S+/m.exec(said);
      if (line) resolve(line[0]);
    });
    program.stderr.on("data", (d) => (wrong += d));
    program.on("exit", (code) => reject(new Error(`the program ended with ${code}: ${wrong}`)));
  });
  return { address, end: () => (program.removeAllListeners("exit"), program.kill(), rmSync(home, { recursive: true, force: true })) };
}

/**
 * A page with a job on the bench, or the five questions when none is given.
 * @param {{job?: string, name?: string, files?: {name: string, mimeType: string, buffer: Buffer}[], view?: {width: number, height: number},
 *          scheme?: "light" | "dark", more?: object, args?: string[], wait?: (page: any) => Promise<void>}} [with_]
 */
export async function openPage(with_ = {}) {
  const site = await serve();
  const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox", "--disable-dev-shm-usage", ...(with_.args ?? [])] });
  const context = await browser.newContext({
    viewport: with_.view ?? { width: 1440, height: 900 },
    colorScheme: with_.scheme ?? "light",
    reducedMotion: "reduce",
    acceptDownloads: true,
    ...with_.more,
  });
  const page = await context.newPage();
  page.setDefaultTimeout(20_000);
  /** Everything the console complained of. @type {string[]} */
  const complaints = [];
  page.on("console", (m) => m.type() === "error" && complaints.push(m.text()));
  page.on("pageerror", (e) => complaints.push(e.message));
  await page.goto(site.address);
  await page.waitForSelector("svg.sheet path.metal");
  if (with_.job) {
    await page.keyboard.press("Escape");
    await bringJob(page, with_.job, with_.name ?? "job.toml", with_.files, with_.wait);
  }
  await (with_.wait ?? settled)(page);
  const close = async () => {
    await browser.close();
    site.end();
  };
  return { page, complaints, close, address: site.address };
}

/** Opens a job by the button a person would press. */
export async function bringJob(page, text, name = "job.toml", files = [], wait = settled) {
  await page.setInputFiles("[data-act=open] input", [{ name, mimeType: "text/plain", buffer: Buffer.from(text) }, ...files]);
  await page.waitForTimeout(100);
  await wait(page);
}

/** Waits until the best drawing of the newest change is shown, whatever is still sought beside it. */
export async function drawn(page) {
  await page.waitForFunction(
    () => {
      const { bench } = /** @type {any} */ (globalThis).sawpierce;
      return bench.drawing && bench.drawing.turn === bench.turn && bench.drawing.final !== false;
    },
    undefined,
    { timeout: 60_000 },
  );
}

/** Waits until the newest change is wholly shown, remedies included. */
export async function settled(page) {
  await page.evaluate(() => new Promise((r) => requestAnimationFrame(() => requestAnimationFrame(r))));
  await page.waitForFunction(() => /** @type {any} */ (globalThis).sawpierce.isSettled(), undefined, { timeout: 60_000 });
}

/** The metal that is seen: plate and openings as they are painted. */
export async function drawing(page) {
  return page.locator("svg.sheet").evaluate((sheet) => [...sheet.querySelectorAll("path.metal, path.opening")].map((p) => p.getAttribute("d")).join(""));
}

/** One of the numbers always in sight. */
export async function figure(page, name) {
  return (await page.locator(`[data-figure=${name}] dd`).innerText()).replace(/^■\s*/, "").trim();
}

/** The number in it. */
export async function number(page, name) {
  return Number.parseFloat(await figure(page, name));
}

/** Opens the group and whatever is folded round a field, and types into it. */
export async function fill(page, field, text) {
  const box = await reveal(page, field);
  const input = box.locator("input, select").first();
  if ((await input.evaluate((e) => e.tagName)) === "SELECT") await input.selectOption(text);
  else {
    await input.fill(text);
    await input.blur();
  }
  await settled(page);
}

/** A field's row, unfolded. */
export async function reveal(page, field) {
  if (await page.locator("[data-face=questions][aria-pressed=false]").count()) await page.click("[data-face=questions]");
  const row = page.locator(`.questions [data-path="${field}"]`);
  await row.evaluate((e) => {
    for (let at = e.parentElement; at; at = at.parentElement) if (at instanceof HTMLDetailsElement) at.open = true;
  });
  return row;
}

/** The job as it stands in writing. */
export async function writing(page) {
  await page.click("[data-face=text]");
  const text = await page.locator("#job-text").inputValue();
  await page.click("[data-face=questions]");
  return text;
}

/** All words of what was found, stops and cautions. */
export async function heard(page) {
  return page.locator(".findings > ul").innerText();
}

export async function openPanel(page, open) {
  await page.locator(open).first().evaluate((e) => {
    for (let at = e.parentElement; at; at = at.parentElement) if (at instanceof HTMLDetailsElement) at.open = true;
  });
  await page.locator(open).first().click();
  await page.waitForSelector("#panel[open]");
}

/** A place of the job, mm with y up, as a place on the screen. */
export async function onScreen(page, x, y) {
  return page.evaluate(
    ([px, py]) => {
      const sheet = /** @type {SVGSVGElement} */ (document.querySelector("svg.sheet"));
      const p = new DOMPoint(px, -py).matrixTransform(/** @type {DOMMatrix} */ (sheet.getScreenCTM()));
      return { x: p.x, y: p.y };
    },
    [x, y],
  );
}

/** Drags from one place of the job to another, mm with y up. */
export async function drag(page, from, to) {
  const [a, b] = [await onScreen(page, ...from), await onScreen(page, ...to)];
  await page.mouse.move(a.x, a.y);
  await page.mouse.down();
  for (let i = 1; i <= 8; i += 1) await page.mouse.move(a.x + ((b.x - a.x) * i) / 8, a.y + ((b.y - a.y) * i) / 8);
  await page.mouse.up();
  await settled(page);
}

/** Says whether the last change is settled, and shown so. */
export const SETTLED = "sawpierce.isSettled()";

/**
 * What any browser must do, asked of it by expressions: a job is opened, changed, made into paper, and kept over a reload.
 * The page is there already.
 * @param {{ go: () => Promise<any>, seen: (expression: string) => Promise<any>, until: (expression: string) => Promise<void> }} visit
 * @param {string} job
 */
export async function worksAndKeeps({ go, seen, until }, job) {
  await seen(`sawpierce.change({ ask: "open", name: "reed.toml", text: ${JSON.stringify(job)} }).then(() => "")`);
  await until(SETTLED);
  const openings = await seen("document.querySelector('[data-figure=openings] dd').textContent");
  assert.ok(Number(openings) > 10, openings);
  assert.equal(await seen(`sawpierce.edit([{ path: "outline.border", value: "4.5" }]).then((a) => a.ok)`), "true");
  await until(SETTLED);
  assert.notEqual(await seen("document.querySelector('[data-figure=openings] dd').textContent"), openings);
  assert.ok(Number(await seen(`sawpierce.ask({ ask: "paper" }).then((a) => a.pages.length)`)) >= 2);
  await go();
  await until("document.querySelectorAll('svg.sheet path.opening').length > 0");
  await until(SETTLED);
  assert.match(await seen("sawpierce.bench.text"), /border = 4\.5/);
}
