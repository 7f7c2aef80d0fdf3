/* SPDX-License-Identifier: MIT */
/* whole.h: invariants D1, D2 and D3 of a design that was read without errors. Used by tests and by the fuzzer. */
#ifndef INW_TEST_WHOLE_H
#define INW_TEST_WHOLE_H

#include <math.h>
#include <stdlib.h>

#include "design/design.h"

/* NULL when fine, else what is not. */
#define WHOLE(condition) do { if (!(condition)) return #condition; } while (0)
#define IS(q) ((q) >= 0 && (size_t)(q) < d->quantities)
#define MAY(q) ((q) == INW_NONE || IS(q))

static inline const char *whole_catalog(const struct inw_design *d)
{
	const struct inw_catalog *c = &d->catalog;

	for (size_t i = 0; i < c->substances; i++) {
		const struct inw_substance *s = &c->substance[i];

		WHOLE(s->name && s->title && s->note && IS(s->molar_mass) && IS(s->diffusivity) && MAY(s->lfl));
		WHOLE(MAY(s->liquid_density) && MAY(s->molar_refraction));
		for (size_t k = 0; k < s->limit_count; k++)
			WHOLE(IS(s->limits[k].value) && s->limits[k].body && s->limits[k].effect);
		for (size_t k = 0; k < s->vp_count; k++)
			WHOLE(s->vp[k].source && isfinite(s->vp[k].c[0] + s->vp[k].c[1] + s->vp[k].c[2]) &&
			      s->vp[k].T_low_K <= s->vp[k].T_high_K);
	}
	for (size_t i = 0; i < c->materials; i++) {
		const struct inw_material *m = &c->material[i];

		WHOLE(m->name && m->title && m->process && m->note && IS(m->particles) && IS(m->particle_diameter));
		WHOLE(MAY(m->chamber_low) && MAY(m->chamber_high) && MAY(m->plate) && MAY(m->nozzle));
		WHOLE(IS(m->particle_spread) && IS(m->burst_gas) && IS(m->burst_particles) && IS(m->burst_time) &&
		      IS(m->afterglow) && IS(m->afterglow_time));
		for (size_t k = 0; k < m->gas_count; k++)
			WHOLE(IS(m->gases[k].rate) && m->gases[k].substance >= 0 &&
			      (size_t)m->gases[k].substance < c->substances);
	}
	for (size_t i = 0; i < c->panels; i++)
		WHOLE(IS(c->panel[i].conductivity) && IS(c->panel[i].emissivity) && IS(c->panel[i].density) &&
		      IS(c->panel[i].heat));
	for (size_t i = 0; i < c->multiwalls; i++)
		WHOLE(IS(c->multiwall[i].thickness) && IS(c->multiwall[i].resistance) &&
		      IS(c->multiwall[i].emissivity) && IS(c->multiwall[i].weight) && IS(c->multiwall[i].heat));
	return NULL;
}

static inline const char *whole_rooms(const struct inw_design *d)
{
	WHOLE(d->rooms > 0 && IS(d->site.pressure) && IS(d->site.T_out) && IS(d->site.rh_out) && IS(d->site.gust));
	for (size_t i = 0; i < d->rooms; i++) {
		const struct inw_room *r = &d->room[i];

		WHOLE(r->name && IS(r->floor) && IS(r->height) && IS(r->T) && IS(r->rh) && IS(r->heat_loss) &&
		      IS(r->air_changes));
		WHOLE(IS(r->leak_C) && IS(r->leak_n) && IS(r->absorption) && IS(r->capacity) &&
		      MAY(r->particles_in) && IS(r->dust));
		for (size_t k = 0; k < r->appliances; k++)
			WHOLE(IS(r->appliance[k].limit) && (size_t)r->appliance[k].kind < d->catalog.appliances);
	}
	for (size_t i = 0; i < d->doorways; i++) {
		const struct inw_doorway *w = &d->doorway[i];

		WHOLE(w->a >= INW_OUTDOORS && w->b >= INW_OUTDOORS && w->a < (int)d->rooms && w->b < (int)d->rooms &&
		      w->a != w->b);
		WHOLE(w->name && IS(w->width) && IS(w->height) && IS(w->sill) && IS(w->cd));
	}
	for (size_t i = 0; i < d->persons; i++)
		for (size_t k = 0; k < d->person[i].stays; k++)
			WHOLE(d->person[i].stay[k].room >= 0 && IS(d->person[i].stay[k].from) &&
			      IS(d->person[i].stay[k].to));
	return NULL;
}

