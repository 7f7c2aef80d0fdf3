/* SPDX-License-Identifier: MIT */
/* test_choose.c: invariants Z1, Z2 of src/check/choose.c, V1, V2 of src/check/trial.h, P1 of src/solve/optimum.h.
 * What a search finds is held against a brute force that knows nothing of it: a check of every point of a grid. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "check/trial.h"
#include "design/design.h"
#include "solve/optimum.h"
#include "test/check.h"

static struct inw_diags diags;

static char *slurp(const char *path)
{
	FILE *f = fopen(path, "rb");
	char *text = calloc(1, 1 << 16);

	if (f && text && fread(text, 1, (1 << 16) - 1, f) == 0)
		text[0] = '\0';
	if (f)
		fclose(f);
	return text;
}

/* The mended design, which meets everything, with some of its text replaced and `choose` behind it. */
static struct inw_design *with(const char *was, const char *is, const char *choose)
{
	char *text = slurp("examples/splint-night-mended.yaml"), *at = was ? strstr(text, was) : text;
	static char whole[1 << 17];
	struct inw_design *d = NULL;

	CHECK(at != NULL);
	if (!at)
		at = text;
	snprintf(whole, sizeof whole, "%.*s%s%s\nchoose:\n%s", (int)(at - text), text, was ? is : "", at + (was ? strlen(was) : 0), choose);
	inw_diags_free(&diags);
	CHECK(inw_design_parse(whole, strlen(whole), "design.yaml", NULL, &d, &diags) == INW_OK);
	for (size_t i = 0; i < diags.count; i++)
		printf("# %d:%d %s\n", diags.items[i].line, diags.items[i].column, diags.items[i].message);
	free(text);
	return d;
}

static struct inw_choices *choose(const struct inw_design *d)
{
	struct inw_choices *c = NULL;

	CHECK(d && inw_choose(d, NULL, &c, &diags) == INW_OK);
	return c;
}

/* ---- the optimiser on functions with known answers ---- */

/* Rosenbrock's valley, made as shallow as our functions are (slopes come from differences, which see bends no sharper than
 * their step), whose least is 0 at (1, 1); on a disc of radius sqrt 2 about zero it is still there, on the edge. */
static bool valley(void *context, const double *u, bool probe, double *out)
{
	double x = 4 * u[0] - 2, y = 4 * u[1] - 2;

	(void)context, (void)probe;
	out[0] = (y - x * x) * (y - x * x) + (1 - x) * (1 - x);
	out[1] = 2 - x * x - y * y;
	return true;
}

/* Least of x + y where x y >= 1/4: x = y = 1/2, by hand. The start keeps nothing. */
static bool hyperbola(void *context, const double *u, bool probe, double *out)
{
	(void)context, (void)probe;
	out[0] = u[0] + u[1];
	out[1] = u[0] * u[1] - 0.25;
	return true;
}

/* x <= 0.3 and x >= 0.7: 0.4 is missing in sum, wherever between. */
static bool torn(void *context, const double *u, bool probe, double *out)
{
	(void)context, (void)probe;
	out[0] = u[0];
	out[1] = 0.3 - u[0];
	out[2] = u[0] - 0.7;
	return true;
}

static void known_answers(void)
{
	double u[2] = {0.2, 0.9}, out[3];
	struct inw_optimum o = {.n = 2, .m = 1, .at = valley, .most = 3000, .u = u, .out = out};

	CHECK(inw_optimum_least(&o) == INW_OK && o.good);
	CHECK_ABS(out[0], 0, 1e-4, "by hand");
	u[0] = 0.1, u[1] = 0.2;
	o = (struct inw_optimum){.n = 2, .m = 1, .at = hyperbola, .most = 3000, .u = u, .out = out};
	CHECK(inw_optimum_least(&o) == INW_OK && o.good);
	CHECK_ABS(out[0], 1, 1e-3, "by hand");
	u[0] = 0.1;
	o = (struct inw_optimum){.n = 1, .m = 2, .at = torn, .most = 3000, .u = u, .out = out};
	CHECK(inw_optimum_nearest(&o) == INW_OK && !o.good);
	CHECK_ABS(fmax(-out[1], 0) + fmax(-out[2], 0), 0.4, 1e-6, "by hand");
}

