/* SPDX-License-Identifier: MIT */
/* help.c: what the commands are and take. */
#include <stdio.h>

#include "base/base.h"
#include "cli/cli.h"

static void all_commands(struct inw_text *t)
{
	inw_text_add(t, "inward judges the air system of a boxed machine that gives off fume: whether air\n"
	                "goes into the box at every gap, what the cleaner holds back, what reaches people.\n\n");
	for (size_t i = 0; i < cli_command_count; i++)
		inw_text_printf(t, "  %-10s %s\n", cli_commands[i]->name, cli_commands[i]->summary);
	inw_text_add(t, "\n'inward help COMMAND' says more. Options may stand anywhere; '--' ends them.\n"
	                "It advises and certifies nothing: local codes and licensed practice come first.\n");
}

static enum cli_status unknown(const char *name)
{
	const char *names[CLI_MAX_COMMANDS];
	for (size_t i = 0; i < cli_command_count; i++)
		names[i] = cli_commands[i]->name;
	const char *near = inw_nearest_word(name, names, cli_command_count);
	cli_say("unknown command '%s'%s%s%s", name, near ? "; did you mean '" : "", near ? near : "", near ? "'?" : "");
	return CLI_BAD;
}

static enum cli_status run(const struct cli_arguments *a)
{
	struct inw_text t = {0};
	const struct cli_command *c = a->words ? cli_find(a->word[0]) : NULL;
	if (a->words && !c)
		return unknown(a->word[0]);
	if (c)
		inw_text_printf(&t, "usage: %s\n\n%s", c->usage, c->help);
	else
		all_commands(&t);
	enum cli_status s = CLI_TROUBLE;
	if (t.failed)
		cli_say("out of memory");
	else
		s = cli_put(t.s);
	inw_text_free(&t);
	return s;
}

const struct cli_command cli_help = {
	"help", "inward help [COMMAND]", "say what a command does and takes",
	"Lists the commands, or says what COMMAND does and takes.\n", 0, 0, 1, run,
};
