/* SPDX-License-Identifier: MIT */
/* day_sample.h: a day made by hand, so that showing can be tested without running anything.
 *
 * Ten hours from 20:00 in steps of ten minutes. "night splint" runs from 22:00 to 02:00, the door is open from 03:00 to
 * 03:20. The pull is 1 Pa, but -0.4 Pa while the job runs (so 4 h outward; wanted 0.5 Pa) and NaN with the door open.
 * The box rises to 330 K and falls; its gas falls by half every ten minutes after the job, so that 1 % is reached after
 * 70 min (2^-7 = 0.0078). 100 W for 10 h and 200 W more for 4 h: 1.8 kWh. 1e-4 m3/s escape for 4 h: 1.44 m3.
 * Two beds of 20 and 10 mm: of caprolactam the first holds (t/10 h) exp(-z/5 mm) mg/g at depth z (half after 5 ln 2 = 3.466
 * mm; 0.1 kg of carbon: mean over 20 mm 0.24542 mg/g, 24.5 mg), the second none; 2 mg/g of water in both (0.15 kg: 0.3 g).
 * The strongest air would put 2 mg/g on the first bed and 1 mg/g on the second: 0.25 g, of which 24.5 mg are 9.82 % (9.81 % as 40 slices).
 * Design: one worker, one resident, one substance with two limits. Nothing else of the design is set.
 */
#ifndef INW_DAY_SAMPLE_H
#define INW_DAY_SAMPLE_H

#include <math.h>
#include <string.h>

#include "design/design.h"

enum { DAY_BEDS = 2, DAY_SLICES = 40, DAY_TIMES = 11, DAY_HELD = 2, DAY_ROWS = 61, DAY_COLUMNS = 16, DAY_VERDICTS = 9, DAY_PURGE = 6 };

struct day_sample {
	struct inw_day_report report;
	struct inw_design design;
	struct inw_quantity quantity[6];
	struct inw_room room[2];
	struct inw_person person[2];
	struct inw_stay stay[2];
	struct inw_substance substance;
	struct inw_limit limit[2];
	struct inw_verdict verdict[DAY_VERDICTS];
	struct inw_moment moment[5];
	const char *name[DAY_COLUMNS];
	enum inw_dim dim[DAY_COLUMNS];
	double value[DAY_ROWS * DAY_COLUMNS];
	struct inw_bed_profile bed[DAY_BEDS];
	double moments[DAY_TIMES], loading[DAY_BEDS][DAY_TIMES][DAY_HELD][DAY_SLICES];
};

static inline void day_sample_beds(struct day_sample *s)
{
	static const char *const substance[DAY_HELD] = {"caprolactam", "water"};
	static const double full[DAY_BEDS][DAY_HELD] = {{2e-3, 2e-3}, {1e-3, 2e-3}}, strongest[DAY_HELD] = {3e-7, 8e-3};
	for (size_t t = 0; t < DAY_TIMES; t++)
		s->moments[t] = 3600.0 * (double)t;
	for (size_t k = 0; k < DAY_BEDS; k++) {
		for (size_t t = 0; t < DAY_TIMES; t++)
			for (size_t j = 0; j < DAY_SLICES; j++) {
				s->loading[k][t][0][j] = k ? 0 : 1e-3 * (double)t / 10 * exp(-((double)j + 0.5) * 0.5e-3 / 5e-3);
				s->loading[k][t][1][j] = 2e-3;
			}
		s->bed[k] = (struct inw_bed_profile){.stage = k ? "3 carbon" : "2 carbon", .depth_m = k ? 0.01 : 0.02, .carbon_kg = k ? 0.05 : 0.1,
		                                     .cells = DAY_SLICES, .substance = substance, .substances = DAY_HELD, .t = s->moments, .times = DAY_TIMES,
		                                     .loading = &s->loading[k][0][0][0], .full = full[k], .strongest = strongest, .strongest_t = 21600};
	}
	s->report.beds = s->bed;
	s->report.bed_count = DAY_BEDS;
}