/* What no point keeps, with slopes that say nothing: SLSQP's own equations have no solution there. */
static bool hopeless(void *context, const double *u, bool probe, double *out)
{
	bool *outside = context;

	(void)probe;
	*outside |= !(u[0] >= 0 && u[0] <= 1 && u[1] >= 0 && u[1] <= 1);
	out[0] = 1e3;
	for (int i = 1; i <= 6; i++)
		out[i] = i < 5 ? -8 : u[0] - 0.5 * i;
	return true;
}

/* P2, of every point that is asked, probes too. */
static void stays_inside(void)
{
	static const double start[] = {0, 0.5, 1};

	for (size_t i = 0; i < 9; i++) {
		bool outside = false;
		double u[2] = {start[i % 3], start[i / 3]}, out[7];
		struct inw_optimum o = {.n = 2, .m = 6, .at = hopeless, .context = &outside, .most = 300, .u = u, .out = out};
		CHECK(inw_optimum_least(&o) == INW_OK && !o.good && !outside);
	}
}

/* Deviations that a search makes 0.3 + 0.63 of those it used: both are alike at 0.3 / 0.37, by hand; a line is found by two
 * rounds. That slope is what inward pressure showed. */
static void rounds_meet(void)
{
	struct inw_trial t = {.needs = 1};
	double used = 0.1;

	for (int k = 0; k < 3; k++) {
		t.need[0].up = 0.3 + 0.63 * used;
		t.need[0].down = -t.need[0].up;
		inw_trial_foretell(&t, k, false);
		used = t.need[0].up;
	}
	CHECK_ABS(used, 0.3 / 0.37, 1e-12, "by hand");
	CHECK_ABS(t.need[0].down, -0.3 / 0.37, 1e-12, "by hand");
	t.need[0].up = 0.2;
	inw_trial_foretell(&t, 3, true);
	CHECK(t.need[0].up >= used); /* wider: not less than before */
}

/* ---- against brute force ---- */

enum { POINTS = 11 };
struct point { double u[INW_MOST_FREE], aim; };

static int by_aim(const void *a, const void *b)
{
	const struct point *x = a, *y = b;

	return (x->aim > y->aim) - (x->aim < y->aim);
}

/* Is every requirement as sure as is wanted when all that is not known is drawn at once? */
static bool sampled_well(const struct inw_trial *t, const double *u)
{
	struct inw_text text = {0};
	struct inw_design *d = NULL;
	struct inw_odds *o = NULL;
	const struct inw_odds_options options = {.samples = 1 << 14};
	bool well = inw_trial_write(t, u, 6, &text, NULL, &diags) == INW_OK && inw_design_parse(text.s, text.length, "grid.yaml", NULL, &d, &diags) == INW_OK &&
		inw_odds(d, &options, &o, &diags) == INW_OK;

	for (size_t i = 0; well && i < o->verdict_count; i++)
		well = isnan(o->verdicts[i].met) || o->verdicts[i].met >= t->asked->wishes.sure;
	inw_odds_free(o);
	inw_design_free(d);
	inw_text_free(&text);
	return well;
}

/* The least of an aim over a grid of full judgings, the first that samples bear out; how many of its points hold. */
static double brute(const struct inw_design *d, enum inw_aim aim, int *holds)
{
	static struct point good[POINTS * POINTS];
	struct inw_trial t;
	int word[INW_MOST_CHOICES] = {0}, at = 0;

	*holds = 0;
	CHECK(inw_trial_open(&t, d, word, &diags) == INW_OK);
	for (int i = 0; i < POINTS * POINTS; i++) {
		double u[INW_MOST_FREE] = {(double)(i / POINTS) / (POINTS - 1), (double)(i % POINTS) / (POINTS - 1)};
		inw_trial_set(&t, u);
		CHECK(inw_trial_judge(&t) == INW_OK);
		if (!inw_trial_holds(&t))
			continue;
		good[*holds] = (struct point){.aim = t.aim[aim]};
		memcpy(good[(*holds)++].u, u, sizeof u);
	}
	qsort(good, (size_t)*holds, sizeof *good, by_aim);
	while (at < *holds && !sampled_well(&t, good[at].u))
		at++;
	inw_trial_close(&t);
	return at < *holds ? good[at].aim : NAN;
}

