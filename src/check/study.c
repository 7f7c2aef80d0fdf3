/* SPDX-License-Identifier: MIT */
#include "check/study.h"
#include "base/crew.h"
#include "solve/slope.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

const struct inw_state inw_states[INW_STATES] = {
	{.name = "as designed", .speed_factor = 1},
	{.name = "hottest box", .speed_factor = 1, .hottest = true},
	{.name = "loaded particle stage", .speed_factor = 1, .loaded = true},
	{.name = "new particle stage", .speed_factor = 1, .new_medium = true},
	{.name = "blower low", .speed_factor = 1, .low_blower = true},
	{.name = "hottest, loaded, blower low, and a gust", .speed_factor = 1, .hottest = true, .loaded = true, .low_blower = true, .gust = true},
	{.name = "hottest, loaded, blower low, a gust, doors between rooms open", .speed_factor = 1, .hottest = true, .loaded = true, .low_blower = true, .gust = true, .doors = INW_DOORS_OPEN},
	{.name = "blower stopped", .speed_factor = 0, .hottest = true},
	{.name = "new particle stage, doors between rooms open", .speed_factor = 1, .new_medium = true, .doors = INW_DOORS_OPEN},
	{.name = "new particle stage, doors between rooms and windows shut", .speed_factor = 1, .new_medium = true, .doors = INW_DOORS_SHUT},
	{.name = "new particle stage, doors open only from the box to the flue", .speed_factor = 1, .new_medium = true, .doors = INW_DOORS_TO_FLUES},
	{.name = "hottest, loaded, blower low, a gust, doors between rooms and windows shut", .speed_factor = 1, .hottest = true, .loaded = true, .low_blower = true, .gust = true, .doors = INW_DOORS_SHUT},
	{.name = "hottest, loaded, blower low, a gust, doors open only from the box to people", .speed_factor = 1, .hottest = true, .loaded = true, .low_blower = true, .gust = true, .doors = INW_DOORS_TO_PEOPLE},
};

enum { screen = 5 }; /* hottest, loaded, blower low, and a gust: where most that matters shows */

static bool has_appliances(const struct inw_design *d)
{
	for (size_t i = 0; i < d->rooms; i++)
		if (d->room[i].appliances)
			return true;
	return false;
}

static bool stands_as(const struct inw_design *d, enum inw_doors a, enum inw_doors b)
{
	for (size_t i = 0; i < d->doorways; i++)
		if (inw_door_stands(&d->doorway[i], a) != inw_door_stands(&d->doorway[i], b))
			return false;
	return true;
}

bool inw_state_arises(const struct inw_design *d, int state)
{
	enum inw_doors doors = inw_states[state].doors;

	if (doors == INW_DOORS_AS_WRITTEN)
		return true;
	return !stands_as(d, doors, INW_DOORS_AS_WRITTEN) && (doors <= INW_DOORS_SHUT || (!stands_as(d, doors, INW_DOORS_SHUT) && !stands_as(d, doors, INW_DOORS_OPEN)));
}

bool inw_study_looks(const struct inw_design *d, const struct inw_measure *m, int state)
{
	return inw_state_arises(d, state) && inw_measure_applies(m, &inw_states[state]);
}

unsigned inw_study_wanted(const struct inw_study *s, int i)
{
	return inw_study_wanted_by(s->measures.m[i].kind);
}

unsigned inw_study_wanted_by(enum inw_measure_kind kind)
{
	switch (kind) {
	case INW_M_DEPRESSURISATION:
		return INW_WANT_STILL;
	case INW_M_PARTICLE_REMOVAL: case INW_M_PARTICLES:
		return INW_WANT_PARTICLES;
	case INW_M_GAS_REMOVAL: case INW_M_LFL: case INW_M_BED_T:
		return INW_WANT_GASES;
	case INW_M_WORK_8H: case INW_M_WORK_PEAK: case INW_M_HOME_LONG: case INW_M_HOME_1H: case INW_M_CARBON_LIFE:
		return INW_WANT_GASES | INW_WANT_USED;
	case INW_M_PURGE:
		return INW_WANT_CLEARING;
	case INW_M_POWER: case INW_M_HEATING: case INW_M_NOISE: case INW_M_CONDENSATION:
		return INW_WANT_ASIDE;
	case INW_M_INWARD_PRESSURE: case INW_M_INWARD_VELOCITY: case INW_M_EDGE_PRESSURE: case INW_M_FACE_VELOCITY: case INW_M_CLEANER_PRESSURE: case INW_M_CHAMBER: case INW_M_CARBON_MASS: case INW_M_RESIDENCE:
	case INW_M_BYPASS: case INW_M_STALL: case INW_M_DELIVERY: case INW_M_BED_RH: case INW_M_THROTTLE: case INW_M_BALANCE:
		return INW_WANT_AIR;
	}
	return INW_WANT_ALL;
}

/* What a shift of unknown i is counted in: the cleaner's flows change by so many per cent rather than by so many grams a
 * second, whatever the state; all else by its own unit. */
static double counted_in(const struct inw_solution *sol, int i)
{
	const struct inw_slots *s = &sol->s;

	return i == s->m_clean || i == s->m_return || i == s->m_exhaust ? sol->y[i] : 1;
}

void inw_study_shift(struct inw_shift *shift, const struct inw_case *from, const struct inw_case *to)
{
	shift->n = from->ok && to->ok && memcmp(&from->sol.s, &to->sol.s, sizeof to->sol.s) == 0 ? to->sol.s.n : 0;
	for (int i = 0; i < shift->n; i++) {
		double unit = counted_in(&from->sol, i);
		shift->y[i] = unit != 0 ? (to->sol.y[i] - from->sol.y[i]) / unit : 0;
	}
}

