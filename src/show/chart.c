/* SPDX-License-Identifier: MIT */
#include "show/chart.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "show/verdicts.h"

enum { ENTRY = 15, SAMPLE = 28 };

/* ---- the page ---------------------------------------------------------------------------------------------------- */

static bool draw_worst(cairo_t *c, const struct inw_page_head *h, enum inw_units units)
{
	char value[INW_CELL], limit[3 * INW_CELL], text[500];
	const struct inw_face_of_type f = {11.5, false, INW_LEFT_ALIGNED, inw_ink_text};
	const double x = INW_PAGE_MARGIN, y = INW_PAGE_MARGIN + 62;
	const struct inw_verdict *w = inw_show__worst(h->verdicts, h->verdict_count);
	if (!w) {
		inw_draw__text(c, (struct inw_spot){x, y}, 0, f, h->all_met);
		return true;
	}
	if (w->bound == INW_EXACTLY)
		inw_draw__number(value, sizeof value, w->value, w->dim, units);
	else
		inw_show__bounded(value, sizeof value, (struct inw_bounded){w->value, w->bound}, w->dim, units);
	inw_show__limit_words(limit, sizeof limit, w, units);
	snprintf(text, sizeof text, "%s: %.200s: %s (%s)", inw_show__word(w->word), w->title, value, limit);
	char *written = inw_show_sentence(text, units);
	double sign = inw_draw__sign(c, (struct inw_spot){x + 7, y}, w->word) + 6;
	inw_draw__text(c, (struct inw_spot){x + sign, y}, INW_PAGE_WIDTH - 2 * INW_PAGE_MARGIN - sign, f, written ? written : "");
	free(written);
	return written != NULL;
}

bool inw_page__head(cairo_t *c, const struct inw_page_head *h, enum inw_units units)
{
	const double right = INW_PAGE_WIDTH - INW_PAGE_MARGIN;
	const struct inw_face_of_type big = {20, true, INW_LEFT_ALIGNED, inw_ink_text},
	                              plain = {11.5, false, INW_LEFT_ALIGNED, inw_ink_grey},
	                              badge = {15, true, INW_LEFT_ALIGNED, inw_ink_text};
	double w = inw_draw__width(c, badge, inw_show__word(h->overall));
	struct inw_rect frame = {right - w - 52, INW_PAGE_MARGIN - 2, w + 52, 34};
	double room = frame.x - INW_PAGE_MARGIN - 20;
	inw_draw__text(c, (struct inw_spot){INW_PAGE_MARGIN, INW_PAGE_MARGIN + 20}, room, big, h->title ? h->title : "");
	inw_draw__text(c, (struct inw_spot){INW_PAGE_MARGIN, INW_PAGE_MARGIN + 40}, room, plain, h->below);
	inw_draw__rect(c, frame, (struct inw_ink){1, 1, 1}, 2);
	inw_draw__sign(c, (struct inw_spot){frame.x + 20, frame.y + 23}, h->overall);
	inw_draw__text(c, (struct inw_spot){frame.x + 38, frame.y + 23}, 0, badge, inw_show__word(h->overall));
	return draw_worst(c, h, units);
}

void inw_page__foot(cairo_t *c, double height, const char *how)
{
	const struct inw_face_of_type f = {10.5, false, INW_LEFT_ALIGNED, inw_ink_text},
	                              small = {9.5, false, INW_LEFT_ALIGNED, inw_ink_grey};
	const double room = INW_PAGE_WIDTH - 2 * INW_PAGE_MARGIN;
	inw_draw__text(c, (struct inw_spot){INW_PAGE_MARGIN, height - 36}, room, f, how);
	inw_draw__text(c, (struct inw_spot){INW_PAGE_MARGIN, height - 16}, room, small, inw_show__disclaimer);
}

void inw_page__row(cairo_t *c, struct inw_rect row, const char *name)
{
	double foot = row.y + row.h, right = row.x + row.w;
	inw_draw__dash(c, 0, 0);
	inw_draw__ink(c, inw_ink_faint);
	inw_draw__line(c, (struct inw_spot){row.x, foot}, (struct inw_spot){right, foot}, 0.6);
	inw_draw__text(c, (struct inw_spot){right + 14, row.y + 12.5}, INW_SIDE_WIDTH - 14,
	               (struct inw_face_of_type){10.5, true, INW_LEFT_ALIGNED, inw_ink_text}, name);
}

