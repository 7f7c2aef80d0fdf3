/* SPDX-License-Identifier: MIT */
/* powers.h: a power that square roots make in less time than pow() does. */
#ifndef INW_POWERS_H
#define INW_POWERS_H

#include <math.h>

/* x^(9/16) for x >= 0, as (x x^(1/8))^(1/2); each root is rounded once. */
static inline double inw_power_9_16(double x)
{
	return sqrt(x * sqrt(sqrt(sqrt(x))));
}

#endif
