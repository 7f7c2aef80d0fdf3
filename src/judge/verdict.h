/* SPDX-License-Identifier: MIT */
/* verdict.h: a measure's number against its limit, in one of five words, with the reason in a sentence. */
#ifndef INW_VERDICT_H
#define INW_VERDICT_H

#include "judge/measure.h"

/* What the study found about one measure. */
struct inw_finding {
	const struct inw_measure *m;
	const struct inw_case *worst;   /* the state that gave the number */
	const char *state;
	double value, low, high;
	bool broken;                    /* some end of a range has no answer */
	bool weakly;                    /* at some end of a range gaps are pulled too weakly for it to be told (inw_measure_told) */
	const char *trouble;            /* why there is no answer at all, or NULL */
	const char *untold;             /* why the number, which does not miss, is not told, where its kind does not say, or NULL */
};

enum inw_word inw_verdict_word(const struct inw_finding *f);
/* A sentence (numbers as in sentence.h) in the arena; NULL when memory is out. `where` is set to a place or NULL. */
const char *inw_verdict_reason(const struct inw_finding *f, const struct inw_design *d, struct inw_arena *arena, const char **where);

#endif
