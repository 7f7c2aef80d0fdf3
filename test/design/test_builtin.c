/* SPDX-License-Identifier: MIT */
/* The catalog in the library is what the reader makes of the catalog's files: same nodes, same places, same text, in the
 * order in which a folder of them is read. Run in the project's top folder. */
#include "design/builtin.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "test/check.h"

static size_t nodes;

static int same_shape(const struct inw_node *a, const struct inw_node *b)
{
	return a->kind == b->kind && a->line == b->line && a->column == b->column && a->count == b->count &&
	       a->length == b->length && !a->text == !b->text && !a->item == !b->item && !a->key == !b->key;
}

/* NULL when all is the same, else the first node of `want` that is not. */
static const struct inw_node *first_other(const struct inw_node *got, const struct inw_node *want)
{
	const struct inw_node *other = NULL;

	nodes++;
	if (!same_shape(got, want) || (want->text && memcmp(got->text, want->text, want->length + 1) != 0))
		return want;
	for (size_t i = 0; i < want->count && !other; i++) {
		if (want->key)
			other = first_other(got->key[i], want->key[i]);
		if (!other)
			other = first_other(got->item[i], want->item[i]);
	}
	return other;
}

static void compare(const struct inw_builtin_file *file)
{
	static char bytes[1 << 20];
	struct inw_arena *arena = inw_arena_new((size_t)64 << 20);
	struct inw_diags diags = {0};
	const struct inw_node *want = NULL, *other;
	FILE *in = fopen(file->name, "rb");

	CHECK(in != NULL);
	if (in) {
		want = inw_node_parse(arena, bytes, fread(bytes, 1, sizeof bytes, in), file->name, &diags);
		fclose(in);
	}
	CHECK(want != NULL && diags.count == 0);
	other = want ? first_other(file->root, want) : NULL;
	if (other)
		printf("%s:%d:%d differs\n", file->name, other->line, other->column);
	CHECK(want && !other);
	inw_diags_free(&diags);
	inw_arena_free(arena);
}

static int is_yaml(const struct dirent *entry)
{
	size_t n = strlen(entry->d_name);

	return n > 5 && strcmp(entry->d_name + n - 5, ".yaml") == 0;
}

/* None left out, none twice. */
static void all_there(void)
{
	DIR *folder = opendir("catalog");
	struct dirent *entry;
	size_t files = 0;

	while (folder && (entry = readdir(folder)))
		files += (size_t)is_yaml(entry);
	if (folder)
		closedir(folder);
	CHECK(files > 0 && files == inw_builtin_count);
	for (size_t i = 1; i < inw_builtin_count; i++)
		CHECK(strcmp(inw_builtin_files[i - 1].name, inw_builtin_files[i].name) < 0);
}

int main(void)
{
	all_there();
	for (size_t i = 0; i < inw_builtin_count; i++)
		compare(&inw_builtin_files[i]);
	CHECK(nodes > 1000); /* or nothing was compared */
	return check_done();
}
