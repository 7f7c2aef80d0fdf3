/* SPDX-License-Identifier: MIT */
/* The day: from when to when it is followed, the weather, and what is done beside the jobs. */
#include "design/read.h"

#include <math.h>
#include <string.h>

enum { MOST_WEATHERS = 200, MOST_DOINGS = 200 };

/* Shorter than a minute nothing happens that the model follows; longer than a month nobody writes by the clock. */
static const struct inw_bounds span_range = { 60, 31 * 86400.0, false, "between a minute and 31 days" };
static const struct inw_bounds lasts_range = { 0, 31 * 86400.0, true, "more than zero and less than 31 days" };

static const struct inw_bounds sizes_range = { INW_SIZES_LEAST, INW_SIZES_MOST, false, "between 2 and 64" };

static const struct inw_field day_fields[] = {
	INW_Q("start", struct inw_day, start, CLOCK, .fallback = "day.start"),
	INW_Q("span", struct inw_day, span, TIME, .fallback = "day.span", .bounds = &span_range),
	INW_ANY("weekday", INW_OPTIONAL),
	{ .key = "particle_sizes", .kind = INW_FIELD_WHOLE, .offset = offsetof(struct inw_day, particle_sizes), .bounds = &sizes_range },
	INW_LIST("outdoor", MOST_WEATHERS, INW_OPTIONAL),
	INW_LIST("doings", MOST_DOINGS, INW_OPTIONAL),
};
static const struct inw_schema day_schema = INW_SCHEMA("day", day_fields);

/* ---- weekdays ---- */

const char *const inw_weekday_words[7] = { "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday" };

/* The whole word or its first three letters; 7 for none. */
static int weekday(const struct inw_node *n)
{
	int k = 0;

	while (n->kind == INW_NODE_SCALAR && k < 7 && strcmp(n->text, inw_weekday_words[k]) != 0 &&
	       !(n->length == 3 && strncmp(n->text, inw_weekday_words[k], 3) == 0))
		k++;
	return n->kind == INW_NODE_SCALAR ? k : 7;
}

unsigned char inw_read_days(struct inw_reader *r, const struct inw_node *map, const char *path)
{
	const struct inw_node *list = inw_list_at(map, "days");
	unsigned days = 0;

	if (!list)
		return INW_EVERY_DAY;
	if (!list->count)
		inw_fault(r, list, "%s.days names no day: leave it out for every day", path);
	for (size_t i = 0; i < list->count && i < 7; i++) {
		int k = weekday(list->item[i]);

		if (k < 7)
			days |= 1u << k;
		else if (list->item[i]->kind == INW_NODE_SCALAR)
			inw_fault_word(r, list->item[i], "unknown weekday", inw_weekday_words, 7);
		else
			inw_fault(r, list->item[i], "%s.days must be a list of weekdays, such as [monday, thursday]", path);
	}
	return (unsigned char)days;
}

static void read_weekday(struct inw_reader *r, const struct inw_node *map)
{
	const struct inw_node *n = map ? inw_node_get(map, "weekday") : NULL;
	int k = n ? weekday(n) : 0;

	if (k == 7 && n->kind == INW_NODE_SCALAR)
		inw_fault_word(r, n, "unknown weekday", inw_weekday_words, 7);
	else if (k == 7)
		inw_fault(r, n, "day.weekday must be a single weekday");
	r->d->day.weekday = k % 7;
	r->d->day.weekday_said = n != NULL;
}

/* ---- weather ---- */

static void read_weather(struct inw_reader *r, const struct inw_node *pair, size_t i, struct inw_weather *out)
{
	const char *path = inw_say(r, "day.outdoor[%zu]", i + 1);

	out->at = out->T = INW_NONE;
	if (pair->kind != INW_NODE_LIST || pair->count != 2) {
		inw_fault(r, pair, "%s must be a list of a time of day and a temperature, such as [\"06:00\", 1 degC]",
			  path);
		return;
	}
	out->at = inw_quantity_read(r, pair->item[0], INW_DIM_CLOCK, inw_say(r, "%s.at", path));
	out->T = inw_quantity_read(r, pair->item[1], INW_DIM_TEMPERATURE, inw_say(r, "%s.temperature", path));
	out->T = inw_check_bounds(r, out->T, &inw_room_range);
}

