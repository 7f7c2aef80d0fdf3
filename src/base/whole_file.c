/* SPDX-License-Identifier: MIT */
#include "base/whole_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* A new file in the folder of `path`; its name goes to `name`. The descriptor, or -1 with errno. */
static int open_beside(const char *path, char *name, size_t size)
{
	for (int attempt = 0; attempt < 100; attempt++) {
		snprintf(name, size, "%s.%ld-%d.tmp", path, (long)getpid(), attempt);
		int fd = open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
		if (fd >= 0 || errno != EEXIST)
			return fd;
	}
	return -1;
}

/* All of it, or the errno of what went wrong. */
static int write_all(int fd, const char *bytes, size_t length)
{
	while (length) {
		ssize_t n = write(fd, bytes, length);
		if (n < 0 && errno == EINTR)
			continue;
		if (n <= 0)
			return n < 0 ? errno : EIO;
		bytes += n;
		length -= (size_t)n;
	}
	return 0;
}

enum inw_status inw_whole_file_write(const char *path, const char *bytes, size_t length, struct inw_diags *diags)
{
	size_t size = strlen(path) + 64; /* room for the ending of the temporary name */
	char *name = malloc(size);
	if (!name)
		return INW_NO_MEMORY;
	int fd = open_beside(path, name, size), error = fd < 0 ? errno : 0;
	if (fd < 0) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "could not be created: %s", strerror(error));
		free(name);
		return INW_IO;
	}
	error = write_all(fd, bytes, length);
	if (close(fd) && !error)
		error = errno;
	if (!error && rename(name, path))
		error = errno;
	if (error) {
		unlink(name);
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "could not be written: %s", strerror(error));
	}
	free(name);
	return error ? INW_IO : INW_OK;
}
