// SPDX-License-Identifier: MIT
// colour.ts: temperature as colour. From dark blue to light yellow in even steps of OKLab (Ottosson 2020, "A perceptual color
// space for image processing"): lightness alone tells the order, and blue against yellow is what most colour-blind eyes keep.
import { axis } from "./units";

export const COLD_K = 273.15, HOT_K = 373.15; // fixed, so that two designs can be compared
const FROM = { l: 0.36, b: -0.11 }, TO = { l: 0.93, b: 0.13 };

const shareOf = (T_K: number) => Math.min(1, Math.max(0, (T_K - COLD_K) / (HOT_K - COLD_K)));
const mix = (s: number) => ({ l: FROM.l + (TO.l - FROM.l) * s, b: FROM.b + (TO.b - FROM.b) * s });

export function temperatureColour(T_K: number | null | undefined): string {
  if (T_K === null || T_K === undefined) return "transparent";
  const c = mix(shareOf(T_K));
  return `oklab(${c.l.toFixed(3)} 0 ${c.b.toFixed(3)})`;
}

/** Ink that can be read on it: the darker half takes white, the lighter black, with a contrast of 4.5 at least where they meet. */
export const inkOn = (T_K: number) => mix(shareOf(T_K)).l > 0.565 ? "#000000" : "#ffffff";

export function legend(steps: number): { at: number; colour: string; label: string }[] {
  const a = axis(COLD_K + 1, "temperature");
  return Array.from({ length: steps + 1 }, (_, i) => {
    const T = COLD_K + (HOT_K - COLD_K) * i / steps;
    return { at: i / steps, colour: temperatureColour(T), label: `${a.to(T).toFixed(0)}` };
  });
}
