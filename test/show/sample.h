/* SPDX-License-Identifier: MIT */
/* sample.h: a report made by hand, so that showing can be tested without reading or solving anything.
 *
 * The workshop printing splints overnight beside a bedroom. Its pressures are those of hydrostatics with the densities
 * of air at 20 and 60 degC (1.2041 and 1.0595 kg/m3): inward(z) = 0.55 Pa - 1.4181 Pa/m z, zero at 0.388 m. Flows are
 * plausible, not computed. `sample_many` has more gaps than any real box, on every face; `sample_blank` has no numbers
 * at all.
 */
#ifndef INW_SAMPLE_H
#define INW_SAMPLE_H

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "design/design.h"

enum { SAMPLE_GAPS = 40, SAMPLE_POINTS = 21 };

struct sample {
	struct inw_report report;
	struct inw_verdict verdict[9];
	struct inw_state_view state[3];
	struct inw_gap_view gap[SAMPLE_GAPS];
	char gap_name[SAMPLE_GAPS][48];
	struct inw_stage_view stage[8];
	struct inw_room_view room[2];
	struct inw_panel_view panel[3];
	struct inw_fact fact[5];
	struct inw_rule rule[2];
	struct inw_quantity quantity[6];
	const struct inw_quantity *assumed[3];
	struct inw_design design;
	double curve[4][SAMPLE_POINTS];
};

#define SAMPLE_SLOPE 1.4181 /* Pa/m: (1.2041 - 1.0595) * 9.80665 */
#define SAMPLE_FLOOR 0.55   /* Pa inward at the box's floor */

static inline void sample_gap(struct sample *s, size_t i, const char *name, const char *face, double height,
                              double rise)
{
	struct inw_gap_view *g = &s->gap[i];
	snprintf(s->gap_name[i], sizeof s->gap_name[i], "%s", name);
	*g = (struct inw_gap_view){s->gap_name[i], face, "workroom", height, rise, 0, 0, 0, 0, 0};
	g->dp_bottom_Pa = SAMPLE_FLOOR - SAMPLE_SLOPE * height;
	g->dp_top_Pa = SAMPLE_FLOOR - SAMPLE_SLOPE * (height + rise);
	double worst = fmin(g->dp_bottom_Pa, g->dp_top_Pa), best = fmax(g->dp_bottom_Pa, g->dp_top_Pa);
	g->in_m3s = best > 0 ? 2e-4 * sqrt(best) : 0;
	g->out_m3s = worst < 0 ? 2e-4 * sqrt(-worst) : 0;
	g->velocity_ms = 0.79 * sqrt(fabs(worst)) * (worst < 0 ? -1 : 1);
}

static inline void sample_quantities(struct sample *s)
{
	const struct inw_quantity q[6] = {
		{"site.pressure", INW_DIM_PRESSURE, 100200, 98000, 102400, INW_FROM_FILE, INW_BASIS_GIVEN, "the design file",
	     "splint.yaml", 4, 19, -INFINITY, INFINITY},
		{"box.gaps[lid seam].width", INW_DIM_LENGTH, 0.4e-3, 0.2e-3, 0.8e-3, INW_FROM_FILE, INW_BASIS_GIVEN,
	     "the design file", "splint.yaml", 31, 77, -INFINITY, INFINITY},
		{"box.stirring", INW_DIM_VELOCITY, 0.1, 0.03, 0.4, INW_FROM_DEFAULT, INW_BASIS_PRACTICE,
	     "common practice, no source", "catalog/defaults.yaml", 88, 5, -INFINITY, INFINITY},
		{"heat.electronics", INW_DIM_POWER, 25, 10, 60, INW_FROM_DEFAULT, INW_BASIS_UNKNOWN,
	     "nobody publishes it by part", "catalog/defaults.yaml", 101, 5, -INFINITY, INFINITY},
		{"rooms[workroom].temperature", INW_DIM_TEMPERATURE, 293.15, 291.15, 296.15, INW_FROM_FILE, INW_BASIS_GIVEN,
	     "the design file", "splint.yaml", 9, 18, -INFINITY, INFINITY},
		{"cleaner.carbon.granule", INW_DIM_LENGTH, 3.4e-3, 2.4e-3, 4.8e-3, INW_FROM_CATALOG, INW_BASIS_MEMORY,
	     "sieve openings 4 and 8 mesh, from memory", "catalog/carbons.yaml", 12, 9, -INFINITY, INFINITY},
	};
	memcpy(s->quantity, q, sizeof q);
	s->design.quantity = s->quantity;
	s->design.quantities = 6;
	s->assumed[0] = &s->quantity[2];
	s->assumed[1] = &s->quantity[3];
	s->assumed[2] = &s->quantity[5];
}

