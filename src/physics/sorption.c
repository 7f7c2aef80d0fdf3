/* SPDX-License-Identifier: MIT */
/* sorption.c: how much a granular carbon holds, how fast it takes it up, and how long a bed lasts.
 *
 * These laws were fitted in cm, g, min and cal. Each function converts at its door and nowhere else; a factor's unit
 * stands beside it.
 * Invariants: B1 capacity grows with p/psat from 0 to W0 rho. B2 service time grows in proportion to mass beyond the
 * critical bed and falls with flow. B3 an input outside of what a law can mean gives NaN, not a bent value.
 */
#include <math.h>

#include "physics/clean.h"

#define CM3_PER_M3 1e6         /* exact */
#define CM_PER_M 1e2           /* exact */
#define G_PER_KG 1e3           /* exact */
#define S_PER_MIN 60.0         /* exact */
#define R_CAL 1.987            /* cal/(mol K), the value Wood 1994 is fitted with */

/* Static capacity, Dubinin & Radushkevich in Wood's form: W0 d exp(-b' W0 Pe^-1.8 (R T ln(p/psat))^2).
 * Given: W0 m3/kg micropore volume (1994: 0.454e-3); structure b' (1994: 3.56e-5, with W0 in cm3/g, Pe in cm3/mol and R
 * T in cal/mol); refraction Pe m3/mol; liquid density kg/m3; T K; p/psat 0 .. 1.
 * Returned: kg adsorbed per kg of dry carbon. 0 at p = 0, W0 times density at p = psat, NaN outside (B3).
 * Valid: fitted to organic vapours at some hundred ppm, 20 .. 30 degC, relative humidity up to 50 %. It has no Henry's
 * law limit: below about 5 ppm it is an extrapolation and errs by an unknown factor.
 * Omits: water, other vapours, chemisorption (light aldehydes on impregnated carbon), ageing of the carbon.
 * Source: Wood 1994, AIHA J. 55:11-15 (memory of the form; reproduces his published table to 0.9 % rms, see the test).
 * Tests: test/physics/test_sorption.c, `capacities`, `wood_table`, `freundlich`.
 */
double inw_dr_capacity(double W0_m3kg, double structure, double refraction_m3mol, double liquid_kgm3, double T_K,
	double p_over_psat)
{
	const double W0_cm3g = W0_m3kg * CM3_PER_M3 / G_PER_KG;
	const double Pe_cm3mol = refraction_m3mol * CM3_PER_M3;
	double potential;

	if (!(p_over_psat >= 0 && p_over_psat <= 1))
		return NAN;
	/* cal/mol; minus infinity at p = 0, which the exponential turns into 0 */
	potential = R_CAL * T_K * log(p_over_psat);
	return W0_m3kg * liquid_kgm3 * exp(-structure * W0_cm3g * pow(Pe_cm3mol, -1.8) * potential * potential);
}

/* Rate coefficient of Wood & Stampfer: 1/kv = (1/v + 0.027)(0.000825 + S/Pe), S = 0.063 - 0.0055 ln((1 - x)/x), kv in
 * 1/min, v in cm/s, Pe in cm3/mol.
 * Given: velocity m/s >= 0, superficial; refraction m3/mol; x = outlet over inlet, 0.001 .. 0.1.
 * Returned: 1/s; 0 at zero velocity; NaN for x outside (0, 1) or so small that the law turns negative.
 * Valid: respirator cartridge carbons of 12x20 to 12x30 mesh (some 1 mm), organics. Not for coarser granules: the size
 * is not a variable of this law, and dp^-1.5 (below) takes a factor 5 to 8 off at 4x8 mesh. Below x = 0.001 it is
 * carried on; S turns negative at x = 1e-5, and the whole law soon after.
 * Omits: granule size, humidity.
 * Source: Wood & Stampfer 1993, Carbon 31:195-200, as used in Wood 1994 (memory; confirmed on Wood's table at 1 and 10
 * %).
 * Tests: test/physics/test_sorption.c, `rates`, `wood_table`.
 */
double inw_rate_wood_stampfer(double velocity_ms, double refraction_m3mol, double x)
{
	const double v_cms = velocity_ms * CM_PER_M;
	double skew, inner;

	if (!(x > 0 && x < 1))
		return NAN;
	skew = 0.063 - 0.0055 * (log1p(-x) - log(x));
	inner = 0.000825 + skew / (refraction_m3mol * CM3_PER_M3);
	if (!(inner > 0)) /* x so small that the straight line in ln((1 - x)/x) has crossed zero */
		return NAN;
	return v_cms / (1 + 0.027 * v_cms) / inner / S_PER_MIN;
}

/* Rate coefficient of Lodewyckx & Vansant: kv = 800 beta^0.33 v^0.75 dp^-1.5 (We/Mw)^0.5, kv in 1/min, v in cm/s, dp in
 * cm, We in g/g, Mw in g/mol.
 * Given: velocity m/s >= 0, superficial; granule m > 0, mean diameter; beta > 0, affinity relative to benzene; capacity
 * kg/kg >= 0 at the inlet concentration; molar mass kg/mol.
 * Returned: 1/s.
 * Valid: 0.1 % breakthrough, physisorbed organics. It lies some 1.7 times above Wood & Stampfer at 1.1 mm: take the two
 * together as the range of what is known.
 * Omits: breakthrough fraction (the later correlation of Wood & Lodewyckx 2003 adds it), humidity.
 * Source: Lodewyckx & Vansant 2000, AIHA J. 61:501-505 (memory, medium confidence in the lead constant).
 * Tests: test/physics/test_sorption.c, `rates`.
 */
