/* SPDX-License-Identifier: MIT */
/* day_bed.c: the carbon stages of a day, resolved along their depth, between one step's flows and the next.
 *
 * Over a step the gas that the box sends into the first bed comes at an even rate; what the last bed gives off goes evenly
 * into the junction. Both rates are found together by repetition; what is left between them is owed to the next step, so
 * that nothing is lost. Seals let their share by. Published rates drive the uptake, the slower one, as in `check`; filling
 * and emptying go by the difference between the air and the air in equilibrium with the carbon.
 *
 * Water is one more substance in the pores. It comes with the air, whose humidity stays that of the model whatever the
 * carbon takes up or gives back; films and bare pores of a granule drive it, since the published rates are of organic
 * vapours; mixing by the flow is added to these, while it is in the published ones. Air that passes is at most `wettest`: beyond, water condenses between the granules, which no isotherm of the
 * micropores describes; how long that was so is counted.
 *
 * The heat of uptake warms the carbon, and drying cools it: each bed is one body at the temperature that the model's
 * balance of heat gives its air, plus `warmer`: C d(warmer)/dt = heat - (m cp + casing) warmer, implicit over a step. Balance
 * and rates in the pores are those of the warmer carbon. What the air carries off so is not put into the box's balance.
 */
#include "solve/day_bed.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "physics/clean.h"
#include "physics/flow.h"

static const double coldest_K = 223.15, hottest_K = 453.15; /* carbon is looked for between: inside the laws of air and water */
static const double wettest = 0.98; /* of saturation; ours: the pores are full of water to a fiftieth there */
/* Heat of adsorption of water: 45 kJ/mol, that of condensation, the limit found on two carbons (Langmuir 15:587, 1999, abstract). */
static const double water_heat_Jmol = 45e3;

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

void inw_day_beds_soak(struct inw_day_beds *b, const struct inw_design *d, const struct inw_values *x, double rh)
{
	int n = inw_day_beds_slots(b), water = b->held;

	assert(rh >= 0);
	for (int k = 0; k < b->beds && n > 0; k++) {
		const struct inw_bed *g = &d->cleaner.stage[b->bed[k].stage].bed;
		/* at any temperature: the law is one of relative humidity */
		struct inw_sorbate w = inw_sorbate_water(inw_value(x, g->water_half, 0), inw_value(x, g->water_sites, 0), 293.15, 101325);
		struct inw_isotherm law = inw_isotherm_water(w.psat_Pa, w.water_c, w.water_sites);
		double filling = inw_isotherm_filling(&law, fmin(rh, wettest) * w.psat_Pa).y;
		double q = filling * inw_value(x, g->micropore_volume, 0) * inw_value(x, g->capacity_factor, 1) * w.liquid_kgm3;
		for (int j = 0; j < INW_BED_CELLS; j++)
			b->bed[k].q[j * n + water] = q;
		b->water.start += q * inw_value(x, g->mass, 0);
	}
	b->water.held = b->water.most = b->water.start;
}

/* Equilibrium and rates of one bed at this step's temperature and flow, and the heat of each kg taken up, J/kg. */
static void sorbent_now(struct inw_sorbent *out, const struct inw_day_beds *b, const struct inw_bed_now *n, const struct inw_bed_flow *f, double *heat)
{
	/* porosity and tortuosity of a granule: common practice, no source; published rates stand in for both */
	const struct inw_carbon_bed carbon = {.micropore_m3kg = n->W0, .structure = n->structure, .capacity_factor = n->factor, .rate_factor = 1,
		.granule = {.diameter_m = n->granule, .porosity = 0.4, .tortuosity = 3}, .voidage = n->voidage};
	struct inw_sorbate s[INW_PORES_MOST];

	for (int i = 0; i < b->held; i++) {
		const struct inw_substance *sub = &f->d->catalog.substance[b->substance[i]];
		double rate, psat;
		inw_bed_rate(n, f->d, f->x, b->substance[i], 1e-12, &rate, &psat);
		s[i] = (struct inw_sorbate){.kind = INW_CAPACITY_DUBININ, .molar_mass_kgmol = inw_value(f->x, sub->molar_mass, 1), .liquid_kgm3 = inw_value(f->x, sub->liquid_density, 1),
			.diffusivity_m2s = inw_value(f->x, sub->diffusivity, 1), .psat_Pa = psat, .refraction_m3mol = inw_value(f->x, sub->molar_refraction, 1), .measured_rate_1s = rate,
			.points = inw_bed_measured(n, f->d, f->x, b->substance[i])};
		if (s[i].points.n)
			s[i].kind = INW_CAPACITY_POINTS;
		heat[i] = inw_uptake_heat_Jkg(sub, s[i].molar_mass_kgmol, n->T);
	}
	int water = b->held;
	s[water] = inw_sorbate_water(n->water_half, n->water_sites, n->T, n->p);
	heat[water] = water_heat_Jmol / s[water].molar_mass_kgmol;
	inw_sorbent_at(&carbon, s, inw_day_beds_slots(b), &(struct inw_bed_air){n->T, n->nu, n->velocity}, out);
}

