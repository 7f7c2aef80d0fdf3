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
 * Competition. Gas is slant_i q_i, and the slants depend on one or two sums of what a cell holds (sorbent.h). Given the
 * sums, each substance has linear equations of its own; so the sums are the unknowns of Newton's method, and work grows
 * with substances in proportion.
 *
 * A loading at the end of a stage is what the fluxes make of it, never what Newton's method says: mass is kept to
 * rounding even where Newton stopped early.
 */
#include "solve/bed.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "solve/pair.h"

enum { MOST = INW_PORES_MOST, ROW = MOST + MOST % 2, PAIRS = ROW / 2, STAGES = 3, KRYLOV = 6, MOST_NEWTON = 50, MOST_HALVINGS = 50 };
static const double slow = 50;      /* |v| depth/spread at rest: above, a moment's error of 2 % of the width at most */
/* Newton's last step, relative, at a tolerance of 1: it is quadratic, so what is left is some 20 times its square, a
 * twentieth of the tolerance; and no more than the other. */
static const double enough_per_root = 0.05, enough_at_most = 1.5e-3;
/* How far from where it was asked the law is continued: so far that slants err by no more than a tenth of the tolerance. They
 * err by a bend times the square of the way, as a share of the sum; the bend is measured each time the law is asked again.
 * Before that the way is a cautious one, as for the strongest bend that is usual; and it is never longer than the last of
 * these. The second sum bends more. */
static const double astray_per = 0.1, usual_bend = 1, longest_way = 0.05, near_second = 0.5;
/* Of a longer way than this, or next to none, nothing is learned of the bend. */
static const double way_too_long = 0.2, way_too_short = 1e-4;
/* A slant that grows by a higher power of a sum than this is continued the less far: pores that are nearly full. */
static const double steep = 4;
/* A tolerance of 1 or more lets every step pass: steps are the caller's, and their equations are solved as for this
 * one. */
static const double strict = 1e-9;
/* In creeping flow and at rest: what may be left, over the tolerance, and at most. */
static const double left_per = 0.1, left_at_most = 1e-4;

/* x solves 6 x^3 - 18 x^2 + 9 x = 1, Alexander 1977 */
#define GAMMA 0.43586652150845899942
static const double A[STAGES][STAGES] = { { GAMMA, 0, 0 }, { (1 - GAMMA) / 2, GAMMA, 0 },
	{ -(6 * GAMMA * GAMMA - 16 * GAMMA + 1) / 4, (6 * GAMMA * GAMMA - 20 * GAMMA + 5) / 4, GAMMA } };
/* second order from the first two stages: sum b = 1, sum b c = 1/2 */
#define SECOND ((1 - 2 * GAMMA) / (1 - GAMMA))
static const double embedded[STAGES] = { 1 - SECOND, SECOND, 0 };

/* Two substances at a time: where a cell's work is done, rows are filled up to an even number by a substance that is not
 * there. */
typedef inw_pair pair;

/* What the work on a cell depends on: how many pairs, and whether there is a second sum. Known where the innermost functions
 * are called from, so that the compiler makes one of each kind that is usual, without loops. */
struct kind { int pairs; bool two; };

/* What is kept of a cell where the law was last asked: the sums, how far from them it goes on, and its bend. */
struct asked { double sum[2], within[2], bend; };

