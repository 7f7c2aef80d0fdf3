/* SPDX-License-Identifier: MIT */
/* node.h: YAML bytes as a tree of places. No typing, no schema: every scalar is text with line and column.
 *
 * Bounds, each a clear diagnostic: 1 MiB of text, depth 32, 100 000 nodes after aliases are followed (aliases are
 * refused when they nest into themselves or multiply beyond that), duplicate keys, non-scalar keys, several documents,
 * invalid UTF-8, NUL bytes. All faults that can be found are listed (libyaml stops at a syntax error; what it can say is said).
 * Ownership: the arena owns the tree; the trees of builtin.h are constant data.
 */
#ifndef INW_NODE_H
#define INW_NODE_H

#include <string.h>

#include "base/base.h"

/* Most words that a reading compares differ in their first letter. */
static inline bool inw_is_word(const char *a, const char *b)
{
	return *a == *b && strcmp(a, b) == 0;
}

enum inw_node_kind { INW_NODE_SCALAR, INW_NODE_LIST, INW_NODE_MAP };

struct inw_node {
	enum inw_node_kind kind;
	int line, column;            /* from 1 */
	const char *text;            /* scalar; never NULL there */
	size_t length;               /* of text */
	size_t count;                /* list items or map pairs */
	const struct inw_node *const *item; /* list items or map values */
	const struct inw_node *const *key;  /* map keys, all scalars */
};

/* NULL when there is an error (then `diags` holds it). An empty document is an error. */
struct inw_node *inw_node_parse(struct inw_arena *arena, const char *bytes, size_t length, const char *name,
                                struct inw_diags *diags) __attribute__((warn_unused_result));
/* The value of a key in a map, NULL when absent. */
const struct inw_node *inw_node_get(const struct inw_node *map, const char *key);

#endif
