/* SPDX-License-Identifier: MIT */
/* test_beginning.c: designs to start from, as a whole: the same answers give the same bytes, those read without a diagnostic and
 * are judged, and what a box is for is met where nothing stands in its way. */
#include <stdlib.h>

#include "inward/inward.h"
#include "test/check.h"

struct watch { double share; int calls, stop_at; int backwards; };

static void progress(void *context, double share)
{
	struct watch *w = context;

	w->backwards += share < w->share || share > 1;
	w->share = share;
	w->calls++;
}

static bool stop(void *context)
{
	const struct watch *w = context;

	return w->stop_at > 0 && w->calls >= w->stop_at;
}

static char *begin(const char *answers, enum inw_units units, enum inw_status want, struct watch *w)
{
	struct inw_diags diags = {0};
	struct inw_answers *a = NULL;
	char *text = NULL;
	const struct inw_begin_options o = {.units = units, .progress = progress, .stop = stop, .context = w};

	CHECK(inw_answers_read(answers, strlen(answers), "answers", &a, &diags) == INW_OK);
	enum inw_status s = a ? inw_begin(a->items, a->count, &o, &text, &diags) : INW_NO_MEMORY;
	CHECK(s == want && (s == INW_OK) == (text != NULL));
	CHECK((s == INW_BAD_INPUT) == (diags.errors > 0));
	for (size_t i = 0; i < diags.count && s == INW_OK; i++)
		printf("# %s\n", diags.items[i].message);
	inw_answers_free(a);
	inw_diags_free(&diags);
	return text;
}

static const struct inw_verdict *verdict(const struct inw_report *r, const char *id)
{
	for (size_t i = 0; i < r->verdict_count; i++)
		if (strcmp(r->verdicts[i].id, id) == 0)
			return &r->verdicts[i];
	return NULL;
}

/* `least` of the verdicts that have a limit are met or in doubt; inward_pressure has the word `pull`. */
static void judge(const char *text, enum inw_word pull, double least)
{
	struct inw_diags diags = {0};
	struct inw_design *d = NULL;
	struct inw_report *r = NULL;
	size_t good = 0, of = 0;

	CHECK(inw_design_parse(text, strlen(text), "begun.yaml", NULL, &d, &diags) == INW_OK && diags.count == 0);
	CHECK(d && inw_check(d, &r, &diags) == INW_OK);
	for (size_t i = 0; r && i < r->verdict_count; i++) {
		of += r->verdicts[i].word != INW_STATED && r->verdicts[i].word != INW_CANNOT_TELL;
		good += r->verdicts[i].word == INW_MEETS || r->verdicts[i].word == INW_IN_DOUBT;
	}
	CHECK((double)good >= least * (double)of);
	CHECK(r && verdict(r, "inward_pressure") && verdict(r, "inward_pressure")->word == pull);
	printf("%zu of %zu met or in doubt\n", good, of);
	inw_report_free(r);
	inw_design_free(d);
	inw_diags_free(&diags);
}

static void test_typical(void)
{
	static const struct { const char *answers; enum inw_units units; enum inw_word pull; double least; } cases[] = {
		{"{}", INW_SI, INW_MEETS, 0.8},
		{"{\"material\": \"PLA\", \"people\": [\"works\"], \"appliance\": \"none\"}", INW_US, INW_MEETS, 0.8},
		{"{\"material\": \"PA\", \"people\": \"works, sleeps next door\", \"hours\": \"9 h\", \"start\": \"22:00\", \"floor\": \"9 m2\"}", INW_SI, INW_MEETS, 0.8},
		{"{\"material\": \"ABS\", \"outdoors\": \"nowhere\", \"width\": \"300 mm\", \"depth\": \"300 mm\", \"height\": \"350 mm\", \"floor\": \"40 m2\"}", INW_SI, INW_MEETS, 0.7},
		/* an opening for hands holds no pressure of half a pascal: 0.4 m/s through it takes less */
		{"{\"machine\": \"soldering\", \"people\": \"works, child\"}", INW_SI, INW_MISSES, 0.6},
	};

	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct watch w = {0};
		char *text = begin(cases[i].answers, cases[i].units, INW_OK, &w);
		CHECK(w.calls > 3 && !w.backwards);
		if (text) {
			judge(text, cases[i].pull, cases[i].least);
			CHECK((strstr(text, " m2") == NULL) == (cases[i].units == INW_US));
		}
		inw_string_free(text);
	}
}

