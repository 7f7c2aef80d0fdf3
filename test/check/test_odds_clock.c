/* SPDX-License-Identifier: MIT */
/* Days and lives of the carbon as samples: against single runs of `inward life`, the same bits with any number of threads and
 * after an interruption, what a verdict without a number means, and a next measurement that is worth what it must be. Takes in
 * src/check/odds_day.c whole, for its static functions. */
#include "check/odds_day.c"

#include <stdlib.h>
#include <unistd.h>

#include "solve/sample.h"
#include "test/check.h"

static struct inw_odds *odds(const struct inw_design *d, struct inw_odds_options o)
{
	struct inw_odds *r = NULL;
	struct inw_diags diags = {0};

	CHECK(inw_odds(d, &o, &r, &diags) == INW_OK);
	inw_diags_free(&diags);
	return r;
}

static const struct inw_odds_verdict *verdict(const struct inw_odds *o, const char *id)
{
	for (size_t i = 0; o && i < o->verdict_count; i++)
		if (strcmp(o->verdicts[i].id, id) == 0)
			return &o->verdicts[i];
	return NULL;
}

/* ---- one input that is not known ---- */

struct sure { struct inw_design d; struct inw_quantity *q; };

/* The design with no range anywhere. */
static bool make_sure(struct sure *s, const struct inw_design *d, struct inw_arena *a)
{
	s->d = *d;
	s->q = inw_arena_alloc(a, sizeof *s->q * d->quantities);
	if (!s->q)
		return false;
	for (size_t i = 0; i < d->quantities; i++) {
		s->q[i] = d->quantity[i];
		s->q[i].low = s->q[i].high = s->q[i].value;
	}
	s->d.quantity = s->q;
	return true;
}

static double life_with(struct sure *s, inw_q at, double value)
{
	struct inw_quantity keep = s->q[at];
	struct inw_life_report *r = NULL;
	struct inw_diags diags = {0};

	s->q[at].value = s->q[at].low = s->q[at].high = value;
	CHECK(inw_life(&s->d, NULL, &r, &diags) == INW_OK);
	double spent = r ? r->spent_s : NAN;
	inw_life_free(r);
	inw_diags_free(&diags);
	s->q[at] = keep;
	return spent;
}

/* Looked ahead no further than the median: half of the lives are seen to their ends, of the others that is all that is known, and
 * that they are required to last longer cannot be told. */
static void short_sighted(struct sure *s, double low, double middle, double high)
{
	inw_q horizon = s->d.upkeep.horizon, least = s->d.require.carbon_life;
	struct inw_quantity keep = s->q[horizon], wanted = s->q[least];

	s->q[horizon].value = s->q[horizon].low = s->q[horizon].high = middle;
	s->q[least].value = s->q[least].low = s->q[least].high = high;
	struct inw_odds *o = odds(&s->d, (struct inw_odds_options){.life = true, .samples = 32, .width = 1e-9});
	const struct inw_odds_verdict *life = verdict(o, "life_calendar"), *use = verdict(o, "life_use"), *year = verdict(o, "life_carbon_year");
	CHECK(life && use && year);
	if (life && use && year) {
		CHECK_ABS(life->more_than, 0.5, 0.05, "the median");
		CHECK(life->low_bound == INW_EXACTLY && life->high_bound == INW_MORE_THAN);
		CHECK_REL(life->low, low, 0.15, "the same rates, of half as many lives");
		CHECK_REL(life->high, middle, 1e-9, "as far as was looked");
		CHECK(use->met == 0 && use->undecided == life->more_than);
		CHECK(year->less_than == life->more_than && year->low_bound == INW_LESS_THAN && year->high_bound == INW_EXACTLY);
	}
	char *json = o ? inw_show_odds_json(o) : NULL, *text = o ? inw_show_odds_text(o, INW_SI, INW_BRIEF) : NULL;
	CHECK(json && strstr(json, "\"high_more_than_s\"") && strstr(json, "\"low_less_than_kg\""));
	CHECK(text && strstr(text, "more than") && strstr(text, "less than") && strstr(text, "horizon:")); /* between which lines may break */
	free(json);
	free(text);
	inw_odds_free(o);
	s->q[horizon] = keep;
	s->q[least] = wanted;
}

/* The carbon meets some 150 times as much of its first gas, so that its life ends. Life falls with the rate, so its 5 % point is the life at the rate's 95 % point, and so on. With 64 points spread evenly a
 * share is off by a few per cent: what is wanted lies between the lives at points so much to either side. */
