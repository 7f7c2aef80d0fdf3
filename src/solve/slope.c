/* SPDX-License-Identifier: MIT */
#include "solve/slope.h"

#include <math.h>

#include "solve/linear.h"

static bool keep(struct inw_slope *p, const double *lu, int row, int column)
{
	double by = lu[row * p->n + column];

	if (by == 0)
		return true;
	if (p->entries == INW_SLOPE_ENTRIES)
		return false;
	p->entry[p->entries].by = by;
	p->entry[p->entries].row = (unsigned char)row;
	p->entry[p->entries++].column = (unsigned char)column;
	return true;
}

static bool pack(struct inw_slope *p, const double *lu)
{
	bool fits = true;

	p->entries = 0;
	for (int k = 0; k < p->n; k++)
		for (int i = k + 1; i < p->n; i++)
			fits &= keep(p, lu, i, k);
	p->lower = p->entries;
	for (int i = p->n - 1; i >= 0; i--) {
		p->inverse[i] = 1 / lu[i * p->n + i];
		for (int j = i + 1; j < p->n; j++)
			fits &= keep(p, lu, i, j);
	}
	return fits;
}

bool inw_slope_at(struct inw_slope *p, const struct inw_solution *sol)
{
	struct inw_sparse J;
	double r[INW_MAX_UNKNOWNS];
	int n = p->n = sol->s.n;

	inw_model_residual(&sol->m, &sol->s, sol->y, r, &J, NULL);
	inw_model_scales(&sol->m, &sol->s, p->unknown, p->equation);
	for (int i = 0; i < n; i++)
		for (int j = 0; j < n; j++)
			J.a[i * n + j] *= p->unknown[j] / p->equation[i];
	return !inw_lu_factor(J.a, p->pivot, n) && pack(p, J.a);
}

double inw_slope_step(const struct inw_slope *p, double *b, double *step)
{
	double most = 0;
	int at = p->lower;

	for (int i = 0; i < p->n; i++)
		b[i] /= -p->equation[i];
	for (int k = 0; k < p->n; k++) {
		double t = b[k];
		b[k] = b[p->pivot[k]];
		b[p->pivot[k]] = t;
	}
	for (int e = 0; e < p->lower; e++)
		b[p->entry[e].row] -= p->entry[e].by * b[p->entry[e].column];
	for (int i = p->n - 1; i >= 0; i--) {
		for (; at < p->entries && p->entry[at].row == i; at++)
			b[i] -= p->entry[at].by * b[p->entry[at].column];
		b[i] *= p->inverse[i];
		step[i] = b[i] * p->unknown[i];
		most = fabs(b[i]) <= most ? most : fabs(b[i]); /* NaN stays */
	}
	return most;
}
