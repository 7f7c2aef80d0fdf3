/* SPDX-License-Identifier: MIT */
/* day_panels.c: four panels over one time axis: temperatures, the pull inward, one gas, particles. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/day_picture.h"

enum { MOST_ROOMS = 5, AFTER_CARBON = 1 + MOST_ROOMS, NEAR_BOX, DECADES = 9, TEXT = INW_CHART_TEXT };

/* ---- a chart ----------------------------------------------------------------------------------------------------- */

/* Bands where the door is open. */
static void backdrop(const struct inw_day_picture *p, const struct inw_chart *l)
{
	struct inw_stretch door[INW_MOST_STRETCHES];
	size_t n = inw_day__doors(p->r, door);
	inw_draw__rect(l->c, l->plot, (struct inw_ink){1, 1, 1}, 0);
	for (size_t i = 0; i < n; i++) {
		double a = inw_chart__x(l, door[i].from), b = inw_chart__x(l, door[i].to);
		inw_draw__rect(l->c, (struct inw_rect){a, l->plot.y, fmax(b - a, 1.5), l->plot.h}, inw_ink_faint, 0);
	}
}

/* Of the air of rooms, where more gets out of the box than is counted: what is told is the least of it. */
static bool is_least(const struct inw_day_picture *p, int column)
{
	const char *name = p->r->series.name[column];
	return p->r->more_escapes && (strstr(name, ".room[") || strstr(name, ".near_box"));
}

/* "bedroom: most 3 ug/m3 at 02:40"; `sign` -1: "least", of the time when the door is shut. */
static void name_curve(const struct inw_day_picture *p, struct inw_chart *l, int column, int sign, struct inw_line_style s, const char *name)
{
	const struct inw_day_report *r = p->r;
	char value[INW_CELL], clock[INW_CELL];
	int unless = sign < 0 ? inw_day__column(r, "door_open") : INW_NO_COLUMN;
	long row = inw_day__extreme_row(r, column, sign, unless), other = inw_day__extreme_row(r, column, -sign, unless);
	struct inw_chart_entry *e = inw_chart__entry(l, column, s);
	double found = row < 0 ? NAN : inw_day__value(r, (size_t)row, column);
	bool least = e && is_least(p, column);
	if (e && least && !(found > 0))
		snprintf(e->text, sizeof e->text, "%.60s: cannot be told", name);
	if (!e || row < 0 || (least && !(found > 0)))
		return;
	inw_draw__number(value, sizeof value, found, r->series.dim[column], p->units);
	inw_day__clock(clock, sizeof clock, r, inw_day__time(r, (size_t)row));
	if (l->log && !(found > 0))
		snprintf(e->text, sizeof e->text, "%.60s: nothing all day", name);
	else if (l->log && log10(inw_chart__shown(&l->scale, found)) < l->axis.low)
		snprintf(e->text, sizeof e->text, least ? "%.60s: cannot be told" : "%.60s: below this scale all day", name);
	else if (found == inw_day__value(r, (size_t)other, column))
		snprintf(e->text, sizeof e->text, "%.60s: %s all day", name, value);
	else
		snprintf(e->text, sizeof e->text, "%.60s: %s %s at %s%s", name, sign < 0 ? "least" : "most", value, clock, least ? ", or more" : "");
}

static struct inw_chart new_panel(const struct inw_day_picture *p, double y, enum inw_dim dim)
{
	return (struct inw_chart){.c = p->c, .units = p->units, .series = &p->r->series, .span_s = p->r->span_s, .scale = inw_chart__scale(dim, p->units),
	                      .plot = {p->x, y + INW_CHART_HEAD, p->w, INW_CHART_HEIGHT}};
}

/* ---- temperatures ------------------------------------------------------------------------------------------------ */

void inw_day_picture__temperatures(const struct inw_day_picture *p, double y)
{
	static const struct {
		const char *column, *name;
	} curve[] = {{"box.temperature", "air in the box"}, {"plate.temperature", "hot plate"},
	             {"outdoor.temperature", "out of doors"}};
	struct inw_chart l = new_panel(p, y, INW_DIM_TEMPERATURE);
	double low = INFINITY, high = -INFINITY;
	char room[INW_NAME];
	for (size_t i = 0; i < INW_COUNT(curve); i++)
		inw_chart__widen(&l, inw_day__column(p->r, curve[i].column), &low, &high);
	for (size_t i = 0; i < MOST_ROOMS && inw_day__room(p->r, i, room); i++)
		inw_chart__widen(&l, inw_day__warmth(p->r, room), &low, &high);
	inw_chart__heading(&l, "How warm it is", p->units == INW_US ? "\xC2\xB0" "F" : "\xC2\xB0" "C");
	backdrop(p, &l);
	inw_chart__linear_axis(&l, low, high);
	for (size_t i = INW_COUNT(curve); i-- > 0;) { /* the box last, on top */
		int column = inw_day__column(p->r, curve[i].column);
		if (inw_day__extreme_row(p->r, column, 1, INW_NO_COLUMN) < 0)
			continue; /* no plate */
		inw_chart__curve(&l, column, INW_NO_COLUMN, inw_chart__style(i));
		name_curve(p, &l, column, 1, inw_chart__style(i), curve[i].name);
	}
	for (size_t i = 0; i < MOST_ROOMS && inw_day__room(p->r, i, room); i++) {
		int column = inw_day__warmth(p->r, room);
		struct inw_line_style style = inw_chart__style(INW_COUNT(curve) + i);
		if (column < 0)
			continue;
		inw_chart__curve(&l, column, INW_NO_COLUMN, style);
		name_curve(p, &l, column, 1, style, room);
	}
	inw_chart__frame(&l);
	inw_chart__beside(&l);
}

