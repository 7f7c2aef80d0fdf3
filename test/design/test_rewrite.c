/* SPDX-License-Identifier: MIT */
/* test_rewrite.c: invariants W1 and W2 of src/design/rewrite.h. What is expected is written out by hand; that a text is read
 * as meant is asked of the design reader on the examples. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "design/design.h"
#include "design/rewrite.h"
#include "test/check.h"

static const char sample[] = "# é comes first\n"
                             "a: 1 mm   # width\r\n"
                             "b: {c: 2 mm, d: \"22:30\", e: '5 %'}\n"
                             "f: [&x 1 m, *x,\n  'ü', 3 m (2 .. 4 m)]\n"
                             "g: |\n  text\n";

static bool becomes(const struct inw_edit *edit, size_t edits, const char *was, const char *is)
{
	struct inw_rewritable t = {"sample", sample, sizeof sample - 1};
	struct inw_text out = {0};
	struct inw_diags diags = {0};
	char want[512];
	const char *at = strstr(sample, was);
	bool good = inw_rewrite(&t, edit, edits, &out, &diags) == INW_OK && at;
	if (good) {
		snprintf(want, sizeof want, "%.*s%s%s", (int)(at - sample), sample, is, at + strlen(was));
		good = strcmp(want, out.s) == 0;
	}
	inw_text_free(&out);
	inw_diags_free(&diags);
	return good;
}

static bool refused(const struct inw_edit *edit, size_t edits)
{
	struct inw_rewritable t = {"sample", sample, sizeof sample - 1};
	struct inw_text out = {0};
	struct inw_diags diags = {0};
	bool good = inw_rewrite(&t, edit, edits, &out, &diags) == INW_BAD_INPUT && diags.errors && !out.length;
	inw_text_free(&out);
	inw_diags_free(&diags);
	return good;
}

static void places(void)
{
	CHECK(becomes(&(struct inw_edit){2, 4, "10 mm (9 .. 11 mm)"}, 1, "1 mm", "10 mm (9 .. 11 mm)"));
	CHECK(becomes(&(struct inw_edit){3, 8, "2.5 mm"}, 1, "2 mm", "2.5 mm"));
	CHECK(becomes(&(struct inw_edit){3, 17, "06:00"}, 1, "\"22:30\"", "\"06:00\""));
	CHECK(becomes(&(struct inw_edit){3, 29, "7 %"}, 1, "'5 %'", "'7 %'"));
	CHECK(becomes(&(struct inw_edit){4, 5, "2 m"}, 1, "&x 1 m", "&x 2 m"));         /* the place of the anchor */
	CHECK(becomes(&(struct inw_edit){5, 8, "9 m"}, 1, "3 m (2 .. 4 m)", "9 m"));    /* behind a sign of two bytes */
	CHECK(becomes((struct inw_edit[]){{3, 17, "1:00"}, {3, 8, "99 mm"}}, 2, "2 mm, d: \"22:30\"", "99 mm, d: \"1:00\""));
	/* would break the list if it stood there plain */
	CHECK(becomes(&(struct inw_edit){3, 8, "a, b: \"c\""}, 1, "2 mm", "\"a, b: \\\"c\\\"\""));
	CHECK(becomes(&(struct inw_edit){2, 4, "x # y"}, 1, "1 mm", "\"x # y\""));
}

static void refusals(void)
{
	CHECK(refused(&(struct inw_edit){2, 5, "1 mm"}, 1));  /* inside a scalar */
	CHECK(refused(&(struct inw_edit){0, 0, "1 mm"}, 1));  /* no place */
	CHECK(refused(&(struct inw_edit){99, 1, "1 mm"}, 1));
	CHECK(refused(&(struct inw_edit){6, 4, "1 mm"}, 1));  /* a block */
	CHECK(refused(&(struct inw_edit){2, 4, "1\nz: 2"}, 1));
	CHECK(refused((struct inw_edit[]){{2, 4, "1 m"}, {2, 4, "2 m"}}, 2));
	CHECK(refused(NULL, 0));
}

