/* SPDX-License-Identifier: MIT */
/* test_units.c: the table of units against published factors, reading, refusing, writing.
 *
 * SP811 below is NIST Special Publication 811 (2008), Guide for the Use of the International System of Units, appendix
 * B.8, "Factors for units listed alphabetically". It prints seven significant digits; factors in bold there are exact.
 */
#include "test/check.h"

#include <float.h>
#include <locale.h>
#include <stdint.h>

#include "design/units.h"

#define WHY 600

static double read_SI(const char *text, enum inw_dim dim)
{
	double value = NAN, low = NAN, high = NAN, again = NAN;
	char why[WHY] = "";
	const char *sentence;

	if (inw_units_parse(text, dim, &value, &low, &high, why, sizeof why)) {
		printf("'%s': %s\n", text, why);
		return NAN;
	}
	sentence = inw_parse_quantity(text, dim, &again);
	CHECK(sentence == NULL && again == value);
	CHECK(low == value && high == value);
	return value;
}

static const char *refusal(char why[WHY], const char *text, enum inw_dim dim)
{
	double value = -7, low = -7, high = -7, again = -7;

	strcpy(why, "(accepted)");
	CHECK(inw_units_parse(text, dim, &value, &low, &high, why, WHY) == -1);
	CHECK(value == -7 && low == -7 && high == -7);
	CHECK(inw_parse_quantity(text, dim, &again) != NULL && again == -7);
	return why;
}

/* ---- factors ----------------------------------------------------------------------------------------------------- */

struct factor { const char *text; enum inw_dim dim; double SI, half_last_digit; const char *entry; };

/* Rounded factors: the tolerance is half a unit in the last digit that SP 811 prints. */
static const struct factor printed[] = {
	{"1 in2", INW_DIM_AREA, 6.4516e-4, 1e-18, "SP811 square inch (exact)"},
	{"1 ft2", INW_DIM_AREA, 9.290304e-2, 1e-16, "SP811 square foot (exact)"},
	{"1 ft3", INW_DIM_VOLUME, 2.831685e-2, 0.5e-8, "SP811 cubic foot"},
	{"1 in3", INW_DIM_VOLUME, 1.638706e-5, 0.5e-11, "SP811 cubic inch"},
	{"1 US gal", INW_DIM_VOLUME, 3.785412e-3, 0.5e-9, "SP811 gallon (U.S.)"},
	{"1 ft3/min", INW_DIM_VOLUME_FLOW, 4.719474e-4, 0.5e-10, "SP811 cubic foot per minute"},
	{"1 cfm", INW_DIM_VOLUME_FLOW, 4.719474e-4, 0.5e-10, "SP811 cubic foot per minute"},
	{"1 km/h", INW_DIM_VELOCITY, 2.777778e-1, 0.5e-7, "SP811 kilometer per hour"},
	{"1 inH2O", INW_DIM_PRESSURE, 2.490889e2, 0.5e-4, "SP811 inch of water, conventional"},
	{"1 inHg", INW_DIM_PRESSURE, 3.386389e3, 0.5e-3, "SP811 inch of mercury, conventional"},
	{"1 mmHg", INW_DIM_PRESSURE, 1.333224e2, 0.5e-4, "SP811 millimeter of mercury, conventional"},
	{"1 psi", INW_DIM_PRESSURE, 6.894757e3, 0.5e-3, "SP811 psi"},
	{"1 oz", INW_DIM_MASS, 2.834952e-2, 0.5e-8, "SP811 ounce (avoirdupois)"},
	{"1 lb/h", INW_DIM_MASS_RATE, 1.259979e-4, 0.5e-10, "SP811 pound per hour"},
	{"1 lb/min", INW_DIM_MASS_RATE, 7.559873e-3, 0.5e-9, "SP811 pound per minute"},
	{"1 lb/ft3", INW_DIM_DENSITY, 1.601846e1, 0.5e-5, "SP811 pound per cubic foot"},
	{"1 BTU", INW_DIM_ENERGY, 1.055056e3, 0.5e-3, "SP811 British thermal unit IT"},
	{"1 BTU/h", INW_DIM_POWER, 2.930711e-1, 0.5e-7, "SP811 British thermal unit IT per hour"},
	{"1 hp", INW_DIM_POWER, 7.456999e2, 0.5e-4, "SP811 horsepower (550 ft lbf/s)"},
	{"1 BTU in/(h ft2 degF)", INW_DIM_CONDUCTIVITY, 1.442279e-1, 0.5e-7, "SP811 Btu IT inch per hour square foot "
	     "degree F"},
	{"1 BTU/(h ft degF)", INW_DIM_CONDUCTIVITY, 1.730735, 0.5e-6, "SP811 Btu IT foot per hour square foot degree "
	     "F"},
	{"1 ft2 degF h/BTU", INW_DIM_RESISTANCE, 1.761102e-1, 0.5e-7, "SP811 degree F hour square foot per Btu IT"},
	{"1 BTU/(h degF)", INW_DIM_CONDUCTANCE, 1 / 1.895634, 1.5e-7, "SP811 degree F hour per Btu IT, inverted"},
	{"1 oz/ft2", INW_DIM_MASS_PER_AREA, 3.051517e-1, 0.5e-7, "SP811 ounce per square foot"},
	{"1 oz/yd2", INW_DIM_MASS_PER_AREA, 3.390575e-2, 0.5e-8, "SP811 ounce per square yard"},
	{"1 lb/ft2", INW_DIM_MASS_PER_AREA, 4.882428, 0.5e-6, "SP811 pound per square foot"},
	{"1 BTU/degF", INW_DIM_HEAT_CAPACITY, 1.899101e3, 0.5e-3, "SP811 Btu IT per degree F"},
	{"1 BTU/(lb degF)", INW_DIM_SPECIFIC_HEAT, 4.1868e3, 1e-9, "SP811 Btu IT per pound degree F, exact"},
	{"1 degF", INW_DIM_TEMPERATURE_DIFFERENCE, 5.555556e-1, 0.5e-7, "SP811 degree Fahrenheit (temperature "
	     "interval)"},
	{"1 deg", INW_DIM_ANGLE, 1.745329e-2, 0.5e-8, "SP811 degree (angle)"},
	/* SP811 gives 1.047198e-1 rad/s; a turn is 2 pi rad */
	{"1 rpm", INW_DIM_SPEED_OF_ROTATION, 1.047198e-1 / 6.283185307, 1e-8, "SP811 revolution per minute"},
	{"1 Torr", INW_DIM_PRESSURE, 1.333224e2, 0.5e-4, "SP811 torr"},
};

