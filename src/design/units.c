/* SPDX-License-Identifier: MIT */
/* units.c: the one table of units, reading and writing quantities.
 *
 * Invariants:
 *  U1 a unit's SI value is (number + offset) * times / over. `times` and `over` are exact numbers or products of the
 *     exact ones defined below, so no factor is written rounded.
 *  U2 every unit named by a dimension's `fitting` list or by the table of what is shown stands in the table of units.
 *  U3 nothing is clamped: what cannot be held as a double is refused.
 */
#include "design/units.h"

#include <assert.h>
#include <float.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"

/* ---- exact numbers ----------------------------------------------------------------------------------------------- */

/* Exact by definition; NIST SP 811 (2008), appendix B.8, in bold there. */
#define INCH 0.0254
#define FOOT 0.3048
#define POUND 0.45359237
#define OUNCE (POUND / 16)
#define GRAVITY 9.80665 /* standard acceleration of free fall */
#define GALLON (231 * INCH * INCH * INCH) /* the US gallon is 231 cubic inches */
#define MILE (5280 * FOOT)
#define ATMOSPHERE 101325.0
#define BTU (2326 * POUND) /* International Table: 1 Btu/lb is 2326 J/kg exactly */
#define HORSEPOWER (550 * FOOT * POUND * GRAVITY) /* 550 ft lbf/s */
/* "Conventional" columns of SP 811: density 1000 kg/m3 for water (4 degC) and 13595.1 kg/m3 for mercury (0 degC). */
#define WATER (1000 * GRAVITY)
#define MERCURY (13595.1 * GRAVITY)
#define MINUTE 60.0
#define HOUR 3600.0
#define DAY 86400.0
#define YEAR (365 * DAY) /* the year of 365 days, not the tropical one */
#define DEGREE_F (5.0 / 9) /* only inside products that are rounded anyway */
#define PI 3.14159265358979323846

/* ---- dimensions -------------------------------------------------------------------------------------------------- */

/* name, in plain words, example, main units that fit, suffix in JSON */
#define DIMENSIONS(X) \
	X(NONE, "a pure number", "2", "", "") \
	X(FRACTION, "a share", "40 %", "%", "") \
	X(LENGTH, "a length", "120 mm", "mm, cm, m, um, nm, in, ft", "_m") \
	X(AREA, "an area", "60 cm2", "mm2, cm2, m2, in2, ft2", "_m2") \
	X(VOLUME, "a volume", "30 L", "mL, L, cm3, m3, in3, ft3, US gal", "_m3") \
	X(TIME, "a time", "9 h", "s, min, h, d, week, month, year", "_s") \
	X(CLOCK, "a time of day", "22:30", "hours and minutes as 22:30 or 10:30 pm", "_s") \
	X(TEMPERATURE, "a temperature", "20 degC", "degC, degF, K", "_K") \
	X(TEMPERATURE_DIFFERENCE, "a temperature difference", "5 K", "K, degC, degF", "_K") \
	X(PRESSURE, "a pressure", "0.5 Pa", "Pa, hPa, kPa, mbar, bar, mmH2O, inH2O, mmHg, inHg, psi, atm", "_Pa") \
	X(VOLUME_FLOW, "a volume flow", "30 m3/h", "m3/h, m3/s, L/s, L/min, ft3/min", "_m3s") \
	X(VELOCITY, "a velocity", "0.5 m/s", "m/s, cm/s, km/h, ft/min, ft/s, mph", "_ms") \
	X(MASS, "a mass", "0.5 kg", "ug, mg, g, kg, oz, lb", "_kg") \
	X(MASS_RATE, "a mass rate", "15 g/h", "ug/min, ug/h, mg/min, mg/h, g/min, g/h, kg/h, oz/h, lb/h", "_kgs") \
	X(DENSITY, "a density", "480 kg/m3", "kg/m3, g/L, g/cm3, lb/ft3", "_kgm3") \
	X(CONCENTRATION, "a concentration by mass", "50 ug/m3", "ng/m3, ug/m3, mg/m3, g/m3", "_kgm3") \
	X(VOLUME_RATIO, "a share by volume", "10 ppm", "%, ppm, ppb", "") \
	X(POWER, "a power", "40 W", "W, kW, BTU/h, hp", "_W") \
	X(ENERGY, "an energy", "2 kWh", "J, kJ, MJ, Wh, kWh, BTU", "_J") \
	X(CONDUCTANCE, "a heat conductance", "40 W/K", "W/K, BTU/(h degF)", "_WK") \
	X(CONDUCTIVITY, "a thermal conductivity", "0.19 W/(m K)", "W/(m K), BTU in/(h ft2 degF), BTU/(h ft degF)", \
	  "_WmK") \
	X(RESISTANCE, "a thermal resistance", "0.13 m2 K/W", "m2 K/W, ft2 degF h/BTU", "_m2KW") \
	X(RATE, "a number of times per time", "0.4 1/h", "1/h, 1/min, 1/s, 1/d, ach", "_per_s") \
	X(NUMBER_RATE, "a number of particles per time", "1e10 1/min", "1/s, 1/min, 1/h", "_per_s") \
	X(NUMBER_PER_MASS, "a number of particles per mass", "1e10 1/g", "1/mg, 1/g, 1/kg", "_per_kg") \
	X(NUMBER_CONCENTRATION, "a number of particles per volume", "20000 1/cm3", "1/cm3, 1/L, 1/m3, 1/ft3", \
	  "_per_m3") \
	X(MASS_RATIO, "a share by mass", "300 ug/g", "ng/g, ug/g, mg/g, g/g, mg/kg, g/kg, %", "_kgkg") \
	X(MOLAR_MASS, "a molar mass", "104 g/mol", "g/mol, kg/mol", "_kgmol") \
	X(MOLAR_VOLUME, "a molar volume", "26.3 cm3/mol", "cm3/mol, m3/mol", "_m3mol") \
	X(MOLAR_ENERGY, "a molar energy", "44 kJ/mol", "J/mol, kJ/mol", "_Jmol") \
	X(SPECIFIC_VOLUME, "a specific volume", "0.45 cm3/g", "cm3/g, mL/g, L/kg, m3/kg", "_m3kg") \
	X(DIFFUSIVITY, "a diffusivity", "0.08 cm2/s", "mm2/s, cm2/s, m2/s", "_m2s") \
	X(ANGLE, "an angle", "30 deg", "deg, rad", "_rad") \
	X(SPEED_OF_ROTATION, "a speed of rotation", "3000 rpm", "rpm, 1/min, 1/s, Hz", "_per_s") \
	X(SOUND, "a sound level", "30 dB", "dB, dB(A), dBA", "_dB") \
	X(MASS_PER_AREA, "a mass per area", "90 g/m2", "g/m2, kg/m2, oz/ft2, oz/yd2", "_kgm2") \
	X(HEAT_CAPACITY, "a heat capacity", "8 kJ/K", "J/K, kJ/K, BTU/degF", "_JK") \
	X(SPECIFIC_HEAT, "a specific heat", "1470 J/(kg K)", "J/(kg K), kJ/(kg K), BTU/(lb degF)", "_JkgK") \
	X(PRICE_PER_MASS, "a price per mass", "18 1/kg", "1/kg, 1/lb", "_per_kg") \
	X(PRICE_PER_ENERGY, "a price per energy", "0.3 1/kWh", "1/kWh, 1/MJ", "_per_J") \
	X(PRICE_PER_LENGTH, "a price per length", "6 1/m", "1/m, 1/ft", "_per_m") \
	X(PRICE_PER_AREA, "a price per area", "40 1/m2", "1/m2, 1/ft2", "_per_m2")

/* Sentences that inw_parse_quantity can hand out without owning memory. */
struct dimension {
	const char *name, *example, *fitting, *suffix;
	const char *missing, *bare, *wrong_unit, *malformed;
};

#define DIMENSION(id, name_, example_, fitting_, suffix_) \
	[INW_DIM_##id] = { \
		.name = name_, .example = example_, .fitting = fitting_, .suffix = suffix_, \
		.missing = "this does not begin with a number; " name_ " is needed, such as '" example_ "'", \
		.bare = "this number has no unit; " name_ " is needed, such as '" example_ "'; units that fit: " \
			fitting_, \
		.wrong_unit = "this unit does not fit; " name_ " is needed, such as '" example_ "'; units that fit: " \
			fitting_, \
		.malformed = "this cannot be read; " name_ " is needed, such as '" example_ "'", \
	},
static const struct dimension dimensions[INW_DIM_COUNT] = {DIMENSIONS(DIMENSION)};

const char *inw_units_dim_name(enum inw_dim dim)
{
	assert(dim < INW_DIM_COUNT);
	return dimensions[dim].name;
}

const char *inw_units_fitting(enum inw_dim dim)
{
	assert(dim < INW_DIM_COUNT);
	return dimensions[dim].fitting;
}

