/* SPDX-License-Identifier: MIT */
/* breakthrough_cases.h: published measurements of carbon, as printed, with source, place in it, and how far it was read.
 * Nothing here was adjusted to the model; properties of vapours are in the catalog and in breakthrough.yaml.
 *
 * basis: found = read in the place named; secondary = read there, of a paper not itself seen; memory = recalled, not seen.
 */
#ifndef BREAKTHROUGH_CASES_H
#define BREAKTHROUGH_CASES_H

struct ranged { double value, low, high; };

/* What the air went through. Where the source is silent the figure is common practice, with its range, and that range is
 * part of the stated one; the same for all cases of a rig. */
struct rig {
	const char *what, *source, *assumed;
	double flow_m3s, rh;                 /* of the air, and of that in which the carbon stood before */
	struct ranged mass_kg, area_m2;
	struct ranged granule_m;             /* value 0: the catalog's */
};

enum relation { EQUALS, AT_LEAST, AT_MOST };

struct breakthrough {
	const char *vapour, *place, *basis;
	double T_C;
	double ppm, mg_m3;                   /* one of them, the other 0 */
	double share;                        /* outlet over inlet */
	enum relation is;
	double minutes;
	const char *miss_bed, *miss_formula; /* why a known miss misses; NULL: must be inside the stated range */
};

/* An isotherm printed as q = a P^m, P in psi, with the pressures that it holds for. */
struct isotherm {
	const char *vapour, *place, *basis;
	double T_C, a, m, from_psi, to_psi;
	const char *miss[3];                 /* at the lowest, the middle (in ln), the highest of these pressures */
};

/* A time at one humidity over the time at another. */
struct humidity {
	const char *vapour, *source, *basis;
	double T_C, ppm, share, rh, rh_under;
	double ratio;
	const char *miss;
};

/* N&C: Nelson & Correia 1976, Am. Ind. Hyg. Assoc. J. 37:514-525, as tabulated by OSHA, Respiratory Protection eTool,
 * "Comparing Predicted Calculation with Experimental Data". 1000 ppm, 53.3 L/min through two cartridges side by side, 22
 * degC, 50 % relative humidity, carbon conditioned at 50 %. The page says 25 to 40 g each, by maker: the middle is taken. */
static const struct rig cartridges = {
	.what = "Two respirator cartridges, 53.3 L/min, 25 to 40 g of carbon each",
	.source = "Nelson & Correia 1976, Am. Ind. Hyg. Assoc. J. 37:514-525, as tabulated by OSHA (Respiratory Protection eTool, "
		"Comparing Predicted Calculation with Experimental Data)",
	.assumed = "30 to 50 cm2 of bed each, 12x30 mesh (common practice: the page says neither)",
	.flow_m3s = 53.3e-3 / 60,
	.rh = 0.5,
	.mass_kg = { 65e-3, 50e-3, 80e-3 },
	.area_m2 = { 80e-4, 60e-4, 100e-4 },
};

#define NO_RATE "the bed's rate is read at the capacity of 50 ppm, where carbon holds next to no methanol, so the fresh bed lets " \
	"over a tenth through; gases like it belong among the weakly held, of which the tool counts on no removal"
#define NC(vapour, share, is, minutes, miss_bed, miss_formula) { vapour, "N&C by OSHA", "secondary", 22, 1000, 0, share, is, minutes, \
	miss_bed, miss_formula }
static const struct breakthrough cartridge_cases[] = {
	NC("benzene", .01, EQUALS, 73, NULL, NULL), NC("benzene", .1, EQUALS, 88, NULL, NULL),
	NC("toluene", .01, EQUALS, 94, NULL, NULL), NC("toluene", .1, EQUALS, 114, NULL, NULL),
	NC("ethylbenzene", .01, EQUALS, 83, NULL, NULL), NC("ethylbenzene", .1, EQUALS, 105, NULL, NULL),
	NC("m-xylene", .01, EQUALS, 98, NULL, NULL), NC("m-xylene", .1, EQUALS, 116, NULL, NULL),
	NC("cumene", .01, EQUALS, 81, NULL, NULL), NC("cumene", .1, EQUALS, 103, NULL, NULL),
	NC("mesitylene", .01, EQUALS, 85, NULL, NULL), NC("mesitylene", .1, EQUALS, 105, NULL, NULL),
	NC("p-cymene", .01, EQUALS, 75, NULL, NULL), NC("p-cymene", .1, EQUALS, 92, NULL, NULL),
	/* printed as 0, with a model time of 2 that is 990 % more */
	NC("methanol", .01, AT_MOST, 0.5, NULL, NULL), NC("methanol", .1, EQUALS, 3, NO_RATE, NULL),
	NC("ethanol", .01, EQUALS, 28, NULL, NULL), NC("ethanol", .1, EQUALS, 45, NULL, NULL),
	NC("2-propanol", .01, EQUALS, 54, NULL, NULL), NC("2-propanol", .1, EQUALS, 81, NULL, NULL),
	NC("allyl alcohol", .01, EQUALS, 65, NULL, NULL), NC("allyl alcohol", .1, EQUALS, 105, NULL, NULL),
	NC("1-propanol", .01, EQUALS, 85, NULL, NULL), NC("1-propanol", .1, EQUALS, 123, NULL, NULL),
	NC("sec-butanol", .01, EQUALS, 96, NULL, NULL), NC("sec-butanol", .1, EQUALS, 121, NULL, NULL),
	NC("1-butanol", .01, EQUALS, 115, NULL, NULL), NC("1-butanol", .1, EQUALS, 141, NULL, NULL),
	NC("2-pentanol", .01, EQUALS, 86, NULL, NULL), NC("2-pentanol", .1, EQUALS, 111, NULL, NULL),
	NC("3-methyl-1-butanol", .01, EQUALS, 97, NULL, NULL), NC("3-methyl-1-butanol", .1, EQUALS, 121, NULL, NULL),
	NC("4-methyl-2-pentanol", .01, EQUALS, 75, NULL, NULL), NC("4-methyl-2-pentanol", .1, EQUALS, 96, NULL, NULL),
};
#undef NC
#undef NO_RATE

