/* SPDX-License-Identifier: MIT */
/* What may be chosen: `choose:`. Its numbers are no quantities of the design (nothing is judged by them); its paths name
 * what is written in the same file, so that a chosen design is the file with a few scalars replaced. */
#include "design/read.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "design/rewrite.h"
#include "design/units.h"

/* ---- places by path ---- */

/* A list's item by its `name`; a stage also as "2 carbon", since it may have none. Stages stand one level deeper, under
 * their kind. */
static const struct inw_node *item_named(const struct inw_node *list, const char *name, const char **kind)
{
	for (size_t i = 0; i < list->count; i++) {
		const struct inw_node *item = list->item[i], *inner = item;
		char number[64];
		bool deeper = item->kind == INW_NODE_MAP && item->count == 1 && item->item[0]->kind == INW_NODE_MAP;

		if (deeper) {
			inner = item->item[0];
			snprintf(number, sizeof(number), "%zu %.40s", i + 1, item->key[0]->text);
		} else {
			snprintf(number, sizeof(number), "%zu", i + 1);
		}
		const char *own = inw_text_at(inner, "name");
		if (strcmp(own ? own : number, name) != 0)
			continue;
		if (deeper)
			*kind = item->key[0]->text;
		return inner;
	}
	return NULL;
}

enum { KEY_SIZE = 128 };

/* "key" or "key[name]" off the front of a path; false when it is none. */
static bool next_key(const char **path, char key[KEY_SIZE], char name[KEY_SIZE])
{
	size_t n = strcspn(*path, ".[");

	if (n == 0 || n >= KEY_SIZE)
		return false;
	snprintf(key, KEY_SIZE, "%.*s", (int)n, *path);
	*path += n;
	name[0] = '\0';
	if (**path == '[') {
		n = strcspn(*path, "]");
		if ((*path)[n] != ']' || n >= KEY_SIZE)
			return false;
		snprintf(name, KEY_SIZE, "%.*s", (int)n - 1, *path + 1);
		*path += n + 1;
	}
	if (**path == '.')
		(*path)++;
	else if (**path)
		return false;
	return true;
}

/* The scalar at a path of the file, or NULL; `kind` is that of the stage it belongs to, or NULL. */
static const struct inw_node *scalar_at(const struct inw_node *root, const char *path, const char **kind)
{
	const struct inw_node *n = root;
	char key[KEY_SIZE], name[KEY_SIZE];

	*kind = NULL;
	while (*path) {
		if (!next_key(&path, key, name))
			return NULL;
		n = inw_node_get(n, key);
		if (n && *name)
			n = n->kind == INW_NODE_LIST ? item_named(n, name, kind) : NULL;
		if (!n)
			return NULL;
	}
	return n->kind == INW_NODE_SCALAR && n->length ? n : NULL;
}

/* ---- quantities by name ---- */

static bool is_tail(const char *path, const char *name)
{
	size_t n = strlen(path), k = strlen(name);

	return k <= n && strcmp(path + n - k, name) == 0 && (k == n || path[n - k - 1] == '.');
}

/* As much of a path's end as a name has parts. */
static const char *tail_like(const char *path, const char *name)
{
	const char *tail = path + strlen(path);
	int dots = 0;

	for (const char *s = name; *s; s++)
		dots += *s == '.';
	while (tail > path && !(tail[-1] == '.' && dots-- == 0))
		tail--;
	return tail;
}

static inw_q unknown_quantity(struct inw_reader *r, const struct inw_node *at)
{
	const char **words = inw_take(r, r->d->quantities, sizeof(*words));

	if (!words)
		return INW_NONE;
	for (size_t i = 0; i < r->d->quantities; i++)
		words[i] = r->d->quantity[i].path;
	const char *near = inw_nearest_word(at->text, words, r->d->quantities);
	for (size_t i = 0; !near && i < r->d->quantities; i++)
		words[i] = tail_like(r->d->quantity[i].path, at->text);
	near = near ? near : inw_nearest_word(at->text, words, r->d->quantities);
	inw_fault(r, at, "no number is called '%.120s'%s%s%s; 'inward why FILE list' lists every name", at->text,
		  near ? "; did you mean '" : "", near ? near : "", near ? "'?" : "");
	return INW_NONE;
}

