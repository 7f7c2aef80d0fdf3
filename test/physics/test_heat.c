/* SPDX-License-Identifier: MIT */
/* test_heat.c: convection.c, radiation.c, duct_film.c against worked examples in print and against their own
 * invariants.
 *
 * Sources: Incropera = Incropera et al., Fundamentals of Heat and Mass Transfer; Cengel = Cengel, Heat and Mass
 * Transfer; both read in an open transcription of their worked examples, not in the books. Where a book's air table
 * differs from the Sutherland properties used here, Nusselt numbers are checked with the book's own properties to the
 * digits printed, and the complete law with a tolerance of 2 % (Incropera), or 3 % (Cengel, whose conductivity at 60
 * degC is 2.5 % lower).
 */
#include <stdint.h>

#include "../check.h"
#include "physics/flow.h"
#include "physics/heat.h"

#define P0 101325.0
#define PI 3.14159265358979323846
#define CELSIUS(t) ((t) + 273.15)

/* a fixed stream of random numbers, so that a failure can be repeated */
static double uniform(uint64_t *state, double from, double to)
{
	*state = *state * 6364136223846793005u + 1442695040888963407u;
	return from + (to - from) * (double)(*state >> 11) / 9007199254740992.0;
}

static void plates(void)
{
	const char *incropera92 = "Incropera ex. 9.2", *cengel92 = "Cengel ex. 9-2",
		*library = "open heat-transfer library, test of the same law";

	/* glass fire door: properties at 400 K nu 26.4e-6, alpha 38.3e-6, k 0.0338, Pr 0.690; printed Ra 1.813e9, Nu 147, h
	 * 7.0 */
	CHECK_ABS(inw_plate_nusselt(INW_UPRIGHT, 1.813e9, 0.690), 147, 0.5, incropera92);
	CHECK_ABS(inw_plate_nusselt(INW_UPRIGHT, 1.813e9, 0.690) * 0.0338 / 0.71, 7.0, 0.05, incropera92);
	CHECK_REL(inw_plate_nusselt(INW_UPRIGHT, 2.63e9 * 0.69, 0.69), 147.161852, 1e-8, library);
	CHECK_ABS(inw_plate_nusselt(INW_UPRIGHT, 7.649e8, 0.7202), 113.34, 0.03, cengel92);

	/* McAdams level plates, Pr 5.54, Gr 3.21e8: Ra 1.778e9 lies well beyond the joint */
	CHECK_REL(inw_plate_nusselt(INW_WARM_FACE_UP, 5.54 * 3.21e8, 5.54), 181.731, 4e-6, library);
	CHECK_REL(inw_plate_nusselt(INW_WARM_FACE_DOWN, 5.54 * 3.21e8, 5.54), 55.446, 1e-5, library);
	/* half of 31.75; the transcription found divides integers here and prints nonsense, so this is recomputed */
	CHECK_ABS(inw_plate_nusselt(INW_WARM_FACE_DOWN, 1.195e7, 0.7202), 31.75 / 2, 0.005, "Cengel ex. 9-2, recomputed");
	CHECK_ABS(inw_plate_nusselt(INW_WARM_FACE_DOWN, 1.195e7, 0.7202) * 0.02808 / 0.15 * 0.36 * 60, 64, 0.5,
		"Cengel ex. 9-2, recomputed");
	/* The book goes on with 0.54 Ra^1/4 at Ra 1.195e7, beyond the 1e7 it states itself; 0.15 Ra^1/3, valid there, gives
	 * 34.30. Two published answers 8 % apart: the law must lie between them. */
	CHECK(inw_plate_nusselt(INW_WARM_FACE_UP, 1.195e7, 0.7202) > 31.75);
	CHECK(inw_plate_nusselt(INW_WARM_FACE_UP, 1.195e7, 0.7202) < 34.30);

	/* inside each range the published law itself (Lloyd & Moran 1974, McAdams 1954); the still-air floor is 5e-5 at
	 * most */
	for (double Ra = 1e4; Ra < 3.1e6; Ra *= 3)
		CHECK_REL(inw_plate_nusselt(INW_WARM_FACE_UP, Ra, 0.7), 0.54 * pow(Ra, 0.25), 6e-5, "0.54 Ra^1/4, 1e4..1e7");
	for (double Ra = 3.2e7; Ra < 1e11; Ra *= 3)
		CHECK_REL(inw_plate_nusselt(INW_WARM_FACE_UP, Ra, 0.7), 0.15 * cbrt(Ra), 1e-5, "0.15 Ra^1/3, 1e7..1e11");
	for (double Ra = 1e5; Ra < 1e10; Ra *= 3)
		CHECK_REL(inw_plate_nusselt(INW_WARM_FACE_DOWN, Ra, 0.7), 0.27 * pow(Ra, 0.25), 1e-4, "0.27 Ra^1/4, 1e5..1e10");
	/* at the joint both laws within 3.3 %, as the law's block says */
	CHECK_REL(inw_plate_nusselt(INW_WARM_FACE_UP, 1e7, 0.7), 0.54 * pow(1e7, 0.25), 0.033, "0.54 Ra^1/4 at 1e7");
	CHECK_REL(inw_plate_nusselt(INW_WARM_FACE_UP, 1e7, 0.7), 0.15 * cbrt(1e7), 0.033, "0.15 Ra^1/3 at 1e7");
}

