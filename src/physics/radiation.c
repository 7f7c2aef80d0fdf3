/* SPDX-License-Identifier: MIT */
/* radiation.c: grey radiation between a surface and what surrounds it, and a surface's share in an enclosure.
 *
 * Invariants: R1 the flux is zero at equal temperatures, has the sign of the difference, and changes sign when the two
 * temperatures change places. R2 an exchange factor lies in (0, 1/(1 - area share)] and grows with emissivity.
 */
#include <assert.h>

#include "physics/heat.h"

/* Net radiation of a small grey surface in large surroundings.
 * Given: emissivity (or an exchange factor, below) >= 0; Ts, Tr K > 0.
 * Returned: W/m2 leaving the surface, with derivatives by Ts (dq_dTs) and Tr (dq_dTa). Exact, not linearised.
 * Valid: grey, diffuse, opaque surface; surroundings much larger, or black, or seen through the star node below.
 * Omits: spectral differences, sheets that let heat radiation through (thin polyethylene), radiation taken up by the
 * air.
 * Source: Stefan-Boltzmann law, constant of CODATA 2018.
 * Tests: test/physics/test_heat.c, `radiation`.
 */
struct inw_flux inw_radiation(double emissivity, double Ts_K, double Tr_K)
{
	const double c = emissivity * INW_STEFAN_BOLTZMANN;

	/* factored, so that nearly equal temperatures lose no digits and equal ones give exactly zero (R1) */
	return (struct inw_flux){
		.q_Wm2 = c * (Ts_K * Ts_K + Tr_K * Tr_K) * (Ts_K + Tr_K) * (Ts_K - Tr_K),
		.dq_dTs = 4 * c * Ts_K * Ts_K * Ts_K,
		.dq_dTa = -4 * c * Tr_K * Tr_K * Tr_K,
	};
}

/* Factor by which sigma (Ts^4 - Tstar^4) is multiplied between a surface and the star node of its enclosure:
 * 1/((1 - e)/e + 1/F'), with the view correction F' = 1/(1 - area/total), so that a face does not radiate to itself.
 * Given: emissivity 0 < e <= 1; area m2 of the surface; total_area m2 of all surfaces of the enclosure, itself
 * included, 0 <= area < total_area.
 * Returned: the factor, per unit of the surface's own area, dimensionless.
 * Valid: convex enclosure. Exact for two equal parallel plates (the two factors in series give 1/(1/e1 + 1/e2 - 1)),
 * for equal black faces all alike, and for a small surface in a large enclosure (the factor becomes e).
 * Omits: Carroll's own F' is weighted, F'_i = 1/(1 - A_i F'_i / sum(A_j F'_j)), and is found for all faces at once;
 * here the weights are bare areas, its first step. A face much larger than the rest is then corrected too little; a
 * face that is almost the whole enclosure is outside of the method in either form. Also omits who sees whom: all faces
 * share one node, so neighbours and opposite faces count alike. For a body within a box it makes the space resistance
 * up to 17 % too small (worst at an area ratio of 0.41; two-surface enclosure, derived).
 * Source: Carroll, "An 'MRT method' of computing radiant energy exchange in rooms", 1980 (memory).
 * Tests: test/physics/test_heat.c, `enclosure`.
 */
double inw_radiant_exchange_factor(double emissivity, double area_m2, double total_area_m2)
{
	assert(area_m2 >= 0 && area_m2 < total_area_m2);
	return 1 / ((1 - emissivity) / emissivity + 1 - area_m2 / total_area_m2);
}
