/* SPDX-License-Identifier: MIT */
/* day_picture.c: the page of a day: who and what is on at which hour on top, four panels over the same hours below. */
#include "show/day_picture.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "show/bed_panel.h"
#include "show/canvas.h"

enum { ROW = INW_CHART_ROW, BAR = INW_CHART_BAR, PANELS = 4, MOST_PEOPLE = 6, CLOCK = 22, MOST_TICKS = 13, BELOW_CLOCK = 20 };

double inw_day_picture__x(const struct inw_day_picture *p, double t)
{
	return p->x + p->w * (p->r->span_s > 0 ? t / p->r->span_s : 0);
}

/* ---- the clock --------------------------------------------------------------------------------------------------- */

static double clock_step(double span)
{
	static const double minutes[] = {1, 2, 5, 10, 15, 30, 60, 120, 180, 240, 360, 720, 1440, 2880, 4320};
	for (size_t i = 0; i < INW_COUNT(minutes); i++)
		if (span / (60 * minutes[i]) < MOST_TICKS)
			return 60 * minutes[i];
	return 86400 * ceil(span / 86400 / MOST_TICKS);
}

static void tick_words(char *out, size_t size, const struct inw_day_report *r, double since_midnight)
{
	double day = floor(since_midnight / 86400 + 1e-9);
	long minutes = lround((since_midnight - 86400 * day) / 60);
	if (r->span_s > 86400 && minutes == 0)
		snprintf(out, size, "day %.0f", day + 1);
	else
		snprintf(out, size, "%02ld:%02ld", minutes / 60, minutes % 60);
}

void inw_day_picture__clock(const struct inw_day_picture *p, double y, bool above)
{
	const struct inw_face_of_type f = {10.5, true, INW_CENTRED, inw_ink_text};
	double step = clock_step(p->r->span_s), start = p->r->start_clock_s;
	char text[32];
	for (int i = 0; i < 2 * MOST_TICKS; i++) {
		double at = (ceil(start / step - 1e-9) + i) * step, x = inw_day_picture__x(p, at - start);
		if (at - start > p->r->span_s * (1 + 1e-9))
			break;
		tick_words(text, sizeof text, p->r, at);
		inw_draw__text(p->c, (struct inw_spot){x, above ? y - 6 : y + 14}, 0, f, text);
	}
}

/* Lines of the clock through everything; drawn over the panels' white. */
static void clock_lines(const struct inw_day_picture *p, double y0, double y1)
{
	double step = clock_step(p->r->span_s), start = p->r->start_clock_s;
	inw_draw__dash(p->c, 1, 3);
	for (int i = 0; i < 2 * MOST_TICKS; i++) {
		double t = (ceil(start / step - 1e-9) + i) * step - start, x = inw_day_picture__x(p, t);
		if (t > p->r->span_s * (1 + 1e-9))
			break;
		inw_draw__ink(p->c, inw_ink_grey);
		inw_draw__line(p->c, (struct inw_spot){x, y0}, (struct inw_spot){x, y1}, 0.6);
	}
	inw_draw__dash(p->c, 0, 0);
}

/* ---- the header -------------------------------------------------------------------------------------------------- */

static bool draw_header(const struct inw_day_picture *p)
{
	char text[200], span[INW_CELL], clock[INW_CELL];
	const struct inw_day_report *r = p->r;
	inw_draw__number(span, sizeof span, r->span_s, INW_DIM_TIME, p->units);
	snprintf(text, sizeof text, "%s from %s, at best-estimate inputs", span, inw_day__clock(clock, sizeof clock, r, 0));
	const struct inw_page_head head = {r->title, text, "Everything that is required holds through the day, at best-estimate inputs.",
	                                   r->overall, r->verdicts, r->verdict_count};
	return inw_page__head(p->c, &head, p->units);
}

/* ---- who and what is on ------------------------------------------------------------------------------------------ */

enum look { LOOK_JOB, LOOK_OPEN, LOOK_WAIT, LOOK_PERSON };

