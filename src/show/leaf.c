/* SPDX-License-Identifier: MIT */
#include "show/leaf.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const struct { double size, line; bool bold; } styles[INW_LEAF_STYLES] = {
	[INW_LEAF_TITLE] = {18, 23, true}, [INW_LEAF_HEAD] = {11.5, 15, true},  [INW_LEAF_STRONG] = {9, 12.4, true},
	[INW_LEAF_BODY] = {9, 12.4, false}, [INW_LEAF_SMALL] = {7.6, 10.4, false}, [INW_LEAF_FINE] = {6.6, 8.8, false},
};

static struct inw_face_of_type face(enum inw_leaf_style style)
{
	return (struct inw_face_of_type){styles[style].size, styles[style].bold, INW_LEFT_ALIGNED, inw_ink_text};
}

/* ---- the text ---------------------------------------------------------------------------------------------------- */

static const struct { const char *plain, *print; } prints[] = {
	{"degC", "\xC2\xB0" "C"}, {"degF", "\xC2\xB0" "F"}, {"um", "\xC2\xB5m"}, {"ug", "\xC2\xB5g"},
};

/* The unit that begins at `s`, as it is printed; returns what comes behind it. */
static const char *put_unit(struct inw_text *out, const char *s)
{
	for (size_t i = 0; i < INW_COUNT(prints); i++) {
		size_t n = strlen(prints[i].plain);
		if (strncmp(s, prints[i].plain, n) == 0 && strcspn(s + n, " ,.;:)/") == 0) {
			inw_text_add(out, prints[i].print);
			s += n;
			break;
		}
	}
	for (; *s && *s != ' '; s++) {
		bool raised = (*s == '2' || *s == '3') && (s[-1] == 'm' || s[-1] == 't') && strcspn(s + 1, " ,.;:)/") == 0;
		inw_text_addn(out, raised ? (*s == '2' ? "\xC2\xB2" : "\xC2\xB3") : s, raised ? 2 : 1);
	}
	return s;
}

static bool is_number(const char *s, size_t n)
{
	size_t digits = 0;
	for (size_t i = 0; i < n; i++) {
		digits += s[i] >= '0' && s[i] <= '9';
		if (!strchr("0123456789.+-(e", s[i]))
			return false;
	}
	return digits > 0;
}

/* Words as they are; behind a number its unit in print. */
static void put_print(struct inw_text *out, const char *s)
{
	while (*s) {
		size_t n = strcspn(s, " ");
		bool number = is_number(s, n);
		inw_text_addn(out, s, n);
		s += n;
		if (*s == ' ') {
			inw_text_add(out, " ");
			s++;
			if (number)
				s = put_unit(out, s);
		}
	}
}

/* The caller's (free), NULL when memory is out. */
static char *print_of(struct inw_leaf *l, const char *text)
{
	struct inw_text out = {0};
	char *written = inw_show_sentence(text ? text : "", l->units), *plain = written ? malloc(strlen(written) + 1) : NULL;
	if (plain)
		put_print(&out, inw_show__plain(plain, strlen(written) + 1, written));
	inw_text_add(&out, "");
	l->failed |= !plain || out.failed;
	if (!plain || out.failed)
		inw_text_free(&out);
	free(plain);
	free(written);
	return out.s;
}

/* ---- lines ------------------------------------------------------------------------------------------------------- */

/* Bytes of the character at `s`, and its width. */
static size_t character(struct inw_leaf *l, enum inw_leaf_style style, const char *s, double *width)
{
	char one[8] = {s[0]};
	size_t n = 1;
	if ((unsigned char)s[0] < 0x80) {
		double *kept = &l->wide[style][(unsigned char)s[0]];
		if (!(*kept > 0))
			*kept = inw_draw__width(l->c, face(style), one);
		*width = *kept;
		return 1;
	}
	for (; n < 4 && ((unsigned char)s[n] & 0xC0) == 0x80; n++)
		one[n] = s[n];
	*width = inw_draw__width(l->c, face(style), one);
	return n;
}

