/* SPDX-License-Identifier: MIT */
/* picture.h: the parts of the picture. Each part says how tall it wants to be and draws into the rectangle it is given.
 * Ownership: everything belongs to the report and to the caller's cairo_t. */
#ifndef INW_PICTURE_H
#define INW_PICTURE_H

#include "show/draw.h"

struct inw_picture {
	cairo_t *c;
	const struct inw_report *r;
	const struct inw_state_view *s;
	enum inw_units units;
	bool *failed; /* set when memory is out; what cairo knows of its own trouble is in its status */
};

/* Where the box's ducts leave the cutaway at its lower edge, for the cleaner train to take up. NaN when there is none.
 */
struct inw_ports {
	double inlet_x, return_x;
};

double inw_picture__cutaway_height(const struct inw_picture *p);
struct inw_ports inw_picture__cutaway(const struct inw_picture *p, struct inw_rect area);
double inw_picture__train_height(const struct inw_picture *p);
void inw_picture__train(const struct inw_picture *p, struct inw_rect area, struct inw_ports ports);
void inw_picture__chart(const struct inw_picture *p, struct inw_rect area);
/* Rooms, unmet requirements, how to read the marks. */
double inw_picture__side_height(const struct inw_picture *p);
void inw_picture__side(const struct inw_picture *p, struct inw_rect area);

/* Heading of a part, at its upper left corner. */
void inw_picture__heading(const struct inw_picture *p, struct inw_spot at, const char *text);

#endif
