/* SPDX-License-Identifier: MIT */
#include "check/day_mend.h"

#include <math.h>
#include <string.h>

#include "base/crew.h"
#include "check/air.h"
#include "check/inputs.h"
#include "check/odds.h"
#include "judge/sentence.h"
#include "solve/sample.h"

enum { KNOBS = INW_DAY_MENDS, HALVINGS = 6, RUNS = HALVINGS + 2 /* of a knob: its end, and the changed day whole */, COARSE_SIZES = 2 /* particles move no air */ };

/* ---- the bad end of what is not known ---- */

struct desk { struct inw_day_sim *s; double *given, *x; };
struct leaning {
	const struct inw_design *d;
	struct inw_inputs in;
	double until;      /* s: a little after the pull was least */
	double *pull;      /* with each input at its low and its high end */
	struct desk desk[INW_MOST_HANDS];
};

static bool make_desk(struct desk *k, const struct inw_design *d, struct inw_arena *arena)
{
	k->s = inw_arena_alloc(arena, sizeof *k->s);
	k->given = inw_arena_alloc(arena, sizeof *k->given * (d->quantities + 1));
	k->x = inw_arena_alloc(arena, sizeof *k->x * (d->quantities + 1));
	return k->s && k->given && k->x;
}

/* Of a day of these values, up to a moment. */
static double least_pull(struct desk *k, const struct inw_design *d, double until, double *when)
{
	const struct inw_day_setup setup = {COARSE_SIZES, 0};
	double least = INFINITY;
	int more;

	inw_design_follow(d, k->given, NULL, 0);
	if (inw_day_start(k->s, d, &setup, k->given, k->x))
		return NAN;
	do {
		double now = k->s->door_open ? INFINITY : inw_least_inward(&k->s->sol);
		if (now < least)
			least = now, *when = k->s->t;
		more = inw_day_step(k->s);
	} while (more > 0 && k->s->t <= until);
	return more >= 0 && isfinite(least) ? least : NAN;
}

static void take_values(double *given, const struct inw_design *d)
{
	for (size_t q = 0; q < d->quantities; q++)
		given[q] = d->quantity[q].value;
}

static double end_of(const struct inw_input *in, size_t end)
{
	return end ? fmin(INW_Z_95, in->z_most) : fmax(-INW_Z_95, in->z_least);
}

static void one_end(void *context, int hand, size_t piece)
{
	struct leaning *l = context;
	const struct inw_input *in = &l->in.input[piece / 2];
	double when;

	take_values(l->desk[hand].given, l->d);
	l->desk[hand].given[in->q] = inw_input_value(in, end_of(in, piece % 2));
	l->pull[piece] = least_pull(&l->desk[hand], l->d, l->until, &when);
}

/* What is set for the day's sake is not leant on: it is the answer. */
static bool leans(const struct inw_design *d, inw_q q)
{
	const struct inw_stage *b = inw_stage_of(d, INW_STAGE_BLOWER);

	return inw_quantity_is_drawn(&d->quantity[q]) && q != d->heat.heater_power && q != inw_share_quantity(d) && !(b && q == b->blower.speed);
}

/* What the air and the heat of any job are made of: the pull hangs on nothing else, but for what loads the medium in a day. */
static int mark_inputs(const struct inw_design *d, const double *given, unsigned char *drawn, struct inw_arena *arena)
{
	static const struct inw_state in_time = {.speed_factor = 1, .storing = true};
	struct inw_model *m = inw_arena_alloc(arena, sizeof *m);
	const struct inw_values v = {given, drawn};
	const char *why;

	if (!m)
		return -1;
	for (size_t j = 0; j < d->jobs; j++)
		if (inw_model_build(m, d, &v, &d->job[j], &in_time, &why))
			break; /* no day can be followed then */
	for (size_t q = 0; q < d->quantities; q++)
		drawn[q] = drawn[q] && leans(d, (inw_q)q);
	return 0;
}

/* Each as far as its share of the variance, so that all of them together are as unlikely as is wanted. False: some end has no answer. */
static bool lean(const struct leaning *l, double at_best, double z, struct inw_quantity *quantity)
{
	double sum = 0;

	for (size_t i = 0; i < 2 * l->in.count; i += 2) {
		double down = fmin(fmin(l->pull[i], l->pull[i + 1]) - at_best, 0);
		if (isnan(l->pull[i]) || isnan(l->pull[i + 1]))
			return false;
		sum += down * down;
	}
	for (size_t i = 0; i < l->in.count && sum > 0; i++) {
		const struct inw_input *in = &l->in.input[i];
		bool high = l->pull[2 * i + 1] < l->pull[2 * i];
		double down = fmin(l->pull[2 * i + high] - at_best, 0);
		quantity[in->q].value = inw_input_value(in, (high ? z : -z) * -down / sqrt(sum));
	}
	return true;
}

