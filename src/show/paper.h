/* SPDX-License-Identifier: MIT */
/* paper.h: the parts of the report that is kept beside the machine; each writes itself onto the leaf.
 * Ownership: everything belongs to the report and to the cairo_t. */
#ifndef INW_PAPER_H
#define INW_PAPER_H

#include "design/design.h"
#include "show/leaf.h"

struct inw_paper {
	struct inw_leaf l;
	const struct inw_report *r;
	const struct inw_design *d;           /* of the report; NULL: none is known */
	const struct inw_paper_options *o;
};

/* The job's state as designed is the first of that job. NULL beyond the last. */
const struct inw_state_view *inw_paper__job(const struct inw_report *r, size_t nth);
/* A state of the job by its name; NULL for none. */
const struct inw_state_view *inw_paper__state(const struct inw_report *r, const char *job, const char *name);
/* "50 mm" of a number of the design; "not given" for INW_NONE. Returns `out`. */
char *inw_paper__value(const struct inw_paper *p, char out[INW_CELL], inw_q q);

void inw_paper__drawing(struct inw_paper *p);
void inw_paper__checks(struct inw_paper *p);
void inw_paper__assumed(struct inw_paper *p);
void inw_paper__sources(struct inw_paper *p);

#endif
