/* SPDX-License-Identifier: MIT */
/* begin.c: a design file from nothing: one plain question at a time on a terminal, or answers from a file. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/base.h"
#include "base/whole_file.h"
#include "cli/follow.h"

enum { MOST_QUESTIONS = 64, LINE = 512, MOST_ANSWERS_TEXT = 1 << 20 };

/* ---- answers from a file ----------------------------------------------------------------------------------------- */

/* All of `f`; one byte more than the most is too much, and the reader says so. */
static bool read_all(FILE *f, struct inw_text *out)
{
	char piece[4096];
	size_t n;

	while (out->length <= MOST_ANSWERS_TEXT && (n = fread(piece, 1, sizeof piece, f)) > 0)
		inw_text_addn(out, piece, n);
	return !ferror(f);
}

static enum cli_status read_answers(const char *path, struct inw_answers **out)
{
	bool standard = strcmp(path, "-") == 0;
	FILE *f = standard ? stdin : fopen(path, "rb");
	struct inw_text text = {0};
	struct inw_diags diags = {0};

	if (!f || !read_all(f, &text)) {
		cli_say("could not read the answers in '%s': %s", path, strerror(errno));
		if (f && !standard)
			fclose(f);
		inw_text_free(&text);
		return CLI_TROUBLE;
	}
	if (!standard)
		fclose(f);
	enum inw_status s = text.failed ? INW_NO_MEMORY : inw_answers_read(text.s ? text.s : "", text.length, standard ? "answers" : path, out, &diags);
	cli_say_diags(&diags);
	if (s == INW_NO_MEMORY && !diags.out_of_memory)
		cli_say("out of memory");
	if (s == INW_BAD_INPUT)
		cli_say("answers are a JSON object (or YAML mapping) such as {\"material\": \"PLA\", \"width\": \"500 mm\"}; see doc/serve.md");
	inw_diags_free(&diags);
	inw_text_free(&text);
	return cli_status_of(s);
}

/* ---- answers from somebody at a terminal ------------------------------------------------------------------------- */

/* One set-up at a terminal. Answers stand in the order of the questions; "" is none. */
struct talk {
	const struct inw_questions *q;
	enum inw_units units;
	char line[MOST_QUESTIONS][LINE];
	struct inw_answer answer[MOST_QUESTIONS];
	const struct inw_offer *shown[128]; size_t shown_count; /* by their number on the screen */
};

static void show_question(struct talk *t, size_t i, bool heading)
{
	const struct inw_question *q = &t->q->questions[i];

	if (heading)
		printf("\n== %s ==\n", q->part);
	printf("\n%s\n  %s\n", q->question, q->help);
	t->shown_count = 0;
	for (size_t k = 0; k < q->offer_count && t->shown_count < INW_COUNT(t->shown); k++) {
		if (!inw_offer_applies(t->q, &q->offers[k], t->answer, t->q->count))
			continue;
		t->shown[t->shown_count++] = &q->offers[k];
		printf("  %3zu  %-32s %s\n", t->shown_count, q->offers[k].word, q->offers[k].title);
	}
	if (q->asks == INW_ASKS_CHOICES)
		printf("  Several are fine: 1, 3\n");
	if (q->asks == INW_ASKS_NUMBER)
		printf("  For instance %s\n", q->example[t->units]);
	if (q->asks == INW_ASKS_YES_NO)
		printf("  yes or no\n");
	printf("  Enter alone: %s\n> ", q->assumed);
	fflush(stdout);
}

/* Numbers on the screen become the words that they stand for. */
static void words_of(const struct talk *t, const char *typed, char out[LINE])
{
	size_t length = 0;

	*out = '\0';
	for (const char *at = typed; *at;) {
		at += strspn(at, ", \t");
		if (!*at)
			break;
		size_t n = strcspn(at, ",");
		char *end = NULL;
		unsigned long number = strtoul(at, &end, 10);
		bool counts = end > at && end + strspn(end, " \t") == at + n && number >= 1 && number <= t->shown_count;
		const char *word = counts ? t->shown[number - 1]->word : at;
		int put = snprintf(out + length, LINE - length, "%s%.*s", length ? ", " : "", (int)(counts ? strlen(word) : n), word);
		length += put > 0 && (size_t)put < LINE - length ? (size_t)put : 0;
		at += n;
	}
}

