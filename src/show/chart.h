/* SPDX-License-Identifier: MIT */
/* chart.h: what the pictures over time share: the head of the page, and plots over one time axis with the meaning of each
 * line to the right of it.
 *
 * Knows series and verdicts, neither day nor life. Ownership: everything belongs to the report and to the cairo_t.
 */
#ifndef INW_CHART_H
#define INW_CHART_H

#include "show/draw.h"
#include "show/series.h"

enum { INW_CHART_HEIGHT = 172, INW_CHART_HEAD = 40, INW_SIDE_WIDTH = 306 /* right of the plot */,
       INW_PAGE_WIDTH = 1300, INW_PAGE_MARGIN = 24, INW_PAGE_HEADER = 104, INW_PAGE_FOOTER = 74, INW_PAGE_AXIS = 86,
       INW_CHART_ROW = 24, INW_CHART_BAR = 17, INW_CHART_LINES = 16, INW_CHART_TEXT = 200 };

/* ---- the page ---- */

struct inw_page_head {
	const char *title, *below, *all_met; /* `all_met`: what is said when no verdict is worse than that */
	enum inw_word overall;
	const struct inw_verdict *verdicts; size_t verdict_count;
};
/* False when memory is out. */
bool inw_page__head(cairo_t *c, const struct inw_page_head *head, enum inw_units units);
/* The last two lines of a page of that height: how to read it, and the disclaimer. */
void inw_page__foot(cairo_t *c, double height, const char *how);
/* A row of bars over a time axis: its line and its name beside it. */
void inw_page__row(cairo_t *c, struct inw_rect row, const char *name);

/* ---- a chart ---- */

/* A unit as the one table of units knows it: shown = (SI - zero) / one. */
struct inw_scale {
	double zero, one;
	const char *name;
};
struct inw_line_style {
	struct inw_ink ink;
	double width, on, off;
};
/* What stands beside the plot: a curve or a limit. */
struct inw_chart_entry {
	double value; /* at the right end; NaN: at the lower edge */
	int teeth;    /* of a limit: 1, or -1 when it is a least value; 0: a curve */
	struct inw_line_style style;
	char text[INW_CHART_TEXT];
};
struct inw_chart {
	cairo_t *c;
	enum inw_units units;
	const struct inw_series *series;
	double span_s;
	struct inw_rect plot; /* its width is the span */
	struct inw_scale scale;
	bool log;
	struct inw_axis axis; /* of shown values, or of their decimal logarithms */
	struct inw_chart_entry entry[INW_CHART_LINES];
	size_t entries;
};

struct inw_scale inw_chart__scale(enum inw_dim dim, enum inw_units units);
double inw_chart__shown(const struct inw_scale *s, double value);
/* Different in dash as well as in ink, so that they are told apart in grey. */
struct inw_line_style inw_chart__style(size_t i);
double inw_chart__x(const struct inw_chart *l, double t);
double inw_chart__y(const struct inw_chart *l, double value);

void inw_chart__heading(const struct inw_chart *l, const char *head, const char *more);
void inw_chart__linear_axis(struct inw_chart *l, double low, double high);
/* Whole decades of shown values: 10^low to 10^high. */
void inw_chart__log_axis(struct inw_chart *l, int low, int high);
void inw_chart__frame(const struct inw_chart *l);
/* Until cairo_restore nothing is drawn outside the plot. */
void inw_chart__clip(const struct inw_chart *l);

/* Least and greatest of a column, shown values, widened into `low` and `high`. */
void inw_chart__widen(const struct inw_chart *l, int column, double *low, double *high);
/* The column; `gap_where` (a column or INW_NO_COLUMN): no line where it is not zero. */
void inw_chart__curve(const struct inw_chart *l, int column, int gap_where, struct inw_line_style s);
/* Its place beside the plot, whose text is still empty; NULL when there is no room. */
struct inw_chart_entry *inw_chart__entry(struct inw_chart *l, int column, struct inw_line_style s);
/* A line with teeth on the side where one must not be: `up` 1 or, when it is a least value, -1. */
void inw_chart__limit(struct inw_chart *l, double value, int up, const char *text);
/* What each line means. */
void inw_chart__beside(const struct inw_chart *l);

#endif
