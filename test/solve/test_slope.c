/* SPDX-License-Identifier: MIT */
/* test_slope.c: what a kept Jacobian foretells of a model nearby, against that model solved. */
#include "check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "solve/linear.h"
#include "solve/slope.h"

static struct inw_solution base, moved, solved;
static struct inw_slope slope;

static bool build(struct inw_solution *sol, const struct inw_design *d, double *x)
{
	static const struct inw_state as_designed = {.name = "as designed", .speed_factor = 1};
	const struct inw_values values = {x, NULL};
	const char *why;

	return inw_model_build(&sol->m, d, &values, &d->job[0], &as_designed, &why) == 0;
}

/* A step from the kept factors is that of dense elimination. */
static void same_step(void)
{
	int n = base.s.n;
	struct inw_sparse J;
	int pivot[INW_MAX_UNKNOWNS];
	double r[INW_MAX_UNKNOWNS], b[INW_MAX_UNKNOWNS], ours[INW_MAX_UNKNOWNS], most = 0;

	inw_model_residual(&base.m, &base.s, base.y, r, &J, NULL);
	for (int i = 0; i < n; i++)
		b[i] = -(r[i] = slope.equation[i] * sin(i + 1.0)); /* any right-hand side */
	CHECK(inw_lu_factor(J.a, pivot, n) == 0);
	inw_lu_solve(J.a, pivot, n, b);
	double largest = inw_slope_step(&slope, r, ours), size = 0;
	for (int i = 0; i < n; i++) {
		most = fmax(most, fabs(ours[i] - b[i]) / slope.unknown[i]);
		size = fmax(size, fabs(b[i]) / slope.unknown[i]);
	}
	CHECK_ABS(most, 0, 1e-8 * size, "dense elimination (Golub & Van Loan, algorithm 3.4.1)");
	CHECK_REL(largest, size, 1e-8, "the same");
}

/* How far the first look's step is from the solution with outdoor air warmer by so much, in natural sizes. */
static double astray(const struct inw_design *d, double *x, double by)
{
	double step[INW_MAX_UNKNOWNS], most = 0;

	x[d->site.T_out] += by;
	CHECK(build(&moved, d, x) && build(&solved, d, x));
	x[d->site.T_out] -= by;
	solved.m.heater = moved.m.heater = base.m.heater;
	moved.s = base.s;
	memcpy(moved.y, base.y, sizeof moved.y);
	memcpy(solved.y, base.y, sizeof solved.y);
	double size = inw_steady_look(&moved, &slope, step);
	inw_steady(&solved, true);
	CHECK(solved.status == INW_OK && size > 0);
	for (int i = 0; i < base.s.n; i++)
		most = fmax(most, fabs(base.y[i] + step[i] - solved.y[i]) / slope.unknown[i]);
	CHECK(most < size);
	return most;
}

static int entries(const struct inw_sparse *m)
{
	int n = 0;

	for (int i = 0; i < m->n; i++)
		for (uint64_t in = m->in[i]; in; n++)
			inw_sparse_take(&in);
	return n;
}

static void foretold(const char *file)
{
	struct inw_diags diags = {0};
	struct inw_design *d = NULL;

	CHECK(inw_design_read(file, NULL, &d, &diags) == INW_OK);
	double *x = d ? calloc(d->quantities, sizeof *x) : NULL;
	CHECK(x != NULL);
	for (size_t i = 0; x && i < d->quantities; i++)
		x[i] = d->quantity[i].value;
	if (x && build(&base, d, x)) {
		inw_steady(&base, false);
		CHECK(base.status == INW_OK && inw_slope_at(&slope, &base));
		CHECK(slope.J.n == base.s.n && entries(&slope.J) < base.s.n * base.s.n / 2); /* elimination fills in little */
		same_step();
		/* what is left is of second order: a quarter for half the way (Newton's method) */
		double whole = astray(d, x, 0.5), half = astray(d, x, 0.25);
		CHECK_REL(whole / half, 4, 0.1, "order of convergence");
		moved = base; /* a solution looked at is one, and stands */
		double step[INW_MAX_UNKNOWNS];
		CHECK(inw_steady_look(&moved, &slope, step) < 1e-7 && inw_steady_stands(&moved) && moved.status == INW_OK);
		CHECK_ABS(moved.mass_closure, 0, 1e-6, "its balance closes");
	}
	free(x);
	inw_design_free(d);
	inw_diags_free(&diags);
}

int main(void)
{
	foretold("examples/splint-night.yaml");
	foretold("examples/splint-night-mended.yaml");
	foretold("examples/houseboat-bench.yaml");
	return check_done();
}
