/* SPDX-License-Identifier: MIT */
#include "check/facts.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "solve/transport.h"

enum { MAX_FACTS = 512, MAX_USES = 64 };

struct collector {
	struct inw_study *s;
	const struct inw_design *d;
	struct inw_arena *arena;
	const char *suffix;
	struct inw_fact list[MAX_FACTS];
	size_t n;
	const char *use[MAX_USES];
	size_t uses;
	bool failed;
};

static const char *print(struct collector *c, const char *format, const char *who)
{
	char body[256];
	char *s;

	snprintf(body, sizeof body, format, who);
	s = inw_arena_printf(c->arena, "%s%s", body, c->suffix);
	c->failed |= !s;
	return s ? s : "";
}

static void use_quantity(struct collector *c, inw_q q)
{
	if (q >= 0 && c->uses < MAX_USES)
		c->use[c->uses++] = c->d->quantity[q].path;
}

static void use_quantities(struct collector *c, const inw_q *q, size_t n)
{
	for (size_t i = 0; i < n; i++)
		use_quantity(c, q[i]);
}

#define USE(c, ...) use_quantities(c, (const inw_q[]){__VA_ARGS__}, sizeof((const inw_q[]){__VA_ARGS__}) / sizeof(inw_q))

static void use_fact(struct collector *c, const char *format, const char *who)
{
	if (c->uses < MAX_USES)
		c->use[c->uses++] = print(c, format, who);
}

/* Close a fact: what was noted since the last one is what it was computed from. */
static void fact(struct collector *c, const char *name, enum inw_dim dim, double value, const char *law)
{
	const char **uses = inw_arena_alloc(c->arena, sizeof(*uses) * (c->uses + 1));

	if (!uses || c->n >= MAX_FACTS) {
		c->failed |= !uses;
		c->uses = 0;
		return;
	}
	memcpy(uses, c->use, sizeof(*uses) * c->uses);
	c->list[c->n++] = (struct inw_fact){name, dim, value, law, uses, c->uses};
	c->uses = 0;
}

/* ---- the box and its gaps ---- */

static void use_panels(struct collector *c)
{
	for (int i = 0; i < INW_FACES; i++) {
		const struct inw_panel *p = &c->d->box.panel[i];
		USE(c, p->thickness, p->conductivity, p->resistance, p->insulation_thickness, p->insulation_conductivity, p->emissivity);
	}
}

static void box_facts(struct collector *c)
{
	const struct inw_box *b = &c->d->box;
	const struct inw_heat *h = &c->d->heat;
	const struct inw_solution *sol = &c->s->c[0].sol;
	const struct inw_room *room = &c->d->room[b->room];

	USE(c, b->width, b->depth, b->height, h->hot_end, h->electronics, h->plate_width, h->plate_depth, c->s->job->plate, h->plate_emissivity,
	    h->plate_share_below, h->heater_power, h->heater_target, b->stirring, b->convection, room->T);
	use_panels(c);
	use_fact(c, "flows.cleaned", "");
	use_fact(c, "flows.sent_out", "");
	fact(c, print(c, "box.temperature", ""), INW_DIM_TEMPERATURE, sol->y[sol->s.T_box], "heat_balance");

	USE(c, c->d->site.pressure, room->rh);
	use_fact(c, "box.temperature", "");
	fact(c, print(c, "box.air_density", ""), INW_DIM_DENSITY, inw_model_air(&sol->m, sol->y[sol->s.T_box], sol->m.w_box).rho, "air_density");

	use_fact(c, "box.air_density", "");
	use_fact(c, "flows.cleaned", "");
	use_fact(c, "flows.sent_out", "");
	for (size_t i = 0; i < b->gaps; i++)
		use_quantity(c, b->gap[i].kind == INW_GAP_CRACK ? b->gap[i].width : b->gap[i].kind == INW_GAP_MEASURED ? b->gap[i].C : b->gap[i].kind == INW_GAP_HOLE ? b->gap[i].diameter : b->gap[i].opening_width);
	double at_floor = sol->y[sol->s.p_box] - (sol->y[sol->s.p_room[b->room]] - inw_zone_density(sol, 1 + b->room) * INW_GRAVITY * sol->m.stand);
	fact(c, print(c, "box.pressure", ""), INW_DIM_PRESSURE, at_floor, "mass_balance");
	USE(c, c->s->job->plate, h->plate_width, h->plate_depth, h->plate_emissivity, h->plate_share_below, b->stirring);
	use_fact(c, "box.temperature", "");
	fact(c, print(c, "heat.plate", ""), INW_DIM_POWER, sol->f.plate_W, "mixed_convection");
	double panels = 0;
	for (int i = 0; i < INW_FACES; i++)
		panels += sol->f.panel_W[i];
	use_panels(c);
	use_fact(c, "box.temperature", "");
	fact(c, print(c, "heat.panels", ""), INW_DIM_POWER, panels, "sheet");
}

