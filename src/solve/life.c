/* SPDX-License-Identifier: MIT */
#include "solve/life.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* How far air may drift within a stretch with coarse = 1: chosen so that a full run from the same carbon differs by less
 * than the published doubt of anything that goes in (test/solve/test_life.c). */
static const double same_K = 2, same_flow = 0.1, source_drift = 0.2, longest = 3600;

/* ---- recording ---- */

/* a += share (b - a) */
static void towards(double *a, const double *b, double share, size_t n)
{
	for (size_t i = 0; i < n; i++)
		a[i] += share * (b[i] - a[i]);
}

/* Both stages as their mean over the step: b = (1 - gamma, gamma). */
static void even_out(struct inw_gas_drive *v)
{
	const double second = INW_SDIRK2_GAMMA;
	struct inw_mover *m = &v->air;

	towards(m->t[0].a, m->t[1].a, second, INW_MAX_ZONES * INW_MAX_ZONES);
	towards(m->mass[0], m->mass[1], second, INW_MAX_ZONES);
	towards(&m->clean[0], &m->clean[1], second, 1);
	towards(&m->rho[0], &m->rho[1], second, 1);
	for (int g = 0; g < INW_MAX_GASES; g++)
		v->source[g][0] += second * (v->source[g][1] - v->source[g][0]);
}

static void both_stages_alike(struct inw_gas_drive *v)
{
	struct inw_mover *m = &v->air;

	m->t[1] = m->t[0];
	memcpy(m->mass[1], m->mass[0], sizeof m->mass[0]);
	m->clean[1] = m->clean[0];
	m->rho[1] = m->rho[0];
	inw_mover_renew(m);
	for (int g = 0; g < INW_MAX_GASES; g++)
		v->source[g][1] = v->source[g][0];
}

static bool near(double a, double b, double share)
{
	return fabs(a - b) <= share * fmax(fabs(a), fabs(b));
}

/* A source that has died away to next to nothing may go on dying. */
static bool same_source(const struct inw_life_pattern *p, int gas, double a, double b)
{
	return near(a, b, source_drift * p->coarse) || fmax(a, b) <= 1e-3 * p->most[gas];
}

/* May this step join the stretch? */
static bool alike(const struct inw_life_pattern *p, const struct inw_life_stretch *a, const struct inw_gas_drive *b, const struct inw_day_sim *s)
{
	double coarse = p->coarse;
	bool same = a->drive.through == b->through && a->running == (s->job >= 0) && a->dt + s->step_s <= longest * coarse
		&& near(a->drive.air.clean[0], b->air.clean[0], same_flow * coarse);

	for (int k = 0; k < s->gas.carbon.beds && same; k++)
		same = fabs(a->drive.bed[k].T - b->bed[k].T) <= same_K * coarse && near(a->drive.bed[k].q, b->bed[k].q, same_flow * coarse);
	for (int g = 0; g < s->gas.count && same; g++)
		same = same_source(p, g, a->drive.source[g][0], b->source[g][0]);
	return same;
}

static_assert(sizeof(struct inw_bed_now) % sizeof(double) == 0 && sizeof(struct inw_near) == 4 * sizeof(double), "nothing but numbers, which join may average");

/* Join a step to a stretch: means by time. */
static void join(struct inw_life_stretch *a, const struct inw_life_stretch *b)
{
	double share = b->dt / (a->dt + b->dt);

	towards(a->drive.air.t[0].a, b->drive.air.t[0].a, share, INW_MAX_ZONES * INW_MAX_ZONES);
	towards(a->drive.air.mass[0], b->drive.air.mass[0], share, INW_MAX_ZONES);
	towards(&a->drive.air.clean[0], &b->drive.air.clean[0], share, 1);
	towards(&a->drive.air.rho[0], &b->drive.air.rho[0], share, 1);
	for (int k = 0; k < INW_DAY_BEDS; k++)
		towards((double *)&a->drive.bed[k], (const double *)&b->drive.bed[k], share, sizeof b->drive.bed[k] / sizeof(double));
	for (int g = 0; g < INW_MAX_GASES; g++)
		a->drive.source[g][0] += share * (b->drive.source[g][0] - a->drive.source[g][0]);
	towards(a->drive.pass, b->drive.pass, share, INW_MAX_GASES);
	towards((double *)&a->near, (const double *)&b->near, share, sizeof b->near / sizeof(double));
	towards(a->more, b->more, share, INW_MAX_GASES);
	towards(a->less, b->less, share, INW_MAX_GASES);
	a->most_carbon_K = fmax(a->most_carbon_K, b->most_carbon_K);
	a->dt += b->dt;
}

void inw_life_step(struct inw_life_stretch *out, const struct inw_day_sim *s)
{
	*out = (struct inw_life_stretch){.dt = s->step_s, .drive = s->drive, .running = s->job >= 0};
	if (s->d->box.near_radius >= 0) /* somebody works there */
		out->near = inw_near_now(&s->sol, s->x[s->d->box.near_radius], s->x[s->d->box.near_speed]);
	out->drive.warmth_known = true;
	out->drive.parts = 8; /* of eight hours the first is 2 minutes: nothing swings below zero where air changes a few times an hour */
	for (int k = 0; k < s->gas.carbon.beds; k++) {
		out->drive.bed[k].T += s->gas.carbon.bed[k].warmer_K;
		out->most_carbon_K = fmax(out->most_carbon_K, out->drive.bed[k].T);
	}
	even_out(&out->drive);
	both_stages_alike(&out->drive);
}

int inw_life_record(struct inw_life_pattern *p, const struct inw_day_sim *s, const struct inw_life_stretch *step)
{
	struct inw_life_stretch *last = p->count ? &p->stretch[p->count - 1] : NULL;

	for (int g = 0; g < s->gas.count; g++)
		p->most[g] = fmax(p->most[g], step->drive.source[g][0]);
	if (p->fresh || !last || !alike(p, last, &step->drive, s)) {
		if (p->count == p->capacity)
			return -1;
		last = &p->stretch[p->count++];
		*last = *step;
		last->t = p->length;
	} else {
		join(last, step);
		both_stages_alike(&last->drive);
	}
	p->length += s->step_s;
	p->fresh = false;
	return 0;
}

/* ---- again and again ---- */

int inw_life_advance(const struct inw_life_stretch *stretch, const struct inw_design *d, const struct inw_values *x, struct inw_gases *gas, struct inw_gases *next)
{
	struct inw_gas_drive drive = stretch->drive;
	double left = stretch->dt, h = left;

	while (left > 0) {
		bool last = h >= left * (1 - 1e-12);
		if (!(inw_gases_step(gas, &drive, d, x, last ? left : h, next) < INFINITY)) {
			h = (last ? left : h) / 4;
			if (h < 1e-3) /* s: as short as a day's steps get */
				return -1;
			continue;
		}
		inw_gases_copy(gas, next);
		left = last ? 0 : left - h;
		h *= 2;
	}
	return 0;
}

double inw_beds_held_kg(const struct inw_day_beds *b, const struct inw_bed_now *now, int slot)
{
	double sum = 0;

	for (int k = 0; k < b->beds; k++) {
		double q = 0;
		for (int j = 0; j < INW_BED_CELLS; j++)
			q += b->bed[k].q[j * inw_day_beds_slots(b) + slot];
		sum += q / INW_BED_CELLS * now[k].mass;
	}
	return sum;
}
