/* SPDX-License-Identifier: MIT */
/* rewrite.c: libyaml's own tokens say where a scalar begins and ends, so that what is replaced is what was read. */
#include "design/rewrite.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

#include "design/units.h"

/* ---- tokens ------------------------------------------------------------------------------------------------------ */

/* A walk over the tokens. Properties (anchor, tag) stand before their scalar, and a place may mean them. */
struct walk {
	yaml_parser_t parser;
	yaml_token_t token;
	bool open, property;
	yaml_mark_t property_at;
};

static bool walk_begin(struct walk *w, const char *bytes, size_t length)
{
	*w = (struct walk){0};
	if (!yaml_parser_initialize(&w->parser))
		return false;
	yaml_parser_set_input_string(&w->parser, (const unsigned char *)bytes, length);
	return true;
}

static void walk_end(struct walk *w)
{
	if (w->open)
		yaml_token_delete(&w->token);
	yaml_parser_delete(&w->parser);
}

/* False at the end, or where the text is no YAML. */
static bool walk_on(struct walk *w)
{
	if (w->open) {
		bool was = w->token.type == YAML_ANCHOR_TOKEN || w->token.type == YAML_TAG_TOKEN;
		if (was && !w->property)
			w->property_at = w->token.start_mark;
		w->property = was;
		yaml_token_delete(&w->token);
	}
	w->open = yaml_parser_scan(&w->parser, &w->token) != 0;
	return w->open && w->token.type != YAML_NO_TOKEN;
}

static bool is_at(yaml_mark_t m, int line, int column)
{
	return line > 0 && column > 0 && m.line == (size_t)line - 1 && m.column == (size_t)column - 1;
}

static bool begins_at(const struct walk *w, int line, int column)
{
	return w->token.type == YAML_SCALAR_TOKEN &&
	       (is_at(w->token.start_mark, line, column) || (w->property && is_at(w->property_at, line, column)));
}

static bool says(const yaml_token_t *t, const char *value)
{
	return t->data.scalar.length == strlen(value) && memcmp(t->data.scalar.value, value, t->data.scalar.length) == 0;
}

/* ---- where the edits go ------------------------------------------------------------------------------------------ */

struct spot {
	const struct inw_edit *edit;
	size_t from, to;      /* bytes */
	size_t token;         /* its number */
	yaml_scalar_style_t style;
	bool found, quoted;   /* quoted: plain would not say it */
};

