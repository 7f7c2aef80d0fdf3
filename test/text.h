/* SPDX-License-Identifier: MIT */
/* text.h: a small file as text, for tests that change a place in it. */
#ifndef INW_TEST_TEXT_H
#define INW_TEST_TEXT_H

#include <stdlib.h>

#include "test/check.h"

/* Free it. */
static inline char *read_text(const char *path)
{
	FILE *f = fopen(path, "rb");
	char *s = calloc(1, 1 << 16);
	size_t n = f && s ? fread(s, 1, (1 << 16) - 1, f) : 0;

	CHECK(n > 0 && n < (1 << 16) - 1);
	if (f)
		fclose(f);
	return s;
}

#endif
