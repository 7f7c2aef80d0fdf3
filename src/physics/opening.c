/* SPDX-License-Identifier: MIT */
#include "physics/flow.h"

#include <assert.h>
#include <math.h>

static const double pi = 3.14159265358979323846; /* circle */

/* Crack between two parts.
 * Given: length along the seam > 0 m, width of the gap > 0 m, depth in flow direction > 0 m, right-angle bends >= 0.
 * Returned: lin = 12 z/(L d^3) 1/m3, quad = (1.5 + bends)/(2 d^2 L^2) 1/m4.
 * Valid range: parallel walls, depth well over width. Omits: the path being different for the two signs of dp (seen in
 *   L-shaped cracks), roughness, and that a real gap opens with pressure.
 * Source: Baker, Sharples & Ward 1987, Build. Environ. 22:293-304 (memory); the first term is plane Poiseuille flow.
 * Checked by: test/physics/test_opening.c. */
struct inw_resistance inw_crack(double length_m, double width_m, double depth_m, double bends)
{
	const double poiseuille = 12;  /* between parallel planes */
	const double ends = 1.5;       /* entry and exit loss, source above; each bend adds 1 */
	double area = length_m * width_m;

	assert(length_m > 0 && width_m > 0 && depth_m > 0 && bends >= 0);
	return (struct inw_resistance){
		.lin = poiseuille * depth_m / (area * width_m * width_m),
		.quad = (ends + bends) / (2 * area * area),
	};
}

/* dp = rho/2 (q/(cd A))^2, BS 5925:1991 clause 9 eq. (2) turned round */
static double orifice_quad(double area_m2, double cd)
{
	return 1 / (2 * cd * cd * area_m2 * area_m2);
}

/* Sharp round hole in a thin wall.
 * Given: diameter > 0 m, cd 0..1 (0.61 sharp, memory). Returned: lin = 24/D^3 1/m3, quad 1/m4.
 * Valid range: wall thinner than about a fifth of the diameter. Omits: the rise of cd between Re 10 and 1000; the sum
 *   of both limits is right at either end and within some 20 % between (memory).
 * Source: orifice: BS 5925:1991 cl. 9. Creeping flow: Sampson 1891, q = a^3 dp/(3 mu), a the radius (memory; follows
 *   from the harmonic function of a disc). Checked by: test/physics/test_opening.c. */
struct inw_resistance inw_hole(double diameter_m, double cd)
{
	const double sampson = 3; /* source above */
	double radius = diameter_m / 2;

	assert(diameter_m > 0 && cd > 0 && cd <= 1);
	return (struct inw_resistance){
		.lin = sampson / (radius * radius * radius),
		.quad = orifice_quad(pi * radius * radius, cd),
	};
}

/* Sharp slot in a thin wall.
 * Given: length > 0 m, width > 0 m and below the length, cd 0..1. Returned: lin = 32/(pi w^2 L) 1/m3, quad 1/m4.
 * Valid range: wall thinner than the width; else it is a crack. Omits: the two ends; as for the hole.
 * Source: orifice: BS 5925:1991 cl. 9. Creeping flow: Hasimoto 1958, J. Phys. Soc. Japan 13:633, q = pi w^2 L dp/(32
 *   mu) (memory; follows from v = dp/(4 mu) sqrt(c^2 - x^2), c = w/2).
 * Checked by: test/physics/test_opening.c. */
struct inw_resistance inw_slot(double length_m, double width_m, double cd)
{
	const double hasimoto = 32; /* source above */

	assert(width_m > 0 && length_m >= width_m && cd > 0 && cd <= 1);
	return (struct inw_resistance){
		.lin = hasimoto / (pi * width_m * width_m * length_m),
		.quad = orifice_quad(length_m * width_m, cd),
	};
}

