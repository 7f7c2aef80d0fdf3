/* SPDX-License-Identifier: MIT */
/* test_coagulation.c: aerosol_dynamics.c against published tables, a second theory of the transition, and limits. */
#include "../check.h"
#include "physics/aerosol_dynamics.h"
#include "physics/clean.h"
#include "physics/flow.h"

#define P0 101325.0
#define T20 293.15
#define PI 3.14159265358979323846
#define BOLTZMANN 1.380649e-23 /* J/K, exact */
#define COUNT(a) (sizeof(a) / sizeof((a)[0]))

static const struct inw_aerosol water = {.T_K = T20, .p_Pa = P0, .density_kgm3 = 1000};

static double kernel(double d1, double d2, const struct inw_aerosol *air)
{
	const struct inw_thermal_motion a = inw_thermal_motion(d1, air), b = inw_thermal_motion(d2, air);

	return inw_coagulation_kernel_m3s(&a, &b);
}

static void speeds(void)
{
	/* a particle with the mass of an air molecule flies as one: 463 m/s at 20 degC */
	const double molecule_kg = 0.0289644 / 6.02214076e23, d = cbrt(6 * molecule_kg / (PI * 1000));

	CHECK_REL(inw_particle_speed_ms(d, 1000, T20), 463, 0.002, "Hinds 1999, mean speed of air molecules (memory)");
	/* mean square 3 k T/m; mean over its root sqrt(8/(3 pi)) for any Maxwell distribution */
	CHECK_REL(inw_particle_speed_ms(1e-7, 2000, 400),
		sqrt(8 / (3 * PI)) * sqrt(3 * BOLTZMANN * 400 / (2000 * PI / 6 * 1e-21)), 1e-12, "equipartition");
	/* printed to two digits */
	CHECK_REL(inw_particle_speed_ms(1e-6, 1000, T20), 4.4e-3, 0.012, "Hinds 1999, thermal speed at 1 um (memory)");
}

/* Unit density, 20 degC; K in cm3/s of dN/dt = -K N^2, so half a kernel. First the values worked independently from
 * Fuchs' correction with mu 1.81e-5 (here 1.8134e-5), to their printed digits; then what is recalled of Hinds' table
 * 12.1, whose slip and constants are slightly other. */
static void hinds_table(void)
{
	static const struct {
		double d_um, diffusion, beta, K, recalled;
	} row[] = {
		{ 0.004, 1.69e-8, 0.037, 6.2e-10, 6.2e-10 }, { 0.01, 6.85e-9, 0.140, 9.6e-10, 9.5e-10 },
		{ 0.02, 3.52e-9, 0.336, 1.18e-9, 0 }, { 0.04, 1.86e-9, 0.598, 1.11e-9, 10.7e-10 },
		{ 0.1, 8.73e-10, 0.839, 7.3e-10, 7.2e-10 }, { 0.4, 4.18e-10, 0.956, 4.0e-10, 4.0e-10 },
		{ 1, 3.44e-10, 0.977, 3.4e-10, 3.4e-10 }, { 4, 3.10e-10, 0.989, 3.1e-10, 3.1e-10 },
	};

	for (unsigned i = 0; i < COUNT(row); i++) {
		const double d = row[i].d_um * 1e-6, K = kernel(d, d, &water) / 2 * 1e6;
		const double diffusion = 4 * PI * d * inw_particle_diffusivity_m2s(d, T20, P0) * 1e6;
		/* half a unit of the last digit, and 0.2 % of viscosity */
		const double digit = row[i].K >= 1.1e-9 ? 0.005e-9 : 0.05e-10;

		CHECK_REL(diffusion, row[i].diffusion, 0.005, "4 pi d D, worked independently");
		/* in both limits d(beta)/d(ln D) is -beta (1 - beta) */
		CHECK_ABS(K / diffusion, row[i].beta, 0.0005 + 0.002 * row[i].beta * (1 - row[i].beta),
			"Fuchs' correction, worked independently");
		CHECK_ABS(K, row[i].K, digit + 0.002 * row[i].K, "Fuchs' correction, worked independently");
		if (row[i].recalled > 0)
			CHECK_REL(K, row[i].recalled, 0.04, "Hinds 1999, table 12.1 (memory)");
	}
}

/* Unequal sizes at 25 degC, unit density, cm3/s, two printed digits: Seinfeld & Pandis, table of coagulation
 * coefficients (memory). Their slip and viscosity are other: 6 %. */
