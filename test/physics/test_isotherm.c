/* SPDX-License-Identifier: MIT */
/* test_isotherm.c: isotherm.c against the laws it is made of, published capacities, differences for Jacobians, and
 * what is known of mixtures and humid air.
 */
#include "../check.h"
#include "physics/clean.h"
#include "physics/isotherm.h"

#define W0 0.454e-3
#define STRUCTURE 3.56e-5
#define T_ROOM 295.15

struct vapour {
	const char *name;
	double M, d, n, torr; /* g/mol, g/cm3, n_D, vapour pressure at 22 degC: handbook values (memory) */
};

static const struct vapour toluene = { "toluene", 92.14, .865, 1.4961, 24.3 };
static const struct vapour ethanol = { "ethanol", 46.07, .787, 1.3611, 49.5 };
static const struct vapour xylene = { "m-xylene", 106.17, .862, 1.4972, 7.0 };

static double refraction(const struct vapour *v)
{
	return inw_molar_refraction_m3mol(v->n, v->M * 1e-3, v->d * 1e3);
}

static struct inw_isotherm on_carbon(const struct vapour *v)
{
	return inw_isotherm_dubinin(v->torr * 133.322, inw_dubinin_curvature(W0, STRUCTURE, refraction(v), T_ROOM));
}

/* both directions and both derivatives of one substance */
static void consistent(const struct inw_isotherm *s, double low, double high)
{
	double before = 0;

	for (double p = low; p < high; p *= 1.37) {
		const struct inw_isotherm_value f = inw_isotherm_filling(s, p), back = inw_isotherm_pressure(s, f.y);
		const double e = 1e-5, up = inw_isotherm_filling(s, p * (1 + e)).y, down = inw_isotherm_filling(s,
			p * (1 - e)).y;

		CHECK(f.y > before);
		CHECK_REL(back.y, p, 1e-11, "I1");
		CHECK_REL(back.dy * f.dy, 1, 1e-9, "I1, slopes");
		CHECK_REL((up - down) / (2 * e * p), f.dy, 1e-6, "central difference");
		before = f.y;
	}
}

static void dubinin(void)
{
	const struct vapour *all[] = { &toluene, &ethanol, &xylene };

	for (int i = 0; i < 3; i++) {
		const struct inw_isotherm s = on_carbon(all[i]);
		const double B = inw_dubinin_curvature(W0, STRUCTURE, refraction(all[i]), T_ROOM), p = s.join_Pa;

		/* ethanol at 1 ppm is on Henry's line */
		for (double ppm = s.join_Pa < 0.1 ? 1 : 10; ppm < 2000; ppm *= 10)
			CHECK_REL(inw_isotherm_filling(&s, ppm * .101325).y * W0 * all[i]->d * 1e3,
				inw_dr_capacity(W0, STRUCTURE, refraction(all[i]), all[i]->d * 1e3, T_ROOM,
					ppm * .101325 / s.psat_Pa),
				1e-12, "inw_dr_capacity");
		/* the join: where the law's own logarithmic slope is 1 */
		CHECK_REL(2 * B * log(s.psat_Pa / p), 1, 1e-12, "closed form");
		CHECK_REL(inw_isotherm_filling(&s, p * (1 + 1e-9)).y, inw_isotherm_filling(&s, p * (1 - 1e-9)).y,
			3e-9, "I2, value");
		CHECK_REL(inw_isotherm_filling(&s, p * (1 + 1e-9)).dy, inw_isotherm_filling(&s, p * (1 - 1e-9)).dy,
			3e-9, "I2, slope");
		CHECK_REL(inw_isotherm_filling(&s, p / 1e6).y, s.join_filling / 1e6, 1e-12, "I2, Henry");
		CHECK(inw_isotherm_filling(&s, 0).y == 0 && inw_isotherm_filling(&s, 0).dy > 0);
		CHECK(inw_isotherm_filling(&s, s.psat_Pa).y == 1);
		CHECK(isnan(inw_isotherm_filling(&s, s.psat_Pa * 1.001).y) && isnan(inw_isotherm_filling(&s, -1).y));
		CHECK(isnan(inw_isotherm_pressure(&s, 1.001).y));
		/* no capacity is added or lost but below the join: the line lies above the law there, by convexity */
		CHECK(inw_isotherm_filling(&s, p / 10).y > inw_dr_capacity(W0, STRUCTURE, refraction(all[i]), 1 / W0,
			T_ROOM,
			p / 10 / s.psat_Pa));
		consistent(&s, s.join_Pa / 100, s.psat_Pa * 0.99);
	}
	/* toluene, kg/kg at ppm (0.454 cm3/g, 3.56e-5, 22 degC), worked independently */
	const double ppm[] = { 1000, 100, 10, 1, 0.1, 0.01 }, printed[] = { .342, .269, .187, .115, .063, .030 };
	const struct inw_isotherm s = on_carbon(&toluene);
	for (int i = 0; i < 6; i++)
		CHECK_ABS(inw_isotherm_filling(&s, ppm[i] * .101325).y * W0 * 865, printed[i], 0.0012,
			"Wood 1994, worked independently");
}

