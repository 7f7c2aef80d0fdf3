/* SPDX-License-Identifier: MIT */
/* files.h: a folder of its own for the pictures that a test draws, and what stands in it. The test makes it with mkdtemp. */
#ifndef INW_TEST_FILES_H
#define INW_TEST_FILES_H

#include <dirent.h>
#include <stdio.h>
#include <unistd.h>

static char folder[] = "/tmp/inward-show-XXXXXX";

static const char *in_folder(const char *name)
{
	static char path[128];
	snprintf(path, sizeof path, "%s/%s", folder, name);
	return path;
}

static int each_file(bool remove)
{
	int n = 0;
	char name[40];
	DIR *d = opendir(folder);
	for (struct dirent *e = d ? readdir(d) : NULL; e; e = readdir(d)) {
		if (e->d_name[0] == '.')
			continue;
		n++;
		snprintf(name, sizeof name, "%.39s", e->d_name);
		if (remove)
			unlink(in_folder(name));
	}
	if (d)
		closedir(d);
	return n;
}

static size_t read_all(const char *path, unsigned char *bytes, size_t size)
{
	FILE *f = fopen(path, "rb");
	size_t n = f ? fread(bytes, 1, size, f) : 0;
	if (f)
		fclose(f);
	return n;
}

#endif