/* Exact factors: what a decimal reader makes of the exact decimal, to the last two places of a double. */
static const struct factor exact[] = {
	{"1 in", INW_DIM_LENGTH, 0.0254, 0, "SP811 inch"},
	{"1 ft", INW_DIM_LENGTH, 0.3048, 0, "SP811 foot"},
	{"1 lb", INW_DIM_MASS, 0.45359237, 0, "SP811 pound, footnote 22"},
	{"1 mph", INW_DIM_VELOCITY, 0.44704, 0, "SP811 mile per hour"},
	{"1 ft/min", INW_DIM_VELOCITY, 0.00508, 0, "SP811 foot per minute"},
	{"1 ft/s", INW_DIM_VELOCITY, 0.3048, 0, "SP811 foot per second"},
	{"1 mmH2O", INW_DIM_PRESSURE, 9.80665, 0, "SP811 millimeter of water, conventional"},
	{"1 atm", INW_DIM_PRESSURE, 101325, 0, "SP811 atmosphere, standard"},
	{"1 bar", INW_DIM_PRESSURE, 1e5, 0, "SP811 bar"},
	{"1 mbar", INW_DIM_PRESSURE, 100, 0, "SP811 millibar"},
	{"1 kWh", INW_DIM_ENERGY, 3.6e6, 0, "SP811 kilowatt hour"},
	{"1 g/cm3", INW_DIM_DENSITY, 1000, 0, "SP811 gram per cubic centimeter"},
	{"1 L", INW_DIM_VOLUME, 1e-3, 0, "SP811 liter"},
	{"1 min", INW_DIM_TIME, 60, 0, "SP811 minute"},
	{"1 h", INW_DIM_TIME, 3600, 0, "SP811 hour"},
	{"1 d", INW_DIM_TIME, 86400, 0, "SP811 day"},
	{"1 year", INW_DIM_TIME, 3.1536e7, 0, "SP811 year (365 days)"},
	{"1 BTU", INW_DIM_ENERGY, 1055.05585262, 0, "SP811 footnote 9: 1 Btu IT = 1055.05585262 J"},
	{"1 inH2O", INW_DIM_PRESSURE, 249.08891, 0, "1000 kg/m3 x 9.80665 m/s2 x 0.0254 m"},
	{"20 degC", INW_DIM_TEMPERATURE, 293.15, 0, "SP811 degree Celsius"},
	{"32 degF", INW_DIM_TEMPERATURE, 273.15, 0, "SP811 degree Fahrenheit: T = (t + 459.67)/1.8"},
	{"-40 degF", INW_DIM_TEMPERATURE, 233.15, 0, "same: -40 degF is -40 degC"},
	{"212 degF", INW_DIM_TEMPERATURE, 373.15, 0, "same"},
	{"5 degC", INW_DIM_TEMPERATURE_DIFFERENCE, 5, 0, "an interval of 1 degC is 1 K"},
	{"120 mm", INW_DIM_LENGTH, 0.12, 0, "SI prefix"},
	{"0.3 um", INW_DIM_LENGTH, 0.3e-6, 0, "SI prefix"},
	{"97 nm", INW_DIM_LENGTH, 97e-9, 0, "SI prefix"},
	{"2 km", INW_DIM_LENGTH, 2000, 0, "SI prefix"},
	{"60 cm2", INW_DIM_AREA, 60e-4, 0, "SI prefix"},
	{"7 mm2", INW_DIM_AREA, 7e-6, 0, "SI prefix"},
	{"7 mm3", INW_DIM_VOLUME, 7e-9, 0, "SI prefix"},
	{"36 m3/h", INW_DIM_VOLUME_FLOW, 0.01, 0, "arithmetic"},
	{"6 L/min", INW_DIM_VOLUME_FLOW, 1e-4, 0, "arithmetic"},
	{"1002 hPa", INW_DIM_PRESSURE, 100200, 0, "SI prefix"},
	{"0.25 mPa", INW_DIM_PRESSURE, 0.25e-3, 0, "SI prefix"},
	{"3 ug", INW_DIM_MASS, 3e-9, 0, "SI prefix: the kilogram has one already"},
	{"6 ug/min", INW_DIM_MASS_RATE, 1e-10, 0, "arithmetic"},
	{"15 g/h", INW_DIM_MASS_RATE, 15e-3 / 3600, 0, "arithmetic"},
	{"50 ug/m3", INW_DIM_CONCENTRATION, 50e-9, 0, "SI prefix"},
	{"40 %", INW_DIM_FRACTION, 0.4, 0, "per cent"},
	{"10 ppm", INW_DIM_VOLUME_RATIO, 10e-6, 0, "parts per million"},
	{"0.9 %", INW_DIM_VOLUME_RATIO, 0.009, 0, "per cent"},
	{"8 ppb", INW_DIM_VOLUME_RATIO, 8e-9, 0, "parts per billion, 1e9"},
	{"1.8 1/h", INW_DIM_RATE, 0.0005, 0, "arithmetic"},
	{"1.8 ach", INW_DIM_RATE, 0.0005, 0, "air changes per hour"},
	{"6e10 1/min", INW_DIM_NUMBER_RATE, 1e9, 0, "arithmetic"},
	{"2e9 1/g", INW_DIM_NUMBER_PER_MASS, 2e12, 0, "SI prefix"},
	{"20000 1/cm3", INW_DIM_NUMBER_CONCENTRATION, 2e10, 0, "SI prefix"},
	{"300 ug/g", INW_DIM_MASS_RATIO, 300e-6, 0, "SI prefix"},
	{"5 %", INW_DIM_MASS_RATIO, 0.05, 0, "per cent of the mass"},
	{"104.15 g/mol", INW_DIM_MOLAR_MASS, 0.10415, 0, "SI prefix"},
	{"26.3 cm3/mol", INW_DIM_MOLAR_VOLUME, 26.3e-6, 0, "SI prefix"},
	{"44 kJ/mol", INW_DIM_MOLAR_ENERGY, 44000, 0, "SI prefix"},
	{"0.45 cm3/g", INW_DIM_SPECIFIC_VOLUME, 0.45e-3, 0, "SI prefix"},
	{"0.45 mL/g", INW_DIM_SPECIFIC_VOLUME, 0.45e-3, 0, "SI prefix"},
	{"0.08 cm2/s", INW_DIM_DIFFUSIVITY, 8e-6, 0, "SI prefix"},
	{"3000 rpm", INW_DIM_SPEED_OF_ROTATION, 50, 0, "arithmetic"},
	{"50 Hz", INW_DIM_SPEED_OF_ROTATION, 50, 0, "arithmetic"},
	{"45 dB(A)", INW_DIM_SOUND, 45, 0, "as is"},
	{"45 dB", INW_DIM_SOUND, 45, 0, "as is"},
	{"90 g/m2", INW_DIM_MASS_PER_AREA, 0.09, 0, "SI prefix"},
	{"8 kJ/K", INW_DIM_HEAT_CAPACITY, 8000, 0, "SI prefix"},
	{"1.5 Wh/K", INW_DIM_HEAT_CAPACITY, 5400, 0, "arithmetic"},
	{"1470 J/kgK", INW_DIM_SPECIFIC_HEAT, 1470, 0, "as is"},
	{"1.47 kJ/(kg K)", INW_DIM_SPECIFIC_HEAT, 1470, 0, "SI prefix"},
	{"0.9 J/(g\u00B7K)", INW_DIM_SPECIFIC_HEAT, 900, 0, "SI prefix"},
	{"22:30", INW_DIM_CLOCK, 81000, 0, "arithmetic"},
	{"7:05", INW_DIM_CLOCK, 25500, 0, "arithmetic"},
	{"00:00", INW_DIM_CLOCK, 0, 0, "arithmetic"},
	{"24:00", INW_DIM_CLOCK, 86400, 0, "the end of a day"},
	{"10 pm", INW_DIM_CLOCK, 79200, 0, "arithmetic"},
	{"10:30 PM", INW_DIM_CLOCK, 81000, 0, "arithmetic"},
	{"7:05am", INW_DIM_CLOCK, 25500, 0, "arithmetic"},
	{"12 am", INW_DIM_CLOCK, 0, 0, "NIST: 12 a.m. is midnight at the beginning of a day, 12 p.m. noon (memory)"},
	{"12:01 pm", INW_DIM_CLOCK, 43260, 0, "the same"},
	{"06:00:15", INW_DIM_CLOCK, 21615, 0, "arithmetic"},
	{"2", INW_DIM_NONE, 2, 0, "as is"},
	{"-1.5e-3", INW_DIM_NONE, -0.0015, 0, "as is"},
};

