/* SPDX-License-Identifier: MIT */
/* odds_picture.c: for each requirement a row: its odds as a bar, the distribution of the number against its limit (what misses
 * is dark), and what matters as bars. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/canvas.h"
#include "show/draw.h"

enum { MOST_ROWS = 60 };
static const double row_h = 74, width = 760, margin = 26, head_h = 92;
static const double chart_x = 250, chart_w = 250, bars_x = 530, bars_w = 204;

struct scene { const struct inw_odds *o; enum inw_units units; const struct inw_odds_verdict *row[MOST_ROWS]; int rows; };

static struct inw_face_of_type type(double size, bool bold, enum inw_align align)
{
	return (struct inw_face_of_type){size, bold, align, inw_ink_text};
}

static void odds_bar(cairo_t *c, const struct inw_odds_verdict *v, double x, double y)
{
	char text[64];
	struct inw_rect whole = {x, y, 190, 9}, part = {x, y, 190 * fmin(fmax(v->met, 0), 1), 9};

	inw_draw__rect(c, whole, inw_ink_paper, 0.8);
	inw_draw__rect(c, part, inw_ink_in, 0);
	snprintf(text, sizeof text, v->met > 0.999 ? "over 99.9 %% likely met" : v->met < 0.001 ? "under 0.1 %% likely met" : "%.1f %% likely met, +- %.1g %%", 100 * v->met,
	         100 * v->met_error);
	inw_draw__text(c, (struct inw_spot){x, y + 22}, 200, type(9, false, INW_LEFT_ALIGNED), v->untold ? "data are missing: it cannot be told" : text);
}

static bool misses(const struct inw_odds_verdict *v, double value)
{
	return (v->sense == INW_AT_LEAST && value < v->limit) || (v->sense == INW_AT_MOST && value > v->limit)
	       || (v->sense == INW_WITHIN && (value < v->limit || value > v->limit_high));
}

/* The bins that hold something, so that a narrow distribution fills its place; the limit is shown when it lies among them. */
static void ends(const struct inw_odds_verdict *v, size_t *from, size_t *to)
{
	*from = 0;
	*to = v->bins;
	while (*from < *to && v->share[*from] < 1e-3)
		++*from;
	while (*to > *from && v->share[*to - 1] < 1e-3)
		--*to;
}

static double place(const struct inw_odds_verdict *v, size_t from, size_t to, double value)
{
	for (size_t i = from; i < to; i++)
		if (value <= v->at[i + 1]) {
			double part = v->at[i + 1] > v->at[i] ? (value - v->at[i]) / (v->at[i + 1] - v->at[i]) : 0;
			return ((double)(i - from) + fmin(fmax(part, 0), 1)) / (double)(to - from);
		}
	return 1;
}

/* A chart: where it stands and which bins it shows. */
struct chart { struct inw_rect at; size_t from, to; };

static void limit_line(cairo_t *c, const struct inw_odds_verdict *v, const struct chart *k, double limit)
{
	if (!(limit >= v->at[k->from] && limit <= v->at[k->to]))
		return;
	double x = k->at.x + k->at.w * place(v, k->from, k->to, limit);
	inw_draw__ink(c, inw_ink_text);
	inw_draw__line(c, (struct inw_spot){x, k->at.y - 2}, (struct inw_spot){x, k->at.y + k->at.h + 2}, 1.6);
}