static inline void day_sample_series(struct day_sample *s)
{
	static const struct {
		const char *name;
		enum inw_dim dim;
	} column[DAY_COLUMNS] = {
		{"time", INW_DIM_TIME},
		{"outdoor.temperature", INW_DIM_TEMPERATURE},
		{"box.temperature", INW_DIM_TEMPERATURE},
		{"plate.temperature", INW_DIM_TEMPERATURE},
		{"box.inward_pressure", INW_DIM_PRESSURE},
		{"flows.cleaned", INW_DIM_VOLUME_FLOW},
		{"flows.escaped", INW_DIM_VOLUME_FLOW},
		{"heat.heater", INW_DIM_POWER},
		{"power", INW_DIM_POWER},
		{"door_open", INW_DIM_NONE},
		{"running", INW_DIM_NONE},
		{"particles.box", INW_DIM_NUMBER_CONCENTRATION},
		{"particles.room[workroom]", INW_DIM_NUMBER_CONCENTRATION},
		{"gases[caprolactam].box", INW_DIM_CONCENTRATION},
		{"gases[caprolactam].room[workroom]", INW_DIM_CONCENTRATION},
		{"gases[caprolactam].room[bed, \"back\" room]", INW_DIM_CONCENTRATION},
	};
	for (size_t c = 0; c < DAY_COLUMNS; c++) {
		s->name[c] = column[c].name;
		s->dim[c] = column[c].dim;
	}
	for (int i = 0; i < DAY_ROWS; i++) {
		double t = 600.0 * i, after = i < 36 ? 0 : i - 36;
		bool on = i >= 12 && i < 36, open = i >= 42 && i < 44;
		double gas = i < 12 ? 0 : 3e-7 * pow(0.5, after);
		const double v[DAY_COLUMNS] = {t, 275.15, i < 12 ? 293.15 : 293.15 + 36.85 * pow(0.8, after), on ? 373.15 : NAN,
		                               open ? NAN : on ? -0.4 : 1, 0.01, on ? 1e-4 : 0, on ? 50 : 0, on ? 300 : 100, open, on,
		                               gas * 2e17, 0, gas, gas / 100, 0};
		memcpy(&s->value[i * DAY_COLUMNS], v, sizeof v);
	}
	s->report.series = (struct inw_series){s->name, s->dim, DAY_COLUMNS, s->value, DAY_ROWS};
}

static inline void day_sample_design(struct day_sample *s)
{
	const double given[6] = {9 * 3600, 17 * 3600, 22 * 3600, 7 * 3600, 1e-6, 2.2e-9};
	for (size_t i = 0; i < 6; i++)
		s->quantity[i] = (struct inw_quantity){.path = "given", .value = given[i], .low = given[i], .high = given[i]};
	s->room[0].name = "workroom";
	s->room[1].name = "bed, \"back\" room";
	s->stay[0] = (struct inw_stay){.room = 0, .from = 0, .to = 1};
	s->stay[1] = (struct inw_stay){.room = 1, .from = 2, .to = 3};
	s->person[0] = (struct inw_person){.name = "splint maker", .kind = INW_WORKER, .stay = &s->stay[0], .stays = 1};
	s->person[1] = (struct inw_person){.name = "sleeper", .kind = INW_RESIDENT, .stay = &s->stay[1], .stays = 1};
	s->limit[0] = (struct inw_limit){INW_LIMIT_WORK_8H, 4, "", ""};
	s->limit[1] = (struct inw_limit){INW_LIMIT_HOME_LONG, 5, "", ""};
	s->substance = (struct inw_substance){.name = "caprolactam", .title = "Caprolactam", .limits = s->limit, .limit_count = 2};
	s->design.quantity = s->quantity;
	s->design.quantities = 6;
	s->design.room = s->room;
	s->design.rooms = 2;
	s->design.person = s->person;
	s->design.persons = 2;
	s->design.cleaner.present = true;
	s->design.box.has_door = true;
	s->design.catalog.substance = &s->substance;
	s->design.catalog.substances = 1;
}

static inline struct inw_verdict day_sample_verdict(const char *id, const char *title, enum inw_word word,
                                                    enum inw_dim dim, enum inw_sense sense, const double value_limit[2])
{
	double v = value_limit[0], l = value_limit[1];
	return (struct inw_verdict){.id = id, .title = title, .state = "over the day", .word = word, .dim = dim, .sense = sense,
	                            .value = v, .low = v, .high = v, .limit = l, .limit_high = NAN,
	                            .margin = sense == INW_AT_LEAST ? v - l : l - v, .limit_source = "the hand",
	                            .reason = word == INW_CANNOT_TELL ? "Nobody has measured it." : ""};
}

#define DAY_PAIR(a, b) ((const double[2]){a, b})

