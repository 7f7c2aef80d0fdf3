/* SPDX-License-Identifier: MIT */
/* map.c: a design with one or two of its numbers moved: where is what met?
 *
 * Invariants: Y1 a point's numbers are those of a check of the design with the moved values written in its file. Y2 what may
 * not be written has no answer, and what is not solved has none; neither is ever counted as met.
 */
#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/contour.h"
#include "check/study.h"
#include "judge/verdict.h"

enum {
	MAP_CEILING = 128 << 20, LEAST_POINTS = 3, MOST_POINTS = 201, MOST_SAMPLES = 4096, MOST_TARGETS = 256, MOST_NOTES = 8,
	CURVE_POINTS = 33, WIDE_POINTS = 61, HIGH_POINTS = 41,
	SURE_WIDE_POINTS = 25, SURE_HIGH_POINTS = 21 /* a point with its ranges costs ten times as much */
};
static const double fineness = 1.0 / 1024; /* of the range: how near the ends of intervals are found */
static const double most_level = 1e3;      /* beyond, a level is as good as without end */

/* One verdict that is mapped: where it stands in its job's list of measures. */
struct target { size_t job; int measure; };

/* What one point gives for one target. */
struct answer { double value, bad, margin, level; enum inw_word word; bool beyond; /* a band, at its high end */ };
struct sample { double at[2]; struct answer *answer; };

struct mapper {
	const struct inw_design *d;
	const struct inw_map_options *o;
	struct inw_diags *diags;
	struct inw_arena *arena;        /* of the result */
	struct inw_map *m;
	inw_q q[2];
	struct inw_measures *measures;  /* of each job, the design as it stands */
	struct target target[MOST_TARGETS]; size_t targets, errors_before;
	unsigned *wanted;               /* of each job: INW_WANT_... of its targets */
	struct inw_design moved;        /* the design with other numbers */
	struct inw_quantity *quantity;  /* these */
	struct inw_case *near;          /* of each job: the last state as designed that was solved */
	bool careful;                   /* some values may not be written: each point is asked */
	struct sample now, *sample; size_t samples;
	const char *note[MOST_NOTES]; size_t notes;
	double share;                   /* of the work, for progress */
	enum inw_status trouble;        /* why the work ended early */
};

static int out_of_memory(struct mapper *p)
{
	p->diags->out_of_memory = true;
	p->trouble = INW_NO_MEMORY;
	return -1;
}

static int refuse(struct mapper *p)
{
	p->trouble = INW_BAD_INPUT;
	return -1;
}

static void *take(struct mapper *p, size_t count, size_t size)
{
	void *v = inw_arena_alloc(p->arena, count * size + 1);

	if (!v)
		(void)out_of_memory(p);
	return v;
}

/* ---- which verdicts ---- */

/* "id", or "id@job". */
static bool is_named(const struct mapper *p, size_t job, const struct inw_measure *m, const char *name)
{
	size_t n = strlen(m->id);

	return strncmp(name, m->id, n) == 0 && (!name[n] || (name[n] == '@' && strcmp(name + n + 1, p->d->job[job].name) == 0));
}

static void say_no_verdict(struct mapper *p, const char *name)
{
	const char *words[INW_MAX_MEASURES];
	const struct inw_measures *l = &p->measures[0];

	for (int i = 0; i < l->n; i++)
		words[i] = l->m[i].id;
	const char *near = inw_nearest_word(name, words, (size_t)l->n);
	inw_diag_add(p->diags, INW_ERROR, p->d->file, 0, 0, "there is no verdict '%s'%s%s%s", name, near ? "; did you mean '" : "", near ? near : "", near ? "'?" : "");
}

