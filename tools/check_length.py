#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Lint: functions over 60 lines are allowed only when tools/long_functions.txt gives a reason ("file function reason").

Reports the spread, and an entry of the list that is no longer needed is an error too.
"""
import pathlib
import re
import sys

LIMIT = 60
root = pathlib.Path(__file__).resolve().parent.parent
allowed = {}
for line in (root / "tools/long_functions.txt").read_text().splitlines():
    if line.strip() and not line.startswith("#"):
        file, function, reason = line.split(None, 2)
        allowed[file, function] = reason


def functions(path):
    """(name, line, length): a body opens with { and closes with } in the first column."""
    lines = path.read_text().splitlines()
    start = None
    for i, line in enumerate(lines):
        if start is None and (line == "{" or re.match(r"[a-z].*\)\s*\{$", line)):
            head = " ".join(lines[max(0, i - 6):i + 1])
            names = re.findall(r"\b(\w+)\s*\([^;{}]*\)\s*\{$", head)
            start = i
            name = re.findall(r"(\w+)\s*\(", re.split(r"[;}]|\*/", head[:head.rfind("{")])[-1])
            name = name[0] if name else (names[0] if names else "?")
        elif line.startswith("}"):
            if start is not None:
                yield name, start + 1, i - start + 1
            start = None


passed, bad, lengths, used = 0, [], [], set()
for path in sorted(root.glob("src/*/*.c")):
    where = str(path.relative_to(root))
    for name, line, length in functions(path):
        lengths.append(length)
        if length > LIMIT and (where, name) not in allowed:
            bad.append(f"{where}:{line}: {name} has {length} lines; split it, or give a reason in tools/long_functions.txt")
        else:
            passed += 1
            if length > LIMIT:
                used.add((where, name))
for file, function in sorted(set(allowed) - used):
    bad.append(f"tools/long_functions.txt: {file} {function} is not over {LIMIT} lines (or gone): take the line out")
if lengths:
    lengths.sort()
    print(f"{len(lengths)} functions: median {lengths[len(lengths) // 2]} lines, "
          f"ninetieth percentile {lengths[len(lengths) * 9 // 10]}, longest {lengths[-1]}")
print(*bad, sep="\n", end="\n" if bad else "")
print(f"{passed} passed, {len(bad)} failed")
sys.exit(bool(bad))
