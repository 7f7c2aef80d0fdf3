/* SPDX-License-Identifier: MIT */
#include "solve/day.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "physics/aerosol_dynamics.h"
#include "physics/clean.h"
#include "solve/linear.h"

static const double day_s = 86400;
static const double gamma_ = 0.29289321881345254;     /* 1 - 1/sqrt 2, Alexander 1977 */
static const double temperature_scale = 20;           /* K: a tolerance of 1e-3 is 0.02 K */
static const double longest_step = 900, shortest_step = 1e-3; /* s */
static const double met = 0.02;                       /* K: a thermostat's target counts as reached */

/* ---- what is on at a moment ---- */

/* Seconds from the start of the day's run to the first time the clock shows `clock`. */
static double first_at(const struct inw_day_sim *s, double clock)
{
	double t = fmod(clock - s->clock, day_s);

	return t < 0 ? t + day_s : t;
}

/* Start of the job's run that covers t or was the last to begin, NAN when none has begun. */
static double latest_start(const struct inw_day_sim *s, const struct inw_job *job)
{
	double at = first_at(s, s->given[job->start]) - day_s, long_enough = s->given[job->duration];

	while (at + day_s <= s->t + 1e-9)
		at += day_s;
	/* a run that began before the day did still goes on into it */
	return at >= 0 || at + long_enough > 0 ? at : NAN;
}

static void find_job(struct inw_day_sim *s)
{
	double best = -INFINITY, ended = -INFINITY;
	int last = -1;

	s->job = -1;
	for (int j = 0; j < (int)s->d->jobs; j++) {
		double at = latest_start(s, &s->d->job[j]), end = at + s->given[s->d->job[j].duration];
		double run_before = end > s->t + 1e-9 ? end - day_s : end; /* while it runs, the run of the day before is the last to have ended */
		s->ended[j] = run_before > 0 ? run_before : NAN;           /* what ended before the day did is not in it */
		if (isnan(at))
			continue;
		if (end > s->t + 1e-9 && at > best) {
			best = at;
			s->job = j;
			s->job_began = at;
		}
		if (end <= s->t + 1e-9 && end > ended) {
			ended = end;
			last = j;
		}
	}
	s->machine_job = s->job >= 0 ? s->job : last >= 0 ? last : 0;
}

/* When the doing that is on now was done, NAN when it is not on. */
static double doing_began(const struct inw_day_sim *s, const struct inw_doing *a)
{
	double at = first_at(s, s->given[a->at]);

	if (at > s->t + 1e-9)
		return NAN;
	while (at + day_s <= s->t + 1e-9)
		at += day_s;
	return a->lasts < 0 || s->t + 1e-9 < at + s->given[a->lasts] ? at : NAN;
}

/* Later doings win over earlier ones by the clock, day after day; the design file's order breaks ties. */
static bool is_on(const struct inw_day_sim *s, size_t i)
{
	const struct inw_day *day = &s->d->day;
	const struct inw_doing *a = &day->doing[i];
	double began = doing_began(s, a);

	for (size_t k = 0; k < day->doings; k++) {
		const struct inw_doing *b = &day->doing[k];
		if (k == i || b->kind != a->kind || (a->kind == INW_DO_WINDOW && b->doorway != a->doorway))
			continue;
		double other = doing_began(s, b);
		if (other > began || (other == began && k > i)) /* never so for NAN */
			return false;
	}
	return !isnan(began);
}

static void apply_doings(struct inw_day_sim *s)
{
	const struct inw_design *d = s->d;

	memcpy(s->x, s->given, sizeof(double) * d->quantities);
	s->door_open = false;
	for (size_t i = 0; i < d->day.doings; i++) {
		const struct inw_doing *a = &d->day.doing[i];
		if (!is_on(s, i))
			continue;
		switch (a->kind) {
		case INW_DO_DOOR: s->door_open = true; break;
		case INW_DO_FLAP: s->x[d->cleaner.position] = s->given[a->to]; break;
		case INW_DO_WINDOW: s->x[d->doorway[a->doorway].width] = s->given[a->to]; break;
		case INW_DO_HEATER: s->x[d->heat.heater_target] = s->given[a->to]; break;
		case INW_DO_SPEED:
			for (size_t k = 0; k < d->cleaner.stages; k++)
				if (d->cleaner.stage[k].kind == INW_STAGE_BLOWER)
					s->x[d->cleaner.stage[k].blower.speed] = s->given[a->to];
			break;
		}
	}
}

