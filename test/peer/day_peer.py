#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""A second, independent day of the whole box, compared with the library's at the ends of the library's own steps.

usage: day_peer.py DUMP_DAY [DESIGN...]     DUMP_DAY: the program made of dump_day.c; designs: all of days/ by default

The laws are peer.py's. What is added here: stores; air that a warming box pushes out; the program of the day. Heat goes
forward by scipy.integrate.solve_ivp's Radau method, with thermostats found by its event search; at every evaluation the
pressures and flows of that instant are found by a Newton method of its own on peer.py's unknowns. Matter goes forward
afterwards as amounts by zone, on flows taken from Radau's own dense output. Meeting of particles: the fixed pivot of Kumar &
Ramkrishna 1996 as one tensor, Fuchs' kernel (both written here from their sources).

Media take each size by peer.py's fibre law.

Not compared: gases that carbon holds (test/peer/bed_peer.py does its beds), how media load (test/solve/test_day.c): the designs
have gases that carbon does not hold, and a cake that is all but open.

Tolerances. The library runs at a thirtieth of its default tolerance, 1e-4, and this at 1e-7: what differs is the library's
step. Temperatures: 2 mK, what the library lets one step err by (1e-4 of 20 K); the box's air 20 mK, how near to its target
a thermostat of the library must come. Amounts of gas: 1e-4 of the most that the zone ever holds, which is the step again.
Particles: the same where too few come off to meet; else 0.5 % of that: the library's kernel is renewed every kelvin of the box's air and carried to the rooms by that of the mean
size, here it is straight in temperature between both ends of a stretch; each is good to some 0.3 %.
Prints "N passed, M failed" last.
"""
import json
import math
import pathlib
import subprocess
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
import peer  # noqa: E402
from peer import OUTDOORS, SIGMA, convection, density, viscosity  # noqa: E402

DAY = 86400.0
STEP_K, NEAR_TARGET, STEP_SHARE, MEETING_SHARE = 2e-3, 2e-2, 1e-4, 5e-3
FEW = 1e9  # particles per s in one job that hardly meet in a box of 0.1 m3
OFF, FULL, HOLDS = "off", "full", "holds"


# ---- the box with stores ----

class Instant(peer.Model):
    """peer.py's box, whose temperatures are given; its unknowns are pressures and flows."""

    def __init__(self, data, plate, idle, door):
        state = dict(speed_factor=1, loaded=0, hottest=0, low_blower=0, gust=0)
        super().__init__(data, dict(state=state, plate=plate))
        st = data["stores"]
        self.heated = self.plate and not idle
        if idle:
            self.hot = self.heater_max = 0.0
        if door:
            self.gaps.append(dict(i=-1, kind="opening", room=self.room, z=self.stand + door["sill"], rise=door["height"], w=door["width"], cd=0.6))
        self.C_faces = [p["A"] * c / 2 for p, c in zip(self.panels, st["panels"])]
        self.C_plate, self.P_plate, self.C_machine, self.G_machine, self.C_J = (st["plate"], st["plate_power"], st["contents"],
                                                                              st["contents_exchange"], st["cleaner"])
        self.C_rooms = [c for c, r in zip(st["rooms"], self.rooms) if not r["held"]]
        self.free = [i for i, r in enumerate(self.rooms) if not r["held"]]
        self.v = None

    def outdoors(self, T):
        self.T_out, self.rho_out = T, density(self.p, T, self.w_out)

    # peer.py asks for these two; here they follow from stored temperatures

    def walls(self, Tb, Tr):
        o, real = dict(faces=[]), self.real
        air = rad = area = 0.0
        for p, Ti in zip(self.panels, self.T_in_faces):
            rad += p["A"] * p["F"] * Ti**4
            area += p["A"] * p["F"]
        if self.plate:
            rad += self.plate_A * self.plate_F * self.Tp**4
            area += self.plate_A * self.plate_F
        star4 = rad / area
        self.d_in, self.d_out, room = [], [], []
        for p, Ti, To in zip(self.panels, self.T_in_faces, self.T_out_faces):
            c = real * convection(p["looks"], p["L"], Ti, Tb, self.p, self.stirring, p["run"])
            out = real * convection(-p["looks"], p["L"], To, Tr, self.p) + p["e"] * SIGMA * (To**4 - Tr**4)
            through = (Ti - To) / p["R"]
            self.d_in.append(p["A"] * (-c - p["F"] * SIGMA * (Ti**4 - star4) - through))
            self.d_out.append(p["A"] * (through - out))
            air += p["A"] * c
            room.append(p["A"] * out)
        self.plate_W = 0.0
        if self.plate:
            conv = self.plate_Ac * convection(1, self.plate_L, self.Tp, Tb, self.p, self.stirring, self.plate_run)
            self.plate_W = conv + self.plate_A * self.plate_F * SIGMA * (self.Tp**4 - star4)
            air += conv
        self.machine_W = self.G_machine * (self.Tc - Tb)
        o.update(air=air + self.machine_W, room=room, plate=self.plate_W)
        return o

    def chain_T(self, mc, mr, me, Tb, Ts):
        TJ, cp = self.TJ, self.cp

        def mix(m, forward, back):
            t = min(max(0.5 * (1 + m / 1e-5), 0.0), 1.0)
            return back + (forward - back) * t * t * (3 - 2 * t)

        def end(d, m, forward, back):
            return self.duct_end(d, m, mix(m, forward, back), self.zone_T(d.room, Ts)) if d else (None, None)
        inn, ret = end(self.inlet, mc, Tb, TJ), end(self.ret, mr, TJ, Tb)
        exh = end(self.exh, me, TJ, self.zone_T(self.to, Ts)) if self.exh else (None, None)
        self.d_J = self.blower_heat(mc, inn[0]) - self.casing * (TJ - Ts[self.room])
        for m, T in ((mc, inn[0]), (-mr, ret[0]), (-me, exh[0])):
            if T is not None and m > 0:
                self.d_J += m * cp * (T - TJ)
        return TJ, (inn, ret, exh)

    def misses(self, v):
        """What pressures and flows `v` leave of the balances of air; the rates of heat come along."""
        res, o = self.balances(np.concatenate([[self.Tb], self.Tf, v]))
        heat = res[:1 + len(self.free)] * 10
        rho_V = o["rho_b"] * self.W * self.D * self.H
        self.d_box = 0.0 if self.hold_box else heat[0] / (rho_V * self.cp)
        flows = res[1 + len(self.free):].copy()
        if "box" not in self.pinned:  # warming pushes air out
            at = len(self.rooms) - len(self.pinned)
            flows[at] += 1e3 * rho_V / self.Tb * self.d_box
        self.need = -heat[0]
        self.d_rooms = [h / c for h, c in zip(heat[1:], self.C_rooms)]
        self.o = o
        return flows

    def settle(self):
        tries = ([self.v] if self.v is not None else []) + [peer.Model.start(self)[1 + len(self.free):]]
        for v in tries:
            v = np.array(v)
            try:
                now = self.misses(v)
                for _ in range(60):
                    if np.abs(now).max() < 1e-10:
                        break
                    J = np.empty((len(v), len(v)))
                    for k in range(len(v)):
                        h = 1e-7 * max(abs(v[k]), 1e-2)
                        e = v.copy()
                        e[k] += h
                        J[:, k] = (self.misses(e) - now) / h
                    step, t = np.linalg.solve(J, -now), 1.0
                    while True:
                        new = self.misses(v + t * step)
                        if np.linalg.norm(new) < np.linalg.norm(now) or t < 1e-6:
                            break
                        t /= 2
                    v, now = v + t * step, new
                    if t < 1e-6:
                        break
            except (ValueError, np.linalg.LinAlgError):
                continue
            if np.abs(now).max() < 1e-7:
                self.misses(v)
                self.v = v
                return
        raise RuntimeError("no flows")

    def rates(self, y):
        self.take(y)
        self.settle()
        plate = 0.0
        if self.plate and self.plate_mode != HOLDS:
            plate = ((self.P_plate if self.plate_mode == FULL else 0.0) - self.plate_W) / self.C_plate
        faces = [d / c for d, c in zip(self.d_in, self.C_faces)] + [d / c for d, c in zip(self.d_out, self.C_faces)]
        return np.array([self.d_box, -self.machine_W / self.C_machine, plate, self.d_J / self.C_J if self.has else 0.0, *faces, *self.d_rooms])

    def take(self, y):
        self.Tb, self.Tc, self.Tp, self.TJ = y[:4]
        self.T_in_faces, self.T_out_faces, self.Tf = y[4:10], y[10:16], y[16:]

    def modes(self, heater, plate):
        self.heater_mode, self.plate_mode = heater, plate
        self.hold_box = heater == HOLDS
        self.heater_W = self.heater_max if heater == FULL else 0.0

    def events(self):
        """Moments at which a thermostat changes, each with the modes that follow."""
        out = []

        def event(f, heater=None, plate=None, direction=0):
            def g(t, y):
                return f(y)
            g.terminal, g.direction, g.after = True, direction, (heater, plate)
            out.append(g)

        def after_rates(f):
            def g(y):
                self.rates(y)
                return f()
            return g
        if self.heater_max > 0:
            if self.heater_mode == HOLDS:
                event(after_rates(lambda: self.need - self.heater_max), heater=FULL, direction=1)
                event(after_rates(lambda: self.need), heater=OFF, direction=-1)
            else:
                event(lambda y: y[0] - self.target, heater=HOLDS, direction=1 if self.heater_mode == FULL else -1)
        if self.heated:
            if self.plate_mode == HOLDS:
                event(after_rates(lambda: self.plate_W - self.P_plate), plate=FULL, direction=1)
                event(after_rates(lambda: self.plate_W), plate=OFF, direction=-1)
            else:
                event(lambda y: y[2] - self.plate_T, plate=HOLDS, direction=1 if self.plate_mode == FULL else -1)
        return out