/* NIOSH: validation tests S89, S90, S378, S379 (NIOSHTIC 00071910): a tube passed so many litres at the highest concentration
 * of the test without unacceptable loss, hence a time at least. Tube: NIOSH methods 1300, 1301, 1400. */
static const struct rig tube = {
	.what = "A sampling tube, 100 mg of coconut-shell charcoal in front, 4 mm inside",
	.source = "NIOSH validation tests S89, S90, S378, S379 (NIOSHTIC 00071910); the tube: NIOSH Manual of Analytical Methods, "
		"methods 1301 and 1400",
	.assumed = "0.2 L/min and 5 % as the loss that counts (memory), 20/40 mesh as 0.5 to 0.75 mm (memory)",
	.flow_m3s = 0.2e-3 / 60,
	.mass_kg = { 100e-6, 100e-6, 100e-6 },
	.area_m2 = { 12.566e-6, 12.566e-6, 12.566e-6 }, /* pi/4 (4 mm)^2 */
	.granule_m = { 0.6e-3, 0.5e-3, 0.75e-3 },
};
static const struct breakthrough tube_cases[] = {
	{ "n-pentane", "S379, 2 L", "found", 20, 0, 6190, .05, AT_LEAST, 10, NULL, NULL },
	{ "n-hexane", "S90, 4 L", "found", 17, 0, 3679, .05, AT_LEAST, 20, NULL, NULL },
	{ "n-heptane", "S89, 4 L", "found", 20, 0, 4060, .05, AT_LEAST, 20, NULL, NULL },
	{ "n-octane", "S378, 4 L", "found", 20, 0, 4403, .05, AT_LEAST, 20, NULL, NULL },
};

/* EPA: isotherms of one carbon type by the US EPA, in Kuo, Practical Design Calculations for Groundwater and Soil
 * Remediation, 2nd ed., table 7.1. Tan: Tan, Air Pollution and Greenhouse Gases (Springer 2014), example 5.2: one capacity,
 * given without its origin, written here as a = q, m = 0. */
#define LOW "at a few ppm the law falls off faster than the printed power law; the high end of capacity_factor, 1.2, is too low here"
#define LIGHT "a light vapour: the law gives far too little, more so the thinner the air; gases like it belong among the weakly held " \
	"(acetone is), of which the tool counts on no removal"
static const struct isotherm isotherms[] = {
	{ "benzene", "EPA by Kuo, table 7.1", "secondary", 25, 0.597, 0.176, 1e-4, 0.05, { LOW, NULL, NULL } },
	{ "toluene", "EPA by Kuo, table 7.1", "secondary", 25, 0.551, 0.110, 1e-4, 0.05, { LOW, NULL, NULL } },
	{ "m-xylene", "EPA by Kuo, table 7.1", "secondary", 25, 0.708, 0.113, 1e-4, 0.001, { NULL, NULL, NULL } },
	{ "m-xylene", "EPA by Kuo, table 7.1", "secondary", 25, 0.527, 0.0703, 0.001, 0.05, { NULL, NULL, NULL } },
	{ "phenol", "EPA by Kuo, table 7.1", "secondary", 40, 0.855, 0.153, 1e-4, 0.03, { NULL, NULL, NULL } },
	{ "chlorobenzene", "EPA by Kuo, table 7.1", "secondary", 25, 1.05, 0.188, 1e-4, 0.01, { NULL, NULL, NULL } },
	{ "cyclohexane", "EPA by Kuo, table 7.1", "secondary", 37.78, 0.508, 0.210, 1e-4, 0.05, { NULL, NULL, NULL } },
	{ "1,2-dichloroethane", "EPA by Kuo, table 7.1", "secondary", 25, 0.976, 0.281, 1e-4, 0.04, { NULL, NULL, NULL } },
	{ "vinyl chloride", "EPA by Kuo, table 7.1", "secondary", 37.78, 0.20, 0.477, 1e-4, 0.05, { LIGHT, LIGHT, LIGHT } },
	{ "acetone", "EPA by Kuo, table 7.1", "secondary", 37.78, 0.412, 0.389, 1e-4, 0.05, { LIGHT, LIGHT, NULL } },
	{ "1-butanol", "Tan, example 5.2", "found", 20, 0.128, 0, 7.35e-5, 7.35e-5, { NULL, NULL, NULL } },
};

#undef LOW
#undef LIGHT

/* Cartridges conditioned and run at 90 % relative humidity last about half as long as those at 50 %, at 1000 ppm: Nelson's work as
 * told in "Predicting the Effect of High RH on Organic Vapor Cartridge Performance", Occupational Health & Safety, November 2004.
 * The vapour is not named there: toluene stands for it. */
static const struct humidity humidities[] = {
	{ "toluene", "Nelson, told in Occupational Health & Safety, November 2004", "secondary", 22, 1000, .1, .9, .5, 0.5,
		"in balance the law leaves toluene about half, as measured; but it must drive out water, which leaves slowly in air "
		"that is nearly saturated, and breaks through meanwhile. The warmth of uptake, which `inward day` counts, is left out of this page" },
};

#endif
