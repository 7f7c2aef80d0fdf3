/* SPDX-License-Identifier: MIT */
/* The sampling engine: indices of functions that are known, coverage of its intervals, a linear model, threads, resuming. */
#include "check/odds.h"

#include <stdint.h>
#include <stdlib.h>
#include <unistd.h>

#include "show/verdicts.h"
#include "solve/sample.h"
#include "test/check.h"

static const double pi = 3.14159265358979323846;

/* ---- an engine around a function of independent inputs ---- */

enum { MOST = 8 };
struct toy {
	struct inw_engine e;
	struct inw_design d;
	struct inw_quantity q[MOST];
	struct inw_output output;
	struct inw_odds_options options;
	struct inw_odds_verdict verdict, all, *each[2];
	struct inw_desk desk;
	void *worker[2];
	double (*f)(const double *u);
	double end; signed char beyond; struct inw_meant meant; /* > 0: what is more than `end` is only known to be so, < 0 less; of the last value */
};

static int values(void *worker, double *x, const double *z, double *value, double *see)
{
	const struct toy *t = worker;
	double u[MOST];

	(void)z;
	(void)see;
	for (size_t i = 0; i < t->d.quantities; i++)
		u[i] = inw_normal_below(x[i]);
	value[0] = t->f(u);
	return 0;
}

static bool half_of_them; /* every other one, as their digits have it */

static int bounded_values(void *worker, double *x, const double *z, double *value, double *see)
{
	struct toy *t = worker;
	int bad = values(worker, x, z, value, see);

	bool spared = half_of_them && fmod(fabs(value[0]) * 1e5, 1) < 0.5;
	t->meant.bound = (signed char)(t->beyond * (value[0] - t->end) > 0 && !spared ? t->beyond : 0);
	if (t->meant.bound)
		value[0] = t->end;
	return bad;
}

static const struct inw_meant *meant(void *worker)
{
	return &((const struct toy *)worker)->meant;
}

static const char *const names[MOST] = {"x1", "x2", "x3", "x4", "x5", "x6", "x7", "x8"};

static struct toy *toy_make(double (*f)(const double *u), size_t inputs, struct inw_tally_range range, double limit, unsigned long long seed, struct inw_arena *a)
{
	struct toy *t = inw_arena_alloc(a, sizeof *t);

	t->f = f;
	t->options.seed = seed;
	t->d.quantity = t->q;
	t->d.quantities = inputs;
	t->output = (struct inw_output){.id = "f", .sense = INW_AT_MOST, .limit = limit};
	t->e = (struct inw_engine){.d = &t->d, .options = &t->options, .arena = a, .threads = 2};
	t->worker[0] = t->worker[1] = t;
	t->e.s = (struct inw_subject){.d = &t->d, .outputs = 1, .output = &t->output, .worker = t->worker, .workers = 2, .values = values};
	t->e.in = (struct inw_inputs){.input = inw_arena_alloc(a, sizeof(struct inw_input) * MOST), .count = inputs, .drivers = inputs, .driver = (const char **)(uintptr_t)names};
	for (size_t i = 0; i < inputs; i++)
		t->e.in.input[i] = (struct inw_input){.q = (inw_q)i, .down = 1, .up = 1, .z_least = -INFINITY, .z_most = INFINITY, .own = (int)i, .shared = -1};
	t->e.range = inw_arena_alloc(a, sizeof range * 2);
	t->e.range[0] = range;
	t->e.range[1] = (struct inw_tally_range){-0.001, 1.001};
	t->e.plan = (struct inw_tally_plan){2, (int)inputs, t->e.range, true};
	t->e.size = inw_tally_size(&t->e.plan);
	t->e.whole = inw_arena_alloc(a, sizeof(double) * t->e.size);
	t->each[0] = &t->verdict;
	t->each[1] = &t->all;
	t->all.met = NAN;
	return inw_desk_make(&t->desk, &t->e, a) ? NULL : t;
}

static void toy_run(struct toy *t, size_t points, struct inw_arena *a)
{
	for (int r = 0; r < INW_ODDS_REPLICATES; r++) {
		struct inw_sampler s;
		t->e.tally[r] = inw_arena_alloc(a, sizeof(double) * t->e.size);
		if (inw_sampler_make(&s, inw_hash(t->options.seed, (uint64_t)r), t->d.quantities, a))
			return;
		for (size_t i = 0; i < points; i++) {
			inw_sampler_point(&s, i, t->desk.u);
			CHECK(inw_engine_sample(&t->e, 0, &t->desk, false, false) == 0);
			inw_tally_add(t->e.tally[r], &t->e.plan, t->desk.mark, t->desk.u);
		}
		inw_tally_merge(t->e.whole, t->e.tally[r], &t->e.plan);
	}
}

static struct inw_estimate first(const struct toy *t, int driver)
{
	const double *tally[INW_ODDS_REPLICATES];

	for (int r = 0; r < INW_ODDS_REPLICATES; r++)
		tally[r] = t->e.tally[r];
	return inw_tally_first(tally, INW_ODDS_REPLICATES, &t->e.plan, 0, driver, inw_tally_variance(t->e.whole, &t->e.plan, 0));
}

