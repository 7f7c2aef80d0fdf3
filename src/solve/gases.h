/* SPDX-License-Identifier: MIT */
/* gases.h: the gases of a run in time: what box and rooms hold, and the carbon they pass.
 *
 * Nothing here knows where the air of a step comes from: a day gives the flows of the instant, the life of a bed those of
 * a recorded week.
 */
#ifndef INW_GASES_H
#define INW_GASES_H

#include "solve/day_bed.h"
#include "solve/mover.h"

struct inw_gases {
	int count, substance[INW_MAX_GASES];
	struct inw_account account[INW_MAX_GASES];
	struct inw_day_beds carbon;
};

/* What drives them over one step. */
struct inw_gas_drive {
	struct inw_mover air;
	struct inw_bed_now bed[INW_DAY_BEDS]; /* in the order of the carbon's stages */
	double source[INW_MAX_GASES][2];     /* kg/s into the box at the two stages */
	double pass[INW_MAX_GASES];          /* share let through by what the carbon does not hold */
	double hurry; bool warmth_known;     /* of the carbon: see struct inw_bed_flow */
	int parts;                           /* the zones go through the step in so many, each twice the one before; 0 and 1: in one */
	bool through;                        /* the air goes from the box through the train, not back through it */
};

/* One step of `dt` from `now` to `next` (which keeps its own workspace). Returns the largest error as a share of what is
 * held, INFINITY when there is no answer. */
double inw_gases_step(const struct inw_gases *now, struct inw_gas_drive *drive, const struct inw_design *d, const struct inw_values *x, double dt, struct inw_gases *next);
/* All but the workspace. */
void inw_gases_copy(struct inw_gases *to, const struct inw_gases *from);

#endif
