// The page in WebKit, by WebDriver: it starts, is changed, makes paper, and keeps its work. Skipped where WebKitGTK's
// driver, its small browser or a screen that nobody sees (Xvfb) is not there.
import test from "node:test";
import assert from "node:assert/strict";
import { spawn, spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { SETTLED, serve, worksAndKeeps } from "./bench.js";
import { PLAIN } from "./jobs.js";

const driver = "/usr/bin/WebKitWebDriver";
const browser = ["4.1", "4.0", "6.0"].map((v) => `/usr/lib/x86_64-linux-gnu/webkit2gtk-${v}/MiniBrowser`).find((f) => existsSync(f));
const screen = spawnSync("Xvfb", ["-help"]).error === undefined;
const skip = existsSync(driver) && browser && screen ? false : "no WebKitGTK driver, MiniBrowser or Xvfb here";

/** A WebKit with nobody before it, and a way to evaluate in its page. @param {string} address */
async function visit(address) {
  const display = `:${90 + (process.pid % 400)}`;
  const x = spawn("Xvfb", [display, "-screen", "0", "1440x900x24"], { stdio: "ignore" });
  const port = 20000 + (process.pid % 20000);
  const env = { ...process.env, DISPLAY: display, WEBKIT_DISABLE_COMPOSITING_MODE: "1", LIBGL_ALWAYS_SOFTWARE: "1" };
  const program = spawn(driver, [`--port=${port}`], { stdio: "ignore", env });
  const send = async (/** @type {string} */ method, /** @type {string} */ path, /** @type {object | undefined} */ body = undefined) => {
    const answer = await fetch(`http://127.0.0.1:${port}${path}`, { method, body: body && JSON.stringify(body) });
    const { value } = await answer.json();
    if (value?.error) throw new Error(`${path}: ${value.error} ${value.message}`);
    return value;
  };
  for (let i = 0; i < 100 && !(await send("GET", "/status").catch(() => null)); i += 1) await new Promise((r) => setTimeout(r, 100));
  const options = { binary: browser, args: ["--automation"] };
  const { sessionId } = await send("POST", "/session", { capabilities: { alwaysMatch: { "webkitgtk:browserOptions": options } } });
  const at = `/session/${sessionId}`;
  await send("POST", `${at}/timeouts`, { script: 60_000, pageLoad: 60_000 });
  const go = () => send("POST", `${at}/url`, { url: address });
  /** What an expression comes to, as text. @param {string} expression */
  const seen = (expression) => {
    const script = `const done = arguments[0]; (async () => String(await (${expression})))().then(done, (why) => done("threw " + why));`;
    return send("POST", `${at}/execute/async`, { script, args: [] });
  };
  /** Waits until it is so. @param {string} expression */
  const until = async (expression) => {
    for (let i = 0; i < 600; i += 1) {
      if ((await seen(expression)) === "true") return;
      await new Promise((r) => setTimeout(r, 100));
    }
    throw new Error(`never came: ${expression}`);
  };
  const end = async () => {
    await send("DELETE", at).catch(() => null);
    program.kill();
    x.kill();
  };
  return { go, seen, until, end };
}

test("WebKit: the page starts, is changed, makes paper, and keeps its work", { skip, timeout: 240_000 }, async (t) => {
  const site = await serve();
  t.after(site.end);
  const { go, seen, until, end } = await visit(site.address);
  t.after(end);
  await go();
  await until("document.querySelectorAll('svg.sheet path.opening').length > 0");
  await until("document.querySelector('#panel.p-first[open] [data-do=first]') !== null");
  await seen("document.querySelector('[data-do=first]').click()");
  await until("!document.querySelector('#panel[open]')");
  await until(SETTLED);
  assert.ok(Number(await seen("document.querySelector('[data-figure=openings] dd').textContent")) >= 7, "five questions make a piece");
  await worksAndKeeps({ go, seen, until }, PLAIN);
});
