// SPDX-License-Identifier: MIT
// table.tsx: the numbers behind curves, for who would rather read.
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";

export interface Rows { heads: string[]; rows: ComponentChildren[][] }

/** `of` is asked only while the table is open: curves may change many times a second. */
export function DataTable({ caption, summary = "The numbers as a table", of }: { caption: string; summary?: string; of: () => Rows }) {
  const [open, setOpen] = useState(false);
  return (
    <details class="data" onToggle={e => setOpen(e.currentTarget.open)}>
      <summary>{summary}</summary>
      {open && <Table caption={caption} {...of()} />}
    </details>
  );
}

export function Table({ caption, heads, rows }: { caption: string } & Rows) {
  return (
    <div class="wide" role="region" aria-label={caption} tabIndex={0}>
      <table>
        <caption>{caption}</caption>
        <thead><tr>{heads.map(h => <th key={h} scope="col">{h}</th>)}</tr></thead>
        <tbody>
          {rows.map((r, i) => <tr key={i}>{r.map((c, k) => k === 0 ? <th key={k} scope="row">{c}</th> : <td key={k}>{c}</td>)}</tr>)}
        </tbody>
      </table>
    </div>
  );
}