/* Measured leak.
 * Given: C > 0 m3/s/Pa^n at 20 degC and 101325 Pa, n 0.5..1, dp Pa of either sign, rho kg/m3, mu Pa s of the air
 *   that flows.
 * Returned: q m3/s, odd, rising, C1 also at 0, with exact derivatives.
 * Method: q = C dp (dp^2 + dt^2)^((n-1)/2) with dt = 0.01 Pa: linear well below dt, C dp^n above; at 0.1 Pa 0.5 (1-n)
 *   % low. C = C0 (mu0/mu)^(2n-1) (rho0/rho)^(1-n). The three powers are taken as one: with a = mu0/mu and
 *   s = (dp^2 + dt^2)^(1/2) they are a (rho0/(rho s a^2))^(1-n).
 * Valid range: the pressures of the test that gave C and n. Omits: a direction that leaks more.
 * Source: ASTM E779 for the law and the correction to another air (memory). The smoothing is ours.
 * Checked by: test/physics/test_opening.c. */
struct inw_flow inw_power_law_flow(double C_m3s, double n, double dp_Pa, double rho_kgm3, double mu_Pas)
{
	const double rho0 = 1.2041, mu0 = 1.8134e-5; /* air at 20 degC, 101325 Pa: ideal gas and US Std Atm 1976 */
	const double dt_Pa = 0.01;                   /* ours: a tenth of what a good gauge resolves */
	double s2 = dp_Pa * dp_Pa + dt_Pa * dt_Pa;
	double thin = mu0 / mu_Pas, per_Pa;

	assert(C_m3s > 0 && n >= 0.5 && n <= 1); /* orifice .. Poiseuille */
	assert(rho_kgm3 > 0 && mu_Pas > 0);
	per_Pa = C_m3s * thin * pow(rho0 / (rho_kgm3 * sqrt(s2) * thin * thin), 1 - n);
	return (struct inw_flow){
		.q_m3s = per_Pa * dp_Pa,
		.dq_ddp = per_Pa * (1 + (n - 1) * dp_Pa * dp_Pa / s2),
		.dq_drho = -(1 - n) * per_Pa * dp_Pa / rho_kgm3,
		.dq_dmu = -(2 * n - 1) * per_Pa * dp_Pa / mu_Pas,
	};
}

/* ---- tall opening ----
 * One-way law h(x), x the dp at one height: 0 up to -SMOOTH_Pa, sqrt(x) from +SMOOTH_Pa, and between them the cubic
 * sqrt(SMOOTH_Pa) t^2 (2 - t), t = (x + SMOOTH_Pa)/(2 SMOOTH_Pa), which meets both with equal slope. The plain square
 * root has an infinite slope at 0, and outflow and inflow of different densities a kink there. Price: where dp
 * crosses zero each way gains SMOOTH_Pa^1.5/6 of area, 5e-6 Pa^1.5, against 2/3 x^1.5; 1e-4 at x = 0.2 Pa. At dp = 0
 * all over, both ways carry about 1 cm/s: less than the air of any room moves by itself (common practice, no source).
 * */
#define SMOOTH_Pa 1e-3

struct law { double h, slope; };

static struct law near_zero(double x)
{
	double t = (x + SMOOTH_Pa) / (2 * SMOOTH_Pa), root = sqrt(SMOOTH_Pa);

	return (struct law){.h = root * t * t * (2 - t), .slope = root * t * (4 - 3 * t) / (2 * SMOOTH_Pa)};
}

/* On a stretch of dp from `from` to `to`, tau running 0..1: mean of h, mean of h', mean of tau h' */
struct stretch { double h, slope, moment; };

/* Two Gauss points are exact for cubics, and h, h', tau h' are of third degree at most. */
static struct stretch stretch_near_zero(double from, double to)
{
	double half = 1 / sqrt(12); /* Gauss-Legendre points at 1/2 -+ 1/(2 sqrt 3), weights 1/2 */
	struct law a = near_zero(from + (0.5 - half) * (to - from));
	struct law b = near_zero(from + (0.5 + half) * (to - from));

	return (struct stretch){
		.h = (a.h + b.h) / 2,
		.slope = (a.slope + b.slope) / 2,
		.moment = (a.slope * (0.5 - half) + b.slope * (0.5 + half)) / 2,
	};
}