static void add_target(struct mapper *p, size_t job, int i)
{
	for (size_t t = 0; t < p->targets; t++)
		if (p->target[t].job == job && p->target[t].measure == i)
			return;
	if (p->targets == MOST_TARGETS) {
		if (p->diags->errors == p->errors_before)
			inw_diag_add(p->diags, INW_ERROR, p->d->file, 0, 0, "all jobs together have more requirements than the %d of one map: name those that are to be looked at", MOST_TARGETS);
		return;
	}
	p->target[p->targets++] = (struct target){job, i};
	p->wanted[job] |= inw_study_wanted_by(p->measures[job].m[i].kind);
}

static void add_named(struct mapper *p, const char *name)
{
	bool known = false, limited = false;

	for (size_t j = 0; j < p->d->jobs; j++)
		for (int i = 0; i < p->measures[j].n; i++) {
			const struct inw_measure *m = &p->measures[j].m[i];
			if (!is_named(p, j, m, name))
				continue;
			known = true;
			if (m->sense == INW_NO_LIMIT)
				continue;
			limited = true;
			add_target(p, j, i);
		}
	if (!known)
		say_no_verdict(p, name);
	else if (!limited)
		inw_diag_add(p->diags, INW_ERROR, p->d->file, 0, 0, "nothing is required of '%s', so it has no margin to map", name);
}

static int choose_targets(struct mapper *p)
{
	size_t before = p->errors_before = p->diags->errors;
	enum inw_status fits = inw_measures_fit(p->d, p->arena, p->diags);

	if (fits != INW_OK)
		return fits == INW_BAD_INPUT ? refuse(p) : out_of_memory(p);
	p->measures = take(p, p->d->jobs, sizeof *p->measures);
	p->wanted = take(p, p->d->jobs, sizeof *p->wanted);
	if (!p->measures || !p->wanted)
		return -1;
	for (size_t j = 0; j < p->d->jobs; j++)
		if (inw_measures_list(&p->measures[j], p->d, &p->d->job[j], p->arena))
			return out_of_memory(p);
	for (size_t k = 0; k < p->o->of_count; k++)
		add_named(p, p->o->of[k]);
	for (size_t j = 0; p->o->of_count == 0 && j < p->d->jobs; j++)
		for (int i = 0; i < p->measures[j].n; i++)
			if (p->measures[j].m[i].sense != INW_NO_LIMIT)
				add_target(p, j, i);
	if (p->diags->errors > before)
		return refuse(p);
	if (p->targets == 0) {
		inw_diag_add(p->diags, INW_ERROR, p->d->file, 0, 0, "no verdict of this design has a limit, so there is nothing to map");
		return refuse(p);
	}
	return 0;
}

static const struct inw_measure *measure_of(const struct mapper *p, size_t t)
{
	return &p->measures[p->target[t].job].m[p->target[t].measure];
}

/* ---- which numbers, over which range ---- */

/* What follows from others cannot be moved by itself. */
static int refuse_dependent(struct mapper *p, inw_q q)
{
	const struct inw_quantity *quantity = &p->d->quantity[q];

	for (size_t i = 0; i < p->d->dependences; i++)
		if (p->d->dependence[i].to == q) {
			inw_diag_add(p->diags, INW_ERROR, p->d->file, 0, 0, "%s is worked out from others (%s): map one of these", quantity->path, quantity->source);
			return refuse(p);
		}
	if (quantity->origin != INW_DERIVED)
		return 0;
	inw_diag_add(p->diags, INW_ERROR, p->d->file, 0, 0, "%s follows from the form of the design (%s), not from a number in it", quantity->path, quantity->source);
	return refuse(p);
}

static bool is_speed(const struct inw_quantity *q)
{
	size_t n = strlen(q->path);

	return q->dim == INW_DIM_FRACTION && n > 6 && strcmp(q->path + n - 6, ".speed") == 0;
}

/* A range in which the number makes sense, where the user names none: all that a share may be, a fan from a tenth of its
 * rated speed, some degrees about what a temperature is, else from a third of its least to three times its greatest. False
 * where nothing tells. Common practice, no source. */
