// SPDX-License-Identifier: MIT
// bench.tsx: what can be looked at beside the verdicts, one thing at a time.
export function Bench() { return null; }
