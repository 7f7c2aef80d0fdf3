/* SPDX-License-Identifier: MIT */
/* test_sorption.c: vapour.c and sorption.c against published tables.
 *
 * Sources: P8 = Perry's Chemical Engineers' Handbook, 8th ed., table 2-8; PPO = Poling, Prausnitz & O'Connell, 5th ed.,
 * appendix A; AP-42 = US EPA, table 7.1-3 (the three read in an open transcription). Wood = Wood 1994, AIHA J. 55:11,
 * as tabulated by OSHA; N&C = Nelson & Correia 1976, AIHA J. 37:514, as compared by OSHA. Kuo = Kuo, Practical Design
 * Calculations for Groundwater and Soil Remediation, 2nd ed. Tan = Tan, Air Pollution and Greenhouse Gases, 2014.
 */
#include "../check.h"
#include "physics/clean.h"

#define TORR 133.322
#define PSI 6894.757
#define CELSIUS(t) ((t) + 273.15)
#define FAHRENHEIT(t) (((t) + 459.67) / 1.8)
#define COUNT(a) (sizeof(a) / sizeof((a)[0]))

/* ---- vapours ---- */

static double antoine_mmHg_C(double A, double B, double C, double T_K)
{
	const double c[3] = { A + log10(TORR), B, C - 273.15 };

	return inw_vapour_antoine_Pa(c, T_K);
}

/* expected: worked from the printed coefficients independently, given to four digits (three for the first two) */
static void vapour_pressures(void)
{
	static const struct {
		const char *name;
		double c[5], at20, at25, at60;
	} perry[] = {
		{ "styrene", { 105.93, -8685.9, -12.42, 7.5583e-6, 2 }, 599, 817, 5188 },
		{ "ethylbenzene", { 89.063, -7733.7, -9.917, 5.986e-6, 2 }, 954, 1278, 7403 },
		{ "toluene", { 76.945, -6729.8, -8.179, 5.3017e-6, 2 }, 2926, 3804, 18480 },
		{ "m-xylene", { 85.099, -7615.9, -9.3072, 5.5643e-6, 2 }, 834, 1120, 6598 },
		{ "methyl methacrylate", { 107.36, -8085.3, -12.72, 8.3307e-6, 2 }, 3778, 4959, 25090 },
		{ "formaldehyde", { 101.51, -4917.2, -13.765, 0.022031, 1 }, 4.4e5, 5.2e5, 1.4e6 },
		{ "acetaldehyde", { 193.69, -8036.7, -29.502, 0.043678, 1 }, 97510, 116600, 0 },
		{ "acrolein", { 138.4, -7122.7, -19.638, 0.026447, 1 }, 29690, 36540, 128300 },
		{ "benzene", { 83.107, -6486.2, -9.2194, 6.9844e-6, 2 }, 9985, 12640, 52110 },
		{ "acrylonitrile", { 87.604, -6392.7, -10.101, 1.0891e-5, 2 }, 11530, 14470, 57040 },
		{ "1,3-butadiene", { 75.572, -4621.9, -8.5323, 1.2269e-5, 2 }, 2.41e5, 2.81e5, 0 },
		{ "phenol, undercooled", { 95.444, -10113, -10.09, 6.7603e-18, 6 }, 38, 57, 658 },
		{ "2-propanol", { 96.094, -8575.4, -10.292, 1.6665e-17, 6 }, 4387, 6027, 39910 },
		{ "acetone", { 69.006, -5599.6, -7.0985, 6.2237e-6, 2 }, 24710, 30750, 115400 },
		{ "hexanal", { 81.507, -7776.8, -8.4516, 1.5143e-17, 6 }, 1072, 1451, 8889 },
	};
	static const struct {
		const char *name;
		double c[3], at25;
	} poling[] = {
		{ "acetone", { 9.2184, 1197.01, -45.09 }, 30780 },
		{ "2-propanol", { 10.24268, 1580.92, -53.54 }, 6021 },
		{ "1,3-butadiene", { 8.9664, 927.21, -34.52 }, 2.81e5 },
		{ "benzene", { 8.98523, 1184.24, -55.578 }, 12680 },
		{ "phenol, extrapolated", { 9.2696, 1523.42, -97.75 }, 46.5 },
		{ "toluene", { 9.05043, 1327.62, -55.525 }, 3789 },
		{ "ethylbenzene", { 9.06861, 1415.77, -60.85 }, 1266 },
		{ "m-xylene", { 9.14051, 1468.703, -57.03 }, 1120 },
	};

	for (unsigned i = 0; i < COUNT(perry); i++) {
		const double half = perry[i].at20 < 1000 ? 0.5 / perry[i].at20 : perry[i].at20 > 2e5 ? 0.012 : 5e-4;

		CHECK_REL(inw_vapour_dippr101_Pa(perry[i].c, CELSIUS(20)), perry[i].at20, half, perry[i].name);
		CHECK_REL(inw_vapour_dippr101_Pa(perry[i].c, CELSIUS(25)), perry[i].at25, half, perry[i].name);
		if (perry[i].at60 > 0) {
			const double digits = perry[i].at60 > 1e6 ? 0.036 : perry[i].at60 < 1000 ? 8e-4 : 5e-4;

			CHECK_REL(inw_vapour_dippr101_Pa(perry[i].c, CELSIUS(60)), perry[i].at60, digits, perry[i].name);
		}
	}
	for (unsigned i = 0; i < COUNT(poling); i++)
		CHECK_REL(inw_vapour_antoine_Pa(poling[i].c, CELSIUS(25)), poling[i].at25, i == 2 || i == 4 ? 2e-3 : 5e-4,
			poling[i].name);
	CHECK_REL(antoine_mmHg_C(7.095, 1525.1, 216.77, CELSIUS(25)), 816, 1e-3, "AP-42 styrene");
	CHECK_REL(antoine_mmHg_C(8.253, 1945.6, 265.58, CELSIUS(25)), 4812, 1e-3, "AP-42 methyl methacrylate");
	CHECK_REL(antoine_mmHg_C(3.958, 376.4, 104.65, CELSIUS(25)), 1513, 1e-3, "AP-42 cyclopentanone");
	CHECK_REL(antoine_mmHg_C(6.942, 1255.9, 231.3, CELSIUS(25)), 14680, 1e-3, "AP-42 acrylonitrile");
}

