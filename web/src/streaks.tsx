// SPDX-License-Identifier: MIT
// streaks.tsx: moving air. A streak goes as fast as the air (slowed down, all alike), and how many follow each other goes
// with the root of the flow, so that a seam can still be seen beside a duct. What is drawn is what was computed.
import { signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import type { Num } from "./types";

export const SLOWER = 6;           // times slower than the air
const PER_ROOT_FLOW = 80;          // streaks per second at 1 m3/s, root
const LENGTH = 9, CLOSEST = 14, FEWEST_PER_S = 0.02; // px, px, 1/s

const still = matchMedia("(prefers-reduced-motion: reduce)");
export const moving = signal(!still.matches);
still.addEventListener("change", () => { moving.value = !still.matches; });

interface Run { element: SVGPathElement; speed: number; offset: number }
const runs = new Set<Run>();
let frame = 0, last = 0;

function tick(now: number): void {
  const dt = Math.min(0.1, (now - last) / 1000);
  last = now;
  for (const r of runs) {
    r.offset -= r.speed * dt;
    r.element.style.strokeDashoffset = r.offset.toFixed(1);
  }
  frame = runs.size && moving.value ? requestAnimationFrame(tick) : 0;
}
function wake(): void {
  if (frame || !moving.value) return;
  last = performance.now();
  frame = requestAnimationFrame(tick);
}
moving.subscribe(on => { if (on) wake(); });

/** Of a flow in a duct, m/s. */
export const speedIn = (flow_m3s: number, diameter: Num | null) => diameter?.value ? flow_m3s / (Math.PI * diameter.value ** 2 / 4) : 0;

interface Air { d: string; flow: number | null; velocity: number | null; scale: number; kind?: string }

/** Air along the path `d` (px), of `flow` m3/s and `velocity` m/s; `scale` is px per metre. */
export function Streaks({ d, flow, velocity, scale, kind }: Air) {
  const element = useRef<SVGPathElement>(null), run = useRef<Run | null>(null);
  const speed = Math.abs(velocity ?? 0) * scale / SLOWER;
  const rate = Math.max(FEWEST_PER_S, PER_ROOT_FLOW * Math.sqrt(Math.abs(flow ?? 0)));
  const period = Math.max(CLOSEST, speed / rate);
  useEffect(() => {
    if (!element.current) return;
    const mine = { element: element.current, speed: 0, offset: Math.random() * 40 };
    run.current = mine;
    runs.add(mine);
    wake();
    return () => { runs.delete(mine); };
  }, []);
  useEffect(() => { if (run.current) run.current.speed = speed; }, [speed]);
  if (!flow || !velocity) return null;
  return <path ref={element} class={`streak ${kind ?? ""}`} d={d} stroke-dasharray={`${LENGTH} ${(period - LENGTH).toFixed(1)}`} aria-hidden="true" />;
}
