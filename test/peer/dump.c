/* SPDX-License-Identifier: MIT */
/* dump.c: one design as resolved quantities and structure, with this library's solution of each job, as JSON for peer.py.
 *
 * usage: dump DESIGN [best|low|high]: every quantity at its value or at one end of its range.
 * In the structure a number that comes from the design stands as its index into "quantities" (-1: the design has none);
 * laws of vapour pressure stand as plain numbers.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check/study.h"
#include "solve/outcome.h"

/* ---- JSON ---- */

static void number(const char *key, double v, const char *after)
{
	if (isfinite(v))
		printf("\"%s\": %.17g%s", key, v, after);
	else
		printf("\"%s\": %s%s", key, isnan(v) ? "null" : v > 0 ? "1e999" : "-1e999", after);
}

static void integer(const char *key, long v, const char *after)
{
	printf("\"%s\": %ld%s", key, v, after);
}

static void text(const char *key, const char *s, const char *after)
{
	printf("\"%s\": \"", key);
	for (; *s; s++)
		if (*s == '"' || *s == '\\')
			printf("\\%c", *s);
		else if ((unsigned char)*s >= ' ')
			putchar(*s);
	printf("\"%s", after);
}

static void array(const char *key, const double *v, int n, const char *after)
{
	printf("\"%s\": [", key);
	for (int i = 0; i < n; i++)
		if (isfinite(v[i]))
			printf("%s%.17g", i ? ", " : "", v[i]);
		else
			printf("%s%s", i ? ", " : "", isnan(v[i]) ? "null" : v[i] > 0 ? "1e999" : "-1e999");
	printf("]%s", after);
}

#define Q(s, field) integer(#field, (s)->field, ", ")

static const char *comma(size_t i, size_t n)
{
	return i + 1 < n ? ",\n" : "\n";
}

/* ---- structure ---- */

static void rooms(const struct inw_design *d)
{
	printf("\"rooms\": [\n");
	for (size_t i = 0; i < d->rooms; i++) {
		const struct inw_room *r = &d->room[i];
		printf("{");
		text("name", r->name, ", ");
		integer("held", r->T_held, ", ");
		Q(r, floor); Q(r, height); Q(r, T); Q(r, rh); Q(r, heat_loss); Q(r, air_changes); Q(r, leak_C); Q(r, leak_n);
		integer("absorption", r->absorption, "");
		printf("}%s", comma(i, d->rooms));
	}
	printf("],\n\"doorways\": [\n");
	for (size_t i = 0; i < d->doorways; i++) {
		const struct inw_doorway *o = &d->doorway[i];
		printf("{");
		integer("a", o->a, ", ");
		integer("b", o->b, ", ");
		Q(o, width); Q(o, height); Q(o, sill);
		integer("cd", o->cd, "");
		printf("}%s", comma(i, d->doorways));
	}
	printf("],\n");
}

static void box(const struct inw_design *d)
{
	static const char *const kind[] = {"crack", "hole", "opening", "measured"};
	static const char *const face[INW_FACES] = {"top", "bottom", "front", "back", "left", "right"};
	const struct inw_box *b = &d->box;

	printf("\"box\": {");
	integer("room", b->room, ", ");
	Q(b, width); Q(b, depth); Q(b, height); Q(b, stand); Q(b, stirring); Q(b, convection);
	printf("\n\"panels\": {\n");
	for (int i = 0; i < INW_FACES; i++) {
		const struct inw_panel *p = &b->panel[i];
		printf("\"%s\": {", face[i]);
		Q(p, thickness); Q(p, resistance); Q(p, conductivity); Q(p, insulation_thickness); Q(p, insulation_conductivity);
		integer("emissivity", p->emissivity, "");
		printf("}%s", comma((size_t)i, INW_FACES));
	}
	printf("}, \"gaps\": [\n");
	for (size_t i = 0; i < b->gaps; i++) {
		const struct inw_gap *g = &b->gap[i];
		printf("{");
		text("name", g->name, ", ");
		text("kind", kind[g->kind], ", ");
		integer("room", g->room, ", ");
		Q(g, height); Q(g, rise); Q(g, length); Q(g, width); Q(g, depth); Q(g, bends); Q(g, diameter); Q(g, count); Q(g, cd);
		Q(g, opening_width); Q(g, C);
		integer("n", g->n, "");
		printf("}%s", comma(i, b->gaps));
	}
	printf("]},\n");
}

