// SPDX-License-Identifier: MIT
// begin.tsx: from nothing to a design: the questions that the server lists, one part at a time. What is left open is assumed,
// with its range. The design is made by the server; here the answers are only gathered.
import { signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { askJson, Fault } from "./ask";
import { anew, connected, failed, file, judge, notice, replace, save, text } from "./desk";
import { chooseUnits, units } from "./units";
import type { Diagnostic, Report, Units } from "./types";

type Answer = string | string[] | boolean;
interface When { question: string; is: string[] | null }
interface Choice { word: string; title: string; also: string[]; when: When | null }
/** What stands on a spool or a label, such as PLA, before what it means. */
const named = (c: Choice) => /[A-Z]/.test(c.word) && !c.title.includes(c.word) ? `${c.word}: ${c.title}` : c.title;
interface Question {
  id: string; part: string; question: string; help: string | null; assumed: string | null;
  kind: "choice" | "choices" | "number" | "yes_no" | "text"; when: When | null;
  choices?: Choice[]; dimension?: string; example?: Record<Units, string>; least?: Record<Units, string> | null; most?: Record<Units, string> | null;
}
interface Begun { text: string; hash: string; check: Report; diagnostics: Diagnostic[] }

const questions = signal<Question[] | null>(null);
const answers = signal<Record<string, Answer>>({});
const faults = signal<Record<string, string>>({}); // by question
const at = signal(0);                              // which part
const making = signal(false);

const given = (a: Answer | undefined) => a !== undefined && a !== "" && !(Array.isArray(a) && a.length === 0);
const wordsOf = (a: Answer | undefined): string[] => Array.isArray(a) ? a : a === true ? ["yes"] : a === false ? ["no"] : a ? [a] : [];

function applies(w: When | null): boolean {
  if (!w) return true;
  const a = answers.value[w.question];
  return w.is === null ? given(a) : wordsOf(a).some(word => w.is!.includes(word));
}
/** Offered unless what it goes with is answered otherwise. */
const offered = (c: Choice) => !c.when || !given(answers.value[c.when.question]) || applies(c.when);

function answer(id: string, to: Answer | undefined): void {
  const next = { ...answers.value };
  if (to === undefined || to === "") delete next[id]; else next[id] = to;
  answers.value = next;
  const { [id]: _, ...rest } = faults.value;
  faults.value = rest;
}

const partsOf = (all: Question[]) => [...new Set(all.filter(q => applies(q.when)).map(q => q.part))];

/** The answers to what applies, less what is offered no longer: nobody could take that back. */
function body(): Record<string, Answer> {
  const open = (questions.value ?? []).filter(q => applies(q.when));
  return Object.fromEntries(open.flatMap(q => {
    const a = answers.value[q.id], gone = (q.choices ?? []).filter(c => !offered(c)).map(c => c.word);
    const counted = Array.isArray(a) ? a.filter(word => !gone.includes(word)) : a;
    return given(counted) ? [[q.id, counted!]] : [];
  }));
}

async function make(): Promise<void> {
  making.value = true;
  try {
    const made = await askJson<Begun>("/api/begin?check=no", { answers: body(), units: units.value });
    const fresh = file.value?.text === null && text.value === "";
    const good = fresh ? await judge(made.text) : await replace(made.text, "a new design from the set-up");
    anew.value = false;
    if (good && fresh) await save(null); // the file that was named and is not there yet
    if (good && made.diagnostics.length > 0) notice.value ??= { words: "The design is made. Of the answers:", diagnostics: made.diagnostics.map(d => ({ ...d, line: 0 })) }; // a line of what was sent
  } catch (e) {
    if (!(e instanceof Fault) || e.status !== 422) failed(e);
    else showFaults(e.told?.diagnostics ?? []);
  }
  making.value = false;
}

const wrongIn = (part: string | undefined) => (questions.value ?? []).find(q => q.part === part && faults.value[q.id]);

function showFaults(diagnostics: Diagnostic[]): void {
  const all = questions.value ?? [], by: Record<string, string> = {};
  for (const d of diagnostics) {
    const colon = d.message.indexOf(":"), id = d.message.slice(0, colon);
    if (all.some(q => q.id === id)) by[id] = d.message.slice(colon + 1).trim();
    else failed(new Error(d.message));
  }
  faults.value = by;
  const first = all.find(q => by[q.id]);
  if (!first) return;
  at.value = Math.max(0, partsOf(all).indexOf(first.part));
  setTimeout(() => document.getElementById(`q-${first.id}`)?.focus());
}

function Field({ q }: { q: Question }) {
  const id = `q-${q.id}`, a = answers.value[q.id], fault = faults.value[q.id];
  const described = [q.help && `${id}-help`, fault && `${id}-fault`].filter(Boolean).join(" ") || undefined;
  const common = { id, "aria-describedby": described, "aria-invalid": fault ? true : undefined };
  const about = <>
    {q.help && <span class="hint" id={`${id}-help`}>{q.help}</span>}
    {fault && <span class="fault" id={`${id}-fault`}>{fault}</span>}
  </>;
  const open = q.assumed ?? "not known";
  if (q.kind === "choices" || q.kind === "yes_no") {
    const boxes: Choice[] = q.kind === "choices" ? q.choices!.filter(offered)
      : [{ word: "yes", title: "Yes", also: [], when: null }, { word: "no", title: "No", also: [], when: null }];
    const toggle = (word: string, on: boolean) => {
      if (q.kind === "yes_no") return answer(q.id, on ? word : undefined);
      const now = wordsOf(a).filter(w => w !== word);
      answer(q.id, on ? [...now, word] : now);
    };
    return (
      <fieldset id={id} tabindex={-1} aria-describedby={described}>
        <legend>{q.question}</legend>
        {about}
        <div class="boxes">
          {boxes.map(c => <label key={c.word}><input type="checkbox" value={c.word} checked={wordsOf(a).includes(c.word)} onChange={e => toggle(c.word, e.currentTarget.checked)} /> {named(c)}</label>)}
        </div>
        {q.assumed && !given(a) && <span class="hint">{`Left open: ${open}`}</span>}
      </fieldset>
    );
  }
  return (
    <div class="question">
      <label for={id}>{q.question}</label>
      {about}
      {q.kind === "choice"
        ? <select {...common} value={wordsOf(a)[0] ?? ""} onChange={e => answer(q.id, e.currentTarget.value)}>
            <option value="">{`– ${open} –`}</option>
            {q.choices!.filter(offered).map(c => <option key={c.word} value={c.word}>{named(c)}</option>)}
          </select>
        : <input {...common} type="text" value={wordsOf(a)[0] ?? ""} autocomplete="off"
            placeholder={q.example ? `for example ${q.example[units.value]}` : ""} onInput={e => answer(q.id, e.currentTarget.value)} />}
      {q.assumed && !given(a) && q.kind !== "choice" && <span class="hint">{`Left open: ${open}`}</span>}
    </div>
  );
}

export function Begin() {
  const head = useRef<HTMLHeadingElement>(null), first = useRef(true);
  useEffect(() => {
    if (connected.value && !questions.value) askJson<{ questions: Question[] }>("/api/begin").then(b => { questions.value = b.questions; }, failed);
  }, [connected.value]);
  useEffect(() => { // the next part is read from its heading, or from what is wrong in it
    const wrong = wrongIn(partsOf(questions.value ?? [])[at.value]);
    if (!first.current) (wrong ? document.getElementById(`q-${wrong.id}`) : head.current)?.focus();
    first.current = false;
  }, [at.value]);
  const all = questions.value;
  if (!all) return <p>Reading the questions.</p>;
  const names = partsOf(all), part = names[Math.min(at.value, names.length - 1)]!, last = at.value >= names.length - 1;
  const shownNow = all.filter(q => q.part === part && applies(q.when));
  const next = (e: Event) => {
    e.preventDefault();
    if (last) void make(); else at.value++;
  };
  return (
    <form class="begin-form" onSubmit={next} noValidate>
      <p class="hint">{`Part ${Math.min(at.value, names.length - 1) + 1} of ${names.length}. Every question may be left open: what is not known is assumed, with its range, and listed.`}</p>
      <h2 ref={head} tabindex={-1}>{part}</h2>
      {shownNow.map(q => <Field key={q.id} q={q} />)}
      <p class="tools">
        <button type="button" disabled={at.value === 0} onClick={() => { at.value--; }}>Back</button>
        {anew.value && <button type="button" onClick={() => { anew.value = false; }}>Leave it</button>}
        {!last && <button type="submit">Next</button>}
        <button type={last ? "submit" : "button"} disabled={making.value} onClick={last ? undefined : () => void make()}>
          {making.value ? "Making the design…" : last ? "Make the design and judge it" : "Enough: make the design now"}
        </button>
        <label class="units">Units
          <select value={units.value} onChange={e => chooseUnits(e.currentTarget.value as Units)}>
            <option value="si">metric</option><option value="us">US</option>
          </select>
        </label>
      </p>
    </form>
  );
}
