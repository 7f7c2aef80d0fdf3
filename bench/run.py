#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Runs the benchmarks and prints one line each: NAME ours=... peer=... ratio=... unit=...

usage: run.py BUILD_DIR

`peer` is the same job done by SciPy (bench/peer_*.py BUILD_DIR, which prints "NAME VALUE UNIT"); "none" where there is
no peer. ratio = peer / ours, so more than 1 means that ours is faster. Medians of repeated runs.

The steady state (ours: bench_solve.c) has two peers, which solve the same equations with the laws of test/peer/peer.py:
  steady_cold, steady_warm                   peer_plain.py: all unknowns at once, as a plain SciPy script would have it
  steady_cold_reduced, steady_warm_reduced   peer_solve.py: most unknowns eliminated by hand first
"""
import pathlib
import statistics
import subprocess
import sys

here = pathlib.Path(__file__).resolve().parent
root = here.parent
build = pathlib.Path(sys.argv[1]).resolve()


def values(command):
    """{name: (value, unit)} from lines "NAME VALUE UNIT"."""
    done = subprocess.run(command, cwd=root, capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{' '.join(map(str, command))} failed:\n{done.stdout}{done.stderr}")
    rows = [line.split() for line in done.stdout.splitlines() if line.strip()]
    return {row[0]: (float(row[1]), row[2]) for row in rows if len(row) == 3}


def whole_runs():
    """Start to finish of the command: what a person waits for, and what it takes of a small machine's memory."""
    out = {}
    for example in sorted(root.glob("examples/*.yaml")):
        done = subprocess.run([build / "bench/launch", "11", build / "inward", "check", example], cwd=root,
                              capture_output=True, text=True)
        if done.returncode != 0:
            sys.exit(f"inward check {example.name} failed: {done.stderr}")
        rows = [dict(field.split("=") for field in line.split()) for line in done.stdout.splitlines()]
        out[f"check_wall[{example.stem}]"] = (statistics.median(float(r["wall_ms"]) for r in rows), "ms")
        out[f"check_memory[{example.stem}]"] = (float(rows[-1]["max_rss_KiB"]), "KiB")
    return out


def without(name, word):
    """The name less `word` at the end of what stands before its bracket."""
    head, bracket, rest = name.partition("[")
    return head.removesuffix(word) + bracket + rest


ours = values([build / "bench/bench_solve", *sorted(root.glob("examples/*.yaml"))])
ours |= values([build / "bench/bench_bed"])
ours |= values([build / "bench/bench_day", here / "day.yaml"])
ours |= whole_runs()
peers = {}
for script in sorted(here.glob("peer_*.py")):
    peers |= {without(name, "_plain"): found for name, found in values([sys.executable, script, build]).items()}
for name in peers:  # a second peer of the same job of ours has a line of its own
    same = without(name, "_reduced")
    if same != name and same in ours:
        ours[name] = ours[same]
for name, (value, unit) in ours.items():
    if name in peers:
        peer, peer_unit = peers[name]
        if peer_unit != unit:
            sys.exit(f"{name}: ours in {unit}, peer in {peer_unit}")
        print(f"{name} ours={value:.4g} peer={peer:.4g} ratio={peer / value:.3g} unit={unit}")
    else:
        print(f"{name} ours={value:.4g} peer=none ratio=none unit={unit}")
for name in sorted(set(peers) - set(ours)):
    sys.exit(f"peer {name} has no counterpart of ours")
