/* SPDX-License-Identifier: MIT */
#include "check/trial.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "design/rewrite.h"
#include "judge/verdict.h"
#include "solve/sample.h"

enum { TRIAL_CEILING = 128 << 20 };
static const double no_answer = -8;         /* level of what cannot be solved: below what any number reaches */
static const double enough = 3;             /* level from which on more does not count */
static const double far = 3;                /* from this ratio on a number is free by factors */
static const double year_s = 365 * 86400.0; /* as in units.c */

/* ---- the design of a combination ---- */

/* Words of the choices that differ from what is written. */
static size_t word_edits(const struct inw_design *d, const int *word, struct inw_edit *edit)
{
	size_t n = 0;

	for (size_t i = 0; i < d->wishes.choices; i++) {
		const struct inw_choice *c = &d->wishes.choice[i];
		if (strcmp(c->word[word[i]], c->now) != 0)
			edit[n++] = (struct inw_edit){c->place.line, c->place.column, c->word[word[i]]};
	}
	return n;
}

static enum inw_status read_combination(struct inw_trial *t, struct inw_diags *diags)
{
	const struct inw_design *d = t->asked;
	const struct inw_rewritable text = {d->file, d->bytes, d->length};
	const struct inw_read_options options = {d->catalog_dir};
	struct inw_edit edit[INW_MOST_CHOICES];
	struct inw_text new = {0};
	size_t edits = word_edits(d, t->word, edit);
	enum inw_status s = edits ? inw_rewrite(&text, edit, edits, &new, diags) : INW_OK;

	if (s == INW_OK)
		s = inw_design_parse(edits ? new.s : d->bytes, edits ? new.length : d->length, d->file, &options, &t->d, diags);
	inw_text_free(&new);
	return s;
}

/* ---- what must hold ---- */

bool inw_wish_left_out(const struct inw_wishes *w, const char *id)
{
	for (size_t i = 0; i < w->withouts; i++)
		if (strcmp(w->without[i].id, id) == 0)
			return true;
	return false;
}

/* What is read off the carbon by laws that want it deep enough. */
static bool asks_carbon(const struct inw_measure *m)
{
	switch (m->kind) {
	case INW_M_GAS_REMOVAL: case INW_M_CARBON_LIFE: case INW_M_WORK_8H: case INW_M_WORK_PEAK: case INW_M_HOME_LONG: case INW_M_HOME_1H: return true;
	default: return false;
	}
}

static void add_needs(struct inw_trial *t, size_t job)
{
	const struct inw_study *s = t->study[job];

	for (int i = 0; i < s->measures.n; i++) {
		const struct inw_measure *m = &s->measures.m[i];
		bool of_carbon = asks_carbon(m) && !inw_wish_left_out(&t->asked->wishes, m->id);
		t->asks_bed |= of_carbon;
		t->asks_wide |= of_carbon && m->sense != INW_NO_LIMIT;
		if (m->sense == INW_NO_LIMIT || m->kind == INW_M_BALANCE || inw_wish_left_out(&t->asked->wishes, m->id) )
			continue;
		if (t->needs == INW_MOST_NEEDS) {
			t->too_many = true;
			return;
		}
		t->need[t->needs++] = (struct inw_need){.job = job, .measure = i, .stretch = 1};
		t->wanted[job] |= inw_study_wanted(s, i);
		for (int k = 0; k < INW_STATES; k++)
			t->skip[k] &= !inw_study_looks(t->d, m, k);
	}
}

static bool has_aim(const struct inw_trial *t, enum inw_aim aim)
{
	for (size_t i = 0; i < t->asked->wishes.aims; i++)
		if (t->asked->wishes.aim[i] == aim)
			return true;
	return false;
}

static bool counts_carbon(const struct inw_trial *t)
{
	return has_aim(t, INW_AIM_CARBON) || (t->asked->wishes.years > 0 && t->d->upkeep.carbon >= 0);
}

