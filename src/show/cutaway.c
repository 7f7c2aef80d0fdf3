/* SPDX-License-Identifier: MIT */
/* cutaway.c: the box cut open from the front, to scale, with its gaps at their heights; beside it the pressure that
 * drives air inward over the same height. Left-right places of gaps are not in a design: those are spread for
 * legibility, and the heading says so. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "show/picture.h"

enum {
	LABEL_STEP = 31,
	LABEL_ROOM = 210,
	ARROW = 34,
	HEADING = 34,
	ABOVE = 64,
	BELOW = 84,
	WIDEST = 320,
	TALLEST = 380,
	PROFILE_LEAST = 240
};

enum side { SIDE_LEFT, SIDE_RIGHT };
enum look { LOOK_LEFT, LOOK_RIGHT, LOOK_TOP, LOOK_BOTTOM, LOOK_FRONT, LOOK_BACK };

/* One gap on the page. */
struct mark {
	const struct inw_gap_view *gap;
	enum look look;
	enum side side;
	double x, top, bottom;  /* the gap itself, upper and lower edge */
	struct inw_spot normal; /* outward */
	double tail_y;          /* level of the arrow's outer end */
	double label_y;
};

struct cutaway {
	const struct inw_picture *p;
	struct inw_rect area, box, profile;
	double scale; /* points per metre */
	struct mark *mark;
	size_t marks;
};

/* ---- sizes ------------------------------------------------------------------------------------------------------- */

static double positive(double value, double otherwise)
{
	return isfinite(value) && value > 0 ? value : otherwise;
}

static double scale_of(const struct inw_state_view *s)
{
	return fmin(WIDEST / positive(s->box_width, 1), TALLEST / positive(s->box_height, 1));
}

static enum look look_of(const char *face)
{
	static const char *const name[] = {"left", "right", "top", "bottom", "front", "back"};
	for (size_t i = 0; i < INW_COUNT(name); i++)
		if (face && strcmp(face, name[i]) == 0)
			return (enum look)i;
	return LOOK_FRONT;
}

/* Labels stand on the side of their gap; those of top and bottom on the side their mark is nearer to. */
static void count_sides(const struct inw_state_view *s, size_t count[2])
{
	size_t of[6] = {0};
	for (size_t i = 0; i < s->gap_count; i++)
		of[look_of(s->gaps[i].face)]++;
	count[0] = of[LOOK_LEFT] + of[LOOK_FRONT] + (of[LOOK_TOP] + 1) / 2 + (of[LOOK_BOTTOM] + 1) / 2;
	count[1] = of[LOOK_RIGHT] + of[LOOK_BACK] + of[LOOK_TOP] / 2 + of[LOOK_BOTTOM] / 2;
}

double inw_picture__cutaway_height(const struct inw_picture *p)
{
	size_t count[2];
	count_sides(p->s, count);
	double labels = LABEL_STEP * (double)(count[0] > count[1] ? count[0] : count[1]) + 30;
	double box = fmax(positive(p->s->box_height, 1) * scale_of(p->s) + BELOW, PROFILE_LEAST + 44);
	return HEADING + ABOVE + fmax(box, labels);
}

/* ---- marks ------------------------------------------------------------------------------------------------------- */

static double level(const struct cutaway *k, double height)
{
	return k->box.y + k->box.h - height * k->scale;
}

/* Left-right place of the nth front or back gap: steps of the golden ratio keep neighbours in height apart. */
static double lane(size_t nth)
{
	double whole, part = modf(0.5 + 0.618034 * (double)nth, &whole);
	return part;
}

static void place_mark(struct cutaway *k, struct mark *m, size_t nth, size_t of)
{
	const struct inw_rect b = k->box;
	double across = (double)(nth + 1) / (double)(of + 1);
	m->top = level(k, m->gap->height + positive(m->gap->rise, 0));
	m->bottom = level(k, m->gap->height);
	switch (m->look) {
	case LOOK_LEFT:
		m->x = b.x;
		m->normal = (struct inw_spot){-1, 0};
		break;
	case LOOK_RIGHT:
		m->x = b.x + b.w;
		m->normal = (struct inw_spot){1, 0};
		break;
	case LOOK_TOP:
		m->x = b.x + b.w * across;
		m->top = m->bottom = b.y;
		m->normal = (struct inw_spot){0, -1};
		break;
	case LOOK_BOTTOM:
		m->x = b.x + b.w * across;
		m->top = m->bottom = b.y + b.h;
		m->normal = (struct inw_spot){0, 1};
		break;
	case LOOK_FRONT:
		m->x = b.x + b.w * (0.24 + 0.22 * lane(nth));
		m->normal = (struct inw_spot){-0.8, 0.6};
		break;
	case LOOK_BACK:
		m->x = b.x + b.w * (0.54 + 0.22 * lane(nth));
		m->normal = (struct inw_spot){0.8, -0.6};
		break;
	}
	m->side = m->look == LOOK_RIGHT || m->look == LOOK_BACK ? SIDE_RIGHT : SIDE_LEFT;
	if (m->look == LOOK_TOP || m->look == LOOK_BOTTOM)
		m->side = nth < (of + 1) / 2 ? SIDE_LEFT : SIDE_RIGHT;
	m->tail_y = (m->top + m->bottom) / 2 + m->normal.y * ARROW;
}