/* normal boiling points: the same laws at 101325 Pa against temperatures that everyone prints */
static void boiling_points(void)
{
	const double toluene[5] = { 76.945, -6729.8, -8.179, 5.3017e-6, 2 },
		acetone[5] = { 69.006, -5599.6, -7.0985, 6.2237e-6, 2 };
	const double benzene[3] = { 8.98523, 1184.24, -55.578 };

	CHECK_REL(inw_vapour_dippr101_Pa(toluene, CELSIUS(110.63)), 101325, 0.003, "toluene boils at 110.6 degC (memory)");
	CHECK_REL(inw_vapour_dippr101_Pa(acetone, CELSIUS(56.08)), 101325, 0.003, "acetone boils at 56.1 degC (memory)");
	CHECK_REL(inw_vapour_antoine_Pa(benzene, CELSIUS(80.09)), 101325, 0.003, "benzene boils at 80.1 degC (memory)");
}

static void vapour_point(void)
{
	const double toluene[5] = { 76.945, -6729.8, -8.179, 5.3017e-6, 2 };
	/* heat of vaporisation of toluene at 25 degC 38.0 kJ/mol (memory): from 25 to 35 degC the relation must meet P8 */
	const double p25 = inw_vapour_dippr101_Pa(toluene, CELSIUS(25));

	CHECK_REL(inw_vapour_point_Pa(0.25, 298.15, 7e4, 298.15), 0.25, 1e-15, "the point itself");
	CHECK_REL(inw_vapour_point_Pa(p25, CELSIUS(25), 38000, CELSIUS(35)), inw_vapour_dippr101_Pa(toluene, CELSIUS(35)),
		0.005, "P8 toluene");
	CHECK_REL(inw_vapour_point_Pa(p25, CELSIUS(25), 38000, CELSIUS(15)), inw_vapour_dippr101_Pa(toluene, CELSIUS(15)),
		0.005, "P8 toluene");
	/* water at 20 and 25 degC: 2339 and 3169 Pa, heat of vaporisation at 22.5 degC 2448 kJ/kg (steam tables, memory) */
	CHECK_REL(inw_vapour_heat_Jmol(2339, CELSIUS(20), 3169, CELSIUS(25)), 2448e3 * 18.015e-3, 0.003, "steam tables");
	CHECK_REL(inw_vapour_heat_Jmol(p25, CELSIUS(25), inw_vapour_dippr101_Pa(toluene, CELSIUS(26)), CELSIUS(26)), 38000, 0.02,
		"toluene (memory)");
}