static void number(const char *old, enum inw_dim dim, double value, const char *want)
{
	char out[64];
	const char *is = inw_rewrite_number(out, sizeof out, old, dim, value);
	bool same = want ? is && strcmp(is, want) == 0 : !is;
	if (!same)
		printf("%s: want %s, got %s\n", old, want ? want : "(none)", is ? is : "(none)");
	CHECK(same);
}

static void numbers(void)
{
	char out[64];
	number("0.5 mm (0.3 .. 0.8 mm)", INW_DIM_LENGTH, 0.00025, "0.25 mm");
	number("1 in", INW_DIM_LENGTH, 0.0254 * 2, "2 in"); /* the inch is 25.4 mm by definition */
	number("40 %", INW_DIM_FRACTION, 1.0 / 3, "33.3333 %");
	number("20 degC", INW_DIM_TEMPERATURE, 273.15 + 25, "25 degC");
	number("68 degF", INW_DIM_TEMPERATURE, 273.15 + 100, "212 degF"); /* water boils */
	number("20 degC", INW_DIM_TEMPERATURE, 273.15, "0 degC");
	number("22:30", INW_DIM_CLOCK, 6 * 3600 + 5 * 60, "06:05");
	number("22:30", INW_DIM_CLOCK, 6 * 3600 + 5 * 60 + 30, NULL);
	number("1.5 (1 .. 3)", INW_DIM_NONE, 2, "2");
	number("0.3 1/h", INW_DIM_RATE, 1.0 / 3600, "1 1/h");
	number("1e3 mm", INW_DIM_LENGTH, 2, "2000 mm");
	number("1 mm", INW_DIM_LENGTH, NAN, NULL);
	CHECK(inw_rewrite_range(out, sizeof out, "1 mm", INW_DIM_LENGTH, (double[]){0.002, 0.001, 0.003}) &&
	      strcmp(out, "2 mm (1 mm .. 3 mm)") == 0);
}

/* Every number that a file writes, written anew as it stands and 1 % greater: read again, it is that number and no other
 * has moved but what follows from it. A number refused for its bounds is no fault here. */
static size_t rewritten(const struct inw_design *d, const struct inw_quantity *q, double value)
{
	struct inw_rewritable t = {d->file, d->bytes, d->length};
	struct inw_text out = {0};
	struct inw_diags diags = {0};
	struct inw_design *e = NULL;
	char old[256], text[128];
	size_t good = 0;
	CHECK(inw_rewrite_says(&t, q->line, q->column, old, sizeof old) == INW_OK);
	if (!inw_rewrite_number(text, sizeof text, old, q->dim, value))
		return q->dim == INW_DIM_CLOCK;
	CHECK(inw_rewrite(&t, &(struct inw_edit){q->line, q->column, text}, 1, &out, &diags) == INW_OK);
	if (out.s && inw_design_parse(out.s, out.length, "again", NULL, &e, &diags) == INW_OK) {
		for (size_t i = 0; i < e->quantities; i++)
			if (strcmp(e->quantity[i].path, q->path) == 0)
				good = fabs(e->quantity[i].value - value) <= 2e-6 * fabs(value); /* six digits */
		CHECK(good);
		CHECK(e->quantities == d->quantities);
	}
	inw_design_free(e);
	inw_diags_free(&diags);
	inw_text_free(&out);
	return good;
}

static void example(const char *path)
{
	struct inw_design *d = NULL;
	struct inw_diags diags = {0};
	size_t as_is = 0, more = 0;
	CHECK(inw_design_read(path, NULL, &d, &diags) == INW_OK);
	for (size_t i = 0; d && i < d->quantities; i++) {
		const struct inw_quantity *q = &d->quantity[i];
		if (q->origin != INW_FROM_FILE || !q->line || !q->file || strcmp(q->file, d->file))
			continue;
		as_is += rewritten(d, q, q->value);
		more += rewritten(d, q, q->value * 1.01);
	}
	CHECK(as_is > 40 && more > 20);
	inw_design_free(d);
	inw_diags_free(&diags);
}

int main(void)
{
	places();
	refusals();
	numbers();
	example("examples/splint-night.yaml");
	example("examples/houseboat-bench.yaml");
	return check_done();
}