/* First and total index of every input against what is known. A slice sees only its mean: of a wave with k periods over the
 * range sixteen slices keep (sin(pi k/16)/(pi k/16))^2 of the variance, which the callers have put into what is wanted. */
static void indices(struct toy *t, size_t inputs, const double *want_first, const double *want_total, const char *source)
{
	t->verdict.influences = inputs;
	for (size_t i = 0; i < inputs; i++)
		t->verdict.influence[i].name = names[i];
	CHECK(inw_odds_totals(&t->e, t->each, 256) == 0);
	for (size_t i = 0; i < inputs; i++) {
		struct inw_estimate s = first(t, (int)i);
		CHECK_ABS(s.mean, want_first[i], 0.004 + 2 * s.error, source);
		CHECK(s.error < 0.02);
		CHECK_ABS(t->verdict.influence[i].total, want_total[i], 0.005 + 2 * t->verdict.influence[i].total_error, source);
		CHECK(t->verdict.influence[i].total_error < 0.06);
	}
}

static double kept_of_wave(double periods)
{
	double at = pi * periods / INW_TALLY_SLICES;

	return sin(at) * sin(at) / (at * at);
}

static double ishigami(const double *u)
{
	double x[3];

	for (int i = 0; i < 3; i++)
		x[i] = pi * (2 * u[i] - 1);
	return sin(x[0]) + 7 * sin(x[1]) * sin(x[1]) + 0.1 * pow(x[2], 4) * sin(x[0]);
}

static const double g_a[5] = {0, 1, 4.5, 9, 99};
static double sobol_g(const double *u)
{
	double f = 1;

	for (int i = 0; i < 5; i++)
		f *= (fabs(4 * u[i] - 2) + g_a[i]) / (1 + g_a[i]);
	return f;
}

static void known_indices(struct inw_arena *a)
{
	/* variance a^2/8 + b pi^4/5 + b^2 pi^8/18 + 1/2 of the Ishigami function: Ishigami & Homma 1990 (memory), checked by hand */
	const double A = 7, B = 0.1, p4 = pow(pi, 4), v1 = 0.5 * (1 + B * p4 / 5) * (1 + B * p4 / 5), v2 = A * A / 8, v13 = B * B * p4 * p4 * 8 / 225, v = v1 + v2 + v13;
	const double first_i[3] = {kept_of_wave(1) * v1 / v, kept_of_wave(2) * v2 / v, 0}, total_i[3] = {(v1 + v13) / v, v2 / v, v13 / v};
	struct toy *t = toy_make(ishigami, 3, (struct inw_tally_range){-12, 20}, 5, 3, a);

	toy_run(t, 1024, a);
	CHECK_REL(inw_tally_variance(t->e.whole, &t->e.plan, 0), v, 0.01, "Ishigami & Homma 1990");
	indices(t, 3, first_i, total_i, "Ishigami & Homma 1990");
	/* Sobol' g: V_i = 1/(3 (1 + a_i)^2), V = prod(1 + V_i) - 1 (Sobol' 1993, memory) */
	double V[5], all = 1, first_g[5], total_g[5];
	for (int i = 0; i < 5; i++) {
		V[i] = 1 / (3 * (1 + g_a[i]) * (1 + g_a[i]));
		all *= 1 + V[i];
	}
	for (int i = 0; i < 5; i++) {
		/* |4 u - 2| has the variance 1/3, of which (4/16)^2/12 lies within slices */
		first_g[i] = V[i] / (all - 1) * (1 - 3.0 / (16 * 12));
		total_g[i] = V[i] * all / (1 + V[i]) / (all - 1);
	}
	t = toy_make(sobol_g, 5, (struct inw_tally_range){-1, 7}, 1, 4, a);
	toy_run(t, 1024, a);
	indices(t, 5, first_g, total_g, "Sobol' 1993");
}

/* ---- coverage ---- */

static double linear(const double *u)
{
	return 0.6 * inw_normal_quantile(u[0]) + 0.8 * inw_normal_quantile(u[1]); /* a standard normal */
}

/* The 95 % intervals hold the known probability 95 times in a hundred: of 300 seeds within four standard deviations. */
static void coverage(void)
{
	enum { SEEDS = 300 };
	int held = 0;
	double sum = 0;

	for (unsigned k = 0; k < SEEDS; k++) {
		struct inw_arena *a = inw_arena_new((size_t)1 << 28);
		struct toy *t = toy_make(linear, 2, (struct inw_tally_range){-6, 6}, 0.7, 100 + k, a);
		double r[INW_ODDS_REPLICATES];
		toy_run(t, 64, a);
		for (int i = 0; i < INW_ODDS_REPLICATES; i++)
			r[i] = inw_tally_counts(t->e.tally[i], &t->e.plan, 0).met / 64;
		struct inw_estimate m = inw_estimate_of(r, INW_ODDS_REPLICATES);
		held += fabs(m.mean - inw_normal_below(0.7)) <= m.error;
		sum += m.mean / SEEDS;
		inw_arena_free(a);
	}
	CHECK_ABS(held, 0.95 * SEEDS, 4 * sqrt(0.95 * 0.05 * SEEDS), "binomial distribution");
	CHECK_ABS(sum, inw_normal_below(0.7), 1e-3, "sum of normal variables");
}

