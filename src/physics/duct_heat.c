/* SPDX-License-Identifier: MIT */
/* duct_heat.c: heat through the wall of a round duct hanging in still room air.
 *
 * Invariants: T1 the conductance is finite and above zero at any flow, zero included, and at equal temperatures.
 * T2 it never exceeds what the inside film or the wall alone would let through.
 */
#include <assert.h>
#include <math.h>

#include "physics/flow.h"
#include "physics/heat.h"

#define GRAVITY 9.80665 /* m/s2, standard, 3rd CGPM 1901, exact */
#define PI 3.14159265358979323846
/* plastic hose, paint, dusty sheet (bare bright metal is near 0.1); common practice, no source */
#define DUCT_EMISSIVITY 0.9

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

struct air {
	double conductivity, nu, Pr;
};

static struct air air_at(double T_K, double p_Pa)
{
	const double mu = inw_air_viscosity_Pas(T_K), k = inw_air_conductivity_WmK(T_K);

	return (struct air){ k, mu / inw_air_density_kgm3(p_Pa, T_K, 0), mu * inw_air_heat_capacity_JkgK(0) / k };
}

/* Laminar 3.66 (constant wall temperature, long duct, analytic) and Dittus & Boelter 0.023 Re^0.8 Pr^0.3 (cooling;
 * McAdams' form, memory), handed over smoothly between Re 2300 and 4000, where duct friction is handed over too. */
static double inside_nusselt(double Re, double Pr)
{
	const double laminar = 3.66, from = 2300, to = 4000;
	const double turbulent = 0.023 * pow(Re, 0.8) * pow(Pr, 0.3);
	double share;

	if (Re <= from)
		return laminar;
	if (Re >= to)
		return turbulent;
	share = (Re - from) / (to - from);
	return laminar + share * share * (3 - 2 * share) * (turbulent - laminar);
}

/* convection and radiation outside, W/(m2 K), for a surface at Ts */
static double outside_coefficient(double diameter_m, double Ts_K, double T_room_K, double p_Pa)
{
	const double film_K = (Ts_K + T_room_K) / 2;
	const struct air a = air_at(film_K, p_Pa);
	const double size = GRAVITY * diameter_m * diameter_m * diameter_m;
	const double Ra = size * fabs(Ts_K - T_room_K) * a.Pr / (film_K * a.nu * a.nu);
	const double squares = Ts_K * Ts_K + T_room_K * T_room_K;
	const double radiant = DUCT_EMISSIVITY * INW_STEFAN_BOLTZMANN * squares * (Ts_K + T_room_K);

	return inw_cylinder_nusselt(Ra, a.Pr) * a.conductivity / diameter_m + radiant;
}

/* The balance of the outer surface is solved by repeated substitution. The outside coefficient grows at most with the
 * cube root of the difference, so one round shrinks the error to under a third of it, and ROUNDS rounds to under 1e-15. */
#define ROUNDS 32

/* Overall conductance of a round duct per metre.
 * Given: diameter m > 0 (inside; the outside is taken equal); wall_resistance m2 K/W >= 0 on that area; q m3/s through
 * it, of either sign, zero allowed; T_air K the mean inside; T_room K air and surroundings; p Pa.
 * Returned: W/(m K) of length, between mean inside air and room. No derivatives: it varies slowly with all of its
 * inputs. NaN for temperatures not above absolute zero.
 * Valid: inside Re 0 .. 1e5. Inside between Re 4000 and 10000 the law is used below its published range and is up to
 * some 20 % high; the outside and wall usually decide.
 * Omits: entry length (a short hose passes more heat), corrugation, growth of the diameter by insulation, sun,
 * draughts, condensation's heat. Air warmed inside by the room gets exponent 0.3 too: 3.5 % low on the inside film.
 * Source: Dittus & Boelter 1930 / McAdams (memory); laminar 3.66 (Graetz, analytic); Churchill & Chu 1975 outside.
 * Tests: test/physics/test_heat.c, `duct`.
 */
double inw_duct_conductance_WmK(double diameter_m, double wall_resistance_m2KW, double q_m3s, double T_air_K,
	double T_room_K, double p_Pa)
{
	struct air a;
	double Re, inner, outer = 0, Ts_K = (T_air_K + T_room_K) / 2;

	assert(diameter_m > 0 && wall_resistance_m2KW >= 0);
	if (!(T_air_K > 0 && T_room_K > 0))
		return NAN;
	a = air_at(T_air_K, p_Pa);
	Re = 4 * fabs(q_m3s) / (PI * diameter_m * a.nu);
	inner = 1 / (diameter_m / (inside_nusselt(Re, a.Pr) * a.conductivity) + wall_resistance_m2KW);
	for (int i = 0; i < ROUNDS; i++) {
		outer = outside_coefficient(diameter_m, Ts_K, T_room_K, p_Pa);
		Ts_K = (inner * T_air_K + outer * T_room_K) / (inner + outer);
	}
	return PI * diameter_m * inner * outer / (inner + outer);
}
