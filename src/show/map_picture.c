/* SPDX-License-Identifier: MIT */
/* map_picture.c: a map drawn. What is met stays clear, what is missed is hatched, what has no answer is dotted: nothing is said
 * by colour alone. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/contour.h"
#include "show/canvas.h"
#include "show/chart.h"

enum {
	LEFT = 86, TOP = INW_PAGE_HEADER + 14, PLANE_HIGH = 620, CURVES_HIGH = 400, FOOT = 128, LEGEND_LINE = 18, SIDE = 410, MOST_CURVES = 8 /* as many styles as there are */,
	SCRATCH = 32 << 20, TEXT = 420
};

/* A unit as a reader of the axis knows it: shown = (SI - zero) / one. */
struct unit { double zero, one; char name[24]; };

struct map_drawing {
	const struct inw_map *m;
	enum inw_units units;
	struct inw_arena *scratch;
	double height;
	cairo_t *c;
	struct inw_rect plot;
	struct unit unit[2];
	struct inw_axis axis[2];
	bool failed;
};

static const struct inw_face_of_type plain = {10.5, false, INW_LEFT_ALIGNED, {0.10, 0.10, 0.12}}, bold = {13, true, INW_LEFT_ALIGNED, {0.10, 0.10, 0.12}};

/* ---- axes of any quantity, in the unit in which its far end is written ---- */

static struct unit unit_of(enum inw_dim dim, double far, enum inw_units units)
{
	struct unit u = {0, 1, ""};
	char text[INW_CELL], one[INW_CELL + 4];
	double end[2] = {0, 1};

	if (dim == INW_DIM_CLOCK)
		return (struct unit){0, 3600, "h"};
	inw_format(text, sizeof text, far, dim, units);
	const char *name = text + strspn(text, "+-0123456789.e");
	while (*name == ' ')
		name++;
	for (int k = 0; k < 2; k++) {
		snprintf(one, sizeof one, "%d %s", k, name);
		if (inw_parse_quantity(one, dim, &end[k]))
			return u; /* a pure number */
	}
	u.zero = end[0];
	u.one = end[1] - end[0];
	snprintf(u.name, sizeof u.name, "%.23s", name);
	return u;
}

static double shown(const struct unit *u, double SI)
{
	return (SI - u->zero) / u->one;
}

static double x_of(const struct map_drawing *d, double SI)
{
	return inw_draw__on(&d->axis[0], shown(&d->unit[0], SI));
}

static double y_of(const struct map_drawing *d, double SI)
{
	return inw_draw__on(&d->axis[1], shown(&d->unit[1], SI));
}

static void set_axis(struct map_drawing *d, int k, double a, double b)
{
	const struct inw_map_axis *axis = &d->m->axis[k];
	double from = axis->at[0], to = axis->at[axis->count - 1];

	d->unit[k] = unit_of(axis->quantity->dim, to, d->units);
	d->axis[k] = inw_draw__axis(shown(&d->unit[k], from), shown(&d->unit[k], to), a, b, INW_DIM_NONE, INW_SI);
}

static void axis_words(const struct map_drawing *d, int k, char *out, size_t size)
{
	const struct unit *u = &d->unit[k];

	snprintf(out, size, "%.300s%s%s", d->m->axis[k].quantity->path, *u->name ? ", " : "", u->name);
}

static void name_level(const struct map_drawing *d, double y)
{
	char text[TEXT];
	const struct inw_face_of_type f = {11.5, true, INW_CENTRED, inw_ink_text};

	axis_words(d, 0, text, sizeof text);
	inw_draw__text(d->c, (struct inw_spot){d->plot.x + d->plot.w / 2, y}, d->plot.w, f, text);
}

static void name_upright(const struct map_drawing *d)
{
	char text[TEXT];
	const struct inw_face_of_type f = {11.5, true, INW_CENTRED, inw_ink_text};

	axis_words(d, 1, text, sizeof text);
	cairo_save(d->c);
	cairo_translate(d->c, d->plot.x - 50, d->plot.y + d->plot.h / 2);
	cairo_rotate(d->c, -1.5707963267948966);
	inw_draw__text(d->c, (struct inw_spot){0, 0}, d->plot.h, f, text);
	cairo_restore(d->c);
}

/* ---- words ---- */

