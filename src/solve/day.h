/* SPDX-License-Identifier: MIT */
/* day.h: a box through time: the same balances as the steady state, with what warms up and fills up stored.
 *
 * Air moves as it would at rest under the temperatures of the instant, but for what a warming box pushes out. Temperatures
 * of panels, plate, machine, cleaner, box air and free rooms, and what each zone holds of every gas and particle size, go
 * forward together by a two-stage implicit Runge-Kutta method of second order (Alexander 1977, SIAM J. Numer. Anal. 14:1006,
 * memory: SDIRK2, L-stable, gamma = 1 - 1/sqrt 2) whose step follows its own error. Events (jobs, doors, flap, speed,
 * windows) are met to the second: a step ends there and the next begins from the same stored heat and matter.
 * Invariants: Y1 matter is conserved: emitted = held in zones + kept by the cleaner and walls + gone outdoors, to rounding.
 * Y2 no allocation, no I/O.
 */
#ifndef INW_DAY_H
#define INW_DAY_H

#include "model/bins.h"
#include "solve/day_bed.h"
#include "solve/dust.h"
#include "solve/gases.h"
#include "solve/outcome.h"

enum { INW_MAX_EVENTS = 4096, INW_MAX_JOBS_SIZED = 32 };

struct inw_day_sim {
	const struct inw_design *d;
	const double *given;                   /* values of the design's quantities */
	double *x;                             /* the same with what the doings changed; caller's memory, d->quantities long */
	double t, end;                         /* s since the day's start */
	double clock;                          /* of the start, s after midnight */
	struct inw_solution sol;
	double slope[INW_MAX_UNKNOWNS];        /* of its unknowns over the last step, per s; 0 after a change */
	int job;                               /* running, -1 none */
	int machine_job;                       /* whose settings the machine has, running or last */
	double job_began;                      /* the running job's start, s since the day's start */
	double ended[INW_MAX_JOBS_SIZED];      /* when each job's last run within the day ended; NAN before that */
	bool door_open;
	bool unheated[INW_MAX_ROOMS];          /* rooms that are only assumed to be heated and get warmer by themselves while a job runs */
	struct inw_gases gas;
	struct inw_gas_drive drive;            /* of the last step: the carbon's life is driven by it again */
	double step_s;                         /* and its length */
	double pass[INW_MAX_GASES];            /* share let through by what the carbon does not hold */
	struct inw_account bin[INW_MAX_BINS]; int bins;
	struct inw_bins grid;
	double bin_pass[INW_MAX_BINS], bin_wall_m3s[INW_MAX_BINS];
	double share[INW_MAX_JOBS_SIZED][INW_MAX_BINS];                     /* of each job's particles by size */
	struct inw_sized_medium medium[INW_MAX_STAGES];
	double stage_pass[INW_MAX_STAGES][INW_MAX_BINS];                    /* of each medium with its seal */
	double caught[INW_MAX_STAGES][INW_MAX_BINS], dust_kg[INW_MAX_STAGES]; /* by each medium: particles of the jobs, dust of the rooms */
	double growth[INW_MAX_STAGES];                                      /* of its resistance by both, over that of the clean medium */
	struct inw_coagulation meet; double meet_T;                         /* and the temperature its table was made at */
	double event[INW_MAX_EVENTS]; int events, next_event;
	bool at_event;                         /* the state is that just before the event at t */
	double energy;                         /* electrical, J, by the step's own rule */
	double dt;                             /* next step to try */
	struct { double dt, error; } before;   /* the last step, its error over the tolerance; dt 0: there is none to go by */
	double tolerance;                      /* of a step: K of temperature per kelvin scale, share of what is held */
	long steps, rejected, iterations;
	const char *why;                       /* when it stopped before the end; static */
};

/* How finely sizes are told apart: 2 .. INW_MAX_BINS; 0: as the design says. */
struct inw_day_setup { int bins; double tolerance; };
/* Start: everything at room temperature, nothing emitted. `x` has room for d->quantities numbers. 0, or -1 (see why). */
int inw_day_start(struct inw_day_sim *s, const struct inw_design *d, const struct inw_day_setup *setup, const double *given, double *x) __attribute__((warn_unused_result));
/* One accepted step, or at an event the change itself, in no time: the state before and after it can both be seen.
 * 1 while the day goes on, 0 at its end, -1 when no step can be made. */
int inw_day_step(struct inw_day_sim *s) __attribute__((warn_unused_result));
/* A step ends at t, s since the start, as at an event. Before any step is made. */
void inw_day_stop_at(struct inw_day_sim *s, double t);
/* Where a person is when the clock shows `clock`; NULL away. */
const struct inw_stay *inw_person_stay(const struct inw_person *p, const double *given, double clock);
/* Mass of the jobs' particles that a medium has caught, at unit density. */
double inw_day_fume_kg(const struct inw_day_sim *s, int stage);
/* kg/s of a substance into the box at time t, s since the start, by the doings of the last step. */
double inw_day_gas_emission(const struct inw_day_sim *s, int substance, double t);
/* What machine, plate, heater and blower draw at this instant. */
double inw_electric_W(const struct inw_solution *sol);

#endif