/* The words of a bar stand inside, or behind it up to `until`, or before it from `since`; else they are cut or left out. */
static void draw_words(const struct inw_day_picture *p, struct inw_rect bar, enum look look, const char *words,
                       const double since_until[2])
{
	const bool dark = look == LOOK_JOB || look == LOOK_OPEN;
	const struct inw_face_of_type inside = {10.5, false, INW_LEFT_ALIGNED, dark ? inw_ink_paper : inw_ink_text},
	                              beside = {10.5, false, INW_LEFT_ALIGNED, inw_ink_text};
	double w = inw_draw__width(p->c, inside, words), y = bar.y + 12.5, after = bar.x + bar.w + 4;
	if (!*words)
		return;
	if (w + 8 <= bar.w)
		(look == LOOK_WAIT ? inw_draw__label : inw_draw__text)(p->c, (struct inw_spot){bar.x + 5, y}, 0, inside, words);
	else if (w + 4 <= since_until[1] - after)
		inw_draw__text(p->c, (struct inw_spot){after, y}, 0, beside, words);
	else if (w + 8 <= bar.x - since_until[0])
		inw_draw__text(p->c, (struct inw_spot){bar.x - w - 4, y}, 0, beside, words);
	else if (bar.w > 40 && look != LOOK_WAIT)
		inw_draw__text(p->c, (struct inw_spot){bar.x + 5, y}, bar.w - 8, inside, words);
}

static void draw_bar(const struct inw_day_picture *p, struct inw_rect bar, enum look look, const char *words,
                     const double since_until[2])
{
	const struct inw_ink fill[] = {[LOOK_JOB] = inw_ink_in, [LOOK_OPEN] = inw_ink_text, [LOOK_WAIT] = {1, 1, 1},
	                               [LOOK_PERSON] = inw_ink_box};
	inw_draw__dash(p->c, 0, 0);
	inw_draw__rect(p->c, bar, fill[look], 0.6);
	if (look == LOOK_WAIT) {
		cairo_rectangle(p->c, bar.x, bar.y, bar.w, bar.h);
		inw_draw__hatch(p->c, inw_ink_duct, 6, 1);
	}
	draw_words(p, bar, look, words, since_until);
}

static void row_name(const struct inw_day_picture *p, double y, const char *name)
{
	inw_page__row(p->c, (struct inw_rect){p->x, y, p->w, BAR}, name);
}

static struct inw_rect bar_of(const struct inw_day_picture *p, double y, double from, double to)
{
	double a = inw_day_picture__x(p, from), b = inw_day_picture__x(p, to);
	return (struct inw_rect){a, y, fmax(b - a, 2.5), BAR};
}

static void draw_jobs(const struct inw_day_picture *p, double y)
{
	struct inw_stretch s[INW_MOST_STRETCHES];
	size_t n = inw_day__jobs(p->r, s);
	char words[2 * INW_NAME] = "";
	row_name(p, y, "the machine's jobs");
	for (size_t i = 0; i < n; i++) {
		const struct inw_face_of_type f = {10.5, false, INW_LEFT_ALIGNED, inw_ink_text};
		struct inw_rect bar = bar_of(p, y, s[i].from, s[i].to);
		double until = i + 1 < n ? inw_day_picture__x(p, s[i + 1].from) : p->x + p->w;
		size_t before = strlen(words);
		snprintf(words + before, sizeof words - before, "%s%.*s", before ? ", then " : "", (int)s[i].length, s[i].name);
		double wide = inw_draw__width(p->c, f, words) + 8;
		/* a name that has no room is written with the next one */
		bool waits = i + 1 < n && wide > bar.w && wide > until - bar.x - bar.w && strlen(words) < INW_NAME;
		draw_bar(p, bar, LOOK_JOB, waits ? "" : words, (const double[]){INFINITY, until});
		if (!waits)
			words[0] = '\0';
	}
}

/* Nothing else stands in the door's row from the first to the second of these places. */
static void free_around(const struct inw_day_picture *p, const struct inw_stretch *door, size_t doors,
                        const struct inw_wait *w, double since_until[2])
{
	double since = 0, until = isnan(w->next) ? p->r->span_s : w->next;
	for (size_t k = 0; k < doors; k++) {
		if (door[k].from >= w->end)
			until = fmin(until, door[k].from);
		else
			since = w->job.from; /* what is written behind an opening may reach to the next job */
	}
	since_until[0] = inw_day_picture__x(p, since);
	since_until[1] = inw_day_picture__x(p, until);
}

static void draw_wait(const struct inw_day_picture *p, double y, const struct inw_wait *w, const double since_until[2])
{
	char words[INW_CELL + 24] = "", clock[INW_CELL];
	double to = !w->known          ? w->opened
	            : !isnan(w->wait)  ? w->end + w->wait
	            : isnan(w->next)   ? p->r->span_s
	                               : w->next;
	if (w->known && !isnan(w->wait))
		snprintf(words, sizeof words, inw_day__has_door(p->r) ? "may be opened from %s" : "cleared from %s", inw_day__clock(clock, sizeof clock, p->r, to));
	else if (w->known)
		snprintf(words, sizeof words, "not clear");
	if (to > w->end)
		draw_bar(p, bar_of(p, y, w->end, to), LOOK_WAIT, words, since_until);
}