/* rising without a step and without a step of slope over all Ra, joints included */
static void plates_are_smooth(void)
{
	const enum inw_attitude attitude[] = { INW_UPRIGHT, INW_WARM_FACE_UP, INW_WARM_FACE_DOWN };
	const double ratio = exp(0.01);

	for (int i = 0; i < 3; i++) {
		double before = inw_plate_nusselt(attitude[i], 1e-3, 0.7), slope = 0, worst = 0;
		int rising = 1;

		for (double Ra = 1e-3 * ratio; Ra < 1e12; Ra *= ratio) {
			const double now = inw_plate_nusselt(attitude[i], Ra, 0.7);
			const double steepness = log(now / before) / 0.01;

			rising = rising && now > before;
			if (Ra > 2e-3)
				worst = fmax(worst, fabs(steepness - slope));
			slope = steepness;
			before = now;
		}
		CHECK(rising);
		/* d ln Nu/d ln Ra may change by no more than its steepest true change over one step; a kink between Ra^1/4 and
		 * Ra^1/3 would be 0.083 */
		CHECK_ABS(worst, 0, 0.02, "C1 at the joints (H2)");
		CHECK_REL(inw_plate_nusselt(attitude[i], 0, 0.7), i ? 2 / PI : 0.825 * 0.825, 1e-12, "still air");
	}
}

/* Overall conductance of a duct per metre out of its two films: what the model solves for with the skin as an unknown, by
 * repeated substitution here. */
static double duct_conductance(double diameter, double wall, double q, double T_air, double T_room, double p)
{
	const double K = 1 / (1 / inw_duct_inside(diameter, q, T_air, p).h_Wm2K + wall);
	double skin = (T_air + T_room) / 2, out = 0;

	for (int i = 0; i < 60; i++) {
		out = inw_duct_outside(diameter, skin, T_room, p).h_Wm2K;
		skin = (K * T_air + out * T_room) / (K + out);
	}
	return PI * diameter * K * out / (K + out);
}

static void cylinder(void)
{
	CHECK_REL(inw_cylinder_nusselt(0.69 * 2.63e9, 0.69), 139.13493970073597, 1e-12,
		"open heat-transfer library, test of the same law");
	/* hot-water pipe 80 mm, 70 degC in 20 degC: printed Nu 17.40 in one edition, 17.39 in another */
	CHECK_ABS(inw_cylinder_nusselt(1.867e6, 0.7241), 17.395, 0.015, "Cengel, hot-water pipe");
	CHECK_ABS(inw_cylinder_nusselt(1.867e6, 0.7241) * 0.02699 / 0.08, 5.867, 0.006, "Cengel, hot-water pipe");
	CHECK_REL(inw_cylinder_nusselt(0, 0.7), 0.36, 1e-12, "Churchill & Chu 1975 at Ra 0");
}

/* complete laws with this project's air */
static void natural(void)
{
	const double table = 0.02, cengel = 0.03;
	double side, top, bottom;

	CHECK_REL(inw_natural_convection(0, 0.71, 505, 296, P0).q_Wm2 * 0.71 * 1.02, 1060, table, "Incropera ex. 9.2");
	CHECK_REL(inw_natural_convection(0, 0.6, CELSIUS(90), CELSIUS(30), P0).q_Wm2 * 0.36, 114.6, cengel,
		"Cengel ex. 9-2 upright");
	/* between the two published laws, 128 and 138 W; see plates() */
	CHECK_REL(inw_natural_convection(1, 0.15, CELSIUS(90), CELSIUS(30), P0).q_Wm2 * 0.36, (128 + 138) / 2.0, 0.05,
		"Cengel ex. 9-2 warm face up");
	CHECK_REL(inw_natural_convection(-1, 0.15, CELSIUS(90), CELSIUS(30), P0).q_Wm2 * 0.36, 64, cengel,
		"Cengel ex. 9-2 warm face down");

	side = inw_natural_convection(0, 0.3, 318, 288, P0).q_Wm2 / 30;
	top = inw_natural_convection(1, 0.375, 318, 288, P0).q_Wm2 / 30;
	bottom = inw_natural_convection(-1, 0.375, 318, 288, P0).q_Wm2 / 30;
	/* The book takes Churchill & Chu's laminar form at Ra 7.07e7; their form for all Ra, used here, gives 15 % more.
	 * Two laws by the same authors: this one must not lie below the other, nor beyond their difference. */
	CHECK_REL(side, 0.0265 / 0.3 * inw_plate_nusselt(INW_UPRIGHT, 7.07e7, 0.71), table,
		"Incropera ex. 9.3, properties only");
	CHECK(side > 4.23 && side < 4.23 * (1.152 + table));
	CHECK_REL(top, 5.48, table, "Incropera ex. 9.3");
	CHECK_REL(bottom, 2.07, table, "Incropera ex. 9.3");
	CHECK_REL((2 * 4.23 * 0.3 + (top + bottom) * 0.75) * 30, 246, table, "Incropera ex. 9.3, the book's own sides");

	/* upright wall, 0.5 m, room 22 degC: values derived with the same Sutherland properties, so to the digits printed */
	CHECK_ABS(inw_natural_convection(0, 0.5, CELSIUS(30), CELSIUS(22), P0).q_Wm2 / 8, 3.15, 0.015,
		"Churchill & Chu 1975 worked independently");
	CHECK_ABS(inw_natural_convection(0, 0.5, CELSIUS(40), CELSIUS(22), P0).q_Wm2 / 18, 3.98, 0.015,
		"Churchill & Chu 1975 worked independently");
	CHECK_ABS(inw_natural_convection(0, 0.5, CELSIUS(50), CELSIUS(22), P0).q_Wm2 / 28, 4.51, 0.015,
		"Churchill & Chu 1975 worked independently");
	CHECK(inw_radiation(0.9, CELSIUS(30), CELSIUS(22)).q_Wm2 / 8 > 5.45 &&
		inw_radiation(0.9, CELSIUS(50), CELSIUS(22)).q_Wm2 / 28 < 6.05);

	/* warm plate facing up is cold plate facing down (heat.h), and cold up is warm down */
	CHECK_REL(inw_natural_convection(-1, 0.2, 290, 310, P0).q_Wm2, -inw_natural_convection(1, 0.2, 310, 290, P0).q_Wm2,
		1e-13, "symmetry");
	CHECK_REL(inw_natural_convection(1, 0.2, 290, 310, P0).q_Wm2, -inw_natural_convection(-1, 0.2, 310, 290, P0).q_Wm2,
		1e-13, "symmetry");
	CHECK_REL(inw_natural_convection(0, 0.2, 290, 310, P0).q_Wm2, -inw_natural_convection(0, 0.2, 310, 290, P0).q_Wm2,
		1e-13, "symmetry");
}