# ---- the program of the day ----

class Program:
    def __init__(self, data):
        self.data, self.day = data, data["day"]
        self.start, self.span = self.day["start"], self.day["span"]

    def times(self, clock):
        t = (clock - self.start) % DAY
        return np.arange(t - DAY, self.span + 1, DAY)

    def stops(self):
        out = {self.span}
        for j in self.day["jobs"]:
            for t in self.times(j["start"]):
                out |= {t, t + j["duration"], t + j["burst_time"]}
        for a in self.day["doings"]:
            for t in self.times(a["at"]):
                out |= {t} | ({t + a["for"]} if a["for"] is not None else set())
        for at, _ in self.day["weather"]:
            out |= set(self.times(at))
        return sorted(t for t in out if 0 < t <= self.span)

    def weather(self, t, otherwise):
        w = self.day["weather"]
        if not w:
            return otherwise
        at = np.array([x[0] for x in w])
        clock = (self.start + t) % DAY
        return float(np.interp(clock, np.concatenate([[at[-1] - DAY], at, [at[0] + DAY]]), [w[-1][1], *[x[1] for x in w], w[0][1]]))

    def job_at(self, t):
        """The job that runs, when it began; the last to have ended, when that was."""
        running, ended = (None, -math.inf), (None, -math.inf)
        for k, j in enumerate(self.day["jobs"]):
            begun = [x for x in self.times(j["start"]) if x <= t + 1e-9 and (x >= 0 or x + j["duration"] > 0)]
            if not begun:
                continue
            if t + 1e-9 < begun[-1] + j["duration"]:
                if begun[-1] > running[1]:
                    running = (k, begun[-1])
            elif begun[-1] + j["duration"] > ended[1]:
                ended = (k, begun[-1] + j["duration"])
        return running, ended

    def doings_at(self, t):
        """By what is changed: the latest of those that are on."""
        on = {}
        for k, a in enumerate(self.day["doings"]):
            begun = [x for x in self.times(a["at"]) if 0 <= x <= t + 1e-9]
            if begun and (a["for"] is None or t + 1e-9 < begun[-1] + a["for"]):
                what = (a["kind"], a["doorway"])
                on[what] = max(on.get(what, (-1, -1, None)), (begun[-1], k, a["to"]))
        return {what: to for what, (_, _, to) in on.items()}

    def box_at(self, t):
        (job, _), (last, _) = self.job_at(t)
        data = dict(self.data, quantities=[dict(q) for q in self.data["quantities"]])

        def put(index, value):
            data["quantities"][index]["value"] = value
        door = None
        for (kind, doorway), to in self.doings_at(t).items():
            if kind == "door":
                door = self.day["door"]
            elif kind == "flap":
                put(data["cleaner"]["position"], to)
            elif kind == "window":
                put(data["doorways"][doorway]["width"], to)
            elif kind == "heater":
                put(data["heat"]["heater_target"], to)
            else:
                for s in data["cleaner"]["stages"]:
                    if s["kind"] == "blower":
                        put(s["speed"], to)
        own = self.day["jobs"][job if job is not None else last if last is not None else 0]["plate"]
        plate = next((p for p in [own] + [j["plate"] for j in self.day["jobs"]] if p >= 0), -1)
        box = Instant(data, plate, job is None, door)
        box.heated = box.heated and own >= 0
        return box

    def emission(self, t, begun):
        """kg/s of each gas, particles/s and their job: `begun` is the stretch's beginning, which decides what is on."""
        (job, began), _ = self.job_at(begun)
        gases, number = dict.fromkeys(self.data["substances_of"], 0.0), 0.0
        if job is not None:
            j = self.day["jobs"][job]
            burst = begun + 1e-9 < began + j["burst_time"]
            for s, rate in j["gases"].items():
                gases[int(s)] += rate * (j["burst_gas"] if burst else 1)
            number = j["particles"] * (j["burst_particles"] if burst else 1)
        for j in self.day["jobs"]:  # the warm part of each job's last run within the day
            ends = [x + j["duration"] for x in self.times(j["start"]) if 0 < x + j["duration"] <= begun + 1e-9]
            for s, rate in j["gases"].items() if ends else ():
                gases[int(s)] += rate * j["afterglow"] * math.exp(-(t - ends[-1]) / j["afterglow_time"])
        return np.array([gases[s] for s in self.data["substances_of"]]), number, job