static bool met_at(const struct inw_map_verdict *v, size_t i)
{
	return v->margin[i] >= 0;
}

static size_t points_met(const struct inw_map *m, const struct inw_map_verdict *v)
{
	size_t n = 0;

	for (size_t i = 0; i < m->points; i++)
		n += met_at(v, i);
	return n;
}

static bool one_job(const struct inw_map *m)
{
	return strcmp(m->verdicts[m->verdict_count - 1].job, m->verdicts[0].job) == 0; /* they stand job by job */
}

static void verdict_words(const struct map_drawing *d, const struct inw_map_verdict *v, char out[TEXT])
{
	bool job = !one_job(d->m);

	snprintf(out, TEXT, "%.220s%s%.80s", v->title, job ? ", job " : "", job ? v->job : "");
}

static void answer_words(const struct map_drawing *d, char out[TEXT])
{
	const struct inw_map *m = d->m;
	size_t met = 0, untold = 0, n = 0;
	char from[INW_CELL], to[INW_CELL];

	for (size_t i = 0; i < m->points; i++)
		met += m->least[i] >= 0;
	for (size_t i = 0; i < m->verdict_count; i++)
		untold += m->verdicts[i].untold;
	const char *all = m->named ? "All that was asked for" : untold ? "Everything that can be told" : "Everything";
	if (!met) {
		snprintf(out, TEXT, "Nowhere here is %s met.", m->named ? "all that was asked for" : untold ? "everything that can be told" : "everything");
	} else if (m->axes == 2) {
		snprintf(out, TEXT, "%s is met on %.0f %% of the map.", all, 100.0 * (double)met / (double)m->points);
	} else {
		n = (size_t)snprintf(out, TEXT, "%s is met", all);
		for (size_t i = 0; i < m->met_count && n < TEXT - 2 * INW_CELL - 16; i++) {
			inw_draw__number(from, sizeof from, m->met[i].from, m->axis[0].quantity->dim, d->units);
			inw_draw__number(to, sizeof to, m->met[i].to, m->axis[0].quantity->dim, d->units);
			n += (size_t)snprintf(out + n, TEXT - n, "%s from %s to %s", i ? " and" : "", from, to);
		}
		snprintf(out + n, TEXT - n, ".");
	}
}

static void head(const struct map_drawing *d)
{
	char text[TEXT], now[2][INW_CELL];
	const struct inw_map *m = d->m;
	const struct inw_face_of_type big = {20, true, INW_LEFT_ALIGNED, inw_ink_text}, grey = {11.5, false, INW_LEFT_ALIGNED, inw_ink_grey},
	                              answer = {13, true, INW_LEFT_ALIGNED, inw_ink_text};
	const double room = INW_PAGE_WIDTH - 2 * INW_PAGE_MARGIN;

	inw_draw__text(d->c, (struct inw_spot){INW_PAGE_MARGIN, INW_PAGE_MARGIN + 20}, room, big, m->title ? m->title : "");
	for (size_t k = 0; k < m->axes; k++)
		inw_draw__number(now[k], sizeof now[k], m->axis[k].now, m->axis[k].quantity->dim, d->units);
	snprintf(text, sizeof text, "%s; each verdict in its worst state; the design has %s%s%s",
	         m->sure ? "over the whole range of what is assumed" : "at best estimates of all other inputs", now[0], m->axes == 2 ? " and " : "", m->axes == 2 ? now[1] : "");
	inw_draw__text(d->c, (struct inw_spot){INW_PAGE_MARGIN, INW_PAGE_MARGIN + 40}, room, grey, text);
	answer_words(d, text);
	inw_draw__text(d->c, (struct inw_spot){INW_PAGE_MARGIN, INW_PAGE_MARGIN + 64}, room, answer, text);
}

/* ---- areas ---- */

/* Small circles in rows inside the current path, which is used up: no answer. */
static void dots(cairo_t *c)
{
	double x0, y0, x1, y1;
	const double step = 7;

	cairo_save(c);
	cairo_clip(c);
	cairo_clip_extents(c, &x0, &y0, &x1, &y1);
	inw_draw__ink(c, inw_ink_text);
	for (double y = floor(y0 / step) * step; y < y1; y += step)
		for (double x = floor(x0 / step) * step; x < x1; x += step) {
			cairo_new_sub_path(c);
			cairo_arc(c, x, y, 1.1, 0, 6.283185307179586);
		}
	cairo_fill(c);
	cairo_restore(c);
}

