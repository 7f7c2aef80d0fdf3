/* SPDX-License-Identifier: MIT */
/* test_alloc_node.c: each allocation of the base, of reading YAML and of refusing a quantity fails in turn,
	once alone and
 * once with all later ones. Asked of each trial: no crash, nothing leaked,
 	and either the whole result or a failure that
 * is said. Built like test_alloc.c, see allocator.h. */
#include <stdio.h>
#include <stdlib.h>

#include "allocator.h"
#include "design/node.h"
#include "design/units.h"
#include "test/check.h"

/* Returns 1 for the whole result, 0 for a failure that was said, -1 for anything else. */
typedef int (*task)(void);

static int read_good_yaml(void)
{
	static const char text[] = "a: [1, 2, {b: &x 'text', c: *x}]\nd: {e: f, g: [h, i]}\n\"long \\u00e9 key\": |\n "
	     " many\n  lines\n";
	struct inw_arena *arena = inw_arena_new(1 << 20);
	struct inw_diags diags = {0};
	struct inw_node *root = arena ? inw_node_parse(arena, text, sizeof text - 1, "x", &diags) : NULL;
	int result;

	if (root)
		result = root->count == 3 && !diags.out_of_memory ? 1 : -1;
	else
		result = !arena || (diags.out_of_memory && !diags.errors) ? 0 : -1;

	inw_diags_free(&diags);
	inw_arena_free(arena);
	return result;
}

/* All errors are counted, even those whose message found no room. */
static int read_bad_yaml(void)
{
	static const char text[] = "a: 1\na: 2\nb: !t *nowhere\nc: {d: 1, d: 2}\ne: [\n";
	struct inw_arena *arena = inw_arena_new(1 << 20);
	struct inw_diags diags = {0};
	struct inw_node *root = arena ? inw_node_parse(arena, text, sizeof text - 1, "x", &diags) : NULL;
	int result = !arena || diags.out_of_memory ? 0 : diags.errors > 0 && diags.count == diags.errors ? 1 : -1;

	if (root)
		result = -1;
	inw_diags_free(&diags);
	inw_arena_free(arena);
	return result;
}

static int list_diagnostics(void)
{
	struct inw_diags diags = {0};
	int result;

	for (int i = 0; i < 20; i++)
		inw_diag_add(&diags, INW_ERROR, "file", i, 1, "fault %d", i);
	result = diags.errors != 20 ? -1 : diags.count == 20 && !diags.out_of_memory ? 1 : diags.out_of_memory ? 0 : -1;
	inw_diags_free(&diags);
	return result;
}

static int write_text(void)
{
	struct inw_text t = {0};
	int result;

	for (int i = 0; i < 2000; i++)
		inw_text_printf(&t, "%d,", i % 10);
	result = t.failed ? 0 : t.length == 4000 && strlen(t.s) == 4000 ? 1 : -1;
	inw_text_free(&t);
	return result;
}

/* A refusal stays a refusal with a reason; only what was found may be missing from it. */
static int refuse_quantity(void)
{
	double value, low, high;
	char why[400] = "";

	if (inw_units_parse("120 mn", INW_DIM_LENGTH, &value, &low, &high, why, sizeof why) != -1)
		return -1;
	return strstr(why, "did you mean 'mm'?") ? 1 : strstr(why, "units that fit: mm") ? 0 : -1;
}

static void torment(const char *name, task run, int all_later)
{
	long trials = 0, before;
	int result, hits;

	fault_arm(0);
	CHECK(run() == 1);
	do {
		before = fault_alive();
		if (all_later)
			fault_arm_all(++trials);
		else
			fault_arm(++trials);
		result = run();
		hits = fault_hits();
		fault_arm(0);
		if (result < 0 || fault_alive() != before)
			printf("%s: call %ld: result %d, %ld blocks "
			     "left\n", name, trials, result, fault_alive() - before);
		CHECK(result >= 0);
		CHECK(hits == 0 ? result == 1 : 1);
		CHECK(fault_alive() == before);
	} while (hits > 0 && trials < 10000);
	CHECK(trials > 1 && trials < 10000);
	printf("note: %s: %ld calls failed in turn\n", name, trials - 1);
}

int main(void)
{
	setvbuf(stdout, NULL, _IONBF, 0); /* or the first line printed would count as a block left */
	for (int all_later = 0; all_later < 2; all_later++) {
		torment("good YAML", read_good_yaml, all_later);
		torment("bad YAML", read_bad_yaml, all_later);
		torment("diagnostics", list_diagnostics, all_later);
		torment("text", write_text, all_later);
		torment("refusal", refuse_quantity, all_later);
	}
	return check_done();
}
