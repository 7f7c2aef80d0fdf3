/* SPDX-License-Identifier: MIT */
/* slope.h: the factored Jacobian at a solution, kept: it tells to first order where a model next to it has its own.
 *
 * Ownership: the caller's struct.
 */
#ifndef INW_SLOPE_H
#define INW_SLOPE_H

#include "solve/linear.h"
#include "solve/steady.h"

struct inw_slope {
	struct inw_sparse J; struct inw_elimination e;               /* scaled, and eliminated */
	double unknown[INW_MAX_UNKNOWNS], equation[INW_MAX_UNKNOWNS]; /* natural sizes */
};

/* False when the matrix is singular. */
bool inw_slope_at(struct inw_slope *slope, const struct inw_solution *sol) __attribute__((warn_unused_result));
/* The step that takes this residual (used up) away, and its largest part in natural sizes. */
double inw_slope_step(const struct inw_slope *slope, double *residual, double *step);

#endif
