/* SPDX-License-Identifier: MIT */
#include "show/bed_panel.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PLOTS = 3, MOST_SUBSTANCES = 64, CURVES = 7, HEAD = 34, WORDS = 50, PLOT = 138, FOOT = 40, APART = 74, CELL_TEXT = 200 };

/* ---- what a profile says ------------------------------------------------------------------------------------------ */

static double loading(const struct inw_bed_profile *b, size_t time, size_t substance, size_t cell)
{
	return b->loading[(time * b->substances + substance) * b->cells + cell];
}

double inw_bed__held_kg(const struct inw_bed_profile *bed, size_t beds, size_t substance, size_t time)
{
	double all = 0;
	for (size_t k = 0; k < beds; k++)
		for (size_t j = 0; j < bed[k].cells; j++)
			all += loading(&bed[k], time, substance, j) / (double)bed[k].cells * bed[k].carbon_kg;
	return all;
}

static double highest(const struct inw_bed_profile *b, size_t time, size_t substance)
{
	double most = 0;
	for (size_t j = 0; j < b->cells; j++)
		most = fmax(most, loading(b, time, substance, j));
	return most;
}

double inw_bed__front_m(const struct inw_bed_profile *b, size_t substance, size_t time)
{
	double half = highest(b, time, substance) / 2, each = b->depth_m / (double)b->cells;
	if (!(half > 0))
		return NAN;
	for (size_t j = b->cells; j-- > 0;) {
		double here = loading(b, time, substance, j);
		if (here < half)
			continue;
		if (j + 1 == b->cells)
			return b->depth_m;
		/* straight between the middles of two slices */
		return each * ((double)j + 0.5 + (here - half) / (here - loading(b, time, substance, j + 1)));
	}
	return NAN;
}

static bool is_water(const struct inw_bed_profile *bed, size_t substance)
{
	return strcmp(bed->substance[substance], "water") == 0;
}

double inw_bed__share_used(const struct inw_bed_profile *bed, size_t beds)
{
	double full = 0, held = 0;
	for (size_t i = 0; beds && bed->times && i < bed->substances; i++) {
		if (is_water(bed, i))
			continue;
		held += inw_bed__held_kg(bed, beds, i, bed->times - 1);
		for (size_t k = 0; k < beds; k++)
			full += bed[k].full[i] * bed[k].carbon_kg;
	}
	return full > 0 ? held / full : NAN;
}

size_t inw_bed__order(const struct inw_bed_profile *bed, size_t beds, size_t *order, size_t most)
{
	size_t n = 0;
	double held[MOST_SUBSTANCES];
	size_t all[MOST_SUBSTANCES];
	for (size_t i = 0; beds && bed->times && i < bed->substances && i < MOST_SUBSTANCES; i++) {
		double kg = inw_bed__held_kg(bed, beds, i, bed->times - 1), weight = is_water(bed, i) ? 0 : kg;
		size_t k = n;
		if (!(kg > 0))
			continue;
		for (; k > 0 && held[k - 1] < weight; k--) {
			held[k] = held[k - 1];
			all[k] = all[k - 1];
		}
		held[k] = weight;
		all[k] = i;
		n++;
	}
	/* water, the last, keeps its place among the few that are shown */
	if (n > most && most > 0 && is_water(bed, all[n - 1]))
		all[most - 1] = all[n - 1];
	n = n < most ? n : most;
	memcpy(order, all, sizeof *order * n);
	return n;
}

/* ---- drawing ------------------------------------------------------------------------------------------------------ */

struct plot {
	const struct inw_bed_panel *p;
	size_t substance;
	struct inw_rect r;
	struct inw_axis depth, load; /* shown units */
	double one_m, one_load;      /* a shown unit in SI */
};

double inw_bed_panel__height(const struct inw_bed_profile *bed, size_t beds)
{
	size_t first;
	return !beds ? 0 : HEAD + (inw_bed__order(bed, beds, &first, 1) ? WORDS + PLOT + FOOT : 0);
}

