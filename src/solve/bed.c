/* SPDX-License-Identifier: MIT */
/* bed.c: the method behind bed.h.
 *
 * Space. Loadings are means of cells. Through a cell of even loading the gas follows
 *   c_out = c_in e^-a + (1 - e^-a) c(q),  a = rate dz/|v|,
 * exactly; taking the mean loading for the loading in the middle makes that second order while a <= 1, it is an upwind
 * scheme for a >> 1, and for any a it is positive, needs no limiter and passes only downstream: one sweep, cell by
 * cell. Axial dispersion with flow is lumped into the rate (inw_rate_lumped), which leaves mean and width of a front
 * where they are. Below `slow` (in units of spread at rest over depth) the gas is at equilibrium anyway, and it is the
 * other way round: the rate is lumped into the spread, v^2/rate, and gas passes between the equilibrium concentrations
 * of neighbouring cells, with the exact flux of a steady flow with diffusion between two points (Scharfetter & Gummel
 * 1969, IEEE Trans. Electron Devices 16:64-77, memory): central for fine cells, upwind for coarse, positive for any,
 * and plain diffusion at rest. At the switch both have the same mean and width.
 *
 * Time. The three-stage, third-order, stiffly accurate, L-stable SDIRK of Alexander 1977, SIAM J. Numer. Anal.
 * 14:1006-1021 (memory; its conditions are checked by the observed order in the test); the two-stage second-order
 * formula within it gives the error.
 *
 * A loading at the end of a stage is what the fluxes make of it, never what Newton's method says: mass is kept to
 * rounding even where Newton stopped early.
 */
#include "solve/bed.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

enum { MOST = INW_PORES_MOST, STAGES = 3, MOST_NEWTON = 50, MOST_HALVINGS = 50 };
static const double slow = 50;      /* |v| depth/spread at rest: above, a moment's error of 2 % of the width at most */
/* last Newton step, relative; it is quadratic, so what is left is some 20 times its square */
static const double enough = 1e-6;

/* x solves 6 x^3 - 18 x^2 + 9 x = 1, Alexander 1977 */
#define GAMMA 0.43586652150845899942
static const double A[STAGES][STAGES] = { { GAMMA, 0, 0 }, { (1 - GAMMA) / 2, GAMMA, 0 },
	{ -(6 * GAMMA * GAMMA - 16 * GAMMA + 1) / 4, (6 * GAMMA * GAMMA - 20 * GAMMA + 5) / 4, GAMMA } };
/* second order from the first two stages: sum b = 1, sum b c = 1/2 */
#define SECOND ((1 - 2 * GAMMA) / (1 - GAMMA))
static const double embedded[STAGES] = { 1 - SECOND, SECOND, 0 };

struct work {
	const struct inw_bed_model *m;
	const struct inw_bed_inputs *in;
	int n, N;
	double dz, speed;
	double rate[MOST];                       /* with what is lumped into it */
	double fore[MOST], back[MOST];           /* m/s: flux between cells = fore c - back c of the next */
	double half[MOST], through[MOST], kept[MOST]; /* tanh(a/2), e^-a, 1 - e^-a */
	bool sweeps;                             /* else creeps */
	/* each [N][n]; k = dq/dt; start: before the step */
	double *q, *start, *rhs, *k[STAGES];
	double *c, *w, *s, *trial;               /* creep: gas, its change, right sides, a trial loading */
	double *J, *P;                           /* [N][n][n] */
	const double *most;                      /* the scale of loadings */
	double factored_for;                     /* P belongs to this g; below 0: to none */
	double outlet[STAGES][MOST];
	double sent[MOST], error[MOST];          /* kg/m2 out during the step; largest error of loading in the step */
};

/* ---- small dense systems ---- (no pivoting: rows and columns carry any units, and the matrices are identity plus a
 * competition matrix, whose principal minors are positive; a pivot that is not means too long a step) */

