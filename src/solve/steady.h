/* SPDX-License-Identifier: MIT */
/* steady.h: the steady state of a model: all pressures, flows and temperatures at once.
 *
 * Newton's method with the exact Jacobian, a line search, and a homotopy from the starting point when that is not enough.
 * Thermostats are settled outside: plate on or idle, heater off, full or holding its target, a room that is
 * only assumed to be heated held or let go; each choice is one Newton solve.
 * Invariants: S1 a solution with status INW_OK has every scaled residual below 1e-9 (but for inw_steady_near). S2 no allocation, no global state.
 */
#ifndef INW_STEADY_H
#define INW_STEADY_H

#include "model/model.h"

struct inw_solution {
	struct inw_model m;
	struct inw_slots s;
	double y[INW_MAX_UNKNOWNS];
	struct inw_flows f;
	enum inw_status status;      /* INW_OK or INW_NOT_CONVERGED */
	int iterations;
	double residual;             /* largest scaled residual */
	double first_step, bend, heat_step; /* of INW_CARE_DRAWN, see inw_steady_near */
	double mass_closure;         /* sum over zones, relative to the largest flow */
	double energy_closure;       /* sources less what ends outdoors, relative to the sources, a watt at least */
	const char *why;             /* NULL, or a sentence when there is no solution; static */
	bool plate_idle;             /* the chamber is hotter than the plate's set temperature */
};

/* Solve sol->m from a cold guess, or `warm` from sol->y (which must have the same slots) and from the thermostats as they
 * stand in sol->m (heater, plate_on): copied from a solution nearby they save a solve; wrong ones are put right. */
void inw_steady(struct inw_solution *sol, bool warm);
/* The same from a foretold sol->y, only as closely as is of use. The end of a range: scaled residuals below 1e-8 and a last
 * step below 1e-3 natural sizes, whose square is what is left. A number drawn at random: the last step of heat below 0.02 (0.2 Pa,
 * 0.2 K, 20 mg/s; a duct's skin ten times as much), or ten times that where it was so much shorter than the one before that a hundredth
 * should be left; scaled residuals of mass and pressure below 1e-5 after it; what is told of heat (not the temperatures) as before that
 * step. What needs more than Newton's whole steps is solved as closely as ever. sol->first_step, to be set before: how long a first step may
 * be to be the last one too (0: nothing is known). sol->bend, where there was a second step: how far that moved temperatures over the square
 * of the first, in natural sizes. */
enum inw_care { INW_CARE_FULL, INW_CARE_RANGE, INW_CARE_DRAWN };
void inw_steady_near(struct inw_solution *sol, enum inw_care care);
/* What is told of heat at sol->y, where sol->heat_step, the step since which it was not worked out (of natural sizes), is too long. */
void inw_steady_heat(struct inw_solution *sol);

/* The same by a kept Jacobian (slope.h) of a solution nearby: balances and flows at sol->y, and the step that leads on from it;
 * its largest part in natural sizes, infinite where there is none. */
struct inw_slope;
double inw_steady_look(struct inw_solution *sol, const struct inw_slope *slope, double *step);
/* Where that step is next to nothing: take what was looked at as the solution. False when a thermostat contradicts; it is then
 * put right in sol->m. */
bool inw_steady_stands(struct inw_solution *sol);

/* One implicit step of a storing model: capacity (y - base) rate = residual(y), rate = 1/(share of the step), and the air
 * that a box pushes out as it warms. With `hold` what is stored stays at `base` and the rest settles at that instant. */
struct inw_step { bool hold; double rate, capacity[INW_MAX_UNKNOWNS], base[INW_MAX_UNKNOWNS], expansion /* V drho/dT, kg/K */; };
/* From sol->y (slots made by the caller, thermostats as they stand). Newton's method alone: status says whether it got there. */
void inw_instant(struct inw_solution *sol, const struct inw_step *step);

#endif