static bool usual_range(const struct inw_quantity *q, double *from, double *to)
{
	const double about = 20; /* K, dB */

	if (is_speed(q)) {
		*from = fmin(0.1, q->value);
		*to = fmax(1, q->value);
	} else if (q->dim == INW_DIM_CLOCK) {
		*from = 0;
		*to = 86340;
	} else if (q->dim == INW_DIM_FRACTION && q->least >= 0 && q->most <= 1) {
		*from = q->least > 0 && q->least < 1e-3 ? 0.02 : q->least;
		*to = q->most < 1 && q->most > 0.999 ? 0.98 : q->most;
	} else if (q->dim == INW_DIM_TEMPERATURE || q->dim == INW_DIM_SOUND) {
		*from = q->low - about;
		*to = q->high + about;
	} else if (q->low > 0 || q->value > 0) {
		*from = (q->low > 0 ? q->low : q->value) / 3;
		*to = 3 * q->high;
	} else {
		return false;
	}
	*from = fmax(*from, q->least);
	*to = fmin(*to, q->most);
	return true;
}

static int choose_range(struct mapper *p, size_t k)
{
	const struct inw_map_axis_options *a = &p->o->axis[k];
	const struct inw_quantity *q = &p->d->quantity[p->q[k]];
	double from = NAN, to = NAN;

	if (isnan(a->from) || isnan(a->to)) {
		if (!usual_range(q, &from, &to)) {
			inw_diag_add(p->diags, INW_ERROR, p->d->file, 0, 0, "%s is zero here, which does not tell how far it may go: name a range", q->path);
			return refuse(p);
		}
	}
	from = isnan(a->from) ? from : a->from;
	to = isnan(a->to) ? to : a->to;
	if (!(from < to) || !isfinite(to - from)) {
		inw_diag_add(p->diags, INW_ERROR, p->d->file, 0, 0, "the range of %s must rise", q->path);
		return refuse(p);
	}
	p->m->axis[k] = (struct inw_map_axis){.quantity = q, .now = q->value};
	double *at = take(p, MOST_POINTS, sizeof *at);
	size_t usual = p->o->axes == 1 ? CURVE_POINTS : p->o->sure ? (k ? SURE_HIGH_POINTS : SURE_WIDE_POINTS) : (k ? HIGH_POINTS : WIDE_POINTS);
	size_t n = a->points ? a->points : usual;
	if (!at)
		return -1;
	if (n < LEAST_POINTS || n > MOST_POINTS) {
		inw_diag_add(p->diags, INW_ERROR, p->d->file, 0, 0, "a map takes %d to %d points along each quantity, not %zu", LEAST_POINTS, MOST_POINTS, n);
		return refuse(p);
	}
	for (size_t i = 0; i < n; i++)
		at[i] = i + 1 < n ? from + (to - from) * (double)i / (double)(n - 1) : to;
	p->m->axis[k].at = at;
	p->m->axis[k].count = n;
	return 0;
}

/* What a reading compares rises or falls with each number: when all corners of the map may be written, so may all in between.
 * Else each point is asked; and with a time of day, since a stay may end at any time but when it begins. */
static int ask_reader(struct mapper *p, const double at[2], struct inw_diags *diags, bool *fine)
{
	struct inw_design *again = NULL;
	struct inw_change change[2];

	for (size_t k = 0; k < p->m->axes; k++)
		change[k] = (struct inw_change){p->m->axis[k].quantity->path, at[k]};
	enum inw_status s = inw_design_changed(p->d, change, p->m->axes, &again, diags);
	inw_design_free(again);
	*fine = s == INW_OK;
	return s == INW_OK || s == INW_BAD_INPUT ? 0 : out_of_memory(p);
}

