/* SPDX-License-Identifier: MIT */
/* builtin.h: the catalog's files, read when the library was built (written by tools/embed.c from catalog/). */
#ifndef INW_BUILTIN_H
#define INW_BUILTIN_H

#include "design/node.h"

struct inw_builtin_file { const char *name; const struct inw_node *root; };
extern const struct inw_builtin_file inw_builtin_files[];
extern const size_t inw_builtin_count;

#endif
