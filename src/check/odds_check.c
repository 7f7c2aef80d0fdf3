/* SPDX-License-Identifier: MIT */
/* odds_check.c: the states of a check as something to sample.
 *
 * Solving a sample in all states would cost twice what it needs: most verdicts are decided by two or three of them. A
 * pilot is solved in all; what is left out changes none of its verdicts and moves hardly a number by more than a
 * fiftieth of its spread or of its distance from the limit. Samples begin where foretell.h says.
 */
#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/crew.h"
#include "base/number.h"
#include "check/foretell.h"
#include "check/odds.h"
#include "check/study.h"

struct check_job {
	struct inw_study *study;
	int first_output;
	bool used[INW_STATES];                        /* solved for every sample */
	unsigned wanted[INW_STATES];
	bool looks[INW_MAX_MEASURES][INW_STATES];     /* which states a measure is read in */
	struct inw_foretelling foretelling;
};

/* Where `closer` writes beside what it has of each sample of the pilot: the values of all states first, then whether they are told,
 * inputs drawn, bends and solutions. */
struct layout { size_t untold, z, bend, y; };

struct check_self {
	const struct inw_design *d;
	struct check_job *job; size_t jobs;
	struct layout pilot;
	struct inw_arena *arena;
	struct inw_subject *subject;
};

struct check_desk { struct inw_study *s; struct inw_case near[INW_STATES], c; };
struct check_worker { const struct check_self *self; struct check_desk *desk; };

/* ---- one sample ---- */

/* Solve one state of one job, from where the states before it say that it lies; false: it is of another kind than at best estimates. */
static bool solve(const struct check_job *job, struct check_desk *desk, int state, unsigned wanted, const double *z, struct inw_misses *misses)
{
	struct inw_case *near = &desk->near[state];

	desk->s->wanted = wanted;
	desk->s->care = INW_CARE_DRAWN;
	desk->s->first_step = job->foretelling.first_step[state];
	bool known = job->study->c[state].ok;
	if (known)
		inw_foretell(&job->foretelling, state, z, misses, near->sol.y);
	inw_study_case(desk->s, &desk->c, state, known ? near : NULL, NULL);
	desk->s->of_x = desk->c.ok ? &desk->c : NULL;
	return known && inw_foretell_note(&job->foretelling, state, &desk->c, misses);
}

/* A number in one state, and why nothing is told there of what passes, as a check has it. */
enum { WEAK = 1, UNSET = 2, NO_NUMBER = 4 };
struct reading { double value; unsigned untold; };

static struct reading read_off(const struct check_desk *desk, int i, int state)
{
	const struct inw_measure *m = &desk->s->measures.m[i];
	double v = inw_study_value(desk->s, i, &desk->c);
	bool unset = inw_states[state].speed_factor > 0 && inw_measure_unset(m, &desk->c), weak = !isnan(v) && isnan(inw_measure_told(m, &desk->c, desk->s->d, v));

	return (struct reading){v, (unset ? UNSET : 0) | (weak ? WEAK : 0)};
}

/* The worst of several states: a state without an answer is the worst of all. */
struct worst { struct reading r; bool any; };

static void note(struct worst *w, const struct inw_measure *m, struct reading r)
{
	unsigned untold = w->r.untold | r.untold;

	if (!w->any || isnan(r.value) || (!isnan(w->r.value) && inw_measure_margin(m, r.value) < inw_measure_margin(m, w->r.value)))
		w->r.value = r.value;
	w->r.untold = untold;
	w->any = true;
}

/* NAN: not told, and so no pass. */
static double told(const struct worst *w, const struct inw_measure *m)
{
	return !w->any || (w->r.untold && !(inw_measure_margin(m, w->r.value) < 0)) ? NAN : w->r.value;
}

/* ---- what cheap tests would see ---- */

