/* SPDX-License-Identifier: MIT */
#include "physics/flow.h"

#include <assert.h>
#include <math.h>

static const double pi = 3.14159265358979323846; /* circle */

#define LAMINAR_RE 2300.0   /* laminar below: Cengel & Cimbala, Fluid Mechanics, ch. 8 */
#define TURBULENT_RE 4000.0 /* fully turbulent above: the same */

/* Colebrook 1939: 1/sqrt(f) = -2 log10(e/3.7 + 2.51/(Re sqrt(f))). Newton on x = 1/sqrt(f); the function is concave and
 * rising, so Newton cannot leave. The derivative by Re is that of the implicit equation at the root. */
static struct inw_friction colebrook(double Re, double e)
{
	const double rough = 1 / 3.7, smooth = 2.51; /* source above */
	const double k = 2 / log(10);                /* -2 log10 in natural logarithms */
	const int turns = 30;                        /* 4 or 5 are needed */
	const double enough = 4e-16;                 /* relative: two units of the last place */
	double x = 6, inside = 0;                    /* 6: f = 0.028, any start of that size does */

	for (int i = 0; i < turns; i++) {
		double step;

		inside = e * rough + smooth * x / Re;
		step = -(x + k * log(inside)) / (1 + k * smooth / (Re * inside));
		x += step;
		if (fabs(step) <= enough * x)
			break;
	}
	inside = e * rough + smooth * x / Re;
	return (struct inw_friction){
		.f = 1 / (x * x),
		.df_dRe = -2 / (x * x * x) * (k * smooth * x / (Re * Re * inside)) / (1 + k * smooth / (Re * inside)),
	};
}

/* Darcy friction factor.
 * Given: Re > 0, relative roughness 0..0.05 (up to 0.5 computed, beyond what Colebrook fitted). Returned: f and
 *   df/dRe, C1.
 * Method: 64/Re to 2300, Colebrook from 4000, between them a cubic smoothstep of the two (ours: nobody knows this
 *   range).
 * Omits: the entry length; the onset of turbulence as a matter of disturbance.
 * Source: Hagen-Poiseuille; Colebrook 1939, J. Inst. Civ. Eng. 11:133-156. Checked by: test/physics/test_duct.c. */
struct inw_friction inw_duct_friction(double Re, double relative_roughness)
{
	const double laminar = 64; /* Hagen-Poiseuille for a round pipe */
	const double roughest = 0.5;
	double t = (Re - LAMINAR_RE) / (TURBULENT_RE - LAMINAR_RE), share, share_dRe;
	struct inw_friction l, c;

	assert(Re > 0 && relative_roughness >= 0 && relative_roughness <= roughest);
	l = (struct inw_friction){.f = laminar / Re, .df_dRe = -laminar / (Re * Re)};
	if (t <= 0)
		return l;
	c = colebrook(Re, relative_roughness);
	if (t >= 1)
		return c;
	share = t * t * (3 - 2 * t); /* smoothstep: flat at both ends */
	share_dRe = 6 * t * (1 - t) / (TURBULENT_RE - LAMINAR_RE);
	return (struct inw_friction){
		.f = l.f + share * (c.f - l.f),
		.df_dRe = l.df_dRe + share * (c.df_dRe - l.df_dRe) + share_dRe * (c.f - l.f),
	};
}

/* Drop along a round duct or hose.
 * Given: diameter, length > 0 m, roughness >= 0 m, stretch >= 1 (factor on friction of a hose not pulled straight), q
 *   m3/s of either sign, rho kg/m3, mu Pa s. Returned: Pa and exact derivatives; odd, rising, C1, of finite slope at
 *   zero flow.
 * Valid range: developed flow. Omits: entry, bends, ends (inw_fitting, add their drops), leaks, heat loss along the
 *   way.
 * Source: Darcy-Weisbach; the laminar part is Hagen-Poiseuille written without Re so that zero flow divides by nothing.
 *   stretch: Abushakra, Walker & Sherman; Weaver & Culp measured 4 (moderate) to 10 (strong compression) on 150-250
 *   mm hose.
 * Checked by: test/physics/test_duct.c. */
