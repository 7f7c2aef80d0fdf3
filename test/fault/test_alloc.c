/* SPDX-License-Identifier: MIT */
/* test_alloc.c: makes each allocation of read, check, show_text, show_json, show_why, the paper, map and compare fail in turn. Asked of each trial:
 * no crash, nothing leaked, no result handed out with a failure status; the status is INW_NO_MEMORY, or else the result is
 * the very one that a run without failures gives (an allocation may be one that can be done without).
 *
 * Arguments: design files. Environment INW_FAULT_TRIALS: how many trials at most for one stage of one file (0: all).
 * Where a stage makes more calls than that, the first half of the trials takes the first calls one by one, the rest are
 * spread evenly over the others; the output says how many there were. Every second trial fails all later calls too.
 */
#include <stdio.h>
#include <stdlib.h>

#include "allocator.h"
#include "inward/inward.h"
#include "test/check.h"

/* What a run needs and what it leaves. */
struct stage {
	const char *name, *file;
	const struct inw_design *design;
	const struct inw_report *report;
	const char *reference; /* text of an undisturbed run, to compare one that claims success with */
	size_t length;         /* of a reference that is no text */
	bool keeps;            /* a library keeps fonts, and leaks of its own when memory is out: only ours are asked for, by the sanitizer */
};

/* Each run_ function does one stage, and returns 1 fine (same result), 0 out of memory said plainly, -1 wrong. */

static int judge_text(const char *got, const char *want)
{
	return strcmp(got, want) == 0 ? 1 : -1;
}

static int same_design(const struct inw_design *a, const struct inw_design *b)
{
	size_t count = inw_design_quantity_count(a);
	if (count != inw_design_quantity_count(b) || strcmp(inw_design_title(a), inw_design_title(b)) != 0)
		return 0;
	for (size_t i = 0; i < count; i++) {
		const struct inw_quantity *p = inw_design_quantity(a, i), *q = inw_design_quantity(b, i);
		if (strcmp(p->path, q->path) != 0 || p->value < q->value || p->value > q->value)
			return 0;
	}
	return 1;
}

static int run_read(const struct stage *s)
{
	struct inw_diags diags = {0};
	struct inw_design *design = NULL;
	int outcome = -1;
	enum inw_status status = inw_design_read(s->file, NULL, &design, &diags);
	if (status == INW_OK && design)
		outcome = same_design(design, s->design) ? 1 : -1;
	else if ((status == INW_NO_MEMORY || status == INW_IO) && !design) /* INW_IO: the C library's own block for an open file */
		outcome = 0;
	inw_design_free(design);
	inw_diags_free(&diags);
	return outcome;
}

static int run_check(const struct stage *s)
{
	struct inw_diags diags = {0};
	struct inw_report *report = NULL;
	int outcome = -1;
	enum inw_status status = inw_check(s->design, &report, &diags);
	if (status == INW_OK && report) {
		fault_pause(true);
		char *json = inw_show_json(report);
		fault_pause(false);
		outcome = json ? judge_text(json, s->reference) : -1;
		inw_string_free(json);
	} else if (status == INW_NO_MEMORY && !report) {
		outcome = 0;
	}
	inw_report_free(report);
	inw_diags_free(&diags);
	return outcome;
}

static int run_text(const struct stage *s)
{
	char *text = inw_show_text(s->report, INW_SI, INW_FULL);
	int outcome = text ? judge_text(text, s->reference) : 0;
	inw_string_free(text);
	return outcome;
}

static int run_json(const struct stage *s)
{
	char *text = inw_show_json(s->report);
	int outcome = text ? judge_text(text, s->reference) : 0;
	inw_string_free(text);
	return outcome;
}

static int run_why(const struct stage *s)
{
	struct inw_diags diags = {0};
	char *text = inw_show_why(s->report, s->report->facts[0].name, INW_SI, &diags);
	int outcome = text ? judge_text(text, s->reference) : 0;
	inw_string_free(text);
	inw_diags_free(&diags);
	return outcome;
}

static int run_paper(const struct stage *s)
{
	size_t length = 0;
	const struct inw_paper_options o = {.units = INW_US};
	char *pdf = inw_show_paper_pdf(s->report, &o, &length);
	int outcome = !pdf ? 0 : length == s->length && memcmp(pdf, s->reference, length) == 0 ? 1 : -1;
	inw_string_free(pdf);
	return outcome;
}

/* A result made and shown; NULL with a status that says memory is out, or nothing made. */
static char *make_map(const struct stage *s, enum inw_status *status)
{
	struct inw_diags diags = {0};
	struct inw_map *m = NULL;
	const struct inw_map_options o = {.axis = {{.name = "site.gust", .from = 0, .to = 2, .points = 3}, {.name = "site.outdoor.temperature", .from = 270, .to = 290, .points = 3}}, .axes = 2};
	*status = inw_map(s->design, &o, &m, &diags);
	char *text = *status == INW_OK && m ? inw_show_map_json(m) : NULL;
	*status = *status == INW_OK && m && !text ? INW_NO_MEMORY : (*status == INW_OK) != (m != NULL) ? INW_IO : *status;
	inw_map_free(m);
	inw_diags_free(&diags);
	return text;
}

