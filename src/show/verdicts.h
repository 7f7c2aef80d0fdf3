/* SPDX-License-Identifier: MIT */
/* verdicts.h: verdicts as words on a page, for the report and for the day, and the page's parts that both have.
 * Ownership: all additions go to the page; nothing is kept. */
#ifndef INW_VERDICTS_H
#define INW_VERDICTS_H

#include "show/lines.h"

enum { INW_WORDS = 5 };
extern const enum inw_word inw_show__order[INW_WORDS]; /* of groups, the worst first */
const char *inw_show__group_name(enum inw_word word);  /* "MISSES" */

/* "allowed: at most 35 dB". */
void inw_show__limit_words(char *out, size_t size, const struct inw_verdict *v, enum inw_units units);
/* "; 3 Pa to spare", "; off by 3 Pa", or nothing. */
void inw_show__margin_words(char *out, size_t size, const struct inw_verdict *v, enum inw_units units);
/* A verdict with reason, change and (INW_FULL) source and caution; how sure it is unless the page is `unranged`. */
void inw_show__verdict(struct inw_page *p, const struct inw_verdict *v);
/* What is met, and what is only stated, in a line. */
void inw_show__verdict_in_brief(struct inw_page *p, const struct inw_verdict *v);

/* The first verdict of the worst word, NULL when all is met: within one word the judge's order counts. */
const struct inw_verdict *inw_show__worst(const struct inw_verdict *all, size_t count);
/* Among what is met: the one with the least to spare, relative to its limit. NULL for none. */
const struct inw_verdict *inw_show__closest(const struct inw_verdict *all, size_t count);

/* The overall word, and how many have which. */
void inw_show__overall(char *out, size_t size, const struct inw_report *r);
/* What a report that passes does not judge, and which command does; false when it does not pass, so that other things count. */
bool inw_show__beyond_check(char *out, size_t size, const struct inw_report *r, enum inw_units units);
/* That the box is not built, and what this makes of every verdict; NULL when it is, or for no design. */
const char *inw_show__planned(const struct inw_design *d);
/* Of the worst verdict that has one; NULL for none. */
const char *inw_show__first_change(const struct inw_report *r);

/* "97.3 %"; near certainty what so many samples allow, "over 81.2 %" and at most "over 99.9 %": samples never make certain. */
char *inw_show__odds(char *out, size_t size, double met, double error);
/* " (+- 3 %)", or nothing where the odds are such a bound themselves. */
char *inw_show__odds_error(char *out, size_t size, double met, double error);

void inw_show__title(struct inw_page *p, const char *head, const char *name);
void inw_show__list(struct inw_page *p, const char *head, const char *const *items, size_t count);
/* The cautions, the disclaimer last. */
void inw_show__cautions(struct inw_page *p, const char *const *items, size_t count);

#endif
