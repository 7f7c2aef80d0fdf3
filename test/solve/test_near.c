/* SPDX-License-Identifier: MIT */
/* test_near.c: the air close by a box against the two-zone model of a room, solved apart from it. */
#include "check.h"

#include <math.h>

#include "physics/near.h"
#include "solve/near.h"

/* Nicas 1996; Keil, Simmons & Anthony 2009 (memory): V_F dC_F/dt = beta (C_N - C_F) - Q C_F, V_N dC_N/dt = G + beta (C_F - C_N). */
struct zones { double VF, VN, Q, beta, G; };

/* Both concentrations at t from clean air, by the eigenvalues of the two equations. */
static void two_zones(const struct zones *z, double t, double *far, double *near)
{
	double a = -(z->beta + z->Q) / z->VF, b = z->beta / z->VF, c = z->beta / z->VN, d = -z->beta / z->VN;
	double mean = (a + d) / 2, root = sqrt(mean * mean - (a * d - b * c)), l1 = mean + root, l2 = mean - root;
	double F = z->G / z->Q, N = F + z->G / z->beta; /* where both end; the departure from there dies away */
	/* eigenvectors (b, l - a); departure at 0: (-F, -N) */
	double det = b * (l2 - a) - b * (l1 - a), k1 = (-F * (l2 - a) + N * b) / det, k2 = (-N * b + F * (l1 - a)) / det;

	*far = F + k1 * b * exp(l1 * t) + k2 * b * exp(l2 * t);
	*near = N + k1 * (l1 - a) * exp(l1 * t) + k2 * (l2 - a) * exp(l2 * t);
}

/* The same by small steps, so that the solution above is itself checked. */
static void by_steps(const struct zones *z, double t, double *far, double *near)
{
	double f = 0, n = 0, h = 1e-3;
	for (long i = 0; i < lround(t / h); i++) {
		double df = (z->beta * (n - f) - z->Q * f) / z->VF, dn = (z->G + z->beta * (f - n)) / z->VN;
		f += h * df;
		n += h * dn;
	}
	*far = f;
	*near = n;
}

static void exchange(void)
{
	/* half a sphere of 1 m: 6.2832 m2; 3.86 m/min: 12.13 m3/min (the numbers of the AIHA book, memory; the product by hand) */
	CHECK_REL(inw_near_exchange_m3s(1, 3.86 / 60) * 60, 12.127, 1e-4, "1/2 surface x speed");
	CHECK_REL(inw_near_volume_m3(0.75), 0.88357, 1e-5, "2/3 pi r^3, by hand");
	/* its air is renewed 1.5 s/r times a second, whatever its size */
	for (double r = 0.5; r <= 1; r += 0.25)
		CHECK_REL(inw_near_exchange_m3s(r, 0.06) / inw_near_volume_m3(r), 1.5 * 0.06 / r, 1e-12, "beta/V");
}

static void steady(void)
{
	const struct zones z = {50, inw_near_volume_m3(0.75), 0.01, inw_near_exchange_m3s(0.75, 0.06), 1e-9};
	double far, near;

	two_zones(&z, 1e6, &far, &near);
	CHECK_REL(far, z.G / z.Q, 1e-9, "the room as if it were mixed");
	CHECK_REL(near, z.G / z.Q + z.G / z.beta, 1e-9, "G/Q + G/beta");
	CHECK_REL(inw_near_concentration(far, z.beta, 0, z.G), near, 1e-9, "the two-zone model's steady state");
	CHECK_REL(inw_near_concentration(far, 1e9, 0, z.G), far, 1e-9, "exchange without end: the room");
	/* what comes with its own air: never more than that air holds, as much when it alone fills the zone */
	CHECK_REL(inw_near_concentration(1, 1e-9, 1, 7), 7, 1e-8, "the source's air alone");
	CHECK(inw_near_concentration(1, 0.1, 1, 7) < 7 && inw_near_concentration(1, 0.1, 1, 7) > 1);
	CHECK_REL(inw_near_concentration(2, 0.3, 0.1, 0.1 * 2), 2, 1e-12, "the same air in and about changes nothing");
}

