/* SPDX-License-Identifier: MIT */
/* sparse.h: a square matrix that is mostly empty: all its entries, and of each row the set of those that may not be zero.
 *
 * Invariant: B1 what is not in a row's set is zero. Ownership: the caller's struct, with rows of n entries.
 */
#ifndef INW_SPARSE_H
#define INW_SPARSE_H

#include <stdint.h>
#include <string.h>

enum { INW_SPARSE_ROWS = 64 }; /* the bits of a set */

struct inw_sparse { int n; uint64_t in[INW_SPARSE_ROWS]; double a[INW_SPARSE_ROWS * INW_SPARSE_ROWS]; };

/* All zero. 1 <= n <= 64. */
static inline void inw_sparse_empty(struct inw_sparse *m, int n)
{
	m->n = n;
	memset(m->in, 0, sizeof *m->in * (size_t)n);
	memset(m->a, 0, sizeof *m->a * (size_t)n * (size_t)n);
}

static inline void inw_sparse_add(struct inw_sparse *m, int row, int column, double d)
{
	m->in[row] |= (uint64_t)1 << column;
	m->a[row * m->n + column] += d;
}

static inline void inw_sparse_empty_row(struct inw_sparse *m, int row)
{
	m->in[row] = 0;
	memset(&m->a[row * m->n], 0, sizeof *m->a * (size_t)m->n);
}

/* The lowest member of a set that is not empty, taken out. */
static inline int inw_sparse_take(uint64_t *set)
{
	int i = __builtin_ctzll(*set);

	*set &= *set - 1;
	return i;
}

#endif
