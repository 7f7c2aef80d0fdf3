/* SPDX-License-Identifier: MIT */
/* test_bins.c: bins.c against the solutions of Smoluchowski's equation that are known in closed form, its invariants,
 * and deposition of a single size worked independently. */
#include "../check.h"
#include "model/bins.h"
#include "physics/clean.h"

#include <stdint.h>

#include "../physics/difference.h"

#define P0 101325.0
#define T20 293.15
#define PI 3.14159265358979323846
#define COUNT(a) (sizeof(a) / sizeof((a)[0]))

static const struct inw_aerosol water = {.T_K = T20, .p_Pa = P0, .density_kgm3 = 1000};

static double constant(double d1, double d2, const void *context)
{
	(void)d1;
	(void)d2;
	return *(const double *)context;
}

/* Volumes' sum times a constant: Golovin's kernel. */
static double additive(double d1, double d2, const void *context)
{
	return *(const double *)context * PI / 6 * (d1 * d1 * d1 + d2 * d2 * d2);
}

/* Classical Runge-Kutta of fourth order, in place. */
static void carry(const struct inw_coagulation *c, double *N, double time, int steps)
{
	static const double at[] = { 0, 0.5, 0.5, 1 }, weight[] = { 1.0 / 6, 1.0 / 3, 1.0 / 3, 1.0 / 6 };
	const double h = time / steps;

	for (int s = 0; s < steps; s++) {
		double start[INW_MAX_BINS], sum[INW_MAX_BINS] = { 0 }, rate[INW_MAX_BINS] = { 0 }, stage[INW_MAX_BINS];

		memcpy(start, N, sizeof(double) * (size_t)c->n);
		for (int k = 0; k < 4; k++) {
			for (int i = 0; i < c->n; i++)
				stage[i] = start[i] + h * at[k] * rate[i];
			memset(rate, 0, sizeof(rate));
			inw_coagulation_rate(c, stage, rate);
			for (int i = 0; i < c->n; i++)
				sum[i] += h * weight[k] * rate[i];
		}
		for (int i = 0; i < c->n; i++)
			N[i] = start[i] + sum[i];
	}
}

static void grid(void)
{
	struct inw_bins b;

	CHECK(inw_bins_grid(&b, INW_BINS, INW_BINS_FROM_M, INW_BINS_TO_M) == 0);
	CHECK(b.n == 32 && b.edge_m[0] == 2e-9 && b.edge_m[32] == 10e-6);
	for (int i = 0; i < b.n; i++) { /* S1 */
		CHECK(b.edge_m[i] < b.diameter_m[i] && b.diameter_m[i] < b.edge_m[i + 1]);
		CHECK_REL(b.volume_m3[i], PI / 6 * pow(b.diameter_m[i], 3), 1e-14, "sphere");
		CHECK_REL(b.edge_m[i + 1] / b.edge_m[i], pow(5000, 1.0 / 32), 1e-12, "geometric");
	}
	CHECK(inw_bins_grid(&b, 1, 1e-9, 1e-6) == -1 && inw_bins_grid(&b, INW_MAX_BINS + 1, 1e-9, 1e-6) == -1);
	CHECK(inw_bins_grid(&b, 8, 0, 1e-6) == -1 && inw_bins_grid(&b, 8, 1e-6, 1e-6) == -1);
	CHECK(inw_bins_grid(&b, 8, 1e-6, INFINITY) == -1 && inw_bins_grid(&b, 8, NAN, 1e-6) == -1);
}

/* S2 for each pair and any grid: fine ones (many bins jumped), coarse ones (v[k+1] > 2 v[k]), with the last bin. */
static void pairs(void)
{
	static const int sizes[] = { 2, 3, 8, 32, 64 };
	static struct inw_coagulation c;
	const double one = 1;
	struct inw_bins b;

	for (unsigned g = 0; g < COUNT(sizes); g++)
		for (double to = 3e-9; to < 2e-5; to *= 5) {
			CHECK(inw_bins_grid(&b, sizes[g], 2e-9, to) == 0);
			inw_coagulation_table(&c, &b, constant, &one);
			CHECK(c.pairs == b.n * (b.n + 1) / 2);
			for (int m = 0; m < c.pairs; m++) {
				const struct inw_bin_pair *p = &c.pair[m];
				double N[INW_MAX_BINS] = { 0 }, rate[INW_MAX_BINS] = { 0 }, smallest = b.volume_m3[p->i];
				const int top = p->k == b.n - 1;

				/* three pairs meet here, i with i, i with j, j with j: volume stays for each */
				N[p->i] = N[p->j] = 1;
				inw_coagulation_rate(&c, N, rate);
				CHECK_ABS(inw_bins_volume(&b, rate), 0, 4e-15 * b.volume_m3[p->j] + 1e-12 * smallest, "S2, volume");
				CHECK(p->rises >= 0 && p->rises <= 1 && (p->k != p->j || top || p->stays == -p->rises));
				if (!top)
					CHECK_ABS(p->stays + p->rises, p->k == p->j ? 0 : 1, 1e-15, "S2, number");
			}
		}
}

