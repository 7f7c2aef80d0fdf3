/* SPDX-License-Identifier: MIT */
/* isotherm.c: equilibrium between vapours in the air and in the micropores of a carbon.
 *
 * Invariants: I1 filling and pressure are inverses of each other, both increasing. I2 every isotherm is a straight line
 * through zero at its low end (Henry), joined without a jump in value or slope. I3 alone, a substance in `inw_pores` is
 * as without the others. I4 at zero loading every substance has its own Henry constant, whatever the others. I5 more of
 * one substance raises the pressure of every other at given loadings (displacement).
 */
#include "physics/isotherm.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include "physics/clean.h"
#include "physics/monotone.h"

static const struct inw_isotherm_value outside = { NAN, NAN };

/* Curvature of Dubinin & Radushkevich: B in filling = exp(-B ln^2(psat/p)), read off inw_dr_capacity at psat/p = e.
 * Given: as inw_dr_capacity. Returned: dimensionless, grows with T^2.
 * Valid, omits, source: inw_dr_capacity. Tests: test/physics/test_isotherm.c, `dubinin`.
 */
double inw_dubinin_curvature(double W0_m3kg, double structure, double refraction_m3mol, double T_K)
{
	/* a liquid of density 1/W0 makes the capacity the filling itself */
	return -log(inw_dr_capacity(W0_m3kg, structure, refraction_m3mol, 1 / W0_m3kg, T_K, exp(-1)));
}

/* Dubinin & Radushkevich with a Henry end. d ln(filling)/d ln p = 2 B ln(psat/p) is 1 at ln(psat/p) = 1/(2B), where the
 * filling is exp(-1/(4B)); below, the law would fall faster than in proportion, which no pore does: the line through
 * that point and zero goes on with the same slope.
 * Given: psat Pa > 0; curvature > 0. Valid: inw_dr_capacity; the Henry end is where the law must stop, not where one
 * was measured: below some ppm all of this is an extrapolation by an unknown factor.
 * Omits: hysteresis. Source: derived from the law. Tests: test/physics/test_isotherm.c, `dubinin`.
 */
struct inw_isotherm inw_isotherm_dubinin(double psat_Pa, double curvature)
{
	assert(psat_Pa > 0 && curvature > 0);
	return (struct inw_isotherm){ .kind = INW_ISOTHERM_DUBININ, .psat_Pa = psat_Pa, .root = 1 / sqrt(curvature),
		.join_filling = exp(-1 / (4 * curvature)), .join_Pa = psat_Pa * exp(-1 / (2 * curvature)) };
}

/* Measured points, as a monotone cubic in logarithms. The slope at the lowest point is set to 1, so that Henry's law
 * goes on from there.
 * Given: p Pa below psat, filling below 1/1.05 (`credit`), psat Pa at the temperature of measurement. Valid: isotherms that
 * are concave at their low end (d ln p/d ln filling >= 1 there), else the cubic is bent to stay monotone and the slope has a
 * step at the lowest point. Concave, Henry's line lies below what is not known there: it credits too little.
 * Omits: scatter of the points. Source: monotone.h. Tests: test/physics/test_isotherm.c, `points`.
 */
static const double credit = 1.05; /* ours: so much of the last loading at most, whatever comes */

int inw_isotherm_prepare(const double *p_Pa, const double *filling, int n, double psat_Pa, double *x, double *y,
	double *slope)
{
	if (n < 2 || !(psat_Pa > 0) || !(filling[n - 1] * credit < 1 && p_Pa[n - 1] < psat_Pa))
		return -1;
	for (int i = 0; i < n; i++) {
		x[i] = log(filling[i]);
		y[i] = log(p_Pa[i] / psat_Pa);
		if (!(isfinite(x[i]) && isfinite(y[i])))
			return -1;
		if (i && !(x[i] > x[i - 1] && y[i] > y[i - 1]))
			return -1;
	}
	inw_monotone__slopes(x, y, n, slope);
	double secant = (y[1] - y[0]) / (x[1] - x[0]);
	/* 3: Fritsch & Carlson 1980, the region in which a cubic stays monotone */
	if (hypot(1, slope[1]) <= 3 * secant)
		slope[0] = 1;
	return 0;
}