/* ---- the pull inward --------------------------------------------------------------------------------------------- */

static bool is_outward(const struct inw_day_report *r, size_t row, int column)
{
	return inw_day__value(r, row, column) < 0 && !(inw_day__value(r, row, inw_day__column(r, "door_open")) > 0);
}

/* Where the straight line from row `a` to row `b` meets zero; the place of `b` when one of them has no number. */
static double crossing(const struct inw_chart *l, size_t a, size_t b, int column)
{
	double u = inw_series__value(l->series, a, column), v = inw_series__value(l->series, b, column);
	double x = inw_chart__x(l, inw_series__time(l->series, a));
	double z = inw_chart__x(l, inw_series__time(l->series, b));
	return u * v < 0 ? x + (z - x) * u / (u - v) : z;
}

/* The path so far, closed along zero at `x`: hatched and outlined. */
static void close_outward(const struct inw_chart *l, double x)
{
	cairo_line_to(l->c, x, inw_chart__y(l, 0));
	cairo_close_path(l->c);
	cairo_path_t *path = cairo_copy_path(l->c);
	inw_draw__hatch(l->c, inw_ink_out, 5, 2.2);
	cairo_append_path(l->c, path);
	inw_draw__ink(l->c, inw_ink_text);
	cairo_set_line_width(l->c, 1);
	cairo_stroke(l->c);
	cairo_path_destroy(path);
}

/* The area between curve and zero where air is pressed out. */
static void hatch_outward(const struct inw_day_picture *p, const struct inw_chart *l, int column)
{
	const struct inw_day_report *r = p->r;
	bool was = false;
	inw_chart__clip(l);
	for (size_t i = 0; column >= 0 && i < r->series.rows; i++) {
		bool out = is_outward(r, i, column), last = i + 1 == r->series.rows;
		double x = inw_chart__x(l, inw_day__time(r, i));
		if (out && !was)
			cairo_move_to(l->c, i ? crossing(l, i - 1, i, column) : x, inw_chart__y(l, 0));
		if (out)
			cairo_line_to(l->c, x, inw_chart__y(l, inw_day__value(r, i, column)));
		if ((!out && was) || (out && last))
			close_outward(l, out ? x : crossing(l, i - 1, i, column));
		was = out;
	}
	cairo_restore(l->c);
}

static void name_sides(const struct inw_chart *l, bool outward)
{
	double zero = inw_chart__y(l, 0);
	cairo_t *c = l->c;
	inw_draw__ink(c, inw_ink_text);
	inw_draw__dash(c, 0, 0);
	inw_draw__line(c, (struct inw_spot){l->plot.x, zero}, (struct inw_spot){l->plot.x + l->plot.w, zero}, 2);
	double bottom = l->plot.y + l->plot.h, x = l->plot.x - 84;
	if (outward && bottom - zero > 14)
		inw_draw__tag(c, (struct inw_spot){x, (zero + bottom) / 2 + 4}, true);
	if (zero - l->plot.y > 14)
		inw_draw__tag(c, (struct inw_spot){x + 16, (zero + l->plot.y) / 2 + 4}, false);
}