const char *inw_units_json_suffix(enum inw_dim dim)
{
	assert(dim < INW_DIM_COUNT);
	return dimensions[dim].suffix;
}

/* ---- units ------------------------------------------------------------------------------------------------------- */

struct unit {
	const char *name; /* as `normalise` leaves it */
	enum inw_dim dim;
	double times, over, offset;
};

#define DIM(id) INW_DIM_##id
static const struct unit units[] = {
	{"%", DIM(FRACTION), 1, 100, 0},

	{"mm", DIM(LENGTH), 1, 1e3, 0},
	{"cm", DIM(LENGTH), 1, 1e2, 0},
	{"m", DIM(LENGTH), 1, 1, 0},
	{"um", DIM(LENGTH), 1, 1e6, 0},
	{"nm", DIM(LENGTH), 1, 1e9, 0},
	{"km", DIM(LENGTH), 1e3, 1, 0},
	{"in", DIM(LENGTH), 254, 1e4, 0}, /* 254 / 10000: the division of two whole numbers rounds once */
	{"ft", DIM(LENGTH), 3048, 1e4, 0},

	{"mm2", DIM(AREA), 1, 1e6, 0},
	{"cm2", DIM(AREA), 1, 1e4, 0},
	{"m2", DIM(AREA), 1, 1, 0},
	{"in2", DIM(AREA), INCH * INCH, 1, 0},
	{"ft2", DIM(AREA), FOOT * FOOT, 1, 0},

	{"mL", DIM(VOLUME), 1, 1e6, 0},
	{"L", DIM(VOLUME), 1, 1e3, 0},
	{"mm3", DIM(VOLUME), 1, 1e9, 0},
	{"cm3", DIM(VOLUME), 1, 1e6, 0},
	{"m3", DIM(VOLUME), 1, 1, 0},
	{"in3", DIM(VOLUME), INCH * INCH * INCH, 1, 0},
	{"ft3", DIM(VOLUME), FOOT * FOOT * FOOT, 1, 0},
	{"US gal", DIM(VOLUME), GALLON, 1, 0}, /* plain "gal" would be 20 % more in Britain */

	{"s", DIM(TIME), 1, 1, 0},
	{"ms", DIM(TIME), 1, 1e3, 0},
	{"min", DIM(TIME), MINUTE, 1, 0},
	{"h", DIM(TIME), HOUR, 1, 0},
	{"d", DIM(TIME), DAY, 1, 0},
	{"week", DIM(TIME), 7 * DAY, 1, 0},
	{"month", DIM(TIME), YEAR, 12, 0},
	{"year", DIM(TIME), YEAR, 1, 0},

	{"degC", DIM(TEMPERATURE), 1, 1, 273.15},
	{"degF", DIM(TEMPERATURE), 5, 9, 459.67},
	{"K", DIM(TEMPERATURE), 1, 1, 0},
	{"deg C", DIM(TEMPERATURE), 1, 1, 273.15},
	{"deg F", DIM(TEMPERATURE), 5, 9, 459.67},

	{"K", DIM(TEMPERATURE_DIFFERENCE), 1, 1, 0},
	{"degC", DIM(TEMPERATURE_DIFFERENCE), 1, 1, 0},
	{"degF", DIM(TEMPERATURE_DIFFERENCE), 5, 9, 0},
	{"deg C", DIM(TEMPERATURE_DIFFERENCE), 1, 1, 0},
	{"deg F", DIM(TEMPERATURE_DIFFERENCE), 5, 9, 0},

	{"Pa", DIM(PRESSURE), 1, 1, 0},
	{"mPa", DIM(PRESSURE), 1, 1e3, 0},
	{"hPa", DIM(PRESSURE), 1e2, 1, 0},
	{"kPa", DIM(PRESSURE), 1e3, 1, 0},
	{"mbar", DIM(PRESSURE), 1e2, 1, 0},
	{"bar", DIM(PRESSURE), 1e5, 1, 0},
	{"mmH2O", DIM(PRESSURE), WATER, 1e3, 0},
	{"mm H2O", DIM(PRESSURE), WATER, 1e3, 0},
	{"inH2O", DIM(PRESSURE), WATER * INCH, 1, 0},
	{"in H2O", DIM(PRESSURE), WATER * INCH, 1, 0},
	{"in wg", DIM(PRESSURE), WATER * INCH, 1, 0},
	{"in wc", DIM(PRESSURE), WATER * INCH, 1, 0},
	{"mmHg", DIM(PRESSURE), MERCURY, 1e3, 0},
	{"mm Hg", DIM(PRESSURE), MERCURY, 1e3, 0},
	{"inHg", DIM(PRESSURE), MERCURY * INCH, 1, 0},
	{"in Hg", DIM(PRESSURE), MERCURY * INCH, 1, 0},
	{"Torr", DIM(PRESSURE), ATMOSPHERE, 760, 0},
	{"psi", DIM(PRESSURE), POUND * GRAVITY, INCH * INCH, 0},
	{"atm", DIM(PRESSURE), ATMOSPHERE, 1, 0},

	{"m3/h", DIM(VOLUME_FLOW), 1, HOUR, 0},
	{"m3/min", DIM(VOLUME_FLOW), 1, MINUTE, 0},
	{"m3/s", DIM(VOLUME_FLOW), 1, 1, 0},
	{"L/s", DIM(VOLUME_FLOW), 1, 1e3, 0},
	{"L/min", DIM(VOLUME_FLOW), 1, 1e3 * MINUTE, 0},
	{"L/h", DIM(VOLUME_FLOW), 1, 1e3 * HOUR, 0},
	{"mL/min", DIM(VOLUME_FLOW), 1, 1e6 * MINUTE, 0},
	{"ft3/min", DIM(VOLUME_FLOW), FOOT * FOOT * FOOT, MINUTE, 0},
	{"cfm", DIM(VOLUME_FLOW), FOOT * FOOT * FOOT, MINUTE, 0},
	{"ft3/h", DIM(VOLUME_FLOW), FOOT * FOOT * FOOT, HOUR, 0},

	{"m/s", DIM(VELOCITY), 1, 1, 0},
	{"cm/s", DIM(VELOCITY), 1, 1e2, 0},
	{"mm/s", DIM(VELOCITY), 1, 1e3, 0},
	{"m/min", DIM(VELOCITY), 1, MINUTE, 0},
	{"km/h", DIM(VELOCITY), 1e3, HOUR, 0},
	{"ft/min", DIM(VELOCITY), FOOT, MINUTE, 0},
	{"fpm", DIM(VELOCITY), FOOT, MINUTE, 0},
	{"ft/s", DIM(VELOCITY), FOOT, 1, 0},
	{"mph", DIM(VELOCITY), MILE, HOUR, 0},

	{"ng", DIM(MASS), 1, 1e12, 0},
	{"ug", DIM(MASS), 1, 1e9, 0},
	{"mg", DIM(MASS), 1, 1e6, 0},
	{"g", DIM(MASS), 1, 1e3, 0},
	{"kg", DIM(MASS), 1, 1, 0},
	{"oz", DIM(MASS), OUNCE, 1, 0}, /* avoirdupois; a fluid ounce is a volume and not known here */
	{"lb", DIM(MASS), POUND, 1, 0},

	{"ng/s", DIM(MASS_RATE), 1, 1e12, 0},
	{"ng/min", DIM(MASS_RATE), 1, 1e12 * MINUTE, 0},
	{"ng/h", DIM(MASS_RATE), 1, 1e12 * HOUR, 0},
	{"ug/s", DIM(MASS_RATE), 1, 1e9, 0},
	{"ug/min", DIM(MASS_RATE), 1, 1e9 * MINUTE, 0},
	{"ug/h", DIM(MASS_RATE), 1, 1e9 * HOUR, 0},
	{"mg/s", DIM(MASS_RATE), 1, 1e6, 0},
	{"mg/min", DIM(MASS_RATE), 1, 1e6 * MINUTE, 0},
	{"mg/h", DIM(MASS_RATE), 1, 1e6 * HOUR, 0},
	{"g/s", DIM(MASS_RATE), 1, 1e3, 0},
	{"g/min", DIM(MASS_RATE), 1, 1e3 * MINUTE, 0},
	{"g/h", DIM(MASS_RATE), 1, 1e3 * HOUR, 0},
	{"g/d", DIM(MASS_RATE), 1, 1e3 * DAY, 0},
	{"kg/s", DIM(MASS_RATE), 1, 1, 0},
	{"kg/h", DIM(MASS_RATE), 1, HOUR, 0},
	{"oz/h", DIM(MASS_RATE), OUNCE, HOUR, 0},
	{"lb/h", DIM(MASS_RATE), POUND, HOUR, 0},
	{"lb/min", DIM(MASS_RATE), POUND, MINUTE, 0},

	{"kg/m3", DIM(DENSITY), 1, 1, 0},
	{"kg/L", DIM(DENSITY), 1e3, 1, 0},
	{"g/L", DIM(DENSITY), 1, 1, 0},
	{"g/cm3", DIM(DENSITY), 1e3, 1, 0},
	{"g/mL", DIM(DENSITY), 1e3, 1, 0},
	{"lb/ft3", DIM(DENSITY), POUND, FOOT * FOOT * FOOT, 0},

	{"ng/m3", DIM(CONCENTRATION), 1, 1e12, 0},
	{"ug/m3", DIM(CONCENTRATION), 1, 1e9, 0},
	{"mg/m3", DIM(CONCENTRATION), 1, 1e6, 0},
	{"g/m3", DIM(CONCENTRATION), 1, 1e3, 0},
	{"kg/m3", DIM(CONCENTRATION), 1, 1, 0},

	{"%", DIM(VOLUME_RATIO), 1, 1e2, 0},
	{"ppm", DIM(VOLUME_RATIO), 1, 1e6, 0},
	{"ppb", DIM(VOLUME_RATIO), 1, 1e9, 0},
	{"ppmv", DIM(VOLUME_RATIO), 1, 1e6, 0},
	{"ppbv", DIM(VOLUME_RATIO), 1, 1e9, 0},

	{"W", DIM(POWER), 1, 1, 0},
	{"mW", DIM(POWER), 1, 1e3, 0},
	{"kW", DIM(POWER), 1e3, 1, 0},
	{"BTU/h", DIM(POWER), BTU, HOUR, 0},
	{"hp", DIM(POWER), HORSEPOWER, 1, 0},

	{"J", DIM(ENERGY), 1, 1, 0},
	{"kJ", DIM(ENERGY), 1e3, 1, 0},
	{"MJ", DIM(ENERGY), 1e6, 1, 0},
	{"Wh", DIM(ENERGY), HOUR, 1, 0},
	{"kWh", DIM(ENERGY), 1e3 * HOUR, 1, 0},
	{"BTU", DIM(ENERGY), BTU, 1, 0},

	{"W/K", DIM(CONDUCTANCE), 1, 1, 0},
	{"W/degC", DIM(CONDUCTANCE), 1, 1, 0},
	{"BTU/(h degF)", DIM(CONDUCTANCE), BTU, HOUR * DEGREE_F, 0},
	{"BTU/h degF", DIM(CONDUCTANCE), BTU, HOUR * DEGREE_F, 0},

	{"W/(m K)", DIM(CONDUCTIVITY), 1, 1, 0},
	{"W/mK", DIM(CONDUCTIVITY), 1, 1, 0},
	{"W/m K", DIM(CONDUCTIVITY), 1, 1, 0},
	{"W/m/K", DIM(CONDUCTIVITY), 1, 1, 0},
	{"W/(mK)", DIM(CONDUCTIVITY), 1, 1, 0},
	{"W/(m degC)", DIM(CONDUCTIVITY), 1, 1, 0},
	{"mW/(m K)", DIM(CONDUCTIVITY), 1, 1e3, 0},
	{"BTU in/(h ft2 degF)", DIM(CONDUCTIVITY), BTU * INCH, HOUR * FOOT * FOOT * DEGREE_F, 0},
	{"BTU in/h ft2 degF", DIM(CONDUCTIVITY), BTU * INCH, HOUR * FOOT * FOOT * DEGREE_F, 0},
	{"BTU/(h ft degF)", DIM(CONDUCTIVITY), BTU, HOUR * FOOT * DEGREE_F, 0},

	{"m2 K/W", DIM(RESISTANCE), 1, 1, 0},
	{"m2K/W", DIM(RESISTANCE), 1, 1, 0},
	{"K m2/W", DIM(RESISTANCE), 1, 1, 0},
	{"ft2 degF h/BTU", DIM(RESISTANCE), FOOT * FOOT * DEGREE_F * HOUR, BTU, 0},
	{"h ft2 degF/BTU", DIM(RESISTANCE), FOOT * FOOT * DEGREE_F * HOUR, BTU, 0},
	{"ft2 h degF/BTU", DIM(RESISTANCE), FOOT * FOOT * DEGREE_F * HOUR, BTU, 0},
	{"degF ft2 h/BTU", DIM(RESISTANCE), FOOT * FOOT * DEGREE_F * HOUR, BTU, 0},
	{"degF h ft2/BTU", DIM(RESISTANCE), FOOT * FOOT * DEGREE_F * HOUR, BTU, 0},

	{"1/h", DIM(RATE), 1, HOUR, 0},
	{"1/min", DIM(RATE), 1, MINUTE, 0},
	{"1/s", DIM(RATE), 1, 1, 0},
	{"1/d", DIM(RATE), 1, DAY, 0},
	{"ach", DIM(RATE), 1, HOUR, 0},
	{"ACH", DIM(RATE), 1, HOUR, 0},

	{"1/s", DIM(NUMBER_RATE), 1, 1, 0},
	{"1/min", DIM(NUMBER_RATE), 1, MINUTE, 0},
	{"1/h", DIM(NUMBER_RATE), 1, HOUR, 0},

	{"1/mg", DIM(NUMBER_PER_MASS), 1e6, 1, 0},
	{"1/g", DIM(NUMBER_PER_MASS), 1e3, 1, 0},
	{"1/kg", DIM(NUMBER_PER_MASS), 1, 1, 0},

	{"1/cm3", DIM(NUMBER_CONCENTRATION), 1e6, 1, 0},
	{"1/L", DIM(NUMBER_CONCENTRATION), 1e3, 1, 0},
	{"1/m3", DIM(NUMBER_CONCENTRATION), 1, 1, 0},
	{"1/ft3", DIM(NUMBER_CONCENTRATION), 1, FOOT * FOOT * FOOT, 0},

	{"ng/g", DIM(MASS_RATIO), 1, 1e9, 0},
	{"ug/g", DIM(MASS_RATIO), 1, 1e6, 0},
	{"mg/g", DIM(MASS_RATIO), 1, 1e3, 0},
	{"g/g", DIM(MASS_RATIO), 1, 1, 0},
	{"ug/kg", DIM(MASS_RATIO), 1, 1e9, 0},
	{"mg/kg", DIM(MASS_RATIO), 1, 1e6, 0},
	{"g/kg", DIM(MASS_RATIO), 1, 1e3, 0},
	{"kg/kg", DIM(MASS_RATIO), 1, 1, 0},
	{"%", DIM(MASS_RATIO), 1, 1e2, 0},

	{"g/mol", DIM(MOLAR_MASS), 1, 1e3, 0},
	{"kg/mol", DIM(MOLAR_MASS), 1, 1, 0},
	{"cm3/mol", DIM(MOLAR_VOLUME), 1, 1e6, 0},
	{"m3/mol", DIM(MOLAR_VOLUME), 1, 1, 0},
	{"J/mol", DIM(MOLAR_ENERGY), 1, 1, 0},
	{"kJ/mol", DIM(MOLAR_ENERGY), 1e3, 1, 0},

	{"cm3/g", DIM(SPECIFIC_VOLUME), 1, 1e3, 0},
	{"mL/g", DIM(SPECIFIC_VOLUME), 1, 1e3, 0},
	{"L/kg", DIM(SPECIFIC_VOLUME), 1, 1e3, 0},
	{"m3/kg", DIM(SPECIFIC_VOLUME), 1, 1, 0},

	{"mm2/s", DIM(DIFFUSIVITY), 1, 1e6, 0},
	{"cm2/s", DIM(DIFFUSIVITY), 1, 1e4, 0},
	{"m2/s", DIM(DIFFUSIVITY), 1, 1, 0},

	{"deg", DIM(ANGLE), PI, 180, 0},
	{"rad", DIM(ANGLE), 1, 1, 0},

	/* Whole turns: a radian does not enter here, so rpm and Hz agree. */
	{"rpm", DIM(SPEED_OF_ROTATION), 1, MINUTE, 0},
	{"1/min", DIM(SPEED_OF_ROTATION), 1, MINUTE, 0},
	{"1/s", DIM(SPEED_OF_ROTATION), 1, 1, 0},
	{"Hz", DIM(SPEED_OF_ROTATION), 1, 1, 0},

	{"dB", DIM(SOUND), 1, 1, 0},
	{"dB(A)", DIM(SOUND), 1, 1, 0},
	{"dBA", DIM(SOUND), 1, 1, 0},

	{"g/m2", DIM(MASS_PER_AREA), 1, 1e3, 0},
	{"kg/m2", DIM(MASS_PER_AREA), 1, 1, 0},
	{"oz/ft2", DIM(MASS_PER_AREA), OUNCE, FOOT * FOOT, 0},
	{"oz/yd2", DIM(MASS_PER_AREA), OUNCE, 9 * FOOT * FOOT, 0},
	{"lb/ft2", DIM(MASS_PER_AREA), POUND, FOOT * FOOT, 0},

	{"J/K", DIM(HEAT_CAPACITY), 1, 1, 0},
	{"J/degC", DIM(HEAT_CAPACITY), 1, 1, 0},
	{"kJ/K", DIM(HEAT_CAPACITY), 1e3, 1, 0},
	{"kJ/degC", DIM(HEAT_CAPACITY), 1e3, 1, 0},
	{"MJ/K", DIM(HEAT_CAPACITY), 1e6, 1, 0},
	{"Wh/K", DIM(HEAT_CAPACITY), HOUR, 1, 0},
	{"BTU/degF", DIM(HEAT_CAPACITY), BTU, DEGREE_F, 0},

	{"1/kg", DIM(PRICE_PER_MASS), 1, 1, 0},
	{"1/lb", DIM(PRICE_PER_MASS), 1, POUND, 0},
	{"1/kWh", DIM(PRICE_PER_ENERGY), 1, 1e3 * HOUR, 0},
	{"1/MJ", DIM(PRICE_PER_ENERGY), 1, 1e6, 0},
	{"1/m", DIM(PRICE_PER_LENGTH), 1, 1, 0},
	{"1/ft", DIM(PRICE_PER_LENGTH), 1, FOOT, 0},
	{"1/m2", DIM(PRICE_PER_AREA), 1, 1, 0},
	{"1/ft2", DIM(PRICE_PER_AREA), 1, FOOT * FOOT, 0},

	{"J/(kg K)", DIM(SPECIFIC_HEAT), 1, 1, 0},
	{"J/kgK", DIM(SPECIFIC_HEAT), 1, 1, 0},
	{"J/kg K", DIM(SPECIFIC_HEAT), 1, 1, 0},
	{"J/kg/K", DIM(SPECIFIC_HEAT), 1, 1, 0},
	{"J/(kgK)", DIM(SPECIFIC_HEAT), 1, 1, 0},
	{"J/(kg degC)", DIM(SPECIFIC_HEAT), 1, 1, 0},
	{"kJ/(kg K)", DIM(SPECIFIC_HEAT), 1e3, 1, 0},
	{"kJ/kgK", DIM(SPECIFIC_HEAT), 1e3, 1, 0},
	{"kJ/kg K", DIM(SPECIFIC_HEAT), 1e3, 1, 0},
	{"kJ/(kgK)", DIM(SPECIFIC_HEAT), 1e3, 1, 0},
	{"J/(g K)", DIM(SPECIFIC_HEAT), 1e3, 1, 0},
	{"J/gK", DIM(SPECIFIC_HEAT), 1e3, 1, 0},
	{"BTU/(lb degF)", DIM(SPECIFIC_HEAT), BTU, POUND * DEGREE_F, 0},
	{"BTU/lb degF", DIM(SPECIFIC_HEAT), BTU, POUND * DEGREE_F, 0},
};

