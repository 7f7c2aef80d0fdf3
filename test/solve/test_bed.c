/* SPDX-License-Identifier: MIT */
/* test_bed.c: bed.c against analytic solutions, orders of convergence, balances, and published breakthrough.
 *
 * Orders: on solutions that are known in closed form or made up, in space and in time apart; on Anzelius and on the bed's own fine run.
 * Exact values: Anzelius (linear isotherm), Bohart & Adams (rectangular), Thomas (Langmuir), evaluated independently
 * from c/c0 = 1 - integral of e^(-t-x) I0(2 sqrt(t x)) and the closed forms, five digits.
 * Published: N&C = Nelson & Correia 1976, AIHA J. 37:514, and Wood 1994, AIHA J. 55:11, both as tabulated by OSHA;
 * VanOsdell et al. 1996, JAWMA 46:883; Moe et al. 2007, EST 41:5478; Linders et al. 2007, IECR 46:4034 (abstracts).
 */
#include "../check.h"
#include "physics/clean.h"
#include "solve/bed.h"

enum { MOST_CELLS = 1600, MOST_N = 8 };

/* ---- laws with analytic solutions ---- */

struct langmuir { int n; double qs, b[2]; }; /* qs b c/(1 + sum b c); qs = 0: linear with b as partition */

static int langmuir_loading(const void *context, const double *c, double *q, double *J)
{
	const struct langmuir *s = context;
	double D = 1;

	for (int i = 0; i < s->n; i++)
		D += s->qs > 0 ? s->b[i] * c[i] : 0;
	for (int i = 0; i < s->n; i++) {
		const double slope = s->b[i] * (s->qs > 0 ? s->qs : 1);

		q[i] = slope * c[i] / D;
		for (int j = 0; J && j < s->n; j++)
			J[i * s->n + j] = (i == j ? slope / D : 0) - (s->qs > 0 ? slope * c[i] / D * s->b[j] / D : 0);
	}
	return 0;
}

static int langmuir_slant(const void *context, const double *held, double *slant, double *by)
{
	const struct langmuir *s = context;
	const double left = s->qs > 0 ? 1 - held[0] / s->qs : 1;

	if (!(left > 0))
		return 1;
	for (int i = 0; i < s->n; i++) {
		slant[i] = 1 / (s->b[i] * (s->qs > 0 ? s->qs : 1) * left);
		by[i] = s->qs > 0 ? slant[i] / left / s->qs : 0;
		by[s->n + i] = 0;
	}
	return 0;
}

static struct inw_bed_law langmuir(const struct langmuir *s)
{
	static const struct inw_bed_sums all_alike = { { 1, 1 }, -1 };

	return (struct inw_bed_law){ s, &all_alike, langmuir_slant, langmuir_loading };
}

static int rectangular(const void *context, const double *c, double *q, double *J)
{
	(void)c;
	*q = *(const double *)context;
	if (J)
		*J = 0;
	return 0;
}

static struct inw_bed_law flat(const double *q)
{
	return (struct inw_bed_law){ .context = q, .loading = rectangular };
}

/* ---- a bed to run ---- */

struct rig {
	struct inw_bed_model m;
	struct inw_bed_state s;
	struct inw_bed_inputs in;
	struct inw_bed_options o;
	struct inw_bed_result r;
	double q[MOST_CELLS * MOST_N], most[MOST_N], inlet[MOST_N], rate[MOST_N], spread[MOST_N], still[MOST_N];
	double outlet[MOST_N], in_kg[MOST_N], out_kg[MOST_N];
	double work[INW_BED_WORKSPACE(MOST_CELLS, MOST_N)];
};

static struct rig rig; /* one at a time: too large for the stack */

/* 1 m2, 0.1 m deep, 400 kg/m3, 0.1 m/s, inlet and rate as given */
static void set(int cells, int n, enum inw_bed_driving driving, struct inw_bed_law law)
{
	memset(&rig, 0, sizeof rig);
	rig.m = (struct inw_bed_model){ cells, n, 1, 0.1, 400, driving, law };
	rig.s = (struct inw_bed_state){ .q = rig.q, .most = rig.most };
	rig.in = (struct inw_bed_inputs){ .velocity_ms = 0.1, .inlet_kgm3 = rig.inlet, .rate_1s = rig.rate,
		.spread_m2s = rig.spread, .still_m2s = rig.still };
	rig.o = INW_BED_OPTIONS;
	rig.r.outlet_kgm3 = rig.outlet;
	rig.r.in_kg = rig.in_kg;
	rig.r.out_kg = rig.out_kg;
	CHECK(inw_bed_workspace(&rig.m) <= sizeof rig.work / sizeof rig.work[0]);
}

static void run(double seconds)
{
	inw_bed_advance(&rig.m, &rig.s, &rig.in, seconds, &rig.o, rig.work, &rig.r);
	CHECK(rig.r.status == INW_OK && rig.r.done_s == seconds);
	if (rig.r.why)
		printf("%s\n", rig.r.why);
}

static double leaving(int i)
{
	double c[MOST_N];

	CHECK(inw_bed_outlet(&rig.m, &rig.s, &rig.in, c) == 0);
	return c[i];
}

/* ---- analytic ---- */

static const double anzelius_xi[5] = { 2, 5, 10, 20, 50 };
static const double anzelius_tau[7] = { .25, .5, .75, 1, 1.25, 1.5, 2 }; /* times xi */
static const double anzelius_exact[5][7] = {
	{ .26901, .39430, .50644, .60350, .68537, .75301, .85194 },
	{ .08779, .23131, .40111, .56392, .70024, .80384, .92561 },
	{ .01883, .11979, .31634, .54489, .73708, .86578, .97421 },
	{ .00114, .03935, .22302, .53164, .79433, .93228, .99639 },
	{ 0, .00205, .09923, .51997, .89022, .98906, .99999 },
};

/* worst error over the row of xi */
static double anzelius_error(double xi, const double *exact, int cells, enum inw_bed_driving driving, double tolerance)
{
	const struct langmuir line = { 1, 0, { 1e5 } };
	double worst = 0;

	set(cells, 1, driving, langmuir(&line));
	rig.o.tolerance = tolerance;
	rig.inlet[0] = 1e-6;
	rig.rate[0] = xi; /* depth/v is 1 s */
	for (int i = 0; i < 7; i++) {
		run((anzelius_tau[i] - (i ? anzelius_tau[i - 1] : 0)) * xi * 400 * 1e5 / xi);
		rig.in.goes_on = true;
		worst = fmax(worst, fabs(leaving(0) / 1e-6 - exact[i]));
	}
	return worst;
}

static void anzelius(void)
{
	for (int i = 0; i < 5; i++)
		for (int d = INW_BED_GAS; d <= INW_BED_LOADING; d++) {
			const double a = anzelius_xi[i] / 200;

			/* the scheme widens a front by a^2/24 of itself; the slope at the front is below 0.25 xi^(1/2)
			 * per unit of T, its width xi^(-1/2); five digits of the table; time tolerance */
			CHECK_ABS(anzelius_error(anzelius_xi[i], anzelius_exact[i], 200, (enum inw_bed_driving)d,
				1e-6), 0,
				0.25 * a * a / 12 + 1e-5, "Anzelius, exact values");
		}
	/* Klinkenberg 1954, claimed within 0.6 % for xi > 2: so our own must be within 0.006 of it */
	for (int i = 1; i < 5; i++) {
		double k[7];
		for (int j = 0; j < 7; j++) {
			const double x = anzelius_xi[i], t = anzelius_tau[j] * x;
			k[j] = (1 + erf(sqrt(t) - sqrt(x) + 1 / (8 * sqrt(t)) + 1 / (8 * sqrt(x)))) / 2;
		}
		CHECK_ABS(anzelius_error(anzelius_xi[i], k, 200, INW_BED_GAS, 1e-5), 0, 0.006, "Klinkenberg 1954");
	}
}