/* heated plate 235 x 235 mm, emissivity 0.9, top and bare underside: independently worked from the same laws, whole
 * watts */
static void heated_plate(void)
{
	const double air[] = { 25, 45 }, plate[] = { 60, 80, 100, 110 };
	const double above[2][4] = { { 26, 45, 66, 78 }, { 10, 28, 48, 60 } },
		below[2][4] = { { 19, 33, 49, 58 }, { 8, 21, 37, 46 } };
	const double area = 0.235 * 0.235, length = 0.235 / 4;

	for (int i = 0; i < 2; i++)
		for (int j = 0; j < 4; j++) {
			const double Ts = CELSIUS(plate[j]), Ta = CELSIUS(air[i]);
			const double radiant = inw_radiation(0.9, Ts, Ta).q_Wm2;

			CHECK_ABS(area * (inw_natural_convection(1, length, Ts, Ta, P0).q_Wm2 + radiant), above[i][j], 0.6,
				"McAdams + Stefan-Boltzmann worked independently");
			CHECK_ABS(area * (inw_natural_convection(-1, length, Ts, Ta, P0).q_Wm2 + radiant), below[i][j], 0.6,
				"McAdams + Stefan-Boltzmann worked independently");
		}
}

static void forced(void)
{
	/* Som, Introduction to Heat Transfer, ex. 7.3: 5 m/s, plate 140, air 20 degC, nu 2.0e-5 (Sutherland 2.09e-5), k
	 * 0.030, Pr 0.706 */
	const double h5 = 0.030 / 5 * (0.037 * pow(5 * 5 / 2e-5, 0.8) - 871) * cbrt(0.706);
	const double h1 = 0.030 * 0.664 * sqrt(5 / 2e-5) * cbrt(0.706);

	CHECK_REL(inw_forced_convection(5, 5, CELSIUS(140), CELSIUS(20), 101e3).q_Wm2, h5 * 120, 0.06,
		"Som ex. 7.3a; nu^0.8 and the laminar start make 5 %");
	CHECK_REL(inw_forced_convection(5, 1, CELSIUS(140), CELSIUS(20), 101e3).q_Wm2, h1 * 120, 0.025,
		"Som ex. 7.3b; nu^0.5 makes 2 %");
	/* memory: Incropera ex. 7.1, air 300 degC and 6 kPa at 10 m/s over 0.5 m at 27 degC takes 570 W per metre of width */
	CHECK_REL(-inw_forced_convection(10, 0.5, CELSIUS(27), CELSIUS(300), 6e3).q_Wm2 * 0.5, 570, 0.03,
		"Incropera ex. 7.1 (memory)");
	/* memory: Cengel ex. 7-2, 83.4 kPa, 8 m/s, plate 140, air 20 degC: 1.5 m laminar 8670 W on 9 m2, 6 m mixed 14300 W */
	CHECK_REL(inw_forced_convection(8, 1.5, CELSIUS(140), CELSIUS(20), 83.4e3).q_Wm2 * 9, 8670, 0.02,
		"Cengel ex. 7-2 (memory)");
	CHECK_REL(inw_forced_convection(8, 6, CELSIUS(140), CELSIUS(20), 83.4e3).q_Wm2 * 9, 14300, 0.02,
		"Cengel ex. 7-2 (memory)");

	CHECK(inw_forced_convection(0, 0.5, 330, 300, P0).q_Wm2 == 0);
	CHECK(isfinite(inw_forced_convection(0, 0.5, 330, 300, P0).dq_dTs));
	/* no step of the flux where the boundary layer trips: velocity a hair under and over Re 5e5 */
	{
		const double nu = inw_air_viscosity_Pas(315) / inw_air_density_kgm3(P0, 315, 0);
		const double under = inw_forced_convection(5e5 * nu * (1 - 1e-9), 1, 330, 300, P0).q_Wm2;
		const double over = inw_forced_convection(5e5 * nu * (1 + 1e-9), 1, 330, 300, P0).q_Wm2;

		CHECK_REL(over, under, 1e-8, "H2");
	}
}

