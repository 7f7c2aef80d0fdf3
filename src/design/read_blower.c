/* SPDX-License-Identifier: MIT */
#include "design/read.h"

#include <math.h>
#include <string.h>

static const struct inw_field fields[] = {
	INW_TEXT("title", struct inw_blower_class, title, INW_OPTIONAL),
	INW_LIST("also", 32, INW_OPTIONAL),
	INW_LIST("curve", INW_MOST_POINTS, INW_OPTIONAL),
	INW_ANY("free_delivery", INW_OPTIONAL),
	INW_ANY("shut_off", INW_OPTIONAL),
	INW_ANY("shape", INW_OPTIONAL),
	INW_FLAG("forward_curved", struct inw_blower_class, forward_curved),
	INW_Q("power", struct inw_blower_class, power, POWER, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("idle_power", struct inw_blower_class, idle_power, POWER, .fallback = "blower.idle_power",
	      .bounds = &inw_not_negative),
	INW_Q("sound", struct inw_blower_class, sound, SOUND, INW_OPTIONAL),
	INW_Q("density", struct inw_blower_class, density, DENSITY, .fallback = "blower.density",
	      .bounds = &inw_positive),
};
static const struct inw_schema record_schema = INW_SCHEMA("a blower", fields);
static const struct inw_schema stage_schema = INW_PART("a blower", fields); /* read_cleaner.c checks a stage's keys */

static bool take_points(struct inw_reader *r, struct inw_blower_class *out, size_t points)
{
	out->flow = inw_take(r, points, sizeof(inw_q));
	out->rise = inw_take(r, points, sizeof(inw_q));
	if (!out->flow || !out->rise)
		return false;
	out->points = points;
	for (size_t i = 0; i < points; i++)
		out->flow[i] = out->rise[i] = INW_NONE;
	return true;
}

/* Over the whole ranges: a curve whose flows may change places is no curve. */
static void check_curve(struct inw_reader *r, const struct inw_node *at, const char *path,
			const struct inw_blower_class *b)
{
	size_t last = b->points - 1;

	for (size_t i = 1; i < b->points; i++)
		if (inw_high(r, b->flow[i - 1]) >= inw_low(r, b->flow[i]))
			inw_fault_q(r, b->flow[i], "%s.curve: the flows must increase from point to point", path);
	if (inw_best(r, b->rise[last]) >= inw_best(r, b->rise[0]))
		inw_fault(r, at, "%s.curve must end at a lower pressure than it starts with", path);
}

static void read_curve(struct inw_reader *r, const struct inw_node *list, const char *path,
		       struct inw_blower_class *out)
{
	if (list->count < 2 || list->count > INW_MOST_POINTS) {
		inw_fault(r, list, "%s.curve needs from 2 to %d points", path, INW_MOST_POINTS);
		return;
	}
	if (!take_points(r, out, list->count))
		return;
	for (size_t i = 0; i < list->count; i++) {
		const struct inw_node *pair = list->item[i];

		if (pair->kind != INW_NODE_LIST || pair->count != 2) {
			inw_fault(r, pair, "%s.curve: each point must be a list of flow and pressure", path);
			continue;
		}
		out->flow[i] = inw_quantity_read(r, pair->item[0], INW_DIM_VOLUME_FLOW,
						 inw_say(r, "%s.curve[%zu].flow", path, i + 1));
		out->rise[i] = inw_quantity_read(r, pair->item[1], INW_DIM_PRESSURE,
						 inw_say(r, "%s.curve[%zu].rise", path, i + 1));
		out->flow[i] = inw_check_bounds(r, out->flow[i], &inw_not_negative);
		out->rise[i] = inw_check_bounds(r, out->rise[i], &inw_not_negative);
	}
	check_curve(r, list, path, out);
	out->flow_factor = inw_quantity_fixed(r, inw_say(r, "%s.flow_factor", path), INW_DIM_NONE, 1,
					      "the curve is given by its points");
	out->rise_factor = inw_quantity_fixed(r, inw_say(r, "%s.rise_factor", path), INW_DIM_NONE, 1,
					      "the curve is given by its points");
}

/* ---- a shape between free delivery and shut-off ---- */

struct shape { double flow[INW_MOST_POINTS], rise[INW_MOST_POINTS]; size_t count; };

static bool shape_numbers(struct inw_reader *r, const struct inw_record *record, const char *key, double *out,
			  size_t *count)
{
	const struct inw_node *list = inw_list_at(record->node, key);

	if (!list || list->count < 2 || list->count > INW_MOST_POINTS) {
		inw_fault(r, list ? list : record->node, "shapes[%s] needs '%s', a list of 2 to %d numbers",
			  record->name, key, INW_MOST_POINTS);
		return false;
	}
	*count = list->count;
	for (size_t i = 0; i < list->count; i++) {
		out[i] = inw_plain_number(r, list->item[i], INW_DIM_NONE, key);
		if (isnan(out[i]))
			return false;
		if (out[i] < 0) {
			inw_fault(r, list->item[i], "shapes[%s].%s must not be negative", record->name, key);
			return false;
		}
	}
	return true;
}

static bool read_shape(struct inw_reader *r, const struct inw_record *record, struct shape *out)
{
	const struct inw_text_file *walked = r->file;
	size_t rises = 0;
	bool fine;

	r->file = record->file;
	fine = shape_numbers(r, record, "flow", out->flow, &out->count) &&
	       shape_numbers(r, record, "rise", out->rise, &rises);
	if (fine && rises != out->count) {
		inw_fault(r, record->node, "shapes[%s]: 'flow' and 'rise' must have the same number of points",
			  record->name);
		fine = false;
	}
	for (size_t i = 1; fine && i < out->count; i++) {
		if (out->flow[i] <= out->flow[i - 1]) {
			inw_fault(r, record->node, "shapes[%s]: 'flow' must increase", record->name);
			fine = false;
		}
	}
	r->file = walked;
	return fine;
}

static inw_q scaled(struct inw_reader *r, inw_q whole, double share, const char *path, const char *how)
{
	struct inw_quantity q;

	if (whole < 0)
		return INW_NONE;
	q = r->d->quantity[whole];
	q.path = path;
	q.value *= share;
	q.low = q.high = q.value; /* the spread of the whole curve is in its factors */
	q.origin = q.origin == INW_FROM_FILE ? INW_DERIVED : q.origin;
	q.source = how;
	return inw_quantity_add(r, &q);
}

static inw_q spread(struct inw_reader *r, inw_q whole, const char *path)
{
	struct inw_quantity q;

	if (whole < 0)
		return INW_NONE;
	q = r->d->quantity[whole];
	q.path = path;
	q.dim = INW_DIM_NONE;
	q.low /= q.value;
	q.high /= q.value;
	q.value = 1;
	q.source = inw_say(r, "the range of %s", r->d->quantity[whole].path);
	return inw_quantity_add(r, &q);
}

static void apply_shape(struct inw_reader *r, const struct inw_record *record, const char *path,
			struct inw_blower_class *out, const inw_q ends[2])
{
	enum inw_basis basis;
	const struct inw_text_file *walked = r->file;
	struct shape shape;
	const char *how;

	if (!read_shape(r, record, &shape) || !take_points(r, out, shape.count))
		return;
	r->file = record->file;
	how = inw_say(r, "shape '%s' between free delivery and shut-off: %s", record->name,
		      inw_citation(r, record->node, &basis));
	r->file = walked;
	for (size_t i = 0; i < shape.count; i++) {
		out->flow[i] = scaled(r, ends[0], shape.flow[i], inw_say(r, "%s.curve[%zu].flow", path, i + 1), how);
		out->rise[i] = scaled(r, ends[1], shape.rise[i], inw_say(r, "%s.curve[%zu].rise", path, i + 1), how);
	}
	out->flow_factor = spread(r, ends[0], inw_say(r, "%s.flow_factor", path));
	out->rise_factor = spread(r, ends[1], inw_say(r, "%s.rise_factor", path));
	if (strcmp(record->name, "forward curved") == 0)
		out->forward_curved = true;
}

static inw_q read_end(struct inw_reader *r, const struct inw_node *map, const char *path, const char *key,
		      enum inw_dim dim)
{
	const struct inw_node *n = inw_node_get(map, key);
	inw_q q;

	if (!n)
		return INW_NONE;
	q = inw_quantity_read(r, n, dim, inw_say(r, "%s.%s", path, key));
	return inw_check_bounds(r, q, &inw_positive);
}

static void read_shaped(struct inw_reader *r, const struct inw_node *map, const char *path,
			struct inw_blower_class *out)
{
	static const char *const needed[] = { "free_delivery", "shut_off", "shape" };
	const struct inw_node *shape = inw_node_get(map, "shape");
	const char *missing = "";
	inw_q ends[2];
	int index;

	ends[0] = read_end(r, map, path, "free_delivery", INW_DIM_VOLUME_FLOW);
	ends[1] = read_end(r, map, path, "shut_off", INW_DIM_PRESSURE);
	for (size_t i = 0; i < INW_COUNT(needed); i++)
		if (!inw_node_get(map, needed[i]))
			missing = inw_say(r, "%s%s'%s'", missing, *missing ? ", " : "", needed[i]);
	if (*missing)
		inw_fault(r, map, "%s needs 'curve', or 'free_delivery', 'shut_off' and 'shape'; there is no %s", path,
			  missing);
	if (!shape)
		return;
	index = inw_record_index(r, INW_SHAPES, shape, "shape of a blower's curve");
	if (index >= 0 && inw_best(r, ends[0]) > 0 && inw_best(r, ends[1]) > 0)
		apply_shape(r, &r->records[INW_SHAPES].item[index], path, out, ends);
}

void inw_read_blower_class(struct inw_reader *r, const struct inw_node *map, const char *path, bool in_stage,
                            struct inw_blower_class *out)
{
	const struct inw_node *curve;

	out->flow_factor = out->rise_factor = INW_NONE;
	inw_schema_walk(r, map, in_stage ? &stage_schema : &record_schema, path, out);
	if (map->kind != INW_NODE_MAP)
		return;
	curve = inw_node_get(map, "curve");
	if (!curve)
		read_shaped(r, map, path, out);
	else if (curve->kind == INW_NODE_LIST)
		read_curve(r, curve, path, out);
	if (inw_best(r, out->idle_power) >= inw_best(r, out->power))
		inw_fault(r, map, "%s: idle_power (%s) must be below power (%s)", path, inw_shown(r, out->idle_power),
			  inw_shown(r, out->power));
}
