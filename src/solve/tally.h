/* SPDX-License-Identifier: MIT */
/* tally.h: what is kept of samples: counts, histograms and sums of slices, never the samples.
 *
 * A tally belongs to one scramble of the points; several independent ones tell how far off their mean is. All of it is one
 * array of doubles (counts are exact up to 2^53), so that it can be written down and taken up again to the bit.
 *
 * Invariants: Y1 after n samples the tally depends on these and their order alone. Y2 its size does not grow.
 * Memory is the caller's: inw_tally_size doubles, zeroed.
 */
#ifndef INW_TALLY_H
#define INW_TALLY_H

#include <stdbool.h>
#include <stddef.h>

/* Bins of a histogram between its ends, one more at each end for what lies beyond; slices of a driver's range. */
enum { INW_TALLY_BINS = 512, INW_TALLY_SLICES = 16 };

/* Where the histogram of an output stands, on the scale on which the output is tallied. */
struct inw_tally_range { double from, to; };

/* `bounds`: some numbers are only known to be more, or less, than they say; these get a histogram of their own. */
struct inw_tally_plan { int outputs, drivers; const struct inw_tally_range *range; bool bounds; };

/* One sample of one output: the number itself, the same on its scale (NaN: there is no answer; -INFINITY: it counts as
 * nothing), whether it is met, and whether a closer look at this sample said otherwise; bound > 0: it is more than that, < 0
 * less; undecided: and so much does not tell whether it is met. */
struct inw_tally_mark { double value, scaled; bool met, looked_at, otherwise; signed char bound; bool undecided; };

size_t inw_tally_size(const struct inw_tally_plan *p);
/* mark[outputs]; u[drivers] as of inw_sampler_point. */
void inw_tally_add(double *tally, const struct inw_tally_plan *p, const struct inw_tally_mark *mark, const double *u);

double inw_tally_count(const double *tally);
struct inw_tally_counts { double met, none, looked_at, otherwise, nothing, more, less, undecided; };
struct inw_tally_counts inw_tally_counts(const double *tally, const struct inw_tally_plan *p, int output);
/* Bin 0 and INW_TALLY_BINS + 1 are what lies beyond the ends (what counts as nothing is in bin 0): how many, and the sum of
 * their values; of all, or of those that are bounds alone. */
struct inw_tally_bin { double count, sum; };
struct inw_tally_bin inw_tally_bin(const double *tally, const struct inw_tally_plan *p, int output, int bin, bool bounds);
/* The least and the most on the scale, of all that has an answer and does not count as nothing. */
struct inw_tally_range inw_tally_ends(const double *tally, const struct inw_tally_plan *p, int output);
/* Of the numbers on the scale, those beyond the ends taken at the ends. */
double inw_tally_variance(const double *tally, const struct inw_tally_plan *p, int output);
/* Add tally b to a. */
void inw_tally_merge(double *a, const double *b, const struct inw_tally_plan *p);

/* Mean of r[n] and the half-width of its 95 % interval by Student's t. */
struct inw_estimate { double mean, error; };
/* Half-width of the 95 % interval that k of n trials leave of a share: to the farther end of Clopper & Pearson's (1934,
 * Biometrika 26:404-413, memory), which bisection finds for some hundreds of them; of none or all of any number, three over n
 * (rule of three: Hanley & Lippman-Hand 1983, J. Am. Med. Assoc. 249:1743-1745, memory). */
double inw_share_error(double k, double n);
enum { INW_ESTIMATE_MOST = 16 };
struct inw_estimate inw_estimate_of(const double *r, int n);

/* Share of an output's variance that one driver explains alone: the variance of the means of its slices (given-data
 * estimation: Plischke, Borgonovo & Smith 2013, Eur. J. Oper. Res. 226:536-550, memory), from products of independent
 * tallies, which chance does not raise; error by the jackknife. NaN when there is no variance. */
struct inw_estimate inw_tally_first(const double *const *tally, int n, const struct inw_tally_plan *p, int output, int driver, double variance);

#endif