/* Outdoor temperature: straight lines between the knots, round the clock. */
static double outdoor_T(const struct inw_day_sim *s, double t)
{
	const struct inw_day *day = &s->d->day;
	double clock = fmod(s->clock + t, day_s);

	if (day->weathers == 0)
		return s->given[s->d->site.T_out];
	for (size_t i = 0; i < day->weathers; i++) {
		const struct inw_weather *a = &day->weather[i], *b = &day->weather[(i + 1) % day->weathers];
		double from = s->given[a->at], to = s->given[b->at], at = clock;
		if (to <= from)
			to += day_s;
		if (at < from)
			at += day_s;
		if (at >= from && at <= to)
			return s->given[a->T] + (s->given[b->T] - s->given[a->T]) * (at - from) / (to - from);
	}
	return s->given[day->weather[0].T];
}

/* ---- emissions ---- */

static double emission_of(const struct inw_day_sim *s, int job, inw_q rate, enum inw_emission_per per)
{
	return s->given[rate] * (per == INW_PER_MASS ? s->given[s->d->job[job].rate] : 1);
}

/* At the step's beginning: a burst's end is an event, so that no step has both rates. */
static double burst(const struct inw_day_sim *s, inw_q times, inw_q lasts)
{
	return times >= 0 && lasts >= 0 && s->t + 1e-9 < s->job_began + s->given[lasts] ? s->given[times] : 1;
}

/* What the finished part of a job's last run still gives off, as a share of the job's rate. */
static double afterglow(const struct inw_day_sim *s, int job, const struct inw_material *m, double t)
{
	if (m->afterglow < 0 || m->afterglow_time < 0 || isnan(s->ended[job]))
		return 0;
	return s->given[m->afterglow] * exp(-(t - s->ended[job]) / s->given[m->afterglow_time]);
}

/* kg/s of a substance into the box at time t: the running job, and the warm parts of those that have ended, which stay. */
static double gas_emission(const struct inw_day_sim *s, int substance, double t)
{
	double sum = 0;

	for (int job = 0; job < (int)s->d->jobs; job++) {
		const struct inw_material *m = &s->d->catalog.material[s->d->job[job].material];
		double share = (job == s->job ? burst(s, m->burst_gas, m->burst_time) : 0) + afterglow(s, job, m, t);
		for (size_t i = 0; i < m->gas_count && share > 0; i++)
			if (m->gases[i].substance == substance)
				sum += share * emission_of(s, job, m->gases[i].rate, m->gases[i].per);
	}
	return sum;
}

static double particle_emission(const struct inw_day_sim *s, int bin)
{
	if (s->job < 0)
		return 0;
	const struct inw_material *m = &s->d->catalog.material[s->d->job[s->job].material];
	double rate = emission_of(s, s->job, m->particles, m->particles_per) * burst(s, m->burst_particles, m->burst_time);
	return rate * s->share[s->job][bin];
}

/* ---- from one constant stretch to the next ---- */

/* Carry over every unknown that old and new have in common; what is new starts at the box's temperature. */
static void carry_over(struct inw_solution *sol, const struct inw_slots *old, const double *y)
{
	const int *from = (const int *)old, *to = (const int *)&sol->s;
	double T = y[old->T_box], fresh[INW_MAX_UNKNOWNS];

	inw_model_guess(&sol->m, &sol->s, fresh);
	memcpy(sol->y, fresh, sizeof(double) * (size_t)sol->s.n);
	for (size_t i = 0; i < sizeof *old / sizeof(int) - 1; i++) /* all but the count */
		if (to[i] >= 0)
			sol->y[to[i]] = from[i] >= 0 ? y[from[i]] : fresh[to[i]] > 100 ? T : fresh[to[i]];
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

	find_job(s);
	apply_doings(s);
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
	s->sol.m.T_out = outdoor_T(s, s->t);
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
	s->dt = fmin(s->dt, 5); /* s: after a change things move fast */
	if (settle_now(s) || (let_go(s) && settle_now(s))) {
		s->why = "no flows were found at a change: is the box too tight for the flow that is asked of it?";
		return -1;
	}
	return 0;
}

/* ---- events ---- */

