/* SPDX-License-Identifier: MIT */
/* map_json.c: a map as JSON. Names are stable and carry their unit; doc/json.md and doc/map.schema.json say them. */
#include <math.h>
#include <stdio.h>

#include "design/units.h"
#include "show/json_parts.h"
#include "show/lines.h"

enum { FORMAT_VERSION = 1 };

static void put_list(struct inw_json *b, json_t *o, const char *name, enum inw_dim dim, const struct inw_curve *list)
{
	char full[64];
	json_t *a = json_array();

	for (size_t i = 0; i < list->count && !b->failed; i++)
		inw_json__append(b, a, inw_json__real(list->y[i]));
	snprintf(full, sizeof full, "%s%s", name, inw_units_json_suffix(dim));
	inw_json__put(b, o, full, a);
}

static json_t *axis(struct inw_json *b, const struct inw_map_axis *a)
{
	json_t *o = json_object();
	const struct inw_curve at = {NULL, a->at, a->count};

	inw_json__put(b, o, "path", inw_json__text(a->quantity->path));
	inw_json__put(b, o, "dimension", inw_json__text(inw_json__dimension(a->quantity->dim)));
	inw_json__put_unit(b, o, "now", a->quantity->dim, a->now);
	put_list(b, o, "at", a->quantity->dim, &at);
	return o;
}

static json_t *intervals(struct inw_json *b, const struct inw_map *m, const struct inw_map_interval *list, size_t count)
{
	json_t *a = json_array();
	const enum inw_dim dim = m->axis[0].quantity->dim;

	for (size_t i = 0; i < count; i++) {
		json_t *o = json_object();
		inw_json__put_unit(b, o, "from", dim, list[i].from);
		inw_json__put_unit(b, o, "to", dim, list[i].to);
		inw_json__append(b, a, o);
	}
	return a;
}

/* In SI, as the values of both quantities. */
static json_t *line(struct inw_json *b, const struct inw_map_line *l)
{
	json_t *o = json_object();
	const struct inw_curve x = {NULL, l->x, l->count}, y = {NULL, l->y, l->count};

	inw_json__put(b, o, "closed", json_boolean(l->closed));
	put_list(b, o, "across", INW_DIM_NONE, &x);
	put_list(b, o, "upwards", INW_DIM_NONE, &y);
	return o;
}

static const char *sense_name(enum inw_sense sense)
{
	return sense == INW_AT_LEAST ? "at least" : sense == INW_AT_MOST ? "at most" : sense == INW_WITHIN ? "within" : "no limit";
}

static json_t *verdict(struct inw_json *b, const struct inw_map *m, const struct inw_map_verdict *v)
{
	json_t *o = json_object(), *words = json_array(), *lines = json_array();
	const enum inw_dim apart = inw_show__difference_dim(v->dim);
	const struct inw_curve value = {NULL, v->value, m->points}, margin = {NULL, v->margin, m->points};

	for (size_t i = 0; i < m->points && !b->failed; i++)
		inw_json__append(b, words, inw_json__text(inw_show__word(v->word[i])));
	for (size_t i = 0; i < v->zero_count && !b->failed; i++)
		inw_json__append(b, lines, line(b, &v->zero[i]));
	inw_json__put(b, o, "id", inw_json__text(v->id));
	inw_json__put(b, o, "title", inw_json__text(v->title));
	inw_json__put(b, o, "job", inw_json__text(v->job));
	inw_json__put(b, o, "dimension", inw_json__text(inw_json__dimension(v->dim)));
	inw_json__put(b, o, "sense", inw_json__text(sense_name(v->sense)));
	inw_json__put_unit(b, o, "limit", v->dim, v->limit);
	inw_json__put_unit(b, o, "limit_high", v->dim, v->limit_high);
	inw_json__put_unit(b, o, "one", apart, v->one);
	inw_json__put(b, o, "can_be_told", json_boolean(!v->untold));
	inw_json__put_unit(b, o, "value_now", v->dim, v->value_now);
	inw_json__put_unit(b, o, "margin_now", apart, v->margin_now);
	put_list(b, o, "values", v->dim, &value);
	put_list(b, o, "margins", apart, &margin);
	inw_json__put(b, o, "words", words);
	inw_json__put(b, o, "met", intervals(b, m, v->met, v->met_count));
	inw_json__put(b, o, "zero_lines", lines);
	return o;
}

static json_t *which(const struct inw_map *m, int verdict)
{
	return verdict < 0 ? json_null() : inw_json__integer((size_t)verdict < m->verdict_count ? (size_t)verdict : 0);
}

char *inw_show_map_json(const struct inw_map *m)
{
	struct inw_json b = {false};
	json_t *o = json_object(), *axes = json_array(), *verdicts = json_array(), *limiting = json_array();
	const struct inw_curve least = {NULL, m->least, m->points};

	for (size_t k = 0; k < m->axes; k++)
		inw_json__append(&b, axes, axis(&b, &m->axis[k]));
	for (size_t i = 0; i < m->verdict_count; i++)
		inw_json__append(&b, verdicts, verdict(&b, m, &m->verdicts[i]));
	for (size_t i = 0; i < m->points && !b.failed; i++)
		inw_json__append(&b, limiting, which(m, m->limiting[i]));
	inw_json__put(&b, o, "inward_map", json_integer(FORMAT_VERSION));
	inw_json__put(&b, o, "version", inw_json__text(inw_version()));
	inw_json__put(&b, o, "title", inw_json__text(m->title));
	inw_json__put(&b, o, "file", inw_json__text(m->file));
	inw_json__put(&b, o, "sure", json_boolean(m->sure));
	inw_json__put(&b, o, "named_verdicts_only", json_boolean(m->named));
	inw_json__put(&b, o, "quantities", axes);
	inw_json__put(&b, o, "points", inw_json__integer(m->points));
	inw_json__put(&b, o, "verdicts", verdicts);
	put_list(&b, o, "least", INW_DIM_NONE, &least);
	inw_json__put(&b, o, "limiting", limiting);
	inw_json__put(&b, o, "least_now", inw_json__real(m->least_now));
	inw_json__put(&b, o, "limiting_now", which(m, m->limiting_now));
	inw_json__put(&b, o, "met", intervals(&b, m, m->met, m->met_count));
	inw_json__put_unit(&b, o, "precision", m->axes == 1 ? inw_show__difference_dim(m->axis[0].quantity->dim) : INW_DIM_NONE, m->axes == 1 ? m->precision : NAN);
	inw_json__put(&b, o, "best", m->best < 0 ? json_null() : inw_json__integer((size_t)m->best));
	inw_json__put(&b, o, "notes", inw_json__strings(&b, m->notes, m->note_count));
	return inw_json__write(&b, o);
}
