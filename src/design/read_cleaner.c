/* SPDX-License-Identifier: MIT */
/* The cleaner: inlet, stages, split, return and exhaust. */
#include "design/read.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846

static const struct inw_bounds stretch_range = { 1, 20, false, "between 1 (stretched) and 20 (pushed together)" };
/* ducts of a boxed machine; beyond these it is a slip of the unit */
static const struct inw_bounds duct_range = { 0.005, 1, false, "between 5 mm and 1 m" };
static const struct inw_bounds duct_length_range = { 0, 50, false, "between zero and 50 m" };

/* ---- ducts ---- */

struct duct_written { inw_q bends, bend_loss, entry, exit, extra; bool hose; };
static const struct inw_field duct_fields[] = {
	INW_Q("diameter", struct inw_duct, diameter, LENGTH, INW_NEEDED, .bounds = &duct_range),
	INW_Q("length", struct inw_duct, length, LENGTH, .fallback = "ducts.length", .bounds = &duct_length_range),
	INW_Q("insulation", struct inw_duct, insulation, RESISTANCE, .fallback = "ducts.insulation",
	      .bounds = &inw_not_negative),
	INW_ANY("roughness", INW_OPTIONAL),
	INW_ANY("stretch", INW_OPTIONAL),
	INW_ANY("room", INW_OPTIONAL),
	INW_ANY("hose", INW_OPTIONAL),
	INW_ANY("bends", INW_OPTIONAL),
	INW_ANY("bend_loss", INW_OPTIONAL),
	INW_ANY("entry_loss", INW_OPTIONAL),
	INW_ANY("exit_loss", INW_OPTIONAL),
	INW_ANY("loss", INW_OPTIONAL),
};
static const struct inw_schema duct_schema = INW_SCHEMA("a duct", duct_fields);

static const struct inw_field loss_fields[] = {
	INW_Q("bends", struct duct_written, bends, NONE, .fallback = "ducts.bends", .bounds = &inw_not_negative),
	INW_Q("bend_loss", struct duct_written, bend_loss, NONE, .fallback = "ducts.bend_loss",
	      .bounds = &inw_not_negative),
	INW_Q("entry_loss", struct duct_written, entry, NONE, .fallback = "ducts.entry_loss",
	      .bounds = &inw_not_negative),
	INW_Q("exit_loss", struct duct_written, exit, NONE, .fallback = "ducts.exit_loss", .bounds = &inw_not_negative),
	INW_Q("loss", struct duct_written, extra, NONE, .bounds = &inw_not_negative),
	INW_FLAG("hose", struct duct_written, hose),
};
static const struct inw_schema loss_schema = INW_PART("a duct", loss_fields);

static const struct inw_field tube_fields[] = {
	INW_Q("roughness", struct inw_duct, roughness, LENGTH, .fallback = "ducts.roughness",
	      .bounds = &inw_not_negative),
	INW_Q("stretch", struct inw_duct, stretch, NONE, .bounds = &stretch_range),
};
static const struct inw_field hose_fields[] = {
	INW_Q("roughness", struct inw_duct, roughness, LENGTH, .fallback = "ducts.hose_roughness",
	      .bounds = &inw_not_negative),
	INW_Q("stretch", struct inw_duct, stretch, NONE, .fallback = "ducts.stretch", .bounds = &stretch_range),
};
static const struct inw_schema tube_schema = INW_PART("a duct", tube_fields),
			       hose_schema = INW_PART("a hose", hose_fields);

static double sum_of_losses(const double *x) { return x[0] + x[1] + x[2] * x[3] + x[4]; }

static inw_q total_loss(struct inw_reader *r, const char *path, struct duct_written *w)
{
	struct inw_derivation how = {inw_say(r, "%s.total_loss", path),
				     "entry + exit + bends x bend loss + loss",
				     INW_DIM_NONE,
				     sum_of_losses,
				     {w->entry, w->exit, w->bends, w->bend_loss, w->extra},
				     5};

	return inw_quantity_derive(r, &how);
}

static void check_duct(struct inw_reader *r, const struct inw_node *map, const char *path, const struct inw_duct *duct,
		       bool hose)
{
	if (!hose && inw_node_get(map, "stretch"))
		inw_fault(r, inw_node_get(map, "stretch"), "%s: only a hose has 'stretch'; say 'hose: yes'", path);
	/* relative roughness beyond the Moody chart */
	if (inw_best(r, duct->roughness) > 0.05 * inw_best(r, duct->diameter))
		inw_warn_q(r, duct->roughness,
			   "%s: roughness is %.0f %% of the diameter; Colebrook's law was fitted up to 5 %%", path,
			   100 * inw_best(r, duct->roughness) / inw_best(r, duct->diameter));
}