/* A line without its end. False at the end of what is typed. Ctrl-C ends the program at once, as nothing is lost by it: a
 * handler's note could come just before the wait for a line, and be read only after it. */
static bool read_line(char line[LINE])
{
	if (!fgets(line, LINE, stdin))
		return false;
	size_t n = strlen(line);
	if (n && line[n - 1] != '\n' && !feof(stdin)) {
		int c;
		while ((c = getchar()) != EOF && c != '\n') /* the rest of a line that is too long */
			;
		return c != EOF;
	}
	line[strcspn(line, "\r\n")] = '\0';
	while ((n = strlen(line)) > 0 && (line[n - 1] == ' ' || line[n - 1] == '\t'))
		line[n - 1] = '\0';
	memmove(line, line + strspn(line, " \t"), strlen(line + strspn(line, " \t")) + 1);
	return true;
}

/* Asked again until it can be taken. False when the talk is over. */
static bool ask(struct talk *t, size_t i, bool heading, bool *back)
{
	const struct inw_question *q = &t->q->questions[i];
	char typed[LINE];

	for (;;) {
		struct inw_diags diags = {0};
		show_question(t, i, heading);
		if (!read_line(typed))
			return false;
		*back = strcmp(typed, "back") == 0;
		if (*back)
			return true;
		if (q->offer_count)
			words_of(t, typed, t->line[i]);
		else
			snprintf(t->line[i], LINE, "%s", typed);
		enum inw_status s = inw_answer_check(t->q, &t->answer[i], "answer", &diags);
		for (size_t k = 0; k < diags.count; k++)
			printf("  ! %s\n", diags.items[k].message);
		inw_diags_free(&diags);
		if (s == INW_OK)
			return true;
		if (s != INW_BAD_INPUT)
			return false;
		*t->line[i] = '\0';
		heading = false;
	}
}

/* The question before i that applies; i when there is none. */
static size_t before(const struct talk *t, size_t i)
{
	for (size_t k = i; k > 0; k--)
		if (inw_question_applies(t->q, k - 1, t->answer, t->q->count))
			return k - 1;
	return i;
}

static bool ask_all(struct talk *t)
{
	const char *part = NULL;

	printf("Some questions about machine, box and room. Enter alone means: not known.\n"
	       "The word 'back' returns to the question before; Ctrl-C ends it all, and nothing is written.\n");
	for (size_t i = 0; i < t->q->count;) {
		bool back = false;
		if (!inw_question_applies(t->q, i, t->answer, t->q->count)) {
			*t->line[i++] = '\0';
			continue;
		}
		if (!ask(t, i, t->q->questions[i].part != part, &back))
			return false;
		part = t->q->questions[i].part;
		i = back ? before(t, i) : i + 1;
	}
	printf("\n");
	return true;
}

/* ---- the design -------------------------------------------------------------------------------------------------- */

/* The first lines of a report: the verdict, the worst, what to change first. */
static enum cli_status show_verdict(const char *path, enum inw_units units)
{
	struct inw_design *d = NULL;
	struct inw_report *r = NULL;
	struct inw_text t = {0};
	enum cli_status s = cli_open(path, &d, &r, &(struct inw_diags){0});
	char *text = s == CLI_MET ? inw_show_text(r, units, INW_BRIEF) : NULL;
	const char *end = text ? strstr(text, "\n\n") : NULL;

	if (end)
		inw_text_addn(&t, text, (size_t)(end - text) + 1);
	inw_text_printf(&t, "\nNext: look through %s. What is marked 'guess' wants measuring. Then\n"
	                    "  inward check %s    says what is met, and what to change\n"
	                    "  inward serve %s    shows it in a browser, where it can be moved\n", path, path, path);
	if (s == CLI_MET)
		s = t.failed || !text ? CLI_TROUBLE : cli_put(t.s);
	for (size_t i = 0; s == CLI_MET && i < r->state_count; i++)
		if (!r->states[i].converged)
			s = CLI_NOT_MET; /* why was said when it was made */
	inw_text_free(&t);
	inw_string_free(text);
	inw_report_free(r);
	inw_design_free(d);
	return s;
}

static enum cli_status write_design(const char *path, char *text)
{
	struct inw_diags diags = {0};
	enum inw_status s = inw_whole_file_create(path, text, strlen(text), &diags);

