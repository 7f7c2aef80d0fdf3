/* SPDX-License-Identifier: MIT */
#include "solve/mover.h"

#include <math.h>
#include <string.h>

double inw_zone_volume(const struct inw_model *m, int zone)
{
	return zone ? m->room[zone - 1].volume : m->box_w * m->box_d * m->box_h;
}

void inw_mover_begin(struct inw_mover *m, const struct inw_solution stage[2])
{
	int J = 1 + stage[0].m.rooms;

	memset(m, 0, sizeof *m);
	m->n = J + 1;
	m->zones = J;
	for (int k = 0; k < 2; k++) {
		const struct inw_solution *sol = &stage[k];
		inw_transport_build(&m->t[k], sol, 1, 0);
		m->clean[k] = sol->s.m_clean >= 0 ? sol->y[sol->s.m_clean] : 0;
		m->rho[k] = inw_zone_density(sol, 0);
		m->mass[k][0] = m->rho[k] * sol->m.box_w * sol->m.box_d * sol->m.box_h;
		for (int i = 0; i < sol->m.rooms; i++)
			m->mass[k][1 + i] = inw_zone_density(sol, 1 + i) * sol->m.room[i].volume;
	}
	inw_mover_renew(m);
}

void inw_mover_renew(struct inw_mover *m)
{
	memset(m->leaves, 0, sizeof m->leaves);
	for (int k = 0; k < 2; k++)
		for (int i = 0; i < m->n * m->n; i++)
			m->leaves[k][i % m->n] += m->t[k].a[i];
	m->dt = 0;
}

/* Once for all kinds: both stages' matrices of a step so long. */
static void make_ready(struct inw_mover *m, double dt)
{
	const double share_dt = INW_SDIRK2_GAMMA * dt;

	for (int k = 0; k < 2; k++) {
		for (int i = 0; i < m->n * m->n; i++)
			m->matrix[k][i] = m->t[k].a[i] * (i < m->zones * m->n ? share_dt : 1); /* nothing is stored in the junction */
		for (int i = 0; i < m->n; i++)
			m->matrix[k][i * m->n + i] += m->mass[k][i];
	}
	m->dt = dt;
}

/* kg of air per second that the cleaner clears of each kind, and the zone it draws from. */
static inw_pair cleared(const struct inw_mover *m, int stage, const struct inw_two *two, int *from)
{
	*from = m->clean[stage] >= 0 ? 0 : m->zones;
	return fabs(m->clean[stage]) * (1 - two->pass);
}

/* a x = b, b becoming x; without row exchanges: but for factors on rows, each column's diagonal is at least the sum of the
 * rest, since what leaves a zone arrives in others or nowhere. 0, or -1. */
INW_INLINE int eliminate_as(inw_pair *restrict a, int n, inw_pair *restrict b)
{
	for (int k = 0; k < n; k++) {
		const inw_pair pivot = a[k * n + k], inverse = 1 / pivot;
		if (!(pivot[0] > 0 && pivot[1] > 0))
			return -1;
		for (int i = k + 1; i < n; i++) {
			const inw_pair factor = a[i * n + k] * inverse;
			for (int j = k + 1; j < n; j++)
				a[i * n + j] -= factor * a[k * n + j];
			b[i] -= factor * b[k];
		}
		a[k * n + k] = inverse;
	}
	for (int k = n - 1; k >= 0; k--) {
		for (int j = k + 1; j < n; j++)
			b[k] -= a[k * n + j] * b[j];
		b[k] *= a[k * n + k];
	}
	return 0;
}

/* The usual sizes, a room to three, without loops. */
static int eliminate(inw_pair *a, int n, inw_pair *b)
{
	switch (n) {
	case 3:
		return eliminate_as(a, 3, b);
	case 4:
		return eliminate_as(a, 4, b);
	case 5:
		return eliminate_as(a, 5, b);
	default:
		return eliminate_as(a, n, b);
	}
}

/* Mixing ratios at a stage whose amounts would be `base` but for this stage's own share. 0, or -1. */
static int stage_solve(const struct inw_mover *m, int stage, double share_dt, const struct inw_two *two, const inw_pair *base, inw_pair *y)
{
	inw_pair a[INW_MAX_ZONES * INW_MAX_ZONES];
	const inw_pair nothing = { 0 };
	int from, n = m->n;
	inw_pair taken = cleared(m, stage, two, &from);

	for (int i = 0; i < n * n; i++)
		a[i] = nothing + m->matrix[stage][i];
	a[(from ? 0 : m->zones) * n + from] += taken * (from ? share_dt : 1);
	a[0] += share_dt * two->wall_m3s * m->rho[stage];
	for (int i = 0; i < m->zones; i++) {
		a[i * n + i] += m->mass[stage][i] * share_dt * two->lost[stage][i];
		y[i] = base[i] + share_dt * two->won[stage][i];
	}
	y[0] += share_dt * two->source[stage];
	y[m->zones] = two->joins;
	return eliminate(a, n, y);
}

