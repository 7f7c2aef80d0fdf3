/* SPDX-License-Identifier: MIT */
/* map_text.c: a map for a person at a terminal: where what is met; of two quantities a plan made of characters. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "show/verdicts.h"

enum { PLAN_WIDE = 61, PLAN_HIGH = 21, LABEL = 12, MOST_LETTERS = 26, ROWS_OF_CURVE = 11, COLUMNS_OF_CURVE = 3 };

struct map_page {
	struct inw_page *p;
	const struct inw_map *m;
};

static char *at_words(const struct map_page *w, size_t axis, double value, char out[INW_CELL])
{
	return inw_show__number(out, INW_CELL, value, w->m->axis[axis].quantity->dim, w->p->units);
}

static bool one_job(const struct inw_map *m)
{
	for (size_t i = 1; i < m->verdict_count; i++)
		if (strcmp(m->verdicts[i].job, m->verdicts[0].job) != 0)
			return false;
	return true;
}

/* "TITLE (id)", with the job where there are several. */
static void verdict_words(const struct map_page *w, const struct inw_map_verdict *v, char *out, size_t size)
{
	bool job = !one_job(w->m);

	snprintf(out, size, "%.180s (%.100s%s%.80s)", v->title, v->id, job ? "@" : "", job ? v->job : "");
}

static void apart_words(const struct map_page *w, enum inw_dim of, double apart, char out[INW_CELL])
{
	inw_show__bounded(out, INW_CELL, (struct inw_bounded){apart, INW_EXACTLY}, inw_show__difference_dim(of), w->p->units);
}

static void margin_words(const struct map_page *w, const struct inw_map_verdict *v, double margin, char out[2 * INW_CELL])
{
	char number[INW_CELL];

	if (isnan(margin)) {
		snprintf(out, 2 * INW_CELL, "no answer");
		return;
	}
	apart_words(w, v->dim, fabs(margin), number);
	snprintf(out, 2 * INW_CELL, margin < 0 ? "%soff by %s" : "%s%s to spare", w->m->sure ? "at the bad end " : "", number);
}

static void head(const struct map_page *w)
{
	const struct inw_map *m = w->m;
	char from[INW_CELL], to[INW_CELL], now[INW_CELL];

	inw_show__wrapf(w->p, "", 2, "Map of %s", m->title ? m->title : "");
	for (size_t k = 0; k < m->axes; k++) {
		const struct inw_map_axis *a = &m->axis[k];
		inw_show__wrapf(w->p, m->axes == 1 ? "Quantity: " : k ? "Upwards:  " : "Across:   ", 10, "%s from %s to %s; in the design %s", a->quantity->path,
		                at_words(w, k, a->at[0], from), at_words(w, k, a->at[a->count - 1], to), at_words(w, k, a->now, now));
	}
	inw_show__wrap(w->p, "Judged:   ", 10,
	               m->sure ? "over the whole range of what is assumed, in the worst of all states, as a check judges"
	                       : "at the best estimate of all other inputs, in the worst of all states");
}

/* ---- which verdicts are met where ---- */

enum kind { CHANGES, ALWAYS, NEVER, UNTOLD, KINDS };

static bool met_at(const struct inw_map_verdict *v, size_t i)
{
	return v->margin[i] >= 0;
}

static enum kind kind_of(const struct inw_map *m, const struct inw_map_verdict *v)
{
	size_t met = 0;

	for (size_t i = 0; i < m->points; i++)
		met += met_at(v, i);
	return v->untold ? UNTOLD : met == m->points ? ALWAYS : met ? CHANGES : NEVER;
}

static size_t count_kind(const struct inw_map *m, enum kind kind)
{
	size_t n = 0;

	for (size_t i = 0; i < m->verdict_count; i++)
		n += kind_of(m, &m->verdicts[i]) == kind;
	return n;
}

/* "from 41 % to 78 % and from 90 % to 100 %". */
static void interval_words(const struct map_page *w, const struct inw_map_interval *list, size_t count, struct inw_text *out)
{
	char from[INW_CELL], to[INW_CELL];

	for (size_t i = 0; i < count; i++) {
		at_words(w, 0, list[i].from, from);
		at_words(w, 0, list[i].to, to);
		if (strcmp(from, to) == 0)
			inw_text_printf(out, "%sat %s", i == 0 ? "" : i + 1 < count ? ", " : " and ", from);
		else
			inw_text_printf(out, "%sfrom %s to %s", i == 0 ? "" : i + 1 < count ? ", " : " and ", from, to);
	}
}

