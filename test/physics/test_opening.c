/* SPDX-License-Identifier: MIT */
#include "check.h"
#include "difference.h"
#include "physics/flow.h"

#define PI 3.14159265358979323846
#define INCH 0.0254
#define RHO 1.2041 /* 20 degC */
#define MU 1.8134e-5
#define G 9.80665

/* ---- common shape: F1..F3 ---- */

static double flow_of(const double *a)
{
	return inw_resistance_flow((struct inw_resistance){a[0], a[1]}, a[2], a[3], a[4]).q_m3s;
}

static double drop_of(const double *a)
{
	return inw_resistance_drop((struct inw_resistance){a[0], a[1]}, a[2], a[3], a[4]).dp_Pa;
}

static void resistance_random(void)
{
	uint64_t seed = 7;

	for (int i = 0; i < 2000; i++) {
		double lin = between_log(&seed, 1e3, 1e10), quad = between_log(&seed, 1e2, 1e9);
		double dp = between_log(&seed, 1e-6, 1e3) * (i % 2 ? 1 : -1);
		double rho = between(&seed, 0.8, 1.4), mu = between(&seed, 1.6e-5, 2.2e-5);
		struct inw_resistance r = {lin, i % 7 ? quad : 0};
		struct inw_flow f = inw_resistance_flow(r, dp, rho, mu);
		struct inw_drop d = inw_resistance_drop(r, f.q_m3s, rho, mu);
		double a[DIFFERENCE_ARGS] = {r.lin, r.quad, dp, rho, mu},
			   b[DIFFERENCE_ARGS] = {r.lin, r.quad, f.q_m3s, rho, mu};
		double size = fabs(f.q_m3s);

		CHECK_REL(d.dp_Pa, dp, 1e-13, "the root of its own equation");
		CHECK_REL(f.dq_ddp * d.ddp_dq, 1, 1e-13, "inverse function");
		CHECK_ABS(inw_resistance_flow(r, -dp, rho, mu).q_m3s, -f.q_m3s, 0, "F2 odd");
		CHECK(f.dq_ddp > 0);
		CHECK_REL(f.dq_ddp, difference(flow_of, a, 2, fabs(dp) * 1e-3), 1e-8, "F3 central difference");
		CHECK_ABS(f.dq_drho, difference(flow_of, a, 3, 1e-3), 1e-8 * size, "F3 central difference");
		CHECK_ABS(f.dq_dmu, difference(flow_of, a, 4, 1e-8), 1e-8 * size / mu, "F3 central difference");
		CHECK_REL(d.ddp_dq, difference(drop_of, b, 2, size * 1e-3), 1e-8, "F3 central difference");
		CHECK_ABS(d.ddp_drho, difference(drop_of, b, 3, 1e-3), 1e-8 * fabs(dp), "F3 central difference");
		CHECK_ABS(d.ddp_dmu, difference(drop_of, b, 4, 1e-8), 1e-8 * fabs(dp) / mu, "F3 central difference");
	}
}