/* With a heater too weak to press air out while it warms the box: the grid knows of no day. */
static void not_worse_than_brute_force(const char *choose_text, enum inw_aim aim, double written)
{
	struct inw_design *d = with("power: 300 W", "power: 100 W", choose_text);
	int holds = 0;
	double least = d ? brute(d, aim, &holds) : NAN;
	struct inw_choices *c = choose(d);

	CHECK(d && holds > 0 && holds < POINTS * POINTS); /* else the requirements say nothing */
	CHECK(c && c->found && c->chosen_count == 1 && c->chosen[0].holds);
	/* the search keeps a hundredth of a limit, and writes three digits */
	if (c && c->found)
		CHECK(c->chosen[0].value[aim] <= least + written);
	if (c && c->found && !(c->chosen[0].value[aim] <= least + written))
		printf("# chosen %.6g, grid %.6g\n", c->chosen[0].value[aim], least);
	inw_choices_free(c);
	inw_design_free(d);
}

static void brute_force(void)
{
	not_worse_than_brute_force("  least: [noise]\n  free:\n    - {what: \"cleaner.stages[3 blower].speed\", from: 10 %, to: 100 %}\n"
	                           "    - {what: cleaner.split.flap.position, from: 0 %, to: 100 %}\n", INW_AIM_NOISE, 0.1);
	not_worse_than_brute_force("  least: [money]\n  free:\n    - {what: \"cleaner.stages[1 particle].seal.width\", from: 0.01 mm, to: 0.8 mm, halving: 3}\n"
	                           "    - {what: \"cleaner.stages[1 particle].area\", from: 0.1 m2, to: 1.5 m2, price: 40 1/m2}\n", INW_AIM_MONEY, 0.1);
}

/* ---- what is written ---- */

static size_t count_of(const char *text, const char *what)
{
	size_t n = 0;

	for (const char *s = text; (s = strstr(s, what)) != NULL; s += strlen(what))
		n++;
	return n;
}

/* Every comment of `a` stands in `b`. */
static bool same_comments(const char *a, const char *b)
{
	char line[512];

	for (const char *s = a; (s = strchr(s, '#')) != NULL; s += strcspn(s, "\n")) {
		snprintf(line, sizeof line, "%.*s", (int)strcspn(s, "\n"), s);
		if (!strstr(b, line))
			return false;
	}
	return count_of(a, "#") == count_of(b, "#") && count_of(a, "\n") == count_of(b, "\n");
}

/* Z1: read again, the text gives the verdicts of the report bit for bit. */
static void reads_the_same(const struct inw_design *d, const struct inw_chosen *c)
{
	struct inw_design *again = NULL;
	struct inw_report *r = NULL;

	CHECK(inw_design_parse(c->text, c->length, "again.yaml", NULL, &again, &diags) == INW_OK);
	CHECK(again && inw_check(again, &r, &diags) == INW_OK);
	CHECK(r && r->verdict_count == c->report->verdict_count);
	for (size_t i = 0; r && i < r->verdict_count; i++) {
		const struct inw_verdict *a = &r->verdicts[i], *b = &c->report->verdicts[i];
		CHECK(a->word == b->word && memcmp(&a->value, &b->value, sizeof a->value) == 0 && memcmp(&a->low, &b->low, sizeof a->low) == 0 &&
		      memcmp(&a->high, &b->high, sizeof a->high) == 0);
	}
	CHECK(same_comments(d->bytes, c->text));
	inw_report_free(r);
	inw_design_free(again);
}

