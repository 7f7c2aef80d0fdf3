/* SPDX-License-Identifier: MIT */
#include "serve/api.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char plain_type[] = "text/plain; charset=utf-8";
const char serve_svg_type[] = "image/svg+xml", serve_pdf_type[] = "application/pdf";

/* ---- troubles ---------------------------------------------------------------------------------------------------- */

struct serve_reply *serve_status_trouble(enum inw_status status, const struct inw_diags *diags)
{
	switch (status) {
	case INW_BAD_INPUT:
		return serve_trouble_at(422, "bad_input", "the design cannot be used as it is; the diagnostics say what and where", diags);
	case INW_NOT_CONVERGED:
		return serve_trouble_at(422, "not_converged", "no solution was found", diags);
	case INW_IO:
		return serve_trouble(503, "stopped", "the computation was stopped");
	case INW_OK: case INW_NO_MEMORY: break;
	}
	return serve_reply_no_memory();
}

struct serve_reply *serve_study_trouble(const struct serve_study *s)
{
	if (!s)
		return serve_trouble(503, "busy", "too much is asked at once; try again in a moment");
	return serve_status_trouble(s->status == INW_OK ? INW_NO_MEMORY : s->status, &s->diags);
}

struct serve_reply *serve_reply_or_none(const struct inw_json *b, json_t *o)
{
	if (!b->failed)
		return serve_reply_json(200, o);
	json_decref(o);
	return serve_reply_no_memory();
}

struct serve_reply *serve_text_reply(const char *type, char *text)
{
	return serve_reply_new(200, type, text, text ? strlen(text) : 0);
}

/* ---- kept or made ------------------------------------------------------------------------------------------------ */

static bool key_of(const struct serve_ask *a, const char *what, struct serve_key *key)
{
	memcpy(key->text, a->text.hash, SERVE_HASH);
	int n = snprintf(key->what, sizeof key->what, "%s%s", what, a->units == INW_US ? " us" : "");
	return n >= 0 && (size_t)n < sizeof key->what;
}

static bool worth_keeping(const struct serve_reply *r)
{
	return r && (r->status == 200 || r->status == 422);
}

struct serve_reply *serve_kept_or_made(struct serve_ask *a, struct serve_gate *gate, const char *what, serve_make *make)
{
	struct serve_key key;
	struct serve_kept *kept = &a->desk->kept;
	bool keeps = what && key_of(a, what, &key);
	struct serve_reply *r = keeps ? serve_kept_get(kept, &key) : NULL;
	int place;
	if (r)
		return r;
	enum serve_entry entry = serve_gate_enter(gate, &a->q->visit, &place);
	if (entry == SERVE_FULL) {
		r = serve_trouble(503, "busy", "too much is asked at once; try again in a moment");
		if (r)
			r->later = true;
		return r;
	}
	if (entry == SERVE_GONE)
		return serve_status_trouble(INW_IO, NULL);
	r = keeps ? serve_kept_get(kept, &key) : NULL; /* somebody asked the same meanwhile */
	if (!r) {
		r = make(a);
		if (keeps && worth_keeping(r))
			serve_kept_put(kept, &key, r);
	}
	serve_gate_leave(gate, place);
	return r;
}

/* ---- what rests on a report -------------------------------------------------------------------------------------- */

static struct serve_reply *with_report(struct serve_ask *a, struct serve_reply *(*show)(struct serve_ask *, struct inw_report *))
{
	struct serve_study *s = serve_study_open(a->desk, &a->text, true);
	struct serve_reply *r = s && s->r ? show(a, s->r) : serve_study_trouble(s);
	if (s)
		serve_study_close(a->desk, s);
	return r;
}

static struct serve_reply *show_check(struct serve_ask *a, struct inw_report *report)
{
	(void)a;
	return serve_text_reply(serve_json_type, inw_show_json(report));
}

struct serve_reply *serve_make_check(struct serve_ask *a)
{
	return with_report(a, show_check);
}

/* "state=3": which of the report's states to draw, 0 without it. */
static struct serve_reply *show_svg(struct serve_ask *a, struct inw_report *report)
{
	const char *given = a->q->query(a->q->query_context, "state");
	size_t n = given ? strspn(given, "0123456789") : 1;
	unsigned long state = given && n >= 1 && n <= 6 && !given[n] ? strtoul(given, NULL, 10) : 0;
	if (given && (n < 1 || n > 6 || given[n] || state >= report->state_count))
		return serve_trouble(404, "no_state", "there is no such state to draw");
	return serve_text_reply(serve_svg_type, inw_show_picture_svg(report, state, a->units));
}

static struct serve_reply *make_verdicts(struct serve_ask *a)
{
	return with_report(a, serve_show_verdicts);
}

static struct serve_reply *make_svg(struct serve_ask *a)
{
	return with_report(a, show_svg);
}