static void pairs_table(void)
{
	static const double um[] = { 0.002, 0.01, 0.1, 1, 10 };
	static const double K[5][5] = {
		{ 8.9e-10, 5.7e-9, 3.4e-7, 7.8e-6, 8.5e-5 }, { 5.7e-9, 19e-10, 2.5e-8, 3.4e-7, 3.5e-6 },
		{ 3.4e-7, 2.5e-8, 15e-10, 5.0e-9, 4.5e-8 }, { 7.8e-6, 3.4e-7, 5.0e-9, 6.9e-10, 2.1e-9 },
		{ 8.5e-5, 3.5e-6, 4.5e-8, 2.1e-9, 6.1e-10 },
	};
	const struct inw_aerosol air = { 298.15, P0, 1000 };

	for (int i = 0; i < 5; i++)
		for (int j = 0; j < 5; j++)
			CHECK_REL(kernel(um[i] * 1e-6, um[j] * 1e-6, &air) * 1e6, K[i][j], 0.06,
				"Seinfeld & Pandis, coagulation coefficients (memory)");
}

static void limits(void)
{
	for (double d1 = 1e-9; d1 < 2e-5; d1 *= 1.9)
		for (double d2 = 1e-9; d2 < 2e-5; d2 *= 2.3) {
			const struct inw_thermal_motion a = inw_thermal_motion(d1, &water), b = inw_thermal_motion(d2, &water);
			const double K = inw_coagulation_kernel_m3s(&a, &b), sum = d1 + d2;
			const double diffusive = 2 * PI * (a.diffusivity_m2s + b.diffusivity_m2s) * sum;
			const double free = PI / 4 * sum * sum * hypot(a.speed_ms, b.speed_ms);

			CHECK(K > 0 && K == inw_coagulation_kernel_m3s(&b, &a)); /* D1 */
			/* below both limits; but the shell of a coarse particle beside a 0.1 um one makes Fuchs' form pass the
			 * diffusive one, by first order (shell - pi l/2)/radius: 0.02 um in 15 um */
			CHECK(K < diffusive * 1.0015 && K < free);
		}
	/* D2: thin air makes any particle fly free, thick air makes any diffuse. The smallest departure of each known to
	 * first order: Fuchs' shell over the sum of radii above, the same ratio upside down below. */
	{
		struct inw_aerosol thin = { T20, 1, 1000 }, thick = { T20, 1e9, 1000 };
		const struct inw_thermal_motion a = inw_thermal_motion(2e-9, &thin), b = inw_thermal_motion(3e-6, &thick);

		CHECK_REL(inw_coagulation_kernel_m3s(&a, &a), PI * 4e-18 * sqrt(2) * a.speed_ms, 1e-3,
			"kinetic theory of gases");
		CHECK_REL(inw_coagulation_kernel_m3s(&b, &b), 8 * PI * 3e-6 * b.diffusivity_m2s, 0.02, "Smoluchowski 1917");
		/* equal sizes without slip: 8 k T/(3 mu), whatever the size */
		CHECK_REL(inw_coagulation_kernel_m3s(&b, &b), 8 * BOLTZMANN * T20 / (3 * inw_air_viscosity_Pas(T20)), 0.02,
			"Smoluchowski 1917");
	}
}

/* Dahneke's passage between the same limits, (1 + Kn)/(1 + 2 Kn (1 + Kn)) with Kn = 2 (D1 + D2)/(c (r1 + r2)): another
 * derivation. The two are known to agree within a few per cent. */
static void second_theory(void)
{
	double worst = 0;

	for (double d1 = 1e-9; d1 < 2e-5; d1 *= 1.5)
		for (double d2 = 1e-9; d2 < 2e-5; d2 *= 1.5) {
			const struct inw_thermal_motion a = inw_thermal_motion(d1, &water), b = inw_thermal_motion(d2, &water);
			const double D = a.diffusivity_m2s + b.diffusivity_m2s, r = (d1 + d2) / 2;
			const double Kn = 2 * D / (hypot(a.speed_ms, b.speed_ms) * r);
			const double dahneke = 4 * PI * D * r * (1 + Kn) / (1 + 2 * Kn * (1 + Kn));

			worst = fmax(worst, fabs(inw_coagulation_kernel_m3s(&a, &b) / dahneke - 1));
		}
	CHECK_ABS(worst, 0, 0.05, "Dahneke 1983, as in Seinfeld & Pandis (memory)");
	printf("Fuchs against Dahneke: %.2f %% apart at most\n", 100 * worst);
}

