/* SPDX-License-Identifier: MIT */
/* What the outside sees of a design. */
#include "design/design.h"

#include <assert.h>
#include <math.h>
#include <string.h>

void inw_design_free(struct inw_design *d)
{
	if (d)
		inw_arena_free(d->arena);
}

const char *inw_design_title(const struct inw_design *d)
{
	return d->title;
}

size_t inw_design_quantity_count(const struct inw_design *d)
{
	return d->quantities;
}

const struct inw_quantity *inw_design_quantity(const struct inw_design *d, size_t index)
{
	assert(index < d->quantities);
	return &d->quantity[index];
}

static bool among(const inw_q *kept, size_t keeps, inw_q q)
{
	for (size_t i = 0; i < keeps; i++)
		if (kept[i] == q)
			return true;
	return false;
}

void inw_design_follow(const struct inw_design *d, double *x, const inw_q *kept, size_t keeps)
{
	for (size_t i = 0; i < d->dependences; i++) {
		const struct inw_dependence *how = &d->dependence[i];
		double from[INW_DEPENDS_ON] = { 0 };

		if (among(kept, keeps, how->to))
			continue;
		for (size_t k = 0; k < how->count; k++)
			from[k] = x[how->from[k]];
		x[how->to] = how->f(from);
	}
}

/* The range of what follows: over all corners of the ranges of what it follows from, as at its reading. */
static void follow_range(const struct inw_dependence *how, struct inw_quantity *quantity)
{
	struct inw_quantity *to = &quantity[how->to];
	double x[INW_DEPENDS_ON] = { 0 };

	for (size_t i = 0; i < how->count; i++)
		x[i] = quantity[how->from[i]].value;
	to->value = to->low = to->high = how->f(x);
	for (size_t mask = 0; mask < (size_t)1 << how->count; mask++) {
		for (size_t i = 0; i < how->count; i++)
			x[i] = mask >> i & 1 ? quantity[how->from[i]].high : quantity[how->from[i]].low;
		double y = how->f(x);
		to->low = fmin(to->low, y);
		to->high = fmax(to->high, y);
	}
}

void inw_design_change(const struct inw_design *d, const inw_q *q, const double *value, size_t changes,
		       struct inw_quantity *quantity)
{
	memcpy(quantity, d->quantity, d->quantities * sizeof(*quantity));
	for (size_t i = 0; i < changes; i++)
		quantity[q[i]].value = quantity[q[i]].low = quantity[q[i]].high = value[i];
	for (size_t i = 0; i < d->dependences; i++)
		follow_range(&d->dependence[i], quantity);
}

/* ---- names ---- */

/* Is `name` the whole path, or a tail of it that begins at a key? */
static bool is_tail(const char *path, const char *name)
{
	size_t n = strlen(path), k = strlen(name);

	return k <= n && strcmp(path + n - k, name) == 0 && (k == n || path[n - k - 1] == '.');
}

static void say_unknown_quantity(const struct inw_design *d, const char *name, struct inw_diags *diags)
{
	struct inw_arena *arena = inw_arena_new((size_t)1 << 22);
	const char **words = arena ? inw_arena_alloc(arena, 2 * d->quantities * sizeof(*words)) : NULL;
	size_t n = 0;

	if (!words) {
		diags->out_of_memory = true;
		inw_arena_free(arena);
		return;
	}
	for (size_t i = 0; i < d->quantities; i++)
		words[n++] = d->quantity[i].path;
	for (size_t i = 0; i < d->quantities; i++) { /* what was meant as a tail: the same count of keys */
		const char *at = d->quantity[i].path + strlen(d->quantity[i].path);
		size_t keys = 1;
		for (const char *s = name; *s; s++)
			keys += *s == '.';
		while (at > d->quantity[i].path && !(at[-1] == '.' && --keys == 0))
			at--;
		words[n++] = at;
	}
	const char *near = inw_nearest_word(name, words, n);
	inw_diag_add(diags, INW_ERROR, d->file, 0, 0, "no input is called '%s'%s%s%s; 'inward why FILE list' lists every name", name,
		     near ? "; did you mean '" : "", near ? near : "", near ? "'?" : "");
	inw_arena_free(arena);
}

static void say_ambiguous(const struct inw_design *d, const char *name, const struct inw_quantity *const *may, size_t count,
			  struct inw_diags *diags)
{
	inw_diag_add(diags, INW_ERROR, d->file, 0, 0, "'%s' may mean '%s', '%s'%s%s%s%s", name, may[0]->path, may[1]->path,
		     count > 2 ? ", '" : "", count > 2 ? may[2]->path : "", count > 2 ? "'" : "", count > 3 ? " and others" : "");
}

const struct inw_quantity *inw_design_find(const struct inw_design *d, const char *name, struct inw_diags *diags)
{
	const struct inw_quantity *may[3] = { NULL, NULL, NULL };
	size_t tails = 0;

	for (size_t i = 0; i < d->quantities; i++) {
		const struct inw_quantity *q = &d->quantity[i];
		if (strcmp(q->path, name) == 0)
			return q;
		if (!is_tail(q->path, name))
			continue;
		if (tails < INW_COUNT(may))
			may[tails] = q;
		tails++;
	}
	if (tails == 0)
		say_unknown_quantity(d, name, diags);
	else if (tails > 1)
		say_ambiguous(d, name, may, tails, diags);
	return tails == 1 ? may[0] : NULL;
}