/* What follows from the solved air, as far as it is wanted. */
static void follow(struct inw_study *s, struct inw_case *c, int state, unsigned char *touched)
{
	struct inw_values v = {s->x, touched};

	if (s->wanted & INW_WANT_CLEARING) {
		inw_outcome(&c->o, &c->sol, s->d, &v, s->job, &inw_states[state]);
		return;
	}
	inw_outcome_air(&c->o, &c->sol, s->d, &v, &inw_states[state]);
	if (s->wanted & INW_WANT_ASIDE)
		inw_outcome_aside(&c->o, &c->sol, s->d, &v);
	if (s->wanted & INW_WANT_PARTICLES)
		inw_outcome_particles(&c->o, &c->sol, s->d, &v, s->job);
	if (s->wanted & INW_WANT_GASES)
		inw_outcome_gases(&c->o, &c->sol, s->d, &v, s->job, s->wanted & INW_WANT_USED);
}

/* Not every input matters in every state: where the equations leave the same at `near` as its own do, to the last bit, that is
 * the solution. Bytes of the models are not compared: what lies between their numbers is anything. */
static bool solved_by(struct inw_solution *sol, const struct inw_solution *near)
{
	double here[INW_MAX_UNKNOWNS], there[INW_MAX_UNKNOWNS];
	struct inw_flows f = {0}, of_near = {0};

	inw_model_residual(&sol->m, &near->s, near->y, here, NULL, &f);
	inw_model_residual(&near->m, &near->s, near->y, there, NULL, &of_near);
	if (memcmp(here, there, sizeof *here * (size_t)near->s.n) != 0)
		return false;
	struct inw_model m = sol->m;
	*sol = *near;
	sol->m = m;
	sol->f = f;
	sol->iterations = 0;
	return true;
}

/* sol->y at the solution nearby, moved by `shift`, and the thermostats as there. False where the two do not fit. */
static bool start_near(struct inw_solution *sol, const struct inw_solution *near, const struct inw_shift *shift)
{
	for (int i = 0; i < sol->m.rooms; i++)
		if (sol->m.room[i].assumed)
			sol->m.room[i].held = near->m.room[i].held;
	inw_model_slots(&sol->m, &sol->s);
	if (memcmp(&sol->s, &near->s, sizeof sol->s) != 0)
		return false;
	sol->m.heater = sol->m.heater_power > 0 ? near->m.heater : INW_HEATER_OFF;
	sol->m.plate_on = near->m.plate_on;
	memcpy(sol->y, near->y, sizeof sol->y);
	for (int i = 0; shift && shift->n == sol->s.n && i < sol->s.n; i++)
		sol->y[i] += shift->y[i] * counted_in(near, i);
	return true;
}

/* Solve sol->m from a solution that it was started near, or from nothing. */
static void solve_from(struct inw_solution *sol, const struct inw_solution *near, enum inw_care care, bool may_stand)
{
	if (!near)
		inw_steady(sol, false);
	else if (!may_stand || care != INW_CARE_FULL || !solved_by(sol, near) || !inw_steady_stands(sol)) /* a thermostat's target need be in no equation */
		inw_steady_near(sol, care);
}

/* Room pressures with the blower stopped: what the weather does by itself. Air that nothing drives may settle in several
 * ways: all begin at the first one solved, so that none depends on what was asked before it. */
static void solve_still(struct inw_study *s, struct inw_case *c, const struct inw_state *state)
{
	struct inw_solution still;
	struct inw_state stopped = *state;
	struct inw_values v = {s->x, NULL};
	const struct inw_model *m = &still.m;
	const char *why;

	stopped.speed_factor = 0;
	still.first_step = 0;
	c->ok = false;
	if (inw_model_build(&still.m, s->d, &v, s->job, &stopped, &why))
		return;
	const struct inw_solution *first = s->still.s.n > 0 && start_near(&still, &s->still, NULL) ? &s->still : NULL;
	solve_from(&still, first, s->care, true);
	if (still.status != INW_OK)
		return;
	if (s->still.s.n == 0)
		s->still = still;
	for (int i = 0; i < m->rooms; i++) {
		double T = still.s.T_room[i] >= 0 ? still.y[still.s.T_room[i]] : m->room[i].T, h = 0.5 * m->room[i].height;
		c->still_p_Pa[i] = still.y[still.s.p_room[i]]
			- INW_GRAVITY * h * (inw_model_air(m, T, m->room[i].humidity_ratio).rho - inw_model_air(m, m->T_out, m->w_out).rho);
	}
	c->ok = true;
}

/* And what the same does with the blower stopped, where that is asked for. */
static void follow_all(struct inw_study *s, struct inw_case *c, int state)
{
	follow(s, c, state, s->touched);
	if (s->wanted & INW_WANT_STILL && has_appliances(s->d))
		solve_still(s, c, &inw_states[state]);
}

/* Largest in natural sizes. */
static double size_of(const struct inw_shift *shift, const struct inw_case *near)
{
	double most = 0;

	for (int i = 0; shift && i < shift->n; i++)
		most = fmax(most, fabs(shift->y[i] * counted_in(&near->sol, i)) / near->slope->unknown[i]);
	return most;
}

static bool nothing_counts(struct inw_study *s, const struct inw_case *c, int state, const struct inw_case *near);

/* From the slope of a solution nearby. Where the first look shows that nothing read off this state changes enough to count
 * (see inw_study.trifle), that is all that is wanted to be known; what it shows is then in c->o. */
