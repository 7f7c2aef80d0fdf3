/* SPDX-License-Identifier: MIT */
#include "design/schema.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NAME_MOST 80
#define MOST_KEYS 32

const struct inw_bounds inw_positive = { 0, INFINITY, true, "more than zero" };
const struct inw_bounds inw_not_negative = { 0, INFINITY, false, "zero or more" };
const struct inw_bounds inw_share = { 0, 1, false, "between 0 % and 100 %" };
const struct inw_bounds inw_share_open = { 0, 1, true, "more than 0 % and less than 100 %" };
const struct inw_bounds inw_share_not_full = { 0, 0.999999, false, "at least 0 % and less than 100 %" };
const struct inw_bounds inw_share_above_zero = { 0.000001, 1, false, "more than 0 % and at most 100 %" };
/* The air laws (viscosity, conductivity, saturation) are used from -40 degC to 150 degC: their validity, doc/theory. */
const struct inw_bounds inw_chamber_range = {233.15, 423.15, false,
					     "between -40 degC and 150 degC, where the air laws hold"};
/* Plates and nozzles only release heat and vapour; the bounds catch slips of the unit. Common practice, no source. */
const struct inw_bounds inw_plate_range = { 233.15, 673.15, false, "between -40 degC and 400 degC" };
const struct inw_bounds inw_nozzle_range = { 273.15, 1273.15, false, "between 0 degC and 1000 degC" };
const struct inw_bounds inw_room_range = {213.15, 333.15, false, "between -60 degC and 60 degC, air that people meet"};
const struct inw_bounds inw_loading_range = { 1, 1000, false, "1 (clean) or more" };
/* Ergun's sphericity is 1 for a ball; below 0.3 there are only flakes. Common practice, no source. */
const struct inw_bounds inw_sphericity_range = { 0.3, 1, false, "between 0.3 (flakes) and 1 (balls)" };
/* Random packings lie between about 0.3 and 0.6; the bed law (Ergun 1952) was never fitted outside 0.2 .. 0.9. Memory.
 */
const struct inw_bounds inw_voidage_range = { 0.2, 0.9, true, "between 20 % and 90 %: no packed bed lies outside" };
/* Water fills the pores of carbons at 40 to 70 % (memory); both together keep the law's own bound (isotherm.c). */
const struct inw_bounds inw_water_half_range = { 0.2, 0.85, false, "between 20 % and 85 %" };
const struct inw_bounds inw_water_sites_range = { 0, 0.1, true, "more than 0 % and less than 10 %" };
/* Power law of leakage: 0.5 turbulent, 1 laminar (ASTM E779). */
const struct inw_bounds inw_exponent_range = { 0.5, 1, false, "between 0.5 (turbulent) and 1 (laminar)" };
const struct inw_bounds inw_emissivity_range = { 0, 1, false, "between 0 and 1" };
const struct inw_bounds inw_cd_range = { 0.3, 1, false, "between 0.3 and 1" }; /* of any opening, common practice */
const struct inw_bounds inw_altitude_range = { -500, 5000, false, "between -500 m and 5000 m, where people work" };
/* the pressures of those altitudes in the standard atmosphere, weather included */
const struct inw_bounds inw_pressure_range = {50000, 110000, false,
					      "between 500 hPa and 1100 hPa, the air at -500 m to 5000 m"};
/* The fan laws carry a curve to other speeds of the same wheel; no wheel or motor of this kind is run half as fast
 * again as it is rated. Common practice, no source. */
const struct inw_bounds inw_speed_range = {1e-6, 1.5, false, "more than 0 % and at most 150 % of the rated speed"};

static bool within(double x, const struct inw_bounds *b)
{
	return b->open ? x > b->low && x < b->high : x >= b->low && x <= b->high;
}

inw_q inw_check_bounds(struct inw_reader *r, inw_q q, const struct inw_bounds *b)
{
	if (q < 0)
		return q;
	r->d->quantity[q].least = b->open ? nextafter(b->low, b->high) : b->low;
	r->d->quantity[q].most = b->open ? nextafter(b->high, b->low) : b->high;
	if (within(inw_low(r, q), b) && within(inw_high(r, q), b))
		return q;
	if (within(inw_best(r, q), b))
		inw_fault_q(r, q, "%s must be %s over its whole range", r->d->quantity[q].path, b->words);
	else
		inw_fault_q(r, q, "%s must be %s, found %s", r->d->quantity[q].path, b->words, inw_shown(r, q));
	return INW_NONE;
}

static const char *kind_words(const struct inw_node *n)
{
	static const char *const words[] = { "a single value", "a list", "a mapping" };

	return n->kind == INW_NODE_SCALAR && !n->length ? "nothing" : words[n->kind];
}

static bool expect(struct inw_reader *r, const struct inw_node *n, enum inw_node_kind kind, const char *path)
{
	static const char *const words[] = { "a single value", "a list", "a mapping of keys" };

	if (n->kind == kind && (kind != INW_NODE_SCALAR || n->length))
		return true;
	inw_fault(r, n, "%s must be %s, found %s", path, words[kind], kind_words(n));
	return false;
}

