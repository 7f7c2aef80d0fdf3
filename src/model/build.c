/* SPDX-License-Identifier: MIT */
/* build.c: from a design and an array of values to the numbers of one state (model.h). */
#include "model/model.h"

#include <assert.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "physics/heat.h"

struct build {
	struct inw_model *m;
	const struct inw_design *d;
	const struct inw_values *x;
	const struct inw_state *state;
};

/* The value of a quantity, or `absent` when the design has none. */
static double val(const struct build *b, inw_q q, double absent)
{
	return inw_value(b->x, q, absent);
}

/* The same of what a body stores: at rest nothing depends on it. */
static double stored(const struct build *b, inw_q q)
{
	if (b->state->storing || q < 0)
		return val(b, q, 0);
	if (b->x->touched)
		b->x->touched[q] |= INW_READ_FOR_TIME;
	return b->x->x[q];
}

/* A heat source: at the high end of its range in the hottest state. */
static double source(const struct build *b, inw_q q)
{
	if (q < 0 || b->state->idle)
		return 0;
	double v = inw_value(b->x, q, 0);
	return b->state->hottest ? fmax(v, b->d->quantity[q].high) : v;
}

static double humidity_ratio(double p_Pa, double T_K, double rh)
{
	return inw_air_humidity_ratio(p_Pa, rh * inw_air_saturation_Pa(T_K));
}

enum inw_door inw_door_stands(const struct inw_doorway *o, enum inw_doors doors)
{
	bool window = inw_is_window(o), on_way = (doors == INW_DOORS_TO_FLUES && o->to_flue) || (doors == INW_DOORS_TO_PEOPLE && o->to_people);

	if (o->fixed || doors == INW_DOORS_AS_WRITTEN)
		return INW_DOOR_AS_WRITTEN;
	if (doors == INW_DOORS_OPEN)
		return window ? INW_DOOR_AS_WRITTEN : INW_DOOR_OPEN;
	if (on_way && !window)
		return INW_DOOR_OPEN;
	return o->low && !window ? INW_DOOR_AS_WRITTEN : INW_DOOR_SHUT;
}

/* An ordinary door wide open (common practice, no source), or shut but for the gap under it; a window leaves none. */
static void stand(struct build *b, const struct inw_doorway *o, struct inw_model_doorway *m)
{
	switch (inw_door_stands(o, b->state->doors)) {
	case INW_DOOR_AS_WRITTEN:
		break;
	case INW_DOOR_OPEN:
		m->width = fmax(m->width, 0.8);
		m->rise = fmax(m->rise, 2.0);
		m->sill = fmin(m->sill, 0);
		break;
	case INW_DOOR_SHUT:
		if (inw_is_window(o))
			m->width = 0;
		else
			m->rise = fmin(m->rise, val(b, o->shut, 0));
		break;
	}
}

static void build_rooms(struct build *b)
{
	struct inw_model *m = b->m;
	const struct inw_design *d = b->d;

	m->p_site = val(b, d->site.pressure, 0);
	m->T_out = val(b, d->site.T_out, 0);
	m->w_out = humidity_ratio(m->p_site, m->T_out, val(b, d->site.rh_out, 0));
	m->gust = val(b, d->site.gust, 0);
	m->rooms = (int)d->rooms;
	for (int i = 0; i < m->rooms; i++) {
		const struct inw_room *r = &d->room[i];
		struct inw_model_room *o = &m->room[i];
		o->assumed = r->T_assumed;
		o->T = val(b, r->T, m->T_out);
		o->floor = val(b, r->floor, 0);
		o->height = val(b, r->height, 0);
		o->volume = o->floor * o->height;
		o->humidity_ratio = humidity_ratio(m->p_site, o->T, val(b, r->rh, 0));
		o->heat_loss = val(b, r->heat_loss, 0);
		o->capacity = stored(b, r->capacity);
		o->leak_C = val(b, r->leak_C, 0);
		o->leak_n = val(b, r->leak_n, 0.65);
		/* the exchange is stated for air of the room at the temperature it is held at, or first guessed at */
		o->exchange_kgs = val(b, r->air_changes, 0) * o->volume * inw_air_density_kgm3(m->p_site, o->T, o->humidity_ratio);
	}
}

