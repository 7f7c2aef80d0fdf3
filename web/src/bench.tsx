// SPDX-License-Identifier: MIT
// bench.tsx: what can be looked at beside the verdicts, one thing at a time. What was looked at stays there, and is printed.
import "./bench.css";
import type { ComponentType } from "preact";
import { signal } from "@preact/signals";
import { Compare } from "./compare";
import { Day } from "./day";
import { Life } from "./life";
import { Map2 } from "./map";
import { Numbers } from "./numbers";
import { Odds } from "./odds";
import { Operating } from "./operating";
import { DesignText } from "./text";

interface Thing { id: string; tab: string; head: string; Shown: ComponentType<{ open: boolean }> }
const THINGS: Thing[] = [
  { id: "operating", tab: "Blower", head: "The blower against what resists it", Shown: Operating },
  { id: "day", tab: "The day", head: "By the clock", Shown: Day },
  { id: "life", tab: "The carbon", head: "Months on the carbon", Shown: Life },
  { id: "odds", tab: "How sure", head: "How likely each verdict is met", Shown: Odds },
  { id: "map", tab: "A map", head: "A map of one or two numbers", Shown: Map2 },
  { id: "compare", tab: "Compare", head: "Against what was kept", Shown: Compare },
  { id: "numbers", tab: "Numbers", head: "Numbers to type", Shown: Numbers },
  { id: "text", tab: "The text", head: "The text of the design", Shown: DesignText },
];

const open = signal("operating");
const opened = signal<readonly string[]>(["operating"]);

function choose(id: string): void {
  open.value = id;
  if (!opened.value.includes(id)) opened.value = [...opened.value, id];
}

function onKey(e: KeyboardEvent): void {
  const i = THINGS.findIndex(t => t.id === open.value), last = THINGS.length - 1;
  const to = { ArrowRight: i === last ? 0 : i + 1, ArrowLeft: i === 0 ? last : i - 1, Home: 0, End: last }[e.key];
  const thing = to === undefined ? undefined : THINGS[to];
  if (!thing) return;
  e.preventDefault();
  choose(thing.id);
  document.getElementById(`tab-${thing.id}`)?.focus();
}

export function Bench() {
  return (
    <section class="bench" aria-labelledby="bench-head">
      <h2 id="bench-head">Look closer</h2>
      <div class="tabs" role="tablist" aria-labelledby="bench-head" onKeyDown={onKey}>
        {THINGS.map(({ id, tab }) => (
          <button key={id} type="button" role="tab" id={`tab-${id}`} aria-selected={open.value === id} tabIndex={open.value === id ? 0 : -1}
            aria-controls={`panel-${id}`} onClick={() => choose(id)}>{tab}</button>
        ))}
      </div>
      {THINGS.map(({ id, head, Shown }) => (
        <div key={id} role="tabpanel" id={`panel-${id}`} aria-labelledby={`tab-${id}`} hidden={open.value !== id} class="panel">
          {opened.value.includes(id) && <><h3>{head}</h3><Shown open={open.value === id} /></>}
        </div>
      ))}
    </section>
  );
}
