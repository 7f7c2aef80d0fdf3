/* SPDX-License-Identifier: MIT */
/* linear.h: dense elimination for the few dozen unknowns of a box. No allocation. */
#ifndef INW_LINEAR_H
#define INW_LINEAR_H

/* Factor the row-major n*n matrix in place, n <= 128, with partial pivoting. 0, or -1 when a pivot vanishes. */
int inw_lu_factor(double *a, int *pivot, int n) __attribute__((warn_unused_result));
/* Solve in place with the factors. */
void inw_lu_solve(const double *a, const int *pivot, int n, double *b);

/* Solve in place in one go, for a matrix that is mostly empty and whose factors nobody wants: b becomes the answer, a is used
 * up. n <= 128. 0, or -1 when a pivot vanishes. */
int inw_solve(double *a, double *b, int n) __attribute__((warn_unused_result));

#endif
