/* SPDX-License-Identifier: MIT */
/* main.c: arguments to a command, and the ways out. */
#include <errno.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/base.h"
#include "cli/cli.h"

const struct cli_command *const cli_commands[] = {&cli_begin, &cli_check, &cli_choose, &cli_compare, &cli_day, &cli_life, &cli_map, &cli_odds, &cli_report, &cli_serve, &cli_why, &cli_help, &cli_version};
const size_t cli_command_count = INW_COUNT(cli_commands);

static const struct { const char *name; unsigned option; bool takes_value; } options[] = {
	{"--json", CLI_JSON, false}, {"--full", CLI_FULL, false}, {"--units", CLI_UNITS, true}, {"--picture", CLI_PICTURE, true},
	{"--series", CLI_SERIES, true}, {"--write", CLI_WRITE, true}, {"--answers", CLI_ANSWERS, true},
	{"--day", CLI_DAY, false}, {"--independent", CLI_INDEPENDENT, false}, {"--width", CLI_WIDTH, true}, {"--samples", CLI_SAMPLES, true},
	{"--seed", CLI_SEED, true}, {"--threads", CLI_THREADS, true}, {"--keep", CLI_KEEP, true}, {"--resume", CLI_RESUME, true},
	{"--port", CLI_PORT, true}, {"--address", CLI_ADDRESS, true}, {"--token", CLI_TOKEN, true}, {"--rate", CLI_RATE, true},
	{"--to", CLI_TO, true}, {"--life", CLI_LIFE, false}, {"--paper", CLI_PAPER, true}, {"--dated", CLI_DATED, true},
	 {"--of", CLI_OF, true}, {"--sure", CLI_SURE, false}, {"--points", CLI_POINTS, true},
};

const struct cli_command *cli_find(const char *name)
{
	for (size_t i = 0; i < cli_command_count; i++)
		if (strcmp(cli_commands[i]->name, name) == 0)
			return cli_commands[i];
	return NULL;
}

/* ---- ways out ---------------------------------------------------------------------------------------------------- */

enum cli_status cli_put(const char *text)
{
	size_t length = strlen(text);
	errno = 0;
	if (fwrite(text, 1, length, stdout) == length && fflush(stdout) == 0)
		return CLI_MET;
	cli_say("could not write to standard output: %s", errno ? strerror(errno) : "unknown trouble");
	return CLI_TROUBLE;
}

/* What others named may hold control characters, which must not reach a terminal. */
static void put_plain(const char *s)
{
	for (; *s; s++)
		fputc((unsigned char)*s < 0x20 || *s == 0x7F ? '?' : *s, stderr);
}

void cli_say(const char *format, ...)
{
	char text[1024];
	va_list ap;
	va_start(ap, format);
	vsnprintf(text, sizeof text, format, ap);
	va_end(ap);
	fputs("inward: ", stderr);
	put_plain(text);
	fputc('\n', stderr);
}

static void say_diag(const struct inw_diag *d)
{
	put_plain(d->file ? d->file : "inward");
	if (d->line > 0)
		fprintf(stderr, ":%d:%d", d->line, d->column);
	fprintf(stderr, ": %s: ", d->severity == INW_ERROR ? "error" : "warning");
	put_plain(d->message);
	fputc('\n', stderr);
}

void cli_say_diags(const struct inw_diags *d)
{
	size_t errors = 0;
	for (size_t i = 0; i < d->count; i++) {
		say_diag(&d->items[i]);
		errors += d->items[i].severity == INW_ERROR;
	}
	if (d->errors > errors)
		cli_say("%zu more errors are not listed", d->errors - errors);
	if (d->out_of_memory)
		cli_say("out of memory");
}

enum cli_status cli_status_of(enum inw_status s)
{
	switch (s) {
	case INW_OK: return CLI_MET;
	case INW_BAD_INPUT: return CLI_BAD;
	case INW_NOT_CONVERGED: return CLI_NOT_MET;
	case INW_NO_MEMORY: case INW_IO: break;
	}
	return CLI_TROUBLE;
}

enum cli_status cli_read(const char *path, struct inw_design **d, struct inw_diags *diags)
{
	enum inw_status s = inw_design_read(path, NULL, d, diags);
	if (s == INW_NO_MEMORY && !diags->out_of_memory)
		cli_say("out of memory");
	return cli_status_of(s);
}

enum cli_status cli_open(const char *path, struct inw_design **d, struct inw_report **r, struct inw_diags *diags)
{
	enum inw_status s = inw_design_read(path, NULL, d, diags);
	if (s == INW_OK) {
		s = inw_check_by(*d, 0, r, diags);
		if (s != INW_OK) {
			inw_design_free(*d);
			*d = NULL;
		}
	}
	cli_say_diags(diags);
	if (s == INW_NO_MEMORY && !diags->out_of_memory)
		cli_say("out of memory");
	return cli_status_of(s);
}

/* ---- arguments --------------------------------------------------------------------------------------------------- */

static const char *nearest_option(const char *given)
{
	const char *names[INW_COUNT(options)];
	for (size_t i = 0; i < INW_COUNT(options); i++)
		names[i] = options[i].name;
	return inw_nearest_word(given, names, INW_COUNT(names));
}

static const char *nearest_command(const char *given)
{
	const char *names[CLI_MAX_COMMANDS];
	for (size_t i = 0; i < cli_command_count; i++)
		names[i] = cli_commands[i]->name;
	return inw_nearest_word(given, names, cli_command_count);
}

static int say_unknown(const char *what, const char *given, const char *near)
{
	cli_say("unknown %s '%s'%s%s%s; see 'inward help'", what, given, near ? "; did you mean '" : "", near ? near : "",
	        near ? "'?" : "");
	return -1;
}

