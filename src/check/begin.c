/* SPDX-License-Identifier: MIT */
/* begin.c: from answers to a design to start from. What a rule can size is sized in src/design/begin_plan.c; which walls and
 * blower where nobody said, how fast it turns and how far the flap, is found by solving: at best estimates on a grid, then the
 * most promising ones judged in full.
 *
 * Ownership: everything here lives in the arena of the questions, but for texts, which have one owner each.
 */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "design/begin.h"
#include "design/design.h"

enum { MOST_KINDS = 24, GOOD_KINDS = 3, FINALISTS = 6, OF_ONE_KIND = 2, SHRINKS = 2, ROUNDS = 3,
	PARTS = 35 /* of progress: what one coarse map takes, of the usual whole */ };
/* A speed and a flap between which and all the way to look: first coarsely, then by tenths, closer than anybody sets a flap. */
static const struct grid { double speed, flap; size_t speeds, flaps; } coarse = {0.2, 0.2, 5, 5}, fine = {0.2, 0.1, 9, 10};

/* How a plan was judged: how good it is, in how many states it has no answer, and what its cleaner moves as designed. */
struct judged { double good, flow_m3s; size_t unsolved, states; };
static const struct judged not_yet = {-INFINITY, NAN, SIZE_MAX, 0};

/* A design that is worth a judging. */
struct finalist { int kind; double speed, flap, promise; };

struct beginner {
	const struct inw_sayings *said;
	const struct inw_start *plan;
	const char *name;
	const struct inw_begin_options *o;
	struct inw_diags *diags;
	struct inw_start kind[MOST_KINDS]; int kinds; /* walls and blower, sized */
	double promise[MOST_KINDS];                    /* of the best point of each */
	struct finalist best[FINALISTS]; int bests;    /* the most promising first */
};

/* ---- what there is to choose from -------------------------------------------------------------------------------- */

static void add_kinds(struct beginner *b, const char *panel)
{
	size_t blowers = b->plan->blower_said ? 1 : b->plan->ask->catalog.blowers;

	for (size_t i = 0; i < blowers && b->kinds < MOST_KINDS; i++) {
		struct inw_start *k = &b->kind[b->kinds++];
		inw_start_size(b->plan, b->said, b->plan->blower_said ? -1 : (int)i, k);
		k->panel = panel ? panel : k->panel;
	}
}

/* A single sheet, and one that keeps the warmth. */
static void list_kinds(struct beginner *b)
{
	if (b->plan->panel_said || b->plan->built) {
		add_kinds(b, NULL);
	} else {
		add_kinds(b, "acrylic");
		add_kinds(b, "PC twin-wall 6 mm");
	}
}

/* ---- how good ---------------------------------------------------------------------------------------------------- */

/* What a box is for, and what can kill, counts before all else; how much before is by us. */
static const double much = 8;
static double weight(const char *id)
{
	static const char *const first[] = {"inward_pressure", "inward_velocity", "opening_pressure", "face_velocity", "depressurisation", "flammability"};

	for (size_t i = 0; i < INW_COUNT(first); i++)
		if (strncmp(id, first[i], strlen(first[i])) == 0)
			return much;
	return 1;
}

/* At best estimates a margin of what counts most is worth having beyond what is asked: the range of what is not known will take
 * some of it. */
static double promise_of(const struct inw_map_verdict *v, size_t point)
{
	double share = v->margin[point] / v->one, w = weight(v->id);

	if (v->untold)
		return 0;
	return isnan(share) ? -2 * w /* less than any answer is worth */ : w * fmax(-1, fmin(1, share)) + (w > 1 ? fmax(0, fmin(much, share)) : 0);
}

static double promise_at(const struct inw_map *m, size_t point)
{
	double sum = 0;

	for (size_t i = 0; i < m->verdict_count; i++)
		sum += promise_of(&m->verdicts[i], point);
	return sum;
}

/* The words in order of what they are worth; by how much is by us. What cannot be told neither helps nor harms: no size of a
 * cleaner makes up for data that are missing. */