static void cell_path(const struct map_drawing *d, const struct inw_cell_shape *s)
{
	for (size_t k = 0; k < s->n; k++) {
		double x = x_of(d, s->x[k]), y = y_of(d, s->y[k]);
		if (k)
			cairo_line_to(d->c, x, y);
		else
			cairo_move_to(d->c, x, y);
	}
	cairo_close_path(d->c);
}

static struct inw_grid grid_of(const struct map_drawing *d, const double *z)
{
	const struct inw_map_axis *a = d->m->axis;

	return (struct inw_grid){a[0].at, a[1].at, z, a[0].count, a[1].count};
}

/* The part of the map in which something that can be told is missed: the shapes of all verdicts, one over the other. */
static void hatch_missed(const struct map_drawing *d)
{
	struct inw_cell_shape shape[2];

	for (size_t v = 0; v < d->m->verdict_count; v++) {
		struct inw_grid g = grid_of(d, d->m->verdicts[v].level);
		for (size_t j = 0; j + 1 < g.ny && !d->m->verdicts[v].untold; j++)
			for (size_t i = 0; i + 1 < g.nx; i++)
				for (size_t k = inw_contour_below(&g, 0, i, j, shape); k-- > 0;)
					cell_path(d, &shape[k]);
	}
	inw_draw__hatch(d->c, inw_ink_grey, 7, 0.9);
}

static bool unknown_at(const struct map_drawing *d, size_t i, size_t j)
{
	const size_t nx = d->m->axis[0].count;
	const double *z = d->m->least;

	return isnan(z[j * nx + i]) || isnan(z[j * nx + i + 1]) || isnan(z[(j + 1) * nx + i]) || isnan(z[(j + 1) * nx + i + 1]);
}

static void dot_unknown(const struct map_drawing *d)
{
	const struct inw_map_axis *a = d->m->axis;

	for (size_t j = 0; j + 1 < a[1].count; j++)
		for (size_t i = 0; i + 1 < a[0].count; i++) {
			double x = x_of(d, a[0].at[i]), y = y_of(d, a[1].at[j]);
			if (unknown_at(d, i, j))
				cairo_rectangle(d->c, x, y, x_of(d, a[0].at[i + 1]) - x, y_of(d, a[1].at[j + 1]) - y);
		}
	dots(d->c);
}

/* ---- lines ---- */

static void line_path(const struct map_drawing *d, const struct inw_map_line *l)
{
	for (size_t i = 0; i < l->count; i++)
		if (i)
			cairo_line_to(d->c, x_of(d, l->x[i]), y_of(d, l->y[i]));
		else
			cairo_move_to(d->c, x_of(d, l->x[i]), y_of(d, l->y[i]));
}

static const struct inw_map_line *longest(const struct inw_map_line *l, size_t count)
{
	const struct inw_map_line *best = l;

	for (size_t i = 1; i < count; i++)
		if (l[i].count > best->count)
			best = &l[i];
	return best;
}

/* A label beside a line, `share` of the way along it, inside the plot. */
static void tag(const struct map_drawing *d, const struct inw_map_line *l, double share, struct inw_face_of_type f, const char *text)
{
	size_t i = (size_t)(share * (double)(l->count - 1));
	double x = fmin(fmax(x_of(d, l->x[i]), d->plot.x + 12), d->plot.x + d->plot.w - 14), y = fmin(fmax(y_of(d, l->y[i]), d->plot.y + 12), d->plot.y + d->plot.h - 10);

	inw_draw__label(d->c, (struct inw_spot){x, y + 4}, 0, f, text);
}

