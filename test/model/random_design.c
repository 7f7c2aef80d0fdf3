/* SPDX-License-Identifier: MIT */
#include "test/model/random_design.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* ---- chance ---- */

/* splitmix64: Steele, Lea & Flood 2014, Fast splittable pseudorandom number generators (memory) */
static uint64_t next(struct random_source *r)
{
	uint64_t z = r->state += 0x9e3779b97f4a7c15u;

	z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
	z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
	return z ^ (z >> 31);
}

double random_unit(struct random_source *r)
{
	return (double)(next(r) >> 11) * 0x1p-53;
}

double random_between(struct random_source *r, double low, double high)
{
	return low + (high - low) * random_unit(r);
}

double random_log(struct random_source *r, double low, double high)
{
	return low * pow(high / low, random_unit(r));
}

int random_int(struct random_source *r, int low, int high)
{
	return low + (int)(random_unit(r) * (high - low + 1));
}

bool random_chance(struct random_source *r, double p)
{
	return random_unit(r) < p;
}

/* ---- the text ---- */

struct sizes { double w, d, h, stand, lowest_room; int rooms, box_room; };

static const char *room_name(int i)
{
	static const char *const names[] = {"workroom", "bedroom", "hall", "kitchen"};

	return i < 0 ? "outdoors" : names[i];
}

/* A number that is now and then exactly zero: absent things must be as good as small ones. */
static double or_zero(struct random_source *r, double p, double value)
{
	return random_chance(r, p) ? 0 : value;
}

static void site(struct random_source *r, struct inw_text *t)
{
	inw_text_printf(t, "inward: 1\ntitle: random\nsite:\n  altitude: %.0f m\n", random_chance(r, 0.7) ? 0 : random_between(r, -400, 4500));
	inw_text_printf(t, "  outdoor: {temperature: %.1f degC, humidity: %.0f %%}\n", random_between(r, -35, 45), random_between(r, 0, 100));
}

static void rooms(struct random_source *r, struct inw_text *t, struct sizes *s)
{
	s->rooms = random_int(r, 1, 4);
	s->box_room = random_int(r, 0, s->rooms - 1);
	s->lowest_room = 10;
	inw_text_add(t, "rooms:\n");
	for (int i = 0; i < s->rooms; i++) {
		double height = random_between(r, 1.9, 3.5);
		s->lowest_room = fmin(s->lowest_room, height);
		inw_text_printf(t, "  - {name: %s, floor: %.2f m2, height: %.3f m, ", room_name(i), random_log(r, 3, 60), height);
		if (random_chance(r, 0.35))
			inw_text_add(t, "temperature: free, ");
		else
			inw_text_printf(t, "temperature: %.1f degC, ", random_between(r, 0, 35));
		inw_text_printf(t, "humidity: %.0f %%, heat_loss: %.3g W/K, air_changes: %.3g 1/h, ", random_between(r, 10, 90),
		                or_zero(r, 0.1, random_log(r, 1, 200)), or_zero(r, 0.2, random_log(r, 0.05, 5)));
		if (random_chance(r, 0.8))
			inw_text_printf(t, "leakage: {area: %.3g cm2, exponent: %.3f}}\n", random_log(r, 1, 400), random_between(r, 0.5, 1));
		else
			inw_text_printf(t, "leakage: {flow: %.3g m3/h, at: 50 Pa}}\n", random_log(r, 1, 500));
	}
}

static void doorways(struct random_source *r, struct inw_text *t, const struct sizes *s)
{
	int count = random_int(r, 0, 4);

	if (count)
		inw_text_add(t, "doorways:\n");
	for (int i = 0; i < count; i++) {
		int a = random_int(r, 0, s->rooms - 1), b = random_int(r, -1, s->rooms - 1);
		if (a == b)
			b = INW_OUTDOORS;
		double height = random_chance(r, 0.5) ? random_log(r, 1e-3, 0.03) : random_between(r, 0.03, 1.8);
		inw_text_printf(t, "  - {name: door %d, between: [%s, %s], width: %.4g m, height: %.5g m, sill: %.4g m}\n", i, room_name(a),
		                room_name(b), random_log(r, 0.02, 1.2), height, or_zero(r, 0.5, random_between(r, 0, s->lowest_room - height)));
	}
}