/* The same at another temperature: ln(psat/p) in proportion to 1/T at the same filling (Polanyi: the potential does not
 * depend on temperature). Off the temperature of measurement the slope at the lowest point steps by their ratio.
 * Above the last point nobody knows what is held, and no more is credited than a twentieth above it: the pressure rises to
 * saturation on a straight line in logarithms up to there (and stays there when other vapours fill the pores further).
 * Given: psat Pa and T K of now; T K of the points; the arrays of inw_isotherm_prepare.
 * Valid: some tens of kelvin. Omits: expansion of what is held. Source: Polanyi's potential theory, as in Dubinin 1960,
 * Chem. Rev. 60:235-241 (memory). Tests: test/physics/test_isotherm.c, `points`.
 */
struct inw_isotherm inw_isotherm_points(double psat_Pa, double T_K, double measured_at_K, const double *x,
	const double *y, const double *slope, int n)
{
	const double stretch = measured_at_K / T_K;

	const double rise = fmin(log(credit), -y[n - 1]); /* pressure over loading never falls */

	assert(n >= 2 && psat_Pa > 0);
	return (struct inw_isotherm){ .kind = INW_ISOTHERM_POINTS, .psat_Pa = psat_Pa, .x = x, .y = y, .slope = slope,
		.points = n, .stretch = stretch, .top = x[n - 1] + rise, .steep = -y[n - 1] / rise, .join_filling = exp(x[0]), .join_Pa = psat_Pa * exp(stretch * y[0]) };
}

/* Water on carbon, type V: p/psat = f/(c (s + f)(1 - k f)), f the filling, k so that f = 1 at saturation.
 * Few sites s hold the first molecules, and these hold the next; the rise begins near p/psat = 1/c.
 * Given: psat Pa; c 1.3 .. 2.5 and s 0.005 .. 0.05 (memory, no found source: from rises at 40 to 70 % humidity on
 * coconut carbon; every use should carry that range), or c from the humidity of half filling, below. c >= 1.
 * Valid: adsorption branch, 15 .. 35 degC; as a function of p/psat it does not depend on temperature (reported for four
 * carbons, Qi, Hay & Rood 1998, J. Environ. Eng. 124:1130, abstract).
 * Omits: hysteresis (drying holds more), oxidised surfaces.
 * Source: Dubinin & Serpinsky 1981, Carbon 19:402-403 (memory). Tests: test/physics/test_isotherm.c, `water`.
 */
struct inw_isotherm inw_isotherm_water(double psat_Pa, double c, double sites)
{
	assert(psat_Pa > 0 && c >= 1 && sites > 0);
	return (struct inw_isotherm){ .kind = INW_ISOTHERM_WATER, .psat_Pa = psat_Pa, .c = c, .sites = sites,
		.k = 1 - 1 / (c * (1 + sites)) };
}

/* The c of that law from where half of the pores are full: solved from p/psat = half at f = 1/2,
 * c = 1/((s + 1/2) half) - 1/(1 + s).
 * Given: half 0.2 .. 0.85, sites 0 .. 0.1 (both together keep c >= 1). Returned: dimensionless.
 * Valid, omits: as above; the law then is no steeper than its form allows: with few sites some 0.14 of the pores are
 * full at 50 % humidity for half at 65 %.
 * Source: algebra of the law above. Tests: test/physics/test_isotherm.c, `water`.
 */
double inw_isotherm_water_c(double half, double sites)
{
	assert(half > 0 && half < 1 && sites > 0);
	return 1 / ((sites + 0.5) * half) - 1 / (1 + sites);
}

/* pressure over filling, and its derivative; a trial below zero goes on along Henry's line */
static struct inw_isotherm_value water_slant(const struct inw_isotherm *s, double filling)
{
	const double f = filling > 0 ? filling : 0, a = s->sites + f, b = 1 - s->k * f, g = s->psat_Pa / (s->c * a * b);

	return (struct inw_isotherm_value){ g, filling > 0 ? g * (s->k / b - 1 / a) : 0 };
}

