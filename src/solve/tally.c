/* SPDX-License-Identifier: MIT */
#include "solve/tally.h"

#include <assert.h>
#include <math.h>

/* The array: n; for each output the words below, its histogram and, of a plan with bounds, that of its bounds; for each driver
 * and slice its count, then the sums of all outputs on their scale, from the middle of their range. */
enum { TOGETHER = 64 }; /* outputs */
enum { MET, NONE, LOOKED_AT, OTHERWISE, NOTHING, MORE, LESS, UNDECIDED, ANSWERS, SUM, SUM2, LEAST, MOST, COUNTS, ALL_BINS = INW_TALLY_BINS + 2 };

/* Student's t for 97.5 % and 1 to 15 degrees of freedom: any table of it, e.g. NIST/SEMATECH e-Handbook 1.3.6.7.2 (memory) */
static const double student[INW_ESTIMATE_MOST] = {INFINITY, 12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.160,
	2.145, 2.131};

static size_t output_at(const struct inw_tally_plan *p, int output)
{
	return 1 + (size_t)output * (size_t)(COUNTS + 2 * ALL_BINS * (p->bounds ? 2 : 1));
}

static size_t slice_at(const struct inw_tally_plan *p, int driver, int slice)
{
	return output_at(p, p->outputs) + (size_t)(driver * INW_TALLY_SLICES + slice) * (size_t)(1 + p->outputs);
}

size_t inw_tally_size(const struct inw_tally_plan *p)
{
	return slice_at(p, p->drivers, 0);
}

static int bin_of(const struct inw_tally_range *r, double y)
{
	if (!(y >= r->from))
		return 0;
	if (!(y < r->to))
		return INW_TALLY_BINS + 1;
	int bin = 1 + (int)(INW_TALLY_BINS * ((y - r->from) / (r->to - r->from)));
	return bin > INW_TALLY_BINS ? INW_TALLY_BINS : bin;
}

static double middle(const struct inw_tally_range *r)
{
	return 0.5 * (r->from + r->to);
}

/* From the middle of the range; 0 for no answer, so that it says nothing about any driver. */
static double centred(const struct inw_tally_range *r, double y)
{
	return isnan(y) ? 0 : fmin(fmax(y, r->from), r->to) - middle(r);
}

static bool has_ends(const double *t)
{
	return t[ANSWERS] > t[NOTHING];
}

static void stretch(double *t, double least, double most)
{
	t[LEAST] = has_ends(t) ? fmin(t[LEAST], least) : least;
	t[MOST] = has_ends(t) ? fmax(t[MOST], most) : most;
}

static void add_to_bin(double *bins, int bin, double value)
{
	bins[2 * bin]++;
	bins[2 * bin + 1] += value;
}

static void add_output(double *t, const struct inw_tally_range *r, const struct inw_tally_mark *m)
{
	t[MET] += m->met;
	t[LOOKED_AT] += m->looked_at;
	t[OTHERWISE] += m->otherwise;
	if (isnan(m->scaled)) {
		t[NONE]++;
		return;
	}
	double y = centred(r, m->scaled);
	int bin = bin_of(r, m->scaled);
	if (m->scaled == -INFINITY)
		t[NOTHING]++;
	else
		stretch(t, m->scaled, m->scaled);
	t[ANSWERS]++;
	t[SUM] += y;
	t[SUM2] += y * y;
	add_to_bin(&t[COUNTS], bin, m->value);
	if (m->bound) {
		t[m->bound > 0 ? MORE : LESS]++;
		t[UNDECIDED] += m->undecided;
		add_to_bin(&t[COUNTS + 2 * ALL_BINS], bin, m->value);
	}
}

void inw_tally_add(double *tally, const struct inw_tally_plan *p, const struct inw_tally_mark *mark, const double *u)
{
	tally[0]++;
	for (int i = 0; i < p->outputs; i++) {
		assert(p->bounds || !mark[i].bound);
		add_output(&tally[output_at(p, i)], &p->range[i], &mark[i]);
	}
	for (int k = 0; k < p->drivers; k++)
		tally[slice_at(p, k, (int)(u[k] * INW_TALLY_SLICES))]++;
	for (int from = 0; from < p->outputs; from += TOGETHER) { /* each is looked at once, then added for all drivers */
		double y[TOGETHER];
		int n = p->outputs - from < TOGETHER ? p->outputs - from : TOGETHER;
		for (int i = 0; i < n; i++)
			y[i] = centred(&p->range[from + i], mark[from + i].scaled);
		for (int k = 0; k < p->drivers; k++) {
			double *slice = &tally[slice_at(p, k, (int)(u[k] * INW_TALLY_SLICES)) + 1 + (size_t)from];
			for (int i = 0; i < n; i++)
				slice[i] += y[i];
		}
	}
}

double inw_tally_count(const double *tally)
{
	return tally[0];
}

struct inw_tally_counts inw_tally_counts(const double *tally, const struct inw_tally_plan *p, int output)
{
	const double *t = &tally[output_at(p, output)];

	assert(output < p->outputs);
	return (struct inw_tally_counts){t[MET], t[NONE], t[LOOKED_AT], t[OTHERWISE], t[NOTHING], t[MORE], t[LESS], t[UNDECIDED]};
}

