/* SPDX-License-Identifier: MIT */
#include "serve/rate.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double bucket_s = 2;

bool serve_rate_init(struct serve_rate *r, double per_second)
{
	*r = (struct serve_rate){.per_second = per_second};
	return pthread_mutex_init(&r->lock, NULL) == 0;
}

void serve_rate_free(struct serve_rate *r)
{
	pthread_mutex_destroy(&r->lock);
}

static size_t place_of(struct serve_rate *r, const char *address, double now_s)
{
	size_t oldest = 0;
	for (size_t i = 0; i < SERVE_ADDRESSES; i++) {
		if (strcmp(r->item[i].address, address) == 0)
			return i;
		if (r->item[i].seen_s < r->item[oldest].seen_s)
			oldest = i;
	}
	snprintf(r->item[oldest].address, SERVE_ADDRESS, "%s", address);
	r->item[oldest].left = bucket_s * r->per_second;
	r->item[oldest].seen_s = now_s;
	return oldest;
}

bool serve_rate_take(struct serve_rate *r, const char *address, double now_s)
{
	pthread_mutex_lock(&r->lock);
	size_t i = place_of(r, address, now_s);
	double left = r->item[i].left + (now_s - r->item[i].seen_s) * r->per_second;
	left = fmin(left, bucket_s * r->per_second);
	bool good = left >= 1;
	r->item[i].left = good ? left - 1 : left;
	r->item[i].seen_s = now_s;
	pthread_mutex_unlock(&r->lock);
	return good;
}