static void points(void)
{
	/* EPA Freundlich set for toluene at 77 degF (Kuo table 7.1): q = 0.551 P^0.110, P psia, as points */
	double p[6], f[6], x[6], y[6], slope[6];
	const double psat = 3804, T = 298.15, psia = 6894.757, volume = 0.5e-3;

	for (int i = 0; i < 6; i++) {
		p[i] = 1e-4 * psia * pow(3.46, i);
		f[i] = 0.551 * pow(p[i] / psia, 0.110) / (volume * 865);
	}
	CHECK(inw_isotherm_prepare(p, f, 6, psat, x, y, slope) == 0);
	const struct inw_isotherm s = inw_isotherm_points(psat, T, T, x, y, slope, 6);
	for (int i = 0; i < 6; i++)
		CHECK_REL(inw_isotherm_filling(&s, p[i] * (1 + 1e-15)).y, f[i], 1e-12, "the points themselves");
	/* between the inner points a power law is kept; near the first the curve leaves it for Henry */
	CHECK_REL(inw_isotherm_filling(&s, sqrt(p[2] * p[3])).y, 0.551 * pow(sqrt(p[2] * p[3]) / psia,
		0.110) / (volume * 865),
		1e-3, "EPA Freundlich, Kuo table 7.1");
	/* beyond the last point no more than a twentieth is credited, and all of that only as good as saturated */
	CHECK_REL(inw_isotherm_filling(&s, p[5] * (1 + 1e-9)).y, f[5], 1e-8, "no jump");
	CHECK(inw_isotherm_filling(&s, p[5] * 1.2).y < f[5] * 1.05 * (1 - 1e-3) && inw_isotherm_filling(&s, p[5] * 1.2).y > f[5]);
	CHECK(inw_isotherm_filling(&s, p[5] * 1.2).y < f[5] * pow(1.2, 0.110)); /* less than a law that goes on would */
	CHECK_REL(inw_isotherm_filling(&s, psat).y, f[5] * 1.05, 1e-12, "at saturation");
	CHECK_REL(inw_isotherm_pressure(&s, (1 + 1.05 * f[5]) / 2).y, psat, 1e-12, "where others fill the pores further");
	CHECK_REL(inw_isotherm_filling(&s, p[0] / 100).y, f[0] / 100, 1e-12, "Henry below the first");
	CHECK_REL(inw_isotherm_filling(&s, p[0] * (1 + 1e-9)).dy, f[0] / p[0], 1e-6, "I2, slope");
	consistent(&s, p[0] / 100, p[5] * 1.5);
	/* warmer: the same potential T ln(psat/p) at the same filling (Polanyi) */
	const struct inw_isotherm warm = inw_isotherm_points(2 * psat, 310, T, x, y, slope, 6);
	CHECK_REL(310 * log(2 * psat / inw_isotherm_pressure(&warm, f[3]).y), T * log(psat / p[3]), 1e-10, "Polanyi");
	consistent(&warm, inw_isotherm_pressure(&warm, f[0]).y * 1.01, inw_isotherm_pressure(&warm, f[5]).y);
	/* not points */
	double bad[6];
	memcpy(bad, f, sizeof bad);
	bad[3] = bad[2];
	CHECK(inw_isotherm_prepare(p, bad, 6, psat, x, y, slope) == -1);
	CHECK(inw_isotherm_prepare(p, f, 1, psat, x, y, slope) == -1);
	CHECK(inw_isotherm_prepare(p, f, 6, p[4], x, y, slope) == -1);
	memcpy(bad, f, sizeof bad);
	bad[5] = 0.96;
	CHECK(inw_isotherm_prepare(p, bad, 6, psat, x, y, slope) == -1);
}

/* saturation of water at 22 degC 2645 Pa (Hyland & Wexler, ASHRAE tables) */
static const double psat_water = 2645;