static size_t nearest_point(const struct inw_map *m, const struct inw_map_verdict *v)
{
	size_t best = 0;

	for (size_t i = 1; i < m->points; i++)
		if (v->margin[i] > v->margin[best] + 1e-6 * v->one || isnan(v->margin[best])) /* not for a trifle */
			best = i;
	return best;
}

static void place_words(const struct map_page *w, size_t point, char *out, size_t size)
{
	char x[INW_CELL], y[INW_CELL];
	const struct inw_map *m = w->m;

	at_words(w, 0, m->axis[0].at[point % m->axis[0].count], x);
	if (m->axes == 1) {
		snprintf(out, size, "%s", x);
		return;
	}
	at_words(w, 1, m->axis[1].at[point / m->axis[0].count], y);
	snprintf(out, size, "%s and %s", x, y);
}

static void say_changes(const struct map_page *w, const struct inw_map_verdict *v)
{
	char name[400], now[INW_CELL], margin[2 * INW_CELL];
	struct inw_text met = {0};
	size_t points = 0;

	verdict_words(w, v, name, sizeof name);
	inw_show__wrapf(w->p, "  * ", 4, "%s", name);
	inw_show__number(now, sizeof now, v->value_now, v->dim, w->p->units);
	margin_words(w, v, v->margin_now, margin);
	for (size_t i = 0; i < w->m->points; i++)
		points += met_at(v, i);
	if (w->m->axes == 1)
		interval_words(w, v->met, v->met_count, &met);
	else
		inw_text_printf(&met, "on %.0f %% of the map", 100.0 * (double)points / (double)w->m->points);
	inw_show__wrapf(w->p, "    ", 6, "met %s; in the design %s, %s", met.failed ? "" : met.s, now, margin);
	w->p->t.failed |= met.failed;
	inw_text_free(&met);
}

static void say_never(const struct map_page *w, const struct inw_map_verdict *v)
{
	char name[400], place[2 * INW_CELL + 8], number[INW_CELL], margin[2 * INW_CELL];
	size_t i = nearest_point(w->m, v);

	verdict_words(w, v, name, sizeof name);
	if (isnan(v->margin[i])) {
		inw_show__wrapf(w->p, "  * ", 4, "%s: no answer anywhere", name);
		return;
	}
	place_words(w, i, place, sizeof place);
	inw_show__number(number, sizeof number, v->value[i], v->dim, w->p->units);
	margin_words(w, v, v->margin[i], margin);
	inw_show__wrapf(w->p, "  * ", 4, "%s: nearest at %s: %s, %s", name, place, number, margin);
}

static void say_always(const struct map_page *w, const struct inw_map_verdict *v)
{
	char name[400], place[2 * INW_CELL + 8], margin[2 * INW_CELL];
	size_t least = 0;

	for (size_t i = 1; i < w->m->points; i++)
		if (v->margin[i] < v->margin[least] - 1e-6 * v->one)
			least = i;
	verdict_words(w, v, name, sizeof name);
	place_words(w, least, place, sizeof place);
	margin_words(w, v, v->margin[least], margin);
	if (isinf(v->margin[least]))
		inw_show__wrapf(w->p, "  * ", 4, "%s", name);
	else
		inw_show__wrapf(w->p, "  * ", 4, "%s: at the least %s, at %s", name, margin, place);
}

static void say_untold(const struct map_page *w, const struct inw_map_verdict *v)
{
	char name[400];

	verdict_words(w, v, name, sizeof name);
	inw_show__wrapf(w->p, "  * ", 4, "%s", name);
}

/* In brief what does not change is named in a line. */
static void say_names(const struct map_page *w, const char *title, enum kind kind)
{
	struct inw_text t = {0};
	bool job = !one_job(w->m);

	for (size_t i = 0; i < w->m->verdict_count; i++) {
		const struct inw_map_verdict *v = &w->m->verdicts[i];
		if (kind_of(w->m, v) == kind)
			inw_text_printf(&t, "%s%s%s%s", t.length ? ", " : "", v->id, job ? "@" : "", job ? v->job : "");
	}
	inw_show__wrapf(w->p, "", 2, "%s (%zu): %s", title, count_kind(w->m, kind), t.failed ? "" : t.s);
	w->p->t.failed |= t.failed;
	inw_text_free(&t);
}