static struct inw_isotherm_value water_pressure(const struct inw_isotherm *s, double f)
{
	const struct inw_isotherm_value g = water_slant(s, f);

	if (!(f <= 1))
		return outside;
	return (struct inw_isotherm_value){ f * g.y, g.y + f * g.dy };
}

static struct inw_isotherm_value water_filling(const struct inw_isotherm *s, double p_Pa)
{
	/* the quadratic A f^2 + B f - C = 0, its positive root without cancellation */
	const double hc = p_Pa / s->psat_Pa * s->c;
	const double A = hc * s->k, B = 1 - hc * (1 - s->k * s->sites), C = hc * s->sites;
	const double root = sqrt(B * B + 4 * A * C);
	const double f = B >= 0 ? 2 * C / (B + root) : (root - B) / (2 * A);

	/* fmin: rounding at saturation */
	return (struct inw_isotherm_value){ f, 1 / water_pressure(s, fmin(f, 1)).dy };
}

/* ln(p/psat) over ln filling between the points, and beyond the last up to saturation */
static struct inw_monotone_value curve(const struct inw_isotherm *s, double x)
{
	const int last = s->points - 1;
	int i;

	if (x >= s->x[last])
		return x <= s->top ? (struct inw_monotone_value){ s->steep * (x - s->top), s->steep } : (struct inw_monotone_value){ 0, 0 };
	i = inw_monotone__find(s->x, s->points, x);
	return inw_monotone__piece(&s->x[i], &s->y[i], &s->slope[i], x);
}

/* the inverse of `curve`: Newton, kept within what is known to hold the root */
static double curve_at(const struct inw_isotherm *s, double y)
{
	double low = s->x[0], high = s->x[s->points - 1], x;

	if (y >= s->y[s->points - 1])
		return s->top + y / s->steep;
	x = (low + high) / 2;
	for (int i = 0; i < 100; i++) { /* bisection alone would need some 60 */
		const struct inw_monotone_value v = curve(s, x);
		double next;

		if (v.y > y)
			high = x;
		else
			low = x;
		next = v.dy > 0 ? x - (v.y - y) / v.dy : low;
		if (!(next > low && next < high))
			next = (low + high) / 2;
		if (fabs(next - x) <= 1e-15 * fabs(x)) /* rounding */
			return next;
		x = next;
	}
	return x;
}

struct inw_isotherm_value inw_isotherm_pressure(const struct inw_isotherm *s, double filling)
{
	if (s->kind == INW_ISOTHERM_WATER)
		return water_pressure(s, filling);
	if (!(filling < 1))
		return filling == 1 ? (struct inw_isotherm_value){ s->psat_Pa, INFINITY } : outside;
	if (filling <= s->join_filling)
		return (struct inw_isotherm_value){ s->join_Pa / s->join_filling * filling,
			s->join_Pa / s->join_filling };
	if (s->kind == INW_ISOTHERM_DUBININ) {
		const double depth = sqrt(-log(filling)), p = s->psat_Pa * exp(-s->root * depth);

		return (struct inw_isotherm_value){ p, p * s->root / (2 * depth * filling) };
	}
	const struct inw_monotone_value v = curve(s, log(filling));
	const double p = s->psat_Pa * exp(s->stretch * v.y);
	return (struct inw_isotherm_value){ p, p * s->stretch * v.dy / filling };
}

struct inw_isotherm_value inw_isotherm_filling(const struct inw_isotherm *s, double p_Pa)
{
	double f;

	if (!(p_Pa >= 0 && p_Pa <= s->psat_Pa))
		return outside;
	if (s->kind == INW_ISOTHERM_WATER)
		return water_filling(s, p_Pa);
	if (p_Pa <= s->join_Pa)
		return (struct inw_isotherm_value){ s->join_filling / s->join_Pa * p_Pa, s->join_filling / s->join_Pa };
	if (s->kind == INW_ISOTHERM_DUBININ) {
		const double depth = log(s->psat_Pa / p_Pa) / s->root;

		f = exp(-depth * depth);
		return (struct inw_isotherm_value){ f, 2 * depth * f / (s->root * p_Pa) };
	}
	f = exp(curve_at(s, log(p_Pa / s->psat_Pa) / s->stretch));
	return (struct inw_isotherm_value){ f, 1 / inw_isotherm_pressure(s, f).dy };
}