static void build_doorways(struct build *b)
{
	struct inw_model *m = b->m;

	m->doorways = (int)b->d->doorways;
	for (int i = 0; i < m->doorways; i++) {
		const struct inw_doorway *o = &b->d->doorway[i];
		m->doorway[i] = (struct inw_model_doorway){o->a, o->b, val(b, o->width, 0), val(b, o->height, 0), val(b, o->sill, 0), val(b, o->cd, 0)};
		stand(b, o, &m->doorway[i]);
	}
}

static void build_gap(struct build *b, const struct inw_gap *g, struct inw_model_gap *o)
{
	*o = (struct inw_model_gap){.kind = g->kind, .room = g->room};
	o->z = val(b, g->height, 0);
	o->rise = val(b, g->rise, 0);
	double count = val(b, g->count, 1);
	switch (g->kind) {
	case INW_GAP_CRACK:
		o->r = inw_crack(val(b, g->length, 0), val(b, g->width, 0), val(b, g->depth, 0), val(b, g->bends, 0));
		o->area = val(b, g->length, 0) * val(b, g->width, 0);
		o->depth = val(b, g->depth, 0);
		break;
	case INW_GAP_HOLE:
		o->r = inw_hole(val(b, g->diameter, 0), val(b, g->cd, 0));
		o->r.lin /= count;
		o->r.quad /= count * count;
		o->area = count * 0.25 * INW_PI * val(b, g->diameter, 0) * val(b, g->diameter, 0);
		break;
	case INW_GAP_OPENING:
		o->width = val(b, g->opening_width, 0);
		o->cd = val(b, g->cd, 0);
		o->area = o->width * o->rise;
		break;
	case INW_GAP_MEASURED:
		o->C = val(b, g->C, 0);
		o->n = val(b, g->n, 0.65);
		break;
	}
}

/* A gap of no width is no path: leave it out rather than divide by it. */
static bool gap_exists(const struct build *b, const struct inw_gap *g)
{
	switch (g->kind) {
	case INW_GAP_CRACK: return val(b, g->width, 0) > 0 && val(b, g->length, 0) > 0;
	case INW_GAP_HOLE: return val(b, g->diameter, 0) > 0 && val(b, g->count, 1) > 0;
	case INW_GAP_OPENING: return val(b, g->opening_width, 0) > 0 && val(b, g->rise, 0) > 0;
	case INW_GAP_MEASURED: return val(b, g->C, 0) > 0;
	}
	return false;
}

/* Layers of a panel in series; a sheet of no resistance would join its faces: metal is near it, never at it. */
static double panel_resistance(const struct build *b, const struct inw_panel *p)
{
	double R = p->resistance >= 0 ? val(b, p->resistance, 0) : val(b, p->thickness, 0) / val(b, p->conductivity, 1);

	if (p->insulation_thickness >= 0)
		R += val(b, p->insulation_thickness, 0) / val(b, p->insulation_conductivity, 1);
	return R;
}

/* Front and back, left and right are alike when they are read from the same numbers, whatever these are now: the unknowns of
 * a design are to be the same for all its values. */
static int face_like(const struct inw_panel *p, int i)
{
	const struct inw_panel *a = &p[i], *o = &p[i - (i > 0)];
	bool opposite = i == INW_BACK || i == INW_RIGHT;
	bool same = a->thickness == o->thickness && a->resistance == o->resistance && a->conductivity == o->conductivity
		&& a->insulation_thickness == o->insulation_thickness && a->insulation_conductivity == o->insulation_conductivity
		&& a->weight == o->weight && a->heat == o->heat && a->emissivity == o->emissivity;

	return opposite && same ? i - 1 : i;
}