/* Where the least margin of all is so many shares: how steep the ground is. */
static void ground_lines(struct map_drawing *d)
{
	static const double level[] = {-1, -0.5, -0.2, 0.1, 0.2, 0.5, 1};
	const struct inw_face_of_type f = {9.5, true, INW_CENTRED, inw_ink_text}; /* heavy enough to be read on the hatching */
	struct inw_grid g = grid_of(d, d->m->least);
	char text[32];

	for (size_t k = 0; k < INW_COUNT(level); k++) {
		struct inw_map_line *lines;
		size_t n;
		if (inw_contour(&g, level[k], d->scratch, &lines, &n)) {
			d->failed = true;
			return;
		}
		for (size_t i = 0; i < n; i++)
			line_path(d, &lines[i]);
		inw_draw__ink(d->c, inw_ink_duct);
		cairo_set_line_width(d->c, 0.8);
		cairo_stroke(d->c);
		if (n && longest(lines, n)->count > 6) {
			snprintf(text, sizeof text, "%s%.0f %%", level[k] < 0 ? "\xE2\x88\x92" : "+", 100 * fabs(level[k]));
			tag(d, longest(lines, n), 0.8, f, text);
		}
	}
}

static void use_style(cairo_t *c, struct inw_line_style s)
{
	inw_draw__ink(c, s.ink);
	inw_draw__dash(c, s.on, s.off);
	cairo_set_line_width(c, s.width);
	cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
}

/* Verdicts whose margin passes through zero on the map are numbered from 1. */
static void zero_lines(const struct map_drawing *d)
{
	const struct inw_face_of_type f = {11, true, INW_CENTRED, inw_ink_text};
	size_t number = 0;
	char text[24];

	for (size_t v = 0; v < d->m->verdict_count; v++) {
		const struct inw_map_verdict *of = &d->m->verdicts[v];
		if (!of->zero_count)
			continue;
		for (size_t i = 0; i < of->zero_count; i++)
			line_path(d, &of->zero[i]);
		use_style(d->c, inw_chart__style(number));
		cairo_stroke(d->c);
		inw_draw__dash(d->c, 0, 0);
		snprintf(text, sizeof text, "%zu", ++number);
		tag(d, longest(of->zero, of->zero_count), 0.35 + 0.09 * (double)(number % 4), f, text);
	}
}

static bool is_inside(const struct inw_map_axis *a)
{
	return a->now >= a->at[0] && a->now <= a->at[a->count - 1];
}

/* A ring with a cross: the design as it is. */
static void ring(cairo_t *c, struct inw_spot at)
{
	const double r = 7;

	inw_draw__dash(c, 0, 0);
	cairo_arc(c, at.x, at.y, r, 0, 6.283185307179586);
	cairo_set_source_rgb(c, 1, 1, 1);
	cairo_fill_preserve(c);
	inw_draw__ink(c, inw_ink_text);
	cairo_set_line_width(c, 2);
	cairo_stroke(c);
	inw_draw__line(c, (struct inw_spot){at.x - r - 4, at.y}, (struct inw_spot){at.x + r + 4, at.y}, 1.2);
	inw_draw__line(c, (struct inw_spot){at.x, at.y - r - 4}, (struct inw_spot){at.x, at.y + r + 4}, 1.2);
}

/* A lozenge: most to spare. */
static void lozenge(cairo_t *c, struct inw_spot at)
{
	const double r = 7;

	cairo_move_to(c, at.x, at.y - r);
	cairo_line_to(c, at.x + r, at.y);
	cairo_line_to(c, at.x, at.y + r);
	cairo_line_to(c, at.x - r, at.y);
	cairo_close_path(c);
	cairo_set_source_rgb(c, 1, 1, 1);
	cairo_fill_preserve(c);
	inw_draw__ink(c, inw_ink_text);
	cairo_set_line_width(c, 2);
	cairo_stroke(c);
}

static bool now_on_map(const struct inw_map *m)
{
	return is_inside(&m->axis[0]) && (m->axes == 1 || is_inside(&m->axis[1]));
}

static void marks(const struct map_drawing *d)
{
	const struct inw_map *m = d->m;

	if (m->best >= 0) {
		size_t i = (size_t)m->best;
		lozenge(d->c, (struct inw_spot){x_of(d, m->axis[0].at[i % m->axis[0].count]), y_of(d, m->axis[1].at[i / m->axis[0].count])});
	}
	if (now_on_map(m))
		ring(d->c, (struct inw_spot){x_of(d, m->axis[0].now), y_of(d, m->axis[1].now)});
}

/* ---- beside the plot ---- */

