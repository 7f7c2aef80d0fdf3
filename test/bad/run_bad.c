/* SPDX-License-Identifier: MIT */
/* run_bad [--write] [FOLDER]: each NAME.yaml has one defect; NAME.expect holds the exact diagnostics it must give.
 * --write writes the .expect files anew: read them before they are kept. */
#include "check.h"

#include <dirent.h>
#include <stdlib.h>

#include "base/base.h"

static int by_name(const void *a, const void *b)
{
	return strcmp(a, b);
}

static size_t list_names(const char *folder, char names[][128], size_t most)
{
	DIR *d = opendir(folder);
	struct dirent *entry;
	size_t count = 0;

	while (d && (entry = readdir(d)) && count < most) {
		size_t n = strlen(entry->d_name);

		if (n < 6 || n > 120 || strcmp(entry->d_name + n - 5, ".yaml") != 0)
			continue;
		memcpy(names[count], entry->d_name, n - 5);
		names[count++][n - 5] = '\0';
	}
	if (d)
		closedir(d);
	qsort(names, count, sizeof(names[0]), by_name);
	return count;
}

/* What the reader says of the file, a line for each diagnostic, and in the end what it did. */
static void observe(const char *path, struct inw_text *out)
{
	static const char *const endings[] = { "read", "refused", "no memory", "not converged", "cannot be opened" };
	struct inw_diags diags = { 0 };
	struct inw_design *design = NULL;
	enum inw_status status = inw_design_read(path, NULL, &design, &diags);

	for (size_t i = 0; i < diags.count; i++) {
		const struct inw_diag *d = &diags.items[i];

		if (d->file && strcmp(d->file, path) != 0)
			inw_text_printf(out, "%s:", d->file);
		inw_text_printf(out, "%d:%d: %s: %s\n", d->line, d->column,
				d->severity == INW_ERROR ? "error" : "warning", d->message);
	}
	inw_text_printf(out, "%s\n", endings[status]);
	inw_design_free(design);
	inw_diags_free(&diags);
}

static void compare(const char *path, const char *got)
{
	static char want[65536];
	FILE *f = fopen(path, "rb");
	size_t n = f ? fread(want, 1, sizeof(want) - 1, f) : 0;

	want[n] = '\0';
	if (f)
		fclose(f);
	if (strcmp(want, got) != 0)
		printf("# %s\n", path);
	CHECK_TEXT(got, want);
}

static void write_out(const char *path, const char *text)
{
	FILE *f = fopen(path, "wb");

	CHECK(f && fputs(text, f) >= 0);
	if (f)
		fclose(f);
}

int main(int argc, char **argv)
{
	static char names[512][128];
	int write = argc > 1 && strcmp(argv[1], "--write") == 0;
	const char *folder = argc > 1 + write ? argv[1 + write] : "test/bad";
	size_t count = list_names(folder, names, 512);

	for (size_t i = 0; i < count; i++) {
		char yaml[512], expect[512];
		struct inw_text got = { 0 };

		snprintf(yaml, sizeof(yaml), "%s/%s.yaml", folder, names[i]);
		snprintf(expect, sizeof(expect), "%s/%s.expect", folder, names[i]);
		observe(yaml, &got);
		if (write)
			write_out(expect, got.s);
		else
			compare(expect, got.s);
		inw_text_free(&got);
	}
	return check_done();
}