/* What stood there stays, and then nothing at all is written. */
static void writes_files(const struct inw_choices *c)
{
	char folder[] = "/tmp/inward-choose-XXXXXX", path[256], *text;

	CHECK(mkdtemp(folder) != NULL);
	CHECK(inw_choices_write(c, folder, NULL, NULL, &diags) == INW_OK);
	char slug[80];
	snprintf(slug, sizeof slug, "%s", c->chosen[0].name);
	for (char *k = slug; *k; k++)
		*k = *k == ' ' ? '-' : *k;
	snprintf(path, sizeof path, "%s/design-%s.yaml", folder, slug);
	text = slurp(path);
	CHECK(text && strcmp(text, c->chosen[0].text) == 0);
	free(text);
	CHECK(inw_choices_write(c, folder, NULL, NULL, &diags) == INW_IO);
	CHECK(unlink(path) == 0 && (c->chosen_count == 1 || inw_choices_write(c, folder, NULL, NULL, &diags) == INW_IO));
	CHECK(access(path, F_OK) != 0);
	snprintf(path, sizeof path, "rm -r %s", folder);
	CHECK(system(path) == 0);
}

/* A front of two goals and two wheels. */
static void front(void)
{
	struct inw_design *d = with("curve: [[0 m3/h, 190 Pa], [20 m3/h, 182 Pa], [40 m3/h, 150 Pa], [60 m3/h, 85 Pa], [75 m3/h, 0 Pa]],\n               power: 11 W, sound: 41 dB,",
	                            "record: radial 97 mm,",
	                            "  least: [money, noise]\n  free:\n    - {what: \"cleaner.stages[3 blower].speed\", from: 15 %, to: 100 %}\n    - {what: flap.position, from: 0 %, to: 100 %}\n"
	                            "    - {what: \"box.gaps[lid seam].width\", from: 0.02 mm, to: 0.5 mm, halving: 3}\n"
	                            "  among:\n    - {what: \"cleaner.stages[3 blower].record\", of: [{record: radial 97 mm, price: 10}, {record: radial 120 mm, price: 30}]}\n");
	struct inw_choices *c = choose(d);

	CHECK(c && c->found && c->chosen_count >= 1 && c->chosen_count <= 5 && c->combinations == 2);
	for (size_t i = 0; c && i < c->chosen_count; i++) {
		printf("# %s: holds %d, least sure %.4f\n", c->chosen[i].name, c->chosen[i].holds, c->chosen[i].least_sure);
		CHECK(c->chosen[i].holds && c->chosen[i].least_sure >= 0.9 - 0.01); /* the error that samples are allowed */
		reads_the_same(d, &c->chosen[i]);
		for (size_t k = 0; k < c->chosen_count; k++) /* Z2 */
			CHECK(k == i || c->chosen[k].value[0] > c->chosen[i].value[0] || c->chosen[k].value[1] > c->chosen[i].value[1]);
	}
	for (size_t i = 0; c && i < c->chosen_count; i++) /* what each is called it is */
		for (size_t k = 0; k < c->chosen_count; k++) {
			const char *name = c->chosen[i].name;
			bool between = strncmp(name, "between", 7) == 0;
			CHECK(between || !strstr(name, "cheapest") || c->chosen[k].value[0] >= c->chosen[i].value[0]);
			CHECK(between || !strstr(name, "quietest") || c->chosen[k].value[1] >= c->chosen[i].value[1]);
		}
	size_t missed = 0;
	for (size_t i = 0; c && i < c->chosen_count; i++)
		missed += c->chosen[i].day_overall == INW_MISSES;
	CHECK(c && c->day_missed == missed);
	if (c && c->chosen_count)
		writes_files(c);
	inw_choices_free(c);
	inw_design_free(d);
}

/* ---- when nothing holds ---- */

/* The wheel gives sound and suction by its speed alone: a slow one is quiet, a fast one sucks, no speed does both. */
static void conflict(void)
{
	struct inw_design *d = with("require:\n  noise: 45 dB", "require:\n  inward_pressure: 15 Pa\n  noise: 36 dB",
	                            "  least: [noise]\n  free:\n    - {what: \"cleaner.stages[3 blower].speed\", from: 30 %, to: 100 %}\n");
	struct inw_choices *c = choose(d);

	CHECK(c && !c->found && c->chosen_count == 1 && !c->chosen[0].holds);
	CHECK(c && c->conflict && strstr(c->conflict, "'noise'") && strstr(c->conflict, "'inward_pressure'") && strstr(c->conflict, "conflict: each alone"));
	if (c && c->conflict)
		printf("# %s\n", c->conflict);
	inw_choices_free(c);
	inw_design_free(d);
}

