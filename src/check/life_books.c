/* SPDX-License-Identifier: MIT */
/* life_books.c: sums of what passes the carbon and what people breathe, and what they have come over. */
#include <math.h>
#include <string.h>

#include "check/life.h"

static const double day_s = 86400;
static const double part_passing[INW_PARTS] = {0.01, 0.1, 0.5}; /* as usual in tables of breakthrough: common practice */

void inw_books_open(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas)
{
	struct inw_breath *breath = b->breath, *behind = b->behind;

	memset(b, 0, sizeof *b);
	b->spent_s = INFINITY;
	b->breath = breath;
	b->behind = behind;
	for (int g = 0; g < INW_MAX_GASES; g++) {
		b->share[g] = NAN;
		b->behind[g].n = 0;
		for (int k = 0; k < INW_PARTS; k++)
			b->passes_s[g][k] = NAN;
		for (int k = 0; k < INW_LIMIT_KINDS; k++)
			b->over_s[g][k] = NAN;
	}
	for (int g = 0; g < gas->count; g++) {
		int slot = gas->carbon.slot[g];
		memcpy(b->zone[g].kg, gas->account[g].held, sizeof b->zone[g].kg);
		memcpy(b->zone[g].kg_s, gas->account[g].held_s, sizeof b->zone[g].kg_s);
		b->sent[g] = slot >= 0 ? gas->carbon.sent_kg[slot] : 0;
		b->held[g] = slot >= 0 ? inw_beds_held_kg(&gas->carbon, l->sim->drive.bed, slot) : 0;
	}
	for (size_t i = 0; i < INW_MEANS * l->d->persons; i++) {
		b->breath[i].n = 0;
		b->breath[i].there = b->breath[i].over = false;
		b->breath[i].index = b->breath[i].most = NAN;
	}
}

/* ---- what people breathe ---- */

/* A stretch that has just passed, and the books before it. */
struct passed { const struct inw_months *l; const struct inw_books *b; const struct inw_gases *gas; const struct inw_life_stretch *s; };

/* kg/m3 of a gas where somebody is. `kg`: in each zone; `after`: mixing ratio behind the cleaner. */
static double met(const struct passed *now, const struct inw_stay *stay, const double kg[INW_MAX_ZONES], double after)
{
	const struct inw_model *m = &now->l->sim->sol.m;
	const double *air = now->s->drive.air.mass[0];
	int room = 1 + (stay->at_box ? m->box_room : stay->room);
	double ratio = kg[room] / air[room];

	if (stay->at_box)
		ratio = inw_near_ratio(&now->s->near, ratio, kg[0] / air[0], after);
	return fmax(ratio * air[room] / inw_zone_volume(m, room), 0); /* implicit steps round to just below nothing */
}

/* Mixing ratio of a gas behind the cleaner, as a mean over the stretch. */
static double after_cleaner(const struct passed *now, int g)
{
	const struct inw_books *b = now->b;
	const struct inw_gases *gas = now->gas;
	const struct inw_life_stretch *s = now->s;
	int slot = gas->carbon.slot[g];
	double clean = s->drive.air.clean[0];

	if (slot >= 0)
		return clean > 1e-7 ? fmax(gas->carbon.sent_kg[slot] - b->sent[g], 0) / (clean * s->dt) : 0; /* kg/s: less counts as rest, as in a day */
	return s->drive.pass[g] * (gas->account[g].held_s[0] - b->zone[g].kg_s[0]) / s->dt / s->drive.air.mass[0][0];
}

/* A gas where somebody is: at the stretch's beginning, on its mean and at its end, added to `out` by each of their limits. */
static void add_met(const struct passed *now, const struct inw_person *p, const struct inw_stay *stay, double out[INW_MEANS][INW_LOOKS])
{
	for (int g = 0; g < now->gas->count; g++) {
		const struct inw_account *a = &now->gas->account[g];
		double mean[INW_MAX_ZONES], after = stay->at_box ? after_cleaner(now, g) : 0;
		for (int z = 0; z < INW_MAX_ZONES; z++)
			mean[z] = (a->held_s[z] - now->b->zone[g].kg_s[z]) / now->s->dt;
		const double *const kg[INW_LOOKS] = {[INW_BEGAN] = now->b->zone[g].kg, [INW_MEAN] = mean, [INW_ENDED] = a->held};
		for (int i = 0; i < INW_LOOKS; i++) {
			double c = met(now, stay, kg[i], after);
			for (int k = 0; k < INW_MEANS; k++)
				out[k][i] += c * now->l->by[p->kind == INW_WORKER][k][g];
		}
	}
}

