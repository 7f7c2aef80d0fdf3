/* SPDX-License-Identifier: MIT */
/* air.h: what somebody breathes against the right limit for each span of time, alike for a day and for months of them. In
 * day.c. Ownership: what is returned is static, the design's or the arena's.
 */
#ifndef INW_CHECK_AIR_H
#define INW_CHECK_AIR_H

#include "judge/measure.h"
#include "solve/day.h"

/* What somebody meets from each moment to the next: straight from `from` to `to`; it may jump, where they come or go. */
struct inw_piece { double t, from, to; };
/* Highest mean over any stretch of `window` seconds, with nothing before and after; 0: the worst moment. The last piece only
 * says when they end. */
double inw_worst_mean(const struct inw_piece *v, size_t n, double window);

enum { INW_SPANS = 3 };
/* What is met in `window` seconds over `over` seconds, which is its mean where they are one; 0: the worst moment. */
struct inw_span { enum inw_limit_kind kind; double window, over; const char *id, *title /* with the person's name in it */; };
double inw_worst_met(const struct inw_piece *v, size_t n, const struct inw_span *span);
/* What a person is held to, the span of the limit that each gas needs first. */
const struct inw_span *inw_spans_of(const struct inw_person *p);
/* kg/m3, NAN for none. */
double inw_span_limit(const struct inw_substance *s, enum inw_limit_kind kind, const struct inw_values *x);
/* The same; where there is none, a value for longer to which the gas is held instead, towards a pass only: what meets that meets any
 * for so short a time, what does not may not (decision 8). */
double inw_span_held(const struct inw_substance *s, enum inw_limit_kind kind, const struct inw_values *x);
/* Of which substance or material no rate is published; NULL for none. */
const char *inw_unpublished(const struct inw_design *d);
/* Of which no rate, or neither a limit of a kind nor one that stands in for it; NULL for none. */
const char *inw_span_lacks(const struct inw_design *d, enum inw_limit_kind kind, const struct inw_values *x);

/* Does a running blower press fumes against joints of the cleaner? */
bool inw_presses_out(const struct inw_solution *sol);

/* Least pull at the edges of the gaps, Pa, openings apart; 0 where it is rounding, NAN without gaps. */
double inw_least_inward(const struct inw_solution *sol);
/* Does a gap pull by less than is wanted while there is something to hold: more of a gas, or of particles, than may be left of the
 * most there ever was when the door is opened? */
bool inw_holds_weakly(const struct inw_day_sim *s);

/* Does a running blower send out a fixed share that no throttle can set? Then nothing that is met is told: see inw_untell. */
bool inw_drives_unset(const struct inw_solution *sol);
/* Whatever is met becomes 'cannot tell' for that reason. */
void inw_untell(struct inw_verdict *v, size_t n);

/* What is known of what somebody met. */
struct inw_met {
	const struct inw_design *d;
	const struct inw_values *x;
	const struct inw_lookout *sight;
	bool pressed, weak, any;               /* inw_presses_out, inw_holds_weakly at any time; some gas has a limit of that kind */
	bool beyond;                           /* too much, were those without one held to their values for longer */
	double value;                          /* worst mean of the sum of shares */
};
/* Is there anything to be said of that kind of limit? */
bool inw_met_matters(const struct inw_met *m, enum inw_limit_kind kind);
/* Word, numbers and reason: a value that is not all of it, or stands on laws out of their range, is no pass. 0, or -1 when
 * memory is out. */
int inw_met_judge(struct inw_verdict *r, const struct inw_met *m, enum inw_limit_kind kind, struct inw_arena *arena) __attribute__((warn_unused_result));

#endif
