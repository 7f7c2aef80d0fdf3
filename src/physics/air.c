/* SPDX-License-Identifier: MIT */
#include "physics/flow.h"

#include <assert.h>
#include <math.h>

/* ISO 2533:1975 / US Standard Atmosphere 1976, defining constants (memory; the check at 5000 m confirms the set) */
#define SEA_LEVEL_Pa 101325.0
#define SEA_LEVEL_K 288.15
#define LAPSE_Km 0.0065               /* K per geopotential metre, up to 11 km */
#define GRAVITY_ms2 9.80665
#define EARTH_RADIUS_m 6356766.0      /* the radius that makes geopotential height, same document */
#define MOLAR_AIR_kgkmol 28.9644
#define GAS_CONSTANT_JkmolK 8314.32
#define DRY_AIR_JkgK (GAS_CONSTANT_JkmolK / MOLAR_AIR_kgkmol)
#define WATER_OVER_AIR 0.621945       /* ratio of molar masses, ASHRAE Handbook Fundamentals 2017 ch. 1 (its equation
                                       * numbers in this file, and those of US Std Atm 1976, from memory) */
#define TRIPLE_POINT_K 273.16         /* of water, definition of the kelvin before 2019 */

/* Pressure of the standard atmosphere.
 * Given: altitude (geometric) m, -5000..11000. Returned: Pa, absolute.
 * Omits: weather (+-3 % of sea-level pressure, common practice, no source); layers above 11 km.
 * Source: ISO 2533:1975 / US Standard Atmosphere 1976: hydrostatic gas with a constant lapse rate; memory.
 * Checked by: test/physics/test_air.c. */
double inw_air_pressure_at_altitude_Pa(double altitude_m)
{
	const double lowest_m = -5000, highest_m = 11000; /* the troposphere of the source */
	const double exponent = GRAVITY_ms2 / (DRY_AIR_JkgK * LAPSE_Km);
	double height_m = EARTH_RADIUS_m * altitude_m / (EARTH_RADIUS_m + altitude_m);

	assert(altitude_m >= lowest_m && altitude_m <= highest_m);
	return SEA_LEVEL_Pa * pow(1 - LAPSE_Km * height_m / SEA_LEVEL_K, exponent);
}

/* Hyland & Wexler 1983 as printed in ASHRAE Handbook Fundamentals 2017 ch. 1 eq. (5) over ice, (6) over water:
 * ln p = c[0]/T + c[1] + c[2] T + c[3] T^2 + c[4] T^3 + c[5] T^4 + c[6] ln T. The coefficients from memory, found the
 * same in several public programs, and checked against the table of that chapter. */
static const double over_ice[] = {
	-5.6745359e3, 6.3925247, -9.6778430e-3, 6.2215701e-7, 2.0747825e-9, -9.4840240e-13, 4.1635019,
};
static const double over_water[] = {-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0, 6.5459673};

struct log_saturation { double ln_p, per_K; };

/* The two fits are joined at the triple point, where they meet within 2e-6; at 0 degC they differ by 1e-4. */
static struct log_saturation log_saturation(double T_K)
{
	const double *c = T_K < TRIPLE_POINT_K ? over_ice : over_water;

	return (struct log_saturation){
		.ln_p = c[0] / T_K + c[1] + T_K * (c[2] + T_K * (c[3] + T_K * (c[4] + T_K * c[5]))) + c[6] * log(T_K),
		.per_K = -c[0] / (T_K * T_K) + c[2] + T_K * (2 * c[3] + T_K * (3 * c[4] + T_K * 4 * c[5])) + c[6] / T_K,
	};
}

/* Saturation pressure of water vapour.
 * Given: T 173.15..473.15 K. Returned: Pa. Omits: enhancement by the air (0.4 % at 1 bar, memory), supercooled water.
 * Source: Hyland & Wexler 1983 (see above). Checked by: test/physics/test_air.c. */
double inw_air_saturation_Pa(double T_K)
{
	const double lowest_K = 173.15, highest_K = 473.15; /* range of the two fits */

	assert(T_K >= lowest_K && T_K <= highest_K);
	return exp(log_saturation(T_K).ln_p);
}

/* Humidity ratio.
 * Given: p > vapour Pa absolute, vapour >= 0 Pa. Returned: kg water per kg dry air. Omits: non-ideality.
 * Source: ASHRAE Handbook Fundamentals 2017 ch. 1 eq. (20). Checked by: test/physics/test_air.c. */
double inw_air_humidity_ratio(double p_Pa, double vapour_Pa)
{
	assert(vapour_Pa >= 0 && vapour_Pa < p_Pa);
	return WATER_OVER_AIR * vapour_Pa / (p_Pa - vapour_Pa);
}

/* Partial pressure of the water that air carries, the inverse of the above.
 * Given: p Pa absolute > 0, W >= 0 kg/kg. Returned: Pa. Omits, source, checked by: as above. */
double inw_air_vapour_Pa(double p_Pa, double humidity_ratio)
{
	assert(p_Pa > 0 && humidity_ratio >= 0);
	return p_Pa * humidity_ratio / (WATER_OVER_AIR + humidity_ratio);
}