static bool is_trifle(struct inw_study *s, struct inw_case *c, int state, const struct inw_case *near, const struct inw_shift *shift)
{
	const double nothing = 1e-9, mostly = 0.3; /* ours: of natural sizes; of what was foretold, that it is still wrong by */
	double step[INW_MAX_UNKNOWNS], size;
	bool known = shift && shift->n == near->sol.s.n;

	inw_model_seals(&c->sol.m, &c->sol.s, c->sol.y);
	size = inw_steady_look(&c->sol, near->slope, step);
	if (s->glances && size <= nothing + mostly * (known ? size_of(shift, near) : 0) && inw_steady_stands(&c->sol)) {
		c->sol.mass_closure = near->sol.mass_closure;
		c->sol.energy_closure = near->sol.energy_closure;
		c->ok = true;
		follow_all(s, c, state);
		if (c->ok && nothing_counts(s, c, state, near))
			return true;
	}
	for (int i = 0; size <= 1 && i < c->sol.s.n; i++)
		c->sol.y[i] += step[i];
	return false;
}

static const double little_heat = 0.01; /* natural sizes: what power is told of may be off by a kelvin's tenth (ours) */

void inw_study_case(struct inw_study *s, struct inw_case *c, int state, const struct inw_case *near, const struct inw_shift *shift)
{
	struct inw_values air = {s->x, s->moves_air};

	c->ok = false;
	c->slope = NULL;
	c->sol.first_step = s->first_step;
	c->sol.bend = NAN;
	c->sol.heat_step = 0;
	if (s->of_x == c)
		inw_model_restate(&c->sol.m, s->d, &air, s->job, &inw_states[state]);
	else if (inw_model_build(&c->sol.m, s->d, &air, s->job, &inw_states[state], &s->why))
		return;
	bool fits = near && near->ok && start_near(&c->sol, &near->sol, shift);
	if (fits && s->care == INW_CARE_RANGE && near->slope && (s->glances || s->asks < 0) && is_trifle(s, c, state, near, shift))
		return;
	/* a moved input is seldom one that does nothing, and of all that are drawn some input always does */
	solve_from(&c->sol, fits ? &near->sol : NULL, s->care, !shift);
	if (c->sol.status != INW_OK)
		return;
	c->ok = true;
	if (s->wanted & INW_WANT_ASIDE && c->sol.heat_step > little_heat)
		inw_steady_heat(&c->sol);
	follow_all(s, c, state);
}

double inw_study_value(struct inw_study *s, int i, const struct inw_case *c)
{
	struct inw_values v = {s->x, s->touched};

	return inw_measure_value(&s->measures.m[i], c, s->d, &v, s->job);
}

/* The state with the least margin; a state without an answer is the worst of all. */
static void find_worst(struct inw_study *s, int i)
{
	const struct inw_measure *m = &s->measures.m[i];

	s->worst[i] = INW_AS_DESIGNED;
	s->value[i] = inw_study_value(s, i, &s->c[INW_AS_DESIGNED]);
	for (int k = 1; k < INW_STATES && m->sense != INW_NO_LIMIT && !isnan(s->value[i]); k++) {
		if (!inw_study_looks(s->d, m, k))
			continue;
		double v = inw_study_value(s, i, &s->c[k]), gain = inw_measure_margin(m, v) - inw_measure_margin(m, s->value[i]);
		/* of states alike in the number the one that holds the box worst: there its range is widest */
		bool alike = fabs(gain) <= 1e-12 * fabs(s->value[i]) && s->c[k].o.inward_Pa < s->c[s->worst[i]].o.inward_Pa - 1e-9;
		if (isnan(v) || gain < -1e-12 * fabs(s->value[i]) || alike) {
			s->value[i] = v;
			s->worst[i] = k;
		}
	}
	s->low[i] = s->high[i] = s->value[i];
}

/* Some state in which a number that does not miss is not told; -1 for none. `why`: see inw_finding. */
static int untold_in(const struct inw_study *s, int i, const char **why)
{
	const struct inw_measure *m = &s->measures.m[i];

	for (int k = 0; k < INW_STATES && !isnan(s->value[i]); k++) {
		if (!inw_study_looks(s->d, m, k))
			continue;
		/* while the blower stands no share of anything is sent out */
		*why = inw_states[k].speed_factor > 0 && !(inw_measure_margin(m, s->value[i]) < 0) ? inw_measure_unset(m, &s->c[k]) : NULL;
		if (*why || isnan(inw_measure_told(m, &s->c[k], s->d, s->value[i])))
			return k;
	}
	return -1;
}

/* The pull at the bad end of its range may be too weak for anything to be told of people's air. */
static bool told_weakly(const struct inw_study *s, int i)
{
	bool weak = false;

	for (int k = 0; k < s->measures.n; k++) {
		const struct inw_measure *m = &s->measures.m[k];
		weak |= m->kind == INW_M_INWARD_PRESSURE && (s->broken[k] || !(s->low[k] >= m->limit));
	}
	return weak && inw_measure_of_people(s->measures.m[i].kind);
}

struct inw_finding inw_study_finding(const struct inw_study *s, int i)
{
	const char *unset = NULL;
	int untold = untold_in(s, i, &unset), state = untold >= 0 ? untold : s->worst[i];
	const struct inw_case *c = &s->c[state];
	const char *why = s->why ? s->why : c->sol.why;

	if (untold >= 0)
		return (struct inw_finding){&s->measures.m[i], c, inw_states[state].name, NAN, NAN, NAN, false, false, why, unset};
	return (struct inw_finding){&s->measures.m[i], c, inw_states[state].name, s->value[i], s->low[i], s->high[i], s->broken[i], told_weakly(s, i), why, NULL};
}

