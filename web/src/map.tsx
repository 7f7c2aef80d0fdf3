// SPDX-License-Identifier: MIT
// map.tsx: how the margins go when one or two numbers of the design are moved.
import { computed, signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { Chart, Legend, type Picture } from "./chart";
import { change, parts, text } from "./desk";
import { PlaneOf, ScaleLegend, type Edge } from "./plane";
import { spoken } from "./quantities";
import { Run } from "./run";
import { Starter, TroubleBox } from "./running";
import { nearest, numberOf } from "./series";
import { DataTable } from "./table";
import { axis, shown, units } from "./units";
import type { Num, Word } from "./types";

interface MapQuantity { path: string; dimension: string }
interface MapVerdict {
  id: string; title: string; job: string | null; dimension: string; sense: string; can_be_told: boolean; words: (Word | null)[];
  zero_lines: { closed: boolean; across: number[]; upwards: number[] }[];
}
interface MapReport {
  sure: boolean; quantities: (MapQuantity & Record<string, unknown>)[]; points: number; verdicts: MapVerdict[];
  least: (number | null)[]; limiting: (number | null)[]; least_now: number | null; limiting_now: number | null;
  met: { from: number; to: number }[]; best: number | null; notes: string[]; disclaimer: string;
}

const POINTS = [21, 17] as const, LINE_POINTS = 41; // few enough for a second or two
const MOST_CURVES = 6, FAR = 30;  // curves drawn; margins beyond are drawn at the edge
const QUICK_MS = 1200, REST_MS = 350; // a map as quick as that follows the desk by itself
const TABLE_ROWS = 21, DIGITS = 4;

const first = signal(""), second = signal(""), sure = signal(false);
const coloured = signal(""); // the verdict that is drawn alone; "": the least of all
const chosen = signal<[number, number]>([0, 0]);
const movedTo = signal<string | null>(null); // the text of a move along the map's own axes, for which it still holds

const run = new Run<MapReport>(of => ({
  path: "/api/map",
  body: {
    text: of, sure: sure.value,
    axes: second.value ? [{ name: first.value, points: POINTS[0] }, { name: second.value, points: POINTS[1] }]
      : [{ name: first.value, points: LINE_POINTS }],
  },
}));

// ---- what can be moved ----

/** Everything drawn that the text writes. */
function numbersIn(o: unknown, found: Num[] = []): Num[] {
  if (o === null || typeof o !== "object") return found;
  const n = o as Partial<Num>;
  if (typeof n.path === "string" && n.written !== undefined) { if (n.written) found.push(n as Num); return found; }
  for (const v of Object.values(o)) numbersIn(v, found);
  return found;
}

const handles = computed(() => {
  const p = parts.value;
  if (!p) return { main: [] as Num[], rest: [] as Num[] };
  const stages = p.cleaner?.stages ?? [];
  const main = [
    p.cleaner?.position, ...stages.map(s => s.speed), ...stages.map(s => s.depth), ...p.box.gaps.map(g => g.size),
    p.box.width, p.box.depth, p.box.height, ...stages.map(s => s.area),
  ].filter((n): n is Num => !!n && n.written);
  const named = new Set(main.map(n => n.path));
  return { main, rest: [...new Map(numbersIn(p).filter(n => !named.has(n.path)).map(n => [n.path, n])).values()] };
});

function Choice({ words, of, none }: { words: string; of: typeof first; none: boolean }) {
  const { main, rest } = handles.value;
  const option = (n: Num) => <option key={n.path} value={n.path} title={n.path}>{spoken(n.path)}</option>;
  return (
    <label>{words} <select value={of.value} onChange={e => { of.value = e.currentTarget.value; run.forget(); }}>
      {none && <option value="">nothing: one number alone</option>}
      <optgroup label="what is moved most">{main.map(option)}</optgroup>
      <optgroup label="what else is drawn">{rest.map(option)}</optgroup>
    </select></label>
  );
}

// ---- the answer ----

const nowOf = (path: string, otherwise: number) =>
  [...handles.value.main, ...handles.value.rest].find(n => n.path === path)?.value ?? otherwise;

function edge(q: MapReport["quantities"][number]): Edge {
  const key = Object.keys(q).find(k => k === "at" || k.startsWith("at_")), at = (key ? q[key] : []) as number[];
  const now = numberOf(q, "now", "now");
  return { path: q.path, name: spoken(q.path), dimension: q.dimension, at, now: nowOf(q.path, now ?? at[0] ?? 0) };
}
const edgesOf = (r: MapReport) => r.quantities.map(edge);

const pointAt = (r: MapReport, [i, k]: [number, number]) => i + k * (edgesOf(r)[0]?.at.length ?? 1);

function title(r: MapReport, limiting: number | null | undefined): string {
  const v = limiting === null || limiting === undefined ? undefined : r.verdicts[limiting];
  return v ? `${v.title}${v.job ? ` (${v.job})` : ""}` : "";
}

function said(r: MapReport, point: number): string {
  const m = r.least[point];
  if (m === null || m === undefined) return `no answer here for: ${title(r, r.limiting[point])}`;
  return `${m < 0 ? "missed" : "met"}: least margin ${Number(m.toPrecision(3))} of its limit, ${title(r, r.limiting[point])}`;
}

function placeWords(r: MapReport, at: [number, number]): string {
  return edgesOf(r).map((e, k) => `${e.name} ${shown(e.at[at[k] ?? 0], e.dimension)}`).join(", ");
}

/** The first sentence, and the rest. */
function sentence(r: MapReport): [string, string] {
  const bent = r.least.filter(m => m !== null && m >= 0).length, n = edgesOf(r)[0]?.at.length ?? 1;
  const untold = r.verdicts.filter(v => !v.can_be_told && v.sense !== "no limit").length;
  const met = bent ? `All that can be told is met at ${bent} of ${r.points} points.` : "Nowhere here is all met that can be told.";
  const best = r.best === null ? "" : `The best point: ${placeWords(r, [r.best % n, Math.floor(r.best / n)])} (${said(r, r.best)}). `;
  const dark = untold ? `${untold} verdicts cannot be told at any point, for want of data, and are in none of this. ` : "";
  return [met, `${best}${dark}Margins ${r.sure ? "at the bad end of what is assumed" : "at best estimates"}.`];
}

async function moveTo(r: MapReport, at: [number, number]): Promise<void> {
  chosen.value = at;
  const value = (e: Edge, k: number) => Number((e.at[at[k] ?? 0] ?? 0).toPrecision(DIGITS));
  const changes = edgesOf(r).map((e, k) => ({ path: e.path, value: value(e, k), range: "scaled" as const }));
  const held = run.fresh() || movedTo.value === text.value;
  if (await change(changes, `moved on the map: ${placeWords(r, at)}`) && held) movedTo.value = text.value;
}

// ---- one number ----

/** What limits somewhere, the most often first; then what is met at some points and missed at others. */
function telling(r: MapReport): number[] {
  const count = new Map<number, number>();
  for (const l of r.limiting) if (l !== null) count.set(l, (count.get(l) ?? 0) + 1);
  const turns = r.verdicts.flatMap((v, i) => {
    const signs = new Set(counted(r, i).flatMap(m => m === null ? [] : [m < 0]));
    return v.can_be_told && signs.size > 1 ? [i] : [];
  });
  return [...new Set([...[...count].sort((a, b) => b[1] - a[1]).map(([i]) => i), ...turns])].slice(0, MOST_CURVES);
}

/** Margins of verdict `i`, each counted in `one`. */
function counted(r: MapReport, i: number): (number | null)[] {
  const v = r.verdicts[i] as (MapVerdict & Record<string, unknown>) | undefined, one = v ? numberOf(v, "one", "one") : null;
  const key = v && Object.keys(v).find(k => k === "margins" || k.startsWith("margins_"));
  return v && key && one ? (v[key] as (number | null)[]).map(m => m === null ? null : m / one) : [];
}

const near = (m: number | null) => m === null ? null : Math.max(-FAR, Math.min(FAR, m));

function Curves({ r }: { r: MapReport }) {
  const [e] = edgesOf(r);
  if (!e) return null;
  const unit = axis(e.at[e.at.length - 1] ?? 1, e.dimension), at = e.at[chosen.value[0]] ?? 0, apart = chosen.value[0] !== nearest(e.at, e.now);
  const picture: Picture = {
    x: e.at.map(unit.to),
    lines: [
      { name: "the least of all that can be told", y: r.least.map(near), tone: 0, bold: true },
      ...telling(r).map((i, k) => ({ name: title(r, i), y: counted(r, i).map(near), tone: k + 1 })),
    ],
    across: { words: `${e.name}${unit.unit ? `, ${unit.unit}` : ""}` }, up: { words: "margin, counted in its limit", kind: "bent" },
    levels: [{ y: 0, words: "below: missed" }],
    moments: [{ x: unit.to(e.now), words: "now" }, ...(apart ? [{ x: unit.to(at), words: "chosen" }] : [])],
  };
  return (
    <figure class="plot">
      <figcaption>{picture.up.words}; over {picture.across.words}</figcaption>
      <Chart say={`Margins over ${e.name}. ${sentence(r).join(" ")}`} labels height={340} picture={picture}
        onPick={x => void moveTo(r, [nearest(e.at, unit.from(x)), 0])} />
      <Legend items={picture.lines} />
    </figure>
  );
}

// ---- two numbers ----

/** Which verdict is drawn: all that can be told, or one alone. */
function WhichDrawn({ r }: { r: MapReport }) {
  const known = r.verdicts.some((v, i) => v.can_be_told && title(r, i) === coloured.value);
  return (
    <p><label>Draw <select value={known ? coloured.value : ""} onChange={e => { coloured.value = e.currentTarget.value; }}>
      <option value="">the least margin of all that can be told</option>
      {r.verdicts.map((v, i) => v.can_be_told && v.sense !== "no limit" && <option key={i} value={title(r, i)}>{title(r, i)}</option>)}
    </select></label></p>
  );
}

function Coloured({ r }: { r: MapReport }) {
  const [across, upwards] = edgesOf(r);
  if (!across || !upwards) return null;
  const alone = r.verdicts.findIndex((v, i) => v.can_be_told && title(r, i) === coloured.value);
  const margins = alone < 0 ? r.least : counted(r, alone), drawn = (i: number) => alone < 0 || alone === i;
  const lines = r.verdicts.flatMap((v, i) => v.can_be_told && drawn(i) ? v.zero_lines.map(l => ({ title: title(r, i), ...l })) : []);
  const titles = [...new Set(lines.map(l => l.title))];
  const silent = alone < 0 ? [...new Set(r.least.flatMap((m, i) => m === null ? [title(r, r.limiting[i])] : []))] : [];
  return (
    <figure class="plot">
      <figcaption>{alone < 0 ? "The least margin, counted in its limit" : `Margin, counted in its limit: ${title(r, alone)}`}</figcaption>
      <PlaneOf p={{
        across, upwards, least: margins, lines, chosen: chosen.value, onPick: (i, k) => void moveTo(r, [i, k]),
        say: `Map of margins over ${across.name} and ${upwards.name}. ${sentence(r).join(" ")}`,
      }} />
      <ScaleLegend least={margins} />
      <p class="hint">Hatched: missed. Dotted: no answer{silent.length > 0 && ` for ${silent.join("; ")}`}. Cross: the design as it is. Square: the chosen point.</p>
      {titles.length > 0 && <p class="hint">Lines, where a margin is zero: {titles.map((t, i) => `${i + 1} ${t}`).join("; ")}.</p>}
    </figure>
  );
}

// ---- choosing a point ----

const choose = (k: number, to: number) => { chosen.value = k === 0 ? [to, chosen.value[1]] : [chosen.value[0], to]; };

function Steps({ r }: { r: MapReport }) {
  return (
    <div class="steps">
      {edgesOf(r).map((e, k) => (
        <div class="pointer" key={e.path}>
          <label for={`map-${k}`}><span>{e.name}</span><b>{shown(e.at[chosen.value[k] ?? 0], e.dimension)}</b></label>
          <input id={`map-${k}`} type="range" min="0" max={e.at.length - 1} value={chosen.value[k] ?? 0}
            aria-valuetext={`${shown(e.at[chosen.value[k] ?? 0], e.dimension)}: ${said(r, pointAt(r, chosen.value))}`}
            onInput={ev => choose(k, Number(ev.currentTarget.value))} />
        </div>
      ))}
      <p><button type="button" onClick={() => void moveTo(r, chosen.value)}>Move the design to this point</button>{" "}
        {placeWords(r, chosen.value)}: {said(r, pointAt(r, chosen.value))}</p>
    </div>
  );
}

function table(r: MapReport) {
  const edges = edgesOf(r), n = edges[0]?.at.length ?? 1, most = TABLE_ROWS * (edges.length > 1 ? 4 : 1);
  const step = Math.max(1, Math.floor(r.points / most));
  const rows = r.least.map((_, i) => i).filter(i => i % step === 0);
  const margin = (i: number) => r.least[i] === null ? "no answer" : Number((r.least[i] ?? 0).toPrecision(3));
  const place = (i: number) => edges.map((e, k) => shown(e.at[k === 0 ? i % n : Math.floor(i / n)], e.dimension));
  return {
    heads: [...edges.map(e => e.name), "least margin, of its limit", "what limits"],
    rows: rows.map(i => [...place(i), margin(i), title(r, r.limiting[i])]),
  };
}

/** A map that is quick follows the desk once the hand rests, unless it was the map itself that moved the design. */
function useFollowing(open: boolean): void {
  const now = text.value, a = run.answer.value;
  useEffect(() => {
    if (!open || !a || a.of === now || movedTo.value === now || a.ms > QUICK_MS) return;
    const rest = setTimeout(() => void run.start(), REST_MS);
    return () => clearTimeout(rest);
  }, [open, now, a]);
}

function begin(): void {
  movedTo.value = null;
  const two = second.value !== "" && second.value !== first.value;
  if (!two) second.value = "";
  void run.start();
}

export function Map2({ open }: { open: boolean }) {
  void units.value;
  const main = handles.value.main;
  useEffect(() => {
    const there = (path: string) => [...main, ...handles.value.rest].some(n => n.path === path);
    if (there(first.value) && (second.value === "" || there(second.value))) return;
    run.forget(); // another design may not have those numbers
    first.value = main[0]?.path ?? "";
    second.value = main[1]?.path ?? "";
  }, [main]);
  useFollowing(open);
  useEffect(() => { // the sliders begin where the design is
    const a = run.answer.value;
    if (!a || movedTo.value !== null) return;
    const [x, y] = edgesOf(a.value);
    chosen.value = [x ? nearest(x.at, x.now) : 0, y ? nearest(y.at, y.now) : 0];
  }, [run.answer.value]);
  const a = run.answer.value;
  return (
    <>
      <p class="choices"><Choice words="Across" of={first} none={false} /><Choice words="Upwards" of={second} none />
        <label><input type="checkbox" checked={sure.value} onChange={e => { sure.value = e.currentTarget.checked; run.forget(); }} /> at the bad end of what is assumed</label></p>
      <Starter run={run} start={begin} fresh={movedTo.value === text.value} words="Draw the map" doing="Solving the design at each point" />
      <TroubleBox of={run.trouble.value} />
      {a && (
        <>
          <p class="said">{sentence(a.value)[0]}</p>
          <p>{sentence(a.value)[1]}</p>
          {a.value.quantities.length > 1 ? <><WhichDrawn r={a.value} /><Coloured r={a.value} /></> : <Curves r={a.value} />}
          <Steps r={a.value} />
          <DataTable caption="The map, point by point" of={() => table(a.value)} />
          <ul class="notes">{[...a.value.notes, a.value.disclaimer].map(n => <li key={n}>{n}</li>)}</ul>
        </>
      )}
    </>
  );
}
