/* SPDX-License-Identifier: MIT */
/* paper.c: the report to keep beside the machine: on the first page what whoever runs it must know, behind it the verdicts, what to
 * check, what was assumed and where all is from. */
#include "show/paper.h"

#include <cairo-pdf.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "show/canvas.h"
#include "show/day_parts.h"
#include "show/life_parts.h"
#include "show/picture.h"
#include "show/verdicts.h"

static bool same(const char *a, const char *b)
{
	return strcmp(a ? a : "", b ? b : "") == 0;
}

/* ---- looking up -------------------------------------------------------------------------------------------------- */

const struct inw_state_view *inw_paper__job(const struct inw_report *r, size_t nth)
{
	for (size_t i = 0; i < r->state_count; i++) {
		bool before = false;
		for (size_t k = 0; k < i && !before; k++)
			before = same(r->states[k].job, r->states[i].job);
		if (!before && nth-- == 0)
			return &r->states[i];
	}
	return NULL;
}

const struct inw_state_view *inw_paper__state(const struct inw_report *r, const char *job, const char *name)
{
	for (size_t i = 0; i < r->state_count; i++)
		if (same(r->states[i].job, job) && same(r->states[i].state, name))
			return &r->states[i];
	return NULL;
}

char *inw_paper__value(const struct inw_paper *p, char out[INW_CELL], inw_q q)
{
	if (!p->d || q < 0)
		snprintf(out, INW_CELL, "not given");
	else
		inw_show__number(out, INW_CELL, p->d->quantity[q].value, p->d->quantity[q].dim, p->l.units);
	return out;
}

static const struct inw_verdict *verdict(const struct inw_report *r, const char *id, const char *job)
{
	for (size_t i = 0; i < r->verdict_count; i++)
		if (same(r->verdicts[i].id, id) && same(r->verdicts[i].job, job))
			return &r->verdicts[i];
	return NULL;
}

static const struct inw_job *job_of(const struct inw_paper *p, const char *name)
{
	for (size_t i = 0; p->d && i < p->d->jobs; i++)
		if (same(p->d->job[i].name, name))
			return &p->d->job[i];
	return NULL;
}

/* ---- the head ---------------------------------------------------------------------------------------------------- */

static void head(struct inw_paper *p)
{
	char words[240];
	const struct inw_report *r = p->r;
	inw_leaf__text(&p->l, INW_LEAF_TITLE, 0, r->title);
	inw_leaf__textf(&p->l, INW_LEAF_SMALL, 0, "How the air of this machine's box is kept. From the design file %s, by inward %s. Date: %s", r->file ? r->file : "", inw_version(),
	                p->o->dated ? p->o->dated : "____________________");
	inw_leaf__space(&p->l, 5);
	inw_leaf__need(&p->l, 40);
	inw_show__overall(words, sizeof words, r);
	double top = p->l.y;
	inw_draw__sign(p->l.c, (struct inw_spot){INW_LEAF_LEFT + 10, top + 13}, r->overall);
	inw_leaf__row(&p->l, &(struct inw_leaf_cell){26, inw_leaf__width(&p->l) - 26, INW_LEAF_HEAD, words}, 1);
	inw_leaf__text(&p->l, INW_LEAF_SMALL, 26, inw_show__word_meaning(r->overall));
	if (inw_show__planned(r->design))
		inw_leaf__textf(&p->l, INW_LEAF_STRONG, 26, "Planned: %s", inw_show__planned(r->design));
	if (inw_show__beyond_check(words, sizeof words, r, p->l.units))
		inw_leaf__textf(&p->l, INW_LEAF_SMALL, 26, "Not in it: %s", words);
	if (r->overall != INW_MEETS)
		inw_leaf__text(&p->l, INW_LEAF_STRONG, 26, p->r->overall == INW_MISSES
		               ? "Do not run the machine as it is here: mend what misses, and print this anew."
		               : "Not everything that is required is met for certain: read what is in doubt or cannot be told before the machine runs.");
}

/* ---- how it is set ----------------------------------------------------------------------------------------------- */