static void add_event(struct inw_day_sim *s, double t)
{
	if (!(t > 0 && t < s->end))
		return;
	if (s->events == INW_MAX_EVENTS)
		s->why = "more changes than can be followed in one run: make the span shorter";
	else
		s->event[s->events++] = t;
}

static void add_daily(struct inw_day_sim *s, double clock, double lasts)
{
	for (double at = first_at(s, clock) - day_s; at < s->end; at += day_s) {
		add_event(s, at);
		if (lasts > 0)
			add_event(s, at + lasts);
	}
}

static void sort(double *x, int n)
{
	for (int i = 1; i < n; i++)
		for (int j = i; j > 0 && x[j] < x[j - 1]; j--) {
			double t = x[j];
			x[j] = x[j - 1];
			x[j - 1] = t;
		}
}

static void list_events(struct inw_day_sim *s)
{
	const struct inw_design *d = s->d;

	for (size_t j = 0; j < d->jobs; j++) {
		const struct inw_material *m = &d->catalog.material[d->job[j].material];
		add_daily(s, s->given[d->job[j].start], s->given[d->job[j].duration]);
		if (m->burst_time >= 0)
			add_daily(s, s->given[d->job[j].start], s->given[m->burst_time]);
	}
	for (size_t i = 0; i < d->day.doings; i++)
		add_daily(s, s->given[d->day.doing[i].at], d->day.doing[i].lasts >= 0 ? s->given[d->day.doing[i].lasts] : 0);
	for (size_t i = 0; i < d->persons; i++) /* what people breathe changes where they come and go: a row stands there */
		for (size_t k = 0; k < d->person[i].stays; k++) {
			add_daily(s, s->given[d->person[i].stay[k].from], 0);
			add_daily(s, s->given[d->person[i].stay[k].to], 0);
		}
	for (size_t i = 0; i < d->day.weathers; i++)
		add_daily(s, s->given[d->day.weather[i].at], 0);
	sort(s->event, s->events);
}

static void list_gases(struct inw_day_sim *s)
{
	for (size_t j = 0; j < s->d->jobs; j++) {
		const struct inw_material *m = &s->d->catalog.material[s->d->job[j].material];
		for (size_t i = 0; i < m->gas_count; i++) {
			int k = 0;
			while (k < s->gases && s->substance[k] != m->gases[i].substance)
				k++;
			if (k == INW_MAX_GASES)
				s->why = "the jobs give off more than 16 gases in all";
			else if (k == s->gases)
				s->substance[s->gases++] = m->gases[i].substance;
		}
	}
}

/* Sizes of each job's particles; what a source puts beyond the grid's ends is counted at the ends. */
static void list_sizes(struct inw_day_sim *s)
{
	for (int j = 0; j < (int)s->d->jobs; j++) {
		const struct inw_material *m = &s->d->catalog.material[s->d->job[j].material];
		struct inw_lognormal sizes = {s->given[m->particle_diameter], s->given[m->particle_spread]};
		struct inw_bin_outside beyond = inw_bins_source(&s->grid, sizes, s->share[j]);
		s->share[j][0] += beyond.below;
		s->share[j][s->bins - 1] += beyond.above;
	}
}