static void panel(struct random_source *r, struct inw_text *t, const char *face)
{
	static const char *const solid[] = {"acrylic", "polycarbonate", "glass", "sheet steel", "aluminium", "plywood", "MDF", "foam", "XPS"};
	static const char *const wall[] = {"PC twin-wall 4 mm", "PC twin-wall 10 mm", "PC triple-wall 16 mm"};

	if (random_chance(r, 0.1))
		inw_text_printf(t, "    %s: {resistance: %.3g m2K/W, emissivity: %.2f", face, random_log(r, 1e-5, 3), random_between(r, 0.05, 0.98));
	else if (random_chance(r, 0.2))
		inw_text_printf(t, "    %s: {material: %s", face, wall[random_int(r, 0, 2)]);
	else
		inw_text_printf(t, "    %s: {material: %s, thickness: %.3g mm", face, solid[random_int(r, 0, 8)], random_log(r, 0.5, 40));
	if (random_chance(r, 0.3))
		inw_text_printf(t, ", insulation: {material: %s, thickness: %.3g mm}", random_chance(r, 0.5) ? "foam" : "XPS", random_log(r, 2, 80));
	inw_text_add(t, "}\n");
}

static void gap(struct random_source *r, struct inw_text *t, const struct sizes *s, int i)
{
	static const char *const kinds[] = {"crack", "hole", "opening", "measured"};
	static const char *const faces[] = {"top", "bottom", "front", "back", "left", "right"};
	int kind = random_int(r, 0, 3);
	double z = random_chance(r, 0.2) ? 0 : random_chance(r, 0.2) ? s->h : random_between(r, 0, s->h);
	double rise = or_zero(r, 0.5, random_between(r, 0, s->h - z));
	int face = random_int(r, 0, 5);

	face += kind == 2 && face < 2 ? 2 : 0; /* an opening stands upright */
	if (face < 2)
		z = face == 0 ? s->h : 0, rise = 0;
	else if (kind == 1) /* a hole ends below the lid */
		z = fmin(z, s->h - 0.06);

	inw_text_printf(t, "    - {name: gap %d, kind: %s, face: %s, height: %.6g m", i, kinds[kind], faces[face], z);
	if (random_chance(r, 0.1))
		inw_text_printf(t, ", room: %s", room_name(random_int(r, -1, s->rooms - 1)));
	if (kind == 0)
		inw_text_printf(t, ", rise: %.6g m, length: %.5g m, width: %.4g mm, depth: %.4g mm, bends: %d}\n", rise, rise + random_log(r, 0.05, 3),
		                random_log(r, 0.02, 4), random_log(r, 2, 40), random_int(r, 0, 2));
	else if (kind == 1)
		/* a box shut but for less has its pressure only to rounding */
		inw_text_printf(t, ", diameter: %.4g mm, count: %d}\n", random_log(r, 1, 60), random_int(r, 1, 6));
	else if (kind == 2)
		inw_text_printf(t, ", rise: %.6g mm, width: %.4g mm}\n", 1e3 * (s->h - z > 0.002 ? random_log(r, 0.001, s->h - z) : 5e-4), random_log(r, 0.5, 900 * fmin(s->w, s->d)));
	else
		inw_text_printf(t, ", rise: %.6g m, flow: %.4g m3/h, at: %.3g Pa, exponent: %.3f}\n", rise, random_log(r, 0.01, 50),
		                random_log(r, 1, 50), random_between(r, 0.5, 1));
}

static void box(struct random_source *r, struct inw_text *t, struct sizes *s)
{
	s->w = random_log(r, 0.2, 1.2);
	s->d = random_log(r, 0.2, 1.2);
	s->h = random_log(r, 0.2, 1.4);
	s->stand = or_zero(r, 0.3, random_between(r, 0, fmax(s->lowest_room - s->h - 0.05, 0)));
	inw_text_printf(t, "box:\n  stands_in: %s\n  inside: {width: %.6g m, depth: %.6g m, height: %.6g m}\n  stand: %.4g m\n", room_name(s->box_room),
	                s->w, s->d, s->h, s->stand);
	if (random_chance(r, 0.5))
		inw_text_printf(t, "  stirring: %.3g m/s\n", or_zero(r, 0.2, random_log(r, 0.02, 2)));
	inw_text_add(t, "  panels:\n");
	panel(r, t, "all");
	if (random_chance(r, 0.4))
		panel(r, t, "bottom");
	if (random_chance(r, 0.4))
		panel(r, t, "front");
	double kind = random_unit(r);
	if (kind < 0.1) {
		inw_text_printf(t, "  leakage: {flow: %.4g m3/h, at: 10 Pa, exponent: %.3f}\n", random_log(r, 0.05, 60), random_between(r, 0.5, 1));
		return;
	}
	if (kind < 0.15) /* nothing is said of gaps: the reader's own seams */
		return;
	int gaps = kind < 0.22 ? 0 : kind < 0.27 ? INW_MAX_GAPS : kind < 0.4 ? 1 : random_int(r, 2, 8);
	inw_text_add(t, gaps ? "  gaps:\n" : "  gaps: []\n");
	for (int i = 0; i < gaps; i++)
		gap(r, t, s, i);
}

