/* SPDX-License-Identifier: MIT */
/* The reading of design files: every number under its path, with its provenance, in SI; what is derived is right.
 * Each test writes a small file and changes a part of it. Invariants cited: D1 .. D4 of src/design/design.h. */
#include "check.h"

#include <stdlib.h>

#include "whole.h"

#define PI 3.14159265358979323846

/* ---- a file in parts, so that a test replaces one ---- */

struct parts { const char *site, *rooms, *box, *cleaner, *heat, *jobs, *more; };

static const struct parts small = {
	"",
	"rooms: [{name: workroom, floor: 9 m2}, {name: bedroom, floor: 12 m2, temperature: free}]\n",
	"box: {inside: {width: 500 mm, depth: 400 mm, height: 600 mm}, panels: {all: {material: acrylic, thickness: 4 "
	"mm}}}\n",
	"",
	"",
	"jobs: [{name: night splint, material: PA, rate: 15 g/h, duration: 9 h}]\n",
	"",
};

static struct inw_diags diags;

static struct inw_design *parse(const char *text)
{
	struct inw_design *d = NULL;
	enum inw_status status;

	inw_diags_free(&diags);
	memset(&diags, 0, sizeof(diags));
	status = inw_design_parse(text, strlen(text), "design.yaml", NULL, &d, &diags);
	for (size_t i = 0; i < diags.count; i++)
		printf("# %d:%d %s\n", diags.items[i].line, diags.items[i].column, diags.items[i].message);
	CHECK((status == INW_OK) == (d != NULL));
	if (d)
		CHECK(!whole_design(d)); /* D1, D2, D3 */
	return d;
}

static struct inw_design *read_parts(const struct parts *p)
{
	static char text[16384];

	snprintf(text, sizeof(text), "inward: 1\ntitle: A test\n%s%s%s%s%s%s%s", p->site, p->rooms, p->box, p->cleaner,
		 p->heat, p->jobs, p->more);
	return parse(text);
}

static const struct inw_quantity *find(const struct inw_design *d, const char *path)
{
	static const struct inw_quantity none = {
		.path = "(no such path)", .value = NAN, .low = NAN, .high = NAN, .source = ""};

	for (size_t i = 0; d && i < inw_design_quantity_count(d); i++)
		if (strcmp(inw_design_quantity(d, i)->path, path) == 0)
			return inw_design_quantity(d, i);
	printf("# no quantity '%s'\n", path);
	return &none;
}

static double value(const struct inw_design *d, inw_q q)
{
	return q < 0 ? NAN : d->quantity[q].value;
}

/* ---- provenance ---- */

static void test_origins(void)
{
	struct inw_design *d = read_parts(&small);
	const struct inw_quantity *q;

	q = find(d, "box.inside.width");
	CHECK_ABS(q->value, 0.5, 0, "as written");
	CHECK(q->origin == INW_FROM_FILE && q->basis == INW_BASIS_GIVEN);
	CHECK_TEXT(q->file, "design.yaml");
	CHECK(q->line == 4 && q->column == 23); /* counted by hand in `small` */

	q = find(d, "rooms[workroom].height");
	CHECK(q->origin == INW_FROM_DEFAULT && q->low < q->high);
	CHECK_TEXT(q->file, "catalog/defaults.yaml");

	q = find(d, "materials[PA].gases[caprolactam]");
	CHECK(q->origin == INW_FROM_CATALOG && q->dim == INW_DIM_MASS_RATIO && q->low < q->high);
	CHECK(strstr(q->source, "Azimi") != NULL); /* the citation itself, not its key */
	CHECK_TEXT(d ? inw_design_title(d) : NULL, "A test");
	CHECK(d && !d->room[1].T_held && d->room[0].T_held);
	inw_design_free(d);
}

static void test_paths_are_unique_and_numbers_finite(void) /* D2, D4 */
{
	struct inw_design *d = read_parts(&small);
	size_t twice = 0, bad = 0;

	for (size_t i = 0; d && i < d->quantities; i++) {
		const struct inw_quantity *q = &d->quantity[i];

		bad += !isfinite(q->low) || !isfinite(q->high) || q->low > q->value || q->value > q->high ||
		       !q->source || !*q->source;
		for (size_t k = 0; k < i; k++)
			twice += strcmp(q->path, d->quantity[k].path) == 0;
	}
	CHECK(d && d->quantities > 100);
	CHECK(twice == 0);
	CHECK(bad == 0);
	inw_design_free(d);
}

