#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Times the bare day of bench/day.yaml as a SciPy script would run it: test/peer/day_peer.py's equations by solve_ivp, at a
tolerance at which its error is about that of the library's default (some hundredths of a kelvin at worst, some 0.1 % of the
day's mean of what a room holds).

usage: peer_day.py BUILD_DIR            prints "day_bare VALUE ms" and again as "day_less": what the peer takes for less than the
                                        whole day, as it has neither medium nor carbon (peer_bed.py has the carbon). One run: it
                                        takes long enough to be even
       peer_day.py BUILD_DIR DESIGN     only writes the bare day there
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


def write_bare(to):
    lines = (project / "bench/day.yaml").read_text().splitlines(keepends=True)
    to.write_text("".join(line for line in lines if not line.endswith("# not in the bare day\n")))


def main():
    build = pathlib.Path(sys.argv[1])
    bare = build / "bench/day-bare.yaml"
    write_bare(bare)
    made = subprocess.run([build / "test/dump_day", bare, "32", "0"], capture_output=True, text=True, check=True)
    data = json.loads(made.stdout)
    begin = time.process_time()
    program, stretches = day_peer.run_heat(data, TOLERANCE)
    day_peer.run_matter(data, program, stretches, TOLERANCE, between=2)
    took = 1e3 * (time.process_time() - begin)
    print(f"day_bare {took:.4g} ms\nday_less {took:.4g} ms")


if __name__ == "__main__":
    write_bare(pathlib.Path(sys.argv[2])) if len(sys.argv) > 2 else main()
