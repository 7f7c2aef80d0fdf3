/* SPDX-License-Identifier: MIT */
/* choose_say.c: a spot of the search as a whole design file, what is said of it, and why nothing holds. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check/day_mend.h"
#include "check/inputs.h"
#include "check/seek.h"
#include "judge/sentence.h"
#include "solve/sample.h"

enum { LEAST_DIGITS = 3, MOST_DIGITS = 6, MOST_BINDINGS = 4, MOST_ASKED = 8, MOST_PAIRS = 40 };
static const double next_to_zero = 0.05; /* of a level: twenty times less than a limit off */
static const double step = 0.1;          /* of one share of a margin: a dB, a kelvin, a tenth of the limit */
static const double nothing = 1e-6;      /* missing, for rounding */

static const char *keep(struct inw_seeker *s, struct inw_text *t)
{
	const char *kept = t->failed ? NULL : inw_arena_dup(s->arena, t->s ? t->s : "", t->length);

	inw_text_free(t);
	if (!kept)
		(void)inw_seek_trouble(s, INW_NO_MEMORY);
	return kept;
}

/* ---- as it is written ---- */

/* Text, design and full judging with so many digits. 1: not readable so. */
static int write_out(struct inw_seeker *s, struct inw_trial *t, const struct inw_front *f, int digits, struct inw_chosen *c)
{
	const struct inw_read_options options = {s->d->catalog_dir};
	struct inw_diags own = {0};
	struct inw_text text = {0};
	struct inw_design *d = NULL;
	double at[INW_MOST_FREE];
	enum inw_status status = inw_trial_write(t, f->spot.u, digits, &text, at, &own);

	if (status == INW_OK)
		status = inw_design_parse(text.s, text.length, s->d->file, &options, &d, &own);
	for (size_t i = 0; i < own.count && status == INW_BAD_INPUT; i++)
		if (own.items[i].severity == INW_ERROR)
			inw_seek_note(s, "The %s cannot be written out: %s.", f->name, own.items[i].message);
	if (status == INW_OK) {
		c->length = text.length;
		c->text = inw_arena_dup(s->arena, text.s, text.length);
		inw_design_free((struct inw_design *)(void *)(size_t)c->design);
		c->design = d;
		if (!c->text)
			status = INW_NO_MEMORY;
	}
	inw_text_free(&text);
	inw_diags_free(&own);
	return status == INW_OK ? 0 : status == INW_BAD_INPUT ? 1 : inw_seek_trouble(s, INW_NO_MEMORY);
}

/* The written design judged as it is read: its own numbers, nothing set. */
static int judge_written(struct inw_seeker *s, struct inw_chosen *c, const int *word)
{
	struct inw_trial t;
	struct inw_diags own = {0};
	enum inw_status status = inw_trial_open(&t, c->design, word, &own);

	inw_diags_free(&own);
	if (status == INW_OK) {
		status = inw_trial_judge(&t);
		c->holds = status == INW_OK && inw_trial_holds(&t);
		s->solved += t.used;
		inw_trial_close(&t);
	}
	return status == INW_OK ? 0 : inw_seek_trouble(s, INW_NO_MEMORY);
}

/* As few digits as hold: nobody sets a flap to a thousandth. */
static int settle_text(struct inw_seeker *s, struct inw_trial *t, const struct inw_front *f, struct inw_chosen *c, int *digits)
{
	for (*digits = LEAST_DIGITS; *digits <= MOST_DIGITS; (*digits)++) {
		int bad = write_out(s, t, f, *digits, c);
		if (bad)
			return bad;
		if (judge_written(s, c, t->word))
			return -1;
		if (c->holds || !f->spot.good || *digits == MOST_DIGITS)
			return 0;
	}
	return 0;
}

/* ---- what was picked ---- */

static int add_picks(struct inw_seeker *s, const struct inw_trial *t, const struct inw_front *f, int digits, struct inw_chosen *c)
{
	const struct inw_wishes *w = &s->d->wishes;
	struct inw_pick *pick = inw_arena_alloc(s->arena, (w->choices + w->frees + 1) * sizeof *pick);
	size_t n = 0;

	if (!pick)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	for (size_t i = 0; i < w->choices; i++)
		pick[n++] = (struct inw_pick){.what = w->choice[i].what, .is_word = true, .written = w->choice[i].word[t->word[i]], .was = w->choice[i].now,
			.value = NAN, .value_was = NAN, .from = NAN, .to = NAN};
	for (size_t i = 0; i < w->frees; i++) {
		const struct inw_free *free_ = &w->free[i];
		const struct inw_quantity *was = &s->d->quantity[free_->q[0]];
		char text[160];
		double at = NAN, u = f->spot.u[i];
		const double edge = 1e-3; /* of the way between its bounds */
		if (!inw_trial_written(t, i, inw_trial_value(free_, u), digits, text, &at))
			return inw_seek_trouble(s, INW_NO_MEMORY);
		const char *kept = inw_arena_dup(s->arena, text, strlen(text));
		if (!kept)
			return inw_seek_trouble(s, INW_NO_MEMORY);
		pick[n++] = (struct inw_pick){.what = was->path, .written = kept, .was = free_->written, .dim = was->dim, .value = at, .value_was = was->value,
			.from = free_->from, .to = free_->to, .at_from = u <= edge, .at_to = u >= 1 - edge};
	}
	c->picks = pick;
	c->pick_count = n;
	return 0;
}

/* ---- what binds ---- */

/* Requirements with next to nothing to spare, the tightest first. */
static int tightest(const struct inw_trial *t, int order[MOST_BINDINGS])
{
	int n = 0;

	for (int i = 0; i < t->needs; i++) {
		if (!(t->level[i] < next_to_zero))
			continue;
		if (n == MOST_BINDINGS && !(t->level[i] < t->level[order[n - 1]]))
			continue;
		int at = n < MOST_BINDINGS ? n++ : MOST_BINDINGS - 1;
		while (at > 0 && t->level[i] < t->level[order[at - 1]]) {
			order[at] = order[at - 1];
			at--;
		}
		order[at] = i;
	}
	return n;
}

