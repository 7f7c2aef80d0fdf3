// SPDX-License-Identifier: MIT
// page.mjs: how soon the page of `inward serve` is there, and how soon it answers a hand, in Chromium on loopback. Prints
// "NAME VALUE UNIT" for bench/run.py.
//
// usage: node page.mjs INWARD DESIGN
//
//   page_first_paint       from the start of navigation to the first paint, which already has words (PerformancePaintTiming)
//   page_drawn             ... to the box drawn with its verdicts
//   page_drag              from a movement of the flap by mouse to its verdicts in hand: one step at a time
//   page_drag_painted      ... to the end of the frame that shows them
//   page_drag_day          from a movement to the day's curves in hand, the section of the day open
//   page_size              all files of the page, each compressed
import { readFileSync, readdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { gzipSync } from "node:zlib";
import { handle, launch, middle, open, root, shut, tidy, within } from "../web/test/rig.mjs";

const LOADS = 15, STEPS = 240, DAYS = 60;
const [, , program, design] = process.argv;
const inward = resolve(program), text = readFileSync(design, "utf8");

const sorted = values => [...values].sort((a, b) => a - b);
const median = values => sorted(values)[Math.floor(values.length / 2)];
const late = values => sorted(values)[Math.floor(values.length * 0.95)];
const tell = (name, value, unit) => console.log(`${name} ${value.toPrecision(3)} ${unit}`);

function both(name, values) {
  tell(name, median(values), "ms");
  tell(`${name}_p95`, late(values), "ms");
}

async function loads() {
  const paints = [], drawn = [];
  for (let i = 0; i < LOADS; i++) {
    const { page } = await open(inward, text, { wait: false });
    await page.waitForFunction(() => performance.getEntriesByType("paint").length === 2 && document.querySelector(".scene svg") && document.querySelector(".verdicts li"));
    paints.push(await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0].startTime));
    await tidy();
    const again = await open(inward, text, { wait: false });
    await again.page.addInitScript(() => {
      new MutationObserver((_, watch) => {
        if (!document.querySelector(".scene svg") || !document.querySelector(".verdicts li")) return;
        watch.disconnect();
        requestAnimationFrame(() => setTimeout(() => { globalThis.drawnAt = performance.now(); }));
      }).observe(document, { childList: true, subtree: true });
    });
    await again.page.reload();
    drawn.push(await again.page.waitForFunction(() => globalThis.drawnAt).then(h => h.jsonValue()));
    await tidy();
  }
  both("page_first_paint", paints);
  both("page_drawn", drawn);
}

/** The flap to and fro, `steps` times: each movement waits for the attribute that its answer sets on the document. */
async function dragged(page, steps, attribute) {
  await page.evaluate(name => {
    const root = document.documentElement, moments = globalThis.moments = { moved: 0, painted: 0 };
    addEventListener("pointermove", e => { moments.moved = e.timeStamp; }, true);
    new MutationObserver(() => {
      if (!root.dataset[name]) return;
      moments.answered = performance.now();
      requestAnimationFrame(() => setTimeout(() => { moments.painted = performance.now(); }));
    }).observe(root, { attributes: true });
  }, attribute);
  const at = await middle(handle(page, "cleaner.split.flap.position").locator(".grip")), answers = [], painted = [], whole = [];
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  for (let i = 1; i <= steps; i++) {
    await page.evaluate(name => { document.documentElement.dataset[name] = ""; globalThis.moments.painted = 0; }, attribute);
    const phase = i % 80, x = phase < 40 ? phase : 80 - phase; // px from where it began
    await page.mouse.move(at.x + x * 1.2 + 0.01 * i, at.y + 25);
    const took = await page.waitForFunction(name => globalThis.moments.painted && { ms: Number(document.documentElement.dataset[name]),
      answered: globalThis.moments.answered - globalThis.moments.moved, painted: globalThis.moments.painted - globalThis.moments.moved }, attribute).then(h => h.jsonValue());
    answers.push(took.ms);
    whole.push(took.answered);
    painted.push(took.painted);
  }
  await page.mouse.up();
  return { answers, painted, whole };
}

async function drags() {
  const { page } = await open(inward, text, { viewport: { width: 1400, height: 1000 } });
  const hand = await dragged(page, STEPS, "ms");
  both("page_drag", hand.answers);
  both("page_drag_painted", hand.painted);
  await tidy();
  const other = await open(inward, text, { viewport: { width: 1400, height: 1000 } });
  await other.page.click("#tab-day");
  await other.page.waitForFunction(() => document.documentElement.dataset.dayMs);
  both("page_drag_day", (await dragged(other.page, DAYS, "dayMs")).whole);
  await tidy();
}

await launch();
await within("bench", loads);
await within("bench", drags);
await shut();
const dist = join(root, "web/dist");
tell("page_size", readdirSync(dist).reduce((sum, f) => sum + gzipSync(readFileSync(join(dist, f))).length, 0) / 1000, "kB");