static const double throughput[7] = { .5, .8, .9, 1, 1.1, 1.2, 1.5 };

static void through_curve(const char *what, double N, double stoichiometric_s, const double *exact, double tolerance)
{
	rig.o.tolerance = 1e-6;
	rig.rate[0] = N;
	for (int i = 0; i < 7; i++) {
		run((throughput[i] - (i ? throughput[i - 1] : 0)) * stoichiometric_s);
		rig.in.goes_on = true;
		CHECK_ABS(leaving(0) / rig.inlet[0], exact[i], tolerance, what);
	}
}

static void bohart_adams(void)
{
	static const double exact[3][7] = { { .07633, .27027, .37913, .50169, .62405, .73239, .92461 },
		{ .006693, .11921, .26895, .50001, .73107, .88080, .99331 },
		{ 4.54e-5, .01799, .11920, .50000, .88080, .98201, .99995 } };
	const double N[3] = { 5, 10, 20 }, qs = 0.2;

	for (int i = 0; i < 3; i++) {
		set(200, 1, INW_BED_LOADING, flat(&qs));
		rig.inlet[0] = 1e-4;
		through_curve("Bohart & Adams, exact values", N[i], 400 * qs / 1e-4, exact[i],
			N[i] * N[i] / 4e4 / 12 + 2e-5);
	}
}

static void thomas(void)
{
	static const struct { double r, N, exact[7]; } row[] = {
		{ 0.1, 5, { .09199, .29073, .39330, .50580, .61746, .71781, .90859 } },
		{ 0.1, 20, { 1.23e-4, .02660, .14185, .50000, .85815, .97340, .99988 } },
		{ 0.5, 5, { .15673, .36477, .44724, .53042, .61039, .68387, .84900 } },
		{ 0.5, 20, { .003662, .10991, .26314, .50350, .74102, .88991, .99479 } },
	};

	for (unsigned i = 0; i < sizeof row / sizeof row[0]; i++) {
		const double c0 = 1e-4, b = (1 / row[i].r - 1) / c0;
		const struct langmuir s = { 1, 0.2, { b } };

		set(200, 1, INW_BED_LOADING, langmuir(&s));
		rig.inlet[0] = c0;
		through_curve("Thomas, exact values", row[i].N, 400 * 0.2 * (1 - row[i].r) / c0, row[i].exact,
			row[i].N * row[i].N / 4e4 / 12 + 2e-5);
	}
}

/* B2, and that both drivings agree on an empty bed, for any number of cells and either direction */
static void fresh(void)
{
	const struct langmuir s = { 2, 0.2, { 1e6, 1e3 } };

	for (int cells = 1; cells <= 64; cells *= 4)
		for (int d = INW_BED_GAS; d <= INW_BED_LOADING; d++)
			for (int sign = -1; sign <= 1; sign += 2) {
				set(cells, 2, (enum inw_bed_driving)d, langmuir(&s));
				rig.in.velocity_ms *= sign;
				rig.inlet[0] = 1e-6;
				rig.inlet[1] = 1e-9;
				rig.rate[0] = 20;
				rig.rate[1] = 5;
				CHECK_REL(leaving(0), 1e-6 * exp(-20), 1e-11, "exp(-rate depth/v)");
				CHECK_REL(leaving(1), 1e-9 * exp(-5), 1e-11, "exp(-rate depth/v)");
			}
}

/* What a saturated bed holds is what its isotherm says, by whatever route: the first moment of breakthrough. Then clean
 * air: linear, so its outlet is one less Anzelius'. */
static void moment_and_purge(void)
{
	const struct langmuir line = { 1, 0, { 1e4 } };
	double area = 0;

	set(100, 1, INW_BED_GAS, langmuir(&line));
	rig.inlet[0] = 1e-6;
	rig.rate[0] = 20;
	for (int i = 0; i < 40; i++) {
		run(400 * 1e4 / 10);
		rig.in.goes_on = true;
		area += (1 - rig.outlet[0] / 1e-6) * 400 * 1e4 / 10;
	}
	CHECK_REL(area, 400 * 1e4 * 1.0, 1e-4, "first moment, rho_b K depth/v");
	CHECK_REL(inw_bed_held_kg(&rig.m, &rig.s, 0), 400 * 1e4 * 1e-6 * 0.1, 1e-4, "equilibrium");
	rig.inlet[0] = 0;
	rig.in.goes_on = false;
	const double held = inw_bed_held_kg(&rig.m, &rig.s, 0);
	double given = 0, before = 2e-6;
	for (int i = 0; i < 7; i++) {
		run((anzelius_tau[i] - (i ? anzelius_tau[i - 1] : 0)) * 400 * 1e4);
		given += rig.out_kg[0];
		CHECK_ABS(leaving(0) / 1e-6, 1 - anzelius_exact[3][i], 0.25 * 0.04 / 12 + 2e-4, "Anzelius, emptied");
		CHECK(leaving(0) < before);
		before = leaving(0);
	}
	run(1e9);
	given += rig.out_kg[0];
	CHECK(given <= held * (1 + 1e-12)); /* B3 */
	CHECK_REL(given, held, 1e-6, "all comes out");
	CHECK(rig.r.steps < 200); /* what is gone does not hold the steps back */
}

/* ---- order of convergence ---- */

static void order_in_space(void)
{
	double before = 0;

	for (int cells = 20; cells <= 160; cells *= 2) {
		const double e = anzelius_error(20, anzelius_exact[3], cells, INW_BED_GAS, 1e-7);

		if (before > 0) {
			printf("space: %d cells, error %.2e, order %.2f\n", cells, e, log2(before / e));
			/* five digits of the exact values blur the last */
			CHECK_ABS(log2(before / e), 2, cells < 160 ? 0.15 : 0.3, "B4");
		}
		before = e;
	}
}

/* a fixed number of equal steps: each call is one step when nothing is asked of it */
static void fixed_steps(int steps, double seconds, double *q)
{
	const struct langmuir s = { 2, 0.2, { 3e4, 1e4 } };

	set(20, 2, INW_BED_GAS, langmuir(&s));
	rig.o.tolerance = 1e9;
	rig.inlet[0] = rig.inlet[1] = 1e-4;
	rig.rate[0] = rig.rate[1] = 10;
	for (int i = 0; i < steps; i++) {
		rig.s.first_step_s[1] = seconds;
		run(seconds / steps);
		CHECK(rig.r.steps == 1);
	}
	memcpy(q, rig.q, sizeof *q * 40);
}

static void order_in_time(void)
{
	const double seconds = 400 * 0.2 * 0.5 / 1e-4;
	double exact[40], q[40], before = 0;

	fixed_steps(1280, seconds, exact);
	for (int steps = 20; steps <= 160; steps *= 2) {
		double e = 0;

		fixed_steps(steps, seconds, q);
		for (int i = 0; i < 40; i++)
			e = fmax(e, fabs(q[i] - exact[i]));
		if (before > 0) {
			printf("time: %d steps, error %.2e, order %.2f\n", steps, e, log2(before / e));
			CHECK(log2(before / e) > 2.6 && log2(before / e) < 3.6); /* B4; Alexander 1977: order 3 */
		}
		before = e;
	}
}

/* ---- manufactured and exact solutions, smooth in space and time ---- */

