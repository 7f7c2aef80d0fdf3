/* SPDX-License-Identifier: MIT */
/* trouble.h: answers that say what went wrong, as JSON: {"error": {"code", "message"}, "diagnostics": [...]}.
 * Ownership: the reply is the caller's. */
#ifndef INW_SERVE_TROUBLE_H
#define INW_SERVE_TROUBLE_H

#include <jansson.h>

#include "serve/reply.h"

extern const char serve_json_type[];

/* The JSON library calls a body no JSON when memory is out, and may even leave signs of a long text out. So its allocations are
 * watched: from serve_json_watch on, has one of this thread failed? serve_json_begin once, before there are threads. */
void serve_json_begin(void);
void serve_json_watch(void);
bool serve_json_lacked(void);

/* Never NULL: when memory is out the answer is that. */
struct serve_reply *serve_trouble(int status, const char *code, const char *message) INW_MUST_CHECK;
struct serve_reply *serve_trouble_at(int status, const char *code, const char *message, const struct inw_diags *diags)
	INW_MUST_CHECK;
/* The diagnostics as a list; NULL when memory is out. */
json_t *serve_diagnostics(const struct inw_diags *diags) INW_MUST_CHECK;
/* `o`, which is used up, as an answer. */
struct serve_reply *serve_reply_json(int status, json_t *o) INW_MUST_CHECK;

#endif
