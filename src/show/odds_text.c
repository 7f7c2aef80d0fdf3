/* SPDX-License-Identifier: MIT */
/* odds_text.c: how sure the verdicts are, for a person at a terminal: the answer first, then each requirement with its range,
 * what matters, and what to measure next. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/verdicts.h"

enum { BAR = 20 };

static bool is_bound(double met)
{
	return met > 0.999 || met < 0.001;
}

char *inw_show__odds(char *out, size_t size, double met, double error)
{
	const double most = 0.999;

	if (isnan(met))
		snprintf(out, size, "no number");
	else if (error >= 1)
		snprintf(out, size, "anything from 0 to 100 %%");
	else if (met > most)
		snprintf(out, size, "over %.3g %%", floor(1000 * fmin(met - error, most) + 1e-9) / 10);
	else if (met < 1 - most)
		snprintf(out, size, "under %.3g %%", ceil(1000 * fmax(met + error, 1 - most) - 1e-9) / 10);
	else
		snprintf(out, size, "%.1f %%", 100 * met);
	return out;
}

char *inw_show__odds_error(char *out, size_t size, double met, double error)
{
	out[0] = '\0';
	if (!isnan(met) && error < 1 && !is_bound(met))
		snprintf(out, size, error >= 0.1 ? " (+- %.0f %%)" : " (+- %.1g %%)", 100 * error);
	return out;
}

/* What cannot be told looks neither met nor missed. */
static void bar(char out[BAR + 3], const struct inw_odds_verdict *v)
{
	int full = (int)lround(fmin(fmax(v->met, 0), 1) * BAR);

	out[0] = '[';
	for (int i = 0; i < BAR; i++)
		out[1 + i] = v->untold ? '?' : i < full ? '#' : '.';
	out[BAR + 1] = ']';
	out[BAR + 2] = '\0';
}

static void limit_of(char *out, size_t size, const struct inw_odds_verdict *v, enum inw_units units)
{
	struct inw_verdict like = {.dim = v->dim, .sense = v->sense, .limit = v->limit, .limit_high = v->limit_high};

	inw_show__limit_words(out, size, &like, units);
}

static void odds_line(struct inw_page *p, const struct inw_odds_verdict *v)
{
	char b[BAR + 3], met[32], error[32];

	bar(b, v);
	inw_show__odds(met, sizeof met, v->met, v->met_error);
	inw_show__odds_error(error, sizeof error, v->met, v->met_error);
	if (v->untold)
		inw_show__wrapf(p, "    ", 6, "%s data are missing: it cannot be told. By what is known, %s likely within its limit%s", b, met, error);
	else
		inw_show__wrapf(p, "    ", 6, "%s %s likely to be met%s", b, met, error);
}

/* A share of the samples, counted: all of them is all. */
static char *share(char *out, size_t size, double of)
{
	if (of >= 1)
		snprintf(out, size, "all");
	else
		snprintf(out, size, "%.3g %%", 100 * of);
	return out;
}

static double bounded(const struct inw_odds_verdict *v)
{
	return v->more_than + v->less_than;
}

/* Where the number lies; `of` says of which samples. */
static void points_line(struct inw_page *p, const struct inw_odds_verdict *v, const char *of)
{
	char low[INW_CELL], median[INW_CELL], high[INW_CELL], tail[INW_CELL], limit[3 * INW_CELL];

	inw_show__bounded(low, sizeof low, (struct inw_bounded){v->low, v->low_bound}, v->dim, p->units);
	inw_show__bounded(median, sizeof median, (struct inw_bounded){v->median, v->median_bound}, v->dim, p->units);
	inw_show__bounded(high, sizeof high, (struct inw_bounded){v->high, v->high_bound}, v->dim, p->units);
	inw_show__bounded(tail, sizeof tail, (struct inw_bounded){v->tail, v->tail_bound}, v->dim, p->units);
	limit_of(limit, sizeof limit, v, p->units);
	const char *sep = isnan(v->tail) ? "" : "; the worst twentieth averages ", *worst = isnan(v->tail) ? "" : tail;
	if (v->low_bound == INW_MORE_THAN || v->high_bound == INW_LESS_THAN) /* one end is all that is known */
		inw_show__wrapf(p, "    ", 6, "%snineteen times in twenty %s%s%s; %s.", of, v->low_bound == INW_MORE_THAN ? low : high, sep, worst, limit);
	else
		inw_show__wrapf(p, "    ", 6, "%s%s %s; nine times in ten from %s to %s%s%s; %s.", of, v->median_bound == INW_EXACTLY ? "as likely above as below" : "as often as not", median, low, high,
		                sep, worst, limit);
}

