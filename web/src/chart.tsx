// SPDX-License-Identifier: MIT
// chart.tsx: curves on axes, with levels, moments and dots. The canvas takes its colours from the style sheet.
import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import { effect, type Signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";

export interface Line { name: string; y: (number | null)[]; tone: number; bold?: boolean }
export interface Scale { words: string; kind?: "log" | "bent"; low?: number; high?: number; clock?: "day" | "days" }
export interface Picture {
  x: number[]; lines: Line[]; across: Scale; up: Scale;
  levels?: { y: number; words: string }[];
  moments?: { x: number; words: string }[];
  dots?: { x: number; y: number; words: string }[];
}

const FONT = "13px system-ui, sans-serif";
export const TONES = 8;
const DASH: number[][] = [[], [9, 4], [2, 3], [12, 3, 2, 3], [5, 2], [16, 4], [2, 6], [9, 3, 2, 3, 2, 3]]; // as in bench.css
const BENT_ONE = 0.3;   // about where the bent scale turns from linear to logarithmic
const ROW = 15;         // of the words over moments, px
const PAPER_WIDTH = 660; // px: what a printed page has

// ---- colours ----

const css = (name: string) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
const tone = (i: number) => css(`--tone-${i % TONES}`);

// ---- axes ----

const CLOCK_STEPS = [1 / 12, 1 / 6, 0.25, 0.5, 1, 2, 3, 6, 12, 24];
export function clock(hours: number): string {
  const minutes = Math.round(hours * 60);
  const two = (n: number) => String(n).padStart(2, "0");
  return `${two(Math.floor(minutes / 60) % 24)}:${two(minutes % 60)}`;
}

export const plainTick = (v: number) => v === 0 ? "0" : Number(v.toPrecision(4)).toString().replace(/-/g, "\u2212");

/** Powers of ten far from one, as such. */
function powerTick(v: number): string {
  const e = Math.round(Math.log10(v));
  const raised = [...String(e)].map(c => c === "-" ? "\u207b" : "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079"[Number(c)]);
  return Math.abs(e) < 4 ? plainTick(v) : `10${raised.join("")}`;
}

function decades(low: number, high: number): number[] {
  const from = Math.ceil(Math.log10(low) - 1e-9), to = Math.floor(Math.log10(high) + 1e-9), step = Math.ceil((to - from + 1) / 6);
  const out: number[] = [];
  for (let e = from; e <= to; e += step) out.push(Number(`1e${e}`));
  return out;
}

const bent = (low: number, high: number) => [-1000, -100, -10, -1, 0, 1, 10, 100, 1000].filter(v => v >= low && v <= high);

function axis(of: () => Scale, side: number): uPlot.Axis {
  const kind = of().kind;
  const a: uPlot.Axis = {
    side, stroke: () => css("--chart-ink"), font: FONT, size: side === 2 ? 34 : 58, gap: 4,
    grid: { stroke: () => css("--chart-grid"), width: 1 }, ticks: { show: false },
    values: (_u, splits) => splits.map((v: number | null) => v === null ? "" : of().clock === "days" && v % 24 === 0 ? `day ${v / 24 + 1}` : of().clock ? clock(v) : kind === "log" ? powerTick(v) : plainTick(v)),
  };
  if (of().clock) a.incrs = CLOCK_STEPS;
  if (kind) a.filter = (_u, splits) => splits; // all of what `splits` chooses
  if (kind === "log") a.splits = (_u, _i, low, high) => decades(low, high);
  if (kind === "bent") a.splits = (_u, _i, low, high) => bent(low, high);
  if (side === 2) { a.space = of().clock ? 52 : 60; } else { a.space = 30; }
  return a;
}

const DISTRIBUTION = { even: 1, log: 3, bent: 4 } as const; // uPlot's numbers

function widths(p: Picture): [number, number] {
  const from = p.across.low ?? p.x[0] ?? 0, to = p.across.high ?? p.x[p.x.length - 1] ?? 1;
  return [from, to > from ? to : from + 1];
}

function range(p: Picture, low: number | null, high: number | null): [number, number] {
  const s = p.up, heights = [...(p.levels ?? []), ...(p.dots ?? [])].map(l => l.y);
  let a = Math.min(low ?? Infinity, ...heights), b = Math.max(high ?? -Infinity, ...heights);
  if (!Number.isFinite(a) || !Number.isFinite(b)) [a, b] = s.kind === "log" ? [0.1, 1] : [0, 1];
  if (s.kind === "log") {
    a = s.low ?? a; b = s.high ?? b;
    return [10 ** Math.floor(Math.log10(a) + 1e-9), 10 ** Math.ceil(Math.log10(b * 1.2))];
  }
  if (s.kind === "bent") return [Math.min(a * 1.3, -1), Math.max(b * 1.3, 1)];
  const [from, to] = uPlot.rangeNum(a, b > a ? b : a + 1, 0.08, true) as [number, number];
  return [s.low ?? from, s.high ?? to];
}

// ---- over the curves ----

function words(c: CanvasRenderingContext2D, text: string, x: number, y: number, align: CanvasTextAlign): void {
  c.textAlign = align;
  c.lineWidth = 4 * uPlot.pxRatio;
  c.strokeStyle = css("--chart-ground"); // a halo
  c.lineJoin = "round";
  c.strokeText(text, x, y);
  c.fillStyle = css("--chart-ink");
  c.fillText(text, x, y);
}

function drawLevels(u: uPlot, p: Picture): void {
  const { ctx: c, bbox: b } = u, r = uPlot.pxRatio, taken: number[] = [];
  for (const l of p.levels ?? []) {
    const y = u.valToPos(l.y, "y", true);
    if (y < b.top - 1 || y > b.top + b.height + 1) continue;
    c.strokeStyle = css("--chart-level");
    c.lineWidth = 1.5 * r;
    c.setLineDash([6 * r, 4 * r]);
    c.beginPath(); c.moveTo(b.left, y); c.lineTo(b.left + b.width, y); c.stroke();
    c.setLineDash([]);
    const at = y + (y - b.top < 18 * r ? 14 : -5) * r;
    if (taken.some(t => Math.abs(t - at) < ROW * r)) continue; // the list below the chart has them all
    taken.push(at);
    words(c, l.words, b.left + b.width - 4 * r, at, "right");
  }
}

function drawMoments(u: uPlot, p: Picture, labels: boolean): void {
  const { ctx: c, bbox: b } = u, r = uPlot.pxRatio, ends: number[] = [];
  for (const m of p.moments ?? []) {
    const x = u.valToPos(m.x, "x", true);
    if (x < b.left - 1 || x > b.left + b.width + 1) continue;
    c.strokeStyle = css("--chart-ink");
    c.lineWidth = r;
    c.setLineDash([r, 3 * r]);
    c.beginPath(); c.moveTo(x, b.top); c.lineTo(x, b.top + b.height); c.stroke();
    c.setLineDash([]);
    if (!labels) continue;
    const wide = c.measureText(m.words).width, left = Math.min(Math.max(x - wide / 2, b.left), b.left + b.width - wide);
    let row = 0;
    while (row < ends.length && (ends[row] ?? 0) > left) row++;
    if (row > 2) continue; // the list beside the chart has them all
    ends[row] = left + wide + 8 * r;
    words(c, m.words, left, b.top - (5 + row * ROW) * r, "left");
  }
}

function drawDots(u: uPlot, p: Picture): void {
  const { ctx: c, bbox: b } = u, r = uPlot.pxRatio;
  for (const d of p.dots ?? []) {
    const x = u.valToPos(d.x, "x", true), y = u.valToPos(d.y, "y", true);
    c.beginPath(); c.arc(x, y, 6 * r, 0, 2 * Math.PI);
    c.fillStyle = css("--chart-ground"); c.fill();
    c.lineWidth = 3 * r; c.strokeStyle = css("--chart-ink"); c.stroke();
    const right = x < b.left + b.width / 2; // beside the dot, where falling and rising curves leave room
    words(c, d.words, x + (right ? 14 : -14) * r, y + 4 * r, right ? "left" : "right");
  }
}

// ---- one chart ----

const all = new Set<{ repaint: (width?: number) => void }>();
const dark = matchMedia("(prefers-color-scheme: dark)");
dark.addEventListener("change", () => all.forEach(c => c.repaint()));
addEventListener("beforeprint", () => { // paper is white, and narrower than most screens
  document.documentElement.classList.add("paper");
  all.forEach(c => c.repaint(PAPER_WIDTH));
});
addEventListener("afterprint", () => {
  document.documentElement.classList.remove("paper");
  all.forEach(c => c.repaint());
});

const structure = (p: Picture) => JSON.stringify([p.lines.map(l => [l.tone, l.bold]), p.across.clock, p.up.kind, !p.moments?.length]);

interface Shown { picture: Picture; height: number; labels: boolean; onPick?: ((x: number) => void) | undefined; cursor?: Signal<number> | undefined }

class Drawn {
  private readonly plot: uPlot;
  private readonly line = document.createElement("div");
  private readonly kind: string;
  private readonly watch: ResizeObserver;
  private readonly end: () => void;

  constructor(private readonly into: HTMLElement, private shown: Shown) {
    const p = () => this.shown.picture;
    this.kind = structure(p());
    const labels = shown.labels && (p().moments?.length ?? 0) > 0;
    const scales: uPlot.Scales = {
      x: { time: false, range: () => widths(p()) },
      y: { distr: DISTRIBUTION[p().up.kind ?? "even"], asinh: BENT_ONE, range: (_u, low, high) => range(p(), low, high) },
    };
    this.plot = new uPlot({
      width: Math.max(into.clientWidth, 100), height: shown.height, legend: { show: false }, cursor: { show: false }, scales,
      padding: [labels ? 3 * ROW + 8 : 12, 20, 0, 0],
      axes: [axis(() => p().across, 2), axis(() => p().up, 3)],
      series: [{}, ...p().lines.map(l => ({
        stroke: () => tone(l.tone), width: l.bold ? 3.5 : 2, dash: DASH[l.tone % TONES] ?? [], points: { show: p().x.length < 12 }, spanGaps: false,
      }))],
      hooks: {
        draw: [u => {
          u.ctx.save();
          u.ctx.setLineDash([]);
          u.ctx.textBaseline = "alphabetic";
          u.ctx.font = FONT.replace("13", String(13 * uPlot.pxRatio));
          drawLevels(u, p()); drawMoments(u, p(), this.shown.labels); drawDots(u, p());
          u.ctx.restore();
          this.place();
        }],
      },
    }, this.data(), into);
    this.line.className = "at";
    this.plot.over.append(this.line);
    this.plot.over.addEventListener("pointermove", e => { if (this.shown.cursor) this.shown.cursor.value = this.plot.posToVal(e.offsetX, "x"); });
    this.plot.over.addEventListener("click", e => this.shown.onPick?.(this.plot.posToVal(e.offsetX, "x")));
    this.end = effect(() => { void this.shown.cursor?.value; this.place(); });
    this.watch = new ResizeObserver(() => { if (into.clientWidth > 0 && into.clientWidth !== this.plot.width) this.repaint(); });
    this.watch.observe(into);
    all.add(this);
  }

  private data(): uPlot.AlignedData {
    return [this.shown.picture.x, ...this.shown.picture.lines.map(l => l.y)];
  }

  private place(): void {
    const x = this.shown.cursor?.peek();
    this.line.hidden = x === undefined;
    if (x !== undefined) this.line.style.transform = `translateX(${this.plot.valToPos(x, "x")}px)`;
  }

  /** False when it must be drawn from the beginning. */
  show(s: Shown): boolean {
    if (structure(s.picture) !== this.kind || s.height !== this.shown.height) return false;
    this.shown = s;
    this.plot.setData(this.data());
    return true;
  }

  repaint(width = this.into.clientWidth): void {
    if (width > 0 && width !== this.plot.width) this.plot.setSize({ width, height: this.shown.height });
    else this.plot.redraw(false, true);
  }

  remove(): void {
    all.delete(this);
    this.watch.disconnect();
    this.end();
    this.plot.destroy();
  }
}

/** `say`: what the chart shows, for who cannot see it. `cursor`: an x that is marked and follows the pointer. */
export function Chart({ say, height = 230, labels = false, ...rest }: { say: string } & Pick<Shown, "picture" | "onPick" | "cursor"> & Partial<Shown>) {
  const into = useRef<HTMLDivElement>(null);
  const drawn = useRef<Drawn | null>(null);
  const shown = { ...rest, height, labels };
  useEffect(() => {
    if (drawn.current?.show(shown)) return;
    drawn.current?.remove();
    drawn.current = into.current ? new Drawn(into.current, shown) : null;
  });
  useEffect(() => () => drawn.current?.remove(), []);
  return <div class={rest.onPick ? "chart pick" : "chart"} role="img" aria-label={say} ref={into} data-height={height} />;
}

export function Swatch({ tone: of }: { tone: number }) {
  return <svg class={`swatch tone-${of % TONES}`} width="34" height="10" aria-hidden="true"><line x1="1" y1="5" x2="33" y2="5" /></svg>;
}

/** The curves by name, with their values where the cursor is. */
export function Legend({ items }: { items: { name: string; tone: number; value?: string }[] }) {
  return (
    <ul class="legend">
      {items.map(i => <li key={i.name}><Swatch tone={i.tone} /> {i.name}{i.value !== undefined && <b>{i.value}</b>}</li>)}
    </ul>
  );
}
