/* SPDX-License-Identifier: MIT */
/* life_picture.c: the page of months on the carbon: how long carbon and media last on top, three panels over the same
 * weeks below, then the carbon along its depth. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "design/design.h"
#include "show/bed_panel.h"
#include "show/canvas.h"
#include "show/chart.h"
#include "show/life_parts.h"

enum { PANELS = 3, GASES = 7, MEDIA = 3, ANSWER = 26, TICKS = 22, BELOW_TICKS = 20, MOST_TICKS = 11, NAME = 200, TEXT = INW_CHART_TEXT, SENTENCE = 400 };
static const double beyond_end = 1.06; /* of the run, so that its end is seen */

struct picture {
	cairo_t *c;
	const struct inw_life_report *r;
	enum inw_units units;
	double x, w, span_s;       /* of every plot */
	size_t gas[GASES], gases, held; /* drawn, those first of which most passes; all that plain carbon holds */
};

static double x_of(const struct picture *p, double t)
{
	return p->x + p->w * t / p->span_s;
}

/* ---- which gases ------------------------------------------------------------------------------------------------- */

static int column_of(const struct picture *p, size_t gas, const char *what)
{
	char name[NAME];
	snprintf(name, sizeof name, "gases[%s].%s", p->r->gases[gas].name, what);
	return inw_series__column(&p->r->series, name);
}

static double last_of(const struct picture *p, int column)
{
	return p->r->series.rows ? inw_series__value(&p->r->series, p->r->series.rows - 1, column) : NAN;
}

static void choose_gases(struct picture *p)
{
	double passes[GASES];
	for (size_t i = 0; i < p->r->gas_count; i++) {
		double now = last_of(p, column_of(p, i, "let_through"));
		if (!p->r->gases[i].held)
			continue;
		p->held++;
		size_t k = p->gases < GASES ? p->gases++ : GASES;
		now = isnan(now) ? -1 : now;
		if (k == GASES && passes[--k] >= now)
			continue;
		for (; k > 0 && passes[k - 1] < now; k--) {
			passes[k] = passes[k - 1];
			p->gas[k] = p->gas[k - 1];
		}
		passes[k] = now;
		p->gas[k] = i;
	}
}

/* ---- weeks and months -------------------------------------------------------------------------------------------- */

struct calendar {
	double one_s, step; /* a unit; so many of them from tick to tick */
	const char *word;
};

static struct calendar calendar_of(double span_s)
{
	static const struct {
		double one_s;
		double steps[6];
		const char *word;
	} unit[] = {{86400, {1, 2}, "day"}, {7 * 86400.0, {1, 2, 4}, "week"}, {365 * 86400.0 / 12, {1, 2, 3, 6, 12, 24}, "month"}};
	for (size_t i = 0; i < INW_COUNT(unit); i++)
		for (size_t k = 0; k < INW_COUNT(unit[i].steps) && unit[i].steps[k] > 0; k++)
			if (span_s / unit[i].one_s / unit[i].steps[k] < MOST_TICKS)
				return (struct calendar){unit[i].one_s, unit[i].steps[k], unit[i].word};
	return (struct calendar){365 * 86400.0, ceil(span_s / (365 * 86400.0) / MOST_TICKS), "year"};
}

static void tick_words(const struct picture *p, double y)
{
	const struct inw_face_of_type f = {10.5, true, INW_CENTRED, inw_ink_text};
	const struct calendar k = calendar_of(p->span_s);
	char text[40] = "new";
	for (int i = 0; i * k.step * k.one_s <= p->span_s; i++) {
		if (i)
			snprintf(text, sizeof text, "%.0f %s%s", i * k.step, k.word, i * k.step > 1 ? "s" : "");
		inw_draw__text(p->c, (struct inw_spot){x_of(p, i * k.step * k.one_s), y}, 0, f, text);
	}
}

/* The calendar's lines through everything, and when the carbon is spent: over the panels' white. */
static void upright_lines(const struct picture *p, double y0, double y1)
{
	const struct calendar k = calendar_of(p->span_s);
	const double spent = p->r->spent_s, low = p->r->spent_low_s;
	inw_draw__dash(p->c, 1, 3);
	inw_draw__ink(p->c, inw_ink_grey);
	for (int i = 0; i * k.step * k.one_s <= p->span_s; i++) {
		double x = x_of(p, i * k.step * k.one_s);
		inw_draw__line(p->c, (struct inw_spot){x, y0}, (struct inw_spot){x, y1}, 0.6);
	}
	inw_draw__ink(p->c, inw_ink_text);
	inw_draw__dash(p->c, 7, 4);
	if (low > 0 && low < fmin(spent, p->r->horizon_s))
		inw_draw__line(p->c, (struct inw_spot){x_of(p, low), y0}, (struct inw_spot){x_of(p, low), y1}, 1.6);
	inw_draw__dash(p->c, 0, 0);
	if (spent <= p->span_s)
		inw_draw__line(p->c, (struct inw_spot){x_of(p, fmax(spent, 0)), y0}, (struct inw_spot){x_of(p, fmax(spent, 0)), y1}, 2.4);
}

