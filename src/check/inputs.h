/* SPDX-License-Identifier: MIT */
/* inputs.h: what is not known about a design, as distributions that are driven by independent uniform numbers.
 *
 * Invariants: V1 at u = 1/2 everywhere every input has its best estimate. V2 no input leaves what may be written for it.
 * V3 the drivers are independent of each other; what belongs together shares one.
 * Ownership: all in the arena that is given.
 */
#ifndef INW_INPUTS_H
#define INW_INPUTS_H

#include "design/design.h"

#define INW_Z_95 1.6448536269514722 /* of a standard normal: 95 % lie below */

/* One quantity: normal in its value or its logarithm, each side with its own width, so that `low` and `high` are the 5 % and
 * the 95 % points and the best estimate is the median; cut off where nothing beyond may be. */
struct inw_input {
	inw_q q;
	bool log;
	double middle, down, up;     /* on that scale: the median, the standard deviations below and above it */
	double z_least, z_most;      /* where it is cut off, in standard deviations; infinite: nowhere */
	int own, shared;             /* drivers; shared -1: none */
};

struct inw_inputs {
	struct inw_input *input; size_t count;
	size_t drivers;
	const char **driver;         /* its name: a path, or what several share */
	int *only;                   /* the input of which it is the own driver; -1: shared */
	double correlation;          /* of what belongs together; 0: none does */
};

/* The quantities marked in `sampled`, the heavy ones first. 0, or -1 when memory is out. */
int inw_inputs_list(struct inw_inputs *out, const struct inw_design *d, const unsigned char *sampled, const double *weight, bool independent,
                    struct inw_arena *arena) __attribute__((warn_unused_result));
/* Values at drivers u[drivers]: into z[count] how far each input goes in standard deviations, and into x, which holds values
 * for all quantities; what follows from them is worked out too. */
void inw_inputs_at(const struct inw_inputs *in, const struct inw_design *d, const double *u, double *z, double *x);
/* The value of one input at z. */
double inw_input_value(const struct inw_input *in, double z);

#endif