static inline const char *whole_gap(const struct inw_design *d, const struct inw_gap *g)
{
	WHOLE(g->name && g->room >= INW_OUTDOORS && g->room < (int)d->rooms && IS(g->height) && IS(g->rise));
	if (g->kind == INW_GAP_CRACK)
		WHOLE(IS(g->length) && IS(g->width) && IS(g->depth) && IS(g->bends));
	else if (g->kind == INW_GAP_HOLE)
		WHOLE(IS(g->diameter) && IS(g->count) && IS(g->cd));
	else if (g->kind == INW_GAP_OPENING)
		WHOLE(IS(g->opening_width) && IS(g->cd));
	else
		WHOLE(IS(g->C) && IS(g->n));
	return NULL;
}

static inline const char *whole_box(const struct inw_design *d)
{
	const struct inw_box *b = &d->box;

	WHOLE(b->room >= 0 && b->room < (int)d->rooms && IS(b->width) && IS(b->depth) && IS(b->height) && IS(b->stand));
	WHOLE(IS(b->stirring) && IS(b->convection));
	if (b->has_door)
		WHOLE(IS(b->door_width) && IS(b->door_height) && IS(b->door_sill));
	else
		WHOLE(b->door_width == INW_NONE && b->door_height == INW_NONE && b->door_sill == INW_NONE);
	for (int f = 0; f < INW_FACES; f++) {
		const struct inw_panel *p = &b->panel[f];

		WHOLE(p->material && IS(p->emissivity) && IS(p->weight) && IS(p->heat) &&
		      (IS(p->resistance) || (IS(p->thickness) && IS(p->conductivity))));
		WHOLE(IS(p->insulation_thickness) ? IS(p->insulation_conductivity)
						  : p->insulation_conductivity == INW_NONE);
	}
	for (size_t i = 0; i < b->gaps; i++) {
		const char *fault = whole_gap(d, &b->gap[i]);

		if (fault)
			return fault;
	}
	return NULL;
}

static inline const char *whole_duct(const struct inw_design *d, const struct inw_duct *t)
{
	WHOLE(IS(t->diameter) && IS(t->length) && IS(t->roughness) && IS(t->stretch) && IS(t->loss) &&
	      IS(t->insulation));
	WHOLE(t->room >= INW_OUTDOORS && t->room < (int)d->rooms);
	return NULL;
}

static inline const char *whole_stage(const struct inw_design *d, const struct inw_stage *s)
{
	const struct inw_medium *m = &s->medium;
	const struct inw_bed *b = &s->bed;
	const struct inw_blower *w = &s->blower;

	WHOLE(s->name && s->kind <= INW_STAGE_BLOWER);
	if (s->kind == INW_STAGE_MEDIUM) {
		WHOLE(IS(m->efficiency) && IS(m->worst_size) && IS(m->rated_velocity) && IS(m->rated_dp) &&
		      IS(m->final_ratio));
		WHOLE(IS(m->area) && MAY(m->frame_area) && IS(m->seal_length) && IS(m->seal_width) &&
		      IS(m->seal_depth) && IS(m->loading) && IS(m->cake_porosity));
	} else if (s->kind == INW_STAGE_BED) {
		WHOLE(IS(b->area) && MAY(b->diameter) && IS(b->depth) && IS(b->granule) && IS(b->sphericity) &&
		      IS(b->voidage));
		WHOLE(IS(b->bulk_density) && IS(b->micropore_volume) && IS(b->structure) && IS(b->mass) &&
		      IS(b->screens));
		WHOLE(IS(b->screen_open) && IS(b->seal_length) && IS(b->seal_width) && IS(b->seal_depth));
	} else {
		WHOLE(w->points >= 2 && IS(w->density) && IS(w->power) && IS(w->idle_power) && MAY(w->sound));
		WHOLE(IS(w->speed) && IS(w->speed_low) && IS(w->flow_factor) && IS(w->rise_factor));
		for (size_t i = 0; i < w->points; i++)
			WHOLE(IS(w->flow[i]) && IS(w->rise[i]));
	}
	return NULL;
}

