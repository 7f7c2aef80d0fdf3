/* SPDX-License-Identifier: MIT */
/* fibre.h: what a single fibre catches, and what a rated sheet of them lets through, by size and velocity. Pure functions,
 * SI, no state. A sheet's flow resistance from its data sheet: flow.h. */
#ifndef INW_FIBRE_H
#define INW_FIBRE_H

#include "physics/aerosol_dynamics.h"

struct inw_fibre { double diameter_m, solidity; }; /* solidity: share of the volume that is fibre, 0 .. 1 */

/* Two sets of published laws. Lee & Liu is the main one (why: fibre.c). */
enum inw_fibre_form { INW_FIBRE_LEE_LIU, INW_FIBRE_HINDS };

/* What one fibre catches of the air that its own width meets, by mechanism. A part may be over 1. */
struct inw_capture { double diffusion, interception, diffusing_interception, impaction; };

double inw_fibre_kuwabara(double solidity);
struct inw_capture inw_fibre_capture(enum inw_fibre_form form, const struct inw_fibre *fibre, double diameter_m, double velocity_ms, const struct inw_aerosol *air);
double inw_capture_sum(const struct inw_capture *c);         /* the parts added */
double inw_capture_independent(const struct inw_capture *c); /* 1 - product of (1 - part); NaN when a part is over 1 */
double inw_fibre_penetration(const struct inw_fibre *fibre, double depth_m, double efficiency);
double inw_fibre_drop_Pa(const struct inw_fibre *fibre, double depth_m, double velocity_ms, double mu_Pas); /* Davies */
/* The size that passes best, by the sum of the parts; m. */
double inw_fibre_worst_size_m(enum inw_fibre_form form, const struct inw_fibre *fibre, double velocity_ms, const struct inw_aerosol *air);

/* ---- a rated sheet ---- */
/* What its class says: it lets `penetration` of its worst size through at this velocity. */
struct inw_rating { double penetration, worst_size_m, velocity_ms; };
/* The rating with the fibre that makes theory agree with its worst size. */
struct inw_sized_medium {
	enum inw_fibre_form form;
	struct inw_fibre fibre;
	struct inw_rating rating;
	struct inw_aerosol air; /* of the rating */
	double depth;         /* -ln of the rated penetration */
	double least;         /* single-fibre efficiency at the rated point; 0: no fibre fits, the worst size stands for all */
};
/* 0, or -1 when no fibre from the worst size itself up to 30 um has this worst size at this velocity (at 5.3 cm/s: below
 * 0.09 um or above 0.7 um): then the sheet is charged, or the size is a guess, and theory has no say: the sheet still
 * serves, by the law of its worst size. `air` is that of the rating. */
int inw_sized_medium_fit(struct inw_sized_medium *m, enum inw_fibre_form form, double solidity, const struct inw_rating *rating, const struct inw_aerosol *air);
double inw_sized_medium_penetration(const struct inw_sized_medium *m, double diameter_m, double velocity_ms, const struct inw_aerosol *air);
double inw_sized_medium_worst_size_m(const struct inw_sized_medium *m, double velocity_ms, const struct inw_aerosol *air);
double inw_sized_medium_moved_size_m(const struct inw_sized_medium *m, double velocity_ms, const struct inw_aerosol *air); /* the same, near enough and soon */

/* ---- dust on it ---- */
double inw_cake_resistance_1s(double diameter_m, double porosity, const struct inw_aerosol *air); /* K2: Pa per m/s and kg/m2 */
double inw_loaded_ratio(double cake_1s, double load_kgm2, double rated_dp_Pa, double rated_velocity_ms); /* loaded over clean */

#endif