/* Dew point (frost point below 0.01 degC), the inverse of the saturation pressure.
 * Given: vapour 0..1.554e6 Pa. Returned: K.
 * Valid range: below 1.4e-3 Pa (173.15 K) the fit over ice is carried on to ever colder frost points, and no vapour at
 *   all gives 0 K: such air wets nothing, and that is all a caller may conclude.
 * Method: Newton on ln p against 1/T, where the curve is almost straight; the root is bracketed by the range.
 * Source: as the saturation pressure. Checked by: test/physics/test_air.c (there and back). */
double inw_air_dew_point_K(double vapour_Pa)
{
	const int turns = 60;              /* quadratic convergence needs 5; more is a bug */
	const double enough = 1e-14;       /* relative, a few units of the last place */
	const double highest_K = 473.15;   /* range of the fit */
	double inverse = 1 / SEA_LEVEL_K, wanted;

	assert(vapour_Pa >= 0 && vapour_Pa <= exp(log_saturation(highest_K).ln_p) * (1 + enough * turns));
	if (vapour_Pa <= 0)
		return 0;
	wanted = log(vapour_Pa);
	for (int i = 0; i < turns; i++) {
		struct log_saturation s = log_saturation(1 / inverse);
		double step = (wanted - s.ln_p) / (-s.per_K / (inverse * inverse));

		inverse += step;
		assert(inverse > 0);
		if (fabs(step) <= enough * inverse)
			break;
	}
	return 1 / inverse;
}

/* Density of moist air per kilogram of moist air.
 * Given: p > 0 Pa absolute, T > 0 K, W >= 0 kg/kg. Returned: kg/m3; its derivative by T is -rho/T.
 * Omits: compressibility (4e-4 at room conditions, memory).
 * Source: ideal gas; ASHRAE Handbook Fundamentals 2017 ch. 1 eq. (26), with the gas constant of US Std Atm 1976.
 * Checked by: test/physics/test_air.c. */
double inw_air_density_kgm3(double p_Pa, double T_K, double humidity_ratio)
{
	assert(p_Pa > 0 && T_K > 0 && humidity_ratio >= 0);
	return p_Pa / (DRY_AIR_JkgK * T_K) * (1 + humidity_ratio) / (1 + humidity_ratio / WATER_OVER_AIR);
}

#define SUTHERLAND_BETA 1.458e-6 /* kg/(s m K^0.5), US Std Atm 1976 */
#define SUTHERLAND_K 110.4       /* K, the same */

/* Dynamic viscosity of dry air.
 * Given: T 100..1900 K. Returned: Pa s. Omits: moisture (-1 % at 40 degC saturated, memory), pressure.
 * Source: Sutherland's law as in US Standard Atmosphere 1976 eq. (51). Checked by: test/physics/test_air.c. */
double inw_air_viscosity_Pas(double T_K)
{
	assert(T_K > 0);
	return SUTHERLAND_BETA * T_K * sqrt(T_K) / (T_K + SUTHERLAND_K);
}

struct inw_property inw_air_viscosity(double T_K)
{
	return (struct inw_property){inw_air_viscosity_Pas(T_K), 1.5 / T_K - 1 / (T_K + SUTHERLAND_K)}; /* 1.5: exponent of T */
}

#define CONDUCTIVITY_BETA 2.64638e-3 /* W/(m K^1.5), US Std Atm 1976 eq. (53) */
#define CONDUCTIVITY_K 245.4         /* K, the same */
#define CONDUCTIVITY_TEN_K 12.0      /* K, exponent of ten, the same */

/* Thermal conductivity of dry air.
 * Given: T 100..1000 K. Returned: W/(m K). Omits: moisture, pressure.
 * Source: US Standard Atmosphere 1976 eq. (53). Checked by: test/physics/test_air.c. */
struct inw_property inw_air_conductivity(double T_K)
{
	const double ln_10 = 2.30258509299404568; /* 10: base in the source; the number exact to double */
	double by_T = 1 / T_K, power = ln_10 * CONDUCTIVITY_TEN_K * by_T;
	double tail_K = CONDUCTIVITY_K * exp(-power), sum_K = T_K + tail_K;

	assert(T_K > 0);
	return (struct inw_property){
		.value = CONDUCTIVITY_BETA * T_K * sqrt(T_K) / sum_K,
		.slope = 1.5 * by_T - (1 + tail_K * power * by_T) / sum_K, /* 1.5: exponent of T */
	};
}

/* Heat capacity per kilogram of moist air.
 * Given: W >= 0 kg/kg. Returned: J/(kg K). Valid range: -50..100 degC within 0.5 % (memory).
 * Omits: its rise with temperature.
 * Source: the coefficients of moist enthalpy, ASHRAE Handbook Fundamentals 2017 ch. 1 eq. (30).
 * Checked by: test/physics/test_air.c. */
double inw_air_heat_capacity_JkgK(double humidity_ratio)
{
	const double dry = 1006, vapour = 1860; /* J/(kg K), source above */

	assert(humidity_ratio >= 0);
	return (dry + vapour * humidity_ratio) / (1 + humidity_ratio);
}
