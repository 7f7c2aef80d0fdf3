#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Times the steady state of each example's first job as a plain SciPy script would find it: every unknown of part 3 of
doc/theory.md at once, the residuals written straight from its equations with the laws of test/peer/peer.py, and
scipy.optimize.root with SciPy's own differences for derivatives. Nothing is eliminated; nothing is worked out twice.

usage: peer_plain.py BUILD_DIR [TIMES]
Prints "steady_cold_plain[EXAMPLE] VALUE ms" and "steady_warm_plain[EXAMPLE] VALUE ms": the median of the fastest of
ATTEMPTS, of those with which every solve reached what the library calls solved, 1e-9 of 1 g/s, 10 Pa, 10 K, 10 W. All
attempts take turns, in ROUNDS, so that a busy spell of the machine does not fall on one of them. What was fastest goes
to stderr. Cold starts from the library's own guess (src/model/slots.c), made before the clock starts; warm goes to and
fro between the design and the same with outdoor air 1 K warmer. The modes of heater and plate are known beforehand. The
run fails unless the solution is the library's, every unknown to 1e-6.

Plain floats: at six faces and some thirty unknowns NumPy's arrays cost more than they save.
"""
import json
import math
import pathlib
import statistics
import subprocess
import sys
import time

import numpy as np
from scipy.optimize import brentq, root
from scipy.special import roots_chebyu

project = pathlib.Path(__file__).resolve().parent.parent
sys.path.insert(0, str(project / "test/peer"))
import peer  # noqa: E402
from peer import G, SIGMA, convection, density, drop, passing, viscosity  # noqa: E402

# Loose and tight stops of each method: what is loose for one example is needlessly tight for another.
ATTEMPTS = [("hybr", {"xtol": x}) for x in (1.5e-8, 1e-9, 1e-10, 1e-12)]
ATTEMPTS += [("lm", {"xtol": x, "ftol": 1e-15}) for x in (1.5e-8, 1e-12)]
ATTEMPTS += [("krylov", {"fatol": 1e-9})]
ROUNDS = 3
SIZE = {"T": 10.0, "p": 10.0, "m": 1e-3}  # natural sizes of unknowns; temperatures count from T_ZERO
T_ZERO = 293.15
OUT = peer.OUTDOORS  # -1: outdoors is the last zone of every list below, after the rooms and the box


class Plain:
    """A design's data in the shape in which the residuals use them."""

    def __init__(self, model):
        self.m = m = model
        self.n_rooms = n = len(m.rooms)
        self.BOX = n
        self.z0 = [0.0] * n + [m.stand, 0.0]
        self.w = [r["w"] for r in m.rooms] + [m.w, m.w_out]
        self.free = [i for i, r in enumerate(m.rooms) if not r["held"]]
        self.levels, self.tall = [], []
        for g in m.gaps:
            self.add_gap(g)
        self.tall += [(d["a"], d["b"], d["w"], d["sill"], d["h"], d["cd"]) for d in m.doors if d["w"] * d["h"] > 0]
        for i, r in enumerate(m.rooms):
            for at in (0.5 - 0.5 / math.sqrt(3), 0.5 + 0.5 / math.sqrt(3)) if r["C"] > 0 else ():
                self.levels.append((OUT, i, r["H"] * at, None, r["C"] / 2, r["n"]))
        self.panels = [(p["A"], p["A"] / p["R"], p["looks"], p["L"], p["run"], p["F"] * SIGMA, p["e"] * SIGMA,
                        max(10, 0.02 * p["A"] / p["R"])) for p in m.panels]
        self.ducts = []
        if m.has:
            self.ducts = [(k, d) for k, d in (("in", m.inlet), ("return", m.ret), ("exhaust", m.exh)) if d]
        self.moving = bool(m.ret or m.exh)
        self.sealed = [k for k, s in enumerate(m.stages) if s["kind"] != "blower" and s["seal"]]
        self.name_unknowns()

    def add_gap(self, g):
        if g["kind"] == "opening":
            self.tall.append((g["room"], self.BOX, g["w"], g["z"], g["rise"], g["cd"]))
            return
        points, shares = np.polynomial.legendre.leggauss(4) if g["rise"] > 0 else ([-1.0], [2.0])
        if g["kind"] == "hole" and g["rise"] < 0.025:
            points, shares = [0.0], [2.0]
        elif g["kind"] == "hole":  # a disc: sqrt(1 - x^2) dx
            points, shares = roots_chebyu(4)
            shares = shares * 2 / sum(shares)
        for at, s in zip(points, shares):
            h, s = g["z"] + g["rise"] * (1 + float(at)) / 2, float(s) / 2
            if g["kind"] == "measured":
                self.levels.append((g["room"], self.BOX, h, None, g["C"] * s, g["n"]))
            else:
                self.levels.append((g["room"], self.BOX, h, (g["r"][0] / s, g["r"][1] / s**2), 0, 0))

    def name_unknowns(self):
        """As test/dump names them, in the order in which residual() takes them."""
        names = [("p_rooms", i) for i in range(self.n_rooms)] + [("p_box", None), ("T_box", None), ("T_star", None)]
        names += [("T_panel_in", f) for f in range(6)] + [("T_panel_out", f) for f in range(6)]
        names += [("T_rooms", i) for i in self.free]
        if self.m.has:
            names += [("p_junction", None), ("T_junction", None), ("m_clean", None)]
            names += [("m_" + k, None) for k, _ in self.ducts if k != "in"]
            names += [("m_bypass", k) for k in self.sealed]
            names += [("T_" + k, None) for k, _ in self.ducts]
            names += [("T_skin", ("in", "return", "exhaust").index(k)) for k, d in self.ducts if d.L > 0]
        self.names = names
        self.size = np.array([SIZE[name[0]] for name, _ in names])
        self.zero = np.array([T_ZERO if name[0] == "T" else 0.0 for name, _ in names])

    def scaled(self, y):
        return (y - self.zero) / self.size

    def unscaled(self, u):
        return self.zero + self.size * u

    # ---- the equations ----

    def residual(self, u):
        try:
            return self.balances((self.zero + self.size * u).tolist())
        except (peer.Nowhere, ValueError, OverflowError, ZeroDivisionError):
            return np.full(len(u), 1e3)

    def balances(self, y):
        m, n, BOX = self.m, self.n_rooms, self.BOX
        p, cp = m.p, m.cp
        take = iter(y).__next__
        P = [take() for _ in range(n + 1)] + [0.0]
        Tb, star = take(), take()
        inner, outer = [take() for _ in range(6)], [take() for _ in range(6)]
        T = [r["T"] for r in m.rooms] + [Tb, m.T_out]
        for i in self.free:
            T[i] = take()
        rho = [density(p, t, w) for t, w in zip(T, self.w)]
        mu = [viscosity(t) for t in T]
        weight = [r * G for r in rho]
        z0 = self.z0
        mass, heat = [0.0] * (n + 2), [0.0] * (n + 2)

        def at(z, h):
            return P[z] - weight[z] * (h - z0[z])

        for a, b, h, r, C, e in self.levels:
            dp = at(a, h) - at(b, h)
            if dp < 0:
                a, b, dp = b, a, -dp
            q = passing(r, dp, rho[a], mu[a]) if r else peer.power_law(C, e, dp, rho[a], mu[a])
            flow = q * rho[a]
            mass[a] -= flow
            mass[b] += flow
            heat[b] += flow * cp * (T[a] - T[b])
        for a, b, w, z, rise, cd in self.tall:
            lo, hi = at(a, z) - at(b, z), at(a, z + rise) - at(b, z + rise)
            ab = cd * w * rise * math.sqrt(2 * rho[a]) * peer.orifice_mean(lo, hi)
            ba = cd * w * rise * math.sqrt(2 * rho[b]) * peer.orifice_mean(-lo, -hi)
            mass[a] += ba - ab
            mass[b] += ab - ba
            heat[a] += ba * cp * (T[b] - T[a])
            heat[b] += ab * cp * (T[a] - T[b])
        for i in self.free:
            r = m.rooms[i]
            heat[i] += (r["exchange"] * cp + r["UA"]) * (m.T_out - T[i])

        chain = self.chain(take, P, T, rho, at, mass, heat) if m.has else []

        Tr, star4, room4 = T[m.room], star**4, T[m.room]**4
        walls, to_star = [], 0.0
        heat[BOX] += m.hot + m.heater_W
        for (A, K, looks, L, run, F, e, size), Ti, To in zip(self.panels, inner, outer):
            air = A * m.real * convection(looks, L, Ti, Tb, p, m.stirring, run)
            rays = A * F * (Ti**4 - star4)
            through = K * (Ti - To)
            away = A * (m.real * convection(-looks, L, To, Tr, p) + e * (To**4 - room4))
            walls += [(air + rays + through) / size, (through - away) / size]
            heat[BOX] += air
            heat[m.room] += away
            to_star += rays
        if m.plate:
            heat[BOX] += m.plate_Ac * convection(1, m.plate_L, m.plate_T, Tb, p, m.stirring, m.plate_run)
            to_star += m.plate_A * m.plate_F * SIGMA * (m.plate_T**4 - star4)

        out = [mass[i] / 1e-3 for i in range(n + 1)]
        for i in m.pinned:
            if i == "box":
                mid = m.stand + m.H / 2
                out[BOX] = (at(BOX, mid) - at(m.room, mid)) / 10
            else:
                mid = m.rooms[i]["H"] / 2
                out[i] = (at(i, mid) - at(OUT, mid)) / 10
        out += [(Tb - m.target) / 10 if m.hold else heat[BOX] / 10, to_star / 10]
        return np.array(out + walls + [heat[i] / 10 for i in self.free] + chain)

    def chain(self, take, P, T, rho, at, mass, heat):
        """The cleaner's residuals; what it moves goes into mass and heat of the zones."""
        m, BOX, p, w, cp = self.m, self.BOX, self.m.p, self.m.w, self.m.cp
        Tb, around = T[BOX], T[m.room]
        pj, TJ, mc = take(), take(), take()
        flow = {k: mc if k == "in" else take() for k, _ in self.ducts}
        past = {k: take() for k in self.sealed}
        ends = {k: take() for k, _ in self.ducts}
        res_T, res_skin, mean = [], [], {}
        heat_J, back_J = 0.0, -m.casing * (TJ - around)
        for k, d in self.ducts:
            f, end, Tr = flow[k], ends[k], T[d.room]
            front, behind = (Tb, TJ) if k == "in" else (TJ, Tb if k == "return" else T[m.to])
            t = min(max(0.5 * (1 + f / 1e-5), 0.0), 1.0)  # nearly at rest: air of both ends
            donor = behind + (front - behind) * t * t * (3 - 2 * t)
            stays = 1.0
            if d.L > 0:
                Ts, A = take(), math.pi * d.D * d.L
                K = 1 / (1 / peer.duct_inside(d.D, f / density(p, donor, w), donor, p) + d.R)
                ho = peer.duct_outside(d.D, Ts, Tr, p)
                res_skin.append(A * (K * (donor - Ts) - ho * (Ts - Tr)) / 10)
                stays = math.exp(-K * ho / (K + ho) * A / (abs(f) * cp)) if f else 0.0
            res_T.append((end - Tr - (donor - Tr) * stays) / 10)
            heat[d.room] += abs(f) * cp * ((front if f >= 0 else behind) - end)
            Tm = (front + end) / 2
            mean[k] = density(p, Tm, w), viscosity(Tm)
            if k == "in":
                if f >= 0:
                    back_J += f * cp * (end - TJ)
                else:
                    heat[BOX] -= f * cp * (end - Tb)
            else:
                to = BOX if k == "return" else m.to
                mass[to] += f
                if f >= 0:
                    heat[to] += f * cp * (end - T[to])
                else:
                    back_J -= f * cp * (end - TJ)
        mass[BOX] -= mc
        heat[m.room] += m.casing * (TJ - around)
        r, mu = mean["in"]
        rest, seals = at(BOX, m.z_in) - m.inlet.loss(mc / r, r, mu) - pj, []
        states = {}
        for k, s in enumerate(m.stages):
            Tk = ends["in"] if k <= m.first_blower or s["kind"] == "blower" else TJ
            if Tk not in states:
                states[Tk] = density(p, Tk, w), viscosity(Tk)
            r, mu = states[Tk]
            if s["kind"] == "blower":
                rise = s["curve"].rise(s["speed"], mc / r, r)
                rest += rise
                heat_J += s["power"] if s["raw"]["motor_in_air"] else max(rise * mc / r, 0)
                continue
            dp = drop(s["r"], (mc - past.get(k, 0.0)) / r, r, mu)
            rest -= dp
            if k in past:
                seals.append((dp - drop(s["seal"], past[k] / r, r, mu)) / 10)
        if not self.moving:
            rest = 10 * mc / SIZE["m"]  # a cleaner without an outlet carries nothing
        branches, left = [], mc
        for k, d in self.ducts:
            if k == "in":
                continue
            left -= flow[k]
            if k == "exhaust" and m.share is not None:
                branches.append((flow[k] - m.share * mc) / 1e-3)
                continue
            to, z = (BOX, m.z_ret) if k == "return" else (m.to, m.z_exh)
            r, mu = mean[k]
            branches.append((pj - r * G * (z - m.z_in) - d.loss(flow[k] / r, r, mu) - at(to, z)) / 10)
        return [left / 1e-3, (back_J + heat_J) / 10, rest / 10] + branches + seals + res_T + res_skin

    # ---- where to start ----

    def free_flow(self, rho, mu):
        """kg/s that the cleaner would hold if the box were open, air of one temperature."""
        m = self.m
        end = m.ret or m.exh

        def need(V):
            dp = drop(m.inlet.r, V, rho, mu) + (drop(end.r, V, rho, mu) if end else 0)
            for s in m.stages:
                dp += -s["curve"].rise(s["speed"], V, rho) if s["kind"] == "blower" else drop(s["r"], V, rho, mu)
            return dp
        return rho * brentq(need, 0, 10) if need(0) < 0 else 0.0

    def guess(self):
        """src/model/slots.c."""
        m = self.m
        Tr = m.rooms[m.room]["T"]
        T = max(Tr + 15, m.target) if m.hold or m.heater_W > 0 else Tr + 15
        rho, mu = density(m.p, T, m.w), viscosity(T)
        P = [(density(m.p, r["T"], r["w"]) - m.rho_out) * G * r["H"] / 2 for r in m.rooms]
        for d in m.doors:
            if OUT not in (d["a"], d["b"]):
                P[d["a"]] = P[d["b"]] = (P[d["a"]] + P[d["b"]]) / 2
        y = {"p_box": P[m.room] - density(m.p, Tr, m.w) * G * (m.stand + m.H / 2) + rho * G * m.H / 2, "T_box": T,
             "T_star": T - 0.3 * (T - Tr), "T_panel_in": T - 0.4 * (T - Tr), "T_panel_out": T - 0.6 * (T - Tr),
             "T_in": T, "T_return": T, "T_exhaust": T, "T_junction": T + 1, "T_skin": (T + Tr) / 2}
        if m.has:
            flow, share = self.free_flow(rho, mu) if self.moving else 0.0, 1.0 if m.exh else 0.0
            if m.ret and m.exh:
                out, back = (1 / math.sqrt(d.r[1] + 1e-9) for d in (m.exh, m.ret))
                share = m.share if m.share is not None else out / (out + back)
            y.update(m_clean=flow, m_return=(1 - share) * flow, m_exhaust=share * flow,
                     p_junction=y["p_box"] - rho * G * (m.z_in - m.stand) + 1)
        row = []
        for name, i in self.names:
            if name == "p_rooms":
                row.append(P[i])
            elif name == "T_rooms":
                row.append(m.rooms[i]["T"])
            elif name == "m_bypass":
                s = m.stages[i]
                row.append(y["m_clean"] * s["r"][0] / (s["r"][0] + s["seal"][0]))
            else:
                row.append(y[name])
        return np.array(row)


