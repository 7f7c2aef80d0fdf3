/* SPDX-License-Identifier: MIT */
#include "solve/transport.h"

#include <string.h>

/* m kg/s of air from zone `from` to zone `to` (-1: outdoors); `pass` of what it carries gets through on the way. */
static void move(struct inw_transport *t, int from, int to, double m, double pass)
{
	if (from < 0 || !(m > 0))
		return;
	t->a[from * t->n + from] += m;
	if (to >= 0)
		t->a[to * t->n + from] -= m * pass;
}

static void move_signed(struct inw_transport *t, int from, int to, double m, double pass)
{
	if (m >= 0)
		move(t, from, to, m, pass);
	else
		move(t, to, from, -m, pass);
}

static double slot(const struct inw_solution *sol, int i)
{
	return i >= 0 ? sol->y[i] : 0;
}

/* Rows: what leaves less what comes in, per unit of mixing ratio (kg per kg of air). `box_sink` in kg of air per s. */
void inw_transport_build(struct inw_transport *t, const struct inw_solution *sol, double pass, double box_sink)
{
	const struct inw_model *m = &sol->m;
	const struct inw_flows *f = &sol->f;
	int J = 1 + m->rooms;

	t->n = J + 1;
	memset(t->a, 0, sizeof t->a);
	for (int i = 0; i < m->gaps; i++) {
		move(t, 1 + m->gap[i].room, 0, f->gap_in[i], 1);
		move(t, 0, m->gap[i].room < 0 ? -1 : 1 + m->gap[i].room, f->gap_out[i], 1);
	}
	for (int i = 0; i < m->doorways; i++) {
		int a = m->doorway[i].a < 0 ? -1 : 1 + m->doorway[i].a, b = m->doorway[i].b < 0 ? -1 : 1 + m->doorway[i].b;
		move(t, a, b, f->door_ab[i], 1);
		move(t, b, a, f->door_ba[i], 1);
	}
	for (int i = 0; i < m->rooms; i++)
		move(t, 1 + i, -1, f->leak_out[i] + m->room[i].exchange_kgs, 1);
	move_signed(t, 0, J, slot(sol, sol->s.m_clean), pass);
	move_signed(t, J, 0, slot(sol, sol->s.m_return), 1);
	move_signed(t, J, m->exhaust_to < 0 ? -1 : 1 + m->exhaust_to, slot(sol, sol->s.m_exhaust), 1);
	t->a[0] += box_sink;
	for (int i = 0; i < t->n; i++) /* a zone that nothing enters or leaves holds what it held: nothing of ours */
		if (t->a[i * t->n + i] <= 0)
			t->a[i * t->n + i] = 1e-12;
}

double inw_zone_density(const struct inw_solution *sol, int zone)
{
	const struct inw_model *m = &sol->m;

	if (zone == 0)
		return inw_model_air(m, sol->y[sol->s.T_box], m->w_box).rho;
	double T = sol->s.T_room[zone - 1] >= 0 ? sol->y[sol->s.T_room[zone - 1]] : m->room[zone - 1].T;
	return inw_model_air(m, T, m->room[zone - 1].humidity_ratio).rho;
}
