/* SPDX-License-Identifier: MIT */
/* text.c: a growing text with a ceiling. After a failure nothing more is added, so what stands there is whole words
 * of the writer, never a gap. */
#include "base/base.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Far beyond any report (a few hundred kB); it turns a runaway loop into a failure instead of a full machine. */
#define CEILING ((size_t)64 << 20)
#define FIRST ((size_t)256)

/* Room for `more` bytes and the terminator. */
static int reserve(struct inw_text *t, size_t more)
{
	size_t need, capacity = t->capacity ? t->capacity : FIRST;
	char *s;

	if (t->failed)
		return 0;
	if (more >= CEILING - t->length) {
		t->failed = 1;
		return 0;
	}
	need = t->length + more + 1;
	if (need <= t->capacity)
		return 1;
	while (capacity < need)
		capacity *= 2;
	s = realloc(t->s, capacity);
	if (!s) {
		t->failed = 1;
		return 0;
	}
	t->s = s;
	t->capacity = capacity;
	return 1;
}

void inw_text_addn(struct inw_text *t, const char *s, size_t n)
{
	if (!reserve(t, n))
		return;
	if (n)
		memcpy(t->s + t->length, s, n);
	t->length += n;
	t->s[t->length] = '\0';
}

void inw_text_add(struct inw_text *t, const char *s)
{
	inw_text_addn(t, s, strlen(s));
}

void inw_text_vprintf(struct inw_text *t, const char *format, va_list args)
{
	va_list again;

	va_copy(again, args);
	int n = vsnprintf(NULL, 0, format, args);
	if (n < 0) {
		t->failed = 1;
	} else if (reserve(t, (size_t)n)) {
		vsnprintf(t->s + t->length, (size_t)n + 1, format, again);
		t->length += (size_t)n;
	}
	va_end(again);
}

void inw_text_printf(struct inw_text *t, const char *format, ...)
{
	va_list args;

	va_start(args, format);
	inw_text_vprintf(t, format, args);
	va_end(args);
}

void inw_text_free(struct inw_text *t)
{
	if (!t)
		return;
	free(t->s);
	*t = (struct inw_text){0};
}
