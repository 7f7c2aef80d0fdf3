// SPDX-License-Identifier: MIT
// desk.ts: the design under hand. One text is the state: what is moved, sealed or typed makes the server write another
// text, and undo is the text before. Nothing is worked out here.
import { batch, computed, signal } from "@preact/signals";
import { ask, askJson, Fault, onToken } from "./ask";
import { units, unitTable } from "./units";
import type { Changed, Design, Diagnostic, Parts, Report, State, Units, UnitTable, Words } from "./types";

const POLL_MS = 5000, RETRY_MS = 1500;
const DIGITS = 4; // of a moved number: finer than a hand moves it, and no more than the file needs

export interface Change { path: string; value?: number; text?: string; range?: "scaled" }
export interface Step { text: string; what: string }
export interface Notice { words: string; diagnostics?: Diagnostic[]; actions?: { words: string; act: () => void }[] }

export const file = signal<Design | null>(null); // as last read
export const text = signal<string>("");          // the draft
export const report = signal<Report | null>(null);
export const words = signal<Words | null>(null);
export const parts = signal<Parts | null>(null);
export const notice = signal<Notice | null>(null);
export const connected = signal(true);
export const live = signal("");                   // what a screen reader hears when things have settled
export const lag = signal<number | null>(null);   // ms from the last change to its verdicts
export const past = signal<Step[]>([]);
export const future = signal<Step[]>([]);
export const kept = signal<{ name: string; text: string; words: Words } | null>(null); // the variant to compare with
export const dirty = computed(() => file.value !== null && text.value !== (file.value.text ?? ""));
export const anew = signal(false);                // the set-up was asked for
export const starting = computed(() => anew.value || (file.value !== null && file.value.text === null && text.value === ""));

// ---- which state is looked at, in drawings and curves alike ----

export const nameOf = (s: State) => `${s.job}: ${s.state}`;
export const chosenState = signal("");
export const states = computed(() => report.value?.states ?? []);
export const drawn = computed(() => states.value.find(s => nameOf(s) === chosenState.value) ?? states.value[0]);
/** Behind a name that `why` is asked: it knows the numbers of each job as designed, which is the first state of the job. */
export const whySuffix = computed(() => {
  const s = drawn.value;
  if (!s || s !== states.value.find(x => x.job === s.job)) return null;
  return s === states.value[0] ? "" : `@${s.job}`;
});

// ---- what is being moved ----

/** Where the hand is, ahead of the server's answer. */
export const held = signal<{ path: string; value: number } | null>(null);
let anchor: string | null = null;          // the text before the hand took hold
let inHand: { path: string; what: (value: number) => string } | null = null; // what is moved, and how the step will be called
const wanted = new Map<string, Change>();
let landed: Change[] = [];                 // as last accepted: not every place that a hand goes to makes a design
let wantedAt = 0, stale = false, busy = false;
let idle: (() => void)[] = [];

const setIn = (asked: Units) => `/api/set?words=yes&units=${asked}`;

function take(c: Changed, asked: Units): void {
  batch(() => {
    text.value = c.text;
    report.value = c.check;
    words.value = c.words;
    parts.value = c.parts;
  });
  if (asked !== units.value) void unitsChanged();
}

async function pump(): Promise<void> {
  if (busy) return;
  busy = true;
  while (stale) {
    stale = false;
    const began = wantedAt;
    const set = [...wanted.values()], asked = units.value;
    try {
      take(await askJson<Changed>(setIn(asked), { text: anchor ?? text.value, set }), asked);
      landed = set;
      lag.value = performance.now() - began;
      document.documentElement.dataset.ms = lag.value.toFixed(1); // read by the page's tests
      settle();
      if (notice.value && !notice.value.actions) notice.value = null;
    } catch (e) {
      failed(e);
      if (e instanceof Fault && e.status === 0) { // what the hand does meanwhile is asked when the server is back
        await online();
        stale = true;
      }
    }
  }
  busy = false;
  idle.splice(0).forEach(f => f());
}

const online = () => new Promise<void>(done => {
  const end = connected.subscribe(on => { if (on) { done(); queueMicrotask(() => end()); } });
});
const settled = () => busy ? new Promise<void>(done => idle.push(done)) : Promise.resolve();

/** Move a number (SI) and those that go along. Call `release` when the hand lets go; `what` names the step by the value that was
 * accepted. */