/* After five turnovers of its own air the near zone follows what the balance at rest says of the mixed room's own rise. */
static void transient(void)
{
	const double radius[] = {0.5, 0.75, 1}, speed[] = {0.03, 0.06, 0.3};
	double far, near, f, n;

	for (int i = 0; i < 3; i++)
		for (int k = 0; k < 3; k++) {
			const struct zones z = {30, inw_near_volume_m3(radius[i]), 0.02, inw_near_exchange_m3s(radius[i], speed[k]), 1e-9};
			double turnover = z.VN / z.beta;
			CHECK(turnover < 30); /* s: far below the quarter of an hour over which anything is judged */
			two_zones(&z, 20, &far, &near);
			by_steps(&z, 20, &f, &n);
			CHECK_REL(far, f, 1e-3, "Euler's steps, 1 ms");
			CHECK_REL(near, n, 1e-3, "Euler's steps, 1 ms");
			for (double t = 5 * turnover; t < 4000; t *= 2) {
				/* the room alone, mixed, as a day follows it */
				double room = z.G / z.Q * (1 - exp(-z.Q / z.VF * t));
				two_zones(&z, t, &far, &near);
				/* Of what the source adds to its own zone: e^-5 has still to come; the zone's air fills with the room's (dC/dt
				 * = G/V_F, so V_N/V_F of G goes into it); what it stores the room gets later by a turnover (V_N/V_F again).
				 * Of the room's own: the zone's share of the volume. Ours leaves all that out, and so is never lower. */
				double own = z.G / z.beta, small = z.VN / z.VF, ours = inw_near_concentration(room, z.beta, 0, z.G);
				CHECK_ABS(ours, near, (exp(-5) + 2 * small) * own + small * far, "two-zone model in time");
				CHECK(ours >= near);
			}
		}
}

/* What of a solved state comes into the near zone. */
static void sources(void)
{
	static struct inw_solution sol;
	struct inw_near n = {.exchange = 0.1, .gaps = 0.02, .exhaust = 0.03, .cleaned = 1};

	/* by hand: (0.1 x 1 + 0.02 x 10 + 0.03 x 4) / 0.15 */
	CHECK_REL(inw_near_ratio(&n, 1, 10, 4), 0.42 / 0.15, 1e-12, "by hand");
	n.cleaned = 0.5; /* half of the exhaust is box air: 7 */
	CHECK_REL(inw_near_ratio(&n, 1, 10, 4), 0.51 / 0.15, 1e-12, "by hand");

	memset(&sol, 0, sizeof sol);
	sol.m.rooms = 2;
	sol.m.box_room = 1;
	sol.m.p_site = 101325;
	sol.m.room[0].T = sol.m.room[1].T = 293.15;
	sol.s.T_room[0] = sol.s.T_room[1] = -1;
	sol.s.m_exhaust = 0;
	sol.s.m_clean = 1;
	sol.s.m_return = 2;
	sol.y[0] = 0.004;
	sol.y[1] = 0.006;
	sol.y[2] = -0.002; /* box air comes up the return */
	sol.m.gaps = 3;
	sol.m.gap[0].room = 1;
	sol.m.gap[1].room = 0; /* into the other room */
	sol.m.gap[2].room = 1;
	sol.f.gap_out[0] = 0.001;
	sol.f.gap_out[1] = 0.5;
	sol.f.gap_out[2] = 0.002;
	sol.m.exhaust_to = 0;
	n = inw_near_now(&sol, 1, 0.06);
	CHECK_REL(n.gaps, 0.003, 1e-12, "gaps to the box's own room");
	CHECK_ABS(n.exhaust, 0, 0, "the exhaust ends elsewhere");
	CHECK_REL(n.cleaned, 0.75, 1e-12, "6 of 8");
	CHECK_REL(n.exchange, 3.14159265 * 0.06 * 1.2041, 1e-3, "1.2041 kg/m3 at 20 degC (ASTM E779)");
	sol.m.exhaust_to = 1;
	CHECK_REL(inw_near_now(&sol, 1, 0.06).exhaust, 0.004, 1e-12, "the exhaust ends in the box's room");
	sol.y[0] = -0.004; /* it draws air in */
	CHECK_ABS(inw_near_now(&sol, 1, 0.06).exhaust, 0, 0, "no source");
}

int main(void)
{
	exchange();
	steady();
	transient();
	sources();
	return check_done();
}