/* The last one only says when they end. */
static int add_piece(struct inw_arena *arena, struct inw_breath *x, double dt, double from, double to)
{
	if (x->n + 2 > x->capacity) {
		size_t capacity = x->capacity ? 2 * x->capacity : 256;
		struct inw_piece *more = inw_arena_alloc(arena, sizeof *more * capacity);
		if (!more)
			return -1;
		if (x->n)
			memcpy(more, x->v, sizeof *more * x->n);
		x->v = more;
		x->capacity = capacity;
	}
	if (!x->n)
		x->v[x->n++] = (struct inw_piece){0, 0, 0};
	struct inw_piece *last = &x->v[x->n - 1];
	last->from = from;
	last->to = to;
	x->v[x->n++] = (struct inw_piece){last->t + dt, 0, 0};
	return 0;
}

int inw_books_shape(struct inw_arena *arena, struct inw_breath *x, double dt, const double now[INW_LOOKS])
{
	double a = now[INW_BEGAN], m = now[INW_MEAN], e = now[INW_ENDED];

	if (!(m > fmin(a, e) && m < fmax(a, e))) {
		double turn = fmax(2 * m - 0.5 * (a + e), 0);
		return add_piece(arena, x, 0.5 * dt, a, turn) || add_piece(arena, x, 0.5 * dt, turn, e) ? -1 : 0;
	}
	bool early = fabs(m - e) < fabs(m - a); /* most of the way is gone soon */
	double part = early ? 2 * (m - e) / (a - e) : 2 * (m - a) / (e - a), still = early ? e : a;
	return add_piece(arena, x, (early ? part : 1 - part) * dt, a, early ? e : still) || add_piece(arena, x, (early ? 1 - part : part) * dt, still, e) ? -1 : 0;
}

static int add_breath(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas, const struct inw_life_stretch *s)
{
	for (size_t i = 0; i < l->d->persons; i++) {
		const struct inw_person *p = &l->d->person[i];
		const struct inw_stay *stay = inw_person_stay(p, l->given, fmod(l->sim->clock + b->t + 0.5 * s->dt, day_s));
		double now[INW_MEANS][INW_LOOKS] = {{0}};
		if (stay)
			add_met(&(struct passed){l, b, gas, s}, p, stay, now);
		for (int k = 0; k < INW_MEANS; k++) {
			struct inw_breath *x = &b->breath[INW_MEANS * i + (size_t)k];
			if (k >= INW_SPANS && !l->held[p->kind == INW_WORKER][k - INW_SPANS])
				continue;
			x->there |= stay != NULL;
			if (inw_books_shape(l->arena, x, s->dt, now[k]))
				return -1;
		}
	}
	return 0;
}

/* Forget what no mean over `window` that ends later reaches back to. */
static void forget(struct inw_breath *x, double window)
{
	double begin = x->n ? x->v[x->n - 1].t - window : 0;
	size_t first = 0;

	while (first + 1 < x->n && x->v[first + 1].t <= begin)
		first++;
	if (first + 1 >= x->n) {
		x->n = 0;
		return;
	}
	x->n -= first;
	memmove(x->v, x->v + first, sizeof *x->v * x->n);
	struct inw_piece *v = x->v;
	if (v->t < begin) { /* its beginning is cut off */
		v->from += (v->to - v->from) * (begin - v->t) / (v[1].t - v->t);
		v->t = begin;
	}
}

double inw_books_worst(const struct inw_books *b, size_t person)
{
	double worst = NAN;

	for (size_t k = 0; k < INW_SPANS; k++)
		worst = fmax(worst, b->breath[INW_MEANS * person + k].index); /* passes over NAN */
	return worst;
}

/* ---- the carbon ---- */

int inw_books_add(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas, const struct inw_life_stretch *s)
{
	const struct inw_gas_drive *drive = &s->drive;
	const struct inw_day_beds *c = &gas->carbon;
	struct inw_sums *day = &b->now;
	double dt = s->dt, air = c->beds ? drive->bed[c->beds - 1].q : 0, hurry = fmax(drive->hurry, 1);
	bool running = s->running;

	if (add_breath(l, b, gas, s)) /* first: what follows moves on what was last looked at */
		return -1;
	b->hottest_K = fmax(b->hottest_K, s->most_carbon_K);
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
		double behind = air > 0 ? fmax(out, 0) / (air * dt) : 0;
		if (add_piece(l->arena, &b->behind[g], dt, behind, behind))
			return -1;
		*(running ? &b->back_running[g] : &b->back_idle[g]) += fmax(-gain, 0);
		b->held[g] = held;
		b->sent[g] += out;
	}
	for (int g = 0; g < gas->count; g++) {
		memcpy(b->zone[g].kg, gas->account[g].held, sizeof b->zone[g].kg);
		memcpy(b->zone[g].kg_s, gas->account[g].held_s, sizeof b->zone[g].kg_s);
	}
	b->t += dt;
	return 0;
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

