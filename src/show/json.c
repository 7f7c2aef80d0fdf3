/* SPDX-License-Identifier: MIT */
/* json.c: the report as JSON. Names are stable and carry their unit; doc/json.md and doc/report.schema.json say them.
 * NaN and infinity have no form in JSON and become null. */
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "design/units.h"
#include "show/lines.h"

enum { FORMAT_VERSION = 1, DIGITS = 15 /* every decimal of 15 digits survives a double; 17 would show noise */ };

/* One report being built. `failed` sticks, so a chain of additions needs one check at the end. */
struct builder {
	bool failed;
};

static void put(struct builder *b, json_t *object, const char *name, json_t *value)
{
	if (!value || json_object_set_new(object, name, value))
		b->failed = true;
}

static void append(struct builder *b, json_t *array, json_t *value)
{
	if (!value || json_array_append_new(array, value))
		b->failed = true;
}

static json_t *text(const char *s)
{
	if (!s)
		return json_null();
	size_t size = strlen(s) + 1;
	json_t *j = json_string(s);
	if (j)
		return j;
	char *plain = malloc(size); /* not UTF-8: a file name may be so */
	j = plain ? json_string(inw_show__plain(plain, size, s)) : NULL;
	free(plain);
	return j;
}

/* A sentence of the judge with its numbers written out, metric as everything in JSON. */
static json_t *sentence(const char *s)
{
	char *written = s ? inw_show_sentence(s, INW_SI) : NULL;
	json_t *j = s && !written ? NULL : text(written);
	free(written);
	return j;
}

static json_t *real(double value)
{
	return isfinite(value) ? json_real(value) : json_null();
}

static json_t *integer(size_t value)
{
	return json_integer((json_int_t)value);
}

static void put_unit(struct builder *b, json_t *object, const char *name, enum inw_dim dim, double value)
{
	char full[64];
	snprintf(full, sizeof full, "%s%s", name, inw_units_json_suffix(dim));
	put(b, object, full, real(value));
}

/* Stable names of the dimensions. What unit each has stands in the suffix of the number's name. */
static const char *const dimension_name[INW_DIM_COUNT] = {
	[INW_DIM_NONE] = "number",
	[INW_DIM_FRACTION] = "fraction",
	[INW_DIM_LENGTH] = "length",
	[INW_DIM_AREA] = "area",
	[INW_DIM_VOLUME] = "volume",
	[INW_DIM_TIME] = "time",
	[INW_DIM_CLOCK] = "clock",
	[INW_DIM_TEMPERATURE] = "temperature",
	[INW_DIM_TEMPERATURE_DIFFERENCE] = "temperature_difference",
	[INW_DIM_PRESSURE] = "pressure",
	[INW_DIM_VOLUME_FLOW] = "volume_flow",
	[INW_DIM_VELOCITY] = "velocity",
	[INW_DIM_MASS] = "mass",
	[INW_DIM_MASS_RATE] = "mass_rate",
	[INW_DIM_DENSITY] = "density",
	[INW_DIM_CONCENTRATION] = "concentration",
	[INW_DIM_VOLUME_RATIO] = "volume_ratio",
	[INW_DIM_POWER] = "power",
	[INW_DIM_ENERGY] = "energy",
	[INW_DIM_CONDUCTANCE] = "conductance",
	[INW_DIM_CONDUCTIVITY] = "conductivity",
	[INW_DIM_RESISTANCE] = "resistance",
	[INW_DIM_RATE] = "rate",
	[INW_DIM_NUMBER_RATE] = "number_rate",
	[INW_DIM_NUMBER_PER_MASS] = "number_per_mass",
	[INW_DIM_NUMBER_CONCENTRATION] = "number_concentration",
	[INW_DIM_MASS_RATIO] = "mass_ratio",
	[INW_DIM_MOLAR_MASS] = "molar_mass",
	[INW_DIM_MOLAR_VOLUME] = "molar_volume",
	[INW_DIM_MOLAR_ENERGY] = "molar_energy",
	[INW_DIM_SPECIFIC_VOLUME] = "specific_volume",
	[INW_DIM_DIFFUSIVITY] = "diffusivity",
	[INW_DIM_ANGLE] = "angle",
	[INW_DIM_SPEED_OF_ROTATION] = "speed_of_rotation",
	[INW_DIM_SOUND] = "sound",
	[INW_DIM_MASS_PER_AREA] = "mass_per_area",
	[INW_DIM_HEAT_CAPACITY] = "heat_capacity",
	[INW_DIM_SPECIFIC_HEAT] = "specific_heat",
};

