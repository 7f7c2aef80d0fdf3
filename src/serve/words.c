/* SPDX-License-Identifier: MIT */
/* words.c: the verdicts as words for a reader, in his units, so that a page needs no table of units of its own. */
#include <math.h>

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
	inw_json__put(b, o, "value", inw_json__text(inw_show__number(text, sizeof text, v->value, v->dim, units)));
	inw_json__put(b, o, "range", inw_json__text(inw_show__range(text, sizeof text, (double[]){v->low, v->high}, v->dim, units)));
	inw_show__limit_words(text, sizeof text, v, units);
	inw_json__put(b, o, "limit", inw_json__text(limited ? text : NULL));
	inw_show__number(text, sizeof text, v->margin, inw_show__difference_dim(v->dim), units);
	inw_json__put(b, o, "margin", inw_json__text(limited ? text : NULL));
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

struct serve_reply *serve_show_verdicts(struct serve_ask *a, struct inw_report *r)
{
	struct inw_json b = {false};
	json_t *o = json_object(), *list = json_array();
	for (size_t i = 0; i < r->verdict_count; i++)
		inw_json__append(&b, list, verdict(&b, &r->verdicts[i], a->units));
	inw_json__put(&b, o, "title", inw_json__text(r->title));
	inw_json__put(&b, o, "overall", inw_json__text(inw_show__word(r->overall)));
	inw_json__put(&b, o, "verdicts", list);
	inw_json__put(&b, o, "notes", sentences(&b, r->notes, r->note_count, a->units));
	inw_json__put(&b, o, "cautions", sentences(&b, r->cautions, r->caution_count, a->units));
	inw_json__put(&b, o, "disclaimer", inw_json__text(inw_show__disclaimer));
	if (!b.failed)
		return serve_reply_json(200, o);
	json_decref(o);
	return serve_reply_no_memory();
}