static void diffusivity(void)
{
	CHECK_REL(inw_diffusivity_m2s(8.2e-6, 298.15, 101325), 8.2e-6, 1e-15, "the reference point");
	CHECK_REL(inw_diffusivity_m2s(8.2e-6, 298.15, 101325 / 2.0), 16.4e-6, 1e-14, "inverse to pressure");
	/* water vapour in air, tables in common use: 0.219 cm2/s at 0 degC, 0.256 at 25 degC; exponent 1.75 to 1.81 */
	CHECK_REL(inw_diffusivity_m2s(0.256e-4, 273.15, 101325), 0.219e-4, 0.01, "water vapour in air (memory)");
}

/* printed with n_D by CRC Handbook and density at 15.6 degC by AP-42; the printed refraction used the density at the
 * temperature of n_D, so 1 % is left for the expansion over up to 10 K. Butadiene (-25 degC) and phenol (41 degC) are
 * too far off. */
static void refractions(void)
{
	static const struct {
		const char *name;
		double M, rho, n, refraction;
	} liquid[] = {
		{ "styrene", 104.15, 0.906, 1.5440, 36.5 }, { "ethylbenzene", 106.17, 0.868, 1.4930, 35.8 },
		{ "toluene", 92.14, 0.868, 1.4941, 31.1 }, { "m-xylene", 106.17, 0.864, 1.4944, 36.0 },
		{ "methyl methacrylate", 100.12, 0.944, 1.4142, 26.7 }, { "acetaldehyde", 44.05, 0.784, 1.3316, 11.5 },
		{ "acrolein", 56.06, 0.840, 1.4017, 16.2 }, { "benzene", 78.11, 0.877, 1.5011, 26.3 },
		{ "acrylonitrile", 53.06, 0.806, 1.3911, 15.8 }, { "2-propanol", 60.10, 0.781, 1.3776, 17.6 },
		{ "acetone", 58.08, 0.785, 1.3588, 16.2 }, { "hexanal", 100.16, 0.834, 1.4039, 29.4 },
		{ "cyclopentanone", 84.12, 0.949, 1.4366, 23.2 },
	};

	for (unsigned i = 0; i < COUNT(liquid); i++)
		CHECK_REL(inw_molar_refraction_m3mol(liquid[i].n, liquid[i].M * 1e-3, liquid[i].rho * 1e3) * 1e6,
			liquid[i].refraction, 0.0125, liquid[i].name);
	CHECK_REL(inw_molar_refraction_m3mol(1.5011, 78.11e-3, 876.5) * 1e6, 26.3, 0.005,
		"benzene 26.3, Wood 2001's reference (memory)");
}

/* ---- capacity ---- */

