/* SPDX-License-Identifier: MIT */
/* day_text.c: a day for a person at a terminal: the answer, what each person met, the pull of the box, when the door may
 * be opened, electricity, the hours, every verdict, what to bear in mind. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "show/bed_panel.h"
#include "show/day_parts.h"
#include "show/verdicts.h"

struct day {
	const struct inw_day_report *r;
	struct inw_page *p;
};

static size_t count(const struct inw_day_report *r, enum inw_word word)
{
	size_t n = 0;
	for (size_t i = 0; i < r->verdict_count; i++)
		n += r->verdicts[i].word == word;
	return n;
}

static void number_line(const struct day *d, const char *name, double value, enum inw_dim dim)
{
	char number[INW_CELL];
	if (!isnan(value))
		inw_text_printf(&d->p->t, "  %-52s %20s\n", name, inw_show__number(number, sizeof number, value, dim, d->p->units));
}

static const struct inw_verdict *verdict_of(const struct inw_day_report *r, const char *id)
{
	for (size_t i = 0; i < r->verdict_count; i++)
		if (strcmp(r->verdicts[i].id, id) == 0)
			return &r->verdicts[i];
	return NULL;
}

/* ---- the summary ------------------------------------------------------------------------------------------------- */

static const char *overall(enum inw_word word)
{
	switch (word) {
	case INW_MEETS: return "MEETS all that a day judges (pull, heat, air, door)";
	case INW_MISSES: return "MISSES what is required in this day";
	case INW_IN_DOUBT: return "IN DOUBT";
	case INW_STATED: return "STATED: no requirement applies";
	case INW_CANNOT_TELL: break;
	}
	return "CANNOT TELL";
}

static void summary(const struct day *d)
{
	const struct inw_day_report *r = d->r;
	const struct inw_verdict *w = inw_show__worst(r->verdicts, r->verdict_count);
	const struct inw_verdict *v = w ? w : inw_show__closest(r->verdicts, r->verdict_count);
	size_t met = count(r, INW_MEETS), missed = count(r, INW_MISSES), doubt = count(r, INW_IN_DOUBT),
	       open = count(r, INW_CANNOT_TELL);
	char value[INW_CELL], limit[3 * INW_CELL], span[INW_CELL], from[INW_CELL];
	inw_show__wrapf(d->p, "Verdict: ", 9, "%s. Of %zu checks: %zu met, %zu missed, %zu in doubt, %zu cannot be told.",
	                overall(r->overall), met + missed + doubt + open, met, missed, doubt, open);
	if (inw_show__planned(r->design))
		inw_show__wrap(d->p, "Planned: ", 9, inw_show__planned(r->design));
	if (v) {
		inw_show__number(value, sizeof value, v->value, v->dim, d->p->units);
		inw_show__limit_words(limit, sizeof limit, v, d->p->units);
		inw_show__wrapf(d->p, w ? "Worst: " : "Closest call: ", 9, "%s: %s (%s)", v->title, value, limit);
	} else {
		inw_show__wrap(d->p, "Worst: ", 9, "nothing was checked against a limit.");
	}
	inw_show__number(span, sizeof span, r->span_s, INW_DIM_TIME, d->p->units);
	inw_show__wrapf(d->p, "Day: ", 9,
	                "%s from %s, at best-estimate inputs: what is met here may fail at the bad end of what is assumed, "
	                "which 'inward check' tells, and 'inward odds --day' for the wait and the hours.",
	                span, inw_day__clock(from, sizeof from, r, 0));
	if (r->begins)
		inw_show__wrap(d->p, "Begins: ", 9, r->begins);
	inw_text_add(&d->p->t, "\n");
	inw_show__wrapf(d->p, "", 2, "%s (%s)", r->title ? r->title : "", r->file ? r->file : "");
}

/* ---- people ------------------------------------------------------------------------------------------------------ */

enum { SPANS = 4, MOST_PEOPLE = 64 };

struct people {
	const struct inw_day_report *r;
	const char *const *id; /* verdicts of this kind of person */
	char name[MOST_PEOPLE][INW_NAME];
	size_t count;
};

/* "day_air_8h[mender]" is of the kind "day_air_8h"; the person's name goes to `who`. */
static bool is_of(const char *id, const char *kind, char who[INW_NAME])
{
	size_t n = strlen(kind), m = strlen(id);
	if (strncmp(id, kind, n) || id[n] != '[' || id[m - 1] != ']')
		return false;
	snprintf(who, INW_NAME, "%.*s", (int)(m - n - 2), id + n + 1);
	return true;
}