# ---- heat through the day ----

class Stretch:
    """Dense output of one solve, with the box it is of."""

    def __init__(self, box, sol, modes, begun):
        self.box, self.sol, self.modes, self.begun = box, sol, modes, begun


def run_heat(data, rtol=1e-7):
    program = Program(data)
    stretches, y, t, box = [], None, 0.0, None
    out_at_site = data["quantities"][data["site"]["T_out"]]["value"]
    for stop in program.stops():
        old, box = box, program.box_at(t)
        if y is None:
            T = [r["T"] for r in box.rooms]
            y = np.array([T[box.room]] * 16 + [T[i] for i in box.free])
        heater, plate = OFF, OFF
        if box.heater_max > 0:
            heater = FULL if y[0] < box.target - 0.02 else OFF if y[0] > box.target + 0.02 else HOLDS
        if box.heated:
            plate = FULL if y[2] < box.plate_T - 0.02 else OFF if y[2] > box.plate_T + 0.02 else HOLDS
        if old is not None and len(old.v) == len(peer.Model.start(box)[1 + len(box.free):]):
            box.v = old.v
        while t < stop - 1e-9:
            box.modes(heater, plate)
            if heater == HOLDS:
                y[0] = box.target
            if plate == HOLDS:
                y[2] = box.plate_T

            def f(at, state, box=box):
                box.outdoors(program.weather(at, out_at_site))
                return box.rates(state)
            f(t, y)
            # whoever takes hold and cannot lets go at once
            if heater == HOLDS and not 0 <= box.need <= box.heater_max:
                heater = OFF if box.need < 0 else FULL
                continue
            if plate == HOLDS and not 0 <= box.plate_W <= box.P_plate:
                plate = OFF if box.plate_W < 0 else FULL
                continue
            events = box.events()
            sol = solve_ivp(f, (t, stop), y, method="Radau", rtol=rtol, atol=100 * rtol, dense_output=True, events=events, first_step=min(0.5, stop - t))
            if not sol.success:
                raise RuntimeError(sol.message)
            stretches.append(Stretch(box, sol, (heater, plate), t))
            t, y = sol.t[-1], sol.y[:, -1].copy()
            for g, found in zip(events, sol.t_events):
                if len(found):
                    heater, plate = g.after[0] or heater, g.after[1] or plate
    return program, stretches