static struct serve_reply *show_why(struct serve_ask *a, struct inw_report *report)
{
	struct inw_diags diags = {0};
	char *text = inw_show_why(report, a->q->query(a->q->query_context, "name"), a->units, &diags);
	struct serve_reply *r = text               ? serve_text_reply(plain_type, text)
	                        : diags.out_of_memory ? serve_reply_no_memory()
	                                              : serve_trouble_at(404, "no_such_name", "nothing has that name", &diags);
	inw_diags_free(&diags);
	return r;
}

static struct serve_reply *make_why(struct serve_ask *a)
{
	return with_report(a, show_why);
}

/* ---- routes ------------------------------------------------------------------------------------------------------ */

static struct serve_reply *quick(struct serve_ask *a, const char *what, serve_make *make)
{
	return serve_kept_or_made(a, &a->desk->quick, what, make);
}

static struct serve_reply *slow(struct serve_ask *a, const char *what, serve_make *make)
{
	return serve_kept_or_made(a, &a->desk->slow, what, make);
}

static struct serve_reply *answer_check(struct serve_ask *a)
{
	return quick(a, "check", serve_make_check);
}

static struct serve_reply *answer_verdicts(struct serve_ask *a)
{
	return quick(a, "verdicts", make_verdicts);
}

static struct serve_reply *answer_svg(struct serve_ask *a)
{
	char what[64];
	const char *state = a->q->query(a->q->query_context, "state");
	snprintf(what, sizeof what, "svg%s%.40s", state ? " " : "", state ? state : "");
	return quick(a, what, make_svg);
}

static struct serve_reply *answer_why(struct serve_ask *a)
{
	char what[128]; /* longer names are not kept */
	const char *name = a->q->query(a->q->query_context, "name");
	if (!name || !*name)
		return serve_trouble(400, "no_name", "which number? Say it as ?name=...; the name 'list' lists all");
	snprintf(what, sizeof what, "why %s", name);
	return quick(a, what, make_why);
}

static struct serve_reply *answer_day(struct serve_ask *a)
{
	return slow(a, serve_wants_words(a) ? "day words" : "day", serve_day);
}

static struct serve_reply *answer_day_svg(struct serve_ask *a)
{
	return slow(a, "day svg", serve_day_svg);
}

static struct serve_reply *answer_life(struct serve_ask *a)
{
	return slow(a, serve_wants_words(a) ? "life words" : "life", serve_life);
}

static struct serve_reply *answer_life_svg(struct serve_ask *a)
{
	return slow(a, "life svg", serve_life_svg);
}

/* What these are asked is more than a text: not kept. */
static struct serve_reply *answer_compare(struct serve_ask *a)
{
	return slow(a, NULL, serve_compare);
}

static struct serve_reply *answer_map(struct serve_ask *a)
{
	return slow(a, NULL, serve_map);
}

static struct serve_reply *answer_map_svg(struct serve_ask *a)
{
	return slow(a, NULL, serve_map_svg);
}

static struct serve_reply *answer_odds(struct serve_ask *a)
{
	return slow(a, NULL, serve_odds);
}

static struct serve_reply *answer_odds_svg(struct serve_ask *a)
{
	return slow(a, NULL, serve_odds_svg);
}

/* With the months followed it takes as long as they do. */
static struct serve_reply *answer_paper(struct serve_ask *a)
{
	const char *life = a->q->query(a->q->query_context, "life");
	return serve_kept_or_made(a, life ? &a->desk->slow : &a->desk->quick, NULL, serve_paper);
}

static struct serve_reply *answer_quantities(struct serve_ask *a)
{
	return quick(a, "quantities", serve_quantities);
}

static struct serve_reply *answer_parts(struct serve_ask *a)
{
	return quick(a, "parts", serve_parts);
}

static struct serve_reply *answer_records(struct serve_ask *a)
{
	return quick(a, "records", serve_records);
}

/* Where there is no file yet hash and text are null: the page then begins from nothing. */
static struct serve_reply *answer_design(struct serve_ask *a)
{
	char hex[SERVE_HEX];
	bool none = false;
	const char *fault = serve_desk_read(a->desk, &a->text, &none);
	if (none)
		return serve_reply_json(200, json_pack("{s:s, s:n, s:n}", "file", a->desk->name, "hash", "text"));
	if (fault)
		return fault == serve_desk_no_memory ? serve_reply_no_memory() : serve_trouble(500, "no_file", fault);
	serve_json_watch();
	json_t *text = json_stringn(a->text.bytes, a->text.length);
	if (!text && serve_json_lacked())
		return serve_reply_no_memory();
	if (!text) /* jansson takes nothing else, and the reader would refuse it too */
		return serve_trouble(422, "not_utf8", "the design file is not UTF-8 text, or memory is out");
	serve_hex(a->text.hash, hex);
	return serve_reply_json(200, json_pack("{s:s, s:s, s:o}", "file", a->desk->name, "hash", hex, "text", text));
}

