/* SPDX-License-Identifier: MIT */
/* questions_json.c: the questions of the set-up as JSON (doc/serve.md). */
#include "show/json_parts.h"

enum { FORMAT_VERSION = 1 };

static const char *const asks_word[] = {
	[INW_ASKS_CHOICE] = "choice", [INW_ASKS_CHOICES] = "choices", [INW_ASKS_NUMBER] = "number",
	[INW_ASKS_YES_NO] = "yes_no", [INW_ASKS_TEXT] = "text",
};

/* null, or {"question", "is"}: the words, or null for any answer. */
static json_t *when(struct inw_json *b, const struct inw_when *w)
{
	if (!w->question)
		return json_null();
	json_t *o = json_object();
	inw_json__put(b, o, "question", inw_json__text(w->question));
	inw_json__put(b, o, "is", w->count ? inw_json__strings(b, w->is, w->count) : json_null());
	return o;
}

static json_t *choices(struct inw_json *b, const struct inw_question *q)
{
	json_t *list = json_array();

	for (size_t i = 0; i < q->offer_count; i++) {
		json_t *o = json_object();
		inw_json__put(b, o, "word", inw_json__text(q->offers[i].word));
		inw_json__put(b, o, "title", inw_json__text(q->offers[i].title));
		inw_json__put(b, o, "also", inw_json__strings(b, q->offers[i].also, q->offers[i].also_count));
		inw_json__put(b, o, "when", when(b, &q->offers[i].when));
		inw_json__append(b, list, o);
	}
	return list;
}

static json_t *in_both_units(struct inw_json *b, const struct inw_question *q, double value)
{
	char text[64];
	json_t *o = json_object();

	inw_json__put(b, o, "si", inw_json__text(inw_format(text, sizeof text, value, q->dim, INW_SI)));
	inw_json__put(b, o, "us", inw_json__text(inw_format(text, sizeof text, value, q->dim, INW_US)));
	return o;
}

static void put_number(struct inw_json *b, json_t *o, const struct inw_question *q)
{
	json_t *example = json_object();

	inw_json__put(b, example, "si", inw_json__text(q->example[INW_SI]));
	inw_json__put(b, example, "us", inw_json__text(q->example[INW_US]));
	inw_json__put(b, o, "dimension", inw_json__text(inw_json__dimension(q->dim)));
	inw_json__put(b, o, "example", example);
	inw_json__put(b, o, "least", in_both_units(b, q, q->least));
	inw_json__put(b, o, "most", in_both_units(b, q, q->most));
}

static json_t *question(struct inw_json *b, const struct inw_question *q)
{
	json_t *o = json_object();

	inw_json__put(b, o, "id", inw_json__text(q->id));
	inw_json__put(b, o, "part", inw_json__text(q->part));
	inw_json__put(b, o, "question", inw_json__text(q->question));
	inw_json__put(b, o, "help", inw_json__text(q->help));
	inw_json__put(b, o, "assumed", inw_json__text(q->assumed));
	inw_json__put(b, o, "kind", inw_json__text(asks_word[q->asks]));
	inw_json__put(b, o, "when", when(b, &q->when));
	if (q->asks == INW_ASKS_NUMBER)
		put_number(b, o, q);
	if (q->asks == INW_ASKS_CHOICE || q->asks == INW_ASKS_CHOICES)
		inw_json__put(b, o, "choices", choices(b, q));
	return o;
}

char *inw_show_questions_json(const struct inw_questions *q)
{
	struct inw_json b = {false};
	json_t *o = json_object(), *list = json_array();

	for (size_t i = 0; i < q->count; i++)
		inw_json__append(&b, list, question(&b, &q->questions[i]));
	inw_json__put(&b, o, "inward_begin", json_integer(FORMAT_VERSION));
	inw_json__put(&b, o, "questions", list);
	return inw_json__write(&b, o);
}