/* Brackets would make paths ambiguous, control characters would spoil every output. */
static bool name_is_fine(struct inw_reader *r, const struct inw_node *n, const char *path)
{
	if (!expect(r, n, INW_NODE_SCALAR, path))
		return false;
	if (n->length > NAME_MOST) {
		inw_fault(r, n, "%s is longer than %d bytes", path, NAME_MOST);
		return false;
	}
	for (size_t i = 0; i < n->length; i++) {
		unsigned char c = (unsigned char)n->text[i];

		if (c < 0x20 || c == 0x7f || c == '[' || c == ']') {
			inw_fault(r, n, "%s must not hold brackets or control characters", path);
			return false;
		}
	}
	return true;
}

static void read_flag(struct inw_reader *r, const struct inw_node *n, const char *path, bool *out)
{
	static const char *const words[] = { "no", "yes", "false", "true" };

	if (!expect(r, n, INW_NODE_SCALAR, path))
		return;
	for (size_t i = 0; i < INW_COUNT(words); i++) {
		if (strcmp(n->text, words[i]) == 0) {
			*out = i & 1;
			return;
		}
	}
	inw_fault(r, n, "%s must be yes or no, found '%.60s'", path, n->text);
}

static void read_choice(struct inw_reader *r, const struct inw_node *n, const struct inw_field *f, const char *path,
			int *out)
{
	if (!expect(r, n, INW_NODE_SCALAR, path))
		return;
	for (size_t i = 0; i < f->word_count; i++) {
		if (strcmp(n->text, f->words[i]) == 0) {
			*out = (int)i;
			return;
		}
	}
	for (size_t i = 0; f->hints && f->hints[i].word; i++) {
		if (inw_same_word(f->hints[i].word, n->text)) {
			inw_fault(r, n, "%s: unknown word '%.60s'; did you mean '%s' (%s)?", path, n->text,
				  f->hints[i].right, f->hints[i].means);
			return;
		}
	}
	inw_fault_word(r, n, inw_say(r, "%s: unknown word", path), f->words, f->word_count);
}

static void read_count(struct inw_reader *r, const struct inw_node *n, const struct inw_bounds *b, const char *path,
		       int *out)
{
	static const struct inw_bounds from_zero = { 0, 1000000, false, "from 0" };
	char *end;
	long x;

	if (!expect(r, n, INW_NODE_SCALAR, path))
		return;
	if (!b)
		b = &from_zero;
	x = strtol(n->text, &end, 10);
	if (*end || !within((double)x, b))
		inw_fault(r, n, "%s must be a whole number %s, found '%.60s'", path, b->words, n->text);
	else
		*out = (int)x;
}

static const char *field_path(struct inw_reader *r, const char *path, const char *key)
{
	const char *const parts[] = { path, ".", key };

	return path && *path ? inw_join(r, parts, INW_COUNT(parts)) : key;
}

static void read_quantity(struct inw_reader *r, const struct inw_node *n, const struct inw_field *f, const char *path,
			  inw_q *out)
{
	*out = inw_quantity_read(r, n, f->dim, path);
	if (f->bounds)
		*out = inw_check_bounds(r, *out, f->bounds);
}

static void read_list(struct inw_reader *r, const struct inw_node *n, const struct inw_field *f, const char *path)
{
	if (expect(r, n, INW_NODE_LIST, path) && n->count > f->most)
		inw_fault(r, n, "%s has %zu items; at most %zu are taken", path, n->count, f->most);
}

static void read_field(struct inw_reader *r, const struct inw_node *n, const struct inw_field *f, const char *path,
		       void *at)
{
	switch (f->kind) {
	case INW_FIELD_QUANTITY:
		read_quantity(r, n, f, path, at);
		break;
	case INW_FIELD_TEXT:
		if (expect(r, n, INW_NODE_SCALAR, path))
			*(const char **)at = n->text;
		break;
	case INW_FIELD_FLAG:
		read_flag(r, n, path, at);
		break;
	case INW_FIELD_CHOICE:
		read_choice(r, n, f, path, at);
		break;
	case INW_FIELD_WHOLE:
		read_count(r, n, f->bounds, path, at);
		break;
	case INW_FIELD_MAP:
		(void)expect(r, n, INW_NODE_MAP, path);
		break;
	case INW_FIELD_LIST:
		read_list(r, n, f, path);
		break;
	case INW_FIELD_ANY:
		break;
	}
}

static void take_default(struct inw_reader *r, const struct inw_field *f, const char *path, inw_q *out)
{
	*out = INW_NONE;
	if (!f->fallback || (f->may_lack && !inw_has_default(r, f->fallback)))
		return;
	*out = inw_quantity_default(r, f->fallback, f->dim, path);
	if (f->bounds)
		*out = inw_check_bounds(r, *out, f->bounds);
}

static size_t keys_of(const struct inw_schema *s, const char *words[MOST_KEYS])
{
	assert(s->count <= MOST_KEYS);
	for (size_t k = 0; k < s->count; k++)
		words[k] = s->field[k].key;
	return s->count;
}

