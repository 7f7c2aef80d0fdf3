/* SPDX-License-Identifier: MIT */
/* Samples of a check against the same values solved to the end in every state: what is foretold, solved less closely and left out may
 * change hardly anything. */
#include "base/number.h"
#include "check/odds.h"

#include <stdlib.h>

#include "check/study.h"
#include "solve/sample.h"
#include "test/check.h"
#include "test/model/random_design.h"

enum { SAMPLES = 256 };

struct drawn {
	struct inw_subject s;
	struct inw_inputs in;
	struct inw_sampler sampler;
	double *u, *z, *x, *truth, *closer, *value;  /* the last three of all samples: [SAMPLES][outputs] */
	struct inw_arena *a;
};

static void draw(struct drawn *t, const struct inw_design *d, uint64_t i)
{
	inw_sampler_point(&t->sampler, i, t->u);
	for (size_t q = 0; q < d->quantities; q++)
		t->x[q] = d->quantity[q].value;
	inw_inputs_at(&t->in, d, t->u, t->z, t->x);
}

static void solve_all(struct drawn *t, const struct inw_design *d, double *truth)
{
	int out = 0;

	for (size_t j = 0; j < d->jobs; j++) {
		struct inw_arena *scratch = inw_arena_new((size_t)1 << 28);
		struct inw_study *s = scratch ? inw_study_begin(d, &d->job[j], scratch) : NULL;
		CHECK(s != NULL);
		if (!s)
			return;
		memcpy(s->x, t->x, sizeof *s->x * d->quantities);
		inw_study_states(s, NULL);
		for (int i = 0; i < s->measures.n && s->measures.m[i].kind != INW_M_BALANCE; i++)
			truth[out++] = inw_study_finding(s, i).value; /* what a check finds, of which it tells */
		inw_arena_free(scratch);
	}
	CHECK(out == t->s.outputs);
}

/* From the 5 to the 95 % point of what is true, on the output's scale. */
static double spread(const struct drawn *t, int output)
{
	double y[SAMPLES];
	int n = 0;

	for (int i = 0; i < SAMPLES; i++) {
		double v = inw_output_scaled(&t->s.output[output], t->truth[i * t->s.outputs + output]);
		if (isfinite(v))
			y[n++] = v;
	}
	qsort(y, (size_t)n, sizeof *y, inw_by_size);
	return n > 1 ? y[(int)(0.95 * (n - 1))] - y[(int)(0.05 * (n - 1))] : 0;
}

/* Temperatures that hardly scatter: to a tenth of a kelvin, by the hundredth. */
static double floor_of(const struct inw_output *o)
{
	return o->dim == INW_DIM_TEMPERATURE ? 10 : 0;
}

/* How many samples have another verdict; how many another number by more than a share of its spread or of its way to the limit. */
struct off { int verdicts, numbers; };

static struct off compare(const struct drawn *t, const double *got, int output, double share)
{
	const struct inw_output *o = &t->s.output[output];
	struct off off = {0, 0};

	for (int i = 0; i < SAMPLES; i++) {
		double want = t->truth[i * t->s.outputs + output], v = got[i * t->s.outputs + output];
		bool limited = o->sense != INW_NO_LIMIT;
		if (isnan(want) != isnan(v) || (limited && !isnan(v) && (inw_output_margin(o, want) >= 0) != (inw_output_margin(o, v) >= 0))) {
			off.verdicts++;
			continue;
		}
		double y = inw_output_scaled(o, want), size = fmax(spread(t, output), floor_of(o)), away = fabs(y - inw_output_scaled(o, o->limit));
		if (o->sense == INW_WITHIN)
			away = fmin(away, fabs(y - inw_output_scaled(o, o->limit_high)));
		if (limited && isfinite(away))
			size = fmax(size, away);
		off.numbers += want != v && !isnan(v) && !(fabs(y - inw_output_scaled(o, v)) <= share * size);
	}
	return off;
}

