#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""A second, independent solution of the whole box, compared with the library's number by number.

usage: peer.py DUMP [DESIGN...]     DUMP: the program made of dump.c; designs: all in examples/ and designs/ by default

Same physics (doc/theory.md), nothing else in common: laws written from their sources; pressures counted against outdoor
air at the same height, so that no outdoor column occurs; air flows as volumes; panels, star node, duct skins, seal leaks
and the cleaner's temperatures eliminated by nested scalar roots; what is left (box and free rooms' temperatures,
pressures, two flows) found by a hybrid Powell method with differences for derivatives, polished by Newton's method.
Prints "N passed, M failed" last.
"""
import json
import math
import pathlib
import subprocess
import sys

import numpy as np
from scipy.interpolate import CubicHermiteSpline
from scipy.optimize import brentq, minimize_scalar, root
from scipy.special import roots_chebyu

G = 9.80665
SIGMA = 5.670374419e-8
R_GAS = 8.31446261815324
R_DRY = 8314.32 / 28.9644       # US Standard Atmosphere 1976
EPS = 0.621945                  # ASHRAE Fundamentals 2017 ch. 1
FACES = ("top", "bottom", "front", "back", "left", "right")
OUTDOORS = -1


# ---- air ----

def saturation(T):
    """Hyland & Wexler 1983, ASHRAE Fundamentals 2017 ch. 1 (5), (6); joined at the triple point."""
    if T < 273.16:
        return math.exp(-5674.5359 / T + 6.3925247 - 0.009677843 * T + 6.2215701e-7 * T**2 + 2.0747825e-9 * T**3
                        - 9.484024e-13 * T**4 + 4.1635019 * math.log(T))
    return math.exp(-5800.2206 / T + 1.3914993 - 0.048640239 * T + 4.1764768e-5 * T**2 - 1.4452093e-8 * T**3
                    + 6.5459673 * math.log(T))


def moisture(p, T, rh):
    v = rh * saturation(T)
    return EPS * v / (p - v)


def density(p, T, w):
    return p * (1 + w) / (R_DRY * T * (1 + w / EPS))


class Nowhere(ValueError):
    """A temperature at which no law of air holds."""


def viscosity(T):
    if not 100 < T < 1500:
        raise Nowhere
    return 1.458e-6 * T**1.5 / (T + 110.4)


def conductivity(T):
    return 2.64638e-3 * T**1.5 / (T + 245.4 * 10**(-12 / T))


def heat_capacity(w):
    return (1006 + 1860 * w) / (1 + w)


def film(T, p):
    """k, nu, Pr of dry air."""
    mu, k = viscosity(T), conductivity(T)
    return k, mu / density(p, T, 0), mu * 1006 / k


# ---- heat ----

def nusselt_face(facing, Ra, Pr):
    """facing: +1 warm side up or cold side down, -1 the other, 0 upright."""
    if facing == 0:  # Churchill & Chu 1975
        return (0.825 + 0.387 * Ra**(1 / 6) / (1 + (0.492 / Pr)**(9 / 16))**(8 / 27))**2
    if facing < 0:   # McAdams 1954
        law = 0.27 * Ra**0.25
    else:            # Lloyd & Moran 1974, McAdams 1954: one after the other over a decade round Ra 1e7
        low, high = 0.54 * Ra**0.25, 0.15 * Ra**(1 / 3)
        t = min(max(math.log10(Ra) - 6.5, 0), 1) if Ra > 0 else 0
        law = low + t * t * (3 - 2 * t) * (high - low)
    return (law**4 + (2 / math.pi)**4)**0.25


def convection(looks, length, Ts, Ta, p, along=0, run=None):
    """W/m2 from a face that looks up (+1), down (-1) or sideways (0); `along`: air speed, over `run` metres."""
    T = (Ts + Ta) / 2
    k, nu, Pr = film(T, p)
    Ra = G * abs(Ts - Ta) * length**3 * Pr / (T * nu * nu)
    facing = 0 if looks == 0 else (1 if looks * (Ts - Ta) >= 0 else -1)
    h = nusselt_face(facing, Ra, Pr) * k / length
    if along > 0:
        run = run or length
        Re = along * run / nu
        Nu = 0.664 * math.sqrt(Re) if Re <= 5e5 else 0.037 * (Re**0.8 - 5e5**0.8) + 0.664 * math.sqrt(5e5)
        h = (h**3 + (Nu * Pr**(1 / 3) * k / run)**3)**(1 / 3)
    return h * (Ts - Ta)


def duct_inside(D, V, T, p):
    k, nu, Pr = film(T, p)
    Re = 4 * abs(V) / (math.pi * D * nu)
    t = min(max((Re - 2300) / 1700, 0), 1)
    Nu = 3.66 + t * t * (3 - 2 * t) * (0.023 * Re**0.8 * Pr**0.3 - 3.66)
    return Nu * k / D


def duct_outside(D, Ts, Ta, p):
    T = (Ts + Ta) / 2
    k, nu, Pr = film(T, p)
    Ra = G * abs(Ts - Ta) * D**3 * Pr / (T * nu * nu)
    Nu = (0.60 + 0.387 * Ra**(1 / 6) / (1 + (0.559 / Pr)**(9 / 16))**(8 / 27))**2
    return Nu * k / D + 0.9 * SIGMA * (Ts**2 + Ta**2) * (Ts + Ta)


# ---- resistances: (laminar, turbulent) of dp = a mu V + b rho V|V| ----

def add(*rs):
    return sum(r[0] for r in rs), sum(r[1] for r in rs)


def crack(length, width, depth, bends=0):
    """Baker, Sharples & Ward 1987."""
    return 12 * depth / (length * width**3), (1.5 + bends) / (2 * (length * width)**2)


def hole(D, cd, count):
    """Orifice and Sampson 1891, `count` of them side by side."""
    A = math.pi * D * D / 4
    return 24 / D**3 / count, 1 / (2 * (cd * A * count)**2)


def loss(K, A):
    return 0.0, K / (2 * A * A)


SCREEN_A = np.arange(1, 19) * 0.05  # Blevins 1984
SCREEN_K = np.array([1000, 250, 85, 52, 30, 17, 11, 7.7, 5.5, 3.8, 2.8, 2.0, 1.5, 1.1, 0.78, 0.53, 0.35, 0.08])


def screen(A, open_share):
    if open_share >= 0.9:
        return loss(0.08 * (1 - open_share) / 0.1, A)
    return loss(math.exp(np.interp(open_share, SCREEN_A, np.log(SCREEN_K))), A)


def bed(A, D, depth, granule, sphericity, e):
    """Ergun 1952; with a wall Eisfeld & Schnitzlein 2001 (all particles)."""
    d = sphericity * granule
    if D > 0:
        Aw = 1 + 2 / (3 * (D / d) * (1 - e))
        Bw = (1.42 * (d / D)**2 + 0.83)**2
        viscous, inertial = 155 * Aw**2, Aw / Bw
    else:
        viscous, inertial = 150, 1.75
    return (viscous * depth * (1 - e)**2 / (e**3 * d * d * A), inertial * depth * (1 - e) / (e**3 * d * A * A))


def drop(r, V, rho, mu):
    return r[0] * mu * V + r[1] * rho * V * abs(V)


def passing(r, dp, rho, mu):
    """Volume flow under dp: the root of the quadratic."""
    b, a = r[0] * mu, r[1] * rho
    s = math.copysign(1, dp)
    return s * 2 * abs(dp) / (b + math.sqrt(b * b + 4 * a * abs(dp)))


def power_law(C, n, dp, rho, mu):
    """ASTM E779 and its correction to another air; straight through zero over 0.01 Pa."""
    C = C * (1.8134e-5 / mu)**(2 * n - 1) * (1.2041 / rho)**(1 - n)
    return C * dp * (dp * dp + 1e-4)**((n - 1) / 2)


def orifice_integral(x):
    """Antiderivative of sqrt(x), smoothed within 1 mPa of zero as doc/theory.md says."""
    s = 1e-3
    if x <= -s:
        return 0.0
    if x >= s:
        return 5 / 6 * s**1.5 + 2 / 3 * (x**1.5 - s**1.5)
    t = (x + s) / (2 * s)
    return 2 * s**1.5 * (2 * t**3 / 3 - t**4 / 4)


def orifice_mean(a, b):
    if abs(b - a) > 1e-5 * (abs(a) + abs(b)) + 1e-9:
        return (orifice_integral(b) - orifice_integral(a)) / (b - a)
    x, s = (a + b) / 2, 1e-3
    t = (x + s) / (2 * s)
    return 0.0 if x <= -s else math.sqrt(x) if x >= s else math.sqrt(s) * t * t * (2 - t)


def friction(Re, e):
    def turbulent():  # Colebrook 1939
        return brentq(lambda x: x + 2 * math.log10(e / 3.7 + 2.51 * x / Re), 0.5, 60, xtol=1e-15, rtol=1e-15)**-2
    if Re <= 2300:
        return 64 / Re
    t = min((Re - 2300) / 1700, 1)
    share = t * t * (3 - 2 * t)
    return turbulent() if share == 1 else (1 - share) * 64 / Re + share * turbulent()


def pipe(D, L, roughness, stretch, V, rho, mu):
    if L <= 0 or V == 0:
        return 0.0
    A = math.pi * D * D / 4
    Re = rho * abs(V) * D / (A * mu)
    return math.copysign(stretch * friction(Re, roughness / D) * L / D * rho / 2 * (V / A)**2, V)


# ---- curves ----

def monotone_slopes(x, y):
    """Fritsch & Carlson 1980 with the circle of radius 3."""
    d = np.diff(y) / np.diff(x)
    m = np.concatenate([[d[0]], np.where(d[:-1] * d[1:] > 0, (d[:-1] + d[1:]) / 2, 0), [d[-1]]])
    for i, s in enumerate(d):
        size = math.hypot(m[i], m[i + 1])
        if size > 3 * abs(s):
            m[i:i + 2] *= 3 * abs(s) / size
    return m


class Blower:
    def __init__(self, V, p, rho):
        self.V, self.p, self.rho = np.array(V), np.array(p), rho
        self.m = monotone_slopes(self.V, self.p)
        self.m[0] = min(self.m[0], 0)
        self.curve = CubicHermiteSpline(self.V, self.p, self.m)
        self.c = -self.m[-1] / (2 * self.V[-1])

    def rise(self, s, V, rho):
        if V >= s * self.V[-1]:
            p = s * s * self.p[-1] - self.c * (V * V - (s * self.V[-1])**2)
        elif V <= s * self.V[0]:
            x = V - s * self.V[0]
            p = s * s * self.p[0] + s * self.m[0] * x + self.c * x * x
        else:
            p = s * s * float(self.curve(V / s))
        return p * rho / self.rho

    def peak(self):
        k = int(np.argmax(self.p))
        return self.V[k] if k else 0.0


FLAP_DEG = np.array([0, 5, 10, 15, 20, 25, 30, 40, 50, 60, 70.0])  # Weisbach 1855, first row by its own trend
FLAP_K = np.array([0.24**2 / 0.52, 0.24, 0.52, 0.90, 1.54, 2.51, 3.91, 10.8, 32.6, 118, 751])


def flap(angle, leak):
    """Conductance of a port, 1/sqrt(K)."""
    last = math.radians(70)
    if angle < last:
        x, y = np.radians(FLAP_DEG), np.log(FLAP_K)
        m = monotone_slopes(x, y)
        m[-1] = 2 * math.cos(last) / (1 - math.sin(last))
        g = math.exp(-float(CubicHermiteSpline(x, y, m)(angle)) / 2)
    else:
        g = (1 - math.sin(angle)) / (1 - math.sin(last)) / math.sqrt(FLAP_K[-1])
    return g + 0.61 * leak


# ---- a design at given values in one state ----

class Duct:
    def __init__(self, q, d, bore, port=None):
        self.D = q(d["diameter"], bore)
        self.L, self.rough, self.stretch = q(d["length"], 0), q(d["roughness"], 0), q(d["stretch"], 1)
        self.R, self.room = q(d["insulation"], 0), d["room"]
        A = math.pi * self.D**2 / 4
        self.r = (160 / (2 * self.D * A), q(d["loss"], 0) / (2 * A * A))  # two-K, Hooper 1981
        if port:
            self.r = add(self.r, port)

    def loss(self, V, rho, mu):
        return drop(self.r, V, rho, mu) + pipe(self.D, self.L, self.rough, self.stretch, V, rho, mu)


class Model:
    def __init__(self, data, case):
        x = [row["value"] for row in data["quantities"]]
        top = [row["high"] for row in data["quantities"]]
        state = case["state"]
        self.state = state

        def q(i, absent):
            return absent if i < 0 else x[i]

        def source(i):
            return 0.0 if i < 0 else max(x[i], top[i]) if state["hottest"] else x[i]
        self.q, self.data, self.case = q, data, case
        site, box, heat = data["site"], data["box"], data["heat"]
        self.p = q(site["pressure"], 0)
        self.T_out = q(site["T_out"], 0)
        self.w_out = moisture(self.p, self.T_out, q(site["rh_out"], 0))
        self.rho_out = density(self.p, self.T_out, self.w_out)
        self.gust = q(site["gust"], 0)
        self.rooms = []
        for r in data["rooms"]:
            T = q(r["T"], self.T_out)
            w = moisture(self.p, T, q(r["rh"], 0))
            H, floor = q(r["height"], 0), q(r["floor"], 0)
            self.rooms.append(dict(held=bool(r["held"]), T=T, w=w, H=H, floor=floor, UA=q(r["heat_loss"], 0), C=q(r["leak_C"], 0),
                                   n=q(r["leak_n"], 0.65), absorption=q(r["absorption"], 0.2),
                                   exchange=q(r["air_changes"], 0) * floor * H * density(self.p, T, w)))
        self.doors = [dict(a=d["a"], b=d["b"], w=q(d["width"], 0), h=q(d["height"], 0), sill=q(d["sill"], 0), cd=q(d["cd"], 0))
                      for d in data["doorways"]]
        for d, (w, h, sill) in zip(self.doors, state.get("doors", ())):  # as they stand in this state
            d.update(w=w, h=h, sill=sill)
        self.room = box["room"]
        self.W, self.D, self.H = q(box["width"], 0), q(box["depth"], 0), q(box["height"], 0)
        self.stand, self.stirring = q(box["stand"], 0), q(box["stirring"], 0)
        self.real = q(box["convection"], 1)  # real convection at the panels over the laws'
        self.w = self.rooms[self.room]["w"]
        self.cp = heat_capacity(self.w)
        self.gaps = [g for g in (self.make_gap(i, g) for i, g in enumerate(box["gaps"])) if g]
        pw, pd = q(heat["plate_width"], 0), q(heat["plate_depth"], 0)
        self.plate = pw > 0 and pd > 0 and case["plate"] >= 0
        self.plate_A = pw * pd if self.plate else 0.0
        total = 2 * (self.W * self.D + self.W * self.H + self.D * self.H) + self.plate_A

        def exchange(e, A):  # grey face to star node; Carroll 1980, first step
            return 1 / ((1 - e) / e + 1 - A / total)
        if self.plate:
            self.plate_L, self.plate_run = self.plate_A / (2 * (pw + pd)), pw
            self.plate_T = source(case["plate"])
            self.plate_F = exchange(q(heat["plate_emissivity"], 0), self.plate_A)
            self.plate_Ac = self.plate_A * (1 + q(heat["plate_share_below"], 0))
        self.hot = source(heat["hot_end"]) + source(heat["electronics"])
        self.heater_max, self.target = q(heat["heater_power"], 0), q(heat["heater_target"], 0)
        self.panels = []
        for f, A in zip(FACES, [self.W * self.D] * 2 + [self.W * self.H] * 2 + [self.D * self.H] * 2):
            p = box["panels"][f]
            R = q(p["resistance"], 0) if p["resistance"] >= 0 else q(p["thickness"], 0) / q(p["conductivity"], 1)
            if p["insulation_thickness"] >= 0:
                R += q(p["insulation_thickness"], 0) / q(p["insulation_conductivity"], 1)
            looks = {"top": -1, "bottom": 1}.get(f, 0)
            L = A / (2 * (self.W + self.D)) if looks else self.H
            e = q(p["emissivity"], 0)
            run = self.D if f in ("left", "right") else self.W  # the stirred air runs along the wall
            self.panels.append(dict(A=A, R=R, looks=looks, L=L, run=run, e=e, F=exchange(e, A)))
        self.heater_W = 0.0
        self.hold = False
        self.make_cleaner(data["cleaner"])
        self.find_islands()

    def make_gap(self, i, g):
        q, kind = self.q, g["kind"]
        out = dict(i=i, kind=kind, room=g["room"], z=self.q(self.data["box"]["stand"], 0) + q(g["height"], 0), rise=q(g["rise"], 0))
        if kind == "crack":
            L, w = q(g["length"], 0), q(g["width"], 0)
            if not (L > 0 and w > 0):
                return None
            out.update(r=crack(L, w, q(g["depth"], 0), q(g["bends"], 0)), A=L * w, depth=q(g["depth"], 0))
        elif kind == "hole":
            D, n = q(g["diameter"], 0), q(g["count"], 1)
            if not (D > 0 and n > 0):
                return None
            out.update(r=hole(D, q(g["cd"], 0), n), A=n * math.pi * D * D / 4)
        elif kind == "opening":
            out.update(w=q(g["opening_width"], 0), cd=q(g["cd"], 0))
            if not (out["w"] > 0 and out["rise"] > 0):
                return None
        else:
            out.update(C=q(g["C"], 0), n=q(g["n"], 0.65))
            if not out["C"] > 0:
                return None
        return out

    def make_cleaner(self, c):
        q = self.q
        self.has = c is not None
        self.ret = self.exh = None
        self.share = None
        self.stages = []
        if not self.has:
            return
        bore = q(c["inlet"]["diameter"], 0) or q(c["flap_diameter"], 0)
        self.inlet = Duct(q, c["inlet"], bore)
        self.z_in = self.stand + q(c["inlet_height"], 0)
        self.casing = q(c["casing"], 0)
        has_r, has_e = bool(c["has_return"]), bool(c["has_exhaust"]) and c["exhaust_to"] != -2
        ports = {"r": None, "e": None}
        if c["split"] == "flap":
            at, leak, D = q(c["position"], 0) * math.pi / 2, q(c["seat_leak"], 0), q(c["flap_diameter"], 0)
            for k, angle in (("r", at), ("e", math.pi / 2 - at)):
                g = flap(angle, leak)
                if g > 1e-6:
                    ports[k] = loss(1 / g**2, math.pi * D * D / 4)
                elif k == "r":
                    has_r = False
                else:
                    has_e = False
        if c["split"] == "fixed" and has_r and has_e:
            self.share = q(c["share"], 0)
            has_e, has_r = self.share > 0, self.share < 1
            if not (has_e and has_r):
                self.share = None
        if has_r:
            self.ret = Duct(q, c["return"], bore, ports["r"])
            self.z_ret = self.stand + q(c["return_height"], 0)
        if has_e:
            self.exh = Duct(q, c["exhaust"], bore, ports["e"])
            self.z_exh, self.to = q(c["exhaust_height"], 0), c["exhaust_to"]
        for s in c["stages"]:
            self.stages.append(self.make_stage(s))
        self.first_blower = next((k for k, s in enumerate(self.stages) if s["kind"] == "blower"), len(self.stages))

    def make_stage(self, s):
        q, st, out = self.q, self.state, dict(kind=s["kind"], raw=s)
        if s["kind"] == "blower":
            ff, rf = q(s["flow_factor"], 1), q(s["rise_factor"], 1)
            out["curve"] = Blower([q(a, 0) * ff for a, _ in s["points"]], [q(b, 0) * rf for _, b in s["points"]], q(s["density"], 1.2))
            out["speed"] = q(s["speed"], 1) * st["speed_factor"] * (q(s["speed_low"], 1) if st["low_blower"] else 1)
            rated = q(s["power"], 0)
            idle = min(q(s["idle_power"], 0), rated)
            out["power"] = idle + (rated - idle) * out["speed"]**3
            return out
        if s["kind"] == "medium":
            load = q(s["loading"], 1)
            if st["loaded"]:
                load = max(load, q(s["final_ratio"], 1))
            A = q(s["area"], 0)
            r = (load * q(s["rated_dp"], 0) / (viscosity(293.15) * q(s["rated_velocity"], 0) * A), 0.0)
            if s["frame_area"] >= 0:
                r = add(r, loss(1, q(s["frame_area"], 0)))
        else:
            A = q(s["area"], 0)
            r = bed(A, q(s["diameter"], 0), q(s["depth"], 0), q(s["granule"], 0), q(s["sphericity"], 1), q(s["voidage"], 0.4))
            n, a = q(s["screens"], 0), q(s["screen_open"], 1)
            if n > 0 and a < 1:
                one = screen(A, a)
                r = add(r, (0.0, n * one[1]))
        out.update(r=r, A=A, seal=None)
        if q(s["seal_width"], 0) > 0 and q(s["seal_length"], 0) > 0:
            out["seal"] = crack(q(s["seal_length"], 0), q(s["seal_width"], 0), q(s["seal_depth"], 0))
        return out

    def find_islands(self):
        """Rooms and box that no path of air joins to outdoors have their level of pressure given."""
        edges = [(i, OUTDOORS) for i, r in enumerate(self.rooms) if r["C"] > 0] + [(d["a"], d["b"]) for d in self.doors if d["w"] * d["h"] > 0]
        edges += [("box", g["room"]) for g in self.gaps] + ([("box", self.to)] if self.exh else [])

        def reach(start):
            seen, todo = {start}, [start]
            while todo:
                at = todo.pop()
                for a, b in edges:
                    for n, m in ((a, b), (b, a)):
                        if n == at and m not in seen:
                            seen.add(m)
                            todo.append(m)
            return seen
        self.pinned = set()
        for i in list(range(len(self.rooms))) + ["box"]:
            if i not in reach(OUTDOORS):
                self.pinned.add(i)
                edges.append((i, OUTDOORS))

    # ---- panels: given box and room temperature ----

    def face(self, p, Tb, Tr, Ts):
        def outward(To):
            return self.real * convection(-p["looks"], p["L"], To, Tr, self.p) + p["e"] * SIGMA * (To**4 - Tr**4)

        def inward(Ti):
            return -self.real * convection(p["looks"], p["L"], Ti, Tb, self.p, self.stirring, p["run"]) + p["F"] * SIGMA * (Ts**4 - Ti**4)

        def unbalance(To):
            flux = outward(To)
            return inward(To + flux * p["R"]) - flux
        lo, hi = min(Tb, Tr, Ts) - 1, max(Tb, Tr, Ts) + 1
        To = brentq(unbalance, lo, hi, xtol=1e-12, rtol=1e-15)
        return To + outward(To) * p["R"], To, outward(To)

    def walls(self, Tb, Tr):
        """Star temperature, panels, heat from plate and panels to the box air, heat to the room."""
        key = (Tb, Tr, self.plate)
        if key in self.walls_memory:
            return self.walls_memory[key]

        def faces(Ts):
            done, out = {}, []
            for p in self.panels:
                k = (p["A"], p["R"], p["looks"], p["e"], p["run"])
                if k not in done:
                    done[k] = self.face(p, Tb, Tr, Ts)
                out.append(done[k])
            return out

        def star(Ts):
            q = sum(p["A"] * p["F"] * SIGMA * (f[0]**4 - Ts**4) for p, f in zip(self.panels, faces(Ts)))
            return q + (self.plate_A * self.plate_F * SIGMA * (self.plate_T**4 - Ts**4) if self.plate else 0)
        temps = [Tb, Tr] + ([self.plate_T] if self.plate else [])
        Ts = brentq(star, min(temps) - 1, max(temps) + 1, xtol=1e-12, rtol=1e-15)
        f = faces(Ts)
        air = sum(p["A"] * self.real * convection(p["looks"], p["L"], t[0], Tb, self.p, self.stirring, p["run"]) for p, t in zip(self.panels, f))
        plate = conv = 0.0
        if self.plate:
            conv = self.plate_Ac * convection(1, self.plate_L, self.plate_T, Tb, self.p, self.stirring, self.plate_run)
            plate = conv + self.plate_A * self.plate_F * SIGMA * (self.plate_T**4 - Ts**4)
        out = dict(star=Ts, faces=f, air=air + conv, plate=plate, room=[p["A"] * t[2] for p, t in zip(self.panels, f)])
        self.walls_memory[key] = out
        return out

    walls_memory = None

    # ---- the cleaner ----

    def duct_end(self, d, m, T_from, T_room):
        """Temperature at the far end, and of the skin."""
        if d.L <= 0:
            return T_from, None
        h = duct_inside(d.D, abs(m) / density(self.p, T_from, self.w), T_from, self.p)
        K = 1 / (1 / h + d.R)
        if abs(T_from - T_room) < 1e-13:
            Ts = T_room
        else:
            Ts = brentq(lambda t: K * (T_from - t) - duct_outside(d.D, t, T_room, self.p) * (t - T_room), min(T_from, T_room) - 1e-9,
                        max(T_from, T_room) + 1e-9, xtol=1e-13, rtol=1e-15)
        ho = duct_outside(d.D, Ts, T_room, self.p)
        U = K * ho / (K + ho)
        reach = math.exp(-U * math.pi * d.D * d.L / (abs(m) * self.cp)) if m else 0.0
        return T_room + (T_from - T_room) * reach, Ts

    def zone_T(self, z, Ts):
        return self.T_out if z == OUTDOORS else Ts[z]

    def blower_heat(self, m, T_in):
        rho, heat = density(self.p, T_in, self.w), 0.0
        for s in self.stages:
            if s["kind"] == "blower":
                rise = s["curve"].rise(s["speed"], m / rho, rho)
                heat += s["power"] if s["raw"]["motor_in_air"] else max(rise * m / rho, 0)
        return heat

    def chain_T(self, mc, mr, me, Tb, Ts):
        """Temperatures along the cleaner for given mass flows."""
        to_T = self.zone_T(self.to, Ts) if self.exh else None
        around = Ts[self.room]

        def mix(m, forward, back):  # below 1e-5 kg/s the air in a duct is of both ends: share t^2 (3 - 2t)
            t = min(max(0.5 * (1 + m / 1e-5), 0.0), 1.0)
            return back + (forward - back) * t * t * (3 - 2 * t)

        def end(d, m, back, TJ):
            return self.duct_end(d, m, mix(m, TJ, back), self.zone_T(d.room, Ts))

        def ends(TJ):
            inn = self.duct_end(self.inlet, mc, mix(mc, Tb, TJ), self.zone_T(self.inlet.room, Ts))
            ret = end(self.ret, mr, Tb, TJ) if self.ret else (None, None)
            exh = end(self.exh, me, to_T, TJ) if self.exh else (None, None)
            return inn, ret, exh

        def unbalance(TJ):
            inn, ret, exh = ends(TJ)
            w = self.blower_heat(mc, inn[0]) - self.casing * (TJ - around)
            for m, T in ((mc, inn[0]), (-mr, ret[0]), (-me, exh[0])):
                if T is not None and m > 0:
                    w += m * self.cp * (T - TJ)
            return w
        slope = self.casing + self.cp * (max(mc, 0) + max(-mr, 0) + max(-me, 0))
        TJ = Tb + unbalance(Tb) / slope  # exact when what flows in does not depend on TJ
        if mc < 1e-5 or any(abs(m or 0) < 1e-5 for m in (mr if self.ret else 1, me if self.exh else 1)):
            lo, hi = min(Tb, around, to_T or Tb) - 1, max(Tb, around, to_T or Tb) + 1
            while unbalance(hi) > 0:
                hi += 50
            TJ = brentq(unbalance, lo, hi, xtol=1e-12, rtol=1e-15)
        return TJ, ends(TJ)

    def stage_dp(self, s, V, rho, mu):
        """Loss of a stage and the flow past its seal, both under the same pressure."""
        if s["kind"] == "blower":
            return -s["curve"].rise(s["speed"], V, rho), 0.0
        alone = drop(s["r"], V, rho, mu)
        if not s["seal"] or V == 0:
            return alone, 0.0
        dp = brentq(lambda f: passing(s["r"], f * alone, rho, mu) + passing(s["seal"], f * alone, rho, mu) - V, 0, 1,
                    xtol=1e-300, rtol=1e-15) * alone
        return dp, passing(s["seal"], dp, rho, mu)

    # ---- everything, at trial values ----

    def evaluate(self, u):
        """Residuals at unknowns u, and all that was worked out on the way; large ones where no law holds."""
        try:
            return self.balances(u)
        except Nowhere:
            return np.full(len(u), 1e3), {}

    def balances(self, u):
        o, res = {}, []
        it = iter(u)
        Tb = self.target if self.hold else next(it)
        Ts = [r["T"] if r["held"] else next(it) for r in self.rooms]
        P = [0.0 if i in self.pinned else next(it) for i in range(len(self.rooms))]
        Pb = 0.0 if "box" in self.pinned else next(it)
        mc = mr = me = 0.0
        rho_b, mu_b = density(self.p, Tb, self.w), viscosity(Tb)
        if self.ret or self.exh:
            mc = next(it) * 1e-3 * rho_b
            if self.share is not None:
                me = self.share * mc
            elif self.exh:
                me = next(it) * 1e-3 * rho_b if self.ret else mc
            mr = mc - me
        rho = [density(self.p, t, r["w"]) for t, r in zip(Ts, self.rooms)]
        air = {OUTDOORS: (self.rho_out, viscosity(self.T_out), self.T_out), "box": (rho_b, mu_b, Tb)}
        air.update({i: (rho[i], viscosity(Ts[i]), Ts[i]) for i in range(len(Ts))})
        mid = self.stand + self.H / 2

        def over(z, h):
            """Pressure at height h over outdoor air at the same height."""
            if z == OUTDOORS:
                return 0.0
            if z == "box":
                return over(self.room, mid) + Pb - (rho_b - self.rho_out) * G * (h - mid)
            return P[z] - (rho[z] - self.rho_out) * G * (h - self.rooms[z]["H"] / 2)
        mass = {z: 0.0 for z in air}
        heat = {z: 0.0 for z in air}

        def move(a, b, m):
            mass[a] -= m
            mass[b] += m
            heat[b] += m * self.cp * (air[a][2] - air[b][2])

        def two_way(a, b, w, z, h, cd):
            """From a to b and back, the orifice law integrated over the height."""
            lo, hi = over(a, z) - over(b, z), over(a, z + h) - over(b, z + h)
            ab = cd * w * h * math.sqrt(2 * air[a][0]) * orifice_mean(lo, hi)
            ba = cd * w * h * math.sqrt(2 * air[b][0]) * orifice_mean(-lo, -hi)
            move(a, b, ab)
            move(b, a, ba)
            return ab, ba

        def level(a, b, z, law):
            dp = over(a, z) - over(b, z)
            src, dst = (a, b) if dp >= 0 else (b, a)
            m = law(abs(dp), *air[src][:2]) * air[src][0]
            move(src, dst, m)
            return m if dp >= 0 else -m
        o["gap_in"], o["gap_out"], o["gap_dp_bottom"], o["gap_dp_top"] = [], [], [], []
        for g in self.gaps:
            room, z = g["room"], g["z"]
            o["gap_dp_bottom"].append(over(room, z) - over("box", z))
            o["gap_dp_top"].append(over(room, z + g["rise"]) - over("box", z + g["rise"]))
            if g["kind"] == "opening":
                i, e = two_way(room, "box", g["w"], z, g["rise"], g["cd"])
            else:
                i = e = 0.0
                points, shares = np.polynomial.legendre.leggauss(4) if g["rise"] > 0 else ([-1.0], [2.0])
                if g["kind"] == "hole" and g["rise"] < 0.025:
                    points, shares = [0.0], [2.0]
                elif g["kind"] == "hole":  # a disc: sqrt(1 - x^2) dx
                    points, shares = roots_chebyu(4)
                    shares = shares * 2 / sum(shares)
                for at, share in zip(points, np.array(shares) / 2):
                    if g["kind"] == "measured":
                        def law(dp, r_, m_, s=share):
                            return power_law(g["C"] * s, g["n"], dp, r_, m_)
                    else:
                        def law(dp, r_, m_, s=share):
                            return passing((g["r"][0] / s, g["r"][1] / s**2), dp, r_, m_)
                    m = level(room, "box", z + g["rise"] * (1 + at) / 2, law)
                    i, e = i + max(m, 0), e + max(-m, 0)
            o["gap_in"].append(i)
            o["gap_out"].append(e)
        o["door_ab"], o["door_ba"] = [], []
        for d in self.doors:
            ab, ba = two_way(d["a"], d["b"], d["w"], d["sill"], d["h"], d["cd"]) if d["w"] * d["h"] > 0 else (0.0, 0.0)
            o["door_ab"].append(ab)
            o["door_ba"].append(ba)
        o["leak_in"], o["leak_out"] = [], []
        for i, r in enumerate(self.rooms):
            move(OUTDOORS, i, r["exchange"])
            move(i, OUTDOORS, r["exchange"])
            inn = out = 0.0
            for at in (0.5 - 0.5 / math.sqrt(3), 0.5 + 0.5 / math.sqrt(3)) if r["C"] > 0 else ():
                m = level(OUTDOORS, i, r["H"] * at, lambda dp, r_, m_: power_law(r["C"] / 2, r["n"], dp, r_, m_))
                inn, out = inn + max(m, 0), out + max(-m, 0)
            o["leak_in"].append(inn)
            o["leak_out"].append(out)
            heat[i] += r["UA"] * (self.T_out - Ts[i])
        loops = []
        if self.has:
            self.chain(o, loops, (mc, mr, me), Tb, Ts, over, move, air, mass, heat)
        w = self.walls(Tb, Ts[self.room])
        heat["box"] += w["air"] + self.hot + self.heater_W
        heat[self.room] += sum(w["room"])
        if not self.hold:
            res.append(heat["box"] / 10)
        res += [heat[i] / 10 for i, r in enumerate(self.rooms) if not r["held"]]
        res += [mass[i] * 1e3 for i in range(len(self.rooms)) if i not in self.pinned]
        if "box" not in self.pinned:
            res.append(mass["box"] * 1e3)
        res += [x / 10 for x in loops]
        o.update(Tb=Tb, Ts=Ts, P=P, over=over, mc=mc, mr=mr, me=me, walls=w, rho=rho, rho_b=rho_b, heat_box=heat["box"],
                 room_heater=[-heat[i] if r["held"] else 0.0 for i, r in enumerate(self.rooms)], air=air)
        return np.array(res), o

    def chain(self, o, loops, flows, Tb, Ts, over, move, air, mass, heat):
        mc, mr, me = flows
        TJ, ((T_in, s0), (T_ret, s1), (T_exh, s2)) = self.chain_T(mc, mr, me, Tb, Ts)

        def at(T):
            return density(self.p, T, self.w), viscosity(T)
        r, mu = at((Tb + T_in) / 2)
        pj = over("box", self.z_in) - self.inlet.loss(mc / r, r, mu)
        o["stage_dp"], o["bypass"], o["stage_T"] = [], [], []
        for k, s in enumerate(self.stages):
            T = T_in if k <= self.first_blower or s["kind"] == "blower" else TJ
            r, mu = at(T)
            dp, past = self.stage_dp(s, mc / r, r, mu)
            pj -= dp
            o["stage_dp"].append(abs(dp) if s["kind"] == "blower" and dp <= 0 else -dp if s["kind"] == "blower" else dp)
            o["bypass"].append(past * r)
            o["stage_T"].append(TJ if k > self.first_blower else T_in)
        left = []
        for d, m, T, z, end in ((self.ret, mr, T_ret, getattr(self, "z_ret", 0), "box"),
                                (self.exh, me, T_exh, getattr(self, "z_exh", 0), getattr(self, "to", None))):
            if d:
                r, mu = at((TJ + T) / 2)
                left.append(pj - (r - self.rho_out) * G * (z - self.z_in) - d.loss(m / r, r, mu) - over(end, z))
        if self.share is not None:
            o["throttle_Pa"] = left.pop()
        loops += left
        mass["box"] += mr - mc
        cp = self.cp
        if self.exh:
            mass[self.to] += me
        if mc < 0:
            heat["box"] += -mc * cp * (T_in - Tb)
        if self.ret and mr > 0:
            heat["box"] += mr * cp * (T_ret - Tb)
        if self.exh and me > 0:
            heat[self.to] += me * cp * (T_exh - air[self.to][2])
        o["duct_W"] = []
        for d, m, back, front, T in ((self.inlet, mc, TJ, Tb, T_in), (self.ret, mr, Tb, TJ, T_ret),
                                     (self.exh, me, air[self.to][2] if self.exh else 0, TJ, T_exh)):
            lost = abs(m) * cp * ((front if m >= 0 else back) - T) if d else 0.0
            o["duct_W"].append(lost)
            if d:
                heat[d.room] += lost
        o["casing_W"] = self.casing * (TJ - Ts[self.room])
        heat[self.room] += o["casing_W"]
        o.update(pj=pj, TJ=TJ, T_in=T_in, T_ret=T_ret, T_exh=T_exh, skins=[s0, s1, s2], blower_heat=self.blower_heat(mc, T_in))

    # ---- solving ----

    def start(self, warm=15.0):
        u = [] if self.hold else [self.rooms[self.room]["T"] + warm]
        u += [r["T"] for r in self.rooms if not r["held"]]
        u += [0.1 * (k + 1) for k in range(len(self.rooms) - len(self.pinned - {"box"}))]
        u += [] if "box" in self.pinned else [-0.2]
        if self.ret or self.exh:
            speed = max([s["speed"] for s in self.stages if s["kind"] == "blower"] or [0])
            u.append(3.0 * speed + 0.05)
            if self.ret and self.exh and self.share is None:
                u.append(0.3 * speed + 0.02)
        return np.array(u)

    def polish(self, u):
        """Newton's method with central differences, to the floor of rounding."""
        best = np.abs(self.evaluate(u)[0]).max()
        for _ in range(12):
            if best < 1e-12:
                break
            J = np.empty((len(u), len(u)))
            for k in range(len(u)):
                h = 1e-6 * max(abs(u[k]), 1e-2)
                e = np.zeros(len(u))
                e[k] = h
                J[:, k] = (self.evaluate(u + e)[0] - self.evaluate(u - e)[0]) / (2 * h)
            step, t, done = np.linalg.lstsq(J, -self.evaluate(u)[0], rcond=None)[0], 1.0, False
            while t > 1e-4:
                now = np.abs(self.evaluate(u + t * step)[0]).max()
                if now < best:
                    u, best, done = u + t * step, now, True
                    break
                t /= 2
            if not done:
                break
        return u, best

    def solve_once(self, guess=None):
        self.walls_memory = {}
        tries = [guess] if guess is not None else []
        tries += [self.start(w) for w in (15.0, 30.0, 3.0, 60.0)]
        worst = math.inf
        for u in tries:
            if len(u) != len(self.start()):
                continue
            try:
                got = root(lambda x: self.evaluate(x)[0], u, method="hybr", options={"xtol": 1e-13, "maxfev": 600})
                u, worst = self.polish(got.x)
            except (ValueError, ZeroDivisionError, OverflowError):
                continue
            if worst < 1e-9:
                return u
        raise RuntimeError(f"no solution: residual {worst:.2g}")

    def with_heater(self):
        self.heater_W, self.hold, self.mode = 0.0, False, "off"
        u = self.solve_once()
        o = self.evaluate(u)[1]
        if self.heater_max > 0 and o["Tb"] < self.target:
            self.hold, self.mode = True, "holds"
            o = self.evaluate(self.solve_once(u[1:]))[1]
            need = -o["heat_box"]
            if need > self.heater_max:
                self.hold, self.mode, self.heater_W = False, "full", self.heater_max
                o = self.evaluate(self.solve_once(u))[1]
                need = self.heater_max
            o["heater_W"] = need
        o.setdefault("heater_W", 0.0)
        return o

    def solve(self):
        o = self.with_heater()
        self.idle = False
        if self.plate and o["walls"]["plate"] < 0:  # a thermostat cannot cool
            self.plate, self.idle = False, True
            o = self.with_heater()
        self.o = o
        return o

    # ---- what follows from the flows ----

    def transport(self, emission, passing_share, sink_m3s=0.0):
        """Concentrations per m3 in box, rooms and (per m3 of box air) junction, for an emission into the box."""
        o, n = self.o, len(self.rooms) + 2
        J = n - 1
        rho = [o["rho_b"]] + o["rho"] + [o["rho_b"]]
        A = np.zeros((n, n))

        def index(z):
            return None if z == OUTDOORS else 0 if z == "box" else z + 1

        def move(a, b, m, keep=1.0):
            if a is None or m <= 0:
                return
            A[a, a] += m / rho[a]
            if b is not None:
                A[b, a] -= keep * m / rho[a]

        def both(a, b, m, keep=1.0):
            move(a, b, m, keep)
            move(b, a, -m, keep)
        for g, i, e in zip(self.gaps, o["gap_in"], o["gap_out"]):
            move(index(g["room"]), 0, i)
            move(0, index(g["room"]), e)
        for d, ab, ba in zip(self.doors, o["door_ab"], o["door_ba"]):
            move(index(d["a"]), index(d["b"]), ab)
            move(index(d["b"]), index(d["a"]), ba)
        for k, r in enumerate(self.rooms):
            move(k + 1, None, o["leak_out"][k] + r["exchange"])
        both(0, J, o["mc"], passing_share)
        both(J, 0, o["mr"])
        if self.exh:
            both(J, index(self.to), o["me"])
        A[0, 0] += sink_m3s
        live = [k for k in range(n) if A[k, k] > 0]
        b = np.zeros(n)
        b[0] = emission
        c = np.zeros(n)
        M = A[np.ix_(live, live)]
        if np.linalg.cond(M) < 1e13:
            c[live] = np.linalg.solve(M, b[live])
            return c
        # some zone loses nothing at all: what it gains piles up without end
        tiny = 1e-12 * np.abs(M).max()
        c[live] = np.linalg.solve(M + tiny * np.eye(len(live)), b[live])
        c[c > 1e-4 * emission / tiny] = math.inf
        return c

    def stage_flow(self, k):
        """Through stage k itself, m3/s, its share past the seal, its temperature."""
        o = self.o
        T, mc = o["stage_T"][k], o["mc"]
        x = o["bypass"][k] / mc if mc else 0.0
        return abs(mc) / density(self.p, T, self.w) * (1 - x), x, T

    def settle_speed(self, d, T):
        lam = 0.066e-6 * (101325 / self.p) * (T / 293.15) * (1 + 110.4 / 293.15) / (1 + 110.4 / T)  # Willeke 1976
        cc = 1 + lam / d * (2.34 + 1.05 * math.exp(-0.39 * d / lam))                                # Allen & Raabe 1985
        return 1000 * d * d * G * cc / (18 * viscosity(T)), 1.380649e-23 * T * cc / (3 * math.pi * viscosity(T) * d)

    def deposition(self, d):
        """Lai & Nazaroff 2000 on the six faces, m3/s."""
        T = self.o["Tb"]
        if self.stirring <= 0 or d <= 0:
            return 0.0
        rho, mu = density(self.p, T, self.w), viscosity(T)
        us = self.stirring * math.sqrt(1.328 / math.sqrt(self.stirring * self.W * rho / mu) / 2)
        vs, diff = self.settle_speed(d, T)
        nu = mu / density(self.p, T, 0)
        Sc, rp = nu / diff, d * us / (2 * nu)
        s = 10.92 * Sc**(-1 / 3)

        def part(r, below):
            return 0.5 * math.log((s + r)**3 / below) + math.sqrt(3) * math.atan((2 * r - s) / (math.sqrt(3) * s))
        integral = 3.64 * Sc**(2 / 3) * (part(4.3, 1 / Sc + 0.0609) - part(rp, 1 / Sc + 7.669e-4 * rp**3)) + 39
        x = vs * integral / us
        up, down = vs / (1 - math.exp(-x)), (vs / (math.exp(x) - 1) if x < 700 else 0.0)
        return us / integral * 2 * self.H * (self.W + self.D) + (up + down) * self.W * self.D

    def medium_pass(self, d=None):
        """Share of one size, or of the one that passes best, that all media with their seals let by."""
        P = 1.0
        for k, s in enumerate(self.stages):
            if s["kind"] == "medium":
                q, x, T = self.stage_flow(k)
                raw = s["raw"]
                rated, size, v0 = 1 - self.q(raw["efficiency"], 0), self.q(raw["worst_size"], 0), self.q(raw["rated_velocity"], 0)
                v = max(q / s["A"], 0.25 * v0)  # believed down to a quarter of the rated velocity
                if "fibre" not in s:
                    s["fibre"] = self.fibre(size, v0)
                df = s["fibre"]
                if df is None:
                    own = rated**((v / v0)**(-4 / 9))  # Lee & Liu 1980
                else:
                    least = self.caught(d, df, v, T, self.p) if d else minimize_scalar(
                        lambda u: self.caught(math.exp(u), df, v, T, self.p), method="bounded", options={"xatol": 1e-9},
                        bounds=(math.log(size / 5), math.log(size * 5))).fun
                    own = rated**(least / self.caught(size, df, v0, 293.15, 101325))
                P *= (1 - x) * own + x
        return P

    def caught(self, d, df, v, T, p):
        """What one fibre catches of one size: Lee & Liu 1982 with impaction as in Hinds 1999, solidity 0.06, unit density."""
        a, mu = 0.06, viscosity(T)
        path = 0.066e-6 * 101325 / p * T / 293.15 * (1 + 110.4 / 293.15) / (1 + 110.4 / T)
        Cc = 1 + path / d * (2.34 + 1.05 * math.exp(-0.39 * d / path))
        Ku = -math.log(a) / 2 - 0.75 + a - a * a / 4
        R, Pe = d / df, v * df * 3 * math.pi * mu * d / (1.380649e-23 * T * Cc)
        Stk = 1000 * d * d * Cc * v / (18 * mu * df)
        at = min(R, 0.4)
        J = (29.6 - 28 * a**0.62) * at**2 - 27.5 * at**2.8
        J += min(max((R - 0.4) / 0.1, 0), 1) * (2 - J)
        return 1.6 * ((1 - a) / Ku)**(1 / 3) * Pe**(-2 / 3) + 0.6 * (1 - a) / Ku * R * R / (1 + R) + Stk * J / (2 * Ku * Ku)

    def fibre(self, size, v0):
        """The fibre whose worst size that is; None where there is none up to 30 um."""
        def tilt(u):
            df, h = math.exp(u), 1e-4
            return self.caught(size * (1 + h), df, v0, 293.15, 101325) - self.caught(size * (1 - h), df, v0, 293.15, 101325)
        lo, hi = math.log(size), math.log(30e-6)
        return math.exp(brentq(tilt, lo, hi, xtol=1e-13)) if hi > lo and tilt(lo) > 0 > tilt(hi) else None

    def vapour_pressure(self, sub, T):
        """The most volatile of the laws that hold at T; of all when none does."""
        ps = []
        for v in sub["vapour_pressure"]:
            c = v["c"]
            if v["form"] == "dippr101":
                p = math.exp(c[0] + c[1] / T + c[2] * math.log(T) + c[3] * T**c[4])
            elif v["form"] == "antoine":
                p = 10**(c[0] - c[1] / (T + c[2]))
            else:
                p = c[0] * math.exp(c[2] / R_GAS * (1 / c[1] - 1 / T))
            ps.append((v["form"] == "point" or v["from"] <= T <= v["to"], p))
        inside = [p for good, p in ps if good]
        return max(inside or [p for _, p in ps] or [0.0])

    def most_vapour(self, sub, T):
        """Saturated air, not below the LFL (mist burns too); all of it where no law of vapour pressure holds."""
        held = any(v["form"] == "point" or v["from"] <= T <= v["to"] for v in sub["vapour_pressure"])
        return min(1.0, max(self.vapour_pressure(sub, T) / self.p, self.q(sub["lfl"], 1))) if held else 1.0

    def bed_law(self, k, sub):
        """Functions of the inlet concentration: capacity, and rate at a breakthrough share."""
        q, raw = self.q, self.stages[k]["raw"]
        flow, x, T = self.stage_flow(k)
        A, granule, e = q(raw["area"], 0), q(raw["granule"], 0), q(raw["voidage"], 0)
        M, Pe, dL = q(sub["molar_mass"], 1), q(sub["molar_refraction"], 0) * 1e6, q(sub["liquid_density"], 0)
        psat, v = self.vapour_pressure(sub, T), flow / A
        W0, factor = q(raw["micropore_volume"], 0), q(raw["capacity_factor"], 1)

        def held(p):
            """Dubinin-Radushkevich in Wood's form of 1994."""
            if not psat > 0 or Pe <= 0 or dL <= 0:
                return 0.0
            if p >= psat:
                return factor * W0 * dL
            A_cal = 1.987 * T * math.log(p / psat)
            return factor * W0 * dL * math.exp(-q(raw["structure"], 0) * W0 * 1e3 * Pe**-1.8 * A_cal**2)

        def pressure(C):
            return C * R_GAS * T / M

        def rate(C, share):
            vc, We = v * 100, held(max(50e-6 * self.p, pressure(C)))
            skew = 0.063 - 0.0055 * math.log((1 - share) / share)
            ws = 1 / ((1 / vc + 0.027) * (0.000825 + skew / Pe)) / 60 * (1.1e-3 / granule)**1.5     # Wood & Stampfer 1993
            lv = 800 * (0.0862 * Pe**0.75)**0.33 * vc**0.75 * (granule * 100)**-1.5 * math.sqrt(We / (M * 1e3)) / 60
            diff = q(sub["diffusivity"], 0) * (T / 298.15)**1.75 * 101325 / self.p
            nu = viscosity(T) / density(self.p, T, self.w)
            Sh = 2 + 1.1 * (nu / diff)**(1 / 3) * (v * granule / nu)**0.6                           # Wakao & Funazkri 1978
            cap = Sh * diff / granule * 6 * (1 - e) / granule
            u = v / e                                                                               # mixing by the flow: Edwards & Richardson 1968
            cap = 1 / (1 / cap + e * 0.5 * u * granule / (1 + 9.7 * diff / (u * granule)) / v**2)
            return min(cap, min(cap, ws, lv) * q(raw["rate_factor"], 1))
        return dict(flow=flow, x=x, T=T, V=A * q(raw["depth"], 0), held=lambda C: held(pressure(C)), rate=rate,
                    mass=q(raw["mass"], 0), bulk=q(raw["bulk_density"], 0))

    def gas(self, emission, sub):
        beds = [] if sub["weakly_held"] else [self.bed_law(k, sub) for k, s in enumerate(self.stages) if s["kind"] == "bed"]
        first = {}

        def through(C):
            P = 1.0
            first.clear()
            for b in beds:
                capacity = b["held"](C * P)
                takes = b["flow"] > 0 and capacity > 0
                k = b["rate"](C * P, 1e-3) if takes else 0.0
                if not first.get("use", 0) > 0:  # what is told is of the first bed that takes it up
                    first.update(capacity=capacity, inlet=C * P, rate=k, use=C * b["flow"] / capacity if takes else 0.0)
                if takes:
                    P *= (1 - b["x"]) * math.exp(-k * b["V"] / b["flow"]) + b["x"]
            return P
        k_last = max([k for k, s in enumerate(self.stages) if s["kind"] == "bed"], default=None)
        scale = density(self.p, self.o["stage_T"][k_last], self.w) / self.o["rho_b"] if k_last is not None else 1.0
        top = min(math.log(max(self.transport(emission, 1.0)[0] * scale, 1e-15) * 1.01), math.log(1e3))
        bottom = math.log(max(self.transport(emission, 0.0)[0] * scale, 1e-15) * 0.99)

        def miss(lnC):
            C = math.exp(lnC)
            return math.log(self.transport(emission, through(C))[0] * scale) - lnC
        P = through(math.exp(brentq(miss, bottom, top, xtol=1e-14))) if beds and top > bottom else through(1e-15)
        c = self.transport(emission, P)
        return dict(emission_kgs=emission, box_kgm3=c[0], room_kgm3=c[1:-1], spent_kgm3=self.transport(emission, 1.0)[1:-1], **{"pass": P},
                    inlet_kgm3=first.get("inlet", 0.0), capacity=first.get("capacity", 0.0), rate_1s=first.get("rate", 0.0), use=first.get("use", 0.0), beds=beds,
                    late=0.0, spent_box=self.transport(emission, 1.0)[0])

    def life(self, gases, weak):
        """Lewis' rule for the shared pores; each vapour loses its own transfer zone's share of the bed (Wheeler & Jonas)."""
        beds = next((g["beds"] for g in gases if g["beds"]), [])
        leak = beds[-1]["x"] if beds else 0.0  # the seal's part of the allowed share
        x = (1 - self.q(self.data["require"]["gas_removal"], 0.9) - leak) / (1 - leak)
        total, out = sum(g["use"] for g in gases), []
        for g, w in zip(gases, weak):
            t = math.nan if w else 0.0
            if not w and g["use"] > 0:
                units = sum(b["rate"](g["inlet_kgm3"], min(max(x, 1e-3), 0.1)) * b["mass"] / b["bulk"] / b["flow"] for b in g["beds"])
                t0 = sum(b["mass"] for b in g["beds"]) / total
                t = t0 * (max(1 - math.log((1 - x) / x) / units, 0.0) if x > 0 else 0.0)
                # what passes at the end of the life required: the same law the other way round; the rest is used up by spent carbon's air
                end = self.q(self.data["require"]["carbon_life"], 0)
                e = units * (end / t0 - 1) + (units * (g["spent_box"] / g["box_kgm3"] - 1) * (end - t) / t0 if end > t else 0)
                g["late"] = leak + (1 - leak) * (1 / (1 + math.exp(-e)) if e > -700 else 0.0)
            out.append(t)
        return min([t for g, t in zip(gases, out) if g["use"] > 0], default=math.nan), out

    def exhaust_wall(self):
        """Inner face of the exhaust duct at its far end."""
        o, d, T = self.o, self.exh, self.o["T_exh"]
        if d.L <= 0:
            return T
        Tr = self.zone_T(d.room, o["Ts"])
        inside = duct_inside(d.D, o["me"] / density(self.p, T, self.w), T, self.p)
        flux = (T - Tr) / (1 / inside + d.R + 1 / duct_outside(d.D, o["skins"][2], Tr, self.p))
        return T - flux / inside

    def dew_point(self):
        e = self.w / (self.w + EPS) * self.p
        return brentq(lambda T: saturation(T) - e, 180, 373) if e > 0 else 0.0

    def velocity(self, g, dp):
        o = self.o
        T = o["Tb"] if dp < 0 else self.T_out if g["room"] == OUTDOORS else o["Ts"][g["room"]]
        rho, mu = density(self.p, T, self.w), viscosity(T)
        if g["kind"] == "measured":
            return math.nan
        if g["kind"] == "opening":
            return math.copysign(g["cd"] * math.sqrt(2 * abs(dp) / rho), dp)
        return passing(g["r"], dp, rho, mu) / g["A"]

    def results(self):
        """The same names as dump.c prints."""
        o, q, c = self.o, self.q, self.case
        out = {k: o[k] for k in ("gap_in", "gap_out", "gap_dp_bottom", "gap_dp_top", "door_ab", "door_ba", "leak_in", "leak_out")}
        w, over, mc = o["walls"], o["over"], o["mc"]
        column = self.rho_out * G
        out.update(plate_idle=int(self.idle), heater=self.mode, T_box=o["Tb"], T_star=w["star"], p_box=over("box", self.stand) - column * self.stand,
                   T_rooms=o["Ts"], p_rooms=[over(i, 0.0) for i in range(len(self.rooms))], T_panel_in=[f[0] for f in w["faces"]],
                   T_panel_out=[f[1] for f in w["faces"]], panel_W=w["room"], plate_W=w["plate"], heater_W=o["heater_W"],
                   room_heater_W=o["room_heater"], gap_of=[g["i"] for g in self.gaps])
        out["room_p_mid"] = [over(i, r["H"] / 2) for i, r in enumerate(self.rooms)]
        wide = [g["kind"] == "opening" for g in self.gaps]  # judged by face speed, without a gust
        least = [min(a, b) - (self.gust if self.state["gust"] and not w_ else 0) for a, b, w_ in zip(o["gap_dp_bottom"], o["gap_dp_top"], wide)]
        rho_r = density(self.p, o["Ts"][self.room], self.w)
        speeds = [(i - e) / (rho_r * g["w"] * g["rise"]) if w_ else self.velocity(g, dp)
                  for g, dp, w_, i, e in zip(self.gaps, least, wide, o["gap_in"], o["gap_out"])]
        counted = [v * g["depth"] / 3e-3 if v > 0 and g.get("depth", 0) > 0 else v for v, g in zip(speeds, self.gaps)]  # speed times path against diffusion
        narrow = [c for c, w_ in zip(counted, wide) if not w_]
        known = [c for c in narrow if not math.isnan(c)]
        # a speed that is not known is worse than any that is known to be inward
        slowest = math.nan if not known or (len(known) < len(narrow) and min(known) > 0) else min(known)
        out.update(gap_least_Pa=least, gap_velocity_ms=speeds, inward_Pa=min((p for p, w_ in zip(least, wide) if not w_), default=math.nan),
                   inward_ms=slowest, escape_m3s=sum(o["gap_out"]) / o["rho_b"])
        electric = sum(s["power"] for s in self.stages if s["kind"] == "blower")
        out.update(blower_power=electric, power_W=electric + w["plate"] + self.hot + o["heater_W"])
        box_V = self.W * self.D * self.H
        # the cleaner
        if self.has:
            out.update(p_junction=o["pj"] - column * self.z_in, m_clean=mc, T_in=o["T_in"], T_junction=o["TJ"], stage_dp=o["stage_dp"],
                       duct_W=o["duct_W"], casing_W=o["casing_W"], blower_heat=o["blower_heat"], T_skin=o["skins"])
            if self.ret:
                out.update(m_return=o["mr"], T_return=o["T_ret"])
            if self.exh:
                out.update(m_exhaust=o["me"], T_exhaust=o["T_exh"])
            out["m_bypass"] = [b if s.get("seal") else None for b, s in zip(o["bypass"], self.stages)]
            out["throttle_Pa"] = o.get("throttle_Pa", 0.0)
        blowers = [s for s in self.stages if s["kind"] == "blower"]
        clean = mc / density(self.p, o["T_in"], self.w) if blowers else mc / o["rho_b"]
        peaks = [clean / (s["curve"].peak() * s["speed"]) - 1 for s in blowers if s["curve"].peak() * s["speed"] > 0]
        out.update(clean_m3s=clean, share_out=o["me"] / mc if mc > 0 else 0.0, peak_margin=min(peaks, default=math.inf), air_changes_1s=clean / box_V)
        out["bypass"] = max([o["bypass"][k] / mc for k, s in enumerate(self.stages) if s["kind"] != "blower"] if mc else [0.0], default=0.0)
        out["bypass"] = max(out["bypass"], 0.0)
        beds = [(k, s) for k, s in enumerate(self.stages) if s["kind"] == "bed"]
        out.update(residence_s=0.0, bed_velocity_ms=0.0, bed_rh=0.0, carbon_kg=0.0)
        for k, s in beds:
            flow, _, T = self.stage_flow(k)
            out["residence_s"] += s["A"] * q(s["raw"]["depth"], 0) / flow if flow > 0 else math.inf
            out["bed_velocity_ms"] = max(out["bed_velocity_ms"], flow / s["A"])
            out["carbon_kg"] += q(s["raw"]["mass"], 0)
            out["bed_rh"] = self.w / (self.w + EPS) * self.p / saturation(T)
        # particles
        rate = q(c["rate"], 0)
        P, N = self.medium_pass(), q(c["particles"], math.nan) * (rate if c["particles_per_mass"] else 1)
        sink = self.deposition(q(c["particle_diameter"], 0))
        n = self.transport(N, P, sink)
        gone = sum(e / o["rho_b"] * n[0] - (i / o["rho"][g["room"]] * n[1 + g["room"]] if g["room"] >= 0 else 0)
                   for g, i, e in zip(self.gaps, o["gap_in"], o["gap_out"]))
        gone += max(o["me"], 0) / o["rho_b"] * n[-1]
        out.update(particle_pass=P, box_particles_m3=n[0], room_particles_m3=n[1:-1], particle_kept=1 - gone / N)
        # gases
        subs = [self.data["substances"][g["substance"]] for g in c["gases"]]
        gases = [self.gas(q(g["rate"], math.nan) * (rate if g["per_mass"] else 1), s) for g, s in zip(c["gases"], subs)]
        weak = [bool(s["weakly_held"]) for s in subs]
        out["life_s"], service = self.life(gases, weak) if beds else (math.nan, [0.0] * len(gases))
        for g, t in zip(gases, service):
            g["service_s"] = t
            g.pop("beds"), g.pop("use"), g.pop("spent_box")
        late = [g.pop("late") for g in gases]
        out["gas_results"] = gases
        out["lfl_fraction"] = sum(min(self.transport(g["emission_kgs"], 1.0)[0] * R_GAS * o["Tb"] / q(s["molar_mass"], 1) / self.p,
                                      self.most_vapour(s, o["Tb"])) / q(s["lfl"], 1)
                                  for g, s in zip(gases, subs) if s["lfl"] >= 0)
        leaving = sum(o["gap_out"]) + max(mc, 0) + max(-o["mr"], 0)
        mass = o["rho_b"] * box_V
        out["removal_1s"] = (leaving - max(o["mr"], 0) * P) / mass + sink / box_V
        out["gas_removal_1s"] = min([(leaving - max(o["mr"], 0) * max(g["pass"], t, 1 - self.q(self.data["require"]["gas_removal"], 0.9))) / mass
                                     for g, t in zip(gases, late)], default=math.inf)
        # out of doors
        out["heating_W"], out["dew_margin_K"] = 0.0, math.inf
        if self.exh and self.to == OUTDOORS and o["me"] > 0:
            out["heating_W"] = o["me"] * self.cp * (o["Ts"][self.room] - self.T_out)
            out["dew_margin_K"] = self.exhaust_wall() - self.dew_point()
        if blowers:
            out["sound_dB"] = self.sound([(b, o["stage_dp"][self.stages.index(b)]) for b in blowers], clean)
        return out

    def sound(self, blowers, clean):
        r, q, total = self.rooms[self.room], self.q, 0.0
        for s, rise in blowers:
            raw = s["raw"]
            if s["speed"] < 0.2:
                power = math.nan if s["speed"] > 0 else -math.inf
            elif raw["sound"] >= 0:
                power = q(raw["sound"], 0) + 10 * math.log10(4 * math.pi) + 55 * math.log10(s["speed"])
            else:
                power = 40 + 10 * math.log10(max(clean, 1e-6)) + 20 * math.log10(max(rise, 1)) - (13.2 if raw["forward_curved"] else 3.6)
            total += 10 ** (power / 10)
        if not total > 0:
            return math.nan if math.isnan(total) else 0.0
        d, a, S = q(self.data["require"]["noise_distance"], 1), r["absorption"], 2 * r["floor"] + 4 * math.sqrt(r["floor"]) * r["H"]
        return 10 * math.log10(total) + 10 * math.log10(1 / (4 * math.pi * d * d) + 4 * (1 - a) / (S * a))