static void resistance_limits(void)
{
	struct inw_resistance fine = {1e12, 1e-3}, bare = {0, 1e6}, both = inw_resistance_add(fine, bare);
	struct inw_flow zero = inw_resistance_flow(fine, 0, RHO, MU);

	CHECK_REL(
		inw_resistance_flow(fine, 1e-9, RHO, MU).q_m3s, 1e-9 / (1e12 * MU), 1e-15, "no cancellation: dp/(lin mu)");
	CHECK_ABS(zero.q_m3s, 0, 0, "no pressure, no flow");
	CHECK_REL(zero.dq_ddp, 1 / (1e12 * MU), 1e-15, "slope at zero is the laminar one");
	/* bare loss coefficient: square root law, smoothed near zero as stated */
	CHECK_REL(inw_resistance_flow(bare, 10, RHO, MU).q_m3s, sqrt(10 / (1e6 * RHO)), 1e-8, "dp = quad rho q^2");
	CHECK_REL(
		inw_resistance_flow(bare, 0.1, RHO, MU).q_m3s, sqrt(0.1 / (1e6 * RHO)), 2.6e-5, "stated: 2.5e-5 at 0.1 Pa");
	CHECK(isfinite(inw_resistance_flow(bare, 0, RHO, MU).dq_ddp) && inw_resistance_flow(bare, 0, RHO, MU).dq_ddp > 0);
	for (double dp = -1; dp < 1; dp += 0.0123) {
		double a[DIFFERENCE_ARGS] = {0, 1e6, dp, RHO, MU};
		struct inw_flow f = inw_resistance_flow(bare, dp, RHO, MU);

		CHECK_REL(f.dq_ddp, difference(flow_of, a, 2, 2e-5), 1e-6, "F3 central difference");
		CHECK_ABS(f.dq_drho, difference(flow_of, a, 3, 1e-3), 1e-8 * fabs(f.q_m3s), "F3 central difference");
		CHECK(f.dq_ddp > 0);
	}
	CHECK_REL(inw_resistance_drop(both, 1e-9, RHO, MU).dp_Pa, inw_resistance_drop(fine, 1e-9, RHO, MU).dp_Pa
		+ inw_resistance_drop(bare, 1e-9, RHO, MU).dp_Pa, 1e-14, "series: drops add");
}

/* ---- cracks and holes ---- */

static double crack_m3h(double width_mm, double dp)
{
	return 3600 * inw_resistance_flow(inw_crack(1, width_mm / 1000, 0.02, 0), dp, RHO, MU).q_m3s;
}

static void cracks(void)
{
	/* The round slot of a leaking stem: 100 psi, 1 in, 0.6 cP, D 0.25 in, t 0.0001 in, water. The book takes 1 cP for
	 * 2.09e-5 lbf s/ft2 (2.0885e-5 exactly), which is 0.07 % of its result; 47.880259 Pa per lbf/ft2 */
	double book_mu = 0.6 * 2.09e-5 * 47.880259;
	struct inw_resistance r = inw_crack(PI * 0.25 * INCH, 1e-4 * INCH, INCH, 0);
	/* 1 m seam, 20 mm deep, straight, 20 degC: evaluated outside this program from the equation of the paper */
	static const double row[][6] = {
		{0.2, 0.0066, 0.0165, 0.0265, 0.0661, 0.330}, {0.5, 0.103, 0.257, 0.409, 1.005, 4.57},
		{1.0, 0.791, 1.867, 2.843, 6.116, 19.48}, {2.0, 4.393, 8.403, 11.42, 20.01, 49.41},
		{3.0, 8.835, 15.31, 20.02, 33.16, 77.52},
	};
	static const double dp[] = {1, 2.5, 4, 10, 50}, n[] = {1.000, 0.982, 0.836, 0.612, 0.551};
	static const char source[] = "Baker, Sharples & Ward 1987 (memory), evaluated independently";

	CHECK_REL(inw_resistance_flow(r, 689475.729, 1000, book_mu).q_m3s, 0.270568 * INCH * INCH * INCH / 3600, 3e-6,
		"de Nevers, Fluid Mechanics for Chemical Engineers, ex. 6.13");
	for (int i = 0; i < 5; i++) {
		for (int k = 0; k < 5; k++)
			CHECK_REL(crack_m3h(row[i][0], dp[k]), row[i][k + 1], 0.008, source); /* two to four figures printed */
		CHECK_ABS(log(crack_m3h(row[i][0], 10) / crack_m3h(row[i][0], 4)) / log(2.5), n[i], 6e-4, source);
	}
	CHECK_ABS(inw_crack(1, 1e-3, 0.02, 2).quad / inw_crack(1, 1e-3, 0.02, 0).quad, 3.5 / 1.5, 1e-12, source);
}

