/* SPDX-License-Identifier: MIT */
/* test_alloc_begin.c: allocations of the questions, of reading answers and of making a design of them fail, once alone and once
 * with all later ones. Asked of each trial: no crash, nothing leaked, and the whole result or INW_NO_MEMORY. Making a design solves
 * much, so its trials are spread over its many calls. Built like test_alloc.c, see allocator.h. */
#include <stdlib.h>

#include "allocator.h"
#include "inward/inward.h"
#include "test/check.h"

enum { MOST_TRIALS = 40 };

static char *reference_text, *reference_hot, *reference_json;

/* 1 the whole result, 0 memory is out and said so, -1 anything else. */
static int same_or_kept(char *got, char **reference, enum inw_status s)
{
	int result = s == INW_NO_MEMORY ? (got ? -1 : 0) : s != INW_OK ? -1 : !got ? 0 : *reference && strcmp(got, *reference) ? -1 : 1;

	if (!*reference && got) {
		*reference = got;
		return result;
	}
	free(got);
	return result;
}

static int ask(void)
{
	struct inw_diags diags = {0};
	struct inw_questions *q = NULL;
	enum inw_status s = inw_questions(&q, &diags);
	char *json = s == INW_OK ? inw_show_questions_json(q) : NULL;

	inw_questions_free(q);
	inw_diags_free(&diags);
	return same_or_kept(json, &reference_json, s);
}

static int begin_with(const char *answers, char **reference)
{
	struct inw_diags diags = {0};
	struct inw_answers *a = NULL;
	char *text = NULL;
	enum inw_status s = inw_answers_read(answers, strlen(answers), "answers", &a, &diags);

	if (s == INW_OK)
		s = inw_begin(a->items, a->count, NULL, &text, &diags);
	inw_answers_free(a);
	inw_diags_free(&diags);
	return same_or_kept(text, reference, s);
}

static int begin(void)
{
	static const char answers[] = "{\"machine\": \"solvent\", \"material\": [\"resin rinsing\"], \"panel\": \"acrylic\", \"blower\": \"radial 97 mm\", \"hands\": true}";

	return begin_with(answers, &reference_text);
}

/* Nothing that these allow has a steady state, which takes long to find and is said last. */
static int begin_too_hot(void)
{
	static const char answers[] = "{\"box\": \"built\", \"width\": \"50 mm\", \"depth\": \"110 mm\", \"height\": \"50 mm\", \"panel\": \"acrylic\", \"heater\": true, \"blower\": \"axial 120 mm\"}";

	return begin_with(answers, &reference_hot);
}

static void fail_at(int (*run)(void), long n)
{
	long before = fault_alive();

	(n % 2 ? fault_arm : fault_arm_all)(n);
	int result = run();
	fault_arm(0);
	CHECK(result >= 0);
	CHECK(fault_alive() == before);
}

static long calls_of(int (*run)(void))
{
	CHECK(run() == 1); /* keeps what an undisturbed run gives */
	fault_arm(0);
	CHECK(run() == 1);
	return fault_calls();
}

static void fail_late(const char *name, int (*run)(void))
{
	long calls = calls_of(run);

	for (long n = calls > 90 ? calls - 90 : 1; n <= calls; n += 15)
		fail_at(run, n);
	printf("%s: the last of %ld allocations\n", name, calls);
}

static void fail_each(const char *name, int (*run)(void))
{
	long calls = calls_of(run), step = calls / MOST_TRIALS + 1;
	for (long n = 1; n <= calls; n += n < MOST_TRIALS / 2 ? 1 : step)
		fail_at(run, n);
	printf("%s: %ld allocations\n", name, calls);
}

int main(void)
{
	fault_arm(0);
	fail_each("questions", ask);
	fail_each("design", begin);
	fail_late("design that cannot be solved", begin_too_hot);
	free(reference_text);
	free(reference_hot);
	free(reference_json);
	return check_done();
}