struct vapour {
	const char *name;
	double M, d, n, torr; /* g/mol, g/cm3, n_D, vapour pressure at 22 degC: handbook values (memory) */
};

static const struct vapour toluene = { "toluene", 92.14, .865, 1.4961, 24.3 };

#define T_OSHA 295.15 /* K, 22 degC */

static double refraction(const struct vapour *v)
{
	return inw_molar_refraction_m3mol(v->n, v->M * 1e-3, v->d * 1e3);
}

static double capacity(const struct vapour *v, double W0, double structure, double ppm)
{
	return inw_dr_capacity(W0, structure, refraction(v), v->d * 1e3, T_OSHA, ppm * 1e-6 * 760 / v->torr);
}

static void capacities(void)
{
	const double ppm[] = { 1000, 100, 10, 1, 0.1, 0.01 }, printed[] = { .342, .269, .187, .115, .063, .030 };
	double before = 0;

	for (int i = 0; i < 6; i++)
		CHECK_ABS(capacity(&toluene, 0.454e-3, 3.56e-5, ppm[i]), printed[i], 0.0012,
			"Wood 1994 with W0 0.454, b' 3.56e-5, worked independently");
	CHECK(inw_dr_capacity(0.454e-3, 3.56e-5, 31e-6, 865, 295, 0) == 0);
	CHECK_REL(inw_dr_capacity(0.454e-3, 3.56e-5, 31e-6, 865, 295, 1), 0.454e-3 * 865, 1e-15, "full micropores (B1)");
	CHECK(isnan(inw_dr_capacity(0.454e-3, 3.56e-5, 31e-6, 865, 295, 1.0001)) &&
		isnan(inw_dr_capacity(0.454e-3, 3.56e-5, 31e-6, 865, 295, -1e-9)));
	for (double x = 1e-12; x < 1; x *= 1.5) {
		const double now = inw_dr_capacity(0.454e-3, 3.56e-5, 31e-6, 865, 295, x);

		CHECK(now > before);
		CHECK(inw_dr_capacity(0.454e-3, 3.56e-5, 31e-6, 865, 315, x) < now); /* a hot bed holds less */
		before = now;
	}
}

/* D-R with b' rewritten as a characteristic energy: E0 = Pe_benzene^0.90/sqrt(b' W0) in cal/mol, printed 19.7 and 19.2
 * kJ/mol */
static void characteristic_energy(void)
{
	const double pe = 26.3e-6, x = 1e-3;
	const double by_law = inw_dr_capacity(0.454e-3, 3.56e-5, pe, 877, 295.15, x) / (0.454e-3 * 877);
	const double fitted = inw_dr_capacity(0.4543e-3, 3.76e-5, pe, 877, 295.15, x) / (0.4543e-3 * 877);
	const double potential = 8.314462618 * 295.15 * log(x);

	CHECK_ABS(-potential / sqrt(-log(by_law)) / 1000, 19.7, 0.1, "E0 of benzene, remembered constants of Wood 1994");
	CHECK_ABS(-potential / sqrt(-log(fitted)) / 1000, 19.2, 0.1, "E0 of benzene, fitted constants");
}

/* EPA Freundlich set, q = a P^m with P in psia, as printed in Kuo table 7.1 for one carbon type: another law on another
 * carbon. The two must agree within what separates carbons. */
