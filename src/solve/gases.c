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

static void set_source(struct inw_gas_drive *v, int gas)
{
	for (int k = 0; k < 2; k++)
		v->air.source[k] = v->source[gas][k];
}

static double share_of_error(const struct inw_gas_drive *v, double e, const struct inw_account *now, const struct inw_account *next)
{
	double size = inw_mover_scale(&v->air, now, next);

	return size > 0 ? e / size : 0;
}

/* One account through the step, in parts that double: what is there at its beginning is gone soon or stays long. The last
 * part's error as a share of what is held, INFINITY without an answer. */
static double carry(struct inw_gas_drive *v, double dt, const struct inw_account *now, struct inw_account *next)
{
	double joined[INW_MAX_ZONES], amount[2][INW_MAX_ZONES], e = 0, part = v->parts > 1 ? dt / (ldexp(1, v->parts) - 1) : dt;
	struct inw_account from = *now;

	for (int k = 0; k < (v->parts > 1 ? v->parts : 1) && e < INFINITY; k++, part *= 2) {
		e = inw_mover_step(&v->air, part, &from, next, joined, amount);
		from = *next;
	}
	return share_of_error(v, e, now, next);
}

/* The held gases once through the step with the beds giving off `joins`; `rate`: kg/s that the box sends into the first. */
static double send_to_beds(const struct inw_gases *now, struct inw_gas_drive *v, double dt, const double *joins, struct inw_gases *next, double *rate)
{
	double error = 0;

	v->air.pass = v->air.wall_m3s = 0;
	for (int g = 0; g < now->count; g++) {
		int slot = now->carbon.slot[g];
		if (slot < 0)
			continue;
		v->air.joins = joins[slot];
		set_source(v, g);
		error = fmax(error, carry(v, dt, &now->account[g], &next->account[g]));
		rate[slot] = (next->account[g].kept - now->account[g].kept) / dt + joins[slot];
	}
	v->air.joins = 0;
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
	double error = 0;

	memcpy(next, now, offsetof(struct inw_gases, carbon));
	copy_carbon(&next->carbon, &now->carbon);
	if (now->carbon.held > 0)
		error = held_gases(now, v, &f, next);
	for (int g = 0; g < now->count; g++) {
		bool held = now->carbon.slot[g] >= 0;
		if (held && v->through)
			continue; /* went by the beds; what blows back through them passes */
		v->air.joins = v->air.wall_m3s = 0;
		v->air.pass = held ? 1 : v->pass[g];
		set_source(v, g);
		error = fmax(error, carry(v, dt, &now->account[g], &next->account[g]));
	}
	return error;
}