/* The same search with one limit moved a step, in the same combination, from where the design is. And from what that finds
 * once more with the limit as it is: what the search might have found without easing anything is no gain of easing, and
 * stands in `found` when it is better than the design. */
static int gain_of(struct inw_seeker *s, const struct inw_front *f, int need, double by, double *gain, struct inw_spot *found)
{
	struct inw_task task = f->task;
	struct inw_spot best = {.combo = -1}, plain = {.combo = -1};
	const double trifle = 1e-3; /* of the goal's unit: about what two searches for the same lie apart */
	double unit = s->unit[task.aim], is = f->spot.aim[task.aim];

	*gain = NAN;
	task.eased = need;
	task.by = by;
	if (inw_seek_in(s, f->spot.combo, &task, f->spot.u, &best))
		return -1;
	if (!best.good)
		return 0;
	if (is - best.aim[task.aim] > trifle * unit && inw_seek_in(s, f->spot.combo, &f->task, best.u, &plain))
		return -1;
	if (plain.good && plain.untold <= f->spot.untold && plain.aim[task.aim] < is - trifle * unit && (found->combo < 0 || plain.aim[task.aim] < found->aim[task.aim]))
		*found = plain;
	if (plain.good)
		is = fmin(is, plain.aim[task.aim]);
	*gain = is - best.aim[task.aim] > trifle * unit ? is - best.aim[task.aim] : 0;
	return 0;
}

static int add_bindings(struct inw_seeker *s, const struct inw_trial *t, const struct inw_front *f, struct inw_chosen *c, struct inw_spot *found)
{
	int order[MOST_BINDINGS] = {0}, n = f->spot.good ? tightest(t, order) : 0;
	struct inw_binding *b = inw_arena_alloc(s->arena, (size_t)(n + 1) * sizeof *b);

	if (!b)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	for (int k = 0; k < n; k++) {
		const struct inw_measure *m = inw_trial_measure(t, order[k]);
		double by = step * inw_measure_one(m), gain;
		struct inw_measure eased = inw_trial_eased(m, by);
		if (s->trouble != INW_OK || gain_of(s, f, order[k], by, &gain, found)) {
			if (s->trouble != INW_IO)
				return -1;
			gain = NAN;
		}
		bool low = m->sense != INW_WITHIN || t->value[order[k]] - m->limit < m->limit_high - t->value[order[k]];
		char *id = inw_arena_dup(s->arena, m->id, strlen(m->id)), *title = inw_arena_dup(s->arena, m->title, strlen(m->title));
		if (!id || !title)
			return inw_seek_trouble(s, INW_NO_MEMORY);
		b[k] = (struct inw_binding){.id = id, .title = title, .job = s->d->job[t->need[order[k]].job].name, .dim = m->dim, .margin = t->margin[order[k]],
			.limit = low ? m->limit : m->limit_high, .eased = low ? eased.limit : eased.limit_high, .gain = gain};
	}
	c->bindings = b;
	c->binding_count = (size_t)n;
	return 0;
}

/* ---- why it is there ---- */

/* A difference to be told: of two sounds too it is decibels. */
static void say_more(struct inw_text *out, int goal, double more)
{
	inw_text_printf(out, INW_N " %s %s", INW_V(inw_goals[goal].dim, fabs(more)), more < 0 ? "less" : "more", inw_goals[goal].name);
}

static int say_why(struct inw_seeker *s, const struct inw_front *f, struct inw_chosen *c)
{
	struct inw_text out = {0};
	bool capped = false;

	for (int a = 0; a < INW_AIMS; a++)
		capped |= isfinite(f->task.cap[a]);
	if (!f->spot.good)
		inw_text_add(&out, "Of all that was tried it lacks the least.");
	else if (capped)
		inw_text_printf(&out, "The least %s that was found with", inw_goals[f->task.aim].name);
	else
		inw_text_printf(&out, "The least %s that was found%s.", inw_goals[f->task.aim].name, f->task.holds ? ", but for what the day needs" : "");
	for (int a = 0; a < INW_AIMS && capped; a++)
		if (isfinite(f->task.cap[a]))
			inw_text_printf(&out, " at most " INW_N " of %s.", INW_V(inw_goals[a].dim, f->task.cap[a]), inw_goals[a].name);
	c->why = keep(s, &out);
	return c->why ? 0 : -1;
}

/* The others of the front beside the first one that is left. */
static int say_against_first(struct inw_seeker *s, struct inw_chosen *chosen, size_t count)
{
	const struct inw_wishes *w = &s->d->wishes;

	for (size_t i = 1; i < count; i++) {
		struct inw_text out = {0};
		int said = 0;
		inw_text_add(&out, chosen[i].why);
		for (size_t k = 0; k < w->aims; k++) {
			double more = chosen[i].value[w->aim[k]] - chosen[0].value[w->aim[k]];
			if (!isfinite(more) || more == 0)
				continue;
			inw_text_add(&out, said++ ? ", " : " Against the first: ");
			say_more(&out, (int)w->aim[k], more);
		}
		inw_text_add(&out, said ? "." : "");
		if (!(chosen[i].why = keep(s, &out)))
			return -1;
	}
	return 0;
}

/* ---- asked of samples ---- */

static int judge_at(struct inw_seeker *s, struct inw_trial *t, const double *u)
{
	for (int i = 0; i < t->needs; i++) {
		t->need[i].stretch = inw_seek_stretch(s, i);
		t->need[i].shift = s->shift[i];
	}
	inw_trial_set(t, u);
	return inw_trial_judge(t) == INW_OK ? 0 : inw_seek_trouble(s, INW_NO_MEMORY);
}