static enum inw_status make_studies(struct inw_trial *t)
{
	t->arena = inw_arena_new(TRIAL_CEILING);
	if (!t->arena)
		return INW_NO_MEMORY;
	size_t jobs = t->d->jobs;
	struct inw_quantity *set = inw_arena_alloc(t->arena, t->d->quantities * sizeof *set), *moved = inw_arena_alloc(t->arena, t->d->quantities * sizeof *moved);
	t->study = inw_arena_alloc(t->arena, jobs * sizeof *t->study);
	t->near = inw_arena_alloc(t->arena, jobs * INW_STATES * sizeof *t->near);
	t->wanted = inw_arena_alloc(t->arena, jobs * sizeof *t->wanted);
	if (!set || !moved || !t->study || !t->near || !t->wanted)
		return INW_NO_MEMORY;
	memcpy(set, t->d->quantity, t->d->quantities * sizeof *set);
	memcpy(moved, t->d->quantity, t->d->quantities * sizeof *moved);
	t->set = t->moved = *t->d;
	t->set.quantity = set;
	t->moved.quantity = moved;
	for (int k = 0; k < INW_STATES; k++)
		t->skip[k] = k != INW_AS_DESIGNED;
	for (size_t j = 0; j < jobs; j++) {
		t->study[j] = inw_study_begin(&t->moved, &t->moved.job[j], t->arena);
		if (!t->study[j])
			return INW_NO_MEMORY;
		t->wanted[j] = INW_WANT_ASIDE; /* aims are read off it */
		add_needs(t, j);
		if (counts_carbon(t))
			t->wanted[j] |= INW_WANT_GASES | INW_WANT_USED;
	}
	return INW_OK;
}

enum inw_status inw_trial_open(struct inw_trial *t, const struct inw_design *asked, const int *word, struct inw_diags *diags)
{
	*t = (struct inw_trial){.asked = asked};
	memcpy(t->word, word, sizeof t->word);
	t->reach = inw_normal_quantile(asked->wishes.sure) / inw_normal_quantile(0.95); /* ranges end at the 5 and 95 % points */
	enum inw_status s = read_combination(t, diags);
	for (size_t i = 0; s == INW_OK && i < t->d->wishes.frees; i++) { /* the caller's may be narrower than those written */
		t->d->wishes.free[i].from = asked->wishes.free[i].from;
		t->d->wishes.free[i].to = asked->wishes.free[i].to;
	}
	if (s == INW_OK)
		s = make_studies(t);
	if (s == INW_OK && t->too_many) { /* a record that asks for more than the file's own does */
		inw_diag_add(diags, INW_ERROR, asked->file, asked->wishes.place.line, asked->wishes.place.column, "there are more than %d requirements", INW_MOST_NEEDS);
		s = INW_BAD_INPUT;
	}
	if (s != INW_OK)
		inw_trial_close(t);
	return s;
}

void inw_trial_close(struct inw_trial *t)
{
	inw_arena_free(t->arena);
	inw_design_free(t->d);
	t->arena = NULL;
	t->d = NULL;
}

/* ---- values ---- */

static bool by_factors(const struct inw_free *f)
{
	return f->from > 0 && f->to > far * f->from;
}

double inw_trial_value(const struct inw_free *f, double u)
{
	if (!(u > 0 && u < 1)) /* the ends exactly */
		return u >= 1 ? f->to : f->from;
	return by_factors(f) ? f->from * pow(f->to / f->from, u) : f->from + u * (f->to - f->from);
}

double inw_trial_coordinate(const struct inw_free *f, double value)
{
	double v = fmin(fmax(value, f->from), f->to);

	return by_factors(f) ? log(v / f->from) / log(f->to / f->from) : (v - f->from) / (f->to - f->from);
}

void inw_trial_now(const struct inw_trial *t, double *u)
{
	const struct inw_wishes *w = &t->d->wishes;

	for (size_t i = 0; i < w->frees; i++)
		u[i] = inw_trial_coordinate(&w->free[i], t->d->quantity[w->free[i].q[0]].value);
}

/* A range that was written goes along: in proportion, or as wide as it is where zero means nothing. What may not be is not
 * assumed either: a range ends where the number itself must. */