static int factor(double *a, int n)
{
	for (int k = 0; k < n; k++) {
		if (!(a[k * n + k] > 0))
			return 1;
		const double inverse = a[k * n + k] = 1 / a[k * n + k];
		for (int i = k + 1; i < n; i++) {
			const double f = a[i * n + k] *= inverse;
			for (int j = k + 1; j < n; j++)
				a[i * n + j] -= f * a[k * n + j];
		}
	}
	return 0;
}

static void solve_factored(const double *a, double *b, int n)
{
	for (int i = 1; i < n; i++)
		for (int j = 0; j < i; j++)
			b[i] -= a[i * n + j] * b[j];
	for (int i = n - 1; i >= 0; i--) {
		for (int j = i + 1; j < n; j++)
			b[i] -= a[i * n + j] * b[j];
		b[i] *= a[i * n + i];
	}
}

/* n right sides at once, as the columns of row-major b: whole rows are moved, which the processor does side by side */
static void solve_many(const double *a, double *b, int n)
{
	for (int i = 1; i < n; i++)
		for (int j = 0; j < i; j++)
			for (int l = 0; l < n; l++)
				b[i * n + l] -= a[i * n + j] * b[j * n + l];
	for (int i = n - 1; i >= 0; i--) {
		for (int j = i + 1; j < n; j++)
			for (int l = 0; l < n; l++)
				b[i * n + l] -= a[i * n + j] * b[j * n + l];
		for (int l = 0; l < n; l++)
			b[i * n + l] *= a[i * n + i];
	}
}

/* ---- one cell in flow ---- */

struct cell {
	const double *rhs, *inlet;
	double reach;                            /* h gamma |v|/(rho_b dz): kg/kg per kg/m3 of drop */
	double *q;                               /* guess in, solution out */
	double *outlet;
};

/* Move q by delta, but not through zero where the solution is above it, nor out of the law's range. */
static int move(const struct inw_bed_law *law, int n, double *q, const double *delta, const double *b, double *c,
	double *J)
{
	double trial[MOST], share = 1;

	for (int h = 0; h < MOST_HALVINGS; h++, share /= 2) {
		for (int i = 0; i < n; i++) {
			trial[i] = q[i] + share * delta[i];
			if (trial[i] < 0 && b[i] >= 0 && q[i] > 0)
				trial[i] = q[i] / 8; /* any share that comes down fast */
		}
		if (law->gas(law->context, trial, c, J) == 0) {
			memcpy(q, trial, sizeof *q * (size_t)n);
			return 0;
		}
	}
	return 1;
}

/* GAS: q + G c(q) = rhs + G c_in with G = reach (1 - e^-a). Convex in each q; from any start in range Newton's method
 * overshoots once at most and then comes down. */
static int cell_by_gas(const struct work *w, const struct cell *x)
{
	const struct inw_bed_law *law = &w->m->law;
	const int n = w->n;
	double c[MOST], J[MOST * MOST], a[MOST * MOST], b[MOST], delta[MOST];

	for (int i = 0; i < n; i++)
		b[i] = x->rhs[i] + x->reach * w->kept[i] * x->inlet[i];
	if (law->gas(law->context, x->q, c, J))
		return 1;
	for (int it = 0; it < MOST_NEWTON; it++) {
		bool done = true;

		for (int i = 0; i < n; i++) {
			const double G = x->reach * w->kept[i];

			delta[i] = b[i] - x->q[i] - G * c[i];
			for (int j = 0; j < n; j++)
				a[i * n + j] = (i == j) + G * J[i * n + j];
		}
		if (factor(a, n))
			return 1;
		solve_factored(a, delta, n);
		for (int i = 0; i < n; i++)
			done = done && fabs(delta[i]) <= enough * fabs(x->q[i]);
		if (done) { /* the rest is linear: spare one call of the law */
			for (int i = 0; i < n; i++) {
				for (int j = 0; j < n; j++)
					c[i] += J[i * n + j] * delta[j];
				x->outlet[i] = x->inlet[i] * w->through[i] + w->kept[i] * c[i];
			}
			return 0;
		}
		if (move(law, n, x->q, delta, b, c, J))
			return 1;
	}
	return 1;
}

