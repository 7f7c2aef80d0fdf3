/* SPDX-License-Identifier: MIT */
/* compare_text.c: designs side by side for a person at a terminal: who is better at what, what differs in the files, every
 * verdict in columns. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/verdicts.h"

enum { INDENT = 2, MOST_PIECES = 4, MOST_BESIDE = 3 /* designs in columns: more would leave no room for a number */ };

struct both {
	struct inw_page *p;
	const struct inw_comparison *c;
};

/* ---- the designs ---- */

static size_t checked(const struct inw_tally *t)
{
	return t->meets + t->in_doubt + t->misses + t->cannot_tell;
}

/* Is anything asked there? */
static bool is_judged(const struct inw_verdict *v)
{
	return v && v->word != INW_STATED;
}

/* At how many the design is better only because nothing is asked there any more. */
static size_t unasked(const struct inw_comparison *c, size_t k)
{
	size_t n = 0;

	for (size_t i = 0; i < c->row_count; i++)
		n += c->rows[i].step[k] > 0 && !is_judged(c->rows[i].verdict[k]);
	return n;
}

static void show_tally(const struct both *b, size_t k)
{
	const struct inw_tally *t = &b->c->tally[k];
	size_t n = unasked(b->c, k);

	if (n)
		inw_show__wrapf(b->p, "   ", 3, "Against 1: %zu better (%zu of these only because nothing is asked there any more), %zu worse.", t->better, n, t->worse);
	else
		inw_show__wrapf(b->p, "   ", 3, "Against 1: %zu better, %zu worse.", t->better, t->worse);
}

static void show_designs(const struct both *b)
{
	for (size_t k = 0; k < b->c->count; k++) {
		const struct inw_report *r = b->c->reports[k];
		const struct inw_tally *t = &b->c->tally[k];
		char number[24];
		snprintf(number, sizeof number, "%zu  ", k + 1);
		inw_show__wrapf(b->p, number, 3, "%s: %s", r->file ? r->file : "", r->title ? r->title : "");
		inw_show__wrapf(b->p, "   ", 3, "%s. Of %zu checks: %zu met, %zu missed, %zu in doubt, %zu cannot be told.", inw_show__group_name(r->overall), checked(t),
		                t->meets, t->misses, t->in_doubt, t->cannot_tell);
		if (k)
			show_tally(b, k);
	}
}

/* ---- who is better at what ---- */

/* Where design k has a better (1) or worse (-1) word than the first; or, by margin, the same word with more or less to spare. */
static int step_of(const struct inw_verdict_row *row, size_t k, bool by_margin)
{
	return by_margin ? row->by_margin[k] : row->step[k];
}

static bool any_step(const struct inw_comparison *c, size_t k, int step, bool by_margin)
{
	for (size_t i = 0; i < c->row_count; i++)
		if (step_of(&c->rows[i], k, by_margin) == step)
			return true;
	return false;
}

static bool same_word(const struct inw_verdict_row *row, size_t k)
{
	return row->verdict[0] && row->verdict[k] && row->verdict[0]->word == row->verdict[k]->word;
}

static bool same_words_at_all(const struct inw_comparison *c, size_t k)
{
	for (size_t i = 0; i < c->row_count; i++)
		if (!same_word(&c->rows[i], k))
			return false;
	return true;
}

static bool one_job(const struct inw_comparison *c)
{
	for (size_t k = 0; k < c->count; k++)
		for (size_t i = 1; i < c->reports[k]->verdict_count; i++)
			if (strcmp(c->reports[k]->verdicts[i].job, c->reports[k]->verdicts[0].job) != 0)
				return false;
	return true;
}

static void show_number(const struct both *b, const struct inw_verdict *v, char out[INW_CELL])
{
	inw_show__bounded(out, INW_CELL, (struct inw_bounded){v->value, v->bound}, v->dim, b->p->units);
}

static const char *word_of(const struct inw_verdict *v)
{
	return !v ? "not judged" : is_judged(v) ? inw_show__word(v->word) : "stated without a limit";
}