static void range_at(const struct inw_quantity *was, double value, double *low, double *high)
{
	bool even = was->dim == INW_DIM_TEMPERATURE || was->dim == INW_DIM_SOUND || !(was->value > 0);

	*low = even ? value - (was->value - was->low) : value * (was->low / was->value);
	*high = even ? value + (was->high - was->value) : value * (was->high / was->value);
	*low = fmin(fmax(*low, was->least), value);
	*high = fmax(fmin(*high, was->most), value);
}

void inw_trial_set(struct inw_trial *t, const double *u)
{
	const struct inw_wishes *w = &t->d->wishes;

	for (size_t i = 0; i < w->frees; i++) {
		double v = inw_trial_value(&w->free[i], u[i]);
		for (size_t k = 0; k < w->free[i].qs; k++) {
			const struct inw_quantity *was = &t->d->quantity[w->free[i].q[k]];
			struct inw_quantity *q = &t->set.quantity[w->free[i].q[k]];
			q->value = v;
			range_at(was, v, &q->low, &q->high);
		}
	}
	inw_design_change(&t->set, NULL, NULL, 0, t->moved.quantity);
}

/* ---- what is to be small ---- */

double inw_trial_bought(const struct inw_trial *t)
{
	const struct inw_wishes *w = &t->d->wishes;
	const struct inw_quantity *now = t->moved.quantity;
	double sum = 0;

	for (size_t i = 0; i < w->choices; i++)
		sum += w->choice[i].price[t->word[i]] * (w->choice[i].per >= 0 ? now[w->choice[i].per].value : 1);
	for (size_t i = 0; i < w->prices; i++)
		sum += w->price[i].price * now[w->price[i].of].value;
	for (size_t i = 0; i < w->frees; i++) {
		const struct inw_free *f = &w->free[i];
		double is = now[f->q[0]].value, was = t->asked->quantity[t->asked->wishes.free[i].q[0]].value;
		sum += f->price * is;
		if (f->halving > 0 && is > 0)
			sum += f->halving * fmax(log2(was / is), 0);
	}
	return sum;
}

/* Seconds of a year in which a job runs. */
static double use_s(const struct inw_trial *t, const struct inw_job *job)
{
	int days = 0;

	for (int k = 0; k < 7; k++)
		days += job->days >> k & 1;
	return fmin(t->moved.quantity[job->duration].value * days / 7 * 365, year_s);
}

static double price(const struct inw_trial *t, inw_q q)
{
	return q < 0 ? 0 : t->moved.quantity[q].value;
}

/* Of the shallowest bed, in logarithms; with the granules as coarse as they may be where that would leave a doubt. */
static double bed_level(const struct inw_trial *t)
{
	double level = INFINITY;

	for (size_t i = 0; i < t->d->cleaner.stages; i++) {
		const struct inw_stage *s = &t->d->cleaner.stage[i];
		if (s->kind != INW_STAGE_BED)
			continue;
		const struct inw_quantity *granule = &t->moved.quantity[s->bed.granule];
		level = fmin(level, log(t->moved.quantity[s->bed.depth].value / (INW_GRANULES_DEEP * (t->asks_wide ? granule->high : granule->value))));
	}
	return level;
}

/* Life of the carbon in its worst state, s. */
static double life_s(const struct inw_trial *t, size_t job)
{
	double least = t->bed_level < 0 ? NAN : INFINITY; /* no law, no life */

	for (int k = 0; k < INW_STATES; k++)
		if (!t->skip[k] && inw_states[k].speed_factor > 0 && inw_states[k].doors == INW_DOORS_AS_WRITTEN && t->study[job]->c[k].ok)
			least = isnan(least) ? NAN : fmin(least, t->study[job]->c[k].o.life_s);
	return least;
}

/* kg of carbon in a year, each job for itself. */
static double carbon_kg(const struct inw_trial *t)
{
	double sum = 0;

	for (size_t j = 0; j < t->d->jobs; j++)
		if (t->study[j]->c[0].o.bed >= 0)
			sum += t->study[j]->c[0].o.carbon_kg * use_s(t, t->study[j]->job) / life_s(t, j);
	return sum;
}

