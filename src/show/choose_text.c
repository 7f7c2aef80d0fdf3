/* SPDX-License-Identifier: MIT */
/* choose_text.c: chosen designs as text of 80 columns. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/verdicts.h"

static void number(char out[INW_CELL], double value, enum inw_dim dim, enum inw_units units)
{
	inw_show__number(out, INW_CELL, value, dim, units);
}

/* ---- the front in a table ---- */

struct front { const struct inw_choices *c; enum inw_units units; };

static const char *row_name(const void *context, size_t row)
{
	const struct front *f = context;

	return f->c->chosen[row].name;
}

static void row_cell(const void *context, size_t row, size_t column, char out[INW_CELL])
{
	const struct front *f = context;
	const struct inw_chosen *k = &f->c->chosen[row];

	if (column < f->c->goal_count)
		number(out, k->value[f->c->goals[column]], inw_goals[f->c->goals[column]].dim, f->units);
	else if (column == f->c->goal_count && isnan(k->day_pull))
		snprintf(out, INW_CELL, "-");
	else if (column == f->c->goal_count)
		number(out, k->day_pull, INW_DIM_PRESSURE, f->units);
	else
		snprintf(out, INW_CELL, "%s", inw_show__word(k->report->overall));
}

static void show_front(struct inw_page *p, const struct inw_choices *c)
{
	const char *head[INW_GOALS + 3] = {"design"};
	const struct front f = {c, p->units};
	char part[INW_CELL];

	for (size_t i = 0; i < c->goal_count; i++)
		head[1 + i] = inw_goals[c->goals[i]].name;
	head[1 + c->goal_count] = "bad day";
	head[2 + c->goal_count] = "a check says";
	const struct inw_table table = {&f, head, c->chosen_count, c->goal_count + 2, row_name, row_cell};
	inw_show__table(p, &table, 2);
	number(part, 1 - c->sure, INW_DIM_FRACTION, p->units);
	inw_text_add(&p->t, "\n");
	inw_show__wrapf(p, "  ", 2, "bad day: the least pull inward of a day where what is not known is as bad for it as in %s of all cases.", part);
	inw_text_add(&p->t, "\n");
}

/* ---- one design ---- */

static void show_pick(struct inw_page *p, const struct inw_pick *k)
{
	char now[160], was[160];

	if (k->is_word) {
		inw_show__plain(now, sizeof now, k->written);
		inw_show__plain(was, sizeof was, k->was);
	} else if (p->units == INW_US) {
		inw_show__number(now, sizeof now, k->value, k->dim, p->units);
		inw_show__number(was, sizeof was, k->value_was, k->dim, p->units);
	} else {
		inw_show__plain(now, sizeof now, k->written);
		inw_show__plain(was, sizeof was, k->was);
	}
	bool same = strcmp(now, was) == 0;
	inw_show__wrapf(p, "  ", 6, "%s: %s%s%s%s%s", k->what, now, same ? " (as it was)" : ", was ", same ? "" : was,
	                k->at_from ? "; the least that is allowed" : "", k->at_to ? "; the most that is allowed" : "");
}

static void show_binding(struct inw_page *p, const struct inw_choices *c, const struct inw_chosen *k, const struct inw_binding *b)
{
	char limit[INW_CELL], eased[INW_CELL], gain[INW_CELL];

	number(limit, b->limit, b->dim, p->units);
	number(eased, b->eased, b->dim, p->units);
	number(gain, b->gain, inw_goals[k->goal].dim, p->units);
	if (isnan(b->gain))
		inw_show__wrapf(p, "  * ", 4, "%s (%s): next to nothing to spare. What easing it would buy was not worked out.", b->title, b->id);
	else if (b->gain > 0)
		inw_show__wrapf(p, "  * ", 4, "%s (%s): next to nothing to spare. With %s in place of %s it would take %s less %s.", b->title, b->id, eased, limit, gain,
		                inw_goals[k->goal].name);
	else
		inw_show__wrapf(p, "  * ", 4, "%s (%s): next to nothing to spare, but %s in place of %s would buy nothing to speak of.", b->title, b->id, eased, limit);
	(void)c;
}

