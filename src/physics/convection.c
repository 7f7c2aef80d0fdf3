/* SPDX-License-Identifier: MIT */
/* convection.c: natural and forced convection on the faces of a box.
 *
 * Invariants (H1, H2 of heat.h, and): C1 a derivative here is exact: it is carried along with the value by arithmetic
 * on numbers that know their slopes, never differenced. C2 the natural-convection coefficient never vanishes: still air
 * conducts. C3 a temperature that is not above absolute zero gives NaN, so that a wandering solver step is refused by
 * the solver instead of being bent into range here.
 */
#include <assert.h>
#include <math.h>

#include "physics/flow.h"
#include "physics/heat.h"
#include "physics/powers.h"

#define GRAVITY 9.80665 /* m/s2, standard, 3rd CGPM 1901, exact */

/* ---- numbers that know their slopes ----
 * Nothing here is negative, and nearly everything is a product of powers. So a slope is kept as a share of the value,
 * d ln v: then factors add theirs, and a power multiplies it. T: by the film's temperature, 1/K; D: by the size of the
 * difference |Ts - Ta|, 1/K. */

struct sloped {
	double v, T, D;
};

static struct sloped constant(double c)
{
	return (struct sloped){ c, 0, 0 };
}

static struct sloped scaled(struct sloped x, double c)
{
	return (struct sloped){ c * x.v, x.T, x.D };
}

static struct sloped times(struct sloped x, struct sloped y)
{
	return (struct sloped){ x.v * y.v, x.T + y.T, x.D + y.D };
}

static struct sloped over(struct sloped x, struct sloped y)
{
	return (struct sloped){ x.v / y.v, x.T - y.T, x.D - y.D };
}

/* The sum is more than zero. */
static struct sloped plus(struct sloped x, struct sloped y)
{
	const double sum = x.v + y.v, share = x.v / sum;

	return (struct sloped){ sum, y.T + share * (x.T - y.T), y.D + share * (x.D - y.D) };
}

/* p = x^n, worked out by the caller; where n varies with x it is the local one, d ln p/d ln x */
static struct sloped power(struct sloped x, double p, double n)
{
	return (struct sloped){ p, n * x.T, n * x.D };
}

static struct sloped cube(struct sloped x)
{
	return power(x, x.v * x.v * x.v, 3);
}

static struct sloped cube_root(struct sloped x)
{
	return power(x, cbrt(x.v), 1.0 / 3);
}

/* ---- the air between surface and room, at their mean temperature ---- */

struct film {
	struct sloped T, conductivity, nu, Pr;
};

static struct sloped property(struct inw_property p)
{
	return (struct sloped){ p.value, p.slope, 0 };
}

static struct film film_at(double Ts_K, double Ta_K, double p_Pa)
{
	const double T = (Ts_K + Ta_K) / 2;
	const struct sloped mu = property(inw_air_viscosity(T));
	struct film f;

	f.T = (struct sloped){ T, 1 / T, 0 };
	f.conductivity = property(inw_air_conductivity(T));
	f.nu = over(mu, (struct sloped){ inw_air_density_kgm3(p_Pa, T, 0), -1 / T, 0 }); /* dry air */
	f.Pr = scaled(over(mu, f.conductivity), inw_air_heat_capacity_JkgK(0));
	return f;
}

/* Ra = g beta |Ts - Ta| L^3 Pr / nu^2, beta = 1/T of an ideal gas at film temperature. At zero difference its slope as a
 * share is infinite. It is given as 0: a coefficient's slope only ever enters the flux times the difference, which is 0
 * there, and the product's limit is 0 (H2). */
static struct sloped rayleigh(struct film f, double length_m, double Ts_K, double Ta_K)
{
	const double size = fabs(Ts_K - Ta_K);
	const struct sloped difference = { size, 0, size > 0 ? 1 / size : 0 };

	return over(times(scaled(difference, GRAVITY * length_m * length_m * length_m), f.Pr), times(f.T, times(f.nu, f.nu)));
}

