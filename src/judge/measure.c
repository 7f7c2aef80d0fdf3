/* SPDX-License-Identifier: MIT */
#include "judge/measure.h"

#include <math.h>
#include <string.h>

#include "physics/clean.h"

/* ---- limits ---- */

const struct inw_limit *inw_cautious_limit(const struct inw_substance *s, enum inw_limit_kind kind, const struct inw_values *x)
{
	const struct inw_limit *least = NULL;

	for (size_t i = 0; i < s->limit_count; i++)
		if (s->limits[i].kind == kind && (!least || inw_value(x, s->limits[i].value, INFINITY) < inw_value(x, least->value, INFINITY)))
			least = &s->limits[i];
	return least;
}

const struct inw_limit *inw_shortest_home_limit(const struct inw_substance *s, const struct inw_values *x)
{
	static const enum inw_limit_kind kind[] = {INW_LIMIT_HOME_1H, INW_LIMIT_HOME_8H, INW_LIMIT_HOME_24H, INW_LIMIT_HOME_LONG};
	const struct inw_limit *l = NULL;

	for (size_t k = 0; k < INW_COUNT(kind) && !l; k++)
		l = inw_cautious_limit(s, kind[k], x);
	return l;
}

/* A long-term value stands in for a missing 24 h or 8 h value and the other way only towards caution. */
static const enum inw_limit_kind home_long[] = {INW_LIMIT_HOME_LONG, INW_LIMIT_HOME_24H, INW_LIMIT_HOME_8H};

static const struct inw_limit *limit_for(const struct inw_substance *s, enum inw_measure_kind kind, const struct inw_values *x)
{
	switch (kind) {
	case INW_M_WORK_8H:
		return inw_cautious_limit(s, INW_LIMIT_WORK_8H, x);
	case INW_M_WORK_PEAK: {
		const struct inw_limit *a = inw_cautious_limit(s, INW_LIMIT_WORK_15MIN, x), *b = inw_cautious_limit(s, INW_LIMIT_WORK_CEILING, x);
		if (!a || (b && inw_value(x, b->value, 0) < inw_value(x, a->value, 0)))
			return b;
		return a;
	}
	case INW_M_HOME_1H:
		return inw_cautious_limit(s, INW_LIMIT_HOME_1H, x);
	default:
		for (size_t i = 0; i < INW_COUNT(home_long); i++) {
			const struct inw_limit *l = inw_cautious_limit(s, home_long[i], x);
			if (l)
				return l;
		}
		return NULL;
	}
}

/* ---- people ---- */

static double stay_hours(const struct inw_stay *s, const struct inw_values *x)
{
	double h = (inw_value(x, s->to, 0) - inw_value(x, s->from, 0)) / 3600;

	return h > 0 ? h : h + 24;
}

/* Concentration a person meets, kg/m3: summed over the hours of every stay and divided by `window_h`, or the highest when
 * window is 0. The steady state is taken to hold for every hour of every stay, whenever the job runs: cautious, and said so.
 * A working day of more than 8 h counts in full: 29 CFR 1910.1000(d)(1)(i). */
static double met(const struct inw_person *p, const struct inw_values *x, const double *room, double window_h)
{
	double sum = 0, most = 0;

	for (size_t i = 0; i < p->stays; i++) {
		double C = room[p->stay[i].room];
		sum += C * stay_hours(&p->stay[i], x);
		most = fmax(most, C);
	}
	return window_h > 0 ? sum / window_h : most;
}

/* One gas against its strictest residential values for the long run, a day and eight hours: each with its own mean, the
 * worst counts. NaN when it has none of them. */
static double home_share(const struct inw_person *p, const struct inw_values *x, const struct inw_substance *s, const double *room)
{
	static const enum inw_limit_kind kind[] = {INW_LIMIT_HOME_LONG, INW_LIMIT_HOME_24H, INW_LIMIT_HOME_8H};
	double worst = NAN, most = met(p, x, room, 0);

	for (size_t i = 0; i < INW_COUNT(kind); i++) {
		const struct inw_limit *l = inw_cautious_limit(s, kind[i], x);
		if (!l)
			continue;
		double mean = kind[i] == INW_LIMIT_HOME_8H ? fmin(met(p, x, room, 8), most) : met(p, x, room, 24);
		worst = fmax(worst, mean / inw_value(x, l->value, INFINITY));
	}
	return worst;
}