/* Langmuir's constant pattern in a bed without ends: with x = c/c0 = q/q0, y the gas in balance, R = 1/(1 + b c0):
 * y = R x/(1 - (1 - R) x), and dx/ds = -(x - y) = -(1 - R) x (1 - x)/(1 - (1 - R) x), s = k (z - w t)/v, so that
 * s = -(ln x - R ln(1 - x))/(1 - R), w = v c0/(rho_b q0). Derived from the two equations of bed.h; x by halving. */
static const struct langmuir steep = { 1, 0.2, { 2e4 } };
static const double wave_c = 1e-4;

static double pattern(double s)
{
	const double R = 1 / (1 + steep.b[0] * wave_c);
	double low = -700, high = 700; /* ln of x/(1 - x) */

	for (int i = 0; i < 80; i++) {
		const double at = (low + high) / 2, ln_x = -log1p(exp(-at)), ln_rest = -log1p(exp(at));
		*(-(ln_x - R * ln_rest) / (1 - R) > s ? &low : &high) = at;
	}
	return 1 / (1 + exp(-(low + high) / 2));
}

/* Mean over a cell, by Gauss' rule of three points. */
static double pattern_mean(double from, double to)
{
	const double half = (to - from) / 2, middle = from + half, g = half * sqrt(0.6);

	return (5 * pattern(middle - g) + 8 * pattern(middle) + 5 * pattern(middle + g)) / 18;
}

/* Set the front into the bed, let it go on by a fifth of it: loadings and outlet against where it should be. */
static double pattern_error(int cells)
{
	const double q0 = steep.qs * steep.b[0] * wave_c / (1 + steep.b[0] * wave_c), k = 60, v = 0.1, L = 0.1;
	const double speed = v * wave_c / (400 * q0), dz = L / cells, seconds = 0.2 * L / speed, per_m = k / v;
	double worst = 0;

	set(cells, 1, INW_BED_GAS, langmuir(&steep));
	rig.o.tolerance = 1e-9;
	rig.inlet[0] = wave_c; /* the front is 24 transfer units from it: exp(-24) is missing */
	rig.rate[0] = k;
	for (int j = 0; j < cells; j++)
		rig.q[j] = q0 * pattern_mean(per_m * (j * dz - 0.6 * L), per_m * ((j + 1) * dz - 0.6 * L));
	run(seconds);
	for (int j = 0; j < cells; j++)
		worst = fmax(worst, fabs(rig.q[j] / q0 - pattern_mean(per_m * (j * dz - 0.8 * L), per_m * ((j + 1) * dz - 0.8 * L))));
	return fmax(worst, fabs(leaving(0) / wave_c - pattern(per_m * 0.2 * L)));
}

/* Creeping flow, where gas spreads between cells in balance, into a clean bed whose end is far: with w = v/h, D = E/h, h = rho_b K,
 * c/c0 = erfc(-)/2 + w sqrt(t/(pi D)) e^-(-)^2 - (1 + w z/D + w^2 t/D) e^(w z/D) erfc(+)/2, (+-) = (z +- w t)/(2 sqrt(D t)): what enters
 * is v c0 (Lindstrom et al. 1967, Environ. Sci. Technol. 1:561, memory; it solves both equations, which was worked out). */
static double creeping(double z, double w, double D, double t)
{
	const double root = 2 * sqrt(D * t), less = (z - w * t) / root, more = (z + w * t) / root, pi = 3.14159265358979323846;

	return erfc(less) / 2 + w * sqrt(t / (pi * D)) * exp(-less * less) - (1 + w * z / D + w * w * t / D) * exp(w * z / D) * erfc(more) / 2;
}

static double creep_error(int cells)
{
	const struct langmuir line = { 1, 0, { 1e4 } };
	const double hold = 400 * 1e4, v = 1e-3, still = 2.2e-6, k = 2, L = 0.1, dz = L / cells, w = v / hold, t = 0.3 * L / w;
	const double D = (still + v * v / k) / hold; /* bed.c: the rate is part of the spread here */
	double worst = 0;

	set(cells, 1, INW_BED_GAS, langmuir(&line));
	rig.o.tolerance = 1e-8;
	rig.inlet[0] = 1e-6;
	rig.rate[0] = k;
	rig.still[0] = rig.spread[0] = still;
	rig.in.velocity_ms = v;
	run(t);
	for (int j = 0; j < cells; j++) {
		const double g = sqrt(0.6) / 2, at[3] = { j + 0.5 - g, j + 0.5, j + 0.5 + g };
		const double mean = (5 * creeping(at[0] * dz, w, D, t) + 8 * creeping(at[1] * dz, w, D, t) + 5 * creeping(at[2] * dz, w, D, t)) / 18;
		worst = fmax(worst, fabs(rig.q[j] / (1e4 * 1e-6) - mean));
	}
	return worst;
}

static void exact_in_space(void)
{
	double (*const error[2])(int) = { pattern_error, creep_error };
	const char *const name[2] = { "front of constant pattern", "creeping flow" };

	for (int k = 0; k < 2; k++) {
		double before = 0;

		for (int cells = 40; cells <= 320; cells *= 2) {
			const double e = error[k](cells);

			printf("%s: %d cells, error %.2e, order %.2f\n", name[k], cells, e, before > 0 ? log2(before / e) : NAN);
			if (cells > 80)
				CHECK_ABS(log2(before / e), 2, 0.1, "B4");
			before = e;
		}
	}
}

/* A solution made up for one cell, which is exact in space: q_i = 0.1 (2 + sin(w_i t + p_i)) at a steady inlet. The law that makes it so
 * depends on time, which it reads off a third substance: that one is taken up at an even rate and gives next to nothing back. Besides,
 * slants go with a power of the sum, which on the made-up solution is 1. */
static const struct made { double w[2], p[2], power[2], A[2], inlet, room, per_s; } made = {
	{ 6.3e-7, 9.4e-7 }, { 0, 1.6 }, { 2, 0.5 }, { 0.1 / 40, 0.1 / 40 }, 1e-4, 1e-3, 1e-4 * 0.1 / 40 };

static double made_q(int i, double t, int derivative)
{
	const double at = made.w[i] * t + made.p[i];

	return derivative == 0 ? 0.1 * (2 + sin(at)) : derivative == 1 ? 0.1 * made.w[i] * cos(at) : -0.1 * made.w[i] * made.w[i] * sin(at);
}

static int made_slant(const void *context, const double *held, double *slant, double *by)
{
	const double *uptake = context, t = held[1] / (made.room * made.per_s * uptake[2]);
	double sum = 0, sum_rises = 0;

	for (int i = 0; i < 2; i++) {
		sum += made.room * made_q(i, t, 0);
		sum_rises += made.room * made_q(i, t, 1);
	}
	if (!(held[0] > 0))
		return 1;
	for (int i = 0; i < 2; i++) {
		const double A = made.A[i] * uptake[i], q = made_q(i, t, 0), c = made.inlet - made_q(i, t, 1) / A, c_rises = -made_q(i, t, 2) / A;

		slant[i] = c / q * pow(held[0] / sum, made.power[i]);
		by[i] = made.power[i] * slant[i] / held[0];
		by[3 + i] = slant[i] * (c_rises / c - made_q(i, t, 1) / q - made.power[i] * sum_rises / sum) / (made.room * made.per_s * uptake[2]);
	}
	slant[2] = 1e-18; /* of what it holds in the end 1e-14 of the inlet */
	by[2] = by[5] = 0;
	return 0;
}

