// What the page is made of: weight, words, the vendored library, nothing that cannot be packed into one file.
import test from "node:test";
import assert from "node:assert/strict";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { createHash } from "node:crypto";
import { gunzipSync } from "node:zlib";
import path from "node:path";

const page = path.resolve(import.meta.dirname, "..");
const scripts = readdirSync(path.join(page, "js")).filter((f) => f.endsWith(".js"));
const source = (/** @type {string} */ f) => readFileSync(path.join(page, f), "utf8");

test("the page without its engine weighs less than 150 kB", (t) => {
  const files = ["index.html", "style.css", "words/en.json", "vendor/lit-html.js", ...scripts.map((f) => `js/${f}`)];
  const bytes = files.reduce((n, f) => n + statSync(path.join(page, f)).size, 0);
  t.diagnostic(`${files.length} files, ${(bytes / 1000).toFixed(1)} kB`);
  assert.ok(bytes < 150_000, `${bytes}`);
});

test("lit-html is as published, without its source map line", () => {
  const published = source("tests/node_modules/lit-html/lit-html.js").replace(/\n?\/\/# sourceMappingURL=.*\n?/, "\n");
  assert.equal(source("vendor/lit-html.js").trim(), published.trim());
  assert.equal(source("vendor/lit-html.LICENSE"), source("tests/node_modules/lit-html/LICENSE"));
});

test("every word stands in the table, and every word of the table is used", () => {
  const words = JSON.parse(source("words/en.json"));
  const all = scripts.map((f) => source(`js/${f}`)).join("\n");
  const literal = new Set([...all.matchAll(/"([a-z][\w-]*(?:\.[\w-]+)+)"/g)].map((m) => m[1]));
  const heads = [...all.matchAll(/`([a-z][\w-]*\.(?:[\w-]+\.)*)\$\{/g)].map((m) => m[1]);
  const counted = [...all.matchAll(/count\("([\w.-]+)"/g)].map((m) => m[1]);
  for (const key of [...all.matchAll(/\bt\("([\w.-]+)"/g)].map((m) => m[1])) assert.ok(key in words, `"${key}" is not in words/en.json`);
  for (const key of counted) for (const end of ["one", "many"]) assert.ok(`${key}.${end}` in words, `"${key}.${end}"`);
  for (const key of Object.keys(words)) {
    const used = literal.has(key) || all.includes(`"${key}"`) || counted.includes(key.replace(/\.(one|many)$/, "")) || heads.some((h) => key.startsWith(h));
    assert.ok(used, `"${key}" is never used`);
  }
});

test("modules import statically and relatively, and only the store knows the engine", () => {
  for (const f of scripts) {
    const text = source(`js/${f}`);
    assert.doesNotMatch(text.replace(/\/\*\*[^]*?\*\//g, ""), /\bimport\(/, f);
    for (const [, from] of text.matchAll(/\bfrom "([^"]+)"/g)) assert.match(from, /^(\.\/[\w-]+\.js|\.\.\/vendor\/lit-html\.js)$/, f);
    if (!["store.js", "main.js", "engine.js"].includes(f)) assert.doesNotMatch(text, /engine\.js/, f);
    assert.doesNotMatch(text, /\bstyle="/, `${f}: the content policy forbids style attributes`);
  }
});

test("the single file that is kept is the one its README tells of, and names no place it was built in", () => {
  const told = source("built/README.md");
  const file = readFileSync(path.join(page, "built/sawpierce.html"));
  assert.equal(createHash("sha256").update(file).digest("hex"), /^sha256: (\w+)$/m.exec(told)?.[1]);
  assert.match(told, /^commit: [0-9a-f]{40}$/m);
  const packed = /id="engine">([\w+/=]+)</.exec(file.toString())?.[1] ?? "";
  const engine = gunzipSync(Buffer.from(packed, "base64")).toString("latin1");
  assert.match(engine, /\/sawpierce\/src|\/cargo\/registry/, "places are told as in no machine's folders");
  for (const text of [engine, file.toString()]) assert.doesNotMatch(text, /(?<![\w.])\/(home|root|Users|work|tmp|builds)\/\w/);
});
