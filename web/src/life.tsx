// SPDX-License-Identifier: MIT
// life.tsx: the carbon, day after day, until it is spent.
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { Chart, Legend, type Line, type Picture } from "./chart";
import { text } from "./desk";
import { Run } from "./run";
import { Starter, TroubleBox } from "./running";
import { cell, column, namesBetween, nearest } from "./series";
import { DataTable } from "./table";
import { axis, shown, units } from "./units";
import type { Life as LifeReport, Profile, Series, WithWords } from "./types";
import { Heed, VerdictList } from "./verdicts";

const MOST_PROFILES = 5, TABLE_ROWS = 25, LEAST_SHARE = 1e-6;

const run = new Run<WithWords<LifeReport>>(of => ({ path: `/api/life?words=yes&units=${units.value}`, body: { text: of } }), true);
const chosenSubstance = signal("");

const at = (end: number | null, l: LifeReport) =>
  end === null ? `not within ${shown(l.horizon_s, "time")}` : end === 0 ? "from the first day" : shown(end, "time");

function sentence(l: LifeReport): string {
  const spent = l.spent_s === null ? `The carbon is not spent within ${shown(l.horizon_s, "time")}.`
    : l.spent_s === 0 ? "The carbon lets too much through from the first day."
    : `The carbon is spent after ${shown(l.spent_s, "time")} by the calendar.`;
  const range = `Over what is assumed: ${at(l.spent_low_s, l)} at the bad end, ${at(l.spent_high_s, l)} at the good end.`;
  const advice = l.spent_s === 0 ? "" : " Go by the early end, and by a year at most: carbon ages.";
  return `${spent} ${range}${advice} Followed for ${shown(l.followed_s, "time")}.`;
}

// ---- curves over months ----

interface Up { words: string; log: boolean; level?: { y: number; words: string } }

/** All columns "before[NAME]after", by their names. */
function over(s: Series, [before, after]: [string, string], up: Up): Picture | null {
  const times = column(s, "time")?.values ?? [], time = axis(times[times.length - 1] ?? 1, "time");
  const found = namesBetween(s, before, after).flatMap((name, tone) => {
    const c = column(s, before + name + after);
    return c ? [{ name, tone, ...c }] : [];
  });
  const dimension = found[0]?.dimension;
  if (!dimension) return null;
  const unit = axis(1, dimension);
  const drawn = (v: number | null) => v === null || (up.log && v < LEAST_SHARE) ? null : unit.to(v);
  const lines: Line[] = found.map(f => ({ name: f.name, tone: f.tone, y: f.values.map(drawn) }));
  const all = lines.flatMap(l => l.y.filter(v => v !== null)), level = up.level?.y ?? 0, peak = Math.max(...all, level);
  const log = { kind: "log" as const, low: Math.min(...all, peak / 1000), high: peak };
  return {
    x: times.map(t => time.to(t ?? 0)), lines, across: { words: `time by the calendar, ${time.unit}` },
    up: { words: [up.words, unit.unit].filter(Boolean).join(", "), ...(up.log && peak > 0 ? log : { low: 0 }) },
    ...(up.level && { levels: [up.level] }),
  };
}

// ---- through the depth of a bed ----

function profile(b: Profile, substance: string): Picture {
  const of = b.substances.find(s => s.substance === substance) ?? b.substances[0];
  const end = b.times_s[b.times_s.length - 1] ?? 0; // the times are not evenly spaced
  const rows = [...new Set(Array.from({ length: MOST_PROFILES }, (_, i) => nearest(b.times_s, end * (i + 1) / MOST_PROFILES)))];
  const depth = axis(b.depth_m, "length"), peak = Math.max(...rows.flatMap(r => of?.loading_kgkg[r] ?? [0])), load = axis(peak, "mass_ratio");
  return {
    x: Array.from({ length: b.slices }, (_, i) => depth.to(b.depth_m * (i + 0.5) / b.slices)), // the middle of each slice
    lines: rows.map((r, tone) => ({ name: `after ${shown(b.times_s[r], "time")}`, tone, y: (of?.loading_kgkg[r] ?? []).map(load.to) })),
    across: { words: `depth from where the air enters, ${depth.unit}`, low: 0, high: depth.to(b.depth_m) },
    up: { words: `${substance} on the carbon, ${load.unit}`, low: 0 },
  };
}

