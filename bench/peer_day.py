#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Times the day of bench/day.yaml as a SciPy script would run it: test/peer/day_peer.py's equations by solve_ivp, at a
tolerance at which its error is about that of the library's default (some hundredths of a kelvin at worst, some 0.1 % of the
day's mean of what a room holds).

usage: peer_day.py BUILD_DIR
Prints "day VALUE ms". One run: it takes long enough to be even.
"""
import json
import pathlib
import subprocess
import sys
import time

project = pathlib.Path(__file__).resolve().parent.parent
sys.path.insert(0, str(project / "test/peer"))
import day_peer  # noqa: E402

TOLERANCE = 1e-4


def main():
    build = pathlib.Path(sys.argv[1])
    made = subprocess.run([build / "test/dump_day", project / "bench/day.yaml", "32", "0"], capture_output=True, text=True, check=True)
    data = json.loads(made.stdout)
    begin = time.perf_counter()
    program, stretches = day_peer.run_heat(data, TOLERANCE)
    day_peer.run_matter(data, program, stretches, TOLERANCE, between=2)
    print(f"day {1e3 * (time.perf_counter() - begin):.4g} ms")


if __name__ == "__main__":
    main()
