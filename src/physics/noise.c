/* SPDX-License-Identifier: MIT */
/* noise.c: how loud a small fan is, at another speed, and at some distance in a room.
 *
 * Invariant: N1 levels are in decibels re 1 pW (power) and 20 uPa (pressure); a weighting passes through unchanged.
 */
#include <math.h>

#include "physics/clean.h"

#define PI 3.14159265358979323846

/* Sound power of a fan guessed from its duty: 40 + 10 lg Q + 20 lg p.
 * Given: q m3/s > 0; rise Pa > 0.
 * Returned: dB, unweighted. Minus infinity at no flow or no rise.
 * Valid: a fan working near its best point; 5 dB either way at least (common practice, no source). Only for want of a
 * measured level.
 * Omits: the wheel's type (weighting differs by 10 dB between forward-curved and axial), tones, stall, installation.
 * Source: open engineering table of fan noise; the same rule is known as Beranek's (memory).
 * Tests: test/physics/test_noise.c, `power`.
 */
double inw_sound_power_dB(double q_m3s, double rise_Pa)
{
	return 40 + 10 * log10(q_m3s) + 20 * log10(rise_Pa);
}

/* Change of a fan's level with its speed: 55 lg(n2/n1).
 * Given: ratio > 0 of the new speed to the old. Returned: dB to add.
 * Valid: the same fan on the same resistance; fitted on small axial fans from 20 to 100 % of speed.
 * Omits: tones meeting a resonance, bearing and motor noise, which stay when the wheel slows.
 * Source: published datasheet levels of 40 mm fans, 55.6 by motor and 51.4 .. 56.3 by duty (derived); 50 follows from
 * the rule above and the fan laws.
 * Tests: test/physics/test_noise.c, `speed`.
 */
double inw_sound_speed_change_dB(double speed_ratio)
{
	return 55 * log10(speed_ratio);
}

/* Sound pressure level in a room: Lw + 10 lg(1/(4 pi r^2) + 4/R), R = S a/(1 - a).
 * Given: power dB(A); distance m > 0; room_surface m2 > 0; absorption, the mean of all surfaces, 0 .. 1 (1: open air).
 * Returned: dB(A). Infinite at absorption 0: a source in a room that swallows nothing has no steady level.
 * Valid: diffuse field, a source away from walls (directivity 1; a corner adds up to 9 dB to the direct part).
 * Omits: directivity, the next room, and the low frequencies where a small room has few modes.
 * Source: classical room equation, as given on an open engineering page on the room constant.
 * Tests: test/physics/test_noise.c, `room`.
 */
double inw_sound_at_dB(double power_dBA, double distance_m, double room_surface_m2, double absorption)
{
	const double direct = 1 / (4 * PI * distance_m * distance_m);
	const double reverberant = 4 * (1 - absorption) / (room_surface_m2 * absorption);

	return power_dBA + 10 * log10(direct + reverberant);
}