static void bins(cairo_t *c, const struct scene *s, const struct inw_odds_verdict *v, const struct chart *k)
{
	double most = 0, w = k->at.w / (double)(k->to - k->from), foot = k->at.y + k->at.h;
	char low[INW_CELL], high[INW_CELL];

	for (size_t i = k->from; i < k->to; i++)
		most = fmax(most, v->share[i]);
	for (size_t i = k->from; i < k->to; i++) {
		double tall = k->at.h * v->share[i] / most;
		struct inw_rect r = {k->at.x + w * (double)(i - k->from), foot - tall, w, tall};
		inw_draw__rect(c, r, misses(v, 0.5 * (v->at[i] + v->at[i + 1])) ? inw_ink_out : inw_ink_duct, 0);
	}
	inw_draw__ink(c, inw_ink_grey);
	inw_draw__line(c, (struct inw_spot){k->at.x, foot}, (struct inw_spot){k->at.x + k->at.w, foot}, 0.8);
	limit_line(c, v, k, v->limit);
	if (v->sense == INW_WITHIN)
		limit_line(c, v, k, v->limit_high);
	inw_draw__number(low, sizeof low, v->at[k->from], v->dim, s->units);
	inw_draw__number(high, sizeof high, v->at[k->to], v->dim, s->units);
	inw_draw__text(c, (struct inw_spot){k->at.x, foot + 11}, 80, type(8, false, INW_LEFT_ALIGNED), low);
	inw_draw__text(c, (struct inw_spot){k->at.x + k->at.w, foot + 11}, 80, type(8, false, INW_RIGHT_ALIGNED), high);
}

/* What outlasts the time looked ahead has no place on the scale: a box at its end, as high as its share, whatever it may be. */
static void beyond(cairo_t *c, const struct scene *s, const struct inw_odds_verdict *v, struct inw_rect at)
{
	double share = v->more_than + v->less_than;
	struct inw_rect r = {at.x, at.y + at.h * (1 - share), at.w, at.h * share};
	bool all = v->low_bound == INW_MORE_THAN || v->high_bound == INW_LESS_THAN;
	char number[2 * INW_CELL], text[4 * INW_CELL];

	inw_draw__rect(c, r, inw_ink_faint, 0.8);
	inw_show__bounded(number, sizeof number, (struct inw_bounded){v->more_than > 0 ? v->low : v->high, v->high_bound}, v->dim, s->units);
	snprintf(text, sizeof text, "%.3g %%: outlast", 100 * share);
	inw_draw__text(c, (struct inw_spot){at.x + at.w, at.y + at.h + 11}, 76, type(8, false, INW_RIGHT_ALIGNED), text);
	if (all)
		inw_draw__text(c, (struct inw_spot){chart_x, at.y + at.h / 2}, chart_w - at.w - 8, type(9, false, INW_LEFT_ALIGNED), number);
}

static void distribution(cairo_t *c, const struct scene *s, const struct inw_odds_verdict *v, double y)
{
	const double box_w = 40;
	struct chart k = {.at = {chart_x, y, chart_w, 40}};
	char limit[INW_CELL], text[3 * INW_CELL];

	ends(v, &k.from, &k.to);
	if (v->more_than + v->less_than > 0) {
		k.at.w -= 2 * box_w;
		beyond(c, s, v, (struct inw_rect){chart_x + chart_w - box_w, y, box_w, k.at.h});
	}
	if (k.from < k.to) {
		bins(c, s, v, &k);
	} else if (k.at.w == chart_w) { /* hardly anything but one number, such as zero */
		inw_draw__number(limit, sizeof limit, v->median, v->dim, s->units);
		inw_draw__text(c, (struct inw_spot){chart_x, y + k.at.h / 2}, chart_w, type(9, false, INW_LEFT_ALIGNED), limit);
	}
	inw_draw__number(limit, sizeof limit, v->limit, v->dim, s->units);
	snprintf(text, sizeof text, "%s %s", v->sense == INW_AT_LEAST ? "at least" : v->sense == INW_AT_MOST ? "at most" : "from", limit);
	inw_draw__text(c, (struct inw_spot){k.at.x + k.at.w / 2, y + k.at.h + 11}, 120, type(8, true, INW_CENTRED), text);
}

