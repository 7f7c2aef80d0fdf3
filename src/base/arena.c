/* SPDX-License-Identifier: MIT */
/* arena.c: a growing pool, freed at once.
 *
 * Invariants:
 *  A1 `used` never exceeds `ceiling`; it counts what was handed out, rounded up to the alignment.
 *  A2 everything handed out is zero and aligned for any type.
 */
#include "base/base.h"

#include <assert.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FIRST_BLOCK ((size_t)4096)
#define LARGEST_BLOCK ((size_t)65536) /* growth stops here, so a small design never holds a large empty tail */

struct block {
	struct block *next;
	size_t size, used;
	max_align_t data[];
};

struct inw_arena {
	struct block *newest;
	size_t ceiling, used, next_size;
};

struct inw_arena *inw_arena_new(size_t ceiling_bytes)
{
	struct inw_arena *a = calloc(1, sizeof *a);

	if (!a)
		return NULL;
	a->ceiling = ceiling_bytes;
	a->next_size = FIRST_BLOCK;
	return a;
}

void inw_arena_free(struct inw_arena *a)
{
	struct block *b = a ? a->newest : NULL;

	while (b) {
		struct block *next = b->next;

		free(b);
		b = next;
	}
	free(a);
}

size_t inw_arena_used(const struct inw_arena *a)
{
	return a ? a->used : 0;
}

static struct block *add_block(struct inw_arena *a, size_t bytes)
{
	size_t size = bytes > a->next_size ? bytes : a->next_size;
	struct block *b;

	if (size > SIZE_MAX - sizeof *b)
		return NULL;
	b = calloc(1, sizeof *b + size);
	if (!b)
		return NULL;
	b->size = size;
	b->next = a->newest;
	a->newest = b;
	if (a->next_size < LARGEST_BLOCK)
		a->next_size *= 2;
	return b;
}

void *inw_arena_alloc(struct inw_arena *a, size_t bytes)
{
	const size_t align = _Alignof(max_align_t);
	struct block *b;
	void *p;

	if (!a || bytes > a->ceiling || bytes > SIZE_MAX - align)
		return NULL;
	bytes = bytes ? (bytes + align - 1) / align * align : align;
	if (bytes > a->ceiling - a->used)
		return NULL;
	b = a->newest;
	if (!b || b->size - b->used < bytes)
		b = add_block(a, bytes);
	if (!b)
		return NULL;
	p = (char *)b->data + b->used;
	b->used += bytes;
	a->used += bytes;
	assert(a->used <= a->ceiling);
	return p;
}

char *inw_arena_dup(struct inw_arena *a, const char *text, size_t length)
{
	char *copy = length < SIZE_MAX ? inw_arena_alloc(a, length + 1) : NULL;

	if (copy && length)
		memcpy(copy, text, length);
	return copy;
}

char *inw_arena_printf(struct inw_arena *a, const char *format, ...)
{
	va_list args, again;
	char *s = NULL;
	int n;

	va_start(args, format);
	va_copy(again, args);
	n = vsnprintf(NULL, 0, format, args);
	if (n >= 0)
		s = inw_arena_alloc(a, (size_t)n + 1);
	if (s)
		vsnprintf(s, (size_t)n + 1, format, again);
	va_end(again);
	va_end(args);
	return s;
}
