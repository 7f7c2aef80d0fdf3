/* SPDX-License-Identifier: MIT */
/* series.h: a series looked up by the names of its columns; what is missing is INW_NO_COLUMN and NaN.
 * Ownership: nothing is kept. */
#ifndef INW_SERIES_H
#define INW_SERIES_H

#include "base/base.h"

enum { INW_NO_COLUMN = -1 };

int inw_series__column(const struct inw_series *s, const char *name); /* INW_NO_COLUMN for none */
/* NaN where there is no such column. */
double inw_series__value(const struct inw_series *s, size_t row, int column);
double inw_series__time(const struct inw_series *s, size_t row);
/* Row at which the column is greatest (`sign` 1) or least (-1); rows without a number, and those where the column
 * `unless` (or INW_NO_COLUMN) is not zero, are left out; -1 when none is left. */
long inw_series__extreme_row(const struct inw_series *s, int column, int sign, int unless);

#endif
