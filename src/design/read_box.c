/* SPDX-License-Identifier: MIT */
/* The box: its sheets, its gaps, its door. */
#include "design/read.h"

#include <math.h>
#include <string.h>

const char *const inw_face_words[INW_FACES] = {"top",  "bottom", "front",
					       "back", "left",   "right"}; /* as enum inw_face */

/* Beyond these it is no box: slips of the unit. */
static const struct inw_bounds side_range = { 0, 5, true, "more than zero and less than 5 m: a larger box is a room" };
static const struct inw_bounds sheet_range = { 0, 0.5, true, "more than zero and less than 0.5 m: a sheet of a box" };

/* ---- panels ---- */

struct panel_written { inw_q thickness, resistance, emissivity, weight, heat; };
static const struct inw_field panel_fields[] = {
	INW_ANY("material", INW_OPTIONAL),
	INW_Q("thickness", struct panel_written, thickness, LENGTH, .bounds = &sheet_range),
	INW_Q("resistance", struct panel_written, resistance, RESISTANCE, .bounds = &inw_positive),
	INW_Q("emissivity", struct panel_written, emissivity, NONE, .bounds = &inw_emissivity_range),
	INW_Q("weight", struct panel_written, weight, MASS_PER_AREA, .bounds = &inw_positive),
	INW_Q("heat", struct panel_written, heat, SPECIFIC_HEAT, .bounds = &inw_positive),
	INW_MAP("insulation", INW_OPTIONAL),
};
static const struct inw_schema panel_schema = INW_SCHEMA("a panel", panel_fields);

static const struct inw_field insulation_fields[] = {
	INW_ANY("material", INW_NEEDED),
	INW_Q("thickness", struct inw_panel, insulation_thickness, LENGTH, INW_NEEDED, .bounds = &sheet_range),
};
static const struct inw_schema insulation_schema = INW_SCHEMA("insulation", insulation_fields);

/* Index of a solid or (count of solids +) a multiwall sheet. */
static int sheet_index(struct inw_reader *r, const struct inw_node *n)
{
	static const struct inw_sections sheets = { { INW_PANELS, INW_MULTIWALLS }, 2 };

	return inw_record_of(r, &sheets, n, "panel material");
}

static void panel_of_record(struct inw_reader *r, int index, struct inw_panel *panel)
{
	const struct inw_catalog *c = &r->d->catalog;
	size_t i = (size_t)index;

	if (i < c->panels) {
		panel->material = c->panel[i].name;
		panel->conductivity = c->panel[i].conductivity;
		panel->emissivity = c->panel[i].emissivity;
		panel->heat = c->panel[i].heat;
		return;
	}
	panel->material = c->multiwall[i - c->panels].name;
	panel->thickness = c->multiwall[i - c->panels].thickness;
	panel->resistance = c->multiwall[i - c->panels].resistance;
	panel->emissivity = c->multiwall[i - c->panels].emissivity;
	panel->weight = c->multiwall[i - c->panels].weight;
	panel->heat = c->multiwall[i - c->panels].heat;
}

static void read_insulation(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_panel *panel)
{
	const struct inw_node *insulation = inw_map_at(map, "insulation");
	const struct inw_node *material;
	int index;

	if (!insulation)
		return;
	inw_schema_walk(r, insulation, &insulation_schema, inw_say(r, "%s.insulation", path), panel);
	material = inw_node_get(insulation, "material");
	index = material ? inw_record_index(r, INW_PANELS, material, "insulation material") : -1;
	if (index >= 0)
		panel->insulation_conductivity = r->d->catalog.panel[index].conductivity;
}

static void check_sheet(struct inw_reader *r, const struct inw_node *map, const char *path,
			const struct inw_panel *panel)
{
	const struct inw_node *material = inw_node_get(map, "material");

	if (!material && panel->resistance < 0 && !inw_node_get(map, "resistance"))
		inw_fault(r, map, "%s needs 'material' and 'thickness', or 'resistance'", path);
	if (panel->conductivity >= 0 && inw_node_get(map, "resistance"))
		inw_fault(r, inw_node_get(map, "resistance"),
			  "%s: give 'material' and 'thickness', or 'resistance', not both", path);
}