static void lognormal(void)
{
	const struct inw_lognormal sizes = { 4e-8, 1.8 };
	/* 68.27 % within one standard deviation, 97.72 % below two: tables of the normal distribution */
	const double g = sizes.gsd, m = sizes.count_median_m;
	double number = 0, volume = 0;

	CHECK_ABS(inw_lognormal_share(sizes, m / g, m * g), 0.682689492, 1e-9, "normal distribution");
	CHECK_ABS(inw_lognormal_share(sizes, 0, m * g * g), 0.977249868, 1e-9, "normal distribution");
	CHECK_REL(inw_lognormal_share(sizes, m * pow(g, 6), INFINITY), 9.865876450e-10, 1e-8, "normal distribution");
	CHECK_REL(inw_lognormal_share(sizes, 0, m / pow(g, 6)), 9.865876450e-10, 1e-8, "normal distribution");
	for (int i = 0; i < 60; i++) { /* D3 */
		const double from = 1e-10 * pow(10, i / 10.0), to = 1e-10 * pow(10, (i + 1) / 10.0);

		number += inw_lognormal_share(sizes, from, to);
		volume += inw_lognormal_part(sizes, 3, from, to);
	}
	CHECK_ABS(number, 1, 1e-13, "whole");
	CHECK_REL(volume, inw_lognormal_moment(sizes, 3), 1e-12, "whole");
	/* mass median = CMD exp(3 ln^2 g): half the volume lies below it. CMD 75, GSD 1.86 -> MMD 238 nm in a published
	 * table */
	{
		const struct inw_lognormal published = { 75e-9, 1.86 };

		CHECK_REL(inw_lognormal_part(published, 3, 0, 238e-9) / inw_lognormal_moment(published, 3), 0.5, 0.005,
			"open mask study, PMC10474009, table 1");
	}
	/* moments by midpoint sums in standard deviations */
	for (int k = -2; k < 5; k++) {
		double sum = 0, weight = 0;

		for (double x = -9.995; x < 10; x += 0.01) {
			sum += exp(-x * x / 2) * pow(m * pow(g, x), k);
			weight += exp(-x * x / 2);
		}
		CHECK_REL(inw_lognormal_moment(sizes, k), sum / weight, 1e-9, "Hatch & Choate 1929, integrated");
	}
	/* all alike */
	{
		const struct inw_lognormal one = { 1e-7, 1 };

		CHECK(inw_lognormal_share(one, 0.9e-7, 1e-7) == 1 && inw_lognormal_share(one, 1e-7, 2e-7) == 0);
		CHECK_REL(inw_lognormal_moment(one, 3), 1e-21, 1e-14, "all alike");
	}
}

/* Mean of half a kernel over two lognormals, by midpoint sums in standard deviations. */
static double averaged(struct inw_lognormal sizes, int fuchs)
{
	enum { STEPS = 160 };
	const double l = inw_mean_free_path_m(T20, P0), mu = inw_air_viscosity_Pas(T20), s = log(sizes.gsd);
	double sum = 0, weight = 0;

	for (int i = 0; i < STEPS; i++)
		for (int j = 0; j < STEPS; j++) {
			const double x = 8 * ((i + 0.5) / STEPS * 2 - 1), y = 8 * ((j + 0.5) / STEPS * 2 - 1);
			const double d1 = sizes.count_median_m * exp(s * x), d2 = sizes.count_median_m * exp(s * y);
			const double near = 2 * BOLTZMANN * T20 / (3 * mu) * (d1 + d2) *
				((1 + 2.49 * l / d1) / d1 + (1 + 2.49 * l / d2) / d2);
			const double w = exp(-(x * x + y * y) / 2);

			sum += w * (fuchs ? kernel(d1, d2, &water) : near) / 2;
			weight += w;
		}
	return sum / weight;
}

static void lognormal_mean(void)
{
	const struct inw_lognormal fine = { 1e-7, 1.5 }, coarse = { 1e-6, 1.3 };

	CHECK_REL(inw_coagulation_lognormal_m3s(1e-7, 1.5, T20, P0) * 1e6, 9.6e-10, 0.006,
		"Lee & Chen 1984, worked independently");
	CHECK_REL(inw_coagulation_lognormal_m3s(1e-7, 1.5, T20, P0), averaged(fine, 0), 1e-9, "its own kernel, averaged");
	CHECK_REL(inw_coagulation_lognormal_m3s(1e-6, 1.3, T20, P0), averaged(coarse, 0), 1e-9,
		"its own kernel, averaged");
	/* coarse: Fuchs' correction takes 2.3 % off (beta 0.977 at 1 um), slip at 1 um is 1.155 and not 1.164 */
	CHECK_REL(averaged(coarse, 1), inw_coagulation_lognormal_m3s(1e-6, 1.3, T20, P0), 0.035, "Fuchs at 1 um");
	/* fine: lower, as the formula leaves beta out */
	CHECK(averaged(fine, 1) < inw_coagulation_lognormal_m3s(1e-7, 1.5, T20, P0));
	printf("lognormal 0.1 um, gsd 1.5: Fuchs %.3g, Lee & Chen %.3g cm3/s\n", averaged(fine, 1) * 1e6,
		inw_coagulation_lognormal_m3s(1e-7, 1.5, T20, P0) * 1e6);
	/* one size: the K of the table without its beta */
	CHECK_REL(inw_coagulation_lognormal_m3s(1e-5, 1, T20, P0), kernel(1e-5, 1e-5, &water) / 2, 0.01, "one coarse size");
}

int main(void)
{
	speeds();
	hinds_table();
	pairs_table();
	limits();
	second_theory();
	lognormal();
	lognormal_mean();
	return check_done();
}
