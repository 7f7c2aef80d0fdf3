/* SPDX-License-Identifier: MIT */
/* linear.h: dense elimination for the few dozen unknowns of a box. No allocation. */
#ifndef INW_LINEAR_H
#define INW_LINEAR_H

enum { INW_MOST_ROWS = 128 };

/* Factor the row-major n*n matrix in place, n <= 128, with partial pivoting. 0, or -1 when a pivot vanishes. */
int inw_lu_factor(double *a, int *pivot, int n) __attribute__((warn_unused_result));
/* Solve in place with the factors. */
void inw_lu_solve(const double *a, const int *pivot, int n, double *b);

/* Solve in place in one go, for a matrix that is mostly empty: b becomes the answer, a is used up; its remains serve
 * inw_solve_again for other right-hand sides as long as they stand. n <= 128. 0, or -1 when a pivot vanishes. */
struct inw_elimination {
	int n;
	double *row[INW_MOST_ROWS];    /* in `a`, in their order at last */
	unsigned char exchanged[INW_MOST_ROWS], filled[INW_MOST_ROWS], column[INW_MOST_ROWS][INW_MOST_ROWS]; /* column: of each row, where it is not empty */
};
int inw_solve(struct inw_elimination *e, double *a, double *b, int n) __attribute__((warn_unused_result));
void inw_solve_again(const struct inw_elimination *e, double *b);

#endif
