#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Times bench_bed.c's year and single days of it as SciPy scripts would run them, of the same equations at an error no larger.

usage: peer_bed.py BUILD_DIR
Prints "NAME VALUE UNIT" (see run.py): medians of several runs.

The same: isotherm (Dubinin & Radushkevich with a Henry end, vapours as one liquid), uptake rate (c - c(q)) with dispersion
lumped into it, 100 cells with the exact passage through a cell of even loading, a job of 8 h, an hour of clean air, 15 h at rest
with diffusion, from the loadings that the bed has after so many days. Two ways to write it: with the air's own content as a state
too, so that the Jacobian is banded; or loadings alone, as bed.c has it, where every cell feels all before it and the Jacobian is
full (twice as fast on a fresh bed, several times as slow later). Of these the faster counts, day by day.
The year is run day after day; the faster of the two is found anew on each day until the banded one, which is the slower
only while the bed is fresh, wins. Each solver takes the loosest tolerance of a list whose error is no more than ours. The error is the largest difference of a
loading at the day's end from bench_bed's at a tolerance of 1e-7, over the most that the bed held of that vapour; a run of
this solver at 1e-7 must agree with that reference, which is how the equations are known to be the same.
"""
import pathlib
import statistics
import subprocess
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import dia_matrix

CELLS, N = 100, 6
DEPTH, BULK, VELOCITY, VOIDAGE = 0.02, 450.0, 0.2, 0.4
PORES = 0.454e-3
DZ = DEPTH / CELLS
DAYS, YEAR = (1, 126, 250), 250
TOLERANCES = (1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 3e-6, 1e-6)
TIMES = 3
HOUR = 3600.0


class Law:
    """Gas concentration in equilibrium with loadings q[cells, N] at one temperature."""

    def __init__(self, columns, density):
        self.per_pa, self.psat, self.root, self.constant = columns  # constant: rate in flow, spread at rest
        self.volume = 1 / (density * PORES)                         # share of the pores, per loading
        self.join = np.exp(-self.root**2 / 4)
        self.henry = self.psat * np.exp(-self.root**2 / 2) / self.join

    def parts(self, q):
        share = q * self.volume
        f = np.minimum(np.maximum(share.sum(1), 1e-300), 1 - 1e-12)[:, None]
        depth = np.sqrt(-np.log(f))
        above = f > self.join
        return share, f, depth, above, np.where(above, self.psat * np.exp(-self.root * depth) / f, self.henry)

    def gas(self, q):
        share, _, _, _, slant = self.parts(q)
        return share * slant * self.per_pa

    def jacobian(self, q):
        """[cells, N, N]: a diagonal and a product of two vectors."""
        share, f, depth, above, slant = self.parts(q)
        bend = np.where(above, slant * (self.root / (2 * depth) - 1) / f, 0.0)
        out = (share * bend * self.per_pa)[:, :, None] * self.volume
        i = np.arange(N)
        out[:, i, i] += slant * self.per_pa * self.volume
        return out


class Bed:
    def __init__(self, bench):
        text = subprocess.run([bench, "numbers"], capture_output=True, text=True, check=True).stdout
        numbers = np.array(text.split(), dtype=float).reshape(N, -1)
        self.inlet = numbers[:, 0]
        self.flow, self.rest = (Law(numbers[:, k:k + 4].T, numbers[:, 1]) for k in (2, 6))
        self.through = np.exp(-self.flow.constant * DZ / VELOCITY)
        self.fast, self.slow = VELOCITY / (VOIDAGE * DZ), VELOCITY / (BULK * DZ)
        self.creep = self.rest.constant / (BULK * DZ**2)
        i = np.arange(CELLS)
        self.entry = self.through ** (i + 1)[:, None]               # of what comes in, past each cell
        # of what each gives off
        self.along = np.array([np.tril(t ** abs(i[:, None] - i) * (1 - t)) for t in self.through])

    def flowing(self, t, y, inlet):
        z = y.reshape(CELLS, 2 * N)
        c = z[:, :N]
        before = np.vstack([inlet, c[:-1]])
        out = np.empty_like(z)
        out[:, :N] = (before * self.through + (1 - self.through) * self.flow.gas(z[:, N:]) - c) * self.fast
        out[:, N:] = (before - c) * self.slow
        return out.ravel()

    def flowing_loadings(self, t, y, inlet):
        c = self.gas_along(y.reshape(CELLS, N), inlet)
        return ((np.vstack([inlet, c[:-1]]) - c) * self.slow).ravel()

    def resting(self, t, y):
        flux = np.zeros((CELLS + 1, N))
        flux[1:-1] = np.diff(self.rest.gas(y.reshape(CELLS, N)), axis=0)
        return (np.diff(flux, axis=0) * self.creep).ravel()

    # Jacobians as LSODA wants them: d f_i/d y_j at [upper + i - j, j], and `lower` rows of room below.
    def flowing_jacobian(self, t, y, inlet):
        law = self.flow.jacobian(y.reshape(CELLS, 2 * N)[:, N:])
        lower, upper = 3 * N, 2 * N
        out = np.zeros((2 * lower + upper + 1, 2 * N * CELLS))
        at = np.arange(CELLS) * 2 * N
        for i in range(N):
            out[upper, at + i] = -self.fast
            out[upper + 2 * N, at[:-1] + i] = self.fast * self.through[i]
            out[upper + N, at + i] = -self.slow
            out[upper + 3 * N, at[:-1] + i] = self.slow
            for k in range(N):
                out[upper + i - N - k, at + N + k] = self.fast * (1 - self.through[i]) * law[:, i, k]
        return out

    def resting_jacobian(self, t, y):
        law = self.rest.jacobian(y.reshape(CELLS, N))
        band = 2 * N - 1
        out = np.zeros((3 * band + 1, N * CELLS))
        at = np.arange(CELLS) * N
        neighbours = np.full(CELLS, 2.0)
        neighbours[[0, -1]] = 1
        for i in range(N):
            for k in range(N):
                out[band + i - k, at + k] = -neighbours * self.creep[i] * law[:, i, k]
                out[band + i - k + N, at[:-1] + k] = self.creep[i] * law[:-1, i, k]
                out[band + i - k - N, at[1:] + k] = self.creep[i] * law[1:, i, k]
        return out

    def gas_along(self, q, inlet):
        """The gas behind each cell that belongs to loadings."""
        return np.matmul(self.along, self.flow.gas(q).T[:, :, None])[:, :, 0].T + self.entry * inlet


def pattern(lower, upper, n):
    return dia_matrix((np.ones((lower + upper + 1, n)), np.arange(-lower, upper + 1)), shape=(n, n))


def lsoda(lower, upper, jacobian, n):
    return {"method": "LSODA", "lband": lower, "uband": upper, "jac": jacobian}


def lsoda_by_differences(lower, upper, jacobian, n):
    return {"method": "LSODA", "lband": lower, "uband": upper}


def lsoda_full(lower, upper, jacobian, n):
    return {"method": "LSODA"}


def bdf(lower, upper, jacobian, n):
    return {"method": "BDF", "jac_sparsity": pattern(lower, upper, n)}


def one_day(bed, q, most, tolerance, solver):
    """Loadings at the end of a day that begins with q. Absolute tolerances: a tenth of the relative one, of the most held."""
    def solved(f, hours, y, atol, how, args=()):
        s = solve_ivp(f, (0, hours * HOUR), y, args=args, rtol=tolerance, atol=atol, t_eval=[hours * HOUR], **how)
        if not s.success:
            sys.exit(s.message)
        return s.y[:, -1]

    alone = solver is lsoda_full
    how = solver(3 * N, 2 * N, bed.flowing_jacobian, 2 * N * CELLS)
    gas, held = bed.inlet * tolerance, 0.1 * most * tolerance
    for hours, inlet in ((8, bed.inlet), (1, 0 * bed.inlet)):
        if alone:
            q = solved(bed.flowing_loadings, hours, q.ravel(), np.tile(held, CELLS), how, (inlet,)).reshape(CELLS, N)
        else:
            y = np.hstack([bed.gas_along(q, inlet), q]).ravel()
            atol = np.tile(np.concatenate([gas, held]), CELLS)
            q = solved(bed.flowing, hours, y, atol, how, (inlet,)).reshape(CELLS, 2 * N)[:, N:]
    how = (lsoda if alone else solver)(2 * N - 1, 2 * N - 1, bed.resting_jacobian, N * CELLS)
    return solved(bed.resting, 15, q.ravel(), np.tile(held, CELLS), how).reshape(CELLS, N)


def our_day(bench, before, tolerance):
    rows = loadings(bench, "day", before, tolerance)
    return rows[0], rows[1:CELLS + 1], rows[CELLS + 1:]


def timed(bed, q, most, solver, error, allowed):
    """Median ms, and error, at the loosest tolerance that will do."""
    tolerance = next((t for t in TOLERANCES if error(one_day(bed, q, most, t, solver)) <= allowed), None)
    if tolerance is None:
        sys.exit(f"{solver.__name__}: no tolerance reaches our error of {allowed:.2g}")
    took = []
    for _ in range(TIMES):
        begin = time.process_time()
        end = one_day(bed, q, most, tolerance, solver)
        took.append(1e3 * (time.process_time() - begin))
    return statistics.median(took), error(end)


def loadings(*command):
    text = subprocess.run(list(map(str, command)), capture_output=True, text=True, check=True).stdout
    return np.array(text.split(), dtype=float).reshape(-1, N)


def year(bed, most, tolerance):
    """Loadings at the end of the year from a fresh bed, and ms. Of a day run twice the faster counts."""
    q, took, alone = np.zeros((CELLS, N)), 0.0, True
    for _ in range(YEAR):
        spent = []
        for solver in (lsoda, lsoda_full) if alone else (lsoda,):
            begin = time.process_time()
            end = one_day(bed, q, most, tolerance, solver)
            spent.append(1e3 * (time.process_time() - begin))
        alone = spent[-1] == min(spent) and alone
        took += min(spent)
        q = end
    return q, took


def whole_year(bench, bed):
    """The year at the loosest tolerance that ends with no larger an error than ours."""
    fine = loadings(bench, "year", 1e-7)
    most, fine = fine[0], fine[1:]
    ours = (np.abs(loadings(bench, "year", 1e-3)[1:] - fine).max(0) / most).max()
    for tolerance in TOLERANCES:
        end, took = year(bed, most, tolerance)
        error = (np.abs(end - fine).max(0) / most).max()
        if error <= ours:
            print(f"bed_2000h_days {took:.4g} ms\nbed_2000h_days_error {error:.3g} of_most")
            return
    sys.exit(f"year: no tolerance reaches our error of {ours:.2g}")


def main():
    bench = pathlib.Path(sys.argv[1]).resolve() / "bench/bench_bed"
    bed = Bed(bench)
    whole_year(bench, bed)
    for day in DAYS:
        most, q, fine = our_day(bench, day - 1, 1e-7)
        ours = our_day(bench, day - 1, 1e-3)[2]
        most = np.maximum(most, fine.max(0))

        def error(end):
            return (np.abs(end - fine).max(0) / most).max()

        apart = error(one_day(bed, q, most, 1e-7, lsoda))
        if apart > 1e-5:
            sys.exit(f"day {day}: the two fine solutions differ by {apart:.2g} of the most held")
        best = min(timed(bed, q, most, solver, error, error(ours)) for solver in (lsoda, lsoda_full))
        print(f"bed_day_{day} {best[0]:.4g} ms\nbed_day_{day}_error {best[1]:.3g} of_most")
        for solver, word in ((lsoda_by_differences, "differences"), (bdf, "bdf")):
            print(f"bed_day_{day}_{word} {timed(bed, q, most, solver, error, error(ours))[0]:.4g} ms")


if __name__ == "__main__":
    main()
