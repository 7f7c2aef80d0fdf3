/* SPDX-License-Identifier: MIT */
/* day_bed.h: the carbon stages of a day (day_bed.c). The caller owns the struct; nothing is allocated. */
#ifndef INW_DAY_BED_H
#define INW_DAY_BED_H

#include "solve/bed.h"
#include "solve/outcome.h"

enum { INW_DAY_BEDS = 4, INW_BED_CELLS = 40, INW_BED_WORK = INW_BED_WORKSPACE(INW_BED_CELLS, INW_PORES_MOST) };

struct inw_day_bed {
	int stage;
	double q[INW_BED_CELLS * INW_PORES_MOST], most[INW_PORES_MOST]; /* kg/kg by cell and substance */
	double first_step_s[2], next_step_s;
	double guess_K, drift_Ks;              /* where the search for the next begins; how fast it went in the last step */
	double warmer_K, slope;                /* by the heat of uptake; how hard that is to find, 1 ..: see day_bed.c */
};

/* Water in all beds together, kg: start + in - out = held, to rounding. */
struct inw_bed_water { double start, in, out, held, most; };

struct inw_day_beds {
	struct inw_day_bed bed[INW_DAY_BEDS]; int beds;
	int slot[INW_MAX_GASES];               /* of each gas of the day among those held, -1: passes */
	int substance[INW_PORES_MOST], held;   /* gases; water, followed where any is held, has the slot after the last */
	double rate_kgs[INW_PORES_MOST];       /* out of the last bed in the last step */
	double owed_kg[INW_PORES_MOST];        /* given off by the beds but not yet put into the junction */
	double sent_kg[INW_PORES_MOST];        /* out of the last bed so far */
	double slope[INW_PORES_MOST];          /* of what comes back by what goes into the junction: see gases.c */
	double trend_kgs2[INW_PORES_MOST], step_s; /* of rate_kgs from step to step; the last one's length */
	struct inw_bed_water water;
	double warmest_K, coldest_K;           /* extremes of warmer_K over all beds and steps so far */
	double wet_s;                          /* for how long air that came to a bed was as good as saturated there */
	double work[INW_BED_WORK];
};

/* How many loadings a cell has in `q`: those of the held gases, and water's. */
static inline int inw_day_beds_slots(const struct inw_day_beds *b)
{
	return b->held > 0 ? b->held + 1 : 0;
}

/* What passes the beds in one step; `now` by bed. `hurry`: for months in one, loadings of gases change this many times as
 * fast as the air makes them; 0 and 1: as in truth. `warmth_known`: the T of `now` are those of the carbon itself. */
struct inw_bed_flow { const struct inw_bed_now *now; const struct inw_design *d; const struct inw_values *x; double dt, hurry; bool warmth_known; };

/* All carbon fresh and dry; at most INW_MAX_GASES gases. 0, or -1 when there are more than INW_DAY_BEDS beds. */
int inw_day_beds_start(struct inw_day_beds *b, const struct inw_design *d, const int *substance, int gases) __attribute__((warn_unused_result));
/* The carbon has stood in air of this relative humidity for long: at the start, before any step. */
void inw_day_beds_soak(struct inw_day_beds *b, const struct inw_design *d, const struct inw_values *x, double rh);
/* `rate` [INW_PORES_MOST]: kg/s of each held substance into the first bed; on return what leaves the last. Water comes
 * with the air of f->now and needs no entry. 0, or -1 when a bed has no answer. */
int inw_day_beds_step(struct inw_day_beds *b, const struct inw_bed_flow *f, double *rate) __attribute__((warn_unused_result));

/* How much warmer than the air that comes a carbon stage is by the heat of uptake, K. */
double inw_day_bed_warmer_K(const struct inw_day_beds *b, int stage);
/* kg/kg that one bed (`now`) would hold of each gas, and of water last, in balance with air that has `c` kg/m3 of each gas
 * and its own humidity. 0, or 1 when there is no balance. Of `f` design and values alone are used. */
int inw_day_bed_balance(const struct inw_day_beds *b, const struct inw_bed_now *now, const struct inw_bed_flow *f, const double *c, double *q) __attribute__((warn_unused_result));

#endif