/* Volume to 1e-12 and number by dN/dt = -K N^2, in time, with the real kernel and with a constant one. */
static void conserved(void)
{
	static struct inw_coagulation c;
	struct inw_bins b;
	double N[INW_MAX_BINS], before;

	CHECK(inw_bins_grid(&b, 32, INW_BINS_FROM_M, INW_BINS_TO_M) == 0);
	inw_coagulation_brownian(&c, &b, &water);
	(void)inw_bins_source(&b, (struct inw_lognormal){ 30e-9, 1.8 }, N);
	for (int i = 0; i < b.n; i++)
		N[i] *= 1e13;
	before = inw_bins_volume(&b, N);
	carry(&c, N, 3600, 3600);
	CHECK_REL(inw_bins_volume(&b, N), before, 1e-12, "S2, over an hour");
	CHECK(inw_bins_number(&b, N) < 1e12); /* 1e7 per cm3: down more than tenfold (half-life some 2 min) */
	for (int i = 0; i < b.n; i++)
		CHECK(N[i] >= 0);
	{
		/* exact for any grid: each meeting takes one particle away */
		const double kernel = 1e-15, N0 = 1e12;
		double rate[INW_MAX_BINS] = { 0 };

		inw_coagulation_table(&c, &b, constant, &kernel);
		(void)inw_bins_source(&b, (struct inw_lognormal){ 30e-9, 1.8 }, N);
		for (int i = 0; i < b.n; i++)
			N[i] *= N0;
		inw_coagulation_rate(&c, N, rate);
		CHECK_REL(inw_bins_number(&b, rate), -kernel / 2 * pow(inw_bins_number(&b, N), 2), 1e-13, "S2, number");
	}
}

/* All of one size, constant kernel: N = N0/(1 + K N0 t) with K half the kernel. Half-lives at K 5e-10 cm3/s: Hinds
 * 1999, table 12.2 (memory; 1e5 worked independently). */
static void monodisperse(void)
{
	static const struct {
		double per_cm3, half_life_s, digits;
	} row[] = { { 1e8, 20, 0.5 }, { 1e6, 33 * 60, 30 }, { 1e5, 5.6 * 3600, 180 }, { 1e4, 55.6 * 3600, 180 } };
	static struct inw_coagulation c;
	const double kernel = 2 * 5e-16;
	struct inw_bins b;

	CHECK(inw_bins_grid(&b, 32, INW_BINS_FROM_M, INW_BINS_TO_M) == 0);
	inw_coagulation_table(&c, &b, constant, &kernel);
	for (unsigned i = 0; i < COUNT(row); i++) {
		const double N0 = row[i].per_cm3 * 1e6, t = 1 / (kernel / 2 * N0);
		double N[INW_MAX_BINS] = { 0 };

		N[10] = N0;
		CHECK_ABS(t, row[i].half_life_s, row[i].digits, "Hinds 1999, table 12.2 (memory)");
		carry(&c, N, t, 200);
		CHECK_REL(inw_bins_number(&b, N), N0 / 2, 1e-9, "N0/(1 + K N0 t)");
		carry(&c, N, 8 * t, 800);
		CHECK_REL(inw_bins_number(&b, N), N0 / 10, 1e-9, "N0/(1 + K N0 t)");
	}
}

/* Exponential at the start, n = N0/v0 exp(-v/v0): number and volume between two volumes, per N0 and v0, of n(v, t) =
 * 4/(T + 2)^2 exp(-2 v/(T + 2)) with T = kernel N0 t (Scott 1968, J. Atmos. Sci. 25:54, memory; that it solves the
 * equation for a constant kernel is checked by inserting it). */
static double tail_number(double v, double T)
{
	return 2 / (T + 2) * exp(-2 * v / (T + 2));
}

static double tail_volume(double v, double T)
{
	return exp(-2 * v / (T + 2)) * (1 + 2 * v / (T + 2));
}

