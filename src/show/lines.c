/* SPDX-License-Identifier: MIT */
#include "show/lines.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "judge/sentence.h"

const char *const inw_show__disclaimer =
	"This tool advises and certifies nothing. Local codes, the makers' instructions and the judgement of licensed "
	"practitioners come first.";

const char *inw_show__word(enum inw_word word)
{
	switch (word) {
	case INW_MEETS: return "meets";
	case INW_IN_DOUBT: return "in doubt";
	case INW_MISSES: return "misses";
	case INW_CANNOT_TELL: return "cannot tell";
	case INW_STATED: return "stated";
	}
	return "cannot tell";
}

const char *inw_show__word_meaning(enum inw_word word)
{
	switch (word) {
	case INW_MEETS: return "met even at the bad end of everything that was assumed";
	case INW_IN_DOUBT: return "met at the best estimate, but not over the whole range of what was assumed";
	case INW_MISSES: return "not met";
	case INW_CANNOT_TELL: return "data are missing, or the calculation does not reach this case; not a pass";
	case INW_STATED: return "a number to know; no limit applies";
	}
	return "";
}

int inw_show__word_rank(enum inw_word word)
{
	switch (word) {
	case INW_MISSES: return 0;
	case INW_IN_DOUBT: return 1;
	case INW_CANNOT_TELL: return 2;
	case INW_MEETS: return 3;
	case INW_STATED: return 4;
	}
	return 2;
}

const char *inw_show__basis(enum inw_basis basis)
{
	switch (basis) {
	case INW_BASIS_GIVEN: return "you wrote it";
	case INW_BASIS_FOUND: return "read in the source";
	case INW_BASIS_DERIVED: return "worked out from cited numbers";
	case INW_BASIS_MEMORY: return "recalled, not looked up: verify";
	case INW_BASIS_PRACTICE: return "common practice, no source";
	case INW_BASIS_UNKNOWN: return "nobody has published it: the range is a guess";
	}
	return "not known";
}

const char *inw_show__origin(enum inw_origin origin)
{
	switch (origin) {
	case INW_FROM_FILE: return "written in the design file";
	case INW_FROM_CATALOG: return "from the catalog";
	case INW_FROM_DEFAULT: return "assumed, because it was left out";
	case INW_DERIVED: return "worked out from other inputs";
	}
	return "origin not known";
}

enum inw_dim inw_show__difference_dim(enum inw_dim dim)
{
	if (dim == INW_DIM_TEMPERATURE)
		return INW_DIM_TEMPERATURE_DIFFERENCE;
	return dim == INW_DIM_CLOCK ? INW_DIM_TIME : dim;
}

size_t inw_show__width(const char *s)
{
	size_t n = 0;
	for (; *s; s++)
		n += ((unsigned char)*s & 0xC0) != 0x80;
	return n;
}

/* Bytes of the UTF-8 sequence at s, or 0 when it is broken or a control character (C0, DEL, C1). */
static size_t sequence(const unsigned char *s)
{
	if (s[0] < 0x80)
		return s[0] >= 0x20 && s[0] != 0x7F;
	size_t n = s[0] >= 0xF0 ? 4 : s[0] >= 0xE0 ? 3 : 2;
	if (s[0] < 0xC2 || s[0] > 0xF4)
		return 0;
	for (size_t i = 1; i < n; i++)
		if ((s[i] & 0xC0) != 0x80)
			return 0;
	bool overlong = (s[0] == 0xE0 && s[1] < 0xA0) || (s[0] == 0xF0 && s[1] < 0x90);
	bool surrogate = s[0] == 0xED && s[1] >= 0xA0;
	bool beyond = s[0] == 0xF4 && s[1] >= 0x90;
	bool c1 = s[0] == 0xC2 && s[1] < 0xA0;
	return overlong || surrogate || beyond || c1 ? 0 : n;
}

char *inw_show__plain(char *out, size_t size, const char *text)
{
	size_t used = 0;
	const unsigned char *s = (const unsigned char *)(text ? text : "");
	while (*s) {
		size_t n = sequence(s), bytes = n ? n : 1;
		if (used + bytes + 1 > size)
			break;
		if (n)
			memcpy(out + used, s, n);
		else
			out[used] = *s == '\n' || *s == '\t' ? ' ' : '?';
		used += bytes;
		s += bytes;
	}
	out[used] = '\0';
	return out;
}

char *inw_show__number(char *out, size_t size, double value, enum inw_dim dim, enum inw_units units)
{
	if (isnan(value))
		snprintf(out, size, "no number");
	else if (isinf(value))
		snprintf(out, size, value > 0 ? "without end" : "below all bounds");
	else
		inw_format(out, size, value, dim, units);
	return out;
}

