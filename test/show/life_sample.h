/* SPDX-License-Identifier: MIT */
/* life_sample.h: months on the carbon made by hand, so that showing can be tested without running anything.
 *
 * A week that repeats: seven rows of days, then one for each week up to week 20. Of toluene 2 % passes at first and
 * 2 % * 5^(week/20) later, so 10 % after 20 weeks, the carbon's end; 1 % passes from the start. Of styrene always 0.001 %.
 * Formaldehyde is not held. Each week gives off 70 mg of toluene; 20 weeks are 1.4 g.
 * The bad end is 5 weeks, the good end 300 days (10 months of 365/12 days are 304). Jobs run 30 h a week: 600 h.
 * One bed of 50 mm, 0.5 kg: t/(20 weeks) * 2.8 mg/g of toluene in all slices (1.4 g at the end), 10 mg/g of water (5 g).
 * A year takes 365/140 * 0.5 kg = 1.3036 kg of carbon; 360 MJ are 100 kWh. The medium is loaded after 26 weeks.
 */
#ifndef INW_LIFE_SAMPLE_H
#define INW_LIFE_SAMPLE_H

#include <math.h>
#include <string.h>

#include "design/design.h"

enum { LIFE_WEEKS = 20, LIFE_ROWS = 7 + LIFE_WEEKS - 1, LIFE_COLUMNS = 10, LIFE_VERDICTS = 8, LIFE_GASES = 3, LIFE_TIMES = 11, LIFE_SLICES = 10, LIFE_HELD = 2 };

struct life_sample {
	struct inw_life_report report;
	struct inw_design design;
	struct inw_quantity removal;
	struct inw_life_gas gas[LIFE_GASES];
	struct inw_life_limit limit[2];
	struct inw_verdict verdict[LIFE_VERDICTS];
	const char *name[LIFE_COLUMNS];
	enum inw_dim dim[LIFE_COLUMNS];
	double value[LIFE_ROWS * LIFE_COLUMNS];
	struct inw_bed_profile bed;
	double moments[LIFE_TIMES], loading[LIFE_TIMES][LIFE_HELD][LIFE_SLICES];
};

static const double life_week = 7 * 86400.0;

static inline double life_sample_passes(double t)
{
	return 0.02 * pow(5, t / (LIFE_WEEKS * life_week));
}

static inline void life_sample_series(struct life_sample *s)
{
	static const struct {
		const char *name;
		enum inw_dim dim;
	} column[LIFE_COLUMNS] = {
		{"time", INW_DIM_TIME},
		{"gases[toluene].let_through", INW_DIM_FRACTION}, {"gases[toluene].on_carbon", INW_DIM_MASS}, {"gases[toluene].after_carbon", INW_DIM_CONCENTRATION},
		{"gases[styrene].let_through", INW_DIM_FRACTION}, {"gases[styrene].on_carbon", INW_DIM_MASS}, {"gases[styrene].after_carbon", INW_DIM_CONCENTRATION},
		{"gases[formaldehyde].let_through", INW_DIM_FRACTION},
		{"air[mender, \"night\"]", INW_DIM_NONE}, {"air[sleeper]", INW_DIM_NONE}};
	for (size_t c = 0; c < LIFE_COLUMNS; c++) {
		s->name[c] = column[c].name;
		s->dim[c] = column[c].dim;
	}
	for (int i = 0; i < LIFE_ROWS; i++) {
		double t = i < 7 ? 86400.0 * (i + 1) : life_week * (i - 5), p = life_sample_passes(t);
		const double v[LIFE_COLUMNS] = {t, p, 7e-5 * t / life_week, 1e-7 * p, 1e-5, 1e-6 * t / life_week, 1e-12, NAN, 0.3 * p, 0};
		memcpy(&s->value[i * LIFE_COLUMNS], v, sizeof v);
	}
	s->report.series = (struct inw_series){s->name, s->dim, LIFE_COLUMNS, s->value, LIFE_ROWS};
}

static inline void life_sample_bed(struct life_sample *s)
{
	static const char *const substance[LIFE_HELD] = {"toluene", "water"};
	static const double unknown[LIFE_HELD] = {NAN, NAN};
	for (size_t t = 0; t < LIFE_TIMES; t++) {
		s->moments[t] = 2 * life_week * (double)t;
		for (size_t j = 0; j < LIFE_SLICES; j++) {
			s->loading[t][0][j] = 2.8e-3 * (double)t / 10;
			s->loading[t][1][j] = 10e-3;
		}
	}
	s->bed = (struct inw_bed_profile){.stage = "2 carbon", .depth_m = 0.05, .carbon_kg = 0.5, .cells = LIFE_SLICES, .substance = substance, .substances = LIFE_HELD,
	                                  .t = s->moments, .times = LIFE_TIMES, .loading = &s->loading[0][0][0], .full = unknown, .strongest = unknown, .strongest_t = NAN};
	s->report.beds = &s->bed;
	s->report.bed_count = 1;
}

