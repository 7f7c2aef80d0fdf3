/* SPDX-License-Identifier: MIT */
/* compare.c: designs side by side. */
#include "cli/cli.h"

struct opened { struct inw_design *design; struct inw_report *report; };

static enum cli_status open_all(const struct cli_arguments *a, struct opened *file)
{
	enum cli_status worst = CLI_MET;

	for (size_t i = 0; i < a->words; i++) { /* all of them, so that all faults are said */
		struct inw_diags diags = {0};
		enum cli_status s = cli_open(a->word[i], &file[i].design, &file[i].report, &diags);
		inw_diags_free(&diags);
		worst = s > worst ? s : worst;
	}
	return worst;
}

static enum cli_status put_comparison(const struct inw_comparison *c, const struct cli_arguments *a)
{
	char *text = a->json ? inw_show_comparison_json(c) : inw_show_comparison_text(c, a->units, a->full ? INW_FULL : INW_BRIEF);
	if (!text) {
		cli_say("out of memory while writing the comparison");
		return CLI_TROUBLE;
	}
	enum cli_status s = cli_put(text);
	inw_string_free(text);
	return s;
}

static enum cli_status compare(const struct cli_arguments *a, const struct opened *file)
{
	const struct inw_report *report[CLI_MAX_WORDS];
	struct inw_comparison *c = NULL;
	struct inw_diags diags = {0};

	for (size_t i = 0; i < a->words; i++)
		report[i] = file[i].report;
	enum cli_status s = cli_status_of(inw_compare(report, a->words, &c, &diags));
	cli_say_diags(&diags);
	if (s == CLI_MET)
		s = put_comparison(c, a);
	for (size_t i = 0; s == CLI_MET && i < a->words; i++)
		if (report[i]->overall != INW_MEETS && report[i]->overall != INW_STATED)
			s = CLI_NOT_MET;
	inw_comparison_free(c);
	inw_diags_free(&diags);
	return s;
}

static enum cli_status run(const struct cli_arguments *a)
{
	struct opened file[CLI_MAX_WORDS] = {{NULL, NULL}};
	enum cli_status s = open_all(a, file);

	if (s == CLI_MET)
		s = compare(a, file);
	for (size_t i = 0; i < a->words; i++) {
		inw_report_free(file[i].report);
		inw_design_free(file[i].design);
	}
	return s;
}

const struct cli_command cli_compare = {
	"compare", "inward compare FILE FILE [FILE]... [--full] [--json] [--units us|si]", "put designs side by side",
	"Judges two to six design files and says at what each is better or worse than the first,\n"
	"what differs in the files, and every verdict in columns: word, number, and how much it\n"
	"has to spare or is off.\n"
	"\n"
	"  --full           also what is alike, what follows from other numbers, and each range\n"
	"  --json           the comparison as JSON (always SI units; see doc/json.md)\n"
	"  --units us|si    units of the text (si unless given)\n"
	"\n"
	"Exit status: 0 every design meets all its requirements; 1 at least one does not, or it\n"
	"cannot be told; 2 bad input or usage; 3 trouble of the machine (reading, writing, memory).\n",
	CLI_JSON | CLI_UNITS | CLI_FULL, 2, CLI_MAX_WORDS, run,
};
