/* SPDX-License-Identifier: MIT */
#include "solve/steady.h"

#include <math.h>
#include <string.h>

#include "solve/linear.h"
#include "solve/slope.h"

enum { MAX_NEWTON = 60, MAX_HALVINGS = 12, MAX_MODES = 12, MAX_TIME = 300, MAX_TIME_SLOW = 1500 };
static const double converged = 1e-11, good_enough = 1e-9; /* of scaled residuals; S1 */
static const double drawn_enough = 3e-5, drawn_near = 3e-4;         /* of what is drawn at random: residuals, what is left of air (ours, as all here) */
static const double drawn_step = 0.2, drawn_first = 0.02, drawn_left = 0.01; /* the last step of heat: of several, of one alone where no more is known, and what is left of it */
static const double range_enough = 1e-8, range_step = 1e-3;                 /* of the end of a range */
static const double instant_enough = 1e-7;                  /* of an instant: steps in time err by far more */
static const double roughly_K = 0.02;                       /* by so much a room may seem to want both, less closely solved */
static const double coldest = 150, hottest = 800;           /* K: where iterates may go, as far as the laws of air hold */
static const double first_step = 0.1;                       /* of time, in the scaled equations' own unit */
static const double moist_end = 473.15;                     /* K: where the law of moist air ends (Hyland & Wexler 1983) */

struct newton {
	struct inw_solution *sol;
	double unknown[INW_MAX_UNKNOWNS], equation[INW_MAX_UNKNOWNS];
	double r[INW_MAX_UNKNOWNS], offset[INW_MAX_UNKNOWNS]; /* solves F(y) = offset: zero, or a step of the homotopy */
	struct inw_sparse J;
	struct inw_elimination e;      /* of J as it was scaled last */
	bool temperature[INW_MAX_UNKNOWNS];
	const struct inw_step *step;   /* NULL: at rest */
	double small_step;             /* of natural sizes: the last step must be smaller */
	bool wants_J;                  /* J is not of the y that was reached */
	bool stale;                    /* the flows kept are of another y than the one returned */
};

static void mark(struct newton *w, int slot)
{
	if (slot >= 0)
		w->temperature[slot] = true;
}

static void mark_temperatures(struct newton *w)
{
	const struct inw_slots *s = &w->sol->s;

	memset(w->temperature, 0, sizeof w->temperature);
	mark(w, s->T_box);
	mark(w, s->T_in);
	mark(w, s->T_junction);
	mark(w, s->T_return);
	mark(w, s->T_exhaust);
	mark(w, s->T_star);
	for (int i = 0; i < INW_FACES; i++) {
		mark(w, s->T_panel_in[i]);
		mark(w, s->T_panel_out[i]);
	}
	for (int i = 0; i < 3; i++)
		mark(w, s->T_skin[i]);
	for (int i = 0; i < w->sol->m.rooms; i++)
		mark(w, s->T_room[i]);
}

/* What is stored from `base` to y in one implicit step, and the air that a warming box pushes out:
 * capacity (y - base) rate, V drho/dT (T - base) rate. */
static void store(struct newton *w, const double *y, struct inw_sparse *J)
{
	const struct inw_step *t = w->step;
	const struct inw_slots *s = &w->sol->s;
	int n = s->n, T = s->T_box;

	for (int i = 0; t->hold && i < n; i++) {
		if (t->capacity[i] <= 0)
			continue;
		w->r[i] = w->equation[i] * (y[i] - t->base[i]);
		if (J)
			inw_sparse_empty_row(J, i), inw_sparse_add(J, i, i, w->equation[i]);
	}
	if (t->hold)
		return;
	for (int i = 0; i < n; i++) {
		w->r[i] -= t->capacity[i] * t->rate * (y[i] - t->base[i]);
		if (J)
			inw_sparse_add(J, i, i, -t->capacity[i] * t->rate);
	}
	if (w->sol->m.box_pinned)
		return;
	w->r[s->p_box] -= t->expansion * t->rate * (y[T] - t->base[T]);
	if (J)
		inw_sparse_add(J, s->p_box, T, -t->expansion * t->rate);
}

