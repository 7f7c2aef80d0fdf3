// SPDX-License-Identifier: MIT
// rig.mjs: a server on a copy of a design, a browser that looks at its page, and what is asked of both.
import { AsyncLocalStorage } from "node:async_hooks";
import { spawn } from "node:child_process";
import { once } from "node:events";
import { accessSync, constants, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { delimiter, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

export const root = resolve(fileURLToPath(import.meta.url), "../../..");
const axeSource = readFileSync(join(root, "web/node_modules/axe-core/axe.min.js"), "utf8");
const PATIENCE_MS = 30000; // of one wait: generous, since it only ends a test that has failed anyway

// ---- counting ----

let passed = 0, failed = 0;
const test = new AsyncLocalStorage(); // several run side by side: { name, opened }
export const within = (name, act) => test.run({ name, opened: [] }, act);
export function check(what, good, more = "") {
  if (good) { passed++; return; }
  failed++;
  console.log(`FAIL ${test.getStore().name}: ${what}: ${(typeof more === "string" ? more : JSON.stringify(more) ?? "").slice(0, 1200)}`);
}
export const same = (what, got, want) => check(what, JSON.stringify(got) === JSON.stringify(want), `got ${short(got)}, wanted ${short(want)}`);
const short = x => (JSON.stringify(x) ?? "nothing").slice(0, 500);
export const counts = () => ({ passed, failed });

// ---- the server ----

export function onPath(name) {
  for (const folder of (process.env.PATH ?? "").split(delimiter)) {
    try { accessSync(join(folder, name), constants.X_OK); return join(folder, name); } catch { /* the next */ }
  }
  return null;
}

export const example = name => readFileSync(join(root, "examples", `${name}.yaml`), "utf8");

export class Server {
  /** `design`: the text of box.yaml, or null for a file that does not exist. `words`: more for the command line. */
  constructor(inward, design, words = []) {
    this.inward = inward;
    this.words = words;
    this.folder = mkdtempSync(join(tmpdir(), "inward-page-"));
    this.file = join(this.folder, "box.yaml");
    if (design !== null) writeFileSync(this.file, design);
    this.port = 0;
  }
  /** On the port that it had before, if it has run before. */
  async start() {
    const program = spawn(this.inward, ["serve", "box.yaml", "--port", String(this.port), ...this.words], { cwd: this.folder, stdio: ["ignore", "pipe", "pipe"] });
    this.program = program;
    let told = "";
    program.stderr.on("data", d => { told += d; });
    await new Promise((done, wrong) => {
      program.stdout.on("data", d => { told += d; if (/http:\S+\/\S*\n/.test(told)) done(); });
      program.once("exit", () => wrong(new Error(`no server: ${told}`)));
    });
    this.url = /http:\S+/.exec(told)[0].replace("ADDRESS-OF-THIS-COMPUTER", "127.0.0.1");
    this.port = Number(new URL(this.url).port);
    return this;
  }
  async stop(how = "SIGTERM") {
    if (this.program.exitCode !== null || this.program.signalCode !== null) return;
    this.program.kill(how);
    await once(this.program, "exit");
  }
  async end() {
    await this.stop("SIGKILL");
    rmSync(this.folder, { recursive: true, force: true });
  }
  read() { return readFileSync(this.file, "utf8"); }
  write(text) { writeFileSync(this.file, text); }
  async ask(path, body) {
    const reply = await fetch(new URL(path, this.url), body === undefined ? {} :
      { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
    return reply.json();
  }
}

// ---- the browser ----

let browser = null;

export async function launch() {
  const executablePath = onPath("chromium");
  if (!executablePath) throw new Error("no chromium on PATH: apt-get install chromium");
  browser = await chromium.launch({ executablePath, args: ["--no-sandbox"] });
}
export const shut = () => browser?.close();

/** A page on a server of its own. `expect`: what the browser may complain of, such as the 409 of a conflict; `words`: for the
 * server's command line; `at`: from the address that it prints to the one to open. */
export async function open(inward, design, options = {}) {
  const { expect = null, wait = true, words = [], at = url => url, ...context } = options;
  const server = await new Server(inward, design, words).start();
  const window = await browser.newContext({ viewport: { width: 1200, height: 900 }, reducedMotion: "reduce", ...context });
  const page = await window.newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  const complaints = [];
  page.on("console", m => { if (["error", "warning"].includes(m.type()) && !expect?.test(m.text())) complaints.push(m.text()); });
  page.on("pageerror", e => complaints.push(e.stack ?? String(e)));
  await page.addInitScript(() => {
    addEventListener("securitypolicyviolation", e => console.error(`policy: ${e.violatedDirective} ${e.blockedURI}`));
    const said = globalThis.said = []; // all that a screen reader has been told, also what is soon said over
    let last = "";
    new MutationObserver(() => {
      const now = document.querySelector(".live")?.textContent;
      if (now && now !== last) said.push(now);
      last = now;
    }).observe(document, { subtree: true, childList: true, characterData: true });
  });
  test.getStore().opened.push({ server, window, complaints });
  await page.goto(at(server.url));
  if (wait) await page.waitForSelector(".scene svg, .picture .none");
  return { page, server };
}

/** End what the test has opened; nothing may have been complained of meanwhile. */
export async function tidy() {
  for (const o of test.getStore().opened.splice(0)) {
    same("no error in the console, no report of the policy", o.complaints, []);
    await o.window.close();
    await o.server.end();
  }
}

// ---- what a test wants of a page ----

/** All rules of WCAG 2.0 to 2.2, A and AA, and of best practice. */
export async function accessible(page, what) {
  await page.evaluate(axeSource);
  const found = await page.evaluate(() => globalThis.axe.run(document, {
    runOnly: { type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa", "best-practice"] },
    rules: { "target-size": { enabled: true } },
    resultTypes: ["violations"],
  }));
  check(`axe, ${what}`, found.violations.length === 0 && found.passes.length > 10,
    found.violations.map(v => `${v.id}: ${v.nodes.map(n => `${n.target} (${n.failureSummary})`).join(", ")}`).join("; "));
}

/** The draft: the text that the page itself sends when it asks where a number comes from. */
export async function draft(page) {
  const [request] = await Promise.all([page.waitForRequest(/\/api\/why/), page.locator("button.number").first().click()]);
  const { text } = request.postDataJSON();
  await page.waitForSelector("dialog[open]");
  await page.keyboard.press("Escape");
  await page.waitForSelector("dialog[open]", { state: "detached" });
  return text;
}

/** What the list of verdicts shows, in its order. */
export const unfold = page => page.$$eval(".judged details.group", all => all.forEach(d => { d.open = true; }));
export const listed = page => page.$$eval(".judged .verdicts summary", all => all.map(s => ({
  word: s.querySelector(".word").textContent.replace(/^\S /, ""),
  title: s.querySelector(".word").nextSibling.textContent,
  numbers: s.querySelector(".numbers").textContent,
})));

/** The list is that of /api/verdicts for this text. */
export async function verdictsAre(page, server, what, text, units = "si") {
  const told = await server.ask(`/api/verdicts?units=${units}`, { text });
  const order = ["misses", "cannot tell", "in doubt", "meets", "stated"];
  const several = new Set(told.verdicts.map(v => v.job)).size > 1;
  const want = [...told.verdicts].sort((a, b) => order.indexOf(a.word) - order.indexOf(b.word))
    .map(v => ({ word: v.word, title: several && v.job ? `${v.title}, ${v.job}` : v.title, numbers: [v.value, v.limit, v.margin && `margin ${v.margin}`].filter(Boolean).join("; ") }));
  same(`${what}: the verdicts are those of the server`, await listed(page), want);
  check(`${what}: the first word is that of the whole`, (await page.textContent("#overall")).includes(told.overall));
  check(`${what}: what passes says what is not in it`, (await page.locator("#not-in-it").count() === 1) === ["meets", "stated"].includes(told.overall));
}

/** Waits until a screen reader is told this, after what was heard before. */
export const heard = (page, words) => page.waitForFunction(w => {
  const at = globalThis.said.findIndex(t => t.includes(w));
  return at >= 0 && globalThis.said.splice(0, at + 1);
}, words);

export const stepsOf = async page => Number(await page.getAttribute("#undo", "data-steps"));

/** `act` makes a step, or takes one back; waits until it is done and nothing is in the hand any more. Returns the undo button's words. */
export async function stepped(page, act) {
  const before = await stepsOf(page);
  await act();
  await page.waitForFunction(n => Number(document.getElementById("undo").dataset.steps) !== n && !document.querySelector(".handle.held"), before);
  return page.getAttribute("#undo", "title");
}

export const handle = (page, path) => page.locator(`.handle[data-path="${path}"]`);

export async function middle(locator) {
  await locator.scrollIntoViewIfNeeded();
  const b = await locator.boundingBox();
  return { x: b.x + b.width / 2, y: b.y + b.height / 2 };
}

/** The document is no wider than the window, so that nobody has to scroll sideways. */
export async function fitsAcross(page, what) {
  const { wide, window, first } = await page.evaluate(() => {
    const edge = document.documentElement.clientWidth;
    const over = [...document.querySelectorAll("body *")].find(e => e.getBoundingClientRect().right > edge + 1 && !e.closest(".scene, pre, .skip"));
    return { wide: document.documentElement.scrollWidth, window: edge, first: over?.outerHTML.slice(0, 200) };
  });
  check(`${what}: no wider than the window`, wide <= window, `${wide} px of ${window}: ${first}`);
  const out = await page.$$eval("section *", all => all.filter(e => !e.closest(".scene, pre, .wide, .text-area, svg, .chart, thead") && e.checkVisibility()
    && e.getBoundingClientRect().right > e.closest("section").getBoundingClientRect().right).map(e => e.outerHTML.slice(0, 120)));
  same(`${what}: nothing sticks out of its section`, out, []);
}
