/* SPDX-License-Identifier: MIT */
/* linear.c: Gaussian elimination with row exchanges; Golub & Van Loan, Matrix Computations, algorithm 3.4.1 (outer product). */
#include "solve/linear.h"

#include <assert.h>
#include <math.h>

enum { MOST = 128 }; /* unknowns; a box has some thirty */

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
	int column[MOST]; /* of the pivot row, where it is not zero: most of a network's matrix is empty */

	assert(n <= MOST);
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

/* Of some thirty unknowns a row holds four or five: most of the time goes in finding them, so each is looked for once. Rows
 * are exchanged by their addresses, and b is taken along. */
int inw_solve(double *a, double *b, int n)
{
	double *row[MOST];
	unsigned char column[MOST][MOST], rows[MOST]; /* column: of each row of the triangle, where it is not empty */
	int filled[MOST] = {0};

	assert(n <= MOST);
	for (int i = 0; i < n; i++)
		row[i] = &a[i * n];
	for (int k = 0; k < n; k++) {
		int best, count = gather(row, n, k, rows, &best);
		double *row_k = row[best], b_k = b[best];
		if (!(fabs(row_k[k]) > 0))
			return -1;
		row[best] = row[k], b[best] = b[k];
		row[k] = row_k, b[k] = b_k;
		for (int j = k + 1; j < n; j++)
			if (row_k[j] != 0)
				column[k][filled[k]++] = (unsigned char)j;
		double inverse = 1 / row_k[k];
		for (int r = 0; r < count; r++) {
			int i = rows[r];
			double factor = i == k ? 0 : row[i][k] * inverse; /* 0 too where an empty row came by the exchange */
			for (int c = 0; c < filled[k] && factor != 0; c++)
				row[i][column[k][c]] -= factor * row_k[column[k][c]];
			b[i] -= factor * b_k;
		}
	}
	for (int k = n - 1; k >= 0; k--) {
		for (int c = 0; c < filled[k]; c++)
			b[k] -= row[k][column[k][c]] * b[column[k][c]];
		b[k] /= row[k][k];
	}
	return 0;
}
