/* SPDX-License-Identifier: MIT */
/* begin_plan.c: from what was said to what a design file will say. Sizes are where to begin, not what is proven: each rule
 * has its reason beside it, and a check judges the whole. */
#include <math.h>
#include <string.h>

#include "design/begin.h"

static const double hour_s = 3600, gram_kg = 1e-3, pi = 3.14159265358979323846;

static struct inw_amount amount(double value, double low, double high)
{
	return (struct inw_amount){value, low, high, false};
}

static struct inw_amount exactly(double value)
{
	return amount(value, value, value);
}

static struct inw_amount left_out(void)
{
	return amount(NAN, NAN, NAN);
}

/* ---- the machine ------------------------------------------------------------------------------------------------- */

/* What such work uses up in an hour, in g/h. Printing: what the printers extrude whose fume was measured, 0.1 g/min
 * (catalog/materials.yaml), up to faster ones. The others: common practice, no source. */
static const struct usual { const char *process; double g_h, low, high, hours; } usual[] = {
	{"printing", 6, 3, 30, 4}, {"soldering", 4, 1, 10, 1}, {"laser cutting", 20, 5, 60, 4}, {"resin printing", 15, 5, 40, 4}, {"solvent", 5, 1, 20, 1},
};

static const struct usual *usual_of(const char *process)
{
	for (size_t i = 0; i < INW_COUNT(usual); i++)
		if (strcmp(usual[i].process, process) == 0)
			return &usual[i];
	return &usual[0];
}

static const struct inw_material *material_of(const struct inw_asking *ask, const char *name)
{
	for (size_t i = 0; i < ask->catalog.materials; i++)
		if (strcmp(ask->catalog.material[i].name, name) == 0)
			return &ask->catalog.material[i];
	return NULL;
}

static const struct inw_carbon *carbon_of(const struct inw_start *p)
{
	const struct inw_catalog *c = &p->ask->catalog;
	size_t i = 0;

	while (i + 1 < c->carbons && strcmp(c->carbon[i].name, p->carbon))
		i++;
	return &c->carbon[i];
}

static double value_of(const struct inw_asking *ask, inw_q q)
{
	return q < 0 ? NAN : ask->quantity[q].value;
}

/* Who does not know the material is shown the worst: the one that gives off most gas per mass, at the medians. */
static const char *strongest_of(const struct inw_asking *ask, const char *process)
{
	const char *best = NULL;
	double most = -1;

	for (size_t i = 0; i < ask->catalog.materials; i++) {
		const struct inw_material *m = &ask->catalog.material[i];
		double sum = 0;
		for (size_t g = 0; g < m->gas_count; g++)
			sum += m->gases[g].per == INW_PER_MASS ? value_of(ask, m->gases[g].rate) : 0;
		if (strcmp(m->process, process) == 0 && sum > most) {
			most = sum;
			best = m->name;
		}
	}
	return best;
}

static void say_wrong_machine(const struct inw_sayings *s, const struct inw_start *p, const char *material, const char *name, struct inw_diags *diags)
{
	const struct inw_answer *a = inw_said(s, "material");

	inw_diag_add(diags, INW_ERROR, name, a->line, a->column, "material: '%s' belongs to '%s', but the machine is '%s'", material,
	             material_of(p->ask, material)->process, p->process);
}

static void plan_machine(const struct inw_sayings *s, const char *name, struct inw_start *p, struct inw_diags *diags)
{
	const char *words[INW_BEGIN_MATERIALS + 1];
	size_t n = inw_said_words(s, "material", words, INW_COUNT(words));

	p->process = inw_said_word(s, "machine");
	if (!p->process)
		p->process = n ? material_of(p->ask, words[0])->process : usual[0].process;
	if (n > INW_BEGIN_MATERIALS)
		inw_diag_add(diags, INW_ERROR, name, inw_said(s, "material")->line, inw_said(s, "material")->column,
		             "material: %d at the most, one for each day of the week", INW_BEGIN_MATERIALS);
	p->material_said = n > 0;
	if (n == 0)
		words[n++] = strongest_of(p->ask, p->process);
	for (size_t i = 0; i < n && i < INW_BEGIN_MATERIALS; i++) {
		if (strcmp(material_of(p->ask, words[i])->process, p->process))
			say_wrong_machine(s, p, words[i], name, diags);
		p->material[p->materials++] = words[i];
	}
	const struct usual *u = usual_of(p->process);
	p->rate = amount(u->g_h * gram_kg / hour_s, u->low * gram_kg / hour_s, u->high * gram_kg / hour_s);
	p->hours = exactly(u->hours * hour_s);
	p->start = left_out();
	inw_said_amount(s, "rate", &p->rate);
	inw_said_amount(s, "hours", &p->hours);
	inw_said_amount(s, "start", &p->start);
}

