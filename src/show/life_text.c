/* SPDX-License-Identifier: MIT */
/* life_text.c: months on the carbon for a person at a terminal: when to change it, what holds how much, what it costs. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/verdicts.h"

struct life {
	const struct inw_life_report *r;
	struct inw_page *p;
};

static const struct inw_verdict *verdict_of(const struct inw_life_report *r, const char *id)
{
	for (size_t i = 0; i < r->verdict_count; i++)
		if (strcmp(r->verdicts[i].id, id) == 0)
			return &r->verdicts[i];
	return NULL;
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

static char *weeks(char *out, size_t size, double s)
{
	double days = s / 86400;

	if (s == INFINITY)
		snprintf(out, size, "beyond what was looked at");
	else if (days < 14)
		snprintf(out, size, "%.0f days", days);
	else if (days < 140)
		snprintf(out, size, "%.0f weeks", days / 7);
	else
		snprintf(out, size, "%.0f months", days / (365.0 / 12));
	return out;
}

static void show_answer(const struct life *l)
{
	const struct inw_life_report *r = l->r;
	const struct inw_verdict *use = verdict_of(r, "life_use");
	char at[INW_CELL], low[INW_CELL], high[INW_CELL];

	if (use)
		inw_show__wrapf(l->p, "Verdict: ", 9, "%s. %s", inw_show__group_name(use->word), inw_show__word_meaning(use->word));
	if (r->spent_s == INFINITY)
		inw_show__wrapf(l->p, "Change: ", 9, "not spent within %s in this pattern; at the bad end of what is assumed after %s.", weeks(at, sizeof at, r->horizon_s), weeks(low, sizeof low, r->spent_low_s));
	else if (r->spent_s <= 0)
		inw_show__wrap(l->p, "Change: ", 9, "changing it does not help: this bed lets too much through from the first day.");
	else
		inw_show__wrapf(l->p, "Change: ", 9, "the carbon is spent after %s (%s to %s over the range of what is assumed). Change it at the early end.", weeks(at, sizeof at, r->spent_s),
		                weeks(low, sizeof low, r->spent_low_s), weeks(high, sizeof high, r->spent_high_s));
	if (use && use->reason && *use->reason)
		inw_show__wrapf(l->p, "Why: ", 9, "%s", use->reason);
	inw_show__wrapf(l->p, "Pattern: ", 9, "%s that repeats, followed for %s.", r->pattern_s > 86400 ? "a week" : "a day", weeks(at, sizeof at, r->followed_s));
	inw_text_add(&l->p->t, "\n");
	inw_show__wrapf(l->p, "", 2, "%s (%s)", r->title ? r->title : "", r->file ? r->file : "");
}

/* ---- gases ------------------------------------------------------------------------------------------------------- */

enum { GAS_COLUMNS = 5 };

static const char *gas_name(const void *context, size_t row)
{
	const struct life *l = context;

	return l->r->gases[row].title;
}

static void when_words(char out[INW_CELL], const struct life *l, double s)
{
	if (isnan(s))
		snprintf(out, INW_CELL, "later");
	else if (s <= 0)
		snprintf(out, INW_CELL, "from the start");
	else
		weeks(out, INW_CELL, s);
	(void)l;
}

static void gas_cell(const void *context, size_t row, size_t column, char out[INW_CELL])
{
	const struct life *l = context;
	const struct inw_life_gas *g = &l->r->gases[row];

	if (column == 0)
		inw_show__number(out, INW_CELL, g->given_off_kg, INW_DIM_MASS, l->p->units);
	else if (!g->held)
		snprintf(out, INW_CELL, column == 1 ? "not held" : "-");
	else if (column == 1)
		inw_show__number(out, INW_CELL, g->on_carbon_kg, INW_DIM_MASS, l->p->units);
	else if (column == 2)
		inw_show__number(out, INW_CELL, g->back_idle_kg + g->back_running_kg, INW_DIM_MASS, l->p->units);
	else
		when_words(out, l, g->passes_s[column - 3]);
}

static void show_gases(const struct life *l)
{
	const char *const head[GAS_COLUMNS + 1] = {"Gas", l->r->pattern_s > 86400 ? "given off a week" : "given off a day", "on the carbon", "given back", "1 % passes", "10 % passes"};
	const struct inw_table table = {l, head, l->r->gas_count, GAS_COLUMNS, gas_name, gas_cell};

	inw_show__title(l->p, "What the carbon holds at the end", NULL);
	inw_show__table(l->p, &table, 2);
	inw_text_add(&l->p->t, "\n");
	inw_show__wrapf(l->p, "  ", 2, "Given back: released to the air in the last %s, when warmer or cleaner air passed than before. Not held: plain carbon lets it through.",
	                l->r->pattern_s > 86400 ? "week" : "day");
}

