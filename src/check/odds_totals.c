/* SPDX-License-Identifier: MIT */
/* odds_totals.c: total indices by Jansen's estimator (1999, Comput. Phys. Commun. 117:35-43, memory) in a radial design: from
 * each of some base samples every input in question is redrawn alone. Only the inputs with the largest shares are asked. */
#include <math.h>
#include <string.h>

#include "check/odds.h"
#include "solve/sample.h"

enum { MOST_ASKED = 16, TOTALS_SEED = 2000 };

struct totals {
	struct inw_desk *desk;
	int asked[MOST_ASKED], askeds;
	size_t base;
	double *sum[INW_ODDS_REPLICATES]; /* [askeds][outputs + 1], halved squares of differences */
	struct inw_arena *arena;
	struct inw_sampler sampler[INW_ODDS_REPLICATES];
};

static double on_scale(const struct inw_tally_range *r, double y)
{
	return isnan(y) ? 0.5 * (r->from + r->to) : fmin(fmax(y, r->from), r->to);
}

static int one_replicate(struct inw_engine *e, void *context, unsigned worker, int item)
{
	struct totals *t = context;
	struct inw_desk *k = &t->desk[worker];
	size_t outputs = (size_t)e->plan.outputs;
	double at[INW_MAX_MEASURES * 8];

	for (size_t i = 0; i < t->base; i++) {
		inw_sampler_point(&t->sampler[item], i, k->u);
		if (inw_engine_stopped(e, worker))
			return 0;
		if (inw_engine_sample(e, worker, k, false, false))
			return -1;
		for (size_t o = 0; o < outputs; o++)
			at[o] = on_scale(&e->range[o], k->mark[o].scaled);
		for (int a = 0; a < t->askeds; a++) {
			double keep = k->u[t->asked[a]];
			k->u[t->asked[a]] = k->u[e->in.drivers + (size_t)a];
			if (inw_engine_sample(e, worker, k, false, false))
				return -1;
			k->u[t->asked[a]] = keep;
			for (size_t o = 0; o < outputs; o++) {
				double apart = on_scale(&e->range[o], k->mark[o].scaled) - at[o];
				t->sum[item][(size_t)a * outputs + o] += 0.5 * apart * apart;
			}
		}
	}
	return 0;
}

static int driver_named(const struct inw_engine *e, const char *name)
{
	for (size_t d = 0; d < e->in.drivers; d++)
		if (e->in.driver[d] == name)
			return (int)d;
	return -1;
}

static int asked_at(const struct totals *t, int driver)
{
	for (int a = 0; a < t->askeds; a++)
		if (t->asked[a] == driver)
			return a;
	return -1;
}

/* The largest share of each verdict first, then the second of each, as far as there is room. */
static void ask(struct totals *t, const struct inw_engine *e, struct inw_odds_verdict **verdict)
{
	for (size_t rank = 0; rank < INW_ODDS_INFLUENCES; rank++)
		for (int o = e->plan.outputs - 1; o >= 0; o--) { /* of all at once first */
			if (rank >= verdict[o]->influences || isnan(verdict[o]->met) || t->askeds == MOST_ASKED)
				continue;
			int d = driver_named(e, verdict[o]->influence[rank].name);
			if (asked_at(t, d) < 0)
				t->asked[t->askeds++] = d;
		}
}

/* A total holds the first within it: what falls short of that by no more than both err is as much; what does by more, or errs
 * by more than a tenth (ours), is not told. */
static void tell(struct inw_odds_influence *f, struct inw_estimate total)
{
	const double most = 0.1;

	if (!(total.error <= most) || total.mean + total.error < f->first - f->first_error)
		return;
	f->total = fmax(total.mean, f->first);
	f->total_error = total.error;
}

static void answer(const struct totals *t, const struct inw_engine *e, struct inw_odds_verdict **verdict)
{
	for (int o = 0; o < e->plan.outputs; o++)
		for (size_t k = 0; k < verdict[o]->influences; k++) {
			struct inw_odds_influence *f = &verdict[o]->influence[k];
			int a = asked_at(t, driver_named(e, f->name));
			double r[INW_ODDS_REPLICATES], variance = inw_tally_variance(e->whole, &e->plan, o);
			if (a < 0 || !(variance > 0))
				continue;
			for (int i = 0; i < INW_ODDS_REPLICATES; i++)
				r[i] = t->sum[i][a * e->plan.outputs + o] / (double)t->base / variance;
			tell(f, inw_estimate_of(r, INW_ODDS_REPLICATES));
		}
}

static int prepare(struct totals *t, struct inw_engine *e)
{
	t->desk = inw_arena_alloc(t->arena, sizeof *t->desk * e->threads);
	if (!t->desk)
		return -1;
	for (unsigned k = 0; k < e->threads; k++)
		if (inw_desk_make(&t->desk[k], e, t->arena))
			return -1;
	for (int i = 0; i < INW_ODDS_REPLICATES; i++) {
		t->sum[i] = inw_arena_alloc(t->arena, sizeof(double) * (size_t)(MOST_ASKED * e->plan.outputs));
		if (!t->sum[i] || inw_sampler_make(&t->sampler[i], inw_hash(e->options->seed, TOTALS_SEED + (uint64_t)i), e->in.drivers + (size_t)t->askeds, t->arena))
			return -1;
	}
	return 0;
}

int inw_odds_totals(struct inw_engine *e, struct inw_odds_verdict **verdict, size_t base)
{
	struct totals *t = inw_arena_alloc(e->arena, sizeof *t);
	int bad = -1;

	if (!t)
		return -1;
	if (base < 2 || e->plan.outputs > INW_MAX_MEASURES * 8)
		return 0;
	t->base = base;
	t->arena = inw_arena_new((size_t)1 << 28);
	ask(t, e, verdict);
	if (t->arena && !prepare(t, e)) {
		inw_engine_spread(e, INW_ODDS_REPLICATES, one_replicate, t);
		bad = e->failed ? -1 : 0;
		if (!bad && !e->stopped)
			answer(t, e, verdict);
	}
	inw_arena_free(t->arena);
	return bad;
}