/* Emission at heat-up over that of the running job: what a worst moment or hour meets. */
static double burst_of(const struct inw_design *d, const struct inw_values *x, const struct inw_job *job)
{
	const struct inw_material *m = &d->catalog.material[job->material];

	return fmax(1, inw_value(x, m->burst_gas, 1));
}

/* Short-term occupational value of a gas; where none is published three times the 8-hour value (ACGIH excursion rule, memory). */
static double peak_limit(const struct inw_substance *s, const struct inw_values *x)
{
	const struct inw_limit *l = limit_for(s, INW_M_WORK_PEAK, x), *day = inw_cautious_limit(s, INW_LIMIT_WORK_8H, x);

	return l ? inw_value(x, l->value, NAN) : day ? 3 * inw_value(x, day->value, NAN) : NAN;
}

static double share_of_limit(const struct inw_measure *m, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job, const struct inw_gas_outcome *g)
{
	const struct inw_person *p = &d->person[m->index];
	const struct inw_substance *s = &d->catalog.substance[g->substance];

	switch (m->kind) {
	case INW_M_HOME_LONG:
		return home_share(p, x, s, g->used_kgm3);
	case INW_M_WORK_PEAK:
		return burst_of(d, x, job) * met(p, x, g->used_kgm3, 0) / peak_limit(s, x);
	default: {
		const struct inw_limit *l = limit_for(s, m->kind, x);
		double L = l ? inw_value(x, l->value, NAN) : NAN;
		return m->kind == INW_M_WORK_8H ? met(p, x, g->used_kgm3, 8) / L : burst_of(d, x, job) * met(p, x, g->used_kgm3, 0) / L;
	}
	}
}

void inw_lookout_see(struct inw_lookout *out, const struct inw_solution *sol)
{
	out->unbounded |= sol->m.gaps == 0 || sol->m.box_pinned;
	for (int i = 0; i < sol->m.gaps; i++)
		if (sol->m.gap[i].kind == INW_GAP_OPENING)
			out->face_ms = fmin(out->face_ms, inw_face_speed_ms(sol, i));
}

const char *inw_lookout_lost(const struct inw_lookout *out, double required_ms)
{
	if (out->unbounded)
		return "No gap of the box is described, so how much gets out cannot be told: a box without any leak does not exist.";
	if (out->face_ms < required_ms)
		return "An opening is too slow to hold against draughts at some time of the day, so how much gets out cannot be told.";
	return NULL;
}

/* Where the model knows nothing of how much gets out, a person's air cannot be told. */
static bool blind(const struct inw_case *c, const struct inw_design *d, const struct inw_values *x)
{
	struct inw_lookout sight = {.face_ms = NAN};

	inw_lookout_see(&sight, &c->sol);
	return inw_lookout_lost(&sight, inw_value(x, d->require.face_velocity, 0)) != NULL;
}

/* Sum of C/L over the gases of a job: the mixture rule, 29 CFR 1910.1000(d)(2)(i), used for residential values alike. */
static double mixture(const struct inw_measure *m, const struct inw_case *c, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job)
{
	double sum = 0;
	bool any = false;

	if (blind(c, d, x))
		return NAN;
	for (int i = 0; i < c->o.gases; i++) {
		const struct inw_gas_outcome *g = &c->o.gas[i];
		if (isnan(g->box_kgm3))
			return NAN;
		double share = share_of_limit(m, d, x, job, g);
		if (isnan(share))
			continue; /* no limit of this kind: said with the verdict */
		any = true;
		sum += share;
	}
	return any || c->o.gases == 0 ? sum : NAN;
}

/* Where some gases have a value for eight hours at home, those that have none are held to theirs for longer, towards a pass only:
 * what meets that is within any value for eight hours, what does not may be. */
static bool beyond_longer(const struct inw_measure *m, const struct inw_case *c, const struct inw_design *d, const struct inw_values *x)
{
	const struct inw_person *p = &d->person[m->index];
	double sum = 0;
	bool any = false;

	for (int i = 0; i < c->o.gases && m->kind == INW_M_HOME_LONG; i++) {
		const double *room = c->o.gas[i].used_kgm3;
		const struct inw_substance *s = &d->catalog.substance[c->o.gas[i].substance];
		const struct inw_limit *hours = inw_cautious_limit(s, INW_LIMIT_HOME_8H, x), *l = hours ? hours : limit_for(s, m->kind, x);
		any |= hours != NULL;
		sum += l ? fmin(met(p, x, room, 8), met(p, x, room, 0)) / inw_value(x, l->value, INFINITY) : 0;
	}
	return any && sum > 1;
}