/* ---- the box ----------------------------------------------------------------------------------------------------- */

/* Round the machine room is left for hands, wire and the warmth of moving parts: common practice, no source. */
static const double beside_m = 0.05, above_m = 0.1;
/* A chamber that is to be this warm asks for walls that keep the warmth: by us. */
static const double warm_K = 273.15 + 40;

static double round_up(double value_m, enum inw_units units)
{
	double step = units == INW_US ? 0.0254 / 2 : 0.01; /* half an inch, or a centimetre */

	return step * ceil(value_m / step - 1e-6);
}

/* From a machine to a box, which has round figures as long as it is to be built. */
static void enlarge(struct inw_amount *a, bool said, double more, enum inw_units units)
{
	if (said)
		*a = exactly(round_up(a->value + more, units));
}

static void plan_size(const struct inw_sayings *s, struct inw_start *p)
{
	p->width = p->depth = exactly(round_up(0.5, p->units));
	p->height = exactly(round_up(0.6, p->units));
	bool width = inw_said_amount(s, "width", &p->width), depth = inw_said_amount(s, "depth", &p->depth), height = inw_said_amount(s, "height", &p->height);
	p->size_of_machine = !p->built && (width || depth || height);
	if (!p->built) {
		enlarge(&p->width, width, 2 * beside_m, p->units);
		enlarge(&p->depth, depth, 2 * beside_m, p->units);
		enlarge(&p->height, height, above_m, p->units);
	}
}

static bool is_warm(const struct inw_start *p)
{
	for (size_t i = 0; i < p->materials; i++)
		if (value_of(p->ask, material_of(p->ask, p->material[i])->chamber_low) >= warm_K)
			return true;
	return false;
}

static bool is_yes(const struct inw_answer *a)
{
	return a->text[0] == 'y' || a->text[0] == 'Y'; /* 'yes' or 'no' in any capitals */
}

/* The middle of what the materials want, but no warmer than carbon bears with something to spare: 54 degC is the most by
 * requirements.bed_T of catalog/defaults.yaml. */
static struct inw_amount heater_target(const struct inw_start *p)
{
	const double most_K = 273.15 + 50;
	double middle = 0;

	for (size_t i = 0; i < p->materials; i++) {
		const struct inw_material *m = material_of(p->ask, p->material[i]);
		double low = value_of(p->ask, m->chamber_low), high = value_of(p->ask, m->chamber_high);
		middle = fmax(middle, isnan(low) || isnan(high) ? 273.15 + 30 : (low + high) / 2);
	}
	return exactly(fmin(middle, most_K));
}

static void plan_box(const struct inw_sayings *s, struct inw_start *p)
{
	static const char *const seams[] = {[INW_SEAMS_SEALED] = "sealed", [INW_SEAMS_CLOSE] = "close", [INW_SEAMS_OPEN] = "open"};
	const char *box = inw_said_word(s, "box"), *said = inw_said_word(s, "seams"), *panel = inw_said_word(s, "panel");
	const struct inw_answer *hands = inw_said(s, "hands"), *heater = inw_said(s, "heater");

	p->built = box && strcmp(box, "built") == 0;
	plan_size(s, p);
	p->panel_said = panel != NULL;
	p->panel = panel ? panel : is_warm(p) && !p->built ? "PC twin-wall 6 mm" : "acrylic";
	p->panel_thickness = left_out();
	if (panel)
		inw_said_amount(s, "panel_thickness", &p->panel_thickness);
	for (size_t i = 0; i < p->ask->catalog.multiwalls; i++)
		if (strcmp(p->ask->catalog.multiwall[i].name, p->panel) == 0)
			p->panel_thickness = left_out();
	p->hands_said = hands != NULL;
	p->hands = hands ? is_yes(hands) : strcmp(p->process, "soldering") == 0;
	p->heater = heater && is_yes(heater);
	p->heater_target = heater_target(p);
	p->seams_said = said != NULL;
	p->seams = p->built ? INW_SEAMS_UNKNOWN : INW_SEAMS_AIM;
	for (int i = INW_SEAMS_SEALED; said && i <= INW_SEAMS_OPEN; i++)
		if (strcmp(said, seams[i]) == 0)
			p->seams = (enum inw_seams)i;
}