/* Largest scaled residual of w->r less w->offset; NAN-proof: not finite counts as infinite. */
static double worst_of(struct newton *w)
{
	double worst = 0;

	for (int i = 0; i < w->sol->s.n; i++) {
		w->r[i] -= w->offset[i];
		double e = fabs(w->r[i]) / w->equation[i];
		if (!(e < 1e300))
			return INFINITY;
		if (e > worst)
			worst = e;
	}
	return worst;
}

/* The same at y, left in w->r (unscaled). */
static double evaluate(struct newton *w, const double *y, struct inw_sparse *J)
{
	struct inw_solution *sol = w->sol;

	inw_model_residual(&sol->m, &sol->s, y, w->r, J, &sol->f);
	if (w->step)
		store(w, y, J);
	return worst_of(w);
}

/* Sum of squares of scaled residuals: smoother than the largest for a line search. */
static double merit(const struct newton *w)
{
	double sum = 0;

	for (int i = 0; i < w->sol->s.n; i++) {
		double e = w->r[i] / w->equation[i];
		sum += e * e;
	}
	return sum;
}

static int direction(struct newton *w, double *step)
{
	int n = w->sol->s.n;

	for (int i = 0; i < n; i++) {
		double scale = 1 / w->equation[i];
		for (uint64_t in = w->J.in[i]; in;) {
			int j = inw_sparse_take(&in);
			w->J.a[i * n + j] *= w->unknown[j] * scale;
		}
		step[i] = -w->r[i] * scale;
	}
	if (inw_solve(&w->e, &w->J, step))
		return -1;
	for (int i = 0; i < n; i++)
		step[i] *= w->unknown[i];
	return 0;
}

/* The longest share of a step that keeps temperatures within what the property laws hold for. */
static double allowed(const struct newton *w, const double *y, const double *step)
{
	double t = 1;

	for (int i = 0; i < w->sol->s.n; i++) {
		if (!w->temperature[i])
			continue;
		double next = y[i] + step[i];
		if (next < coldest)
			t = fmin(t, 0.8 * (coldest - y[i]) / step[i]);
		if (next > hottest)
			t = fmin(t, 0.8 * (hottest - y[i]) / step[i]);
	}
	return t;
}

/* The step's longest share t that lessens the sum of squares; y moves there. False when none does. */
static bool search(struct newton *w, double *y, const double *step, bool last, double *worst, double *best)
{
	int n = w->sol->s.n, halvings = *worst <= good_enough ? 0 : MAX_HALVINGS; /* near the floor of rounding: whole or none */
	double trial[INW_MAX_UNKNOWNS], t = allowed(w, y, step);

	for (int k = 0; k <= halvings; k++, t *= 0.5) {
		for (int i = 0; i < n; i++)
			trial[i] = y[i] + t * step[i];
		/* most steps are taken whole: only then is J wanted at once, unless this one should be the last */
		w->wants_J = k || last;
		double now = evaluate(w, trial, w->wants_J ? NULL : &w->J);
		w->stale = !(now < INFINITY) || !(merit(w) <= *best * (1 - 1e-4 * t));
		if (w->stale)
			continue;
		memcpy(y, trial, sizeof(double) * (size_t)n);
		*worst = now;
		*best = merit(w);
		return true;
	}
	return false;
}

/* Largest step in natural sizes. */
static double largest(const struct newton *w, const double *step)
{
	double most = 0;

	for (int i = 0; i < w->sol->s.n; i++) {
		double size = fabs(step[i]) / w->unknown[i];
		most = size > most ? size : most;
	}
	return most;
}

/* Newton with halving, until the balances close and the last step was small: of a very tight box the balances close long
 * before its pressures are right. Returns the largest scaled residual reached. */
static double newton(struct newton *w, double *y, double target)
{
	double step[INW_MAX_UNKNOWNS], worst = evaluate(w, y, &w->J), best = merit(w), moved = 0;

	w->wants_J = false;
	for (int it = 0; it < MAX_NEWTON && (worst > target || moved > w->small_step) && worst < INFINITY; it++) {
		w->sol->iterations++;
		if (w->wants_J)
			evaluate(w, y, &w->J);
		if (direction(w, step))
			break;
		moved = largest(w, step);
		if (!search(w, y, step, moved <= w->small_step, &worst, &best))
			break;
	}
	return worst;
}

