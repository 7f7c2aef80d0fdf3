/* SPDX-License-Identifier: MIT */
#include "solve/optimum.h"

#include <assert.h>
#include <math.h>
#include <nlopt.h>
#include <string.h>

enum { N = INW_OPTIMUM_FREE, M = INW_OPTIMUM_CONSTRAINTS };
/* of a coordinate: truncation and the solver's own noise (1e-10 of a level) both stay below a ten-thousandth of a slope */
static const double step = 1e-4;

/* A search as NLopt's callbacks see it. It asks for values and slopes of objective and constraints one after the other at
 * the same point: each is worked out once. */
struct search {
	struct inw_optimum *o;
	nlopt_opt opt;
	double asked[N];                /* the point as NLopt names it */
	double u[N], out[1 + M], slope[1 + M][N]; /* that within the box, and what is known there */
	bool known, sloped;
	double best_u[N], best_out[1 + M], best_missing;
	bool any;
	double mark_missing, mark_goal; /* of the best when it was last better by something to speak of */
	int stale;                      /* points since then */
};

/* ---- evaluations ---- */

static double missing(const struct inw_optimum *o, const double *out)
{
	double sum = 0;

	for (int i = 1; i <= o->m; i++)
		sum += fmax(-out[i], 0);
	return sum;
}

static void keep_best(struct search *s, const double *u, const double *out)
{
	const struct inw_optimum *o = s->o;
	double lack = missing(o, out);
	bool better = !s->any || lack < s->best_missing || (lack == s->best_missing && lack == 0 && out[0] < s->best_out[0]);

	if (!better)
		return;
	s->any = true;
	s->best_missing = lack;
	memcpy(s->best_u, u, sizeof(double) * (size_t)o->n);
	memcpy(s->best_out, out, sizeof(double) * (size_t)(1 + o->m));
}

static bool ask(struct search *s, const double *u, bool probe, double *out)
{
	struct inw_optimum *o = s->o;

	if (o->stopped)
		return false;
	o->used++;
	if (!o->at(o->context, u, probe, out)) {
		o->stopped = true;
		nlopt_force_stop(s->opt);
		return false;
	}
	keep_best(s, u, out);
	return true;
}

/* NLopt's own criteria look at points that keep every constraint only: a path along a curved one, each of its points a
 * trifle outside, is ended at its second step. */
static void watch(struct search *s)
{
	const double trifle = 1e-5, part = 0.99;
	const int patience = 12;
	bool nearer = s->best_missing < part * s->mark_missing;
	bool less = s->best_missing == 0 && s->best_out[0] < s->mark_goal - trifle * fabs(s->mark_goal);

	if (nearer || less || s->stale == 0) {
		s->mark_missing = s->best_missing;
		s->mark_goal = s->best_missing == 0 ? s->best_out[0] : HUGE_VAL;
		s->stale = 1;
	} else if (++s->stale > patience) {
		nlopt_force_stop(s->opt);
	}
}

/* SLSQP leaves the box by a rounding, and where its own equations have no solution it asks for a point that is no number:
 * nothing of either kind goes on from here. False: it is none. */
static bool into_box(struct search *s, const double *u)
{
	for (int i = 0; i < s->o->n; i++) {
		if (isnan(u[i]))
			return false;
		s->u[i] = fmin(fmax(u[i], 0), 1);
	}
	return true;
}

static bool go_to(struct search *s, const double *u)
{
	const size_t bytes = sizeof(double) * (size_t)s->o->n;

	if (s->known && memcmp(s->asked, u, bytes) == 0)
		return true;
	s->sloped = s->known = false;
	memcpy(s->asked, u, bytes);
	if (into_box(s, u))
		s->known = ask(s, s->u, false, s->out);
	else
		nlopt_force_stop(s->opt);
	if (s->known)
		watch(s);
	return s->known;
}

static bool find_slopes(struct search *s)
{
	double out[1 + M], u[N];

	for (int i = 0; i < s->o->n && !s->sloped; i++) {
		memcpy(u, s->u, sizeof(double) * (size_t)s->o->n);
		double by = u[i] + step <= 1 ? step : -step;
		u[i] += by;
		if (!ask(s, u, true, out))
			return false;
		for (int k = 0; k <= s->o->m; k++)
			s->slope[k][i] = (out[k] - s->out[k]) / by;
	}
	s->sloped = true;
	return true;
}

static bool know(struct search *s, const double *u, bool slopes)
{
	return go_to(s, u) && (!slopes || find_slopes(s));
}

/* ---- the least ---- */

static double objective(unsigned n, const double *u, double *slope, void *context)
{
	struct search *s = context;

	if (!know(s, u, slope != NULL))
		return HUGE_VAL;
	if (slope)
		memcpy(slope, s->slope[0], sizeof(double) * n);
	return s->out[0];
}

