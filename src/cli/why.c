/* SPDX-License-Identifier: MIT */
/* why.c: where a number comes from. */
#include "cli/cli.h"

static enum cli_status run(const struct cli_arguments *a)
{
	struct inw_design *d = NULL;
	struct inw_report *r = NULL;
	struct inw_diags diags = {0}, own = {0};
	enum cli_status s = cli_open(a->word[0], &d, &r, &diags);
	if (s == CLI_MET) {
		char *text = inw_show_why(r, a->word[1], a->units, &own);
		cli_say_diags(&own);
		s = text ? cli_put(text) : own.out_of_memory ? CLI_TROUBLE : CLI_BAD;
		inw_string_free(text);
	}
	inw_diags_free(&own);
	inw_report_free(r);
	inw_design_free(d);
	inw_diags_free(&diags);
	return s;
}

const struct cli_command cli_why = {
	"why", "inward why FILE QUANTITY [--units us|si]", "say where a number comes from",
	"Prints how QUANTITY was worked out: the law with its equation and source, and each\n"
	"number that went in, down to the line of the design file, the catalog record or the\n"
	"default it came from. QUANTITY is the name of an input (box.inside.height), of a\n"
	"computed number (box.temperature) or of a verdict (inward_pressure).\n"
	"The word 'list' in its place lists every name.\n"
	"\n"
	"  --units us|si    units of the numbers (si unless given)\n"
	"\n"
	"Exit status: 0 done; 2 bad input or usage, or no such name; 3 trouble of the machine.\n",
	CLI_UNITS, 2, 2, run,
};
