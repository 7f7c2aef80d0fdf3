/* SPDX-License-Identifier: MIT */
/* records.c: what a design may name: the catalog's records and those of the text, by kind, with the numbers that one would choose
 * by. Read from the catalog as a design reads it; the tables below only say which numbers. */
#include <stddef.h>
#include <string.h>

#include "design/design.h"
#include "design/read.h"
#include "serve/api.h"
#include "show/json_parts.h"

struct number { const char *name; size_t at; };
enum { MOST_NUMBERS = 6 };
/* A kind of record: where its list stands in the catalog, and what of a record is told. */
struct kind {
	const char *name;
	size_t list, count, size;        /* list and count within struct inw_catalog; size of a record */
	size_t called, title;            /* within a record */
	struct number number[MOST_NUMBERS];
};
#define KIND(n, T, l, c, ...) {n, offsetof(struct inw_catalog, l), offsetof(struct inw_catalog, c), sizeof(struct T), offsetof(struct T, name), offsetof(struct T, title), {__VA_ARGS__}}

static const struct kind kinds[] = {
	KIND("materials", inw_material, material, materials, {"chamber_low", offsetof(struct inw_material, chamber_low)}, {"chamber_high", offsetof(struct inw_material, chamber_high)},
	     {"plate", offsetof(struct inw_material, plate)}, {"nozzle", offsetof(struct inw_material, nozzle)}, {"particles", offsetof(struct inw_material, particles)}),
	KIND("mediums", inw_medium_class, medium, mediums, {"efficiency", offsetof(struct inw_medium_class, efficiency)}, {"rated_velocity", offsetof(struct inw_medium_class, rated_velocity)},
	     {"rated_dp", offsetof(struct inw_medium_class, rated_dp)}, {"final_ratio", offsetof(struct inw_medium_class, final_ratio)}),
	KIND("carbons", inw_carbon, carbon, carbons, {"granule", offsetof(struct inw_carbon, granule)}, {"bulk_density", offsetof(struct inw_carbon, bulk_density)},
	     {"micropore_volume", offsetof(struct inw_carbon, micropore_volume)}),
	KIND("blowers", inw_blower_class, blower, blowers, {"power", offsetof(struct inw_blower_class, power)}, {"sound", offsetof(struct inw_blower_class, sound)}),
	KIND("panels", inw_panel_material, panel, panels, {"conductivity", offsetof(struct inw_panel_material, conductivity)}, {"density", offsetof(struct inw_panel_material, density)}),
	KIND("multiwalls", inw_multiwall, multiwall, multiwalls, {"thickness", offsetof(struct inw_multiwall, thickness)}, {"resistance", offsetof(struct inw_multiwall, resistance)},
	     {"weight", offsetof(struct inw_multiwall, weight)}),
	KIND("appliances", inw_appliance_kind, appliance, appliances, {"limit", offsetof(struct inw_appliance_kind, limit)}),
};

struct told { struct inw_json b; const struct inw_design *d; bool own; /* some number of the record is of the text */ };

static void put_number(struct told *t, json_t *o, const char *name, inw_q q)
{
	if (q < 0)
		return;
	const struct inw_quantity *quantity = &t->d->quantity[q];
	json_t *n = inw_json__quantity(&t->b, quantity);
	serve_put_format(&t->b, n, quantity->value, quantity->dim);
	inw_json__put(&t->b, o, name, n);
	t->own |= quantity->file && strcmp(quantity->file, t->d->file) == 0;
}

static const char *text_at(const void *record, size_t at)
{
	const char *text;
	memcpy(&text, (const char *)record + at, sizeof text);
	return text;
}

/* What has more than single numbers. */
static void put_material(struct told *t, json_t *o, const struct inw_material *m)
{
	json_t *gases = json_array();
	for (size_t i = 0; i < m->gas_count; i++) {
		json_t *gas = json_object();
		inw_json__put(&t->b, gas, "substance", inw_json__text(t->d->catalog.substance[m->gases[i].substance].title));
		inw_json__put(&t->b, gas, "studies", inw_json__integer((size_t)m->gases[i].studies));
		put_number(t, gas, "rate", m->gases[i].rate);
		inw_json__append(&t->b, gases, gas);
	}
	inw_json__put(&t->b, o, "process", inw_json__text(m->process));
	inw_json__put(&t->b, o, "note", inw_json__text(m->note));
	inw_json__put(&t->b, o, "particle_studies", inw_json__integer((size_t)m->particle_studies));
	inw_json__put(&t->b, o, "gases", gases);
}

static void put_blower(struct told *t, json_t *numbers, const struct inw_blower_class *blower)
{
	if (!blower->points)
		return;
	put_number(t, numbers, "free_flow", blower->flow[blower->points - 1]);
	put_number(t, numbers, "shut_off_pressure", blower->rise[0]);
}

static json_t *record(struct told *t, const struct kind *k, const void *at)
{
	json_t *o = json_object(), *numbers = json_object();
	t->own = false;
	inw_json__put(&t->b, o, "name", inw_json__text(text_at(at, k->called)));
	inw_json__put(&t->b, o, "title", inw_json__text(text_at(at, k->title)));
	for (size_t i = 0; i < MOST_NUMBERS && k->number[i].name; i++) {
		inw_q q;
		memcpy(&q, (const char *)at + k->number[i].at, sizeof q);
		put_number(t, numbers, k->number[i].name, q);
	}
	if (strcmp(k->name, "materials") == 0)
		put_material(t, o, at);
	if (strcmp(k->name, "blowers") == 0)
		put_blower(t, numbers, at);
	inw_json__put(&t->b, o, "numbers", numbers);
	inw_json__put(&t->b, o, "own", json_boolean(t->own));
	return o;
}

static json_t *records(struct told *t, const struct kind *k)
{
	const char *catalog = (const char *)&t->d->catalog, *list;
	size_t count;
	json_t *out = json_array();
	memcpy(&list, catalog + k->list, sizeof list);
	memcpy(&count, catalog + k->count, sizeof count);
	for (size_t i = 0; i < count; i++)
		inw_json__append(&t->b, out, record(t, k, list + i * k->size));
	return out;
}

static struct serve_reply *all_records(const struct inw_design *d, bool read)
{
	struct told t = {.d = d};
	json_t *o = json_object();
	inw_json__put(&t.b, o, "text_read", json_boolean(read));
	for (size_t i = 0; i < INW_COUNT(kinds); i++)
		inw_json__put(&t.b, o, kinds[i].name, records(&t, &kinds[i]));
	if (!t.b.failed)
		return serve_reply_json(200, o);
	json_decref(o);
	return serve_reply_no_memory();
}

/* A text that is no design yet has the catalog to choose from all the same. */
static struct serve_reply *catalog_alone(void)
{
	struct inw_design *d = NULL;
	struct inw_diags diags = {0};
	enum inw_status s = inw_catalog_alone(&d, &diags);
	struct serve_reply *r = s == INW_OK ? all_records(d, false) : serve_status_trouble(s, &diags);
	inw_diags_free(&diags);
	inw_design_free(d);
	return r;
}

struct serve_reply *serve_records(struct serve_ask *a)
{
	struct serve_study *s = serve_study_open(a->desk, &a->text, false);
	struct serve_reply *r = s && s->d ? all_records(s->d, true) : s && s->status == INW_BAD_INPUT ? catalog_alone() : serve_study_trouble(s);
	if (s)
		serve_study_close(a->desk, s);
	return r;
}