static double running(const struct inw_trial *t)
{
	const struct inw_upkeep *u = &t->d->upkeep;
	double sum = u->carbon >= 0 ? carbon_kg(t) * price(t, u->carbon) : 0;

	for (size_t j = 0; j < t->d->jobs; j++) {
		const struct inw_outcome *o = &t->study[j]->c[0].o;
		sum += use_s(t, t->study[j]->job) * (o->power_W * price(t, u->electricity) + o->heating_W * price(t, u->heating));
	}
	return sum;
}

/* Air of a pleated pack: about 1.6 L hold a square metre of its medium (memory, of panels 80 mm deep). */
static const double pack_m3m2 = 1.6e-3;

static double cleaner_m3(const struct inw_trial *t)
{
	double sum = 0;

	for (size_t i = 0; i < t->d->cleaner.stages; i++) {
		const struct inw_stage *s = &t->d->cleaner.stage[i];
		if (s->kind == INW_STAGE_BED)
			sum += t->moved.quantity[s->bed.area].value * t->moved.quantity[s->bed.depth].value;
		if (s->kind == INW_STAGE_MEDIUM)
			sum += t->moved.quantity[s->medium.area].value * pack_m3m2;
	}
	return sum;
}

static double loudest_dB(const struct inw_trial *t)
{
	double most = -INFINITY;

	for (size_t j = 0; j < t->d->jobs; j++)
		for (int k = 0; k < INW_STATES; k++)
			if (!t->skip[k] && inw_states[k].speed_factor > 0 && t->study[j]->c[k].ok)
				most = isnan(t->study[j]->c[k].o.sound_dB) ? NAN : fmax(most, t->study[j]->c[k].o.sound_dB);
	return most;
}

static double heat_W(const struct inw_trial *t)
{
	double most = 0;

	for (size_t j = 0; j < t->d->jobs; j++) {
		const struct inw_case *c = &t->study[j]->c[0];
		most = fmax(most, c->sol.f.heater_W + c->o.plate_W + c->o.heating_W);
	}
	return most;
}

static void find_aims(struct inw_trial *t)
{
	const struct inw_box *b = &t->d->box;
	const struct inw_quantity *q = t->moved.quantity;
	bool solved = true;

	for (size_t j = 0; j < t->d->jobs; j++)
		solved &= t->study[j]->c[0].ok;
	t->aim[INW_AIM_CLEANER] = cleaner_m3(t);
	t->aim[INW_AIM_BOX] = q[b->width].value * q[b->depth].value * q[b->height].value;
	t->aim[INW_AIM_NOISE] = solved ? loudest_dB(t) : NAN;
	t->aim[INW_AIM_HEAT] = solved ? heat_W(t) : NAN;
	t->aim[INW_AIM_CARBON] = solved && counts_carbon(t) ? carbon_kg(t) : NAN;
	double years = t->asked->wishes.years;
	t->aim[INW_AIM_MONEY] = inw_trial_bought(t) + (years > 0 ? (solved ? years * running(t) : NAN) : 0);
}

/* ---- levels ---- */

struct inw_measure inw_trial_eased(const struct inw_measure *m, double by)
{
	struct inw_measure e = *m;

	e.limit += m->sense == INW_AT_MOST ? by : -by;
	if (m->sense == INW_WITHIN)
		e.limit_high += by;
	return e;
}

/* Straight where the number changes by factors, and with a bound slope far from the limit: a search sees the way from
 * anywhere, and what lies far inside does not outweigh what is near. */
static double level_of(const struct inw_measure *m, double v)
{
	const double nothing = 1e-9;
	double level = inw_measure_margin(m, v) / inw_measure_one(m);

	if (isnan(level))
		return no_answer;
	if (m->scale == INW_SCALE_LOG && m->limit > 0 && m->sense != INW_WITHIN)
		level = (m->sense == INW_AT_MOST ? -1 : 1) * log(fmax(v / m->limit, nothing));
	if (m->scale == INW_SCALE_LOG_REST && m->sense == INW_AT_LEAST && m->limit < 1)
		level = log((1 - m->limit) / fmax(1 - v, nothing));
	if (level < -1)
		level = -1 - log(-level);
	return fmin(fmax(level, no_answer), enough);
}

