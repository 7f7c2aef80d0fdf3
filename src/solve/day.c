/* SPDX-License-Identifier: MIT */
#include "solve/day.h"

#include <math.h>
#include <string.h>

#include "physics/flow.h"
#include "solve/day_within.h"

static const double gamma_ = INW_SDIRK2_GAMMA;
static const double temperature_scale = 20;           /* K: a tolerance of 1e-3 is 0.02 K */
/* s; the first after a change, when things move fast, and when a box that begins to warm pushes most: what it then does to
 * the pull is told for the end of a step */
static const double longest_step = 900, shortest_step = 1e-3, first_step = 0.05;
static const double met = 0.02;                       /* K: a thermostat's target counts as reached */

/* ---- from one constant stretch to the next ---- */

/* Carry over every unknown that old and new have in common; what is new starts at the temperature of the box. */
static void carry_over(struct inw_solution *sol, const struct inw_slots *old, const double *y)
{
	double T = y[old->T_box];

	inw_model_guess(&sol->m, &sol->s, sol->y);
	for (int i = 0; i < sol->s.n; i++)
		if (sol->y[i] > 100)
			sol->y[i] = T;
	inw_model_carry_over(&sol->s, sol->y, old, y);
}

static void set_thermostats(struct inw_day_sim *s)
{
	struct inw_model *m = &s->sol.m;
	const struct inw_slots *l = &s->sol.s;

	if (m->heater_power > 0)
		m->heater = s->sol.y[l->T_box] < m->heater_target - met ? INW_HEATER_FULL
		          : s->sol.y[l->T_box] > m->heater_target + met ? INW_HEATER_OFF : INW_HEATER_HOLDS;
	if (l->T_plate >= 0 && m->plate_T > 0)
		m->plate = s->sol.y[l->T_plate] < m->plate_T - met ? INW_PLATE_FULL
		         : s->sol.y[l->T_plate] > m->plate_T + met ? INW_PLATE_OFF : INW_PLATE_HOLDS;
}

static void storage(const struct inw_day_sim *s, struct inw_step *step)
{
	const struct inw_solution *sol = &s->sol;
	const struct inw_model *m = &sol->m;

	inw_model_capacity(m, &sol->s, sol->y, step->capacity);
	memcpy(step->base, sol->y, sizeof(double) * (size_t)sol->s.n);
	step->expansion = m->heater == INW_HEATER_HOLDS ? 0 : m->box_w * m->box_d * m->box_h * inw_model_air(m, sol->y[sol->s.T_box], m->w_box).drho_dT;
	step->hold = false;
}

/* Flows and surfaces of no storage at the present stored temperatures. */
static int settle_now(struct inw_day_sim *s)
{
	struct inw_step step;

	storage(s, &step);
	step.hold = true;
	inw_instant(&s->sol, &step);
	return s->sol.status == INW_OK ? 0 : -1;
}

/* The job that the machine is set for. A plate is there, and stores its heat, in a job that does not heat it as well. */
static struct inw_job machine_job(const struct inw_day_sim *s, bool *plate_unused)
{
	struct inw_job job = s->d->job[s->machine_job];

	*plate_unused = job.plate < 0;
	for (size_t j = 0; j < s->d->jobs && job.plate < 0; j++)
		job.plate = s->d->job[j].plate;
	return job;
}

static bool let_go(struct inw_day_sim *s);