static void show_steps(const struct both *b, size_t k, int step, bool by_margin)
{
	bool job = !one_job(b->c);

	if (!any_step(b->c, k, step, by_margin))
		return;
	if (by_margin)
		inw_show__wrapf(b->p, "", 2, "%zu has %s to spare than 1, with the same verdict, at:", k + 1, step > 0 ? "more" : "less");
	else
		inw_show__wrapf(b->p, "", 2, "%zu is %s than 1 at:", k + 1, step > 0 ? "better" : "worse");
	for (size_t i = 0; i < b->c->row_count; i++) {
		const struct inw_verdict_row *row = &b->c->rows[i];
		char is[INW_CELL], was[INW_CELL];
		if (step_of(row, k, by_margin) != step)
			continue;
		if (by_margin) { /* both are there */
			show_number(b, row->verdict[k], is);
			show_number(b, row->verdict[0], was);
		}
		inw_show__wrapf(b->p, "  * ", 4, "%s%s%s: %s, was %s", row->title, job ? ", job " : "", job ? row->job : "", by_margin ? is : word_of(row->verdict[k]),
		                by_margin ? was : word_of(row->verdict[0]));
	}
}

/* Is any check there in both? */
static bool any_in_common(const struct inw_comparison *c, size_t k)
{
	for (size_t i = 0; i < c->row_count; i++)
		if (c->rows[i].verdict[0] && c->rows[i].verdict[k])
			return true;
	return false;
}

static void show_better(const struct both *b)
{
	inw_show__title(b->p, "Better and worse", NULL);
	for (size_t k = 1; k < b->c->count; k++) {
		bool steps = any_step(b->c, k, 1, false) || any_step(b->c, k, -1, false), more = any_step(b->c, k, 1, true) || any_step(b->c, k, -1, true);
		if (!any_in_common(b->c, k))
			inw_show__wrapf(b->p, "", 2, "%zu has no check in common with 1 (other jobs): what one of them misses is not judged in the other.", k + 1);
		else if (!steps)
			inw_show__wrapf(b->p, "", 2, !more ? "%zu is neither better nor worse than 1 at anything." : same_words_at_all(b->c, k)
			                ? "%zu has the same verdict as 1 at everything." : "%zu has no better and no worse verdict than 1.", k + 1);
		for (int by_margin = 0; by_margin < 2; by_margin++) {
			show_steps(b, k, 1, by_margin);
			show_steps(b, k, -1, by_margin);
		}
	}
}

/* ---- what differs in the files ---- */

/* The first key of a path is the part of the design it belongs to. */
static size_t part_length(const char *path)
{
	return strcspn(path, ".[");
}

static bool has_any(const struct inw_report *r, const char *path, size_t length)
{
	for (size_t i = 0; i < inw_design_quantity_count(r->design); i++) {
		const char *other = inw_design_quantity(r->design, i)->path;
		if (strncmp(other, path, length) == 0 && (path[length - 1] == ']' || strchr(".[", other[length])))
			return true;
	}
	return false;
}

static bool lacked(const struct inw_comparison *c, const struct inw_difference *d, size_t length)
{
	bool any = false;

	for (size_t k = 0; k < c->count; k++) {
		if (d->quantity[k])
			continue;
		any = true;
		if (has_any(c->reports[k], d->path, length))
			return false;
	}
	return any;
}

/* What stands in some designs only goes together: the most that the others lack altogether, "box.gaps[lamp]" of
 * "box.gaps[lamp].width". 0 when it is no more than the number itself. */
static size_t group_length(const struct inw_comparison *c, const struct inw_difference *d)
{
	size_t all = strlen(d->path);

	for (size_t i = 1; d->quantity && i < all; i++)
		if ((d->path[i] == '.' || d->path[i] == '[' || d->path[i - 1] == ']') && lacked(c, d, i))
			return i;
	return 0;
}

static bool lacks_group(const struct inw_comparison *c, const struct inw_difference *d)
{
	return group_length(c, d) > 0;
}