/* ---- scales ------------------------------------------------------------------------------------------------------ */

struct inw_scale inw_chart__scale(enum inw_dim dim, enum inw_units units)
{
	static const struct {
		enum inw_dim dim;
		const char *si, *us;
	} unit[] = {
		{INW_DIM_TEMPERATURE, "degC", "degF"},
		{INW_DIM_PRESSURE, "Pa", "inH2O"},
		{INW_DIM_CONCENTRATION, "ug/m3", "ug/m3"},
		{INW_DIM_NUMBER_CONCENTRATION, "1/cm3", "1/cm3"},
	};
	struct inw_scale s = {0, 1, ""};
	for (size_t i = 0; i < INW_COUNT(unit); i++) {
		char text[32];
		double one;
		if (unit[i].dim != dim)
			continue;
		s.name = units == INW_US ? unit[i].us : unit[i].si;
		snprintf(text, sizeof text, "0 %s", s.name);
		if (inw_parse_quantity(text, dim, &s.zero))
			s.zero = 0;
		snprintf(text, sizeof text, "1 %s", s.name);
		if (!inw_parse_quantity(text, dim, &one))
			s.one = one - s.zero;
	}
	return s;
}

double inw_chart__shown(const struct inw_scale *s, double value)
{
	return (value - s->zero) / s->one;
}

/* ---- a chart ----------------------------------------------------------------------------------------------------- */

struct inw_line_style inw_chart__style(size_t i)
{
	const struct inw_line_style style[] = {
		{inw_ink_in, 2.4, 0, 0},   {inw_ink_out, 2.2, 10, 4}, {inw_ink_text, 2, 2, 3},
		{inw_ink_duct, 2.6, 6, 3}, {inw_ink_grey, 1.4, 0, 0}, {inw_ink_text, 1.2, 14, 3},
		{inw_ink_grey, 1.6, 3, 4}, {inw_ink_out, 3, 2, 2},
	};
	return style[i % INW_COUNT(style)];
}

double inw_chart__x(const struct inw_chart *l, double t)
{
	return l->plot.x + l->plot.w * (l->span_s > 0 ? t / l->span_s : 0);
}

double inw_chart__y(const struct inw_chart *l, double value)
{
	double v = inw_chart__shown(&l->scale, value);
	if (l->log)
		v = v > 0 ? log10(v) : -400; /* below any axis, where zero is */
	return inw_draw__on(&l->axis, v);
}

static double within(const struct inw_chart *l, double y)
{
	return fmin(fmax(y, l->plot.y), l->plot.y + l->plot.h);
}

void inw_chart__heading(const struct inw_chart *l, const char *head, const char *more)
{
	const struct inw_face_of_type f = {13, true, INW_LEFT_ALIGNED, inw_ink_text},
	                              g = {10.5, false, INW_LEFT_ALIGNED, inw_ink_grey};
	struct inw_spot at = {l->plot.x, l->plot.y - 8};
	at.x += inw_draw__text(l->c, at, l->plot.w, f, head) + 12;
	inw_draw__text(l->c, at, l->plot.x + l->plot.w - at.x, g, more);
}

void inw_chart__linear_axis(struct inw_chart *l, double low, double high)
{
	double spare = 0.06 * (high - low);
	l->axis = inw_draw__axis(low - spare, high + spare, l->plot.y + l->plot.h, l->plot.y, INW_DIM_NONE, INW_SI);
	inw_draw__dash(l->c, 0, 0);
	inw_draw__upright_axis(l->c, &l->axis, l->plot.x, l->plot.x + l->plot.w);
}

void inw_chart__frame(const struct inw_chart *l)
{
	inw_draw__dash(l->c, 0, 0);
	inw_draw__ink(l->c, inw_ink_grey);
	cairo_set_line_width(l->c, 1);
	cairo_rectangle(l->c, l->plot.x, l->plot.y, l->plot.w, l->plot.h);
	cairo_stroke(l->c);
}