/* Set up the model for what is on from now; thermostats by what is reached. */
static int enter(struct inw_day_sim *s, bool first)
{
	struct inw_state state = {.name = "day", .speed_factor = 1, .storing = true};
	struct inw_values v = {s->x, NULL};
	struct inw_slots old = s->sol.s;
	double y[INW_MAX_UNKNOWNS];

	inw_day_find_job(s);
	inw_day_apply_doings(s);
	state.idle = s->job < 0;
	state.door_open = s->door_open;
	memcpy(y, s->sol.y, sizeof y);
	bool plate_unused;
	struct inw_job job = machine_job(s, &plate_unused);
	if (inw_model_build(&s->sol.m, s->d, &v, &job, &state, &s->why))
		return -1;
	if (plate_unused) {
		s->sol.m.plate = INW_PLATE_OFF;
		s->sol.m.plate_T = 0;
	}
	for (int i = 0; i < s->sol.m.rooms; i++)
		s->sol.m.room[i].held &= !s->unheated[i];
	inw_day_load_media(s);
	s->sol.m.T_out = inw_day_outdoor_T(s, s->t);
	inw_model_slots(&s->sol.m, &s->sol.s);
	if (first) {
		inw_model_guess(&s->sol.m, &s->sol.s, s->sol.y);
		double room = s->sol.m.room[s->sol.m.box_room].T;
		const int *slot = (const int *)&s->sol.s;
		for (size_t i = 0; i < sizeof s->sol.s / sizeof(int) - 1; i++) /* cold: every temperature that of the room */
			if (slot[i] >= 0 && s->sol.y[slot[i]] > 100)
				s->sol.y[slot[i]] = room;
		for (int i = 0; i < s->sol.m.rooms; i++)
			if (s->sol.s.T_room[i] >= 0)
				s->sol.y[s->sol.s.T_room[i]] = s->sol.m.room[i].T;
	} else {
		carry_over(&s->sol, &old, y);
	}
	set_thermostats(s);
	memset(s->slope, 0, sizeof s->slope);
	s->before.dt = 0;
	s->dt = fmin(s->dt, first_step);
	if (settle_now(s) || (let_go(s) && settle_now(s))) {
		s->why = "no flows were found at a change: is the box too tight for the flow that is asked of it?";
		return -1;
	}
	return 0;
}

static void list_gases(struct inw_day_sim *s)
{
	for (size_t j = 0; j < s->d->jobs; j++) {
		const struct inw_material *m = &s->d->catalog.material[s->d->job[j].material];
		for (size_t i = 0; i < m->gas_count; i++) {
			int k = 0;
			while (k < s->gas.count && s->gas.substance[k] != m->gases[i].substance)
				k++;
			if (k == INW_MAX_GASES)
				s->why = "the jobs give off more than 16 gases in all";
			else if (k == s->gas.count)
				s->gas.substance[s->gas.count++] = m->gases[i].substance;
		}
	}
}

/* The carbon has stood in its room: it holds the water of that air. */
static void soak(struct inw_day_sim *s)
{
	const struct inw_model *m = &s->sol.m;
	struct inw_values x = {s->x, NULL};

	inw_day_beds_soak(&s->gas.carbon, s->d, &x, inw_air_vapour_Pa(m->p_site, m->w_box) / inw_air_saturation_Pa(m->room[m->box_room].T));
}

/* Rooms of whose temperature nothing was said are heated, never cooled: those that get warmer by themselves in the steady state of
 * some job, when it is warmest outdoors, have a temperature of their own all day. s->sol is only used for it. */
static void let_rooms_go(struct inw_day_sim *s)
{
	const struct inw_state as_designed = {.name = "as designed", .speed_factor = 1};
	const double often = 3600; /* s */
	struct inw_values v = {s->x, NULL};
	struct inw_model *m = &s->sol.m;
	double warmest = 0;
	bool any = false;

	for (size_t i = 0; i < s->d->rooms; i++)
		any |= s->d->room[i].T_assumed;
	for (double t = 0; any && t < s->end; t += often)
		warmest = fmax(warmest, inw_day_outdoor_T(s, t));
	for (size_t j = 0; any && j < s->d->jobs; j++) {
		if (inw_model_build(m, s->d, &v, &s->d->job[j], &as_designed, &s->why))
			return;
		m->T_out = warmest;
		inw_steady(&s->sol, false);
		for (int i = 0; i < m->rooms && s->sol.status == INW_OK; i++)
			s->unheated[i] |= m->room[i].assumed && !m->room[i].held;
	}
}

int inw_day_start(struct inw_day_sim *s, const struct inw_design *d, const struct inw_day_setup *setup, const double *given, double *x)
{
	memset(s, 0, sizeof *s);
	s->d = d;
	s->given = given;
	s->x = x;
	s->clock = given[d->day.start];
	s->end = given[d->day.span];
	/* of the first-order estimate; the second-order result errs far less: see test/solve/test_day.c */
	s->tolerance = setup && setup->tolerance > 0 ? setup->tolerance : 5e-3;
	s->dt = 1;
	s->bins = setup && setup->bins > 1 ? setup->bins : d->day.particle_sizes;
	if (d->jobs > INW_MAX_JOBS_SIZED) {
		s->why = "more than 32 jobs";
		return -1;
	}
	if (inw_bins_grid(&s->grid, s->bins, INW_BINS_FROM_M, INW_BINS_TO_M)) {
		s->why = "a number of sizes outside 2 to 64";
		return -1;
	}
	list_gases(s);
	if (inw_day_beds_start(&s->gas.carbon, d, s->gas.substance, s->gas.count))
		s->why = "more than four stages of carbon";
	inw_day_particles_start(s);
	inw_day_list_events(s);
	memcpy(s->x, s->given, sizeof *s->x * d->quantities);
	let_rooms_go(s);
	if (s->why || enter(s, true))
		return -1;
	soak(s);
	return 0;
}

