/* SPDX-License-Identifier: MIT */
#include "check/foretell.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/base.h"
#include "base/number.h"
#include "check/odds.h"
#include "solve/linear.h"

/* Without a blower the flows are of another kind: as long as nothing is learned such a state follows no other, and none follows it. */
static bool driven(int state)
{
	return inw_states[state].speed_factor > 0;
}

/* What nothing more is known of misses as the last one. */
static void follow_last(struct inw_foretelling *f, const bool *solved)
{
	int last = -1;

	memset(f->follows, 0, sizeof f->follows);
	for (int k = 0; k < INW_STATES; k++) {
		if (!solved[k] || !driven(k))
			continue;
		for (int i = 0; last >= 0 && i < INW_MAX_UNKNOWNS; i++)
			f->by[k][last][i] = 1;
		if (last >= 0)
			f->follows[k][last] = true;
		last = k;
	}
}

void inw_foretell_begin(struct inw_foretelling *f, const struct inw_case *nominal, const bool *solved)
{
	memset(f, 0, sizeof *f);
	f->nominal = nominal;
	follow_last(f, solved);
}

/* ---- what the inputs do ---- */

static void by_inputs(const struct inw_foretelling *f, int state, const double *z, double *y)
{
	const struct inw_solution *nominal = &f->nominal[state].sol;
	const int n = (nominal->s.n + 3) / 4 * 4; /* whole vectors: what is beyond n is zero */

	memcpy(y, nominal->y, sizeof nominal->y);
	for (size_t k = 0; k < f->leads[state]; k++) {
		const struct inw_lead *p = &f->lead[state][k];
		double a = z[p->input];
		for (int i = 0; i < n; i++)
			y[i] += a * (p->by[i] + a * p->by2[i]);
	}
}

static bool alike(const struct inw_case *c, const struct inw_case *nominal)
{
	return c->ok && nominal->ok && memcmp(&c->sol.s, &nominal->sol.s, sizeof nominal->sol.s) == 0;
}

/* What an input's two ends do to the solution of a state, as a parabola through both and none. False when that is too little
 * to spare a step: a thousandth of the natural sizes. */
static bool find_lead(struct inw_study *s, struct inw_case *c, const struct inw_case *nominal, int state, const struct inw_input *in, struct inw_lead *out)
{
	double z[2] = {fmax(-INW_Z_95, in->z_least), fmin(INW_Z_95, in->z_most)}, keep = s->x[in->q], d[2][INW_MAX_UNKNOWNS];
	double unknown[INW_MAX_UNKNOWNS], equation[INW_MAX_UNKNOWNS];
	bool any = false;

	inw_model_scales(&nominal->sol.m, &nominal->sol.s, unknown, equation);
	memset(d, 0, sizeof d);
	for (int e = 0; e < 2; e++) {
		s->x[in->q] = inw_input_value(in, z[e]);
		inw_design_follow(s->d, s->x, NULL, 0);
		inw_study_case(s, c, state, nominal, NULL);
		for (int i = 0; alike(c, nominal) && i < nominal->sol.s.n; i++)
			d[e][i] = c->sol.y[i] - nominal->sol.y[i];
	}
	s->x[in->q] = keep;
	inw_design_follow(s->d, s->x, NULL, 0);
	for (int i = 0; i < nominal->sol.s.n; i++) {
		double a = z[0] < 0 ? d[0][i] / z[0] : 0, b = z[1] > 0 ? d[1][i] / z[1] : 0;
		out->by[i] = z[0] < 0 && z[1] > 0 ? (a * z[1] - b * z[0]) / (z[1] - z[0]) : a + b;
		out->by2[i] = z[0] < 0 && z[1] > 0 ? (b - a) / (z[1] - z[0]) : 0;
		any |= fabs(out->by[i]) + fabs(out->by2[i]) > 1e-3 * unknown[i];
	}
	return any;
}

int inw_foretell_lead(struct inw_foretelling *f, const unsigned char *moves_air, struct inw_study *s, struct inw_case *c, const struct inw_inputs *in, int state, struct inw_arena *arena)
{
	struct inw_lead *lead = inw_arena_alloc(arena, sizeof *lead * (in->count + 1));
	double *x = inw_arena_alloc(arena, sizeof *x * (s->d->quantities + 1));
	size_t n = 0;

	if (!lead || !x)
		return -1;
	for (size_t q = 0; q < s->d->quantities; q++)
		x[q] = s->d->quantity[q].value;
	s->x = x;
	s->of_x = NULL;
	s->wanted = INW_WANT_AIR;
	s->care = INW_CARE_RANGE; /* whatever this worker solved before */
	for (size_t i = 0; i < in->count && f->nominal[state].ok; i++) {
		lead[n].input = (int)i;
		if (moves_air[in->input[i].q] && find_lead(s, c, &f->nominal[state], state, &in->input[i], &lead[n]))
			n++;
	}
	f->lead[state] = lead;
	f->leads[state] = n;
	return 0;
}

/* ---- what states have in common ---- */

/* The misses of the pilot: of sample i in state k at by[(i * INW_STATES + k) * INW_MAX_UNKNOWNS]; `sane`: known in all, and small
 * enough for what follows from what. */
struct lessons { const int *state; int states, samples; double *by; bool *sane; };

static double *miss_at(const struct lessons *l, int sample, int state)
{
	return &l->by[((size_t)sample * INW_STATES + (size_t)state) * INW_MAX_UNKNOWNS];
}

