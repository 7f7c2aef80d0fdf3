// SPDX-License-Identifier: MIT
// units.ts: numbers as the tool writes them, by the table that the server gives.
import { signal } from "@preact/signals";
import type { ShownUnit, Units, UnitTable } from "./types";

/** What the browser keeps, if it may: where it keeps nothing for any page, it throws. */
export function keptBy(store: "localStorage" | "sessionStorage", key: string, put?: string): string | null {
  try {
    if (put !== undefined) window[store].setItem(key, put);
    return window[store].getItem(key);
  } catch { return put ?? null; }
}

export const units = signal<Units>(keptBy("localStorage", "inward-units") === "us" ? "us" : "si");
export const unitTable = signal<UnitTable>({});

export function chooseUnits(to: Units): void {
  units.value = to;
  keptBy("localStorage", "inward-units", to);
}

function unitOf(value: number, dimension: string): ShownUnit | undefined {
  const rows = unitTable.value[dimension]?.[units.value] ?? [];
  if (value === 0) return rows.find(r => r.usual);
  return [...rows].reverse().find(r => Math.abs(value) >= r.from) ?? rows[0];
}

const DIGITS = 3;

function plain(x: number): string {
  if (x === 0) return "0";
  const digits = Math.abs(x) >= 1000 ? Math.ceil(Math.log10(Math.abs(x))) : DIGITS;
  return Number(x.toPrecision(Math.max(digits, DIGITS))).toString();
}

/** Time of day, s after midnight. */
export function clock(s: number): string {
  const minutes = Math.round(s / 60) % (24 * 60);
  return `${String(Math.floor(minutes / 60)).padStart(2, "0")}:${String(minutes % 60).padStart(2, "0")}`;
}

/** A value in SI as text with its unit. */
export function shown(value: number | null | undefined, dimension: string): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return "unknown";
  if (dimension === "clock") return clock(value);
  const u = unitOf(value, dimension);
  if (!u) return plain(value);
  const x = value * u.by - u.less;
  const text = dimension === "temperature" ? (Math.abs(x) < 99.95 ? x.toFixed(1).replace(/\.0$/, "") : x.toFixed(0)) : plain(x);
  return `${text} ${u.unit}`;
}

/** The one unit in which an axis up to `top` reads well. */
export function axis(top: number, dimension: string): { unit: string; to: (si: number) => number; from: (x: number) => number } {
  const u = unitOf(top, dimension);
  if (!u) return { unit: "", to: v => v, from: v => v };
  return { unit: u.unit, to: v => v * u.by - u.less, from: x => (x + u.less) / u.by };
}
