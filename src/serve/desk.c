/* SPDX-License-Identifier: MIT */
#define _XOPEN_SOURCE 700 /* realpath */
#include "serve/desk.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/whole_file.h"
#include "design/read.h"
#include "serve/trouble.h"

/* One more than the reader takes, so that it sees and says that the file is too long. */
enum { MOST_TEXT = (1 << 20) + 1, MOST_WAITING_QUICK = 32, MOST_WAITING_SLOW = 4 };

/* ---- the desk ---------------------------------------------------------------------------------------------------- */

/* The path of a file that is to be made, in a folder that is there; NULL with errno. A link that leads nowhere is taken for a
 * fault: whoever made it had another place in mind. */
static char *path_to_be(const char *path)
{
	struct stat is;
	const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
	if (lstat(path, &is) == 0 || errno != ENOENT || !*name || strcmp(name, ".") == 0 || strcmp(name, "..") == 0) {
		errno = ENOENT;
		return NULL;
	}
	char *folder = slash ? strndup(path, (size_t)(slash - path) + 1) : strdup(".");
	char *real = folder ? realpath(folder, NULL) : NULL;
	size_t size = real ? strlen(real) + strlen(name) + 2 : 0;
	char *out = real && stat(real, &is) == 0 && S_ISDIR(is.st_mode) ? malloc(size) : NULL;
	if (out)
		snprintf(out, size, "%s/%s", strcmp(real, "/") ? real : "", name);
	free(real);
	free(folder);
	return out;
}

static bool find_file(struct serve_desk *desk, const char *path, struct inw_diags *diags)
{
	struct stat is = {0};
	bool there = true;
	desk->path = realpath(path, NULL);
	if (!desk->path && errno == ENOENT) {
		desk->path = path_to_be(path);
		there = false;
	}
	if (!desk->path || (there && stat(desk->path, &is))) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "cannot open: %s", strerror(errno));
		return false;
	}
	if (there && access(desk->path, R_OK)) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "cannot read: %s", strerror(errno));
		return false;
	}
	if (there && !S_ISREG(is.st_mode)) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "is no file that can be read and written anew");
		return false;
	}
	desk->name = strrchr(desk->path, '/') + 1; /* an absolute path has one */
	return true;
}

static bool init_locks(struct serve_desk *desk, int cores)
{
	bool good = serve_kept_init(&desk->kept) && serve_gate_init(&desk->quick, cores, MOST_WAITING_QUICK, false) &&
	            serve_gate_init(&desk->slow, cores, MOST_WAITING_SLOW, true) && !pthread_mutex_init(&desk->saving, NULL) &&
	            !pthread_mutex_init(&desk->lock, NULL);
	for (size_t i = 0; i < SERVE_STUDIES && good; i++)
		good = pthread_mutex_init(&desk->study[i].lock, NULL) == 0;
	return good;
}

bool serve_desk_init(struct serve_desk *desk, const char *path, int cores, struct inw_diags *diags)
{
	*desk = (struct serve_desk){0};
	serve_json_begin();
	if (!find_file(desk, path, diags)) {
		free(desk->path);
		return false;
	}
	if (init_locks(desk, cores) && inw_shelf_new(&desk->shelf, diags) == INW_OK)
		return true;
	diags->out_of_memory = true; /* the one reason that these calls have */
	free(desk->path);
	return false;
}

static void empty_study(struct serve_study *s)
{
	inw_report_free(s->r);
	inw_design_free(s->d);
	inw_diags_free(&s->diags);
	s->r = NULL;
	s->d = NULL;
	s->diags = (struct inw_diags){0};
	s->read = s->judged = s->taken = false;
}

void serve_desk_free(struct serve_desk *desk)
{
	for (size_t i = 0; i < SERVE_STUDIES; i++) {
		empty_study(&desk->study[i]);
		pthread_mutex_destroy(&desk->study[i].lock);
	}
	pthread_mutex_destroy(&desk->lock);
	pthread_mutex_destroy(&desk->saving);
	serve_gate_free(&desk->slow);
	serve_gate_free(&desk->quick);
	serve_kept_free(&desk->kept);
	inw_shelf_free(desk->shelf);
	free(desk->path);
}

/* ---- the file ---------------------------------------------------------------------------------------------------- */

void serve_text_hash(struct serve_text *t)
{
	serve_sha256(t->bytes, t->length, t->hash);
}

void serve_text_free(struct serve_text *t)
{
	free(t->bytes);
	*t = (struct serve_text){0};
}

static bool read_all(int fd, struct serve_text *out, size_t most)
{
	while (out->length < most) {
		ssize_t n = read(fd, out->bytes + out->length, most - out->length);
		if (n < 0 && errno == EINTR)
			continue;
		if (n < 0)
			return false;
		if (n == 0)
			break;
		out->length += (size_t)n;
	}
	return out->length < most || most == MOST_TEXT; /* else it grew meanwhile: somebody is writing it */
}