static bool is_early(const struct inw_stretch *door, const struct inw_wait *w, size_t waits)
{
	for (size_t k = 0; k < waits; k++)
		if (!w[k].known && door->from <= w[k].opened && door->to >= w[k].opened)
			return true;
	return false;
}

static void draw_doors(const struct inw_day_picture *p, double y)
{
	struct inw_wait w[INW_MOST_STRETCHES];
	struct inw_stretch s[INW_MOST_STRETCHES];
	double around[2];
	size_t waits = inw_day__waits(p->r, w), doors = inw_day__doors(p->r, s);
	row_name(p, y, inw_day__has_door(p->r) ? "the door of the box" : "the box clears");
	for (size_t i = 0; i < waits; i++) {
		free_around(p, s, doors, &w[i], around);
		draw_wait(p, y, &w[i], around);
	}
	for (size_t i = 0; i < doors; i++) {
		around[0] = INFINITY;
		around[1] = inw_day_picture__x(p, i + 1 < doors ? s[i + 1].from : p->r->span_s);
		for (size_t k = 0; k < waits; k++)
			if (w[k].end > s[i].to)
				around[1] = fmin(around[1], inw_day_picture__x(p, w[k].end));
		draw_bar(p, bar_of(p, y, s[i].from, s[i].to), LOOK_OPEN, is_early(&s[i], w, waits) ? "too early" : "open",
		         around);
	}
}

/* One stay of a person on each day of the run. */
static void draw_stay(const struct inw_day_picture *p, double y, const struct inw_stay *stay)
{
	const struct inw_design *d = p->r->design;
	double from = d->quantity[stay->from].value, to = d->quantity[stay->to].value;
	const char *room = stay->room >= 0 && (size_t)stay->room < d->rooms ? d->room[stay->room].name : "out of doors";
	if (to <= from)
		to += 86400;
	for (int day = -1; day < 33; day++) {
		double a = fmax(from + 86400.0 * day - p->r->start_clock_s, 0);
		double b = fmin(to + 86400.0 * day - p->r->start_clock_s, p->r->span_s);
		if (b > a)
			draw_bar(p, bar_of(p, y, a, b), LOOK_PERSON, stay->at_box ? "at the box" : room, (const double[]){INFINITY, 0});
	}
}

static size_t people_rows(const struct inw_day_report *r)
{
	size_t n = r->design ? r->design->persons : 0;
	return n < MOST_PEOPLE ? n : MOST_PEOPLE;
}

static void draw_people(const struct inw_day_picture *p, double y)
{
	size_t n = people_rows(p->r);
	char name[INW_NAME];
	for (size_t i = 0; i < n; i++) {
		const struct inw_person *who = &p->r->design->person[i];
		size_t more = i + 1 == n ? p->r->design->persons - n : 0;
		snprintf(name, sizeof name, more ? "%.60s is in (and %zu more people)" : "%.100s is in", who->name, more);
		row_name(p, y, name);
		for (size_t k = 0; k < who->stays; k++)
			draw_stay(p, y, &who->stay[k]);
		y += ROW;
	}
}

/* Whatever begins or ends beside jobs and door. */
static bool is_other(const char *what)
{
	static const char *const known[] = {" begins", " is on already", " ends", "door opened", "door shut"};
	for (size_t i = 0; i < INW_COUNT(known); i++) {
		size_t n = strlen(what), m = strlen(known[i]);
		if (n >= m && strcmp(what + n - m, known[i]) == 0)
			return false;
	}
	return true;
}

static const struct inw_moment *next_other(const struct inw_day_report *r, size_t *i)
{
	for (; *i < r->moment_count; (*i)++)
		if (is_other(r->moments[*i].what))
			return &r->moments[(*i)++];
	return NULL;
}

static void draw_others(const struct inw_day_picture *p, double y)
{
	size_t i = 0;
	row_name(p, y, "what else is done");
	for (const struct inw_moment *m = next_other(p->r, &i), *next; m; m = next) {
		next = next_other(p->r, &i);
		double x = inw_day_picture__x(p, m->t), until = next ? inw_day_picture__x(p, next->t) : p->x + p->w;
		inw_draw__ink(p->c, inw_ink_text);
		inw_draw__line(p->c, (struct inw_spot){x, y}, (struct inw_spot){x, y + BAR}, 2);
		char *written = inw_show_sentence(m->what, p->units); /* without memory the mark stands alone */
		if (until - x > 24 && written)
			inw_draw__text(p->c, (struct inw_spot){x + 4, y + 12.5}, until - x - 8,
			               (struct inw_face_of_type){10.5, false, INW_LEFT_ALIGNED, inw_ink_text}, written);
		free(written);
	}
}

