/* SPDX-License-Identifier: MIT */
/* bins.h: particles by size: a grid of sizes, what two of them make when they meet, what surfaces take, what a source gives.
 * The caller owns every struct and array; nothing is allocated.
 *
 * Numbers N[i] are per m3. Each bin stands for its pivot size alone (fixed pivot). Rates are ADDED to dNdt, so that one
 * array gathers all that happens.
 * Invariants: S1 edges and pivots increase, each pivot inside its bin. S2 coagulation keeps the volume of particles to
 * rounding, and lowers their number by one per meeting. S3 a source's shares, with what lies outside the grid, add up to 1.
 */
#ifndef INW_BINS_H
#define INW_BINS_H

#include "design/design.h"
#include "physics/aerosol_dynamics.h"

enum { INW_MAX_BINS = INW_SIZES_MOST, INW_BINS = INW_SIZES_USUAL, INW_MAX_BIN_PAIRS = INW_MAX_BINS * (INW_MAX_BINS + 1) / 2 };
#define INW_BINS_FROM_M 2e-9 /* smaller ones are molecules */
#define INW_BINS_TO_M 10e-6

struct inw_bins { int n; double edge_m[INW_MAX_BINS + 1], diameter_m[INW_MAX_BINS], volume_m3[INW_MAX_BINS]; };
/* Evenly in ln d. 0, or -1 when n is not 2 .. INW_MAX_BINS or 0 < from < to does not hold. */
int inw_bins_grid(struct inw_bins *b, int n, double from_m, double to_m);

/* ---- meeting ---- */
/* One pair of sizes i <= j. Each meeting takes one particle from `i` and one from `j`, and puts `stays` into `k` and `rises`
 * into k + 1; where k == j the particle taken from j is counted in `stays` already, which keeps the digits of a small i. */
struct inw_bin_pair { double kernel_m3s, stays, rises; unsigned char i, j, k; };
struct inw_coagulation { int n, pairs; struct inw_bin_pair pair[INW_MAX_BIN_PAIRS]; };

typedef double (*inw_bin_kernel)(double d1_m, double d2_m, const void *context);
void inw_coagulation_table(struct inw_coagulation *c, const struct inw_bins *b, inw_bin_kernel kernel, const void *context);
void inw_coagulation_brownian(struct inw_coagulation *c, const struct inw_bins *b, const struct inw_aerosol *air);
void inw_coagulation_rate(const struct inw_coagulation *c, const double *N, double *dNdt);
/* The same as won[b] - lost[b] N[b], both >= 0 and added: what an implicit method wants. */
void inw_coagulation_split(const struct inw_coagulation *c, const double *N, double *won, double *lost);

/* ---- surfaces ---- */
struct inw_bin_surfaces { double wall_m2, floor_m2, ceiling_m2, volume_m3, friction_velocity_ms; };
void inw_bins_deposition(const struct inw_bins *b, const struct inw_bin_surfaces *s, const struct inw_aerosol *air, double *loss_1s);

/* ---- sources ---- */
struct inw_bin_outside { double below, above; };
/* Share of a lognormal source for each bin; both its number and its volume come out right. What lies beyond the grid is
 * returned and is in no bin. */
struct inw_bin_outside inw_bins_source(const struct inw_bins *b, struct inw_lognormal sizes, double *share);

double inw_bins_number(const struct inw_bins *b, const double *N);      /* 1/m3 */
double inw_bins_volume(const struct inw_bins *b, const double *N);      /* m3/m3 */

#endif