static double goodness(const struct inw_report *r)
{
	static const double worth[] = {[INW_MEETS] = 3, [INW_IN_DOUBT] = 1, [INW_MISSES] = -2, [INW_CANNOT_TELL] = 0, [INW_STATED] = 0};
	double sum = 0;

	for (size_t i = 0; i < r->verdict_count; i++)
		sum += weight(r->verdicts[i].id) * worth[r->verdicts[i].word];
	return sum;
}

/* What cannot be solved is worse than whatever is solved and misses: nothing of it is an answer. */
static bool is_better(const struct judged *a, const struct judged *than)
{
	return a->unsolved != than->unsolved ? a->unsolved < than->unsolved : a->good > than->good;
}

/* Kept in order; of one kind no more than a few, so that another kind has its chance. */
static void offer(struct beginner *b, struct finalist f)
{
	int at = b->bests, same = 0, worst_same = -1;

	for (int i = 0; i < b->bests; i++)
		if (b->best[i].kind == f.kind) {
			same++;
			worst_same = i;
		}
	if (same == OF_ONE_KIND) {
		if (b->best[worst_same].promise >= f.promise)
			return;
		memmove(&b->best[worst_same], &b->best[worst_same + 1], (size_t)(b->bests - worst_same - 1) * sizeof f);
		b->bests--;
	}
	for (at = b->bests; at > 0 && b->best[at - 1].promise < f.promise; at--)
		;
	if (at == FINALISTS)
		return;
	b->bests += b->bests < FINALISTS;
	memmove(&b->best[at + 1], &b->best[at], (size_t)(b->bests - at - 1) * sizeof f);
	b->best[at] = f;
}

/* ---- solving ----------------------------------------------------------------------------------------------------- */

static enum inw_status write_text(const struct inw_start *s, struct inw_text *out)
{
	inw_start_write(s, out);
	return out->failed ? INW_NO_MEMORY : INW_OK;
}

/* `done` of what is about `of` parts. False when nobody waits any more. */
static bool go_on(const struct beginner *b, int done, int of)
{
	if (b->o && b->o->progress)
		b->o->progress(b->o->context, fmin(1, (double)done / of));
	return !b->o || !b->o->stop || !b->o->stop(b->o->context);
}

/* What the reader says of a text that nobody wrote is said of the answers. */
static void say_of_answers(const struct beginner *b, const struct inw_diags *found)
{
	for (size_t i = 0; i < found->count; i++)
		inw_diag_add(b->diags, INW_ERROR, b->name, 0, 0, "these answers do not go together: %s", found->items[i].message);
	b->diags->out_of_memory |= found->out_of_memory;
}

/* The design of a plan. INW_BAD_INPUT also when its text reads with a warning: it must read without any. */
static enum inw_status design_of(const struct beginner *b, const struct inw_start *s, struct inw_design **d)
{
	struct inw_text text = {0};
	struct inw_diags found = {0};
	enum inw_status status = write_text(s, &text);

	*d = NULL;
	if (status == INW_OK)
		status = inw_design_parse(text.s, text.length, b->name, NULL, d, &found);
	if (found.count || status == INW_BAD_INPUT) {
		say_of_answers(b, &found);
		inw_design_free(*d);
		*d = NULL;
		status = status == INW_OK ? INW_BAD_INPUT : status;
	}
	inw_diags_free(&found);
	inw_text_free(&text);
	return status;
}

/* Map the kind; what is best of it is remembered, and with `offers` its points are held against all others. */
static enum inw_status try_kind(struct beginner *b, int kind, const struct grid *g, bool offers)
{
	struct inw_design *d = NULL;
	struct inw_map *m = NULL;
	bool hands = b->kind[kind].hands;
	const struct inw_map_options options = {.axis = {{"cleaner.stages[3 blower].speed", g->speed, 1, g->speeds},
	                                                 {"cleaner.split.flap.position", g->flap, 1, g->flaps}}, .axes = hands ? 1 : 2};
	enum inw_status s = design_of(b, &b->kind[kind], &d);

