/* SPDX-License-Identifier: MIT */
/* test_jacobian.c: the Jacobian of every balance against differences of the residual, entry by entry, at random states of
 * random designs: flows of both signs and of all sizes, temperatures from frost to oven, all modes of heater and plate.
 *
 * A central difference D(h) errs by h^2; Richardson's R(h) = (4 D(h/2) - D(h))/3 by h^4, and |R(h/2) - R(h)| bounds that
 * error where the function is smooth. An entry is right when it is within that bound (and rounding) at some h, and the bound
 * itself must be under 3e-5 of the entry: a difference that knows nothing cannot pass. Where a flow turns round, one of
 * the two one-sided derivatives must be met. With other seeds a few entries in a million stay unproven (flows under 1e-6 kg/s,
 * a kink closer than any useful step). Arguments: designs (400), states of each (6), seed.
 */
#include <stdlib.h>

#include "test/check.h"
#include "test/model/random_design.h"

enum { N = INW_MAX_UNKNOWNS, LISTED = 20 };

struct subject {
	struct inw_model m;
	struct inw_slots s;
	double y[N], unknown[N], equation[N];
	struct inw_sparse J;
	uint64_t seed;
	int bad;
	long entries, deaf;
};

static const double known = 3e-5; /* of an entry: a difference that knows it less well proves nothing */
static int listed;

static void residual(const struct subject *t, const double *y, double *r)
{
	inw_model_residual(&t->m, &t->s, y, r, NULL, NULL);
	for (int i = 0; i < t->s.n; i++)
		r[i] /= t->equation[i];
}

/* Difference quotient of all rows by column j over [a, b], in natural units of both. */
static void quotient(const struct subject *t, int j, double a, double b, double *d, double *size)
{
	double y[N], low[N], high[N];

	memcpy(y, t->y, sizeof y);
	y[j] = t->y[j] + a * t->unknown[j];
	double from = y[j];
	residual(t, y, low);
	y[j] = t->y[j] + b * t->unknown[j];
	double to = y[j];
	residual(t, y, high);
	for (int i = 0; i < t->s.n; i++) {
		d[i] = (high[i] - low[i]) / ((to - from) / t->unknown[j]);
		size[i] = fmax(fabs(high[i]), fabs(low[i]));
	}
}

/* Terms of a balance are up to thousands of times its sum (a sheet's conduction): their rounding, over the natural size. */
static double rounding(const struct subject *t, int i)
{
	double G = 0;

	for (int k = 0; k < INW_FACES; k++)
		if (i == t->s.T_panel_in[k] || i == t->s.T_panel_out[k])
			G = t->m.panel[k].area / t->m.panel[k].resistance;
	return 1e-15 * (300 * G / t->equation[i] + 30);
}

/* Prove what can be proven of column j at step h; `todo` marks the rows still unproven, `deaf` those whose residual is so
 * large that its rounding hides the entry at any step. */
static void column(const struct subject *t, int j, double h, int side, bool *todo, bool *deaf)
{
	double d[3][N], size[3][N];

	for (int k = 0; k < 3; k++, h /= 2)
		quotient(t, j, side > 0 ? 0 : -h, side < 0 ? 0 : h, d[k], size[k]);
	for (int i = 0; i < t->s.n; i++) {
		double J = t->J.a[i * t->s.n + j] * t->unknown[j] / t->equation[i];
		double R1 = side ? 2 * d[1][i] - d[0][i] : (4 * d[1][i] - d[0][i]) / 3;
		double R2 = side ? 2 * d[2][i] - d[1][i] : (4 * d[2][i] - d[1][i]) / 3;
		double noise = (rounding(t, i) + 2.3e-16 * fmax(size[0][i], size[2][i])) / h, bound = fabs(R2 - R1) + 4 * noise;
		bool empty = J == 0 && d[0][i] == 0 && d[1][i] == 0 && d[2][i] == 0;
		if (empty || (bound <= known * fabs(J) + 1e-2 * known && fabs(J - R2) <= bound + 1e-7 * fabs(J) + 1e-12))
			todo[i] = false;
		if (4 * noise <= known * fabs(J) + 1e-2 * known)
			deaf[i] = false;
	}
}

static int remaining(const bool *todo, int n)
{
	int c = 0;

	for (int i = 0; i < n; i++)
		c += todo[i];
	return c;
}

/* What stands in slot i, in words. */
static const char *slot_name(const struct inw_slots *s, int i)
{
	const struct { const int *slot; int count; const char *name; } all[] = {
		{&s->p_box, 1, "p_box"}, {s->p_room, INW_MAX_ROOMS, "p_room"}, {&s->p_junction, 1, "p_junction"}, {&s->m_clean, 1, "m_clean"},
		{&s->m_return, 1, "m_return"}, {&s->m_exhaust, 1, "m_exhaust"}, {s->m_bypass, INW_MAX_STAGES, "m_bypass"}, {&s->T_box, 1, "T_box"},
		{s->T_room, INW_MAX_ROOMS, "T_room"}, {&s->T_in, 1, "T_in"}, {&s->T_junction, 1, "T_junction"}, {&s->T_return, 1, "T_return"},
		{&s->T_exhaust, 1, "T_exhaust"}, {&s->T_star, 1, "T_star"}, {s->T_skin, 3, "T_skin"}, {s->T_panel_in, INW_FACES, "T_panel_in"},
		{s->T_panel_out, INW_FACES, "T_panel_out"},
	};

	for (size_t k = 0; k < INW_COUNT(all); k++)
		for (int j = 0; j < all[k].count; j++)
			if (all[k].slot[j] == i)
				return all[k].name;
	return "?";
}

