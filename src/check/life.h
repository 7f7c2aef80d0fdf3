/* SPDX-License-Identifier: MIT */
/* life.h: months on the carbon as they are being followed (life.c) and made into a report (life_report.c). */
#ifndef INW_CHECK_LIFE_H
#define INW_CHECK_LIFE_H

#include "check/air.h"
#include "solve/life.h"

enum { INW_MONTHS_VERDICTS = 64 /* beside those of people */, INW_WEEK = 7, INW_LIMIT_KINDS = INW_LIMIT_HOME_LONG + 1, INW_PARTS = 3, INW_MONTHS_MOMENTS = 25 };
enum { INW_FINELY, INW_ROUGHLY, INW_GRAINS };
enum { INW_MEANS = 2 * INW_SPANS /* of a person: by the limits for each span, then by these and what stands in for them */ };

/* Sums over a day, or over one pattern. */
struct inw_sums {
	double in[INW_MAX_GASES], out[INW_MAX_GASES], moved[INW_MAX_GASES]; /* kg; moved: taken up and given back, both ways */
	double air_m3, running_m3;                  /* through the carbon; of it while a job ran */
};

/* What one person meets, as a share of one of their limits. */
struct inw_breath {
	struct inw_piece *v; size_t n, capacity;    /* since last judged, and as long before as a mean over its span may reach */
	bool there, over;                           /* since last judged; with new carbon already, the first pattern */
	double day[INW_WEEK];                       /* worst mean that ended on each of the last days, by number; NAN: not there */
	double index, most;                         /* worst mean of the last pattern, and so far; NAN: never there */
};

/* What is kept of a replay as it goes. */
struct inw_books {
	double t;                                   /* s since the carbon was new */
	struct inw_sums now, day[INW_WEEK]; int days;       /* since last judged; the last days, by number; whole days so far */
	double held[INW_MAX_GASES], sent[INW_MAX_GASES]; struct { double kg[INW_MAX_ZONES], kg_s[INW_MAX_ZONES]; } zone[INW_MAX_GASES]; /* when last looked at */
	double taken[INW_MAX_GASES];                /* kg, so far */
	double share[INW_MAX_GASES];                /* let through over the last pattern; NAN where nothing came */
	struct inw_breath *breath, *behind;         /* of each person INW_MEANS; kg/m3 of each gas behind the carbon, 0 at rest */
	double spent_s; const char *why; int by;    /* gas, or -1 - person */
	double passes_s[INW_MAX_GASES][INW_PARTS], over_s[INW_MAX_GASES][INW_LIMIT_KINDS];
	double back_running[INW_MAX_GASES], back_idle[INW_MAX_GASES], hottest_K; /* since the pattern began */
};

/* What the carbon held. */
struct inw_bed_moment { double t, q[INW_DAY_BEDS][INW_BED_CELLS * INW_PORES_MOST]; };

struct inw_months {
	const struct inw_design *d;
	struct inw_arena *arena;
	struct inw_life_report *r;
	const struct inw_day_options *options;
	struct inw_day_sim *sim;
	double *given, *high, *low, *x;             /* values: best, with all rates of gases at either end; of the moment */
	struct inw_life_pattern pattern[INW_GRAINS];      
	double period; int period_days;
	double limit[INW_MAX_GASES][INW_LIMIT_KINDS];         /* kg/m3, NAN for none */
	struct inw_gases *gas, *next, *begin;       /* now; workspace; at the last pattern's beginning */
	double by[2][INW_MEANS][INW_MAX_GASES];     /* m3/kg: 1 over the limits of people at home and at work; 0 for none */
	bool held[2][INW_SPANS];                    /* some gases have a limit for that span, others are held to one for longer */
	struct inw_books *books, *other, *full;         /* best estimate; a replay beside it; the full run that is held against it */
	double *row; size_t rows, capacity, columns;
	struct inw_bed_moment *moment; size_t moments, every; /* the carbon as it was; one row in so many */
	const char **name; enum inw_dim *dim;
	struct inw_verdict *verdict; size_t verdicts, verdict_room;
	double energy_J, heating_J, running_s, growth[INW_MAX_STAGES]; /* in one pattern; growth: of media's resistance */
	double shortcut, air_off;                   /* of the last pattern against a full run: matter as a share of what came, air as a share of limits */
	double from, to;                            /* of all the work: see told_to_stop */
	struct inw_lookout sight;                     /* while the door was shut */
	bool pressed, weak, unset;                  /* see inw_presses_out, inw_holds_weakly, inw_drives_unset */
	bool failed, stopped;
};

/* ---- life_books.c ---- */
/* New books from `gas` on. */
void inw_books_open(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas);
/* Book a stretch that has just passed; what hurried counts as what it would have been. 0, or -1 when memory is out. */
int inw_books_add(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas, const struct inw_life_stretch *s) __attribute__((warn_unused_result));
/* The sums since last judged are of a whole pattern, and stand for the last `span`. */
void inw_books_judge(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas, double span);
/* A day of the full run is over: the last days, up to a pattern, are judged. */
void inw_books_end_day(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas);

/* Of a person: the largest share of any limit in the last pattern, NAN when they were not there or have none. */
double inw_books_worst(const struct inw_books *b, size_t person);

/* Into the log comes what changes from the first to the last of these over `dt`, with that mean, as two straight pieces: first or
 * last it stands still, or, where the mean lies beyond both, it turns round half way. 0, or -1 when memory is out. */
enum { INW_BEGAN, INW_MEAN, INW_ENDED, INW_LOOKS };
int inw_books_shape(struct inw_arena *arena, struct inw_breath *x, double dt, const double now[INW_LOOKS]) __attribute__((warn_unused_result));

/* ---- life_report.c ---- */
/* Everything is followed: verdicts, tables and the rest of l->r. l->failed when memory is out. */
void inw_months_finish(struct inw_months *l);

#endif