static bool is_skin(const struct inw_slots *s, int i)
{
	return i == s->T_skin[0] || i == s->T_skin[1] || i == s->T_skin[2];
}

/* The same, but for the skins of ducts, which are moved most and move least: they count for a tenth. */
static double largest_felt(const struct newton *w, const double *step)
{
	double most = 0;

	for (int i = 0; i < w->sol->s.n; i++) {
		double size = fabs(step[i]) / w->unknown[i] * (is_skin(&w->sol->s, i) ? 0.1 : 1);
		most = size > most ? size : most;
	}
	return most;
}

/* Heat hardly bends, and has the costly laws: after a short step only the air is worked out anew, and put right by the slope
 * that is known. False when that does not close its balances soon. */
static bool air_settles(struct newton *w, double *y)
{
	const double soon = 0.25; /* of the residual before: as long as that a look costs less than a Newton step */
	struct inw_solution *sol = w->sol;
	double step[INW_MAX_UNKNOWNS];
	int n = sol->s.n;

	for (double before = INFINITY;; before = sol->residual) {
		inw_model_air_alone(&sol->m, &sol->s, y, w->r, &sol->f);
		if (!((sol->residual = worst_of(w)) <= soon * before))
			return false;
		for (int i = 0; i < n; i++)
			step[i] = -w->r[i] / w->equation[i];
		inw_solve_again(&w->e, &w->J, step);
		for (int i = 0; i < n; i++)
			step[i] *= w->unknown[i];
		double size = largest(w, step);
		if (sol->residual <= drawn_enough && size <= drawn_near)
			return true;
		if (!(size <= drawn_step) || allowed(w, y, step) < 1) /* air far from settled takes heat along, beyond what its laws hold for at last */
			return false;
		for (int i = 0; i < n; i++)
			y[i] += step[i];
	}
}

/* The heat told is that before the last step. Could that step have moved a thermostat past its switch? A step of natural sizes moves heat by
 * what ten kelvin drive through the box's faces, 5 W/(m2 K), and off the plate, 25, and by what a gram of air per second carries at
 * 100 K (ours). */
static bool near_a_switch(const struct inw_solution *sol, double moved)
{
	const struct inw_model *m = &sol->m;
	double area = 2 * (m->box_w * m->box_d + m->box_w * m->box_h + m->box_d * m->box_h), most_W = moved * (10 * (5 * area + 25 * m->plate_area) + 100);

	if (m->heater == INW_HEATER_HOLDS && !(sol->f.heater_W > most_W && sol->f.heater_W < m->heater_power - most_W))
		return true;
	if (m->plate_on && m->plate_area > 0 && !(sol->f.plate_W > most_W))
		return true;
	for (int i = 0; i < m->rooms; i++)
		if (m->room[i].assumed && m->room[i].held && !(sol->f.room_heater_W[i] > most_W))
			return true;
	return false;
}

/* Where air turns round in a gap or a duct, heat bends after all: how much is left after a step shows by how much shorter it was than the
 * one before. The first one shows nothing, and so must be next to none, or as short as is known to do. */
static bool heat_settles(const struct inw_solution *sol, double moved, double before)
{
	if (moved <= fmax(drawn_first, fmin(sol->first_step, drawn_step)))
		return true;
	return before < INFINITY && moved <= drawn_step && moved * moved <= drawn_left * before;
}

/* What a second step moves temperatures by, in natural sizes, over the square of the first. */
static double bend_of(const struct newton *w, const double *step, double before)
{
	double most = 0;

	for (int i = 0; i < w->sol->s.n; i++)
		if (w->temperature[i] && !is_skin(&w->sol->s, i))
			most = fmax(most, fabs(step[i]) / w->unknown[i]);
	return most / (before * before);
}

/* What is foretold is near: whole steps, each shorter than the one before, until one is so short that heat bends no more. False when it
 * does not go so well; y is then anything. */
