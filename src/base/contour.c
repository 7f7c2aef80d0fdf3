/* SPDX-License-Identifier: MIT */
#include "base/contour.h"

#include <assert.h>
#include <math.h>

enum { NOWHERE = -1 };

/* Corners and edges of a cell, counted around it: edge e runs from corner e to the next. */
struct cell {
	double x[4], y[4], z[4];
	bool above[4], known;
};

static struct cell cell_at(const struct inw_grid *g, double level, size_t i, size_t j)
{
	const size_t ci[] = {i, i + 1, i + 1, i}, cj[] = {j, j, j + 1, j + 1};
	struct cell c = {.known = true};

	for (int k = 0; k < 4; k++) {
		c.x[k] = g->x[ci[k]];
		c.y[k] = g->y[cj[k]];
		c.z[k] = g->z[cj[k] * g->nx + ci[k]];
		c.above[k] = c.z[k] >= level;
		c.known &= !isnan(c.z[k]);
	}
	return c;
}

static bool crosses(const struct cell *c, int edge)
{
	return c->above[edge] != c->above[(edge + 1) % 4];
}

static bool middle_above(const struct cell *c, double level)
{
	return 0.25 * (c->z[0] + c->z[1] + c->z[2] + c->z[3]) >= level;
}

/* How far along an edge, 0 to 1, the level lies. */
static double along(double a, double b, double level)
{
	double t = (level - a) / (b - a);

	return t >= 0 && t <= 1 ? t : 0.5; /* an end without bound */
}

/* ---- lines: crossed edges, linked through the cells on both sides ---- */

struct web {
	const struct inw_grid *g;
	double level;
	long (*link)[2];   /* for each edge of the grid the crossed edges beside it; NOWHERE: none */
	bool *done;
};

static long edge_of(const struct inw_grid *g, size_t i, size_t j, int edge)
{
	const size_t upright = g->nx * g->ny;

	switch (edge) {
	case 0: return (long)(j * g->nx + i);
	case 1: return (long)(upright + j * g->nx + i + 1);
	case 2: return (long)((j + 1) * g->nx + i);
	default: return (long)(upright + j * g->nx + i);
	}
}

static void join(struct web *w, long a, long b)
{
	w->link[a][w->link[a][0] != NOWHERE] = b;
	w->link[b][w->link[b][0] != NOWHERE] = a;
}

static void link_cell(struct web *w, size_t i, size_t j)
{
	struct cell c = cell_at(w->g, w->level, i, j);
	long at[4];
	int n = 0;

	if (!c.known)
		return;
	for (int e = 0; e < 4; e++)
		if (crosses(&c, e))
			at[n++] = edge_of(w->g, i, j, e);
	if (n == 2)
		join(w, at[0], at[1]);
	if (n < 4)
		return;
	bool around_second = middle_above(&c, w->level) == c.above[0]; /* corners 1 and 3 are cut off, else 0 and 2 */
	join(w, at[0], at[around_second ? 1 : 3]);
	join(w, at[2], at[around_second ? 3 : 1]);
}

static void spot(const struct web *w, long edge, double *x, double *y)
{
	const struct inw_grid *g = w->g;
	const long upright = (long)(g->nx * g->ny);
	size_t k = (size_t)(edge % upright), i = k % g->nx, j = k / g->nx;
	size_t far = edge < upright ? k + 1 : k + g->nx;
	double t = along(g->z[k], g->z[far], w->level);

	*x = edge < upright ? g->x[i] + t * (g->x[i + 1] - g->x[i]) : g->x[i];
	*y = edge < upright ? g->y[j] : g->y[j] + t * (g->y[j + 1] - g->y[j]);
}

/* The edge after `at` when one comes from `from`. A line through one edge twice does not exist: each has two sides. */
static long next(const struct web *w, long at, long from)
{
	return w->link[at][0] == from ? w->link[at][1] : w->link[at][0];
}

static size_t length_from(const struct web *w, long start)
{
	size_t n = 1;
	long before = NOWHERE, at = start;

	for (long to = w->link[at][0]; to != NOWHERE && to != start; n++) {
		before = at;
		at = to;
		to = next(w, at, before);
	}
	return n;
}