static void read_outdoor(struct inw_reader *r, const struct inw_node *list)
{
	struct inw_day *day = &r->d->day;
	size_t count = !list ? 0 : list->count < MOST_WEATHERS ? list->count : MOST_WEATHERS;

	day->weather = inw_take(r, count, sizeof(*day->weather));
	if (!day->weather)
		return;
	for (size_t i = 0; i < count; i++) {
		struct inw_weather *w = &day->weather[i];

		read_weather(r, list->item[i], i, w);
		day->weathers = i + 1;
		/* over the whole ranges, as the flows of a blower's curve */
		if (i && inw_high(r, w[-1].at) >= inw_low(r, w->at))
			inw_fault_q(r, w->at,
				    "day.outdoor: the times must increase from point to point; %s comes after %s",
				    inw_shown(r, w->at), inw_shown(r, w[-1].at));
	}
}

/* ---- doings ---- */

static const char *const kind_words[] = { "door", "flap", "speed", "window", "heater" }; /* as enum inw_doing_kind */

static const struct inw_field doing_fields[] = {
	INW_Q("at", struct inw_doing, at, CLOCK, INW_NEEDED),
	INW_LIST("days", 7, INW_OPTIONAL),
	INW_Q("for", struct inw_doing, lasts, TIME, .bounds = &lasts_range),
	INW_ANY("door", INW_OPTIONAL),
	INW_ANY("flap", INW_OPTIONAL),
	INW_ANY("speed", INW_OPTIONAL),
	INW_ANY("window", INW_OPTIONAL),
	INW_ANY("width", INW_OPTIONAL),
	INW_ANY("heater", INW_OPTIONAL),
};
static const struct inw_schema doing_schema = INW_SCHEMA("a doing", doing_fields);

static const struct inw_field flap_fields[] = {
	INW_Q("flap", struct inw_doing, to, FRACTION, .bounds = &inw_share),
};
/* A blower may be switched off, but not be built so. */
static const struct inw_bounds off_or_speed = { 0, 1.5, false, "between 0 % (off) and 150 % of the rated speed" };
static const struct inw_field speed_fields[] = {
	INW_Q("speed", struct inw_doing, to, FRACTION, .bounds = &off_or_speed),
};
static const struct inw_field width_fields[] = {
	INW_Q("width", struct inw_doing, to, LENGTH, INW_NEEDED, .bounds = &inw_not_negative),
};
static const struct inw_field heater_fields[] = {
	INW_Q("heater", struct inw_doing, to, TEMPERATURE, .bounds = &inw_chamber_range),
};
static const struct inw_schema to_schema[] = { /* by enum inw_doing_kind; the door has no value */
	[INW_DO_FLAP] = INW_PART("a doing", flap_fields),
	[INW_DO_SPEED] = INW_PART("a doing", speed_fields),
	[INW_DO_WINDOW] = INW_PART("a doing", width_fields),
	[INW_DO_HEATER] = INW_PART("a doing", heater_fields),
};

/* Whether there is what the doing works on. Says why not. */
static bool has_object(struct inw_reader *r, const struct inw_node *at, const char *path, enum inw_doing_kind kind)
{
	const struct inw_design *d = r->d;
	const char *lacks = NULL;

	if (kind == INW_DO_DOOR && !d->box.has_door)
		lacks = "the box has no 'door'";
	else if (kind == INW_DO_FLAP && !(d->cleaner.present && d->cleaner.split == INW_SPLIT_FLAP))
		lacks = "the cleaner has no flap ('split: {flap: {...}}')";
	else if (kind == INW_DO_SPEED && !d->cleaner.present)
		lacks = "there is no 'cleaner'";
	else if (kind == INW_DO_WINDOW && !d->doorways)
		lacks = "there are no 'doorways'";
	else if (kind == INW_DO_HEATER && !(inw_best(r, d->heat.heater_power) > 0))
		lacks = "there is no heater ('heat: {heater: {power, target}}')";
	if (lacks)
		inw_fault(r, at, "%s: %s", path, lacks);
	return !lacks;
}

static int doorway_index(struct inw_reader *r, const struct inw_node *n)
{
	const struct inw_design *d = r->d;
	const char **names = inw_take(r, d->doorways, sizeof(*names));

	if (!names)
		return -1;
	if (n->kind != INW_NODE_SCALAR || !n->length) {
		inw_fault(r, n, "a doorway must be named by a single word");
		return -1;
	}
	for (size_t i = 0; i < d->doorways; i++) {
		names[i] = d->doorway[i].name;
		if (strcmp(names[i], n->text) == 0)
			return (int)i;
	}
	inw_fault_word(r, n, "unknown doorway", names, d->doorways);
	return -1;
}