/* Whoever has a verdict of one of the first three ids, which only people of this kind have. */
static void find_people(struct people *p)
{
	char who[INW_NAME];
	for (size_t i = 0; i < p->r->verdict_count; i++)
		for (size_t k = 0; k + 1 < SPANS; k++) {
			bool before = false;
			if (!is_of(p->r->verdicts[i].id, p->id[k], who))
				continue;
			for (size_t j = 0; j < p->count && !before; j++)
				before = strcmp(p->name[j], who) == 0;
			if (!before && p->count < MOST_PEOPLE)
				memcpy(p->name[p->count++], who, INW_NAME);
		}
}

static const char *person_name(const void *context, size_t row)
{
	const struct people *p = context;
	return p->name[row];
}

/* Share of what is allowed, in words that stay readable over many powers of ten. */
static void share_words(char out[INW_CELL], double share)
{
	char number[INW_NUMBER_SIZE];
	if (!isfinite(share))
		snprintf(out, INW_CELL, "no number");
	else if (share > 0 && share < 1e-4)
		snprintf(out, INW_CELL, "< 0.01 %%");
	else if (share >= 10)
		snprintf(out, INW_CELL, "%s times", inw_number_write(number, share, share < 100 ? 2 : 3));
	else
		snprintf(out, INW_CELL, "%s %%", inw_number_write(number, 100 * share, 2));
}

static void person_cell(const void *context, size_t row, size_t column, char out[INW_CELL])
{
	const struct people *p = context;
	char who[INW_NAME], share[INW_CELL];
	snprintf(out, INW_CELL, "-");
	for (size_t i = 0; i < p->r->verdict_count; i++) {
		const struct inw_verdict *v = &p->r->verdicts[i];
		if (!is_of(v->id, p->id[column], who) || strcmp(who, p->name[row]) || v->sense != INW_AT_MOST)
			continue;
		if (v->word == INW_STATED) {
			snprintf(out, INW_CELL, "not there");
			continue;
		}
		share_words(share, v->value / v->limit);
		snprintf(out, INW_CELL, "%.40s %s", share,
		         v->word == INW_MEETS ? "+" : v->word == INW_MISSES ? "!" : "?");
	}
}

static size_t show_kind(const struct day *d, const char *const head[SPANS + 1], const char *const id[SPANS])
{
	struct people people = {.r = d->r, .id = id};
	find_people(&people);
	const struct inw_table table = {&people, head, people.count, SPANS, person_name, person_cell};
	if (people.count)
		inw_text_add(&d->p->t, "\n");
	inw_show__table(d->p, &table, 2);
	return people.count;
}

static void show_people(const struct day *d)
{
	static const char *const work_head[] = {"At work", "working day", "worst 15 min", "worst moment", "particles, 1 h"};
	static const char *const work[] = {"day_air_8h", "day_air_15min", "day_air_peak", "day_particles"};
	static const char *const home_head[] = {"Resident", "the whole day", "worst 8 hours", "worst hour", "particles, 1 h"};
	static const char *const home[] = {"day_air_24h", "day_air_home_8h", "day_air_1h", "day_particles"};
	inw_show__title(d->p, "What each person breathes, as a share of what is allowed", NULL);
	size_t n = show_kind(d, work_head, work);
	n += show_kind(d, home_head, home);
	if (!n) {
		inw_show__wrap(d->p, "  ", 2, "Nobody stands in the design file, or no limit is known for any gas of the day.");
		return;
	}
	inw_text_add(&d->p->t, "\n");
	inw_show__wrap(d->p, "  ", 2,
	               "100 % is the limit for that span of time, of a working day that of 8 hours; the gases of the machine are added up, each against its own "
	               "limit. + met, ! missed, ? cannot be told (why stands below), - no limit of this kind.");
}

/* ---- the box ----------------------------------------------------------------------------------------------------- */

/* Seconds in which `column` times `sign` is above `limit` while the door is shut. A row shows what holds from then on. */
static double time_above(const struct inw_day_report *r, int column, int sign, double limit)
{
	int door = inw_day__column(r, "door_open");
	double sum = 0;
	for (size_t i = 0; i + 1 < r->series.rows; i++)
		if (sign * inw_day__value(r, i, column) > limit && !(inw_day__value(r, i, door) > 0))
			sum += inw_day__time(r, i + 1) - inw_day__time(r, i);
	return sum;
}