static void setting(struct inw_paper *p, const char *name, const char *value)
{
	const double first = 128;
	const struct inw_leaf_cell cell[] = {{0, first - 8, INW_LEAF_BODY, name}, {first, inw_leaf__width(&p->l) - first, INW_LEAF_STRONG, value}};
	inw_leaf__row(&p->l, cell, 2);
}

static void setting_made(struct inw_paper *p, const char *name, struct inw_text *value)
{
	p->l.failed |= value->failed;
	if (!value->failed && value->s)
		setting(p, name, value->s);
	inw_text_free(value);
}

static void put_days(struct inw_text *t, unsigned char days)
{
	static const char *const name[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
	const char *between = " on ";
	if (days == INW_EVERY_DAY) {
		inw_text_add(t, " every day");
		return;
	}
	for (size_t i = 0; i < INW_COUNT(name); i++)
		if (days & 1u << i) {
			inw_text_printf(t, "%s%s", between, name[i]);
			between = ", ";
		}
}

static void job_settings(struct inw_paper *p, const struct inw_job *j)
{
	char a[INW_CELL], b[INW_CELL];
	struct inw_text t = {0};
	const struct inw_material *m = &p->d->catalog.material[j->material];
	inw_text_printf(&t, "%s, %s", m->title && *m->title ? m->title : m->name, inw_paper__value(p, a, j->rate));
	setting_made(p, "Material and rate", &t);
	inw_text_printf(&t, "from %s for %s", inw_paper__value(p, a, j->start), inw_paper__value(p, b, j->duration));
	put_days(&t, j->days);
	setting_made(p, "Runs", &t);
	if (j->plate >= 0)
		setting(p, "Hot plate", inw_paper__value(p, a, j->plate));
	if (j->chamber_low >= 0 && j->chamber_high >= 0) {
		inw_text_printf(&t, "%s to %s is what the material wants", inw_paper__value(p, a, j->chamber_low), inw_paper__value(p, b, j->chamber_high));
		setting_made(p, "Chamber", &t);
	}
}

static void machine_settings(struct inw_paper *p, const struct inw_state_view *s)
{
	char number[INW_CELL];
	struct inw_text t = {0};
	if (p->d && p->d->heat.heater_target >= 0)
		setting(p, "Chamber heater set to", inw_paper__value(p, number, p->d->heat.heater_target));
	if (!isnan(s->flap_position)) {
		inw_text_printf(&t, "%s of its way from 'all back into the box' to 'all sent out'", inw_show__number(number, sizeof number, s->flap_position, INW_DIM_FRACTION, p->l.units));
		setting_made(p, "Flap", &t);
	}
	if (s->blower_curve.count) {
		inw_text_printf(&t, "%s of its rated speed, on before the job begins", inw_show__number(number, sizeof number, s->blower_speed, INW_DIM_FRACTION, p->l.units));
		setting_made(p, "Blower", &t);
	}
	inw_text_printf(&t, "%s", inw_show__number(number, sizeof number, s->box_T_K, INW_DIM_TEMPERATURE, p->l.units));
	setting_made(p, "Box air then comes to", &t);
}

/* The longest wait of the day after that job, of any where none ends with it; NaN where one of these cannot be told. */
static double wait_of_day(const struct inw_day_report *day, const char *job)
{
	struct inw_wait w[INW_MOST_STRETCHES];
	size_t n = inw_day__waits(day, w);
	double own = -1, any = -1;

	for (size_t i = 0; i < n; i++) {
		double wait = w[i].known ? w[i].wait : NAN;
		bool named = job && strlen(job) == w[i].job.length && memcmp(job, w[i].job.name, w[i].job.length) == 0;
		any = isnan(any) || isnan(wait) ? NAN : fmax(any, wait);
		if (named)
			own = isnan(own) || isnan(wait) ? NAN : fmax(own, wait);
	}
	double wait = own == -1 ? any : own;
	return wait == -1 ? NAN : wait;
}

/* How long the day says, and how long the box's own air needs: the longer counts, for a warm part is only in the first and
 * what is not known only in the second. */
static void say_wait(struct inw_text *t, const struct inw_paper *p, const char *job, double air)
{
	char number[INW_CELL], alone[INW_CELL];
	double day = p->o->day ? wait_of_day(p->o->day, job) : air;

	inw_show__number(alone, sizeof alone, air, INW_DIM_TIME, p->l.units);
	inw_show__number(number, sizeof number, fmax(day, air), INW_DIM_TIME, p->l.units);
	if (!p->o->day)
		inw_text_printf(t, "shut while the job runs, and blower on for more than %s after it: so long the box's own air takes, and a part goes on giving off gas. How "
		                   "long then, 'inward day FILE' tells", alone);
	else if (isnan(day))
		inw_text_printf(t, "shut while the job runs, and blower on for more than %s after it: in the day of the design the box has not cleared before it is opened or the "
		                   "next job begins. 'inward day FILE' says why", alone);
	else
		inw_text_printf(t, "shut while the job runs, and blower on for %s after it%s. It may well take longer, for that is a best estimate: 'inward odds FILE --day' tells", number,
		                day > air ? ", for parts and carbon go on giving off gas" : "");
}

/* Nothing is opened before the box has cleared; what the range says at its late end is what counts. */
static void door(struct inw_paper *p, const char *job)
{
	const struct inw_verdict *v = verdict(p->r, "purge_time", job);
	const char *what = p->d && p->d->box.has_door ? "Door" : "The box is kept";
	struct inw_text t = {0};
	if (!v || !isfinite(v->value)) {
		setting(p, what, "shut while the job runs; how long after it cannot be told");
		return;
	}
	say_wait(&t, p, job, isfinite(v->high) ? v->high : v->value);
	setting_made(p, what, &t);
}

static void settings(struct inw_paper *p)
{
	const struct inw_state_view *s;
	inw_leaf__head(&p->l, p->r->overall == INW_MISSES ? "How the design sets it, which misses what is required" : "Set it so");
	for (size_t i = 0; (s = inw_paper__job(p->r, i)) != NULL; i++) {
		const struct inw_job *j = job_of(p, s->job);
		inw_leaf__need(&p->l, 80);
		inw_leaf__space(&p->l, i ? 6 : 0);
		setting(p, "Job", s->job ? s->job : "-");
		if (j)
			job_settings(p, j);
		machine_settings(p, s);
		door(p, s->job);
		if (!s->converged)
			inw_leaf__text(&p->l, INW_LEAF_STRONG, 0, "NOT SOLVED: the numbers of this job are not an answer.");
	}
}

/* ---- carbon ------------------------------------------------------------------------------------------------------ */

static bool has_bed(const struct inw_report *r)
{
	const struct inw_state_view *s = inw_paper__job(r, 0);
	for (size_t i = 0; s && i < s->stage_count; i++)
		if (s->stages[i].kind == INW_STAGE_BED)
			return true;
	return false;
}

static void carbon(struct inw_paper *p)
{
	char words[400];
	inw_leaf__head(&p->l, "When to change the carbon");
	if (!has_bed(p->r)) {
		inw_leaf__text(&p->l, INW_LEAF_BODY, 0, "There is no carbon in this design: gases are not held.");
		return;
	}
	if (p->o->life)
		inw_leaf__textf(&p->l, INW_LEAF_STRONG, 0, "By the calendar, when the week of the design goes on: %s", inw_life__answer(words, sizeof words, p->o->life));
	else
		inw_leaf__text(&p->l, INW_LEAF_STRONG, 0, "Not worked out for this paper. 'inward life FILE' works it out from the week of the design, and 'inward report --life' prints it here. "
		               "Without it: once a year at the latest, and at once when a smell or a meter behind it says so (common practice, no source).");
	inw_leaf__text(&p->l, INW_LEAF_BODY, 0, "Carbon gives no sign when it is used up. Changed on: ____________   ____________   ____________");
}

/* ---- verdicts ---------------------------------------------------------------------------------------------------- */

static void what_limits(struct inw_paper *p)
{
	const struct inw_verdict *w = inw_show__worst(p->r->verdicts, p->r->verdict_count);
	const struct inw_verdict *v = w ? w : inw_show__closest(p->r->verdicts, p->r->verdict_count);
	const char *change = inw_show__first_change(p->r);
	char value[INW_CELL], limit[3 * INW_CELL];
	inw_leaf__head(&p->l, "What limits it, and what to change first");
	if (v) {
		inw_show__number(value, sizeof value, v->value, v->dim, p->l.units);
		inw_show__limit_words(limit, sizeof limit, v, p->l.units);
		inw_leaf__textf(&p->l, INW_LEAF_BODY, 0, "%s: %s: %s (%s)%s%s%s%s.", w ? "Worst" : "Closest call", v->title, value, limit, v->where ? ", " : "", v->where ? v->where : "",
		                v->job ? ", job " : "", v->job ? v->job : "");
		inw_leaf__text(&p->l, INW_LEAF_BODY, 0, v->reason);
	} else {
		inw_leaf__text(&p->l, INW_LEAF_BODY, 0, "Nothing was checked against a limit.");
	}
	inw_leaf__textf(&p->l, INW_LEAF_STRONG, 0, "Change first: %s", change ? change : w ? "nothing could be worked out; see the reasons below." : "nothing needs it.");
}

static void verdict_row(struct inw_paper *p, const struct inw_verdict *v)
{
	char value[INW_CELL], limit[3 * INW_CELL], margin[2 * INW_CELL], range[2 * INW_CELL + 8];
	const double ends[2] = {v->low, v->high}, w = inw_leaf__width(&p->l), first = 66, last = 178;
	struct inw_text numbers = {0};
	inw_show__number(value, sizeof value, v->value, v->dim, p->l.units);
	inw_show__limit_words(limit, sizeof limit, v, p->l.units);
	inw_show__margin_words(margin, sizeof margin, v, p->l.units);
	inw_text_printf(&numbers, "%s; %s%s", value, limit, margin);
	if (v->low < v->high)
		inw_text_printf(&numbers, ". Range %s", inw_show__range(range, sizeof range, ends, v->dim, p->l.units));
	p->l.failed |= numbers.failed;
	const struct inw_leaf_cell cell[] = {{0, first - 6, INW_LEAF_STRONG, inw_show__word(v->word)}, {first, w - first - last - 8, INW_LEAF_BODY, v->title},
	                                     {w - last, last, INW_LEAF_SMALL, numbers.s}};
	inw_leaf__row(&p->l, cell, INW_COUNT(cell));
	inw_text_free(&numbers);
	if (v->where || v->state)
		inw_leaf__textf(&p->l, INW_LEAF_SMALL, first, "%s%sin the state '%s'", v->where ? v->where : "", v->where ? ", " : "", v->state ? v->state : "");
	bool met = v->word == INW_MEETS || v->word == INW_STATED;
	if (v->reason && *v->reason && !met)
		inw_leaf__textf(&p->l, INW_LEAF_SMALL, first, "Why: %s", v->reason);
	if (v->change && *v->change)
		inw_leaf__textf(&p->l, INW_LEAF_SMALL, first, "Change: %s", v->change);
	if (v->caution && !met)
		inw_leaf__textf(&p->l, INW_LEAF_SMALL, first, "Caution: %s", v->caution);
	inw_leaf__rule(&p->l);
}

static void verdicts(struct inw_paper *p)
{
	inw_leaf__head(&p->l, "What is required, and what was found");
	for (size_t w = 0; w < INW_WORDS; w++)
		inw_leaf__textf(&p->l, INW_LEAF_SMALL, 0, "%s: %s.", inw_show__word(inw_show__order[w]), inw_show__word_meaning(inw_show__order[w]));
	inw_leaf__rule(&p->l);
	for (size_t first = 0; first < p->r->verdict_count; first++) { /* jobs in the order in which verdicts name them */
		const char *job = p->r->verdicts[first].job;
		bool before = false;
		for (size_t k = 0; k < first && !before; k++)
			before = same(p->r->verdicts[k].job, job);
		if (before)
			continue;
		inw_leaf__need(&p->l, 50);
		inw_leaf__textf(&p->l, INW_LEAF_STRONG, 0, "Job: %s", job ? job : "all jobs");
		inw_leaf__rule(&p->l);
		for (size_t w = 0; w < INW_WORDS; w++)
			for (size_t i = 0; i < p->r->verdict_count; i++)
				if (p->r->verdicts[i].word == inw_show__order[w] && same(p->r->verdicts[i].job, job))
					verdict_row(p, &p->r->verdicts[i]);
	}
}

/* The operating chart of the picture, smaller. */
static void chart(struct inw_paper *p)
{
	const double w = 640, h = 360, scale = 0.62;
	const struct inw_state_view *s = inw_paper__job(p->r, 0);
	bool failed = false;
	if (!s || !s->blower_curve.count)
		return;
	inw_leaf__space(&p->l, 8);
	inw_leaf__need(&p->l, scale * h);
	const struct inw_picture picture = {.c = p->l.c, .r = p->r, .s = s, .units = p->l.units, .failed = &failed};
	cairo_save(p->l.c);
	cairo_translate(p->l.c, INW_LEAF_LEFT, p->l.y);
	cairo_scale(p->l.c, scale, scale);
	inw_picture__chart(&picture, (struct inw_rect){0, 0, w, h});
	cairo_restore(p->l.c);
	p->l.failed |= failed;
	p->l.y += scale * h;
}

/* ---- all of it --------------------------------------------------------------------------------------------------- */

static void list(struct inw_paper *p, const char *name, const char *const *items, size_t count)
{
	inw_leaf__head(&p->l, name);
	for (size_t i = 0; i < count; i++)
		inw_leaf__item(&p->l, INW_LEAF_BODY, items[i]);
}

static void write_all(struct inw_paper *p)
{
	inw_leaf__begin(&p->l);
	head(p);
	settings(p);
	carbon(p);
	inw_paper__drawing(p);
	list(p, "Cautions", p->r->cautions, p->r->caution_count);
	inw_leaf__item(&p->l, INW_LEAF_BODY, inw_show__disclaimer);
	what_limits(p);
	chart(p);
	verdicts(p);
	inw_paper__checks(p);
	inw_paper__assumed(p);
	if (p->r->note_count)
		list(p, "Notes", p->r->notes, p->r->note_count);
	inw_paper__sources(p);
	inw_leaf__end(&p->l);
}

/* Both times on a PDF, since another surface might measure its letters otherwise; the first goes nowhere. */
static size_t count_pages(struct inw_paper p)
{
	cairo_surface_t *nowhere = cairo_pdf_surface_create_for_stream(NULL, NULL, p.l.w, p.l.h);
	p.l.c = cairo_create(nowhere);
	write_all(&p);
	bool good = !p.l.failed && cairo_status(p.l.c) == CAIRO_STATUS_SUCCESS;
	cairo_destroy(p.l.c);
	cairo_surface_destroy(nowhere);
	return good ? p.l.page : 0;
}

static bool draw(void *context, cairo_t *c)
{
	struct inw_paper *p = context;
	p->l.pages = count_pages(*p);
	p->l.c = c;
	if (p->l.pages)
		write_all(p);
	return p->l.pages && !p->l.failed;
}

static struct inw_paper paper_of(const struct inw_report *r, const struct inw_paper_options *o)
{
	struct inw_paper p = {.l = {.units = o->units, .w = 595.28, .h = 841.89, .name = r->title ? r->title : ""}, .r = r, .d = r->design, .o = o};
	if (o->size == INW_LETTER) { /* 8.5 by 11 in; A4 is 210 by 297 mm (ISO 216) */
		p.l.w = 612;
		p.l.h = 792;
	}
	return p;
}

enum inw_status inw_show_paper(const struct inw_report *r, const struct inw_paper_options *o, const char *path, struct inw_diags *diags)
{
	size_t n = strlen(path);
	if (n < 5 || strcmp(path + n - 4, ".pdf")) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "the report on paper is a PDF: its name must end in .pdf");
		return INW_BAD_INPUT;
	}
	struct inw_paper p = paper_of(r, o);
	return inw_canvas__draw(path, (struct inw_size){p.l.w, p.l.h}, draw, &p, diags);
}

char *inw_show_paper_pdf(const struct inw_report *r, const struct inw_paper_options *o, size_t *length)
{
	struct inw_paper p = paper_of(r, o);
	return inw_canvas__pdf((struct inw_size){p.l.w, p.l.h}, draw, &p, length);
}
