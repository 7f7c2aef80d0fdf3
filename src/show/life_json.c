/* SPDX-License-Identifier: MIT */
/* life_json.c: months on the carbon as JSON. Names are stable and carry their unit; doc/json.md and doc/life.schema.json
 * say them. */
#include "show/json_parts.h"

enum { FORMAT_VERSION = 1 };

static json_t *limit(struct inw_json *b, const struct inw_life_limit *l)
{
	json_t *o = json_object();

	inw_json__put(b, o, "kind", inw_json__text(l->kind));
	inw_json__put(b, o, "limit_kgm3", inw_json__real(l->limit_kgm3));
	inw_json__put(b, o, "reached_s", inw_json__real(l->reached_s));
	return o;
}

static json_t *gas(struct inw_json *b, const struct inw_life_gas *g)
{
	json_t *o = json_object(), *limits = json_array();

	for (size_t i = 0; i < g->limit_count; i++)
		inw_json__append(b, limits, limit(b, &g->limits[i]));
	inw_json__put(b, o, "name", inw_json__text(g->name));
	inw_json__put(b, o, "title", inw_json__text(g->title));
	inw_json__put(b, o, "held_by_carbon", json_boolean(g->held));
	inw_json__put(b, o, "given_off_per_pattern_kg", inw_json__real(g->given_off_kg));
	inw_json__put(b, o, "on_carbon_kg", inw_json__real(g->on_carbon_kg));
	inw_json__put(b, o, "given_back_running_kg", inw_json__real(g->back_running_kg));
	inw_json__put(b, o, "given_back_idle_kg", inw_json__real(g->back_idle_kg));
	inw_json__put(b, o, "passes_1_percent_s", inw_json__real(g->passes_s[0]));
	inw_json__put(b, o, "passes_10_percent_s", inw_json__real(g->passes_s[1]));
	inw_json__put(b, o, "passes_50_percent_s", inw_json__real(g->passes_s[2]));
	inw_json__put(b, o, "limits", limits);
	return o;
}

char *inw_show_life_json(const struct inw_life_report *r)
{
	struct inw_json b = {false};
	json_t *o = json_object(), *verdicts = json_array(), *gases = json_array();

	for (size_t i = 0; i < r->verdict_count; i++)
		inw_json__append(&b, verdicts, inw_json__verdict(&b, &r->verdicts[i]));
	for (size_t i = 0; i < r->gas_count; i++)
		inw_json__append(&b, gases, gas(&b, &r->gases[i]));
	inw_json__put(&b, o, "inward_life", json_integer(FORMAT_VERSION));
	inw_json__put_head(&b, o, r->title, r->file, r->overall);
	inw_json__put(&b, o, "pattern_s", inw_json__real(r->pattern_s));
	inw_json__put(&b, o, "spent_s", inw_json__real(r->spent_s));
	inw_json__put(&b, o, "spent_low_s", inw_json__real(r->spent_low_s));
	inw_json__put(&b, o, "spent_high_s", inw_json__real(r->spent_high_s));
	inw_json__put(&b, o, "followed_s", inw_json__real(r->followed_s));
	inw_json__put(&b, o, "horizon_s", inw_json__real(r->horizon_s));
	inw_json__put(&b, o, "shortcut_error", inw_json__real(r->shortcut_error));
	inw_json__put(&b, o, "matter_closure", inw_json__real(r->matter_closure));
	inw_json__put(&b, o, "verdicts", verdicts);
	inw_json__put(&b, o, "gases", gases);
	inw_json__put(&b, o, "beds", inw_json__beds(&b, r->beds, r->bed_count));
	inw_json__put(&b, o, "series", inw_json__series(&b, &r->series));
	inw_json__put(&b, o, "notes", inw_json__strings(&b, r->notes, r->note_count));
	inw_json__put(&b, o, "cautions", inw_json__strings(&b, r->cautions, r->caution_count));
	return inw_json__write(&b, o);
}