static void factors_are_those_of_the_guide(void)
{
	for (size_t i = 0; i < INW_COUNT(printed); i++) {
		const struct factor *f = &printed[i];

		check_near_(__FILE__, __LINE__, f->text, read_SI(f->text, f->dim), f->SI,
		     f->half_last_digit * (1 + 1e-6), f->entry);
	}
	for (size_t i = 0; i < INW_COUNT(exact); i++) {
		const struct factor *f = &exact[i];

		check_near_(__FILE__, __LINE__, f->text, read_SI(f->text, f->dim), f->SI, fabs(f->SI) * 2 * DBL_EPSILON,
		     f->entry);
	}
}

/* Metric units worked out anew from prefix, base and power (SP811 tables 5 and 6), numerator over denominators. */
static double factor_of(const char *s, size_t n)
{
	static const struct { const char *name; double SI; } bases[] = {
		{"mol", 1}, {"min", 60}, {"bar", 1e5}, {"Pa", 1}, {"Wh", 3600}, {"Hz", 1}, {"g", 1e-3}, {"m", 1}, {"L",
		     1e-3}, {"s", 1},
		{"h", 3600}, {"d", 86400}, {"W", 1}, {"J", 1}, {"K", 1}, {"1", 1},
	};
	static const struct { char name; double power; } prefixes[] = {
		{'n', 1e-9}, {'u', 1e-6}, {'m', 1e-3}, {'c', 1e-2}, {'h', 1e2}, {'k', 1e3}, {'M', 1e6},
	};
	int power = n > 1 && (s[n - 1] == '2' || s[n - 1] == '3') ? s[--n] - '0' : 1;

	for (size_t i = 0; i < INW_COUNT(bases); i++)
		if (strlen(bases[i].name) == n && memcmp(bases[i].name, s, n) == 0)
			return pow(bases[i].SI, power);
	for (size_t i = 0; i < INW_COUNT(prefixes); i++)
		for (size_t j = 0; j < INW_COUNT(bases); j++)
			if (s[0] == prefixes[i].name && strlen(bases[j].name) == n - 1 && memcmp(bases[j].name, s + 1,
			     n - 1) == 0)
				return pow(prefixes[i].power * bases[j].SI, power);
	return NAN;
}

static const struct { enum inw_dim dim; const char *names; } metric[] = {
	{INW_DIM_LENGTH, "nm um mm cm m km"},
	{INW_DIM_AREA, "mm2 cm2 m2"},
	{INW_DIM_VOLUME, "mm3 cm3 m3 mL L"},
	{INW_DIM_TIME, "ms s min h d"},
	{INW_DIM_PRESSURE, "mPa Pa hPa kPa mbar bar"},
	{INW_DIM_VOLUME_FLOW, "m3/h m3/min m3/s L/s L/min L/h mL/min"},
	{INW_DIM_VELOCITY, "m/s cm/s mm/s m/min km/h"},
	{INW_DIM_MASS, "ng ug mg g kg"},
	{INW_DIM_MASS_RATE, "ng/s ng/min ng/h ug/s ug/min ug/h mg/s mg/min mg/h g/s g/min g/h g/d kg/s kg/h"},
	{INW_DIM_DENSITY, "kg/m3 kg/L g/L g/cm3 g/mL"},
	{INW_DIM_CONCENTRATION, "ng/m3 ug/m3 mg/m3 g/m3 kg/m3"},
	{INW_DIM_POWER, "mW W kW"},
	{INW_DIM_ENERGY, "J kJ MJ Wh kWh"},
	{INW_DIM_CONDUCTANCE, "W/K"},
	{INW_DIM_CONDUCTIVITY, "W/m/K"},
	{INW_DIM_RATE, "1/h 1/min 1/s 1/d"},
	{INW_DIM_NUMBER_RATE, "1/s 1/min 1/h"},
	{INW_DIM_NUMBER_PER_MASS, "1/mg 1/g 1/kg"},
	{INW_DIM_NUMBER_CONCENTRATION, "1/cm3 1/L 1/m3"},
	{INW_DIM_MASS_RATIO, "ng/g ug/g mg/g g/g ug/kg mg/kg g/kg kg/kg"},
	{INW_DIM_MOLAR_MASS, "g/mol kg/mol"},
	{INW_DIM_MOLAR_VOLUME, "cm3/mol m3/mol"},
	{INW_DIM_MOLAR_ENERGY, "J/mol kJ/mol"},
	{INW_DIM_SPECIFIC_VOLUME, "cm3/g mL/g L/kg m3/kg"},
	{INW_DIM_DIFFUSIVITY, "mm2/s cm2/s m2/s"},
	{INW_DIM_SPEED_OF_ROTATION, "1/min 1/s Hz"},
	{INW_DIM_MASS_PER_AREA, "g/m2 kg/m2"},
	{INW_DIM_HEAT_CAPACITY, "J/K kJ/K MJ/K Wh/K"},
	{INW_DIM_SPECIFIC_HEAT, "J/kg/K"},
};

static void metric_units_follow_from_their_parts(void)
{
	for (size_t i = 0; i < INW_COUNT(metric); i++)
		for (const char *p = metric[i].names; *p; p += strspn(p, " ")) {
			size_t n = strcspn(p, " "), part = strcspn(p, "/ ");
			double want = 3 * factor_of(p, part);
			char text[40];

			snprintf(text, sizeof text, "3 %.*s", (int)n, p);
			while (p[part] == '/') {
				size_t next = strcspn(p + part + 1, "/ ");

				want /= factor_of(p + part + 1, next);
				part += 1 + next;
			}
			check_near_(__FILE__, __LINE__, text, read_SI(text, metric[i].dim), want, 1e-14 * want, "SI "
			     "prefixes");
			p += n;
		}
}

/* The few that are neither in the guide's list nor made of prefix and base. */
static void the_other_units(void)
{
	CHECK_REL(read_SI("1 ft3/h", INW_DIM_VOLUME_FLOW), 4.719474e-4 / 60, 0.5e-6 / 4.719474, "SP811 cubic foot per "
	     "minute, over 60");
	CHECK(read_SI("100 fpm", INW_DIM_VELOCITY) == read_SI("100 ft/min", INW_DIM_VELOCITY));
	CHECK_REL(read_SI("1 oz/h", INW_DIM_MASS_RATE), 2.834952e-2 / 3600, 0.5e-6 / 2.834952, "SP811 ounce, over "
	     "3600 s");
	CHECK_REL(read_SI("1 1/ft3", INW_DIM_NUMBER_CONCENTRATION), 1 / 2.831685e-2, 0.5e-6 / 2.831685, "SP811 cubic "
	     "foot, inverted");
	CHECK(read_SI("3 ppmv", INW_DIM_VOLUME_RATIO) == read_SI("3 ppm", INW_DIM_VOLUME_RATIO));
	CHECK(read_SI("3 ppbv", INW_DIM_VOLUME_RATIO) == read_SI("3 ppb", INW_DIM_VOLUME_RATIO));
	CHECK(read_SI("3 ACH", INW_DIM_RATE) == read_SI("3 ach", INW_DIM_RATE));
	CHECK_REL(read_SI("25 mW/(m K)", INW_DIM_CONDUCTIVITY), 0.025, 1e-15, "SI prefix");
	CHECK(read_SI("2 rad", INW_DIM_ANGLE) == 2);
	CHECK_REL(read_SI("180 deg", INW_DIM_ANGLE), acos(-1), 1e-15, "half a turn is pi");
}

