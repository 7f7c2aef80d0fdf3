/* SPDX-License-Identifier: MIT */
/* runs.c: what takes a while, on a design of its own: days, months, odds; and the report on paper, which may follow the months. */
#include <stdint.h>
#include <string.h>

#include "design/read.h"
#include "serve/api.h"
#include "show/verdicts.h"

/* More samples than this are for the command line, which shows progress and can go on where it stopped. */
enum { MOST_SAMPLES = 1 << 16, MOST_DAYS = 1 << 12, MOST_DATED = 80 };

bool serve_has_gone(void *visit)
{
	const struct serve_visit *v = visit;
	return v->gone(v->context);
}

struct serve_reply *serve_on_design(const struct serve_ask *a, serve_run *run)
{
	struct inw_design *d = NULL;
	struct inw_diags diags = {0};
	enum inw_status s = inw_shelf_parse(a->desk->shelf, a->text.bytes, a->text.length, a->desk->name, &d, &diags);
	struct serve_reply *r = s == INW_OK ? run(a, d) : serve_status_trouble(s, &diags);
	inw_diags_free(&diags);
	inw_design_free(d);
	return r;
}

/* ---- days -------------------------------------------------------------------------------------------------------- */

static struct serve_reply *show_day(const struct serve_ask *a, const struct inw_day_report *r)
{
	const struct serve_said said = {r->title, r->overall, r->verdicts, r->verdict_count, r->notes, r->note_count, r->cautions, r->caution_count, inw_show__planned(r->design) != NULL};
	char *report = inw_show_day_json(r);
	return serve_wants_words(a) ? serve_with_words(a, &said, report) : serve_text_reply(serve_json_type, report);
}

static struct serve_reply *run_day(const struct serve_ask *a, const struct inw_design *d, bool picture)
{
	struct inw_day_report *report = NULL;
	struct inw_diags diags = {0};
	struct serve_visit visit = a->q->visit;
	const struct inw_day_options options = {.stop = serve_has_gone, .context = &visit, .changes = !picture && !serve_wants_words(a)};
	enum inw_status s = inw_day(d, &options, &report, &diags);
	struct serve_reply *r = !report ? serve_status_trouble(s, &diags)
	                        : picture ? serve_text_reply(serve_svg_type, inw_show_day_picture_svg(report, a->units))
	                                  : show_day(a, report);
	inw_day_free(report);
	inw_diags_free(&diags);
	return r;
}

static struct serve_reply *day_json(const struct serve_ask *a, const struct inw_design *d)
{
	return run_day(a, d, false);
}

static struct serve_reply *day_svg(const struct serve_ask *a, const struct inw_design *d)
{
	return run_day(a, d, true);
}

struct serve_reply *serve_day(struct serve_ask *a)
{
	return serve_on_design(a, day_json);
}

struct serve_reply *serve_day_svg(struct serve_ask *a)
{
	return serve_on_design(a, day_svg);
}

/* ---- months ------------------------------------------------------------------------------------------------------ */

/* The months, or NULL with the answer in `*trouble`. */
static struct inw_life_report *follow_months(const struct serve_ask *a, const struct inw_design *d, struct serve_reply **trouble)
{
	struct inw_life_report *report = NULL;
	struct inw_diags diags = {0};
	struct serve_visit visit = a->q->visit;
	const struct inw_day_options options = {.stop = serve_has_gone, .context = &visit};
	enum inw_status s = inw_life(d, &options, &report, &diags);
	if (!report)
		*trouble = serve_status_trouble(s, &diags);
	inw_diags_free(&diags);
	return report;
}

static struct serve_reply *show_life(const struct serve_ask *a, const struct inw_life_report *r)
{
	const struct serve_said said = {r->title, r->overall, r->verdicts, r->verdict_count, r->notes, r->note_count, r->cautions, r->caution_count, inw_show__planned(r->design) != NULL};
	char *report = inw_show_life_json(r);
	return serve_wants_words(a) ? serve_with_words(a, &said, report) : serve_text_reply(serve_json_type, report);
}

static struct serve_reply *life_json(const struct serve_ask *a, const struct inw_design *d)
{
	struct serve_reply *r = NULL;
	struct inw_life_report *report = follow_months(a, d, &r);
	if (report)
		r = show_life(a, report);
	inw_life_free(report);
	return r;
}

static struct serve_reply *life_svg(const struct serve_ask *a, const struct inw_design *d)
{
	struct serve_reply *r = NULL;
	struct inw_life_report *report = follow_months(a, d, &r);
	if (report)
		r = serve_text_reply(serve_svg_type, inw_show_life_picture_svg(report, a->units));
	inw_life_free(report);
	return r;
}

struct serve_reply *serve_life(struct serve_ask *a)
{
	return serve_on_design(a, life_json);
}

struct serve_reply *serve_life_svg(struct serve_ask *a)
{
	return serve_on_design(a, life_svg);
}

/* ---- odds -------------------------------------------------------------------------------------------------------- */

/* A whole number between the ends; it stays as it is when it is left out. False when it is something else. */
static bool whole(const json_t *o, const char *name, const json_int_t ends[2], json_int_t *out)
{
	const json_t *n = json_object_get(o, name);
	if (n)
		*out = json_integer_value(n);
	return !n || (json_is_integer(n) && *out >= ends[0] && *out <= ends[1]);
}