/* LOADING: the unknown is the gas in the middle, c = (c_in + c_out)/2: c_in - c = t (c - q c/q(c)), t = tanh(a/2), and
 * q = rhs + 2 reach (c_in - c). With no loading it is e^-a again. */
static int cell_by_loading(const struct work *w, const struct cell *x)
{
	const struct inw_bed_law *law = &w->m->law;
	const int n = w->n;
	double c[MOST], eq[MOST], J[MOST * MOST], a[MOST * MOST], delta[MOST];

	for (int i = 0; i < n; i++)
		c[i] = (x->inlet[i] + x->outlet[i]) / 2;
	for (int it = 0; it < MOST_NEWTON; it++) {
		bool done = true;

		if (law->loading(law->context, c, eq, J))
			return 1;
		for (int i = 0; i < n; i++) {
			const double t = w->half[i], q = x->rhs[i] + 2 * x->reach * (x->inlet[i] - c[i]);
			/* c/q(c) and its derivative; at no gas its limit */
			const double K = eq[i] > 0 ? c[i] / eq[i] : 1 / J[i * n + i];

			delta[i] = x->inlet[i] - c[i] - t * (c[i] - q * K);
			for (int j = 0; j < n; j++) {
				const double K_by = eq[i] > 0 ? ((i == j) - K * J[i * n + j]) / eq[i] : 0;

				a[i * n + j] = (i == j) * (1 + t + 2 * t * x->reach * K) - t * q * K_by;
			}
		}
		if (factor(a, n))
			return 1;
		solve_factored(a, delta, n);
		for (int i = 0; i < n; i++) {
			const double K = eq[i] > 0 ? c[i] / eq[i] : 1 / J[i * n + i];

			done = done && fabs(delta[i]) <= 1e-13 * fabs(c[i]) + 1e-15 * x->inlet[i];
			/* as the cell would emit it: c_in - 2 (c_in - c) would lose the digits of a small outlet */
			x->q[i] = x->rhs[i] + 2 * x->reach * (x->inlet[i] - c[i]);
			x->outlet[i] = x->inlet[i] * w->through[i] + w->kept[i] * x->q[i] * K;
			c[i] = fmax(c[i] + delta[i], c[i] / 8); /* not through zero; any share that comes down fast */
		}
		if (done)
			return 0;
	}
	return 1;
}

/* All cells in the order of flow; leaves k and the outlet of this stage. */
static int sweep(struct work *w, double h, int stage)
{
	const int n = w->n, N = w->N;
	const bool by_gas = w->m->driving == INW_BED_GAS;
	const double per = w->speed / (w->m->bulk_kgm3 * w->dz);
	double inlet[MOST], outlet[MOST];

	memcpy(inlet, w->in->inlet_kgm3, sizeof *inlet * (size_t)n);
	memcpy(outlet, inlet, sizeof *inlet * (size_t)n);
	for (int j = 0; j < N; j++) {
		const int at = (w->in->velocity_ms > 0 ? j : N - 1 - j) * n;
		struct cell x = { &w->rhs[at], inlet, h * GAMMA * per, &w->q[at], outlet };

		if (!by_gas) /* a start for Newton: what an empty or unchanged cell would let through */
			for (int i = 0; i < n; i++)
				outlet[i] = inlet[i] * w->through[i];
		if (by_gas ? cell_by_gas(w, &x) : cell_by_loading(w, &x))
			return 1;
		for (int i = 0; i < n; i++) {
			w->k[stage][at + i] = per * (inlet[i] - outlet[i]);
			w->q[at + i] = w->rhs[at + i] + h * GAMMA * w->k[stage][at + i];
			inlet[i] = outlet[i];
		}
	}
	memcpy(w->outlet[stage], outlet, sizeof *outlet * (size_t)n);
	return 0;
}

