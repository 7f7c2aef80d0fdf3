/* SPDX-License-Identifier: MIT */
/* several.c: designs side by side, and one design over a range of its numbers. Designs of their own, since a study is for one
 * thread at a time and the same text may stand on both sides. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "design/read.h"
#include "serve/api.h"

enum { MOST_DESIGNS = 6, MOST_NAME = 128, MOST_OF = 16 };

static struct serve_reply *bad(const char *what)
{
	return serve_trouble(400, "bad_request", what);
}

static struct serve_reply *shown(char *text)
{
	return serve_text_reply(serve_json_type, text);
}

/* ---- side by side ------------------------------------------------------------------------------------------------ */

struct several {
	struct inw_design *d[MOST_DESIGNS];
	struct inw_report *r[MOST_DESIGNS];
	size_t count;
};

static struct serve_reply *judge_one(struct serve_ask *a, const json_t *o, struct several *all)
{
	struct inw_diags diags = {0};
	const json_t *name = json_object_get(o, "name"), *text = json_object_get(o, "text");
	const char *called = name ? json_string_value(name) : a->desk->name;
	if (!json_is_object(o) || !called || !*called || strlen(called) > MOST_NAME || (text && !json_is_string(text)))
		return bad("each of 'designs' is an object with 'name' and 'text', both texts");
	size_t i = all->count++;
	enum inw_status s = inw_shelf_parse(a->desk->shelf, text ? json_string_value(text) : a->text.bytes,
	                                    text ? json_string_length(text) : a->text.length, called, &all->d[i], &diags);
	if (s == INW_OK)
		s = inw_check_by(all->d[i], 0, &all->r[i], &diags);
	struct serve_reply *r = s == INW_OK ? NULL : serve_status_trouble(s, &diags);
	inw_diags_free(&diags);
	return r;
}

static struct serve_reply *compare_all(const struct several *all)
{
	struct inw_comparison *c = NULL;
	struct inw_diags diags = {0};
	const struct inw_report *reports[MOST_DESIGNS];
	for (size_t i = 0; i < all->count; i++)
		reports[i] = all->r[i];
	enum inw_status s = inw_compare(reports, all->count, &c, &diags);
	struct serve_reply *r = s == INW_OK ? shown(inw_show_comparison_json(c)) : serve_status_trouble(s, &diags);
	inw_comparison_free(c);
	inw_diags_free(&diags);
	return r;
}

struct serve_reply *serve_compare(struct serve_ask *a)
{
	struct several all = {.count = 0};
	struct serve_reply *r = NULL;
	const json_t *list = json_object_get(a->sent, "designs");
	size_t n = json_array_size(list);
	if (n < 2 || n > MOST_DESIGNS)
		return bad("'designs' must be a list of 2 to 6");
	for (size_t i = 0; i < n && !r; i++)
		r = a->q->visit.gone(a->q->visit.context) ? serve_status_trouble(INW_IO, NULL) : judge_one(a, json_array_get(list, i), &all);
	if (!r)
		r = compare_all(&all);
	for (size_t i = 0; i < all.count; i++) {
		inw_report_free(all.r[i]);
		inw_design_free(all.d[i]);
	}
	return r;
}

/* ---- maps -------------------------------------------------------------------------------------------------------- */

/* A number, or NAN when it is left out; false when it is something else. */
static bool number_or_none(const json_t *o, const char *name, double *out)
{
	const json_t *n = json_object_get(o, name);
	*out = n ? json_number_value(n) : NAN;
	return !n || json_is_number(n);
}

static bool read_axis(const json_t *o, struct inw_map_axis_options *axis)
{
	const json_t *points = json_object_get(o, "points");
	*axis = (struct inw_map_axis_options){.name = json_string_value(json_object_get(o, "name"))};
	if (!axis->name || !number_or_none(o, "from", &axis->from) || !number_or_none(o, "to", &axis->to) ||
	    (points && (!json_is_integer(points) || json_integer_value(points) < 3 || json_integer_value(points) > 201)))
		return false;
	axis->points = points ? (size_t)json_integer_value(points) : 0;
	return true;
}

static struct serve_reply *read_map(const struct serve_ask *a, struct inw_map_options *o, const char *of[MOST_OF])
{
	const json_t *axes = json_object_get(a->sent, "axes"), *ids = json_object_get(a->sent, "of");
	o->axes = json_array_size(axes);
	o->of_count = json_array_size(ids);
	if (o->axes < 1 || o->axes > 2 || (ids && !json_is_array(ids)) || o->of_count > MOST_OF)
		return bad("'axes' must be a list of one or two, 'of' a list of ids of verdicts, 16 at the most");
	for (size_t i = 0; i < o->axes; i++)
		if (!read_axis(json_array_get(axes, i), &o->axis[i]))
			return bad("an axis has a 'name', numbers 'from' and 'to' in SI, and 3 to 201 'points'");
	for (size_t i = 0; i < o->of_count; i++)
		if (!(of[i] = json_string_value(json_array_get(ids, i))))
			return bad("'of' is a list of ids of verdicts");
	o->of = of;
	o->sure = json_is_true(json_object_get(a->sent, "sure"));
	return NULL;
}

typedef struct serve_reply *show_map(const struct serve_ask *a, const struct inw_map *map);

static struct serve_reply *run_map(const struct serve_ask *a, const struct inw_design *d, show_map *show)
{
	struct serve_visit visit = a->q->visit;
	struct inw_map_options options = {.stop = serve_has_gone, .context = &visit};
	const char *of[MOST_OF];
	struct inw_map *map = NULL;
	struct inw_diags diags = {0};
	struct serve_reply *r = read_map(a, &options, of);
	if (r)
		return r;
	enum inw_status s = inw_map(d, &options, &map, &diags);
	r = s == INW_OK ? show(a, map) : serve_status_trouble(s, &diags);
	inw_map_free(map);
	inw_diags_free(&diags);
	return r;
}

static struct serve_reply *map_json(const struct serve_ask *a, const struct inw_map *map)
{
	(void)a;
	return shown(inw_show_map_json(map));
}

static struct serve_reply *map_svg(const struct serve_ask *a, const struct inw_map *map)
{
	return serve_text_reply(serve_svg_type, inw_show_map_picture_svg(map, a->units));
}

static struct serve_reply *run_map_json(const struct serve_ask *a, const struct inw_design *d)
{
	return run_map(a, d, map_json);
}

static struct serve_reply *run_map_svg(const struct serve_ask *a, const struct inw_design *d)
{
	return run_map(a, d, map_svg);
}

struct serve_reply *serve_map(struct serve_ask *a)
{
	return serve_on_design(a, run_map_json);
}

struct serve_reply *serve_map_svg(struct serve_ask *a)
{
	return serve_on_design(a, run_map_svg);
}
