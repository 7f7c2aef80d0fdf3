/* SPDX-License-Identifier: MIT */
#include "cli/follow.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/whole_file.h"

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

static double now(void)
{
	struct timespec t;
	return clock_gettime(CLOCK_MONOTONIC, &t) ? 0 : (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void show_progress(void *context, double share)
{
	struct cli_follow *p = context;
	double t = now();
	if (share < p->share) /* another piece of work begins */
		p->began = t;
	p->share = share;
	double took = t - p->began;
	if (!p->terminal || took < 1 || t - p->shown < 0.25 || !(share > 0)) /* four times a second is enough for an eye */
		return;
	fprintf(stderr, "\rinward: %3.0f %% of %s, about %.0f s left   ", 100 * share, p->of_what, took * (1 - share) / share);
	fflush(stderr);
	p->shown = t;
}

void cli_follow_begin(struct cli_follow *f, const char *of_what)
{
	*f = (struct cli_follow){.of_what = of_what, .began = now(), .terminal = isatty(STDERR_FILENO) == 1};
	f->options = (struct inw_day_options){.progress = show_progress, .context = f, .stop = stop};
	catch_interrupt();
}

void cli_follow_end(const struct cli_follow *f)
{
	if (f->shown > 0)
		fprintf(stderr, "\r%60s\r", "");
}

bool cli_follow_interrupted(void)
{
	return interrupted != 0;
}

/* ---- what is written --------------------------------------------------------------------------------------------- */

enum cli_status cli_follow_write(const char *path, char *text, struct inw_diags *diags)
{
	enum inw_status s = text ? inw_whole_file_write(path, text, strlen(text), diags) : INW_NO_MEMORY;

	inw_string_free(text);
	return cli_status_of(s);
}

enum cli_status cli_follow_put(char *text)
{
	if (!text) {
		cli_say("out of memory while writing the report");
		return CLI_TROUBLE;
	}
	enum cli_status s = cli_put(text);
	inw_string_free(text);
	return s;
}

enum cli_status cli_follow_may_draw(const char *path)
{
	struct inw_diags diags = {0};
	enum cli_status s = cli_status_of(inw_picture_may(path, &diags));

	return cli_follow_said(s, &diags);
}

enum cli_status cli_follow_said(enum cli_status s, struct inw_diags *diags)
{
	cli_say_diags(diags);
	if (s != CLI_MET && !diags->count && !diags->out_of_memory)
		cli_say("out of memory while writing a file");
	inw_diags_free(diags);
	return s;
}