int inw_day_bed_balance(const struct inw_day_beds *b, const struct inw_bed_now *now, const struct inw_bed_flow *f, const double *c, double *q)
{
	double in[INW_PORES_MOST], heat[INW_PORES_MOST], dq_dc[INW_PORES_MOST * INW_PORES_MOST];
	struct inw_sorbent sorbent;
	int water = b->held;

	sorbent_now(&sorbent, b, now, f, heat);
	memcpy(in, c, sizeof *c * (size_t)b->held);
	in[water] = fmin(now->vapour_Pa, wettest * sorbent.pores.alone[water].psat_Pa) * sorbent.per_Pa[water];
	struct inw_bed_law law = inw_sorbent_law(&sorbent);
	return law.loading(law.context, in, q, dq_dc) ? 1 : 0;
}

/* One bed over one step, its carbon `warmer` than the air that comes, K. */
struct passage {
	struct inw_bed_now now;
	const double *rate;                    /* kg/s of each substance that comes */
	double inlet[INW_PORES_MOST], in_kg[INW_PORES_MOST], out_kg[INW_PORES_MOST], beyond_kgs[INW_PORES_MOST];
	double heat_J, water_kg;
	bool flows, wet;
};

/* The air that comes, at the carbon's temperature: at most as good as saturated, for water alone and for the gases together
 * (Raoult). Gas beyond that, a mist, passes; water beyond it is no matter of the pores. */
static void let_in(struct passage *p, const struct inw_bed_now *n, const struct inw_sorbent *s)
{
	int water = s->pores.water;
	double full = 0, share;

	for (int i = 0; i < s->pores.n; i++) {
		p->inlet[i] = p->flows ? fmax(p->rate[i], 0) * (1 - n->bypass) / n->q : 0;
		full += i == water ? 0 : p->inlet[i] / (s->pores.alone[i].psat_Pa * s->per_Pa[i]);
	}
	share = full > wettest ? wettest / full : 1;
	for (int i = 0; i < water; i++) {
		/* and a rate below zero, where the flow turns within a step */
		p->beyond_kgs[i] = p->flows ? p->inlet[i] * n->q * (1 - share) + fmin(p->rate[i], 0) * (1 - n->bypass) : 0;
		p->inlet[i] *= share;
	}
	double most = wettest * s->pores.alone[water].psat_Pa * s->per_Pa[water];
	p->wet = p->inlet[water] > most;
	p->inlet[water] = fmin(p->inlet[water], most);
	p->beyond_kgs[water] = 0;
}

static int pass_at(struct inw_day_beds *b, struct inw_day_bed *bed, const struct inw_bed_flow *f, double warmer, struct passage *p)
{
	struct inw_bed_now n = p->now;
	struct inw_sorbent sorbent;
	double heat[INW_PORES_MOST], hurry[INW_PORES_MOST], spread[INW_PORES_MOST] = {0};
	int all = inw_day_beds_slots(b);

	for (int i = 0; i < all; i++)
		hurry[i] = f->hurry > 0 && i < b->held ? f->hurry : 1;
	n.T += warmer;
	n.q *= n.T / p->now.T;
	n.velocity = p->flows ? n.velocity * n.T / p->now.T : 0;
	sorbent_now(&sorbent, b, &n, f, heat);
	let_in(p, &n, &sorbent);
	spread[b->held] = sorbent.spread_m2s[b->held]; /* of water: the others' rates hold it already */
	struct inw_bed_model m = {INW_BED_CELLS, all, n.area, n.depth, n.bulk, INW_BED_GAS, inw_sorbent_law(&sorbent)};
	struct inw_bed_state state = {.q = bed->q, .most = bed->most, .first_step_s = {bed->first_step_s[0], bed->first_step_s[1]}, .next_step_s = bed->next_step_s};
	struct inw_bed_inputs in = {.velocity_ms = n.velocity, .inlet_kgm3 = p->inlet, .rate_1s = sorbent.rate_1s, .spread_m2s = spread, .still_m2s = sorbent.still_m2s, .hurry = hurry};
	struct inw_bed_options options = {.tolerance = 1e-3, .most_steps = 20000};
	struct inw_bed_result r = {.in_kg = p->in_kg, .out_kg = p->out_kg};
	inw_bed_advance(&m, &state, &in, f->dt, &options, b->work, &r);
	bed->first_step_s[0] = state.first_step_s[0];
	bed->first_step_s[1] = state.first_step_s[1];
	bed->next_step_s = state.next_step_s;
	if (r.status != INW_OK)
		return -1;
	p->heat_J = 0;
	for (int i = 0; i < all; i++)
		p->heat_J += heat[i] * (p->in_kg[i] - p->out_kg[i]);
	p->water_kg = inw_bed_held_kg(&m, &state, b->held);
	return 0;
}