/* mean velocity through a hole large enough for Sampson's part not to count, rho 1.2 */
static double hole_ms(double cd, double dp)
{
	return inw_resistance_flow(inw_hole(100, cd), dp, 1.2, MU).q_m3s / (PI / 4 * 1e4);
}

static void holes(void)
{
	static const double dp[] = {0.25, 0.5, 1, 2.5, 5, 10, 15, 20, 50};
	static const double ideal[] = {0.645, 0.913, 1.291, 2.041, 2.887, 4.082, 5.000, 5.774, 9.129};
	static const double sharp[] = {0.394, 0.557, 0.788, 1.245, 1.761, 2.490, 3.050, 3.522, 5.569};
	static const char bs[] = "BS 5925:1991 cl. 9 eq. (2), evaluated independently";
	double beta = 0.75, cd = 0.61 / sqrt(1 - beta * beta * beta * beta);
	double head = (13600 / 788.4 - 1) * 788.4 * 9.81 * 0.11;

	for (int i = 0; i < 9; i++) {
		CHECK_ABS(hole_ms(1, dp[i]), ideal[i], 6e-4, bs);
		CHECK_ABS(hole_ms(0.61, dp[i]), sharp[i], 6e-4, bs);
	}
	/* methanol, orifice of 3 cm in 4 cm pipe, 11 cm of mercury; the pipe's own velocity goes into cd */
	CHECK_REL(inw_resistance_flow(inw_hole(0.03, cd), head, 788.4, 5.857e-4).q_m3s, 3.09e-3, 2e-3,
		"Cengel & Cimbala, Fluid Mechanics, ex. 8-10 (input data memory)");
	CHECK_REL(inw_resistance_flow(inw_hole(1e-5, 0.61), 1e-3, RHO, MU).q_m3s, 125e-18 * 1e-3 / (3 * MU), 1e-5,
		"Sampson 1891: a^3 dp/(3 mu) (memory)");
	CHECK_REL(inw_resistance_flow(inw_slot(1, 1e-5, 0.61), 1e-3, RHO, MU).q_m3s, PI * 1e-10 * 1e-3 / (32 * MU), 1e-5,
		"Hasimoto 1958: pi w^2 dp/(32 mu) per length (memory)");
	CHECK_REL(inw_resistance_flow(inw_slot(10, 10, 0.61), 10, RHO, MU).q_m3s, 61 * sqrt(20 / RHO), 1e-5, bs);
}

/* ---- measured leaks ---- */

/* A house, blower door: least squares on logarithms gives C and n as printed; the law has to give the flows back. */
static void pressurisation(void)
{
	static const double dp[] = {10, 20, 30, 40, 50, 60}, m3h[] = {237, 364, 444, 625, 688, 704};
	static const char ghiaus[] = "C. Ghiaus, dm4bem, tutorial A06 (pressurisation test)";
	double x = 0, y = 0, xx = 0, xy = 0, n, C, at10, at4, side;

	for (int i = 0; i < 6; i++) {
		x += log10(dp[i]) / 6;
		y += log10(m3h[i]) / 6;
		xx += log10(dp[i]) * log10(dp[i]) / 6;
		xy += log10(dp[i]) * log10(m3h[i]) / 6;
	}
	n = (xy - x * y) / (xx - x * x);
	C = pow(10, y - n * x);
	CHECK_ABS(n, 0.6434, 6e-5, ghiaus);
	CHECK_ABS(C, 53.3956, 6e-5, ghiaus);
	at10 = inw_power_law_flow(C / 3600, n, 10, RHO, MU).q_m3s;
	at4 = inw_power_law_flow(C / 3600, n, 4, RHO, MU).q_m3s;
	CHECK_ABS(at10 * 3600, 234.9, 0.06, ghiaus);
	/* areas of a hole of that flow at rho 1.2: 159.9 cm2 printed (cd 1, 10 Pa); 140.2 (cd 1, 4 Pa) and 261.6
	 * (cd 0.611, 10 Pa) evaluated independently */
	side = sqrt(159.9e-4 * 4 / PI);
	CHECK_REL(inw_resistance_flow(inw_hole(side, 1), 10, 1.2, MU).q_m3s, at10, 1e-3, ghiaus);
	side = sqrt(261.6e-4 * 4 / PI);
	CHECK_REL(inw_resistance_flow(inw_hole(side, 0.611), 10, 1.2, MU).q_m3s, at10, 1e-3,
		"equivalent leakage area, CGSB form (memory)");
	side = sqrt(140.2e-4 * 4 / PI);
	CHECK_REL(
		inw_resistance_flow(inw_hole(side, 1), 4, 1.2, MU).q_m3s, at4, 1e-3, "effective leakage area, ASTM E779 form");
}