static void duct(const char *key, const struct inw_duct *p)
{
	printf("\"%s\": {", key);
	Q(p, diameter); Q(p, length); Q(p, roughness); Q(p, stretch); Q(p, loss); Q(p, insulation);
	integer("room", p->room, "");
	printf("},\n");
}

static void stage(const struct inw_stage *s)
{
	printf("{");
	if (s->kind == INW_STAGE_MEDIUM) {
		const struct inw_medium *p = &s->medium;
		text("kind", "medium", ", ");
		Q(p, efficiency); Q(p, worst_size); Q(p, rated_velocity); Q(p, rated_dp); Q(p, final_ratio); Q(p, area); Q(p, frame_area);
		Q(p, seal_length); Q(p, seal_width); Q(p, seal_depth);
		integer("loading", p->loading, "");
	} else if (s->kind == INW_STAGE_BED) {
		const struct inw_bed *p = &s->bed;
		text("kind", "bed", ", ");
		Q(p, area); Q(p, diameter); Q(p, depth); Q(p, granule); Q(p, sphericity); Q(p, voidage); Q(p, bulk_density);
		Q(p, micropore_volume); Q(p, structure); Q(p, mass); Q(p, screens); Q(p, screen_open);
		Q(p, seal_length); Q(p, seal_width); Q(p, seal_depth); Q(p, capacity_factor);
		integer("rate_factor", p->rate_factor, "");
	} else {
		const struct inw_blower *p = &s->blower;
		text("kind", "blower", ", ");
		Q(p, flow_factor); Q(p, rise_factor); Q(p, density); Q(p, power); Q(p, idle_power); Q(p, sound); Q(p, speed); Q(p, speed_low);
		integer("forward_curved", p->forward_curved, ", ");
		integer("motor_in_air", p->motor_in_air, ", ");
		printf("\"points\": [");
		for (size_t i = 0; i < p->points; i++)
			printf("%s[%d, %d]", i ? ", " : "", p->flow[i], p->rise[i]);
		printf("]");
	}
	printf("}");
}

static void cleaner(const struct inw_design *d)
{
	static const char *const split[] = {"flap", "fixed", "tee"};
	const struct inw_cleaner *c = &d->cleaner;

	if (!c->present) {
		printf("\"cleaner\": null,\n");
		return;
	}
	printf("\"cleaner\": {");
	Q(c, inlet_height); Q(c, casing); Q(c, position); Q(c, flap_diameter); Q(c, seat_leak); Q(c, share); Q(c, return_height);
	Q(c, exhaust_height);
	text("split", split[c->split], ", ");
	integer("has_return", c->has_return, ", ");
	integer("has_exhaust", c->has_exhaust, ", ");
	integer("exhaust_to", c->exhaust_to, ",\n");
	duct("inlet", &c->inlet);
	duct("return", &c->ret);
	duct("exhaust", &c->exhaust);
	printf("\"stages\": [\n");
	for (size_t i = 0; i < c->stages; i++) {
		stage(&c->stage[i]);
		printf("%s", comma(i, c->stages));
	}
	printf("]},\n");
}

static void substances(const struct inw_design *d)
{
	static const char *const form[] = {"dippr101", "antoine", "point"};

	printf("\"substances\": [\n");
	for (size_t i = 0; i < d->catalog.substances; i++) {
		const struct inw_substance *s = &d->catalog.substance[i];
		printf("{");
		text("name", s->name, ", ");
		Q(s, molar_mass); Q(s, liquid_density); Q(s, molar_refraction); Q(s, diffusivity); Q(s, lfl);
		integer("weakly_held", s->weakly_held, ", \"vapour_pressure\": [");
		for (size_t k = 0; k < s->vp_count; k++) {
			const struct inw_vapour_pressure *v = &s->vp[k];
			printf("%s{", k ? ", " : "");
			text("form", form[v->form], ", ");
			array("c", v->c, 5, ", ");
			number("from", v->T_low_K, ", ");
			number("to", v->T_high_K, "}");
		}
		printf("]}%s", comma(i, d->catalog.substances));
	}
	printf("],\n");
}