/* ---- creeping flow and rest ---- */

static int gas_everywhere(struct work *w, const double *q, double *c, double *J)
{
	const int n = w->n;

	for (int j = 0; j < w->N; j++)
		if (w->m->law.gas(w->m->law.context, q + j * n, c + j * n, J ? J + j * n * n : NULL))
			return 1;
	return 0;
}

/* What a substance in a cell, together `at`, gains from its neighbours, kg/(m2 s), and loses at an open end. */
static double gain(const struct work *w, const double *c, int at)
{
	const int n = w->n, i = at % n;
	const bool first = at < n, last = at >= n * (w->N - 1);
	const double v = w->in->velocity_ms;
	const double lost = (last ? fmax(v, 0) : w->fore[i]) + (first ? fmax(-v, 0) : w->back[i]);

	return (first ? 0 : w->fore[i] * c[at - n]) + (last ? 0 : w->back[i] * c[at + n]) - lost * c[at];
}

/* And from the air that enters. */
static double fed(const struct work *w, int at)
{
	const double v = w->in->velocity_ms;
	const bool first = at < w->n, last = at >= w->n * (w->N - 1);

	return v == 0 ? 0 : ((first ? fmax(v, 0) : 0) + (last ? fmax(-v, 0) : 0)) * w->in->inlet_kgm3[at % w->n];
}

/* One block row of (I + J X) P = J with X = g (lost - fore P_before g back): leaves P[j] for `back_and_forth`. */
static int eliminate(struct work *w, double g, int j)
{
	const int n = w->n;
	const double v = w->in->velocity_ms, ahead = fmax(v, 0), behind = fmax(-v, 0);
	const double *J = w->J + j * n * n;
	double *P = w->P + j * n * n, X[MOST * MOST], a[MOST * MOST];

	for (int i = 0; i < n; i++) {
		for (int l = 0; l < n; l++)
			X[i * n + l] = j > 0 ? -g * w->fore[i] * P[i * n + l - n * n] * g * w->back[l] : 0;
		X[i * n + i] += g * ((j + 1 < w->N ? w->fore[i] : ahead) + (j > 0 ? w->back[i] : behind));
	}
	for (int i = 0; i < n; i++) {
		for (int l = 0; l < n; l++)
			a[i * n + l] = i == l;
		for (int m = 0; m < n; m++)
			for (int l = 0; l < n; l++)
				a[i * n + l] += J[i * n + m] * X[m * n + l];
	}
	if (factor(a, n))
		return 1;
	memcpy(P, J, sizeof *P * (size_t)(n * n));
	solve_many(a, P, n);
	return 0;
}

static int factor_all(struct work *w, double g)
{
	if (gas_everywhere(w, w->q, w->c, w->J))
		return 1;
	for (int j = 0; j < w->N; j++)
		if (eliminate(w, g, j))
			return 1;
	w->factored_for = g;
	return 0;
}

/* The change of the gas, w, that belongs to a residual: (J^-1 - g gain) w = residual, by w_j = P_j (g back w_j+1 + r_j)
 * with r_j = residual_j + g fore P_j-1 r_j-1. */
static void back_and_forth(struct work *w, double g, const double *residual)
{
	const int n = w->n;

	for (int j = 0; j < w->N; j++)
		for (int i = 0; i < n; i++) {
			double t = 0;
			for (int l = 0; j > 0 && l < n; l++)
				t += w->P[((j - 1) * n + i) * n + l] * w->s[(j - 1) * n + l];
			w->s[j * n + i] = residual[j * n + i] + g * w->fore[i] * t;
		}
	for (int j = w->N - 1; j >= 0; j--)
		for (int i = 0; i < n; i++) {
			double t = 0;
			for (int l = 0; l < n; l++)
				t += w->P[(j * n + i) * n + l] *
					(w->s[j * n + l] + (j + 1 < w->N ? g * w->back[l] * w->w[(j + 1) * n + l] : 0));
			w->w[j * n + i] = t;
		}
}

