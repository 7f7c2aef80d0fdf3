/* SPDX-License-Identifier: MIT */
/* odds.c: the sampling engine.
 *
 * Sixteen independent scrambles of Sobol' points are walked along, each by one thread at a time and into a tally of its own,
 * in rounds at whose ends the tallies are looked at: so what comes out depends neither on the number of threads nor on
 * where a run was interrupted. A pilot, from a scramble of its own, lays out the histograms and chooses what is solved.
 */
#include "check/odds.h"
#include "check/trial.h"

#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/number.h"
#include "base/whole_file.h"
#include "solve/sample.h"

enum { MOST_THREADS = 64, PILOT_SEED = 1000 };
static const size_t ceiling = (size_t)1 << 30; /* bytes, of all that a run holds: none of it grows with the samples */

/* ---- outputs ---- */

double inw_output_margin(const struct inw_output *o, double value)
{
	const struct inw_measure m = {.sense = o->sense, .limit = o->limit, .limit_high = o->limit_high};

	return inw_measure_margin(&m, value);
}

static double least_of(const struct inw_output *o)
{
	return isfinite(o->limit) && o->limit > 0 ? 1e-9 * o->limit : 1e-300; /* as for ranges: below it a number counts as nothing */
}

double inw_output_scaled(const struct inw_output *o, double v)
{
	switch (o->scale) {
	case INW_SCALE_LOG: return isnan(v) ? NAN : log(fmax(v, least_of(o)));
	case INW_SCALE_LOG_REST: return isnan(v) ? NAN : -log(fmax(1 - v, 1e-16));
	case INW_SCALE_ASINH: return o->limit > 0 ? asinh(v / o->limit) : v;
	case INW_SCALE_LINEAR: break;
	}
	return v;
}

/* Where numbers scatter by factors, what is next to nothing has no place among them. */
static double placed(const struct inw_output *o, double v)
{
	return o->scale == INW_SCALE_LOG && v <= least_of(o) ? -INFINITY : inw_output_scaled(o, v);
}

double inw_output_unscaled(const struct inw_output *o, double y)
{
	switch (o->scale) {
	case INW_SCALE_LOG: return exp(y) > 1.001 * least_of(o) ? exp(y) : 0;
	case INW_SCALE_LOG_REST: return 1 - exp(-y);
	case INW_SCALE_ASINH: return o->limit > 0 ? o->limit * sinh(y) : y;
	case INW_SCALE_LINEAR: break;
	}
	return y;
}

bool inw_quantity_is_drawn(const struct inw_quantity *q)
{
	bool choice = strncmp(q->path, "require.", 8) == 0 && strcmp(q->path, "require.mixing") != 0 && strcmp(q->path, "require.noise_distance") != 0;

	return q->low < q->high && !choice;
}

/* ---- threads ---- */

struct spread {
	struct inw_engine *e;
	int items;
	int (*job)(struct inw_engine *e, void *context, unsigned worker, int item);
	void *context;
	atomic_int next;
	atomic_bool halt;
};
struct hand { struct spread *s; unsigned worker; int failed; };

static _Thread_local struct spread *now_in; /* what the calling thread works on; only inw_engine_stopped reads it */

static void *work(void *context)
{
	struct hand *h = context;
	struct spread *s = h->s;

	now_in = s;
	for (int item; !atomic_load(&s->halt) && (item = atomic_fetch_add(&s->next, 1)) < s->items;)
		if (s->job(s->e, s->context, h->worker, item)) {
			h->failed = 1;
			atomic_store(&s->halt, true);
		}
	now_in = NULL;
	return NULL;
}

bool inw_engine_stopped(struct inw_engine *e, unsigned worker)
{
	struct spread *s = now_in;

	if (worker == 0 && e->options->stop && e->options->stop(e->options->context))
		atomic_store(&s->halt, true);
	return atomic_load(&s->halt);
}

void inw_engine_spread(struct inw_engine *e, int items, int (*job)(struct inw_engine *e, void *context, unsigned worker, int item), void *context)
{
	struct spread s = {.e = e, .items = items, .job = job, .context = context};
	struct hand hand[MOST_THREADS] = {0};
	pthread_t thread[MOST_THREADS];
	bool runs[MOST_THREADS] = {false};

	atomic_init(&s.next, 0);
	atomic_init(&s.halt, false);
	for (unsigned k = 0; k < e->threads; k++)
		hand[k] = (struct hand){&s, k, 0};
	for (unsigned k = 1; k < e->threads; k++) /* without a thread the others do its work */
		runs[k] = pthread_create(&thread[k], NULL, work, &hand[k]) == 0;
	work(&hand[0]);
	for (unsigned k = 1; k < e->threads; k++)
		if (runs[k])
			pthread_join(thread[k], NULL);
	for (unsigned k = 0; k < e->threads; k++)
		e->failed |= hand[k].failed;
	e->stopped |= atomic_load(&s.halt) && !e->failed;
}

