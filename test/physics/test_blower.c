/* SPDX-License-Identifier: MIT */
#include "check.h"
#include "difference.h"
#include "physics/flow.h"
#include "physics/monotone.h"

#define CFM (0.3048 * 0.3048 * 0.3048 / 60)
#define IN_WG 249.089 /* inch of water at 4 degC; cancels in these tests */
#define RHO 1.2041

static const char fox[] = "Fox & McDonald, Introduction to Fluid Mechanics, ch. 10 fan example";

/* 36 in fan, 600 rpm, 0.075 lb/ft3: rise in inches of water against 0..60000 cfm */
static const double fox_p[] = {3.68, 3.75, 3.50, 2.96, 2.12, 1.02, 0};

static struct inw_blower_curve fitted(const double *q, const double *p, int n, double rho)
{
	struct inw_blower_curve c;

	CHECK(inw_blower_fit(&c, q, p, n, rho) == 0);
	return c;
}

/* The fox curve, its flow scaled by the cube and its rise by the square of a size ratio */
static struct inw_blower_curve fox_curve(double size, double rho)
{
	double q[7], p[7];

	for (int i = 0; i < 7; i++) {
		q[i] = 1e4 * i * CFM * size * size * size;
		p[i] = fox_p[i] * IN_WG * size * size;
	}
	return fitted(q, p, 7, rho);
}

/* The same fan at 42 in, 1150 rpm, 0.045 lb/ft3 */
static void fan_laws(void)
{
	static const double q[] = {0, 30436, 60872, 91308, 121744, 152180, 182616};
	static const double p[] = {11.04, 11.25, 10.50, 8.88, 6.36, 3.06, 0};
	struct inw_blower_curve c = fox_curve(42.0 / 36, 0.075);
	double s = 1150.0 / 600;

	for (int i = 0; i < 7; i++)
		CHECK_ABS(inw_blower_rise(&c, s, q[i] * CFM, 0.045).p_Pa / IN_WG, p[i], 6e-3, fox);
	/* the book's operating point, 110000 cfm and 7.4 in, read off its drawn curve */
	CHECK_ABS(inw_blower_rise(&c, s, 110000 * CFM, 0.045).p_Pa / IN_WG, 7.4, 0.06, fox);
}

/* Rises and falls as measured; peak at a point */
static void fox_shape(void)
{
	struct inw_blower_curve c = fox_curve(1, 0.075);

	CHECK_REL(inw_blower_peak_flow_m3s(&c), 10000 * CFM, 1e-12, fox);
	for (int i = 0; i < 7; i++)
		CHECK_ABS(inw_blower_rise(&c, 1, 1e4 * i * CFM, 0.075).p_Pa, fox_p[i] * IN_WG, 1e-9, "M1: through every point");
	for (double q = 100; q < 9900; q += 100)
		CHECK(inw_blower_rise(&c, 1, q * CFM, 0.075).dp_dq > 0);
	for (double q = 10100; q < 90000; q += 100)
		CHECK(inw_blower_rise(&c, 1, q * CFM, 0.075).dp_dq < 0);
	for (double q = -50000; q < 0; q += 100)
		CHECK(inw_blower_rise(&c, 1, q * CFM, 0.075).dp_dq < 0);
}

/* A small system: the fan of the example on a duct of square law through (110000 cfm, 7.4 in), by Newton on the flow */
static void operating_point(void)
{
	struct inw_blower_curve c = fox_curve(42.0 / 36, 0.075);
	struct inw_resistance duct = {.quad = 7.4 * IN_WG / (0.045 * 110000 * CFM * 110000 * CFM)};
	double q = 10000 * CFM;

	for (int i = 0; i < 40; i++) {
		struct inw_rise up = inw_blower_rise(&c, 1150.0 / 600, q, 0.045);
		struct inw_drop down = inw_resistance_drop(duct, q, 0.045, 1.8e-5);

		q -= (up.p_Pa - down.dp_Pa) / (up.dp_dq - down.ddp_dq);
	}
	CHECK_REL(q / CFM, 110000, 5e-3, fox);
}

static void speed_up(void)
{
	/* 1694 rpm: 12200 acfm, 5 in; 2100 rpm: 15123.97 acfm, 7.68 in. A straight curve through the point will do. */
	static const char theodore[] = "Abulencia & Theodore, Fluid Flow for the Practicing Chemical Engineer, ex. 17.2";
	static const double q[] = {0, 12200, 24400}, p[] = {10, 5, 0};
	struct inw_blower_curve c = fitted(q, p, 3, RHO);
	double s = 2100.0 / 1694;

	CHECK_ABS(inw_blower_rise(&c, s, 15123.97, RHO).p_Pa, 7.68, 6e-3, theodore);
	CHECK_ABS(inw_blower_power_W(0, 9.25, s), 17.62, 6e-3, theodore);
	/* 60 against 20 degC at the same flow and speed: rise falls as density, 0.880 */
	CHECK_ABS(inw_blower_rise(&c, 1, 12200, inw_air_density_kgm3(101325, 333.15, 0)).p_Pa
				  / inw_blower_rise(&c, 1, 12200, inw_air_density_kgm3(101325, 293.15, 0)).p_Pa,
		0.880, 6e-4, "fan laws: pressure as density");
}

