/* SPDX-License-Identifier: MIT */
#include "allocator.h"

#include <errno.h>
#include <stdatomic.h>
#include <stdlib.h>

static atomic_long calls, fail_at, alive; /* a check has threads of its own */
static atomic_int hits;
static atomic_bool for_good, resting;

static void arm(long nth, bool stay)
{
	calls = 0;
	hits = 0;
	fail_at = nth;
	for_good = stay;
}

void fault_arm(long nth) { arm(nth, false); }
void fault_arm_all(long nth) { arm(nth, true); }
long fault_calls(void) { return calls; }
void fault_pause(bool paused) { resting = paused; }
int fault_hits(void) { return hits; }

static bool denied(void)
{
	if (resting)
		return false;
	long now = atomic_fetch_add(&calls, 1) + 1;
	if (!fail_at || (for_good ? now < fail_at : now != fail_at))
		return false;
	hits++;
	errno = ENOMEM;
	return true;
}

#ifdef INW_FAULT_EVERYWHERE
void *__libc_malloc(size_t);
void *__libc_calloc(size_t, size_t);
void *__libc_realloc(void *, size_t);
void __libc_free(void *);
#define REAL(name) __libc_##name
#define OURS(name) name
long fault_alive(void) { return alive; }
#else
void *__real_malloc(size_t);
void *__real_calloc(size_t, size_t);
void *__real_realloc(void *, size_t);
void *__wrap_malloc(size_t);
void *__wrap_calloc(size_t, size_t);
void *__wrap_realloc(void *, size_t);
#define REAL(name) __real_##name
#define OURS(name) __wrap_##name
long fault_alive(void) { return 0; } /* free is not ours */
#endif

/* memory from posix_memalign and the like is neither failed nor counted; nothing here uses it */
void *OURS(malloc)(size_t n)
{
	void *p = denied() ? NULL : REAL(malloc)(n);
	alive += p != NULL;
	return p;
}

void *OURS(calloc)(size_t n, size_t size)
{
	void *p = denied() ? NULL : REAL(calloc)(n, size);
	alive += p != NULL;
	return p;
}

void *OURS(realloc)(void *old, size_t n)
{
	void *p = denied() ? NULL : REAL(realloc)(old, n);
	alive += p && !old;
	return p;
}

#ifdef INW_FAULT_EVERYWHERE
void free(void *p)
{
	alive -= p != NULL;
	__libc_free(p);
}
#endif