static bool newton_drawn(struct newton *w, double *y)
{
	enum { steps = 6 };
	struct inw_solution *sol = w->sol;
	double step[INW_MAX_UNKNOWNS], moved, before = INFINITY;

	sol->residual = evaluate(w, y, &w->J);
	for (int it = 0; it < steps && sol->residual < INFINITY; it++, before = moved) {
		sol->iterations++;
		if (direction(w, step) || allowed(w, y, step) < 1 || !((moved = largest_felt(w, step)) < before))
			return false;
		if (it == 1 && before <= 1)
			sol->bend = bend_of(w, step, before);
		for (int i = 0; i < sol->s.n; i++)
			y[i] += step[i];
		if (heat_settles(sol, moved, before) && air_settles(w, y)) {
			sol->heat_step = moved;
			if (near_a_switch(sol, moved))
				inw_steady_heat(sol);
			return true;
		}
		sol->residual = evaluate(w, y, &w->J);
	}
	return false;
}

/* How each balance moves its own unknown in time: +1 where the residual is a gain (heat of a body, air of a zone, push on a
 * column of air), -1 where it is written as unknown less its value. */
static void signs(const struct newton *w, double *sign)
{
	const struct inw_model *m = &w->sol->m;
	const struct inw_slots *s = &w->sol->s;

	for (int i = 0; i < s->n; i++)
		sign[i] = 1;
	if (m->box_pinned)
		sign[s->p_box] = -1;
	for (int i = 0; i < m->rooms; i++)
		if (m->room[i].pinned)
			sign[s->p_room[i]] = -1;
	if (m->heater == INW_HEATER_HOLDS)
		sign[s->T_box] = -1;
	for (int i = 0; w->step && w->step->hold && i < s->n; i++)
		if (w->step->capacity[i] > 0) /* held: unknown less its value */
			sign[i] = -1;
	if (s->T_plate >= 0 && m->plate == INW_PLATE_HOLDS)
		sign[s->T_plate] = -1;
	const int ends[] = {s->T_in, s->T_return, s->T_exhaust, m->fixed_share ? s->m_exhaust : -1};
	for (size_t i = 0; i < INW_COUNT(ends); i++)
		if (ends[i] >= 0)
			sign[ends[i]] = -1;
}

/* One implicit step of length dt (in the scaled equations' own time): (sign/dt - J) step = F. */
static int time_step(struct newton *w, const double *sign, double dt, double *step)
{
	int n = w->sol->s.n;

	for (int i = 0; i < n; i++) {
		for (uint64_t in = w->J.in[i]; in;) {
			int j = inw_sparse_take(&in);
			w->J.a[i * n + j] *= -w->unknown[j] / w->equation[i];
		}
		inw_sparse_add(&w->J, i, i, sign[i] / dt);
		step[i] = w->r[i] / w->equation[i];
	}
	if (inw_solve(&w->e, &w->J, step))
		return -1;
	for (int i = 0; i < n; i++)
		step[i] *= w->unknown[i];
	return 0;
}

static bool too_hot(const struct newton *w, const double *y)
{
	return y[w->sol->s.T_box] > 0.99 * hottest;
}

/* The length of the next time step, how fast it may grow, the sum of squares before it, and how many steps in a row have
 * raised that. */
struct pace { double dt, growth, before; int worse; };

/* Steps lengthen as the balances close. Where one made them worse (two straight lines that meet in a kink throw the steps
 * from one to the other) they shorten, and lengthen more slowly from then on. Several that get worse one after the other
 * are no such bouncing but a way that leads uphill first: on with it. */
static void next_pace(struct pace *p, double after, bool cut)
{
	double closing = sqrt(p->before / after);

	p->worse = closing < 1 ? p->worse + 1 : 0;
	if (cut) {
		p->dt *= 0.7;
	} else if (p->worse > 2) {
		p->dt *= 1.5;
	} else if (closing < 1) {
		p->dt = fmax(p->dt * fmax(0.4 * closing, 0.1), fmin(p->dt, first_step));
		p->growth = 1 + 0.7 * (p->growth - 1);
	} else {
		p->dt = fmin(p->dt * fmin(closing, p->growth), 1e9);
		p->growth = fmin(4, 1.2 + 1.15 * (p->growth - 1));
	}
	p->before = after;
}

