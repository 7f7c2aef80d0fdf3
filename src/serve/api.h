/* SPDX-License-Identifier: MIT */
/* api.h: from a request to its answer, without a socket: what the command line prints, as answers (doc/serve.md).
 * Ownership: a reply is the caller's; all else is borrowed for the call. */
#ifndef INW_SERVE_API_H
#define INW_SERVE_API_H

#include "serve/desk.h"
#include "serve/trouble.h"
#include "show/json_parts.h"

struct serve_request {
	const char *path;
	bool post;
	const char *body; size_t length; /* of a POST */
	const char *(*query)(void *context, const char *name); /* decoded; NULL when not given */
	void *query_context;
	struct serve_visit visit;        /* who asks, and whether he still waits */
};

/* One request in work. */
struct serve_ask {
	struct serve_desk *desk;
	const struct serve_request *q;
	json_t *sent;                    /* the body's object; NULL for GET */
	struct serve_text text;          /* what it is about: that of the body, else the file's */
	enum inw_units units;
};

/* Which methods a path takes: 0 (no such path), or the sum. */
enum { SERVE_GET = 1, SERVE_POST = 2 };
int serve_methods(const char *path);

/* The answer; NULL when memory is out. The method must be one that the path takes. */
struct serve_reply *serve_answer(struct serve_desk *desk, const struct serve_request *q) INW_MUST_CHECK;

/* ---- between the files of the API ---- */

typedef struct serve_reply *serve_make(struct serve_ask *a);

/* The kept answer to `what` (NULL: never kept), else a new one, made when there is a place at the gate. */
struct serve_reply *serve_kept_or_made(struct serve_ask *a, struct serve_gate *gate, const char *what, serve_make *make)
	INW_MUST_CHECK;
/* `inward check --json` of the text. */
struct serve_reply *serve_make_check(struct serve_ask *a) INW_MUST_CHECK;
/* Why a study has no design, or no report. */
struct serve_reply *serve_study_trouble(const struct serve_study *s) INW_MUST_CHECK;
struct serve_reply *serve_status_trouble(enum inw_status status, const struct inw_diags *diags) INW_MUST_CHECK;

extern const char serve_svg_type[], serve_pdf_type[];
/* Takes the text over; NULL: memory is out. */
struct serve_reply *serve_text_reply(const char *type, char *text) INW_MUST_CHECK;
/* `run` on a design of its own of the text, since a study is for one thread at a time and a run takes long; or why there is none. */
typedef struct serve_reply *serve_run(const struct serve_ask *a, const struct inw_design *d);
struct serve_reply *serve_on_design(const struct serve_ask *a, serve_run *run) INW_MUST_CHECK;
/* For the `stop` of a run: has the visitor (a struct serve_visit) gone? */
bool serve_has_gone(void *visit);

/* Days, months, odds; the report on paper. */
struct serve_reply *serve_day(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_day_svg(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_life(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_life_svg(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_odds(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_odds_svg(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_paper(struct serve_ask *a) INW_MUST_CHECK;
/* Quantities, changes of them, saving. */
struct serve_reply *serve_quantities(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_set(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_save(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_format(struct serve_ask *a) INW_MUST_CHECK;
/* "si" and "us": a number as text in both unit systems. */
void serve_put_format(struct inw_json *b, json_t *o, double value, enum inw_dim dim);
/* What a design may name. */
struct serve_reply *serve_records(struct serve_ask *a) INW_MUST_CHECK;
/* To finish an answer whose head, still open, stands in `t`: the check of a->text, unless "check=no" is asked for. Takes `t`. */
struct serve_reply *serve_with_check(struct serve_ask *a, struct inw_text *t) INW_MUST_CHECK;
/* The questions of the set-up, and the design that its answers make. */
struct serve_reply *serve_begin(struct serve_ask *a) INW_MUST_CHECK;
/* Several designs, and maps. */
struct serve_reply *serve_compare(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_map(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_map_svg(struct serve_ask *a) INW_MUST_CHECK;
/* Verdicts in a reader's words and units, and how numbers are written in them. */
struct serve_said {
	const char *title;
	enum inw_word overall;
	const struct inw_verdict *verdicts; size_t verdict_count;
	const char *const *notes; size_t note_count;
	const char *const *cautions; size_t caution_count;
	bool planned; /* the box is not built */
};
struct serve_said serve_said_of(const struct inw_report *r);
json_t *serve_words(struct inw_json *b, const struct serve_said *s, enum inw_units units) INW_MUST_CHECK;
struct serve_reply *serve_show_verdicts(struct serve_ask *a, struct inw_report *r) INW_MUST_CHECK;
/* {"report", "words"}; takes `report` over. NULL when it is NULL or memory is out. */
struct serve_reply *serve_with_words(const struct serve_ask *a, const struct serve_said *said, char *report) INW_MUST_CHECK;
bool serve_wants_words(const struct serve_ask *a);
struct serve_reply *serve_units(struct serve_ask *a) INW_MUST_CHECK;
/* What there is to draw and to take hold of. */
struct serve_reply *serve_parts(struct serve_ask *a) INW_MUST_CHECK;
json_t *serve_parts_of(struct inw_json *b, const struct serve_ask *a, const struct inw_design *d) INW_MUST_CHECK;
/* Does the text itself write it? Then its scalar can be replaced. */
bool serve_is_written(const struct serve_ask *a, const struct inw_quantity *q);
/* The object as an answer, which takes it over; NULL when something of it failed. */
struct serve_reply *serve_reply_or_none(const struct inw_json *b, json_t *o) INW_MUST_CHECK;

#endif