/* U2: each unit that a message recommends can be written, and each example too. */
static void every_recommended_unit_is_known(void)
{
	for (int dim = 0; dim < INW_DIM_COUNT; dim++) {
		char list[300], text[310];

		snprintf(list, sizeof list, "%s", inw_units_fitting((enum inw_dim)dim));
		CHECK(inw_units_dim_name((enum inw_dim)dim)[0] != '\0');
		if (dim == INW_DIM_CLOCK || dim == INW_DIM_NONE)
			continue;
		CHECK(list[0] != '\0');
		for (char *p = list, *next; p; p = next) {
			next = strstr(p, ", ");
			if (next) {
				*next = '\0';
				next += 2;
			}
			snprintf(text, sizeof text, "3 %s", p);
			CHECK(isfinite(read_SI(text, (enum inw_dim)dim)));
		}
	}
}

static void json_suffixes(void)
{
	CHECK_TEXT(inw_units_json_suffix(INW_DIM_PRESSURE), "_Pa");
	CHECK_TEXT(inw_units_json_suffix(INW_DIM_VOLUME_FLOW), "_m3s");
	CHECK_TEXT(inw_units_json_suffix(INW_DIM_NONE), "");
	for (int dim = 0; dim < INW_DIM_COUNT; dim++)
		CHECK(strspn(inw_units_json_suffix((enum inw_dim)dim),
		     "_abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789") ==
		      strlen(inw_units_json_suffix((enum inw_dim)dim)));
}

/* ---- spelling ---------------------------------------------------------------------------------------------------- */

static void same(const char *a, const char *b, enum inw_dim dim)
{
	double x = read_SI(a, dim), y = read_SI(b, dim);

	if (!(x == y))
		printf("'%s' is %.17g, '%s' is %.17g\n", a, x, b, y);
	CHECK(x == y);
}

static void spellings_that_mean_the_same(void)
{
	same("3 \xC2\xB5m", "3 um", INW_DIM_LENGTH);                       /* micro sign */
	same("3 \xCE\xBCm", "3 um", INW_DIM_LENGTH);                       /* Greek mu */
	same("5 \xC2\xB5g/m\xC2\xB3", "5 ug/m3", INW_DIM_CONCENTRATION);
	same("33 m\xC2\xB3/h", "33 m3/h", INW_DIM_VOLUME_FLOW);
	same("7 cm\xC2\xB2", "7 cm2", INW_DIM_AREA);
	same("21 \xC2\xB0""C", "21 degC", INW_DIM_TEMPERATURE);
	same("70 \xC2\xB0""F", "70 degF", INW_DIM_TEMPERATURE);
	same("21 \xE2\x84\x83", "21 degC", INW_DIM_TEMPERATURE);
	same("21 deg C", "21 degC", INW_DIM_TEMPERATURE);
	same("0.2 inH\xE2\x82\x82O", "0.2 inH2O", INW_DIM_PRESSURE);
	same("0.2 in wg", "0.2 inH2O", INW_DIM_PRESSURE);
	same("0.2 inWC", "0.2 inH2O", INW_DIM_PRESSURE);
	same("5 m^2", "5 m2", INW_DIM_AREA);
	same("120mm", "120 mm", INW_DIM_LENGTH);
	same("  120   mm ", "120 mm", INW_DIM_LENGTH);
	same("120\xC2\xA0mm", "120 mm", INW_DIM_LENGTH);                   /* unbreakable space */
	same("0.19 W/mK", "0.19 W/(m K)", INW_DIM_CONDUCTIVITY);
	same("0.19 W/(mK)", "0.19 W/(m K)", INW_DIM_CONDUCTIVITY);
	same("0.19 W/m K", "0.19 W/(m K)", INW_DIM_CONDUCTIVITY);
	same("0.19 W/(m degC)", "0.19 W/(m K)", INW_DIM_CONDUCTIVITY);
	same("1.5 BTU in/h ft2 degF", "1.5 BTU in/(h ft2 degF)", INW_DIM_CONDUCTIVITY);
	same("40 W/degC", "40 W/K", INW_DIM_CONDUCTANCE);
	same("40 BTU/h degF", "40 BTU/(h degF)", INW_DIM_CONDUCTANCE);
	same("0.13 K m2/W", "0.13 m2 K/W", INW_DIM_RESISTANCE);
	same("4 ft2 h degF/BTU", "4 ft2 degF h/BTU", INW_DIM_RESISTANCE);
	same("4 degF ft2 h/BTU", "4 ft2 degF h/BTU", INW_DIM_RESISTANCE);
	same("4 degF h ft2/BTU", "4 ft2 degF h/BTU", INW_DIM_RESISTANCE);
	same("3 mm H2O", "3 mmH2O", INW_DIM_PRESSURE);
	same("3 mm Hg", "3 mmHg", INW_DIM_PRESSURE);
	same("3 in Hg", "3 inHg", INW_DIM_PRESSURE);
	same("3 in wc", "3 inH2O", INW_DIM_PRESSURE);
	same("3 in H2O", "3 inH2O", INW_DIM_PRESSURE);
	same("9 deg F", "9 degF", INW_DIM_TEMPERATURE_DIFFERENCE);
	same("9 deg C", "9 K", INW_DIM_TEMPERATURE_DIFFERENCE);
	same("70 deg F", "70 degF", INW_DIM_TEMPERATURE);
	same("0.19 W/(m\xC2\xB7K)", "0.19 W/(m K)", INW_DIM_CONDUCTIVITY);
	same("0.19 W / ( m * K )", "0.19 W/(m K)", INW_DIM_CONDUCTIVITY);
	same("0.13 m2K/W", "0.13 m2 K/W", INW_DIM_RESISTANCE);
	same("1.5 Btu in/(hr ft^2 degF)", "1.5 BTU in/(h ft2 degF)", INW_DIM_CONDUCTIVITY);
	same("4 h ft2 degF/BTU", "4 ft2 degF h/BTU", INW_DIM_RESISTANCE);
	same("5 l/min", "5 L/min", INW_DIM_VOLUME_FLOW);
	same("5 CFM", "5 ft3/min", INW_DIM_VOLUME_FLOW);
	same("3 hours", "3 h", INW_DIM_TIME);
	same("5 lbs", "5 lb", INW_DIM_MASS);
	same("12 inches", "1 ft", INW_DIM_LENGTH);
	same("0.5/h", "0.5 1/h", INW_DIM_RATE);
	same("0.5 / h", "0.5 1/h", INW_DIM_RATE);
	same("45 dBA", "45 dB (A)", INW_DIM_SOUND);
	same("1.5E3 mm", "1500 mm", INW_DIM_LENGTH);
	same("+.5 mm", "0.5 mm", INW_DIM_LENGTH);
	same("1 day", "24 h", INW_DIM_TIME);
	same("1 week", "7 d", INW_DIM_TIME);
	same("12 month", "1 year", INW_DIM_TIME);
}

/* ---- the traps that a general units library fell into when it was tried ------------------------------------------ */