static const struct unit *find_unit(const char *name, enum inw_dim dim)
{
	for (size_t i = 0; i < INW_COUNT(units); i++)
		if (units[i].dim == dim && strcmp(units[i].name, name) == 0)
			return &units[i];
	return NULL;
}

static const struct unit *find_anywhere(const char *name)
{
	for (size_t i = 0; i < INW_COUNT(units); i++)
		if (strcmp(units[i].name, name) == 0)
			return &units[i];
	return NULL;
}

static double to_SI(double number, const struct unit *u)
{
	return (number + u->offset) * u->times / u->over;
}

static double from_SI(double value, const struct unit *u)
{
	return value * u->over / u->times - u->offset;
}

/* ---- spelling ---------------------------------------------------------------------------------------------------- */

#define KEY_SIZE 48 /* longer than any unit's name */

struct pair { const char *from, *to; };

/* Signs people type or paste, to the ASCII of the table. */
static const struct pair signs[] = {
	{"\xC2\xB5", "u"}, {"\xCE\xBC", "u"},                             /* micro sign, Greek mu */
	{"\xC2\xB2", "2"}, {"\xC2\xB3", "3"}, {"\xE2\x82\x82", "2"},      /* superscript 2 and 3, subscript 2 */
	{"\xC2\xB0", "deg"}, {"\xE2\x84\x83", "degC"}, {"\xE2\x84\x89", "degF"},
	{"\xC2\xB7", " "}, {"\xE2\x8B\x85", " "}, {"*", " "},             /* middle dot, dot operator */
	{"\xC2\xA0", " "}, {"\xE2\x80\xAF", " "}, {"\t", " "},            /* unbreakable spaces */
};

