/* SPDX-License-Identifier: MIT */
/* day_begins.c: when a day begins that the file leaves open, and what a day would cut that begins at some hour.
 *
 * A day begins with clean air. It understates what somebody breathes when a job is under way then, when somebody is there
 * already, and when somebody comes before the next job begins: all these meet what the day before has left.
 */
#include <math.h>

#include "design/read.h"

static const double day_s = 86400;

/* Seconds from `from` on to the next time the clock shows `to`; 0 when it does now. */
static double until(double from, double to)
{
	return fmod(to - from + day_s, day_s);
}

/* Has what began at `start` by the clock been on for a while at `clock`, and goes on? */
static bool is_under_way(double clock, double start, double lasts)
{
	double since = until(start, clock);

	return since > 0 && since < lasts;
}

static double stay_lasts(const struct inw_stay *stay, const double *x)
{
	double lasts = until(x[stay->from], x[stay->to]);

	return lasts > 0 ? lasts : day_s;
}

static double next_job(const struct inw_design *d, const double *x, double clock)
{
	double soonest = INFINITY;

	for (size_t j = 0; j < d->jobs; j++)
		soonest = fmin(soonest, until(clock, x[d->job[j].start]));
	return soonest;
}

/* Or ends just then. */
static bool some_job_runs(const struct inw_design *d, const double *x, double clock)
{
	for (size_t j = 0; j < d->jobs; j++)
		if (is_under_way(clock, x[d->job[j].start], x[d->job[j].duration]) || until(x[d->job[j].start] + x[d->job[j].duration], clock + day_s) == 0
		    || x[d->job[j].duration] >= day_s)
			return true;
	return false;
}

static bool cuts(const struct inw_design *d, const double *x, double clock, const struct inw_person *person)
{
	double soonest = next_job(d, x, clock);

	for (size_t k = 0; k < person->stays; k++) {
		const struct inw_stay *stay = &person->stay[k];

		if (stay->room >= 0 && (is_under_way(clock, x[stay->from], stay_lasts(stay, x)) || until(clock, x[stay->from]) < soonest))
			return true;
	}
	return person->stays > 0 && some_job_runs(d, x, clock);
}

/* Does a day that begins then leave out nothing of the day before? */
static bool is_whole(const struct inw_design *d, const double *x, double clock)
{
	for (size_t i = 0; i < d->persons; i++)
		if (cuts(d, x, clock, &d->person[i]))
			return false;
	for (size_t i = 0; i < d->day.doings; i++)
		if (d->day.doing[i].lasts >= 0 && is_under_way(clock, x[d->day.doing[i].at], x[d->day.doing[i].lasts]))
			return false;
	return !some_job_runs(d, x, clock);
}

/* Seconds since the last job ended, as if all ran every day; 0 while one runs or begins. */
static double at_rest(const struct inw_design *d, const double *x, double clock)
{
	double least = INFINITY;

	if (some_job_runs(d, x, clock) || next_job(d, x, clock) == 0)
		return 0;
	for (size_t j = 0; j < d->jobs; j++)
		least = fmin(least, until(x[d->job[j].start] + x[d->job[j].duration], clock + day_s));
	return least;
}

/* Midnight, unless it cuts something: then the half hour, the longest after the last job's end, at which nothing is cut, or
 * at least no job (`whole` says which). */
static double choose_clock(const struct inw_design *d, const double *x, bool *whole)
{
	const double half_hour = 1800;
	double best = 0, rest = 0;

	*whole = is_whole(d, x, 0);
	if (*whole)
		return 0;
	for (double at = 0; at < day_s; at += half_hour) {
		bool better = is_whole(d, x, at);

		if (better == *whole ? at_rest(d, x, at) > rest : better) {
			*whole = better;
			best = at;
			rest = at_rest(d, x, at);
		}
	}
	return best;
}

/* How many jobs begin in the day from `clock` on the weekday. */
static int jobs_on(const struct inw_design *d, const double *x, double clock, int weekday)
{
	int count = 0;

	for (size_t j = 0; j < d->jobs; j++)
		count += d->job[j].days >> (weekday + (x[d->job[j].start] < clock)) % 7 & 1;
	return count;
}

static int choose_weekday(const struct inw_design *d, const double *x)
{
	int best = 0;

	for (int k = 1; k < 7; k++)
		if (jobs_on(d, x, x[d->day.start], k) > jobs_on(d, x, x[d->day.start], best))
			best = k;
	return best;
}

double inw_day_next_run(const struct inw_design *d, const double *x, const struct inw_job *job, double from)
{
	double t = until(x[d->day.start], x[job->start]);

	while (job->days && (t < from || !(job->days >> inw_day_weekday(d, x, t) & 1)))
		t += day_s;
	return t;
}

int inw_day_weekday(const struct inw_design *d, const double *x, double t)
{
	return (d->day.weekday + (int)floor((x[d->day.start] + t) / day_s + 1e-9)) % 7;
}

/* A default that is not the catalog's number. */
static void settle(struct inw_reader *r, inw_q q, double *x, double value, const char *source)
{
	struct inw_quantity *v = &r->d->quantity[q];

	v->value = v->low = v->high = x[q] = value;
	v->source = source;
}

void inw_day_settle(struct inw_reader *r)
{
	static const char chosen[] = "chosen by us so that no mean over hours is cut";
	struct inw_design *d = r->d;
	struct inw_day *day = &d->day;
	double *x = inw_take(r, d->quantities, sizeof *x);
	bool whole = true;

	if (!x || r->diags->errors > r->errors_before || day->start < 0 || day->span < 0)
		return;
	for (size_t q = 0; q < d->quantities; q++)
		x[q] = d->quantity[q].value;
	day->begins = INW_BEGINS_AS_SAID;
	if (d->quantity[day->start].origin == INW_FROM_DEFAULT) {
		double clock = choose_clock(d, x, &whole);

		if (clock > 0)
			settle(r, day->start, x, clock, chosen);
		day->begins = whole ? INW_BEGINS_WHOLE : INW_BEGINS_CUT;
		if (!whole && d->quantity[day->span].origin == INW_FROM_DEFAULT)
			settle(r, day->span, x, 2 * day_s, chosen);
	}
	if (!day->weekday_said)
		day->weekday = choose_weekday(d, x);
}