/* Bytes before the sign with this number; libyaml counts signs and not bytes, and leaves a byte order mark out. */
static size_t byte_of(const struct inw_rewritable *t, size_t sign)
{
	size_t at = t->length >= 3 && memcmp(t->bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
	while (at < t->length && sign--) {
		at++;
		while (at < t->length && ((unsigned char)t->bytes[at] & 0xC0) == 0x80)
			at++;
	}
	return at;
}

static void find_spots(const struct inw_rewritable *t, struct walk *w, struct spot *spot, size_t count)
{
	for (size_t number = 0; walk_on(w); number++)
		for (size_t i = 0; i < count; i++) {
			if (!begins_at(w, spot[i].edit->line, spot[i].edit->column))
				continue;
			spot[i].found = true;
			spot[i].from = byte_of(t, w->token.start_mark.index);
			spot[i].to = byte_of(t, w->token.end_mark.index);
			spot[i].token = number;
			spot[i].style = w->token.data.scalar.style;
		}
}

/* In the order of the text; count is small. */
static void sort_spots(struct spot *spot, size_t count)
{
	for (size_t i = 1; i < count; i++)
		for (size_t k = i; k > 0 && spot[k].from < spot[k - 1].from; k--) {
			struct spot s = spot[k];
			spot[k] = spot[k - 1];
			spot[k - 1] = s;
		}
}

static const char *spot_fault(const struct spot *s, const struct spot *before)
{
	if (!s->found)
		return "no value begins here";
	if (s->style == YAML_LITERAL_SCALAR_STYLE || s->style == YAML_FOLDED_SCALAR_STYLE)
		return "a text block cannot be replaced by a number";
	for (const char *c = s->edit->value; *c; c++)
		if ((unsigned char)*c < 0x20 || *c == 0x7F)
			return "what shall stand here holds a control character";
	return before && before->from == s->from ? "two changes of the same value" : NULL;
}

/* ---- the new text ------------------------------------------------------------------------------------------------ */

static void put_quoted(struct inw_text *out, const char *value, bool single)
{
	inw_text_add(out, single ? "'" : "\"");
	for (const char *c = value; *c; c++) {
		if (single ? *c == '\'' : *c == '"' || *c == '\\')
			inw_text_add(out, single ? "'" : "\\");
		inw_text_addn(out, c, 1);
	}
	inw_text_add(out, single ? "'" : "\"");
}

static void put_text(const struct inw_rewritable *t, const struct spot *spot, size_t count, struct inw_text *out)
{
	size_t at = 0;
	for (size_t i = 0; i < count; i++) {
		inw_text_addn(out, t->bytes + at, spot[i].from - at);
		if (spot[i].style == YAML_PLAIN_SCALAR_STYLE && !spot[i].quoted)
			inw_text_add(out, spot[i].edit->value);
		else
			put_quoted(out, spot[i].edit->value, spot[i].style == YAML_SINGLE_QUOTED_SCALAR_STYLE);
		at = spot[i].to;
	}
	inw_text_addn(out, t->bytes + at, t->length - at);
}

/* W1, on the two texts side by side. */
static bool same_tokens(struct walk *was, struct walk *is, const struct spot *spot, size_t count)
{
	size_t next = 0;
	for (size_t number = 0;; number++) {
		bool more = walk_on(was);
		if (more != walk_on(is))
			return false;
		if (!more)
			return next == count && was->open && is->open;
		if (was->token.type != is->token.type)
			return false;
		if (was->token.type != YAML_SCALAR_TOKEN)
			continue;
		if (next < count && spot[next].token == number) {
			if (!says(&is->token, spot[next++].edit->value))
				return false;
		} else if (was->token.data.scalar.length != is->token.data.scalar.length ||
		           memcmp(was->token.data.scalar.value, is->token.data.scalar.value, is->token.data.scalar.length)) {
			return false;
		}
	}
}

/* 1 it holds, 0 it does not, -1 memory is out. */
static int holds(const struct inw_rewritable *t, const struct inw_text *new, const struct spot *spot, size_t count)
{
	struct walk was, is;
	if (!walk_begin(&was, t->bytes, t->length))
		return -1;
	if (!walk_begin(&is, new->s, new->length)) {
		walk_end(&was);
		return -1;
	}
	int good = same_tokens(&was, &is, spot, count) ? 1 : 0;
	if (was.parser.error == YAML_MEMORY_ERROR || is.parser.error == YAML_MEMORY_ERROR)
		good = -1;
	walk_end(&was);
	walk_end(&is);
	return good;
}

/* Plain where it was plain; where that does not hold, all of them in quotes. */
static enum inw_status write_text(const struct inw_rewritable *t, struct spot *spot, size_t count, struct inw_text *out,
                                  struct inw_diags *diags)
{
	for (int quoted = 0; quoted < 2; quoted++) {
		struct inw_text new = {0};
		for (size_t i = 0; i < count; i++)
			spot[i].quoted = quoted != 0;
		put_text(t, spot, count, &new);
		int good = new.failed ? -1 : holds(t, &new, spot, count);
		if (good > 0)
			inw_text_addn(out, new.s, new.length);
		inw_text_free(&new);
		if (good < 0 || out->failed)
			return INW_NO_MEMORY;
		if (good > 0)
			return INW_OK;
	}
	inw_diag_add(diags, INW_ERROR, t->name, spot[0].edit->line, spot[0].edit->column, "'%.60s' cannot be written here",
	             spot[0].edit->value);
	return INW_BAD_INPUT;
}

enum inw_status inw_rewrite(const struct inw_rewritable *text, const struct inw_edit *edit, size_t edits, struct inw_text *out,
                            struct inw_diags *diags)
{
	struct spot spot[INW_MOST_EDITS] = {0};
	struct walk w;
	enum inw_status s = INW_OK;

	if (edits < 1 || edits > INW_MOST_EDITS) {
		inw_diag_add(diags, INW_ERROR, text->name, 0, 0, "1 to %d values can be changed at once, not %zu", INW_MOST_EDITS, edits);
		return INW_BAD_INPUT;
	}
	if (!walk_begin(&w, text->bytes, text->length))
		return INW_NO_MEMORY;
	for (size_t i = 0; i < edits; i++)
		spot[i].edit = &edit[i];
	find_spots(text, &w, spot, edits);
	if (w.parser.error == YAML_MEMORY_ERROR)
		s = INW_NO_MEMORY;
	walk_end(&w);
	sort_spots(spot, edits);
	for (size_t i = 0; i < edits && s != INW_NO_MEMORY; i++) {
		const char *fault = spot_fault(&spot[i], i ? &spot[i - 1] : NULL);
		if (fault) {
			inw_diag_add(diags, INW_ERROR, text->name, spot[i].edit->line, spot[i].edit->column, "%s", fault);
			s = INW_BAD_INPUT;
		}
	}
	return s == INW_OK ? write_text(text, spot, edits, out, diags) : s;
}

enum inw_status inw_rewrite_says(const struct inw_rewritable *text, int line, int column, char *out, size_t size)
{
	struct walk w;
	bool found = false, fits = false;

	if (!walk_begin(&w, text->bytes, text->length))
		return INW_NO_MEMORY;
	while (!found && walk_on(&w))
		if (begins_at(&w, line, column)) {
			size_t n = w.token.data.scalar.length;
			found = true;
			fits = n < size;
			if (fits) {
				memcpy(out, w.token.data.scalar.value, n);
				out[n] = '\0';
			}
		}
	bool lacks = w.parser.error == YAML_MEMORY_ERROR;
	walk_end(&w);
	return fits ? INW_OK : lacks ? INW_NO_MEMORY : INW_BAD_INPUT;
}

enum inw_status inw_rewrite_each(const struct inw_rewritable *text, void (*visit)(void *context, const struct inw_scalar *s), void *context)
{
	struct walk w;

	if (!walk_begin(&w, text->bytes, text->length))
		return INW_NO_MEMORY;
	while (walk_on(&w))
		if (w.token.type == YAML_SCALAR_TOKEN) {
			yaml_mark_t at = w.token.start_mark, before = w.property ? w.property_at : at;
			visit(context, &(struct inw_scalar){(int)at.line + 1, (int)at.column + 1, (int)before.line + 1, (int)before.column + 1,
			                                    (const char *)w.token.data.scalar.value, w.token.data.scalar.length});
		}
	yaml_error_type_t error = w.parser.error;
	walk_end(&w);
	return error == YAML_NO_ERROR ? INW_OK : error == YAML_MEMORY_ERROR ? INW_NO_MEMORY : INW_BAD_INPUT;
}

/* ---- numbers ----------------------------------------------------------------------------------------------------- */

enum { UNIT_SIZE = 32 };

/* What stands behind the first number, up to a range. */
static void unit_of(const char *old, char unit[UNIT_SIZE])
{
	size_t n = strspn(old, " +-");
	n += strspn(old + n, ".0123456789");
	if ((old[n] == 'e' || old[n] == 'E') && old[n + 1] && strchr("+-0123456789", old[n + 1]))
		n += 1 + strspn(old + n + 1, "+-0123456789");
	n += strspn(old + n, " ");
	size_t length = strcspn(old + n, "(");
	while (length && old[n + length - 1] == ' ')
		length--;
	snprintf(unit, UNIT_SIZE, "%.*s", (int)length, length < UNIT_SIZE ? old + n : "");
}

/* SI value of so many of a unit; NaN when the unit does not fit. */
static double in_SI(double number, const char *unit, enum inw_dim dim)
{
	char text[64 + UNIT_SIZE];
	double value = NAN;
	snprintf(text, sizeof text, "%.17g%s%s", number, *unit ? " " : "", unit);
	return inw_parse_quantity(text, dim, &value) ? NAN : value;
}

/* The unit of `old`, or the first that fits. False when there is none. */
static bool choose_unit(const char *old, enum inw_dim dim, char unit[UNIT_SIZE])
{
	unit_of(old, unit);
	if (isfinite(in_SI(1, unit, dim)))
		return true;
	const char *fitting = inw_units_fitting(dim);
	snprintf(unit, UNIT_SIZE, "%.*s", (int)strcspn(fitting, ", "), fitting);
	return isfinite(in_SI(1, unit, dim));
}

/* How many of the unit; units may have a zero of their own (degC). */
static double in_unit(double value, const char *unit, enum inw_dim dim)
{
	double zero = dim == INW_DIM_TEMPERATURE ? in_SI(1, unit, dim) - (in_SI(2, unit, dim) - in_SI(1, unit, dim)) : 0;
	double one = dim == INW_DIM_TEMPERATURE ? in_SI(2, unit, dim) - in_SI(1, unit, dim) : in_SI(1, unit, dim);
	return (value - zero) / one;
}

static char *clock_text(char *out, size_t size, double value)
{
	const double minute = 60, day = 24 * 60; /* s; minutes: by definition */
	double minutes = round(value / minute);
	if (!(fabs(value - minutes * minute) < 0.5) || minutes < 0 || minutes > day) /* half a second: it was not a whole minute */
		return NULL;
	snprintf(out, size, "%02d:%02d", (int)minutes / 60, (int)minutes % 60);
	return out;
}

char *inw_rewrite_number(char *out, size_t size, const char *old, enum inw_dim dim, double value)
{
	char unit[UNIT_SIZE];
	if (!isfinite(value))
		return NULL;
	if (dim == INW_DIM_CLOCK)
		return clock_text(out, size, value);
	if (!choose_unit(old, dim, unit))
		return NULL;
	double number = in_unit(value, unit, dim);
	if (fabs(number) < 1e-12) /* rounding of a zero */
		number = 0;
	int n = snprintf(out, size, "%.6g%s%s", number, *unit ? " " : "", unit);
	return n > 0 && (size_t)n < size ? out : NULL;
}

char *inw_rewrite_range(char *out, size_t size, const char *old, enum inw_dim dim, const double value_low_high[3])
{
	char text[3][64];
	for (int i = 0; i < 3; i++)
		if (dim == INW_DIM_CLOCK || !inw_rewrite_number(text[i], sizeof text[i], old, dim, value_low_high[i]))
			return NULL;
	int n = snprintf(out, size, "%s (%s .. %s)", text[0], text[1], text[2]);
	return n > 0 && (size_t)n < size ? out : NULL;
}
