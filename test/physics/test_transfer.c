/* SPDX-License-Identifier: MIT */
/* test_transfer.c: transfer.c against spot values worked independently, algebra and moments. */
#include "../check.h"
#include "physics/clean.h"
#include "physics/transfer.h"

/* toluene in air, v 0.2 m/s, granules 3 mm, voidage 0.4, nu 1.54e-5, D 8.4e-6 */
static const double v = 0.2, d = 3e-3, eps = 0.4, nu = 1.54e-5, D = 8.4e-6;

static void pore(void)
{
	const struct inw_granule g = { 3e-3, 0.3, 3, 0 };

	/* by hand: 15 * 0.3 * 2.8e-6 * 0.6/(1.5e-3)^2 */
	CHECK_REL(inw_rate_pore(g, eps, D), 3.36, 1e-12, "Glueckauf 1955, hand evaluation");
	CHECK_REL(inw_rate_pore((struct inw_granule){ 3e-3, 0.3, 3, 8.4e-7 }, eps, D), 2 * 3.36, 1e-12,
		"walls add to the pores");
	/* R^2: twice the granule, a quarter of the rate */
	CHECK_REL(inw_rate_pore((struct inw_granule){ 6e-3, 0.3, 3, 0 }, eps, D), 0.84, 1e-12, "the same");
}

static void series(void)
{
	const double film = inw_rate_film(v, d, eps, D, nu);
	const double inner = inw_rate_pore((struct inw_granule){ d, 0.3, 3, 0 }, eps, D);
	const double k = inw_rate_series(film, inner);
	/* Glueckauf & Ruthven's own form with kf 0.0395 m/s (Wakao & Funazkri, evaluated independently), R 1.5 mm, and
	 * a loading of 0.1 kg/kg at 1e-4 kg/m3 in granules of 700 kg/m3, bed of 420: 1/K = (R/3kf + R^2/(15 eps_p Dp))
	 * q/c */
	const double R = d / 2, partition = 0.1 * 700 / 1e-4;
	const double K = 1 / ((R / (3 * 0.0395) + R * R / (15 * 0.3 * D / 3)) * partition);

	CHECK(k < film && k < inner && k > 0);
	CHECK_REL(inw_ldf_coefficient(k, 700 * (1 - eps), 0.1, 1e-4), K, 2e-3, "Ruthven 1984, series of resistances");
	CHECK(inw_rate_series(INFINITY, 3) == 3 && inw_rate_series(0, 3) == 0);
}

/* What the block of inw_rate_pore says of fitted rates: granules 1.1 mm, toluene, 5 to 30 cm/s, 0.1 % through */
static void against_fitted(void)
{
	for (double u = 0.05; u < 0.35; u *= 1.8) {
		const double film = inw_rate_film(u, 1.1e-3, eps, D, nu);
		const double both = inw_rate_series(film, inw_rate_pore((struct inw_granule){ 1.1e-3, 0.4, 3, 0 },
			eps, D));
		const double fitted = inw_rate_wood_stampfer(u, 31.1e-6, 1e-3);

		printf("%.2f m/s, 1/s: film and bare pores %.0f, Wood %.0f, Lodewyckx %.0f, film %.0f\n", u, both,
			fitted, inw_rate_lodewyckx_vansant(u, 1.1e-3, 1.13, 0.343, 92.14e-3), film);
		CHECK(both < fitted && fitted < film);
	}
}

static void spread(void)
{
	const double flow = inw_spread_flow_m2s(v, d, eps, D);

	CHECK_REL(flow / eps, 7.2e-4, 0.007, "Edwards & Richardson 1968, worked independently to two digits");
	CHECK(inw_spread_flow_m2s(0, d, eps, D) == inw_spread_still_m2s(eps, D));
	CHECK(inw_spread_flow_m2s(-v, d, eps, D) == flow);
	/* high velocity: a Peclet number of 2 per granule, the limit every packed bed has */
	CHECK_REL(1e3 * d / inw_spread_flow_m2s(1e3, d, eps, D), 2, 1e-3, "mixing of cells of one granule each");
	for (double u = 1e-6; u < 10; u *= 2)
		CHECK(inw_spread_flow_m2s(2 * u, d, eps, D) > inw_spread_flow_m2s(u, d, eps, D));
}

/* First penetration of an empty bed with first-order uptake and dispersion, closed at the inlet, long: exponent
 * (v - sqrt(v^2 + 4 E k))/(2 E) (textbook). To the first order of E k/v^2 it is k/v (1 - E k/v^2). */
static void lumped(void)
{
	const double k = 3;

	for (double E = 1e-5; E < 3e-4; E *= 2) {
		const double part = E * k / (v * v), exact = (sqrt(v * v + 4 * E * k) - v) / (2 * E);

		CHECK_REL(inw_rate_lumped(k, E, v) / v, exact, 1.1 * part * part, "dispersed plug flow");
	}
	CHECK(inw_rate_lumped(k, 0, v) == 1 / (1 / k));
}

/* What mixing by the flow is worth. Rates fitted to breakthrough of real beds hold it: Wood & Stampfer's at its own granules lies
 * a little below what film and mixing together let through, never above: mixing once more would take a quarter off it. */
static void mixing(void)
{
	/* by hand, toluene at 0.2 m/s: u d = 1.5e-3 m2/s; 0.4 * 0.5 * 1.5e-3/(1 + 8.148e-5/1.5e-3)/0.04 */
	CHECK_REL(inw_mixing_s(v, d, eps, D), 7.114e-3, 2e-4, "Edwards & Richardson 1968, hand evaluation");
	CHECK(inw_mixing_s(-v, d, eps, D) == inw_mixing_s(v, d, eps, D));
	/* at rest Taylor's limit of little flow: spread ~ v^2, so that what it adds stays */
	CHECK_REL(inw_mixing_s(0, d, eps, D), 0.5 * d * d / (eps * 9.7 * D), 1e-14, "limit, derived");
	for (double u = 0.05; u < 0.35; u *= 1.8) {
		const double film = inw_rate_film(u, 1.1e-3, eps, D, nu), mixed = inw_mixing_s(u, 1.1e-3, eps, D);
		const double fitted = inw_rate_wood_stampfer(u, 31.1e-6, 1e-3), again = 1 - inw_rate_series(fitted, 1 / mixed) / fitted;

		printf("%.2f m/s: film and mixing %.0f, Wood %.0f 1/s; mixing once more takes %.0f %%\n", u, inw_rate_series(film, 1 / mixed),
			fitted, 100 * again);
		CHECK(fitted < inw_rate_series(film, 1 / mixed) && fitted > 0.65 * inw_rate_series(film, 1 / mixed));
		CHECK(again > 0.2 && again < 0.27);
	}
}

int main(void)
{
	pore();
	series();
	against_fitted();
	spread();
	mixing();
	lumped();
	return check_done();
}