struct inw_tally_bin inw_tally_bin(const double *tally, const struct inw_tally_plan *p, int output, int bin, bool bounds)
{
	assert(output < p->outputs && bin >= 0 && bin < ALL_BINS);
	if (bounds && !p->bounds)
		return (struct inw_tally_bin){0, 0};
	const double *t = &tally[output_at(p, output) + COUNTS + 2 * (size_t)(bin + (bounds ? ALL_BINS : 0))];
	return (struct inw_tally_bin){t[0], t[1]};
}

struct inw_tally_range inw_tally_ends(const double *tally, const struct inw_tally_plan *p, int output)
{
	const double *t = &tally[output_at(p, output)];

	return has_ends(t) ? (struct inw_tally_range){t[LEAST], t[MOST]} : (struct inw_tally_range){NAN, NAN};
}

double inw_tally_variance(const double *tally, const struct inw_tally_plan *p, int output)
{
	const double *t = &tally[output_at(p, output)];
	double n = tally[0], mean = t[SUM] / n;

	assert(output < p->outputs);
	return n > 1 ? fmax(t[SUM2] / n - mean * mean, 0) * n / (n - 1) : 0;
}

/* Sum over the slices of (mean less grand mean)^2, less what scatter between the replicates adds to it; replicate `but` left
 * out. The square of a mean of independent replicates is too large by its own variance: taken off, the slices of a replicate
 * may be as uneven as they like (two coordinates of a few hundred Sobol' points can be strongly related). */
static double between(const double *const *tally, int n, const struct inw_tally_plan *p, int output, int driver, int but)
{
	double sum = 0, mean = 0, count = 0;
	int replicates = 0;

	for (int r = 0; r < n; r++) {
		if (r == but)
			continue;
		mean += tally[r][output_at(p, output) + SUM];
		count += tally[r][0];
	}
	mean /= count;
	for (int k = 0; k < INW_TALLY_SLICES; k++) {
		double s = 0, s2 = 0;
		replicates = 0;
		for (int r = 0; r < n; r++) {
			const double *slice = &tally[r][slice_at(p, driver, k)];
			if (r == but || slice[0] <= 0)
				continue;
			double off = slice[1 + output] / slice[0] - mean;
			s += off;
			s2 += off * off;
			replicates++;
		}
		if (replicates < 2)
			return NAN;
		sum += (s * s - s2) / ((double)replicates * (replicates - 1)); /* mean of the products of different replicates */
	}
	return sum / INW_TALLY_SLICES;
}

struct inw_estimate inw_tally_first(const double *const *tally, int n, const struct inw_tally_plan *p, int output, int driver, double variance)
{
	double all = between(tally, n, p, output, driver, -1) / variance, square = 0;

	if (!(variance > 0) || isnan(all))
		return (struct inw_estimate){NAN, NAN};
	for (int r = 0; r < n; r++) { /* jackknife */
		double without = between(tally, n, p, output, driver, r) / variance;
		square += (without - all) * (without - all);
	}
	return (struct inw_estimate){all, student[n - 1] * sqrt(square * (n - 1) / n)};
}

void inw_tally_merge(double *a, const double *b, const struct inw_tally_plan *p)
{
	size_t size = inw_tally_size(p);

	for (int i = 0; i < p->outputs; i++) {
		double *to = &a[output_at(p, i)];
		const double *from = &b[output_at(p, i)];
		if (has_ends(from))
			stretch(to, from[LEAST], from[MOST]);
		const double least = to[LEAST], most = to[MOST]; /* ends are no sums */
		for (size_t k = 0; k < output_at(p, 1) - 1; k++)
			to[k] += from[k];
		to[LEAST] = least;
		to[MOST] = most;
	}
	a[0] += b[0];
	for (size_t k = output_at(p, p->outputs); k < size; k++)
		a[k] += b[k];
}

struct inw_estimate inw_estimate_of(const double *r, int n)
{
	double mean = 0, square = 0;

	assert(n >= 1 && n <= INW_ESTIMATE_MOST);
	for (int i = 0; i < n; i++)
		mean += r[i] / n;
	for (int i = 0; i < n; i++)
		square += (r[i] - mean) * (r[i] - mean);
	return (struct inw_estimate){mean, n > 1 ? student[n - 1] * sqrt(square / (n - 1) / n) : INFINITY};
}

/* Of n trials with probability p, at most k: the smaller sum of the two is added up. */
static double binomial_at_most(double k, double n, double p)
{
	bool small = 2 * k < n;
	double most = small ? k : n - k - 1, q = small ? p : 1 - p, term = pow(1 - q, n), sum = 0;

	for (double i = 0; i <= most && q < 1; i++) {
		sum += term;
		term *= (n - i) / (i + 1) * q / (1 - q);
	}
	return small ? sum : 1 - sum;
}

/* The largest share of which k or fewer out of n are no surprise. */
static double highest_share(double k, double n)
{
	double low = k / n, high = 1;

	for (int i = 0; i < 50; i++) {
		double p = 0.5 * (low + high);
		*(binomial_at_most(k, n, p) > 0.025 ? &low : &high) = p;
	}
	return high;
}

double inw_share_error(double k, double n)
{
	if (k <= 0 || k >= n)
		return fmin(3 / n, 1);
	return fmax(highest_share(k, n) - k / n, highest_share(n - k, n) - (n - k) / n);
}
