/* SPDX-License-Identifier: MIT */
/* choose_json.c: chosen designs as JSON; doc/json.md and doc/choose.schema.json say its names. */
#include <math.h>

#include "show/json_parts.h"
#include "show/lines.h"

enum { FORMAT_VERSION = 1 };

static json_t *pick(struct inw_json *b, const struct inw_pick *k)
{
	json_t *o = json_object();

	inw_json__put(b, o, "what", inw_json__text(k->what));
	inw_json__put(b, o, "written", inw_json__text(k->written));
	inw_json__put(b, o, "was", inw_json__text(k->was));
	if (k->is_word)
		return o;
	inw_json__put(b, o, "dimension", inw_json__text(inw_json__dimension(k->dim)));
	inw_json__put_unit(b, o, "value", k->dim, k->value);
	inw_json__put_unit(b, o, "value_was", k->dim, k->value_was);
	inw_json__put_unit(b, o, "from", k->dim, k->from);
	inw_json__put_unit(b, o, "to", k->dim, k->to);
	inw_json__put(b, o, "at_from", json_boolean(k->at_from));
	inw_json__put(b, o, "at_to", json_boolean(k->at_to));
	return o;
}

static json_t *binding(struct inw_json *b, const struct inw_chosen *c, const struct inw_binding *k)
{
	json_t *o = json_object();

	inw_json__put(b, o, "id", inw_json__text(k->id));
	inw_json__put(b, o, "title", inw_json__text(k->title));
	inw_json__put(b, o, "job", inw_json__text(k->job));
	inw_json__put(b, o, "dimension", inw_json__text(inw_json__dimension(k->dim)));
	inw_json__put_unit(b, o, "limit", k->dim, k->limit);
	inw_json__put_unit(b, o, "margin", inw_show__difference_dim(k->dim), k->margin);
	inw_json__put_unit(b, o, "eased", k->dim, k->eased);
	inw_json__put_unit(b, o, "gain", inw_goals[c->goal].dim, k->gain);
	return o;
}

static json_t *goals_of(struct inw_json *b, const struct inw_chosen *c)
{
	json_t *o = json_object();
	static const char *const key[INW_GOALS] = {"money", "noise", "cleaner_size", "box_size", "heat", "carbon_per_year"};

	for (size_t i = 0; i < INW_GOALS; i++)
		inw_json__put_unit(b, o, key[i], inw_goals[i].dim, c->value[i]);
	return o;
}

static json_t *one(struct inw_json *b, const struct inw_chosen *c)
{
	json_t *o = json_object(), *picks = json_array(), *bindings = json_array(), *verdicts = json_array();

	for (size_t i = 0; i < c->pick_count; i++)
		inw_json__append(b, picks, pick(b, &c->picks[i]));
	for (size_t i = 0; i < c->binding_count; i++)
		inw_json__append(b, bindings, binding(b, c, &c->bindings[i]));
	for (size_t i = 0; i < c->report->verdict_count; i++)
		inw_json__append(b, verdicts, inw_json__verdict(b, &c->report->verdicts[i]));
	inw_json__put(b, o, "name", inw_json__text(c->name));
	inw_json__put(b, o, "why", inw_json__sentence(c->why));
	inw_json__put(b, o, "goal", inw_json__text(inw_goals[c->goal].name));
	inw_json__put(b, o, "holds", json_boolean(c->holds));
	inw_json__put(b, o, "untold", inw_json__strings(b, c->untold, c->untold_count));
	inw_json__put(b, o, "least_sure", inw_json__real(c->least_sure));
	inw_json__put(b, o, "together", inw_json__real(c->together));
	inw_json__put(b, o, "together_error", inw_json__real(c->together_error));
	inw_json__put(b, o, "day", c->day ? inw_json__text(inw_show__word(c->day_overall)) : json_null());
	inw_json__put(b, o, "day_says", c->day ? inw_json__sentence(c->day) : json_null());
	inw_json__put(b, o, "day_pull", inw_json__real(c->day_pull));
	inw_json__put(b, o, "values", goals_of(b, c));
	inw_json__put(b, o, "picks", picks);
	inw_json__put(b, o, "bindings", bindings);
	inw_json__put(b, o, "overall", inw_json__text(inw_show__word(c->report->overall)));
	inw_json__put(b, o, "verdicts", verdicts);
	inw_json__put(b, o, "text", inw_json__text(c->text));
	return o;
}

char *inw_show_choices_json(const struct inw_choices *c)
{
	struct inw_json b = {false};
	json_t *o = json_object(), *goals = json_array(), *chosen = json_array();

	for (size_t i = 0; i < c->goal_count; i++)
		inw_json__append(&b, goals, inw_json__text(inw_goals[c->goals[i]].name));
	for (size_t i = 0; i < c->chosen_count; i++)
		inw_json__append(&b, chosen, one(&b, &c->chosen[i]));
	inw_json__put(&b, o, "inward_choose", json_integer(FORMAT_VERSION));
	inw_json__put(&b, o, "version", inw_json__text(inw_version()));
	inw_json__put(&b, o, "title", inw_json__text(c->title));
	inw_json__put(&b, o, "file", inw_json__text(c->file));
	inw_json__put(&b, o, "sure", inw_json__real(c->sure));
	inw_json__put(&b, o, "years", inw_json__real(c->years));
	inw_json__put(&b, o, "least", goals);
	inw_json__put(&b, o, "without", inw_json__strings(&b, c->without, c->without_count));
	inw_json__put(&b, o, "found", json_boolean(c->found));
	inw_json__put(&b, o, "day_missed", inw_json__integer(c->day_missed));
	inw_json__put(&b, o, "day_untold", inw_json__integer(c->day_untold));
	inw_json__put(&b, o, "day_unsure", inw_json__integer(c->day_unsure));
	inw_json__put(&b, o, "stopped", json_boolean(c->stopped));
	inw_json__put(&b, o, "conflict", c->conflict ? inw_json__sentence(c->conflict) : json_null());
	inw_json__put(&b, o, "chosen", chosen);
	inw_json__put(&b, o, "combinations", inw_json__integer(c->combinations));
	inw_json__put(&b, o, "searches", inw_json__integer(c->polished));
	inw_json__put(&b, o, "solved", inw_json__integer((size_t)c->solved));
	inw_json__put(&b, o, "notes", inw_json__strings(&b, c->notes, c->note_count));
	return inw_json__write(&b, o);
}
