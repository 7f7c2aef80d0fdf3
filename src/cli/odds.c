/* SPDX-License-Identifier: MIT */
/* odds.c: how likely each requirement is met. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "cli/follow.h"

static int whole(const char *what, const char *text, unsigned long long most, unsigned long long *out)
{
	char *end = NULL;

	errno = 0;
	*out = text[0] >= '0' && text[0] <= '9' ? strtoull(text, &end, 10) : 0;
	if (!end || *end || errno || *out > most) {
		cli_say("%s takes a whole number up to %llu, not '%s'", what, most, text);
		return -1;
	}
	return 0;
}

/* "0.5 %" or "0.005", above 0 and below a half. */
static int width_of(const char *text, double *out)
{
	bool read = !inw_parse_quantity(text, INW_DIM_FRACTION, out) || !inw_parse_quantity(text, INW_DIM_NONE, out);

	if (!read || !(*out > 0) || !(*out < 0.5)) {
		cli_say("--width takes a share between 0 and 50 %%, such as '1 %%', not '%s'", text);
		return -1;
	}
	return 0;
}

static int options_of(const struct cli_arguments *a, struct inw_odds_options *o)
{
	unsigned long long n = 0;

	if (a->samples && whole("--samples", a->samples, 1ull << 30, &n))
		return -1;
	o->samples = (size_t)n;
	if (a->samples && !n) {
		cli_say("--samples takes 1 at the least");
		return -1;
	}
	n = 0;
	if (a->threads && whole("--threads", a->threads, 64, &n))
		return -1;
	o->threads = (unsigned)n;
	n = 0;
	if (a->seed && whole("--seed", a->seed, ~0ull, &n))
		return -1;
	o->seed = n;
	if (a->width && width_of(a->width, &o->width))
		return -1;
	o->day = a->day;
	o->life = a->life;
	if (o->day && o->life) {
		cli_say("--day and --life ask for two different things: give one of them");
		return -1;
	}
	o->independent = a->independent;
	o->keep = a->keep;
	o->resume = a->resume;
	return 0;
}

static enum cli_status sample(const struct inw_design *d, struct inw_odds_options *o, struct inw_odds **r)
{
	struct inw_diags diags = {0};
	struct cli_follow follow;

	cli_follow_begin(&follow, o->life ? "the lives" : o->day ? "the days" : "the samples");
	o->progress = follow.options.progress;
	o->stop = follow.options.stop;
	o->context = follow.options.context;
	enum inw_status s = inw_odds(d, o, r, &diags);
	cli_follow_end(&follow);
	cli_say_diags(&diags);
	if (s == INW_NO_MEMORY && !diags.out_of_memory)
		cli_say("out of memory");
	inw_diags_free(&diags);
	return cli_status_of(s);
}

static void say_stopped(const struct inw_odds *r, const struct inw_odds_options *o, bool kept)
{
	if (!r->stopped)
		return;
	if (!r->samples)
		cli_say("stopped before the first sample was drawn: there is nothing to show%s", o->keep ? " or to keep" : "");
	else if (o->keep && kept)
		cli_say("stopped after %zu samples; they stand in '%s', '--resume %s' goes on from there", r->samples, o->keep, o->keep);
	else
		cli_say("stopped after %zu samples; these count below, but were not kept%s", r->samples, o->keep ? "" : " ('--keep FILE' keeps them)");
}

static enum cli_status show(const struct cli_arguments *a, const struct inw_odds *r)
{
	struct inw_diags diags = {0};
	enum cli_status s = a->picture && r->samples ? cli_status_of(inw_show_odds_picture(r, a->picture, a->units, &diags)) : CLI_MET;

	s = cli_follow_said(s, &diags);
	enum cli_status put = cli_follow_put(a->json ? inw_show_odds_json(r) : inw_show_odds_text(r, a->units, a->full ? INW_FULL : INW_BRIEF));
	s = put == CLI_MET ? s : put;
	if (s == CLI_MET && r->stopped)
		return CLI_TROUBLE;
	return s == CLI_MET && (r->untold || !(r->all.met - r->all.met_error >= 0.95)) ? CLI_NOT_MET : s;
}

static enum cli_status run(const struct cli_arguments *a)
{
	struct inw_odds_options o = {0};
	struct inw_design *d = NULL;
	struct inw_odds *r = NULL;
	struct inw_diags diags = {0};

	if (options_of(a, &o))
		return CLI_BAD;
	enum cli_status s = a->picture ? cli_follow_may_draw(a->picture) : CLI_MET;
	if (s == CLI_MET)
		s = cli_read(a->word[0], &d, &diags);
	cli_say_diags(&diags);
	if (s == CLI_MET)
		s = sample(d, &o, &r);
	if (r) { /* even when it could not be kept */
		say_stopped(r, &o, s == CLI_MET);
		enum cli_status shown = show(a, r);
		s = s == CLI_MET ? shown : s;
	}
	inw_odds_free(r);
	inw_design_free(d);
	inw_diags_free(&diags);
	return s;
}

const struct cli_command cli_odds = {
	"odds", "inward odds FILE [--day|--life] [--width W] [--samples N] [options]",
	"how likely each requirement is met, what matters, what to measure next",
	"Draws everything that is not known of the design FILE from its range, thousands of\n"
	"times, and judges each sample as 'inward check' does (--day: as 'inward day' does,\n"
	"--life: as 'inward life' does).\n"
	"Says for each requirement how likely it is met and how well that is known, which inputs\n"
	"decide it, and which cheap measurement would make the answer surest.\n"
	"\n"
	"  --day            judge whole days\n"
	"  --life           follow the carbon until it is spent\n"
	"  --width W        stop when every probability is known to +- W (1 % unless given,\n"
	"                   of lives 5 %)\n"
	"  --samples N      and after N samples at the latest, in sixteens (1048576, of days 4096,\n"
	"                   of lives 1024)\n"
	"  --seed N         of the samples (0): the same seed gives the same answer\n"
	"  --threads N      as many as there are processors unless given\n"
	"  --independent    no correlation between inputs that belong together\n"
	"  --keep FILE      write what was sampled into FILE\n"
	"  --resume FILE    go on from there: the answer is that of one long run; what goes beyond\n"
	"                   --samples is drawn anew\n"
	"  --full           every number, all inputs as they were drawn, all tests\n"
	"  --json           as JSON (always SI units; see doc/json.md)\n"
	"  --picture FILE   also draw the distributions into FILE;\n"
	"                   its ending .svg, .pdf or .png chooses the kind\n"
	"  --units us|si    units of text and picture (si unless given)\n"
	"\n"
	"Ctrl-C stops the sampling; what was sampled is shown, and written with --keep.\n"
	"\n"
	"Exit status: 0 everything is met at once with 95 % or more; 1 less, or data are missing\n"
	"and a requirement cannot be told; 2 bad input or usage; 3 trouble of the machine (reading,\n"
	"writing, memory), or stopped.\n",
	CLI_JSON | CLI_UNITS | CLI_PICTURE | CLI_FULL | CLI_DAY | CLI_LIFE | CLI_INDEPENDENT | CLI_WIDTH | CLI_SAMPLES | CLI_SEED | CLI_THREADS | CLI_KEEP | CLI_RESUME, 1, 1, run,
};