static void verdicts(const struct map_page *w)
{
	static const char *const title[KINDS] = {"Met in part", "Met everywhere", "Missed everywhere", "Cannot be told, wherever (data are missing)"};
	static void (*const say[KINDS])(const struct map_page *w, const struct inw_map_verdict *v) = {say_changes, say_always, say_never, say_untold};
	static const enum kind order[KINDS] = {CHANGES, NEVER, ALWAYS, UNTOLD};

	for (size_t k = 0; k < KINDS; k++) {
		if (!count_kind(w->m, order[k]))
			continue;
		inw_text_add(&w->p->t, "\n");
		if (w->p->detail == INW_BRIEF && (order[k] == ALWAYS || order[k] == UNTOLD)) {
			say_names(w, title[order[k]], order[k]);
			continue;
		}
		inw_show__wrapf(w->p, "", 2, "%s (%zu):", title[order[k]], count_kind(w->m, order[k]));
		for (size_t i = 0; i < w->m->verdict_count; i++)
			if (kind_of(w->m, &w->m->verdicts[i]) == order[k])
				say[order[k]](w, &w->m->verdicts[i]);
	}
}

/* ---- the answer first ---- */

static const char *everything(const struct inw_map *m)
{
	if (m->named)
		return count_kind(m, UNTOLD) ? "all that was asked for and can be told" : "all that was asked for";
	return count_kind(m, UNTOLD) ? "everything that can be told" : "everything";
}

static void say_best(const struct map_page *w)
{
	const struct inw_map *m = w->m;
	char place[2 * INW_CELL + 8], margin[2 * INW_CELL], name[400];

	if (m->best < 0 || m->limiting[m->best] < 0)
		return;
	size_t at = (size_t)m->best;
	const struct inw_map_verdict *v = &m->verdicts[m->limiting[at]];
	place_words(w, at, place, sizeof place);
	margin_words(w, v, v->margin[at], margin);
	verdict_words(w, v, name, sizeof name);
	inw_show__wrapf(w->p, m->least[at] >= 0 ? "Best at:  " : "Nearest:  ", 10, "%s; there it hangs on '%s': %s", place, name, margin);
}

static void answer_curve(const struct map_page *w)
{
	struct inw_text t = {0};
	char precision[INW_CELL];
	const struct inw_map *m = w->m;

	interval_words(w, m->met, m->met_count, &t);
	apart_words(w, m->axis[0].quantity->dim, m->precision, precision);
	if (m->met_count)
		inw_show__wrapf(w->p, "Answer:   ", 10, "%s: there %s is met (ends found to %s).", t.failed ? "" : t.s, everything(m), precision);
	else
		inw_show__wrapf(w->p, "Answer:   ", 10, "nowhere in this range is %s met.", everything(m));
	w->p->t.failed |= t.failed;
	inw_text_free(&t);
}

/* The box around all points at which everything is met. */
static void answer_plane(const struct map_page *w)
{
	const struct inw_map *m = w->m;
	size_t met = 0, low[2] = {SIZE_MAX, SIZE_MAX}, high[2] = {0, 0};
	char a[INW_CELL], b[INW_CELL], c[INW_CELL], d[INW_CELL];

	for (size_t i = 0; i < m->points; i++) {
		const size_t at[2] = {i % m->axis[0].count, i / m->axis[0].count};
		if (!(m->least[i] >= 0))
			continue;
		met++;
		for (int k = 0; k < 2; k++) {
			low[k] = at[k] < low[k] ? at[k] : low[k];
			high[k] = at[k] > high[k] ? at[k] : high[k];
		}
	}
	if (!met) {
		inw_show__wrapf(w->p, "Answer:   ", 10, "nowhere on this map is %s met.", everything(m));
		return;
	}
	inw_show__wrapf(w->p, "Answer:   ", 10, "on %.0f %% of the map %s is met, at its points from %s to %s across and from %s to %s upwards.",
	                100.0 * (double)met / (double)m->points, everything(m), at_words(w, 0, m->axis[0].at[low[0]], a), at_words(w, 0, m->axis[0].at[high[0]], b),
	                at_words(w, 1, m->axis[1].at[low[1]], c), at_words(w, 1, m->axis[1].at[high[1]], d));
}