static void sample_area(const struct map_drawing *d, struct inw_spot *at, int kind, const char *text)
{
	struct inw_rect r = {at->x, at->y - 11, 34, 14};

	inw_draw__dash(d->c, 0, 0);
	inw_draw__rect(d->c, r, (struct inw_ink){1, 1, 1}, 0.8);
	cairo_rectangle(d->c, r.x, r.y, r.w, r.h);
	if (kind == 1)
		inw_draw__hatch(d->c, inw_ink_grey, 7, 0.9);
	else if (kind == 2)
		dots(d->c);
	cairo_new_path(d->c);
	inw_draw__text(d->c, (struct inw_spot){at->x + 46, at->y}, SIDE - 60, plain, text);
	at->y += LEGEND_LINE + 3;
}

static void sample_mark(const struct map_drawing *d, struct inw_spot *at, void (*mark)(cairo_t *c, struct inw_spot at), const char *text)
{
	mark(d->c, (struct inw_spot){at->x + 17, at->y - 4});
	inw_draw__text(d->c, (struct inw_spot){at->x + 46, at->y}, SIDE - 60, plain, text);
	at->y += LEGEND_LINE + 8;
}

static bool any_unknown(const struct inw_map *m)
{
	for (size_t i = 0; i < m->points; i++)
		if (isnan(m->least[i]))
			return true;
	return false;
}

static void legend_unknown(const struct map_drawing *d, struct inw_spot *at)
{
	char text[TEXT], words[TEXT + 40];
	int first = -1;

	for (size_t i = 0; i < d->m->points && first < 0; i++)
		if (isnan(d->m->least[i]))
			first = d->m->limiting[i];
	if (!any_unknown(d->m))
		return;
	sample_area(d, at, 2, "dotted: no such box, or no answer for some verdict, as for");
	if (first >= 0)
		verdict_words(d, &d->m->verdicts[first], text);
	snprintf(words, sizeof words, "%s", first >= 0 ? text : "all");
	inw_draw__text(d->c, (struct inw_spot){at->x + 56, at->y - 3}, SIDE - 70, plain, words);
	at->y += LEGEND_LINE;
}

static void legend_lines(const struct map_drawing *d, struct inw_spot *at)
{
	char text[TEXT], numbered[TEXT + 24];
	size_t number = 0;

	inw_draw__text(d->c, *at, SIDE, bold, "Lines at which a requirement is just met");
	at->y += 24;
	for (size_t v = 0; v < d->m->verdict_count; v++) {
		const struct inw_map_verdict *of = &d->m->verdicts[v];
		if (!of->zero_count)
			continue;
		use_style(d->c, inw_chart__style(number));
		cairo_move_to(d->c, at->x, at->y - 4);
		cairo_line_to(d->c, at->x + 38, at->y - 4);
		cairo_stroke(d->c);
		inw_draw__dash(d->c, 0, 0);
		verdict_words(d, of, text);
		snprintf(numbered, sizeof numbered, "%zu  %s%s", ++number, text, of->untold ? " (cannot be told)" : "");
		inw_draw__text(d->c, (struct inw_spot){at->x + 46, at->y}, SIDE - 60, plain, numbered);
		at->y += LEGEND_LINE;
	}
	if (!number) {
		inw_draw__text(d->c, *at, SIDE, plain, "none on this map");
		at->y += LEGEND_LINE;
	}
	at->y += 14;
}

/* What has no line: met or missed all over. */
static void legend_flat(const struct map_drawing *d, struct inw_spot *at, bool met)
{
	char text[TEXT];
	size_t n = 0, most = 12;

	for (size_t v = 0; v < d->m->verdict_count; v++) {
		const struct inw_map_verdict *of = &d->m->verdicts[v];
		if (of->zero_count || of->untold || points_met(d->m, of) != (met ? d->m->points : 0))
			continue;
		if (n++ == 0) {
			inw_draw__text(d->c, *at, SIDE, bold, met ? "Met all over" : "Missed all over");
			at->y += 22;
		}
		verdict_words(d, of, text);
		if (n <= most) {
			inw_draw__text(d->c, (struct inw_spot){at->x + 8, at->y}, SIDE - 22, plain, text);
			at->y += LEGEND_LINE;
		}
	}
	if (n > most) {
		snprintf(text, sizeof text, "and %zu more", n - most);
		inw_draw__text(d->c, (struct inw_spot){at->x + 8, at->y}, SIDE - 22, plain, text);
		at->y += LEGEND_LINE;
	}
	at->y += n ? 14 : 0;
}

