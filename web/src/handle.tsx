// SPDX-License-Identifier: MIT
// handle.tsx: what a hand takes hold of in a drawing: by pointer, by touch, by arrow keys. To a screen reader it is a slider.
import type { ComponentChildren } from "preact";
import { useRef } from "preact/hooks";
import { held, move, release } from "./desk";
import { shown } from "./units";
import type { Num } from "./types";

export const valueOf = (n: Num): number => held.value?.path === n.path ? held.value.value : n.value;

const STEPS = 100, PAGE = 10; // of keys, over the range
const REACH_PX = 12;          // round what is drawn: a finger is no needle

interface Hold {
  num: Num; range: [number, number]; label: string; x: number; y: number;
  /** Value under a point of the drawing (px). */
  at: (x: number, y: number) => number;
  scaled?: boolean;
  /** Other numbers that go along. */
  along?: (value: number) => { path: string; value: number }[];
  children: ComponentChildren;
}

export function Handle({ num, range, label, x, y, at, scaled, along, children }: Hold) {
  const element = useRef<SVGGElement>(null), grip = useRef<{ dx: number; dy: number } | null>(null);
  const keyed = useRef(0);
  if (!num.written) return <g class="fixed">{children}</g>;
  const now = valueOf(num);
  const what = `${label} ${shown(now, num.dimension)}`;
  const go = (to: number) => {
    const value = Math.min(range[1], Math.max(range[0], to));
    move({ path: num.path, value, ...(scaled && { range: "scaled" }) }, along?.(value) ?? [], v => `${label} ${shown(v, num.dimension)}`);
  };
  const point = (e: PointerEvent) => {
    const svg = element.current?.ownerSVGElement, to = svg?.getScreenCTM()?.inverse();
    return to ? new DOMPoint(e.clientX, e.clientY).matrixTransform(to) : new DOMPoint();
  };
  const onPointerDown = (e: PointerEvent) => {
    if (e.button !== 0) return;
    const p = point(e);
    element.current?.setPointerCapture(e.pointerId);
    element.current?.focus();
    grip.current = { dx: p.x - x, dy: p.y - y };
    e.preventDefault();
  };
  const onPointerMove = (e: PointerEvent) => {
    if (!grip.current) return;
    const p = point(e);
    go(at(p.x - grip.current.dx, p.y - grip.current.dy));
  };
  const onPointerUp = () => {
    if (grip.current) void release();
    grip.current = null;
  };
  const onKeyDown = (e: KeyboardEvent) => {
    const step = (range[1] - range[0]) / STEPS;
    const by = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: PAGE, PageDown: -PAGE }[e.key];
    const to = e.key === "Home" ? range[0] : e.key === "End" ? range[1] : by !== undefined ? now + by * step : undefined;
    if (to === undefined || e.ctrlKey || e.metaKey || e.altKey) return;
    e.preventDefault();
    go(to);
    clearTimeout(keyed.current);
    keyed.current = window.setTimeout(() => void release(), 400); // a row of key presses is one step to undo
  };
  return (
    <g ref={element} class={held.value?.path === num.path ? "handle held" : "handle"} role="slider" tabindex={0} aria-label={label} aria-valuemin={range[0]} aria-valuemax={range[1]}
      aria-valuenow={now} aria-valuetext={shown(now, num.dimension)} data-path={num.path}
      onPointerDown={onPointerDown} onPointerMove={onPointerMove} onPointerUp={onPointerUp} onPointerCancel={onPointerUp} onKeyDown={onKeyDown}>
      <title>{what}</title>
      <circle class="reach" cx={x} cy={y} r={REACH_PX} />
      {children}
    </g>
  );
}
