/* SPDX-License-Identifier: MIT */
/* laws.h: the table of laws behind every computed number, for listing. inw_law_find (inward.h) looks one up by its key.
 * Ownership: static and constant. */
#ifndef INW_LAWS_H
#define INW_LAWS_H

#include "inward/inward.h"

size_t inw_judge__law_count(void);
const struct inw_law *inw_judge__law_at(size_t index);

#endif
