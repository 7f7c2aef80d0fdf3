/* SPDX-License-Identifier: MIT */
#include "solve/gases.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

/* Of the beds only what there is of them: this is done several times a step. */
static void copy_carbon(struct inw_day_beds *to, const struct inw_day_beds *from)
{
	const size_t others = offsetof(struct inw_day_beds, beds);

	memcpy(to->bed, from->bed, sizeof from->bed[0] * (size_t)from->beds);
	memcpy((char *)to + others, (const char *)from + others, offsetof(struct inw_day_beds, work) - others);
}

void inw_gases_copy(struct inw_gases *to, const struct inw_gases *from)
{
	memcpy(to, from, offsetof(struct inw_gases, carbon));
	copy_carbon(&to->carbon, &from->carbon);
}

/* Two gases through the step, in parts that double: what is there at its beginning is gone soon or stays long. The last
 * part's larger error as a share of what is held, INFINITY without an answer. */
static double carry(struct inw_gas_drive *v, double dt, struct inw_two *two)
{
	const struct inw_account *began[2] = {two->from[0], two->from[1]};
	double worst = 0, part = v->parts > 1 ? dt / (ldexp(1, v->parts) - 1) : dt;

	two->error = (inw_pair){ 0 };
	for (int k = 0; k < (v->parts > 1 ? v->parts : 1) && two->error[0] < INFINITY; k++, part *= 2) {
		inw_mover_step(&v->air, part, two);
		for (int i = 0; i < 2; i++)
			two->from[i] = two->to[i];
	}
	for (int i = 0; i < 2; i++) {
		double size = inw_mover_scale(&v->air, fmax(two->source[0][i], two->source[1][i]), began[i], two->to[i]);
		worst = fmax(worst, size > 0 ? two->error[i] / size : 0);
	}
	return worst;
}

/* How a gas goes: the share that the cleaner lets by, and kg/s that join behind it. */
struct going { int gas; double pass, joins; };

static void set_out(const struct inw_gas_drive *v, const struct going *g, struct inw_two *two, int which)
{
	for (int k = 0; k < 2; k++)
		two->source[k][which] = v->source[g->gas][k];
	two->pass[which] = g->pass;
	two->joins[which] = g->joins;
}

/* Gases through the step, two by two. The largest error. */
static double carry_all(struct inw_gas_drive *v, double dt, const struct going *list, int n, const struct inw_gases *now, struct inw_gases *next)
{
	struct inw_two two = {0};
	double error = 0;

	for (int i = 0; i < n; i += 2) {
		for (int which = 0; which < 2; which++) {
			const struct going *g = &list[i + (i + 1 < n ? which : 0)]; /* the odd one twice */
			set_out(v, g, &two, which);
			two.from[which] = &now->account[g->gas];
			two.to[which] = &next->account[g->gas];
		}
		error = fmax(error, carry(v, dt, &two));
	}
	return error;
}

/* The held gases once through the step with the beds giving off `joins`; `rate`: kg/s that the box sends into the first. */
static double send_to_beds(const struct inw_gases *now, struct inw_gas_drive *v, double dt, const double *joins, struct inw_gases *next, double *rate)
{
	struct going list[INW_MAX_GASES];
	int n = 0;

	for (int g = 0; g < now->count; g++)
		if (now->carbon.slot[g] >= 0)
			list[n++] = (struct going){g, 0, joins[now->carbon.slot[g]]};
	double error = carry_all(v, dt, list, n, now, next);
	for (int i = 0; i < n; i++) {
		const struct inw_account *was = &now->account[list[i].gas], *is = &next->account[list[i].gas];
		rate[now->carbon.slot[list[i].gas]] = (is->kept - was->kept) / dt + list[i].joins;
	}
	return error;
}

/* One turn of the repetition below: `joins` what the beds are taken to give off, `rate` what the box then sends into them,
 * `given` what they then do give off, kg/s. */
struct turn { double joins[INW_PORES_MOST], rate[INW_PORES_MOST], given[INW_PORES_MOST]; bool again; };

/* The search for the beds' warmth begins where the turn before found it, in the first where it goes as in the last step. */
static void begin_beds(struct inw_day_beds *next, const struct inw_day_beds *now, double dt, bool again)
{
	const double furthest = 5; /* K */

	double found[INW_DAY_BEDS];

	for (int k = 0; k < now->beds; k++)
		found[k] = again ? next->bed[k].warmer_K : now->bed[k].warmer_K + fmin(fmax(now->bed[k].drift_Ks * dt, -furthest), furthest);
	copy_carbon(next, now);
	for (int k = 0; k < now->beds; k++)
		next->bed[k].guess_K = found[k];
}

