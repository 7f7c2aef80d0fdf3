/* SPDX-License-Identifier: MIT */
/* paper_drawing.c: the box from the front and from its right side, to one scale, with dimensions; what has a height stands in
 * a table under its number, so that no name need be cut. Where along its face a gap lies is not in a design. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "show/paper.h"

enum { TALLEST = 140, BESIDE = 62 /* for the height's dimension */, BETWEEN = 30, NUMBERS = 46, BELOW = 34, STEP = 12, MOST_MARKS = 64 };

/* Something at a height. */
struct mark { const char *name, *face, *room; double height, rise; const struct inw_gap_view *gap; };
struct views {
	struct inw_paper *p;
	const struct inw_state_view *s;
	struct inw_rect front, side;
	double scale;                 /* points per metre */
	struct mark mark[MOST_MARKS]; /* from the top down */
	size_t marks;
};

static double known(double v)
{
	return isfinite(v) && v > 0 ? v : 1;
}

/* ---- what has a height ------------------------------------------------------------------------------------------- */

static int by_height(const void *a, const void *b)
{
	const struct mark *m = a, *n = b;
	return m->height < n->height ? 1 : m->height > n->height ? -1 : strcmp(m->name, n->name);
}

static void add(struct views *v, struct mark m)
{
	if (v->marks < MOST_MARKS && isfinite(m.height))
		v->mark[v->marks++] = m;
}

static void collect(struct views *v)
{
	const struct inw_design *d = v->p->d;
	for (size_t i = 0; i < v->s->gap_count; i++) {
		const struct inw_gap_view *g = &v->s->gaps[i];
		add(v, (struct mark){g->name, g->face ? g->face : "", g->room, g->height, g->rise, g});
	}
	if (v->s->cleaner_m3s > 0)
		add(v, (struct mark){"inlet of the cleaner", "", NULL, v->s->inlet_height, 0, NULL});
	if (v->s->return_m3s > 0)
		add(v, (struct mark){"return of the cleaned air", "", NULL, v->s->return_height, 0, NULL});
	if (d && d->box.has_door)
		add(v, (struct mark){"door", d->box.door_face == INW_FRONT ? "front" : "", NULL, d->quantity[d->box.door_sill].value,
		                     d->quantity[d->box.door_height].value, NULL});
	qsort(v->mark, v->marks, sizeof *v->mark, by_height);
}

/* ---- lines ------------------------------------------------------------------------------------------------------- */

static const struct inw_face_of_type small = {7.6, false, INW_CENTRED, {0.10, 0.10, 0.12}};

static void dimension(const struct views *v, struct inw_spot a, struct inw_spot b, double metres)
{
	cairo_t *c = v->p->l.c;
	char text[INW_CELL];
	bool upright = a.x >= b.x && a.x <= b.x;
	inw_draw__ink(c, inw_ink_text);
	inw_draw__line(c, a, b, 0.6);
	for (int end = 0; end < 2; end++) {
		struct inw_spot e = end ? b : a;
		inw_draw__line(c, (struct inw_spot){e.x - 3, e.y + 3}, (struct inw_spot){e.x + 3, e.y - 3}, 0.9);
	}
	inw_draw__number(text, sizeof text, metres, INW_DIM_LENGTH, v->p->l.units);
	cairo_save(c);
	cairo_translate(c, (a.x + b.x) / 2 + (upright ? -4 : 0), (a.y + b.y) / 2 + (upright ? 0 : -3));
	if (upright)
		cairo_rotate(c, -1.5707963267948966);
	inw_draw__text(c, (struct inw_spot){0, 0}, 0, small, text);
	cairo_restore(c);
}

