/* SPDX-License-Identifier: MIT */
/* test_restate.c: a model built in one state and put into another against one that was built in that: the same unknowns, and at
 * the same place the same residuals, slopes and flows, to the last bit. Between them a solver has left its choices in the model. */
#include <stdlib.h>

#include "check/study.h"
#include "test/check.h"
#include "test/model/random_design.h"

struct pair { struct inw_model built, restated; };

/* What solving may change: thermostats, and which rooms are held. */
static void meddle(struct inw_model *m)
{
	m->heater = INW_HEATER_OFF;
	m->plate_on = false;
	for (int i = 0; i < m->rooms; i++)
		m->room[i].held = !m->room[i].held;
}

static void compare(const struct pair *p)
{
	struct inw_slots s, t;
	double y[INW_MAX_UNKNOWNS], r[2][INW_MAX_UNKNOWNS] = {{0}};
	static struct inw_sparse J[2];
	static struct inw_flows f[2];

	inw_model_slots(&p->built, &s);
	inw_model_slots(&p->restated, &t);
	CHECK(memcmp(&s, &t, sizeof s) == 0);
	inw_model_guess(&p->built, &s, y);
	inw_model_residual(&p->built, &s, y, r[0], &J[0], &f[0]);
	inw_model_residual(&p->restated, &s, y, r[1], &J[1], &f[1]);
	CHECK(memcmp(r[0], r[1], sizeof **r * (size_t)s.n) == 0);
	CHECK(memcmp(J[0].a, J[1].a, sizeof *J[0].a * (size_t)(s.n * s.n)) == 0);
	CHECK(memcmp(&f[0], &f[1], sizeof f[0]) == 0);
}

static void one_design(uint64_t seed)
{
	static struct pair p;
	struct random_source r = {seed};
	struct inw_design *d = random_design(&r);
	double *x = d ? random_values(&r, d, seed % 2) : NULL;
	struct inw_values v = {x, NULL};
	const char *why = NULL;

	CHECK(x != NULL);
	for (size_t i = 0; x && seed % 3 == 0 && i < d->rooms; i++) /* rooms that only doors and windows join to outdoors */
		if (d->room[i].leak_C >= 0)
			x[d->room[i].leak_C] = 0;
	for (int i = 0; x && i < INW_STATES; i++) {
		int from = random_int(&r, 0, INW_STATES - 1);
		if (inw_model_build(&p.built, d, &v, &d->job[0], &inw_states[i], &why) || inw_model_build(&p.restated, d, &v, &d->job[0], &inw_states[from], &why))
			break;
		meddle(&p.restated);
		inw_model_restate(&p.restated, d, &v, &d->job[0], &inw_states[i]);
		compare(&p);
	}
	free(x);
	inw_design_free(d);
}

int main(void)
{
	for (uint64_t seed = 1; seed <= 300; seed++)
		one_design(seed);
	return check_done();
}
