/* SPDX-License-Identifier: MIT */
#include "design/reader.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "design/units.h"

const char *const inw_section_name[INW_SECTIONS] = {
	[INW_SOURCES] = "sources",       [INW_SUBSTANCES] = "substances", [INW_MATERIALS] = "materials",
	[INW_MEDIUMS] = "mediums",       [INW_CARBONS] = "carbons",       [INW_PANELS] = "panels",
	[INW_MULTIWALLS] = "multiwalls", [INW_SHAPES] = "shapes",         [INW_BLOWERS] = "blowers",
	[INW_APPLIANCES] = "appliances", [INW_DEFAULTS] = "defaults",     [INW_REQUIREMENTS] = "requirements",
	[INW_TESTS] = "tests",
};

/* ---- memory ---- */

void *inw_take(struct inw_reader *r, size_t count, size_t size)
{
	void *p = count > SIZE_MAX / size
			  ? NULL
			  : inw_arena_alloc(r->arena, count ? count * size : 1); /* none is no failure */

	if (!p)
		r->no_memory = true;
	return p;
}

const char *inw_say(struct inw_reader *r, const char *format, ...)
{
	char small[256];
	va_list args;
	char *s;
	int n;

	va_start(args, format);
	n = vsnprintf(small, sizeof(small), format, args);
	va_end(args);
	if (n < 0)
		return "";
	s = inw_take(r, (size_t)n + 1, 1);
	if (!s)
		return "";
	if ((size_t)n < sizeof(small))
		return memcpy(s, small, (size_t)n + 1);
	va_start(args, format);
	vsnprintf(s, (size_t)n + 1, format, args);
	va_end(args);
	return s;
}

const char *inw_join(struct inw_reader *r, const char *const *part, size_t count)
{
	size_t length = 0;
	char *s, *at;

	for (size_t i = 0; i < count; i++)
		length += strlen(part[i]);
	s = at = inw_take(r, length + 1, 1);
	for (size_t i = 0; s && i < count; i++) {
		size_t n = strlen(part[i]);

		memcpy(at, part[i], n);
		at += n;
	}
	return s ? s : "";
}

/* ---- faults ---- */

static void report(struct inw_reader *r, enum inw_severity severity, struct inw_place at, const char *format,
		   va_list args)
{
	char s[1024];
	const char *file = r->file ? r->file->name : NULL;

	vsnprintf(s, sizeof(s), format, args);
	inw_diag_add(r->diags, severity, file, at.line, at.column, "%s", s);
}

static struct inw_place place_of(const struct inw_node *n)
{
	struct inw_place p = { n ? n->line : 0, n ? n->column : 0 };

	return p;
}

void inw_fault(struct inw_reader *r, const struct inw_node *at, const char *format, ...)
{
	va_list args;

	va_start(args, format);
	report(r, INW_ERROR, place_of(at), format, args);
	va_end(args);
}

void inw_warn(struct inw_reader *r, const struct inw_node *at, const char *format, ...)
{
	va_list args;

	va_start(args, format);
	report(r, INW_WARNING, place_of(at), format, args);
	va_end(args);
}

/* A default or a record stands in another file: the fault is where the file being walked used it. */
static struct inw_place place_of_q(const struct inw_reader *r, inw_q q)
{
	const struct inw_quantity *it = q < 0 ? NULL : &r->d->quantity[q];

	if (it && it->line && it->file && r->file && strcmp(it->file, r->file->name) == 0)
		return (struct inw_place){ it->line, it->column };
	return place_of(r->at);
}

/* Whoever never wrote the number must be told where it came from. */
static void report_q(struct inw_reader *r, enum inw_severity severity, inw_q q, const char *format, va_list args)
{
	struct inw_place at = place_of_q(r, q);
	bool assumed = q >= 0 && r->d->quantity[q].origin == INW_FROM_DEFAULT;
	char s[900];

	vsnprintf(s, sizeof(s), format, args);
	inw_diag_add(r->diags, severity, r->file ? r->file->name : NULL, at.line, at.column, "%s%s%s%s", s,
		     assumed ? " (" : "", assumed ? r->d->quantity[q].path : "",
		     assumed ? " was assumed: write your own)" : "");
}

