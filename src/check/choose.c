/* SPDX-License-Identifier: MIT */
/* choose.c: a small set of designs on the front of what is to be small, with every requirement held.
 *
 * Every combination of records is looked at in a few points only. From the one that lacks the least the search goes on:
 * values by a method with derivatives, records one at a time as long as that helps, and for money every combination that
 * could still be cheaper, which its bare price tells. See doc/decisions/0011-choosing.md.
 *
 * Invariants: Z1 a design of the front was judged in full as it is written. Z2 none of the front is worse than another in
 * everything that is to be small.
 */
#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check/seek.h"
#include "judge/verdict.h"
#include "solve/optimum.h"
#include "solve/sample.h"

enum {
	CHOOSE_CEILING = 256 << 20, MOST_COMBINATIONS = 256, MOST_FIRST = 16, MOST_FRONT = 5, ROUNDS = 6, SHORT = 10,
	MOST_POLISHED = 9 /* for the first goal */, MOST_BETWEEN = 5, MOST_AGAIN = 3, MOST_SHAKEN = 6,
	LOOKS = 1500 /* points looked at over all combinations */
};
static const double slack = 0.01;      /* of a level: a hundredth of a limit or so is kept for rounding what is written */
static const double same = 2e-3;       /* relative: two goals closer than this are alike */
static const double most_goal = 1e3;   /* of a goal's units: no more counts */
static const double behind = 0.05;     /* of a goal's unit: a search that far behind after one round is given up */

const struct inw_goal inw_goals[INW_GOALS] = {
	[INW_AIM_MONEY] = {"money", INW_DIM_NONE},        [INW_AIM_NOISE] = {"noise", INW_DIM_SOUND},
	[INW_AIM_CLEANER] = {"cleaner size", INW_DIM_VOLUME}, [INW_AIM_BOX] = {"box size", INW_DIM_VOLUME},
	[INW_AIM_HEAT] = {"heat", INW_DIM_POWER},         [INW_AIM_CARBON] = {"carbon per year", INW_DIM_MASS},
};
_Static_assert((int)INW_GOALS == (int)INW_AIMS, "a goal for each aim");

/* ---- trouble and progress ---- */

int inw_seek_trouble(struct inw_seeker *s, enum inw_status why)
{
	s->trouble = why;
	if (why == INW_NO_MEMORY)
		s->diags->out_of_memory = true;
	return -1;
}

void inw_seek_note(struct inw_seeker *s, const char *format, ...)
{
	char text[512];
	va_list ap;

	va_start(ap, format);
	vsnprintf(text, sizeof text, format, ap);
	va_end(ap);
	for (size_t i = 0; i < s->notes; i++)
		if (strcmp(s->note[i], text) == 0)
			return;
	const char *kept = s->notes < INW_COUNT(s->note) ? inw_arena_dup(s->arena, text, strlen(text)) : NULL;
	if (kept)
		s->note[s->notes++] = kept;
}

void inw_seek_tell(struct inw_seeker *s, double share)
{
	s->share = fmax(s->share, fmin(share, 1));
	if (s->o && s->o->progress)
		s->o->progress(s->o->context, s->share);
}

static bool asked_to_stop(struct inw_seeker *s)
{
	if (s->o && s->o->stop && s->o->stop(s->o->context))
		s->trouble = INW_IO;
	return s->trouble != INW_OK;
}

/* ---- one search ---- */

struct inw_task inw_task_of(enum inw_aim aim)
{
	struct inw_task t = {.aim = aim, .eased = -1};

	for (int i = 0; i < INW_AIMS; i++)
		t.cap[i] = INFINITY;
	for (int i = 0; i < INW_MOST_FREE; i++)
		t.held[i] = NAN;
	return t;
}

struct run { struct inw_seeker *s; struct inw_trial *t; const struct inw_task *task; };

/* What is to be small, in its unit; a little of all else that is, so that of two designs alike the better one is taken. */
static double goal_of(const struct run *r)
{
	const double little = 0.01, bad = most_goal;
	const struct inw_wishes *w = &r->s->d->wishes;
	double g = r->t->aim[r->task->aim] / r->s->unit[r->task->aim];

	for (size_t i = 0; i < w->aims; i++)
		if (w->aim[i] != r->task->aim)
			g += little * fmin(r->t->aim[w->aim[i]] / r->s->unit[w->aim[i]], bad);
	return isfinite(g) ? fmin(g, bad) : bad;
}

static bool is_capped(const struct inw_task *task)
{
	for (int i = 0; i < INW_AIMS; i++)
		if (isfinite(task->cap[i]))
			return true;
	return false;
}

static int caps_of(const struct run *r, double *out)
{
	int n = 0;

	for (int i = 0; i < INW_AIMS; i++)
		if (isfinite(r->task->cap[i])) {
			double room = (r->task->cap[i] - r->t->aim[i]) / r->s->unit[i];
			out[n++] = isfinite(room) ? fmax(fmin(room, 3), -8) : -8;
		}
	return n;
}

static void hold(const struct inw_task *task, double *u)
{
	for (int i = 0; task->holds && i < INW_MOST_FREE; i++)
		u[i] = isnan(task->held[i]) ? u[i] : task->held[i];
}

static bool at(void *context, const double *u, bool probe, double *out)
{
	struct run *r = context;

	if (asked_to_stop(r->s))
		return false;
	double held[INW_MOST_FREE];
	hold(r->task, memcpy(held, u, sizeof *u * r->t->d->wishes.frees));
	inw_trial_set(r->t, held);
	inw_trial_solve(r->t, probe);
	out[0] = goal_of(r);
	for (int i = 0; i < r->t->rows; i++)
		out[1 + i] = r->t->row[i].level;
	caps_of(r, out + 1 + r->t->rows);
	return true;
}