static void show_rooms(const struct day *d)
{
	char clock[INW_CELL], room[INW_NAME], name[INW_NAME + INW_CELL + 32];
	for (size_t i = 0; inw_day__room(d->r, i, room); i++) {
		int column = inw_day__warmth(d->r, room);
		long hot = inw_day__extreme_row(d->r, column, 1, INW_NO_COLUMN), cold = inw_day__extreme_row(d->r, column, -1, INW_NO_COLUMN);
		if (hot < 0)
			continue;
		double high = inw_day__value(d->r, (size_t)hot, column);
		snprintf(name, sizeof name, high > inw_day__value(d->r, (size_t)cold, column) ? "%.30s at its warmest, at %s" : "%.30s, all day", room,
		         inw_day__clock(clock, sizeof clock, d->r, inw_day__time(d->r, (size_t)hot)));
		number_line(d, name, high, INW_DIM_TEMPERATURE);
	}
}

static void show_pull(const struct day *d)
{
	char value[INW_CELL], clock[INW_CELL], limit[3 * INW_CELL], name[2 * INW_CELL];
	const struct inw_day_report *r = d->r;
	const struct inw_verdict *v = verdict_of(r, "day_inward_pressure");
	int pull = inw_day__column(r, "box.inward_pressure"), warmth = inw_day__column(r, "box.temperature");
	long row = inw_day__extreme_row(r, pull, -1, inw_day__column(r, "door_open"));
	long hot = inw_day__extreme_row(r, warmth, 1, INW_NO_COLUMN);
	inw_show__title(d->p, "The box through the day", NULL);
	if (row >= 0) {
		double least = inw_day__value(r, (size_t)row, pull);
		inw_show__number(value, sizeof value, least, INW_DIM_PRESSURE, d->p->units);
		if (v)
			inw_show__limit_words(limit, sizeof limit, v, d->p->units);
		inw_show__wrapf(d->p, "  ", 2, "Pull inward at the worst gap while the door is shut: least at %s with %s (%s). %s",
		                inw_day__clock(clock, sizeof clock, r, inw_day__time(r, (size_t)row)), value, v ? limit : "no limit",
		                least < 0 ? "A minus sign means that air is pressed OUT."
		                : v && least < v->limit ? "In still air none leaves by a gap; draughts may carry some out." : "Air never leaves by a gap.");
	}
	if (v && v->sense == INW_AT_LEAST)
		number_line(d, "Time with less pull than is wanted", time_above(r, pull, -1, -v->limit), INW_DIM_TIME);
	number_line(d, "Time in which air left the box by a gap", time_above(r, inw_day__column(r, "flows.escaped"), 1, 0), INW_DIM_TIME);
	number_line(d, "Air that left the box uncleaned by gaps, door shut",
	            inw_day__integral(r, inw_day__column(r, "flows.escaped"), inw_day__column(r, "door_open")),
	            INW_DIM_VOLUME);
	if (hot >= 0) {
		snprintf(name, sizeof name, "Box air at its hottest, at %s",
		         inw_day__clock(clock, sizeof clock, r, inw_day__time(r, (size_t)hot)));
		number_line(d, name, inw_day__value(r, (size_t)hot, warmth), INW_DIM_TEMPERATURE);
	}
	show_rooms(d);
}

/* ---- the door ---------------------------------------------------------------------------------------------------- */

/* What is said of a wait whose door nobody opens too early. */
static void say_clearing(const struct day *d, const struct inw_wait *w, const char *job, const char *end)
{
	char at[INW_CELL], wait[INW_CELL];
	bool door = inw_day__has_door(d->r);
	const char *with = d->r->design && !d->r->design->cleaner.present ? "" : w->runs_on ? " with the blower running" : " with the blower as it runs in this day";
	if (isnan(w->wait)) {
		inw_day__clock(at, sizeof at, d->r, isnan(w->next) ? d->r->span_s : w->next);
		inw_show__wrapf(d->p, "  ", 4, "%s ends at %s. %she box has not cleared %s at %s.", job, end, door ? "Do not open the door: t" : "T",
		                isnan(w->next) ? "when the run stops" : "when the next job begins", at);
		return;
	}
	inw_show__number(wait, sizeof wait, w->wait, INW_DIM_TIME, d->p->units);
	inw_day__clock(at, sizeof at, d->r, w->end + w->wait);
	inw_show__wrapf(d->p, "  ", 4, door ? "%s ends at %s. Wait %s%s: the door may be opened from %s." : "%s ends at %s. %s later%s the box has cleared, at %s.",
	                job, end, wait, with, at);
}

