/* SPDX-License-Identifier: MIT */
#include "show/day_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double day_s = 86400;

int inw_day__column(const struct inw_day_report *r, const char *name)
{
	return inw_series__column(&r->series, name);
}

double inw_day__value(const struct inw_day_report *r, size_t row, int column)
{
	return inw_series__value(&r->series, row, column);
}

double inw_day__time(const struct inw_day_report *r, size_t row)
{
	return inw_series__time(&r->series, row);
}

char *inw_day__clock(char *out, size_t size, const struct inw_day_report *r, double t)
{
	double all = floor((r->start_clock_s + t) / 60 + 0.5), days = floor(all * 60 / day_s);
	int minutes = (int)(all - days * day_s / 60);
	if (r->span_s > day_s)
		snprintf(out, size, "day %.0f, %02d:%02d", days + 1, minutes / 60, minutes % 60);
	else
		snprintf(out, size, "%02d:%02d", minutes / 60, minutes % 60);
	return out;
}

double inw_day__integral(const struct inw_day_report *r, int column, int while_zero)
{
	double sum = 0;
	if (column < 0)
		return NAN;
	for (size_t i = 1; i < r->series.rows; i++)
		if (while_zero < 0 || !(inw_day__value(r, i, while_zero) > 0 || inw_day__value(r, i - 1, while_zero) > 0))
			sum += 0.5 * (inw_day__value(r, i, column) + inw_day__value(r, i - 1, column)) *
			       (inw_day__time(r, i) - inw_day__time(r, i - 1));
	return sum;
}

long inw_day__extreme_row(const struct inw_day_report *r, int column, int sign, int unless)
{
	return inw_series__extreme_row(&r->series, column, sign, unless);
}

double inw_day__most(const struct inw_day_report *r, int column)
{
	long row = inw_day__extreme_row(r, column, 1, INW_NO_COLUMN);
	return row < 0 ? NAN : inw_day__value(r, (size_t)row, column);
}

/* ---- stretches of time ------------------------------------------------------------------------------------------- */

/* Length of what stands before the ending, 0 when the text does not end so. */
static size_t before_ending(const char *text, const char *ending)
{
	size_t n = strlen(text), m = strlen(ending);
	return n > m && strcmp(text + n - m, ending) == 0 ? n - m : 0;
}

size_t inw_day__jobs(const struct inw_day_report *r, struct inw_stretch out[INW_MOST_STRETCHES])
{
	size_t n = 0;
	for (size_t i = 0; i < r->moment_count; i++) {
		const struct inw_moment *m = &r->moments[i];
		size_t begins = before_ending(m->what, " begins"), on = before_ending(m->what, " is on already"), ends = before_ending(m->what, " ends");
		begins = begins ? begins : on;
		if (begins && n < INW_MOST_STRETCHES)
			out[n++] = (struct inw_stretch){m->t, r->span_s, m->what, begins};
		for (size_t k = n; ends && k > 0; k--)
			if (out[k - 1].length == ends && strncmp(out[k - 1].name, m->what, ends) == 0) {
				out[k - 1].to = m->t;
				break;
			}
	}
	return n;
}

size_t inw_day__doors(const struct inw_day_report *r, struct inw_stretch out[INW_MOST_STRETCHES])
{
	int door = inw_day__column(r, "door_open");
	size_t n = 0;
	bool open = false;
	for (size_t i = 0; i < r->series.rows; i++) {
		bool now = inw_day__value(r, i, door) > 0;
		if (now && !open && n < INW_MOST_STRETCHES)
			out[n++] = (struct inw_stretch){inw_day__time(r, i), r->span_s, "", 0};
		if (!now && open && n)
			out[n - 1].to = inw_day__time(r, i);
		open = now;
	}
	return n;
}

/* On the wait after the nth pause began: the verdicts are in the order of the pauses. */
static const struct inw_verdict *wait_of(const struct inw_day_report *r, size_t nth)
{
	static const char id[] = "day_purge[";
	for (size_t i = 0; i < r->verdict_count; i++)
		if (strncmp(r->verdicts[i].id, id, sizeof id - 1) == 0 && nth-- == 0)
			return &r->verdicts[i];
	return NULL;
}

/* Does the cleaner draw air from one time to another? */
static bool runs_on(const struct inw_day_report *r, double from, double to)
{
	int flow = inw_day__column(r, "flows.cleaned");
	const double rest = 1e-7; /* m3/s: less counts as rest */
	for (size_t i = 0; i < r->series.rows; i++)
		if (inw_day__time(r, i) > from && inw_day__time(r, i) < to && !(inw_day__value(r, i, flow) > rest))
			return false;
	return true;
}

bool inw_day__has_door(const struct inw_day_report *r)
{
	return !r->design || r->design->box.has_door;
}