/* ---- how long carbon and media last ------------------------------------------------------------------------------ */

enum look { LOOK_GOOD, LOOK_DOUBT, LOOK_SPENT };

/* A bar with its words inside, up to the comma where all do not fit, or none. */
static void draw_bar(const struct picture *p, double y, const double from_to[2], enum look look, const char *words)
{
	const struct inw_ink fill[] = {[LOOK_GOOD] = inw_ink_box, [LOOK_DOUBT] = {1, 1, 1}, [LOOK_SPENT] = inw_ink_text};
	const struct inw_face_of_type f = {10.5, false, INW_LEFT_ALIGNED, look == LOOK_SPENT ? inw_ink_paper : inw_ink_text};
	double a = x_of(p, fmax(from_to[0], 0)), b = x_of(p, fmin(from_to[1], p->span_s));
	if (!(b - a > 1))
		return;
	inw_draw__dash(p->c, 0, 0);
	inw_draw__rect(p->c, (struct inw_rect){a, y, b - a, INW_CHART_BAR}, fill[look], 0.6);
	if (look == LOOK_DOUBT) {
		cairo_rectangle(p->c, a, y, b - a, INW_CHART_BAR);
		inw_draw__hatch(p->c, inw_ink_duct, 6, 1);
	}
	char text[TEXT];
	snprintf(text, sizeof text, "%s", words);
	if (inw_draw__width(p->c, f, text) + 10 > b - a)
		text[strcspn(text, ",")] = '\0';
	if (inw_draw__width(p->c, f, text) + 10 <= b - a)
		(look == LOOK_DOUBT ? inw_draw__label : inw_draw__text)(p->c, (struct inw_spot){a + 5, y + 12.5}, 0, f, text);
}

static void row_name(const struct picture *p, double y, const char *name)
{
	inw_page__row(p->c, (struct inw_rect){p->x, y, p->w, INW_CHART_BAR}, name);
}

static void draw_carbon_row(const struct picture *p, double y)
{
	const struct inw_life_report *r = p->r;
	double spent = fmax(r->spent_s, 0), low = fmin(fmax(r->spent_low_s, 0), spent), end = fmin(r->followed_s, spent);
	row_name(p, y, "the carbon");
	draw_bar(p, y, (const double[]){0, fmin(low, end)}, LOOK_GOOD, "holds back what it should, even at the bad end");
	draw_bar(p, y, (const double[]){low, end}, LOOK_DOUBT, "holds at best estimate, may be spent at the bad end of what is assumed");
	draw_bar(p, y, (const double[]){spent, p->span_s}, LOOK_SPENT, spent > 0 ? "spent" : "lets too much through from the first day on");
}

static const struct inw_verdict *next_medium(const struct inw_life_report *r, size_t *i)
{
	for (; *i < r->verdict_count; (*i)++)
		if (strncmp(r->verdicts[*i].id, "life_medium[", 12) == 0)
			return &r->verdicts[(*i)++];
	return NULL;
}

static size_t media_of(const struct inw_life_report *r)
{
	size_t n = 0, i = 0;
	while (n < MEDIA && next_medium(r, &i))
		n++;
	return n;
}

static void draw_media_rows(const struct picture *p, double y)
{
	size_t i = 0;
	for (size_t n = 0; n < media_of(p->r); n++, y += INW_CHART_ROW) {
		const struct inw_verdict *v = next_medium(p->r, &i);
		const char *name = v->id + 12;
		char text[TEXT], words[TEXT], span[INW_CELL];
		bool never = v->bound == INW_MORE_THAN;
		snprintf(text, sizeof text, "the particle stage '%.*s'", (int)strcspn(name, "]"), name);
		row_name(p, y, text);
		inw_life__span(span, sizeof span, v->value);
		snprintf(words, sizeof words, never ? "not loaded within %s" : v->value > p->span_s ? "loaded after %s, beyond this page" : "loaded after %s", span);
		draw_bar(p, y, (const double[]){0, v->value}, LOOK_GOOD, words);
		draw_bar(p, y, (const double[]){v->value, p->span_s}, LOOK_SPENT, "loaded: change it");
	}
}