/* ---- one sample ---- */

int inw_desk_make(struct inw_desk *d, const struct inw_engine *e, struct inw_arena *arena)
{
	size_t outputs = (size_t)e->s.outputs + 1, n = e->d->quantities;

	d->u = inw_arena_alloc(arena, sizeof(double) * (2 * e->in.drivers + 64));
	d->z = inw_arena_alloc(arena, sizeof(double) * (e->in.count + 1));
	d->x = inw_arena_alloc(arena, sizeof(double) * (n + 1));
	d->value = inw_arena_alloc(arena, sizeof(double) * outputs);
	d->closer = inw_arena_alloc(arena, sizeof(double) * outputs);
	d->see = inw_arena_alloc(arena, sizeof(double) * INW_SIGHTS);
	d->mark = inw_arena_alloc(arena, sizeof *d->mark * outputs);
	if (!d->u || !d->z || !d->x || !d->value || !d->closer || !d->see || !d->mark)
		return -1;
	for (size_t q = 0; q < n; q++)
		d->x[q] = e->d->quantity[q].value;
	return 0;
}

static bool is_met(const struct inw_output *o, double v)
{
	return o->sense != INW_NO_LIMIT && inw_output_margin(o, v) >= 0;
}

/* A sample's own verdict counts before its number. Of a bound it is known what is met with all that lies beyond it; the rest
 * is undecided, and not met. What is more than the limit itself is beyond it. */
static void apply_meaning(struct inw_tally_mark *m, const struct inw_output *o, struct inw_meant as)
{
	bool met_beyond = is_met(o, as.bound > 0 ? INFINITY : -INFINITY);
	double margin = inw_output_margin(o, m->value);

	m->bound = as.bound;
	if (o->sense == INW_NO_LIMIT)
		return;
	if (as.verdict) {
		m->met = as.verdict > 0;
	} else if (as.bound) {
		m->undecided = met_beyond ? margin < 0 : margin > 0;
		m->met &= met_beyond;
	}
}

/* From desk->u to desk->mark (and desk->see). */
int inw_engine_sample(struct inw_engine *e, unsigned worker, struct inw_desk *k, bool look, bool see)
{
	const struct inw_subject *s = &e->s;
	bool all = true, all_closer = true;

	inw_inputs_at(&e->in, e->d, k->u, k->z, k->x);
	if (s->values(s->worker[worker], k->x, k->z, k->value, see ? k->see : NULL))
		return -1;
	const struct inw_meant *meant = s->meant ? s->meant(s->worker[worker]) : NULL;
	look &= s->looks;
	if (look && s->closer(s->worker[worker], k->x, k->z, k->closer, NULL))
		return -1;
	for (int i = 0; i < s->outputs; i++) {
		const struct inw_output *o = &s->output[i];
		struct inw_tally_mark *m = &k->mark[i];
		*m = (struct inw_tally_mark){.value = k->value[i], .scaled = placed(o, k->value[i]), .met = is_met(o, k->value[i]), .looked_at = look};
		if (meant)
			apply_meaning(m, o, meant[i]);
		bool met_closer = look ? is_met(o, k->closer[i]) : m->met, counts = o->sense != INW_NO_LIMIT && !o->untold;
		m->otherwise = m->met != met_closer;
		all &= m->met || !counts;
		all_closer &= met_closer || !counts;
	}
	k->mark[s->outputs] = (struct inw_tally_mark){.value = all, .scaled = all, .met = all, .looked_at = look, .otherwise = all != all_closer};
	return 0;
}

/* ---- the pilot ---- */

struct pilot { struct inw_sampler sampler; struct inw_desk *desk; double *value, *detail; };

static int pilot_sample(struct inw_engine *e, void *context, unsigned worker, int item)
{
	struct pilot *p = context;
	struct inw_desk *k = &p->desk[worker];
	size_t outputs = (size_t)e->s.outputs;

	if (inw_engine_stopped(e, worker))
		return 0;
	inw_sampler_point(&p->sampler, (uint64_t)item, k->u);
	inw_inputs_at(&e->in, e->d, k->u, k->z, k->x);
	return e->s.closer(e->s.worker[worker], k->x, k->z, &p->value[(size_t)item * outputs], p->detail ? &p->detail[(size_t)item * e->s.detail] : NULL);
}