	b->promise[kind] = -INFINITY;
	if (s == INW_OK)
		s = inw_map(d, &options, &m, b->diags);
	for (size_t i = 0; s == INW_OK && i < m->points; i++) {
		double promise = promise_at(m, i);
		b->promise[kind] = fmax(b->promise[kind], promise);
		if (offers)
			offer(b, (struct finalist){kind, m->axis[0].at[i % m->axis[0].count], hands ? 1 : m->axis[1].at[i / m->axis[0].count], promise});
	}
	inw_map_free(m);
	inw_design_free(d);
	return s;
}

static int most_promising(const struct beginner *b)
{
	int best = 0;

	for (int i = 1; i < b->kinds; i++)
		if (b->promise[i] > b->promise[best])
			best = i;
	return best;
}

/* The kinds that promise most on a coarse grid, on a fine one. */
static enum inw_status find_finalists(struct beginner *b)
{
	enum inw_status s = INW_OK;

	for (int i = 0; i < b->kinds && s == INW_OK; i++)
		s = go_on(b, i, PARTS) ? try_kind(b, i, &coarse, false) : INW_IO;
	for (int i = 0; i < GOOD_KINDS && i < b->kinds && s == INW_OK; i++) {
		int kind = most_promising(b);
		s = go_on(b, b->kinds + 3 * i, PARTS) ? try_kind(b, kind, &fine, true) : INW_IO;
		b->promise[kind] = -INFINITY; /* looked at */
	}
	return s;
}

static enum inw_status judge(struct beginner *b, const struct inw_start *t, struct judged *out)
{
	struct inw_design *d = NULL;
	struct inw_report *r = NULL;
	enum inw_status s = design_of(b, t, &d);

	if (s == INW_OK)
		s = inw_check(d, &r, b->diags);
	if (s == INW_OK) {
		*out = (struct judged){goodness(r), r->state_count ? r->states[0].cleaner_m3s : NAN, 0, r->state_count};
		for (size_t i = 0; i < r->state_count; i++)
			out->unsolved += !r->states[i].converged;
	}
	inw_report_free(r);
	inw_design_free(d);
	return s;
}

/* The finalist that is judged best; of equals the most promising. */
static enum inw_status pick(struct beginner *b, struct inw_start *chosen, struct judged *best)
{
	enum inw_status s = INW_OK;

	*best = not_yet;
	for (int i = 0; i < b->bests && s == INW_OK; i++) {
		struct inw_start t = b->kind[b->best[i].kind];
		struct judged now = not_yet;
		t.speed = b->best[i].speed;
		t.flap = b->best[i].flap;
		s = go_on(b, b->kinds + 3 * GOOD_KINDS + i, PARTS) ? judge(b, &t, &now) : INW_IO;
		if (s == INW_OK && is_better(&now, best)) {
			*best = now;
			*chosen = t;
		}
	}
	return s;
}

/* The best of those next to it, as long as one is better. */
static enum inw_status climb(struct beginner *b, struct inw_start *chosen, struct judged *best)
{
	static const double step[][2] = {{0.1, 0}, {-0.1, 0}, {0, 0.1}, {0, -0.1}};
	enum inw_status s = INW_OK;
	bool better = true;

	for (int round = 0; round < ROUNDS && better && s == INW_OK; round++) {
		const struct inw_start from = *chosen;
		better = false;
		for (size_t i = 0; i < (from.hands ? 2 : INW_COUNT(step)) && s == INW_OK; i++) {
			struct inw_start t = from;
			struct judged now = not_yet;
			t.speed = from.speed + step[i][0];
			t.flap = from.flap + step[i][1];
			if (t.speed < fine.speed - 0.01 || t.speed > 1.01 || t.flap < fine.flap - 0.01 || t.flap > 1.01)
				continue;
			s = go_on(b, b->kinds + 3 * GOOD_KINDS + FINALISTS + 4 * round + (int)i, PARTS) ? judge(b, &t, &now) : INW_IO;
			if (s != INW_OK || !is_better(&now, best))
				continue;
			*best = now;
			*chosen = t;
			better = true;
		}
	}
	return s;
}

