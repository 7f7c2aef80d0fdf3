/* SPDX-License-Identifier: MIT */
/* fuzz_guard.c: lines of a request's headers, and a number written into a text. First line Host, second Origin, third
 * Content-Type, fourth what to write, the rest a design text. What is asserted: a Host that fits is the address, an
 * Origin that fits ends with Host, a text that was rewritten is the old one round the new scalar. */
#include <assert.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "design/rewrite.h"
#include "serve/guard.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void headers(char *line[4])
{
	const struct serve_end here = {"127.0.0.1", 8046, true}, six = {"::1", 8046, true};
	if (serve_host_fits(line[0], &here))
		assert(strcmp(line[0], "127.0.0.1:8046") == 0 || strcasecmp(line[0], "localhost:8046") == 0 || strstr(line[0], ":08046"));
	if (serve_host_fits(line[0], &six))
		assert(line[0][0] == '[' || strncasecmp(line[0], "localhost", 9) == 0);
	if (serve_origin_fits(line[1], line[0]))
		assert(strlen(line[1]) == strlen(line[0]) + strlen("http://"));
	if (serve_is_json(line[2]))
		assert(strncasecmp(line[2], "application/json", 16) == 0);
	(void)serve_bears(line[2], line[1]);
	(void)serve_token_fits(line[1]);
	(void)serve_is_loopback(line[0]);
}

static void rewriting(const char *value, const char *text, size_t length)
{
	const struct inw_rewritable t = {"fuzz", text, length};
	for (int line = 1; line < 5; line++)
		for (int column = 1; column < 24; column++) {
			const struct inw_edit edit = {line, column, value};
			struct inw_text out = {0};
			struct inw_diags diags = {0};
			if (inw_rewrite(&t, &edit, 1, &out, &diags) == INW_OK) {
				size_t from = 0, to = 0; /* what is the same at both ends covers all but the scalar */
				while (from < length && from < out.length && text[from] == out.s[from])
					from++;
				while (to < length - from && to < out.length - from && text[length - 1 - to] == out.s[out.length - 1 - to])
					to++;
				assert(out.length - from - to <= 2 * strlen(value) + 2);
			}
			inw_text_free(&out);
			inw_diags_free(&diags);
		}
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	char *copy = malloc(size + 1), *line[4], *at = copy;
	if (!copy)
		return 0;
	memcpy(copy, data, size);
	copy[size] = '\0';
	for (int i = 0; i < 4; i++) {
		char *end = memchr(at, '\n', size - (size_t)(at - copy));
		if (!end) {
			free(copy);
			return 0;
		}
		*end = '\0';
		line[i] = at;
		at = end + 1;
	}
	headers(line);
	rewriting(line[3], at, size - (size_t)(at - copy));
	free(copy);
	return 0;
}
