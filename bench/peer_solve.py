#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Times the steady state of each example's first job by a reduced SciPy script: test/peer/peer.py's equations, with
panels, star node, skins and seals eliminated by scalar roots, and scipy.optimize.root on the five or so unknowns left.
The same answer to 1e-6 (test/peer compares them). peer_plain.py leaves all unknowns in, and is faster for it.

usage: peer_solve.py BUILD_DIR [TIMES]
Prints "steady_cold_reduced[EXAMPLE] VALUE ms" and "steady_warm_reduced[EXAMPLE] VALUE ms": medians. Cold starts from
the peer's own guess; warm goes to and fro between the design and the same with outdoor air 1 K warmer. The mode of the
heater is known beforehand, as it usually is to the library too.
And "steady_cold_whole[EXAMPLE] VALUE ms": the independent solution of test/peer as it stands, which finds the modes of
heater and plate itself, as the library does from a cold start, and polishes its answer to 1e-6 of ours and better.
"""
import json
import pathlib
import statistics
import subprocess
import sys
import time

from scipy.optimize import root

project = pathlib.Path(__file__).resolve().parent.parent
sys.path.insert(0, str(project / "test/peer"))
import peer  # noqa: E402


def prepared(data, mode, shift):
    """The model of the first case with outdoor air `shift` K warmer, its heater in the mode that the answer has."""
    at = data["site"]["T_out"]
    rows = [dict(row) for row in data["quantities"]]
    rows[at]["value"] += shift
    model = peer.Model(dict(data, quantities=rows), data["cases"][0])
    model.hold, model.heater_W = mode == "holds", model.heater_max if mode == "full" else 0.0
    return model


def solve(model, start):
    """Seconds and the solution, to a residual of 1e-9 of 1 g/s, 10 Pa, 10 W."""
    begin = time.perf_counter()
    model.walls_memory = {}
    got = root(lambda u: model.evaluate(u)[0], start, method="hybr", options={"xtol": 1e-10})
    took = time.perf_counter() - begin
    if abs(got.fun).max() > 1e-9:
        sys.exit(f"not converged: {abs(got.fun).max():.2g}")
    return took, got.x


def independent(data):
    """Seconds of the peer's own way from nothing to the answer."""
    model = peer.Model(data, data["cases"][0])
    begin = time.perf_counter()
    model.solve()
    return time.perf_counter() - begin


def main():
    build = pathlib.Path(sys.argv[1])
    times = int(sys.argv[2]) if len(sys.argv) > 2 else 21
    for example in sorted(project.glob("examples/*.yaml")):
        data = json.loads(subprocess.run([build / "test/dump", example], capture_output=True, text=True, check=True).stdout)
        mode = data["cases"][0]["solution"]["heater"]
        models = [prepared(data, mode, shift) for shift in (0.0, 1.0)]
        cold = [solve(models[0], models[0].start()) for _ in range(times)]
        warm, u = [], cold[0][1]
        for i in range(times):
            took, u = solve(models[(i + 1) % 2], u)
            warm.append(took)
        whole = [independent(data) for _ in range(max(3, times // 4))]
        print(f"steady_cold_whole[{example.stem}] {1e3 * statistics.median(whole):.4g} ms")
        print(f"steady_cold_reduced[{example.stem}] {1e3 * statistics.median(t for t, _ in cold):.4g} ms")
        print(f"steady_warm_reduced[{example.stem}] {1e3 * statistics.median(warm):.4g} ms")


if __name__ == "__main__":
    main()