static const struct inw_odds_verdict *sampled(const struct inw_seeker *s, const struct inw_trial *t, const struct inw_odds *o, int need)
{
	for (size_t k = 0; k < o->verdict_count; k++) {
		const struct inw_odds_verdict *v = &o->verdicts[k];
		if (strcmp(v->id, inw_trial_measure(t, need)->id) == 0 && strcmp(v->job, s->d->job[t->need[need].job].name) == 0 && !isnan(v->met))
			return v;
	}
	return NULL;
}

/* How many standard deviations by its single ones a requirement lies from its limit; negative beyond it. Where samples tell
 * that it lies `z` off, its deviation is to count so many times more. */
static double deviations_off(const struct inw_trial *t, int need)
{
	const struct inw_need *n = &t->need[need];
	const struct inw_study *s = t->study[n->job];
	const struct inw_measure *m = inw_trial_measure(t, need);
	bool low = m->sense == INW_AT_LEAST || (m->sense == INW_WITHIN && t->value[need] - m->limit < m->limit_high - t->value[need]);
	double limit = m->sense == INW_WITHIN && !low ? m->limit_high : m->limit;

	return (low ? -1 : 1) * inw_study_apart(s, n->measure, limit, t->value[need]) / fmax(low ? -n->down : n->up, 1e-12) * inw_normal_quantile(0.95); /* ranges end there */
}

/* All as sure as is wanted; within what the samples may err; or not. */
enum sureness { NOT_SURE, NEARLY_SURE, SURE };

/* Near the median a deviation stretched is none: there the difference between what samples tell and what deviations foretold is made
 * good, to either side. False: it is near enough. */
static bool shift_by(struct inw_seeker *s, const struct inw_trial *t, int need, double met)
{
	const double wanted = s->d->wishes.sure, beyond = wanted + 0.05 * (1 - wanted), wide = 0.04, most = 3, surest = 0.99; /* ours */
	double foretold = deviations_off(t, need), told = inw_normal_quantile(fmin(fmax(met, 1 - surest), surest));
	bool binds = t->level[need] < next_to_zero;

	if (!isfinite(foretold) || (met >= wanted && !(binds && met > wanted + wide)))
		return false;
	s->shift[need] = fmin(fmax((inw_normal_quantile(beyond) + foretold - told - inw_normal_quantile(wanted)) / INW_Z_95, -most), most);
	return true;
}

/* Sums of squares of single deviations are a first guess at how sure a requirement is. Samples move everything at once: where
 * they tell less, the deviation of that requirement is to count for more. */
static enum sureness stretch_by(struct inw_seeker *s, const struct inw_trial *t, const struct inw_odds *o, struct inw_chosen *c)
{
	const double wanted = s->d->wishes.sure, beyond = wanted + 0.05 * (1 - wanted), most = 4; /* half of what the samples may err */
	const double loose = 0.85;
	enum sureness sure = SURE;

	c->least_sure = 1;
	for (int i = 0; i < t->needs; i++) {
		const struct inw_odds_verdict *v = sampled(s, t, o, i);
		if (!v)
			continue;
		c->least_sure = fmin(c->least_sure, v->met);
		if (wanted < loose && shift_by(s, t, i, v->met) && v->met >= wanted)
			sure = sure == SURE ? NEARLY_SURE : sure; /* more than sure: perhaps something better is sure enough */
		if (v->met >= wanted)
			continue;
		sure = v->met + v->met_error < wanted ? NOT_SURE : sure == SURE ? NEARLY_SURE : sure;
		if (wanted < loose)
			continue;
		double z = fmax(inw_normal_quantile(fmax(v->met, 0.55)), 0.1), more = inw_normal_quantile(beyond) / z;
		double new = fmax(inw_seek_stretch(s, i) * more, deviations_off(t, i) / z * inw_normal_quantile(beyond) / inw_normal_quantile(fmax(wanted, 0.55)));
		s->stretch[i] = isfinite(new) ? fmin(new, most) : most;
	}
	return sure;
}

/* NULL: none were drawn; trouble is set when that is why. */
static struct inw_odds *draw_samples(struct inw_seeker *s, const struct inw_design *d)
{
	const double usual = 0.01, part = 0.3; /* fine enough to tell what is wanted from what is not */
	const struct inw_odds_options options = {.samples = 1 << 14, .width = fmin(usual, part * (1 - s->d->wishes.sure)), .bare = true, .stop = s->o ? s->o->stop : NULL, .context = s->o ? s->o->context : NULL};
	struct inw_odds *o = NULL;
	struct inw_diags own = {0};
	enum inw_status status = inw_odds(d, &options, &o, &own);

	inw_diags_free(&own);
	if (status == INW_NO_MEMORY)
		(void)inw_seek_trouble(s, status);
	if (status == INW_OK && o->stopped)
		s->trouble = INW_IO;
	return status == INW_OK ? o : NULL;
}

static int ask_samples(struct inw_seeker *s, const struct inw_trial *t, struct inw_chosen *c, enum sureness *sure)
{
	struct inw_odds *o = draw_samples(s, c->design);

	if (s->trouble == INW_NO_MEMORY)
		return -1;
	*sure = o && !o->stopped ? stretch_by(s, t, o, c) : SURE;
	c->together = o && o->samples ? o->all.met : NAN;
	c->together_error = o && o->samples ? o->all.met_error : NAN;
	inw_odds_free(o);
	return 0;
}

/* What binds or lacks something by its deviations, and less or nothing by samples, is to count for less. */
static bool shrink_by(struct inw_seeker *s, const struct inw_trial *t, const struct inw_odds *o)
{
	const double least = 0.2, trifle = 0.02; /* ours; less than that is no correction */
	bool any = false;

	for (int i = 0; i < t->needs; i++) {
		const struct inw_odds_verdict *v = t->level[i] < next_to_zero && !t->need[i].broken ? sampled(s, t, o, i) : NULL;
		double met = v ? fmin(v->met, 1 - 0.5 / (double)o->samples) : 0;
		if (!(met > 0.55) || isnan(t->value[i]))
			continue;
		double new = fmax(deviations_off(t, i) / inw_normal_quantile(met), least);
		if (!(new < inw_seek_stretch(s, i) * (1 - trifle)))
			continue;
		s->stretch[i] = s->stretch_first[i] = new;
		any = true;
	}
	return any;
}

