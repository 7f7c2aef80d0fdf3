/* SPDX-License-Identifier: MIT */
/* seek.h: the search for designs among all combinations and values: what choose.c, choose_say.c and choose_write.c share.
 *
 * Ownership: the seeker's arena is that of the result.
 */
#ifndef INW_SEEK_H
#define INW_SEEK_H

#include "check/trial.h"

/* A place of the search, judged in full. */
struct inw_spot {
	int combo;               /* -1: none */
	double u[INW_MOST_FREE];
	double aim[INW_AIMS];
	bool good;               /* every requirement and every cap holds */
	double missing;          /* sum of levels below zero */
	int untold;              /* what a check cannot tell there */
};

/* What is to be small, and what else may not be large. */
struct inw_task {
	enum inw_aim aim;
	double cap[INW_AIMS];    /* INFINITY: none */
	int eased; double by;    /* a requirement with its limit moved by so much; -1: none */
	const bool *only;        /* NULL, or for each requirement whether it is asked for */
	double held[INW_MOST_FREE]; bool holds; /* what is free but stays at this coordinate; NAN: it is free. Is any held? */
};

enum { INW_STARTS = 2 };
struct inw_combo {
	int word[INW_MOST_CHOICES];
	bool unreadable;
	double bought_least;     /* no values of what is free make it cheaper to buy */
	double promise;          /* of the task at hand: what a short search with another combination's deviations came to, the less the better */
	double near[INW_MOST_FREE]; /* and where */
	double missing;          /* of the best of a few points, at best estimates */
	double start[INW_STARTS][INW_MOST_FREE]; int starts;
	struct inw_spot least;   /* the least that was ever missing with all requirements */
	double level[INW_MOST_NEEDS]; /* of each requirement there, at best estimates */
	double came;             /* what the task at hand came to here; INFINITY: not searched, or nothing holds */
	bool tried;              /* searched with all requirements */
	bool from[INW_AIMS][INW_STARTS]; /* for each aim, with nothing else asked: which of the starts it was searched from */
};

struct inw_seeker {
	const struct inw_design *d; /* a copy: the spans of what is free are narrowed to what can be */
	const struct inw_choose_options *o;
	struct inw_diags *diags;
	struct inw_arena *arena;
	struct inw_choices *out;
	struct inw_combo *combo; int combos, present; /* which of them the file has; -1: none */
	const struct inw_spot *rival; /* what a search has to beat to be of use; NULL: nothing */
	int left;                /* searches that are still to be afforded for this task */
	double unit[INW_AIMS];   /* what each aim is counted in */
	struct inw_spot best[INW_AIMS]; /* of everything that holds, whatever it was searched for: the least of each aim; combo -1: none */
	double stretch[INW_MOST_NEEDS]; /* for each requirement, see struct inw_need; 0: none */
	double shift[INW_MOST_NEEDS];   /* the same */
	double stretch_first[INW_MOST_NEEDS]; /* where the search began with what samples told */
	int always_untold;       /* what no choice tells, for missing data */
	int polished; long solved;
	int needs;
	double share;
	enum inw_status trouble; /* INW_OK, or why the search is over; INW_IO: stopped */
	const char *note[32]; size_t notes;
};

extern const char *const inw_best_names[INW_AIMS]; /* "cheapest", "quietest", ... */
struct inw_task inw_task_of(enum inw_aim aim);
/* Search one combination from one start. -1 when the search is over (trouble says why). */
int inw_seek_in(struct inw_seeker *s, int combo, const struct inw_task *task, const double *start, struct inw_spot *best)
	__attribute__((warn_unused_result));
/* As little missing of the requirements in `only` as can be, deviations as of where the combination lacked least. */
int inw_seek_nearest(struct inw_seeker *s, int combo, const bool *only, struct inw_spot *best, double *level, double *value)
	__attribute__((warn_unused_result));
double inw_seek_stretch(const struct inw_seeker *s, int need);
int inw_seek_trouble(struct inw_seeker *s, enum inw_status why);
void inw_seek_note(struct inw_seeker *s, const char *format, ...) __attribute__((format(printf, 2, 3)));
void inw_seek_tell(struct inw_seeker *s, double share);

/* choose_say.c: what a spot is as a design, and what is said of it; why nothing holds. -1 when memory is out. */
struct inw_front { struct inw_spot spot; const char *name; struct inw_task task; };
int inw_say_chosen(struct inw_seeker *s, struct inw_front *front, size_t count) __attribute__((warn_unused_result));
/* What lacks something at a place where nothing holds, asked of samples: `changed` when they tell less of it. */
int inw_say_sampled(struct inw_seeker *s, const struct inw_spot *spot, bool *changed) __attribute__((warn_unused_result));
int inw_say_conflict(struct inw_seeker *s) __attribute__((warn_unused_result));

#endif
