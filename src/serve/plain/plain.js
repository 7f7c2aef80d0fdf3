// SPDX-License-Identifier: MIT
// plain.js: the page without a build. All numbers, words and pictures come from the server; nothing is worked out here.
"use strict";

const $ = id => document.getElementById(id);
const SIGN = {"meets": "✓", "in doubt": "?", "misses": "✗", "cannot tell": "∅", "stated": "•"};
const ORDER = ["misses", "cannot tell", "in doubt", "meets", "stated"];
// What may be moved here: flap, blower, depth of carbon, widths of gaps.
const FREE = [
  [/\.flap\.position$/, () => "Flap: sent out"],
  [/^cleaner\.stages\[(.*)\]\.speed$/, m => `Speed of ${m[1]}`],
  [/^cleaner\.stages\[(.*)\]\.depth$/, m => `Depth of ${m[1]}`],
  [/^box\.gaps\[(.*)\]\.width$/, m => `Width of ${m[1]}`],
];
const STEPS = 400, POLL_MS = 5000, RETRY_MS = 2000, LIVE_MS = 700, QUIET_MS = 120;
const DIGITS = 4; // of a moved number: finer than a step, and no more than the file needs

const state = {
  file: null,            // {text, hash} as last read
  moved: new Map(),      // path -> value in SI
  past: [], future: [],  // earlier and undone `moved`
  text: null, quantities: [], units: "si", token: "",
  dirty: false, busy: false, picture: null, day: null,
};

// ---- the server ----

const client = Math.random().toString(36).slice(2, 14);

function readToken() {
  const given = new URLSearchParams(location.hash.slice(1)).get("token");
  if (given) {
    sessionStorage.setItem("inward-token", given);
    history.replaceState(null, "", location.pathname); // not to stay in sight
  }
  return sessionStorage.getItem("inward-token") || "";
}

async function ask(path, body, signal) {
  const headers = {"X-Inward-Client": client};
  if (state.token) headers.Authorization = `Bearer ${state.token}`;
  if (body) headers["Content-Type"] = "application/json";
  const reply = await fetch(path, {method: body ? "POST" : "GET", headers, body: body && JSON.stringify(body), signal, cache: "no-store"});
  if (reply.ok) return reply;
  let told = null;
  try { told = await reply.json(); } catch { /* the words below must do */ }
  const fault = new Error(told?.error?.message ?? `the server answered ${reply.status}`);
  fault.status = reply.status;
  fault.told = told;
  throw fault;
}

const askJson = async (path, body) => (await ask(path, body)).json();

// ---- notices ----

function make(tag, properties, ...inside) {
  const e = Object.assign(document.createElement(tag), properties);
  e.append(...inside);
  return e;
}

function notice(...inside) {
  $("notice").replaceChildren(...inside);
  $("notice").hidden = inside.length === 0;
}

let liveTimer = 0;
function say(text) { // a screen reader hears where a drag has ended, not each step of it
  clearTimeout(liveTimer);
  liveTimer = setTimeout(() => { if ($("live").textContent !== text) $("live").textContent = text; }, LIVE_MS);
}

function showFault(fault) {
  if (fault.name === "AbortError") return;
  if (fault.status === undefined) {
    notice(make("p", {}, "The server does not answer. Is it still running? Trying again."));
    setTimeout(start, RETRY_MS);
    return;
  }
  const list = (fault.told?.diagnostics ?? []).map(d => make("li", {}, `${d.line ? `line ${d.line}, column ${d.column}: ` : ""}${d.message}`));
  notice(make("p", {}, fault.message), ...(list.length ? [make("ul", {}, ...list)] : []));
}

// ---- verdicts ----

const open = new Set();

function verdictItem(v) {
  const key = `${v.id}@${v.job}`;
  const sign = make("span", {ariaHidden: "true"}, `${SIGN[v.word]} `);
  const word = make("span", {className: `word ${v.word.split(" ").pop() === "tell" ? "cannot" : v.word.split(" ").pop()}`}, sign, v.word);
  const numbers = [v.value, v.limit, v.margin && `margin ${v.margin}`].filter(Boolean).join("; ");
  const head = make("summary", {}, word, make("span", {}, v.title), make("span", {className: "numbers"}, numbers));
  const more = [v.where && `Where: ${v.where}.`, v.reason, v.change && `Change: ${v.change}`, v.range !== v.value && `Over what is assumed: ${v.range}.`,
    v.state && `Worst state: ${v.state} (job ${v.job}).`, v.caution].filter(Boolean).map(t => make("p", {}, t));
  const why = make("button", {type: "button"}, "Why this number?");
  why.setAttribute("aria-label", `Why this number: ${v.title}`);
  why.addEventListener("click", () => showWhy(v.id));
  const details = make("details", {open: open.has(key)}, head, make("div", {}, ...more, why));
  details.addEventListener("toggle", () => details.open ? open.add(key) : open.delete(key));
  return [key, details];
}

const items = new Map(); // key -> li: kept, so that focus stays where it is