function Bed({ b }: { b: Profile }) {
  const names = b.substances.map(s => s.substance), substance = names.includes(chosenSubstance.value) ? chosenSubstance.value : names[0] ?? "";
  if (!substance) return null;
  return (
    <>
      <h4>Through the depth of {b.stage}</h4>
      <p><label>Substance <select value={substance} onChange={e => { chosenSubstance.value = e.currentTarget.value; }}>
        {names.map(n => <option key={n} value={n}>{n}</option>)}
      </select></label></p>
      <Plot picture={profile(b, substance)} say={`${substance} held through the depth of ${b.stage} at some times; ${b.slices} slices.`} />
    </>
  );
}

function table(l: LifeReport) {
  const s = l.series, step = Math.max(1, Math.ceil(s.rows / TABLE_ROWS));
  const columns = s.columns.slice(1).map(c => ({ name: c.name, of: column(s, c.name) }));
  const times = column(s, "time")?.values ?? [];
  const rows = times.map((_, i) => i).filter(i => i % step === 0 || i === times.length - 1);
  return {
    heads: ["time", ...columns.map(c => c.name)],
    rows: rows.map(i => [shown(times[i], "time"), ...columns.map(c => cell(c.of?.values[i], c.of?.dimension ?? ""))]),
  };
}

function Plot({ picture: p, say, ends }: { picture: Picture; say: string; ends?: (name: string) => string }) {
  return (
    <figure class="plot">
      <figcaption>{p.up.words}; over {p.across.words}</figcaption>
      <Chart say={say} picture={p} height={260} />
      <Legend items={p.lines.map(({ name, tone }) => ({ name, tone, ...(ends && { value: ends(name) }) }))} />
    </figure>
  );
}

function lastOf(s: Series, name: string): string {
  const c = column(s, name), last = c?.values[c.values.length - 1] ?? null;
  return last === null ? "none" : `${cell(last, c?.dimension ?? "")} at the end`;
}

function Followed({ life }: { life: WithWords<LifeReport> }) {
  const l = life.report, s = l.series;
  const through = over(s, ["gases[", "].let_through"], { words: "Let through, share of what comes", log: false });
  const air = over(s, ["air[", "]"], { words: "Gases met, share of the nearest limit, each over its own span", log: true, level: { y: 1, words: "limit" } });
  const said = sentence(l);
  return (
    <>
      <p class="said">{said}</p>
      <div class="plots">
        {through && <Plot picture={through} ends={gas => lastOf(s, `gases[${gas}].let_through`)} say={`Share of each gas that the carbon lets through. ${said}`} />}
        {air && <Plot picture={air} ends={who => lastOf(s, `air[${who}]`)} say="What people meet over time, as a share of the nearest limit." />}
      </div>
      {l.beds.map(b => <Bed key={b.stage} b={b} />)}
      <DataTable caption="The months, row by row" of={() => table(l)} />
      <h4>Verdicts of the months</h4>
      <VerdictList of={life.words} label="Verdicts of the months, the worst first" />
      <Heed of={life.words} />
    </>
  );
}

export function Life() {
  const a = run.answer.value, now = units.value;
  useEffect(() => { // the words of what is shown follow the units; another text waits until it is asked for
    if (run.answer.peek()?.of === text.peek() && !run.fresh()) void run.start();
  }, [now]);
  return (
    <>
      <p class="hint">The days of the design one after the other, as long as the carbon lasts. This takes some seconds.</p>
      <Starter run={run} words="Follow the months" doing="Following the months" />
      <TroubleBox of={run.trouble.value} />
      {a && <Followed life={a.value} />}
    </>
  );
}