/* The same for the worst hour at home: a gas without a value for an hour is held to its shortest one for longer, towards a pass
 * only. One without any cannot pass unless nothing of it is there. */
static bool beyond_an_hour(const struct inw_measure *m, const struct inw_case *c, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job)
{
	double sum = 0;

	for (int i = 0; i < c->o.gases && m->kind == INW_M_HOME_1H; i++) {
		const struct inw_limit *l = inw_shortest_home_limit(&d->catalog.substance[c->o.gas[i].substance], x);
		double C = burst_of(d, x, job) * met(&d->person[m->index], x, c->o.gas[i].used_kgm3, 0);
		sum += l ? C / inw_value(x, l->value, INFINITY) : C > 0 ? INFINITY : 0;
	}
	return sum > 1;
}

/* What is not all that gets out, or not all that passes, can miss, but not be met. */
static double no_pass(const struct inw_measure *m, bool more, double value)
{
	return more && !(inw_measure_margin(m, value) < 0) ? NAN : value;
}

/* No law says what carbon does that is so shallow; air that finds ways past it can only be worse. */
static bool too_shallow(const struct inw_case *c)
{
	return c->o.granules_deep < INW_GRANULES_DEEP;
}

/* Of a person's air. How tight the cleaner's joints are nobody described; where it presses fumes against them more gets out. */
static bool more_gets_out(const struct inw_measure *m, const struct inw_case *c, const struct inw_design *d)
{
	return c->o.cleaner.leak || (m->kind != INW_M_PARTICLES && too_shallow(c) && !inw_all_outdoors(d));
}

static bool is_bound(const struct inw_measure *m, const struct inw_case *c, const struct inw_design *d, const struct inw_values *x)
{
	return more_gets_out(m, c, d) || beyond_longer(m, c, d, x);
}

/* ---- reading a number off a state ---- */

static double depressurisation(const struct inw_measure *m, const struct inw_case *c)
{
	return c->still_p_Pa[m->index] - c->o.room_p_Pa[m->index];
}

static double purge(const struct inw_case *c, const struct inw_design *d, const struct inw_values *x)
{
	double rate = fmin(c->o.removal_1s, c->o.gas_removal_1s);

	return inw_purge_time_s(1, inw_value(x, d->require.purge_fraction, 0.01), rate) * inw_value(x, d->require.mixing, 1);
}

double inw_measure_value(const struct inw_measure *m, const struct inw_case *c, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job)
{
	const struct inw_outcome *o = &c->o;

	if (!c->ok)
		return NAN;
	switch (m->kind) {
	case INW_M_INWARD_PRESSURE: return o->inward_Pa;
	case INW_M_INWARD_VELOCITY: return o->inward_ms;
	case INW_M_DEPRESSURISATION: return depressurisation(m, c);
	case INW_M_CHAMBER: return c->sol.y[c->sol.s.T_box];
	case INW_M_PARTICLE_REMOVAL: return 1 - o->particle_pass;
	case INW_M_GAS_REMOVAL: return no_pass(m, too_shallow(c), 1 - o->gas[m->index].pass);
	case INW_M_WORK_8H: case INW_M_WORK_PEAK: case INW_M_HOME_LONG: case INW_M_HOME_1H: return no_pass(m, is_bound(m, c, d, x) || beyond_an_hour(m, c, d, x, job), mixture(m, c, d, x, job));
	case INW_M_EDGE_PRESSURE: return o->edge_Pa;
	case INW_M_FACE_VELOCITY: return o->face_ms;
	case INW_M_CLEANER_PRESSURE: return o->cleaner_Pa;
	case INW_M_PARTICLES: return blind(c, d, x) ? NAN : no_pass(m, more_gets_out(m, c, d), met(&d->person[m->index], x, o->room_particles_m3, 0));
	case INW_M_CARBON_LIFE: return no_pass(m, too_shallow(c), o->life_s);
	case INW_M_CARBON_MASS: return o->carbon_kg;
	case INW_M_RESIDENCE: return o->residence_s;
	case INW_M_BYPASS: return o->bypass;
	case INW_M_STALL: return o->peak_margin;
	case INW_M_DELIVERY: return o->delivery;
	case INW_M_LFL: return o->lfl_fraction;
	case INW_M_NOISE: return o->sound_dB;
	case INW_M_POWER: return o->power_W;
	case INW_M_HEATING: return o->heating_W;
	case INW_M_PURGE: return purge(c, d, x);
	case INW_M_BED_T: return o->bed_T_K + o->uptake_K;
	case INW_M_BED_RH: return o->bed_rh;
	case INW_M_CONDENSATION: return o->dew_margin_K;
	case INW_M_THROTTLE: return c->sol.f.throttle_Pa;
	case INW_M_BALANCE: return fmax(c->sol.mass_closure, c->sol.energy_closure);
	}
	return NAN;
}

