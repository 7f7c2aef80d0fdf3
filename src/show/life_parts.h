/* SPDX-License-Identifier: MIT */
/* life_parts.h: what all showings of months on the carbon look up and say alike. Ownership: nothing is kept. */
#ifndef INW_LIFE_PARTS_H
#define INW_LIFE_PARTS_H

#include "show/lines.h"

/* "5 days", "13 weeks", "20 months"; "the first day" for none. Returns `out`. */
char *inw_life__span(char *out, size_t size, double s);
/* The same as a moment: "new", "day 5", "week 13", "month 20". */
char *inw_life__moment(char *out, size_t size, double s);
/* What repeats: "day" or "week". */
const char *inw_life__pattern(const struct inw_life_report *r);
/* When to change the carbon, in two sentences at most. Returns `out`. */
char *inw_life__answer(char *out, size_t size, const struct inw_life_report *r);
/* NULL for none. */
const struct inw_verdict *inw_life__verdict(const struct inw_life_report *r, const char *id);
/* "Unidentified organic vapour, treated as toluene" up to its comma. Returns `out`. */
char *inw_life__short_title(char *out, size_t size, const struct inw_life_gas *g);

#endif
