/* SPDX-License-Identifier: MIT */
/* leaf.h: text on pages of paper: paragraphs, headings and rows of a table that go on from page to page.
 *
 * Invariants: F1 no text is shortened: what is too long for its line is wrapped, a word too long for it is cut, a row too tall
 * for a page goes on on the next. F2 the pages are laid out twice, first only to be counted, and both times alike.
 * Ownership: the caller's struct and cairo_t; nothing is kept. Lengths are points (1/72 inch).
 */
#ifndef INW_LEAF_H
#define INW_LEAF_H

#include "show/draw.h"

enum inw_leaf_style { INW_LEAF_TITLE, INW_LEAF_HEAD, INW_LEAF_STRONG, INW_LEAF_BODY, INW_LEAF_SMALL, INW_LEAF_FINE, INW_LEAF_STYLES };

/* Left is wider: holes to hang it by. */
enum { INW_LEAF_LEFT = 54, INW_LEAF_RIGHT = 36, INW_LEAF_TOP = 40, INW_LEAF_BOTTOM = 58 };

struct inw_leaf {
	cairo_t *c;
	enum inw_units units;
	double w, h;              /* of a page */
	double y;                 /* upper edge of what comes next */
	size_t page, pages;       /* the one at hand, from 1; all of them, 0 while they are counted */
	const char *name;         /* in the foot of each page */
	double wide[INW_LEAF_STYLES][128]; /* of plain characters, once measured; 0: not yet */
	bool failed;              /* memory is out */
};

void inw_leaf__begin(struct inw_leaf *l);
void inw_leaf__end(struct inw_leaf *l);

double inw_leaf__width(const struct inw_leaf *l); /* between the margins */
/* A new page unless so much is left on this one, or it is a new one. */
void inw_leaf__need(struct inw_leaf *l, double height);
void inw_leaf__space(struct inw_leaf *l, double height);

/* Sentences of a report: their numbers are written out, and units set in print ("m3" with a raised three). */
void inw_leaf__text(struct inw_leaf *l, enum inw_leaf_style style, double indent, const char *text);
void inw_leaf__textf(struct inw_leaf *l, enum inw_leaf_style style, double indent, const char *format, ...)
	__attribute__((format(printf, 4, 5)));
/* With a line below; stays together with what follows. */
void inw_leaf__head(struct inw_leaf *l, const char *text);
void inw_leaf__item(struct inw_leaf *l, enum inw_leaf_style style, const char *text); /* behind a dot */

/* Texts beside each other; the row is as tall as the tallest. */
struct inw_leaf_cell { double x, w; enum inw_leaf_style style; const char *text; };
enum { INW_LEAF_CELLS = 8 };
void inw_leaf__row(struct inw_leaf *l, const struct inw_leaf_cell *cell, size_t cells);
void inw_leaf__rule(struct inw_leaf *l); /* a thin line between rows */

#endif
