/* SPDX-License-Identifier: MIT */
/* rate.h: how often one address may ask: a bucket of two seconds' worth that fills steadily. Addresses not seen for longest
 * are forgotten. Ownership: the caller's struct. */
#ifndef INW_SERVE_RATE_H
#define INW_SERVE_RATE_H

#include <pthread.h>
#include <stdbool.h>

enum { SERVE_ADDRESSES = 64, SERVE_ADDRESS = 64 };

struct serve_rate {
	pthread_mutex_t lock;
	double per_second;
	struct { char address[SERVE_ADDRESS]; double left, seen_s; } item[SERVE_ADDRESSES];
};

bool serve_rate_init(struct serve_rate *r, double per_second);
void serve_rate_free(struct serve_rate *r);
/* Takes one; false when none is left. `now_s` of a clock that only goes forward. */
bool serve_rate_take(struct serve_rate *r, const char *address, double now_s);

#endif