/* Round numbers are kept for special values: none at all and short. */
static void duct(struct random_source *r, struct inw_text *t, double diameter, const struct sizes *s)
{
	double length = random_chance(r, 0.25) ? 0 : random_chance(r, 0.1) ? random_log(r, 1e-3, 0.05) : random_log(r, 0.05, 15);

	inw_text_printf(t, "duct: {diameter: %.4g mm, length: %.4g m, bends: %d", 1e3 * diameter, length, random_int(r, 0, 4));
	if (random_chance(r, 0.3) && diameter > 0.045)
		inw_text_printf(t, ", hose: yes, stretch: %.3g", random_between(r, 1, 6));
	if (random_chance(r, 0.4))
		inw_text_printf(t, ", insulation: %.3g m2K/W", or_zero(r, 0.2, random_log(r, 0.01, 2)));
	if (random_chance(r, 0.1))
		inw_text_printf(t, ", room: %s", room_name(random_int(r, -1, s->rooms - 1)));
	inw_text_add(t, "}}\n");
}

static void medium(struct random_source *r, struct inw_text *t)
{
	static const char *const classes[] = {"E10", "E12", "H13", "H14", "MERV 13", "MERV 16"};

	inw_text_printf(t, "    - particle: {class: %s, area: %.4g m2, loading: %.3g, seal: {length: %.3g m, width: %.4g mm}}\n",
	                classes[random_int(r, 0, 5)], random_log(r, 0.02, 3), random_between(r, 1, 4), random_between(r, 0.3, 2),
	                or_zero(r, 0.3, random_log(r, 0.005, 2)));
}

static void bed(struct random_source *r, struct inw_text *t)
{
	static const char *const carbons[] = {"coconut 4x8", "coconut 4x10", "coconut 6x12", "coconut 8x16", "coconut 12x30", "pellet 4 mm"};

	inw_text_printf(t, "    - carbon: {record: %s, diameter: %.4g mm, depth: %.4g mm, screens: %d, seal: {width: %.4g mm}}\n",
	                carbons[random_int(r, 0, 5)], random_log(r, 70, 400), random_log(r, 20, 200), random_int(r, 0, 2),
	                or_zero(r, 0.3, random_log(r, 0.01, 2)));
}

static void blower(struct random_source *r, struct inw_text *t)
{
	static const char *const records[] = {"radial 97 mm", "radial 120 mm", "axial 120 mm", "axial 120 mm thick", "axial 40 mm"};
	static const char *const shapes[] = {"forward curved", "axial", "backward curved"};
	const char *air = random_chance(r, 0.5) ? "" : ", motor_in_air: no";
	double speed = random_chance(r, 0.2) ? 100 : random_between(r, 1, 100);

	if (random_chance(r, 0.5))
		inw_text_printf(t, "    - blower: {record: %s, speed: %.4g %%%s}\n", records[random_int(r, 0, 4)], speed, air);
	else if (random_chance(r, 0.7))
		inw_text_printf(t, "    - blower: {free_delivery: %.4g m3/h, shut_off: %.4g Pa, shape: %s, power: %.3g W, speed: %.4g %%%s}\n",
		                random_log(r, 5, 400), random_log(r, 20, 2000), shapes[random_int(r, 0, 2)], random_log(r, 1, 100), speed, air);
	else { /* a hump that is the user's own */
		double q = random_log(r, 10, 300), p = random_log(r, 30, 1000);
		inw_text_printf(t, "    - blower: {curve: [[0 m3/h, %.4g Pa], [%.4g m3/h, %.4g Pa], [%.4g m3/h, %.4g Pa], [%.4g m3/h, 0 Pa]], power: %.3g W, speed: %.4g %%%s}\n",
		                p * random_between(r, 0.6, 1.1), 0.2 * q, p * random_between(r, 0.5, 1.2), 0.5 * q, p, q, random_log(r, 1, 60), speed, air);
	}
}

