/* SPDX-License-Identifier: MIT */
/* bench_bed.c: times a bed of 100 cells and six vapours inside the process.
 *
 * usage: bench_bed                       prints "NAME VALUE UNIT", the median of as many runs as fit into about a second,
 *                                        three at least; and how the cost grows, as exponents
 *        bench_bed numbers               what peer_bed.py needs to solve the same equations, one row for each vapour
 *        bench_bed day BEFORE TOLERANCE  loadings before and after one day, after so many days of use; first row: the
 *                                        highest of each vapour so far
 *        bench_bed year TOLERANCE        the same at the end of all days; first row: the highest of each vapour
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "growth.h"
#include "solve/bed.h"

enum { CELLS = 100, N = 6, MOST_CELLS = 800, MOST_N = 12, MOST_RUNS = 200, LEAST_RUNS = 3, DAYS = 250, CHOSEN = 3 };
#define FINE 1e-7 /* tolerance of the reference */
static const int chosen[CHOSEN] = {0, 125, 249}; /* days of use before the one that the peer runs too */

struct subject {
	int cells, n;
	struct inw_sorbent flow, rest;
	double tolerance;
	double q[MOST_CELLS * MOST_N], most[MOST_N], work[INW_BED_WORKSPACE(MOST_CELLS, MOST_N)];
	int steps;
};

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;
	return (x > y) - (x < y);
}

/* From acetone-like to naphthalene-like, some ppb to some hundred ppb: what a printer gives off. */
static const struct { double molar_mass, density, psat, refraction, inlet; } vapour[N] = {
	{ 0.058, 785, 26e3, 16.2e-6, 3e-7 }, { 0.100, 940, 3.9e3, 26.7e-6, 2e-7 }, { 0.092, 865, 3.2e3, 31.1e-6, 1e-7 },
	{ 0.106, 865, 1070, 35.8e-6, 3e-7 }, { 0.104, 906, 680, 36.5e-6, 1e-6 }, { 0.113, 1070, 1, 32e-6, 2e-7 },
};

/* More than six: the same again, each a twentieth less volatile, so that no two are alike. */
static void prepare(struct subject *s, int cells, int n)
{
	const struct inw_carbon_bed bed = { .micropore_m3kg = 0.454e-3, .structure = 3.56e-5, .capacity_factor = 1,
		.rate_factor = 1,
		.granule = { 1.5e-3, 0.4, 3, 1e-5 }, .voidage = 0.4 };
	struct inw_sorbate sorbate[MOST_N];
	for (int i = 0; i < n; i++)
		sorbate[i] = (struct inw_sorbate){ .kind = INW_CAPACITY_DUBININ,
			.molar_mass_kgmol = vapour[i % N].molar_mass,
			.liquid_kgm3 = vapour[i % N].density, .diffusivity_m2s = 8e-6,
			.psat_Pa = vapour[i % N].psat * (1 - 0.05 * (i / N)),
			.refraction_m3mol = vapour[i % N].refraction };
	s->cells = cells;
	s->n = n;
	s->tolerance = INW_BED_OPTIONS.tolerance;
	inw_sorbent_at(&bed, sorbate, n, &(struct inw_bed_air){ 298.15, 1.54e-5, 0.2 }, &s->flow);
	inw_sorbent_at(&bed, sorbate, n, &(struct inw_bed_air){ 293.15, 1.54e-5, 0 }, &s->rest);
}

static int run(struct subject *s, struct inw_bed_state *state, double velocity, bool printing, double hours)
{
	const struct inw_sorbent *now = velocity > 0 ? &s->flow : &s->rest;
	double inlet[MOST_N] = {0};
	for (int i = 0; i < s->n && printing; i++)
		inlet[i] = vapour[i % N].inlet;
	struct inw_bed_model m = {s->cells, s->n, 0.01, 0.02, 450, INW_BED_GAS, inw_sorbent_law(now)};
	struct inw_bed_inputs in = {.velocity_ms = velocity, .inlet_kgm3 = inlet, .rate_1s = now->rate_1s,
		.spread_m2s = now->spread_m2s, .still_m2s = now->still_m2s};
	struct inw_bed_options options = INW_BED_OPTIONS;
	options.tolerance = s->tolerance;
	options.most_steps = 10000000;
	struct inw_bed_result r = {.why = NULL};
	inw_bed_advance(&m, state, &in, 3600 * hours, &options, s->work, &r);
	s->steps += r.steps + r.rejected;
	return r.status == INW_OK ? 0 : -1;
}