/* Room of 20, 50, 100, 200 cm2 (4 Pa, cd 1, n 0.65) and 10, 20, 40, 60 m3/h drawn out; tolerance: half the last
 * place printed, and what the smoothing below 0.01 Pa adds, (1-n)/(2n) (0.01/dp)^2 of dp */
static void room_pressure(void)
{
	static const double area[] = {20e-4, 50e-4, 100e-4, 200e-4};
	static const double want[][4]
		= {{1.5, 4.5, 13, 24}, {0.4, 1.1, 3.2, 5.9}, {0.13, 0.38, 1.1, 2.0}, {0.04, 0.13, 0.38, 0.70}};
	static const double half[][4]
		= {{0.05, 0.05, 0.5, 0.5}, {0.05, 0.05, 0.05, 0.05}, {5e-3, 5e-3, 0.05, 0.05}, {5e-3, 5e-3, 5e-3, 5e-3}};

	for (int i = 0; i < 4; i++) {
		double C = area[i] * sqrt(2 * 4 / RHO) / pow(4, 0.65);

		for (int k = 0; k < 4; k++) {
			double q = (k ? 20 * k : 10) / 3600.0, dp = want[i][k];
			double smoothing = 0.35 / 1.3 * 0.01 * 0.01 / dp;

			for (int turn = 0; turn < 30; turn++) {
				struct inw_flow f = inw_power_law_flow(C, 0.65, dp, RHO, MU);

				dp -= (f.q_m3s - q) / f.dq_ddp;
			}
			CHECK_ABS(dp, want[i][k], half[i][k] + smoothing, "ASTM E779 effective leakage area, solved independently");
		}
	}
}

static double power_of(const double *a)
{
	return inw_power_law_flow(a[0], a[1], a[2], a[3], a[4]).q_m3s;
}

static void power_law(void)
{
	uint64_t seed = 3;

	for (int i = 0; i < 1000; i++) {
		double dp = between_log(&seed, 1e-4, 100) * (i % 2 ? 1 : -1);
		double a[DIFFERENCE_ARGS] = {between_log(&seed, 1e-5, 1e-1), between(&seed, 0.5, 1), dp,
			between(&seed, 0.9, 1.3), between(&seed, 1.6e-5, 2.2e-5)};
		struct inw_flow f = inw_power_law_flow(a[0], a[1], dp, a[3], a[4]);

		CHECK_REL(f.dq_ddp, difference(power_of, a, 2, fabs(dp) * 1e-2), 1e-6, "F3 central difference");
		CHECK_ABS(f.dq_drho, difference(power_of, a, 3, 1e-3), 1e-8 * fabs(f.q_m3s), "F3 central difference");
		CHECK_ABS(f.dq_dmu, difference(power_of, a, 4, 1e-8), 1e-8 * fabs(f.q_m3s) / a[4], "F3 central difference");
		CHECK_ABS(inw_power_law_flow(a[0], a[1], -dp, a[3], a[4]).q_m3s, -f.q_m3s, 0, "F2 odd");
		CHECK(f.dq_ddp > 0);
	}
	CHECK_REL(inw_power_law_flow(0.01, 0.65, 10, 1.2041, 1.8134e-5).q_m3s, 0.01 * pow(10, 0.65), 1e-6,
		"Q = C dp^n in reference air");
	CHECK_REL(inw_power_law_flow(0.01, 0.5, 10, 1.0, 2e-5).q_m3s, 0.01 * sqrt(10 * 1.2041 / 1.0), 1e-6,
		"n 0.5: an orifice, rho^-0.5");
	CHECK_REL(inw_power_law_flow(0.01, 1.0, 10, 1.0, 2e-5).q_m3s, 0.1 * 1.8134 / 2.0, 1e-12, "n 1: laminar, 1/mu");
	CHECK_REL(inw_power_law_flow(0.01, 0.65, 0, RHO, MU).dq_ddp, 0.01 * pow(0.01, -0.35), 1e-12, "stated: dt 0.01 Pa");
}