/* Warnings of the file have been said once; a fault tells the user what of the range may not be. */
static int ask_corner(struct mapper *p, const double at[2], bool *fine)
{
	struct inw_diags own = {0};
	int bad = ask_reader(p, at, &own, fine);

	for (size_t i = 0; i < own.count && p->notes < MOST_NOTES && !*fine; i++)
		if (own.items[i].severity == INW_ERROR) {
			const char *note = inw_arena_printf(p->arena, "Not all of this range can be: %s.", own.items[i].message);
			if (!note)
				bad = out_of_memory(p);
			else if (p->notes == 0 || strcmp(p->note[p->notes - 1], note) != 0)
				p->note[p->notes++] = note;
			break;
		}
	inw_diags_free(&own);
	return bad;
}

/* Bounds of the number itself are faults of the user's range. */
static bool within_bounds(struct mapper *p, size_t k)
{
	const struct inw_map_axis *a = &p->m->axis[k];
	const struct inw_quantity *q = a->quantity;
	char least[64], most[64];

	if (a->at[0] >= q->least && a->at[a->count - 1] <= q->most)
		return true;
	inw_format(least, sizeof least, q->least, q->dim, INW_SI);
	inw_format(most, sizeof most, q->most, q->dim, INW_SI);
	inw_diag_add(p->diags, INW_ERROR, p->d->file, 0, 0, "%s may be %s%s%s%s%s only", q->path, isfinite(q->least) ? "from " : "", isfinite(q->least) ? least : "",
	             isfinite(q->least) && isfinite(q->most) ? " " : "", isfinite(q->most) ? "to " : "", isfinite(q->most) ? most : "");
	return false;
}

static int ask_corners(struct mapper *p)
{
	for (int corner = 0; corner < 1 << p->o->axes; corner++) {
		double at[2] = {0, 0};
		bool fine;
		for (size_t k = 0; k < p->o->axes; k++)
			at[k] = p->m->axis[k].at[corner >> k & 1 ? p->m->axis[k].count - 1 : 0];
		if (ask_corner(p, at, &fine))
			return -1;
		p->careful |= !fine;
	}
	return 0;
}

static int choose_numbers(struct mapper *p)
{
	size_t before = p->diags->errors;

	for (size_t k = 0; k < p->o->axes; k++) {
		const struct inw_quantity *q = inw_design_find(p->d, p->o->axis[k].name, p->diags);
		if (q)
			p->q[k] = (inw_q)(q - p->d->quantity);
		if (p->diags->out_of_memory)
			return out_of_memory(p);
	}
	if (p->diags->errors > before)
		return refuse(p);
	if (p->o->axes == 2 && p->q[0] == p->q[1]) {
		inw_diag_add(p->diags, INW_ERROR, p->d->file, 0, 0, "a map of two quantities wants two different ones");
		return refuse(p);
	}
	for (size_t k = 0; k < p->o->axes; k++)
		if (refuse_dependent(p, p->q[k]) || choose_range(p, k))
			return -1;
	for (size_t k = 0; k < p->o->axes; k++)
		if (!within_bounds(p, k))
			return refuse(p);
	for (size_t k = 0; k < p->o->axes; k++)
		p->careful |= p->m->axis[k].quantity->dim == INW_DIM_CLOCK;
	return ask_corners(p);
}

/* ---- one point ---- */

/* The same measure in the moved design: usually at the same place of the list. -1: it is not judged there. */
static int same_measure(const struct inw_study *s, const struct inw_measure *m, int at)
{
	if (at < s->measures.n && strcmp(s->measures.m[at].id, m->id) == 0)
		return at;
	for (int i = 0; i < s->measures.n; i++)
		if (strcmp(s->measures.m[i].id, m->id) == 0)
			return i;
	return -1;
}

