/* SPDX-License-Identifier: MIT */
/* sorbent.c: assembles the laws of adsorption for one bed. */
#include "model/sorbent.h"

#include <assert.h>
#include <math.h>

#include "physics/clean.h"
#include "physics/flow.h"

/* Density in the pores: the liquid's, or more where more has been measured to be held than would find room as liquid; isotherms
 * of points go on a little above the last one. */
static double packed_kgm3(const struct inw_carbon_bed *bed, const struct inw_sorbate *s)
{
	const double above = 1.06; /* the credit of isotherm.c, and something */

	if (s->kind != INW_CAPACITY_POINTS)
		return s->liquid_kgm3;
	return fmax(s->liquid_kgm3, above * s->points.loading[s->points.n - 1] / bed->micropore_m3kg);
}

/* Points as shares of the pores, so that a doubt of the capacity is one of them too. Should a point lie above what the vapour
 * pressure laws call saturated, air has been measured to hold that much. */
static struct inw_isotherm of_points(const struct inw_carbon_bed *bed, const struct inw_sorbate *s, double T_K, struct inw_sorbate_curve *curve)
{
	const struct inw_sorbate_points *m = &s->points;
	const double full = packed_kgm3(bed, s) * bed->micropore_m3kg;
	double filling[INW_SORBATE_POINTS];

	assert(m->n >= 2 && m->n <= INW_SORBATE_POINTS);
	for (int i = 0; i < m->n; i++)
		filling[i] = m->loading[i] / full;
	const int wrong = inw_isotherm_prepare(m->p_Pa, filling, m->n, fmax(m->psat_Pa, 1.01 * m->p_Pa[m->n - 1]), curve->x, curve->y,
		curve->slope);
	assert(!wrong);
	(void)wrong;
	return inw_isotherm_points(s->psat_Pa, T_K, m->T_K, curve->x, curve->y, curve->slope, m->n);
}

static struct inw_isotherm alone(const struct inw_carbon_bed *bed, const struct inw_sorbate *s, double T_K,
	struct inw_sorbate_curve *curve)
{
	switch (s->kind) {
	case INW_CAPACITY_POINTS:
		return of_points(bed, s, T_K, curve);
	case INW_CAPACITY_WATER:
		return inw_isotherm_water(s->psat_Pa, s->water_c, s->water_sites);
	case INW_CAPACITY_DUBININ:
		break;
	}
	return inw_isotherm_dubinin(s->psat_Pa,
		inw_dubinin_curvature(bed->micropore_m3kg, bed->structure, s->refraction_m3mol, T_K));
}

struct inw_sorbate inw_sorbate_water(double half, double sites, double T_K, double p_Pa)
{
	/* liquid at 20 degC and diffusivity in air at 25 degC: handbook values (memory). In micropores it is packed like ice, 920 kg/m3 (J. Phys. Chem. B 106:3209, 2002, abstract): 8 %
	 * less, far within the doubt of the pore volume. */
	return (struct inw_sorbate){ .kind = INW_CAPACITY_WATER, .molar_mass_kgmol = INW_WATER_KGMOL, .liquid_kgm3 = 998,
		.diffusivity_m2s = inw_diffusivity_m2s(25e-6, T_K, p_Pa), .psat_Pa = inw_air_saturation_Pa(T_K),
		.water_c = inw_isotherm_water_c(half, sites), .water_sites = sites };
}

/* Film and pores in series, or what was measured; a doubt of the rate is a factor on either. */
static double rate(const struct inw_carbon_bed *bed, const struct inw_sorbate *s, const struct inw_bed_air *air)
{
	const double d = bed->granule.diameter_m;

	if (s->measured_rate_1s > 0)
		return bed->rate_factor * s->measured_rate_1s;
	return bed->rate_factor * inw_rate_series(
		inw_rate_film(fabs(air->velocity_ms), d, bed->voidage, s->diffusivity_m2s, air->nu_m2s),
		inw_rate_pore(bed->granule, bed->voidage, s->diffusivity_m2s));
}