/* One implicit step. False when it led nowhere; y is then as before. */
static bool move(struct newton *w, double *y, const double *sign, struct pace *pace)
{
	int n = w->sol->s.n;
	double step[INW_MAX_UNKNOWNS], trial[INW_MAX_UNKNOWNS];

	if (time_step(w, sign, pace->dt, step))
		return false;
	double t = fmin(allowed(w, y, step), 2 / fmax(largest(w, step), 2));
	for (int i = 0; i < n; i++)
		trial[i] = y[i] + t * step[i];
	if (!(evaluate(w, trial, &w->J) < INFINITY))
		return false;
	memcpy(y, trial, sizeof(double) * (size_t)n);
	next_pace(pace, merit(w), t < 1);
	return true;
}

/* Let the box settle in time: implicit steps that lengthen as it comes to rest (pseudo-transient continuation, Kelley &
 * Keyes 1998, SIAM J. Numer. Anal. 35:508-523, memory), and Newton's method from where it has come to. `slow`: a last resort
 * in shorter steps. */
static double settle_in_time(struct newton *w, double *y, bool slow)
{
	int n = w->sol->s.n;
	double sign[INW_MAX_UNKNOWNS], trial[INW_MAX_UNKNOWNS], goal = 1;

	signs(w, sign);
	evaluate(w, y, &w->J);
	struct pace pace = {slow ? 0.1 * first_step : first_step, slow ? 1.2 : 4, merit(w), 0};
	for (int it = 0; it < (slow ? MAX_TIME_SLOW : MAX_TIME) && !too_hot(w, y) && pace.dt > 1e-9; it++) {
		w->sol->iterations++;
		if (!move(w, y, sign, &pace)) {
			pace.dt *= 0.1;
			evaluate(w, y, &w->J);
			continue;
		}
		if (pace.before > goal && it % 25 != 24)
			continue;
		goal = 0.01 * fmin(goal, pace.before); /* try Newton now, and not again before it is much nearer */
		memcpy(trial, y, sizeof(double) * (size_t)n);
		double now = newton(w, trial, converged);
		if (now <= good_enough) {
			memcpy(y, trial, sizeof(double) * (size_t)n);
			return now;
		}
		evaluate(w, y, &w->J);
	}
	return INFINITY;
}

/* F(y) = (1 - t) F(y0), t from 0 to 1 in steps that shrink on failure. */
static double homotopy(struct newton *w, double *y)
{
	int n = w->sol->s.n;
	double start[INW_MAX_UNKNOWNS], keep[INW_MAX_UNKNOWNS], t = 0, dt = 0.1, worst = INFINITY;

	memset(w->offset, 0, sizeof w->offset);
	evaluate(w, y, NULL);
	memcpy(start, w->r, sizeof start);
	for (int tries = 0; t < 1 && tries < 200; tries++) {
		double next = fmin(1, t + dt);
		memcpy(keep, y, sizeof(double) * (size_t)n);
		for (int i = 0; i < n; i++)
			w->offset[i] = (1 - next) * start[i];
		worst = newton(w, y, next < 1 ? 1e-6 : converged);
		if (worst <= (next < 1 ? 1e-4 : good_enough)) {
			t = next;
			dt *= 2;
		} else {
			memcpy(y, keep, sizeof(double) * (size_t)n);
			dt *= 0.25;
			if (dt < 1e-5)
				break;
		}
	}
	memset(w->offset, 0, sizeof w->offset);
	return t < 1 ? INFINITY : worst;
}

static double hottest_air(const struct inw_solution *sol)
{
	const struct inw_slots *s = &sol->s;
	const int air[] = {s->T_box, s->T_in, s->T_junction, s->T_return, s->T_exhaust};
	double most = 0;

	for (size_t i = 0; i < INW_COUNT(air); i++)
		if (air[i] >= 0)
			most = fmax(most, sol->y[air[i]]);
	for (int i = 0; i < sol->m.rooms; i++)
		if (s->T_room[i] >= 0)
			most = fmax(most, sol->y[s->T_room[i]]);
	return most;
}

static void give_up(struct inw_solution *sol, bool hot)
{
	sol->status = INW_NOT_CONVERGED;
	sol->why = hot ? "some air grows hotter than 200 degC, where the laws end: more heat goes in than gets out" : "no steady state was found";
	if (sol->m.fixed_share && !sol->m.gaps)
		sol->why = "a fixed share is to be sent out of a box that lets no air in";
}