static void test_same(void)
{
	struct watch w = {0}, again = {0};
	static const char answers[] = "{\"material\": \"PETG\", \"blower\": \"radial 97 mm\", \"panel\": \"plywood\"}";
	static const char otherwise[] = "title: \"\"\npanel: Plywood\nblower: 97x33\nmaterial: PET-G\n"; /* the same in other words */
	char *a = begin(answers, INW_SI, INW_OK, &w), *b = begin(otherwise, INW_SI, INW_OK, &again);

	CHECK_TEXT(a, b);
	inw_string_free(a);
	inw_string_free(b);
}

static void test_stop(void)
{
	for (int at = 1; at < 40; at += 6) {
		struct watch w = {.stop_at = at};
		inw_string_free(begin("{\"blower\": \"radial 97 mm\", \"panel\": \"acrylic\", \"machine\": \"solvent\"}", INW_SI, at < 12 ? INW_IO : INW_OK, &w));
		if (w.calls < at) /* it was done before */
			break;
	}
}

/* Found by drawing answers at random. Of the first some walls, blowers, speeds and flaps have no steady state, and were once
 * taken for better than others that miss what is required; of the second none has. */
static void test_unsolved(void)
{
	static const struct { const char *answers; bool solved; } cases[] = {
		{"{\"width\": \"251 mm\", \"depth\": \"232 mm\", \"height\": \"60 mm\", \"box\": \"built\", \"heater\": \"yes\", \"altitude\": \"4500 m\","
		 " \"panel\": \"PC twin-wall 8 mm\", \"material\": \"PLA\", \"seams\": \"open\", \"carbon_diameter\": \"55 mm\", \"carbon_depth\": \"948 mm\"}", true},
		{"{\"width\": \"50 mm\", \"depth\": \"110 mm\", \"height\": \"50 mm\", \"box\": \"built\", \"heater\": \"yes\", \"panel\": \"acrylic\", \"blower\": \"axial 120 mm\"}", false}};

	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct inw_diags diags = {0};
		struct inw_answers *a = NULL;
		struct inw_design *d = NULL;
		struct inw_report *r = NULL;
		char *text = NULL;
		size_t unsolved = 0;

		CHECK(inw_answers_read(cases[i].answers, strlen(cases[i].answers), "answers", &a, &diags) == INW_OK);
		CHECK(a && inw_begin(a->items, a->count, NULL, &text, &diags) == INW_OK && text);
		CHECK(diags.errors == 0 && diags.count == (cases[i].solved ? 0 : 1));
		CHECK(cases[i].solved || (diags.count && strstr(diags.items[0].message, "cannot be solved") && strstr(diags.items[0].message, "more heat goes in than gets out")));
		CHECK(text && inw_design_parse(text, strlen(text), "begun.yaml", NULL, &d, &diags) == INW_OK);
		CHECK(d && inw_check(d, &r, &diags) == INW_OK);
		for (size_t k = 0; r && k < r->state_count; k++)
			unsolved += !r->states[k].converged;
		CHECK((unsolved == 0) == cases[i].solved);
		inw_report_free(r);
		inw_design_free(d);
		inw_string_free(text);
		inw_answers_free(a);
		inw_diags_free(&diags);
	}
}

int main(void)
{
	struct watch w = {0};

	test_typical();
	test_same();
	test_stop();
	test_unsolved();
	CHECK(begin("{\"material\": \"PLS\"}", INW_SI, INW_BAD_INPUT, &w) == NULL);
	/* a plate that stands in no box of such a size is made smaller; carbon thinner than a granule is refused */
	inw_string_free(begin("{\"width\": \"60 mm\", \"box\": \"built\", \"blower\": \"radial 97 mm\", \"panel\": \"acrylic\"}", INW_SI, INW_OK, &w));
	CHECK(begin("{\"carbon_mass\": \"10 g\", \"carbon_diameter\": \"300 mm\"}", INW_SI, INW_BAD_INPUT, &w) == NULL);
	return check_done();
}
