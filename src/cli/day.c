/* SPDX-License-Identifier: MIT */
/* day.c: run a design's day. */
#include "cli/follow.h"

static enum cli_status run_day(const struct inw_design *d, struct inw_day_report **r)
{
	struct inw_diags diags = {0};
	struct cli_follow follow;

	cli_follow_begin(&follow, "the day");
	follow.options.changes = true;
	enum inw_status s = inw_day(d, &follow.options, r, &diags);
	cli_follow_end(&follow);
	cli_say_diags(&diags);
	if (s == INW_NO_MEMORY && !diags.out_of_memory)
		cli_say("out of memory");
	inw_diags_free(&diags);
	return cli_status_of(s);
}

static enum cli_status write_files(const struct inw_day_report *r, const struct cli_arguments *a)
{
	struct inw_diags diags = {0};
	enum cli_status s = a->series ? cli_follow_write(a->series, inw_show_day_csv(r), &diags) : CLI_MET;

	if (a->picture) {
		enum cli_status drawn = cli_status_of(inw_show_day_picture(r, a->picture, a->units, &diags));
		s = s == CLI_MET ? drawn : s;
	}
	return cli_follow_said(s, &diags);
}

static enum cli_status run(const struct cli_arguments *a)
{
	struct inw_design *d = NULL;
	struct inw_day_report *r = NULL;
	struct inw_diags diags = {0};
	enum cli_status s = cli_read(a->word[0], &d, &diags);
	cli_say_diags(&diags);
	if (s == CLI_MET)
		s = run_day(d, &r);
	if (cli_follow_interrupted()) {
		cli_say("stopped; nothing was written");
		s = CLI_TROUBLE;
	}
	if (s == CLI_MET) {
		enum cli_status written = write_files(r, a);
		s = cli_follow_put(a->json ? inw_show_day_json(r) : inw_show_day_text(r, a->units, a->full ? INW_FULL : INW_BRIEF));
		s = s == CLI_MET ? written : s;
		if (s == CLI_MET && r->overall != INW_MEETS)
			s = CLI_NOT_MET;
	}
	inw_day_free(r);
	inw_design_free(d);
	inw_diags_free(&diags);
	return s;
}

const struct cli_command cli_day = {
	"day", "inward day FILE [--full] [--json] [--series FILE] [--picture FILE] [--units us|si]",
	"run a design through its day, hour by hour",
	"Follows the design FILE through the hours that its section 'day' names (without one,\n"
	"a day that begins when nothing runs and nobody is there, or two): jobs begin and end,\n"
	"the box warms up and cools down, doors are opened, gases and particles build up and\n"
	"clear. Says what each person met in the worst minutes and hours, whether the box pulled\n"
	"inward all the time, and when its door may be opened. Best-estimate inputs only;\n"
	"'inward check' knows the ranges.\n"
	"\n"
	"  --full           the day hour by hour, and every check with reason and source\n"
	"  --json           report and series as JSON (always SI units; see doc/json.md)\n"
	"  --series FILE    also write every number over time into FILE as CSV, in SI units\n"
	"  --picture FILE   also draw the day into FILE;\n"
	"                   its ending .svg, .pdf or .png chooses the kind\n"
	"  --units us|si    units of text and picture (si unless given)\n"
	"\n"
	"Ctrl-C stops the run; then nothing is written.\n"
	"\n"
	"Exit status: 0 all requirements met; 1 some missed, in doubt, or it cannot be told;\n"
	"2 bad input or usage; 3 trouble of the machine (reading, writing, memory), or stopped.\n",
	CLI_JSON | CLI_UNITS | CLI_PICTURE | CLI_FULL | CLI_SERIES, 1, 1, run,
};
