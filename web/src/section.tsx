// SPDX-License-Identifier: MIT
// section.tsx: the box cut open from front to back, to scale, with its cleaner behind it; what can be moved is moved there.
// To scale: the box, heights of gaps and ports, widths of ducts, the bed. Drawn for legibility: walls (at least 4 px), how ducts
// run, particle stage, blower, and where along a wall a gap lies, which the design does not say.
import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { change, drawn, held, parts, words } from "./desk";
import { inkOn, legend, temperatureColour } from "./colour";
import { Handle, valueOf } from "./handle";
import { StateChoice } from "./house";
import { moving, SLOWER, speedIn, Streaks } from "./streaks";
import { shown } from "./units";
import { Traced } from "./verdicts";
import type { Face, Gap, GapFlow, Num, Parts, Stage, StageFlow, State } from "./types";

const LEAST_WIDTH = 300, MOST_WIDTH = 980, TALLEST = 420, NARROW = 480, SMALL = 170;
const TOP = 74, BELOW = 62; // px over and under the box
const WALL_LEAST = 4, JET = 46, MEDIUM_PX = 40, BLOWER_PX = 56, STAGE_SPACE = 18, BED_CASE = 16;
/** px beside the box; between box and cleaner; what the cleaner takes at least: as little as arrows and words need on a phone. */
const ROOMY = { left: 74, right: 92, neck: 46, stage: 84 }, TIGHT = { left: 60, right: 82, neck: 22, stage: 52 };
const SEALED = 0.1;    // of its open area: what tape or a lip leaves, as the advice of a check counts it
const OUT_LEAST = 1e-12; // m3/s: less is rounding

interface Frame { parts: Parts; state: State; w: number; edge: typeof ROOMY; scale: number; x: number; y: number; bw: number; bh: number; wall: number; cx: number; across: number }

// ---- layout ----

const across = (s: Stage): number => s.kind !== "bed" ? 0 : s.diameter ? valueOf(s.diameter) : Math.sqrt(s.area?.value ?? 0);
const widest = (p: Parts) => Math.max(0, ...(p.cleaner?.stages.map(across) ?? []));

/** While a wall is in the hand: scale, floor and back wall. What is dragged must stay under the hand, and nothing else may run away from it. */
let frozen: { scale: number; floor: number; back: number } | null = null;

function frameOf(parts: Parts, state: State, width: number): Frame {
  const b = parts.box, w = Math.min(MOST_WIDTH, Math.max(LEAST_WIDTH, width));
  const edge = w < NARROW ? TIGHT : ROOMY;
  const free = w - edge.left - edge.right - (parts.cleaner ? edge.neck : 0);
  const fits = parts.cleaner ? [(free - edge.stage) / valueOf(b.depth), (free - BED_CASE) / (valueOf(b.depth) + widest(parts))] : [free / valueOf(b.depth)];
  const fit = Math.min(...fits, TALLEST / valueOf(b.height));
  const still = held.value?.path.startsWith("box.inside") ? frozen : null, scale = still?.scale ?? fit;
  const bw = valueOf(b.depth) * scale, bh = valueOf(b.height) * scale;
  const thickest = Math.max(0, ...b.walls.map(x => x.thickness?.value ?? 0));
  const wall = Math.max(WALL_LEAST, thickest * scale);
  const column = Math.max(edge.stage, widest(parts) * scale + BED_CASE);
  const middle = edge.left + Math.max(0, (free - bw - (parts.cleaner ? column : 0)) / 2);
  const x = still ? still.back - bw : middle, y = still ? still.floor - bh : TOP;
  if (!still) frozen = { scale, floor: y + bh, back: x + bw };
  return { parts, state, w, edge, scale, x, y, bw, bh, wall, cx: x + bw + edge.neck + column / 2, across: column };
}

const level = (f: Frame, height: number) => f.y + f.bh - height * f.scale;

// ---- gaps ----

interface Mark { gap: Gap; flow: GapFlow; number: number; x: number; top: number; bottom: number; nx: number; ny: number; outward: boolean }

/** Left and right walls lie in the plane of the paper: their gaps are drawn on it. */
const normals: Record<Face, [number, number]> = { front: [-1, 0], back: [1, 0], top: [0, -1], bottom: [0, 1], left: [-0.7, 0.7], right: [0.7, 0.7] };

