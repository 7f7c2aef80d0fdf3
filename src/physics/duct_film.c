/* SPDX-License-Identifier: MIT */
/* duct_film.c: the two air films of a round duct as coefficients with exact derivatives, for the coupled solve. */
#include <assert.h>
#include <math.h>

#include "physics/flow.h"
#include "physics/heat.h"
#include "physics/powers.h"

#define GRAVITY 9.80665 /* m/s2, standard, 3rd CGPM 1901, exact */
#define PI 3.14159265358979323846
#define DUCT_EMISSIVITY 0.9 /* plastic hose, paint, dusty sheet; bare bright metal is near 0.1; common practice, no source */

/* Nusselt number of natural convection around a long horizontal cylinder.
 * Given: Ra on the diameter, 0 .. 1e12; Pr > 0.
 * Returned: mean Nusselt number, dimensionless.
 * Valid: Ra <= 1e12 (the authors give 1e-5 .. 1e12).
 * Omits: ends, tilt, a wall or ceiling close by.
 * Source: Churchill & Chu 1975, Int. J. Heat Mass Transfer 18:1049-1053; constants as restated in an open heat-transfer
 * library and in Cengel's hot-water pipe example.
 * Tests: test/physics/test_heat.c, `cylinder`.
 */
double inw_cylinder_nusselt(double Ra, double Pr)
{
	const double root = 0.60 + 0.387 * pow(Ra, 1.0 / 6) / pow(1 + pow(0.559 / Pr, 9.0 / 16), 8.0 / 27);

	return root * root;
}

/* Nu(Re, Pr) inside and its derivatives by Re and Pr: 3.66 laminar, 0.023 Re^0.8 Pr^0.3 turbulent (Dittus & Boelter 1930,
 * sources at inw_duct_inside). */
static double inside_nusselt(double Re, double Pr, double *dRe, double *dPr)
{
	const double laminar = 3.66, from = 2300, to = 4000; /* sources at inw_duct_inside */

	*dRe = *dPr = 0;
	if (Re <= from)
		return laminar;
	const double turbulent = 0.023 * pow(Re, 0.8) * pow(Pr, 0.3);
	const double t = Re >= to ? 1 : (Re - from) / (to - from), share = t * t * (3 - 2 * t);
	const double dshare = Re >= to ? 0 : 6 * t * (1 - t) / (to - from);
	*dRe = dshare * (turbulent - laminar) + share * 0.8 * turbulent / Re;
	*dPr = share * 0.3 * turbulent / Pr;
	return laminar + share * (turbulent - laminar);
}

/* Film coefficient of air that flows through a round duct.
 * Given: diameter m > 0; q m3/s, either sign, zero allowed; T_air K; p Pa.
 * Returned: h W/(m2 K), dh/d|q|, dh/dT_air; NaN for a temperature not above absolute zero.
 * Valid: Re 0 .. 1e5; between 4000 and 10000 below the turbulent law's published range, up to some 20 % high.
 * Omits: entry length (a short hose passes more heat), corrugation. Air warmed by the room gets exponent 0.3 too.
 * Source: laminar Nu 3.66 (Graetz, constant wall temperature, analytic); Dittus & Boelter 1930 in McAdams' form
 * 0.023 Re^0.8 Pr^0.3 (memory); handed over smoothly between Re 2300 and 4000, as duct friction is.
 * Tests: test/physics/test_heat.c, `duct`, `films`.
 */
struct inw_film inw_duct_inside(double diameter_m, double q_m3s, double T_air_K, double p_Pa)
{
	assert(diameter_m > 0);
	if (!(T_air_K > 0))
		return (struct inw_film){NAN, NAN, NAN};
	const struct inw_property mu = inw_air_viscosity(T_air_K), k = inw_air_conductivity(T_air_K);
	const double nu = mu.value / inw_air_density_kgm3(p_Pa, T_air_K, 0), l_nu = mu.slope + 1 / T_air_K; /* l_: d ln/dT */
	const double Pr = mu.value * inw_air_heat_capacity_JkgK(0) / k.value, l_Pr = mu.slope - k.slope;
	const double Re_q = 4 / (PI * diameter_m * nu), Re = Re_q * fabs(q_m3s), k_D = k.value / diameter_m;
	double dRe, dPr, Nu = inside_nusselt(Re, Pr, &dRe, &dPr);

	return (struct inw_film){Nu * k_D, dRe * Re_q * k_D, k_D * (Nu * k.slope + dPr * Pr * l_Pr - dRe * Re * l_nu)};
}

/* Coefficient of still room air and surroundings around a level round duct: natural convection and radiation.
 * Given: diameter m > 0; T_skin, T_room K; p Pa. Returned: h W/(m2 K), dh/dT_skin, dh/dT_room. NaN as above.
 * Valid: Ra <= 1e12. At equal temperatures the slope, infinite in the law (Ra^1/6), is given as that of radiation and
 * properties alone: it only enters times a difference that is zero there.
 * Omits: ends, tilt, a wall close by, draughts.
 * Source: Churchill & Chu 1975, Int. J. Heat Mass Transfer 18:1049-1053; grey body in large surroundings.
 * Tests: test/physics/test_heat.c, `duct`, `films`.
 */
struct inw_film inw_duct_outside(double diameter_m, double T_skin_K, double T_room_K, double p_Pa)
{
	assert(diameter_m > 0);
	if (!(T_skin_K > 0 && T_room_K > 0))
		return (struct inw_film){NAN, NAN, NAN};
	const double T = 0.5 * (T_skin_K + T_room_K), difference = T_skin_K - T_room_K, sign = difference >= 0 ? 1 : -1;
	const struct inw_property mu = inw_air_viscosity(T), k = inw_air_conductivity(T);
	const double nu = mu.value / inw_air_density_kgm3(p_Pa, T, 0), Pr = mu.value * inw_air_heat_capacity_JkgK(0) / k.value;
	const double l_Pr = mu.slope - k.slope, l_size = l_Pr - 1 / T - 2 * (mu.slope + 1 / T); /* l_: d ln/dT */
	const double size = GRAVITY * diameter_m * diameter_m * diameter_m * Pr / (T * nu * nu), Ra = size * fabs(difference);
	/* Ra^1/6 / bracket^8/27; 1/6 is 9/16 of 8/27, so one power serves both */
	const double bracket = 1 + inw_power_9_16(0.559 / Pr), rising = 0.387 * pow(inw_power_9_16(Ra) / bracket, 8.0 / 27);
	const double l_bracket = -9.0 / 16 * l_Pr * (bracket - 1) / bracket, root = 0.60 + rising, Nu = root * root;
	/* by film temperature, half of it each side; and by the difference */
	const double dNu_T = 2 * root * rising * (l_size / 6 - 8.0 / 27 * l_bracket);
	const double dNu_d = Ra > 0 ? 2 * root * rising / 6 / fabs(difference) * sign : 0;
	const double s = DUCT_EMISSIVITY * INW_STEFAN_BOLTZMANN, a = T_skin_K, b = T_room_K;
	const double k_D = k.value / diameter_m, film = 0.5 * k_D * (dNu_T + Nu * k.slope), lift = dNu_d * k_D;

	return (struct inw_film){Nu * k_D + s * (a * a + b * b) * (a + b), film + lift + s * (3 * a * a + 2 * a * b + b * b),
	                         film - lift + s * (3 * b * b + 2 * a * b + a * a)};
}
