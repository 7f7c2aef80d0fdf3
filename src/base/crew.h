/* SPDX-License-Identifier: MIT */
/* crew.h: pieces of work that do not touch each other, done by several threads. Which thread does which is left to chance,
 * so a piece may depend on its number alone. Ownership: nothing is allocated here. */
#ifndef INW_CREW_H
#define INW_CREW_H

#include <stddef.h>

enum { INW_MOST_HANDS = 16 };

/* How many hands are meant by `asked`: 0 is as many as there are processors; at most INW_MOST_HANDS. */
int inw_crew_hands(unsigned asked);

/* Do pieces 0 .. count-1 by up to `hands` threads, the calling one (hand 0) among them; back when all are done. Where no
 * thread can be had the others do its work. */
typedef void inw_crew_work(void *context, int hand, size_t piece);
void inw_crew_do(int hands, size_t count, inw_crew_work *work, void *context);

#endif
