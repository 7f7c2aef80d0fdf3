/* SPDX-License-Identifier: MIT */
/* day_program.c: the clock of a day: which job runs, what is open, what comes off, and when any of it changes. */
#include <math.h>
#include <string.h>

#include "solve/day_within.h"

static const double day_s = 86400;

/* ---- what is on at a moment ---- */

/* Seconds from the start of the day's run to the first time the clock shows `clock`. */
static double first_at(const struct inw_day_sim *s, double clock)
{
	double t = fmod(clock - s->clock, day_s);

	return t < 0 ? t + day_s : t;
}

/* Is t, s since the run's start, on one of these weekdays? */
static bool is_day(const struct inw_day_sim *s, unsigned char days, double t)
{
	double midnights = floor((s->clock + t) / day_s + 1e-9) + s->d->day.weekday; /* t may be before the run's start */

	return days >> (int)(midnights - 7 * floor(midnights / 7)) & 1;
}

/* The last time up to t, also before the run's start, that the clock shows `clock` on one of these weekdays. */
static double last_at(const struct inw_day_sim *s, double clock, unsigned char days, double t)
{
	double first = first_at(s, clock), at = first + day_s * floor((t + 1e-9 - first) / day_s);

	for (int k = 0; k < 7 && !is_day(s, days, at); k++)
		at -= day_s;
	return at;
}

/* Start of the job's run that covers t or was the last to begin, NAN when none has begun. */
static double latest_start(const struct inw_day_sim *s, const struct inw_job *job)
{
	double at = last_at(s, s->given[job->start], job->days, s->t), long_enough = s->given[job->duration];

	/* a run that began before the day did still goes on into it */
	return at >= 0 || at + long_enough > 0 ? at : NAN;
}

void inw_day_find_job(struct inw_day_sim *s)
{
	double best = -INFINITY, ended = -INFINITY;
	int last = -1;

	s->job = -1;
	for (int j = 0; j < (int)s->d->jobs; j++) {
		const struct inw_job *job = &s->d->job[j];
		/* the last run to have ended: whatever is told of durations, an end that is still to come is none */
		double lasts = s->given[job->duration], run_before = last_at(s, s->given[job->start], job->days, s->t - lasts) + lasts;
		double at = latest_start(s, job), end = at + lasts;
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
	double at = last_at(s, s->given[a->at], a->days, s->t);

	if (at < 0)
		return NAN;
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

void inw_day_apply_doings(struct inw_day_sim *s)
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
double inw_day_outdoor_T(const struct inw_day_sim *s, double t)
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
	return s->given[m->afterglow] * exp(-fmax(t - s->ended[job], 0) / s->given[m->afterglow_time]);
}

/* kg/s of a substance into the box at time t: the running job, and the warm parts of those that have ended, which stay. */
double inw_day_gas_emission(const struct inw_day_sim *s, int substance, double t)
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

double inw_day_particle_emission(const struct inw_day_sim *s, int bin)
{
	if (s->job < 0)
		return 0;
	const struct inw_material *m = &s->d->catalog.material[s->d->job[s->job].material];
	double rate = emission_of(s, s->job, m->particles, m->particles_per) * burst(s, m->burst_particles, m->burst_time);
	return rate * s->share[s->job][bin];
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

static void add_daily(struct inw_day_sim *s, double clock, double lasts, unsigned char days)
{
	for (double at = first_at(s, clock) - 7 * day_s; at < s->end; at += day_s) { /* what began in the week before may end in the run */
		if (!is_day(s, days, at))
			continue;
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

void inw_day_list_events(struct inw_day_sim *s)
{
	const struct inw_design *d = s->d;

	for (size_t j = 0; j < d->jobs; j++) {
		const struct inw_material *m = &d->catalog.material[d->job[j].material];
		add_daily(s, s->given[d->job[j].start], s->given[d->job[j].duration], d->job[j].days);
		if (m->burst_time >= 0)
			add_daily(s, s->given[d->job[j].start], s->given[m->burst_time], d->job[j].days);
	}
	for (size_t i = 0; i < d->day.doings; i++)
		add_daily(s, s->given[d->day.doing[i].at], d->day.doing[i].lasts >= 0 ? s->given[d->day.doing[i].lasts] : 0, d->day.doing[i].days);
	for (size_t i = 0; i < d->persons; i++) /* what people breathe changes where they come and go: a row stands there */
		for (size_t k = 0; k < d->person[i].stays; k++) {
			add_daily(s, s->given[d->person[i].stay[k].from], 0, INW_EVERY_DAY);
			add_daily(s, s->given[d->person[i].stay[k].to], 0, INW_EVERY_DAY);
		}
	for (size_t i = 0; i < d->day.weathers; i++)
		add_daily(s, s->given[d->day.weather[i].at], 0, INW_EVERY_DAY);
	sort(s->event, s->events);
}

void inw_day_stop_at(struct inw_day_sim *s, double t)
{
	add_event(s, t);
	sort(s->event, s->events);
}

const struct inw_stay *inw_person_stay(const struct inw_person *p, const double *given, double clock)
{
	for (size_t i = 0; i < p->stays; i++) {
		double from = given[p->stay[i].from], to = given[p->stay[i].to];
		if (from < to ? clock >= from && clock < to : clock >= from || clock < to)
			return p->stay[i].room >= 0 ? &p->stay[i] : NULL;
	}
	return NULL;
}