/* What an account counts besides what it holds, of both kinds. */
struct counts { inw_pair emitted, kept, walls, outdoors, merged; };

static struct counts gather(const struct inw_account *const from[2])
{
	const struct inw_account *a = from[0], *b = from[1];

	return (struct counts){{a->emitted, b->emitted}, {a->kept, b->kept}, {a->walls, b->walls}, {a->outdoors, b->outdoors}, {a->merged, b->merged}};
}

static void scatter(const struct counts *c, struct inw_account *to, int which)
{
	to->emitted = c->emitted[which];
	to->kept = c->kept[which];
	to->walls = c->walls[which];
	to->outdoors = c->outdoors[which];
	to->merged = c->merged[which];
}

/* What one stage moves out of the accounts: to outdoors, into cleaner and walls, and of that onto walls. */
static void count_stage(const struct inw_mover *m, int stage, double weight, const struct inw_two *two, const inw_pair *y, struct counts *c)
{
	int from;
	const inw_pair taken = cleared(m, stage, two, &from), walls = two->wall_m3s * m->rho[stage] * y[0];
	inw_pair outdoors = { 0 };

	for (int j = 0; j < m->n; j++)
		outdoors += m->leaves[stage][j] * y[j];
	c->outdoors += weight * outdoors;
	c->kept += weight * (taken * y[from] - two->joins + walls);
	c->walls += weight * walls;
	c->emitted += weight * two->source[stage];
}

/* What both hold in the end, its integral on from `held_s`, and the most that they ever held. */
static void hold(const struct inw_mover *m, const struct inw_two *two, inw_pair held_s[INW_MAX_ZONES])
{
	for (int which = 0; which < 2; which++) {
		struct inw_account *to = two->to[which];

		to->peak = two->from[which]->peak;
		for (int i = 0; i < m->zones; i++) {
			to->held[i] = two->amount[1][i][which];
			to->held_s[i] = held_s[i][which];
			to->peak = fmax(to->peak, to->held[i]);
		}
	}
}

void inw_mover_step(struct inw_mover *m, double dt, struct inw_two *two)
{
	inw_pair y[INW_MAX_ZONES], base[INW_MAX_ZONES], held[INW_MAX_ZONES], held_s[INW_MAX_ZONES];
	struct counts c = gather(two->from);

	if (m->dt != dt)
		make_ready(m, dt);
	for (int i = 0; i < m->zones; i++) {
		base[i] = held[i] = (inw_pair){two->from[0]->held[i], two->from[1]->held[i]};
		held_s[i] = (inw_pair){two->from[0]->held_s[i], two->from[1]->held_s[i]};
		two->joined[i] = (inw_pair){ 0 };
	}
	two->error = (inw_pair){ 0 };
	for (int k = 0; k < 2; k++) {
		double weight = dt * (k ? INW_SDIRK2_GAMMA : 1 - INW_SDIRK2_GAMMA);
		if (stage_solve(m, k, INW_SDIRK2_GAMMA * dt, two, base, y)) {
			two->error = (inw_pair){INFINITY, INFINITY};
			return;
		}
		count_stage(m, k, weight, two, y, &c);
		for (int i = 0; i < m->zones; i++) {
			const inw_pair now = y[i] * m->mass[k][i], met_here = weight * (two->lost[k][i] * now - two->won[k][i]);
			two->joined[i] += met_here;
			c.merged += met_here;
			two->amount[k][i] = now;
			held_s[i] += weight * now;
			if (k) /* gamma dt (k2 - k1) */
				two->error = inw_pair_larger(inw_pair_magnitude((now - base[i]) - (two->amount[0][i] - held[i])), two->error);
			else
				base[i] += (1 - INW_SDIRK2_GAMMA) / INW_SDIRK2_GAMMA * (now - held[i]);
		}
	}
	hold(m, two, held_s);
	for (int which = 0; which < 2; which++)
		scatter(&c, two->to[which], which);
}

/* The most that a zone holds, but what is next to nothing beside the worst of the day, or beside what the source gives in ten
 * seconds, may err. */
double inw_mover_scale(const struct inw_mover *m, double source, const struct inw_account *a, const struct inw_account *next)
{
	double most = fmax(1e-3 * next->peak, 10 * source);

	for (int i = 0; i < m->zones; i++)
		most = fmax(most, fmax(a->held[i], next->held[i]));
	return most;
}