int inw_say_sampled(struct inw_seeker *s, const struct inw_spot *spot, bool *changed)
{
	struct inw_front f = {*spot, "nearest", inw_task_of(s->d->wishes.aim[0])};
	struct inw_chosen c = {0};
	struct inw_trial t;
	struct inw_diags own = {0};
	enum inw_status status = inw_trial_open(&t, s->d, s->combo[spot->combo].word, &own);

	*changed = false;
	inw_diags_free(&own);
	if (status != INW_OK)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	int bad = judge_at(s, &t, spot->u) ? -1 : write_out(s, &t, &f, MOST_DIGITS, &c);
	struct inw_odds *o = bad == 0 ? draw_samples(s, c.design) : NULL;
	if (o && o->samples && !o->stopped)
		*changed = shrink_by(s, &t, o);
	if (o)
		inw_seek_note(s, "How sure a requirement is was worked out from single deviations, and corrected by samples of everything at once where the least was missing.");
	inw_odds_free(o);
	inw_design_free((struct inw_design *)(void *)(size_t)c.design);
	s->solved += t.used;
	inw_trial_close(&t);
	return bad < 0 || s->trouble == INW_NO_MEMORY ? -1 : 0;
}

/* Search again from there with what samples told, until they agree too. */
static int make_sure(struct inw_seeker *s, struct inw_trial *t, struct inw_front *f, struct inw_chosen *c, int *digits)
{
	enum { TRIES = 4 };
	struct inw_front kept = {.spot.combo = -1}; /* the last that was sure */

	for (int k = 0; k <= TRIES && f->spot.good && s->trouble == INW_OK; k++) {
		struct inw_spot best = {.combo = -1};
		enum sureness sure = NOT_SURE;
		if (judge_at(s, t, f->spot.u) || ask_samples(s, t, c, &sure))
			return -1;
		c->holds &= sure != NOT_SURE; /* as long as nothing better is found */
		if (sure != NOT_SURE && (kept.spot.combo < 0 || f->spot.aim[f->task.aim] < kept.spot.aim[f->task.aim]))
			kept = *f;
		if (k == TRIES && !c->holds && kept.spot.combo >= 0) {
			*f = kept;
			return settle_text(s, t, f, c, digits) || judge_at(s, t, f->spot.u) || ask_samples(s, t, c, &sure) ? -1 : 0;
		}
		if (sure == SURE || k == TRIES || s->trouble != INW_OK)
			return 0;
		if (inw_seek_in(s, f->spot.combo, &f->task, f->spot.u, &best))
			return s->trouble == INW_IO ? 0 : -1;
		for (int n = 0; n < s->combo[f->spot.combo].starts && !best.good; n++)
			if (inw_seek_in(s, f->spot.combo, &f->task, s->combo[f->spot.combo].start[n], &best))
				return s->trouble == INW_IO ? 0 : -1;
		if (!best.good)
			return 0;
		f->spot = best;
		int bad = settle_text(s, t, f, c, digits);
		if (bad)
			return bad;
	}
	return 0;
}

/* ---- what a check cannot tell ---- */

static int list_untold(struct inw_seeker *s, struct inw_chosen *c)
{
	const char **id = inw_arena_alloc(s->arena, (c->report->verdict_count + 1) * sizeof *id);
	size_t n = 0;

	if (!id)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	for (size_t i = 0; i < c->report->verdict_count; i++) {
		const struct inw_verdict *v = &c->report->verdicts[i];
		bool again = false;
		for (size_t k = 0; k < n; k++)
			again |= strcmp(id[k], v->id) == 0;
		if (v->word == INW_CANNOT_TELL && !again && !inw_wish_left_out(&s->d->wishes, v->id))
			id[n++] = v->id;
	}
	c->untold = id;
	c->untold_count = n;
	return 0;
}

/* ---- a day ---- */

/* A design of the front while a day is asked of it. */
struct day_ask { struct inw_seeker *s; struct inw_trial *t; struct inw_front *f; struct inw_chosen *c; int *digits; };

static double wanted_pull(const struct inw_design *d)
{
	return d->quantity[d->require.inward_pressure].value;
}

static bool pushes(const struct inw_day_report *r)
{
	for (size_t i = 0; i < r->verdict_count; i++)
		if (r->verdicts[i].word == INW_MISSES && strcmp(r->verdicts[i].id, "day_inward_pressure") == 0)
			return true;
	return false;
}

static const char *day_says(struct inw_seeker *s, const struct inw_day_report *r)
{
	struct inw_text t = {0};
	int missed = 0;

	for (size_t i = 0; i < r->verdict_count; i++) {
		const struct inw_verdict *v = &r->verdicts[i];
		if (v->word != INW_MISSES)
			continue;
		inw_text_printf(&t, "%s %s (", missed++ ? ";" : "A day followed at best estimates misses:", v->title);
		if (isfinite(v->value))
			inw_text_printf(&t, INW_N, INW_V(v->dim, v->value));
		else
			inw_text_add(&t, isnan(v->value) ? "there is no number" : "never");
		inw_text_printf(&t, ", wanted " INW_N ")", INW_V(v->dim, v->limit));
	}
	inw_text_add(&t, missed ? "." : r->overall == INW_MEETS ? "A day followed at best estimates meets all that is asked of it." : "A day followed at best estimates misses nothing, but not all of it can be told.");
	return keep(s, &t);
}

