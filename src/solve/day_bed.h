/* SPDX-License-Identifier: MIT */
/* day_bed.h: the carbon stages of a day (day_bed.c). The caller owns the struct; nothing is allocated. */
#ifndef INW_DAY_BED_H
#define INW_DAY_BED_H

#include "solve/bed.h"
#include "solve/outcome.h"

enum { INW_DAY_BEDS = 4, INW_BED_CELLS = 40, INW_BED_WORK = INW_BED_CELLS * INW_PORES_MOST * (9 + 2 * INW_PORES_MOST) };

struct inw_day_bed {
	int stage;
	double q[INW_BED_CELLS * INW_PORES_MOST], most[INW_PORES_MOST]; /* kg/kg by cell and substance */
	double first_step_s[2], next_step_s;
};

struct inw_day_beds {
	struct inw_day_bed bed[INW_DAY_BEDS]; int beds;
	int slot[INW_MAX_GASES];               /* of each gas of the day among those held, -1: passes */
	int substance[INW_PORES_MOST], held;
	double rate_kgs[INW_PORES_MOST];       /* out of the last bed in the last step */
	double owed_kg[INW_PORES_MOST];        /* given off by the beds but not yet put into the junction */
	double work[INW_BED_WORK];
};

/* What passes the beds in one step; `now` by bed. */
struct inw_bed_flow { const struct inw_bed_now *now; const struct inw_design *d; const struct inw_values *x; double dt; };

/* All carbon fresh; at most INW_MAX_GASES gases. 0, or -1 when there are more than INW_DAY_BEDS beds. */
int inw_day_beds_start(struct inw_day_beds *b, const struct inw_design *d, const int *substance, int gases) __attribute__((warn_unused_result));
/* `rate`: kg/s of each held substance into the first bed; on return what leaves the last. 0, or -1 when a bed has no answer. */
int inw_day_beds_step(struct inw_day_beds *b, const struct inw_bed_flow *f, double *rate) __attribute__((warn_unused_result));

#endif