static inline void day_sample_verdicts(struct day_sample *s)
{
	const struct inw_verdict v[DAY_VERDICTS] = {
		day_sample_verdict("day_inward_pressure", "Air is pressed inward", INW_MISSES, INW_DIM_PRESSURE, INW_AT_LEAST,
	                       DAY_PAIR(-0.4, 0.5)),
		day_sample_verdict("day_air_8h[splint maker]", "Gases met by splint maker", INW_MEETS, INW_DIM_NONE, INW_AT_MOST,
	                       DAY_PAIR(0.123, 1)),
		day_sample_verdict("day_air_15min[splint maker]", "Gases met by splint maker, 15 minutes", INW_CANNOT_TELL,
	                       INW_DIM_NONE, INW_AT_MOST, DAY_PAIR(2e-6, 1)),
		day_sample_verdict("day_particles[splint maker]", "Particles met by splint maker", INW_MEETS,
	                       INW_DIM_NUMBER_CONCENTRATION, INW_AT_MOST, DAY_PAIR(2e10, 4e10)),
		day_sample_verdict("day_air_24h[sleeper]", "Gases met by sleeper", INW_MISSES, INW_DIM_NONE, INW_AT_MOST,
	                       DAY_PAIR(40, 1)),
		day_sample_verdict("day_particles[sleeper]", "Particles met by sleeper", INW_MEETS, INW_DIM_NUMBER_CONCENTRATION,
	                       INW_AT_MOST, DAY_PAIR(0, 2e10)),
		day_sample_verdict("day_purge[6]", "Wait after a job", INW_STATED, INW_DIM_TIME, INW_NO_LIMIT, DAY_PAIR(4200, NAN)),
		day_sample_verdict("day_energy", "Electrical energy", INW_STATED, INW_DIM_ENERGY, INW_NO_LIMIT, DAY_PAIR(6.48e6, NAN)),
		day_sample_verdict("day_gas_emitted", "Gas given off", INW_STATED, INW_DIM_MASS, INW_NO_LIMIT, DAY_PAIR(4e-5, NAN)),
	};
	memcpy(s->verdict, v, sizeof v);
}

static inline void day_sample_make(struct day_sample *s)
{
	static const char *const notes[] = {"Best-estimate inputs."};
	static const char *const cautions[] = {"Check the finished box with smoke."};
	memset(s, 0, sizeof *s);
	day_sample_series(s);
	day_sample_design(s);
	day_sample_verdicts(s);
	day_sample_beds(s);
	s->moment[0] = (struct inw_moment){7200, "night splint begins"};
	s->moment[1] = (struct inw_moment){12000, "flap to 60 %"};
	s->moment[2] = (struct inw_moment){21600, "night splint ends"};
	s->moment[3] = (struct inw_moment){25200, "door opened"};
	s->moment[4] = (struct inw_moment){26400, "door shut"};
	s->report.title = "Splint printer beside a bedroom";
	s->report.file = "examples/splint.yaml";
	s->report.overall = INW_MISSES;
	s->report.start_clock_s = 20 * 3600;
	s->report.span_s = 36000;
	s->report.verdicts = s->verdict;
	s->report.verdict_count = DAY_VERDICTS;
	s->report.moments = s->moment;
	s->report.moment_count = 5;
	s->report.notes = notes;
	s->report.note_count = 1;
	s->report.cautions = cautions;
	s->report.caution_count = 1;
	s->report.steps = 60;
	s->report.matter_closure = 3e-15;
	s->report.design = &s->design;
}

/* A run that has no number, no name and no design. */
static inline void day_sample_blank(struct day_sample *s)
{
	day_sample_make(s);
	for (size_t i = 0; i < DAY_VERDICTS; i++) {
		s->verdict[i].word = INW_CANNOT_TELL;
		s->verdict[i].value = s->verdict[i].limit = s->verdict[i].margin = NAN;
		s->verdict[i].reason = s->verdict[i].limit_source = NULL;
	}
	for (size_t i = 0; i < DAY_ROWS * DAY_COLUMNS; i++)
		if (i % DAY_COLUMNS)
			s->value[i] = NAN;
	s->report.overall = INW_CANNOT_TELL;
	s->report.title = s->report.file = NULL;
	s->report.design = NULL;
	s->report.moment_count = 0;
	for (size_t k = 0; k < DAY_BEDS; k++) {
		static const double none[DAY_HELD] = {NAN, NAN};
		s->bed[k].full = s->bed[k].strongest = none;
		s->bed[k].strongest_t = NAN;
		s->bed[k].stage = NULL;
	}
	memset(s->loading, 0, sizeof s->loading);
}

#endif
