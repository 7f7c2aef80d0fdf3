/* SPDX-License-Identifier: MIT */
/* trial.h: one combination of records, judged at any values of what is free.
 *
 * What a value costs to judge: a fraction of a millisecond for all states at best estimates, a hundred times that with the
 * ranges of what was assumed. So how far a requirement lies from its bad side (its deviation) is worked out at one point
 * and kept until the next full judging; in between only the states are solved.
 *
 * Invariants: V1 a requirement's level is zero with its margin at the wanted probability, and has its sign. V2 after a full
 * judging the levels are those of a check of the same values, with the range narrowed to that probability.
 * Ownership: a trial owns its design and its studies; inw_trial_close gives them back.
 */
#ifndef INW_TRIAL_H
#define INW_TRIAL_H

#include "check/study.h"

enum { INW_MOST_NEEDS = 256, INW_MOST_ROWS = 320, INW_MOST_PARTS = 12 };

/* A number that is the least of several (of all gaps) has an edge wherever two of them meet, and the best design lies on
 * edges: each of them is a row of its own for the search. */
enum { INW_OF_BED = -1 /* a row of no requirement: below ten granules of carbon no law holds, and nothing is found there */ };
struct inw_row { int need, part; /* -1: all of it */ double level; };

/* One requirement that must hold. */
struct inw_need {
	size_t job;
	int measure;
	double down, up;  /* deviations that count now, in the scale in which ranges of the measure add up */
	struct inw_rounds { double used, used_before, found_before; } side[2]; /* down, up: of the rounds, see inw_trial_foretell */
	bool broken;      /* some end of a range had no answer there */
	double stretch;   /* how many times its deviation counts beside `reach`; 1 */
	double shift;     /* and so many deviations more; 0 */
	double relaxed;   /* how much its limit is moved to the easy side; 0 */
	bool ignored;     /* not asked for now */
};

struct inw_trial {
	const struct inw_design *asked; /* as written, with the wishes */
	struct inw_design *d;           /* with the records of this combination; its wishes have the right indices */
	int word[INW_MOST_CHOICES];     /* which of each choice */
	struct inw_arena *arena;
	struct inw_design set, moved;   /* with the numbers set; and with what follows from them */
	struct inw_study **study;       /* of each job */
	struct inw_case *near;          /* of each job and state: where the next solution begins */
	unsigned *wanted;
	bool skip[INW_STATES];          /* no requirement looks at it */
	struct inw_need need[INW_MOST_NEEDS]; int needs; bool too_many; /* there are more */
	struct inw_row row[INW_MOST_ROWS]; int rows;
	double level[INW_MOST_NEEDS];   /* the least of its rows, at the values solved last */
	double value[INW_MOST_NEEDS], margin[INW_MOST_NEEDS]; /* the same: best estimate; margin at the wanted probability, own unit */
	double aim[INW_AIMS];           /* NaN: cannot be told */
	bool asks_bed, asks_wide;       /* something is read off carbon; with the range of its granules too */
	double bed_level;               /* how deep it is; 0 where its laws begin to hold */
	int untold;                     /* what a check of the values judged last cannot tell */
	double reach;                   /* how many times the deviation towards the 5 or 95 % point counts */
	long used;                      /* solutions of all states */
};

/* Is this requirement one that `choose` is told to do without? */
bool inw_wish_left_out(const struct inw_wishes *w, const char *id);
/* INW_BAD_INPUT: this combination cannot be read as a design; `diags` says why. */
enum inw_status inw_trial_open(struct inw_trial *t, const struct inw_design *asked, const int *word, struct inw_diags *diags)
	__attribute__((warn_unused_result));
void inw_trial_close(struct inw_trial *t);
/* Free numbers by coordinates 0 .. 1 from `from` to `to`: even in their logarithm where both are positive and far apart. */
void inw_trial_set(struct inw_trial *t, const double *u);
void inw_trial_now(const struct inw_trial *t, double *u); /* what is written, moved into the bounds */
double inw_trial_value(const struct inw_free *f, double u);
double inw_trial_coordinate(const struct inw_free *f, double value); /* and back, moved into the bounds */
/* Solve all states at the values set. With `probe` they lie next to those solved last without it. */
void inw_trial_solve(struct inw_trial *t, bool probe);
/* The same with ranges, whose deviations are kept. */
enum inw_status inw_trial_judge(struct inw_trial *t) __attribute__((warn_unused_result));
/* After judging number `round` (0: the first) of a search that takes deviations as they were found where it began: which ones
 * will it find where it ends? These count from now on. With `wider` none counts for less than it did. */
void inw_trial_foretell(struct inw_trial *t, int round, bool wider);
/* Deviations as another combination was judged: a first guess. */
void inw_trial_like(struct inw_trial *t, const struct inw_trial *judged);
/* Does each requirement hold, as judged last? And the sum of levels below zero. */
bool inw_trial_holds(const struct inw_trial *t);
double inw_trial_missing(const struct inw_trial *t);
const struct inw_measure *inw_trial_measure(const struct inw_trial *t, int need);
/* What is bought, at the values set: no solving. */
double inw_trial_bought(const struct inw_trial *t);
/* The limit of a measure moved by so much to the easy side. */
struct inw_measure inw_trial_eased(const struct inw_measure *m, double by);
/* The file with this combination's records and the values of u, written with so many digits; `at` (NULL: not wanted) are
 * these values. */
enum inw_status inw_trial_write(const struct inw_trial *t, const double *u, int digits, struct inw_text *out, double *at, struct inw_diags *diags)
	__attribute__((warn_unused_result));
/* What stands for free number i then: within `out`. */
bool inw_trial_written(const struct inw_trial *t, size_t i, double value, int digits, char out[160], double *at);

#endif
