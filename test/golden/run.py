#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Golden runs: the command's output on the examples against kept files.

usage: run.py INWARD [--update]

Each line of cases.txt is "name: arguments". The output is compared with expected/NAME (ending .json or .txt):
text exactly, but for numbers below 1e-11, which are only rounding; JSON in structure and words exactly, numbers to 1e-6
relative (compilers may differ in the last digits of a solved number; the solver itself converges below this).
expected/NAME.exit keeps the exit status. The kept files change only by `./dev golden-update`, with the reason in the
commit.
"""
import json
import math
import pathlib
import re
import shlex
import subprocess
import sys

here = pathlib.Path(__file__).resolve().parent
root = here.parent.parent
RELATIVE = 1e-6
ABSOLUTE = 1e-12  # numbers that are zero but for rounding: a balance, a closed port


def differences(want, got, path="$"):
    if isinstance(want, bool) or isinstance(got, bool) or want is None or got is None:
        return [] if want is got else [f"{path}: want {want!r}, got {got!r}"]
    if isinstance(want, (int, float)) and isinstance(got, (int, float)):
        same = math.isclose(want, got, rel_tol=RELATIVE, abs_tol=ABSOLUTE)
        return [] if same else [f"{path}: want {want!r}, got {got!r}"]
    if type(want) is not type(got):
        return [f"{path}: want {want!r}, got {got!r}"]
    if isinstance(want, dict):
        out = [f"{path}.{k}: missing" for k in want if k not in got] + [f"{path}.{k}: new" for k in got if k not in want]
        return out + [d for k in want if k in got for d in differences(want[k], got[k], f"{path}.{k}")]
    if isinstance(want, list):
        out = [] if len(want) == len(got) else [f"{path}: want {len(want)} items, got {len(got)}"]
        return out + [d for i, (w, g) in enumerate(zip(want, got)) for d in differences(w, g, f"{path}[{i}]")]
    return [] if want == got else [f"{path}: want {want!r}, got {got!r}"]


def text_differences(want, got):
    # what is left of a balance by rounding has no digits worth keeping
    want, got = (re.sub(r"-?\b\d(\.\d+)?e-1[2-9]\b", "(rounding)", t).splitlines() for t in (want, got))
    out = [f"line {i}:\n    want {w}\n     got {g}" for i, (w, g) in enumerate(zip(want, got), 1) if w != g]
    return out + ([] if len(want) == len(got) else [f"want {len(want)} lines, got {len(got)}"])


def run(inward, arguments):
    done = subprocess.run([inward, *shlex.split(arguments)], cwd=root, capture_output=True, text=True, timeout=300,
                          stdin=subprocess.DEVNULL)
    return done.stdout + done.stderr, done.returncode


def main():
    inward, update = str(pathlib.Path(sys.argv[1]).resolve()), "--update" in sys.argv
    passed, failed, names = 0, 0, set()
    for line in (here / "cases.txt").read_text().splitlines():
        if not line.strip() or line.startswith("#"):
            continue
        name, arguments = line.split(":", 1)
        names |= {name, name + ".exit"}
        kept, kept_exit = here / "expected" / name, here / "expected" / (name + ".exit")
        output, status = run(inward, arguments)
        if update:
            kept.parent.mkdir(exist_ok=True)
            kept.write_text(output)
            kept_exit.write_text(f"{status}\n")
            continue
        if not kept.exists() or not kept_exit.exists():
            faults = ["no kept file: read the output, then ./dev golden-update"]
        elif name.endswith(".json"):
            try:
                faults = differences(json.loads(kept.read_text()), json.loads(output))
            except json.JSONDecodeError as e:
                faults = [f"not JSON: {e}: {output[:200]}"]
        else:
            faults = text_differences(kept.read_text(), output)
        if kept_exit.exists() and int(kept_exit.read_text()) != status:
            faults.append(f"exit status: want {kept_exit.read_text().strip()}, got {status}")
        passed, failed = passed + (not faults), failed + bool(faults)
        if faults:
            print(f"FAIL {name}: inward{arguments}", *faults[:12], sep="\n  ")
            if len(faults) > 12:
                print(f"  and {len(faults) - 12} more")
    strays = {p.name for p in (here / "expected").glob("*")} - names
    for stray in sorted(strays):
        failed += 1
        print(f"FAIL expected/{stray}: no case makes it")
    print(f"{passed} passed, {failed} failed")
    return 0 if update else int(bool(failed) or not passed)


sys.exit(main())