static void made_in_time(void)
{
	static const struct inw_bed_sums sums = { { 1e-3, 1e-3, 1e-3 }, 2 };
	const double seconds = 8e6, rate[3] = { 3, 0.5, 1 };
	double uptake[3], before = 0; /* what a cell takes of what it could: 1 - e^-a */

	for (int i = 0; i < 3; i++)
		uptake[i] = -expm1(-rate[i]);
	for (int steps = 20; steps <= 320; steps *= 2) {
		double e = 0;

		set(1, 3, INW_BED_GAS, (struct inw_bed_law){ uptake, &sums, made_slant, NULL });
		rig.o.tolerance = 1e9;
		for (int i = 0; i < 3; i++) {
			rig.inlet[i] = made.inlet;
			rig.rate[i] = rate[i];
			rig.q[i] = i < 2 ? made_q(i, 0, 0) : 0;
		}
		for (int k = 0; k < steps; k++) {
			rig.s.first_step_s[1] = seconds;
			run(seconds / steps);
			CHECK(rig.r.steps == 1);
		}
		CHECK_REL(rig.q[2], made.per_s * uptake[2] * seconds, 1e-12, "the clock");
		for (int i = 0; i < 2; i++)
			e = fmax(e, fabs(rig.q[i] - made_q(i, seconds, 0)));
		printf("made-up solution: %d steps, error %.2e, order %.2f\n", steps, e, before > 0 ? log2(before / e) : NAN);
		if (steps > 40)
			CHECK_ABS(log2(before / e), 3, 0.2, "B4; Alexander 1977");
		before = e;
	}
}

/* and what the tolerance does: the true error stays within some tens of it */
static void tolerance(void)
{
	const double seconds = 400 * 0.2 * 0.5 / 1e-4;
	double exact[40], before = 0;

	fixed_steps(1280, seconds, exact);
	for (double t = 1e-2; t > 5e-6; t /= 10) {
		const struct langmuir s = { 2, 0.2, { 3e4, 1e4 } };
		double e = 0;

		set(20, 2, INW_BED_GAS, langmuir(&s));
		rig.o.tolerance = t;
		rig.inlet[0] = rig.inlet[1] = 1e-4;
		rig.rate[0] = rig.rate[1] = 10;
		run(seconds);
		for (int i = 0; i < 40; i++)
			e = fmax(e, fabs(rig.q[i] - exact[i]) / rig.most[i % 2]);
		printf("tolerance %.0e: error %.1e in %d steps, %d rejected\n", t, e, rig.r.steps, rig.r.rejected);
		CHECK(e < 10 * t);
		CHECK(rig.r.rejected <= 2 + rig.r.steps / 20);
		/* the cube root of ten, the first few steps aside, which only find out how long they may be */
		if (before > 0)
			CHECK(rig.r.steps > 1.5 * before && rig.r.steps < 2.6 * before);
		before = rig.r.steps;
	}
}

/* ---- dispersion ---- */

/* At rest, linear: a cosine decays as exp(-(pi/depth)^2 spread t/(rho_b K)), closed ends. Second order. */
static void idle(void)
{
	const struct langmuir line = { 2, 0, { 1e3, 2e3 } };
	const double pi = 3.14159265358979323846, E = 3e-6, t = 400 * 1e3 * 0.01 / (pi * pi * E);
	double before = 0;

	for (int cells = 10; cells <= 40; cells *= 2) {
		double e = 0;

		set(cells, 2, INW_BED_GAS, langmuir(&line));
		rig.o.tolerance = 1e-7;
		rig.in.velocity_ms = 0;
		rig.still[0] = rig.still[1] = E;
		for (int j = 0; j < cells; j++)
			rig.q[2 * j] = rig.q[2 * j + 1] = 0.1 * (1 + cos(pi * (j + 0.5) / cells));
		run(t);
		for (int j = 0; j < cells; j++)
			for (int i = 0; i < 2; i++)
				e = fmax(e, fabs(rig.q[2 * j + i] - 0.1 * (1 + exp(i ? -0.5 : -1.0) * cos(pi * (j
					+ 0.5) / cells))));
		CHECK_ABS(e / 0.1, 0, 0.5 * pi * pi / (12 * cells * cells), "cosine in a closed bed");
		if (before > 0)
			CHECK_ABS(log2(before / e), 2, 0.1, "B4, diffusion");
		before = e;
	}
}

/* With flow: mean and variance of a front, from the whole of a breakthrough curve: variance/mean^2 = 2 (E/(v L) + v/(k
 * L)) (van Deemter 1956) in a long bed. The cells add k dz/v squared /12 of the second part. */
static void dispersion(void)
{
	const struct langmuir line = { 1, 0, { 1e4 } };
	const double unit = 400 * 1e4;
	double mean = 0, square = 0;

	set(200, 1, INW_BED_GAS, langmuir(&line));
	rig.o.tolerance = 1e-6;
	rig.inlet[0] = 1;
	rig.rate[0] = 40;
	rig.spread[0] = 3e-4;
	rig.still[0] = 1e-6;
	for (int i = 0; i < 300; i++) {
		run(unit / 100);
		rig.in.goes_on = true;
		mean += (1 - rig.outlet[0]) * unit / 100;
		square += 2 * (i + 0.5) * unit / 100 * (1 - rig.outlet[0]) * unit / 100;
	}
	CHECK_REL(mean, unit, 1e-4, "mean of the front");
	CHECK_REL((square - mean * mean) / (mean * mean), 2 * (3e-4 / 0.01 + 1.0 / 40), 2e-3, "van Deemter 1956");
}

/* Slow flow goes over into the fast without a jump, and into rest. */
static void slow_flow(void)
{
	const struct langmuir line = { 1, 0, { 1e3 } };
	double held[2];

	for (int k = 0; k < 4; k++) { /* with a fast rate, and with one that spreads as much as diffusion does */
		const int side = k % 2;

		set(50, 1, INW_BED_GAS, langmuir(&line));
		rig.still[0] = rig.spread[0] = 2.4e-6;
		rig.rate[0] = k < 2 ? 10 : 0.6;
		rig.inlet[0] = 1e-6;
		rig.in.velocity_ms = 50 * 2.4e-6 / 0.1 * (side ? 1 + 1e-6 : 1 - 1e-6);
		run(0.95 * 400 * 1e3 * 0.1 / rig.in.velocity_ms);
		held[side] = inw_bed_held_kg(&rig.m, &rig.s, 0);
		if (side)
			CHECK_REL(held[0], held[1], 0.01, "either side of the switch");
	}
	for (int side = 0; side < 2; side++) {
		rig.in.velocity_ms = side ? 0 : 1e-9;
		memset(rig.q, 0, sizeof rig.q);
		for (int j = 0; j < 25; j++)
			rig.q[j] = 1e-3;
		run(1e6);
		held[side] = rig.q[27];
	}
	CHECK_REL(held[0], held[1], 1e-3, "almost at rest");
	CHECK(held[1] > 1e-5);
}

/* ---- two substances ---- */

/* Roll-up. Equilibrium theory, derived: behind the light front and before the heavy one the light stands alone at cP,
 * and across the heavy front both balances ask for the same speed: (q1F - q1P)/(c1F - cP) = q2F/c2F. */
static double plateau(const struct inw_bed_law *law, const double *cF)
{
	double qF[2], q[2], low = cF[0], high = cF[0] * 1e3;

	CHECK(law->loading(law->context, cF, qF, NULL) == 0);
	for (int i = 0; i < 200; i++) {
		const double cP[2] = { (low + high) / 2, 0 };
		const bool over = law->loading(law->context, cP, q, NULL) != 0
			|| q[0] - qF[0] > qF[1] / cF[1] * (cP[0] - cF[0]);

		/* the light holds more alone; as cP grows the line overtakes it */
		if (over)
			low = cP[0];
		else
			high = cP[0];
	}
	return (low + high) / 2;
}

static double highest(double seconds, int parts, int i)
{
	double most = 0;

	for (int k = 0; k < parts; k++) {
		run(seconds / parts);
		rig.in.goes_on = true;
		most = fmax(most, leaving(i));
	}
	return most;
}