/* A number that changes by factors is straight between points as its logarithm, not as itself. */
static double level_of(const struct inw_measure *m, double v)
{
	double margin = inw_measure_margin(m, v), level = margin / inw_measure_one(m);
	const double nothing = 1e-9;

	if (isnan(v))
		return NAN;
	if (m->scale == INW_SCALE_LOG && m->limit > 0 && m->sense != INW_WITHIN)
		level = (m->sense == INW_AT_MOST ? -1 : 1) * log(fmax(v / m->limit, nothing));
	if (m->scale == INW_SCALE_LOG_REST && m->sense == INW_AT_LEAST && m->limit < 1)
		level = log((1 - m->limit) / fmax(1 - v, nothing));
	if (m->scale == INW_SCALE_ASINH && m->limit > 0)
		level = (m->sense == INW_AT_MOST ? -1 : 1) * (asinh(v / m->limit) - asinh(1));
	return fmax(fmin(level, most_level), -most_level);
}

/* The end of the range that harms; NAN where an end has no answer. */
static double bad_end(const struct inw_finding *f)
{
	if (f->broken || f->weakly || isnan(f->value))
		return NAN;
	return inw_measure_margin(f->m, f->low) < inw_measure_margin(f->m, f->high) ? f->low : f->high;
}

static struct answer read_answer(const struct mapper *p, const struct inw_study *s, size_t t)
{
	const int i = same_measure(s, measure_of(p, t), p->target[t].measure);
	const struct answer none = {NAN, NAN, NAN, NAN, INW_CANNOT_TELL, false};

	if (i < 0)
		return none;
	const struct inw_measure *m = &s->measures.m[i];
	struct inw_finding f = inw_study_finding(s, i);
	struct answer a = {.value = f.value, .bad = p->o->sure ? bad_end(&f) : f.value, .word = inw_verdict_word(&f)};
	a.margin = inw_measure_margin(m, a.bad);
	a.level = level_of(m, a.bad);
	a.beyond = m->sense == INW_WITHIN && a.bad > m->limit_high;
	return a;
}

static int answer_job(struct mapper *p, const struct inw_design *d, size_t job, struct answer *answer)
{
	struct inw_arena *scratch = inw_arena_new(MAP_CEILING);
	struct inw_study *s = NULL;

	if (scratch && p->o->sure)
		s = inw_study_run(d, &d->job[job], 1, scratch);
	else if (scratch && (s = inw_study_begin(d, &d->job[job], scratch)) != NULL) {
		s->wanted = p->wanted[job];
		inw_study_states(s, p->near[job].ok ? &p->near[job] : NULL);
	}
	for (size_t t = 0; s && t < p->targets; t++)
		if (p->target[t].job == job)
			answer[t] = read_answer(p, s, t);
	if (s && s->c[INW_AS_DESIGNED].ok)
		p->near[job] = s->c[INW_AS_DESIGNED];
	inw_arena_free(scratch);
	return s ? 0 : out_of_memory(p);
}

static int answer_point(struct mapper *p, const struct inw_design *d, struct sample *s)
{
	s->answer = take(p, p->targets, sizeof *s->answer);
	if (!s->answer)
		return -1;
	for (size_t j = 0; j < d->jobs; j++)
		if (answer_job(p, d, j, s->answer))
			return -1;
	p->m->solved++;
	return 0;
}

static int no_answer(struct mapper *p, struct sample *s)
{
	s->answer = take(p, p->targets, sizeof *s->answer);
	for (size_t t = 0; s->answer && t < p->targets; t++)
		s->answer[t] = (struct answer){NAN, NAN, NAN, NAN, INW_CANNOT_TELL, false};
	return s->answer ? 0 : -1;
}

static int solve(struct mapper *p, struct sample *s)
{
	bool fine = true;

	if (p->o->stop && p->o->stop(p->o->context)) {
		p->trouble = INW_IO;
		return -1;
	}
	if (p->careful) {
		struct inw_diags own = {0};
		int bad = ask_reader(p, s->at, &own, &fine);
		inw_diags_free(&own);
		if (bad)
			return bad;
	}
	if (!fine)
		return no_answer(p, s);
	inw_design_change(p->d, p->q, s->at, p->m->axes, p->quantity);
	return answer_point(p, &p->moved, s);
}

