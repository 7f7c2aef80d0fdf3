/* SPDX-License-Identifier: MIT */
/* near.c: the near zone of the two-zone model of a room. */
#include "physics/near.h"

#include <assert.h>

static const double pi = 3.14159265358979323846;

/* Exchange of the near zone with the room: beta = 1/2 surface x speed; half of the surface lets air in, half out.
 * Given: radius m, above 0; speed m/s, random speed of the room's air, not below 0. Returned: m3/s.
 * Valid: a half sphere on a wall, a table or the front of a box, whose flat side lets nothing through.
 * Omits: draughts that blow one way through it, the warm air that rises from box and person.
 * Source: two-zone model, Nicas 1996, Am Ind Hyg Assoc J 57:542; Keil, Simmons & Anthony 2009, Mathematical Models for
 *   Estimating Occupational Exposure to Chemicals, AIHA (both memory).
 * Tests: test/solve/test_near.c, `exchange`.
 */
double inw_near_exchange_m3s(double radius_m, double speed_ms)
{
	return 0.5 * 2 * pi * radius_m * radius_m * speed_ms;
}

double inw_near_volume_m3(double radius_m)
{
	return 2.0 / 3 * pi * radius_m * radius_m * radius_m;
}

/* Steady concentration of the near zone, C = (beta C_room + G) / (beta + q); with q far below beta the published
 * C_room + G/beta.
 * Given: room: what the room's air holds; exchange beta > 0; source_air q >= 0, air that the source itself blows out;
 *   source G: what that air carries. Amounts per air, air per time and amounts per time in units that fit together.
 * Returned: as `room`; between what the room's air and what the source's air hold.
 * Valid: changes slow against volume / (beta + q), some seconds: the zone's own air is not stored. That the near zone can
 *   be added to the room's own balance: Nicas 2024, Ann Work Expo Health 68:78 (abstract read).
 * Omits: what falls to the ground or is taken up on the way; where in the zone the face is.
 * Source: as inw_near_exchange_m3s; q in the balance is ours: without it a wide open door would give more than it holds.
 * Tests: test/solve/test_near.c, `steady`, `transient`.
 */
double inw_near_concentration(double room, double exchange, double source_air, double source)
{
	assert(exchange > 0 && source_air >= 0);
	return (exchange * room + source) / (exchange + source_air);
}
