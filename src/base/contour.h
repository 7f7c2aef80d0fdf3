/* SPDX-License-Identifier: MIT */
/* contour.h: lines along which a number given at the points of a grid has one value, by marching squares.
 *
 * Between two points the number is taken as straight; in the middle of a cell as the mean of its corners, which settles how
 * a saddle is cut. A cell with a corner that has no number (NAN) has no line. The lines lie within a term of second order in
 * the spacing of those of a smooth function. Ownership: what is made belongs to the arena.
 */
#ifndef INW_CONTOUR_H
#define INW_CONTOUR_H

#include "base/base.h"

struct inw_grid {
	const double *x, *y;    /* rising */
	const double *z;        /* z[j * nx + i] */
	size_t nx, ny;          /* two or more */
};

/* The lines of one level, each as long as it goes. 0, or -1 when memory is out. */
int inw_contour(const struct inw_grid *g, double level, struct inw_arena *arena, struct inw_map_line **lines, size_t *count)
	__attribute__((warn_unused_result));

/* The part of cell (i, j) that lies below the level: one shape, two (a saddle) or none, all the same way round. */
struct inw_cell_shape { double x[8], y[8]; size_t n; };
size_t inw_contour_below(const struct inw_grid *g, double level, size_t i, size_t j, struct inw_cell_shape shape[2]);

#endif
