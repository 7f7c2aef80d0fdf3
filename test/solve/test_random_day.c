/* SPDX-License-Identifier: MIT */
/* test_random_day.c: random designs followed for half a day each. Every one that can begin must come to its end, keep its
 * matter and the carbon's water, and hold nothing negative. Arguments: how many designs (60), seed.
 * The expected values are conservation laws, not our own earlier answers.
 */
#include <stdlib.h>

#include "solve/day.h"
#include "test/check.h"
#include "test/model/random_design.h"

enum { LISTED = 20 };

struct tally { int followed, refused, stopped, broken, beds; long steps; double wettest, coldest; };

static struct inw_day_sim s;
static int listed;

static void complain(uint64_t seed, const char *what, double value)
{
	if (listed++ < LISTED)
		printf("  design %llu: %s (%.3g)\n", (unsigned long long)seed, what, value);
}

static int must(uint64_t seed, bool good, const char *what, double value)
{
	if (!good)
		complain(seed, what, value);
	return !good;
}

static int check_carbon(uint64_t seed, struct tally *tally)
{
	const struct inw_day_beds *b = &s.gas.carbon;
	const struct inw_bed_water *w = &b->water;
	int faults = 0;

	if (b->held == 0)
		return 0;
	tally->beds++;
	tally->wettest = fmax(tally->wettest, b->wet_s);
	tally->coldest = fmin(tally->coldest, b->coldest_K);
	faults += must(seed, fabs(w->start + w->in - w->out - w->held) <= 1e-11 * (w->start + w->in), "water is not kept", w->start + w->in - w->out - w->held);
	for (int k = 0; k < b->beds; k++)
		for (int i = 0; i < INW_BED_CELLS * (b->held + 1); i++) {
			double q = b->bed[k].q[i], most = b->bed[k].most[i % (b->held + 1)];
			faults += must(seed, q >= -1e-3 * most && isfinite(q), "a loading below its tolerance", q / most); /* the bed's tolerance */
		}
	return faults;
}

static int check_matter(uint64_t seed)
{
	int faults = 0;

	for (int g = 0; g < s.gas.count; g++) {
		const struct inw_account *a = &s.gas.account[g];
		double held = 0;
		for (int z = 0; z <= s.sol.m.rooms; z++) {
			held += a->held[z];
			faults += must(seed, a->held[z] >= -1e-3 * a->peak, "less than no gas", a->held[z]);
		}
		faults += must(seed, fabs(a->emitted - held - a->kept - a->outdoors) <= 1e-10 * (a->emitted + fabs(a->kept)), "gas is not kept", a->emitted - held - a->kept - a->outdoors);
	}
	return faults;
}

static void follow(uint64_t seed, const struct inw_design *d, double *given, double *now, struct tally *tally)
{
	int more;

	given[d->day.span] = 12 * 3600;
	if (inw_day_start(&s, d, &(struct inw_day_setup){4, 0}, given, now)) { /* sealed boxes and the like, as in test_random.c */
		tally->refused++;
		return;
	}
	while ((more = inw_day_step(&s)) > 0)
		;
	tally->steps += s.steps;
	if (more < 0) {
		tally->stopped++;
		if (listed++ < LISTED)
			printf("  design %llu stops at %.3g h: %s\n", (unsigned long long)seed, s.t / 3600, s.why ? s.why : "?");
		return;
	}
	tally->followed++;
	tally->broken += check_carbon(seed, tally) + check_matter(seed) > 0;
}

int main(int argc, char **argv)
{
	int designs = argc > 1 ? atoi(argv[1]) : 60;
	uint64_t seed = argc > 2 ? strtoull(argv[2], NULL, 10) : 20;
	struct tally t = {0};

	printf("seed %llu\n", (unsigned long long)seed);
	for (int i = 0; i < designs; i++) {
		struct random_source r = {seed * 1000003 + (uint64_t)i};
		uint64_t its = r.state;
		struct inw_design *d = random_design(&r);
		CHECK(d != NULL);
		double *given = d ? random_values(&r, d, i % 2) : NULL, *now = d ? calloc(d->quantities + 1, sizeof *now) : NULL;
		if (given && now)
			follow(its, d, given, now, &t);
		free(given);
		free(now);
		inw_design_free(d);
	}
	printf("followed %d (%d with gas on carbon), refused %d, stopped %d; with faults %d; %.0f steps each; wettest %.3g h, carbon colder by %.3g K at most\n",
	       t.followed, t.beds, t.refused, t.stopped, t.broken, t.followed ? (double)t.steps / t.followed : 0, t.wettest / 3600, -t.coldest);
	CHECK(t.followed > 0 && t.beds > 0);
	CHECK(t.refused <= 0.04 * designs + 1);
	CHECK(t.stopped == 0);
	CHECK(t.broken == 0);
	return check_done();
}
