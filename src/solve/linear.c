/* SPDX-License-Identifier: MIT */
/* linear.c: Gaussian elimination with row exchanges; Golub & Van Loan, Matrix Computations, algorithm 3.4.1 (outer product). */
#include "solve/linear.h"

#include <assert.h>
#include <math.h>
#include <string.h>

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
	int column[INW_SPARSE_ROWS]; /* of the pivot row, where it is not zero: most of a network's matrix is empty */

	assert(n <= INW_SPARSE_ROWS);
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

static uint64_t beyond(int k)
{
	return k < 63 ? ~(uint64_t)0 << (k + 1) : 0;
}

/* The sets of rows, by columns. */
static void by_columns(const struct inw_sparse *a, uint64_t *column)
{
	memset(column, 0, sizeof *column * (size_t)a->n);
	for (int i = 0; i < a->n; i++)
		for (uint64_t in = a->in[i]; in;)
			column[inw_sparse_take(&in)] |= (uint64_t)1 << i;
}

/* The row among these that holds most in column k. */
static int strongest(const struct inw_sparse *a, uint64_t rows, int k)
{
	int best = inw_sparse_take(&rows);

	while (rows) {
		int i = inw_sparse_take(&rows);
		if (fabs(a->a[i * a->n + k]) > fabs(a->a[best * a->n + k]))
			best = i;
	}
	return best;
}

/* Take out column k of these rows by row p, and of b. */
static void take_out(struct inw_sparse *a, uint64_t *column, double *b, int k, int p, uint64_t rows)
{
	const double *pivot = &a->a[p * a->n];
	const uint64_t across = a->in[p] & beyond(k);
	double inverse = 1 / pivot[k];

	while (rows) {
		int i = inw_sparse_take(&rows);
		double *row = &a->a[i * a->n], factor = row[k] *= inverse;
		for (uint64_t in = across; in;) {
			int j = inw_sparse_take(&in);
			row[j] -= factor * pivot[j];
		}
		b[i] -= factor * b[p];
		for (uint64_t new = across & ~a->in[i]; new;)
			column[inw_sparse_take(&new)] |= (uint64_t)1 << i;
		a->in[i] |= across;
	}
}

/* b in the order of the rows becomes the answer in that of the columns. */
static void substitute(const struct inw_elimination *e, const struct inw_sparse *a, double *b)
{
	double x[INW_SPARSE_ROWS];

	for (int k = a->n - 1; k >= 0; k--) {
		const double *row = &a->a[e->pivot[k] * a->n];
		double sum = b[e->pivot[k]];
		for (uint64_t in = a->in[e->pivot[k]] & beyond(k); in;) {
			int j = inw_sparse_take(&in);
			sum -= row[j] * x[j];
		}
		x[k] = sum / row[k];
	}
	memcpy(b, x, sizeof *b * (size_t)a->n);
}

/* Of some thirty unknowns a row holds four or five: most of the time would go in finding them. Rows stay where they are, and so does b. */
int inw_solve(struct inw_elimination *e, struct inw_sparse *a, double *b)
{
	uint64_t column[INW_SPARSE_ROWS], left;

	assert(a->n > 0 && a->n <= INW_SPARSE_ROWS);
	left = ~(uint64_t)0 >> (64 - a->n);
	by_columns(a, column);
	for (int k = 0; k < a->n; k++) {
		uint64_t rows = column[k] & left;
		int p = rows ? strongest(a, rows, k) : -1;
		if (p < 0 || !(fabs(a->a[p * a->n + k]) > 0))
			return -1;
		e->pivot[k] = (unsigned char)p;
		left &= ~((uint64_t)1 << p);
		e->below[k] = rows & left;
		take_out(a, column, b, k, p, rows & left);
	}
	substitute(e, a, b);
	return 0;
}

void inw_solve_again(const struct inw_elimination *e, const struct inw_sparse *a, double *b)
{
	for (int k = 0; k < a->n; k++) {
		double b_k = b[e->pivot[k]];
		for (uint64_t rows = b_k != 0 ? e->below[k] : 0; rows;) {
			int i = inw_sparse_take(&rows);
			b[i] -= a->a[i * a->n + k] * b_k;
		}
	}
	substitute(e, a, b);
}