static void place_marks(struct cutaway *k)
{
	size_t seen[6] = {0}, of[6] = {0};
	for (size_t i = 0; i < k->marks; i++) {
		k->mark[i].gap = &k->p->s->gaps[i];
		k->mark[i].look = look_of(k->mark[i].gap->face);
		of[k->mark[i].look]++;
	}
	for (size_t i = 0; i < k->marks; i++) {
		struct mark *m = &k->mark[i];
		place_mark(k, m, seen[m->look]++, of[m->look]);
	}
}

/* From the top down; at one level, the mark farther from the labels first, so that leaders do not cross. */
static int by_level(const void *left, const void *right)
{
	const struct mark *a = left, *b = right;
	double ya = a->tail_y, yb = b->tail_y, away = a->side == SIDE_LEFT ? b->x - a->x : a->x - b->x;
	if (a->side != b->side)
		return a->side < b->side ? -1 : 1;
	if (fabs(ya - yb) > 0.5)
		return ya < yb ? -1 : 1;
	if (a->look == LOOK_BOTTOM)
		away = -away;
	return away < 0 ? -1 : away > 0;
}

/* Outer ends of wall arrows that start at one height are fanned out. */
static void fan_tails(struct mark *m, size_t count, enum look look, double *room)
{
	size_t n = 0;
	for (size_t i = 0; i < count; i++)
		if (m[i].look == look)
			room[n++] = m[i].tail_y;
	inw_draw__spread(room, n, 22, -1e6, 1e6);
	n = 0;
	for (size_t i = 0; i < count; i++)
		if (m[i].look == look)
			m[i].tail_y = room[n++];
}

static bool settle_labels(struct cutaway *k)
{
	double *room = malloc((k->marks + 1) * sizeof *room);
	if (!room)
		return false;
	qsort(k->mark, k->marks, sizeof *k->mark, by_level);
	fan_tails(k->mark, k->marks, LOOK_LEFT, room);
	fan_tails(k->mark, k->marks, LOOK_RIGHT, room);
	for (int side = SIDE_LEFT; side <= SIDE_RIGHT; side++) {
		size_t n = 0, first = k->marks;
		for (size_t i = 0; i < k->marks; i++)
			if (k->mark[i].side == (enum side)side) {
				first = i < first ? i : first;
				room[n++] = k->mark[i].tail_y;
			}
		inw_draw__spread(room, n, LABEL_STEP, k->area.y + HEADING + 20, k->area.y + k->area.h - 20);
		for (size_t i = 0; i < n; i++)
			k->mark[first + i].label_y = room[i];
	}
	free(room);
	return true;
}

/* ---- drawing the box --------------------------------------------------------------------------------------------- */

static void draw_dimension(const struct cutaway *k, struct inw_spot a, struct inw_spot b, double metres, bool upright)
{
	cairo_t *c = k->p->c;
	char text[INW_CELL];
	const struct inw_face_of_type f = {10.5, false, INW_CENTRED, inw_ink_grey};
	struct inw_spot middle = {(a.x + b.x) / 2, (a.y + b.y) / 2};
	inw_draw__number(text, sizeof text, metres, INW_DIM_LENGTH, k->p->units);
	inw_draw__ink(c, inw_ink_grey);
	inw_draw__line(c, a, b, 0.8);
	for (int end = 0; end < 2; end++) {
		struct inw_spot e = end ? b : a;
		inw_draw__line(c, (struct inw_spot){e.x - 4, e.y + 4}, (struct inw_spot){e.x + 4, e.y - 4}, 1.2);
	}
	cairo_save(c);
	cairo_translate(c, middle.x, middle.y);
	if (upright)
		cairo_rotate(c, -1.5707963267948966);
	inw_draw__label(c, (struct inw_spot){0, 4}, 0, f, text);
	cairo_restore(c);
}

