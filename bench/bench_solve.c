/* SPDX-License-Identifier: MIT */
/* bench_solve.c: times reading, one steady solve (cold, warm), judging and showing inside the process. Arguments: design files. Prints "NAME VALUE UNIT",
 * the median of as many runs as fit into about a second, five at least.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "solve/steady.h"

enum { MOST_RUNS = 1000, LEAST_RUNS = 5 };

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

struct subject {
	const char *file;
	const struct inw_design *design;
	const struct inw_report *report;
	struct steady *steady;
};

/* The first job, as designed, and the same with outdoor air 1 K warmer: a warm start goes from one to the other. */
struct steady { struct inw_model m[2]; struct inw_solution sol; int turn; };

/* Each returns 0, or -1 when it failed: a failure is not timed. */

static int do_read(const struct subject *s)
{
	struct inw_diags diags = {0};
	struct inw_design *design = NULL;
	enum inw_status status = inw_design_read(s->file, NULL, &design, &diags);
	inw_design_free(design);
	inw_diags_free(&diags);
	return status == INW_OK ? 0 : -1;
}

/* Prepare both models of the first job at best estimates. */
static struct steady *prepare(const struct inw_design *d)
{
	static const struct inw_state as_designed = {.name = "as designed", .speed_factor = 1};
	struct steady *s = calloc(1, sizeof *s);
	double *x = calloc(d->quantities + 1, sizeof *x);
	const char *why = NULL;
	int status = s && x ? 0 : -1;
	for (size_t i = 0; status == 0 && i < d->quantities; i++)
		x[i] = d->quantity[i].value;
	for (int k = 0; k < 2 && status == 0; k++) {
		struct inw_values values = {x, NULL};
		status = inw_model_build(&s->m[k], d, &values, &d->job[0], &as_designed, &why);
		x[d->site.T_out] += 1;
	}
	free(x);
	if (status == 0)
		return s;
	free(s);
	return NULL;
}

/* All unknowns from the cold guess to convergence. */
static int do_cold(const struct subject *s)
{
	s->steady->sol.m = s->steady->m[0];
	inw_steady(&s->steady->sol, false);
	return s->steady->sol.status == INW_OK ? 0 : -1;
}

/* The same from the solution with other outdoor air. */
static int do_warm(const struct subject *s)
{
	struct steady *w = s->steady;
	enum inw_heater_mode heater = w->sol.m.heater;
	w->turn = !w->turn;
	w->sol.m = w->m[w->turn];
	w->sol.m.heater = heater;
	inw_steady(&w->sol, true);
	return w->sol.status == INW_OK ? 0 : -1;
}

static int do_check(const struct subject *s)
{
	struct inw_diags diags = {0};
	struct inw_report *report = NULL;
	enum inw_status status = inw_check(s->design, &report, &diags);
	inw_report_free(report);
	inw_diags_free(&diags);
	return status == INW_OK ? 0 : -1;
}

static int do_json(const struct subject *s)
{
	char *text = inw_show_json(s->report);
	int status = text ? 0 : -1;
	inw_string_free(text);
	return status;
}

static int measure(const char *what, int (*work)(const struct subject *), const struct subject *s)
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
	const char *slash = strrchr(s->file, '/');
	const char *base = slash ? slash + 1 : s->file;
	printf("%s[%.*s] %.6g ms\n", what, (int)strcspn(base, "."), base, 1e3 * took[runs / 2]);
	return 0;
}

static int bench_file(const char *file)
{
	struct inw_diags diags = {0};
	struct inw_design *design = NULL;
	struct inw_report *report = NULL;
	int status = -1;
	if (inw_design_read(file, NULL, &design, &diags) == INW_OK && inw_check(design, &report, &diags) == INW_OK) {
		struct subject s = {file, design, report, prepare(design)};
		status = s.steady && !measure("read", do_read, &s) && !measure("steady_cold", do_cold, &s)
			&& !measure("steady_warm", do_warm, &s) && !measure("check_whole", do_check, &s) && !measure("json", do_json, &s) ? 0 : -1;
		free(s.steady);
	}
	if (status != 0)
		fprintf(stderr, "bench_solve: %s could not be run\n", file);
	inw_report_free(report);
	inw_design_free(design);
	inw_diags_free(&diags);
	return status;
}

int main(int argc, char **argv)
{
	for (int i = 1; i < argc; i++)
		if (bench_file(argv[i]) != 0)
			return 1;
	return 0;
}