/* "{floor: 10,5 m2}": the comma ends the value 10 and begins a key '5 m2' without a value. Whether key i is such a
 * tail. */
static bool is_comma_tail(const struct inw_node *map, size_t i)
{
	const struct inw_node *before = i > 0 ? map->item[i - 1] : NULL;
	const char *tail = map->key[i]->text;

	return before && before->kind == INW_NODE_SCALAR && before->length && map->item[i]->kind == INW_NODE_SCALAR &&
	       !map->item[i]->length && tail[0] >= '0' && tail[0] <= '9' &&
	       strspn(before->text, "+-0123456789") == before->length;
}

/* Whether the value of a key was cut in two by a decimal comma: that fault is listed, its unit need not be missed
 * too. */
static bool is_cut(const struct inw_node *map, const struct inw_node *value)
{
	for (size_t i = 1; i < map->count; i++)
		if (map->item[i - 1] == value && is_comma_tail(map, i))
			return true;
	return false;
}

static void check_known(struct inw_reader *r, const struct inw_node *map, const struct inw_schema *s, const char *path)
{
	const char *words[MOST_KEYS];
	size_t count = keys_of(s, words);

	for (size_t i = 0; i < map->count; i++) {
		size_t k = 0;

		while (k < count && !inw_is_word(words[k], map->key[i]->text))
			k++;
		if (k < count)
			continue;
		if (is_comma_tail(map, i))
			inw_fault(r, map->item[i - 1], "%s%s%s is cut by a decimal comma; write a point: '%.40s.%.60s'",
				  path, *path ? "." : "", map->key[i - 1]->text, map->item[i - 1]->text,
				  map->key[i]->text);
		else
			inw_fault_word(r, map->key[i], *path ? inw_say(r, "%s: unknown key", path) : "unknown key",
				       words, count);
	}
}

/* A misspelt key has been reported with the right one: that the right one is missing is the same fault. */
static bool is_misspelt(const struct inw_node *map, const struct inw_schema *s, const char *key)
{
	const char *words[MOST_KEYS];
	size_t count = keys_of(s, words);

	for (size_t i = 0; i < map->count; i++) {
		const char *near = inw_nearest_word(map->key[i]->text, words, count);

		if (near && strcmp(near, key) == 0)
			return true;
	}
	return false;
}

void inw_schema_walk(struct inw_reader *r, const struct inw_node *map, const struct inw_schema *s, const char *path,
		     void *out)
{
	bool whole = true; /* the mapping is there, or meant to be absent */

	if (map && map->kind != INW_NODE_MAP) {
		if (!s->partial)
			(void)expect(r, map, INW_NODE_MAP, *path ? path : s->what);
		map = NULL;
		whole = false;
	}
	if (map)
		r->at = map;
	if (map && !s->partial)
		check_known(r, map, s, path);
	for (size_t i = 0; i < s->count; i++) {
		const struct inw_field *f = &s->field[i];
		const struct inw_node *n = map ? inw_node_get(map, f->key) : NULL;
		void *at = (char *)out + f->offset;

		if (n && is_cut(map, n) && f->kind == INW_FIELD_QUANTITY)
			*(inw_q *)at = INW_NONE;
		else if (n)
			read_field(r, n, f, field_path(r, path, f->key), at);
		else if (f->required && whole && !(map && is_misspelt(map, s, f->key)))
			inw_fault(r, map, "%s needs '%s'", *path ? path : s->what, f->key);
		if (!n && f->kind == INW_FIELD_QUANTITY)
			take_default(r, f, f->fallback ? field_path(r, path, f->key) : "", at);
	}
}

static const struct inw_node *at_of_kind(const struct inw_node *map, const char *key, enum inw_node_kind kind)
{
	const struct inw_node *n = map && map->kind == INW_NODE_MAP ? inw_node_get(map, key) : NULL;

	return n && n->kind == kind ? n : NULL;
}

const struct inw_node *inw_map_at(const struct inw_node *map, const char *key)
{
	return at_of_kind(map, key, INW_NODE_MAP);
}

const struct inw_node *inw_list_at(const struct inw_node *map, const char *key)
{
	return at_of_kind(map, key, INW_NODE_LIST);
}

const char *inw_text_at(const struct inw_node *map, const char *key)
{
	const struct inw_node *n = at_of_kind(map, key, INW_NODE_SCALAR);

	return n && n->length ? n->text : NULL;
}

void inw_name_item(struct inw_reader *r, const struct inw_node *item, size_t i, const char **names, const char *what)
{
	const struct inw_node *n = item->kind == INW_NODE_MAP ? inw_node_get(item, "name") : NULL;

	names[i] = inw_say(r, "%zu", i + 1);
	if (!n)
		return;
	if (!name_is_fine(r, n, inw_say(r, "the name of a %s", what)))
		return;
	names[i] = n->text;
	for (size_t k = 0; k < i; k++)
		if (strcmp(names[k], names[i]) == 0)
			inw_fault(r, n, "there are two %ss named '%s'", what, names[i]);
}