static void say_wait(const struct day *d, const struct inw_wait *w)
{
	char end[INW_CELL], at[INW_CELL], wait[INW_CELL], job[INW_NAME + 16];
	const char *blower = d->r->design && !d->r->design->cleaner.present ? "" : " with the blower running";
	snprintf(job, sizeof job, "%.*s", w->job.length ? (int)w->job.length : 7, w->job.length ? w->job.name : "The job");
	inw_day__clock(end, sizeof end, d->r, w->end);
	if (w->known) { /* nobody opens it */
		say_clearing(d, w, job, end);
		return;
	}
	inw_day__clock(at, sizeof at, d->r, w->opened);
	if (!isnan(w->wait))
		inw_show__wrapf(d->p, "  ", 4, "%s ends at %s. Wait %s%s: the door is opened at %s, too early.", job, end,
		                inw_show__number(wait, sizeof wait, w->wait, INW_DIM_TIME, d->p->units), blower, at);
	else
		inw_show__wrapf(d->p, "  ", 4, "%s ends at %s. The door is opened at %s, before the box has cleared: what is in it goes into "
		                "the room. %s", job, end, at, w->why);
}

/* What whoever opens the door too early meets, listed or not. */
static void say_openers(const struct day *d)
{
	static const char id[] = "day_opener[";
	char share[INW_CELL];
	for (size_t i = 0; i < d->r->verdict_count; i++) {
		const struct inw_verdict *v = &d->r->verdicts[i];
		if (strncmp(v->id, id, sizeof id - 1))
			continue;
		share_words(share, v->value / v->limit);
		inw_show__wrapf(d->p, "  ", 4, "Whoever opens it so early meets in 15 minutes, of the gases, %s%s of what is allowed for so short a time. %s",
		                v->word == INW_CANNOT_TELL && v->value >= 1e-4 ? "at least " : "", share, v->reason);
	}
}

static void show_door(const struct day *d)
{
	struct inw_wait w[INW_MOST_STRETCHES];
	size_t n = inw_day__waits(d->r, w);
	inw_show__title(d->p, inw_day__has_door(d->r) ? "When the door may be opened" : "When the box has cleared", NULL);
	for (size_t i = 0; i < n; i++)
		say_wait(d, &w[i]);
	say_openers(d);
	if (!n)
		inw_show__wrap(d->p, "  ", 2, "No job ends within this run.");
}

/* ---- electricity and what came off ------------------------------------------------------------------------------- */

static double value_of(const struct inw_day_report *r, const char *id)
{
	const struct inw_verdict *v = verdict_of(r, id);
	return v ? v->value : NAN;
}

static void show_totals(const struct day *d)
{
	const struct inw_day_report *r = d->r;
	double heater = inw_day__integral(r, inw_day__column(r, "heat.heater"), INW_NO_COLUMN);
	double emitted = value_of(r, "day_gas_emitted"), kept = value_of(r, "day_gas_kept");
	inw_show__title(d->p, "Electricity, gas and dust", NULL);
	number_line(d, "Electricity of machine, blower and heater", value_of(r, "day_energy"), INW_DIM_ENERGY);
	if (heater > 0)
		number_line(d, "  of which the chamber heater", heater, INW_DIM_ENERGY);
	number_line(d, "Gas given off by the jobs", emitted, INW_DIM_MASS);
	number_line(d, "  of which taken up by the carbon", kept, INW_DIM_MASS);
	if (emitted > 0)
		number_line(d, "  as a share", kept / emitted, INW_DIM_FRACTION);
	for (size_t i = 0; i < r->verdict_count; i++)
		if (strncmp(r->verdicts[i].id, "day_medium_", 11) == 0)
			number_line(d, r->verdicts[i].title, r->verdicts[i].value, r->verdicts[i].dim);
}

/* ---- the hours --------------------------------------------------------------------------------------------------- */

static const char *substance_words(const struct inw_day_report *r, const char *name)
{
	return strcmp(name, "water") == 0 ? "water" : inw_day__gas_title(r, name);
}

