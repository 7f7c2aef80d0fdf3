/* SPDX-License-Identifier: MIT */
#include "solve/slope.h"

#include <math.h>

bool inw_slope_at(struct inw_slope *p, const struct inw_solution *sol)
{
	double r[INW_MAX_UNKNOWNS];

	inw_model_residual(&sol->m, &sol->s, sol->y, r, &p->J, NULL);
	inw_model_scales(&sol->m, &sol->s, p->unknown, p->equation);
	for (int i = 0; i < sol->s.n; i++)
		for (uint64_t in = p->J.in[i]; in;) {
			int j = inw_sparse_take(&in);
			p->J.a[i * sol->s.n + j] *= p->unknown[j] / p->equation[i];
		}
	return inw_solve(&p->e, &p->J, r) == 0;
}

double inw_slope_step(const struct inw_slope *p, double *b, double *step)
{
	double most = 0;

	for (int i = 0; i < p->J.n; i++)
		b[i] /= -p->equation[i];
	inw_solve_again(&p->e, &p->J, b);
	for (int i = 0; i < p->J.n; i++) {
		step[i] = b[i] * p->unknown[i];
		most = fabs(b[i]) <= most ? most : fabs(b[i]); /* NaN stays */
	}
	return most;
}
