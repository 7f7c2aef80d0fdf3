/* SPDX-License-Identifier: MIT */
/* random_design.h: random but valid design files, written as text and read like a user's, and random values for a design
 * that was read. All from one seed: the same seed gives the same designs on every machine.
 */
#ifndef INW_RANDOM_DESIGN_H
#define INW_RANDOM_DESIGN_H

#include <stdint.h>

#include "model/model.h"

struct random_source { uint64_t state; };

double random_unit(struct random_source *r);                                /* 0 <= x < 1 */
double random_between(struct random_source *r, double low, double high);
double random_log(struct random_source *r, double low, double high);        /* even in the logarithm */
int random_int(struct random_source *r, int low, int high);                 /* both ends included */
bool random_chance(struct random_source *r, double p);

/* Write a design file. */
void random_design_text(struct random_source *r, struct inw_text *t);
/* Write one and read it. NULL, with the diagnostics printed, when the reader refused it. */
struct inw_design *random_design(struct random_source *r);

/* Values for a design: the best estimates, and with `wild` gaps, temperatures, speed, flap, heat and leaks moved far
 * beyond their ranges (but within what the model may be given). NULL when memory is out; free it. */
double *random_values(struct random_source *r, const struct inw_design *d, bool wild);

#endif
