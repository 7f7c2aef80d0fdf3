/* SPDX-License-Identifier: MIT */
/* monotone.h: cubic Hermite curve that rises and falls only where its points do. Private to physics/. The caller owns all arrays.
 * Invariants: M1 the curve passes through every point. M2 between two points it is monotone. M3 it is C1. */
#ifndef INW_PHYSICS_MONOTONE_H
#define INW_PHYSICS_MONOTONE_H

struct inw_monotone_value { double y, dy; };

void inw_monotone__slopes(const double *x, const double *y, int n, double *slope);
struct inw_monotone_value inw_monotone__piece(const double *x, const double *y, const double *slope, double at);
int inw_monotone__find(const double *x, int n, double at);

#endif
