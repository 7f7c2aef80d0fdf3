// SPDX-License-Identifier: MIT
// ask.ts: one question to the server, and what can go wrong with it.
import { keptBy } from "./units";
import type { Diagnostic } from "./types";

const client = Math.random().toString(36).slice(2, 14); // two tabs are two clients

/** The token stands behind "#" in the address that `serve` prints; it is not to stay in sight. */
function readToken(): string {
  const given = new URLSearchParams(location.hash.slice(1)).get("token");
  if (given) history.replaceState(null, "", location.pathname);
  return keptBy("sessionStorage", "inward-token", given ?? undefined) ?? "";
}
let token = readToken();

/** Another token in the address of a page that is open already changes only what stands behind "#": nothing is loaded for it. */
export function onToken(act: () => void): void {
  addEventListener("hashchange", () => {
    const before = token;
    token = readToken();
    if (token !== before) act();
  });
}

export interface Told { error?: { code: string; message: string }; diagnostics?: Diagnostic[]; file?: { text: string; hash: string } }

/** `status` is 0 when the server did not answer at all. */
export class Fault extends Error {
  constructor(message: string, readonly status: number, readonly told: Told | null) { super(message); }
}

async function fault(reply: Response): Promise<Fault> {
  let told: Told | null = null;
  try { told = await reply.json(); } catch { /* the words below must do */ }
  return new Fault(told?.error?.message ?? `the server answered ${reply.status}`, reply.status, told);
}

export async function ask(path: string, body?: unknown, signal?: AbortSignal): Promise<Response> {
  const headers: Record<string, string> = { "X-Inward-Client": client };
  if (token) headers.Authorization = `Bearer ${token}`;
  if (body !== undefined) headers["Content-Type"] = "application/json";
  const asked: RequestInit = { method: body === undefined ? "GET" : "POST", headers, cache: "no-store" };
  if (body !== undefined) asked.body = JSON.stringify(body);
  if (signal) asked.signal = signal;
  let reply: Response;
  try {
    reply = await fetch(path, asked);
  } catch (e) {
    if (signal?.aborted) throw e;
    throw new Fault("The server does not answer. Is it still running?", 0, null);
  }
  if (!reply.ok) throw await fault(reply);
  return reply;
}

export async function askJson<T>(path: string, body?: unknown, signal?: AbortSignal): Promise<T> {
  return (await ask(path, body, signal)).json() as Promise<T>;
}