static inline void life_sample_gases(struct life_sample *s)
{
	s->limit[0] = (struct inw_life_limit){"home_long", 3e-9, 10 * life_week};
	s->limit[1] = (struct inw_life_limit){"work_8h", 3.7e-5, NAN};
	s->gas[0] = (struct inw_life_gas){.name = "toluene", .title = "Toluene, by hand", .held = true, .given_off_kg = 7e-5, .on_carbon_kg = 1.4e-3,
	                                  .back_running_kg = 1e-7, .back_idle_kg = 4e-7, .passes_s = {0, 19 * life_week, NAN}, .limits = s->limit, .limit_count = 2};
	s->gas[1] = (struct inw_life_gas){.name = "styrene", .title = "Styrene", .held = true, .given_off_kg = 1e-6, .on_carbon_kg = 2e-5, .passes_s = {NAN, NAN, NAN}};
	s->gas[2] = (struct inw_life_gas){.name = "formaldehyde", .title = "Formaldehyde", .given_off_kg = 3e-6, .passes_s = {NAN, NAN, NAN}};
	s->report.gases = s->gas;
	s->report.gas_count = LIFE_GASES;
}

static inline struct inw_verdict life_sample_verdict(const char *id, const char *title, enum inw_dim dim, double value, const char *reason)
{
	return (struct inw_verdict){.id = id, .title = title, .state = "over months", .word = INW_STATED, .dim = dim, .sense = INW_NO_LIMIT, .value = value, .low = NAN,
	                            .high = NAN, .limit = NAN, .limit_high = NAN, .margin = NAN, .limit_source = "no limit applies", .reason = reason};
}

static inline void life_sample_verdicts(struct life_sample *s)
{
	const struct inw_verdict v[LIFE_VERDICTS] = {
		life_sample_verdict("life_use", "Use of the carbon", INW_DIM_TIME, 600 * 3600.0, "Toluene: more passes than is allowed."),
		life_sample_verdict("life_calendar", "Time by the calendar", INW_DIM_TIME, 20 * life_week, ""),
		life_sample_verdict("life_medium[1 particle]", "Time by the calendar until '1 particle' is loaded", INW_DIM_TIME, 26 * life_week, "It grows."),
		life_sample_verdict("life_carbon_year", "Carbon per year", INW_DIM_MASS, 365 / 140.0 * 0.5, "One filling per change."),
		life_sample_verdict("life_energy_year", "Electrical energy per year", INW_DIM_ENERGY, 3.6e8, ""),
		life_sample_verdict("life_heating_year", "Heat per year", INW_DIM_ENERGY, 0, ""),
		life_sample_verdict("life_cost_year", "Cost per year", INW_DIM_NONE, 55, "No price is given for heating: not counted."),
		life_sample_verdict("life_shortcut", "Repeated against a full run", INW_DIM_FRACTION, 2e-4, ""),
	};
	memcpy(s->verdict, v, sizeof v);
	s->verdict[0].word = INW_IN_DOUBT;
	s->verdict[0].sense = INW_AT_LEAST;
	s->verdict[0].limit = 300 * 3600.0;
	s->verdict[0].margin = 300 * 3600.0;
	s->verdict[0].low = 150 * 3600.0;
	s->verdict[0].high = 300 / 7.0 * 30 * 3600;
	s->verdict[0].limit_source = "the hand";
}

static inline void life_sample_make(struct life_sample *s)
{
	static const char *const notes[] = {"Best-estimate inputs."}, *const cautions[] = {"Spent carbon gives back what it took up."};
	memset(s, 0, sizeof *s);
	life_sample_series(s);
	life_sample_bed(s);
	life_sample_gases(s);
	life_sample_verdicts(s);
	s->removal = (struct inw_quantity){.path = "require.gas_removal", .value = 0.9, .low = 0.9, .high = 0.9};
	s->design.quantity = &s->removal;
	s->design.quantities = 1;
	s->design.require.gas_removal = 0;
	s->report.title = "Repair bench on a houseboat";
	s->report.file = "examples/boat.yaml";
	s->report.overall = INW_IN_DOUBT;
	s->report.pattern_s = life_week;
	s->report.spent_s = s->report.followed_s = LIFE_WEEKS * life_week;
	s->report.spent_low_s = 5 * life_week;
	s->report.spent_high_s = 300 * 86400.0;
	s->report.horizon_s = 730 * 86400.0;
	s->report.shortcut_error = 2e-4;
	s->report.matter_closure = 3e-15;
	s->report.verdicts = s->verdict;
	s->report.verdict_count = LIFE_VERDICTS;
	s->report.notes = notes;
	s->report.note_count = 1;
	s->report.cautions = cautions;
	s->report.caution_count = 1;
	s->report.design = &s->design;
}

/* A run that has no number, no name and no design. */
static inline void life_sample_blank(struct life_sample *s)
{
	life_sample_make(s);
	for (size_t i = 0; i < LIFE_VERDICTS; i++) {
		s->verdict[i].word = INW_CANNOT_TELL;
		s->verdict[i].value = s->verdict[i].limit = s->verdict[i].margin = NAN;
		s->verdict[i].reason = s->verdict[i].limit_source = NULL;
	}
	for (size_t i = 0; i < LIFE_ROWS * LIFE_COLUMNS; i++)
		if (i % LIFE_COLUMNS)
			s->value[i] = NAN;
	for (size_t i = 0; i < LIFE_GASES; i++)
		s->gas[i].given_off_kg = s->gas[i].on_carbon_kg = s->gas[i].back_running_kg = s->gas[i].back_idle_kg = NAN;
	s->report.overall = INW_CANNOT_TELL;
	s->report.title = s->report.file = NULL;
	s->report.design = NULL;
	s->report.spent_s = s->report.spent_low_s = s->report.spent_high_s = INFINITY;
	s->report.shortcut_error = NAN;
	s->bed.stage = NULL;
	memset(s->loading, 0, sizeof s->loading);
}

#endif
