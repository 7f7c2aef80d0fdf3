// SPDX-License-Identifier: MIT
// run.ts: what takes the server longer than a moment: one run under way at the most, and its last answer.
import { effect, signal } from "@preact/signals";
import { askJson, Fault } from "./ask";
import { connected, failed, lag, text } from "./desk";
import { units } from "./units";
import type { Diagnostic } from "./types";

const LEAST_REST_MS = 40, MOST_REST_MS = 250;
const AGAIN_MS = 300, MOST_AGAIN = 40;    // the server is busy

/** A hand rests when the next verdicts ought to have come and have not. */
const restMs = () => Math.min(MOST_REST_MS, Math.max(LEAST_REST_MS, 1.5 * (lag.peek() ?? 0)));

export interface Trouble { words: string; diagnostics: Diagnostic[] }
/** What was asked about, and what came back. `ms`: how long that took. */
export interface Answer<T> { of: string; units: string; value: T; ms: number }

export function troubleOf(e: unknown): Trouble {
  if (e instanceof Fault) return { words: e.message, diagnostics: e.told?.diagnostics ?? [] };
  return { words: e instanceof Error ? e.message : String(e), diagnostics: [] };
}

const pause = (ms: number) => new Promise<void>(done => setTimeout(done, ms));

async function askUntilFree<T>(path: string, body: unknown, stop: AbortSignal): Promise<T> {
  for (let i = 0; ; i++) {
    try {
      return await askJson<T>(path, body, stop);
    } catch (e) {
      const busy = e instanceof Fault && e.told?.error?.code === "busy";
      if (!busy || i >= MOST_AGAIN) throw e;
      await pause(AGAIN_MS);
      if (stop.aborted) throw e;
    }
  }
}

export class Run<T> {
  readonly answer = signal<Answer<T> | null>(null);
  readonly since = signal<number | null>(null); // when the run under way began
  readonly trouble = signal<Trouble | null>(null);
  private stopper: AbortController | null = null;
  private asked: { of: string; units: string } | null = null;
  private resting = 0;

  /** `path` and `body` of the question about the text as it is; `worded`: the answer has words in the reader's units. */
  constructor(private readonly question: (text: string) => { path: string; body: object }, private readonly worded = false) {}

  private isOf(asked: { of: string; units: string } | null): boolean {
    return asked?.of === text.value && (!this.worded || asked.units === units.value);
  }

  /** Does the answer belong to what is on the desk? Read inside a component it subscribes it. */
  fresh(): boolean {
    return this.isOf(this.answer.value);
  }

  async start(): Promise<void> {
    this.stopper?.abort();
    const mine = this.stopper = new AbortController();
    const asked = this.asked = { of: text.value, units: units.value };
    const { path, body } = this.question(asked.of);
    const began = performance.now();
    this.since.value = began;
    try {
      const value = await askUntilFree<T>(path, body, mine.signal);
      if (mine !== this.stopper) return;
      this.answer.value = { ...asked, value, ms: performance.now() - began };
      this.trouble.value = null;
    } catch (e) {
      if (mine !== this.stopper) return;
      if (mine.signal.aborted) { this.since.value = null; return; }
      this.trouble.value = this.lost(e) ? null : troubleOf(e);
      if (e instanceof Fault && e.status === 422 && !this.fresh()) this.answer.value = null; // nothing of an older design beside it
    }
    if (mine === this.stopper) { this.stopper = null; this.since.value = null; }
  }

  /** No server: the desk says so and tries again; what follows the desk is asked anew when it answers. */
  private lost(e: unknown): boolean {
    if (!(e instanceof Fault) || e.status !== 0) return false;
    failed(e);
    this.asked = null;
    return true;
  }

  /** What was stopped is not asked again before the text is another, or the panel is opened anew. */
  stop(): void {
    clearTimeout(this.resting);
    this.stopper?.abort();
    this.stopper = null;
    this.since.value = null;
  }

  forget(): void {
    this.stop();
    this.asked = null;
    this.answer.value = this.trouble.value = null;
  }

  /** Keeps the answer that of the draft until the returned function is called. While a hand moves, the run under way is let
   * finish, so that curves follow; once it rests, a run about an older text is ended. Nothing queues. */
  follow(): () => void {
    if (!this.isOf(this.answer.peek())) this.asked = null;
    const end = effect(() => {
      const running = this.since.value !== null;
      clearTimeout(this.resting);
      if (!connected.value || text.value === "" || this.isOf(this.asked)) return;
      if (!running) void this.start();
      else this.resting = window.setTimeout(() => void this.start(), restMs());
    });
    return () => {
      end();
      if (this.since.peek() !== null) this.stop();
      else clearTimeout(this.resting);
    };
  }
}
