/* SPDX-License-Identifier: MIT */
/* day_picture.h: the parts of the picture of a day. All share one time axis: `plot.x` to `plot.x + plot.w` is the run.
 * What a line means stands to the right of the plot. Ownership: everything belongs to the report and to the cairo_t. */
#ifndef INW_DAY_PICTURE_H
#define INW_DAY_PICTURE_H

#include "show/day_parts.h"
#include "show/chart.h"

struct inw_day_picture {
	cairo_t *c;
	const struct inw_day_report *r;
	enum inw_units units;
	double x, w; /* of every plot */
};

/* Place of a time on the page. */
double inw_day_picture__x(const struct inw_day_picture *p, double t);
/* Clock times below (or, `above`, over) y. */
void inw_day_picture__clock(const struct inw_day_picture *p, double y, bool above);

void inw_day_picture__temperatures(const struct inw_day_picture *p, double y);
void inw_day_picture__pull(const struct inw_day_picture *p, double y);
void inw_day_picture__gas(const struct inw_day_picture *p, double y);
void inw_day_picture__particles(const struct inw_day_picture *p, double y);

#endif
