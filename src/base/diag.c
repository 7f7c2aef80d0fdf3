/* SPDX-License-Identifier: MIT */
/* diag.c: the list of diagnostics, and the word the writer may have meant. */
#include "base/base.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* More than a reader works through; errors beyond it are still counted. */
#define KEPT ((size_t)200)

static void drop(struct inw_diag *item)
{
	free(item->file);
	free(item->message);
	*item = (struct inw_diag){0};
}

void inw_diags_free(struct inw_diags *d)
{
	if (!d)
		return;
	for (size_t i = 0; i < d->count; i++)
		drop(&d->items[i]);
	free(d->items);
	*d = (struct inw_diags){0};
}

static char *format_text(const char *format, va_list args)
{
	va_list again;
	char *s = NULL;
	int n;

	va_copy(again, args);
	n = vsnprintf(NULL, 0, format, args);
	if (n >= 0)
		s = malloc((size_t)n + 1);
	if (s)
		vsnprintf(s, (size_t)n + 1, format, again);
	va_end(again);
	return s;
}

static char *copy_text(const char *text)
{
	size_t n = strlen(text) + 1;
	char *s = malloc(n);

	if (s)
		memcpy(s, text, n);
	return s;
}

static bool grow(struct inw_diags *d)
{
	size_t capacity = d->capacity ? d->capacity * 2 : 8;
	struct inw_diag *items;

	if (d->count < d->capacity)
		return true;
	items = realloc(d->items, capacity * sizeof *items);
	if (!items)
		return false;
	d->items = items;
	d->capacity = capacity;
	return true;
}

/* A full list gives up its newest warning for an error: a failure must never be without its reason. */
static bool make_room(struct inw_diags *d, enum inw_severity severity)
{
	size_t i = d->count;

	if (d->count < KEPT)
		return true;
	if (severity != INW_ERROR)
		return false;
	while (i > 0 && d->items[i - 1].severity != INW_WARNING)
		i--;
	if (i == 0)
		return false;
	drop(&d->items[i - 1]);
	memmove(&d->items[i - 1], &d->items[i], (d->count - i) * sizeof *d->items);
	d->count--;
	return true;
}

void inw_diag_add(struct inw_diags *d, enum inw_severity severity, const char *file, int line, int column,
                  const char *format, ...)
{
	struct inw_diag item = {.severity = severity, .line = line, .column = column};
	va_list args;

	if (!d)
		return;
	if (severity == INW_ERROR)
		d->errors++;
	if (!make_room(d, severity))
		return;
	va_start(args, format);
	item.message = format_text(format, args);
	va_end(args);
	item.file = copy_text(file ? file : "");
	if (!item.message || !item.file || !grow(d)) {
		d->out_of_memory = true;
		drop(&item);
		return;
	}
	d->items[d->count++] = item;
	assert(d->count <= KEPT);
}

/* ---- the nearest word ------------------------------------------------------------------------------------------- */

#define WORD_MAX 64 /* longer words are nobody's typing error */

/* ASCII only: tolower() would ask the host program's locale. */
static int lower(char c)
{
	return c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : (unsigned char)c;
}

static unsigned least(unsigned a, unsigned b, unsigned c)
{
	unsigned m = a < b ? a : b;

	return m < c ? m : c;
}

/* Optimal string alignment: insertion, deletion, replacement and the swap of two neighbours each cost one.
 * Anything above `limit` comes back as limit + 1. */
static unsigned distance(const char *a, const char *b, unsigned limit)
{
	unsigned rows[3][WORD_MAX + 1];
	unsigned *before = rows[0], *last = rows[1], *now = rows[2];
	size_t n = strlen(a), m = strlen(b);

	assert(n <= WORD_MAX && m <= WORD_MAX);
	for (size_t j = 0; j <= m; j++)
		last[j] = before[j] = (unsigned)j;
	for (size_t i = 1; i <= n; i++) {
		unsigned row_least = now[0] = (unsigned)i, *spare = before;

		for (size_t j = 1; j <= m; j++) {
			bool same = lower(a[i - 1]) == lower(b[j - 1]);

			now[j] = least(last[j] + 1, now[j - 1] + 1, last[j - 1] + !same);
			if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]))
				now[j] = least(now[j], before[j - 2] + 1, now[j]);
			row_least = row_least < now[j] ? row_least : now[j];
		}
		/* Sound although a swap reaches back two rows: a replacement costs no more than a swap, so the row
		 * before held at least row_least - 1, and a swap from there at least row_least. */
		if (row_least > limit)
			return limit + 1;
		before = last;
		last = now;
		now = spare;
	}
	return last[m] > limit ? limit + 1 : last[m];
}

const char *inw_nearest_word(const char *given, const char *const *words, size_t count)
{
	size_t length = strlen(given);
	/* One error in three letters still reads as the word meant; one letter alone may differ only in case. */
	unsigned limit = length < 3 ? (unsigned)(length > 0 ? length - 1 : 0) : (unsigned)(length + 1) / 3;
	const char *best = NULL;

	if (length == 0 || length > WORD_MAX)
		return NULL;
	limit = limit > 3 ? 3 : limit;
	for (size_t i = 0; i < count; i++) {
		unsigned d;

		if (!words[i] || strlen(words[i]) > WORD_MAX)
			continue;
		d = distance(given, words[i], limit);
		if (d > limit)
			continue;
		best = words[i];
		if (d == 0)
			break;
		limit = d - 1; /* only a nearer one may take its place */
	}
	return best;
}