static inline void sample_verdicts(struct sample *s)
{
	const struct inw_verdict v[9] = {
		{.id = "particle_removal",
	     .title = "Particles held back in one pass",
	     .job = "night splint",
	     .state = "normal",
	     .word = INW_MEETS,
	     .dim = INW_DIM_FRACTION,
	     .sense = INW_AT_LEAST,
	     .value = 0.9991,
	     .low = 0.997,
	     .high = 0.9995,
	     .limit = 0.99,
	     .margin = 0.0091,
	     .limit_source = "common practice, no source",
	     .reason = "The seal leaks little.",
	     .assumed = 2,
	     .blame = {{"box.stirring", 0.7}},
	     .blames = 1},
		{.id = "inward_pressure",
	     .title = "Pressure into the box at its weakest gap",
	     .job = "night splint",
	     .state = "hottest box",
	     .word = INW_MISSES,
	     .dim = INW_DIM_PRESSURE,
	     .sense = INW_AT_LEAST,
	     .value = -0.3009,
	     .low = -0.62,
	     .high = 0.11,
	     .limit = 0.5,
	     .margin = -0.8009,
	     .limit_source = "CDC / adapted table of isolation rooms, lowered as practice for small boxes",
	     .where = "gap 'lid seam'",
	     .reason = "Warm air is light: at the top of the box it pushes out harder than the blower draws in.",
	     .change = "Send out 9.5 m3/h more (flap from 20 % to 46 %), or close the lid seam to 0.15 mm.",
	     .caution = "Fume that leaks beside a bedroom is breathed all night.",
	     .assumed = 5,
	     .blame = {{"box.gaps[lid seam].width", 0.62}, {"heat.electronics", 0.21}},
	     .blames = 2},
		{.id = "air_8h[sleeper]",
	     .title = "Caprolactam where the sleeper is, eight-hour mean",
	     .job = "night splint",
	     .state = "filter loaded",
	     .word = INW_IN_DOUBT,
	     .dim = INW_DIM_CONCENTRATION,
	     .sense = INW_AT_MOST,
	     .value = 3.1e-9,
	     .low = 4e-10,
	     .high = 2.4e-8,
	     .limit = 7e-9,
	     .margin = 3.9e-9,
	     .limit_source = "OEHHA 8-hour reference level",
	     .where = "bedroom",
	     .reason = "Published emission rates differ by a factor of fifty.",
	     .assumed = 9,
	     .change = "Measure the caprolactam rate once, or move the exhaust outdoors.",
	     .blame = {{"cleaner.carbon.granule", 0.8}},
	     .blames = 1},
		{.id = "chamber",
	     .title = "Chamber temperature in the band the material wants",
	     .job = "night splint",
	     .state = "normal",
	     .word = INW_MEETS,
	     .dim = INW_DIM_TEMPERATURE,
	     .sense = INW_WITHIN,
	     .value = 333.15,
	     .low = 325,
	     .high = 341,
	     .limit = 318.15,
	     .limit_high = 343.15,
	     .margin = 10,
	     .limit_source = "memory",
	     .assumed = 3},
		{.id = "carbon_life",
	     .title = "Time the carbon lasts",
	     .job = "night splint",
	     .state = "normal",
	     .word = INW_MEETS,
	     .dim = INW_DIM_TIME,
	     .sense = INW_AT_LEAST,
	     .value = INFINITY,
	     .low = 3e6,
	     .high = INFINITY,
	     .limit = 1e6,
	     .margin = INFINITY,
	     .limit_source = "common practice, no source",
	     .assumed = 4},
		{.id = "spillage[workroom]",
	     .title = "Draught of the water heater",
	     .job = "night splint",
	     .state = "normal",
	     .word = INW_CANNOT_TELL,
	     .dim = INW_DIM_PRESSURE,
	     .sense = INW_AT_MOST,
	     .value = NAN,
	     .low = NAN,
	     .high = NAN,
	     .limit = 2,
	     .margin = NAN,
	     .limit_source = "typical values for venting types, memory",
	     .reason = "The leakage of the workroom is not known."},
		{.id = "exhaust_heat",
	     .title = "Heat the exhaust takes from the room",
	     .job = "night splint",
	     .state = "normal",
	     .word = INW_STATED,
	     .dim = INW_DIM_POWER,
	     .sense = INW_NO_LIMIT,
	     .value = 41,
	     .low = 36,
	     .high = 47,
	     .limit = NAN,
	     .margin = NAN,
	     .assumed = 1},
		{.id = "particle_removal",
	     .title = "Particles held back in one pass",
	     .job = "craft box",
	     .state = "normal",
	     .word = INW_MEETS,
	     .dim = INW_DIM_FRACTION,
	     .sense = INW_AT_LEAST,
	     .value = 0.9995,
	     .low = 0.9995,
	     .high = 0.9995,
	     .limit = 0.99,
	     .margin = 0.0095,
	     .limit_source = "common practice, no source"},
		{.id = "noise",
	     .title = "Sound at the pillow",
	     .job = "craft box",
	     .state = "normal",
	     .word = INW_MISSES,
	     .dim = INW_DIM_SOUND,
	     .sense = INW_AT_MOST,
	     .value = 41.5,
	     .low = 37,
	     .high = 46,
	     .limit = 30,
	     .margin = -11.5,
	     .limit_source = "the design file",
	     .where = "bedroom",
	     .reason = "The blower runs at full speed.",
	     .change = "Run the blower at 58 % of its speed.",
	     .assumed = 2},
	};
	memcpy(s->verdict, v, sizeof v);
}

