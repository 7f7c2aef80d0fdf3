/* SPDX-License-Identifier: MIT */
/* life.c: the carbon through months of a design's week, until it is spent; how sure that is. */
#include "check/life.h"

#include <math.h>
#include <string.h>

enum { CEILING = 256 << 20, MOST_STRETCHES = 4000 };
static const double day_s = 86400;

/* How far the stretches of a pattern may drift (see life.h), and how much of what the carbon holds one pass may move: more
 * patterns in one are coarser. The range, which is wide, is found roughly. */
static const struct { double coarse, moved; } grain[INW_GRAINS] = {{2, 0.02}, {4, 0.03}};

/* What one replay differs by from the best estimate. */
struct tweak { int sources; /* -1, 0, 1: low end, best, high end */ double capacity, rate; /* factors */ int grain; };

/* ---- what the design says ---- */

/* A day when all are alike, else a week. */
static int days_of_pattern(const struct inw_design *d)
{
	unsigned all = INW_EVERY_DAY;

	for (size_t j = 0; j < d->jobs; j++)
		all &= d->job[j].days;
	for (size_t i = 0; i < d->day.doings; i++)
		all &= d->day.doing[i].days;
	return all == INW_EVERY_DAY ? 1 : INW_WEEK;
}

/* Values with the rates of all gases at the high or low end. */
static void at_end(const struct inw_design *d, double *x, bool high)
{
	for (size_t j = 0; j < d->jobs; j++) {
		const struct inw_material *m = &d->catalog.material[d->job[j].material];
		for (size_t i = 0; i < m->gas_count; i++) {
			const struct inw_quantity *q = &d->quantity[m->gases[i].rate];
			x[m->gases[i].rate] = high ? q->high : q->low;
		}
	}
}

static void find_shares(struct inw_months *l, const struct inw_person *p, int k)
{
	const struct inw_values x = {l->given, NULL};
	bool works = p->kind == INW_WORKER;
	double *by = l->by[works][k], *held = l->by[works][INW_SPANS + k];
	bool any = false, more = false;

	for (int g = 0; g < l->sim->gas.count; g++) {
		const struct inw_substance *s = &l->d->catalog.substance[l->sim->gas.substance[g]];
		double most = inw_span_limit(s, inw_spans_of(p)[k].kind, &x), longer = inw_span_held(s, inw_spans_of(p)[k].kind, &x);
		by[g] = most > 0 ? 1 / most : 0;
		held[g] = longer > 0 ? 1 / longer : 0;
		any |= by[g] > 0;
		more |= held[g] > by[g];
	}
	l->held[works][k] = any && more;
}

static void find_limits(struct inw_months *l)
{
	struct inw_values x = {l->given, NULL};

	for (int g = 0; g < l->sim->gas.count; g++)
		for (int k = 0; k < INW_LIMIT_KINDS; k++) {
			const struct inw_limit *limit = inw_cautious_limit(&l->d->catalog.substance[l->sim->gas.substance[g]], (enum inw_limit_kind)k, &x);
			l->limit[g][k] = limit ? inw_value(&x, limit->value, NAN) : NAN;
		}
	for (size_t i = 0; i < l->d->persons; i++)
		for (int k = 0; k < INW_SPANS; k++)
			find_shares(l, &l->d->person[i], k);
}

/* ---- the series ---- */

static void name_column(struct inw_months *l, size_t at, enum inw_dim dim, const char *name)
{
	l->failed |= !name;
	l->name[at] = name ? name : "";
	l->dim[at] = dim;
}

static int name_columns(struct inw_months *l)
{
	size_t gases = (size_t)l->sim->gas.count, at = 1;

	l->columns = 1 + 3 * gases + l->d->persons;
	l->name = inw_arena_alloc(l->arena, sizeof *l->name * l->columns);
	l->dim = inw_arena_alloc(l->arena, sizeof *l->dim * l->columns);
	if (!l->name || !l->dim)
		return -1;
	name_column(l, 0, INW_DIM_TIME, "time");
	for (size_t g = 0; g < gases; g++) {
		const char *what = l->d->catalog.substance[l->sim->gas.substance[g]].name;
		name_column(l, at++, INW_DIM_FRACTION, inw_arena_printf(l->arena, "gases[%s].let_through", what));
		name_column(l, at++, INW_DIM_MASS, inw_arena_printf(l->arena, "gases[%s].on_carbon", what));
		name_column(l, at++, INW_DIM_CONCENTRATION, inw_arena_printf(l->arena, "gases[%s].after_carbon", what));
	}
	for (size_t i = 0; i < l->d->persons; i++)
		name_column(l, at++, INW_DIM_NONE, inw_arena_printf(l->arena, "air[%s]", l->d->person[i].name));
	return l->failed ? -1 : 0;
}