struct work {
	const struct inw_bed_model *m;
	const struct inw_bed_inputs *in;
	int n, substances;                       /* length of a row; of these there are */
	int N, sums, apart;
	double dz, speed, tolerance, h_before;
	double room[ROW];                       /* in the first sum: the law's, 0 for the one apart */
	double hurry[ROW];                      /* factor on dq/dt */
	double fore[ROW], back[ROW];           /* m/s: flux between cells = fore c - back c of the next; hurried */
	double lost[4][ROW];                    /* by what is in a cell: inner, first, last, only one */
	double half[ROW], through[ROW], kept[ROW]; /* tanh(a/2), e^-a, 1 - e^-a */
	bool sweeps;                             /* else creeps */
	/* each [N][n]; k = dq/dt; start: before the step */
	double *q, *start, *rhs, *k[STAGES];
	double *asked;                           /* [N][3][n]: slants where the law was last asked, derivatives over them */
	struct asked *from;                      /* [N] */
	double *past;                            /* sweep: [N][2][2], in the order of flow: the sums of the last two stages */
	/* creep: slants at `sum`, their derivatives [N][2][n], pivots, and what is solved for */
	double *slant, *by, *pivot, *z, *spare;
	double *sum, *left, *krylov[KRYLOV];     /* [N][2]: the sums; by how much they are not those of the loadings */
	double inlet[ROW], most[ROW];              /* of the air that comes; the scale of loadings */
	double highest[ROW];                     /* the latter after this step */
	double outlet[STAGES][ROW];
	double sent[ROW], error[ROW];          /* kg/m2 out during the step; largest error of loading in the step */
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

/* ---- sums ---- */

static void sums_of(const struct work *w, const double *q, double *sum)
{
	sum[0] = sum[1] = 0;
	for (int i = 0; i < w->n; i++)
		sum[0] += w->room[i] * q[i];
	if (w->sums > 1)
		sum[1] = w->m->law.sums->room[w->apart] * q[w->apart];
}

static int slants_at(const struct work *w, const double *sum, double *slant, double *by)
{
	const int n = w->n, real = w->substances;

	if (w->m->law.slant(w->m->law.context, sum, slant, by))
		return 1;
	if (real < n) { /* anything finite for what is not there */
		memmove(by + n, by + real, sizeof *by * (size_t)real);
		slant[real] = 1;
		by[real] = by[n + real] = 0;
	}
	return 0;
}

static int gas_of(const struct work *w, const double *q, double *c)
{
	double sum[2], by[2 * ROW];

	sums_of(w, q, sum);
	if (slants_at(w, sum, c, by))
		return 1;
	for (int i = 0; i < w->n; i++)
		c[i] *= q[i];
	return 0;
}

/* ---- the law, near where it was asked ---- */

/* Slants at some sums of a cell, and their derivatives by the first and the second. */
struct slants { pair at[PAIRS], by_first[PAIRS], by_second[PAIRS]; };

/* From there on: slants as powers of the first sum, which they nearly are, and as exponentials of the second. */
INW_INLINE void go_on(const struct work *w, struct kind k, int j, const double *sum, struct slants *out)
{
	const struct asked *from = &w->from[j];
	const pair *restrict there = (const pair *)(w->asked + 3 * j * w->n), *restrict rise = there + k.pairs;
	const double first = sum[0] - from->sum[0], second = k.two ? sum[1] - from->sum[1] : 0, part = first == 0 ? 0 : first / from->sum[0];

	for (int i = 0; i < k.pairs; i++) {
		const pair alone = rise[i] * first;
		pair e = alone;

		if (k.two)
			e += rise[k.pairs + i] * second;
		out->at[i] = there[i] * (1 + e + 0.5 * (e * e - alone * part));
		out->by_first[i] = there[i] * rise[i] * (1 + e - part);
		if (k.two)
			out->by_second[i] = there[i] * rise[k.pairs + i] * (1 + e);
	}
}

/* The way from where the law was last asked, as a share of the sums; the second counts for more. */
static double way(const struct work *w, const struct asked *from, const double *sum)
{
	double all = 0;

	for (int m = 0; m < w->sums; m++)
		if (sum[m] != from->sum[m])
			all += fabs(sum[m] - from->sum[m]) / fabs((m ? near_second : 1) * from->sum[m]);
	return all;
}

/* The law at these sums of a cell, kept for its neighbourhood: how far that goes tells what would have come out of going on
 * from the last time. The steeper the law, the less far, too: pores that are nearly full. */
static int ask(const struct work *w, int j, const double *sum)
{
	const int n = w->n;
	struct asked *from = &w->from[j];
	double *slant = w->asked + 3 * j * n, *by = slant + n, steepest[2] = { 0 }, worst = 0;
	const double gone = way(w, from, sum);
	const bool tells = gone > way_too_short && gone < way_too_long;
	struct slants was;

	if (tells)
		go_on(w, (struct kind){ n / 2, w->sums > 1 }, j, sum, &was);
	from->sum[0] = NAN;
	if (slants_at(w, sum, slant, by))
		return 1;
	for (int i = 0; i < n; i++) {
		const double inverse = 1 / slant[i], off = tells ? fabs(was.at[i / 2][i % 2] * inverse - 1) : 0;
		by[i] *= inverse;
		by[n + i] *= inverse;
		worst = off > worst ? off : worst;
		steepest[0] = fabs(by[i]) > steepest[0] ? fabs(by[i]) : steepest[0];
		steepest[1] = fabs(by[n + i]) > steepest[1] ? fabs(by[n + i]) : steepest[1];
	}
	if (tells)
		from->bend = worst / (gone * gone);
	const double far = fmin(longest_way, sqrt(astray_per * w->tolerance / from->bend));
	for (int m = 0; m < w->sums; m++) {
		from->sum[m] = sum[m];
		from->within[m] = (m ? near_second : 1) * far * fabs(sum[m]) / fmax(1, steepest[m] * fabs(sum[m]) / steep);
	}
	return 0;
}

/* The law is dear, and most cells hardly change from stage to stage: it is asked only when too far from the last time. */
INW_INLINE int slants_near(const struct work *w, struct kind k, int j, const double *sum, struct slants *out)
{
	const struct asked *from = &w->from[j];

	if (!(fabs(sum[0] - from->sum[0]) <= from->within[0] && (!k.two || fabs(sum[1] - from->sum[1]) <= from->within[1])) && ask(w, j, sum))
		return 1;
	go_on(w, k, j, sum, out);
	return 0;
}

/* ---- where a stage starts ---- */

/* One stage of a step: what of the rates before it counts, h gamma, and how far it is on from the stage before, over that
 * one from the one before it. */
struct stage { double by0, by1, hg, onward; const double *k0, *k1, *last; };

static struct stage stage_of(const struct work *w, double h, int s)
{
	const double moment[STAGES] = { GAMMA, (1 + GAMMA) / 2, 1 };
	const double onward = s == 2 ? (moment[2] - moment[1]) / (moment[1] - moment[0]) : s == 1 ? (moment[1] - moment[0]) / moment[0]
		: w->h_before > 0 ? moment[0] * h / ((moment[2] - moment[1]) * w->h_before) : 0;