static void against_single_lives(const struct inw_design *d, struct inw_arena *a)
{
	const double off[3][2] = {{0.84, 0.995}, {0.44, 0.56}, {0.005, 0.16}}; /* of the rate, for the life's 5, 50 and 95 % points */
	struct sure s;

	if (!make_sure(&s, d, a))
		return;
	inw_q rate = d->catalog.material[d->job[0].material].gases[0].rate;
	s.q[rate].value *= 150;
	s.q[rate].low = s.q[rate].value / 2;
	s.q[rate].high = s.q[rate].value * 2;
	double middle = life_with(&s, rate, s.q[rate].value);
	CHECK(middle > 30 * 86400.0 && middle < 300 * 86400.0);
	struct inw_life_report *r = NULL;
	struct inw_diags diags = {0};
	CHECK(inw_life(&s.d, NULL, &r, &diags) == INW_OK); /* with the range: for the share of the time in which a job runs */
	double share = r ? r->verdicts[0].value / r->spent_s : NAN;
	inw_life_free(r);
	inw_diags_free(&diags);
	inw_q least = s.d.require.carbon_life;
	CHECK(least >= 0 && share > 0);
	s.q[least].value = s.q[least].low = s.q[least].high = middle * share; /* just what the median reaches */
	struct inw_odds *o = odds(&s.d, (struct inw_odds_options){.life = true, .samples = 64, .width = 1e-9});
	const struct inw_odds_verdict *life = verdict(o, "life_calendar"), *use = verdict(o, "life_use");
	CHECK(o && o->samples == 64 && o->drivers == 1 && life && use);
	if (life && use) {
		const double z[3] = {life->low, life->median, life->high};
		for (int k = 0; k < 3; k++) {
			double most = life_with(&s, rate, s.q[rate].value * pow(2, inw_normal_quantile(off[k][0]) / inw_normal_quantile(0.95)));
			double few = life_with(&s, rate, s.q[rate].value * pow(2, inw_normal_quantile(off[k][1]) / inw_normal_quantile(0.95)));
			CHECK(few <= z[k] && z[k] <= most);
		}
		CHECK_ABS(use->met, 0.5, 0.05, "the median's own life as the requirement");
		CHECK(verdict(o, "life_shortcut") == NULL);
		short_sighted(&s, life->low, middle, life->high);
	}
	inw_odds_free(o);
}

/* ---- waits ---- */

static struct inw_meant read_as(struct inw_verdict v, double *value)
{
	const struct inw_output o = {.sense = v.sense, .limit = 7200};

	v.limit = 7200;
	return meaning(&v, &o, value);
}

/* What a sample's verdict says of it. */
static void meanings(void)
{
	double value;
	struct inw_meant m = read_as((struct inw_verdict){.word = INW_MISSES, .sense = INW_AT_MOST, .value = NAN}, &value);

	CHECK(value == 7200 && m.bound > 0 && m.verdict < 0); /* the door was opened before */
	m = read_as((struct inw_verdict){.word = INW_MISSES, .sense = INW_AT_LEAST, .value = NAN}, &value);
	CHECK(value == 7200 && m.bound < 0 && m.verdict < 0);
	m = read_as((struct inw_verdict){.word = INW_MISSES, .sense = INW_AT_MOST, .value = 8000, .bound = INW_MORE_THAN}, &value);
	CHECK(value == 8000 && m.bound > 0 && m.verdict < 0); /* the bound that it gives */
	m = read_as((struct inw_verdict){.word = INW_CANNOT_TELL, .sense = INW_AT_MOST, .value = NAN}, &value);
	CHECK(isnan(value) && m.bound == 0 && m.verdict < 0);
	m = read_as((struct inw_verdict){.word = INW_CANNOT_TELL, .sense = INW_AT_MOST, .value = 10}, &value);
	CHECK(value == 10 && m.verdict < 0); /* what cannot be told never passes */
	m = read_as((struct inw_verdict){.word = INW_CANNOT_TELL, .sense = INW_AT_LEAST, .value = 10, .bound = INW_MORE_THAN}, &value);
	CHECK(value == 10 && m.bound > 0 && m.verdict == 0); /* a life that outlasts the time looked ahead: undecided */
	m = read_as((struct inw_verdict){.word = INW_MEETS, .sense = INW_AT_MOST, .value = 10}, &value);
	CHECK(value == 10 && m.bound == 0 && m.verdict > 0);
	m = read_as((struct inw_verdict){.word = INW_IN_DOUBT, .sense = INW_AT_MOST, .value = 10}, &value);
	CHECK(value == 10 && m.bound == 0 && m.verdict == 0);
}

