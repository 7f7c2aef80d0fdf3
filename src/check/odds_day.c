/* SPDX-License-Identifier: MIT */
/* odds_day.c: whole days as something to sample: each sample is a copy of the design whose quantities have no range. */
#include <math.h>
#include <string.h>

#include "check/odds.h"
#include "check/study.h"

struct day_self { const struct inw_design *d; struct inw_subject *subject; struct inw_arena *arena; };
struct day_worker { const struct day_self *self; struct inw_design d; struct inw_quantity *quantity; };

static bool is(const struct inw_verdict *v, const struct inw_output *o)
{
	return strcmp(v->id, o->id) == 0 && strcmp(v->job ? v->job : "", o->job) == 0;
}

static const struct inw_verdict *find(const struct inw_day_report *r, const struct inw_output *o, size_t like)
{
	if (like < r->verdict_count && is(&r->verdicts[like], o))
		return &r->verdicts[like];
	for (size_t i = 0; i < r->verdict_count; i++)
		if (is(&r->verdicts[i], o))
			return &r->verdicts[i];
	return NULL;
}

/* A day that cannot be run, or that does not judge an output, has no answer for it. */
static int values(void *worker, double *x, const double *z, double *value, double *see)
{
	struct day_worker *w = worker;
	const struct inw_subject *s = w->self->subject;
	struct inw_day_report *r = NULL;
	struct inw_diags diags = {0};

	(void)z;
	for (size_t q = 0; q < w->d.quantities; q++)
		w->quantity[q].value = w->quantity[q].low = w->quantity[q].high = x[q];
	enum inw_status status = inw_day(&w->d, NULL, &r, &diags);
	inw_diags_free(&diags);
	for (int i = 0; i < s->outputs; i++) {
		const struct inw_verdict *v = r ? find(r, &s->output[i], (size_t)i) : NULL;
		value[i] = v ? v->value : NAN;
	}
	for (int i = 0; see && i < INW_SIGHTS; i++)
		see[i] = NAN;
	inw_day_free(r);
	return status == INW_NO_MEMORY ? -1 : 0;
}

static int closer(void *worker, double *x, const double *z, double *value, double *detail)
{
	(void)detail;
	return values(worker, x, z, value, NULL);
}

/* Concentrations, times and shares scatter by factors, temperatures and pressures do not. */
static enum inw_scale scale_of(const struct inw_verdict *v)
{
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

static int describe(struct inw_subject *s, const struct inw_day_report *r, struct inw_arena *arena)
{
	s->output = inw_arena_alloc(arena, sizeof *s->output * (r->verdict_count + 1));
	if (!s->output)
		return -1;
	for (size_t i = 0; i < r->verdict_count; i++) {
		const struct inw_verdict *v = &r->verdicts[i];
		struct inw_output *o = &s->output[i];
		*o = (struct inw_output){.id = kept(arena, v->id), .title = kept(arena, v->title), .job = kept(arena, v->job), .limit_source = kept(arena, v->limit_source),
			.dim = v->dim, .sense = v->sense, .limit = v->limit, .limit_high = v->limit_high, .scale = scale_of(v)};
		o->untold = v->word == INW_CANNOT_TELL && !isnan(v->value);
		if (!o->id || !o->title || !o->job || !o->limit_source)
			return -1;
	}
	s->outputs = (int)r->verdict_count;
	return 0;
}

/* What a day reads: what a check reads, what only time knows of the materials, and every other number of the design's own
 * blocks. What it does not read changes nothing. */
static int mark(struct inw_subject *s, struct inw_arena *arena)
{
	static const char *const own[] = {"day.", "carbon.", "heat.", "box.", "rooms", "cleaner.", "jobs"};
	const struct inw_design *d = s->d;
	struct inw_subject check;

	if (inw_subject_check(&check, d, 1, arena))
		return -1;
	s->sampled = check.sampled;
	s->weight = check.weight;
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
		for (size_t i = 0; i < INW_COUNT(own); i++)
			if (strncmp(d->quantity[q].path, own[i], strlen(own[i])) == 0 && inw_quantity_is_drawn(&d->quantity[q]) && !follows[q])
				s->sampled[q] = 1;
	return 0;
}

int inw_subject_day(struct inw_subject *s, const struct inw_design *d, unsigned workers, struct inw_arena *arena)
{
	struct day_self *self = inw_arena_alloc(arena, sizeof *self);
	struct inw_day_report *r = NULL;
	struct inw_diags diags = {0};

	*s = (struct inw_subject){.d = d, .least = 16, .closer = closer, .values = values, .self = self, .workers = workers};
	s->worker = inw_arena_alloc(arena, sizeof *s->worker * (workers + 1));
	if (!self || !s->worker || mark(s, arena))
		return -1;
	*self = (struct day_self){d, s, arena};
	enum inw_status status = inw_day(d, NULL, &r, &diags);
	inw_diags_free(&diags);
	if (status == INW_NO_MEMORY)
		return -1;
	int bad = r ? describe(s, r, arena) : 0;
	inw_day_free(r);
	for (unsigned k = 0; k < workers && !bad; k++) {
		struct day_worker *w = inw_arena_alloc(arena, sizeof *w);
		if (!w || !(w->quantity = inw_arena_alloc(arena, sizeof *w->quantity * (d->quantities + 1))))
			return -1;
		w->self = self;
		w->d = *d;
		memcpy(w->quantity, d->quantity, sizeof *w->quantity * d->quantities);
		w->d.quantity = w->quantity;
		s->worker[k] = w;
	}
	s->note = "Of a sampled day each person's worst minutes and hours are judged as 'inward day' judges them.";
	return bad;
}
