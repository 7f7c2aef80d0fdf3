// SPDX-License-Identifier: MIT
// series.ts: numbers out of the server's answers, whose names end with their unit.
import { shown } from "./units";
import type { Series } from "./types";

type Values = (number | null)[];

export function column(s: Series, name: string): { dimension: string; values: Values } | null {
  const c = s.columns.find(c => c.name === name);
  if (!c) return null;
  const key = Object.keys(c).find(k => k === "values" || k.startsWith("values_"));
  return key ? { dimension: c.dimension, values: c[key] as Values } : null;
}

/** A number of a series; `null` where there is none to be had, as of air that does not flow. */
export const cell = (value: number | null | undefined, dimension: string) => value === null || value === undefined ? "none" : shown(value, dimension);

/** "gases[x].box" with x cut out, for every x there is. */
export function namesBetween(s: Series, before: string, after: string): string[] {
  return s.columns.map(c => c.name).filter(n => n.startsWith(before) && n.endsWith(after) && n.length > before.length + after.length)
    .map(n => n.slice(before.length, n.length - after.length));
}

/** The number `stem` of a verdict, a quantity: `margin_Pa` where its value is `value_Pa`. `like`: a stem that stands there once. */
export function numberOf(o: object, stem: string, like = "value"): number | null {
  const key = Object.keys(o).find(k => k === like || (k.startsWith(`${like}_`) && k !== `${like}_now` && !k.startsWith(`${like}_now_`)));
  const found = key === undefined ? undefined : (o as Record<string, unknown>)[stem + key.slice(like.length)];
  return typeof found === "number" ? found : null;
}

/** The row whose x is nearest. */
export function nearest(xs: readonly (number | null)[], x: number): number {
  let best = 0;
  for (let i = 1; i < xs.length; i++) if (Math.abs((xs[i] ?? Infinity) - x) < Math.abs((xs[best] ?? Infinity) - x)) best = i;
  return best;
}
