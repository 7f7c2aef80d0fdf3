/* SPDX-License-Identifier: MIT */
/* day_bed.c: the carbon stages of a day, resolved along their depth, between one step's flows and the next.
 *
 * Over a step the gas that the box sends into the first bed comes at an even rate; what the last bed gives off goes evenly
 * into the junction. Both rates are found together by repetition; what is left between them is owed to the next step, so
 * that nothing is lost. Seals let their share by. Published rates drive the uptake, the slower one, as in `check`; filling
 * and emptying go by the difference between the air and the air in equilibrium with the carbon.
 */
#include "solve/day_bed.h"

#include <math.h>
#include <string.h>

int inw_day_beds_start(struct inw_day_beds *b, const struct inw_design *d, const int *substance, int gases)
{
	memset(b, 0, sizeof *b);
	for (size_t k = 0; k < d->cleaner.stages; k++) {
		if (d->cleaner.stage[k].kind != INW_STAGE_BED)
			continue;
		if (b->beds == INW_DAY_BEDS)
			return -1;
		b->bed[b->beds++].stage = (int)k;
	}
	for (int g = 0; g < gases; g++) {
		const struct inw_substance *s = &d->catalog.substance[substance[g]];
		b->slot[g] = -1;
		if (b->beds > 0 && !s->weakly_held && s->liquid_density >= 0 && s->molar_refraction >= 0 && s->vp_count > 0) {
			b->slot[g] = b->held;
			b->substance[b->held++] = substance[g];
		}
	}
	return 0;
}

/* Equilibrium and rates of one bed at this step's temperature and flow. */
static void sorbent_now(struct inw_sorbent *out, const struct inw_day_beds *b, const struct inw_bed_now *n, const struct inw_design *d, const struct inw_values *x)
{
	/* porosity and tortuosity of a granule: common practice, no source; published rates stand in for both */
	const struct inw_carbon_bed carbon = {.micropore_m3kg = n->W0, .structure = n->structure, .capacity_factor = n->factor, .rate_factor = 1,
		.granule = {.diameter_m = n->granule, .porosity = 0.4, .tortuosity = 3}, .voidage = n->voidage};
	struct inw_sorbate s[INW_PORES_MOST];

	for (int i = 0; i < b->held; i++) {
		const struct inw_substance *sub = &d->catalog.substance[b->substance[i]];
		double rate, psat;
		inw_bed_rate(n, d, x, b->substance[i], 1e-12, &rate, &psat);
		s[i] = (struct inw_sorbate){.kind = INW_CAPACITY_DUBININ, .molar_mass_kgmol = inw_value(x, sub->molar_mass, 1), .liquid_kgm3 = inw_value(x, sub->liquid_density, 1),
			.diffusivity_m2s = inw_value(x, sub->diffusivity, 1), .psat_Pa = psat, .refraction_m3mol = inw_value(x, sub->molar_refraction, 1), .measured_rate_1s = rate};
	}
	inw_sorbent_at(&carbon, s, b->held, &(struct inw_bed_air){n->T, n->nu, n->velocity}, out);
}

/* One bed over one step: `rate` kg/s of each substance into it, and out of it on return. 0, or -1. */
static int through_bed(struct inw_day_beds *b, int k, const struct inw_bed_flow *f, double *rate)
{
	struct inw_day_bed *bed = &b->bed[k];
	struct inw_bed_now n = f->now[k];
	struct inw_sorbent sorbent;
	double inlet[INW_PORES_MOST], out_kg[INW_PORES_MOST];
	bool flows = n.q > 1e-7; /* m3/s: a hundredth of a litre a minute counts as rest */

	if (!flows)
		n.velocity = 0;
	sorbent_now(&sorbent, b, &n, f->d, f->x);
	for (int i = 0; i < b->held; i++)
		inlet[i] = flows ? fmax(rate[i], 0) * (1 - n.bypass) / n.q : 0;
	struct inw_bed_model m = {INW_BED_CELLS, b->held, n.area, n.depth, n.bulk, INW_BED_GAS, inw_sorbent_law(&sorbent)};
	struct inw_bed_state state = {.q = bed->q, .most = bed->most, .first_step_s = {bed->first_step_s[0], bed->first_step_s[1]}, .next_step_s = bed->next_step_s};
	struct inw_bed_inputs in = {n.velocity, inlet, sorbent.rate_1s, NULL, sorbent.still_m2s, false};
	struct inw_bed_options options = {.tolerance = 1e-3, .most_steps = 20000};
	struct inw_bed_result r = {.out_kg = out_kg};
	inw_bed_advance(&m, &state, &in, f->dt, &options, b->work, &r);
	bed->first_step_s[0] = state.first_step_s[0];
	bed->first_step_s[1] = state.first_step_s[1];
	bed->next_step_s = state.next_step_s;
	if (r.status != INW_OK)
		return -1;
	for (int i = 0; i < b->held; i++)
		rate[i] = flows ? n.bypass * rate[i] + out_kg[i] / f->dt : 0;
	return 0;
}

int inw_day_beds_step(struct inw_day_beds *b, const struct inw_bed_flow *f, double *rate)
{
	for (int k = 0; k < b->beds; k++)
		if (through_bed(b, k, f, rate))
			return -1;
	return 0;
}