/* ---- tall opening ---- */

static double density_at(double celsius)
{
	return inw_air_density_kgm3(101325, 273.15 + celsius, 0);
}

/* Box of `inside` degC in a room of 22 degC: a = room, b = box. Outflow just stops when dp is 0 at the top; with the
 * smoothing of +-1e-3 Pa it is exactly 0 from there on. */
static double stopping_ms(double inside, double H)
{
	double room = density_at(22), box = density_at(inside), slope = (room - box) * G;
	struct inw_two_way f = inw_tall_opening(0.5, H, 0.6, slope * H, slope, room, box, MU);

	CHECK_ABS(inw_tall_opening(0.5, H, 0.6, slope * H + 1.001e-3, slope, room, box, MU).ba_kgs, 0, 0, "nothing leaves");
	CHECK(f.ba_kgs < 1e-3 * f.ab_kgs);
	return f.ab_kgs / room / (0.5 * H);
}

static void stack(void)
{
	static const char gas[] = "hydrostatics of the ideal gas, evaluated independently";

	CHECK_ABS((density_at(22) - density_at(60)) * G * 0.6, 0.803, 6e-4, gas);
	CHECK_ABS((density_at(22) - density_at(40)) * G * 0.6, 0.405, 6e-4, gas);
	CHECK_ABS((density_at(22) - density_at(80)) * G * 0.6, 1.156, 6e-4, gas);
	CHECK_ABS((density_at(0) - density_at(20)) * G, 0.865, 6e-4, gas);
	/* 3465 Pa K/m at 101325 Pa published; p g/R is 3461.6 */
	CHECK_REL((density_at(0) - density_at(20)) * G / (1 / 273.15 - 1 / 293.15), 3465, 1.5e-3,
		"0.0342 a h (1/To - 1/Ti), stack effect formula");
}

/* Two-way exchange with the neutral plane at mid-height */
static double exchange_m3h(double inside, double expect)
{
	double room = density_at(22), box = density_at(inside), slope = (room - box) * G, H = 0.5, W = 0.5;
	struct inw_two_way f = inw_tall_opening(W, H, 0.6, slope * H / 2, slope, room, box, MU);
	static const char brown[] = "Brown & Solvason 1962: Cd W/3 H sqrt(g H d_rho/rho) (memory)";

	CHECK_REL(f.ab_kgs / room, 0.6 * W / 3 * H * sqrt(G * H * (room - box) / room), 4e-4, brown);
	CHECK_REL(f.ba_kgs / box, 0.6 * W / 3 * H * sqrt(G * H * (room - box) / box), 4e-4, brown);
	CHECK_REL(3600 * sqrt(f.ab_kgs / room * f.ba_kgs / box), expect, 0.012, brown); /* printed to 1 or 2 m3/h */
	return f.ab_kgs;
}