static void build_panels(struct build *b)
{
	struct inw_model *m = b->m;
	const struct inw_box *box = &b->d->box;
	double w = m->box_w, d = m->box_d, h = m->box_h;
	double area[INW_FACES] = {w * d, w * d, w * h, w * h, d * h, d * h};
	int facing[INW_FACES] = {-1, 1, 0, 0, 0, 0}; /* where the inner face looks */
	double total = 2 * (w * d + w * h + d * h) + m->plate_area;

	for (int i = 0; i < INW_FACES; i++) {
		struct inw_model_panel *o = &m->panel[i];
		double e = val(b, box->panel[i].emissivity, 0);
		o->present = true;
		o->like = face_like(box->panel, i);
		m->panel[o->like].alike++;
		o->facing_in = facing[i];
		o->area = area[i];
		o->run = facing[i] || i == INW_FRONT || i == INW_BACK ? w : d;
		o->length = facing[i] ? area[i] / (2 * (w + d)) : h;
		o->resistance = panel_resistance(b, &box->panel[i]);
		o->capacity = area[i] * stored(b, box->panel[i].weight) * stored(b, box->panel[i].heat);
		o->emissivity_out = e;
		o->exchange_in = inw_radiant_exchange_factor(e, area[i], total);
	}
	if (m->plate_area > 0)
		m->plate_exchange = inw_radiant_exchange_factor(val(b, b->d->heat.plate_emissivity, 0), m->plate_area, total);
}

/* Discharge coefficient of an open door: 0.6 is usual, BS 5925 / Brown & Solvason 1962, memory. */
static const double open_door_cd = 0.6;

static void build_box(struct build *b, const struct inw_job *job)
{
	struct inw_model *m = b->m;
	const struct inw_box *box = &b->d->box;
	const struct inw_heat *h = &b->d->heat;

	m->box_room = box->room;
	m->box_w = val(b, box->width, 0);
	m->box_d = val(b, box->depth, 0);
	m->box_h = val(b, box->height, 0);
	m->stand = val(b, box->stand, 0);
	m->stirring = val(b, box->stirring, 0);
	m->convection = val(b, box->convection, 1);
	m->forced_length = m->box_w;
	m->w_box = m->room[box->room].humidity_ratio;
	for (size_t i = 0; i < box->gaps; i++)
		if (gap_exists(b, &box->gap[i]))
			m->gap_of[m->gaps] = (int)i, build_gap(b, &box->gap[i], &m->gap[m->gaps++]);

	if (b->state->door_open && box->has_door && m->gaps < INW_MAX_GAPS) {
		m->gap_of[m->gaps] = -1;
		m->gap[m->gaps++] = (struct inw_model_gap){.kind = INW_GAP_OPENING, .room = box->room, .z = val(b, box->door_sill, 0),
			.rise = val(b, box->door_height, 0), .width = val(b, box->door_width, 0), .cd = open_door_cd,
			.area = val(b, box->door_width, 0) * val(b, box->door_height, 0)};
	}
	double pw = val(b, h->plate_width, 0), pd = val(b, h->plate_depth, 0);
	bool plate = pw > 0 && pd > 0 && job->plate >= 0 && (b->state->storing || !b->state->idle);
	m->plate_area = plate ? pw * pd : 0;
	m->plate_length = plate ? pw * pd / (2 * (pw + pd)) : 0;
	m->plate_run = plate ? pw : 0;
	m->plate = b->state->idle ? INW_PLATE_OFF : INW_PLATE_HOLDS;
	m->plate_below = val(b, h->plate_share_below, 0);
	m->storing = b->state->storing;
	m->plate_power = stored(b, h->plate_power);
	m->plate_capacity = stored(b, h->plate_capacity);
	m->contents = stored(b, h->contents);
	m->contents_exchange = stored(b, h->contents_exchange);
	m->heater_power = b->state->idle ? 0 : val(b, h->heater_power, 0);
	m->heater_target = val(b, h->heater_target, 0);
	build_panels(b);
}