/* A check knows no warming up: a box that is tight when hot may leak before. `change`: what would mend that, unless it is NULL. */
static int follow_day(struct inw_seeker *s, struct inw_chosen *c, const char **change)
{
	const struct inw_day_options options = {.stop = s->o ? s->o->stop : NULL, .context = s->o ? s->o->context : NULL};
	struct inw_day_report *r = NULL;
	struct inw_diags own = {0};
	struct inw_day_mends mends = {0};
	enum inw_status status = inw_day(c->design, &options, &r, &own);

	inw_diags_free(&own);
	if (r && change && pushes(r) && inw_day_mend(c->design, &options, r->verdicts, r->verdict_count, s->arena, &mends))
		status = INW_NO_MEMORY;
	if (change)
		*change = mends.change;
	c->day = r ? day_says(s, r) : NULL;
	c->day_overall = r ? r->overall : INW_CANNOT_TELL;
	bool failed = status == INW_NO_MEMORY || (r && !c->day);
	inw_day_free(r);
	return failed ? inw_seek_trouble(s, INW_NO_MEMORY) : 0;
}

/* Which of what is free this number of a chosen design is; -1: it is not, or not so far. */
static int free_at(const struct inw_seeker *s, const char *path, double to)
{
	const struct inw_wishes *w = &s->d->wishes;

	for (size_t i = 0; i < w->frees; i++)
		for (size_t k = 0; k < w->free[i].qs; k++)
			if (strcmp(s->d->quantity[w->free[i].q[k]].path, path) == 0 && to >= fmin(w->free[i].from, w->free[i].to) && to <= fmax(w->free[i].from, w->free[i].to))
				return (int)i;
	return -1;
}

/* Then what easing buys is the same, too. */
static bool costs_the_same(const struct inw_seeker *s, const struct inw_chosen *a, const struct inw_chosen *b)
{
	const struct inw_wishes *w = &s->d->wishes;
	const double trifle = 1e-6;
	bool same = true;

	for (size_t i = 0; i < w->aims; i++)
		same &= fabs(a->value[w->aim[i]] - b->value[w->aim[i]]) <= trifle * s->unit[w->aim[i]];
	return same;
}

/* The design with one number for the day's sake another, where all still holds: 1 when it took the place of the first, 0, -1. */
static int set_for_the_day(const struct day_ask *b, const char *path, double to)
{
	struct inw_seeker *s = b->s;
	struct inw_front g = *b->f;
	struct inw_chosen other = *b->c;
	struct inw_spot ignored = {.combo = -1};
	int free_ = free_at(s, path, to), digits = LEAST_DIGITS, taken = 0;
	enum sureness sure = NOT_SURE;

	if (free_ < 0)
		return 0;
	g.task.holds = true;
	g.task.held[free_] = g.spot.u[free_] = inw_trial_coordinate(&s->d->wishes.free[free_], to);
	other.design = NULL;
	int bad = settle_text(s, b->t, &g, &other, &digits);
	if (bad == 0 && other.holds)
		bad = judge_at(s, b->t, g.spot.u) || ask_samples(s, b->t, &other, &sure) || follow_day(s, &other, NULL) ? -1 : 0;
	if (bad == 0 && sure != NOT_SURE && other.day_overall != INW_MISSES && s->trouble == INW_OK) {
		memcpy(g.spot.aim, b->t->aim, sizeof g.spot.aim);
		memcpy(other.value, b->t->aim, sizeof other.value);
		bad = costs_the_same(s, b->c, &other) ? 0 : add_bindings(s, b->t, &g, &other, &ignored);
		taken = bad == 0;
	}
	inw_design_free((struct inw_design *)(void *)(size_t)(taken ? b->c->design : other.design));
	if (taken)
		*b->f = g, *b->c = other, *b->digits = digits;
	return bad < 0 ? -1 : taken;
}

/* What is free is set so that the day pulls so surely (a half: at best estimates): 1 when something was, 0 when it pulls so or nothing
 * does it, -1. `pull`: what it came to before. */
static int pull_surely(const struct day_ask *b, double surely, double *pull)
{
	struct inw_seeker *s = b->s;
	const struct inw_day_options options = {.stop = s->o ? s->o->stop : NULL, .context = s->o ? s->o->context : NULL};
	struct inw_arena *scratch = inw_arena_new((size_t)1 << 28);
	struct inw_day_bad at;
	struct inw_day_mends mends = {0};
	const struct inw_design *d = b->c->design;
	int taken = 0, bad = !scratch || inw_day_lean(d, surely, scratch, &at) ? inw_seek_trouble(s, INW_NO_MEMORY) : 0;

	*pull = bad ? NAN : at.pull;
	if (!bad && at.pull < wanted_pull(d) && inw_day_mend(&at.d, &options, NULL, 0, scratch, &mends))
		bad = inw_seek_trouble(s, INW_NO_MEMORY);
	for (int k = 0; k < mends.n && !bad && taken == 0 && s->trouble == INW_OK; k++)
		taken = set_for_the_day(b, at.d.quantity[mends.by[k].q].path, mends.by[k].to);
	inw_arena_free(scratch);
	return bad ? -1 : taken;
}

/* What was set, and how far all of it may be trusted. */
static int say_for_the_day(const struct day_ask *b, const struct inw_spot *before, double pull, const char *change)
{
	const struct inw_wishes *w = &b->s->d->wishes;
	struct inw_text t = {0};
	int n = 0;

	inw_text_add(&t, b->c->day);
	for (size_t i = 0; i < w->frees; i++) {
		const struct inw_quantity *q = &b->s->d->quantity[w->free[i].q[0]];
		if (isnan(b->f->task.held[i]))
			continue;
		inw_text_printf(&t, "%s %s is " INW_N ", where a check alone would have it at " INW_N, n++ ? "," : " For the day's sake", q->path,
		                INW_V(q->dim, inw_trial_value(&w->free[i], b->f->spot.u[i])), INW_V(q->dim, inw_trial_value(&w->free[i], before->u[i])));
	}
	inw_text_add(&t, n ? "." : "");
	if (isfinite(pull))
		inw_text_printf(&t, " With what is not known as bad for it as in " INW_N " of all cases, the least pull of the day is " INW_N "%s.", INW_V(INW_DIM_FRACTION, 1 - w->sure), INW_V(INW_DIM_PRESSURE, pull),
		                pull < wanted_pull(b->s->d) ? ", less than is wanted" : "");
	if (change)
		inw_text_printf(&t, " Change: %s", change);
	b->c->day = keep(b->s, &t);
	b->c->day_pull = pull;
	return b->c->day ? 0 : -1;
}