static void test_range_of_a_written_number(void)
{
	struct parts p = small;
	struct inw_design *d;
	const struct inw_quantity *q;

	p.site = "site: {gust: 2 Pa (1 .. 4 Pa), altitude: 1000.1573 m}\n";
	d = read_parts(&p);
	q = find(d, "site.gust");
	CHECK_ABS(q->low, 1, 0, "as written");
	CHECK_ABS(q->high, 4, 0, "as written");
	/* 89875 Pa, printed to 1 Pa, at 1000 geopotential metres, which are 1000.1573 m of height */
	CHECK_ABS(find(d, "site.pressure")->value, 89875, 1, "ASHRAE Fundamentals 2017, chapter 1, table 1");
	CHECK(find(d, "site.pressure")->origin == INW_DERIVED);
	inw_design_free(d);
}

/* ---- records of the user's own ---- */

static void test_own_records(void)
{
	struct parts p = small;
	struct inw_design *d;
	const struct inw_quantity *q;

	p.more = "catalog:\n"
		 "  panels: {acrylic: {conductivity: 0.25 W/(m K), emissivity: 0.8}}\n"
		 "  defaults: {rooms.height: 3 m}\n"
		 "  materials:\n"
		 "    wax: {process: printing, particles: {per: time, value: 1e9 1/min, low: 1e8 1/min, high: 1e10 "
		 "1/min}, particle_diameter: 40 nm,\n"
		 "      gases: [{substance: styrene, per: mass, value: 5 ug/g, source: our own test}]}\n";
	p.jobs = "jobs: [{name: night splint, material: wax, rate: 15 g/h, duration: 9 h}]\n";
	d = read_parts(&p);
	q = find(d, "panels[acrylic].conductivity");
	CHECK_ABS(q->value, 0.25, 0, "the user's record goes before the catalog's");
	CHECK(q->origin == INW_FROM_FILE);
	CHECK(d && d->box.panel[INW_TOP].conductivity == d->box.panel[INW_LEFT].conductivity);
	CHECK_ABS(d ? value(d, d->box.panel[INW_TOP].conductivity) : NAN, 0.25, 0, "the same");
	q = find(d, "rooms[workroom].height");
	CHECK_ABS(q->value, 3, 0, "the user's default");
	CHECK(q->origin == INW_FROM_FILE);
	q = find(d, "materials[wax].gases[styrene]");
	CHECK_REL(q->value, 5e-6, 1e-15, "5 ug/g");
	CHECK_TEXT(q->source, "our own test");
	inw_design_free(d);
}

/* ---- what follows when little is given ---- */

static void test_assumed_seams(void)
{
	struct inw_design *d = read_parts(&small);
	size_t upright = 0;

	CHECK(d && d->box.gaps == 6);
	for (size_t i = 0; d && i < d->box.gaps; i++) {
		const struct inw_gap *g = &d->box.gap[i];

		CHECK(g->kind == INW_GAP_CRACK && g->width == d->box.gap[0].width && g->depth == d->box.gap[0].depth);
		if (g->face == INW_TOP || g->face == INW_BOTTOM) {
			CHECK_REL(value(d, g->length), 1.8, 1e-12, "perimeter 2 (0.5 + 0.4)");
			CHECK_ABS(value(d, g->height), g->face == INW_TOP ? 0.6 : 0, 0, "lid and floor");
			CHECK_ABS(value(d, g->rise), 0, 0, "level");
		} else {
			upright++;
			CHECK_ABS(value(d, g->rise), 0.6, 0, "the box's height");
			CHECK_ABS(value(d, g->length), 0.6, 0, "the box's height");
		}
	}
	CHECK(upright == 4);
	CHECK(d && d->quantity[d->box.gap[0].width].origin == INW_FROM_DEFAULT);
	inw_design_free(d);
}