static void job_structure(const struct inw_design *d, const struct inw_job *j)
{
	const struct inw_material *m = &d->catalog.material[j->material];

	text("job", j->name, ", ");
	Q(j, rate); Q(j, plate);
	integer("particles", m->particles, ", ");
	integer("particles_per_mass", m->particles_per == INW_PER_MASS, ", ");
	integer("particle_diameter", m->particle_diameter, ", \"gases\": [");
	for (size_t i = 0; i < m->gas_count; i++) {
		const struct inw_emission *e = &m->gases[i];
		printf("%s{", i ? ", " : "");
		integer("substance", e->substance, ", ");
		integer("per_mass", e->per == INW_PER_MASS, ", ");
		integer("rate", e->rate, "}");
	}
	printf("],\n");
}

/* ---- the solution ---- */

static double slot(const struct inw_solution *sol, int i)
{
	return i >= 0 ? sol->y[i] : NAN;
}

static void state_numbers(const struct inw_solution *sol)
{
	const struct inw_slots *s = &sol->s;
	const struct inw_model *m = &sol->m;
	double room_T[INW_MAX_ROOMS], room_p[INW_MAX_ROOMS], in[INW_FACES], out[INW_FACES], bypass[INW_MAX_STAGES], skin[3];

	for (int i = 0; i < m->rooms; i++) {
		room_T[i] = s->T_room[i] >= 0 ? sol->y[s->T_room[i]] : m->room[i].T;
		room_p[i] = sol->y[s->p_room[i]];
	}
	for (int i = 0; i < INW_FACES; i++) {
		in[i] = sol->y[s->T_panel_in[i]];
		out[i] = sol->y[s->T_panel_out[i]];
	}
	for (int i = 0; i < m->stages; i++)
		bypass[i] = slot(sol, s->m_bypass[i]);
	for (int i = 0; i < 3; i++)
		skin[i] = slot(sol, s->T_skin[i]);
	number("T_box", slot(sol, s->T_box), ", ");
	number("T_star", slot(sol, s->T_star), ", ");
	number("T_in", slot(sol, s->T_in), ", ");
	number("T_junction", slot(sol, s->T_junction), ", ");
	number("T_return", slot(sol, s->T_return), ", ");
	number("T_exhaust", slot(sol, s->T_exhaust), ",\n");
	number("p_box", slot(sol, s->p_box), ", ");
	number("p_junction", slot(sol, s->p_junction), ", ");
	number("m_clean", slot(sol, s->m_clean), ", ");
	number("m_return", slot(sol, s->m_return), ", ");
	number("m_exhaust", slot(sol, s->m_exhaust), ",\n");
	array("T_rooms", room_T, m->rooms, ", ");
	array("p_rooms", room_p, m->rooms, ",\n");
	array("T_panel_in", in, INW_FACES, ", ");
	array("T_panel_out", out, INW_FACES, ",\n");
	array("m_bypass", bypass, m->stages, ", ");
	array("T_skin", skin, 3, ",\n");
}

static void flow_numbers(const struct inw_solution *sol)
{
	const struct inw_model *m = &sol->m;
	const struct inw_flows *f = &sol->f;
	double of[INW_MAX_GAPS];

	for (int i = 0; i < m->gaps; i++)
		of[i] = m->gap_of[i];
	array("gap_of", of, m->gaps, ", ");
	array("gap_in", f->gap_in, m->gaps, ", ");
	array("gap_out", f->gap_out, m->gaps, ",\n");
	array("gap_dp_bottom", f->gap_dp_bottom, m->gaps, ", ");
	array("gap_dp_top", f->gap_dp_top, m->gaps, ",\n");
	array("door_ab", f->door_ab, m->doorways, ", ");
	array("door_ba", f->door_ba, m->doorways, ", ");
	array("leak_in", f->leak_in, m->rooms, ", ");
	array("leak_out", f->leak_out, m->rooms, ",\n");
	array("stage_dp", f->stage_dp, m->stages, ", ");
	array("duct_W", f->duct_W, 3, ", ");
	array("panel_W", f->panel_W, INW_FACES, ",\n");
	array("room_heater_W", f->room_heater_W, m->rooms, ", ");
	number("blower_heat", f->blower_heat, ", ");
	number("blower_power", f->blower_power, ", ");
	number("plate_W", f->plate_W, ", ");
	number("heater_W", f->heater_W, ", ");
	number("casing_W", f->casing_W, ", ");
	number("throttle_Pa", f->throttle_Pa, ",\n");
}

