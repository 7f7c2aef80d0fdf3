/* SPDX-License-Identifier: MIT */
/* What the outside sees of a design. */
#include "design/design.h"

#include <assert.h>

void inw_design_free(struct inw_design *d)
{
	if (d)
		inw_arena_free(d->arena);
}

const char *inw_design_title(const struct inw_design *d)
{
	return d->title;
}

size_t inw_design_quantity_count(const struct inw_design *d)
{
	return d->quantities;
}

const struct inw_quantity *inw_design_quantity(const struct inw_design *d, size_t index)
{
	assert(index < d->quantities);
	return &d->quantity[index];
}

static bool among(const inw_q *kept, size_t keeps, inw_q q)
{
	for (size_t i = 0; i < keeps; i++)
		if (kept[i] == q)
			return true;
	return false;
}

void inw_design_follow(const struct inw_design *d, double *x, const inw_q *kept, size_t keeps)
{
	for (size_t i = 0; i < d->dependences; i++) {
		const struct inw_dependence *how = &d->dependence[i];
		double from[INW_DEPENDS_ON] = { 0 };

		if (among(kept, keeps, how->to))
			continue;
		for (size_t k = 0; k < how->count; k++)
			from[k] = x[how->from[k]];
		x[how->to] = how->f(from);
	}
}