static void test_leakage(void)
{
	struct parts p = small;
	struct inw_design *d;
	const struct inw_gap *g;
	double C;

	p.box = "box: {inside: {width: 500 mm, depth: 400 mm, height: 600 mm}, panels: {all: {material: acrylic, "
		"thickness: 4 mm}},\n"
		"  leakage: {flow: 6 m3/h (5 .. 7 m3/h), at: 10 Pa, exponent: 0.75}}\n";
	p.rooms = "rooms: [{name: workroom, floor: 9 m2, leakage: {area: 100 cm2, exponent: 0.65}}]\n";
	d = read_parts(&p);
	C = 6.0 / 3600 / pow(10, 0.75); /* Q = C dp^n, ASTM E779 */
	CHECK_REL(find(d, "box.leakage.C")->value, C, 1e-12, "Q = C dp^n");
	CHECK_REL(find(d, "box.leakage.C")->low, C * 5 / 6, 1e-12, "the flow's range carried on");
	CHECK_REL(find(d, "box.leakage.C")->high, C * 7 / 6, 1e-12, "the flow's range carried on");
	CHECK(d && d->box.gaps == 3);
	for (size_t i = 0; d && i < d->box.gaps; i++) {
		g = &d->box.gap[i];
		CHECK(g->kind == INW_GAP_MEASURED);
		CHECK_REL(value(d, g->C), C / 3, 1e-12, "a third");
		CHECK_ABS(value(d, g->height), 0.3 * (double)i, 1e-12, "floor, middle, lid");
	}
	/* ASTM E779: effective leakage area of 0.01 m2 passes 0.01 sqrt(2 x 4 / 1.2041) m3/s at 4 Pa */
	C = find(d, "rooms[workroom].leakage.C")->value;
	CHECK_REL(C * pow(4, 0.65), 0.01 * sqrt(8 / 1.2041), 1e-12, "ASTM E779, effective leakage area");
	inw_design_free(d);
}

/* What is not said of a room goes with its size: a cupboard neither loses nor leaks like a room. */
static void test_room_by_size(void)
{
	struct parts p = small;
	struct inw_design *d;

	p.rooms = "rooms: [{name: workroom, floor: 16 m2, height: 2.5 m}, {name: cupboard, floor: 1 m2, height: 2 m}]\n";
	d = read_parts(&p);
	/* 2 x 16 + 4 x 4 x 2.5 = 72 m2 and 2 x 1 + 4 x 1 x 2 = 10 m2 of surface */
	CHECK_REL(find(d, "rooms[workroom].heat_loss")->value, 72 / 1.7, 1e-12, "surface over insulation");
	CHECK_REL(find(d, "rooms[cupboard].heat_loss")->value, 10 / 1.7, 1e-12, "surface over insulation");
	CHECK_REL(find(d, "rooms[cupboard].heat_loss")->high, 10 / 0.7, 1e-12, "the least insulation");
	CHECK_REL(find(d, "rooms[workroom].leakage.C")->value, 16 * find(d, "rooms[cupboard].leakage.C")->value, 1e-12, "by the floor");
	/* ASTM E779 as above: 4 cm2 */
	CHECK_REL(find(d, "rooms[cupboard].leakage.C")->value * pow(4, 0.65), 4e-4 * sqrt(8 / 1.2041), 1e-12, "ASTM E779");
	inw_design_free(d);
}

/* ---- the bed: mass = area x depth x bulk density however it was written ---- */

#define CLEANER_HEAD                                                                                                   \
	"cleaner:\n  inlet: {height: 500 mm, duct: {diameter: 75 mm}}\n  return: {height: 50 mm, duct: {diameter: 75 " \
	"mm}}\n"                                                                                                       \
	"  exhaust: none\n  stages:\n    - blower: {record: radial 97 mm}\n"

static void check_bed(const char *plan, double area, double depth, double diameter)
{
	struct parts p = small;
	static char cleaner[1024];
	struct inw_design *d;
	const struct inw_bed *bed;

	snprintf(cleaner, sizeof(cleaner), CLEANER_HEAD "    - carbon: {record: coconut 4x8, %s}\n", plan);
	p.cleaner = cleaner;
	d = read_parts(&p);
	bed = d && d->cleaner.stages == 2 ? &d->cleaner.stage[1].bed : NULL;
	CHECK(bed != NULL);
	if (bed) {
		CHECK_TEXT(d->cleaner.stage[1].name, "2 carbon");
		CHECK_REL(value(d, bed->area), area, 1e-12, plan);
		CHECK_REL(value(d, bed->depth), depth, 1e-12, plan);
		CHECK_REL(value(d, bed->mass), value(d, bed->area) * value(d, bed->depth) * value(d, bed->bulk_density),
			  1e-12, "M = A L rho");
		if (diameter > 0)
			CHECK_REL(value(d, bed->diameter), diameter, 1e-12, plan);
		else
			CHECK(bed->diameter == INW_NONE);
	}
	inw_design_free(d);
}