function marksOf(f: Frame): Mark[] {
  const seen: Partial<Record<Face, number>> = {}, of: Partial<Record<Face, number>> = {};
  for (const g of f.parts.box.gaps) of[g.face] = (of[g.face] ?? 0) + 1;
  return f.parts.box.gaps.flatMap((gap, i) => {
    const flow = f.state.gaps[i];
    if (!flow) return [];
    const nth = seen[gap.face] = (seen[gap.face] ?? 0) + 1;
    const share = nth / ((of[gap.face] ?? 0) + 1);
    const at = valueOf(gap.height), rise = gap.rise ? valueOf(gap.rise) : 0;
    const [nx, ny] = normals[gap.face];
    let x = f.x + f.bw * share, top = level(f, at + rise), bottom = level(f, at);
    if (gap.face === "front") x = f.x;
    if (gap.face === "back") x = f.x + f.bw;
    if (gap.face === "top") top = bottom = f.y;
    if (gap.face === "bottom") top = bottom = f.y + f.bh;
    return [{ gap, flow, number: i + 1, x, top, bottom, nx, ny, outward: (flow.out_m3s ?? 0) > OUT_LEAST }];
  });
}

/** Which way the air goes. Air that stands still is no pull inward. */
function wayOf(m: Mark): "out" | "in" | "no air moves" | "unknown" {
  if (m.outward) return "out";
  return m.flow.in_m3s === null ? "unknown" : m.flow.in_m3s > OUT_LEAST ? "in" : "no air moves";
}

function wayWords(m: Mark): string {
  const way = wayOf(m);
  return way === "out" ? `leaks outward, ${shown(m.flow.out_m3s, "volume_flow")}` : way === "in" ? `inward, ${shown(m.flow.in_m3s, "volume_flow")}` : way;
}

function jet(m: Mark, y: number, inward: boolean): string {
  const ax = m.x + m.nx * JET, ay = y + m.ny * JET, bx = m.x - m.nx * JET * 0.7, by = y - m.ny * JET * 0.7;
  return inward ? `M${ax} ${ay}L${bx} ${by}` : `M${bx} ${by}L${ax} ${ay}`;
}

/** What sealing left of each gap: tape over tape makes nothing tighter, so a gap is sealed once; a size typed since is another. */
const taped = new Map<string, number>();
const isTaped = (g: Gap) => Math.abs((taped.get(g.name) ?? NaN) / g.size!.value - 1) < 1e-3;
const sealable = (g: Gap) => g.size?.written === true && !isTaped(g);

function seal(g: Gap): void {
  if (!sealable(g)) return;
  const size = g.size!.value * SEALED ** (1 / g.area_power);
  taped.set(g.name, size);
  void change([{ path: g.size!.path, value: size, range: "scaled" }], `seal ${g.name}`);
}

/** An arrow whose shape alone says that air leaves: double, barred, with the word. */
function OutArrow({ m }: { m: Mark }) {
  const y = m.top, turn = Math.atan2(m.ny, m.nx) * 180 / Math.PI;
  return (
    <g class="outward" aria-hidden="true">
      <g transform={`translate(${m.x} ${y}) rotate(${turn})`}>
        <path d="M4 -7h14v-7l16 14l-16 14v-7h-14z" />
        <path d="M40 -12l12 12l-12 12" class="second" />
      </g>
      <text x={m.x + m.nx * 44 + (m.nx ? 0 : 34)} y={y + m.ny * 46 - (m.nx ? 20 : 0)} text-anchor="middle">OUT</text>
    </g>
  );
}

