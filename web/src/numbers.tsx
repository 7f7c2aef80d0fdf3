// SPDX-License-Identifier: MIT
// numbers.tsx: every number that the text writes, to be typed with its unit.
import { signal } from "@preact/signals";
import { useEffect, useId, useState } from "preact/hooks";
import { change, live } from "./desk";
import { grouped, quantitiesRun as run, type Quantity } from "./quantities";
import { TroubleBox, useFollow } from "./running";
import { takeRefusal } from "./trouble";
import { units } from "./units";
import { showWhy } from "./verdicts";

const search = signal("");

function Field({ q }: { q: Quantity }) {
  const id = useId(), [draft, setDraft] = useState<string | null>(null), [wrong, setWrong] = useState<string | null>(null);
  useEffect(() => { setDraft(null); setWrong(null); }, [q.written]);
  const usual = units.value === "us" ? q.us : q.si;
  const send = async () => {
    const to = draft?.trim();
    if (to === undefined || to === q.written) { setDraft(null); return setWrong(null); }
    if (await change([{ path: q.path, text: to }], `${q.path} = ${to}`)) { live.value = `${q.path} is now ${to}.`; return setWrong(null); }
    const refused = takeRefusal();
    if (refused) setWrong(refused.diagnostics.map(d => d.message).join(" ") || refused.words);
  };
  return (
    <div class="field">
      <label for={id}>{q.path}</label>
      <input id={id} type="text" autocomplete="off" spellcheck={false} value={draft ?? q.written ?? ""} aria-invalid={wrong !== null}
        aria-describedby={`${id}-more`} onInput={e => setDraft(e.currentTarget.value)} onChange={() => void send()} />
      <button type="button" aria-label={`Where does ${q.path} come from?`} title="Where does this come from?" onClick={() => void showWhy(q.path)}>?</button>
      <p id={`${id}-more`} class={wrong ? "wrong" : "hint"}>{wrong ? <><b>Not taken: </b>{wrong}</> : usual !== q.written ? usual : ""}</p>
    </div>
  );
}

export function Numbers({ open }: { open: boolean }) {
  useFollow(run, open);
  const all = (run.answer.value?.value.quantities ?? []).filter(q => q.written !== null);
  const wanted = search.value.toLowerCase().split(/\s+/).filter(Boolean);
  const found = all.filter(q => wanted.every(w => `${q.path} ${q.written ?? ""} ${q.dimension}`.toLowerCase().includes(w)));
  return (
    <>
      <p class="hint">Each number that the text writes. Type it with any unit: 120 mm, 5 in. A range in brackets belongs to its number: keep it if it still holds.</p>
      <p><label>Search <input type="search" value={search.value} onInput={e => { search.value = e.currentTarget.value; }} /></label>{" "}
        <span role="status">{run.answer.value ? `${found.length} of ${all.length}` : "Reading the numbers."}</span></p>
      <TroubleBox of={run.trouble.value} />
      {grouped(found).map(([head, list]) => (
        <fieldset key={head}><legend>{head}</legend>{list.map(q => <Field key={q.path} q={q} />)}</fieldset>
      ))}
    </>
  );
}