void inw_day_picture__pull(const struct inw_day_picture *p, double y)
{
	struct inw_chart l = new_panel(p, y, INW_DIM_PRESSURE);
	int column = inw_day__column(p->r, "box.inward_pressure"), door = inw_day__column(p->r, "door_open");
	double low = 0, high = 0, limit = NAN, least = 0;
	char text[TEXT], number[INW_CELL];
	for (size_t i = 0; i < p->r->verdict_count; i++)
		if (strcmp(p->r->verdicts[i].id, "day_inward_pressure") == 0 && p->r->verdicts[i].sense == INW_AT_LEAST)
			limit = p->r->verdicts[i].limit;
	inw_chart__widen(&l, column, &low, &high);
	least = low;
	if (isfinite(limit))
		high = fmax(high, 1.2 * inw_chart__shown(&l.scale, limit));
	snprintf(text, sizeof text, "%s at the worst gap; hatched below zero: box air escapes uncleaned", l.scale.name);
	inw_chart__heading(&l, "How strongly the room presses into the box", text);
	backdrop(p, &l);
	inw_chart__linear_axis(&l, low, high);
	hatch_outward(p, &l, column);
	name_sides(&l, least < 0);
	if (isfinite(limit)) {
		inw_draw__number(number, sizeof number, limit, INW_DIM_PRESSURE, p->units);
		snprintf(text, sizeof text, "wanted: at least %s", number);
		inw_chart__limit(&l, limit, -1, text);
	}
	if (inw_day__extreme_row(p->r, column, 1, INW_NO_COLUMN) >= 0) {
		inw_chart__curve(&l, column, door, inw_chart__style(0));
		name_curve(p, &l, column, -1, inw_chart__style(0), "pull inward");
	}
	inw_chart__frame(&l);
	inw_chart__beside(&l);
}

/* ---- concentrations ---------------------------------------------------------------------------------------------- */

static double most(const struct inw_day_report *r, int column)
{
	return fmax(0, inw_day__most(r, column)); /* fmax passes over NaN */
}

struct limit {
	double value;
	char text[TEXT];
};

/* The backdrop, and whole decades from well under the strictest limit to over all that is drawn. */
static void log_scale(const struct inw_day_picture *p, struct inw_chart *l, double peak, const struct limit *limit, size_t limits)
{
	double top = peak, low = INFINITY;
	for (size_t i = 0; i < limits; i++) {
		top = fmax(top, limit[i].value);
		low = fmin(low, limit[i].value);
	}
	top = top > 0 ? inw_chart__shown(&l->scale, top) : 1;
	low = isfinite(low) ? inw_chart__shown(&l->scale, low) * 1e-3 : top * 1e-5;
	double high = ceil(log10(top * 1.3)), foot = fmax(floor(log10(low)), high - DECADES);
	backdrop(p, l);
	inw_chart__log_axis(l, (int)fmin(foot, high - 2), (int)high);
}

/* Box and rooms of one gas (NULL: particles), what leaves the carbon, the air of who works at the box; with limits. */
static void draw_air(const struct inw_day_picture *p, struct inw_chart *l, const char *gas, const struct limit *limit, size_t limits)
{
	const struct inw_day_report *r = p->r;
	char room[INW_NAME];
	int column[NEAR_BOX + 1];
	double peak = most(r, column[0] = inw_day__air(r, gas, NULL));
	size_t rooms = 0;
	for (; rooms < MOST_ROOMS && inw_day__room(r, rooms, room); rooms++)
		peak = fmax(peak, most(r, column[1 + rooms] = inw_day__air(r, gas, room)));
	for (size_t i = rooms; i < MOST_ROOMS; i++)
		column[1 + i] = INW_NO_COLUMN;
	column[AFTER_CARBON] = gas ? inw_day__column_of(r, gas, "after_carbon") : INW_NO_COLUMN;
	peak = fmax(peak, most(r, column[NEAR_BOX] = inw_day__column_of(r, gas, "near_box")));
	log_scale(p, l, peak, limit, limits);
	for (size_t i = 0; i < limits; i++)
		inw_chart__limit(l, limit[i].value, 1, limit[i].text);
	for (size_t i = 0; i <= NEAR_BOX; i++) {
		if (column[i] < 0)
			continue;
		inw_chart__curve(l, column[i], INW_NO_COLUMN, inw_chart__style(i));
		if (i && i < AFTER_CARBON)
			inw_day__room(r, i - 1, room);
		name_curve(p, l, column[i], 1, inw_chart__style(i),
		           i == AFTER_CARBON ? "behind the carbon" : i == NEAR_BOX ? "close by the box" : i ? room : "in the box");
	}
	inw_chart__frame(l);
	inw_chart__beside(l);
}

static void add_limit(struct limit list[], size_t *n, double value, enum inw_dim dim, const char *text,
                      enum inw_units units)
{
	char number[INW_CELL];
	if (!(value > 0) || !isfinite(value))
		return;
	inw_draw__number(number, sizeof number, value, dim, units);
	for (size_t i = 0; i < *n; i++)
		if (list[i].value == value)
			return; /* the same line; the first, longer span says it */
	list[*n].value = value;
	snprintf(list[*n].text, TEXT, "%s: %s", text, number);
	(*n)++;
}