static int add_row(struct inw_months *l, const struct inw_books *b, const struct inw_gases *gas)
{
	const struct inw_sums *last = &b->now;

	if (l->rows == l->capacity) {
		size_t capacity = l->capacity ? 2 * l->capacity : 256;
		double *more = inw_arena_alloc(l->arena, sizeof *more * capacity * l->columns);
		if (!more)
			return -1;
		if (l->rows)
			memcpy(more, l->row, sizeof *more * l->rows * l->columns);
		l->row = more;
		l->capacity = capacity;
	}
	double *v = &l->row[l->columns * l->rows++];
	*v++ = b->t;
	for (int g = 0; g < gas->count; g++) {
		bool held = gas->carbon.slot[g] >= 0;
		*v++ = held ? b->share[g] : NAN;
		*v++ = held ? b->held[g] : NAN;
		*v++ = held && last->air_m3 > 0 ? fmax(last->out[g], 0) / last->air_m3 : NAN;
	}
	for (size_t i = 0; i < l->d->persons; i++)
		*v++ = inw_books_worst(b, i);
	return 0;
}

/* Keep the carbon as it is, so that the moments kept are spread over all of the time: when they are full every other one
 * goes. */
static void keep_moment(struct inw_months *l, double t, const struct inw_gases *gas)
{
	if (l->moments == INW_MONTHS_MOMENTS) {
		for (size_t i = 1; 2 * i < INW_MONTHS_MOMENTS; i++)
			l->moment[i] = l->moment[2 * i];
		l->moments = (INW_MONTHS_MOMENTS + 1) / 2;
		l->every *= 2;
	}
	struct inw_bed_moment *m = &l->moment[l->moments++];
	m->t = t;
	for (int k = 0; k < gas->carbon.beds; k++)
		memcpy(m->q[k], gas->carbon.bed[k].q, sizeof m->q[k]);
}

/* ---- following ---- */

/* `share` of what is going on now, which is l->from to l->to of all. */
static bool told_to_stop(struct inw_months *l, double share)
{
	const struct inw_day_options *o = l->options;

	share = l->from + (l->to - l->from) * fmin(share, 1);

	if (o && o->progress)
		o->progress(o->context, share);
	if (o && o->stop && o->stop(o->context))
		l->stopped = true;
	return l->stopped;
}

/* Rates at the ends of their ranges for the step just made. */
static void rates_now(struct inw_months *l, struct inw_life_stretch *out)
{
	struct inw_day_sim *s = l->sim;
	double *const ends[2] = {l->high, l->low};

	for (int e = 0; e < 2; e++) {
		s->given = ends[e];
		for (int g = 0; g < s->gas.count; g++)
			(e ? out->less : out->more)[g] = inw_day_gas_emission(s, s->gas.substance[g], s->t - 0.5 * s->step_s);
		s->given = l->given;
	}
}

/* A whole number of days since the start. */
static bool is_midnight(double t)
{
	double days = t / day_s;

	return fabs(days - round(days)) * day_s < 1e-6;
}

/* Record the step just made. 0, or -2. */
static int record(struct inw_months *l, struct inw_life_stretch *step)
{
	const struct inw_day_sim *s = l->sim;

	rates_now(l, step);
	for (int k = 0; k < INW_GRAINS; k++)
		if (inw_life_record(&l->pattern[k], s, step))
			return -2;
	l->energy_J += s->step_s * inw_electric_W(&s->sol);
	l->heating_J += s->step_s * inw_heating_W(&s->sol);
	l->running_s += s->job >= 0 ? s->step_s : 0;
	return 0;
}

/* A day of the full run is over. 0, or -2. */
static int end_day(struct inw_months *l, struct inw_books *b)
{
	inw_books_end_day(l, b, &l->sim->gas);
	if (b == l->books) {
		if (add_row(l, b, &l->sim->gas))
			return -2;
		keep_moment(l, b->t, &l->sim->gas);
	}
	memset(&b->now, 0, sizeof b->now);
	return 0;
}

