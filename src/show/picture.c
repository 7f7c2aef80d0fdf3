/* SPDX-License-Identifier: MIT */
/* picture.c: the page of a solved state. */
#include "show/picture.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "show/canvas.h"

enum { PAGE_WIDTH = 1300, MARGIN = 24, HEADER = 88, FOOTER = 40, CHART_WIDTH = 640, CHART_HEIGHT = 360, SPACE = 14 };

/* ---- parts that belong to the page ------------------------------------------------------------------------------- */

void inw_picture__heading(const struct inw_picture *p, struct inw_spot at, const char *text)
{
	inw_draw__text(p->c, at, 0, (struct inw_face_of_type){13, true, INW_LEFT_ALIGNED, inw_ink_text}, text);
}

static void draw_header(const struct inw_picture *p)
{
	char text[400];
	const double right = PAGE_WIDTH - MARGIN;
	const struct inw_face_of_type big = {20, true, INW_LEFT_ALIGNED, inw_ink_text},
								  plain = {11.5, false, INW_LEFT_ALIGNED, inw_ink_grey};
	const struct inw_face_of_type badge = {15, true, INW_LEFT_ALIGNED, inw_ink_text};
	double w = inw_draw__width(p->c, badge, inw_show__word(p->r->overall));
	struct inw_rect frame = {right - w - 52, MARGIN - 2, w + 52, 34};
	inw_draw__text(p->c, (struct inw_spot){MARGIN, MARGIN + 20}, frame.x - MARGIN - 20, big,
	               p->r->title ? p->r->title : "");
	snprintf(text, sizeof text, "job %.150s, state %.150s", p->s->job ? p->s->job : "-",
	         p->s->state ? p->s->state : "-");
	inw_draw__text(p->c, (struct inw_spot){MARGIN, MARGIN + 40}, 800, plain, text);
	inw_draw__rect(p->c, frame, (struct inw_ink){1, 1, 1}, 2);
	inw_draw__sign(p->c, (struct inw_spot){frame.x + 20, frame.y + 23}, p->r->overall);
	inw_draw__text(p->c, (struct inw_spot){frame.x + 38, frame.y + 23}, 0, badge, inw_show__word(p->r->overall));
	inw_draw__text(p->c, (struct inw_spot){right, MARGIN + 48}, 380,
	               (struct inw_face_of_type){9.5, false, INW_RIGHT_ALIGNED, inw_ink_grey},
	               "all requirements of all jobs, in steady states");
	if (!p->s->converged)
		inw_draw__text(p->c, (struct inw_spot){MARGIN, MARGIN + 58}, 800,
		               (struct inw_face_of_type){12, true, INW_LEFT_ALIGNED, inw_ink_text},
		               "NOT SOLVED: the numbers on this page are not an answer.");
}

/* ---- beside the chart -------------------------------------------------------------------------------------------- */

enum { SIDE_LINE = 17, KEY_LINE = 26, MOST_UNMET = 7, MOST_ROOMS = 6 };

static bool unmet(const struct inw_picture *p, const struct inw_verdict *v)
{
	return inw_show__word_rank(v->word) < inw_show__word_rank(INW_MEETS) &&
	       (!v->job || !p->s->job || strcmp(v->job, p->s->job) == 0);
}

static size_t count_unmet(const struct inw_picture *p)
{
	size_t n = 0;
	for (size_t i = 0; i < p->r->verdict_count; i++)
		n += unmet(p, &p->r->verdicts[i]);
	return n;
}

static size_t least(size_t a, size_t b)
{
	return a < b ? a : b;
}

double inw_picture__side_height(const struct inw_picture *p)
{
	size_t lines = 3 + least(count_unmet(p), MOST_UNMET) + least(p->s->room_count, MOST_ROOMS);
	return 30 + SIDE_LINE * (double)lines + 2 * 34 + 4 * KEY_LINE;
}