/* ---- bounds and zeros ---- */

static double lognormal(const double *u)
{
	return exp(linear(u));
}

static double often_nothing(const double *u)
{
	return u[1] < 0.3 ? 0 : exp(inw_normal_quantile(u[0]));
}

/* 16384 samples of a number that scatters by factors; beyond `end` it is only known that it is. */
static struct inw_odds_verdict looked_at(double (*f)(const double *u), enum inw_sense sense, double limit, double end, signed char beyond)
{
	struct inw_arena *a = inw_arena_new((size_t)1 << 28);
	struct toy *t = toy_make(f, 2, (struct inw_tally_range){-3, 3}, limit, 5, a);

	t->output.sense = sense;
	t->output.scale = INW_SCALE_LOG;
	t->end = end;
	t->beyond = beyond;
	t->e.s.values = bounded_values;
	t->e.s.meant = meant;
	toy_run(t, 1024, a);
	inw_odds_conclude(&t->e, 0, &t->verdict);
	struct inw_odds_verdict v = t->verdict;
	double sum = v.below + v.above + v.more_than + v.less_than + v.none;
	for (size_t i = 0; i < v.bins; i++)
		sum += v.share[i];
	CHECK_ABS(sum, 1, 1e-9, "shares of all samples");
	v.at = v.share = NULL;
	inw_arena_free(a);
	return v;
}

/* The logarithm is a standard normal. Points to a tenth of a per cent of probability are off by 0.01 of its logarithm at the ends. */
static void beyond_the_end(void)
{
	const double at95 = inw_normal_quantile(0.95), off = 0.02;
	struct inw_odds_verdict v = looked_at(lognormal, INW_AT_LEAST, exp(0.5), exp(1), 1);

	CHECK_ABS(v.more_than, inw_normal_below(-1), 2e-3, "normal distribution");
	CHECK(v.low_bound == INW_EXACTLY && v.median_bound == INW_EXACTLY && v.high_bound == INW_MORE_THAN && v.tail_bound == INW_EXACTLY);
	CHECK_ABS(log(v.low), -at95, off, "normal distribution");
	CHECK_ABS(log(v.median), 0, off, "normal distribution");
	CHECK_REL(v.high, exp(1), 1e-12, "where it ends");
	CHECK_ABS(v.met, inw_normal_below(-0.5), 2e-3, "normal distribution");
	CHECK(v.undecided == 0 && v.influences == 2);
	v = looked_at(lognormal, INW_AT_LEAST, exp(1.2), exp(1), 1); /* followed for too short a time to tell */
	CHECK(v.met == 0 && v.undecided == v.more_than);
	v = looked_at(lognormal, INW_AT_LEAST, exp(-3), exp(-1), 1); /* nearly all outlast it */
	CHECK(v.low_bound == INW_EXACTLY && v.median_bound == INW_MORE_THAN && v.high_bound == INW_MORE_THAN && v.tail_bound == INW_EXACTLY);
	CHECK_REL(v.median, exp(-1), 1e-12, "where it ends");
	CHECK(v.influences == 0);
	v = looked_at(lognormal, INW_AT_LEAST, exp(-3), exp(-5), 1); /* all do: the range of the bins lies elsewhere */
	CHECK(v.low_bound == INW_MORE_THAN && v.tail_bound == INW_MORE_THAN && v.more_than == 1 && v.met == 0);
	CHECK_REL(v.low, exp(-5), 1e-12, "where it ends");
	v = looked_at(lognormal, INW_AT_MOST, exp(0.5), exp(-1), -1); /* the other way round */
	CHECK_ABS(v.less_than, inw_normal_below(-1), 2e-3, "normal distribution");
	CHECK(v.low_bound == INW_LESS_THAN && v.median_bound == INW_EXACTLY && v.high_bound == INW_EXACTLY && v.tail_bound == INW_EXACTLY);
	CHECK_REL(v.low, exp(-1), 1e-12, "where it ends");
	CHECK_ABS(log(v.high), at95, off, "normal distribution");
	CHECK_ABS(v.met, inw_normal_below(0.5), 2e-3, "normal distribution");
}

/* A wait that is cut off where its limit stands: how often is known, how far beyond is not. */
static void cut_off_at_the_limit(void)
{
	struct inw_odds_verdict v = looked_at(lognormal, INW_AT_MOST, exp(1), exp(1), 1);

	CHECK_ABS(v.met, inw_normal_below(1), 2e-3, "normal distribution");
	CHECK(v.undecided == 0 && v.none == 0 && v.more_than > 0.15);
	CHECK_ABS(log(v.median), 0, 0.02, "normal distribution, of all");
	CHECK(v.median_bound == INW_EXACTLY && v.high_bound == INW_MORE_THAN && v.tail_bound == INW_MORE_THAN);
	v = looked_at(lognormal, INW_AT_LEAST, exp(-1), exp(-1), -1);
	CHECK_ABS(v.met, inw_normal_below(1), 2e-3, "normal distribution");
	CHECK(v.undecided == 0 && v.low_bound == INW_LESS_THAN && v.tail_bound == INW_LESS_THAN);
	half_of_them = true; /* cut off: the others are more than a twentieth, but any of those may be worse */
	v = looked_at(lognormal, INW_AT_MOST, exp(1), exp(1), 1);
	half_of_them = false;
	CHECK_ABS(v.more_than, 0.5 * inw_normal_below(-1), 5e-3, "normal distribution");
	CHECK(v.tail_bound == INW_MORE_THAN && v.tail > exp(1) && v.median_bound == INW_EXACTLY && v.undecided == 0);
}

