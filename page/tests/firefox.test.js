// The page in Firefox, by WebDriver BiDi: it starts, is changed, prints paper, and keeps its work. Skipped where Firefox is not.
import test from "node:test";
import assert from "node:assert/strict";
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { serve, worksAndKeeps } from "./bench.js";
import { PLAIN } from "./jobs.js";

const firefox = process.env.FIREFOX ?? ["firefox-esr", "firefox"].find((name) => spawnSync(name, ["--version"]).status === 0);
const skip = !firefox || typeof WebSocket === "undefined" ? "no Firefox here, or a node without WebSocket (--experimental-websocket)" : false;

/** A Firefox with nobody before it, and a way to evaluate in its page. @param {string} address */
async function visit(address) {
  const profile = mkdtempSync(path.join(tmpdir(), "sawpierce-firefox-"));
  const program = spawn(firefox ?? "", ["--headless", "--no-remote", "--profile", profile, "--remote-debugging-port", "0"], { stdio: ["ignore", "ignore", "pipe"] });
  const socket = await new Promise((resolve, reject) => {
    let said = "";
    program.stderr.on("data", (d) => {
      said += d;
      const line = /WebDriver BiDi listening on (ws:\S+)/.exec(said);
      if (line) resolve(new WebSocket(`${line[1]}/session`));
    });
    program.on("exit", () => reject(new Error(said)));
  });
  await new Promise((resolve) => socket.addEventListener("open", resolve));
  /** @type {Map<number, (answer: any) => void>} */
  const waiting = new Map();
  /** @type {string[]} */
  const complaints = [];
  socket.addEventListener("message", ({ data }) => {
    const answer = JSON.parse(data);
    if (answer.id !== undefined) waiting.get(answer.id)?.(answer);
    else if (answer.method === "log.entryAdded" && answer.params.level === "error") complaints.push(answer.params.text);
  });
  let next = 0;
  const send = async (/** @type {string} */ method, /** @type {object} */ params) => {
    next += 1;
    const id = next;
    const answer = await new Promise((resolve) => (waiting.set(id, resolve), socket.send(JSON.stringify({ id, method, params }))));
    if (answer.type === "error") throw new Error(`${method}: ${answer.message}`);
    return answer.result;
  };
  await send("session.new", { capabilities: {} });
  await send("session.subscribe", { events: ["log.entryAdded"] });
  const { contexts } = await send("browsingContext.getTree", {});
  const context = contexts[0].context;
  const go = () => send("browsingContext.navigate", { context, url: address, wait: "complete" });
  /** What an expression comes to, as text. @param {string} expression */
  const seen = async (expression) => {
    const { result, exceptionDetails } = await send("script.evaluate", { expression: `(async () => String(await (${expression})))()`, target: { context }, awaitPromise: true });
    if (exceptionDetails) throw new Error(exceptionDetails.text);
    return result.value;
  };
  /** Waits until it is so. @param {string} expression */
  const until = async (expression) => {
    for (let i = 0; i < 300; i += 1) {
      if ((await seen(expression)) === "true") return;
      await new Promise((r) => setTimeout(r, 100));
    }
    throw new Error(`never came: ${expression}; ${complaints.join(" | ")}`);
  };
  const end = () => {
    socket.close();
    program.removeAllListeners("exit");
    program.on("exit", () => rmSync(profile, { recursive: true, force: true }));
    program.kill();
  };
  return { go, seen, until, end, complaints };
}

test("Firefox: the page starts, is changed, makes paper, and keeps its work", { skip, timeout: 120_000 }, async (t) => {
  const site = await serve();
  t.after(site.end);
  const { go, seen, until, end, complaints } = await visit(site.address);
  t.after(end);
  await go();
  await until("document.querySelectorAll('svg.sheet path.opening').length > 0");
  await worksAndKeeps({ go, seen, until }, PLAIN);
  assert.deepEqual(complaints, []);
});
