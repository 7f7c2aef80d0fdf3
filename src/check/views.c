/* SPDX-License-Identifier: MIT */
#include "check/views.h"

#include <math.h>
#include <string.h>

static const char *const face_name[INW_FACES] = {"top", "bottom", "front", "back", "left", "right"};

static double slot(const struct inw_solution *sol, int i, double absent)
{
	return i >= 0 ? sol->y[i] : absent;
}

static double room_T(const struct inw_solution *sol, int i)
{
	return slot(sol, sol->s.T_room[i], sol->m.room[i].T);
}

static double rho_at(const struct inw_solution *sol, double T)
{
	return inw_model_air(&sol->m, T, sol->m.w_box).rho;
}

static const char *room_name(const struct inw_design *d, int room)
{
	return room == INW_OUTDOORS ? "outdoors" : d->room[room].name;
}

static int gap_views(struct inw_state_view *v, const struct inw_study *s, const struct inw_case *c, struct inw_arena *arena)
{
	const struct inw_model *m = &c->sol.m;
	struct inw_gap_view *g = inw_arena_alloc(arena, sizeof *g * (size_t)(m->gaps + 1));
	double rho_box = rho_at(&c->sol, c->sol.y[c->sol.s.T_box]);

	if (!g)
		return -1;
	for (int i = 0; i < m->gaps; i++) {
		const struct inw_gap *d = &s->d->box.gap[m->gap_of[i]];
		double T = m->gap[i].room == INW_OUTDOORS ? m->T_out : room_T(&c->sol, m->gap[i].room), in = c->sol.f.gap_in[i] / rho_at(&c->sol, T), out = c->sol.f.gap_out[i] / rho_box;
		g[i] = (struct inw_gap_view){d->name, face_name[d->face], room_name(s->d, d->room), m->gap[i].z, m->gap[i].rise,
			c->sol.f.gap_dp_top[i], c->sol.f.gap_dp_bottom[i], in, out, c->o.gap_velocity_ms[i]};
		v->leak_in_m3s += in;
		v->leak_out_m3s += out;
	}
	v->gaps = g;
	v->gap_count = (size_t)m->gaps;
	return 0;
}

static int stage_views(struct inw_state_view *v, const struct inw_study *s, const struct inw_case *c, struct inw_arena *arena)
{
	const struct inw_solution *sol = &c->sol;
	struct inw_stage_view *g = inw_arena_alloc(arena, sizeof *g * (size_t)(sol->m.stages + 1));
	bool after = false;

	if (!g)
		return -1;
	for (int i = 0; i < sol->m.stages; i++) {
		const struct inw_model_stage *m = &sol->m.stage[i];
		double T = sol->y[after ? sol->s.T_junction : sol->s.T_in], rho = rho_at(sol, T), bypass = slot(sol, sol->s.m_bypass[i], 0) / rho;
		double q = sol->y[sol->s.m_clean] / rho;
		g[i] = (struct inw_stage_view){s->d->cleaner.stage[i].name, m->kind, sol->f.stage_dp[i], q, bypass, m->area > 0 ? (q - bypass) / m->area : NAN, T,
			m->kind == INW_STAGE_BED && q - bypass > 0 ? m->area * m->depth / (q - bypass) : NAN, c->o.cleaner.stage_Pa[i]};
		after |= m->kind == INW_STAGE_BLOWER;
	}
	v->stages = g;
	v->stage_count = (size_t)sol->m.stages;
	return 0;
}

static int room_views(struct inw_state_view *v, const struct inw_study *s, const struct inw_case *c, struct inw_arena *arena)
{
	struct inw_room_view *g = inw_arena_alloc(arena, sizeof *g * (s->d->rooms + 1));

	if (!g)
		return -1;
	for (size_t i = 0; i < s->d->rooms; i++)
		g[i] = (struct inw_room_view){s->d->room[i].name, room_T(&c->sol, (int)i), c->o.room_p_Pa[i], c->sol.f.room_heater_W[i], c->o.room_particles_m3[i]};
	v->rooms = g;
	v->room_count = s->d->rooms;
	struct inw_panel_view *p = inw_arena_alloc(arena, sizeof *p * INW_FACES);
	if (!p)
		return -1;
	for (int i = 0; i < INW_FACES; i++) {
		p[i] = (struct inw_panel_view){face_name[i], c->sol.y[c->sol.s.T_panel_in[i]], c->sol.y[c->sol.s.T_panel_out[i]], c->sol.f.panel_W[i], c->sol.m.panel[i].area};
		v->panels_W += p[i].loss_W;
	}
	v->panels = p;
	v->panel_count = INW_FACES;
	return 0;
}

/* The blower's rise, and what the rest of the train takes, over flow. The train's curve is that of the stages and ducts
 * scaled through the operating point: stages by their own law, ducts and openings by the square of the flow. */
