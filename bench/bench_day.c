/* SPDX-License-Identifier: MIT */
/* bench_day.c: times a whole day inside the process, reading and report left out. Argument: a design file. Prints "day VALUE
 * ms": the median of as many runs as fit into some two seconds, five at least.
 */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "solve/day.h"

enum { MOST_RUNS = 200, LEAST_RUNS = 5 };
static struct inw_day_sim sim;

static double now_s(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;
	return (x > y) - (x < y);
}

static int one_day(const struct inw_design *d, double tolerance, const double *x, double *now)
{
	const struct inw_day_setup setup = {INW_BINS, tolerance};
	int more = inw_day_start(&sim, d, &setup, x, now);

	if (more)
		return -1;
	while ((more = inw_day_step(&sim)) > 0)
		;
	return more;
}

static int measure(const struct inw_design *d, const double *x, double *now)
{
	double took[MOST_RUNS], begin = now_s();
	int runs = 0;

	while (runs < MOST_RUNS && (runs < LEAST_RUNS || now_s() - begin < 2.0)) {
		double start = now_s();
		if (one_day(d, 0, x, now))
			return -1;
		took[runs++] = now_s() - start;
	}
	qsort(took, (size_t)runs, sizeof took[0], by_size);
	printf("day %.6g ms\n", 1e3 * took[runs / 2]);
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
		status = x ? measure(d, x, x + d->quantities + 1) : -1;
		free(x);
	}
	if (status)
		fprintf(stderr, "bench_day: the day could not be run: %s\n", sim.why ? sim.why : "no design");
	inw_design_free(d);
	inw_diags_free(&diags);
	return status ? 1 : 0;
}