static void mixed(void)
{
	const double natural_q = inw_natural_convection(0, 0.5, 330, 300, P0).q_Wm2;
	double before = natural_q;

	CHECK_REL(inw_mixed_convection(0, (struct inw_stream){0, 0.5}, 0.5, 330, 300, P0).q_Wm2, natural_q, 1e-14, "limit of still air");
	CHECK_REL(inw_mixed_convection(0, (struct inw_stream){30, 0.5}, 0.5, 330, 300, P0).q_Wm2, inw_forced_convection(30, 0.5, 330, 300, P0).q_Wm2,
		1e-3, "limit of strong stirring");
	for (double v = 0.1; v < 10; v *= 2) {
		const double now = inw_mixed_convection(0, (struct inw_stream){v, 0.5}, 0.5, 330, 300, P0).q_Wm2;
		const double forced_q = inw_forced_convection(v, 0.5, 330, 300, P0).q_Wm2;

		CHECK_REL(now, cbrt(pow(natural_q, 3) + pow(forced_q, 3)), 1e-12, "Churchill 1977, exponent 3");
		CHECK(now > before);
		before = now;
	}
}

static void compare(struct inw_flux f, double by_Ts, double by_Ta, double scale)
{
	CHECK_ABS(f.dq_dTs, by_Ts, 2e-6 * scale, "central difference (C1)");
	CHECK_ABS(f.dq_dTa, by_Ta, 2e-6 * scale, "central difference (C1)");
}

#define DIFFERENCED(law, Ts, Ta) \
	do { \
		const double step = 5e-4; \
		const struct inw_flux up_s = law((Ts) + step, Ta), down_s = law((Ts) - step, Ta); \
		const struct inw_flux up_a = law(Ts, (Ta) + step), down_a = law(Ts, (Ta) - step); \
		const struct inw_flux here = law(Ts, Ta); \
		compare(here, (up_s.q_Wm2 - down_s.q_Wm2) / (2 * step), (up_a.q_Wm2 - down_a.q_Wm2) / (2 * step), \
		        fabs(here.dq_dTs) + fabs(here.dq_dTa)); \
	} while (0)

static void derivatives(void)
{
	uint64_t state = 20;

	for (int i = 0; i < 2000; i++) {
		const int facing = i % 3 - 1;
		const double length = exp(uniform(&state, log(0.02), log(3))), p = uniform(&state, 6e4, 1.1e5);
		const double v = exp(uniform(&state, log(0.01), log(20))), Ta = uniform(&state, 250, 400);
		const double apart = exp(uniform(&state, log(0.5), log(150))), Ts = Ta + (i & 1 ? apart : -apart * 0.5);
		const double Re = v * length * inw_air_density_kgm3(p, (Ts + Ta) / 2, 0) / inw_air_viscosity_Pas((Ts + Ta) / 2);

#define NATURAL(a, b) inw_natural_convection(facing, length, a, b, p)
#define FORCED(a, b) inw_forced_convection(v, length, a, b, p)
#define MIXED(a, b) inw_mixed_convection(facing, (struct inw_stream){v, length}, length, a, b, p)
#define RADIANT(a, b) inw_radiation(0.9, a, b)
		DIFFERENCED(NATURAL, Ts, Ta);
		DIFFERENCED(RADIANT, Ts, Ta);
		if (fabs(Re / 5e5 - 1) < 1e-3)
			continue; /* the slope steps there, as the law's block says */
		DIFFERENCED(FORCED, Ts, Ta);
		DIFFERENCED(MIXED, Ts, Ta);
	}
}

static double slope_off(int facing, double difference)
{
	const double at = inw_natural_convection(facing, 0.3, 300, 300, P0).dq_dTs;

	return inw_natural_convection(facing, 0.3, 300 + difference, 300, P0).dq_dTs / at - 1;
}