double inw_measure_margin(const struct inw_measure *m, double value)
{
	switch (m->sense) {
	case INW_AT_LEAST: return value - m->limit;
	case INW_AT_MOST: return m->limit - value;
	case INW_WITHIN: return fmin(value - m->limit, m->limit_high - value);
	case INW_NO_LIMIT: break;
	}
	return NAN;
}

bool inw_measure_of_people(enum inw_measure_kind k)
{
	return k == INW_M_WORK_8H || k == INW_M_WORK_PEAK || k == INW_M_HOME_LONG || k == INW_M_HOME_1H || k == INW_M_PARTICLES;
}

double inw_measure_told(const struct inw_measure *m, const struct inw_case *c, const struct inw_design *d, double value)
{
	bool weak = c->o.inward_Pa < d->quantity[d->require.inward_pressure].value; /* what is wanted is a choice, whatever its range */

	return no_pass(m, inw_measure_of_people(m->kind) && c->ok && weak, value);
}

bool inw_share_unset(const struct inw_solution *sol)
{
	return sol->m.fixed_share && sol->f.throttle_Pa < 0;
}

const char *inw_measure_unset(const struct inw_measure *m, const struct inw_case *c)
{
	bool flows = m->sense != INW_NO_LIMIT && m->kind != INW_M_THROTTLE && m->kind != INW_M_CARBON_MASS && m->kind != INW_M_BALANCE;

	return flows && c->ok && inw_share_unset(&c->sol)
		? "The share that the file says is sent out cannot be set in this state (throttle): with less sent out this number is another, so it cannot be passed." : NULL;
}

bool inw_measure_applies(const struct inw_measure *m, const struct inw_state *state)
{
	if (state->speed_factor == 0)
		return m->kind == INW_M_LFL;
	switch (state->doors) {
	case INW_DOORS_AS_WRITTEN: return true;
	case INW_DOORS_OPEN: case INW_DOORS_SHUT: return inw_measure_of_people(m->kind) || m->kind == INW_M_DEPRESSURISATION;
	case INW_DOORS_TO_FLUES: return m->kind == INW_M_DEPRESSURISATION;
	case INW_DOORS_TO_PEOPLE: return inw_measure_of_people(m->kind);
	}
	return true;
}

/* ---- the list ---- */

struct list { struct inw_measures *out; const struct inw_design *d; const struct inw_job *job; struct inw_arena *arena; bool failed; struct inw_values x; };

static const char *source_of(const struct inw_design *d, inw_q q)
{
	return q >= 0 ? d->quantity[q].source : "no limit applies";
}

/* A measure with a limit taken from one of the requirements; without it a statement. */
static struct inw_measure *add(struct list *l, enum inw_measure_kind kind, const char *id, const char *title, enum inw_dim dim)
{
	if (l->out->n >= INW_MAX_MEASURES) {
		l->out->overflow = true;
		return NULL;
	}
	struct inw_measure *m = &l->out->m[l->out->n++];
	*m = (struct inw_measure){.kind = kind, .id = id, .title = title, .dim = dim, .sense = INW_NO_LIMIT, .limit = NAN, .limit_high = NAN, .most = INFINITY,
		.limit_source = "no limit applies"};
	return m;
}

static struct inw_measure *limited(struct list *l, struct inw_measure *m, enum inw_sense sense, inw_q q)
{
	if (!m || q < 0)
		return m;
	m->sense = sense;
	m->limit = l->x.x[q];
	m->limit_source = source_of(l->d, q);
	return m;
}

static const char *named(struct list *l, const char *what, const char *who)
{
	char *s = inw_arena_printf(l->arena, "%s[%s]", what, who);

	l->failed |= !s;
	return s ? s : what;
}

static const char *sentence(struct list *l, const char *a, const char *who)
{
	char *s = inw_arena_printf(l->arena, a, who);

	l->failed |= !s;
	return s ? s : "";
}