static void tall_published(void)
{
	CHECK(exchange_m3h(50, 120) > exchange_m3h(30, 65));
	/* mean velocity of the net inflow that stops outflow at the top of the opening, 2/3 Cd sqrt(2 g H d_rho/rho); which
	 * density divides was not said, and the choice moves it by up to 6 % at 60 degC */
	CHECK_REL(stopping_ms(50, 0.5), 0.369, 0.005, "2/3 Cd sqrt(2 g H d_rho/rho), evaluated independently");
	CHECK_REL(stopping_ms(30, 0.5), 0.203, 0.005, "2/3 Cd sqrt(2 g H d_rho/rho), evaluated independently");
	CHECK_REL(stopping_ms(60, 0.05), 0.134, 0.005, "2/3 Cd sqrt(2 g H d_rho/rho), evaluated independently");
}

/* Orifice law per strip, no smoothing: the midpoint rule on 200000 strips */
static double strips(double dp, double slope, double rho)
{
	const int n = 200000;
	double sum = 0;

	for (int i = 0; i < n; i++) {
		double x = dp - slope * 0.4 * (i + 0.5) / n;

		sum += x > 0 ? sqrt(2 * rho * x) : 0;
	}
	return 0.61 * 0.3 * 0.4 * sum / n;
}

static void tall_by_strips(void)
{
	static const double dp[] = {5, 1, 0.3, 0.1, -0.2, -3, 0.8, 0}, slope[] = {2, 2, 2, 1, -2, 1, 0, 1};

	for (int i = 0; i < 8; i++) {
		struct inw_two_way f = inw_tall_opening(0.3, 0.4, 0.61, dp[i], slope[i], 1.2, 1.05, MU);

		/* stated price of the smoothing: 1e-4 of the flow at 0.2 Pa, here absolute */
		CHECK_ABS(f.ab_kgs, strips(dp[i], slope[i], 1.2), 3e-6, "orifice law per strip");
		CHECK_ABS(f.ba_kgs, strips(-dp[i], -slope[i], 1.05), 3e-6, "orifice law per strip");
	}
}

static double tall_ab(const double *a)
{
	return inw_tall_opening(0.3, 0.4, 0.61, a[0], a[1], a[2], a[3], MU).ab_kgs;
}

static double tall_ba(const double *a)
{
	return inw_tall_opening(0.3, 0.4, 0.61, a[0], a[1], a[2], a[3], MU).ba_kgs;
}

/* The law has a break in its second derivative where dp at an edge is +-1e-3 Pa; a difference may not straddle it. */
static int near_break(double x, double h)
{
	return fabs(fabs(x) - 1e-3) < 2 * h;
}

static void tall_derivatives(void)
{
	uint64_t seed = 11;
	int compared = 0;

	for (int i = 0; i < 4000; i++) {
		double size = between_log(&seed, 1e-4, 5);
		double dp = size * between(&seed, -1, 1),
			   slope = i % 5 ? size * between(&seed, -5, 5) : 1e-7 * between(&seed, -1, 1);
		double a[DIFFERENCE_ARGS] = {dp, slope, between(&seed, 0.9, 1.3), between(&seed, 0.9, 1.3)};
		double h = 1e-2 * fmin(1e-3, fabs(dp)), top = dp - slope * 0.4;
		struct inw_two_way f = inw_tall_opening(0.3, 0.4, 0.61, dp, slope, a[2], a[3], MU);
		double tol = 1e-6 * (f.dab_ddp - f.dba_ddp) + 1e-10;

		CHECK(f.ab_kgs >= 0 && f.ba_kgs >= 0 && f.dab_ddp >= 0 && f.dba_ddp <= 0);
		CHECK(f.ab_kgs + f.ba_kgs > 0);
		CHECK_ABS(f.dab_drho_a, difference(tall_ab, a, 2, 1e-3), 1e-8, "central difference");
		CHECK_ABS(f.dba_drho_b, difference(tall_ba, a, 3, 1e-3), 1e-8, "central difference");
		if (near_break(dp, h) || near_break(top, h))
			continue;
		compared++;
		CHECK_ABS(f.dab_ddp, difference(tall_ab, a, 0, h), tol, "central difference");
		CHECK_ABS(f.dba_ddp, difference(tall_ba, a, 0, h), tol, "central difference");
		CHECK_ABS(f.dab_dslope, difference(tall_ab, a, 1, h), tol, "central difference");
		CHECK_ABS(f.dba_dslope, difference(tall_ba, a, 1, h), tol, "central difference");
	}
	CHECK(compared > 3000);
}