/* ---- panels ------------------------------------------------------------------------------------------------------ */

static struct inw_chart new_chart(const struct picture *p, double y)
{
	return (struct inw_chart){.c = p->c, .units = p->units, .series = &p->r->series, .span_s = p->span_s, .scale = {0, 1, ""},
	                          .plot = {p->x, y + INW_CHART_HEAD, p->w, INW_CHART_HEIGHT}};
}

static void white(const struct inw_chart *l)
{
	inw_draw__rect(l->c, l->plot, (struct inw_ink){1, 1, 1}, 0);
}

/* A curve, and beside it "styrene: 1.2 % to 3 %", which is returned; NULL where there is no room for that. */
static struct inw_chart_entry *draw_named(struct inw_chart *l, int column, size_t style, const char *name, enum inw_dim dim)
{
	char first[INW_CELL], last[INW_CELL];
	const struct inw_series *s = l->series;
	inw_chart__curve(l, column, INW_NO_COLUMN, inw_chart__style(style));
	struct inw_chart_entry *e = inw_chart__entry(l, column, inw_chart__style(style));
	if (!e || !s->rows)
		return e;
	inw_draw__number(first, sizeof first, inw_series__value(s, 0, column), dim, l->units);
	inw_draw__number(last, sizeof last, e->value, dim, l->units);
	if (isnan(e->value))
		snprintf(e->text, sizeof e->text, "%.60s: nothing came", name);
	else if (strcmp(first, last) == 0)
		snprintf(e->text, sizeof e->text, "%.60s: %s", name, last);
	else
		snprintf(e->text, sizeof e->text, "%.60s: %s to %s", name, first, last);
	if (l->log && isfinite(e->value) && !(e->value > 0 && log10(inw_chart__shown(&l->scale, e->value)) >= l->axis.low))
		snprintf(e->text, sizeof e->text, "%.60s: %s (below this)", name, last);
	return e;
}

static void say_choice(const struct picture *p, char *text, size_t size)
{
	size_t n = strlen(text);
	if (p->gases < p->held)
		snprintf(text + n, size - n, "; of %zu gases the %zu of which most passes", p->held, p->gases);
}

static void draw_through(const struct picture *p, double y)
{
	struct inw_chart l = new_chart(p, y);
	char text[TEXT], number[INW_CELL], name[NAME];
	const struct inw_design *d = p->r->design;
	snprintf(text, sizeof text, "%% of what comes to it, mean of a %s; each line ten times the one below", inw_life__pattern(p->r));
	say_choice(p, text, sizeof text);
	inw_chart__heading(&l, "How much the carbon lets through", p->gases ? text : "plain carbon holds none of these gases");
	white(&l);
	l.scale.one = 0.01;
	inw_chart__log_axis(&l, -2, 2);
	if (p->gases && d && d->require.gas_removal >= 0) {
		double allowed = 1 - d->quantity[d->require.gas_removal].value;
		snprintf(text, sizeof text, "allowed: at most %s", inw_draw__number(number, sizeof number, allowed, INW_DIM_FRACTION, p->units));
		inw_chart__limit(&l, allowed, 1, text);
	}
	for (size_t i = 0; i < p->gases; i++)
		draw_named(&l, column_of(p, p->gas[i], "let_through"), i, inw_life__short_title(name, sizeof name, &p->r->gases[p->gas[i]]), INW_DIM_FRACTION);
	inw_chart__frame(&l);
	inw_chart__beside(&l);
}

/* The unit in which the highest is a plain number. */
static struct inw_scale mass_scale(double most_kg)
{
	static const struct inw_scale all[] = {{0, 1, "kg"}, {0, 1e-3, "g"}, {0, 1e-6, "mg"}, {0, 1e-9, "\xC2\xB5g"}};
	size_t i = 0;
	while (i + 1 < INW_COUNT(all) && most_kg < all[i].one)
		i++;
	return all[i];
}

/* "; plain carbon does not hold acetaldehyde" */
static void say_unheld(const struct picture *p, char *text, size_t size)
{
	char name[NAME];
	size_t n = 0;
	for (size_t i = 0; i < p->r->gas_count; i++) {
		size_t at = strlen(text);
		if (!p->r->gases[i].held)
			snprintf(text + at, size - at, "%s%s", n++ ? ", " : "; not held, plain carbon lets it pass: ", inw_life__short_title(name, sizeof name, &p->r->gases[i]));
	}
}