static void fill_spot(struct run *r, int combo, const double *u, struct inw_spot *spot)
{
	double caps[INW_AIMS];
	int n = caps_of(r, caps);

	spot->combo = combo;
	memcpy(spot->u, u, sizeof spot->u);
	memcpy(spot->aim, r->t->aim, sizeof spot->aim);
	spot->good = inw_trial_holds(r->t);
	spot->missing = inw_trial_missing(r->t);
	spot->untold = r->t->untold;
	for (int i = 0; i < n; i++) {
		spot->good &= caps[i] >= -1e-6;
		spot->missing += fmax(-caps[i], 0);
	}
}

static double aim_at(const struct inw_spot *a, enum inw_aim aim)
{
	return isnan(a->aim[aim]) ? INFINITY : a->aim[aim];
}

/* What holds comes first, then what a check can tell, then what is to be small. */
static bool better(enum inw_aim aim, const struct inw_spot *a, const struct inw_spot *b)
{
	if (b->combo < 0 || a->good != b->good)
		return b->combo < 0 || a->good;
	if (a->good && a->untold != b->untold)
		return a->untold < b->untold;
	return a->good ? aim_at(a, aim) < aim_at(b, aim) : a->missing < b->missing;
}

double inw_seek_stretch(const struct inw_seeker *s, int need)
{
	return s->stretch[need] > 0 ? s->stretch[need] : 1;
}

static void arrange(struct run *r)
{
	for (int i = 0; i < r->t->needs; i++) {
		r->t->need[i].stretch = inw_seek_stretch(r->s, i);
		r->t->need[i].shift = r->s->shift[i];
		r->t->need[i].ignored = r->task->only && !r->task->only[i];
		r->t->need[i].relaxed = i == r->task->eased ? r->task->by : 0;
	}
}

static bool is_behind(const struct run *r, const struct inw_spot *here)
{
	const struct inw_spot *rival = r->s->rival;

	return rival && rival->good && here->aim[r->task->aim] > rival->aim[r->task->aim] + behind * r->s->unit[r->task->aim];
}

/* Judge at u, then search with these deviations, and so on until both agree. */
static int rounds(struct run *r, int combo, double *u, struct inw_spot *best)
{
	double out[1 + INW_MOST_ROWS + INW_AIMS], caps[INW_AIMS];
	struct inw_spot here, before = {.combo = -1};
	struct inw_optimum o = {.n = (int)r->t->d->wishes.frees, .at = at, .context = r, .slack = slack, .u = u, .out = out};

	o.most = 40 * (1 + o.n);
	for (int k = 0;; k++) {
		hold(r->task, u);
		inw_trial_set(r->t, u);
		if (inw_trial_judge(r->t) != INW_OK)
			return inw_seek_trouble(r->s, INW_NO_MEMORY);
		fill_spot(r, combo, u, &here);
		if (better(r->task->aim, &here, best))
			*best = here;
		bool settled = k > 0 && here.good && before.good && fabs(here.aim[r->task->aim] - before.aim[r->task->aim]) < same * r->s->unit[r->task->aim];
		bool hopeless = k > 1 && !here.good && !o.good && here.missing > 0.8 * before.missing;
		if (settled || hopeless || (k > 0 && is_behind(r, &here)) || (k > 3 && r->s->rival && !here.good) || k == ROUNDS || o.n == 0)
			return 0;
		before = here;
		inw_trial_foretell(r->t, k, k >= 4);
		o.m = r->t->rows + caps_of(r, caps);
		if (inw_optimum_least(&o) != INW_OK)
			return inw_seek_trouble(r->s, INW_NO_MEMORY);
		if (o.stopped)
			return -1;
	}
}

/* Open a combination. 0, 1 when it cannot be read, -1 for trouble. */
static int open_combo(struct inw_seeker *s, int combo, struct inw_trial *t)
{
	struct inw_diags own = {0};
	struct inw_combo *c = &s->combo[combo];
	enum inw_status status = c->unreadable ? INW_BAD_INPUT : inw_trial_open(t, s->d, c->word, &own);

	if (status == INW_BAD_INPUT && !c->unreadable) {
		c->unreadable = true;
		for (size_t i = 0; i < own.count; i++)
			if (own.items[i].severity == INW_ERROR)
				inw_seek_note(s, "Some records do not go together: %s.", own.items[i].message);
	}
	inw_diags_free(&own);
	if (status == INW_OK && s->needs && t->needs != s->needs) {
		inw_trial_close(t);
		c->unreadable = true;
		return 1;
	}
	if (status != INW_OK)
		return status == INW_BAD_INPUT ? 1 : inw_seek_trouble(s, INW_NO_MEMORY);
	s->needs = t->needs;
	return 0;
}

int inw_seek_in(struct inw_seeker *s, int combo, const struct inw_task *task, const double *start, struct inw_spot *best)
{
	struct inw_trial t;
	struct run r = {s, &t, task};
	double u[INW_MOST_FREE];
	struct inw_spot found = {.combo = -1};
	int bad = open_combo(s, combo, &t);

	if (bad)
		return bad < 0 ? -1 : 0;
	memcpy(u, start, sizeof u);
	arrange(&r);
	bad = rounds(&r, combo, u, &found);
	s->solved += t.used;
	s->polished++;
	inw_trial_close(&t);
	if (found.combo >= 0 && better(task->aim, &found, best))
		*best = found;
	for (int i = 0; i < INW_AIMS && found.combo >= 0 && found.good && task->eased < 0 && !task->only && !task->holds; i++)
		if (better((enum inw_aim)i, &found, &s->best[i]))
			s->best[i] = found;
	bool whole = !task->only && task->eased < 0 && !task->holds && !is_capped(task);
	if (whole && found.combo >= 0 && (s->combo[combo].least.combo < 0 || found.missing < s->combo[combo].least.missing))
		s->combo[combo].least = found;
	return bad;
}