def prepared(data, shift):
    """The first case with outdoor air `shift` K warmer, heater and plate in the modes that the answer has."""
    at, answer = data["site"]["T_out"], data["cases"][0]["solution"]
    rows = [dict(row) for row in data["quantities"]]
    rows[at]["value"] += shift
    model = peer.Model(dict(data, quantities=rows), data["cases"][0])
    model.hold, model.heater_W = answer["heater"] == "holds", model.heater_max if answer["heater"] == "full" else 0.0
    model.plate = model.plate and not answer["plate_idle"]
    return Plain(model)


def solve(plain, start, attempt):
    """The solution (scaled), its seconds and its count of residuals; None where it is not one."""
    method, options = attempt
    begin = time.perf_counter()
    got = root(plain.residual, start, method=method, options=options)
    took = time.perf_counter() - begin
    return (got.x, took, got.get("nfev", got.get("nit"))) if abs(got.fun).max() <= 1e-9 else None


def series(plains, start, attempt, times):
    """`times` solves one after the other: of one model always from `start`, of two each from the other's solution."""
    done = []
    for i in range(times):
        one = solve(plains[i % len(plains)], start, attempt)
        if one is None:
            return None
        done.append(one)
        if len(plains) > 1:
            start = one[0]
    return statistics.median(took for _, took, _ in done), done[0], attempt