/* Early is light, late is dark and wide. */
static void use_shade(cairo_t *c, double late)
{
	const struct inw_ink light = {0.70, 0.80, 0.88};
	const struct inw_ink ink = {light.r + late * (inw_ink_in.r - light.r), light.g + late * (inw_ink_in.g - light.g),
	                            light.b + late * (inw_ink_in.b - light.b)};
	inw_draw__ink(c, ink);
	inw_draw__dash(c, 0, 0);
	cairo_set_line_width(c, 1 + 1.8 * late * late);
	cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
}

static size_t moment_of(const struct inw_bed_profile *b, size_t curve, size_t curves)
{
	return curves < 2 ? 0 : (curve * (b->times - 1) + (curves - 1) / 2) / (curves - 1);
}

static size_t curves_of(const struct inw_bed_profile *b)
{
	return b->times < CURVES ? b->times : CURVES;
}

/* One moment's loading along all beds; a bed's first and last slice go on to its ends. */
static void trace(const struct plot *l, size_t time, const struct inw_bed_profile *b, double from_m)
{
	cairo_t *c = l->p->c;
	double each = b->depth_m / (double)b->cells;
	for (size_t j = 0; j < b->cells; j++) {
		double y = inw_draw__on(&l->load, fmax(loading(b, time, l->substance, j), 0) / l->one_load);
		if (j == 0)
			cairo_line_to(c, inw_draw__on(&l->depth, from_m / l->one_m), y);
		cairo_line_to(c, inw_draw__on(&l->depth, (from_m + each * ((double)j + 0.5)) / l->one_m), y);
		if (j + 1 == b->cells)
			cairo_line_to(c, inw_draw__on(&l->depth, (from_m + b->depth_m) / l->one_m), y);
	}
}

static void fill_last(const struct plot *l, const struct inw_bed_profile *b, double from_m)
{
	cairo_t *c = l->p->c;
	double foot = l->r.y + l->r.h;
	cairo_new_path(c);
	cairo_move_to(c, inw_draw__on(&l->depth, from_m / l->one_m), foot);
	trace(l, b->times - 1, b, from_m);
	cairo_line_to(c, inw_draw__on(&l->depth, (from_m + b->depth_m) / l->one_m), foot);
	cairo_close_path(c);
	inw_draw__ink(c, inw_ink_box);
	cairo_fill(c);
}

static void draw_curves(const struct plot *l)
{
	const struct inw_bed_panel *p = l->p;
	double from = 0;
	for (size_t k = 0; k < p->beds; k++) {
		const struct inw_bed_profile *b = &p->bed[k];
		size_t curves = curves_of(b);
		fill_last(l, b, from);
		for (size_t i = 0; i < curves; i++) {
			use_shade(p->c, curves < 2 ? 1 : (double)i / (double)(curves - 1));
			cairo_new_path(p->c);
			trace(l, moment_of(b, i, curves), b, from);
			cairo_stroke(p->c);
		}
		from += b->depth_m;
	}
}

/* Where one bed ends and the next begins. */
static void draw_joints(const struct plot *l)
{
	const struct inw_face_of_type f = {9, false, INW_CENTRED, inw_ink_grey};
	double from = 0;
	for (size_t k = 0; k < l->p->beds && l->p->beds > 1; k++) {
		double a = inw_draw__on(&l->depth, from / l->one_m);
		from += l->p->bed[k].depth_m;
		double b = inw_draw__on(&l->depth, from / l->one_m);
		inw_draw__ink(l->p->c, inw_ink_text);
		inw_draw__dash(l->p->c, 4, 3);
		if (k + 1 < l->p->beds)
			inw_draw__line(l->p->c, (struct inw_spot){b, l->r.y}, (struct inw_spot){b, l->r.y + l->r.h}, 1);
		inw_draw__dash(l->p->c, 0, 0);
		inw_draw__label(l->p->c, (struct inw_spot){(a + b) / 2, l->r.y + 11}, b - a - 6, f, l->p->bed[k].stage);
	}
}