static void legend_untold(const struct map_drawing *d, struct inw_spot *at)
{
	char text[TEXT];
	size_t n = 0;

	for (size_t v = 0; v < d->m->verdict_count; v++)
		n += d->m->verdicts[v].untold;
	if (!n)
		return;
	snprintf(text, sizeof text, "%zu more cannot be told, wherever: data are missing.", n);
	inw_draw__text(d->c, *at, SIDE, plain, text);
	at->y += LEGEND_LINE + 8;
}

static void legend(const struct map_drawing *d)
{
	struct inw_spot at = {d->plot.x + d->plot.w + 26, d->plot.y + 10};

	sample_area(d, &at, 0, d->m->named ? "clear: all that was asked for is met" : "clear: all that can be told is met");
	sample_area(d, &at, 1, "hatched: at least one requirement is missed");
	legend_unknown(d, &at);
	at.y += 6;
	if (now_on_map(d->m))
		sample_mark(d, &at, ring, "the design as it is");
	sample_mark(d, &at, lozenge, d->m->best >= 0 && d->m->least[d->m->best] >= 0 ? "most to spare" : "nearest to meeting all");
	at.y += 8;
	legend_lines(d, &at);
	legend_flat(d, &at, false);
	legend_flat(d, &at, true);
	legend_untold(d, &at);
}

/* ---- a map of two ---- */

static void frame(const struct map_drawing *d)
{
	inw_draw__dash(d->c, 0, 0);
	inw_draw__ink(d->c, inw_ink_text);
	cairo_set_line_width(d->c, 1.2);
	cairo_rectangle(d->c, d->plot.x, d->plot.y, d->plot.w, d->plot.h);
	cairo_stroke(d->c);
}

static void draw_plane(struct map_drawing *d)
{
	d->plot = (struct inw_rect){INW_PAGE_MARGIN + LEFT, TOP, INW_PAGE_WIDTH - 2 * INW_PAGE_MARGIN - LEFT - SIDE - 26, PLANE_HIGH};
	set_axis(d, 0, d->plot.x, d->plot.x + d->plot.w);
	set_axis(d, 1, d->plot.y + d->plot.h, d->plot.y);
	inw_draw__rect(d->c, d->plot, (struct inw_ink){1, 1, 1}, 0);
	cairo_save(d->c);
	cairo_rectangle(d->c, d->plot.x, d->plot.y, d->plot.w, d->plot.h);
	cairo_clip(d->c);
	hatch_missed(d);
	dot_unknown(d);
	ground_lines(d);
	zero_lines(d);
	cairo_restore(d->c);
	inw_draw__level_axis(d->c, &d->axis[0], d->plot.y + d->plot.h, d->plot.y + d->plot.h + 4);
	inw_draw__upright_axis(d->c, &d->axis[1], d->plot.x, d->plot.x - 4);
	frame(d);
	marks(d);
	name_level(d, d->plot.y + d->plot.h + 36);
	name_upright(d);
	legend(d);
	inw_page__foot(d->c, d->height, "Thin lines: the least margin of all, as a share of its limit (of a band its half width, of temperatures 10 K, of sounds 10 dB).");
}

/* ---- curves of one ---- */

/* How near to its limit a verdict comes; what passes through it goes first. */
static double nearness(const struct inw_map *m, const struct inw_map_verdict *v)
{
	double least = INFINITY;
	size_t met = points_met(m, v);

	for (size_t i = 0; i < m->points; i++)
		least = fmin(least, fabs(v->margin[i] / v->one));
	return met > 0 && met < m->points ? least - 1e3 : least;
}

/* The verdicts that are worth a curve, nearest first. */
static size_t choose_curves(const struct inw_map *m, size_t verdict[MOST_CURVES])
{
	const double near = 0.95;
	size_t n = 0;

	for (size_t v = 0; v < m->verdict_count; v++) {
		double is = nearness(m, &m->verdicts[v]);
		size_t at = n < MOST_CURVES ? n : MOST_CURVES;
		if (!(is < near))
			continue;
		while (at > 0 && nearness(m, &m->verdicts[verdict[at - 1]]) > is)
			at--;
		if (at == MOST_CURVES)
			continue;
		n += n < MOST_CURVES;
		memmove(&verdict[at + 1], &verdict[at], (n - at - 1) * sizeof *verdict);
		verdict[at] = v;
	}
	return n;
}