/* By its path, or the tail of just one path. INW_NONE after a fault. */
static inw_q quantity_named(struct inw_reader *r, const struct inw_node *at)
{
	inw_q found = INW_NONE;

	for (size_t i = 0; i < r->d->quantities; i++) {
		if (strcmp(r->d->quantity[i].path, at->text) == 0)
			return (inw_q)i;
		if (!is_tail(r->d->quantity[i].path, at->text))
			continue;
		if (found >= 0) {
			inw_fault(r, at, "'%.120s' may mean '%s' or '%s': write more of the name", at->text,
				  r->d->quantity[found].path, r->d->quantity[i].path);
			return INW_NONE;
		}
		found = (inw_q)i;
	}
	return found >= 0 ? found : unknown_quantity(r, at);
}

/* The scalar at a key of an item, or NULL after a fault (the walker says when it is missing or of the wrong kind). */
static const struct inw_node *word_at(const struct inw_node *item, const char *key)
{
	const struct inw_node *n = item->kind == INW_NODE_MAP ? inw_node_get(item, key) : NULL;

	return n && n->kind == INW_NODE_SCALAR && n->length ? n : NULL;
}

/* ---- prices ---- */

/* Money per what a quantity is measured in: INW_DIM_COUNT where no such price is understood. */
static enum inw_dim price_of(enum inw_dim dim)
{
	switch (dim) {
	case INW_DIM_NONE: case INW_DIM_FRACTION: return INW_DIM_NONE;
	case INW_DIM_LENGTH: return INW_DIM_PRICE_PER_LENGTH;
	case INW_DIM_AREA: return INW_DIM_PRICE_PER_AREA;
	case INW_DIM_MASS: return INW_DIM_PRICE_PER_MASS;
	case INW_DIM_ENERGY: return INW_DIM_PRICE_PER_ENERGY;
	default: return INW_DIM_COUNT;
	}
}

/* A price that is not negative; 0 after a fault. */
static double read_price(struct inw_reader *r, const struct inw_node *n, enum inw_dim dim, const char *path)
{
	if (dim == INW_DIM_COUNT) {
		inw_fault(r, n, "%s: prices are understood per length, area, mass and energy, and of pure numbers and shares only", path);
		return 0;
	}
	double price = inw_plain_number(r, n, dim, path);
	if (price < 0)
		inw_fault(r, n, "%s must be zero or more", path);
	return price >= 0 ? price : 0;
}

/* ---- free numbers ---- */

struct nothing { int unused; };
static const struct inw_field free_fields[] = {
	INW_ANY("what", INW_NEEDED), INW_ANY("from", INW_NEEDED), INW_ANY("to", INW_NEEDED), INW_ANY("price", INW_OPTIONAL),
	INW_ANY("halving", INW_OPTIONAL),
};
static const struct inw_schema free_schema = INW_SCHEMA("a free number", free_fields);

static bool is_written(const struct inw_reader *r, const struct inw_quantity *q)
{
	return q->origin == INW_FROM_FILE && q->line > 0 && q->file && strcmp(q->file, r->d->file) == 0;
}

/* All numbers read from the same scalar move together. False after a fault. */
static bool gather(struct inw_reader *r, const struct inw_node *at, inw_q first, struct inw_free *f)
{
	const struct inw_quantity *q = &r->d->quantity[first];

	for (size_t i = 0; i < r->d->quantities; i++) {
		const struct inw_quantity *other = &r->d->quantity[i];
		if (!is_written(r, other) || other->line != q->line || other->column != q->column)
			continue;
		if (f->qs == INW_MOST_TOGETHER || other->dim != q->dim) {
			inw_fault(r, at, "%s stands for too many different numbers to be chosen: write it without an alias", q->path);
			return false;
		}
		f->q[f->qs++] = (inw_q)i;
	}
	return true;
}

/* It must be one scalar, `5 mm (3 .. 8 mm)`, since that is what is replaced. False after a fault. */
static bool find_scalar(struct inw_reader *r, const struct inw_node *at, const struct inw_quantity *q, struct inw_free *f)
{
	const struct inw_rewritable text = { r->d->file, r->d->bytes, r->d->length };
	char s[256], why[256];
	double value, low, high;

	const enum inw_status said = inw_rewrite_says(&text, q->line, q->column, s, sizeof(s));
	if (said == INW_NO_MEMORY) {
		r->no_memory = true;
		return false;
	}
	if (said != INW_OK ||
	    inw_units_parse(s, q->dim, &value, &low, &high, why, sizeof(why)) || low != q->low || high != q->high) {
		inw_fault(r, at, "%s is not written as one value: to be chosen it must be, as in '0.4 mm (0.2 .. 0.8 mm)'", q->path);
		return false;
	}
	f->written = inw_say(r, "%s", s);
	f->place = (struct inw_place){ q->line, q->column };
	return true;
}