/* on pivots, as the method itself shares what lies between two; number kept below the first and volume above the last
 * */
static void on_pivots(const struct inw_bins *b, double v0, double T, double *N)
{
	memset(N, 0, sizeof(double) * INW_MAX_BINS);
	N[0] = tail_number(0, T) - tail_number(b->volume_m3[0] / v0, T);
	for (int i = 0; i + 1 < b->n; i++) {
		const double lo = b->volume_m3[i] / v0, hi = b->volume_m3[i + 1] / v0;
		const double number = tail_number(lo, T) - tail_number(hi, T), volume = tail_volume(lo, T) - tail_volume(hi, T);
		const double up = (volume - number * lo) / (hi - lo);

		N[i] += number - up;
		N[i + 1] += up;
	}
	N[b->n - 1] += tail_volume(b->volume_m3[b->n - 1] / v0, T) / (b->volume_m3[b->n - 1] / v0);
}

/* sum of |N - exact| over the exact number; `moment` gets the second moment over the exact one, less 1 */
static double exponential_error(int n, double T, double *moment)
{
	static struct inw_coagulation c;
	const double kernel = 1, from = cbrt(6e-5 / PI), to = cbrt(6e3 / PI); /* v0 = 1: volumes 1e-5 .. 1e3 */
	double N[INW_MAX_BINS], exact[INW_MAX_BINS], error = 0, second = 0;
	struct inw_bins b;

	CHECK(inw_bins_grid(&b, n, from, to) == 0);
	inw_coagulation_table(&c, &b, constant, &kernel);
	on_pivots(&b, 1, 0, N);
	on_pivots(&b, 1, T, exact);
	carry(&c, N, T, 1000);
	for (int i = 0; i < n; i++) {
		error += fabs(N[i] - exact[i]);
		second += N[i] * b.volume_m3[i] * b.volume_m3[i];
	}
	/* the last bin keeps no number: 4e-6 of all get there on the coarsest grid */
	CHECK_REL(inw_bins_number(&b, N), 2 / (T + 2), 1e-11 + 0.01 * N[n - 1] / inw_bins_number(&b, N),
		"Scott 1968: number 2 N0/(T + 2)");
	CHECK_REL(inw_bins_volume(&b, N), 1, 2e-5, "volume stays; 1e-5 of a volume stands below the first pivot");
	*moment = second / (T + 2) - 1; /* integral of v^2 n: 4/(T + 2)^2 2 ((T + 2)/2)^3 = T + 2 */
	return error / (2 / (T + 2));
}

static void exponential(void)
{
	/* insert the solution: dn/dt = 1/2 int n(u) n(v - u) du - n(v) N, at random v and T */
	uint64_t seed = 7;

	for (int i = 0; i < 20; i++) {
		const double T = between(&seed, 0, 10), v = between(&seed, 0.1, 8), h = 1e-4, s = T + 2;
		const double n = 4 / (s * s) * exp(-2 * v / s);
		const double later = 4 / ((s + h) * (s + h)) * exp(-2 * v / (s + h));
		const double sooner = 4 / ((s - h) * (s - h)) * exp(-2 * v / (s - h));
		/* n(u) n(v - u) does not depend on u: the integral is v times it */
		const double gain = v / 2 * 16 / (s * s * s * s) * exp(-2 * v / s);

		CHECK_ABS((later - sooner) / (2 * h), gain - n * 2 / s, 1e-8, "Scott 1968 solves the equation");
	}
	for (double T = 2; T < 11; T += 8) {
		double moment[3], error[3];

		for (int k = 0; k < 3; k++)
			error[k] = exponential_error(16 << k, T, &moment[k]);
		printf("exponential, T %g, 16/32/64 bins: error %.4f %.4f %.4f (orders %.2f %.2f), second moment %+.4f %+.4f "
			"%+.4f (orders %.2f %.2f)\n", T, error[0], error[1], error[2],
			log2(error[0] / error[1]), log2(error[1] / error[2]),
			moment[0], moment[1], moment[2], log2(moment[0] / moment[1]), log2(moment[1] / moment[2]));
		/* second order in the bin width: 2 within 0.35 on these grids */
		CHECK_ABS(log2(error[1] / error[2]), 2, 0.35, "second order");
		CHECK_ABS(log2(moment[1] / moment[2]), 2, 0.35, "second order");
		CHECK(moment[2] > 0); /* it smears towards large sizes */
	}
}

