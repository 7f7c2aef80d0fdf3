/* SPDX-License-Identifier: MIT */
/* The site, the rooms, what joins them, and who is in them. */
#include "design/read.h"

#include <math.h>
#include <string.h>

/* ---- site ---- */

struct site_written { inw_q altitude, pressure; };
static const struct inw_field site_fields[] = {
	INW_Q("altitude", struct site_written, altitude, LENGTH, .bounds = &inw_altitude_range),
	INW_Q("pressure", struct site_written, pressure, PRESSURE, .bounds = &inw_pressure_range),
	INW_MAP("outdoor", INW_OPTIONAL),
	INW_ANY("gust", INW_OPTIONAL),
};
static const struct inw_schema site_schema = INW_SCHEMA("site", site_fields);

static const struct inw_field outdoor_fields[] = {
	INW_Q("temperature", struct inw_site, T_out, TEMPERATURE, .fallback = "site.outdoor.temperature",
	      .bounds = &inw_room_range),
	INW_Q("humidity", struct inw_site, rh_out, FRACTION, .fallback = "site.outdoor.humidity", .bounds = &inw_share),
};
static const struct inw_schema outdoor_schema = INW_SCHEMA("site.outdoor", outdoor_fields);

static const struct inw_field gust_fields[] = {
	INW_Q("gust", struct inw_site, gust, PRESSURE, .fallback = "site.gust", .bounds = &inw_not_negative),
};
static const struct inw_schema gust_schema = INW_PART("site", gust_fields);

/* Standard atmosphere below 11 km, ISO 2533:1975: 101325 Pa and 288.15 K at sea level, 6.5 K for each geopotential km,
 * g 9.80665 m/s2, R 287.05287 J/(kg K), radius of the earth 6356766 m. The same as inw_air_pressure_at_altitude_Pa;
 * here because an altitude is one of two ways to write a pressure, and reading knows no physics. */
static double pressure_of_altitude(const double *x)
{
	double geopotential_m = 6356766 * x[0] / (6356766 + x[0]);

	return 101325 * pow(1 - 0.0065 * geopotential_m / 288.15, 9.80665 / (0.0065 * 287.05287));
}

static inw_q site_pressure(struct inw_reader *r, const struct inw_node *site, const struct site_written *written)
{
	struct inw_derivation how = {
		.path = "site.pressure", .how = "standard atmosphere, ISO 2533:1975", .dim = INW_DIM_PRESSURE,
		.f = pressure_of_altitude, .from = { written->altitude }, .count = 1,
	};

	if (site && inw_node_get(site, "pressure"))
		return written->pressure;
	if (!site || !inw_node_get(site, "altitude"))
		how.from[0] = inw_check_bounds(r,
			inw_quantity_default(r, "site.altitude", INW_DIM_LENGTH, "site.altitude"),
			&inw_altitude_range);
	return inw_quantity_derive(r, &how);
}

void inw_read_site(struct inw_reader *r, const struct inw_node *root)
{
	const struct inw_node *site = inw_map_at(root, "site");
	struct site_written written = { INW_NONE, INW_NONE };

	inw_schema_walk(r, site, &site_schema, "site", &written);
	inw_schema_walk(r, site, &gust_schema, "site", &r->d->site);
	inw_schema_walk(r, inw_map_at(site, "outdoor"), &outdoor_schema, "site.outdoor", &r->d->site);
	if (site && inw_node_get(site, "altitude") && inw_node_get(site, "pressure"))
		inw_fault(r, inw_node_get(site, "pressure"), "give site.altitude or site.pressure, not both");
	r->d->site.pressure = site_pressure(r, site, &written);
}

/* ---- leaks by the power law ---- */

