// The day plan's page in a real browser: what a reader, a printer and a screen
// reader get. WINDLANE_HTML names the page; CHROMIUM the browser, if elsewhere.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { createRequire } from "node:module";
import { existsSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const html = process.env.WINDLANE_HTML;
const axe = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const sizes = [
  { name: "phone", width: 360, height: 740 },
  { name: "tablet", width: 820, height: 1180 },
  { name: "desk", width: 1440, height: 900 },
];
const a5 = { width: 559, height: 794 }; // 148 mm by 210 mm at 96 px to the inch

let browser;
before(async () => {
  assert.ok(html && existsSync(html), "set WINDLANE_HTML to a day plan's page");
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-dev-shm-usage"],
  });
});
after(() => browser?.close());

// open gives the page at a size, with whatever it asked for and complained of.
async function open(options) {
  const { print, ...context } = options;
  // the page allows no script at all; axe is let past that
  const page = await browser.newPage({ ...context, bypassCSP: true });
  const asked = [], complaints = [];
  page.on("request", (r) => asked.push(r.url()));
  page.on("console", (m) => m.type() === "error" && complaints.push(m.text()));
  page.on("pageerror", (e) => complaints.push(String(e)));
  if (print) await page.emulateMedia({ media: "print" });
  await page.goto(pathToFileURL(html).href);
  await page.evaluate(() => document.fonts.ready.then(() => true));
  return { page, asked, complaints };
}

async function violations(page) {
  await page.addScriptTag({ path: axe });
  const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
  assert.ok(found.passes.length > 5, "axe looked at next to nothing");
  return found.violations.map((v) => `${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 120)).join(" | ")}`);
}

// words looks at every word of every visible picture: how many there are, which
// overlap, which are cut off by their picture or leave the page.
function words(page) {
  return page.evaluate(() => {
    const out = { count: 0, overlaps: [], cut: [] };
    for (const svg of document.querySelectorAll("svg")) {
      const frame = svg.getBoundingClientRect();
      if (frame.width === 0) continue;
      const all = [...svg.querySelectorAll("text")].map((t) => {
        const r = t.getBoundingClientRect();
        // of the line's height only capitals and tails are ink
        return { s: t.textContent, l: r.left + 0.5, r: r.right - 0.5, t: r.top + 0.22 * r.height, b: r.bottom - 0.2 * r.height };
      });
      out.count += all.length;
      all.forEach((a, i) => {
        if (a.l < frame.left - 1 || a.r > frame.right + 1 || a.t < frame.top - 1 || a.b > frame.bottom + 1 || a.l < -1 || a.r > innerWidth + 1) out.cut.push(a.s);
        for (const b of all.slice(i + 1)) {
          if (a.l < b.r && b.l < a.r && a.t < b.b && b.t < a.b) out.overlaps.push(`${a.s} / ${b.s}`);
        }
      });
    }
    return out;
  });
}

for (const size of sizes) {
  for (const colorScheme of ["light", "dark"]) {
    test(`${size.name}, ${colorScheme}: reads, fits, stands alone`, async () => {
      const { page, asked, complaints } = await open({ viewport: size, colorScheme });
      assert.deepEqual(complaints, []);
      assert.deepEqual(asked.filter((u) => !u.startsWith("file:") && !u.startsWith("data:")), [], "the page asked for something");
      assert.ok(await page.evaluate(() => document.fonts.check('17px "Atkinson Hyperlegible Next"') && document.fonts.size === 1), "the font did not load");
      for (const opened of [false, true]) {
        if (opened) await page.evaluate(() => document.querySelectorAll("details").forEach((d) => (d.open = true)));
        const [wide, there] = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
        assert.ok(wide <= there, `the page is ${wide} px wide in ${there}, details ${opened ? "open" : "shut"}`);
        assert.deepEqual(await violations(page), []);
      }
      const seen = await words(page);
      assert.ok(seen.count > 20, `only ${seen.count} words in the pictures`);
      assert.deepEqual(seen.overlaps, [], "words lie over each other");
      assert.deepEqual(seen.cut, [], "words are cut off");
      const small = await page.evaluate(() => [...document.querySelectorAll("summary, label")].filter((s) => s.getBoundingClientRect().height < 44).length);
      assert.equal(small, 0, "a thing to press is less than 44 px high");
      await page.close();
    });
  }
}

test("text at twice its size still fits a phone", async () => {
  const { page } = await open({ viewport: sizes[0] });
  await page.addStyleTag({ content: "html{font-size:200%}" });
  assert.equal(await page.evaluate(() => getComputedStyle(document.querySelector("p.headline")).fontSize), "38px");
  const [wide, there] = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
  assert.ok(wide <= there, `the page is ${wide} px wide in ${there}`);
  await page.close();
});

test("one press turns the lake north up, another back", async () => {
  const { page } = await open({ viewport: sizes[0] });
  const shown = () => page.evaluate(() => [...document.querySelectorAll("section.lake > svg")].filter((s) => s.getBoundingClientRect().height > 0).map((s) => s.getAttribute("aria-label")));
  const before = await shown();
  await page.click("label[for=north]");
  const after = await shown();
  await page.focus("#north");
  await page.keyboard.press("Space");
  assert.equal(before.length, 1);
  assert.match(before[0], /wind blowing down the page/);
  assert.equal(after.length, 1);
  assert.match(after[0], /north up/);
  assert.deepEqual(await shown(), before);
  await page.close();
});

test("every picture has its figures as text", async () => {
  const { page } = await open({ viewport: sizes[0] });
  const { drifts, tables } = await page.evaluate(() => ({
    drifts: [...document.querySelectorAll(".drift")].map((d) => d.querySelectorAll("svg[role=img]").length && d.querySelectorAll("table tbody tr").length),
    tables: document.querySelectorAll("table").length,
  }));
  assert.ok(tables > 0, "no table at all");
  for (const rows of drifts) assert.ok(rows > 0, "a drift's picture has no table");
  await page.close();
});

test("prints on A5: the sides as laid out, no more", async () => {
  const { page } = await open({ viewport: a5, print: true });
  assert.deepEqual(await violations(page), []);
  const seen = await words(page);
  assert.ok(seen.count > 20, `only ${seen.count} words in print`);
  assert.deepEqual(seen.overlaps, [], "words lie over each other");
  assert.deepEqual(seen.cut, [], "words are cut off");
  const sides = await page.evaluate(() => document.querySelectorAll(".sides svg").length);
  const pdf = (await page.pdf({ preferCSSPageSize: true })).toString("latin1");
  const pages = pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
  assert.equal(pages, sides, "printed pages against sides");
  assert.equal(sides, 3, "two sides and the tick sheet");
  const boxes = pdf.match(/\/MediaBox\s*\[[^\]]*\]/g) ?? [];
  for (const b of boxes) {
    const [, , w, h] = b.match(/[\d.]+/g).map(Number);
    assert.ok(Math.abs(w - 419.53) < 1.5 && Math.abs(h - 595.28) < 1.5, `not A5: ${b}`);
  }
  assert.ok(boxes.length > 0, "no page has a size");
  await page.close();
});