/* One of them left out, the other one is no trouble. */
static void left_out(void)
{
	struct inw_design *d = with("require:\n  noise: 45 dB", "require:\n  inward_pressure: 15 Pa\n  noise: 36 dB",
	                            "  least: [noise]\n  without: [noise]\n  free:\n    - {what: \"cleaner.stages[3 blower].speed\", from: 30 %, to: 100 %}\n");
	struct inw_choices *c = choose(d);

	CHECK(c && c->found && c->without_count == 1);
	inw_choices_free(c);
	inw_design_free(d);
}

static void alone(void)
{
	struct inw_design *d = with("require:\n  noise: 45 dB", "require:\n  noise: 12 dB",
	                            "  least: [noise]\n  free:\n    - {what: \"cleaner.stages[3 blower].speed\", from: 30 %, to: 100 %}\n");
	struct inw_choices *c = choose(d);

	CHECK(c && !c->found && c->conflict && strstr(c->conflict, "'noise' cannot be met"));
	inw_choices_free(c);
	inw_design_free(d);
}

static void unknown_requirement(void)
{
	struct inw_design *d = with(NULL, NULL, "  least: [noise]\n  without: [noize]\n  free:\n    - {what: \"cleaner.stages[3 blower].speed\", from: 30 %, to: 100 %}\n");
	struct inw_choices *c = NULL;

	CHECK(d && inw_choose(d, NULL, &c, &diags) == INW_BAD_INPUT && !c && diags.errors == 1);
	CHECK(diags.count && strstr(diags.items[0].message, "did you mean 'noise'") && diags.items[0].line > 0);
	inw_design_free(d);
}

/* ---- what is no pass ---- */

/* Nobody measured the material of the catalog: no value of the speed makes that a pass, and the search was led astray by it. */
static void missing_data(void)
{
	struct inw_design *d = with("material: PA splint", "material: PA", "  least: [noise]\n  free:\n    - {what: \"cleaner.stages[3 blower].speed\", from: 20 %, to: 100 %}\n");
	struct inw_choices *c = choose(d);
	char *text = c ? inw_show_choices_text(c, INW_SI, INW_BRIEF) : NULL;

	CHECK(c && !c->found && c->chosen_count == 1 && c->chosen[0].holds && c->chosen[0].untold_count == 8);
	CHECK(c && c->chosen[0].report->overall == INW_CANNOT_TELL && c->day_untold == 1);
	CHECK(text && strncmp(text, "No pass: of 8 requirements", 26) == 0 && strstr(text, "air_8h[splint maker]") < strstr(text, "Quietest"));
	free(text);
	inw_choices_free(c);
	inw_design_free(d);
}

static void swap(char *text, size_t size, const char *was, const char *is)
{
	char *at = strstr(text, was);
	size_t n = strlen(text), old = strlen(was), new = strlen(is);

	CHECK(at && n - old + new < size);
	if (!at || n - old + new >= size)
		return;
	memmove(at + new, at + old, n - (size_t)(at - text) - old + 1);
	memcpy(at, is, new);
}

/* All air goes outdoors, so nothing but the carbon's own numbers tells that it is too shallow for any law: these have no limit
 * to be held, and yet there is no design. */