void inw_fault_q(struct inw_reader *r, inw_q q, const char *format, ...)
{
	va_list args;

	va_start(args, format);
	report_q(r, INW_ERROR, q, format, args);
	va_end(args);
}

void inw_warn_q(struct inw_reader *r, inw_q q, const char *format, ...)
{
	va_list args;

	va_start(args, format);
	report_q(r, INW_WARNING, q, format, args);
	va_end(args);
}

bool inw_same_word(const char *a, const char *b)
{
	for (; *a && *b; a++, b++) {
		int x = *a >= 'A' && *a <= 'Z' ? *a - 'A' + 'a' : *a, y = *b >= 'A' && *b <= 'Z' ? *b - 'A' + 'a' : *b;

		if (x != y)
			return false;
	}
	return *a == *b;
}

void inw_fault_word(struct inw_reader *r, const struct inw_node *at, const char *saying, const char *const *words,
		    size_t count)
{
	const char *near = inw_nearest_word(at->text, words, count);
	char list[512];
	size_t used = 0;

	if (near) {
		inw_fault(r, at, "%s '%.60s'; did you mean '%s'?", saying, at->text, near);
		return;
	}
	list[0] = '\0';
	for (size_t i = 0; i < count && used < sizeof(list) - 1; i++)
		used += (size_t)snprintf(list + used, sizeof(list) - used, "%s%s", i ? ", " : "", words[i]);
	if (used >= sizeof(list))
		memcpy(list + sizeof(list) - 4, "...", 4);
	inw_fault(r, at, "%s '%.60s'; known: %s", saying, at->text, count ? list : "none");
}

/* ---- quantities ---- */

double inw_best(const struct inw_reader *r, inw_q q)
{
	return q < 0 ? NAN : r->d->quantity[q].value;
}

double inw_low(const struct inw_reader *r, inw_q q)
{
	return q < 0 ? NAN : r->d->quantity[q].low;
}

double inw_high(const struct inw_reader *r, inw_q q)
{
	return q < 0 ? NAN : r->d->quantity[q].high;
}

const char *inw_shown_as(struct inw_reader *r, double value, enum inw_dim dim)
{
	char s[64];

	return inw_say(r, "%s", inw_format(s, sizeof(s), value, dim, INW_SI));
}

const char *inw_shown(struct inw_reader *r, inw_q q)
{
	return q < 0 ? "nothing" : inw_shown_as(r, r->d->quantity[q].value, r->d->quantity[q].dim);
}

/* Bounds are checked later, if there are any; and a number that is to be read as another one is so from here on (R1). */
static void change(const struct inw_reader *r, struct inw_quantity *q)
{
	q->least = -INFINITY;
	q->most = INFINITY;
	for (size_t i = 0; i < r->changes; i++)
		if (strcmp(r->change[i].path, q->path) == 0)
			q->value = q->low = q->high = r->change[i].value;
}

inw_q inw_quantity_add(struct inw_reader *r, const struct inw_quantity *q)
{
	struct inw_design *d = r->d;

	if (d->quantities == r->capacity) {
		size_t capacity = r->capacity ? r->capacity * 2 : 1024;
		struct inw_quantity *more = inw_take(r, capacity, sizeof(*more));

		if (!more)
			return INW_NONE;
		if (d->quantities)
			memcpy(more, d->quantity, d->quantities * sizeof(*more));
		d->quantity = more;
		r->capacity = capacity;
	}
	d->quantity[d->quantities] = *q;
	change(r, &d->quantity[d->quantities]);
	return (inw_q)d->quantities++;
}

static const char *const basis_name[] = { "given", "found", "derived", "memory", "practice", "unknown" };

static const char *const basis_words[] = {
	[INW_BASIS_GIVEN] = "given in the design file", [INW_BASIS_FOUND] = "found", [INW_BASIS_DERIVED] = "derived",
	[INW_BASIS_MEMORY] = "memory, to be verified", [INW_BASIS_PRACTICE] = "common practice, no source",
	[INW_BASIS_UNKNOWN] = "nobody has published it: a guess",
};