/* Golovin 1963: kernel b (v1 + v2): number falls as exp(-b V t), V the volume of all particles; it holds for any start,
 * and for fixed pivots too, since they keep number and volume. */
static void golovin(void)
{
	static struct inw_coagulation c;
	const double rate = 1;
	double N[INW_MAX_BINS], V, N0;
	struct inw_bins b;

	CHECK(inw_bins_grid(&b, 48, cbrt(6e-5 / PI), cbrt(6e5 / PI)) == 0);
	inw_coagulation_table(&c, &b, additive, &rate);
	on_pivots(&b, 1, 0, N);
	V = inw_bins_volume(&b, N);
	N0 = inw_bins_number(&b, N);
	carry(&c, N, 1.5 / V, 600);
	CHECK_REL(inw_bins_number(&b, N), N0 * exp(-1.5), 1e-6, "Golovin 1963 (memory)");
	CHECK_REL(inw_bins_volume(&b, N), V, 1e-12, "S2");
}

/* Loss of one size in a 0.4 m cube at a friction velocity of 1 cm/s, 1/h: Lai & Nazaroff 2000, worked independently.
 * */
static void deposition(void)
{
	static const double table[][2] = { { 0.01, 0.95 }, { 0.03, 0.23 }, { 0.1, 0.054 }, { 0.3, 0.049 }, { 1, 0.32 } };
	const struct inw_bin_surfaces cube = { 4 * 0.16, 0.16, 0.16, 0.064, 0.01 };

	for (unsigned i = 0; i < COUNT(table); i++) {
		const double d = table[i][0] * 1e-6;
		double loss[2];
		struct inw_bins b;

		/* two bins, the first with its pivot on d */
		CHECK(inw_bins_grid(&b, 2, d / 1.1, d * 1.1 * 1.1 * 1.1) == 0);
		CHECK_REL(b.diameter_m[0], d, 1e-12, "pivot");
		inw_bins_deposition(&b, &cube, &water, loss);
		CHECK_REL(loss[0] * 3600, table[i][1], 0.012, "loss of a 0.4 m cube, two printed digits");
	}
	{
		/* each face by itself, at 0.1 um: 9.72e-7, 1.48e-6 and 5.97e-7 m/s on wall, floor and ceiling, three digits */
		static const double face[] = { 9.72e-7, 1.48e-6, 5.97e-7 };

		for (int k = 0; k < 3; k++) {
			const struct inw_bin_surfaces one = { k == 0 ? 0.2 : 0, k == 1 ? 0.2 : 0, k == 2 ? 0.2 : 0, 0.5, 0.01 };
			double loss[2];
			struct inw_bins b;

			CHECK(inw_bins_grid(&b, 2, 0.1e-6 / 1.1, 0.1e-6 * 1.331) == 0);
			inw_bins_deposition(&b, &one, &water, loss);
			CHECK_REL(loss[0], face[k] * 0.2 / 0.5, 0.006, "Lai & Nazaroff 2000, worked independently");
		}
	}
	{
		const struct inw_bin_surfaces still = { 4 * 0.16, 0.16, 0.16, 0.064, 0 };
		double loss[INW_MAX_BINS];
		struct inw_bins b;

		CHECK(inw_bins_grid(&b, 32, INW_BINS_FROM_M, INW_BINS_TO_M) == 0);
		inw_bins_deposition(&b, &still, &water, loss);
		for (int i = 0; i < b.n; i++)
			CHECK_REL(loss[i], inw_settling_ms(b.diameter_m[i], 1000, T20, P0) / 0.4, 1e-12, "settling over height");
	}
}

