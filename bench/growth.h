/* SPDX-License-Identifier: MIT */
/* growth.h: how cost grows with size: the slope of ln time over ln size, by least squares. 1: in proportion. */
#ifndef GROWTH_H
#define GROWTH_H

#include <math.h>
#include <time.h>

/* The processor's time, which others on the machine do not stretch. */
static double spent_s(void)
{
	struct timespec t;
	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double growth(int n, const double *size, const double *time)
{
	double x = 0, y = 0, xx = 0, xy = 0;

	for (int k = 0; k < n; k++) {
		const double u = log(size[k]), v = log(time[k]);
		x += u / n;
		y += v / n;
		xx += u * u / n;
		xy += u * v / n;
	}
	return (xy - x * y) / (xx - x * x);
}

#endif
