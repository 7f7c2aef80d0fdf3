/* SPDX-License-Identifier: MIT */
/* life_books.c: sums of what passes the carbon and what people breathe, and what they have come over. */
#include <math.h>
#include <string.h>

#include "check/life.h"

static const double day_s = 86400;
static const double part_passing[INW_PARTS] = {0.01, 0.1, 0.5}; /* as usual in tables of breakthrough: common practice */

void inw_books_open(struct inw_books *b)
{
	memset(b, 0, sizeof *b);
	b->spent_s = INFINITY;
	for (int g = 0; g < INW_MAX_GASES; g++) {
		b->share[g] = NAN;
		for (int k = 0; k < INW_PARTS; k++)
			b->passes_s[g][k] = NAN;
		for (int k = 0; k < INW_LIMIT_KINDS; k++)
			b->over_s[g][k] = NAN;
	}
	for (int i = 0; i < INW_MONTHS_PEOPLE; i++)
		b->index[i] = b->most_index[i] = NAN;
}

/* Sum of concentration over the long limit for a person's kind, in the room they are in; NAN when away; over the `dt` that is being booked. */
static double index_of(const struct inw_months *l, const struct inw_books *b, const struct inw_gases *gas, const struct inw_person *p, double dt)
{
	enum inw_limit_kind kind = p->kind == INW_WORKER ? INW_LIMIT_WORK_8H : INW_LIMIT_HOME_LONG;
	int room = inw_person_room(p, l->given, fmod(l->sim->clock + b->t + 0.5 * dt, day_s));
	double sum = 0;

	if (room < 0)
		return NAN;
	for (int g = 0; g < gas->count; g++)
		if (l->limit[g][kind] > 0)
			sum += (gas->account[g].held_s[1 + room] - b->room_s[g][1 + room]) / dt / inw_zone_volume(&l->sim->sol.m, 1 + room) / l->limit[g][kind];
	return sum;
}

void inw_books_add(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas, const struct inw_gas_drive *drive, double dt, bool running)
{
	const struct inw_day_beds *c = &gas->carbon;
	struct inw_sums *day = &b->now;
	double air = 0, hurry = fmax(drive->hurry, 1);

	for (int k = 0; k < c->beds; k++) {
		air = drive->bed[k].q;
		b->hottest_K = fmax(b->hottest_K, drive->bed[k].T);
	}
	day->air_m3 += air * dt;
	day->running_m3 += running ? air * dt : 0;
	for (int g = 0; g < gas->count; g++) {
		int slot = c->slot[g];
		if (slot < 0)
			continue;
		double held = inw_beds_held_kg(c, drive->bed, slot), out = c->sent_kg[slot] - b->sent[g], gain = (held - b->held[g]) / hurry;
		day->in[g] += gain + out;
		day->moved[g] += fabs(gain);
		b->taken[g] += gain;
		day->out[g] += out;
		if (air > 0)
			day->most_out[g] = fmax(day->most_out[g], out / (air * dt));
		*(running ? &b->back_running[g] : &b->back_idle[g]) += fmax(-gain, 0);
		b->held[g] = held;
		b->sent[g] += out;
	}
	for (size_t i = 0; i < l->d->persons && i < INW_MONTHS_PEOPLE; i++) {
		double index = index_of(l, b, gas, &l->d->person[i], dt);
		if (!isnan(index)) {
			day->index[i] += index * dt;
			day->there[i] += dt;
		}
	}
	for (int g = 0; g < gas->count; g++)
		memcpy(b->room_s[g], gas->account[g].held_s, sizeof b->room_s[g]);
	b->t += dt;
}

/* When what rose from `before` to `now` over the last `span` came through `level`, rising by factors: from the start when
 * it was never below. */
static double crossing(const struct inw_books *b, double span, double before, double now, double level)
{
	if (!(before < level))
		return b->t - span < 1 || isnan(before) ? 0 : b->t - span;
	return b->t - span * (before > 0 ? log(now / level) / log(now / before) : 0);
}

static void note_spent(struct inw_books *b, double at, int by, const char *why)
{
	if (at < b->spent_s) {
		b->spent_s = at;
		b->by = by;
		b->why = why;
	}
}

/* Means of `w`, a pattern or as much as there has been, and what they have come over in the last `span`. */
static void judge_gas(const struct inw_months *l, struct inw_books *b, int g, const struct inw_sums *w, double span)
{
	double before = b->share[g], allowed = 1 - l->given[l->d->require.gas_removal];

	b->share[g] = w->in[g] > 0 ? w->out[g] / w->in[g] : NAN;
	for (int k = 0; k < INW_PARTS; k++)
		if (isnan(b->passes_s[g][k]) && b->share[g] >= part_passing[k])
			b->passes_s[g][k] = crossing(b, span, before, b->share[g], part_passing[k]);
	if (b->share[g] > allowed)
		note_spent(b, crossing(b, span, before, b->share[g], allowed), g, "more of it passes than the removal that is required allows");
	for (int k = 0; k < INW_LIMIT_KINDS; k++) {
		bool brief = k == INW_LIMIT_WORK_15MIN || k == INW_LIMIT_WORK_CEILING || k == INW_LIMIT_HOME_1H;
		double c = brief ? w->most_out[g] : w->air_m3 > 0 ? w->out[g] / w->air_m3 : 0;
		if (isnan(b->over_s[g][k]) && c > l->limit[g][k])
			b->over_s[g][k] = fmax(b->t - span, 0);
	}
}

static void judge_person(const struct inw_months *l, struct inw_books *b, size_t i, const struct inw_sums *w, double span)
{
	double before = b->index[i];

	b->index[i] = w->there[i] > 0 ? w->index[i] / w->there[i] : NAN;
	b->most_index[i] = fmax(b->most_index[i], b->index[i]); /* passes over NAN */
	/* who is over the limit with fresh carbon is not helped by changing it */
	if (b->index[i] > 1 && b->t > l->period + 1 && before <= 1)
		note_spent(b, crossing(b, span, before, b->index[i], 1), -1 - (int)i, "what they breathe comes over its limit");
}

static void judge_all(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas, const struct inw_sums *w, double span)
{
	for (int g = 0; g < gas->count; g++)
		if (gas->carbon.slot[g] >= 0)
			judge_gas(l, b, g, w, span);
	for (size_t i = 0; i < l->d->persons && i < INW_MONTHS_PEOPLE; i++)
		judge_person(l, b, i, w, span);
}

static void add_sums(struct inw_sums *to, const struct inw_sums *from)
{
	for (int g = 0; g < INW_MAX_GASES; g++) {
		to->in[g] += from->in[g];
		to->out[g] += from->out[g];
		to->most_out[g] = fmax(to->most_out[g], from->most_out[g]);
	}
	for (int i = 0; i < INW_MONTHS_PEOPLE; i++) {
		to->index[i] += from->index[i];
		to->there[i] += from->there[i];
	}
	to->air_m3 += from->air_m3;
}

void inw_books_end_day(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas)
{
	struct inw_sums all = {.air_m3 = 0};

	b->day[b->days++ % INW_WEEK] = b->now;
	for (int k = 1; k <= (b->days < l->period_days ? b->days : l->period_days); k++)
		add_sums(&all, &b->day[(b->days - k) % INW_WEEK]);
	judge_all(l, b, gas, &all, day_s);
}

void inw_books_judge(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas, double span)
{
	judge_all(l, b, gas, &b->now, span);
}