/* What a day comes to; and where it does not pull surely enough, the design with what is free set otherwise for its sake. */
static int hold_by_day(const struct day_ask *b)
{
	enum { TRIES = 3 };
	struct inw_seeker *s = b->s;
	const struct inw_spot before = b->f->spot;
	const char *change = NULL;
	double pull = NAN;
	int bad = follow_day(s, b->c, NULL), more = b->f->spot.good;

	for (int k = 0; k < TRIES && bad == 0 && more > 0 && b->c->day && s->trouble == INW_OK; k++)
		more = pull_surely(b, s->d->wishes.sure, &pull);
	if (bad == 0 && more == 0 && b->c->day_overall == INW_MISSES && b->f->spot.good && (more = pull_surely(b, 0.5, &pull)) >= 0)
		more = pull_surely(b, s->d->wishes.sure, &pull);
	if (bad || more < 0 || (b->c->day_overall == INW_MISSES && follow_day(s, b->c, &change)))
		return -1;
	return b->c->day ? say_for_the_day(b, &before, pull, change) : 0;
}

/* Write it out, ask samples, see what binds: and all of that again when that came upon something better. */
static int settle(struct inw_seeker *s, struct inw_trial *t, struct inw_front *f, struct inw_chosen *c, int *digits)
{
	enum { TRIES = 3 };

	for (int k = 0; k < TRIES; k++) {
		struct inw_spot found = {.combo = -1};
		int bad = settle_text(s, t, f, c, digits);
		if (bad == 0)
			bad = make_sure(s, t, f, c, digits);
		if (bad)
			return bad;
		if (judge_at(s, t, f->spot.u))
			return -1;
		memcpy(c->value, t->aim, sizeof t->aim);
		if (add_bindings(s, t, f, c, &found))
			return -1;
		if (found.combo < 0 || s->trouble != INW_OK)
			break;
		f->spot = found;
	}
	return 0;
}

/* Is i the least of a goal? Of equal ones the first is; one that is not known is not. */
static bool is_least(const struct inw_chosen *chosen, size_t count, size_t i, int goal)
{
	bool least = !isnan(chosen[i].value[goal]);

	for (size_t k = 0; k < count; k++)
		least &= !(k < i ? chosen[k].value[goal] <= chosen[i].value[goal] : chosen[k].value[goal] < chosen[i].value[goal]);
	return least;
}

/* What each of the front is called: after a day was asked, another one may be the least than what was searched for that. */
static int name_anew(struct inw_seeker *s, struct inw_chosen *chosen, size_t count)
{
	const struct inw_wishes *w = &s->d->wishes;

	for (size_t i = 0; i < count; i++) {
		struct inw_text name = {0};
		bool between = strncmp(chosen[i].name, "between", 7) == 0, unknown = isnan(chosen[i].value[chosen[i].goal]);
		for (size_t a = 0; a < w->aims; a++)
			if (is_least(chosen, count, i, (int)w->aim[a]))
				inw_text_printf(&name, "%s%s", name.length ? " and " : "", inw_best_names[w->aim[a]]);
		if (name.length == 0 && (between || unknown))
			inw_text_add(&name, chosen[i].name);
		else if (name.length == 0)
			inw_text_printf(&name, chosen[i].goal == (int)w->aim[0] ? "nearly %s" : "between %s and %s", inw_best_names[w->aim[0]], inw_best_names[chosen[i].goal]);
		if (!(chosen[i].name = keep(s, &name)))
			return -1;
	}
	return 0;
}

static int say_one(struct inw_seeker *s, struct inw_front *front, size_t i, struct inw_chosen *c)
{
	struct inw_front *f = &front[i];
	struct inw_trial t;
	struct inw_diags own = {0};
	enum inw_status status = inw_trial_open(&t, s->d, s->combo[f->spot.combo].word, &own);
	int digits = LEAST_DIGITS;

	inw_diags_free(&own);
	if (status != INW_OK)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	*c = (struct inw_chosen){.name = f->name, .goal = (int)f->task.aim, .least_sure = NAN, .together = NAN, .together_error = NAN, .day_pull = NAN};
	memcpy(s->stretch, s->stretch_first, sizeof s->stretch);
	memset(s->shift, 0, sizeof s->shift);
	int bad = settle(s, &t, f, c, &digits);
	if (bad == 0 && hold_by_day(&(struct day_ask){s, &t, f, c, &digits}))
		bad = -1;
	if (bad == 0 && (add_picks(s, &t, f, digits, c) || say_why(s, f, c)))
		bad = -1;
	s->solved += t.used;
	inw_trial_close(&t);
	struct inw_report *report = NULL;
	if (bad == 0 && inw_check(c->design, &report, s->diags) != INW_OK)
		bad = inw_seek_trouble(s, INW_NO_MEMORY);
	c->report = report;
	if (bad == 0 && list_untold(s, c))
		bad = -1;
	return bad;
}

/* Nothing less is known of a. */
static bool is_told_as(const struct inw_chosen *a, const struct inw_chosen *b)
{
	return a->holds == b->holds ? a->untold_count <= b->untold_count : a->holds;
}

/* How far a design holds in its day: misses something, misses nothing at best estimates, pulls as surely as is wanted. */
static int by_day(const struct inw_seeker *s, const struct inw_chosen *c)
{
	return c->day_overall == INW_MISSES ? 0 : c->day_pull >= wanted_pull(s->d) ? 2 : 1;
}