static struct inw_bed_state fresh(struct subject *s)
{
	memset(s->q, 0, sizeof s->q);
	memset(s->most, 0, sizeof s->most);
	s->steps = 0;
	return (struct inw_bed_state){.q = s->q, .most = s->most};
}

/* a job of 8 h, an hour of clean air, the rest of the day at rest */
static int day(struct subject *s, struct inw_bed_state *state)
{
	return run(s, state, 0.2, true, 8) || run(s, state, 0.2, false, 1) || run(s, state, 0, false, 15) ? -1 : 0;
}

static int several_days(struct subject *s, struct inw_bed_state *state, int days)
{
	for (int d = 0; d < days; d++)
		if (day(s, state) != 0)
			return -1;
	return 0;
}

static int do_day(struct subject *s)
{
	struct inw_bed_state state = fresh(s);
	return day(s, &state);
}

static int do_steady(struct subject *s)
{
	struct inw_bed_state state = fresh(s);
	return run(s, &state, 0.2, true, 2000);
}

/* 2000 h of printing in days of 8 h */
static int do_days(struct subject *s)
{
	struct inw_bed_state state = fresh(s);
	return several_days(s, &state, DAYS);
}

static int measure(const char *what, int (*work)(struct subject *s), struct subject *s)
{
	double took[MOST_RUNS], begin = spent_s();
	int runs = 0;
	while (runs < MOST_RUNS && (runs < LEAST_RUNS || spent_s() - begin < 1.0)) {
		double start = spent_s();
		if (work(s) != 0)
			return -1;
		took[runs++] = spent_s() - start;
	}
	qsort(took, (size_t)runs, sizeof took[0], by_size);
	printf("%s %.6g ms\n%s_steps %d steps\n", what, 1e3 * took[runs / 2], what, s->steps);
	return 0;
}

/* ---- for the peer ---- */

static void print_numbers(const struct subject *s)
{
	const struct inw_sorbent *at[2] = {&s->flow, &s->rest};
	for (int i = 0; i < N; i++) {
		printf("%.17g %.17g", vapour[i].inlet, vapour[i].density);
		for (int k = 0; k < 2; k++)
			printf(" %.17g %.17g %.17g %.17g", at[k]->per_Pa[i], at[k]->pores.alone[i].psat_Pa, at[k]->pores.alone[i].root,
				k ? at[k]->still_m2s[i] : inw_rate_lumped(at[k]->rate_1s[i], at[k]->spread_m2s[i], 0.2));
		printf("\n");
	}
}

static void print_loadings(const double *q, int rows)
{
	for (int i = 0; i < rows * N; i++)
		printf("%.17g%c", q[i], i % N == N - 1 ? '\n' : ' ');
}

static int print_day(struct subject *s, int before, double tolerance)
{
	struct inw_bed_state state = fresh(s);
	if (several_days(s, &state, before))
		return -1;
	print_loadings(s->most, 1);
	print_loadings(s->q, CELLS);
	s->tolerance = tolerance;
	state.first_step_s[0] = state.first_step_s[1] = 0;
	if (day(s, &state))
		return -1;
	print_loadings(s->q, CELLS);
	return 0;
}

static int print_year(struct subject *s, double tolerance)
{
	struct inw_bed_state state = fresh(s);
	s->tolerance = tolerance;
	if (several_days(s, &state, DAYS))
		return -1;
	print_loadings(s->most, 1);
	print_loadings(s->q, CELLS);
	return 0;
}

/* ---- single days of the year ---- */

/* Loadings at the end of the day against those of steps so small that what is left of their error does not count: the largest
 * difference, over the most that the bed has held of that vapour. */
