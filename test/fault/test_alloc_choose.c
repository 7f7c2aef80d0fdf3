/* SPDX-License-Identifier: MIT */
/* test_alloc_choose.c: allocations of a search, of the day that is asked of its design and of showing what came of it fail, once
 * alone and once with all later ones. Asked of each trial: no crash, nothing leaked, and the whole result or INW_NO_MEMORY. A trial
 * takes up to seconds, so not each of them is one. Built like the _everywhere of test_alloc.c, see allocator.h. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "allocator.h"
#include "inward/inward.h"
#include "test/check.h"

static const char wishes[] = "choose:\n  least: [noise]\n  sure: 60 %\n  free:\n    - {what: heat.heater.power, from: 200 W, to: 400 W}\n"
                             "    - {what: \"cleaner.stages[3 blower].speed\", from: 40 %, to: 70 %}\n";

static const struct inw_design *design;
static char *reference;

/* 1 the whole result, 0 memory is out and said so, -1 anything else. */
static int choose(void)
{
	struct inw_diags diags = {0};
	struct inw_choices *c = NULL;
	enum inw_status s = inw_choose(design, NULL, &c, &diags);
	char *json = s == INW_OK ? inw_show_choices_json(c) : NULL, *text = s == INW_OK ? inw_show_choices_text(c, INW_SI, INW_FULL) : NULL;
	int result = s == INW_NO_MEMORY ? (c ? -1 : 0) : s != INW_OK ? -1 : !json || !text ? 0 : reference && strcmp(json, reference) ? -1 : 1;

	if (!reference) {
		reference = json;
		json = NULL;
	}
	free(json);
	free(text);
	inw_choices_free(c);
	inw_diags_free(&diags);
	return result;
}

static void trial(long n, bool later_too)
{
	long before = fault_alive();

	(later_too ? fault_arm_all : fault_arm)(n);
	int result = choose();
	fault_arm(0);
	CHECK(result >= 0);
	CHECK(fault_alive() == before);
}

int main(void)
{
	static char text[1 << 16];
	struct inw_design *d = NULL;
	struct inw_diags diags = {0};
	FILE *f = fopen("examples/splint-night-mended.yaml", "rb");
	size_t length = f ? fread(text, 1, sizeof text - sizeof wishes, f) : 0;

	if (f)
		fclose(f);
	memcpy(text + length, wishes, sizeof wishes);
	if (inw_design_parse(text, length + sizeof wishes - 1, "wishes.yaml", NULL, &d, &diags) != INW_OK)
		return 1;
	design = d;
	fault_arm(0);
	CHECK(choose() == 1);
	fault_arm(0);
	CHECK(choose() == 1);
	long calls = fault_calls();
	for (long n = 1; n <= calls; n += n / 3 + 1)
		trial(n, n % 2 == 0);
	for (long n = calls; n > calls / 2; n -= calls / 20 + 1) /* the design, its day, the text */
		trial(n, n % 2 == 0);
	printf("%ld allocations\n", calls);
	free(reference);
	inw_design_free(d);
	inw_diags_free(&diags);
	return check_done();
}
