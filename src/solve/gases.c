/* SPDX-License-Identifier: MIT */
#include "solve/gases.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

static void copy_carbon(struct inw_day_beds *to, const struct inw_day_beds *from)
{
	memcpy(to, from, offsetof(struct inw_day_beds, work));
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
static double carry(const struct inw_gas_drive *v, double dt, const struct inw_account *now, struct inw_account *next)
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

/* What the box sends into the beds depends on what they give back and the other way round: repeated until both agree to a
 * ten-thousandth; the rest is owed to the next step. */
static double held_gases(const struct inw_gases *now, struct inw_gas_drive *v, const struct inw_bed_flow *f, struct inw_gases *next)
{
	const struct inw_day_beds *b = &now->carbon;
	double joins[INW_PORES_MOST] = {0}, rate[INW_PORES_MOST] = {0}, error = 0, dt = f->dt;
	int n = b->held;

	for (int i = 0; i < n; i++)
		joins[i] = v->through ? b->rate_kgs[i] + b->owed_kg[i] / dt : 0;
	for (int it = 0; it < 6; it++) {
		double apart = 0, given[INW_PORES_MOST];
		if (v->through)
			error = send_to_beds(now, v, dt, joins, next, rate);
		copy_carbon(&next->carbon, b);
		memcpy(given, rate, sizeof given);
		if (inw_day_beds_step(&next->carbon, f, given))
			return INFINITY;
		for (int i = 0; i < n; i++) {
			apart = fmax(apart, fabs(given[i] + b->owed_kg[i] / dt - joins[i]) / (rate[i] + fabs(given[i]) + 1e-30));
			next->carbon.rate_kgs[i] = given[i];
			next->carbon.owed_kg[i] = b->owed_kg[i] + (given[i] - joins[i]) * dt;
			next->carbon.sent_kg[i] = b->sent_kg[i] + given[i] * dt;
		}
		if (!v->through || apart < 1e-4 || it == 5)
			break;
		for (int i = 0; i < n; i++)
			joins[i] = given[i] + b->owed_kg[i] / dt;
	}
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