/* C1 at the breaks and at the degenerate point dp = slope = 0 */
static void tall_smooth(void)
{
	static const double at[] = {0, 1e-3, -1e-3, 0.5};

	for (int i = 0; i < 4; i++) {
		for (int k = -1; k <= 1; k++) {
			struct inw_two_way l = inw_tall_opening(0.3, 0.4, 0.61, at[i] - 1e-10, -1e-10 * k, 1.2, 1.05, MU);
			struct inw_two_way r = inw_tall_opening(0.3, 0.4, 0.61, at[i] + 1e-10, 1e-10 * k, 1.2, 1.05, MU);

			CHECK_ABS(l.ab_kgs, r.ab_kgs, 1e-9, "continuous");
			CHECK_ABS(l.dab_ddp, r.dab_ddp, 1e-6, "C1");
			CHECK_ABS(l.dba_ddp, r.dba_ddp, 1e-6, "C1");
			CHECK_ABS(l.dab_dslope, r.dab_dslope, 1e-6, "C1");
			CHECK_ABS(l.dba_dslope, r.dba_dslope, 1e-6, "C1");
		}
	}
	/* dp and slope 0: the stated 1 cm/s both ways, 0.61 sqrt(2/rho) 0.375 sqrt(1e-3) */
	CHECK_REL(inw_tall_opening(0.3, 0.4, 0.61, 0, 0, 1.2, 1.2, MU).ab_kgs,
		1.2 * 0.12 * 0.61 * sqrt(2 / 1.2) * 0.375 * sqrt(1e-3), 1e-12, "value of the cubic at its middle");
	CHECK_REL(inw_tall_opening(0.3, 0.4, 0.61, 2, 0, 1.2, 1.05, MU).ab_kgs, 0.12 * 0.61 * sqrt(2 * 1.2 * 2), 1e-12,
		"no slope: an orifice");
	CHECK_ABS(inw_tall_opening(0.3, 0.4, 0.61, 2, 0, 1.2, 1.05, MU).ba_kgs, 0, 0, "no slope: nothing comes back");
}

static void tall_mirror(void)
{
	uint64_t seed = 5;

	for (int i = 0; i < 200; i++) {
		double dp = between(&seed, -1, 1), slope = between(&seed, -4, 4);
		struct inw_two_way f = inw_tall_opening(0.3, 0.4, 0.61, dp, slope, 1.2, 1.05, MU);
		struct inw_two_way g = inw_tall_opening(0.3, 0.4, 0.61, -dp, -slope, 1.05, 1.2, MU);
		struct inw_two_way u = inw_tall_opening(0.3, 0.4, 0.61, dp - slope * 0.4, -slope, 1.2, 1.05, MU);
		double both = 1e-13 * (f.ab_kgs + f.ba_kgs);

		CHECK_ABS(f.ab_kgs, g.ba_kgs, both, "both sides change places");
		CHECK_ABS(f.ba_kgs, g.ab_kgs, both, "both sides change places");
		CHECK_ABS(f.ab_kgs, u.ab_kgs, both, "turned upside down");
	}
}

/* ---- flap ---- */

#define DEG (PI / 180)

static double flap_K(double deg)
{
	double g = inw_flap_conductance(deg * DEG, 0).g;

	return 1 / (g * g);
}

static double flap_g(const double *a)
{
	return inw_flap_conductance(a[0], a[1]).g;
}

