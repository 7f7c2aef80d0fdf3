/* SPDX-License-Identifier: MIT */
#include "check/day_mend.h"

#include <math.h>
#include <string.h>

#include "check/air.h"
#include "judge/sentence.h"

enum { KNOBS = INW_DAY_MENDS, HALVINGS = 6, RUNS = HALVINGS + 2 /* of a knob: its end, and the changed day whole */, COARSE_SIZES = 2 /* particles move no air */ };

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