function GapMark({ f, m }: { f: Frame; m: Mark }) {
  const v = m.flow.inward_velocity_ms, both = m.outward && (m.flow.in_m3s ?? 0) > OUT_LEAST;
  const canSeal = sealable(m.gap);
  const level_ = m.bottom - m.top < 2;
  const line = level_ && (m.gap.face === "top" || m.gap.face === "bottom") ? `M${m.x - 9} ${m.top}h18` : `M${m.x} ${level_ ? m.top - 3 : m.top}V${level_ ? m.bottom + 3 : m.bottom}`;
  const bx = m.x - m.nx * 22 - (m.nx ? 0 : 0), by = (m.top + m.bottom) / 2 - m.ny * 22;
  const said = `${m.number} ${m.gap.name}: ${wayWords(m)}`;
  const label = canSeal ? `Seal ${said}. To a tenth of its open area.` : `${said}. ${m.gap.size?.written ? "It is sealed." : "The file does not write its size."}`;
  return (
    <g class={m.outward ? "gap out" : "gap"}>
      <title>{label}</title>
      <Streaks d={jet(m, m.bottom, true)} flow={m.flow.in_m3s} velocity={m.outward && !both ? 0 : v} scale={f.scale} kind="in" />
      {m.outward && <Streaks d={jet(m, m.top, false)} flow={m.flow.out_m3s} velocity={v} scale={f.scale} kind="out" />}
      <path class="slit" d={line} />
      {m.outward && <OutArrow m={m} />}
      <g class="badge" role="button" tabindex={canSeal ? 0 : -1} aria-disabled={!canSeal} aria-label={label}
        onClick={() => seal(m.gap)} onKeyDown={e => { if (e.key === "Enter" || e.key === " ") { e.preventDefault(); seal(m.gap); } }}>
        <circle class="reach" cx={bx} cy={by} r={12} />
        <circle cx={bx} cy={by} r={10} />
        <text x={bx} y={by + 4} text-anchor="middle">{m.number}</text>
      </g>
    </g>
  );
}

// ---- the box ----

function Box({ f }: { f: Frame }) {
  const { x, y, bw, bh, wall } = f;
  const T = f.state.box_temperature_K, panel = (face: Face) => f.state.panels.find(p => p.face === face);
  const colour = (face: Face) => { const p = panel(face); return p ? temperatureColour((p.inside_K + p.outside_K) / 2) : "transparent"; };
  const door = f.parts.box.door, neutral = f.state.neutral_height_m;
  const small = bw < SMALL; // no room for words: they stand under the drawing too
  const crossed = neutral !== null && neutral > 0 && neutral < valueOf(f.parts.box.height);
  const warm = T >= (f.state.rooms.find(r => r.name === f.parts.box.room)?.temperature_K ?? 0), side = warm ? "above" : "below";
  const low = crossed && level(f, neutral!) > y + bh * 0.5; // words keep clear of the line
  const wordsAt = crossed || small ? y + bh * (low ? 0.3 : 0.72) : y + bh * 0.5;
  return (
    <g class="box">
      <rect x={x} y={y} width={bw} height={bh} fill={temperatureColour(T)} />
      <rect class="wall" x={x - wall} y={y - wall} width={bw + 2 * wall} height={wall} fill={colour("top")} />
      <rect class="wall" x={x - wall} y={y + bh} width={bw + 2 * wall} height={wall} fill={colour("bottom")} />
      <rect class="wall" x={x - wall} y={y} width={wall} height={bh} fill={colour("front")} />
      <rect class="wall" x={x + bw} y={y} width={wall} height={bh} fill={colour("back")} />
      {door && (door.face === "front" || door.face === "back") &&
        <rect class="door" x={door.face === "front" ? x - wall - 3 : x + bw} y={level(f, valueOf(door.sill) + valueOf(door.height))} width={wall + 3}
          height={valueOf(door.height) * f.scale} />}
      {crossed && <g class="neutral"><path d={`M${x} ${level(f, neutral!)}h${bw}`} />
        {!small && <text x={x + bw / 2} y={level(f, neutral!) - 6} text-anchor="middle" fill={inkOn(T)}>{bw > 220 ? `${side} this line the air pushes out` : `pushes out ${side}`}</text>}</g>}
      <text class={small ? "" : "big"} x={x + bw / 2} y={wordsAt} text-anchor="middle" fill={inkOn(T)}>{shown(T, "temperature")}</text>
      {!small && <text x={x + bw / 2} y={wordsAt + 19} text-anchor="middle" fill={inkOn(T)}>{shown(f.state.box_pressure_Pa, "pressure")} at the floor</text>}
    </g>
  );
}