static void source(void)
{
	struct inw_bins b;
	double share[INW_MAX_BINS];

	CHECK(inw_bins_grid(&b, 32, INW_BINS_FROM_M, INW_BINS_TO_M) == 0);
	for (double median = 4e-9; median < 1e-6; median *= 1.7)
		for (double gsd = 1; gsd < 2.6; gsd += 0.3) {
			const struct inw_lognormal sizes = { median, gsd };
			const struct inw_bin_outside out = inw_bins_source(&b, sizes, share);
			const double ends = inw_lognormal_part(sizes, 3, b.diameter_m[31], INFINITY) +
				inw_lognormal_part(sizes, 3, 0, b.diameter_m[0]);

			for (int i = 0; i < b.n; i++)
				CHECK(share[i] >= 0);
			CHECK_ABS(inw_bins_number(&b, share) + out.below + out.above, 1, 1e-14, "S3");
			/* volume too, but for what lies outside the first and last pivot */
			CHECK_ABS(inw_bins_volume(&b, share) * 6 / PI, inw_lognormal_moment(sizes, 3),
				1e-12 * inw_lognormal_moment(sizes, 3) + ends + share[0] * pow(b.diameter_m[0], 3) +
				share[31] * pow(b.diameter_m[31], 3), "S3, volume");
		}
	/* well inside the grid the ends weigh nothing */
	(void)inw_bins_source(&b, (struct inw_lognormal){ 1e-7, 1.5 }, share);
	CHECK_REL(inw_bins_volume(&b, share) * 6 / PI, inw_lognormal_moment((struct inw_lognormal){ 1e-7, 1.5 }, 3), 1e-12,
		"Hatch & Choate 1929");
	/* clusters: published share below 3 nm of the number is up to 48 %; what lies below 2 nm is said, not put in
	 * */
	CHECK_REL(inw_bins_source(&b, (struct inw_lognormal){ 2e-9, 1.5 }, share).below, 0.5, 1e-14, "half below");
	CHECK_REL(inw_bins_source(&b, (struct inw_lognormal){ 1e-5, 1.5 }, share).above, 0.5, 1e-14, "half above");
}

/* The Brownian operator in bins at its start against the polydisperse mean, where that holds (coarse, thick against the
 * mean free path): 1 um, gsd 1.3; Fuchs and slip take 3 % off (test_coagulation.c). */
static void polydisperse(void)
{
	static struct inw_coagulation c;
	double N[INW_MAX_BINS], rate[INW_MAX_BINS] = { 0 };
	struct inw_bins b;

	CHECK(inw_bins_grid(&b, 64, 1e-7, 10e-6) == 0);
	inw_coagulation_brownian(&c, &b, &water);
	(void)inw_bins_source(&b, (struct inw_lognormal){ 1e-6, 1.3 }, N);
	inw_coagulation_rate(&c, N, rate);
	CHECK_REL(-inw_bins_number(&b, rate), inw_coagulation_lognormal_m3s(1e-6, 1.3, T20, P0), 0.035,
		"Lee & Chen 1984 (memory)");
}

/* Number and mean diameter after ten minutes of the real thing, 1e7 per cm3 of 30 nm. */
static void ten_minutes(int n, double from, double to, double *number, double *mean)
{
	static struct inw_coagulation c;
	double N[INW_MAX_BINS], length = 0;
	struct inw_bins b;

	CHECK(inw_bins_grid(&b, n, from, to) == 0);
	inw_coagulation_brownian(&c, &b, &water);
	(void)inw_bins_source(&b, (struct inw_lognormal){ 30e-9, 1.6 }, N);
	for (int i = 0; i < n; i++)
		N[i] *= 1e13;
	carry(&c, N, 600, 1200);
	for (int i = 0; i < n; i++)
		length += N[i] * b.diameter_m[i];
	*number = inw_bins_number(&b, N);
	*mean = length / *number;
}

/* On 5 nm .. 1 um the differences between 16, 32 and 64 bins fall by four, which gives the limit; the default grid is 2
 * % from it. */
static void grid_is_fine_enough(void)
{
	double number[3], mean[3], default_number, default_mean, limit_number, limit_mean;

	for (int g = 0; g < 3; g++)
		ten_minutes(16 << g, 5e-9, 1e-6, &number[g], &mean[g]);
	ten_minutes(INW_BINS, INW_BINS_FROM_M, INW_BINS_TO_M, &default_number, &default_mean);
	CHECK_ABS(log2((number[1] - number[0]) / (number[2] - number[1])), 2, 0.35, "second order");
	CHECK_ABS(log2((mean[1] - mean[0]) / (mean[2] - mean[1])), 2, 0.35, "second order");
	limit_number = number[2] + (number[2] - number[1]) / 3;
	limit_mean = mean[2] + (mean[2] - mean[1]) / 3;
	printf("30 nm, 1e7/cm3, 10 min: number %.4g per m3, mean diameter %.2f nm; default grid %+.2f %%, %+.2f %%\n",
		limit_number, limit_mean * 1e9, 100 * (default_number / limit_number - 1),
		100 * (default_mean / limit_mean - 1));
	CHECK_REL(default_number, limit_number, 0.025, "its own limit");
	CHECK_REL(default_mean, limit_mean, 0.025, "its own limit");
}

int main(void)
{
	grid();
	pairs();
	conserved();
	monodisperse();
	exponential();
	golovin();
	deposition();
	source();
	polydisperse();
	grid_is_fine_enough();
	return check_done();
}
