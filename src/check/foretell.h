/* SPDX-License-Identifier: MIT */
/* foretell.h: where the solution of a state lies for values drawn at random, before it is solved: what each input does to it by
 * itself, added up, and what that missed by in the states that were solved before it for the same values.
 *
 * Invariant: F1 a foretelling only says where solving begins, and what is foretold of a sample depends on that sample alone.
 */
#ifndef INW_FORETELL_H
#define INW_FORETELL_H

#include "check/inputs.h"
#include "check/study.h"

/* Where one state's solution goes with one input: its first and second powers. */
struct inw_lead { int input; double by[INW_MAX_UNKNOWNS], by2[INW_MAX_UNKNOWNS]; };

struct inw_foretelling {
	const struct inw_case *nominal;          /* [INW_STATES]: at best estimates, those that were solved */
	struct inw_lead *lead[INW_STATES]; size_t leads[INW_STATES];
	bool follows[INW_STATES][INW_STATES];    /* by which earlier states' misses this one is put right */
	double by[INW_STATES][INW_STATES][INW_MAX_UNKNOWNS]; /* and by how much of them */
	double first_step[INW_STATES];           /* of solving: so long that hardly anything is left after it; 0: not known */
};

/* Of one sample: what was foretold by the inputs alone, and what the solution lay beside it. Begin with all zero. */
struct inw_misses { double foretold[INW_MAX_UNKNOWNS], by[INW_STATES][INW_MAX_UNKNOWNS]; };

/* Nothing of inputs is known yet; each state that is solved misses by as much as the last one. */
void inw_foretell_begin(struct inw_foretelling *f, const struct inw_case *nominal, const bool *solved);
/* What the inputs do to a state, those of them that move air (see inw_study.moves_air). `s` and `c` are used to solve. 0, or -1 when
 * memory is out. */
int inw_foretell_lead(struct inw_foretelling *f, const unsigned char *moves_air, struct inw_study *s, struct inw_case *c, const struct inw_inputs *in, int state, struct inw_arena *arena)
	__attribute__((warn_unused_result));
/* How misses follow from those of earlier states, from solved samples: z of each at z[i * stride], the solution of state k at
 * y[i * stride + k * INW_MAX_UNKNOWNS], NAN first where it has none of that kind. To be asked after the leads of all states that are
 * `solved`. 0, or -1 when memory is out. */
int inw_foretell_learn(struct inw_foretelling *f, const bool *solved, const double *z, const double *y, size_t stride, int samples)
	__attribute__((warn_unused_result));
/* How long a first step may be, from the bends of solved samples (inw_solution.bend): that of sample i in state k at bend[i * stride + k]. */
void inw_foretell_bends(struct inw_foretelling *f, const double *bend, size_t stride, int samples);
/* y: where this state's solution should lie. Only where its nominal one is solved. */
void inw_foretell(const struct inw_foretelling *f, int state, const double *z, struct inw_misses *misses, double *y);
/* What came out; false (and no miss) when it is not of the kind of the nominal one. */
bool inw_foretell_note(const struct inw_foretelling *f, int state, const struct inw_case *solved, struct inw_misses *misses);

#endif
