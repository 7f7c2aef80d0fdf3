/* SPDX-License-Identifier: MIT */
/* bed_log.h: what the carbon of a run holds by depth at evenly spaced moments, on its way into a report.
 *
 * Ownership: the arena of the report owns all; the log itself is the caller's and not needed after inw_bed_log_end.
 */
#ifndef INW_BED_LOG_H
#define INW_BED_LOG_H

#include "base/base.h"
#include "solve/day_bed.h"

/* The strongest air that ever came to the carbon, by the mass of all gases in it. */
struct inw_bed_strongest { double c[INW_PORES_MOST] /* kg/m3 */, gases, t; struct inw_bed_now bed[INW_DAY_BEDS]; };

struct inw_bed_log {
	struct inw_arena *arena;
	const struct inw_design *d;
	const struct inw_values *x;
	int beds, slots;
	double span;
	double *t; size_t times, wanted;       /* so many are written; so many there will be, start and end among them */
	double *loading[INW_DAY_BEDS];         /* [wanted][slots][cells] */
	double before_t, before[INW_DAY_BEDS][INW_BED_CELLS * INW_PORES_MOST]; /* the state last noted */
	struct inw_bed_strongest strongest;
};

/* Slots are those of inw_day_beds_slots: the held gases, then water. */
const char *inw_bed_log_name(const struct inw_design *d, const struct inw_day_beds *b, int slot);
/* What all beds together hold of one substance, kg. */
double inw_bed_log_held_kg(const struct inw_design *d, const struct inw_values *x, const struct inw_day_beds *b, int slot);

/* All carbon as it is now at t = 0. Set before: arena, d, x, span, wanted (2 or more). 0, or -1 when memory is out. */
int inw_bed_log_begin(struct inw_bed_log *l, const struct inw_day_beds *b) __attribute__((warn_unused_result));
/* The state at t, not before that of the call before; in between it is taken to go straight. */
void inw_bed_log_note(struct inw_bed_log *l, const struct inw_day_beds *b, double t);
/* Air that comes to the carbon at t, kg/m3 by slot; `now` by bed. */
void inw_bed_log_air(struct inw_bed_log *l, const struct inw_bed_now *now, const double *c, double t);
/* Into `out`, one for each bed. 0, or -1 when memory is out. */
int inw_bed_log_end(const struct inw_bed_log *l, const struct inw_day_beds *b, const struct inw_bed_profile **out, size_t *count) __attribute__((warn_unused_result));

#endif
