/* SPDX-License-Identifier: MIT */
/* odds.h: what the sampling engine (odds.c) asks of what it samples: a subject, which gives numbers for the values of a
 * design's quantities. The states of a check are one (odds_check.c), whole days and months on the carbon
 * others (odds_day.c).
 *
 * Invariants: O1 what a subject says of a sample depends on that sample alone, never on what a worker did before.
 * O2 a worker is used by one thread at a time.
 */
#ifndef INW_ODDS_H
#define INW_ODDS_H

#include "check/inputs.h"
#include "judge/measure.h"
#include "solve/tally.h"

/* Samples kept of each replicate; samples of a pilot, and of one whose samples take long. */
enum { INW_ODDS_REPLICATES = 16, INW_ODDS_STORED = 256, INW_ODDS_PILOT = 256, INW_ODDS_PILOT_FEW = 16 };

struct inw_output {
	const char *id, *title, *job, *limit_source;
	enum inw_dim dim;
	enum inw_sense sense;
	double limit, limit_high;
	enum inw_scale scale;
	bool untold;
	const char *none_why;           /* set by `plan`; NULL: not known */
};

/* How a value is meant: bound > 0 more than that, < 0 less; verdict > 0 met, < 0 missed, whatever the limit says of the value. */
struct inw_meant { signed char bound, verdict; };

struct inw_subject {
	const struct inw_design *d;
	const struct inw_inputs *in;    /* set by the engine before `pilot` */
	int outputs; struct inw_output *output;
	unsigned char *sampled; double *weight; /* for each quantity: is it drawn; how much it seems to matter */
	bool looks;                     /* can look closer at a sample than `values` does */
	size_t least;                   /* samples of each replicate before the first look at how sure they are */
	void **worker; unsigned workers;
	void *self;
	/* Everything the subject knows of one sample into value[outputs]; done for INW_ODDS_PILOT samples, then `plan`, which may
	 * leave out in `values` what these have shown not to matter. 0, or -1 when memory is out. */
	int (*closer)(void *worker, double *x, const double *z, double *value, double *detail) __attribute__((warn_unused_result));
	size_t detail;                  /* numbers that `closer` writes beside, for `plan`; detail may be NULL */
	int (*plan)(struct inw_subject *s, const double *detail, int samples) __attribute__((warn_unused_result));
	/* value[outputs]; see[INW_SIGHTS] unless NULL. 0, or -1 when memory is out. */
	int (*values)(void *worker, double *x, const double *z, double *value, double *see) __attribute__((warn_unused_result));
	/* How each of the values that `worker` gave last is meant: [outputs]. NULL: as they stand, against the limit. */
	const struct inw_meant *(*meant)(void *worker);
	void (*end)(struct inw_subject *s);
	const char *note;               /* what to say of the plan; NULL: nothing */
};

int inw_subject_check(struct inw_subject *s, const struct inw_design *d, unsigned workers, struct inw_arena *arena) __attribute__((warn_unused_result));
/* `life`: months on the carbon instead of a day. */
int inw_subject_day(struct inw_subject *s, const struct inw_design *d, bool life, unsigned workers, struct inw_arena *arena) __attribute__((warn_unused_result));

/* Positive is good; NaN stays NaN. */
double inw_output_margin(const struct inw_output *o, double value);
/* On the scale on which its scatter is even, and back. */
double inw_output_scaled(const struct inw_output *o, double value);
double inw_output_unscaled(const struct inw_output *o, double scaled);

/* A requirement's own range is a choice, not a doubt about the box. */
bool inw_quantity_is_drawn(const struct inw_quantity *q);

/* ---- what the engine hands to those who read its samples ---- */

struct inw_engine {
	const struct inw_design *d;
	const struct inw_odds_options *options;
	struct inw_arena *arena;
	struct inw_subject s;
	struct inw_inputs in;
	struct inw_tally_plan plan;     /* outputs of the subject and one more: all is met */
	struct inw_tally_range *range;
	size_t size;                    /* of a tally */
	double *tally[INW_ODDS_REPLICATES], *whole;
	double *stored[INW_ODDS_REPLICATES]; /* [INW_ODDS_STORED][outputs + 1 + INW_SIGHTS]: met or not, then what is seen */
	unsigned threads;
	int failed;                     /* memory was out in some thread */
	bool stopped;
};

/* Evaluate one sample with a worker: marks for all outputs and the one more. */
struct inw_desk { double *u, *z, *x, *value, *closer, *see; struct inw_tally_mark *mark; };
int inw_engine_sample(struct inw_engine *e, unsigned worker, struct inw_desk *desk, bool look, bool see) __attribute__((warn_unused_result));
int inw_desk_make(struct inw_desk *desk, const struct inw_engine *e, struct inw_arena *arena) __attribute__((warn_unused_result));
/* Do job(e, worker, item) for item 0..items-1 on all threads; false when it was stopped. */
void inw_engine_spread(struct inw_engine *e, int items, int (*job)(struct inw_engine *e, void *context, unsigned worker, int item), void *context);
/* Asked now and then by who works for long; true: stop. Only worker 0 asks outside. */
bool inw_engine_stopped(struct inw_engine *e, unsigned worker);

/* What the whole tally says of an output, the number of outputs being all at once. e->failed when memory is out. */
void inw_odds_conclude(struct inw_engine *e, int output, struct inw_odds_verdict *v);
/* Total indices of the inputs with the largest shares into the verdicts. 0, or -1 when memory is out. */
int inw_odds_totals(struct inw_engine *e, struct inw_odds_verdict **verdict, size_t base) __attribute__((warn_unused_result));
/* The next measurement. */
int inw_odds_next(struct inw_engine *e, struct inw_odds *o, struct inw_odds_verdict **verdict) __attribute__((warn_unused_result));
/* Files of what was sampled. */
enum inw_status inw_odds_keep(const struct inw_engine *e, const char *path, struct inw_diags *diags) __attribute__((warn_unused_result));
enum inw_status inw_odds_resume(struct inw_engine *e, const char *path, struct inw_diags *diags) __attribute__((warn_unused_result));

#endif