static void begin(struct newton *w, struct inw_solution *sol, const struct inw_step *step)
{
	w->sol = sol;
	w->step = step;
	w->stale = false;
	w->small_step = 1e-5; /* its square is what is left */
	memset(w->offset, 0, sizeof w->offset);
	inw_model_scales(&sol->m, &sol->s, w->unknown, w->equation);
	/* in a short step a large store's row is large, and so is its rounding */
	for (int i = 0; step && !step->hold && i < sol->s.n; i++)
		w->equation[i] = fmax(w->equation[i], step->capacity[i] * step->rate * w->unknown[i]);
	mark_temperatures(w);
}

static void solve_modes_fixed(struct inw_solution *sol, bool warm, enum inw_care care)
{
	struct newton w;
	bool hot = false;

	begin(&w, sol, NULL);
	if (!warm)
		inw_model_guess(&sol->m, &sol->s, sol->y);
	inw_model_seals(&sol->m, &sol->s, sol->y);
	if (care == INW_CARE_DRAWN) {
		double start[INW_MAX_UNKNOWNS];
		memcpy(start, sol->y, sizeof start);
		if (newton_drawn(&w, sol->y)) {
			sol->status = INW_OK;
			return;
		}
		memcpy(sol->y, start, sizeof start);
	}
	w.small_step = care == INW_CARE_RANGE ? range_step : w.small_step;
	sol->residual = newton(&w, sol->y, care == INW_CARE_RANGE ? range_enough : converged);
	if (care == INW_CARE_RANGE && sol->residual <= range_enough) {
		sol->status = INW_OK;
		if (w.stale)
			inw_model_residual(&sol->m, &sol->s, sol->y, w.r, NULL, &sol->f);
		return;
	}
	if (!(sol->residual <= good_enough)) {
		w.stale = true;
		inw_model_guess(&sol->m, &sol->s, sol->y);
		sol->residual = settle_in_time(&w, sol->y, false);
		hot = !(sol->residual <= good_enough) && hottest_air(sol) > moist_end;
	}
	if (!(sol->residual <= good_enough) && !hot) {
		inw_model_guess(&sol->m, &sol->s, sol->y);
		sol->residual = homotopy(&w, sol->y);
	}
	if (!(sol->residual <= good_enough) && !hot) {
		inw_model_guess(&sol->m, &sol->s, sol->y);
		sol->residual = settle_in_time(&w, sol->y, true);
		hot = !(sol->residual <= good_enough) && hottest_air(sol) > moist_end;
	}
	sol->status = INW_OK;
	if (!(sol->residual <= good_enough))
		give_up(sol, hot);
	if (w.stale)
		inw_model_residual(&sol->m, &sol->s, sol->y, w.r, NULL, &sol->f);
}

/* What the plate would give or take if it were held at its set temperature. */
static double plate_would_give(struct inw_solution *sol)
{
	double r[INW_MAX_UNKNOWNS];
	struct inw_flows f;

	if (sol->m.plate_on)
		return sol->f.plate_W;
	sol->m.plate_on = true;
	inw_model_residual(&sol->m, &sol->s, sol->y, r, NULL, &f);
	sol->m.plate_on = false;
	return f.plate_W;
}

/* One thermostat choice that the solution contradicts is put right. Returns whether one was. A thermostat cannot cool:
 * a plate whose surroundings are hotter idles at their temperature, and a heater goes out. */
static bool settle(struct inw_solution *sol)
{
	struct inw_model *m = &sol->m;
	enum inw_heater_mode was = m->heater;
	double T = sol->y[sol->s.T_box];

	if (m->heater_power > 0) {
		if (was == INW_HEATER_OFF && T < m->heater_target - 1e-9)
			m->heater = INW_HEATER_HOLDS;
		if (was == INW_HEATER_FULL && T > m->heater_target + 1e-9)
			m->heater = INW_HEATER_HOLDS;
		if (was == INW_HEATER_HOLDS && sol->f.heater_W > m->heater_power)
			m->heater = INW_HEATER_FULL;
		if (was == INW_HEATER_HOLDS && sol->f.heater_W < 0)
			m->heater = INW_HEATER_OFF;
	}
	if (m->heater != was)
		return true;
	if (m->plate_area <= 0 || m->plate_on == (plate_would_give(sol) >= 0))
		return false;
	m->plate_on = !m->plate_on;
	return true;
}

