/* SPDX-License-Identifier: MIT */
/* optimum.h: the least of a smooth function within a box and inequalities, by NLopt's sequential quadratic programming
 * (Kraft 1988, as NLopt's documentation names it), with derivatives by differences; and the way to the nearest point that
 * keeps the inequalities.
 *
 * Invariants: P1 what is returned was evaluated, and is the best of all that were: the least objective among points where
 * every constraint holds, or else the least sum of what is missing. P2 coordinates stay within 0 .. 1. P3 the same task
 * gives the same bits.
 * Ownership: arrays are the caller's.
 */
#ifndef INW_OPTIMUM_H
#define INW_OPTIMUM_H

#include "base/base.h"

enum { INW_OPTIMUM_FREE = 24, INW_OPTIMUM_CONSTRAINTS = 330 };

struct inw_optimum {
	int n, m;
	/* out[0] is to be least, out[1..m] at least 0, all finite. A `probe` lies next to the point asked for before, for a
	 * difference. False ends the search. */
	bool (*at)(void *context, const double *u, bool probe, double *out);
	void *context;
	double slack;       /* constraints are aimed at so much above 0 */
	int most;           /* evaluations, at the most about */
	double *u, *out;    /* [n] start, then the best; [1 + m] what it gives */
	bool good;          /* every constraint is at least 0 there */
	bool stopped;       /* `at` returned false */
	int used;           /* evaluations */
};

/* From o->u, which need not keep the constraints: first to where they hold, then to the least. INW_NO_MEMORY, or INW_OK
 * whatever was found. */
enum inw_status inw_optimum_least(struct inw_optimum *o) __attribute__((warn_unused_result));
/* Only the first part: as little missing as can be, in sum. */
enum inw_status inw_optimum_nearest(struct inw_optimum *o) __attribute__((warn_unused_result));

#endif