/* ---- one step of everything ---- */

/* Solve a stage from where its unknowns seem to go; should that lead nowhere, from where they are. */
static void solve_stage(struct inw_day_sim *s, struct inw_solution *stage, const struct inw_step *step, const double *change)
{
	double now[INW_MAX_UNKNOWNS];

	memcpy(now, stage->y, sizeof now);
	for (int i = 0; i < stage->s.n; i++)
		stage->y[i] += change[i];
	inw_instant(stage, step);
	s->iterations += stage->iterations;
	if (stage->status == INW_OK)
		return;
	memcpy(stage->y, now, sizeof now);
	inw_instant(stage, step);
	s->iterations += stage->iterations;
}

/* Temperatures and flows through both stages. The larger of the errors, INFINITY when a stage has no solution. */
static double heat_stages(struct inw_day_sim *s, struct inw_day_trial *t, double dt)
{
	struct inw_step step;
	double error = 0, k1[INW_MAX_UNKNOWNS], change[INW_MAX_UNKNOWNS];
	int n = s->sol.s.n;

	storage(s, &step);
	step.rate = 1 / (gamma_ * dt);
	for (int k = 0; k < 2; k++) {
		t->stage[k] = k ? t->stage[0] : s->sol;
		t->stage[k].m.T_out = inw_day_outdoor_T(s, s->t + (k ? dt : gamma_ * dt));
		for (int i = 0; i < n; i++)
			change[i] = k ? (1 - gamma_) / gamma_ * k1[i] : gamma_ * dt * s->slope[i];
		solve_stage(s, &t->stage[k], &step, change);
		if (t->stage[k].status != INW_OK)
			return INFINITY;
		for (int i = 0; i < n && !k; i++) {
			k1[i] = t->stage[0].y[i] - s->sol.y[i];
			step.base[i] = s->sol.y[i] + (1 - gamma_) / gamma_ * k1[i];
		}
	}
	for (int i = 0; i < n; i++)
		if (step.capacity[i] > 0)
			error = fmax(error, fabs((t->stage[1].y[i] - step.base[i]) - k1[i]) / temperature_scale);
	return error;
}

/* The air of the two stages, and what else drives the gases. */
static void gas_drive(const struct inw_day_sim *s, const struct inw_day_trial *t, double dt, struct inw_gas_drive *v)
{
	struct inw_values x = {s->x, NULL};

	inw_mover_begin(&v->air, t->stage);
	v->hurry = 1;
	v->parts = 1;
	v->warmth_known = false;
	v->through = s->sol.s.m_clean >= 0 && s->sol.y[s->sol.s.m_clean] >= 0;
	for (int k = 0; k < s->gas.carbon.beds; k++)
		v->bed[k] = inw_bed_now(&t->stage[1], s->d, &x, s->gas.carbon.bed[k].stage);
	memcpy(v->pass, s->pass, sizeof v->pass);
	for (int g = 0; g < s->gas.count; g++)
		for (int k = 0; k < 2; k++)
			v->source[g][k] = inw_day_gas_emission(s, s->gas.substance[g], s->t + (k ? dt : gamma_ * dt));
}

static void matter_stages(struct inw_day_sim *s, struct inw_day_trial *t, double dt)
{
	struct inw_values x = {s->x, NULL};

	gas_drive(s, t, dt, &t->drive);
	t->error = fmax(t->error, inw_gases_step(&s->gas, &t->drive, s->d, &x, dt, &t->gas));
	memcpy(t->bin, s->bin, sizeof t->bin[0] * (size_t)s->bins);
	inw_day_particles_step(s, t, &t->drive.air, dt);
}

/* A thermostat that holds gives between nothing and all of its power: the share of a step until it leaves that by more than
 * a hundredth. */
