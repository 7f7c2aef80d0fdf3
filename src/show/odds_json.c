/* SPDX-License-Identifier: MIT */
/* odds_json.c: how sure the verdicts are, as JSON. Names are stable and carry their unit; doc/json.md and
 * doc/odds.schema.json say them. */
#include <math.h>

#include "show/json_parts.h"

enum { FORMAT_VERSION = 1 };

static json_t *influence(struct inw_json *b, const struct inw_odds_influence *f)
{
	json_t *o = json_object();

	inw_json__put(b, o, "name", inw_json__text(f->name));
	inw_json__put(b, o, "first", inw_json__real(f->first));
	inw_json__put(b, o, "first_error", inw_json__real(f->first_error));
	inw_json__put(b, o, "total", inw_json__real(f->total));
	inw_json__put(b, o, "total_error", inw_json__real(f->total_error));
	return o;
}

static json_t *next(struct inw_json *b, const struct inw_odds_next *n)
{
	json_t *o = json_object();

	inw_json__put(b, o, "test", inw_json__text(n->test->name));
	inw_json__put(b, o, "gain", inw_json__real(n->gain));
	inw_json__put(b, o, "gain_error", inw_json__real(n->gain_error));
	inw_json__put(b, o, "coarsest", inw_json__real(n->coarsest));
	return o;
}

static json_t *histogram(struct inw_json *b, const struct inw_odds_verdict *v)
{
	json_t *o = json_object(), *at = json_array(), *share = json_array();

	for (size_t i = 0; i < v->bins; i++)
		inw_json__append(b, share, inw_json__real(v->share[i]));
	for (size_t i = 0; v->bins && i <= v->bins; i++)
		inw_json__append(b, at, inw_json__real(v->at[i]));
	inw_json__put(b, o, "edges", at);
	inw_json__put(b, o, "shares", share);
	inw_json__put(b, o, "below", inw_json__real(v->below));
	inw_json__put(b, o, "above", inw_json__real(v->above));
	return o;
}

static json_t *verdict(struct inw_json *b, const struct inw_odds_verdict *v)
{
	static const char *const sense[] = {"at least", "at most", "within", "no limit"};
	json_t *o = json_object(), *matters = json_array(), *nexts = json_array();

	for (size_t i = 0; i < v->influences; i++)
		inw_json__append(b, matters, influence(b, &v->influence[i]));
	for (size_t i = 0; i < v->nexts; i++)
		inw_json__append(b, nexts, next(b, &v->next[i]));
	inw_json__put(b, o, "id", inw_json__text(v->id));
	inw_json__put(b, o, "title", inw_json__text(v->title));
	inw_json__put(b, o, "job", inw_json__text(v->job));
	inw_json__put(b, o, "dimension", inw_json__text(inw_json__dimension(v->dim)));
	inw_json__put(b, o, "sense", inw_json__text(sense[v->sense]));
	inw_json__put_unit(b, o, "limit", v->dim, v->limit);
	inw_json__put_unit(b, o, "limit_high", v->dim, v->limit_high);
	inw_json__put(b, o, "cannot_be_told", json_boolean(v->untold));
	inw_json__put(b, o, "met", inw_json__real(v->met));
	inw_json__put(b, o, "met_error", inw_json__real(v->met_error));
	inw_json__put(b, o, "no_answer", inw_json__real(v->none));
	inw_json__put(b, o, "no_answer_reason", inw_json__text(v->none_why));
	inw_json__put(b, o, "more_than", inw_json__real(v->more_than));
	inw_json__put(b, o, "less_than", inw_json__real(v->less_than));
	inw_json__put(b, o, "undecided", inw_json__real(v->undecided));
	inw_json__put_bounded(b, o, "low", v->dim, (struct inw_bounded){v->low, v->low_bound});
	inw_json__put_bounded(b, o, "median", v->dim, (struct inw_bounded){v->median, v->median_bound});
	inw_json__put_bounded(b, o, "high", v->dim, (struct inw_bounded){v->high, v->high_bound});
	inw_json__put_bounded(b, o, "tail", v->dim, (struct inw_bounded){v->tail, v->tail_bound});
	inw_json__put(b, o, "known_now", inw_json__real(v->known_now));
	inw_json__put(b, o, "histogram", histogram(b, v));
	inw_json__put(b, o, "matters", matters);
	inw_json__put(b, o, "measure_next", nexts);
	return o;
}

