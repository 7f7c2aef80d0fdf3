// SPDX-License-Identifier: MIT
// bench.test.mjs: what can be looked at beside the verdicts, in a real browser against the built program.
//   INWARD=BUILD/inward node --test test/        (CHROMIUM=/usr/bin/chromium unless given)
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { copyFileSync, existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

const here = fileURLToPath(new URL(".", import.meta.url));
const program = process.env.INWARD, browserPath = process.env.CHROMIUM ?? "/usr/bin/chromium";
const skip = !program || !existsSync(browserPath) ? "INWARD names no program, or there is no Chromium" : false;
const axe = readFileSync(join(here, "../node_modules/axe-core/axe.min.js"), "utf8");
const folder = mkdtempSync(join(tmpdir(), "inward-bench-"));

let server, browser, address;

before(async () => {
  if (skip) return;
  copyFileSync(join(here, "../../examples/splint-night.yaml"), join(folder, "splint.yaml"));
  server = spawn(program, ["serve", "splint.yaml", "--port", "0"], { cwd: folder });
  address = await new Promise(done => server.stdout.once("data", d => done(/http:\S+/.exec(String(d))[0])));
  browser = await chromium.launch({ executablePath: browserPath, args: ["--no-sandbox"] });
});

after(async () => {
  await browser?.close();
  server?.kill();
  rmSync(folder, { recursive: true });
});

/** A page of its own for each test; an error on its console fails the test, but for refusals that the test provokes. */
async function page(options = {}) {
  const p = await (await browser.newContext({ viewport: { width: 1200, height: 900 }, ...options })).newPage();
  p.wrong = [];
  p.on("pageerror", e => p.wrong.push(e.message));
  p.on("console", m => { if (m.type() === "error" && !/status of 422/.test(m.text())) p.wrong.push(m.text()); });
  await p.goto(address);
  await p.locator("#tab-operating").waitFor();
  return p;
}

async function close(p) {
  assert.deepEqual(p.wrong, []);
  await p.context().close();
}

async function openDay(p) {
  await p.click("#tab-day");
  await p.locator("#panel-day .plots canvas").first().waitFor();
}

async function setFlap(p, to) {
  await p.click("#tab-numbers");
  await p.fill("#panel-numbers input[type=search]", "flap position");
  const field = p.locator("#panel-numbers input[type=text]");
  await field.fill(to);
  await field.press("Enter");
  return field;
}

test("tabs go by arrow keys, and one panel is shown", { skip }, async () => {
  const p = await page();
  await p.locator("#tab-operating").focus();
  const ids = [];
  for (const key of ["ArrowRight", "ArrowLeft", "ArrowLeft", "Home", "End"]) {
    await p.keyboard.press(key);
    ids.push(await p.evaluate(() => document.activeElement.id));
    assert.equal(await p.locator("[role=tabpanel]:visible").count(), 1);
  }
  assert.deepEqual(ids, ["tab-day", "tab-operating", "tab-text", "tab-operating", "tab-text"]);
  await close(p);
});

test("the operating point is that of the report, in the reader's units", { skip }, async () => {
  const p = await page();
  const { states } = await (await fetch(new URL("/api/check", address))).json();
  const said = p.locator("#panel-operating > p", { hasText: "The blower moves" });
  assert.match(await said.textContent(), new RegExp(`moves ${Number((states[0].operating_flow_m3s * 3600).toPrecision(3))} m3/h`));
  await p.selectOption("#panel-operating select", { index: 2 });
  assert.match(await said.textContent(), new RegExp(`moves ${Number((states[2].operating_flow_m3s * 3600).toPrecision(3))} m3/h`));
  await p.selectOption("#units", "us"); // 1 ft3 = 0.3048^3 m3, exact
  assert.match(await said.textContent(), new RegExp(`moves ${Number((states[2].operating_flow_m3s * 60 / 0.3048 ** 3).toPrecision(3))} ft3/min`));
  await close(p);
});

test("the day follows the design; its values are read by keyboard", { skip }, async () => {
  const p = await page();
  await openDay(p);
  const said = () => p.locator("#panel-day > p", { hasText: "Moments" }).textContent();
  const asItIs = await said();
  await p.locator("#day-when").focus();
  for (let i = 0; i < 36; i++) await p.keyboard.press("ArrowRight"); // 36 x 5 min from 02:30
  assert.equal(await p.locator("#day-when").getAttribute("aria-valuetext"), "05:30"); // from amid the job
  const { series } = await (await fetch(new URL("/api/day", address))).json();
  const box = series.columns.find(c => c.name === "box.temperature").values_K, times = series.columns[0].values_s;
  const row = times.reduce((best, t, i) => Math.abs(t - 34200) < Math.abs(times[best] - 34200) ? i : best, 0);
  assert.equal(await p.locator("#panel-day .legend b").first().textContent(), `${Number((box[row] - 273.15).toFixed(1))} degC`);
  await setFlap(p, "70 %");
  await openDay(p);
  await p.waitForFunction(before => !document.querySelector("#panel-day").textContent.includes(before), asItIs);
  await close(p);
});

test("a refused number is said at its field, and a good one is undone", { skip }, async () => {
  const p = await page();
  const field = await setFlap(p, "150 %");
  await p.locator("#panel-numbers .wrong").waitFor();
  assert.match(await p.locator("#panel-numbers .wrong").textContent(), /between 0 % and 100 %/);
  assert.equal(await p.locator(`#${await field.getAttribute("aria-describedby")}`).count(), 1);
  assert.equal(await p.locator(".notice").count(), 0);
  await field.fill("70 %");
  await field.press("Enter");
  await p.locator("#undo[title*='70 %']").waitFor();
  assert.equal(await p.locator("#panel-numbers .wrong").count(), 0);
  await p.click("#undo");
  await p.waitForFunction(() => document.querySelector("#panel-numbers input[type=text]").value === "0 %");
  await close(p);
});

test("a text that cannot be judged is told by line, and its line is gone to", { skip }, async () => {
  const p = await page();
  await p.click("#tab-text");
  const area = p.locator("#design-text"), text = await area.inputValue();
  await area.fill(text.replace("position: 0 %", "position: 0 potatoes"));
  await p.click("text=Judge this text");
  await p.locator("#text-wrong button").click();
  assert.match(await area.evaluate(e => e.value.slice(e.selectionStart, e.selectionEnd)), /^0 potatoes/);
  await area.fill(text.replace("position: 0 %", "position: 90 %"));
  await p.click("text=Judge this text");
  await p.locator("#undo[title='Undo: the text']").waitFor();
  await close(p);
});

test("a map moves the design, by pointer and by keyboard", { skip }, async () => {
  const p = await page();
  let maps = 0;
  p.on("request", r => { if (r.url().endsWith("/api/map")) maps++; });
  await p.click("#tab-map");
  await p.locator("#panel-map .starter button").click();
  await p.locator("#panel-map .plane svg").waitFor({ timeout: 60000 });
  await p.locator("#panel-map .plane svg").click({ position: { x: 500, y: 60 } });
  await p.locator("#undo[title*='moved on the map']").waitFor();
  const byPointer = await p.locator("#undo").getAttribute("title");
  await p.locator("#map-0").focus();
  await p.keyboard.press("ArrowLeft");
  await p.locator("#panel-map .steps button").press("Enter");
  await p.waitForFunction(t => document.querySelector("#undo").title !== t, byPointer);
  await p.waitForTimeout(800);
  assert.equal(maps, 1); // moved along its own axes, the map still holds
  assert.doesNotMatch(await p.locator("#panel-map .starter").textContent(), /earlier/);
  await close(p);
});

test("what was kept is compared with, and gone back to", { skip }, async () => {
  const p = await page();
  await p.click("#keep");
  await setFlap(p, "70 %");
  await p.locator("#undo[title*='70 %']").waitFor();
  await p.click("#tab-compare");
  const said = p.locator("#panel-compare .said");
  await said.waitFor();
  assert.match(await said.textContent(), /^\d+ better, \d+ worse/);
  assert.match(await p.locator("#panel-compare").textContent(), /cleaner\.split\.flap\.position0 %70 %/);
  await p.click("text=Back to what was kept");
  await p.waitForFunction(() => document.querySelector("#panel-compare .said").textContent === "Nothing differs.");
  await close(p);
});

test("no rule of axe is broken, nothing is wider than the page", { skip }, async () => {
  for (const [width, colorScheme] of [[360, "dark"], [1400, "light"]]) {
    const p = await page({ viewport: { width, height: 900 }, colorScheme });
    for (const tab of await p.locator("[role=tab]").all()) {
      await tab.click();
      const start = p.locator("[role=tabpanel]:visible .starter button");
      if (await start.count() && await tab.textContent() !== "How sure") {
        await start.click();
        await p.locator("[role=tabpanel]:visible .said").waitFor({ timeout: 60000 });
      }
      await p.waitForTimeout(300);
      await p.evaluate(axe);
      const broken = await p.evaluate(async () => (await axe.run(document, { resultTypes: ["violations"] })).violations.map(v => `${v.id}: ${v.nodes[0].html}`));
      assert.deepEqual(broken, [], `${await tab.textContent()} at ${width}`);
      assert.ok(await p.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${await tab.textContent()} at ${width}`);
    }
    await close(p);
  }
});

test("a day that no server answers is asked again when one does", { skip }, async () => {
  const p = await page();
  let asked = 0;
  await p.route("**/api/day?*", r => ++asked === 1 ? r.abort("connectionrefused") : r.continue());
  await p.click("#tab-day");
  await p.locator(".notice", { hasText: "does not answer" }).waitFor();
  await p.locator("#panel-day .plots canvas").first().waitFor();
  assert.equal(asked, 2);
  p.wrong = p.wrong.filter(w => !w.includes("ERR_CONNECTION_REFUSED"));
  await close(p);
});
