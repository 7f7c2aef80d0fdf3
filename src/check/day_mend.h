/* SPDX-License-Identifier: MIT */
/* day_mend.h: what to change where a day presses air out of the box for a while, found by following the day again with one
 * number changed: a chamber heater that warms the box too fast, too little sent out, a blower below its full speed.
 */
#ifndef INW_CHECK_DAY_MEND_H
#define INW_CHECK_DAY_MEND_H

#include "check/study.h"
#include "inward/inward.h"

/* Numbers that do it, each by itself, and the same in a sentence or two (NULL: nothing within reach does it). */
enum { INW_DAY_MENDS = 3 };
struct inw_day_mends { struct { inw_q q; double to; } by[INW_DAY_MENDS]; int n; const char *change; };

/* All of it in the arena. What a change makes miss that the verdicts of `as_is`, of the design as it stands, do not miss is named
 * in the sentence. o->progress is told again from 0 on; o->stop is asked (its answer is left to the caller). 0, or -1 when memory
 * is out. */
int inw_day_mend(const struct inw_design *d, const struct inw_day_options *o, const struct inw_verdict *as_is, size_t count,
                 struct inw_arena *arena, struct inw_day_mends *out) __attribute__((warn_unused_result));

#endif