/* Flow that the gaps let in when the box is drawn 10 Pa further down, kg/s. */
static double gap_flow(const struct inw_case *c)
{
	double y[INW_MAX_UNKNOWNS], r[INW_MAX_UNKNOWNS], net = 0;
	struct inw_flows f;

	memcpy(y, c->sol.y, sizeof y);
	y[c->sol.s.p_box] -= 10;
	inw_model_residual(&c->sol.m, &c->sol.s, y, r, NULL, &f);
	for (int g = 0; g < c->sol.m.gaps; g++)
		net += f.gap_in[g] - f.gap_out[g];
	return net;
}

static void look_around(const struct inw_design *d, const struct inw_case *c, const double *x, double *see)
{
	int room = d->box.room;

	for (int i = 0; i < INW_SIGHTS; i++)
		see[i] = NAN;
	if (!c->ok)
		return;
	const struct inw_outcome *o = &c->o;
	see[INW_SEES_BOX_T] = c->sol.y[c->sol.s.T_box];
	see[INW_SEES_GAP_FLOW] = c->sol.m.gaps ? gap_flow(c) : NAN;
	see[INW_SEES_INWARD] = c->sol.m.gaps ? o->inward_Pa : NAN;
	see[INW_SEES_BOX_CLEARING] = o->removal_1s;
	see[INW_SEES_ROOM_AIR] = room >= 0 ? x[d->room[room].air_changes] : NAN;
	see[INW_SEES_CARBON] = o->bed >= 0 ? o->carbon_kg : NAN;
	see[INW_SEES_CLEANER_FLOW] = c->sol.m.has_cleaner ? o->clean_m3s : NAN;
	see[INW_SEES_PARTICLE_PASS] = o->medium >= 0 ? o->particle_pass : NAN;
	see[INW_SEES_ROOM_PARTICLES] = room >= 0 ? o->room_particles_m3[room] : NAN;
	see[INW_SEES_POWER] = o->power_W;
	see[INW_SEES_SOUND] = o->sound_dB;
}

static int values(void *worker, double *x, const double *z, double *value, double *see)
{
	struct check_worker *w = worker;

	for (size_t j = 0; j < w->self->jobs; j++) {
		const struct check_job *job = &w->self->job[j];
		struct check_desk *desk = &w->desk[j];
		struct worst worst[INW_MAX_MEASURES] = {0};
		struct inw_misses misses = {0};
		desk->s->x = x;
		desk->s->of_x = NULL;
		for (int k = 0; k < INW_STATES; k++) {
			bool shown = see && j == 0 && k == INW_AS_DESIGNED;
			if (!job->used[k] && !shown)
				continue;
			solve(job, desk, k, shown ? INW_WANT_ALL : job->wanted[k], z, &misses);
			if (shown)
				look_around(w->self->d, &desk->c, x, see);
			for (int i = 0; i < desk->s->measures.n; i++)
				if (job->looks[i][k])
					note(&worst[i], &desk->s->measures.m[i], read_off(desk, i, k));
		}
		for (int i = 0; i < desk->s->measures.n; i++)
			value[job->first_output + i] = told(&worst[i], &desk->s->measures.m[i]);
	}
	return 0;
}

/* NULL: it has none of the usual kind. */
static void keep(const struct check_self *self, double *detail, size_t job, int state, const struct inw_solution *sol)
{
	detail[self->pilot.bend + job * INW_STATES + (size_t)state] = sol ? sol->bend : NAN;
	double *to = &detail[self->pilot.y + (job * INW_STATES + (size_t)state) * INW_MAX_UNKNOWNS];

	if (sol)
		memcpy(to, sol->y, sizeof *to * INW_MAX_UNKNOWNS);
	else
		to[0] = NAN;
}

static bool may_look(const struct inw_design *d, const struct inw_measure *m, int state)
{
	return state == INW_AS_DESIGNED || (m->sense != INW_NO_LIMIT && inw_study_looks(d, m, state));
}