# ---- matter ----

def transport(box, o, keep=1.0):
    """kg/s of air out of each zone (diagonal) and from column to row, junction eliminated; zones box, rooms."""
    n = len(box.rooms) + 2
    A = np.zeros((n, n))

    def move(a, b, m, share=1.0):
        if a == OUTDOORS or m <= 0:
            return
        A[a, a] += m
        if b != OUTDOORS:
            A[b, a] -= share * m

    def zone(z):
        return OUTDOORS if z == OUTDOORS else z + 1
    for g, i, e in zip(box.gaps, o["gap_in"], o["gap_out"]):
        move(zone(g["room"]), 0, i)
        move(0, zone(g["room"]), e)
    for d, ab, ba in zip(box.doors, o["door_ab"], o["door_ba"]):
        move(zone(d["a"]), zone(d["b"]), ab)
        move(zone(d["b"]), zone(d["a"]), ba)
    for k, r in enumerate(box.rooms):
        move(k + 1, OUTDOORS, o["leak_out"][k] + r["exchange"])
    to = zone(box.to) if box.exh else OUTDOORS
    for a, b, m, share in ((0, n - 1, o["mc"], keep), (n - 1, 0, o["mr"], 1), (n - 1, to, o["me"] if box.exh else 0, 1)):
        move(a, b, m, share)
        move(b, a, -m, share)
    if A[-1, -1] > 0:
        A[:-1, :-1] -= np.outer(A[:-1, -1], A[-1, :-1]) / A[-1, -1]
    return A[:-1, :-1]


