/* SPDX-License-Identifier: MIT */
/* difference.h: derivatives by central difference, to hold the exact ones against, and plain random numbers. */
#ifndef INW_TEST_DIFFERENCE_H
#define INW_TEST_DIFFERENCE_H

#include <math.h>
#include <stdint.h>

#define DIFFERENCE_ARGS 8

typedef double (*difference_law)(const double *args);

static inline double difference_step(difference_law f, const double *args, int i, double h)
{
	double a[DIFFERENCE_ARGS], up, down;

	for (int k = 0; k < DIFFERENCE_ARGS; k++)
		a[k] = args[k];
	a[i] = args[i] + h;
	up = f(a);
	a[i] = args[i] - h;
	down = f(a);
	return (up - down) / (2 * h);
}

/* Two steps and Richardson: the error left is of order h^4. */
static inline double difference(difference_law f, const double *args, int i, double h)
{
	return (4 * difference_step(f, args, i, h / 2) - difference_step(f, args, i, h)) / 3;
}

/* Numerical Recipes' 64-bit linear congruence (Knuth's constants); uniform in [lo, hi) */
static inline double between(uint64_t *state, double lo, double hi)
{
	*state = *state * 6364136223846793005ULL + 1442695040888963407ULL;
	return lo + (hi - lo) * (double)(*state >> 11) / 9007199254740992.0;
}

/* the same, evenly in the logarithm */
static inline double between_log(uint64_t *state, double lo, double hi)
{
	return exp(between(state, log(lo), log(hi)));
}

#endif