static const char *gap_law(enum inw_gap_kind k)
{
	static const char *const law[] = {"crack", "hole", "tall_opening", "power_law"};

	return law[k];
}

static void gap_facts(struct collector *c)
{
	const struct inw_case *k = &c->s->c[0];

	for (int i = 0; i < k->sol.m.gaps; i++) {
		const struct inw_gap *g = &c->d->box.gap[k->sol.m.gap_of[i]];
		USE(c, g->height, g->rise);
		use_fact(c, "box.pressure", "");
		use_fact(c, "box.air_density", "");
		fact(c, print(c, "gaps[%s].inward_pressure", g->name), INW_DIM_PRESSURE, k->o.gap_least_Pa[i], "stack");
		USE(c, g->length, g->width, g->depth, g->bends, g->diameter, g->count, g->cd, g->opening_width, g->C, g->n);
		use_fact(c, "gaps[%s].inward_pressure", g->name);
		fact(c, print(c, "gaps[%s].inward_velocity", g->name), INW_DIM_VELOCITY, k->o.gap_velocity_ms[i], gap_law(g->kind));
		double rho = inw_model_air(&k->sol.m, k->sol.y[k->sol.s.T_box], k->sol.m.w_box).rho;
		USE(c, g->length, g->width, g->depth, g->bends, g->diameter, g->count, g->cd, g->opening_width, g->rise, g->C, g->n);
		use_fact(c, "gaps[%s].inward_pressure", g->name);
		fact(c, print(c, "gaps[%s].flow_out", g->name), INW_DIM_VOLUME_FLOW, k->sol.f.gap_out[i] / rho, gap_law(g->kind));
	}
}

/* ---- the cleaner ---- */

static void use_duct(struct collector *c, const struct inw_duct *d)
{
	USE(c, d->diameter, d->length, d->roughness, d->stretch, d->loss, d->insulation);
}

static void stage_facts(struct collector *c)
{
	const struct inw_case *k = &c->s->c[0];

	for (int i = 0; i < k->sol.m.stages; i++) {
		const struct inw_stage *s = &c->d->cleaner.stage[i];
		const char *law = "blower";
		use_fact(c, "flows.cleaned", "");
		if (s->kind == INW_STAGE_MEDIUM) {
			USE(c, s->medium.area, s->medium.rated_velocity, s->medium.rated_dp, s->medium.loading, s->medium.seal_width, s->medium.seal_length, s->medium.seal_depth);
			law = "medium_resistance";
		} else if (s->kind == INW_STAGE_BED) {
			USE(c, s->bed.area, s->bed.diameter, s->bed.depth, s->bed.granule, s->bed.sphericity, s->bed.voidage, s->bed.screens, s->bed.screen_open);
			law = "bed_resistance";
		} else {
			USE(c, s->blower.speed, s->blower.flow_factor, s->blower.rise_factor, s->blower.density, s->blower.power, s->blower.idle_power);
			for (size_t p = 0; p < s->blower.points; p++)
				USE(c, s->blower.flow[p], s->blower.rise[p]);
		}
		fact(c, print(c, s->kind == INW_STAGE_BLOWER ? "stages[%s].rise" : "stages[%s].loss", s->name), INW_DIM_PRESSURE, k->sol.f.stage_dp[i], law);
	}
	for (int i = 0; i < k->sol.m.stages; i++) {
		use_fact(c, "box.pressure", "");
		for (int n = 0; n < i; n++)
			use_fact(c, k->sol.m.stage[n].kind == INW_STAGE_BLOWER ? "stages[%s].rise" : "stages[%s].loss", c->d->cleaner.stage[n].name);
		use_duct(c, &c->d->cleaner.inlet);
		fact(c, print(c, "stages[%s].inward_pressure", c->d->cleaner.stage[i].name), INW_DIM_PRESSURE, k->o.cleaner.stage_Pa[i], "cleaner_pressure");
	}
}