def sample(stretch, program, out_at_site, sizes, between):
    """Times, matrices per amount held (1/s) if the cleaner kept all and if it kept nothing, what it lets by of each size, and
    temperatures over the stretch: Radau's nodes, each gap cut into `between` parts. What is kept enters the matrices linearly."""
    t = stretch.sol.t
    fine = np.unique(np.concatenate([t] + [t[:-1] + k / between * np.diff(t) for k in range(1, between)]))
    fine = fine[np.concatenate([[True], np.diff(fine) > 1e-9])]
    box, all_kept, none_kept, passed, T = stretch.box, [], [], [], []
    box.modes(*stretch.modes)
    for x in fine:
        box.outdoors(program.weather(x, out_at_site))
        y = stretch.sol.sol(x)
        box.rates(y)
        o = box.o
        mass = np.array([o["rho_b"] * box.W * box.D * box.H] + [r * z["floor"] * z["H"] for r, z in zip(o["rho"], box.rooms)])
        all_kept.append(transport(box, o, 0) / mass)
        none_kept.append(transport(box, o) / mass)
        passed.append([box.medium_pass(d) for d in sizes])
        T.append([y[0]] + o["Ts"])
    return fine, np.array(all_kept), np.array(none_kept), np.array(passed), np.array(T)


class Meeting:
    """Fixed pivot: dN_k/dt = sum of a_kij N_i N_j. Number and volume of a new particle are shared between its neighbours."""

    def __init__(self, d):
        self.d, n = d, len(d)
        v = math.pi / 6 * d**3
        self.shape = np.zeros((n, n, n))
        for i in range(n):
            for j in range(n):
                self.shape[i, i, j] -= 1  # i loses one for each of j it meets
                x = v[i] + v[j]
                k = min(int(np.searchsorted(v, x, side="right")) - 1, n - 1)
                if k == n - 1:
                    self.shape[k, i, j] += 0.5 * x / v[k]
                else:
                    self.shape[k, i, j] += 0.5 * (v[k + 1] - x) / (v[k + 1] - v[k])
                    self.shape[k + 1, i, j] += 0.5 * (x - v[k]) / (v[k + 1] - v[k])

    def at(self, T, p):
        """Fuchs 1964, as in Seinfeld & Pandis table 13.1 (memory); Cunningham by Allen & Raabe 1985, path by Willeke 1976."""
        d, k = self.d, 1.380649e-23
        lam = 0.066e-6 * (101325 / p) * (T / 293.15) * (1 + 110.4 / 293.15) / (1 + 110.4 / T)
        D = k * T * (1 + lam / d * (2.34 + 1.05 * np.exp(-0.39 * d / lam))) / (3 * math.pi * viscosity(T) * d)
        c = np.sqrt(8 * k * T / (math.pi * 1000 * math.pi / 6 * d**3))
        free = 8 * D / (math.pi * c)
        g = ((d + free)**3 - (d**2 + free**2)**1.5) / (3 * d * free) - d
        both, Ds = d[:, None] + d, D[:, None] + D
        K = 2 * math.pi * Ds * both / (both / (both + 2 * np.hypot(g[:, None], g)) + 8 * Ds / (np.hypot(c[:, None], c) * both))
        return self.shape * K


