/* SPDX-License-Identifier: MIT */
/* desk.h: what requests share: the design file, texts lately read and judged, answers that are kept, and who computes.
 *
 * Invariants: D1 a design and its report are used by one thread at a time (a study is locked while it is open). D2 nothing
 * says where the file lies, only its name. D3 what is saved replaces only the text that its writer had read.
 * Ownership: the desk owns all it hands out; a study is given back with serve_study_close.
 */
#ifndef INW_SERVE_DESK_H
#define INW_SERVE_DESK_H

#include "serve/gate.h"
#include "serve/reply.h"

enum { SERVE_STUDIES = 8 };

/* A text with all that was found out about it. */
struct serve_study {
	pthread_mutex_t lock;
	unsigned char hash[SERVE_HASH];
	int users;
	unsigned long used;
	bool taken;
	bool read, judged;
	enum inw_status status;    /* of reading, then of judging */
	struct inw_diags diags;
	struct inw_design *d;
	struct inw_report *r;
};

struct serve_desk {
	char *path;                /* of the design file, every link followed; of one that is not there yet, its folder's */
	const char *name;          /* its last part, in path */
	struct inw_shelf *shelf;   /* the catalog, read once; every design of the desk stands on it */
	struct serve_kept kept;
	struct serve_gate quick, slow;
	pthread_mutex_t saving;
	pthread_mutex_t lock;      /* of the list of studies */
	unsigned long clock;
	struct serve_study study[SERVE_STUDIES];
};

struct serve_text {
	char *bytes;               /* from malloc */
	size_t length;
	unsigned char hash[SERVE_HASH];
};

/* Diagnostics name the path as given. The file need not be there yet; its folder must. */
bool serve_desk_init(struct serve_desk *desk, const char *path, int cores, struct inw_diags *diags);
void serve_desk_free(struct serve_desk *desk);

/* The file as it is now. A sentence that says what went wrong, or NULL. `*none`: because there is no such file. */
extern const char serve_desk_no_memory[]; /* is one of them */
const char *serve_desk_read(const struct serve_desk *desk, struct serve_text *out, bool *none);
void serve_text_free(struct serve_text *t);
void serve_text_hash(struct serve_text *t);

enum serve_saved { SERVE_SAVED, SERVE_CHANGED, SERVE_NOT_READ, SERVE_NOT_WRITTEN };
/* `new` in place of the text whose hash is `read`; NULL: where no file is yet. `now` is what stood in the file before, or stands
 * there when that is something else (free it); without bytes when there is no file. */
enum serve_saved serve_desk_save(struct serve_desk *desk, const unsigned char *read, const struct serve_text *new,
                                 struct serve_text *now);

/* For a check (see inw_check_by): all processors, or one where others are at work too, since to share a check costs some of it. */
unsigned serve_desk_hands(struct serve_desk *desk);
/* The text read; with `judge` its report too. Locked until closed. NULL when all places are in use. */
struct serve_study *serve_study_open(struct serve_desk *desk, const struct serve_text *t, bool judge);
void serve_study_close(struct serve_desk *desk, struct serve_study *s);

#endif