static bool flag(const json_t *o, const char *name, bool *out)
{
	const json_t *n = json_object_get(o, name);
	*out = json_is_true(n);
	return !n || json_is_boolean(n);
}

static bool read_odds(const struct serve_ask *a, struct inw_odds_options *o)
{
	const json_t *width = json_object_get(a->sent, "width");
	if (!flag(a->sent, "day", &o->day) || !flag(a->sent, "independent", &o->independent))
		return false;
	json_int_t seed = 0, samples = o->day ? MOST_DAYS : MOST_SAMPLES;
	const json_int_t all[2] = {0, INT64_MAX}, few[2] = {1, samples};
	if (!whole(a->sent, "seed", all, &seed) || !whole(a->sent, "samples", few, &samples))
		return false;
	o->seed = (unsigned long long)seed;
	o->samples = (size_t)samples;
	o->width = json_number_value(width); /* 0: as the command line */
	return !width || (json_is_number(width) && o->width > 0 && o->width < 0.5);
}

static struct serve_reply *run_odds(const struct serve_ask *a, const struct inw_design *d, bool picture)
{
	struct serve_visit visit = a->q->visit;
	/* one processor is left to those who drag; the number of threads changes no bit */
	int cores = a->desk->quick.most_running;
	struct inw_odds_options options = {.stop = serve_has_gone, .context = &visit, .threads = cores > 1 ? (unsigned)cores - 1 : 1};
	struct inw_odds *odds = NULL;
	struct inw_diags diags = {0};
	if (!read_odds(a, &options))
		return serve_trouble(400, "bad_request", "'samples' is a whole number from 1 to 65536 (4096 of days), 'width' lies between 0 and 0.5, 'seed' is a whole "
		                     "number, 'day' and 'independent' are true or false");
	enum inw_status s = inw_odds(d, &options, &odds, &diags);
	if (s == INW_OK && odds->stopped)
		s = INW_IO;
	struct serve_reply *r = s != INW_OK ? serve_status_trouble(s, &diags)
	                        : picture ? serve_text_reply(serve_svg_type, inw_show_odds_picture_svg(odds, a->units))
	                                  : serve_text_reply(serve_json_type, inw_show_odds_json(odds));
	inw_odds_free(odds);
	inw_diags_free(&diags);
	return r;
}

static struct serve_reply *odds_json(const struct serve_ask *a, const struct inw_design *d)
{
	return run_odds(a, d, false);
}

static struct serve_reply *odds_svg(const struct serve_ask *a, const struct inw_design *d)
{
	return run_odds(a, d, true);
}

struct serve_reply *serve_odds(struct serve_ask *a)
{
	return serve_on_design(a, odds_json);
}

struct serve_reply *serve_odds_svg(struct serve_ask *a)
{
	return serve_on_design(a, odds_svg);
}

/* ---- on paper ---------------------------------------------------------------------------------------------------- */

static const char *asked(const struct serve_ask *a, const char *name)
{
	return a->q->query(a->q->query_context, name);
}

static struct serve_reply *read_paper(const struct serve_ask *a, struct inw_paper_options *o)
{
	const char *size = asked(a, "paper"), *life = asked(a, "life");
	*o = (struct inw_paper_options){.units = a->units, .size = a->units == INW_US ? INW_LETTER : INW_A4, .dated = asked(a, "dated")};
	if (size && strcmp(size, "a4") && strcmp(size, "letter"))
		return serve_trouble(400, "bad_request", "'paper' is 'a4' or 'letter'");
	if (size)
		o->size = strcmp(size, "a4") ? INW_LETTER : INW_A4;
	if (life && strcmp(life, "yes"))
		return serve_trouble(400, "bad_request", "'life' is 'yes' or left out");
	if (o->dated && strlen(o->dated) > MOST_DATED)
		return serve_trouble(400, "bad_request", "'dated' is 80 bytes long at the most");
	return NULL;
}

static struct serve_reply *print(const struct inw_report *report, const struct inw_paper_options *o)
{
	size_t length = 0;
	char *pdf = inw_show_paper_pdf(report, o, &length);
	return serve_reply_new(200, serve_pdf_type, pdf, length);
}

static struct serve_reply *run_paper(const struct serve_ask *a, const struct inw_design *d)
{
	struct inw_paper_options options;
	struct inw_report *report = NULL;
	struct inw_life_report *life = NULL;
	struct inw_day_report *day = NULL;
	struct inw_diags diags = {0};
	struct serve_visit visit = a->q->visit;
	const struct inw_day_options following = {.stop = serve_has_gone, .context = &visit};
	struct serve_reply *r = read_paper(a, &options);
	enum inw_status s = r ? INW_OK : inw_check_by(d, 0, &report, &diags);
	if (report && inw_day(d, &following, &day, &diags) == INW_NO_MEMORY)
		r = serve_status_trouble(INW_NO_MEMORY, &diags);
	options.day = day; /* NULL where none could be followed: the paper then says how to find out */
	if (report && !r && asked(a, "life"))
		options.life = life = follow_months(a, d, &r);
	if (!r)
		r = report ? print(report, &options) : serve_status_trouble(s, &diags);
	inw_day_free(day);
	inw_life_free(life);
	inw_report_free(report);
	inw_diags_free(&diags);
	return r;
}

struct serve_reply *serve_paper(struct serve_ask *a)
{
	return serve_on_design(a, run_paper);
}