static void draw_shell(const struct cutaway *k)
{
	cairo_t *c = k->p->c;
	const struct inw_rect b = k->box;
	inw_draw__rect(c, b, inw_ink_box, 0);
	inw_draw__ink(c, inw_ink_text);
	cairo_set_line_width(c, 5);
	cairo_rectangle(c, b.x - 2.5, b.y - 2.5, b.w + 5, b.h + 5);
	cairo_stroke(c);
	draw_dimension(k, (struct inw_spot){b.x, b.y + b.h + 52}, (struct inw_spot){b.x + b.w, b.y + b.h + 52},
	               k->p->s->box_width, false);
	draw_dimension(k, (struct inw_spot){b.x - 54, b.y + b.h}, (struct inw_spot){b.x - 54, b.y}, k->p->s->box_height,
	               true);
}

/* A duct behind the back panel: hidden lines are dashed, as on a workshop drawing. */
static double draw_duct(const struct cutaway *k, double height, double share, bool into_box)
{
	cairo_t *c = k->p->c;
	double x = k->box.x + k->box.w * share, y = level(k, height), wide = fmin(14, k->box.w * 0.12);
	if (!isfinite(height))
		return NAN;
	inw_draw__ink(c, inw_ink_duct);
	inw_draw__dash(c, 6, 3);
	inw_draw__line(c, (struct inw_spot){x - wide / 2, y}, (struct inw_spot){x - wide / 2, k->area.y + k->area.h}, 1.6);
	inw_draw__line(c, (struct inw_spot){x + wide / 2, y}, (struct inw_spot){x + wide / 2, k->area.y + k->area.h}, 1.6);
	inw_draw__dash(c, 0, 0);
	inw_draw__rect(c, (struct inw_rect){x - wide / 2 - 3, y - 5, wide + 6, 10}, inw_ink_paper, 1.2);
	for (double bar = -wide / 2; bar <= wide / 2; bar += 4)
		inw_draw__line(c, (struct inw_spot){x + bar, y - 4}, (struct inw_spot){x + bar, y + 4}, 0.8);
	double start = y + 8, end = y + 32;
	inw_draw__arrow(c, (struct inw_spot){x, into_box ? end : start}, (struct inw_spot){x, into_box ? start : end},
	                inw_ink_in);
	return x;
}

static void draw_neutral(const struct cutaway *k)
{
	cairo_t *c = k->p->c;
	double h = k->p->s->neutral_height_m;
	if (!isfinite(h) || h < 0 || h > k->p->s->box_height)
		return;
	inw_draw__ink(c, inw_ink_text);
	inw_draw__dash(c, 9, 4);
	inw_draw__line(c, (struct inw_spot){k->box.x - 14, level(k, h)},
	               (struct inw_spot){k->box.x + k->box.w + 14, level(k, h)}, 1);
	inw_draw__dash(c, 0, 0);
}

/* Room for three lines inside the box that no mark needs, or below the dimension when there is none. */
static double quiet_level(const struct cutaway *k, bool *inside)
{
	double best = -1, where = 0;
	for (double y = k->box.y + 34; y < k->box.y + k->box.h - 34; y += 4) {
		double clear = fmin(y - k->box.y, k->box.y + k->box.h - y);
		for (size_t i = 0; i < k->marks; i++)
			if (k->mark[i].look >= LOOK_FRONT)
				clear = fmin(clear, fmax(0, fmax(k->mark[i].top - y, y - k->mark[i].bottom)));
		if (isfinite(k->p->s->neutral_height_m))
			clear = fmin(clear, fabs(y - level(k, k->p->s->neutral_height_m)));
		if (clear > best) {
			best = clear;
			where = y;
		}
	}
	*inside = best >= 30 && k->box.w >= 190;
	return where;
}