/* H1 and H2 through zero difference */
static void zero_difference(void)
{
	const double least = nextafter(300, 301) - 300; /* 6e-14 K */

	for (int facing = -1; facing <= 1; facing++) {
		const struct inw_flux at = inw_natural_convection(facing, 0.3, 300, 300, P0);
		const struct inw_flux stirred = inw_mixed_convection(facing, (struct inw_stream){0.2, 0.3}, 0.3, 300, 300, P0);

		CHECK(at.q_Wm2 == 0 && stirred.q_Wm2 == 0);
		CHECK(isfinite(at.dq_dTs) && at.dq_dTs > 0 && isfinite(stirred.dq_dTs) && stirred.dq_dTs > 0);
		CHECK_REL(at.dq_dTa, -at.dq_dTs, 1e-14, "only the difference matters at zero");
		CHECK(inw_natural_convection(facing, 0.3, 300 + least, 300, P0).q_Wm2 > 0);
		CHECK(inw_natural_convection(facing, 0.3, 300 - least, 300, P0).q_Wm2 < 0);
		if (facing) { /* slope continuous, from both attitudes, and departing in proportion to the difference */
			CHECK_ABS(slope_off(facing, least), 0, 1e-6, "H2");
			CHECK_ABS(slope_off(facing, -least), 0, 1e-6, "H2");
			CHECK_REL(slope_off(facing, 1024 * least) / slope_off(facing, 32 * least), 32, 0.01,
				"H2, a bounded second derivative");
		} else { /* continuous, departing like the sixth root, as the block says: 64 times nearer, half as far off */
			CHECK_REL(slope_off(0, 64 * least) / slope_off(0, least), 2, 0.05, "H2");
			CHECK_REL(slope_off(0, -64 * least), slope_off(0, 64 * least), 1e-9, "H2, both sides alike");
		}
	}
	CHECK(isnan(inw_natural_convection(0, 0.3, -1, 300, P0).q_Wm2));
	CHECK(isnan(inw_mixed_convection(0, (struct inw_stream){1, 0.3}, 0.3, 300, 0, P0).q_Wm2));
	CHECK(isnan(duct_conductance(0.1, 0, 0.01, NAN, 300, P0)));
}

/* Newton's method on a plate between two bodies of air, started far off, on the wrong side and exactly at zero
 * difference */
static void newton(void)
{
	const double start[] = { 250, 300, 320, 300.0000001, 500 };

	for (int facing = -1; facing <= 1; facing++)
		for (int i = 0; i < 5; i++) {
			double Ts = start[i];
			int turns = 0;

			for (; turns < 30; turns++) {
				const struct inw_flux a = inw_natural_convection(facing, 0.3, Ts, 300, P0);
				const struct inw_flux b = inw_natural_convection(-facing, 0.3, Ts, 320, P0);
				const double step = (a.q_Wm2 + b.q_Wm2) / (a.dq_dTs + b.dq_dTs);

				Ts -= step;
				if (fabs(step) < 1e-10)
					break;
			}
			CHECK(turns < 12);
			CHECK(Ts > 300 && Ts < 320);
		}
}

static void radiation(void)
{
	const double pipe = PI * 0.07;
	double Ts = 300;

	/* Incropera ex. 1.2: pipe 70 mm, 200 degC, e 0.8, h 15, surroundings 25 degC */
	CHECK_ABS(inw_radiation(0.8, CELSIUS(200), 0).q_Wm2, 2273, 0.6, "Incropera ex. 1.2, emissive power");
	CHECK_ABS(-inw_radiation(1, 0, CELSIUS(25)).q_Wm2, 448.05, 0.05, "Incropera ex. 1.2, irradiation");
	CHECK_ABS(15 * pipe * 175 + inw_radiation(0.8, 473, 298).q_Wm2 * pipe, 998, 1, "Incropera ex. 1.2");
	CHECK_ABS(inw_radiation(1, 363, 303).q_Wm2 * 0.36, 182, 0.5,
		"Cengel ex. 9-2, radiation; its kelvins are degC + 273");

	/* Incropera ex. 1.6: skin 3 mm k 0.3, core 35 degC, h 2, e 0.95, air and surroundings 24 degC, 1.8 m2 */
	for (int i = 0; i < 20; i++) {
		const struct inw_flux r = inw_radiation(0.95, Ts, 297);

		Ts -= (r.q_Wm2 + 2 * (Ts - 297) + 100 * (Ts - 308)) / (r.dq_dTs + 2 + 100);
	}
	CHECK_ABS(Ts, 307.19, 0.01, "Incropera ex. 1.6");
	CHECK_ABS(1.8 * 100 * (308 - Ts), 146, 0.5, "Incropera ex. 1.6");

	/* Incropera ex. 1.7: coating, 0.8 of 2000 W/m2 taken up, e 0.5, h 15, air 20, surroundings 30 degC: book 104
	 * (memory) */
	for (int i = 0; i < 20; i++) {
		const struct inw_flux r = inw_radiation(0.5, Ts, 303);

		Ts -= (r.q_Wm2 + 15 * (Ts - 293) - 1600) / (r.dq_dTs + 15);
	}
	CHECK_ABS(Ts - 273, 104.3, 0.15, "Incropera ex. 1.7, recomputed");

	/* h_r = 4 e sigma Tm^3 for a small difference, Cengel ex. 9-7 */
	CHECK_REL(inw_radiation(0.84, 300.5, 299.5).q_Wm2, 4 * 0.84 * INW_STEFAN_BOLTZMANN * 2.7e7, 1e-5,
		"linearised, Cengel ex. 9-7");
	CHECK(inw_radiation(0.9, 300, 300).q_Wm2 == 0);
	CHECK(inw_radiation(0.9, 310, 295).q_Wm2 == -inw_radiation(0.9, 295, 310).q_Wm2);
}