/* The step with the warmth that its own uptake makes, `bed` from `was`: warmer - (warmer before + heat/C)/(1 + G dt/C) = 0,
 * which rises in `warmer` by 1 at least, since warmer carbon takes up less; but for rounding in the bed's own steps, and air
 * that is wet. Secant steps within what is known to hold the root. Energy is kept wherever they end: what is left is how far
 * off the temperature was at which the uptake was taken. 0, or -1. */
static int pass_warmed(struct inw_day_beds *b, struct inw_day_bed *bed, const struct inw_day_bed *was, const struct inw_bed_flow *f, struct passage *p)
{
	const double C = p->now.heat_JK, carried = p->flows ? p->now.q * p->now.rho * inw_air_heat_capacity_JkgK(p->now.humidity_ratio) : 0;
	const double losing = 1 + (carried + inw_value(f->x, f->d->cleaner.casing, 0)) * f->dt / C;
	const double enough = 0.02, enough_later = 0.5; /* K: a hundredth, a thirtieth of what water then does; ours */
	double low = coldest_K - p->now.T, high = hottest_K - p->now.T, warmer = bed->guess_K, last = 0, last_off = 0;

	if (!(low < was->warmer_K && high > was->warmer_K))
		return -1;
	if (!(low < warmer && high > warmer))
		warmer = was->warmer_K;
	bed->slope = fmax(was->slope, 1);
	for (int it = 0; it < 20; it++) {
		if (it > 0) {
			memcpy(bed->q, was->q, sizeof bed->q);
			memcpy(bed->most, was->most, sizeof bed->most);
		}
		if (pass_at(b, bed, f, warmer, p))
			return -1;
		bed->warmer_K = C > 0 ? (was->warmer_K + p->heat_J / C) / losing : 0;
		double off = warmer - bed->warmer_K;
		if (it > 0 && warmer != last)
			bed->slope = fmax((off - last_off) / (warmer - last), 1);
		if (fabs(off) <= enough * bed->slope || (it > 5 && fabs(off) <= enough_later))
			return 0;
		*(off > 0 ? &high : &low) = warmer;
		last = warmer;
		last_off = off;
		warmer -= off / bed->slope;
		if (!(warmer > low && warmer < high))
			warmer = 0.5 * (low + high);
	}
	return -1;
}

/* One bed over one step: `rate` kg/s of each substance into it, and out of it on return. 0, or -1. */
static int through_bed(struct inw_day_beds *b, int k, const struct inw_bed_flow *f, double *rate)
{
	struct inw_day_bed *bed = &b->bed[k], was = *bed;
	struct passage p = {.now = f->now[k], .rate = rate, .flows = f->now[k].q > 1e-7}; /* m3/s: a hundredth of a litre a minute counts as rest */
	int water = b->held;

	if (f->warmth_known ? pass_at(b, bed, f, 0, &p) : pass_warmed(b, bed, &was, f, &p))
		return -1;
	for (int i = 0; i < inw_day_beds_slots(b) && p.flows; i++) /* what so faint a flow brings passes by */
		rate[i] = p.now.bypass * rate[i] + p.beyond_kgs[i] + p.out_kg[i] / f->dt;
	b->water.in += p.in_kg[water];
	b->water.out += p.out_kg[water];
	b->water.held += p.water_kg;
	b->wet_s += p.wet ? f->dt : 0;
	bed->guess_K = bed->warmer_K;
	bed->drift_Ks = (bed->warmer_K - was.warmer_K) / f->dt;
	b->warmest_K = fmax(b->warmest_K, bed->warmer_K);
	b->coldest_K = fmin(b->coldest_K, bed->warmer_K);
	return 0;
}

double inw_day_bed_warmer_K(const struct inw_day_beds *b, int stage)
{
	for (int k = 0; k < b->beds; k++)
		if (b->bed[k].stage == stage)
			return b->bed[k].warmer_K;
	return 0;
}

int inw_day_beds_step(struct inw_day_beds *b, const struct inw_bed_flow *f, double *rate)
{
	const struct inw_bed_now *first = f->now;
	int water = b->held;

	/* as much as the air brings to the first bed, its seal's share included; what leaves a bed comes to the next */
	rate[water] = b->beds > 0 && first->q > 0 ? first->q / (1 - first->bypass) * first->vapour_Pa * INW_WATER_KGMOL / (INW_GAS_CONSTANT * first->T) : 0;
	double wet_s = b->wet_s;
	b->water.held = 0;
	for (int k = 0; k < b->beds; k++)
		if (through_bed(b, k, f, rate))
			return -1;
	b->wet_s = fmin(b->wet_s, wet_s + f->dt); /* one bed or more */
	b->water.most = fmax(b->water.most, b->water.held);
	return 0;
}