/* Other spellings of one part of a unit. */
static const struct pair parts[] = {
	{"Btu", "BTU"}, {"btu", "BTU"}, {"hr", "h"}, {"hrs", "h"}, {"hour", "h"}, {"hours", "h"}, {"sec", "s"},
	{"second", "s"}, {"seconds", "s"}, {"minute", "min"}, {"minutes", "min"}, {"mins", "min"}, {"day", "d"},
	{"days", "d"}, {"weeks", "week"}, {"months", "month"}, {"years", "year"}, {"yr", "year"}, {"l", "L"},
	{"litre", "L"}, {"litres", "L"}, {"liter", "L"}, {"liters", "L"}, {"ml", "mL"}, {"lbs", "lb"}, {"inch", "in"},
	{"inches", "in"}, {"foot", "ft"}, {"feet", "ft"}, {"sqft", "ft2"}, {"cc", "cm3"}, {"mcg", "ug"},
	{"micron", "um"}, {"microns", "um"}, {"percent", "%"}, {"CFM", "cfm"}, {"RPM", "rpm"}, {"torr", "Torr"},
	{"inWG", "inH2O"}, {"inWC", "inH2O"}, {"inwg", "inH2O"}, {"inwc", "inH2O"}, {"mmWC", "mmH2O"},
	{"mmWG", "mmH2O"},
	{"particles", "1"},
};

/* Right units that no distance of spelling finds. */
static const struct { const char *from, *to; enum inw_dim dim; } hints[] = {
	{"C", "degC", DIM(TEMPERATURE)}, {"c", "degC", DIM(TEMPERATURE)}, {"Celsius", "degC", DIM(TEMPERATURE)},
	{"celsius", "degC", DIM(TEMPERATURE)}, {"F", "degF", DIM(TEMPERATURE)}, {"f", "degF", DIM(TEMPERATURE)},
	{"Fahrenheit", "degF", DIM(TEMPERATURE)}, {"fahrenheit", "degF", DIM(TEMPERATURE)},
	{"deg", "degC", DIM(TEMPERATURE)},
	{"C", "K", DIM(TEMPERATURE_DIFFERENCE)}, {"F", "degF", DIM(TEMPERATURE_DIFFERENCE)},
	{"deg", "K", DIM(TEMPERATURE_DIFFERENCE)}, {"gal", "US gal", DIM(VOLUME)}, {"gallon", "US gal", DIM(VOLUME)},
	{"gallons", "US gal", DIM(VOLUME)}, {"m", "min", DIM(TIME)}, {"\"", "in", DIM(LENGTH)},
	{"'", "ft", DIM(LENGTH)},
	{"MPa", "mPa or kPa", DIM(PRESSURE)},
	{"mil", "um or in", DIM(LENGTH)}, {"thou", "um or in", DIM(LENGTH)}, {"kph", "km/h", DIM(VELOCITY)},
	{"J", "J/K", DIM(HEAT_CAPACITY)}, {"kJ", "kJ/K", DIM(HEAT_CAPACITY)},
	{"J/K", "J/(kg K)", DIM(SPECIFIC_HEAT)}, {"kJ/K", "kJ/(kg K)", DIM(SPECIFIC_HEAT)},
	{"ppm", "ug/g", DIM(MASS_RATIO)},
	{"ppb", "ng/g", DIM(MASS_RATIO)}, {"fl oz", "mL", DIM(VOLUME)}, {"oz", "mL", DIM(VOLUME)},
};

/* A text with a ceiling on the stack; too long is noted, and is no unit. */
struct key { char s[KEY_SIZE]; size_t n; bool too_long; };

static void key_add(struct key *k, const char *s, size_t n)
{
	if (k->too_long || n >= KEY_SIZE - k->n) {
		k->too_long = true;
		return;
	}
	memcpy(k->s + k->n, s, n);
	k->n += n;
	k->s[k->n] = '\0';
}