/* Ends of an output's histogram: what the pilot found from its 2 to its 98 %, and three quarters of that more at each end,
 * which of a normal distribution is five standard deviations. */
static struct inw_tally_range range_of(const struct inw_output *o, const double *value, int samples, size_t stride, double *sorted)
{
	int n = 0;

	for (int i = 0; i < samples; i++) {
		double y = placed(o, value[(size_t)i * stride]);
		if (isfinite(y))
			sorted[n++] = y;
	}
	if (n == 0)
		return (struct inw_tally_range){-1, 1};
	qsort(sorted, (size_t)n, sizeof *sorted, inw_by_size);
	double from = sorted[(int)(0.02 * (n - 1))], to = sorted[(int)ceil(0.98 * (n - 1))], more = fmax(0.75 * (to - from), 1e-6 * fmax(fabs(from), 1e-6));
	return (struct inw_tally_range){from - more, to + more};
}

static int run_pilot(struct inw_engine *e, struct inw_desk *desk)
{
	size_t outputs = (size_t)e->s.outputs;
	int samples = e->s.detail ? INW_ODDS_PILOT : INW_ODDS_PILOT_FEW;
	struct inw_arena *scratch = inw_arena_new(ceiling);
	struct pilot p = {.desk = desk};
	double *sorted = scratch ? inw_arena_alloc(scratch, sizeof *sorted * (size_t)samples) : NULL;
	int bad = -1;

	if (!sorted || inw_sampler_make(&p.sampler, inw_hash(e->options->seed, PILOT_SEED), e->in.drivers, scratch))
		goto done;
	p.value = inw_arena_alloc(scratch, sizeof(double) * outputs * (size_t)samples + 1);
	p.detail = e->s.detail ? inw_arena_alloc(scratch, sizeof(double) * e->s.detail * (size_t)samples) : NULL;
	if (!p.value || (e->s.detail && !p.detail))
		goto done;
	inw_engine_spread(e, samples, pilot_sample, &p);
	bad = e->failed ? -1 : 0;
	if (bad || e->stopped)
		goto done;
	if (e->s.plan && (bad = e->s.plan(&e->s, p.detail, samples)) != 0)
		goto done;
	for (size_t i = 0; i < outputs; i++)
		e->range[i] = range_of(&e->s.output[i], &p.value[i], samples, outputs, sorted);
	e->range[outputs] = (struct inw_tally_range){-0.001, 1.001};
done:
	inw_arena_free(scratch);
	return bad;
}

/* ---- rounds ---- */

struct rounds { struct inw_sampler *sampler; struct inw_desk *desk; size_t target; atomic_size_t done; double began_share; size_t most; };

static void keep_sample(struct inw_engine *e, int replicate, size_t index, const struct inw_desk *k)
{
	size_t outputs = (size_t)e->s.outputs + 1, width = outputs + INW_SIGHTS;
	double *row = &e->stored[replicate][index * width];

	for (size_t i = 0; i < outputs; i++)
		row[i] = k->mark[i].met;
	memcpy(&row[outputs], k->see, sizeof(double) * INW_SIGHTS);
}

static void tell_progress(struct inw_engine *e, struct rounds *r, unsigned worker)
{
	size_t done = atomic_fetch_add(&r->done, 1) + 1;

	if (worker == 0 && e->options->progress)
		e->options->progress(e->options->context, fmin(fmax(r->began_share, (double)done / (double)r->most), 1));
}

/* Of the first samples every 64th is looked at closer; later fewer tell as much. */
static bool look_at(size_t i)
{
	return i % (i < INW_ODDS_STORED ? 64 : 256) == 63;
}

static int one_replicate(struct inw_engine *e, void *context, unsigned worker, int item)
{
	struct rounds *r = context;
	struct inw_desk *k = &r->desk[worker];
	double *tally = e->tally[item];

	for (size_t i = (size_t)inw_tally_count(tally); i < r->target; i++) {
		if (inw_engine_stopped(e, worker))
			return 0;
		bool see = i < INW_ODDS_STORED;
		inw_sampler_point(&r->sampler[item], i, k->u);
		if (inw_engine_sample(e, worker, k, look_at(i), see))
			return -1;
		inw_tally_add(tally, &e->plan, k->mark, k->u);
		if (see)
			keep_sample(e, item, i, k);
		tell_progress(e, r, worker);
	}
	return 0;
}

/* How often an output is met, from the replicates. While each of these has but few samples their scatter says too little: the
 * error is then what the samples leave possible were they drawn without plan; at any time it is three over their number. */
static struct inw_estimate met_of(const struct inw_engine *e, int output)
{
	const double few = INW_ODDS_REPLICATES * 16;
	double r[INW_ODDS_REPLICATES], n = 0, met = 0;
	int k = 0;