static bool show_missed(struct inw_page *p, const struct inw_report *r)
{
	bool any = false;

	for (size_t i = 0; i < r->verdict_count; i++)
		if (r->verdicts[i].word == INW_MISSES) {
			inw_show__verdict(p, &r->verdicts[i]);
			any = true;
		}
	return any;
}

/* Samples never tell that something is certain. */
static void likely(char *out, double share, enum inw_units units)
{
	if (share > 0.999)
		snprintf(out, INW_CELL, "over 99.9 %%");
	else if (share < 0.001)
		snprintf(out, INW_CELL, "under 0.1 %%");
	else
		number(out, share, INW_DIM_FRACTION, units);
}

static void show_one(struct inw_page *p, const struct inw_choices *c, const struct inw_chosen *k)
{
	char sure[INW_CELL], together[INW_CELL];

	inw_show__wrapf(p, "", 2, "%c%s", k->name[0] >= 'a' && k->name[0] <= 'z' ? k->name[0] - 'a' + 'A' : k->name[0], k->name + 1);
	inw_text_add(&p->t, "----------------------------------------------------------------\n");
	inw_show__wrap(p, "", 2, k->why);
	likely(sure, k->least_sure, p->units);
	likely(together, k->together, p->units);
	if (isnan(k->least_sure))
		inw_show__wrap(p, "", 2, "How sure its requirements are was worked out from single deviations; samples of everything at once were not drawn.");
	else
		inw_show__wrapf(p, "", 2, "By samples of what is not known the least sure requirement holds with a probability of %s, and all that can be told at once with %s (+- %.2g %%).", sure, together, 100 * k->together_error);
	if (k->day)
		inw_show__wrap(p, "", 2, k->day);
	for (size_t i = 0; i < INW_GOALS && p->detail == INW_FULL; i++)
		if (isfinite(k->value[i])) {
			char value[INW_CELL];
			number(value, k->value[i], inw_goals[i].dim, p->units);
			inw_show__wrapf(p, "  ", 6, "%s: %s", inw_goals[i].name, value);
		}
	inw_text_add(&p->t, "\nIn the file:\n");
	for (size_t i = 0; i < k->pick_count; i++)
		show_pick(p, &k->picks[i]);
	if (k->binding_count)
		inw_text_add(&p->t, "\nWhat keeps it from being better:\n");
	for (size_t i = 0; i < k->binding_count; i++)
		show_binding(p, c, k, &k->bindings[i]);
	if (!k->holds) {
		inw_text_add(&p->t, "\nWhat it misses:\n");
		if (!show_missed(p, k->report))
			inw_show__wrap(p, "  ", 2, "Nothing at best estimates; but not every requirement is as sure as is wanted.");
	}
	inw_text_add(&p->t, "\n");
}

/* ---- all of it ---- */

static void show_missing_data(struct inw_page *p, const struct inw_choices *c, const char *sure)
{
	struct inw_text names = {0};

	for (size_t i = 0; i < c->chosen[0].untold_count; i++)
		inw_text_printf(&names, "%s%s", i ? ", " : "", c->chosen[0].untold[i]);
	inw_show__wrapf(p, "", 9, "No pass: of %zu requirement%s it cannot be told whether %s met, by any design found, since data are missing or no law holds: %s. What can be told "
	                "is met in steady states, each by itself with a probability of %s or more.", c->chosen[0].untold_count, c->chosen[0].untold_count == 1 ? "" : "s",
	                c->chosen[0].untold_count == 1 ? "it is" : "they are", names.s ? names.s : "", sure);
	p->t.failed |= names.failed;
	inw_text_free(&names);
}