/* Carry out one iteration; `w->c` belongs to `w->q`. Returned: the size of the change, relative; below 0: lost. */
static double creeping_iteration(struct work *w, double g)
{
	const int n = w->n, all = n * w->N;
	const double *scale = w->most;
	double worst = 0, share = 1;

	for (int x = 0; x < all; x++)
		w->trial[x] = w->rhs[x] - w->q[x] + g * (gain(w, w->c, x) + fed(w, x));
	back_and_forth(w, g, w->trial);
	for (int x = 0; x < all; x++) { /* from here s holds the change of q */
		w->s[x] = w->trial[x] + g * gain(w, w->w, x);
		if (scale[x % n] > 0)
			worst = fmax(worst, fabs(w->s[x]) / scale[x % n]);
	}
	if (worst <= enough) {
		for (int x = 0; x < all; x++)
			w->c[x] += w->w[x];
		return worst;
	}
	for (int h = 0; h < MOST_HALVINGS; h++, share /= 2) {
		for (int x = 0; x < all; x++) {
			const double t = w->q[x] + share * w->s[x];
			/* a solution may lie below zero by a part of the tolerance, not by more: then come down by some
			 * large share */
			w->trial[x] = t < -1e-4 * scale[x % n] && w->q[x] > 0 ? w->q[x] / 8 : t;
		}
		if (gas_everywhere(w, w->trial, w->c, NULL) == 0) {
			memcpy(w->q, w->trial, sizeof *w->q * (size_t)all);
			return worst;
		}
	}
	return -1;
}

/* Newton's method with the factors of an earlier iteration, or stage, or step, as long as each change is a tenth of the
 * one before; new ones when it is not. */
static int settle(struct work *w, double g)
{
	double before = INFINITY;

	if (w->factored_for != g ? factor_all(w, g) : gas_everywhere(w, w->q, w->c, NULL))
		return 1;
	for (int it = 0; it < MOST_NEWTON; it++) {
		const double worst = creeping_iteration(w, g);

		if (worst < 0)
			return 1;
		if (worst <= enough)
			return 0;
		if (worst > before / 10 && factor_all(w, g))
			return 1;
		before = worst;
	}
	return 1;
}

static int creep(struct work *w, double h, int stage)
{
	const int n = w->n, all = n * w->N;
	const double per = 1 / (w->m->bulk_kgm3 * w->dz);

	if (settle(w, h * GAMMA * per)) {
		w->factored_for = -1;
		return 1;
	}
	for (int x = 0; x < all; x++) {
		w->k[stage][x] = per * (gain(w, w->c, x) + fed(w, x));
		w->q[x] = w->rhs[x] + h * GAMMA * w->k[stage][x];
	}
	memcpy(w->outlet[stage], w->in->velocity_ms > 0 ? w->c + all - n : w->c, sizeof *w->c * (size_t)n);
	return 0;
}

/* ---- steps ---- */

