// Compares the files that the program draws with those that the engine makes as WebAssembly: every example, and every pattern
// on a disc, must come out in the same bytes.
//
//   node page/engine/same.mjs target/debug/sawpierce target/page/engine.wasm [JOB...]
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, dirname, join, resolve } from "node:path";

const [given, wasm, ...named] = process.argv.slice(2);
const program = resolve(given);
const root = resolve(dirname(new URL(import.meta.url).pathname), "../..");
const folder = mkdtempSync(join(tmpdir(), "sawpierce-same-"));
const module = new WebAssembly.Module(readFileSync(wasm));
if (WebAssembly.Module.imports(module).length) throw new Error("the engine asks for imports");

/** A fresh engine, as the page's worker uses it. */
function started() {
  const engine = new WebAssembly.Instance(module, {}).exports;
  const put = (text) => {
    const bytes = new TextEncoder().encode(text);
    // Making room may move the memory: where it is comes first.
    const at = engine.room(bytes.length);
    new Uint8Array(engine.memory.buffer, at, bytes.length).set(bytes);
    return bytes.length;
  };
  const taken = (length) => new Uint8Array(engine.memory.buffer, engine.answer(), length).slice();
  return {
    ask: (question) => JSON.parse(new TextDecoder().decode(taken(engine.ask(put(JSON.stringify(question)))))),
    file: (kind) => {
      const all = taken(engine.file(put(kind)));
      const head = new DataView(all.buffer).getUint32(0, true);
      return { ...JSON.parse(new TextDecoder().decode(all.subarray(4, 4 + head))), bytes: Buffer.from(all.slice(4 + head)) };
    },
  };
}

const jobs = named.length ? named.map((path) => [basename(path), readFileSync(path, "utf8")]) : [];
if (!named.length) {
  const examples = join(root, "examples");
  for (const name of readdirSync(examples).filter((name) => name.endsWith(".toml"))) {
    jobs.push([name, readFileSync(join(examples, name), "utf8")]);
  }
  for (const { name } of JSON.parse(execFileSync(program, ["list", "patterns", "--json"]))) {
    for (const how of ["fit", "trim"]) {
      const text = `title = "${name}"\nskill = "practised"\n[sheet]\nmetal = "copper"\nthickness = 0.8\n[outline]\nshape = "circle"\ndiameter = 46\n[pattern]\nname = "${name}"\nat_border = "${how}"\n`;
      jobs.push([`${name}-${how}.toml`, text]);
    }
  }
}

let [same, other, refused] = [0, 0, 0];
for (const [name, text] of jobs) {
  const stem = name.replace(/\.toml$/, "");
  writeFileSync(join(folder, name), text);
  const drawn = spawnSync(program, ["draw", name], { cwd: folder, env: { ...process.env, SAWPIERCE_SETTINGS: folder } });
  const engine = started();
  const opened = engine.ask({ ask: "open", text, name, with: [] });
  if (drawn.status > 1 || !opened.ok) {
    // What one of them cannot use, the other cannot either.
    refused += 1;
    const made = engine.file("pdf");
    if (drawn.status > 1 !== Boolean(!opened.ok || made.says)) console.log(`${name}: only one of them refuses it`), (other += 1);
    continue;
  }
  const differ = [];
  for (const kind of ["svg", "pdf", "json"]) {
    const made = engine.file(kind);
    const native = readFileSync(join(folder, `${stem}.${kind}`));
    if (made.says || !native.equals(made.bytes)) {
      differ.push(made.says ?? kind);
      if (process.env.KEEP) {
        writeFileSync(join(process.env.KEEP, `${stem}-native.${kind}`), native);
        writeFileSync(join(process.env.KEEP, `${stem}-wasm.${kind}`), made.bytes);
      }
    }
  }
  if (differ.length) console.log(`${name}: ${differ.join(", ")} differ`), (other += 1);
  else same += 1;
}
rmSync(folder, { recursive: true });
console.log(`${same} jobs with the same bytes, ${other} not, ${refused} refused`);
process.exit(other ? 1 : 0);