static void draw_inside(const struct cutaway *k)
{
	cairo_t *c = k->p->c;
	const struct inw_state_view *s = k->p->s;
	char T[INW_CELL], p[INW_CELL], depth[INW_CELL], line[4 * INW_CELL];
	const struct inw_face_of_type bold = {13, true, INW_CENTRED, inw_ink_text},
								  small = {9.5, false, INW_CENTRED, inw_ink_text};
	bool inside;
	double y = quiet_level(k, &inside), x = k->box.x + k->box.w / 2;
	inw_draw__number(T, sizeof T, s->box_T_K, INW_DIM_TEMPERATURE, k->p->units);
	inw_draw__number(p, sizeof p, s->box_p_Pa, INW_DIM_PRESSURE, k->p->units);
	inw_draw__number(depth, sizeof depth, s->box_depth, INW_DIM_LENGTH, k->p->units);
	if (isnan(s->box_T_K)) {
		snprintf(T, sizeof T, "of unknown warmth");
		snprintf(p, sizeof p, "unknown pressure");
	}
	if (inside) {
		snprintf(line, sizeof line, "air %s", T);
		inw_draw__text(c, (struct inw_spot){x, y - 4}, k->box.w * 0.62, bold, line);
		snprintf(line, sizeof line, "%s at the floor", p);
		inw_draw__text(c, (struct inw_spot){x, y + 10}, k->box.w * 0.62, small, line);
		snprintf(line, sizeof line, "%s deep", depth);
		inw_draw__text(c, (struct inw_spot){x, y + 23}, k->box.w * 0.62, small, line);
	} else {
		snprintf(line, sizeof line, "air %s, %s at the floor; %s deep", T, p, depth);
		inw_draw__label(c, (struct inw_spot){x, k->box.y + k->box.h + 72}, 330, small, line);
	}
}

/* ---- drawing gaps ------------------------------------------------------------------------------------------------ */

static void draw_opening(const struct cutaway *k, const struct mark *m)
{
	cairo_t *c = k->p->c;
	bool level_face = m->look == LOOK_TOP || m->look == LOOK_BOTTOM, on_face = m->look >= LOOK_FRONT;
	double tall = fmax(m->bottom - m->top, 5), y = (m->top + m->bottom) / 2;
	struct inw_rect r = {m->x - 3.5, y - tall / 2, 7, tall};
	if (level_face)
		r = (struct inw_rect){m->x - 6, m->top - (m->look == LOOK_TOP ? 6 : 1), 12, 7};
	else if (on_face)
		r = (struct inw_rect){m->x - 4, y - tall / 2, 8, tall};
	inw_draw__rect(c, r, inw_ink_paper, 1);
}

static void draw_stream(const struct cutaway *k, const struct mark *m, double y, bool outward)
{
	cairo_t *c = k->p->c;
	double bend = m->tail_y - ((m->top + m->bottom) / 2 + m->normal.y * ARROW);
	struct inw_spot inner = {m->x - 9 * m->normal.x, y - 9 * m->normal.y};
	struct inw_spot outer = {m->x + ARROW * m->normal.x, y + ARROW * m->normal.y + bend};
	if (outward)
		inw_draw__escape(c, inner, outer);
	else
		inw_draw__arrow(c, outer, inner, inw_ink_in);
}

static void draw_streams(const struct cutaway *k, const struct mark *m)
{
	bool in = m->gap->in_m3s > 0, out = m->gap->out_m3s > 0;
	double quarter = fmax((m->bottom - m->top) / 4, in && out ? 7 : 0), middle = (m->top + m->bottom) / 2;
	bool out_above = m->gap->dp_top_Pa < m->gap->dp_bottom_Pa;
	if (in)
		draw_stream(k, m, out ? middle + (out_above ? quarter : -quarter) : middle, false);
	if (out)
		draw_stream(k, m, in ? middle + (out_above ? -quarter : quarter) : middle, true);
}

static void draw_leader(const struct cutaway *k, const struct mark *m)
{
	cairo_t *c = k->p->c;
	bool left = m->side == SIDE_LEFT;
	double edge = left ? k->area.x + LABEL_ROOM + 4 : k->profile.x - 66 - LABEL_ROOM - 4;
	bool moves = m->gap->in_m3s > 0 || m->gap->out_m3s > 0;
	struct inw_spot end = moves ? (struct inw_spot){m->x + ARROW * m->normal.x, m->tail_y}
	                            : (struct inw_spot){m->x, (m->top + m->bottom) / 2};
	inw_draw__ink(c, inw_ink_grey);
	cairo_set_line_width(c, 0.7);
	cairo_move_to(c, edge, m->label_y);
	cairo_line_to(c, edge + (left ? 8 : -8), m->label_y);
	cairo_line_to(c, end.x, end.y);
	cairo_stroke(c);
}