static bool in_group(const struct inw_comparison *c, const struct inw_difference *d, const struct inw_difference *of)
{
	size_t n = group_length(c, of);

	return d->quantity && strncmp(d->path, of->path, n) == 0 && group_length(c, d) == n;
}

static void value_words(const struct both *b, const struct inw_difference *d, size_t k, bool ranges, char out[INW_CELL])
{
	char value[INW_CELL], range[2 * INW_CELL + 8];
	const struct inw_quantity *q = d->quantity[k];

	if (!q) {
		snprintf(out, INW_CELL, "-");
		return;
	}
	inw_show__number(value, sizeof value, q->value, q->dim, b->p->units);
	const double ends[2] = {q->low, q->high};
	inw_show__range(range, sizeof range, ends, q->dim, b->p->units);
	if (!ranges || !(q->low < q->high))
		snprintf(out, INW_CELL, "%s", value);
	else
		snprintf(out, INW_CELL, "%.14s (%.30s)", value, range);
}

/* Nothing but the range tells the numbers apart. */
static bool only_range(const struct both *b, const struct inw_difference *d)
{
	char first[INW_CELL], other[INW_CELL];

	value_words(b, d, 0, false, first);
	for (size_t k = 1; k < b->c->count; k++) {
		value_words(b, d, k, false, other);
		if (strcmp(first, other) != 0)
			return false;
	}
	return true;
}

struct numbers {
	const struct both *b;
	const struct inw_difference *const *row;
};

static const char *number_name(const void *context, size_t row)
{
	const struct numbers *n = context;

	return n->row[row]->path;
}

static void number_cell(const void *context, size_t row, size_t column, char out[INW_CELL])
{
	const struct numbers *n = context;
	const struct inw_difference *d = n->row[row];

	value_words(n->b, d, column, n->b->p->detail == INW_FULL || only_range(n->b, d), out);
}

static void show_words(const struct both *b, const struct inw_difference *d)
{
	char number[32];

	inw_show__wrapf(b->p, "  ", 4, "%s", d->path);
	for (size_t k = 0; k < b->c->count; k++) {
		snprintf(number, sizeof number, "    %zu: ", k + 1);
		inw_show__wrapf(b->p, number, 7, "%s", d->word[k] ? d->word[k] : "-");
	}
}

/* Everything of a gap, a room, a stage that only some designs have, in a line. */
static void show_group(const struct both *b, size_t at)
{
	const struct inw_difference *d = &b->c->differences[at];
	struct inw_text where = {0};
	size_t inputs = 0;

	for (size_t k = 0; k < b->c->count; k++)
		if (d->quantity[k])
			inw_text_printf(&where, "%s%zu", where.length ? ", " : "", k + 1);
	for (size_t i = at; i < b->c->difference_count; i++)
		inputs += in_group(b->c, &b->c->differences[i], d);
	inw_show__wrapf(b->p, "  ", 4, "%.*s: only in %s (%zu %s)", (int)group_length(b->c, d), d->path, where.failed ? "" : where.s, inputs, inputs == 1 ? "input" : "inputs");
	b->p->t.failed |= where.failed;
	inw_text_free(&where);
}

static bool is_first_of_group(const struct inw_comparison *c, size_t at)
{
	for (size_t i = 0; i < at; i++)
		if (in_group(c, &c->differences[i], &c->differences[at]))
			return false;
	return true;
}

/* Does it get a row of the table of its part? */
static bool is_row(const struct both *b, const struct inw_difference *d)
{
	if (!d->quantity)
		return false;
	return b->p->detail == INW_FULL || (!d->follows && !lacks_group(b->c, d));
}

static bool same_part(const struct inw_difference *a, const struct inw_difference *b)
{
	return part_length(a->path) == part_length(b->path) && strncmp(a->path, b->path, part_length(b->path)) == 0;
}

enum { ROWS = 64 };

