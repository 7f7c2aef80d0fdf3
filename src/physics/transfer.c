/* SPDX-License-Identifier: MIT */
/* transfer.c: mass transfer inside a bed of granules. The film outside the granules is inw_rate_film (sorption.c).
 *
 * Invariants: X1 resistances add: the result is below each of its parts. X2 every spread is above zero at rest and
 * grows with the flow. X3 lumping leaves the rate alone where there is no spread.
 */
#include "physics/transfer.h"

#include <math.h>

/* Diffusion through the granules, as a rate per volume of bed: 15 (eps_p D_p + walls) (1 - eps)/R^2 with
 * D_p = D/tortuosity (the parabolic profile in a sphere).
 * Given: granule diameter m > 0, porosity 0..1 of what lets gas through, tortuosity >= 1, walls m2/s >= 0; voidage 0..1
 * of the bed; diffusivity m2/s of the vapour in air.
 * Returned: 1/s.
 * Valid: pores wide against the mean free path (macropores, above some 100 nm); profiles that vary slowly against
 * R^2/D_p. With walls = 0 it is a lower bound, and a low one: rates fitted to breakthrough (Wood & Stampfer, Lodewyckx
 * & Vansant) lie 2 to 10 times above film and bare pores in series at 1.1 mm, towards the film alone, since strongly
 * held vapours travel along the walls. Take film alone and film with bare pores as the ends of the range.
 * Omits: Knudsen diffusion, which lowers it; the micropores' own resistance r_c^2/(15 D_c), not known for carbon and
 * vapours here.
 * Source: Glueckauf 1955, Trans. Faraday Soc. 51:1540-1551; Ruthven 1984, Principles of Adsorption, ch. 8 (memory).
 * Tests: test/physics/test_transfer.c, `pore`.
 */
double inw_rate_pore(struct inw_granule g, double voidage, double diffusivity_m2s)
{
	const double R = g.diameter_m / 2;

	/* 15: Glueckauf 1955, the factor of a parabola in a sphere */
	return 15 * (g.porosity * diffusivity_m2s / g.tortuosity + g.walls_m2s) * (1 - voidage) / (R * R);
}

/* Two resistances in series: 1/k = 1/film + 1/pore. Divided by rho_b q/c it is Glueckauf's and Ruthven's
 * 1/K = (R/3kf)(q/c) + (R^2/(15 eps_p Dp))(q/c), q per volume of granules.
 * Given: rates 1/s >= 0 (infinite: no such resistance). Returned: 1/s; 0 when one of them is 0.
 * Valid, omits: as its parts. Source: as above. Tests: test/physics/test_transfer.c, `series`.
 */
double inw_rate_series(double film_1s, double pore_1s)
{
	return 1 / (1 / film_1s + 1 / pore_1s);
}

/* Spread of a vapour along a bed with the air at rest: eps D/tortuosity, the tortuosity of a packing as 1/0.73.
 * Given: voidage 0..1; diffusivity m2/s. Returned: m2/s, per total cross-section: flux = -this dc/dz.
 * Valid: random packings of granules, voidage 0.35 .. 0.5.
 * Omits: diffusion through the granules side by side with the voids, natural convection in the bed.
 * Source: first term of Edwards & Richardson 1968, Chem. Eng. Sci. 23:109-123 (memory).
 * Tests: test/physics/test_transfer.c, `spread`.
 */
double inw_spread_still_m2s(double voidage, double diffusivity_m2s)
{
	return voidage * 0.73 * diffusivity_m2s; /* 0.73: Edwards & Richardson 1968 */
}

/* What mixing by the flow adds to 1/rate: the second term of Edwards & Richardson's axial dispersion,
 * eps 0.5 u d/(1 + 9.7 D/(u d)), u = v/eps, over v^2. Multiplied out, so that it has its limit at rest.
 * Given: velocity m/s, superficial, either sign; granule m > 0; voidage 0..1; diffusivity m2/s > 0.
 * Returned: s > 0.
 * Valid: gases, 0.008 < Re < 50, granules 0.4 .. 6 mm (memory).
 * Omits: walls and channels, which spread more; the larger figure 20 + 0.5 Sc Re of Wakao for strongly held vapours.
 * Source: Edwards & Richardson 1968 (memory); that a spread E stands for E/v^2: inw_rate_lumped.
 * Tests: test/physics/test_transfer.c, `spread`, `mixing`.
 */
double inw_mixing_s(double velocity_ms, double granule_m, double voidage, double diffusivity_m2s)
{
	const double ud = fabs(velocity_ms) / voidage * granule_m;

	/* both numbers: the same source */
	return 0.5 * granule_m * granule_m / (voidage * (ud + 9.7 * diffusivity_m2s));
}

/* Axial dispersion of a vapour in a packed bed, times the voidage: eps (0.73 D + 0.5 u d/(1 + 9.7 D/(u d))), u = v/eps.
 * Given, valid, omits, source: as inw_mixing_s. Returned: m2/s, per total cross-section.
 * Tests: test/physics/test_transfer.c, `spread`.
 */
double inw_spread_flow_m2s(double velocity_ms, double granule_m, double voidage, double diffusivity_m2s)
{
	return inw_spread_still_m2s(voidage, diffusivity_m2s)
		+ velocity_ms * velocity_ms * inw_mixing_s(velocity_ms, granule_m, voidage, diffusivity_m2s);
}

/* The rate that smears a front as far as rate and axial dispersion together: 1/k = 1/rate + spread/v^2.
 * Given: rate 1/s > 0; spread m2/s >= 0 per total cross-section; velocity m/s, not 0.
 * Returned: 1/s.
 * Valid: |v| depth/spread above some 20. Exact in the second moment of a linear isotherm, and in the first order of
 * small spread for the first penetration of an empty bed.
 * Omits: the third moment; air that diffuses back out of the inlet.
 * Source: van Deemter, Zuiderweg & Klinkenberg 1956, Chem. Eng. Sci. 5:271-289; Glueckauf 1955 (memory); moments
 * derived.
 * Tests: test/physics/test_transfer.c, `lumped`; test/solve/test_bed.c, `dispersion`.
 */
double inw_rate_lumped(double rate_1s, double spread_m2s, double velocity_ms)
{
	return 1 / (1 / rate_1s + spread_m2s / (velocity_ms * velocity_ms));
}

/* The coefficient of the linear driving force in the loading, dq/dt = kL (q at equilibrium - q): rate c/(rho_b q).
 * Given: rate 1/s per volume of bed; bulk kg/m3; loading kg/kg in equilibrium with the gas concentration c kg/m3 > 0.
 * Returned: 1/s.
 * Valid: near that concentration. Omits: see inw_rate_pore.
 * Source: Glueckauf 1955, as in Ruthven 1984 (memory); algebra of the series above.
 * Tests: test/physics/test_transfer.c, `series`.
 */
double inw_ldf_coefficient(double rate_1s, double bulk_kgm3, double loading, double c_kgm3)
{
	return rate_1s * c_kgm3 / (bulk_kgm3 * loading);
}
