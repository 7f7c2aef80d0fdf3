/* SPDX-License-Identifier: MIT */
/* dust.h: the dust that the air of the rooms brings into the box, and what of it the media catch. It is what loads a filter
 * in practice: fume is light. */
#ifndef INW_DUST_H
#define INW_DUST_H

#include "solve/outcome.h"

/* kg/s caught by each stage of the train (0 for what is no medium), as flows and rooms are now. kgs: INW_MAX_STAGES. */
void inw_dust_caught(const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, double *kgs);

#endif