function showVerdicts(report) {
  const list = $("verdicts"), wanted = [];
  const sorted = [...report.verdicts].sort((a, b) => ORDER.indexOf(a.word) - ORDER.indexOf(b.word));
  const focused = document.activeElement?.closest?.("#verdicts li");
  for (const v of sorted) {
    const [key, details] = verdictItem(v);
    const li = items.get(key) ?? make("li", {});
    const same = JSON.stringify(v);
    if (li.shown !== same) {
      const had = li === focused && document.activeElement.tagName; // summary or button
      li.replaceChildren(details);
      li.shown = same;
      if (had) li.querySelector(had)?.focus({preventScroll: true});
    }
    items.set(key, li);
    wanted.push(li);
  }
  if (wanted.length !== list.children.length || wanted.some((li, i) => list.children[i] !== li)) {
    const at = document.activeElement;
    list.replaceChildren(...wanted);
    if (list.contains(at)) at.focus();
  }
  const count = word => report.verdicts.filter(v => v.word === word).length;
  const words = ORDER.filter(w => w !== "stated" && count(w)).map(w => `${count(w)} ${w}`).join(", ");
  $("title").textContent = report.title;
  document.title = `${report.overall}: ${report.title}`;
  $("overall").textContent = `${SIGN[report.overall]} ${report.overall} (${words})`;
  $("cautions").replaceChildren(...report.cautions.map(t => make("li", {}, t)));
  $("disclaimer").textContent = report.disclaimer;
  const worst = sorted[0];
  say(`${words}. First: ${worst.title}: ${worst.word}, ${worst.value}.`);
  $("picture").alt = `Section through the box with its gaps, cleaner and rooms, and the operating chart. ${words}. ${worst.title}: ${worst.word}` +
    `${worst.where ? `, at ${worst.where}` : ""}. The list of verdicts says all of it in words.`;
}

async function showWhy(name) {
  try {
    const reply = await ask(`/api/why?name=${encodeURIComponent(name)}&units=${state.units}`, {text: state.text});
    $("why-text").textContent = await reply.text();
    $("why").showModal();
  } catch (fault) { showFault(fault); }
}

// ---- pictures ----

async function draw(img, path, signal) {
  const reply = await ask(`${path}?units=${state.units}`, {text: state.text}, signal);
  const url = URL.createObjectURL(await reply.blob()), old = img.src;
  img.src = url;
  if (old.startsWith("blob:")) URL.revokeObjectURL(old);
}

let drawTimer = 0;
function drawSoon() { // not while something is dragged: the verdicts come first
  clearTimeout(drawTimer);
  drawTimer = setTimeout(drawLatest, QUIET_MS);
}

async function drawLatest() { // one at a time; a newer state is drawn when this one is there
  if (state.picture === "drawing") return;
  state.picture = "drawing";
  try {
    for (let drawn = null; drawn !== state.text + state.units;) {
      drawn = state.text + state.units;
      await draw($("picture"), "/api/check.svg");
    }
  } catch (fault) { showFault(fault); }
  state.picture = null;
}

async function runDay() {
  if (state.day) return state.day.abort(); // the server notices and stops
  state.day = new AbortController();
  $("run-day").textContent = "Stop";
  try {
    say("The day is being followed.");
    await draw($("day-picture"), "/api/day.svg", state.day.signal);
    $("day-picture").alt = "The day over its hours: temperatures, pull on the gaps, gases, particles. The command 'inward day' says it in words.";
    $("day-figure").hidden = false;
    say("The day is drawn.");
  } catch (fault) { showFault(fault); }
  state.day = null;
  $("run-day").textContent = "Follow the day";
}

// ---- sliders ----

const number = (q, name) => q[Object.keys(q).find(k => k === name || k.startsWith(`${name}_`))];

function ends(q) { // what may be written, or a decade round what is written
  const value = number(q, "value"), least = number(q, "least"), most = number(q, "most");
  const low = least > 1e-12 ? Math.max(least, (most ?? value) / 20) : least === 0 ? 0 : value / 10;
  return [Math.min(low, value), most !== null && most <= 2 ? Math.max(most, value) : value * 4 || 1];
}

function slider(q) {
  const [pattern, label] = FREE.find(([p]) => p.test(q.path));
  const [low, high] = ends(q);
  const id = `s-${q.path.replace(/[^\w]/g, "-")}`;
  const out = make("output", {htmlFor: id}, q[state.units]);
  const input = make("input", {type: "range", id, min: 0, max: STEPS, step: 1});
  const was = make("div", {className: "was"}, `in the file: ${q.written}`);
  input.at = v => Math.round((v - low) / (high - low) * STEPS);
  input.value = input.at(state.moved.get(q.path) ?? number(q, "value"));
  input.setAttribute("aria-valuetext", q[state.units]);
  input.addEventListener("pointerdown", remember);
  input.addEventListener("keydown", e => { if (!e.repeat && /^(Arrow|Page|Home|End)/.test(e.key)) remember(); });
  input.addEventListener("input", () => {
    state.moved.set(q.path, Number((low + (high - low) * Number(input.value) / STEPS).toPrecision(DIGITS)));
    changed();
  });
  const box = make("div", {className: "slider"}, make("label", {htmlFor: id}, make("span", {}, label(q.path.match(pattern))), out), input, was);
  box.show = now => {
    out.textContent = now[state.units];
    input.setAttribute("aria-valuetext", now[state.units]);
    input.value = input.at(number(now, "value"));
  };
  return box;
}