	for (int i = 0; i < INW_ODDS_REPLICATES; i++) {
		double count = inw_tally_count(e->tally[i]), of = inw_tally_counts(e->tally[i], &e->plan, output).met;
		n += count;
		met += of;
		if (count > 0)
			r[k++] = of / count;
	}
	if (k == 0)
		return (struct inw_estimate){NAN, NAN};
	struct inw_estimate m = inw_estimate_of(r, k);
	m.error = fmin(fmax(m.error, n < few ? inw_share_error(met, n) : 3 / n), 1);
	return m;
}

/* The widest of the intervals that matter. */
static double widest(const struct inw_engine *e)
{
	double most = 0;

	for (int i = 0; i <= e->s.outputs; i++)
		if (i == e->s.outputs || e->s.output[i].sense != INW_NO_LIMIT)
			most = fmax(most, met_of(e, i).error);
	return most;
}

static size_t next_target(size_t now)
{
	size_t more = now / 4 / 16 * 16;

	return now + (more > 16 ? more : 16);
}

/* A life takes as long as a thousand samples of a check: a rougher answer, unless another is asked for. */
static double option_width(const struct inw_engine *e)
{
	return e->options->width > 0 ? e->options->width : e->options->life ? 0.05 : 0.01;
}

static size_t option_samples(const struct inw_engine *e)
{
	const struct inw_odds_options *o = e->options;

	return o->samples ? o->samples : o->life ? 1u << 10 : o->day ? 1u << 12 : 1u << 20;
}

/* How far the farthest replicate that was taken up has come. One beyond `most` begins anew, so that what comes out is what a
 * run never interrupted gives. */
static size_t take_up(struct inw_engine *e, struct rounds *r, size_t most)
{
	size_t farthest = 0, done = 0;

	for (int i = 0; i < INW_ODDS_REPLICATES; i++) {
		if ((size_t)inw_tally_count(e->tally[i]) > most)
			memset(e->tally[i], 0, sizeof(double) * e->size);
		size_t n = (size_t)inw_tally_count(e->tally[i]);
		farthest = n > farthest ? n : farthest;
		done += n;
	}
	atomic_init(&r->done, done);
	r->most = most * INW_ODDS_REPLICATES;
	return farthest;
}

static int run_rounds(struct inw_engine *e, struct rounds *r)
{
	size_t most = (option_samples(e) + INW_ODDS_REPLICATES - 1) / INW_ODDS_REPLICATES, farthest = take_up(e, r, most);

	for (r->target = e->s.least; r->target < farthest; r->target = next_target(r->target))
		;
	for (;; r->target = next_target(r->target)) {
		r->target = r->target < most ? r->target : most;
		inw_engine_spread(e, INW_ODDS_REPLICATES, one_replicate, r);
		if (e->failed)
			return -1;
		double now = widest(e);
		/* the error falls about as one over the number of samples to the power of two thirds */
		r->began_share = pow(fmin(option_width(e) / now, 1), 1.5);
		if (e->stopped || now <= option_width(e) || r->target >= most)
			return 0;
	}
}

/* ---- results ---- */

static const double *doubles(struct inw_engine *e, size_t n)
{
	double *p = inw_arena_alloc(e->arena, sizeof *p * (n + 1));

	e->failed |= !p;
	return p;
}

struct point { double value; enum inw_bound bound; };

/* Part of the way through a bin; the bins at the ends reach to the least and the most that was seen. */
static double inside(const struct inw_engine *e, int output, int b, double part)
{
	const struct inw_tally_range *r = &e->range[output], ends = inw_tally_ends(e->whole, &e->plan, output);
	double width = (r->to - r->from) / INW_TALLY_BINS;
	double from = b == 0 ? ends.from : r->from + width * (b - 1), to = b == INW_TALLY_BINS + 1 ? ends.to : r->from + width * b;

	return inw_output_unscaled(&e->s.output[output], fmin(fmax(from + (to - from) * part, ends.from), ends.to));
}

/* The point at `rank` within a bin. What is more than its bound stands last in it, what is less first. A point is a bound
 * itself as soon as a bound stands where the true number behind it may change which one has this rank. */
static struct point in_bin(const struct inw_engine *e, int output, int b, double rank, double bounds_before)
{
	struct inw_tally_counts c = inw_tally_counts(e->whole, &e->plan, output);
	struct inw_tally_bin all = inw_tally_bin(e->whole, &e->plan, output, b, false), bound = inw_tally_bin(e->whole, &e->plan, output, b, true);
	double exact = all.count - bound.count - (b == 0 ? c.nothing : 0), skip = c.less > 0 ? bound.count : 0;
	bool is_bound = c.less > 0 ? rank <= skip && skip > 0 : rank > exact;
	struct point p = {is_bound ? bound.sum / bound.count : inside(e, output, b, (rank - skip) / exact), INW_EXACTLY};

