/* SPDX-License-Identifier: MIT */
/* odds_next.c: the next measurement (preposterior analysis: Raiffa & Schlaifer 1961, Applied Statistical Decision Theory,
 * memory).
 *
 * Of some thousands of samples it is kept which requirements each meets and what every test would see of it. A test is done in
 * each of them, with an error drawn anew; readings are sorted into classes of equal count; in each class the likelier of the
 * two answers, met or not met, is given. How often that is right, less how often the likelier answer without the test is, is
 * the test's gain. Both answers are always learnt from the other fifteen replicates, so chance flatters no test. A sample that
 * has nothing to read keeps the answer without the test.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "check/odds.h"
#include "judge/sentence.h"
#include "solve/sample.h"

enum { CLASSES = 16, UNREAD = CLASSES, HEAPS, COARSER = 4, TEST_SEED = 3000 };
static const double coarser[COARSER] = {1, 2, 4, 8};

struct reading { double seen; int row; };

struct next {
	struct inw_engine *e;
	size_t width, rows;
	const double **row;                            /* all that is kept */
	int *replicate, *klass;
	struct reading *reading;
	double (*count)[HEAPS];                        /* [replicates] */
	double (*met)[HEAPS];
};

/* A share of what is read is an even error of its logarithm. */
static bool by_share(int sight)
{
	return sight != INW_SEES_BOX_T && sight != INW_SEES_INWARD && sight != INW_SEES_SOUND;
}

static int by_reading(const void *a, const void *b)
{
	const struct reading *p = a, *q = b;

	return p->seen != q->seen ? (p->seen > q->seen) - (p->seen < q->seen) : p->row - q->row;
}

/* What the test reads of a true value: nothing at all is the least that a share can be of. */
static double read_one(const struct next *n, const struct inw_test *t, size_t test, double accuracy, size_t i, double true_value)
{
	double error = accuracy * inw_normal_quantile(inw_hash_unit(inw_hash(n->e->options->seed, TEST_SEED + test), i));

	if (!by_share(t->observes))
		return true_value + error;
	return true_value > 0 ? log(true_value) + error : -INFINITY;
}

/* Readings into classes. False when each is of nothing, or when too many samples have none. */
static bool read_all(struct next *n, const struct inw_test *t, size_t test, double accuracy)
{
	size_t read = 0;

	for (size_t i = 0; i < n->rows; i++) {
		double true_value = n->row[i][n->e->plan.outputs + t->observes];
		n->klass[i] = UNREAD;
		if (!isnan(true_value))
			n->reading[read++] = (struct reading){read_one(n, t, test, accuracy, i, true_value), (int)i};
	}
	if ((double)(n->rows - read) > INW_ODDS_MOST_SILENT * (double)n->rows)
		return false;
	qsort(n->reading, read, sizeof *n->reading, by_reading);
	for (size_t i = 0; i < read; i++) /* smoke tells inward from outward and no more */
		n->klass[n->reading[i].row] = t->observes == INW_SEES_INWARD ? n->reading[i].seen > 0 : (int)(i * CLASSES / read);
	return n->reading[read - 1].seen > -INFINITY;
}

static struct inw_estimate gain_of(struct next *n, int output)
{
	double count[HEAPS] = {0}, met[HEAPS] = {0}, all = 0, all_met = 0, r[INW_ODDS_REPLICATES];
	int replicates = 0;

	memset(n->count, 0, sizeof *n->count * INW_ODDS_REPLICATES);
	memset(n->met, 0, sizeof *n->met * INW_ODDS_REPLICATES);
	for (size_t i = 0; i < n->rows; i++) {
		n->count[n->replicate[i]][n->klass[i]]++;
		n->met[n->replicate[i]][n->klass[i]] += n->row[i][output];
	}
	for (int i = 0; i < INW_ODDS_REPLICATES; i++)
		for (int k = 0; k < HEAPS; k++) {
			count[k] += n->count[i][k];
			met[k] += n->met[i][k];
			all += n->count[i][k];
			all_met += n->met[i][k];
		}
	for (int i = 0; i < INW_ODDS_REPLICATES; i++) {
		double own = 0, own_met = 0, right = 0;
		for (int k = 0; k < HEAPS; k++) {
			own += n->count[i][k];
			own_met += n->met[i][k];
		}
		bool says_met = 2 * (all_met - own_met) >= all - own;
		for (int k = 0; k < HEAPS; k++) {
			bool says = k == UNREAD ? says_met : 2 * (met[k] - n->met[i][k]) >= count[k] - n->count[i][k];
			right += says ? n->met[i][k] : n->count[i][k] - n->met[i][k];
		}
		if (own > 0)
			r[replicates++] = (right - (says_met ? own_met : own - own_met)) / own;
	}
	return inw_estimate_of(r, replicates);
}

