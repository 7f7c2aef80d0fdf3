/* SPDX-License-Identifier: MIT */
/* test_random.c: ten thousand random designs, each solved from a cold start. Every one must end in a solution that closes
 * mass and energy, and what follows from it must be physical: nothing negative, nothing that is not a number, no share
 * outside 0..1. Arguments: how many designs (1000), how many sets of values of each (10), seed.
 * The expected values are conservation laws, not our own earlier answers.
 */
#include <stdlib.h>

#include "solve/outcome.h"
#include "test/check.h"
#include "test/model/random_design.h"

enum { LISTED = 20 };

struct tally { int solved, refused, unsolved, broken, iterations, most_iterations, warm; };

static int listed;

static void complain(uint64_t seed, int variant, const char *what, double value)
{
	if (listed++ < LISTED)
		printf("  design %llu, values %d: %s (%.3g)\n", (unsigned long long)seed, variant, what, value);
}

struct subject { const struct inw_design *d; struct inw_values x; struct inw_solution *sol; uint64_t seed; int variant; int faults; };

static void must(struct subject *s, bool good, const char *what, double value)
{
	if (good)
		return;
	s->faults++;
	complain(s->seed, s->variant, what, value);
}

/* Residual of each equation over its natural size, and the two sums that the equations do not contain. */
static void check_closure(struct subject *s)
{
	static double r[INW_MAX_UNKNOWNS], unknown[INW_MAX_UNKNOWNS], equation[INW_MAX_UNKNOWNS];
	const struct inw_solution *sol = s->sol;

	inw_model_scales(&sol->m, &sol->s, unknown, equation);
	inw_model_residual(&sol->m, &sol->s, sol->y, r, NULL, NULL);
	for (int i = 0; i < sol->s.n; i++)
		must(s, fabs(r[i]) <= 1e-9 * equation[i], "a residual above 1e-9 of its scale", r[i] / equation[i]);
	for (int i = 0; i < sol->s.n; i++)
		must(s, isfinite(sol->y[i]), "an unknown is not finite", sol->y[i]);
	must(s, sol->mass_closure <= 1e-9, "mass does not close", sol->mass_closure);
	must(s, sol->energy_closure <= 1e-9, "energy does not close", sol->energy_closure);
}

static void share(struct subject *s, double v, const char *what)
{
	must(s, v >= -1e-9 && v <= 1 + 1e-9, what, v);
}

static void not_negative(struct subject *s, double v, const char *what)
{
	must(s, v >= 0 && isfinite(v), what, v);
}

static void check_gases(struct subject *s, const struct inw_outcome *o)
{
	for (int i = 0; i < o->gases; i++) {
		const struct inw_gas_outcome *g = &o->gas[i];
		share(s, g->pass, "pass of a gas");
		not_negative(s, g->box_kgm3, "gas in the box");
		not_negative(s, g->emission_kgs, "emission");
		double rounding = 1e-14 * g->box_kgm3; /* of the balance of all zones */
		for (int k = 0; k < s->sol->m.rooms; k++) {
			not_negative(s, g->room_kgm3[k] + rounding, "gas in a room");
			not_negative(s, g->spent_kgm3[k] + rounding, "gas in a room, carbon spent");
			must(s, g->room_kgm3[k] <= g->spent_kgm3[k] * (1 + 1e-9) + rounding, "carbon makes a room worse", g->room_kgm3[k] / g->spent_kgm3[k]);
		}
	}
}

/* Air that leaves the box for good, kg/s. */
static double exchanged(const struct inw_solution *sol)
{
	double out = sol->s.m_exhaust >= 0 ? fabs(sol->y[sol->s.m_exhaust]) : 0;

	for (int i = 0; i < sol->m.gaps; i++)
		out += sol->f.gap_out[i];
	return out;
}