static void stages(struct random_source *r, struct inw_text *t)
{
	int count = random_int(r, 1, 4), at = random_int(r, 0, count - 1);

	inw_text_add(t, "  stages:\n");
	for (int i = 0; i < count; i++) {
		double kind = random_unit(r);
		if (i == at || kind < 0.1)
			blower(r, t);
		else if (kind < 0.55)
			medium(r, t);
		else
			bed(r, t);
	}
}

static void cleaner(struct random_source *r, struct inw_text *t, const struct sizes *s)
{
	double bore = random_log(r, 0.03, 0.15), way = random_unit(r);
	bool back = way < 0.8, out = way > 0.15;

	inw_text_printf(t, "cleaner:\n  inlet: {height: %.4g m, ", random_between(r, 0, s->h));
	duct(r, t, bore * random_between(r, 0.8, 1.25), s);
	stages(r, t);
	if (back && out) {
		double split = random_unit(r);
		double part = random_chance(r, 0.15) ? 0 : random_chance(r, 0.15) ? 100 : random_between(r, 0, 100);
		if (split < 0.5)
			inw_text_printf(t, "  split: {flap: {position: %.4g %%, diameter: %.4g mm, seat_leak: %.3g %%}}\n", part, 1e3 * bore,
			                or_zero(r, 0.3, random_log(r, 0.05, 20)));
		else if (split < 0.8)
			inw_text_printf(t, "  split: {share: %.4g %%}\n", part);
		else
			inw_text_add(t, "  split: {tee: yes}\n");
	}
	if (back) {
		inw_text_printf(t, "  return: {height: %.4g m, ", random_between(r, 0, s->h));
		duct(r, t, bore * random_between(r, 0.8, 1.25), s);
	} else {
		inw_text_add(t, "  return: none\n");
	}
	if (out) {
		int to = random_chance(r, 0.6) ? INW_OUTDOORS : random_int(r, 0, s->rooms - 1);
		inw_text_printf(t, "  exhaust: {to: %s, height: %.4g m, ", room_name(to), random_between(r, 0.1, s->lowest_room));
		duct(r, t, bore * random_between(r, 0.8, 1.25), s);
	} else {
		inw_text_add(t, "  exhaust: none\n");
	}
}

static void heat(struct random_source *r, struct inw_text *t, const struct sizes *s)
{
	inw_text_add(t, "heat:\n");
	if (random_chance(r, 0.8))
		inw_text_printf(t, "  plate: {width: %.4g m, depth: %.4g m, emissivity: %.2f, underside: %.0f %%}\n", s->w * random_between(r, 0.2, 0.95),
		                s->d * random_between(r, 0.2, 0.95), random_between(r, 0.05, 0.98), random_between(r, 0, 100));
	else
		inw_text_printf(t, "  plate: {width: %.4g m, depth: %.4g m}\n", 0.1 * s->w, 0.1 * s->d);
	inw_text_printf(t, "  hot_end: %.3g W\n  electronics: %.3g W\n", or_zero(r, 0.2, random_log(r, 2, 150)), or_zero(r, 0.2, random_log(r, 2, 150)));
	if (random_chance(r, 0.5))
		inw_text_printf(t, "  heater: {power: %.4g W, target: %.1f degC}\n", random_log(r, 5, 800), random_between(r, 15, 95));
}

static void jobs(struct random_source *r, struct inw_text *t)
{
	static const char *const materials[] = {"PLA", "PETG", "ABS", "ASA", "HIPS", "PA", "PC", "TPU", "PP", "rosin solder", "laser acrylic", "resin rinsing"};
	int m = random_int(r, 0, 11);

	inw_text_printf(t, "jobs:\n  - {name: job, material: %s, rate: %.3g g/h, duration: %.3g h", materials[m], random_log(r, 0.5, 80), random_log(r, 0.2, 20));
	if (m < 9 && random_chance(r, 0.6))
		inw_text_printf(t, ", plate: %.0f degC", random_between(r, 10, 160));
	inw_text_add(t, "}\n");
}