/* What turns slowly moves less than it was sized for: a smaller cleaner, as long as it is judged no worse. */
static enum inw_status shrink(struct beginner *b, struct inw_start *chosen, struct judged *best)
{
	enum inw_status s = INW_OK;

	for (int i = 0; i < SHRINKS && s == INW_OK; i++) {
		struct inw_start t = *chosen;
		struct judged now = not_yet;
		if (!inw_start_shrink(&t, b->said, best->flow_m3s))
			break;
		s = judge(b, &t, &now);
		if (s != INW_OK || is_better(best, &now))
			break;
		*best = now;
		*chosen = t;
	}
	return s;
}

/* Of the first state without an answer, as its verdicts say it. */
static const char *why_unsolved(const struct inw_report *r)
{
	for (size_t i = 0; i < r->state_count; i++)
		for (size_t k = 0; k < r->verdict_count && !r->states[i].converged; k++) {
			const struct inw_verdict *v = &r->verdicts[k];
			if (isnan(v->value) && v->reason && strcmp(v->state, r->states[i].state) == 0 && strcmp(v->job, r->states[i].job) == 0)
				return v->reason;
		}
	return "No reason is known.";
}

/* The answers are written down all the same: the file is where to go on from. */
static enum inw_status say_unsolved(const struct beginner *b, const struct inw_start *chosen, const struct judged *best)
{
	struct inw_design *d = NULL;
	struct inw_report *r = NULL;
	enum inw_status s = design_of(b, chosen, &d);

	if (s == INW_OK)
		s = inw_check(d, &r, b->diags);
	if (s == INW_OK)
		inw_diag_add(b->diags, INW_WARNING, b->name, 0, 0, "these answers make a design that cannot be solved in %zu of the %zu states that it is judged in, and of all walls, blowers, speeds "
		             "and flaps that they leave open none was found that can be. %s The design is a start to go on from and no more: look at the answers about size, heat, walls and blower",
		             best->unsolved, best->states, why_unsolved(r));
	inw_report_free(r);
	inw_design_free(d);
	return s;
}

static enum inw_status choose(struct beginner *b, struct inw_start *chosen)
{
	struct judged best = not_yet;

	list_kinds(b);
	*chosen = b->kind[0];
	enum inw_status s = find_finalists(b);
	if (s == INW_OK)
		s = pick(b, chosen, &best);
	if (s == INW_OK)
		s = climb(b, chosen, &best);
	if (s == INW_OK)
		s = shrink(b, chosen, &best);
	return s == INW_OK && best.unsolved ? say_unsolved(b, chosen, &best) : s;
}

enum inw_status inw_begin(const struct inw_answer *answers, size_t count, const struct inw_begin_options *options, char **text,
                          struct inw_diags *diags)
{
	const char *name = options && options->name ? options->name : "answers";
	struct inw_asking *ask = NULL;
	struct inw_start plan, chosen;
	struct inw_text out = {0};

	*text = NULL;
	enum inw_status status = inw_asking_open(&ask, diags);
	const struct inw_sayings said = {ask, answers, count};
	struct beginner b = {.said = &said, .plan = &plan, .name = name, .o = options, .diags = diags};
	if (status == INW_OK)
		status = inw_sayings_check(&said, name, diags);
	if (status == INW_OK)
		status = inw_start_plan(&said, options ? options->units : INW_SI, name, &plan, diags);
	if (status == INW_OK)
		status = choose(&b, &chosen);
	if (status == INW_OK)
		status = write_text(&chosen, &out);
	if (status == INW_OK)
		*text = out.s;
	else
		inw_text_free(&out);
	inw_questions_free(ask ? &ask->public : NULL);
	return status;
}
