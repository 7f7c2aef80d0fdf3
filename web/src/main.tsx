// SPDX-License-Identifier: MIT
// main.tsx: the page, from top to bottom.
import "./page.css";
import { render } from "preact";
import { useEffect } from "preact/hooks";
import { Bench } from "./bench";
import { Begin } from "./begin";
import { anew, connected, dirty, file, future, keep, load, notice, past, printing, redo, reportOnPaper, reset, save, starting, startPolling, tally, undo, unitsChanged, words } from "./desk";
import { Section } from "./section";
import { House } from "./house";
import { typed } from "./text";
import { chooseUnits, units } from "./units";
import { Cautions, SIGN, Verdicts, WhyDialog } from "./verdicts";
import type { Units } from "./types";

function Tools() {
  const last = past.value[past.value.length - 1], next = future.value[future.value.length - 1];
  return (
    <div class="tools" role="group" aria-label="Design">
      <button type="button" id="undo" data-steps={past.value.length} disabled={!last} title={last ? `Undo: ${last.what}` : ""} onClick={() => void undo()}>Undo</button>
      <button type="button" id="redo" disabled={!next} title={next ? `Redo: ${next.what}` : ""} onClick={() => void redo()}>Redo</button>
      <button type="button" id="reset" disabled={!dirty.value} onClick={() => void reset()}>Back to the file</button>
      <button type="button" id="keep" disabled={!words.value} onClick={keep}>Keep to compare</button>
      <button type="button" id="paper" disabled={!words.value || printing.value} onClick={() => void reportOnPaper()}>{printing.value ? "Making the report\u2026" : "Report to print (PDF)"}</button>
      <button type="button" id="anew" onClick={() => { anew.value = true; }}>Begin anew</button>
      <button type="button" id="save" disabled={!dirty.value} onClick={() => void save()}>Save into the file</button>
      <label class="units">Units
        <select id="units" value={units.value} onChange={e => { chooseUnits(e.currentTarget.value as Units); void unitsChanged(); }}>
          <option value="si">metric</option><option value="us">US</option>
        </select>
      </label>
    </div>
  );
}

function Heading() {
  const w = words.value;
  return (
    <header>
      <h1>{w?.title ?? file.value?.file}</h1>
      {!w && <p class="overall misses" id="unread">No verdict: this text is no design. Mend it under \u201cThe text\u201d, or in the file.</p>}
      {w && <p class={`overall ${w.overall.replace(" ", "-")}`} id="overall"><span aria-hidden="true">{SIGN[w.overall]} </span>{w.overall} ({tally(w)})</p>}
      {w?.planned && <p class="hint" id="planned">Planned: the gaps are aims, not measurements. All of this holds only for a box that is built as tight.</p>}
      {w && (w.overall === "meets" || w.overall === "stated") && <p class="hint" id="not-in-it">In steady states. Opening the box and the hours are judged under “The day”.</p>}
      <Tools />
    </header>
  );
}

function NoticeBox() {
  const n = notice.value;
  if (!n) return <div role="alert" />;
  return (
    <div class="notice" role="alert">
      <p>{n.words}</p>
      {n.diagnostics && <ul>{n.diagnostics.map((d, i) => <li key={i}>{d.line ? `line ${d.line}, column ${d.column}: ` : ""}{d.message}</li>)}</ul>}
      {n.actions?.map(a => <button type="button" key={a.words} onClick={a.act}>{a.words}</button>)}
      {connected.value && <button type="button" onClick={() => { notice.value = null; }}>Close</button>}
    </div>
  );
}

function onKey(e: KeyboardEvent): void {
  if (!(e.ctrlKey || e.metaKey) || e.key.toLowerCase() !== "z") return;
  if (e.target instanceof HTMLInputElement || e.target instanceof HTMLTextAreaElement) return; // its own undo
  e.preventDefault();
  void (e.shiftKey ? redo() : undo());
}

function Page() {
  useEffect(() => {
    addEventListener("keydown", onKey);
    return () => removeEventListener("keydown", onKey);
  }, []);
  useEffect(() => { document.title = words.value ? `${words.value.overall}: ${words.value.title}` : "inward"; });
  useEffect(() => { // on paper nothing is folded away
    const unfold = () => document.querySelectorAll("details").forEach(d => { d.open = true; });
    addEventListener("beforeprint", unfold);
    return () => removeEventListener("beforeprint", unfold);
  }, []);
  useEffect(() => { // what is not saved is not lost by a slip
    const ask = (e: BeforeUnloadEvent) => { if (dirty.value || typed.value) e.preventDefault(); };
    addEventListener("beforeunload", ask);
    return () => removeEventListener("beforeunload", ask);
  }, []);
  if (!file.value) return <main key="waiting" class="waiting"><h1>inward</h1><NoticeBox /><p>{notice.value ? "The design has not been read." : "Reading the design."}</p></main>;
  if (starting.value) return <><header><h1>A new design: {file.value.file}</h1></header><NoticeBox /><main class="begin"><Begin /></main></>;
  return (
    <>
      <a class="skip" href="#verdicts">To the verdicts</a>
      <Heading />
      <NoticeBox />
      <main>
        <Section />
        <Verdicts />
        <House />
        <Bench />
        <Cautions />
      </main>
      <WhyDialog />
    </>
  );
}

void load();
startPolling();
render(<Page />, document.body);