static double product(const double *x) { return x[0] * x[1]; }

/* What the sheet stores: as written, by its record, or as assumed of a sheet known by its resistance alone. */
static void read_storage(struct inw_reader *r, const struct panel_written *written, const char *path, int index,
			 struct inw_panel *panel)
{
	const struct inw_catalog *c = &r->d->catalog;
	bool solid = index >= 0 && (size_t)index < c->panels;
	struct inw_derivation weight = {.path = inw_say(r, "%s.weight", path), .how = "density x thickness",
					.dim = INW_DIM_MASS_PER_AREA, .f = product, .count = 2};

	if (written->heat >= 0)
		panel->heat = written->heat;
	else if (panel->heat < 0)
		panel->heat = inw_check_bounds(r,
			inw_quantity_default(r, "panels.heat", INW_DIM_SPECIFIC_HEAT, inw_say(r, "%s.heat", path)),
			&inw_positive);
	if (written->weight >= 0) {
		panel->weight = written->weight;
	} else if (solid) {
		weight.from[0] = c->panel[index].density;
		weight.from[1] = panel->thickness;
		panel->weight = inw_quantity_derive(r, &weight);
	} else if (panel->weight < 0) {
		panel->weight = inw_check_bounds(r,
			inw_quantity_default(r, "box.panels.weight", INW_DIM_MASS_PER_AREA, weight.path),
			&inw_positive);
	}
}

static const struct inw_panel no_panel = {"", INW_NONE, INW_NONE, INW_NONE, INW_NONE, INW_NONE, INW_NONE, INW_NONE,
					  INW_NONE, {0, 0}};

static void read_panel(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_panel *panel)
{
	const struct inw_node *material = map->kind == INW_NODE_MAP ? inw_node_get(map, "material") : NULL;
	struct panel_written written = { INW_NONE, INW_NONE, INW_NONE, INW_NONE, INW_NONE };
	int index = material ? sheet_index(r, material) : -1;

	*panel = no_panel;
	panel->place = (struct inw_place){ map->line, map->column };
	inw_schema_walk(r, map, &panel_schema, path, &written);
	if (index >= 0)
		panel_of_record(r, index, panel);
	if (written.thickness >= 0)
		panel->thickness = written.thickness;
	else if (panel->conductivity >= 0 && !inw_node_get(map, "thickness"))
		panel->thickness = inw_check_bounds(r,
			inw_quantity_default(r, "box.panels.thickness", INW_DIM_LENGTH, inw_say(r, "%s.thickness", path)),
			&sheet_range);
	if (written.resistance >= 0)
		panel->resistance = written.resistance;
	if (written.emissivity >= 0)
		panel->emissivity = written.emissivity;
	else if (!material)
		panel->emissivity = inw_check_bounds(r,
			inw_quantity_default(r, "box.panels.emissivity", INW_DIM_NONE, inw_say(r, "%s.emissivity", path)),
			&inw_emissivity_range);
	read_storage(r, &written, path, index, panel);
	if (map->kind != INW_NODE_MAP)
		return;
	read_insulation(r, map, path, panel);
	check_sheet(r, map, path, panel);
}

static const struct inw_field face_fields[] = {
	INW_MAP("all", INW_OPTIONAL),   INW_MAP("top", INW_OPTIONAL),  INW_MAP("bottom", INW_OPTIONAL),
	INW_MAP("front", INW_OPTIONAL), INW_MAP("back", INW_OPTIONAL), INW_MAP("left", INW_OPTIONAL),
	INW_MAP("right", INW_OPTIONAL),
};
static const struct inw_schema faces_schema = INW_SCHEMA("panels", face_fields);

