/* SPDX-License-Identifier: MIT */
#include "show/series.h"

#include <math.h>
#include <string.h>

int inw_series__column(const struct inw_series *s, const char *name)
{
	for (size_t i = 0; i < s->columns; i++)
		if (strcmp(s->name[i], name) == 0)
			return (int)i;
	return INW_NO_COLUMN;
}

double inw_series__value(const struct inw_series *s, size_t row, int column)
{
	return column < 0 ? NAN : s->value[row * s->columns + (size_t)column];
}

double inw_series__time(const struct inw_series *s, size_t row)
{
	return s->value[row * s->columns]; /* the first column, as inward.h says */
}

long inw_series__extreme_row(const struct inw_series *s, int column, int sign, int unless)
{
	double most = NAN;
	long best = -1;
	for (size_t i = 0; column >= 0 && i < s->rows; i++) {
		double v = sign * inw_series__value(s, i, column);
		if (!isfinite(v) || inw_series__value(s, i, unless) > 0 || v <= most)
			continue;
		most = v;
		best = (long)i;
	}
	return best;
}