static double draw_flow(const struct cutaway *k, struct inw_spot at, double flow, bool outward)
{
	char number[INW_CELL];
	const struct inw_face_of_type f = {9.5, outward, INW_LEFT_ALIGNED, inw_ink_text};
	double w = inw_draw__tag(k->p->c, at, outward) + 4;
	inw_draw__number(number, sizeof number, flow, INW_DIM_VOLUME_FLOW, k->p->units);
	return w + inw_draw__text(k->p->c, (struct inw_spot){at.x + w, at.y}, 0, f, number) + 8;
}

static void draw_label(const struct cutaway *k, const struct mark *m)
{
	cairo_t *c = k->p->c;
	const struct inw_gap_view *g = m->gap;
	double x = m->side == SIDE_LEFT ? k->area.x : k->profile.x - 66 - LABEL_ROOM, y = m->label_y, room;
	const struct inw_face_of_type bold = {10.5, true, INW_LEFT_ALIGNED, inw_ink_text},
								  plain = {9.5, false, INW_LEFT_ALIGNED, inw_ink_grey};
	char face[160];
	snprintf(face, sizeof face, "%.40s%s%.80s", g->face ? g->face : "", g->room ? ", to " : "", g->room ? g->room : "");
	double used = inw_draw__label(c, (struct inw_spot){x, y - 2}, LABEL_ROOM, bold, g->name);
	if (used + 5 + inw_draw__width(c, plain, face) >
	    LABEL_ROOM) /* the mark shows the face; rather less than cut short */
		snprintf(face, sizeof face, "%.40s", g->face ? g->face : "");
	if (used + 5 + inw_draw__width(c, plain, face) <= LABEL_ROOM)
		inw_draw__text(c, (struct inw_spot){x + used + 5, y - 2}, 0, plain, face);
	room = x;
	if (g->out_m3s > 0)
		room += draw_flow(k, (struct inw_spot){room, y + 12}, g->out_m3s, true);
	if (g->in_m3s > 0)
		room += draw_flow(k, (struct inw_spot){room, y + 12}, g->in_m3s, false);
	if (room == x)
		inw_draw__text(c, (struct inw_spot){x, y + 12}, LABEL_ROOM, plain, isnan(g->in_m3s) ? "no number" : "no flow");
	else if (room < x + LABEL_ROOM - 40) {
		inw_draw__number(face, sizeof face, fabs(g->velocity_ms), INW_DIM_VELOCITY, k->p->units);
		inw_draw__text(c, (struct inw_spot){room, y + 12}, x + LABEL_ROOM - room, plain, face);
	}
}

/* ---- pressure over height ---------------------------------------------------------------------------------------- */

/* A straight line of inward pressure over height: at the box's floor, and by the metre. */
struct profile {
	bool known;
	double floor_Pa, slope_Pam;
	const char *room;
};

static struct profile through(double h0, double p0, double h1, double p1)
{
	double slope = (p1 - p0) / (h1 - h0);
	return (struct profile){isfinite(slope), p0 - slope * h0, slope, NULL};
}

/* The line of one room: through the lowest and highest known points of the gaps that open to it. */
static struct profile line_of_room(const struct inw_state_view *s, const char *room)
{
	double h0 = INFINITY, p0 = 0, h1 = -INFINITY, p1 = 0;
	for (size_t i = 0; i < s->gap_count; i++) {
		const struct inw_gap_view *g = &s->gaps[i];
		if (strcmp(g->room ? g->room : "", room ? room : "") || !isfinite(g->dp_bottom_Pa + g->dp_top_Pa))
			continue;
		if (g->height < h0) {
			h0 = g->height;
			p0 = g->dp_bottom_Pa;
		}
		if (g->height + g->rise > h1) {
			h1 = g->height + g->rise;
			p1 = g->dp_top_Pa;
		}
	}
	struct profile line = {.known = false};
	if (h1 > h0 + 0.005)
		line = through(h0, p0, h1, p1);
	else if (isfinite(h0) && h0 > 0.02 && isfinite(s->box_p_Pa)) /* one height: the floor is the second point */
		line = through(0, -s->box_p_Pa, h0, p0);
	line.room = room;
	return line;
}

static bool first_of_room(const struct inw_state_view *s, size_t i)
{
	for (size_t k = 0; k < i; k++)
		if (strcmp(s->gaps[k].room ? s->gaps[k].room : "", s->gaps[i].room ? s->gaps[i].room : "") == 0)
			return false;
	return true;
}