enum { WITHOUT_TEXT = 4 }; /* beside the methods: no text need be there to answer */
static const struct route {
	const char *path;
	int methods;
	struct serve_reply *(*answer)(struct serve_ask *a);
} routes[] = {
	{"/api/begin", SERVE_GET | SERVE_POST | WITHOUT_TEXT, serve_begin},
	{"/api/design", SERVE_GET | WITHOUT_TEXT, answer_design},
	{"/api/check", SERVE_GET | SERVE_POST, answer_check},
	{"/api/check.svg", SERVE_GET | SERVE_POST, answer_svg},
	{"/api/verdicts", SERVE_GET | SERVE_POST, answer_verdicts},
	{"/api/why", SERVE_GET | SERVE_POST, answer_why},
	{"/api/quantities", SERVE_GET | SERVE_POST, answer_quantities},
	{"/api/parts", SERVE_GET | SERVE_POST, answer_parts},
	{"/api/records", SERVE_GET | SERVE_POST, answer_records},
	{"/api/day", SERVE_GET | SERVE_POST, answer_day},
	{"/api/day.svg", SERVE_GET | SERVE_POST, answer_day_svg},
	{"/api/life", SERVE_GET | SERVE_POST, answer_life},
	{"/api/life.svg", SERVE_GET | SERVE_POST, answer_life_svg},
	{"/api/report.pdf", SERVE_GET | SERVE_POST, answer_paper},
	{"/api/compare", SERVE_POST, answer_compare},
	{"/api/map", SERVE_POST, answer_map},
	{"/api/map.svg", SERVE_POST, answer_map_svg},
	{"/api/odds", SERVE_POST, answer_odds},
	{"/api/odds.svg", SERVE_POST, answer_odds_svg},
	{"/api/format", SERVE_GET | WITHOUT_TEXT, serve_format},
	{"/api/units", SERVE_GET | WITHOUT_TEXT, serve_units},
	{"/api/set", SERVE_POST, serve_set},
	{"/api/save", SERVE_POST, serve_save},
};

static const struct route *route_of(const char *path)
{
	for (size_t i = 0; i < INW_COUNT(routes); i++)
		if (strcmp(routes[i].path, path) == 0)
			return &routes[i];
	return NULL;
}

int serve_methods(const char *path)
{
	const struct route *r = route_of(path);
	return r ? r->methods & (SERVE_GET | SERVE_POST) : 0;
}

/* ---- the request ------------------------------------------------------------------------------------------------- */

static struct serve_reply *json_trouble(const char *message, const json_error_t *e)
{
	struct inw_diags diags = {0};
	inw_diag_add(&diags, INW_ERROR, "request", e->line, e->column, "%s", e->text);
	struct serve_reply *r = serve_trouble_at(400, "bad_json", message, &diags);
	inw_diags_free(&diags);
	return r;
}

static struct serve_reply *read_body(struct serve_ask *a)
{
	json_error_t e;
	if (!a->q->post)
		return NULL;
	serve_json_watch();
	a->sent = json_loadb(a->q->body, a->q->length, JSON_REJECT_DUPLICATES, &e);
	if (serve_json_lacked())
		return serve_reply_no_memory();
	if (!a->sent)
		return json_trouble("the body is no JSON", &e);
	if (!json_is_object(a->sent))
		return serve_trouble(400, "bad_request", "the body must be a JSON object");
	return NULL;
}

static struct serve_reply *read_text(struct serve_ask *a)
{
	const json_t *text = a->sent ? json_object_get(a->sent, "text") : NULL;
	if (!text) {
		bool none = false;
		const char *fault = serve_desk_read(a->desk, &a->text, &none);
		return !fault ? NULL : fault == serve_desk_no_memory ? serve_reply_no_memory() : serve_trouble(none ? 404 : 500, "no_file", fault);
	}
	if (!json_is_string(text))
		return serve_trouble(400, "bad_request", "'text' must be a string: the text of a design");
	a->text.length = json_string_length(text);
	a->text.bytes = malloc(a->text.length + 1);
	if (!a->text.bytes)
		return serve_status_trouble(INW_NO_MEMORY, NULL);
	memcpy(a->text.bytes, json_string_value(text), a->text.length + 1);
	serve_text_hash(&a->text);
	return NULL;
}

static struct serve_reply *read_units(struct serve_ask *a)
{
	const char *given = a->q->query(a->q->query_context, "units");
	if (given && strcmp(given, "si") && strcmp(given, "us"))
		return serve_trouble(400, "bad_request", "'units' is 'si' or 'us'");
	a->units = given && strcmp(given, "us") == 0 ? INW_US : INW_SI;
	return NULL;
}

struct serve_reply *serve_answer(struct serve_desk *desk, const struct serve_request *q)
{
	struct serve_ask a = {.desk = desk, .q = q};
	const struct route *route = route_of(q->path);
	if (!route)
		return serve_trouble(404, "no_such_path", "there is nothing here");
	struct serve_reply *r = read_units(&a);
	if (!r)
		r = read_body(&a);
	if (!r && !(route->methods & WITHOUT_TEXT))
		r = read_text(&a);
	if (!r)
		r = route->answer(&a);
	json_decref(a.sent);
	serve_text_free(&a.text);
	return r;
}