static void check_column(struct subject *t, int j, bool at_switch)
{
	bool todo[N], deaf[N];
	int n = t->s.n;

	for (int i = 0; i < n; i++)
		todo[i] = deaf[i] = true;
	for (double h = 0.5; h > 1e-10 && remaining(todo, n); h *= 0.2)
		for (int side = -1; side <= 1; side++)
			if (side == 0 || at_switch)
				column(t, j, h, side, todo, deaf);
	t->entries += n;
	for (int i = 0; i < n; i++) {
		if (!todo[i])
			continue;
		t->deaf += deaf[i];
		if (deaf[i])
			continue;
		t->bad++;
		if (listed++ >= LISTED)
			continue;
		double d[N], size[N];
		quotient(t, j, -1e-5, 1e-5, d, size);
		printf("  design %llu: %s by %s: %.9g, by difference %.9g (at %.9g)\n", (unsigned long long)t->seed, slot_name(&t->s, i), slot_name(&t->s, j),
		       t->J.a[i * n + j] * t->unknown[j] / t->equation[i], d[i], t->y[j]);
	}
}

static void set(double *y, int slot, double v)
{
	if (slot >= 0)
		y[slot] = v;
}

static double flow(struct random_source *r)
{
	double m = random_log(r, 1e-7, 3e-2);

	return random_chance(r, 0.3) ? -m : m;
}

static void random_state(struct subject *t, struct random_source *r)
{
	const struct inw_slots *s = &t->s;
	const int temperatures[] = {s->T_box, s->T_in, s->T_junction, s->T_return, s->T_exhaust, s->T_star, s->T_skin[0], s->T_skin[1], s->T_skin[2]};

	inw_model_guess(&t->m, s, t->y);
	t->y[s->p_box] += random_between(r, -20, 20);
	set(t->y, s->p_junction, random_between(r, -100, 100));
	for (int i = 0; i < t->m.rooms; i++) {
		t->y[s->p_room[i]] += random_between(r, -5, 5);
		set(t->y, s->T_room[i], random_between(r, 260, 320));
	}
	for (size_t i = 0; i < INW_COUNT(temperatures); i++)
		set(t->y, temperatures[i], random_between(r, 255, 400));
	for (int i = 0; i < INW_FACES; i++) {
		t->y[s->T_panel_in[i]] = random_between(r, 255, 400);
		t->y[s->T_panel_out[i]] = random_between(r, 255, 400);
	}
	set(t->y, s->m_clean, flow(r));
	set(t->y, s->m_return, flow(r));
	set(t->y, s->m_exhaust, flow(r));
	for (int k = 0; k < t->m.stages; k++)
		set(t->y, s->m_bypass[k], 1e-3 * flow(r));
}

/* Put the state where a flow of the chain, or of a level gap, turns round. Returns whether there is such a place. */
static bool to_switch(struct subject *t, struct random_source *r)
{
	const struct inw_slots *s = &t->s;
	const int flows[] = {s->m_clean, s->m_return, s->m_exhaust};
	int which = random_int(r, 0, 3);

	if (which < 3) {
		set(t->y, flows[which], 0);
		return flows[which] >= 0;
	}
	if (!t->m.gaps || t->m.gap[0].room < 0)
		return false;
	int room = t->m.gap[0].room;
	double T = s->T_room[room] >= 0 ? t->y[s->T_room[room]] : t->m.room[room].T, z = t->m.gap[0].z;
	t->y[s->p_box] = t->y[s->p_room[room]] - inw_model_air(&t->m, T, t->m.room[room].humidity_ratio).rho * INW_GRAVITY * (t->m.stand + z)
	               + inw_model_air(&t->m, t->y[s->T_box], t->m.w_box).rho * INW_GRAVITY * z;
	return true;
}

static void one_state(struct subject *t, struct random_source *r, bool at_switch)
{
	double R[N];

	t->m.heater = (enum inw_heater_mode)random_int(r, INW_HEATER_OFF, INW_HEATER_HOLDS);
	inw_model_slots(&t->m, &t->s);
	inw_model_scales(&t->m, &t->s, t->unknown, t->equation);
	random_state(t, r);
	if (at_switch && !to_switch(t, r))
		return;
	inw_model_residual(&t->m, &t->s, t->y, R, &t->J, NULL);
	for (int j = 0; j < t->s.n; j++)
		check_column(t, j, at_switch);
}

static void one_design(struct subject *t, int states)
{
	static const struct inw_state as_designed = {.speed_factor = 1};
	struct random_source r = {t->seed};
	struct inw_design *d = random_design(&r);
	const char *why = NULL;

	CHECK(d != NULL);
	for (int k = 0; d && k < states; k++) {
		double *x = random_values(&r, d, k > 0);
		struct inw_values v = {x, NULL};
		if (x && !inw_model_build(&t->m, d, &v, &d->job[0], &as_designed, &why))
			one_state(t, &r, k % 3 == 2);
		free(x);
	}
	inw_design_free(d);
}

int main(int argc, char **argv)
{
	static struct subject t;
	int designs = argc > 1 ? atoi(argv[1]) : 400, states = argc > 2 ? atoi(argv[2]) : 6;
	uint64_t seed = argc > 3 ? strtoull(argv[3], NULL, 10) : 7;

	for (int i = 0; i < designs; i++) {
		t.seed = seed * 1000003 + (uint64_t)i;
		one_design(&t, states);
	}
	printf("seed %llu: %ld entries, %d wrong, %ld beyond what a difference can tell\n", (unsigned long long)seed, t.entries, t.bad, t.deaf);
	CHECK(t.entries > 500L * designs);
	CHECK(t.bad == 0);
	CHECK((double)t.deaf < 1e-4 * (double)t.entries);
	return check_done();
}
