/* SPDX-License-Identifier: MIT */
/* life.h: months on the carbon as they are being followed (life.c) and made into a report (life_report.c). */
#ifndef INW_CHECK_LIFE_H
#define INW_CHECK_LIFE_H

#include "judge/measure.h"
#include "solve/life.h"

enum { INW_MONTHS_VERDICTS = 64, INW_WEEK = 7, INW_MONTHS_PEOPLE = 16, INW_LIMIT_KINDS = INW_LIMIT_HOME_LONG + 1, INW_PARTS = 3, INW_MONTHS_MOMENTS = 25 };
enum { INW_FINELY, INW_ROUGHLY, INW_GRAINS };

/* Sums over a day, or over one pattern. */
struct inw_sums {
	double in[INW_MAX_GASES], out[INW_MAX_GASES], moved[INW_MAX_GASES]; /* kg; moved: taken up and given back, both ways */
	double most_out[INW_MAX_GASES];             /* kg/m3 */
	double index[INW_MONTHS_PEOPLE], there[INW_MONTHS_PEOPLE];
	double air_m3, running_m3;                  /* through the carbon; of it while a job ran */
};

/* What is kept of a replay as it goes. */
struct inw_books {
	double t;                                   /* s since the carbon was new */
	struct inw_sums now, day[INW_WEEK]; int days;       /* since last judged; the last days, by number; whole days so far */
	double held[INW_MAX_GASES], sent[INW_MAX_GASES], room_s[INW_MAX_GASES][INW_MAX_ZONES]; /* when last looked at */
	double taken[INW_MAX_GASES];                /* kg, so far */
	double share[INW_MAX_GASES];                /* let through over the last pattern; NAN where nothing came */
	double index[INW_MONTHS_PEOPLE];                  /* mean sum of concentration over limit while there, last pattern */
	double most_index[INW_MONTHS_PEOPLE];       /* of those means so far */
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
	struct inw_books *books, *other;                /* best estimate; a replay of the range */
	double *row; size_t rows, capacity, columns;
	struct inw_bed_moment *moment; size_t moments, every; /* the carbon as it was; one row in so many */
	const char **name; enum inw_dim *dim;
	struct inw_verdict verdict[INW_MONTHS_VERDICTS]; size_t verdicts;
	double energy_J, heating_J, running_s, growth[INW_MAX_STAGES]; /* in one pattern; growth: of media's resistance */
	double shortcut;
	double from, to;                            /* of all the work: see told_to_stop */
	struct inw_lookout sight;                     /* while the door was shut */
	bool failed, stopped;
};

/* ---- life_books.c ---- */
void inw_books_open(struct inw_books *b);
/* Book `dt` that has just passed under `drive`; what hurried counts as what it would have been. */
void inw_books_add(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas, const struct inw_gas_drive *drive, double dt, bool running);
/* The sums since last judged are of a whole pattern, and stand for the last `span`. */
void inw_books_judge(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas, double span);
/* A day of the full run is over: the last days, up to a pattern, are judged. */
void inw_books_end_day(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas);

/* ---- life_report.c ---- */
/* Everything is followed: verdicts, tables and the rest of l->r. l->failed when memory is out. */
void inw_months_finish(struct inw_months *l);

#endif