static void traps_of_general_unit_libraries(void)
{
	char why[WHY];

	/* "90 degF" read as one word became 50 K */
	CHECK_REL(read_SI("90 degF", INW_DIM_TEMPERATURE), 305.372, 1e-6, "(90 + 459.67)/1.8 = 305.3722");
	/* a difference of 5 K became -268.15 degC */
	CHECK(read_SI("5 K", INW_DIM_TEMPERATURE_DIFFERENCE) == 5);
	CHECK_REL(read_SI("9 degF", INW_DIM_TEMPERATURE_DIFFERENCE), 5, 1e-15, "9/1.8");
	CHECK(read_SI("5 K", INW_DIM_TEMPERATURE) == 5);
	/* inH2O and kWh were unknown */
	CHECK(isfinite(read_SI("0.5 inH2O", INW_DIM_PRESSURE)));
	CHECK(isfinite(read_SI("1 kWh", INW_DIM_ENERGY)));
	CHECK(isfinite(read_SI("30 dB", INW_DIM_SOUND)));
	CHECK(isfinite(read_SI("30 deg", INW_DIM_ANGLE)));
	/* oz was a fluid ounce */
	CHECK_REL(read_SI("16 oz", INW_DIM_MASS), 0.45359237, 1e-15, "SP811: 16 oz to the pound");
	CHECK(strstr(refusal(why, "8 oz", INW_DIM_VOLUME), "is a mass"));
	/* gal was an acceleration */
	CHECK(strstr(refusal(why, "2 gal", INW_DIM_VOLUME), "did you mean 'US gal'?"));
	/* ct became centitonne */
	CHECK(strstr(refusal(why, "3 ct", INW_DIM_MASS), "'ct' is not known"));
	/* year was the tropical year of 31 556 925.97 s, month a twelfth of it */
	CHECK(read_SI("1 year", INW_DIM_TIME) == 365 * 86400.0);
	CHECK(read_SI("1 month", INW_DIM_TIME) == 365 * 86400.0 / 12);
	/* "25 percent" failed */
	CHECK(read_SI("25 percent", INW_DIM_FRACTION) == 0.25);
	/* 1200 rpm became 125.66 1/s, a radian being 1 */
	CHECK(read_SI("1200 rpm", INW_DIM_SPEED_OF_ROTATION) == 20);
	CHECK(read_SI("20 Hz", INW_DIM_SPEED_OF_ROTATION) == read_SI("1200 rpm", INW_DIM_SPEED_OF_ROTATION));
	/* "1e10/min" failed after a split at the number */
	CHECK_REL(read_SI("1e10/min", INW_DIM_NUMBER_RATE), 1e10 / 60, 1e-15, "arithmetic");
	/* so did "1/8 in": it is refused in plain words */
	CHECK(strstr(refusal(why, "1/8 in", INW_DIM_LENGTH), "written as a fraction"));
	CHECK(strstr(refusal(why, "1 1/2 in", INW_DIM_LENGTH), "written as a fraction"));
	/* "10-4 m" became -40 */
	CHECK(strstr(refusal(why, "10-4 m", INW_DIM_LENGTH), "between number and unit"));
}

/* What people wrote who had not read how a range or a length of time is written. */
static void other_forms(void)
{
	static const char *const ranges[] = {
		"0.3 mm (0.2 - 0.5 mm)", "0.3 mm (0.2-0.5 mm)", "0.3 mm (0.2 to 0.5 mm)", "0.2 - 0.5 mm",
		"0.2 to 0.5 mm", "0.3 mm (0.2 \xE2\x80\x93 0.5 mm)", "0.3 \xC2\xB1 0.1 mm", "0.3 mm +/- 0.1 mm",
		"0.3 mm (0.2 \xE2\x80\xA6 0.5 mm)",
	};
	char why[WHY];

	for (size_t i = 0; i < INW_COUNT(ranges); i++)
		CHECK(strstr(refusal(why, ranges[i], INW_DIM_LENGTH), "two dots between them"));
	CHECK(isfinite(read_SI("0.19 W/(m K)", INW_DIM_CONDUCTIVITY))); /* brackets of a unit are no range */
	CHECK(isfinite(read_SI("45 dB(A)", INW_DIM_SOUND)));
	CHECK(strstr(refusal(why, "9:00", INW_DIM_TIME), "write '9 h'"));
	CHECK(strstr(refusal(why, "09:30", INW_DIM_TIME), "write '570 min'"));
	CHECK(strstr(refusal(why, "0:00:45", INW_DIM_TIME), "write '45 s'"));
	CHECK(!strstr(refusal(why, "9:0", INW_DIM_TIME), "time of day")); /* no clock reads so */
	CHECK(read_SI("9:00", INW_DIM_CLOCK) == 32400);
}

/* ---- refusals ---------------------------------------------------------------------------------------------------- */

static void says(const char *text, enum inw_dim dim, const char *want)
{
	char why[WHY];

	CHECK_TEXT(refusal(why, text, dim), want);
}

static void sentences_about_units(void)
{
	says("120", INW_DIM_LENGTH, "'120' has no unit; a length is needed, such as '120 mm'; units that fit: mm, cm, "
	     "m, um, nm, in, ft");
	says("0.4", INW_DIM_FRACTION, "'0.4' has no unit; a share is needed, such as '40 %'; units that fit: %");
	says("0", INW_DIM_PRESSURE, "'0' has no unit; a pressure is needed, such as '0.5 Pa'; units that fit: Pa, "
	     "hPa, kPa, mbar, bar, mmH2O, inH2O, mmHg, inHg, psi, atm");
	says("120 mn", INW_DIM_LENGTH, "in '120 mn' the unit 'mn' is not known for a length; units that fit: mm, cm, "
	     "m, um, nm, in, ft; did you mean 'mm'?");
	says("120 Pa", INW_DIM_LENGTH, "'120 Pa' is a pressure; a length is needed, such as '120 mm'; units that fit: "
	     "mm, cm, m, um, nm, in, ft");
	says("20 C", INW_DIM_TEMPERATURE, "in '20 C' the unit 'C' is not known for a temperature; units that fit: "
	     "degC, degF, K; did you mean 'degC'?");
	says("30 m3/g", INW_DIM_VOLUME_FLOW, "in '30 m3/g' the unit 'm3/g' is not known for a volume flow; units that "
	     "fit: m3/h, m3/s, L/s, L/min, ft3/min; did you mean 'm3/h'?");
	says("5 m", INW_DIM_TIME, "'5 m' is a length; a time is needed, such as '9 h'; units that fit: s, min, h, d, "
	     "week, month, year; did you mean 'min'?");
	says("2 mm", INW_DIM_NONE, "'2 mm' has the unit 'mm' where a pure number is needed; write the number alone");
	says("0.5 furlong", INW_DIM_LENGTH, "in '0.5 furlong' the unit 'furlong' is not known for a length; units "
	     "that fit: mm, cm, m, um, nm, in, ft");
	says("5 m m", INW_DIM_LENGTH, "in '5 m m' the unit 'm m' is not known for a length; units that fit: mm, cm, "
	     "m, um, nm, in, ft; did you mean 'mm'?");
}