/* What a combination promises: a short search from there, with the deviations of `judged`. */
static int find_promise(struct inw_seeker *s, int combo, const struct inw_task *task, const double *from, const struct inw_trial *judged)
{
	struct inw_combo *c = &s->combo[combo];
	struct inw_trial t;
	struct run r = {s, &t, task};
	double out[1 + INW_MOST_ROWS + INW_AIMS], caps[INW_AIMS];
	int bad = open_combo(s, combo, &t);

	if (bad)
		return bad < 0 ? -1 : 0;
	memcpy(c->near, from, sizeof c->near);
	arrange(&r);
	inw_trial_like(&t, judged);
	inw_trial_set(&t, from);
	inw_trial_solve(&t, false); /* its rows */
	struct inw_optimum o = {.n = (int)t.d->wishes.frees, .m = t.rows + caps_of(&r, caps), .at = at, .context = &r, .slack = slack, .u = c->near, .out = out};
	o.most = SHORT * (1 + o.n);
	if (inw_optimum_least(&o) != INW_OK)
		bad = inw_seek_trouble(s, INW_NO_MEMORY);
	else if (!o.stopped)
		c->promise = o.good ? out[0] : most_goal + 1 + inw_trial_missing(&t);
	s->solved += t.used;
	inw_trial_close(&t);
	return bad || o.stopped ? -1 : 0;
}

int inw_seek_nearest(struct inw_seeker *s, int combo, const bool *only, struct inw_spot *best, double *level, double *value)
{
	struct inw_trial t;
	struct inw_task task = inw_task_of(s->d->wishes.aim[0]);
	struct run r = {s, &t, &task};
	struct inw_combo *c = &s->combo[combo];
	double u[INW_MOST_FREE], out[1 + INW_MOST_ROWS + INW_AIMS];
	int bad = open_combo(s, combo, &t);

	best->combo = -1;
	if (bad)
		return bad < 0 ? -1 : 0;
	const double *least = c->least.combo >= 0 ? c->least.u : c->start[0];
	inw_trial_set(&t, least);
	if (inw_trial_judge(&t) != INW_OK)
		bad = inw_seek_trouble(s, INW_NO_MEMORY);
	task.only = only;
	arrange(&r);
	for (int k = 0; k <= c->starts && !bad && !(best->combo >= 0 && best->missing == 0); k++) {
		memcpy(u, k ? c->start[k - 1] : least, sizeof u);
		struct inw_optimum o = {.n = (int)t.d->wishes.frees, .m = t.rows, .at = at, .context = &r, .slack = 0.1 * slack, .u = u, .out = out, .most = 60 * (1 + (int)t.d->wishes.frees)};
		struct inw_spot here;
		if (inw_optimum_nearest(&o) != INW_OK)
			bad = inw_seek_trouble(s, INW_NO_MEMORY);
		if (bad || o.stopped)
			break;
		inw_trial_set(&t, u);
		inw_trial_solve(&t, false);
		fill_spot(&r, combo, u, &here);
		if (best->combo >= 0 && best->missing <= here.missing)
			continue;
		*best = here;
		memcpy(level, t.level, sizeof(double) * (size_t)t.needs);
		for (int i = 0; i < t.needs; i++)
			value[i] = t.margin[i];
	}
	s->solved += t.used;
	inw_trial_close(&t);
	return bad || s->trouble != INW_OK ? -1 : 0;
}

/* ---- all combinations, in a few points ---- */

static int list_combos(struct inw_seeker *s)
{
	const struct inw_wishes *w = &s->d->wishes;
	size_t n = 1;

	for (size_t i = 0; i < w->choices && n <= MOST_COMBINATIONS; i++)
		n *= w->choice[i].count;
	if (n > MOST_COMBINATIONS) {
		inw_diag_add(s->diags, INW_ERROR, s->d->file, w->place.line, w->place.column,
		             "the records to choose among make more than %d combinations: leave out the least likely ones", MOST_COMBINATIONS);
		return inw_seek_trouble(s, INW_BAD_INPUT);
	}
	s->combo = inw_arena_alloc(s->arena, n * sizeof *s->combo);
	if (!s->combo)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	s->combos = (int)n;
	s->present = -1;
	for (size_t k = 0; k < n; k++) {
		size_t rest = k;
		bool as_written = true;
		for (size_t i = 0; i < w->choices; i++) {
			const struct inw_choice *c = &w->choice[i];
			s->combo[k].word[i] = (int)(rest % c->count);
			as_written &= strcmp(c->word[s->combo[k].word[i]], c->now) == 0;
			rest /= c->count;
		}
		s->combo[k].least.combo = -1;
		if (as_written)
			s->present = (int)k;
	}
	return 0;
}

/* Each number's price alone says which of its ends is cheaper: prices multiply what is positive, so the corner is the
 * least of all. */
static double bought_least(struct inw_trial *t)
{
	double u[INW_MOST_FREE];
	size_t n = t->d->wishes.frees;

	for (size_t i = 0; i < n; i++)
		u[i] = 0.5;
	for (size_t i = 0; i < n; i++) {
		double bought[2];
		for (int e = 0; e < 2; e++) {
			u[i] = e;
			inw_trial_set(t, u);
			bought[e] = inw_trial_bought(t);
		}
		u[i] = bought[1] < bought[0];
	}
	inw_trial_set(t, u);
	return inw_trial_bought(t);
}