function Walls({ f }: { f: Frame }) {
  const b = f.parts.box, { x, y, bw, bh } = f;
  const old = valueOf(b.height), lid = x + Math.min(bw * 0.82, bw - 24); // clear of the seams of the lid
  const lids = b.gaps.filter(g => g.face === "top" && g.height.written);
  const along = (height: number) => [
    ...lids.map(g => ({ path: g.height.path, value: height })),
    ...[f.parts.cleaner?.inlet.height, f.parts.cleaner?.return?.height].flatMap(n => n && n.written && n.value > height ? [{ path: n.path, value: height }] : []),
  ];
  return (
    <>
      <Handle num={b.height} range={[0.1, Math.max(1.2, old)]} label="Height of the box" x={lid} y={y} scaled along={along}
        at={(_, py) => (f.y + f.bh - py) / f.scale}>
        <rect class="grip" x={lid - 22} y={y - 7} width={44} height={14} rx={7} />
      </Handle>
      <Handle num={b.depth} range={[0.1, Math.max(1.2, valueOf(b.depth))]} label="Depth of the box" x={x} y={y + bh * 0.82} scaled
        at={px => (f.x + f.bw - px) / f.scale}>
        <rect class="grip" x={x - 7} y={y + bh * 0.82 - 22} width={14} height={44} rx={7} />
      </Handle>
    </>
  );
}

// ---- the cleaner ----

interface Placed { stage: Stage; flow: StageFlow | undefined; from: number; to: number }

/** Stages from the inlet downward (or upward, when the return lies above), each with its space. */
function columnOf(f: Frame): { placed: Placed[]; dir: number; start: number; end: number } {
  const c = f.parts.cleaner!;
  const inlet = level(f, valueOf(c.inlet.height)), back = c.return ? level(f, valueOf(c.return.height)) : f.y + f.bh;
  const dir = back >= inlet ? 1 : -1;
  let at = inlet + dir * 26;
  const placed = c.stages.map((stage, i) => {
    const size = stage.kind === "medium" ? MEDIUM_PX : stage.kind === "blower" ? BLOWER_PX : Math.max(3, valueOf(stage.depth!) * f.scale);
    const from = at, to = at + dir * size;
    at = to + dir * STAGE_SPACE;
    return { stage, flow: f.state.stages[i], from, to };
  });
  return { placed, dir, start: inlet, end: at + dir * 14 };
}

function Pleats({ x, y, w, h }: { x: number; y: number; w: number; h: number }) {
  const n = 9, step = w / n;
  const d = Array.from({ length: n }, (_, i) => `L${x + (i + 0.5) * step} ${y + (i % 2 ? h - 5 : 5)}`).join("");
  return <><rect class="case" x={x} y={y} width={w} height={h} /><path class="pleat" d={`M${x} ${y + h / 2}${d}L${x + w} ${y + h / 2}`} /></>;
}