/* "1000", "0.01", "10 million": numbers of a log axis as people write them. */
static void decade_words(char *out, size_t size, int power)
{
	if (power >= 6 && power < 9)
		snprintf(out, size, "%.0f million", pow(10, power - 6));
	else if (power >= 9 && power < 12)
		snprintf(out, size, "%.0f billion", pow(10, power - 9));
	else if (power >= 12)
		snprintf(out, size, "1e%d", power);
	else if (power >= -4)
		snprintf(out, size, "%.*f", power < 0 ? -power : 0, pow(10, power));
	else
		snprintf(out, size, "1e%d", power);
}

void inw_chart__log_axis(struct inw_chart *l, int low, int high)
{
	char text[32];
	const struct inw_face_of_type f = {9.5, false, INW_RIGHT_ALIGNED, inw_ink_grey};
	int every = high - low > 6 ? 2 : 1;
	l->log = true;
	l->axis = (struct inw_axis){.low = low, .high = high, .a = l->plot.y + l->plot.h, .b = l->plot.y};
	inw_draw__dash(l->c, 0, 0);
	for (int k = low; k <= high; k++) {
		double y = inw_draw__on(&l->axis, k);
		inw_draw__ink(l->c, inw_ink_faint);
		inw_draw__line(l->c, (struct inw_spot){l->plot.x, y}, (struct inw_spot){l->plot.x + l->plot.w, y}, 0.6);
		decade_words(text, sizeof text, k);
		if ((k - low) % every == 0)
			inw_draw__text(l->c, (struct inw_spot){l->plot.x - 5, y + 3.5}, 0, f, text);
	}
}

/* ---- curves ------------------------------------------------------------------------------------------------------ */

/* Many rows can fall on one place of the time axis: of each half point first, least, greatest, last are drawn. */
struct pen {
	cairo_t *c;
	double first, low, high, last, x;
	bool open, drawn;
};

static void pen_flush(struct pen *p)
{
	const double y[] = {p->first, p->low, p->high, p->last};
	for (size_t i = 0; p->open && i < INW_COUNT(y); i++) {
		if (i && y[i] == y[i - 1])
			continue;
		if (p->drawn)
			cairo_line_to(p->c, p->x, y[i]);
		else
			cairo_move_to(p->c, p->x, y[i]);
		p->drawn = true;
	}
	p->open = false;
}

static void pen_to(struct pen *p, double x, double y)
{
	if (p->open && x - p->x < 0.5) {
		p->low = fmin(p->low, y);
		p->high = fmax(p->high, y);
		p->last = y;
		return;
	}
	pen_flush(p);
	p->first = p->low = p->high = p->last = y;
	p->x = x;
	p->open = true;
}

static void pen_lift(struct pen *p)
{
	pen_flush(p);
	p->drawn = false;
}

/* The column as a path. */
static void trace(const struct inw_chart *l, int column, int gap_where)
{
	const struct inw_series *r = l->series;
	struct pen pen = {.c = l->c};
	for (size_t i = 0; i < r->rows; i++) {
		double y = inw_chart__y(l, inw_series__value(r, i, column));
		if (!isfinite(y) || inw_series__value(r, i, gap_where) > 0) {
			pen_lift(&pen);
			continue;
		}
		/* far outside is as good as outside, and keeps the numbers of a file small */
		pen_to(&pen, inw_chart__x(l, inw_series__time(r, i)),
		       fmin(fmax(y, l->plot.y - l->plot.h), l->plot.y + 2 * l->plot.h));
	}
	pen_lift(&pen);
}

void inw_chart__clip(const struct inw_chart *l)
{
	cairo_save(l->c);
	cairo_rectangle(l->c, l->plot.x, l->plot.y, l->plot.w, l->plot.h);
	cairo_clip(l->c);
}

static void use_style(const struct inw_chart *l, struct inw_line_style s)
{
	inw_draw__ink(l->c, s.ink);
	inw_draw__dash(l->c, s.on, s.off);
	cairo_set_line_width(l->c, s.width);
}

void inw_chart__curve(const struct inw_chart *l, int column, int gap_where, struct inw_line_style s)
{
	inw_chart__clip(l);
	trace(l, column, gap_where);
	use_style(l, s);
	cairo_set_line_join(l->c, CAIRO_LINE_JOIN_ROUND);
	cairo_stroke(l->c);
	inw_draw__dash(l->c, 0, 0);
	cairo_restore(l->c);
}

