/* SPDX-License-Identifier: MIT */
/* test_shelf.c: a design that stands on a catalog read before is the design that reads its own. */
#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "design/read.h"
#include "test/text.h"

static bool same_text(const char *a, const char *b)
{
	return a == b || (a && b && strcmp(a, b) == 0);
}

static bool same_quantity(const struct inw_quantity *a, const struct inw_quantity *b)
{
	return same_text(a->path, b->path) && same_text(a->source, b->source) && same_text(a->file, b->file) && a->value == b->value && a->low == b->low &&
	       a->high == b->high && a->dim == b->dim && a->origin == b->origin && a->basis == b->basis && a->line == b->line && a->column == b->column;
}

static bool same_dependence(const struct inw_dependence *a, const struct inw_dependence *b)
{
	return a->to == b->to && a->f == b->f && a->count == b->count && memcmp(a->from, b->from, sizeof *a->from * a->count) == 0;
}

static void compare(const struct inw_design *a, const struct inw_design *b)
{
	bool quantities = a->quantities == b->quantities, dependences = a->dependences == b->dependences;

	for (size_t i = 0; quantities && i < a->quantities; i++)
		quantities = same_quantity(&a->quantity[i], &b->quantity[i]);
	for (size_t i = 0; dependences && i < a->dependences; i++)
		dependences = same_dependence(&a->dependence[i], &b->dependence[i]);
	CHECK(quantities && a->quantities > 500);
	CHECK(dependences);
	CHECK(a->catalog.materials == b->catalog.materials && a->catalog.substances == b->catalog.substances && a->catalog.tests == b->catalog.tests);
	CHECK(a->jobs == b->jobs && a->job[0].material == b->job[0].material);
}

/* What both readings say, word by word. */
static void same_diags(const struct inw_diags *a, const struct inw_diags *b)
{
	CHECK(a->count == b->count && a->errors == b->errors);
	for (size_t i = 0; i < a->count && i < b->count; i++)
		CHECK(same_text(a->items[i].message, b->items[i].message) && same_text(a->items[i].file, b->items[i].file) && a->items[i].line == b->items[i].line);
}

static void read_both(const struct inw_shelf *shelf, const char *text)
{
	struct inw_diags own = {0}, other = {0};
	struct inw_design *a = NULL, *b = NULL;
	enum inw_status s = inw_design_parse(text, strlen(text), "box.yaml", NULL, &a, &own);

	CHECK(inw_shelf_parse(shelf, text, strlen(text), "box.yaml", &b, &other) == s);
	CHECK(!a == !b);
	if (a && b)
		compare(a, b);
	same_diags(&own, &other);
	inw_design_free(a);
	inw_design_free(b);
	inw_diags_free(&own);
	inw_diags_free(&other);
}

/* The text with one word for another. The caller's. */
static char *with(const char *text, const char *from, const char *to)
{
	const char *at = strstr(text, from);
	size_t size = strlen(text) + strlen(to) + 1;
	char *new = at ? malloc(size) : NULL;

	CHECK(new != NULL);
	if (new)
		snprintf(new, size, "%.*s%s%s", (int)(at - text), text, to, at + strlen(from));
	return new;
}

int main(void)
{
	/* the mended one brings records of its own; the last two a record by another name, and one that there is not */
	static const char *const examples[] = {"examples/splint-night.yaml", "examples/splint-night-mended.yaml", "examples/craft-room.yaml", "examples/houseboat-bench.yaml"};
	struct inw_shelf *shelf = NULL;
	struct inw_diags diags = {0};

	CHECK(inw_shelf_new(&shelf, &diags) == INW_OK && diags.count == 0);
	for (int again = 0; shelf && again < 2; again++) /* and the shelf is as it was */
		for (size_t i = 0; i < INW_COUNT(examples); i++) {
			char *text = read_text(examples[i]);
			CHECK(text != NULL);
			if (text)
				read_both(shelf, text);
			free(text);
		}
	char *text = read_text(examples[0]);
	for (int i = 0; shelf && text && i < 2; i++) {
		char *other = with(text, "class: H13", i ? "class: H31" : "class: h13");
		if (other)
			read_both(shelf, other);
		free(other);
	}
	free(text);
	inw_shelf_free(shelf);
	inw_shelf_free(NULL);
	inw_diags_free(&diags);
	return check_done();
}
