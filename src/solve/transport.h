/* SPDX-License-Identifier: MIT */
/* transport.h: how the flows of a solved state carry a substance: a linear balance over box, rooms and junction.
 *
 * Zones: box 0, rooms 1.., junction last. Concentrations are mixing ratios (kg per kg of air, or particles per kg), so that
 * warming air changes none of them.
 */
#ifndef INW_TRANSPORT_H
#define INW_TRANSPORT_H

#include "solve/steady.h"

enum { INW_MAX_ZONES = INW_MAX_ROOMS + 2 };

struct inw_transport {
	int n;
	double a[INW_MAX_ZONES * INW_MAX_ZONES]; /* row-major, kg/s: what leaves a zone less what comes in, per mixing ratio */
	int pivot[INW_MAX_ZONES];
};

/* `pass`: share that one way through the cleaner lets by; `box_sink`: kg of air per second that the box's walls clear. */
void inw_transport_build(struct inw_transport *t, const struct inw_solution *sol, double pass, double box_sink);
/* kg/m3 of air in box (0) or room (1..). */
double inw_zone_density(const struct inw_solution *sol, int zone);

#endif
