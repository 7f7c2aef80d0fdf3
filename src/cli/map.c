/* SPDX-License-Identifier: MIT */
/* map.c: move one or two numbers of a design over a range. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/follow.h"

enum { NAME_SIZE = 512, TEXT_SIZE = 96 };

/* The "=" of "NAME=FROM..TO"; one within brackets belongs to a name. */
static const char *range_of(const char *word)
{
	const char *after = strrchr(word, ']');

	return strchr(after ? after : word, '=');
}

static bool copy(char *out, size_t size, const char *from, size_t length)
{
	while (length && *from == ' ')
		from++, length--;
	while (length && from[length - 1] == ' ')
		length--;
	if (length >= size)
		return false;
	memcpy(out, from, length);
	out[length] = '\0';
	return true;
}

static int read_end(const char *word, const char *text, enum inw_dim dim, double *out)
{
	const char *why = inw_parse_quantity(text, dim, out);

	if (why)
		cli_say("'%s': '%s' %s", word, text, why);
	return why ? -1 : 0;
}

/* "0.3..0.8 mm": the first takes the unit of the second when it has none. */
static int read_range(const char *word, const char *range, enum inw_dim dim, struct inw_map_axis_options *a)
{
	const char *dots = strstr(range, ".."), digits[] = "+-0123456789.";
	char from[2 * TEXT_SIZE], to[TEXT_SIZE];

	if (!dots || !copy(from, TEXT_SIZE, range, (size_t)(dots - range)) || !copy(to, sizeof to, dots + 2, strlen(dots + 2)) || !*from || !*to) {
		cli_say("'%s': a range is written FROM..TO, as in 20..80 %%", word);
		return -1;
	}
	if (from[strspn(from, digits)] == '\0')
		strcat(from, to + strspn(to, digits));
	return read_end(word, from, dim, &a->from) || read_end(word, to, dim, &a->to) ? -1 : 0;
}

struct request {
	struct inw_map_options options;
	char name[2][NAME_SIZE];
};

static int read_points(const char *text, size_t *out)
{
	char *end;
	long n = strtol(text, &end, 10);

	if (*end || n < 3 || n > 201) {
		cli_say("--points takes a whole number from 3 to 201, not '%s'", text);
		return -1;
	}
	*out = (size_t)n;
	return 0;
}

static int read_axis(const struct inw_design *d, const char *word, const struct cli_arguments *a, struct request *r)
{
	const char *equals = range_of(word);
	size_t k = r->options.axes;
	struct inw_map_axis_options *axis = &r->options.axis[k];
	struct inw_diags diags = {0};
	int bad = 0;

	if (!copy(r->name[k], NAME_SIZE, word, equals ? (size_t)(equals - word) : strlen(word))) {
		cli_say("'%.60s...' is too long for a name", word);
		return -1;
	}
	*axis = (struct inw_map_axis_options){.name = r->name[k], .from = NAN, .to = NAN};
	const struct inw_quantity *q = inw_design_find(d, axis->name, &diags);
	cli_say_diags(&diags);
	inw_diags_free(&diags);
	if (!q || (equals && read_range(word, equals + 1, q->dim, axis)) || (a->points && read_points(a->points, &axis->points)))
		bad = -1;
	r->options.axes++;
	return bad;
}

static enum cli_status run_map(const struct inw_design *d, const struct cli_arguments *a, struct inw_map **m)
{
	struct request r = {.options = {.of = a->of, .of_count = a->ofs, .sure = a->sure}};
	struct inw_diags diags = {0};
	struct cli_follow follow;

	for (size_t i = 1; i < a->words; i++)
		if (read_axis(d, a->word[i], a, &r))
			return CLI_BAD;
	cli_follow_begin(&follow, "the map");
	r.options.progress = follow.options.progress;
	r.options.stop = follow.options.stop;
	r.options.context = follow.options.context;
	enum inw_status s = inw_map(d, &r.options, m, &diags);
	cli_follow_end(&follow);
	cli_say_diags(&diags);
	inw_diags_free(&diags);
	return cli_status_of(s);
}

static enum cli_status write_files(const struct inw_map *m, const struct cli_arguments *a)
{
	struct inw_diags diags = {0};
	enum cli_status s = a->series ? cli_follow_write(a->series, inw_show_map_csv(m), &diags) : CLI_MET;

	if (a->picture) {
		enum cli_status drawn = cli_status_of(inw_show_map_picture(m, a->picture, a->units, &diags));
		s = s == CLI_MET ? drawn : s;
	}
	return cli_follow_said(s, &diags);
}

static enum cli_status run(const struct cli_arguments *a)
{
	struct inw_design *d = NULL;
	struct inw_map *m = NULL;
	struct inw_diags diags = {0};
	enum cli_status s = cli_read(a->word[0], &d, &diags);
	cli_say_diags(&diags);
	if (s == CLI_MET)
		s = run_map(d, a, &m);
	if (cli_follow_interrupted()) {
		cli_say("stopped; nothing was written");
		s = CLI_TROUBLE;
	}
	if (s == CLI_MET) {
		enum cli_status written = write_files(m, a);
		s = cli_follow_put(a->json ? inw_show_map_json(m) : inw_show_map_text(m, a->units, a->full ? INW_FULL : INW_BRIEF));
		s = s == CLI_MET ? written : s;
	}
	inw_map_free(m);
	inw_design_free(d);
	inw_diags_free(&diags);
	return s;
}

const struct cli_command cli_map = {
	"map", "inward map FILE QUANTITY [QUANTITY] [--of VERDICT]... [--sure] [--points N] [--full] [--json] [--series FILE] [--picture FILE] [--units us|si]",
	"move one or two numbers of a design: where is it good?",
	"Judges the design FILE with one or two of its numbers moved over a range. Of one: between\n"
	"which values each requirement is met. Of two: a map of where all are met, with the line\n"
	"of each requirement. QUANTITY is the name of an input as 'inward why FILE list' lists it,\n"
	"or its tail where only one ends so (flap.position). A range may stand behind it:\n"
	"\n"
	"  inward map box.yaml flap.position 'speed=40..100 %'\n"
	"\n"
	"Without one, a share runs over all it may be, a fan from a tenth of its rated speed, a\n"
	"temperature 20 K to both sides, other numbers from a third to three times what they are.\n"
	"\n"
	"  --of VERDICT     only this requirement (inward_pressure, noise, ...); may be repeated\n"
	"  --sure           met over the whole range of what is assumed, not only at best estimates\n"
	"  --points N       points along each quantity, 3 to 201\n"
	"  --full           of one quantity: also a table of numbers\n"
	"  --json           the map as JSON (always SI units; see doc/json.md)\n"
	"  --series FILE    also write every point into FILE as CSV, in SI units\n"
	"  --picture FILE   also draw the map into FILE;\n"
	"                   its ending .svg, .pdf or .png chooses the kind\n"
	"  --units us|si    units of text and picture (si unless given)\n"
	"\n"
	"Ctrl-C stops the run; then nothing is written.\n"
	"\n"
	"Exit status: 0 done, whatever is met; 2 bad input or usage; 3 trouble of the machine\n"
	"(reading, writing, memory), or stopped.\n",
	CLI_JSON | CLI_UNITS | CLI_PICTURE | CLI_FULL | CLI_SERIES | CLI_OF | CLI_SURE | CLI_POINTS, 2, 3, run,
};
