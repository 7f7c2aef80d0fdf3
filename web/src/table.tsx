// SPDX-License-Identifier: MIT
// table.tsx: the numbers behind curves, for who would rather read.
import type { ComponentChildren } from "preact";

export function DataTable({ caption, heads, rows, summary = "The numbers as a table" }: {
  caption: string; heads: string[]; rows: ComponentChildren[][]; summary?: string;
}) {
  return (
    <details class="data">
      <summary>{summary}</summary>
      <Table caption={caption} heads={heads} rows={rows} />
    </details>
  );
}

export function Table({ caption, heads, rows }: { caption: string; heads: string[]; rows: ComponentChildren[][] }) {
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