/* ---- several substances ----
 *
 * Organic vapours mix as one liquid in the pores: p_i = phi_i p_i alone(f), with f the filling by all of them and phi_i
 * the share of i in that volume: each is at the potential that it would have alone at the total filling, times its
 * share (Raoult).
 * Water does not mix with them: each of the two finds the volume that the other leaves.
 *   f_organic = V_organic/(W0 - V_water), f_water = V_water/(W0 - V_organic).
 * Pressures follow from loadings in closed form; loadings from pressures by one scalar root, sum p_i/p_i alone(f) = 1,
 * which falls in f, so there is exactly one.
 * Valid: physisorbed vapours. It has the known direction (heavy displaces light, humid air takes capacity from thinly
 * loaded vapours most); its numbers are good within a factor of about two for the light one (a judgement, no source).
 * Omits: non-ideal mixing (alcohols with aromatics), water soluble vapours (which keep their capacity in humid air).
 * Source: Grant & Manes 1966, Ind. Eng. Chem. Fundam. 5:490-498, Polanyi's potential with Raoult's law (memory; they
 * take mole fractions: volume shares are taken here, since only these leave each its own Henry constant at zero
 * loading, I4); water's exclusion: Doong & Yang 1987 and Wood 2004 (memory).
 * Tests: test/physics/test_isotherm.c, `mixture`, `humid`.
 */

/* g = p alone / filling, finite at zero, and its derivative */
static struct inw_isotherm_value slant(const struct inw_isotherm *s, double f)
{
	struct inw_isotherm_value v;

	if (f <= s->join_filling)
		return (struct inw_isotherm_value){ s->join_Pa / s->join_filling, 0 };
	v = inw_isotherm_pressure(s, f);
	return (struct inw_isotherm_value){ v.y / f, (v.dy - v.y / f) / f };
}

void inw_pores_slant(const struct inw_pores *s, double f, double f_water, double *g, double *dg)
{
	/* once for all that follow Dubinin */
	const double depth = f > 0 && f < 1 ? sqrt(-log(f)) : 0, inverse = 1 / f, steep = 0.5 / depth;

	for (int i = 0; i < s->n; i++) {
		const struct inw_isotherm *a = &s->alone[i];

		if (a->kind == INW_ISOTHERM_DUBININ && f > a->join_filling) {
			g[i] = a->psat_Pa * exp(-a->root * depth) * inverse;
			dg[i] = g[i] * (a->root * steep - 1) * inverse;
			continue;
		}
		const struct inw_isotherm_value v = i == s->water ? water_slant(a, f_water) : slant(a, f);
		g[i] = v.y;
		dg[i] = v.dy;
	}
}

int inw_pores_pressure(const struct inw_pores *s, const double *q, double *p_Pa, double *dp_dq)
{
	const int n = s->n;
	double organic = 0, water = 0, g[INW_PORES_MOST], dg[INW_PORES_MOST];

	for (int i = 0; i < n; i++)
		*(i == s->water ? &water : &organic) += q[i] / s->liquid_kgm3[i];
	const double space = s->volume_m3kg - water, space_water = s->volume_m3kg - organic;
	const double f = organic / space, f_water = water / space_water;
	if (!(space > 0 && space_water > 0 && f < 1 && f_water <= 1))
		return 1;
	inw_pores_slant(s, f, f_water, g, dg);
	for (int i = 0; i < n; i++) {
		const bool wet = i == s->water;
		const double room = wet ? space_water : space, filled = wet ? f_water : f;
		const double share = q[i] / (s->liquid_kgm3[i] * room);

		p_Pa[i] = share * g[i];
		for (int j = 0; dp_dq && j < n; j++) /* its own kind fills, the other takes room */
			dp_dq[i * n + j] = ((i == j ? g[i] : 0) + share * (wet == (j == s->water) ? dg[i]
				: dg[i] * filled + g[i])) / (s->liquid_kgm3[j] * room);
	}
	return 0;
}