static void look_around(const struct inw_day_report *r, struct inw_wait *w)
{
	struct inw_stretch s[INW_MOST_STRETCHES];
	size_t n = inw_day__jobs(r, s);
	w->opened = w->next = NAN;
	for (size_t i = 0; i < n; i++) {
		if (fabs(s[i].to - w->end) < 1)
			w->job = s[i];
		if (s[i].from >= w->end && isnan(w->next))
			w->next = s[i].from;
	}
	double until = isnan(w->wait) ? isnan(w->next) ? r->span_s : w->next : w->end + w->wait;
	n = inw_day__doors(r, s);
	for (size_t i = 0; i < n; i++)
		if (s[i].from < until && s[i].to > w->end && isnan(w->opened))
			w->opened = fmax(s[i].from, w->end);
	w->known = isnan(w->opened);
	w->runs_on = runs_on(r, w->end, w->known ? until : w->opened);
}

size_t inw_day__waits(const struct inw_day_report *r, struct inw_wait out[INW_MOST_STRETCHES])
{
	int running = inw_day__column(r, "running");
	size_t n = 0;
	for (size_t i = 1; i < r->series.rows && n < INW_MOST_STRETCHES; i++) {
		if (!(inw_day__value(r, i - 1, running) > 0 && inw_day__value(r, i, running) <= 0))
			continue;
		const struct inw_verdict *v = wait_of(r, n);
		out[n] = (struct inw_wait){.end = inw_day__time(r, i), .wait = v ? v->value : NAN, .why = v && v->reason ? v->reason : ""};
		look_around(r, &out[n]);
		if (v && v->word == INW_MISSES && isnan(v->value)) /* of several openings, the first that is too early */
			out[n].opened = out[n].end + v->limit;
		n++;
	}
	return n;
}

/* ---- air --------------------------------------------------------------------------------------------------------- */

/* The nth column whose name stands between `head` and `tail`; what is between goes to `out`. */
static bool between(const struct inw_day_report *r, size_t nth, const char *head, const char *tail, char out[INW_NAME])
{
	size_t h = strlen(head), t = strlen(tail);
	for (size_t i = 0; i < r->series.columns; i++) {
		const char *name = r->series.name[i];
		size_t n = strlen(name);
		if (n < h + t || strncmp(name, head, h) || strcmp(name + n - t, tail) || nth--)
			continue;
		snprintf(out, INW_NAME, "%.*s", (int)(n - h - t), name + h);
		return true;
	}
	return false;
}

bool inw_day__room(const struct inw_day_report *r, size_t index, char out[INW_NAME])
{
	return between(r, index, "particles.room[", "]", out);
}

bool inw_day__gas(const struct inw_day_report *r, size_t index, char out[INW_NAME])
{
	return between(r, index, "gases[", "].box", out);
}

int inw_day__air(const struct inw_day_report *r, const char *gas, const char *room)
{
	char head[INW_NAME + 16], name[2 * INW_NAME + 40];
	if (gas)
		snprintf(head, sizeof head, "gases[%s]", gas);
	else
		snprintf(head, sizeof head, "particles");
	if (room)
		snprintf(name, sizeof name, "%s.room[%s]", head, room);
	else
		snprintf(name, sizeof name, "%s.box", head);
	return inw_day__column(r, name);
}

int inw_day__column_of(const struct inw_day_report *r, const char *gas, const char *what)
{
	char name[2 * INW_NAME];
	if (gas)
		snprintf(name, sizeof name, "gases[%s].%s", gas, what);
	else
		snprintf(name, sizeof name, "particles.%s", what);
	return inw_day__column(r, name);
}

int inw_day__warmth(const struct inw_day_report *r, const char *room)
{
	char name[INW_NAME + 24];
	snprintf(name, sizeof name, "rooms[%s].temperature", room);
	return inw_day__column(r, name);
}

const char *inw_day__gas_title(const struct inw_day_report *r, const char *gas)
{
	for (size_t i = 0; r->design && i < r->design->catalog.substances; i++)
		if (strcmp(r->design->catalog.substance[i].name, gas) == 0)
			return r->design->catalog.substance[i].title;
	return gas;
}

double inw_day__limit(const struct inw_day_report *r, const char *gas, enum inw_limit_kind kind)
{
	double least = NAN;
	for (size_t i = 0; r->design && i < r->design->catalog.substances; i++) {
		const struct inw_substance *s = &r->design->catalog.substance[i];
		if (strcmp(s->name, gas))
			continue;
		for (size_t k = 0; k < s->limit_count; k++)
			if (s->limits[k].kind == kind)
				least = fmin(least, r->design->quantity[s->limits[k].value].value); /* fmin passes over NaN */
	}
	return least;
}

bool inw_day__has_person(const struct inw_day_report *r, enum inw_person_kind kind)
{
	for (size_t i = 0; r->design && i < r->design->persons; i++)
		if (r->design->person[i].kind == kind)
			return true;
	return false;
}
