/* SPDX-License-Identifier: MIT */
/* dust.c: room dust through the box, at rest with the flows of the moment: the box's air is renewed within minutes, dust
 * gathers over months.
 *
 * Rooms hold the dust that the design says, whatever the box does. Every gap and the open door let it in with their air,
 * whole: the narrowest would keep some back (common practice to neglect, which loads the medium at the high end). The
 * cleaner catches by size as it does fume; walls take what settles.
 */
#include "solve/dust.h"

#include <math.h>
#include <string.h>

#include "solve/transport.h"

/* kg of dust per kg of air of a room; out of doors counts as the box's room, about which something is known. */
static double mixing_ratio(const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, int room)
{
	int from = room < 0 ? sol->m.box_room : room;

	return inw_value(x, d->room[from].dust, 0) / inw_zone_density(sol, 1 + from);
}

/* Of the box's air. `pass`: what one way through the train lets by. Box: in + return y_J = y (clean + gaps out + backward
 * return + walls); junction: y_J (its inflow of air) = clean pass y + what blows back. */
static double box_ratio(const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, double pass)
{
	const struct inw_slots *l = &sol->s;
	double clean = sol->y[l->m_clean], back = l->m_return >= 0 ? sol->y[l->m_return] : 0, out = l->m_exhaust >= 0 ? sol->y[l->m_exhaust] : 0;
	double in = 0, leaves = clean + fmax(-back, 0) + inw_box_deposition_m3s(sol, INW_DUST_M) * inw_zone_density(sol, 0);

	for (int i = 0; i < sol->m.gaps; i++) {
		in += sol->f.gap_in[i] * mixing_ratio(sol, d, x, sol->m.gap[i].room);
		leaves += sol->f.gap_out[i];
	}
	double junction = clean + fmax(-back, 0) + fmax(-out, 0), returned = fmax(back, 0) / junction;
	in += returned * fmax(-out, 0) * mixing_ratio(sol, d, x, sol->m.exhaust_to);
	return in / (leaves - returned * clean * pass);
}

void inw_dust_caught(const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, double *kgs)
{
	double pass = 1, before[INW_MAX_STAGES], clean = sol->s.m_clean >= 0 ? sol->y[sol->s.m_clean] : 0;

	memset(kgs, 0, sizeof *kgs * INW_MAX_STAGES);
	if (!(clean > 1e-9)) /* kg/s; at rest, or blown back: then it is not the box's dust that the media see */
		return;
	for (int k = 0; k < sol->m.stages; k++) {
		before[k] = pass;
		if (sol->m.stage[k].kind != INW_STAGE_MEDIUM)
			continue;
		struct inw_sized_medium medium = inw_sheet_fit(&d->cleaner.stage[k].medium, x);
		struct inw_sheet_flow flow = inw_medium_flow(sol, k);
		pass *= inw_sheet_pass(&medium, &flow, INW_DUST_M);
	}
	double met = clean * box_ratio(sol, d, x, pass);
	for (int k = 0; k < sol->m.stages; k++)
		kgs[k] = met * (before[k] - (k + 1 < sol->m.stages ? before[k + 1] : pass));
}
