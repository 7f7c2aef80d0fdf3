// SPDX-License-Identifier: MIT
export function Begin() { return null; }
