/* SPDX-License-Identifier: MIT */
/* day_panels.c: four panels over one time axis: temperatures, the pull inward, one gas, particles. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/day_picture.h"

enum { MOST_LINES = 14, MOST_ROOMS = 5, ENTRY = 15, SAMPLE = 28, DECADES = 9, TEXT = 200 };

/* ---- scales ------------------------------------------------------------------------------------------------------ */

/* A unit as the one table of units knows it: shown = (SI - zero) / one. */
struct scale {
	double zero, one;
	const char *name;
};

static struct scale scale_of(enum inw_dim dim, enum inw_units units)
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
	struct scale s = {0, 1, ""};
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

static double shown(const struct scale *s, double value)
{
	return (value - s->zero) / s->one;
}

/* ---- a panel ----------------------------------------------------------------------------------------------------- */

struct line_style {
	struct inw_ink ink;
	double width, on, off;
};

/* Different in dash as well as in ink, so that they are told apart in grey. */
static struct line_style style_of(size_t i)
{
	const struct line_style style[] = {
		{inw_ink_in, 2.4, 0, 0},   {inw_ink_out, 2.2, 10, 4}, {inw_ink_text, 2, 2, 3},
		{inw_ink_duct, 2.6, 6, 3}, {inw_ink_grey, 1.4, 0, 0}, {inw_ink_text, 1.2, 14, 3},
	};
	return style[i % INW_COUNT(style)];
}

/* What stands beside the plot: a curve or a limit. */
struct entry {
	double value; /* at the right end; NaN: at the lower edge */
	int teeth; /* of a limit, as in `toothed`; 0: a curve */
	struct line_style style;
	char text[TEXT];
};

struct panel {
	const struct inw_day_picture *p;
	struct inw_rect plot;
	struct scale scale;
	bool log;
	struct inw_axis axis; /* of shown values, or of their decimal logarithms */
	struct entry entry[MOST_LINES];
	size_t entries;
};

static double y_of(const struct panel *l, double value)
{
	double v = shown(&l->scale, value);
	if (l->log)
		v = v > 0 ? log10(v) : -400; /* below any axis, where zero is */
	return inw_draw__on(&l->axis, v);
}

static double within(const struct panel *l, double y)
{
	return fmin(fmax(y, l->plot.y), l->plot.y + l->plot.h);
}

static void heading(const struct panel *l, const char *head, const char *more)
{
	const struct inw_face_of_type f = {13, true, INW_LEFT_ALIGNED, inw_ink_text},
	                              g = {10.5, false, INW_LEFT_ALIGNED, inw_ink_grey};
	struct inw_spot at = {l->plot.x, l->plot.y - 8};
	at.x += inw_draw__text(l->p->c, at, l->plot.w, f, head) + 12;
	inw_draw__text(l->p->c, at, l->plot.x + l->plot.w - at.x, g, more);
}

/* Bands where the door is open. */
static void backdrop(const struct panel *l)
{
	struct inw_stretch door[INW_MOST_STRETCHES];
	size_t n = inw_day__doors(l->p->r, door);
	inw_draw__rect(l->p->c, l->plot, (struct inw_ink){1, 1, 1}, 0);
	for (size_t i = 0; i < n; i++) {
		double a = inw_day_picture__x(l->p, door[i].from), b = inw_day_picture__x(l->p, door[i].to);
		inw_draw__rect(l->p->c, (struct inw_rect){a, l->plot.y, fmax(b - a, 1.5), l->plot.h}, inw_ink_faint, 0);
	}
}

