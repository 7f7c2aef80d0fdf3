/* SPDX-License-Identifier: MIT */
/* words.c: verdicts as words for a reader, in his units, and the table by which he writes numbers of his own. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "design/units.h"
#include "serve/api.h"
#include "show/json_parts.h"
#include "show/lines.h"
#include "show/verdicts.h"

static json_t *sentence(const char *s, enum inw_units units)
{
	char *written = s ? inw_show_sentence(s, units) : NULL;
	json_t *j = s && !written ? NULL : inw_json__text(written);
	inw_string_free(written);
	return j;
}

static json_t *verdict(struct inw_json *b, const struct inw_verdict *v, enum inw_units units)
{
	char text[200];
	json_t *o = json_object();
	bool limited = v->sense != INW_NO_LIMIT;
	inw_json__put(b, o, "id", inw_json__text(v->id));
	inw_json__put(b, o, "title", sentence(v->title, units));
	inw_json__put(b, o, "job", inw_json__text(v->job));
	inw_json__put(b, o, "state", inw_json__text(v->state));
	inw_json__put(b, o, "word", inw_json__text(inw_show__word(v->word)));
	inw_json__put(b, o, "value", inw_json__text(inw_show__bounded(text, sizeof text, (struct inw_bounded){v->value, v->bound}, v->dim, units)));
	inw_json__put(b, o, "range", inw_json__text(inw_show__range(text, sizeof text, (double[]){v->low, v->high}, v->dim, units)));
	inw_show__limit_words(text, sizeof text, v, units);
	inw_json__put(b, o, "limit", inw_json__text(limited ? text : NULL));
	inw_show__number(text, sizeof text, v->margin, inw_show__difference_dim(v->dim), units);
	inw_json__put(b, o, "margin", inw_json__text(limited && !isnan(v->margin) ? text : NULL));
	inw_json__put(b, o, "where", sentence(v->where, units));
	inw_json__put(b, o, "reason", sentence(v->reason, units));
	inw_json__put(b, o, "change", sentence(v->change, units));
	inw_json__put(b, o, "caution", sentence(v->caution, units));
	return o;
}

static json_t *sentences(struct inw_json *b, const char *const *items, size_t count, enum inw_units units)
{
	json_t *list = json_array();
	for (size_t i = 0; i < count; i++)
		inw_json__append(b, list, sentence(items[i], units));
	return list;
}

json_t *serve_words(struct inw_json *b, const struct serve_said *s, enum inw_units units)
{
	json_t *o = json_object(), *list = json_array();
	for (size_t i = 0; i < s->verdict_count; i++)
		inw_json__append(b, list, verdict(b, &s->verdicts[i], units));
	inw_json__put(b, o, "title", inw_json__text(s->title));
	inw_json__put(b, o, "overall", inw_json__text(inw_show__word(s->overall)));
	inw_json__put(b, o, "planned", json_boolean(s->planned));
	inw_json__put(b, o, "verdicts", list);
	inw_json__put(b, o, "notes", sentences(b, s->notes, s->note_count, units));
	inw_json__put(b, o, "cautions", sentences(b, s->cautions, s->caution_count, units));
	inw_json__put(b, o, "disclaimer", inw_json__text(inw_show__disclaimer));
	return o;
}

struct serve_said serve_said_of(const struct inw_report *r)
{
	return (struct serve_said){r->title, r->overall, r->verdicts, r->verdict_count, r->notes, r->note_count, r->cautions, r->caution_count, inw_show__planned(r->design) != NULL};
}

struct serve_reply *serve_show_verdicts(struct serve_ask *a, struct inw_report *r)
{
	struct inw_json b = {false};
	const struct serve_said said = serve_said_of(r);
	return serve_reply_or_none(&b, serve_words(&b, &said, a->units));
}

struct serve_reply *serve_with_words(const struct serve_ask *a, const struct serve_said *said, char *report)
{
	struct inw_json b = {false};
	struct inw_text t = {0};
	json_t *o = serve_words(&b, said, a->units);
	char *words = b.failed ? NULL : json_dumps(o, JSON_COMPACT);
	json_decref(o);
	t.failed = !words || !report;
	if (!t.failed) {
		inw_text_add(&t, "{\"report\": ");
		inw_text_add(&t, report);
		inw_text_add(&t, ",\n\"words\": ");
		inw_text_add(&t, words);
		inw_text_add(&t, "}\n");
	}
	free(words);
	free(report);
	return serve_reply_of(200, serve_json_type, &t);
}

bool serve_wants_words(const struct serve_ask *a)
{
	const char *given = a->q->query(a->q->query_context, "words");
	return given && strcmp(given, "yes") == 0;
}

/* ---- units ------------------------------------------------------------------------------------------------------- */

static json_t *unit(struct inw_json *b, const struct inw_shown_unit *u)
{
	json_t *o = json_object();
	inw_json__put(b, o, "unit", inw_json__text(u->name));
	inw_json__put(b, o, "from", json_real(u->from));
	inw_json__put(b, o, "by", json_real(u->by));
	inw_json__put(b, o, "less", json_real(u->less));
	inw_json__put(b, o, "usual", json_boolean(u->usual));
	return o;
}

struct serve_reply *serve_units(struct serve_ask *a)
{
	struct inw_json b = {false};
	struct inw_shown_unit u;
	json_t *o = json_object();
	(void)a;
	for (size_t i = 0; inw_units_shown(i, &u); i++) {
		const char *dim = inw_json__dimension(u.dim), *system = u.system == INW_US ? "us" : "si";
		if (!json_object_get(o, dim))
			inw_json__put(&b, o, dim, json_pack("{s:[], s:[]}", "si", "us"));
		inw_json__append(&b, json_object_get(json_object_get(o, dim), system), unit(&b, &u));
	}
	return serve_reply_or_none(&b, o);
}