static struct inw_model_duct build_duct(const struct build *b, const struct inw_duct *d, double fallback_m)
{
	/* laminar end of a pipe entrance's loss: K = 160/Re, Hooper 1981 two-K method, memory */
	const double laminar = 160;
	struct inw_model_duct o = {.present = true, .diameter = val(b, d->diameter, fallback_m), .length = val(b, d->length, 0),
		.roughness = val(b, d->roughness, 0), .stretch = val(b, d->stretch, 1), .insulation = val(b, d->insulation, 0), .room = d->room};

	o.fittings = inw_fitting(0.25 * INW_PI * o.diameter * o.diameter, o.diameter, val(b, d->loss, 0), laminar);
	return o;
}

static void build_medium(const struct build *b, const struct inw_medium *s, struct inw_model_stage *o)
{
	double loading = b->state->new_medium ? 1 : b->state->loaded ? fmax(val(b, s->loading, 1), val(b, s->final_ratio, 1)) : val(b, s->loading, 1);
	double mu_rated = inw_air_viscosity_Pas(293.15); /* media are rated with room air: ISO 29463-3, 23 +- 5 degC, memory */

	o->area = val(b, s->area, 0);
	o->loading = loading;
	o->r = inw_medium_resistance(o->area, val(b, s->rated_velocity, 0), val(b, s->rated_dp, 0), mu_rated, loading);
	o->clean_lin = o->r.lin / loading;
	if (s->frame_area >= 0) { /* entry into pleats and exit from them: one velocity head of the face, common practice */
		double A = val(b, s->frame_area, 0);
		o->r = inw_resistance_add(o->r, inw_fitting(A, sqrt(4 * A / INW_PI), 1.0, 0));
	}
}

static void build_bed(const struct build *b, const struct inw_bed *s, struct inw_model_stage *o)
{
	o->area = val(b, s->area, 0);
	o->depth = val(b, s->depth, 0);
	o->r = inw_bed_resistance(o->area, val(b, s->diameter, 0), o->depth, val(b, s->granule, 0), val(b, s->sphericity, 1), val(b, s->voidage, 0.4));
	double screens = val(b, s->screens, 0), open = val(b, s->screen_open, 1);
	if (screens > 0 && open < 1) {
		struct inw_resistance one = inw_screen(o->area, open);
		o->r.lin += screens * one.lin;
		o->r.quad += screens * one.quad;
	}
}

static int build_blower(const struct build *b, const struct inw_blower *s, struct inw_model_stage *o)
{
	double q[INW_BLOWER_POINTS], p[INW_BLOWER_POINTS];

	if (s->points > INW_BLOWER_POINTS)
		return -1;
	for (size_t i = 0; i < s->points; i++) {
		q[i] = val(b, s->flow[i], 0) * val(b, s->flow_factor, 1);
		p[i] = val(b, s->rise[i], 0) * val(b, s->rise_factor, 1);
	}
	o->power = val(b, s->power, 0);
	o->idle = fmin(val(b, s->idle_power, 0), o->power);
	o->motor_in_air = s->motor_in_air;
	return inw_blower_fit(&o->curve, q, p, (int)s->points, val(b, s->density, 1.2));
}

static void build_seal(const struct build *b, struct inw_model_stage *o, inw_q length, inw_q width, inw_q depth)
{
	o->has_bypass = val(b, width, 0) > 0 && val(b, length, 0) > 0;
	if (o->has_bypass)
		o->seal = inw_crack(val(b, length, 0), val(b, width, 0), val(b, depth, 0), 0);
}