static char *make_comparison(const struct stage *s, enum inw_status *status)
{
	struct inw_diags diags = {0};
	struct inw_comparison *c = NULL;
	const struct inw_report *const both[] = {s->report, s->report};
	*status = inw_compare(both, 2, &c, &diags);
	char *text = *status == INW_OK && c ? inw_show_comparison_text(c, INW_SI, INW_FULL) : NULL;
	*status = *status == INW_OK && c && !text ? INW_NO_MEMORY : (*status == INW_OK) != (c != NULL) ? INW_IO : *status;
	inw_comparison_free(c);
	inw_diags_free(&diags);
	return text;
}

static int run_map(const struct stage *s)
{
	enum inw_status status;
	char *text = make_map(s, &status);
	int outcome = text ? judge_text(text, s->reference) : status == INW_NO_MEMORY ? 0 : -1;
	inw_string_free(text);
	return outcome;
}

static int run_comparison(const struct stage *s)
{
	enum inw_status status;
	char *text = make_comparison(s, &status);
	int outcome = text ? judge_text(text, s->reference) : status == INW_NO_MEMORY ? 0 : -1;
	inw_string_free(text);
	return outcome;
}

static long ceiling(void)
{
	const char *given = getenv("INW_FAULT_TRIALS");
	return given ? atol(given) : 160;
}

/* The call that trial `i` of `trials` makes fail, when there are `calls` of them. */
static long pick(long i, long trials, long calls)
{
	long half = trials / 2;
	if (trials >= calls || i < half)
		return i + 1;
	return half + 1 + (i - half) * (calls - half) / (trials - half);
}

static void one_trial(const struct stage *s, int (*run)(const struct stage *), long nth, bool stay)
{
	long before = fault_alive();
	if (stay)
		fault_arm_all(nth);
	else
		fault_arm(nth);
	int outcome = run(s);
	int hits = fault_hits();
	fault_arm(0);
	long left = fault_alive() - before;
	if (s->keeps)
		left = 0;
	if (outcome < 0 || left != 0)
		printf("%s: %s: call %ld %s: outcome %d, %d failed, %ld blocks left\n", s->file, s->name, nth,
		       stay ? "and all later fail" : "fails", outcome, hits, left);
	CHECK(outcome >= 0);
	CHECK(left == 0);
}

static void try_stage(const struct stage *s, int (*run)(const struct stage *))
{
	CHECK(run(s) == 1); /* once for what libraries allocate on first use */
	fault_arm(0);
	CHECK(run(s) == 1);
	long calls = fault_calls(), trials = ceiling();
	CHECK(calls > 0);
	if (trials <= 0 || trials > calls)
		trials = calls;
	for (long i = 0; i < trials; i++)
		one_trial(s, run, pick(i, trials, calls), i % 2 != 0);
	printf("%s: %s: %ld allocations, %ld made to fail\n", s->file, s->name, calls, trials);
}

static void try_more(struct stage *s)
{
	enum inw_status status;
	const struct inw_paper_options o = {.units = INW_US};
	char *paper = inw_show_paper_pdf(s->report, &o, &s->length), *map = make_map(s, &status), *comparison = make_comparison(s, &status);
	CHECK(paper && map && comparison);
	s->name = "paper";
	s->reference = paper;
	s->keeps = true;
	if (paper)
		try_stage(s, run_paper);
	s->keeps = false;
	s->name = "map";
	s->reference = map;
	if (map)
		try_stage(s, run_map);
	s->name = "compare";
	s->reference = comparison;
	if (comparison)
		try_stage(s, run_comparison);
	inw_string_free(paper);
	inw_string_free(map);
	inw_string_free(comparison);
}

static void try_file(const char *file)
{
	struct inw_diags diags = {0};
	struct inw_design *design = NULL;
	struct inw_report *report = NULL;
	char *text = NULL, *json = NULL, *why = NULL;
	CHECK(inw_design_read(file, NULL, &design, &diags) == INW_OK);
	if (!design)
		goto done;
	try_stage(&(struct stage){.name = "read", .file = file, .design = design}, run_read);
	CHECK(inw_check(design, &report, &diags) == INW_OK);
	if (!report)
		goto done;
	text = inw_show_text(report, INW_SI, INW_FULL);
	json = inw_show_json(report);
	CHECK(text && json && report->fact_count > 0);
	if (!text || !json || report->fact_count == 0)
		goto done;
	why = inw_show_why(report, report->facts[0].name, INW_SI, &diags);
	CHECK(why != NULL);
	try_stage(&(struct stage){.name = "check", .file = file, .design = design, .reference = json}, run_check);
	try_stage(&(struct stage){.name = "text", .file = file, .report = report, .reference = text}, run_text);
	try_stage(&(struct stage){.name = "json", .file = file, .report = report, .reference = json}, run_json);
	if (why)
		try_stage(&(struct stage){.name = "why", .file = file, .report = report, .reference = why}, run_why);
	try_more(&(struct stage){.file = file, .design = design, .report = report});
done:
	inw_string_free(why);
	inw_string_free(json);
	inw_string_free(text);
	inw_report_free(report);
	inw_design_free(design);
	inw_diags_free(&diags);
}

int main(int argc, char **argv)
{
	setvbuf(stdout, NULL, _IOLBF, BUFSIZ); /* its buffer is allocated now, not in the middle of a count */
	for (int i = 1; i < argc; i++)
		try_file(argv[i]);
	return check_done();
}