def fastest(name, plains, start, times):
    """Prints the line of the fastest attempt that always found the solution; returns the first it found."""
    found = [s for s in (series(plains, start, attempt, times) for attempt in ATTEMPTS * ROUNDS) if s]
    if not found:
        sys.exit(f"{name}: no attempt reached the solution")
    took, first, (method, options) = min(found, key=lambda s: s[0])
    print(f"{name} {1e3 * took:.4g} ms")
    working = len(found) // ROUNDS
    print(f"{name}: {method} {options}, {first[2]} residuals; {working} of {len(ATTEMPTS)} attempts worked",
          file=sys.stderr)
    return first[0]


def same_answer(example, plain, u, answer):
    """Ends the run unless every unknown is the library's to 1e-6."""
    tally, T_ref = peer.Tally(), plain.m.rooms[plain.m.room]["T"]
    for (name, i), value in zip(plain.names, plain.unscaled(u)):
        tally.number(example, name, answer[name] if i is None else answer[name][i], float(value), T_ref)
    if tally.failed:
        sys.exit(f"{example}: not the library's solution")


def main():
    build = pathlib.Path(sys.argv[1])
    times = int(sys.argv[2]) if len(sys.argv) > 2 else 11
    for example in sorted(project.glob("examples/*.yaml")):
        dump = subprocess.run([build / "test/dump", example], capture_output=True, text=True, check=True)
        data = json.loads(dump.stdout)
        plains = [prepared(data, shift) for shift in (0.0, 1.0)]
        start = plains[0].scaled(plains[0].guess())
        u = fastest(f"steady_cold_plain[{example.stem}]", plains[:1], start, times)
        same_answer(example.stem, plains[0], u, data["cases"][0]["solution"])
        fastest(f"steady_warm_plain[{example.stem}]", plains[::-1], u, times)


if __name__ == "__main__":
    main()