/* Worth a row: it is not met all over, or not known. */
static bool has_row(const struct inw_map *m, const struct inw_map_verdict *v)
{
	return !v->untold && points_met(m, v) < m->points;
}

static size_t count_rows(const struct inw_map *m)
{
	size_t n = 1; /* everything */

	for (size_t v = 0; v < m->verdict_count; v++)
		n += has_row(m, &m->verdicts[v]);
	return n;
}

/* The margins as a series: how far from the first value, then a column of shares for each curve. */
static bool make_series(struct map_drawing *d, struct inw_series *s, size_t *verdict)
{
	const struct inw_map *m = d->m;
	size_t n = choose_curves(m, verdict);
	double *value = inw_arena_alloc(d->scratch, (n + 1) * m->points * sizeof *value + 1);
	for (size_t i = 0; value && i < m->points; i++) {
		value[i * (n + 1)] = m->axis[0].at[i] - m->axis[0].at[0];
		for (size_t k = 0; k < n; k++) {
			const struct inw_map_verdict *v = &m->verdicts[verdict[k]];
			value[i * (n + 1) + k + 1] = fmax(fmin(v->margin[i] / v->one, 10), -10); /* far outside is outside */
		}
	}
	*s = (struct inw_series){.columns = n + 1, .value = value, .rows = m->points};
	return value != NULL;
}

static void curves(struct map_drawing *d)
{
	size_t verdict[MOST_CURVES];
	char text[TEXT];
	struct inw_series s;
	struct inw_chart l = {.c = d->c, .units = d->units, .series = &s, .span_s = d->m->axis[0].at[d->m->points - 1] - d->m->axis[0].at[0],
		.plot = {d->plot.x, d->plot.y, d->plot.w, CURVES_HIGH}, .scale = {0, 0.01, "%"}};

	if (!make_series(d, &s, verdict)) {
		d->failed = true;
		return;
	}
	inw_chart__heading(&l, "Margin", "as a share of the limit, in %; below zero it is missed");
	inw_chart__linear_axis(&l, -100 / 1.12 * 1.06, 100 / 1.12 * 1.06);
	inw_chart__limit(&l, 0, -1, "just met");
	for (size_t k = 0; k + 1 < s.columns; k++) {
		struct inw_line_style style = inw_chart__style(k);
		inw_chart__curve(&l, (int)k + 1, INW_NO_COLUMN, style);
		struct inw_chart_entry *e = inw_chart__entry(&l, (int)k + 1, style);
		verdict_words(d, &d->m->verdicts[verdict[k]], text);
		if (e)
			snprintf(e->text, sizeof e->text, "%.190s", text);
	}
	inw_chart__frame(&l);
	inw_chart__beside(&l);
}

enum { CLEAR, HATCHED, DOTTED };

static int side_of(const struct inw_map *m, const struct inw_map_verdict *v, size_t i)
{
	double margin = v ? v->margin[i] : m->least[i];

	return isnan(margin) ? DOTTED : margin >= 0 ? CLEAR : HATCHED;
}

/* The bar of one verdict (NULL: of all together). A change lies in the middle between two points. */
static void bar(const struct map_drawing *d, const struct inw_map_verdict *v, struct inw_rect row)
{
	const struct inw_map *m = d->m;
	const double *at = m->axis[0].at;
	double high = INW_CHART_BAR;

	for (size_t i = 0, end; i < m->points; i = end) {
		int side = side_of(m, v, i);
		for (end = i + 1; end < m->points && side_of(m, v, end) == side;)
			end++;
		double x = x_of(d, i ? 0.5 * (at[i - 1] + at[i]) : at[0]), to = x_of(d, end < m->points ? 0.5 * (at[end - 1] + at[end]) : at[m->points - 1]);
		struct inw_rect r = {x, row.y + 3, to - x, high};
		if (side == CLEAR) {
			inw_draw__rect(d->c, r, (struct inw_ink){1, 1, 1}, v ? 1 : 2.2);
			continue;
		}
		cairo_rectangle(d->c, r.x, r.y, r.w, r.h);
		if (side == HATCHED)
			inw_draw__hatch(d->c, inw_ink_grey, 6, 0.9);
		else
			dots(d->c);
		cairo_new_path(d->c);
	}
}

