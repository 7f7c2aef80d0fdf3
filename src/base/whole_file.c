/* SPDX-License-Identifier: MIT */
#include "base/whole_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
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

/* The permissions of what stood there, and all of it on the disk before it takes that one's name. 0, or errno. */
static int finish(int fd, const char *path)
{
	struct stat old;
	if (stat(path, &old) == 0 && S_ISREG(old.st_mode) && fchmod(fd, old.st_mode & 07777))
		return errno;
	return fsync(fd) && errno != EINVAL && errno != EROFS ? errno : 0; /* EINVAL: a file system that has no such thing */
}

/* Give the whole file its name: over what stands there, or as a new one only. 0, or the errno. */
static int put_in_place(const char *name, const char *path, bool over)
{
	if (over)
		return rename(name, path) ? errno : 0;
	if (link(name, path)) /* unlike a renaming it never takes a name that is taken */
		return errno;
	unlink(name);
	return 0;
}

/* The descriptor of a new file beside `path` and its name, which is the caller's. */
static enum inw_status begin_beside(const char *path, char **name, int *fd, struct inw_diags *diags)
{
	size_t size = strlen(path) + 64; /* room for the ending of the temporary name */

	*name = malloc(size);
	if (!*name)
		return INW_NO_MEMORY;
	*fd = open_beside(path, *name, size);
	if (*fd >= 0)
		return INW_OK;
	inw_diag_add(diags, INW_ERROR, path, 0, 0, "could not be created: %s", strerror(errno));
	free(*name);
	return INW_IO;
}

static enum inw_status write_whole(const char *path, const char *bytes, size_t length, bool over, struct inw_diags *diags)
{
	char *name = NULL;
	int fd = -1, error = 0;
	enum inw_status s = begin_beside(path, &name, &fd, diags);
	if (s != INW_OK)
		return s;
	error = write_all(fd, bytes, length);
	if (!error)
		error = finish(fd, path);
	if (close(fd) && !error)
		error = errno;
	if (!error)
		error = put_in_place(name, path, over);
	if (error) {
		unlink(name);
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "could not be written: %s", strerror(error));
	}
	free(name);
	return error ? INW_IO : INW_OK;
}

enum inw_status inw_whole_file_write(const char *path, const char *bytes, size_t length, struct inw_diags *diags)
{
	return write_whole(path, bytes, length, true, diags);
}

enum inw_status inw_whole_file_create(const char *path, const char *bytes, size_t length, struct inw_diags *diags)
{
	return write_whole(path, bytes, length, false, diags);
}

enum inw_status inw_whole_file_may(const char *path, struct inw_diags *diags)
{
	struct stat old;
	char *name = NULL;
	int fd = -1;

	if (stat(path, &old) == 0 && S_ISDIR(old.st_mode)) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "could not be written: %s", strerror(EISDIR));
		return INW_IO;
	}
	enum inw_status s = begin_beside(path, &name, &fd, diags);
	if (s != INW_OK)
		return s;
	close(fd);
	unlink(name);
	free(name);
	return INW_OK;
}