static inline void sample_facts(struct sample *s)
{
	static const char *const T_uses[] = {"heat.electronics", "gaps[lid seam].dp", "rooms[workroom].temperature"};
	static const char *const dp_uses[] = {"box.density", "box.gaps[lid seam].width", "box.temperature"};
	static const char *const rho_uses[] = {"box.temperature", "site.pressure"};
	static const char *const end_uses[] = {"box.temperature", "something forgotten"};
	static const char *const life_uses[] = {"cleaner.carbon.granule"};
	const struct inw_fact f[5] = {
		{"box.temperature", INW_DIM_TEMPERATURE, 333.15, "heat_balance", T_uses, 3},
		{"gaps[lid seam].dp", INW_DIM_PRESSURE, -0.3009, "stack", dp_uses, 3},
		{"box.density", INW_DIM_DENSITY, 1.0595, "air_density", rho_uses, 2},
		{"exhaust.end_temperature", INW_DIM_TEMPERATURE, 305, "duct_heat", end_uses, 2},
		{"carbon.life", INW_DIM_TIME, INFINITY, "wheeler_jonas", life_uses, 1},
	};
	memcpy(s->fact, f, sizeof f);
}

static inline void sample_curves(struct sample *s, struct inw_state_view *v)
{
	for (int i = 0; i < SAMPLE_POINTS; i++) {
		double q = 60.0 / 3600 * i / (SAMPLE_POINTS - 1);
		s->curve[0][i] = s->curve[2][i] = q;
		s->curve[1][i] = 300 * (1 - pow(q / (60.0 / 3600), 1.8));
		s->curve[3][i] = 1.1e4 * q + 9.4e5 * q * q;
	}
	v->blower_curve = (struct inw_curve){s->curve[0], s->curve[1], SAMPLE_POINTS};
	v->train_curve = (struct inw_curve){s->curve[2], s->curve[3], SAMPLE_POINTS};
	double low = 0, high = 60.0 / 3600; /* where both curves meet, by halving */
	for (int i = 0; i < 60; i++) {
		double q = (low + high) / 2;
		if (300 * (1 - pow(q / (60.0 / 3600), 1.8)) > 1.1e4 * q + 9.4e5 * q * q)
			low = q;
		else
			high = q;
	}
	v->operating_flow_m3s = low;
	v->operating_rise_Pa = 1.1e4 * low + 9.4e5 * low * low;
}

