/* SPDX-License-Identifier: MIT */
/* vapour.c: what a substance is before it meets the carbon: vapour pressure, diffusivity, molar refraction.
 *
 * Invariants: V1 a vapour pressure is above zero within its law's range. V2 whether a temperature is within the range
 * is the caller's concern: these are bare laws, and say nothing of where they were fitted.
 */
#include <math.h>

#include "physics/clean.h"

/* Vapour pressure, DIPPR equation 101: ln p = c0 + c1/T + c2 ln T + c3 T^c4.
 * Given: c as printed for p in Pa and T in K; T K > 0.
 * Returned: Pa.
 * Valid: the temperatures printed with the coefficients.
 * Omits: the solid below its melting point (the law then describes the undercooled liquid, which is more volatile).
 * Source: Perry's Chemical Engineers' Handbook, 8th ed., table 2-8, footnote.
 * Tests: test/physics/test_sorption.c, `vapour_pressures`.
 */
double inw_vapour_dippr101_Pa(const double c[5], double T_K)
{
	return exp(c[0] + c[1] / T_K + c[2] * log(T_K) + c[3] * pow(T_K, c[4]));
}

/* Vapour pressure, Antoine: log10 p = c0 - c1/(T + c2).
 * Given: c for p in Pa and T in K; a set for mmHg and degC becomes c0 + log10(133.322), c1, c2 - 273.15.
 * Returned: Pa. Valid: the range printed with the set; it must not be carried across T = -c2.
 * Omits: as above.
 * Source: Poling, Prausnitz & O'Connell, Properties of Gases and Liquids, 5th ed., appendix A; US EPA AP-42 table
 * 7.1-3.
 * Tests: test/physics/test_sorption.c, `vapour_pressures`.
 */
double inw_vapour_antoine_Pa(const double c[3], double T_K)
{
	const double ln_10 = 2.30258509299404568; /* exact to double */

	return exp(ln_10 * (c[0] - c[1] / (T_K + c[2])));
}

/* Vapour pressure from one measured point, carried by Clausius & Clapeyron with a constant heat of vaporisation.
 * Given: p Pa measured at T_at K; heat J/mol > 0; T K.
 * Returned: Pa.
 * Valid: some tens of kelvin around the point, far below the critical point.
 * Omits: the fall of the heat with temperature, the volume of the liquid, the vapour's departure from an ideal gas.
 * Source: Clausius-Clapeyron relation (classical).
 * Tests: test/physics/test_sorption.c, `vapour_point`.
 */
double inw_vapour_point_Pa(double p_Pa, double T_at_K, double heat_Jmol, double T_K)
{
	return p_Pa * exp(heat_Jmol / INW_GAS_CONSTANT * (1 / T_at_K - 1 / T_K));
}

/* Heat of vaporisation that two points of a vapour pressure law tell, by the same relation: R ln(p2/p1)/(1/T1 - 1/T2).
 * Given: two pressures Pa > 0 and their temperatures K, apart. Returned: J/mol.
 * Valid, omits, source: as above; within 5 % of measured heats at room temperature where the law is.
 * Tests: test/physics/test_sorption.c, `vapour_point`.
 */
double inw_vapour_heat_Jmol(double p1_Pa, double T1_K, double p2_Pa, double T2_K)
{
	return INW_GAS_CONSTANT * log(p2_Pa / p1_Pa) / (1 / T1_K - 1 / T2_K);
}

/* Diffusivity of a vapour in air at another temperature and pressure: D ~ T^1.75 / p.
 * Given: D25 m2/s at 298.15 K and 101325 Pa; T K; p Pa > 0.
 * Returned: m2/s.
 * Valid: low pressure, 250 .. 500 K.
 * Omits: humidity.
 * Source: exponent of Fuller, Schettler & Giddings 1966, Ind. Eng. Chem. 58(5):18-27 (memory).
 * Tests: test/physics/test_sorption.c, `diffusivity`.
 */
double inw_diffusivity_m2s(double D25_m2s, double T_K, double p_Pa)
{
	const double t = T_K / 298.15;

	return D25_m2s * t * sqrt(t * sqrt(t)) * (101325 / p_Pa); /* t^1.75 */
}

/* Molar refraction (molar polarizability in volume units), Lorentz & Lorenz: (n^2 - 1)/(n^2 + 2) M/rho.
 * Given: n_D > 1 of the liquid at the sodium line; molar mass kg/mol; liquid density kg/m3 at the temperature of n_D.
 * Returned: m3/mol.
 * Valid: liquids; nearly independent of temperature when n_D and density belong together.
 * Omits: dispersion (the sodium line stands for all light).
 * Source: Lorentz-Lorenz relation (classical); used as Pe by Wood 1994, AIHA J. 55:11-15.
 * Tests: test/physics/test_sorption.c, `refractions`.
 */
double inw_molar_refraction_m3mol(double n_D, double molar_mass_kgmol, double density_kgm3)
{
	const double n2 = n_D * n_D;

	return (n2 - 1) / (n2 + 2) * molar_mass_kgmol / density_kgm3;
}
