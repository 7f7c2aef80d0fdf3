/* SPDX-License-Identifier: MIT */
/* train.c: the cleaner as the air meets it, where its air goes, and the blower's curve against what resists it. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/picture.h"

enum { PER_ROW = 6, CARD_HEIGHT = 138, ROW_STEP = 156, CORRIDOR = 66, SPLIT_ROOM = 250, START = 54, BETWEEN = 26 };

static const struct inw_face_of_type small_type = {9.5, false, INW_LEFT_ALIGNED, {0.10, 0.10, 0.12}};

static bool flows(double flow)
{
	return isfinite(flow) && flow > 0;
}

double inw_picture__train_height(const struct inw_picture *p)
{
	size_t rows = (p->s->stage_count + PER_ROW - 1) / PER_ROW;
	return rows ? CORRIDOR - 18 + ROW_STEP * (double)rows : 30;
}

/* ---- signs of the stages ----------------------------------------------------------------------------------------- */

static void draw_pleats(cairo_t *c, struct inw_rect r)
{
	inw_draw__ink(c, inw_ink_text);
	cairo_set_line_width(c, 1.4);
	for (int i = 0; i <= 12; i++)
		cairo_line_to(c, r.x + r.w * i / 12.0, i % 2 ? r.y + 3 : r.y + r.h - 3);
	cairo_stroke(c);
}

static void draw_granules(cairo_t *c, struct inw_rect r)
{
	inw_draw__ink(c, inw_ink_text);
	for (int row = 0; row < 3; row++)
		for (int i = 0; i < 11 - row % 2; i++) {
			cairo_new_sub_path(c);
			cairo_arc(c, r.x + 5 + (r.w - 10) * (i + (row % 2) * 0.5) / 10.0, r.y + 4 + row * (r.h - 8) / 2.0, 2.6, 0,
			          6.283185307179586);
		}
	cairo_fill(c);
}

static void draw_wheel(cairo_t *c, struct inw_rect r)
{
	double x = r.x + r.w / 2, y = r.y + r.h / 2, radius = r.h / 2;
	inw_draw__ink(c, inw_ink_text);
	cairo_set_line_width(c, 1.4);
	cairo_arc(c, x, y, radius, 0, 6.283185307179586);
	cairo_stroke(c);
	for (int i = 0; i < 6; i++) {
		double a = 1.0471975511965976 * i;
		cairo_move_to(c, x + 3 * cos(a), y + 3 * sin(a));
		cairo_curve_to(c, x + 6 * cos(a + 0.3), y + 6 * sin(a + 0.3), x + 8 * cos(a + 0.5), y + 8 * sin(a + 0.5),
		               x + (radius - 1) * cos(a + 0.9), y + (radius - 1) * sin(a + 0.9));
	}
	cairo_stroke(c);
}

/* ---- one stage --------------------------------------------------------------------------------------------------- */

static const char *kind_words(enum inw_stage_kind kind)
{
	switch (kind) {
	case INW_STAGE_MEDIUM: return "particle filter";
	case INW_STAGE_BED: return "carbon bed";
	case INW_STAGE_BLOWER: return "blower";
	}
	return "stage";
}

static void card_line(const struct inw_picture *p, struct inw_spot *at, double room, const char *format, double value,
                      enum inw_dim dim)
{
	char number[INW_CELL], text[2 * INW_CELL];
	if (isnan(value))
		return;
	inw_draw__number(number, sizeof number, value, dim, p->units);
	const char *hole = strchr(format, '#');
	snprintf(text, sizeof text, "%.*s%s%s", (int)(hole - format), format, number, hole + 1);
	inw_draw__text(p->c, *at, room, small_type, text);
	at->y += 13;
}

