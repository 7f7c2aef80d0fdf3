#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Add up the check counts of test programs ("N passed, M failed" is the last line of each).

usage: tally.py LABEL=testlog.json|LINT.txt ...
A label that begins with + is a repeat of the same checks under another build: its failures count, its passes are shown
but not added, so that running the suite three times does not make it look three times as large.
A program that dies, or ends nonzero while counting no failure, is one failure. One that prints no count is one check.
"""
import json
import re
import sys

COUNT = re.compile(r"^(?:\w+: )?(\d+) passed, (\d+) failed(?:, (\d+) skipped)?$", re.M)


def programs(path):
    """(name, output, returncode, seconds)"""
    if path.endswith(".json"):
        for line in open(path):
            t = json.loads(line)
            code = 0 if t["result"] in ("OK", "EXPECTEDFAIL") else (77 if t["result"] == "SKIP" else t["returncode"] or 1)
            yield t["name"], t.get("stdout", "") + t.get("stderr", ""), code, t["result"]
    else:
        text = open(path, errors="replace").read()
        body, _, code = text.rpartition("exit ")
        yield path.rsplit("/", 1)[-1].removesuffix(".txt"), body, int(code or 1), "OK" if code.strip() == "0" else "FAIL"


total, failed = 0, 0
told = set()  # the same failure under another build is counted, not printed again
for argument in sys.argv[1:]:
    label, path = argument.split("=", 1)
    here, wrong, names = 0, 0, 0
    for name, output, code, result in programs(path):
        counts = COUNT.findall(output)
        good, bad = (int(counts[-1][0]), int(counts[-1][1])) if counts else (int(code == 0), 0)
        if code not in (0, 77) and bad == 0:
            bad = 1
        here, wrong, names = here + good, wrong + bad, names + 1
        if (bad or code == 77) and (name, bad) not in told:
            told.add((name, bad))
            lines = [line for line in output.splitlines() if not line.startswith("ok")]
            print(f"--- {label.lstrip('+')}: {name}: {result.lower()}")
            print("\n".join("    " + line for line in lines[-60:]))
    title = label.lstrip("+") + ("" if path.endswith(".json") else f" {name}")
    print(f"{title:<20} {names:3} {'programs' if names > 1 else 'program ':8} {here:8} passed {wrong:5} failed")
    total += 0 if label.startswith("+") else here
    failed += wrong
print(f"{total} passed, {failed} failed")
sys.exit(1 if failed or not total else 0)