static void show_rows(const struct both *b, const struct inw_difference *const *row, size_t rows)
{
	static const char *const head[] = {"Input", "1", "2", "3", "4", "5", "6"};
	const struct numbers n = {b, row};
	const struct inw_table table = {&n, head, rows, b->c->count, number_name, number_cell};

	inw_show__table(b->p, &table, INDENT);
}

/* The parts of a design file in the order in which it is read, then those of the catalog. */
static const char *const part[] = {"site", "rooms", "doorways", "people", "box", "cleaner", "heat", "jobs", "day", "require", "upkeep", "choose"};

static bool is_of_part(const struct inw_difference *d, const char *name)
{
	return strlen(name) == part_length(d->path) && strncmp(d->path, name, part_length(d->path)) == 0;
}

static bool has_part(const struct inw_difference *d)
{
	for (size_t i = 0; i < INW_COUNT(part); i++)
		if (is_of_part(d, part[i]))
			return true;
	return false;
}

static bool says_nothing(const char *word)
{
	return !word || strcmp(word, "none") == 0 || strcmp(word, "no") == 0;
}

/* A word that some designs have no use for, and that says of the others that nothing is there; or of a record that some
 * bring along, whose numbers stand in a line of their own. */
static bool is_idle_word(const struct inw_comparison *c, const struct inw_difference *d)
{
	bool lacks = false, nothing = true;

	for (size_t k = 0; k < c->count; k++) {
		lacks |= !d->word[k];
		nothing &= says_nothing(d->word[k]);
	}
	return lacks && (nothing || !has_part(d));
}

/* Is it told by name, in a line of its own or (a number) in that of its group? */
static bool is_shown(const struct both *b, const struct inw_difference *d)
{
	if (b->p->detail == INW_FULL)
		return true;
	return d->word ? !is_idle_word(b->c, d) : !d->follows || lacks_group(b->c, d);
}

static void show_part(const struct both *b, size_t at)
{
	const struct inw_difference *d = b->c->differences, *row[ROWS];
	size_t rows = 0;

	inw_text_add(&b->p->t, "\n");
	inw_show__wrapf(b->p, "", 2, "%.*s", (int)part_length(d[at].path), d[at].path);
	for (size_t i = at; i < b->c->difference_count; i++)
		if (d[i].word && same_part(&d[i], &d[at]) && is_shown(b, &d[i]))
			show_words(b, &d[i]);
	for (size_t i = 0; b->p->detail == INW_BRIEF && i < b->c->difference_count; i++)
		if (same_part(&d[i], &d[at]) && d[i].quantity && lacks_group(b->c, &d[i]) && is_first_of_group(b->c, i))
			show_group(b, i);
	for (size_t i = 0; i < b->c->difference_count; i++) {
		if (!same_part(&d[i], &d[at]) || !is_row(b, &d[i]))
			continue;
		row[rows++] = &d[i];
		if (rows == ROWS) {
			show_rows(b, row, rows);
			rows = 0;
		}
	}
	if (rows)
		show_rows(b, row, rows);
}

/* The first that is shown of its part. */
static bool opens_part(const struct both *b, size_t at)
{
	const struct inw_difference *d = b->c->differences;

	for (size_t i = 0; i < at; i++)
		if (is_shown(b, &d[i]) && same_part(&d[i], &d[at]))
			return false;
	return is_shown(b, &d[at]);
}

/* What only --full tells one by one. */
static size_t untold(const struct both *b)
{
	size_t n = 0;

	for (size_t i = 0; i < b->c->difference_count; i++) {
		const struct inw_difference *d = &b->c->differences[i];
		n += d->word ? !is_shown(b, d) : !is_row(b, d);
	}
	return n;
}

static bool all_alike(const struct inw_comparison *c)
{
	for (size_t i = 0; i < c->row_count; i++)
		if (!c->rows[i].alike)
			return false;
	return true;
}

