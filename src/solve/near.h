/* SPDX-License-Identifier: MIT */
/* near.h: what the flows of an instant bring into the air close by the box. The caller owns the struct. */
#ifndef INW_SOLVE_NEAR_H
#define INW_SOLVE_NEAR_H

#include "solve/steady.h"

/* kg/s of air. */
struct inw_near {
	double exchange;                       /* with the room */
	double gaps;                           /* out of the box by gaps and open door into its room */
	double exhaust;                        /* out of an exhaust that ends in that room */
	double cleaned;                        /* share of the exhaust's air that came through the cleaner; the rest is box air */
};

struct inw_near inw_near_now(const struct inw_solution *sol, double radius_m, double speed_ms);
/* Mixing ratio there, from those of the room, the box and what leaves the cleaner. */
double inw_near_ratio(const struct inw_near *n, double room, double box, double after);

#endif