	if (c.less > 0 && (is_bound || bounds_before + skip < c.less))
		p.bound = INW_LESS_THAN;
	else if (c.more > 0 && (is_bound || bounds_before > 0))
		p.bound = INW_MORE_THAN;
	return p;
}

/* A point of the distribution of those that have an answer. What counts as nothing is nothing. */
static struct point quantile(const struct inw_engine *e, int output, double p)
{
	struct inw_tally_counts c = inw_tally_counts(e->whole, &e->plan, output);
	double rank = p * (inw_tally_count(e->whole) - c.none) - c.nothing, before = 0, bounds = 0;

	if (c.nothing > 0 && rank <= 0)
		return (struct point){0, INW_EXACTLY};
	for (int b = 0; b < INW_TALLY_BINS + 2; b++) {
		double count = inw_tally_bin(e->whole, &e->plan, output, b, false).count - (b == 0 ? c.nothing : 0);
		if (count > 0 && before + count >= rank)
			return in_bin(e, output, b, rank - before, bounds);
		before += count;
		bounds += inw_tally_bin(e->whole, &e->plan, output, b, true).count;
	}
	return (struct point){NAN, INW_EXACTLY};
}

struct heap { double margin; struct inw_tally_bin in; bool bound; };

static int by_margin(const void *a, const void *b)
{
	double x = ((const struct heap *)a)->margin, y = ((const struct heap *)b)->margin;
	return (x > y) - (x < y);
}

static size_t heap_up(struct heap *heap, size_t heaps, const struct inw_output *o, struct inw_tally_bin in, bool bound)
{
	if (in.count > 0)
		heap[heaps++] = (struct heap){inw_output_margin(o, in.sum / in.count), in, bound};
	return heaps;
}

/* Mean of the worst twentieth: bins in order of the margin of their means, the last one taken in part. */
static struct point tail_of(const struct inw_engine *e, int output)
{
	const struct inw_output *o = &e->s.output[output];
	struct inw_tally_counts c = inw_tally_counts(e->whole, &e->plan, output);
	struct heap heap[2 * (INW_TALLY_BINS + 2) + 1];
	double n = 0, taken = 0, total = 0;
	size_t heaps = heap_up(heap, 0, o, (struct inw_tally_bin){c.nothing, 0}, false);
	bool bound = false;

	if (o->sense == INW_NO_LIMIT)
		return (struct point){NAN, INW_EXACTLY};
	for (int b = 0; b < INW_TALLY_BINS + 2; b++) {
		struct inw_tally_bin all = inw_tally_bin(e->whole, &e->plan, output, b, false), of = inw_tally_bin(e->whole, &e->plan, output, b, true);
		heaps = heap_up(heap, heaps, o, (struct inw_tally_bin){all.count - of.count - (b == 0 ? c.nothing : 0), all.sum - of.sum}, false);
		heaps = heap_up(heap, heaps, o, of, true);
		n += all.count;
	}
	qsort(heap, heaps, sizeof *heap, by_margin);
	for (size_t i = 0; i < heaps && taken < 0.05 * n; i++) {
		double part = fmin(1, (0.05 * n - taken) / heap[i].in.count);
		taken += part * heap[i].in.count;
		total += part * heap[i].in.sum;
		bound |= heap[i].bound;
	}
	bool less = c.less > 0;
	bound |= (c.less > 0 || c.more > 0) && !is_met(o, less ? -INFINITY : INFINITY); /* any of them may be worse than all numbers */
	return (struct point){taken > 0 ? total / taken : NAN, !bound ? INW_EXACTLY : less ? INW_LESS_THAN : INW_MORE_THAN};
}

static void histogram(struct inw_engine *e, int output, struct inw_odds_verdict *v)
{
	enum { together = 8, bins = INW_TALLY_BINS / together }; /* for the eye */
	const struct inw_tally_range *r = &e->range[output];
	double *at = (double *)(uintptr_t)doubles(e, bins + 1), *share = (double *)(uintptr_t)doubles(e, bins), n = inw_tally_count(e->whole);

	if (e->failed)
		return;
	for (int i = 0; i <= bins; i++)
		at[i] = inw_output_unscaled(&e->s.output[output], r->from + (r->to - r->from) * i / bins);
	for (int b = 0; b < INW_TALLY_BINS + 2; b++) {
		double exact = inw_tally_bin(e->whole, &e->plan, output, b, false).count - inw_tally_bin(e->whole, &e->plan, output, b, true).count;
		*(b == 0 ? &v->below : b > INW_TALLY_BINS ? &v->above : &share[(b - 1) / together]) += exact / n;
	}
	v->at = at;
	v->share = share;
	v->bins = bins;
}

