/* SPDX-License-Identifier: MIT */
#include "physics/flow.h"
#include "physics/monotone.h"

#include <assert.h>
#include <math.h>

static const double pi = 3.14159265358979323846; /* circle */

#define OPENINGS 11
#define DEGREE (pi / 180) /* rad, definition */

/* Throttle blade in a round pipe, angle from parallel to the flow. Weisbach 1855 as handed down in hydraulics texts
 * (memory; 5, 10, 20, 40, 60 degrees also seen in present-day tables of loss coefficients). The first row, 0 degrees,
 * is ours: the table's own trend, ln K straight from 10 over 5 to 0 degrees: 0.24^2/0.52 = 0.111. */
static const double blade_deg[OPENINGS] = {0, 5, 10, 15, 20, 25, 30, 40, 50, 60, 70};
static const double blade_K[OPENINGS] = {0.24 * 0.24 / 0.52, 0.24, 0.52, 0.90, 1.54, 2.51, 3.91, 10.8, 32.6, 118, 751};

#define ORIFICE 0.61 /* contraction of a sharp edge, Kirchhoff's pi/(pi+2) = 0.611 */

/* Inside the table: ln K by a monotone cubic in the angle, its last slope taken from the shut end so that both join
 * C1. */
static struct inw_flap tabled(double angle)
{
	double x[OPENINGS], y[OPENINGS], slope[OPENINGS];
	struct inw_monotone_value v;
	int i;

	for (i = 0; i < OPENINGS; i++) {
		x[i] = blade_deg[i] * DEGREE;
		y[i] = log(blade_K[i]);
	}
	inw_monotone__slopes(x, y, OPENINGS, slope);
	slope[OPENINGS - 1] = 2 * cos(x[OPENINGS - 1]) / (1 - sin(x[OPENINGS - 1])); /* -2 dln(1 - sin)/dangle */
	i = inw_monotone__find(x, OPENINGS, angle);
	v = inw_monotone__piece(x + i, y + i, slope + i, angle);
	return (struct inw_flap){.g = exp(-v.y / 2), .dg_dangle = -v.dy / 2 * exp(-v.y / 2)}; /* g = K^(-1/2) */
}

/* Past the table: the two crescents left open, (1 - sin angle) of the port, as an orifice. The coefficient is the one
 * that meets the last row, 0.605; the sharp-edge 0.61 would miss it by 0.8 %. */
static struct inw_flap nearly_shut(double angle)
{
	double last = blade_deg[OPENINGS - 1] * DEGREE;
	double coefficient = 1 / sqrt(blade_K[OPENINGS - 1]) / (1 - sin(last));

	return (struct inw_flap){.g = coefficient * (1 - sin(angle)), .dg_dangle = -coefficient * cos(angle)};
}

/* Flap blade in one port.
 * Given: angle 0 (parallel, open) .. pi/2 (across, shut) rad; seat_leak 0..1, open area left when shut over port area.
 * Returned: g = 1/sqrt(K), so that q = g area sqrt(2 dp/rho), and dg/dangle; C1, falling, finite also at 0 (K = 0.11
 *   there).
 * Valid range: thin blade in a round pipe, turbulent. Omits: the pipe walls' friction, the nearness of bends, the
 *   blade's thickness; Legg 1986 (Building Serv. Eng. Res. Technol. 7(4), abstract) finds ln K straight in the angle
 *   for duct dampers over most of the travel, which this is.
 * Source: table as named above; leak: a sharp hole in parallel, g adds.
 * Checked by: test/physics/test_opening.c. */
struct inw_flap inw_flap_conductance(double angle_rad, double seat_leak)
{
	const double rounding = 1e-9; /* pi/2 - angle of a caller may miss 0 by rounding */
	struct inw_flap f;

	assert(angle_rad >= -rounding && angle_rad <= pi / 2 + rounding);
	assert(seat_leak >= 0 && seat_leak <= 1);
	f = angle_rad < blade_deg[OPENINGS - 1] * DEGREE ? tabled(angle_rad) : nearly_shut(angle_rad);
	f.g += ORIFICE * seat_leak;
	return f;
}