enum { LONGEST_LINE = 300 };

/* How many bytes of `s` stand on a line of width `w`: up to a space, else behind a mark that may end a line, else as many as
 * fit. A number keeps its unit. At least one character. */
static size_t line_of(struct inw_leaf *l, enum inw_leaf_style style, double w, const char *s)
{
	size_t i = 0, space = 0, mark = 0, word = 0;
	double used = 0, width;
	while (s[i]) {
		size_t n = character(l, style, s + i, &width);
		if (i && s[i] == ' ') {
			if (!is_number(s + word, i - word))
				space = i;
			word = i + 1;
		} else if (i && (used + width > w || i + n > LONGEST_LINE)) {
			return space ? space : mark ? mark : i;
		}
		used += width;
		i += n;
		if (strchr("./_-,])", s[i - 1]))
			mark = i;
	}
	return i;
}

static const char *behind(const char *s, size_t n)
{
	return s + n + strspn(s + n, " ");
}

static size_t count_lines(struct inw_leaf *l, enum inw_leaf_style style, double w, const char *s)
{
	size_t n = 0;
	for (; *s; n++)
		s = behind(s, line_of(l, style, w, s));
	return n;
}

/* The next line of `s` with its upper edge at `y`; returns what is left. */
static const char *put_line(struct inw_leaf *l, const struct inw_leaf_cell *cell, double y, const char *s)
{
	char line[LONGEST_LINE + 8];
	size_t n = line_of(l, cell->style, cell->w, s);
	memcpy(line, s, n);
	line[n] = '\0';
	inw_draw__text(l->c, (struct inw_spot){INW_LEAF_LEFT + cell->x, y + styles[cell->style].size}, 0, face(cell->style), line);
	return behind(s, n);
}

/* ---- pages ------------------------------------------------------------------------------------------------------- */

double inw_leaf__width(const struct inw_leaf *l)
{
	return l->w - INW_LEAF_LEFT - INW_LEAF_RIGHT;
}

static void put_foot(struct inw_leaf *l)
{
	const double at = l->y;
	char pages[64];
	const struct inw_face_of_type right = {7.6, false, INW_RIGHT_ALIGNED, inw_ink_text};
	inw_draw__ink(l->c, inw_ink_grey);
	inw_draw__line(l->c, (struct inw_spot){INW_LEAF_LEFT, l->h - INW_LEAF_BOTTOM + 10},
	               (struct inw_spot){l->w - INW_LEAF_RIGHT, l->h - INW_LEAF_BOTTOM + 10}, 0.5);
	snprintf(pages, sizeof pages, "page %zu of %zu", l->page, l->pages);
	double y = l->h - INW_LEAF_BOTTOM + 14, w = inw_leaf__width(l);
	inw_draw__text(l->c, (struct inw_spot){l->w - INW_LEAF_RIGHT, y + 7.6}, 0, right, pages);
	/* the one text that may be shortened: it stands whole at the head of the first page */
	inw_draw__text(l->c, (struct inw_spot){INW_LEAF_LEFT, y + 7.6}, w - 90, face(INW_LEAF_SMALL), l->name);
	struct inw_leaf_cell all = {0, w, INW_LEAF_FINE, inw_show__disclaimer};
	y += 11;
	for (const char *s = all.text; *s; y += styles[INW_LEAF_FINE].line)
		s = put_line(l, &all, y, s);
	l->y = at;
}

void inw_leaf__begin(struct inw_leaf *l)
{
	l->page = 1;
	l->y = INW_LEAF_TOP;
}

void inw_leaf__end(struct inw_leaf *l)
{
	put_foot(l);
	cairo_show_page(l->c);
}

static bool fits(const struct inw_leaf *l, double height)
{
	return l->y + height <= l->h - INW_LEAF_BOTTOM;
}

void inw_leaf__need(struct inw_leaf *l, double height)
{
	if (fits(l, height) || !(l->y > INW_LEAF_TOP))
		return;
	inw_leaf__end(l);
	l->page++;
	l->y = INW_LEAF_TOP;
}

