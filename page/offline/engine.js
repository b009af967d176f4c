/**
 * The engine of the single offline file: WebAssembly in two workers. One is the hand's: edits and what they show, with
 * everything that can be undone. The other does what takes long, on a copy of the job, and is ended when the job has
 * changed meanwhile. Same names as the module that speaks to the program.
 */
import table from "../words/en.json";
import source from "./worker.js";

/** Nothing stands behind this page: no printers, no folder to save into. */
export const native = false;

/** What is worked out apart from the hand. */
const LONG = new Set(["sample", "mend", "wish", "paper", "worn", "plan"]);
/** What changes the job. */
const CHANGING = new Set(["open", "begin", "edit", "add", "remove", "text", "undo", "redo"]);
const STORE = "sawpierce.work";

/** @returns {Promise<WebAssembly.Module>} */
async function compiled() {
  const packed = document.getElementById("engine")?.textContent?.trim() ?? "";
  const bytes = Uint8Array.from(atob(packed), (c) => c.charCodeAt(0));
  const plain = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(plain).arrayBuffer());
}

const engine = compiled();
const script = URL.createObjectURL(new Blob([source], { type: "text/javascript" }));

/** One worker with its engine; started when it is first needed, and again after it was ended. */
class Hand {
  /** @type {Worker | null} */
  worker = null;
  waiting = new Map();
  next = 1;

  async send(message) {
    const module = await engine;
    if (!this.worker) {
      this.worker = new Worker(script);
      this.worker.onmessage = ({ data }) => this.told(data);
      this.worker.onerror = (why) => this.failed(why.message);
      this.worker.postMessage({ module });
    }
    const id = this.next++;
    const answer = new Promise((resolve, reject) => this.waiting.set(id, { resolve, reject }));
    this.worker.postMessage({ id, ...message });
    return answer;
  }

  told({ id, answer, failed }) {
    const asked = this.waiting.get(id);
    this.waiting.delete(id);
    if (failed === undefined) asked?.resolve(answer);
    else {
      // A fault inside leaves the engine in no state to go on: the next question starts it anew.
      asked?.reject(new Error(failed));
      this.failed(failed);
    }
  }

  failed(why) {
    this.end();
    for (const { reject } of this.waiting.values()) reject(new Error(why));
    this.waiting.clear();
  }

  end() {
    this.worker?.terminate();
    this.worker = null;
  }

  /** Ends whatever it is at; those who wait are told that nobody needs it any more. */
  drop(turn) {
    if (this.waiting.size === 0) return;
    this.end();
    for (const { resolve } of this.waiting.values()) resolve({ ok: false, superseded: true, turn });
    this.waiting.clear();
    this.holds = -1;
  }

  /** The turn of the job that its copy is of. */
  holds = -1;
}

const hand = new Hand();
const helper = new Hand();
let turn = 0;
/** The last job known to be good, for an engine that has to start anew. */
let last = null;

async function quick(question) {
  const anew = hand.worker === null && last !== null;
  if (anew) await hand.send({ question: JSON.stringify({ ask: "open", ...last }) });
  const answer = JSON.parse(await hand.send({ question: JSON.stringify(question) }));
  turn = answer.turn ?? turn;
  return answer;
}

/** Brings the helper's copy of the job up to date; gives its turn, or null where the job changed on the way. */
async function follow() {
  if (helper.holds === turn && helper.worker) return turn;
  const whole = await quick({ ask: "whole" });
  const open = { ask: "open", text: whole.text, name: whole.name, files: whole.files };
  const opened = await helper.send({ question: JSON.stringify(open) });
  if (opened.superseded) return null;
  helper.holds = whole.turn;
  return whole.turn;
}

let chain = Promise.resolve();

/** One after the other, so that the copy stays the one that was asked about. */
function long(work) {
  const mine = chain.then(async () => {
    const asked = await follow();
    const answer = asked === null ? { superseded: true } : await work();
    return answer.superseded ? { ok: false, superseded: true, turn } : { answer, asked };
  });
  chain = mine.catch(() => undefined);
  return mine;
}

/**
 * @param {Record<string, unknown>} question
 * @returns {Promise<any>}
 */
export async function ask(question) {
  const what = String(question.ask);
  if (LONG.has(what) || (what === "findings" && question.remedies)) {
    const done = await long(() => helper.send({ question: JSON.stringify(question) }));
    if (done.superseded) return done;
    return { ...JSON.parse(done.answer), turn: done.asked };
  }
  if (what === "where") return where();
  if (CHANGING.has(what)) helper.drop(turn);
  const answer = await quick(question);
  if (CHANGING.has(what) && answer.ok) last = { text: answer.text, name: answer.name, files: question.files ?? last?.files ?? {} };
  return answer;
}

/**
 * @param {string} kind
 * @returns {Promise<{name: string, blob: Blob}>}
 */
export async function file(kind) {
  const done = await long(() => helper.send({ kind }));
  if (done.superseded) throw new Error("the job was changed meanwhile: ask again");
  if (done.answer.says) throw new Error(done.answer.says);
  return { name: done.answer.name, blob: new Blob([done.answer.bytes], { type: done.answer.mime }) };
}

/** @returns {Promise<Record<string, string>>} */
export async function words() {
  return table;
}

let stored = true;

/**
 * Keeps the work as it changes, in this browser.
 * @param {string} text
 * @param {string} name
 */
export async function keep(text, name) {
  try {
    localStorage.setItem(STORE, JSON.stringify({ text, name }));
    stored = true;
  } catch {
    stored = false;
  }
}

/** @returns {Promise<{text: string, name: string} | null>} */
export async function kept() {
  try {
    return JSON.parse(localStorage.getItem(STORE) ?? "null");
  } catch {
    return null;
  }
}

function where() {
  const says = stored
    ? "kept in this browser, on this machine; take the job file out to keep it elsewhere"
    : "NOT KEPT: this browser has no room or keeps nothing for this page; take the job file out";
  return { ok: true, turn, says, safe: stored, saved: false, job: null, path: null };
}