static int follow(struct web *w, long start, bool closed, struct inw_arena *arena, struct inw_map_line *line)
{
	size_t n = length_from(w, start), all = n + closed;
	double *x = inw_arena_alloc(arena, 2 * all * sizeof *x);
	long before = NOWHERE, at = start;

	if (!x)
		return -1;
	double *y = x + all;
	for (size_t k = 0; k < n; k++) {
		long to = k == 0 ? w->link[at][0] : next(w, at, before);
		spot(w, at, &x[k], &y[k]);
		w->done[at] = true;
		before = at;
		at = to;
	}
	if (closed)
		x[n] = x[0], y[n] = y[0];
	*line = (struct inw_map_line){x, y, all, closed};
	return 0;
}

/* First those with two ends, then what is left: rings. */
static int follow_all(struct web *w, size_t edges, struct inw_arena *arena, struct inw_map_line *lines, size_t *count)
{
	for (int rings = 0; rings < 2; rings++)
		for (size_t e = 0; e < edges; e++) {
			bool end = w->link[e][0] != NOWHERE && w->link[e][1] == NOWHERE;
			if (w->done[e] || w->link[e][0] == NOWHERE || (!rings && !end))
				continue;
			if (follow(w, (long)e, rings, arena, &lines[*count]))
				return -1;
			++*count;
		}
	return 0;
}

int inw_contour(const struct inw_grid *g, double level, struct inw_arena *arena, struct inw_map_line **lines, size_t *count)
{
	size_t edges = 2 * g->nx * g->ny, most = 0;
	struct web w = {.g = g, .level = level};

	assert(g->nx >= 2 && g->ny >= 2);
	*count = 0;
	w.link = inw_arena_alloc(arena, edges * sizeof *w.link);
	w.done = inw_arena_alloc(arena, edges);
	if (!w.link || !w.done)
		return -1;
	for (size_t e = 0; e < edges; e++)
		w.link[e][0] = w.link[e][1] = NOWHERE;
	for (size_t j = 0; j + 1 < g->ny; j++)
		for (size_t i = 0; i + 1 < g->nx; i++)
			link_cell(&w, i, j);
	for (size_t e = 0; e < edges; e++)
		most += w.link[e][0] != NOWHERE;
	*lines = inw_arena_alloc(arena, (most + 1) * sizeof **lines);
	return *lines ? follow_all(&w, edges, arena, *lines, count) : -1;
}

/* ---- the part of a cell below ---- */

static void add(struct inw_cell_shape *s, double x, double y)
{
	s->x[s->n] = x;
	s->y[s->n++] = y;
}

static void add_crossing(struct inw_cell_shape *s, const struct cell *c, int e, double level)
{
	int f = (e + 1) % 4;
	double t = along(c->z[e], c->z[f], level);

	add(s, c->x[e] + t * (c->x[f] - c->x[e]), c->y[e] + t * (c->y[f] - c->y[e]));
}

size_t inw_contour_below(const struct inw_grid *g, double level, size_t i, size_t j, struct inw_cell_shape shape[2])
{
	struct cell c = cell_at(g, level, i, j);
	int n = 0;

	shape[0].n = shape[1].n = 0;
	for (int e = 0; e < 4; e++)
		n += crosses(&c, e);
	if (!c.known || (n == 0 && c.above[0]))
		return 0;
	int first = c.above[0] ? 1 : 0; /* a corner below, where there are four crossings */
	if (n == 4 && middle_above(&c, level)) {
		for (int k = 0; k < 2; k++) { /* the middle is above: two corners by themselves */
			int corner = first + 2 * k;
			add_crossing(&shape[k], &c, (corner + 3) % 4, level);
			add(&shape[k], c.x[corner], c.y[corner]);
			add_crossing(&shape[k], &c, corner, level);
		}
		return 2;
	}
	for (int e = 0; e < 4; e++) {
		if (!c.above[e])
			add(&shape[0], c.x[e], c.y[e]);
		if (crosses(&c, e))
			add_crossing(&shape[0], &c, e, level);
	}
	return 1;
}
