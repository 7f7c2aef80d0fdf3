/* SPDX-License-Identifier: MIT */
/* version.c: which inward this is. */
#include <stdio.h>

#include "cli/cli.h"

static enum cli_status run(const struct cli_arguments *a)
{
	char text[128];
	(void)a;
	snprintf(text, sizeof text, "inward %s\n", inw_version());
	return cli_put(text);
}

const struct cli_command cli_version = {
	"version", "inward version", "print the version", "Prints the version of the tool.\n", 0, 0, 0, run,
};