const struct inw_record *inw_record_find(const struct inw_reader *r, enum inw_section s, const char *name)
{
	const struct inw_records *all = &r->records[s];

	for (size_t i = 0; i < all->count; i++)
		if (inw_is_word(all->item[i].name, name))
			return &all->item[i];
	return NULL;
}

static const char *scalar_at(const struct inw_node *map, const char *key)
{
	const struct inw_node *n = inw_node_get(map, key);

	return n && n->kind == INW_NODE_SCALAR && n->length ? n->text : NULL;
}

/* Written once for each source, on its first use. */
static const char *source_words(struct inw_reader *r, struct inw_record *record)
{
	const char *title, *year, *id, *note;

	if (record->citation)
		return record->citation;
	title = scalar_at(record->node, "title");
	year = scalar_at(record->node, "year");
	id = scalar_at(record->node, "id");
	note = scalar_at(record->node, "note");
	record->citation =
		inw_say(r, "%s%s%s%s%s%s%s%s", title ? title : record->name, year ? ", " : "", year ? year : "",
			id ? ", " : "", id ? id : "", note ? " (" : "", note ? note : "", note ? ")" : "");
	return record->citation;
}

static const char *find_source(struct inw_reader *r, const struct inw_node *n)
{
	struct inw_records *all = &r->records[INW_SOURCES];

	for (size_t i = 0; i < all->count; i++)
		if (inw_is_word(all->item[i].name, n->text))
			return source_words(r, &all->item[i]);
	/* a user may cite in plain words; the catalog's own files may not */
	if (r->file && r->file->origin == INW_FROM_CATALOG)
		inw_fault(r, n, "unknown source '%.60s'", n->text);
	return n->text;
}

static enum inw_basis read_basis(struct inw_reader *r, const struct inw_node *map)
{
	const struct inw_node *n = inw_node_get(map, "basis");

	if (!n) {
		if (r->file && r->file->origin == INW_FROM_CATALOG)
			inw_fault(r, map, "a catalogued value needs its 'basis'");
		return INW_BASIS_GIVEN;
	}
	for (size_t i = 0; n->kind == INW_NODE_SCALAR && i < INW_COUNT(basis_name); i++)
		if (strcmp(n->text, basis_name[i]) == 0)
			return (enum inw_basis)i;
	if (n->kind == INW_NODE_SCALAR)
		inw_fault_word(r, n, "unknown basis", basis_name, INW_COUNT(basis_name));
	else
		inw_fault(r, n, "'basis' must be a word");
	return INW_BASIS_GIVEN;
}

const char *inw_citation(struct inw_reader *r, const struct inw_node *map, enum inw_basis *basis)
{
	const struct inw_node *source = inw_node_get(map, "source");
	const char *cited, *at = scalar_at(map, "at"), *note = scalar_at(map, "note");

	*basis = read_basis(r, map);
	if (source && source->kind == INW_NODE_SCALAR && source->length) {
		cited = find_source(r, source);
	} else {
		cited = basis_words[*basis];
		if (r->file && r->file->origin == INW_FROM_CATALOG &&
		    (*basis == INW_BASIS_FOUND || *basis == INW_BASIS_DERIVED))
			inw_fault(r, map, "a value that is '%s' needs its 'source'", basis_name[*basis]);
	}
	if (!at && !note)
		return cited;
	const char *const parts[] = { cited, at ? ", " : "", at ? at : "", note ? "; " : "", note ? note : "" };

	return inw_join(r, parts, INW_COUNT(parts));
}

/* A scalar's number and range. */
static bool read_number(struct inw_reader *r, const struct inw_node *n, const char *path, struct inw_quantity *q)
{
	char why[256];

	if (n->kind != INW_NODE_SCALAR) {
		inw_fault(r, n, "%s must be %s, found a %s", path, inw_units_dim_name(q->dim),
		          n->kind == INW_NODE_LIST ? "list" : "mapping");
		return false;
	}
	if (inw_units_parse(n->text, q->dim, &q->value, &q->low, &q->high, why, sizeof(why))) {
		inw_fault(r, n, "%s: %s", path, why);
		return false;
	}
	return true;
}

