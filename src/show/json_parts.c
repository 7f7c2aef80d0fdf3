/* SPDX-License-Identifier: MIT */
#include "show/json_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "design/units.h"
#include "show/lines.h"

enum { DIGITS = 15 /* every decimal of 15 digits survives a double; 17 would show noise */ };

void inw_json__put(struct inw_json *b, json_t *object, const char *name, json_t *value)
{
	if (!value || json_object_set_new(object, name, value))
		b->failed = true;
}

void inw_json__append(struct inw_json *b, json_t *array, json_t *value)
{
	if (!value || json_array_append_new(array, value))
		b->failed = true;
}

json_t *inw_json__text(const char *s)
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
json_t *inw_json__sentence(const char *s)
{
	char *written = s ? inw_show_sentence(s, INW_SI) : NULL;
	json_t *j = s && !written ? NULL : inw_json__text(written);
	free(written);
	return j;
}

json_t *inw_json__real(double value)
{
	return isfinite(value) ? json_real(value) : json_null();
}

json_t *inw_json__integer(size_t value)
{
	return json_integer((json_int_t)value);
}

void inw_json__put_unit(struct inw_json *b, json_t *object, const char *name, enum inw_dim dim, double value)
{
	char full[64];
	snprintf(full, sizeof full, "%s%s", name, inw_units_json_suffix(dim));
	inw_json__put(b, object, full, inw_json__real(value));
}

void inw_json__put_bounded(struct inw_json *b, json_t *object, const char *name, enum inw_dim dim, struct inw_bounded value)
{
	char full[64];

	inw_json__put_unit(b, object, name, dim, value.bound == INW_EXACTLY ? value.value : NAN);
	snprintf(full, sizeof full, "%s_%s_than", name, value.bound == INW_MORE_THAN ? "more" : "less");
	if (value.bound != INW_EXACTLY)
		inw_json__put_unit(b, object, full, dim, value.value);
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
	[INW_DIM_PRICE_PER_MASS] = "price_per_mass",
	[INW_DIM_PRICE_PER_ENERGY] = "price_per_energy",
	[INW_DIM_PRICE_PER_LENGTH] = "price_per_length",
	[INW_DIM_PRICE_PER_AREA] = "price_per_area",
};

const char *inw_json__dimension(enum inw_dim dim)
{
	return dimension_name[dim];
}

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

static json_t *blames(struct inw_json *b, const struct inw_verdict *v)
{
	json_t *list = json_array();
	for (size_t i = 0; i < v->blames && i < INW_MAX_BLAME; i++) {
		json_t *o = json_object();
		inw_json__put(b, o, "path", inw_json__text(v->blame[i].path));
		inw_json__put(b, o, "share_of_range", inw_json__real(v->blame[i].share));
		inw_json__append(b, list, o);
	}
	return list;
}

static void put_verdict_numbers(struct inw_json *b, json_t *o, const struct inw_verdict *v)
{
	inw_json__put(b, o, "sense", inw_json__text(sense_name(v->sense)));
	inw_json__put(b, o, "dimension", inw_json__text(inw_json__dimension(v->dim)));
	inw_json__put_bounded(b, o, "value", v->dim, (struct inw_bounded){v->value, v->bound});
	inw_json__put_unit(b, o, "low", v->dim, v->low);
	inw_json__put_unit(b, o, "high", v->dim, v->high);
	inw_json__put_unit(b, o, "limit", v->dim, v->sense == INW_NO_LIMIT ? NAN : v->limit);
	inw_json__put_unit(b, o, "limit_high", v->dim, v->sense == INW_WITHIN ? v->limit_high : NAN);
	inw_json__put_unit(b, o, "margin", inw_show__difference_dim(v->dim), v->sense == INW_NO_LIMIT ? NAN : v->margin);
}

json_t *inw_json__verdict(struct inw_json *b, const struct inw_verdict *v)
{
	json_t *o = json_object();
	inw_json__put(b, o, "id", inw_json__text(v->id));
	inw_json__put(b, o, "title", inw_json__sentence(v->title));
	inw_json__put(b, o, "job", inw_json__text(v->job));
	inw_json__put(b, o, "state", inw_json__text(v->state));
	inw_json__put(b, o, "word", inw_json__text(inw_show__word(v->word)));
	put_verdict_numbers(b, o, v);
	inw_json__put(b, o, "limit_source", inw_json__sentence(v->limit_source));
	inw_json__put(b, o, "where", inw_json__sentence(v->where));
	inw_json__put(b, o, "reason", inw_json__sentence(v->reason));
	inw_json__put(b, o, "change", inw_json__sentence(v->change));
	inw_json__put(b, o, "caution", inw_json__sentence(v->caution));
	inw_json__put(b, o, "assumed_inputs", inw_json__integer(v->assumed));
	inw_json__put(b, o, "most_influential", blames(b, v));
	return o;
}