static void draw_card(const struct inw_picture *p, struct inw_rect r, const struct inw_stage_view *s)
{
	const struct inw_face_of_type name = {11, true, INW_CENTRED, inw_ink_text},
								  kind = {9.5, false, INW_CENTRED, inw_ink_grey};
	struct inw_rect sign = {r.x + 8, r.y + 8, r.w - 16, 24};
	struct inw_spot at = {r.x + 8, r.y + 76};
	bool blower = s->kind == INW_STAGE_BLOWER;
	inw_draw__rect(p->c, r, (struct inw_ink){1, 1, 1}, 1.4);
	if (blower)
		draw_wheel(p->c, sign);
	else if (s->kind == INW_STAGE_BED)
		draw_granules(p->c, sign);
	else
		draw_pleats(p->c, sign);
	inw_draw__text(p->c, (struct inw_spot){r.x + r.w / 2, r.y + 46}, r.w - 8, name, s->name);
	inw_draw__text(p->c, (struct inw_spot){r.x + r.w / 2, r.y + 59}, r.w - 8, kind, kind_words(s->kind));
	card_line(p, &at, r.w - 12, blower ? "adds #" : "takes #", s->dp_Pa, INW_DIM_PRESSURE);
	card_line(p, &at, r.w - 12, "air #", s->T_K, INW_DIM_TEMPERATURE);
	if (blower)
		return;
	card_line(p, &at, r.w - 12, "speed #", s->face_velocity_ms, INW_DIM_VELOCITY);
	card_line(p, &at, r.w - 12, "past seal #", s->bypass_m3s, INW_DIM_VOLUME_FLOW);
	if (s->kind == INW_STAGE_BED)
		card_line(p, &at, r.w - 12, "stays #", s->residence_s, INW_DIM_TIME);
}

/* ---- ducts of the train ------------------------------------------------------------------------------------------ */

struct train {
	const struct inw_picture *p;
	struct inw_rect area;
	struct inw_ports ports;
	double corridor, card_width, end_x, first_y, last_y; /* middles of the first and the last row */
};

static void run(cairo_t *c, const struct inw_spot *spot, size_t count, bool arrow)
{
	inw_draw__ink(c, inw_ink_duct);
	cairo_set_line_width(c, 7);
	cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
	for (size_t i = 0; i < count; i++)
		cairo_line_to(c, spot[i].x, spot[i].y);
	cairo_stroke(c);
	if (!arrow)
		return;
	struct inw_spot tip = spot[count - 1], before = spot[count - 2];
	double length = hypot(tip.x - before.x, tip.y - before.y);
	inw_draw__arrow(c,
	                (struct inw_spot){tip.x - (tip.x - before.x) / length * 20,
	                                  tip.y - (tip.y - before.y) / length * 20},
	                tip, inw_ink_in);
}

static void draw_feed(const struct train *t)
{
	const struct inw_picture *p = t->p;
	char number[INW_CELL], text[2 * INW_CELL];
	double x = t->area.x + 16, from = isfinite(t->ports.inlet_x) ? t->ports.inlet_x : x + 280;
	const struct inw_spot spot[] = {
		{from, t->area.y}, {from, t->corridor}, {x, t->corridor}, {x, t->first_y}, {t->area.x + START, t->first_y}};
	run(p->c, spot, INW_COUNT(spot), true);
	inw_draw__number(number, sizeof number, p->s->cleaner_m3s, INW_DIM_VOLUME_FLOW, p->units);
	snprintf(text, sizeof text, "from the box to the cleaner: %s", number);
	inw_draw__label(p->c, (struct inw_spot){x + 12, t->corridor - 9}, from - x - 20, small_type, text);
}

static void draw_return(const struct train *t)
{
	const struct inw_picture *p = t->p;
	char number[INW_CELL], T[INW_CELL], text[4 * INW_CELL];
	double to = isfinite(t->ports.return_x) ? t->ports.return_x : t->end_x - 80;
	const struct inw_spot spot[] = {{t->end_x, t->last_y}, {t->end_x, t->corridor}, {to, t->corridor}, {to, t->area.y}};
	if (!flows(p->s->return_m3s))
		return;
	run(p->c, spot, INW_COUNT(spot), true);
	inw_draw__number(number, sizeof number, p->s->return_m3s, INW_DIM_VOLUME_FLOW, p->units);
	inw_draw__number(T, sizeof T, p->s->return_T_K, INW_DIM_TEMPERATURE, p->units);
	snprintf(text, sizeof text, "back into the box: %s at %s", number, T);
	inw_draw__label(p->c, (struct inw_spot){(to + t->end_x) / 2, t->corridor - 9}, t->end_x - to - 20,
	                (struct inw_face_of_type){9.5, false, INW_CENTRED, inw_ink_text}, text);
}