	/* in place of rates that are not known yet: anything finite, times 0 */
	return (struct stage){ .by0 = h * A[s][0] * (s > 0), .by1 = h * A[s][1] * (s > 1), .hg = h * GAMMA, .onward = onward,
		.k0 = s > 0 ? w->k[0] : w->start, .k1 = s > 1 ? w->k[1] : w->start, .last = w->k[s ? s - 1 : STAGES - 1] };
}

/* Where Newton's method starts: ahead, or, if far, from the stage before, which is valid. */
static double nearer(double ahead, double now) { return ahead > 0.8 * now && ahead < 1.1 * now ? ahead : now; }

/* A cell's loadings without the stage's own rate. */
INW_INLINE void begin_cell(const struct work *w, struct kind k, const struct stage *g, int at)
{
	const pair *restrict start = (const pair *)(w->start + at), *restrict k0 = (const pair *)(g->k0 + at), *restrict k1 = (const pair *)(g->k1 + at);
	pair *restrict rhs = (pair *)(w->rhs + at);

	for (int i = 0; i < k.pairs; i++)
		rhs[i] = start[i] + g->by0 * k0[i] + g->by1 * k1[i];
}

/* ---- one cell in flow ---- */

/* GAS: q + G c = b with G = reach (1 - e^-a), so q_i = b_i/(1 + G_i slant_i) at given sums. */
struct balance { int j; const pair *G; pair b[PAIRS], part[PAIRS]; struct slants slant; double sum[2], step[2]; };

/* Newton's step of the sums. The first in logarithms: sum of room b/(1 + G slant) over the sum itself is a power where
 * the isotherm is one. The second, of one substance alone, as q (1 + G slant) = b. */
INW_INLINE int newton(const struct work *w, struct kind k, struct balance *x)
{
	const pair *restrict room = (const pair *)w->room, *restrict G = x->G;
	const double *sum = x->sum;
	pair held_all = { 0 }, by_first_all = { 0 }, by_second_all = { 0 };

	for (int i = 0; i < k.pairs; i++) {
		const pair part = 1 / (1 + G[i] * x->slant.at[i]), held = room[i] * x->b[i] * part, fall = held * part * G[i];

		x->part[i] = part;
		held_all += held;
		by_first_all += fall * x->slant.by_first[i];
		if (k.two)
			by_second_all += fall * x->slant.by_second[i];
	}
	const double is = inw_pair_sum(held_all);
	const bool power = is > 0 && sum[0] > 0;
	/* the row over the sum, times what is: one division less for the next cell to wait for */
	const double whole = power ? is : 1, times = power ? sum[0] : 1;
	double gap = is - sum[0];
	if (power && fabs(gap) > 1e-3 * sum[0]) /* below, what is left out is the square of it */
		gap = sum[0] * log(is / sum[0]);
	gap *= whole;
	const double first = whole + times * inw_pair_sum(by_first_all);
	double row[2] = { 0, 1 }, off = 0, by_second = 0;
	if (k.two) {
		const int i = w->apart / 2, half = w->apart % 2;
		const double reach = G[i][half], slant = x->slant.at[i][half];
		off = w->m->law.sums->room[w->apart] * x->b[i][half] - sum[1] * (1 + reach * slant);
		row[0] = sum[1] * reach * x->slant.by_first[i][half];
		row[1] = 1 + reach * (slant + sum[1] * x->slant.by_second[i][half]);
		by_second = times * inw_pair_sum(by_second_all);
	}
	const double det = first * row[1] - by_second * row[0];
	if (!(det > 0))
		return 1;
	const double inverse = 1 / det;
	x->step[0] = (gap * row[1] - by_second * off) * inverse;
	x->step[1] = (first * off - row[0] * gap) * inverse;
	if (power && fabs(x->step[0]) > 0.03 * sum[0])
		x->step[0] = sum[0] * expm1(fmin(x->step[0] / sum[0], 30));
	return 0;
}

/* Carry the step out, but not through zero where the solution is above it, nor out of the law's range. */
INW_INLINE int move(const struct work *w, struct kind k, struct balance *x)
{
	double share = 1;

	for (int h = 0; h < MOST_HALVINGS; h++, share /= 2) {
		double to[2] = { x->sum[0] + share * x->step[0], x->sum[1] + share * x->step[1] };

		if (k.two && to[1] < 0 && x->sum[1] > 0 && x->b[w->apart / 2][w->apart % 2] >= 0)
			to[1] = x->sum[1] / 8; /* any share that comes down fast */
		if (slants_near(w, k, x->j, to, &x->slant) == 0) {
			x->sum[0] = to[0];
			x->sum[1] = to[1];
			return 0;
		}
	}
	return 1;
}

/* What leaves the cell once its sums are a step from where they are: the rest is linear, and spares one call of the law. */
INW_INLINE void let_out(const struct work *w, struct kind k, const struct balance *x, const pair *inlet, pair *outlet)
{
	const pair *through = (const pair *)w->through, *kept = (const pair *)w->kept;

	for (int i = 0; i < k.pairs; i++) {
		pair more = x->step[0] * x->slant.by_first[i];
		if (k.two)
			more += x->step[1] * x->slant.by_second[i];
		outlet[i] = inlet[i] * through[i] + kept[i] * (x->b[i] * x->part[i] * (x->slant.at[i] + more * x->part[i]));
	}
}

INW_INLINE bool settled(struct kind k, const struct balance *x, double enough)
{
	return fabs(x->step[0]) <= enough * fabs(x->sum[0]) && (!k.two || fabs(x->step[1]) <= enough * fabs(x->sum[1]));
}

/* On from a first step that was not enough. */
static int settle_cell(const struct work *w, struct kind k, struct balance *x, double enough)
{
	for (int it = 1; it < MOST_NEWTON; it++) {
		if (move(w, k, x) || newton(w, k, x))
			return 1;
		if (settled(k, x, enough))
			return 0;
	}
	return 1;
}

struct cell {
	const double *rhs, *inlet;
	const double *reach;                     /* h gamma |v|/(rho_b dz): kg/kg per kg/m3 of drop */
	double *q, *outlet;                      /* solution */
};

/* LOADING: the unknown is the gas in the middle, c = (c_in + c_out)/2: c_in - c = t (c - q c/q(c)), t = tanh(a/2), and
 * q = rhs + 2 reach (c_in - c). With no loading it is e^-a again. */
static int cell_by_loading(const struct work *w, const struct cell *x)
{
	const struct inw_bed_law *law = &w->m->law;
	const int n = w->substances;
	double c[MOST], eq[MOST], J[MOST * MOST], a[MOST * MOST], delta[MOST];

	for (int i = 0; i < n; i++)
		c[i] = x->inlet[i] * (1 + w->through[i]) / 2; /* what an empty or unchanged cell would have */
	for (int it = 0; it < MOST_NEWTON; it++) {
		bool done = true;

		if (law->loading(law->context, c, eq, J))
			return 1;
		for (int i = 0; i < n; i++) {
			const double t = w->half[i], q = x->rhs[i] + 2 * x->reach[i] * (x->inlet[i] - c[i]);
			/* c/q(c) and its derivative; at no gas its limit */
			const double K = eq[i] > 0 ? c[i] / eq[i] : 1 / J[i * n + i];

			delta[i] = x->inlet[i] - c[i] - t * (c[i] - q * K);
			for (int j = 0; j < n; j++) {
				const double K_by = eq[i] > 0 ? ((i == j) - K * J[i * n + j]) / eq[i] : 0;

				a[i * n + j] = (i == j) * (1 + t + 2 * t * x->reach[i] * K) - t * q * K_by;
			}
		}
		if (factor(a, n))
			return 1;
		solve_factored(a, delta, n);
		for (int i = 0; i < n; i++) {
			const double K = eq[i] > 0 ? c[i] / eq[i] : 1 / J[i * n + i];

			done = done && fabs(delta[i]) <= 1e-13 * fabs(c[i]) + 1e-15 * x->inlet[i];
			/* as the cell would emit it: c_in - 2 (c_in - c) would lose the digits of a small outlet */
			x->q[i] = x->rhs[i] + 2 * x->reach[i] * (x->inlet[i] - c[i]);
			x->outlet[i] = x->inlet[i] * w->through[i] + w->kept[i] * x->q[i] * K;
			c[i] = fmax(c[i] + delta[i], c[i] / 8); /* not through zero; any share that comes down fast */
		}
		if (done)
			return 0;
	}
	return 1;
}

/* What all cells of a sweep share. */
struct pass { struct stage stage[STAGES]; double enough; pair drop[PAIRS], G[PAIRS]; double reach[ROW]; };

static void prepare_pass(const struct work *w, double h, struct pass *p)
{
	const double per = w->speed / (w->m->bulk_kgm3 * w->dz);

	for (int s = 0; s < STAGES; s++)
		p->stage[s] = stage_of(w, h, s);
	p->enough = fmin(enough_per_root * sqrt(w->tolerance), enough_at_most);
	for (int i = 0; i < w->n; i++) {
		p->drop[i / 2][i % 2] = w->hurry[i] * per;
		p->reach[i] = h * GAMMA * per * w->hurry[i];
		p->G[i / 2][i % 2] = p->reach[i] * w->kept[i];
	}
}

/* A cell's place in its rows. */
INW_INLINE int place_of(const struct work *w, struct kind k, int j)
{
	return (w->in->velocity_ms > 0 ? j : w->N - 1 - j) * 2 * k.pairs;
}

/* What leaves a cell is what its loadings gain or lose, and what comes to the next. */
INW_INLINE void leave_cell(const struct work *w, struct kind k, const struct pass *p, int s, int at, const pair *outlet)
{
	const struct stage *g = &p->stage[s];
	const pair *restrict rhs = (const pair *)(w->rhs + at);
	pair *restrict q = (pair *)(w->q + at), *restrict rate = (pair *)(w->k[s] + at), *restrict inlet = (pair *)w->outlet[s];

	for (int i = 0; i < k.pairs; i++) {
		rate[i] = p->drop[i] * (inlet[i] - outlet[i]);
		q[i] = rhs[i] + g->hg * rate[i];
		inlet[i] = outlet[i];
	}
}

/* LOADING: the j-th cell in the order of flow through one stage. */
static int sweep_by_loading(const struct work *w, const struct pass *p, int s, int j)
{
	const struct kind k = { w->n / 2, w->sums > 1 };
	const int at = place_of(w, k, j);
	pair outlet[PAIRS];

	begin_cell(w, k, &p->stage[s], at);
	if (cell_by_loading(w, &(struct cell){ .rhs = &w->rhs[at], .inlet = w->outlet[s], .reach = p->reach, .q = &w->q[at],
		.outlet = (double *)outlet }))
		return 1;
	leave_cell(w, k, p, s, at, outlet);
	return 0;
}

/* GAS: the j-th cell in the order of flow through one stage, up to where Newton's method begins. */
INW_INLINE int enter_cell(const struct work *w, struct kind k, const struct pass *p, int s, int j, struct balance *x)
{
	const int at = place_of(w, k, j);
	const pair *restrict rhs = (const pair *)(w->rhs + at), *restrict inlet = (const pair *)w->outlet[s];
	const double *past = w->past + 4 * j, onward = p->stage[s].onward;

	x->j = j;
	x->G = p->G;
	begin_cell(w, k, &p->stage[s], at);
	for (int m = 0; m < (k.two ? 2 : 1); m++)
		x->sum[m] = nearer(past[m] + onward * (past[m] - past[2 + m]), past[m]);
	for (int i = 0; i < k.pairs; i++)
		x->b[i] = rhs[i] + p->G[i] * inlet[i];
	return slants_near(w, k, j, x->sum, &x->slant);
}

INW_INLINE void finish_cell(const struct work *w, struct kind k, const struct pass *p, int s, const struct balance *x)
{
	double *past = w->past + 4 * x->j;
	pair outlet[PAIRS];

	let_out(w, k, x, (const pair *)w->outlet[s], outlet);
	for (int m = 0; m < (k.two ? 2 : 1); m++) {
		past[2 + m] = past[m];
		past[m] = x->sum[m] + x->step[m];
	}
	leave_cell(w, k, p, s, place_of(w, k, x->j), outlet);
}

/* The stages from `first` until before `end`, each in its own cell, hand in hand: what one waits for, another fills. */
INW_INLINE int front_cells(const struct work *w, struct kind k, const struct pass *p, int front, int first, int end)
{
	struct balance x[STAGES]; /* filled in as it goes: to clear it first is a fifth of the work */

	for (int s = first; s < end; s++)
		if (enter_cell(w, k, p, s, front - s, &x[s]))
			return 1;
	for (int s = first; s < end; s++)
		if (newton(w, k, &x[s]))
			return 1;
	for (int s = first; s < end; s++)
		if (!settled(k, &x[s], p->enough) && settle_cell(w, k, &x[s], p->enough))
			return 1;
	for (int s = first; s < end; s++)
		finish_cell(w, k, p, s, &x[s]);
	return 0;
}

/* All stages of all cells; leaves k and the outlets. A stage of a cell needs that stage of the cell before and the stage
 * before in its own: so the stages follow each other down the bed, each a cell behind, and what is done at one time waits
 * for nothing of that time. */
INW_INLINE int sweep_as(struct work *w, struct kind k, const struct pass *p)
{
	for (int front = 0; front < w->N + STAGES - 1; front++) {
		const int first = front < w->N ? 0 : front - w->N + 1, end = front < STAGES ? front + 1 : STAGES;

		if (first == 0 && end == STAGES ? front_cells(w, k, p, front, 0, STAGES) : front_cells(w, k, p, front, first, end))
			return 1;
	}
	return 0;
}

static int sweep_all_by_loading(struct work *w, const struct pass *p)
{
	for (int s = 0; s < STAGES; s++)
		for (int j = 0; j < w->N; j++)
			if (sweep_by_loading(w, p, s, j))
				return 1;
	return 0;
}

static int sweep(struct work *w, double h)
{
	const struct kind k = { w->n / 2, w->sums > 1 };
	struct pass p;

	prepare_pass(w, h, &p);
	for (int s = 0; s < STAGES; s++)
		memcpy(w->outlet[s], w->inlet, sizeof w->inlet);
	if (w->m->driving == INW_BED_LOADING)
		return sweep_all_by_loading(w, &p);
	/* those that are usual: of two sums there is water with one to six gases */
	switch (k.two ? -k.pairs : k.pairs) {
	case 1: return sweep_as(w, (struct kind){ 1, false }, &p);
	case 3: return sweep_as(w, (struct kind){ 3, false }, &p);
	case -2: return sweep_as(w, (struct kind){ 2, true }, &p);
	case -3: return sweep_as(w, (struct kind){ 3, true }, &p);
	case -4: return sweep_as(w, (struct kind){ 4, true }, &p);
	default: return sweep_as(w, k, &p);
	}
}

/* ---- creeping flow and rest ---- */

static int edge(const struct work *w, int cell) { return (cell == 0) + 2 * (cell == w->N - 1); }

/* What each cell gains from its neighbours, less what it loses, kg/(m2 s). */
static void gain(const struct work *w, const double *c, double *out)
{
	const int n = w->n;

	for (int j = 0; j < w->N; j++, c += n, out += n) {
		const double *loss = w->lost[edge(w, j)];

		for (int i = 0; i < n; i++)
			out[i] = -loss[i] * c[i];
		for (int i = 0; j > 0 && i < n; i++)
			out[i] += w->fore[i] * c[i - n];
		for (int i = 0; j + 1 < w->N && i < n; i++)
			out[i] += w->back[i] * c[i + n];
	}
}

/* And from the air that enters, `g` times. */
static void feed(const struct work *w, double g, double *out)
{
	const double v = w->in->velocity_ms;
	double *to = v > 0 ? out : out + (w->N - 1) * w->n;

	for (int i = 0; v != 0 && i < w->n; i++)
		to[i] += g * w->speed * w->hurry[i] * w->inlet[i];
}

/* Each substance alone at the slants of now: x - g gain(slant x) = what x is on entry. Dominant by columns. */
static void pivots(struct work *w, double g)
{
	const int n = w->n;

	for (int j = 0, at = 0; j < w->N; j++) {
		const double *loss = w->lost[edge(w, j)];

		for (int i = 0; i < n; i++, at++)
			w->pivot[at] = 1 / (1 + g * loss[i] * w->slant[at] - (j == 0 ? 0 : g * w->fore[i] * w->slant[at - n]
				* g * w->back[i] * w->slant[at] * w->pivot[at - n]));
	}
}

static void solve_alone(const struct work *w, double g, double *x)
{
	const int n = w->n;

	for (int j = 1, at = n; j < w->N; j++)
		for (int i = 0; i < n; i++, at++)
			x[at] += g * w->fore[i] * w->slant[at - n] * w->pivot[at - n] * x[at - n];
	for (int at = (w->N - 1) * n, i = 0; i < n; i++)
		x[at + i] *= w->pivot[at + i];
	for (int j = w->N - 2; j >= 0; j--)
		for (int i = 0, at = j * n; i < n; i++, at++)
			x[at] = (x[at] + g * w->back[i] * w->slant[at + n] * x[at + n]) * w->pivot[at];
}

/* Loadings at given sums, and by how much the sums are not theirs. */
static int loadings(struct work *w, double g)
{
	const struct kind k = { w->n / 2, w->sums > 1 };
	const size_t row = sizeof *w->q * (size_t)w->n;
	struct slants now;

	for (int j = 0, n = w->n; j < w->N; j++) {
		if (slants_near(w, k, j, w->sum + j * w->sums, &now))
			return 1;
		memcpy(w->slant + j * n, now.at, row);
		memcpy(w->by + 2 * j * n, now.by_first, row);
		memcpy(w->by + (2 * j + 1) * n, now.by_second, row);
	}
	pivots(w, g);
	memcpy(w->q, w->rhs, row * (size_t)w->N);
	feed(w, g, w->q);
	solve_alone(w, g, w->q);
	for (int j = 0; j < w->N; j++)
		sums_of(w, w->q + j * w->n, w->left + j * w->sums);
	for (int x = 0; x < w->sums * w->N; x++)
		w->left[x] = w->sum[x] - w->left[x];
	return 0;
}

/* How `left` changes with the sums. Volume only goes from cell to cell: each column's diagonal exceeds the rest by 1. */
static void slope(struct work *w, double g, const double *sum, double *left)
{
	const int n = w->n, all = n * w->N;

	for (int j = 0; j < w->N; j++)
		for (int i = 0, at = j * n; i < n; i++, at++) {
			const double *by = w->by + 2 * j * n + i;
			w->z[at] = w->q[at] * (w->sums > 1 ? by[0] * sum[2 * j] + by[n] * sum[2 * j + 1]
				: by[0] * sum[j]);
		}
	gain(w, w->z, w->spare);
	for (int x = 0; x < all; x++)
		w->spare[x] *= g;
	solve_alone(w, g, w->spare);
	for (int j = 0; j < w->N; j++)
		sums_of(w, w->spare + j * n, left + j * w->sums);
	for (int x = 0; x < w->sums * w->N; x++)
		left[x] = sum[x] - left[x];
}

static double product(const double *a, const double *b, int n)
{
	double t = 0;

	for (int x = 0; x < n; x++)
		t += a[x] * b[x];
	return t;
}

/* slope(change) = -left, by BiCGSTAB (van der Vorst 1992, SIAM J. Sci. Stat. Comput. 13:631-644, memory). Left: a
 * hundredth, which is enough within Newton's method. */
static const double *change(struct work *w, double g)
{
	double *r0 = w->krylov[0], *r = w->krylov[1], *p = w->krylov[2], *v = w->krylov[3], *t = w->krylov[4],
		*d = w->krylov[5];
	const int all = w->sums * w->N;

	for (int x = 0; x < all; x++) {
		r0[x] = r[x] = p[x] = -w->left[x];
		d[x] = 0;
	}
	double rho = product(r, r, all);
	const double enough = 1e-4 * rho;
	for (int it = 0; it < MOST_NEWTON; it++) {
		slope(w, g, p, v);
		const double along = rho / product(r0, v, all);
		for (int x = 0; x < all; x++) {
			d[x] += along * p[x];
			r[x] -= along * v[x];
		}
		if (!(product(r, r, all) > enough))
			break;
		slope(w, g, r, t);
		const double by = product(t, r, all) / product(t, t, all), before = rho;
		for (int x = 0; x < all; x++) {
			d[x] += by * r[x];
			r[x] -= by * t[x];
		}
		rho = product(r0, r, all);
		if (!(product(r, r, all) > enough))
			break;
		for (int x = 0; x < all; x++)
			p[x] = r[x] + rho / before * along / by * (p[x] - by * v[x]);
	}
	return d;
}

/* Newton's method for the sums, from where they are. */
static int settle(struct work *w, double g)
{
	const int all = w->sums * w->N;
	const double enough = fmin(left_per * w->tolerance, left_at_most);
	double most[2];

	sums_of(w, w->most, most);
	if (loadings(w, g))
		return 1;
	for (int it = 0; it < MOST_NEWTON; it++) {
		double worst = 0, share = 1;

		for (int x = 0; x < all; x++) {
			double *scale = &most[x % w->sums];
			*scale = fmax(*scale, fabs(w->sum[x] - w->left[x]));
			if (w->left[x] != 0)
				worst = fmax(worst, fabs(w->left[x]) / *scale);
		}
		if (worst <= enough)
			return 0;
		const double *d = change(w, g);
		double *from = w->krylov[0];
		memcpy(from, w->sum, sizeof *from * (size_t)all);
		do {
			for (int x = 0; x < all; x++) { /* not through zero: any share that comes down fast */
				w->sum[x] = from[x] + share * d[x];
				if (!(w->sum[x] >= 0) && from[x] > 0)
					w->sum[x] = from[x] / 8;
			}
			share /= 2;
		} while (loadings(w, g) && share > 1e-9);
	}
	return 1;
}

static int creep(struct work *w, double h, int stage)
{
	const int n = w->n, all = n * w->N;
	const double per = 1 / (w->m->bulk_kgm3 * w->dz);

	const struct stage now = stage_of(w, h, stage);
	for (int j = 0; j < w->N; j++) {
		double ahead[ROW], there[2], here[2];

		begin_cell(w, (struct kind){ n / 2, w->sums > 1 }, &now, j * n);
		for (int i = 0, x = j * n; i < n; i++, x++)
			ahead[i] = w->rhs[x] + now.hg * now.last[x];
		sums_of(w, ahead, there);
		sums_of(w, w->q + j * n, here);
		for (int m = 0; m < w->sums; m++)
			w->sum[j * w->sums + m] = nearer(there[m], here[m]);
	}
	w->spare = w->k[stage]; /* not yet needed */
	if (settle(w, h * GAMMA * per))
		return 1;
	for (int x = 0; x < all; x++)
		w->z[x] = w->slant[x] * w->q[x];
	gain(w, w->z, w->k[stage]);
	feed(w, 1, w->k[stage]);
	for (int x = 0; x < all; x++) {
		w->k[stage][x] *= per;
		w->q[x] = w->rhs[x] + h * GAMMA * w->k[stage][x];
	}
	memcpy(w->outlet[stage], w->in->velocity_ms > 0 ? w->z + all - n : w->z, sizeof *w->z * (size_t)n);
	return 0;
}

/* ---- steps ---- */

/* The largest error of each substance, and its highest loading so far, now included. */
INW_INLINE void measure_as(struct work *w, double h, int pairs)
{
	const pair *k0 = (const pair *)w->k[0], *k1 = (const pair *)w->k[1], *k2 = (const pair *)w->k[2], *q = (const pair *)w->q;
	double by[STAGES];
	pair error[PAIRS], highest[PAIRS];

	for (int s = 0; s < STAGES; s++)
		by[s] = h * (A[STAGES - 1][s] - embedded[s]);
	memset(error, 0, sizeof error);
	memcpy(highest, w->most, sizeof highest);
	for (int j = 0, at = 0; j < w->N; j++)
		for (int i = 0; i < pairs; i++, at++) {
			error[i] = inw_pair_larger(inw_pair_magnitude(by[0] * k0[at] + by[1] * k1[at] + by[2] * k2[at]), error[i]);
			highest[i] = inw_pair_larger(inw_pair_magnitude(q[at]), highest[i]);
		}
	memcpy(w->error, error, sizeof error);
	memcpy(w->highest, highest, sizeof highest);
}

static void measure(struct work *w, double h)
{
	switch (w->n / 2) {
	case 2:
		measure_as(w, h, 2);
		break;
	case 3:
		measure_as(w, h, 3);
		break;
	default:
		measure_as(w, h, w->n / 2);
	}
}

/* Back to before the step. */
static void take_back(struct work *w)
{
	memcpy(w->q, w->start, sizeof *w->q * (size_t)(w->n * w->N));
	w->h_before = 0;
	for (int j = 0; j < w->N; j++) {
		double *past = w->past + 4 * j;
		sums_of(w, w->q + (w->in->velocity_ms > 0 ? j : w->N - 1 - j) * w->n, past);
		past[2] = past[0];
		past[3] = past[1];
	}
}

/* One step. On failure the loadings are as before it. */
static int step(struct work *w, double h)
{
	int bad = 0;

	memcpy(w->start, w->q, sizeof *w->q * (size_t)(w->n * w->N));
	if (w->sweeps)
		bad = sweep(w, h);
	for (int s = 0; s < STAGES && !w->sweeps && !bad; s++)
		bad = creep(w, h, s);
	if (bad) {
		take_back(w);
		return 1;
	}
	memset(w->sent, 0, sizeof w->sent);
	for (int s = 0; s < STAGES; s++)
		for (int i = 0; i < w->n; i++)
			w->sent[i] += A[STAGES - 1][s] * h * w->speed * w->outlet[s][i];
	measure(w, h);
	return 0;
}

/* Error of the last step over what is allowed. A substance seen for the first time is measured by what it has now. */
static double judged(const struct work *w, double tolerance)
{
	double worst = 0;

	for (int i = 0; i < w->n; i++)
		if (w->error[i] > 0)
			worst = fmax(worst, w->error[i] / (tolerance * w->highest[i]));
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
	if (!(m->driving == INW_BED_GAS ? m->law.slant != NULL : m->law.loading != NULL))
		return "the law that drives uptake is missing";
	if (!(isfinite(in->velocity_ms) && isfinite(duration_s) && duration_s >= 0 && o->tolerance > 0))
		return "velocity, time or tolerance is not a number in range";
	for (int i = 0; i < m->substances; i++) {
		if (in->velocity_ms != 0 && !(in->inlet_kgm3[i] >= 0 && isfinite(in->inlet_kgm3[i])
			&& in->rate_1s[i] > 0))
			return "an inlet concentration is below zero, or a rate not above it";
		if (in->hurry && !(in->hurry[i] > 0))
			return "a bed cannot be hurried by nothing";
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

	w->half[i] = tanh(a / 2);
	w->through[i] = exp(-a);
	w->kept[i] = -expm1(-a);
}

static void prepare_creep(struct work *w, int i, double spread)
{
	const double v = w->in->velocity_ms, all = v == 0 ? spread : spread + v * v / w->in->rate_1s[i];

	w->fore[i] = all > 0 ? w->hurry[i] * all / w->dz * bernoulli(-v * w->dz / all) : 0;
	w->back[i] = all > 0 ? w->hurry[i] * all / w->dz * bernoulli(v * w->dz / all) : 0;
	for (int e = 0; e < 4; e++)
		w->lost[e][i] = (e & 2 ? w->hurry[i] * fmax(v, 0) : w->fore[i])
			+ (e & 1 ? w->hurry[i] * fmax(-v, 0) : w->back[i]);
}

/* Which of the two, and the constants of a cell. */
static bool prepare(struct work *w)
{
	const struct inw_bed_inputs *in = w->in;
	const struct inw_bed_law *law = &w->m->law;

	w->apart = law->slant ? law->sums->apart : -1;
	w->sums = w->apart >= 0 ? 2 : 1;
	w->speed = fabs(in->velocity_ms);
	w->dz = w->m->depth_m / w->m->cells;
	w->sweeps = w->speed > 0;
	for (int i = 0; i < w->substances && in->still_m2s; i++)
		w->sweeps = w->sweeps && w->speed * w->m->depth_m >= slow * in->still_m2s[i];
	for (int i = 0; i < w->substances; i++) {
		const double still = in->still_m2s ? in->still_m2s[i] : 0;
		const double spread = w->speed > 0 && in->spread_m2s ? fmax(in->spread_m2s[i], still) : still;

		w->hurry[i] = in->hurry ? in->hurry[i] : 1;
		w->inlet[i] = w->speed > 0 ? in->inlet_kgm3[i] : 0;
		w->room[i] = law->slant && i != w->apart ? law->sums->room[i] : 0;
		if (w->sweeps)
			prepare_sweep(w, i, spread);
		else
			prepare_creep(w, i, spread);
	}
	return w->sweeps || law->slant || (w->speed == 0 && !in->still_m2s);
}

size_t inw_bed_workspace(const struct inw_bed_model *m)
{
	return INW_BED_WORKSPACE((size_t)m->cells, (size_t)m->substances);
}

static void lay_out(struct work *w, double *space)
{
	const size_t all = (size_t)w->N * (size_t)w->n, sums = 2 * (size_t)w->N;
	double **place[] = { &w->q, &w->start, &w->rhs, &w->k[0], &w->k[1], &w->k[2], &w->slant, &w->pivot, &w->z };
	double **small[] = { &w->sum, &w->left, &w->krylov[0], &w->krylov[1], &w->krylov[2], &w->krylov[3], &w->krylov[4],
		&w->krylov[5] };

	for (size_t i = 0; i < sizeof place / sizeof place[0]; i++, space += all)
		*place[i] = space;
	w->by = space;
	space += 2 * all;
	w->asked = space;
	space += 3 * all;
	w->from = (struct asked *)space;
	space += sizeof *w->from / sizeof *space * (size_t)w->N;
	w->past = space;
	for (size_t i = 0; i < sizeof small / sizeof small[0]; i++, space += sums)
		*small[i] = space;
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
	for (int i = 0; i < w->substances && w->speed > 0; i++) {
		if (out->outlet_kgm3)
			out->outlet_kgm3[i] += w->sent[i];
		if (out->in_kg)
			out->in_kg[i] += w->m->area_m2 * w->speed * h * w->in->inlet_kgm3[i];
		if (out->out_kg)
			out->out_kg[i] += w->m->area_m2 * w->sent[i];
	}
}

/* By what the next step is longer, from the error of this one over what is allowed, and the last one accepted. Third-order
 * step, second-order error: the cube root; usual safety and bounds (common practice). The error of steps that lengthen in
 * proportion to the time passed, as they do after a change, stays behind what the cube root expects: so the trend counts
 * (Gustafsson 1994, ACM Trans. Math. Softw. 20:496-517, memory). */
struct accepted { double h, worst; };

static double growth(double h, double worst, const struct accepted *last)
{
	if (worst == INFINITY)
		return 0.25;
	if (!(worst > 1e-3)) /* far too short: nothing that can be told a trend */
		return 5;
	const double alone = 0.9 / cbrt(worst), trend = last->h > 0 && worst <= 1 ? h / last->h * cbrt(last->worst / worst) : 1;
	return fmin(5, fmax(0.2, alone * fmin(1.4, fmax(0.5, trend))));
}

/* Steps until the end or until one fails at any length. */
static void integrate(struct work *w, struct inw_bed_state *state, double duration_s, const struct inw_bed_options *o,
	struct inw_bed_result *out)
{
	double *kept = &state->first_step_s[w->speed > 0];
	double h = *kept > 0 ? *kept : 1e-4 * duration_s; /* any short start: steps grow fivefold */
	bool first = true;
	struct accepted before = { 0, 0 };

	if (w->in->goes_on && state->next_step_s > 0)
		h = state->next_step_s;
	while (out->done_s < duration_s) {
		const double left = duration_s - out->done_s;
		const bool last = h >= left * (1 - 1e-12);
		const double now = last ? left : h;
		const bool lost = step(w, now) != 0;
		const double worst = lost ? INFINITY : judged(w, o->tolerance);
		const double grow = growth(now, worst, &before);

		if (!(worst <= 1)) {
			if (!lost)
				take_back(w);
			out->rejected++;
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
		memcpy(w->most, w->highest, sizeof w->most);
		w->h_before = now;
		if (first && !w->in->goes_on) /* the next call of its kind starts where this one could have */
			*kept = last ? fmax(*kept, now) : now * grow;
		first = false;
		before = (struct accepted){ now, worst };
		h = last ? fmax(h, now * grow) : now * grow;
		state->next_step_s = h;
		if (out->steps >= o->most_steps && out->done_s < duration_s) {
			out->status = INW_NOT_CONVERGED;
			out->why = "more steps than allowed";
			return;
		}
	}
}

/* The caller's loadings into rows, and back: INTO or OUT_OF them. */
enum way { INTO, OUT_OF };

static void copy_rows(struct work *w, struct inw_bed_state *state, enum way way)
{
	const size_t bytes = sizeof *w->q * (size_t)w->substances;

	for (int j = 0; j < w->N; j++) {
		double *row = w->q + j * w->n, *outside = state->q + j * w->substances;
		row[w->n - 1] = way == INTO ? 0 : row[w->n - 1];
		memcpy(way == INTO ? row : outside, way == INTO ? outside : row, bytes);
	}
	memcpy(way == INTO ? w->most : state->most, way == INTO ? state->most : w->most, bytes);
}

void inw_bed_advance(const struct inw_bed_model *m, struct inw_bed_state *state, const struct inw_bed_inputs *in,
	double duration_s, const struct inw_bed_options *options, double *workspace, struct inw_bed_result *out)
{
	struct work w = { .m = m, .in = in, .n = m->substances + m->substances % 2, .substances = m->substances, .N = m->cells,
		.tolerance = options->tolerance < 1 ? options->tolerance : strict };

	begin_books(m, out);
	out->why = fault(m, in, duration_s, options);
	if (!out->why && !prepare(&w))
		out->why = "slow flow and rest need the gas in equilibrium with a loading";
	if (out->why) {
		out->status = INW_BAD_INPUT;
		return;
	}
	lay_out(&w, workspace);
	copy_rows(&w, state, INTO);
	for (int s = 0; s < STAGES; s++)
		memset(w.k[s], 0, sizeof *w.q * (size_t)(w.n * w.N));
	memcpy(w.start, w.q, sizeof *w.q * (size_t)(w.n * w.N));
	take_back(&w);
	for (int j = 0; j < w.N; j++) /* the law has not been asked */
		w.from[j] = (struct asked){ .sum = { NAN, NAN }, .bend = usual_bend };
	measure(&w, 0);
	memcpy(w.most, w.highest, sizeof w.most);
	if (w.speed == 0 && !m->law.slant)
		out->done_s = duration_s;
	else
		integrate(&w, state, duration_s, options, out);
	copy_rows(&w, state, OUT_OF);
	for (int i = 0; i < m->substances && out->outlet_kgm3 && out->done_s > 0 && w.speed > 0; i++)
		out->outlet_kgm3[i] /= out->done_s * w.speed;
}

int inw_bed_outlet(const struct inw_bed_model *m, const struct inw_bed_state *state, const struct inw_bed_inputs *in,
	double *outlet_kgm3)
{
	struct work w = { .m = m, .in = in, .n = m->substances, .substances = m->substances, .N = m->cells, .q = state->q };
	double inlet[ROW], c[MOST], q[MOST];
	const double reach[MOST] = { 0 };
	const int n = m->substances;

	if (in->velocity_ms == 0 || !prepare(&w))
		return 1;
	if (!w.sweeps)
		return gas_of(&w, state->q + (in->velocity_ms > 0 ? (m->cells - 1) * n : 0), outlet_kgm3);
	memcpy(inlet, in->inlet_kgm3, sizeof *inlet * (size_t)n);
	for (int j = 0; j < m->cells; j++) {
		const int at = (in->velocity_ms > 0 ? j : m->cells - 1 - j) * n;

		for (int i = 0; i < n; i++)
			outlet_kgm3[i] = inlet[i] * w.through[i];
		if (m->driving == INW_BED_LOADING) {
			if (cell_by_loading(&w, &(struct cell){ .rhs = &state->q[at], .inlet = inlet, .reach = reach, .q = q,
				.outlet = outlet_kgm3 }))
				return 1;
		} else {
			if (gas_of(&w, &state->q[at], c))
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