/* One step. On failure the loadings are as before it. */
static int step(struct work *w, double h)
{
	const int n = w->n, all = n * w->N;

	memset(w->error, 0, sizeof w->error);
	memset(w->sent, 0, sizeof w->sent);
	memcpy(w->start, w->q, sizeof *w->q * (size_t)all);
	for (int s = 0; s < STAGES; s++) {
		const double *last = w->k[s ? s - 1 : STAGES - 1];

		for (int x = 0; x < all; x++) {
			double rise = 0;
			for (int m = 0; m < s; m++)
				rise += A[s][m] * w->k[m][x];
			w->rhs[x] = w->start[x] + h * rise;
			/* Newton starts where the last rate leads, or, if far, from the stage before, which is valid */
			const double ahead = w->rhs[x] + h * GAMMA * last[x];
			if (ahead > 0.8 * w->q[x] && ahead < 1.1 * w->q[x])
				w->q[x] = ahead;
		}
		if (w->sweeps ? sweep(w, h, s) : creep(w, h, s)) {
			memcpy(w->q, w->start, sizeof *w->q * (size_t)all);
			return 1;
		}
		for (int i = 0; i < n; i++)
			w->sent[i] += A[STAGES - 1][s] * h * w->speed * w->outlet[s][i];
	}
	for (int x = 0; x < all; x++) {
		double e = 0;
		for (int s = 0; s < STAGES; s++)
			e += (A[STAGES - 1][s] - embedded[s]) * w->k[s][x];
		w->error[x % n] = fmax(w->error[x % n], fabs(h * e));
	}
	return 0;
}

static void remember_most(const struct work *w, double *most)
{
	for (int x = 0; x < w->n * w->N; x++)
		most[x % w->n] = fmax(most[x % w->n], fabs(w->q[x]));
}

/* Error of the last step over what is allowed. A substance seen for the first time is measured by what it has now. */
static double judged(const struct work *w, const double *most, double tolerance)
{
	double now[MOST] = { 0 }, worst = 0;

	remember_most(w, now);
	for (int i = 0; i < w->n; i++) {
		const double scale = fmax(most[i], now[i]);
		if (w->error[i] > 0)
			worst = fmax(worst, w->error[i] / (tolerance * scale));
	}
	return worst;
}

/* ---- the call ---- */

static const char *fault(const struct inw_bed_model *m, const struct inw_bed_inputs *in, double duration_s,
	const struct inw_bed_options *o)
{
	if (m->cells < 1 || m->substances < 1 || m->substances > MOST)
		return "the bed has no cells, or no substances, or too many";
	if (!(m->area_m2 > 0 && m->depth_m > 0 && m->bulk_kgm3 > 0))
		return "the bed has no size";
	if (!(m->driving == INW_BED_GAS ? m->law.gas != NULL : m->law.loading != NULL))
		return "the law that drives uptake is missing";
	if (!(isfinite(in->velocity_ms) && isfinite(duration_s) && duration_s >= 0 && o->tolerance > 0))
		return "velocity, time or tolerance is not a number in range";
	for (int i = 0; i < m->substances; i++) {
		if (in->velocity_ms != 0 && !(in->inlet_kgm3[i] >= 0 && isfinite(in->inlet_kgm3[i])
			&& in->rate_1s[i] > 0))
			return "an inlet concentration is below zero, or a rate not above it";
		if ((in->spread_m2s && !(in->spread_m2s[i] >= 0)) || (in->still_m2s && !(in->still_m2s[i] >= 0)))
			return "a dispersion is below zero";
	}
	return NULL;
}

/* x/(e^x - 1) */
static double bernoulli(double x)
{
	return fabs(x) < 1e-8 ? 1 - x / 2 : x / expm1(x); /* the next term is x^2/12 */
}

static void prepare_sweep(struct work *w, int i, double spread)
{
	const double rate = inw_rate_lumped(w->in->rate_1s[i], spread, w->speed), a = rate * w->dz / w->speed;

	w->rate[i] = rate;
	w->half[i] = tanh(a / 2);
	w->through[i] = exp(-a);
	w->kept[i] = -expm1(-a);
}

static void prepare_creep(struct work *w, int i, double spread)
{
	const double v = w->in->velocity_ms, all = v == 0 ? spread : spread + v * v / w->in->rate_1s[i];

	w->fore[i] = all > 0 ? all / w->dz * bernoulli(-v * w->dz / all) : 0;
	w->back[i] = all > 0 ? all / w->dz * bernoulli(v * w->dz / all) : 0;
}

