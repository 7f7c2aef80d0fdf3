/* SPDX-License-Identifier: MIT */
#include "physics/monotone.h"

#include <assert.h>
#include <math.h>

/* Slopes at the points.
 * Purpose: slopes that keep the cubic monotone between its points.
 * Given: x strictly increasing, y, n >= 2. Returned: slope[n].
 * Valid range: any data. Omits: accuracy of third order at an extremum (the slope there is 0, the extremum stays a
 *   point).
 * Source: Fritsch & Carlson 1980, SIAM J. Numer. Anal. 17:238-246, the two-step method with the circle of radius 3 as
 *   the region (their S2); memory.
 * Checked by: test/physics/test_blower.c (M1..M3). */
void inw_monotone__slopes(const double *x, const double *y, int n, double *slope)
{
	const double radius = 3; /* Fritsch & Carlson 1980, S2: alpha^2 + beta^2 <= 9 */
	double before = 0;

	assert(n >= 2);
	for (int i = 0; i < n; i++) {
		double after = i + 1 < n ? (y[i + 1] - y[i]) / (x[i + 1] - x[i]) : before;

		if (i == 0)
			before = after;
		assert(i + 1 == n || x[i + 1] > x[i]);
		slope[i] = before * after > 0 ? (before + after) / 2 : 0;
		before = after;
	}
	for (int i = 0; i + 1 < n; i++) {
		double secant = (y[i + 1] - y[i]) / (x[i + 1] - x[i]);
		double length2 = slope[i] * slope[i] + slope[i + 1] * slope[i + 1], most2 = radius * radius * secant * secant;

		if (length2 > most2) {
			slope[i] *= sqrt(most2 / length2);
			slope[i + 1] *= sqrt(most2 / length2);
		}
	}
}

/* The cubic of one piece, between x[0] and x[1]: Hermite basis (textbook identity). */
struct inw_monotone_value inw_monotone__piece(const double *x, const double *y, const double *slope, double at)
{
	double h = x[1] - x[0], t = (at - x[0]) / h, u = 1 - t;
	double rise = (y[1] - y[0]) / h;

	return (struct inw_monotone_value){
		.y = y[0] * u * u * (1 + 2 * t) + y[1] * t * t * (3 - 2 * t) + h * t * u * (slope[0] * u - slope[1] * t),
		.dy = 6 * t * u * rise + slope[0] * u * (1 - 3 * t) + slope[1] * t * (3 * t - 2),
	};
}

/* Index of the piece that holds `at`; the end pieces also hold what lies beyond them. */
int inw_monotone__find(const double *x, int n, double at)
{
	int i = 0;

	while (i + 2 < n && at >= x[i + 1])
		i++;
	return i;
}
