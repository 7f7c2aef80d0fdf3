/* SPDX-License-Identifier: MIT */
/* aerosol_dynamics.c: how often particles meet, and how their sizes are spread.
 *
 * Invariants: D1 the kernel is symmetric and positive. D2 it goes over into 2 pi (D1 + D2)(d1 + d2) for sizes far above
 * their own mean free path, and into pi/4 (d1 + d2)^2 sqrt(c1^2 + c2^2) far below. D3 shares of a lognormal over
 * adjoining bins add up to the share of the whole.
 */
#include "physics/aerosol_dynamics.h"

#include <assert.h>
#include <math.h>

#include "physics/clean.h"
#include "physics/flow.h"

#define BOLTZMANN 1.380649e-23 /* J/K, SI 2019, exact */
#define PI 3.14159265358979323846

/* Mean thermal speed of a particle, sqrt(8 k T/(pi m)).
 * Given: diameter m > 0; density kg/m3 > 0; T K > 0. Returned: m/s.
 * Valid: any body in thermal equilibrium with the air. Omits: nothing.
 * Source: kinetic theory of gases (Maxwell's distribution).
 * Tests: test/physics/test_coagulation.c, `speeds`.
 */
double inw_particle_speed_ms(double diameter_m, double density_kgm3, double T_K)
{
	const double mass_kg = density_kgm3 * PI / 6 * diameter_m * diameter_m * diameter_m;

	return sqrt(8 * BOLTZMANN * T_K / (PI * mass_kg));
}

/* All that a size brings to the kernel: diffusivity, thermal speed and Fuchs' shell ((d + l)^3 - (d^2 + l^2)^(3/2))/(3
 * d l) - d, where l = 8 D/(pi c) is the particle's own mean free path.
 * Given: diameter m > 0; air and particle density. Returned: see the struct.
 * Valid: spheres from about 2 nm. Omits: shape.
 * Source: Fuchs 1964, The Mechanics of Aerosols, as tabulated by Seinfeld & Pandis, Atmospheric Chemistry and Physics,
 * chapter on dynamics of aerosol populations, table 13.1 (memory; the same in three public codes).
 * Tests: test/physics/test_coagulation.c, `hinds_table`, `limits`.
 */
struct inw_thermal_motion inw_thermal_motion(double diameter_m, const struct inw_aerosol *air)
{
	struct inw_thermal_motion m = {.diameter_m = diameter_m};
	double l, reach, square;

	assert(diameter_m > 0 && air->T_K > 0 && air->p_Pa > 0 && air->density_kgm3 > 0);
	m.diffusivity_m2s = inw_particle_diffusivity_m2s(diameter_m, air->T_K, air->p_Pa);
	m.speed_ms = inw_particle_speed_ms(diameter_m, air->density_kgm3, air->T_K);
	l = 8 * m.diffusivity_m2s / (PI * m.speed_ms); /* same table */
	reach = diameter_m + l;
	square = diameter_m * diameter_m + l * l;
	m.shell_m = (reach * reach * reach - square * sqrt(square)) / (3 * diameter_m * l) - diameter_m;
	return m;
}

/* How often two sizes meet by Brownian motion and stick, with Fuchs' passage from diffusion to free flight.
 * Given: the two sizes' motions in the same air.
 * Returned: m3/s, collisions per pair (see the header for equal sizes).
 * Valid: uncharged spheres that always stick; any ratio of sizes.
 * Omits: charge, van der Waals attraction (raises it up to some 2 times below 10 nm: memory), chains and flakes (raise
 * it), shear and settling (matter only above some um).
 * Source: Fuchs 1964, as tabulated by Seinfeld & Pandis, table 13.1 (memory); Hinds, Aerosol Technology 1999, section
 * 12.3 has the same correction.
 * Tests: test/physics/test_coagulation.c, `hinds_table`, `pairs_table`, `limits`, `second_theory`.
 */