/* What bounds how much gets out of the box, as a day sees it. */
static void look(struct inw_months *l)
{
	if (l->sim->door_open)
		return;
	inw_lookout_see(&l->sight, &l->sim->sol);
	l->pressed |= inw_presses_out(&l->sim->sol);
	l->unset |= inw_drives_unset(&l->sim->sol);
	l->weak |= inw_holds_weakly(l->sim);
}

/* One step of the full run. 1 goes on, 0 at `until`, -1 when no step can be made, -2 when memory is out or there are too
 * many stretches. */
static int full_step(struct inw_months *l, struct inw_books *b, bool recorded, double until)
{
	struct inw_day_sim *s = l->sim;
	struct inw_life_stretch step;
	bool change = s->at_event;

	if (s->t >= until - 1e-6)
		return 0;
	int more = inw_day_step(s);
	if (more <= 0)
		return more < 0 ? -1 : 0;
	look(l);
	if (change) { /* nothing passed but the change itself */
		l->pattern[INW_FINELY].fresh = l->pattern[INW_ROUGHLY].fresh = true;
		return 1;
	}
	inw_life_step(&step, s);
	if (inw_books_add(l, b, &s->gas, &step) || (is_midnight(s->t) && end_day(l, b))) {
		l->failed = true;
		return -2;
	}
	return recorded && record(l, &step) ? -2 : 1;
}

/* What goes on now is `from` to `to` of all the work. */
static void doing(struct inw_months *l, double from, double to)
{
	l->from = from;
	l->to = to;
}

/* Until `until` in full. 0, or as full_step. */
static int follow_in_full(struct inw_months *l, struct inw_books *b, bool recorded, double until)
{
	int more = 1;

	while (more > 0) {
		more = full_step(l, b, recorded, until);
		if (l->sim->steps % 64 == 0 && told_to_stop(l, l->sim->t / l->sim->end))
			return -3;
	}
	return more;
}

/* The stretch as a replay sees it. */
static void tweaked(struct inw_life_stretch *to, const struct inw_life_stretch *from, const struct tweak *w, double patterns)
{
	*to = *from;
	to->drive.hurry = patterns;
	for (int k = 0; k < INW_DAY_BEDS; k++) {
		to->drive.bed[k].factor *= w->capacity;
		to->drive.bed[k].rate_factor *= w->rate;
	}
	for (int g = 0; g < INW_MAX_GASES && w->sources; g++)
		to->drive.source[g][0] = to->drive.source[g][1] = w->sources > 0 ? from->more[g] : from->less[g];
}

/* One pass through the pattern, standing for `patterns` of them. 0, -1 without an answer, -2 without memory. */
static int pass(struct inw_months *l, struct inw_books *b, const struct tweak *w, double patterns)
{
	struct inw_values x = {l->given, NULL};
	const struct inw_life_pattern *p = &l->pattern[w->grain];
	struct inw_life_stretch s;
	double began = b->t;

	memset(b->back_running, 0, sizeof b->back_running);
	memset(b->back_idle, 0, sizeof b->back_idle);
	memset(&b->now, 0, sizeof b->now);
	for (int i = 0; i < p->count; i++) {
		tweaked(&s, &p->stretch[i], w, patterns);
		if (inw_life_advance(&s, l->d, &x, l->gas, l->next))
			return -1;
		if (inw_books_add(l, b, l->gas, &s)) {
			l->failed = true;
			return -2;
		}
	}
	b->t = began + patterns * l->period;
	return 0;
}

/* The stretch while a job runs with the most air, else the first. */
static const struct inw_life_stretch *usual_air(const struct inw_months *l)
{
	const struct inw_life_pattern *p = &l->pattern[INW_ROUGHLY];
	const struct inw_life_stretch *best = &p->stretch[0];

	for (int i = 1; i < p->count; i++) {
		const struct inw_life_stretch *s = &p->stretch[i];
		if (s->running > best->running || (s->running == best->running && s->dt * s->drive.bed[0].q > best->dt * best->drive.bed[0].q))
			best = s;
	}
	return best;
}