/* ---- the room ---------------------------------------------------------------------------------------------------- */

static void plan_people(const struct inw_sayings *s, struct inw_start *p)
{
	static const char *const word[] = {"works", "sleeps there", "sleeps next door", "child"};
	const char *said[INW_COUNT(word)];
	size_t n = inw_said_words(s, "people", said, INW_COUNT(said));

	for (size_t i = 0; i < n; i++)
		for (size_t k = 0; k < INW_COUNT(word); k++)
			p->people |= strcmp(said[i], word[k]) == 0 ? 1u << k : 0u;
	if (!n)
		p->people = INW_ANYBODY;
}

static void plan_appliances(const struct inw_sayings *s, const char *name, struct inw_start *p, struct inw_diags *diags)
{
	const char *said[INW_BEGIN_APPLIANCES];
	size_t n = inw_said_words(s, "appliance", said, INW_COUNT(said));
	bool none = false;

	for (size_t i = 0; i < n; i++) {
		if (strcmp(said[i], "none") == 0)
			none = true;
		else
			p->appliance[p->appliances++] = said[i];
	}
	p->appliance_said = n > 0;
	if (!n) /* the least that it stands of all that has a flue */
		p->appliance[p->appliances++] = "natural draught water heater";
	if (none && p->appliances)
		inw_diag_add(diags, INW_ERROR, name, inw_said(s, "appliance")->line, inw_said(s, "appliance")->column,
		             "appliance: 'none' and '%s' contradict each other", p->appliance[0]);
}

static void plan_room(const struct inw_sayings *s, const char *name, struct inw_start *p, struct inw_diags *diags)
{
	const char *out = inw_said_word(s, "outdoors");

	p->floor = amount(12, 8, 20);
	p->ceiling = p->altitude = left_out();
	p->length = amount(2, 1, 4);
	inw_said_amount(s, "floor", &p->floor);
	inw_said_amount(s, "ceiling", &p->ceiling);
	inw_said_amount(s, "altitude", &p->altitude);
	p->out_said = out != NULL;
	p->hose = !out || strcmp(out, "hose") == 0;
	if (out && p->hose)
		inw_said_amount(s, "hose", &p->length);
	plan_people(s, p);
	plan_appliances(s, name, p, diags);
}

/* Carbon that would lie thinner than one granule, or deeper than may be answered for its depth. */
static void check_bed(const struct inw_sayings *s, const struct inw_start *p, const char *name, struct inw_diags *diags)
{
	struct inw_amount wide, mass;
	char deep[64], granule[64];

	if (!inw_said_amount(s, "carbon_diameter", &wide) || !inw_said_amount(s, "carbon_mass", &mass))
		return;
	const struct inw_carbon *c = carbon_of(p);
	const double most = p->ask->public.questions[inw_question_of(&p->ask->public, "carbon_depth")].most;
	double depth = mass.value / (value_of(p->ask, c->bulk_density) * pi / 4 * wide.value * wide.value), least = value_of(p->ask, c->granule);
	if (depth < least)
		inw_diag_add(diags, INW_ERROR, name, inw_said(s, "carbon_mass")->line, inw_said(s, "carbon_mass")->column,
		             "carbon_mass: in a bed that wide it lies %s deep, less than a granule (%s)",
		             inw_format(deep, sizeof deep, depth, INW_DIM_LENGTH, p->units), inw_format(granule, sizeof granule, least, INW_DIM_LENGTH, p->units));
	if (depth > most)
		inw_diag_add(diags, INW_ERROR, name, inw_said(s, "carbon_mass")->line, inw_said(s, "carbon_mass")->column,
		             "carbon_mass: in a bed that wide it lies %s deep, more than a bed may (%s)",
		             inw_format(deep, sizeof deep, depth, INW_DIM_LENGTH, p->units), inw_format(granule, sizeof granule, most, INW_DIM_LENGTH, p->units));
}

