/* SPDX-License-Identifier: MIT */
/* why.c: where a number comes from, as a tree: computed facts with their law, down to inputs with file and line.
 * The solution is coupled, so facts use each other in circles: what was printed above is named, not printed again. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "show/lines.h"

enum { STEP = 2, DEEPEST_INDENT = 36 /* leaves 44 columns for words */ };

enum seen { UNSEEN, OPEN /* its tree is being printed */, DONE };

struct why {
	struct inw_page page;
	const struct inw_report *r;
	unsigned char *seen; /* enum seen of facts, then of quantities */
};

static size_t quantity_count(const struct inw_report *r)
{
	return r->design ? inw_design_quantity_count(r->design) : 0;
}

static size_t find_fact(const struct inw_report *r, const char *name)
{
	size_t i = 0;
	while (i < r->fact_count && strcmp(r->facts[i].name, name))
		i++;
	return i;
}

static size_t find_quantity(const struct inw_report *r, const char *name)
{
	size_t i = 0, n = quantity_count(r);
	while (i < n && strcmp(inw_design_quantity(r->design, i)->path, name))
		i++;
	return i;
}

static int indent_of(int level)
{
	int indent = level * STEP;
	return indent < DEEPEST_INDENT ? indent : DEEPEST_INDENT;
}

/* One line of the tree: "level marks" and the words. Past the deepest indentation the level is written as a number. */
static void line(struct why *w, int level, const char *mark, const char *words)
{
	char head[DEEPEST_INDENT + 32];
	int indent = indent_of(level);
	if (level * STEP > DEEPEST_INDENT && *mark)
		snprintf(head, sizeof head, "%*s(%d) %s", indent, "", level, mark);
	else
		snprintf(head, sizeof head, "%*s%s", indent, "", mark);
	inw_show__wrap(&w->page, head, indent + STEP + 2, words);
}

static void linef(struct why *w, int level, const char *mark, const char *format, ...)
	__attribute__((format(printf, 4, 5)));
static void linef(struct why *w, int level, const char *mark, const char *format, ...)
{
	struct inw_text t = {0};
	va_list args;

	va_start(args, format);
	inw_text_vprintf(&t, format, args);
	va_end(args);
	if (t.failed)
		w->page.t.failed = 1;
	else
		line(w, level, mark, t.s ? t.s : "");
	inw_text_free(&t);
}

static bool law_printed(const struct why *w, const char *key)
{
	for (size_t i = 0; i < w->r->fact_count; i++)
		if (w->seen[i] && strcmp(w->r->facts[i].law, key) == 0)
			return true;
	return false;
}

static const char *law_basis(enum inw_basis basis)
{
	return basis == INW_BASIS_DERIVED ? "follows from definitions and conservation" : inw_show__basis(basis);
}

static void show_law(struct why *w, const char *key, bool above, int level)
{
	const struct inw_law *l = inw_law_find(key);
	if (!l) {
		linef(w, level, "", "Law: '%s', of which there is no record.", key);
		return;
	}
	if (above) {
		linef(w, level, "", "Law: %s (%s), printed above.", l->title, l->key);
		return;
	}
	linef(w, level, "", "Law: %s (%s)", l->title, l->key);
	linef(w, level + 1, "", "%s", l->equation);
	linef(w, level + 1, "", "Source: %s; %s.", l->source, law_basis(l->basis));
	linef(w, level + 1, "", "Holds for: %s. Leaves out: %s.", l->range, l->omits);
}

static void show_place(struct why *w, const struct inw_quantity *q, int level)
{
	if (q->file && q->line > 0)
		linef(w, level, "", "%s: %s:%d:%d", inw_show__origin(q->origin), q->file, q->line, q->column);
	else if (q->file)
		linef(w, level, "", "%s: %s", inw_show__origin(q->origin), q->file);
	else
		line(w, level, "", inw_show__origin(q->origin));
}

static void show_quantity(struct why *w, size_t index, int level)
{
	const struct inw_quantity *q = inw_design_quantity(w->r->design, index);
	char value[INW_CELL], range[2 * INW_CELL + 8];
	const double ends[2] = {q->low, q->high};
	unsigned char *seen = &w->seen[w->r->fact_count + index];
	inw_show__number(value, sizeof value, q->value, q->dim, w->page.units);
	if (*seen) {
		linef(w, level, "- ", "%s = %s (input, printed above)", q->path, value);
		return;
	}
	*seen = DONE;
	linef(w, level, "- ", "%s = %s", q->path, value);
	show_place(w, q, level + 2);
	if (q->low < q->high)
		linef(w, level + 2, "", "range: %s", inw_show__range(range, sizeof range, ends, q->dim, w->page.units));
	bool more = q->basis != INW_BASIS_GIVEN && *q->source && strcmp(q->source, inw_show__basis(q->basis));
	linef(w, level + 2, "", "basis: %s%s%s", inw_show__basis(q->basis), more ? "; " : "", more ? q->source : "");
}

static void show_name(struct why *w, const char *name, int level);

