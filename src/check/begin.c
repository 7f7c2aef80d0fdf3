/* SPDX-License-Identifier: MIT */
/* begin.c: from answers to a design to start from. What can be sized by a rule is (src/design/begin_plan.c); which blower, how
 * fast and how far the flap, is found by solving. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "design/begin.h"
#include "design/design.h"

static enum inw_status write_text(const struct inw_start *s, struct inw_text *out)
{
	inw_start_write(s, out);
	return out->failed ? INW_NO_MEMORY : INW_OK;
}

enum inw_status inw_begin(const struct inw_answer *answers, size_t count, const struct inw_begin_options *options, char **text,
                          struct inw_diags *diags)
{
	const char *name = options && options->name ? options->name : "answers";
	struct inw_asking *ask = NULL;
	struct inw_start plan, sized;
	struct inw_text out = {0};

	*text = NULL;
	enum inw_status status = inw_asking_open(&ask, diags);
	const struct inw_sayings said = {ask, answers, count};
	if (status == INW_OK)
		status = inw_sayings_check(&said, name, diags);
	if (status == INW_OK)
		status = inw_start_plan(&said, options ? options->units : INW_SI, name, &plan, diags);
	if (status == INW_OK) {
		inw_start_size(&plan, &said, plan.blower_said ? -1 : 1, &sized);
		status = write_text(&sized, &out);
	}
	if (status == INW_OK)
		*text = out.s;
	else
		inw_text_free(&out);
	inw_questions_free(ask ? &ask->public : NULL);
	return status;
}