static void influences(const struct inw_engine *e, int output, struct inw_odds_verdict *v)
{
	double variance = inw_tally_variance(e->whole, &e->plan, output);
	const double *tally[INW_ODDS_REPLICATES];
	int n = 0;

	for (int i = 0; i < INW_ODDS_REPLICATES; i++) /* a slice must hold something */
		if (inw_tally_count(e->tally[i]) >= 2 * INW_TALLY_SLICES)
			tally[n++] = e->tally[i];
	for (size_t d = 0; d < e->in.drivers && n > 2; d++) {
		struct inw_estimate first = inw_tally_first(tally, n, &e->plan, output, (int)d, variance);
		if (!(first.mean > 0.005) || !(first.mean > first.error)) /* what its own error hides is not named */
			continue;
		size_t at = v->influences;
		while (at > 0 && v->influence[at - 1].first < first.mean)
			at--;
		if (at >= INW_ODDS_INFLUENCES)
			continue;
		size_t keep = v->influences < INW_ODDS_INFLUENCES ? v->influences : INW_ODDS_INFLUENCES - 1;
		memmove(&v->influence[at + 1], &v->influence[at], sizeof *v->influence * (keep - at));
		v->influence[at] = (struct inw_odds_influence){e->in.driver[d], first.mean, first.error, NAN, NAN};
		v->influences = keep + 1;
	}
}

void inw_odds_conclude(struct inw_engine *e, int output, struct inw_odds_verdict *v)
{
	struct inw_tally_counts c = inw_tally_counts(e->whole, &e->plan, output);
	bool limited = output == e->s.outputs || e->s.output[output].sense != INW_NO_LIMIT;
	struct inw_estimate met = met_of(e, output);

	v->met = limited ? met.mean : NAN;
	v->met_error = limited ? met.error : NAN;
	v->known_now = limited ? fmax(met.mean, 1 - met.mean) : NAN;
	v->none = c.none / inw_tally_count(e->whole);
	v->none_why = c.none > 0 && output < e->s.outputs ? e->s.output[output].none_why : NULL;
	v->more_than = c.more / inw_tally_count(e->whole);
	v->less_than = c.less / inw_tally_count(e->whole);
	v->undecided = c.undecided / inw_tally_count(e->whole);
	bool told = v->none <= INW_ODDS_MOST_SILENT && (c.more == 0 || c.less == 0);
	if (told && 2 * (c.more + c.less) <= inw_tally_count(e->whole) - c.none) /* else what scatters is mostly where bounds stand */
		influences(e, output, v);
	if (output < e->s.outputs)
		histogram(e, output, v);
	if (output == e->s.outputs || !told) {
		v->low = v->median = v->high = v->tail = NAN;
		return;
	}
	struct point low = quantile(e, output, 0.05), median = quantile(e, output, 0.5), high = quantile(e, output, 0.95), tail = tail_of(e, output);
	v->low = low.value, v->low_bound = low.bound;
	v->median = median.value, v->median_bound = median.bound;
	v->high = high.value, v->high_bound = high.bound;
	v->tail = tail.value, v->tail_bound = tail.bound;
}

/* Without a sample nothing is known. */
static void leave_open(struct inw_odds_verdict *v)
{
	v->met = v->met_error = v->known_now = v->none = v->more_than = v->less_than = v->undecided = NAN;
	v->low = v->median = v->high = v->tail = v->below = v->above = NAN;
}

static void tell_inputs(struct inw_engine *e, struct inw_odds *o)
{
	struct inw_odds_input *list = inw_arena_alloc(e->arena, sizeof *list * (e->in.count + 1));

	e->failed |= !list;
	for (size_t i = 0; list && i < e->in.count; i++) {
		const struct inw_input *in = &e->in.input[i];
		list[i] = (struct inw_odds_input){&e->d->quantity[in->q], in->log, in->z_least > -4 || in->z_most < 4, in->shared >= 0 ? e->in.driver[in->shared] : NULL};
	}
	o->inputs = list;
	o->input_count = e->in.count;
}