/* How many patterns the next pass may stand for, so that it moves a small share of what the carbon holds, or could
 * hold, of each gas. */
static double patterns_next(const struct inw_months *l, const struct inw_books *b, const struct tweak *w, double now)
{
	const struct inw_bed_now *bed = usual_air(l)->drive.bed;
	const struct inw_day_beds *carbon = &l->gas->carbon;
	struct inw_values x = {l->given, NULL};
	double c[INW_PORES_MOST] = {0}, q[INW_PORES_MOST], most = ceil((l->r->horizon_s - b->t) / l->period), kg = 0;

	for (int k = 0; k < carbon->beds; k++)
		kg += bed[k].mass;
	for (int g = 0; g < l->gas->count; g++) {
		int slot = carbon->slot[g];
		if (slot < 0 || !(b->now.moved[g] > 0))
			continue;
		c[slot] = b->now.running_m3 > 0 ? b->now.in[g] / b->now.running_m3 : 0;
		if (inw_day_bed_balance(carbon, &bed[0], &(struct inw_bed_flow){.d = l->d, .x = &x}, c, q))
			return 1;
		c[slot] = 0; /* each alone */
		most = fmin(most, grain[w->grain].moved * fmax(kg * q[slot], b->held[g]) / b->now.moved[g]);
	}
	return fmax(1, floor(fmin(most, 4 * now)));
}

static bool going_on(const struct inw_months *l, const struct inw_books *b)
{
	return b->t < l->r->horizon_s && !(b->spent_s < INFINITY);
}

/* Patterns again and again from the gases in l->gas until the carbon is spent or the horizon is reached. 0, -1 without an
 * answer, -2 without memory, -3 told to stop. */
static int repeat(struct inw_months *l, struct inw_books *b, const struct tweak *w, bool keep_rows)
{
	double patterns = 1;
	int ended;

	while (going_on(l, b)) {
		if (keep_rows)
			inw_gases_copy(l->begin, l->gas);
		if ((ended = pass(l, b, w, patterns)) != 0)
			return ended;
		inw_books_judge(l, b, l->gas, patterns * l->period);
		if (keep_rows && add_row(l, b, l->gas)) {
			l->failed = true;
			return -2;
		}
		if (keep_rows && (l->rows % l->every == 0 || !going_on(l, b)))
			keep_moment(l, b->t, l->gas);
		if (told_to_stop(l, b->t / l->r->horizon_s))
			return -3;
		patterns = patterns_next(l, b, w, patterns);
	}
	return 0;
}

/* What people meet in both, the larger of which counts. */
static void compare_air(struct inw_months *l)
{
	l->air_off = 0;
	for (size_t i = 0; i < INW_MEANS * l->d->persons; i++) {
		double full = l->full->breath[i].index;
		l->air_off = fmax(l->air_off, fabs(full - l->other->breath[i].index)); /* passes over NAN */
		l->books->breath[i].most = fmax(l->books->breath[i].most, full);
	}
}

/* The media as they are by the end, or as loaded as they may get: what loads them, and all they caught, goes on in the same
 * proportion. */
static void load_media(struct inw_months *l)
{
	struct inw_day_sim *s = l->sim;

	for (size_t k = 0; k < l->d->cleaner.stages; k++) {
		const struct inw_stage *g = &l->d->cleaner.stage[k];
		if (g->kind != INW_STAGE_MEDIUM || !(s->growth[k] > 0))
			continue;
		double most = l->given[g->medium.final_ratio] - l->given[g->medium.loading];
		double by = fmax(fmin(s->growth[k] + l->growth[k] * (l->books->t - s->t) / l->period, most) / s->growth[k], 1);
		s->dust_kg[k] *= by;
		for (int b = 0; b < s->bins; b++)
			s->caught[k][b] *= by;
	}
}

/* How far is a pattern that is only repeated from a full run of it, both from the carbon as it was before the last pass?
 * Largest over the gases, of what is held more and of what was let through, as a share of what the machine gave off. */