/* ---- ranges ---- */

/* Ratios scatter by factors: their deviations add as logarithms, unless the number itself is next to nothing. */
static enum inw_scale scale_of(const struct inw_measure *m, double at)
{
	double floor = isfinite(m->limit) ? 1e-6 * m->limit : 0;

	if (m->scale == INW_SCALE_ASINH && !(m->limit > 0))
		return INW_SCALE_LINEAR;
	return m->scale == INW_SCALE_LOG && !(at > floor) ? INW_SCALE_LINEAR : m->scale;
}

/* Logarithms end at a billionth of the limit: below it a number counts as nothing. */
static double least_of(const struct inw_measure *m)
{
	return isfinite(m->limit) && m->limit > 0 ? 1e-9 * m->limit : 1e-300;
}

static double scaled(const struct inw_measure *m, enum inw_scale scale, double v)
{
	switch (scale) {
	case INW_SCALE_LINEAR: return v;
	case INW_SCALE_LOG: return log(fmax(v, least_of(m)));
	case INW_SCALE_LOG_REST: return -log(fmax(1 - v, 1e-16));
	case INW_SCALE_ASINH: return asinh(v / m->limit);
	}
	return v;
}

static double unscaled(const struct inw_measure *m, enum inw_scale scale, double v)
{
	switch (scale) {
	case INW_SCALE_LINEAR: return v;
	case INW_SCALE_LOG: return exp(v) > 1.001 * least_of(m) ? exp(v) : 0;
	case INW_SCALE_LOG_REST: return 1 - exp(-v);
	case INW_SCALE_ASINH: return m->limit * sinh(v);
	}
	return v;
}

double inw_study_apart(const struct inw_study *s, int i, double a, double b)
{
	const struct inw_measure *m = &s->measures.m[i];
	enum inw_scale scale = scale_of(m, s->value[i]);

	return scaled(m, scale, a) - scaled(m, scale, b);
}

double inw_study_moved(const struct inw_study *s, int i, double v, double by)
{
	const struct inw_measure *m = &s->measures.m[i];
	enum inw_scale scale = scale_of(m, s->value[i]);

	return unscaled(m, scale, scaled(m, scale, v) + by);
}

static const double unmoved = 1e-6; /* a deviation within what the ends of ranges are solved to */

/* Sums of squares of the deviations of one measure, up and down. */
struct spread { double up2, down2; };

/* Is it a larger number that harms? */
static bool bad_is_up(const struct inw_measure *m, double value)
{
	return m->sense == INW_AT_MOST || (m->sense == INW_WITHIN && m->limit_high - value < value - m->limit);
}

static void note_blame(struct inw_study *s, int i, const char *path, double size)
{
	struct inw_blame *b = s->blame[i];
	size_t n = s->blames[i], at = 0;

	while (at < n && b[at].share >= size)
		at++;
	if (at >= INW_MAX_BLAME)
		return;
	size_t keep = n < INW_MAX_BLAME ? n : INW_MAX_BLAME - 1;
	memmove(&b[at + 1], &b[at], sizeof *b * (keep - at));
	b[at] = (struct inw_blame){path, size};
	s->blames[i] = keep + 1;
}

/* One quantity at the ends of its range in one state: the measures there, and whether it moves any at all. */
struct moved { size_t q; bool matters; int n; double to[INW_MOST_ENDS], ends[INW_MAX_MEASURES][INW_MOST_ENDS]; };

static void deviation(struct inw_study *s, struct spread *sum, int i, const struct moved *o)
{
	const struct inw_quantity *q = &s->d->quantity[o->q];
	const double *ends = o->ends[i];
	double worse = 0; /* the larger deviation to the bad side, and the end that brings it */
	int bad_end = 0;
	const struct inw_measure *m = &s->measures.m[i];
	enum inw_scale scale = scale_of(m, s->value[i]);
	double at = scaled(m, scale, s->value[i]), up = 0, down = 0;

	for (int e = 0; e < o->n; e++) {
		if (isnan(ends[e])) {
			s->broken[i] = true;
			continue;
		}
		if (ends[e] == s->value[i]) /* infinite alike counts as unmoved */
			continue;
		double d = scaled(m, scale, ends[e]) - at;
		if (!isfinite(d)) {
			s->broken[i] = true;
			continue;
		}
		up = fmax(up, d);
		down = fmax(down, -d);
		double harm = bad_is_up(m, s->value[i]) ? d : -d;
		if (harm > worse)
			worse = harm, bad_end = e;
	}
	double size = up * up + down * down, least = unmoved * hypot(1, at);
	if (size <= least * least)
		return;
	sum->up2 += up * up;
	sum->down2 += down * down;
	s->assumed[i]++;
	if (s->bad[i]) /* divided by the whole spread once that is known */
		s->bad[i][q - s->d->quantity] = worse * (o->to[bad_end] - q->value);
	note_blame(s, i, q->path, size);
}

/* What follows from other quantities moves with them and never by itself; what it follows from counts as read. */
static void find_roots(struct inw_study *s)
{
	const struct inw_design *d = s->d;

	for (size_t q = 0; q < d->quantities; q++)
		s->touched[q] |= s->moves_air[q];
	for (size_t i = d->dependences; i-- > 0;) {
		const struct inw_dependence *how = &d->dependence[i];
		s->follows[how->to] = 1;
		for (size_t k = 0; k < how->count; k++) {
			s->touched[how->from[k]] |= s->touched[how->to];
			s->moves_air[how->from[k]] |= s->moves_air[how->to];
		}
	}
}

