/* SPDX-License-Identifier: MIT */
/* json.c: the report as JSON. Names are stable and carry their unit; doc/json.md and doc/report.schema.json tell. */
#include <math.h>

#include "show/json_parts.h"

enum { FORMAT_VERSION = 1 };

static json_t *gap(struct inw_json *b, const struct inw_gap_view *g)
{
	json_t *o = json_object();
	inw_json__put(b, o, "name", inw_json__text(g->name));
	inw_json__put(b, o, "face", inw_json__text(g->face));
	inw_json__put(b, o, "room", inw_json__text(g->room));
	inw_json__put(b, o, "height_m", inw_json__real(g->height));
	inw_json__put(b, o, "rise_m", inw_json__real(g->rise));
	inw_json__put(b, o, "inward_at_bottom_Pa", inw_json__real(g->dp_bottom_Pa));
	inw_json__put(b, o, "inward_at_top_Pa", inw_json__real(g->dp_top_Pa));
	inw_json__put(b, o, "in_m3s", inw_json__real(g->in_m3s));
	inw_json__put(b, o, "out_m3s", inw_json__real(g->out_m3s));
	inw_json__put(b, o, "inward_velocity_ms", inw_json__real(g->velocity_ms));
	return o;
}

static json_t *stage(struct inw_json *b, const struct inw_stage_view *s)
{
	static const char *const kind[] = {"medium", "bed", "blower"};
	json_t *o = json_object();
	bool blower = s->kind == INW_STAGE_BLOWER;
	inw_json__put(b, o, "name", inw_json__text(s->name));
	inw_json__put(b, o, "kind", inw_json__text((size_t)s->kind < INW_COUNT(kind) ? kind[s->kind] : NULL));
	inw_json__put(b, o, "loss_Pa", inw_json__real(blower ? NAN : s->dp_Pa));
	inw_json__put(b, o, "rise_Pa", inw_json__real(blower ? s->dp_Pa : NAN));
	inw_json__put(b, o, "flow_m3s", inw_json__real(s->flow_m3s));
	inw_json__put(b, o, "bypass_m3s", inw_json__real(s->bypass_m3s));
	inw_json__put(b, o, "face_velocity_ms", inw_json__real(s->face_velocity_ms));
	inw_json__put(b, o, "temperature_K", inw_json__real(s->T_K));
	inw_json__put(b, o, "residence_s", inw_json__real(s->residence_s));
	inw_json__put(b, o, "inward_pressure_Pa", inw_json__real(s->inward_Pa));
	return o;
}

static json_t *room(struct inw_json *b, const struct inw_room_view *r)
{
	json_t *o = json_object();
	inw_json__put(b, o, "name", inw_json__text(r->name));
	inw_json__put(b, o, "temperature_K", inw_json__real(r->T_K));
	inw_json__put(b, o, "pressure_Pa", inw_json__real(r->p_Pa));
	inw_json__put(b, o, "heater_W", inw_json__real(r->heater_W));
	inw_json__put(b, o, "particles_per_m3", inw_json__real(r->particles_m3));
	return o;
}

static json_t *panel(struct inw_json *b, const struct inw_panel_view *p)
{
	json_t *o = json_object();
	inw_json__put(b, o, "face", inw_json__text(p->face));
	inw_json__put(b, o, "inside_K", inw_json__real(p->T_in_K));
	inw_json__put(b, o, "outside_K", inw_json__real(p->T_out_K));
	inw_json__put(b, o, "loss_W", inw_json__real(p->loss_W));
	inw_json__put(b, o, "area_m2", inw_json__real(p->area_m2));
	return o;
}

static json_t *curve(struct inw_json *b, const struct inw_curve *c)
{
	json_t *o = json_object(), *x = json_array(), *y = json_array();
	for (size_t i = 0; i < c->count; i++) {
		inw_json__append(b, x, inw_json__real(c->x[i]));
		inw_json__append(b, y, inw_json__real(c->y[i]));
	}
	inw_json__put(b, o, "flow_m3s", x);
	inw_json__put(b, o, "pressure_Pa", y);
	return o;
}

static void put_state_numbers(struct inw_json *b, json_t *o, const struct inw_state_view *s)
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
		inw_json__put(b, o, line[i].name, inw_json__real(line[i].value));
}

static json_t *state(struct inw_json *b, const struct inw_state_view *s)
{
	json_t *o = json_object(), *gaps = json_array(), *stages = json_array(), *rooms = json_array(),
		   *panels = json_array();
	inw_json__put(b, o, "job", inw_json__text(s->job));
	inw_json__put(b, o, "state", inw_json__text(s->state));
	inw_json__put(b, o, "converged", json_boolean(s->converged));
	inw_json__put(b, o, "iterations", json_integer(s->iterations));
	put_state_numbers(b, o, s);
	for (size_t i = 0; i < s->gap_count; i++)
		inw_json__append(b, gaps, gap(b, &s->gaps[i]));
	for (size_t i = 0; i < s->stage_count; i++)
		inw_json__append(b, stages, stage(b, &s->stages[i]));
	for (size_t i = 0; i < s->room_count; i++)
		inw_json__append(b, rooms, room(b, &s->rooms[i]));
	for (size_t i = 0; i < s->panel_count; i++)
		inw_json__append(b, panels, panel(b, &s->panels[i]));
	inw_json__put(b, o, "gaps", gaps);
	inw_json__put(b, o, "stages", stages);
	inw_json__put(b, o, "rooms", rooms);
	inw_json__put(b, o, "panels", panels);
	inw_json__put(b, o, "blower_curve", curve(b, &s->blower_curve));
	inw_json__put(b, o, "train_curve", curve(b, &s->train_curve));
	return o;
}