static void containment(struct list *l)
{
	const struct inw_require *r = &l->d->require;
	size_t opening = 0;

	for (size_t i = 0; i < l->d->box.gaps; i++)
		opening += l->d->box.gap[i].kind == INW_GAP_OPENING;
	if (opening > 0 && opening == l->d->box.gaps) /* a hood is judged by its openings alone */
		return;
	limited(l, add(l, INW_M_INWARD_PRESSURE, "inward_pressure", "Air is pressed inward at every gap", INW_DIM_PRESSURE), INW_AT_LEAST, r->inward_pressure);
	struct inw_measure *m = limited(l, add(l, INW_M_INWARD_VELOCITY, "inward_velocity", "Inward air speed at the weakest gap, counted over a path of 3 mm", INW_DIM_VELOCITY), INW_AT_LEAST, r->inward_velocity);
	if (m)
		m->scale = INW_SCALE_ASINH;
}

/* A mean speed inward hides what goes out at one edge, above the neutral plane: there the pressure tells. */
static void edges(struct list *l)
{
	struct inw_measure *m = add(l, INW_M_EDGE_PRESSURE, "opening_pressure", "Air is pressed inward at every edge of every opening", INW_DIM_PRESSURE);

	if (!m)
		return;
	m->sense = INW_AT_LEAST;
	m->limit = 0;
	m->limit_source = "air goes out wherever the pressure inside is higher";
}

static void openings(struct list *l)
{
	for (size_t i = 0; i < l->d->box.gaps; i++)
		if (l->d->box.gap[i].kind == INW_GAP_OPENING) {
			edges(l);
			limited(l, add(l, INW_M_FACE_VELOCITY, "face_velocity", "Mean inward air speed over the slowest opening", INW_DIM_VELOCITY), INW_AT_LEAST,
			        l->d->require.face_velocity);
			return;
		}
}

static void cleaner(struct list *l)
{
	if (!l->d->cleaner.present || l->d->cleaner.stages == 0)
		return;
	struct inw_measure *m = add(l, INW_M_CLEANER_PRESSURE, "cleaner_pressure", "Air is pressed inward at the cleaner too, as far as fumes go in it", INW_DIM_PRESSURE);
	if (!m)
		return;
	m->sense = INW_AT_LEAST;
	m->limit = 0;
	m->limit_source = "air leaks out of whatever stands above the pressure around it";
}

static void rooms(struct list *l)
{
	for (size_t i = 0; i < l->d->rooms; i++) {
		const struct inw_room *room = &l->d->room[i];
		for (size_t k = 0; k < room->appliances; k++) {
			const struct inw_appliance *a = &room->appliance[k];
			const char *who = sentence(l, "%s", room->name);
			char *id = inw_arena_printf(l->arena, "depressurisation[%s: %s]", who, l->d->catalog.appliance[a->kind].name);
			l->failed |= !id;
			struct inw_measure *m = add(l, INW_M_DEPRESSURISATION, id ? id : "depressurisation", "Pull of the exhaust on the room with the flue", INW_DIM_PRESSURE);
			if (!m)
				return;
			limited(l, m, INW_AT_MOST, a->limit);
			m->limit = l->d->quantity[a->limit].low; /* typical values, not normative: judged at the low end */
			m->index = (int)i;
			m->sub = (int)k;
			m->caution = "A room under suction can draw combustion gas, carbon monoxide with it, back down a flue. Have the flue "
			             "tested by a licensed fitter with the blower and every other fan of the home running, which add to its pull, and fit a carbon monoxide alarm.";
		}
	}
}

static void chamber(struct list *l)
{
	struct inw_measure *m = add(l, INW_M_CHAMBER, "chamber_temperature", "Chamber temperature against what the material wants", INW_DIM_TEMPERATURE);
	inw_q low = l->job->chamber_low, high = l->job->chamber_high;

	if (!m || low < 0 || high < 0)
		return;
	m->sense = INW_WITHIN;
	m->limit = l->x.x[low];
	m->limit_high = l->x.x[high];
	m->limit_source = source_of(l->d, low);
	m->caution = "A hot chamber burns and ages wiring: hold it with an independent thermal cut-out, not with software alone.";
}

/* All air goes out of doors: carbon then spares the neighbours, but nobody here breathes what it lets by. */
bool inw_all_outdoors(const struct inw_design *d)
{
	return d->cleaner.present && d->cleaner.has_exhaust && !d->cleaner.has_return && d->cleaner.exhaust_to == INW_OUTDOORS;
}