static void show_differences(const struct both *b)
{
	const struct inw_comparison *c = b->c;
	size_t more = untold(b);

	inw_show__title(b->p, "What differs in the files", NULL);
	if (!c->difference_count)
		inw_show__wrap(b->p, "", 2, all_alike(c) ? "Nothing." : "Nothing that is compared here, and yet verdicts differ: hold the files against each other line by line.");
	for (size_t k = 0; k <= INW_COUNT(part); k++)
		for (size_t i = 0; i < c->difference_count; i++)
			if ((k < INW_COUNT(part) ? is_of_part(&c->differences[i], part[k]) : !has_part(&c->differences[i])) && opens_part(b, i))
				show_part(b, i);
	if (more) {
		inw_text_add(&b->p->t, "\n");
		inw_show__wrapf(b->p, "", 2, "%zu more %s to these or %s from them; --full lists %s.", more, more == 1 ? "difference belongs" : "differences belong",
		                more == 1 ? "follows" : "follow", more == 1 ? "it" : "them");
	}
}

/* ---- verdicts in columns ---- */

struct cell { char piece[MOST_PIECES][INW_CELL + 16]; size_t pieces, used; };

static void fill_cell(const struct both *b, const struct inw_verdict *v, bool limit, struct cell *cell)
{
	char number[INW_CELL];

	*cell = (struct cell){0};
	if (!v) {
		snprintf(cell->piece[cell->pieces++], sizeof cell->piece[0], "not judged");
		return;
	}
	snprintf(cell->piece[cell->pieces++], sizeof cell->piece[0], "%s", v->word == INW_MISSES || v->word == INW_CANNOT_TELL || v->word == INW_IN_DOUBT
	         ? inw_show__group_name(v->word) : inw_show__word(v->word));
	inw_show__number(number, sizeof number, v->value, v->dim, b->p->units);
	snprintf(cell->piece[cell->pieces++], sizeof cell->piece[0], "%s", number);
	if (v->sense != INW_NO_LIMIT && isfinite(v->margin)) {
		inw_show__number(number, sizeof number, fabs(v->margin), inw_show__difference_dim(v->dim), b->p->units);
		snprintf(cell->piece[cell->pieces++], sizeof cell->piece[0], v->margin < 0 ? "off %s" : "spare %s", number);
	}
	if (limit && v->sense != INW_NO_LIMIT) {
		inw_show__number(number, sizeof number, v->limit, v->dim, b->p->units);
		snprintf(cell->piece[cell->pieces++], sizeof cell->piece[0], "%s %s", v->sense == INW_AT_MOST ? "max" : "min", number);
	}
}

/* As many of the cell's pieces as fit on a line of that width, at least one. */
static void cell_line(struct cell *cell, size_t width, char *out, size_t size)
{
	size_t length = 0;

	*out = '\0';
	while (cell->used < cell->pieces) {
		const char *piece = cell->piece[cell->used];
		size_t more = inw_show__width(piece) + (length ? 2 : 0);
		if (length && inw_show__width(out) + more > width)
			return;
		length += (size_t)snprintf(out + length, size - length, "%s%s", length ? ", " : "", piece);
		cell->used++;
	}
}

static bool same_limit(const struct inw_comparison *c, const struct inw_verdict_row *row)
{
	const struct inw_verdict *first = NULL;

	for (size_t k = 0; k < c->count; k++) {
		const struct inw_verdict *v = row->verdict[k];
		if (v && first && v->sense == first->sense && v->sense != INW_NO_LIMIT && (v->limit != first->limit || (v->sense == INW_WITHIN && v->limit_high != first->limit_high)))
			return false;
		if (v && first && v->sense != first->sense)
			return false;
		first = first ? first : v;
	}
	return true;
}

static const struct inw_verdict *first_of(const struct inw_comparison *c, const struct inw_verdict_row *row)
{
	for (size_t k = 0; k < c->count; k++)
		if (row->verdict[k])
			return row->verdict[k];
	return NULL;
}

/* How many stand in columns: all, or in rows of like length. */
static size_t beside(const struct inw_comparison *c)
{
	size_t rows = (c->count + MOST_BESIDE - 1) / MOST_BESIDE;

	return (c->count + rows - 1) / rows;
}