static double wanted_pressure(const struct inw_picture *p)
{
	for (size_t i = 0; i < p->r->verdict_count; i++) {
		const struct inw_verdict *v = &p->r->verdicts[i];
		if (v->id && strcmp(v->id, "inward_pressure") == 0 && v->sense == INW_AT_LEAST &&
		    (!v->job || !p->s->job || strcmp(v->job, p->s->job) == 0))
			return v->limit;
	}
	return NAN;
}

static void widen(double range[2], double value)
{
	if (isfinite(value)) {
		range[0] = fmin(range[0], value);
		range[1] = fmax(range[1], value);
	}
}

static struct inw_axis pressure_axis(const struct cutaway *k)
{
	const struct inw_state_view *s = k->p->s;
	double range[2] = {0, 0}, wanted = wanted_pressure(k->p);
	for (size_t i = 0; i < s->gap_count; i++) {
		struct profile line = line_of_room(s, s->gaps[i].room);
		widen(range, s->gaps[i].dp_bottom_Pa);
		widen(range, s->gaps[i].dp_top_Pa);
		if (line.known) {
			widen(range, line.floor_Pa);
			widen(range, line.floor_Pa + line.slope_Pam * s->box_height);
		}
	}
	widen(range, -s->box_p_Pa);
	if (wanted < 4 * range[1] || range[1] <= 0) /* a limit far away would flatten what there is to see */
		widen(range, wanted);
	double span = range[1] > range[0] ? range[1] - range[0] : 1;
	return inw_draw__axis(range[0] - 0.12 * span, range[1] + 0.12 * span, k->profile.x, k->profile.x + k->profile.w,
	                      INW_DIM_PRESSURE, k->p->units);
}

static void draw_line_of_room(const struct cutaway *k, const struct inw_axis *x, const struct inw_axis *y,
                              struct profile line, int nth)
{
	cairo_t *c = k->p->c;
	double h = k->p->s->box_height, end = inw_draw__on(x, line.floor_Pa + line.slope_Pam * h), top = inw_draw__on(y, h);
	char name[120];
	double right = k->profile.x + k->profile.w, half = 60;
	const struct inw_face_of_type f = {9.5, true, INW_CENTRED, inw_ink_in};
	inw_draw__ink(c, inw_ink_in);
	inw_draw__dash(c, nth ? 7 : 0, nth ? 3 : 0);
	inw_draw__line(c, (struct inw_spot){inw_draw__on(x, line.floor_Pa), inw_draw__on(y, 0)},
	               (struct inw_spot){end, top}, 2.4);
	inw_draw__dash(c, 0, 0);
	snprintf(name, sizeof name, "against %.80s", line.room ? line.room : "the room");
	half = inw_draw__width(c, f, name) / 2;
	end = fmin(fmax(end, k->profile.x + half), right - half);
	inw_draw__label(c, (struct inw_spot){end, top - 6 - 12 * nth}, k->profile.w, f, name);
}

static void draw_gap_points(const struct cutaway *k, const struct inw_axis *x, const struct inw_axis *y)
{
	cairo_t *c = k->p->c;
	for (size_t i = 0; i < k->p->s->gap_count; i++) {
		const struct inw_gap_view *g = &k->p->s->gaps[i];
		struct inw_spot low = {inw_draw__on(x, g->dp_bottom_Pa), inw_draw__on(y, g->height)};
		struct inw_spot high = {inw_draw__on(x, g->dp_top_Pa), inw_draw__on(y, g->height + positive(g->rise, 0))};
		if (!isfinite(low.x + low.y + high.x + high.y))
			continue;
		inw_draw__ink(c, inw_ink_text);
		inw_draw__line(c, low, high, 4);
		bool outward = fmin(g->dp_bottom_Pa, g->dp_top_Pa) < 0;
		if (outward)
			inw_draw__rect(c, (struct inw_rect){high.x - 4.5, high.y - 4.5, 9, 9}, (struct inw_ink){1, 1, 1}, 1.6);
		else
			cairo_arc(c, high.x, high.y, 4, 0, 6.283185307179586);
		cairo_fill(c);
	}
}