static json_t *input(struct inw_json *b, const struct inw_odds_input *in)
{
	json_t *o = inw_json__quantity(b, in->quantity);

	if (!o)
		return NULL;
	inw_json__put(b, o, "logarithmic", json_boolean(in->log));
	inw_json__put(b, o, "cut_off", json_boolean(in->cut));
	inw_json__put(b, o, "shares", inw_json__text(in->shares));
	return o;
}

static json_t *test(struct inw_json *b, const struct inw_odds_test *t)
{
	json_t *o = json_object();

	inw_json__put(b, o, "name", inw_json__text(t->name));
	inw_json__put(b, o, "title", inw_json__text(t->title));
	inw_json__put(b, o, "how", inw_json__text(t->how));
	inw_json__put(b, o, "cost", inw_json__text(t->cost));
	inw_json__put(b, o, "accuracy", inw_json__sentence(t->accuracy));
	inw_json__put(b, o, "source", inw_json__text(t->source));
	return o;
}

char *inw_show_odds_json(const struct inw_odds *r)
{
	struct inw_json b = {false};
	json_t *o = json_object(), *verdicts = json_array(), *inputs = json_array(), *tests = json_array();

	for (size_t i = 0; i < r->verdict_count; i++)
		inw_json__append(&b, verdicts, verdict(&b, &r->verdicts[i]));
	for (size_t i = 0; i < r->input_count; i++)
		inw_json__append(&b, inputs, input(&b, &r->inputs[i]));
	for (size_t i = 0; i < r->test_count; i++)
		inw_json__append(&b, tests, test(&b, &r->tests[i]));
	inw_json__put(&b, o, "inward_odds", json_integer(FORMAT_VERSION));
	inw_json__put(&b, o, "version", inw_json__text(inw_version()));
	inw_json__put(&b, o, "title", inw_json__text(r->title));
	inw_json__put(&b, o, "file", inw_json__text(r->file));
	inw_json__put(&b, o, "day", json_boolean(r->day));
	inw_json__put(&b, o, "life", json_boolean(r->life));
	inw_json__put(&b, o, "stopped", json_boolean(r->stopped));
	inw_json__put(&b, o, "known", json_boolean(r->known));
	inw_json__put(&b, o, "width", inw_json__real(r->width));
	inw_json__put(&b, o, "samples", inw_json__integer(r->samples));
	inw_json__put(&b, o, "samples_without_answer", inw_json__integer(r->no_answer));
	inw_json__put(&b, o, "samples_in_every_state", inw_json__integer(r->looked_at));
	inw_json__put(&b, o, "samples_otherwise", inw_json__integer(r->otherwise));
	inw_json__put(&b, o, "replicates", inw_json__integer(r->replicates));
	inw_json__put(&b, o, "dimensions", inw_json__integer(r->drivers));
	inw_json__put(&b, o, "correlation", inw_json__real(r->correlation));
	inw_json__put(&b, o, "requirements", inw_json__integer(r->required));
	inw_json__put(&b, o, "untold", inw_json__integer(r->untold));
	inw_json__put(&b, o, "all", verdict(&b, &r->all));
	inw_json__put(&b, o, "verdicts", verdicts);
	inw_json__put(&b, o, "inputs", inputs);
	inw_json__put(&b, o, "tests", tests);
	inw_json__put(&b, o, "notes", inw_json__strings(&b, r->notes, r->note_count));
	return inw_json__write(&b, o);
}