/* The text would be refused in words about a file that nobody has written yet: better in words about the answers. */
static void check_fit(const struct inw_sayings *s, const struct inw_start *p, const char *name, struct inw_diags *diags)
{
	const double usual_ceiling_m = 2.4; /* rooms.height of catalog/defaults.yaml */
	double ceiling = p->ceiling.said ? p->ceiling.value : usual_ceiling_m;
	const struct inw_answer none = {0}, *h = inw_said(s, "height"), *w = inw_said(s, "width");
	char box[64], room[64];

	h = h ? h : &none;
	w = w ? w : &none;
	if (p->height.value > ceiling)
		inw_diag_add(diags, INW_ERROR, name, h->line, h->column, "height: the box (%s) is higher than the room (%s)",
		             inw_format(box, sizeof box, p->height.value, INW_DIM_LENGTH, p->units), inw_format(room, sizeof room, ceiling, INW_DIM_LENGTH, p->units));
	if (p->width.value * p->depth.value > p->floor.value)
		inw_diag_add(diags, INW_ERROR, name, w->line, w->column, "width: the box covers more floor (%s) than the room has (%s)",
		             inw_format(box, sizeof box, p->width.value * p->depth.value, INW_DIM_AREA, p->units),
		             inw_format(room, sizeof room, p->floor.value, INW_DIM_AREA, p->units));
}

/* ---- the cleaner ------------------------------------------------------------------------------------------------- */

static void plan_have(const struct inw_sayings *s, struct inw_start *p)
{
	const char *blower = inw_said_word(s, "blower");

	p->filter = inw_said_word(s, "filter");
	p->filter_said = p->filter != NULL;
	p->filter = p->filter ? p->filter : "H13"; /* particle_removal of catalog/defaults.yaml asks for 99 % */
	p->carbon = inw_said_word(s, "carbon");
	p->carbon_said = p->carbon != NULL;
	p->carbon = p->carbon ? p->carbon : "coconut 8x16";
	p->blower_said = blower != NULL;
	p->blower = blower && strcmp(blower, "own") ? blower : NULL;
	p->flow = p->pressure = left_out();
	if (blower && !p->blower) {
		inw_said_amount(s, "blower_flow", &p->flow);
		inw_said_amount(s, "blower_pressure", &p->pressure);
	}
}

/* Medium at a fifth of the velocity that it is rated at (5.3 cm/s, catalog/media.yaml), so that a new H13 takes some 60 Pa and a
 * loaded one leaves the blower something. Carbon of 60 mm at 0.2 m/s: 0.3 s, three times the residence_time that
 * catalog/defaults.yaml asks for, since a bed in use is not all fresh. Half of what a blower moves freely is where its curve
 * has both flow and pressure; an opening for hands takes more flow, so there all is twice as wide.
 * Neither is made large beside the box: common practice, no source. Ducts at 3 m/s: common practice, no source. */
static const double medium_ms = 0.01, carbon_ms = 0.2, carbon_m = 0.06, duct_ms = 3, share_of_free = 0.5, hands_ease = 2,
	medium_per_floor = 4, carbon_per_floor = 0.25;

static double sized_duct(double flow_m3s, enum inw_units units)
{
	static const double si[] = {0.05, 0.075, 0.1, 0.125, 0.15, 0.2}, us[] = {2 * 0.0254, 3 * 0.0254, 4 * 0.0254, 5 * 0.0254, 6 * 0.0254, 8 * 0.0254};
	const double *list = units == INW_US ? us : si;
	size_t i = 0;

	while (i + 1 < INW_COUNT(si) && flow_m3s > duct_ms * pi / 4 * list[i] * list[i])
		i++;
	return list[i];
}

static double diameter(double area_m2)
{
	return sqrt(4 * area_m2 / pi);
}