static void view(const struct views *v, struct inw_rect box, double metres, const char *name)
{
	cairo_t *c = v->p->l.c;
	inw_draw__rect(c, box, (struct inw_ink){1, 1, 1}, 1.6);
	inw_draw__ink(c, inw_ink_grey);
	for (int end = 0; end < 2; end++)
		inw_draw__line(c, (struct inw_spot){box.x + end * box.w, box.y + box.h + 3}, (struct inw_spot){box.x + end * box.w, box.y + box.h + 19}, 0.4);
	dimension(v, (struct inw_spot){box.x, box.y + box.h + 15}, (struct inw_spot){box.x + box.w, box.y + box.h + 15}, metres);
	inw_draw__text(c, (struct inw_spot){box.x + box.w / 2, box.y + box.h + 29}, 0, small, name);
}

/* A mark as its view shows it: on the left edge, on the right edge, along the whole width (in front: solid; behind: dashed), or
 * in the lid or floor. */
static void draw_mark(const struct views *v, const struct mark *m, struct inw_rect box, const char *const faces[4])
{
	cairo_t *c = v->p->l.c;
	double low = box.y + box.h - m->height * v->scale, high = low - fmax(isfinite(m->rise) ? m->rise * v->scale : 0, 2.5);
	bool left = strcmp(m->face, faces[0]) == 0, right = strcmp(m->face, faces[1]) == 0, hidden = strcmp(m->face, faces[3]) == 0;
	bool level = strcmp(m->face, "top") == 0 || strcmp(m->face, "bottom") == 0;
	inw_draw__ink(c, inw_ink_in);
	if (left || right) {
		double x = left ? box.x : box.x + box.w;
		inw_draw__line(c, (struct inw_spot){x, low}, (struct inw_spot){x, high}, 4);
	} else if (level) {
		double y = strcmp(m->face, "top") == 0 ? box.y : box.y + box.h;
		inw_draw__line(c, (struct inw_spot){box.x + 0.1 * box.w, y}, (struct inw_spot){box.x + 0.9 * box.w, y}, 3);
	} else if (m->face[0]) {
		inw_draw__dash(c, hidden ? 4 : 0, hidden ? 3 : 0);
		cairo_rectangle(c, box.x + 0.1 * box.w, high, 0.8 * box.w, low - high);
		cairo_set_line_width(c, 0.9);
		cairo_stroke(c);
		inw_draw__dash(c, 0, 0);
	} else { /* on which face is not known */
		inw_draw__dash(c, 1.5, 2);
		inw_draw__line(c, (struct inw_spot){box.x, low}, (struct inw_spot){box.x + box.w, low}, 0.9);
		inw_draw__dash(c, 0, 0);
	}
}

/* Numbers to the right of the side view, each led to its height. */
static void draw_numbers(const struct views *v)
{
	cairo_t *c = v->p->l.c;
	double place[MOST_MARKS], x = v->side.x + v->side.w;
	for (size_t i = 0; i < v->marks; i++)
		place[i] = v->side.y + v->side.h - v->mark[i].height * v->scale;
	inw_draw__spread(place, v->marks, STEP, v->side.y - 20, v->side.y + v->side.h + 24);
	for (size_t i = 0; i < v->marks; i++) {
		char number[24];
		double y = v->side.y + v->side.h - v->mark[i].height * v->scale;
		inw_draw__ink(c, inw_ink_grey);
		inw_draw__line(c, (struct inw_spot){x + 4, y}, (struct inw_spot){x + 14, y}, 0.5);
		inw_draw__line(c, (struct inw_spot){x + 14, y}, (struct inw_spot){x + 28, place[i]}, 0.5);
		snprintf(number, sizeof number, "%zu", i + 1);
		inw_draw__text(c, (struct inw_spot){x + 36, place[i] + 2.7}, 0, (struct inw_face_of_type){8, true, INW_CENTRED, inw_ink_text}, number);
	}
}

static double lay_out(struct views *v)
{
	const struct inw_leaf *l = &v->p->l;
	double w = known(v->s->box_width), d = known(v->s->box_depth), h = known(v->s->box_height);
	v->scale = fmin((inw_leaf__width(l) - BESIDE - BETWEEN - NUMBERS) / (w + d), TALLEST / h);
	double tall = fmax(h * v->scale, (double)v->marks * STEP - 44);
	double x = INW_LEAF_LEFT + BESIDE, y = l->y + 8 + (tall - h * v->scale) / 2;
	v->front = (struct inw_rect){x, y, w * v->scale, h * v->scale};
	v->side = (struct inw_rect){x + v->front.w + BETWEEN, y, d * v->scale, h * v->scale};
	return 8 + tall + BELOW;
}