double inw_sorbate_alone(const struct inw_carbon_bed *bed, const struct inw_sorbate *s, double T_K, double p_Pa)
{
	struct inw_sorbate_curve curve;
	const struct inw_isotherm law = alone(bed, s, T_K, &curve);

	return inw_isotherm_filling(&law, fmin(p_Pa, s->psat_Pa)).y * bed->micropore_m3kg * bed->capacity_factor * packed_kgm3(bed, s);
}

void inw_sorbent_at(const struct inw_carbon_bed *bed, const struct inw_sorbate *s, int n, const struct inw_bed_air *air,
	struct inw_sorbent *out)
{
	struct inw_pores *pores = &out->pores;

	assert(n > 0 && n <= INW_PORES_MOST);
	pores->n = n;
	pores->water = -1;
	pores->volume_m3kg = bed->micropore_m3kg * bed->capacity_factor;
	for (int i = 0; i < n; i++) {
		pores->alone[i] = alone(bed, &s[i], air->T_K, &out->curve[i]);
		pores->liquid_kgm3[i] = packed_kgm3(bed, &s[i]);
		out->sums.room[i] = 1 / pores->liquid_kgm3[i];
		if (s[i].kind == INW_CAPACITY_WATER) {
			assert(pores->water < 0);
			pores->water = i;
		}
		out->per_Pa[i] = s[i].molar_mass_kgmol / (INW_GAS_CONSTANT * air->T_K);
		out->rate_1s[i] = rate(bed, &s[i], air);
		out->still_m2s[i] = inw_spread_still_m2s(bed->voidage, s[i].diffusivity_m2s);
		out->spread_m2s[i] = inw_spread_flow_m2s(air->velocity_ms, bed->granule.diameter_m, bed->voidage,
			s[i].diffusivity_m2s);
	}
	out->sums.apart = pores->water;
}

static int slant(const void *context, const double *held, double *slant, double *by)
{
	const struct inw_sorbent *s = context;
	const int n = s->pores.n, water = s->pores.water;
	const double volume = s->pores.volume_m3kg;
	double g[INW_PORES_MOST], dg[INW_PORES_MOST], dry = held[0], wet = water < 0 ? 0 : held[1];

	if (!(dry < volume - wet && wet <= volume - dry && dry < volume))
		return 1;
	const double space = 1 / (volume - wet), space_water = 1 / (volume - dry); /* of 1: divisions are dear */
	const double f = dry * space, f_water = wet * space_water;
	inw_pores_slant(&s->pores, f, f_water, g, dg);
	for (int i = 0; i < n; i++) {
		const double scale = s->per_Pa[i] * s->sums.room[i] * space;
		slant[i] = scale * g[i];
		by[i] = scale * space * dg[i];
		by[n + i] = water >= 0 ? by[i] * f + slant[i] * space : 0;
	}
	if (water >= 0) {
		const double scale = s->per_Pa[water] * s->sums.room[water] * space_water;
		slant[water] = scale * g[water];
		by[n + water] = scale * space_water * dg[water];
		by[water] = by[n + water] * f_water + slant[water] * space_water;
	}
	return 0;
}

static int loading(const void *context, const double *c, double *q, double *dq_dc)
{
	const struct inw_sorbent *s = context;
	const int n = s->pores.n;
	double p[INW_PORES_MOST];

	for (int i = 0; i < n; i++)
		p[i] = c[i] / s->per_Pa[i];
	if (inw_pores_loading(&s->pores, p, q, dq_dc))
		return 1;
	for (int i = 0; dq_dc && i < n * n; i++)
		dq_dc[i] /= s->per_Pa[i % n];
	return 0;
}

struct inw_bed_law inw_sorbent_law(const struct inw_sorbent *out)
{
	return (struct inw_bed_law){ .context = out, .sums = &out->sums, .slant = slant, .loading = loading };
}
