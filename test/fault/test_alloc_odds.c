/* SPDX-License-Identifier: MIT */
/* test_alloc_odds.c: each allocation of sampling and of showing what came of it fails in turn, once alone and once with all
 * later ones. Asked of each trial: no crash, nothing leaked, and the whole result or INW_NO_MEMORY. Built like test_alloc.c, see
 * allocator.h. */
#include <stdio.h>
#include <stdlib.h>

#include "allocator.h"
#include "inward/inward.h"
#include "test/check.h"

enum { MOST_TRIALS = 60 };

static const struct inw_design *design;
static char *reference;

/* 1 the whole result, 0 memory is out and said so, -1 anything else. */
static int sample(void)
{
	struct inw_odds_options o = {.samples = 32, .threads = 1};
	struct inw_diags diags = {0};
	struct inw_odds *r = NULL;
	enum inw_status s = inw_odds(design, &o, &r, &diags);
	char *json = s == INW_OK ? inw_show_odds_json(r) : NULL, *text = s == INW_OK ? inw_show_odds_text(r, INW_SI, INW_FULL) : NULL;
	int result = s == INW_NO_MEMORY ? (r ? -1 : 0) : s != INW_OK ? -1 : !json || !text ? 0 : reference && strcmp(json, reference) ? -1 : 1;

	if (!reference) {
		reference = json;
		json = NULL;
	}
	free(json);
	free(text);
	inw_odds_free(r);
	inw_diags_free(&diags);
	return result;
}

static void trial(long n, bool later_too)
{
	long before = fault_alive();

	(later_too ? fault_arm_all : fault_arm)(n);
	int result = sample();
	fault_arm(0);
	CHECK(result >= 0);
	CHECK(fault_alive() == before);
}

int main(void)
{
	struct inw_design *d = NULL;
	struct inw_diags diags = {0};

	if (inw_design_read("examples/splint-night.yaml", NULL, &d, &diags) != INW_OK)
		return 1;
	design = d;
	fault_arm(0);
	CHECK(sample() == 1);
	fault_arm(0);
	CHECK(sample() == 1);
	long calls = fault_calls(), step = calls / MOST_TRIALS + 1;
	for (long n = 1; n <= calls; n += n < MOST_TRIALS / 2 ? 1 : step)
		trial(n, n % 2 == 0);
	printf("%ld allocations\n", calls);
	free(reference);
	inw_design_free(d);
	inw_diags_free(&diags);
	return check_done();
}