/* Keep the best points, the best first. */
static void keep_start(struct inw_combo *c, const double *u, double missing, double kept[INW_STARTS])
{
	int at_ = c->starts;

	while (at_ > 0 && missing < kept[at_ - 1])
		at_--;
	if (at_ >= INW_STARTS)
		return;
	for (int k = c->starts < INW_STARTS ? c->starts : INW_STARTS - 1; k > at_; k--) {
		memcpy(c->start[k], c->start[k - 1], sizeof c->start[k]);
		kept[k] = kept[k - 1];
	}
	memcpy(c->start[at_], u, sizeof c->start[at_]);
	kept[at_] = missing;
	c->starts += c->starts < INW_STARTS;
}

static int look(struct inw_seeker *s, int combo, const struct inw_sampler *points, int count)
{
	struct inw_combo *c = &s->combo[combo];
	double u[INW_MOST_FREE] = {0}, kept[INW_STARTS];
	struct inw_trial t;
	int bad = open_combo(s, combo, &t);

	if (bad)
		return bad < 0 ? -1 : 0;
	c->bought_least = bought_least(&t);
	for (int k = 0; k < count && !asked_to_stop(s); k++) {
		if (k == 0)
			inw_trial_now(&t, u);
		else
			inw_sampler_point(points, (uint64_t)k - 1, u);
		inw_trial_set(&t, u);
		inw_trial_solve(&t, k > 0);
		if (c->starts == 0 || inw_trial_missing(&t) < kept[0])
			memcpy(c->level, t.level, sizeof(double) * (size_t)t.needs);
		keep_start(c, u, inw_trial_missing(&t), kept);
		for (int a = 0; a < INW_AIMS && combo == 0; a++)
			s->unit[a] += isfinite(t.aim[a]) ? fabs(t.aim[a]) / count : 0;
	}
	c->missing = kept[0];
	s->solved += t.used;
	inw_trial_close(&t);
	return s->trouble == INW_OK ? 0 : -1;
}

static int look_at_all(struct inw_seeker *s)
{
	struct inw_sampler points;
	int n = LOOKS / s->combos;
	const double ten_dB = 10;

	n = s->d->wishes.frees == 0 ? 1 : n < 12 ? 12 : n > 96 ? 96 : n;
	if (inw_sampler_make(&points, 1, s->d->wishes.frees, s->arena))
		return inw_seek_trouble(s, INW_NO_MEMORY);
	for (int k = 0; k < s->combos; k++) {
		if (look(s, k, &points, n))
			return -1;
		inw_seek_tell(s, 0.2 * (k + 1) / s->combos);
	}
	for (int a = 0; a < INW_AIMS; a++)
		s->unit[a] = s->unit[a] > 0 ? s->unit[a] : 1;
	s->unit[INW_AIM_NOISE] = ten_dB;
	return 0;
}

/* ---- from combination to combination ---- */

static bool is_alike(const struct inw_seeker *s, enum inw_aim aim, double a, double b)
{
	return fabs(a - b) <= same * s->unit[aim];
}

/* Can this combination be better than the best? Running costs are not negative: the bare price tells. */
static bool is_worth(const struct inw_seeker *s, int combo, enum inw_aim aim, const struct inw_spot *best)
{
	const struct inw_combo *c = &s->combo[combo];

	return !c->unreadable && !(best->good && best->untold <= s->always_untold && aim == INW_AIM_MONEY && c->bought_least >= best->aim[aim]);
}

/* From one of the points looked at first; not twice for the same. */
static int seek_from(struct inw_seeker *s, int combo, const struct inw_task *task, int start, struct inw_spot *best)
{
	struct inw_combo *c = &s->combo[combo];

	if (start >= c->starts)
		return 0;
	if (!is_capped(task)) {
		if (c->from[task->aim][start])
			return 0;
		c->from[task->aim][start] = true;
	}
	return inw_seek_in(s, combo, task, c->start[start], best);
}

static int try_combo(struct inw_seeker *s, int combo, const struct inw_task *task, const double *u, struct inw_spot *best)
{
	struct inw_combo *c = &s->combo[combo];
	struct inw_spot here = {.combo = -1};

	s->left--;
	s->rival = u ? best : NULL;
	int bad = u ? inw_seek_in(s, combo, task, u, &here) : 0;
	if (!bad && u && !here.good)
		bad = seek_from(s, combo, task, 0, &here);
	s->rival = NULL;
	if (bad)
		return -1;
	for (int k = 0; k < c->starts && !here.good && !u; k++) /* from elsewhere only where that did not lead anywhere */
		if (seek_from(s, combo, task, k, &here))
			return -1;
	if (here.good)
		c->came = here.aim[task->aim];
	if (here.combo >= 0 && better(task->aim, &here, best))
		*best = here;
	return 0;
}

/* What each other combination promises, as seen from the best. */
static int survey(struct inw_seeker *s, const struct inw_task *task, const struct inw_spot *best, const bool *done)
{
	struct inw_trial judged;
	int bad = open_combo(s, best->combo, &judged);

	if (bad)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	inw_trial_set(&judged, best->u);
	if (inw_trial_judge(&judged) != INW_OK)
		bad = inw_seek_trouble(s, INW_NO_MEMORY);
	for (int k = 0; k < s->combos && !bad; k++) {
		s->combo[k].promise = INFINITY;
		if (!done[k] && is_worth(s, k, task->aim, best))
			bad = find_promise(s, k, task, best->u, &judged);
	}
	s->solved += judged.used;
	inw_trial_close(&judged);
	return bad;
}