static int closer(void *worker, double *x, const double *z, double *value, double *detail)
{
	struct check_worker *w = worker;
	size_t outputs = (size_t)w->self->subject->outputs;

	if (detail)
		memcpy(&detail[w->self->pilot.z], z, sizeof *z * w->self->subject->in->count);
	for (size_t j = 0; j < w->self->jobs; j++) {
		const struct check_job *job = &w->self->job[j];
		struct check_desk *desk = &w->desk[j];
		struct worst worst[INW_MAX_MEASURES] = {0};
		struct inw_misses misses = {0};
		desk->s->x = x;
		desk->s->of_x = NULL;
		for (int k = 0; k < INW_STATES; k++) {
			bool solved = inw_state_arises(w->self->d, k) && solve(job, desk, k, INW_WANT_ALL, z, &misses);
			if (detail)
				keep(w->self, detail, j, k, solved ? &desk->c.sol : NULL);
			for (int i = 0; i < desk->s->measures.n; i++) {
				const struct inw_measure *m = &desk->s->measures.m[i];
				size_t out = (size_t)(job->first_output + i);
				if (!may_look(w->self->d, m, k))
					continue;
				struct reading r = read_off(desk, i, k);
				note(&worst[i], m, r);
				if (detail)
					detail[(size_t)k * outputs + out] = r.value, detail[w->self->pilot.untold + (size_t)k * outputs + out] = r.untold;
			}
		}
		for (int i = 0; i < desk->s->measures.n; i++)
			value[job->first_output + i] = told(&worst[i], &desk->s->measures.m[i]);
	}
	return 0;
}

/* ---- which states are worth solving ---- */

struct pilot { const struct inw_design *d; const struct inw_subject *s; const double *detail; int samples; double *spread; };

static struct reading detail_at(const struct pilot *p, int sample, int state, int output)
{
	const double *at = &p->detail[(size_t)sample * p->s->detail + (size_t)state * (size_t)p->s->outputs + (size_t)output];

	return (struct reading){at[0], (unsigned)at[((const struct check_self *)p->s->self)->pilot.untold]};
}

/* The worst of the states in `choice`, NULL: of all. */
static struct worst worst_of(const struct pilot *p, const struct inw_measure *m, int output, int sample, const bool *choice)
{
	struct worst w = {0};

	for (int k = 0; k < INW_STATES; k++)
		if ((!choice || choice[k]) && may_look(p->d, m, k))
			note(&w, m, detail_at(p, sample, k, output));
	return w;
}

/* Does this choice of states give the sample's verdict, and its number to a fiftieth of its spread or of its way to the limit,
 * whichever is more? */
enum fit { FITS, NUMBER_OFF, VERDICT_OFF };
static enum fit fit_of(const struct pilot *p, const struct inw_measure *m, int output, int sample, const bool *choice)
{
	const struct inw_output *o = &p->s->output[output];
	struct worst of_all = worst_of(p, m, output, sample, NULL), of_some = worst_of(p, m, output, sample, choice);
	double all = told(&of_all, m), some = told(&of_some, m);

	if (!of_some.any)
		return VERDICT_OFF;
	if (isnan(all) || isnan(some))
		return isnan(all) == isnan(some) ? FITS : VERDICT_OFF;
	if (m->sense != INW_NO_LIMIT && (inw_measure_margin(m, all) >= 0) != (inw_measure_margin(m, some) >= 0))
		return VERDICT_OFF;
	double y = inw_output_scaled(o, all), size = p->spread[output], away = fabs(y - inw_output_scaled(o, m->limit));
	if (m->sense == INW_WITHIN)
		away = fmin(away, fabs(y - inw_output_scaled(o, m->limit_high)));
	if (isfinite(away) && m->sense != INW_NO_LIMIT)
		size = fmax(size, away);
	return all == some || fabs(y - inw_output_scaled(o, some)) <= 0.02 * size ? FITS : NUMBER_OFF;
}