static void shallow(void)
{
	char *text = slurp("examples/splint-night-mended.yaml");
	struct inw_design *d = NULL;

	swap(text, 1 << 16, "  split:\n    flap: {position: 66 %, diameter: 75 mm, seat_leak: 1 %}\n  return: {height: 50 mm, duct: {diameter: 75 mm, length: 0.4 m, bends: 2}}\n",
	     "  return: none\n");
	swap(text, 1 << 16, " mass: 1.5 kg,", "");
	swap(text, 1 << 16, "catalog:\n", "choose:\n  least: [cleaner size]\n  without: [residence_time]\n"
	     "  free:\n    - {what: \"cleaner.stages[2 carbon].depth\", from: 10 mm, to: 80 mm}\ncatalog:\n");
	CHECK(inw_design_parse(text, strlen(text), "shallow.yaml", NULL, &d, &diags) == INW_OK);
	free(text);
	struct inw_choices *c = choose(d);

	for (size_t i = 0; c && i < c->chosen_count; i++) {
		const struct inw_bed *b = &c->chosen[i].design->cleaner.stage[1].bed;
		const struct inw_quantity *q = c->chosen[i].design->quantity;
		printf("# %s: %.4f m deep, granules %.4f m, %zu untold\n", c->chosen[i].name, q[b->depth].value, q[b->granule].value, c->chosen[i].untold_count);
		CHECK(c->chosen[i].untold_count == 0 && q[b->depth].value >= 10 * q[b->granule].value && q[b->depth].value < 0.06);
	}
	CHECK(c && c->chosen_count > 0);
	if (c && c->conflict)
		printf("# %s\n", c->conflict);
	inw_choices_free(c);
	inw_design_free(d);
}

/* By the sum of its single deviations inward pressure holds with 99 % at no speed that is quiet enough; by samples it does. */
static void sure_by_samples(void)
{
	struct inw_design *d = with("require:\n  noise: 45 dB", "require:\n  noise: 38 dB",
	                            "  least: [noise]\n  sure: 99 %\n  free:\n    - {what: \"cleaner.stages[3 blower].speed\", from: 20 %, to: 100 %}\n");
	struct inw_choices *c = choose(d);

	CHECK(c && c->found && !c->conflict && c->chosen_count == 1 && c->chosen[0].least_sure >= 0.99 - 0.003);
	inw_choices_free(c);
	inw_design_free(d);
}

/* Who wants it less surely need not pay more; and gets about what was wanted. */
static void less_surely_for_less(void)
{
	static const int sure[] = {60, 86};
	double before = 0;

	for (size_t i = 0; i < INW_COUNT(sure); i++) {
		char wishes[160];
		snprintf(wishes, sizeof wishes, "  least: [heat]\n  sure: %d %%\n  free: [{what: flap.position, from: 0 %%, to: 100 %%}]\n", sure[i]);
		struct inw_design *d = with(NULL, NULL, wishes);
		struct inw_choices *c = choose(d);
		CHECK(c && c->found && c->chosen_count == 1);
		if (c && c->chosen_count) {
			double heat = c->chosen[0].value[INW_AIM_HEAT];
			printf("# %d %%: %.4g %% sure, %.4g W\n", sure[i], 100 * c->chosen[0].least_sure, heat);
			CHECK(c->chosen[0].least_sure >= 0.01 * sure[i] - 0.02 && c->chosen[0].least_sure <= 0.01 * sure[i] + 0.16);
			CHECK(heat > before);
			before = heat;
		}
		inw_choices_free(c);
		inw_design_free(d);
	}
}

/* The seam in the top is written at its height: that of the box is not free, which is said before anything is searched. */
static void held_by_something(void)
{
	struct inw_design *d = with(NULL, NULL, "  least: [box size]\n  free:\n    - {what: box.inside.height, from: 500 mm, to: 700 mm}\n");
	struct inw_choices *c = NULL;

	CHECK(d && inw_choose(d, NULL, &c, &diags) == INW_BAD_INPUT && !c && diags.errors == 1);
	CHECK(diags.count && strstr(diags.items[0].message, "cannot be chosen") && strstr(diags.items[0].message, "lid seam") && diags.items[0].line > 0);
	inw_choices_free(c);
	inw_design_free(d);
}

/* Nor is half a bend. */
static void whole_things(void)
{
	struct inw_design *d = with(NULL, NULL, "  least: [noise]\n  free:\n    - {what: cleaner.inlet.duct.bends, from: 0, to: 4}\n");
	struct inw_choices *c = NULL;

	CHECK(d && inw_choose(d, NULL, &c, &diags) == INW_BAD_INPUT && !c && diags.count && strstr(diags.items[0].message, "counts whole things"));
	inw_choices_free(c);
	inw_design_free(d);
}