static void gas_numbers(const struct inw_outcome *o, int rooms_count)
{
	printf("\"gas_results\": [");
	for (int i = 0; i < o->gases; i++) {
		const struct inw_gas_outcome *g = &o->gas[i];
		printf("%s\n{", i ? "," : "");
		number("emission_kgs", g->emission_kgs, ", ");
		number("pass", g->pass, ", ");
		number("box_kgm3", g->box_kgm3, ", ");
		array("room_kgm3", g->room_kgm3, rooms_count, ", ");
		array("spent_kgm3", g->spent_kgm3, rooms_count, ", ");
		number("inlet_kgm3", g->inlet_kgm3, ", ");
		number("capacity", g->capacity, ", ");
		number("rate_1s", g->rate_1s, ", ");
		number("service_s", g->service_s, "}");
	}
	printf("],\n");
}

static void outcome_numbers(const struct inw_outcome *o, const struct inw_model *m)
{
	array("gap_least_Pa", o->gap_least_Pa, m->gaps, ", ");
	array("gap_velocity_ms", o->gap_velocity_ms, m->gaps, ", ");
	array("room_p_mid", o->room_p_Pa, m->rooms, ",\n");
	gas_numbers(o, m->rooms);
	number("inward_Pa", o->inward_Pa, ", ");
	number("inward_ms", o->inward_ms, ", ");
	number("escape_m3s", o->escape_m3s, ", ");
	number("particle_pass", o->particle_pass, ", ");
	number("box_particles_m3", o->box_particles_m3, ", ");
	array("room_particles_m3", o->room_particles_m3, m->rooms, ", ");
	number("particle_kept", o->particle_kept, ",\n");
	number("residence_s", o->residence_s, ", ");
	number("bed_velocity_ms", o->bed_velocity_ms, ", ");
	number("bed_rh", o->bed_rh, ", ");
	number("carbon_kg", o->carbon_kg, ", ");
	number("life_s", o->life_s, ", ");
	number("bypass", o->bypass, ",\n");
	number("clean_m3s", o->clean_m3s, ", ");
	number("share_out", o->share_out, ", ");
	number("peak_margin", o->peak_margin, ", ");
	number("lfl_fraction", o->lfl_fraction, ", ");
	number("sound_dB", o->sound_dB, ", ");
	number("power_W", o->power_W, ", ");
	number("heating_W", o->heating_W, ",\n");
	number("removal_1s", o->removal_1s, ", ");
	number("gas_removal_1s", o->gas_removal_1s, ", ");
	number("dew_margin_K", o->dew_margin_K, ", ");
	number("air_changes_1s", o->air_changes_1s, ",\n");
}

struct work { struct inw_solution sol; struct inw_outcome o; };