/* ---- Nusselt numbers ---- */

/* Churchill & Chu 1975, Int. J. Heat Mass Transfer 18:1323-1329, the form for all Ra:
 * (0.825 + 0.387 Ra^1/6 / (1 + (0.492/Pr)^9/16)^8/27)^2; constants as restated by Incropera et al. (example 9.2) and
 * Cengel (example 9-2). 1/6 is 9/16 of 8/27, so one power serves both. */
static struct sloped nusselt_upright(struct sloped Ra, struct sloped Pr)
{
	const struct sloped bracket = plus(constant(1), power(Pr, inw_power_9_16(0.492 / Pr.v), -9.0 / 16));
	const struct sloped ratio = over(power(Ra, inw_power_9_16(Ra.v), 9.0 / 16), bracket);
	const struct sloped sum = plus(constant(0.825), scaled(power(ratio, pow(ratio.v, 8.0 / 27), 8.0 / 27), 0.387));

	return times(sum, sum);
}

/* Still air over one face of a thin isothermal disc in open air: conduction 4 k r dT over pi r^2 (the charge of a disc,
 * a classical result, memory), with length r/2 = area/perimeter: Nu = (4/(pi r)) (r/2). A square gives 0.58. Numerical
 * in purpose: it keeps the slope at zero difference finite and, being the same for both attitudes, free of a kink. */
#define NUSSELT_STILL (2 / 3.14159265358979323846)

/* The two laws of a warm face up meet where they disagree: at Ra 1e7 they give 30.4 and 32.3. One hands over to the
 * other over a decade, so the slope has no step. */
#define UP_FROM 3.1622776601683795e6 /* 10^6.5 */
#define UP_TO 3.1622776601683795e7   /* 10^7.5 */

static double fourth_power(double x)
{
	return x * x * (x * x);
}

/* 0.54 Ra^1/4 (1e4..1e7) and 0.15 Ra^1/3 (1e7..1e11): Lloyd & Moran 1974 / McAdams 1954, as restated by Incropera et
 * al. ch. 9 and Cengel ch. 9 (length = area/perimeter). */
static struct sloped fourth_power_face_up(struct sloped Ra)
{
	const double decades = log(UP_TO / UP_FROM);
	double low, high, t, share, nusselt, rise;

	if (Ra.v <= UP_FROM)
		return scaled(Ra, 0.54 * 0.54 * 0.54 * 0.54);
	high = 0.15 * cbrt(Ra.v);
	if (Ra.v >= UP_TO)
		return power(Ra, fourth_power(high), 4.0 / 3);
	low = 0.54 * sqrt(sqrt(Ra.v));
	t = log(Ra.v / UP_FROM) / decades;
	share = t * t * (3 - 2 * t);
	nusselt = low + share * (high - low);
	rise = 6 * t * (1 - t) / decades * (high - low) + (1 - share) * low / 4 + share * high / 3; /* d nusselt/d ln Ra */
	return power(Ra, fourth_power(nusselt), 4 * rise / nusselt);
}

/* 0.27 Ra^1/4 (1e5..1e10), McAdams 1954, as restated by the same two books */
static struct sloped fourth_power_face_down(struct sloped Ra)
{
	return scaled(Ra, 0.27 * 0.27 * 0.27 * 0.27);
}

static const double still_4 = NUSSELT_STILL * NUSSELT_STILL * NUSSELT_STILL * NUSSELT_STILL;

static struct sloped nusselt_level(enum inw_attitude attitude, struct sloped Ra)
{
	const struct sloped four = attitude == INW_WARM_FACE_UP ? fourth_power_face_up(Ra) : fourth_power_face_down(Ra);
	const struct sloped sum = plus(four, constant(still_4));

	return power(sum, sqrt(sqrt(sum.v)), 0.25);
}

static struct sloped nusselt_plate(enum inw_attitude attitude, struct sloped Ra, struct sloped Pr)
{
	return attitude == INW_UPRIGHT ? nusselt_upright(Ra, Pr) : nusselt_level(attitude, Ra);
}