static void tell(struct mapper *p, double share)
{
	p->share = fmax(p->share, fmin(share, 1));
	if (p->o->progress)
		p->o->progress(p->o->context, p->share);
}

static int solve_now(struct mapper *p)
{
	p->near = take(p, p->d->jobs, sizeof *p->near);
	p->quantity = take(p, p->d->quantities, sizeof *p->quantity);
	if (!p->near || !p->quantity)
		return -1;
	p->moved = *p->d;
	p->moved.quantity = p->quantity;
	return answer_point(p, p->d, &p->now);
}

/* ---- a curve: points where the answer changes are brought together ---- */

enum side { NO_ANSWER, MISSED, MISSED_BEYOND, MET };

static enum side side_of(const struct answer *a)
{
	return isnan(a->margin) ? NO_ANSWER : a->margin >= 0 ? MET : a->beyond ? MISSED_BEYOND : MISSED;
}

static bool differs(const struct mapper *p, const struct sample *a, const struct sample *b)
{
	for (size_t t = 0; t < p->targets; t++)
		if (side_of(&a->answer[t]) != side_of(&b->answer[t]))
			return true;
	return false;
}

/* Halve every interval in which something changes; how many were halved, or -1. */
static long halve_once(struct mapper *p, double enough)
{
	struct sample *new = take(p, MOST_SAMPLES, sizeof *new);
	size_t n = 0;

	if (!new)
		return -1;
	for (size_t i = 0; i < p->samples; i++) {
		const struct sample *a = &p->sample[i], *b = a + 1;
		new[n++] = *a;
		if (i + 1 == p->samples || b->at[0] - a->at[0] <= enough || !differs(p, a, b) || n + (p->samples - i) + 1 > MOST_SAMPLES)
			continue;
		new[n] = (struct sample){.at = {0.5 * (a->at[0] + b->at[0])}};
		if (solve(p, &new[n]))
			return -1;
		n++;
	}
	long more = (long)(n - p->samples);
	p->sample = new;
	p->samples = n;
	return more;
}

static int solve_curve(struct mapper *p)
{
	const struct inw_map_axis *a = &p->m->axis[0];
	double enough = fineness * (a->at[a->count - 1] - a->at[0]) * (1 + 1e-9);

	p->sample = take(p, a->count, sizeof *p->sample);
	if (!p->sample)
		return -1;
	for (size_t i = 0; i < a->count; i++) {
		p->sample[p->samples++].at[0] = a->at[i];
		if (solve(p, &p->sample[i]))
			return -1;
		tell(p, 0.5 * (double)(i + 1) / (double)a->count);
	}
	p->m->precision = enough;
	for (long more = 1; more > 0; tell(p, p->share + 0.2 * (1 - p->share)))
		if ((more = halve_once(p, enough)) < 0)
			return -1;
	return 0;
}

static int solve_plane(struct mapper *p)
{
	const struct inw_map_axis *x = &p->m->axis[0], *y = &p->m->axis[1];

	p->sample = take(p, x->count * y->count, sizeof *p->sample);
	if (!p->sample)
		return -1;
	p->samples = x->count * y->count;
	for (size_t j = 0; j < y->count; j++)
		for (size_t k = 0; k < x->count; k++) {
			size_t i = j % 2 ? x->count - 1 - k : k; /* to and fro: each point beside the one before it */
			struct sample *s = &p->sample[j * x->count + i];
			s->at[0] = x->at[i];
			s->at[1] = y->at[j];
			if (solve(p, s))
				return -1;
			tell(p, (double)(j * x->count + k + 1) / (double)p->samples);
		}
	return 0;
}

/* ---- what is handed out ---- */