static void sentences_about_numbers(void)
{
	says("", INW_DIM_LENGTH, "nothing is written where a length is needed, such as '120 mm'; units that fit: mm, "
	     "cm, m, um, nm, in, ft");
	says("  ", INW_DIM_NONE, "nothing is written where a pure number is needed, such as '2'");
	says("wide", INW_DIM_LENGTH, "'wide' does not begin with a number; a length is needed, such as '120 mm'; "
	     "units that fit: mm, cm, m, um, nm, in, ft");
	says("mm", INW_DIM_LENGTH, "'mm' does not begin with a number; a length is needed, such as '120 mm'; units "
	     "that fit: mm, cm, m, um, nm, in, ft");
	says("nan m", INW_DIM_LENGTH, "'nan m' is not a finite number; a length is needed, such as '120 mm'; units "
	     "that fit: mm, cm, m, um, nm, in, ft");
	says("-.inf", INW_DIM_NONE, "'-.inf' is not a finite number; a pure number is needed, such as '2'");
	says("Infinity", INW_DIM_NONE, "'Infinity' is not a finite number; a pure number is needed, such as '2'");
	says("0x10 mm", INW_DIM_LENGTH, "'0x10 mm' is a hexadecimal number; write it in decimal");
	says("\xE2\x88\x92""5 degC", INW_DIM_TEMPERATURE, "'\xE2\x88\x92""5 degC' begins with a typographic minus; "
	     "write the plain sign '-'");
	says("1,5 mm", INW_DIM_LENGTH, "'1,5 mm' has a decimal comma; write a point, as in 1.5");
	says("1/8 in", INW_DIM_LENGTH, "'1/8 in' is written as a fraction; write a decimal number, as in 0.125");
	says("10-4 m", INW_DIM_LENGTH, "'10-4 m' has something between number and unit that belongs to neither; write "
	     "the number without spaces, signs or grouping inside");
	says("1e400 mm", INW_DIM_LENGTH, "'1e400 mm' is too large a number to calculate with");
	says("1e308 km", INW_DIM_LENGTH, "'1e308 km' is too large a number to calculate with");
	says("1e-400 mm", INW_DIM_LENGTH, "'1e-400 mm' is too small a number to calculate with; write 0 if nothing is "
	     "meant");
	says("1e-320 nm", INW_DIM_LENGTH, "'1e-320 nm' is too small a number to calculate with; write 0 if nothing is "
	     "meant");
	says("-300 degC", INW_DIM_TEMPERATURE, "'-300 degC' is below absolute zero");
	says("-1 K", INW_DIM_TEMPERATURE, "'-1 K' is below absolute zero");
	says("0.12345678901234567890123456789012345678901 m", INW_DIM_LENGTH,
	     "'0.12345678901234567890123456789012345678901 m' has more than 40 significant digits");
}

/* Leftovers between and after; each must be refused, whatever the words. */
static void leftovers_are_refused(void)
{
	static const char *const texts[] = {
		"5. mm", "1.5.2 mm", "1 000 mm", "1_000 mm", "1'000 mm", "1.000,5 mm", "5 mm mm", "5 mm 3", "5 "
		     "mm;", "5 mm, 6 mm", "5 mm # x",
		"5 -mm", "5+ mm", "--5 mm", "+-5 mm", "- 5 mm", "~5 mm", "<5 mm", "5 \xFF", "5 mm\x01", "5 (mm)", "5 "
		     "mm (0.2 - 0.8 mm)", "5 mm/",
		"5 mm (", "5 mm ()", "1e mm", "1e5e5 mm", "5 %", "5 Mm", "5 MM", "5 mm mm mm mm mm mm mm mm mm mm mm "
		     "mm mm mm mm mm mm mm mm mm mm",
		"0X1p3 m", "5e3.2 mm", "\xC2\xBD mm", "5\xC2\xBD mm", "five mm", "5mm5", "1e10/8 m",
	};
	char why[WHY];

	for (size_t i = 0; i < INW_COUNT(texts); i++)
		CHECK(strlen(refusal(why, texts[i], INW_DIM_LENGTH)) > 10 && strcmp(why, "(accepted)") != 0);
}

static void sentences_about_the_clock(void)
{
	static const char *const texts[] = {"25:00", "24:01", "22:60", "2230", "22:3", "22.30", "9",
	                                    "9 h", "-1:00", "22:30h", "1:2:3", "22:30:60", "13 pm", "0 am", "10:5 pm", "10:61 am", "pm", "10 xm", "10 pmm"};
	char why[WHY];

	says("25:00", INW_DIM_CLOCK, "'25:00' is no time of day between 00:00 and 24:00; a time of day is needed, "
	     "such as '22:30'; write hours and minutes as 22:30 or 10:30 pm");
	for (size_t i = 0; i < INW_COUNT(texts); i++)
		CHECK(strstr(refusal(why, texts[i], INW_DIM_CLOCK), "no time of day") != NULL);
}

static void what_is_quoted_is_short_and_clean(void)
{
	char text[400] = "\x1b[31m", why[WHY];

	memset(text + 5, 'x', 300);
	refusal(why, text, INW_DIM_LENGTH);
	CHECK(strchr(why, '\x1b') == NULL);
	CHECK(strstr(why, "xxx...'") != NULL && strlen(why) < 250);
	for (size_t i = 0; i < 399; i++)
		text[i] = i % 2 ? '\xB5' : '\xC2';
	text[398] = '\0';
	refusal(why, text, INW_DIM_LENGTH);
	CHECK(strstr(why, "\xC2.") == NULL); /* no half a sign before the dots */
}

static void a_short_buffer_is_kept(void)
{
	double v, low, high;
	char why[8] = "1234567";

	CHECK(inw_units_parse("x", INW_DIM_LENGTH, &v, &low, &high, why, 4) == -1);
	CHECK(memcmp(why, "'x'\0""567", 8) == 0);
	CHECK(inw_units_parse("x", INW_DIM_LENGTH, &v, &low, &high, NULL, 0) == -1);
}

static void static_sentences(void)
{
	double x;

	CHECK_TEXT(inw_parse_quantity("120", INW_DIM_LENGTH, &x),
	           "this number has no unit; a length is needed, such as '120 mm'; units that fit: mm, cm, m, um, nm, "
	     "in, ft");
	CHECK_TEXT(inw_parse_quantity("120 Pa", INW_DIM_LENGTH, &x),
	           "this unit does not fit; a length is needed, such as '120 mm'; units that fit: mm, cm, m, um, nm, "
	     "in, ft");
	CHECK_TEXT(inw_parse_quantity("wide", INW_DIM_LENGTH, &x), "this does not begin with a number; a length is "
	     "needed, such as '120 mm'");
	CHECK_TEXT(inw_parse_quantity("25:00", INW_DIM_CLOCK, &x), "this cannot be read; a time of day is needed, "
	     "such as '22:30'");
	CHECK_TEXT(inw_parse_quantity("1,5 mm", INW_DIM_LENGTH, &x), "this has a decimal comma; write a point, as in "
	     "1.5");
	CHECK_TEXT(inw_parse_quantity("4 mm (3 .. 5 mm)", INW_DIM_LENGTH, &x), "this has a range where one value is "
	     "needed");
}

/* ---- ranges ------------------------------------------------------------------------------------------------------ */

static void ranged(const char *text, enum inw_dim dim, double value, double low, double high)
{
	double v = NAN, l = NAN, h = NAN;
	char why[WHY] = "";

	CHECK(inw_units_parse(text, dim, &v, &l, &h, why, sizeof why) == 0);
	if (why[0])
		printf("'%s': %s\n", text, why);
	CHECK_REL(v, value, 1e-14, "arithmetic");
	CHECK_REL(l, low, 1e-14, "arithmetic");
	CHECK_REL(h, high, 1e-14, "arithmetic");
	CHECK(l <= v && v <= h);
}