void inw_study_same_air(struct inw_study *s, struct inw_case *c, int state, const struct inw_case *near)
{
	*c = *near;
	follow(s, c, state, NULL);
}

/* ---- where ranges turn round ---- */

double inw_study_near(const struct inw_quantity *q, double T)
{
	const double still_K = 1;
	double here = q->value < T ? T - still_K : T + still_K, there = 2 * T - here;

	if (fabs(q->value - T) <= still_K)
		return NAN;
	return here > q->low && here < q->high ? here : there > q->low && there < q->high ? there : NAN;
}

/* The temperature at which air of that relative humidity is as heavy as air at T with that much water in it. */
static double as_heavy(const struct inw_model *m, double rh, double T, double humidity_ratio)
{
	double rho = inw_model_air(m, T, humidity_ratio).rho, at = T;

	for (int i = 0; i < 20; i++) /* each a few hundredths of what is left: water weighs little in it */
		at *= inw_model_air(m, at, inw_air_humidity_ratio(m->p_site, rh * inw_air_saturation_Pa(at))).rho / rho;
	return at;
}

/* Does the room change air with the open air by itself? */
static bool breathes(const struct inw_model *m, int room)
{
	bool any = m->room[room].leak_C > 0;

	for (int i = 0; i < m->doorways; i++)
		any |= (m->doorway[i].a == room && m->doorway[i].b == INW_OUTDOORS) || (m->doorway[i].b == room && m->doorway[i].a == INW_OUTDOORS);
	return any;
}

static void add_turn(struct inw_study *s, inw_q q, double to)
{
	const double alike = 0.002; /* share, 0.6 K: rooms that are as warm */
	bool known = isnan(to) || s->turns == INW_MOST_TURNS;

	for (int i = 0; i < s->turns; i++)
		known |= s->turn[i].q == q && fabs(s->turn[i].to - to) < alike * to;
	if (!known)
		s->turn[s->turns++] = (struct inw_turn){q, to};
}

static void turns_of_warmth(struct inw_study *s)
{
	const struct inw_design *d = s->d;

	for (int i = 0; i < (int)d->rooms; i++) {
		double out, in;
		if (!inw_study_still(s, i, &out, &in))
			continue;
		add_turn(s, d->site.T_out, inw_study_near(&d->quantity[d->site.T_out], out));
		if (d->room[i].T_held)
			add_turn(s, d->room[i].T, inw_study_near(&d->quantity[d->room[i].T], in));
	}
}

/* Of a medium whose worst size is not known the least size that any fibre has for its worst: below it each size is counted like
 * the worst one as rated, above it that one moves with the speed of the air. */
static void turns_of_media(struct inw_study *s)
{
	for (size_t k = 0; k < s->d->cleaner.stages; k++) {
		const struct inw_medium *medium = &s->d->cleaner.stage[k].medium;
		const struct inw_quantity *q = &s->d->quantity[medium->worst_size];
		struct inw_values v = {s->x, NULL};
		if (s->d->cleaner.stage[k].kind != INW_STAGE_MEDIUM || medium->worst_size < 0 || !(q->low < q->high))
			continue;
		double keep = s->x[medium->worst_size], low = log(q->low), high = log(q->high);
		for (int i = 0; i < 10; i++) { /* to a few thousandths of the size */
			s->x[medium->worst_size] = exp(0.5 * (low + high));
			*(inw_sheet_fit(medium, &v).least > 0 ? &high : &low) = 0.5 * (low + high);
		}
		s->x[medium->worst_size] = keep;
		add_turn(s, medium->worst_size, low > log(q->low) && exp(high) < q->high ? exp(high) : NAN);
	}
}

bool inw_study_still(const struct inw_study *s, int room, double *out_K, double *in_K)
{
	const struct inw_design *d = s->d;
	const struct inw_solution *sol = &s->c[INW_AS_DESIGNED].sol;
	const struct inw_model *m = &sol->m;
	double T = sol->s.T_room[room] >= 0 ? sol->y[sol->s.T_room[room]] : m->room[room].T;

	*out_K = as_heavy(m, d->quantity[d->site.rh_out].value, T, m->room[room].humidity_ratio);
	*in_K = as_heavy(m, d->quantity[d->room[room].rh].value, m->T_out, m->w_out);
	return breathes(m, room) && isfinite(*out_K) && isfinite(*in_K);
}

int inw_study_ends(const struct inw_study *s, size_t q, double to[INW_MOST_ENDS])
{
	int n = 2;

	to[0] = s->d->quantity[q].low;
	to[1] = s->d->quantity[q].high;
	for (int i = 0; i < s->turns && n < INW_MOST_ENDS; i++)
		if (s->turn[i].q == (inw_q)q)
			to[n++] = s->turn[i].to;
	return n;
}

/* Does a quantity's range move any measure by more than `share` of its value or limit here? */
static bool moves_anything(struct inw_study *s, int state, const struct moved *o, double share)
{
	for (int i = 0; i < s->measures.n; i++) {
		const struct inw_measure *m = &s->measures.m[i];
		double at = inw_study_value(s, i, &s->c[state]);
		double size = share * fmax(fabs(at - (m->dim == INW_DIM_TEMPERATURE ? 273.15 : 0)), isfinite(m->limit) && m->dim != INW_DIM_TEMPERATURE ? 0.01 * fabs(m->limit) : 0);
		for (int e = 0; e < o->n && m->kind != INW_M_BALANCE; e++)
			if (o->ends[i][e] != at && !(fabs(o->ends[i][e] - at) <= size))
				return true; /* NaN at an end too */
	}
	return false;
}