static void removal(struct list *l, const struct inw_material *mat)
{
	const struct inw_require *r = &l->d->require;
	struct inw_measure *m = limited(l, add(l, INW_M_PARTICLE_REMOVAL, "particle_removal", "Particles taken out in one pass, worst size", INW_DIM_FRACTION), INW_AT_LEAST, r->particle_removal);

	if (m)
		m->scale = INW_SCALE_LOG_REST;
	for (size_t i = 0; i < mat->gas_count && i < INW_MAX_GASES; i++) {
		const struct inw_substance *s = &l->d->catalog.substance[mat->gases[i].substance];
		m = limited(l, add(l, INW_M_GAS_REMOVAL, named(l, "gas_removal", s->name), sentence(l, "%s taken out in one pass by fresh carbon", s->title), INW_DIM_FRACTION),
		            INW_AT_LEAST, inw_all_outdoors(l->d) ? INW_NONE : r->gas_removal);
		if (!m)
			return;
		m->index = (int)i;
		m->scale = INW_SCALE_LOG_REST;
	}
}

static bool has_limits(struct list *l, const struct inw_material *mat, enum inw_measure_kind kind, const char **missing)
{
	for (size_t i = 0; i < mat->gas_count; i++) {
		const struct inw_substance *s = &l->d->catalog.substance[mat->gases[i].substance];
		bool has = limit_for(s, kind, &l->x) || (kind == INW_M_WORK_PEAK && limit_for(s, INW_M_WORK_8H, &l->x));
		if (!has) {
			*missing = s->title;
			return false;
		}
	}
	return true;
}

static const char *unknown_gas(const struct inw_design *d, const struct inw_material *mat)
{
	for (size_t i = 0; i < mat->gas_count; i++)
		if (mat->gases[i].studies == 0)
			return d->catalog.substance[mat->gases[i].substance].title;
	return mat->gas_count ? NULL : "gases of this material";
}

/* One mixture index for a person: every substance against the strictest value of its kind. */
static void air(struct list *l, const struct inw_material *mat, int person, enum inw_measure_kind kind, const char *id, const char *title)
{
	const char *who = l->d->person[person].name;
	struct inw_measure *m = add(l, kind, named(l, id, who), sentence(l, title, who), INW_DIM_NONE);

	if (!m)
		return;
	m->index = person;
	m->sense = INW_AT_MOST;
	m->limit = 1;
	m->scale = INW_SCALE_LOG;
	m->limit_source = kind == INW_M_WORK_8H || kind == INW_M_WORK_PEAK
		? "mixture rule, 29 CFR 1910.1000(d)(2)(i): sum of C/L at most 1, each L the strictest occupational value in the catalog"
		: "mixture rule (29 CFR 1910.1000(d)(2)(i)) on the strictest residential or public value of each substance in the catalog";
	m->missing_limit = !has_limits(l, mat, kind, &m->missing) && kind != INW_M_HOME_1H;
	const char *unknown = unknown_gas(l->d, mat);
	m->unknown_source = unknown != NULL;
	if (unknown && !m->missing_limit)
		m->missing = unknown;
	m->caution = "Published limits protect most healthy people from the named substances, not everybody from everything. Air out, and see a "
	             "doctor about symptoms.";
}

static void people(struct list *l, const struct inw_material *mat)
{
	const struct inw_require *r = &l->d->require;

	for (int i = 0; i < (int)l->d->persons; i++) {
		const struct inw_person *p = &l->d->person[i];
		bool worker = p->kind == INW_WORKER;
		if (worker) {
			air(l, mat, i, INW_M_WORK_8H, "air_8h", "Gases met by %s over a working day, share of occupational limits");
			air(l, mat, i, INW_M_WORK_PEAK, "air_peak", "Gases met by %s at the worst time, share of short-term occupational limits");
		} else {
			air(l, mat, i, INW_M_HOME_LONG, "air_24h", "Gases met by %s over a day, share of residential values");
			air(l, mat, i, INW_M_HOME_1H, "air_1h", "Gases met by %s in the worst hour, share of residential values");
		}
		struct inw_measure *m = add(l, INW_M_PARTICLES, named(l, "air_particles", p->name), sentence(l, "Ultrafine particles added to the air of %s", p->name), INW_DIM_NUMBER_CONCENTRATION);
		if (!m)
			return;
		limited(l, m, INW_AT_MOST, worker ? r->particles_work : r->particles_home);
		m->index = i;
		m->scale = INW_SCALE_LOG;
		m->unknown_source = mat->particle_studies == 0;
		m->missing = "particles of this material";
	}
}