static double silent_below_a_tenth(const double *u)
{
	return u[1] < 0.06 ? NAN : exp(inw_normal_quantile(u[0]));
}

static double mostly_silent(const double *u)
{
	return u[0] > 0.7 ? NAN : exp(inw_normal_quantile(u[0]));
}

/* From those that have an answer, while nearly all do; from the small rest nothing. */
static void without_answer(void)
{
	struct inw_odds_verdict v = looked_at(silent_below_a_tenth, INW_AT_MOST, 1, INFINITY, 1);

	CHECK_ABS(v.none, 0.06, 2e-3, "as given");
	CHECK_ABS(log(v.median), 0, 0.02, "normal distribution");
	v = looked_at(mostly_silent, INW_AT_MOST, 1, INFINITY, 1);
	CHECK_ABS(v.none, 0.3, 2e-3, "as given");
	CHECK_ABS(v.met, 0.5, 2e-3, "normal distribution");
	CHECK(isnan(v.low) && isnan(v.median) && isnan(v.high) && isnan(v.tail) && v.influences == 0);
}

/* A sample's own verdict counts before its number. */
static void own_verdicts(struct inw_arena *a)
{
	for (int said = -1; said <= 1; said++) {
		struct toy *t = toy_make(linear, 2, (struct inw_tally_range){-6, 6}, said < 0 ? 100 : said > 0 ? -100 : 0, 5, a);
		t->e.s.meant = meant;
		t->meant.verdict = (signed char)said;
		toy_run(t, 64, a);
		inw_odds_conclude(&t->e, 0, &t->verdict);
		CHECK_ABS(t->verdict.met, said < 0 ? 0 : said > 0 ? 1 : 0.5, said ? 0 : 0.02, "what the samples say");
	}
}

static double fine(const double *u)
{
	return u[0];
}

/* What one sample of each scramble allows, and a total that is known too badly. */
static void few_samples(struct inw_arena *a)
{
	static const struct { double k, n, far; const char *source; } clopper_pearson[] = { /* scipy.stats.beta.ppf, the farther end */
		{15, 16, 0.239820738434532, "SciPy"}, {8, 16, 0.25348988850942467, "SciPy"}, {1, 64, 0.06838532643435369, "SciPy"},
		{100, 255, 0.06285577474366139, "SciPy"}, {130, 255, 0.0631206851440742, "SciPy"}, {254, 255, 0.017733156178202814, "SciPy"},
		{16, 16, 3.0 / 16, "rule of three"}, {0, 16, 3.0 / 16, "rule of three"}, {0, 2, 1, "rule of three"},
	};
	char text[32];

	for (size_t i = 0; i < sizeof clopper_pearson / sizeof *clopper_pearson; i++)
		CHECK_ABS(inw_share_error(clopper_pearson[i].k, clopper_pearson[i].n), clopper_pearson[i].far, 1e-9, clopper_pearson[i].source);
	struct toy *t = toy_make(fine, 2, (struct inw_tally_range){-1, 2}, 1, 6, a);
	toy_run(t, 1, a);
	inw_odds_conclude(&t->e, 0, &t->verdict);
	CHECK(t->verdict.met == 1);
	CHECK_ABS(t->verdict.met_error, 3.0 / 16, 1e-12, "rule of three");
	t = toy_make(linear, 2, (struct inw_tally_range){-6, 6}, 0, 6, a);
	toy_run(t, 4, a);
	inw_odds_conclude(&t->e, 0, &t->verdict);
	CHECK(t->verdict.met_error >= 0.12 && t->verdict.met_error < 0.14); /* of 32 in 64 Clopper & Pearson leave 0.127 */
	CHECK_TEXT(inw_show__odds(text, sizeof text, 1, 3.0 / 16), "over 81.2 %");
	CHECK_TEXT(inw_show__odds(text, sizeof text, 0, 3.0 / 16), "under 18.8 %");
	CHECK_TEXT(inw_show__odds(text, sizeof text, 1, 1e-6), "over 99.9 %");
	CHECK_TEXT(inw_show__odds(text, sizeof text, 0.9995, 0.002), "over 99.7 %");
	CHECK_TEXT(inw_show__odds(text, sizeof text, 1, 1), "anything from 0 to 100 %");
	CHECK_TEXT(inw_show__odds(text, sizeof text, 0.5, 0.24), "50.0 %");
	CHECK_TEXT(inw_show__odds_error(text, sizeof text, 0.5, 0.24), " (+- 24 %)");
	CHECK_TEXT(inw_show__odds_error(text, sizeof text, 1, 0.24), "");
	t = toy_make(linear, 2, (struct inw_tally_range){-6, 6}, 0, 6, a);
	toy_run(t, 1024, a);
	inw_odds_conclude(&t->e, 0, &t->verdict);
	for (size_t base = 2; base <= 128; base *= 8) {
		CHECK(t->verdict.influences == 2 && inw_odds_totals(&t->e, t->each, base) == 0);
		for (size_t i = 0; i < 2; i++) { /* of a sum no total is more than the first */
			const struct inw_odds_influence *f = &t->verdict.influence[i];
			CHECK(isnan(f->total) ? base < 128 : f->total >= f->first && f->total_error <= 0.1 && f->total <= f->first + f->total_error + 0.01);
		}
		t->verdict.influence[0].total = t->verdict.influence[1].total = NAN;
	}
}

