/* SPDX-License-Identifier: MIT */
#include "physics/flow.h"

#include <assert.h>
#include <math.h>

/* Two resistances in series: the same flow passes both, so their drops add (definition).
 * Checked by: test/physics/test_duct.c, test_opening.c. */
struct inw_resistance inw_resistance_add(struct inw_resistance a, struct inw_resistance b)
{
	assert(a.lin >= 0 && a.quad >= 0 && b.lin >= 0 && b.quad >= 0);
	return (struct inw_resistance){.lin = a.lin + b.lin, .quad = a.quad + b.quad};
}

/* A bare loss coefficient, whose laminar part nobody measured: q ~ sqrt(dp) has an infinite slope at zero.
 * Purpose: make it finite. Below about `small` the flow is linear in dp; q = dp / (sqrt(a) (dp^2 + small^2)^(1/4)).
 * Omits nothing that was known: the change of q against the square root is (small/dp)^2/4, 2.5e-5 at 0.1 Pa.
 * Source: ours; 1e-3 Pa is far under what any gauge or draught resolves (common practice, no source). */
static struct inw_flow square_law_flow(struct inw_resistance r, double dp_Pa, double rho_kgm3)
{
	const double small_Pa = 1e-3;
	double root = 1 / sqrt(r.quad * rho_kgm3);
	double s2 = dp_Pa * dp_Pa + small_Pa * small_Pa;
	double fourth = sqrt(sqrt(s2));
	double q = root * dp_Pa / fourth;

	return (struct inw_flow){
		.q_m3s = q,
		.dq_ddp = root / fourth * (1 - dp_Pa * dp_Pa / (2 * s2)),
		.dq_drho = -q / (2 * rho_kgm3),
	};
}

/* Flow under a pressure difference: the root of dp = b q + a q|q|, b = lin mu, a = quad rho.
 * Given: lin >= 0 1/m3, quad >= 0 1/m4, not both 0 (nothing would hold the flow: a bug); dp Pa any; rho, mu > 0.
 * Returned: q m3/s with the sign of dp, odd, C1, with exact derivatives by dp, rho, mu.
 * Valid range: incompressible, dp well under 1 % of the absolute pressure.
 * Omits: history (start-up inertia of the air plug).
 * Source: quadratic formula in the form 2c/(b + sqrt(b^2 + 4ac)), which subtracts nothing (textbook). The form of the
 *   law: Baker, Sharples & Ward 1987 for cracks, Ergun 1952 for beds, Darcy for media.
 * Checked by: test/physics/test_opening.c (F1..F3). */
struct inw_flow inw_resistance_flow(struct inw_resistance r, double dp_Pa, double rho_kgm3, double mu_Pas)
{
	double a = r.quad * rho_kgm3, b = r.lin * mu_Pas;
	double q, root, by_dp;

	assert(r.lin >= 0 && r.quad >= 0 && r.lin + r.quad > 0);
	assert(rho_kgm3 > 0 && mu_Pas > 0);
	if (r.lin <= 0)
		return square_law_flow(r, dp_Pa, rho_kgm3);
	root = sqrt(b * b + 4 * a * fabs(dp_Pa));
	q = 2 * dp_Pa / (b + root);
	by_dp = 1 / root;
	return (struct inw_flow){
		.q_m3s = q,
		.dq_ddp = by_dp,
		.dq_drho = -r.quad * q * fabs(q) * by_dp,
		.dq_dmu = -r.lin * q * by_dp,
	};
}

/* The same law the other way. Given and omitted: as above; q m3/s any. Returned: Pa and derivatives by q, rho, mu.
 * Here a bare loss coefficient keeps its exact square law; only its inverse above is smoothed.
 * Checked by: test/physics/test_opening.c. */
struct inw_drop inw_resistance_drop(struct inw_resistance r, double q_m3s, double rho_kgm3, double mu_Pas)
{
	double a = r.quad * rho_kgm3, b = r.lin * mu_Pas;

	assert(r.lin >= 0 && r.quad >= 0 && r.lin + r.quad > 0);
	assert(rho_kgm3 > 0 && mu_Pas > 0);
	return (struct inw_drop){
		.dp_Pa = (b + a * fabs(q_m3s)) * q_m3s,
		.ddp_dq = b + 2 * a * fabs(q_m3s),
		.ddp_drho = r.quad * q_m3s * fabs(q_m3s),
		.ddp_dmu = r.lin * q_m3s,
	};
}