/* Has any blower's curve a hump, by which stall can be judged? */
static bool has_hump(const struct list *l)
{
	for (size_t i = 0; i < l->d->cleaner.stages; i++) {
		const struct inw_blower *b = &l->d->cleaner.stage[i].blower;
		for (size_t k = 1; l->d->cleaner.stage[i].kind == INW_STAGE_BLOWER && k < b->points; k++)
			if (l->x.x[b->rise[k]] > l->x.x[b->rise[0]])
				return true;
	}
	return false;
}

/* A curve that only falls says nothing of stall: not that there is none. */
static void stall(struct list *l)
{
	if (has_hump(l))
		limited(l, add(l, INW_M_STALL, "stall_margin", "Flow above the top of the blower's curve", INW_DIM_FRACTION), INW_AT_LEAST, l->d->require.stall_margin);
	else
		add(l, INW_M_DELIVERY, "free_delivery", "Share of the blower's free delivery (its curve has no stall point: stall is not judged)", INW_DIM_FRACTION);
}

static void carbon(struct list *l, const struct inw_material *mat)
{
	const struct inw_require *r = &l->d->require;
	struct inw_measure *m = NULL;
	bool has_bed = false, has_seal = false, has_blower = false;

	for (size_t i = 0; i < l->d->cleaner.stages; i++) {
		has_bed |= l->d->cleaner.stage[i].kind == INW_STAGE_BED;
		has_blower |= l->d->cleaner.stage[i].kind == INW_STAGE_BLOWER;
		has_seal |= l->d->cleaner.stage[i].kind != INW_STAGE_BLOWER;
	}
	if (has_bed) {
		m = limited(l, add(l, INW_M_CARBON_LIFE, "carbon_life", "Running time until the carbon lets too much through (1 d is 24 h of running)", INW_DIM_TIME),
		            INW_AT_LEAST, inw_all_outdoors(l->d) ? INW_NONE : r->carbon_life);
		if (m) {
			m->scale = INW_SCALE_LOG;
			m->unknown_source = unknown_gas(l->d, mat) != NULL;
			m->missing = unknown_gas(l->d, mat);
			m->caution = "Loaded carbon can heat itself and burn. Keep it in a metal housing, away from solvents and ketones in quantity; "
			             "let it cool and seal it when spent.";
		}
		m = add(l, INW_M_CARBON_MASS, "carbon_mass", "Carbon in the bed", INW_DIM_MASS);
		m = limited(l, add(l, INW_M_RESIDENCE, "residence_time", "Time the air spends in the carbon", INW_DIM_TIME), INW_AT_LEAST,
		            inw_all_outdoors(l->d) ? INW_NONE : r->residence_time);
		m = limited(l, add(l, INW_M_BED_T, "bed_temperature", "Temperature of the carbon", INW_DIM_TEMPERATURE), INW_AT_MOST, r->bed_T);
		m = limited(l, add(l, INW_M_BED_RH, "bed_humidity", "Humidity of the air in the carbon", INW_DIM_FRACTION), INW_AT_MOST, r->humidity);
	}
	if (has_seal)
		m = limited(l, add(l, INW_M_BYPASS, "seal_bypass", "Air that slips past a stage through its seal", INW_DIM_FRACTION), INW_AT_MOST, r->seal_bypass);
	if (has_seal && m) {
		m->scale = INW_SCALE_LOG;
		m->most = 1; /* all of it */
	}
	if (has_blower) {
		stall(l);
		limited(l, add(l, INW_M_NOISE, "noise", "Sound at the nearest ear", INW_DIM_SOUND), INW_AT_MOST, r->noise);
	}
}

/* What explodes kills at once: before all that harms slowly. */
static void explosion(struct list *l, const struct inw_material *mat)
{
	const struct inw_require *r = &l->d->require;
	struct inw_measure *m = limited(l, add(l, INW_M_LFL, "flammability", "Vapour in the box, share of its lower flammable limit", INW_DIM_FRACTION), INW_AT_MOST, r->lfl_fraction);

	if (m) {
		m->scale = INW_SCALE_LOG;
		m->unknown_source = unknown_gas(l->d, mat) != NULL;
		m->missing = unknown_gas(l->d, mat);
		for (size_t i = 0; i < mat->gas_count; i++)
			if (l->d->catalog.substance[mat->gases[i].substance].lfl < 0) {
				m->missing_limit = true;
				m->missing = l->d->catalog.substance[mat->gases[i].substance].title;
			}
		m->caution = "Solvent vapour explodes. Keep ignition sources away, interlock the source with proven airflow, and follow the local fire code.";
	}
}