static const char *sense_name(enum inw_sense sense)
{
	switch (sense) {
	case INW_AT_LEAST: return "at least";
	case INW_AT_MOST: return "at most";
	case INW_WITHIN: return "within";
	case INW_NO_LIMIT: return "no limit";
	}
	return "no limit";
}

static json_t *blames(struct builder *b, const struct inw_verdict *v)
{
	json_t *list = json_array();
	for (size_t i = 0; i < v->blames && i < INW_MAX_BLAME; i++) {
		json_t *o = json_object();
		put(b, o, "path", text(v->blame[i].path));
		put(b, o, "share_of_range", real(v->blame[i].share));
		append(b, list, o);
	}
	return list;
}

static void put_verdict_numbers(struct builder *b, json_t *o, const struct inw_verdict *v)
{
	put(b, o, "sense", text(sense_name(v->sense)));
	put(b, o, "dimension", text(dimension_name[v->dim]));
	put_unit(b, o, "value", v->dim, v->value);
	put_unit(b, o, "low", v->dim, v->low);
	put_unit(b, o, "high", v->dim, v->high);
	put_unit(b, o, "limit", v->dim, v->sense == INW_NO_LIMIT ? NAN : v->limit);
	put_unit(b, o, "limit_high", v->dim, v->sense == INW_WITHIN ? v->limit_high : NAN);
	put_unit(b, o, "margin", inw_show__difference_dim(v->dim), v->sense == INW_NO_LIMIT ? NAN : v->margin);
}

static json_t *verdict(struct builder *b, const struct inw_verdict *v)
{
	json_t *o = json_object();
	put(b, o, "id", text(v->id));
	put(b, o, "title", sentence(v->title));
	put(b, o, "job", text(v->job));
	put(b, o, "state", text(v->state));
	put(b, o, "word", text(inw_show__word(v->word)));
	put_verdict_numbers(b, o, v);
	put(b, o, "limit_source", sentence(v->limit_source));
	put(b, o, "where", sentence(v->where));
	put(b, o, "reason", sentence(v->reason));
	put(b, o, "change", sentence(v->change));
	put(b, o, "caution", sentence(v->caution));
	put(b, o, "assumed_inputs", integer(v->assumed));
	put(b, o, "most_influential", blames(b, v));
	return o;
}

static json_t *gap(struct builder *b, const struct inw_gap_view *g)
{
	json_t *o = json_object();
	put(b, o, "name", text(g->name));
	put(b, o, "face", text(g->face));
	put(b, o, "room", text(g->room));
	put(b, o, "height_m", real(g->height));
	put(b, o, "rise_m", real(g->rise));
	put(b, o, "inward_at_bottom_Pa", real(g->dp_bottom_Pa));
	put(b, o, "inward_at_top_Pa", real(g->dp_top_Pa));
	put(b, o, "in_m3s", real(g->in_m3s));
	put(b, o, "out_m3s", real(g->out_m3s));
	put(b, o, "inward_velocity_ms", real(g->velocity_ms));
	return o;
}

static json_t *stage(struct builder *b, const struct inw_stage_view *s)
{
	static const char *const kind[] = {"medium", "bed", "blower"};
	json_t *o = json_object();
	bool blower = s->kind == INW_STAGE_BLOWER;
	put(b, o, "name", text(s->name));
	put(b, o, "kind", text((size_t)s->kind < INW_COUNT(kind) ? kind[s->kind] : NULL));
	put(b, o, "loss_Pa", real(blower ? NAN : s->dp_Pa));
	put(b, o, "rise_Pa", real(blower ? s->dp_Pa : NAN));
	put(b, o, "flow_m3s", real(s->flow_m3s));
	put(b, o, "bypass_m3s", real(s->bypass_m3s));
	put(b, o, "face_velocity_ms", real(s->face_velocity_ms));
	put(b, o, "temperature_K", real(s->T_K));
	put(b, o, "residence_s", real(s->residence_s));
	return o;
}

static json_t *room(struct builder *b, const struct inw_room_view *r)
{
	json_t *o = json_object();
	put(b, o, "name", text(r->name));
	put(b, o, "temperature_K", real(r->T_K));
	put(b, o, "pressure_Pa", real(r->p_Pa));
	put(b, o, "heater_W", real(r->heater_W));
	put(b, o, "particles_per_m3", real(r->particles_m3));
	return o;
}