static void enclosure(void)
{
	const double e[] = { 0.05, 0.3, 0.84, 0.9, 1 };
	double f, conductance[6], sum = 0, share;

	/* two equal parallel plates: exactly 1/(1/e1 + 1/e2 - 1); two of 0.84 give 0.724 (Cengel ex. 9-7) */
	for (int i = 0; i < 5; i++)
		for (int j = 0; j < 5; j++) {
			const double a = inw_radiant_exchange_factor(e[i], 2, 4), b = inw_radiant_exchange_factor(e[j], 2, 4);

			CHECK_REL(a * b / (a + b), 1 / (1 / e[i] + 1 / e[j] - 1), 1e-14, "parallel plates, exact");
		}
	f = inw_radiant_exchange_factor(0.84, 1, 2);
	CHECK_ABS(f / 2, 0.724, 0.0005, "Cengel ex. 9-7");

	/* a small body in a large room sees black surroundings */
	CHECK_REL(inw_radiant_exchange_factor(0.3, 1e-9, 1), 0.3, 1e-8, "small grey body");

	/* black cube: one warm face gives all it emits to the five others, each of which receives a fifth; the true view
	 * factors of a cube are 0.1998 (opposite) and 0.2000 (adjacent) */
	for (int i = 0; i < 6; i++)
		sum += conductance[i] = inw_radiant_exchange_factor(1, 1, 6);
	share = conductance[0] * conductance[1] / sum;
	CHECK_ABS(share, 0.2000, 0.0003, "view factors of a cube (memory: 0.1998, 0.2000)");
	CHECK_REL(conductance[0] * (1 - conductance[0] / sum), 1, 1e-14, "black cube: all that is emitted leaves");

	/* small against large enclosing surface: exact 1/(A1 F12) = 1/A1; the block promises an error of at most 17.2 % */
	{
		double worst = 0;

		for (double x = 0.001; x < 1; x *= 1.02) {
			const double space = (1 / inw_radiant_exchange_factor(1, x, 1 + x)) / x + 1 / inw_radiant_exchange_factor(1,
				1, 1 + x);

			worst = fmax(worst, fabs(space * x - 1));
		}
		CHECK_ABS(worst, 0.1716, 0.0005, "3 - 2 sqrt 2, derived");
	}
}

/* The balance at a duct's outer surface: what passes the inside film (Nusselt number from print) and the wall must
 * leave by the published outside law at the surface temperature that follows. */
static void duct_balance(double Re, double inside_nusselt, const char *source)
{
	const double D = 0.08, R = 0.05, T = CELSIUS(70), room = CELSIUS(20);
	const double nu = inw_air_viscosity_Pas(T) / inw_air_density_kgm3(P0, T, 0);
	const double inner = 1 / (D / (inside_nusselt * inw_air_conductivity(T).value) + R);
	const double U = duct_conductance(D, R, Re * PI * D * nu / 4, T, room, P0);
	const double Ts = T - U * (T - room) / (PI * D * inner), film = (Ts + room) / 2;
	const double film_nu = inw_air_viscosity_Pas(film) / inw_air_density_kgm3(P0, film, 0),
		k = inw_air_conductivity(film).value;
	const double Pr = inw_air_viscosity_Pas(film) * inw_air_heat_capacity_JkgK(0) / k;
	const double Ra = 9.80665 * (Ts - room) * D * D * D * Pr / (film * film_nu * film_nu);
	const double out = inw_cylinder_nusselt(Ra, Pr) * k / D * (Ts - room) + inw_radiation(0.9, Ts, room).q_Wm2;

	CHECK(Ts > room && Ts < T);
	CHECK_REL(U * (T - room), PI * D * out, 1e-10, source);
}