/* Keys `low` and `high` beside `value`. */
static bool read_range(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_quantity *q)
{
	const struct inw_node *low = inw_node_get(map, "low"), *high = inw_node_get(map, "high");
	struct inw_quantity end = *q;

	if (low) {
		if (!read_number(r, low, path, &end))
			return false;
		q->low = end.value;
	}
	if (high) {
		if (!read_number(r, high, path, &end))
			return false;
		q->high = end.value;
	}
	if (q->low <= q->value && q->value <= q->high)
		return true;
	inw_fault(r, q->low > q->value ? low : high, "%s: the range from low to high does not hold the value", path);
	return false;
}

static struct inw_quantity quantity_at(const struct inw_reader *r, const struct inw_node *n, enum inw_dim dim,
				       const char *path)
{
	struct inw_quantity q = {
		.path = path,
		.dim = dim,
		.origin = r->file ? r->file->origin : INW_FROM_FILE,
		.basis = INW_BASIS_GIVEN,
		.source = basis_words[INW_BASIS_GIVEN],
		.file = r->file ? r->file->name : NULL,
		.line = n->line,
		.column = n->column,
	};

	return q;
}

inw_q inw_quantity_read_map(struct inw_reader *r, const struct inw_node *map, enum inw_dim dim, const char *path)
{
	struct inw_quantity q = quantity_at(r, map, dim, path);
	const struct inw_node *value = inw_node_get(map, "value");

	q.source = inw_citation(r, map, &q.basis);
	if (!value) {
		inw_fault(r, map, "%s needs its 'value'", path);
		return INW_NONE;
	}
	q.line = value->line;
	q.column = value->column;
	if (!read_number(r, value, path, &q) || !read_range(r, map, path, &q))
		return INW_NONE;
	return inw_quantity_add(r, &q);
}

static void check_value_keys(struct inw_reader *r, const struct inw_node *map)
{
	static const char *const known[] = { "value", "low", "high", "source", "at", "basis", "note" };

	for (size_t i = 0; i < map->count; i++) {
		size_t k = 0;

		while (k < INW_COUNT(known) && !inw_is_word(known[k], map->key[i]->text))
			k++;
		if (k == INW_COUNT(known))
			inw_fault_word(r, map->key[i], "unknown key of a value", known, INW_COUNT(known));
	}
}

inw_q inw_quantity_read(struct inw_reader *r, const struct inw_node *n, enum inw_dim dim, const char *path)
{
	struct inw_quantity q = quantity_at(r, n, dim, path);

	if (n->kind == INW_NODE_MAP) {
		check_value_keys(r, n);
		return inw_quantity_read_map(r, n, dim, path);
	}
	if (!read_number(r, n, path, &q))
		return INW_NONE;
	if (q.origin == INW_FROM_CATALOG) {
		inw_fault(r, n, "%s: a catalogued value needs the form {value, basis, ...}", path);
		return INW_NONE;
	}
	return inw_quantity_add(r, &q);
}

double inw_plain_number(struct inw_reader *r, const struct inw_node *n, enum inw_dim dim, const char *path)
{
	double value, low, high;
	char why[256];

	if (n->kind != INW_NODE_SCALAR) {
		inw_fault(r, n, "%s must be a single number", path);
		return NAN;
	}
	if (inw_units_parse(n->text, dim, &value, &low, &high, why, sizeof(why))) {
		inw_fault(r, n, "%s: %s", path, why);
		return NAN;
	}
	return value;
}

/* The least founded of what it was worked out from. */
static enum inw_basis worse(enum inw_basis a, enum inw_basis b)
{
	return a > b ? a : b;
}

/* Low and high over all corners of the ranges of `from`. */
static void corners(const struct inw_reader *r, const struct inw_derivation *how, struct inw_quantity *q)
{
	for (size_t mask = 0; mask < (size_t)1 << how->count; mask++) {
		double x[INW_COUNT(how->from)], y;

		for (size_t i = 0; i < how->count; i++)
			x[i] = mask >> i & 1 ? inw_high(r, how->from[i]) : inw_low(r, how->from[i]);
		y = how->f(x);
		q->low = fmin(q->low, y);
		q->high = fmax(q->high, y);
	}
}

