// SPDX-License-Identifier: MIT
// text.tsx: the design as it stands in the file.
import { signal } from "@preact/signals";
import { useRef } from "preact/hooks";
import { live, replace, text } from "./desk";
import type { Trouble } from "./run";
import { takeRefusal } from "./trouble";

export const typed = signal<{ on: string; text: string } | null>(null); // `on`: the text that was being changed
const trouble = signal<Trouble | null>(null);

async function judgeTyped(): Promise<void> {
  const t = typed.value;
  if (!t) return;
  if (await replace(t.text, "the text")) {
    typed.value = trouble.value = null;
    live.value = "The text has been judged.";
  } else trouble.value = takeRefusal();
}

function goTo(area: HTMLTextAreaElement, line: number, column: number): void {
  const lines = area.value.split("\n"), start = lines.slice(0, line - 1).reduce((sum, l) => sum + l.length + 1, 0);
  area.focus();
  area.setSelectionRange(start + Math.max(column - 1, 0), start + (lines[line - 1]?.length ?? 0));
  area.scrollTop = area.scrollHeight * Math.max(line - 4, 0) / Math.max(lines.length, 1);
}

export function DesignText() {
  const area = useRef<HTMLTextAreaElement>(null), gutter = useRef<HTMLPreElement>(null);
  const t = typed.value, now = t?.text ?? text.value, wrong = trouble.value;
  const lines = now.split("\n").length;
  return (
    <>
      <p class="hint" id="text-hint">What is typed counts once it is judged. Nothing is written into the file before it is saved, at the top of the page.</p>
      <TextTrouble of={wrong} onLine={(line, column) => area.current && goTo(area.current, line, column)} />
      <div class="text-area">
        <pre ref={gutter} aria-hidden="true">{Array.from({ length: lines }, (_, i) => i + 1).join("\n")}</pre>
        <textarea id="design-text" ref={area} rows={24} spellcheck={false} autocapitalize="off" wrap="off" value={now}
          aria-label="Text of the design" aria-invalid={wrong !== null} aria-describedby={wrong ? "text-hint text-wrong" : "text-hint"}
          onInput={e => { const to = e.currentTarget.value; typed.value = to === text.value ? null : { on: t?.on ?? text.value, text: to }; }}
          onScroll={e => { if (gutter.current) gutter.current.scrollTop = e.currentTarget.scrollTop; }} />
      </div>
      <pre class="printed">{now}</pre>
      {t && t.on !== text.value && <p role="status">The design has been changed elsewhere since you began to type; judging this text undoes that.</p>}
      <p>
        <button type="button" disabled={!t} onClick={() => void judgeTyped()}>Judge this text</button>{" "}
        <button type="button" disabled={!t} onClick={() => { typed.value = trouble.value = null; }}>Drop what was typed</button>
      </p>
    </>
  );
}

function TextTrouble({ of, onLine }: { of: Trouble | null; onLine: (line: number, column: number) => void }) {
  return (
    <div role="alert" id="text-wrong" class={of ? "trouble" : ""}>
      {of && <p>{of.words}</p>}
      {of && <ul>{of.diagnostics.map((d, i) => (
        <li key={i}>{d.line > 0 && <><button type="button" onClick={() => onLine(d.line, d.column)}>line {d.line}, column {d.column}</button> </>}{d.message}</li>
      ))}</ul>}
    </div>
  );
}
