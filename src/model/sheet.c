/* SPDX-License-Identifier: MIT */
/* sheet.c: one way for particles through a medium, for the steady state and the day alike; and dust on it.
 *
 * Invariants: H1 at the rated point a sheet passes what its class says. H2 the worst pass is no less than that of any size.
 * H3 growth is in proportion to the mass caught.
 */
#include "model/sheet.h"

#include <math.h>

static const struct inw_aerosol rated_air = {293.15, 101325, 1000}; /* media are rated with room air: ISO 29463-3, 23 +- 5 degC, memory; unit density */

struct inw_sized_medium inw_sheet_fit(const struct inw_medium *s, const struct inw_values *x)
{
	const double solidity = 0.06; /* glass fibre media have 0.04 to 0.08, common practice, no source: the rated drop cannot tell it (doc/decisions/0009), and its effect nearly cancels in the fit */
	struct inw_rating rating = {1 - inw_value(x, s->efficiency, 0), inw_value(x, s->worst_size, 0), inw_value(x, s->rated_velocity, 0)};
	struct inw_sized_medium m;

	if (inw_sized_medium_fit(&m, INW_FIBRE_LEE_LIU, solidity, &rating, &rated_air))
		m.least = 0;
	return m;
}

/* The laws are believed down to a quarter of the rated velocity (their notes say about four times either way): slower
 * counts as that. */
static double believed(const struct inw_sized_medium *m, const struct inw_sheet_flow *flow)
{
	return fmax(flow->velocity_ms, 0.25 * m->rating.velocity_ms);
}

double inw_sheet_pass(const struct inw_sized_medium *m, const struct inw_sheet_flow *flow, double diameter_m)
{
	double x = flow->past_seal;

	return (1 - x) * inw_sized_medium_penetration(m, diameter_m, believed(m, flow), &flow->air) + x;
}

double inw_sheet_worst_pass(const struct inw_sized_medium *m, const struct inw_sheet_flow *flow)
{
	return inw_sheet_pass(m, flow, inw_sized_medium_moved_size_m(m, believed(m, flow), &flow->air));
}

/* ---- dust ---- */

/* The cake's resistance over that of the clean sheet; both go with viscosity, so the air of the rating serves for any. Room
 * dust counts as INW_DUST_M: half of its mass is below 2.5 um and half in the coarse mode, and the cake's law wants the
 * size of equal surface per volume, which such a mixture has at 0.5 to 2 um (memory); all fume by its own size. With the
 * aerodynamic size, unit density is no assumption: d^2 rho is what that size means. */
double inw_medium_growth(const struct inw_medium *s, const struct inw_values *x, double diameter_m, double caught_kg)
{
	double K2 = inw_cake_resistance_1s(diameter_m, inw_value(x, s->cake_porosity, 0.88), &rated_air);

	return inw_loaded_ratio(K2, caught_kg / inw_value(x, s->area, 1), inw_value(x, s->rated_dp, 1), inw_value(x, s->rated_velocity, 1)) - 1;
}

void inw_medium_load(struct inw_model_stage *g, double ratio)
{
	g->r.lin += g->clean_lin * (ratio - g->loading);
	g->loading = ratio;
}
