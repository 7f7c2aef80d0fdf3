/* SPDX-License-Identifier: MIT */
/* check.h: the test harness. A failure prints want, got, error, tolerance and source. The last line of a program's output
 * is "N passed, M failed", and its exit status is 0 only when M is 0 and N is not. */
#ifndef INW_CHECK_H
#define INW_CHECK_H

#include <math.h>
#include <stdio.h>
#include <string.h>

static int check_passed, check_failed;

static inline void check_near_(const char *file, int line, const char *what, double got, double want, double tolerance, const char *source)
{
	if (fabs(got - want) <= tolerance) {
		check_passed++;
		return;
	}
	check_failed++;
	printf("FAIL %s:%d %s: want %.9g, got %.9g, error %.3g, tolerance %.3g [%s]\n", file, line, what, want, got, got - want, tolerance, source);
}

static inline void check_true_(const char *file, int line, const char *what, int good)
{
	if (good) {
		check_passed++;
		return;
	}
	check_failed++;
	printf("FAIL %s:%d %s\n", file, line, what);
}

static inline void check_text_(const char *file, int line, const char *got, const char *want)
{
	if (got && want && strcmp(got, want) == 0) {
		check_passed++;
		return;
	}
	check_failed++;
	printf("FAIL %s:%d\n want: %s\n  got: %s\n", file, line, want ? want : "(null)", got ? got : "(null)");
}

/* absolute and relative closeness, each with the source of the expected value */
#define CHECK_ABS(got, want, tol, source) check_near_(__FILE__, __LINE__, #got, got, want, tol, source)
#define CHECK_REL(got, want, tol, source) check_near_(__FILE__, __LINE__, #got, got, want, fabs((double)(want)) * (tol), source)
#define CHECK(condition) check_true_(__FILE__, __LINE__, #condition, (condition) ? 1 : 0)
#define CHECK_TEXT(got, want) check_text_(__FILE__, __LINE__, got, want)

static inline int check_done(void)
{
	printf("%d passed, %d failed\n", check_passed, check_failed);
	return check_failed || !check_passed;
}

#endif
