/* SPDX-License-Identifier: MIT */
/* test_alloc_serve.c: each allocation of an answer of the server fails in turn, by itself or with all later ones. Asked of each
 * trial: no crash, nothing leaked, and the very answer of an undisturbed run, or none, or one that says that memory is out.
 * Built like test_alloc.c, see allocator.h. */
#include <stdio.h>
#include <stdlib.h>

#include "allocator.h"
#include "serve/api.h"
#include "test/check.h"

enum { MOST_TRIALS = 30 };

struct question { const char *path, *body, *query[2]; bool draws; /* fonts are kept, and leak when memory is out: not ours */ };

static const char flap[] = "{\"set\": [{\"path\": \"cleaner.split.flap.position\", \"value\": 0.5}]}";
static const struct question questions[] = {
	{.path = "/api/design"},
	{.path = "/api/check"},
	{.path = "/api/verdicts", .query = {"units", "us"}},
	{.path = "/api/why", .query = {"name", "inward_pressure"}},
	{.path = "/api/why", .query = {"name", "inward_presure"}},
	{.path = "/api/quantities"},
	{.path = "/api/records"},
	{.path = "/api/records", .body = "{\"text\": \"inward: 1\"}"},
	{.path = "/api/check", .body = "{\"text\": \"inward: 1\"}"},
	{.path = "/api/check", .body = "{\"text\": \"a\", \"text\": \"b\"}"},
	{.path = "/api/check", .body = "[]"},
	{.path = "/api/format", .query = {"dimension", "length"}},
	{.path = "/api/nothing"},
	{.path = "/api/set", .body = flap},
	{.path = "/api/set", .body = "{\"set\": [{\"path\": \"cleaner.split.flap.position\", \"value\": 2}]}"},
	{.path = "/api/save", .body = "{\"text\": \"inward: 1\", \"read\": \"0000000000000000000000000000000000000000000000000000000000000000\"}"},
	{.path = "/api/compare", .body = "{\"designs\": [{\"name\": \"a\"}, {\"name\": \"b\"}]}"},
	{.path = "/api/map", .body = "{\"axes\": [{\"name\": \"site.gust\", \"from\": 0, \"to\": 2, \"points\": 3}]}"},
	{.path = "/api/odds", .body = "{\"samples\": 8}"},
	{.path = "/api/check.svg", .draws = true},
	{.path = "/api/report.pdf", .draws = true},
};

static const char *query(void *context, const char *name)
{
	const struct question *q = context;
	return q->query[0] && strcmp(q->query[0], name) == 0 ? q->query[1] : NULL;
}

static bool gone(void *context)
{
	(void)context;
	return false;
}

static struct serve_reply *ask(struct serve_desk *desk, const struct question *question)
{
	struct question own = *question;
	const struct serve_request q = {.path = own.path, .post = own.body != NULL, .body = own.body, .length = own.body ? strlen(own.body) : 0,
	                                .query = query, .query_context = &own, .visit = {.client = "one", .gone = gone}};
	return serve_answer(desk, &q);
}

/* A desk that has answered nothing yet; its own start is not made to fail. */
static bool fresh(struct serve_desk *desk)
{
	struct inw_diags diags = {0};
	bool good = serve_desk_init(desk, "examples/splint-night-mended.yaml", 1, &diags);
	inw_diags_free(&diags);
	return good;
}

static bool says_memory(const struct serve_reply *r)
{
	return r->status == 503 && strstr(r->body, "\"no_memory\"");
}

static bool same(const struct serve_reply *r, const struct serve_reply *want)
{
	return r->status == want->status && r->length == want->length && memcmp(r->body, want->body, r->length) == 0;
}

static void trial(const struct question *question, const struct serve_reply *want, long nth)
{
	struct serve_desk desk;
	long before = fault_alive();
	CHECK(fresh(&desk));
	(nth % 2 ? fault_arm : fault_arm_all)(nth);
	struct serve_reply *r = ask(&desk, question);
	fault_arm(0);
	bool good = !r || says_memory(r) || same(r, want);
	if (!good)
		printf("%s %s: call %ld%s: %d %.200s\n", question->path, question->body ? question->body : "", nth, nth % 2 ? "" : " and all later", r->status, r->body);
	CHECK(good);
	serve_reply_drop(r);
	serve_desk_free(&desk);
	long left = fault_alive() - before;
	if (left && !question->draws)
		printf("%s: call %ld%s: %ld blocks left\n", question->path, nth, nth % 2 ? "" : " and all later", left);
	CHECK(question->draws || left == 0);
}

static void torment(const struct question *question)
{
	struct serve_desk desk;
	CHECK(fresh(&desk));
	struct serve_reply *want = ask(&desk, question);
	serve_desk_free(&desk);
	CHECK(want != NULL);
	if (!want)
		return;
	CHECK(fresh(&desk)); /* once more, now that libraries have what they keep */
	fault_arm(0);
	struct serve_reply *again = ask(&desk, question);
	long calls = fault_calls(), step = calls / MOST_TRIALS + 1;
	CHECK(again && same(again, want));
	serve_reply_drop(again);
	serve_desk_free(&desk);
	for (long n = 1; n <= calls; n += n < MOST_TRIALS / 2 ? 1 : step)
		trial(question, want, n);
	printf("%s%s: %d, %ld allocations\n", question->path, question->body ? " POST" : "", want->status, calls);
	serve_reply_drop(want);
}

int main(void)
{
	setvbuf(stdout, NULL, _IOLBF, BUFSIZ); /* its buffer is allocated now, not in the middle of a count */
	printf("\n");
	for (size_t i = 0; i < INW_COUNT(questions); i++)
		torment(&questions[i]);
	return check_done();
}
