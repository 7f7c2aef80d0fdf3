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