/* Five wheels 40 x 40 x 28 mm of one series, 22000 to 12500 rpm: free flow m3/h and shut-off rise Pa printed */
static void small_axial(void)
{
	static const char sheet[] = "published datasheet, axial 40 x 40 x 28 mm, 12 V";
	static const double rpm[] = {22000, 18000, 16500, 14500, 12500};
	static const double free_m3h[] = {48.6, 40.2, 36.6, 32.4, 27.6}, shut[] = {799, 535, 450, 347, 258};
	static const double q[] = {0, 48.6}, p[] = {799, 0};
	struct inw_blower_curve c = fitted(q, p, 2, RHO);

	for (int i = 0; i < 5; i++) {
		double s = rpm[i] / rpm[0], flow = 48.6 * s;

		CHECK_ABS(inw_blower_rise(&c, s, flow, RHO).p_Pa, 0, 1e-9, "fan laws");
		CHECK_REL(flow, free_m3h[i], 0.012, sheet); /* printed to 0.6 m3/h, a step of the sheet's other unit */
		CHECK_REL(inw_blower_rise(&c, s, 0, RHO).p_Pa, shut[i], 2.5e-3, sheet);
	}
	/* at 20 % of its signal the first wheel turns 6500 rpm and draws 1.2 W of 11.04: under the cube law even with a floor of
	 * 0.5 W, over it with the whole 1.2 W; both ends of the floor found in such sheets */
	CHECK(inw_blower_power_W(0.5, 11.04, 6500.0 / 22000) < 1.2);
	CHECK(inw_blower_power_W(1.2, 11.04, 6500.0 / 22000) > 1.2);
	CHECK_REL(inw_blower_power_W(0, 11.04, 18000.0 / 22000), 5.88, 0.04, sheet);
	CHECK_REL(inw_blower_power_W(0.7, 11.04, 1), 11.04, 1e-14, "rated power at rated speed");
	CHECK_REL(inw_blower_power_W(0.7, 11.04, 0), 0.7, 1e-14, "floor at rest");
}

static void refused(void)
{
	struct inw_blower_curve c = {.n = -7};
	static const double q[] = {0, 1, 2}, p[] = {5, 4, 0}, back[] = {0, 2, 1}, twice[] = {0, 1, 1}, below[] = {-1, 0, 1};
	static const double rises[] = {5, 3, 4}, flat[] = {5, 3, 3}, hole[] = {5, NAN, 0};
	double many_q[INW_BLOWER_POINTS + 1], many_p[INW_BLOWER_POINTS + 1];

	for (int i = 0; i <= INW_BLOWER_POINTS; i++) {
		many_q[i] = i;
		many_p[i] = 100 - i;
	}
	CHECK(inw_blower_fit(&c, back, p, 3, RHO) == -1);
	CHECK(inw_blower_fit(&c, twice, p, 3, RHO) == -1);
	CHECK(inw_blower_fit(&c, below, p, 3, RHO) == -1);
	CHECK(inw_blower_fit(&c, q, rises, 3, RHO) == -1);
	CHECK(inw_blower_fit(&c, q, flat, 3, RHO) == -1);
	CHECK(inw_blower_fit(&c, q, hole, 3, RHO) == -1);
	CHECK(inw_blower_fit(&c, hole, p, 3, RHO) == -1);
	CHECK(inw_blower_fit(&c, q, p, 1, RHO) == -1);
	CHECK(inw_blower_fit(&c, many_q, many_p, INW_BLOWER_POINTS + 1, RHO) == -1);
	CHECK(c.n == -7);
	CHECK(inw_blower_fit(&c, many_q, many_p, INW_BLOWER_POINTS, RHO) == 0);
	CHECK_ABS(inw_blower_peak_flow_m3s(&c), 0, 0, "a curve that only falls");
}

/* Random curves, monotone or not, with and without a point at zero flow */
static struct inw_blower_curve random_curve(uint64_t *seed)
{
	double q[8], p[8];
	int n = 2 + (int)between(seed, 0, 6.99);

	q[0] = between(seed, 0, 1) < 0.5 ? 0 : between(seed, 0.1, 1);
	p[0] = between(seed, 50, 100);
	for (int i = 1; i < n; i++) {
		q[i] = q[i - 1] + between(seed, 0.2, 2);
		p[i] = i + 1 == n ? p[i - 1] - between(seed, 1, 50) : p[i - 1] + between(seed, -40, 15);
	}
	return fitted(q, p, n, RHO);
}

static struct inw_blower_curve current; /* of the difference below: a law takes numbers only */

static double rise_of(const double *a)
{
	return inw_blower_rise(&current, a[0], a[1], a[2]).p_Pa;
}

static int near_point(double s, double q, double h)
{
	for (int i = 0; i < current.n; i++)
		if (fabs(q - s * current.q[i]) < 3 * h * (1 + current.q[i]))
			return 1;
	return 0;
}