static void ranges_are_read(void)
{
	ranged("0.4 mm (0.2 .. 0.8 mm)", INW_DIM_LENGTH, 4e-4, 2e-4, 8e-4);
	ranged("120 mm (100 mm .. 140 mm)", INW_DIM_LENGTH, 0.12, 0.1, 0.14);
	ranged("0.4 mm(0.2..0.8 mm)", INW_DIM_LENGTH, 4e-4, 2e-4, 8e-4);
	ranged("2 cm (15 mm .. 1 in)", INW_DIM_LENGTH, 0.02, 0.015, 0.0254);
	ranged("20 degC (18 .. 22 degC)", INW_DIM_TEMPERATURE, 293.15, 291.15, 295.15);
	ranged("20 degC (64 .. 71.6 degF)", INW_DIM_TEMPERATURE, 293.15, (64 + 459.67) / 1.8, 295.15);
	ranged("-5 degC (-10 .. -1 degC)", INW_DIM_TEMPERATURE, 268.15, 263.15, 272.15);
	ranged("0.19 W/(m K) (0.17 .. 0.21 W/(m K))", INW_DIM_CONDUCTIVITY, 0.19, 0.17, 0.21);
	ranged("0.19 W/(m K) (0.17 W/(m K) .. 0.21 W/(m K))", INW_DIM_CONDUCTIVITY, 0.19, 0.17, 0.21);
	ranged("45 dB(A) (40 .. 50 dB(A))", INW_DIM_SOUND, 45, 40, 50);
	ranged("0.5 1/h (0.2 .. 1 1/h)", INW_DIM_RATE, 0.5 / 3600, 0.2 / 3600, 1.0 / 3600);
	ranged("2 (1 .. 3)", INW_DIM_NONE, 2, 1, 3);
	ranged("22:30 (22:00 .. 23:00)", INW_DIM_CLOCK, 81000, 79200, 82800);
	ranged("5 mm (5 .. 5 mm)", INW_DIM_LENGTH, 5e-3, 5e-3, 5e-3);
	/* equal ends in other units, whose last bits differ after conversion */
	ranged("25.4 mm (1 in .. 0.1 ft)", INW_DIM_LENGTH, 0.0254, 0.0254, 0.03048);
	ranged("0 degC (32 .. 50 degF)", INW_DIM_TEMPERATURE, 273.15, 273.15, 283.15);
	ranged("1 ft3/min (0.4719474432 L/s .. 2 L/s)", INW_DIM_VOLUME_FLOW, 4.719474432e-4, 4.719474432e-4, 2e-3);
}

static void sentences_about_ranges(void)
{
	says("0.2 .. 0.8 mm", INW_DIM_LENGTH, "'0.2 .. 0.8 mm' is a range without a best estimate; write the value "
	     "before it, as in '5 (3 .. 8)' with units");
	says("(0.2 .. 0.8 mm)", INW_DIM_LENGTH, "'(0.2 .. 0.8 mm)' is a range without a best estimate; write the "
	     "value before it, as in '5 (3 .. 8)' with units");
	says("0.4 mm (0.2 .. 0.8 mm", INW_DIM_LENGTH, "'0.4 mm (0.2 .. 0.8 mm' has an unfinished range; write it as "
	     "'value (low .. high)'");
	says("0.4 mm (0.2 .. 0.8 mm) or so", INW_DIM_LENGTH, "'0.4 mm (0.2 .. 0.8 mm) or so' has an unfinished range; "
	     "write it as 'value (low .. high)'");
	says("0.4 mm (0.8 .. 0.2 mm)", INW_DIM_LENGTH, "'0.4 mm (0.8 .. 0.2 mm)' has a range whose low end is above "
	     "its high end");
	says("0.9 mm (0.2 .. 0.8 mm)", INW_DIM_LENGTH, "'0.9 mm (0.2 .. 0.8 mm)' has a range that does not hold its "
	     "own value");
	says("0.4 (0.2 .. 0.8 mm)", INW_DIM_LENGTH, "'0.4' has no unit; a length is needed, such as '120 mm'; units "
	     "that fit: mm, cm, m, um, nm, in, ft");
	says("0.4 mm (0.2 .. 0.8)", INW_DIM_LENGTH, "'0.8' has no unit; a length is needed, such as '120 mm'; units "
	     "that fit: mm, cm, m, um, nm, in, ft");
	says("0.4 mm (0.2 .. )", INW_DIM_LENGTH, "nothing is written where a length is needed, such as '120 mm'; "
	     "units that fit: mm, cm, m, um, nm, in, ft");
	says("0.4 mm (x .. 0.8 mm)", INW_DIM_LENGTH, "'x' does not begin with a number; a length is needed, such as "
	     "'120 mm'; units that fit: mm, cm, m, um, nm, in, ft");
}

/* ---- writing ----------------------------------------------------------------------------------------------------- */

static void shows(double x, enum inw_dim dim, const char *in_SI, const char *in_US)
{
	char out[80];

	CHECK_TEXT(inw_format(out, sizeof out, x, dim, INW_SI), in_SI);
	CHECK_TEXT(inw_format(out, sizeof out, x, dim, INW_US), in_US);
}

static void values_are_written_as_the_trade_does(void)
{
	shows(0.6, INW_DIM_LENGTH, "600 mm", "23.6 in");
	shows(2.4, INW_DIM_LENGTH, "2.4 m", "7.87 ft");
	shows(0.0004, INW_DIM_LENGTH, "0.4 mm", "0.0157 in");
	shows(0.3e-6, INW_DIM_LENGTH, "300 nm", "300 nm");
	shows(0, INW_DIM_LENGTH, "0 mm", "0 in");
	shows(0.006, INW_DIM_AREA, "60 cm2", "9.3 in2");
	shows(0.15, INW_DIM_VOLUME, "150 L", "5.3 ft3");
	shows(0.8, INW_DIM_PRESSURE, "0.8 Pa", "0.00321 inH2O");
	shows(-0.5, INW_DIM_PRESSURE, "-0.5 Pa", "-0.00201 inH2O");
	shows(0, INW_DIM_PRESSURE, "0 Pa", "0 inH2O");
	shows(300, INW_DIM_PRESSURE, "300 Pa", "1.2 inH2O");
	shows(101325, INW_DIM_PRESSURE, "1013 hPa", "29.92 inHg");
	shows(1000.0 / 120000, INW_DIM_VOLUME_FLOW, "30 m3/h", "17.7 ft3/min");
	shows(0.5, INW_DIM_VELOCITY, "0.5 m/s", "98.4 ft/min");
	shows(0.5, INW_DIM_MASS, "500 g", "1.1 lb");
	shows(0.01, INW_DIM_MASS, "10 g", "10 g"); /* beside traces in mg */
	shows(0.1, INW_DIM_MASS, "100 g", "3.53 oz");
	shows(15e-3 / 3600, INW_DIM_MASS_RATE, "15 g/h", "0.529 oz/h");
	shows(33e-9 / 60, INW_DIM_MASS_RATE, "1.98 mg/h", "1.98 mg/h");
	shows(293.15, INW_DIM_TEMPERATURE, "20 degC", "68 degF");
	shows(272.57, INW_DIM_TEMPERATURE, "-0.6 degC", "31 degF");
	shows(533.15, INW_DIM_TEMPERATURE, "260 degC", "500 degF");
	shows(5, INW_DIM_TEMPERATURE_DIFFERENCE, "5 K", "9 degF");
	shows(100, INW_DIM_POWER, "100 W", "100 W");
	shows(3.6e6, INW_DIM_ENERGY, "1 kWh", "1 kWh"); /* as it is billed */
	shows(40, INW_DIM_CONDUCTANCE, "40 W/K", "75.8 BTU/(h degF)");
	shows(0.19, INW_DIM_CONDUCTIVITY, "0.19 W/(m K)", "1.32 BTU in/(h ft2 degF)");
	shows(0.13, INW_DIM_RESISTANCE, "0.13 m2 K/W", "0.738 ft2 degF h/BTU");
	shows(480, INW_DIM_DENSITY, "480 kg/m3", "30 lb/ft3");
	shows(50e-9, INW_DIM_CONCENTRATION, "50 ug/m3", "50 ug/m3");
	shows(215e-6, INW_DIM_CONCENTRATION, "215 mg/m3", "215 mg/m3");
	shows(10e-6, INW_DIM_VOLUME_RATIO, "10 ppm", "10 ppm");
	shows(0.009, INW_DIM_VOLUME_RATIO, "0.9 %", "0.9 %");
	shows(1e10 / 60, INW_DIM_NUMBER_RATE, "1e10 1/min", "1e10 1/min");
	shows(2e10, INW_DIM_NUMBER_CONCENTRATION, "20000 1/cm3", "20000 1/cm3");
	shows(0.4 / 3600, INW_DIM_RATE, "0.4 1/h", "0.4 1/h");
	shows(32400, INW_DIM_TIME, "9 h", "9 h");
	shows(0.08, INW_DIM_TIME, "0.08 s", "0.08 s");
	shows(90 * 86400.0, INW_DIM_TIME, "90 d", "90 d");
	shows(50, INW_DIM_SPEED_OF_ROTATION, "3000 rpm", "3000 rpm");
	shows(34.25, INW_DIM_SOUND, "34.2 dB", "34.2 dB");
	shows(0.09, INW_DIM_MASS_PER_AREA, "90 g/m2", "0.295 oz/ft2");
	shows(4.8, INW_DIM_MASS_PER_AREA, "4.8 kg/m2", "15.7 oz/ft2");
	shows(6000, INW_DIM_HEAT_CAPACITY, "6 kJ/K", "3.16 BTU/degF"); /* 6000 / 1899.101 */
	shows(1470, INW_DIM_SPECIFIC_HEAT, "1470 J/(kg K)", "0.351 BTU/(lb degF)"); /* 1470 / 4186.8 */
	shows(0.65, INW_DIM_NONE, "0.65", "0.65");
	shows(81000, INW_DIM_CLOCK, "22:30", "22:30");
	shows(21615, INW_DIM_CLOCK, "06:00:15", "06:00:15");
	shows(86400, INW_DIM_CLOCK, "24:00", "24:00");
}