void inw_leaf__space(struct inw_leaf *l, double height)
{
	if (l->y > INW_LEAF_TOP)
		l->y += height;
}

/* ---- rows and paragraphs ----------------------------------------------------------------------------------------- */

/* Line by line, so that a row may go on on the next page; it begins there if it fits there as a whole. */
static void put_rows(struct inw_leaf *l, const struct inw_leaf_cell *cell, size_t cells, const char **rest)
{
	double tall = 0, step = 0;
	for (size_t i = 0; i < cells; i++) {
		double line = styles[cell[i].style].line, all = line * (double)count_lines(l, cell[i].style, cell[i].w, rest[i]);
		tall = all > tall ? all : tall;
		step = line > step ? line : step;
	}
	if (tall <= (l->h - INW_LEAF_TOP - INW_LEAF_BOTTOM) / 3)
		inw_leaf__need(l, tall);
	double most = 0;
	for (bool more = true; more; most = 0) {
		more = false;
		inw_leaf__need(l, step);
		for (size_t i = 0; i < cells; i++) {
			double y = l->y;
			for (; *rest[i] && fits(l, y - l->y + styles[cell[i].style].line); y += styles[cell[i].style].line)
				rest[i] = put_line(l, &cell[i], y, rest[i]);
			most = y - l->y > most ? y - l->y : most;
			more |= *rest[i] != '\0';
		}
		l->y += most;
	}
}

void inw_leaf__row(struct inw_leaf *l, const struct inw_leaf_cell *cell, size_t cells)
{
	char *print[INW_LEAF_CELLS];
	const char *rest[INW_LEAF_CELLS];
	bool good = true;
	for (size_t i = 0; i < cells; i++) {
		rest[i] = print[i] = print_of(l, cell[i].text);
		good &= print[i] != NULL;
	}
	if (good)
		put_rows(l, cell, cells, rest);
	for (size_t i = 0; i < cells; i++)
		free(print[i]);
}

void inw_leaf__rule(struct inw_leaf *l)
{
	inw_leaf__space(l, 1.5);
	if (!fits(l, 2) || !(l->y > INW_LEAF_TOP))
		return;
	inw_draw__ink(l->c, inw_ink_faint);
	inw_draw__line(l->c, (struct inw_spot){INW_LEAF_LEFT, l->y}, (struct inw_spot){l->w - INW_LEAF_RIGHT, l->y}, 0.5);
	l->y += 2;
}

void inw_leaf__text(struct inw_leaf *l, enum inw_leaf_style style, double indent, const char *text)
{
	inw_leaf__row(l, &(struct inw_leaf_cell){indent, inw_leaf__width(l) - indent, style, text}, 1);
}

void inw_leaf__textf(struct inw_leaf *l, enum inw_leaf_style style, double indent, const char *format, ...)
{
	struct inw_text t = {0};
	va_list args;

	va_start(args, format);
	inw_text_vprintf(&t, format, args);
	va_end(args);
	if (!t.failed && t.s)
		inw_leaf__text(l, style, indent, t.s);
	l->failed |= t.failed != 0;
	inw_text_free(&t);
}

void inw_leaf__head(struct inw_leaf *l, const char *text)
{
	inw_leaf__space(l, 9);
	inw_leaf__need(l, 70); /* no heading at the foot of a page */
	inw_leaf__text(l, INW_LEAF_HEAD, 0, text);
	inw_draw__ink(l->c, inw_ink_text);
	inw_draw__line(l->c, (struct inw_spot){INW_LEAF_LEFT, l->y}, (struct inw_spot){l->w - INW_LEAF_RIGHT, l->y}, 0.8);
	l->y += 5;
}

void inw_leaf__item(struct inw_leaf *l, enum inw_leaf_style style, const char *text)
{
	const double dot = 9;
	const struct inw_leaf_cell cell[] = {{0, dot, style, "\xE2\x80\xA2"}, {dot, inw_leaf__width(l) - dot, style, text}};
	inw_leaf__row(l, cell, 2);
}