int inw_day_lean(const struct inw_design *d, double sure, struct inw_arena *arena, struct inw_day_bad *out)
{
	const double after = 1800; /* s: a low lasts as long as the box warms (ours) */
	unsigned char *drawn = inw_arena_alloc(arena, d->quantities + 1);
	double *weight = inw_arena_alloc(arena, sizeof *weight * (d->quantities + 1)), when = 0;
	struct leaning *l = inw_arena_alloc(arena, sizeof *l);
	int hands = inw_crew_hands(0);

	*out = (struct inw_day_bad){*d, NAN};
	out->d.quantity = inw_arena_alloc(arena, sizeof *d->quantity * (d->quantities + 1));
	if (!drawn || !weight || !l || !out->d.quantity)
		return -1;
	memcpy(out->d.quantity, d->quantity, sizeof *d->quantity * d->quantities);
	l->d = d;
	for (int k = 0; k < hands; k++)
		if (!make_desk(&l->desk[k], d, arena))
			return -1;
	take_values(l->desk[0].given, d);
	if (mark_inputs(d, l->desk[0].given, drawn, arena) || inw_inputs_list(&l->in, d, drawn, weight, true, arena) || !(l->pull = inw_arena_alloc(arena, sizeof *l->pull * (2 * l->in.count + 1))))
		return -1;
	double at_best = least_pull(&l->desk[0], d, INFINITY, &when);
	if (isnan(at_best))
		return 0;
	l->until = when + after;
	inw_crew_do(hands, 2 * l->in.count, one_end, l);
	if (lean(l, at_best, fmax(inw_normal_quantile(sure), 0), out->d.quantity)) {
		take_values(l->desk[0].given, &out->d);
		out->pull = least_pull(&l->desk[0], d, INFINITY, &when);
		for (size_t q = 0; q < d->quantities; q++) /* with what follows from others */
			out->d.quantity[q].value = l->desk[0].given[q];
	}
	return 0;
}

/* ---- what mends it ---- */

struct mending {
	const struct inw_design *d;
	const struct inw_day_options *o;
	const struct inw_verdict *as_is; size_t count;
	struct inw_arena *arena;
	struct inw_design copy;
	struct inw_day_sim *s;
	double *given, *x;
	int runs;          /* of KNOBS * RUNS */
	struct inw_day_mends *found;
	bool stopped;
};

static void change_to(struct mending *m, inw_q q, double to)
{
	for (size_t i = 0; i < m->d->quantities; i++)
		m->given[i] = m->d->quantity[i].value;
	m->given[q] = to;
	inw_design_follow(m->d, m->given, NULL, 0);
}

/* All day while the door is shut, at every gap? */
static bool pulls(struct mending *m, inw_q q, double to)
{
	const struct inw_day_setup setup = {COARSE_SIZES, m->o ? m->o->tolerance : 0};
	double wanted = m->d->quantity[m->d->require.inward_pressure].value;
	int more;

	if (m->o && m->o->progress)
		m->o->progress(m->o->context, (double)m->runs / (KNOBS * RUNS));
	m->runs++;
	change_to(m, q, to);
	if (inw_day_start(m->s, m->d, &setup, m->given, m->x))
		return false;
	do {
		if (!m->s->door_open && inw_least_inward(&m->s->sol) < wanted)
			return false;
		more = inw_day_step(m->s);
		if (m->o && m->o->stop && m->s->steps % 64 == 0)
			m->stopped |= m->o->stop(m->o->context);
	} while (more > 0 && !m->stopped);
	return more == 0;
}

/* To three digits, as it will be shown and written into the file, and rather too far than not far enough. */
static double rounded(double v, bool up)
{
	double digit = v > 0 ? pow(10, floor(log10(v)) - 2) : 1;

	return digit * (up ? ceil(v / digit - 1e-9) : floor(v / digit + 1e-9));
}

/* As little changed as does it; NAN when all of it does not. */
static double find(struct mending *m, inw_q q, double end)
{
	if (q < 0 || m->d->quantity[q].value == end || !pulls(m, q, end))
		return NAN;
	double now = m->d->quantity[q].value, fails = now, holds = end;
	for (int k = 0; k < HALVINGS; k++) {
		double middle = 0.5 * (fails + holds);
		if (pulls(m, q, middle))
			holds = middle;
		else
			fails = middle;
	}
	return end > now ? fmin(rounded(holds, true), end) : fmax(rounded(holds, false), end);
}