static void freundlich(void)
{
	const double ppm[] = { 1000, 100, 10 }, printed[] = { .346, .269, .209 }, apart[] = { 0.02, 0.01, 0.11 };
	const struct vapour xylene = { "m-xylene", 106.17, .862, 1.4972, 7.0 };
	const double acetone[5] = { 69.006, -5599.6, -7.0985, 6.2237e-6, 2 };

	for (int i = 0; i < 3; i++) {
		const double q = 0.551 * pow(ppm[i] * 1e-6 * 14.696, 0.110);

		CHECK_ABS(q, printed[i], 0.001, "EPA toluene at 77 degF, recomputed");
		CHECK_REL(capacity(&toluene, 0.454e-3, 3.56e-5, ppm[i]), q, apart[i], "D-R against EPA Freundlich, toluene");
	}
	/* Kuo ex. 7.1: m-xylene 800 ppm, printed 0.386 lb/lb */
	CHECK_REL(capacity(&xylene, 0.454e-3, 3.56e-5, 800), 0.386, 0.12, "D-R against Kuo ex. 7.1, m-xylene");
	/* acetone 700 ppm: printed P 0.01029 psia and 0.06945 lb/lb at 100 degF. A light, weakly held vapour far from the
	 * middle of both fits: only a factor 1.5 is asked. */
	{
		const double T = FAHRENHEIT(100), x = 0.01029 * PSI / inw_vapour_dippr101_Pa(acetone, T);
		const double q = inw_dr_capacity(0.454e-3, 3.56e-5, 16.2e-6, 770, T, x);

		CHECK(q / 0.06945 < 1.5 && 0.06945 / q < 1.5); /* Wang, Pereira & Hung ch. 10, ex. 10 */
	}
}

/* ---- rates ---- */

static void affinity(void)
{
	CHECK_ABS(inw_affinity_beta(26.3e-6), 1.001, 0.001, "Wood 2001, benzene = 1");
	CHECK_ABS(inw_affinity_beta(31.1e-6) / inw_affinity_beta(26.3e-6), pow(31.1 / 26.3, 0.75), 1e-12, "exponent 0.75");
}

static void rates(void)
{
	/* Wakao & Funazkri 1978 at v 0.2 m/s, d 3 mm, D 8.4e-6, nu 1.54e-5: Sh 14.12, kf 0.0395 m/s (evaluated independently) */
	CHECK_REL(inw_rate_film(0.2, 3e-3, 0.4, 8.4e-6, 1.54e-5), 0.0395 * 6 * 0.6 / 3e-3, 0.002, "Wakao & Funazkri 1978, hand evaluation");
	/* toluene, granules 1.1 mm, capacity 0.343; 1/min, worked independently, three digits */
	static const double table[4][5] = {
		{ 5, 4700, 2700, 2160, 1790 }, { 10, 7900, 4830, 3860, 3200 }, { 20, 13300, 7970, 6370, 5270 },
		{ 30, 18000, 10200, 8130, 6730 },
	};
	const double pe = refraction(&toluene), fraction[] = { 1e-3, 1e-2, 1e-1 };

	for (int i = 0; i < 4; i++) {
		const double v = table[i][0] / 100;
		const double lv = 60 * inw_rate_lodewyckx_vansant(v, 1.1e-3, inw_affinity_beta(pe), 0.343, 92.14e-3);

		CHECK_REL(lv, table[i][1], 0.008, "Lodewyckx & Vansant 2000 (memory)");
		for (int j = 0; j < 3; j++)
			CHECK_REL(60 * inw_rate_wood_stampfer(v, pe, fraction[j]), table[i][j + 2], 0.005, "Wood & Stampfer 1993");
		CHECK(lv / (60 * inw_rate_wood_stampfer(v, pe, 1e-3)) > 1.6 &&
			lv / (60 * inw_rate_wood_stampfer(v, pe, 1e-3)) < 1.8);
	}
	/* dp^-1.5 takes a factor 5 to 8 from 1.1 mm to 4x8 mesh and 4 mm pellets */
	CHECK_REL(inw_rate_lodewyckx_vansant(.1, 1.1e-3, 1, .3, .1) / inw_rate_lodewyckx_vansant(.1, 3.4e-3, 1, .3, .1),
		pow(3.4 / 1.1, 1.5), 1e-12, "granule size");
	CHECK_REL(inw_rate_lodewyckx_vansant(.1, 1e-3, 2, .3, .1) / inw_rate_lodewyckx_vansant(.1, 1e-3, 0.5, .3, .1),
		pow(4, 0.33), 1e-12, "affinity");
	CHECK(inw_rate_wood_stampfer(0, pe, 0.01) == 0);
	CHECK(isnan(inw_rate_wood_stampfer(0.1, pe, 0)) && isnan(inw_rate_wood_stampfer(0.1, pe, 1)));
	CHECK(isnan(inw_rate_wood_stampfer(0.1, pe, 1.5)) && isnan(inw_rate_wood_stampfer(0.1, pe, 1e-30)));
}

