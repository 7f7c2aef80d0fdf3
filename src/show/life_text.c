/* SPDX-License-Identifier: MIT */
/* life_text.c: months on the carbon for a person at a terminal: when to change it, what holds how much, what it costs. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/life_parts.h"
#include "show/verdicts.h"

struct life {
	const struct inw_life_report *r;
	struct inw_page *p;
};

/* ---- the answer -------------------------------------------------------------------------------------------------- */

/* Jobs run for hours: a number of days would be taken for days of the calendar. */
static void show_running(const struct life *l, const struct inw_verdict *use)
{
	char wanted[INW_CELL] = "";

	if (use->sense == INW_AT_LEAST)
		snprintf(wanted, sizeof wanted, "; wanted: at least %.0f h", use->limit / 3600);
	if (l->r->spent_s > 0 && isfinite(use->value))
		inw_show__wrapf(l->p, "Running: ", 9, "%s%.0f h with a job running by then%s.", use->bound == INW_MORE_THAN ? "more than " : "", use->value / 3600, wanted);
}

static void show_answer(const struct life *l)
{
	const struct inw_life_report *r = l->r;
	const struct inw_verdict *use = inw_life__verdict(r, "life_use");
	char words[400], at[INW_CELL];

	if (use && use->word == INW_STATED && r->overall == INW_MEETS)
		inw_show__wrap(l->p, "Verdict: ", 9, "none. No least life is required of this carbon.");
	else
		inw_show__wrapf(l->p, "Verdict: ", 9, "%s: %s.", inw_show__group_name(r->overall), r->overall == INW_MEETS
			? "met, the life of the carbon also at the bad end of the gases' rates, of what it holds and of how fast, the rest at best estimates" : inw_show__word_meaning(r->overall));
	inw_show__wrap(l->p, "Change: ", 9, inw_life__answer(words, sizeof words, r));
	if (use)
		show_running(l, use);
	if (use && use->reason && *use->reason)
		inw_show__wrap(l->p, "Why: ", 9, use->reason);
	inw_show__wrapf(l->p, "Pattern: ", 9, "the same %s again and again, followed for %s.", inw_life__pattern(r), inw_life__span(at, sizeof at, r->followed_s));
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

static void when_words(char out[INW_CELL], double s)
{
	if (isnan(s))
		snprintf(out, INW_CELL, "not yet");
	else if (s <= 0)
		snprintf(out, INW_CELL, "at once");
	else
		inw_life__span(out, INW_CELL, s);
}

/* Less than a nanogram is no number that anybody could measure. */
static void mass_words(char out[INW_CELL], double kg, enum inw_units units)
{
	if (kg > 0 && kg < 1e-12)
		snprintf(out, INW_CELL, "< 0.001 ug");
	else
		inw_show__number(out, INW_CELL, kg, INW_DIM_MASS, units);
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
		mass_words(out, g->back_idle_kg + g->back_running_kg, l->p->units);
	else
		when_words(out, g->passes_s[column - 3]);
}

static void show_gases(const struct life *l)
{
	const char *pattern = inw_life__pattern(l->r), *const a_pattern = l->r->pattern_s > 86400 ? "a week" : "a day";
	const char *const head[GAS_COLUMNS + 1] = {"Gas", a_pattern, "held", "given back", "1 % passes", "10 % passes"};
	const struct inw_table table = {l, head, l->r->gas_count, GAS_COLUMNS, gas_name, gas_cell};

	inw_show__title(l->p, "What the carbon holds at the end", NULL);
	if (!l->r->gas_count) {
		inw_show__wrap(l->p, "  ", 2, "No gas is known to come off.");
		return;
	}
	inw_show__table(l->p, &table, 2);
	inw_text_add(&l->p->t, "\n");
	inw_show__wrapf(l->p, "  ", 2,
	                "A%s: what the machine gives off in one. Given back: released to the air in the last %s, when warmer or cleaner air came than before. Passes: when that "
	                "share of what comes to the carbon first gets through, as the mean of a %s. Not held: plain carbon lets it pass.",
	                a_pattern + 1, pattern, pattern);
}

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
	size_t kept = 0, over = 0;

	if (l->p->detail != INW_FULL)
		return;
	inw_show__title(l->p, "When the air behind the carbon, not yet thinned by a room, exceeds a limit", NULL);
	for (size_t i = 0; i < l->r->gas_count; i++)
		for (size_t k = 0; k < l->r->gases[i].limit_count; k++) {
			const struct inw_life_limit *x = &l->r->gases[i].limits[k];
			if (isnan(x->reached_s)) {
				kept++;
				continue;
			}
			over++;
			inw_show__number(limit, sizeof limit, x->limit_kgm3, INW_DIM_CONCENTRATION, l->p->units);
			when_words(when, x->reached_s);
			inw_show__wrapf(l->p, "  ", 4, "%s, %s (%s): %s", l->r->gases[i].title, kind_words(x->kind), limit, when);
		}
	if (kept)
		inw_show__wrapf(l->p, "  ", 2, over ? "%zu more limits of these gases are kept all the time." : "None: all %zu limits of the gases that it holds are kept all the time.", kept);
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
		inw_show__wrapf(l->p, "  ", 4, "%s: %s%s.", v->title, v->bound == INW_MORE_THAN ? "not within " : "", inw_life__span(at, sizeof at, v->value));
		if (l->p->detail == INW_FULL)
			inw_show__wrap(l->p, "    ", 4, v->reason);
	}
}