/* At the temperature of its duct, as it is drawn. */
static double sent_out_m3s(const struct inw_solution *sol)
{
	const struct inw_slots *l = &sol->s;

	return l->m_exhaust >= 0 ? sol->y[l->m_exhaust] / inw_model_air(&sol->m, sol->y[l->T_exhaust >= 0 ? l->T_exhaust : l->T_junction], sol->m.w_box).rho : 0;
}

static void flow_facts(struct collector *c)
{
	const struct inw_case *k = &c->s->c[0];
	const struct inw_solution *sol = &k->sol;
	const struct inw_cleaner *cl = &c->d->cleaner;

	if (sol->s.m_clean < 0)
		return;
	for (int i = 0; i < sol->m.stages; i++)
		use_fact(c, cl->stage[i].kind == INW_STAGE_BLOWER ? "stages[%s].rise" : "stages[%s].loss", cl->stage[i].name);
	use_duct(c, &cl->inlet);
	fact(c, print(c, "flows.cleaned", ""), INW_DIM_VOLUME_FLOW, k->o.clean_m3s, "mass_balance");
	use_fact(c, "flows.cleaned", "");
	USE(c, cl->position, cl->share, cl->flap_diameter, cl->seat_leak);
	use_duct(c, &cl->exhaust);
	use_duct(c, &cl->ret);
	fact(c, print(c, "flows.sent_out", ""), INW_DIM_VOLUME_FLOW, sent_out_m3s(sol), cl->split == INW_SPLIT_FIXED ? "exhaust_share" : "flap");
	use_fact(c, "flows.sent_out", "");
	use_fact(c, "flows.cleaned", "");
	fact(c, print(c, "flows.share_out", ""), INW_DIM_FRACTION, k->o.share_out, "exhaust_share");
	stage_facts(c);
}

/* ---- cleaning ---- */

static inw_q measured_at(const struct inw_bed *b, int substance)
{
	for (size_t i = 0; i < b->measureds; i++)
		if (b->measured[i].substance == substance)
			return b->measured[i].temperature;
	return INW_NONE;
}

static void bed_facts(struct collector *c, const struct inw_outcome *o)
{
	if (o->bed < 0)
		return;
	for (int k = 0; k < c->s->c[0].sol.m.stages; k++)
		if (c->d->cleaner.stage[k].kind == INW_STAGE_BED)
			USE(c, c->d->cleaner.stage[k].bed.area, c->d->cleaner.stage[k].bed.depth);
	use_fact(c, "flows.cleaned", "");
	fact(c, print(c, "carbon.residence", ""), INW_DIM_TIME, o->residence_s, "residence_time");
	for (int i = 0; i < o->gases; i++) {
		const struct inw_gas_outcome *g = &o->gas[i];
		const struct inw_substance *s = &c->d->catalog.substance[g->substance];
		if (g->bed < 0)
			continue;
		const struct inw_bed *b = &c->d->cleaner.stage[g->bed].bed;
		if (g->measured)
			USE(c, measured_at(b, g->substance), s->molar_mass, b->capacity_factor);
		else
			USE(c, b->micropore_volume, b->structure, s->molar_refraction, s->liquid_density, s->molar_mass, b->capacity_factor);
		use_fact(c, "gases[%s].box", s->name);
		fact(c, print(c, "gases[%s].capacity", s->name), INW_DIM_MASS_RATIO, g->capacity, g->measured ? "measured_isotherm" : "dubinin_radushkevich");
		USE(c, b->granule, s->molar_refraction, s->molar_mass, b->rate_factor);
		use_fact(c, "gases[%s].capacity", s->name);
		fact(c, print(c, "gases[%s].rate", s->name), INW_DIM_RATE, g->rate_1s, "rate_coefficient");
		USE(c, b->mass, b->bulk_density);
		use_fact(c, "gases[%s].capacity", s->name);
		use_fact(c, "gases[%s].rate", s->name);
		use_fact(c, "flows.cleaned", "");
		fact(c, print(c, "gases[%s].service", s->name), INW_DIM_TIME, g->service_s, "wheeler_jonas");
	}
}