static int compare_in_full(struct inw_months *l)
{
	struct inw_day_sim *s = l->sim;
	const struct tweak none = {0, 1, 1, INW_FINELY};
	double emitted[INW_MAX_GASES], warmer[INW_DAY_BEDS];
	int ended;

	for (int k = 0; k < s->gas.carbon.beds; k++)
		warmer[k] = s->gas.carbon.bed[k].warmer_K;
	load_media(l);
	inw_gases_copy(&s->gas, l->begin);
	inw_gases_copy(l->gas, l->begin);
	for (int k = 0; k < s->gas.carbon.beds; k++)
		s->gas.carbon.bed[k].warmer_K = warmer[k];
	for (int g = 0; g < s->gas.count; g++)
		emitted[g] = s->gas.account[g].emitted;
	inw_books_open(l, l->other, l->begin);
	inw_books_open(l, l->full, l->begin);
	if ((ended = pass(l, l->other, &none, 1)) != 0 || (ended = follow_in_full(l, l->full, false, s->end)) != 0)
		return ended;
	inw_books_judge(l, l->other, l->gas, l->period);
	compare_air(l);
	l->shortcut = 0;
	for (int g = 0; g < s->gas.count; g++) {
		int slot = s->gas.carbon.slot[g];
		double given = s->gas.account[g].emitted - emitted[g];
		if (slot < 0 || !(given > 0))
			continue;
		double held = inw_beds_held_kg(&s->gas.carbon, s->drive.bed, slot) - inw_beds_held_kg(&l->gas->carbon, s->drive.bed, slot);
		double through = s->gas.carbon.sent_kg[slot] - l->gas->carbon.sent_kg[slot];
		l->shortcut = fmax(l->shortcut, fmax(fabs(held), fabs(through)) / given);
	}
	return 0;
}

/* ---- how sure ---- */

static double log_life(double s, double horizon)
{
	return log(fmax(fmin(s, horizon), 3600)); /* s: an hour counts as nothing */
}

/* New carbon in balance with the same room, of another capacity. */
static void soak(struct inw_day_beds *c, double capacity)
{
	int n = inw_day_beds_slots(c), water = c->held;

	for (int k = 0; k < c->beds && n > 0; k++)
		for (int j = 0; j < INW_BED_CELLS; j++)
			c->bed[k].q[j * n + water] *= capacity;
}

/* Life with one input at one end, from new carbon. NAN when there is no answer. */
static double life_with(struct inw_months *l, const struct inw_gases *fresh, const struct tweak *w)
{
	inw_books_open(l, l->other, fresh);
	inw_gases_copy(l->gas, fresh);
	soak(&l->gas->carbon, w->capacity);
	return repeat(l, l->other, w, false) ? NAN : l->other->spent_s;
}

static bool sources_vary(const struct inw_design *d)
{
	for (size_t j = 0; j < d->jobs; j++) {
		const struct inw_material *m = &d->catalog.material[d->job[j].material];
		for (size_t i = 0; i < m->gas_count; i++)
			if (d->quantity[m->gases[i].rate].low < d->quantity[m->gases[i].rate].high)
				return true;
	}
	return false;
}

/* Independent ranges: squares of deviations add (GUM, JCGM 100:2008, 5.1.2), as logarithms: rates scatter by factors. */
static int find_range(struct inw_months *l, const struct inw_gases *fresh, const struct inw_bed *bed)
{
	const struct inw_quantity *c = &l->d->quantity[bed->capacity_factor], *r = &l->d->quantity[bed->rate_factor];
	const struct tweak ends[] = {{1, 1, 1, INW_ROUGHLY}, {-1, 1, 1, INW_ROUGHLY}, {0, c->low / c->value, 1, INW_ROUGHLY}, {0, c->high / c->value, 1, INW_ROUGHLY},
		{0, 1, r->low / r->value, INW_ROUGHLY}, {0, 1, r->high / r->value, INW_ROUGHLY}};
	double best = log_life(l->r->spent_s, l->r->horizon_s), up = 0, down = 0;
	bool endless = l->r->spent_s == INFINITY, never = l->r->spent_s <= 0;

	const bool moves[] = {sources_vary(l->d), c->low < c->high, r->low < r->high}; /* of a drawn sample nothing does */
	for (size_t i = 0; i < INW_COUNT(ends); i++) {
		if (!moves[i / 2])
			continue;
		doing(l, 0.4 + 0.1 * (double)i, 0.5 + 0.1 * (double)i);
		double s = life_with(l, fresh, &ends[i]);
		if (l->stopped)
			return -3;
		if (isnan(s))
			return -1;
		endless |= s == INFINITY;
		double d = log_life(s, l->r->horizon_s) - best;
		*(d > 0 ? &up : &down) += d * d;
	}
	l->r->spent_low_s = never ? 0 : l->r->spent_s == INFINITY && down == 0 ? INFINITY : exp(best - sqrt(down));
	l->r->spent_high_s = endless ? INFINITY : exp(best + sqrt(up));
	if (l->r->spent_low_s <= 3600)
		l->r->spent_low_s = 0;
	return 0;
}