export function move(first: Change & { value: number }, along: { path: string; value: number }[], what: (value: number) => string): void {
  const changes = [first, ...along];
  anchor ??= text.value;
  inHand = { path: first.path, what };
  held.value = { path: first.path, value: first.value };
  for (const c of changes) wanted.set(c.path, { ...c, value: Number(c.value.toPrecision(DIGITS)) });
  wantedAt = performance.now();
  stale = true;
  void pump();
}

/** What was moved becomes a step. Whatever else makes a step calls this first: a key pressed shortly before is a step of its own. */
export async function release(): Promise<void> {
  await settled();
  held.value = null;
  if (anchor === null || !inHand) return;
  const before = anchor, { path, what } = inHand;
  anchor = null;
  wanted.clear();
  if (before !== text.value) remember(before, what(landed.find(c => c.path === path)?.value ?? NaN));
}

/** Changes in one step, as of a click or a typed value. */
export async function change(changes: Change[], what: string): Promise<boolean> {
  await release();
  const before = text.value, asked = units.value;
  try {
    wantedAt = performance.now();
    take(await askJson<Changed>(setIn(asked), { text: before, set: changes }), asked);
    lag.value = performance.now() - wantedAt;
    notice.value = null;
    remember(before, what);
    settle();
    return true;
  } catch (e) { failed(e); return false; }
}

/** Another whole text: typed, made by the set-up, undone. */
export async function judge(of: string): Promise<boolean> {
  try {
    const body = { text: of };
    const [check, said, drawn] = await Promise.all([
      askJson<Report>("/api/check", body), askJson<Words>(`/api/verdicts?units=${units.value}`, body), askJson<Parts>("/api/parts", body)]);
    batch(() => { text.value = of; report.value = check; words.value = said; parts.value = drawn; notice.value = null; });
    settle();
    return true;
  } catch (e) { failed(e); return false; }
}

export async function replace(of: string, what: string): Promise<boolean> {
  await release();
  const before = text.value;
  if (of === before || !await judge(of)) return false;
  remember(before, what);
  return true;
}

// ---- undo ----

function remember(before: string, what: string): void {
  batch(() => {
    past.value = [...past.value, { text: before, what }];
    future.value = [];
  });
}

async function step(from: typeof past, to: typeof past, said: string): Promise<void> {
  await release();
  const last = from.value[from.value.length - 1];
  if (!last) return;
  const now = text.value;
  if (!await judge(last.text)) return;
  batch(() => {
    from.value = from.value.slice(0, -1);
    to.value = [...to.value, { text: now, what: last.what }];
    live.value = `${said}: ${last.what}.`;
  });
}
export const undo = () => step(past, future, "Undone");
export const redo = () => step(future, past, "Done again");
export const reset = () => file.value?.text ? replace(file.value.text, "back to the file") : Promise.resolve(false);

// ---- the file ----

export async function save(read?: string | null): Promise<void> {
  await release();
  const of = text.value; // it may be moved on meanwhile
  try {
    const hash = read === undefined ? file.value?.hash ?? null : read;
    const saved = await askJson<{ file: string; hash: string }>("/api/save", { text: of, read: hash });
    batch(() => {
      file.value = { file: saved.file, hash: saved.hash, text: of };
      notice.value = null;
      say(`Saved into ${saved.file}. ${summary()}`);
    });
  } catch (e) {
    if (!(e instanceof Fault) || e.status !== 409) return failed(e);
    const theirs = e.told?.file;
    notice.value = {
      words: "The file has been changed by somebody else since it was read. Nothing was saved.",
      actions: [
        { words: "Take the file as it is now (Undo brings mine back)", act: () => void load() },
        { words: "Save mine over it", act: () => void save(theirs?.hash ?? null) },
      ],
    };
  }
}

export async function load(): Promise<void> {
  try {
    const design = await askJson<Design>("/api/design");
    if (Object.keys(unitTable.value).length === 0) unitTable.value = await askJson<UnitTable>("/api/units");
    const before = text.value, good = design.text === null || await judge(design.text);
    batch(() => {
      file.value = design;
      if (!good) { // verdicts of another text do not stand over it
        text.value = design.text ?? "";
        report.value = words.value = parts.value = null;
      }
      if (before !== "" && before !== text.value) remember(before, "the file, changed by somebody else");
    });
  } catch (e) { failed(e); }
}

let told: string | null = null; // hash of an edit that has been told of: once is enough