static void read_panels(struct inw_reader *r, const struct inw_node *map)
{
	const struct inw_node *all = inw_map_at(map, "all");
	struct inw_panel shared = no_panel;
	char missing[80] = "";

	if (!map)
		return;
	inw_schema_walk(r, map, &faces_schema, "box.panels", &shared);
	if (all)
		read_panel(r, all, "box.panels.all", &shared);
	for (size_t i = 0; i < INW_FACES; i++) {
		const struct inw_node *own = inw_map_at(map, inw_face_words[i]);

		if (own)
			read_panel(r, own, inw_say(r, "box.panels.%s", inw_face_words[i]), &r->d->box.panel[i]);
		else
			r->d->box.panel[i] = shared;
		if (!own && !all && !inw_node_get(map, inw_face_words[i]) && !inw_node_get(map, "all")) {
			strcat(missing, *missing ? ", " : "");
			strcat(missing, inw_face_words[i]);
		}
	}
	if (*missing)
		inw_fault(r, map, "box.panels: no sheet is given for %s; give them, or 'all'", missing);
}

/* ---- gaps ---- */

static const char *const gap_kinds[] = { "crack", "hole", "opening", "measured" }; /* as enum inw_gap_kind */

struct gap_written { int kind, face; };
/* keys of all kinds: that each belongs to its kind is checked by the kind's own table */
static const struct inw_field gap_fields[] = {
	INW_ANY("name", INW_NEEDED),
	INW_CHOICE("kind", struct gap_written, kind, gap_kinds, INW_NEEDED),
	INW_CHOICE("face", struct gap_written, face, inw_face_words, INW_NEEDED),
	INW_ANY("room", INW_OPTIONAL),
	INW_ANY("height", INW_OPTIONAL),
	INW_ANY("rise", INW_OPTIONAL),
	INW_ANY("length", INW_OPTIONAL),
	INW_ANY("width", INW_OPTIONAL),
	INW_ANY("depth", INW_OPTIONAL),
	INW_ANY("bends", INW_OPTIONAL),
	INW_ANY("diameter", INW_OPTIONAL),
	INW_ANY("count", INW_OPTIONAL),
	INW_ANY("cd", INW_OPTIONAL),
	INW_ANY("flow", INW_OPTIONAL),
	INW_ANY("at", INW_OPTIONAL),
	INW_ANY("area", INW_OPTIONAL),
	INW_ANY("exponent", INW_OPTIONAL),
};
static const struct inw_schema gap_schema = INW_SCHEMA("a gap", gap_fields);