/* Two of diameter, depth and mass make a bed; what nobody said follows, and is left out where the file works it out. */
static void size_bed(const struct inw_sayings *s, struct inw_start *p, double area_m2)
{
	p->bed_diameter = p->bed_depth = p->bed_mass = left_out();
	bool wide = inw_said_amount(s, "carbon_diameter", &p->bed_diameter), deep = inw_said_amount(s, "carbon_depth", &p->bed_depth);
	bool mass = inw_said_amount(s, "carbon_mass", &p->bed_mass);
	double rho = value_of(p->ask, carbon_of(p)->bulk_density);

	if (wide && mass)
		p->bed_depth = left_out();
	else if (!deep && !mass)
		p->bed_depth = exactly(carbon_m);
	if (!wide)
		p->bed_diameter = exactly(diameter(mass ? p->bed_mass.value / (rho * (deep ? p->bed_depth.value : carbon_m)) : area_m2));
	if (!wide && deep)
		p->bed_mass = left_out(); /* the diameter is made to hold it */
}

/* Free delivery of the blower: as said, of the record, or of the record that stands for an unknown one. */
static struct inw_amount flow_of(const struct inw_start *p, const char *record)
{
	for (size_t i = 0; i < p->ask->catalog.blowers; i++) {
		const struct inw_blower_class *b = &p->ask->catalog.blower[i];
		if (strcmp(b->name, record) == 0)
			return exactly(value_of(p->ask, b->flow[b->points - 1]));
	}
	return left_out();
}

static void size_cleaner(const struct inw_sayings *s, struct inw_start *p, double flow_m3s)
{
	double ease = p->hands ? hands_ease : 1, floor_m2 = p->width.value * p->depth.value;

	p->filter_area = exactly(ease * fmin(flow_m3s / medium_ms, medium_per_floor * floor_m2));
	if (p->filter_said)
		inw_said_amount(s, "filter_area", &p->filter_area);
	size_bed(s, p, ease * fmin(flow_m3s / carbon_ms, carbon_per_floor * floor_m2));
	p->duct = sized_duct(flow_m3s, p->units);
}

void inw_start_size(const struct inw_start *plan, const struct inw_sayings *s, int blower, struct inw_start *out)
{
	static const char stands_in[] = "radial 120 mm";

	*out = *plan;
	if (blower >= 0)
		out->blower = plan->ask->catalog.blower[blower].name;
	double flow = out->blower ? flow_of(out, out->blower).value : out->flow.said ? out->flow.value : flow_of(out, stands_in).value;
	if (!out->blower && !out->flow.said)
		out->flow = amount(72 / hour_s, 55 / hour_s, 90 / hour_s); /* of that record */
	if (!out->blower && !out->pressure.said)
		out->pressure = amount(350, 200, 550);
	size_cleaner(s, out, share_of_free * flow);
	out->speed = 0.6; /* until these two are found */
	out->flap = 0.6;
}

bool inw_start_shrink(struct inw_start *p, const struct inw_sayings *s, double flow_m3s)
{
	const double least_m3s = 2 / hour_s, worth_it = 0.9;
	double area = p->filter_area.value, wide = p->bed_diameter.value;

	if (!(flow_m3s > least_m3s))
		return false;
	size_cleaner(s, p, flow_m3s);
	return (!p->filter_area.said && p->filter_area.value < worth_it * area) || (!p->bed_diameter.said && p->bed_diameter.value < worth_it * wide);
}

enum inw_status inw_start_plan(const struct inw_sayings *s, enum inw_units units, const char *name, struct inw_start *p, struct inw_diags *diags)
{
	size_t before = diags->errors;
	const struct inw_answer *title = inw_said(s, "title"), *deep = inw_said(s, "carbon_depth");

	*p = (struct inw_start){.units = units, .ask = s->ask, .title = title ? title->text : NULL};
	plan_machine(s, name, p, diags);
	plan_box(s, p);
	plan_room(s, name, p, diags);
	plan_have(s, p);
	check_fit(s, p, name, diags);
	check_bed(s, p, name, diags);
	if (deep && inw_said(s, "carbon_diameter") && inw_said(s, "carbon_mass"))
		inw_diag_add(diags, INW_WARNING, name, deep->line, deep->column, "carbon_depth: not used: mass and diameter say it");
	return diags->out_of_memory ? INW_NO_MEMORY : diags->errors > before ? INW_BAD_INPUT : INW_OK;
}
