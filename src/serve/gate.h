/* SPDX-License-Identifier: MIT */
/* gate.h: how many computations run at once, how many wait, and that no client has two. Ownership: the caller's struct;
 * names of clients are copied. */
#ifndef INW_SERVE_GATE_H
#define INW_SERVE_GATE_H

#include <pthread.h>
#include <stdbool.h>

enum { SERVE_CLIENT = 96, SERVE_MOST_RUNNING = 8 };

struct serve_gate {
	pthread_mutex_t lock;
	pthread_cond_t left;
	int most_running, most_waiting, running, waiting;
	bool one_each;                   /* a client's second waits for its first */
	char who[SERVE_MOST_RUNNING][SERVE_CLIENT]; /* who runs; "" for a free place */
};

struct serve_visit {
	const char *client;
	bool (*gone)(void *context);     /* nobody waits for it any more */
	void *context;
};

enum serve_entry { SERVE_ENTERED, SERVE_FULL, SERVE_GONE };

bool serve_gate_init(struct serve_gate *g, int most_running, int most_waiting, bool one_each);
void serve_gate_free(struct serve_gate *g);
/* SERVE_ENTERED with the place to leave in `*place`. */
enum serve_entry serve_gate_enter(struct serve_gate *g, const struct serve_visit *v, int *place);
void serve_gate_leave(struct serve_gate *g, int place);
/* How many are in. */
int serve_gate_running(struct serve_gate *g);

#endif