function StageDrawn({ f, p, dir }: { f: Frame; p: Placed; dir: number }) {
  const { stage } = p, top = Math.min(p.from, p.to), h = Math.abs(p.to - p.from), cx = f.cx;
  const loss = p.flow?.loss_Pa, rise = p.flow?.rise_Pa;
  const gain = rise ?? -(loss ?? NaN); // a blower that stands still takes pressure away
  const name = <text class="tag" x={cx + f.across / 2 + 6} y={top + h / 2 + 4}>{`${gain > 0 ? "+" : "−"}${shown(Math.abs(gain), "pressure")}`}</text>;
  if (stage.kind === "medium") return <g class="stage"><title>{`${stage.name}: ${stage.record}`}</title><Pleats x={cx - f.edge.stage / 2} y={top} w={f.edge.stage} h={h} />{name}</g>;
  if (stage.kind === "bed") {
    const w = across(stage) * f.scale, depth = stage.depth!;
    return (
      <g class="stage">
        <rect class="carbon" x={cx - w / 2} y={top} width={w} height={h} />
        <rect class="case" x={cx - w / 2 - 4} y={top - 4} width={w + 8} height={h + 8} />
        {name}
        <Handle num={depth} range={[0.005, Math.max(0.2, valueOf(depth))]} label={`Depth of ${stage.name}`} x={cx} y={p.to} scaled
          at={(_, py) => dir * (py - p.from) / f.scale}>
          <rect class="grip" x={cx - 18} y={p.to - 7} width={36} height={14} rx={7} />
        </Handle>
      </g>
    );
  }
  const speed = stage.speed!, r = 19, cy = top + h / 2, top_speed = Math.max(1, valueOf(speed));
  const angle = (v: number) => (-225 + 270 * v / top_speed) * Math.PI / 180;
  const a = angle(valueOf(speed)), arc = (v: number) => `${cx + (r + 9) * Math.cos(angle(v))} ${cy + (r + 9) * Math.sin(angle(v))}`;
  const at = (px: number, py: number) => {
    const turned = (Math.atan2(py - cy, px - cx) * 180 / Math.PI + 225 + 720) % 360;
    return turned > 315 ? 0 : Math.min(270, turned) / 270 * top_speed;
  };
  return (
    <g class="stage blower">
      <circle class="case" cx={cx} cy={cy} r={r} />
      {[0, 1, 2, 3, 4].map(i => <path key={i} class="blade" d={`M${cx} ${cy}q${8 * Math.cos(i * 1.2566 + 1)} ${8 * Math.sin(i * 1.2566 + 1)} ${(r - 3) * Math.cos(i * 1.2566)} ${(r - 3) * Math.sin(i * 1.2566)}`} />)}
      <path class="dial" d={`M${arc(0)}A${r + 9} ${r + 9} 0 1 1 ${arc(top_speed)}`} />
      {name}
      <Handle num={speed} range={[Math.max(0.05, speed.least ?? 0), top_speed]} label={`Speed of ${stage.name}`}
        x={cx + (r + 9) * Math.cos(a)} y={cy + (r + 9) * Math.sin(a)} at={at}>
        <circle class="grip" cx={cx + (r + 9) * Math.cos(a)} cy={cy + (r + 9) * Math.sin(a)} r={9} />
      </Handle>
      <text class="tag" x={cx + f.across / 2 + 6} y={cy + 20}>{shown(valueOf(speed), "fraction")}</text>
    </g>
  );
}

/** The tee: its pointer shows where the air goes, to the box or out. */
function Tee({ f, x, y, dir }: { f: Frame; x: number; y: number; dir: number }) {
  const c = f.parts.cleaner!, num = c.position;
  if (!num) return null;
  const r = 30, angle = (v: number) => (180 - 180 * v) * Math.PI / 180;
  const a = angle(valueOf(num)), px = x + r * Math.cos(a), py = y + dir * r * Math.sin(a);
  const at = (qx: number, qy: number) => { const t = Math.atan2(dir * (qy - y), qx - x); return t < 0 ? (qx < x ? 0 : 1) : 1 - t / Math.PI; };
  return (
    <g class="tee">
      <path class="dial" d={`M${x - r} ${y}A${r} ${r} 0 0 ${dir > 0 ? 0 : 1} ${x + r} ${y}`} />
      <path class="pointer" d={`M${x} ${y}L${px} ${py}`} />
      <Handle num={num} range={[num.least ?? 0, num.most ?? 1]} label={c.split === "flap" ? "Flap: share of its way towards sending all out" : "Share sent out"} x={px} y={py} at={at}>
        <circle class="grip" cx={px} cy={py} r={9} />
      </Handle>
      <text class="tag" x={x} y={y + dir * (r + 18) + (dir > 0 ? 6 : 0)} text-anchor="middle">{c.split === "flap" ? `flap ${shown(valueOf(num), "fraction")}` : `${shown(valueOf(num), "fraction")} out`}</text>
    </g>
  );
}

function Duct({ d, width, T }: { d: string; width: number; T: number | null }) {
  return <><path class="duct-edge" d={d} stroke-width={width + 3} /><path class="duct" d={d} stroke-width={width} stroke={temperatureColour(T)} /></>;
}