static size_t strip_rows(const struct inw_day_report *r)
{
	size_t i = 0;
	return 2 + people_rows(r) + (next_other(r, &i) ? 1 : 0);
}

static void draw_strip(const struct inw_day_picture *p, double y)
{
	size_t i = 0;
	draw_jobs(p, y);
	draw_doors(p, y + ROW);
	y += 2 * ROW;
	if (next_other(p->r, &i)) {
		draw_others(p, y);
		y += ROW;
	}
	draw_people(p, y);
}

/* ---- the page ---------------------------------------------------------------------------------------------------- */

static double page_height(const struct inw_day_report *r)
{
	double carbon = inw_bed_panel__height(r->beds, r->bed_count);
	return INW_PAGE_HEADER + CLOCK + ROW * (double)strip_rows(r) + PANELS * (INW_CHART_HEAD + INW_CHART_HEIGHT) + (carbon > 0 ? carbon + BELOW_CLOCK : 0) +
	       INW_PAGE_FOOTER;
}

static char *clock_words(char *out, size_t size, const void *context, double t)
{
	return inw_day__clock(out, size, context, t);
}

static const char *substance_words(const void *context, const char *substance)
{
	return strcmp(substance, "water") == 0 ? "Water" : inw_day__gas_title(context, substance);
}

static void draw_carbon(const struct inw_day_picture *p, double y)
{
	const struct inw_bed_panel panel = {.c = p->c, .bed = p->r->beds, .beds = p->r->bed_count, .units = p->units, .x = p->x, .w = p->w,
	                                    .side = INW_SIDE_WIDTH, .moment = clock_words, .title = substance_words, .context = p->r};
	inw_bed_panel__draw(&panel, y);
}

static bool draw_page(void *context, cairo_t *c)
{
	static void (*const panel[PANELS])(const struct inw_day_picture *p, double y) = {
		inw_day_picture__temperatures, inw_day_picture__pull, inw_day_picture__gas, inw_day_picture__particles};
	struct inw_day_picture *p = context;
	double height = page_height(p->r), y = INW_PAGE_HEADER + CLOCK;
	p->c = c;
	inw_draw__rect(c, (struct inw_rect){0, 0, INW_PAGE_WIDTH, height}, inw_ink_paper, 0);
	bool whole = draw_header(p);
	inw_day_picture__clock(p, y, true);
	clock_lines(p, y, y + ROW * (double)strip_rows(p->r));
	draw_strip(p, y);
	y += ROW * (double)strip_rows(p->r);
	for (size_t i = 0; i < PANELS; i++) {
		panel[i](p, y);
		y += INW_CHART_HEAD + INW_CHART_HEIGHT;
		clock_lines(p, y - INW_CHART_HEIGHT, y);
	}
	inw_day_picture__clock(p, y, false);
	draw_carbon(p, y + BELOW_CLOCK);
	inw_page__foot(c, height, "Line with teeth: a limit, to be kept on the side without teeth. Grey band: the door of the box is open. "
	               "Limits are for means over their span, so a short peak may rise above them.");
	return whole;
}

static struct inw_day_picture picture_of(const struct inw_day_report *r, enum inw_units units)
{
	struct inw_day_picture p = {.r = r, .units = units, .x = INW_PAGE_MARGIN + INW_PAGE_AXIS};
	p.w = INW_PAGE_WIDTH - INW_PAGE_MARGIN - INW_SIDE_WIDTH - p.x;
	return p;
}

enum inw_status inw_show_day_picture(const struct inw_day_report *r, const char *path, enum inw_units units,
                                     struct inw_diags *diags)
{
	if (!inw_canvas__fits(path, diags))
		return INW_BAD_INPUT;
	struct inw_day_picture p = picture_of(r, units);
	return inw_canvas__draw(path, (struct inw_size){INW_PAGE_WIDTH, page_height(r)}, draw_page, &p, diags);
}

char *inw_show_day_picture_svg(const struct inw_day_report *r, enum inw_units units)
{
	struct inw_day_picture p = picture_of(r, units);
	return inw_canvas__svg((struct inw_size){INW_PAGE_WIDTH, page_height(r)}, draw_page, &p);
}