static void show_fact(struct why *w, size_t index, int level)
{
	const struct inw_fact *f = &w->r->facts[index];
	char value[INW_CELL];
	inw_show__number(value, sizeof value, f->value, f->dim, w->page.units);
	if (w->seen[index]) {
		linef(w, level, "- ", "%s = %s (%s)", f->name, value,
		      w->seen[index] == OPEN ? "above; the two are solved together" : "printed above");
		return;
	}
	bool law_above = law_printed(w, f->law);
	w->seen[index] = OPEN;
	linef(w, level, "- ", "%s = %s", f->name, value);
	show_law(w, f->law, law_above, level + 2);
	for (size_t i = 0; i < f->use_count; i++)
		show_name(w, f->uses[i], level + 2);
	w->seen[index] = DONE;
}

static void show_name(struct why *w, const char *name, int level)
{
	size_t fact = find_fact(w->r, name), quantity = find_quantity(w->r, name);
	if (fact < w->r->fact_count)
		show_fact(w, fact, level);
	else if (quantity < quantity_count(w->r))
		show_quantity(w, quantity, level);
	else
		linef(w, level, "- ", "%s: no record of it", name);
}

/* ---- a verdict: its number, then what moves it most -------------------------------------------------------------- */

static void show_verdict(struct why *w, const struct inw_verdict *v)
{
	char value[INW_CELL], limit[INW_CELL];
	inw_show__number(value, sizeof value, v->value, v->dim, w->page.units);
	inw_show__number(limit, sizeof limit, v->limit, v->dim, w->page.units);
	linef(w, 0, "", "%s = %s: %s (%s%s%s)", v->id, value, inw_show__word(v->word), v->title, v->job ? ", job " : "",
	      v->job ? v->job : "");
	if (v->sense != INW_NO_LIMIT)
		linef(w, 1, "", "Limit %s from: %s", limit, v->limit_source ? v->limit_source : "no source given");
	if (v->reason)
		line(w, 1, "", v->reason);
	for (size_t i = 0; i < v->blames && i < INW_MAX_BLAME; i++) {
		linef(w, 1, "", "%.0f %% of its range comes from", 100 * v->blame[i].share);
		show_name(w, v->blame[i].path, 1);
	}
}

static bool show_verdicts(struct why *w, const char *name)
{
	bool any = false;
	for (size_t i = 0; i < w->r->verdict_count; i++)
		if (strcmp(w->r->verdicts[i].id, name) == 0) {
			show_verdict(w, &w->r->verdicts[i]);
			any = true;
		}
	return any;
}

/* ---- listing, and names that do not exist ------------------------------------------------------------------------ */

static void show_all_names(struct why *w)
{
	char value[INW_CELL];
	line(w, 0, "", "Verdicts:");
	for (size_t i = 0; i < w->r->verdict_count; i++)
		linef(w, 1, "", "%s: %s", w->r->verdicts[i].id, inw_show__word(w->r->verdicts[i].word));
	line(w, 0, "", "Computed:");
	for (size_t i = 0; i < w->r->fact_count; i++) {
		const struct inw_fact *f = &w->r->facts[i];
		linef(w, 1, "", "%s = %s", f->name, inw_show__number(value, sizeof value, f->value, f->dim, w->page.units));
	}
	line(w, 0, "", "Inputs:");
	for (size_t i = 0; i < quantity_count(w->r); i++) {
		const struct inw_quantity *q = inw_design_quantity(w->r->design, i);
		linef(w, 1, "", "%s = %s", q->path, inw_show__number(value, sizeof value, q->value, q->dim, w->page.units));
	}
}

static void say_unknown(const struct inw_report *r, const char *name, struct inw_diags *diags)
{
	size_t n = 0, all = r->verdict_count + r->fact_count + quantity_count(r);
	const char **names = malloc((all ? all : 1) * sizeof *names);
	if (!names) {
		diags->out_of_memory = true;
		return;
	}
	for (size_t i = 0; i < r->fact_count; i++)
		names[n++] = r->facts[i].name;
	for (size_t i = 0; i < quantity_count(r); i++)
		names[n++] = inw_design_quantity(r->design, i)->path;
	for (size_t i = 0; i < r->verdict_count; i++)
		names[n++] = r->verdicts[i].id;
	const char *near = inw_nearest_word(name, names, n);
	inw_diag_add(diags, INW_ERROR, r->file, 0, 0, "nothing is called '%s'%s%s%s; 'list' in its place lists every name",
	             name, near ? "; did you mean '" : "", near ? near : "", near ? "'?" : "");
	free(names);
}

char *inw_show_why(const struct inw_report *r, const char *name, enum inw_units units, struct inw_diags *diags)
{
	struct why w = {.r = r, .page = {.units = units}};
	bool known = true;
	w.seen = calloc(r->fact_count + quantity_count(r) + 1, sizeof *w.seen);
	if (!w.seen)
		goto done;
	if (strcmp(name, "list") == 0) {
		show_all_names(&w);
	} else {
		known = show_verdicts(&w, name); /* of the worst state; what it follows from comes below as designed */
		if (find_fact(r, name) < r->fact_count || find_quantity(r, name) < quantity_count(r)) {
			show_name(&w, name, 0);
			known = true;
		}
		if (!known)
			say_unknown(r, name, diags);
	}
done:
	if (known && (!w.seen || w.page.t.failed))
		diags->out_of_memory = true;
	free(w.seen);
	if (!known || diags->out_of_memory || w.page.t.failed) {
		inw_text_free(&w.page.t);
		return NULL;
	}
	return w.page.t.s;
}