static bool starts(const char *s, const char *end, const char *with)
{
	size_t n;

	if (s == end || *s != *with) /* as nearly always */
		return false;
	n = strlen(with);
	return (size_t)(end - s) >= n && memcmp(s, with, n) == 0;
}

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool is_space(char c)
{
	return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

/* Spaces only where they part two factors. */
static bool is_joint(char c)
{
	return c == '/' || c == '(' || c == ')';
}

static struct key to_ascii(const char *s, const char *end)
{
	struct key k = {0};

	while (s < end) {
		size_t i = 0;

		while (i < INW_COUNT(signs) && !starts(s, end, signs[i].from))
			i++;
		if (i < INW_COUNT(signs)) {
			key_add(&k, signs[i].to, strlen(signs[i].to));
			s += strlen(signs[i].from);
		} else if (*s == '^' && s + 1 < end && is_digit(s[1])) {
			s++; /* m^2 is m2 */
		} else {
			key_add(&k, s++, 1);
		}
	}
	return k;
}

static void add_part(struct key *k, const char *s, size_t n)
{
	for (size_t i = 0; i < INW_COUNT(parts); i++)
		if (*parts[i].from == *s && strlen(parts[i].from) == n && memcmp(parts[i].from, s, n) == 0) {
			key_add(k, parts[i].to, strlen(parts[i].to));
			return;
		}
	key_add(k, s, n);
}

/* The table's spelling of what stands in [s, end): "BTU / (hr·ft)" becomes "BTU/(h ft)". */
static struct key normalise(const char *s, const char *end)
{
	struct key raw = to_ascii(s, end), k = {0};
	const char *p = raw.s;

	if (raw.too_long)
		return raw;
	if (*p == '/')
		key_add(&k, "1", 1); /* "0.5/h" */
	while (*p) {
		const char *from = p;

		if (is_joint(*p)) {
			key_add(&k, p++, 1);
			continue;
		}
		if (*p == ' ') {
			p += strspn(p, " ");
			if (*p && k.n > 0 && !is_joint(k.s[k.n - 1]) && !is_joint(*p))
				key_add(&k, " ", 1);
			continue;
		}
		while (*p && *p != ' ' && !is_joint(*p))
			p++;
		add_part(&k, from, (size_t)(p - from));
	}
	return k;
}

/* ---- reading one quantity ---------------------------------------------------------------------------------------- */

enum fault {
	FINE, EMPTY, NO_NUMBER, NOT_FINITE, HEXADECIMAL, MINUS_SIGN, COMMA, FRACTION_FORM, GLUED, TOO_LONG, TOO_LARGE,
	TOO_SMALL, BARE, UNIT_ON_NUMBER, UNKNOWN_UNIT, WRONG_UNIT, BELOW_ZERO, NO_CLOCK, CLOCK_FOR_TIME, RANGE_ALONE,
	RANGE_FORM, RANGE_OTHER_SIGNS, RANGE_NOT_WANTED, RANGE_ORDER, RANGE_OUTSIDE
};

struct slice { const char *s, *end; };

struct reading {
	enum inw_dim dim;
	enum fault fault;
	struct slice at;        /* what the fault is about */
	struct key unit;        /* as found */
	double value, low, high;
};

static struct slice trim(struct slice t)
{
	while (t.s < t.end && is_space(*t.s))
		t.s++;
	while (t.s < t.end && is_space(t.end[-1]))
		t.end--;
	return t;
}

static bool refuse(struct reading *r, enum fault fault, struct slice at)
{
	r->fault = fault;
	r->at = at;
	return false;
}

static int lower(char c)
{
	return c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c;
}

static bool begins_word(struct slice t, const char *word)
{
	if ((size_t)(t.end - t.s) < strlen(word))
		return false;
	for (size_t i = 0; word[i]; i++)
		if (lower(t.s[i]) != word[i])
			return false;
	return true;
}

/* Why the text does not begin with a number. */
static enum fault no_number(struct slice t)
{
	if (t.s == t.end)
		return EMPTY;
	if (starts(t.s, t.end, "\xE2\x88\x92") || starts(t.s, t.end, "\xE2\x80\x93"))
		return MINUS_SIGN;
	if (*t.s == '+' || *t.s == '-')
		t.s++;
	if (begins_word(t, "nan") || begins_word(t, "inf") || begins_word(t, ".nan") || begins_word(t, ".inf"))
		return NOT_FINITE;
	return NO_NUMBER;
}

static bool is_fraction(const char *p, const char *end)
{
	while (p < end && is_digit(*p))
		p++;
	return p + 1 < end && *p == '/' && is_digit(p[1]);
}

/* What is wrong between the number and its unit, FINE when nothing is. `rest` begins right after the number. */
static enum fault bad_joint(struct slice number, struct slice rest)
{
	const char *p = rest.s, *word = trim(rest).s;
	char c = p < rest.end ? *p : ' ';

	if (c == ',' && p + 1 < rest.end && is_digit(p[1]))
		return COMMA;
	if ((c == 'x' || c == 'X') && number.end[-1] == '0' && number.end - number.s <= 2)
		return HEXADECIMAL;
	if (word < rest.end && is_fraction(word, rest.end))
		return FRACTION_FORM;
	if (strchr("+-.,;:_=~<>&|!?", c))
		return GLUED;
	if (word < rest.end && is_digit(*word) && !starts(word, rest.end, "1/") && !starts(word, rest.end, "1 /"))
		return GLUED;
	return FINE;
}

/* The number at the front of `t`; `rest` is what follows it, trimmed. */
static bool read_number(struct reading *r, struct slice t, double *number, struct slice *rest)
{
	size_t used;
	enum inw_number_fault f = inw_number_read(t.s, (size_t)(t.end - t.s), number, &used);
	struct slice front = {t.s, t.s + used};
	enum fault joint;

	if (f == INW_NUMBER_NONE)
		return refuse(r, no_number(t), t);
	if (f == INW_NUMBER_TOO_LONG)
		return refuse(r, TOO_LONG, t);
	if (f == INW_NUMBER_TOO_LARGE)
		return refuse(r, TOO_LARGE, t);
	if (f == INW_NUMBER_TOO_SMALL)
		return refuse(r, TOO_SMALL, t);
	joint = bad_joint(front, (struct slice){front.end, t.end});
	if (joint != FINE)
		return refuse(r, joint, t);
	*rest = trim((struct slice){front.end, t.end});
	return true;
}

/* The unit in `text`; empty means `otherwise`. A pure number has none: then *unit is NULL. */
static bool read_unit(struct reading *r, struct slice whole, struct slice text, const struct unit *otherwise,
                      const struct unit **unit)
{
	*unit = otherwise;
	if (text.s == text.end)
		return otherwise || r->dim == DIM(NONE) ? true : refuse(r, BARE, whole);
	r->unit = (struct key){0};
	key_add(&r->unit, text.s, (size_t)(text.end - text.s)); /* most are written as they stand in the table */
	*unit = r->unit.too_long ? NULL : find_unit(r->unit.s, r->dim);
	if (*unit)
		return true;
	r->unit = normalise(text.s, text.end);
	if (r->dim == DIM(NONE))
		return refuse(r, UNIT_ON_NUMBER, whole);
	*unit = r->unit.too_long ? NULL : find_unit(r->unit.s, r->dim);
	if (*unit)
		return true;
	return refuse(r, !r->unit.too_long && find_anywhere(r->unit.s) ? WRONG_UNIT : UNKNOWN_UNIT, whole);
}

static bool convert(struct reading *r, struct slice whole, double number, const struct unit *unit, double *value)
{
	*value = unit ? to_SI(number, unit) : number;
	if (!isfinite(*value))
		return refuse(r, TOO_LARGE, whole);
	if (*value == 0 && number != 0 && unit && unit->offset == 0)
		return refuse(r, TOO_SMALL, whole);
	/* Not even the machine that cools to nanokelvin goes below; a sign error does. */
	if (r->dim == DIM(TEMPERATURE) && *value < 0)
		return refuse(r, BELOW_ZERO, whole);
	return true;
}

static int two_digits(const char *s)
{
	return is_digit(s[0]) && is_digit(s[1]) ? 10 * (s[0] - '0') + (s[1] - '0') : -1;
}

/* "am" or "pm" at the end, taken off: from which hour it counts; -1 where there is none. */
static int take_half(struct slice *t)
{
	const char *e = t->end;

	if (e - t->s < 3 || (e[-1] | 32) != 'm' || ((e[-2] | 32) != 'a' && (e[-2] | 32) != 'p')) /* 32: the bit of small letters in ASCII */
		return -1;
	*t = trim((struct slice){t->s, e - 2});
	return (e[-2] | 32) == 'p' ? 12 : 0;
}

/* Hours of one or two digits, then up to two fields of two; how many, 0 for anything else. */
static int clock_fields(struct slice t, int field[3])
{
	const char *p = t.s;
	int n = 0;

	if (t.end - p >= 2 && is_digit(p[0]) && is_digit(p[1]))
		field[n++] = two_digits(p), p += 2;
	else if (t.end - p >= 1 && is_digit(p[0]))
		field[n++] = *p++ - '0';
	while (n > 0 && p < t.end) {
		if (n == 3 || t.end - p < 3 || *p != ':' || two_digits(p + 1) < 0)
			return 0;
		field[n++] = two_digits(p + 1);
		p += 3;
	}
	return n;
}

/* "7:05", "22:30", "22:30:15", "10 pm", "10:30 pm"; 24:00 ends a day */
static bool read_clock(struct reading *r, struct slice t, double *value)
{
	struct slice whole = t;
	int field[3] = {0, 0, 0}, from = take_half(&t), fields = clock_fields(t, field);
	bool twelve = from >= 0 && field[0] >= 1 && field[0] <= 12;

	if (whole.s == whole.end)
		return refuse(r, EMPTY, whole);
	if (fields < (from < 0 ? 2 : 1) || (from >= 0 && !twelve))
		return refuse(r, NO_CLOCK, whole);
	int h = twelve ? field[0] % 12 + from : field[0], m = field[1], s = field[2];
	if (m > 59 || s > 59 || h > 24 || (h == 24 && (m > 0 || s > 0)))
		return refuse(r, NO_CLOCK, whole);
	*value = h * HOUR + m * MINUTE + s;
	return true;
}

/* "9:00" where nine hours are meant; the seconds, or -1 for anything else. */
static long clocklike(struct slice t)
{
	int field[3] = {0, 0, 0};
	size_t fields = 0, digits = 0;

	for (const char *p = t.s; p < t.end; p++) {
		if (is_digit(*p) && ++digits <= 3) {
			field[fields] = 10 * field[fields] + (*p - '0');
			continue;
		}
		if (*p != ':' || digits == 0 || (fields > 0 && digits != 2) || ++fields > 2)
			return -1;
		digits = 0;
	}
	if (fields == 0 || digits != 2 || field[1] > 59 || field[2] > 59)
		return -1;
	return field[0] * 3600L + field[1] * 60L + field[2];
}

/* One quantity without a range. `unit` comes in as what stands in for a unit left out (NULL: none may be left out)
 * and goes out as the unit found. */
static bool read_one(struct reading *r, struct slice t, const struct unit **unit, double *value)
{
	struct slice rest;
	double number;

	t = trim(t);
	if (r->dim == DIM(CLOCK))
		return read_clock(r, t, value);
	if (r->dim == DIM(TIME) && clocklike(t) >= 0)
		return refuse(r, CLOCK_FOR_TIME, t);
	return read_number(r, t, &number, &rest) && read_unit(r, t, rest, *unit, unit) &&
	       convert(r, t, number, *unit, value);
}

/* ---- ranges ------------------------------------------------------------------------------------------------------ */

static const char *find_dots(struct slice t)
{
	for (const char *p = t.s; p + 1 < t.end; p++)
		if (p[0] == '.' && p[1] == '.')
			return p;
	return NULL;
}

/* The bracket that opens the range whose dots stand at `dots`: units have brackets too, so they are counted. */
static const char *find_open(struct slice t, const char *dots)
{
	int depth = 0;

	for (const char *p = dots; p > t.s; p--) {
		if (p[-1] == ')')
			depth++;
		else if (p[-1] == '(' && depth-- == 0)
			return p - 1;
	}
	return NULL;
}

/* Two spellings of one number may differ in the last bits after conversion ("25.4 mm (1 in .. 2 in)"); that is no range
 * which misses its value. Four units in the last place of the larger one. */
static bool level(double a, double b)
{
	return fabs(a - b) <= 4 * DBL_EPSILON * fmax(fabs(a), fabs(b));
}

static bool order_range(struct reading *r, struct slice t)
{
	if (level(r->low, r->value))
		r->low = r->value;
	if (level(r->high, r->value))
		r->high = r->value;
	if (r->low > r->high)
		return refuse(r, RANGE_ORDER, t);
	if (r->low > r->value || r->high < r->value)
		return refuse(r, RANGE_OUTSIDE, t);
	return true;
}

static bool read_range(struct reading *r, struct slice t, const char *dots)
{
	const char *open = find_open(t, dots);
	const struct unit *none = NULL, *unit = NULL;

	if (!open)
		return refuse(r, RANGE_ALONE, t);
	if (t.end[-1] != ')' || t.end - 1 < dots + 2)
		return refuse(r, RANGE_FORM, t);
	if (trim((struct slice){t.s, open}).s == open)
		return refuse(r, RANGE_ALONE, t);
	return read_one(r, (struct slice){t.s, open}, &none, &r->value) &&
	       read_one(r, (struct slice){dots + 2, t.end - 1}, &unit, &r->high) &&
	       read_one(r, (struct slice){open + 1, dots}, &unit, &r->low) && order_range(r, t);
}

static bool begins_number(struct slice t)
{
	t = trim(t);
	if (t.s < t.end && (*t.s == '+' || *t.s == '-'))
		t.s++;
	if (t.s < t.end && *t.s == '.')
		t.s++;
	return t.s < t.end && is_digit(*t.s);
}

static const char *find_sign(struct slice t, const char *sign)
{
	for (const char *p = t.s; p < t.end; p++)
		if (starts(p, t.end, sign))
			return p;
	return NULL;
}

/* "0.3 mm (0.2 - 0.5 mm)", "0.2 - 0.5 mm", "0.3 mm +/- 0.1 mm": meant as a range, without its two dots. */
static bool other_signs(struct slice t)
{
	static const char *const between[] = {" - ", "\xE2\x80\x93", "\xE2\x80\xA6", " to ", "\xC2\xB1", "+/-",
	                                      "+-"};
	const char *open = t.s < t.end && t.end[-1] == ')' ? find_open(t, t.end - 1) : NULL;

	if (!begins_number(t))
		return false;
	if (open && begins_number((struct slice){open + 1, t.end - 1}))
		return true;
	for (size_t i = 0; i < INW_COUNT(between); i++) {
		const char *p = find_sign(t, between[i]);

		if (p && begins_number((struct slice){p + strlen(between[i]), t.end}))
			return true;
	}
	return false;
}

static struct reading read_quantity(const char *text, enum inw_dim dim)
{
	struct reading r = {.dim = dim};
	struct slice t = trim((struct slice){text, text + strlen(text)});
	const char *dots = find_dots(t);
	const struct unit *unit = NULL;

	assert(dim < INW_DIM_COUNT);
	if (dots)
		read_range(&r, t, dots);
	else if (other_signs(t))
		refuse(&r, RANGE_OTHER_SIGNS, t);
	else if (read_one(&r, t, &unit, &r.value))
		r.low = r.high = r.value;
	return r;
}

/* ---- saying what is wrong ---------------------------------------------------------------------------------------- */

#define QUOTE_SIZE 64

/* What was found, fit to be shown: no control characters, no half a UTF-8 sign, not long. */
static const char *quote(char out[QUOTE_SIZE], const char *s, size_t n)
{
	size_t most = QUOTE_SIZE - 4, kept = n < most ? n : most;

	while (kept < n && kept > 0 && ((unsigned char)s[kept] & 0xC0) == 0x80)
		kept--;
	for (size_t i = 0; i < kept; i++)
		out[i] = (unsigned char)s[i] < 0x20 || s[i] == 0x7F ? ' ' : s[i];
	strcpy(out + kept, kept < n ? "..." : "");
	return out;
}

static const char *nearest_unit(const char *given, enum inw_dim dim)
{
	const char *names[INW_COUNT(units)];
	size_t n = 0;

	for (size_t i = 0; i < INW_COUNT(hints); i++)
		if (hints[i].dim == dim && strcmp(hints[i].from, given) == 0)
			return hints[i].to;
	for (size_t i = 0; i < INW_COUNT(units); i++)
		if (units[i].dim == dim)
			names[n++] = units[i].name;
	return inw_nearest_word(given, names, n);
}

/* What is wrong with the text itself. */
#define THIS "this "
static const char *fault_text(enum fault fault)
{
	switch (fault) {
	case NO_NUMBER: return THIS "does not begin with a number";
	case NOT_FINITE: return THIS "is not a finite number";
	case HEXADECIMAL: return THIS "is a hexadecimal number; write it in decimal";
	case MINUS_SIGN: return THIS "begins with a typographic minus; write the plain sign '-'";
	case COMMA: return THIS "has a decimal comma; write a point, as in 1.5";
	case FRACTION_FORM: return THIS "is written as a fraction; write a decimal number, as in 0.125";
	case GLUED: return THIS "has something between number and unit that belongs to neither; write the number "
	                        "without spaces, signs or grouping inside";
	case TOO_LONG: return THIS "has more than 40 significant digits";
	case TOO_LARGE: return THIS "is too large a number to calculate with";
	case TOO_SMALL: return THIS "is too small a number to calculate with; write 0 if nothing is meant";
	case BELOW_ZERO: return THIS "is below absolute zero";
	case NO_CLOCK: return THIS "is no time of day between 00:00 and 24:00";
	case RANGE_ALONE: return THIS "is a range without a best estimate; write the value before it, as in "
	                              "'5 (3 .. 8)' with units";
	case RANGE_FORM: return THIS "has an unfinished range; write it as 'value (low .. high)'";
	case RANGE_OTHER_SIGNS: return THIS "has a range in a form that is not read here; write the value, then low "
	                                    "and high in brackets with two dots between them, as in "
	                                    "'5 mm (3 .. 8 mm)'";
	case CLOCK_FOR_TIME: return THIS "is written as a time of day where a length of time is needed; write it with "
	                                 "its unit, as in '9 h' or '90 min'";
	case RANGE_NOT_WANTED: return THIS "has a range where one value is needed";
	case RANGE_ORDER: return THIS "has a range whose low end is above its high end";
	case RANGE_OUTSIDE: return THIS "has a range that does not hold its own value";
	default: return "";
	}
}

/* The units that fit and the nearest of them, at the end of a sentence. */
static void say_units(struct inw_text *t, const struct reading *r, bool nearest)
{
	const struct dimension *d = &dimensions[r->dim];
	const char *near = nearest && !r->unit.too_long ? nearest_unit(r->unit.s, r->dim) : NULL;

	if (d->fitting[0])
		inw_text_printf(t, "; %s %s", r->dim == DIM(CLOCK) ? "write" : "units that fit:", d->fitting);
	if (near)
		inw_text_printf(t, "; did you mean '%s'?", near);
}

static void say_unit_fault(struct inw_text *t, const struct reading *r, const char *found)
{
	const struct dimension *d = &dimensions[r->dim];
	const struct unit *other;
	char unit[QUOTE_SIZE];

	quote(unit, r->unit.s, r->unit.n);
	switch (r->fault) {
	case BARE:
		inw_text_printf(t, "'%s' has no unit; %s is needed, such as '%s'", found, d->name, d->example);
		break;
	case UNIT_ON_NUMBER:
		inw_text_printf(t, "'%s' has the unit '%s' where a pure number is needed; write the number alone",
		                found, unit);
		break;
	case WRONG_UNIT:
		other = find_anywhere(r->unit.s);
		inw_text_printf(t, "'%s' is %s; %s is needed, such as '%s'", found, dimensions[other->dim].name,
		                d->name, d->example);
		break;
	default:
		inw_text_printf(t, "in '%s' the unit '%s%s' is not known for %s", found, unit,
		                r->unit.too_long ? "..." : "", d->name);
		break;
	}
	say_units(t, r, r->fault == UNKNOWN_UNIT || r->fault == WRONG_UNIT);
}

static void say_clock_for_time(struct inw_text *t, const struct reading *r, const char *found)
{
	long s = clocklike(r->at);
	long per = s % 3600 == 0 ? 3600 : s % 60 == 0 ? 60 : 1;

	inw_text_printf(t, "'%s' is written as a time of day where a length of time is needed; write '%ld %s'", found,
	                s / per, per == 3600 ? "h" : per == 60 ? "min" : "s");
}

static void say_fault(struct inw_text *t, const struct reading *r)
{
	const struct dimension *d = &dimensions[r->dim];
	char found[QUOTE_SIZE];

	quote(found, r->at.s, (size_t)(r->at.end - r->at.s));
	switch (r->fault) {
	case BARE: case UNIT_ON_NUMBER: case UNKNOWN_UNIT: case WRONG_UNIT:
		say_unit_fault(t, r, found);
		break;
	case CLOCK_FOR_TIME:
		say_clock_for_time(t, r, found);
		break;
	case EMPTY:
		inw_text_printf(t, "nothing is written where %s is needed, such as '%s'", d->name, d->example);
		say_units(t, r, false);
		break;
	case NO_NUMBER: case NO_CLOCK: case NOT_FINITE:
		inw_text_printf(t, "'%s' %s; %s is needed, such as '%s'", found, fault_text(r->fault) + strlen(THIS),
		                d->name, d->example);
		say_units(t, r, false);
		break;
	default:
		inw_text_printf(t, "'%s' %s", found, fault_text(r->fault) + strlen(THIS));
		break;
	}
}

/* The same without what was found: it stands in the program, so it needs no memory. */
static const char *static_sentence(const struct reading *r)
{
	const struct dimension *d = &dimensions[r->dim];

	switch (r->fault) {
	case EMPTY: case NO_NUMBER: return d->missing;
	case BARE: return d->bare;
	case UNIT_ON_NUMBER: case UNKNOWN_UNIT: case WRONG_UNIT: return d->wrong_unit;
	case NO_CLOCK: return d->malformed;
	default: return fault_text(r->fault);
	}
}

int inw_units_parse(const char *text, enum inw_dim dim, double *value, double *low, double *high, char *why,
                    size_t why_size)
{
	struct reading r = read_quantity(text, dim);
	struct inw_text t = {0};

	if (r.fault == FINE) {
		*value = r.value;
		*low = r.low;
		*high = r.high;
		return 0;
	}
	say_fault(&t, &r);
	if (why && why_size > 0)
		snprintf(why, why_size, "%s", t.failed ? static_sentence(&r) : t.s);
	inw_text_free(&t);
	return -1;
}

const char *inw_parse_quantity(const char *text, enum inw_dim dim, double *value_SI)
{
	struct reading r = read_quantity(text, dim);

	if (r.fault == FINE && find_dots((struct slice){text, text + strlen(text)}))
		r.fault = RANGE_NOT_WANTED;
	if (r.fault != FINE)
		return static_sentence(&r);
	*value_SI = r.value;
	return NULL;
}

/* ---- writing ----------------------------------------------------------------------------------------------------- */

/* From which magnitude (SI) on which unit reads well. Rows of one dimension and system ascend; the first is used below
 * its own magnitude too, and the one marked `usual` for zero. US readers get the units of their trade, and those are
 * metric for particle sizes, traces and exposure limits. */
struct shown { enum inw_dim dim; enum inw_units system; double from; const char *unit; bool usual; };

#define SI(id, from, unit) {DIM(id), INW_SI, from, unit, false}
#define SI_USUAL(id, from, unit) {DIM(id), INW_SI, from, unit, true}
#define US(id, from, unit) {DIM(id), INW_US, from, unit, false}
#define US_USUAL(id, from, unit) {DIM(id), INW_US, from, unit, true}
#define BOTH(id, from, unit) SI(id, from, unit), US(id, from, unit)
#define BOTH_USUAL(id, from, unit) SI_USUAL(id, from, unit), US_USUAL(id, from, unit)

static const struct shown table_of_shown[] = {
	BOTH_USUAL(FRACTION, 0, "%"),
	SI(LENGTH, 0, "nm"), SI(LENGTH, 0.5e-6, "um"), SI_USUAL(LENGTH, 0.1e-3, "mm"), SI(LENGTH, 1, "m"),
	US(LENGTH, 0, "nm"), US(LENGTH, 0.5e-6, "um"), US_USUAL(LENGTH, 20e-6, "in"), US(LENGTH, 3 * FOOT, "ft"),
	SI(AREA, 0, "mm2"), SI_USUAL(AREA, 1e-4, "cm2"), SI(AREA, 0.1, "m2"),
	US_USUAL(AREA, 0, "in2"), US(AREA, FOOT * FOOT, "ft2"),
	SI(VOLUME, 0, "mL"), SI_USUAL(VOLUME, 1e-3, "L"), SI(VOLUME, 1, "m3"),
	US(VOLUME, 0, "in3"), US_USUAL(VOLUME, 0.1 * FOOT * FOOT * FOOT, "ft3"),
	BOTH_USUAL(TIME, 0, "s"), BOTH(TIME, 100, "min"), BOTH(TIME, 100 * MINUTE, "h"), BOTH(TIME, 100 * HOUR, "d"),
	BOTH(TIME, 3 * YEAR, "year"),
	SI_USUAL(TEMPERATURE, 0, "degC"), US_USUAL(TEMPERATURE, 0, "degF"),
	SI_USUAL(TEMPERATURE_DIFFERENCE, 0, "K"), US_USUAL(TEMPERATURE_DIFFERENCE, 0, "degF"),
	SI(PRESSURE, 0, "mPa"), SI_USUAL(PRESSURE, 1e-3, "Pa"), SI(PRESSURE, 1e4, "kPa"), SI(PRESSURE, 5e4, "hPa"),
	US_USUAL(PRESSURE, 0, "inH2O"), US(PRESSURE, 5e4, "inHg"),
	SI(VOLUME_FLOW, 0, "L/min"), SI_USUAL(VOLUME_FLOW, 0.01 / HOUR, "m3/h"), US_USUAL(VOLUME_FLOW, 0, "ft3/min"),
	SI(VELOCITY, 0, "mm/s"), SI_USUAL(VELOCITY, 1e-3, "m/s"), US_USUAL(VELOCITY, 0, "ft/min"),
	SI(MASS, 0, "ug"), SI(MASS, 1e-6, "mg"), SI_USUAL(MASS, 1e-3, "g"), SI(MASS, 1, "kg"),
	US(MASS, 0, "ug"), US(MASS, 1e-6, "mg"), US(MASS, 1e-3, "g"), US_USUAL(MASS, OUNCE, "oz"), US(MASS, POUND, "lb"),
	SI(MASS_RATE, 0, "ug/h"), SI(MASS_RATE, 1e-6 / HOUR, "mg/h"), SI_USUAL(MASS_RATE, 1e-3 / HOUR, "g/h"),
	SI(MASS_RATE, 1 / HOUR, "kg/h"),
	US(MASS_RATE, 0, "ug/h"), US(MASS_RATE, 1e-6 / HOUR, "mg/h"), US_USUAL(MASS_RATE, 0.01 * OUNCE / HOUR, "oz/h"),
	US(MASS_RATE, POUND / HOUR, "lb/h"),
	SI_USUAL(DENSITY, 0, "kg/m3"), US_USUAL(DENSITY, 0, "lb/ft3"),
	BOTH(CONCENTRATION, 0, "ng/m3"), BOTH_USUAL(CONCENTRATION, 1e-11, "ug/m3"), BOTH(CONCENTRATION, 1e-6, "mg/m3"),
	BOTH(CONCENTRATION, 1e-3, "g/m3"),
	BOTH(VOLUME_RATIO, 0, "ppb"), BOTH_USUAL(VOLUME_RATIO, 1e-7, "ppm"), BOTH(VOLUME_RATIO, 1e-3, "%"),
	BOTH_USUAL(POWER, 0, "W"), BOTH(POWER, 1e3, "kW"), /* nearly all of it is electric */
	BOTH(ENERGY, 0, "J"), BOTH(ENERGY, 1e3, "kJ"), BOTH_USUAL(ENERGY, 100 * HOUR, "kWh"), /* what is billed, in the US too */
	SI_USUAL(CONDUCTANCE, 0, "W/K"), US_USUAL(CONDUCTANCE, 0, "BTU/(h degF)"),
	SI_USUAL(CONDUCTIVITY, 0, "W/(m K)"), US_USUAL(CONDUCTIVITY, 0, "BTU in/(h ft2 degF)"),
	SI_USUAL(RESISTANCE, 0, "m2 K/W"), US_USUAL(RESISTANCE, 0, "ft2 degF h/BTU"),
	BOTH_USUAL(RATE, 0, "1/h"),
	BOTH_USUAL(NUMBER_RATE, 0, "1/min"),
	BOTH_USUAL(NUMBER_PER_MASS, 0, "1/g"),
	BOTH_USUAL(NUMBER_CONCENTRATION, 0, "1/cm3"),
	BOTH(MASS_RATIO, 0, "ng/g"), BOTH_USUAL(MASS_RATIO, 1e-6, "ug/g"), BOTH(MASS_RATIO, 1e-3, "mg/g"),
	BOTH(MASS_RATIO, 0.1, "g/g"),
	BOTH_USUAL(MOLAR_MASS, 0, "g/mol"),
	BOTH_USUAL(MOLAR_VOLUME, 0, "cm3/mol"),
	BOTH(MOLAR_ENERGY, 0, "J/mol"), BOTH_USUAL(MOLAR_ENERGY, 1e3, "kJ/mol"),
	BOTH_USUAL(SPECIFIC_VOLUME, 0, "cm3/g"),
	BOTH_USUAL(DIFFUSIVITY, 0, "cm2/s"),
	BOTH_USUAL(ANGLE, 0, "deg"),
	BOTH_USUAL(SPEED_OF_ROTATION, 0, "rpm"),
	BOTH_USUAL(SOUND, 0, "dB"),
	SI_USUAL(MASS_PER_AREA, 0, "g/m2"), SI(MASS_PER_AREA, 1, "kg/m2"), US_USUAL(MASS_PER_AREA, 0, "oz/ft2"),
	US(MASS_PER_AREA, POUND / (FOOT * FOOT), "lb/ft2"),
	SI(HEAT_CAPACITY, 0, "J/K"), SI_USUAL(HEAT_CAPACITY, 1e3, "kJ/K"), SI(HEAT_CAPACITY, 1e6, "MJ/K"),
	US_USUAL(HEAT_CAPACITY, 0, "BTU/degF"),
	SI_USUAL(SPECIFIC_HEAT, 0, "J/(kg K)"), US_USUAL(SPECIFIC_HEAT, 0, "BTU/(lb degF)"),
	SI_USUAL(PRICE_PER_MASS, 0, "1/kg"), US_USUAL(PRICE_PER_MASS, 0, "1/lb"),
	BOTH_USUAL(PRICE_PER_ENERGY, 0, "1/kWh"),
	SI_USUAL(PRICE_PER_LENGTH, 0, "1/m"), US_USUAL(PRICE_PER_LENGTH, 0, "1/ft"),
	SI_USUAL(PRICE_PER_AREA, 0, "1/m2"), US_USUAL(PRICE_PER_AREA, 0, "1/ft2"),
};

bool inw_units_shown(size_t nth, struct inw_shown_unit *out)
{
	if (nth >= INW_COUNT(table_of_shown))
		return false;
	const struct shown *row = &table_of_shown[nth];
	const struct unit *u = find_unit(row->unit, row->dim);
	*out = (struct inw_shown_unit){row->dim, row->system, row->from, u->over / u->times, u->offset, u->name, row->usual};
	return true;
}

/* NULL for a dimension without a unit. */
static const struct unit *shown_unit(double value, enum inw_dim dim, enum inw_units system)
{
	const struct shown *best = NULL;

	for (size_t i = 0; i < INW_COUNT(table_of_shown); i++) {
		const struct shown *row = &table_of_shown[i];

		if (row->dim != dim || row->system != system)
			continue;
		if (value == 0 ? row->usual : !best || fabs(value) >= row->from)
			best = row;
	}
	return best ? find_unit(best->unit, dim) : NULL;
}

/* Temperatures to a tenth, from a hundred degrees on to a whole one: their zero is arbitrary, so significant figures
 * would say nothing. */
static void write_degrees(char number[INW_NUMBER_SIZE], double x)
{
	double rounded = fabs(x) < 99.95 ? round(10 * x) / 10 : round(x);

	inw_number_write(number, rounded, 6);
}

/* A share close to the whole is read by what is missing: 99.95 %, not 100 %. */
static int digits_of_share(double percent)
{
	double missing = 100 - percent;

	if (missing <= 0 || missing >= 1)
		return 3;
	return missing < 1e-12 ? 15 : 3 - (int)floor(log10(missing));
}

static int digits_deserved(double x, enum inw_dim dim, double value)
{
	if (dim == DIM(FRACTION))
		return digits_of_share(x);
	if (dim == DIM(PRESSURE) && fabs(value) >= 5e4)
		return 4; /* the weather's pressure: 1013 hPa, 29.92 inHg */
	return 3;
}

/* hh:mm, with seconds when they are not zero */
static void write_clock(char *out, size_t size, double seconds)
{
	char sign[2] = "";
	long long s;

	if (!isfinite(seconds) || fabs(seconds) > 1e9) {
		snprintf(out, size, "%s", isfinite(seconds) ? "far off" : "undefined");
		return;
	}
	s = llround(fabs(seconds));
	if (seconds < 0 && s > 0)
		sign[0] = '-';
	if (s % 60)
		snprintf(out, size, "%s%02lld:%02lld:%02lld", sign, s / 3600, s / 60 % 60, s % 60);
	else
		snprintf(out, size, "%s%02lld:%02lld", sign, s / 3600, s / 60 % 60);
}

char *inw_format(char *out, size_t size, double value_SI, enum inw_dim dim, enum inw_units system)
{
	char number[INW_NUMBER_SIZE];
	const struct unit *u;
	double x;

	assert(dim < INW_DIM_COUNT);
	if (size == 0)
		return out;
	if (dim == DIM(CLOCK)) {
		write_clock(out, size, value_SI);
		return out;
	}
	u = shown_unit(value_SI, dim, system);
	x = u ? from_SI(value_SI, u) : value_SI;
	if (dim == DIM(TEMPERATURE) && isfinite(x))
		write_degrees(number, x);
	else
		inw_number_write(number, x, isfinite(x) ? digits_deserved(x, dim, value_SI) : 1);
	snprintf(out, size, "%s%s%s", number, u && isfinite(x) ? " " : "", u && isfinite(x) ? u->name : "");
	return out;
}
