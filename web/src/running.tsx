// SPDX-License-Identifier: MIT
// running.tsx: that something is being worked out, how to stop it, and what went wrong.
import { useEffect, useLayoutEffect, useState } from "preact/hooks";
import type { Run, Trouble } from "./run";

function Seconds({ since }: { since: number }) {
  const [now, set] = useState(performance.now());
  useEffect(() => {
    const tick = setInterval(() => set(performance.now()), 1000);
    return () => clearInterval(tick);
  }, [since]);
  return <span>{Math.max(0, Math.floor((now - since) / 1000))} s</span>;
}

export function TroubleBox({ of }: { of: Trouble | null }) {
  return (
    <div role="alert" class={of ? "trouble" : ""}>
      {of && <p>{of.words}</p>}
      {of && of.diagnostics.length > 0 && (
        <ul>{of.diagnostics.map((d, i) => <li key={i}>{d.line ? `line ${d.line}, column ${d.column}: ` : ""}{d.message}</li>)}</ul>
      )}
    </div>
  );
}

/** Before anything is painted: else it would be said for a moment that nothing is under way. */
export function useFollow(run: Run<unknown>, open: boolean, about?: unknown): void {
  useLayoutEffect(() => open ? run.follow() : undefined, [open, about]);
}

const EARLIER = "What is shown was worked out for an earlier text, or in other units.";

/** Of what follows the desk by itself: said only when it takes long (bench.css waits), since most answers come at once. */
export function UnderWay({ run, doing }: { run: Run<unknown>; doing: string }) {
  const since = run.since.value;
  if (since === null) {
    if (run.fresh() || (run.trouble.value && !run.answer.value)) return null;
    return <p class="starter"><button type="button" onClick={() => void run.start()}>Go on</button>
      <strong role="status">{run.answer.value ? EARLIER : "Stopped."}</strong></p>;
  }
  return <p class="under-way"><progress aria-label={doing} /><Seconds since={since} /> <button type="button" onClick={() => run.stop()}>Stop</button></p>;
}

/* The button that starts, while it runs the one that stops, and what is being done. */
interface Starting { run: Run<unknown>; start?: () => void; words: string; doing: string; fresh?: boolean }

/** `fresh`: the answer holds although the text is another. */
export function Starter({ run, start, words, doing, fresh = false }: Starting) {
  const since = run.since.value;
  const stale = run.answer.value !== null && !run.fresh() && !fresh;
  const begin = start ?? (() => void run.start());
  return (
    <div class="starter">
      <button type="button" onClick={() => since === null ? begin() : run.stop()}>
        {since === null ? words : "Stop"}
      </button>
      <span role="status">
        {since !== null && doing}
        {since === null && stale && <strong>{EARLIER}</strong>}
      </span>
      {since !== null && <><progress aria-label={doing} /><Seconds since={since} /></>}
    </div>
  );
}
