/* SPDX-License-Identifier: MIT */
/* begin.c: the questions of the set-up, and the design that their answers make. */
#include <stdlib.h>
#include <string.h>

#include "serve/api.h"
#include "show/json_parts.h"

static struct serve_reply *show_questions(void)
{
	struct inw_questions *q = NULL;
	struct inw_diags diags = {0};
	enum inw_status s = inw_questions(&q, &diags);
	char *text = s == INW_OK ? inw_show_questions_json(q) : NULL;
	struct serve_reply *r = s == INW_OK ? serve_reply_new(200, serve_json_type, text, text ? strlen(text) : 0)
	                                    : serve_status_trouble(s, &diags);
	inw_questions_free(q);
	inw_diags_free(&diags);
	return r;
}

/* {"text", "hash", "diagnostics"}, compact and open at its end, for the check to follow byte for byte. */
static void put_head(const struct serve_ask *a, const struct inw_diags *diags, struct inw_text *t)
{
	struct inw_json b = {false};
	char hex[SERVE_HEX];
	json_t *o = json_object();
	serve_hex(a->text.hash, hex);
	inw_json__put(&b, o, "text", json_stringn(a->text.bytes, a->text.length));
	inw_json__put(&b, o, "hash", inw_json__text(hex));
	inw_json__put(&b, o, "diagnostics", serve_diagnostics(diags));
	char *head = b.failed ? NULL : json_dumps(o, JSON_COMPACT);
	json_decref(o);
	if (head)
		inw_text_addn(t, head, strlen(head) - 1);
	else
		t->failed = 1;
	free(head);
}

/* The design of the answers becomes the text that is asked about. */
static enum inw_status begin(struct serve_ask *a, const char *answers, struct inw_diags *diags)
{
	struct inw_answers *said = NULL;
	struct serve_visit visit = a->q->visit;
	const struct inw_begin_options options = {.units = a->units, .stop = serve_has_gone, .context = &visit};
	enum inw_status s = answers ? inw_answers_read(answers, strlen(answers), "answers", &said, diags) : INW_NO_MEMORY;
	if (s == INW_OK)
		s = inw_begin(said->items, said->count, &options, &a->text.bytes, diags);
	if (s == INW_OK) {
		a->text.length = strlen(a->text.bytes);
		serve_text_hash(&a->text);
	}
	inw_answers_free(said);
	return s;
}

static struct serve_reply *make_begin(struct serve_ask *a)
{
	struct inw_diags diags = {0};
	struct inw_text t = {0};
	char *answers = json_dumps(json_object_get(a->sent, "answers"), JSON_COMPACT);
	enum inw_status s = begin(a, answers, &diags);
	struct serve_reply *r = s == INW_OK ? NULL : serve_status_trouble(s, &diags);
	if (!r) {
		put_head(a, &diags, &t);
		r = serve_reply_of(200, serve_json_type, &t);
	}
	free(answers);
	inw_diags_free(&diags);
	return r;
}

/* The units of the text: those of the body, else those of the answer. */
static struct serve_reply *read_units(struct serve_ask *a)
{
	const json_t *units = json_object_get(a->sent, "units");
	const char *word = json_string_value(units);
	if (units && (!word || (strcmp(word, "si") && strcmp(word, "us"))))
		return serve_trouble(400, "bad_request", "'units' is 'si' or 'us'");
	if (units)
		a->units = strcmp(word, "us") ? INW_SI : INW_US;
	return NULL;
}

struct serve_reply *serve_begin(struct serve_ask *a)
{
	struct inw_text t = {0};
	if (!a->sent)
		return show_questions();
	if (!json_is_object(json_object_get(a->sent, "answers")))
		return serve_trouble(400, "bad_request", "'answers' must be an object: ids of questions and what was answered");
	struct serve_reply *r = read_units(a);
	if (!r)
		r = serve_kept_or_made(a, &a->desk->quick, NULL, make_begin);
	if (!r || r->status != 200)
		return r;
	inw_text_addn(&t, r->body, r->length); /* the check waits for a place of its own, or is there already */
	serve_reply_drop(r);
	return serve_with_check(a, &t);
}
