/* SPDX-License-Identifier: MIT */
/* choose_write.c: the chosen designs as files, all of them or none, never over what stands there. */
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/base.h"
#include "base/whole_file.h"

/* "cheapest and quietest" as a part of a file's name. */
static void add_slug(struct inw_text *out, const char *name)
{
	for (; *name; name++) {
		char c = *name >= 'A' && *name <= 'Z' ? (char)(*name - 'A' + 'a') : *name;
		bool plain = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
		inw_text_addn(out, plain ? &c : "-", 1);
	}
}

/* Within a folder the names begin with that of the design file. */
static void add_base(struct inw_text *out, const char *file)
{
	const char *slash = strrchr(file, '/'), *base = slash ? slash + 1 : file, *dot = strrchr(base, '.');

	inw_text_addn(out, base, dot && dot > base ? (size_t)(dot - base) : strlen(base));
	inw_text_add(out, "-");
}

/* Two designs of one name (two blends) are told apart by a number. */
static int same_before(const struct inw_choices *c, size_t i)
{
	int n = 0;

	for (size_t k = 0; k < i; k++)
		n += strcmp(c->chosen[k].name, c->chosen[i].name) == 0;
	return n;
}

static bool name_of(const struct inw_choices *c, const char *where, size_t i, struct inw_text *out)
{
	struct stat st;

	inw_text_add(out, where);
	if (stat(where, &st) == 0 && S_ISDIR(st.st_mode)) {
		if (where[strlen(where) - 1] != '/')
			inw_text_add(out, "/");
		add_base(out, c->file);
	}
	add_slug(out, c->chosen[i].name);
	int n = same_before(c, i);
	if (n)
		inw_text_printf(out, "-%d", n + 1);
	inw_text_add(out, ".yaml");
	return !out->failed;
}

enum inw_status inw_choices_write(const struct inw_choices *c, const char *where, void (*written)(void *context, const char *path), void *context,
                                  struct inw_diags *diags)
{
	struct inw_text name[8] = {{0}};
	enum inw_status s = INW_OK;
	size_t count = c->chosen_count < INW_COUNT(name) ? c->chosen_count : INW_COUNT(name), done = 0;

	for (size_t i = 0; i < count && s != INW_NO_MEMORY; i++) {
		struct stat st;
		if (!name_of(c, where, i, &name[i]))
			s = INW_NO_MEMORY;
		else if (lstat(name[i].s, &st) == 0 || errno != ENOENT) {
			inw_diag_add(diags, INW_ERROR, name[i].s, 0, 0, "stands there already, or cannot be reached; nothing was written");
			s = INW_IO;
		}
	}
	for (; s == INW_OK && done < count; done += s == INW_OK)
		s = inw_whole_file_create(name[done].s, c->chosen[done].text, c->chosen[done].length, diags);
	for (size_t i = 0; i < done; i++) {
		if (s != INW_OK)
			unlink(name[i].s);
		else if (written)
			written(context, name[i].s);
	}
	for (size_t i = 0; i < INW_COUNT(name); i++)
		inw_text_free(&name[i]);
	return s;
}
