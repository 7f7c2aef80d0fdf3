/* SPDX-License-Identifier: MIT */
/* sample.h: points that fill the unit cube evenly, and the normal distribution.
 *
 * Sobol' points (direction numbers of Joe & Kuo, see sobol_numbers.c), scrambled as Owen 1995 describes (memory): each
 * binary digit of a coordinate is flipped or not by a coin of its own for every value of the digits before it. That keeps
 * every net property of the points and makes each of them uniform, so that several scrambles tell the error of a mean.
 * The coins of the first ten digits are laid out in a table; from there on they come from a hash of the kind of Laine &
 * Karras 2011 and Burley 2020 (memory: multiplications carry only from earlier to later digits), begun anew for each value
 * of the first ten.
 *
 * Invariants: U1 a point depends on seed, dimension and index alone. U2 0 < u < 1. Memory is the caller's arena's.
 */
#ifndef INW_SAMPLE_H
#define INW_SAMPLE_H

#include <stdint.h>

#include "base/base.h"

enum { INW_SAMPLE_DIMENSIONS = 256, INW_SOBOL_DEGREE = 11, INW_SAMPLE_DIGITS = 32, INW_SAMPLE_TABLED = 10 };

struct inw_sobol_number { unsigned polynomial, first[INW_SOBOL_DEGREE]; };
extern const struct inw_sobol_number inw_sobol_number[INW_SAMPLE_DIMENSIONS];

/* One scramble of the points. Beyond INW_SAMPLE_DIMENSIONS a coordinate is a plain random number. */
struct inw_sampler {
	size_t dimensions;
	uint64_t *seed;      /* [dimensions] */
	uint32_t *direction; /* [dimensions][INW_SAMPLE_DIGITS], first digit on top */
	uint16_t *top;       /* [dimensions][1 << INW_SAMPLE_TABLED]: what the first digits become */
};

/* 0, or -1 when memory is out. */
int inw_sampler_make(struct inw_sampler *s, uint64_t seed, size_t dimensions, struct inw_arena *arena)
	__attribute__((warn_unused_result));
/* Point `index` (below 2^32) into u[dimensions]. */
void inw_sampler_point(const struct inw_sampler *s, uint64_t index, double *u);

/* A number that looks random for any two that are put in. */
uint64_t inw_hash(uint64_t a, uint64_t b);
/* The same as a number between 0 and 1, ends excluded. */
double inw_hash_unit(uint64_t a, uint64_t b);

/* z below which a standard normal variable lies with probability p, 0 < p < 1; and that probability. */
double inw_normal_quantile(double p);
double inw_normal_below(double z);

#endif