static inline void sample_state(struct sample *s)
{
	struct inw_state_view *v = &s->state[0];
	*v = (struct inw_state_view){
		.job = "night splint",
		.state = "normal",
		.converged = true,
		.iterations = 7,
		.mass_residual = 3e-13,
		.energy_residual = 8e-12,
		.box_T_K = 333.15,
		.box_p_Pa = -SAMPLE_FLOOR,
		.neutral_height_m = SAMPLE_FLOOR / SAMPLE_SLOPE,
		.box_width = 0.5,
		.box_depth = 0.5,
		.box_height = 0.6,
		.inlet_height = 0.55,
		.return_height = 0.05,
		.cleaner_m3s = 0.0095,
		.return_m3s = 0.0078,
		.exhaust_m3s = 0.0017,
		.leak_in_m3s = 0.0018,
		.leak_out_m3s = 1e-4,
		.return_T_K = 318.15,
		.exhaust_T_K = 318.15,
		.exhaust_end_T_K = 305,
		.plate_W = 52,
		.panels_W = 141,
		.flap_position = 0.2,
		.blower_speed = 0.7,
		.gaps = s->gap,
		.gap_count = 5,
		.stages = s->stage,
		.stage_count = 3,
		.rooms = s->room,
		.room_count = 2,
		.panels = s->panel,
		.panel_count = 3,
	};
	sample_curves(s, v);
	s->state[1] = *v;
	s->state[1].job = "craft box";
	s->state[1].state = "a filter loaded to its last day";
	s->state[1].converged = false;
	s->state[2] = *v; /* a second state of the first job */
	s->state[2].state = "hottest box";
	s->state[2].box_T_K = 341;
}

static inline void sample_parts(struct sample *s)
{
	sample_gap(s, 0, "lid seam", "top", 0.6, 0);
	sample_gap(s, 1, "cable hole", "back", 0.05, 0);
	sample_gap(s, 2, "filament slot", "left", 0.36, 0.08);
	sample_gap(s, 3, "door seam, hinge side and the whole of its lower edge", "front", 0.1, 0.35);
	sample_gap(s, 4, "hose gland", "right", 0.5, 0);
	const struct inw_stage_view stage[3] = {
		{"H13", INW_STAGE_MEDIUM, 96, 0.0095, 2e-5, 0.027, 330, NAN, 14},
		{"coconut 4x8", INW_STAGE_BED, 58, 0.0096, 1e-4, 0.54, 328, 0.11, 25},
		{"radial 97 mm", INW_STAGE_BLOWER, 184, 0.0095, NAN, NAN, 329.5, NAN, 40},
	};
	memcpy(s->stage, stage, sizeof stage);
	s->room[0] = (struct inw_room_view){"workroom", 293.15, -0.42, 61, 3.1e9};
	s->room[1] = (struct inw_room_view){"bedroom", 291.15, -0.2, 0, 1.2e9};
	s->panel[0] = (struct inw_panel_view){"top", 321, 309, 31, 0.25};
	s->panel[1] = (struct inw_panel_view){"front", 322, 310, 38, 0.3};
	s->panel[2] = (struct inw_panel_view){"bottom", 325, 297, 6, 0.25};
	s->rule[0] = (struct inw_rule){"night splint", "ten air changes an hour keep a box under suction",
	                               "64 changes an hour, and the lid seam still blows out", true};
	s->rule[1] =
		(struct inw_rule){"night splint", "0.1 s in the carbon is enough", "0.11 s lets 0.4 % through from the first minute", false};
}