static void read_duct(struct inw_reader *r, const struct inw_node *parent, const char *path, struct inw_duct *duct)
{
	const struct inw_node *map = inw_map_at(parent, "duct"), *room;
	struct duct_written written = { INW_NONE, INW_NONE, INW_NONE, INW_NONE, INW_NONE, false };

	*duct = (struct inw_duct){INW_NONE, INW_NONE, INW_NONE, INW_NONE, INW_NONE, INW_NONE, r->d->box.room, {0, 0}};
	if (!map)
		return;
	path = inw_say(r, "%s.duct", path);
	inw_schema_walk(r, map, &duct_schema, path, duct);
	duct->place = (struct inw_place){ map->line, map->column };
	inw_schema_walk(r, map, &loss_schema, path, &written);
	inw_schema_walk(r, map, written.hose ? &hose_schema : &tube_schema, path, duct);
	if (written.extra < 0 && !inw_node_get(map, "loss"))
		written.extra = inw_quantity_fixed(r, inw_say(r, "%s.loss", path), INW_DIM_NONE, 0,
						   "no other fittings are given");
	duct->loss = total_loss(r, path, &written);
	if (!written.hose)
		duct->stretch = inw_quantity_fixed(r, inw_say(r, "%s.stretch", path), INW_DIM_NONE, 1, "not a hose");
	room = inw_node_get(map, "room");
	if (room)
		duct->room = inw_room_index(r, room, true);
	check_duct(r, map, path, duct, written.hose);
}

/* ---- seals ---- */

struct seal { inw_q length, width, depth; };
static const struct inw_field particle_seal_fields[] = {
	INW_Q("length", struct seal, length, LENGTH, .fallback = "particle.seal.length", .bounds = &inw_positive),
	INW_Q("width", struct seal, width, LENGTH, .fallback = "particle.seal.width", .bounds = &inw_not_negative),
	INW_Q("depth", struct seal, depth, LENGTH, .fallback = "particle.seal.depth", .bounds = &inw_positive),
};
static const struct inw_schema particle_seal_schema = INW_SCHEMA("a seal", particle_seal_fields);
static const struct inw_field carbon_seal_fields[] = {
	INW_Q("length", struct seal, length, LENGTH, .bounds = &inw_positive), /* else the bed's perimeter */
	INW_Q("width", struct seal, width, LENGTH, .fallback = "carbon.seal.width", .bounds = &inw_not_negative),
	INW_Q("depth", struct seal, depth, LENGTH, .fallback = "carbon.seal.depth", .bounds = &inw_positive),
};
static const struct inw_schema carbon_seal_schema = INW_SCHEMA("a seal", carbon_seal_fields);

static void check_seal(struct inw_reader *r, const char *path, const struct seal *seal)
{
	if (inw_best(r, seal->width) >= inw_best(r, seal->length))
		inw_fault_q(r, seal->width, "%s.seal is wider than it is long", path);
	if (inw_best(r, seal->width) > inw_best(r, seal->depth))
		inw_warn_q(r, seal->width, "%s.seal is wider than deep: the crack law is for narrow cracks", path);
}

/* ---- particle stage ---- */