/* From the 5 to the 95 % point, on the output's scale. */
static double spread_of(const struct pilot *p, const struct inw_measure *m, int output, double *sorted)
{
	int n = 0;

	for (int i = 0; i < p->samples; i++) {
		struct worst worst = worst_of(p, m, output, i, NULL);
		double y = inw_output_scaled(&p->s->output[output], told(&worst, m));
		if (isfinite(y))
			sorted[n++] = y;
	}
	if (n < 2)
		return 0;
	qsort(sorted, (size_t)n, sizeof *sorted, inw_by_size);
	return sorted[(int)(0.95 * (n - 1))] - sorted[(int)(0.05 * (n - 1))];
}

/* No verdict may be off; of the numbers one in fifty samples. */
static int wrong(const struct pilot *p, const struct inw_measure *m, int output, const bool *choice)
{
	int n = 0;

	for (int i = 0; i < p->samples; i++) {
		enum fit fit = fit_of(p, m, output, i, choice);
		n += fit == VERDICT_OFF ? p->samples : fit == NUMBER_OFF;
	}
	return n > p->samples / 50 ? n : 0;
}

/* Does a state show this measure at no further cost: 0; is it solved at least: 1; is neither so: 2? */
static int cost_of(const struct check_job *job, int measure, int state)
{
	return !job->used[state] ? 2 : (inw_study_wanted(job->study, measure) & ~job->wanted[state]) != 0;
}

/* The state that puts most samples right, until all are; the cheap ones first. */
static void choose_for(const struct pilot *p, const struct check_job *job, int measure, bool *choice)
{
	const struct inw_measure *m = &job->study->measures.m[measure];
	int output = job->first_output + measure, left;

	memset(choice, 0, sizeof(bool) * INW_STATES);
	if (m->sense == INW_NO_LIMIT) {
		choice[INW_AS_DESIGNED] = true;
		return;
	}
	for (int turn = 0; turn < 3; turn++) {
		while ((left = wrong(p, m, output, choice)) > 0) {
			int best = -1, least = left;
			for (int k = 0; k < INW_STATES; k++) {
				if (choice[k] || !may_look(p->d, m, k) || cost_of(job, measure, k) > turn)
					continue;
				choice[k] = true;
				int now = wrong(p, m, output, choice);
				choice[k] = false;
				if (now < least)
					least = now, best = k;
			}
			if (best < 0)
				break;
			choice[best] = true;
		}
	}
}

/* What shows anyway in the states that are solved is read there too, where any sample of the pilot was worse for it. */
static void look_further(const struct pilot *p, struct check_job *job, int measure)
{
	const struct inw_measure *m = &job->study->measures.m[measure];
	bool *looks = job->looks[measure];

	for (int k = 0; k < INW_STATES; k++) {
		bool shows = !looks[k] && may_look(p->d, m, k) && cost_of(job, measure, k) == 0;
		for (int s = 0; s < p->samples && shows && !looks[k]; s++) {
			struct worst without = worst_of(p, m, job->first_output + measure, s, looks), with = without;
			note(&with, m, detail_at(p, s, k, job->first_output + measure));
			double before = told(&without, m), then = told(&with, m);
			looks[k] = then != before && !(isnan(then) && isnan(before));
		}
	}
}

/* Why samples of the pilot have no answer: 0, or -1 when memory is out. */
static int explain(const struct pilot *p, const struct inw_measure *m, int output)
{
	unsigned why = 0;

	for (int i = 0; i < p->samples; i++) {
		struct worst w = worst_of(p, m, output, i, NULL);
		if (isnan(told(&w, m)))
			why |= w.r.untold | (isnan(w.r.value) ? NO_NUMBER : 0);
	}
	const char *unset = why & UNSET ? "the share that the file says is sent out cannot be set in some state (throttle)" : "";
	const char *weak = why & WEAK ? "some gap is pulled inward by less than is wanted in some state, too weakly to hold against draughts" : "";
	const char *none = why & NO_NUMBER ? "there is no such number, or no solution, in some state" : "";
	const char *text = inw_arena_printf(((const struct check_self *)p->s->self)->arena, "%s%s%s%s%s", unset, *unset && *weak ? ", or " : "", weak,
	                                    (*unset || *weak) && *none ? ", or " : "", none);
	if (why)
		p->s->output[output].none_why = text;
	return text ? 0 : -1;
}