/* An inlet above the box cannot be written: the search does not go there. */
static void ends_where_it_can_be(void)
{
	struct inw_design *d = with(NULL, NULL, "  least: [heat]\n  free:\n    - {what: cleaner.inlet.height, from: 100 mm, to: 900 mm}\n");
	struct inw_choices *c = choose(d);
	bool said = false;

	CHECK(c && c->found && c->chosen[0].pick_count == 1);
	if (c && c->found) {
		CHECK(c->chosen[0].picks[0].value <= 0.6);
		CHECK_ABS(c->chosen[0].picks[0].to, 0.6, 0.8 / 4096, "the height of the box");
	}
	for (size_t i = 0; c && i < c->note_count; i++)
		said |= strstr(c->notes[i], "Not all values of cleaner.inlet.height") != NULL;
	CHECK(said);
	inw_choices_free(c);
	inw_design_free(d);
}

/* Without free numbers there are 32 designs: all are asked, and their order is nothing to what is found. */
static void in_any_order(void)
{
	const char *panels = "{record: acrylic, price: 30}, {record: PC twin-wall 6 mm, price: 40}, {record: PC twin-wall 10 mm, price: 58}, {record: PC twin-wall 4 mm, price: 35}";
	const char *carbons = "{record: coconut 4x8, price: 12}, {record: coconut 8x16, price: 14}, {record: coconut 4x10, price: 13}, {record: coconut 6x12, price: 13}";
	const char *classes[2] = {"{record: MERV 16, price: 5}, {record: H13, price: 20}", "{record: H13, price: 20}, {record: MERV 16, price: 5}"};
	double money[2] = {NAN, NAN};

	for (int i = 0; i < 2; i++) {
		char wishes[1024];
		snprintf(wishes, sizeof wishes, "  least: [money]\n  among:\n    - {what: box.panels.all.material, of: [%s]}\n    - {what: \"cleaner.stages[2 carbon].record\", of: [%s]}\n"
		         "    - {what: \"cleaner.stages[1 particle].class\", of: [%s]}\n", panels, carbons, classes[i]);
		struct inw_design *d = with(NULL, NULL, wishes);
		struct inw_choices *c = choose(d);
		CHECK(c && c->found && c->combinations == 32);
		money[i] = c && c->found ? c->chosen[0].value[0] : NAN;
		inw_choices_free(c);
		inw_design_free(d);
	}
	CHECK_ABS(money[0], money[1], 0, "the same designs in another order");
}

/* More is asked than can be held: refused by all that would leave the rest out. */
static void too_many(void)
{
	static char people[8192] = "people:\n";
	struct inw_choices *c = NULL;
	struct inw_odds *o = NULL;
	struct inw_map *m = NULL;
	const struct inw_map_options target = {.axis = {{.name = "heater.target", .from = 320, .to = 325, .points = 3}}, .axes = 1};

	for (int i = 0; i < 40; i++)
		snprintf(people + strlen(people), sizeof people - strlen(people), "  - {name: p%d, as: worker, stays: [{room: workroom, from: \"09:00\", to: \"17:00\"}]}\n", i);
	struct inw_design *d = with("people:\n", people, "  least: [noise]\n  free:\n    - {what: \"cleaner.stages[3 blower].speed\", from: 40 %, to: 70 %}\n");
	CHECK(d && inw_choose(d, NULL, &c, &diags) == INW_BAD_INPUT && !c && strstr(diags.items[diags.count - 1].message, "more requirements than"));
	CHECK(d && inw_odds(d, NULL, &o, &diags) == INW_BAD_INPUT && !o);
	CHECK(d && inw_map(d, &target, &m, &diags) == INW_BAD_INPUT && !m);
	/* a day has no such bound */
	const struct inw_odds_options days = {.day = true, .samples = 16, .bare = true};
	CHECK(d && inw_odds(d, &days, &o, &diags) == INW_OK && o && o->verdict_count > INW_MAX_MEASURES);
	inw_choices_free(c);
	inw_odds_free(o);
	inw_map_free(m);
	inw_design_free(d);
}

/* ---- how good ---- */