static bool look_at(const struct inw_foretelling *f, const struct lessons *l, int sample, const double *z, const double *y)
{
	double unknown[INW_MAX_UNKNOWNS], equation[INW_MAX_UNKNOWNS], foretold[INW_MAX_UNKNOWNS];
	bool sane = true;

	for (int j = 0; j < l->states; j++) {
		int k = l->state[j];
		const struct inw_solution *nominal = &f->nominal[k].sol;
		const double *at = &y[(size_t)k * INW_MAX_UNKNOWNS];
		inw_model_scales(&nominal->m, &nominal->s, unknown, equation);
		by_inputs(f, k, z, foretold);
		for (int i = 0; i < nominal->s.n; i++) {
			double by = miss_at(l, sample, k)[i] = at[i] - foretold[i];
			sane &= fabs(by) <= unknown[i];
		}
	}
	return sane;
}

/* Least squares of one unknown's misses in the last of the states on those in the ones before: normal equations, with a ridge, since
 * states of one box often miss by the same. Misses of a state that has fewer unknowns are zero. */
static bool fit(const struct lessons *l, int last, int unknown, double *by)
{
	const double ridge = 1e-4;
	double a[INW_STATES * INW_STATES] = {0}, sum = 0;
	int pivot[INW_STATES];

	memset(by, 0, sizeof *by * (size_t)last);
	for (int s = 0; s < l->samples; s++)
		for (int j = 0; l->sane[s] && j < last; j++) {
			double m = miss_at(l, s, l->state[j])[unknown];
			by[j] += m * miss_at(l, s, l->state[last])[unknown];
			sum += m * m;
			for (int k = 0; k < last; k++)
				a[j * last + k] += m * miss_at(l, s, l->state[k])[unknown];
		}
	for (int j = 0; j < last; j++)
		a[j * last + j] += ridge * sum / last + 1e-300; /* all zero: nothing follows */
	if (inw_lu_factor(a, pivot, last))
		return false;
	inw_lu_solve(a, pivot, last, by);
	return true;
}

static void learn_state(struct inw_foretelling *f, const struct lessons *l, int last)
{
	int state = l->state[last];
	double by[INW_STATES];

	for (int i = 0; i < f->nominal[state].sol.s.n; i++) {
		bool known = fit(l, last, i, by);
		for (int j = 0; j < last; j++)
			f->by[state][l->state[j]][i] = known ? by[j] : 0;
	}
	for (int j = 0; j < last; j++)
		f->follows[state][l->state[j]] = true;
}

int inw_foretell_learn(struct inw_foretelling *f, const bool *solved, const double *z, const double *y, size_t stride, int samples)
{
	enum { least = 4 }; /* samples for each number that is fitted */
	struct inw_arena *scratch = inw_arena_new((size_t)samples * INW_STATES * INW_MAX_UNKNOWNS * sizeof(double) + 65536);
	struct lessons l = {.samples = samples};
	int state[INW_STATES], sane = 0;

	l.by = scratch ? inw_arena_alloc(scratch, (size_t)samples * INW_STATES * INW_MAX_UNKNOWNS * sizeof *l.by) : NULL;
	l.sane = scratch ? inw_arena_alloc(scratch, (size_t)samples + 1) : NULL;
	if (!l.by || !l.sane) {
		inw_arena_free(scratch);
		return -1;
	}
	follow_last(f, solved);
	l.state = state;
	for (int k = 0; k < INW_STATES; k++)
		if (solved[k] && f->nominal[k].ok)
			state[l.states++] = k;
	for (int i = 0; i < samples; i++)
		sane += l.sane[i] = look_at(f, &l, i, &z[(size_t)i * stride], &y[(size_t)i * stride]);
	for (int last = 1; last < l.states && sane >= least * l.states; last++)
		learn_state(f, &l, last);
	inw_arena_free(scratch);
	return 0;
}

void inw_foretell_bends(struct inw_foretelling *f, const double *bend, size_t stride, int samples)
{
	enum { most = INW_ODDS_PILOT, least = 50 };
	const double left = 0.005, share = 0.98; /* 0.05 K, in so many samples (ours) */
	double sorted[most];

	assert(samples <= most);
	for (int k = 0; k < INW_STATES; k++) {
		int n = 0;
		for (int i = 0; i < samples; i++)
			if (isfinite(bend[(size_t)i * stride + (size_t)k]))
				sorted[n++] = bend[(size_t)i * stride + (size_t)k];
		qsort(sorted, (size_t)n, sizeof *sorted, inw_by_size);
		f->first_step[k] = n < least ? 0 : sqrt(left / fmax(sorted[(int)(share * (n - 1))], 1e-6));
	}
}

/* ---- one sample ---- */

void inw_foretell(const struct inw_foretelling *f, int state, const double *z, struct inw_misses *misses, double *y)
{
	int n = f->nominal[state].sol.s.n;

	by_inputs(f, state, z, misses->foretold);
	memcpy(y, misses->foretold, sizeof misses->foretold);
	for (int j = 0; j < state; j++)
		for (int i = 0; f->follows[state][j] && i < n; i++)
			y[i] += f->by[state][j][i] * misses->by[j][i];
}

bool inw_foretell_note(const struct inw_foretelling *f, int state, const struct inw_case *solved, struct inw_misses *misses)
{
	bool same = alike(solved, &f->nominal[state]);

	for (int i = 0; same && i < solved->sol.s.n; i++)
		misses->by[state][i] = solved->sol.y[i] - misses->foretold[i];
	return same;
}
