// SPDX-License-Identifier: MIT
// plane.tsx: margins over two numbers, coloured from blue (missed) over grey (just met) to yellow (met with room). What is
// missed is hatched too and what has no answer is dotted: nothing is said by colour alone.
import { useEffect, useRef, useState } from "preact/hooks";
import { plainTick } from "./chart";
import { nearest } from "./series";
import { axis } from "./units";

export interface Edge { path: string; name: string; dimension: string; at: number[]; now: number }
interface ZeroLine { title: string; across: number[]; upwards: number[]; closed: boolean }
export interface Plane {
  across: Edge; upwards: Edge; least: (number | null)[];
  lines: ZeroLine[];
  chosen: [number, number]; onPick: (i: number, k: number) => void; say: string;
}

const WIDEST = 760, HIGH_SHARE = 0.62, LEAST_HIGH = 300, LEFT = 58, RIGHT = 14, TOP = 12, FOOT = 50;
const MARKS = [-100, -30, -10, -3, -1, -0.3, 0, 0.3, 1, 3, 10, 30, 100]; // of the legend
const BEND = 0.3; // margins beyond are told apart by their ratio more than by their difference

// ---- colour ----

type Lab = [number, number, number];
const MISSED: Lab = [0.36, -0.03, -0.13], JUST: Lab = [0.67, 0, 0.01], MET: Lab = [0.94, -0.02, 0.16];