static const struct inw_field crack_fields[] = {
	INW_Q("height", struct inw_gap, height, LENGTH, .bounds = &inw_not_negative),
	INW_Q("rise", struct inw_gap, rise, LENGTH, .bounds = &inw_not_negative),
	INW_Q("length", struct inw_gap, length, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("width", struct inw_gap, width, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("depth", struct inw_gap, depth, LENGTH, .fallback = "gaps.depth", .bounds = &inw_positive),
	INW_Q("bends", struct inw_gap, bends, NONE, .fallback = "gaps.bends", .bounds = &inw_not_negative),
};
static const struct inw_field hole_fields[] = {
	INW_Q("height", struct inw_gap, height, LENGTH, .bounds = &inw_not_negative),
	INW_Q("diameter", struct inw_gap, diameter, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("count", struct inw_gap, count, NONE, .fallback = "gaps.count", .bounds = &inw_positive),
	INW_Q("cd", struct inw_gap, cd, NONE, .fallback = "gaps.cd", .bounds = &inw_cd_range),
};
static const struct inw_field opening_fields[] = {
	INW_Q("height", struct inw_gap, height, LENGTH, .bounds = &inw_not_negative),
	INW_Q("rise", struct inw_gap, rise, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("width", struct inw_gap, opening_width, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("cd", struct inw_gap, cd, NONE, .fallback = "gaps.cd", .bounds = &inw_cd_range),
};
static const struct inw_field measured_fields[] = {
	INW_Q("height", struct inw_gap, height, LENGTH, .bounds = &inw_not_negative),
	INW_Q("rise", struct inw_gap, rise, LENGTH, .bounds = &inw_not_negative),
	INW_ANY("flow", INW_OPTIONAL),
	INW_ANY("at", INW_OPTIONAL),
	INW_ANY("area", INW_OPTIONAL),
	INW_ANY("exponent", INW_OPTIONAL),
};
static const struct inw_schema kind_schema[] = { /* by enum inw_gap_kind */
	INW_PART("a crack", crack_fields), INW_PART("a hole", hole_fields), INW_PART("an opening", opening_fields),
	INW_PART("a measured gap", measured_fields),
};

static void clear_gap(struct inw_gap *gap)
{
	gap->height = gap->rise = gap->length = gap->width = gap->depth = gap->bends = INW_NONE;
	gap->diameter = gap->count = gap->cd = gap->opening_width = gap->C = gap->n = INW_NONE;
}

/* Known keys that mean nothing for this kind. */
static void check_foreign(struct inw_reader *r, const struct inw_node *map, const struct inw_schema *own)
{
	for (size_t i = 0; i < map->count; i++) {
		const char *key = map->key[i]->text;
		bool general = false, mine = false;

		for (size_t k = 5; k < INW_COUNT(gap_fields); k++) /* past name, kind, face, room, height */
			general = general || strcmp(gap_fields[k].key, key) == 0;
		for (size_t k = 0; k < own->count; k++)
			mine = mine || strcmp(own->field[k].key, key) == 0;
		if (general && !mine)
			inw_fault(r, map->key[i], "%s has no '%s'", own->what, key);
	}
}

/* A gap in the lid or the floor need not say how high it is. */
static void place_gap(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_gap *gap)
{
	if (gap->height < 0 && !inw_node_get(map, "height")) {
		if (gap->face == INW_TOP)
			gap->height = r->d->box.height;
		else if (gap->face == INW_BOTTOM)
			gap->height = inw_quantity_fixed(r, inw_say(r, "%s.height", path), INW_DIM_LENGTH, 0,
							 "in the floor of the box");
		else
			inw_fault(r, map, "%s needs 'height'", path);
	}
	if (gap->kind == INW_GAP_HOLE && gap->face != INW_TOP && gap->face != INW_BOTTOM)
		gap->rise = gap->diameter;
	if (gap->rise < 0 && !inw_node_get(map, "rise"))
		gap->rise = inw_quantity_fixed(r, inw_say(r, "%s.rise", path), INW_DIM_LENGTH, 0, "a level gap");
}

/* What is in the lid or the floor lies there, and level. A level opening lets warm and cold air change places even where no
 * pressure drives it (doc/theory.md, left out): a hole of its area has at least its pressure judged. */
static void check_level_gap(struct inw_reader *r, const struct inw_node *map, const char *path, const struct inw_gap *gap)
{
	const struct inw_node *height = inw_node_get(map, "height"), *rise = inw_node_get(map, "rise");
	const char *face = inw_face_words[gap->face];
	double at = gap->face == INW_TOP ? inw_best(r, r->d->box.height) : 0;

	if (height && gap->height >= 0 && fabs(inw_best(r, gap->height) - at) > 1e-3) /* lids lie on the walls */
		inw_fault(r, height, "%s is in the %s, which is %s above the inside floor, not %s: leave 'height' out, or say which face it is in", path, face,
			  inw_shown_as(r, at, INW_DIM_LENGTH), inw_shown(r, gap->height));
	if (gap->kind == INW_GAP_OPENING)
		inw_fault(r, map, "%s: an opening stands upright; in the %s write a hole ('kind: hole') of the same area", path, face);
	else if (rise && inw_best(r, gap->rise) > 0)
		inw_fault(r, rise, "%s: a gap in the %s is level and has no 'rise'", path, face);
}

static void check_gap_fits(struct inw_reader *r, const char *path, const struct inw_gap *gap)
{
	bool side = gap->face == INW_LEFT || gap->face == INW_RIGHT;
	inw_q across = side ? r->d->box.depth : r->d->box.width;

	if (inw_best(r, gap->opening_width) > inw_best(r, across))
		inw_fault_q(r, gap->opening_width, "%s is wider than its face (%s)", path, inw_shown(r, across));
	if (inw_best(r, gap->diameter) > inw_best(r, across))
		inw_fault_q(r, gap->diameter, "%s is wider than its face (%s)", path, inw_shown(r, across));
}

static void check_gap_above(struct inw_reader *r, const char *path, const struct inw_gap *gap)
{
	double height = inw_best(r, r->d->box.height);

	/* a millimetre: lids lie on the walls */
	if (inw_best(r, gap->height) + inw_best(r, gap->rise) > height + 1e-3)
		inw_fault_q(r, gap->rise >= 0 && r->d->quantity[gap->rise].line ? gap->rise : gap->height,
			    "%s ends %s above the inside floor, but the box is %s high", path,
			    inw_shown_as(r, inw_best(r, gap->height) + inw_best(r, gap->rise), INW_DIM_LENGTH),
			    inw_shown(r, r->d->box.height));
}

static void check_gap(struct inw_reader *r, const char *path, const struct inw_gap *gap)
{
	check_gap_fits(r, path, gap);
	if (gap->kind != INW_GAP_CRACK)
		return;
	if (inw_best(r, gap->width) >= inw_best(r, gap->length))
		inw_fault_q(r, gap->width, "%s is wider than it is long", path);
	if (inw_best(r, gap->rise) > inw_best(r, gap->length) * 1.001)
		inw_fault_q(r, gap->rise, "%s rises more than it is long", path);
	if (inw_best(r, gap->width) > inw_best(r, gap->depth))
		inw_warn_q(r, gap->width,
			   "%s is wider than deep: the crack law (Baker, Sharples and Ward 1987) is for narrow cracks; "
			   "'kind: opening' may fit better",
			   path);
}

static void read_gap(struct inw_reader *r, const struct inw_node *map, const char *name, struct inw_gap *gap)
{
	const char *path = inw_say(r, "box.gaps[%s]", name);
	struct gap_written written = { -1, -1 };
	const struct inw_node *room;

	clear_gap(gap);
	inw_schema_walk(r, map, &gap_schema, path, &written);
	gap->name = name;
	gap->place = (struct inw_place){ map->line, map->column };
	if (map->kind != INW_NODE_MAP || written.kind < 0)
		return;
	gap->kind = (enum inw_gap_kind)written.kind;
	gap->face = written.face < 0 ? INW_TOP : (enum inw_face)written.face;
	room = inw_node_get(map, "room");
	gap->room = room ? inw_room_index(r, room, true) : r->d->box.room;
	inw_schema_walk(r, map, &kind_schema[gap->kind], path, gap);
	check_foreign(r, map, &kind_schema[gap->kind]);
	if (gap->kind == INW_GAP_MEASURED)
		inw_read_leak(r, map, path, "gaps", &gap->C, &gap->n);
	if (written.face >= 0)
		place_gap(r, map, path, gap);
	if (written.face == INW_TOP || written.face == INW_BOTTOM)
		check_level_gap(r, map, path, gap);
	else
		check_gap_above(r, path, gap);
	check_gap(r, path, gap);
}

/* ---- a box whose gaps nobody listed ---- */

static struct inw_gap *new_gap(struct inw_reader *r, const char *name, enum inw_gap_kind kind, enum inw_face face)
{
	struct inw_gap *gap = &r->d->box.gap[r->d->box.gaps++];

	clear_gap(gap);
	gap->name = name;
	gap->kind = kind;
	gap->face = face;
	gap->room = r->d->box.room;
	gap->place = r->d->box.place;
	return gap;
}

static double half(const double *x) { return x[0] / 2; }
static double third(const double *x) { return x[0] / 3; }
static double round_about(const double *x) { return 2 * (x[0] + x[1]); }

static inw_q level(struct inw_reader *r, const char *name, const char *what)
{
	return inw_quantity_fixed(r, inw_say(r, "box.gaps[%s].%s", name, what), INW_DIM_LENGTH, 0,
				  "as the box is assumed to be made");
}

/* All that is known is one number: a third of it at the floor, half way up and at the lid. */
static void spread_leakage(struct inw_reader *r, const struct inw_node *map)
{
	static const struct { const char *name; enum inw_face face; } third_at[] = {
		{ "leakage low", INW_BOTTOM }, { "leakage middle", INW_FRONT }, { "leakage high", INW_TOP },
	};
	struct inw_box *box = &r->d->box;
	inw_q C, n;

	inw_read_leak(r, map, "box.leakage", "box.leakage", &C, &n);
	for (size_t i = 0; i < INW_COUNT(third_at); i++) {
		struct inw_gap *gap = new_gap(r, third_at[i].name, INW_GAP_MEASURED, third_at[i].face);
		struct inw_derivation share = { inw_say(r, "box.gaps[%s].C", gap->name), "a third of the box's leakage",
			INW_DIM_VOLUME_FLOW, third, { C }, 1 };
		struct inw_derivation middle = {inw_say(r, "box.gaps[%s].height", gap->name),
						"half the height",
						INW_DIM_LENGTH,
						half,
						{box->height},
						1};

		gap->C = inw_quantity_derive(r, &share);
		gap->n = n;
		gap->rise = level(r, gap->name, "rise");
		gap->height = i == 0   ? level(r, gap->name, "height")
			      : i == 1 ? inw_quantity_derive(r, &middle)
				       : box->height;
	}
}

struct seams { inw_q width, depth, bends, round; };

static void add_seam(struct inw_reader *r, const char *name, enum inw_face face, const struct seams *seams)
{
	struct inw_box *box = &r->d->box;
	struct inw_gap *gap = new_gap(r, name, INW_GAP_CRACK, face);
	bool upright = face != INW_TOP && face != INW_BOTTOM;

	gap->width = seams->width;
	gap->depth = seams->depth;
	gap->bends = seams->bends;
	gap->length = upright ? box->height : seams->round;
	gap->rise = upright ? box->height : level(r, name, "rise");
	gap->height = face == INW_TOP ? box->height : level(r, name, "height");
}

/* Nothing is known: all twelve edges of the box leak, each as wide as the default says. */
static void assume_seams(struct inw_reader *r)
{
	struct inw_box *box = &r->d->box;
	struct inw_derivation round = {"box.seam.length", "2 x (width + depth)",    INW_DIM_LENGTH,
				       round_about,       {box->width, box->depth}, 2};
	struct seams seams;

	seams.width = inw_check_bounds(r,
		inw_quantity_default(r, "box.seam.width", INW_DIM_LENGTH, "box.seam.width"), &inw_positive);
	seams.depth = inw_check_bounds(r,
		inw_quantity_default(r, "box.seam.depth", INW_DIM_LENGTH, "box.seam.depth"), &inw_positive);
	seams.bends = inw_quantity_fixed(r, "box.seam.bends", INW_DIM_NONE, 0, "as the box is assumed to be made");
	seams.round = inw_quantity_derive(r, &round);
	add_seam(r, "top seams", INW_TOP, &seams);
	add_seam(r, "bottom seams", INW_BOTTOM, &seams);
	add_seam(r, "front left seam", INW_FRONT, &seams);
	add_seam(r, "front right seam", INW_FRONT, &seams);
	add_seam(r, "back left seam", INW_BACK, &seams);
	add_seam(r, "back right seam", INW_BACK, &seams);
}

static void read_gaps(struct inw_reader *r, const struct inw_node *map)
{
	const struct inw_node *list = inw_list_at(map, "gaps"), *leakage = inw_map_at(map, "leakage");
	size_t count = !list ? 0 : list->count < INW_MOST_GAPS ? list->count : INW_MOST_GAPS;
	const char **names = inw_take(r, count, sizeof(*names));
	struct inw_box *box = &r->d->box;

	box->gap = inw_take(r, count + 6, sizeof(*box->gap));
	if (!names || !box->gap)
		return;
	for (size_t i = 0; i < count; i++) {
		inw_name_item(r, list->item[i], i, names, "gap");
		read_gap(r, list->item[i], names[i], &box->gap[box->gaps++]);
	}
	/* a written but empty list is taken at its word: nothing leaks but what is measured as `leakage` */
	if (leakage)
		spread_leakage(r, leakage);
	else if (!list && !inw_node_get(map, "leakage") && !inw_node_get(map, "gaps"))
		assume_seams(r);
}

/* ---- the box ---- */

static const struct inw_field box_fields[] = {
	INW_ANY("stands_in", INW_OPTIONAL),
	INW_FLAG("planned", struct inw_box, planned),
	INW_MAP("inside", INW_NEEDED),
	INW_Q("stand", struct inw_box, stand, LENGTH, .fallback = "box.stand", .bounds = &inw_not_negative),
	INW_MAP("panels", INW_NEEDED),
	INW_LIST("gaps", INW_MOST_GAPS, INW_OPTIONAL),
	INW_MAP("leakage", INW_OPTIONAL),
	INW_MAP("door", INW_OPTIONAL),
	INW_MAP("near", INW_OPTIONAL), /* read_rooms.c, with the people */
	INW_Q("convection", struct inw_box, convection, NONE, .fallback = "box.convection", .bounds = &inw_positive),
	INW_Q("stirring", struct inw_box, stirring, VELOCITY, .fallback = "box.stirring", .bounds = &inw_not_negative),
};
static const struct inw_schema box_schema = INW_SCHEMA("box", box_fields);

static const struct inw_field inside_fields[] = {
	INW_Q("width", struct inw_box, width, LENGTH, INW_NEEDED, .bounds = &side_range),
	INW_Q("depth", struct inw_box, depth, LENGTH, INW_NEEDED, .bounds = &side_range),
	INW_Q("height", struct inw_box, height, LENGTH, INW_NEEDED, .bounds = &side_range),
};
static const struct inw_schema inside_schema = INW_SCHEMA("box.inside", inside_fields);

struct door_written { int face; };
static const struct inw_field door_face_fields[] = {
	INW_CHOICE("face", struct door_written, face, inw_face_words, INW_NEEDED)};
static const struct inw_schema door_face_schema = INW_PART("a door", door_face_fields);
static const struct inw_field door_fields[] = {
	INW_ANY("face", INW_OPTIONAL),
	INW_Q("width", struct inw_box, door_width, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("height", struct inw_box, door_height, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("sill", struct inw_box, door_sill, LENGTH, .bounds = &inw_not_negative),
};
static const struct inw_schema door_schema = INW_SCHEMA("a door", door_fields);

static void check_door(struct inw_reader *r, const struct inw_box *box)
{
	bool level_face = box->door_face == INW_TOP || box->door_face == INW_BOTTOM;
	bool side = box->door_face == INW_LEFT || box->door_face == INW_RIGHT;

	if (inw_best(r, box->door_width) > inw_best(r, side ? box->depth : box->width) * 1.001)
		inw_fault_q(r, box->door_width, "box.door is wider than its face");
	if (inw_best(r, box->door_height) > inw_best(r, level_face ? box->depth : box->height) * 1.001)
		inw_fault_q(r, box->door_height, "box.door is higher than its face");
	else if (!level_face && inw_best(r, box->door_sill) + inw_best(r, box->door_height) >
					inw_best(r, box->height) * 1.001)
		inw_fault_q(r, box->door_sill, "box.door ends %s above the inside floor, but the box is %s high",
			    inw_shown_as(r, inw_best(r, box->door_sill) + inw_best(r, box->door_height),
					 INW_DIM_LENGTH),
			    inw_shown(r, box->height));
}

/* Its lower edge: in the lid it is the lid, elsewhere the floor unless it is written. */
static void place_door(struct inw_reader *r, const struct inw_node *map, struct inw_box *box)
{
	bool written = inw_node_get(map, "sill") != NULL;

	if (written && (box->door_face == INW_TOP || box->door_face == INW_BOTTOM))
		inw_fault(r, inw_node_get(map, "sill"), "box.door: a door in the top or the bottom has no 'sill'");
	if (written)
		return;
	if (box->door_face == INW_TOP)
		box->door_sill = box->height;
	else
		box->door_sill = inw_check_bounds(r,
			inw_quantity_default(r, "box.door.sill", INW_DIM_LENGTH, "box.door.sill"), &inw_not_negative);
}

static void read_door(struct inw_reader *r, const struct inw_node *map)
{
	struct inw_box *box = &r->d->box;
	struct door_written written = { INW_FRONT };

	box->door_width = box->door_height = box->door_sill = INW_NONE;
	box->has_door = map != NULL;
	if (!map)
		return;
	inw_schema_walk(r, map, &door_schema, "box.door", box);
	inw_schema_walk(r, map, &door_face_schema, "box.door", &written);
	box->door_face = (enum inw_face)written.face;
	place_door(r, map, box);
	check_door(r, box);
}

static bool has_seam(const struct inw_box *box)
{
	for (size_t i = 0; i < box->gaps; i++)
		if (box->gap[i].face == box->door_face && (box->gap[i].kind == INW_GAP_CRACK || box->gap[i].kind == INW_GAP_MEASURED))
			return true;
	return false;
}

/* A list of gaps that has none where the door is has left its seam out: doors leak all round. */
static void assume_door_seam(struct inw_reader *r, const struct inw_node *map)
{
	struct inw_box *box = &r->d->box;
	struct inw_derivation round = {"box.door.seam.length", "2 x (width + height)", INW_DIM_LENGTH, round_about, {box->door_width, box->door_height}, 2};

	if (!box->has_door || !box->gap || box->gaps == 0 || box->door_width < 0 || box->door_height < 0 || inw_node_get(map, "leakage") || has_seam(box))
		return;
	struct inw_gap *gap = new_gap(r, "seam of the door", INW_GAP_CRACK, box->door_face);
	gap->width = inw_check_bounds(r, inw_quantity_default(r, "box.seam.width", INW_DIM_LENGTH, "box.door.seam.width"), &inw_positive);
	gap->depth = inw_check_bounds(r, inw_quantity_default(r, "box.seam.depth", INW_DIM_LENGTH, "box.door.seam.depth"), &inw_positive);
	gap->bends = inw_quantity_fixed(r, "box.door.seam.bends", INW_DIM_NONE, 0, "as the door is assumed to be made");
	gap->length = inw_quantity_derive(r, &round);
	gap->height = box->door_sill;
	gap->rise = box->door_face == INW_TOP || box->door_face == INW_BOTTOM ? level(r, gap->name, "rise") : box->door_height;
	inw_warn_q(r, box->door_width, "box.door: no seam is listed on its face (%s): one all round it is assumed; list it in 'gaps' as measured",
		   inw_face_words[box->door_face]);
}

static void check_box(struct inw_reader *r, const struct inw_box *box)
{
	const struct inw_room *room = box->room >= 0 ? &r->d->room[box->room] : NULL;

	if (room && inw_best(r, box->stand) + inw_best(r, box->height) > inw_best(r, room->height))
		inw_fault_q(r, box->height, "the box on its stand (%s and %s) is higher than '%s' (%s)",
			    inw_shown(r, box->stand), inw_shown(r, box->height), room->name,
			    inw_shown(r, room->height));
	if (room && inw_best(r, box->width) * inw_best(r, box->depth) > inw_best(r, room->floor))
		inw_fault_q(r, box->width, "the box covers more floor than '%s' has (%s)", room->name,
			    inw_shown(r, room->floor));
}

void inw_read_box(struct inw_reader *r, const struct inw_node *root)
{
	const struct inw_node *map = inw_map_at(root, "box"), *room, *inside;
	struct inw_box *box = &r->d->box;

	box->width = box->depth = box->height = box->door_width = box->door_height = box->door_sill = INW_NONE;
	if (!map)
		return;
	inw_schema_walk(r, map, &box_schema, "box", box);
	box->place = (struct inw_place){ map->line, map->column };
	room = inw_node_get(map, "stands_in");
	box->room = room ? inw_room_index(r, room, false) : r->d->rooms ? 0 : INW_NOWHERE;
	inside = inw_map_at(map, "inside");
	if (inside)
		inw_schema_walk(r, inside, &inside_schema, "box.inside", box);
	read_panels(r, inw_map_at(map, "panels"));
	read_gaps(r, map);
	read_door(r, inw_map_at(map, "door"));
	assume_door_seam(r, map);
	check_box(r, box);
}