static void derivatives(void)
{
	uint64_t seed = 9;
	int compared = 0;

	for (int i = 0; i < 4000; i++) {
		double s = between(&seed, 0.05, 1.3), q, rho = between(&seed, 0.9, 1.3);
		struct inw_rise r;

		current = random_curve(&seed);
		q = s * current.q[current.n - 1] * between(&seed, -0.6, 1.6);
		r = inw_blower_rise(&current, s, q, rho);
		if (near_point(s, q, 1e-4))
			continue;
		double a[DIFFERENCE_ARGS] = {s, q, rho}, size = fabs(r.p_Pa) + s * s * 50;

		compared++;
		CHECK_ABS(r.dp_dspeed, difference(rise_of, a, 0, 1e-4), 1e-6 * size / s, "central difference");
		CHECK_ABS(r.dp_dq, difference(rise_of, a, 1, 1e-4), 1e-6 * (size / (0.2 * s)), "central difference");
		CHECK_ABS(r.dp_drho, difference(rise_of, a, 2, 1e-3), 1e-8 * size, "central difference");
	}
	CHECK(compared > 3000);
}

/* C1 in flow and speed at every join; M2 between points */
static void joins(void)
{
	uint64_t seed = 21;

	for (int i = 0; i < 500; i++) {
		double s = between(&seed, 0.05, 1.3);

		current = random_curve(&seed);
		for (int k = 0; k < current.n; k++) {
			double q = s * current.q[k], big = 1e4;
			struct inw_rise l = inw_blower_rise(&current, s, q - 1e-9, RHO),
							r = inw_blower_rise(&current, s, q + 1e-9, RHO);

			CHECK_ABS(l.p_Pa, r.p_Pa, 1e-10 * big, "continuous");
			CHECK_ABS(l.dp_dq, r.dp_dq, 1e-9 * big, "M3: C1 in flow");
			CHECK_ABS(l.dp_dspeed, r.dp_dspeed, 1e-8 * big, "C1 in speed");
		}
		for (int k = 0; k + 1 < current.n; k++)
			for (int j = 1; j < 20; j++) {
				double q = current.q[k] + (current.q[k + 1] - current.q[k]) * j / 20;

				CHECK(inw_blower_rise(&current, 1, q, RHO).dp_dq * (current.p[k + 1] - current.p[k]) >= 0);
			}
	}
}

/* A stopped wheel is a resistance: odd, opposing, -c q|q| rho/rho_ref, reached without a step */
static void stopped(void)
{
	uint64_t seed = 4;
	struct inw_rise rest;

	current = random_curve(&seed);
	for (int i = 0; i < 300; i++) {
		double q = between(&seed, 0, 5), c;
		struct inw_rise on, back, slow;

		current = random_curve(&seed);
		c = -current.slope[current.n - 1] / (2 * current.q[current.n - 1]);
		on = inw_blower_rise(&current, 0, q, 1.1);
		back = inw_blower_rise(&current, 0, -q, 1.1);
		slow = inw_blower_rise(&current, 1e-9, q, 1.1);
		CHECK(c > 0);
		CHECK_REL(on.p_Pa, -c * q * q * 1.1 / RHO, 1e-12, "square law");
		CHECK_ABS(back.p_Pa, -on.p_Pa, 0, "odd");
		CHECK_ABS(slow.p_Pa, on.p_Pa, 1e-9 * fabs(on.p_Pa) + 1e-12, "no step at rest");
		CHECK(isfinite(on.dp_dspeed) && isfinite(back.dp_dspeed) && on.dp_dq <= 0 && back.dp_dq <= 0);
		CHECK(inw_blower_rise(&current, 0.7, -q, RHO).p_Pa >= 0.49 * current.p[0] - 1e-9);
	}
	rest = inw_blower_rise(&current, 0, 0, RHO);
	CHECK(rest.p_Pa == 0 && rest.dp_dq == 0 && rest.dp_dspeed == 0);
}

/* RPN 14, the example data of Fritsch & Carlson 1980 (memory): flat, a steep step, flat. Ordinary splines overshoot
 * there. */
static void fritsch_carlson(void)
{
	static const double x[] = {7.99, 8.09, 8.19, 8.7, 9.2, 10, 12, 15, 20};
	static const double y[] = {0, 2.76429e-5, 4.37498e-2, 0.169183, 0.469428, 0.943740, 0.998636, 0.999919, 0.999994};
	double slope[9], before = -1;

	inw_monotone__slopes(x, y, 9, slope);
	for (double t = 7.99; t < 20; t += 0.003) {
		int i = inw_monotone__find(x, 9, t);
		double v = inw_monotone__piece(x + i, y + i, slope + i, t).y;

		CHECK(v >= before && v <= 0.999994 + 1e-12);
		before = v;
	}
}

int main(void)
{
	fan_laws();
	fox_shape();
	operating_point();
	speed_up();
	small_axial();
	refused();
	derivatives();
	joins();
	stopped();
	fritsch_carlson();
	return check_done();
}