/* What moves no measure by a thousandth in the state that screens is left out in the other states: there are some eighty inputs
 * with a range, and half of them move nothing to speak of. What moves nothing at all may be hidden by that state, as heat
 * that is at its high end there, or a loading below the last one: it is asked again where it may show. */
static bool may_matter(struct inw_study *s, const struct moved *o)
{
	const double little = 1e-3, nothing = 1e-9;

	return moves_anything(s, screen, o, little) || !moves_anything(s, screen, o, nothing);
}

/* A band has two ends, and its worst state (the hottest box, say) has some inputs at one of theirs for good: what lies beyond the
 * other end of the band shows as designed. */
static bool also_reads(const struct inw_study *s, int i, int state)
{
	return state == INW_AS_DESIGNED && s->measures.m[i].sense == INW_WITHIN && s->worst[i] != state && !isnan(s->value[i]);
}

/* Is this number read off this state? */
static bool reads(const struct inw_study *s, int i, int state)
{
	return s->worst[i] == state && !isnan(s->value[i]);
}

/* A trifle, and clearly either one that moves the number or none. */
static bool is_small(const struct inw_study *s, int i, double from, double to)
{
	const struct inw_measure *m = &s->measures.m[i];
	enum inw_scale scale = scale_of(m, s->value[i]);
	double at = scaled(m, scale, from), by = fabs(scaled(m, scale, to) - at), least = unmoved * hypot(1, at);

	return from == to || (by <= s->trifle[i] && !(by > 0.2 * least && by < 5 * least));
}

static bool nothing_counts(struct inw_study *s, const struct inw_case *c, int state, const struct inw_case *near)
{
	for (int i = 0; i < s->measures.n; i++) {
		const struct inw_measure *m = &s->measures.m[i];
		if (m->kind == INW_M_BALANCE || !(s->asks == i || (s->asks < 0 && (reads(s, i, state) || also_reads(s, i, state)))))
			continue;
		if (!is_small(s, i, inw_study_value(s, i, near), inw_study_value(s, i, c)))
			return false;
	}
	return true;
}

/* Move one quantity to the ends of its range in one state. */
static void move_one(struct inw_study *s, int state, struct inw_case *end, struct moved *o)
{
	double keep = s->x[o->q];
	/* with the blower stopped air may settle in several ways: begin at the one that it has */
	struct inw_shift *shift = inw_states[state].speed_factor > 0 ? s->shift[o->q] : NULL;

	s->glances = state != screen;
	o->n = inw_study_ends(s, o->q, o->to);
	for (int e = 0; e < o->n; e++) {
		s->x[o->q] = o->to[e];
		inw_design_follow(s->d, s->x, NULL, 0);
		if (s->shift[o->q]) /* as it was known before any was moved: whoever moved others must not matter */
			inw_study_case(s, end, state, &s->c[state], shift ? &shift[e] : NULL);
		else
			inw_study_same_air(s, end, state, &s->c[state]);
		if (shift && state == screen)
			inw_study_shift(&shift[e], &s->c[state], end);
		for (int i = 0; i < s->measures.n; i++)
			if (state == screen || reads(s, i, state) || also_reads(s, i, state))
				o->ends[i][e] = inw_study_value(s, i, end);
	}
	s->x[o->q] = keep;
	inw_design_follow(s->d, s->x, NULL, 0);
	s->glances = false;
	o->matters = state != screen || may_matter(s, o);
}

static bool any_worst(const struct inw_study *s, int state)
{
	for (int i = 0; i < s->measures.n; i++)
		if (s->worst[i] == state && s->measures.m[i].kind != INW_M_BALANCE)
			return true;
	return false;
}

static unsigned wanted_in(const struct inw_study *s, int state)
{
	unsigned wanted = INW_WANT_AIR;

	for (int i = 0; i < s->measures.n; i++)
		if (s->worst[i] == state)
			wanted |= inw_study_wanted(s, i);
	return wanted;
}

/* A requirement's own range is a choice, not a doubt about the box; but two of that block describe the place. */
static bool is_a_choice(const struct inw_quantity *q)
{
	return strncmp(q->path, "require.", 8) == 0 && strcmp(q->path, "require.mixing") != 0 && strcmp(q->path, "require.noise_distance") != 0;
}

/* Which inputs are moved at all; and room for where moving them leads. */
static int begin_ranges(struct inw_study *s, struct inw_arena *arena)
{
	double to[INW_MOST_ENDS];

	for (size_t q = 0; q < s->d->quantities; q++) {
		const struct inw_quantity *quantity = &s->d->quantity[q];
		s->matters[q] = (s->touched[q] & INW_READ) && !s->follows[q] && quantity->low < quantity->high && !is_a_choice(quantity);
		if (s->matters[q] && (s->moves_air[q] & INW_READ) && !(s->shift[q] = inw_arena_alloc(arena, (size_t)inw_study_ends(s, q, to) * sizeof *s->shift[q])))
			return -1;
	}
	return 0;
}

/* ---- by several threads ---- */

struct inw_study *inw_study_apprentice(const struct inw_study *s, struct inw_arena *arena)
{
	struct inw_study *a = inw_arena_alloc(arena, sizeof *a);

	if (!a)
		return NULL;
	*a = *s;
	a->x = inw_arena_alloc(arena, sizeof(double) * (s->d->quantities + 1));
	a->touched = inw_arena_alloc(arena, s->d->quantities + 1);
	a->moves_air = inw_arena_alloc(arena, s->d->quantities + 1);
	if (!a->x || !a->touched || !a->moves_air)
		return NULL;
	memcpy(a->x, s->x, sizeof(double) * s->d->quantities);
	memcpy(a->moves_air, s->moves_air, s->d->quantities); /* every solve writes to it */
	return a;
}