static void set_odds_option(struct cli_arguments *a, unsigned option, const char *value)
{
	switch (option) {
	case CLI_DAY: a->day = true; return;
	case CLI_LIFE: a->life = true; return;
	case CLI_INDEPENDENT: a->independent = true; return;
	case CLI_WIDTH: a->width = value; return;
	case CLI_SAMPLES: a->samples = value; return;
	case CLI_SEED: a->seed = value; return;
	case CLI_THREADS: a->threads = value; return;
	case CLI_KEEP: a->keep = value; return;
	case CLI_RESUME: a->resume = value; return;
	default: return;
	}
}

static void set_report_option(struct cli_arguments *a, unsigned option, const char *value)
{
	switch (option) {
	case CLI_TO: a->to = value; return;
	case CLI_PAPER: a->paper = value; return;
	case CLI_DATED: a->dated = value; return;
	default: return;
	}
}

static int set_option(struct cli_arguments *a, unsigned option, const char *value)
{
	set_odds_option(a, option, value);
	set_report_option(a, option, value);
	if (option == CLI_FULL)
		a->full = true;
	if (option == CLI_JSON)
		a->json = true;
	if (option == CLI_PICTURE)
		a->picture = value;
	if (option == CLI_SERIES)
		a->series = value;
	if (option == CLI_PORT)
		a->port = value;
	if (option == CLI_ADDRESS)
		a->address = value;
	if (option == CLI_TOKEN)
		a->token = value;
	if (option == CLI_RATE)
		a->rate = value;
	if (option == CLI_ANSWERS)
		a->answers = value;
	if (option == CLI_WRITE)
		a->write = value;
	if (option == CLI_SURE)
		a->sure = true;
	if (option == CLI_POINTS)
		a->points = value;
	if (option == CLI_OF) {
		if (a->ofs == CLI_MAX_OF) {
			cli_say("--of may stand %d times at the most", CLI_MAX_OF);
			return -1;
		}
		a->of[a->ofs++] = value;
	}
	if (option == CLI_UNITS) {
		if (strcmp(value, "us") && strcmp(value, "si")) {
			cli_say("--units takes 'si' or 'us', not '%s'", value);
			return -1;
		}
		a->units = strcmp(value, "us") ? INW_SI : INW_US;
	}
	return 0;
}

/* One option, given as "--name value" or "--name=value"; `*i` is moved past its value. */
static int read_option(struct cli_arguments *a, unsigned *used, int argc, char **argv, int *i)
{
	const char *given = argv[*i], *equals = strchr(given, '=');
	size_t length = equals ? (size_t)(equals - given) : strlen(given);
	for (size_t k = 0; k < INW_COUNT(options); k++) {
		const char *value = equals ? equals + 1 : NULL;
		if (strlen(options[k].name) != length || strncmp(options[k].name, given, length))
			continue;
		if (!options[k].takes_value && equals) {
			cli_say("%s takes no value", options[k].name);
			return -1;
		}
		if (options[k].takes_value && !value)
			value = *i + 1 < argc ? argv[++*i] : NULL;
		if (options[k].takes_value && (!value || !*value)) {
			cli_say("%s wants a value", options[k].name);
			return -1;
		}
		*used |= options[k].option;
		return set_option(a, options[k].option, value);
	}
	return say_unknown("option", given, nearest_option(given));
}

/* A usage that ends its files in "..." shows no bound. */
static int say_too_many(const struct cli_command *c)
{
	if (strstr(c->usage, "[FILE]..."))
		cli_say("'%s' takes at most %zu files; usage: %s", c->name, c->most_words, c->usage);
	else
		cli_say("usage: %s", c->usage);
	return -1;
}

static int check_fit(const struct cli_command *c, const struct cli_arguments *a, unsigned used)
{
	for (size_t k = 0; k < INW_COUNT(options); k++)
		if (used & options[k].option & ~c->options) {
			cli_say("'%s' does not take %s; usage: %s", c->name, options[k].name, c->usage);
			return -1;
		}
	if (a->words > c->most_words)
		return say_too_many(c);
	if (a->words < c->least_words) {
		cli_say("usage: %s", c->usage);
		return -1;
	}
	return 0;
}

static enum cli_status run(int argc, char **argv)
{
	struct cli_arguments a = {.units = INW_SI};
	const struct cli_command *c = NULL;
	unsigned used = 0;
	bool only_words = false;
	for (int i = 1; i < argc; i++) {
		const char *s = argv[i];
		if (!only_words && strcmp(s, "--") == 0) {
			only_words = true;
		} else if (!only_words && (strcmp(s, "--help") == 0 || strcmp(s, "-h") == 0)) {
			a.words = c && c != &cli_help;
			a.word[0] = a.words ? c->name : NULL;
			return cli_help.run(&a);
		} else if (!only_words && strcmp(s, "--version") == 0) {
			return cli_version.run(&a);
		} else if (!only_words && s[0] == '-' && s[1]) {
			if (read_option(&a, &used, argc, argv, &i))
				return CLI_BAD;
		} else if (!c) {
			c = cli_find(s);
			if (!c)
				return say_unknown("command", s, nearest_command(s)), CLI_BAD;
		} else if (a.words == CLI_MAX_WORDS) {
			return say_too_many(c), CLI_BAD;
		} else {
			a.word[a.words++] = s;
		}
	}
	if (!c) {
		cli_say("which command? Try 'inward help' or 'inward check FILE'");
		return CLI_BAD;
	}
	return check_fit(c, &a, used) ? CLI_BAD : c->run(&a);
}

int main(int argc, char **argv)
{
	/* A closed pipe must be an error with a message and status 3, not a silent death. */
	signal(SIGPIPE, SIG_IGN);
	return (int)run(argc, argv);
}
