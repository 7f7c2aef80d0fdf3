/* SPDX-License-Identifier: MIT */
/* purge.c: how long clean air needs to thin out what was left behind. */
#include <math.h>

#include "physics/clean.h"

/* Time for a well-mixed space without a source to fall from `start` to `end`: ln(start/end)/removal.
 * Given: start, end: excess over what the incoming air brings, same unit, any; removal 1/s, all first-order losses
 * together (air changes times mixing, capture, deposition).
 * Returned: s; 0 when it is there already; NaN when it never gets there: end not above 0, or removal not above 0.
 * Valid: perfect mixing. Poor mixing is the caller's factor on `removal` (published: 1 .. 10).
 * Omits: sources that go on after the job, such as a warm part that still gives off.
 * Source: CDC, Guidelines for Environmental Infection Control in Health-Care Facilities, 2003, appendix B, table B.1.
 * Tests: test/physics/test_noise.c, `purge_table`, `decay`.
 */
double inw_purge_time_s(double start, double end, double removal_1s)
{
	if (start <= end)
		return 0;
	if (!(end > 0 && removal_1s > 0))
		return NAN;
	return log(start / end) / removal_1s;
}