void inw_study_back(struct inw_study *s, const struct inw_study *apprentice)
{
	for (size_t q = 0; q < s->d->quantities; q++) {
		s->touched[q] |= apprentice->touched[q];
		s->moves_air[q] |= apprentice->moves_air[q];
	}
}

struct crew {
	struct inw_study *s[INW_MOST_HANDS];    /* the first is the study itself */
	struct inw_case *end[INW_MOST_HANDS];
	int hands, state;
	struct moved *moved; size_t count;
	struct spread also[INW_MAX_MEASURES]; /* of bands, as designed */
};

static int crew_make(struct crew *c, struct inw_study *s, int threads, struct inw_arena *arena)
{
	size_t most = 0;

	for (size_t q = 0; q < s->d->quantities; q++)
		most += s->matters[q];
	c->hands = threads;
	c->moved = inw_arena_alloc(arena, sizeof *c->moved * (most + 1));
	if (!c->moved)
		return -1;
	for (int h = 0; h < c->hands; h++) {
		c->s[h] = h ? inw_study_apprentice(s, arena) : s;
		c->end[h] = inw_arena_alloc(arena, sizeof *c->end[h]);
		if (!c->s[h] || !c->end[h])
			return -1;
	}
	return 0;
}

static void move_piece(void *context, int hand, size_t piece)
{
	struct crew *c = context;

	move_one(c->s[hand], c->state, c->end[hand], &c->moved[piece]);
}

/* Of a band, whose scale is plain. */
static void add_squares(struct inw_study *s, struct spread *sum, int i, const struct moved *o)
{
	const double *ends = o->ends[i];
	double at = inw_study_value(s, i, &s->c[INW_AS_DESIGNED]), up = 0, down = 0;

	for (int e = 0; e < o->n; e++) {
		s->broken[i] |= isnan(ends[e]);
		up = fmax(up, ends[e] - at);
		down = fmax(down, at - ends[e]);
	}
	sum->up2 += up * up;
	sum->down2 += down * down;
}

static void widen_bands(struct inw_study *s, const struct crew *c)
{
	for (int i = 0; i < s->measures.n; i++) {
		if (!also_reads(s, i, INW_AS_DESIGNED))
			continue;
		double at = inw_study_value(s, i, &s->c[INW_AS_DESIGNED]);
		s->low[i] = fmin(s->low[i], at - sqrt(c->also[i].down2));
		s->high[i] = fmax(s->high[i], at + sqrt(c->also[i].up2));
	}
}

/* Ours: deviations whose squares are a hundred-millionth of all of the screening state's do not count: whatever is made of them, they
 * change no digit that is shown. */
static void note_trifles(struct inw_study *s, const struct crew *c)
{
	const double little = 1e-4;

	for (int i = 0; i < s->measures.n; i++) {
		const struct inw_measure *m = &s->measures.m[i];
		enum inw_scale scale = scale_of(m, s->value[i]);
		double at = scaled(m, scale, inw_study_value(s, i, &s->c[screen])), sum = 0;
		for (size_t n = 0; n < c->count; n++) {
			double low = scaled(m, scale, c->moved[n].ends[i][0]) - at, high = scaled(m, scale, c->moved[n].ends[i][1]) - at;
			double most = fmax(fabs(low), fabs(high));
			sum += most * most;
		}
		s->trifle[i] = isfinite(sum) ? little * sqrt(sum) : 0;
	}
}

/* Every quantity that matters to either end of its range in one state; every measure whose worst state that is takes notice.
 * Independent ranges: squares of deviations add (GUM, JCGM 100:2008, 5.1.2). */
static void ranges_in(struct inw_study *s, struct crew *c, int state, struct spread *sum)
{
	c->state = state;
	c->count = 0;
	for (size_t q = 0; q < s->d->quantities; q++)
		if (s->matters[q])
			c->moved[c->count++].q = q;
	for (int h = 0; h < c->hands; h++)
		c->s[h]->wanted = state == screen ? INW_WANT_ALL : wanted_in(s, state);
	inw_crew_do(c->hands, c->count, move_piece, c);
	for (size_t n = 0; n < c->count; n++) { /* in the order of the quantities: sums then have the same bits, whoever moved them */
		const struct moved *o = &c->moved[n];
		s->matters[o->q] = o->matters;
		for (int i = 0; i < s->measures.n; i++)
			if (reads(s, i, state))
				deviation(s, &sum[i], i, o);
			else if (also_reads(s, i, state))
				add_squares(s, &c->also[i], i, o);
	}
	for (int h = 1; h < c->hands; h++)
		inw_study_back(s, c->s[h]);
	if (state == screen)
		note_trifles(s, c);
}

/* Air that a blower drives settles in one way only: what lies near is found from the slope. */
static int keep_slopes(struct inw_study *s, struct inw_arena *arena)
{
	for (int k = 0; k < INW_STATES; k++) {
		struct inw_slope *slope = s->c[k].ok && inw_states[k].speed_factor > 0 ? inw_arena_alloc(arena, sizeof *slope) : NULL;
		if (!slope && s->c[k].ok && inw_states[k].speed_factor > 0)
			return -1;
		s->c[k].slope = slope && inw_slope_at(slope, &s->c[k].sol) ? slope : NULL;
	}
	return 0;
}

