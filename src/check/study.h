/* SPDX-License-Identifier: MIT */
/* study.h: one job in all its states, with the range that the assumptions leave each number.
 *
 * Invariants: T1 `x` holds best estimates whenever no function of this module is running. T2 every range holds its value.
 */
#ifndef INW_STUDY_H
#define INW_STUDY_H

#include "judge/measure.h"
#include "judge/verdict.h"

enum { INW_STATES = 13, INW_AS_DESIGNED = 0 };
extern const struct inw_state inw_states[INW_STATES];
/* Some states differ from others only where the design has doors that they move. */
bool inw_state_arises(const struct inw_design *d, int state);
/* Does a measure look at a state of this design at all? */
bool inw_study_looks(const struct inw_design *d, const struct inw_measure *m, int state);

/* What cases are solved for beside flows and temperatures: particles, gases, how long carbon holds these and what it lets through by
 * then, how fast the box clears, the rooms with the blower stopped, and what is beside all that: power, sound, dew. */
enum { INW_WANT_AIR = 0, INW_WANT_PARTICLES = 1, INW_WANT_GASES = 2, INW_WANT_USED = 4, INW_WANT_CLEARING = 8, INW_WANT_STILL = 16, INW_WANT_ASIDE = 32,
	INW_WANT_ALL = 63 };

/* How far a solution lies from another one: where to begin when something like it is asked again. n: 0 when not known. */
struct inw_shift { int n; double y[INW_MAX_UNKNOWNS]; }; /* the cleaner's flows by their share, all else as it is */

/* Where a quantity is moved to: the ends of its range, and points within where its effect turns round. */
enum { INW_MOST_ENDS = 6, INW_MOST_TURNS = 24 };
struct inw_turn { inw_q q; double to; };

struct inw_study {
	const struct inw_design *d;
	const struct inw_job *job;
	struct inw_measures measures;
	double *x;                             /* values, one for each quantity */
	unsigned char *touched, *moves_air;    /* which of them this job reads; which of those its flows and heat depend on */
	unsigned char *matters;                /* which move some measure at all */
	unsigned char *follows;                /* which are worked out from others */
	struct inw_case c[INW_STATES];
	struct inw_solution still;             /* the first one with the blower stopped; n of its slots 0: none yet */
	unsigned wanted;                       /* INW_WANT_..., of cases that are solved now */
	const struct inw_case *of_x;           /* a case whose model is of x already, if only in another state: it is not built anew */
	enum inw_care care; double first_step; /* how closely cases near others are solved (steady.h) */
	struct inw_shift **shift;              /* for each quantity: what its ends do to the air in the state that screens; NULL: nothing */
	double *trifle;                        /* for each measure, in the scale of its range: a deviation that small does not count */
	bool glances;                          /* where nothing more than that is foretold, cases are not solved to the end */
	int asks;                              /* of which measure; negative: of all that are read off the state */
	struct inw_turn turn[INW_MOST_TURNS]; int turns; /* within the ranges */
	int worst[INW_MAX_MEASURES];           /* state with the least margin (as designed when there is no limit) */
	double value[INW_MAX_MEASURES], low[INW_MAX_MEASURES], high[INW_MAX_MEASURES];
	double *bad[INW_MAX_MEASURES];         /* how far each quantity goes in the likeliest case at the bad end of the range; NULL: none */
	bool broken[INW_MAX_MEASURES];         /* some end of some range has no answer */
	struct inw_blame blame[INW_MAX_MEASURES][INW_MAX_BLAME];
	size_t blames[INW_MAX_MEASURES], assumed[INW_MAX_MEASURES];
	const char *why;                       /* when the model cannot hold the design; static */
};

/* Solve the job in every state, then at the ends of every range, by so many threads (the answer is the same). All in `arena`.
 * NULL when memory is out. */
struct inw_study *inw_study_run(const struct inw_design *d, const struct inw_job *job, int threads, struct inw_arena *arena);
/* For another thread, that solves cases of its own while this study stands still: its own values and marks, all else shared.
 * NULL when memory is out. What it touched is added to the first by inw_study_back. */
struct inw_study *inw_study_apprentice(const struct inw_study *s, struct inw_arena *arena);
void inw_study_back(struct inw_study *s, const struct inw_study *apprentice);
/* The first steps of it alone: before any solving; then the states at the study's present values, the first begun at `near`
 * (NULL: at nothing), and the worst of them for each measure. Only what is `wanted` can be read off them. */
struct inw_study *inw_study_begin(const struct inw_design *d, const struct inw_job *job, struct inw_arena *arena);
void inw_study_states(struct inw_study *s, const struct inw_case *near);
/* What a measure is read off: see inw_study.wanted. */
unsigned inw_study_wanted(const struct inw_study *s, int measure);
unsigned inw_study_wanted_by(enum inw_measure_kind kind);
/* Solve one case at the study's present values, from `near` and beyond it by `shift` when these are given and fit. */
void inw_study_case(struct inw_study *s, struct inw_case *c, int state, const struct inw_case *near, const struct inw_shift *shift);
/* What leads from solution `from` to that of `to`. */
void inw_study_shift(struct inw_shift *shift, const struct inw_case *from, const struct inw_case *to);
/* The same after a change that no flow depends on (see moves_air): the solved state of `near` stands. */
void inw_study_same_air(struct inw_study *s, struct inw_case *c, int state, const struct inw_case *near);
/* Put every input where measure `i` is worst for its likelihood (the bad end of the range); and back to best estimates. */
void inw_study_bad(struct inw_study *s, int i);
void inw_study_good(struct inw_study *s);
double inw_study_value(struct inw_study *s, int measure, const struct inw_case *c);
/* What is found of a measure, as people are told it; its strings are the study's. */
struct inw_finding inw_study_finding(const struct inw_study *s, int measure);
/* The ends of quantity q, low and high and what lies between: how many. */
int inw_study_ends(const struct inw_study *s, size_t q, double to[INW_MOST_ENDS]);
/* How warm it is outdoors (a room) where the air there is as heavy as the room's (as that outdoors), so that warmth moves none
 * between them. False where there is no such temperature, or no way for air. Of the job as designed. */
bool inw_study_still(const struct inw_study *s, int room, double *out_K, double *in_K);
/* Air that only warmth moves stands still there; a kelvin off it, ours, is what wind and people then still do. The temperature
 * within the range of `q` that is so near to T, NAN where there is none or it is so already. */
double inw_study_near(const struct inw_quantity *q, double T);
/* a less b, and v moved by such a difference, in the scale in which the ranges of measure `i` are combined. */
double inw_study_apart(const struct inw_study *s, int i, double a, double b);
double inw_study_moved(const struct inw_study *s, int i, double v, double by);

/* What to change so that measure `i` is met: a sentence with numbers found by solving again, or NULL when there is none to
 * give. 0, or -1 when memory is out. */
int inw_remedy(struct inw_study *s, int i, struct inw_arena *arena, const char **change) __attribute__((warn_unused_result));
/* The quantity that sets the share sent out, INW_NONE for a design that has none; the first stage of a kind, or NULL. */
inw_q inw_share_quantity(const struct inw_design *d);
const struct inw_stage *inw_stage_of(const struct inw_design *d, enum inw_stage_kind kind);

#endif