/* Why samples have no answer, where that is known. */
static const char *since(const struct inw_odds_verdict *v)
{
	return v->none_why ? ", since " : "";
}

static const char *why(const struct inw_odds_verdict *v)
{
	return v->none_why ? v->none_why : "";
}

static void spread_line(struct inw_page *p, const struct inw_odds_verdict *v, bool life)
{
	const char *hangs = 2 * bounded(v) > 1 - v->none ? ", and what this number hangs on cannot be told" : "";
	char of[48] = "", limit[3 * INW_CELL];

	if (v->none > 0 && !isnan(v->median))
		snprintf(of, sizeof of, "of the %.3g %% that have an answer: ", 100 * (1 - v->none));
	limit_of(limit, sizeof limit, v, p->units);
	if (!isnan(v->median))
		points_line(p, v, of);
	if (v->none > 0)
		inw_show__wrapf(p, "    ", 6, "%s of the samples have no answer%s%s%s%s%s.", share(of, sizeof of, v->none), isnan(v->met) ? "" : " and count as not met", since(v), why(v),
		                isnan(v->median) ? ": too many to say from the others what the number may be; " : "", isnan(v->median) ? limit : "");
	if (bounded(v) > 0 && life)
		inw_show__wrapf(p, "    ", 6, "%s of the samples outlast the time looked ahead: of them no more is known%s.", share(of, sizeof of, bounded(v)), hangs);
	else if (bounded(v) > 0)
		inw_show__wrapf(p, "    ", 6, "%s of the samples are cut off before there is a number: of them no more is known than that it lies beyond%s%s.", share(of, sizeof of, bounded(v)),
		                isnan(v->met) || v->undecided > 0 ? "" : " the limit", hangs);
	if (v->undecided > 0)
		inw_show__wrapf(p, "    ", 6, "%s of the samples are not followed for as long as is wanted and count as not met: look further ahead ('upkeep: {horizon: ...}').", share(of, sizeof of, v->undecided));
}

static void matters(struct inw_page *p, const struct inw_odds_verdict *v, bool life)
{
	struct inw_text t = {0};
	size_t most = p->detail == INW_FULL ? INW_ODDS_INFLUENCES : 3;

	for (size_t i = 0; i < v->influences && i < most; i++) {
		const struct inw_odds_influence *f = &v->influence[i];
		inw_text_printf(&t, "%s%s %.0f %%", i ? "; " : "", f->name, 100 * f->first);
		if (p->detail == INW_FULL)
			inw_text_printf(&t, " (+- %.0f)", fmax(100 * f->first_error, 1));
		if (!isnan(f->total) && (p->detail == INW_FULL || f->total > f->first + 2 * f->total_error + 0.02))
			inw_text_printf(&t, ", with others %.0f %% (+- %.0f)", 100 * f->total, fmax(100 * f->total_error, 1));
	}
	p->t.failed |= t.failed;
	if (v->influences && !t.failed)
		inw_show__wrap(p, !(bounded(v) > 0) ? "    What matters: " : life ? "    What matters, up to the time looked ahead: " : "    What matters, up to where they are cut off: ", 6, t.s);
	inw_text_free(&t);
}

