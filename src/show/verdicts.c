/* SPDX-License-Identifier: MIT */
#include "show/verdicts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "design/design.h"

void inw_show__title(struct inw_page *p, const char *head, const char *name)
{
	inw_text_add(&p->t, "\n");
	inw_show__wrapf(p, "", 2, "%s%s", head, name ? name : "");
	inw_text_add(&p->t, "----------------------------------------------------------------\n");
}

/* ---- one verdict as sentences ------------------------------------------------------------------------------------ */

void inw_show__limit_words(char *out, size_t size, const struct inw_verdict *v, enum inw_units units)
{
	char low[INW_CELL], high[INW_CELL];
	inw_show__bounded(low, sizeof low, (struct inw_bounded){v->limit, INW_EXACTLY}, v->dim, units);
	inw_show__bounded(high, sizeof high, (struct inw_bounded){v->limit_high, INW_EXACTLY}, v->dim, units);
	if (v->sense != INW_NO_LIMIT && isnan(v->limit)) {
		snprintf(out, size, "the limit is not known");
		return;
	}
	switch (v->sense) {
	case INW_AT_LEAST: snprintf(out, size, "wanted: at least %s", low); return;
	case INW_AT_MOST: snprintf(out, size, "allowed: at most %s", low); return;
	case INW_WITHIN: snprintf(out, size, "wanted: from %s to %s", low, high); return;
	case INW_NO_LIMIT: break;
	}
	snprintf(out, size, "no limit applies");
}

void inw_show__margin_words(char *out, size_t size, const struct inw_verdict *v, enum inw_units units)
{
	char number[INW_CELL];
	*out = '\0';
	if (v->sense == INW_NO_LIMIT || !isfinite(v->margin))
		return;
	inw_show__number(number, sizeof number, fabs(v->margin), inw_show__difference_dim(v->dim), units);
	if (v->bound == INW_EXACTLY)
		snprintf(out, size, v->margin < 0 ? "; off by %s" : "; %s to spare", number);
	else if (v->margin >= 0) /* of a bound that misses it is not known by how much */
		snprintf(out, size, "; more than %s to spare", number);
}

/* Would the verdict be met at the good (or bad) end of its range? */
static bool met_at(const struct inw_verdict *v, bool good_end)
{
	if (v->sense == INW_AT_LEAST)
		return (good_end ? v->high : v->low) >= v->limit;
	if (v->sense == INW_AT_MOST)
		return (good_end ? v->low : v->high) <= v->limit;
	return false;
}

static const char *sureness(const struct inw_verdict *v)
{
	if (v->word == INW_CANNOT_TELL)
		return "it cannot be told";
	if (!isfinite(v->value) && isnan(v->low))
		return "there is no number";
	if (isnan(v->low))
		return "its range was not worked out";
	if (v->word == INW_IN_DOUBT && met_at(v, false))
		return "it holds as far as it can be told, and at some end of what was assumed it cannot";
	if (v->assumed == 0 && !(v->low < v->high))
		return "nothing that was assumed moves this number";
	if (v->word == INW_MEETS)
		return "it holds over the whole range of what was assumed";
	if (v->word == INW_IN_DOUBT)
		return "it holds at the best estimate and fails at the bad end of the range";
	if (v->word == INW_MISSES && (v->sense == INW_AT_LEAST || v->sense == INW_AT_MOST))
		return met_at(v, true) ? "it would be met only at the good end of what was assumed"
		                       : "it is missed over the whole range of what was assumed";
	return "the range follows from what was assumed";
}

/* Below this an input is not worth a reader's line. */
static const double least_share = 0.02;

static void blame_words(struct inw_text *line, const struct inw_verdict *v)
{
	if (!v->assumed && !v->blames)
		return;
	inw_text_printf(line, "; %zu assumed %s it", v->assumed, v->assumed == 1 ? "input moves" : "inputs move");
	for (size_t i = 0; i < v->blames && i < INW_MAX_BLAME; i++)
		if (i == 0 || v->blame[i].share >= least_share)
			inw_text_printf(line, "%s %s (%.0f %% of the range)", i ? "," : ", most of all", v->blame[i].path,
			                100 * v->blame[i].share);
}