static void check_end(struct inw_reader *r, const struct inw_node *n, const struct inw_quantity *q, double value)
{
	const double tiny = 1e-300, huge = 1e300; /* bounds whose end is refused lie a rounding beside it */
	bool has_least = q->least > -huge, has_most = q->most < huge, above_zero = q->least > 0 && q->least < tiny;

	if (isnan(value) || (value >= q->least && value <= q->most)) /* what is no number was refused before */
		return;
	inw_fault(r, n, "%s cannot be %s: it may be %s%s%s%s%s only", q->path, inw_shown_as(r, value, q->dim), above_zero ? "more than " : has_least ? "from " : "",
		  above_zero ? "zero" : has_least ? inw_shown_as(r, q->least, q->dim) : "", (above_zero || has_least) && has_most ? " " : "", has_most ? "to " : "",
		  has_most ? inw_shown_as(r, q->most, q->dim) : "");
}

static void read_span(struct inw_reader *r, const struct inw_node *item, const struct inw_quantity *q, struct inw_free *f)
{
	const struct inw_node *from = inw_node_get(item, "from"), *to = inw_node_get(item, "to");
	const struct inw_node *price = inw_node_get(item, "price"), *halving = inw_node_get(item, "halving");

	if (!from || !to)
		return;
	f->from = inw_plain_number(r, from, q->dim, inw_say(r, "from, of %s,", q->path));
	f->to = inw_plain_number(r, to, q->dim, inw_say(r, "to, of %s,", q->path));
	check_end(r, from, q, f->from);
	check_end(r, to, q, f->to);
	if (f->from >= f->to)
		inw_fault(r, from, "%s must be free between two values, the lower one first", q->path);
	if (price)
		f->price = read_price(r, price, price_of(q->dim), inw_say(r, "the price of %s", q->path));
	if (halving)
		f->halving = read_price(r, halving, INW_DIM_NONE, inw_say(r, "the price of halving %s", q->path));
	if (halving && !(f->from > 0 && q->value > 0))
		inw_fault(r, halving, "%s reaches zero, which no number of halvings does", q->path);
}

static void read_free(struct inw_reader *r, const struct inw_node *item)
{
	struct inw_wishes *w = &r->d->wishes;
	struct inw_free f = {0};
	struct nothing nothing;

	inw_schema_walk(r, item, &free_schema, "choose.free", &nothing);
	const struct inw_node *what = word_at(item, "what");
	inw_q first = what ? quantity_named(r, what) : INW_NONE;
	if (first < 0)
		return;
	const struct inw_quantity *q = &r->d->quantity[first];
	for (size_t i = 0; i < r->d->dependences; i++)
		if (r->d->dependence[i].to == first) {
			inw_fault(r, what, "%s follows from other numbers (%s): one of these can be chosen", q->path, q->source);
			return;
		}
	if (!is_written(r, q)) {
		inw_fault(r, what, "%s is not written in this file: write its present value where it belongs, so that it can be replaced", q->path);
		return;
	}
	if (!find_scalar(r, what, q, &f) || !gather(r, what, first, &f))
		return;
	for (size_t i = 0; i < w->frees; i++)
		if (w->free[i].place.line == f.place.line && w->free[i].place.column == f.place.column)
			inw_fault(r, what, "%s is chosen already", q->path);
	read_span(r, item, q, &f);
	w->free[w->frees++] = f;
}

/* ---- choices among records ---- */

static const struct inw_field choice_fields[] = {
	INW_ANY("what", INW_NEEDED), INW_LIST("of", INW_MOST_RECORDS, INW_NEEDED), INW_ANY("per", INW_OPTIONAL),
};
static const struct inw_schema choice_schema = INW_SCHEMA("a choice", choice_fields);
static const struct inw_field record_fields[] = {
	INW_ANY("record", INW_NEEDED), INW_ANY("price", INW_OPTIONAL),
};
static const struct inw_schema record_schema = INW_SCHEMA("a record to choose", record_fields);

/* Which records a word may name, by where it stands. */
static bool sections_of(const char *path, const char *kind, struct inw_sections *in)
{
	const char *key = strrchr(path, '.');

	key = key ? key + 1 : path;
	if (kind && strcmp(key, "class") == 0)
		*in = (struct inw_sections){{INW_MEDIUMS}, 1};
	else if (kind && strcmp(key, "record") == 0)
		*in = (struct inw_sections){{strcmp(kind, "carbon") == 0 ? INW_CARBONS : INW_BLOWERS}, 1};
	else if (strncmp(path, "box.panels.", 11) == 0 && strcmp(key, "material") == 0 && !strstr(path, "insulation"))
		*in = (struct inw_sections){{INW_PANELS, INW_MULTIWALLS}, 2};
	else
		return false;
	return true;
}