static void frame(const struct panel *l)
{
	inw_draw__dash(l->p->c, 0, 0);
	inw_draw__ink(l->p->c, inw_ink_grey);
	cairo_set_line_width(l->p->c, 1);
	cairo_rectangle(l->p->c, l->plot.x, l->plot.y, l->plot.w, l->plot.h);
	cairo_stroke(l->p->c);
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

static void log_axis(const struct panel *l)
{
	char text[32];
	const struct inw_face_of_type f = {9.5, false, INW_RIGHT_ALIGNED, inw_ink_grey};
	int low = (int)lround(l->axis.low), high = (int)lround(l->axis.high), every = high - low > 6 ? 2 : 1;
	inw_draw__dash(l->p->c, 0, 0);
	for (int k = low; k <= high; k++) {
		double y = inw_draw__on(&l->axis, k);
		inw_draw__ink(l->p->c, inw_ink_faint);
		inw_draw__line(l->p->c, (struct inw_spot){l->plot.x, y}, (struct inw_spot){l->plot.x + l->plot.w, y}, 0.6);
		decade_words(text, sizeof text, k);
		if ((k - low) % every == 0)
			inw_draw__text(l->p->c, (struct inw_spot){l->plot.x - 5, y + 3.5}, 0, f, text);
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

/* The column as a path; `gap_where` (a column or INW_NO_COLUMN): no line where it is not zero. */
static void trace(const struct panel *l, int column, int gap_where)
{
	const struct inw_day_report *r = l->p->r;
	struct pen pen = {.c = l->p->c};
	for (size_t i = 0; i < r->series.rows; i++) {
		double y = y_of(l, inw_day__value(r, i, column));
		if (!isfinite(y) || inw_day__value(r, i, gap_where) > 0) {
			pen_lift(&pen);
			continue;
		}
		/* far outside is as good as outside, and keeps the numbers of a file small */
		pen_to(&pen, inw_day_picture__x(l->p, inw_day__time(r, i)),
		       fmin(fmax(y, l->plot.y - l->plot.h), l->plot.y + 2 * l->plot.h));
	}
	pen_lift(&pen);
}

static void clip(const struct panel *l)
{
	cairo_save(l->p->c);
	cairo_rectangle(l->p->c, l->plot.x, l->plot.y, l->plot.w, l->plot.h);
	cairo_clip(l->p->c);
}

static void use_style(const struct panel *l, struct line_style s)
{
	inw_draw__ink(l->p->c, s.ink);
	inw_draw__dash(l->p->c, s.on, s.off);
	cairo_set_line_width(l->p->c, s.width);
}

static void draw_curve(const struct panel *l, int column, int gap_where, struct line_style s)
{
	clip(l);
	trace(l, column, gap_where);
	use_style(l, s);
	cairo_set_line_join(l->p->c, CAIRO_LINE_JOIN_ROUND);
	cairo_stroke(l->p->c);
	inw_draw__dash(l->p->c, 0, 0);
	cairo_restore(l->p->c);
}

/* A line with teeth on the side where one must not be: `up` 1 or, when it is a least value, -1. */
static void toothed(cairo_t *c, struct inw_spot a, double x, int up)
{
	inw_draw__dash(c, 0, 0);
	inw_draw__ink(c, inw_ink_text);
	inw_draw__line(c, a, (struct inw_spot){x, a.y}, 1.1);
	for (double k = a.x + 4; k < x - 3; k += 12)
		inw_draw__line(c, (struct inw_spot){k, a.y}, (struct inw_spot){k + 4, a.y - 5 * up}, 0.8);
}

static void draw_limit(struct panel *l, double value, int up, const char *text)
{
	double y = y_of(l, value);
	clip(l);
	toothed(l->p->c, (struct inw_spot){l->plot.x, y}, l->plot.x + l->plot.w, up);
	cairo_restore(l->p->c);
	if (l->entries < MOST_LINES) {
		struct entry *e = &l->entry[l->entries++];
		*e = (struct entry){.value = value, .teeth = up};
		snprintf(e->text, sizeof e->text, "%s", text);
	}
}

/* Least and greatest of a column, shown values, widened into `low` and `high`. */
static void widen(const struct panel *l, int column, double *low, double *high)
{
	for (size_t i = 0; column >= 0 && i < l->p->r->series.rows; i++) {
		double v = shown(&l->scale, inw_day__value(l->p->r, i, column));
		if (isfinite(v)) {
			*low = fmin(*low, v);
			*high = fmax(*high, v);
		}
	}
}

static struct entry *add_entry(struct panel *l, int column, struct line_style s)
{
	const struct inw_day_report *r = l->p->r;
	if (l->entries >= MOST_LINES)
		return NULL;
	struct entry *e = &l->entry[l->entries++];
	*e = (struct entry){.value = r->series.rows ? inw_day__value(r, r->series.rows - 1, column) : NAN, .style = s};
	return e;
}

/* "bedroom: most 3 ug/m3 at 02:40"; `sign` -1: "least", of the time when the door is shut. */
static void name_curve(struct panel *l, int column, int sign, struct line_style s, const char *name)
{
	const struct inw_day_report *r = l->p->r;
	char value[INW_CELL], clock[INW_CELL];
	int unless = sign < 0 ? inw_day__column(r, "door_open") : INW_NO_COLUMN;
	long row = inw_day__extreme_row(r, column, sign, unless), other = inw_day__extreme_row(r, column, -sign, unless);
	struct entry *e = add_entry(l, column, s);
	if (!e || row < 0)
		return;
	double found = inw_day__value(r, (size_t)row, column);
	inw_draw__number(value, sizeof value, found, r->series.dim[column], l->p->units);
	inw_day__clock(clock, sizeof clock, r, inw_day__time(r, (size_t)row));
	if (l->log && !(found > 0))
		snprintf(e->text, sizeof e->text, "%.60s: nothing all day", name);
	else if (l->log && log10(shown(&l->scale, found)) < l->axis.low)
		snprintf(e->text, sizeof e->text, "%.60s: below this scale all day", name);
	else if (found == inw_day__value(r, (size_t)other, column))
		snprintf(e->text, sizeof e->text, "%.60s: %s all day", name, value);
	else
		snprintf(e->text, sizeof e->text, "%.60s: %s %s at %s", name, sign < 0 ? "least" : "most", value, clock);
}

/* ---- beside the plot --------------------------------------------------------------------------------------------- */

static void sort_entries(const struct panel *l, size_t order[MOST_LINES], double place[MOST_LINES])
{
	double bottom = l->plot.y + l->plot.h;
	for (size_t i = 0; i < l->entries; i++) {
		double y = y_of(l, l->entry[i].value);
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

static void beside(const struct panel *l)
{
	size_t order[MOST_LINES];
	double place[MOST_LINES], spread[MOST_LINES];
	const double x = l->plot.x + l->plot.w;
	sort_entries(l, order, place);
	memcpy(spread, place, sizeof spread);
	inw_draw__spread(spread, l->entries, ENTRY, l->plot.y + 4, l->plot.y + l->plot.h - 4);
	for (size_t i = 0; i < l->entries; i++) {
		const struct entry *e = &l->entry[order[i]];
		const struct inw_face_of_type f = {10.5, false, INW_LEFT_ALIGNED, inw_ink_text};
		inw_draw__dash(l->p->c, 0, 0);
		inw_draw__ink(l->p->c, inw_ink_grey);
		inw_draw__line(l->p->c, (struct inw_spot){x + 1, place[i]}, (struct inw_spot){x + 13, spread[i]}, 0.6);
		if (e->teeth) {
			toothed(l->p->c, (struct inw_spot){x + 14, spread[i]}, x + 14 + SAMPLE, e->teeth);
		} else {
			use_style(l, e->style);
			cairo_move_to(l->p->c, x + 14, spread[i]);
			cairo_line_to(l->p->c, x + 14 + SAMPLE, spread[i]);
			cairo_stroke(l->p->c);
		}
		inw_draw__dash(l->p->c, 0, 0);
		inw_draw__text(l->p->c, (struct inw_spot){x + 20 + SAMPLE, spread[i] + 3.5}, INW_SIDE_WIDTH - 20 - SAMPLE, f,
		               e->text);
	}
}

static struct panel new_panel(const struct inw_day_picture *p, double y, enum inw_dim dim)
{
	struct panel l = {.p = p, .scale = scale_of(dim, p->units)};
	l.plot = (struct inw_rect){p->x, y + INW_PANEL_HEAD, p->w, INW_PANEL_HEIGHT};
	return l;
}

static void linear_axis(struct panel *l, double low, double high)
{
	double spare = 0.06 * (high - low);
	l->axis = inw_draw__axis(low - spare, high + spare, l->plot.y + l->plot.h, l->plot.y, INW_DIM_NONE, INW_SI);
	inw_draw__dash(l->p->c, 0, 0);
	inw_draw__upright_axis(l->p->c, &l->axis, l->plot.x, l->plot.x + l->plot.w);
}

/* ---- temperatures ------------------------------------------------------------------------------------------------ */

void inw_day_picture__temperatures(const struct inw_day_picture *p, double y)
{
	static const struct {
		const char *column, *name;
	} curve[] = {{"box.temperature", "air in the box"}, {"plate.temperature", "hot plate"},
	             {"outdoor.temperature", "out of doors"}};
	struct panel l = new_panel(p, y, INW_DIM_TEMPERATURE);
	double low = INFINITY, high = -INFINITY;
	for (size_t i = 0; i < INW_COUNT(curve); i++)
		widen(&l, inw_day__column(p->r, curve[i].column), &low, &high);
	heading(&l, "How warm it is", p->units == INW_US ? "\xC2\xB0" "F" : "\xC2\xB0" "C");
	backdrop(&l);
	linear_axis(&l, low, high);
	for (size_t i = INW_COUNT(curve); i-- > 0;) { /* the box last, on top */
		int column = inw_day__column(p->r, curve[i].column);
		if (inw_day__extreme_row(p->r, column, 1, INW_NO_COLUMN) < 0)
			continue; /* no plate */
		draw_curve(&l, column, INW_NO_COLUMN, style_of(i));
		name_curve(&l, column, 1, style_of(i), curve[i].name);
	}
	frame(&l);
	beside(&l);
}

/* ---- the pull inward --------------------------------------------------------------------------------------------- */

static bool is_outward(const struct inw_day_report *r, size_t row, int column)
{
	return inw_day__value(r, row, column) < 0 && !(inw_day__value(r, row, inw_day__column(r, "door_open")) > 0);
}

/* Where the straight line from row `a` to row `b` meets zero; the place of `b` when one of them has no number. */
static double crossing(const struct panel *l, size_t a, size_t b, int column)
{
	double u = inw_day__value(l->p->r, a, column), v = inw_day__value(l->p->r, b, column);
	double x = inw_day_picture__x(l->p, inw_day__time(l->p->r, a));
	double z = inw_day_picture__x(l->p, inw_day__time(l->p->r, b));
	return u * v < 0 ? x + (z - x) * u / (u - v) : z;
}

/* The path so far, closed along zero at `x`: hatched and outlined. */
static void close_outward(const struct panel *l, double x)
{
	cairo_line_to(l->p->c, x, y_of(l, 0));
	cairo_close_path(l->p->c);
	cairo_path_t *path = cairo_copy_path(l->p->c);
	inw_draw__hatch(l->p->c, inw_ink_out, 5, 2.2);
	cairo_append_path(l->p->c, path);
	inw_draw__ink(l->p->c, inw_ink_text);
	cairo_set_line_width(l->p->c, 1);
	cairo_stroke(l->p->c);
	cairo_path_destroy(path);
}

/* The area between curve and zero where air is pressed out. */
static void hatch_outward(const struct panel *l, int column)
{
	const struct inw_day_report *r = l->p->r;
	bool was = false;
	clip(l);
	for (size_t i = 0; column >= 0 && i < r->series.rows; i++) {
		bool out = is_outward(r, i, column), last = i + 1 == r->series.rows;
		double x = inw_day_picture__x(l->p, inw_day__time(r, i));
		if (out && !was)
			cairo_move_to(l->p->c, i ? crossing(l, i - 1, i, column) : x, y_of(l, 0));
		if (out)
			cairo_line_to(l->p->c, x, y_of(l, inw_day__value(r, i, column)));
		if ((!out && was) || (out && last))
			close_outward(l, out ? x : crossing(l, i - 1, i, column));
		was = out;
	}
	cairo_restore(l->p->c);
}

static void name_sides(const struct panel *l, bool outward)
{
	double zero = y_of(l, 0);
	cairo_t *c = l->p->c;
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
	struct panel l = new_panel(p, y, INW_DIM_PRESSURE);
	int column = inw_day__column(p->r, "box.inward_pressure"), door = inw_day__column(p->r, "door_open");
	double low = 0, high = 0, limit = NAN, least = 0;
	char text[TEXT], number[INW_CELL];
	for (size_t i = 0; i < p->r->verdict_count; i++)
		if (strcmp(p->r->verdicts[i].id, "day_inward_pressure") == 0 && p->r->verdicts[i].sense == INW_AT_LEAST)
			limit = p->r->verdicts[i].limit;
	widen(&l, column, &low, &high);
	least = low;
	if (isfinite(limit))
		high = fmax(high, 1.2 * shown(&l.scale, limit));
	snprintf(text, sizeof text, "%s at the worst gap; hatched below zero: box air escapes uncleaned", l.scale.name);
	heading(&l, "How strongly the room presses into the box", text);
	backdrop(&l);
	linear_axis(&l, low, high);
	hatch_outward(&l, column);
	name_sides(&l, least < 0);
	if (isfinite(limit)) {
		inw_draw__number(number, sizeof number, limit, INW_DIM_PRESSURE, p->units);
		snprintf(text, sizeof text, "wanted: at least %s", number);
		draw_limit(&l, limit, -1, text);
	}
	if (inw_day__extreme_row(p->r, column, 1, INW_NO_COLUMN) >= 0) {
		draw_curve(&l, column, door, style_of(0));
		name_curve(&l, column, -1, style_of(0), "pull inward");
	}
	frame(&l);
	beside(&l);
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

/* Whole decades from well under the strictest limit to over all that is drawn. */
static void log_scale(struct panel *l, double peak, const struct limit *limit, size_t limits)
{
	double top = peak, low = INFINITY;
	for (size_t i = 0; i < limits; i++) {
		top = fmax(top, limit[i].value);
		low = fmin(low, limit[i].value);
	}
	top = top > 0 ? shown(&l->scale, top) : 1;
	low = isfinite(low) ? shown(&l->scale, low) * 1e-3 : top * 1e-5;
	double high = ceil(log10(top * 1.3)), foot = fmax(floor(log10(low)), high - DECADES);
	l->log = true;
	l->axis = (struct inw_axis){.low = fmin(foot, high - 2), .high = high, .a = l->plot.y + l->plot.h, .b = l->plot.y};
}

/* Box and rooms of one gas (NULL: particles), with limits. */
static void draw_air(struct panel *l, const char *gas, const struct limit *limit, size_t limits)
{
	const struct inw_day_report *r = l->p->r;
	char room[INW_NAME];
	int column[1 + MOST_ROOMS];
	double peak = most(r, column[0] = inw_day__air(r, gas, NULL));
	size_t rooms = 0;
	for (; rooms < MOST_ROOMS && inw_day__room(r, rooms, room); rooms++)
		peak = fmax(peak, most(r, column[1 + rooms] = inw_day__air(r, gas, room)));
	log_scale(l, peak, limit, limits);
	backdrop(l);
	log_axis(l);
	for (size_t i = 0; i < limits; i++)
		draw_limit(l, limit[i].value, 1, limit[i].text);
	for (size_t i = 0; i <= rooms; i++) {
		if (column[i] < 0)
			continue;
		draw_curve(l, column[i], INW_NO_COLUMN, style_of(i));
		if (i)
			inw_day__room(r, i - 1, room);
		name_curve(l, column[i], 1, style_of(i), i ? room : "in the box");
	}
	frame(l);
	beside(l);
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

static const char *title_of(const struct inw_day_report *r, const char *gas)
{
	for (size_t i = 0; r->design && i < r->design->catalog.substances; i++)
		if (strcmp(r->design->catalog.substance[i].name, gas) == 0)
			return r->design->catalog.substance[i].title;
	return gas;
}

void inw_day_picture__gas(const struct inw_day_picture *p, double y)
{
	struct panel l = new_panel(p, y, INW_DIM_CONCENTRATION);
	struct limit limit[INW_COUNT(gas_limit)];
	char gas[INW_NAME], head[TEXT], more[TEXT];
	size_t n = 0, gases;
	if (!worst_gas(p->r, gas, &gases)) {
		heading(&l, "Gases", "none is known to come off in this day");
		backdrop(&l);
		frame(&l);
		return;
	}
	for (size_t i = 0; i < INW_COUNT(gas_limit); i++)
		if (inw_day__has_person(p->r, gas_limit[i].who))
			add_limit(limit, &n, inw_day__limit(p->r, gas, gas_limit[i].kind), INW_DIM_CONCENTRATION, gas_limit[i].words,
			          p->units);
	snprintf(head, sizeof head, "%.120s in the air", title_of(p->r, gas));
	snprintf(more, sizeof more, "\xC2\xB5g/m\xC2\xB3, each line ten times the one below%s",
	         gases > 1 ? "; of all gases the one nearest to a limit" : "");
	heading(&l, head, more);
	draw_air(&l, gas, limit, n);
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
	struct panel l = new_panel(p, y, INW_DIM_NUMBER_CONCENTRATION);
	struct limit limit[2];
	size_t n = particle_limits(p, limit);
	heading(&l, "Particles in the air, added by the machine", "in a cubic centimetre, each line ten times the one below");
	draw_air(&l, NULL, limit, n);
}