static void check_outcome(struct subject *s, const struct inw_state *state)
{
	static struct inw_outcome o;
	const struct inw_solution *sol = s->sol;

	inw_outcome(&o, sol, s->d, &s->x, &s->d->job[0], state);
	for (int i = 0; i < sol->m.gaps; i++) {
		not_negative(s, sol->f.gap_in[i], "flow in through a gap");
		not_negative(s, sol->f.gap_out[i], "flow out through a gap");
		must(s, isfinite(o.gap_least_Pa[i]), "least pressure of a gap", o.gap_least_Pa[i]);
		must(s, isfinite(o.gap_velocity_ms[i]) || sol->m.gap[i].kind == INW_GAP_MEASURED, "velocity in a gap", o.gap_velocity_ms[i]);
	}
	not_negative(s, o.escape_m3s, "escape");
	share(s, o.particle_pass, "pass of particles");
	share(s, o.bypass, "bypass");
	if (sol->s.m_return >= 0 && sol->s.m_exhaust >= 0 && sol->y[sol->s.m_return] >= 0 && sol->y[sol->s.m_exhaust] >= 0)
		share(s, o.share_out, "share sent out"); /* a branch that flows backwards makes it no share */
	if (exchanged(sol) > 1e-12 || o.particle_pass < 1) {
		not_negative(s, o.box_particles_m3, "particles in the box");
		share(s, o.particle_kept, "particles kept");
	}
	for (int i = 0; i < sol->m.rooms; i++)
		not_negative(s, o.room_particles_m3[i], "particles in a room");
	if (exchanged(sol) > 1e-12) /* where no air enters or leaves, a gas that is not held has no steady state */
		check_gases(s, &o);
	not_negative(s, o.power_W, "power");
	must(s, o.removal_1s >= -1e-11, "removal of particles", o.removal_1s);
	must(s, o.gas_removal_1s >= -1e-11, "removal of gas", o.gas_removal_1s);
	if (o.bed >= 0 && exchanged(sol) > 1e-12)
		must(s, o.residence_s > 0 && !isnan(o.life_s) && isfinite(o.bed_T_K), "bed", o.residence_s);
}

/* Physics that the thermostats must obey. */
static void check_thermostats(struct subject *s)
{
	const struct inw_solution *sol = s->sol;
	double T = sol->y[sol->s.T_box];

	must(s, sol->f.plate_W >= -1e-6, "a plate that cools", sol->f.plate_W);
	if (!(sol->m.heater_power > 0))
		return;
	must(s, sol->f.heater_W >= -1e-6 && sol->f.heater_W <= sol->m.heater_power * (1 + 1e-9), "heater out of its range", sol->f.heater_W);
	must(s, T >= sol->m.heater_target - 1e-6 || sol->f.heater_W >= sol->m.heater_power * (1 - 1e-9), "cold box, heater not full", T - sol->m.heater_target);
	must(s, T <= sol->m.heater_target + 1e-6 || sol->f.heater_W <= 0, "hot box, heater on", T - sol->m.heater_target);
}

static void solve(struct subject *s, struct tally *tally)
{
	static const struct inw_state state = {.name = "as designed", .speed_factor = 1};
	const char *why = NULL;

	if (inw_model_build(&s->sol->m, s->d, &s->x, &s->d->job[0], &state, &why)) {
		tally->refused++;
		if (listed++ < LISTED)
			printf("  design %llu, values %d refused: %s\n", (unsigned long long)s->seed, s->variant, why);
		return;
	}
	inw_steady(s->sol, false);
	if (s->sol->status != INW_OK) {
		bool physical = s->sol->why && !strstr(s->sol->why, "no steady state");
		tally->refused += physical;
		tally->unsolved += !physical;
		if (!physical)
			complain(s->seed, s->variant, "did not converge", s->sol->residual);
		return;
	}
	tally->solved++;
	tally->iterations += s->sol->iterations;
	tally->most_iterations = s->sol->iterations > tally->most_iterations ? s->sol->iterations : tally->most_iterations;
	check_closure(s);
	check_thermostats(s);
	check_outcome(s, &state);
	tally->broken += s->faults > 0;
}

static void one_design(uint64_t seed, int variants, struct tally *tally)
{
	static struct inw_solution sol;
	struct random_source r = {seed};
	struct inw_design *d = random_design(&r);

	CHECK(d != NULL);
	for (int v = 0; d && v < variants; v++) {
		double *x = random_values(&r, d, v > 0);
		struct subject s = {d, {x, NULL}, &sol, seed, v, 0};
		if (x)
			solve(&s, tally);
		free(x);
	}
	inw_design_free(d);
}

int main(int argc, char **argv)
{
	int designs = argc > 1 ? atoi(argv[1]) : 1000, variants = argc > 2 ? atoi(argv[2]) : 10;
	uint64_t seed = argc > 3 ? strtoull(argv[3], NULL, 10) : 20;
	struct tally t = {0};

	printf("seed %llu\n", (unsigned long long)seed);
	for (int i = 0; i < designs; i++)
		one_design(seed * 1000003 + (uint64_t)i, variants, &t);
	printf("solved %d, refused %d, unsolved %d; with faults %d; steps %.2f each, at most %d\n", t.solved, t.refused, t.unsolved, t.broken,
	       t.solved ? (double)t.iterations / t.solved : 0, t.most_iterations);
	CHECK(t.refused <= 0.04 * (t.solved + t.refused)); /* sealed boxes with a fixed share, boxes hotter than 200 degC */
	CHECK(t.unsolved == 0);
	CHECK(t.broken == 0);
	return check_done();
}