static int build_stages(struct build *b)
{
	const struct inw_cleaner *c = &b->d->cleaner;

	b->m->stages = (int)c->stages;
	b->m->cleaner_capacity = stored(b, c->capacity);
	for (size_t i = 0; i < c->stages; i++) {
		const struct inw_stage *s = &c->stage[i];
		struct inw_model_stage *o = &b->m->stage[i];
		*o = (struct inw_model_stage){.kind = s->kind};
		if (s->kind == INW_STAGE_MEDIUM) {
			build_seal(b, o, s->medium.seal_length, s->medium.seal_width, s->medium.seal_depth);
		} else if (s->kind == INW_STAGE_BED) {
			build_bed(b, &s->bed, o);
			build_seal(b, o, s->bed.seal_length, s->bed.seal_width, s->bed.seal_depth);
			b->m->cleaner_capacity += stored(b, s->bed.mass) * stored(b, c->carbon_heat);
		} else if (build_blower(b, &s->blower, o)) {
			return -1;
		}
	}
	return 0;
}

/* Each port of the flap is a resistance 1/g^2 on the port's area; a port that is shut tight is no path. */
static bool add_flap_port(struct inw_model_duct *duct, double angle, double diameter, double leak)
{
	struct inw_flap g = inw_flap_conductance(angle, leak);
	double A = 0.25 * INW_PI * diameter * diameter;

	if (!(g.g > 1e-6)) /* a millionth of an open port: shut */
		return false;
	duct->fittings = inw_resistance_add(duct->fittings, inw_fitting(A, diameter, 1 / (g.g * g.g), 0));
	return true;
}

static int build_cleaner(struct build *b)
{
	struct inw_model *m = b->m;
	const struct inw_cleaner *c = &b->d->cleaner;

	m->has_cleaner = c->present;
	if (!c->present)
		return 0;
	double flap = val(b, c->flap_diameter, 0), bore = val(b, c->inlet.diameter, 0);
	bore = bore > 0 ? bore : flap;
	m->inlet_z = val(b, c->inlet_height, 0);
	m->casing = val(b, c->casing, 0);
	m->inlet = build_duct(b, &c->inlet, bore);
	m->has_return = c->has_return;
	m->has_exhaust = c->has_exhaust && c->exhaust_to != INW_NOWHERE;
	m->exhaust_to = c->exhaust_to;
	if (m->has_return) {
		m->ret = build_duct(b, &c->ret, bore);
		m->return_z = val(b, c->return_height, 0);
	}
	if (m->has_exhaust) {
		m->exhaust = build_duct(b, &c->exhaust, bore);
		m->exhaust_z = val(b, c->exhaust_height, 0);
	}
	if (c->split == INW_SPLIT_FIXED && m->has_return && m->has_exhaust) {
		m->share = val(b, c->share, 0);
		m->fixed_share = true;
		m->has_exhaust = m->share > 0;
		m->has_return = m->share < 1;
		m->fixed_share = m->has_exhaust && m->has_return;
	} else if (c->split == INW_SPLIT_FLAP) {
		double at = val(b, c->position, 0) * 0.5 * INW_PI, leak = val(b, c->seat_leak, 0);
		if (m->has_return)
			m->has_return = add_flap_port(&m->ret, at, flap, leak);
		if (m->has_exhaust)
			m->has_exhaust = add_flap_port(&m->exhaust, 0.5 * INW_PI - at, flap, leak);
	}
	return build_stages(b);
}

/* Particles are out of the air behind the last medium, gases behind the last bed: clean is what has passed both. Without a bed
 * gases go all the way, without a medium particles do, unless the material is known to give off none. */
static int clean_after(const struct inw_design *d, const struct inw_job *job)
{
	const struct inw_material *mat = &d->catalog.material[job->material];
	bool dusty = mat->particles < 0 || d->quantity[mat->particles].high > 0;
	int medium = -1, bed = -1, stages = (int)d->cleaner.stages;

	for (int i = 0; i < stages; i++) {
		if (d->cleaner.stage[i].kind == INW_STAGE_MEDIUM)
			medium = i;
		if (d->cleaner.stage[i].kind == INW_STAGE_BED)
			bed = i;
	}
	return bed < 0 || (dusty && medium < 0) ? stages : medium > bed ? medium : bed;
}