/* The combinations that promise most, searched to the end. `done` holds what was searched for this task. */
static int promising_ones(struct inw_seeker *s, const struct inw_task *task, struct inw_spot *best, bool *done)
{
	for (;;) {
		int next = -1;
		for (int k = 0; k < s->combos; k++)
			if (!done[k] && isfinite(s->combo[k].promise) && is_worth(s, k, task->aim, best) && (next < 0 || s->combo[k].promise < s->combo[next].promise))
				next = k;
		if (next < 0)
			return 0;
		if (s->left <= 0) {
			inw_seek_note(s, "For %s not every combination of records that might be better was searched to the end, only the most promising.", inw_goals[task->aim].name);
			return 0;
		}
		done[next] = true;
		if (try_combo(s, next, task, s->combo[next].near, best))
			return -1;
	}
}

/* What was found may be the best of its neighbourhood only: the foremost combinations are searched from elsewhere too. */
static int again(struct inw_seeker *s, const struct inw_task *task, struct inw_spot *best)
{
	for (int n = 0; n < MOST_AGAIN && n < s->combos; n++) {
		int next = -1;
		for (int k = 0; k < s->combos; k++)
			if (isfinite(s->combo[k].came) && (next < 0 || s->combo[k].came < s->combo[next].came))
				next = k;
		if (next < 0)
			break;
		s->combo[next].came = INFINITY;
		for (int k = 0; k < INW_STARTS; k++)
			if (seek_from(s, next, task, k, best))
				return -1;
	}
	return 0;
}

/* And the best itself is moved, by less and by more, and searched from there. */
static int shake(struct inw_seeker *s, const struct inw_task *task, int times, struct inw_spot *best)
{
	static const double width[] = {0.6, 0.25, 0.1};
	struct inw_sampler points;
	double u[INW_MOST_FREE];
	size_t n = s->d->wishes.frees;

	if (n == 0 || !best->good)
		return 0;
	if (inw_sampler_make(&points, 2, n, s->arena))
		return inw_seek_trouble(s, INW_NO_MEMORY);
	for (int k = 0; k < times; k++) {
		inw_sampler_point(&points, (uint64_t)k, u);
		for (size_t i = 0; i < n; i++)
			u[i] = fmin(fmax(best->u[i] + width[k % (int)INW_COUNT(width)] * (u[i] - 0.5), 0), 1);
		if (inw_seek_in(s, best->combo, task, u, best))
			return -1;
	}
	return 0;
}

/* The best for a task, beginning at a design that keeps to it or nearly does. */
static int best_for(struct inw_seeker *s, const struct inw_task *task, const struct inw_spot *from, struct inw_spot *best)
{
	bool *done = inw_arena_alloc(s->arena, (size_t)s->combos * sizeof *done);

	if (!done)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	best->combo = -1;
	for (int k = 0; k < s->combos; k++)
		s->combo[k].came = INFINITY;
	bool capped = is_capped(task), main_goal = task->aim == s->d->wishes.aim[0] && !capped;
	s->left = s->d->wishes.frees == 0 ? s->combos : main_goal ? MOST_POLISHED : MOST_BETWEEN;
	done[from->combo] = true;
	if (inw_seek_in(s, from->combo, task, from->u, best))
		return -1;
	if (best->combo < 0)
		return 0;
	s->combo[from->combo].came = best->good ? best->aim[task->aim] : INFINITY;
	if (survey(s, task, best, done) || promising_ones(s, task, best, done))
		return -1;
	if (main_goal && again(s, task, best))
		return -1;
	return shake(s, task, main_goal ? MOST_SHAKEN : capped ? 0 : MOST_SHAKEN / 3, best);
}

/* What is written first, then where the least is missing. */
static int next_untried(const struct inw_seeker *s)
{
	int next = -1;

	for (int k = 0; k < s->combos; k++) {
		const struct inw_combo *c = &s->combo[k];
		if (!c->tried && !c->unreadable && (next < 0 || c->missing < s->combo[next].missing))
			next = k;
	}
	return s->present >= 0 && !s->combo[s->present].tried && !s->combo[s->present].unreadable ? s->present : next;
}

/* A first design that holds. Where no numbers are free each combination is a single point: all are asked. */
static int first_good(struct inw_seeker *s, struct inw_spot *first)
{
	const struct inw_task task = inw_task_of(s->d->wishes.aim[0]);

	first->combo = -1;
	int most = s->d->wishes.frees ? MOST_FIRST : s->combos;

	for (int tried = 0; tried < most && !first->good; tried++) {
		int next = next_untried(s);
		if (next < 0)
			break;
		s->combo[next].tried = true;
		if (try_combo(s, next, &task, NULL, first))
			return -1;
		inw_seek_tell(s, 0.2 + 0.1 * (tried + 1) / most);
	}
	return 0;
}

/* What single deviations say cannot be held samples may hold: asked before anything is called impossible. */
static int first_by_samples(struct inw_seeker *s, struct inw_spot *first)
{
	enum { TRIES = 5 };
	bool changed = true;

	for (int n = 0; n < TRIES && changed && first->combo >= 0 && !first->good; n++) {
		if (inw_say_sampled(s, first, &changed))
			return -1;
		if (!changed)
			break;
		for (int k = 0; k < s->combos; k++) {
			s->combo[k].tried = false;
			s->combo[k].least.combo = -1;
			memset(s->combo[k].from, 0, sizeof s->combo[k].from);
		}
		if (first_good(s, first))
			return -1;
	}
	return 0;
}

/* ---- the front ---- */

const char *const inw_best_names[INW_AIMS] = {"cheapest", "quietest", "smallest cleaner", "smallest box", "least heat", "least carbon"};

struct fronts { struct inw_front item[MOST_FRONT + INW_AIMS]; size_t count; };