/* Limits that the air behind the carbon comes over: before dilution in a room. */
static const char *kind_words(const char *kind)
{
	static const struct { const char *kind, *words; } all[] = {
		{"work_8h", "at work, 8 hours"}, {"work_15min", "at work, 15 minutes"}, {"work_ceiling", "at work, at no time"},
		{"home_1h", "at home, 1 hour"}, {"home_8h", "at home, 8 hours"}, {"home_24h", "at home, a day"}, {"home_long", "at home, for long"}};

	for (size_t i = 0; i < INW_COUNT(all); i++)
		if (strcmp(all[i].kind, kind) == 0)
			return all[i].words;
	return kind;
}

static void show_limits(const struct life *l)
{
	char limit[INW_CELL], when[INW_CELL];

	if (l->p->detail != INW_FULL)
		return;
	inw_show__title(l->p, "When the air behind the carbon, before any room thins it, exceeds each limit", NULL);
	for (size_t i = 0; i < l->r->gas_count; i++)
		for (size_t k = 0; k < l->r->gases[i].limit_count; k++) {
			const struct inw_life_limit *x = &l->r->gases[i].limits[k];
			when_words(when, l, x->reached_s);
			inw_show__wrapf(l->p, "  ", 4, "%s, %s (%s): %s", l->r->gases[i].title, kind_words(x->kind),
			                inw_show__number(limit, sizeof limit, x->limit_kgm3, INW_DIM_CONCENTRATION, l->p->units), isnan(x->reached_s) ? "not while it was followed" : when);
		}
}

/* ---- media ------------------------------------------------------------------------------------------------------- */

static void show_media(const struct life *l)
{
	bool any = false;

	for (size_t i = 0; i < l->r->verdict_count; i++) {
		const struct inw_verdict *v = &l->r->verdicts[i];
		char at[INW_CELL];
		if (strncmp(v->id, "life_medium[", 12))
			continue;
		if (!any)
			inw_show__title(l->p, "The particle stage", NULL);
		any = true;
		inw_show__wrapf(l->p, "  ", 4, "%s: %s%s.", v->title, v->value >= l->r->horizon_s ? "not within " : "", weeks(at, sizeof at, v->value));
		if (l->p->detail == INW_FULL)
			inw_show__wrap(l->p, "    ", 4, v->reason);
	}
}

/* ---- the year ---------------------------------------------------------------------------------------------------- */

static void show_year(const struct life *l)
{
	static const char *const ids[] = {"life_carbon_year", "life_energy_year", "life_heating_year", "life_cost_year"};
	char number[INW_CELL];

	inw_show__title(l->p, "A year of it", NULL);
	for (size_t i = 0; i < INW_COUNT(ids); i++) {
		const struct inw_verdict *v = verdict_of(l->r, ids[i]);
		if (!v)
			continue;
		inw_text_printf(&l->p->t, "  %-52s %20s\n", v->title, inw_show__number(number, sizeof number, v->value, v->dim, l->p->units));
		if (v->reason && *v->reason && (l->p->detail == INW_FULL || isnan(v->value)))
			inw_show__wrap(l->p, "    ", 4, v->reason);
	}
}

static void show_verdicts(const struct life *l)
{
	inw_show__title(l->p, "Every check", NULL);
	for (size_t w = 0; w < INW_WORDS; w++)
		for (size_t i = 0; i < l->r->verdict_count; i++) {
			const struct inw_verdict *v = &l->r->verdicts[i];
			if (v->word != inw_show__order[w] || (v->word == INW_STATED && l->p->detail != INW_FULL))
				continue;
			(v->word == INW_MEETS && l->p->detail != INW_FULL ? inw_show__verdict_in_brief : inw_show__verdict)(l->p, v);
		}
}

static void show_account(const struct life *l)
{
	char off[INW_CELL];

	inw_text_add(&l->p->t, "\n");
	if (isnan(l->r->shortcut_error))
		inw_show__wrap(l->p, "", 2, "All of it is a full run.");
	else
		inw_show__wrapf(l->p, "", 2, "Followed by repeating the air of one pattern; held against a full run of the last one from the same carbon it is off by %s of what the machine gives off.",
		                inw_show__number(off, sizeof off, l->r->shortcut_error, INW_DIM_FRACTION, l->p->units));
	if (l->p->detail == INW_FULL)
		inw_show__wrapf(l->p, "", 2, "Of each gas that was given off all but %.0e is found again.", l->r->matter_closure);
}

char *inw_show_life_text(const struct inw_life_report *r, enum inw_units units, enum inw_detail detail)
{
	struct inw_page page = {.units = units, .detail = detail};
	const struct life l = {r, &page};

	show_answer(&l);
	show_gases(&l);
	show_limits(&l);
	show_media(&l);
	show_year(&l);
	show_verdicts(&l);
	show_account(&l);
	inw_show__list(&page, "Notes", r->notes, r->note_count);
	inw_show__cautions(&page, r->cautions, r->caution_count);
	if (page.t.failed) {
		inw_text_free(&page.t);
		return NULL;
	}
	return page.t.s;
}