static json_t *panel(struct builder *b, const struct inw_panel_view *p)
{
	json_t *o = json_object();
	put(b, o, "face", text(p->face));
	put(b, o, "inside_K", real(p->T_in_K));
	put(b, o, "outside_K", real(p->T_out_K));
	put(b, o, "loss_W", real(p->loss_W));
	put(b, o, "area_m2", real(p->area_m2));
	return o;
}

static json_t *curve(struct builder *b, const struct inw_curve *c)
{
	json_t *o = json_object(), *x = json_array(), *y = json_array();
	for (size_t i = 0; i < c->count; i++) {
		append(b, x, real(c->x[i]));
		append(b, y, real(c->y[i]));
	}
	put(b, o, "flow_m3s", x);
	put(b, o, "pressure_Pa", y);
	return o;
}

static void put_state_numbers(struct builder *b, json_t *o, const struct inw_state_view *s)
{
	const struct {
		const char *name;
		double value;
	} line[] = {
		{"mass_residual", s->mass_residual},
		{"energy_residual", s->energy_residual},
		{"box_temperature_K", s->box_T_K},
		{"box_pressure_Pa", s->box_p_Pa},
		{"neutral_height_m", s->neutral_height_m},
		{"box_width_m", s->box_width},
		{"box_depth_m", s->box_depth},
		{"box_height_m", s->box_height},
		{"inlet_height_m", s->inlet_height},
		{"return_height_m", s->return_height},
		{"cleaner_flow_m3s", s->cleaner_m3s},
		{"return_flow_m3s", s->return_m3s},
		{"exhaust_flow_m3s", s->exhaust_m3s},
		{"leak_in_m3s", s->leak_in_m3s},
		{"leak_out_m3s", s->leak_out_m3s},
		{"return_temperature_K", s->return_T_K},
		{"exhaust_temperature_K", s->exhaust_T_K},
		{"exhaust_end_temperature_K", s->exhaust_end_T_K},
		{"plate_W", s->plate_W},
		{"panels_W", s->panels_W},
		{"flap_position", s->flap_position},
		{"blower_speed", s->blower_speed},
		{"operating_flow_m3s", s->operating_flow_m3s},
		{"operating_rise_Pa", s->operating_rise_Pa},
	};
	for (size_t i = 0; i < INW_COUNT(line); i++)
		put(b, o, line[i].name, real(line[i].value));
}

static json_t *state(struct builder *b, const struct inw_state_view *s)
{
	json_t *o = json_object(), *gaps = json_array(), *stages = json_array(), *rooms = json_array(),
		   *panels = json_array();
	put(b, o, "job", text(s->job));
	put(b, o, "state", text(s->state));
	put(b, o, "converged", json_boolean(s->converged));
	put(b, o, "iterations", json_integer(s->iterations));
	put_state_numbers(b, o, s);
	for (size_t i = 0; i < s->gap_count; i++)
		append(b, gaps, gap(b, &s->gaps[i]));
	for (size_t i = 0; i < s->stage_count; i++)
		append(b, stages, stage(b, &s->stages[i]));
	for (size_t i = 0; i < s->room_count; i++)
		append(b, rooms, room(b, &s->rooms[i]));
	for (size_t i = 0; i < s->panel_count; i++)
		append(b, panels, panel(b, &s->panels[i]));
	put(b, o, "gaps", gaps);
	put(b, o, "stages", stages);
	put(b, o, "rooms", rooms);
	put(b, o, "panels", panels);
	put(b, o, "blower_curve", curve(b, &s->blower_curve));
	put(b, o, "train_curve", curve(b, &s->train_curve));
	return o;
}

static json_t *strings(struct builder *b, const char *const *items, size_t count)
{
	json_t *list = json_array();
	for (size_t i = 0; i < count; i++)
		append(b, list, sentence(items[i]));
	return list;
}

static json_t *fact(struct builder *b, const struct inw_fact *f)
{
	json_t *o = json_object();
	put(b, o, "name", text(f->name));
	put(b, o, "dimension", text(dimension_name[f->dim]));
	put_unit(b, o, "value", f->dim, f->value);
	put(b, o, "law", text(f->law));
	put(b, o, "uses", strings(b, f->uses, f->use_count));
	return o;
}

static const char *basis_name(enum inw_basis basis)
{
	static const char *const name[] = {"given", "found", "derived", "memory", "practice", "unknown"};
	return (size_t)basis < INW_COUNT(name) ? name[basis] : "unknown";
}