static void draw(struct views *v)
{
	static const char *const from_front[4] = {"left", "right", "front", "back"}, *const from_right[4] = {"front", "back", "right", "left"};
	view(v, v->front, v->s->box_width, "from the front");
	view(v, v->side, v->s->box_depth, "from its right side");
	for (size_t i = 0; i < v->marks; i++) {
		draw_mark(v, &v->mark[i], v->front, from_front);
		draw_mark(v, &v->mark[i], v->side, from_right);
	}
	double x = v->front.x - 24;
	inw_draw__ink(v->p->l.c, inw_ink_grey);
	for (int end = 0; end < 2; end++)
		inw_draw__line(v->p->l.c, (struct inw_spot){x - 4, v->front.y + end * v->front.h}, (struct inw_spot){v->front.x - 3, v->front.y + end * v->front.h}, 0.4);
	dimension(v, (struct inw_spot){x, v->front.y + v->front.h}, (struct inw_spot){x, v->front.y}, v->s->box_height);
	draw_numbers(v);
}

/* ---- the table --------------------------------------------------------------------------------------------------- */

static void row(struct inw_paper *p, const char *const text[5], enum inw_leaf_style style)
{
	double w = inw_leaf__width(&p->l), name = w - 22 - 78 - 70 - 150;
	const struct inw_leaf_cell cell[] = {{0, 20, style, text[0]}, {22, name - 8, style, text[1]}, {22 + name, 72, style, text[2]},
	                                     {22 + name + 78, 64, style, text[3]}, {w - 150, 150, style, text[4]}};
	inw_leaf__row(&p->l, cell, INW_COUNT(cell));
}

static void table(struct views *v)
{
	struct inw_paper *p = v->p;
	inw_leaf__need(&p->l, 60);
	row(p, (const char *const[]){"No.", "What", "Lower edge above the inside floor", "Height of it", "Face, and what lies beyond"}, INW_LEAF_SMALL);
	inw_leaf__rule(&p->l);
	for (size_t i = 0; i < v->marks; i++) {
		const struct mark *m = &v->mark[i];
		char number[24], height[INW_CELL], rise[INW_CELL] = "";
		struct inw_text face = {0};
		snprintf(number, sizeof number, "%zu", i + 1);
		inw_show__number(height, sizeof height, m->height, INW_DIM_LENGTH, p->l.units);
		if (m->rise > 0)
			inw_show__number(rise, sizeof rise, m->rise, INW_DIM_LENGTH, p->l.units);
		inw_text_printf(&face, "%s%s%s", m->face[0] ? m->face : m->gap ? "not known" : "", m->room ? ", " : "", m->room ? m->room : "");
		p->l.failed |= face.failed;
		row(p, (const char *const[]){number, m->name, height, rise, face.s}, INW_LEAF_BODY);
		inw_text_free(&face);
	}
}

void inw_paper__drawing(struct inw_paper *p)
{
	const struct inw_state_view *s = inw_paper__job(p->r, 0);
	struct views *v = s ? calloc(1, sizeof *v) : NULL;
	if (!v) {
		p->l.failed |= s != NULL;
		return;
	}
	*v = (struct views){.p = p, .s = s};
	collect(v);
	inw_leaf__need(&p->l, lay_out(v) + 60);
	inw_leaf__head(&p->l, "The box, inside dimensions, to scale");
	inw_leaf__need(&p->l, lay_out(v));
	double height = lay_out(v); /* anew, from where it stands now */
	draw(v);
	p->l.y += height;
	table(v);
	inw_leaf__text(&p->l, INW_LEAF_SMALL, 0, "Where along its face a gap lies is not in the design. Dashed: behind; dotted: on which face is not in the design.");
	free(v);
}