json_t *inw_json__strings(struct inw_json *b, const char *const *items, size_t count)
{
	json_t *list = json_array();
	for (size_t i = 0; i < count; i++)
		inw_json__append(b, list, inw_json__sentence(items[i]));
	return list;
}

void inw_json__put_head(struct inw_json *b, json_t *o, const char *title, const char *file, enum inw_word overall)
{
	inw_json__put(b, o, "version", inw_json__text(inw_version()));
	inw_json__put(b, o, "title", inw_json__text(title));
	inw_json__put(b, o, "file", inw_json__text(file));
	inw_json__put(b, o, "overall", inw_json__text(inw_show__word(overall)));
}

static int collect(const char *bytes, size_t length, void *context)
{
	struct inw_text *t = context;
	inw_text_addn(t, bytes, length);
	return t->failed ? -1 : 0;
}

char *inw_json__write(struct inw_json *b, json_t *o)
{
	struct inw_text t = {0};
	inw_json__put(b, o, "disclaimer", inw_json__text(inw_show__disclaimer));
	if (b->failed || json_dump_callback(o, collect, &t, JSON_INDENT(1) | JSON_REAL_PRECISION(DIGITS)))
		t.failed = 1;
	inw_text_add(&t, "\n");
	json_decref(o);
	if (t.failed) {
		inw_text_free(&t);
		return NULL;
	}
	return t.s;
}

/* ---- series ---- */

static json_t *column(struct inw_json *b, const struct inw_series *s, size_t c)
{
	char name[32];
	json_t *o = json_object(), *values = json_array();
	for (size_t i = 0; i < s->rows && !b->failed; i++)
		inw_json__append(b, values, inw_json__real(s->value[i * s->columns + c]));
	snprintf(name, sizeof name, "values%s", inw_units_json_suffix(s->dim[c]));
	inw_json__put(b, o, "name", inw_json__text(s->name[c]));
	inw_json__put(b, o, "dimension", inw_json__text(inw_json__dimension(s->dim[c])));
	inw_json__put(b, o, name, values);
	return o;
}

json_t *inw_json__series(struct inw_json *b, const struct inw_series *s)
{
	json_t *o = json_object(), *columns = json_array();
	for (size_t i = 0; i < s->columns; i++)
		inw_json__append(b, columns, column(b, s, i));
	inw_json__put(b, o, "rows", inw_json__integer(s->rows));
	inw_json__put(b, o, "columns", columns);
	return o;
}

/* ---- beds ---- */

static json_t *reals(struct inw_json *b, const double *v, size_t n)
{
	json_t *a = json_array();
	for (size_t i = 0; i < n && !b->failed; i++)
		inw_json__append(b, a, inw_json__real(v[i]));
	return a;
}

/* One substance: a row of slices for each moment. */
static json_t *held(struct inw_json *b, const struct inw_bed_profile *p, size_t substance)
{
	json_t *o = json_object(), *rows = json_array();
	for (size_t t = 0; t < p->times && !b->failed; t++)
		inw_json__append(b, rows, reals(b, &p->loading[(t * p->substances + substance) * p->cells], p->cells));
	inw_json__put(b, o, "substance", inw_json__text(p->substance[substance]));
	inw_json__put(b, o, "loading_kgkg", rows);
	inw_json__put(b, o, "balance_kgkg", inw_json__real(p->full[substance]));
	inw_json__put(b, o, "strongest_kgm3", inw_json__real(p->strongest[substance]));
	return o;
}

static json_t *bed(struct inw_json *b, const struct inw_bed_profile *p)
{
	json_t *o = json_object(), *substances = json_array();
	for (size_t i = 0; i < p->substances; i++)
		inw_json__append(b, substances, held(b, p, i));
	inw_json__put(b, o, "stage", inw_json__text(p->stage));
	inw_json__put(b, o, "depth_m", inw_json__real(p->depth_m));
	inw_json__put(b, o, "carbon_kg", inw_json__real(p->carbon_kg));
	inw_json__put(b, o, "slices", inw_json__integer(p->cells));
	inw_json__put(b, o, "times_s", reals(b, p->t, p->times));
	inw_json__put(b, o, "strongest_time_s", inw_json__real(p->strongest_t));
	inw_json__put(b, o, "substances", substances);
	return o;
}

json_t *inw_json__beds(struct inw_json *b, const struct inw_bed_profile *beds, size_t count)
{
	json_t *a = json_array();
	for (size_t k = 0; k < count; k++)
		inw_json__append(b, a, bed(b, &beds[k]));
	return a;
}
