/* SPDX-License-Identifier: MIT */
/* mover.h: kinds of matter, gases or particles of one size each, through a step in time: carried by the air of box and
 * rooms, given off, cleared by cleaner and walls. Two kinds go hand in hand: most of the work is the same for both.
 *
 * The step is the two-stage SDIRK of day.h; each stage is (mass + share dt T) y = amounts + share dt source, linear in the
 * mixing ratios y.
 * Invariant: emitted = held + kept + outdoors + merged, to rounding.
 */
#ifndef INW_MOVER_H
#define INW_MOVER_H

#include "solve/pair.h"
#include "solve/transport.h"

#define INW_SDIRK2_GAMMA 0.29289321881345254 /* 1 - 1/sqrt 2, Alexander 1977 */

/* What one substance, or one size of particle, has come to. kg or particles. */
struct inw_account { double emitted, held[INW_MAX_ZONES], held_s[INW_MAX_ZONES] /* its integral over time */, kept, walls /* of what is kept */, outdoors, merged /* lost to (less: won from) other sizes by meeting */, peak /* most that one zone ever held */; };

struct inw_mover {
	struct inw_transport t[2];           /* the stages' flows, nothing kept: what the cleaner and the walls keep is added */
	double mass[2][INW_MAX_ZONES], clean[2], rho[2];
	int n, zones;                        /* with and without the junction */
	/* The same for every kind: what leaves for outdoors by mixing ratio, and the stages' matrices of a step of `dt` (0: of none yet),
	 * without what belongs to one kind. */
	double leaves[2][INW_MAX_ZONES], matrix[2][INW_MAX_ZONES * INW_MAX_ZONES], dt;
};

/* Two kinds, or one twice: what belongs to them, the accounts they come from and go to (which may be the same), and what the
 * step leaves besides. */
struct inw_two {
	inw_pair pass, wall_m3s;
	inw_pair source[2];                  /* into the box, per s */
	inw_pair joins;                      /* into the junction, per s: what the carbon lets by and gives back */
	inw_pair won[2][INW_MAX_ZONES], lost[2][INW_MAX_ZONES]; /* by meeting: per s; share of what is there, per s */
	const struct inw_account *from[2];
	struct inw_account *to[2];
	inw_pair joined[INW_MAX_ZONES];      /* what each zone lost to other sizes */
	inw_pair amount[2][INW_MAX_ZONES];   /* at the stages */
	inw_pair error;                      /* in amounts; INFINITY when there is no answer */
};

/* The air of the two stages. */
void inw_mover_begin(struct inw_mover *m, const struct inw_solution stage[2]);
/* To be called when t or mass were changed since. */
void inw_mover_renew(struct inw_mover *m);
void inw_mover_step(struct inw_mover *m, double dt, struct inw_two *two);
/* Against what an error of one kind counts; `source`: the larger of the two stages'. */
double inw_mover_scale(const struct inw_mover *m, double source, const struct inw_account *a, const struct inw_account *next);
/* m3 of a zone: 0 the box, 1.. the rooms. */
double inw_zone_volume(const struct inw_model *m, int zone);

#endif
