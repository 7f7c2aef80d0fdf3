// SPDX-License-Identifier: MIT
// operating.tsx: what the blower can, against what the train asks, and where the two meet.
import { Chart, Legend, type Picture } from "./chart";
import { drawn, nameOf } from "./desk";
import { StateChoice } from "./house";
import { DataTable } from "./table";
import { axis, shown, unitTable, units } from "./units";
import type { State } from "./types";

const HEADROOM = 1.15; // of the chart over the blower's best
const ROWS = 10;       // of the table

function picture(s: State): Picture {
  const fan = s.blower_curve, train = s.train_curve, best = Math.max(...fan.pressure_Pa, 1);
  const across = axis(fan.flow_m3s[fan.flow_m3s.length - 1] ?? 0, "volume_flow"), up = axis(best, "pressure");
  const high = up.to(best * HEADROOM);
  const y = (p: number[]) => p.map(up.to);
  return {
    x: fan.flow_m3s.map(across.to),
    lines: [
      { name: "the blower gives", y: y(fan.pressure_Pa).map(v => v < 0 ? null : v), tone: 0 },
      { name: "the train asks", y: y(train.pressure_Pa).map(v => v > high * 1.5 ? null : v), tone: 1 },
    ],
    across: { words: `flow, ${across.unit}` }, up: { words: `pressure, ${up.unit}`, low: 0, high },
    dots: s.operating_flow_m3s === null || s.operating_rise_Pa === null ? [] : [{
      x: across.to(s.operating_flow_m3s), y: Math.max(up.to(s.operating_rise_Pa), 0),
      words: `${shown(s.operating_flow_m3s, "volume_flow")}, ${shown(s.operating_rise_Pa, "pressure")}`,
    }],
  };
}

function sentence(s: State): string {
  const at = s.operating_flow_m3s === null ? "No operating point was found."
    : `The blower moves ${shown(s.operating_flow_m3s, "volume_flow")} against ${shown(s.operating_rise_Pa, "pressure")}.`;
  const set = [
    s.blower_speed !== null && `speed ${shown(s.blower_speed, "fraction")}`, s.flap_position !== null && `flap ${shown(s.flap_position, "fraction")}`,
  ].filter(Boolean).join(", ");
  return set ? `${at} Set: ${set}.` : at;
}

function table(s: State) {
  const step = Math.max(1, Math.floor((s.blower_curve.flow_m3s.length - 1) / ROWS));
  const rows = s.blower_curve.flow_m3s.map((q, i) => [q, s.blower_curve.pressure_Pa[i], s.train_curve.pressure_Pa[i]] as const)
    .filter((_, i) => i % step === 0)
    .map(([q, gives, asks]) => [shown(q, "volume_flow"), shown(gives, "pressure"), shown(asks, "pressure")]);
  return { heads: ["flow", "the blower gives", "the train asks"], rows };
}

export function Operating() {
  void unitTable.value; void units.value;
  const s = drawn.value;
  if (!s) return <p>Nothing judged yet.</p>;
  if (s.blower_curve.flow_m3s.length === 0) return <p>This design has no blower with a curve.</p>;
  const p = picture(s), words = sentence(s);
  return (
    <>
      <p class="facts"><StateChoice words="State:" /></p>
      <figure class="plot">
        <figcaption>{p.up.words}, over {p.across.words}</figcaption>
        <Chart say={`Curves of blower and train. ${words}`} height={320} picture={p} />
        <Legend items={p.lines} />
      </figure>
      <p>{words}{s.converged ? "" : " This state was not solved."}</p>
      <DataTable caption={`Blower against resistance, ${nameOf(s)}`} of={() => table(s)} />
    </>
  );
}
