/* SPDX-License-Identifier: MIT */
#include "check/bed_log.h"

#include <math.h>
#include <string.h>

const char *inw_bed_log_name(const struct inw_design *d, const struct inw_day_beds *b, int slot)
{
	return slot < b->held ? d->catalog.substance[b->substance[slot]].name : "water";
}

static double carbon_kg(const struct inw_design *d, const struct inw_values *x, const struct inw_day_bed *bed)
{
	return inw_value(x, d->cleaner.stage[bed->stage].bed.mass, 0);
}

double inw_bed_log_held_kg(const struct inw_design *d, const struct inw_values *x, const struct inw_day_beds *b, int slot)
{
	double all = 0;

	for (int k = 0; k < b->beds; k++) {
		double sum = 0;
		for (int j = 0; j < INW_BED_CELLS; j++)
			sum += b->bed[k].q[j * inw_day_beds_slots(b) + slot];
		all += sum / INW_BED_CELLS * carbon_kg(d, x, &b->bed[k]);
	}
	return all;
}

int inw_bed_log_begin(struct inw_bed_log *l, const struct inw_day_beds *b)
{
	int slots = inw_day_beds_slots(b);
	size_t each = (size_t)slots * INW_BED_CELLS * l->wanted;

	l->slots = slots;
	l->beds = slots > 0 ? b->beds : 0;
	l->t = inw_arena_alloc(l->arena, sizeof *l->t * l->wanted);
	for (int k = 0; k < l->beds; k++) {
		l->loading[k] = inw_arena_alloc(l->arena, sizeof **l->loading * each);
		if (!l->loading[k])
			return -1;
		memcpy(l->before[k], b->bed[k].q, sizeof l->before[k]);
	}
	return l->t ? 0 : -1;
}

/* Between the state noted before and this one, `part` of the way. */
static void write_moment(struct inw_bed_log *l, const struct inw_day_beds *b, double part)
{
	for (int k = 0; k < l->beds; k++)
		for (int i = 0; i < l->slots; i++)
			for (int j = 0; j < INW_BED_CELLS; j++) {
				double was = l->before[k][j * l->slots + i], is = b->bed[k].q[j * l->slots + i];
				l->loading[k][(l->times * (size_t)l->slots + (size_t)i) * INW_BED_CELLS + (size_t)j] = was + part * (is - was);
			}
}

void inw_bed_log_note(struct inw_bed_log *l, const struct inw_day_beds *b, double t)
{
	while (l->times < l->wanted) {
		double at = l->span * (double)l->times / (double)(l->wanted - 1);
		if (at > t + 1e-6) /* s: the end of the last step is the run's, to rounding */
			break;
		l->t[l->times] = at;
		write_moment(l, b, t > l->before_t ? fmin((at - l->before_t) / (t - l->before_t), 1) : 1);
		l->times++;
	}
	for (int k = 0; k < l->beds; k++)
		memcpy(l->before[k], b->bed[k].q, sizeof l->before[k]);
	l->before_t = t;
}

void inw_bed_log_air(struct inw_bed_log *l, const struct inw_bed_now *now, const double *c, double t)
{
	struct inw_bed_strongest *s = &l->strongest;
	double gases = 0;

	for (int i = 0; i + 1 < l->slots; i++) /* all but water */
		gases += c[i];
	if (!(gases > s->gases))
		return;
	memcpy(s->c, c, sizeof *c * (size_t)l->slots);
	memcpy(s->bed, now, sizeof *now * (size_t)l->beds);
	s->gases = gases;
	s->t = t;
}

/* kg/kg of each substance in balance with the strongest air; NaN when none came. */
static void balance_with(const struct inw_bed_log *l, const struct inw_day_beds *b, int bed, double *full)
{
	const struct inw_bed_strongest *s = &l->strongest;
	double q[INW_PORES_MOST];
	bool known = s->gases > 0 && !inw_day_bed_balance(b, &s->bed[bed], &(struct inw_bed_flow){.d = l->d, .x = l->x}, s->c, q);

	for (int i = 0; i < l->slots; i++)
		full[i] = known ? q[i] : NAN;
}

static int fill(const struct inw_bed_log *l, const struct inw_day_beds *b, int k, struct inw_bed_profile *p)
{
	const struct inw_stage *stage = &l->d->cleaner.stage[b->bed[k].stage];
	const char **name = inw_arena_alloc(l->arena, sizeof *name * (size_t)l->slots);
	double *full = inw_arena_alloc(l->arena, 2 * sizeof *full * (size_t)l->slots);

	if (!name || !full)
		return -1;
	balance_with(l, b, k, full);
	for (int i = 0; i < l->slots; i++) {
		name[i] = inw_bed_log_name(l->d, b, i);
		full[l->slots + i] = l->strongest.gases > 0 ? l->strongest.c[i] : NAN;
	}
	*p = (struct inw_bed_profile){.stage = stage->name, .depth_m = inw_value(l->x, stage->bed.depth, NAN), .carbon_kg = carbon_kg(l->d, l->x, &b->bed[k]),
		.cells = INW_BED_CELLS, .substance = name, .substances = (size_t)l->slots, .t = l->t, .times = l->times, .loading = l->loading[k],
		.full = full, .strongest = full + l->slots, .strongest_t = l->strongest.gases > 0 ? l->strongest.t : NAN};
	return 0;
}

int inw_bed_log_end(const struct inw_bed_log *l, const struct inw_day_beds *b, const struct inw_bed_profile **out, size_t *count)
{
	struct inw_bed_profile *p = inw_arena_alloc(l->arena, sizeof *p * (size_t)(l->beds + 1));

	if (!p)
		return -1;
	for (int k = 0; k < l->beds; k++)
		if (fill(l, b, k, &p[k]))
			return -1;
	*out = p;
	*count = (size_t)l->beds;
	return 0;
}