static struct inw_carbon_bed carbon = { .micropore_m3kg = 0.454e-3, .structure = 3.56e-5, .capacity_factor = 1,
	.rate_factor = 1,
	.granule = { 3e-3, 0.4, 3, 0 }, .voidage = 0.4 };
static struct inw_sorbate sorbate[4] = {
	{ .kind = INW_CAPACITY_DUBININ, .molar_mass_kgmol = 92.14e-3, .liquid_kgm3 = 865, .diffusivity_m2s = 8.4e-6,
		.psat_Pa = 24.3 * 133.322, .refraction_m3mol = 31.1e-6 },
	{ .kind = INW_CAPACITY_DUBININ, .molar_mass_kgmol = 58.08e-3, .liquid_kgm3 = 785, .diffusivity_m2s = 10.5e-6,
		.psat_Pa = 26.9e3, .refraction_m3mol = 16.2e-6 }, /* acetone, light */
	{ .kind = INW_CAPACITY_DUBININ, .molar_mass_kgmol = 104.15e-3, .liquid_kgm3 = 906, .diffusivity_m2s = 7.6e-6,
		.psat_Pa = 680, .refraction_m3mol = 36.5e-6 },
	{ .kind = INW_CAPACITY_WATER, .molar_mass_kgmol = 18.015e-3, .liquid_kgm3 = 998, .diffusivity_m2s = 25e-6,
		.psat_Pa = 2645, .water_c = 1.7, .water_sites = 0.02 },
};
static struct inw_sorbent sorbent;

static void use_sorbent(const struct inw_sorbate *s, int n, double velocity_ms, double T_K)
{
	inw_sorbent_at(&carbon, s, n, &(struct inw_bed_air){ T_K, 1.54e-5, velocity_ms }, &sorbent);
	memcpy(rig.rate, sorbent.rate_1s, sizeof *rig.rate * (size_t)n);
	memcpy(rig.spread, sorbent.spread_m2s, sizeof *rig.rate * (size_t)n);
	memcpy(rig.still, sorbent.still_m2s, sizeof *rig.rate * (size_t)n);
	rig.in.velocity_ms = velocity_ms;
}

static void roll_up(void)
{
	const struct langmuir s = { 2, 0.2, { 1e3, 3e4 } };
	const struct inw_bed_law law = langmuir(&s);
	const double c = 1e-4;

	for (int d = INW_BED_GAS; d <= INW_BED_LOADING; d++) {
		set(200, 2, (enum inw_bed_driving)d, law);
		rig.inlet[0] = rig.inlet[1] = c;
		rig.rate[0] = rig.rate[1] = 300;
		const double P = plateau(&law, rig.inlet), most = highest(400 * 0.2 * 1.2 / c, 300, 0);

		/* checked by hand: b1 cF/D - b1 cP/(1 + b1 cP) = (b2/D)(cF - cP) with D = 1 + 0.1 + 3 */
		CHECK_ABS(0.1 / 4.1 - 1e3 * P / (1 + 1e3 * P) - 3e4 / 4.1 * (c - P), 0, 1e-9, "Langmuir by hand");
		CHECK(P > 1.05 * c);
		CHECK_REL(most, P, 0.003, "plateau of equilibrium theory");
		CHECK_REL(leaving(0), c, 0.01, "and back to the inlet");
	}
	/* the same with toluene and ten times as much styrene in a carbon's pores */
	const struct inw_sorbate two[2] = { sorbate[0], sorbate[2] };
	set(200, 2, INW_BED_GAS, inw_sorbent_law(&sorbent));
	use_sorbent(two, 2, 0.1, 295.15);
	rig.spread[0] = rig.spread[1] = 0;
	rig.rate[0] = rig.rate[1] = 300;
	rig.inlet[0] = 1e-6;
	rig.inlet[1] = 1e-5;
	double q[2];
	CHECK(rig.m.law.loading(&sorbent, rig.inlet, q, NULL) == 0);
	const double P = plateau(&rig.m.law, rig.inlet), most = highest(1.3 * 40 * q[1] / (0.1 * 1e-5), 400, 0);
	printf("toluene pushed by styrene: plateau %.3f of the inlet, bed %.3f\n", P / 1e-6, most / 1e-6);
	CHECK(P > 1.2e-6);
	CHECK_REL(most, P, 0.003, "plateau of equilibrium theory");
}

/* The law of a carbon is that of its pores, and what it says of its slopes is so: against inw_pores_pressure and by
 * differences, below zero too, with measured points among the vapours. */
static void slants(void)
{
	const double p_Pa[3] = { 1e-3, 1, 300 };
	double loading[3] = { 0.02, 0.3, 0.8 };
	struct inw_sorbate s[4] = { sorbate[0], sorbate[1], sorbate[2], sorbate[3] };

	for (int i = 0; i < 3; i++)
		loading[i] *= s[2].liquid_kgm3 * carbon.micropore_m3kg;
	s[2].kind = INW_CAPACITY_POINTS;
	s[2].points = (struct inw_sorbate_points){ p_Pa, loading, 3, 290, 680 };
	inw_sorbent_at(&carbon, s, 4, &(struct inw_bed_air){ 295.15, 1.54e-5, 0.1 }, &sorbent);
	const struct inw_bed_law law = inw_sorbent_law(&sorbent);
	for (double V = 1e-12; V < 4e-4; V *= 7)
		for (double U = -1e-6; U < 0.44e-3 - V; U += 0.31e-4) {
			const double held[2] = { V, U }, part[3] = { 0.3, 0.2, 0.5 };
			double q[4], p[4], c[4], by[8], up[4], down[4], unused[8];

			for (int i = 0; i < 4; i++)
				q[i] = (i < 3 ? part[i] * V : U) / law.sums->room[i];
			CHECK(law.slant(law.context, held, c, by) == 0 && inw_pores_pressure(&sorbent.pores, q, p, NULL) == 0);
			for (int i = 0; i < 4; i++)
				CHECK_REL(c[i] * q[i], p[i] * sorbent.per_Pa[i], 1e-11, "the law of the pores");
			for (int k = 0; k < 2; k++) {
				const double e = k ? 1e-9 : 1e-5 * V;

				CHECK(law.slant(law.context, (double[]){ V + (k ? 0 : e), U + (k ? e : 0) }, up, unused) == 0);
				CHECK(law.slant(law.context, (double[]){ V - (k ? 0 : e), U - (k ? e : 0) }, down, unused) == 0);
				for (int i = 0; i < 4; i++)
					CHECK_ABS(by[4 * k + i], (up[i] - down[i]) / (2 * e), 1e-4 * fabs(by[4 * k + i])
						+ 1e-9 * c[i] / e, "difference");
			}
		}
	/* the pores are full */
	double c[4], by[8];
	CHECK(law.slant(law.context, (double[]){ 0.454e-3, 0 }, c, by) == 1);
	CHECK(law.slant(law.context, (double[]){ 0.3e-3, 0.2e-3 }, c, by) == 1);
}

/* Rows are filled up to pairs, and the usual numbers of pairs have a sweep of their own: a vapour that never comes changes
 * nothing, with water and without, in flow and at rest, whatever kind that makes of the bed. */
