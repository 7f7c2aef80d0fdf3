/* SPDX-License-Identifier: MIT */
/* Any bytes as a design file: no crash, no leak, and a design only without errors, which then is whole. */
#include <stdint.h>
#include <stdlib.h>

#include "../design/whole.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct inw_diags diags = { 0 };
	struct inw_design *design = NULL;
	enum inw_status status = inw_design_parse((const char *)data, size, "fuzz.yaml", NULL, &design, &diags);

	if ((status == INW_OK) != (design != NULL) || (status == INW_OK) != (diags.errors == 0 && !diags.out_of_memory))
		abort();
	if (design && whole_design(design))
		abort();
	inw_design_free(design);
	inw_diags_free(&diags);
	return 0;
}
