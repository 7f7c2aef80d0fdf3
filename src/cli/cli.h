/* SPDX-License-Identifier: MIT */
/* cli.h: the command line: one table of commands, one parser of arguments, one way out for text and for trouble.
 * Ownership: arguments point into argv; nothing is kept. */
#ifndef INW_CLI_H
#define INW_CLI_H

#include "inward/inward.h"

/* Exit status, as the man page says. */
enum cli_status {
	CLI_MET = 0,     /* all requirements met; for other commands: done */
	CLI_NOT_MET = 1, /* at least one requirement missed, in doubt, or it cannot be told */
	CLI_BAD = 2,     /* bad input or usage */
	CLI_TROUBLE = 3  /* trouble of the machine: memory, reading, writing */
};

enum cli_option { CLI_JSON = 1, CLI_UNITS = 2, CLI_PICTURE = 4, CLI_FULL = 8, CLI_SERIES = 16, CLI_OF = 32, CLI_SURE = 64, CLI_POINTS = 128,
	CLI_DAY = 1 << 12, CLI_INDEPENDENT = 1 << 13, CLI_WIDTH = 1 << 14, CLI_SAMPLES = 1 << 15, CLI_SEED = 1 << 16, CLI_THREADS = 1 << 17, CLI_KEEP = 1 << 18,
	CLI_RESUME = 1 << 19 /* of odds */, CLI_WRITE = 1 << 11 /* of choose */,
	CLI_PORT = 1 << 20, CLI_ADDRESS = 1 << 21, CLI_TOKEN = 1 << 22, CLI_RATE = 1 << 23 /* of serve */,
	CLI_TO = 1 << 24, CLI_LIFE = 1 << 25 /* of odds too */, CLI_PAPER = 1 << 26, CLI_DATED = 1 << 27 /* of report */, CLI_ANSWERS = 1 << 10 /* of begin */ };

enum { CLI_MAX_WORDS = 6, CLI_MAX_OF = 16, CLI_MAX_COMMANDS = 16 };

struct cli_arguments {
	const char *word[CLI_MAX_WORDS]; /* after the command */
	size_t words;
	bool json, full, sure;
	enum inw_units units;
	const char *picture, *series, *points;
	const char *write;               /* of choose */
	const char *to, *paper, *dated; /* of report */
	const char *answers;             /* of begin */
	const char *port, *address, *token, *rate; /* of serve */
	bool day, life, independent; const char *width, *samples, *seed, *threads, *keep, *resume; /* of odds */
	const char *of[CLI_MAX_OF]; size_t ofs; /* --of, each time it stands */
};

struct cli_command {
	const char *name, *usage, *summary, *help;
	unsigned options;             /* of enum cli_option */
	size_t least_words, most_words;
	enum cli_status (*run)(const struct cli_arguments *a);
};

extern const struct cli_command cli_begin, cli_check, cli_choose, cli_compare, cli_day, cli_life, cli_odds, cli_report, cli_serve, cli_map, cli_why, cli_help, cli_version;
extern const struct cli_command *const cli_commands[];
extern const size_t cli_command_count;

const struct cli_command *cli_find(const char *name);

/* All of `text` to standard output, or a message and CLI_TROUBLE. */
enum cli_status cli_put(const char *text);
/* "inward: " and the sentence, to standard error. */
void cli_say(const char *format, ...) __attribute__((format(printf, 1, 2)));
/* Every diagnostic as file:line:column: error: message. */
void cli_say_diags(const struct inw_diags *d);
enum cli_status cli_status_of(enum inw_status s);
/* Design of a file. It is set only when CLI_MET is returned; the diagnostics are not said yet. */
enum cli_status cli_read(const char *path, struct inw_design **d, struct inw_diags *diags);
/* Design and report of a file. Both are set only when CLI_MET is returned; what went wrong has been said. */
enum cli_status cli_open(const char *path, struct inw_design **d, struct inw_report **r, struct inw_diags *diags);

#endif
