/* SPDX-License-Identifier: MIT */
/* life.h: months on the carbon without following every second of them.
 *
 * What fills the carbon does not change the air: flows and temperatures of a week repeat whatever the bed holds. So one
 * pattern (a day or a week) is followed in full by day.h, its air is kept as stretches over which it hardly changes, and
 * the gases alone, zones and beds, are driven by these stretches again and again, by the same equations (gases.h).
 * What this leaves out is what varies within a stretch and the last of the start's warming up; how much that is, a full
 * run of a pattern from the same carbon tells (see inw_life).
 * Invariants: L1 matter is conserved as in gases.h, whatever the stretches. L2 with `coarse` 0 each step is a stretch of
 * its own. Ownership: the caller owns all; nothing is allocated.
 */
#ifndef INW_LIFE_H
#define INW_LIFE_H

#include "solve/day.h"
#include "solve/near.h"

struct inw_life_stretch {
	double t, dt;                          /* s since the pattern's beginning */
	struct inw_gas_drive drive;            /* means over the stretch, the same at both stages */
	struct inw_near near;                  /* air that comes close by the box, a mean as well */
	double more[INW_MAX_GASES], less[INW_MAX_GASES]; /* kg/s into the box were all rates at the high, at the low end */
	double most_carbon_K;                  /* hottest of the stretch */
	bool running;                          /* a job */
};

struct inw_life_pattern {
	struct inw_life_stretch *stretch; int count, capacity; /* caller's memory */
	double coarse;                         /* 1: as below in life.c; smaller is finer, 0: none is joined */
	double length;                         /* s */
	double most[INW_MAX_GASES];            /* kg/s: of each source so far */
	bool fresh;                            /* a new stretch begins with the next step */
};

/* The last accepted step of `s` as a stretch of its own that begins at 0; without rates. */
void inw_life_step(struct inw_life_stretch *out, const struct inw_day_sim *s);
/* Add such a step of `s`. 0, or -1 when there is no room. */
int inw_life_record(struct inw_life_pattern *p, const struct inw_day_sim *s, const struct inw_life_stretch *step) __attribute__((warn_unused_result));
/* Carry the gases over one stretch; `next` is workspace. 0, or -1 when there is no answer. */
int inw_life_advance(const struct inw_life_stretch *stretch, const struct inw_design *d, const struct inw_values *x, struct inw_gases *gas, struct inw_gases *next) __attribute__((warn_unused_result));
/* kg of a held substance on all beds. */
double inw_beds_held_kg(const struct inw_day_beds *b, const struct inw_bed_now *now, int slot);

#endif
