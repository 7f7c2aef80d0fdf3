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

/* kg of air per second that the cleaner clears of this kind, and the zone it draws from. */
static double cleared(const struct inw_mover *m, int stage, int *from)
{
	*from = m->clean[stage] >= 0 ? 0 : m->zones;
	return fabs(m->clean[stage]) * (1 - m->pass);
}

/* a x = b, b becoming x; without row exchanges: but for factors on rows, each column's diagonal is at least the sum of the
 * rest, since what leaves a zone arrives in others or nowhere. 0, or -1. */
static inline __attribute__((always_inline)) int eliminate_as(double *restrict a, int n, double *restrict b)
{
	for (int k = 0; k < n; k++) {
		if (!(a[k * n + k] > 0))
			return -1;
		const double inverse = 1 / a[k * n + k];
		for (int i = k + 1; i < n; i++) {
			const double factor = a[i * n + k] * inverse;
			if (factor == 0)
				continue;
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
static int eliminate(double *a, int n, double *b)
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
static int stage_solve(const struct inw_mover *m, int stage, double share_dt, const double *base, double *y)
{
	double a[INW_MAX_ZONES * INW_MAX_ZONES];
	int from, n = m->n;
	double taken = cleared(m, stage, &from);

	memcpy(a, m->matrix[stage], sizeof *a * (size_t)(n * n));
	a[(from ? 0 : m->zones) * n + from] += taken * (from ? share_dt : 1);
	a[0] += share_dt * m->wall_m3s * m->rho[stage];
	for (int i = 0; i < n; i++) {
		a[i * n + i] += m->mass[stage][i] * share_dt * m->lost[stage][i];
		y[i] = i < m->zones ? base[i] + share_dt * m->won[stage][i] : 0;
	}
	y[0] += share_dt * m->source[stage];
	y[m->zones] = m->joins;
	return eliminate(a, n, y);
}

/* What one stage moves out of the account per second: to outdoors, into cleaner and walls, and of that onto walls. */
static void stage_losses(const struct inw_mover *m, int stage, const double *y, double *outdoors, double *kept, double *walls)
{
	int from;
	double taken = cleared(m, stage, &from);

	*outdoors = 0;
	for (int j = 0; j < m->n; j++)
		*outdoors += m->leaves[stage][j] * y[j];
	*walls = m->wall_m3s * m->rho[stage] * y[0];
	*kept = taken * y[from] - m->joins + *walls;
}

double inw_mover_step(struct inw_mover *m, double dt, const struct inw_account *a, struct inw_account *next, double *joined, double amount[2][INW_MAX_ZONES])
{
	double y[INW_MAX_ZONES], base[INW_MAX_ZONES], error = 0;

	if (m->dt != dt)
		make_ready(m, dt);
	*next = *a;
	memcpy(base, a->held, sizeof base);
	memset(joined, 0, sizeof(double) * INW_MAX_ZONES);
	for (int k = 0; k < 2; k++) {
		double weight = dt * (k ? INW_SDIRK2_GAMMA : 1 - INW_SDIRK2_GAMMA), outdoors, kept, walls;
		if (stage_solve(m, k, INW_SDIRK2_GAMMA * dt, base, y))
			return INFINITY;
		stage_losses(m, k, y, &outdoors, &kept, &walls);
		next->outdoors += weight * outdoors;
		next->kept += weight * kept;
		next->walls += weight * walls;
		next->emitted += weight * m->source[k];
		for (int i = 0; i < m->zones; i++) {
			double met_here = weight * (m->lost[k][i] * m->mass[k][i] * y[i] - m->won[k][i]);
			joined[i] += met_here;
			next->merged += met_here;
			amount[k][i] = y[i] * m->mass[k][i];
			next->held_s[i] += weight * amount[k][i];
			if (k) /* gamma dt (k2 - k1) */
				error = fmax(error, fabs((amount[1][i] - base[i]) - (amount[0][i] - a->held[i])));
			else
				base[i] += (1 - INW_SDIRK2_GAMMA) / INW_SDIRK2_GAMMA * (amount[0][i] - a->held[i]);
		}
	}
	memcpy(next->held, amount[1], sizeof(double) * (size_t)m->zones);
	for (int i = 0; i < m->zones; i++)
		next->peak = fmax(next->peak, next->held[i]);
	return error;
}

/* Against what an error counts: the most that a zone holds, but what is next to nothing beside the worst of the day, or
 * beside what the source gives in ten seconds, may err. */
double inw_mover_scale(const struct inw_mover *m, const struct inw_account *a, const struct inw_account *next)
{
	double most = fmax(1e-3 * next->peak, 10 * fmax(m->source[0], m->source[1]));

	for (int i = 0; i < m->zones; i++)
		most = fmax(most, fmax(a->held[i], next->held[i]));
	return most;
}
