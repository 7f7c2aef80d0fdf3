// SPDX-License-Identifier: MIT
// odds.tsx: how likely each verdict is met over what is not known, what that hangs on, and what to measure next.
import { signal } from "@preact/signals";
import { Run } from "./run";
import { Starter, TroubleBox } from "./running";
import { numberOf } from "./series";
import { shown, units } from "./units";
import { Why } from "./verdicts";

interface Most { name: string; share: number; said: string; of: string }
interface Matter { name: string; first: number | null; first_error: number | null; total: number | null; total_error: number | null }
interface Next { test: string; gain: number; gain_error: number; coarsest: number | null }
interface Odd {
  id: string; title: string; job: string | null; dimension: string; sense: string; cannot_be_told: boolean;
  met: number | null; met_error: number | null; no_answer: number; known_now: number | null; matters: Matter[]; measure_next: Next[];
}
interface Test { name: string; title: string; how: string; cost: string; accuracy: string; source: string }
interface OddsReport {
  stopped: boolean; known: boolean; width: number; samples: number; samples_without_answer: number;
  all: Odd; verdicts: Odd[]; tests: Test[]; notes: string[]; disclaimer: string;
}

/** How many samples at the most; they end before when every probability is known to `width`. */
const FINENESS = [
  { words: "rough", samples: 1024, width: 0.03 }, { words: "usual", samples: 4096, width: 0.01 }, { words: "fine", samples: 32768, width: 0.003 },
] as const;
const SEED = 1, COARSE = 1.5; // an instrument that may be so many times as coarse is worth a word
const fineness = signal<0 | 1 | 2>(1);
const run = new Run<OddsReport>(of => {
  const { samples, width } = FINENESS[fineness.value];
  return { path: "/api/odds", body: { text: of, samples, width, seed: SEED } };
});

const percent = (share: number | null) => share === null ? "unknown" : `${Number((share * 100).toPrecision(3))} %`;
const points = (error: number | null) => error === null ? "" : ` \u00b1 ${Number((error * 100).toPrecision(2))}`;
const shareOf = (m: Matter) => m.total === null ? percent(m.first) : `${Number((m.total * 100).toPrecision(2))}${points(m.total_error)} %`;
const chance = (o: Odd) => o.met === null ? "no limit" : `${Number((o.met * 100).toFixed(1))}${points(o.met_error)} %`;

/** How far the bar reaches is how likely; the whisker is the error; what no data back is hatched. */
function Bar({ o }: { o: Odd }) {
  if (o.met === null) return null;
  const end = o.met * 100, error = (o.met_error ?? 0) * 100;
  const low = Math.max(0, end - error), high = Math.min(100, end + error);
  return (
    <svg class={o.cannot_be_told ? "bar untold" : "bar"} viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
      <rect class="whole" width="100" height="10" />
      <rect class="part" width={end} height="10" />
      {o.cannot_be_told && <rect width={end} height="10" fill="url(#hatch-bar)" />}
      <path class="whisker" d={`M${low} 5H${high}M${low} 2V8M${high} 2V8`} />
    </svg>
  );
}

const MANY = 0.1; // as the command has it: with more without an answer no middle is told
const BOUNDS = [["", ""], ["_more_than", "more than "], ["_less_than", "less than "]] as const;

/** One point of the spread, or what is known of it. */
function point(o: Odd, stem: string): string {
  for (const [end, words] of BOUNDS) {
    const number = numberOf(o, stem + end, "median");
    if (number !== null) return words + shown(number, o.dimension);
  }
  return "no number";
}

function Row({ o, tests }: { o: Odd; tests: Test[] }) {
  const told = o.no_answer <= MANY && BOUNDS.some(([end]) => numberOf(o, `median${end}`, "median") !== null);
  return (
    <li>
      <details>
        <summary><span>{o.title}{o.job ? <small> ({o.job})</small> : null}</span><b>{chance(o)}</b><Bar o={o} /></summary>
        <div>
          {o.cannot_be_told && <p>Data are missing: no probability makes this a pass.</p>}
          <p>{told ? `Middle ${point(o, "median")}; nine of ten between ${point(o, "low")} and ${point(o, "high")}.` : "Too many samples have no answer to tell a middle."}
            {o.no_answer > 0 && ` Without an answer: ${percent(o.no_answer)} of the samples.`}</p>
          {o.matters.length > 0 && <p>What matters most: {o.matters.map(m => `${m.name} (${shareOf(m)})`).join(", ")}.</p>}
          {o.measure_next.map(n => <p key={n.test}>To measure: {tests.find(t => t.name === n.test)?.title ?? n.test}. {sure(o, n)}</p>)}
        </div>
      </details>
    </li>
  );
}