static void draw_unmet(const struct inw_picture *p, struct inw_spot *at, double room)
{
	char value[INW_CELL], text[400];
	size_t n = 0, all = count_unmet(p);
	const struct inw_face_of_type f = {10.5, false, INW_LEFT_ALIGNED, inw_ink_text};
	inw_picture__heading(p, *at,
	                     all ? "Not met for certain, in this job's worst states"
	                         : "This job meets all its requirements");
	at->y += 22;
	for (size_t i = 0; i < p->r->verdict_count && n < MOST_UNMET; i++) {
		const struct inw_verdict *v = &p->r->verdicts[i];
		if (!unmet(p, v))
			continue;
		double w = inw_draw__sign(p->c, (struct inw_spot){at->x + 8, at->y}, v->word) + 8;
		inw_draw__number(value, sizeof value, v->value, v->dim, p->units);
		snprintf(text, sizeof text, "%s: %.200s, %s%s%.80s", inw_show__word(v->word), v->title, value,
		         v->where ? ", " : "", v->where ? v->where : "");
		char *written = inw_show_sentence(text, p->units);
		*p->failed |= !written;
		inw_draw__text(p->c, (struct inw_spot){at->x + w, at->y}, room - w, f, written ? written : "");
		free(written);
		at->y += SIDE_LINE;
		n++;
	}
	if (all > n) {
		snprintf(text, sizeof text, "and %zu more in the report", all - n);
		inw_draw__text(p->c, (struct inw_spot){at->x + 22, at->y}, room, f, text);
		at->y += SIDE_LINE;
	}
}

static void draw_rooms(const struct inw_picture *p, struct inw_spot *at, double room)
{
	char T[INW_CELL], pressure[INW_CELL], text[300];
	const struct inw_face_of_type f = {10.5, false, INW_LEFT_ALIGNED, inw_ink_text};
	inw_picture__heading(p, *at, "Rooms");
	at->y += 20;
	for (size_t i = 0; i < p->s->room_count && i < MOST_ROOMS; i++) {
		const struct inw_room_view *r = &p->s->rooms[i];
		inw_draw__number(T, sizeof T, r->T_K, INW_DIM_TEMPERATURE, p->units);
		inw_draw__number(pressure, sizeof pressure, r->p_Pa, INW_DIM_PRESSURE, p->units);
		snprintf(text, sizeof text, "%.120s: %s, %s against outdoors", r->name, T, pressure);
		inw_draw__text(p->c, (struct inw_spot){at->x + 8, at->y}, room - 8, f, text);
		at->y += SIDE_LINE;
	}
}

static void draw_how_to_read(const struct inw_picture *p, struct inw_spot *at, double room)
{
	cairo_t *c = p->c;
	const struct inw_face_of_type f = {10.5, false, INW_LEFT_ALIGNED, inw_ink_text};
	const double x = at->x + 62;
	inw_picture__heading(p, *at, "How to read the marks");
	at->y += 24;
	inw_draw__arrow(c, (struct inw_spot){at->x + 8, at->y - 4}, (struct inw_spot){at->x + 46, at->y - 4}, inw_ink_in);
	inw_draw__text(c, (struct inw_spot){x, at->y}, room - 62, f,
	               "slim arrow: air is drawn into the box, as it should be");
	at->y += KEY_LINE;
	inw_draw__escape(c, (struct inw_spot){at->x + 8, at->y - 4}, (struct inw_spot){at->x + 46, at->y - 4});
	inw_draw__text(c, (struct inw_spot){x, at->y}, room - 62, f,
	               "broad hatched arrow and OUT: box air escapes uncleaned");
	at->y += KEY_LINE;
	inw_draw__arrow(c, (struct inw_spot){at->x + 14, at->y + 6}, (struct inw_spot){at->x + 40, at->y - 13}, inw_ink_in);
	inw_draw__text(c, (struct inw_spot){x, at->y}, room - 62, f,
	               "slanted arrow: gap in the front (from below) or the back (from above)");
	at->y += KEY_LINE;
	inw_draw__ink(c, inw_ink_text);
	inw_draw__dash(c, 9, 4);
	inw_draw__line(c, (struct inw_spot){at->x + 6, at->y - 4}, (struct inw_spot){at->x + 48, at->y - 4}, 1);
	inw_draw__dash(c, 0, 0);
	inw_draw__text(c, (struct inw_spot){x, at->y}, room - 62, f,
	               "neutral plane: the height at which nothing drives air either way");
	at->y += KEY_LINE;
}

