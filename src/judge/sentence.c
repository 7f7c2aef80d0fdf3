/* SPDX-License-Identifier: MIT */
#include "judge/sentence.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Write the number that starts at `s` (after the braces); the place after its closing braces, or NULL when it is none. */
static const char *number(struct inw_text *out, const char *s, enum inw_units units)
{
	char *bar, *end;
	long dim = strtol(s, &bar, 10);
	char text[64];

	if (*bar != '|' || dim < 0 || dim >= INW_DIM_COUNT)
		return NULL;
	double v = strtod(bar + 1, &end);
	if (strncmp(end, "}}", 2) != 0)
		return NULL;
	inw_text_add(out, inw_format(text, sizeof text, v, (enum inw_dim)dim, units));
	return end + 2;
}

void inw_sentence(struct inw_text *out, const char *sentence, enum inw_units units)
{
	const char *s = sentence;

	for (const char *open; (open = strstr(s, "{{")) != NULL;) {
		inw_text_addn(out, s, (size_t)(open - s));
		const char *after = number(out, open + 2, units);
		if (after) {
			s = after;
		} else {
			inw_text_add(out, "{{");
			s = open + 2;
		}
	}
	inw_text_add(out, s);
}
