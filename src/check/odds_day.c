/* SPDX-License-Identifier: MIT */
/* odds_day.c: whole days, or months on the carbon, as something to sample: each sample is a copy of the design whose
 * quantities have no range. What a cheap test would read of it is read off its steady state, as tests tell to wait for it. */
#include <math.h>
#include <string.h>

#include "check/odds.h"
#include "check/study.h"

struct day_self { const struct inw_design *d; struct inw_subject *subject, check; bool life; };
struct day_worker { const struct day_self *self; struct inw_design d; struct inw_quantity *quantity; void *check; double *checked; struct inw_meant *meant; };

/* What was followed, one of the two. */
struct told { struct inw_day_report *day; struct inw_life_report *life; const struct inw_verdict *verdicts; size_t count; };

static enum inw_status follow(const struct day_self *self, const struct inw_design *d, struct told *t)
{
	struct inw_diags diags = {0};
	enum inw_status status = self->life ? inw_life(d, NULL, &t->life, &diags) : inw_day(d, NULL, &t->day, &diags);

	inw_diags_free(&diags);
	if (t->day)
		t->verdicts = t->day->verdicts, t->count = t->day->verdict_count;
	if (t->life)
		t->verdicts = t->life->verdicts, t->count = t->life->verdict_count;
	return status;
}

static void told_free(struct told *t)
{
	inw_day_free(t->day);
	inw_life_free(t->life);
}

static bool is(const struct inw_verdict *v, const struct inw_output *o)
{
	return strcmp(v->id, o->id) == 0 && strcmp(v->job ? v->job : "", o->job) == 0;
}

static const struct inw_verdict *find(const struct told *t, const struct inw_output *o, size_t like)
{
	if (like < t->count && is(&t->verdicts[like], o))
		return &t->verdicts[like];
	for (size_t i = 0; i < t->count; i++)
		if (is(&t->verdicts[i], o))
			return &t->verdicts[i];
	return NULL;
}

/* What is missed without a number lies on its limit's bad side. A sample that cannot tell what the design at its best estimates
 * can does not pass. */
static struct inw_meant meaning(const struct inw_verdict *v, const struct inw_output *o, double *value)
{
	bool beyond = isnan(v->value) && v->word == INW_MISSES && isfinite(v->limit) && (v->sense == INW_AT_MOST || v->sense == INW_AT_LEAST);
	enum inw_bound bound = beyond ? (v->sense == INW_AT_MOST ? INW_MORE_THAN : INW_LESS_THAN) : v->bound;
	bool fails = v->word == INW_MISSES || (v->word == INW_CANNOT_TELL && bound == INW_EXACTLY && !o->untold);

	*value = beyond ? v->limit : v->value;
	return (struct inw_meant){
		.bound = (signed char)(bound == INW_MORE_THAN ? 1 : bound == INW_LESS_THAN ? -1 : 0),
		.verdict = (signed char)(v->word == INW_MEETS ? 1 : fails ? -1 : 0),
	};
}

/* A day that cannot be run, or that does not judge an output, has no answer for it. */
static int values(void *worker, double *x, const double *z, double *value, double *see)
{
	struct day_worker *w = worker;
	const struct inw_subject *s = w->self->subject;
	struct told t = {0};

	if (see && w->self->check.values(w->check, x, z, w->checked, see))
		return -1;
	for (size_t q = 0; q < w->d.quantities; q++)
		w->quantity[q].value = w->quantity[q].low = w->quantity[q].high = x[q];
	enum inw_status status = follow(w->self, &w->d, &t);
	for (int i = 0; i < s->outputs; i++) {
		const struct inw_verdict *v = find(&t, &s->output[i], (size_t)i);
		value[i] = NAN;
		w->meant[i] = v ? meaning(v, &s->output[i], &value[i]) : (struct inw_meant){0, 0};
	}
	told_free(&t);
	return status == INW_NO_MEMORY ? -1 : 0;
}

static const struct inw_meant *meant(void *worker)
{
	const struct day_worker *w = worker;

	return w->meant;
}

static int closer(void *worker, double *x, const double *z, double *value, double *detail)
{
	(void)detail;
	return values(worker, x, z, value, NULL);
}

/* Concentrations, times and shares scatter by factors, temperatures and pressures do not. The life of carbon does so whether
 * much or little of it is wanted. */
static enum inw_scale scale_of(const struct inw_verdict *v, bool life)
{
	if (life && (v->dim == INW_DIM_TIME || v->dim == INW_DIM_MASS))
		return INW_SCALE_LOG;
	switch (v->dim) {
	case INW_DIM_NONE: case INW_DIM_CONCENTRATION: case INW_DIM_NUMBER_CONCENTRATION: case INW_DIM_TIME: case INW_DIM_MASS:
		return v->sense == INW_AT_MOST ? INW_SCALE_LOG : INW_SCALE_LINEAR;
	case INW_DIM_VELOCITY:
		return INW_SCALE_ASINH;
	default:
		return INW_SCALE_LINEAR;
	}
}

static const char *kept(struct inw_arena *arena, const char *s)
{
	return s ? inw_arena_dup(arena, s, strlen(s)) : inw_arena_dup(arena, "", 0);
}