static void kinds(void)
{
	static double alone[40 * MOST_N];

	for (int wet = 0; wet < 2; wet++)
		for (int n = 1; n < MOST_N; n++) {
			for (int more = 0; more < 2; more++) {
				struct inw_sorbate s[MOST_N];
				const int all = n + more;

				for (int i = 0; i < all; i++) {
					s[i] = sorbate[i % 3];
					s[i].psat_Pa *= 1 - 0.1 * (i / 3);
				}
				if (wet)
					s[0] = sorbate[3];
				set(40, all, INW_BED_GAS, inw_sorbent_law(&sorbent));
				rig.o.tolerance = 1e-6;
				for (int k = 0; k < 3; k++) {
					use_sorbent(s, all, k < 2 ? 0.1 : 0, 293.15);
					for (int i = 0; i < n; i++)
						rig.inlet[i] = k > 0 ? 0 : wet && i == 0 ? 9e-3 : 1e-6 * (i + 1);
					run(k < 2 ? 3e4 : 1e5);
				}
				for (int j = 0; j < 40; j++)
					for (int i = 0; i < all; i++) {
						double *kept = &alone[j * MOST_N + i];
						if (more && i < n)
							CHECK_ABS(rig.q[j * all + i], *kept, 1e-6 * rig.most[i], "beside one that is not there");
						else
							*kept = rig.q[j * all + i];
					}
			}
			for (int j = 0; j < 40; j++)
				CHECK(rig.q[j * (n + 1) + n] == 0);
		}
}

/* Months in one: loadings that change ten times as fast are those of ten times as long, in flow, creeping and at rest. */
static void hurried(void)
{
	static const double v[] = { 0.1, 1e-5, 0 };
	static double q[2][240];
	const double ten[4] = { 10, 10, 10, 10 };

	for (int k = 0; k < 2; k++) {
		set(60, 4, INW_BED_GAS, inw_sorbent_law(&sorbent));
		rig.o.tolerance = 1e-6;
		rig.in.hurry = k ? ten : NULL;
		for (int i = 0; i < 3; i++) {
			use_sorbent(sorbate, 4, v[i], 293.15);
			memcpy(rig.inlet, (double[]){ 1e-5, 1e-5, 1e-5, 8e-3 }, 4 * sizeof *rig.inlet);
			run(k ? 2e4 : 2e5);
		}
		memcpy(q[k], rig.q, sizeof q[k]);
	}
	for (int x = 0; x < 240; x++)
		CHECK_ABS(q[0][x], q[1][x], 1e-5 * rig.most[x % 4], "hurried");
}

/* B1 over days of work: flow, rest, reversed and creeping flow, another temperature, humid air. */
static void balance(void)
{
	double in[4] = { 0 }, out[4] = { 0 };

	set(60, 4, INW_BED_GAS, inw_sorbent_law(&sorbent));
	rig.m.depth_m = 0.03;
	rig.m.area_m2 = 0.02;
	for (int day = 0; day < 10; day++) {
		static const double v[] = { 0.2, 0, 0.2, 1e-4, -0.05, 0 };
		static const double hours[] = { 6, 2, 3, 5, 0.5, 7.5 };

		for (int k = 0; k < 6; k++) {
			use_sorbent(sorbate, 4, v[k], day % 2 ? 303.15 : 293.15);
			rig.inlet[0] = k == 0 ? 2e-7 : 0;
			rig.inlet[1] = k == 0 ? 5e-6 : 1e-9;
			rig.inlet[2] = k == 2 ? 1e-6 : 1e-10;
			rig.inlet[3] = day % 3 ? 8e-3 : 14e-3;
			run(3600 * hours[k]);
			for (int i = 0; i < 4; i++) {
				in[i] += rig.in_kg[i];
				out[i] += rig.out_kg[i];
				CHECK(rig.out_kg[i] >= -1e-6 * in[i]);
			}
		}
	}
	for (int i = 0; i < 4; i++) {
		CHECK_ABS((in[i] - out[i] - inw_bed_held_kg(&rig.m, &rig.s, i)) / in[i], 0, 1e-10, "B1");
		CHECK(in[i] > 0 && inw_bed_held_kg(&rig.m, &rig.s, i) > 0);
	}
}

/* ---- anything ---- */

static unsigned long long seed = 1;

static double draw(double low, double high) /* even in logarithms */
{
	seed = seed * 6364136223846793005ULL + 1442695040888963407ULL; /* Knuth, MMIX */
	return low * pow(high / low, (double)(seed >> 11) / 9007199254740992.0);
}

static void drawn_bed(struct inw_sorbate *s, int n, double *most)
{
	for (int i = 0; i < n; i++) {
		s[i] = (struct inw_sorbate){ .kind = i ? INW_CAPACITY_DUBININ : INW_CAPACITY_WATER,
			.molar_mass_kgmol = draw(.03, .18), .liquid_kgm3 = draw(700, 1100), .diffusivity_m2s = 8e-6,
			.psat_Pa = i ? draw(1, 1e5) : 2645, .refraction_m3mol = draw(8e-6, 48e-6),
			.water_c = draw(1.3, 2.5), .water_sites = draw(.005, .05) };
		/* R T */
		most[i] = draw(i ? 1e-10 : 0.1, i ? 0.3 / n : 0.9) * s[i].psat_Pa * s[i].molar_mass_kgmol / 2480;
	}
	carbon.granule.diameter_m = draw(5e-4, 4e-3);
	set((int)draw(10, 80), n, INW_BED_GAS, inw_sorbent_law(&sorbent));
	rig.m.depth_m = draw(.005, .2);
}

/* Every bed of random vapours, humid or not, through random flows (a micrometre to a metre a second, both ways, and
 * rest), temperatures and times gets to the end, in few steps, keeps its mass, and never falls below zero by more than
 * the tolerance. */
static void anything(void)
{
	for (int bed = 0; bed < 30; bed++) {
		struct inw_sorbate s[MOST_N];
		double in[MOST_N] = { 0 }, out[MOST_N] = { 0 }, inlet[MOST_N];
		const int n = (int)draw(1, MOST_N + 0.99);

		drawn_bed(s, n, inlet);
		for (int k = 0; k < 20; k++) {
			const double v = draw(1, 3) < 1.5 ? 0 : (draw(1, 4) < 2 ? 1 : -1) * draw(1e-6, 1);

			use_sorbent(s, n, v, draw(288, 308));
			for (int i = 0; i < n; i++)
				rig.inlet[i] = draw(1, 4) < 3 ? inlet[i] : 0;
			run(draw(10, 1e6));
			CHECK(rig.r.steps + rig.r.rejected < 2000);
			for (int i = 0; i < n; i++) {
				in[i] += rig.in_kg[i];
				out[i] += rig.out_kg[i];
				CHECK_ABS(in[i] - out[i] - inw_bed_held_kg(&rig.m, &rig.s, i), 0, 1e-10 * in[i], "B1");
			}
			for (int x = 0; x < rig.m.cells * n; x++)
				if (rig.q[x] < -rig.o.tolerance * rig.most[x % n])
					CHECK(rig.q[x] >= -rig.o.tolerance * rig.most[x % n]);
		}
	}
	carbon.granule.diameter_m = 3e-3;
}

/* ---- published ---- */

struct vapour { const char *name; double M, d, n, torr; }; /* g/mol, g/cm3, n_D, 22 degC: handbook values (memory) */

enum how { BY_LOADING, BY_GAS, BY_RECTANGLE };

/* Minutes until the outlet is x of the inlet in the cartridges of the tables: 53.3 L/min at 22 degC; velocity and bulk
 * density one group of the published fit, Wood & Stampfer's rate at x, Wood's carbon. Nothing fitted here. */
