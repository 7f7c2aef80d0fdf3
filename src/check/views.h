/* SPDX-License-Identifier: MIT */
/* views.h: a solved case as the plain picture of it that is shown (inward.h, struct inw_state_view). */
#ifndef INW_VIEWS_H
#define INW_VIEWS_H

#include "check/study.h"

/* Fill one view; arrays live in the arena. 0, or -1 when memory is out. */
int inw_view(struct inw_state_view *v, const struct inw_study *s, int state, struct inw_arena *arena) __attribute__((warn_unused_result));

#endif