const sure = (o: Odd, n: Next) => `The likelier answer is right in ${percent(o.known_now)} now, in ${percent(Math.min(1, (o.known_now ?? 0) + n.gain))} then.` +
  (n.coarsest !== null && n.coarsest > COARSE ? ` An instrument ${Number(n.coarsest.toPrecision(2))} times as coarse does too.` : "");

/** Over all verdicts that can be told: the inputs with the largest shares, each where it matters most. */
function most(r: OddsReport): Most[] {
  const best = new Map<string, Most>();
  for (const o of r.verdicts.filter(o => !o.cannot_be_told && o.met !== null && o.met > 0 && o.met < 1)) {
    for (const m of o.matters) {
      const share = m.total ?? m.first ?? 0;
      if (share > (best.get(m.name)?.share ?? 0)) best.set(m.name, { name: m.name, share, said: shareOf(m), of: o.title });
    }
  }
  return [...best.values()].sort((a, b) => b.share - a.share).slice(0, 6);
}

function next(r: OddsReport): { test: Test; gain: Next; of: Odd }[] {
  const list = r.verdicts.flatMap(of => of.measure_next.filter(n => n.gain > n.gain_error).flatMap(gain => {
    const test = r.tests.find(t => t.name === gain.test);
    return test ? [{ test, gain, of }] : [];
  }));
  const best = list.sort((a, b) => b.gain.gain - a.gain.gain).filter((x, i) => list.findIndex(y => y.test === x.test) === i);
  return best.slice(0, 4);
}

function Sampled({ r }: { r: OddsReport }) {
  const limited = r.verdicts.filter(o => o.met !== null).sort((a, b) => (a.met ?? 0) - (b.met ?? 0));
  const told = limited.filter(o => !o.cannot_be_told), untold = limited.filter(o => o.cannot_be_told), matters = most(r), tests = next(r);
  return (
    <>
      <p class="said">All that can be told is met at once in {chance(r.all)} of {r.samples} samples.
        {!r.known && " Not yet to the width that was asked for."}{r.stopped && " Stopped before the end."}
        {r.samples_without_answer > 0 && ` ${r.samples_without_answer} samples had no answer somewhere and count as not met.`}</p>
      <svg class="defs" aria-hidden="true"><defs>
        <pattern id="hatch-bar" width="2" height="10" patternUnits="userSpaceOnUse"><rect class="gap" width="1" height="10" /></pattern>
      </defs></svg>
      <ol class="odds" aria-label="How likely each verdict is met">{told.map(o => <Row key={`${o.id}@${o.job ?? ""}`} o={o} tests={r.tests} />)}</ol>
      {untold.length > 0 && <>
        <h4>What cannot be told, whatever the odds: data are missing</h4>
        <ol class="odds" aria-label="Odds of what cannot be told">{untold.map(o => <Row key={`${o.id}@${o.job ?? ""}`} o={o} tests={r.tests} />)}</ol>
      </>}
      {matters.length > 0 && <>
        <h4>What matters most, of what is in doubt</h4>
        <ul>{matters.map(m => <li key={m.name}><Why name={m.name}>{m.name}</Why>: {m.said} of the spread of: {m.of}</li>)}</ul>
      </>}
      <h4>What to measure next</h4>
      {tests.length === 0 ? <p>None of the cheap tests makes any of these answers surer.</p> : (
        <ul>{tests.map(({ test, gain, of }) => <li key={test.name}><b>{test.title}</b>. {test.how} Cost: {test.cost}. For: {of.title}. {sure(of, gain)}</li>)}</ul>
      )}
      <ul class="notes">{[...r.notes, r.disclaimer].map(n => <li key={n}>{n}</li>)}</ul>
    </>
  );
}

export function Odds() {
  void units.value;
  const a = run.answer.value;
  return (
    <>
      <p class="hint">What is not known exactly is drawn by chance many times, and each time the whole design is judged.</p>
      <p><label>Samples <select value={fineness.value} onChange={e => { fineness.value = Number(e.currentTarget.value) as 0 | 1 | 2; }}>
        {FINENESS.map((f, i) => <option key={i} value={i}>{f.words}: up to {f.samples}, or until known to {percent(f.width)}</option>)}
      </select></label></p>
      <Starter run={run} words="Draw the odds" doing="Drawing samples" />
      <TroubleBox of={run.trouble.value} />
      {a && <Sampled r={a.value} />}
    </>
  );
}