static void running(struct list *l)
{
	const struct inw_require *r = &l->d->require;
	struct inw_measure *m = limited(l, add(l, INW_M_PURGE, "purge_time", "Wait until the box's own air has cleared (`inward day`: a warm part gives off more)", INW_DIM_TIME), INW_AT_MOST, r->purge_time);
	if (m)
		m->scale = INW_SCALE_LOG;
	m = limited(l, add(l, INW_M_POWER, "power", "Electrical power drawn while the job runs", INW_DIM_POWER), INW_AT_MOST, r->power);
	if (m)
		m->caution = "Mains wiring kills: leave it to licensed practice.";
	if (l->d->cleaner.present && l->d->cleaner.has_exhaust && l->d->cleaner.exhaust_to == INW_OUTDOORS) {
		limited(l, add(l, INW_M_HEATING, "heating_loss", "Heat of the room that leaves with the exhaust", INW_DIM_POWER), INW_AT_MOST, r->heating);
		m = add(l, INW_M_CONDENSATION, "condensation", "Wall at the end of the exhaust duct above the dew point of its air", INW_DIM_TEMPERATURE_DIFFERENCE);
		if (m) {
			m->sense = INW_AT_LEAST;
			m->limit = 0;
			m->limit_source = "water condenses below the dew point";
		}
	}
	if (l->d->cleaner.present && l->d->cleaner.split == INW_SPLIT_FIXED) {
		m = add(l, INW_M_THROTTLE, "throttle", "Pressure left for the throttle that sets the fixed share", INW_DIM_PRESSURE);
		if (m) {
			m->sense = INW_AT_LEAST;
			m->limit = 0;
			m->limit_source = "a throttle can only take pressure away";
		}
	}
	m = add(l, INW_M_BALANCE, "balance", "Mass and heat that the answer leaves unaccounted for, relative", INW_DIM_NONE);
	if (m) {
		m->sense = INW_AT_MOST;
		m->limit = 1e-9;
		m->scale = INW_SCALE_LINEAR;
		m->limit_source = "this program's own bound";
	}
}

int inw_measures_list(struct inw_measures *out, const struct inw_design *d, const struct inw_job *job, struct inw_arena *arena)
{
	const struct inw_material *mat = &d->catalog.material[job->material];
	double *x = inw_arena_alloc(arena, sizeof(double) * (d->quantities + 1));
	struct list l = {out, d, job, arena, !x, {x, NULL}};

	if (!x)
		return -1;
	for (size_t i = 0; i < d->quantities; i++)
		x[i] = d->quantity[i].value;
	memset(out, 0, sizeof *out);
	containment(&l);
	openings(&l);
	cleaner(&l);
	rooms(&l);
	explosion(&l, mat);
	chamber(&l);
	removal(&l, mat);
	people(&l, mat);
	carbon(&l, mat);
	running(&l);
	return l.failed ? -1 : 0;
}

double inw_measure_one(const struct inw_measure *m)
{
	const double ten = 10;

	if (m->sense == INW_WITHIN)
		return 0.5 * (m->limit_high - m->limit);
	if (m->dim == INW_DIM_TEMPERATURE || m->dim == INW_DIM_TEMPERATURE_DIFFERENCE || m->dim == INW_DIM_SOUND)
		return ten;
	if (m->dim == INW_DIM_FRACTION && m->sense == INW_AT_LEAST && m->limit > 0.5 && m->limit < 1)
		return 1 - m->limit;
	return m->limit != 0 && isfinite(m->limit) ? fabs(m->limit) : 1;
}

enum inw_status inw_measures_fit(const struct inw_design *d, struct inw_arena *arena, struct inw_diags *diags)
{
	struct inw_measures *l = inw_arena_alloc(arena, sizeof *l);

	for (size_t j = 0; l && j < d->jobs; j++) {
		if (inw_measures_list(l, d, &d->job[j], arena)) {
			l = NULL;
			break;
		}
		if (!l->overflow)
			continue;
		inw_diag_add(diags, INW_ERROR, d->file, 0, 0, "job '%s' has more requirements than the %d that are judged of one: leave out people whose stays are alike, or rooms with flues that are judged elsewhere",
		             d->job[j].name, INW_MAX_MEASURES);
		return INW_BAD_INPUT;
	}
	diags->out_of_memory |= !l;
	return l ? INW_OK : INW_NO_MEMORY;
}