/* Nusselt number of natural convection on an isothermal plate.
 * Given: attitude; Ra 0 .. 1e12 upright, 1e4 .. 1e11 warm face up, 1e5 .. 1e10 warm face down; Pr > 0 (upright only).
 * Returned: mean Nusselt number, dimensionless.
 * Valid: the ranges above, where the published law is met exactly but for (a) warm face up between Ra 10^6.5 and
 * 10^7.5, where the two published laws differ by up to 17 % at the window's upper end and the result lies between them
 * (at 1e7: 3 % from each); (b) the floor of still air, which adds 0.005 % at Ra 1e4 face up and 0.008 % at 1e5 face
 * down. Below the range Nu falls smoothly to 2/pi (level) or 0.825^2 (upright).
 * Upright below Ra 1e9 the same authors also give a laminar form. It is not used, because the two do not meet: it gives
 * 7 % more at Ra 1e4, 2 % more at 1e6, 7 % less at 1e7, 14 % less at 1e8 and 25 % less at 1e9. Take this as the law's
 * error.
 * Omits: edges other than by the length area/perimeter; walls that meet at a corner; tilt.
 * Source: Churchill & Chu 1975; Lloyd & Moran 1974; McAdams 1954 (see the functions above).
 * Tests: test/physics/test_heat.c, `plates`.
 */
double inw_plate_nusselt(enum inw_attitude attitude, double Ra, double Pr)
{
	return nusselt_plate(attitude, constant(Ra), constant(Pr)).v;
}

/* ---- coefficients and fluxes ---- */

static struct sloped natural_coefficient(int facing, double length_m, double Ts_K, double Ta_K, struct film f)
{
	enum inw_attitude attitude = INW_UPRIGHT;

	if (facing)
		attitude = facing * (Ts_K - Ta_K) >= 0 ? INW_WARM_FACE_UP : INW_WARM_FACE_DOWN;
	return scaled(times(nusselt_plate(attitude, rayleigh(f, length_m, Ts_K, Ta_K), f.Pr), f.conductivity),
		1 / length_m);
}

/* Re of transition on a flat plate, and what the laminar start takes off the turbulent law; the books' 871 is this
 * difference rounded, which would leave a step of 0.07 %. */
#define RE_TRANSITION 5e5

/* Laminar 0.664 Re^1/2 (Pohlhausen 1921), turbulent 0.037 Re^0.8, both by Pr^1/3: see inw_forced_convection. What both
 * callers can use is the cube of the coefficient, which needs no root of Pr. */
static struct sloped forced_cubed(double velocity_ms, double length_m, struct film f)
{
	const struct sloped Re = over(constant(velocity_ms * length_m), f.nu);
	const double start = 0.037 * pow(RE_TRANSITION, 0.8) - 0.664 * sqrt(RE_TRANSITION);
	struct sloped along;

	if (Re.v <= RE_TRANSITION)
		along = scaled(power(Re, sqrt(Re.v), 0.5), 0.664);
	else
		along = plus(scaled(power(Re, pow(Re.v, 0.8), 0.8), 0.037), constant(-start));
	return times(cube(scaled(times(along, f.conductivity), 1 / length_m)), f.Pr);
}

/* Half of a degree at either end warms the film; a degree more at the surface adds to the difference, with its sign. */
static struct inw_flux flux(struct sloped h, double Ts_K, double Ta_K)
{
	const double difference = Ts_K - Ta_K, q = h.v * difference;
	const double by_film = q * h.T / 2, by_difference = h.v + fabs(q) * h.D;

	return (struct inw_flux){ q, by_difference + by_film, by_film - by_difference };
}

static int absolute(double Ts_K, double Ta_K)
{
	return Ts_K > 0 && Ta_K > 0;
}

static const struct inw_flux nowhere = { NAN, NAN, NAN };