/* ---- the year ---------------------------------------------------------------------------------------------------- */

/* What a year takes; of money it is always said what is not counted. */
static void show_year_line(const struct life *l, const struct inw_verdict *v, bool money)
{
	char number[INW_CELL], range[2 * INW_CELL + 8];
	const double ends[2] = {v->low, v->high};

	inw_text_printf(&l->p->t, "  %-52s %20s\n", v->title, inw_show__bounded(number, sizeof number, (struct inw_bounded){v->value, v->bound}, v->dim, l->p->units));
	if (l->p->detail == INW_FULL && v->low < v->high)
		inw_show__wrapf(l->p, "    ", 4, "Over the range of what is assumed: %s.", inw_show__range(range, sizeof range, ends, v->dim, l->p->units));
	if (v->reason && *v->reason && (l->p->detail == INW_FULL || isnan(v->value) || money || v->bound != INW_EXACTLY))
		inw_show__wrap(l->p, "    ", 4, v->reason);
}

static const char *const year_ids[] = {"life_carbon_year", "life_energy_year", "life_heating_year", "life_cost_year"};

static void show_year(const struct life *l)
{
	inw_show__title(l->p, "A year of it", NULL);
	for (size_t i = 0; i < INW_COUNT(year_ids); i++) {
		const struct inw_verdict *v = inw_life__verdict(l->r, year_ids[i]);
		if (v)
			show_year_line(l, v, i + 1 == INW_COUNT(year_ids));
	}
}

/* What is only stated has its own lines above. */
static void show_verdicts(const struct life *l)
{
	bool any = false;

	for (size_t w = 0; w < INW_WORDS; w++)
		for (size_t i = 0; i < l->r->verdict_count; i++) {
			const struct inw_verdict *v = &l->r->verdicts[i];
			if (v->word != inw_show__order[w] || v->word == INW_STATED)
				continue;
			if (!any)
				inw_show__title(l->p, "What is required", NULL);
			any = true;
			(v->word == INW_MEETS && l->p->detail != INW_FULL ? inw_show__verdict_in_brief : inw_show__verdict)(l->p, v);
		}
}

static void show_account(const struct life *l)
{
	char off[INW_CELL];
	const char *pattern = inw_life__pattern(l->r);

	inw_text_add(&l->p->t, "\n");
	if (isnan(l->r->shortcut_error))
		inw_show__wrap(l->p, "", 2, "All of it was followed in full; nothing had to be repeated.");
	else
		inw_show__wrapf(l->p, "", 2, "One %s was followed in full and its air repeated. A full run of the last %s, from the same carbon and with media as loaded as they are by then, differs by %s of what the machine gives off in it.",
		                pattern, pattern, inw_show__number(off, sizeof off, l->r->shortcut_error, INW_DIM_FRACTION, l->p->units));
	if (l->p->detail == INW_FULL)
		inw_show__wrapf(l->p, "", 2, "Of each gas all that was given off is found again, but for a share of %.0e.", l->r->matter_closure);
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