static void duct(void)
{
	const double D = 0.08, T = CELSIUS(70), room = CELSIUS(20);
	double before = 0;

	/* finite, above zero and rising with flow, from nothing through the laminar joint to well turbulent (T1) */
	for (double q = 0; q < 0.2; q = q * 1.3 + 1e-5) {
		const double U = duct_conductance(D, 0.01, q, T, room, P0);

		CHECK(isfinite(U) && U > 0 && U >= before);
		before = U;
	}
	CHECK(isfinite(duct_conductance(D, 0, 0, room, room, P0)));
	CHECK(duct_conductance(D, 0, 0, room, room, P0) > 0);
	CHECK(duct_conductance(D, 0.01, 0.02, T, room, P0) == duct_conductance(D, 0.01, -0.02, T, room,
		P0));

	/* fast air and no wall: the surface comes near the air's temperature, and what is left is Cengel's hot-water pipe
	 * of 80 mm at 70 degC in 20 degC: h 5.867 by convection, plus radiation at e 0.9. 250 m3/s is beyond sense and only
	 * drives the inside film out of the sum. */
	{
		const double convective = 5.867 * PI * D, radiant = inw_radiation(0.9, T, room).q_Wm2 / 50 * PI * D;

		CHECK_REL(duct_conductance(D, 0, 250, T, room, P0), convective + radiant, 0.01,
			"Cengel, hot-water pipe, with radiation");
	}

	{
		const double Pr = inw_air_viscosity_Pas(T) * inw_air_heat_capacity_JkgK(0) / inw_air_conductivity(T).value;
		const double at[] = { 4000, 1e4, 2e4, 1e5 };

		duct_balance(0, 3.66, "laminar, constant wall temperature (Graetz)");
		duct_balance(2299, 3.66, "laminar, constant wall temperature (Graetz)");
		for (int i = 0; i < 4; i++)
			duct_balance(at[i], 0.023 * pow(at[i], 0.8) * pow(Pr, 0.3), "Dittus-Boelter, cooling (memory)");
		/* half way between the two limits of transition, half of each */
		duct_balance(3150, (3.66 + 0.023 * pow(3150, 0.8) * pow(Pr, 0.3)) / 2,
			"smooth hand-over between Re 2300 and 4000");
	}
	/* thick insulation rules the sum: 1/(R + little) */
	CHECK_REL(duct_conductance(D, 100, 0.02, T, room, P0), PI * D / 100, 0.01, "wall alone (T2)");
}

/* Panels: outside and inside films of this library around the sheet's own resistance, against published U-values on the
 * convention of a room on both sides (0.13 + R + 0.13 m2 K/W; ISO 6946 surface resistance 0.13, memory). Films depend
 * on the temperature difference, so the comparison is made at the mild 10 K at which such standards stand, on 1 m
 * height. */
static double panel_U(double R, double warm_K, double cold_K, double height)
{
	double a = warm_K - 1, b = cold_K + 1, q = 0;

	for (int i = 0; i < 200; i++) {
		const struct inw_flux ca = inw_natural_convection(0, height, a, warm_K, P0), ra = inw_radiation(0.9, a, warm_K);
		const struct inw_flux cb = inw_natural_convection(0, height, b, cold_K, P0), rb = inw_radiation(0.9, b, cold_K);
		const double ha = (ca.q_Wm2 + ra.q_Wm2) / (a - warm_K), hb = (cb.q_Wm2 + rb.q_Wm2) / (b - cold_K);

		q = (warm_K - cold_K) / (1 / ha + R + 1 / hb);
		a = warm_K - q / ha;
		b = cold_K + q / hb;
	}
	return q / (warm_K - cold_K);
}

static void panels(void)
{
	static const struct {
		const char *name;
		double R, U;
	} sheet[] = {
		{ "acrylic 3 mm, k 0.19", 0.003 / 0.19, 3.63 },
		{ "acrylic 6 mm, k 0.19", 0.006 / 0.19, 3.43 },
		{ "solid polycarbonate 3 mm, k 0.20 (memory)", 0.003 / 0.20, 3.64 },
		/* multiwall sheets: published U on films 0.13 + 0.04 (EN ISO 6946), less these */
		{ "twin-wall 4 mm, published U 3.77", 1 / 3.77 - 0.17, 2.81 },
		{ "twin-wall 6 mm, published U 3.33", 1 / 3.33 - 0.17, 2.56 },
		{ "twin-wall 8 mm, published U 3.04", 1 / 3.04 - 0.17, 2.39 },
		{ "twin-wall 10 mm, published U 2.83", 1 / 2.83 - 0.17, 2.26 },
		{ "triple-wall 16 mm, published U 2.10", 1 / 2.10 - 0.17, 1.77 },
		{ "glass 4 mm, k 1.0 (memory)", 0.004 / 1.0, 3.79 },
		{ "sheet steel 0.8 mm, k 50 (memory)", 0.0008 / 50, 3.85 },
		{ "plywood 9 mm, k 0.13 (memory)", 0.009 / 0.13, 3.04 },
		{ "plywood 12 mm, k 0.13 (memory)", 0.012 / 0.13, 2.84 },
		{ "MDF 12 mm, k 0.14 (memory)", 0.012 / 0.14, 2.89 },
		{ "PIR foam 20 mm, k 0.022", 0.020 / 0.022, 0.86 },
		{ "PIR foam 25 mm, k 0.022", 0.025 / 0.022, 0.72 },
		{ "XPS 20 mm, k 0.034 (memory)", 0.020 / 0.034, 1.18 },
	};
	double surface;

	for (unsigned i = 0; i < sizeof(sheet) / sizeof(sheet[0]); i++)
		CHECK_REL(panel_U(sheet[i].R, CELSIUS(25), CELSIUS(15), 1), sheet[i].U, 0.06, sheet[i].name);
	/* one film alone: 0.13 m2 K/W at a wall a few kelvin off its room */
	surface = 1 / ((inw_natural_convection(0, 2.5, CELSIUS(16), CELSIUS(20), P0).q_Wm2 + inw_radiation(0.9, CELSIUS(16),
		CELSIUS(20)).q_Wm2) / -4);
	CHECK_ABS(surface, 0.13, 0.01, "ISO 6946 surface resistance, horizontal heat flow (memory)");
}