static void water(void)
{
	for (double c = 1.3; c < 2.6; c += 0.3)
		for (double sites = 0.005; sites < 0.06; sites *= 3) {
			const struct inw_isotherm s = inw_isotherm_water(psat_water, c, sites);
			double steepest = 0, at = 0;

			CHECK_REL(inw_isotherm_filling(&s, psat_water).y, 1, 1e-12, "full at saturation");
			consistent(&s, psat_water * 1e-6, psat_water * 0.999);
			CHECK_REL(inw_isotherm_filling(&s, 1e-6).y, 1e-6 * inw_isotherm_filling(&s, 0).dy, 1e-6, "I2");
			for (double rh = 0.01; rh < 1; rh += 0.01)
				if (inw_isotherm_filling(&s, rh * psat_water).dy > steepest) {
					steepest = inw_isotherm_filling(&s, rh * psat_water).dy;
					at = rh;
				}
			/* type V: first hollow, then steep in the middle */
			CHECK(at > 0.25 && at < 0.99 && steepest > 2 * inw_isotherm_filling(&s, 0).dy);
		}
	for (double half = 0.2; half < 0.86; half += 0.05)
		for (double sites = 1e-4; sites < 0.1; sites *= 4) {
			const double c = inw_isotherm_water_c(half, sites);
			const struct inw_isotherm s = inw_isotherm_water(psat_water, c, sites);

			CHECK(c >= 1);
			CHECK_REL(inw_isotherm_filling(&s, half * psat_water).y, 0.5, 1e-12, "half of the pores at that humidity");
		}
	/* little water below 50 % (Owen 1995: no effect on toluene), most of the pores at 90 % */
	const struct inw_isotherm s = inw_isotherm_water(psat_water, 1.7, 0.02);
	CHECK(inw_isotherm_filling(&s, 0.3 * psat_water).y < 0.05 && inw_isotherm_filling(&s,
		0.5 * psat_water).y < 0.15);
	CHECK(inw_isotherm_filling(&s, 0.9 * psat_water).y > 0.6);
}

static struct inw_pores mixture_of(int n, int water)
{
	const struct vapour *all[] = { &toluene, &ethanol, &xylene };
	struct inw_pores s = { .n = n + water, .water = water ? n : -1, .volume_m3kg = W0 };

	for (int i = 0; i < n; i++) {
		s.alone[i] = on_carbon(all[i]);
		s.liquid_kgm3[i] = all[i]->d * 1e3;
	}
	s.alone[n] = inw_isotherm_water(psat_water, 1.7, 0.02);
	s.liquid_kgm3[n] = 998;
	return s;
}

/* inverses of each other, exact Jacobians, and the Jacobians inverses as well */
static void both_ways(const struct inw_pores *s, const double *p)
{
	const int n = s->n;
	double q[4], back[4], J[16], K[16];

	CHECK(inw_pores_loading(s, p, q, J) == 0 && inw_pores_pressure(s, q, back, K) == 0);
	for (int i = 0; i < n; i++)
		CHECK_REL(back[i], p[i], 1e-9, "I1, mixture");
	for (int i = 0; i < n; i++)
		for (int j = 0; j < n; j++) {
			const double e = 3e-5;
			double up[4], down[4], to[4], t = 0, size = 0;

			memcpy(to, p, sizeof *p * (size_t)n);
			to[j] = p[j] * (1 + e);
			CHECK(inw_pores_loading(s, to, up, NULL) == 0);
			to[j] = p[j] * (1 - e);
			CHECK(inw_pores_loading(s, to, down, NULL) == 0);
			CHECK_ABS(J[i * n + j], (up[i] - down[i]) / (2 * e * p[j]), 1e-6 * fabs(J[i * n + j])
				+ 1e-9 * q[i] / p[j], "difference");
			for (int k = 0; k < n; k++) {
				t += K[i * n + k] * J[k * n + j];
				size += fabs(K[i * n + k] * J[k * n + j]);
			}
			CHECK_ABS(t, i == j, 1e-9 * size, "Jacobians are inverse");
			/* displacement, I5; none between vapours that are all in their Henry range, I4 */
			CHECK(i == j ? J[i * n + j] > 0 : J[i * n + j] <= 0);
			CHECK(i == j ? K[i * n + j] > 0 : K[i * n + j] >= 0);
		}
}

