// SPDX-License-Identifier: MIT
// quantities.ts: every number that the design rests on, as the server lists them.
import { Run } from "./run";
import type { Diagnostic } from "./types";

/** What belongs to the dimension (value_m, least_m) is read by numberOf. */
export interface Quantity {
  path: string; dimension: string; origin: string; basis: string; source: string; line: number; si: string; us: string; written: string | null;
}
export interface Quantities { title: string; hash: string; quantities: Quantity[]; diagnostics: Diagnostic[] }

export const quantitiesRun = new Run<Quantities>(of => ({ path: "/api/quantities", body: { text: of } }));

/** "box.gaps[lid seam].width" as people say it: "lid seam: width". */
export function spoken(path: string): string {
  const m = /^[^[]*\[([^\]]+)\]\.?(.*)$/.exec(path);
  const plain = (words: string) => words.replace(/[._]/g, " ").replace(/\[([^\]]*)\]/g, " $1").trim();
  return m ? `${m[1]}: ${plain(m[2] ?? "")}` : plain(path.split(".").slice(-2).join(" "));
}

/** Numbers by what they belong to: the first word of their path. */
export function grouped(of: readonly Quantity[]): [string, Quantity[]][] {
  const groups = new Map<string, Quantity[]>();
  for (const q of of) {
    const head = /^[a-z_]+(\[[^\]]*\])?/.exec(q.path)?.[0] ?? q.path;
    groups.set(head, [...(groups.get(head) ?? []), q]);
  }
  return [...groups];
}