static void toothed(cairo_t *c, struct inw_spot a, double x, int up)
{
	inw_draw__dash(c, 0, 0);
	inw_draw__ink(c, inw_ink_text);
	inw_draw__line(c, a, (struct inw_spot){x, a.y}, 1.1);
	for (double k = a.x + 4; k < x - 3; k += 12)
		inw_draw__line(c, (struct inw_spot){k, a.y}, (struct inw_spot){k + 4, a.y - 5 * up}, 0.8);
}

void inw_chart__limit(struct inw_chart *l, double value, int up, const char *text)
{
	double y = inw_chart__y(l, value);
	inw_chart__clip(l);
	toothed(l->c, (struct inw_spot){l->plot.x, y}, l->plot.x + l->plot.w, up);
	cairo_restore(l->c);
	if (l->entries < INW_CHART_LINES) {
		struct inw_chart_entry *e = &l->entry[l->entries++];
		*e = (struct inw_chart_entry){.value = value, .teeth = up};
		snprintf(e->text, sizeof e->text, "%s", text);
	}
}

void inw_chart__widen(const struct inw_chart *l, int column, double *low, double *high)
{
	for (size_t i = 0; column >= 0 && i < l->series->rows; i++) {
		double v = inw_chart__shown(&l->scale, inw_series__value(l->series, i, column));
		if (isfinite(v)) {
			*low = fmin(*low, v);
			*high = fmax(*high, v);
		}
	}
}

struct inw_chart_entry *inw_chart__entry(struct inw_chart *l, int column, struct inw_line_style s)
{
	const struct inw_series *r = l->series;
	if (l->entries >= INW_CHART_LINES)
		return NULL;
	struct inw_chart_entry *e = &l->entry[l->entries++];
	*e = (struct inw_chart_entry){.value = r->rows ? inw_series__value(r, r->rows - 1, column) : NAN, .style = s};
	return e;
}

/* ---- beside the plot --------------------------------------------------------------------------------------------- */

static void sort_entries(const struct inw_chart *l, size_t order[INW_CHART_LINES], double place[INW_CHART_LINES])
{
	double bottom = l->plot.y + l->plot.h;
	for (size_t i = 0; i < l->entries; i++) {
		double y = inw_chart__y(l, l->entry[i].value);
		y = isfinite(y) ? within(l, y) : bottom;
		size_t k = i;
		for (; k > 0 && place[k - 1] > y; k--) {
			place[k] = place[k - 1];
			order[k] = order[k - 1];
		}
		place[k] = y;
		order[k] = i;
	}
}

void inw_chart__beside(const struct inw_chart *l)
{
	size_t order[INW_CHART_LINES];
	double place[INW_CHART_LINES], spread[INW_CHART_LINES];
	const double x = l->plot.x + l->plot.w;
	sort_entries(l, order, place);
	memcpy(spread, place, sizeof spread);
	inw_draw__spread(spread, l->entries, ENTRY, l->plot.y + 4, l->plot.y + l->plot.h - 4);
	for (size_t i = 0; i < l->entries; i++) {
		const struct inw_chart_entry *e = &l->entry[order[i]];
		const struct inw_face_of_type f = {10.5, false, INW_LEFT_ALIGNED, inw_ink_text};
		inw_draw__dash(l->c, 0, 0);
		inw_draw__ink(l->c, inw_ink_grey);
		inw_draw__line(l->c, (struct inw_spot){x + 1, place[i]}, (struct inw_spot){x + 13, spread[i]}, 0.6);
		if (e->teeth) {
			toothed(l->c, (struct inw_spot){x + 14, spread[i]}, x + 14 + SAMPLE, e->teeth);
		} else {
			use_style(l, e->style);
			cairo_move_to(l->c, x + 14, spread[i]);
			cairo_line_to(l->c, x + 14 + SAMPLE, spread[i]);
			cairo_stroke(l->c);
		}
		inw_draw__dash(l->c, 0, 0);
		inw_draw__text(l->c, (struct inw_spot){x + 20 + SAMPLE, spread[i] + 3.5}, INW_SIDE_WIDTH - 20 - SAMPLE, f,
		               e->text);
	}
}