static json_t *fact(struct inw_json *b, const struct inw_fact *f)
{
	json_t *o = json_object();
	inw_json__put(b, o, "name", inw_json__text(f->name));
	inw_json__put(b, o, "dimension", inw_json__text(inw_json__dimension(f->dim)));
	inw_json__put_unit(b, o, "value", f->dim, f->value);
	inw_json__put(b, o, "law", inw_json__text(f->law));
	inw_json__put(b, o, "uses", inw_json__strings(b, f->uses, f->use_count));
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

json_t *inw_json__quantity(struct inw_json *b, const struct inw_quantity *q)
{
	json_t *o = json_object();
	inw_json__put(b, o, "path", inw_json__text(q->path));
	inw_json__put(b, o, "dimension", inw_json__text(inw_json__dimension(q->dim)));
	inw_json__put_unit(b, o, "value", q->dim, q->value);
	inw_json__put_unit(b, o, "low", q->dim, q->low);
	inw_json__put_unit(b, o, "high", q->dim, q->high);
	inw_json__put(b, o, "origin", inw_json__text(origin_name(q->origin)));
	inw_json__put(b, o, "basis", inw_json__text(basis_name(q->basis)));
	inw_json__put(b, o, "source", inw_json__text(q->source));
	inw_json__put(b, o, "file", inw_json__text(q->file));
	inw_json__put(b, o, "line", json_integer(q->line));
	inw_json__put(b, o, "column", json_integer(q->column));
	return o;
}

static json_t *law(struct inw_json *b, const struct inw_law *l)
{
	json_t *o = json_object();
	inw_json__put(b, o, "title", inw_json__text(l->title));
	inw_json__put(b, o, "equation", inw_json__text(l->equation));
	inw_json__put(b, o, "source", inw_json__text(l->source));
	inw_json__put(b, o, "basis", inw_json__text(basis_name(l->basis)));
	inw_json__put(b, o, "range", inw_json__text(l->range));
	inw_json__put(b, o, "omits", inw_json__text(l->omits));
	return o;
}

/* The laws that the facts name, once each. */
static json_t *laws(struct inw_json *b, const struct inw_report *r)
{
	json_t *o = json_object();
	for (size_t i = 0; i < r->fact_count; i++) {
		const struct inw_law *l = inw_law_find(r->facts[i].law);
		if (l && !json_object_get(o, l->key))
			inw_json__put(b, o, l->key, law(b, l));
	}
	return o;
}

static json_t *rule(struct inw_json *b, const struct inw_rule *u)
{
	json_t *o = json_object();
	inw_json__put(b, o, "job", inw_json__text(u->job));
	inw_json__put(b, o, "rule", inw_json__sentence(u->rule));
	inw_json__put(b, o, "physics", inw_json__sentence(u->physics));
	inw_json__put(b, o, "disagree", json_boolean(u->disagree));
	return o;
}

static void put_lists(struct inw_json *b, json_t *o, const struct inw_report *r)
{
	json_t *verdicts = json_array(), *states = json_array(), *facts = json_array(), *rules = json_array(),
		   *assumed = json_array();
	for (size_t i = 0; i < r->verdict_count; i++)
		inw_json__append(b, verdicts, inw_json__verdict(b, &r->verdicts[i]));
	for (size_t i = 0; i < r->state_count; i++)
		inw_json__append(b, states, state(b, &r->states[i]));
	for (size_t i = 0; i < r->rule_count; i++)
		inw_json__append(b, rules, rule(b, &r->rules[i]));
	for (size_t i = 0; i < r->assumed_count; i++)
		inw_json__append(b, assumed, inw_json__quantity(b, r->assumed[i]));
	for (size_t i = 0; i < r->fact_count; i++)
		inw_json__append(b, facts, fact(b, &r->facts[i]));
	inw_json__put(b, o, "verdicts", verdicts);
	inw_json__put(b, o, "states", states);
	inw_json__put(b, o, "rules_of_thumb", rules);
	inw_json__put(b, o, "assumed", assumed);
	inw_json__put(b, o, "facts", facts);
	inw_json__put(b, o, "laws", laws(b, r));
	inw_json__put(b, o, "notes", inw_json__strings(b, r->notes, r->note_count));
	inw_json__put(b, o, "cautions", inw_json__strings(b, r->cautions, r->caution_count));
}

char *inw_show_json(const struct inw_report *r)
{
	struct inw_json b = {false};
	json_t *o = json_object();
	inw_json__put(&b, o, "inward_report", json_integer(FORMAT_VERSION));
	inw_json__put_head(&b, o, r->title, r->file, r->overall);
	put_lists(&b, o, r);
	return inw_json__write(&b, o);
}
