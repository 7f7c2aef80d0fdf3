/* SPDX-License-Identifier: MIT */
/* whole_file.h: a file that appears whole or not at all: a new file beside the wanted one, renamed when it is whole. */
#ifndef INW_WHOLE_FILE_H
#define INW_WHOLE_FILE_H

#include "base/base.h"

/* INW_IO with a diagnostic, or INW_NO_MEMORY, leave what stood at `path` as it was. */
enum inw_status inw_whole_file_write(const char *path, const char *bytes, size_t length, struct inw_diags *diags)
	__attribute__((warn_unused_result));

/* The same where nothing stands yet: what does is an error and stays. */
enum inw_status inw_whole_file_create(const char *path, const char *bytes, size_t length, struct inw_diags *diags)
	__attribute__((warn_unused_result));

/* Before long work: could a file be written there now? It leaves nothing. INW_IO with a diagnostic, or INW_NO_MEMORY. */
enum inw_status inw_whole_file_may(const char *path, struct inw_diags *diags) __attribute__((warn_unused_result));

#endif