struct leak { inw_q area, flow, at, exponent; };
static const struct inw_field leak_fields[] = {
	INW_Q("area", struct leak, area, AREA, .bounds = &inw_positive),
	INW_Q("flow", struct leak, flow, VOLUME_FLOW, .bounds = &inw_positive),
	INW_Q("at", struct leak, at, PRESSURE, .bounds = &inw_positive),
	INW_Q("exponent", struct leak, exponent, NONE, .bounds = &inw_exponent_range),
};
static const struct inw_schema leak_schema = INW_SCHEMA("a leak", leak_fields);
static const struct inw_schema gap_leak_schema = INW_PART("a measured gap", leak_fields);

/* C = Q / dp^n */
static double C_of_flow(const double *x)
{
	return x[0] / pow(x[1], x[2]);
}

/* Effective leakage area, ASTM E779: the flow at 4 Pa through a sharp opening of that area with discharge coefficient
 * 1, at 1.2041 kg/m3 (air at 20 degC and 101325 Pa). */
static double C_of_area(const double *x)
{
	return x[0] * sqrt(2 * 4 / 1.2041) / pow(4, x[1]);
}

static bool leak_is_whole(struct inw_reader *r, const struct inw_node *map, const char *path, const struct leak *leak)
{
	const struct inw_node *area = inw_node_get(map, "area"), *flow = inw_node_get(map, "flow"),
			      *at = inw_node_get(map, "at");

	if (area && (flow || at)) {
		inw_fault(r, area, "%s: give 'area' (at 4 Pa), or 'flow' and 'at', not both", path);
		return false;
	}
	if (!area && !(flow && at)) {
		inw_fault(r, map, "%s needs 'area', or 'flow' and 'at'", path);
		return false;
	}
	return area ? leak->area >= 0 : leak->flow >= 0 && leak->at >= 0;
}

void inw_read_leak(struct inw_reader *r, const struct inw_node *map, const char *path, const char *defaults, inw_q *C,
		   inw_q *n)
{
	bool in_gap = map && map->kind == INW_NODE_MAP && inw_node_get(map, "kind"); /* read_box.c checks its keys */
	struct leak leak = { INW_NONE, INW_NONE, INW_NONE, INW_NONE };
	struct inw_derivation how = { .path = inw_say(r, "%s.C", path), .dim = INW_DIM_VOLUME_FLOW };

	*C = *n = INW_NONE;
	inw_schema_walk(r, map, in_gap ? &gap_leak_schema : &leak_schema, path, &leak);
	if (!map || (map->kind == INW_NODE_MAP && !inw_node_get(map, "exponent")))
		leak.exponent = inw_check_bounds(r,
			inw_quantity_default(r, inw_say(r, "%s.exponent", defaults), INW_DIM_NONE, inw_say(r, "%s.exponent", path)),
			&inw_exponent_range);
	if (map && (map->kind != INW_NODE_MAP || !leak_is_whole(r, map, path, &leak)))
		return;
	*n = leak.exponent;
	if (!map) /* by the floor of its room */
		return;
	if (leak.area >= 0)
		how = (struct inw_derivation){
			how.path,
			"area x sqrt(2 x 4 Pa / 1.2041 kg/m3) / 4^n (ASTM E779): the flow at 1 Pa",
			INW_DIM_VOLUME_FLOW,
			C_of_area,
			{leak.area, leak.exponent},
			2};
	else
		how = (struct inw_derivation){ how.path, "flow / pressure^n: the flow at 1 Pa",
			INW_DIM_VOLUME_FLOW, C_of_flow, { leak.flow, leak.at, leak.exponent }, 3 };
	*C = leak.area < 0 && leak.flow < 0 ? INW_NONE : inw_quantity_derive(r, &how);
}

/* The same, of a room of whose leaks nothing is said: they go with its floor. */
static double C_of_floor(const double *x)
{
	const double area_and_exponent[] = { x[0] * x[1], x[2] };

	return C_of_area(area_and_exponent);
}

