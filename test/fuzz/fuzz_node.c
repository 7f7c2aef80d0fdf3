/* SPDX-License-Identifier: MIT */
/* fuzz_node.c: any bytes through inw_node_parse, and each scalar that comes out through the reader of quantities.
 * Aborts when a tree breaks its invariants, or when a refusal has no reason. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "design/node.h"
#include "design/units.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void insist(int condition)
{
	if (!condition)
		abort();
}

static void try_units(const char *text)
{
	for (int dim = 0; dim < INW_DIM_COUNT; dim++) {
		double value, low, high, again;
		char why[400] = "", out[64];

		if (inw_units_parse(text, (enum inw_dim)dim, &value, &low, &high, why, sizeof why)) {
			insist(why[0] != '\0');
			continue;
		}
		insist(isfinite(low) && isfinite(high) && low <= value && value <= high);
		insist(!inw_parse_quantity(text, (enum inw_dim)dim, &again) ? again - value == 0 : strstr(text,
		     "..") != NULL);
		insist(strlen(inw_format(out, sizeof out, value, (enum inw_dim)dim, INW_US)) < sizeof out - 1);
	}
}

static size_t walk(const struct inw_node *n, int depth)
{
	size_t visits = 1;

	insist(n && n->line >= 1 && n->column >= 1);
	if (n->kind == INW_NODE_SCALAR) {
		insist(strlen(n->text) == n->length);
		if (n->length < 200)
			try_units(n->text);
		return visits;
	}
	insist(depth < 32);
	for (size_t i = 0; i < n->count; i++) {
		if (n->kind == INW_NODE_MAP) {
			insist(n->key[i]->kind == INW_NODE_SCALAR && n->key[i]->length > 0);
			insist(inw_node_get(n, n->key[i]->text) == n->item[i]);
			visits += walk(n->key[i], depth + 1);
		}
		visits += walk(n->item[i], depth + 1);
	}
	return visits;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct inw_arena *arena = inw_arena_new((size_t)64 << 20);
	struct inw_diags diags = {0};
	struct inw_node *root;

	if (!arena)
		return 0;
	root = inw_node_parse(arena, (const char *)data, size, "fuzz", &diags);
	if (root)
		insist(walk(root, 0) <= 100000 && diags.errors == 0);
	else
		insist((diags.errors > 0 && diags.count > 0) || diags.out_of_memory);
	inw_diags_free(&diags);
	inw_arena_free(arena);
	return 0;
}
