/* SPDX-License-Identifier: MIT */
/* base.h: memory with one owner, and trouble with a place.
 *
 * Ownership: an arena owns all it hands out; freeing the arena frees the lot. A diagnostics list owns its messages.
 */
#ifndef INW_BASE_H
#define INW_BASE_H

#include <stdarg.h>
#include <stddef.h>

#include "inward/inward.h"

#define INW_COUNT(a) (sizeof(a) / sizeof((a)[0]))

struct inw_arena; /* a growing pool, freed at once */

/* A new pool that will not hand out more than `ceiling_bytes` in all. NULL when memory is out. */
struct inw_arena *inw_arena_new(size_t ceiling_bytes) __attribute__((warn_unused_result));
void inw_arena_free(struct inw_arena *a); /* takes NULL */
/* Zeroed, aligned for any type. NULL when memory or the ceiling is reached. */
void *inw_arena_alloc(struct inw_arena *a, size_t bytes) __attribute__((warn_unused_result));
char *inw_arena_dup(struct inw_arena *a, const char *text, size_t length) __attribute__((warn_unused_result));
char *inw_arena_printf(struct inw_arena *a, const char *format, ...)
	__attribute__((format(printf, 2, 3), warn_unused_result));
size_t inw_arena_used(const struct inw_arena *a);

/* A growing text with a ceiling. Zero-initialise, then `inw_text_free`. After a failure `failed` sticks, so a chain of
 * additions needs one check at the end. */
struct inw_text {
	char *s;
	size_t length, capacity;
	int failed;
};
void inw_text_add(struct inw_text *t, const char *s);
void inw_text_addn(struct inw_text *t, const char *s, size_t n);
void inw_text_printf(struct inw_text *t, const char *format, ...) __attribute__((format(printf, 2, 3)));
void inw_text_vprintf(struct inw_text *t, const char *format, va_list args) __attribute__((format(printf, 2, 0)));
void inw_text_free(struct inw_text *t);

/* Add one diagnostic. Never fails loudly: when memory is out the list says so in `out_of_memory`. */
void inw_diag_add(struct inw_diags *d, enum inw_severity severity, const char *file, int line, int column,
                  const char *format, ...) __attribute__((format(printf, 6, 7)));

/* The word of `words` nearest to `given` by edit distance, or NULL when none is near. */
const char *inw_nearest_word(const char *given, const char *const *words, size_t count);

#endif
