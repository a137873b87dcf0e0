// The one door, natively and as WebAssembly: every recorded request gives the
// same decisions, and numbers within 1e-9 of their size.
import { before, test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { fileURLToPath } from "node:url";

const top = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const requests = readFileSync(path.join(top, "internal/engine/testdata/requests.jsonl"), "utf8").trim().split("\n");

let answer; // the WebAssembly door: one request in, one answer out, as text
before(async () => {
  const goroot = execFileSync("go", ["env", "GOROOT"], { encoding: "utf8" }).trim();
  createRequire(import.meta.url)(path.join(goroot, "lib/wasm/wasm_exec.js")); // it must match the compiler
  const go = new globalThis.Go();
  const { instance } = await WebAssembly.instantiate(readFileSync(path.join(top, "bin/windlane.wasm")), go.importObject);
  go.run(instance);
  const enc = new TextEncoder(), dec = new TextDecoder();
  answer = (request) => dec.decode(globalThis.windlaneAnswer(enc.encode(request)));
});

let numbers = 0, values = 0; // compared
function same(a, b, where) {
  if (a === null || typeof a !== "object") values++;
  if (typeof a === "number" && typeof b === "number") {
    numbers++;
    assert.ok(Math.abs(a - b) <= 1e-9 * Math.max(Math.abs(a), Math.abs(b), 1e-6), `${where}: native ${a}, wasm ${b}`);
  } else if (a !== null && typeof a === "object") {
    assert.ok(b !== null && typeof b === "object" && Array.isArray(a) === Array.isArray(b), `${where}: native and wasm differ in kind`);
    assert.deepEqual(Object.keys(b), Object.keys(a), where);
    for (const k of Object.keys(a)) same(a[k], b[k], `${where}.${k}`);
  } else {
    assert.strictEqual(b, a, where);
  }
}

test("the door gives the same answers natively and as WebAssembly", () => {
  const native = execFileSync(path.join(top, "bin/windlane"), ["engine"], { input: requests.join("\n") + "\n", encoding: "utf8", maxBuffer: 1 << 28 }).trim().split("\n");
  assert.ok(requests.length >= 20, `only ${requests.length} requests are recorded`);
  assert.equal(native.length, requests.length);
  requests.forEach((r, i) => {
    const want = JSON.parse(native[i]), have = JSON.parse(answer(r)), already = values;
    assert.deepEqual(want.id, JSON.parse(r).id);
    same(want.answer ?? want.error, have.answer ?? have.error, `request ${i + 1}`);
    assert.deepEqual(Object.keys(have), Object.keys(want), `request ${i + 1}: answered by one, refused by the other`);
    assert.ok(values > already + 1, `request ${i + 1}: nothing was compared`);
  });
  assert.ok(numbers > 1000, `only ${numbers} numbers were compared`);
  console.log(`${requests.length} requests, ${numbers} numbers compared`);
});

test("the WebAssembly door refuses what is no request", () => {
  const bad = JSON.parse(new TextDecoder().decode(globalThis.windlaneAnswer("not bytes")));
  assert.equal(bad.id, null);
  assert.ok(bad.error.message);
});