/* Means of sqrt(x), 1/(2 sqrt x), tau/(2 sqrt x), with (to - from) divided out by hand: no 0/0 for a short stretch */
static struct stretch stretch_orifice(double from, double to)
{
	double u = sqrt(from), v = sqrt(to), sum = u + v;

	return (struct stretch){
		.h = 2 * (u * u + u * v + v * v) / (3 * sum),
		.slope = 1 / sum,
		.moment = (2 * u + v) / (3 * sum * sum),
	};
}

/* Mean of h over dp from lo to hi, and its derivatives by both ends. */
struct mean { double h, by_lo, by_hi; };

static void mean_add(struct mean *m, double lo, double hi, int orifice)
{
	double from = orifice ? fmax(lo, SMOOTH_Pa) : fmax(lo, -SMOOTH_Pa);
	double to = orifice ? hi : fmin(hi, SMOOTH_Pa);
	double start = from > lo ? (from - lo) / (hi - lo) : 0;
	double share = (to < hi ? (to - lo) / (hi - lo) : 1) - start;
	struct stretch s = orifice ? stretch_orifice(from, to) : stretch_near_zero(from, to);
	double high = share * (start * s.slope + share * s.moment);

	m->h += share * s.h;
	m->by_hi += high;
	m->by_lo += share * s.slope - high;
}

static struct mean mean_over(double lo, double hi)
{
	struct mean m = {0};

	if (lo < SMOOTH_Pa && hi > -SMOOTH_Pa)
		mean_add(&m, lo, hi, 0);
	if (hi > SMOOTH_Pa || lo >= SMOOTH_Pa)
		mean_add(&m, lo, hi, 1);
	return m;
}

/* Tall opening.
 * Given: width, rise > 0 m, cd 0..1, dp at the lower edge Pa, slope Pa/m of either sign or 0 (dp falls by slope per
 *   metre upwards), densities of both sides > 0 kg/m3. mu is not used: the law is that of an orifice.
 * Returned: mass flow each way kg/s >= 0 and exact derivatives; C1 in all arguments. Neutral plane inside: both at
 *   once.
 * Method: the one-way law above, integrated over the height in closed form.
 * Valid range: openings taller than a few centimetres, layers well mixed on both sides.
 * Omits: mixing of the two streams at the neutral plane, contraction that differs with the share of each, turbulence.
 * Source: BS 5925:1991 cl. 9 eq. (2) per strip of height; the integral is that of Brown & Solvason 1962, Int. J. Heat
 *   Mass Transfer 5:859-868 (memory). The smoothing is ours.
 * Checked by: test/physics/test_opening.c. */
struct inw_two_way inw_tall_opening(double width_m, double rise_m, double cd, double dp_bottom_Pa, double slope_Pam,
	double rho_a, double rho_b, double mu)
{
	double top = dp_bottom_Pa - slope_Pam * rise_m;
	double lo = fmin(top, dp_bottom_Pa), hi = fmax(top, dp_bottom_Pa);
	struct mean ab = mean_over(lo, hi), ba = mean_over(-hi, -lo);
	double scale = cd * width_m * rise_m, a, b;
	int falls = slope_Pam >= 0; /* the top edge has the lower dp */

	(void)mu;
	assert(width_m > 0 && rise_m > 0 && cd > 0 && cd <= 1 && rho_a > 0 && rho_b > 0);
	a = scale * sqrt(2 * rho_a);
	b = scale * sqrt(2 * rho_b);
	return (struct inw_two_way){
		.ab_kgs = a * ab.h,
		.ba_kgs = b * ba.h,
		.dab_ddp = a * (ab.by_lo + ab.by_hi),
		.dba_ddp = -b * (ba.by_lo + ba.by_hi),
		.dab_dslope = -a * rise_m * (falls ? ab.by_lo : ab.by_hi),
		.dba_dslope = b * rise_m * (falls ? ba.by_hi : ba.by_lo),
		.dab_drho_a = a * ab.h / (2 * rho_a),
		.dba_drho_b = b * ba.h / (2 * rho_b),
	};
}
