// The one door, natively and as WebAssembly: every recorded request gives the
// same decisions, and numbers within 1e-9 of their size.
import { test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { fileURLToPath } from "node:url";

const top = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const requests = readFileSync(path.join(top, "internal/engine/testdata/requests.jsonl"), "utf8").trim().split("\n");

async function door() {
  const goroot = execFileSync("go", ["env", "GOROOT"], { encoding: "utf8" }).trim();
  createRequire(import.meta.url)(path.join(goroot, "lib/wasm/wasm_exec.js")); // it must match the compiler
  const go = new globalThis.Go();
  const { instance } = await WebAssembly.instantiate(readFileSync(path.join(top, "bin/windlane.wasm")), go.importObject);
  go.run(instance);
  const enc = new TextEncoder(), dec = new TextDecoder();
  return (request) => dec.decode(globalThis.windlaneAnswer(enc.encode(request)));
}

let compared = 0;
function same(a, b, where) {
  if (typeof a === "number" && typeof b === "number") {
    compared++;
    assert.ok(Math.abs(a - b) <= 1e-9 * Math.max(Math.abs(a), Math.abs(b), 1e-6), `${where}: native ${a}, wasm ${b}`);
  } else if (a !== null && typeof a === "object") {
    assert.deepEqual(Object.keys(b ?? {}), Object.keys(a), where);
    for (const k of Object.keys(a)) same(a[k], b[k], `${where}.${k}`);
  } else {
    assert.equal(b, a, where);
  }
}

test("the door gives the same answers natively and as WebAssembly", async () => {
  const native = execFileSync(path.join(top, "bin/windlane"), ["engine"], { input: requests.join("\n") + "\n", encoding: "utf8", maxBuffer: 1 << 28 }).trim().split("\n");
  assert.equal(native.length, requests.length);
  const answer = await door();
  requests.forEach((r, i) => same(JSON.parse(native[i]), JSON.parse(answer(r)), `request ${i + 1}`));
  assert.ok(compared > 1000, `compared only ${compared} numbers`);
  console.log(`${requests.length} requests, ${compared} numbers compared`);
});

test("the WebAssembly door refuses what is no request", async () => {
  await door();
  const bad = new TextDecoder().decode(globalThis.windlaneAnswer("not bytes"));
  assert.equal(JSON.parse(bad).id, null);
  assert.ok(JSON.parse(bad).error.message);
  process.exitCode = 0;
  setTimeout(() => process.exit(), 100).unref?.();
});