static bool is_untold(const struct inw_measure *m)
{
	double v = m->limit;
	struct inw_finding f = {.m = m, .value = v, .low = v, .high = v};

	return inw_verdict_word(&f) == INW_CANNOT_TELL;
}

/* Runs of points of a curve at which `met` holds. */
static int intervals(struct mapper *p, const bool *met, const struct inw_map_interval **out, size_t *count)
{
	struct inw_map_interval *list = take(p, p->samples + 1, sizeof *list);

	*count = 0;
	if (!list)
		return -1;
	for (size_t i = 0; i < p->samples; i++) {
		if (!met[i])
			continue;
		if (i == 0 || !met[i - 1])
			list[(*count)++].from = p->sample[i].at[0];
		list[*count - 1].to = p->sample[i].at[0];
	}
	*out = list;
	return 0;
}

static int where_met(struct mapper *p, size_t t, struct inw_map_verdict *v)
{
	bool *met = take(p, p->samples, sizeof *met);

	if (!met)
		return -1;
	for (size_t i = 0; i < p->samples; i++)
		met[i] = !v->untold && side_of(&p->sample[i].answer[t]) == MET;
	return intervals(p, met, &v->met, &v->met_count);
}

static int zero_lines(struct mapper *p, struct inw_map_verdict *v)
{
	const struct inw_grid g = {p->m->axis[0].at, p->m->axis[1].at, v->level, p->m->axis[0].count, p->m->axis[1].count};
	struct inw_map_line *lines;

	if (inw_contour(&g, 0, p->arena, &lines, &v->zero_count))
		return out_of_memory(p);
	v->zero = lines;
	return 0;
}

static int hand_out_verdict(struct mapper *p, size_t t, struct inw_map_verdict *v)
{
	const struct inw_measure *m = measure_of(p, t);
	double *value = take(p, p->samples, sizeof *value), *margin = take(p, p->samples, sizeof *margin), *level = take(p, p->samples, sizeof *level);
	enum inw_word *word = take(p, p->samples, sizeof *word);

	if (!value || !margin || !level || !word)
		return -1;
	for (size_t i = 0; i < p->samples; i++) {
		const struct answer *a = &p->sample[i].answer[t];
		value[i] = a->value;
		margin[i] = a->margin;
		level[i] = a->level;
		word[i] = a->word;
	}
	*v = (struct inw_map_verdict){.id = m->id, .title = m->title, .job = p->d->job[p->target[t].job].name, .dim = m->dim, .sense = m->sense,
		.limit = m->limit, .limit_high = m->limit_high, .untold = is_untold(m), .one = inw_measure_one(m), .value = value, .margin = margin, .level = level,
		.word = word, .value_now = p->now.answer[t].value, .margin_now = p->now.answer[t].margin};
	return p->m->axes == 1 ? where_met(p, t, v) : zero_lines(p, v);
}

/* The least of those that can be told, over what is one for each; NAN where none of these is missed and some verdict has no answer. */
static double least_of(const struct mapper *p, const struct sample *s, int *limiting)
{
	double least = INFINITY;
	int unanswered = -1;

	*limiting = -1;
	for (size_t t = 0; t < p->targets; t++) {
		const struct inw_map_verdict *v = &p->m->verdicts[t];
		double share = s->answer[t].margin / v->one;
		if (isnan(share) && !v->untold && unanswered < 0)
			unanswered = (int)t;
		if (v->untold || !(share < least))
			continue;
		least = share;
		*limiting = (int)t;
	}
	if (unanswered >= 0 && !(least < 0))
		*limiting = unanswered;
	return *limiting < 0 || *limiting == unanswered ? NAN : least;
}

/* How far from the design as it is, in shares of the ranges. */
static double away(const struct mapper *p, const struct sample *s)
{
	double sum = 0;

	for (size_t k = 0; k < p->m->axes; k++) {
		const struct inw_map_axis *a = &p->m->axis[k];
		double share = (s->at[k] - a->now) / (a->at[a->count - 1] - a->at[0]);
		sum += share * share;
	}
	return sum;
}