static void show_days(struct inw_page *p, const struct inw_choices *c)
{
	if (c->day_missed)
		inw_show__wrapf(p, "By day: ", 9, "followed through a day ('inward day') %zu of %zu %s, which a steady state knows nothing of: see under each. Look for what helps there before anything is built.", c->day_missed,
		                c->chosen_count, c->day_missed == 1 ? "misses something" : "miss something");
	if (c->day_unsure)
		inw_show__wrapf(p, "By day: ", 9, "%zu of %zu %s air inward all day at best estimates, but less surely than is wanted, or it cannot be told how surely: see under each.", c->day_unsure, c->chosen_count,
		                c->day_unsure == 1 ? "pulls" : "pull");
	if (c->day_untold && !c->stopped)
		inw_show__wrapf(p, "By day: ", 9, "of %zu of %zu it cannot be told what a day comes to: see under each.", c->day_untold, c->chosen_count);
}

static void show_head(struct inw_page *p, const struct inw_choices *c)
{
	char sure[INW_CELL];

	number(sure, c->sure, INW_DIM_FRACTION, p->units);
	if (c->found && c->stopped)
		inw_show__wrapf(p, "", 9, "Stopped early: %zu design%s that in steady states meet%s each requirement of 'inward check'%s as far as was asked by then. Not all of that was asked of samples, nor of a day.", c->chosen_count,
		                c->chosen_count == 1 ? "" : "s", c->chosen_count == 1 ? "s" : "", c->without_count ? " but those left out" : "");
	else if (c->found)
		inw_show__wrapf(p, "", 9, "Found, in steady states: %zu design%s that meet%s each requirement of 'inward check'%s by itself with a probability of %s or more; all at once are less likely, and only the carbon's months were not followed ('inward life').", c->chosen_count,
		                c->chosen_count == 1 ? "" : "s", c->chosen_count == 1 ? "s" : "", c->without_count ? " but those left out" : "", sure);
	else if (c->chosen_count && c->chosen[0].holds)
		show_missing_data(p, c, sure);
	else
		inw_show__wrapf(p, "", 9, "Nothing found that meets every requirement, each with a probability of %s.", sure);
	if (c->chosen_count && c->chosen[0].holds)
		show_days(p, c);
	if (c->stopped)
		inw_show__wrapf(p, "", 2, "The search was stopped: this is the best it had by then.");
	for (size_t i = 0; i < c->without_count; i++)
		inw_show__wrapf(p, "Left out: ", 10, "%s", c->without[i]);
	if (c->conflict)
		inw_show__wrap(p, "Why: ", 5, c->conflict);
	inw_text_add(&p->t, "\n");
	inw_show__wrapf(p, "", 2, "%s (%s)", c->title, c->file);
	inw_text_add(&p->t, "\n");
}

char *inw_show_choices_text(const struct inw_choices *c, enum inw_units units, enum inw_detail detail)
{
	struct inw_page p = {.units = units, .detail = detail, .unranged = true};

	show_head(&p, c);
	if (c->chosen_count)
		show_front(&p, c);
	for (size_t i = 0; i < c->chosen_count; i++)
		show_one(&p, c, &c->chosen[i]);
	if (c->note_count)
		inw_show__list(&p, "Notes", c->notes, c->note_count);
	inw_show__wrapf(&p, "", 2, "%zu searches among %zu combination%s of records, with %ld solutions of all states. What was found is the best of its "
	                "neighbourhood; that nothing better exists anywhere is not proven. Money is in the unit of the prices%s.", c->polished, c->combinations,
	                c->combinations == 1 ? "" : "s", c->solved, c->years > 0 ? ", running costs of the years counted with it" : "");
	if (c->sure < 0.95) /* the points at which ranges end */
		inw_show__wrapf(&p, "", 2, "A check asks each requirement to hold at the bad end of its range, which is a probability of 95 %%: what holds with less is in doubt there.");
	inw_show__wrapf(&p, "", 2, "%s", inw_show__disclaimer);
	if (p.t.failed) {
		inw_text_free(&p.t);
		return NULL;
	}
	return p.t.s;
}
