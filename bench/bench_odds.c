/* SPDX-License-Identifier: MIT */
/* bench_odds.c: sampling. Argument: a design file. Prints "NAME VALUE UNIT": 100,000 samples of the coupled check on all
 * processors, all that is made of them included; how many times faster two threads are than one (20,480 samples, the shortest of
 * three runs each); time of one sample; 1,000 days. */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

#include "inward/inward.h"

static double now_s(void)
{
	struct timespec t;

	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Wall time, or a negative number when it failed. */
static double run_s(const struct inw_design *d, size_t samples, unsigned threads, bool day)
{
	struct inw_odds_options o = {.samples = samples, .width = 1e-12, .threads = threads, .day = day};
	struct inw_diags diags = {0};
	struct inw_odds *r = NULL;
	double start = now_s();
	enum inw_status s = inw_odds(d, &o, &r, &diags);
	double took = now_s() - start;

	inw_odds_free(r);
	inw_diags_free(&diags);
	return s == INW_OK ? took : -1;
}

static double rss_KiB(void)
{
	struct rusage u;

	getrusage(RUSAGE_SELF, &u);
	return (double)u.ru_maxrss;
}

int main(int argc, char **argv)
{
	struct inw_design *d = NULL;
	struct inw_diags diags = {0};

	if (argc != 2 || inw_design_read(argv[1], NULL, &d, &diags) != INW_OK)
		return 2;
	double few = run_s(d, 4096, 1, false), one = run_s(d, 20480, 1, false), two = run_s(d, 20480, 2, false);
	for (int again = 0; again < 2; again++) { /* others on the machine lengthen a run, never shorten it */
		one = fmin(one, run_s(d, 20480, 1, false));
		two = fmin(two, run_s(d, 20480, 2, false));
	}
	double before = rss_KiB();
	double all = run_s(d, 100000, 0, false), after = rss_KiB(), days = run_s(d, 1000, 0, true);
	inw_design_free(d);
	inw_diags_free(&diags);
	if (few < 0 || one < 0 || two < 0 || all < 0 || days < 0)
		return 1;
	printf("odds_100000 %.4g s\n", all);
	printf("odds_sample %.4g ms\n", 1e3 * (one - few) / (20480 - 4096));
	printf("odds_two_threads %.3g times\n", one / two);
	printf("odds_memory_growth %.4g KiB\n", after - before);
	printf("odds_1000_days %.4g s\n", days);
	return 0;
}