static void flap_published(void)
{
	static const double deg[] = {5, 10, 15, 20, 25, 30, 40, 50, 60, 70};
	static const double K[] = {0.24, 0.52, 0.90, 1.54, 2.51, 3.91, 10.8, 32.6, 118, 751};
	static const char butterfly[]
		= "regression in public source code: .0031 t^2 + .01 t + .1133, .093 exp(.1191 t) past 20 degrees";

	for (int i = 0; i < 10; i++)
		CHECK_REL(flap_K(deg[i]), K[i], 1e-10, "Weisbach's table of the throttle valve (memory)");
	/* Regression of another hand, up to 11 % off its table to 20 degrees. There it drops by a third, and only from 25 on
	 * is within 27 % of the table again. */
	for (double t = 5; t <= 20; t += 1)
		CHECK_REL(flap_K(t), 0.0031 * t * t + 0.01 * t + 0.1133, 0.11, butterfly);
	for (double t = 25; t <= 60; t += 1)
		CHECK_REL(0.093 * exp(0.1191 * t), flap_K(t), 0.28, butterfly);
	CHECK_REL(flap_K(0), 0.1133, 0.03, butterfly); /* its value at 0, where ours is the trend of the table */
	/* ln K straight in the angle, 0.107 per degree from 20 to 60 */
	CHECK_REL(log(flap_K(60) / flap_K(20)) / 40, 0.107, 0.02, "Legg 1986, BSERT 7(4), abstract; slope of the table");
	for (double t = 20; t < 70; t += 0.5)
		CHECK(log(flap_K(t + 0.5) / flap_K(t)) > 0.5 * 0.08 && log(flap_K(t + 0.5) / flap_K(t)) < 0.5 * 0.21);
	/* one blade at 30 degrees in one port, 60 in the other, each with 2.0 of fixed loss */
	CHECK_ABS(
		sqrt((2 + flap_K(60)) / (2 + flap_K(30))), 4.51, 6e-3, "q ~ 1/sqrt(K), table above, evaluated independently");
}

static void flap_shape(void)
{
	struct inw_flap l = inw_flap_conductance(70 * DEG - 1e-10, 0), r = inw_flap_conductance(70 * DEG + 1e-10, 0);

	CHECK_REL(l.g, r.g, 1e-8, "continuous at the end of the table");
	CHECK_REL(l.dg_dangle, r.dg_dangle, 1e-7, "C1 at the end of the table");
	CHECK_REL(l.g, 0.61 * (1 - sin(70 * DEG)), 0.01, "0.61 of the open crescents");
	CHECK_ABS(inw_flap_conductance(PI / 2, 0).g, 0, 1e-16, "shut, no leak");
	CHECK_REL(inw_flap_conductance(PI / 2, 0.01).g, 0.0061, 1e-12, "shut: 1 % of the port as a sharp hole");
	CHECK_REL(inw_flap_conductance(0.3, 0.01).g - inw_flap_conductance(0.3, 0).g, 0.0061, 1e-10, "leak in parallel");
	for (double t = 0.13; t < 89.8; t += 0.171) {
		double a[DIFFERENCE_ARGS] = {t * DEG, 0.02};
		struct inw_flap f = inw_flap_conductance(t * DEG, 0.02);
		double row = fabs(t / 5 - round(t / 5)) * 5;

		CHECK(f.dg_dangle < 0);
		CHECK(inw_flap_conductance((t + 0.17) * DEG, 0.02).g < f.g);
		if (row > 0.02)
			CHECK_REL(f.dg_dangle, difference(flap_g, a, 0, 1e-4), 1e-6, "central difference");
	}
}

int main(void)
{
	resistance_random();
	resistance_limits();
	cracks();
	holes();
	pressurisation();
	room_pressure();
	power_law();
	stack();
	tall_published();
	tall_by_strips();
	tall_derivatives();
	tall_smooth();
	tall_mirror();
	flap_published();
	flap_shape();
	return check_done();
}