static inline const char *whole_cleaner(const struct inw_design *d)
{
	const struct inw_cleaner *c = &d->cleaner;
	const char *fault = NULL;

	if (!c->present) {
		WHOLE(c->capacity == INW_NONE && c->carbon_heat == INW_NONE && c->casing == INW_NONE);
		return NULL;
	}
	WHOLE(IS(c->capacity) && IS(c->carbon_heat) && IS(c->casing));
	for (size_t k = 0; k < c->stages; k++)
		for (size_t i = 0; c->stage[k].kind == INW_STAGE_BED && i < c->stage[k].bed.measureds; i++) {
			const struct inw_measured *m = &c->stage[k].bed.measured[i];

			WHOLE((size_t)m->substance < d->catalog.substances && IS(m->temperature));
			WHOLE(m->points >= 2 && m->points <= INW_MEASURED_MOST && m->p_Pa[0] > 0 && m->loading[0] > 0);
			for (size_t p = 1; p < m->points; p++)
				WHOLE(m->p_Pa[p] > m->p_Pa[p - 1] && m->loading[p] > m->loading[p - 1]);
		}
	WHOLE(IS(c->inlet_height) && c->stages > 0 && (c->has_return || c->has_exhaust));
	WHOLE(c->has_exhaust ? c->exhaust_to >= INW_OUTDOORS && IS(c->exhaust_height) : c->exhaust_to == INW_NOWHERE);
	WHOLE(!c->has_return || IS(c->return_height));
	if (c->has_return && c->has_exhaust && c->split == INW_SPLIT_FLAP)
		WHOLE(IS(c->position) && IS(c->flap_diameter) && IS(c->seat_leak));
	if (c->has_return && c->has_exhaust && c->split == INW_SPLIT_FIXED)
		WHOLE(IS(c->share));
	fault = whole_duct(d, &c->inlet);
	if (!fault && c->has_return)
		fault = whole_duct(d, &c->ret);
	if (!fault && c->has_exhaust)
		fault = whole_duct(d, &c->exhaust);
	for (size_t i = 0; i < c->stages && !fault; i++)
		fault = whole_stage(d, &c->stage[i]);
	return fault;
}

static inline const char *whole_day(const struct inw_design *d)
{
	const struct inw_day *day = &d->day;

	WHOLE(IS(day->start) && IS(day->span));
	for (size_t i = 0; i < day->weathers; i++)
		WHOLE(IS(day->weather[i].at) && IS(day->weather[i].T));
	for (size_t i = 0; i < day->doings; i++) {
		const struct inw_doing *o = &day->doing[i];

		WHOLE(o->kind <= INW_DO_HEATER && IS(o->at) && MAY(o->lasts));
		WHOLE(o->kind == INW_DO_DOOR ? o->to == INW_NONE : IS(o->to));
		WHOLE(o->kind == INW_DO_WINDOW ? o->doorway >= 0 && (size_t)o->doorway < d->doorways
					       : o->doorway == -1);
	}
	return NULL;
}

static inline const char *whole_rest(const struct inw_design *d)
{
	const struct inw_heat *h = &d->heat;
	const struct inw_require *q = &d->require;

	WHOLE(IS(h->plate_width) && IS(h->plate_depth) && IS(h->plate_emissivity) && IS(h->plate_share_below));
	WHOLE(IS(h->hot_end) && IS(h->electronics) && IS(h->heater_power) && MAY(h->heater_target));
	WHOLE(IS(h->plate_power) && IS(h->plate_capacity) && IS(h->contents) && IS(h->contents_exchange));
	WHOLE(d->jobs > 0);
	for (size_t i = 0; i < d->jobs; i++) {
		const struct inw_job *j = &d->job[i];

		WHOLE(j->name && j->material >= 0 && (size_t)j->material < d->catalog.materials);
		WHOLE(IS(j->rate) && IS(j->duration) && IS(j->start) && MAY(j->plate) && MAY(j->chamber_low) &&
		      MAY(j->chamber_high));
	}
	WHOLE(IS(q->inward_pressure) && IS(q->inward_velocity) && IS(q->particle_removal) && IS(q->gas_removal));
	WHOLE(IS(q->residence_time) && IS(q->carbon_life) && IS(q->seal_bypass) && IS(q->stall_margin) &&
	      IS(q->lfl_fraction));
	WHOLE(MAY(q->noise) && IS(q->noise_distance) && MAY(q->purge_time) && IS(q->purge_fraction) && MAY(q->power));
	WHOLE(MAY(q->heating) && IS(q->particles_work) && IS(q->particles_home) && IS(q->humidity) && IS(q->bed_T));
	return NULL;
}

static inline const char *whole_design(const struct inw_design *d)
{
	const char *fault = NULL;

	for (size_t i = 0; i < d->quantities; i++) {
		const struct inw_quantity *q = &d->quantity[i];

		WHOLE(q->path && q->source && isfinite(q->low) && isfinite(q->high) && q->low <= q->value &&
		      q->value <= q->high);
	}
	fault = whole_catalog(d);
	if (!fault)
		fault = whole_rooms(d);
	if (!fault)
		fault = whole_box(d);
	if (!fault)
		fault = whole_cleaner(d);
	if (!fault)
		fault = whole_day(d);
	return fault ? fault : whole_rest(d);
}

#undef WHOLE
#undef IS
#undef MAY

#endif