static int print_error(struct subject *s, int before, const double *q)
{
	const double kept = s->tolerance;
	double worst = 0;
	struct inw_bed_state state = fresh(s);
	if (several_days(s, &state, before))
		return -1;
	s->tolerance = FINE;
	state.first_step_s[0] = state.first_step_s[1] = 0;
	int status = day(s, &state);
	s->tolerance = kept;
	for (int k = 0; k < CELLS * N; k++)
		worst = fmax(worst, fabs(q[k] - s->q[k]) / s->most[k % N]);
	printf("bed_day_%d_error %.3g of_most\n", before + 1, worst);
	return status;
}

static int time_one_day(struct subject *s, int before)
{
	static double q[CELLS * N];
	double most[N], took[MOST_RUNS], begin;
	int runs = 0;
	struct inw_bed_state now = fresh(s);
	if (several_days(s, &now, before))
		return -1;
	memcpy(q, s->q, sizeof q);
	memcpy(most, s->most, sizeof most);
	for (begin = spent_s(); runs < MOST_RUNS && (runs < LEAST_RUNS || spent_s() - begin < 0.3); ) {
		struct inw_bed_state state = now;
		memcpy(s->q, q, sizeof q);
		memcpy(s->most, most, sizeof most);
		double start = spent_s();
		if (day(s, &state))
			return -1;
		took[runs++] = spent_s() - start;
	}
	qsort(took, (size_t)runs, sizeof took[0], by_size);
	printf("bed_day_%d %.6g ms\n", before + 1, 1e3 * took[runs / 2]);
	memcpy(q, s->q, sizeof q); /* of the last run, as of all */
	return print_error(s, before, q);
}

/* ---- how the cost grows ---- */

enum { SIZES = 5, TIMES = 3 };
struct size { int cells, n, days; double is; };

/* Each size's time is the best of several. */
static int exponent(const char *what, struct subject *s, const struct size *at)
{
	double size[SIZES], best[SIZES];
	for (int k = 0; k < SIZES; k++) {
		prepare(s, at[k].cells, at[k].n);
		size[k] = at[k].is;
		best[k] = INFINITY;
		for (int r = 0; r < TIMES; r++) {
			struct inw_bed_state state = fresh(s);
			double start = spent_s();
			if (several_days(s, &state, at[k].days))
				return -1;
			best[k] = fmin(best[k], spent_s() - start);
		}
	}
	printf("%s %.3f exponent\n", what, growth(SIZES, size, best));
	return 0;
}

static int exponents(struct subject *s)
{
	static const struct size cells[SIZES] = {{50, N, 4, 50}, {100, N, 4, 100}, {200, N, 4, 200}, {400, N, 4, 400},
		{800, N, 4, 800}};
	static const struct size n[SIZES] = {{CELLS, 1, 8, 1}, {CELLS, 2, 8, 2}, {CELLS, 3, 8, 3}, {CELLS, 6, 8, 6},
		{CELLS, 12, 8, 12}};
	static const struct size days[SIZES] = {{CELLS, N, 6, 6}, {CELLS, N, 12, 12}, {CELLS, N, 24, 24}, {CELLS, N, 48, 48},
		{CELLS, N, 96, 96}};

	return exponent("bed_cost_cells", s, cells) || exponent("bed_cost_substances", s, n)
		|| exponent("bed_cost_hours", s, days) ? -1 : 0;
}

int main(int argc, char **argv)
{
	struct subject *s = calloc(1, sizeof *s);
	int status = 0;
	if (!s)
		return 1;
	prepare(s, CELLS, N);
	if (argc == 2 && strcmp(argv[1], "numbers") == 0)
		print_numbers(s);
	else if (argc == 3 && strcmp(argv[1], "year") == 0)
		status = print_year(s, atof(argv[2]));
	else if (argc == 4 && strcmp(argv[1], "day") == 0)
		status = print_day(s, atoi(argv[2]), atof(argv[3]));
	else {
		status = measure("bed_24h", do_day, s) || measure("bed_2000h_steady", do_steady, s)
			|| measure("bed_2000h_days", do_days, s);
		for (int k = 0; k < CHOSEN && !status; k++)
			status = time_one_day(s, chosen[k]);
		status = status || exponents(s);
	}
	free(s);
	if (status)
		fprintf(stderr, "bench_bed: a run failed\n");
	return status ? 1 : 0;
}