/* ---- what can be reached from outdoors ---- */

static int find(int *parent, int i)
{
	while (parent[i] != i)
		i = parent[i] = parent[parent[i]];
	return i;
}

static void join(int *parent, int a, int b)
{
	parent[find(parent, a)] = find(parent, b);
}

/* Node numbers: 0 outdoors, 1.. rooms, last the box. Each part that no path joins to outdoors gets one pinned level. */
static void pin_islands(struct inw_model *m)
{
	int parent[INW_MAX_ROOMS + 2], box = m->rooms + 1;

	m->box_pinned = false;
	for (int i = 0; i <= box; i++)
		parent[i] = i;
	for (int i = 0; i < m->rooms; i++) {
		m->room[i].pinned = false;
		if (m->room[i].leak_C > 0)
			join(parent, 0, 1 + i);
	}
	for (int i = 0; i < m->doorways; i++)
		if (m->doorway[i].width > 0 && m->doorway[i].rise > 0)
			join(parent, 1 + m->doorway[i].a, 1 + m->doorway[i].b);
	for (int i = 0; i < m->gaps; i++)
		join(parent, box, 1 + m->gap[i].room);
	if (m->has_cleaner && m->has_exhaust)
		join(parent, box, 1 + m->exhaust_to);
	for (int i = 1; i < box; i++)
		if (find(parent, i) != find(parent, 0)) {
			m->room[i - 1].pinned = true;
			join(parent, 0, i);
		}
	if (find(parent, box) != find(parent, 0))
		m->box_pinned = true;
}

/* ---- what hangs on the state ---- */

static void set_heat(struct build *b, const struct inw_job *job)
{
	struct inw_model *m = b->m;
	const struct inw_heat *h = &b->d->heat;

	m->plate_on = m->plate_area > 0;
	m->plate_T = m->plate_on ? source(b, job->plate) : 0;
	m->heat_air = source(b, h->hot_end) + source(b, h->electronics);
	m->heater = m->heater_power > 0 ? INW_HEATER_HOLDS : INW_HEATER_OFF; /* usually it is sized to hold its target: begin there */
	for (int i = 0; i < m->rooms; i++)
		m->room[i].held = b->d->room[i].T_held;
}

static void set_stages(struct build *b)
{
	for (int i = 0; i < b->m->stages; i++) {
		const struct inw_stage *s = &b->d->cleaner.stage[i];
		struct inw_model_stage *o = &b->m->stage[i];
		if (s->kind == INW_STAGE_MEDIUM)
			build_medium(b, &s->medium, o);
		if (s->kind == INW_STAGE_BLOWER)
			o->speed = val(b, s->blower.speed, 1) * b->state->speed_factor * (b->state->low_blower ? val(b, s->blower.speed_low, 1) : 1);
	}
}

void inw_model_restate(struct inw_model *m, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job, const struct inw_state *state)
{
	struct build b = {m, d, x, state};

	build_doorways(&b);
	set_heat(&b, job);
	set_stages(&b);
	pin_islands(m);
}

int inw_model_build(struct inw_model *m, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job,
                    const struct inw_state *state, const char **why)
{
	struct build b = {m, d, x, state};

	memset(m, 0, offsetof(struct inw_model, stage));
	if (d->rooms > INW_MAX_ROOMS || d->box.gaps > INW_MAX_GAPS || d->doorways > INW_MAX_DOORWAYS || d->cleaner.stages > INW_MAX_STAGES) {
		*why = "more than 12 rooms, 64 gaps, 24 doorways or 12 stages"; /* INW_MAX_... of model.h */
		return -1;
	}
	build_rooms(&b);
	build_box(&b, job);
	if (build_cleaner(&b)) {
		*why = "the blower's points do not make a curve: flow must increase and rise must fall at the end";
		return -1;
	}
	m->clean_after = clean_after(d, job);
	inw_model_restate(m, d, x, job, state);
	return 0;
}
