/* SPDX-License-Identifier: MIT */
#include "physics/flow.h"

#include <assert.h>

/* dp/depth = (viscous * Aw^2) mu (1-e)^2 v/(e^3 d^2) + (inertial * Aw/Bw) rho (1-e) v|v|/(e^3 d) */
struct packing { double viscous, inertial; };

/* Far from any wall: Ergun 1952, Chem. Eng. Prog. 48:89-94. Quinn 2014 finds both too low: read results within 30 %. */
static const struct packing ergun = {.viscous = 150, .inertial = 1.75};

/* Eisfeld & Schnitzlein 2001, Chem. Eng. Sci. 56:4321-4329, "all particles" (memory). Its limit for a wide bed is not
 * Ergun's but viscous 155, inertial 1/0.83^2 = 1.45. */
static struct packing walled(double diameter_m, double grain_m, double voidage)
{
	const double K1 = 155, k1 = 1.42, k2 = 0.83; /* source above */
	double ratio = grain_m / diameter_m;
	double Aw = 1 + 2 * ratio / (3 * (1 - voidage)); /* hydraulic radius with the wall counted in, source above */
	double root = k1 * ratio * ratio + k2;

	return (struct packing){.viscous = K1 * Aw * Aw, .inertial = Aw / (root * root)};
}

/* Bed of granules.
 * Given: area > 0 m2, bed diameter m (0: no wall correction; else > granule), depth > 0 m, granule > 0 m (diameter of
 *   the sphere of the same volume), sphericity (0,1], voidage (0,1). The length in both laws is 6 volume / surface =
 *   sphericity * granule.
 * Returned: lin 1/m3 and quad 1/m4 of the whole bed.
 * Valid range: Ergun Re/(1-e) 1..4000 (the laminar part alone holds below); wall form: diameter/granule 1.6..250
 *   (memory).
 * Omits: dust between the grains and channelling; the screens that hold the bed (inw_screen, add in series).
 * Source: see the two packings. Checked by: test/physics/test_bed_flow.c. */
struct inw_resistance inw_bed_resistance(double area_m2, double diameter_m, double depth_m, double granule_m,
	double sphericity, double voidage)
{
	double grain = sphericity * granule_m, solid = 1 - voidage;
	double void3 = voidage * voidage * voidage;
	struct packing p = diameter_m > 0 ? walled(diameter_m, grain, voidage) : ergun;

	assert(area_m2 > 0 && depth_m > 0 && granule_m > 0);
	assert(diameter_m >= 0 && !(diameter_m > 0 && diameter_m <= granule_m));
	assert(sphericity > 0 && sphericity <= 1 && voidage > 0 && voidage < 1);
	return (struct inw_resistance){
		.lin = p.viscous * depth_m * solid * solid / (void3 * grain * grain * area_m2),
		.quad = p.inertial * depth_m * solid / (void3 * grain * area_m2 * area_m2),
	};
}