static void draw_held(const struct picture *p, double y)
{
	struct inw_chart l = new_chart(p, y);
	char text[TEXT], name[NAME];
	double low = 0, high = 0;
	for (size_t i = 0; i < p->gases; i++)
		inw_chart__widen(&l, column_of(p, p->gas[i], "on_carbon"), &low, &high);
	l.scale = mass_scale(high);
	snprintf(text, sizeof text, "%s", l.scale.name);
	say_unheld(p, text, sizeof text);
	inw_chart__heading(&l, "What the carbon holds", text);
	white(&l);
	inw_chart__linear_axis(&l, 0, high > 0 ? high / l.scale.one : 1);
	for (size_t i = 0; i < p->gases; i++)
		draw_named(&l, column_of(p, p->gas[i], "on_carbon"), i, inw_life__short_title(name, sizeof name, &p->r->gases[p->gas[i]]), INW_DIM_MASS);
	inw_chart__frame(&l);
	inw_chart__beside(&l);
}

static const char *breather(const struct picture *p, size_t column, char out[NAME])
{
	const char *name = p->r->series.name[column];
	if (strncmp(name, "air[", 4))
		return NULL;
	snprintf(out, NAME, "%.*s", (int)strcspn(name + 4, "]"), name + 4);
	return out;
}

/* From a decade below the least person to the limit, at most so many decades. */
static void air_axis(const struct picture *p, struct inw_chart *l)
{
	enum { DECADES = 6 };
	double high = 2, low = 1; /* 100 %, and ten times less */
	char name[NAME];
	for (size_t i = 0; i < p->r->series.columns; i++) {
		double most = 0, least = 0;
		if (!breather(p, i, name))
			continue;
		inw_chart__widen(l, (int)i, &least, &most);
		high = fmax(high, most > 0 ? ceil(log10(most)) : high);
		low = fmin(low, most > 0 ? floor(log10(most)) - 1 : low);
	}
	inw_chart__log_axis(l, (int)fmax(low, high - DECADES), (int)high);
}

/* Is there a limit against which a person's air cannot be told? */
static bool is_untold(const struct inw_life_report *r, const char *person)
{
	for (size_t i = 0; i < r->verdict_count; i++) {
		const struct inw_verdict *v = &r->verdicts[i];
		const char *of = strncmp(v->id, "life_air_", 9) == 0 ? strchr(v->id, '[') : NULL;
		if (of && v->word == INW_CANNOT_TELL && strlen(of + 1) == strlen(person) + 1 && strncmp(of + 1, person, strlen(person)) == 0)
			return true;
	}
	return false;
}

/* A person's curve. Of what cannot be told no number is printed: it is only that part of it which is known. */
static void draw_person(const struct picture *p, struct inw_chart *l, int column, size_t style)
{
	char name[NAME];

	if (!breather(p, (size_t)column, name))
		return;
	struct inw_chart_entry *e = draw_named(l, column, style, name, INW_DIM_FRACTION);
	bool untold = is_untold(p->r, name);
	if (e && (untold || isnan(e->value)))
		snprintf(e->text, sizeof e->text, "%.60s: %s", name, untold ? "cannot be told" : "was not there");
}

static void draw_breathed(const struct picture *p, double y)
{
	struct inw_chart l = new_chart(p, y);
	char name[NAME];
	size_t n = 0;
	inw_chart__heading(&l, "What people breathe of it", "% of the limit that is nearest, all gases added, worst mean over the time that it is for; each line ten times the one below");
	white(&l);
	l.scale.one = 0.01;
	air_axis(p, &l);
	inw_chart__limit(&l, 1, 1, "the limit");
	for (size_t i = 0; i < p->r->series.columns; i++)
		if (breather(p, i, name))
			draw_person(p, &l, (int)i, n++);
	inw_chart__frame(&l);
	inw_chart__beside(&l);
}

/* ---- the page ---------------------------------------------------------------------------------------------------- */

static double page_height(const struct inw_life_report *r)
{
	double carbon = inw_bed_panel__height(r->beds, r->bed_count);
	return INW_PAGE_HEADER + ANSWER + TICKS + INW_CHART_ROW * (double)(1 + media_of(r)) + PANELS * (INW_CHART_HEAD + INW_CHART_HEIGHT) +
	       (carbon > 0 ? carbon + BELOW_TICKS : 0) + INW_PAGE_FOOTER;
}

