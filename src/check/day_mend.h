/* SPDX-License-Identifier: MIT */
/* day_mend.h: what to change where a day presses air out of the box for a while, found by following the day again with one
 * number changed: a chamber heater that warms the box too fast, too little sent out, a blower below its full speed. And what is not
 * known, where it is bad for that pull: a day is followed at best estimates otherwise.
 */
#ifndef INW_CHECK_DAY_MEND_H
#define INW_CHECK_DAY_MEND_H

#include "check/study.h"
#include "inward/inward.h"

/* The same design with other values, and the least pull of its day while the door is shut, Pa: NAN when it has no gaps, or cannot be
 * followed. Its quantities are the arena's. */
struct inw_day_bad { struct inw_design d; double pull; };
/* What is not known is put where it is likeliest of all places at which the pull is as low as it is with a probability of 1 - `sure`:
 * from the day with each input moved alone, as ranges are combined in a check. 0, or -1 when memory is out. */
int inw_day_lean(const struct inw_design *d, double sure, struct inw_arena *arena, struct inw_day_bad *out) __attribute__((warn_unused_result));

/* Numbers that do it, each by itself, and the same in a sentence or two (NULL: nothing within reach does it). */
enum { INW_DAY_MENDS = 3 };
struct inw_day_mends { struct { inw_q q; double to; } by[INW_DAY_MENDS]; int n; const char *change; };

/* All of it in the arena. What a change makes miss that the verdicts of `as_is`, of the design as it stands, do not miss is named
 * in the sentence. o->progress is told again from 0 on; o->stop is asked (its answer is left to the caller). 0, or -1 when memory
 * is out. */
int inw_day_mend(const struct inw_design *d, const struct inw_day_options *o, const struct inw_verdict *as_is, size_t count,
                 struct inw_arena *arena, struct inw_day_mends *out) __attribute__((warn_unused_result));

#endif