def lognormal_shares(edges, d, median, gsd):
    """Number and volume between two pivots decide how they are shared between them; the half bins at the ends keep number."""
    def part(k, a, b):  # of the mean of d^k between a and b: Hatch & Choate
        s = math.log(gsd)
        m = median * math.exp(k * s * s)

        def below(x):
            return 0.5 * (1 + math.erf(math.log(x / m) / (s * math.sqrt(2))))
        return median**k * math.exp(k * k * s * s / 2) * (below(b) - below(a))
    out = np.zeros(len(d))
    for i in range(len(d) - 1):
        number, volume = part(0, d[i], d[i + 1]), part(3, d[i], d[i + 1])
        up = (volume - number * d[i]**3) / (d[i + 1]**3 - d[i]**3)
        out[i] += number - up
        out[i + 1] += up
    out[0] += part(0, 1e-12, d[0])
    out[-1] += part(0, d[-1], 1)
    return out


def run_matter(data, program, stretches, rtol=1e-7, between=8):
    """Dense solutions of gases (zones x gases) and particles (zones x sizes), stretch by stretch."""
    n, ng, d = len(data["rooms"]) + 1, len(data["substances_of"]), np.array(data["diameters"])
    out_at_site = data["quantities"][data["site"]["T_out"]]["value"]
    shares = [lognormal_shares(np.array(data["edges"]), d, j["median"], j["gsd"]) for j in data["day"]["jobs"]]
    gas, number, meeting, out = np.zeros((n, ng)), np.zeros((n, len(d))), Meeting(d), []
    volume = None
    for s in stretches:
        box = s.box
        volume = np.array([box.W * box.D * box.H] + [z["floor"] * z["H"] for z in box.rooms])
        t, K0, K, P, T = sample(s, program, out_at_site, d, between)
        flow = PchipInterpolator(t, K) if len(t) > 1 else lambda x, K=K: K[0]
        begin, stop = s.sol.t[0], s.sol.t[-1]
        if stop - begin < 1e-9:
            continue

        def gases(x, y):
            dy = -flow(x) @ y.reshape(n, ng)
            dy[0] += program.emission(x, s.begun)[0]
            return dy.ravel()

        def gas_slope(x, y):
            return np.kron(-flow(x), np.eye(ng))
        # where a stretch is very long nothing is below 1e-14 kg that matters: amounts are 1e-9 and up
        a = solve_ivp(gases, (begin, stop), gas.ravel(), method="Radau", rtol=rtol, atol=1e-16, dense_output=True, jac=gas_slope)
        gas = a.y[:, -1].reshape(n, ng)
        sinks, cleaned, passed = (PchipInterpolator(t, x) for x in (np.array([[deposited(box, d_, T_) for d_ in d] for T_ in T[:, 0]]), K - K0, P))
        ends = T.min(), T.max() + 1e-3
        tables = [meeting.at(x, box.p) for x in ends]

        def particles(x, y):
            N = y.reshape(n, len(d))
            dy = -flow(x) @ N + (cleaned(x) @ N) * (1 - passed(x))
            dy[0] -= sinks(x) / volume[0] * N[0]
            rate, job = program.emission(x, s.begun)[1:]
            if job is not None:
                dy[0] += rate * shares[job]
            for z in range(n):
                A = tables[0] + (tables[1] - tables[0]) * (float(np.interp(x, t, T[:, z])) - ends[0]) / (ends[1] - ends[0])
                c = N[z] / volume[z]
                dy[z] += volume[z] * ((A @ c) @ c)
            return dy.ravel()
        b = solve_ivp(particles, (begin, stop), number.ravel(), method="BDF", rtol=10 * rtol, atol=1.0, dense_output=True)
        number = b.y[:, -1].reshape(n, len(d))
        out.append((begin, stop, a.sol, b.sol))
    return out