/* Is a as small as b in every goal and holds no less? */
static bool covers(const struct inw_seeker *s, const struct inw_chosen *a, const struct inw_chosen *b)
{
	if (by_day(s, a) < by_day(s, b))
		return false;
	for (size_t i = 0; i < s->d->wishes.aims; i++)
		if (!(a->value[s->d->wishes.aim[i]] <= b->value[s->d->wishes.aim[i]]))
			return false;
	return is_told_as(a, b);
}

/* What became of the front when samples were asked: Z2 once more. Of two that are equal the first one stays. */
static void drop_covered(struct inw_seeker *s, struct inw_chosen *chosen)
{
	struct inw_choices *out = s->out;
	size_t first = 0;

	for (size_t i = 1; i < out->chosen_count; i++)
		if (!is_told_as(&chosen[first], &chosen[i]))
			first = i;
	const struct inw_chosen best = chosen[first];
	for (size_t i = 0; i < out->chosen_count;) {
		bool covered = !is_told_as(&chosen[i], &best); /* samples did not bear it out, or less can be told of it */
		for (size_t k = 0; k < out->chosen_count && !covered; k++)
			covered = k != i && covers(s, &chosen[k], &chosen[i]) && (k < i || !covers(s, &chosen[i], &chosen[k]));
		if (!covered) {
			i++;
			continue;
		}
		inw_report_free((struct inw_report *)(void *)(size_t)chosen[i].report);
		inw_design_free((struct inw_design *)(void *)(size_t)chosen[i].design);
		memmove(&chosen[i], &chosen[i + 1], (--out->chosen_count - i) * sizeof *chosen);
	}
}

static void count_days(struct inw_choices *out)
{
	for (size_t i = 0; i < out->chosen_count; i++) {
		const struct inw_chosen *c = &out->chosen[i];
		out->day_missed += c->day && c->day_overall == INW_MISSES;
		out->day_untold += !c->day || c->day_overall == INW_CANNOT_TELL;
		out->day_unsure += c->day && c->day_overall != INW_MISSES && c->design->box.gaps > 0 && !(c->day_pull >= wanted_pull(out->design)); /* unknown is not sure */
	}
}

int inw_say_chosen(struct inw_seeker *s, struct inw_front *front, size_t count)
{
	struct inw_chosen *chosen = inw_arena_alloc(s->arena, (count + 1) * sizeof *chosen);

	if (!chosen)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	s->out->chosen = chosen;
	for (size_t i = 0; i < count; i++) {
		struct inw_chosen *c = &chosen[s->out->chosen_count];
		int bad = say_one(s, front, i, c);
		if (bad == 0 || bad < 0)
			s->out->chosen_count += c->design != NULL;
		if (bad < 0)
			return -1;
		inw_seek_tell(s, 0.85 + 0.15 * (double)(i + 1) / (double)count);
	}
	if (s->trouble == INW_IO) {
		s->out->stopped = true;
		s->trouble = INW_OK;
	}
	drop_covered(s, chosen);
	if (s->out->found && s->out->chosen_count && !chosen[0].holds) {
		size_t all = s->out->chosen_count;
		s->out->chosen_count = 1;
		for (size_t i = 1; i < all; i++) {
			inw_report_free((struct inw_report *)(void *)(size_t)chosen[i].report);
			inw_design_free((struct inw_design *)(void *)(size_t)chosen[i].design);
		}
		inw_seek_note(s, "By the sum of single deviations this design holds everything, but samples of all that is not known do not bear that out.");
	}
	s->out->found &= s->out->chosen_count && chosen[0].holds && chosen[0].untold_count == 0;
	count_days(s->out);
	if (say_against_first(s, chosen, s->out->chosen_count))
		return -1;
	return s->out->found && !s->out->stopped ? name_anew(s, chosen, s->out->chosen_count) : 0;
}

/* ---- why nothing holds ---- */

/* What some requirements come to where they lack the least. */
struct reach { struct inw_spot spot; double level[INW_MOST_NEEDS], margin[INW_MOST_NEEDS]; };

/* What a combination lacked of these requirements where it was looked at first. */
static double lacked(const struct inw_seeker *s, int combo, const bool *only)
{
	double sum = 0;

	for (int i = 0; i < s->needs; i++)
		sum += only[i] ? fmax(-s->combo[combo].level[i], 0) : 0;
	return sum;
}

/* The combination that lacked the least of these but those `asked` before; -1: there is none. */
static int next_to_ask(const struct inw_seeker *s, const bool *only, const bool *asked)
{
	int next = -1;

	for (int k = 0; k < s->combos; k++)
		if (!asked[k] && !s->combo[k].unreadable && s->combo[k].starts > 0 && (next < 0 || lacked(s, k, only) < lacked(s, next, only)))
			next = k;
	return next;
}

/* Over the combinations that promise most of them: the least that is missing of these requirements. */
static int reach_of(struct inw_seeker *s, const bool *only, struct reach *best)
{
	struct reach *here = inw_arena_alloc(s->arena, sizeof *here);
	bool *asked = inw_arena_alloc(s->arena, (size_t)s->combos * sizeof *asked);

	if (!here || !asked)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	best->spot.combo = -1;
	for (int n = 0, k; n < MOST_ASKED && (k = next_to_ask(s, only, asked)) >= 0; n++) {
		asked[k] = true;
		if (inw_seek_nearest(s, k, only, &here->spot, here->level, here->margin))
			return -1;
		if (here->spot.combo >= 0 && (best->spot.combo < 0 || here->spot.missing < best->spot.missing))
			*best = *here;
		if (best->spot.combo >= 0 && best->spot.missing < nothing)
			break;
	}
	return 0;
}

static void say_limit(struct inw_text *out, const struct inw_measure *m)
{
	if (m->sense == INW_WITHIN)
		inw_text_printf(out, "from " INW_N " to " INW_N, INW_V(m->dim, m->limit), INW_V(m->dim, m->limit_high));
	else
		inw_text_printf(out, "%s " INW_N, m->sense == INW_AT_MOST ? "at most" : "at least", INW_V(m->dim, m->limit));
}