static int gather(struct next *n)
{
	struct inw_engine *e = n->e;
	size_t most = INW_ODDS_REPLICATES * INW_ODDS_STORED;

	n->width = (size_t)e->plan.outputs + INW_SIGHTS;
	n->row = inw_arena_alloc(e->arena, sizeof *n->row * most);
	n->replicate = inw_arena_alloc(e->arena, sizeof *n->replicate * most);
	n->klass = inw_arena_alloc(e->arena, sizeof *n->klass * most);
	n->reading = inw_arena_alloc(e->arena, sizeof *n->reading * most);
	n->count = inw_arena_alloc(e->arena, sizeof *n->count * INW_ODDS_REPLICATES);
	n->met = inw_arena_alloc(e->arena, sizeof *n->met * INW_ODDS_REPLICATES);
	if (!n->row || !n->replicate || !n->klass || !n->reading || !n->count || !n->met)
		return -1;
	for (int i = 0; i < INW_ODDS_REPLICATES; i++) {
		size_t count = (size_t)inw_tally_count(e->tally[i]);
		for (size_t k = 0; k < count && k < INW_ODDS_STORED; k++) {
			n->row[n->rows] = &e->stored[i][k * n->width];
			n->replicate[n->rows++] = i;
		}
	}
	return 0;
}

static void insert(struct inw_odds_verdict *v, const struct inw_odds_next *next)
{
	size_t at = v->nexts;

	while (at > 0 && v->next[at - 1].gain < next->gain)
		at--;
	if (at >= INW_ODDS_NEXT)
		return;
	size_t keep = v->nexts < INW_ODDS_NEXT ? v->nexts : INW_ODDS_NEXT - 1;
	memmove(&v->next[at + 1], &v->next[at], sizeof *v->next * (keep - at));
	v->next[at] = *next;
	v->nexts = keep + 1;
}

/* Where data are missing nothing that is measured makes a pass. */
static bool is_asked(const struct inw_odds_verdict *v)
{
	return !isnan(v->met) && !v->untold;
}

static bool one_test(struct next *n, size_t test, const struct inw_odds_test *told, struct inw_odds_verdict **verdict, struct inw_odds_next *best)
{
	const struct inw_test *t = &n->e->d->catalog.test[test];
	double accuracy = n->e->d->quantity[t->accuracy].value;
	int outputs = n->e->plan.outputs;

	for (int c = 0; c < COARSER; c++) {
		if (!read_all(n, t, test, accuracy * coarser[c]))
			return false;
		for (int o = 0; o < outputs; o++) {
			if (!is_asked(verdict[o]))
				continue;
			struct inw_estimate gain = gain_of(n, o);
			if (c == 0)
				best[o] = (struct inw_odds_next){told, gain.mean, gain.error, 1};
			else if (best[o].coarsest == coarser[c - 1] && gain.mean >= 0.9 * best[o].gain)
				best[o].coarsest = coarser[c];
		}
	}
	for (int o = 0; o < outputs; o++) /* what is less than half a per cent, or than its own error, is no gain */
		if (is_asked(verdict[o]) && best[o].gain > 0.005 && best[o].gain > best[o].gain_error)
			insert(verdict[o], &best[o]);
	return true;
}

static int tell_test(struct inw_engine *e, const struct inw_test *t, struct inw_odds_test *out)
{
	const struct inw_quantity *q = &e->d->quantity[t->accuracy];
	char *accuracy = inw_arena_printf(e->arena, by_share(t->observes) ? INW_N " of what is read" : INW_N, INW_V(q->dim, q->value));

	*out = (struct inw_odds_test){t->name, t->title, t->how, t->cost, accuracy, q->source};
	return accuracy ? 0 : -1;
}

int inw_odds_next(struct inw_engine *e, struct inw_odds *o, struct inw_odds_verdict **verdict)
{
	size_t tests = e->d->catalog.tests;
	struct inw_odds_test *told = inw_arena_alloc(e->arena, sizeof *told * (tests + 1));
	struct inw_odds_next *best = inw_arena_alloc(e->arena, sizeof *best * (size_t)e->plan.outputs);
	struct next *n = inw_arena_alloc(e->arena, sizeof *n);
	size_t useful = 0;

	if (!told || !best || !n)
		return -1;
	n->e = e;
	if (gather(n))
		return -1;
	for (size_t t = 0; t < tests && n->rows >= 64; t++) {
		if (e->d->catalog.test[t].accuracy < 0)
			continue;
		if (tell_test(e, &e->d->catalog.test[t], &told[useful]))
			return -1;
		useful += one_test(n, t, &told[useful], verdict, best);
	}
	o->tests = told;
	o->test_count = useful;
	return 0;
}
