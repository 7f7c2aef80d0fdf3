/* SPDX-License-Identifier: MIT */
/* csv.c: a series as CSV after RFC 4180: SI units in the header's names, lines that end in CR LF, an empty field where
 * there is no number. The second column of a day repeats the time as the clock shows it. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "design/units.h"
#include "show/lines.h"

enum { DIGITS = 15 }; /* as in JSON */

/* A field, in quotes when RFC 4180 (2, rules 5 to 7) wants it so. */
static void put_field(struct inw_text *t, const char *s)
{
	if (!strpbrk(s, ",\"\r\n")) {
		inw_text_add(t, s);
		return;
	}
	inw_text_add(t, "\"");
	for (; *s; s++) {
		inw_text_addn(t, s, 1);
		if (*s == '"')
			inw_text_add(t, "\"");
	}
	inw_text_add(t, "\"");
}

static void put_header(struct inw_text *t, const struct inw_series *s, bool clock)
{
	for (size_t i = 0; i < s->columns; i++) {
		struct inw_text name = {0};
		inw_text_printf(&name, "%s%s", s->name[i], inw_units_json_suffix(s->dim[i]));
		if (i)
			inw_text_add(t, ",");
		if (name.failed)
			t->failed = 1;
		else
			put_field(t, name.s);
		inw_text_free(&name);
		if (i == 0 && clock)
			inw_text_add(t, ",clock");
	}
	inw_text_add(t, "\r\n");
}

static void put_clock(struct inw_text *t, double since_midnight)
{
	long s = lround(fmod(since_midnight, 86400)) % 86400;
	inw_text_printf(t, ",%02ld:%02ld:%02ld", s / 3600, s / 60 % 60, s % 60);
}

static void put_row(struct inw_text *t, const struct inw_series *s, const double *v, double start_clock_s)
{
	char number[INW_NUMBER_SIZE];
	for (size_t i = 0; i < s->columns; i++) {
		if (i)
			inw_text_add(t, ",");
		if (isfinite(v[i]))
			inw_text_add(t, inw_number_write(number, v[i], DIGITS));
		if (i == 0 && !isnan(start_clock_s))
			put_clock(t, start_clock_s + v[0]);
	}
	inw_text_add(t, "\r\n");
}

/* `start_clock_s` NAN: without the clock. */
static char *write_series(const struct inw_series *s, double start_clock_s)
{
	struct inw_text t = {0};

	put_header(&t, s, !isnan(start_clock_s));
	for (size_t i = 0; i < s->rows && !t.failed; i++)
		put_row(&t, s, s->value + i * s->columns, start_clock_s);
	if (t.failed) {
		inw_text_free(&t);
		return NULL;
	}
	return t.s;
}

char *inw_show_day_csv(const struct inw_day_report *r)
{
	return write_series(&r->series, r->start_clock_s);
}

char *inw_show_life_csv(const struct inw_life_report *r)
{
	return write_series(&r->series, NAN);
}

/* ---- a map: a row for each point ---- */

/* "id", or "id@job" where there are several jobs. Names belong to the arena. */
static const char *column_name(struct inw_arena *arena, const struct inw_map *m, size_t verdict, const char *what)
{
	const struct inw_map_verdict *v = &m->verdicts[verdict];
	bool jobs = strcmp(m->verdicts[m->verdict_count - 1].job, m->verdicts[0].job) != 0; /* they stand job by job */

	return inw_arena_printf(arena, "%s%s%s%s", v->id, jobs ? "@" : "", jobs ? v->job : "", what);
}

static int name_columns(const struct inw_map *m, struct inw_arena *arena, const char **name, enum inw_dim *dim)
{
	size_t c = 0;

	for (size_t k = 0; k < m->axes; k++, c++) {
		name[c] = m->axis[k].quantity->path;
		dim[c] = m->axis[k].quantity->dim;
	}
	for (size_t i = 0; i < m->verdict_count; i++, c += 2) {
		name[c] = column_name(arena, m, i, "");
		name[c + 1] = column_name(arena, m, i, ".margin");
		dim[c] = m->verdicts[i].dim;
		dim[c + 1] = inw_show__difference_dim(m->verdicts[i].dim);
		if (!name[c] || !name[c + 1])
			return -1;
	}
	return 0;
}

static void fill_row(const struct inw_map *m, size_t point, double *v)
{
	*v++ = m->axis[0].at[point % m->axis[0].count];
	if (m->axes == 2)
		*v++ = m->axis[1].at[point / m->axis[0].count];
	for (size_t i = 0; i < m->verdict_count; i++) {
		*v++ = m->verdicts[i].value[point];
		*v++ = m->verdicts[i].margin[point];
	}
}

char *inw_show_map_csv(const struct inw_map *m)
{
	struct inw_arena *arena = inw_arena_new((size_t)256 << 20);
	struct inw_series s = {.columns = m->axes + 2 * m->verdict_count, .rows = m->points};
	const char **name = arena ? inw_arena_alloc(arena, s.columns * sizeof *name) : NULL;
	enum inw_dim *dim = arena ? inw_arena_alloc(arena, s.columns * sizeof *dim) : NULL;
	double *value = arena ? inw_arena_alloc(arena, s.columns * s.rows * sizeof *value + 1) : NULL;
	char *text = NULL;

	if (name && dim && value && name_columns(m, arena, name, dim) == 0) {
		for (size_t i = 0; i < s.rows; i++)
			fill_row(m, i, value + i * s.columns);
		s.name = name;
		s.dim = dim;
		s.value = value;
		text = write_series(&s, NAN);
	}
	inw_arena_free(arena);
	return text;
}