/* From which states each measure is read: which are solved, and for what. */
static void take_stock(struct check_job *job)
{
	for (int k = 0; k < INW_STATES; k++)
		for (int i = 0; i < job->study->measures.n; i++)
			if (job->looks[i][k]) {
				job->used[k] = true;
				job->wanted[k] |= inw_study_wanted(job->study, i);
			}
}

static int plan_job(struct pilot *p, struct check_job *job)
{
	double *sorted = inw_arena_alloc(((struct check_self *)p->s->self)->arena, sizeof *sorted * (size_t)(p->samples + 1));
	const struct inw_measures *ms = &job->study->measures;

	if (!sorted)
		return -1;
	for (int i = 0; i < ms->n; i++)
		p->spread[job->first_output + i] = spread_of(p, &ms->m[i], job->first_output + i, sorted);
	for (int i = 0; i < ms->n; i++)
		if (explain(p, &ms->m[i], job->first_output + i))
			return -1;
	for (int turn = 0; turn < 2; turn++) /* a second time with what the others need anyway */
		for (int i = 0; i < ms->n; i++) {
			choose_for(p, job, i, job->looks[i]);
			take_stock(job);
		}
	memset(job->used, 0, sizeof job->used);
	memset(job->wanted, 0, sizeof job->wanted);
	take_stock(job);
	for (int i = 0; i < ms->n; i++)
		look_further(p, job, i);
	return 0;
}

static int plan(struct inw_subject *s, const double *detail, int samples)
{
	struct check_self *self = s->self;
	struct check_worker *w = s->worker[0];
	struct pilot p = {.d = self->d, .s = s, .detail = detail, .samples = samples, .spread = inw_arena_alloc(self->arena, sizeof(double) * (size_t)(s->outputs + 1))};
	int used = 0;

	if (!p.spread)
		return -1;
	for (size_t j = 0; j < self->jobs; j++) {
		if (plan_job(&p, &self->job[j]))
			return -1;
		for (int k = 0; k < INW_STATES; k++) {
			used += self->job[j].used[k];
			if (self->job[j].used[k] && inw_foretell_lead(&self->job[j].foretelling, self->job[j].study->moves_air, w->desk[j].s, &w->desk[j].c, s->in, k, self->arena))
				return -1;
		}
		size_t stride = s->detail;
		if (inw_foretell_learn(&self->job[j].foretelling, self->job[j].used, &detail[self->pilot.z], &detail[self->pilot.y + j * INW_STATES * INW_MAX_UNKNOWNS], stride, samples))
			return -1;
		inw_foretell_bends(&self->job[j].foretelling, &detail[self->pilot.bend + j * INW_STATES], stride, samples);
	}
	s->note = inw_arena_printf(self->arena, "Each sample is solved in %d of %d states: in %d samples solved in all, the others change no verdict, and in one of fifty "
	                           "at most a number by more than a fiftieth of its spread or of its distance from the limit.", used, INW_STATES * (int)self->jobs, samples);
	return s->note ? 0 : -1;
}

/* ---- making it ---- */

static struct check_worker *make_worker(const struct check_self *self, struct inw_arena *arena)
{
	struct check_worker *w = inw_arena_alloc(arena, sizeof *w);

	if (!w || !(w->desk = inw_arena_alloc(arena, sizeof *w->desk * self->jobs)))
		return NULL;
	w->self = self;
	for (size_t j = 0; j < self->jobs; j++) {
		struct check_desk *desk = &w->desk[j];
		const struct inw_study *study = self->job[j].study;
		desk->s = inw_arena_alloc(arena, sizeof *desk->s);
		unsigned char *touched = inw_arena_alloc(arena, self->d->quantities + 1), *moves_air = inw_arena_alloc(arena, self->d->quantities + 1);
		if (!desk->s || !touched || !moves_air)
			return NULL;
		*desk->s = *study;
		desk->s->touched = touched; /* both are written to by every solve */
		desk->s->moves_air = moves_air;
		memcpy(desk->near, study->c, sizeof desk->near);
	}
	return w;
}