const sliders = new Map();

function showSliders() {
  sliders.clear();
  for (const q of state.quantities)
    if (q.written !== null && FREE.some(([p]) => p.test(q.path))) sliders.set(q.path, slider(q));
  $("sliders").replaceChildren(...sliders.values());
  if (!sliders.size) $("sliders").append("The file writes none of these.");
}

// ---- the draft ----

function remember() {
  state.past.push(new Map(state.moved));
  state.future = [];
}

function changed() {
  state.dirty = true;
  buttons();
  judge();
}

function buttons() {
  const differs = state.text !== null && state.file !== null && state.text !== state.file.text;
  $("undo").disabled = !state.past.length;
  $("redo").disabled = !state.future.length;
  $("reset").disabled = !state.moved.size;
  $("save").disabled = !(differs || state.dirty);
}

// Input to verdicts. What was moved while a question was under way goes into the next one.
async function judge() {
  if (state.busy) return;
  state.busy = true;
  try {
    while (state.dirty) {
      state.dirty = false;
      const began = performance.now(), set = [...state.moved].map(([path, value]) => ({path, value, range: "scaled"}));
      if (set.length) {
        const made = await askJson("/api/set?check=no", {text: state.file.text, set});
        state.text = made.text;
        if (!state.dirty) for (const q of made.set) sliders.get(q.path)?.show(q);
      } else {
        state.text = state.file.text;
      }
      for (const q of state.quantities) if (!state.moved.has(q.path)) sliders.get(q.path)?.show(q);
      showVerdicts(await askJson(`/api/verdicts?units=${state.units}`, {text: state.text}));
      document.documentElement.dataset.ms = String(Math.round(performance.now() - began)); // for tests
      notice();
      drawSoon();
    }
  } catch (fault) { showFault(fault); }
  state.busy = false;
  buttons();
}

function goTo(from, to) {
  if (!from.length) return;
  to.push(new Map(state.moved));
  state.moved = from.pop();
  changed();
}

async function save(hash) {
  try {
    const kept = await askJson("/api/save", {text: state.text, read: hash});
    notice();
    say(`Saved into ${kept.file}.`);
    await load();
  } catch (fault) {
    if (fault.status !== 409) return showFault(fault);
    const theirs = make("button", {type: "button"}, "Take the file as it is now, drop my changes");
    const mine = make("button", {type: "button"}, "Save mine over it");
    theirs.addEventListener("click", () => { state.moved.clear(); state.past = []; state.future = []; load(); });
    mine.addEventListener("click", () => save(fault.told.file.hash));
    notice(make("p", {}, "The file has been changed by somebody else since it was read. Nothing was saved."), theirs, mine);
  }
}

async function load() {
  state.file = await askJson("/api/design");
  if (state.file.text === null) { // nothing to show yet; the poll notices when it comes
    notice(make("p", {}, `There is no file ${state.file.file} yet. The command 'inward begin ${state.file.file}' asks some questions and makes it; the page shows it then.`));
    return;
  }
  state.moved.clear();
  state.past = [];
  state.future = [];
  state.text = state.file.text;
  state.quantities = (await askJson("/api/quantities", {text: state.text})).quantities;
  showSliders();
  notice();
  changed();
}

async function start() {
  try { await load(); } catch (fault) { showFault(fault); }
}

async function poll() { // did somebody edit the file?
  if (document.hidden || state.busy || !state.file) return;
  try {
    const now = await askJson("/api/design");
    if (now.hash === state.file.hash) return;
    if (!state.moved.size) return load();
    say("The file has been changed by somebody else; saving will ask what to do.");
  } catch { /* the next question will say so */ }
}

state.token = readToken();
$("undo").addEventListener("click", () => goTo(state.past, state.future));
$("redo").addEventListener("click", () => goTo(state.future, state.past));
$("reset").addEventListener("click", () => { remember(); state.moved = new Map(); changed(); });
$("save").addEventListener("click", () => save(state.file.hash));
$("run-day").addEventListener("click", runDay);
$("why-close").addEventListener("click", () => $("why").close());
$("units").addEventListener("change", e => { state.units = e.target.value; showSliders(); changed(); });
document.addEventListener("keydown", e => {
  if (!(e.ctrlKey || e.metaKey) || e.key.toLowerCase() !== "z") return;
  e.preventDefault();
  if (e.shiftKey) goTo(state.future, state.past); else goTo(state.past, state.future);
});
setInterval(poll, POLL_MS);
start();