static void constraints(unsigned m, double *result, unsigned n, const double *u, double *slope, void *context)
{
	struct search *s = context;
	bool known = know(s, u, slope != NULL);

	for (unsigned i = 0; i < m; i++) {
		result[i] = known ? s->o->slack - s->out[1 + i] : 0;
		for (unsigned k = 0; slope && k < n; k++)
			slope[i * n + k] = known ? -s->slope[1 + i][k] : 0;
	}
}

static bool failed_by_memory(nlopt_result r)
{
	return r == NLOPT_OUT_OF_MEMORY;
}

static enum inw_status run(struct search *s, double *x, int n, nlopt_func f, nlopt_mfunc c, const double *high)
{
	struct inw_optimum *o = s->o;
	double tolerance[M], low[N + M] = {0}, least;
	nlopt_opt opt = nlopt_create(NLOPT_LD_SLSQP, (unsigned)n);
	enum inw_status status = INW_NO_MEMORY;

	if (!opt)
		return status;
	for (int i = 0; i < o->m; i++)
		tolerance[i] = 1e-6;
	s->opt = opt;
	int per = 1 + o->n; /* evaluations of ours for one of NLopt's */
	nlopt_set_maxeval(opt, o->most / per + 1);
	s->stale = 0;
	bool ready = nlopt_set_lower_bounds(opt, low) == NLOPT_SUCCESS && nlopt_set_upper_bounds(opt, high) == NLOPT_SUCCESS &&
		nlopt_set_min_objective(opt, f, s) == NLOPT_SUCCESS;
	if (ready && o->m > 0)
		ready = nlopt_add_inequality_mconstraint(opt, (unsigned)o->m, c, s, tolerance) == NLOPT_SUCCESS;
	if (ready && !failed_by_memory(nlopt_optimize(opt, x, &least)))
		status = INW_OK;
	nlopt_destroy(opt);
	return status;
}

/* ---- the nearest: each constraint may lack something at a price ---- */

static double lack(unsigned n, const double *x, double *slope, void *context)
{
	const struct search *s = context;
	double sum = 0;

	for (unsigned i = 0; i < n; i++) {
		bool free = (int)i < s->o->n;
		if (slope)
			slope[i] = free ? 0 : 1;
		sum += free ? 0 : x[i];
	}
	return sum;
}

static void softened(unsigned m, double *result, unsigned n, const double *x, double *slope, void *context)
{
	struct search *s = context;
	unsigned free = (unsigned)s->o->n;
	bool known = know(s, x, slope != NULL);

	if (known && s->best_missing == 0 && s->any)
		nlopt_force_stop(s->opt); /* that is near enough */
	for (unsigned i = 0; i < m; i++) {
		result[i] = known ? s->o->slack - s->out[1 + i] - x[free + i] : 0;
		for (unsigned k = 0; slope && k < n; k++)
			slope[i * n + k] = !known ? 0 : k < free ? -s->slope[1 + i][k] : k == free + i ? -1 : 0;
	}
}

static enum inw_status approach(struct search *s)
{
	const struct inw_optimum *o = s->o;
	double x[N + M], high[N + M];

	memcpy(x, s->best_u, sizeof(double) * (size_t)o->n);
	for (int i = 0; i < o->n; i++)
		high[i] = 1;
	for (int i = 0; i < o->m; i++) {
		x[o->n + i] = fmax(o->slack - s->best_out[1 + i], 0);
		high[o->n + i] = HUGE_VAL;
	}
	return run(s, x, o->n + o->m, lack, softened, high);
}

static enum inw_status descend(struct search *s)
{
	double x[N], high[N];

	memcpy(x, s->best_u, sizeof(double) * (size_t)s->o->n);
	for (int i = 0; i < s->o->n; i++)
		high[i] = 1;
	return run(s, x, s->o->n, objective, constraints, high);
}

/* ---- both ---- */

static bool begin(struct search *s, struct inw_optimum *o)
{
	double out[1 + M];

	assert(o->n >= 0 && o->n <= N && o->m >= 0 && o->m <= M);
	memset(s, 0, sizeof *s);
	s->o = o;
	o->stopped = o->good = false;
	o->used = 0;
	return ask(s, o->u, false, out);
}

static void end(struct search *s)
{
	struct inw_optimum *o = s->o;

	if (!s->any)
		return;
	memcpy(o->u, s->best_u, sizeof(double) * (size_t)o->n);
	memcpy(o->out, s->best_out, sizeof(double) * (size_t)(1 + o->m));
	o->good = s->best_missing == 0;
}

static enum inw_status search(struct inw_optimum *o, bool least)
{
	struct search s;
	enum inw_status status = INW_OK;

	if (begin(&s, o) && o->n > 0) {
		if (s.best_missing > 0)
			status = approach(&s);
		if (status == INW_OK && least && !o->stopped && s.best_missing == 0)
			status = descend(&s);
	}
	end(&s);
	return status;
}

enum inw_status inw_optimum_least(struct inw_optimum *o)
{
	return search(o, true);
}

enum inw_status inw_optimum_nearest(struct inw_optimum *o)
{
	return search(o, false);
}