/* ---- the bed ---- */

/* The recipe of the published table: 53.3 L/min at 22 degC; velocity and bulk density are one fitted group, not the
 * real ones */
#define Q_OSHA (53.3e-3 / 60)

static double minutes(const struct vapour *v, double ppm, double x, double mass_kg)
{
	const double We = capacity(v, 0.4543e-3, 3.76e-5, ppm);
	const double C0 = ppm * 1e-6 * 101325 * v->M * 1e-3 / (INW_GAS_CONSTANT * T_OSHA);
	const double kv = inw_rate_wood_stampfer(0.143, refraction(v), x);

	return inw_wheeler_jonas_s(We, mass_kg, 324, kv, C0, x, Q_OSHA) / 60;
}

/* Wood 1994's own output proves the equations to be the same, not that they meet experiment. */
static void wood_table(void)
{
	static const struct {
		struct vapour v;
		double at10[5], at1; /* minutes at 50, 100, 200, 500, 1000 ppm to 10 %; at 1000 ppm to 1 % */
		double low, high;    /* error range of the recipe, fraction */
	} row[] = {
		{ { "toluene", 92.14, .865, 1.4961, 24.3 }, { 1018, 562, 307, 135, 72 }, 61, -.012, .011 },
		{ { "ethylbenzene", 106.17, .865, 1.4959, 8.0 }, { 1133, 604, 319, 135, 70 }, 60, -.012, .011 },
		{ { "m-xylene", 106.17, .862, 1.4972, 7.0 }, { 1143, 608, 321, 136, 70 }, 60, -.012, .011 },
		{ { "mesitylene", 120.19, .863, 1.4994, 2.0 }, { 1159, 603, 311, 128, 65 }, 0, -.012, .011 },
		{ { "ethanol", 46.07, .787, 1.3611, 49.5 }, { 123, 105, 85, 60, 43 }, 30, -.021, .022 },
		{ { "isopropanol", 60.10, .784, 1.3776, 37.0 }, { 425, 286, 186, 101, 61 }, 47, -.021, .022 },
		{ { "1-butanol", 74.12, .808, 1.3993, 5.5 }, { 1073, 615, 345, 156, 84 }, 68, -.021, .022 },
		/* not fitted: these inputs miss by 4 to 9 %, unexplained; kept, so that a change is seen */
		{ { "1-propanol", 60.10, .802, 1.3850, 17.0 }, { 551, 364, 233, 123, 73 }, 56, .03, .095 },
	};
	const double ppm[] = { 50, 100, 200, 500, 1000 };
	double squares = 0;
	int n = 0;

	for (unsigned i = 0; i < COUNT(row); i++) {
		for (int j = 0; j < 6; j++) {
			const double want = j < 5 ? row[i].at10[j] : row[i].at1;
			double error;

			if (want <= 0)
				continue;
			error = minutes(&row[i].v, j < 5 ? ppm[j] : 1000, j < 5 ? 0.1 : 0.01, 0.052) / want - 1;
			/* the stated ranges are rounded to 0.1 % */
			CHECK_ABS(error, (row[i].low + row[i].high) / 2, (row[i].high - row[i].low) / 2 + 0.0005, row[i].v.name);
			if (i < 7) {
				squares += error * error;
				n++;
			}
		}
	}
	CHECK_ABS(sqrt(squares / n), 0.009, 0.001, "Wood 1994 via OSHA: rms of the fitted rows 0.9 %");
}

