/* SPDX-License-Identifier: MIT */
/* bench_day.c: times a whole day inside the process, reading and report left out. Argument: a design file. Prints "day VALUE
 * ms": the median of as many runs as fit into some two seconds, five at least. Then how the cost grows with the number of
 * particle sizes, as exponents: with particles enough to meet (coagulation) and with
 * so few that none do, per step of the day; and of meeting alone.
 */
#include <stdio.h>
#include <stdlib.h>

#include "growth.h"
#include "solve/day.h"

enum { MOST_RUNS = 200, LEAST_RUNS = 5 };
static struct inw_day_sim sim;

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;
	return (x > y) - (x < y);
}

static int one_day(const struct inw_design *d, int bins, const double *x, double *now)
{
	const struct inw_day_setup setup = {bins, 0};
	int more = inw_day_start(&sim, d, &setup, x, now);

	if (more)
		return -1;
	while ((more = inw_day_step(&sim)) > 0)
		;
	return more;
}

static int measure(const struct inw_design *d, const double *x, double *now)
{
	double took[MOST_RUNS], begin = spent_s();
	int runs = 0;

	while (runs < MOST_RUNS && (runs < LEAST_RUNS || spent_s() - begin < 2.0)) {
		double start = spent_s();
		if (one_day(d, INW_BINS, x, now))
			return -1;
		took[runs++] = spent_s() - start;
	}
	qsort(took, (size_t)runs, sizeof took[0], by_size);
	printf("day %.6g ms\n", 1e3 * took[runs / 2]);
	return 0;
}

enum { SIZES = 6, TIMES = 3 };
static const int bins[SIZES] = {12, 16, 24, 32, 48, 64};

/* Per step, the best of several days: with other bins a day takes other steps. */
static int grows(const char *what, const struct inw_design *d, const double *x, double *now)
{
	double size[SIZES], best[SIZES];

	for (int k = 0; k < SIZES; k++) {
		size[k] = bins[k];
		best[k] = INFINITY;
		for (int r = 0; r < TIMES; r++) {
			double start = spent_s();
			if (one_day(d, bins[k], x, now))
				return -1;
			best[k] = fmin(best[k], (spent_s() - start) / (double)(sim.steps + sim.rejected));
		}
	}
	printf("%s %.3f exponent\n", what, growth(SIZES, size, best));
	return 0;
}

/* What each evaluation of meeting costs: of as many of each size as make sense together. */
static void meeting_grows(void)
{
	static struct inw_coagulation meet;
	const struct inw_aerosol air = {.T_K = 293.15, .p_Pa = 101325, .density_kgm3 = 1000};
	double size[SIZES], best[SIZES];
	volatile double sink = 0; /* so that nothing is left out */

	for (int k = 0; k < SIZES; k++) {
		struct inw_bins grid;
		double N[INW_MAX_BINS], won[INW_MAX_BINS], lost[INW_MAX_BINS];
		inw_bins_grid(&grid, bins[k], INW_BINS_FROM_M, INW_BINS_TO_M);
		inw_coagulation_brownian(&meet, &grid, &air);
		for (int b = 0; b < bins[k]; b++)
			N[b] = 1e10 * (b + 1);
		size[k] = bins[k];
		best[k] = INFINITY;
		for (int r = 0; r < TIMES; r++) {
			double start = spent_s();
			for (int i = 0; i < 5000; i++) {
				inw_coagulation_split(&meet, N, won, lost);
				sink = sink + won[i % bins[k]];
			}
			best[k] = fmin(best[k], spent_s() - start);
		}
	}
	printf("meeting_cost_bins %.3f exponent\n", growth(SIZES, size, best));
}

static int exponents(const struct inw_design *d, double *x, double *now)
{
	if (grows("day_cost_bins", d, x, now))
		return -1;
	for (size_t i = 0; i < d->catalog.materials; i++)
		if (d->catalog.material[i].particles >= 0)
			x[d->catalog.material[i].particles] = 1; /* one a second: far too few to meet */
	if (grows("day_cost_bins_apart", d, x, now))
		return -1;
	meeting_grows();
	return 0;
}

int main(int argc, char **argv)
{
	struct inw_diags diags = {0};
	struct inw_design *d = NULL;
	int status = -1;

	if (argc > 1 && inw_design_read(argv[1], NULL, &d, &diags) == INW_OK) {
		double *x = calloc(2 * d->quantities + 2, sizeof *x);
		for (size_t i = 0; x && i < d->quantities; i++)
			x[i] = d->quantity[i].value;
		status = x && !measure(d, x, x + d->quantities + 1) ? exponents(d, x, x + d->quantities + 1) : -1;
		free(x);
	}
	if (status)
		fprintf(stderr, "bench_day: the day could not be run: %s\n", sim.why ? sim.why : "no design");
	inw_design_free(d);
	inw_diags_free(&diags);
	return status ? 1 : 0;
}
