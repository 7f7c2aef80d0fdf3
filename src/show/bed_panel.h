/* SPDX-License-Identifier: MIT */
/* bed_panel.h: the carbon along its depth, drawn: how much of each substance it holds where, early to late.
 *
 * Knows profiles alone, neither day nor life. Ownership: everything belongs to the report and to the cairo_t.
 */
#ifndef INW_BED_PANEL_H
#define INW_BED_PANEL_H

#include "show/draw.h"

struct inw_bed_panel {
	cairo_t *c;
	const struct inw_bed_profile *bed; size_t beds; /* of one run: the same substances and times */
	enum inw_units units;
	double x, w, side;                  /* of the plots; room to the right of them for what a line means */
	/* A moment in words, "07:00" or "week 3"; `context` is the caller's. Returns `out`. */
	char *(*moment)(char *out, size_t size, const void *context, double t);
	/* A substance in words; NULL: its name in the catalog. */
	const char *(*title)(const void *context, const char *substance);
	const void *context;
};

/* How high it is with its heading; 0 when there is nothing to draw. */
double inw_bed_panel__height(const struct inw_bed_profile *bed, size_t beds);
/* From y down. */
void inw_bed_panel__draw(const struct inw_bed_panel *p, double y);

/* What all beds hold of one substance at moment `time`, kg. */
double inw_bed__held_kg(const struct inw_bed_profile *bed, size_t beds, size_t substance, size_t time);
/* Of all gases (not water) at the end: what the beds hold over what they would in balance with the strongest air that came;
 * NaN when that is not known. */
double inw_bed__share_used(const struct inw_bed_profile *bed, size_t beds);
/* How far from where the air enters the loading of one bed falls to half of its highest, m; NaN when it holds none, the
 * whole depth when it nowhere falls so far. */
double inw_bed__front_m(const struct inw_bed_profile *bed, size_t substance, size_t time);
/* Substances in the order of what is held at the end, most first, but water last. Returns how many (at most `most`) are held. */
size_t inw_bed__order(const struct inw_bed_profile *bed, size_t beds, size_t *order, size_t most);

#endif