/* How far the front of the gas that is held most has come in each bed. */
static void show_fronts(const struct day *d, size_t substance)
{
	const struct inw_day_report *r = d->r;
	char front[INW_CELL], depth[INW_CELL];
	for (size_t k = 0; k < r->bed_count; k++) {
		const struct inw_bed_profile *b = &r->beds[k];
		double deep = inw_bed__front_m(b, substance, b->times - 1);
		const char *what = substance_words(r, b->substance[substance]);
		inw_show__number(front, sizeof front, deep, INW_DIM_LENGTH, d->p->units);
		inw_show__number(depth, sizeof depth, b->depth_m, INW_DIM_LENGTH, d->p->units);
		if (isnan(deep))
			inw_show__wrapf(d->p, "  ", 4, "In '%s' there is no %s.", b->stage, what);
		else if (deep < b->depth_m)
			inw_show__wrapf(d->p, "  ", 4, "In '%s' the loading with %s falls to half of its highest %s from where the air enters; the bed is %s deep.",
			                b->stage, what, front, depth);
		else
			inw_show__wrapf(d->p, "  ", 4, "In '%s', %s deep, the loading with %s is more than half of its highest to the very end.", b->stage, depth, what);
	}
}

static void show_carbon(const struct day *d)
{
	const struct inw_day_report *r = d->r;
	enum { MOST = 20 };
	size_t order[MOST], n = inw_bed__order(r->beds, r->bed_count, order, MOST);
	char number[INW_CELL], clock[INW_CELL];
	if (d->p->detail == INW_BRIEF || !r->bed_count)
		return;
	inw_show__title(d->p, "What the carbon holds at the end", NULL);
	for (size_t i = 0; i < n; i++)
		number_line(d, substance_words(r, r->beds->substance[order[i]]), inw_bed__held_kg(r->beds, r->bed_count, order[i], r->beds->times - 1), INW_DIM_MASS);
	double used = inw_bed__share_used(r->beds, r->bed_count);
	if (!isnan(used))
		inw_show__wrapf(d->p, "  ", 4, "All gases together are %s of what the carbon would take up if the strongest air of the run, that of %s, went on coming.",
		                inw_show__number(number, sizeof number, used, INW_DIM_FRACTION, d->p->units),
		                inw_day__clock(clock, sizeof clock, r, r->beds->strongest_t));
	if (n && strcmp(r->beds->substance[order[0]], "water") != 0)
		show_fronts(d, order[0]);
	if (!n)
		inw_show__wrap(d->p, "  ", 2, "Nothing.");
}

static void show_moments(const struct day *d)
{
	char clock[INW_CELL], head[INW_CELL + 8];
	inw_show__title(d->p, "What happens when", NULL);
	for (size_t i = 0; i < d->r->moment_count; i++) {
		snprintf(head, sizeof head, "  %s  ", inw_day__clock(clock, sizeof clock, d->r, d->r->moments[i].t));
		inw_show__wrap(d->p, head, (int)strlen(head), d->r->moments[i].what);
	}
	if (!d->r->moment_count)
		inw_show__wrap(d->p, "  ", 2, "Nothing: no job runs and no door is opened.");
}

enum { SLICES = 24 };

struct hours {
	const struct day *d;
	char clock[SLICES][INW_CELL];
};

static const char *hour_name(const void *context, size_t row)
{
	const struct hours *h = context;
	return h->clock[row];
}

/* Least (sign -1) or greatest (1) of a column within one slice of the run; NaN when it has no number. */
static double extreme(const struct inw_day_report *r, size_t slice, int column, int sign)
{
	double best = NAN, width = r->span_s / SLICES;
	for (size_t i = 0; i < r->series.rows; i++) {
		double t = inw_day__time(r, i), v = inw_day__value(r, i, column);
		bool last = i + 1 == r->series.rows;
		/* a row stands for the time until the next one: long steps reach into slices that hold no row */
		double until = last ? t : inw_day__time(r, i + 1);
		if (t >= ((double)slice + 1) * width || until < (double)slice * width || isnan(v))
			continue;
		if (isnan(best) || (v - best) * sign > 0)
			best = v;
	}
	return best;
}

static void hour_cell(const void *context, size_t row, size_t column, char out[INW_CELL])
{
	static const struct {
		const char *name;
		enum inw_dim dim;
		int sign;
	} what[] = {
		{"box.temperature", INW_DIM_TEMPERATURE, 1},
		{"box.inward_pressure", INW_DIM_PRESSURE, -1},
		{"particles.box", INW_DIM_NUMBER_CONCENTRATION, 1},
		{"power", INW_DIM_POWER, 1},
	};
	const struct hours *h = context;
	double v = extreme(h->d->r, row, inw_day__column(h->d->r, what[column].name), what[column].sign);
	if (what[column].dim == INW_DIM_NUMBER_CONCENTRATION && v < 1) /* under one in a cubic metre: rounding */
		v = 0;
	inw_show__number(out, INW_CELL, v, what[column].dim, h->d->p->units);
}

