/* SPDX-License-Identifier: MIT */
/* day_parts.h: what all showings of a day look up in it: columns by name, clock times, jobs, waits, air of rooms.
 *
 * The names of columns and the words of moments are those of src/check/day.c; what is missing there shows as missing.
 * Ownership: nothing is kept; what is returned points into the report.
 */
#ifndef INW_DAY_PARTS_H
#define INW_DAY_PARTS_H

#include "design/design.h"
#include "show/lines.h"
#include "show/series.h"

enum { INW_MOST_STRETCHES = 256, INW_NAME = 160 };

int inw_day__column(const struct inw_day_report *r, const char *name); /* INW_NO_COLUMN for none */
/* NaN where there is no such column. */
double inw_day__value(const struct inw_day_report *r, size_t row, int column);
double inw_day__time(const struct inw_day_report *r, size_t row);
/* "07:00", or "day 2, 07:00" in a run longer than a day. Returns `out`. */
char *inw_day__clock(char *out, size_t size, const struct inw_day_report *r, double t);
/* Integral of a column over the rows where `while_zero` (a column, or INW_NO_COLUMN) is zero. */
double inw_day__integral(const struct inw_day_report *r, int column, int while_zero);
/* Row at which the column is greatest (`sign` 1) or least (-1); rows without a number, and those where the column
 * `unless` (or INW_NO_COLUMN) is not zero, are left out; -1 when none is left. */
long inw_day__extreme_row(const struct inw_day_report *r, int column, int sign, int unless);
/* The greatest value of a column; NaN for none. */
double inw_day__most(const struct inw_day_report *r, int column);

struct inw_stretch {
	double from, to;  /* s since the day's start */
	const char *name; /* `length` bytes, not terminated */
	size_t length;
};
/* Jobs as they ran. Returns how many. */
size_t inw_day__jobs(const struct inw_day_report *r, struct inw_stretch out[INW_MOST_STRETCHES]);
/* When the door stood open. */
size_t inw_day__doors(const struct inw_day_report *r, struct inw_stretch out[INW_MOST_STRETCHES]);

/* The end of a job (or of jobs without a pause between them), and when the door may be opened after it. */
struct inw_wait {
	double end, wait;  /* s; wait NaN: not within the run */
	double opened;     /* when the door was opened before that, NaN for never */
	double next;       /* when the next job begins, NaN for none */
	struct inw_stretch job;
	bool known;        /* the run can tell: the door was not open while the box cleared */
	bool runs_on;      /* the cleaner draws air all that time */
	const char *why;   /* a sentence: what stands in the way */
};
size_t inw_day__waits(const struct inw_day_report *r, struct inw_wait out[INW_MOST_STRETCHES]);

/* Has the box a door? Where that is not known, it has. */
bool inw_day__has_door(const struct inw_day_report *r);

/* Rooms and gases that the series has, in its order; the names are copied. False beyond the last. */
bool inw_day__room(const struct inw_day_report *r, size_t index, char out[INW_NAME]);
bool inw_day__gas(const struct inw_day_report *r, size_t index, char out[INW_NAME]);
/* Column of a gas (NULL: particles) in a room (NULL: the box). */
int inw_day__air(const struct inw_day_report *r, const char *gas, const char *room);
/* Of a gas (NULL: particles), `what` of it: "near_box", "after_carbon". */
int inw_day__column_of(const struct inw_day_report *r, const char *gas, const char *what);
/* Column of how warm a room is. */
int inw_day__warmth(const struct inw_day_report *r, const char *room);
/* A gas in plain words. */
const char *inw_day__gas_title(const struct inw_day_report *r, const char *gas);
/* The strictest published limit of that kind for a gas; NaN for none. */
double inw_day__limit(const struct inw_day_report *r, const char *gas, enum inw_limit_kind kind);
bool inw_day__has_person(const struct inw_day_report *r, enum inw_person_kind kind);

#endif
