// SPDX-License-Identifier: MIT
export function Section() { return null; }