static const char *origin_name(enum inw_origin origin)
{
	static const char *const name[] = {"file", "catalog", "default", "derived"};
	return (size_t)origin < INW_COUNT(name) ? name[origin] : "default";
}

static json_t *quantity(struct builder *b, const struct inw_quantity *q)
{
	json_t *o = json_object();
	put(b, o, "path", text(q->path));
	put(b, o, "dimension", text(dimension_name[q->dim]));
	put_unit(b, o, "value", q->dim, q->value);
	put_unit(b, o, "low", q->dim, q->low);
	put_unit(b, o, "high", q->dim, q->high);
	put(b, o, "origin", text(origin_name(q->origin)));
	put(b, o, "basis", text(basis_name(q->basis)));
	put(b, o, "source", text(q->source));
	put(b, o, "file", text(q->file));
	put(b, o, "line", json_integer(q->line));
	put(b, o, "column", json_integer(q->column));
	return o;
}

static json_t *law(struct builder *b, const struct inw_law *l)
{
	json_t *o = json_object();
	put(b, o, "title", text(l->title));
	put(b, o, "equation", text(l->equation));
	put(b, o, "source", text(l->source));
	put(b, o, "basis", text(basis_name(l->basis)));
	put(b, o, "range", text(l->range));
	put(b, o, "omits", text(l->omits));
	return o;
}

/* The laws that the facts name, once each. */
static json_t *laws(struct builder *b, const struct inw_report *r)
{
	json_t *o = json_object();
	for (size_t i = 0; i < r->fact_count; i++) {
		const struct inw_law *l = inw_law_find(r->facts[i].law);
		if (l && !json_object_get(o, l->key))
			put(b, o, l->key, law(b, l));
	}
	return o;
}

static json_t *rule(struct builder *b, const struct inw_rule *u)
{
	json_t *o = json_object();
	put(b, o, "rule", sentence(u->rule));
	put(b, o, "physics", sentence(u->physics));
	put(b, o, "disagree", json_boolean(u->disagree));
	return o;
}

static void put_lists(struct builder *b, json_t *o, const struct inw_report *r)
{
	json_t *verdicts = json_array(), *states = json_array(), *facts = json_array(), *rules = json_array(),
		   *assumed = json_array();
	for (size_t i = 0; i < r->verdict_count; i++)
		append(b, verdicts, verdict(b, &r->verdicts[i]));
	for (size_t i = 0; i < r->state_count; i++)
		append(b, states, state(b, &r->states[i]));
	for (size_t i = 0; i < r->rule_count; i++)
		append(b, rules, rule(b, &r->rules[i]));
	for (size_t i = 0; i < r->assumed_count; i++)
		append(b, assumed, quantity(b, r->assumed[i]));
	for (size_t i = 0; i < r->fact_count; i++)
		append(b, facts, fact(b, &r->facts[i]));
	put(b, o, "verdicts", verdicts);
	put(b, o, "states", states);
	put(b, o, "rules_of_thumb", rules);
	put(b, o, "assumed", assumed);
	put(b, o, "facts", facts);
	put(b, o, "laws", laws(b, r));
	put(b, o, "notes", strings(b, r->notes, r->note_count));
	put(b, o, "cautions", strings(b, r->cautions, r->caution_count));
}

static int collect(const char *bytes, size_t length, void *context)
{
	struct inw_text *t = context;
	inw_text_addn(t, bytes, length);
	return t->failed ? -1 : 0;
}

char *inw_show_json(const struct inw_report *r)
{
	struct builder b = {false};
	struct inw_text t = {0};
	json_t *o = json_object();
	put(&b, o, "inward_report", json_integer(FORMAT_VERSION));
	put(&b, o, "version", text(inw_version()));
	put(&b, o, "title", text(r->title));
	put(&b, o, "file", text(r->file));
	put(&b, o, "overall", text(inw_show__word(r->overall)));
	put_lists(&b, o, r);
	put(&b, o, "disclaimer", text(inw_show__disclaimer));
	if (b.failed || json_dump_callback(o, collect, &t, JSON_INDENT(1) | JSON_REAL_PRECISION(DIGITS)))
		t.failed = 1;
	inw_text_add(&t, "\n");
	json_decref(o);
	if (t.failed) {
		inw_text_free(&t);
		return NULL;
	}
	return t.s;
}