/** Oklab to sRGB. Björn Ottosson, "A perceptual color space for image processing", 2020, the matrices (memory, to be verified). */
function rgb([L, a, b]: Lab): string {
  const l = (L + 0.3963377774 * a + 0.2158037573 * b) ** 3, m = (L - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (L - 0.0894841775 * a - 1.291485548 * b) ** 3;
  const linear = [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
  const companded = (c: number) => c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055; // IEC 61966-2-1 (memory, to be verified)
  const byte = (c: number) => Math.round(255 * Math.min(1, Math.max(0, companded(c))));
  return `rgb(${linear.map(byte).join(" ")})`;
}

interface Ends { missed: number; met: number }
/** How far margins go on either side, a whole limit at the least, so that what is nearly met is never drawn as far. */
const endsOf = (least: (number | null)[]): Ends =>
  least.reduce((e, m) => ({ missed: Math.max(e.missed, -(m ?? 0)), met: Math.max(e.met, m ?? 0) }), { missed: 1, met: 1 });

/** Of a margin counted in its limit. */
function colour(margin: number, ends: Ends): string {
  const to = margin < 0 ? MISSED : MET, far = margin < 0 ? ends.missed : ends.met;
  const share = Math.min(1, Math.asinh(Math.abs(margin) / BEND) / Math.asinh(far / BEND));
  return rgb([0, 1, 2].map(i => (JUST[i] ?? 0) + share * ((to[i] ?? 0) - (JUST[i] ?? 0))) as Lab);
}

// ---- places ----

/** Where cells begin and end: halfway between points. */
function edges(at: number[]): number[] {
  const out = [at[0] ?? 0];
  for (let i = 1; i < at.length; i++) out.push(((at[i - 1] ?? 0) + (at[i] ?? 0)) / 2);
  out.push(at[at.length - 1] ?? 1);
  return out;
}

function ticks(low: number, high: number, most: number): number[] {
  const rough = (high - low) / most || 1, ten = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map(k => k * ten).find(s => s >= rough) ?? rough, out: number[] = [];
  for (let v = Math.ceil(low / step - 1e-9) * step; v <= high + step * 1e-9; v += step) out.push(Number(v.toPrecision(10)));
  return out;
}

interface Place { x: (v: number) => number; y: (v: number) => number; wide: number; high: number }

function places(p: Plane, wide: number): Place {
  const high = Math.max(LEAST_HIGH, wide * HIGH_SHARE), [a0, a1] = ends(p.across), [b0, b1] = ends(p.upwards);
  return {
    wide, high,
    x: v => LEFT + (v - a0) / (a1 - a0 || 1) * (wide - LEFT - RIGHT),
    y: v => high - FOOT - (v - b0) / (b1 - b0 || 1) * (high - FOOT - TOP),
  };
}
const ends = (e: Edge): [number, number] => [e.at[0] ?? 0, e.at[e.at.length - 1] ?? 1];

// ---- drawn ----

function Cells({ p, of }: { p: Plane; of: Place }) {
  const far = endsOf(p.least), xs = edges(p.across.at).map(of.x), ys = edges(p.upwards.at).map(of.y), n = p.across.at.length;
  const px = (v: number | undefined) => (v ?? 0).toFixed(1);
  const square = (j: number) => {
    const i = j % n, k = Math.floor(j / n);
    return `M${px(xs[i])} ${px(ys[k + 1])}H${px(xs[i + 1])}V${px(ys[k])}H${px(xs[i])}z`;
  };
  const which = (test: (m: number | null) => boolean) => p.least.map((m, j) => test(m) ? square(j) : "").join("");
  return (
    <g>
      <g shape-rendering="crispEdges">
        {p.least.map((m, j) => m !== null && <path key={j} d={square(j)} fill={colour(m, far)} />)}
      </g>
      <path class="missed" d={which(m => m !== null && m < 0)} fill="url(#hatch)" />
      <path class="none" d={which(m => m === null)} fill="url(#dots)" />
    </g>
  );
}

function Axes({ p, of }: { p: Plane; of: Place }) {
  const a = axis(ends(p.across)[1], p.across.dimension), b = axis(ends(p.upwards)[1], p.upwards.dimension);
  const [a0, a1] = ends(p.across).map(a.to) as [number, number], [b0, b1] = ends(p.upwards).map(b.to) as [number, number];
  const name = (e: Edge, unit: string) => `${e.name}${unit ? `, ${unit}` : ""}`;
  return (
    <g class="axes">
      {ticks(a0, a1, of.wide / 90).map(t => <text key={t} x={of.x(a.from(t))} y={of.high - FOOT + 17} text-anchor="middle">{plainTick(t)}</text>)}
      {ticks(b0, b1, of.high / 60).map(t => <text key={t} x={LEFT - 6} y={of.y(b.from(t)) + 4} text-anchor="end">{plainTick(t)}</text>)}
      <text x={(LEFT + of.wide - RIGHT) / 2} y={of.high - 12} text-anchor="middle">{name(p.across, a.unit)}</text>
      <text transform={`translate(13 ${(of.high - FOOT + TOP) / 2}) rotate(-90)`} text-anchor="middle">{name(p.upwards, b.unit)}</text>
    </g>
  );
}

function ZeroLines({ p, of }: { p: Plane; of: Place }) {
  const at = (l: ZeroLine, i: number) => `${of.x(l.across[i] ?? 0).toFixed(1)} ${of.y(l.upwards[i] ?? 0).toFixed(1)}`;
  const d = (l: ZeroLine) => l.across.map((_, i) => `${i ? "L" : "M"}${at(l, i)}`).join("") + (l.closed ? "z" : "");
  const titles = [...new Set(p.lines.map(l => l.title))];
  return (
    <g class="zero">
      {p.lines.map((l, i) => <path key={i} class="halo" d={d(l)} />)}
      {p.lines.map((l, i) => <path key={i} class="line" d={d(l)} />)}
      {titles.map((t, n) => {
        const l = p.lines.filter(l => l.title === t).sort((a, b) => b.across.length - a.across.length)[0];
        const i = Math.floor((l?.across.length ?? 0) * (0.15 + 0.7 * (n % 5) / 4)); // not all in one place
        return l && <g key={t} class="number" transform={`translate(${at(l, i)})`}><circle r="9" /><text y="4" text-anchor="middle">{n + 1}</text></g>;
      })}
    </g>
  );
}

function Marks({ p, of }: { p: Plane; of: Place }) {
  const inside = (v: number, e: Edge) => v >= ends(e)[0] && v <= ends(e)[1];
  const here = inside(p.across.now, p.across) && inside(p.upwards.now, p.upwards);
  const [i, k] = p.chosen, chosenIsNow = here && i === nearest(p.across.at, p.across.now) && k === nearest(p.upwards.at, p.upwards.now);
  return (
    <g class="marks">
      {!chosenIsNow && <g transform={`translate(${of.x(p.across.at[i] ?? 0) - 9} ${of.y(p.upwards.at[k] ?? 0) - 9})`}>
        <rect class="halo" width="18" height="18" /><rect width="18" height="18" />
      </g>}
      {here && <g transform={`translate(${of.x(p.across.now)} ${of.y(p.upwards.now)})`}>
        <path class="halo" d="M-14 0H14M0 -14V14" /><path d="M-14 0H14M0 -14V14" />
      </g>}
    </g>
  );
}

export function Patterns() {
  return (
    <defs>
      <pattern id="hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="stripe" width="1.6" height="7" /></pattern>
      <pattern id="dots" width="8" height="8" patternUnits="userSpaceOnUse"><circle class="dot" cx="3" cy="3" r="1.3" /></pattern>
    </defs>
  );
}

/** The nearest point of each axis to where the pointer is. */
function picked(e: MouseEvent, p: Plane, of: Place): [number, number] {
  const r = (e.currentTarget as Element).getBoundingClientRect(), scale = of.wide / r.width;
  const x = (e.clientX - r.left) * scale, y = (e.clientY - r.top) * scale;
  return [nearest(p.across.at.map(of.x), x), nearest(p.upwards.at.map(of.y), y)];
}

export function PlaneOf({ p }: { p: Plane }) {
  const into = useRef<HTMLDivElement>(null), [wide, setWide] = useState(600);
  useEffect(() => {
    const watch = new ResizeObserver(([e]) => {
      if (e && e.contentRect.width > 0) setWide(Math.min(WIDEST, e.contentRect.width));
    });
    if (into.current) watch.observe(into.current);
    return () => watch.disconnect();
  }, []);
  const of = places(p, wide);
  return (
    <div class="plane" ref={into}>
      <svg viewBox={`0 0 ${of.wide} ${of.high}`} width={of.wide} height={of.high} role="img" aria-label={p.say} onClick={e => p.onPick(...picked(e, p, of))}>
        <Patterns />
        <Cells p={p} of={of} />
        <ZeroLines p={p} of={of} />
        <rect class="frame" x={LEFT} y={TOP} width={of.wide - LEFT - RIGHT} height={of.high - FOOT - TOP} />
        <Axes p={p} of={of} />
        <Marks p={p} of={of} />
      </svg>
    </div>
  );
}

export function ScaleLegend({ least }: { least: (number | null)[] }) {
  const w = 36, far = endsOf(least), marks = MARKS.filter(m => m >= -far.missed * 1.01 && m <= far.met * 1.01);
  return (
    <svg class="scale" viewBox={`0 0 ${w * marks.length + 2} 40`} width={w * marks.length + 2} height="40" role="img"
      aria-label="Colours: dark blue and hatched, missed by far; grey, just met; yellow, met with room. Margins are counted in their limits.">
      {marks.map((m, i) => (
        <g key={m} transform={`translate(${1 + i * w} 0)`}>
          <rect width={w} height="18" fill={colour(m, far)} />
          {m < 0 && <rect width={w} height="18" fill="url(#hatch)" />}
          <text x={w / 2} y="34" text-anchor="middle">{plainTick(m)}</text>
        </g>
      ))}
    </svg>
  );
}