static void draw_wanted(const struct cutaway *k, const struct inw_axis *x)
{
	cairo_t *c = k->p->c;
	double wanted = wanted_pressure(k->p), at = inw_draw__on(x, wanted);
	char text[INW_CELL + 16], number[INW_CELL];
	if (!isfinite(wanted) || wanted > x->high)
		return;
	inw_draw__ink(c, inw_ink_grey);
	inw_draw__dash(c, 2, 3);
	inw_draw__line(c, (struct inw_spot){at, k->profile.y}, (struct inw_spot){at, k->profile.y + k->profile.h}, 1.6);
	inw_draw__dash(c, 0, 0);
	snprintf(text, sizeof text, "wanted %s",
	         inw_draw__number(number, sizeof number, wanted, INW_DIM_PRESSURE, k->p->units));
	inw_draw__label(c, (struct inw_spot){fmin(at, k->profile.x + k->profile.w - 50), k->profile.y + k->profile.h + 28},
	                0, (struct inw_face_of_type){9.5, false, INW_CENTRED, inw_ink_grey}, text);
}

static void draw_neutral_label(const struct cutaway *k, const struct inw_axis *x, const struct inw_axis *y)
{
	double h = k->p->s->neutral_height_m, zero = inw_draw__on(x, 0);
	char text[INW_CELL + 32], number[INW_CELL];
	/* Warm air: the line falls from lower right to upper left, so above it on the right and below it on the left is
	 * free. */
	bool right = zero < k->profile.x + k->profile.w / 2, above = right == (k->p->s->box_p_Pa < 0);
	if (!isfinite(h) || h < 0 || h > k->p->s->box_height)
		return;
	inw_draw__ink(k->p->c, inw_ink_text);
	inw_draw__dash(k->p->c, 9, 4);
	inw_draw__line(k->p->c, (struct inw_spot){k->profile.x, inw_draw__on(y, h)},
	               (struct inw_spot){k->profile.x + k->profile.w, inw_draw__on(y, h)}, 1);
	inw_draw__dash(k->p->c, 0, 0);
	snprintf(text, sizeof text, "neutral plane, %s",
	         inw_draw__number(number, sizeof number, h, INW_DIM_LENGTH, k->p->units));
	inw_draw__label(k->p->c, (struct inw_spot){zero + (right ? 12 : -12), inw_draw__on(y, h) + (above ? -6 : 16)},
	                k->profile.w / 2,
	                (struct inw_face_of_type){9.5, true, right ? INW_LEFT_ALIGNED : INW_RIGHT_ALIGNED, inw_ink_text},
	                text);
}

static void draw_outward_zone(const struct cutaway *k, const struct inw_axis *x)
{
	cairo_t *c = k->p->c;
	double zero = inw_draw__on(x, 0), left = k->profile.x;
	struct inw_face_of_type f = {9.5, true, INW_RIGHT_ALIGNED, inw_ink_text};
	inw_draw__rect(c, k->profile, (struct inw_ink){1, 1, 1}, 0);
	if (zero > left + 1) {
		cairo_rectangle(c, left, k->profile.y, zero - left, k->profile.h);
		inw_draw__hatch(c, (struct inw_ink){0.96, 0.80, 0.66}, 7, 1.6);
	}
	if (zero > left + 70)
		inw_draw__label(c, (struct inw_spot){zero - 8, k->profile.y + k->profile.h - 8}, 0, f, "pushes OUT");
	f.align = INW_LEFT_ALIGNED;
	if (zero < k->profile.x + k->profile.w - 90)
		inw_draw__label(c, (struct inw_spot){zero + 8, k->profile.y + k->profile.h - 8}, 0, f, "draws IN");
}

static void draw_profile(const struct cutaway *k)
{
	cairo_t *c = k->p->c;
	const struct inw_state_view *s = k->p->s;
	struct inw_axis x = pressure_axis(k);
	struct inw_axis y = inw_draw__axis(0, positive(s->box_height, 1), k->profile.y + k->profile.h, k->profile.y,
	                                   INW_DIM_LENGTH, k->p->units);
	char title[96];
	double zero = inw_draw__on(&x, 0);
	int nth = 0;
	draw_outward_zone(k, &x);
	inw_draw__level_axis(c, &x, k->profile.y + k->profile.h, k->profile.y);
	inw_draw__upright_axis(c, &y, k->profile.x, k->profile.x + k->profile.w);
	draw_neutral_label(k, &x, &y);
	inw_draw__ink(c, inw_ink_text);
	inw_draw__line(c, (struct inw_spot){zero, k->profile.y}, (struct inw_spot){zero, k->profile.y + k->profile.h}, 1.8);
	draw_wanted(k, &x);
	for (size_t i = 0; i < s->gap_count; i++) {
		struct profile line = line_of_room(s, s->gaps[i].room);
		if (line.known && first_of_room(s, i))
			draw_line_of_room(k, &x, &y, line, nth++);
	}
	draw_gap_points(k, &x, &y);
	snprintf(title, sizeof title, "pressure driving air into the box, %s", x.unit);
	inw_draw__text(c, (struct inw_spot){k->profile.x + k->profile.w / 2, k->profile.y + k->profile.h + 43}, 0,
	               (struct inw_face_of_type){10.5, false, INW_CENTRED, inw_ink_text}, title);
	snprintf(title, sizeof title, "height, %s", y.unit);
	cairo_save(c);
	cairo_translate(c, k->profile.x - 42, k->profile.y + k->profile.h / 2);
	cairo_rotate(c, -1.5707963267948966);
	inw_draw__text(c, (struct inw_spot){0, 0}, 0, (struct inw_face_of_type){10.5, false, INW_CENTRED, inw_ink_text},
	               title);
	cairo_restore(c);
}