static void draw_exhaust(const struct train *t)
{
	const struct inw_picture *p = t->p;
	struct inw_spot at = {t->end_x + 74, t->last_y - 8};
	const struct inw_spot spot[] = {{t->end_x, t->last_y}, {t->end_x + 66, t->last_y}};
	const struct inw_face_of_type bold = {10.5, true, INW_LEFT_ALIGNED, inw_ink_text};
	double room = t->area.x + t->area.w - at.x;
	if (!flows(p->s->exhaust_m3s)) {
		inw_draw__text(p->c, (struct inw_spot){t->end_x + 14, t->last_y + 4}, t->area.x + t->area.w - t->end_x - 14,
		               small_type, isnan(p->s->exhaust_m3s) ? "exhaust: no number" : "nothing is sent out");
		return;
	}
	run(p->c, spot, INW_COUNT(spot), true);
	inw_draw__text(p->c, at, room, bold, "exhaust");
	at.y += 14;
	card_line(p, &at, room, "sends out #", p->s->exhaust_m3s, INW_DIM_VOLUME_FLOW);
	card_line(p, &at, room, "at #", p->s->exhaust_T_K, INW_DIM_TEMPERATURE);
	card_line(p, &at, room, "# at its far end", p->s->exhaust_end_T_K, INW_DIM_TEMPERATURE);
	at = (struct inw_spot){t->end_x + 8, t->last_y + 62};
	card_line(p, &at, room + 60, "flap # of the way to exhaust", p->s->flap_position, INW_DIM_FRACTION);
}

static struct inw_rect card_at(const struct train *t, size_t i)
{
	size_t row = i / PER_ROW, column = i % PER_ROW;
	return (struct inw_rect){t->area.x + START + (double)column * (t->card_width + BETWEEN),
	                         t->first_y - CARD_HEIGHT / 2.0 + ROW_STEP * (double)row, t->card_width, CARD_HEIGHT};
}

/* From card i to the next, or from the last to the split. */
static void draw_step(const struct train *t, size_t i)
{
	struct inw_rect r = card_at(t, i);
	double y = r.y + r.h / 2, right = r.x + r.w;
	if (i + 1 == t->p->s->stage_count) {
		run(t->p->c, (const struct inw_spot[]){{right, y}, {t->end_x, y}}, 2, false);
	} else if (i % PER_ROW == PER_ROW - 1) {
		struct inw_rect next = card_at(t, i + 1);
		double turn = r.y + r.h + (ROW_STEP - CARD_HEIGHT) / 2.0, x = t->area.x + 16;
		const struct inw_spot spot[] = {{right, y}, {right + 12, y},          {right + 12, turn},
		                                {x, turn},  {x, next.y + next.h / 2}, {next.x, next.y + next.h / 2}};
		run(t->p->c, spot, INW_COUNT(spot), true);
	} else {
		run(t->p->c, (const struct inw_spot[]){{right, y}, {right + BETWEEN, y}}, 2, true);
	}
}

void inw_picture__train(const struct inw_picture *p, struct inw_rect area, struct inw_ports ports)
{
	size_t n = p->s->stage_count, columns = n < PER_ROW ? n : PER_ROW, rows = (n + PER_ROW - 1) / PER_ROW;
	struct train t = {.p = p, .area = area, .ports = ports};
	if (!n) {
		inw_picture__heading(p, (struct inw_spot){area.x, area.y + 16}, "No cleaner: the box has only its gaps");
		return;
	}
	t.corridor = area.y + 26;
	t.card_width = fmin(152, (area.w - START - SPLIT_ROOM - BETWEEN * (double)(columns - 1)) / (double)columns);
	t.first_y = area.y + CORRIDOR + CARD_HEIGHT / 2.0 - 18;
	t.last_y = t.first_y + ROW_STEP * (double)(rows - 1);
	t.end_x = area.x + area.w - SPLIT_ROOM + 40;
	draw_return(&t);
	draw_feed(&t);
	for (size_t i = 0; i < n; i++)
		draw_step(&t, i);
	for (size_t i = 0; i < n; i++)
		draw_card(p, card_at(&t, i), &p->s->stages[i]);
	draw_exhaust(&t);
	inw_draw__ink(p->c, inw_ink_text);
	cairo_arc(p->c, t.end_x, t.last_y, 7, 0, 6.283185307179586);
	cairo_fill(p->c);
}

