/* SPDX-License-Identifier: MIT */
/* compare_json.c: designs side by side as JSON. Names are stable and carry their unit; doc/json.md and
 * doc/compare.schema.json say them. */
#include "show/json_parts.h"
#include "show/lines.h"

enum { FORMAT_VERSION = 1 };

static json_t *difference(struct inw_json *b, const struct inw_difference *d, size_t count)
{
	json_t *o = json_object(), *in = json_array();

	for (size_t k = 0; k < count; k++)
		inw_json__append(b, in, d->word ? inw_json__text(d->word[k]) : d->quantity[k] ? inw_json__quantity(b, d->quantity[k]) : json_null());
	inw_json__put(b, o, "path", inw_json__text(d->path));
	inw_json__put(b, o, "kind", inw_json__text(d->word ? "word" : "number"));
	inw_json__put(b, o, "follows", json_boolean(d->follows));
	inw_json__put(b, o, "in_designs", in);
	return o;
}

static const char *step_name(int step)
{
	return step > 0 ? "better" : step < 0 ? "worse" : "same";
}

static json_t *row(struct inw_json *b, const struct inw_verdict_row *r, size_t count)
{
	json_t *o = json_object(), *in = json_array(), *step = json_array(), *margin = json_array();

	for (size_t k = 0; k < count; k++) {
		inw_json__append(b, in, r->verdict[k] ? inw_json__verdict(b, r->verdict[k]) : json_null());
		inw_json__append(b, step, inw_json__text(step_name(r->step[k])));
		inw_json__append(b, margin, inw_json__text(r->by_margin[k] > 0 ? "more" : r->by_margin[k] < 0 ? "less" : "same"));
	}
	inw_json__put(b, o, "id", inw_json__text(r->id));
	inw_json__put(b, o, "title", inw_json__text(r->title));
	inw_json__put(b, o, "job", inw_json__text(r->job));
	inw_json__put(b, o, "alike", json_boolean(r->alike));
	inw_json__put(b, o, "against_first", step);
	inw_json__put(b, o, "margin_against_first", margin);
	inw_json__put(b, o, "in_designs", in);
	return o;
}

static json_t *design(struct inw_json *b, const struct inw_report *r, const struct inw_tally *t)
{
	json_t *o = json_object();

	inw_json__put(b, o, "title", inw_json__text(r->title));
	inw_json__put(b, o, "file", inw_json__text(r->file));
	inw_json__put(b, o, "overall", inw_json__text(inw_show__word(r->overall)));
	inw_json__put(b, o, "meets", inw_json__integer(t->meets));
	inw_json__put(b, o, "misses", inw_json__integer(t->misses));
	inw_json__put(b, o, "in_doubt", inw_json__integer(t->in_doubt));
	inw_json__put(b, o, "cannot_tell", inw_json__integer(t->cannot_tell));
	inw_json__put(b, o, "stated", inw_json__integer(t->stated));
	inw_json__put(b, o, "better", inw_json__integer(t->better));
	inw_json__put(b, o, "worse", inw_json__integer(t->worse));
	return o;
}

char *inw_show_comparison_json(const struct inw_comparison *c)
{
	struct inw_json b = {false};
	json_t *o = json_object(), *designs = json_array(), *differences = json_array(), *rows = json_array();

	for (size_t k = 0; k < c->count; k++)
		inw_json__append(&b, designs, design(&b, c->reports[k], &c->tally[k]));
	for (size_t i = 0; i < c->difference_count; i++)
		inw_json__append(&b, differences, difference(&b, &c->differences[i], c->count));
	for (size_t i = 0; i < c->row_count; i++)
		inw_json__append(&b, rows, row(&b, &c->rows[i], c->count));
	inw_json__put(&b, o, "inward_compare", json_integer(FORMAT_VERSION));
	inw_json__put(&b, o, "version", inw_json__text(inw_version()));
	inw_json__put(&b, o, "designs", designs);
	inw_json__put(&b, o, "differences", differences);
	inw_json__put(&b, o, "verdicts", rows);
	return inw_json__write(&b, o);
}
