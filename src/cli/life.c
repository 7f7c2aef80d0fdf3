/* SPDX-License-Identifier: MIT */
/* life.c: run a design's carbon through months. */
#include "cli/follow.h"

static enum cli_status run_life(const struct inw_design *d, struct inw_life_report **r)
{
	struct inw_diags diags = {0};
	struct cli_follow follow;

	cli_follow_begin(&follow, "the months");
	enum inw_status s = inw_life(d, &follow.options, r, &diags);
	cli_follow_end(&follow);
	cli_say_diags(&diags);
	if (s == INW_NO_MEMORY && !diags.out_of_memory)
		cli_say("out of memory");
	inw_diags_free(&diags);
	return cli_status_of(s);
}

static enum cli_status write_files(const struct inw_life_report *r, const struct cli_arguments *a)
{
	struct inw_diags diags = {0};
	enum cli_status s = a->series ? cli_follow_write(a->series, inw_show_life_csv(r), &diags) : CLI_MET;

	if (a->picture) {
		enum cli_status drawn = cli_status_of(inw_show_life_picture(r, a->picture, a->units, &diags));
		s = s == CLI_MET ? drawn : s;
	}
	return cli_follow_said(s, &diags);
}

static enum cli_status run(const struct cli_arguments *a)
{
	struct inw_design *d = NULL;
	struct inw_life_report *r = NULL;
	struct inw_diags diags = {0};
	enum cli_status s = cli_read(a->word[0], &d, &diags);
	cli_say_diags(&diags);
	if (s == CLI_MET)
		s = run_life(d, &r);
	if (cli_follow_interrupted()) {
		cli_say("stopped; nothing was written");
		s = CLI_TROUBLE;
	}
	if (s == CLI_MET) {
		enum cli_status written = write_files(r, a);
		s = cli_follow_put(a->json ? inw_show_life_json(r) : inw_show_life_text(r, a->units, a->full ? INW_FULL : INW_BRIEF));
		s = s == CLI_MET ? written : s;
		if (s == CLI_MET && r->overall != INW_MEETS && r->overall != INW_STATED)
			s = CLI_NOT_MET;
	}
	inw_life_free(r);
	inw_design_free(d);
	inw_diags_free(&diags);
	return s;
}

const struct cli_command cli_life = {
	"life", "inward life FILE [--full] [--json] [--series FILE] [--picture FILE] [--units us|si]",
	"run a design's carbon through months of its week",
	"Repeats the week that the design FILE describes (its jobs with their 'days', and section\n"
	"'day') until the carbon no longer does its job: when to change it, what it holds by then,\n"
	"what it gives back when no job runs, and what carbon, power and heat cost in a year.\n"
	"One week is followed in full; its air is then repeated, and the last week is held\n"
	"against a full run, so that the report says how far the repetition is off.\n"
	"\n"
	"  --full           every check with reason and source, and each gas's limits\n"
	"  --json           report and series as JSON (always SI units; see doc/json.md)\n"
	"  --series FILE    also write the numbers of each day into FILE as CSV, in SI units\n"
	"  --picture FILE   also draw the months into FILE;\n"
	"                   its ending .svg, .pdf or .png chooses the kind\n"
	"  --units us|si    units of text and picture (si unless given)\n"
	"\n"
	"Ctrl-C stops the run; then nothing is written.\n"
	"\n"
	"Exit status: 0 all requirements met; 1 some missed, in doubt, or it cannot be told;\n"
	"2 bad input or usage; 3 trouble of the machine (reading, writing, memory), or stopped.\n",
	CLI_JSON | CLI_UNITS | CLI_PICTURE | CLI_FULL | CLI_SERIES, 1, 1, run,
};