static void use_emission(struct collector *c, inw_q rate, enum inw_emission_per per)
{
	use_quantity(c, rate);
	if (per == INW_PER_MASS)
		use_quantity(c, c->s->job->rate);
}

static void gas_facts(struct collector *c, const struct inw_outcome *o, const struct inw_material *mat)
{
	for (int i = 0; i < o->gases; i++) {
		const struct inw_gas_outcome *g = &o->gas[i];
		const struct inw_substance *s = &c->d->catalog.substance[g->substance];
		use_emission(c, mat->gases[i].rate, mat->gases[i].per);
		fact(c, print(c, "gases[%s].emission", s->name), INW_DIM_MASS_RATE, g->emission_kgs, "emission");
		if (o->bed >= 0 && !g->weak) {
			use_fact(c, "gases[%s].rate", s->name);
			use_fact(c, "carbon.residence", "");
		}
		fact(c, print(c, "gases[%s].removal", s->name), INW_DIM_FRACTION, 1 - g->pass, "gas_removal");
		use_fact(c, "gases[%s].emission", s->name);
		use_fact(c, "gases[%s].removal", s->name);
		use_fact(c, "flows.cleaned", "");
		use_fact(c, "flows.sent_out", "");
		fact(c, print(c, "gases[%s].box", s->name), INW_DIM_CONCENTRATION, g->box_kgm3, "room_balance");
		for (size_t r = 0; r < c->d->rooms; r++) {
			char who[160];
			snprintf(who, sizeof who, "%s].room[%s", s->name, c->d->room[r].name);
			USE(c, c->d->room[r].floor, c->d->room[r].height, c->d->room[r].air_changes, c->d->room[r].leak_C);
			use_fact(c, "gases[%s].box", s->name);
			use_fact(c, "gases[%s].removal", s->name);
			fact(c, print(c, "gases[%s]", who), INW_DIM_CONCENTRATION, g->room_kgm3[r], "room_balance");
		}
	}
}

static void particle_facts(struct collector *c, const struct inw_outcome *o, const struct inw_material *mat)
{
	use_emission(c, mat->particles, mat->particles_per);
	fact(c, print(c, "particles.emission", ""), INW_DIM_NUMBER_RATE, o->particle_emission_s, "emission");
	if (o->medium >= 0) {
		const struct inw_medium *m = &c->d->cleaner.stage[o->medium].medium;
		USE(c, m->efficiency, m->worst_size, m->rated_velocity, m->area, m->seal_width, m->seal_length, m->seal_depth);
		use_fact(c, "flows.cleaned", "");
	}
	fact(c, print(c, "particles.removal", ""), INW_DIM_FRACTION, 1 - o->particle_pass, o->medium >= 0 ? "medium_penetration" : "bypass_series");
	use_quantity(c, mat->particle_diameter);
	use_fact(c, "particles.emission", "");
	use_fact(c, "particles.removal", "");
	use_fact(c, "flows.cleaned", "");
	fact(c, print(c, "particles.box", ""), INW_DIM_NUMBER_CONCENTRATION, o->box_particles_m3, "room_balance");
	for (size_t r = 0; r < c->d->rooms; r++) {
		USE(c, c->d->room[r].floor, c->d->room[r].height, c->d->room[r].air_changes, c->d->room[r].leak_C);
		use_fact(c, "particles.box", "");
		use_fact(c, "particles.removal", "");
		fact(c, print(c, "particles.room[%s]", c->d->room[r].name), INW_DIM_NUMBER_CONCENTRATION, o->room_particles_m3[r], "room_balance");
	}
}

