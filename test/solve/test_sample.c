/* SPDX-License-Identifier: MIT */
/* Sobol' points, their scrambling, the normal distribution. */
#include "solve/sample.h"

#include <stdlib.h>

#include "test/check.h"

enum { DIMENSIONS = 8 };

/* Plain Sobol' coordinate from the direction numbers alone, unscrambled. */
static uint32_t plain(const struct inw_sampler *s, size_t dimension, uint64_t index)
{
	uint32_t x = 0;

	for (int k = 0; k < INW_SAMPLE_DIGITS; k++)
		if (index >> k & 1)
			x ^= s->direction[dimension * INW_SAMPLE_DIGITS + (size_t)k];
	return x;
}

/* The first points of the sequence in two and three dimensions: Bratley & Fox 1988 (memory); those of dimension 3 as SciPy
 * 1.10's scipy.stats.qmc.Sobol(3, scramble=False).random(8) prints them, which walks them in Gray code order. */
static void known_points(const struct inw_sampler *s)
{
	static const double want[8][3] = {{0, 0, 0}, {0.5, 0.5, 0.5}, {0.75, 0.25, 0.25}, {0.25, 0.75, 0.75}, {0.375, 0.375, 0.625}, {0.875, 0.875, 0.125},
		{0.625, 0.125, 0.875}, {0.125, 0.625, 0.375}};

	for (uint64_t i = 0; i < 8; i++)
		for (size_t d = 0; d < 3; d++)
			CHECK_ABS(plain(s, d, i ^ (i >> 1)) * 0x1p-32, want[i][d], 0, "SciPy 1.10 qmc.Sobol");
}

/* A (t, m, s)-net in base 2: every box of volume 2^(t-m) with sides 2^-d1, 2^-d2 holds 2^t points. The first two coordinates
 * of Sobol' have t = 0 (Sobol' 1967, memory). */
static void net(const struct inw_sampler *s, unsigned m)
{
	double u[DIMENSIONS];
	unsigned n = 1u << m;

	for (unsigned d1 = 0; d1 <= m; d1++) {
		unsigned d2 = m - d1, *count = calloc(n, sizeof *count), wrong = 0;
		for (unsigned i = 0; count && i < n; i++) {
			inw_sampler_point(s, i, u);
			count[((unsigned)(u[0] * (1u << d1)) << d2) | (unsigned)(u[1] * (1u << d2))]++;
		}
		for (unsigned i = 0; count && i < n; i++)
			wrong += count[i] != 1;
		CHECK(wrong == 0);
		free(count);
	}
}

/* Every coordinate alone puts one point into each of 2^m intervals, also beyond the tabled digits. */
static void stratified(const struct inw_sampler *s, unsigned m)
{
	double u[DIMENSIONS];
	unsigned n = 1u << m, wrong = 0;
	unsigned char *seen = calloc(n * DIMENSIONS, 1);

	for (unsigned i = 0; seen && i < n; i++) {
		inw_sampler_point(s, i, u);
		for (unsigned d = 0; d < DIMENSIONS; d++)
			wrong += seen[d * n + (unsigned)(u[d] * n)]++ != 0;
	}
	CHECK(wrong == 0);
	free(seen);
}

/* Over many scrambles each point is uniform: of its first 14 digits each is a one half of the time, and pairs are independent.
 * Bounds: four and a half standard deviations of a binomial count. */
static void uniform(struct inw_arena *arena)
{
	enum { SEEDS = 2000, DIGITS = 14 };
	int one[DIGITS] = {0}, both[DIGITS] = {0};
	double u[1], mean = 0;

	for (unsigned k = 0; k < SEEDS; k++) {
		struct inw_sampler s;
		if (inw_sampler_make(&s, 77 + k, 1, arena))
			return;
		inw_sampler_point(&s, 5, u);
		mean += u[0] / SEEDS;
		unsigned before = 0;
		for (unsigned i = 0; i < DIGITS; i++) {
			unsigned digit = (unsigned)(u[0] * (1u << (i + 1))) & 1;
			one[i] += (int)digit;
			both[i] += (int)(digit & before);
			before = digit;
		}
	}
	CHECK_ABS(mean, 0.5, 4.5 * sqrt(1.0 / 12 / SEEDS), "uniform distribution");
	for (int i = 0; i < DIGITS; i++) {
		CHECK_ABS(one[i], 0.5 * SEEDS, 4.5 * sqrt(0.25 * SEEDS), "fair coin");
		if (i)
			CHECK_ABS(both[i], 0.25 * SEEDS, 4.5 * sqrt(0.1875 * SEEDS), "two fair coins");
	}
}

static double smooth(const double *u)
{
	double f = 1;

	for (int i = 0; i < 6; i++)
		f *= 1 + (u[i] - 0.5) * 0.5 + (u[i] * u[i] - 1.0 / 3) * 0.3;
	return f; /* mean 1 exactly */
}

/* Root mean square error of the mean over scrambles. */
static double error_of(unsigned points, struct inw_arena *arena)
{
	enum { SEEDS = 12 };
	double u[DIMENSIONS], square = 0;

	for (unsigned k = 0; k < SEEDS; k++) {
		struct inw_sampler s;
		double sum = 0;
		if (inw_sampler_make(&s, 1000 + k, DIMENSIONS, arena))
			return NAN;
		for (unsigned i = 0; i < points; i++) {
			inw_sampler_point(&s, i, u);
			sum += smooth(u);
		}
		square += (sum / points - 1) * (sum / points - 1) / SEEDS;
	}
	return sqrt(square);
}

int main(void)
{
	struct inw_arena *arena = inw_arena_new((size_t)1 << 30);
	struct inw_sampler s;

	if (!arena || inw_sampler_make(&s, 42, DIMENSIONS, arena))
		return 1;
	known_points(&s);
	for (unsigned m = 1; m <= 12; m++)
		net(&s, m);
	stratified(&s, 10);
	stratified(&s, 14);
	uniform(arena);
	/* plain random points fall as n^-1/2; scrambled nets of smooth functions nearly as n^-3/2 (Owen 1997, memory) */
	double slope = log(error_of(1u << 13, arena) / error_of(1u << 7, arena)) / log(64);
	CHECK(slope < -0.9);
	double worst = 0;
	for (double z = -8; z <= 5; z += 1e-3)
		worst = fmax(worst, fabs(inw_normal_quantile(inw_normal_below(z)) - z) / fmax(1, exp(0.5 * z * z) * 3e-3));
	CHECK(worst < 3e-13);
	CHECK_ABS(inw_normal_quantile(0.975), 1.959963984540054, 1e-14, "any table of the normal distribution");
	CHECK_ABS(inw_normal_quantile(0.95), 1.6448536269514722, 1e-14, "any table of the normal distribution");
	CHECK_ABS(inw_normal_quantile(1e-10), -6.361340902404056, 1e-12, "SciPy 1.10 norm.ppf");
	inw_arena_free(arena);
	return check_done();
}