static void rows(const struct map_drawing *d, double y)
{
	char text[TEXT];
	struct inw_rect row = {d->plot.x, y, d->plot.w, INW_CHART_ROW};

	inw_page__row(d->c, row, "all together");
	bar(d, NULL, row);
	for (size_t v = 0; v < d->m->verdict_count; v++) {
		if (!has_row(d->m, &d->m->verdicts[v]))
			continue;
		row.y += INW_CHART_ROW;
		verdict_words(d, &d->m->verdicts[v], text);
		inw_page__row(d->c, row, text);
		bar(d, &d->m->verdicts[v], row);
	}
}

static void design_line(const struct map_drawing *d, double foot)
{
	const struct inw_face_of_type f = {10.5, true, INW_CENTRED, inw_ink_text};
	double x = x_of(d, d->m->axis[0].now);

	if (!now_on_map(d->m))
		return;
	inw_draw__ink(d->c, inw_ink_text);
	inw_draw__dash(d->c, 1.5, 3);
	inw_draw__line(d->c, (struct inw_spot){x, d->plot.y}, (struct inw_spot){x, foot}, 1.6);
	inw_draw__dash(d->c, 0, 0);
	inw_draw__label(d->c, (struct inw_spot){fmin(fmax(x, d->plot.x + 34), d->plot.x + d->plot.w - 34), d->plot.y + 14}, 0, f, "the design");
}

static void draw_curves(struct map_drawing *d)
{
	d->plot = (struct inw_rect){INW_PAGE_MARGIN + LEFT, TOP + 20, INW_PAGE_WIDTH - 2 * INW_PAGE_MARGIN - LEFT - INW_SIDE_WIDTH, CURVES_HIGH};
	double foot = d->plot.y + CURVES_HIGH + 14 + (double)(INW_CHART_ROW * count_rows(d->m)) + 4;
	set_axis(d, 0, d->plot.x, d->plot.x + d->plot.w);
	inw_draw__level_axis(d->c, &d->axis[0], foot, d->plot.y);
	curves(d);
	rows(d, d->plot.y + CURVES_HIGH + 14);
	design_line(d, foot);
	name_level(d, foot + 36);
	inw_page__foot(d->c, d->height, "Clear bar: met; hatched: missed; dotted: no answer. Shares of the limit; of a band of its half width, of temperatures of 10 K, of sounds of 10 dB.");
}

/* ---- the file ---- */

static bool draw(void *context, cairo_t *c)
{
	struct map_drawing *d = context;

	d->c = c;
	inw_draw__rect(c, (struct inw_rect){0, 0, INW_PAGE_WIDTH, d->height}, inw_ink_paper, 0);
	head(d);
	if (d->m->axes == 1)
		draw_curves(d);
	else
		draw_plane(d);
	return !d->failed;
}

/* Its scratch is NULL when memory is out. */
static struct map_drawing drawing_of(const struct inw_map *m, enum inw_units units)
{
	struct map_drawing d = {.m = m, .units = units, .scratch = inw_arena_new(SCRATCH)};

	d.height = m->axes == 1 ? TOP + 20 + CURVES_HIGH + 14 + (double)(INW_CHART_ROW * count_rows(m)) + FOOT : TOP + PLANE_HIGH + FOOT;
	return d;
}

enum inw_status inw_show_map_picture(const struct inw_map *m, const char *path, enum inw_units units, struct inw_diags *diags)
{
	if (!inw_canvas__fits(path, diags))
		return INW_BAD_INPUT;
	struct map_drawing d = drawing_of(m, units);
	enum inw_status s = d.scratch ? inw_canvas__draw(path, (struct inw_size){INW_PAGE_WIDTH, d.height}, draw, &d, diags) : INW_NO_MEMORY;
	inw_arena_free(d.scratch);
	return s;
}

char *inw_show_map_picture_svg(const struct inw_map *m, enum inw_units units)
{
	struct map_drawing d = drawing_of(m, units);
	char *s = d.scratch ? inw_canvas__svg((struct inw_size){INW_PAGE_WIDTH, d.height}, draw, &d) : NULL;

	inw_arena_free(d.scratch);
	return s;
}