void inw_picture__side(const struct inw_picture *p, struct inw_rect area)
{
	struct inw_spot at = {area.x, area.y + 16};
	draw_unmet(p, &at, area.w);
	at.y += SPACE;
	if (p->s->room_count) {
		draw_rooms(p, &at, area.w);
		at.y += SPACE;
	}
	draw_how_to_read(p, &at, area.w);
}

/* ---- the page ---------------------------------------------------------------------------------------------------- */

static double lower_height(const struct inw_picture *p)
{
	return fmax(CHART_HEIGHT, inw_picture__side_height(p));
}

static double page_height(const struct inw_picture *p)
{
	return HEADER + inw_picture__cutaway_height(p) + inw_picture__train_height(p) + SPACE + lower_height(p) + FOOTER;
}

static void draw_page(const struct inw_picture *p, double height)
{
	const double width = PAGE_WIDTH - 2 * MARGIN;
	struct inw_rect part = {MARGIN, HEADER, width, inw_picture__cutaway_height(p)};
	inw_draw__rect(p->c, (struct inw_rect){0, 0, PAGE_WIDTH, height}, inw_ink_paper, 0);
	draw_header(p);
	struct inw_ports ports = inw_picture__cutaway(p, part);
	part.y += part.h;
	part.h = inw_picture__train_height(p);
	inw_picture__train(p, part, ports);
	part.y += part.h + SPACE;
	part.h = lower_height(p);
	inw_picture__chart(p, (struct inw_rect){part.x, part.y, CHART_WIDTH, CHART_HEIGHT});
	inw_picture__side(p, (struct inw_rect){part.x + CHART_WIDTH + 30, part.y, width - CHART_WIDTH - 30, part.h});
	inw_draw__text(p->c, (struct inw_spot){MARGIN, height - 16}, width,
	               (struct inw_face_of_type){9.5, false, INW_LEFT_ALIGNED, inw_ink_grey}, inw_show__disclaimer);
}

/* ---- the file ---------------------------------------------------------------------------------------------------- */

struct page {
	struct inw_picture p;
	double height;
	bool failed;
};

static bool draw_on(void *context, cairo_t *c)
{
	struct page *page = context;
	page->p.c = c;
	page->p.failed = &page->failed;
	draw_page(&page->p, page->height);
	return !page->failed;
}

enum inw_status inw_show_picture(const struct inw_report *r, size_t state, const char *path, enum inw_units units,
                                 struct inw_diags *diags)
{
	if (!inw_canvas__fits(path, diags))
		return INW_BAD_INPUT;
	if (state >= r->state_count) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "there is no state %zu to draw; the report has %zu", state,
		             r->state_count);
		return INW_BAD_INPUT;
	}
	struct page page = {.p = {.r = r, .s = &r->states[state], .units = units}};
	page.height = page_height(&page.p);
	return inw_canvas__draw(path, (struct inw_size){PAGE_WIDTH, page.height}, draw_on, &page, diags);
}

char *inw_show_picture_svg(const struct inw_report *r, size_t state, enum inw_units units)
{
	if (state >= r->state_count)
		return NULL;
	struct page page = {.p = {.r = r, .s = &r->states[state], .units = units}};
	page.height = page_height(&page.p);
	return inw_canvas__svg((struct inw_size){PAGE_WIDTH, page.height}, draw_on, &page);
}
