// SPDX-License-Identifier: MIT
// compare.tsx: the variant that was kept, against the design as it is now.
import { useLayoutEffect } from "preact/hooks";
import { keep, kept, replace, words } from "./desk";
import { Run } from "./run";
import { TroubleBox, UnderWay, useFollow } from "./running";
import { numberOf } from "./series";
import { DataTable, Table } from "./table";
import { shown } from "./units";
import type { Judged } from "./types";
import { WordMark } from "./verdicts";

type Change = "better" | "worse" | "same";
interface Row { id: string; title: string; job: string | null; alike: boolean; against_first: Change[]; in_designs: (Judged | null)[] }
type Written = ({ dimension: string } & Record<string, unknown>) | string | null;
interface Difference { path: string; kind: "number" | "word"; follows: boolean; in_designs: Written[] }
interface Comparison { designs: { overall: string; better: number; worse: number }[]; differences: Difference[]; verdicts: Row[]; disclaimer: string }

const run = new Run<Comparison>(of => {
  const designs = [{ name: "kept", text: kept.value?.text ?? of }, { name: "now", text: of }];
  return { path: "/api/compare", body: { designs } };
});
const WHAT = ["what", "kept", "now"];
const SIGN: Record<Change, string> = { better: "▲ ", worse: "▼ ", same: "" };

function Cell({ v }: { v: Judged | null | undefined }) {
  return v ? <><WordMark word={v.word} /> <span class="value">{shown(numberOf(v, "value"), v.dimension)}</span></> : <>not judged</>;
}

function rowsOf(list: Row[]) {
  return list.map(r => {
    const change = r.against_first[1] ?? "same", told = r.in_designs[0]?.word === r.in_designs[1]?.word ? "same word" : "neither better nor worse";
    return [
      <>{r.title}{r.job ? <small> ({r.job})</small> : null}</>,
      <span class={`change ${change}`}><span aria-hidden="true">{SIGN[change]}</span>{r.alike ? "the same" : change === "same" ? told : change}</span>,
      <Cell v={r.in_designs[0]} />, <Cell v={r.in_designs[1]} />,
    ];
  });
}

const written = (d: Written | undefined) =>
  d === null || d === undefined ? "none" : typeof d === "string" ? d : shown(numberOf(d, "value"), d.dimension);
const differenceRows = (list: Difference[]) => list.map(d => [d.path, written(d.in_designs[0]), written(d.in_designs[1])]);

function Compared({ c }: { c: Comparison }) {
  const [then, now] = c.designs, moved = c.verdicts.filter(v => !v.alike), alike = c.verdicts.filter(v => v.alike);
  const direct = c.differences.filter(d => !d.follows), follows = c.differences.filter(d => d.follows);
  const heads = ["verdict", "now is", "kept", "now"], order: Change[] = ["worse", "better", "same"];
  moved.sort((a, b) => order.indexOf(a.against_first[1] ?? "same") - order.indexOf(b.against_first[1] ?? "same"));
  return (
    <>
      <p class="said">{c.differences.length === 0 ? "Nothing differs."
        : `${now?.better ?? 0} better, ${now?.worse ?? 0} worse than what was kept. Overall: ${then?.overall} then, ${now?.overall} now.`}</p>
      {moved.length > 0 && <Table caption="Verdicts that differ" heads={heads} rows={rowsOf(moved)} />}
      {direct.length > 0 && <Table caption="What differs in the texts" heads={WHAT} rows={differenceRows(direct)} />}
      {follows.length > 0 && <DataTable summary="What follows from that" caption="Numbers that follow" of={() => ({ heads: WHAT, rows: differenceRows(follows) })} />}
      <DataTable summary="Verdicts that are the same" caption="The same in both" of={() => ({ heads, rows: rowsOf(alike) })} />
      <p>{c.disclaimer}</p>
    </>
  );
}

export function Compare({ open }: { open: boolean }) {
  const k = kept.value;
  useLayoutEffect(() => () => run.forget(), [k]);
  useFollow(run, open && k !== null, k);
  if (!k) {
    return (
      <>
        <p>Nothing is kept yet. Keep the design as it is now, then change it: here stands what is better and what is worse.</p>
        <p><button type="button" disabled={!words.value} onClick={keep}>Keep this one to compare</button></p>
      </>
    );
  }
  return (
    <>
      <p><button type="button" onClick={() => void replace(k.text, "back to what was kept")}>Back to what was {k.name}</button>{" "}
        <button type="button" disabled={!words.value} onClick={keep}>Keep this one instead</button></p>
      <TroubleBox of={run.trouble.value} />
      <UnderWay run={run} doing="Comparing" />
      {run.answer.value && <Compared c={run.answer.value.value} />}
    </>
  );
}