static void how_sure(struct inw_page *p, const struct inw_verdict *v, enum inw_units units)
{
	char range[2 * INW_CELL + 8];
	struct inw_text line = {0};
	const double ends[2] = {v->low, v->high};
	inw_text_add(&line, sureness(v));
	if (v->low < v->high)
		inw_text_printf(&line, v->word == INW_CANNOT_TELL ? "; what is known spans %s" : ": %s",
		                inw_show__range(range, sizeof range, ends, v->dim, units));
	blame_words(&line, v);
	inw_text_add(&line, ".");
	if (line.failed)
		p->t.failed = 1;
	else
		inw_show__wrap(p, "    How sure: ", 6, line.s);
	inw_text_free(&line);
}

static void optional(struct inw_page *p, const char *head, const char *text)
{
	if (text && *text)
		inw_show__wrap(p, head, 6, text);
}

void inw_show__verdict(struct inw_page *p, const struct inw_verdict *v)
{
	char value[INW_CELL], limit[3 * INW_CELL], margin[2 * INW_CELL];
	inw_show__bounded(value, sizeof value, (struct inw_bounded){v->value, v->bound}, v->dim, p->units);
	inw_show__limit_words(limit, sizeof limit, v, p->units);
	inw_show__margin_words(margin, sizeof margin, v, p->units);
	inw_show__wrapf(p, "  * ", 4, "%s (%s)", v->title, v->id);
	inw_show__wrapf(p, "    ", 6, "%s; %s%s", value, limit, margin);
	if (!p->unranged)
		how_sure(p, v, p->units);
	const char *state = p->unranged ? NULL : v->state; /* a day has but one */
	if (v->where || state)
		inw_show__wrapf(p, "    Where: ", 6, "%s%s%s%s%s", v->where ? v->where : "", v->where && state ? ", " : "",
		                state ? "in the state '" : "", state ? state : "", state ? "'" : "");
	optional(p, "    Why: ", v->reason);
	optional(p, "    Change: ", v->change);
	if (p->detail == INW_BRIEF)
		return;
	optional(p, "    Limit from: ", v->sense == INW_NO_LIMIT ? NULL : v->limit_source);
	optional(p, "    Caution: ", v->caution);
}

/* What is met, and what is only stated, in a line. */
void inw_show__verdict_in_brief(struct inw_page *p, const struct inw_verdict *v)
{
	char value[INW_CELL], limit[3 * INW_CELL], margin[2 * INW_CELL];
	inw_show__bounded(value, sizeof value, (struct inw_bounded){v->value, v->bound}, v->dim, p->units);
	inw_show__limit_words(limit, sizeof limit, v, p->units);
	inw_show__margin_words(margin, sizeof margin, v, p->units);
	inw_show__wrapf(p, "  * ", 4, "%s: %s%s%s%s", v->title, value, v->sense == INW_NO_LIMIT ? "" : "; ",
	                v->sense == INW_NO_LIMIT ? "" : limit, margin);
}

/* The first verdict of the worst word: within one word the judge's order is the order of importance. */
const struct inw_verdict *inw_show__worst(const struct inw_verdict *all, size_t count)
{
	const struct inw_verdict *w = NULL;
	for (size_t i = 0; i < count; i++) {
		const struct inw_verdict *v = &all[i];
		if (inw_show__word_rank(v->word) < inw_show__word_rank(INW_MEETS) &&
		    (!w || inw_show__word_rank(v->word) < inw_show__word_rank(w->word)))
			w = v;
	}
	return w;
}

/* Among what is met: the one with the least to spare, relative to its limit. */
const struct inw_verdict *inw_show__closest(const struct inw_verdict *all, size_t count)
{
	const struct inw_verdict *c = NULL;
	double least = INFINITY;
	for (size_t i = 0; i < count; i++) {
		const struct inw_verdict *v = &all[i];
		/* a removal near one is judged by what is left: from 99 % to 99.9 % is a long way */
		bool share = v->dim == INW_DIM_FRACTION && v->sense == INW_AT_LEAST && v->limit > 0.5 && v->limit < 1;
		double spare = share ? fabs(v->margin) / (1 - v->limit) : fabs(v->margin) / fmax(fabs(v->limit), fabs(v->value));
		if (v->word == INW_MEETS && v->sense != INW_NO_LIMIT && spare < least) {
			least = spare;
			c = v;
		}
	}
	return c;
}