static inw_q leak_by_floor(struct inw_reader *r, const char *path, const struct inw_room *room)
{
	struct inw_derivation how = {inw_say(r, "%s.C", path),
				     "floor x share x sqrt(2 x 4 Pa / 1.2041 kg/m3) / 4^n (ASTM E779): the flow at 1 Pa",
				     INW_DIM_VOLUME_FLOW,
				     C_of_floor,
				     {room->floor, INW_NONE, room->leak_n},
				     3};

	how.from[1] = inw_check_bounds(r,
		inw_quantity_default(r, "rooms.leakage.share_of_floor", INW_DIM_FRACTION, inw_say(r, "%s.share_of_floor", path)),
		&inw_share_open);
	return inw_quantity_derive(r, &how);
}

/* ---- rooms ---- */

static const struct inw_field room_fields[] = {
	INW_ANY("name", INW_NEEDED),
	INW_Q("floor", struct inw_room, floor, AREA, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("height", struct inw_room, height, LENGTH, .fallback = "rooms.height", .bounds = &inw_positive),
	INW_ANY("temperature", INW_OPTIONAL),
	INW_Q("humidity", struct inw_room, rh, FRACTION, .fallback = "rooms.humidity", .bounds = &inw_share),
	INW_Q("heat_loss", struct inw_room, heat_loss, CONDUCTANCE, .bounds = &inw_not_negative), /* else by its surface */
	INW_Q("air_changes", struct inw_room, air_changes, RATE, .fallback = "rooms.air_changes",
	      .bounds = &inw_not_negative),
	INW_MAP("leakage", INW_OPTIONAL),
	INW_Q("capacity", struct inw_room, capacity, HEAT_CAPACITY, .bounds = &inw_positive), /* else by its floor */
	INW_Q("absorption", struct inw_room, absorption, FRACTION, .fallback = "rooms.absorption",
	      .bounds = &inw_share_open),
	INW_Q("particles_in", struct inw_room, particles_in, NUMBER_CONCENTRATION, .fallback = "rooms.particles_in",
	      .may_lack = true, .bounds = &inw_not_negative),
	INW_Q("dust", struct inw_room, dust, CONCENTRATION, .fallback = "rooms.dust", .bounds = &inw_not_negative),
	INW_LIST("appliances", 32, INW_OPTIONAL),
};
static const struct inw_schema room_schema = INW_SCHEMA("a room", room_fields);

static void read_temperature(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_room *room)
{
	const struct inw_node *n = map->kind == INW_NODE_MAP ? inw_node_get(map, "temperature") : NULL;

	path = inw_say(r, "%s.temperature", path);
	room->T_held = !n || n->kind != INW_NODE_SCALAR || strcmp(n->text, "free") != 0;
	room->T_assumed = !n;
	/* a free room's default is only where the solver starts, but a starting point it must have */
	if (n && room->T_held)
		room->T = inw_quantity_read(r, n, INW_DIM_TEMPERATURE, path);
	else
		room->T = inw_quantity_default(r, "rooms.temperature", INW_DIM_TEMPERATURE, path);
	room->T = inw_check_bounds(r, room->T, &inw_room_range);
}

static void read_appliances(struct inw_reader *r, const struct inw_node *map, struct inw_room *room)
{
	const struct inw_node *list = inw_list_at(map, "appliances");

	if (!list)
		return;
	room->appliance = inw_take(r, list->count, sizeof(*room->appliance));
	for (size_t i = 0; room->appliance && i < list->count; i++) {
		struct inw_appliance *a = &room->appliance[i];

		a->kind = inw_record_index(r, INW_APPLIANCES, list->item[i], "appliance");
		a->limit = a->kind < 0 ? INW_NONE : r->d->catalog.appliance[a->kind].limit;
		a->place = (struct inw_place){ list->item[i]->line, list->item[i]->column };
		room->appliances = i + 1;
	}
}

static double storage(const double *x) { return x[0] * x[1] * x[2]; }

/* What stores heat beside the air goes with the floor: furniture, and as much of the walls as follows in hours. */
static void read_capacity(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_room *room)
{
	struct inw_derivation how = {inw_say(r, "%s.capacity", path),
				     "floor x mass per area x specific heat",
				     INW_DIM_HEAT_CAPACITY,
				     storage,
				     {room->floor},
				     3};

	if (map->kind == INW_NODE_MAP && inw_node_get(map, "capacity"))
		return;
	how.from[1] = inw_check_bounds(r,
		inw_quantity_default(r, "rooms.mass_per_area", INW_DIM_MASS_PER_AREA, inw_say(r, "%s.mass_per_area", path)),
		&inw_positive);
	how.from[2] = inw_check_bounds(r,
		inw_quantity_default(r, "rooms.specific_heat", INW_DIM_SPECIFIC_HEAT, inw_say(r, "%s.specific_heat", path)),
		&inw_positive);
	room->capacity = inw_quantity_derive(r, &how);
}

/* A square room's floor, ceiling and walls. */
static double loss_of_surface(const double *x) { return (2 * x[0] + 4 * sqrt(x[0]) * x[1]) / x[2]; }

static void read_heat_loss(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_room *room)
{
	struct inw_derivation how = {inw_say(r, "%s.heat_loss", path),
				     "(2 floor + 4 sqrt(floor) height) / insulation: through floor, ceiling and walls",
				     INW_DIM_CONDUCTANCE,
				     loss_of_surface,
				     {room->floor, room->height},
				     3};

	if (map->kind == INW_NODE_MAP && inw_node_get(map, "heat_loss"))
		return;
	how.from[2] = inw_check_bounds(r,
		inw_quantity_default(r, "rooms.insulation", INW_DIM_RESISTANCE, inw_say(r, "%s.insulation", path)),
		&inw_positive);
	room->heat_loss = inw_quantity_derive(r, &how);
}

static void read_room(struct inw_reader *r, const struct inw_node *map, const char *name, struct inw_room *room)
{
	const char *path = inw_say(r, "rooms[%s]", name);

	inw_schema_walk(r, map, &room_schema, path, room);
	room->name = name;
	room->place = (struct inw_place){ map->line, map->column };
	read_temperature(r, map, path, room);
	read_heat_loss(r, map, path, room);
	inw_read_leak(r, inw_map_at(map, "leakage"), inw_say(r, "%s.leakage", path), "rooms.leakage", &room->leak_C,
		      &room->leak_n);
	if (map->kind != INW_NODE_MAP || !inw_node_get(map, "leakage"))
		room->leak_C = leak_by_floor(r, inw_say(r, "%s.leakage", path), room);
	read_capacity(r, map, path, room);
	read_appliances(r, map, room);
	if (strcmp(name, "outdoors") == 0)
		inw_fault(r, inw_node_get(map, "name"),
			  "a room cannot be named 'outdoors': that word stands for the open air");
}

/* At most `most`: the rest has been refused by the walker, and is not read. */
static size_t take_count(const struct inw_node *list, size_t most)
{
	return !list ? 0 : list->count < most ? list->count : most;
}

void inw_read_rooms(struct inw_reader *r, const struct inw_node *root)
{
	const struct inw_node *list = inw_list_at(root, "rooms");
	size_t count = take_count(list, INW_MOST_ROOMS);
	const char **names = inw_take(r, count, sizeof(*names));

	r->d->room = inw_take(r, count, sizeof(*r->d->room));
	if (!names || !r->d->room)
		return;
	if (list && !count)
		inw_fault(r, list, "'rooms' must name at least one room");
	for (size_t i = 0; i < count; i++) {
		inw_name_item(r, list->item[i], i, names, "room");
		read_room(r, list->item[i], names[i], &r->d->room[i]);
		r->d->rooms = i + 1;
	}
}

int inw_room_index(struct inw_reader *r, const struct inw_node *n, bool outdoors)
{
	const char *words[INW_MOST_ROOMS + 1];
	size_t count = r->d->rooms;

	if (!count)
		return INW_NOWHERE; /* that there are no rooms has been said */
	if (n->kind != INW_NODE_SCALAR || !n->length) {
		inw_fault(r, n, "a room must be named by a single word");
		return INW_NOWHERE;
	}
	for (size_t i = 0; i < count; i++) {
		words[i] = r->d->room[i].name;
		if (strcmp(words[i], n->text) == 0)
			return (int)i;
	}
	if (outdoors) {
		if (strcmp(n->text, "outdoors") == 0)
			return INW_OUTDOORS;
		words[count++] = "outdoors";
	}
	inw_fault_word(r, n, "unknown room", words, count);
	return INW_NOWHERE;
}

/* ---- doorways ---- */

static const struct inw_field doorway_fields[] = {
	INW_ANY("name", INW_NEEDED),
	INW_LIST("between", 2, INW_NEEDED),
	INW_Q("width", struct inw_doorway, width, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("height", struct inw_doorway, height, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("sill", struct inw_doorway, sill, LENGTH, .fallback = "doorways.sill", .bounds = &inw_not_negative),
	INW_Q("cd", struct inw_doorway, cd, NONE, .fallback = "doorways.cd", .bounds = &inw_cd_range),
	INW_Q("shut", struct inw_doorway, shut, LENGTH, .fallback = "doorways.shut", .bounds = &inw_not_negative),
	INW_FLAG("fixed", struct inw_doorway, fixed),
};
static const struct inw_schema doorway_schema = INW_SCHEMA("a doorway", doorway_fields);

static void read_between(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_doorway *door)
{
	const struct inw_node *pair = inw_list_at(map, "between");

	door->a = door->b = INW_NOWHERE;
	if (!pair)
		return;
	if (pair->count < 2)
		inw_fault(r, pair, "%s.between must name two rooms, or a room and outdoors", path);
	if (pair->count != 2)
		return;
	door->a = inw_room_index(r, pair->item[0], true);
	door->b = inw_room_index(r, pair->item[1], true);
	if (door->a == door->b && door->a != INW_NOWHERE)
		inw_fault(r, pair->item[1], "%s joins '%s' to itself", path, pair->item[1]->text);
}

static void check_doorway(struct inw_reader *r, const char *path, const struct inw_doorway *door)
{
	int ends[2] = { door->a, door->b };

	for (size_t i = 0; i < 2; i++) {
		if (ends[i] < 0)
			continue;
		if (inw_best(r, door->sill) + inw_best(r, door->height) >
		    inw_best(r, r->d->room[ends[i]].height) * 1.001)
			inw_fault_q(r, door->height, "%s reaches above the ceiling of '%s'", path,
				    r->d->room[ends[i]].name);
	}
}

static const double shut_below = 0.1; /* m: what is written lower is a door that is shut, not one that is open (ours) */

static void read_doorways(struct inw_reader *r, const struct inw_node *root)
{
	const struct inw_node *list = inw_list_at(root, "doorways");
	size_t count = take_count(list, INW_MOST_GAPS);
	const char **names = inw_take(r, count, sizeof(*names));

	r->d->doorway = inw_take(r, count, sizeof(*r->d->doorway));
	for (size_t i = 0; names && r->d->doorway && i < count; i++) {
		struct inw_doorway *door = &r->d->doorway[i];
		const char *path;

		inw_name_item(r, list->item[i], i, names, "doorway");
		path = inw_say(r, "doorways[%s]", names[i]);
		inw_schema_walk(r, list->item[i], &doorway_schema, path, door);
		door->name = names[i];
		door->place = (struct inw_place){ list->item[i]->line, list->item[i]->column };
		door->low = inw_best(r, door->height) < shut_below;
		read_between(r, list->item[i], path, door);
		check_doorway(r, path, door);
		r->d->doorways = i + 1;
	}
}

/* ---- ways ---- */

/* Which doorway leads to each room by the fewest, from those that the air of the box comes to; NULL there, and where no way leads. */
static void find_ways(const struct inw_design *d, struct inw_doorway *to[INW_MOST_ROOMS])
{
	bool reached[INW_MOST_ROOMS] = { false };
	const int from[2] = { d->box.room, d->cleaner.has_exhaust ? d->cleaner.exhaust_to : INW_NOWHERE };

	for (size_t i = 0; i < 2; i++)
		if (from[i] >= 0)
			reached[from[i]] = true;
	for (size_t turn = 0; turn < d->rooms; turn++) {
		bool before[INW_MOST_ROOMS]; /* each turn goes one doorway further */

		memcpy(before, reached, sizeof before);
		for (size_t i = 0; i < d->doorways; i++) {
			struct inw_doorway *o = &d->doorway[i];

			if (o->a < 0 || o->b < 0 || before[o->a] == before[o->b])
				continue;
			int next = before[o->a] ? o->b : o->a;
			if (!reached[next])
				to[next] = o;
			reached[next] = true;
		}
	}
}

void inw_find_ways(struct inw_design *d)
{
	struct inw_doorway *to[INW_MOST_ROOMS] = { NULL };

	find_ways(d, to);
	for (size_t i = 0; i < d->rooms; i++) {
		bool flue = d->room[i].appliances > 0, person = false;

		for (size_t p = 0; p < d->persons; p++)
			for (size_t k = 0; k < d->person[p].stays; k++)
				person |= d->person[p].stay[k].room == (int)i;
		for (int at = (int)i; to[at];) { /* back to where the air came from */
			struct inw_doorway *o = to[at];

			o->to_flue |= flue;
			o->to_people |= person;
			at = o->a == at ? o->b : o->a;
		}
	}
}

/* ---- people ---- */

static const char *const person_kinds[] = { "worker", "resident" }; /* as enum inw_person_kind */

/* What people write who do not think of limits first. */
static const struct inw_hint person_hints[] = {
	{"teacher", "worker", "judged by occupational limits"},
	{"maker", "worker", "judged by occupational limits"},
	{"employee", "worker", "judged by occupational limits"},
	{"operator", "worker", "judged by occupational limits"},
	{"staff", "worker", "judged by occupational limits"},
	{"occupational", "worker", "judged by occupational limits"},
	{"sleeper", "resident", "judged by limits for everybody"},
	{"child", "resident", "judged by limits for everybody"},
	{"pupil", "resident", "judged by limits for everybody"},
	{"student", "resident", "judged by limits for everybody"},
	{"visitor", "resident", "judged by limits for everybody"},
	{"adult", "resident", "judged by limits for everybody"},
	{"tenant", "resident", "judged by limits for everybody"},
	{"family", "resident", "judged by limits for everybody"},
	{"public", "resident", "judged by limits for everybody"},
	{NULL, NULL, NULL},
};

struct person_written { int kind; };
static const struct inw_field person_fields[] = {
	INW_ANY("name", INW_NEEDED),
	INW_CHOICE("as", struct person_written, kind, person_kinds, INW_NEEDED, .hints = person_hints),
	INW_LIST("stays", 32, INW_NEEDED),
};
static const struct inw_schema person_schema = INW_SCHEMA("a person", person_fields);

static const struct inw_field stay_fields[] = {
	INW_ANY("room", INW_NEEDED),
	INW_Q("from", struct inw_stay, from, CLOCK, INW_NEEDED),
	INW_Q("to", struct inw_stay, to, CLOCK, INW_NEEDED),
	INW_FLAG("at_box", struct inw_stay, at_box),
};
static const struct inw_schema stay_schema = INW_SCHEMA("a stay", stay_fields);

static void read_stay(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_stay *stay)
{
	const struct inw_node *room = map->kind == INW_NODE_MAP ? inw_node_get(map, "room") : NULL;

	stay->from = stay->to = INW_NONE;
	inw_schema_walk(r, map, &stay_schema, path, stay);
	stay->room = room ? inw_room_index(r, room, false) : INW_NOWHERE;
	if (inw_best(r, stay->from) == inw_best(r, stay->to))
		inw_fault_q(r, stay->to, "%s ends when it begins; a whole day is from 00:00 to 24:00", path);
}

static void read_person(struct inw_reader *r, const struct inw_node *map, const char *name, struct inw_person *person)
{
	const char *path = inw_say(r, "people[%s]", name);
	struct person_written written = { 0 };
	const struct inw_node *stays = inw_list_at(map, "stays");

	inw_schema_walk(r, map, &person_schema, path, &written);
	person->name = name;
	person->kind = (enum inw_person_kind)written.kind;
	person->place = (struct inw_place){ map->line, map->column };
	if (stays && stays->count == 0)
		inw_fault(r, stays, "%s.stays is empty: say which room from when to when, or leave this person out", path);
	person->stay = inw_take(r, take_count(stays, 32), sizeof(*person->stay));
	for (size_t i = 0; person->stay && i < take_count(stays, 32); i++) {
		read_stay(r, stays->item[i], inw_say(r, "%s.stays[%zu]", path, i + 1), &person->stay[i]);
		person->stays = i + 1;
	}
}

void inw_read_people(struct inw_reader *r, const struct inw_node *root)
{
	const struct inw_node *list = inw_list_at(root, "people");
	size_t count = take_count(list, INW_MOST_ROOMS);
	const char **names = inw_take(r, count, sizeof(*names));
	static const char *const key = "people";
	bool people = false;

	read_doorways(r, root);
	/* an empty list is taken at its word; a misspelt key has been reported */
	for (size_t i = 0; root->kind == INW_NODE_MAP && i < root->count; i++)
		people = people || inw_nearest_word(root->key[i]->text, &key, 1);
	if (!people)
		inw_warn(r, root, "there is no 'people': the air that somebody breathes is not judged");
	r->d->person = inw_take(r, count, sizeof(*r->d->person));
	for (size_t i = 0; names && r->d->person && i < count; i++) {
		inw_name_item(r, list->item[i], i, names, "person");
		read_person(r, list->item[i], names[i], &r->d->person[i]);
		r->d->persons = i + 1;
	}
}

/* ---- who works at the box ---- */

/* Hands and face of who works at a box are within two metres of it; in faster air than a fan's draught nobody works. */
static const struct inw_bounds reach_range = { 0.1, 2, false, "between 0.1 m and 2 m" };
static const struct inw_bounds air_speed_range = { 0.005, 2, false, "between 0.005 m/s and 2 m/s" };

static const struct inw_field near_fields[] = {
	INW_Q("reach", struct inw_box, near_radius, LENGTH, .fallback = "box.near.reach", .bounds = &reach_range),
	INW_Q("air_speed", struct inw_box, near_speed, VELOCITY, .fallback = "box.near.air_speed",
	      .bounds = &air_speed_range),
};
static const struct inw_schema near_schema = INW_SCHEMA("box.near", near_fields);

/* Whether anybody works at the box; a fault for a stay in another room. */
static bool anybody_near(struct inw_reader *r)
{
	const struct inw_design *d = r->d;
	bool any = false;

	for (size_t i = 0; i < d->persons; i++)
		for (size_t k = 0; k < d->person[i].stays; k++) {
			const struct inw_stay *stay = &d->person[i].stay[k];

			any = any || stay->at_box;
			if (stay->at_box && stay->room >= 0 && d->box.room >= 0 && stay->room != d->box.room)
				inw_fault_q(r, stay->from, "people[%s].stays[%zu] is at the box but in '%s'; the box stands in '%s'",
					    d->person[i].name, k + 1, d->room[stay->room].name, d->room[d->box.room].name);
		}
	return any;
}

/* After people and box: the air close by the box matters, and is assumed, only where somebody works at it. */
void inw_read_near(struct inw_reader *r, const struct inw_node *root)
{
	const struct inw_node *near = inw_map_at(inw_map_at(root, "box"), "near");
	bool any = anybody_near(r);

	r->d->box.near_radius = r->d->box.near_speed = INW_NONE;
	if (any || near)
		inw_schema_walk(r, near, &near_schema, "box.near", &r->d->box);
	if (near && !any)
		inw_warn(r, near, "box.near is not used: no stay of the people is 'at_box: yes'");
}