static const char *list_paths(struct inw_reader *r, const struct inw_derivation *how)
{
	char s[700];
	size_t used = 0;

	s[0] = '\0';
	for (size_t i = 0; i < how->count && used < sizeof(s) - 1; i++)
		used += (size_t)snprintf(s + used, sizeof(s) - used, "%s%s", i ? ", " : "",
					 r->d->quantity[how->from[i]].path);
	return inw_say(r, "%s, from %s", how->how, s);
}

static void remember(struct inw_reader *r, inw_q to, const struct inw_derivation *how)
{
	struct inw_design *d = r->d;

	if (to < 0)
		return;
	if (d->dependences == r->dependence_capacity) {
		size_t capacity = r->dependence_capacity ? 2 * r->dependence_capacity : 64;
		struct inw_dependence *more = inw_take(r, capacity, sizeof(*more));

		if (!more)
			return;
		if (d->dependences)
			memcpy(more, d->dependence, d->dependences * sizeof(*more));
		d->dependence = more;
		r->dependence_capacity = capacity;
	}
	struct inw_dependence *new = &d->dependence[d->dependences++];
	*new = (struct inw_dependence){ .to = to, .f = how->f, .count = how->count };
	memcpy(new->from, how->from, sizeof(new->from));
}

inw_q inw_quantity_derive(struct inw_reader *r, const struct inw_derivation *how)
{
	struct inw_quantity q = { .path = how->path, .dim = how->dim, .origin = INW_DERIVED, .basis = INW_BASIS_GIVEN };
	double x[INW_COUNT(how->from)];
	bool assumed = how->count > 0;

	for (size_t i = 0; i < how->count; i++) {
		const struct inw_quantity *from;

		if (how->from[i] < 0)
			return INW_NONE;
		from = &r->d->quantity[how->from[i]];
		x[i] = from->value;
		q.basis = worse(q.basis, from->basis);
		assumed = assumed && from->origin == INW_FROM_DEFAULT;
		if (!q.file || (from->file && from->origin == INW_FROM_FILE)) {
			q.file = from->file;
			q.line = from->line;
			q.column = from->column;
		}
	}
	q.value = q.low = q.high = how->f(x);
	corners(r, how, &q);
	if (!isfinite(q.value) || !isfinite(q.low) || !isfinite(q.high)) {
		inw_fault_q(r, how->from[0], "%s cannot be worked out: it leaves all numbers", how->path);
		return INW_NONE;
	}
	if (assumed)
		q.origin = INW_FROM_DEFAULT;
	q.source = list_paths(r, how);
	inw_q to = inw_quantity_add(r, &q);
	remember(r, to, how);
	return to;
}

inw_q inw_quantity_fixed(struct inw_reader *r, const char *path, enum inw_dim dim, double value, const char *why)
{
	struct inw_quantity q = {
		.path = path, .dim = dim, .value = value, .low = value, .high = value, .origin = INW_DERIVED,
		.basis = INW_BASIS_GIVEN, .source = why,
	};

	return inw_quantity_add(r, &q);
}

static const struct inw_record *default_record(const struct inw_reader *r, const char *key)
{
	static const char prefix[] = "require.";

	if (strncmp(key, prefix, sizeof(prefix) - 1) == 0)
		return inw_record_find(r, INW_REQUIREMENTS, key + sizeof(prefix) - 1);
	return inw_record_find(r, INW_DEFAULTS, key);
}

bool inw_has_default(const struct inw_reader *r, const char *key)
{
	return default_record(r, key) != NULL;
}

inw_q inw_quantity_default(struct inw_reader *r, const char *key, enum inw_dim dim, const char *path)
{
	const struct inw_record *record = default_record(r, key);
	const struct inw_text_file *walked = r->file;
	inw_q q;

	if (!record) {
		inw_fault(r, NULL, "the catalog has no default '%s'; give %s", key, path);
		return INW_NONE;
	}
	r->file = record->file;
	q = inw_quantity_read(r, record->node, dim, path);
	r->file = walked;
	/* a default that the user wrote under `catalog:` is the user's */
	if (q >= 0 && record->file->origin == INW_FROM_CATALOG)
		r->d->quantity[q].origin = INW_FROM_DEFAULT;
	return q;
}