static size_t count_word(const struct inw_report *r, enum inw_word word)
{
	size_t n = 0;
	for (size_t i = 0; i < r->verdict_count; i++)
		n += r->verdicts[i].word == word;
	return n;
}

void inw_show__overall(char *out, size_t size, const struct inw_report *r)
{
	size_t of[4] = {count_word(r, INW_MISSES), count_word(r, INW_IN_DOUBT), count_word(r, INW_CANNOT_TELL), count_word(r, INW_MEETS)};
	const char *overall = r->overall == INW_MEETS      ? "MEETS every requirement in steady states"
	                      : r->overall == INW_MISSES   ? "MISSES what is required"
	                      : r->overall == INW_IN_DOUBT ? "IN DOUBT"
	                      : r->overall == INW_STATED   ? "STATED: no requirement applies"
	                                                   : "CANNOT TELL";
	snprintf(out, size, "%s. Of %zu checks: %zu met, %zu missed, %zu in doubt, %zu cannot be told.", overall,
	         of[0] + of[1] + of[2] + of[3], of[3], of[0], of[1], of[2]);
}

/* The longest wait until a box's own air has cleared, at the late end; NaN when it cannot be told for some job. */
static double longest_wait(const struct inw_report *r)
{
	double most = 0;

	for (size_t i = 0; i < r->verdict_count; i++) {
		const struct inw_verdict *v = &r->verdicts[i];
		if (strcmp(v->id, "purge_time") == 0)
			most = isnan(most) || isnan(v->value) ? NAN : fmax(most, isfinite(v->high) ? v->high : v->value);
	}
	return most > 0 && isfinite(most) ? most : NAN;
}

bool inw_show__beyond_check(char *out, size_t size, const struct inw_report *r, enum inw_units units)
{
	double wait = longest_wait(r);
	char clears[2 * INW_CELL] = "", number[INW_CELL];

	if (r->overall != INW_MEETS && r->overall != INW_STATED)
		return false;
	if (isfinite(wait))
		snprintf(clears, sizeof clears, " Its own air alone takes up to %s to clear.", inw_show__number(number, sizeof number, wait, INW_DIM_TIME, units));
	snprintf(out, size, "opening the box and the hours of a day: 'inward day FILE'.%s", clears);
	return true;
}

const char *inw_show__planned(const struct inw_design *d)
{
	return d && d->box.planned ? "the gaps are aims, not measurements: all of this holds only for a box that is built as tight." : NULL;
}

const char *inw_show__first_change(const struct inw_report *r)
{
	const struct inw_verdict *w = inw_show__worst(r->verdicts, r->verdict_count);
	if (w && w->change)
		return w->change;
	for (int rank = 0; rank < inw_show__word_rank(INW_MEETS); rank++)
		for (size_t i = 0; i < r->verdict_count; i++)
			if (inw_show__word_rank(r->verdicts[i].word) == rank && r->verdicts[i].change)
				return r->verdicts[i].change;
	return NULL;
}

const enum inw_word inw_show__order[INW_WORDS] = {INW_MISSES, INW_IN_DOUBT, INW_CANNOT_TELL, INW_MEETS, INW_STATED};

const char *inw_show__group_name(enum inw_word word)
{
	switch (word) {
	case INW_MISSES: return "MISSES";
	case INW_IN_DOUBT: return "IN DOUBT";
	case INW_CANNOT_TELL: return "CANNOT TELL";
	case INW_MEETS: return "MEETS";
	case INW_STATED: return "STATED";
	}
	return "CANNOT TELL";
}

void inw_show__list(struct inw_page *p, const char *head, const char *const *items, size_t count)
{
	if (!count)
		return;
	inw_show__title(p, head, NULL);
	for (size_t i = 0; i < count; i++)
		inw_show__wrap(p, "  - ", 4, items[i]);
}

void inw_show__cautions(struct inw_page *p, const char *const *items, size_t count)
{
	inw_show__title(p, "Cautions", NULL);
	for (size_t i = 0; i < count; i++)
		inw_show__wrap(p, "  - ", 4, items[i]);
	inw_show__wrap(p, "  - ", 4, inw_show__disclaimer);
}
