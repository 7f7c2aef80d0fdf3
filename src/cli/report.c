/* SPDX-License-Identifier: MIT */
/* report.c: the report to keep beside the machine, as a PDF. */
#include <string.h>

#include "cli/follow.h"

/* Paper goes with the units unless it is named. False for a size that is none. */
static bool read_size(const struct cli_arguments *a, enum inw_paper_size *size)
{
	*size = a->units == INW_US ? INW_LETTER : INW_A4;
	if (a->paper && strcmp(a->paper, "a4") && strcmp(a->paper, "letter")) {
		cli_say("--paper takes 'a4' or 'letter', not '%s'", a->paper);
		return false;
	}
	if (a->paper)
		*size = strcmp(a->paper, "a4") ? INW_LETTER : INW_A4;
	return true;
}

static enum cli_status follow_life(const struct inw_design *d, struct inw_life_report **life)
{
	struct inw_diags diags = {0};
	struct cli_follow follow;
	cli_follow_begin(&follow, "the months");
	enum cli_status s = cli_status_of(inw_life(d, &follow.options, life, &diags));
	cli_follow_end(&follow);
	if (cli_follow_interrupted()) {
		cli_say("stopped; nothing was written");
		inw_diags_free(&diags);
		return CLI_TROUBLE;
	}
	return cli_follow_said(s, &diags);
}

/* A day that cannot be followed is no reason for no report: the paper then says how to find out. */
static enum cli_status follow_day(const struct inw_design *d, struct inw_day_report **day)
{
	struct inw_diags diags = {0};
	struct cli_follow follow;
	cli_follow_begin(&follow, "the day");
	enum inw_status s = inw_day(d, &follow.options, day, &diags);
	cli_follow_end(&follow);
	if (cli_follow_interrupted()) {
		cli_say("stopped; nothing was written");
		inw_diags_free(&diags);
		return CLI_TROUBLE;
	}
	return cli_follow_said(s == INW_NO_MEMORY ? CLI_TROUBLE : CLI_MET, &diags);
}

static enum cli_status run(const struct cli_arguments *a)
{
	struct inw_design *d = NULL;
	struct inw_report *r = NULL;
	struct inw_life_report *life = NULL;
	struct inw_day_report *day = NULL;
	struct inw_diags diags = {0}, own = {0};
	enum inw_paper_size size;
	if (!a->to) {
		cli_say("where to? Say it as --to NAME.pdf");
		return CLI_BAD;
	}
	if (!read_size(a, &size))
		return CLI_BAD;
	enum cli_status s = cli_open(a->word[0], &d, &r, &diags);
	if (s == CLI_MET)
		s = follow_day(d, &day);
	if (s == CLI_MET && a->life)
		s = follow_life(d, &life);
	if (s == CLI_MET) {
		const struct inw_paper_options options = {.units = a->units, .size = size, .dated = a->dated, .life = life, .day = day};
		s = cli_follow_said(cli_status_of(inw_show_paper(r, &options, a->to, &own)), &own);
	}
	if (s == CLI_MET && r->overall != INW_MEETS && r->overall != INW_STATED)
		s = CLI_NOT_MET;
	inw_day_free(day);
	inw_life_free(life);
	inw_report_free(r);
	inw_design_free(d);
	inw_diags_free(&diags);
	return s;
}

const struct cli_command cli_report = {
	"report", "inward report FILE --to NAME.pdf [--life] [--units us|si] [--paper a4|letter] [--dated TEXT]",
	"write the report to keep beside the machine, as a PDF",
	"Judges the design FILE as 'inward check' does and writes some pages to hang beside the\n"
	"machine: how to set it and when its door may be opened, the box with its dimensions,\n"
	"cautions, every requirement with its margin, what to change first, what to check each\n"
	"month, what was assumed, and where each number is from.\n"
	"\n"
	"  --to NAME.pdf    the file to write; it appears whole or not at all\n"
	"  --life           also follow the carbon through months as 'inward life' does, and\n"
	"                   print when to change it (takes some seconds)\n"
	"  --units us|si    units of the text (si unless given)\n"
	"  --paper SIZE     a4 or letter; letter with US units, else a4, unless given\n"
	"  --dated TEXT     the date to print, as it stands; else a line to write it on\n"
	"\n"
	"The same design and options give the same bytes.\n"
	"Exit status: as 'inward check'.\n",
	CLI_TO | CLI_LIFE | CLI_UNITS | CLI_PAPER | CLI_DATED, 1, 1, run,
};
