/* SPDX-License-Identifier: MIT */
/* draw.h: the drawing hand: inks, text that fits, arrows whose direction is plain without colour, axes.
 *
 * Inks are ordered by luminance, so the picture reads in grey and for colour-blind eyes; nothing is said by colour
 * alone. Lengths are points of the page. Ownership: the caller's cairo_t; nothing is kept.
 */
#ifndef INW_DRAW_H
#define INW_DRAW_H

#include <cairo.h>

#include "show/lines.h"

struct inw_ink {
	double r, g, b;
};
extern const struct inw_ink inw_ink_paper, inw_ink_room, inw_ink_box, inw_ink_faint, inw_ink_grey, inw_ink_text,
	inw_ink_in, inw_ink_out, inw_ink_duct;

enum inw_align { INW_LEFT_ALIGNED, INW_CENTRED, INW_RIGHT_ALIGNED };
struct inw_face_of_type {
	double size;
	bool bold;
	enum inw_align align;
	struct inw_ink ink;
};
struct inw_spot {
	double x, y;
};
struct inw_rect {
	double x, y, w, h;
};

void inw_draw__ink(cairo_t *c, struct inw_ink ink);
/* Text with its baseline at `at`, shortened with an ellipsis to `room` (no limit when room <= 0). Returns its width. */
double inw_draw__text(cairo_t *c, struct inw_spot at, double room, struct inw_face_of_type f, const char *s);
/* The same on a patch of `behind`, so that lines below do not run through it. */
double inw_draw__label(cairo_t *c, struct inw_spot at, double room, struct inw_face_of_type f, const char *s);
double inw_draw__width(cairo_t *c, struct inw_face_of_type f, const char *s);
void inw_draw__line(cairo_t *c, struct inw_spot a, struct inw_spot b, double width);
void inw_draw__dash(cairo_t *c, double on, double off); /* 0, 0: solid */
void inw_draw__rect(cairo_t *c, struct inw_rect r, struct inw_ink fill, double border);
/* Diagonal hatching inside the current path, which is used up. */
void inw_draw__hatch(cairo_t *c, struct inw_ink ink, double step, double width);

/* Slim and solid: air that is drawn in, or moved where it should go. */
void inw_draw__arrow(cairo_t *c, struct inw_spot tail, struct inw_spot tip, struct inw_ink ink);
/* Broad, hatched, outlined: air that escapes. */
void inw_draw__escape(cairo_t *c, struct inw_spot tail, struct inw_spot tip);
/* The word OUT in a hatched frame, or IN in a plain one, baseline at `at`. Returns its width. */
double inw_draw__tag(cairo_t *c, struct inw_spot at, bool outward);

/* A word of the verdict as a sign of its own: tick, cross, question mark, dot; baseline at `at`. Returns its width. */
double inw_draw__sign(cairo_t *c, struct inw_spot at, enum inw_word word);

/* A number with unit in print: m3 becomes a raised three, degC a degree sign. Returns `out`. */
char *inw_draw__number(char *out, size_t size, double value, enum inw_dim dim, enum inw_units units);

/* A linear axis: values in SI between `low` and `high` on pixels from `a` to `b`. */
struct inw_axis {
	double low, high, a, b, step_SI;
	double unit_SI;
	const char *unit;
};
struct inw_axis inw_draw__axis(double low, double high, double a, double b, enum inw_dim dim, enum inw_units units);
double inw_draw__on(const struct inw_axis *axis, double value);
/* First tick at or above `low`. */
double inw_draw__first_tick(const struct inw_axis *axis);
char *inw_draw__tick(char *out, size_t size, const struct inw_axis *axis, double value);
/* Ticks, grid lines to `far` and numbers of a level axis at y, or of an upright axis at x. */
void inw_draw__level_axis(cairo_t *c, const struct inw_axis *axis, double y, double far);
void inw_draw__upright_axis(cairo_t *c, const struct inw_axis *axis, double x, double far);

/* Move sorted places apart until neighbours are `gap` away from each other, staying within [low, high] if they fit. */
void inw_draw__spread(double *place, size_t count, double gap, double low, double high);

#endif