/* A requirement by its name, and its job's where there are several. */
static void say_need(struct inw_text *out, const struct inw_seeker *s, const struct inw_trial *t, int i)
{
	inw_text_printf(out, "'%s'", inw_trial_measure(t, i)->id);
	if (s->d->jobs > 1)
		inw_text_printf(out, " of job '%s'", s->d->job[t->need[i].job].name);
}

/* The number reached, with the wanted probability. */
static void say_reached(struct inw_text *out, const struct inw_measure *m, double margin)
{
	double v = m->sense == INW_AT_MOST ? m->limit - margin : m->limit + margin;

	inw_text_printf(out, "%s comes to " INW_N " (wanted: ", m->id, INW_V(m->dim, v));
	say_limit(out, m);
	inw_text_add(out, ")");
}

static int say_alone(struct inw_seeker *s, const struct inw_trial *t, const struct reach *r, int i)
{
	struct inw_text out = {0};

	say_need(&out, s, t, i);
	inw_text_printf(&out, " cannot be met by what is free, whatever else is given up, as far as was searched: at best, with a probability of " INW_N ", ", INW_V(INW_DIM_FRACTION, s->d->wishes.sure));
	say_reached(&out, inw_trial_measure(t, i), r->margin[i]);
	inw_text_add(&out, ".");
	s->out->conflict = keep(s, &out);
	return s->out->conflict ? 0 : -1;
}

static int say_pair(struct inw_seeker *s, const struct inw_trial *t, const struct reach *r, int i, int j)
{
	const struct inw_measure *a = inw_trial_measure(t, i), *b = inw_trial_measure(t, j);
	struct inw_text out = {0};

	say_need(&out, s, t, i);
	inw_text_add(&out, " and ");
	say_need(&out, s, t, j);
	inw_text_printf(&out, " conflict: each alone can be met by what is free, both together cannot. At best, with a probability of " INW_N ", ", INW_V(INW_DIM_FRACTION, s->d->wishes.sure));
	say_reached(&out, a, r->margin[i]);
	inw_text_add(&out, " while ");
	say_reached(&out, b, r->margin[j]);
	inw_text_add(&out, ".");
	s->out->conflict = keep(s, &out);
	return s->out->conflict ? 0 : -1;
}

static int say_all(struct inw_seeker *s, const struct inw_trial *t, const int *order, int lacking)
{
	struct inw_text out = {0};

	inw_text_add(&out, "Each of the requirements alone can be met, and no two of those tried conflict; all together cannot be met. Where the least is missing, these are not met:");
	for (int k = 0; k < lacking; k++) {
		inw_text_add(&out, k ? "; " : " ");
		say_reached(&out, inw_trial_measure(t, order[k]), t->margin[order[k]]);
	}
	inw_text_add(&out, ".");
	s->out->conflict = keep(s, &out);
	return s->out->conflict ? 0 : -1;
}

/* All requirements, what lacks the most first; how many lack something. */
static int order_needs(const struct inw_trial *t, int *order)
{
	int lacking = 0;

	for (int i = 0; i < t->needs; i++) {
		int at = i;
		while (at > 0 && t->level[i] < t->level[order[at - 1]]) {
			order[at] = order[at - 1];
			at--;
		}
		order[at] = i;
	}
	while (lacking < t->needs && t->level[order[lacking]] < 0)
		lacking++;
	return lacking;
}

/* 0 and a sentence, or 0 and none; -1 for trouble. */
static int find_conflict(struct inw_seeker *s, const struct inw_trial *t)
{
	int order[INW_MOST_NEEDS], lacking = order_needs(t, order), pairs = 0;
	bool *only = inw_arena_alloc(s->arena, INW_MOST_NEEDS);
	struct reach *r = inw_arena_alloc(s->arena, sizeof *r);

	if (!only || !r)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	for (int k = 0; k < lacking; k++) {
		only[order[k]] = true;
		if (reach_of(s, only, r))
			return -1;
		only[order[k]] = false;
		if (r->spot.combo >= 0 && r->spot.missing >= nothing)
			return say_alone(s, t, r, order[k]);
	}
	for (int k = 0; k < lacking; k++)
		for (int l = 0; l < t->needs && pairs < MOST_PAIRS; l++) {
			if (l <= k && l < lacking)
				continue;
			pairs++;
			only[order[k]] = only[order[l]] = true;
			if (reach_of(s, only, r))
				return -1;
			only[order[k]] = only[order[l]] = false;
			if (r->spot.combo < 0 || r->spot.missing < nothing)
				continue;
			only[order[l]] = true; /* the other one alone? */
			struct reach *alone = inw_arena_alloc(s->arena, sizeof *alone);
			if (!alone)
				return inw_seek_trouble(s, INW_NO_MEMORY);
			if (reach_of(s, only, alone))
				return -1;
			only[order[l]] = false;
			if (alone->spot.missing < nothing)
				return say_pair(s, t, r, order[k], order[l]);
		}
	return lacking > 0 ? say_all(s, t, order, lacking) : 0;
}

int inw_say_conflict(struct inw_seeker *s)
{
	int best = -1;
	struct inw_trial t;
	struct inw_diags own = {0};

	for (int k = 0; k < s->combos; k++)
		if (s->combo[k].least.combo >= 0 && (best < 0 || s->combo[k].least.missing < s->combo[best].least.missing))
			best = k;
	if (best < 0)
		return 0;
	enum inw_status status = inw_trial_open(&t, s->d, s->combo[best].word, &own);
	inw_diags_free(&own);
	if (status != INW_OK)
		return inw_seek_trouble(s, INW_NO_MEMORY);
	int bad = judge_at(s, &t, s->combo[best].least.u) || find_conflict(s, &t) ? -1 : 0;
	inw_trial_close(&t);
	return bad;
}