/* Every sampled wait that misses lies beyond the limit: none vanishes from what is told of them. */
static void waits(const struct inw_design *d)
{
	struct inw_odds *o = odds(d, (struct inw_odds_options){.day = true, .samples = 48, .width = 1e-9});
	const struct inw_odds_verdict *v = verdict(o, "day_purge[1]");

	CHECK(v && v->none == 0 && v->undecided == 0);
	if (v && v->met > 0.1 && v->met < 0.9) {
		CHECK(v->low <= v->limit && v->high >= v->limit);
		CHECK((v->met > 0.5) == (v->median <= v->limit));
		CHECK(v->more_than == 0 || (v->high_bound == INW_MORE_THAN && v->tail_bound == INW_MORE_THAN));
	}
	inw_odds_free(o);
}

/* ---- bits ---- */

struct leash { long asked, most; };

static bool enough(void *context)
{
	struct leash *l = context;

	return ++l->asked > l->most;
}

static char *json_of(const struct inw_design *d, struct inw_odds_options o)
{
	struct inw_odds *r = odds(d, o);
	char *json = r ? inw_show_odds_json(r) : NULL;

	inw_odds_free(r);
	return json;
}

/* `pilot`: samples drawn before those that count. */
static void same_bits(const struct inw_design *d, struct inw_odds_options o, long pilot, const char *file)
{
	struct leash leash = {0, pilot + 5};

	o.threads = 1;
	char *one = json_of(d, o);
	o.threads = 3;
	char *three = json_of(d, o);
	CHECK(one && three && strcmp(one, three) == 0);
	o.threads = 1;
	o.keep = file;
	o.stop = enough;
	o.context = &leash;
	char *part = json_of(d, o);
	CHECK(part && one && strcmp(part, one) != 0);
	o.stop = NULL;
	o.keep = NULL;
	o.resume = file;
	char *whole = json_of(d, o);
	CHECK(one && whole && strcmp(one, whole) == 0);
	struct inw_odds *r = NULL;
	struct inw_diags diags = {0};
	o.life = !o.life;
	o.day = !o.day;
	CHECK(inw_odds(d, &o, &r, &diags) == INW_BAD_INPUT); /* samples of the other kind */
	inw_odds_free(r);
	inw_diags_free(&diags);
	free(one);
	free(three);
	free(part);
	free(whole);
}

/* ---- the next measurement ---- */

/* All that is not known is the width of one seam, on which the pull inward hangs: the flow that the gaps let in tells it. */
static void next(const struct inw_design *d, struct inw_arena *a)
{
	struct sure s;

	if (!make_sure(&s, d, a))
		return;
	for (size_t i = 0; i < d->quantities; i++)
		if (strcmp(d->quantity[i].path, "box.gaps[lid seam].width") == 0)
			s.q[i].low = 0.2 * s.q[i].value, s.q[i].high = 5 * s.q[i].value;
	struct inw_day_report *r = NULL;
	struct inw_diags diags = {0};
	inw_q wanted = d->require.inward_pressure;
	CHECK(inw_day(&s.d, NULL, &r, &diags) == INW_OK);
	for (size_t i = 0; r && i < r->verdict_count; i++) /* just what the design as it stands reaches */
		if (strcmp(r->verdicts[i].id, "day_inward_pressure") == 0)
			s.q[wanted].value = s.q[wanted].low = s.q[wanted].high = r->verdicts[i].value;
	inw_day_free(r);
	inw_diags_free(&diags);
	struct inw_odds *o = odds(&s.d, (struct inw_odds_options){.day = true, .samples = 64, .width = 1e-9});
	const struct inw_odds_verdict *v = verdict(o, "day_inward_pressure");
	CHECK(o && o->drivers == 1 && o->test_count > 0 && v);
	if (v) {
		CHECK(v->met > 0.05 && v->met < 0.95);
		CHECK(v->nexts > 0 && v->next[0].gain > 0.5 * (1 - v->known_now));
	}
	inw_odds_free(o);
}

int main(void)
{
	struct inw_arena *a = inw_arena_new((size_t)1 << 26);
	struct inw_design *d = NULL;
	struct inw_diags diags = {0};
	char file[] = "/tmp/inward_odds_XXXXXX";
	int fd = mkstemp(file);

	if (!a || fd < 0)
		return 1;
	close(fd);
	CHECK(inw_design_read("examples/splint-night-mended.yaml", NULL, &d, &diags) == INW_OK);
	if (d) {
		meanings();
		waits(d);
		against_single_lives(d, a);
		same_bits(d, (struct inw_odds_options){.life = true, .samples = 16, .width = 1e-9}, INW_ODDS_PILOT_FEW, file);
		next(d, a);
	}
	unlink(file);
	inw_design_free(d);
	inw_diags_free(&diags);
	inw_arena_free(a);
	return check_done();
}
