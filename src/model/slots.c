/* SPDX-License-Identifier: MIT */
/* slots.c: the order of the unknowns, where to start, and how large they naturally are (model.h, M1). */
#include "model/model.h"

#include <assert.h>
#include <math.h>
#include <string.h>

void inw_model_slots(const struct inw_model *m, struct inw_slots *s)
{
	int n = 0;

	memset(s, 0xff, sizeof *s); /* all -1 */
	/* what touches little first, what touches all last: elimination then fills in little */
	for (int i = 0; i < INW_FACES; i++) {
		int like = m->panel[i].like;
		s->T_panel_out[i] = like < i ? s->T_panel_out[like] : n++;
		s->T_panel_in[i] = like < i ? s->T_panel_in[like] : n++;
	}
	const struct inw_model_duct *duct[3] = {&m->inlet, m->has_return ? &m->ret : NULL, m->has_exhaust ? &m->exhaust : NULL};
	for (int i = 0; i < 3 && m->has_cleaner; i++)
		if (duct[i] && duct[i]->length > 0)
			s->T_skin[i] = n++;
	if (m->storing) {
		s->T_contents = n++;
		if (m->plate_on)
			s->T_plate = n++;
	}
	for (int i = 0; i < m->rooms; i++)
		if (!m->room[i].held)
			s->T_room[i] = n++;
	if (m->has_cleaner) {
		for (int k = 0; k < m->stages; k++)
			if (m->stage[k].has_bypass)
				s->m_bypass[k] = n++;
		if (m->has_return)
			s->T_return = n++;
		if (m->has_exhaust)
			s->T_exhaust = n++;
		s->T_in = n++;
	}
	s->T_star = n++;
	s->T_box = n++;
	for (int i = 0; i < m->rooms; i++)
		s->p_room[i] = n++;
	if (m->has_cleaner) {
		s->T_junction = n++;
		s->m_clean = n++;
		if (m->has_return)
			s->m_return = n++;
		if (m->has_exhaust)
			s->m_exhaust = n++;
		s->p_junction = n++;
	}
	s->p_box = n++;
	s->n = n;
	/* faces 12, ducts 3, stored 2, rooms 24, stages 12, ends 3, star and box 2, chain 5, and the box's pressure */
	assert(n <= INW_MAX_UNKNOWNS);
}

void inw_model_carry_over(const struct inw_slots *to, double *y, const struct inw_slots *from, const double *was)
{
	const int *a = (const int *)from, *b = (const int *)to;

	for (size_t i = 0; i < sizeof *to / sizeof(int) - 1; i++) /* all but the count */
		if (a[i] >= 0 && b[i] >= 0)
			y[b[i]] = was[a[i]];
}

/* Sum of the chain's losses less its rises at flow q, air of one temperature: increasing in q but for a blower's hump. */
static double chain_need(const struct inw_model *m, double q, const struct inw_air *a)
{
	double need = 0;

	for (int k = 0; k < m->stages; k++) {
		const struct inw_model_stage *g = &m->stage[k];
		need += g->kind == INW_STAGE_BLOWER ? -inw_blower_rise(&g->curve, g->speed, q, a->rho).p_Pa
		                                    : inw_resistance_drop(g->r, q, a->rho, a->mu).dp_Pa;
	}
	need += inw_resistance_drop(m->inlet.fittings, q, a->rho, a->mu).dp_Pa;
	const struct inw_model_duct *end = m->has_return ? &m->ret : &m->exhaust;
	if (m->has_return || m->has_exhaust)
		need += inw_resistance_drop(end->fittings, q, a->rho, a->mu).dp_Pa;
	return need;
}

/* Flow the chain would hold if the box were open: the largest root, by halving. */
static double chain_flow(const struct inw_model *m, const struct inw_air *a)
{
	double low = 0, high = 1e-4;

	while (chain_need(m, high, a) < 0 && high < 10)
		high *= 2;
	for (int i = 0; i < 40; i++) {
		double mid = 0.5 * (low + high);
		*(chain_need(m, mid, a) < 0 ? &low : &high) = mid;
	}
	return 0.5 * (low + high);
}

/* Two branches from one junction share the flow about as their open ports do: 1/sqrt of each loss. */
static double share_by_ports(const struct inw_model *m)
{
	double out = 1 / sqrt(m->exhaust.fittings.quad + 1e-9), back = 1 / sqrt(m->ret.fittings.quad + 1e-9);

	return out / (out + back);
}

