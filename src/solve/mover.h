/* SPDX-License-Identifier: MIT */
/* mover.h: one kind of matter, a gas or particles of one size, through a step in time: carried by the air of box and rooms,
 * given off, cleared by cleaner and walls.
 *
 * The step is the two-stage SDIRK of day.h; each stage is (mass + share dt T) y = amounts + share dt source, linear in the
 * mixing ratios y.
 * Invariant: emitted = held + kept + outdoors + merged, to rounding.
 */
#ifndef INW_MOVER_H
#define INW_MOVER_H

#include "solve/transport.h"

#define INW_SDIRK2_GAMMA 0.29289321881345254 /* 1 - 1/sqrt 2, Alexander 1977 */

/* What one substance, or one size of particle, has come to. kg or particles. */
struct inw_account { double emitted, held[INW_MAX_ZONES], held_s[INW_MAX_ZONES] /* its integral over time */, kept, walls /* of what is kept */, outdoors, merged /* lost to (less: won from) other sizes by meeting */, peak /* most that one zone ever held */; };

struct inw_mover {
	struct inw_transport t[2];           /* the stages' flows, nothing kept: what the cleaner and the walls keep is added */
	double mass[2][INW_MAX_ZONES], clean[2], rho[2];
	double pass, wall_m3s;
	double source[2];                    /* into the box, per s */
	double joins;                        /* into the junction, per s: what the carbon lets by and gives back */
	double won[2][INW_MAX_ZONES], lost[2][INW_MAX_ZONES]; /* by meeting: per s; share of what is there, per s */
	int n, zones;                        /* with and without the junction */
	/* The same for every kind: what leaves for outdoors by mixing ratio, and the stages' matrices of a step of `dt` (0: of none yet),
	 * without what belongs to one kind. */
	double leaves[2][INW_MAX_ZONES], matrix[2][INW_MAX_ZONES * INW_MAX_ZONES], dt;
};

/* The air of the two stages; pass, walls, sources and meetings are nothing until set. */
void inw_mover_begin(struct inw_mover *m, const struct inw_solution stage[2]);
/* To be called when t or mass were changed since. */
void inw_mover_renew(struct inw_mover *m);
/* Both stages for one account. Returns the error in amounts, INFINITY when there is no answer. `joined`: what each zone lost
 * to other sizes; `amount`: at the stages. */
double inw_mover_step(struct inw_mover *m, double dt, const struct inw_account *a, struct inw_account *next, double *joined, double amount[2][INW_MAX_ZONES]);
/* Against what an error counts. */
double inw_mover_scale(const struct inw_mover *m, const struct inw_account *a, const struct inw_account *next);
/* m3 of a zone: 0 the box, 1.. the rooms. */
double inw_zone_volume(const struct inw_model *m, int zone);

#endif