/* A room of whose temperature nothing was said is heated to what is assumed, and never cooled: the one of them that contradicts
 * this most; negative where none does by as much as the band. */
static int contradicted(const struct inw_solution *sol, double band_K)
{
	double most = band_K;
	int at = -1;

	for (int i = 0; i < sol->m.rooms; i++) {
		const struct inw_model_room *r = &sol->m.room[i];
		double too_warm = r->held ? -sol->f.room_heater_W[i] / (r->heat_loss + 1) : r->T - sol->y[sol->s.T_room[i]]; /* W/K: it loses by air too */
		if (r->assumed && too_warm > most)
			most = too_warm, at = i;
	}
	return at;
}

/* That room is put right, and all others stay as they were. Returns whether one was. */
static bool settle_rooms(struct inw_solution *sol, double band_K)
{
	struct inw_model *m = &sol->m;
	struct inw_slots old = sol->s;
	double y[INW_MAX_UNKNOWNS];
	int at = contradicted(sol, band_K);

	if (at < 0)
		return false;
	m->room[at].held = !m->room[at].held;
	memcpy(y, sol->y, sizeof y);
	inw_model_slots(m, &sol->s);
	inw_model_guess(m, &sol->s, sol->y);
	inw_model_carry_over(&sol->s, sol->y, &old, y);
	return true;
}

static double largest_flow(const struct inw_solution *sol)
{
	const struct inw_flows *f = &sol->f;
	double most = 1e-9;

	for (int i = 0; i < sol->m.gaps; i++)
		most = fmax(most, fmax(f->gap_in[i], f->gap_out[i]));
	for (int i = 0; i < sol->m.rooms; i++)
		most = fmax(most, fmax(f->leak_in[i], f->leak_out[i]));
	for (int i = 0; i < sol->m.doorways; i++)
		most = fmax(most, fmax(f->door_ab[i], f->door_ba[i]));
	return sol->s.m_clean >= 0 ? fmax(most, fabs(sol->y[sol->s.m_clean])) : most;
}

/* Two sums that the equations do not contain: net mass from outdoors, and sources against what ends outdoors. */
static void closures(struct inw_solution *sol)
{
	const struct inw_model *m = &sol->m;
	const struct inw_flows *f = &sol->f;
	double net = 0, sources = m->heat_air + f->plate_W + f->heater_W + f->blower_heat, size = fabs(sources) + 1; /* a watt: in a box without any heat there is nothing to be relative to */

	for (int i = 0; i < m->rooms; i++) {
		net += f->leak_in[i] - f->leak_out[i];
		sources += f->room_heater_W[i];
		size = fmax(size, fabs(f->room_heater_W[i]));
	}
	for (int i = 0; i < m->doorways; i++) {
		const struct inw_model_doorway *o = &m->doorway[i];
		if (o->a == INW_OUTDOORS)
			net += f->door_ab[i] - f->door_ba[i];
		if (o->b == INW_OUTDOORS)
			net += f->door_ba[i] - f->door_ab[i];
	}
	for (int i = 0; i < m->gaps; i++)
		if (m->gap[i].room == INW_OUTDOORS)
			net += f->gap_in[i] - f->gap_out[i];
	if (sol->s.m_exhaust >= 0 && m->exhaust_to == INW_OUTDOORS)
		net -= sol->y[sol->s.m_exhaust];
	sol->mass_closure = fabs(net) / largest_flow(sol);
	sol->energy_closure = fabs(sources - f->outdoors_W) / size;
}

/* The laws take air as of one density along a path: right while pressures are small against that of the atmosphere. */
static bool beyond_pressure(const struct inw_solution *sol)
{
	const double share = 0.1; /* 10 % of density at the most, ours */
	double most = fabs(sol->y[sol->s.p_box]);

	for (int i = 0; i < sol->m.rooms; i++)
		most = fmax(most, fabs(sol->y[sol->s.p_room[i]]));
	if (sol->s.p_junction >= 0)
		most = fmax(most, fabs(sol->y[sol->s.p_junction]));
	return most > share * sol->m.p_site;
}