/* Light lines from the box's floor and top to the same heights of the profile. */
static void draw_guides(const struct cutaway *k)
{
	inw_draw__ink(k->p->c, inw_ink_faint);
	inw_draw__dash(k->p->c, 1, 3);
	for (int end = 0; end < 2; end++)
		inw_draw__line(k->p->c, (struct inw_spot){k->box.x + k->box.w + 6, k->box.y + end * k->box.h},
		               (struct inw_spot){k->profile.x, k->profile.y + end * k->profile.h}, 1);
	inw_draw__dash(k->p->c, 0, 0);
}

/* ---- all of it --------------------------------------------------------------------------------------------------- */

static void lay_out(struct cutaway *k)
{
	const struct inw_state_view *s = k->p->s;
	double w = positive(s->box_width, 1) * k->scale, h = positive(s->box_height, 1) * k->scale;
	double middle = k->area.x + LABEL_ROOM + 66 + WIDEST / 2.0;
	double tall = fmax(h, PROFILE_LEAST), room = k->area.h - HEADING - ABOVE - BELOW;
	double y = k->area.y + HEADING + ABOVE + fmax(0, (room - tall) / 2);
	k->box = (struct inw_rect){middle - w / 2, y + (tall - h) / 2, w, h};
	k->profile = (struct inw_rect){k->area.x + k->area.w - 300, y, 300, tall};
}

static void draw_all(struct cutaway *k, struct inw_ports *ports)
{
	struct inw_rect room = {k->area.x + LABEL_ROOM + 6, k->area.y + HEADING,
	                        k->profile.x - 66 - 2 * LABEL_ROOM - k->area.x - 12, k->area.h - HEADING};
	inw_draw__rect(k->p->c, room, inw_ink_room, 0);
	draw_guides(k);
	draw_shell(k);
	draw_neutral(k);
	ports->inlet_x = draw_duct(k, k->p->s->inlet_height, 0.13, false);
	ports->return_x = draw_duct(k, k->p->s->return_m3s > 0 ? k->p->s->return_height : NAN, 0.87, true);
	for (size_t i = 0; i < k->marks; i++)
		draw_leader(k, &k->mark[i]);
	for (size_t i = 0; i < k->marks; i++) {
		draw_opening(k, &k->mark[i]);
		draw_streams(k, &k->mark[i]);
	}
	draw_inside(k);
	for (size_t i = 0; i < k->marks; i++)
		draw_label(k, &k->mark[i]);
	draw_profile(k);
}

struct inw_ports inw_picture__cutaway(const struct inw_picture *p, struct inw_rect area)
{
	struct inw_ports ports = {NAN, NAN};
	struct cutaway k = {.p = p, .area = area, .scale = scale_of(p->s), .marks = p->s->gap_count};
	inw_picture__heading(p, (struct inw_spot){area.x, area.y + 16}, "The box cut open, seen from the front, to scale");
	inw_draw__text(p->c, (struct inw_spot){area.x + 400, area.y + 16}, 360,
	               (struct inw_face_of_type){9.5, false, INW_LEFT_ALIGNED, inw_ink_grey},
	               "gaps at their heights; their place to left or right is not known");
	inw_picture__heading(p, (struct inw_spot){area.x + area.w - 350, area.y + 16},
	                     "What drives air through gaps at each height");
	k.mark = calloc(k.marks + 1, sizeof *k.mark);
	lay_out(&k);
	if (k.mark) {
		place_marks(&k);
		if (settle_labels(&k)) {
			draw_all(&k, &ports);
			free(k.mark);
			return ports;
		}
	}
	free(k.mark);
	*p->failed = true;
	return ports;
}
