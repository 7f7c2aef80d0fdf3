/* SPDX-License-Identifier: MIT */
/* example_client.c: a whole client of the library: read a design, judge it, print each verdict's id and word.
 *
 * cc example_client.c $(pkg-config --cflags --libs inward) -o example_client
 * ./example_client DESIGN.yaml
 * Exit status as of the program: 0 all met, 1 not all met, 2 the design is wrong, 3 trouble of the machine.
 */
#include <inward/inward.h>

#include <stdio.h>

static const char *word(enum inw_word w)
{
	switch (w) {
	case INW_MEETS: return "meets";
	case INW_IN_DOUBT: return "in doubt";
	case INW_MISSES: return "misses";
	case INW_CANNOT_TELL: return "cannot tell";
	case INW_STATED: return "stated";
	}
	return "cannot tell"; /* a word of a later version: not a pass */
}

static void say_diags(const struct inw_diags *diags)
{
	for (size_t i = 0; i < diags->count; i++) {
		const struct inw_diag *d = &diags->items[i];
		fprintf(stderr, "%s:%d:%d: %s: %s\n", d->file, d->line, d->column,
			d->severity == INW_ERROR ? "error" : "warning", d->message);
	}
}

/* One verdict on a line, and below it what to change. -1 when memory is out. */
static int say_verdict(const struct inw_verdict *v)
{
	char value[64];

	printf("%s: %s (%s, job %s)\n", v->id, word(v->word), inw_format(value, sizeof value, v->value, v->dim, INW_SI), v->job);
	if (!v->change)
		return 0;
	char *change = inw_show_sentence(v->change, INW_SI); /* its numbers are SI until now */
	if (!change)
		return -1;
	printf("    %s\n", change);
	inw_string_free(change);
	return 0;
}

int main(int argc, char **argv)
{
	struct inw_design *design = NULL;
	struct inw_report *report = NULL;
	struct inw_diags diags = {0};
	int exit_status = 3;

	if (argc != 2) {
		fprintf(stderr, "usage: example_client DESIGN.yaml\n");
		return 2;
	}
	enum inw_status status = inw_design_read(argv[1], NULL, &design, &diags);
	if (status == INW_OK)
		status = inw_check(design, &report, &diags);
	say_diags(&diags);
	if (status == INW_BAD_INPUT)
		exit_status = 2;
	if (status != INW_OK)
		goto done;
	for (size_t i = 0; i < report->verdict_count; i++)
		if (say_verdict(&report->verdicts[i]))
			goto done;
	exit_status = report->overall == INW_MEETS ? 0 : 1;
done:
	inw_report_free(report); /* before its design, which it borrows */
	inw_design_free(design);
	inw_diags_free(&diags);
	return exit_status;
}