static int curve_views(struct inw_state_view *v, const struct inw_case *c, struct inw_arena *arena)
{
	enum { POINTS = 41 };
	const struct inw_solution *sol = &c->sol;
	double *x = inw_arena_alloc(arena, 3 * POINTS * sizeof *x);

	if (!x)
		return -1;
	if (c->o.blower < 0)
		return 0;
	double *blower = x + POINTS, *train = blower + POINTS;
	struct inw_air air = inw_model_air(&sol->m, sol->y[sol->s.T_in], sol->m.w_box);
	double at = c->o.clean_m3s, own = 0, rise = 0, end = 0;
	for (int k = 0; k < sol->m.stages; k++)
		if (sol->m.stage[k].kind == INW_STAGE_BLOWER) {
			const struct inw_blower_curve *b = &sol->m.stage[k].curve;
			end = fmax(end, b->q[b->n - 1] * sol->m.stage[k].speed);
			rise += sol->f.stage_dp[k];
		} else {
			own += inw_resistance_drop(sol->m.stage[k].r, at, air.rho, air.mu).dp_Pa;
		}
	double rest = rise - own;
	for (int i = 0; i < POINTS; i++) {
		double q = x[i] = end * 1.02 * i / (POINTS - 1);
		for (int k = 0; k < sol->m.stages; k++)
			if (sol->m.stage[k].kind == INW_STAGE_BLOWER)
				blower[i] += inw_blower_rise(&sol->m.stage[k].curve, sol->m.stage[k].speed, q, air.rho).p_Pa;
			else
				train[i] += inw_resistance_drop(sol->m.stage[k].r, q, air.rho, air.mu).dp_Pa;
		if (at > 0)
			train[i] += rest * (q / at) * (q / at);
	}
	v->blower_curve = (struct inw_curve){x, blower, POINTS};
	v->train_curve = (struct inw_curve){x, train, POINTS};
	v->operating_rise_Pa = rise;
	v->operating_flow_m3s = at;
	return 0;
}

static void numbers(struct inw_state_view *v, const struct inw_study *s, const struct inw_case *c)
{
	const struct inw_solution *sol = &c->sol;
	const struct inw_model *m = &sol->m;
	const struct inw_cleaner *cl = &s->d->cleaner;
	double T = sol->y[sol->s.T_box], T_room = room_T(sol, m->box_room), rho_box = rho_at(sol, T), rho_room = rho_at(sol, T_room);

	v->box_T_K = T;
	v->box_p_Pa = sol->y[sol->s.p_box] - (sol->y[sol->s.p_room[m->box_room]] - inw_model_air(m, T_room, m->room[m->box_room].humidity_ratio).rho * INW_GRAVITY * m->stand);
	/* inward pressure at height z is -box_p - (rho_room - rho_box) g z: where it is zero, nothing flows */
	double slope = (rho_room - rho_box) * INW_GRAVITY, z = fabs(slope) > 1e-12 ? -v->box_p_Pa / slope : NAN;
	v->neutral_height_m = z >= 0 && z <= m->box_h ? z : NAN;
	v->mass_residual = sol->mass_closure;
	v->energy_residual = sol->energy_closure;
	v->plate_W = sol->f.plate_W;
	if (sol->s.m_clean < 0)
		return;
	v->cleaner_m3s = c->o.clean_m3s;
	double T_J = sol->y[sol->s.T_junction];
	v->return_m3s = slot(sol, sol->s.m_return, 0) / rho_at(sol, slot(sol, sol->s.T_return, T_J));
	v->exhaust_m3s = slot(sol, sol->s.m_exhaust, 0) / rho_at(sol, slot(sol, sol->s.T_exhaust, T_J));
	v->return_T_K = slot(sol, sol->s.T_return, NAN);
	v->exhaust_T_K = T_J;
	v->exhaust_end_T_K = slot(sol, sol->s.T_exhaust, NAN);
	if (cl->split == INW_SPLIT_FLAP && cl->position >= 0)
		v->flap_position = s->x[cl->position];
	if (c->o.blower >= 0)
		v->blower_speed = m->stage[c->o.blower].speed;
}

int inw_view(struct inw_state_view *v, const struct inw_study *s, int state, struct inw_arena *arena)
{
	const struct inw_case *c = &s->c[state];
	const struct inw_box *b = &s->d->box;
	const struct inw_cleaner *cl = &s->d->cleaner;

	memset(v, 0, sizeof *v);
	v->job = s->job->name;
	v->state = inw_states[state].name;
	v->converged = c->ok;
	v->iterations = c->sol.iterations;
	v->flap_position = v->neutral_height_m = v->return_T_K = v->exhaust_T_K = v->exhaust_end_T_K = NAN;
	v->box_width = s->x[b->width];
	v->box_depth = s->x[b->depth];
	v->box_height = s->x[b->height];
	v->inlet_height = cl->present && cl->inlet_height >= 0 ? s->x[cl->inlet_height] : 0;
	v->return_height = cl->present && cl->has_return && cl->return_height >= 0 ? s->x[cl->return_height] : 0;
	if (!c->ok) {
		v->box_T_K = v->box_p_Pa = NAN;
		return 0;
	}
	numbers(v, s, c);
	if (gap_views(v, s, c, arena) || stage_views(v, s, c, arena) || room_views(v, s, c, arena) || curve_views(v, c, arena))
		return -1;
	return 0;
}