static void describe(struct inw_output *o, const struct inw_study *s, int i)
{
	const struct inw_measure *m = &s->measures.m[i];

	*o = (struct inw_output){.id = m->id, .title = m->title, .job = s->job->name, .limit_source = m->limit_source, .dim = m->dim, .sense = m->sense,
		.limit = m->limit, .limit_high = m->limit_high, .scale = m->scale};
	if (m->sense != INW_NO_LIMIT)
		o->untold = m->unknown_source || m->missing_limit;
}

/* How much of the range of the verdicts each quantity makes: the squares of its shares. */
static void weigh(struct inw_subject *s, const struct inw_study *study)
{
	for (int i = 0; i < study->measures.n; i++)
		for (size_t q = 0; study->bad[i] && q < s->d->quantities; q++) {
			double width = s->d->quantity[q].high - s->d->quantity[q].low, part = width > 0 ? study->bad[i][q] / width : 0;
			s->weight[q] += part * part;
		}
}

int inw_subject_check(struct inw_subject *s, const struct inw_design *d, unsigned workers, struct inw_arena *arena)
{
	struct check_self *self = inw_arena_alloc(arena, sizeof *self);
	bool arises[INW_STATES];

	*s = (struct inw_subject){.d = d, .looks = true, .least = INW_ODDS_STORED, .closer = closer, .plan = plan, .values = values, .self = self, .workers = workers};
	s->output = inw_arena_alloc(arena, sizeof *s->output * (INW_MAX_MEASURES * d->jobs + 1));
	s->sampled = inw_arena_alloc(arena, d->quantities + 1);
	s->weight = inw_arena_alloc(arena, sizeof *s->weight * (d->quantities + 1));
	s->worker = inw_arena_alloc(arena, sizeof *s->worker * (workers + 1));
	if (!self || !s->output || !s->sampled || !s->weight || !s->worker || !(self->job = inw_arena_alloc(arena, sizeof *self->job * (d->jobs + 1))))
		return -1;
	self->d = d;
	self->arena = arena;
	self->subject = s;
	self->jobs = d->jobs;
	for (size_t j = 0; j < d->jobs; j++) {
		struct inw_study *study = inw_study_run(d, &d->job[j], workers < INW_MOST_HANDS ? (int)workers : INW_MOST_HANDS, arena);
		if (!study)
			return -1;
		self->job[j].study = study;
		for (int k = 0; k < INW_STATES; k++)
			arises[k] = inw_state_arises(d, k);
		inw_foretell_begin(&self->job[j].foretelling, study->c, arises);
		self->job[j].first_output = s->outputs;
		for (int i = 0; i < study->measures.n; i++)
			if (study->measures.m[i].kind != INW_M_BALANCE)
				describe(&s->output[s->outputs + i], study, i);
		for (int i = study->measures.n - 1; i >= 0 && study->measures.m[i].kind == INW_M_BALANCE; i--)
			study->measures.n--;
		s->outputs += study->measures.n;
		for (size_t q = 0; q < d->quantities; q++)
			s->sampled[q] |= study->touched[q] && !study->follows[q] && inw_quantity_is_drawn(&d->quantity[q]);
		weigh(s, study);
	}
	self->pilot.untold = (size_t)s->outputs * INW_STATES;
	self->pilot.z = 2 * self->pilot.untold;
	self->pilot.bend = self->pilot.z + d->quantities;
	self->pilot.y = self->pilot.bend + d->jobs * INW_STATES;
	s->detail = self->pilot.y + d->jobs * INW_STATES * INW_MAX_UNKNOWNS;
	for (unsigned k = 0; k < workers; k++)
		if (!(s->worker[k] = make_worker(self, arena)))
			return -1;
	return 0;
}