function Cleaner({ f }: { f: Frame }) {
  const c = f.parts.cleaner, s = f.state;
  if (!c) return null;
  const { placed, dir, start, end } = columnOf(f), wallX = f.x + f.bw + f.wall, width = (n: Num | null) => Math.max(5, (n?.value ?? 0) * f.scale);
  const T = s.stages[0]?.temperature_K ?? s.box_temperature_K;
  const down = `M${f.x + f.bw - 2} ${start}H${f.cx}V${end}`;
  const back = c.return && `M${f.cx} ${end}H${wallX + 16}V${level(f, valueOf(c.return.height))}H${f.x + f.bw - 2}`;
  const edge = f.w - 4, out = c.exhaust && `M${f.cx} ${end}H${edge}`;
  const inside = c.return && `M${f.x + f.bw - 4} ${level(f, valueOf(c.return.height))}C${f.x + f.bw * 0.1} ${level(f, valueOf(c.return.height))} ${f.x + f.bw * 0.1} ${start} ${f.x + f.bw - 4} ${start}`;
  const boxArea = f.parts.box.width.value * f.parts.box.height.value;
  return (
    <g class="cleaner">
      <Duct d={down} width={width(c.inlet.diameter)} T={T} />
      {back && <Duct d={back} width={width(c.return!.diameter)} T={s.return_temperature_K} />}
      {out && <Duct d={out} width={width(c.exhaust!.diameter)} T={s.exhaust_temperature_K} />}
      {inside && <Streaks d={inside} flow={s.return_flow_m3s} velocity={s.cleaner_flow_m3s / boxArea} scale={f.scale} kind="faint" />}
      <Streaks d={down} flow={s.cleaner_flow_m3s} velocity={speedIn(s.cleaner_flow_m3s, c.inlet.diameter)} scale={f.scale} />
      {back && <Streaks d={back} flow={s.return_flow_m3s} velocity={speedIn(s.return_flow_m3s, c.return!.diameter)} scale={f.scale} />}
      {out && <Streaks d={out} flow={s.exhaust_flow_m3s} velocity={speedIn(s.exhaust_flow_m3s, c.exhaust!.diameter)} scale={f.scale} />}
      {placed.map(p => <StageDrawn key={p.stage.name} f={f} p={p} dir={dir} />)}
      <text class="tag" x={f.cx} y={start - 8 - width(c.inlet.diameter) / 2} text-anchor="middle">{shown(s.cleaner_flow_m3s, "volume_flow")}</text>
      {out && <text class="tag" x={edge} y={end + width(c.exhaust!.diameter) / 2 + 16} text-anchor="end">{`${c.exhaust!.to} ${shown(s.exhaust_flow_m3s, "volume_flow")}`}</text>}
      <Tee f={f} x={f.cx} y={end} dir={dir} />
    </g>
  );
}

// ---- round it ----

function Scale({ f, y }: { f: Frame; y: number }) {
  const w = 0.1 * f.scale;
  return (
    <g class="scale" transform={`translate(${f.edge.left / 4} ${y})`}>
      <path d={`M0 0v6h${w}v-6`} /><text x={w + 6} y={7}>{shown(0.1, "length")}</text>
    </g>
  );
}

function Legend() {
  const steps = legend(10);
  return (
    <p class="legend">
      <span class="ramp">{steps.map(s => <span key={s.at} ref={e => { if (e) e.style.background = s.colour; }}>{s.label}</span>)}</span>
      <span>Colour: {shown(273.15, "temperature").split(" ")[1]}, of air and walls. Streaks move as the air does, {SLOWER} times slower; how many follow goes with the root of the flow.</span>
      <button type="button" aria-pressed={!moving.value} onClick={() => { moving.value = !moving.value; }}>{moving.value ? "Hold the air still" : "Let the air move"}</button>
    </p>
  );
}

/** What presses air in; `why` knows the lesser of the two edges. */
function Pull({ m, edge, head }: { m: Mark; edge: "inward_at_bottom_Pa" | "inward_at_top_Pa"; head: string }) {
  const here = m.flow[edge], said = shown(here, "pressure"), least = Math.min(m.flow.inward_at_bottom_Pa ?? NaN, m.flow.inward_at_top_Pa ?? NaN);
  return <td data-head={head}>{here === least ? <Traced name={`gaps[${m.gap.name}].inward_pressure`}>{said}</Traced> : said}</td>;
}