static void ranges(struct inw_study *s, struct crew *c)
{
	struct spread sum[INW_MAX_MEASURES] = {{0, 0}};

	for (int k = -1; k < INW_STATES; k++) { /* the state that screens goes first */
		int state = k < 0 ? screen : k;
		if (s->c[state].ok && any_worst(s, state) && k != screen)
			ranges_in(s, c, state, sum);
	}
	s->wanted = INW_WANT_ALL;
	for (int i = 0; i < s->measures.n; i++) {
		const struct inw_measure *m = &s->measures.m[i];
		enum inw_scale scale = scale_of(m, s->value[i]);
		double at = scaled(m, scale, s->value[i]), total = 0;
		if (isnan(s->value[i]) || !isfinite(at))
			continue;
		s->low[i] = fmin(s->value[i], unscaled(m, scale, at - sqrt(sum[i].down2)));
		s->high[i] = fmax(s->value[i], unscaled(m, scale, at + sqrt(sum[i].up2)));
		if (m->scale == INW_SCALE_LOG)
			s->low[i] = fmax(s->low[i], 0);
		s->high[i] = fmax(s->value[i], fmin(s->high[i], m->most));
		total = sum[i].up2 + sum[i].down2;
		double spread = sqrt(bad_is_up(m, s->value[i]) ? sum[i].up2 : sum[i].down2);
		for (size_t q = 0; s->bad[i] && q < s->d->quantities; q++)
			s->bad[i][q] = spread > 0 ? s->bad[i][q] / spread : 0;
		for (size_t b = 0; b < s->blames[i]; b++)
			s->blame[i][b].share /= total;
	}
}

void inw_study_bad(struct inw_study *s, int i)
{
	for (size_t q = 0; s->bad[i] && q < s->d->quantities; q++)
		s->x[q] += s->bad[i][q];
	inw_design_follow(s->d, s->x, NULL, 0);
}

void inw_study_good(struct inw_study *s)
{
	for (size_t q = 0; q < s->d->quantities; q++)
		s->x[q] = s->d->quantity[q].value;
}

/* One at a time, inputs may each leave a tight box tight that together open it. So what people breathe is also taken in the
 * likeliest case at the bad end of the inward pressure. */
static void widen_people(struct inw_study *s, struct inw_case *c)
{
	if (s->measures.m[0].kind != INW_M_INWARD_PRESSURE || !s->bad[0])
		return;
	for (int state = 0; state < INW_STATES; state++) {
		if (!s->c[state].ok || !any_worst(s, state))
			continue;
		inw_study_bad(s, 0);
		inw_study_case(s, c, state, &s->c[state], NULL);
		for (int i = 0; i < s->measures.n; i++) {
			const struct inw_measure *m = &s->measures.m[i];
			if (s->worst[i] != state || m->sense != INW_AT_MOST || m->scale != INW_SCALE_LOG || isnan(s->value[i]))
				continue;
			double v = inw_study_value(s, i, c);
			if (isnan(v))
				s->broken[i] = true;
			else
				s->high[i] = fmax(s->high[i], v);
		}
		inw_study_good(s);
	}
}

struct inw_study *inw_study_begin(const struct inw_design *d, const struct inw_job *job, struct inw_arena *arena)
{
	struct inw_study *s = inw_arena_alloc(arena, sizeof *s);

	if (!s)
		return NULL;
	s->d = d;
	s->job = job;
	s->x = inw_arena_alloc(arena, sizeof(double) * (d->quantities + 1));
	s->touched = inw_arena_alloc(arena, d->quantities + 1);
	s->follows = inw_arena_alloc(arena, d->quantities + 1);
	s->moves_air = inw_arena_alloc(arena, d->quantities + 1);
	s->matters = inw_arena_alloc(arena, d->quantities + 1);
	if (!s->x || !s->touched || !s->moves_air || !s->matters || !s->follows || inw_measures_list(&s->measures, d, job, arena))
		return NULL;
	s->wanted = INW_WANT_ALL;
	s->asks = INW_NONE;
	inw_study_good(s);
	return s;
}

void inw_study_states(struct inw_study *s, const struct inw_case *near)
{
	for (int k = 0; k < INW_STATES; k++)
		if (inw_state_arises(s->d, k))
			inw_study_case(s, &s->c[k], k, k ? &s->c[0] : near, NULL);
	for (int i = 0; i < s->measures.n; i++)
		find_worst(s, i);
}

/* Where the ranges of the measures with a limit keep what they find. */
static int room_for_ranges(struct inw_study *s, struct inw_arena *arena)
{
	s->shift = inw_arena_alloc(arena, sizeof *s->shift * (s->d->quantities + 1));
	s->trifle = inw_arena_alloc(arena, sizeof *s->trifle * INW_MAX_MEASURES);
	if (!s->shift || !s->trifle)
		return -1;
	for (int i = 0; i < s->measures.n; i++)
		if (s->measures.m[i].sense != INW_NO_LIMIT && !(s->bad[i] = inw_arena_alloc(arena, sizeof(double) * (s->d->quantities + 1))))
			return -1;
	return 0;
}

struct inw_study *inw_study_run(const struct inw_design *d, const struct inw_job *job, int threads, struct inw_arena *arena)
{
	struct inw_study *s = inw_study_begin(d, job, arena);
	struct crew c = {0};

	if (!s || room_for_ranges(s, arena))
		return NULL;
	inw_study_states(s, NULL);
	find_roots(s);
	s->care = INW_CARE_RANGE; /* of the hands too */
	turns_of_media(s);
	if (s->c[INW_AS_DESIGNED].ok)
		turns_of_warmth(s);
	if (begin_ranges(s, arena) || keep_slopes(s, arena) || crew_make(&c, s, threads, arena))
		return NULL;
	ranges(s, &c);
	widen_bands(s, &c);
	s->care = INW_CARE_FULL;
	widen_people(s, c.end[0]);
	return s;
}
