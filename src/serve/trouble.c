/* SPDX-License-Identifier: MIT */
#include "serve/trouble.h"

#include <stdlib.h>
#include <string.h>

#include "show/json_parts.h"

const char serve_json_type[] = "application/json";

enum { DIGITS = 15 /* as in src/show/json_parts.c */ };

struct serve_reply *serve_reply_json(int status, json_t *o)
{
	char *text = o ? json_dumps(o, JSON_INDENT(1) | JSON_REAL_PRECISION(DIGITS)) : NULL;
	size_t length = text ? strlen(text) : 0;
	json_decref(o);
	return serve_reply_new(status, serve_json_type, text, length);
}

static _Thread_local bool lacked;

static void *watched(size_t size)
{
	void *p = malloc(size);
	lacked |= !p;
	return p;
}

void serve_json_begin(void)
{
	json_set_alloc_funcs(watched, free);
}

void serve_json_watch(void)
{
	lacked = false;
}

bool serve_json_lacked(void)
{
	return lacked;
}

static json_t *diagnostic(struct inw_json *b, const struct inw_diag *d)
{
	json_t *o = json_object();
	inw_json__put(b, o, "severity", inw_json__text(d->severity == INW_ERROR ? "error" : "warning"));
	inw_json__put(b, o, "file", inw_json__text(d->file));
	inw_json__put(b, o, "line", json_integer(d->line));
	inw_json__put(b, o, "column", json_integer(d->column));
	inw_json__put(b, o, "message", inw_json__text(d->message));
	return o;
}

json_t *serve_diagnostics(const struct inw_diags *diags)
{
	struct inw_json b = {false};
	json_t *list = json_array();
	for (size_t i = 0; i < diags->count; i++)
		inw_json__append(&b, list, diagnostic(&b, &diags->items[i]));
	if (!b.failed)
		return list;
	json_decref(list);
	return NULL;
}

struct serve_reply *serve_trouble_at(int status, const char *code, const char *message, const struct inw_diags *diags)
{
	struct inw_json b = {false};
	json_t *o = json_object(), *error = json_object();
	inw_json__put(&b, error, "code", inw_json__text(code));
	inw_json__put(&b, error, "message", inw_json__text(message));
	inw_json__put(&b, o, "error", error);
	inw_json__put(&b, o, "diagnostics", diags ? serve_diagnostics(diags) : json_array());
	if (b.failed || (diags && diags->out_of_memory)) {
		json_decref(o);
		return serve_reply_no_memory();
	}
	return serve_reply_json(status, o);
}

struct serve_reply *serve_trouble(int status, const char *code, const char *message)
{
	return serve_trouble_at(status, code, message, NULL);
}