static void test_beds(void)
{
	double circle = PI / 4 * 0.15 * 0.15;

	check_bed("diameter: 150 mm, depth: 60 mm", circle, 0.06, 0.15);
	check_bed("diameter: 150 mm, depth: 60 mm, mass: 500 g", circle, 0.06, 0.15);
	check_bed("diameter: 150 mm, mass: 500 g, bulk_density: 500 kg/m3", circle, 0.001 / circle, 0.15);
	check_bed("sides: [100 mm, 300 mm], depth: 60 mm", 0.03, 0.06, 0.15); /* hydraulic diameter 2ab/(a+b) */
	check_bed("area: 300 cm2, depth: 60 mm", 0.03, 0.06, 0);
}

/* ---- cleaner ---- */

static void test_cleaner(void)
{
	struct parts p = small;
	struct inw_design *d;
	const struct inw_blower *b;

	p.cleaner = "cleaner:\n"
		    "  inlet: {height: 500 mm, duct: {diameter: 75 mm, length: 1 m, bends: 2, bend_loss: 0.3, "
		    "entry_loss: 0.5, exit_loss: 1, loss: 0.7}}\n"
		    "  stages:\n"
		    "    - particle: {name: fine one, class: H13, area: 0.35 m2, rated_dp: 280 Pa}\n"
		    "    - blower: {curve: [[0 m3/h, 300 Pa], [36 m3/h, 200 Pa], [72 m3/h, 0 Pa]], power: 12 W, speed: "
		    "80 %, speed_low: 90 %}\n"
		    "  return: none\n"
		    "  exhaust: {to: outdoors, height: 2 m, duct: {diameter: 75 mm, hose: yes, length: 2 m}}\n";
	d = read_parts(&p);
	CHECK(d && d->cleaner.present && !d->cleaner.has_return && d->cleaner.has_exhaust &&
	      d->cleaner.exhaust_to == INW_OUTDOORS);
	CHECK_REL(find(d, "cleaner.inlet.duct.total_loss")->value, 0.5 + 1 + 2 * 0.3 + 0.7, 1e-12, "sum of K");
	CHECK(find(d, "cleaner.exhaust.duct.stretch")->origin == INW_FROM_DEFAULT);
	CHECK_ABS(find(d, "cleaner.inlet.duct.stretch")->value, 1, 0, "not a hose");
	CHECK_ABS(find(d, "cleaner.stages[fine one].rated_dp")->value, 280, 0, "as written, before the record");
	if (d) {
		CHECK_ABS(value(d, d->cleaner.stage[0].medium.efficiency), find(d, "mediums[H13].efficiency")->value, 0,
			  "the record's");
		/* EN 1822: class H13 holds at least 99.95 % at the worst size */
		CHECK_ABS(value(d, d->cleaner.stage[0].medium.efficiency), 0.9995, 1e-12, "EN 1822, class H13");
		b = &d->cleaner.stage[1].blower;
		CHECK(b->points == 3 && b->motor_in_air);
		CHECK_REL(value(d, b->flow[1]), 0.01, 1e-12, "36 m3/h");
		CHECK_ABS(value(d, b->speed_low), 0.9, 1e-12, "a factor on the speed");
		CHECK_ABS(value(d, b->flow_factor), 1, 0, "a curve by its points");
	}
	inw_design_free(d);
}

static void test_blower_of_shape(void)
{
	struct parts p = small;
	struct inw_design *d;
	const struct inw_blower *b;

	p.cleaner = "cleaner:\n  inlet: {height: 500 mm, duct: {diameter: 75 mm}}\n  return: {height: 50 mm, duct: "
		    "{diameter: 75 mm}}\n"
		    "  exhaust: none\n  stages:\n"
		    "    - blower: {free_delivery: 72 m3/h (54 .. 90 m3/h), shut_off: 300 Pa, shape: square, power: 12 "
		    "W}\n";
	p.more = "catalog: {shapes: {square: {flow: [0, 0.5, 1], rise: [1, 0.75, 0]}}}\n"; /* 1 - x^2 */
	d = read_parts(&p);
	CHECK(d && d->cleaner.stages == 1 && d->cleaner.stage[0].blower.points == 3);
	if (d) {
		b = &d->cleaner.stage[0].blower;
		CHECK_REL(value(d, b->flow[1]), 0.01, 1e-12, "half of 72 m3/h");
		CHECK_REL(value(d, b->rise[1]), 225, 1e-12, "0.75 of 300 Pa");
		CHECK_REL(d->quantity[b->flow_factor].low, 0.75, 1e-12, "54 of 72");
		CHECK_REL(d->quantity[b->flow_factor].high, 1.25, 1e-12, "90 of 72");
		CHECK(d->quantity[b->flow[1]].low == d->quantity[b->flow[1]].high); /* its points vary together */
	}
	inw_design_free(d);
}