/* Three in ten are zero: so is the 5 % point, and the others are the points of the rest. */
static void zeros(void)
{
	struct inw_odds_verdict v = looked_at(often_nothing, INW_AT_MOST, 1, INFINITY, 1);

	CHECK(v.low == 0 && v.low_bound == INW_EXACTLY && v.more_than == 0);
	CHECK_ABS(log(v.median), inw_normal_quantile(0.2 / 0.7), 0.02, "normal distribution");
	CHECK_ABS(log(v.high), inw_normal_quantile(0.65 / 0.7), 0.03, "normal distribution");
	CHECK_ABS(v.met, 0.3 + 0.7 * 0.5, 2e-3, "normal distribution");
	v = looked_at(often_nothing, INW_AT_LEAST, 1, INFINITY, 1);
	CHECK(v.tail == 0 && v.tail_bound == INW_EXACTLY); /* three in ten are nothing: the worst twentieth is of them alone */
}

/* ---- distributions of inputs ---- */

static void inputs(const struct inw_design *d)
{
	struct inw_arena *a = inw_arena_new((size_t)1 << 26);
	unsigned char *sampled = inw_arena_alloc(a, d->quantities);
	double *weight = inw_arena_alloc(a, sizeof(double) * d->quantities), u[512], z[512], *x = inw_arena_alloc(a, sizeof(double) * d->quantities);
	struct inw_inputs in;

	for (size_t q = 0; q < d->quantities && q < 400; q++)
		sampled[q] = d->quantity[q].low < d->quantity[q].high;
	CHECK(inw_inputs_list(&in, d, sampled, weight, true, a) == 0);
	const double at[3] = {0.05, 0.5, 0.95};
	for (int k = 0; k < 3; k++) {
		for (size_t i = 0; i < in.drivers && i < 512; i++)
			u[i] = at[k];
		inw_inputs_at(&in, d, u, z, x);
		for (size_t i = 0; i < in.count; i++) {
			const struct inw_quantity *q = &d->quantity[in.input[i].q];
			double want = k == 0 ? q->low : k == 1 ? q->value : q->high;
			bool cut = in.input[i].z_least > -6 || in.input[i].z_most < 6;
			if (!cut && !(k == 0 && q->low == q->value) && !(k == 2 && q->high == q->value))
				CHECK_ABS(inw_input_value(&in.input[i], z[i]), want, 1e-9 * fabs(want) + 1e-300, "5 %, 50 % and 95 % points");
		}
	}
	for (int end = 0; end < 2; end++) {
		for (size_t i = 0; i < in.drivers && i < 512; i++)
			u[i] = end ? 1 - 1e-12 : 1e-12;
		inw_inputs_at(&in, d, u, z, x);
		for (size_t i = 0; i < in.count; i++) {
			const struct inw_quantity *q = &d->quantity[in.input[i].q];
			double v = inw_input_value(&in.input[i], z[i]), room = 1e-12 * fabs(v);
			CHECK(v >= q->least - room && v <= q->most + room);
		}
	}
	inw_arena_free(a);
}

/* ---- the whole ---- */

struct leash { long asked, most; };

static bool enough(void *context)
{
	struct leash *l = context;

	return ++l->asked > l->most;
}

static char *odds(const struct inw_design *d, struct inw_odds_options o)
{
	struct inw_odds *r = NULL;
	struct inw_diags diags = {0};
	enum inw_status s = inw_odds(d, &o, &r, &diags);
	char *json = s == INW_OK ? inw_show_odds_json(r) : NULL;

	inw_odds_free(r);
	inw_diags_free(&diags);
	return json;
}