/* What no equation says: is the air within what the laws hold for, and do the sums close? */
static void finish(struct inw_solution *sol, enum inw_care care)
{
	if (sol->status == INW_OK && !(hottest_air(sol) <= moist_end))
		give_up(sol, true);
	if (sol->status == INW_OK && beyond_pressure(sol)) {
		sol->status = INW_NOT_CONVERGED;
		sol->why = "a pressure of more than a tenth of the atmosphere would be needed: the box is too tight for the flow asked of it";
	}
	sol->plate_idle = sol->m.plate_area > 0 && !sol->m.plate_on;
	if (care != INW_CARE_DRAWN) /* nobody asks, and heat is not worked out to the end */
		closures(sol);
}

static void steady(struct inw_solution *sol, bool warm, enum inw_care care)
{
	struct inw_model *m = &sol->m;

	sol->iterations = 0;
	sol->why = NULL;
	if (!warm) /* knowing nothing: a plate that heats, a heater that reaches its target */
		m->heater = INW_HEATER_HOLDS, m->plate_on = m->plate_area > 0;
	if (m->heater_power <= 0)
		m->heater = INW_HEATER_OFF;
	inw_model_slots(m, &sol->s);
	for (int k = 0;; k++) {
		solve_modes_fixed(sol, warm || k > 0, care);
		/* less closely, heat is told so roughly that a room may seem to want both: then it stays as it came */
		bool rooms_too = care == INW_CARE_FULL || k < 2 + m->rooms;
		if (sol->status != INW_OK || !(settle(sol) || (rooms_too && settle_rooms(sol, care == INW_CARE_FULL ? 1e-6 : roughly_K))))
			break;
		if (k == MAX_MODES + m->rooms) {
			sol->status = INW_NOT_CONVERGED;
			sol->why = "heater, plate and rooms do not settle";
			break;
		}
	}
	finish(sol, care);
}

double inw_steady_look(struct inw_solution *sol, const struct inw_slope *slope, double *step)
{
	double r[INW_MAX_UNKNOWNS];
	const int T = sol->s.T_box;

	sol->iterations++;
	inw_model_residual(&sol->m, &sol->s, sol->y, r, NULL, &sol->f);
	double size = inw_slope_step(slope, r, step), next = sol->y[T] + step[T];
	return next > coldest && next < hottest ? size : INFINITY;
}

void inw_steady_heat(struct inw_solution *sol)
{
	double r[INW_MAX_UNKNOWNS];

	inw_model_residual(&sol->m, &sol->s, sol->y, r, NULL, &sol->f);
	sol->heat_step = 0;
}

bool inw_steady_stands(struct inw_solution *sol)
{
	sol->status = INW_OK;
	sol->why = NULL;
	sol->residual = range_enough;
	if (contradicted(sol, roughly_K) >= 0 || settle(sol))
		return false;
	finish(sol, INW_CARE_RANGE);
	return true;
}

void inw_steady(struct inw_solution *sol, bool warm)
{
	steady(sol, warm, INW_CARE_FULL);
}

void inw_steady_near(struct inw_solution *sol, enum inw_care care)
{
	steady(sol, true, care);
}

void inw_instant(struct inw_solution *sol, const struct inw_step *step)
{
	struct newton w;

	sol->iterations = 0;
	sol->why = NULL;
	begin(&w, sol, step);
	double start[INW_MAX_UNKNOWNS];
	memcpy(start, sol->y, sizeof start);
	w.small_step = range_step;
	sol->residual = newton(&w, sol->y, instant_enough);
	if (!(sol->residual <= instant_enough)) { /* far off, as at a change: another way round */
		memcpy(sol->y, start, sizeof start);
		sol->residual = settle_in_time(&w, sol->y, false);
	}
	if (!(sol->residual <= instant_enough)) {
		memcpy(sol->y, start, sizeof start);
		sol->residual = homotopy(&w, sol->y);
	}
	if (!(sol->residual <= instant_enough)) {
		memcpy(sol->y, start, sizeof start);
		sol->residual = settle_in_time(&w, sol->y, true);
	}
	sol->status = sol->residual <= instant_enough ? INW_OK : INW_NOT_CONVERGED;
	if (w.stale)
		inw_model_residual(&sol->m, &sol->s, sol->y, w.r, NULL, &sol->f);
}