/* The value at the bad end of what is to be covered: both ends are tried, since a band has two. */
static double bad_value(const struct inw_trial *t, const struct inw_need *n, const struct inw_measure *m, double v)
{
	const struct inw_study *s = t->study[n->job];

	if (isnan(v))
		return v;
	double far_out = t->reach * n->stretch + n->shift;
	double low = inw_study_moved(s, n->measure, v, far_out * n->down), high = inw_study_moved(s, n->measure, v, far_out * n->up);
	return inw_measure_margin(m, low) < inw_measure_margin(m, high) ? low : high;
}

/* One part of the number: one gap's, one stage's. */
static double part_value(struct inw_study *s, int measure, const struct inw_case *c, int part)
{
	const struct inw_solution *sol = &c->sol;

	if (part < 0)
		return inw_study_value(s, measure, c);
	if (!c->ok)
		return NAN;
	switch (s->measures.m[measure].kind) {
	case INW_M_INWARD_PRESSURE: return c->o.gap_least_Pa[part];
	case INW_M_INWARD_VELOCITY: return inw_counted_speed_ms(&sol->m.gap[part], c->o.gap_velocity_ms[part]);
	case INW_M_BYPASS: return sol->s.m_bypass[part] >= 0 ? sol->y[sol->s.m_bypass[part]] / sol->y[sol->s.m_clean] : 0;
	default: return NAN;
	}
}

/* The least over all states; the need's own numbers come from the whole. */
static void find_row(struct inw_trial *t, struct inw_row *row)
{
	if (row->need == INW_OF_BED) {
		row->level = fmax(fmin(t->bed_level, enough), no_answer);
		return;
	}
	const struct inw_need *n = &t->need[row->need];
	struct inw_study *s = t->study[n->job];
	const struct inw_measure m = inw_trial_eased(&s->measures.m[n->measure], n->relaxed);

	row->level = INFINITY;
	for (int k = 0; k < INW_STATES; k++) {
		if (t->skip[k] || !inw_study_looks(t->d, &m, k))
			continue;
		double v = part_value(s, n->measure, &s->c[k], row->part), bad = bad_value(t, n, &m, v), level = level_of(&m, bad);
		if (level >= row->level && k != 0)
			continue;
		row->level = level;
		if (!(level < t->level[row->need]))
			continue;
		t->level[row->need] = level;
		t->value[row->need] = v;
		t->margin[row->need] = inw_measure_margin(&m, bad);
	}
	if (n->ignored)
		row->level = t->level[row->need] = 1;
	row->level = fmin(row->level, enough); /* no state looks at it */
}

/* How many parts a measure has here; 0: it is one whole. */
static int parts_of(const struct inw_study *s, int measure)
{
	const struct inw_model *m = &s->c[INW_AS_DESIGNED].sol.m;
	int parts = 0;

	switch (s->measures.m[measure].kind) {
	case INW_M_INWARD_PRESSURE: case INW_M_INWARD_VELOCITY: parts = m->gaps; break;
	case INW_M_BYPASS: parts = m->stages; break;
	default: break;
	}
	for (int i = 0; i < parts && s->measures.m[measure].kind != INW_M_BYPASS; i++)
		if (m->gap[i].kind == INW_GAP_OPENING || m->gap[i].kind == INW_GAP_MEASURED)
			return 0;
	return parts <= INW_MOST_PARTS ? parts : 0;
}

static void find_rows(struct inw_trial *t)
{
	t->rows = 0;
	if (t->asks_bed)
		t->row[t->rows++] = (struct inw_row){.need = INW_OF_BED, .part = -1};
	for (int i = 0; i < t->needs; i++) {
		int parts = t->study[t->need[i].job]->c[INW_AS_DESIGNED].ok ? parts_of(t->study[t->need[i].job], t->need[i].measure) : 0;
		if (t->rows + parts + t->needs - i > INW_MOST_ROWS)
			parts = 0;
		for (int k = 0; k < parts; k++)
			t->row[t->rows++] = (struct inw_row){.need = i, .part = k};
		if (parts == 0)
			t->row[t->rows++] = (struct inw_row){.need = i, .part = -1};
	}
}

/* ---- solving ---- */