	return cli_follow_said(cli_status_of(s), &diags);
}

static enum cli_status make(const struct cli_arguments *a, const struct inw_answer *answers, size_t count, const char *name)
{
	struct cli_follow follow;
	struct inw_diags diags = {0};
	char *text = NULL;

	cli_follow_begin(&follow, "the search");
	const struct inw_begin_options o = {name, a->units, follow.options.progress, follow.options.stop, follow.options.context};
	enum inw_status s = inw_begin(answers, count, &o, &text, &diags);
	cli_follow_end(&follow);
	cli_say_diags(&diags);
	if (s == INW_NO_MEMORY && !diags.out_of_memory)
		cli_say("out of memory");
	if (s == INW_IO)
		cli_say("stopped; nothing was written");
	inw_diags_free(&diags);
	enum cli_status status = s == INW_OK ? write_design(a->word[0], text) : cli_status_of(s);
	inw_string_free(text);
	return status;
}

static enum cli_status from_talk(const struct cli_arguments *a, const struct inw_questions *q)
{
	static const char no_place[] = "answer";
	struct talk *t = calloc(1, sizeof *t);
	enum cli_status s = CLI_TROUBLE;

	if (!t || q->count > MOST_QUESTIONS) {
		free(t);
		return cli_say("out of memory"), CLI_TROUBLE;
	}
	t->q = q;
	t->units = a->units;
	for (size_t i = 0; i < q->count; i++)
		t->answer[i] = (struct inw_answer){q->questions[i].id, t->line[i], 0, 0};
	if (ask_all(t))
		s = make(a, t->answer, q->count, no_place);
	else
		cli_say("stopped; nothing was written");
	free(t);
	return s;
}

static enum cli_status talk(const struct cli_arguments *a)
{
	struct inw_questions *q = NULL;
	struct inw_diags diags = {0};
	enum inw_status status = inw_questions(&q, &diags);

	cli_say_diags(&diags);
	inw_diags_free(&diags);
	if (status != INW_OK)
		return cli_say("out of memory"), CLI_TROUBLE;
	enum cli_status s = from_talk(a, q);
	inw_questions_free(q);
	return s;
}

static enum cli_status run(const struct cli_arguments *a)
{
	struct stat is;
	struct inw_answers *answers = NULL;
	const char *path = a->answers ? a->answers : "-";
	enum cli_status s;

	if (lstat(a->word[0], &is) == 0)
		return cli_say("'%s' is there already; begin writes only a new file", a->word[0]), CLI_BAD;
	if (!a->answers && isatty(STDIN_FILENO) == 1 && isatty(STDOUT_FILENO) == 1) {
		s = talk(a);
	} else {
		s = read_answers(path, &answers);
		if (s == CLI_MET)
			s = make(a, answers->items, answers->count, strcmp(path, "-") ? path : "answers");
		inw_answers_free(answers);
	}
	return s == CLI_MET ? show_verdict(a->word[0], a->units) : s;
}

const struct cli_command cli_begin = {
	"begin", "inward begin FILE [--answers ANSWERS] [--units us|si]", "make a design file to start from, out of plain questions",
	"Asks what stands in the box, with which material, in what room, who is there and what\n"
	"you have already, one question at a time; Enter alone means: not known. Then it writes\n"
	"the new design FILE, with sizes to begin with and a remark behind each line that says\n"
	"whether you said it, it is a guess to be measured, or it was chosen, and shows how the\n"
	"design is judged. A file that is there already is never touched.\n"
	"\n"
	"  --answers ANSWERS   take the answers from a JSON object (or YAML mapping) of ids and\n"
	"                      texts in place of asking; '-' is standard input, which is also\n"
	"                      read when there is no terminal to ask on. doc/serve.md has the ids\n"
	"  --units us|si       units that the design is written and shown in (si)\n"
	"\n"
	"Exit status: 0 written, whatever the verdict; 1 written, but the answers allow no design\n"
	"that can be solved (why is said on standard error; change an answer, or FILE); 2 bad\n"
	"answers or usage, or FILE is there already; 3 trouble of the machine, or stopped by\n"
	"Ctrl-C.\n",
	CLI_ANSWERS | CLI_UNITS, 1, 1, run,
};