static void matters(cairo_t *c, const struct inw_odds_verdict *v, double y)
{
	for (size_t i = 0; i < v->influences && i < 4; i++) {
		const struct inw_odds_influence *f = &v->influence[i];
		double top = y + 14 * (double)i;
		if (!isnan(f->total))
			inw_draw__rect(c, (struct inw_rect){bars_x, top, bars_w * fmin(fmax(f->total, 0), 1), 5}, inw_ink_faint, 0);
		inw_draw__rect(c, (struct inw_rect){bars_x, top, bars_w * fmin(fmax(f->first, 0), 1), 5}, inw_ink_duct, 0);
		inw_draw__text(c, (struct inw_spot){bars_x, top + 12}, bars_w, type(7, false, INW_LEFT_ALIGNED), f->name);
	}
}

static void row(cairo_t *c, const struct scene *s, const struct inw_odds_verdict *v, double y)
{
	inw_draw__ink(c, inw_ink_faint);
	inw_draw__line(c, (struct inw_spot){margin, y - 8}, (struct inw_spot){width - margin, y - 8}, 0.6);
	inw_draw__text(c, (struct inw_spot){margin, y + 8}, 205, type(9, true, INW_LEFT_ALIGNED), v->title);
	inw_draw__text(c, (struct inw_spot){margin, y + 19}, 205, type(8, false, INW_LEFT_ALIGNED), v->id);
	odds_bar(c, v, margin, y + 27);
	distribution(c, s, v, y);
	matters(c, v, y + 2);
}

static bool draw(void *context, cairo_t *c)
{
	const struct scene *s = context;
	char text[160];

	inw_draw__rect(c, (struct inw_rect){0, 0, width, head_h + row_h * s->rows + 30}, inw_ink_paper, 0);
	inw_draw__text(c, (struct inw_spot){margin, 30}, width - 2 * margin, type(15, true, INW_LEFT_ALIGNED), s->o->title);
	snprintf(text, sizeof text, "Everything that can be told is met at once: %s%.1f %% (+- %.1g %%), from %zu samples", s->o->all.met < 0.001 ? "under " : "",
	         fmax(100 * s->o->all.met, 0.1), 100 * s->o->all.met_error, s->o->samples);
	inw_draw__text(c, (struct inw_spot){margin, 50}, width - 2 * margin, type(10, false, INW_LEFT_ALIGNED), text);
	inw_draw__text(c, (struct inw_spot){margin, 74}, 200, type(9, true, INW_LEFT_ALIGNED), "Requirement and its odds");
	inw_draw__text(c, (struct inw_spot){chart_x, 74}, chart_w, type(9, true, INW_LEFT_ALIGNED), "What the number may be; dark misses the limit");
	inw_draw__text(c, (struct inw_spot){bars_x, 74}, bars_w, type(9, true, INW_LEFT_ALIGNED), "What matters (pale: with others)");
	for (int i = 0; i < s->rows; i++)
		row(c, s, s->row[i], head_h + row_h * i);
	inw_draw__text(c, (struct inw_spot){margin, head_h + row_h * s->rows + 14}, width - 2 * margin, type(8, false, INW_LEFT_ALIGNED), inw_show__disclaimer);
	return true;
}

static struct scene scene_of(const struct inw_odds *o, enum inw_units units)
{
	struct scene s = {.o = o, .units = units};

	for (size_t i = 0; i < o->verdict_count && s.rows < MOST_ROWS; i++)
		if (!isnan(o->verdicts[i].met))
			s.row[s.rows++] = &o->verdicts[i];
	return s;
}

enum inw_status inw_show_odds_picture(const struct inw_odds *o, const char *path, enum inw_units units, struct inw_diags *diags)
{
	if (!inw_canvas__fits(path, diags))
		return INW_BAD_INPUT;
	struct scene s = scene_of(o, units);
	return inw_canvas__draw(path, (struct inw_size){width, head_h + row_h * s.rows + 30}, draw, &s, diags);
}

char *inw_show_odds_picture_svg(const struct inw_odds *o, enum inw_units units)
{
	struct scene s = scene_of(o, units);
	return inw_canvas__svg((struct inw_size){width, head_h + row_h * s.rows + 30}, draw, &s);
}