static double minutes(const struct vapour *v, double ppm, double x, double mass_kg, enum how how)
{
	const double q_m3s = 53.3e-3 / 60, c0 = ppm * 1e-6 * 101325 * v->M * 1e-3 / (INW_GAS_CONSTANT * 295.15);
	struct inw_sorbate s = { .kind = INW_CAPACITY_DUBININ, .molar_mass_kgmol = v->M * 1e-3,
		.liquid_kgm3 = v->d * 1e3,
		.psat_Pa = v->torr * 133.322, .diffusivity_m2s = 8e-6,
		.refraction_m3mol = inw_molar_refraction_m3mol(v->n, v->M * 1e-3, v->d * 1e3) };
	double q, before = 0, now, t = 0;

	/* the constants that make the formula give the table (W0 0.4543 cm3/g, b' 3.76e-5, rms 0.9 %), only to show
	 * that the bed with a rectangular isotherm is that formula; else those of 1994 as remembered */
	carbon.micropore_m3kg = how == BY_RECTANGLE ? 0.4543e-3 : 0.454e-3;
	carbon.structure = how == BY_RECTANGLE ? 3.76e-5 : 3.56e-5;
	s.measured_rate_1s = inw_rate_wood_stampfer(0.143, s.refraction_m3mol, x);
	set(100, 1, how == BY_GAS ? INW_BED_GAS : INW_BED_LOADING, inw_sorbent_law(&sorbent));
	use_sorbent(&s, 1, 0.143, 295.15);
	rig.spread[0] = rig.still[0] = 0; /* a measured rate has it in it */
	rig.m.bulk_kgm3 = 324;
	rig.m.area_m2 = q_m3s / 0.143;
	rig.m.depth_m = mass_kg / (324 * rig.m.area_m2);
	rig.inlet[0] = c0;
	CHECK(rig.m.law.loading(&sorbent, &c0, &q, NULL) == 0);
	if (how == BY_RECTANGLE)
		rig.m.law = flat(&q);
	const double part = q * mass_kg / (c0 * q_m3s) / 100;
	for (now = leaving(0) / c0; now < x && t < 300 * part; t += part) {
		before = now;
		run(part);
		rig.in.goes_on = true;
		now = leaving(0) / c0;
	}
	/* between the last two in logarithms of odds, where these curves are straight */
	return t == 0 ? 0 : (t - part * (log(now / (1 - now)) - log(x / (1 - x))) /
		(log(now / (1 - now)) - log(before / (1 - before)))) / 60;
}

static void wood_table(void)
{
	static const struct { struct vapour v; double at10[5]; } row[] = {
		{ { "toluene", 92.14, .865, 1.4961, 24.3 }, { 1018, 562, 307, 135, 72 } },
		{ { "ethylbenzene", 106.17, .865, 1.4959, 8.0 }, { 1133, 604, 319, 135, 70 } },
		{ { "m-xylene", 106.17, .862, 1.4972, 7.0 }, { 1143, 608, 321, 136, 70 } },
		{ { "mesitylene", 120.19, .863, 1.4994, 2.0 }, { 1159, 603, 311, 128, 65 } },
		{ { "ethanol", 46.07, .787, 1.3611, 49.5 }, { 123, 105, 85, 60, 43 } },
		{ { "isopropanol", 60.10, .784, 1.3776, 37.0 }, { 425, 286, 186, 101, 61 } },
		{ { "1-propanol", 60.10, .802, 1.3850, 17.0 }, { 551, 364, 233, 123, 73 } },
		{ { "1-butanol", 74.12, .808, 1.3993, 5.5 }, { 1073, 615, 345, 156, 84 } },
	};
	const double ppm[5] = { 50, 100, 200, 500, 1000 };
	double squares = 0;

	printf("Wood 1994 by OSHA, 52 g, minutes to 10 %% at 50, 100, 200, 500, 1000 ppm\n");
	printf("table | driven by loading | by gas\n");
	for (unsigned i = 0; i < sizeof row / sizeof row[0]; i++) {
		double t[2][5], flat[5];

		for (int j = 0; j < 5; j++) {
			t[0][j] = minutes(&row[i].v, ppm[j], 0.1, 0.052, BY_LOADING);
			t[1][j] = minutes(&row[i].v, ppm[j], 0.1, 0.052, BY_GAS);
			flat[j] = minutes(&row[i].v, ppm[j], 0.1, 0.052, BY_RECTANGLE);
		}
		printf("%-13s", row[i].v.name);
		for (int j = 0; j < 5; j++)
			printf("%6.0f |%6.0f |%6.0f ;", row[i].at10[j], t[0][j], t[1][j]);
		printf("\n");
		for (int j = 0; j < 5; j++) {
			squares += pow(log(t[0][j] / row[i].at10[j]), 2);
			/* The table is Wheeler & Jonas: a front as if the isotherm were rectangular. It is the
			 * steepness of the real one that decides how wrong that is: ln q over ln c has a slope of 0.8
			 * to 0.5 for ethanol (a wide front, the table is up to 45 % too long), 0.4 to 0.2 for
			 * propanols, 0.2 to 0.1 for the others. */
			if (i == 4)
				CHECK(t[0][j] < row[i].at10[j] && t[0][j] > 0.65 * row[i].at10[j]);
			else
				CHECK_REL(t[0][j], row[i].at10[j], 0.08, row[i].v.name);
			/* with that isotherm made rectangular it is the table: the recipe's own error (2.2 %;
			 * 1-propanol 9.5 %) and some for e^N - 1 against e^N */
			CHECK_REL(flat[j], row[i].at10[j], i == 6 ? 0.1 : 0.027, row[i].v.name);
		}
	}
	printf("rms %.1f %%\n", 100 * sqrt(squares / 40));
}

static void nelson_correia(void)
{
	static const struct { struct vapour v; double at1, at10; } row[] = {
		{ { "benzene", 78.11, .877, 1.5011, 83.0 }, 73, 88 },
		{ { "toluene", 92.14, .865, 1.4961, 24.3 }, 94, 114 },
		{ { "ethylbenzene", 106.17, .865, 1.4959, 8.0 }, 83, 105 },
		{ { "m-xylene", 106.17, .862, 1.4972, 7.0 }, 98, 116 },
		{ { "ethanol", 46.07, .787, 1.3611, 49.5 }, 28, 45 },
		{ { "isopropanol", 60.10, .784, 1.3776, 37.0 }, 54, 81 },
		{ { "allyl alcohol", 58.08, .852, 1.4135, 20.5 }, 65, 105 },
		{ { "1-propanol", 60.10, .802, 1.3850, 17.0 }, 85, 123 },
		{ { "1-butanol", 74.12, .808, 1.3993, 5.5 }, 115, 141 },
	};
	double squares = 0;

	/* two cartridges of 25 to 40 g: the middle, 65 g, for all */
	printf("Nelson & Correia 1976, 1000 ppm, 65 g, minutes to 1 %% and 10 %%\n");
	printf("measured | driven by loading | by gas\n");
	for (unsigned i = 0; i < sizeof row / sizeof row[0]; i++) {
		const double a1 = minutes(&row[i].v, 1000, 0.01, 0.065, BY_LOADING);
		const double a10 = minutes(&row[i].v, 1000, 0.1, 0.065, BY_LOADING);
		const double g1 = minutes(&row[i].v, 1000, 0.01, 0.065, BY_GAS);
		const double g10 = minutes(&row[i].v, 1000, 0.1, 0.065, BY_GAS);

		printf("%-13s %4.0f |%4.0f |%4.0f ; %4.0f |%4.0f |%4.0f\n", row[i].v.name, row[i].at1, a1, g1,
			row[i].at10, a10, g10);
		squares += pow(log(a1 / row[i].at1), 2) + pow(log(a10 / row[i].at10), 2);
		/* the model's stated uncertainty: a factor 1.8 each */
		CHECK(a1 / row[i].at1 < 1.8 && row[i].at1 / a1 < 1.8 && a10 / row[i].at10 < 1.8
			&& row[i].at10 / a10 < 1.8);
	}
	const double rms = sqrt(squares / 18);
	printf("rms ln error %.2f\n", rms);
	CHECK(rms < 0.25); /* 25 % rms, as the formula does with a fitted mass */
}

