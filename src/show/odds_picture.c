/* SPDX-License-Identifier: MIT */
/* odds_picture.c: for each requirement a row: its odds as a bar, the distribution of the number against its limit (what misses
 * is dark), and what matters as bars. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/canvas.h"
#include "show/draw.h"
#include "show/verdicts.h"

enum { MOST_ROWS = 60 };
static const double row_h = 88, job_h = 24, width = 760, margin = 26, head_h = 92;
static const double chart_x = 250, chart_w = 250, chart_h = 40, bars_x = 530, bars_w = 204;

struct scene { const struct inw_odds *o; enum inw_units units; const struct inw_odds_verdict *row[MOST_ROWS]; int rows; };

static struct inw_face_of_type type(double size, bool bold, enum inw_align align)
{
	return (struct inw_face_of_type){size, bold, align, inw_ink_text};
}

/* What cannot be told is hatched all over: it looks neither met nor missed. */
static void odds_bar(cairo_t *c, const struct inw_odds_verdict *v, double x, double y)
{
	char met[32], error[32], text[96];
	struct inw_rect whole = {x, y, 190, 9}, part = {x, y, 190 * fmin(fmax(v->met, 0), 1), 9};

	inw_draw__rect(c, whole, inw_ink_paper, 0.8);
	if (v->untold) {
		cairo_rectangle(c, whole.x, whole.y, whole.w, whole.h);
		inw_draw__hatch(c, inw_ink_grey, 5, 0.8);
	} else {
		inw_draw__rect(c, part, inw_ink_in, 0);
	}
	snprintf(text, sizeof text, "%s likely met%s", inw_show__odds(met, sizeof met, v->met, v->met_error), inw_show__odds_error(error, sizeof error, v->met, v->met_error));
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

static char *printed(char *out, size_t size, double value, enum inw_dim dim, enum inw_units units)
{
	char number[INW_CELL];

	snprintf(out, size, "%s%s", inw_draw__number(number, sizeof number, value, dim, units), dim == INW_DIM_TEMPERATURE_DIFFERENCE && units == INW_US ? " of difference" : "");
	return out;
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
	printed(low, sizeof low, v->at[k->from], v->dim, s->units);
	printed(high, sizeof high, v->at[k->to], v->dim, s->units);
	inw_draw__text(c, (struct inw_spot){k->at.x, foot + 11}, 80, type(8, false, INW_LEFT_ALIGNED), low);
	inw_draw__text(c, (struct inw_spot){k->at.x + k->at.w, foot + 11}, 80, type(8, false, INW_RIGHT_ALIGNED), high);
}

/* What is only known to lie beyond a bound has no place on the scale: a box at that end, as high as its share, dark where all of
 * it misses. */
static void beyond(cairo_t *c, const struct scene *s, const struct inw_odds_verdict *v, struct inw_rect at)
{
	bool more = v->more_than > 0, bad = v->undecided == 0 && v->sense == (more ? INW_AT_MOST : INW_AT_LEAST);
	double share = v->more_than + v->less_than, edge = more ? at.x + at.w : at.x;
	struct inw_rect r = {at.x, at.y + at.h * (1 - share), at.w, at.h * share};
	enum inw_align side = more ? INW_RIGHT_ALIGNED : INW_LEFT_ALIGNED;
	char text[48];

	inw_draw__rect(c, r, bad ? inw_ink_out : inw_ink_faint, 0.8);
	snprintf(text, sizeof text, s->o->life && more ? "%.3g %%: outlast" : more ? "%.3g %%: more" : "%.3g %%: less", 100 * share);
	inw_draw__text(c, (struct inw_spot){edge, at.y + at.h + 11}, 76, type(8, false, side), text);
}

/* The limit stands apart from the ends of the scale: on a line of its own, below its mark or towards where it lies. */
static void say_limit(cairo_t *c, const struct scene *s, const struct inw_odds_verdict *v, const struct chart *k)
{
	bool drawn = k->from < k->to, left = drawn && v->limit < v->at[k->from], right = drawn && v->limit > v->at[k->to];
	double x = !drawn || left ? chart_x : right ? chart_x + chart_w : k->at.x + k->at.w * place(v, k->from, k->to, v->limit);
	double y = k->at.y + k->at.h + 25, half = 60;
	enum inw_align side = x < chart_x + half ? INW_LEFT_ALIGNED : x > chart_x + chart_w - half ? INW_RIGHT_ALIGNED : INW_CENTRED;
	char limit[INW_CELL], high[INW_CELL], text[4 * INW_CELL];

	printed(limit, sizeof limit, v->limit, v->dim, s->units);
	printed(high, sizeof high, v->limit_high, v->dim, s->units);
	snprintf(text, sizeof text, "%slimit: %s %s%s%s%s", left ? "< " : "", v->sense == INW_AT_LEAST ? "at least" : v->sense == INW_AT_MOST ? "at most" : "from", limit,
	         v->sense == INW_WITHIN ? " to " : "", v->sense == INW_WITHIN ? high : "", right ? " >" : "");
	if (side == INW_CENTRED) { /* nearer an end it would run through what stands there */
		inw_draw__ink(c, inw_ink_text);
		inw_draw__line(c, (struct inw_spot){x, k->at.y + k->at.h}, (struct inw_spot){x, y - 8}, 0.6);
	}
	inw_draw__text(c, (struct inw_spot){x, y}, chart_w, type(8, true, side), text);
}

/* What stands where there is no chart, or beside it: nothing may vanish. */
static void say_instead(cairo_t *c, const struct scene *s, const struct inw_odds_verdict *v, const struct chart *k)
{
	struct inw_bounded all = v->low_bound == INW_MORE_THAN ? (struct inw_bounded){v->low, v->low_bound} : v->high_bound == INW_LESS_THAN ? (struct inw_bounded){v->high, v->high_bound}
	                       : (struct inw_bounded){v->median, INW_EXACTLY};
	char number[2 * INW_CELL], text[64] = "";

	if (v->none > 0)
		snprintf(text, sizeof text, "%.3g %% of the samples have no answer: not met", 100 * v->none);
	inw_draw__text(c, (struct inw_spot){chart_x, k->at.y + k->at.h + 36}, chart_w, type(8, false, INW_LEFT_ALIGNED), text);
	inw_show__bounded(number, sizeof number, all, v->dim, s->units);
	if (k->from >= k->to) /* too little to tell, or hardly anything but one number, such as zero, or a bound */
		inw_draw__text(c, (struct inw_spot){k->at.x, k->at.y + k->at.h / 2}, k->at.w - 8, type(9, false, INW_LEFT_ALIGNED), isnan(v->median) ? "not told" : number);
}

static void distribution(cairo_t *c, const struct scene *s, const struct inw_odds_verdict *v, double y)
{
	const double box_w = 40;
	struct chart k = {.at = {chart_x, y, chart_w, chart_h}};

	if (!isnan(v->median))
		ends(v, &k.from, &k.to);
	if (v->more_than + v->less_than > 0) {
		bool more = v->more_than > 0;
		k.at.w -= 2 * box_w;
		k.at.x += more ? 0 : 2 * box_w;
		beyond(c, s, v, (struct inw_rect){more ? chart_x + chart_w - box_w : chart_x, y, box_w, k.at.h});
	}
	if (k.from < k.to)
		bins(c, s, v, &k);
	say_instead(c, s, v, &k);
	say_limit(c, s, v, &k);
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

/* Does another job begin with this row? */
static bool begins_job(const struct scene *s, int i)
{
	const char *now = s->row[i]->job ? s->row[i]->job : "", *before = i && s->row[i - 1]->job ? s->row[i - 1]->job : "";

	return i == 0 ? now[0] != '\0' : strcmp(now, before) != 0;
}

static double foot_of(const struct scene *s)
{
	double y = head_h;

	for (int i = 0; i < s->rows; i++)
		y += row_h + (begins_job(s, i) ? job_h : 0);
	return y;
}

static void rows(cairo_t *c, const struct scene *s)
{
	double y = head_h;

	for (int i = 0; i < s->rows; i++, y += row_h) {
		if (begins_job(s, i)) {
			char text[160];
			snprintf(text, sizeof text, "Job %s", s->row[i]->job ? s->row[i]->job : "");
			inw_draw__text(c, (struct inw_spot){margin, y + 7}, width - 2 * margin, type(11, true, INW_LEFT_ALIGNED), text);
			y += job_h;
		}
		row(c, s, s->row[i], y);
	}
}

static bool draw(void *context, cairo_t *c)
{
	const struct scene *s = context;
	char text[160], met[32], error[32], no_pass[96] = "";
	double foot = foot_of(s);

	inw_draw__rect(c, (struct inw_rect){0, 0, width, foot + 30}, inw_ink_paper, 0);
	inw_draw__text(c, (struct inw_spot){margin, 30}, width - 2 * margin, type(15, true, INW_LEFT_ALIGNED), s->o->title);
	if (s->o->untold)
		snprintf(no_pass, sizeof no_pass, "No pass: data are missing for %zu of %zu. ", s->o->untold, s->o->required);
	snprintf(text, sizeof text, "%sEverything that can be told is met at once: %s%s, from %zu samples", no_pass, inw_show__odds(met, sizeof met, s->o->all.met, s->o->all.met_error),
	         inw_show__odds_error(error, sizeof error, s->o->all.met, s->o->all.met_error), s->o->samples);
	inw_draw__text(c, (struct inw_spot){margin, 50}, width - 2 * margin, type(10, false, INW_LEFT_ALIGNED), text);
	inw_draw__text(c, (struct inw_spot){margin, 74}, 200, type(9, true, INW_LEFT_ALIGNED), "Requirement and its odds");
	inw_draw__text(c, (struct inw_spot){chart_x, 74}, chart_w, type(9, true, INW_LEFT_ALIGNED), "What the number may be; dark misses the limit");
	inw_draw__text(c, (struct inw_spot){bars_x, 74}, bars_w, type(9, true, INW_LEFT_ALIGNED), "What matters (pale: with others)");
	rows(c, s);
	inw_draw__text(c, (struct inw_spot){margin, foot + 14}, width - 2 * margin, type(8, false, INW_LEFT_ALIGNED), inw_show__disclaimer);
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
	return inw_canvas__draw(path, (struct inw_size){width, foot_of(&s) + 30}, draw, &s, diags);
}

char *inw_show_odds_picture_svg(const struct inw_odds *o, enum inw_units units)
{
	struct scene s = scene_of(o, units);
	return inw_canvas__svg((struct inw_size){width, foot_of(&s) + 30}, draw, &s);
}
