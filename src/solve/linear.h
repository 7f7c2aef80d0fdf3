/* SPDX-License-Identifier: MIT */
/* linear.h: dense elimination for the few dozen unknowns of a box. No allocation. */
#ifndef INW_LINEAR_H
#define INW_LINEAR_H

#include "base/sparse.h"

/* Factor the row-major n*n matrix in place, n <= 64, with partial pivoting. 0, or -1 when a pivot vanishes. */
int inw_lu_factor(double *a, int *pivot, int n) __attribute__((warn_unused_result));
/* Solve in place with the factors. */
void inw_lu_solve(const double *a, const int *pivot, int n, double *b);

/* Solve in place in one go: b becomes the answer, a is used up; its remains serve inw_solve_again for other right-hand sides as
 * long as they stand. 0, or -1 when a pivot vanishes. */
struct inw_elimination {
	uint64_t below[INW_SPARSE_ROWS];        /* sets: the rows that each column was taken out of */
	unsigned char pivot[INW_SPARSE_ROWS];   /* the row that each column was taken out by */
};
int inw_solve(struct inw_elimination *e, struct inw_sparse *a, double *b) __attribute__((warn_unused_result));
void inw_solve_again(const struct inw_elimination *e, const struct inw_sparse *a, double *b);

#endif