/* Designs `from` to `to` beside each other. */
static void show_cells(const struct both *b, const struct inw_verdict_row *row, bool limits, size_t from, size_t to)
{
	struct cell cell[MOST_BESIDE];
	const size_t n = to - from, width = (INW_COLUMNS - INDENT) / beside(b->c) - 1;
	char line[MOST_PIECES * (INW_CELL + 20)], mark[32];
	bool left = true;

	for (size_t k = 0; k < n; k++)
		fill_cell(b, row->verdict[from + k], limits, &cell[k]);
	for (int lines = 0; left; lines++) {
		size_t owed = INDENT; /* blanks are written before what follows them, never at a line's end */
		left = false;
		for (size_t k = 0; k < n; k++) {
			snprintf(mark, sizeof mark, lines ? "   " : "%zu: ", from + k + 1);
			cell_line(&cell[k], width - 3, line, sizeof line);
			if (*line)
				inw_text_printf(&b->p->t, "%*s%s%s", (int)owed, "", mark, line);
			size_t used = *line ? 3 + inw_show__width(line) : 0;
			owed = (*line ? 0 : owed) + width + 1 - (used < width ? used : width);
			left |= cell[k].used < cell[k].pieces;
		}
		inw_text_add(&b->p->t, "\n");
	}
}

static void show_row(const struct both *b, const struct inw_verdict_row *row)
{
	char limit[3 * INW_CELL] = "";
	bool alike = same_limit(b->c, row), job = !one_job(b->c);
	const struct inw_verdict *v = first_of(b->c, row);

	if (alike && v->sense != INW_NO_LIMIT)
		inw_show__limit_words(limit, sizeof limit, v, b->p->units);
	inw_text_add(&b->p->t, "\n");
	inw_show__wrapf(b->p, "", 2, "%s%s%s%s%s", row->title, job ? ", job " : "", job ? row->job : "", *limit ? "; " : "", limit);
	for (size_t k = 0; k < b->c->count; k += beside(b->c))
		show_cells(b, row, !alike, k, k + beside(b->c) < b->c->count ? k + beside(b->c) : b->c->count);
}

static bool same_words(const struct inw_comparison *c, const struct inw_verdict_row *row)
{
	for (size_t k = 1; k < c->count; k++)
		if (!same_word(row, k))
			return false;
	return true;
}

static void show_rows_that(const struct both *b, const char *title, bool same, bool alike)
{
	bool any = false;

	for (size_t i = 0; i < b->c->row_count; i++) {
		const struct inw_verdict_row *row = &b->c->rows[i];
		if (row->alike != alike || (!alike && same_words(b->c, row) != same))
			continue;
		if (!any)
			inw_show__title(b->p, title, NULL);
		any = true;
		show_row(b, row);
	}
}

static void show_verdicts(const struct both *b)
{
	size_t alike = 0;

	show_rows_that(b, "Verdicts that change", false, false);
	show_rows_that(b, "The same word, another number", true, false);
	if (b->p->detail == INW_FULL)
		show_rows_that(b, "Alike", true, true);
	for (size_t i = 0; i < b->c->row_count; i++)
		alike += b->c->rows[i].alike;
	if (alike && b->p->detail == INW_BRIEF) {
		inw_text_add(&b->p->t, "\n");
		inw_show__wrapf(b->p, "", 2, "%zu more %s alike in all designs; --full lists %s.", alike, alike == 1 ? "verdict is" : "verdicts are", alike == 1 ? "it" : "them");
	}
}

char *inw_show_comparison_text(const struct inw_comparison *c, enum inw_units units, enum inw_detail detail)
{
	struct inw_page page = {.units = units, .detail = detail};
	const struct both b = {&page, c};

	show_designs(&b);
	show_better(&b);
	show_differences(&b);
	show_verdicts(&b);
	inw_text_add(&page.t, "\n");
	inw_show__wrap(&page, "", 2, inw_show__disclaimer);
	if (page.t.failed) {
		inw_text_free(&page.t);
		return NULL;
	}
	return page.t.s;
}