/* Three figures would call a class H13 filter perfect. */
static void a_share_near_the_whole_keeps_what_is_missing(void)
{
	shows(0.4, INW_DIM_FRACTION, "40 %", "40 %");
	shows(0.9995, INW_DIM_FRACTION, "99.95 %", "99.95 %");
	shows(0.99995, INW_DIM_FRACTION, "99.995 %", "99.995 %");
	shows(0.9999876, INW_DIM_FRACTION, "99.9988 %", "99.9988 %");
	shows(1, INW_DIM_FRACTION, "100 %", "100 %");
	shows(1.2, INW_DIM_FRACTION, "120 %", "120 %");
	shows(0.00012, INW_DIM_FRACTION, "0.012 %", "0.012 %");
}

static void what_is_no_number_says_so(void)
{
	char out[40] = "x";

	shows(NAN, INW_DIM_LENGTH, "undefined", "undefined");
	shows(INFINITY, INW_DIM_TIME, "infinite", "infinite");
	shows(NAN, INW_DIM_CLOCK, "undefined", "undefined");
	shows(NAN, INW_DIM_TEMPERATURE, "undefined", "undefined");
	CHECK(inw_format(out, 0, 1, INW_DIM_LENGTH, INW_SI) == out && out[0] == 'x');
	CHECK_TEXT(inw_format(out, 4, 0.12, INW_DIM_LENGTH, INW_SI), "120");
	CHECK_TEXT(inw_format(out, sizeof out, NAN, INW_DIM_FRACTION, INW_SI), "undefined");
}

static uint64_t random_state = 2463534242u;

static double random_share(void)
{
	random_state ^= random_state << 13;
	random_state ^= random_state >> 7;
	random_state ^= random_state << 17;
	return (double)(random_state >> 11) / 9007199254740992.0;
}

/* What is written must be readable, ASCII, and within the half unit of its last (third) figure: 0.5 in 100. */
static bool comes_back(enum inw_dim dim, enum inw_units system)
{
	double x = pow(10, -9 + 15 * random_share()), y = NAN, low, high, tolerance;
	char out[80], why[WHY] = "";

	if (dim == INW_DIM_TEMPERATURE)
		x = 200 + 400 * random_share();
	else if (dim == INW_DIM_CLOCK)
		x = floor(86400 * random_share());
	else if (dim == INW_DIM_FRACTION)
		x = random_share();
	else if (random_share() < 0.3)
		x = -x;
	inw_format(out, sizeof out, x, dim, system);
	tolerance = dim == INW_DIM_TEMPERATURE ? 0.5001 : dim == INW_DIM_CLOCK ? 0 : 0.005001 * fabs(x);
	if (inw_units_parse(out, dim, &y, &low, &high, why, sizeof why) == 0 && fabs(y - x) <= tolerance &&
	    strspn(out, "0123456789.:-+e ()/%abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ") == strlen(out))
		return true;
	printf("dimension %d: %.9g is written '%s', read %.9g %s\n", (int)dim, x, out, y, why);
	return false;
}

static void what_is_written_can_be_read(void)
{
	for (int dim = 0; dim < INW_DIM_COUNT; dim++)
		for (int system = INW_SI; system <= INW_US; system++) {
			int lost = 0;

			for (int i = 0; i < 500; i++)
				lost += !comes_back((enum inw_dim)dim, (enum inw_units)system);
			CHECK(lost == 0);
		}
}

/* A host program may have set a locale with a decimal comma. Checked when the system has one. */
static void units_do_not_know_the_locale(void)
{
	static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "fr_FR.utf8", "nl_NL.UTF-8",
	     "ru_RU.UTF-8"};
	size_t i = 0;
	char out[40];

	while (i < INW_COUNT(names) && !setlocale(LC_ALL, names[i]))
		i++;
	if (i == INW_COUNT(names)) {
		printf("note: no locale with a decimal comma on this system\n");
		return;
	}
	CHECK(read_SI("1.5 mm", INW_DIM_LENGTH) == 0.0015);
	CHECK_TEXT(inw_format(out, sizeof out, 0.0015, INW_DIM_LENGTH, INW_SI), "1.5 mm");
	CHECK_TEXT(inw_format(out, sizeof out, 294.65, INW_DIM_TEMPERATURE, INW_SI), "21.5 degC");
	setlocale(LC_ALL, "C");
}

int main(void)
{
	factors_are_those_of_the_guide();
	metric_units_follow_from_their_parts();
	the_other_units();
	every_recommended_unit_is_known();
	json_suffixes();
	spellings_that_mean_the_same();
	traps_of_general_unit_libraries();
	other_forms();
	sentences_about_units();
	sentences_about_numbers();
	leftovers_are_refused();
	sentences_about_the_clock();
	what_is_quoted_is_short_and_clean();
	a_short_buffer_is_kept();
	static_sentences();
	ranges_are_read();
	sentences_about_ranges();
	values_are_written_as_the_trade_does();
	a_share_near_the_whole_keeps_what_is_missing();
	what_is_no_number_says_so();
	what_is_written_can_be_read();
	units_do_not_know_the_locale();
	return check_done();
}
