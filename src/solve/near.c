/* SPDX-License-Identifier: MIT */
#include "solve/near.h"

#include <math.h>

#include "physics/near.h"
#include "solve/transport.h"

static double slot(const struct inw_solution *sol, int i)
{
	return i >= 0 ? sol->y[i] : 0;
}

struct inw_near inw_near_now(const struct inw_solution *sol, double radius_m, double speed_ms)
{
	const struct inw_model *m = &sol->m;
	struct inw_near n = {.exchange = inw_near_exchange_m3s(radius_m, speed_ms) * inw_zone_density(sol, 1 + m->box_room)};

	for (int i = 0; i < m->gaps; i++)
		if (m->gap[i].room == m->box_room)
			n.gaps += sol->f.gap_out[i];
	if (m->exhaust_to == m->box_room)
		n.exhaust = fmax(slot(sol, sol->s.m_exhaust), 0);
	double cleaned = fmax(slot(sol, sol->s.m_clean), 0), back = fmax(-slot(sol, sol->s.m_return), 0);
	n.cleaned = cleaned > 0 ? cleaned / (cleaned + back) : 0;
	return n;
}

double inw_near_ratio(const struct inw_near *n, double room, double box, double after)
{
	double exhaust = n->cleaned * after + (1 - n->cleaned) * box;

	return inw_near_concentration(room, n->exchange, n->gaps + n->exhaust, n->gaps * box + n->exhaust * exhaust);
}