void random_design_text(struct random_source *r, struct inw_text *t)
{
	struct sizes s;

	site(r, t);
	rooms(r, t, &s);
	doorways(r, t, &s);
	box(r, t, &s);
	if (random_chance(r, 0.88))
		cleaner(r, t, &s);
	heat(r, t, &s);
	jobs(r, t);
}

struct inw_design *random_design(struct random_source *r)
{
	struct inw_text t = {0};
	struct inw_diags diags = {0};
	struct inw_design *d = NULL;

	random_design_text(r, &t);
	if (t.failed || inw_design_parse(t.s, t.length, "random", NULL, &d, &diags) != INW_OK) {
		for (size_t i = 0; i < diags.count; i++)
			printf("random design refused, line %d: %s\n", diags.items[i].line, diags.items[i].message);
	}
	inw_diags_free(&diags);
	inw_text_free(&t);
	return d;
}

/* ---- values ---- */

struct wild { struct random_source *r; const struct inw_design *d; double *x; };

/* From the value as read: one quantity may stand for the widths of several gaps. */
static void scale(const struct wild *w, inw_q q, double low, double high)
{
	if (q >= 0)
		w->x[q] = w->d->quantity[q].value * random_log(w->r, low, high);
}

static void put(double *x, inw_q q, double v)
{
	if (q >= 0)
		x[q] = v;
}

static void wild_gaps(const struct wild *w)
{
	const struct inw_design *d = w->d;
	double all = random_log(w->r, 0.3, 2);

	for (size_t i = 0; i < d->box.gaps; i++) {
		const struct inw_gap *g = &d->box.gap[i];
		scale(w, g->width, 0.3 * all, 3 * all);
		scale(w, g->diameter, 0.5 * all, 2 * all);
		scale(w, g->opening_width, 0.3 * all, 3 * all);
		if (g->C >= 0)
			scale(w, g->C, 0.3 * all, 3 * all);
	}
}

static void wild_rooms(const struct wild *w)
{
	struct random_source *r = w->r;
	const struct inw_design *d = w->d;
	put(w->x, d->site.T_out, 273.15 + random_between(r, -35, 45));
	for (size_t i = 0; i < d->rooms; i++) {
		put(w->x, d->room[i].T, 273.15 + random_between(r, 0, 35));
		scale(w, d->room[i].leak_C, 0.2, 5);
		scale(w, d->room[i].heat_loss, 0.2, 5);
	}
}

static void wild_cleaner(const struct wild *w)
{
	struct random_source *r = w->r;
	const struct inw_design *d = w->d;
	const struct inw_cleaner *c = &d->cleaner;
	const struct inw_duct *duct[3] = {&c->inlet, &c->ret, &c->exhaust};

	if (!c->present)
		return;
	put(w->x, c->position, random_chance(r, 0.1) ? 0 : random_chance(r, 0.1) ? 1 : random_unit(r));
	put(w->x, c->share, random_unit(r));
	for (int i = 0; i < 3; i++)
		if ((i != 1 || c->has_return) && (i != 2 || c->has_exhaust))
			scale(w, duct[i]->length, 0.2, 4);
	for (size_t i = 0; i < c->stages; i++) {
		const struct inw_stage *s = &c->stage[i];
		if (s->kind == INW_STAGE_BLOWER)
			put(w->x, s->blower.speed, random_chance(r, 0.1) ? 0 : random_unit(r));
		else if (s->kind == INW_STAGE_MEDIUM)
			scale(w, s->medium.seal_width, 0.3, 3);
		else
			scale(w, s->bed.seal_width, 0.3, 3);
	}
}

double *random_values(struct random_source *r, const struct inw_design *d, bool wild)
{
	double *x = malloc(sizeof(double) * (d->quantities + 1));

	if (!x)
		return NULL;
	for (size_t i = 0; i < d->quantities; i++)
		x[i] = d->quantity[i].value;
	if (!wild)
		return x;
	struct wild w = {r, d, x};
	wild_gaps(&w);
	wild_rooms(&w);
	wild_cleaner(&w);
	put(x, d->job[0].plate, 273.15 + random_between(r, 5, 170));
	put(x, d->heat.hot_end, or_zero(r, 0.3, random_log(r, 1, 200)));
	put(x, d->heat.electronics, or_zero(r, 0.3, random_log(r, 1, 100)));
	return x;
}
