/* SPDX-License-Identifier: MIT */
/* slope.h: the factored Jacobian at a solution, kept: it tells to first order where a model next to it has its own.
 *
 * Nearly all of a box's matrix and of its factors is empty, so only what is not is kept. Ownership: the caller's struct.
 */
#ifndef INW_SLOPE_H
#define INW_SLOPE_H

#include "solve/steady.h"

enum { INW_SLOPE_ENTRIES = 1024 }; /* a box of 26 unknowns has 75 beside the diagonal */

struct inw_slope {
	int n, lower, entries;         /* entries: below the diagonal by columns, then above it by rows from the last one */
	int pivot[INW_MAX_UNKNOWNS];
	double unknown[INW_MAX_UNKNOWNS], equation[INW_MAX_UNKNOWNS], inverse[INW_MAX_UNKNOWNS]; /* natural sizes; 1 over the diagonal */
	struct { double by; unsigned char row, column; } entry[INW_SLOPE_ENTRIES];
};

/* False when the matrix is singular or too full. */
bool inw_slope_at(struct inw_slope *slope, const struct inw_solution *sol) __attribute__((warn_unused_result));
/* The step that takes this residual (used up) away, and its largest part in natural sizes. */
double inw_slope_step(const struct inw_slope *slope, double *residual, double *step);

#endif