static void test_job_takes_from_its_material(void)
{
	struct inw_design *d = read_parts(&small);

	if (d) {
		const struct inw_job *job = &d->job[0];
		const struct inw_material *m = &d->catalog.material[job->material];

		CHECK_TEXT(m->name, "PA");
		CHECK(job->chamber_low == m->chamber_low && job->chamber_high == m->chamber_high &&
		      job->plate == m->plate);
	}
	inw_design_free(d);
}

/* ---- what is needed in time ---- */

static void test_storage(void)
{
	struct parts p = small;
	struct inw_design *d;

	p.box = "box: {inside: {width: 500 mm, depth: 400 mm, height: 600 mm}, panels: {all: {material: acrylic, "
		"thickness: 4 mm},\n"
		"  top: {material: PC twin-wall 6 mm}, back: {resistance: 0.13 m2K/W}, left: {resistance: 0.13 m2K/W, "
		"weight: 2 kg/m2, heat: 1 kJ/(kg K)}}}\n";
	p.rooms = "rooms: [{name: workroom, floor: 10 m2}, {name: shed, floor: 4 m2, capacity: 300 kJ/K}]\n";
	d = read_parts(&p);
	/* 4 mm at the 1190 kg/m3 of cast sheet (data sheets, recalled) */
	CHECK_REL(find(d, "box.panels.all.weight")->value, 4.76, 1e-12, "density x thickness");
	CHECK(find(d, "box.panels.back.weight")->origin == INW_FROM_DEFAULT);
	CHECK_ABS(find(d, "box.panels.left.weight")->value, 2, 0, "as written");
	CHECK_ABS(find(d, "box.panels.left.heat")->value, 1000, 0, "as written");
	if (d) {
		CHECK_ABS(value(d, d->box.panel[INW_TOP].weight), 1.3, 0, "the record's");
		CHECK_ABS(value(d, d->box.panel[INW_RIGHT].heat), 1470, 0, "the record's");
		CHECK_ABS(value(d, d->room[1].capacity), 3e5, 0, "as written");
		CHECK_REL(value(d, d->room[0].capacity),
			  10 * find(d, "rooms[workroom].mass_per_area")->value *
				  find(d, "rooms[workroom].specific_heat")->value,
			  1e-12, "floor x mass per area x specific heat");
		CHECK(d->quantity[d->room[0].capacity].low < 0.5 * value(d, d->room[0].capacity));
	}
	inw_design_free(d);
}

/* A box is built unless its file says that it is not. */
static void test_planned(void)
{
	struct parts p = small;
	struct inw_design *d = read_parts(&p);

	CHECK(d && !d->box.planned);
	inw_design_free(d);
	p.box = "box: {planned: yes, inside: {width: 500 mm, depth: 400 mm, height: 600 mm}, panels: {all: {material: acrylic}}}\n";
	d = read_parts(&p);
	CHECK(d && d->box.planned);
	inw_design_free(d);
}

static void test_door(const char *door, double sill)
{
	static char box[512];
	struct parts p = small;
	struct inw_design *d;

	snprintf(box, sizeof(box),
		 "box: {inside: {width: 500 mm, depth: 400 mm, height: 600 mm}, panels: {all: {material: acrylic}}, "
		 "door: {%s}}\n",
		 door);
	p.box = box;
	d = read_parts(&p);
	CHECK(d && d->box.has_door);
	if (d)
		CHECK_ABS(value(d, d->box.door_sill), sill, 1e-12, door);
	inw_design_free(d);
}

static void test_doors(void)
{
	test_door("face: front, width: 400 mm, height: 400 mm, sill: 150 mm", 0.15);
	test_door("face: front, width: 400 mm, height: 400 mm", 0);
	test_door("face: top, width: 400 mm, height: 400 mm", 0.6); /* in the lid */
}