/* s: over which the mean counts. */
static const double span_of[INW_LIMIT_KINDS] = {[INW_LIMIT_WORK_8H] = 8 * 3600, [INW_LIMIT_WORK_15MIN] = 15 * 60, [INW_LIMIT_HOME_1H] = 3600,
	[INW_LIMIT_HOME_8H] = 8 * 3600, [INW_LIMIT_HOME_24H] = 24 * 3600};

/* Means of `w`, a pattern or as much as there has been, and what they have come over in the last `span`. */
static void judge_gas(const struct inw_months *l, struct inw_books *b, int g, const struct inw_sums *w, double span)
{
	double before = b->share[g], allowed = 1 - l->given[l->d->require.gas_removal];

	b->share[g] = w->in[g] > 0 ? fmax(w->out[g], 0) / w->in[g] : NAN;
	for (int k = 0; k < INW_PARTS; k++)
		if (isnan(b->passes_s[g][k]) && b->share[g] >= part_passing[k])
			b->passes_s[g][k] = crossing(b, span, before, b->share[g], part_passing[k]);
	if (b->share[g] > allowed)
		note_spent(b, crossing(b, span, before, b->share[g], allowed), g, "more of it passes than the removal that is required allows");
	for (int k = 0; k < INW_LIMIT_KINDS; k++) {
		double c = k == INW_LIMIT_HOME_LONG ? (w->air_m3 > 0 ? w->out[g] / w->air_m3 : 0) : inw_worst_mean(b->behind[g].v, b->behind[g].n, span_of[k]);
		if (isnan(b->over_s[g][k]) && c > l->limit[g][k])
			b->over_s[g][k] = fmax(b->t - span, 0);
	}
	forget(&b->behind[g], day_s);
}

/* The worst mean of each limit in the last pattern, of which each day that was followed in full is a part. */
static void judge_person(const struct inw_months *l, struct inw_books *b, size_t i, bool by_day, double span)
{
	for (size_t k = 0; k < INW_MEANS; k++) {
		struct inw_breath *x = &b->breath[INW_MEANS * i + k];
		const struct inw_span *span_k = &inw_spans_of(&l->d->person[i])[k % INW_SPANS];
		double before = x->index, worst = x->there ? inw_worst_met(x->v, x->n, span_k) : NAN;
		forget(x, span_k->window);
		x->there = false;
		x->index = worst;
		if (by_day) {
			x->day[(b->days - 1) % INW_WEEK] = worst;
			for (int n = 2; n <= (b->days < l->period_days ? b->days : l->period_days); n++)
				x->index = fmax(x->index, x->day[(b->days - n) % INW_WEEK]); /* passes over NAN */
		}
		x->most = fmax(x->most, x->index);
		x->over |= x->index > 1 && b->t <= l->period + 1;
		if (k >= INW_SPANS) /* no limit of its own */
			continue;
		/* who is over the limit with fresh carbon is not helped by changing it */
		if (x->index > 1 && b->t > l->period + 1 && before <= 1)
			note_spent(b, crossing(b, span, before, x->index, 1), -1 - (int)i, "what they breathe comes over its limit");
	}
}

static void judge_gases(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas, const struct inw_sums *w, double span)
{
	for (int g = 0; g < gas->count; g++)
		if (gas->carbon.slot[g] >= 0)
			judge_gas(l, b, g, w, span);
}

static void add_sums(struct inw_sums *to, const struct inw_sums *from)
{
	for (int g = 0; g < INW_MAX_GASES; g++) {
		to->in[g] += from->in[g];
		to->out[g] += from->out[g];
	}
	to->air_m3 += from->air_m3;
}

void inw_books_end_day(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas)
{
	struct inw_sums all = {.air_m3 = 0};

	b->day[b->days++ % INW_WEEK] = b->now;
	for (int k = 1; k <= (b->days < l->period_days ? b->days : l->period_days); k++)
		add_sums(&all, &b->day[(b->days - k) % INW_WEEK]);
	judge_gases(l, b, gas, &all, day_s);
	for (size_t i = 0; i < l->d->persons; i++)
		judge_person(l, b, i, true, day_s);
}

void inw_books_judge(const struct inw_months *l, struct inw_books *b, const struct inw_gases *gas, double span)
{
	judge_gases(l, b, gas, &b->now, span);
	for (size_t i = 0; i < l->d->persons; i++)
		judge_person(l, b, i, false, span);
}