/** Did somebody else edit the file, and does the server still answer? */
async function poll(): Promise<void> {
  if (document.hidden || busy || anchor !== null || !file.value || !connected.value) return;
  try {
    const now = await askJson<Design>("/api/design");
    if (now.hash === file.value.hash) return;
    if (!dirty.value && now.text !== null) return void load();
    if (now.hash !== told) live.value = "The file has been changed by somebody else; saving will ask what to do.";
    told = now.hash;
  } catch (e) { failed(e); }
}

// ---- trouble ----

export function failed(e: unknown): void {
  if (e instanceof DOMException && e.name === "AbortError") return;
  if (e instanceof Fault && e.status === 0) return lost();
  if (e instanceof Fault && e.status === 401) {
    notice.value = { words: "This server wants its token. Open the whole address that it printed when it was started, with all that stands behind the \"#\"." };
    return;
  }
  if (e instanceof Fault) {
    const diagnostics = e.told?.diagnostics;
    notice.value = diagnostics?.length ? { words: e.message, diagnostics } : { words: e.message };
    return;
  }
  notice.value = { words: e instanceof Error ? e.message : String(e) };
}

/** The draft stays here; the server keeps nothing that a restart could lose. */
function lost(): void {
  if (!connected.value) return;
  connected.value = false;
  notice.value = { words: "The server does not answer. Is it still running? Your changes are kept here; trying again." };
  const again = async () => {
    try {
      await ask("/api/design");
    } catch (e) {
      if (e instanceof Fault && e.status === 0) return void setTimeout(again, RETRY_MS);
    }
    batch(() => { connected.value = true; notice.value = null; live.value = "The server answers again."; });
    if (file.value === null) return load();
    if (text.value !== "" && !busy) await judge(text.value); // busy: what the hand did meanwhile is asked, and is later than this text
  };
  setTimeout(again, RETRY_MS);
}

// ---- what is said aloud ----

let settleTimer = 0;
/** Now, and not talked over by what was still to be said of the last change. */
function say(words: string): void {
  clearTimeout(settleTimer);
  live.value = words;
}
const SETTLE_MS = 700;
function settle(): void { // a screen reader hears where a drag has ended, not each step of it
  clearTimeout(settleTimer);
  settleTimer = window.setTimeout(() => { if (words.value) live.value = summary(); }, SETTLE_MS);
}
function summary(): string {
  const w = words.value, worst = w && sorted(w)[0];
  return w ? `${tally(w)}.${worst ? ` First: ${worst.title}: ${worst.word}, ${worst.value}.` : ""}` : "";
}

export const ORDER = ["misses", "cannot tell", "in doubt", "meets", "stated"] as const;
export const sorted = (w: Words) => [...w.verdicts].sort((a, b) => ORDER.indexOf(a.word) - ORDER.indexOf(b.word));
const COUNTED = { misses: "missed", "cannot tell": "cannot be told", "in doubt": "in doubt", meets: "met" };
export function tally(w: Words): string {
  return Object.entries(COUNTED).map(([word, said]) => [w.verdicts.filter(v => v.word === word).length, said] as const)
    .filter(([n]) => n > 0).map(([n, said]) => `${n} ${said}`).join(", ");
}

/** Words follow the units. */
export async function unitsChanged(): Promise<void> {
  const of = text.value;
  if (of === "") return;
  try {
    const said = await askJson<Words>(`/api/verdicts?units=${units.value}`, { text: of });
    if (of === text.value) words.value = said;
  } catch (e) { failed(e); }
}

export function keep(): void {
  if (!words.value) return;
  kept.value = { name: `kept ${new Date().toTimeString().slice(0, 5)}`, text: text.value, words: words.value };
  live.value = "Kept. What becomes better or worse from now on stands under \u201cCompare\u201d.";
}

export const printing = signal(false);

/** The report to hang beside the machine, as a file. It may take a moment. */
export async function reportOnPaper(): Promise<void> {
  printing.value = true;
  try {
    live.value = "The report is being made.";
    const reply = await ask(`/api/report.pdf?units=${units.value}`, { text: text.value });
    const url = URL.createObjectURL(await reply.blob()), a = document.createElement("a");
    a.href = url;
    a.download = `${(file.value?.file ?? "design").replace(/\.ya?ml$/, "")}.pdf`;
    a.click();
    setTimeout(() => URL.revokeObjectURL(url), RETRY_MS);
    say(`The report is made. ${summary()}`);
  } catch (e) { failed(e); }
  printing.value = false;
}

export function startPolling(): void {
  onToken(() => void (file.value === null ? load() : judge(text.value)));
  setInterval(() => void poll(), POLL_MS);
}