static bool prepare(struct drawn *t, const struct inw_design *d, int pilots_worker)
{
	if (inw_subject_check(&t->s, d, 2, t->a) || inw_inputs_list(&t->in, d, t->s.sampled, t->s.weight, false, t->a))
		return false;
	t->s.in = &t->in;
	size_t outputs = (size_t)t->s.outputs;
	t->u = inw_arena_alloc(t->a, sizeof(double) * (t->in.drivers + 64));
	t->z = inw_arena_alloc(t->a, sizeof(double) * (t->in.count + 1));
	t->x = inw_arena_alloc(t->a, sizeof(double) * (d->quantities + 1));
	t->truth = inw_arena_alloc(t->a, sizeof(double) * outputs * SAMPLES);
	t->closer = inw_arena_alloc(t->a, sizeof(double) * outputs * SAMPLES);
	t->value = inw_arena_alloc(t->a, sizeof(double) * outputs * SAMPLES);
	double *pilot = inw_arena_alloc(t->a, sizeof(double) * t->s.detail * INW_ODDS_PILOT), *ignored = inw_arena_alloc(t->a, sizeof(double) * outputs);
	if (!t->u || !t->z || !t->x || !t->truth || !t->closer || !t->value || !pilot || !ignored || inw_sampler_make(&t->sampler, 1, t->in.drivers, t->a))
		return false;
	for (int i = 0; i < INW_ODDS_PILOT; i++) {
		draw(t, d, (uint64_t)i);
		if (t->s.closer(t->s.worker[pilots_worker], t->x, t->z, ignored, &pilot[(size_t)i * t->s.detail]))
			return false;
	}
	return t->s.plan(&t->s, pilot, INW_ODDS_PILOT) == 0;
}

/* Whoever solved the pilot: the same bits. */
static void same_bits(const struct drawn *first, const struct inw_design *d)
{
	struct drawn t = {.a = inw_arena_new((size_t)1 << 30)};

	CHECK(t.a && prepare(&t, d, 1));
	for (int i = 0; t.value && i < SAMPLES / 8; i++) {
		draw(&t, d, (uint64_t)(INW_ODDS_PILOT + i));
		CHECK(t.s.values(t.s.worker[0], t.x, t.z, t.value, NULL) == 0);
		CHECK(memcmp(t.value, &first->value[i * t.s.outputs], sizeof *t.value * (size_t)t.s.outputs) == 0);
	}
	inw_arena_free(t.a);
}

/* `settled`: its air has one solution only, wherever solving begins, so that numbers can be held against each other. */
static void one_design(const struct inw_design *d, bool settled)
{
	struct drawn t = {.a = inw_arena_new((size_t)1 << 30)};

	CHECK(d && t.a && prepare(&t, d, 0));
	for (int i = 0; d && t.value && i < SAMPLES; i++) {
		size_t at = (size_t)(i * t.s.outputs);
		draw(&t, d, (uint64_t)(INW_ODDS_PILOT + i)); /* others than the pilot's */
		solve_all(&t, d, &t.truth[at]);
		CHECK(t.s.closer(t.s.worker[0], t.x, t.z, &t.closer[at], NULL) == 0);
		CHECK(t.s.values(t.s.worker[0], t.x, t.z, &t.value[at], NULL) == 0);
	}
	for (int o = 0; d && t.value && settled && o < t.s.outputs; o++) {
		struct off closer = compare(&t, t.closer, o, 0.01), value = compare(&t, t.value, o, 0.02);
		CHECK_ABS(closer.verdicts + closer.numbers, 0, SAMPLES / 100, "the same states solved to 1e-11");
		CHECK_ABS(value.verdicts + value.numbers, 0, SAMPLES / 20, "all states solved to 1e-11");
	}
	if (d && t.value)
		same_bits(&t, d);
	inw_arena_free(t.a);
}

static void one_file(const char *file)
{
	struct inw_design *d = NULL;
	struct inw_diags diags = {0};

	CHECK(inw_design_read(file, NULL, &d, &diags) == INW_OK);
	one_design(d, true);
	inw_design_free(d);
	inw_diags_free(&diags);
}

int main(void)
{
	/* made at random, and other ones by another compiler: with one of gcc's first, air far from settled took heat below absolute zero along */
	const uint64_t seed[] = {190, 131, 137};

	one_file("examples/splint-night.yaml");
	one_file("examples/splint-night-mended.yaml");
	one_file("examples/craft-room.yaml");
	one_file("examples/houseboat-bench.yaml");
	for (size_t i = 0; i < INW_COUNT(seed); i++) {
		struct random_source r = {seed[i]};
		struct inw_design *d = random_design(&r);
		one_design(d, false);
		inw_design_free(d);
	}
	return check_done();
}