struct inw_drop inw_duct_drop(double diameter_m, double length_m, double roughness_m, double stretch, double q_m3s,
	double rho_kgm3, double mu_Pas)
{
	double area = pi * diameter_m * diameter_m / 4, size = fabs(q_m3s);
	double Re = rho_kgm3 * size * diameter_m / (area * mu_Pas);
	double k = stretch * length_m / diameter_m / (2 * area * area); /* dp = f k rho q|q| */
	struct inw_friction f;

	assert(diameter_m > 0 && length_m > 0 && roughness_m >= 0 && stretch >= 1);
	assert(rho_kgm3 > 0 && mu_Pas > 0);
	if (Re <= LAMINAR_RE) {
		double lin = 64 * k * area / diameter_m; /* f rho |q| = 64 mu area/diameter: Hagen-Poiseuille */

		return (struct inw_drop){.dp_Pa = lin * mu_Pas * q_m3s, .ddp_dq = lin * mu_Pas, .ddp_dmu = lin * q_m3s};
	}
	f = inw_duct_friction(Re, roughness_m / diameter_m);
	return (struct inw_drop){
		.dp_Pa = f.f * k * rho_kgm3 * q_m3s * size,
		.ddp_dq = (2 * f.f + Re * f.df_dRe) * k * rho_kgm3 * size,
		.ddp_drho = (f.f + Re * f.df_dRe) * k * q_m3s * size,
		.ddp_dmu = -Re * f.df_dRe * k * rho_kgm3 * q_m3s * size / mu_Pas,
	};
}

/* Bend, entry, grille: two-K law K = loss + laminar_loss/Re on the velocity in `area`, Re on `diameter`.
 * Given: area > 0 m2, diameter > 0 m, loss >= 0, laminar_loss >= 0 (0: unknown; the flow is then smoothed near zero,
 *   see inw_resistance_flow), not both 0. Returned: lin 1/m3, quad 1/m4.
 * Valid range: Re above 50 or so (memory). Omits: Hooper's factor 1 + 1/(diameter in inches) on `loss`, which the
 *   caller folds in; interaction of fittings closer than some diameters.
 * Source: Hooper 1981, Chem. Eng. 24 Aug, 96-100 (memory). Checked by: test/physics/test_duct.c. */
struct inw_resistance inw_fitting(double area_m2, double diameter_m, double loss, double laminar_loss)
{
	assert(area_m2 > 0 && diameter_m > 0 && loss >= 0 && laminar_loss >= 0 && loss + laminar_loss > 0);
	return (struct inw_resistance){
		.lin = laminar_loss / (2 * diameter_m * area_m2),
		.quad = loss / (2 * area_m2 * area_m2),
	};
}

/* Perforated plate or square-wire screen: K on the approach velocity, rows every 0.05 of open fraction from 0.05 to
 * 0.90.
 * Blevins 1984, Applied Fluid Dynamics Handbook, table of screens (as read in the documentation of an open numerical
 * library that cites it). The table ends with K = 0 at open fraction 1. */
#define SCREENS 18
static const double screen_K[SCREENS] = {
	1000, 250, 85, 52, 30, 17, 11, 7.7, 5.5, 3.8, 2.8, 2.0, 1.5, 1.1, 0.78, 0.53, 0.35, 0.08,
};
#define SCREEN_STEP 0.05 /* of open fraction between rows, and the first row */
#define SCREEN_LAST 0.90 /* the last row of K > 0 */

static double screen_loss(double open_fraction)
{
	double at = open_fraction / SCREEN_STEP - 1, share;
	int row;

	if (open_fraction >= SCREEN_LAST)
		return screen_K[SCREENS - 1] * (1 - open_fraction) / (1 - SCREEN_LAST); /* ln 0 has no value: straight in K */
	row = (int)at;
	if (row > SCREENS - 2)
		row = SCREENS - 2;
	share = at - row;
	return pow(screen_K[row], 1 - share) * pow(screen_K[row + 1], share); /* straight in ln K */
}

/* Screen across a duct.
 * Given: area > 0 m2 of the duct, open fraction 0.05 <= a < 1 (1 is no screen: leave it out). Returned: quad 1/m4,
 *   lin 0.
 * Valid range: the table's; holes turbulent. Omits: the laminar part (it needs the size of the holes; for fine mesh at
 *   low speed K is several times higher, memory), thickness, clogging.
 * Source: table above. Checked by: test/physics/test_duct.c. */
struct inw_resistance inw_screen(double area_m2, double open_fraction)
{
	const double rounding = 1e-12; /* 0.05 written in two ways */

	assert(area_m2 > 0 && open_fraction >= SCREEN_STEP - rounding && open_fraction < 1);
	return (struct inw_resistance){.quad = screen_loss(open_fraction) / (2 * area_m2 * area_m2)};
}
