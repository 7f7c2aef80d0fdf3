/* SPDX-License-Identifier: MIT */
/* reply.h: answers, shared by whoever sends them, and the ones that are kept: the same text asked the same thing again gets
 * the same bytes without a computation.
 * Ownership: a reply belongs to all who hold it; serve_reply_drop gives one hold back, and the last one frees it. */
#ifndef INW_SERVE_REPLY_H
#define INW_SERVE_REPLY_H

#include <pthread.h>
#include <stdatomic.h>

#include "base/base.h"
#include "serve/sha256.h"

struct serve_reply {
	atomic_int holds;
	bool lasting;              /* belongs to nobody and is never freed */
	int status;                /* of HTTP */
	const char *type;          /* a constant */
	const char *allow;         /* a constant: for 405; NULL */
	bool later;                /* says when to come again */
	char *body;                /* from malloc */
	size_t length;
};

/* That memory is out; takes none itself. */
struct serve_reply *serve_reply_no_memory(void) INW_MUST_CHECK;
/* Takes the text over (and its length); when memory is out, or the text is NULL or failed, the answer is that. Never NULL. */
struct serve_reply *serve_reply_new(int status, const char *type, char *body, size_t length) INW_MUST_CHECK;
struct serve_reply *serve_reply_of(int status, const char *type, struct inw_text *t) INW_MUST_CHECK;
struct serve_reply *serve_reply_hold(struct serve_reply *r);
void serve_reply_drop(struct serve_reply *r); /* takes NULL */

/* A question: which text, and what is asked of it. */
struct serve_key {
	unsigned char text[SERVE_HASH];
	char what[96];
};

enum { SERVE_KEPT = 64 };
struct serve_kept {
	pthread_mutex_t lock;
	size_t bytes;
	unsigned long clock;
	struct { struct serve_key key; struct serve_reply *reply; unsigned long used; } item[SERVE_KEPT];
};

bool serve_kept_init(struct serve_kept *k);
void serve_kept_free(struct serve_kept *k);
/* A hold on the answer, or NULL. */
struct serve_reply *serve_kept_get(struct serve_kept *k, const struct serve_key *key) INW_MUST_CHECK;
/* Keeps it, at the cost of those not used for longest; one that is too large is not kept. */
void serve_kept_put(struct serve_kept *k, const struct serve_key *key, struct serve_reply *r);

#endif