static void same_bits(const struct inw_design *d, const char *file)
{
	struct inw_odds_options o = {.samples = 1200, .width = 1e-9, .seed = 9, .threads = 1};
	struct leash leash = {0, INW_ODDS_PILOT + 500};
	char *one = odds(d, o);

	o.threads = 3;
	char *three = odds(d, o);
	CHECK(one && three && strcmp(one, three) == 0);
	o.keep = file;
	o.threads = 1;
	o.stop = enough;
	o.context = &leash;
	char *part = odds(d, o);
	CHECK(part && one && strcmp(part, one) != 0);
	o.stop = NULL;
	o.keep = NULL;
	o.resume = file;
	o.threads = 2;
	char *whole = odds(d, o);
	CHECK(one && whole && strcmp(one, whole) == 0);
	o.seed = 10;
	char *other = odds(d, o);
	CHECK(other == NULL);
	o.resume = NULL;
	o.seed = 9;
	o.independent = true;
	char *independent = odds(d, o);
	CHECK(independent && one && strcmp(independent, one) != 0);
	free(one);
	free(three);
	free(part);
	free(whole);
	free(other);
	free(independent);
}

/* What was kept beyond --samples does not count. */
static void same_cap(const struct inw_design *d, const char *file)
{
	struct inw_odds_options o = {.samples = 480, .width = 1e-9, .seed = 9};
	char *one = odds(d, o);

	o.samples = 1200;
	o.keep = file;
	free(odds(d, o));
	o.samples = 480;
	o.keep = NULL;
	o.resume = file;
	char *cut = odds(d, o);
	CHECK(one && cut && strcmp(one, cut) == 0);
	free(one);
	free(cut);
}

/* What cannot be told looks neither met nor missed; a difference is no temperature. */
static void words(const struct inw_design *d)
{
	struct inw_odds_options o = {.samples = 64};
	struct inw_odds *r = NULL;
	struct inw_diags diags = {0};

	CHECK(inw_odds(d, &o, &r, &diags) == INW_OK);
	char *text = r ? inw_show_odds_text(r, INW_US, INW_BRIEF) : NULL;
	size_t untold = 0, hidden = 0;
	for (size_t i = 0; r && i < r->verdict_count; i++)
		untold += r->verdicts[i].untold && !isnan(r->verdicts[i].met);
	for (const char *s = text; s && (s = strstr(s, "[????????????????????] data are missing")) != NULL; s++)
		hidden++;
	CHECK(untold > 0 && untold == hidden);
	CHECK(text && strstr(text, "degF of difference; wanted: at") && strstr(text, "samples have no answer"));
	CHECK(text && strstr(text, "too many"));
	free(text);
	inw_odds_free(r);
	inw_diags_free(&diags);
}

/* Line ends and indents away. */
static char *flat(char *text)
{
	char *to = text;

	for (const char *s = text; s && *s; s++)
		if (*s != '\n' && *s != ' ')
			*to++ = *s;
		else if (to > text && to[-1] != ' ')
			*to++ = ' ';
	if (to)
		*to = '\0';
	return text;
}

/* Missing data are said before the odds of the rest, which are no pass. */
static void missing_data(const struct inw_design *d)
{
	struct inw_odds *r = NULL;
	struct inw_diags diags = {0};
	char head[96], count[32];
	size_t untold = 0, limited = 0;

	CHECK(inw_odds(d, &(struct inw_odds_options){.samples = 64}, &r, &diags) == INW_OK);
	char *text = r ? flat(inw_show_odds_text(r, INW_SI, INW_BRIEF)) : NULL, *json = r ? inw_show_odds_json(r) : NULL;
	for (size_t i = 0; r && i < r->verdict_count; i++) {
		const struct inw_odds_verdict *v = &r->verdicts[i];
		limited += v->sense != INW_NO_LIMIT;
		untold += v->sense != INW_NO_LIMIT && v->untold;
		CHECK(!v->untold || v->nexts == 0);
	}
	CHECK(r && untold > 3 && r->untold == untold && r->required == limited);
	snprintf(head, sizeof head, "No pass: of %zu of %zu requirements it cannot be told whether they are met, ", untold, limited);
	snprintf(count, sizeof count, "; and %zu more, ", untold - 3);
	const char *first = text ? strstr(text, head) : NULL, *more = text ? strstr(text, count) : NULL, *odds = text ? strstr(text, "Odds: ") : NULL;
	CHECK(first && more && odds && first < more && more < odds);
	snprintf(count, sizeof count, "\"untold\": %zu,", untold);
	CHECK(json && strstr(json, count));
	free(text);
	free(json);
	inw_odds_free(r);
	inw_diags_free(&diags);
}

/* ---- the next measurement ---- */

/* What a test reads in each sample is lognormal, and met is what reads more than one; but of some samples it reads nothing, or there
 * is nothing to read. */
struct sight { double nothing, unread; };

static size_t test_of(struct sight s, struct toy *t, bool untold, struct inw_arena *a)
{
	static struct inw_test test = {.name = "t", .title = "T", .how = "", .cost = "", .observes = INW_SEES_CARBON, .accuracy = MOST - 1};
	const size_t points = 256, width = 2 + INW_SIGHTS;
	struct inw_odds o = {0};

	t->d.catalog.test = &test;
	t->d.catalog.tests = 1;
	t->q[MOST - 1] = (struct inw_quantity){.value = 0.05, .source = ""};
	toy_run(t, points, a);
	for (size_t r = 0; r < INW_ODDS_REPLICATES; r++) {
		double *row = t->e.stored[r] = inw_arena_alloc(a, sizeof *row * points * width);
		for (size_t i = 0; i < points; i++, row += width) {
			double u = inw_hash_unit(inw_hash(77, r), i), z = inw_normal_quantile(inw_hash_unit(inw_hash(78, r), i));
			row[0] = u < s.nothing ? 0 : z > 0;
			row[2 + INW_SEES_CARBON] = u < s.nothing ? 0 : u < s.nothing + s.unread ? NAN : exp(z);
		}
	}
	t->verdict = (struct inw_odds_verdict){.met = 0.5, .known_now = 0.5, .untold = untold};
	CHECK(inw_odds_next(&t->e, &o, t->each) == 0);
	return o.test_count;
}

