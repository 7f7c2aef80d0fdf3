/* SPDX-License-Identifier: MIT */
/* number.h: decimal numbers in and out, the same in every locale. strtod and printf follow the host program's
 * LC_NUMERIC, which the library does not control. */
#ifndef INW_NUMBER_H
#define INW_NUMBER_H

#include <stddef.h>

enum inw_number_fault {
	INW_NUMBER_FINE,
	INW_NUMBER_NONE,      /* the text does not begin with a number */
	INW_NUMBER_TOO_LONG,  /* more than 40 significant digits */
	INW_NUMBER_TOO_LARGE, /* beyond the largest double */
	INW_NUMBER_TOO_SMALL  /* not zero, but nearer to zero than any double */
};

/* Read [+-] digits [. digits] [e [+-] digits] at the front of `text`; ".5" is read, of "5." only the "5". The value is
 * the double nearest to what is written, ties to even. `used` is the count of bytes read. No NaN, infinity,
 * hexadecimal, leading white space or grouping of digits. -0 reads as 0. */
enum inw_number_fault inw_number_read(const char *text, size_t length, double *value, size_t *used)
	__attribute__((warn_unused_result));

#define INW_NUMBER_SIZE 40 /* bytes that any number written below fits into */

/* Write `x` with at most `digits` (1..17) significant digits, trailing zeros left out, as 0.00123, 12300 or 1.23e10.
 * What is no finite number becomes the word "undefined" or "infinite". Returns `out`. */
char *inw_number_write(char out[INW_NUMBER_SIZE], double x, int digits);

/* The order of doubles for qsort, the smallest first; no NaN. */
int inw_by_size(const void *a, const void *b);

#endif