/* N&C: 1000 ppm, 53.3 L/min, 22 degC, two cartridges of 25 .. 40 g each; minutes to 1 and 10 %. Methanol (0 and 3 min)
 * is left out: a logarithm of nothing; benzene's and allyl alcohol's inputs are handbook values like the others
 * (memory). */
static const struct {
	struct vapour v;
	double t1, t10;
} measured_row[] = {
	{ { "benzene", 78.11, .877, 1.5003, 82.3 }, 73, 88 },
	{ { "toluene", 92.14, .865, 1.4961, 24.3 }, 94, 114 },
	{ { "ethylbenzene", 106.17, .865, 1.4959, 8.0 }, 83, 105 },
	{ { "m-xylene", 106.17, .862, 1.4972, 7.0 }, 98, 116 },
	{ { "ethanol", 46.07, .787, 1.3611, 49.5 }, 28, 45 },
	{ { "isopropanol", 60.10, .784, 1.3776, 37.0 }, 54, 81 },
	{ { "allyl alcohol", 58.08, .852, 1.4135, 20.5 }, 65, 105 },
	{ { "1-propanol", 60.10, .802, 1.3850, 17.0 }, 85, 123 },
	{ { "1-butanol", 74.12, .808, 1.3993, 5.5 }, 115, 141 },
};

struct misfit {
	double rms, worst;
};

static struct misfit misfit_of(double mass_kg)
{
	struct misfit m = { 0, 0 };

	for (unsigned i = 0; i < COUNT(measured_row); i++) {
		const double a = log(minutes(&measured_row[i].v, 1000, 0.01, mass_kg) / measured_row[i].t1);
		const double b = log(minutes(&measured_row[i].v, 1000, 0.10, mass_kg) / measured_row[i].t10);

		m.rms += a * a + b * b;
		m.worst = fmax(m.worst, fmax(fabs(a), fabs(b)));
	}
	m.rms = sqrt(m.rms / (2.0 * COUNT(measured_row)));
	return m;
}

static void measured(void)
{
	double best = 0.05;
	struct misfit m;

	for (double mass = 0.05; mass < 0.09; mass += 1e-4)
		if (misfit_of(mass).rms < misfit_of(best).rms)
			best = mass;
	m = misfit_of(best);
	printf("Nelson & Correia: one mass %.1f g in all, rms of ln %.3f, worst factor %.2f\n", best * 1e3, m.rms,
		exp(m.worst));
	CHECK(best > 0.050 && best < 0.080); /* two cartridges of 25 .. 40 g, all that the source says of the mass */
	CHECK(m.rms < 0.25);
	CHECK(exp(m.worst) < 1.8);
	/* An independent fit of the same equations gave 67 g, rms 0.21, and 49 min for ethanol to 1 % (28 measured). Its set of
	 * nine is not known to the last vapour; this one gives 64.5 g. The minimum is so flat that 67 g is as good: */
	m = misfit_of(0.067);
	CHECK_ABS(m.rms, 0.21, 0.01, "N&C: rms of the logarithm at 67 g");
	CHECK_ABS(minutes(&measured_row[4].v, 1000, 0.01, 0.067), 49, 0.7, "N&C: ethanol at 67 g");
	CHECK(exp(m.worst) < 1.8);
	/* the ratio of the two times hardly depends on the mass: 0.82 measured, 0.85 by the model */
	CHECK_ABS(minutes(&toluene, 1000, 0.01, best) / minutes(&toluene, 1000, 0.1, best), 94.0 / 114, 0.06,
		"N&C toluene t1/t10");
}