function GapTable({ marks }: { marks: Mark[] }) {
  return (
    <table class="gaps">
      <caption>Gaps, as numbered in the drawing. Where the pull is below zero, air is pushed out.</caption>
      <thead><tr><th scope="col">Gap</th><th scope="col">Air</th><th scope="col">Pulled in by, lower edge</th><th scope="col">upper edge</th><th scope="col">Close it</th></tr></thead>
      <tbody>
        {marks.map(m => (
          <tr key={m.gap.name} class={m.outward ? "out" : ""}>
            <th scope="row">{m.number} {m.gap.name}</th>
            <td>{m.outward ? <strong>⇉ OUT <Traced name={`gaps[${m.gap.name}].flow_out`}>{shown(m.flow.out_m3s, "volume_flow")}</Traced></strong>
              : wayOf(m) === "in" ? `in ${shown(m.flow.in_m3s, "volume_flow")}` : wayOf(m)}</td>
            <Pull m={m} edge="inward_at_bottom_Pa" head="lower edge" />
            <Pull m={m} edge="inward_at_top_Pa" head="upper edge" />
            <td><button type="button" disabled={!sealable(m.gap)} aria-label={`Seal ${m.gap.name} to a tenth of its open area`} onClick={() => seal(m.gap)}>Seal</button></td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

export function Section() {
  const width = useSignal(0), holder = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!holder.current) return;
    const watch = new ResizeObserver(e => { width.value = Math.floor(e[0]?.contentRect.width ?? 0); });
    watch.observe(holder.current);
    return () => watch.disconnect();
  }, []);
  const p = parts.value, state = drawn.value;
  const f = p && state && width.value > 0 ? frameOf(p, state, width.value) : null;
  const marks = f ? marksOf(f) : [];
  const leaking = marks.filter(m => m.outward), standing = marks.filter(m => wayOf(m) === "no air moves");
  const worst = words.value?.verdicts.find(v => v.id === "inward_pressure" && v.job === state?.job);
  const column = f?.parts.cleaner ? columnOf(f) : null;
  const bottom = f ? Math.max(f.y + f.bh + f.wall + BELOW, column ? Math.max(column.end, column.start) + 78 : 0) : TALLEST;
  const up = f && column ? Math.min(0, Math.min(column.end, column.start) - 60) : 0;
  return (
    <section class="picture" aria-labelledby="picture-head">
      <h2 id="picture-head">The box, cut open from front to back</h2>
      <p class="facts">
        <StateChoice words="Drawn:" id="state" />
        {leaking.length > 0
          ? <strong class="alarm">{`⇉ Leaks outward: ${leaking.map(m => m.gap.name).join(", ")}`}</strong>
          : state && <span>{!state.converged ? "This state has no solution." : standing.length === 0 ? "Every gap leaks inward in this state."
              : `Nothing leaks outward in this state, but nothing draws air in at: ${standing.map(m => m.gap.name).join(", ")}.`}</span>}
        {worst && state && worst.word !== "meets" && worst.state !== state.state && <strong>{`The worst state is another: ${worst.state} (${worst.value}, ${worst.word}).`}</strong>}
      </p>
      <div class="scene" ref={holder}>
        {f && (
          <svg width={f.w} height={bottom - up} viewBox={`0 ${up} ${f.w} ${bottom - up}`} role="group" aria-label="Section through box and cleaner. What can be moved are sliders; gaps are buttons that seal them.">
            <Box f={f} />
            <Cleaner f={f} />
            <Walls f={f} />
            {marks.map(m => <GapMark key={m.gap.name} f={f} m={m} />)}
            <text class="side" x={f.x - f.wall - 8} y={f.y + f.bh + f.wall + 18} text-anchor="end">front</text>
            <Scale f={f} y={bottom - 24} />
          </svg>
        )}
      </div>
      {state && <>
        <Legend />
        <p class="facts">
          <Traced name="box.temperature">Chamber {shown(state.box_temperature_K, "temperature")}</Traced>
          {p?.cleaner && <>
            <Traced name="flows.cleaned">Cleaned {shown(state.cleaner_flow_m3s, "volume_flow")}</Traced>
            <Traced name="flows.sent_out">Sent out {shown(state.exhaust_flow_m3s, "volume_flow")}</Traced>
          </>}
          <Traced name="box.pressure">At the box floor, against the room {shown(state.box_pressure_Pa, "pressure")}</Traced>
        </p>
        <GapTable marks={marks} />
      </>}
    </section>
  );
}
