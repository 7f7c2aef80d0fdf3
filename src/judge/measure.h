/* SPDX-License-Identifier: MIT */
/* measure.h: what is judged: a list of measures, each a number read off a solved state, with a limit and its source. */
#ifndef INW_MEASURE_H
#define INW_MEASURE_H

#include "solve/outcome.h"

enum inw_measure_kind {
	INW_M_INWARD_PRESSURE, INW_M_INWARD_VELOCITY, INW_M_EDGE_PRESSURE, INW_M_FACE_VELOCITY, INW_M_CLEANER_PRESSURE, INW_M_DEPRESSURISATION, INW_M_CHAMBER, INW_M_PARTICLE_REMOVAL, INW_M_GAS_REMOVAL,
	INW_M_WORK_8H, INW_M_WORK_PEAK, INW_M_HOME_LONG, INW_M_HOME_1H, INW_M_PARTICLES, INW_M_CARBON_LIFE, INW_M_CARBON_MASS,
	INW_M_RESIDENCE, INW_M_BYPASS, INW_M_STALL, INW_M_DELIVERY, INW_M_LFL, INW_M_NOISE, INW_M_POWER, INW_M_HEATING, INW_M_PURGE, INW_M_BED_T,
	INW_M_BED_RH, INW_M_CONDENSATION, INW_M_THROTTLE, INW_M_BALANCE
};

/* How ranges of independent inputs are combined: deviations add in squares after this transform. */
enum inw_scale {
	INW_SCALE_LINEAR, INW_SCALE_LOG, INW_SCALE_LOG_REST /* of 1 - value */,
	INW_SCALE_ASINH /* of value/limit: by factors far from zero, even through it */
};

struct inw_measure {
	enum inw_measure_kind kind;
	int index;                 /* gas, room, person or appliance, as the kind says */
	int sub;
	const char *id, *title, *limit_source, *caution;
	enum inw_dim dim;
	enum inw_sense sense;
	double limit, limit_high;
	double most;               /* no number of this kind is larger */
	enum inw_scale scale;
	bool missing_limit;        /* a substance of this measure has no published limit of this kind */
	bool unknown_source;       /* an emission behind it has never been published */
	const char *missing;       /* which, for the reason */
};

/* One state of one job, solved. `still` is the same with the blower stopped: depressurisation is the difference. */
struct inw_case {
	struct inw_solution sol;
	struct inw_outcome o;
	double still_p_Pa[INW_MAX_ROOMS]; /* room pressures with the blower stopped */
	const struct inw_slope *slope;    /* at sol; NULL: none */
	bool ok;
};

enum { INW_MAX_MEASURES = 96 };
struct inw_measures { struct inw_measure m[INW_MAX_MEASURES]; int n; bool overflow; };

/* The measures of a job. Strings live in the arena. 0, or -1 when memory is out. */
int inw_measures_list(struct inw_measures *out, const struct inw_design *d, const struct inw_job *job, struct inw_arena *arena)
	__attribute__((warn_unused_result));
/* INW_BAD_INPUT, said in `diags`, when some job has more of them than there is room for: what is left out would pass unseen. */
enum inw_status inw_measures_fit(const struct inw_design *d, struct inw_arena *arena, struct inw_diags *diags) __attribute__((warn_unused_result));
/* NaN when the state was not solved or the number does not exist. */
double inw_measure_value(const struct inw_measure *m, const struct inw_case *c, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job);
/* What is told of that: of the air of people nothing, unless it is too much anyway, where a gap is pulled inward by less than is
 * wanted in that state and so does not hold against draughts. A search, which has the pull's own verdict, does without. */
double inw_measure_told(const struct inw_measure *m, const struct inw_case *c, const struct inw_design *d, double value);
/* Is it about the air that somebody breathes, of which inw_measure_told tells so little? */
bool inw_measure_of_people(enum inw_measure_kind kind);
/* Is a fixed share to be sent out that no throttle can set? */
bool inw_share_unset(const struct inw_solution *sol);
/* Does it rest on a fixed share sent out that no throttle can set in that state? Nothing is told of it then but that it misses. Static
 * reason, NULL if not. */
const char *inw_measure_unset(const struct inw_measure *m, const struct inw_case *c);
/* Some states are only for some measures: doors between rooms for people, a stopped blower for vapour that could catch fire. */
bool inw_measure_applies(const struct inw_measure *m, const struct inw_state *state);
/* What bounds how much gets out of the box, at its worst over a time: begin with face_ms NAN and look at every instant. */
struct inw_lookout { bool unbounded; double face_ms; /* least over any opening; NAN without */ };
void inw_lookout_see(struct inw_lookout *out, const struct inw_solution *sol);
/* Why nobody's air can be told where that is not known; NULL when it can. Static. */
const char *inw_lookout_lost(const struct inw_lookout *out, double required_ms);
/* Positive is good; NaN stays NaN. */
double inw_measure_margin(const struct inw_measure *m, double value);
/* What one share of margin is: the limit, but of removals near all what may be left, of a band half its width, and of
 * temperatures and sounds, whose zero says nothing, ten kelvin or decibels. Ours, to draw unlike things together. */
double inw_measure_one(const struct inw_measure *m);

/* Does all air that leaves the cleaner go outdoors? Then it need not be clean. */
bool inw_all_outdoors(const struct inw_design *d);

/* Of the residential values for an hour and longer, the cautious one of the shortest time: what the worst hour is held to where
 * there is none for an hour, towards a pass only. NULL when none is published. */
const struct inw_limit *inw_shortest_home_limit(const struct inw_substance *s, const struct inw_values *x);
/* Cautious limit of a kind for a substance: the lowest of all bodies. NULL when none is published. */
const struct inw_limit *inw_cautious_limit(const struct inw_substance *s, enum inw_limit_kind kind, const struct inw_values *x);

#endif