struct sum { double y, slope; }; /* sum p_i/p_i alone(f), and its derivative by f */

static struct sum shares(const struct inw_pores *s, const double *p, double f)
{
	struct sum t = { 0, 0 };

	for (int i = 0; i < s->n; i++) {
		if (i == s->water || !(p[i] > 0))
			continue;
		const struct inw_isotherm_value a = inw_isotherm_pressure(&s->alone[i], f);
		t.y += p[i] / a.y;
		t.slope -= p[i] / a.y * a.dy / a.y;
	}
	return t;
}

/* The filling by all organic vapours. NaN when there is none. */
static double organic_filling(const struct inw_pores *s, const double *p)
{
	double low = 0, high = 1, x;

	for (int i = 0; i < s->n; i++) {
		if (i == s->water)
			continue;
		const double alone = inw_isotherm_filling(&s->alone[i], p[i]).y;
		if (!(alone >= 0))
			return NAN;
		low = fmax(low, alone); /* with the others there, no less */
	}
	if (low == 0)
		return 0;
	x = low;
	for (int i = 0; i < 200; i++) { /* Newton in logarithms, bisection where it leaves the bracket */
		const struct sum t = shares(s, p, x);
		double next;

		if (t.y >= 1)
			low = x;
		else
			high = x;
		next = x * exp(log(t.y) / (-t.slope * x / t.y));
		if (fabs(t.y - 1) <= 1e-15) /* rounding */
			return x;
		if (!(next > low && next < high))
			next = (low + high) / 2;
		if (fabs(next - x) <= 2e-16 * x) /* rounding */
			break;
		x = next;
	}
	/* saturated together: no root below a full pore; 1e-9 is far above rounding, far below what is then missing */
	return x < 1 && fabs(shares(s, p, x).y - 1) < 1e-9 ? x : NAN; /* as said above */
}

int inw_pores_loading(const struct inw_pores *s, const double *p_Pa, double *q, double *dq_dp)
{
	const double f = organic_filling(s, p_Pa);
	struct inw_isotherm_value w = { 0, 0 };

	if (s->water >= 0)
		w = inw_isotherm_filling(&s->alone[s->water], p_Pa[s->water]);
	if (!(f >= 0 && f < 1 && w.y >= 0 && w.y <= 1))
		return 1;
	/* the two equations of volumes, solved: */
	const double common = s->volume_m3kg / (1 - f * w.y);
	const double space = common * (1 - w.y), water = common * w.y * (1 - f);
	const double apart = 1 - f * w.y;
	const double space_by_f = space * w.y / apart, space_by_w = -space * (1 - f) / ((1 - w.y) * apart);
	const struct sum t = shares(s, p_Pa, f > 0 ? f : 1);

	for (int i = 0; i < s->n; i++) {
		if (i == s->water) {
			q[i] = water * s->liquid_kgm3[i];
			continue;
		}
		q[i] = p_Pa[i] / slant(&s->alone[i], f).y * space * s->liquid_kgm3[i];
	}
	for (int i = 0; dq_dp && i < s->n; i++) {
		const struct inw_isotherm_value g = i == s->water ? w : slant(&s->alone[i], f);

		for (int j = 0; j < s->n; j++) {
			double *e = dq_dp + i * s->n + j, f_by = 0;

			if (j != s->water)
				f_by = f > 0 ? 1 / (inw_isotherm_pressure(&s->alone[j], f).y * -t.slope)
					: 1 / slant(&s->alone[j], 0).y;
			if (i == s->water) /* dV_w: by w 1/w + f/(1 - f w), by f */
				*e = common / apart * (j == i ? (1 - f) * w.dy : -w.y * (1 - w.y) * f_by);
			else if (j == s->water)
				*e = p_Pa[i] / g.y * space_by_w * w.dy;
			else
				*e = p_Pa[i] / g.y * (space_by_f - space * g.dy / g.y) * f_by
					+ (i == j ? space / g.y : 0);
			*e *= s->liquid_kgm3[i];
		}
	}
	return 0;
}