static const struct {
	enum inw_limit_kind kind;
	enum inw_person_kind who;
	const char *words;
} gas_limit[] = {
	{INW_LIMIT_WORK_8H, INW_WORKER, "limit at work, mean of 8 h"},
	{INW_LIMIT_WORK_15MIN, INW_WORKER, "limit at work, mean of 15 min"},
	{INW_LIMIT_WORK_CEILING, INW_WORKER, "limit at work, at any moment"},
	{INW_LIMIT_HOME_LONG, INW_RESIDENT, "limit at home, day after day"},
	{INW_LIMIT_HOME_8H, INW_RESIDENT, "limit at home, mean of 8 h"},
	{INW_LIMIT_HOME_1H, INW_RESIDENT, "limit at home, mean of 1 h"},
};

/* How near a gas comes to its strictest limit: in the rooms, and where nothing arrives there, in the box. */
static double nearness(const struct inw_day_report *r, const char *gas, bool box)
{
	char room[INW_NAME];
	double limit = NAN, peak = box ? most(r, inw_day__air(r, gas, NULL)) : 0;
	for (size_t i = 0; i < INW_COUNT(gas_limit); i++)
		if (inw_day__has_person(r, gas_limit[i].who))
			limit = fmin(limit, inw_day__limit(r, gas, gas_limit[i].kind));
	for (size_t i = 0; !box && inw_day__room(r, i, room); i++)
		peak = fmax(peak, most(r, inw_day__air(r, gas, room)));
	/* A gas without a limit comes last, the most plentiful of them first: 1 kg/m3 of any is beyond all of this. */
	return isnan(limit) ? peak * 1e-30 : peak / limit;
}

/* The gas nearest to a limit; false when the series has none. `*of` is how many there are. */
static bool worst_gas(const struct inw_day_report *r, char out[INW_NAME], size_t *of)
{
	char gas[INW_NAME];
	bool found = false;
	*of = 0;
	while (inw_day__gas(r, *of, gas))
		(*of)++;
	for (int box = 0; box < 2 && !found; box++) {
		double best = 0;
		for (size_t i = 0; i < *of && inw_day__gas(r, i, gas); i++) {
			double near = nearness(r, gas, box);
			if (near > best) {
				best = near;
				found = true;
				snprintf(out, INW_NAME, "%s", gas);
			}
		}
	}
	return found || inw_day__gas(r, 0, out);
}

void inw_day_picture__gas(const struct inw_day_picture *p, double y)
{
	struct inw_chart l = new_panel(p, y, INW_DIM_CONCENTRATION);
	struct limit limit[INW_COUNT(gas_limit)];
	char gas[INW_NAME], head[TEXT], more[TEXT];
	size_t n = 0, gases;
	if (!worst_gas(p->r, gas, &gases)) {
		inw_chart__heading(&l, "Gases", "none is known to come off in this day");
		backdrop(p, &l);
		inw_chart__frame(&l);
		return;
	}
	for (size_t i = 0; i < INW_COUNT(gas_limit); i++)
		if (inw_day__has_person(p->r, gas_limit[i].who))
			add_limit(limit, &n, inw_day__limit(p->r, gas, gas_limit[i].kind), INW_DIM_CONCENTRATION, gas_limit[i].words,
			          p->units);
	snprintf(head, sizeof head, "%.120s in the air", inw_day__gas_title(p->r, gas));
	snprintf(more, sizeof more, "\xC2\xB5g/m\xC2\xB3, each line ten times the one below%s",
	         gases > 1 ? "; of all gases the one nearest to a limit" : "");
	inw_chart__heading(&l, head, more);
	draw_air(p, &l, gas, limit, n);
}

/* Limits of particles stand in the verdicts. Those of people at home are the lower ones. */
static size_t particle_limits(const struct inw_day_picture *p, struct limit list[2])
{
	static const char id[] = "day_particles[";
	double low = INFINITY, high = -INFINITY;
	size_t n = 0;
	for (size_t i = 0; i < p->r->verdict_count; i++) {
		const struct inw_verdict *v = &p->r->verdicts[i];
		if (strncmp(v->id, id, sizeof id - 1) || v->sense != INW_AT_MOST)
			continue;
		low = fmin(low, v->limit);
		high = fmax(high, v->limit);
	}
	bool both = low < high, home = !both && inw_day__has_person(p->r, INW_RESIDENT);
	add_limit(list, &n, high, INW_DIM_NUMBER_CONCENTRATION,
	          both ? "limit at work, mean of 1 h" : home ? "limit at home, mean of 1 h" : "limit, mean of 1 h", p->units);
	add_limit(list, &n, low, INW_DIM_NUMBER_CONCENTRATION, "limit at home, mean of 1 h", p->units);
	return n;
}

void inw_day_picture__particles(const struct inw_day_picture *p, double y)
{
	struct inw_chart l = new_panel(p, y, INW_DIM_NUMBER_CONCENTRATION);
	struct limit limit[2];
	size_t n = particle_limits(p, limit);
	inw_chart__heading(&l, "Particles in the air, added by the machine", "in a cubic centimetre, each line ten times the one below");
	draw_air(p, &l, NULL, limit, n);
}
