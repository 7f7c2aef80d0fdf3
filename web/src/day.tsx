// SPDX-License-Identifier: MIT
// day.tsx: a day of the design by the clock: curves that follow what is moved, and what is said of it.
import { computed, effect, signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { Chart, clock, Legend, type Line, type Picture, type Scale } from "./chart";
import { parts, tally, text } from "./desk";
import { quantitiesRun } from "./quantities";
import { Run } from "./run";
import { TroubleBox, UnderWay, useFollow } from "./running";
import { cell, column, namesBetween, nearest, numberOf } from "./series";
import { DataTable } from "./table";
import { axis, shown, units } from "./units";
import type { Day, Judged, Series, WithWords } from "./types";
import { Heed, VerdictList } from "./verdicts";

const STEP_S = 300;             // of the slider over time
const HOUR_S = 3600, DAY_S = 24 * HOUR_S; // 60 x 60, exact
const REST_MS = 350;            // limits are read anew when the hand rests: they are of the text as well
const TABLE_ROWS = 25;
const UNDER_LIMIT = 1e-2, UNDER_PEAK = 1e-5; // how far down the logarithmic axes reach

const run = new Run<WithWords<Day>>(of => ({ path: `/api/day?words=yes&units=${units.value}`, body: { text: of } }), true);
const when = signal(NaN);       // hours on the axis, counted from the midnight before the run
const chosenGas = signal("");

effect(() => {
  const a = run.answer.value, from = (a?.value.report.start_clock_s ?? 0) / HOUR_S;
  if (!a) return;
  document.documentElement.dataset.dayMs = a.ms.toFixed(1); // read by the page's tests: how long the last answer took
  const { span_s, moments } = a.value.report, now = when.peek();
  const begins = moments[0]?.time_s ?? 0, next = moments[1]?.time_s ?? span_s; // amid what happens first
  if (!(now >= from && now <= from + span_s / HOUR_S)) when.value = from + (begins + next) / 2 / HOUR_S;
});

// ---- limits of gases: the strictest of its kind that the catalog has ----

const KINDS: { kind: string; who: "worker" | "resident"; words: string }[] = [
  { kind: "work 8h", who: "worker", words: "limit at work, mean of 8 h" },
  { kind: "work 15min", who: "worker", words: "limit at work, mean of 15 min" },
  { kind: "work ceiling", who: "worker", words: "limit at work, at any moment" },
  { kind: "home long", who: "resident", words: "limit at home, day after day" },
  { kind: "home 8h", who: "resident", words: "limit at home, mean of 8 h" },
  { kind: "home 1h", who: "resident", words: "limit at home, mean of 1 h" },
];
interface Limit { gas: string; kind: string; value: number }
const limits = computed<Limit[]>(() => (quantitiesRun.answer.value?.value.quantities ?? []).flatMap(q => {
  const m = /^substances\[(.+?)\]\.limits\[.*\b((?:work|home) (?:8h|15min|ceiling|long|1h|24h))(?: \d+)?\]$/.exec(q.path);
  const value = numberOf(q, "value");
  return m?.[1] && m[2] && value !== null ? [{ gas: m[1], kind: m[2], value }] : [];
}));

function useLimits(open: boolean): void {
  const now = text.value;
  useEffect(() => {
    if (!open || quantitiesRun.fresh()) return;
    const rest = setTimeout(() => void quantitiesRun.start(), quantitiesRun.answer.peek() ? REST_MS : 0);
    return () => clearTimeout(rest);
  }, [open, now]);
}

function limitsOf(gas: string): { value: number; words: string }[] {
  const people = parts.value?.people ?? [];
  return KINDS.filter(k => people.some(p => p.as === k.who)).flatMap(k => {
    const values = limits.value.filter(l => l.gas === gas && l.kind === k.kind).map(l => l.value);
    return values.length ? [{ value: Math.min(...values), words: k.words }] : [];
  });
}

// ---- words ----

/** Time of day, of a run of several days with the day; `s` from the midnight before the run. */
const clockOf = (day: Day, s: number) => `${day.span_s > DAY_S ? `day ${Math.floor(s / DAY_S) + 1}, ` : ""}${clock(s / HOUR_S)}`;

/** What was followed. */
function nameOf(day: Day): string {
  const days = day.span_s / DAY_S;
  return days <= 1 ? "day" : days === 2 ? "two days" : Number.isInteger(days) ? `${days} days` : shown(day.span_s, "time");
}

function Begins({ day }: { day: Day }) {
  return (
    <p class="begins"><b>{`Begins ${clockOf(day, day.start_clock_s)}`}</b>{`, ${shown(day.span_s, "time")} are followed at best estimates. `}{day.begins}
      {" What is met here may still fail at the bad end of what is assumed, which the verdicts beside the drawing count in."}</p>
  );
}

// ---- curves ----

interface Curves { head: string; levels: string[]; picture: Picture; raw: { name: string; dimension: string; values: (number | null)[]; tone: number }[] }
interface Wanted { column: string; name: string }

const peakOf = (values: (number | null)[]) => values.reduce<number>((most, v) => Math.max(most, v ?? 0), 0);

function curves(day: Day, head: string, wanted: Wanted[], more: { log?: boolean; levels?: { value: number; words: string }[] } = {}): Curves | null {
  const raw = wanted.flatMap(({ column: c, name }, tone) => {
    const found = column(day.series, c);
    return found?.values.some(v => v !== null) ? [{ name, tone, ...found }] : []; // a box without a plate has no temperature of it
  });
  const dimension = raw[0]?.dimension;
  if (!dimension) return null;
  const levels = more.levels ?? [];
  const peak = Math.max(...raw.map(r => peakOf(r.values.map(v => Math.abs(v ?? 0)))), ...levels.map(l => l.value));
  const unit = axis(dimension === "temperature" ? peakOf(raw[0]?.values ?? []) : peak, dimension);
  const up: Scale = { words: unit.unit };
  let least = -Infinity;
  if (more.log) {
    least = Math.min(...levels.map(l => l.value * UNDER_LIMIT), levels.length ? Infinity : peak * UNDER_PEAK);
    if (!(least > 0)) least = 1e-30; // all is zero, and no limit: any axis will do
    Object.assign(up, { kind: "log", low: unit.to(least), high: unit.to(Math.max(peak, least * 10)) });
  }
  const times = column(day.series, "time")?.values ?? [];
  const lines: Line[] = raw.map(r => ({ name: r.name, tone: r.tone, y: r.values.map(v => v === null || (more.log && v < least) ? null : unit.to(v)) }));
  return {
    head: `${head}, ${unit.unit}`, raw, levels: levels.filter(l => l.value !== 0).map(l => `${l.words} ${shown(l.value, dimension)}`),
    picture: {
      x: times.map(t => (day.start_clock_s + (t ?? 0)) / HOUR_S), lines, across: { words: "time", clock: day.span_s > DAY_S ? "days" : "day" }, up,
      levels: levels.map(l => ({ y: unit.to(l.value), words: l.words })),
      moments: day.moments.map(m => ({ x: (day.start_clock_s + m.time_s) / HOUR_S, words: m.what })),
    },
  };
}

const gasesOf = (s: Series) => namesBetween(s, "gases[", "].box");
const roomsOf = (s: Series) => namesBetween(s, "particles.room[", "]");

/** The gas that comes nearest to a limit in a room, as the printed picture of a day chooses. */
function nearestToLimit(s: Series): string {
  const nearness = (gas: string) => {
    const least = Math.min(...limitsOf(gas).map(l => l.value));
    return Math.max(...roomsOf(s).map(r => peakOf(column(s, `gases[${gas}].room[${r}]`)?.values ?? [])), 0) / (Number.isFinite(least) ? least : 1e30);
  };
  return gasesOf(s).reduce((best, g) => best === "" || nearness(g) > nearness(best) ? g : best, "");
}

const limitIn = (verdicts: Judged[], id: string, words: string) => {
  const v = verdicts.find(v => v.id.startsWith(id));
  const value = v ? numberOf(v, "limit") : null;
  return value === null || !v ? [] : [{ value, words }];
};

function airColumns(s: Series, of: string): Wanted[] {
  return [
    { column: `${of}.box`, name: "in the box" },
    ...roomsOf(s).map(r => ({ column: `${of}.room[${r}]`, name: r })),
    { column: `${of}.after_carbon`, name: "behind the carbon" },
    { column: `${of}.near_box`, name: "near the box" },
  ];
}

function allCurves(day: Day): (Curves | null)[] {
  const { series: s, verdicts: v } = day, gases = gasesOf(s);
  const gas = gases.includes(chosenGas.value) ? chosenGas.value : nearestToLimit(s);
  return [
    curves(day, "Temperatures", [
      { column: "box.temperature", name: "box" }, { column: "plate.temperature", name: "plate" }, { column: "outdoor.temperature", name: "outdoors" },
    ], { levels: [...limitIn(v, "day_chamber_hottest", "box at most"), ...limitIn(v, "day_chamber_reached", "box at least")] }),
    curves(day, "How hard air is pressed inward", [{ column: "box.inward_pressure", name: "weakest gap" }],
      { levels: [{ value: 0, words: "below: outward" }, ...limitIn(v, "day_inward_pressure", "wanted")] }),
    gas ? curves(day, `Gas in the air: ${gas}`, airColumns(s, `gases[${gas}]`), { log: true, levels: limitsOf(gas) }) : null,
    curves(day, "Particles in the air", airColumns(s, "particles"), { log: true, levels: limitIn(v, "day_particles", "benchmark of the verdicts") }),
    curves(day, "Held by the carbon", [
      ...gases.map(g => ({ column: `gases[${g}].on_carbon`, name: g })), { column: "water.on_carbon", name: "water" },
    ], { log: true }),
  ];
}

const shownCurves = computed(() => {
  const day = run.answer.value?.value.report;
  return day ? allCurves(day).filter(c => c !== null) : [];
});

// ---- what is shown ----

function Plot({ of, over, first }: { of: Curves; over: string; first: boolean }) {
  const row = nearest(of.picture.x, when.value);
  const peaks = of.raw.map(r => `${r.name} at most ${shown(r.values.reduce((m, v) => v !== null && (m === null || v > m) ? v : m, null), r.dimension)}`);
  return (
    <figure class="plot">
      <figcaption>{of.head}</figcaption>
      <Chart say={`${of.head} over the ${over}: ${peaks.join(", ")}.`} labels={first} height={first ? 270 : 220} picture={of.picture} cursor={when} />
      {of.levels.length > 0 && <p class="hint">Lines across: {of.levels.join("; ")}.</p>}
      <Legend items={of.raw.map(r => ({ name: r.name, tone: r.tone, value: cell(r.values[row], r.dimension) }))} />
    </figure>
  );
}

function TimeSlider({ day }: { day: Day }) {
  const from = day.start_clock_s, now = Math.min(Math.max(when.value * HOUR_S, from), from + day.span_s);
  const said = clockOf(day, now);
  return (
    <div class="pointer">
      <label for="day-when"><span>Values at</span><b>{said}</b></label>
      <input id="day-when" type="range" min={from} max={from + day.span_s} step={STEP_S} value={now} aria-valuetext={said}
        onInput={e => { when.value = Number(e.currentTarget.value) / HOUR_S; }} />
    </div>
  );
}

function GasChoice({ s }: { s: Series }) {
  const gases = gasesOf(s);
  if (gases.length < 2) return null;
  return (
    <p><label>Gas <select value={gases.includes(chosenGas.value) ? chosenGas.value : ""} onChange={e => { chosenGas.value = e.currentTarget.value; }}>
      <option value="">the one nearest to a limit</option>
      {gases.map(g => <option key={g} value={g}>{g}</option>)}
    </select></label></p>
  );
}

function table(day: Day, of: Curves[]) {
  const x = of[0]?.picture.x ?? [];
  const raw = of.flatMap(c => c.raw.map(r => ({ ...r, head: `${c.head.replace(/,[^,]*$/, "")}: ${r.name}` })));
  const rows = Array.from({ length: TABLE_ROWS }, (_, i) => nearest(x, (day.start_clock_s + day.span_s * i / (TABLE_ROWS - 1)) / HOUR_S));
  return { heads: ["clock", ...raw.map(r => r.head)], rows: rows.map(i => [clockOf(day, (x[i] ?? 0) * HOUR_S), ...raw.map(r => cell(r.values[i], r.dimension))]) };
}

function sentence({ report: d, words: w }: WithWords<Day>): string {
  const first = w.verdicts.find(v => v.word === "misses") ?? w.verdicts.find(v => v.word === "cannot tell");
  const moments = d.moments.map(m => `${m.clock} ${m.what}`).join("; ");
  return `${tally(w)}.${first ? ` First: ${first.title}: ${first.word}, ${first.value}.` : ""}` +
    (moments ? ` Moments: ${moments}.` : "");
}

export function Day({ open }: { open: boolean }) {
  useFollow(run, open);
  useLimits(open);
  const a = run.answer.value, curves = shownCurves.value;
  if (!a) return <><TroubleBox of={run.trouble.value} /><UnderWay run={run} doing="Following the day" /></>;
  const { report: day, words } = a.value, over = nameOf(day);
  return (
    <>
      <TroubleBox of={run.trouble.value} />
      <UnderWay run={run} doing="Following the day" />
      <Begins day={day} />
      <TimeSlider day={day} />
      <GasChoice s={day.series} />
      <div class="plots">{curves.map((c, i) => <Plot key={i} of={c} over={over} first={i === 0} />)}</div>
      <p>{sentence(a.value)}</p>
      <DataTable caption={`The ${over}, row by row`} of={() => table(day, curves)} />
      <h4>{`Verdicts of the ${over}`}</h4>
      <VerdictList of={words} label={`Verdicts of the ${over}, the worst first`} />
      <Heed of={words} />
    </>
  );
}
