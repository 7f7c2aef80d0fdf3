// SPDX-License-Identifier: MIT
// verdicts.tsx: what is judged, the worst first, with its margin; and where each number comes from.
import { useEffect, useRef } from "preact/hooks";
import { signal } from "@preact/signals";
import { ask } from "./ask";
import { failed, live, sorted, text, whySuffix, words } from "./desk";
import { units } from "./units";
import type { Said, Word, Words } from "./types";

export const SIGN: Record<Word, string> = { meets: "✓", "in doubt": "?", misses: "✗", "cannot tell": "∅", stated: "•" };
const className = (w: Word) => `word ${w.replace(" ", "-")}`;

export function WordMark({ word }: { word: Word }) {
  return <span class={className(word)}><span aria-hidden="true">{SIGN[word]} </span>{word}</span>;
}

// ---- why ----

const why = signal<{ name: string; text: string } | null>(null);

/** Where a number comes from: its law, what it was worked out from, the line of the file or the record. */
export async function showWhy(name: string): Promise<void> {
  try {
    const reply = await ask(`/api/why?name=${encodeURIComponent(name)}&units=${units.value}`, { text: text.value });
    why.value = { name, text: await reply.text() };
  } catch (e) { failed(e); }
}

export function WhyDialog() {
  const dialog = useRef<HTMLDialogElement>(null);
  const now = why.value;
  useEffect(() => {
    if (now && !dialog.current?.open) dialog.current?.showModal();
  }, [now]);
  return (
    <dialog ref={dialog} aria-labelledby="why-head" onClose={() => { why.value = null; }}>
      <h2 id="why-head">Where this comes from</h2>
      <pre tabindex={0} aria-label={now ? `Origin of ${now.name}` : ""}>{now?.text}</pre>
      <p><button type="button" onClick={() => dialog.current?.close()}>Close</button></p>
    </dialog>
  );
}

/** A number that tells where it comes from when it is clicked. */
export function Why({ name, children }: { name: string; children: preact.ComponentChildren }) {
  return <button type="button" class="number" title="Where does this come from?" onClick={() => void showWhy(name)}>{children}</button>;
}

/** A number of the state that is drawn, which tells where it comes from when `why` knows that state. */
export function Traced({ name, children }: { name: string; children: preact.ComponentChildren }) {
  const suffix = whySuffix.value;
  return suffix === null ? <span>{children}</span> : <Why name={name + suffix}>{children}</Why>;
}

// ---- the list ----

const open = new Set<string>();

function Verdict({ v, reasons, job }: { v: Said; reasons: boolean; job: boolean }) {
  const key = `${v.id}@${v.job ?? ""}`;
  const lacking = v.word === "cannot tell" ? v.reason?.match(/^.*?\.(?=\s|$)/)?.[0] : null; // a good number beside it would puzzle
  const numbers = [v.value, v.limit, v.margin && `margin ${v.margin}`].filter(Boolean).join("; ");
  const lines = [
    v.where && `Where: ${v.where}.`, v.reason, v.change && `Change: ${v.change}`,
    v.range !== v.value && `Over what is assumed: ${v.range}.`, v.state && `Worst state: ${v.state}${v.job ? ` (job ${v.job})` : ""}.`, v.caution,
  ].filter(Boolean);
  const onToggle = (e: Event) => { (e.currentTarget as HTMLDetailsElement).open ? open.add(key) : open.delete(key); };
  return (
    <li>
      <details open={open.has(key)} onToggle={onToggle}>
        <summary><WordMark word={v.word} /><span>{v.title}{job && v.job && <span class="job">{`, ${v.job}`}</span>}</span><span class="numbers">{numbers}</span>
          {lacking && <span class="lacking">{lacking}</span>}</summary>
        <div>
          {lines.map(l => <p key={l}>{l}</p>)}
          {reasons && <button type="button" aria-label={`Why this number: ${v.title}`} onClick={() => void showWhy(v.id)}>Why this number?</button>}
        </div>
      </details>
    </li>
  );
}

const QUIET: Word[] = ["meets", "stated"]; // folded away: what is to be done comes first
const HEADS: Record<string, string> = { meets: "met", stated: "to know, without a limit" };
const unfolded = new Set<string>();

/** `reasons`: names that `why` knows, which are those of a check. */
export function VerdictList({ of, reasons = false, label }: { of: Words; reasons?: boolean; label: string }) {
  const all = sorted(of), jobs = new Set(all.map(v => v.job)).size > 1;
  const list = (some: Said[], name: string) => (
    <ol class="verdicts" aria-label={name}>
      {some.map(v => <Verdict key={`${v.id}@${v.job ?? ""}@${v.title}`} v={v} reasons={reasons} job={jobs} />)}
    </ol>
  );
  const first = all.filter(v => !QUIET.includes(v.word));
  return (
    <>
      {first.length > 0 && list(first, label)}
      {QUIET.map(word => {
        const some = all.filter(v => v.word === word), key = `${label} ${word}`;
        return some.length > 0 && (
          <details class="group" key={word} open={unfolded.has(key)} onToggle={e => { if (e.target === e.currentTarget) e.currentTarget.open ? unfolded.add(key) : unfolded.delete(key); }}>
            <summary><span class={className(word)} aria-hidden="true">{SIGN[word]} </span>{`${some.length} ${HEADS[word]}`}</summary>
            {list(some, `${label}: ${HEADS[word]}`)}
          </details>
        );
      })}
    </>
  );
}

export function Verdicts() {
  const w = words.value;
  return (
    <section class="judged" aria-labelledby="verdicts-head" id="verdicts" tabindex={-1}>
      <h2 id="verdicts-head">Verdicts</h2>
      {w && <p class="hint"><a href="#heed">{`${w.cautions.length} cautions`}</a> go with these. {w.disclaimer}</p>}
      {w ? <VerdictList of={w} reasons label="Verdicts, the worst first" /> : <p>Nothing judged yet.</p>}
      <p class="live" role="status" aria-live="polite">{live.value}</p>
    </section>
  );
}

/** What goes with verdicts, beside them: cautions first. */
export function Heed({ of: w }: { of: Words }) {
  return (
    <>
      <h4>Cautions</h4>
      <ul>{w.cautions.map(c => <li key={c}>{c}</li>)}</ul>
      <p>{w.disclaimer}</p>
      <ul class="notes">{w.notes.map(n => <li key={n}>{n}</li>)}</ul>
    </>
  );
}

export function Cautions() {
  const w = words.value;
  if (!w) return null;
  return (
    <section class="heed" aria-labelledby="heed-head" id="heed">
      <h2 id="heed-head">Cautions</h2>
      <ul>{w.cautions.map(c => <li key={c}>{c}</li>)}</ul>
      <p>{w.disclaimer}</p>
      <details><summary>Notes</summary><ul>{w.notes.map(n => <li key={n}>{n}</li>)}</ul></details>
    </section>
  );
}