static void test_no_day(void)
{
	struct inw_design *d = read_parts(&small);

	CHECK_ABS(find(d, "day.start")->value, 0, 0, "midnight");
	CHECK_ABS(find(d, "day.span")->value, 86400, 0, "a day");
	CHECK(d && d->day.doings == 0 && d->day.weathers == 0);
	inw_design_free(d);
}

static void test_day(void)
{
	struct parts p = small;
	struct inw_design *d;
	const struct inw_doing *o;

	p.rooms = "rooms: [{name: workroom, floor: 9 m2}]\n"
		  "doorways: [{name: gap, between: [workroom, outdoors], width: 0.6 m, height: 10 mm},\n"
		  "  {name: roof vent, between: [workroom, outdoors], width: 1 mm, height: 20 mm}]\n";
	p.box = "box: {inside: {width: 500 mm, depth: 400 mm, height: 600 mm}, panels: {all: {material: acrylic}}, "
		"door: {face: front, width: 400 mm, height: 400 mm}}\n";
	p.cleaner = "cleaner:\n  inlet: {height: 500 mm, duct: {diameter: 75 mm}}\n"
		    "  return: {height: 50 mm, duct: {diameter: 75 mm}}\n"
		    "  exhaust: {to: outdoors, duct: {diameter: 75 mm}}\n"
		    "  split: {flap: {position: 20 %, diameter: 75 mm}}\n"
		    "  stages: [{blower: {record: radial 97 mm}}]\n";
	p.heat = "heat: {heater: {power: 200 W, target: 60 degC}}\n";
	p.more = "day:\n  start: \"06:00\"\n  span: 36 h\n  outdoor: [[\"06:00\", 1 degC], [\"15:00\", 9 degC]]\n"
		 "  doings:\n"
		 "    - {at: \"07:10\", door: open, for: 3 min}\n"
		 "    - {at: \"22:00\", flap: 50 %}\n"
		 "    - {at: \"07:30\", speed: 30 % (20 .. 40 %)}\n"
		 "    - {at: \"08:00\", window: roof vent, width: 300 mm, for: 10 min}\n"
		 "    - {at: \"09:00\", heater: 50 degC}\n";
	d = read_parts(&p);
	CHECK(d && d->day.doings == 5 && d->day.weathers == 2);
	CHECK_ABS(find(d, "day.start")->value, 6 * 3600, 0, "06:00");
	CHECK_ABS(find(d, "day.span")->value, 36 * 3600, 0, "36 h");
	CHECK_ABS(find(d, "day.outdoor[2].temperature")->value, 282.15, 1e-9, "9 degC");
	CHECK_ABS(find(d, "day.doings[3].speed")->low, 0.2, 1e-12, "its range");
	if (d && d->day.doings == 5) {
		o = d->day.doing;
		CHECK(o[0].kind == INW_DO_DOOR && o[0].to == INW_NONE);
		CHECK_ABS(value(d, o[0].at), 7 * 3600 + 600, 0, "07:10");
		CHECK_ABS(value(d, o[0].lasts), 180, 0, "3 min");
		CHECK(o[1].kind == INW_DO_FLAP && o[1].lasts == INW_NONE);
		CHECK_ABS(value(d, o[1].to), 0.5, 1e-12, "50 %");
		CHECK(o[2].kind == INW_DO_SPEED);
		CHECK(o[3].kind == INW_DO_WINDOW && o[3].doorway == 1);
		CHECK_ABS(value(d, o[3].to), 0.3, 1e-12, "300 mm");
		CHECK(o[4].kind == INW_DO_HEATER);
		CHECK_ABS(value(d, o[4].to), 323.15, 1e-9, "50 degC");
	}
	inw_design_free(d);
}

/* ---- units: one design in two hands ---- */

static const char metric[] =
	"inward: 1\n"
	"site: {altitude: 304.8 m, outdoor: {temperature: 10 degC, humidity: 50 %}, gust: 249.08891 Pa}\n"
	"rooms: [{name: shop, floor: 9.290304 m2, height: 2.4384 m, temperature: 25 degC, leakage: {flow: "
	"1.69901079552 m3/min, at: 50 Pa, exponent: 0.65}}]\n"
	"box: {inside: {width: 508 mm, depth: 508 mm, height: 609.6 mm}, panels: {all: {material: acrylic, thickness: "
	"6.35 mm}}}\n"
	"jobs: [{name: splint, material: PA, rate: 28.349523125 g/h, duration: 9 h, plate: 100 degC}]\n";