static const struct inw_field medium_fields[] = {
	INW_ANY("name", INW_OPTIONAL),
	INW_ANY("class", INW_NEEDED),
	INW_MAP("seal", INW_OPTIONAL),
	INW_Q("area", struct inw_medium, area, AREA, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("frame_area", struct inw_medium, frame_area, AREA, .bounds = &inw_positive),
	INW_Q("loading", struct inw_medium, loading, NONE, .fallback = "particle.loading",
	      .bounds = &inw_loading_range),
	INW_Q("cake_porosity", struct inw_medium, cake_porosity, FRACTION, .fallback = "particle.cake_porosity",
	      .bounds = &inw_share_open),
	INW_Q("efficiency", struct inw_medium, efficiency, FRACTION, .bounds = &inw_share_open),
	INW_Q("worst_size", struct inw_medium, worst_size, LENGTH, .bounds = &inw_positive),
	INW_Q("rated_velocity", struct inw_medium, rated_velocity, VELOCITY, .bounds = &inw_positive),
	INW_Q("rated_dp", struct inw_medium, rated_dp, PRESSURE, .bounds = &inw_positive),
	INW_Q("final_ratio", struct inw_medium, final_ratio, NONE, .bounds = &inw_loading_range),
};
static const struct inw_schema medium_schema = INW_SCHEMA("a particle stage", medium_fields);

/* What the stage says itself goes before what the record says. */
static void either(inw_q *own, inw_q record)
{
	if (*own < 0)
		*own = record;
}

static void read_medium(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_medium *out)
{
	struct seal seal = { INW_NONE, INW_NONE, INW_NONE };
	const struct inw_node *seal_map = inw_map_at(map, "seal");

	inw_schema_walk(r, map, &medium_schema, path, out);
	out->klass = map->kind == INW_NODE_MAP
			     ? inw_record_index(r, INW_MEDIUMS, inw_node_get(map, "class"), "medium class")
			     : -1;
	inw_schema_walk(r, seal_map, &particle_seal_schema, inw_say(r, "%s.seal", path), &seal);
	check_seal(r, path, &seal);
	out->seal_length = seal.length;
	out->seal_width = seal.width;
	out->seal_depth = seal.depth;
	if (out->klass >= 0) {
		const struct inw_medium_class *c = &r->d->catalog.medium[out->klass];

		either(&out->efficiency, c->efficiency);
		either(&out->worst_size, c->worst_size);
		either(&out->rated_velocity, c->rated_velocity);
		either(&out->rated_dp, c->rated_dp);
		either(&out->final_ratio, c->final_ratio);
	}
	if (inw_best(r, out->area) < inw_best(r, out->frame_area))
		inw_fault_q(r, out->area, "%s: the medium (%s) is smaller than its frame (%s)", path,
			    inw_shown(r, out->area), inw_shown(r, out->frame_area));
}

/* ---- carbon stage ---- */

/* the table of screens begins at 5 % open (Blevins 1984) */
static const struct inw_bounds screen_range = { 0.05, 1, false, "between 5 % and 100 %" };
static const struct inw_field bed_fields[] = {
	INW_ANY("name", INW_OPTIONAL),
	INW_ANY("record", INW_NEEDED),
	INW_MAP("seal", INW_OPTIONAL),
	INW_LIST("sides", 2, INW_OPTIONAL),
	INW_Q("diameter", struct inw_bed, diameter, LENGTH, .bounds = &inw_positive),
	INW_Q("area", struct inw_bed, area, AREA, .bounds = &inw_positive),
	INW_Q("depth", struct inw_bed, depth, LENGTH, .bounds = &inw_positive),
	INW_Q("mass", struct inw_bed, mass, MASS, .bounds = &inw_positive),
	INW_Q("granule", struct inw_bed, granule, LENGTH, .bounds = &inw_positive),
	INW_Q("sphericity", struct inw_bed, sphericity, NONE, .bounds = &inw_sphericity_range),
	INW_Q("voidage", struct inw_bed, voidage, FRACTION, .bounds = &inw_voidage_range),
	INW_Q("bulk_density", struct inw_bed, bulk_density, DENSITY, .bounds = &inw_positive),
	INW_Q("micropore_volume", struct inw_bed, micropore_volume, SPECIFIC_VOLUME, .bounds = &inw_positive),
	INW_Q("structure", struct inw_bed, structure, NONE, .bounds = &inw_positive),
	INW_Q("water_half", struct inw_bed, water_half, FRACTION, .bounds = &inw_water_half_range),
	INW_Q("water_sites", struct inw_bed, water_sites, FRACTION, .bounds = &inw_water_sites_range),
	INW_Q("screens", struct inw_bed, screens, NONE, .fallback = "carbon.screens", .bounds = &inw_not_negative),
	INW_Q("screen_open", struct inw_bed, screen_open, FRACTION, .fallback = "carbon.screen_open",
	      .bounds = &screen_range),
	INW_Q("capacity_factor", struct inw_bed, capacity_factor, NONE, .fallback = "carbon.capacity_factor",
	      .bounds = &inw_positive),
	INW_Q("rate_factor", struct inw_bed, rate_factor, NONE, .fallback = "carbon.rate_factor",
	      .bounds = &inw_positive),
	INW_LIST("measured", INW_MOST_MEASURED, INW_OPTIONAL),
	INW_FLAG("impregnated", struct inw_bed, impregnated),
};
static const struct inw_schema bed_schema = INW_SCHEMA("a carbon stage", bed_fields);

static double area_of_circle(const double *x) { return PI / 4 * x[0] * x[0]; }
static double round_circle(const double *x) { return PI * x[0]; }
static double area_of_sides(const double *x) { return x[0] * x[1]; }
static double round_sides(const double *x) { return 2 * (x[0] + x[1]); }
static double hydraulic_diameter(const double *x) { return 2 * x[0] * x[1] / (x[0] + x[1]); }

static inw_q from_plan(struct inw_reader *r, const char *path, const char *how, enum inw_dim dim,
		       double (*f)(const double *), const inw_q *plan)
{
	struct inw_derivation d = { path, how, dim, f, { plan[0], plan[1] }, plan[1] < 0 ? 1 : 2 };

	return plan[0] < 0 ? INW_NONE : inw_quantity_derive(r, &d);
}

static bool read_sides(struct inw_reader *r, const struct inw_node *map, const char *path, inw_q *plan)
{
	const struct inw_node *sides = inw_list_at(map, "sides");

	if (!sides)
		return false;
	if (sides->count != 2) {
		inw_fault(r, sides, "%s.sides must be a list of two lengths", path);
		return false;
	}
	for (size_t i = 0; i < 2; i++) {
		plan[i] =
			inw_quantity_read(r, sides->item[i], INW_DIM_LENGTH, inw_say(r, "%s.sides[%zu]", path, i + 1));
		plan[i] = inw_check_bounds(r, plan[i], &inw_positive);
	}
	return plan[0] >= 0 && plan[1] >= 0;
}

/* Area and wall diameter, by whichever way the plan of the bed was written; `plan` is its diameter or its two sides. */
static void read_plan(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_bed *bed,
		      inw_q plan[2])
{
	static const char *const ways[] = { "diameter", "sides", "area" };
	const char *area = inw_say(r, "%s.area", path);
	size_t given = 0;

	for (size_t i = 0; i < INW_COUNT(ways); i++)
		given += inw_node_get(map, ways[i]) != NULL;
	if (given != 1) {
		inw_fault(r, map, "%s needs one of 'diameter', 'sides' and 'area'", path);
		return;
	}
	plan[0] = bed->diameter;
	if (inw_node_get(map, "diameter")) {
		bed->area = from_plan(r, area, "circle", INW_DIM_AREA, area_of_circle, plan);
		return;
	}
	if (!read_sides(r, map, path, plan))
		return;
	bed->area = from_plan(r, area, "product of the sides", INW_DIM_AREA, area_of_sides, plan);
	bed->diameter = from_plan(r, inw_say(r, "%s.diameter", path), "hydraulic diameter of the sides", INW_DIM_LENGTH,
	                          hydraulic_diameter, plan);
}

/* The seal runs round the bed unless its length is written. */
static inw_q seal_round(struct inw_reader *r, const char *path, const inw_q plan[2])
{
	path = inw_say(r, "%s.seal.length", path);
	if (plan[0] < 0)
		return inw_check_bounds(r,
			inw_quantity_default(r, "carbon.seal.length", INW_DIM_LENGTH, path), &inw_positive);
	return from_plan(r, path, "perimeter of the bed", INW_DIM_LENGTH, plan[1] < 0 ? round_circle : round_sides,
			 plan);
}

static double mass_of_bed(const double *x) { return x[0] * x[1] * x[2]; }
static double third_of_three(const double *x) { return x[0] / (x[1] * x[2]); }

/* Mass, area, depth and bulk density are one equation: whichever is missing follows; with mass and depth both written,
 * the bulk density follows, and the record's is only compared. */
static void complete_bed(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_bed *bed)
{
	struct inw_derivation bulk = {inw_say(r, "%s.bulk_density", path),
				      "mass / (area x depth)",
				      INW_DIM_DENSITY,
				      third_of_three,
				      {bed->mass, bed->area, bed->depth},
				      3};
	struct inw_derivation depth = {inw_say(r, "%s.depth", path),
				       "mass / (area x bulk density)",
				       INW_DIM_LENGTH,
				       third_of_three,
				       {bed->mass, bed->area, bed->bulk_density},
				       3};
	struct inw_derivation mass = {inw_say(r, "%s.mass", path),
				      "area x depth x bulk density",
				      INW_DIM_MASS,
				      mass_of_bed,
				      {bed->area, bed->depth, bed->bulk_density},
				      3};
	inw_q said = bed->bulk_density;
	double ratio;

	if (!inw_node_get(map, "mass") && !inw_node_get(map, "depth")) {
		inw_fault(r, map, "%s needs 'depth' or 'mass'", path);
		return;
	}
	if (!inw_node_get(map, "mass")) {
		bed->mass = inw_quantity_derive(r, &mass);
		return;
	}
	if (!inw_node_get(map, "depth")) {
		bed->depth = inw_quantity_derive(r, &depth);
		return;
	}
	bed->bulk_density = inw_quantity_derive(r, &bulk);
	ratio = inw_best(r, bed->bulk_density) / inw_best(r, said);
	if (ratio > 1.1 || ratio < 1 / 1.1)
		inw_warn_q(r, bed->mass,
			   "%s: %s in that bed is %s, but %s is said of this carbon; the mass is believed", path,
			   inw_shown(r, bed->mass), inw_shown(r, bed->bulk_density), inw_shown(r, said));
}

/* Voidage and bulk density give the density of a granule, which must hold its own pores and carbon. Solid carbon:
 * graphite, 2260 kg/m3 (memory). */
static void check_granules(struct inw_reader *r, const char *path, const struct inw_bed *bed)
{
	const double solid_kgm3 = 2260;
	double bulk = inw_best(r, bed->bulk_density), voidage = inw_best(r, bed->voidage);
	double granule_kgm3 = bulk / (1 - voidage);

	if (granule_kgm3 > solid_kgm3)
		inw_fault_q(r, bed->bulk_density,
			    "%s: bulk density %s and voidage %s contradict each other: a granule would weigh %s, "
			    "more than solid carbon",
			    path, inw_shown(r, bed->bulk_density), inw_shown(r, bed->voidage),
			    inw_shown_as(r, granule_kgm3, INW_DIM_DENSITY));
	else if (1 / granule_kgm3 < inw_best(r, bed->micropore_volume) + 1 / solid_kgm3)
		inw_warn_q(r, bed->bulk_density,
			   "%s: bulk density %s and voidage %s leave no room in a granule for its micropores (%s)",
			   path, inw_shown(r, bed->bulk_density), inw_shown(r, bed->voidage),
			   inw_shown(r, bed->micropore_volume));
	if (inw_best(r, bed->granule) > inw_best(r, bed->depth))
		inw_fault_q(r, bed->granule, "%s: the granules (%s) are larger than the bed is deep (%s)", path,
			    inw_shown(r, bed->granule), inw_shown(r, bed->depth));
	if (inw_best(r, bed->granule) > inw_best(r, bed->diameter))
		inw_fault_q(r, bed->granule, "%s: the granules (%s) are larger than the bed is wide (%s)", path,
			    inw_shown(r, bed->granule), inw_shown(r, bed->diameter));
}

static void read_bed(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_bed *bed)
{
	struct seal seal = { INW_NONE, INW_NONE, INW_NONE };
	const struct inw_node *seal_map = inw_map_at(map, "seal");
	inw_q plan[2] = { INW_NONE, INW_NONE };

	inw_schema_walk(r, map, &bed_schema, path, bed);
	if (map->kind != INW_NODE_MAP)
		return;
	bed->carbon = inw_record_index(r, INW_CARBONS, inw_node_get(map, "record"), "carbon");
	if (bed->carbon >= 0) {
		const struct inw_carbon *c = &r->d->catalog.carbon[bed->carbon];

		either(&bed->granule, c->granule);
		either(&bed->sphericity, c->sphericity);
		either(&bed->voidage, c->voidage);
		either(&bed->bulk_density, c->bulk_density);
		either(&bed->micropore_volume, c->micropore_volume);
		either(&bed->structure, c->structure);
		either(&bed->water_half, c->water_half);
		either(&bed->water_sites, c->water_sites);
		bed->measured = c->measured;
		bed->measureds = c->measureds;
	}
	inw_read_measured(r, map, path, &bed->measured, &bed->measureds);
	inw_check_measured(r, path, bed);
	if (bed->impregnated)
		inw_warn(r, inw_node_get(map, "impregnated"),
			 "%s: impregnation is not modelled; the bed counts as plain carbon, which hardly holds light "
			 "aldehydes", path);
	read_plan(r, map, path, bed, plan);
	complete_bed(r, map, path, bed);
	inw_schema_walk(r, seal_map, &carbon_seal_schema, inw_say(r, "%s.seal", path), &seal);
	if (!seal_map || !inw_node_get(seal_map, "length"))
		seal.length = seal_round(r, path, plan);
	check_seal(r, path, &seal);
	bed->seal_length = seal.length;
	bed->seal_width = seal.width;
	bed->seal_depth = seal.depth;
	check_granules(r, path, bed);
}

/* ---- blower stage ---- */

static const struct inw_field blower_keys[] = {
	INW_ANY("name", INW_OPTIONAL),          INW_ANY("record", INW_OPTIONAL),
	INW_ANY("title", INW_OPTIONAL),         INW_ANY("curve", INW_OPTIONAL),
	INW_ANY("free_delivery", INW_OPTIONAL), INW_ANY("shut_off", INW_OPTIONAL),
	INW_ANY("shape", INW_OPTIONAL),         INW_ANY("forward_curved", INW_OPTIONAL),
	INW_ANY("power", INW_OPTIONAL),         INW_ANY("idle_power", INW_OPTIONAL),
	INW_ANY("sound", INW_OPTIONAL),         INW_ANY("density", INW_OPTIONAL),
	INW_ANY("speed", INW_OPTIONAL),         INW_ANY("speed_low", INW_OPTIONAL),
	INW_ANY("motor_in_air", INW_OPTIONAL),
};
static const struct inw_schema blower_schema = INW_SCHEMA("a blower stage", blower_keys);

static const struct inw_field speed_fields[] = {
	INW_Q("speed", struct inw_blower, speed, FRACTION, .fallback = "blower.speed", .bounds = &inw_speed_range),
	INW_Q("speed_low", struct inw_blower, speed_low, FRACTION, .fallback = "blower.speed_low",
	      .bounds = &inw_share_above_zero),
	INW_FLAG("motor_in_air", struct inw_blower, motor_in_air),
};
static const struct inw_schema speed_schema = INW_PART("a blower stage", speed_fields);
static const struct inw_field own_fields[] = {
	INW_Q("power", struct inw_blower_class, power, POWER, .bounds = &inw_positive),
	INW_Q("idle_power", struct inw_blower_class, idle_power, POWER, .bounds = &inw_not_negative),
	INW_Q("sound", struct inw_blower_class, sound, SOUND, INW_OPTIONAL),
	INW_Q("density", struct inw_blower_class, density, DENSITY, .bounds = &inw_positive),
};
static const struct inw_schema own_schema = INW_PART("a blower stage", own_fields);

static void blower_of_record(struct inw_reader *r, const struct inw_node *map, const char *path,
			     struct inw_blower_class *out)
{
	static const char *const refused[] = { "curve", "free_delivery", "shut_off", "shape", "forward_curved" };
	int index = inw_record_index(r, INW_BLOWERS, inw_node_get(map, "record"), "blower");
	struct inw_blower_class own = { 0 };

	inw_schema_walk(r, map, &own_schema, path, &own);
	for (size_t i = 0; i < INW_COUNT(refused); i++)
		if (inw_node_get(map, refused[i]))
			inw_fault(r, inw_node_get(map, refused[i]), "%s: give 'record' or '%s', not both", path,
				  refused[i]);
	out->power = out->idle_power = out->sound = out->density = out->flow_factor = out->rise_factor = INW_NONE;
	if (index < 0)
		return;
	*out = r->d->catalog.blower[index];
	either(&own.power, out->power);
	either(&own.idle_power, out->idle_power);
	either(&own.sound, out->sound);
	either(&own.density, out->density);
	out->power = own.power;
	out->idle_power = own.idle_power;
	out->sound = own.sound;
	out->density = own.density;
}

static const char *const blower_ways[] = { "record", "curve", "free_delivery", "shut_off", "shape" };

static bool has_curve(const struct inw_node *map)
{
	for (size_t i = 0; i < INW_COUNT(blower_ways); i++)
		if (inw_node_get(map, blower_ways[i]))
			return true;
	return false;
}

/* Without any of them nothing tells the curve; one working point, the head line of a data sheet, does not either.
 * Returns false when that has been said, once for all that follows from it. */
static bool tells_curve(struct inw_reader *r, const struct inw_node *map, const char *path)
{
	static const char *const point[] = { "flow", "pressure", "rise" };
	struct inw_blower_class nothing = { 0 }; /* the table stores nothing */
	bool misspelt = false;

	if (map->kind != INW_NODE_MAP || has_curve(map))
		return true;
	for (size_t i = 0; i < INW_COUNT(point); i++) {
		const struct inw_node *n = inw_node_get(map, point[i]);

		if (!n)
			continue;
		inw_fault(r, n,
			  "%s: one working point does not tell how a blower answers to resistance; give 'record' (of "
			  "the catalog), or 'curve: [[0 m3/h, 300 Pa], .., [60 m3/h, 0 Pa]]' and 'power', or "
			  "'free_delivery', 'shut_off', 'shape' and 'power'",
			  path);
		return false;
	}
	inw_schema_walk(r, map, &blower_schema, path, &nothing);
	for (size_t i = 0; i < map->count; i++)
		misspelt = misspelt || inw_nearest_word(map->key[i]->text, blower_ways, INW_COUNT(blower_ways));
	if (!misspelt)
		inw_fault(r, map,
			  "%s needs 'record', or 'curve' and 'power', or 'free_delivery', 'shut_off', 'shape' and "
			  "'power'",
			  path);
	return false;
}

static void warn_speed(struct inw_reader *r, const char *path, inw_q speed)
{
	if (inw_high(r, speed) > 1)
		inw_warn_q(r, speed,
			   "%s.speed: above 100 %% of the rated speed the fan law carries the curve where nobody "
			   "measured it, and the motor may not follow",
			   path);
}

static void read_blower(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_blower *out)
{
	struct inw_blower_class c = { 0 };

	if (!tells_curve(r, map, path))
		return;
	inw_schema_walk(r, map, &blower_schema, path, &c);
	out->motor_in_air = true; /* the cautious side: its heat is in the box's air */
	inw_schema_walk(r, map, &speed_schema, path, out);
	warn_speed(r, path, out->speed);
	if (map->kind != INW_NODE_MAP)
		return;
	if (inw_node_get(map, "record"))
		blower_of_record(r, map, path, &c);
	else
		inw_read_blower_class(r, map, path, true, &c);
	out->flow = c.flow;
	out->rise = c.rise;
	out->points = c.points;
	out->flow_factor = c.flow_factor;
	out->rise_factor = c.rise_factor;
	out->density = c.density;
	out->power = c.power;
	out->idle_power = c.idle_power;
	out->sound = c.sound;
	out->forward_curved = c.forward_curved;
}

/* ---- the train ---- */

static const char *const stage_words[] = { "particle", "carbon", "blower" }; /* as enum inw_stage_kind */

static void name_stage(struct inw_reader *r, const struct inw_node *map, size_t i, const char **names)
{
	struct inw_stage *stage = &r->d->cleaner.stage[i];

	if (map->kind == INW_NODE_MAP && inw_node_get(map, "name"))
		inw_name_item(r, map, i, names, "stage");
	else
		names[i] = inw_say(r, "%zu %s", i + 1, stage_words[stage->kind]);
	stage->name = names[i];
}

static void read_stage(struct inw_reader *r, const struct inw_node *item, size_t i, const char **names)
{
	struct inw_stage *stage = &r->d->cleaner.stage[i];
	const struct inw_node *map;
	const char *path;
	size_t kind = 0;

	stage->place = (struct inw_place){ item->line, item->column };
	stage->name = names[i] = inw_say(r, "%zu", i + 1);
	stage->kind = INW_STAGE_BLOWER + 1; /* none of them, until it is known */
	if (item->kind != INW_NODE_MAP || item->count != 1) {
		inw_fault(r, item, "a stage must be one of 'particle: {...}', 'carbon: {...}', 'blower: {...}'");
		return;
	}
	while (kind < INW_COUNT(stage_words) && strcmp(item->key[0]->text, stage_words[kind]))
		kind++;
	if (kind == INW_COUNT(stage_words)) {
		inw_fault_word(r, item->key[0], "unknown stage", stage_words, INW_COUNT(stage_words));
		return;
	}
	map = item->item[0];
	stage->kind = (enum inw_stage_kind)kind;
	name_stage(r, map, i, names);
	path = inw_say(r, "cleaner.stages[%s]", stage->name);
	if (stage->kind == INW_STAGE_MEDIUM)
		read_medium(r, map, path, &stage->medium);
	else if (stage->kind == INW_STAGE_BED)
		read_bed(r, map, path, &stage->bed);
	else
		read_blower(r, map, path, &stage->blower);
}

/* Carbon that meets the air before any particle stage is blinded by what that stage is there to hold. */
static void check_order(struct inw_reader *r, const struct inw_node *list)
{
	const struct inw_cleaner *c = &r->d->cleaner;
	size_t carbon = c->stages;

	for (size_t i = 0; i < c->stages; i++) {
		if (c->stage[i].kind == INW_STAGE_BED && carbon == c->stages)
			carbon = i;
		if (c->stage[i].kind != INW_STAGE_MEDIUM)
			continue;
		if (carbon < i)
			inw_warn(r, list->item[carbon],
				 "cleaner.stages[%s] comes before the particle stage '%s': dust and fume settle on its "
				 "granules and blind them, which is not modelled",
				 c->stage[carbon].name, c->stage[i].name);
		return;
	}
}

static void read_stages(struct inw_reader *r, const struct inw_node *map)
{
	const struct inw_node *list = inw_list_at(map, "stages");
	size_t count = !list ? 0 : list->count < INW_MOST_STAGES ? list->count : INW_MOST_STAGES;
	const char *names[INW_MOST_STAGES];
	size_t blowers = 0;

	r->d->cleaner.stage = inw_take(r, count, sizeof(*r->d->cleaner.stage));
	if (!list || !r->d->cleaner.stage)
		return;
	for (size_t i = 0; i < count; i++) {
		read_stage(r, list->item[i], i, names);
		r->d->cleaner.stages = i + 1;
		blowers += r->d->cleaner.stage[i].kind == INW_STAGE_BLOWER;
	}
	check_order(r, list);
	if (!blowers)
		inw_fault(r, list, "cleaner.stages has no blower: nothing moves the air");
}

/* ---- split, return, exhaust ---- */

static const struct inw_field split_fields[] = {
	INW_MAP("flap", INW_OPTIONAL),
	INW_Q("share", struct inw_cleaner, share, FRACTION, .bounds = &inw_share),
	INW_ANY("tee", INW_OPTIONAL),
};
static const struct inw_schema split_schema = INW_SCHEMA("cleaner.split", split_fields);
static const struct inw_field flap_fields[] = {
	INW_Q("position", struct inw_cleaner, position, FRACTION, INW_NEEDED, .bounds = &inw_share),
	INW_Q("diameter", struct inw_cleaner, flap_diameter, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("seat_leak", struct inw_cleaner, seat_leak, FRACTION, .fallback = "flap.seat_leak",
	      .bounds = &inw_share_not_full),
};
static const struct inw_schema flap_schema = INW_SCHEMA("a flap", flap_fields);

struct tee { bool tee; };
static const struct inw_field tee_fields[] = { INW_FLAG("tee", struct tee, tee) };
static const struct inw_schema tee_schema = INW_PART("cleaner.split", tee_fields);

/* A port much narrower or wider than its duct is no port of that duct. */
static void check_flap(struct inw_reader *r, const struct inw_cleaner *c)
{
	const struct inw_duct *ducts[2] = { c->has_return ? &c->ret : NULL, c->has_exhaust ? &c->exhaust : NULL };

	for (size_t i = 0; i < 2; i++) {
		double ratio = ducts[i] ? inw_best(r, c->flap_diameter) / inw_best(r, ducts[i]->diameter) : 1;

		if (ratio > 2 || ratio < 0.5)
			inw_warn_q(r, c->flap_diameter, "cleaner.split.flap.diameter is %s, but the %s duct is %s wide",
				   inw_shown(r, c->flap_diameter), i ? "exhaust" : "return",
				   inw_shown(r, ducts[i]->diameter));
	}
}

static void read_split_of(struct inw_reader *r, const struct inw_node *split, struct inw_cleaner *c)
{
	const struct inw_node *flap = inw_map_at(split, "flap");
	struct tee tee = { false };
	size_t given = 0;

	inw_schema_walk(r, split, &split_schema, "cleaner.split", c);
	inw_schema_walk(r, split, &tee_schema, "cleaner.split", &tee);
	given += inw_node_get(split, "flap") != NULL;
	given += inw_node_get(split, "share") != NULL;
	given += tee.tee;
	if (given != 1)
		inw_fault(r, split, "cleaner.split needs one of 'flap', 'share' and 'tee: yes'");
	if (inw_node_get(split, "flap"))
		c->split = INW_SPLIT_FLAP;
	else if (inw_node_get(split, "share"))
		c->split = INW_SPLIT_FIXED;
	if (!flap)
		return;
	inw_schema_walk(r, flap, &flap_schema, "cleaner.split.flap", c);
	check_flap(r, c);
}

static bool is_none(const struct inw_node *map, const char *key)
{
	const char *text = inw_text_at(map, key);

	return text && strcmp(text, "none") == 0;
}

static void read_split(struct inw_reader *r, const struct inw_node *map, struct inw_cleaner *c)
{
	const struct inw_node *split = inw_map_at(map, "split");
	bool both = c->has_return && c->has_exhaust;

	c->split = INW_SPLIT_TEE;
	c->position = c->flap_diameter = c->seat_leak = c->share = INW_NONE;
	if (split)
		read_split_of(r, split, c);
	else if (both && !inw_node_get(map, "split"))
		inw_fault(r, map,
			  "cleaner has a return and an exhaust; 'split' must say how the air divides (flap, share or "
			  "tee)");
	if (both)
		return;
	c->split = INW_SPLIT_TEE;
	if (split && (is_none(map, "return") || is_none(map, "exhaust")))
		inw_warn(r, split, "cleaner.split has nothing to divide: there is no %s",
			 c->has_return ? "exhaust" : "return");
}

static const struct inw_field inlet_fields[] = {
	INW_Q("height", struct inw_cleaner, inlet_height, LENGTH, .fallback = "inlet.height",
	      .bounds = &inw_not_negative),
	INW_MAP("duct", INW_NEEDED),
};
static const struct inw_schema inlet_schema = INW_SCHEMA("cleaner.inlet", inlet_fields);
static const struct inw_field return_fields[] = {
	INW_Q("height", struct inw_cleaner, return_height, LENGTH, .fallback = "return.height",
	      .bounds = &inw_not_negative),
	INW_MAP("duct", INW_NEEDED),
};
static const struct inw_schema return_schema = INW_SCHEMA("cleaner.return", return_fields);
static const struct inw_field exhaust_fields[] = {
	INW_Q("height", struct inw_cleaner, exhaust_height, LENGTH, .fallback = "exhaust.height",
	      .bounds = &inw_not_negative),
	INW_MAP("duct", INW_NEEDED),
	INW_ANY("to", INW_NEEDED),
};
static const struct inw_schema exhaust_schema = INW_SCHEMA("cleaner.exhaust", exhaust_fields);

/* A branch is a mapping, or the word `none`; both must be said, since leaving one out is easily done by accident. */
static const struct inw_node *branch(struct inw_reader *r, const struct inw_node *map, const char *key)
{
	const struct inw_node *n = inw_node_get(map, key);

	if (!n) {
		inw_fault(r, map, "cleaner needs '%s': a mapping, or 'none'", key);
		return NULL;
	}
	if (n->kind == INW_NODE_MAP)
		return n;
	if (n->kind != INW_NODE_SCALAR || strcmp(n->text, "none") != 0)
		inw_fault(r, n, "cleaner.%s must be a mapping, or 'none'", key);
	return NULL;
}

static void read_return(struct inw_reader *r, const struct inw_node *map, struct inw_cleaner *c)
{
	const struct inw_node *ret = branch(r, map, "return");

	c->return_height = INW_NONE;
	c->has_return = ret != NULL;
	if (ret)
		inw_schema_walk(r, ret, &return_schema, "cleaner.return", c);
	read_duct(r, ret, "cleaner.return", &c->ret);
	if (inw_best(r, c->return_height) > inw_best(r, r->d->box.height))
		inw_fault_q(r, c->return_height, "cleaner.return.height is above the box (%s high)",
			    inw_shown(r, r->d->box.height));
}

static void read_exhaust(struct inw_reader *r, const struct inw_node *map, struct inw_cleaner *c)
{
	const struct inw_node *exhaust = branch(r, map, "exhaust"), *to;

	c->exhaust_height = INW_NONE;
	c->exhaust_to = INW_NOWHERE;
	c->has_exhaust = exhaust != NULL;
	if (exhaust)
		inw_schema_walk(r, exhaust, &exhaust_schema, "cleaner.exhaust", c);
	read_duct(r, exhaust, "cleaner.exhaust", &c->exhaust);
	to = exhaust ? inw_node_get(exhaust, "to") : NULL;
	if (to)
		c->exhaust_to = inw_room_index(r, to, true);
	if (c->exhaust_to >= 0 && inw_best(r, c->exhaust_height) > inw_best(r, r->d->room[c->exhaust_to].height))
		inw_fault_q(r, c->exhaust_height, "cleaner.exhaust.height is above the ceiling of '%s' (%s)",
		            r->d->room[c->exhaust_to].name, inw_shown(r, r->d->room[c->exhaust_to].height));
}

static const struct inw_field cleaner_fields[] = {
	INW_MAP("inlet", INW_NEEDED),
	INW_LIST("stages", INW_MOST_STAGES, INW_NEEDED),
	INW_MAP("split", INW_OPTIONAL),
	INW_ANY("return", INW_OPTIONAL),
	INW_ANY("exhaust", INW_OPTIONAL),
	INW_Q("casing", struct inw_cleaner, casing, CONDUCTANCE, .fallback = "cleaner.casing",
	      .bounds = &inw_not_negative),
	INW_Q("capacity", struct inw_cleaner, capacity, HEAT_CAPACITY, .fallback = "cleaner.capacity",
	      .bounds = &inw_positive),
	INW_Q("carbon_heat", struct inw_cleaner, carbon_heat, SPECIFIC_HEAT, .fallback = "carbon.heat",
	      .bounds = &inw_positive),
};
static const struct inw_schema cleaner_schema = INW_SCHEMA("cleaner", cleaner_fields);

void inw_read_cleaner(struct inw_reader *r, const struct inw_node *root)
{
	const struct inw_node *map = inw_map_at(root, "cleaner"), *inlet = inw_map_at(map, "inlet");
	struct inw_cleaner *c = &r->d->cleaner;

	c->exhaust_to = INW_NOWHERE;
	c->inlet_height = c->capacity = c->carbon_heat = c->casing = c->return_height = c->exhaust_height = INW_NONE;
	c->position = c->flap_diameter = c->seat_leak = c->share = INW_NONE;
	c->present = map != NULL;
	if (!map)
		return;
	c->place = (struct inw_place){ map->line, map->column };
	inw_schema_walk(r, map, &cleaner_schema, "cleaner", c);
	if (inlet)
		inw_schema_walk(r, inlet, &inlet_schema, "cleaner.inlet", c);
	read_duct(r, inlet, "cleaner.inlet", &c->inlet);
	if (inw_best(r, c->inlet_height) > inw_best(r, r->d->box.height))
		inw_fault_q(r, c->inlet_height, "cleaner.inlet.height is above the box (%s high)",
			    inw_shown(r, r->d->box.height));
	read_stages(r, map);
	read_return(r, map, c);
	read_exhaust(r, map, c);
	if (is_none(map, "return") && is_none(map, "exhaust"))
		inw_fault(r, map, "cleaner has neither return nor exhaust: the air has nowhere to go");
	read_split(r, map, c);
}