char *inw_show__bounded(char *out, size_t size, struct inw_bounded b, enum inw_dim dim, enum inw_units units)
{
	static const char *const word[] = {[INW_EXACTLY] = "", [INW_MORE_THAN] = "more than ", [INW_LESS_THAN] = "less than "};
	char number[INW_CELL];

	inw_show__number(number, sizeof number, b.value, dim, units);
	bool apart = dim == INW_DIM_TEMPERATURE_DIFFERENCE && units == INW_US && isfinite(b.value);
	snprintf(out, size, "%s%s%s", isfinite(b.value) ? word[b.bound] : "", number, apart ? " of difference" : "");
	return out;
}

char *inw_show__range(char *out, size_t size, const double low_high[2], enum inw_dim dim, enum inw_units units)
{
	char low[INW_CELL], high[INW_CELL];
	inw_show__number(low, sizeof low, low_high[0], dim, units);
	inw_show__number(high, sizeof high, low_high[1], dim, units);
	if (strcmp(low, high) == 0)
		snprintf(out, size, "%s", low);
	else
		snprintf(out, size, "%s to %s", low, high);
	return out;
}

/* ---- wrapping ---------------------------------------------------------------------------------------------------- */

struct wrapper {
	struct inw_text *t;
	size_t column, hang;
	bool fresh; /* nothing but indentation stands on the line */
};

static void spaces(struct inw_text *t, size_t n)
{
	while (n--)
		inw_text_add(t, " ");
}

static void new_line(struct wrapper *w)
{
	inw_text_add(w->t, "\n");
	spaces(w->t, w->hang);
	w->column = w->hang;
	w->fresh = true;
}

/* Bytes of the first `characters` characters of s. */
static size_t bytes_of(const char *s, size_t length, size_t characters)
{
	size_t i = 0;
	while (i < length) {
		if (((unsigned char)s[i] & 0xC0) != 0x80 && characters-- == 0)
			break;
		i++;
	}
	return i;
}

static size_t width_of(const char *s, size_t length)
{
	size_t n = 0;
	for (size_t i = 0; i < length; i++)
		n += ((unsigned char)s[i] & 0xC0) != 0x80;
	return n;
}

static void put_word(struct wrapper *w, const char *word, size_t length)
{
	size_t width = width_of(word, length);
	if (!w->fresh && w->column + 1 + width > INW_COLUMNS)
		new_line(w);
	if (!w->fresh) {
		inw_text_add(w->t, " ");
		w->column++;
	}
	while (w->column + width > INW_COLUMNS) { /* one word wider than the line: cut it where the line ends */
		size_t cut = bytes_of(word, length, INW_COLUMNS - w->column);
		inw_text_addn(w->t, word, cut);
		word += cut;
		length -= cut;
		width = width_of(word, length);
		new_line(w);
	}
	inw_text_addn(w->t, word, length);
	w->column += width;
	w->fresh = false;
}

/* One word of the caller's text, cleaned piece by piece so that its length has no bound. */
static void put_dirty_word(struct wrapper *w, const char *word, size_t length)
{
	char *copy = malloc(length + 1), *clean = malloc(length + 1);
	if (copy && clean) {
		memcpy(copy, word, length);
		copy[length] = '\0';
		inw_show__plain(clean, length + 1, copy);
		put_word(w, clean, strlen(clean));
	} else {
		w->t->failed = 1;
	}
	free(copy);
	free(clean);
}

/* Length of the word at s; a number keeps the word behind it, so that no line ends between a number and its unit. */
static size_t word_at(const char *s)
{
	size_t n = strcspn(s, " \t\r\n");
	if (n && strspn(s, "0123456789.+-") == n && s[n] == ' ' && n < INW_COLUMNS / 4) {
		size_t unit = strcspn(s + n + 1, " \t\r\n");
		if (unit && unit < INW_COLUMNS / 4)
			n += 1 + unit;
	}
	return n;
}

char *inw_show_sentence(const char *s, enum inw_units units)
{
	struct inw_text t = {0};
	inw_sentence(&t, s, units);
	inw_text_add(&t, ""); /* so that an empty sentence is a text too */
	if (t.failed) {
		inw_text_free(&t);
		return NULL;
	}
	return t.s;
}

void inw_show__wrap(struct inw_page *p, const char *head, int hang, const char *text)
{
	struct wrapper w = {&p->t, inw_show__width(head), (size_t)hang, true};
	char *written = inw_show_sentence(text ? text : "", p->units);
	if (!written)
		p->t.failed = 1;
	inw_text_add(&p->t, head);
	for (const char *s = written ? written : ""; *s;) {
		size_t n = word_at(s);
		if (n)
			put_dirty_word(&w, s, n);
		s += n;
		s += strspn(s, " \t\r\n");
	}
	inw_text_add(&p->t, "\n");
	free(written);
}