/* Is a as good as b in everything that is to be small? */
static bool covers(const struct inw_seeker *s, const struct inw_spot *a, const struct inw_spot *b)
{
	const struct inw_wishes *w = &s->d->wishes;

	if (a->untold > b->untold)
		return false;
	for (size_t i = 0; i < w->aims; i++)
		if (a->aim[w->aim[i]] > b->aim[w->aim[i]] && !is_alike(s, w->aim[i], a->aim[w->aim[i]], b->aim[w->aim[i]]))
			return false;
	return true;
}

/* One more; one that another is as good as is left out, its name goes to that one. */
static int add_front(struct inw_seeker *s, struct fronts *f, const struct inw_spot *spot, const char *name, const struct inw_task *task)
{
	bool extreme = !strchr(name, ',') && strncmp(name, "between", 7) != 0;

	for (size_t i = 0; i < f->count; i++) {
		if (!covers(s, &f->item[i].spot, spot))
			continue;
		if (extreme) {
			name = inw_arena_printf(s->arena, "%s and %s", f->item[i].name, name);
			if (!name)
				return inw_seek_trouble(s, INW_NO_MEMORY);
			f->item[i].name = name;
		}
		return 0;
	}
	f->item[f->count++] = (struct inw_front){*spot, name, *task};
	return 0;
}

static int extremes(struct inw_seeker *s, const struct inw_spot *first, struct fronts *f, struct inw_spot *least)
{
	const struct inw_wishes *w = &s->d->wishes;
	struct inw_spot from = *first;

	for (size_t i = 0; i < w->aims; i++) {
		const struct inw_task task = inw_task_of(w->aim[i]);
		for (size_t k = 0; k < i; k++)
			if (better(w->aim[i], &least[k], &from))
				from = least[k];
		if (better(task.aim, &s->best[task.aim], &from)) /* what was found for another goal holds */
			from = s->best[task.aim];
		if (best_for(s, &task, &from, &least[i]))
			return -1;
		least[i] = s->best[task.aim];
		if (add_front(s, f, &least[i], inw_best_names[w->aim[i]], &task))
			return -1;
		inw_seek_tell(s, 0.3 + 0.4 * (double)(i + 1) / (double)w->aims);
	}
	return 0;
}

/* Between the best for the first goal and that for another: the first one least while the other is a part of the way. */
static int between(struct inw_seeker *s, struct fronts *f, const struct inw_spot *least, size_t other, double part)
{
	const struct inw_wishes *w = &s->d->wishes;
	enum inw_aim a = w->aim[0], b = w->aim[other];
	struct inw_task task = inw_task_of(a);
	struct inw_spot best, from = least[other];
	double worst = least[0].aim[b], low = least[other].aim[b];

	if (is_alike(s, b, worst, low) || is_alike(s, a, least[0].aim[a], least[other].aim[a]))
		return 0;
	task.cap[b] = low + part * (worst - low);
	if (best_for(s, &task, &from, &best))
		return -1;
	const char *name = inw_arena_printf(s->arena, "between %s and %s", inw_best_names[a], inw_best_names[b]);
	if (!name)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	return best.good && best.untold <= least[0].untold ? add_front(s, f, &best, name, &task) : 0;
}

static int blends(struct inw_seeker *s, struct fronts *f, const struct inw_spot *least)
{
	const size_t aims = s->d->wishes.aims;
	static const double parts[] = {0.5, 0.25, 0.75};

	for (size_t p = 0; p < INW_COUNT(parts); p++)
		for (size_t other = 1; other < aims && f->count < MOST_FRONT; other++) {
			if (between(s, f, least, other, parts[p]))
				return -1;
			inw_seek_tell(s, 0.7 + 0.05 * (double)(p + 1));
		}
	return 0;
}

/* Z2: a later one may have turned out better than an earlier one in everything. */
static void thin_out(struct inw_seeker *s, struct fronts *f)
{
	for (size_t i = 0; i < f->count;) {
		bool covered = false;
		for (size_t k = 0; k < f->count && !covered; k++)
			covered = k != i && covers(s, &f->item[k].spot, &f->item[i].spot) && (!covers(s, &f->item[i].spot, &f->item[k].spot) || k < i);
		if (covered)
			memmove(&f->item[i], &f->item[i + 1], (--f->count - i) * sizeof f->item[0]);
		else
			i++;
	}
}

static int find_front(struct inw_seeker *s, const struct inw_spot *first, struct fronts *f)
{
	struct inw_spot least[INW_AIMS];
	int bad = extremes(s, first, f, least) || blends(s, f, least) ? -1 : 0;

	if (s->trouble == INW_NO_MEMORY)
		return -1;
	for (size_t i = 0; i < f->count; i++) { /* a search for something between may have come upon a better end */
		enum inw_aim a = f->item[i].task.aim;
		bool end = strncmp(f->item[i].name, "between", 7) != 0;
		if (end && better(a, &s->best[a], &f->item[i].spot))
			f->item[i].spot = s->best[a];
	}
	if (f->count == 0) { /* stopped at once: what there is */
		const struct inw_task task = inw_task_of(s->d->wishes.aim[0]);
		f->item[f->count++] = (struct inw_front){*first, "first that was found", task};
	}
	thin_out(s, f);
	if (f->count > MOST_FRONT)
		f->count = MOST_FRONT;
	return bad;
}

/* ---- all of it ---- */