static void solve_state(struct inw_trial *t, size_t j, int k)
{
	struct inw_study *s = t->study[j];
	struct inw_case *near = &t->near[j * INW_STATES + (size_t)k];

	inw_study_case(s, &s->c[k], k, near->ok ? near : NULL, NULL);
	if (!s->c[k].ok && near->ok)
		inw_study_case(s, &s->c[k], k, NULL, NULL);
}

void inw_trial_solve(struct inw_trial *t, bool probe)
{
	t->used++;
	for (size_t j = 0; j < t->d->jobs; j++) {
		struct inw_study *s = t->study[j];
		inw_study_good(s);
		s->wanted = t->wanted[j];
		for (int k = 0; k < INW_STATES; k++) {
			if (t->skip[k])
				continue;
			solve_state(t, j, k);
			if (!probe && s->c[k].ok)
				t->near[j * INW_STATES + (size_t)k] = s->c[k];
		}
	}
	if (t->rows == 0)
		find_rows(t);
	t->bed_level = t->asks_bed ? bed_level(t) : INFINITY;
	for (int i = 0; i < t->needs; i++)
		t->level[i] = INFINITY, t->value[i] = t->margin[i] = NAN;
	for (int i = 0; i < t->rows; i++)
		find_row(t, &t->row[i]);
	find_aims(t);
}

static void take_deviation(const struct inw_study *s, struct inw_need *n)
{
	int i = n->measure;
	double down = inw_study_apart(s, i, s->low[i], s->value[i]), up = inw_study_apart(s, i, s->high[i], s->value[i]);

	n->broken = s->broken[i] || isnan(s->value[i]);
	n->down = isfinite(down) ? down : 0;
	n->up = isfinite(up) ? up : 0;
}

/* Wegstein 1958 (memory): the search makes deviations `found` of those `used`; where both are the same is guessed by the line
 * through two rounds. Where a step of the guess would lead far the bounds keep it (common practice: slopes from -1 to 0.8). */
static double foretold(struct inw_rounds *k, double found, int round)
{
	const double tiny = 1e-12, least = -1, most = 0.8;
	double apart = k->used - k->used_before, slope = round > 1 && fabs(apart) > tiny ? (found - k->found_before) / apart : 0;
	double next = round > 0 ? k->used + (found - k->used) / (1 - fmin(fmax(slope, least), most)) : found;

	k->used_before = k->used;
	k->found_before = found;
	k->used = next;
	return next;
}

void inw_trial_foretell(struct inw_trial *t, int round, bool wider)
{
	for (int i = 0; i < t->needs; i++) {
		struct inw_need *n = &t->need[i];
		double down = n->side[0].used, up = n->side[1].used;
		n->down = fmin(foretold(&n->side[0], n->down, round), 0);
		n->up = fmax(foretold(&n->side[1], n->up, round), 0);
		if (wider) {
			n->down = n->side[0].used = fmin(n->down, down);
			n->up = n->side[1].used = fmax(n->up, up);
		}
	}
}

/* What a check would say that it cannot tell. */
static int count_untold(const struct inw_trial *t, const struct inw_study *s)
{
	int n = 0;

	for (int i = 0; i < s->measures.n; i++) {
		const struct inw_measure *m = &s->measures.m[i];
		const struct inw_finding f = {.m = m, .value = s->value[i], .low = s->low[i], .high = s->high[i], .broken = s->broken[i]};
		n += m->kind != INW_M_BALANCE && !inw_wish_left_out(&t->asked->wishes, m->id) && inw_verdict_word(&f) == INW_CANNOT_TELL;
	}
	return n;
}

enum inw_status inw_trial_judge(struct inw_trial *t)
{
	t->untold = 0;
	for (size_t j = 0; j < t->d->jobs; j++) {
		struct inw_arena *scratch = inw_arena_new(TRIAL_CEILING);
		const struct inw_study *s = scratch ? inw_study_run(&t->moved, &t->moved.job[j], 1, scratch) : NULL;
		t->untold += s ? count_untold(t, s) : 0;
		for (int i = 0; s && i < t->needs; i++) {
			if (t->need[i].job != j)
				continue;
			take_deviation(s, &t->need[i]);
			t->study[j]->value[t->need[i].measure] = s->value[t->need[i].measure]; /* the scale is chosen by it */
		}
		inw_arena_free(scratch);
		if (!s)
			return INW_NO_MEMORY;
	}
	inw_trial_solve(t, false);
	return INW_OK;
}