/* ---- a plan of characters ---- */

struct plan {
	size_t wide, high;
	int letter[MOST_LETTERS]; size_t letters; /* verdicts that limit somewhere */
};

static char letter_of(struct plan *plan, int verdict)
{
	for (size_t i = 0; i < plan->letters; i++)
		if (plan->letter[i] == verdict)
			return (char)('a' + i);
	if (plan->letters == MOST_LETTERS)
		return '#';
	plan->letter[plan->letters++] = verdict;
	return (char)('a' + plan->letters - 1);
}

static size_t spread(size_t k, size_t of, size_t count)
{
	return of > 1 ? (k * (count - 1) + (of - 1) / 2) / (of - 1) : 0;
}

static long column_of(const struct inw_map_axis *a, size_t of)
{
	double from = a->at[0], to = a->at[a->count - 1], share = (a->now - from) / (to - from);

	return share >= 0 && share <= 1 ? lround(share * (double)(of - 1)) : -1;
}

static void plan_row(const struct map_page *w, struct plan *plan, size_t row)
{
	const struct inw_map *m = w->m;
	char line[PLAN_WIDE + 1], label[INW_CELL] = "";
	size_t j = spread(row, plan->high, m->axis[1].count);

	for (size_t k = 0; k < plan->wide; k++) {
		size_t i = j * m->axis[0].count + spread(k, plan->wide, m->axis[0].count);
		line[k] = isnan(m->least[i]) ? '?' : m->least[i] >= 0 ? '.' : letter_of(plan, m->limiting[i]);
	}
	line[plan->wide] = '\0';
	long x = column_of(&m->axis[0], plan->wide), y = column_of(&m->axis[1], plan->high);
	if (x >= 0 && y == (long)row)
		line[x] = '@';
	if (row % 5 == 0 || row + 1 == plan->high)
		at_words(w, 1, m->axis[1].at[j], label);
	inw_text_printf(&w->p->t, "%*s |%s|\n", LABEL, label, line);
}

static void plan_foot(const struct map_page *w, const struct plan *plan)
{
	const struct inw_map_axis *a = &w->m->axis[0];
	char from[INW_CELL], middle[INW_CELL], to[INW_CELL];

	at_words(w, 0, a->at[0], from);
	at_words(w, 0, a->at[spread(plan->wide / 2, plan->wide, a->count)], middle);
	at_words(w, 0, a->at[a->count - 1], to);
	int room = (int)plan->wide - (int)inw_show__width(from) - (int)inw_show__width(middle) - (int)inw_show__width(to), left = room > 0 ? room / 2 : 1;
	inw_text_printf(&w->p->t, "%*s  %s%*s%s%*s%s\n", LABEL, "", from, left, "", middle, room > left ? room - left : 1, "", to);
}

/* Which verdicts have no answer somewhere: at each such point the first of them is known. */
static void say_unanswered(const struct map_page *w)
{
	const struct inw_map *m = w->m;
	char name[400];

	for (size_t v = 0; v < m->verdict_count; v++) {
		bool any = false;
		for (size_t i = 0; i < m->points && !any; i++)
			any = isnan(m->least[i]) && m->limiting[i] == (int)v;
		verdict_words(w, &m->verdicts[v], name, sizeof name);
		if (any)
			inw_show__wrapf(w->p, "  ? ", 4, "no answer for %s", name);
	}
}