const char serve_desk_no_memory[] = "memory is out";

const char *serve_desk_read(const struct serve_desk *desk, struct serve_text *out, bool *none)
{
	*out = (struct serve_text){0};
	int fd = open(desk->path, O_RDONLY | O_CLOEXEC | O_NONBLOCK); /* it may have become a pipe, which must not be waited for */
	*none = fd < 0 && errno == ENOENT;
	if (fd < 0)
		return *none ? "there is no design file yet, or it is gone" : "the design file cannot be opened";
	struct stat is;
	bool regular = fstat(fd, &is) == 0 && S_ISREG(is.st_mode);
	size_t most = regular && is.st_size < MOST_TEXT ? (size_t)is.st_size + 1 : MOST_TEXT;
	out->bytes = regular ? malloc(most) : NULL;
	bool good = out->bytes && read_all(fd, out, most), no_memory = regular && !out->bytes;
	close(fd);
	if (!good) {
		serve_text_free(out);
		return no_memory ? serve_desk_no_memory : "the design file cannot be read";
	}
	serve_text_hash(out);
	return NULL;
}

static bool write_file(const struct serve_desk *desk, const struct serve_text *t, bool new)
{
	struct inw_diags unsaid = {0}; /* they name the path: D2 */
	enum inw_status (*write)(const char *, const char *, size_t, struct inw_diags *) = new ? inw_whole_file_create
	                                                                                       : inw_whole_file_write;
	bool good = write(desk->path, t->bytes, t->length, &unsaid) == INW_OK;
	inw_diags_free(&unsaid);
	return good;
}

/* Between reading and renaming lies less than a millisecond in which another program could still write the file. */
static enum serve_saved save_locked(const struct serve_desk *desk, const unsigned char *read,
                                    const struct serve_text *new, struct serve_text *now)
{
	bool none = false;
	if (!serve_desk_read(desk, now, &none)) {
		if (!read || memcmp(now->hash, read, SERVE_HASH))
			return SERVE_CHANGED;
	} else if (!none) {
		return SERVE_NOT_READ;
	} else if (read) {
		return SERVE_CHANGED;
	}
	if (write_file(desk, new, none))
		return SERVE_SAVED;
	return none && !serve_desk_read(desk, now, &none) ? SERVE_CHANGED : SERVE_NOT_WRITTEN; /* somebody was faster */
}

enum serve_saved serve_desk_save(struct serve_desk *desk, const unsigned char *read, const struct serve_text *new,
                                 struct serve_text *now)
{
	pthread_mutex_lock(&desk->saving);
	enum serve_saved saved = save_locked(desk, read, new, now);
	pthread_mutex_unlock(&desk->saving);
	return saved;
}

/* ---- studies ----------------------------------------------------------------------------------------------------- */

/* The study of a text: the one there is, else a free one, else the one not used for longest. NULL: all are open. */
static struct serve_study *choose(struct serve_desk *desk, const unsigned char hash[SERVE_HASH])
{
	struct serve_study *best = NULL;
	for (size_t i = 0; i < SERVE_STUDIES; i++) {
		struct serve_study *s = &desk->study[i];
		if (s->taken && memcmp(s->hash, hash, SERVE_HASH) == 0)
			return s;
		if (s->users == 0 && (!best || (best->taken && (!s->taken || s->used < best->used))))
			best = s;
	}
	if (!best)
		return NULL;
	empty_study(best);
	memcpy(best->hash, hash, SERVE_HASH);
	best->taken = true;
	return best;
}

unsigned serve_desk_hands(struct serve_desk *desk)
{
	return serve_gate_running(&desk->quick) + serve_gate_running(&desk->slow) > 1 ? 1 : 0;
}

static void work_on(struct serve_study *s, struct serve_desk *desk, const struct serve_text *t, bool judge)
{
	if (!s->read) {
		s->status = inw_shelf_parse(desk->shelf, t->bytes, t->length, desk->name, &s->d, &s->diags);
		s->read = s->status != INW_NO_MEMORY;
	}
	if (judge && s->d && !s->judged) {
		s->status = inw_check_by(s->d, serve_desk_hands(desk), &s->r, &s->diags);
		s->judged = s->status != INW_NO_MEMORY;
	}
}

struct serve_study *serve_study_open(struct serve_desk *desk, const struct serve_text *t, bool judge)
{
	pthread_mutex_lock(&desk->lock);
	struct serve_study *s = choose(desk, t->hash);
	if (s) {
		s->users++;
		s->used = ++desk->clock;
	}
	pthread_mutex_unlock(&desk->lock);
	if (!s)
		return NULL;
	pthread_mutex_lock(&s->lock);
	work_on(s, desk, t, judge);
	return s;
}

void serve_study_close(struct serve_desk *desk, struct serve_study *s)
{
	pthread_mutex_unlock(&s->lock);
	pthread_mutex_lock(&desk->lock);
	s->users--;
	pthread_mutex_unlock(&desk->lock);
}