double inw_rate_lodewyckx_vansant(double velocity_ms, double granule_m, double beta, double capacity,
	double molar_mass_kgmol)
{
	const double v_cms = velocity_ms * CM_PER_M;
	const double dp_cm = granule_m * CM_PER_M;
	const double moles = capacity / (molar_mass_kgmol * G_PER_KG);
	const double root = sqrt(moles * v_cms * sqrt(v_cms) / dp_cm) / dp_cm; /* of all powers that are halves and quarters */

	return 800 * pow(beta, 0.33) * root / S_PER_MIN;
}

/* What the air film around the granules lets through at most: kf a, Sh = 2 + 1.1 Sc^(1/3) Re^0.6, kf = Sh D/d,
 * a = 6 (1 - eps)/d. No bed takes a vapour up faster, whatever its concentration.
 * Given: velocity m/s >= 0, superficial; granule m > 0; voidage 0..1; diffusivity, kinematic viscosity m2/s.
 * Returned: 1/s, per volume of bed.
 * Valid: 3 < Re < 1e4; below Re 3 the plain limit Sh = 2 makes it an over-estimate.
 * Omits: shape of granules (spheres of the mean diameter are taken), axial dispersion.
 * Source: Wakao & Funazkri 1978, Chem. Eng. Sci. 33:1375-1384 (memory).
 * Tests: test/physics/test_sorption.c, `rates`.
 */
double inw_rate_film(double velocity_ms, double granule_m, double voidage, double diffusivity_m2s, double nu_m2s)
{
	const double Sc = nu_m2s / diffusivity_m2s, Re = velocity_ms * granule_m / nu_m2s;
	const double Sh = 2 + 1.1 * cbrt(Sc) * pow(Re, 0.6);

	return Sh * diffusivity_m2s / granule_m * 6 * (1 - voidage) / granule_m;
}

/* Affinity coefficient relative to benzene, beta = 0.0862 Pe^0.75 with Pe in cm3/mol.
 * Given: refraction m3/mol > 0. Returned: dimensionless.
 * Valid: physisorbed organics. Not for the 1994 capacity above, which has its own exponent 0.90 on Pe.
 * Omits: polarity (water is far below the rule).
 * Source: Wood 2001, Carbon 39:343-356, a review of affinity coefficients (memory).
 * Tests: test/physics/test_sorption.c, `affinity`.
 */
double inw_affinity_beta(double refraction_m3mol)
{
	const double Pe_cm3mol = refraction_m3mol * CM3_PER_M3;

	return 0.0862 * sqrt(Pe_cm3mol * sqrt(Pe_cm3mol));
}

/* Service time of a bed, Wheeler & Jonas: We W/(C0 Q) - We rho/(kv C0) ln((1 - x)/x).
 * Given: capacity kg/kg at C0; mass kg; bulk density kg/m3; rate 1/s; C0 kg/m3 > 0; x = outlet over inlet in (0, 1);
 * q m3/s > 0.
 * Returned: s until the outlet reaches x C0; negative when a fresh bed already lets more than x through.
 * Minus infinity for x = 0, infinity for x = 1, NaN beyond (B3).
 * Valid: one vapour, constant inlet, plug flow, adsorption without return (a steep isotherm).
 * Omits: other vapours, water, idle times in which the front spreads, desorption into clean air, walls.
 * Source: Wheeler & Robell 1969; Jonas & Rehrmann 1973; scope as reviewed by Lodewyckx, Wood, Ryu 2004, Carbon
 * 42:1351-1355.
 * Tests: test/physics/test_sorption.c, `wood_table`, `measured`, `bed_identities`.
 */
double inw_wheeler_jonas_s(double capacity, double mass_kg, double bulk_kgm3, double rate_1s, double C0_kgm3, double x,
	double q_m3s)
{
	/* two logarithms: 1 - x loses the digits of a small x, and (1 - x)/x overflows for a tiny one */
	const double odds = log1p(-x) - log(x);

	return capacity / C0_kgm3 * (mass_kg / q_m3s - bulk_kgm3 / rate_1s * odds);
}

/* Share of the inlet that a fresh bed lets through from the first minute: exp(-kv V/Q).
 * Given: rate 1/s >= 0; bed volume m3 >= 0; q m3/s >= 0, not zero together with the volume or the rate.
 * Returned: 0 .. 1.
 * Valid: while the bed is empty and uptake is first order. Wheeler-Jonas at time zero gives 1/(1 + exp(kv V/Q)), which
 * is lower by that share itself (at 1 % through, by 1 %; for a vanishing bed, by half): this is the cautious one of the
 * two.
 * Omits: channelling along walls and seals, which sets a floor in practice.
 * Source: first-order uptake in plug flow (derived).
 * Tests: test/physics/test_sorption.c, `bed_identities`.
 */
double inw_initial_penetration(double rate_1s, double bed_m3, double q_m3s)
{
	return exp(-rate_1s * bed_m3 / q_m3s);
}
