/* SPDX-License-Identifier: MIT */
/* pair.h: two numbers at a time, which every machine's registers hold.
 *
 * Invariant: each half comes out as it would alone, to the bit.
 */
#ifndef INW_PAIR_H
#define INW_PAIR_H

#define INW_INLINE static inline __attribute__((always_inline))

typedef double inw_pair __attribute__((vector_size(2 * sizeof(double)), aligned(sizeof(double))));
typedef long long inw_pair_bits __attribute__((vector_size(2 * sizeof(long long))));

static inline double inw_pair_sum(inw_pair a) { return a[0] + a[1]; }

/* by `which`, all of whose bits are alike in each half */
static inline inw_pair inw_pair_chosen(inw_pair_bits which, inw_pair a, inw_pair b)
{
	return (inw_pair)(((inw_pair_bits)a & which) | ((inw_pair_bits)b & ~which));
}

static inline inw_pair inw_pair_larger(inw_pair a, inw_pair b) { return inw_pair_chosen((inw_pair_bits)(a > b), a, b); }

static inline inw_pair inw_pair_magnitude(inw_pair a)
{
	const inw_pair_bits all_but_sign = { 0x7fffffffffffffffLL, 0x7fffffffffffffffLL };
	return (inw_pair)((inw_pair_bits)a & all_but_sign);
}

#endif