static double held_until(double from_W, double to_W, double power_W)
{
	if (to_W < -0.01 * power_W && from_W > 0)
		return from_W / (from_W - to_W);
	if (to_W > 1.01 * power_W && from_W < power_W)
		return (power_W - from_W) / (to_W - from_W);
	return 1;
}

/* What a thermostat says after a step; when a target was overshot, the share of the step that just reaches it. */
static double overshoot(const struct inw_day_sim *s, const struct inw_solution *end, double dt)
{
	const struct inw_model *m = &s->sol.m;
	const struct inw_slots *l = &s->sol.s;
	double share = 1;

	if (m->heater == INW_HEATER_FULL && end->y[l->T_box] > m->heater_target + met)
		share = fmin(share, (m->heater_target - s->sol.y[l->T_box]) / (end->y[l->T_box] - s->sol.y[l->T_box]));
	if (m->heater == INW_HEATER_OFF && m->heater_power > 0 && end->y[l->T_box] < m->heater_target - met)
		share = fmin(share, (m->heater_target - s->sol.y[l->T_box]) / (end->y[l->T_box] - s->sol.y[l->T_box]));
	const double soon = 1; /* s: just after a change what is needed jumps as air starts to move; not worth looking for the moment */
	if (m->heater == INW_HEATER_HOLDS && dt > soon)
		share = fmin(share, held_until(s->sol.f.heater_W, end->f.heater_W, m->heater_power));
	if (m->plate == INW_PLATE_HOLDS && l->T_plate >= 0 && dt > soon)
		share = fmin(share, held_until(s->sol.f.plate_W, end->f.plate_W, m->plate_power));
	bool heated = l->T_plate >= 0 && m->plate_T > 0;
	if (heated && ((m->plate == INW_PLATE_FULL && end->y[l->T_plate] > m->plate_T + met) || (m->plate == INW_PLATE_OFF && end->y[l->T_plate] < m->plate_T - met)))
		share = fmin(share, (m->plate_T - s->sol.y[l->T_plate]) / (end->y[l->T_plate] - s->sol.y[l->T_plate]));
	return fmax(share, 0.01);
}

/* Thermostats that cannot hold their target let go of it: they do not cool, and have no more than their power. */
static bool let_go(struct inw_day_sim *s)
{
	struct inw_model *m = &s->sol.m;
	enum inw_heater_mode heater = m->heater;
	enum inw_plate_mode plate = m->plate;

	if (heater == INW_HEATER_HOLDS)
		m->heater = s->sol.f.heater_W > m->heater_power ? INW_HEATER_FULL : s->sol.f.heater_W < 0 ? INW_HEATER_OFF : heater;
	if (s->sol.s.T_plate >= 0 && plate == INW_PLATE_HOLDS)
		m->plate = s->sol.f.plate_W > m->plate_power ? INW_PLATE_FULL : s->sol.f.plate_W < 0 ? INW_PLATE_OFF : plate;
	return m->heater != heater || m->plate != plate;
}

/* Those that have reached their target hold it. */
static bool take_hold(struct inw_day_sim *s)
{
	struct inw_model *m = &s->sol.m;
	const struct inw_slots *l = &s->sol.s;
	enum inw_heater_mode heater = m->heater;
	enum inw_plate_mode plate = m->plate;
	double T = s->sol.y[l->T_box];

	if (m->heater_power > 0 && ((heater == INW_HEATER_FULL && T >= m->heater_target - met) || (heater == INW_HEATER_OFF && T <= m->heater_target)))
		m->heater = INW_HEATER_HOLDS;
	if (l->T_plate >= 0 && m->plate_T > 0) {
		T = s->sol.y[l->T_plate];
		if ((plate == INW_PLATE_FULL && T >= m->plate_T - met) || (plate == INW_PLATE_OFF && T <= m->plate_T))
			m->plate = INW_PLATE_HOLDS;
	}
	return m->heater != heater || m->plate != plate;
}

/* After a step. What takes hold and finds that it cannot lets go at once. 0, or -1 when no flows are found. */
static int switch_thermostats(struct inw_day_sim *s)
{
	bool taken = take_hold(s), let = false;

	if (taken && settle_now(s))
		return -1;
	let = let_go(s);
	if (taken || let) {
		memset(s->slope, 0, sizeof s->slope);
		s->before.dt = 0;
	}
	return let ? settle_now(s) : 0;
}