static void bed_identities(void)
{
	const double We = 0.343, rho = 450, kv = 60, C0 = 3.77e-3, q = 5e-3;
	const double critical = rho * q / kv * log(0.99 / 0.01);
	const double x = 1e-300;
	double t;

	/* no time at the critical mass, a symmetric curve about the stoichiometric time at a half */
	CHECK_ABS(inw_wheeler_jonas_s(We, critical, rho, kv, C0, 0.01, q), 0, 1e-9, "critical bed");
	CHECK(inw_wheeler_jonas_s(We, critical / 2, rho, kv, C0, 0.01, q) < 0);
	CHECK_REL(inw_wheeler_jonas_s(We, 0.5, rho, kv, C0, 0.5, q), We * 0.5 / (C0 * q), 1e-14,
		"stoichiometric time at 50 %");
	t = inw_wheeler_jonas_s(We, 0.5, rho, kv, C0, 0.02, q);
	CHECK_REL(1 / (1 + exp(kv * C0 / (We * rho) * (We * 0.5 / (C0 * q) - t))), 0.02, 1e-9,
		"logistic curve of the same law");
	/* logarithms that neither overflow nor lose digits */
	CHECK(isfinite(inw_wheeler_jonas_s(We, 0.5, rho, kv, C0, x, q)));
	CHECK_REL(inw_wheeler_jonas_s(We, 0.5, rho, kv, C0, 1e-14, q), We / C0 * (0.5 / q - rho / kv * 14 * log(10)), 1e-12,
		"small x");
	CHECK(isnan(inw_wheeler_jonas_s(We, 0.5, rho, kv, C0, 1.1, q)) &&
		isnan(inw_wheeler_jonas_s(We, 0.5, rho, kv, C0, -0.1, q)));
	/* B2 */
	CHECK(inw_wheeler_jonas_s(We, 0.5, rho, kv, C0, 0.1, q) > inw_wheeler_jonas_s(We, 0.5, rho, kv, C0, 0.1, 2 * q));
	/* initial penetration against the same law at time zero: x/(1 - x) */
	{
		const double at_zero = inw_initial_penetration(kv, critical / rho, q);

		CHECK_REL(at_zero, 0.01 / 0.99, 1e-12, "Wheeler-Jonas at the critical bed");
		CHECK(inw_initial_penetration(kv, 0, q) == 1);
	}

	/* Tan ex. 5.2: n-butanol 1.53e-5 kg/m3, 0.1 m3/s, 400 kg/m3, 2 m2, capacity 0.128 (a line there misprints 0.0128):
	 * the front moves 0.0538 mm/h; here as the time to pass one metre */
	CHECK_REL(3600e3 / inw_wheeler_jonas_s(0.128, 400 * 2 * 1.0, 400, 1e9, 1.53e-5, 0.5, 0.1), 0.0538, 0.002,
		"Tan ex. 5.2, mm/h");

	/* Stoichiometric times of a bed of 0.11 s, 450 kg/m3, toluene, worked independently from D-R at 22 degC: 9.7 h at
	 * 100 ppm and about 420 h at 1 ppm; the measurements at 25 degC (VanOsdell et al. 1996) are bounds: half an hour to
	 * several hundred */
	for (int i = 0; i < 2; i++) {
		const double ppm = i ? 1 : 100, printed = i ? 420 : 9.7;
		const double W = capacity(&toluene, 0.454e-3, 3.56e-5, ppm);
		const double c0 = ppm * 1e-6 * 101325 * 92.14e-3 / (INW_GAS_CONSTANT * T_OSHA);

		t = inw_wheeler_jonas_s(W, 450 * 0.11, 450, 1e9, c0, 0.5, 1) / 3600;
		CHECK_REL(t, printed, i ? 0.025 : 0.006, "toluene in a bed of 0.11 s, worked independently");
		CHECK(t > 0.5 && t < 1000);
	}
}

int main(void)
{
	vapour_pressures();
	boiling_points();
	vapour_point();
	diffusivity();
	refractions();
	capacities();
	characteristic_energy();
	freundlich();
	affinity();
	rates();
	wood_table();
	measured();
	bed_identities();
	return check_done();
}