static inline void sample_make(struct sample *s)
{
	static const char *const cautions[] = {
		"Particles below 100 nm are not seen by a dust meter: no reading is no proof.",
		"Never run the box with its door open."};
	static const char *const notes[] = {
		"The carbon law is used at 0.05 ppm, far below the hundreds of ppm it was fitted at."};
	memset(s, 0, sizeof *s);
	sample_quantities(s);
	sample_verdicts(s);
	sample_facts(s);
	sample_parts(s);
	sample_state(s);
	s->report = (struct inw_report){
		.title = "Splint printer beside a bedroom",
		.file = "examples/splint.yaml",
		.overall = INW_MISSES,
		.verdicts = s->verdict,
		.verdict_count = 9,
		.states = s->state,
		.state_count = 3,
		.facts = s->fact,
		.fact_count = 5,
		.rules = s->rule,
		.rule_count = 2,
		.assumed = s->assumed,
		.assumed_count = 3,
		.cautions = cautions,
		.caution_count = 2,
		.notes = notes,
		.note_count = 1,
		.design = &s->design,
	};
}

/* Many gaps on all faces of a box of the given inside, six stages and more, two rooms beyond the gaps. */
static inline void sample_many(struct sample *s, double width, double height, size_t gaps)
{
	static const char *const face[] = {"left", "right", "top", "front", "back", "bottom", "left", "right"};
	sample_make(s);
	for (size_t i = 0; i < gaps; i++) {
		char name[48];
		const char *f = face[i % 8];
		double at = strcmp(f, "top") == 0      ? height
		            : strcmp(f, "bottom") == 0 ? 0
		                                       : height * (0.05 + 0.9 * (double)((i * 7) % gaps) / (double)gaps);
		snprintf(name, sizeof name, "%s gap number %zu", f, i + 1);
		sample_gap(s, i, name, f, at, i % 3 || f[0] == 't' || f[0] == 'b' ? 0 : 0.06 * height);
		if (i % 5 == 4)
			s->gap[i].room = "bedroom";
		if (i % 5 == 4) {
			s->gap[i].dp_bottom_Pa += 0.4;
			s->gap[i].dp_top_Pa += 0.4;
			if (s->gap[i].dp_top_Pa > 0)
				s->gap[i].out_m3s = 0;
		}
	}
	for (size_t i = 3; i < 8; i++)
		s->stage[i] = s->stage[i % 3];
	s->state[0].gap_count = gaps;
	s->state[0].stage_count = gaps > 20 ? 8 : 5;
	s->state[0].box_width = width;
	s->state[0].box_height = height;
	s->state[0].inlet_height = 0.92 * height;
	s->state[0].return_height = 0.1 * height;
}

/* What an unsolved design leaves: no number anywhere. */
static inline void sample_blank(struct sample *s)
{
	sample_make(s);
	s->report.overall = INW_CANNOT_TELL;
	for (size_t i = 0; i < s->report.verdict_count; i++) {
		struct inw_verdict *v = &s->verdict[i];
		v->word = INW_CANNOT_TELL;
		v->value = v->low = v->high = v->limit = v->limit_high = v->margin = NAN;
		v->job = v->state = v->where = v->reason = v->change = v->caution = v->limit_source = NULL;
	}
	struct inw_state_view *v = &s->state[0];
	v->converged = false;
	v->mass_residual = v->energy_residual = v->box_T_K = v->box_p_Pa = v->neutral_height_m = v->inlet_height =
		v->return_height = NAN;
	v->cleaner_m3s = v->return_m3s = v->exhaust_m3s = v->leak_in_m3s = v->leak_out_m3s = v->return_T_K =
		v->exhaust_T_K = NAN;
	v->exhaust_end_T_K = v->plate_W = v->panels_W = v->flap_position = v->blower_speed = v->operating_flow_m3s =
		v->operating_rise_Pa = NAN;
	for (size_t i = 0; i < v->gap_count; i++)
		s->gap[i].dp_top_Pa = s->gap[i].dp_bottom_Pa = s->gap[i].in_m3s = s->gap[i].out_m3s = s->gap[i].velocity_ms =
			NAN;
	for (size_t i = 0; i < v->stage_count; i++)
		s->stage[i].dp_Pa = s->stage[i].flow_m3s = s->stage[i].bypass_m3s = s->stage[i].face_velocity_ms =
			s->stage[i].T_K = NAN;
	for (int i = 0; i < SAMPLE_POINTS; i++)
		s->curve[1][i] = s->curve[3][i] = NAN;
}

#endif