/* The one of the five that the doing names, or -1 after a fault. */
static int kind_of(struct inw_reader *r, const struct inw_node *map, const char *path)
{
	size_t given = 0;
	int kind = -1;

	for (size_t k = 0; k < INW_COUNT(kind_words); k++) {
		if (!inw_node_get(map, kind_words[k]))
			continue;
		kind = (int)k;
		given++;
	}
	if (given == 1)
		return kind;
	for (size_t i = 0; i < map->count; i++) /* has been reported with the right word */
		if (!given && inw_nearest_word(map->key[i]->text, kind_words, INW_COUNT(kind_words)))
			return -1;
	inw_fault(r, map, "%s must have exactly one of 'door', 'flap', 'speed', 'window' and 'heater', found %zu", path,
		  given);
	return -1;
}

static void read_object(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_doing *out)
{
	const struct inw_node *n = inw_node_get(map, kind_words[out->kind]), *width = inw_node_get(map, "width");

	if (!has_object(r, n, path, out->kind))
		return;
	if (width && out->kind != INW_DO_WINDOW)
		inw_fault(r, width, "%s: 'width' goes with 'window' only", path);
	if (out->kind == INW_DO_DOOR) {
		if (n->kind != INW_NODE_SCALAR || strcmp(n->text, "open") != 0)
			inw_fault(r, n, "%s.door must be 'open'; 'for' says when it is shut again", path);
		return;
	}
	if (out->kind == INW_DO_WINDOW)
		out->doorway = doorway_index(r, n);
	inw_schema_walk(r, map, &to_schema[out->kind], path, out);
	if (out->kind == INW_DO_SPEED && inw_high(r, out->to) > 1)
		inw_warn_q(r, out->to,
			   "%s.speed: above 100 %% of the rated speed the fan law carries the curve where nobody "
			   "measured it, and the motor may not follow",
			   path);
}

/* A time of day that the followed span does not reach. */
static void check_reached(struct inw_reader *r, size_t i)
{
	const struct inw_day *day = &r->d->day;
	const struct inw_doing *out = &day->doing[i];
	double after = fmod(inw_best(r, out->at) - inw_best(r, day->start) + 86400, 86400);

	if (out->days == INW_EVERY_DAY && after >= inw_best(r, day->span)) /* on some days only: `inward life` follows a week */
		inw_warn_q(r, out->at, "day.doings[%zu] is at %s, which 'day' (%s from %s) does not reach: it never happens", i + 1,
			   inw_shown(r, out->at), inw_shown(r, day->span), inw_shown(r, day->start));
}

static void read_doing(struct inw_reader *r, const struct inw_node *map, size_t i, struct inw_doing *out)
{
	const char *path = inw_say(r, "day.doings[%zu]", i + 1);
	int kind;

	out->at = out->lasts = out->to = INW_NONE;
	out->doorway = -1;
	out->place = (struct inw_place){ map->line, map->column };
	out->days = inw_read_days(r, map, path);
	inw_schema_walk(r, map, &doing_schema, path, out);
	if (map->kind != INW_NODE_MAP)
		return;
	kind = kind_of(r, map, path);
	if (kind < 0)
		return;
	out->kind = (enum inw_doing_kind)kind;
	read_object(r, map, path, out);
}

static void read_doings(struct inw_reader *r, const struct inw_node *list)
{
	struct inw_day *day = &r->d->day;
	size_t count = !list ? 0 : list->count < MOST_DOINGS ? list->count : MOST_DOINGS;

	day->doing = inw_take(r, count, sizeof(*day->doing));
	for (size_t i = 0; day->doing && i < count; i++) {
		read_doing(r, list->item[i], i, &day->doing[i]);
		day->doings = i + 1;
	}
}

void inw_read_day(struct inw_reader *r, const struct inw_node *root)
{
	const struct inw_node *map = inw_map_at(root, "day");

	r->d->day.particle_sizes = INW_SIZES_USUAL;
	inw_schema_walk(r, map, &day_schema, "day", &r->d->day);
	read_weekday(r, map);
	read_outdoor(r, inw_list_at(map, "outdoor"));
	read_doings(r, inw_list_at(map, "doings"));
	inw_day_settle(r);
	for (size_t i = 0; i < r->d->day.doings; i++)
		check_reached(r, i);
}
