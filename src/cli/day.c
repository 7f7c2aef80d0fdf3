/* SPDX-License-Identifier: MIT */
/* day.c: run a design's day. */
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/whole_file.h"
#include "cli/cli.h"

/* ---- Ctrl-C ------------------------------------------------------------------------------------------------------ */

/* The one thing a signal handler may touch. It is read between steps and before anything is written. */
static volatile sig_atomic_t interrupted;

static void on_interrupt(int signal_number)
{
	(void)signal_number;
	interrupted = 1;
}

/* Once: a second Ctrl-C ends the program as it always does. A signal that the caller ignores stays ignored. */
static void catch_interrupt(void)
{
	struct sigaction old, new = {.sa_handler = on_interrupt, .sa_flags = (int)SA_RESETHAND};
	sigemptyset(&new.sa_mask);
	if (sigaction(SIGINT, NULL, &old) == 0 && old.sa_handler != SIG_IGN)
		sigaction(SIGINT, &new, NULL);
}

static bool stop(void *context)
{
	(void)context;
	return interrupted != 0;
}

/* ---- progress ---------------------------------------------------------------------------------------------------- */

struct progress {
	double began, shown; /* s of a clock that only goes forward; shown 0: no line stands there */
	bool terminal;
};

static double now(void)
{
	struct timespec t;
	return clock_gettime(CLOCK_MONOTONIC, &t) ? 0 : (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void show_progress(void *context, double share)
{
	struct progress *p = context;
	double t = now(), took = t - p->began;
	if (!p->terminal || took < 1 || t - p->shown < 0.25 || !(share > 0)) /* four times a second is enough for an eye */
		return;
	fprintf(stderr, "\rinward: %3.0f %% of the day, about %.0f s left   ", 100 * share, took * (1 - share) / share);
	fflush(stderr);
	p->shown = t;
}

static void end_progress(const struct progress *p)
{
	if (p->shown > 0)
		fprintf(stderr, "\r%60s\r", "");
}

static enum cli_status run_day(const struct inw_design *d, struct inw_day_report **r)
{
	struct inw_diags diags = {0};
	struct progress progress = {.began = now(), .terminal = isatty(STDERR_FILENO) == 1};
	const struct inw_day_options options = {.progress = show_progress, .context = &progress, .stop = stop};
	catch_interrupt();
	enum inw_status s = inw_day(d, &options, r, &diags);
	end_progress(&progress);
	cli_say_diags(&diags);
	if (s == INW_NO_MEMORY && !diags.out_of_memory)
		cli_say("out of memory");
	inw_diags_free(&diags);
	return cli_status_of(s);
}

/* ---- what is written --------------------------------------------------------------------------------------------- */

static enum cli_status write_series(const struct inw_day_report *r, const char *path, struct inw_diags *diags)
{
	char *text = inw_show_day_csv(r);
	enum inw_status s = text ? inw_whole_file_write(path, text, strlen(text), diags) : INW_NO_MEMORY;
	inw_string_free(text);
	return cli_status_of(s);
}

static enum cli_status write_files(const struct inw_day_report *r, const struct cli_arguments *a)
{
	struct inw_diags diags = {0};
	enum cli_status s = a->series ? write_series(r, a->series, &diags) : CLI_MET;
	if (a->picture) {
		enum cli_status drawn = cli_status_of(inw_show_day_picture(r, a->picture, a->units, &diags));
		s = s == CLI_MET ? drawn : s;
	}
	cli_say_diags(&diags);
	if (s != CLI_MET && !diags.count && !diags.out_of_memory)
		cli_say("out of memory while writing a file");
	inw_diags_free(&diags);
	return s;
}

static enum cli_status put_report(const struct inw_day_report *r, const struct cli_arguments *a)
{
	char *text = a->json ? inw_show_day_json(r) : inw_show_day_text(r, a->units, a->full ? INW_FULL : INW_BRIEF);
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
	struct inw_day_report *r = NULL;
	struct inw_diags diags = {0};
	enum cli_status s = cli_read(a->word[0], &d, &diags);
	cli_say_diags(&diags);
	if (s == CLI_MET)
		s = run_day(d, &r);
	if (interrupted) {
		cli_say("stopped; nothing was written");
		s = CLI_TROUBLE;
	}
	if (s == CLI_MET) {
		enum cli_status written = write_files(r, a);
		s = put_report(r, a);
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
	"Follows the design FILE through the hours that its section 'day' names (a day from\n"
	"midnight without one): jobs begin and end, the box warms up and cools down, doors are\n"
	"opened, gases and particles build up and clear. Says what each person met in the worst\n"
	"minutes and hours, whether the box pulled inward all the time, and when its door may\n"
	"be opened. Best-estimate inputs only; 'inward check' knows the ranges.\n"
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