void inw_model_guess(const struct inw_model *m, const struct inw_slots *s, double *y)
{
	double T_room = m->room[m->box_room].T, T = T_room + 15;

	if (m->heater != INW_HEATER_OFF && m->heater_target > T)
		T = m->heater_target;
	memset(y, 0, sizeof(double) * (size_t)s->n);
	struct inw_air room = inw_model_air(m, T_room, m->w_box), box = inw_model_air(m, T, m->w_box), out = inw_model_air(m, m->T_out, m->w_out);
	for (int i = 0; i < m->rooms; i++) {
		struct inw_air a = inw_model_air(m, m->room[i].T, m->room[i].humidity_ratio);
		/* neutral at mid-height against outdoors */
		y[s->p_room[i]] = (a.rho - out.rho) * INW_GRAVITY * 0.5 * m->room[i].height;
		if (s->T_room[i] >= 0)
			y[s->T_room[i]] = m->room[i].T;
	}
	for (int i = 0; i < m->doorways; i++) { /* air stands level across a doorway: lean each pair towards its mean */
		const struct inw_model_doorway *o = &m->doorway[i];
		if (o->a < 0 || o->b < 0)
			continue;
		double *a = &y[s->p_room[o->a]], *b = &y[s->p_room[o->b]];
		*a = *b = 0.5 * (*a + *b);
	}
	double mid = 0.5 * m->box_h;
	y[s->p_box] = y[s->p_room[m->box_room]] - room.rho * INW_GRAVITY * (m->stand + mid) + box.rho * INW_GRAVITY * mid;
	y[s->T_box] = T;
	for (int i = 0; i < INW_FACES; i++) {
		y[s->T_panel_in[i]] = T - 0.4 * (T - T_room);
		y[s->T_panel_out[i]] = T - 0.6 * (T - T_room);
	}
	y[s->T_star] = T - 0.3 * (T - T_room);
	if (s->T_contents >= 0)
		y[s->T_contents] = T;
	if (s->T_plate >= 0)
		y[s->T_plate] = m->plate_T > 0 ? m->plate_T : T; /* 0: switched off */
	if (!m->has_cleaner)
		return;
	double flow = box.rho * chain_flow(m, &box), share = m->fixed_share ? m->share : share_by_ports(m);
	y[s->m_clean] = m->has_return || m->has_exhaust ? flow : 0;
	y[s->T_in] = T;
	y[s->T_junction] = T + 1;
	if (s->m_return >= 0) {
		y[s->m_return] = s->m_exhaust >= 0 ? (1 - share) * flow : flow;
		y[s->T_return] = T;
	}
	if (s->m_exhaust >= 0) {
		y[s->m_exhaust] = s->m_return >= 0 ? share * flow : flow;
		y[s->T_exhaust] = T;
	}
	for (int i = 0; i < 3; i++)
		if (s->T_skin[i] >= 0)
			y[s->T_skin[i]] = 0.5 * (T + T_room);
	for (int k = 0; k < m->stages; k++)
		if (s->m_bypass[k] >= 0)
			y[s->m_bypass[k]] = flow * m->stage[k].r.lin / (m->stage[k].r.lin + m->stage[k].seal.lin);
	double top = m->inlet_z;
	y[s->p_junction] = y[s->p_box] - box.rho * INW_GRAVITY * top + 1;
}

void inw_model_scales(const struct inw_model *m, const struct inw_slots *s, double *unknown, double *equation)
{
	const double flow = 1e-3, pressure = 10, temperature = 10, heat = 10; /* kg/s, Pa, K, W: a small box's own sizes */

	for (int i = 0; i < s->n; i++)
		unknown[i] = temperature, equation[i] = heat;
	/* A thin metal sheet conducts so well that the rounding of its two temperatures alone is a heat of 1e-13 K times its
	 * conductance: its balance cannot be closed better. */
	for (int i = 0; i < INW_FACES; i++) {
		double G = m->panel[m->panel[i].like].alike * m->panel[i].area / m->panel[i].resistance;
		equation[s->T_panel_in[i]] = equation[s->T_panel_out[i]] = fmax(heat, 0.02 * G);
	}
	unknown[s->p_box] = pressure;
	equation[s->p_box] = m->box_pinned ? pressure : flow;
	for (int i = 0; i < m->rooms; i++) {
		unknown[s->p_room[i]] = pressure;
		equation[s->p_room[i]] = m->room[i].pinned ? pressure : flow;
	}
	if (m->heater == INW_HEATER_HOLDS)
		equation[s->T_box] = temperature;
	if (s->T_plate >= 0 && m->plate == INW_PLATE_HOLDS)
		equation[s->T_plate] = temperature;
	if (!m->has_cleaner)
		return;
	unknown[s->p_junction] = pressure;
	equation[s->p_junction] = flow;
	equation[s->T_in] = temperature;
	int mass[] = {s->m_clean, s->m_return, s->m_exhaust}, end[] = {s->T_return, s->T_exhaust};
	for (int i = 0; i < 3; i++)
		if (mass[i] >= 0)
			unknown[mass[i]] = flow, equation[mass[i]] = pressure;
	for (int i = 0; i < 2; i++)
		if (end[i] >= 0)
			equation[end[i]] = temperature;
	for (int k = 0; k < m->stages; k++)
		if (s->m_bypass[k] >= 0)
			unknown[s->m_bypass[k]] = flow, equation[s->m_bypass[k]] = pressure;
	if (m->fixed_share)
		equation[s->m_exhaust] = flow;
}

void inw_model_capacity(const struct inw_model *m, const struct inw_slots *s, const double *y, double *capacity)
{
	double volume = m->box_w * m->box_d * m->box_h;

	memset(capacity, 0, sizeof(double) * (size_t)s->n);
	if (m->heater != INW_HEATER_HOLDS) /* a held temperature is an instant equation */
		capacity[s->T_box] = volume * inw_model_air(m, y[s->T_box], m->w_box).rho * inw_air_heat_capacity_JkgK(m->w_box);
	for (int i = 0; i < INW_FACES; i++) /* half of the sheet to each face */
		capacity[s->T_panel_in[i]] = capacity[s->T_panel_out[i]] = 0.5 * m->panel[m->panel[i].like].alike * m->panel[i].capacity;
	for (int i = 0; i < m->rooms; i++)
		if (s->T_room[i] >= 0)
			capacity[s->T_room[i]] = m->room[i].capacity;
	if (s->T_contents >= 0)
		capacity[s->T_contents] = m->contents;
	if (s->T_plate >= 0 && m->plate != INW_PLATE_HOLDS)
		capacity[s->T_plate] = m->plate_capacity;
	if (s->T_junction >= 0)
		capacity[s->T_junction] = m->cleaner_capacity;
}