/* How far a repeated week is off is no property of the box. */
static bool counts(const struct inw_verdict *v)
{
	return strcmp(v->id, "life_shortcut") != 0;
}

static int describe(struct inw_subject *s, const struct told *t, struct inw_arena *arena)
{
	const struct day_self *self = s->self;

	s->output = inw_arena_alloc(arena, sizeof *s->output * (t->count + 1));
	if (!s->output)
		return -1;
	for (size_t i = 0; i < t->count; i++) {
		const struct inw_verdict *v = &t->verdicts[i];
		struct inw_output *o = &s->output[s->outputs];
		if (!counts(v))
			continue;
		*o = (struct inw_output){.id = kept(arena, v->id), .title = kept(arena, v->title), .job = kept(arena, v->job), .limit_source = kept(arena, v->limit_source),
			.dim = v->dim, .sense = v->sense, .limit = v->limit, .limit_high = v->limit_high, .scale = scale_of(v, self->life)};
		o->untold = v->word == INW_CANNOT_TELL && !isnan(v->value);
		if (!o->id || !o->title || !o->job || !o->limit_source)
			return -1;
		s->outputs++;
	}
	return 0;
}

/* What a day reads: what a check reads, what only time knows of the materials, and every other number of the design's own
 * blocks. What it does not read changes nothing. */
static int mark(struct inw_subject *s, struct inw_arena *arena)
{
	static const char *const own[] = {"day.", "carbon.", "heat.", "box.", "rooms", "cleaner.", "jobs", "upkeep."};
	const struct inw_design *d = s->d;
	struct day_self *self = s->self;
	size_t blocks = INW_COUNT(own) - !self->life; /* prices only where a year's cost is told */

	if (inw_subject_check(&self->check, d, s->workers, arena))
		return -1;
	s->sampled = self->check.sampled;
	s->weight = self->check.weight;
	unsigned char *follows = inw_arena_alloc(arena, d->quantities + 1);
	if (!follows)
		return -1;
	for (size_t i = 0; i < d->dependences; i++)
		follows[d->dependence[i].to] = 1;
	for (size_t j = 0; j < d->jobs; j++) {
		const struct inw_material *m = &d->catalog.material[d->job[j].material];
		const inw_q in_time[] = {m->burst_gas, m->burst_particles, m->burst_time, m->afterglow, m->afterglow_time, m->particle_spread};
		for (size_t i = 0; i < INW_COUNT(in_time); i++)
			if (in_time[i] >= 0 && inw_quantity_is_drawn(&d->quantity[in_time[i]]) && !follows[in_time[i]])
				s->sampled[in_time[i]] = 1;
	}
	for (size_t q = 0; q < d->quantities; q++)
		for (size_t i = 0; i < blocks; i++)
			if ((inw_q)q != d->upkeep.horizon && strncmp(d->quantity[q].path, own[i], strlen(own[i])) == 0 && inw_quantity_is_drawn(&d->quantity[q]) && !follows[q])
				s->sampled[q] = 1;
	return 0;
}

static int make_worker(struct inw_subject *s, unsigned k, struct inw_arena *arena)
{
	struct day_self *self = s->self;
	struct day_worker *w = inw_arena_alloc(arena, sizeof *w);

	if (!w || !(w->quantity = inw_arena_alloc(arena, sizeof *w->quantity * (s->d->quantities + 1)))
	    || !(w->checked = inw_arena_alloc(arena, sizeof *w->checked * (size_t)(self->check.outputs + 1)))
	    || !(w->meant = inw_arena_alloc(arena, sizeof *w->meant * ((size_t)s->outputs + 1))))
		return -1;
	w->self = self;
	w->d = *s->d;
	memcpy(w->quantity, s->d->quantity, sizeof *w->quantity * s->d->quantities);
	w->d.quantity = w->quantity;
	w->check = self->check.worker[k];
	s->worker[k] = w;
	return 0;
}

int inw_subject_day(struct inw_subject *s, const struct inw_design *d, bool life, unsigned workers, struct inw_arena *arena)
{
	struct day_self *self = inw_arena_alloc(arena, sizeof *self);
	struct told t = {0};

	*s = (struct inw_subject){.d = d, .least = life ? 4 : 16, .closer = closer, .values = values, .meant = meant, .self = self, .workers = workers};
	s->worker = inw_arena_alloc(arena, sizeof *s->worker * (workers + 1));
	if (!self || !s->worker)
		return -1;
	*self = (struct day_self){.d = d, .subject = s, .life = life};
	if (mark(s, arena))
		return -1;
	bool bad = follow(self, d, &t) == INW_NO_MEMORY || describe(s, &t, arena);
	told_free(&t);
	for (unsigned k = 0; k < workers && !bad; k++)
		bad = make_worker(s, k, arena);
	s->note = life ? "Of each sample the carbon is followed through its months as 'inward life' follows it at best estimates. What outlasts the time looked ahead is known to be more than that (what a year takes of it: less) and no further."
	               : "Of a sampled day each person's worst minutes and hours are judged as 'inward day' judges them. What misses its limit without a number, as a wait that the opened door cuts off, is known to lie beyond it and no further.";
	return bad ? -1 : 0;
}
