/* SPDX-License-Identifier: MIT */
/* follow.h: a run that takes a while: Ctrl-C, progress on the terminal, and what is written at its end. */
#ifndef INW_CLI_FOLLOW_H
#define INW_CLI_FOLLOW_H

#include "cli/cli.h"

struct cli_follow {
	struct inw_day_options options; /* for the run; points at this struct */
	const char *of_what;            /* "the day" */
	double began, shown, share;     /* s of a clock that only goes forward; shown 0: no line stands there; what was said last */
	bool terminal;
};

/* From here a Ctrl-C asks the run to stop. */
void cli_follow_begin(struct cli_follow *f, const char *of_what);
void cli_follow_end(const struct cli_follow *f);
/* Was Ctrl-C pressed? */
bool cli_follow_interrupted(void);
/* `text` (owned here, NULL: memory is out) whole into `path`, or not at all. */
enum cli_status cli_follow_write(const char *path, char *text, struct inw_diags *diags);
/* `text` (owned here, NULL: memory is out) to standard output. */
enum cli_status cli_follow_put(char *text);
/* Before long work: does this picture's name end in a kind we draw, and could it be written? What is wrong is said. */
enum cli_status cli_follow_may_draw(const char *path);
/* Diagnostics of what was written said and freed; `s` as it is. */
enum cli_status cli_follow_said(enum cli_status s, struct inw_diags *diags);

#endif