/* Natural convection from a plate to still air.
 * Given: facing +1, 0, -1 as in heat.h; length m > 0: height upright, area/perimeter level; Ts, Ta K > 0; p Pa > 0.
 * Returned: W/m2 from surface to air and its derivatives by Ts and Ta, film properties included; NaN for C3.
 * Valid: the ranges of inw_plate_nusselt. Through zero difference the flux and its first derivatives are continuous for
 * level plates too, since both attitudes share the still-air floor; upright, the slope is continuous but rises like
 * |Ts - Ta|^(1/6), so its own slope is not bounded: Newton's method still converges.
 * Omits: humidity of the air (other properties, and its lightness would move air too), draughts (see
 * inw_mixed_convection), confinement: the far side of a small box is taken as far away.
 * Source: as inw_plate_nusselt; properties at film temperature, as the worked examples do.
 * Tests: test/physics/test_heat.c, `natural`, `derivatives`, `zero_difference`.
 */
struct inw_flux inw_natural_convection(int facing, double length_m, double Ts_K, double Ta_K, double p_Pa)
{
	assert(length_m > 0 && facing >= -1 && facing <= 1);
	if (!absolute(Ts_K, Ta_K))
		return nowhere;
	return flux(natural_coefficient(facing, length_m, Ts_K, Ta_K, film_at(Ts_K, Ta_K, p_Pa)), Ts_K, Ta_K);
}

/* Forced convection along a flat plate.
 * Given: velocity m/s >= 0 along the plate, outside of the boundary layer; length m > 0 along the flow; Ts, Ta K; p Pa.
 * Returned: as above. Zero at zero velocity.
 * Valid: Re up to 1e8, Pr 0.6 .. 50: mean Nu = 0.664 Re^1/2 Pr^1/3 to Re 5e5, then (0.037 Re^0.8 - 871) Pr^1/3. The
 * slope by temperature has a small step at Re 5e5 (the flux has none).
 * Omits: turbulence of the stream (a stirring fan raises it; by how much is not known here), walls of a closed box; low
 * Re, where the boundary layer is not thin (below Re ~100 the law is too low).
 * Source: Pohlhausen 1921 (memory); both laws as restated by Som, Introduction to Heat Transfer, examples 7.2 and 7.3.
 * Tests: test/physics/test_heat.c, `forced`.
 */
struct inw_flux inw_forced_convection(double velocity_ms, double length_m, double Ts_K, double Ta_K, double p_Pa)
{
	assert(length_m > 0 && velocity_ms >= 0);
	if (!absolute(Ts_K, Ta_K))
		return nowhere;
	const struct sloped h_cubed = forced_cubed(velocity_ms, length_m, film_at(Ts_K, Ta_K, p_Pa));
	return flux(cube_root(h_cubed), Ts_K, Ta_K);
}

/* Natural and forced convection at once: h = (hn^3 + hf^3)^(1/3).
 * Given, returned: as the two above.
 * Valid: the two aiding or crossing each other. Never zero at zero velocity (C2).
 * Omits: opposing flows (a downward stream on a warm wall), where the true value is lower.
 * Source: Churchill 1977, AIChE J. 23:10-16, exponent 3 (memory).
 * Tests: test/physics/test_heat.c, `mixed`, `derivatives`.
 */
struct inw_flux inw_mixed_convection(int facing, struct inw_stream stream, double length_m, double Ts_K, double Ta_K, double p_Pa)
{
	struct film f;
	struct sloped natural;

	assert(length_m > 0 && stream.run_m > 0 && stream.velocity_ms >= 0 && facing >= -1 && facing <= 1);
	if (!absolute(Ts_K, Ta_K))
		return nowhere;
	f = film_at(Ts_K, Ta_K, p_Pa);
	natural = natural_coefficient(facing, length_m, Ts_K, Ta_K, f);
	return flux(cube_root(plus(cube(natural), forced_cubed(stream.velocity_ms, stream.run_m, f))), Ts_K, Ta_K);
}