/* Which of the two, and the constants of a cell. */
static bool prepare(struct work *w)
{
	const struct inw_bed_inputs *in = w->in;

	w->speed = fabs(in->velocity_ms);
	w->dz = w->m->depth_m / w->m->cells;
	w->sweeps = w->speed > 0;
	for (int i = 0; i < w->n && in->still_m2s; i++)
		w->sweeps = w->sweeps && w->speed * w->m->depth_m >= slow * in->still_m2s[i];
	for (int i = 0; i < w->n; i++) {
		const double still = in->still_m2s ? in->still_m2s[i] : 0;
		const double spread = w->speed > 0 && in->spread_m2s ? fmax(in->spread_m2s[i], still) : still;

		if (w->sweeps)
			prepare_sweep(w, i, spread);
		else
			prepare_creep(w, i, spread);
	}
	return w->sweeps || w->m->law.gas || (w->speed == 0 && !in->still_m2s);
}

size_t inw_bed_workspace(const struct inw_bed_model *m)
{
	const size_t all = (size_t)m->cells * (size_t)m->substances;

	return all * (9 + 2 * (size_t)m->substances);
}

static void lay_out(struct work *w, double *space)
{
	const size_t all = (size_t)w->N * (size_t)w->n;
	double **place[] = { &w->start, &w->rhs, &w->k[0], &w->k[1], &w->k[2], &w->c, &w->w, &w->s,
		&w->trial };

	for (size_t i = 0; i < sizeof place / sizeof place[0]; i++, space += all)
		*place[i] = space;
	w->J = space;
	w->P = space + all * (size_t)w->n;
}

static void begin_books(const struct inw_bed_model *m, struct inw_bed_result *out)
{
	*out = (struct inw_bed_result){ .status = INW_OK, .outlet_kgm3 = out->outlet_kgm3, .in_kg = out->in_kg,
		.out_kg = out->out_kg };
	for (int i = 0; i < m->substances; i++) {
		if (out->outlet_kgm3)
			out->outlet_kgm3[i] = 0;
		if (out->in_kg)
			out->in_kg[i] = 0;
		if (out->out_kg)
			out->out_kg[i] = 0;
	}
}

static void book(const struct work *w, double h, struct inw_bed_result *out)
{
	out->done_s += h;
	out->steps++;
	for (int i = 0; i < w->n && w->speed > 0; i++) {
		if (out->outlet_kgm3)
			out->outlet_kgm3[i] += w->sent[i];
		if (out->in_kg)
			out->in_kg[i] += w->m->area_m2 * w->speed * h * w->in->inlet_kgm3[i];
		if (out->out_kg)
			out->out_kg[i] += w->m->area_m2 * w->sent[i];
	}
}

/* Steps until the end or until one fails at any length. */
static void integrate(struct work *w, struct inw_bed_state *state, double duration_s, const struct inw_bed_options *o,
	struct inw_bed_result *out)
{
	double *kept = &state->first_step_s[w->speed > 0];
	double h = *kept > 0 ? *kept : 1e-4 * duration_s; /* any short start: steps grow fivefold */
	bool first = true;