/* The unit in which the highest loading is a plain number. */
static const char *load_unit(double most, double *one)
{
	static const struct {
		double one;
		const char *words;
	} unit[] = {{1e-3, "mg"}, {1e-6, "\xC2\xB5g"}, {1e-9, "ng"}, {1e-12, "pg"}};
	size_t i = 0;
	while (i + 1 < INW_COUNT(unit) && most < unit[i].one)
		i++;
	*one = unit[i].one;
	return unit[i].words;
}

static void upright_words(const struct plot *l, const char *words)
{
	const struct inw_face_of_type f = {9.5, false, INW_CENTRED, inw_ink_grey};
	cairo_save(l->p->c);
	cairo_translate(l->p->c, l->r.x - 38, l->r.y + l->r.h / 2);
	cairo_rotate(l->p->c, -1.5707963267948966);
	inw_draw__text(l->p->c, (struct inw_spot){0, 0}, 0, f, words);
	cairo_restore(l->p->c);
}

static void draw_axes(struct plot *l)
{
	const struct inw_face_of_type f = {9.5, false, INW_CENTRED, inw_ink_grey};
	const char *unit = l->p->units == INW_US ? "in" : "mm";
	double depth = 0, most = 0;
	char text[64];
	for (size_t k = 0; k < l->p->beds; k++) {
		depth += l->p->bed[k].depth_m;
		for (size_t i = 0; i < curves_of(&l->p->bed[k]); i++)
			most = fmax(most, highest(&l->p->bed[k], moment_of(&l->p->bed[k], i, curves_of(&l->p->bed[k])), l->substance));
	}
	snprintf(text, sizeof text, "1 %s", unit);
	l->one_m = 1e-3;
	if (inw_parse_quantity(text, INW_DIM_LENGTH, &l->one_m))
		l->one_m = 1e-3;
	const char *mass = load_unit(most, &l->one_load);
	l->depth = inw_draw__axis(0, depth / l->one_m, l->r.x, l->r.x + l->r.w, INW_DIM_NONE, INW_SI);
	l->load = inw_draw__axis(0, (l->p->beds > 1 ? 1.25 : 1.08) * most / l->one_load, l->r.y + l->r.h, l->r.y, INW_DIM_NONE, INW_SI);
	inw_draw__rect(l->p->c, l->r, (struct inw_ink){1, 1, 1}, 0);
	inw_draw__dash(l->p->c, 0, 0);
	inw_draw__upright_axis(l->p->c, &l->load, l->r.x, l->r.x + l->r.w);
	inw_draw__level_axis(l->p->c, &l->depth, l->r.y + l->r.h, l->r.y);
	snprintf(text, sizeof text, "%s in a gram of carbon", mass);
	upright_words(l, text);
	snprintf(text, sizeof text, "%s from where the air enters", l->p->units == INW_US ? "inches" : unit);
	inw_draw__text(l->p->c, (struct inw_spot){l->r.x + l->r.w / 2, l->r.y + l->r.h + 27}, 0, f, text);
}

static void draw_words(const struct plot *l)
{
	const struct inw_face_of_type bold = {11, true, INW_LEFT_ALIGNED, inw_ink_text},
	                              plain = {10, false, INW_LEFT_ALIGNED, inw_ink_text};
	const struct inw_bed_panel *p = l->p;
	const struct inw_bed_profile *b = p->bed;
	char number[INW_CELL], text[CELL_TEXT];
	const char *name = p->title ? p->title(p->context, b->substance[l->substance]) : NULL;
	inw_draw__text(p->c, (struct inw_spot){l->r.x, l->r.y - 33}, l->r.w, bold, name ? name : b->substance[l->substance]);
	inw_draw__number(number, sizeof number, inw_bed__held_kg(b, p->beds, l->substance, b->times - 1), INW_DIM_MASS, p->units);
	snprintf(text, sizeof text, "%s at the end", number);
	inw_draw__text(p->c, (struct inw_spot){l->r.x, l->r.y - 19}, l->r.w + APART - 50, plain, text);
	double front = inw_bed__front_m(b, l->substance, b->times - 1);
	inw_draw__number(number, sizeof number, front, INW_DIM_LENGTH, p->units);
	if (front < b->depth_m)
		snprintf(text, sizeof text, "half of its highest %s deep", number);
	else
		snprintf(text, sizeof text, "over half of its highest all through%s", p->beds > 1 ? " the first bed" : "");
	if (!isnan(front))
		inw_draw__text(p->c, (struct inw_spot){l->r.x, l->r.y - 6}, l->r.w + APART - 50, plain, text);
}

