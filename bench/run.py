#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Runs the benchmarks and prints one line each: NAME ours=... peer=... ratio=... unit=...

usage: run.py BUILD_DIR

`peer` is the same job done by SciPy (bench/peer_*.py BUILD_DIR, which prints "NAME VALUE UNIT"); "none" where there is
no peer. ratio = peer / ours, so more than 1 means that ours is faster. Medians of repeated runs; of
bed and day in processor time on both sides, which others on the machine do not stretch.

The steady state (ours: bench_solve.c) has two peers, which solve the same equations with the laws of test/peer/peer.py:
  steady_cold, steady_warm                   peer_plain.py: all unknowns at once, as a plain SciPy script would have it
  steady_cold_reduced, steady_warm_reduced   peer_solve.py: most unknowns eliminated by hand first, modes known beforehand
  steady_cold_whole                          test/peer/peer.py as it stands: the same, which finds the modes and polishes

A sample of the coupled check (ours: bench_odds.c, with all that is made of it) has peer_odds.py's, which is given the drawing
and all that follows from the flows; odds_sample_whole has as many states of test/peer/peer.py as it stands.

Days of a year's use of a bed (ours: bench_bed.c) have these, peer_bed.py's, of the same equations at an error no larger:
  bed_day_1, bed_day_126, bed_day_250        the fastest found: LSODA, with a banded Jacobian written by hand or a full one
  ..._differences                            LSODA that finds its banded Jacobian by differences, the plain way
  ..._bdf                                    solve_ivp's own BDF, with the Jacobian's pattern given
  ..._error                                  the two errors at the day's end, against steps without error
  bed_2000h_days                       all 250 days one after the other

The day (ours: bench_day.c; day.yaml has a medium that loads and carbon resolved) has peer_day.py, of the same equations:
  day_bare                             without medium and carbon, on both sides
  day_less                             that time again, beside our whole day: at least so much faster, as the peer does less

Lines of unit "exponent" say how cost grows: the power of cells, vapours, hours, particle sizes by least squares over five or
six sizes, in processor time, each the best of several. day_cost_bins is a whole day's step, whose box and rooms do not
grow; meeting_cost_bins is coagulation alone.
"""
import pathlib
import shutil
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


def launched(times, *command):
    """What `launch` says of each of so many runs of a command."""
    done = subprocess.run([build / "bench/launch", str(times), *command], cwd=root, capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{' '.join(map(str, command))} failed: {done.stderr}")
    return [dict(field.split("=") for field in line.split()) for line in done.stdout.splitlines()]


def whole_runs():
    """Start to finish of the command: what a person waits for, and what it takes of a small machine's memory."""
    out = {}
    for example in sorted(root.glob("examples/*.yaml")):
        rows = launched(11, build / "inward", "check", example)
        out[f"check_wall[{example.stem}]"] = (statistics.median(float(r["wall_ms"]) for r in rows), "ms")
        out[f"check_memory[{example.stem}]"] = (float(rows[-1]["max_rss_KiB"]), "KiB")
    example = root / "examples/splint-night-choose.yaml"
    out[f"choose_wall[{example.stem}]"] = (float(launched(1, build / "inward", "choose", example)[0]["wall_ms"]) / 1000, "s")
    # a year of the bed: 249 days and one more
    out["bed_2000h_days_memory"] = (float(launched(1, build / "bench/bench_bed", "day", "249", "1e-3")[-1]["max_rss_KiB"]), "KiB")
    return out


def without(name, word):
    """The name less `word` at the end of what stands before its bracket."""
    head, bracket, rest = name.partition("[")
    return head.removesuffix(word) + bracket + rest


ours = values([build / "bench/bench_solve", *sorted(root.glob("examples/*.yaml"))])
ours |= values([build / "bench/bench_bed"])
ours |= values([build / "bench/bench_day", here / "day.yaml"])
bare = build / "bench/day-bare.yaml"
values([sys.executable, here / "peer_day.py", build, bare])
ours["day_bare"] = values([build / "bench/bench_day", bare])["day"]
ours |= values([build / "bench/bench_odds", root / "examples/splint-night.yaml"])
if subprocess.run([build / "inward", "serve"], capture_output=True).returncode != 3:  # 3: built without the page
    ours |= values([sys.executable, here / "bench_serve.py", build / "inward", root / "examples/splint-night.yaml", build / "bench/load"])
    if (root / "web/dist/page.js").exists() and shutil.which("node") and shutil.which("chromium"):  # the page, in a browser
        ours |= values(["node", here / "page.mjs", build / "inward", root / "examples/splint-night.yaml"])
ours |= whole_runs()
peers = {}
for script in sorted(here.glob("peer_*.py")):
    peers |= {without(name, "_plain"): found for name, found in values([sys.executable, script, build]).items()}
states = peers.pop("odds_states")[0]  # in which each sample is solved
peers["odds_sample_whole"] = (states * peers["steady_cold_whole[splint-night]"][0], "ms")
for name in list(peers):  # another peer of the same job of ours has a line of its own
    for word in ("_reduced", "_whole", "_differences", "_bdf", "_less"):
        same = without(name, word)
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
    if not name.endswith("_error"):
        sys.exit(f"peer {name} has no counterpart of ours")
    print(f"{name} ours=none peer={peers[name][0]:.4g} ratio=none unit={peers[name][1]}")