static void mixture(void)
{
	const struct inw_pores s = mixture_of(3, 0);
	double q[4], J[16];

	for (double a = 1e-7; a < 200; a *= 30)
		for (double b = 1e-7; b < 200; b *= 30)
			for (double c = 1e-7; c < 100; c *= 30)
				both_ways(&s, (double[]){ a, b, c });
	/* I3 */
	CHECK(inw_pores_loading(&s, (double[]){ 10, 0, 0 }, q, J) == 0);
	CHECK_REL(q[0], inw_isotherm_filling(&s.alone[0], 10).y * W0 * 865, 1e-12, "I3");
	CHECK(q[1] == 0 && q[2] == 0);
	/* I4: at zero loading, and there the cross terms vanish */
	CHECK(inw_pores_loading(&s, (double[]){ 0, 0, 0 }, q, J) == 0 && q[0] == 0);
	for (int i = 0; i < 3; i++)
		for (int j = 0; j < 3; j++)
			CHECK_ABS(J[i * 3 + j], i == j ? inw_isotherm_filling(&s.alone[i],
				0).dy * W0 * s.liquid_kgm3[i] : 0,
				1e-12 * J[i * 4], "I4");
	/* Two equal substances are one at the sum of pressures, in equal parts: any sound rule of mixtures says so */
	struct inw_pores twins = mixture_of(1, 0);
	twins.n = 2;
	twins.alone[1] = twins.alone[0];
	twins.liquid_kgm3[1] = twins.liquid_kgm3[0];
	CHECK(inw_pores_loading(&twins, (double[]){ 3, 7 }, q, NULL) == 0);
	CHECK_REL(q[0] + q[1], inw_isotherm_filling(&s.alone[0], 10).y * W0 * 865, 1e-9, "twins");
	CHECK_REL(q[0] / q[1], 3.0 / 7, 1e-9, "twins");
	/* heavy displaces light: ethanol at 10 Pa with xylene at 10 Pa keeps less than a third */
	double alone[4];
	CHECK(inw_pores_loading(&s, (double[]){ 0, 10, 0 }, alone, NULL) == 0 && inw_pores_loading(&s, (double[]){ 0,
		10, 10 }, q, NULL) == 0);
	CHECK(q[1] < alone[1] / 3);
	/* nothing to be had */
	CHECK(inw_pores_loading(&s, (double[]){ 1e5, 0, 0 }, q, NULL) == 1);
	CHECK(inw_pores_loading(&s, (double[]){ 0.7 * s.alone[0].psat_Pa, 0.7 * s.alone[1].psat_Pa, 0 }, q, NULL) == 1);
	CHECK(inw_pores_pressure(&s, (double[]){ 0.3, 0.2, 0 }, q, NULL) == 1);
}

static void humid(void)
{
	const struct inw_pores s = mixture_of(1, 1);
	double q[4], dry[4];

	for (double rh = 1e-3; rh < 0.99; rh = rh < 0.1 ? rh * 5 : rh + 0.11)
		for (double p = 1e-7; p < 1000; p *= 20)
			both_ways(&s, (double[]){ p, rh * psat_water });
	/* I3 for water */
	CHECK(inw_pores_loading(&s, (double[]){ 0, 0.7 * psat_water }, q, NULL) == 0);
	CHECK_REL(q[1], inw_isotherm_filling(&s.alone[1], 0.7 * psat_water).y * W0 * 998, 1e-12, "I3");
	/* Practical rule (memory): full capacity to 50 % humidity (a tenth is allowed here), 0.3 to 0.6 of it at 80 to
	 * 90 % for ppm-level vapours; asked of the middle of that range */
	CHECK(inw_pores_loading(&s, (double[]){ 0.1, 0 }, dry, NULL) == 0);
	CHECK(inw_pores_loading(&s, (double[]){ 0.1, 0.5 * psat_water }, q, NULL) == 0);
	CHECK(q[0] / dry[0] > 0.88 && q[0] < dry[0]);
	CHECK(inw_pores_loading(&s, (double[]){ 0.1, 0.85 * psat_water }, q, NULL) == 0);
	printf("toluene at 1 ppm: %.2f of the dry capacity at 85 %% humidity\n", q[0] / dry[0]);
	CHECK(q[0] / dry[0] > 0.2 && q[0] / dry[0] < 0.7);
	/* thinly loaded vapours lose more than richly loaded ones (Owen 1995, Wood 2004) */
	double rich[4], rich_humid[4];
	CHECK(inw_pores_loading(&s, (double[]){ 300, 0 }, rich, NULL) == 0 && inw_pores_loading(&s, (double[]){ 300,
		0.85 * psat_water }, rich_humid, NULL) == 0);
	CHECK(rich_humid[0] / rich[0] > q[0] / dry[0]);
}

int main(void)
{
	dubinin();
	points();
	water();
	mixture();
	humid();
	return check_done();
}