double inw_electric_W(const struct inw_solution *sol)
{
	const struct inw_model *m = &sol->m;
	double plate = sol->s.T_plate < 0 || m->plate == INW_PLATE_OFF ? 0 : m->plate == INW_PLATE_FULL ? m->plate_power : fmax(sol->f.plate_W, 0);

	return sol->f.blower_power + sol->f.heater_W + m->heat_air + plate;
}

static void accept(struct inw_day_sim *s, const struct inw_day_trial *t, double dt)
{
	for (int i = 0; i < s->sol.s.n; i++)
		s->slope[i] = (t->stage[1].y[i] - s->sol.y[i]) / dt;
	s->energy += dt * ((1 - gamma_) * inw_electric_W(&t->stage[0]) + gamma_ * inw_electric_W(&t->stage[1]));
	s->sol = t->stage[1];
	inw_gases_copy(&s->gas, &t->gas);
	s->drive = t->drive;
	s->step_s = dt;
	inw_day_particles_caught(s, t, dt);
	memcpy(s->bin, t->bin, sizeof s->bin[0] * (size_t)s->bins);
	s->t += dt;
	s->steps++;
}

/* What the cleaner lets through now, from the state at the step's beginning. */
static void passes_now(struct inw_day_sim *s)
{
	struct inw_values v = {s->x, NULL};
	double volume = s->sol.m.box_w * s->sol.m.box_d * s->sol.m.box_h;

	inw_day_load_media(s);
	for (int g = 0; g < s->gas.count; g++)
		s->pass[g] = s->sol.s.m_clean >= 0 ? inw_fresh_pass(&s->sol, s->d, &v, s->gas.substance[g], fmax(s->gas.account[g].held[0] / volume, 1e-15)) : 1;
	inw_day_particles_now(s);
}

/* By what the next step is longer than one of dt with error e over what is allowed; as in bed.c the trend counts. */
static double growth(const struct inw_day_sim *s, double dt, double e)
{
	double alone = 0.9 / sqrt(fmax(e, 1e-8)), trend = s->before.dt > 0 && e <= 1 && e > 1e-3 ? dt / s->before.dt * sqrt(s->before.error / e) : 1;

	return fmin(fmax(alone * fmin(fmax(trend, 0.5), 1.4), 0.2), 4);
}

int inw_day_step(struct inw_day_sim *s)
{
	if (s->t >= s->end - 1e-9)
		return 0;
	if (s->at_event) {
		s->at_event = false;
		return enter(s, false) ? -1 : 1;
	}
	while (s->next_event < s->events && s->event[s->next_event] <= s->t + 1e-9)
		s->next_event++;
	double stop = s->next_event < s->events ? s->event[s->next_event] : s->end;
	struct inw_day_trial t;
	passes_now(s);
	for (int tries = 0; tries < 60; tries++) {
		double left = stop - s->t, dt = fmin(fmin(s->dt, longest_step), left);
		if (tries == 0 && left - dt < 0.2 * dt) /* no crumb of a step before an event */
			dt = left <= 1.2 * dt ? left : 0.5 * left;
		t.error = heat_stages(s, &t, dt);
		if (t.error < INFINITY)
			matter_stages(s, &t, dt);
		double e = t.error / s->tolerance, factor = growth(s, dt, e);
		double share = t.error < INFINITY ? overshoot(s, &t.stage[1], dt) : 1;
		/* an error in a step as short as can be is one of next to nothing: only one without any solution stops here */
		bool good = e <= 1 || (t.error < INFINITY && dt <= shortest_step);
		if (!good || (share < 0.999 && dt > shortest_step)) {
			s->rejected++;
			s->dt = dt * fmin(e <= 1 ? share : factor, 0.9);
			if (t.error < INFINITY)
				s->dt = fmax(s->dt, shortest_step);
			if (s->dt < shortest_step) {
				s->why = "the step had to become too small";
				return -1;
			}
			continue;
		}
		accept(s, &t, dt);
		s->before.dt = dt;
		s->before.error = e;
		s->dt = dt * factor;
		s->at_event = s->t >= stop - 1e-9 && s->t < s->end - 1e-9;
		if (s->at_event) {
			s->t = stop;
			return 1;
		}
		if (switch_thermostats(s)) {
			s->why = "no flows were found when a thermostat switched";
			return -1;
		}
		return 1;
	}
	s->why = "no step was accepted";
	return -1;
}