static void show_plan(const struct map_page *w)
{
	const struct inw_map *m = w->m;
	struct plan plan = {.wide = m->axis[0].count < PLAN_WIDE ? m->axis[0].count : PLAN_WIDE,
	                    .high = m->axis[1].count < PLAN_HIGH ? m->axis[1].count : PLAN_HIGH};
	char name[400], head_of[8];

	inw_text_add(&w->p->t, "\n");
	for (size_t row = plan.high; row-- > 0;)
		plan_row(w, &plan, row);
	plan_foot(w, &plan);
	inw_text_add(&w->p->t, "\n");
	inw_show__wrap(w->p, "  . ", 4, "all met");
	for (size_t i = 0; i < plan.letters; i++) {
		snprintf(head_of, sizeof head_of, "  %c ", (char)('a' + i));
		verdict_words(w, &m->verdicts[plan.letter[i]], name, sizeof name);
		inw_show__wrapf(w->p, head_of, 4, "%s is missed, and by the most", name);
	}
	say_unanswered(w);
	if (column_of(&m->axis[0], plan.wide) >= 0 && column_of(&m->axis[1], plan.high) >= 0)
		inw_show__wrap(w->p, "  @ ", 4, "the design as it is");
	else
		inw_show__wrap(w->p, "    ", 4, "The design as it is lies outside of this map.");
}

/* ---- numbers of a curve ---- */

struct curve_table {
	const struct map_page *w;
	size_t rows, verdict[COLUMNS_OF_CURVE], columns;
	char name[INW_CELL];
};

static size_t curve_point(const struct curve_table *t, size_t row)
{
	const struct inw_map_axis *a = &t->w->m->axis[0];
	double want = a->at[0] + (a->at[a->count - 1] - a->at[0]) * (double)row / (double)(t->rows - 1);
	size_t best = 0;

	for (size_t i = 1; i < a->count; i++)
		if (fabs(a->at[i] - want) < fabs(a->at[best] - want))
			best = i;
	return best;
}

static const char *curve_name(const void *context, size_t row)
{
	struct curve_table *t = (struct curve_table *)(void *)context;

	return at_words(t->w, 0, t->w->m->axis[0].at[curve_point(t, row)], t->name);
}

static void curve_cell(const void *context, size_t row, size_t column, char out[INW_CELL])
{
	const struct curve_table *t = context;
	const struct inw_map_verdict *v = &t->w->m->verdicts[t->verdict[column]];
	size_t i = curve_point(t, row);
	char number[INW_CELL];

	inw_show__number(number, sizeof number, v->value[i], v->dim, t->w->p->units);
	snprintf(out, INW_CELL, "%.36s %s", number, isnan(v->margin[i]) ? "?" : v->margin[i] >= 0 ? "." : "x");
}

/* What changes, and what was asked for, in numbers. */
static void show_numbers(const struct map_page *w)
{
	const struct inw_map *m = w->m;
	struct curve_table t = {.w = w, .rows = ROWS_OF_CURVE};
	char name[COLUMNS_OF_CURVE][22];
	const char *head_of[COLUMNS_OF_CURVE + 1] = {"at"};

	for (size_t i = 0; i <= m->verdict_count; i++) {
		if (i < m->verdict_count && kind_of(m, &m->verdicts[i]) == CHANGES) {
			snprintf(name[t.columns], sizeof name[0], "%.21s", m->verdicts[i].id);
			head_of[t.columns + 1] = name[t.columns];
			t.verdict[t.columns++] = i;
		}
		if (t.columns < COLUMNS_OF_CURVE && !(i == m->verdict_count && t.columns))
			continue;
		const struct inw_table table = {&t, head_of, t.rows, t.columns, curve_name, curve_cell};
		inw_text_add(&w->p->t, "\n");
		inw_show__table(w->p, &table, 2);
		t.columns = 0;
	}
	if (count_kind(m, CHANGES))
		inw_show__wrap(w->p, "  ", 2, "A point behind a number: met there; x: missed; ?: no answer.");
}

char *inw_show_map_text(const struct inw_map *m, enum inw_units units, enum inw_detail detail)
{
	struct inw_page page = {.units = units, .detail = detail};
	const struct map_page w = {&page, m};

	head(&w);
	inw_text_add(&page.t, "\n");
	if (m->axes == 1)
		answer_curve(&w);
	else
		answer_plane(&w);
	say_best(&w);
	for (size_t i = 0; i < m->note_count; i++)
		inw_show__wrap(&page, "Note:     ", 10, m->notes[i]);
	if (m->axes == 2)
		show_plan(&w);
	verdicts(&w);
	if (m->axes == 1 && detail == INW_FULL)
		show_numbers(&w);
	inw_text_add(&page.t, "\n");
	inw_show__wrap(&page, "", 2, inw_show__disclaimer);
	if (page.t.failed) {
		inw_text_free(&page.t);
		return NULL;
	}
	return page.t.s;
}