void inw_trial_like(struct inw_trial *t, const struct inw_trial *judged)
{
	for (int i = 0; i < t->needs && i < judged->needs; i++) {
		struct inw_need *n = &t->need[i];
		const struct inw_need *k = &judged->need[i];
		n->down = k->down;
		n->up = k->up;
		t->study[n->job]->value[n->measure] = judged->study[k->job]->value[k->measure];
	}
}

bool inw_trial_holds(const struct inw_trial *t)
{
	for (int i = 0; i < t->needs; i++)
		if (!t->need[i].ignored && (t->need[i].broken || !(t->level[i] >= 0)))
			return false;
	return t->bed_level >= 0;
}

double inw_trial_missing(const struct inw_trial *t)
{
	double sum = fmax(-t->bed_level, 0);

	for (int i = 0; i < t->needs; i++)
		sum += fmax(-t->level[i], 0);
	return sum;
}

const struct inw_measure *inw_trial_measure(const struct inw_trial *t, int need)
{
	return &t->study[t->need[need].job]->measures.m[t->need[need].measure];
}

/* ---- writing it out ---- */

/* "%.4g" of the number, the rest of the text as it is: "12.3456 mm" to "12.35 mm". */
static bool shorten(const char *text, int digits, char *out, size_t size)
{
	char *end;
	double number = strtod(text, &end);
	int n = end == text ? -1 : snprintf(out, size, "%.*g%s", digits, number, end);

	return n > 0 && (size_t)n < size;
}

bool inw_trial_written(const struct inw_trial *t, size_t i, double value, int digits, char out[160], double *at)
{
	const struct inw_free *f = &t->asked->wishes.free[i];
	const struct inw_quantity *was = &t->asked->quantity[f->q[0]];
	char text[96], part[3][96];
	double v[3];

	if (!inw_rewrite_number(text, sizeof text, f->written, was->dim, value) || !shorten(text, digits, part[0], sizeof part[0]) ||
	    inw_parse_quantity(part[0], was->dim, at))
		return false;
	v[0] = *at;
	range_at(was, v[0], &v[1], &v[2]);
	if (was->low == was->value && was->high == was->value) {
		snprintf(out, 160, "%s", part[0]);
		return true;
	}
	for (int k = 1; k < 3; k++)
		if (!inw_rewrite_number(text, sizeof text, f->written, was->dim, v[k]) || !shorten(text, digits, part[k], sizeof part[k]))
			return false;
	snprintf(out, 160, "%.50s (%.50s .. %.50s)", part[0], part[1], part[2]);
	return true;
}

enum inw_status inw_trial_write(const struct inw_trial *t, const double *u, int digits, struct inw_text *out, double *at, struct inw_diags *diags)
{
	const struct inw_design *d = t->asked;
	const struct inw_rewritable text = {d->file, d->bytes, d->length};
	struct inw_edit edit[INW_MOST_CHOICES + INW_MOST_FREE];
	char written[INW_MOST_FREE][160];
	size_t edits = word_edits(d, t->word, edit);

	for (size_t i = 0; i < d->wishes.frees; i++) {
		const struct inw_free *f = &d->wishes.free[i];
		double value;
		if (!inw_trial_written(t, i, inw_trial_value(f, u[i]), digits, written[i], &value)) {
			inw_diag_add(diags, INW_ERROR, d->file, f->place.line, f->place.column, "the chosen value cannot be written in this unit");
			return INW_BAD_INPUT;
		}
		if (at)
			at[i] = value;
		edit[edits++] = (struct inw_edit){f->place.line, f->place.column, written[i]};
	}
	if (edits == 0) {
		inw_text_addn(out, d->bytes, d->length);
		return out->failed ? INW_NO_MEMORY : INW_OK;
	}
	return inw_rewrite(&text, edit, edits, out, diags);
}
