/* SPDX-License-Identifier: MIT */
/* check.c: judge a design. */
#include "cli/cli.h"

static enum cli_status picture(const struct inw_report *r, const struct cli_arguments *a)
{
	struct inw_diags own = {0};
	enum inw_status s = inw_show_picture(r, 0, a->picture, a->units, &own);
	cli_say_diags(&own);
	if (s == INW_NO_MEMORY && !own.out_of_memory)
		cli_say("out of memory while drawing %s", a->picture);
	inw_diags_free(&own);
	return cli_status_of(s);
}

static enum cli_status put_report(const struct inw_report *r, const struct cli_arguments *a)
{
	char *text = a->json ? inw_show_json(r) : inw_show_text(r, a->units, a->full ? INW_FULL : INW_BRIEF);
	if (!text) {
		cli_say("out of memory while writing the report");
		return CLI_TROUBLE;
	}
	enum cli_status s = cli_put(text);
	inw_string_free(text);
	return s;
}

static enum cli_status run(const struct cli_arguments *a)
{
	struct inw_design *d = NULL;
	struct inw_report *r = NULL;
	struct inw_diags diags = {0};
	enum cli_status s = cli_open(a->word[0], &d, &r, &diags);
	if (s != CLI_MET)
		goto done;
	enum cli_status drawn = a->picture ? picture(r, a) : CLI_MET;
	s = put_report(r, a);
	if (s == CLI_MET)
		s = drawn;
	if (s == CLI_MET && r->overall != INW_MEETS && r->overall != INW_STATED)
		s = CLI_NOT_MET;
done:
	inw_report_free(r);
	inw_design_free(d);
	inw_diags_free(&diags);
	return s;
}

const struct cli_command cli_check = {
	"check", "inward check FILE [--full] [--json] [--units us|si] [--picture FILE]", "judge a design file",
	"Reads the design FILE, works out flows, pressures and temperatures of every job in\n"
	"its worst states, and says for each requirement whether it is met.\n"
	"\n"
	"  --full           every verdict with reason, range and sources, and the source of\n"
	"                   each assumption; else what is met is a line each\n"
	"  --json           the report as JSON (always SI units; see doc/json.md)\n"
	"  --units us|si    units of text and picture (si unless given)\n"
	"  --picture FILE   also draw box, cleaner and operating chart into FILE;\n"
	"                   its ending .svg, .pdf or .png chooses the kind\n"
	"\n"
	"Exit status: 0 all requirements met; 1 some missed, in doubt, or it cannot be told;\n"
	"2 bad input or usage; 3 trouble of the machine (reading, writing, memory).\n",
	CLI_JSON | CLI_UNITS | CLI_PICTURE | CLI_FULL, 1, 1, run,
};
