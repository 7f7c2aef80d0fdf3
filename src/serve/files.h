/* SPDX-License-Identifier: MIT */
/* files.h: the page's files, put into the program by tools/embed_page.py. */
#ifndef INW_SERVE_FILES_H
#define INW_SERVE_FILES_H

#include <stddef.h>

struct serve_file {
	const char *path;              /* "/", "/plain.css" */
	const char *type;
	const unsigned char *bytes;
	size_t length;
};

extern const struct serve_file serve_files[];
extern const size_t serve_file_count;

#endif