static void next_of(struct inw_page *p, const struct inw_odds_verdict *v, const char *head, int hang)
{
	size_t most = p->detail == INW_FULL ? INW_ODDS_NEXT : 1;

	for (size_t i = 0; i < v->nexts && i < most; i++) {
		const struct inw_odds_next *n = &v->next[i];
		char coarse[96] = "";
		if (n->coarsest > 1)
			snprintf(coarse, sizeof coarse, " One %g times as coarse would do nearly as well.", n->coarsest);
		inw_show__wrapf(p, i ? "    Or: " : head, hang, "%s: the better answer is then right %.1f times in a hundred instead of %.1f (+- %.1g), if it is read to %s.%s", n->test->title,
		                100 * (v->known_now + n->gain), 100 * v->known_now, 100 * n->gain_error, n->test->accuracy, coarse);
	}
}

static void show_verdict(struct inw_page *p, const struct inw_odds_verdict *v, bool life)
{
	inw_show__wrapf(p, "  * ", 4, "%s (%s)", v->title, v->id);
	if (isnan(v->met) && v->none >= 1) {
		inw_show__wrap(p, "    ", 6, "No sample has an answer: see 'inward day' or 'inward life' for what it lacks.");
		return;
	}
	if (!isnan(v->met))
		odds_line(p, v);
	spread_line(p, v, life);
	matters(p, v, life);
	next_of(p, v, "    Measure next: ", 6);
}

/* What is missing comes before all odds: these are of the rest. */
static void show_missing_data(struct inw_page *p, const struct inw_odds *o)
{
	const size_t most = 3;
	struct inw_text names = {0};
	size_t named = 0;

	for (size_t i = 0; i < o->verdict_count && named < most; i++)
		if (o->verdicts[i].untold && o->verdicts[i].sense != INW_NO_LIMIT)
			inw_text_printf(&names, "%s%s", named++ ? "; " : "", o->verdicts[i].title);
	if (o->untold > named)
		inw_text_printf(&names, "; and %zu more, as said under each", o->untold - named);
	p->t.failed |= names.failed;
	if (!p->t.failed && o->untold)
		inw_show__wrapf(p, "No pass: ", 9, "of %zu of %zu requirement%s it cannot be told whether %s met, since data are missing or no law holds: %s. The odds are of the rest.", o->untold,
		                o->required, o->required == 1 ? "" : "s", o->untold == 1 ? "it is" : "they are", names.s);
	inw_text_free(&names);
}

/* A share that counts as not met for want of an answer says more of the odds than these do. */
static void show_least(struct inw_page *p, const struct inw_odds_verdict *v)
{
	char met[32], error[32], of[48];

	inw_show__odds(met, sizeof met, v->met, v->met_error);
	inw_show__odds_error(error, sizeof error, v->met, v->met_error);
	if (v->none > 0)
		inw_show__wrapf(p, "Least sure to be met: ", 9, "%s: %s%s; %s of the samples have no answer and count as not met%s%s.", v->title, met, error, share(of, sizeof of, v->none),
		                since(v), why(v));
	else
		inw_show__wrapf(p, "Least sure to be met: ", 9, "%s: %s%s.", v->title, met, error);
}

static void summary(struct inw_page *p, const struct inw_odds *o)
{
	const struct inw_odds_verdict *least = NULL;
	char met[32], error[32], width[24];

	for (size_t i = 0; i < o->verdict_count; i++)
		if (!isnan(o->verdicts[i].met) && !o->verdicts[i].untold && (!least || o->verdicts[i].met < least->met))
			least = &o->verdicts[i];
	show_missing_data(p, o);
	inw_show__wrapf(p, "Odds: ", 9, "%s that everything which can be told is met at once%s.", inw_show__odds(met, sizeof met, o->all.met, o->all.met_error),
	                inw_show__odds_error(error, sizeof error, o->all.met, o->all.met_error));
	if (inw_show__planned(o->design))
		inw_show__wrap(p, "Planned: ", 9, inw_show__planned(o->design));
	if (least)
		show_least(p, least);
	next_of(p, &o->all, "Measure next: ", 9);
	const struct inw_odds_verdict *best = NULL;
	for (size_t i = 0; i < o->verdict_count && !o->all.nexts; i++)
		if (o->verdicts[i].nexts && (!best || o->verdicts[i].next[0].gain > best->next[0].gain))
			best = &o->verdicts[i];
	if (best) {
		inw_show__wrapf(p, "Measure next: ", 9, "no test changes the answer for all at once; most is gained for %s (%s).", best->title, best->id);
		next_of(p, best, "  ", 9);
	} else if (!o->all.nexts) {
		inw_show__wrap(p, "Measure next: ", 9, "none of the cheap tests known here would change an answer. What each number hangs on stands under 'What matters'.");
	}
	snprintf(width, sizeof width, "%.2g", 100 * o->width);
	inw_show__wrapf(p, "Samples: ", 9, "%zu%s in %zu independent scrambles of %zu inputs%s; probabilities %s known to +- %s %%.", o->samples, o->life ? " lives of the carbon" : o->day ? " days" : "",
	                o->replicates, o->drivers, o->stopped ? ", stopped before the end" : "", o->known ? "are" : "are not all", width);
}