/* A fibre for each medium that makes theory agree with its rating; media are rated with room air. */
static void size_media(struct inw_day_sim *s)
{
	const struct inw_aerosol air = {293.15, 101325, 1000}; /* ISO 29463-3, 23 +- 5 degC, memory; unit density */
	const double solidity = 0.06; /* glass fibre media have 0.04 to 0.08, common practice, no source: its effect nearly cancels in the fit */

	for (size_t k = 0; k < s->d->cleaner.stages; k++) {
		const struct inw_stage *g = &s->d->cleaner.stage[k];
		if (g->kind != INW_STAGE_MEDIUM)
			continue;
		struct inw_rating rating = {1 - s->given[g->medium.efficiency], s->given[g->medium.worst_size], s->given[g->medium.rated_velocity]};
		s->sized[k] = rating.penetration > 0 && inw_sized_medium_fit(&s->medium[k], INW_FIBRE_LEE_LIU, solidity, &rating, &air) == 0;
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
	s->tolerance = setup && setup->tolerance > 0 ? setup->tolerance : 3e-3;
	s->dt = 1;
	s->bins = setup && setup->bins > 1 ? setup->bins : INW_BINS;
	if (d->jobs > INW_MAX_JOBS_SIZED || inw_bins_grid(&s->grid, s->bins, INW_BINS_FROM_M, INW_BINS_TO_M)) {
		s->why = "more than 32 jobs, or a number of sizes outside 2 to 64";
		return -1;
	}
	list_gases(s);
	if (inw_day_beds_start(&s->carbon, d, s->substance, s->gases))
		s->why = "more than four stages of carbon";
	list_sizes(s);
	size_media(s);
	list_events(s);
	return s->why || enter(s, true) ? -1 : 0;
}

/* ---- one step of matter ---- */

/* Matter of one kind through the two stages of a step: (mass + share dt T) y = amounts + share dt source. */
struct mover {
	struct inw_transport t[2];           /* the stages' flows, nothing kept: what the cleaner and the walls keep is added */
	double mass[2][INW_MAX_ZONES], clean[2], rho[2];
	double pass, wall_m3s;
	double source[2];                    /* into the box, per s */
	double joins;                        /* into the junction, per s: what the carbon lets by and gives back */
	double won[2][INW_MAX_ZONES], lost[2][INW_MAX_ZONES]; /* by meeting: per s; share of what is there, per s */
	int n, zones;                        /* with and without the junction */
};

static void begin_mover(struct mover *m, const struct inw_solution *stage)
{
	int J = 1 + stage[0].m.rooms;

	memset(m, 0, sizeof *m);
	m->n = J + 1;
	m->zones = J;
	for (int k = 0; k < 2; k++) {
		const struct inw_solution *sol = &stage[k];
		inw_transport_build(&m->t[k], sol, 1, 0);
		m->clean[k] = sol->s.m_clean >= 0 ? sol->y[sol->s.m_clean] : 0;
		m->rho[k] = inw_zone_density(sol, 0);
		m->mass[k][0] = m->rho[k] * sol->m.box_w * sol->m.box_d * sol->m.box_h;
		for (int i = 0; i < sol->m.rooms; i++)
			m->mass[k][1 + i] = inw_zone_density(sol, 1 + i) * sol->m.room[i].volume;
	}
}

/* kg of air per second that the cleaner clears of this kind, and the zone it draws from. */
static double cleared(const struct mover *m, int stage, int *from)
{
	*from = m->clean[stage] >= 0 ? 0 : m->zones;
	return fabs(m->clean[stage]) * (1 - m->pass);
}

/* Mixing ratios at a stage whose amounts would be `base` but for this stage's own share. 0, or -1. */
static int stage_solve(const struct mover *m, int stage, double share_dt, const double *base, double *y)
{
	double a[INW_MAX_ZONES * INW_MAX_ZONES];
	int pivot[INW_MAX_ZONES], from, n = m->n;
	double taken = cleared(m, stage, &from);

	for (int i = 0; i < n * n; i++)
		a[i] = m->t[stage].a[i] * (i < m->zones * n ? share_dt : 1);
	a[(from ? 0 : m->zones) * n + from] += taken * (from ? share_dt : 1);
	a[0] += share_dt * m->wall_m3s * m->rho[stage];
	for (int i = 0; i < n; i++) {
		a[i * n + i] += m->mass[stage][i] * (1 + share_dt * m->lost[stage][i]);
		y[i] = i < m->zones ? base[i] + share_dt * m->won[stage][i] : 0;
	}
	y[0] += share_dt * m->source[stage];
	y[m->zones] = m->joins;
	if (inw_lu_factor(a, pivot, n))
		return -1;
	inw_lu_solve(a, pivot, n, y);
	return 0;
}

/* What one stage moves out of the account per second: to outdoors and into cleaner and walls. */
static void stage_losses(const struct mover *m, int stage, const double *y, double *outdoors, double *kept)
{
	int from;
	double taken = cleared(m, stage, &from);

	*outdoors = 0;
	for (int i = 0; i < m->n; i++)
		for (int j = 0; j < m->n; j++)
			*outdoors += m->t[stage].a[i * m->n + j] * y[j];
	*kept = taken * y[from] - m->joins + m->wall_m3s * m->rho[stage] * y[0];
}

/* Both stages for one account. The error in amounts; `joined`: what each zone lost to other sizes; `amount`: at the stages. */
static double step_account(const struct mover *m, double dt, const struct inw_account *a, struct inw_account *next, double *joined, double amount[2][INW_MAX_ZONES])
{
	double y[INW_MAX_ZONES], base[INW_MAX_ZONES], error = 0;

	*next = *a;
	memcpy(base, a->held, sizeof base);
	memset(joined, 0, sizeof(double) * INW_MAX_ZONES);
	for (int k = 0; k < 2; k++) {
		double weight = dt * (k ? gamma_ : 1 - gamma_), outdoors, kept;
		if (stage_solve(m, k, gamma_ * dt, base, y))
			return INFINITY;
		stage_losses(m, k, y, &outdoors, &kept);
		next->outdoors += weight * outdoors;
		next->kept += weight * kept;
		next->emitted += weight * m->source[k];
		for (int i = 0; i < m->zones; i++) {
			double met_here = weight * (m->lost[k][i] * m->mass[k][i] * y[i] - m->won[k][i]);
			joined[i] += met_here;
			next->merged += met_here;
			amount[k][i] = y[i] * m->mass[k][i];
			if (k) /* gamma dt (k2 - k1) */
				error = fmax(error, fabs((amount[1][i] - base[i]) - (amount[0][i] - a->held[i])));
			else
				base[i] += (1 - gamma_) / gamma_ * (amount[0][i] - a->held[i]);
		}
	}
	memcpy(next->held, amount[1], sizeof(double) * (size_t)m->zones);
	for (int i = 0; i < m->zones; i++)
		next->peak = fmax(next->peak, next->held[i]);
	return error;
}

/* Against what an error counts: the most that a zone holds, but what is next to nothing beside the worst of the day, or
 * beside what the source gives in ten seconds, may err. */
static double scale_of(const struct mover *m, const struct inw_account *a, const struct inw_account *next)
{
	double most = fmax(1e-3 * next->peak, 10 * fmax(m->source[0], m->source[1]));

	for (int i = 0; i < m->zones; i++)
		most = fmax(most, fmax(a->held[i], next->held[i]));
	return most;
}

/* ---- one step of everything ---- */

struct trial {
	struct inw_solution stage[2];
	struct inw_account gas[INW_MAX_GASES], bin[INW_MAX_BINS];
	double error;
	double number[2][INW_MAX_ZONES][INW_MAX_BINS];  /* per m3, at the stages: what particles meet */
	struct inw_day_beds carbon;
};

/* Temperatures and flows through both stages. The larger of the errors, INFINITY when a stage has no solution. */
static double heat_stages(struct inw_day_sim *s, struct trial *t, double dt)
{
	struct inw_step step;
	double error = 0, k1[INW_MAX_UNKNOWNS];
	int n = s->sol.s.n;

	storage(s, &step);
	step.rate = 1 / (gamma_ * dt);
	for (int k = 0; k < 2; k++) {
		t->stage[k] = k ? t->stage[0] : s->sol;
		t->stage[k].m.T_out = outdoor_T(s, s->t + (k ? dt : gamma_ * dt));
		inw_instant(&t->stage[k], &step);
		s->iterations += t->stage[k].iterations;
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

/* Share of each size that one way through the train lets by: media by their fibres at the true velocity, seals beside them. */
static void particle_pass_now(struct inw_day_sim *s)
{
	const struct inw_solution *sol = &s->sol;
	const struct inw_model *m = &sol->m;
	struct inw_aerosol air = {sol->y[sol->s.T_box], m->p_site, 1000}; /* kg/m3: unit-density spheres, the convention of Hinds 1999 */

	for (int b = 0; b < s->bins; b++) {
		s->bin_pass[b] = 1;
		s->bin_wall_m3s[b] = inw_box_deposition_m3s(sol, s->grid.diameter_m[b]);
	}
	for (int k = 0; k < m->stages && sol->s.m_clean >= 0; k++) {
		if (m->stage[k].kind != INW_STAGE_MEDIUM)
			continue;
		double x, v = inw_medium_velocity_ms(sol, k, &x);
		for (int b = 0; b < s->bins; b++) {
			double P = s->sized[k] ? inw_sized_medium_penetration(&s->medium[k], s->grid.diameter_m[b], v, &air)
			                       : inw_medium_penetration(m->stage[k].rated_penetration, m->stage[k].rated_velocity, v);
			s->bin_pass[b] *= (1 - x) * P + x;
		}
	}
}

double inw_zone_volume(const struct inw_model *m, int zone)
{
	return zone ? m->room[zone - 1].volume : m->box_w * m->box_d * m->box_h;
}

/* How much faster than at the table's temperature particles meet at T: that of their mean size stands for all. */
static double faster_at(const struct inw_day_sim *s, double T, const double *N, double total)
{
	double mean = 0;

	for (int b = 0; b < s->bins; b++)
		mean += N[b] * s->grid.diameter_m[b] / total;
	struct inw_thermal_motion here = inw_thermal_motion(mean, &(struct inw_aerosol){T, s->sol.m.p_site, 1000});
	struct inw_thermal_motion table = inw_thermal_motion(mean, &(struct inw_aerosol){s->meet_T, s->sol.m.p_site, 1000});
	return inw_coagulation_kernel_m3s(&here, &here) / inw_coagulation_kernel_m3s(&table, &table);
}

/* What meeting wins and loses for every size, at numbers `N`; nothing where too few meet to matter. */
struct meeting { double won[INW_MAX_BINS], lost[INW_MAX_BINS]; };

static void meet(const struct inw_day_sim *s, int zone, const double *N, double dt, struct meeting *out)
{
	double few[INW_MAX_BINS], total = 0, T = zone ? s->sol.m.room[zone - 1].T : s->sol.y[s->sol.s.T_box];

	if (zone && s->sol.s.T_room[zone - 1] >= 0)
		T = s->sol.y[s->sol.s.T_room[zone - 1]];

	memset(out, 0, sizeof *out);
	for (int b = 0; b < s->bins; b++)
		total += few[b] = fmax(N[b], 0); /* an implicit step may leave next to nothing below zero */
	/* 1e-14 m3/s is above every kernel from 2 nm up with particles of up to 10 um in number: nothing to do below this */
	if (total * 1e-14 * dt < 1e-6)
		return;
	inw_coagulation_split(&s->meet, few, out->won, out->lost);
	double as_here = faster_at(s, T, few, total);
	for (int b = 0; b < s->bins; b++) {
		out->won[b] *= as_here;
		out->lost[b] *= as_here;
	}
}

/* All sizes once through the step, meeting at the numbers of t->number; then these are those of the stages. The error by
 * number. `joined` by zone in volume of particles. */
static double step_sizes(const struct inw_day_sim *s, struct trial *t, struct mover *m, double dt, double *joined)
{
	struct meeting at[2][INW_MAX_ZONES];
	double error = 0, all = 0;

	for (int k = 0; k < 2; k++)
		for (int z = 0; z < m->zones; z++)
			meet(s, z, t->number[k][z], dt, &at[k][z]);
	memset(joined, 0, sizeof(double) * INW_MAX_ZONES);
	for (int b = 0; b < s->bins; b++) {
		double lost[INW_MAX_ZONES], amount[2][INW_MAX_ZONES];
		m->pass = s->bin_pass[b];
		m->wall_m3s = s->bin_wall_m3s[b];
		m->source[0] = m->source[1] = particle_emission(s, b);
		for (int k = 0; k < 2; k++)
			for (int z = 0; z < m->zones; z++) {
				m->won[k][z] = at[k][z].won[b] * inw_zone_volume(&s->sol.m, z);
				m->lost[k][z] = at[k][z].lost[b];
			}
		double e = step_account(m, dt, &s->bin[b], &t->bin[b], lost, amount);
		error += e / fmax(scale_of(m, &s->bin[b], &t->bin[b]), 1e-300) * t->bin[b].peak; /* sizes weigh by their number */
		all += t->bin[b].peak;
		for (int z = 0; z < m->zones; z++) {
			joined[z] += lost[z] * s->grid.volume_m3[b];
			for (int k = 0; k < 2; k++)
				t->number[k][z][b] = amount[k][z] / inw_zone_volume(&s->sol.m, z);
		}
	}
	return all > 0 ? error / all : 0;
}

/* Particles that meet keep their volume: what the two evaluations differ by is put back in proportion. The share put back. */
static double keep_volume(const struct inw_day_sim *s, struct trial *t, int zones, const double *joined)
{
	double most = 0;

	for (int z = 0; z < zones; z++) {
		double volume = 0;
		for (int b = 0; b < s->bins; b++)
			volume += t->bin[b].held[z] * s->grid.volume_m3[b];
		double share = volume > 0 ? joined[z] / volume : 0;
		for (int b = 0; b < s->bins; b++) {
			t->bin[b].merged -= share * t->bin[b].held[z];
			t->bin[b].held[z] *= 1 + share;
		}
		most = fmax(most, fabs(share));
	}
	return most;
}

/* Meeting is of second order in the number: wins and losses are taken at the step's beginning first, then at the stages
 * that this gives; losses within the step stay implicit, so that no size is lost faster than it is there. */
static void particle_stages(struct inw_day_sim *s, struct trial *t, struct mover *m, double dt)
{
	double joined[INW_MAX_ZONES];
	double most = 0, emitted = 0;

	for (int b = 0; b < s->bins; b++)
		emitted = fmax(emitted, fmax(s->bin[b].peak, particle_emission(s, b)));
	if (!(emitted > 0))
		return;
	for (int z = 0; z < m->zones; z++)
		for (int b = 0; b < s->bins; b++)
			t->number[0][z][b] = t->number[1][z][b] = s->bin[b].held[z] / inw_zone_volume(&s->sol.m, z);
	double error = step_sizes(s, t, m, dt, joined);
	for (int z = 0; z < m->zones; z++) {
		double total = 0;
		for (int b = 0; b < s->bins; b++)
			total += t->number[1][z][b];
		most = fmax(most, total);
	}
	if (most * 1e-14 * dt > 1e-3) /* the share that may meet; its square, which one evaluation errs by, is next to nothing below this */
		error = step_sizes(s, t, m, dt, joined);
	t->error = fmax(t->error, error);
	t->error = fmax(t->error, keep_volume(s, t, m->zones, joined));
}

/* Gases that the carbon holds go by the beds while air goes that way; what blows back through them passes. */
static bool behind_carbon(const struct inw_day_sim *s, int gas)
{
	return s->carbon.slot[gas] >= 0 && s->sol.s.m_clean >= 0 && s->sol.y[s->sol.s.m_clean] >= 0;
}

/* The held gases once through the step with the beds giving off `joins`; `rate`: kg/s that the box sends into the first. */
static double send_to_beds(const struct inw_day_sim *s, struct trial *t, struct mover *m, double dt, const double *joins, double *rate)
{
	double joined[INW_MAX_ZONES], amount[2][INW_MAX_ZONES], error = 0;

	m->pass = m->wall_m3s = 0;
	for (int g = 0; g < s->gases; g++) {
		int slot = s->carbon.slot[g];
		if (slot < 0)
			continue;
		m->joins = joins[slot];
		for (int k = 0; k < 2; k++)
			m->source[k] = gas_emission(s, s->substance[g], s->t + (k ? dt : gamma_ * dt));
		double e = step_account(m, dt, &s->gas[g], &t->gas[g], joined, amount), size = scale_of(m, &s->gas[g], &t->gas[g]);
		error = fmax(error, size > 0 ? e / size : 0);
		rate[slot] = (t->gas[g].kept - s->gas[g].kept) / dt + joins[slot];
	}
	m->joins = 0;
	return error;
}

/* What the box sends into the beds depends on what they give back and the other way round: repeated until both agree to a
 * ten-thousandth; the rest is owed to the next step. */
static double held_gases(struct inw_day_sim *s, struct trial *t, struct mover *m, double dt)
{
	struct inw_values v = {s->x, NULL};
	struct inw_bed_flow f = {&t->stage[1], s->d, &v, dt};
	double joins[INW_PORES_MOST] = {0}, rate[INW_PORES_MOST] = {0}, error = 0;
	int n = s->carbon.held;

	if (n == 0)
		return 0;
	bool through = s->sol.s.m_clean >= 0 && s->sol.y[s->sol.s.m_clean] >= 0;
	for (int i = 0; i < n; i++)
		joins[i] = through ? s->carbon.rate_kgs[i] + s->carbon.owed_kg[i] / dt : 0;
	for (int it = 0; it < 6; it++) {
		double apart = 0, given[INW_PORES_MOST];
		if (through)
			error = send_to_beds(s, t, m, dt, joins, rate);
		memcpy(&t->carbon, &s->carbon, sizeof t->carbon - sizeof t->carbon.work);
		memcpy(given, rate, sizeof given);
		if (inw_day_beds_step(&t->carbon, &f, given))
			return INFINITY;
		for (int i = 0; i < n; i++) {
			apart = fmax(apart, fabs(given[i] + s->carbon.owed_kg[i] / dt - joins[i]) / (rate[i] + fabs(given[i]) + 1e-30));
			t->carbon.rate_kgs[i] = given[i];
			t->carbon.owed_kg[i] = s->carbon.owed_kg[i] + (given[i] - joins[i]) * dt;
		}
		if (!through || apart < 1e-4 || it == 5)
			break;
		for (int i = 0; i < n; i++)
			joins[i] = given[i] + s->carbon.owed_kg[i] / dt;
	}
	return error;
}

static void matter_stages(struct inw_day_sim *s, struct trial *t, double dt)
{
	struct mover m;
	double joined[INW_MAX_ZONES], amount[2][INW_MAX_ZONES];

	memcpy(t->bin, s->bin, sizeof t->bin);
	begin_mover(&m, t->stage);
	t->error = fmax(t->error, held_gases(s, t, &m, dt));
	for (int g = 0; g < s->gases; g++) {
		if (behind_carbon(s, g))
			continue;
		m.joins = 0;
		m.pass = s->carbon.slot[g] >= 0 ? 1 : s->pass[g];
		for (int k = 0; k < 2; k++)
			m.source[k] = gas_emission(s, s->substance[g], s->t + (k ? dt : gamma_ * dt));
		double e = step_account(&m, dt, &s->gas[g], &t->gas[g], joined, amount), size = scale_of(&m, &s->gas[g], &t->gas[g]);
		t->error = fmax(t->error, size > 0 ? e / size : 0);
	}
	particle_stages(s, t, &m, dt);
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
	bool taken = take_hold(s);

	if (taken && settle_now(s))
		return -1;
	return let_go(s) ? settle_now(s) : 0;
}

double inw_electric_W(const struct inw_solution *sol)
{
	const struct inw_model *m = &sol->m;
	double plate = sol->s.T_plate < 0 || m->plate == INW_PLATE_OFF ? 0 : m->plate == INW_PLATE_FULL ? m->plate_power : fmax(sol->f.plate_W, 0);

	return sol->f.blower_power + sol->f.heater_W + m->heat_air + plate;
}

static void accept(struct inw_day_sim *s, const struct trial *t, double dt)
{
	s->energy += dt * ((1 - gamma_) * inw_electric_W(&t->stage[0]) + gamma_ * inw_electric_W(&t->stage[1]));
	s->sol = t->stage[1];
	memcpy(s->gas, t->gas, sizeof s->gas);
	memcpy(s->bin, t->bin, sizeof s->bin);
	if (s->carbon.held > 0)
		memcpy(&s->carbon, &t->carbon, sizeof s->carbon - sizeof s->carbon.work);
	s->t += dt;
	s->steps++;
}

/* What the cleaner lets through now, from the state at the step's beginning. */
static void passes_now(struct inw_day_sim *s)
{
	struct inw_values v = {s->x, NULL};
	double volume = s->sol.m.box_w * s->sol.m.box_d * s->sol.m.box_h;

	for (int g = 0; g < s->gases; g++)
		s->pass[g] = s->sol.s.m_clean >= 0 ? inw_fresh_pass(&s->sol, s->d, &v, s->substance[g], fmax(s->gas[g].held[0] / volume, 1e-15)) : 1;
	double T = s->sol.y[s->sol.s.T_box];
	if (fabs(T - s->meet_T) > 1) { /* K: the kernel changes by some 0.2 % */
		inw_coagulation_brownian(&s->meet, &s->grid, &(struct inw_aerosol){T, s->sol.m.p_site, 1000});
		s->meet_T = T;
	}
	particle_pass_now(s);
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
	struct trial t;
	passes_now(s);
	for (int tries = 0; tries < 60; tries++) {
		double left = stop - s->t, dt = fmin(fmin(s->dt, longest_step), left);
		if (tries == 0 && left - dt < 0.2 * dt) /* no crumb of a step before an event */
			dt = left <= 1.2 * dt ? left : 0.5 * left;
		t.error = heat_stages(s, &t, dt);
		if (t.error < INFINITY)
			matter_stages(s, &t, dt);
		double e = t.error / s->tolerance, factor = fmin(fmax(0.9 / sqrt(fmax(e, 1e-8)), 0.2), 4);
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