static void show_hours(const struct day *d)
{
	static const char *const head[] = {"From", "hottest", "least pull", "particles in box", "most power"};
	struct hours h = {.d = d};
	const struct inw_table table = {&h, head, SLICES, 4, hour_name, hour_cell};
	if (d->p->detail == INW_BRIEF || !d->r->series.rows)
		return;
	for (size_t i = 0; i < SLICES; i++)
		inw_day__clock(h.clock[i], sizeof h.clock[i], d->r, (double)i * d->r->span_s / SLICES);
	inw_text_add(&d->p->t, "\n");
	inw_show__table(d->p, &table, 2);
}

/* ---- verdicts ---------------------------------------------------------------------------------------------------- */

static const char *meaning(enum inw_word word)
{
	switch (word) {
	case INW_MEETS: return "met at the best estimate of the inputs";
	case INW_IN_DOUBT: return "met, but not for certain";
	case INW_MISSES:
	case INW_CANNOT_TELL:
	case INW_STATED: break;
	}
	return inw_show__word_meaning(word);
}

/* Reasons of a group, each once: the same gap in what is known stands behind many numbers. */
static void show_reasons(const struct day *d, enum inw_word word)
{
	const struct inw_day_report *r = d->r;
	for (size_t i = 0; i < r->verdict_count; i++) {
		const char *reason = r->verdicts[i].reason;
		bool before = !reason || !*reason || r->verdicts[i].word != word;
		for (size_t k = 0; k < i && !before; k++)
			before = r->verdicts[k].word == word && r->verdicts[k].reason && strcmp(r->verdicts[k].reason, reason) == 0;
		if (!before)
			inw_show__wrap(d->p, "  Why: ", 4, reason);
	}
}

static void show_group(const struct day *d, enum inw_word word)
{
	size_t n = count(d->r, word);
	bool full = d->p->detail == INW_FULL, brief = !full && word != INW_MISSES && word != INW_IN_DOUBT;
	if (!n || (!full && word == INW_STATED)) /* stated numbers stand in the sections above */
		return;
	inw_text_add(&d->p->t, "\n");
	inw_show__wrapf(d->p, "", 2, "%s (%zu): %s", inw_show__group_name(word), n, meaning(word));
	for (size_t i = 0; i < d->r->verdict_count; i++)
		if (d->r->verdicts[i].word == word)
			(brief ? inw_show__verdict_in_brief : inw_show__verdict)(d->p, &d->r->verdicts[i]);
	if (brief && word == INW_CANNOT_TELL)
		show_reasons(d, word);
}

static void show_verdicts(const struct day *d)
{
	inw_show__title(d->p, "Every check of the day", NULL);
	for (size_t i = 0; i < INW_WORDS; i++)
		show_group(d, inw_show__order[i]);
}

static void show_account(const struct day *d)
{
	if (d->p->detail == INW_BRIEF)
		return;
	inw_text_add(&d->p->t, "\n");
	inw_show__wrapf(d->p, "", 2,
	                "Worked out in %ld steps; of what was given off, all but %.0e is found again in the air, the cleaner, "
	                "on walls or out of doors.",
	                d->r->steps, d->r->matter_closure);
}

char *inw_show_day_text(const struct inw_day_report *r, enum inw_units units, enum inw_detail detail)
{
	struct inw_page page = {.units = units, .detail = detail, .unranged = true};
	const struct day d = {r, &page};
	summary(&d);
	show_people(&d);
	show_pull(&d);
	show_door(&d);
	show_totals(&d);
	show_carbon(&d);
	show_moments(&d);
	show_hours(&d);
	show_verdicts(&d);
	show_account(&d);
	inw_show__list(&page, "Notes", r->notes, r->note_count);
	inw_show__cautions(&page, r->cautions, r->caution_count);
	if (detail == INW_BRIEF)
		inw_show__wrap(&page, "\n", 0,
		               "With --full: the day hour by hour, every reason and source. --series FILE.csv: all numbers. "
		               "--picture FILE: the day drawn.");
	if (page.t.failed) {
		inw_text_free(&page.t);
		return NULL;
	}
	return page.t.s;
}
