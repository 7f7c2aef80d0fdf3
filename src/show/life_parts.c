/* SPDX-License-Identifier: MIT */
#include "show/life_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double day_s = 86400, week_s = 7 * 86400.0, month_s = 365 * 86400.0 / 12;

/* The largest unit of which there are still a few. */
static const char *unit_of(double s, double *number)
{
	const struct { double below, one; const char *word; } unit[] = {{13.5 * day_s, day_s, "day"}, {19.5 * week_s, week_s, "week"}, {INFINITY, month_s, "month"}};
	size_t i = 0;

	while (i + 1 < INW_COUNT(unit) && s >= unit[i].below)
		i++;
	*number = round(s / unit[i].one);
	return unit[i].word;
}

char *inw_life__span(char *out, size_t size, double s)
{
	double n;
	const char *unit = unit_of(s, &n);

	if (!(s > 0))
		snprintf(out, size, "the first day");
	else if (n < 1)
		snprintf(out, size, "less than a day");
	else
		snprintf(out, size, "%.0f %s%s", n, unit, n > 1 ? "s" : "");
	return out;
}

char *inw_life__moment(char *out, size_t size, double s)
{
	double n;
	const char *unit = unit_of(s, &n);

	if (s > 0)
		snprintf(out, size, "%s %.0f", unit, n);
	else
		snprintf(out, size, "new");
	return out;
}

const char *inw_life__pattern(const struct inw_life_report *r)
{
	return r->pattern_s > 1.5 * day_s ? "week" : "day";
}

/* "from the first day on", or "after 5 weeks". */
static char *after(char *out, size_t size, double s)
{
	char span[INW_CELL];

	if (s > 0)
		snprintf(out, size, "after %s", inw_life__span(span, sizeof span, s));
	else
		snprintf(out, size, "from the first day on");
	return out;
}

char *inw_life__answer(char *out, size_t size, const struct inw_life_report *r)
{
	char at[INW_CELL], low[INW_CELL], high[INW_CELL];
	bool low_beyond = r->spent_low_s >= r->horizon_s, high_beyond = r->spent_high_s >= r->horizon_s;

	inw_life__span(at, sizeof at, r->horizon_s);
	if (r->spent_s <= 0) {
		const struct inw_verdict *use = inw_life__verdict(r, "life_use");
		snprintf(out, size, "however often it is changed: this bed lets too much through from the first day on. %s",
		         use && use->word == INW_STATED ? "But nothing is required of it here." : "'inward check' names what would help.");
	} else if (r->spent_s == INFINITY && low_beyond) {
		snprintf(out, size, "within the %s that were looked ahead it is not spent, nor at the bad end of what is assumed. Change it yearly all the same: carbon ages (common practice).", at);
	} else if (r->spent_s == INFINITY) {
		snprintf(out, size, "at best estimate it is not spent within %s, at the bad end of what is assumed %s. Go by the early end, and by a year at most: carbon ages.", at, after(low, sizeof low, r->spent_low_s));
	} else {
		inw_life__span(at, sizeof at, r->spent_s);
		if (high_beyond)
			snprintf(high, sizeof high, "not within what was looked ahead");
		else
			after(high, sizeof high, r->spent_high_s);
		after(low, sizeof low, r->spent_low_s);
		snprintf(out, size, "it is spent after %s at best estimate; at the bad end of what is assumed %s, at the good end %s. Go by the early end%s.", at, low, high, r->spent_low_s > 365 * 86400.0 ? ", and by a year at most: carbon ages" : "");
	}
	return out;
}

const struct inw_verdict *inw_life__verdict(const struct inw_life_report *r, const char *id)
{
	for (size_t i = 0; i < r->verdict_count; i++)
		if (strcmp(r->verdicts[i].id, id) == 0)
			return &r->verdicts[i];
	return NULL;
}

char *inw_life__short_title(char *out, size_t size, const struct inw_life_gas *g)
{
	snprintf(out, size, "%.*s", (int)strcspn(g->title, ","), g->title);
	return out;
}