double inw_coagulation_kernel_m3s(const struct inw_thermal_motion *a, const struct inw_thermal_motion *b)
{
	const double d = a->diameter_m + b->diameter_m, D = a->diffusivity_m2s + b->diffusivity_m2s;
	/* none of these is so large or small that its square would not do */
	const double shells = sqrt(a->shell_m * a->shell_m + b->shell_m * b->shell_m), speeds = sqrt(a->speed_ms * a->speed_ms + b->speed_ms * b->speed_ms);
	const double near = d / (d + 2 * shells), flight = 8 * D / (d * speeds); /* same table */

	return 2 * PI * D * d / (near + flight);
}

/* Mean coagulation coefficient of a lognormal aerosol, in the convention dN/dt = -K N^2: K = 2 k T/(3 mu) (1 + exp(L) +
 * 2.49 l/CMD (exp(L/2) + exp(5 L/2))), L = ln^2 gsd.
 * Given: count median m > 0; gsd >= 1; T K; p Pa. Returned: m3/s.
 * Valid: sizes well above the mean free path (0.066 um): slip is taken as 1 + 2.49 l/d and Fuchs' correction as 1. At
 * 0.1 um it lies above the kernel of this file.
 * Omits: that the spread changes as it coagulates.
 * Source: Lee & Chen 1984, Aerosol Sci. Technol. 3:327-334, as in Hinds 1999 (memory). It is the exact mean of that
 * kernel over two lognormals.
 * Tests: test/physics/test_coagulation.c, `lognormal_mean`.
 */
double inw_coagulation_lognormal_m3s(double count_median_m, double gsd, double T_K, double p_Pa)
{
	const double L = log(gsd) * log(gsd), l = inw_mean_free_path_m(T_K, p_Pa);
	const double slip = 2.49 * l / count_median_m * (exp(L / 2) + exp(5 * L / 2));

	assert(count_median_m > 0 && gsd >= 1);
	return 2 * BOLTZMANN * T_K / (3 * inw_air_viscosity_Pas(T_K)) * (1 + exp(L) + slip);
}

/* Share of a lognormal number distribution in (from, to].
 * Given: median m > 0, gsd >= 1; 0 <= from <= to, m; `to` may be infinite. Returned: 0 .. 1.
 * Valid: any. Both tails keep their digits: the smaller side is subtracted.
 * Source: definition of the lognormal distribution.
 * Tests: test/physics/test_coagulation.c, `lognormal`.
 */
double inw_lognormal_share(struct inw_lognormal sizes, double from_m, double to_m)
{
	const double spread = sqrt(2) * log(sizes.gsd);
	double lo, hi;

	assert(sizes.count_median_m > 0 && sizes.gsd >= 1 && from_m >= 0 && from_m <= to_m);
	if (!(spread > 0)) /* all alike */
		return from_m < sizes.count_median_m && sizes.count_median_m <= to_m;
	lo = log(from_m / sizes.count_median_m) / spread;
	hi = log(to_m / sizes.count_median_m) / spread;
	return lo > 0 ? (erfc(lo) - erfc(hi)) / 2 : (erfc(-hi) - erfc(-lo)) / 2;
}

/* Mean of d^k over a lognormal distribution, CMD^k exp(k^2 ln^2 gsd/2).
 * Given: median m > 0, gsd >= 1; k any. Returned: m^k.
 * Source: Hatch & Choate 1929 (memory), as in Hinds 1999, chapter 4.
 * Tests: test/physics/test_coagulation.c, `lognormal`.
 */
double inw_lognormal_moment(struct inw_lognormal sizes, double k)
{
	const double s = log(sizes.gsd);

	return pow(sizes.count_median_m, k) * exp(k * k * s * s / 2);
}

/* What particles in (from, to] bring to the mean of d^k: d^k times a lognormal is again one, of median CMD exp(k ln^2
 * gsd) and the same gsd.
 * Given, returned: as above. Source: Hatch & Choate 1929 (memory).
 * Tests: test/physics/test_coagulation.c, `lognormal`.
 */
double inw_lognormal_part(struct inw_lognormal sizes, double k, double from_m, double to_m)
{
	const double s = log(sizes.gsd);
	const struct inw_lognormal weighted = {sizes.count_median_m * exp(k * s * s), sizes.gsd};

	return inw_lognormal_moment(sizes, k) * inw_lognormal_share(weighted, from_m, to_m);
}
