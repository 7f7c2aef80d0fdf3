/* SPDX-License-Identifier: MIT */
#include "physics/flow.h"

#include <assert.h>

/* Fibrous sheet: Darcy's law through the rated point of its data sheet.
 * Given: area of the sheet (pleats unfolded) > 0 m2, rated face velocity > 0 m/s, rated drop > 0 Pa, viscosity of the
 *   rating test > 0 Pa s, loading = resistance now over clean, >= 1.
 * Returned: lin 1/m3; quad 0.
 * Valid range: Reynolds number of the fibre well under 1, which sheets at 0.01..0.5 m/s are.
 * Omits: pleat channels and frame (give them as a fitting in series), slip in fine fibres (it lowers the drop below 1
 *   um), growth of loading with dust (the caller's). The drop follows viscosity and not density, so hot air meets more.
 * Source: Darcy 1856; use for filter sheets: Hinds, Aerosol Technology, ch. on filtration (memory).
 * Checked by: test/physics/test_bed_flow.c. */
struct inw_resistance inw_medium_resistance(double area_m2, double rated_velocity_ms, double rated_dp_Pa,
	double rated_mu_Pas, double loading)
{
	assert(area_m2 > 0 && rated_velocity_ms > 0 && rated_dp_Pa > 0 && rated_mu_Pas > 0);
	assert(loading >= 1);
	return (struct inw_resistance){.lin = loading * rated_dp_Pa / (rated_mu_Pas * rated_velocity_ms * area_m2)};
}