/* Of the points that have as much to spare as any, but for a trifle, the one nearest to the design. */
static long best_of(const struct mapper *p, const double *least)
{
	const double trifle = 1e-4;
	double most = -INFINITY;
	long best = -1;

	for (size_t i = 0; i < p->samples; i++)
		most = fmax(most, least[i]);
	for (size_t i = 0; i < p->samples; i++)
		if (least[i] >= (isfinite(most) ? most - trifle * fmax(1, fabs(most)) : most) && (best < 0 || away(p, &p->sample[i]) < away(p, &p->sample[best])))
			best = (long)i;
	return best;
}

static int hand_out_least(struct mapper *p)
{
	struct inw_map *m = p->m;
	double *least = take(p, p->samples, sizeof *least);
	int *limiting = take(p, p->samples, sizeof *limiting);
	bool *met = take(p, p->samples, sizeof *met);

	if (!least || !limiting || !met)
		return -1;
	for (size_t i = 0; i < p->samples; i++) {
		least[i] = least_of(p, &p->sample[i], &limiting[i]);
		met[i] = least[i] >= 0;
	}
	m->best = best_of(p, least);
	m->least = least;
	m->limiting = limiting;
	m->least_now = least_of(p, &p->now, &m->limiting_now);
	return m->axes == 1 ? intervals(p, met, &m->met, &m->met_count) : 0;
}

static int hand_out(struct mapper *p)
{
	struct inw_map *m = p->m;
	struct inw_map_verdict *v = take(p, p->targets, sizeof *v);

	if (!v)
		return -1;
	if (m->axes == 1) {
		double *at = take(p, p->samples, sizeof *at);
		if (!at)
			return -1;
		for (size_t i = 0; i < p->samples; i++)
			at[i] = p->sample[i].at[0];
		m->axis[0].at = at;
		m->axis[0].count = p->samples;
	}
	for (size_t t = 0; t < p->targets; t++)
		if (hand_out_verdict(p, t, &v[t]))
			return -1;
	m->points = p->samples;
	m->verdicts = v;
	m->verdict_count = p->targets;
	const char **notes = take(p, p->notes + 1, sizeof *notes);
	if (!notes)
		return -1;
	memcpy(notes, p->note, p->notes * sizeof *notes);
	m->notes = notes;
	m->note_count = p->notes;
	return hand_out_least(p);
}

static int run(struct mapper *p)
{
	if (choose_targets(p) || choose_numbers(p) || solve_now(p))
		return -1;
	if (p->m->axes == 1 ? solve_curve(p) : solve_plane(p))
		return -1;
	return hand_out(p);
}

enum inw_status inw_map(const struct inw_design *d, const struct inw_map_options *options, struct inw_map **out, struct inw_diags *diags)
{
	struct inw_arena *arena = inw_arena_new(MAP_CEILING);
	struct mapper *p = arena ? inw_arena_alloc(arena, sizeof *p) : NULL;
	struct inw_map *m = arena ? inw_arena_alloc(arena, sizeof *m) : NULL;

	assert(options->axes == 1 || options->axes == 2);
	if (!p || !m) {
		inw_arena_free(arena);
		diags->out_of_memory = true;
		return INW_NO_MEMORY;
	}
	*p = (struct mapper){.d = d, .o = options, .diags = diags, .arena = arena, .m = m};
	*m = (struct inw_map){.title = d->title, .file = d->file, .axes = options->axes, .sure = options->sure, .named = options->of_count > 0, .design = d, .arena_ = arena};
	if (run(p)) {
		enum inw_status s = p->trouble;
		inw_arena_free(arena);
		return s;
	}
	*out = m;
	return INW_OK;
}

void inw_map_free(struct inw_map *m)
{
	if (m)
		inw_arena_free(m->arena_);
}
