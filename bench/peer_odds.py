#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Times one sample of the coupled check as a plain SciPy script would take it: what is not known is drawn, and the steady
state solved again from the design's own, with every unknown and equation of peer_plain.py.

usage: peer_odds.py BUILD_DIR [DRAWS]
Prints "odds_sample VALUE ms": the median solve of DRAWS draws, of the stop that is fastest among those with which all of them
were solved, times the number of states in which the library solves each sample of the same design; and "odds_states VALUE
states", that number (the library's own note says it). Drawn are the seams' and the rooms' leakage, the panels' resistance and
the stages' by factors, and the outdoor air. What follows from the flows (particles, gases, sound) and the drawing itself are
left out: the peer is given these.
"""
import copy
import json
import math
import pathlib
import random
import re
import statistics
import subprocess
import sys

here = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(here))
import peer_plain  # noqa: E402

EXAMPLE = peer_plain.project / "examples/splint-night.yaml"
SPREAD = 0.2  # standard deviation of a drawn factor's logarithm: a range of a factor of two
ATTEMPTS = [("hybr", {"xtol": x}) for x in (1.5e-8, 1e-10, 1e-12)] + [("lm", {"xtol": 1.5e-8, "ftol": 1e-15})]


def drawn(plain, chance):
    """The same box with other numbers."""
    one = copy.deepcopy(plain)

    def factor():
        return math.exp(SPREAD * chance.gauss(0, 1))

    one.levels = [(a, b, h, r and (r[0] * factor(), r[1] * factor()), c * factor(), n) for a, b, h, r, c, n in one.levels]
    one.panels = [(p[0], p[1] * factor(), *p[2:]) for p in one.panels]
    one.m.T_out += chance.gauss(0, 1)
    return one


def states_solved(build):
    run = subprocess.run([build / "inward", "odds", EXAMPLE, "--samples", "16", "--json"], capture_output=True, text=True)
    notes = " ".join(json.loads(run.stdout)["notes"])
    return int(re.search(r"solved in (\d+) of", notes).group(1))


def main():
    build = pathlib.Path(sys.argv[1])
    draws = int(sys.argv[2]) if len(sys.argv) > 2 else 25
    dump = subprocess.run([build / "test/dump", EXAMPLE], capture_output=True, text=True, check=True)
    plain = peer_plain.prepared(json.loads(dump.stdout), 0.0)
    begin = next(s for s in (peer_plain.solve(plain, plain.scaled(plain.guess()), a) for a in ATTEMPTS) if s)[0]
    chance = random.Random(1)
    boxes = [drawn(plain, chance) for _ in range(draws)]
    best = None
    for attempt in ATTEMPTS:
        done = [peer_plain.solve(box, begin, attempt) for box in boxes]
        if all(done):
            took = statistics.median(s[1] for s in done)
            best = took if best is None else min(best, took)
    if best is None:
        sys.exit("odds_sample: no attempt solved all draws")
    states = states_solved(build)
    print(f"odds_sample {1e3 * best * states:.4g} ms")
    print(f"odds_states {states} states")
    print(f"odds_sample: {1e3 * best:.3g} ms a solve", file=sys.stderr)


if __name__ == "__main__":
    main()
