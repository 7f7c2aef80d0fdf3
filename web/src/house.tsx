// SPDX-License-Identifier: MIT
// house.tsx: the rooms side by side, to scale, as if each were square: where the box stands, where its air goes, who is there when.
import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { chosenState, drawn, nameOf, parts, states } from "./desk";
import { temperatureColour } from "./colour";
import { valueOf } from "./handle";
import { speedIn, Streaks } from "./streaks";
import { shown } from "./units";
import { Traced } from "./verdicts";
import type { Parts, State } from "./types";

const EDGE = 12, SKY = 46, WALL = 5, TALLEST = 190, MOST_WIDTH = 980, TEXT = 20;

interface Placed { name: string; x: number; w: number; h: number }
interface Frame { scale: number; floor: number; rooms: Placed[]; w: number }

function frameOf(p: Parts, width: number): Frame {
  const w = Math.min(MOST_WIDTH, width), sides = p.rooms.map(r => Math.sqrt(r.floor.value));
  const walls = WALL * (p.rooms.length + 1), across = sides.reduce((a, b) => a + b, 0), tallest = Math.max(...p.rooms.map(r => r.height.value));
  const scale = Math.min((w - 2 * EDGE - SKY - walls) / across, TALLEST / tallest);
  let x = EDGE + WALL;
  const rooms = p.rooms.map((r, i) => {
    const placed = { name: r.name, x, w: (sides[i] ?? 0) * scale, h: r.height.value * scale };
    x += placed.w + WALL;
    return placed;
  });
  return { scale, floor: tallest * scale + WALL + 6, rooms, w };
}

const hours = (p: Parts["people"][number], room: string) =>
  p.stays.filter(s => s.room === room).map(s => `${shown(s.from.value, "clock")}–${shown(s.to.value, "clock")}${s.at_box ? " at the box" : ""}`);

function Room({ p, s, f, room }: { p: Parts; s: State; f: Frame; room: Placed }) {
  const r = p.rooms.find(x => x.name === room.name)!, air = s.rooms.find(x => x.name === room.name);
  const here = p.people.flatMap(who => hours(who, room.name).length ? [who] : []);
  return (
    <g>
      <rect class="room" x={room.x} y={f.floor - room.h} width={room.w} height={room.h} fill={temperatureColour(air?.temperature_K)} />
      <g class="chip"><text x={room.x + 6} y={f.floor - room.h + 17}>{room.name}</text></g>
      {here.map((who, i) => {
        const x = room.x + room.w - 18 - i * 24, h = (who.as === "worker" ? 1.7 : 1.2) * f.scale;
        const limbs = `M${x} ${f.floor - h + 6}V${f.floor - h * 0.45}M${x - 7} ${f.floor - h * 0.75}h14M${x} ${f.floor - h * 0.45}l-6 ${h * 0.45}M${x} ${f.floor - h * 0.45}l6 ${h * 0.45}`;
        return <g key={who.name} class="person"><title>{`${who.name}, ${who.as}: ${hours(who, room.name).join(", ")}`}</title>
          <path class="halo" d={limbs} /><path d={limbs} /><circle cx={x} cy={f.floor - h} r={6} /></g>;
      })}
      {r.appliances.map((a, i) => <g key={i} class="flue"><title>{a}</title><path d={`M${room.x + 14 + i * 26} ${f.floor}v-26h16v26zM${room.x + 22 + i * 26} ${f.floor - 26}V${f.floor - room.h}`} /></g>)}
    </g>
  );
}

function BoxAndDuct({ p, s, f }: { p: Parts; s: State; f: Frame }) {
  const b = p.box, at = f.rooms.find(r => r.name === b.room);
  if (!at) return null;
  const w = valueOf(b.depth) * f.scale, h = valueOf(b.height) * f.scale, x = at.x + at.w * 0.34 - w / 2, y = f.floor - (b.stand.value + valueOf(b.height)) * f.scale;
  const ex = p.cleaner?.exhaust, ey = ex ? f.floor - ex.height.value * f.scale : 0;
  const target = f.rooms.find(r => r.name === ex?.to), left = at === f.rooms[0]; // out by the nearer side
  const tx = ex?.to === "outdoors" ? (left ? 2 : f.w - 2) : target ? target.x + target.w / 2 : null;
  const toLeft = tx !== null && tx < x, from = toLeft ? x : x + w;
  const d = ex && tx !== null ? `M${from} ${y + h * 0.6}h${toLeft ? -12 : 12}V${ey}H${tx}` : null;
  return (
    <g>
      {d && <path class="duct-edge" d={d} stroke-width={4} />}
      {d && <Streaks d={d} flow={s.exhaust_flow_m3s} velocity={speedIn(s.exhaust_flow_m3s, ex!.diameter)} scale={f.scale} />}
      <path class="stand" d={`M${x} ${y + h}V${f.floor}M${x + w} ${y + h}V${f.floor}`} />
      <rect class="wall" x={x} y={y} width={w} height={h} fill={temperatureColour(s.box_temperature_K)} />
    </g>
  );
}

export function StateChoice({ words, id }: { words: string; id?: string }) {
  const s = drawn.value;
  return s && (
    <label>{words} <select id={id} value={nameOf(s)} onChange={e => { chosenState.value = e.currentTarget.value; }}>
      {states.value.map(x => <option key={nameOf(x)} value={nameOf(x)}>{nameOf(x)}</option>)}
    </select></label>
  );
}

export function House() {
  const width = useSignal(0), holder = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!holder.current) return;
    const watch = new ResizeObserver(e => { width.value = Math.floor(e[0]?.contentRect.width ?? 0); });
    watch.observe(holder.current);
    return () => watch.disconnect();
  }, []);
  const p = parts.value, s = drawn.value;
  const f = p && width.value > 0 ? frameOf(p, width.value) : null;
  return (
    <section class="house" aria-labelledby="house-head">
      <h2 id="house-head">The rooms, in the state that is drawn above</h2>
      <div class="scene" ref={holder}>
        {f && p && s && (
          <svg width={f.w} height={f.floor + TEXT} viewBox={`0 0 ${f.w} ${f.floor + TEXT}`} role="img" aria-label="The rooms to scale, each drawn as if square; the list below says what is in them.">
            {f.rooms.map(r => <Room key={r.name} p={p} s={s} f={f} room={r} />)}
            <path class="ground" d={`M0 ${f.floor + 2}H${f.w}`} />
            <BoxAndDuct p={p} s={s} f={f} />
          </svg>
        )}
      </div>
      {p && s && <ul class="rooms">
        {p.rooms.map(r => {
          const air = s.rooms.find(x => x.name === r.name);
          const here = p.people.filter(w => hours(w, r.name).length);
          return <li key={r.name}><strong>{r.name}</strong>: {shown(air?.temperature_K, "temperature")}, <Traced name={`rooms[${r.name}].pressure`}>{shown(air?.pressure_Pa, "pressure")}</Traced> against outdoors;
            {" "}particles added by the jobs: {shown(air?.particles_per_m3, "number_concentration")}.
            {here.map(w => ` ${w.name} (${w.as}): ${hours(w, r.name).join(", ")}.`)}
            {r.appliances.length > 0 && <strong class="alarm"> {`${r.appliances.join(", ")} here: drawing air out may pull flue gas back. Have it tested with the blower running.`}</strong>}</li>;
        })}
        {p.doorways.map(d => <li key={d.name}>{d.name}: between {d.between[0]} and {d.between[1]}, {shown(d.width.value, "length")} wide, {shown(d.height.value, "length")} high.</li>)}
      </ul>}
    </section>
  );
}