static int solve(struct work *w, const struct inw_design *d, const double *x, const struct inw_job *job, const struct inw_state *state)
{
	static const char *const mode[] = {"off", "full", "holds"};
	struct inw_values v = {x, NULL};
	const char *why = NULL;

	if (inw_model_build(&w->sol.m, d, &v, job, state, &why)) {
		fprintf(stderr, "dump: %s\n", why);
		return -1;
	}
	inw_steady(&w->sol, false);
	printf("{\"state\": {");
	text("name", state->name, ", ");
	number("speed_factor", state->speed_factor, ", ");
	integer("loaded", state->loaded, ", ");
	integer("hottest", state->hottest, ", ");
	integer("low_blower", state->low_blower, ", ");
	integer("gust", state->gust, ", \"doors\": [");
	for (int i = 0; i < w->sol.m.doorways; i++) {
		const struct inw_model_doorway *o = &w->sol.m.doorway[i];
		printf("%s[%.17g, %.17g, %.17g]", i ? ", " : "", o->width, o->rise, o->sill);
	}
	printf("]},\n");
	job_structure(d, job);
	printf("\"solution\": {");
	integer("status", (long)w->sol.status, ", ");
	integer("plate_idle", w->sol.plate_idle, ", ");
	text("heater", mode[w->sol.m.heater], ",\n");
	state_numbers(&w->sol);
	flow_numbers(&w->sol);
	if (w->sol.status == INW_OK) {
		inw_outcome(&w->o, &w->sol, d, &v, job, state);
		outcome_numbers(&w->o, &w->sol.m);
	}
	number("mass_closure", w->sol.mass_closure, ", ");
	number("energy_closure", w->sol.energy_closure, "}}");
	return 0;
}

static int cases(const struct inw_design *d, const double *x)
{
	static const struct inw_state still = {.name = "blower stopped"};
	enum { blower_stopped = 7, doors_shut = 11 };
	const struct inw_state *state[] = {&inw_states[INW_AS_DESIGNED], &inw_states[blower_stopped], &still, &inw_states[doors_shut]};
	struct work *w = calloc(1, sizeof *w);
	int status = w ? 0 : -1;

	printf("\"cases\": [\n");
	for (size_t j = 0; j < d->jobs && !status; j++)
		for (size_t k = 0; k < INW_COUNT(state) && !status; k++) {
			if (state[k] == &inw_states[doors_shut] && !inw_state_arises(d, doors_shut))
				continue;
			printf("%s", j || k ? ",\n" : "");
			status = solve(w, d, x, &d->job[j], state[k]);
		}
	printf("]}\n");
	free(w);
	return status;
}

static void structure(const struct inw_design *d, const double *x)
{
	printf("{\"quantities\": [\n");
	for (size_t i = 0; i < d->quantities; i++) {
		printf("{");
		text("path", d->quantity[i].path, ", ");
		number("high", d->quantity[i].high, ", ");
		number("value", x[i], "}");
		printf("%s", comma(i, d->quantities));
	}
	printf("],\n\"site\": {");
	Q(&d->site, pressure); Q(&d->site, T_out); Q(&d->site, rh_out);
	integer("gust", d->site.gust, "},\n");
	printf("\"heat\": {");
	Q(&d->heat, plate_width); Q(&d->heat, plate_depth); Q(&d->heat, plate_emissivity); Q(&d->heat, plate_share_below);
	Q(&d->heat, hot_end); Q(&d->heat, electronics); Q(&d->heat, heater_power);
	integer("heater_target", d->heat.heater_target, "},\n");
	printf("\"require\": {");
	Q(&d->require, gas_removal);
	Q(&d->require, carbon_life);
	integer("noise_distance", d->require.noise_distance, "},\n");
	rooms(d);
	box(d);
	cleaner(d);
	substances(d);
}

int main(int argc, char **argv)
{
	struct inw_diags diags = {0};
	struct inw_design *d = NULL;
	const char *end = argc > 2 ? argv[2] : "best";
	int status = 1;

	if (argc < 2)
		return 2;
	if (inw_design_read(argv[1], NULL, &d, &diags) == INW_OK) {
		double *x = calloc(d->quantities + 1, sizeof *x);
		for (size_t i = 0; x && i < d->quantities; i++)
			x[i] = !strcmp(end, "low") ? d->quantity[i].low : !strcmp(end, "high") ? d->quantity[i].high : d->quantity[i].value;
		if (x) {
			structure(d, x);
			status = cases(d, x) ? 1 : 0;
		}
		free(x);
	}
	for (size_t i = 0; i < diags.count && !d; i++)
		fprintf(stderr, "%s:%d: %s\n", argv[1], diags.items[i].line, diags.items[i].message);
	inw_design_free(d);
	inw_diags_free(&diags);
	return status;
}