/* Of what was given off: in the zones, kept and gone; and of what was kept: on the carbon, or still owed by it. What hurried
 * is counted as what it would have been. */
static double closure(const struct inw_months *l, const struct inw_gases *gas)
{
	int zones = 1 + l->sim->sol.m.rooms;
	double worst = 0;

	for (int g = 0; g < gas->count; g++) {
		const struct inw_account *a = &gas->account[g];
		double held = 0;
		for (int z = 0; z < zones; z++)
			held += a->held[z];
		if (a->emitted > 0)
			worst = fmax(worst, fabs(a->emitted - held - a->kept - a->outdoors) / a->emitted);
		int slot = gas->carbon.slot[g];
		if (a->emitted > 0 && slot >= 0)
			worst = fmax(worst, fabs(a->kept - l->books->taken[g] - gas->carbon.owed_kg[slot]) / a->emitted);
	}
	return worst;
}

/* ---- all of it ---- */

static int take_memory(struct inw_months *l)
{
	size_t n = l->d->quantities + 1;

	l->sim = inw_arena_alloc(l->arena, sizeof *l->sim);
	l->given = inw_arena_alloc(l->arena, 4 * sizeof *l->given * n);
	struct inw_life_stretch *stretch = inw_arena_alloc(l->arena, INW_GRAINS * sizeof *stretch * MOST_STRETCHES);
	l->gas = inw_arena_alloc(l->arena, 4 * sizeof *l->gas);
	l->books = inw_arena_alloc(l->arena, 3 * sizeof *l->books);
	struct inw_breath *breath = inw_arena_alloc(l->arena, 3 * sizeof *breath * (INW_MEANS * l->d->persons + INW_MAX_GASES));
	l->verdict_room = INW_MONTHS_VERDICTS + INW_SPANS * l->d->persons;
	l->verdict = inw_arena_alloc(l->arena, sizeof *l->verdict * l->verdict_room);
	l->moment = inw_arena_alloc(l->arena, INW_MONTHS_MOMENTS * sizeof *l->moment);
	l->every = 1;
	if (!l->sim || !l->given || !stretch || !l->gas || !l->books || !breath || !l->verdict || !l->moment)
		return -1;
	l->high = l->given + n;
	l->low = l->high + n;
	l->x = l->low + n;
	l->next = l->gas + 1;
	l->begin = l->gas + 2;
	l->other = l->books + 1;
	l->full = l->books + 2;
	for (size_t i = 0; i < 3; i++) {
		l->books[i].breath = breath + i * (INW_MEANS * l->d->persons + INW_MAX_GASES);
		l->books[i].behind = l->books[i].breath + INW_MEANS * l->d->persons;
	}
	for (int k = 0; k < INW_GRAINS; k++)
		l->pattern[k] = (struct inw_life_pattern){.stretch = stretch + k * MOST_STRETCHES, .capacity = MOST_STRETCHES, .coarse = grain[k].coarse};
	for (size_t i = 0; i < l->d->quantities; i++)
		l->given[i] = l->d->quantity[i].value;
	l->period_days = days_of_pattern(l->d);
	l->period = l->period_days * day_s;
	l->given[l->d->day.span] = 3 * l->period; /* warming up, what is recorded, what it is held against */
	memcpy(l->high, l->given, sizeof *l->given * n);
	memcpy(l->low, l->given, sizeof *l->given * n);
	at_end(l->d, l->high, true);
	at_end(l->d, l->low, false);
	return 0;
}

static const struct inw_bed *first_bed(const struct inw_design *d)
{
	for (size_t k = 0; k < d->cleaner.stages; k++)
		if (d->cleaner.stage[k].kind == INW_STAGE_BED)
			return &d->cleaner.stage[k].bed;
	return NULL;
}