/* The file's reader asked with a free number at one end of its span: what is wrong with that, or NULL. -1 when memory is out. */
static int ask_reader(struct inw_seeker *s, const struct inw_free *f, double at, const char **wrong)
{
	struct inw_change change[INW_MOST_TOGETHER];
	struct inw_diags own = {0};
	struct inw_design *d = NULL;

	*wrong = NULL;
	for (size_t k = 0; k < f->qs; k++)
		change[k] = (struct inw_change){s->d->quantity[f->q[k]].path, at};
	enum inw_status status = inw_design_changed(s->d, change, f->qs, &d, &own);
	inw_design_free(d);
	for (size_t i = 0; i < own.count && status == INW_BAD_INPUT && !*wrong; i++)
		if (own.items[i].severity == INW_ERROR && !(*wrong = inw_arena_dup(s->arena, own.items[i].message, strlen(own.items[i].message))))
			status = INW_NO_MEMORY;
	inw_diags_free(&own);
	return status == INW_NO_MEMORY ? inw_seek_trouble(s, INW_NO_MEMORY) : 0;
}

/* The value next to an end that cannot be which still can, or nearly: half way and half way again from one that can. */
static int last_that_can(struct inw_seeker *s, const struct inw_free *f, double can, double end, double *out)
{
	enum { HALVINGS = 12 };
	const char *wrong;

	for (int k = 0; k < HALVINGS; k++) {
		double middle = 0.5 * (can + end);
		if (ask_reader(s, f, middle, &wrong))
			return -1;
		*(wrong ? &end : &can) = middle;
	}
	*out = can;
	return 0;
}

/* Of holes, bends and screens there is no half. */
static bool counts_things(const char *path)
{
	static const char *const ends[] = {".count", ".bends", ".screens"};

	for (size_t i = 0; i < INW_COUNT(ends); i++)
		if (strlen(path) > strlen(ends[i]) && strcmp(path + strlen(path) - strlen(ends[i]), ends[i]) == 0)
			return true;
	return false;
}

/* No search finds anything that can be written where the file's reader does not let it be: a span ends there. */
static int check_span(struct inw_seeker *s, struct inw_free *f)
{
	const char *low, *high, *path = s->d->quantity[f->q[0]].path;
	double now = fmin(fmax(s->d->quantity[f->q[0]].value, fmin(f->from, f->to)), fmax(f->from, f->to));

	if (counts_things(path)) {
		inw_diag_add(s->diags, INW_ERROR, s->d->file, f->place.line, f->place.column, "%s counts whole things, and a search finds what lies between them: leave it as it is, and try other numbers of it in files of their own", path);
		s->trouble = INW_BAD_INPUT;
		return 0;
	}
	if (ask_reader(s, f, f->from, &low) || ask_reader(s, f, f->to, &high))
		return -1;
	double from = f->from, to = f->to, trifle = 0.02 * fabs(to - from);
	if ((low && last_that_can(s, f, high ? now : to, from, &f->from)) || (high && last_that_can(s, f, low ? now : from, to, &f->to)))
		return -1;
	if (fabs(f->to - f->from) <= trifle) {
		inw_diag_add(s->diags, INW_ERROR, s->d->file, f->place.line, f->place.column,
		             "%s cannot be chosen, since something else in the file holds it where it is (%s): change that, or take %s out of 'choose'", path, low ? low : high, path);
		s->trouble = INW_BAD_INPUT;
	} else if (low || high) {
		inw_seek_note(s, "Not all values of %s can be, and the others were left out: %s.", path, low ? low : high);
	}
	return 0;
}

/* What a search cannot hold it must not leave out unsaid. `l`: for use. */
static int count_needs(struct inw_seeker *s, struct inw_measures *l)
{
	int n = 0;

	for (size_t j = 0; j < s->d->jobs; j++) {
		if (inw_measures_list(l, s->d, &s->d->job[j], s->arena))
			return inw_seek_trouble(s, INW_NO_MEMORY);
		for (int k = 0; k < l->n; k++)
			n += l->m[k].sense != INW_NO_LIMIT && l->m[k].kind != INW_M_BALANCE && !inw_wish_left_out(&s->d->wishes, l->m[k].id);
	}
	if (n <= INW_MOST_NEEDS)
		return 0;
	inw_diag_add(s->diags, INW_ERROR, s->d->file, s->d->wishes.place.line, s->d->wishes.place.column,
	             "all jobs together have %d requirements, and 'choose' can hold %d: leave out jobs or people that are alike, or name requirements under 'without'", n, INW_MOST_NEEDS);
	return inw_seek_trouble(s, INW_BAD_INPUT);
}

static int check_spans(struct inw_seeker *s, struct inw_wishes *w)
{
	for (size_t i = 0; i < w->frees; i++)
		if (check_span(s, &w->free[i]))
			return -1;
	return s->trouble == INW_OK ? 0 : -1;
}

static int check_wishes(struct inw_seeker *s)
{
	const struct inw_wishes *w = &s->d->wishes;
	struct inw_measures *l = inw_arena_alloc(s->arena, sizeof *l);
	const char *words[INW_MAX_MEASURES];

	if (!w->present) {
		inw_diag_add(s->diags, INW_ERROR, s->d->file, 0, 0, "this design has no section 'choose' that says what is free; doc/design-file.md tells how it is written");
		return inw_seek_trouble(s, INW_BAD_INPUT);
	}
	if (!l)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	enum inw_status fits = inw_measures_fit(s->d, s->arena, s->diags);
	if (fits != INW_OK)
		return inw_seek_trouble(s, fits);
	for (size_t i = 0; i < w->withouts; i++) {
		bool known = false;
		int n = 0;
		for (size_t j = 0; j < s->d->jobs; j++) {
			if (inw_measures_list(l, s->d, &s->d->job[j], s->arena))
				return inw_seek_trouble(s, INW_NO_MEMORY);
			for (int k = 0; k < l->n; k++) {
				known |= strcmp(l->m[k].id, w->without[i].id) == 0;
				words[k] = l->m[k].id;
			}
			n = l->n;
		}
		if (known)
			continue;
		const char *near = inw_nearest_word(w->without[i].id, words, (size_t)n);
		inw_diag_add(s->diags, INW_ERROR, s->d->file, w->without[i].place.line, w->without[i].place.column, "there is no requirement '%.80s'%s%s%s",
		             w->without[i].id, near ? "; did you mean '" : "", near ? near : "", near ? "'?" : "");
		s->trouble = INW_BAD_INPUT;
	}
	return s->trouble == INW_OK && count_needs(s, l) == 0 ? 0 : -1;
}