static void tell_notes(struct inw_engine *e, struct inw_odds *o)
{
	const char **note = inw_arena_alloc(e->arena, sizeof *note * 8);
	size_t n = 0;

	e->failed |= !note;
	if (!note)
		return;
	note[n++] = "Odds are about what is not known of this box as described; what no input says is in none of them. They advise and certify nothing.";
	if (e->s.note)
		note[n++] = e->s.note;
	if (o->no_answer)
		note[n++] = e->s.looks ? "Samples without an answer count as not met. Nothing is told of the air of people, unless it is too much, where some gap is "
		                         "pulled inward by less than is wanted, too weakly to hold against draughts."
		                       : "Samples without an answer count as not met.";
	o->notes = note;
	o->note_count = n;
}

static int results(struct inw_engine *e, struct inw_odds *o)
{
	size_t outputs = (size_t)e->s.outputs;
	struct inw_odds_verdict *v = inw_arena_alloc(e->arena, sizeof *v * (outputs + 1));
	struct inw_odds_verdict **each = inw_arena_alloc(e->arena, sizeof *each * (outputs + 2));

	if (!v || !each)
		return -1;
	memset(e->whole, 0, sizeof(double) * e->size);
	for (int i = 0; i < INW_ODDS_REPLICATES; i++)
		inw_tally_merge(e->whole, e->tally[i], &e->plan);
	o->samples = (size_t)inw_tally_count(e->whole);
	o->all = (struct inw_odds_verdict){.id = "all", .title = "Everything that can be told is met at once", .job = "", .sense = INW_NO_LIMIT, .limit = NAN, .limit_high = NAN,
		.limit_source = ""};
	for (size_t i = 0; i <= outputs; i++) {
		const struct inw_output *out = &e->s.output[i];
		each[i] = i < outputs ? &v[i] : &o->all;
		if (i < outputs)
			v[i] = (struct inw_odds_verdict){.id = out->id, .title = out->title, .job = out->job, .dim = out->dim, .sense = out->sense, .limit = out->limit,
				.limit_high = out->limit_high, .limit_source = out->limit_source, .untold = out->untold};
		bool limited = i < outputs && out->sense != INW_NO_LIMIT;
		o->required += limited;
		o->untold += limited && out->untold;
		if (o->samples > 0)
			inw_odds_conclude(e, (int)i, each[i]);
		else
			leave_open(each[i]);
		o->no_answer = (size_t)fmax((double)o->no_answer, inw_tally_counts(e->whole, &e->plan, (int)i).none);
	}
	struct inw_tally_counts all = inw_tally_counts(e->whole, &e->plan, (int)outputs);
	o->looked_at = (size_t)all.looked_at;
	for (size_t i = 0; i < outputs; i++)
		o->otherwise = (size_t)fmax((double)o->otherwise, inw_tally_counts(e->whole, &e->plan, (int)i).otherwise);
	o->verdicts = v;
	o->verdict_count = outputs;
	o->known = o->samples > 0 && widest(e) <= option_width(e);
	tell_inputs(e, o);
	tell_notes(e, o);
	if (e->failed || o->samples == 0)
		return e->failed ? -1 : 0;
	if (e->options->bare)
		return 0;
	if (inw_odds_next(e, o, each))
		return -1;
	/* each base point is solved seventeen times: that is to cost no more than the samples did, but where all of it is cheap */
	size_t base = o->samples / INW_ODDS_REPLICATES / (e->s.looks ? 8 : 17);
	return e->stopped ? 0 : inw_odds_totals(e, each, base < 32 ? base : 32);
}

/* ---- all of it ---- */

static int lay_out(struct inw_engine *e)
{
	size_t outputs = (size_t)e->s.outputs;

	e->range = inw_arena_alloc(e->arena, sizeof *e->range * (outputs + 1));
	if (!e->range)
		return -1;
	e->plan = (struct inw_tally_plan){(int)outputs + 1, (int)e->in.drivers, e->range, e->s.meant != NULL};
	e->size = inw_tally_size(&e->plan);
	e->whole = inw_arena_alloc(e->arena, sizeof(double) * e->size);
	for (int i = 0; i < INW_ODDS_REPLICATES; i++) {
		e->tally[i] = inw_arena_alloc(e->arena, sizeof(double) * e->size);
		e->stored[i] = inw_arena_alloc(e->arena, sizeof(double) * INW_ODDS_STORED * (outputs + 1 + INW_SIGHTS));
		if (!e->tally[i] || !e->stored[i])
			return -1;
	}
	return e->whole ? 0 : -1;
}

static unsigned threads_of(const struct inw_odds_options *o)
{
	long here = sysconf(_SC_NPROCESSORS_ONLN);
	unsigned n = o->threads ? o->threads : here > 0 ? (unsigned)here : 1;

	return n < MOST_THREADS ? n : MOST_THREADS;
}

