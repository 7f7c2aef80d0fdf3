/* SPDX-License-Identifier: MIT */
/* The bad end of a day's pull, from days with one input moved at a time, against days with everything drawn at once (inw_odds). */
#include "check/day_mend.h"
#include "test/check.h"

/* The twentieth of all days that pull least, by 256 samples. */
static void against_samples(const char *file)
{
	struct inw_design *d = NULL;
	struct inw_diags diags = {0};
	struct inw_odds *o = NULL;
	const struct inw_odds_options options = {.day = true, .samples = 256, .width = 1e-6, .bare = true};
	struct inw_arena *a = inw_arena_new((size_t)1 << 28);
	struct inw_day_bad bad = {.pull = NAN}, best = {.pull = NAN};
	bool found = false;

	CHECK(a && inw_design_read(file, NULL, &d, &diags) == INW_OK && inw_odds(d, &options, &o, &diags) == INW_OK);
	CHECK(d && inw_day_lean(d, 0.95, a, &bad) == 0 && inw_day_lean(d, 0.5, a, &best) == 0);
	for (size_t i = 0; o && i < o->verdict_count; i++) {
		const struct inw_odds_verdict *v = &o->verdicts[i];
		if (strcmp(v->id, "day_inward_pressure") != 0)
			continue;
		found = true;
		printf("# %s: %.3g Pa by samples, %.3g Pa by single inputs; at best estimates %.3g\n", file, v->low, bad.pull, best.pull);
		/* deviations that add as squares leave out what inputs do together: a quarter of the way from the median */
		CHECK_ABS(bad.pull, v->low, 0.25 * (v->median - v->low), "days drawn at random");
		CHECK_ABS(best.pull, v->median, 0.25 * (v->median - v->low), "days drawn at random");
	}
	CHECK(found);
	inw_odds_free(o);
	inw_design_free(d);
	inw_diags_free(&diags);
	inw_arena_free(a);
}

int main(void)
{
	against_samples("examples/splint-night.yaml");
	against_samples("examples/splint-night-mended.yaml");
	return check_done();
}