# ---- comparison ----

RELATIVE = 1e-6
# Below these a number is as good as zero: solver tolerances (1e-11 of 1 g/s, 10 Pa, 10 K, 10 W) with room to spare.
FLOORS = {"T": 1e-7, "p": 1e-8, "m": 1e-12, "W": 1e-7, "n": 1e-12}
KIND = {"T_box": "T", "T_star": "T", "T_in": "T", "T_junction": "T", "T_return": "T", "T_exhaust": "T", "T_rooms": "T", "T_panel_in": "T",
        "T_panel_out": "T", "T_skin": "T", "dew_margin_K": "T", "p_box": "p", "p_rooms": "p", "p_junction": "p", "gap_dp_bottom": "p",
        "gap_dp_top": "p", "gap_least_Pa": "p", "room_p_mid": "p", "inward_Pa": "p", "stage_dp": "p", "throttle_Pa": "p", "gap_in": "m",
        "gap_out": "m", "door_ab": "m", "door_ba": "m", "leak_in": "m", "leak_out": "m", "m_clean": "m", "m_return": "m", "m_exhaust": "m",
        "m_bypass": "m", "panel_W": "W", "plate_W": "W", "heater_W": "W", "room_heater_W": "W", "duct_W": "W", "casing_W": "W"}


class Tally:
    def __init__(self):
        self.passed = self.failed = 0

    def number(self, where, name, ours, theirs, T_ref):
        floor = FLOORS[KIND.get(name, "n")]
        nothing = [x is None or (isinstance(x, float) and math.isnan(x)) for x in (ours, theirs)]
        if any(nothing):
            good = all(nothing)
        elif math.isinf(ours) or math.isinf(theirs):
            good = ours == theirs
        else:
            size = abs(theirs - T_ref) if KIND.get(name) == "T" and name != "dew_margin_K" else abs(theirs)
            good = abs(ours - theirs) <= RELATIVE * size + floor
            if name == "p_box" or name == "p_junction" or name == "p_rooms":
                good = good or abs(ours - theirs) <= 1e-7
        self.passed += good
        self.failed += not good
        if not good:
            print(f"FAIL {where}: {name}: library {ours}, peer {theirs}")

    def value(self, where, name, ours, theirs, T_ref):
        if isinstance(ours, str):
            self.passed += ours == theirs
            self.failed += ours != theirs
            if ours != theirs:
                print(f"FAIL {where}: {name}: library {ours}, peer {theirs}")
        elif isinstance(ours, dict):
            for k in theirs:
                self.value(where, k if k in KIND else f"{name}.{k}", ours[k], theirs[k], T_ref)
        elif isinstance(ours, list):
            if len(ours) != len(theirs):
                self.failed += 1
                print(f"FAIL {where}: {name}: {len(ours)} numbers against {len(theirs)}")
                return
            for i, (a, b) in enumerate(zip(ours, theirs)):
                self.value(f"{where}[{i}]", name, a, b, T_ref)
        else:
            self.number(where, name, ours, None if theirs is None else float(theirs), T_ref)


def compare(tally, where, data):
    for case in data["cases"]:
        here = f"{where}, {case['job']}, {case['state']['name']}"
        model = Model(data, case)
        try:
            model.solve()
        except RuntimeError as e:
            tally.failed += 1
            print(f"FAIL {here}: the peer found {e}")
            continue
        theirs, ours = model.results(), case["solution"]
        for name in sorted(theirs):
            tally.value(here, name, ours[name], theirs[name], model.rooms[model.room]["T"])


def main():
    here = pathlib.Path(__file__).resolve().parent
    files = [pathlib.Path(a) for a in sys.argv[2:]] or sorted(here.glob("../../examples/*.yaml")) + sorted(here.glob("designs/*.yaml"))
    tally = Tally()
    for file in files:
        for end in ("best", "low", "high"):
            made = subprocess.run([sys.argv[1], file, end], capture_output=True, text=True)
            if made.returncode:
                tally.failed += 1
                print(f"FAIL {file.name} ({end}): {made.stderr}")
                continue
            compare(tally, f"{file.stem} ({end})", json.loads(made.stdout))
    print(f"{tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed or not tally.passed else 0


if __name__ == "__main__":
    sys.exit(main())
