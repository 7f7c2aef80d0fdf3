/* SPDX-License-Identifier: MIT */
/* facts.h: the computed numbers of a job's state as designed, each with its law and what it was computed from. */
#ifndef INW_FACTS_H
#define INW_FACTS_H

#include "check/study.h"

/* Append the job's facts to a list in the arena. `suffix` is "" for the first job, "@name" for others. NULL `*facts` and
 * zero count to begin with. 0, or -1 when memory is out. */
int inw_facts_collect(struct inw_fact **facts, size_t *count, struct inw_study *s, const char *suffix, struct inw_arena *arena)
	__attribute__((warn_unused_result));

#endif
