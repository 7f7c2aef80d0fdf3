/* SPDX-License-Identifier: MIT */
/* Any bytes as answers: no crash, no leak, an answer is taken or refused with a reason; what makes a plan is written, and reads
 * without an error. Nothing is solved here. */
#include <stdint.h>
#include <stdlib.h>

#include "design/begin.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void write_plan(const struct inw_sayings *s, const struct inw_start *plan)
{
	struct inw_start sized;
	struct inw_text text = {0};
	struct inw_diags diags = {0};
	struct inw_design *d = NULL;

	inw_start_size(plan, s, plan->blower_said ? -1 : 1, &sized);
	inw_start_write(&sized, &text);
	enum inw_status status = inw_design_parse(text.s, text.length, "begun.yaml", NULL, &d, &diags);
	if (status != INW_OK && !s->count)
		abort();
	inw_design_free(d);
	inw_diags_free(&diags);
	inw_text_free(&text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct inw_diags diags = {0};
	struct inw_answers *a = NULL;
	struct inw_asking *ask = NULL;
	struct inw_start plan;
	enum inw_status status = inw_answers_read((const char *)data, size, "answers", &a, &diags);

	if ((status == INW_OK) != (a != NULL) || (status == INW_OK) != (diags.errors == 0 && !diags.out_of_memory))
		abort();
	if (a && inw_asking_open(&ask, &diags) == INW_OK) {
		const struct inw_sayings s = {ask, a->items, a->count};
		if (inw_sayings_check(&s, "answers", &diags) == INW_OK && inw_start_plan(&s, INW_SI, "answers", &plan, &diags) == INW_OK)
			write_plan(&s, &plan);
		else if (diags.errors == 0 && !diags.out_of_memory)
			abort();
	}
	inw_questions_free(ask ? &ask->public : NULL);
	inw_answers_free(a);
	inw_diags_free(&diags);
	return 0;
}