static void draw_plot(struct plot *l)
{
	draw_words(l);
	draw_axes(l);
	cairo_save(l->p->c);
	cairo_rectangle(l->p->c, l->r.x, l->r.y, l->r.w, l->r.h);
	cairo_clip(l->p->c);
	draw_curves(l);
	draw_joints(l);
	cairo_restore(l->p->c);
	inw_draw__dash(l->p->c, 0, 0);
	inw_draw__ink(l->p->c, inw_ink_grey);
	cairo_set_line_width(l->p->c, 1);
	cairo_rectangle(l->p->c, l->r.x, l->r.y, l->r.w, l->r.h);
	cairo_stroke(l->p->c);
}

static void draw_legend(const struct inw_bed_panel *p, double y)
{
	const struct inw_face_of_type f = {10.5, false, INW_LEFT_ALIGNED, inw_ink_text};
	const struct inw_bed_profile *b = p->bed;
	size_t curves = curves_of(b);
	double x = p->x + p->w + 14;
	for (size_t i = 0; i < curves; i++) {
		char when[INW_CELL], text[CELL_TEXT];
		size_t at = moment_of(b, i, curves);
		use_shade(p->c, curves < 2 ? 1 : (double)i / (double)(curves - 1));
		cairo_move_to(p->c, x, y);
		cairo_line_to(p->c, x + 28, y);
		cairo_stroke(p->c);
		p->moment(when, sizeof when, p->context, b->t[at]);
		snprintf(text, sizeof text, "%s%s", when, i == 0 ? ", the start" : i + 1 == curves ? ", the end" : "");
		inw_draw__text(p->c, (struct inw_spot){x + 34, y + 3.5}, p->side - 48, f, text);
		y += 17;
	}
}

void inw_bed_panel__draw(const struct inw_bed_panel *p, double y)
{
	const struct inw_face_of_type head = {13, true, INW_LEFT_ALIGNED, inw_ink_text},
	                              more = {10.5, false, INW_LEFT_ALIGNED, inw_ink_grey};
	size_t order[PLOTS], n = inw_bed__order(p->bed, p->beds, order, PLOTS), gases = 0;
	char text[CELL_TEXT], share[INW_CELL];
	if (!p->beds)
		return;
	for (size_t i = 0; i < p->bed->substances; i++)
		gases += !is_water(p->bed, i);
	struct inw_spot at = {p->x, y + HEAD - 8};
	at.x += inw_draw__text(p->c, at, p->w, head, "Where in the carbon it sits") + 12;
	double used = inw_bed__share_used(p->bed, p->beds);
	snprintf(text, sizeof text, "the lighter the line the earlier%s", gases > PLOTS - 1 ? "; two gases that it holds most of, and water" : "");
	if (!isnan(used)) {
		size_t said = strlen(text);
		inw_draw__number(share, sizeof share, used, INW_DIM_FRACTION, p->units);
		snprintf(text + said, sizeof text - said, "; all gases: %s of what it can hold", share);
	}
	inw_draw__text(p->c, at, p->x + p->w - at.x, more, n ? text : "it holds nothing in this run");
	double across = n < 2 ? 2 : (double)n, w = (p->w - (across - 1) * APART) / across;
	for (size_t i = 0; i < n; i++) {
		struct plot l = {.p = p, .substance = order[i], .r = {p->x + (double)i * (w + APART), y + HEAD + WORDS, w, PLOT}};
		draw_plot(&l);
	}
	if (n)
		draw_legend(p, y + HEAD + WORDS + 8);
}
