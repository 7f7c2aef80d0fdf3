// SPDX-License-Identifier: MIT
// trouble.ts: what the desk has refused, to be said where it was asked for.
import { notice } from "./desk";
import type { Trouble } from "./run";

/** Takes the last refusal off the top of the page; null when it is of another kind and must stay there. */
export function takeRefusal(): Trouble | null {
  const n = notice.value;
  if (!n || n.actions) return null;
  notice.value = null;
  return { words: n.words, diagnostics: n.diagnostics ?? [] };
}
