// SPDX-License-Identifier: MIT
// types.ts: the answers of the server that the page reads (doc/json.md, doc/serve.md). SI throughout.

export type Units = "si" | "us";
export type Word = "meets" | "in doubt" | "misses" | "cannot tell" | "stated";

export interface Diagnostic { severity: string; file: string; line: number; column: number; message: string }

/** A number of the design that may be taken hold of when the text itself writes it. */
export interface Num { path: string; dimension: string; value: number; least: number | null; most: number | null; written: boolean }

export interface Gap {
  name: string; kind: "crack" | "hole" | "opening" | "measured"; face: Face; room: string | null;
  height: Num; rise: Num | null; size: Num | null; area_power: number;
}
export type Face = "top" | "bottom" | "front" | "back" | "left" | "right";
export interface Stage {
  name: string; kind: "medium" | "bed" | "blower"; record?: string;
  area?: Num; diameter?: Num | null; depth?: Num; mass?: Num; speed?: Num;
}
export interface Port { height: Num; diameter: Num | null; length: Num | null; to?: string }
export interface Parts {
  box: {
    room: string; width: Num; depth: Num; height: Num; stand: Num;
    door: { face: Face; width: Num; height: Num; sill: Num } | null;
    walls: { face: Face; material: string; thickness: Num | null }[];
    gaps: Gap[];
  };
  cleaner: null | {
    inlet: Port; stages: Stage[]; split: "flap" | "fixed" | "tee"; position: Num | null; return: Port | null; exhaust: Port | null;
  };
  rooms: { name: string; floor: Num; height: Num; appliances: string[] }[];
  doorways: { name: string; between: [string, string]; width: Num; height: Num; sill: Num }[];
  people: { name: string; as: "worker" | "resident"; stays: { room: string; from: Num; to: Num; at_box: boolean }[] }[];
}

/** A verdict in the reader's words and units. */
export interface Said {
  id: string; title: string; job: string | null; state: string | null; word: Word; value: string; range: string; limit: string | null;
  margin: string | null; where: string | null; reason: string | null; change: string | null; caution: string | null;
}
export interface Words { title: string; overall: Word; planned: boolean; verdicts: Said[]; notes: string[]; cautions: string[]; disclaimer: string }

export interface GapFlow {
  name: string; face: Face; height_m: number; rise_m: number; inward_at_bottom_Pa: number | null; inward_at_top_Pa: number | null;
  in_m3s: number | null; out_m3s: number | null; inward_velocity_ms: number | null;
}
export interface StageFlow {
  name: string; kind: string; loss_Pa: number | null; rise_Pa: number | null; flow_m3s: number; bypass_m3s: number;
  face_velocity_ms: number | null; temperature_K: number; residence_s: number | null; inward_pressure_Pa: number | null;
}
export interface Curve { flow_m3s: number[]; pressure_Pa: number[] }
export interface State {
  job: string; state: string; converged: boolean; box_temperature_K: number; box_pressure_Pa: number; neutral_height_m: number | null;
  cleaner_flow_m3s: number; return_flow_m3s: number; exhaust_flow_m3s: number; leak_in_m3s: number; leak_out_m3s: number;
  return_temperature_K: number | null; exhaust_temperature_K: number | null; exhaust_end_temperature_K: number | null;
  flap_position: number | null; blower_speed: number | null; operating_flow_m3s: number | null; operating_rise_Pa: number | null;
  gaps: GapFlow[]; stages: StageFlow[];
  rooms: { name: string; temperature_K: number; pressure_Pa: number; heater_W: number; particles_per_m3: number | null }[];
  panels: { face: Face; inside_K: number; outside_K: number; loss_W: number; area_m2: number }[];
  blower_curve: Curve; train_curve: Curve;
}
export interface Report { title: string; overall: Word; states: State[] }

/** A column of a series: its numbers stand under "values" with the unit behind it. */
export type Column = { name: string; dimension: string } & Record<string, unknown>;
export interface Series { rows: number; columns: Column[] }
export interface Profile { stage: string; depth_m: number; carbon_kg: number; slices: number; times_s: number[]; substances: { substance: string; loading_kgkg: number[][] }[] }
/** A verdict in numbers: value_Pa, limit_Pa, margin_Pa, as its dimension says. */
export interface Judged { id: string; title: string; job: string | null; word: Word; dimension: string; sense: string }
export interface Day { start_clock_s: number; span_s: number; begins: string | null; verdicts: Judged[]; moments: { time_s: number; clock: string; what: string }[]; series: Series; beds: Profile[] }
export interface Life { pattern_s: number; spent_s: number | null; spent_low_s: number | null; spent_high_s: number | null; followed_s: number; horizon_s: number; series: Series; beds: Profile[] }
export interface WithWords<T> { report: T; words: Words }

export interface Design { file: string; text: string | null; hash: string | null }
/** What `set` answers. */
export interface Changed { text: string; hash: string; check: Report; words: Words; parts: Parts; diagnostics: Diagnostic[] }

export interface ShownUnit { unit: string; from: number; by: number; less: number; usual: boolean }
export type UnitTable = Record<string, Record<Units, ShownUnit[]>>;
