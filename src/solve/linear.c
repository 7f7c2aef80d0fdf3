/* SPDX-License-Identifier: MIT */
/* linear.c: Gaussian elimination with row exchanges; Golub & Van Loan, Matrix Computations, algorithm 3.4.1 (outer product). */
#include "solve/linear.h"

#include <assert.h>
#include <math.h>

static int pivot_row(const double *a, int n, int k)
{
	int best = k;

	for (int i = k + 1; i < n; i++)
		if (fabs(a[i * n + k]) > fabs(a[best * n + k]))
			best = i;
	return best;
}

static void swap_rows(double *a, double *b, int n)
{
	for (int j = 0; j < n; j++) {
		double t = a[j];
		a[j] = b[j];
		b[j] = t;
	}
}

int inw_lu_factor(double *a, int *pivot, int n)
{
	int column[INW_MOST_ROWS]; /* of the pivot row, where it is not zero: most of a network's matrix is empty */

	assert(n <= INW_MOST_ROWS);
	for (int k = 0; k < n; k++) {
		int best = pivot_row(a, n, k), filled = 0;
		double *row_k = &a[k * n];
		pivot[k] = best;
		if (!(fabs(a[best * n + k]) > 0))
			return -1;
		if (best != k)
			swap_rows(row_k, &a[best * n], n);
		for (int j = k + 1; j < n; j++)
			if (row_k[j] != 0)
				column[filled++] = j;
		double inverse = 1 / row_k[k];
		for (int i = k + 1; i < n; i++) {
			double *row = &a[i * n];
			if (row[k] == 0)
				continue;
			double factor = row[k] *= inverse;
			for (int c = 0; c < filled; c++)
				row[column[c]] -= factor * row_k[column[c]];
		}
	}
	return 0;
}

void inw_lu_solve(const double *a, const int *pivot, int n, double *b)
{
	for (int k = 0; k < n; k++) { /* the rows were exchanged whole, so exchange all of b before substituting */
		double t = b[k];
		b[k] = b[pivot[k]];
		b[pivot[k]] = t;
	}
	for (int i = 1; i < n; i++)
		for (int j = 0; j < i; j++)
			b[i] -= a[i * n + j] * b[j];
	for (int i = n - 1; i >= 0; i--) {
		for (int j = i + 1; j < n; j++)
			b[i] -= a[i * n + j] * b[j];
		b[i] /= a[i * n + i];
	}
}

/* Of column k from row k down: which rows hold something; `best` is the one that holds most. */
static int gather(double *const *row, int n, int k, unsigned char *rows, int *best)
{
	int count = 0;

	*best = k;
	for (int i = k; i < n; i++) {
		if (row[i][k] == 0)
			continue;
		rows[count++] = (unsigned char)i;
		if (fabs(row[i][k]) > fabs(row[*best][k]))
			*best = i;
	}
	return count;
}

static void substitute(const struct inw_elimination *e, double *b)
{
	for (int k = e->n - 1; k >= 0; k--) {
		for (int c = 0; c < e->filled[k]; c++)
			b[k] -= e->row[k][e->column[k][c]] * b[e->column[k][c]];
		b[k] /= e->row[k][k];
	}
}

/* Of some thirty unknowns a row holds four or five: most of the time goes in finding them, so each is looked for once. Rows
 * are exchanged by their addresses, and b is taken along. */
int inw_solve(struct inw_elimination *e, double *a, double *b, int n)
{
	double **row = e->row;
	unsigned char rows[INW_MOST_ROWS];

	assert(n <= INW_MOST_ROWS);
	e->n = n;
	for (int i = 0; i < n; i++)
		row[i] = &a[i * n];
	for (int k = 0; k < n; k++) {
		int best, count = gather(row, n, k, rows, &best), filled = 0;
		double *row_k = row[best], b_k = b[best];
		if (!(fabs(row_k[k]) > 0))
			return -1;
		row[best] = row[k], b[best] = b[k];
		row[k] = row_k, b[k] = b_k;
		e->exchanged[k] = (unsigned char)best;
		for (int j = k + 1; j < n; j++)
			if (row_k[j] != 0)
				e->column[k][filled++] = (unsigned char)j;
		e->filled[k] = (unsigned char)filled;
		double inverse = 1 / row_k[k];
		for (int r = 0; r < count; r++) {
			int i = rows[r];
			if (i == k || row[i][k] == 0) /* an empty row came by the exchange */
				continue;
			double factor = row[i][k] *= inverse;
			for (int c = 0; c < filled; c++)
				row[i][e->column[k][c]] -= factor * row_k[e->column[k][c]];
			b[i] -= factor * b_k;
		}
	}
	substitute(e, b);
	return 0;
}

void inw_solve_again(const struct inw_elimination *e, double *b)
{
	int n = e->n;

	for (int k = 0; k < n; k++) {
		double t = b[e->exchanged[k]];
		b[e->exchanged[k]] = b[k];
		b[k] = t;
	}
	for (int k = 0; k < n; k++)
		for (int i = k + 1; b[k] != 0 && i < n; i++)
			b[i] -= e->row[i][k] * b[k];
	substitute(e, b);
}
