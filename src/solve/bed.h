/* SPDX-License-Identifier: MIT */
/* bed.h: a bed of carbon along its depth and in time: several vapours, flow on, off or reversed.
 *
 *   v dc/dz + rho_b dq/dt = d/dz (spread dc/dz),   rho_b dq/dt = rate (c - c in equilibrium with q)
 *
 * The air holds some 1e-3 to 1e-8 of what the carbon next to it holds and passes in a fraction of a second: its own
 * content is left out and its profile follows the loadings at once. So the state is the loadings alone.
 *
 * Invariants: B1 what went in less what came out is what the bed holds more, to rounding. B2 a fresh bed lets exp(-rate
 * depth/v) through, whatever the number of cells. B3 in clean air a bed never gives off more than it held. B4 second
 * order in the cell's depth while a cell is no deeper than v/rate, third in time. B5 no allocation, no global state.
 * Ownership: the caller owns model, state, workspace and all arrays.
 */
#ifndef INW_BED_H
#define INW_BED_H

#include <stdbool.h>
#include <stddef.h>

#include "inward/inward.h"
#include "model/sorbent.h"

/* What drives uptake. GAS: rate (c - c(q)), right for films and pores, filling and emptying. LOADING: (rate c/q(c))
 * (q(c) - q), the linear driving force in the loading at the local slope: with a rectangular isotherm it is Bohart &
 * Adams and so Wheeler & Jonas, to which published rates of breakthrough were fitted; on emptying too slow for steep
 * isotherms. */
enum inw_bed_driving { INW_BED_GAS, INW_BED_LOADING };

struct inw_bed_model {
	int cells, substances;               /* substances <= INW_PORES_MOST */
	double area_m2, depth_m, bulk_kgm3;
	enum inw_bed_driving driving;
	struct inw_bed_law law;              /* LOADING needs law.loading; rest and slow flow need law.slant */
};

struct inw_bed_state {
	double *q;                           /* [cells][substances] kg/kg, from the side where positive flow enters */
	/* [substances] highest loading so far, kg/kg: the scale of the tolerance */
	double *most;
	double first_step_s[2], next_step_s; /* kept between calls: first step at rest and with flow; 0 at first */
};

struct inw_bed_inputs {                      /* constant over one call */
	double velocity_ms;                  /* superficial; 0 at rest, below 0 reversed */
	const double *inlet_kgm3;            /* of the air that enters, from whichever side */
	const double *rate_1s;               /* film and pores */
	const double *spread_m2s, *still_m2s;/* axial dispersion at this velocity, and at rest; NULL: none */
	bool goes_on;                        /* the call before had the same inputs: go on with its step */
	/* [substances] for months in one: the loading changes this many times as fast as the air makes it, as if the
	 * carbon were so much less; NULL: 1. Then B1 holds with what came in and out times this. */
	const double *hurry;
};

/* tolerance: of loadings, relative to the highest so far, per step; the error at the end is a fifth of it or so
 * (tested). 1 or more: every step passes */
struct inw_bed_options { double tolerance; int most_steps; };
#define INW_BED_OPTIONS ((struct inw_bed_options){ .tolerance = 1e-3, .most_steps = 100000 })

struct inw_bed_result {
	enum inw_status status;              /* INW_OK, INW_BAD_INPUT, INW_NOT_CONVERGED */
	const char *why;                     /* NULL, or a static sentence */
	double done_s;                       /* how far the state has come: all of the time when status is INW_OK */
	int steps, rejected;
	double *outlet_kgm3;                 /* [substances] mean over done_s; may be NULL, as the next two */
	double *in_kg, *out_kg;              /* [substances] carried in and out during done_s */
};

/* Number of doubles that inw_bed_advance needs as workspace. */
#define INW_BED_WORKSPACE(cells, substances) ((cells) * (14 * ((substances) + (substances) % 2) + 25))
size_t inw_bed_workspace(const struct inw_bed_model *m);
/* Carry the state over `duration_s`. Events (a fan that stops, a new inlet) are the ends of calls. On failure the state
 * stands at done_s, consistent with what is reported. */
void inw_bed_advance(const struct inw_bed_model *m, struct inw_bed_state *state, const struct inw_bed_inputs *in,
	double duration_s, const struct inw_bed_options *options, double *workspace, struct inw_bed_result *out);
/* What leaves just now, kg/m3. 0, or 1 when the law has no answer. Flow must not be 0. */
int inw_bed_outlet(const struct inw_bed_model *m, const struct inw_bed_state *state, const struct inw_bed_inputs *in,
	double *outlet_kgm3);
/* What the bed holds of one substance, kg. */
double inw_bed_held_kg(const struct inw_bed_model *m, const struct inw_bed_state *state, int substance);

#endif