/* One temperature in time, classical Runge-Kutta; returns the time at which `until` is crossed, or the temperature
 * after `end`. */
struct lump {
	double per_area_Jm2K, h, e, gas_K, wall_K;
};

static double rate(const struct lump *l, double T)
{
	return -(l->h * (T - l->gas_K) + inw_radiation(l->e, T, l->wall_K).q_Wm2) / l->per_area_Jm2K;
}

static double march(const struct lump *l, double T, double dt)
{
	const double a = rate(l, T), b = rate(l, T + dt * a / 2), c = rate(l, T + dt * b / 2), d = rate(l, T + dt * c);

	return T + dt * (a + 2 * b + 2 * c + d) / 6;
}

static double time_to(const struct lump *l, double *T, double until, double dt)
{
	const double from = *T;
	double t = 0;

	while ((from < until) == (*T < until)) {
		*T = march(l, *T, dt);
		t += dt;
	}
	return t - (*T - until) / rate(l, *T); /* straight back over the last step */
}

static void transients(void)
{
	/* thermocouple bead, rho 8500, c 400, h 400; diameter from a time constant of 1 s */
	const double diameter = 6 * 400.0 / (8500 * 400);
	struct lump bead = { 8500 * 400 * diameter / 6, 400, 0, 473, 473 };
	/* aluminium panel 3 mm, both sides alike; rho 2770, c 875 (memory of the book's table: alloy 2024) */
	struct lump oven = { 2770 * 875 * 0.003 / 2, 40, 0.8, 448, 448 },
		cool = { 2770 * 875 * 0.003 / 2, 10, 0.8, 298, 298 };
	double T = 298, t;

	CHECK_ABS(diameter, 7.06e-4, 0.005e-4, "Incropera ex. 5.1");
	CHECK_ABS(time_to(&bead, &T, 472, 1e-3), 5.2, 0.05, "Incropera ex. 5.1");
	bead.e = 0.9;
	bead.wall_K = 673;
	T = 298;
	/* the transcription reaches 217.7 degC in 4.98 s (book 4.9 s) and calls that steady; the steady state is 218.71 */
	CHECK_ABS(time_to(&bead, &T, 490.7, 1e-3), 4.94, 0.06, "Incropera ex. 5.2");
	for (t = 0; t < 100; t += 1e-2)
		T = march(&bead, T, 1e-2);
	CHECK_ABS(T - 273, 218.71, 0.01, "Incropera ex. 5.2, steady state recomputed");

	T = 298;
	t = time_to(&oven, &T, 423, 0.1);
	CHECK_ABS(t, 123.07, 0.6, "Incropera ex. 5.3: 124 s printed in the book (memory), 123.07 recomputed");
	for (double held = 0; held < 300 - 0.05; held += 0.1)
		T = march(&oven, T, 0.1);
	CHECK_ABS(T - 273, 174.8, 0.15, "Incropera ex. 5.3, end of the oven");
	CHECK_ABS(t + 300 + time_to(&cool, &T, 310, 0.1), 987, 2, "Incropera ex. 5.3, cooled to 37 degC");
}

/* exact derivatives of the two films against central differences */
static void films(void)
{
	for (int i = 0; i < 400; i++) {
		const double D = 0.03 + 0.0005 * i, q = 2e-4 * (i % 37 + 1), T = 255 + 0.3 * i, room = 280 + 0.1 * i, h = 1e-4;
		const struct inw_film in = inw_duct_inside(D, q, T, P0), out = inw_duct_outside(D, T, room, P0);
		const double by_q = (inw_duct_inside(D, q + 1e-8, T, P0).h_Wm2K - inw_duct_inside(D, q - 1e-8, T, P0).h_Wm2K) / 2e-8;
		const double by_T = (inw_duct_inside(D, q, T + h, P0).h_Wm2K - inw_duct_inside(D, q, T - h, P0).h_Wm2K) / (2 * h);

		CHECK_ABS(in.d1, by_q, 1e-4 * fabs(by_q) + 1e-3, "central difference");
		CHECK_ABS(in.d2, by_T, 1e-4 * fabs(by_T) + 1e-7, "central difference");
		if (fabs(T - room) < 0.1)
			continue; /* the law's own slope is infinite at equal temperatures */
		CHECK_REL(out.d1, (inw_duct_outside(D, T + h, room, P0).h_Wm2K - inw_duct_outside(D, T - h, room, P0).h_Wm2K) / (2 * h), 1e-5, "central difference");
		CHECK_REL(out.d2, (inw_duct_outside(D, T, room + h, P0).h_Wm2K - inw_duct_outside(D, T, room - h, P0).h_Wm2K) / (2 * h), 1e-5, "central difference");
	}
}

int main(void)
{
	plates();
	plates_are_smooth();
	cylinder();
	films();
	natural();
	heated_plate();
	forced();
	mixed();
	derivatives();
	zero_difference();
	newton();
	radiation();
	enclosure();
	duct();
	panels();
	transients();
	return check_done();
}
