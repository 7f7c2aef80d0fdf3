/* SPDX-License-Identifier: MIT */
#include "base/crew.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <unistd.h>

int inw_crew_hands(unsigned asked)
{
	long here = asked ? (long)asked : sysconf(_SC_NPROCESSORS_ONLN);

	return here < 1 ? 1 : here < INW_MOST_HANDS ? (int)here : INW_MOST_HANDS;
}

struct crew {
	inw_crew_work *work;
	void *context;
	size_t count;
	atomic_size_t next;
};
struct hand { struct crew *crew; int number; };

static void *do_pieces(void *context)
{
	const struct hand *h = context;
	struct crew *c = h->crew;

	for (size_t piece; (piece = atomic_fetch_add(&c->next, 1)) < c->count;)
		c->work(c->context, h->number, piece);
	return NULL;
}

void inw_crew_do(int hands, size_t count, inw_crew_work *work, void *context)
{
	struct crew crew = {.work = work, .context = context, .count = count};
	struct hand hand[INW_MOST_HANDS];
	pthread_t thread[INW_MOST_HANDS];
	bool runs[INW_MOST_HANDS] = {false};

	atomic_init(&crew.next, 0);
	for (int k = 0; k < INW_MOST_HANDS; k++)
		hand[k] = (struct hand){&crew, k};
	for (int k = 1; k < hands && k < INW_MOST_HANDS && (size_t)k < count; k++)
		runs[k] = pthread_create(&thread[k], NULL, do_pieces, &hand[k]) == 0;
	do_pieces(&hand[0]);
	for (int k = 1; k < INW_MOST_HANDS; k++)
		if (runs[k])
			pthread_join(thread[k], NULL);
}
