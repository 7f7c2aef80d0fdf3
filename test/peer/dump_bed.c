/* SPDX-License-Identifier: MIT */
/* dump_bed.c: the bed of bed_peer.py as bed.c sees it. Prints hours, outlet of each substance over its inlet, held
 * kg/m2; six digits and more. Two days: 8 h of toluene and acetone in air of 60 % humidity, an hour of that air alone, rest.
 */
#include <stdio.h>

#include "physics/clean.h"
#include "solve/bed.h"

enum { CELLS = 100, N = 3 };

#define WATER_KGM3 (0.6 * 2645 * 18.015268e-3 / (INW_GAS_CONSTANT * 295.15)) /* 60 % humid at 22 degC */
static const double inlet_kgm3[N] = { 2e-4, 5e-4, WATER_KGM3 };
static const struct inw_sorbate sorbate[N] = {
	{ .kind = INW_CAPACITY_DUBININ, .molar_mass_kgmol = 92.14e-3, .liquid_kgm3 = 865, .diffusivity_m2s = 8.4e-6,
		.psat_Pa = 3240,
		.refraction_m3mol = 31.1e-6, .measured_rate_1s = 60 },
	{ .kind = INW_CAPACITY_DUBININ, .molar_mass_kgmol = 58.08e-3, .liquid_kgm3 = 785, .diffusivity_m2s = 10.5e-6,
		.psat_Pa = 26.9e3,
		.refraction_m3mol = 16.2e-6, .measured_rate_1s = 70 },
	{ .kind = INW_CAPACITY_WATER, .molar_mass_kgmol = 18.015268e-3, .liquid_kgm3 = 998, .diffusivity_m2s = 25e-6,
		.psat_Pa = 2645, .water_sites = 0.02, .measured_rate_1s = 80 },
};

static double q[CELLS * N], most[N], work[INW_BED_WORKSPACE(CELLS, N)];

int main(void)
{
	const struct inw_carbon_bed bed = { .micropore_m3kg = 0.454e-3, .structure = 3.56e-5, .capacity_factor = 1,
		.rate_factor = 1,
		.granule = { 1.5e-3, 0.4, 3, 0 }, .voidage = 0.4 };
	const double v[] = { 0.2, 0.2, 0 };
	const int hours[] = { 8, 1, 15 };
	struct inw_bed_state state = { .q = q, .most = most };
	struct inw_sorbate all[N] = { sorbate[0], sorbate[1], sorbate[2] };
	struct inw_sorbent s;
	int clock = 0;

	all[2].water_c = inw_isotherm_water_c(0.65, all[2].water_sites);

	for (int part = 0; part < 6; part++) {
		const double in[N] = { part % 3 ? 0 : inlet_kgm3[0], part % 3 ? 0 : inlet_kgm3[1], WATER_KGM3 };

		inw_sorbent_at(&bed, all, N, &(struct inw_bed_air){ 295.15, 1.54e-5, v[part % 3] }, &s);
		const struct inw_bed_model m = { CELLS, N, 1, 0.03, 450, INW_BED_GAS, inw_sorbent_law(&s) };
		struct inw_bed_inputs inputs = { .velocity_ms = v[part % 3], .inlet_kgm3 = in, .rate_1s = s.rate_1s,
			.spread_m2s = s.spread_m2s, .still_m2s = s.still_m2s };
		for (int k = 0; k < hours[part % 3] * 4; k++, clock++) {
			struct inw_bed_result r = { .why = NULL };
			double out[N] = { 0 };

			inw_bed_advance(&m, &state, &inputs, 900, &INW_BED_OPTIONS, work, &r);
			inputs.goes_on = true;
			if (r.status != INW_OK || (v[part % 3] > 0 && inw_bed_outlet(&m, &state, &inputs, out) != 0)) {
				fprintf(stderr, "%s\n", r.why ? r.why : "no outlet");
				return 1;
			}
			printf("%.2f", (clock + 1) / 4.0);
			for (int i = 0; i < N; i++)
				printf(" %.9g", out[i] / inlet_kgm3[i]);
			for (int i = 0; i < N; i++)
				printf(" %.9g", inw_bed_held_kg(&m, &state, i));
			printf("\n");
		}
	}
	return 0;
}