static bool has_carbon(const struct inw_design *d)
{
	for (size_t k = 0; k < d->cleaner.stages; k++)
		if (d->cleaner.stage[k].kind == INW_STAGE_BED)
			return true;
	return false;
}

/* The engine up to the first sample. INW_IO: a file to resume could not be read. */
static enum inw_status begin(struct inw_engine *e, struct rounds *r, struct inw_arena *arena, struct inw_diags *diags)
{
	if (e->options->life && !has_carbon(e->d)) {
		inw_diag_add(diags, INW_ERROR, e->d->file, 0, 0, "there is no carbon in this train, so there is no life to follow");
		return INW_BAD_INPUT;
	}
	e->threads = threads_of(e->options);
	bool in_time = e->options->day || e->options->life;
	enum inw_status fits = in_time ? INW_OK : inw_measures_fit(e->d, arena, diags);
	if (fits != INW_OK)
		return fits;
	int bad = in_time ? inw_subject_day(&e->s, e->d, e->options->life, e->threads, arena) : inw_subject_check(&e->s, e->d, e->threads, arena);
	if (bad || inw_inputs_list(&e->in, e->d, e->s.sampled, e->s.weight, e->options->independent, arena))
		return INW_NO_MEMORY;
	for (int i = 0; i < e->s.outputs; i++) /* a search asks of the others alone whether all hold at once */
		e->s.output[i].untold |= e->options->bare && inw_wish_left_out(&e->d->wishes, e->s.output[i].id);
	e->s.in = &e->in;
	r->desk = inw_arena_alloc(arena, sizeof *r->desk * e->threads);
	r->sampler = inw_arena_alloc(arena, sizeof *r->sampler * INW_ODDS_REPLICATES);
	if (!r->desk || !r->sampler)
		return INW_NO_MEMORY;
	for (unsigned k = 0; k < e->threads; k++)
		if (inw_desk_make(&r->desk[k], e, arena))
			return INW_NO_MEMORY;
	for (int i = 0; i < INW_ODDS_REPLICATES; i++)
		if (inw_sampler_make(&r->sampler[i], inw_hash(e->options->seed, (uint64_t)i), e->in.drivers, arena))
			return INW_NO_MEMORY;
	if (lay_out(e) || run_pilot(e, r->desk))
		return INW_NO_MEMORY;
	return e->options->resume && !e->stopped ? inw_odds_resume(e, e->options->resume, diags) : INW_OK;
}

/* `whole`: there are results, whatever became of the file they were to be kept in. */
static enum inw_status run(struct inw_engine *e, struct inw_odds *o, bool *whole, struct inw_diags *diags)
{
	const char *keep = e->options->keep;
	struct rounds r = {0};
	enum inw_status s = keep ? inw_whole_file_may(keep, diags) : INW_OK;

	if (s == INW_OK)
		s = begin(e, &r, e->arena, diags);
	if (s != INW_OK)
		return s;
	if (!e->stopped && run_rounds(e, &r))
		return INW_NO_MEMORY;
	o->stopped = e->stopped;
	if (results(e, o))
		return INW_NO_MEMORY;
	*whole = true;
	return keep && o->samples ? inw_odds_keep(e, keep, diags) : INW_OK;
}

enum inw_status inw_odds(const struct inw_design *d, const struct inw_odds_options *options, struct inw_odds **out, struct inw_diags *diags)
{
	static const struct inw_odds_options usual = {0};
	struct inw_arena *arena = inw_arena_new(ceiling);
	struct inw_engine *e = arena ? inw_arena_alloc(arena, sizeof *e) : NULL;
	struct inw_odds *o = arena ? inw_arena_alloc(arena, sizeof *o) : NULL;
	enum inw_status s = INW_NO_MEMORY;
	bool whole = false;

	*out = NULL;
	if (e && o) {
		e->d = d;
		e->options = options ? options : &usual;
		e->arena = arena;
		s = run(e, o, &whole, diags);
		if (e->s.end)
			e->s.end(&e->s);
	}
	diags->out_of_memory |= s == INW_NO_MEMORY;
	if (!whole) {
		inw_arena_free(arena);
		return s;
	}
	o->title = d->title;
	o->file = d->file;
	o->day = e->options->day && !e->options->life;
	o->life = e->options->life;
	o->width = option_width(e);
	o->replicates = INW_ODDS_REPLICATES;
	o->drivers = e->in.drivers;
	o->correlation = e->in.correlation;
	o->design = d;
	o->arena_ = arena;
	*out = o;
	return s;
}

void inw_odds_free(struct inw_odds *o)
{
	if (o)
		inw_arena_free(o->arena_);
}
