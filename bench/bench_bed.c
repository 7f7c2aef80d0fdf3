/* SPDX-License-Identifier: MIT */
/* bench_bed.c: times a bed of 100 cells and six vapours inside the process. Prints "NAME VALUE UNIT", the median of as
 * many runs as fit into about a second, three at least.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "solve/bed.h"

enum { CELLS = 100, N = 6, MOST_RUNS = 200, LEAST_RUNS = 3 };

struct subject {
	struct inw_sorbent flow, rest;
	double q[CELLS * N], most[N], work[CELLS * N * (9 + 2 * N)];
	int steps;
};

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

/* From acetone-like to naphthalene-like, some ppb to some hundred ppb: what a printer gives off. */
static const struct { double molar_mass, density, psat, refraction, inlet; } vapour[N] = {
	{ 0.058, 785, 26e3, 16.2e-6, 3e-7 }, { 0.100, 940, 3.9e3, 26.7e-6, 2e-7 }, { 0.092, 865, 3.2e3, 31.1e-6, 1e-7 },
	{ 0.106, 865, 1070, 35.8e-6, 3e-7 }, { 0.104, 906, 680, 36.5e-6, 1e-6 }, { 0.113, 1070, 1, 32e-6, 2e-7 },
};

static void prepare(struct subject *s)
{
	const struct inw_carbon_bed bed = { .micropore_m3kg = 0.454e-3, .structure = 3.56e-5, .capacity_factor = 1,
		.rate_factor = 1,
		.granule = { 1.5e-3, 0.4, 3, 1e-5 }, .voidage = 0.4 };
	struct inw_sorbate sorbate[N];
	for (int i = 0; i < N; i++)
		sorbate[i] = (struct inw_sorbate){ .kind = INW_CAPACITY_DUBININ,
			.molar_mass_kgmol = vapour[i].molar_mass,
			.liquid_kgm3 = vapour[i].density, .diffusivity_m2s = 8e-6, .psat_Pa = vapour[i].psat,
			.refraction_m3mol = vapour[i].refraction };
	inw_sorbent_at(&bed, sorbate, N, &(struct inw_bed_air){ 298.15, 1.54e-5, 0.2 }, &s->flow);
	inw_sorbent_at(&bed, sorbate, N, &(struct inw_bed_air){ 293.15, 1.54e-5, 0 }, &s->rest);
}

static int run(struct subject *s, struct inw_bed_state *state, double velocity, bool printing, double hours)
{
	const struct inw_sorbent *now = velocity > 0 ? &s->flow : &s->rest;
	double inlet[N] = {0};
	for (int i = 0; i < N && printing; i++)
		inlet[i] = vapour[i].inlet;
	struct inw_bed_model m = {CELLS, N, 0.01, 0.02, 450, INW_BED_GAS, inw_sorbent_law(now)};
	struct inw_bed_inputs in = {velocity, inlet, now->rate_1s, now->spread_m2s, now->still_m2s, false};
	struct inw_bed_result r = {.why = NULL};
	inw_bed_advance(&m, state, &in, 3600 * hours, &INW_BED_OPTIONS, s->work, &r);
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
	for (int d = 0; d < 250; d++)
		if (day(s, &state) != 0)
			return -1;
	return 0;
}

static int measure(const char *what, int (*work)(struct subject *s), struct subject *s)
{
	double took[MOST_RUNS], begin = now_s();
	int runs = 0;
	while (runs < MOST_RUNS && (runs < LEAST_RUNS || now_s() - begin < 1.0)) {
		double start = now_s();
		if (work(s) != 0)
			return -1;
		took[runs++] = now_s() - start;
	}
	qsort(took, (size_t)runs, sizeof took[0], by_size);
	printf("%s %.6g ms\n%s_steps %d steps\n", what, 1e3 * took[runs / 2], what, s->steps);
	return 0;
}

int main(void)
{
	struct subject *s = calloc(1, sizeof *s);
	if (!s)
		return 1;
	prepare(s);
	int status = measure("bed_24h", do_day, s) || measure("bed_2000h_steady", do_steady, s)
		|| measure("bed_2000h_days", do_days, s);
	free(s);
	if (status)
		fprintf(stderr, "bench_bed: a run failed\n");
	return status;
}