static bool draw_header(const struct picture *p)
{
	char text[TEXT], span[INW_CELL], answer[SENTENCE], line[SENTENCE + 20];
	const struct inw_life_report *r = p->r;
	snprintf(text, sizeof text, "Months on the carbon: the same %s again and again, followed for %s at best-estimate inputs", inw_life__pattern(r),
	         inw_life__span(span, sizeof span, r->followed_s));
	const struct inw_page_head head = {r->title, text, "Everything that is required of the carbon holds.", r->overall, r->verdicts, r->verdict_count};
	bool whole = inw_page__head(p->c, &head, p->units);
	snprintf(line, sizeof line, "The carbon: %s", inw_life__answer(answer, sizeof answer, r));
	inw_draw__text(p->c, (struct inw_spot){INW_PAGE_MARGIN, INW_PAGE_HEADER + 8}, INW_PAGE_WIDTH - 2 * INW_PAGE_MARGIN,
	               (struct inw_face_of_type){12, true, INW_LEFT_ALIGNED, inw_ink_text}, line);
	return whole;
}

static char *moment_words(char *out, size_t size, const void *context, double t)
{
	(void)context;
	return inw_life__moment(out, size, t);
}

static const char *substance_words(const void *context, const char *substance)
{
	const struct inw_life_report *r = context;
	for (size_t i = 0; i < r->gas_count; i++)
		if (strcmp(r->gases[i].name, substance) == 0)
			return r->gases[i].title;
	return strcmp(substance, "water") == 0 ? "Water" : NULL;
}

static void draw_depth(const struct picture *p, double y)
{
	const struct inw_bed_panel panel = {.c = p->c, .bed = p->r->beds, .beds = p->r->bed_count, .units = p->units, .x = p->x, .w = p->w,
	                                    .side = INW_SIDE_WIDTH, .moment = moment_words, .title = substance_words, .context = p->r};
	inw_bed_panel__draw(&panel, y);
}

static bool draw_page(void *context, cairo_t *c)
{
	static void (*const panel[PANELS])(const struct picture *p, double y) = {draw_through, draw_held, draw_breathed};
	struct picture *p = context;
	double height = page_height(p->r), y = INW_PAGE_HEADER + ANSWER + TICKS;
	p->c = c;
	inw_draw__rect(c, (struct inw_rect){0, 0, INW_PAGE_WIDTH, height}, inw_ink_paper, 0);
	bool whole = draw_header(p);
	tick_words(p, y - 6);
	draw_carbon_row(p, y);
	draw_media_rows(p, y + INW_CHART_ROW);
	y += INW_CHART_ROW * (double)(1 + media_of(p->r));
	for (size_t i = 0; i < PANELS; i++) {
		panel[i](p, y);
		y += INW_CHART_HEAD + INW_CHART_HEIGHT;
		upright_lines(p, y - INW_CHART_HEIGHT, y);
	}
	tick_words(p, y + 14);
	draw_depth(p, y + BELOW_TICKS);
	inw_page__foot(c, height, "Line with teeth: a limit, to be kept on the side without teeth. Thick upright line: the carbon is spent; dashed: it is spent at the bad "
	               "end of what is assumed. Numbers beside a line: its first and its last.");
	return whole;
}

static struct picture picture_of(const struct inw_life_report *r, enum inw_units units)
{
	struct picture p = {.r = r, .units = units, .x = INW_PAGE_MARGIN + INW_PAGE_AXIS};
	p.w = INW_PAGE_WIDTH - INW_PAGE_MARGIN - INW_SIDE_WIDTH - p.x;
	p.span_s = beyond_end * fmax(r->followed_s, fmax(r->pattern_s, 86400));
	choose_gases(&p);
	return p;
}

enum inw_status inw_show_life_picture(const struct inw_life_report *r, const char *path, enum inw_units units, struct inw_diags *diags)
{
	if (!inw_canvas__fits(path, diags))
		return INW_BAD_INPUT;
	struct picture p = picture_of(r, units);
	return inw_canvas__draw(path, (struct inw_size){INW_PAGE_WIDTH, page_height(r)}, draw_page, &p, diags);
}

char *inw_show_life_picture_svg(const struct inw_life_report *r, enum inw_units units)
{
	struct picture p = picture_of(r, units);
	return inw_canvas__svg((struct inw_size){INW_PAGE_WIDTH, page_height(r)}, draw_page, &p);
}