	if (w->in->goes_on && state->next_step_s > 0)
		h = state->next_step_s;
	while (out->done_s < duration_s) {
		const double left = duration_s - out->done_s;
		const bool last = h >= left * (1 - 1e-12);
		const double now = last ? left : h;
		const bool lost = step(w, now) != 0;
		const double worst = lost ? INFINITY : judged(w, state->most, o->tolerance);
		/* third-order step, second-order error: the cube root; usual safety and bounds (common practice) */
		const double grow = lost ? 0.25 : worst > 0 ? fmin(5, fmax(0.2, 0.9 / cbrt(worst))) : 5;

		if (!(worst <= 1)) {
			if (!lost)
				memcpy(w->q, w->start, sizeof *w->q * (size_t)(w->n * w->N));
			out->rejected++;
			w->factored_for = -1;
			h = now * fmin(grow, 0.9);
			if (out->rejected > o->most_steps || h <= 1e-15 * duration_s || h < 1e-30) {
				out->status = INW_NOT_CONVERGED;
				out->why = "no step holds the tolerance: saturated air, or pores that are full";
				return;
			}
			continue;
		}
		book(w, now, out);
		if (last)
			out->done_s = duration_s;
		remember_most(w, state->most);
		if (first && !w->in->goes_on) /* the next call of its kind starts where this one could have */
			*kept = last ? fmax(*kept, now) : now * grow;
		first = false;
		h = last ? fmax(h, now * grow) : now * grow;
		state->next_step_s = h;
		if (out->steps >= o->most_steps && out->done_s < duration_s) {
			out->status = INW_NOT_CONVERGED;
			out->why = "more steps than allowed";
			return;
		}
	}
}

void inw_bed_advance(const struct inw_bed_model *m, struct inw_bed_state *state, const struct inw_bed_inputs *in,
	double duration_s, const struct inw_bed_options *options, double *workspace, struct inw_bed_result *out)
{
	struct work w = { .m = m, .in = in, .n = m->substances, .N = m->cells, .q = state->q, .most = state->most };

	begin_books(m, out);
	out->why = fault(m, in, duration_s, options);
	if (!out->why && !prepare(&w))
		out->why = "slow flow and rest need the gas in equilibrium with a loading";
	if (out->why) {
		out->status = INW_BAD_INPUT;
		return;
	}
	lay_out(&w, workspace);
	w.factored_for = -1;
	memset(w.k[STAGES - 1], 0, sizeof *w.q * (size_t)(w.n * w.N));
	remember_most(&w, state->most);
	if (w.speed == 0 && !m->law.gas)
		out->done_s = duration_s;
	else
		integrate(&w, state, duration_s, options, out);
	for (int i = 0; i < m->substances && out->outlet_kgm3 && out->done_s > 0 && w.speed > 0; i++)
		out->outlet_kgm3[i] /= out->done_s * w.speed;
}

int inw_bed_outlet(const struct inw_bed_model *m, const struct inw_bed_state *state, const struct inw_bed_inputs *in,
	double *outlet_kgm3)
{
	struct work w = { .m = m, .in = in, .n = m->substances, .N = m->cells, .q = state->q };
	double inlet[MOST], c[MOST], q[MOST];
	const int n = m->substances;

	if (in->velocity_ms == 0 || !prepare(&w))
		return 1;
	if (!w.sweeps)
		return m->law.gas(m->law.context, state->q + (in->velocity_ms > 0 ? (m->cells - 1) * n : 0),
			outlet_kgm3, NULL);
	memcpy(inlet, in->inlet_kgm3, sizeof *inlet * (size_t)n);
	for (int j = 0; j < m->cells; j++) {
		const int at = (in->velocity_ms > 0 ? j : m->cells - 1 - j) * n;

		for (int i = 0; i < n; i++)
			outlet_kgm3[i] = inlet[i] * w.through[i];
		if (m->driving == INW_BED_LOADING) {
			if (cell_by_loading(&w, &(struct cell){ &state->q[at], inlet, 0, q, outlet_kgm3 }))
				return 1;
		} else {
			if (m->law.gas(m->law.context, &state->q[at], c, NULL))
				return 1;
			for (int i = 0; i < n; i++)
				outlet_kgm3[i] += w.kept[i] * c[i];
		}
		memcpy(inlet, outlet_kgm3, sizeof *inlet * (size_t)n);
	}
	return 0;
}

double inw_bed_held_kg(const struct inw_bed_model *m, const struct inw_bed_state *state, int substance)
{
	double sum = 0;

	for (int j = 0; j < m->cells; j++)
		sum += state->q[j * m->substances + substance];
	return sum / m->cells * m->area_m2 * m->depth_m * m->bulk_kgm3;
}
