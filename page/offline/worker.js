// The engine at work, apart from the page so that the page never waits. Its module comes ready compiled; questions that come
// before it has begun wait for it.
let engine;
let begin;
const begun = new Promise((resolve) => (begin = resolve));

/** Writes text into the engine's memory; gives its length in bytes. */
const put = (text) => {
  const bytes = new TextEncoder().encode(text);
  const at = engine.room(bytes.length);
  new Uint8Array(engine.memory.buffer, at, bytes.length).set(bytes);
  return bytes.length;
};

/** The answer's bytes, copied out. */
const taken = (length) => new Uint8Array(engine.memory.buffer, engine.answer(), length).slice();

const ask = (text) => new TextDecoder().decode(taken(engine.ask(put(text))));

const file = (kind) => {
  const all = taken(engine.file(put(kind)));
  const head = new DataView(all.buffer).getUint32(0, true);
  return { ...JSON.parse(new TextDecoder().decode(all.subarray(4, 4 + head))), bytes: all.slice(4 + head) };
};

self.onmessage = async ({ data }) => {
  const { id, module, question, kind } = data;
  try {
    if (module) {
      engine = (await WebAssembly.instantiate(module, {})).exports;
      begin();
    } else {
      await begun;
      self.postMessage({ id, answer: kind === undefined ? ask(question) : file(kind) });
    }
  } catch (why) {
    self.postMessage({ id, failed: String(why) });
  }
};
