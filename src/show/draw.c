/* SPDX-License-Identifier: MIT */
#include "show/draw.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Relative luminance from light to dark: paper 0.95, box 0.90, room 0.85, faint 0.68, duct 0.44, out 0.22, grey 0.15,
 * in 0.05, text 0.01. */
const struct inw_ink inw_ink_paper = {0.985, 0.98, 0.965}, inw_ink_box = {1.0, 0.955, 0.88},
					 inw_ink_room = {0.90, 0.94, 0.96}, inw_ink_faint = {0.83, 0.84, 0.85},
					 inw_ink_duct = {0.60, 0.72, 0.80}, inw_ink_out = {0.835, 0.369, 0.0},
					 inw_ink_grey = {0.42, 0.43, 0.45}, inw_ink_in = {0.07, 0.25, 0.47},
					 inw_ink_text = {0.10, 0.10, 0.12};

void inw_draw__ink(cairo_t *c, struct inw_ink ink)
{
	cairo_set_source_rgb(c, ink.r, ink.g, ink.b);
}

/* ---- text -------------------------------------------------------------------------------------------------------- */

static void choose_font(cairo_t *c, struct inw_face_of_type f)
{
	cairo_select_font_face(c, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
	                       f.bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
	cairo_set_font_size(c, f.size);
}

static double advance(cairo_t *c, const char *s)
{
	cairo_text_extents_t e;
	cairo_text_extents(c, s, &e);
	return e.x_advance;
}

double inw_draw__width(cairo_t *c, struct inw_face_of_type f, const char *s)
{
	choose_font(c, f);
	return advance(c, s);
}

enum { LONGEST = 400 };

/* Cut whole characters off the end until text and ellipsis fit. */
static void shorten(cairo_t *c, char *s, double room)
{
	size_t n = strlen(s);
	if (room <= 0 || advance(c, s) <= room)
		return;
	while (n > 0) {
		do
			n--;
		while (n > 0 && ((unsigned char)s[n] & 0xC0) == 0x80);
		memcpy(s + n, "\xE2\x80\xA6", 4);
		if (advance(c, s) <= room)
			return;
	}
}

static double place_text(cairo_t *c, struct inw_spot at, double room, struct inw_face_of_type f, const char *s,
                         bool patch)
{
	char text[LONGEST + 8];
	inw_show__plain(text, LONGEST, s);
	choose_font(c, f);
	shorten(c, text, room);
	double w = advance(c, text);
	double x = f.align == INW_CENTRED ? at.x - w / 2 : f.align == INW_RIGHT_ALIGNED ? at.x - w : at.x;
	if (patch) {
		inw_draw__ink(c, inw_ink_paper);
		cairo_rectangle(c, x - 2, at.y - f.size, w + 4, f.size * 1.3);
		cairo_fill(c);
	}
	inw_draw__ink(c, f.ink);
	cairo_move_to(c, x, at.y);
	cairo_show_text(c, text);
	cairo_new_path(c);
	return w;
}

double inw_draw__text(cairo_t *c, struct inw_spot at, double room, struct inw_face_of_type f, const char *s)
{
	return place_text(c, at, room, f, s, false);
}

double inw_draw__label(cairo_t *c, struct inw_spot at, double room, struct inw_face_of_type f, const char *s)
{
	return place_text(c, at, room, f, s, true);
}

static bool replace(char *s, size_t size, const char *from, const char *to)
{
	char *at = strstr(s, from);
	if (!at || strlen(s) + strlen(to) + 1 > size + strlen(from))
		return false;
	memmove(at + strlen(to), at + strlen(from), strlen(at + strlen(from)) + 1);
	memcpy(at, to, strlen(to));
	return true;
}

char *inw_draw__number(char *out, size_t size, double value, enum inw_dim dim, enum inw_units units)
{
	inw_show__number(out, size, value, dim, units);
	replace(out, size, "m3", "m\xC2\xB3");
	replace(out, size, "ft3", "ft\xC2\xB3");
	replace(out, size, " um", " \xC2\xB5m");
	replace(out, size, " ug", " \xC2\xB5g");
	replace(out, size, " degC",
	        " \xC2\xB0"
	        "C");
	replace(out, size, " degF",
	        " \xC2\xB0"
	        "F");
	if (out[0] == '-')
		replace(out, size, "-", "\xE2\x88\x92");
	return out;
}

/* ---- lines and areas --------------------------------------------------------------------------------------------- */

void inw_draw__line(cairo_t *c, struct inw_spot a, struct inw_spot b, double width)
{
	cairo_set_line_width(c, width);
	cairo_move_to(c, a.x, a.y);
	cairo_line_to(c, b.x, b.y);
	cairo_stroke(c);
}

void inw_draw__dash(cairo_t *c, double on, double off)
{
	const double dash[2] = {on, off};
	cairo_set_dash(c, dash, on > 0 ? 2 : 0, 0);
}

void inw_draw__rect(cairo_t *c, struct inw_rect r, struct inw_ink fill, double border)
{
	cairo_rectangle(c, r.x, r.y, r.w, r.h);
	inw_draw__ink(c, fill);
	cairo_fill_preserve(c);
	inw_draw__ink(c, inw_ink_text);
	cairo_set_line_width(c, border);
	if (border > 0)
		cairo_stroke(c);
	cairo_new_path(c);
}

void inw_draw__hatch(cairo_t *c, struct inw_ink ink, double step, double width)
{
	double x0, y0, x1, y1;
	cairo_save(c);
	cairo_clip(c);
	cairo_clip_extents(c, &x0, &y0, &x1, &y1);
	inw_draw__ink(c, ink);
	cairo_set_line_width(c, width);
	for (double x = x0 - (y1 - y0); x < x1; x += step) {
		cairo_move_to(c, x, y1);
		cairo_line_to(c, x + (y1 - y0), y0);
	}
	cairo_stroke(c);
	cairo_restore(c);
}

/* ---- arrows ------------------------------------------------------------------------------------------------------ */

struct shape {
	double shaft, head, head_length;
};

static void arrow_path(cairo_t *c, struct inw_spot tail, struct inw_spot tip, struct shape s)
{
	double length = hypot(tip.x - tail.x, tip.y - tail.y);
	if (length <= 0)
		return;
	double ux = (tip.x - tail.x) / length, uy = (tip.y - tail.y) / length, neck = fmax(0, length - s.head_length);
	const double along[] = {0, neck, neck, length, neck, neck, 0};
	const double across[] = {s.shaft, s.shaft, s.head, 0, -s.head, -s.shaft, -s.shaft};
	for (size_t i = 0; i < INW_COUNT(along); i++)
		cairo_line_to(c, tail.x + along[i] * ux - across[i] * uy, tail.y + along[i] * uy + across[i] * ux);
	cairo_close_path(c);
}

void inw_draw__arrow(cairo_t *c, struct inw_spot tail, struct inw_spot tip, struct inw_ink ink)
{
	arrow_path(c, tail, tip, (struct shape){1.3, 4.5, 10});
	inw_draw__ink(c, ink);
	cairo_fill(c);
}

void inw_draw__escape(cairo_t *c, struct inw_spot tail, struct inw_spot tip)
{
	const struct shape broad = {5, 10, 13};
	inw_draw__dash(c, 0, 0);
	arrow_path(c, tail, tip, broad);
	cairo_set_source_rgb(c, 1, 1, 1);
	cairo_fill_preserve(c);
	inw_draw__hatch(c, inw_ink_out, 4.5, 2);
	arrow_path(c, tail, tip, broad);
	inw_draw__ink(c, inw_ink_text);
	cairo_set_line_width(c, 1.3);
	cairo_stroke(c);
}

double inw_draw__tag(cairo_t *c, struct inw_spot at, bool outward)
{
	struct inw_face_of_type f = {9.5, true, INW_LEFT_ALIGNED, outward ? inw_ink_text : inw_ink_in};
	const char *word = outward ? "OUT" : "IN";
	double w = inw_draw__width(c, f, word);
	struct inw_rect frame = {at.x, at.y - 9, w + 8 + (outward ? 10 : 0), 12};
	inw_draw__dash(c, 0, 0);
	cairo_rectangle(c, frame.x, frame.y, frame.w, frame.h);
	cairo_set_source_rgb(c, 1, 1, 1);
	cairo_fill(c);
	if (outward) {
		cairo_rectangle(c, frame.x, frame.y, 10, frame.h);
		inw_draw__hatch(c, inw_ink_out, 4, 2);
	}
	cairo_rectangle(c, frame.x, frame.y, frame.w, frame.h);
	inw_draw__ink(c, outward ? inw_ink_text : inw_ink_in);
	cairo_set_line_width(c, outward ? 1.5 : 0.8);
	cairo_stroke(c);
	inw_draw__text(c, (struct inw_spot){at.x + 4 + (outward ? 10 : 0), at.y}, 0, f, word);
	return frame.w;
}

double inw_draw__sign(cairo_t *c, struct inw_spot at, enum inw_word word)
{
	const struct inw_face_of_type f = {12, true, INW_CENTRED, inw_ink_text};
	inw_draw__ink(c, inw_ink_text);
	cairo_set_line_width(c, 2.4);
	if (word == INW_MEETS) {
		cairo_move_to(c, at.x - 6, at.y - 4);
		cairo_line_to(c, at.x - 2, at.y);
		cairo_line_to(c, at.x + 6, at.y - 9);
	} else if (word == INW_MISSES) {
		cairo_move_to(c, at.x - 5, at.y - 9);
		cairo_line_to(c, at.x + 5, at.y + 1);
		cairo_move_to(c, at.x + 5, at.y - 9);
		cairo_line_to(c, at.x - 5, at.y + 1);
	} else if (word == INW_STATED) {
		cairo_arc(c, at.x, at.y - 4, 2, 0, 6.283185307179586);
	} else {
		inw_draw__text(c, at, 0, f, "?");
	}
	cairo_stroke(c);
	return 14;
}

/* ---- axes -------------------------------------------------------------------------------------------------------- */

static void axis_unit(struct inw_axis *a, enum inw_dim dim, enum inw_units units)
{
	const struct {
		enum inw_dim dim;
		const char *si, *us;
	} unit[] = {
		{INW_DIM_PRESSURE, "Pa", "inH2O"},
		{INW_DIM_VOLUME_FLOW, "m3/h", "ft3/min"},
		{INW_DIM_LENGTH, "mm", "in"},
	};
	a->unit_SI = 1;
	a->unit = "";
	for (size_t i = 0; i < INW_COUNT(unit); i++) {
		char one[32];
		double SI = 1;
		if (unit[i].dim != dim)
			continue;
		a->unit = units == INW_US ? unit[i].us : unit[i].si;
		snprintf(one, sizeof one, "1 %s", a->unit); /* the factor comes from the one table of units */
		if (!inw_parse_quantity(one, dim, &SI))
			a->unit_SI = SI;
	}
}

static double nice_step(double span)
{
	double rough = span / 5, power = pow(10, floor(log10(rough))), digit = rough / power;
	return power * (digit < 1.5 ? 1 : digit < 3.5 ? 2 : digit < 7.5 ? 5 : 10);
}

struct inw_axis inw_draw__axis(double low, double high, double a, double b, enum inw_dim dim, enum inw_units units)
{
	struct inw_axis axis = {.a = a, .b = b};
	axis_unit(&axis, dim, units);
	if (!(high > low) || !isfinite(high - low)) /* nothing to span: one unit about the value */
		high = (isfinite(low) ? low : (low = 0)) + axis.unit_SI;
	axis.low = low;
	axis.high = high;
	axis.step_SI = nice_step((high - low) / axis.unit_SI) * axis.unit_SI;
	return axis;
}

double inw_draw__on(const struct inw_axis *axis, double value)
{
	return axis->a + (value - axis->low) / (axis->high - axis->low) * (axis->b - axis->a);
}

double inw_draw__first_tick(const struct inw_axis *axis)
{
	return ceil(axis->low / axis->step_SI - 1e-9) * axis->step_SI;
}

char *inw_draw__tick(char *out, size_t size, const struct inw_axis *axis, double value)
{
	double shown = value / axis->unit_SI, step = axis->step_SI / axis->unit_SI;
	int decimals = step < 1 ? (int)ceil(-log10(step) - 1e-9) : 0;
	snprintf(out, size, "%.*f", decimals < 6 ? decimals : 6, fabs(shown) < step * 1e-6 ? 0 : shown);
	if (out[0] == '-')
		replace(out, size, "-", "\xE2\x88\x92");
	return out;
}

void inw_draw__level_axis(cairo_t *c, const struct inw_axis *axis, double y, double far)
{
	char tick[32];
	const struct inw_face_of_type f = {9.5, false, INW_CENTRED, inw_ink_grey};
	for (int i = 0; i < 40; i++) {
		double value = inw_draw__first_tick(axis) + i * axis->step_SI, x = inw_draw__on(axis, value);
		if (value > axis->high + 1e-9 * axis->step_SI)
			break;
		inw_draw__ink(c, inw_ink_faint);
		inw_draw__line(c, (struct inw_spot){x, y}, (struct inw_spot){x, far}, 0.6);
		inw_draw__text(c, (struct inw_spot){x, y + 13}, 0, f, inw_draw__tick(tick, sizeof tick, axis, value));
	}
}

void inw_draw__upright_axis(cairo_t *c, const struct inw_axis *axis, double x, double far)
{
	char tick[32];
	const struct inw_face_of_type f = {9.5, false, INW_RIGHT_ALIGNED, inw_ink_grey};
	for (int i = 0; i < 40; i++) {
		double value = inw_draw__first_tick(axis) + i * axis->step_SI, y = inw_draw__on(axis, value);
		if (value > axis->high + 1e-9 * axis->step_SI)
			break;
		inw_draw__ink(c, inw_ink_faint);
		inw_draw__line(c, (struct inw_spot){x, y}, (struct inw_spot){far, y}, 0.6);
		inw_draw__text(c, (struct inw_spot){x - 5, y + 3.5}, 0, f, inw_draw__tick(tick, sizeof tick, axis, value));
	}
}

/* ---- places that must not collide -------------------------------------------------------------------------------- */

void inw_draw__spread(double *place, size_t count, double gap, double low, double high)
{
	if (!count)
		return;
	if ((double)(count - 1) * gap >= high - low) { /* they do not fit freely: even steps */
		for (size_t i = 0; i < count; i++)
			place[i] = count == 1 ? (low + high) / 2 : low + (high - low) * (double)i / (double)(count - 1);
		return;
	}
	/* Each pass shares every overlap between the two neighbours; then one pass from each side makes it exact. */
	for (int pass = 0; pass < 60; pass++)
		for (size_t i = 1; i < count; i++) {
			double overlap = gap - (place[i] - place[i - 1]);
			if (overlap > 0) {
				place[i] += overlap / 2;
				place[i - 1] -= overlap / 2;
			}
		}
	place[0] = fmax(place[0], low);
	for (size_t i = 1; i < count; i++)
		place[i] = fmax(place[i], place[i - 1] + gap);
	place[count - 1] = fmin(place[count - 1], high);
	for (size_t i = count - 1; i > 0; i--)
		place[i - 1] = fmin(place[i - 1], place[i] - gap);
}