static void read_record(struct inw_reader *r, const struct inw_node *item, const struct inw_sections *in, enum inw_dim dim,
			struct inw_choice *c)
{
	struct nothing nothing;

	inw_schema_walk(r, item, &record_schema, "choose.among", &nothing);
	const struct inw_node *name = word_at(item, "record"), *price = item->kind == INW_NODE_MAP ? inw_node_get(item, "price") : NULL;
	if (!name || inw_record_of(r, in, name, "record") < 0)
		return;
	for (size_t i = 0; i < c->count; i++)
		if (strcmp(c->word[i], name->text) == 0)
			inw_fault(r, name, "'%.60s' stands in this choice twice", name->text);
	c->price[c->count] = price ? read_price(r, price, dim, inw_say(r, "the price of %s", name->text)) : 0;
	c->word[c->count++] = name->text;
}

static void read_choice(struct inw_reader *r, const struct inw_node *root, const struct inw_node *item)
{
	struct inw_wishes *w = &r->d->wishes;
	struct inw_choice c = { .per = INW_NONE };
	struct inw_sections in;
	struct nothing nothing;
	const char *kind;

	inw_schema_walk(r, item, &choice_schema, "choose.among", &nothing);
	const struct inw_node *what = word_at(item, "what"), *per = word_at(item, "per"), *of = inw_list_at(item, "of");
	const struct inw_node *now = what ? scalar_at(root, what->text, &kind) : NULL;
	if (!what || !of)
		return;
	if (!now) {
		inw_fault(r, what, "no word is written at '%.120s' in this file", what->text);
		return;
	}
	if (!sections_of(what->text, kind, &in)) {
		inw_fault(r, what, "'%.120s': chosen are the class of a particle stage, the record of a carbon stage or a blower, and the material of panels", what->text);
		return;
	}
	c.what = what->text;
	c.now = now->text;
	c.place = (struct inw_place){ now->line, now->column };
	if (per)
		c.per = quantity_named(r, per);
	for (size_t i = 0; i < of->count && i < INW_MOST_RECORDS; i++)
		read_record(r, of->item[i], &in, c.per >= 0 ? price_of(r->d->quantity[c.per].dim) : INW_DIM_NONE, &c);
	if (of->count == 0)
		inw_fault(r, of, "there is nothing to choose among");
	if (c.count)
		w->choice[w->choices++] = c;
}

/* ---- other prices ---- */

static const struct inw_field price_fields[] = { INW_ANY("of", INW_NEEDED), INW_ANY("price", INW_NEEDED) };
static const struct inw_schema price_schema = INW_SCHEMA("a price", price_fields);

static void read_priced(struct inw_reader *r, const struct inw_node *item)
{
	struct inw_wishes *w = &r->d->wishes;
	struct nothing nothing;

	inw_schema_walk(r, item, &price_schema, "choose.prices", &nothing);
	const struct inw_node *of = word_at(item, "of"), *price = item->kind == INW_NODE_MAP ? inw_node_get(item, "price") : NULL;
	inw_q q = of ? quantity_named(r, of) : INW_NONE;
	if (q < 0 || !price)
		return;
	const struct inw_quantity *quantity = &r->d->quantity[q];
	w->price[w->prices++] = (struct inw_price){ q, read_price(r, price, price_of(quantity->dim), inw_say(r, "the price of %s", quantity->path)) };
}

/* ---- all of it ---- */

static const char *const aim_words[INW_AIMS] = { "money", "noise", "cleaner size", "box size", "heat", "carbon" };

static void read_aims(struct inw_reader *r, const struct inw_node *list)
{
	struct inw_wishes *w = &r->d->wishes;

	for (size_t i = 0; list && i < list->count && w->aims < INW_AIMS; i++) {
		const struct inw_node *n = list->item[i];
		size_t k = 0;

		while (k < INW_AIMS && !(n->kind == INW_NODE_SCALAR && strcmp(n->text, aim_words[k]) == 0))
			k++;
		for (size_t a = 0; k < INW_AIMS && a < w->aims; a++)
			if (w->aim[a] == (enum inw_aim)k)
				inw_fault(r, n, "'%s' stands here twice", aim_words[k]);
		if (k < INW_AIMS)
			w->aim[w->aims++] = (enum inw_aim)k;
		else if (n->kind == INW_NODE_SCALAR)
			inw_fault_word(r, n, "choose.least: unknown word", aim_words, INW_AIMS);
		else
			inw_fault(r, n, "choose.least is a list of words");
	}
	if (list && list->count == 0)
		inw_fault(r, list, "choose.least names nothing that is to be small");
}