/* ---- the operating chart ----------------------------------------------------------------------------------------- */

struct chart {
	const struct inw_picture *p;
	struct inw_rect plot;
	struct inw_axis x, y;
};

static double most(const double *v, size_t n, double otherwise)
{
	for (size_t i = 0; i < n; i++)
		if (isfinite(v[i]) && v[i] > otherwise)
			otherwise = v[i];
	return otherwise;
}

static void draw_curve(const struct chart *k, const struct inw_curve *curve, bool dashed)
{
	cairo_t *c = k->p->c;
	bool down = false;
	cairo_save(c);
	cairo_rectangle(c, k->plot.x, k->plot.y, k->plot.w, k->plot.h);
	cairo_clip(c);
	for (size_t i = 0; i < curve->count; i++) {
		double x = inw_draw__on(&k->x, curve->x[i]), y = inw_draw__on(&k->y, curve->y[i]);
		if (!isfinite(x) || !isfinite(y))
			down = false;
		else if (down)
			cairo_line_to(c, x, y);
		else
			cairo_move_to(c, x, y);
		down = isfinite(x) && isfinite(y);
	}
	inw_draw__ink(c, dashed ? inw_ink_out : inw_ink_in);
	inw_draw__dash(c, dashed ? 9 : 0, 5);
	cairo_set_line_width(c, 2.6);
	cairo_stroke(c);
	inw_draw__dash(c, 0, 0);
	cairo_restore(c);
}

static void draw_operating_point(const struct chart *k)
{
	cairo_t *c = k->p->c;
	struct inw_spot at = {inw_draw__on(&k->x, k->p->s->operating_flow_m3s),
	                      inw_draw__on(&k->y, k->p->s->operating_rise_Pa)};
	if (!isfinite(at.x) || !isfinite(at.y))
		return;
	inw_draw__ink(c, inw_ink_text);
	inw_draw__dash(c, 2, 3);
	inw_draw__line(c, at, (struct inw_spot){at.x, k->plot.y + k->plot.h}, 1);
	inw_draw__line(c, at, (struct inw_spot){k->plot.x, at.y}, 1);
	inw_draw__dash(c, 0, 0);
	cairo_arc(c, at.x, at.y, 7, 0, 6.283185307179586);
	cairo_set_source_rgb(c, 1, 1, 1);
	cairo_fill_preserve(c);
	inw_draw__ink(c, inw_ink_text);
	cairo_set_line_width(c, 2.4);
	cairo_stroke(c);
	cairo_arc(c, at.x, at.y, 2.5, 0, 6.283185307179586);
	cairo_fill(c);
}

/* The legend stands above the plot, where no curve can run into it. */
static void draw_key(const struct chart *k, struct inw_spot at)
{
	cairo_t *c = k->p->c;
	char flow[INW_CELL], rise[INW_CELL], text[3 * INW_CELL];
	inw_draw__ink(c, inw_ink_in);
	inw_draw__line(c, (struct inw_spot){at.x, at.y - 4}, (struct inw_spot){at.x + 26, at.y - 4}, 2.6);
	at.x += 32;
	at.x += inw_draw__text(c, at, 0, small_type, "what the blower makes") + 18;
	inw_draw__ink(c, inw_ink_out);
	inw_draw__dash(c, 9, 5);
	inw_draw__line(c, (struct inw_spot){at.x, at.y - 4}, (struct inw_spot){at.x + 26, at.y - 4}, 2.6);
	inw_draw__dash(c, 0, 0);
	at.x += 32;
	inw_draw__text(c, at, 0, small_type, "what filter, carbon and ducts take");
	at = (struct inw_spot){k->plot.x, at.y + 17};
	if (isnan(k->p->s->operating_flow_m3s))
		return;
	inw_draw__number(flow, sizeof flow, k->p->s->operating_flow_m3s, INW_DIM_VOLUME_FLOW, k->p->units);
	inw_draw__number(rise, sizeof rise, k->p->s->operating_rise_Pa, INW_DIM_PRESSURE, k->p->units);
	inw_draw__ink(c, inw_ink_text);
	cairo_arc(c, at.x + 13, at.y - 4, 5, 0, 6.283185307179586);
	cairo_set_line_width(c, 2);
	cairo_stroke(c);
	snprintf(text, sizeof text, "where they meet: %s at %s", flow, rise);
	inw_draw__text(c, (struct inw_spot){at.x + 32, at.y}, 0,
	               (struct inw_face_of_type){9.5, true, INW_LEFT_ALIGNED, inw_ink_text}, text);
}

