/* SPDX-License-Identifier: MIT */
#include "serve/gate.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

enum { LOOK_EVERY_NS = 50 * 1000 * 1000 }; /* for a client that went: often enough that its place is soon free */

bool serve_gate_init(struct serve_gate *g, int most_running, int most_waiting, bool one_each)
{
	*g = (struct serve_gate){.most_waiting = most_waiting, .one_each = one_each};
	g->most_running = most_running < SERVE_MOST_RUNNING ? most_running : SERVE_MOST_RUNNING;
	if (pthread_mutex_init(&g->lock, NULL))
		return false;
	if (pthread_cond_init(&g->left, NULL) == 0)
		return true;
	pthread_mutex_destroy(&g->lock);
	return false;
}

void serve_gate_free(struct serve_gate *g)
{
	pthread_cond_destroy(&g->left);
	pthread_mutex_destroy(&g->lock);
}

static bool may_run(const struct serve_gate *g, const char *client)
{
	if (g->running >= g->most_running)
		return false;
	for (int i = 0; g->one_each && i < g->most_running; i++)
		if (strcmp(g->who[i], client) == 0)
			return false;
	return true;
}

static int take_place(struct serve_gate *g, const char *client)
{
	int place = 0;
	while (g->who[place][0])
		place++;
	snprintf(g->who[place], SERVE_CLIENT, "%s", client);
	g->running++;
	return place;
}

static void wait_a_little(struct serve_gate *g)
{
	struct timespec until;
	clock_gettime(CLOCK_REALTIME, &until);
	until.tv_nsec += LOOK_EVERY_NS;
	if (until.tv_nsec >= 1000000000) {
		until.tv_nsec -= 1000000000;
		until.tv_sec++;
	}
	pthread_cond_timedwait(&g->left, &g->lock, &until);
}

enum serve_entry serve_gate_enter(struct serve_gate *g, const struct serve_visit *v, int *place)
{
	enum serve_entry entry = SERVE_ENTERED;
	pthread_mutex_lock(&g->lock);
	if (!may_run(g, v->client)) {
		if (g->waiting >= g->most_waiting) {
			pthread_mutex_unlock(&g->lock);
			return SERVE_FULL;
		}
		g->waiting++;
		while (entry == SERVE_ENTERED && !may_run(g, v->client)) {
			wait_a_little(g);
			if (v->gone(v->context))
				entry = SERVE_GONE;
		}
		g->waiting--;
	}
	if (entry == SERVE_ENTERED)
		*place = take_place(g, v->client);
	pthread_mutex_unlock(&g->lock);
	return entry;
}

void serve_gate_leave(struct serve_gate *g, int place)
{
	pthread_mutex_lock(&g->lock);
	g->who[place][0] = '\0';
	g->running--;
	pthread_cond_broadcast(&g->left);
	pthread_mutex_unlock(&g->lock);
}

int serve_gate_running(struct serve_gate *g)
{
	pthread_mutex_lock(&g->lock);
	int running = g->running;
	pthread_mutex_unlock(&g->lock);
	return running;
}