static enum inw_word day_of(const char *text)
{
	struct inw_design *d = NULL;
	struct inw_day_report *r = NULL;

	CHECK(inw_design_parse(text, strlen(text), "day.yaml", NULL, &d, &diags) == INW_OK && inw_day(d, NULL, &r, &diags) == INW_OK);
	enum inw_word word = r ? r->overall : INW_CANNOT_TELL;
	inw_day_free(r);
	inw_design_free(d);
	return word;
}

/* The cheapest box is so tight that its heater presses air out while it warms up, which no steady state shows. */
static void set_for_the_day(const struct inw_chosen *c)
{
	const char *power = "heater: {power: ", *at = strstr(c->text, power);
	static char strong[1 << 16];

	CHECK(at != NULL && c->day && strstr(c->day, "For the day's sake heat.heater.power is "));
	printf("# %s\n", c->day ? c->day : "");
	CHECK(day_of(c->text) != INW_MISSES && day_of(c->text) == c->day_overall);
	if (at) /* as it was in the file that was read */
		snprintf(strong, sizeof strong, "%.*s300 W%s", (int)(at - c->text) + (int)strlen(power), c->text, strchr(at, ','));
	CHECK(at && day_of(strong) == INW_MISSES);
}

/* One combination of records of the example. A hill climb of 1,200 whole checks of its own, begun where the search ended once
 * (at 412.8), came to 384.97. Neither is the best there is; a hundredth apart they are alike. */
static void as_cheap_as_a_hill_climb(void)
{
	char *text = slurp("examples/splint-night-choose.yaml"), *among = strstr(text, "  among:\n"), *after = strstr(text, "catalog:\n");
	struct inw_design *d = NULL;

	CHECK(among && after && among < after);
	if (among && after && among < after) {
		memmove(among, after, strlen(after) + 1);
		swap(text, 1 << 16, "class: H13", "class: E12");
		swap(text, 1 << 16, "all: {material: acrylic}", "all: {material: PC twin-wall 10 mm}");
		swap(text, 1 << 16, "least: [money, noise, heat]", "least: [money]");
		swap(text, 1 << 16, "  years: 2 ", "  prices: [{of: \"cleaner.stages[2 carbon].mass\", price: 12 1/kg}]\n  years: 2 ");
		CHECK(inw_design_parse(text, strlen(text), "one.yaml", NULL, &d, &diags) == INW_OK);
	}
	struct inw_choices *c = choose(d);
	const double class_and_wheel_and_panels = 12 + 18 + 58; /* its records' prices, which are gone with `among` */
	CHECK(c && c->found && c->chosen[0].value[0] + class_and_wheel_and_panels <= 1.01 * 384.97);
	if (c && c->chosen_count)
		set_for_the_day(&c->chosen[0]);
	if (c && c->chosen_count)
		printf("# %.4g, of the hill climb 384.97\n", c->chosen[0].value[0] + class_and_wheel_and_panels);
	inw_choices_free(c);
	inw_design_free(d);
	free(text);
}

static bool at_once(void *context)
{
	int *asked = context;

	return ++*asked > 60;
}

/* Stopped in the middle: what there is, and it says so. */
static void stopped(void)
{
	struct inw_design *d = with(NULL, NULL, "  least: [noise]\n  free:\n    - {what: \"cleaner.stages[3 blower].speed\", from: 10 %, to: 100 %}\n");
	struct inw_choices *c = NULL;
	int asked = 0;
	const struct inw_choose_options o = {NULL, at_once, &asked};

	CHECK(d && inw_choose(d, &o, &c, &diags) == INW_OK && c && c->stopped);
	inw_choices_free(c);
	inw_design_free(d);
}

int main(void)
{
	known_answers();
	stays_inside();
	rounds_meet();
	brute_force();
	front();
	conflict();
	left_out();
	alone();
	unknown_requirement();
	missing_data();
	shallow();
	sure_by_samples();
	less_surely_for_less();
	held_by_something();
	whole_things();
	ends_where_it_can_be();
	in_any_order();
	too_many();
	as_cheap_as_a_hill_climb();
	stopped();
	inw_diags_free(&diags);
	return check_done();
}
