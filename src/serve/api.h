/* SPDX-License-Identifier: MIT */
/* api.h: from a request to its answer, without a socket: what the command line prints, as answers (doc/serve.md).
 * Ownership: a reply is the caller's; all else is borrowed for the call. */
#ifndef INW_SERVE_API_H
#define INW_SERVE_API_H

#include "serve/desk.h"
#include "serve/trouble.h"

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

/* Quantities, changes of them, saving. */
struct serve_reply *serve_quantities(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_set(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_save(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_format(struct serve_ask *a) INW_MUST_CHECK;
/* To finish an answer whose head, still open, stands in `t`: the check of a->text, unless "check=no" is asked for. Takes `t`. */
struct serve_reply *serve_with_check(struct serve_ask *a, struct inw_text *t) INW_MUST_CHECK;
/* The questions of the set-up, and the design that its answers make. */
struct serve_reply *serve_begin(struct serve_ask *a) INW_MUST_CHECK;
/* Several designs, and maps. */
struct serve_reply *serve_compare(struct serve_ask *a) INW_MUST_CHECK;
struct serve_reply *serve_map(struct serve_ask *a) INW_MUST_CHECK;
/* Verdicts in a reader's words and units. */
struct serve_reply *serve_show_verdicts(struct serve_ask *a, struct inw_report *r) INW_MUST_CHECK;

#endif
