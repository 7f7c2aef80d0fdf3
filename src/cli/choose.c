/* SPDX-License-Identifier: MIT */
/* choose.c: find designs that meet each requirement, and write them out. */
#include <string.h>

#include "cli/follow.h"

static void say_written(void *context, const char *path)
{
	(void)context;
	cli_say("written: %s", path);
}

static enum cli_status find(const struct inw_design *d, struct inw_choices **c)
{
	struct cli_follow follow;
	struct inw_diags diags = {0};

	cli_follow_begin(&follow, "the search");
	const struct inw_choose_options options = {follow.options.progress, follow.options.stop, follow.options.context};
	enum inw_status s = inw_choose(d, &options, c, &diags);
	cli_follow_end(&follow);
	cli_say_diags(&diags);
	inw_diags_free(&diags);
	return cli_status_of(s);
}

static enum cli_status put(const struct inw_choices *c, const struct cli_arguments *a)
{
	struct inw_diags diags = {0};
	enum cli_status written = CLI_MET;

	if (a->write && c->stopped)
		cli_say("stopped; no file was written");
	else if (a->write)
		written = cli_status_of(inw_choices_write(c, a->write, say_written, NULL, &diags));
	written = cli_follow_said(written, &diags);
	enum cli_status s = cli_follow_put(a->json ? inw_show_choices_json(c) : inw_show_choices_text(c, a->units, a->full ? INW_FULL : INW_BRIEF));
	return s == CLI_MET ? written : s;
}

static enum cli_status run(const struct cli_arguments *a)
{
	struct inw_design *d = NULL;
	struct inw_choices *c = NULL;
	struct inw_diags diags = {0};
	enum cli_status s = cli_read(a->word[0], &d, &diags);

	cli_say_diags(&diags);
	inw_diags_free(&diags);
	if (s == CLI_MET)
		s = find(d, &c);
	if (c)
		s = put(c, a);
	if (c && s == CLI_MET)
		s = c->stopped ? CLI_TROUBLE : c->found && c->day_missed == 0 && c->day_unsure == 0 ? CLI_MET : CLI_NOT_MET;
	inw_choices_free(c);
	inw_design_free(d);
	return s;
}

const struct cli_command cli_choose = {
	"choose", "inward choose FILE [--write WHERE] [--full] [--json] [--units us|si]", "find designs that meet every requirement",
	"The section 'choose' of the design FILE says what is free and between which bounds, which\n"
	"records may be taken, what they cost, and what is to be small: money, noise, size, heat,\n"
	"carbon. Finds up to five designs that meet every requirement with the wanted probability:\n"
	"the best for each wish and some between, why each is there, which requirement keeps it\n"
	"from being better and what easing that one would buy. When nothing meets all of them it\n"
	"says which two conflict.\n"
	"\n"
	"  --write WHERE    write each design as a whole design file: into the folder WHERE, or\n"
	"                   into files whose names begin so; never over a file that is there\n"
	"  --full           also what each design comes to by every goal\n"
	"  --json           the designs as JSON (always SI units; see doc/json.md)\n"
	"  --units us|si    units of the text (si unless given)\n"
	"\n"
	"Ctrl-C ends the search: the best so far is told, and no file is written.\n"
	"\n"
	"Exit status: 0 designs were found, and none of them misses anything in the day that was\n"
	"followed, or pulls less surely in it than is wanted; 1 none meets all requirements, or it\n"
	"cannot be told of one of these, or of a day; 2 bad input or usage; 3 trouble of the\n"
	"machine (reading, writing, memory), or stopped.\n",
	CLI_JSON | CLI_UNITS | CLI_FULL | CLI_WRITE, 1, 1, run,
};