static void other_facts(struct collector *c, const struct inw_outcome *o)
{
	const struct inw_stage *b = o->blower >= 0 ? &c->d->cleaner.stage[o->blower] : NULL;
	const struct inw_require *r = &c->d->require;

	if (b) {
		USE(c, b->blower.power, b->blower.idle_power, b->blower.speed);
		fact(c, print(c, "blower.power", ""), INW_DIM_POWER, o->blower_W, "blower_power");
		USE(c, b->blower.sound, b->blower.speed, r->noise_distance, c->d->room[c->d->box.room].absorption, c->d->room[c->d->box.room].floor);
		fact(c, print(c, "blower.sound", ""), INW_DIM_SOUND, o->sound_dB, "sound_distance");
	}
	for (size_t i = 0; i < c->d->rooms; i++) {
		const struct inw_room *room = &c->d->room[i];
		USE(c, room->leak_C, room->leak_n, room->T, c->d->site.T_out);
		if (c->d->cleaner.exhaust_to == INW_OUTDOORS)
			use_fact(c, "flows.sent_out", "");
		fact(c, print(c, "rooms[%s].pressure", room->name), INW_DIM_PRESSURE, o->room_p_Pa[i], "room_pressure");
	}
}

/* A verdict's own name leads to the facts behind it. */
static const char *behind(enum inw_measure_kind k)
{
	switch (k) {
	case INW_M_CHAMBER: return "box.temperature";
	case INW_M_RESIDENCE: return "carbon.residence";
	case INW_M_PARTICLE_REMOVAL: return "particles.removal";
	case INW_M_NOISE: return "blower.sound";
	case INW_M_HEATING: return "flows.sent_out";
	default: return "flows.cleaned";
	}
}

static const char *law_behind(enum inw_measure_kind k)
{
	switch (k) {
	case INW_M_INWARD_PRESSURE: case INW_M_EDGE_PRESSURE: return "stack";
	case INW_M_INWARD_VELOCITY: case INW_M_FACE_VELOCITY: return "opening_velocity";
	case INW_M_CLEANER_PRESSURE: return "cleaner_pressure";
	case INW_M_DEPRESSURISATION: return "room_pressure";
	case INW_M_CHAMBER: return "heat_balance";
	case INW_M_PARTICLE_REMOVAL: return "medium_penetration";
	case INW_M_GAS_REMOVAL: return "gas_removal";
	case INW_M_WORK_8H: case INW_M_WORK_PEAK: case INW_M_HOME_LONG: case INW_M_HOME_1H: return "mixture_rule";
	case INW_M_PARTICLES: return "room_balance";
	case INW_M_CARBON_LIFE: return "wheeler_jonas";
	case INW_M_RESIDENCE: return "residence_time";
	case INW_M_BYPASS: return "bypass_series";
	case INW_M_STALL: return "stall_margin";
	case INW_M_DELIVERY: return "blower";
	case INW_M_LFL: return "lfl";
	case INW_M_NOISE: return "sound_distance";
	case INW_M_POWER: return "electric_power";
	case INW_M_HEATING: return "heating_power";
	case INW_M_PURGE: return "purge";
	case INW_M_CONDENSATION: case INW_M_BED_RH: return "dew_point";
	case INW_M_BED_T: return "duct_heat";
	case INW_M_THROTTLE: return "exhaust_share";
	default: return "mass_balance";
	}
}