static double one_turn(const struct inw_gases *now, struct inw_gas_drive *v, const struct inw_bed_flow *f, struct turn *t, struct inw_gases *next)
{
	const struct inw_day_beds *b = &now->carbon;
	double error = v->through ? send_to_beds(now, v, f->dt, t->joins, next, t->rate) : 0;

	begin_beds(&next->carbon, b, f->dt, t->again);
	t->again = true;
	memcpy(t->given, t->rate, sizeof t->given);
	if (inw_day_beds_step(&next->carbon, f, t->given))
		return INFINITY;
	for (int i = 0; i < b->held; i++) {
		next->carbon.rate_kgs[i] = t->given[i];
		next->carbon.owed_kg[i] = b->owed_kg[i] + (t->given[i] - t->joins[i]) * f->dt;
		next->carbon.sent_kg[i] = b->sent_kg[i] + t->given[i] * f->dt;
	}
	return error;
}

/* What the beds should give off in a step, a mean over it, if that goes on as between the last two; within a factor of two. */
static double ahead(const struct inw_day_beds *b, int i, double dt)
{
	const double rate = b->rate_kgs[i], next = rate + b->trend_kgs2[i] * 0.5 * (b->step_s + dt);

	return next > 0.5 * rate && next < 2 * rate ? next : rate;
}

/* By how much what the beds give off is not what they were taken to give off, what is owed included; largest share. */
static double disagreement(const struct inw_day_beds *b, const struct turn *t, double dt, double *off)
{
	double apart = 0;

	for (int i = 0; i < b->held; i++) {
		off[i] = t->given[i] + b->owed_kg[i] / dt - t->joins[i];
		apart = fmax(apart, fabs(off[i]) / (t->rate[i] + fabs(t->given[i]) + 1e-30));
	}
	return apart;
}

/* What the box sends into the beds depends on what they give back and the other way round: repeated until both agree to a
 * ten-thousandth; the rest is owed to the next step. Each gas goes to where its own last two turns point, the first time by
 * the slope that the step before had, and begins where the last two steps lead. */
static double held_gases(const struct inw_gases *now, struct inw_gas_drive *v, const struct inw_bed_flow *f, struct inw_gases *next)
{
	const struct inw_day_beds *b = &now->carbon;
	const double steepest = 0.95; /* of what comes back by what went in: none multiplies it */
	struct turn t = {.again = false}, last;
	double off[INW_PORES_MOST], slope[INW_PORES_MOST], error = 0, dt = f->dt;
	int n = b->held;

	memcpy(slope, b->slope, sizeof slope);
	for (int i = 0; i < n; i++)
		t.joins[i] = v->through ? ahead(b, i, dt) + b->owed_kg[i] / dt : 0;
	for (int it = 0; it < 6; it++) {
		error = one_turn(now, v, f, &t, next);
		if (!(error < INFINITY))
			return INFINITY;
		double apart = disagreement(b, &t, dt, off);
		if (!v->through || apart < 1e-4 || it == 5)
			break;
		for (int i = 0; i < n && it > 0; i++)
			if (t.joins[i] != last.joins[i])
				slope[i] = fmin(fmax((t.given[i] - last.given[i]) / (t.joins[i] - last.joins[i]), 0), steepest);
		last = t;
		for (int i = 0; i < n; i++)
			t.joins[i] += off[i] / (1 - slope[i]);
	}
	memcpy(next->carbon.slope, slope, sizeof slope);
	for (int i = 0; i < n; i++)
		next->carbon.trend_kgs2[i] = b->step_s > 0 ? (t.given[i] - b->rate_kgs[i]) / (0.5 * (b->step_s + dt)) : 0;
	next->carbon.step_s = dt;
	return error;
}

double inw_gases_step(const struct inw_gases *now, struct inw_gas_drive *v, const struct inw_design *d, const struct inw_values *x, double dt, struct inw_gases *next)
{
	const struct inw_bed_flow f = {v->bed, d, x, dt, v->hurry, v->warmth_known};
	struct going list[INW_MAX_GASES];
	double error = 0;
	int n = 0;

	memcpy(next, now, offsetof(struct inw_gases, carbon));
	copy_carbon(&next->carbon, &now->carbon);
	if (now->carbon.held > 0)
		error = held_gases(now, v, &f, next);
	for (int g = 0; g < now->count; g++) {
		bool held = now->carbon.slot[g] >= 0;
		if (!held || !v->through) /* else it went by the beds; what blows back through them passes */
			list[n++] = (struct going){g, held ? 1 : v->pass[g], 0};
	}
	return fmax(error, carry_all(v, dt, list, n, now, next));
}