/* VanOsdell 1996: bed 2.54 cm, 0.11 s, 25 degC, 0.5 to 100 ppm: time to 10 % from half an hour to several hundred
 * hours, lg t over lg C nearly straight. The granules are not in the abstract: 2 mm are taken, Lodewyckx & Vansant's
 * rate at this capacity, and no more than the film lets through. */
static void van_osdell(void)
{
	double t[4];

	for (int k = 0; k < 4; k++) {
		const double ppm = pow(10, k - 1) * 1.0;
		double q, at;

		set(60, 1, INW_BED_GAS, inw_sorbent_law(&sorbent));
		rig.m.depth_m = 0.0254;
		rig.m.bulk_kgm3 = 450;
		use_sorbent(sorbate, 1, 0.0254 / 0.11, 298.15);
		rig.inlet[0] = ppm * .101325 * sorbent.per_Pa[0];
		CHECK(rig.m.law.loading(&sorbent, rig.inlet, &q, NULL) == 0);
		rig.rate[0] = fmin(inw_rate_film(0.0254 / 0.11, 2e-3, 0.4, 8.4e-6, 1.54e-5),
			inw_rate_lodewyckx_vansant(0.0254 / 0.11, 2e-3, inw_affinity_beta(31.1e-6), q, 92.14e-3));
		const double part = q * 450 * 0.11 / rig.inlet[0] / 200;
		for (at = 0; leaving(0) < 0.1 * rig.inlet[0] && at < 400 * part; at += part) {
			run(part);
			rig.in.goes_on = true;
		}
		t[k] = at / 3600;
		printf("VanOsdell 1996: toluene at %g ppm, %.1f h to 10 %%\n", ppm, t[k]);
	}
	for (int k = 1; k < 4; k++)
		CHECK(t[k] > 0.5 && t[k] < 1000 && t[k] < t[k - 1] / 4 && t[k] > t[k - 1] / 10);
	/* straight within what "linear" on a log-log plot lets pass */
	CHECK_ABS(log10(t[1] / t[2]), log10(t[2] / t[3]), 0.1, "VanOsdell 1996, lg t over lg C");
}

/* Moe 2007: toluene 1000 ppm for a third of each cycle of 24 h, clean air otherwise, granules 4x6 mesh (some 4 mm): the
 * load is smeared, and given off in the clean periods. Linders 2007: so too after rest. */
static void moe(void)
{
	double loaded = 0, clean = 0, peak_loaded = 0;

	set(80, 1, INW_BED_GAS, inw_sorbent_law(&sorbent));
	use_sorbent(sorbate, 1, 0.1, 295.15);
	rig.rate[0] = inw_rate_lodewyckx_vansant(0.1, 4e-3, inw_affinity_beta(31.1e-6), 0.3, 92.14e-3);
	for (int cycle = 0; cycle < 6; cycle++) {
		rig.inlet[0] = 1000 * .101325 * sorbent.per_Pa[0];
		run(8 * 3600.0);
		loaded = rig.outlet[0] / rig.inlet[0];
		peak_loaded = leaving(0) / rig.inlet[0];
		const double c0 = rig.inlet[0];
		rig.inlet[0] = 0;
		run(16 * 3600.0);
		clean = rig.outlet[0] / c0;
		printf("Moe 2007: cycle %d, outlet over inlet: loading mean %.3f, last %.3f; clean mean %.3f\n",
			cycle + 1, loaded, peak_loaded, clean);
	}
	CHECK(clean > 0.05 && clean < 0.5);
	/* a periodic state: what comes in goes out again, by way of the clean periods too */
	CHECK_REL(8 * loaded + 16 * clean, 8, 0.1, "periodic");
	/* after a rest nothing is lost, the front is flatter and what stands at the outlet is more */
	set(80, 2, INW_BED_GAS, inw_sorbent_law(&sorbent));
	rig.m.depth_m = 0.05;
	use_sorbent((struct inw_sorbate[]){ sorbate[1], sorbate[0] }, 2, 0.2, 295.15);
	rig.inlet[0] = 1e-3;
	rig.inlet[1] = 1e-4;
	rig.rate[0] = rig.rate[1] = 60; /* granules of some 1.5 mm */
	CHECK(leaving(0) < 1e-3 * rig.inlet[0]);
	while (leaving(0) < 1e-3 * rig.inlet[0])
		run(600);
	rig.inlet[0] = rig.inlet[1] = 0;
	const double light = leaving(0), heavy = leaving(1), held = inw_bed_held_kg(&rig.m, &rig.s, 0);
	use_sorbent((struct inw_sorbate[]){ sorbate[1], sorbate[0] }, 2, 0, 295.15);
	run(64 * 3600.0);
	CHECK_REL(inw_bed_held_kg(&rig.m, &rig.s, 0), held, 1e-12, "nothing is lost at rest");
	use_sorbent((struct inw_sorbate[]){ sorbate[1], sorbate[0] }, 2, 0.2, 295.15);
	rig.rate[0] = rig.rate[1] = 60;
	printf("clean air after 64 h at rest: acetone leaves at %.2f times what it would have, toluene at %.2f\n",
		leaving(0) / light,
		leaving(1) / heavy);
	/* worse for the volatile (memory) */
	CHECK(leaving(0) > 1.2 * light && leaving(0) / light > leaving(1) / heavy);
}

/* ---- trouble ---- */

static void trouble(void)
{
	set(20, 1, INW_BED_GAS, inw_sorbent_law(&sorbent));
	use_sorbent(sorbate, 1, 0.1, 295.15);
	rig.inlet[0] = -1;
	inw_bed_advance(&rig.m, &rig.s, &rig.in, 1, &rig.o, rig.work, &rig.r);
	CHECK(rig.r.status == INW_BAD_INPUT && rig.r.why && rig.r.done_s == 0);
	/* more than saturated: no loading balances it */
	rig.inlet[0] = 1.5 * sorbate[0].psat_Pa * sorbent.per_Pa[0];
	inw_bed_advance(&rig.m, &rig.s, &rig.in, 1e9, &rig.o, rig.work, &rig.r);
	CHECK(rig.r.status == INW_NOT_CONVERGED && rig.r.why && rig.r.done_s < 1e9);
	CHECK_REL(rig.in_kg[0] - rig.out_kg[0], inw_bed_held_kg(&rig.m, &rig.s, 0), 1e-10, "B1 even then");
	/* time zero */
	rig.inlet[0] = 1e-6;
	run(0);
	/* reversal is a mirror */
	double forward[20];
	memset(rig.q, 0, sizeof rig.q);
	run(1e5);
	memcpy(forward, rig.q, sizeof forward);
	memset(rig.q, 0, sizeof rig.q);
	rig.in.velocity_ms = -0.1;
	rig.s.first_step_s[1] = 0;
	run(1e5);
	for (int j = 0; j < 20; j++)
		/* steps differ: the scale of tolerance has a memory */
		CHECK_REL(rig.q[19 - j], forward[j], 1e-2, "mirror");
}

int main(void)
{
	anzelius();
	bohart_adams();
	thomas();
	fresh();
	moment_and_purge();
	order_in_space();
	order_in_time();
	exact_in_space();
	made_in_time();
	tolerance();
	idle();
	dispersion();
	slow_flow();
	roll_up();
	slants();
	kinds();
	hurried();
	balance();
	anything();
	wood_table();
	nelson_correia();
	van_osdell();
	moe();
	trouble();
	return check_done();
}