static void read_without(struct inw_reader *r, const struct inw_node *list)
{
	struct inw_wishes *w = &r->d->wishes;

	for (size_t i = 0; list && i < list->count && w->withouts < INW_MOST_WITHOUT; i++) {
		const struct inw_node *n = list->item[i];
		if (n->kind == INW_NODE_SCALAR && n->length)
			w->without[w->withouts++] = (struct inw_without){ n->text, { n->line, n->column } };
		else
			inw_fault(r, n, "choose.without is a list of requirements by their names, as 'inward check' shows them");
	}
}

static const struct inw_field choose_fields[] = {
	INW_LIST("least", INW_AIMS, INW_NEEDED),           INW_ANY("sure", INW_OPTIONAL),
	INW_ANY("years", INW_OPTIONAL),                    INW_LIST("without", INW_MOST_WITHOUT, INW_OPTIONAL),
	INW_LIST("free", INW_MOST_FREE, INW_OPTIONAL),     INW_LIST("among", INW_MOST_CHOICES, INW_OPTIONAL),
	INW_LIST("prices", INW_MOST_PRICES, INW_OPTIONAL),
};
static const struct inw_schema choose_schema = INW_SCHEMA("choose", choose_fields);

/* Ninety per cent is common practice, no source; at 50 % the range does not count, beyond 99.9 % its tails are not known. */
static void read_numbers(struct inw_reader *r, const struct inw_node *map)
{
	struct inw_wishes *w = &r->d->wishes;
	const struct inw_node *sure = inw_node_get(map, "sure"), *years = inw_node_get(map, "years");

	w->sure = sure ? inw_plain_number(r, sure, INW_DIM_FRACTION, "choose.sure") : 0.9;
	if (w->sure < 0.5 || w->sure > 0.999 + 1e-12)
		inw_fault(r, sure, "choose.sure must be between 50 %% and 99.9 %%");
	w->years = years ? inw_plain_number(r, years, INW_DIM_NONE, "choose.years") : 0;
	if (w->years < 0 || w->years > 100)
		inw_fault(r, years, "choose.years must be between 0 and 100");
}

static bool has_price(const struct inw_wishes *w)
{
	bool any = w->prices > 0 || w->years > 0;

	for (size_t i = 0; i < w->frees; i++)
		any |= w->free[i].price > 0 || w->free[i].halving > 0;
	for (size_t i = 0; i < w->choices; i++)
		for (size_t k = 0; k < w->choice[i].count; k++)
			any |= w->choice[i].price[k] > 0;
	return any;
}

void inw_read_choose(struct inw_reader *r, const struct inw_node *root)
{
	const struct inw_node *map = inw_map_at(root, "choose"), *list;
	struct inw_wishes *w = &r->d->wishes;
	struct nothing nothing;

	if (!map || r->changes > 0) /* with other numbers than the file has, what the section says of these is not to the point */
		return;
	size_t before = r->diags->errors;
	w->present = true;
	w->place = (struct inw_place){ map->line, map->column };
	inw_schema_walk(r, map, &choose_schema, "choose", &nothing);
	read_numbers(r, map);
	read_aims(r, inw_list_at(map, "least"));
	read_without(r, inw_list_at(map, "without"));
	list = inw_list_at(map, "free");
	for (size_t i = 0; list && i < list->count && i < INW_MOST_FREE; i++)
		read_free(r, list->item[i]);
	list = inw_list_at(map, "among");
	for (size_t i = 0; list && i < list->count && i < INW_MOST_CHOICES; i++)
		read_choice(r, root, list->item[i]);
	list = inw_list_at(map, "prices");
	for (size_t i = 0; list && i < list->count && i < INW_MOST_PRICES; i++)
		read_priced(r, list->item[i]);
	if (r->diags->errors > before)
		return; /* what was not understood is not missing */
	if (w->frees + w->choices == 0)
		inw_fault(r, map, "choose: neither 'free' nor 'among' says what may be chosen");
	for (size_t i = 0; i < w->aims; i++)
		if (w->aim[i] == INW_AIM_MONEY && !has_price(w))
			inw_fault(r, map, "choose: money is to be small, but nothing has a price");
}