static const struct inw_verdict *same(const struct mending *m, const struct inw_verdict *v)
{
	for (size_t i = 0; i < m->count; i++)
		if (strcmp(m->as_is[i].id, v->id) == 0 && (!v->job || !m->as_is[i].job || strcmp(m->as_is[i].job, v->job) == 0))
			return &m->as_is[i];
	return NULL;
}

/* Follow the changed day whole. False when it does not hold after all; else what it comes to, in words. */
static bool say_what_follows(struct mending *m, inw_q q, double to, struct inw_text *out)
{
	const struct inw_day_options o = {.tolerance = m->o ? m->o->tolerance : 0, .stop = m->o ? m->o->stop : NULL, .context = m->o ? m->o->context : NULL};
	struct inw_day_report *r = NULL;
	struct inw_diags diags = {0};
	bool holds = false;

	change_to(m, q, to);
	for (size_t i = 0; i < m->d->quantities; i++)
		m->copy.quantity[i].value = m->given[i];
	enum inw_status status = inw_day(&m->copy, &o, &r, &diags);
	m->stopped |= status == INW_IO;
	out->failed |= status == INW_NO_MEMORY;
	for (size_t i = 0; r && i < r->verdict_count; i++) {
		const struct inw_verdict *v = &r->verdicts[i], *was = same(m, v);
		if (strcmp(v->id, "day_inward_pressure") == 0) {
			holds = v->word == INW_MEETS;
			inw_text_printf(out, ": the least pull of the day is then " INW_N, INW_V(v->dim, v->value));
		}
		if (v->word == INW_MISSES && was && was->word != INW_MISSES)
			inw_text_printf(out, "; but then it misses: %s (" INW_N ")", v->title, INW_V(v->dim, v->value));
	}
	inw_text_add(out, ".");
	inw_day_free(r);
	inw_diags_free(&diags);
	return holds;
}

static int try(struct mending *m, int knob, const char *what, inw_q q, double end, struct inw_text *out)
{
	struct inw_text follows = {0};

	m->runs = knob * RUNS;
	double to = find(m, q, end);

	if (!isnan(to) && say_what_follows(m, q, to, &follows)) {
		const struct inw_quantity *now = &m->d->quantity[q];
		m->found->by[m->found->n].q = q;
		m->found->by[m->found->n++].to = to;
		inw_text_printf(out, "%s%s " INW_N " instead of " INW_N "%.*s", out->length ? " Or: " : "", what, INW_V(now->dim, to), INW_V(now->dim, now->value), (int)follows.length, follows.s);
	}
	int failed = follows.failed || out->failed;
	inw_text_free(&follows);
	return failed ? -1 : 0;
}

int inw_day_mend(const struct inw_design *d, const struct inw_day_options *o, const struct inw_verdict *as_is, size_t count, struct inw_arena *arena,
                 struct inw_day_mends *out)
{
	struct mending m = {d, o, as_is, count, arena, *d, inw_arena_alloc(arena, sizeof *m.s), inw_arena_alloc(arena, sizeof(double) * (d->quantities + 1)),
	                    inw_arena_alloc(arena, sizeof(double) * (d->quantities + 1)), 0, out, false};
	struct inw_text text = {0};
	int failed = -1;

	*out = (struct inw_day_mends){0};
	m.copy.quantity = inw_arena_alloc(arena, sizeof *d->quantity * (d->quantities + 1));
	if (!m.s || !m.given || !m.x || !m.copy.quantity)
		return -1;
	memcpy(m.copy.quantity, d->quantity, sizeof *d->quantity * d->quantities);
	const struct inw_stage *b = inw_stage_of(d, INW_STAGE_BLOWER);
	if (try(&m, 0, "Limit the chamber's heater, so that it warms the box more slowly, to", d->heat.heater_power, 0, &text) == 0
	    && try(&m, 1, "Send out", inw_share_quantity(d), 1, &text) == 0
	    && try(&m, 2, "Let the blower run at", b ? b->blower.speed : INW_NONE, 1, &text) == 0)
		failed = 0;
	if (!failed && text.length && !m.stopped && !(out->change = inw_arena_dup(arena, text.s, text.length)))
		failed = -1;
	inw_text_free(&text);
	return failed;
}