/* 0, -1 no answer (see sim->why), -2 no memory or too many stretches, -3 told to stop. */
static int live(struct inw_months *l)
{
	const struct tweak none = {0, 1, 1, INW_FINELY};
	const struct inw_bed *bed = first_bed(l->d);
	struct inw_gases *fresh = l->gas + 3;
	int ended;

	if (inw_day_start(l->sim, l->d, &(struct inw_day_setup){0, l->options ? l->options->tolerance : 0}, l->given, l->x))
		return -1;
	inw_day_stop_at(l->sim, l->period);
	inw_day_stop_at(l->sim, 2 * l->period);
	for (int k = 1; k < 3 * l->period_days; k++) /* days are booked by the day */
		inw_day_stop_at(l->sim, k * day_s);
	inw_gases_copy(fresh, &l->sim->gas);
	inw_books_open(l, l->books, fresh);
	look(l);
	doing(l, 0, 0.1);
	find_limits(l);
	keep_moment(l, 0, fresh);
	if (name_columns(l))
		return -2;
	if ((ended = follow_in_full(l, l->books, false, l->period)) != 0)
		return ended;
	l->pattern[INW_FINELY].fresh = l->pattern[INW_ROUGHLY].fresh = true;
	memcpy(l->growth, l->sim->growth, sizeof l->growth);
	if ((ended = follow_in_full(l, l->books, true, 2 * l->period)) != 0)
		return ended;
	for (int k = 0; k < INW_MAX_STAGES; k++)
		l->growth[k] = l->sim->growth[k] - l->growth[k];
	inw_gases_copy(l->gas, &l->sim->gas);
	doing(l, 0.1, 0.4);
	if ((ended = repeat(l, l->books, &none, true)) != 0)
		return ended;
	l->r->spent_s = l->books->spent_s <= l->r->horizon_s ? l->books->spent_s : INFINITY; /* the last pass may look beyond it */
	l->r->followed_s = l->books->t;
	l->r->matter_closure = closure(l, l->gas);
	if (l->books->t > 2 * l->period + 1 && (ended = compare_in_full(l)) != 0)
		return ended;
	return find_range(l, fresh, bed);
}

static void say_why(const struct inw_months *l, int ended, struct inw_diags *diags)
{
	if (ended == -2)
		inw_diag_add(diags, INW_ERROR, l->d->file, 0, 0, "the pattern changes more often than can be kept");
	else
		inw_diag_add(diags, INW_ERROR, l->d->file, 0, 0, "the carbon's life stops: %s", l->sim->why ? l->sim->why : "a bed has no answer");
}

enum inw_status inw_life(const struct inw_design *d, const struct inw_day_options *options, struct inw_life_report **out, struct inw_diags *diags)
{
	struct inw_arena *arena = inw_arena_new(CEILING);
	struct inw_months *l = arena ? inw_arena_alloc(arena, sizeof *l) : NULL;
	struct inw_life_report *r = arena ? inw_arena_alloc(arena, sizeof *r) : NULL;
	enum inw_status status = INW_NO_MEMORY;

	if (!l || !r)
		goto done;
	*l = (struct inw_months){.d = d, .arena = arena, .r = r, .options = options, .shortcut = NAN, .air_off = NAN, .sight = {.face_ms = NAN}};
	if (!first_bed(d)) {
		inw_diag_add(diags, INW_ERROR, d->file, 0, 0, "there is no carbon in this train, so there is no life to follow");
		status = INW_BAD_INPUT;
		goto done;
	}
	if (take_memory(l))
		goto done;
	r->pattern_s = l->period;
	r->horizon_s = l->given[d->upkeep.horizon];
	int ended = live(l);
	if (ended == -3) {
		status = INW_IO;
	} else if (ended && !l->failed) {
		say_why(l, ended, diags);
		status = INW_NOT_CONVERGED;
	} else if (!l->failed) {
		r->shortcut_error = l->shortcut;
		inw_months_finish(l);
		status = l->failed ? INW_NO_MEMORY : INW_OK;
	}
done:
	if (status == INW_OK) {
		r->arena_ = arena;
		*out = r;
		return INW_OK;
	}
	if (status == INW_NO_MEMORY)
		diags->out_of_memory = true;
	inw_arena_free(arena);
	return status;
}

void inw_life_free(struct inw_life_report *r)
{
	if (r)
		inw_arena_free(r->arena_);
}