/* Where data are missing no design can pass: said, and the known part is held nevertheless. */
static void note_untold(struct inw_seeker *s)
{
	struct inw_measures *l = inw_arena_alloc(s->arena, sizeof *l);

	for (size_t j = 0; l && j < s->d->jobs; j++) {
		if (inw_measures_list(l, s->d, &s->d->job[j], s->arena))
			return;
		for (int k = 0; k < l->n; k++) {
			const struct inw_measure *m = &l->m[k];
			const struct inw_finding at_limit = {.m = m, .value = m->limit, .low = m->limit, .high = m->limit};
			if (m->sense == INW_NO_LIMIT || inw_wish_left_out(&s->d->wishes, m->id) || inw_verdict_word(&at_limit) != INW_CANNOT_TELL)
				continue;
			s->always_untold++;
			inw_seek_note(s, "%s: data are missing (%s), so no choice makes it a pass; what is known of it is held.", m->id, m->missing ? m->missing : "unknown");
		}
	}
}

/* The least that was ever missing, as a front of one. */
static void nearest_front(const struct inw_seeker *s, const struct inw_spot *first, struct fronts *f)
{
	const struct inw_task task = inw_task_of(s->d->wishes.aim[0]);

	if (first->combo >= 0)
		f->item[f->count++] = (struct inw_front){*first, "nearest to what is required", task};
}

static int seek(struct inw_seeker *s)
{
	struct inw_spot first = {.combo = -1};
	struct fronts *f = inw_arena_alloc(s->arena, sizeof *f);

	if (!f)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	note_untold(s);
	if (list_combos(s) || look_at_all(s) || first_good(s, &first) || first_by_samples(s, &first) || (first.good && find_front(s, &first, f)))
		if (s->trouble != INW_IO) /* stopped: what there is is told */
			return -1;
	s->out->stopped = s->trouble == INW_IO;
	if (!first.good)
		nearest_front(s, &first, f);
	s->out->found = first.good;
	if (!first.good && !s->out->stopped && inw_say_conflict(s) && s->trouble != INW_IO)
		return -1;
	return inw_say_chosen(s, f->item, f->count);
}

static int fill_head(struct inw_seeker *s, const struct inw_design *d)
{
	const struct inw_wishes *w = &s->d->wishes;
	struct inw_choices *c = s->out;
	int *goals = inw_arena_alloc(s->arena, (w->aims + 1) * sizeof *goals);
	const char **without = inw_arena_alloc(s->arena, (w->withouts + 1) * sizeof *without);

	if (!goals || !without)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	for (size_t i = 0; i < w->aims; i++)
		goals[i] = (int)w->aim[i];
	for (size_t i = 0; i < w->withouts; i++)
		without[i] = w->without[i].id;
	c->title = s->d->title;
	c->file = s->d->file;
	c->sure = w->sure;
	c->years = w->years;
	c->goals = goals;
	c->goal_count = w->aims;
	c->without = without;
	c->without_count = w->withouts;
	c->design = d;
	return 0;
}

static void fill_end(struct inw_seeker *s)
{
	struct inw_choices *c = s->out;
	const char **notes = inw_arena_alloc(s->arena, sizeof s->note);

	c->combinations = (size_t)s->combos;
	c->polished = (size_t)s->polished;
	c->solved = s->solved;
	if (!notes)
		return;
	memcpy(notes, s->note, sizeof s->note);
	c->notes = notes;
	c->note_count = s->notes;
}

enum inw_status inw_choose(const struct inw_design *d, const struct inw_choose_options *options, struct inw_choices **out, struct inw_diags *diags)
{
	struct inw_arena *arena = inw_arena_new(CHOOSE_CEILING);
	struct inw_seeker *s = arena ? inw_arena_alloc(arena, sizeof *s) : NULL;
	struct inw_choices *c = arena ? inw_arena_alloc(arena, sizeof *c) : NULL;
	struct inw_design *own = arena ? inw_arena_alloc(arena, sizeof *own) : NULL;

	*out = NULL;
	if (!s || !c || !own) {
		diags->out_of_memory = true;
		inw_arena_free(arena);
		return INW_NO_MEMORY;
	}
	*own = *d;
	*s = (struct inw_seeker){.d = own, .o = options, .diags = diags, .arena = arena, .out = c};
	for (int i = 0; i < INW_AIMS; i++)
		s->best[i].combo = -1;
	c->arena_ = arena;
	if (check_wishes(s) || check_spans(s, &own->wishes) || fill_head(s, d) || seek(s)) {
		enum inw_status why = s->trouble == INW_OK ? INW_NO_MEMORY : s->trouble;
		diags->out_of_memory |= why == INW_NO_MEMORY;
		inw_choices_free(c);
		return why;
	}
	fill_end(s);
	inw_seek_tell(s, 1);
	*out = c;
	return INW_OK;
}

void inw_choices_free(struct inw_choices *c)
{
	if (!c)
		return;
	for (size_t i = 0; i < c->chosen_count; i++) {
		inw_report_free((struct inw_report *)(void *)(size_t)c->chosen[i].report);
		inw_design_free((struct inw_design *)(void *)(size_t)c->chosen[i].design);
	}
	inw_arena_free(c->arena_);
}