void inw_picture__chart(const struct inw_picture *p, struct inw_rect area)
{
	const struct inw_curve *b = &p->s->blower_curve, *t = &p->s->train_curve;
	struct chart k = {.p = p, .plot = {area.x + 62, area.y + 66, area.w - 82, area.h - 118}};
	char title[64];
	const struct inw_face_of_type axis_type = {10.5, false, INW_CENTRED, inw_ink_text};
	inw_picture__heading(p, (struct inw_spot){area.x, area.y + 16}, "Blower against resistance");
	if (!b->count && !t->count) {
		inw_draw__text(p->c, (struct inw_spot){area.x, area.y + 40}, area.w, small_type, "no blower, or no solution");
		return;
	}
	double flow = most(b->x, b->count, flows(p->s->operating_flow_m3s) ? p->s->operating_flow_m3s : 0);
	double rise = most(b->y, b->count, flows(p->s->operating_rise_Pa) ? p->s->operating_rise_Pa : 0);
	if (!b->count) {
		flow = most(t->x, t->count, flow);
		rise = most(t->y, t->count, rise);
	}
	k.x = inw_draw__axis(0, 1.05 * flow, k.plot.x, k.plot.x + k.plot.w, INW_DIM_VOLUME_FLOW, p->units);
	k.y = inw_draw__axis(0, 1.10 * rise, k.plot.y + k.plot.h, k.plot.y, INW_DIM_PRESSURE, p->units);
	draw_key(&k, (struct inw_spot){k.plot.x, area.y + 38});
	inw_draw__rect(p->c, k.plot, (struct inw_ink){1, 1, 1}, 0);
	inw_draw__level_axis(p->c, &k.x, k.plot.y + k.plot.h, k.plot.y);
	inw_draw__upright_axis(p->c, &k.y, k.plot.x, k.plot.x + k.plot.w);
	inw_draw__ink(p->c, inw_ink_text);
	inw_draw__line(p->c, (struct inw_spot){k.plot.x, k.plot.y}, (struct inw_spot){k.plot.x, k.plot.y + k.plot.h}, 1.2);
	inw_draw__line(p->c, (struct inw_spot){k.plot.x, k.plot.y + k.plot.h},
	               (struct inw_spot){k.plot.x + k.plot.w, k.plot.y + k.plot.h}, 1.2);
	draw_curve(&k, t, true);
	draw_curve(&k, b, false);
	draw_operating_point(&k);
	snprintf(title, sizeof title, "flow, %s", strcmp(k.x.unit, "m3/h") ? "ft\xC2\xB3/min" : "m\xC2\xB3/h");
	inw_draw__text(p->c, (struct inw_spot){k.plot.x + k.plot.w / 2, k.plot.y + k.plot.h + 32}, 0, axis_type, title);
	snprintf(title, sizeof title, "pressure, %s", k.y.unit);
	cairo_save(p->c);
	cairo_translate(p->c, area.x + 14, k.plot.y + k.plot.h / 2);
	cairo_rotate(p->c, -1.5707963267948966);
	inw_draw__text(p->c, (struct inw_spot){0, 0}, 0, axis_type, title);
	cairo_restore(p->c);
}