def deposited(box, d, T):
    box.o["Tb"] = T
    return box.deposition(d)


# ---- comparison ----

class Tally:
    def __init__(self):
        self.passed = self.failed = 0
        self.worst = {}

    def number(self, where, what, ours, theirs, tolerance):
        off = abs(ours - theirs) / tolerance if tolerance > 0 else 0.0 if ours == theirs else math.inf
        self.worst[what] = max(self.worst.get(what, 0.0), off)
        good = off <= 1
        self.passed += good
        self.failed += not good
        if not good and self.failed < 40:
            print(f"FAIL {where}: {what}: library {ours:.9g}, peer {theirs:.9g}, tolerance {tolerance:.3g}")


def compare(tally, name, data):
    program, stretches = run_heat(data)
    matter = run_matter(data, program, stretches)
    rows, subs = data["rows"], data["substances"]
    free = [i for i, r in enumerate(data["rooms"]) if not r["held"]]
    held = [not subs[s]["weakly_held"] and any(x["kind"] == "bed" for x in (data["cleaner"] or dict(stages=[]))["stages"]) for s in data["substances_of"]]
    peak_gas = np.max([[g["held"] for g in r["gas"]] for r in rows], axis=0)
    share = MEETING_SHARE if max(j["particles"] for j in data["day"]["jobs"]) > FEW else STEP_SHARE
    peak_number = np.max([np.sum([b["held"] for b in r["particles"]], axis=0) for r in rows], axis=0)
    k = m = 0
    for row in rows[1:]:
        t = row["t"]
        while k + 1 < len(stretches) and t > stretches[k].sol.t[-1] + 1e-6:
            k += 1
        while m + 1 < len(matter) and t > matter[m][1] + 1e-6:
            m += 1
        y = stretches[k].sol.sol(min(t, stretches[k].sol.t[-1]))
        here = f"{name} at {t:.1f} s"
        T = row["T"]
        for what, ours, theirs in zip(("T_box", "T_machine", "T_plate", "T_junction"), T, y):
            if ours is not None and (what != "T_junction" or stretches[k].box.has):
                tally.number(here, what, ours, theirs, NEAR_TARGET if what == "T_box" else STEP_K)
        for i in range(12):
            tally.number(here, "T_faces", T[4 + i], y[4 + i], STEP_K)
        for i, room in enumerate(free):
            tally.number(here, "T_room", T[16 + room], y[16 + i], STEP_K)
        x = min(max(t, matter[m][0]), matter[m][1])
        gas = matter[m][2](x).reshape(len(rows[0]["gas"][0]["held"]), -1)
        for g, account in enumerate(row["gas"]):
            for z, ours in enumerate(account["held"]):
                if not held[g]:
                    tally.number(here, f"gas zone {z}", ours, gas[z, g], STEP_SHARE * peak_gas[g][z] + 1e-15)
        number = matter[m][3](x).reshape(gas.shape[0], -1)
        for z in range(gas.shape[0]):
            tally.number(here, f"particles zone {z}", sum(b["held"][z] for b in row["particles"]), number[z].sum(), share * peak_number[z] + 1)
            for b, account in enumerate(row["particles"]):
                tally.number(here, f"sizes zone {z}", account["held"][z], number[z, b], share * peak_number[z] + 1)


def main():
    here = pathlib.Path(__file__).resolve().parent
    files = [pathlib.Path(a) for a in sys.argv[2:]] or sorted(here.glob("days/*.yaml"))
    tally = Tally()
    for file in files:
        made = subprocess.run([sys.argv[1], file, "12", "1e-4"], capture_output=True, text=True)
        if made.returncode:
            tally.failed += 1
            print(f"FAIL {file.name}: {made.stderr}")
            continue
        tally.worst = {}
        compare(tally, file.stem, json.loads(made.stdout))
        print(f"# {file.stem}: largest difference over tolerance:", ", ".join(f"{k} {v:.2g}" for k, v in sorted(tally.worst.items())))
    print(f"{tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed or not tally.passed else 0


if __name__ == "__main__":
    sys.exit(main())