static void inputs(struct inw_page *p, const struct inw_odds *o)
{
	inw_show__title(p, "How the inputs were drawn", "");
	inw_show__wrap(p, "", 2, "Each is normal in its value or, where marked 'log', in its logarithm, with its low and high as 5 % and 95 % points and its value as median (ours).");
	if (o->correlation > 0)
		inw_show__wrapf(p, "", 2, "What shares something is correlated by %.2g (ours); --independent leaves that out.", o->correlation);
	for (size_t i = 0; i < o->input_count; i++) {
		const struct inw_odds_input *in = &o->inputs[i];
		const double ends[2] = {in->quantity->low, in->quantity->high};
		char range[2 * INW_CELL + 8];
		inw_show__wrapf(p, "  ", 6, "%s: %s%s%s%s%s", in->quantity->path, inw_show__range(range, sizeof range, ends, in->quantity->dim, p->units), in->log ? ", log" : "",
		                in->cut ? ", cut off at what it may be" : "", in->shares ? "; " : "", in->shares ? in->shares : "");
	}
}

static void tests(struct inw_page *p, const struct inw_odds *o)
{
	inw_show__title(p, "Tests that were considered", "");
	for (size_t i = 0; i < o->test_count; i++) {
		const struct inw_odds_test *t = &o->tests[i];
		inw_show__wrapf(p, "  * ", 4, "%s: %s It costs %s; read to %s (%s).", t->title, t->how, t->cost, t->accuracy, t->source);
	}
}

static bool in_job(const struct inw_odds *o, size_t i, size_t k)
{
	return strcmp(o->verdicts[i].job ? o->verdicts[i].job : "", o->verdicts[k].job ? o->verdicts[k].job : "") == 0;
}

char *inw_show_odds_text(const struct inw_odds *o, enum inw_units units, enum inw_detail detail)
{
	struct inw_page p = {.units = units, .detail = detail};

	inw_show__wrapf(&p, "", 2, "%s", o->title);
	inw_text_add(&p.t, "\n");
	if (o->samples)
		summary(&p, o);
	else
		inw_show__wrap(&p, "Odds: ", 9, "none: it was stopped before the first sample was drawn.");
	for (size_t i = 0; i < o->verdict_count && o->samples; i++) {
		if (i == 0 || !in_job(o, i, i - 1))
			inw_show__title(&p, o->life ? "Over months " : o->day ? "Over the day " : "Job ", o->verdicts[i].job ? o->verdicts[i].job : "");
		if (detail == INW_FULL || o->life || !isnan(o->verdicts[i].met)) /* a life has few numbers, and its cost has no limit */
			show_verdict(&p, &o->verdicts[i], o->life);
	}
	if (detail == INW_FULL) {
		inputs(&p, o);
		tests(&p, o);
	}
	inw_show__list(&p, "Notes", o->notes, o->note_count);
	inw_show__cautions(&p, NULL, 0);
	if (p.t.failed) {
		inw_text_free(&p.t);
		return NULL;
	}
	return p.t.s;
}