void inw_show__wrapf(struct inw_page *p, const char *head, int hang, const char *format, ...)
{
	struct inw_text t = {0};
	va_list args;

	va_start(args, format);
	inw_text_vprintf(&t, format, args);
	va_end(args);
	if (t.failed)
		p->t.failed = 1;
	else
		inw_show__wrap(p, head, hang, t.s ? t.s : "");
	inw_text_free(&t);
}

/* ---- tables ------------------------------------------------------------------------------------------------------ */

enum { MAX_COLUMNS = 10, GUTTER = 2 };

static void pad_left(struct inw_text *t, const char *s, size_t width)
{
	size_t have = inw_show__width(s);
	spaces(t, width > have ? width - have : 0);
	inw_text_add(t, s);
}

static void measure(const struct inw_table *table, size_t widths[MAX_COLUMNS])
{
	char cell[INW_CELL];
	for (size_t c = 0; c < table->columns; c++) {
		widths[c] = inw_show__width(table->head[c + 1]);
		for (size_t r = 0; r < table->rows; r++) {
			table->cell(table->context, r, c, cell);
			size_t n = inw_show__width(cell);
			widths[c] = n > widths[c] ? n : widths[c];
		}
	}
}

static void put_row(struct inw_text *t, const struct inw_table *table, size_t row, const size_t widths[MAX_COLUMNS])
{
	char cell[INW_CELL];
	for (size_t c = 0; c < table->columns; c++) {
		table->cell(table->context, row, c, cell);
		spaces(t, GUTTER);
		pad_left(t, cell, widths[c]);
	}
	inw_text_add(t, "\n");
}

static void put_list(struct inw_page *p, const struct inw_table *table, int indent)
{
	char cell[INW_CELL], head[INW_COLUMNS];
	for (size_t r = 0; r < table->rows; r++) {
		snprintf(head, sizeof head, "%*s", indent, "");
		inw_show__wrap(p, head, indent + 2, table->name(table->context, r));
		for (size_t c = 0; c < table->columns; c++) {
			table->cell(table->context, r, c, cell);
			snprintf(head, sizeof head, "%*s%.40s: ", indent + 2, "", table->head[c + 1]);
			inw_show__wrap(p, head, indent + 4, cell);
		}
	}
}

static void put_name(struct inw_page *p, const struct inw_table *table, size_t row, const size_t room[2])
{
	char name[4 * INW_COLUMNS], head[INW_COLUMNS];
	size_t indent = room[0], width = room[1];
	const char *given = table->name(table->context, row);
	inw_show__plain(name, sizeof name, given);
	snprintf(head, sizeof head, "%*s", (int)indent, "");
	if (strlen(given) >= sizeof name || inw_show__width(name) > width) {
		inw_show__wrap(p, head, (int)indent + 2, given);
		spaces(&p->t, indent + width);
		return;
	}
	inw_text_add(&p->t, head);
	inw_text_add(&p->t, name);
	spaces(&p->t, width - inw_show__width(name));
}

void inw_show__table(struct inw_page *p, const struct inw_table *table, int indent)
{
	size_t widths[MAX_COLUMNS], cells = 0, longest = inw_show__width(table->head[0]);
	if (!table->rows)
		return;
	measure(table, widths);
	for (size_t c = 0; c < table->columns; c++)
		cells += widths[c] + GUTTER;
	for (size_t r = 0; r < table->rows; r++) {
		size_t n = inw_show__width(table->name(table->context, r));
		longest = n > longest ? n : longest;
	}
	if ((size_t)indent + cells + inw_show__width(table->head[0]) > INW_COLUMNS) {
		put_list(p, table, indent);
		return;
	}
	size_t space = INW_COLUMNS - (size_t)indent - cells;
	size_t room[2] = {(size_t)indent, longest < space ? longest : space};
	spaces(&p->t, room[0]);
	inw_text_add(&p->t, table->head[0]);
	spaces(&p->t, room[1] - inw_show__width(table->head[0]));
	for (size_t c = 0; c < table->columns; c++) {
		spaces(&p->t, GUTTER);
		pad_left(&p->t, table->head[c + 1], widths[c]);
	}
	inw_text_add(&p->t, "\n");
	for (size_t r = 0; r < table->rows; r++) {
		put_name(p, table, r, room);
		put_row(&p->t, table, r, widths);
	}
}

void inw_string_free(char *s)
{
	free(s);
}