static const char customary[] =
	"inward: 1\n"
	"site: {altitude: 1000 ft, outdoor: {temperature: 50 degF, humidity: 50 %}, gust: 1 inH2O}\n"
	"rooms: [{name: shop, floor: 100 ft2, height: 8 ft, temperature: 77 degF, leakage: {flow: 60 ft3/min, at: 50 "
	"Pa, exponent: 0.65}}]\n"
	"box: {inside: {width: 20 in, depth: 20 in, height: 24 in}, panels: {all: {material: acrylic, thickness: 0.25 "
	"in}}}\n"
	"jobs: [{name: splint, material: PA, rate: 1 oz/h, duration: 540 min, plate: 212 degF}]\n";

static void test_units(void)
{
	struct inw_design *a = parse(metric), *b = parse(customary);
	size_t different = 0;

	CHECK(a && b && a->quantities == b->quantities);
	for (size_t i = 0; a && b && i < a->quantities; i++) {
		double x = a->quantity[i].value, y = b->quantity[i].value;

		/* the metric file is rounded to 9 digits: 1 inH2O (conventional, 4 degC) is 249.08891 Pa in NIST SP 811
		 */
		if (fabs(x - y) > 1e-8 * fabs(x)) {
			different++;
			printf("# %s: %.12g and %.12g\n", a->quantity[i].path, x, y);
		}
	}
	CHECK(different == 0);
	inw_design_free(a);
	inw_design_free(b);
}

/* ---- from files ---- */

static void test_files(void)
{
	struct inw_design *d = NULL;
	struct inw_read_options nowhere = { "no such folder" };

	inw_diags_free(&diags);
	memset(&diags, 0, sizeof(diags));
	CHECK(inw_design_read("no such file.yaml", NULL, &d, &diags) == INW_IO);
	CHECK(d == NULL && diags.errors == 1);
	CHECK(inw_design_parse(metric, strlen(metric), "m", &nowhere, &d, &diags) == INW_IO);
	CHECK(d == NULL && diags.errors == 2);
	inw_design_free(NULL);
	/* what went wrong before is nothing to the next file: a night's job makes its day begin where nothing is cut */
	struct inw_design *first = NULL;
	struct inw_diags clean = { 0 };
	CHECK(inw_design_read("examples/splint-night-choose.yaml", NULL, &first, &clean) == INW_OK);
	CHECK(inw_design_read("examples/splint-night-choose.yaml", NULL, &d, &diags) == INW_OK);
	CHECK(find(first, "day.start")->value > 0);
	CHECK_ABS(find(d, "day.start")->value, find(first, "day.start")->value, 0, "the same file read first");
	inw_design_free(first);
	inw_design_free(d);
	inw_diags_free(&clean);
}

static void test_catalog_folder(const char *dir)
{
	struct inw_read_options options = { dir };
	struct inw_design *a = parse(metric), *b = NULL;
	struct inw_diags more = { 0 };
	size_t different = 0;

	CHECK(inw_design_parse(metric, strlen(metric), "design.yaml", &options, &b, &more) == INW_OK);
	CHECK(a && b && a->quantities == b->quantities);
	for (size_t i = 0; a && b && i < a->quantities; i++)
		different += strcmp(a->quantity[i].path, b->quantity[i].path) != 0 ||
			     fabs(a->quantity[i].value - b->quantity[i].value) > 0;
	CHECK(different == 0);
	inw_design_free(a);
	inw_design_free(b);
	inw_diags_free(&more);
}

/* argument: the folder of the catalog's files, which must read as the built-in ones */
int main(int argc, char **argv)
{
	test_origins();
	test_paths_are_unique_and_numbers_finite();
	test_range_of_a_written_number();
	test_own_records();
	test_assumed_seams();
	test_leakage();
	test_room_by_size();
	test_beds();
	test_cleaner();
	test_blower_of_shape();
	test_job_takes_from_its_material();
	test_storage();
	test_planned();
	test_doors();
	test_no_day();
	test_day();
	test_units();
	test_files();
	if (argc > 1)
		test_catalog_folder(argv[1]);
	inw_diags_free(&diags);
	return check_done();
}
