/* SPDX-License-Identifier: MIT */
#include "serve/reply.h"

#include <stdlib.h>
#include <string.h>

/* Some fifty checks, or a few days; what a small board has to spare. */
static const size_t most_bytes = (size_t)16 << 20, most_each = (size_t)4 << 20;

struct serve_reply *serve_reply_no_memory(void)
{
	static char body[] = "{\"error\": {\"code\": \"no_memory\", \"message\": \"memory is out\"}, \"diagnostics\": []}\n";
	static struct serve_reply said = {.lasting = true, .status = 503, .type = "application/json", .later = true, .body = body, .length = sizeof body - 1};
	return &said;
}

struct serve_reply *serve_reply_new(int status, const char *type, char *body, size_t length)
{
	struct serve_reply *r = body ? calloc(1, sizeof *r) : NULL;
	if (!r) {
		free(body);
		return serve_reply_no_memory();
	}
	atomic_init(&r->holds, 1);
	r->status = status;
	r->type = type;
	r->body = body;
	r->length = length;
	return r;
}

struct serve_reply *serve_reply_of(int status, const char *type, struct inw_text *t)
{
	if (t->failed) {
		inw_text_free(t);
		return serve_reply_no_memory();
	}
	return serve_reply_new(status, type, t->s, t->length);
}

struct serve_reply *serve_reply_hold(struct serve_reply *r)
{
	if (!r->lasting)
		atomic_fetch_add(&r->holds, 1);
	return r;
}

void serve_reply_drop(struct serve_reply *r)
{
	if (!r || r->lasting || atomic_fetch_sub(&r->holds, 1) != 1)
		return;
	free(r->body);
	free(r);
}

bool serve_kept_init(struct serve_kept *k)
{
	*k = (struct serve_kept){0};
	return pthread_mutex_init(&k->lock, NULL) == 0;
}

static void forget(struct serve_kept *k, size_t i)
{
	k->bytes -= k->item[i].reply->length;
	serve_reply_drop(k->item[i].reply);
	k->item[i].reply = NULL;
}

void serve_kept_free(struct serve_kept *k)
{
	for (size_t i = 0; i < SERVE_KEPT; i++)
		if (k->item[i].reply)
			forget(k, i);
	pthread_mutex_destroy(&k->lock);
}

static bool is(const struct serve_key *a, const struct serve_key *b)
{
	return memcmp(a->text, b->text, SERVE_HASH) == 0 && strcmp(a->what, b->what) == 0;
}

struct serve_reply *serve_kept_get(struct serve_kept *k, const struct serve_key *key)
{
	struct serve_reply *r = NULL;
	pthread_mutex_lock(&k->lock);
	for (size_t i = 0; i < SERVE_KEPT && !r; i++)
		if (k->item[i].reply && is(&k->item[i].key, key)) {
			k->item[i].used = ++k->clock;
			r = serve_reply_hold(k->item[i].reply);
		}
	pthread_mutex_unlock(&k->lock);
	return r;
}

/* The same question's place, else a free one, else the one not used for longest. */
static size_t place_for(const struct serve_kept *k, const struct serve_key *key)
{
	size_t best = 0;
	for (size_t i = 0; i < SERVE_KEPT; i++) {
		if (k->item[i].reply && is(&k->item[i].key, key))
			return i;
		if (!k->item[best].reply)
			continue;
		if (!k->item[i].reply || k->item[i].used < k->item[best].used)
			best = i;
	}
	return best;
}

void serve_kept_put(struct serve_kept *k, const struct serve_key *key, struct serve_reply *r)
{
	if (r->length > most_each)
		return;
	pthread_mutex_lock(&k->lock);
	size_t i = place_for(k, key);
	if (k->item[i].reply)
		forget(k, i);
	k->item[i].key = *key;
	k->item[i].reply = serve_reply_hold(r);
	k->item[i].used = ++k->clock;
	k->bytes += r->length;
	while (k->bytes > most_bytes) {
		size_t oldest = i;
		for (size_t n = 0; n < SERVE_KEPT; n++)
			if (k->item[n].reply && k->item[n].used < k->item[oldest].used)
				oldest = n;
		if (oldest == i)
			break;
		forget(k, oldest);
	}
	pthread_mutex_unlock(&k->lock);
}