/* Who is told z and an error of 0.05 errs of its sign in atan(0.05)/pi of the cases (orthant of two normal numbers). What reads
 * nothing is told from the rest; what has nothing to read is not. */
static void some_read_nothing(struct inw_arena *a)
{
	static const struct { struct sight sight; size_t tests; double gain; } wanted[] = {
		{{0, 0}, 1, 0.5}, {{0.0005, 0}, 1, 0.5}, {{0, 0.0005}, 1, 0.5}, {{0, 0.05}, 1, 0.475}, {{0.25, 0}, 1, 0.375}, {{0, 0.2}, 0, 0}, {{1, 0}, 0, 0},
	};

	for (size_t i = 0; i < INW_COUNT(wanted); i++)
		for (int untold = 0; untold < 2; untold++) {
			struct toy *t = toy_make(linear, 2, (struct inw_tally_range){-6, 6}, 0, 5, a);
			CHECK(test_of(wanted[i].sight, t, untold, a) == wanted[i].tests);
			CHECK(t->verdict.nexts == (untold ? 0 : wanted[i].tests));
			if (t->verdict.nexts)
				CHECK_ABS(t->verdict.next[0].gain, wanted[i].gain * (1 - 2 * atan(0.05) / pi), 0.025, "two normal numbers");
		}
}

static void nothing_drawn(const struct inw_design *d)
{
	struct leash leash = {0, 3};
	struct inw_odds_options o = {.threads = 1, .stop = enough, .context = &leash};
	struct inw_odds *r = NULL;
	struct inw_diags diags = {0};

	CHECK(inw_odds(d, &o, &r, &diags) == INW_OK && r && r->samples == 0 && r->stopped && !r->known);
	char *json = r ? inw_show_odds_json(r) : NULL, *text = r ? inw_show_odds_text(r, INW_SI, INW_BRIEF) : NULL;
	CHECK(json && strstr(json, "\"met\": null") && !strstr(json, "\"met\": 0"));
	CHECK(text && strstr(text, "stopped before the first sample") && !strstr(text, " likely ") && !strstr(text, " Pa"));
	free(json);
	free(text);
	inw_odds_free(r);
	inw_diags_free(&diags);
}

/* ---- files of samples ---- */

static size_t slurp(const char *file, unsigned char **bytes)
{
	FILE *f = fopen(file, "rb");
	size_t n = 0;

	*bytes = malloc((size_t)1 << 26);
	if (f && *bytes)
		n = fread(*bytes, 1, (size_t)1 << 26, f);
	if (f)
		fclose(f);
	return n;
}

static uint64_t fnv_1a(const unsigned char *b, size_t n, size_t hole)
{
	uint64_t h = 14695981039346656037u;

	for (size_t i = 0; i < n; i++)
		h = (h ^ (i >= hole && i < hole + 8 ? 0 : b[i])) * 1099511628211u;
	return h;
}

static void refused_file(const struct inw_design *d, const char *file, const unsigned char *bytes, size_t n, const char *word)
{
	struct inw_odds_options o = {.samples = 64, .seed = 9, .resume = file};
	struct inw_odds *r = NULL;
	struct inw_diags diags = {0};
	FILE *f = fopen(file, "wb");

	CHECK(f && fwrite(bytes, 1, n, f) == n && fclose(f) == 0);
	CHECK(inw_odds(d, &o, &r, &diags) == INW_BAD_INPUT && !r);
	CHECK(diags.count == 1 && strstr(diags.items[0].message, word));
	inw_odds_free(r);
	inw_diags_free(&diags);
}

static void damaged(const struct inw_design *d, const char *file)
{
	unsigned char *b = NULL;
	uint64_t sum;

	free(odds(d, (struct inw_odds_options){.samples = 64, .seed = 9, .keep = file}));
	size_t n = slurp(file, &b), at[] = {34, 41, 90, n / 3, n - 1};
	CHECK(n > 1000);
	CHECK(fnv_1a((const unsigned char *)"foobar", 6, 99) == 0x85944171f73967e8u); /* draft-eastlake-fnv (memory) */
	memcpy(&sum, b + 32, sizeof sum);
	CHECK(sum == fnv_1a(b, n, 32));
	for (size_t i = 0; i < sizeof at / sizeof *at && n > 1000; i++) {
		b[at[i]] ^= 1;
		refused_file(d, file, b, n, "checksum");
		b[at[i]] ^= 1;
	}
	refused_file(d, file, b, n - 1, "checksum");
	b[16]--;
	refused_file(d, file, b, n, "version");
	free(b);
}