static void use_behind(struct collector *c, const struct inw_measure *m)
{
	const struct inw_outcome *o = &c->s->c[0].o;

	switch (m->kind) {
	case INW_M_INWARD_PRESSURE: case INW_M_INWARD_VELOCITY:
		if (o->worst_gap >= 0)
			use_fact(c, m->kind == INW_M_INWARD_PRESSURE ? "gaps[%s].inward_pressure" : "gaps[%s].inward_velocity",
			         c->d->box.gap[c->s->c[0].sol.m.gap_of[o->worst_gap]].name);
		break;
	case INW_M_EDGE_PRESSURE:
		if (o->edge_gap >= 0)
			use_fact(c, "gaps[%s].inward_pressure", c->d->box.gap[c->s->c[0].sol.m.gap_of[o->edge_gap]].name);
		break;
	case INW_M_CLEANER_PRESSURE:
		for (int k = 0; k < c->s->c[0].sol.m.stages && k <= c->s->c[0].sol.m.clean_after; k++)
			use_fact(c, "stages[%s].inward_pressure", c->d->cleaner.stage[k].name);
		break;
	case INW_M_GAS_REMOVAL:
		use_fact(c, "gases[%s].removal", c->d->catalog.substance[o->gas[m->index].substance].name);
		break;
	case INW_M_WORK_8H: case INW_M_WORK_PEAK: case INW_M_HOME_LONG: case INW_M_HOME_1H:
		for (int i = 0; i < o->gases; i++)
			for (size_t k = 0; k < c->d->person[m->index].stays; k++) {
				char who[160];
				snprintf(who, sizeof who, "%s].room[%s", c->d->catalog.substance[o->gas[i].substance].name, c->d->room[c->d->person[m->index].stay[k].room].name);
				use_fact(c, "gases[%s]", who);
			}
		break;
	case INW_M_PARTICLES:
		for (size_t k = 0; k < c->d->person[m->index].stays; k++)
			use_fact(c, "particles.room[%s]", c->d->room[c->d->person[m->index].stay[k].room].name);
		break;
	case INW_M_DEPRESSURISATION:
		use_fact(c, "rooms[%s].pressure", c->d->room[m->index].name);
		break;
	case INW_M_CARBON_LIFE:
		for (int i = 0; i < o->gases; i++)
			if (!o->gas[i].weak)
				use_fact(c, "gases[%s].service", c->d->catalog.substance[o->gas[i].substance].name);
		break;
	default:
		use_fact(c, behind(m->kind), "");
	}
}

/* As designed, so that what it follows from, which is shown as designed, agrees; verdicts tell the worst state. */
static void verdict_facts(struct collector *c)
{
	struct inw_study *s = c->s;

	for (int i = 0; i < s->measures.n; i++) {
		const struct inw_measure *m = &s->measures.m[i];
		use_behind(c, m);
		fact(c, print(c, "%s", m->id), m->dim, inw_study_value(s, i, &s->c[INW_AS_DESIGNED]), law_behind(m->kind));
	}
}

int inw_facts_collect(struct inw_fact **facts, size_t *count, struct inw_study *s, const char *suffix, struct inw_arena *arena)
{
	struct collector *c = inw_arena_alloc(arena, sizeof *c);

	if (!c)
		return -1;
	c->s = s;
	c->d = s->d;
	c->arena = arena;
	c->suffix = suffix;
	if (s->c[0].ok) {
		const struct inw_material *mat = &s->d->catalog.material[s->job->material];
		box_facts(c);
		gap_facts(c);
		flow_facts(c);
		bed_facts(c, &s->c[0].o);
		gas_facts(c, &s->c[0].o, mat);
		particle_facts(c, &s->c[0].o, mat);
		other_facts(c, &s->c[0].o);
		verdict_facts(c);
	}
	struct inw_fact *all = inw_arena_alloc(arena, sizeof *all * (*count + c->n + 1));
	if (!all || c->failed)
		return -1;
	if (*count)
		memcpy(all, *facts, sizeof *all * *count);
	memcpy(all + *count, c->list, sizeof *all * c->n);
	*facts = all;
	*count += c->n;
	return 0;
}
