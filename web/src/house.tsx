// SPDX-License-Identifier: MIT
export function House() { return null; }