/* Where no throttle can set the share that is to go out, nothing of what flows is told: how many samples these are, and why, is
 * said beside the odds. */
static void share_out_of_reach(void)
{
	static const char written[] = "share: 18 %", wanted[] = "share:  6 %", why[] = "the share that the file says is sent out cannot be set in some state (throttle)";
	unsigned char *bytes = NULL;
	size_t n = slurp("test/peer/designs/fixed-share.yaml", &bytes);
	char *file = n ? strndup((char *)bytes, n) : NULL, *at = file ? strstr(file, written) : NULL, *text = NULL;
	struct inw_design *d = NULL;
	struct inw_odds *r = NULL;
	struct inw_diags diags = {0};

	CHECK(at != NULL);
	if (!at)
		goto done;
	memcpy(at, wanted, sizeof wanted - 1);
	CHECK(inw_design_parse(file, n, "made", NULL, &d, &diags) == INW_OK);
	if (!d || inw_odds(d, &(struct inw_odds_options){.samples = 256}, &r, &diags) != INW_OK)
		goto done;
	const struct inw_odds_verdict *moist = NULL, *throttle = NULL;
	for (size_t i = 0; i < r->verdict_count; i++) {
		moist = strcmp(r->verdicts[i].id, "bed_humidity") == 0 ? &r->verdicts[i] : moist;
		throttle = strcmp(r->verdicts[i].id, "throttle") == 0 ? &r->verdicts[i] : throttle;
	}
	CHECK(moist && throttle && throttle->met > 0.1 && throttle->met < 0.9 && throttle->none == 0 && !throttle->none_why);
	if (moist && throttle) {
		CHECK_ABS(moist->none, 1 - throttle->met, 1e-12, "what the throttle misses");
		CHECK_TEXT(moist->none_why, why);
	}
	text = flat(inw_show_odds_text(r, INW_SI, INW_BRIEF));
	CHECK(text && strstr(text, "of the samples have no answer and count as not met, since the share that the file says is sent out cannot be set in some state (throttle)"));
	const char *least = text ? strstr(text, "Least sure to be met: ") : NULL;
	CHECK(least && strstr(least, " of the samples have no answer and count as not met, since ") < strstr(least, "Measure next: "));
done:
	free(text);
	free(file);
	free(bytes);
	inw_odds_free(r);
	inw_design_free(d);
	inw_diags_free(&diags);
}

static bool never(void *context)
{
	return ++*(int *)context < 0;
}

struct gone { const char *folder; int asked; };

/* The folder disappears while samples are drawn. */
static bool take_away(void *context)
{
	struct gone *g = context;

	if (g->asked++ == INW_ODDS_PILOT)
		CHECK(rmdir(g->folder) == 0);
	return false;
}

/* Where nothing can be written is said before the work; where it goes wrong at the end, what was sampled is there all the same. */
static void unwritable(const struct inw_design *d)
{
	int asked = 0;
	struct inw_odds_options o = {.samples = 64, .width = 1e-9, .threads = 1, .keep = "/no such folder/kept", .stop = never, .context = &asked};
	struct inw_odds *r = NULL;
	struct inw_diags diags = {0};
	char folder[] = "/tmp/inward_odds_XXXXXX", file[64];

	CHECK(inw_odds(d, &o, &r, &diags) == INW_IO && !r && asked == 0 && diags.count == 1);
	o.keep = "/tmp";
	CHECK(inw_odds(d, &o, &r, &diags) == INW_IO && !r && asked == 0);
	CHECK(mkdtemp(folder) != NULL);
	snprintf(file, sizeof file, "%s/kept", folder);
	struct gone gone = {folder, 0};
	o = (struct inw_odds_options){.samples = 64, .width = 1e-9, .threads = 1, .keep = file, .stop = take_away, .context = &gone};
	CHECK(inw_odds(d, &o, &r, &diags) == INW_IO && r && r->samples == 64);
	inw_odds_free(r);
	inw_diags_free(&diags);
}

int main(void)
{
	struct inw_arena *a = inw_arena_new((size_t)1 << 29);
	struct inw_design *d = NULL;
	struct inw_diags diags = {0};
	char file[] = "/tmp/inward_odds_XXXXXX";
	int fd = mkstemp(file);

	if (!a || fd < 0)
		return 1;
	close(fd);
	known_indices(a);
	coverage();
	beyond_the_end();
	zeros();
	cut_off_at_the_limit();
	without_answer();
	own_verdicts(a);
	few_samples(a);
	some_read_nothing(a);
	share_out_of_reach();
	CHECK(inw_design_read("examples/splint-night.yaml", NULL, &d, &diags) == INW_OK);
	if (d) {
		inputs(d);
		same_bits(d, file);
		same_cap(d, file);
		damaged(d, file);
		words(d);
		missing_data(d);
		nothing_drawn(d);
		unwritable(d);
	}
	unlink(file);
	inw_design_free(d);
	inw_diags_free(&diags);
	inw_arena_free(a);
	return check_done();
}
