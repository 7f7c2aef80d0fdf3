/* SPDX-License-Identifier: MIT */
/* day.c: a day as a report: the series, what each person met against the right limit for each span, and what held all day. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "check/air.h"
#include "check/bed_log.h"
#include "check/day_mend.h"
#include "check/study.h"
#include "design/read.h"
#include "judge/sentence.h"
#include "solve/day.h"
#include "solve/near.h"

enum { CEILING = 256 << 20, FIXED_COLUMNS = 12, MAX_VERDICTS = 2048, MAX_MOMENTS = 4 * INW_MAX_EVENTS, ROWS_AT_FIRST = 1024, MAX_ROWS = 200000, BED_MOMENTS = 25 };
enum column { C_TIME, C_OUT, C_BOX, C_PLATE, C_INWARD, C_CLEANED, C_SENT_OUT, C_ESCAPED, C_HEATER, C_POWER, C_DOOR, C_RUNNING };

static const struct { const char *name; enum inw_dim dim; } fixed[FIXED_COLUMNS] = {
	{"time", INW_DIM_TIME}, {"outdoor.temperature", INW_DIM_TEMPERATURE}, {"box.temperature", INW_DIM_TEMPERATURE},
	{"plate.temperature", INW_DIM_TEMPERATURE}, {"box.inward_pressure", INW_DIM_PRESSURE}, {"flows.cleaned", INW_DIM_VOLUME_FLOW},
	{"flows.sent_out", INW_DIM_VOLUME_FLOW}, {"flows.escaped", INW_DIM_VOLUME_FLOW}, {"heat.heater", INW_DIM_POWER},
	{"power", INW_DIM_POWER}, {"door_open", INW_DIM_NONE}, {"running", INW_DIM_NONE}};

struct recorder {
	const struct inw_design *d;
	struct inw_arena *arena;
	struct inw_day_sim *s;
	struct inw_day_report *r;
	double *row; size_t rows, capacity, columns;
	const char **name; enum inw_dim *dim;
	size_t carbon_at, near_at, room_at;    /* first column of what the carbon does, of the air close by the box, of how warm the rooms are */
	bool near;                             /* somebody works there */
	double after[INW_PORES_MOST];          /* kg per kg of the air that left the last bed in the last step, NAN at rest; */
	long after_step;                       /* of this step */
	struct inw_bed_log carbon;
	struct inw_values best;                /* the design's own values */
	struct inw_verdict verdict[MAX_VERDICTS]; size_t verdicts;
	struct inw_moment moment[MAX_MOMENTS]; size_t moments;
	int ended[INW_MAX_EVENTS]; size_t ends; /* jobs in the order in which they ended */
	double hottest[INW_MAX_JOBS_SIZED], last[INW_MAX_JOBS_SIZED]; /* K, box air while each job ran; NAN before */
	double bed_K;                          /* hottest that carbon was with air passing it; NAN without */
	struct inw_lookout sight;              /* while the door was shut */
	double edge_Pa;                        /* least at an edge of any opening while the door was shut; NAN without */
	bool pressed;                          /* a running blower pressed fumes against the joints of the cleaner */
	bool unset;                            /* see inw_drives_unset */
	bool weak;                             /* a gap was pulled inward too weakly while the box held fumes; see inw_holds_weakly */
	size_t openers;                        /* openings of the door that were too early */
	bool cut;                              /* some verdicts did not fit */
	bool failed;
};

/* ---- the series ---- */

static size_t gas_column(const struct recorder *c, int gas, int zone)
{
	return FIXED_COLUMNS + (size_t)(gas + 1) * (c->d->rooms + 1) + (size_t)zone; /* particles first */
}

/* Two for each gas that carbon holds, in the order of their slots, then what water is on it. */
static size_t carbon_column(const struct recorder *c, int slot)
{
	return c->carbon_at + 2 * (size_t)slot;
}

static size_t near_column(const struct recorder *c, int gas)
{
	return c->near_at + (size_t)(gas + 1);
}

static size_t warmth_column(const struct recorder *c, int room)
{
	return c->room_at + (size_t)room;
}

static bool works_near(const struct inw_design *d)
{
	for (size_t i = 0; i < d->persons; i++)
		for (size_t k = 0; k < d->person[i].stays; k++)
			if (d->person[i].stay[k].at_box)
				return true;
	return false;
}

static void name_column(struct recorder *c, size_t at, enum inw_dim dim, const char *name)
{
	c->failed |= !name;
	c->name[at] = name ? name : "";
	c->dim[at] = dim;
}

static void name_carbon(struct recorder *c)
{
	const struct inw_day_beds *b = &c->s->gas.carbon;

	if (b->held > 0)
		name_column(c, carbon_column(c, b->held), INW_DIM_MASS, "water.on_carbon");
	for (int i = 0; i < b->held; i++) {
		const char *what = inw_bed_log_name(c->d, b, i);
		name_column(c, carbon_column(c, i), INW_DIM_CONCENTRATION, inw_arena_printf(c->arena, "gases[%s].after_carbon", what));
		name_column(c, carbon_column(c, i) + 1, INW_DIM_MASS, inw_arena_printf(c->arena, "gases[%s].on_carbon", what));
	}
}

static void name_near(struct recorder *c)
{
	name_column(c, near_column(c, -1), INW_DIM_NUMBER_CONCENTRATION, "particles.near_box");
	for (int g = 0; g < c->s->gas.count; g++)
		name_column(c, near_column(c, g), INW_DIM_CONCENTRATION,
		            inw_arena_printf(c->arena, "gases[%s].near_box", c->d->catalog.substance[c->s->gas.substance[g]].name));
}

static void name_rooms(struct recorder *c)
{
	for (size_t r = 0; r < c->d->rooms; r++)
		name_column(c, warmth_column(c, (int)r), INW_DIM_TEMPERATURE, inw_arena_printf(c->arena, "rooms[%s].temperature", c->d->room[r].name));
}

static int name_columns(struct recorder *c)
{
	c->near = works_near(c->d);
	c->carbon_at = FIXED_COLUMNS + (size_t)(c->s->gas.count + 1) * (c->d->rooms + 1);
	c->near_at = carbon_column(c, c->s->gas.carbon.held) + (c->s->gas.carbon.held > 0);
	c->room_at = c->near_at + (c->near ? (size_t)c->s->gas.count + 1 : 0);
	c->columns = c->room_at + c->d->rooms;
	c->name = inw_arena_alloc(c->arena, sizeof *c->name * c->columns);
	c->dim = inw_arena_alloc(c->arena, sizeof *c->dim * c->columns);
	if (!c->name || !c->dim)
		return -1;
	for (size_t i = 0; i < FIXED_COLUMNS; i++)
		name_column(c, i, fixed[i].dim, fixed[i].name);
	for (int g = -1; g < c->s->gas.count; g++) {
		const char *what = g < 0 ? NULL : c->d->catalog.substance[c->s->gas.substance[g]].name;
		enum inw_dim dim = g < 0 ? INW_DIM_NUMBER_CONCENTRATION : INW_DIM_CONCENTRATION;
		name_column(c, gas_column(c, g, 0), dim, g < 0 ? "particles.box" : inw_arena_printf(c->arena, "gases[%s].box", what));
		for (size_t r = 0; r < c->d->rooms; r++)
			name_column(c, gas_column(c, g, 1 + (int)r), dim, g < 0 ? inw_arena_printf(c->arena, "particles.room[%s]", c->d->room[r].name)
			            : inw_arena_printf(c->arena, "gases[%s].room[%s]", what, c->d->room[r].name));
	}
	name_carbon(c);
	if (c->near)
		name_near(c);
	name_rooms(c);
	return c->failed ? -1 : 0;
}

static double *new_row(struct recorder *c)
{
	if (c->rows == c->capacity) {
		size_t capacity = c->capacity ? 2 * c->capacity : ROWS_AT_FIRST;
		double *more = inw_arena_alloc(c->arena, sizeof *more * capacity * c->columns);
		if (!more)
			return NULL;
		if (c->rows)
			memcpy(more, c->row, sizeof *more * c->rows * c->columns);
		c->row = more;
		c->capacity = capacity;
	}
	return &c->row[c->columns * c->rows++];
}

double inw_least_inward(const struct inw_solution *sol)
{
	const struct inw_flows *f = &sol->f;
	double least = INFINITY;

	for (int i = 0; i < sol->m.gaps; i++)
		if (sol->m.gap_of[i] >= 0 && sol->m.gap[i].kind != INW_GAP_OPENING) /* openings are judged by themselves */
			least = fmin(least, fmin(f->gap_dp_top[i], f->gap_dp_bottom[i]));
	/* Pa: what the solver's rounding leaves of nothing; a hundred-thousandth of what is wanted holds against nothing */
	const double rounding = 1e-5;
	return !isfinite(least) ? NAN : fabs(least) < rounding ? 0 : least;
}

/* fmax and fmin pass over NAN. */
static void watch_heat(struct recorder *c)
{
	const struct inw_solution *sol = &c->s->sol;
	struct inw_values x = {c->s->x, NULL};
	double T = sol->y[sol->s.T_box];
	int job = c->s->job;

	if (job >= 0) {
		c->hottest[job] = fmax(c->hottest[job], T);
		c->last[job] = T;
	}
	for (int k = 0; k < sol->m.stages && sol->s.m_clean >= 0 && sol->y[sol->s.m_clean] > 0; k++)
		if (sol->m.stage[k].kind == INW_STAGE_BED)
			c->bed_K = fmax(c->bed_K, inw_bed_now(sol, c->d, &x, k).T + inw_day_bed_warmer_K(&c->s->gas.carbon, k));
}

static bool blows(const struct inw_model *m)
{
	for (int k = 0; k < m->stages; k++)
		if (m->stage[k].kind == INW_STAGE_BLOWER && m->stage[k].speed > 0)
			return true;
	return false;
}

bool inw_presses_out(const struct inw_solution *sol)
{
	return blows(&sol->m) && inw_cleaner_joints(sol).leak;
}

bool inw_drives_unset(const struct inw_solution *sol)
{
	return blows(&sol->m) && inw_share_unset(sol);
}

void inw_untell(struct inw_verdict *v, size_t n)
{
	for (size_t i = 0; i < n; i++)
		if (v[i].word == INW_MEETS) {
			v[i].word = INW_CANNOT_TELL;
			v[i].reason = "The share that the file says is sent out cannot be set at some time (see 'throttle' of 'inward check'): with less sent out this "
			              "number is another, so it cannot be passed.";
		}
}

bool inw_holds_weakly(const struct inw_day_sim *s)
{
	double share = s->given[s->d->require.purge_fraction], number = 0, most = 0;
	bool holds = false;

	for (int g = 0; g < s->gas.count; g++)
		holds |= s->gas.account[g].held[0] > share * s->gas.account[g].peak;
	for (int b = 0; b < s->bins; b++) {
		number += s->bin[b].held[0];
		most += s->bin[b].peak;
	}
	return (holds || number > share * most) && inw_least_inward(&s->sol) < s->given[s->d->require.inward_pressure];
}

/* What bounds how much gets out of the box: see lost_sight. */
static void watch(struct recorder *c)
{
	const struct inw_model *m = &c->s->sol.m;

	watch_heat(c);
	if (c->s->door_open)
		return;
	inw_lookout_see(&c->sight, &c->s->sol);
	c->pressed |= inw_presses_out(&c->s->sol);
	c->unset |= inw_drives_unset(&c->s->sol);
	c->weak |= inw_holds_weakly(c->s);
	for (int i = 0; i < m->gaps; i++)
		if (m->gap[i].kind == INW_GAP_OPENING)
			c->edge_Pa = fmin(c->edge_Pa, fmin(c->s->sol.f.gap_dp_top[i], c->s->sol.f.gap_dp_bottom[i]));
}

/* Mixing ratio of a zone. */
static double ratio_in(const struct inw_solution *sol, const struct inw_account *a, int zone)
{
	return a->held[zone] / (inw_zone_volume(&sol->m, zone) * inw_zone_density(sol, zone));
}

static bool cleans(const struct inw_solution *sol)
{
	return sol->s.m_clean >= 0 && sol->y[sol->s.m_clean] > 1e-7; /* kg/s: less counts as rest, as in the beds */
}

/* What leaves the last bed is known as a mean over the step before; at an event the flow jumps, what it carries does not. */
static void remember_after(struct recorder *c)
{
	const struct inw_day_sim *s = c->s;

	if (c->after_step == s->steps && s->steps > 0)
		return;
	c->after_step = s->steps;
	for (int i = 0; i < s->gas.carbon.held; i++)
		c->after[i] = s->steps && cleans(&s->sol) ? fmax(s->gas.carbon.rate_kgs[i], 0) / s->sol.y[s->sol.s.m_clean] : NAN;
}

/* kg/m3 of each held substance in the air that comes to the carbon. */
static void note_carbon(struct recorder *c)
{
	const struct inw_day_sim *s = c->s;
	const struct inw_day_beds *b = &s->gas.carbon;
	struct inw_values x = {c->s->x, NULL};
	struct inw_bed_now now[INW_DAY_BEDS];
	double in[INW_PORES_MOST] = {0};

	inw_bed_log_note(&c->carbon, b, s->t);
	if (!b->held || !cleans(&s->sol))
		return;
	for (int k = 0; k < b->beds; k++)
		now[k] = inw_bed_now(&s->sol, c->d, &x, b->bed[k].stage);
	double rho = inw_model_air(&s->sol.m, now[0].T, s->sol.m.w_box).rho;
	in[b->held] = rho * s->sol.m.w_box / (1 + s->sol.m.w_box); /* water */
	for (int g = 0; g < s->gas.count; g++)
		if (b->slot[g] >= 0)
			in[b->slot[g]] = rho * fmax(ratio_in(&s->sol, &s->gas.account[g], 0), 0);
	inw_bed_log_air(&c->carbon, now, in, s->t);
}

static void record_carbon(struct recorder *c, double *v)
{
	const struct inw_day_sim *s = c->s;
	struct inw_values x = {s->given, NULL};

	remember_after(c);
	note_carbon(c);
	if (s->gas.carbon.held > 0)
		v[carbon_column(c, s->gas.carbon.held)] = inw_bed_log_held_kg(c->d, &x, &s->gas.carbon, s->gas.carbon.held);
	for (int i = 0; i < s->gas.carbon.held; i++) {
		double rho = inw_model_air(&s->sol.m, s->sol.y[s->sol.s.T_junction], s->sol.m.w_box).rho;
		v[carbon_column(c, i)] = c->after[i] * rho;
		v[carbon_column(c, i) + 1] = inw_bed_log_held_kg(c->d, &x, &s->gas.carbon, i);
	}
}

static double or_nothing(double v)
{
	return isnan(v) ? 0 : v;
}

/* The air close by the box. */
static void record_near(struct recorder *c, double *v)
{
	const struct inw_day_sim *s = c->s;
	const struct inw_solution *sol = &s->sol;
	int room = 1 + sol->m.box_room;
	double rho = inw_zone_density(sol, room), in_room = 0, box = 0, after = 0;
	struct inw_near n = inw_near_now(sol, s->x[c->d->box.near_radius], s->x[c->d->box.near_speed]);

	for (int b = 0; b < s->bins; b++) {
		double y = ratio_in(sol, &s->bin[b], 0);
		in_room += ratio_in(sol, &s->bin[b], room);
		box += y;
		after += y * s->bin_pass[b];
	}
	v[near_column(c, -1)] = fmax(rho * inw_near_ratio(&n, in_room, box, after), 0);
	for (int g = 0; g < s->gas.count; g++) {
		const struct inw_account *a = &s->gas.account[g];
		int slot = s->gas.carbon.slot[g];
		box = ratio_in(sol, a, 0);
		after = slot >= 0 ? or_nothing(c->after[slot]) : s->pass[g] * box;
		v[near_column(c, g)] = rho * inw_near_ratio(&n, ratio_in(sol, a, room), box, after);
	}
}

static int record(struct recorder *c)
{
	const struct inw_day_sim *s = c->s;
	const struct inw_solution *sol = &s->sol;
	const struct inw_slots *l = &sol->s;
	double *v = new_row(c), out = 0;

	if (!v)
		return -1;
	watch(c);
	for (int i = 0; i < sol->m.gaps; i++)
		out += sol->f.gap_out[i];
	v[C_TIME] = s->t;
	v[C_OUT] = sol->m.T_out;
	v[C_BOX] = sol->y[l->T_box];
	v[C_PLATE] = l->T_plate >= 0 ? sol->y[l->T_plate] : NAN;
	v[C_INWARD] = inw_least_inward(sol);
	v[C_CLEANED] = l->m_clean >= 0 ? sol->y[l->m_clean] / inw_model_air(&sol->m, sol->y[l->T_in], sol->m.w_box).rho : 0;
	v[C_SENT_OUT] = l->m_exhaust >= 0 ? sol->y[l->m_exhaust] / inw_model_air(&sol->m, sol->y[l->T_exhaust], sol->m.w_box).rho : 0;
	v[C_ESCAPED] = out / inw_zone_density(sol, 0);
	v[C_HEATER] = sol->f.heater_W;
	v[C_POWER] = inw_electric_W(sol);
	v[C_DOOR] = s->door_open;
	v[C_RUNNING] = s->job >= 0;
	for (int z = 0; z <= sol->m.rooms; z++) {
		double number = 0;
		for (int b = 0; b < s->bins; b++)
			number += s->bin[b].held[z];
		v[gas_column(c, -1, z)] = fmax(number, 0) / inw_zone_volume(&sol->m, z); /* implicit steps round to just below nothing */
		for (int g = 0; g < s->gas.count; g++)
			v[gas_column(c, g, z)] = s->gas.account[g].held[z] / inw_zone_volume(&sol->m, z);
	}
	record_carbon(c, v);
	if (c->near)
		record_near(c, v);
	for (int r = 0; r < sol->m.rooms; r++)
		v[warmth_column(c, r)] = l->T_room[r] >= 0 ? sol->y[l->T_room[r]] : sol->m.room[r].T;
	return 0;
}

/* ---- people ---- */

/* Where a person is between two rows, NULL away. Stays begin and end at rows (events of the run). */
static const struct inw_stay *stay_between(const struct recorder *c, const struct inw_person *p, size_t row)
{
	const double *v = &c->row[row * c->columns];

	return inw_person_stay(p, c->s->given, fmod(c->s->clock + 0.5 * (v[C_TIME] + v[c->columns + C_TIME]), 86400));
}

/* Add to the pieces what a person breathes of one column family (-1: particles, 0..: gases) times `by`. */
static void breathe(const struct recorder *c, const struct inw_person *p, int gas, double by, struct inw_piece *out)
{
	for (size_t i = 0; i + 1 < c->rows; i++) {
		const struct inw_stay *stay = stay_between(c, p, i);
		if (!stay)
			continue;
		size_t air = stay->at_box ? near_column(c, gas) : gas_column(c, gas, 1 + stay->room);
		out[i].from += by * c->row[i * c->columns + air];
		out[i].to += by * c->row[(i + 1) * c->columns + air];
	}
}

/* What a day leaves (in the end of a shorter run) in the room that has most of it, or close by the box: so much too little the
 * run had when it began, clean. `by` as of breathe, of so many columns from `first` on. */
static double left_over(const struct recorder *c, int first, int count, const double *by)
{
	size_t row = c->rows - 1;
	double most = 0;

	while (row > 0 && c->row[row * c->columns + C_TIME] > 86400 + 1e-6)
		row--;
	for (int room = 0; room < (int)c->d->rooms + c->near; room++) {
		double sum = 0;
		for (int i = 0; i < count; i++)
			sum += by[i] * c->row[row * c->columns + (room < (int)c->d->rooms ? gas_column(c, first + i, 1 + room) : near_column(c, first + i))];
		most = fmax(most, sum);
	}
	return most;
}

static void begin_pieces(const struct recorder *c, struct inw_piece *out)
{
	for (size_t i = 0; i < c->rows; i++)
		out[i] = (struct inw_piece){c->row[i * c->columns], 0, 0};
}

/* Integral of a piece of length `length` up to `x` from its beginning. */
static double part_of(const struct inw_piece *v, double length, double x)
{
	return x * (v->from + (length > 0 ? 0.5 * (v->to - v->from) * x / length : 0));
}

/* One window that begins `x` into piece a; `sum`: integral from row a to row b; it ends in piece b. */
static double window_from(const struct inw_piece *v, size_t n, size_t a, size_t b, double sum, double x, double window)
{
	double end = v[a].t + x + window, rest = b + 1 < n ? part_of(&v[b], v[b + 1].t - v[b].t, fmin(end, v[b + 1].t) - v[b].t) : 0;

	return sum + rest - part_of(&v[a], v[a + 1].t - v[a].t, x);
}

/* Highest mean over any stretch of `window` seconds (nothing before and after the run). Between two moments at which
 * either end of the window meets a row, its integral is a parabola: those moments and its top are looked at. */
static double highest_mean(const struct inw_piece *v, size_t n, double window)
{
	double best = 0, sum = 0; /* from row a to row b */
	size_t a = 0, b = 0;

	if (n < 2)
		return 0;
	for (double x = 0; a + 1 < n;) {
		while (b + 1 < n && v[b + 1].t <= v[a].t + x + window) {
			sum += part_of(&v[b], v[b + 1].t - v[b].t, v[b + 1].t - v[b].t);
			b++;
		}
		double A = v[a + 1].t - v[a].t, B = b + 1 < n ? v[b + 1].t - v[b].t : 0, y = v[a].t + x + window - v[b].t;
		double step = fmin(A - x, b + 1 < n ? B - y : INFINITY);
		double rise_a = A > 0 ? (v[a].to - v[a].from) / A : 0, rise_b = B > 0 ? (v[b].to - v[b].from) / B : 0;
		/* d/dx of the integral: value at the end less value at the beginning */
		double slope = (B > 0 ? v[b].from + rise_b * y : 0) - (v[a].from + rise_a * x), bend = rise_b - rise_a, top = bend < 0 ? -slope / bend : 0;
		best = fmax(best, window_from(v, n, a, b, sum, x, window));
		if (top > 0 && top < step)
			best = fmax(best, window_from(v, n, a, b, sum, x + top, window));
		if (step >= A - x) { /* on to the next row */
			sum -= part_of(&v[a], A, A);
			a++;
			x = 0;
		} else {
			x = v[b + 1].t - window - v[a].t;
			sum += part_of(&v[b], B, B);
			b++;
		}
	}
	return best / window;
}

static double highest(const struct inw_piece *v, size_t n)
{
	double most = 0;

	for (size_t i = 0; i + 1 < n; i++)
		most = fmax(most, fmax(v[i].from, v[i].to));
	return most;
}

double inw_worst_mean(const struct inw_piece *v, size_t n, double window)
{
	return window > 0 ? highest_mean(v, n, window) : highest(v, n);
}

/* A working day counts all its hours as if there were eight, 29 CFR 1910.1000(d)(1)(i), as in judge/measure.c. */
static const struct inw_span work[INW_SPANS] = {
	{INW_LIMIT_WORK_8H, 24 * 3600, 8 * 3600, "air_8h", "Gases met by %s in a working day, all hours counted as eight, share of occupational limits"},
	{INW_LIMIT_WORK_15MIN, 15 * 60, 15 * 60, "air_15min", "Gases met by %s, worst 15 minutes, share of short-term occupational limits"},
	{INW_LIMIT_WORK_CEILING, 0, 0, "air_peak", "Gases met by %s, worst moment, share of occupational ceilings"},
};
static const struct inw_span home[INW_SPANS] = {
	{INW_LIMIT_HOME_LONG, 24 * 3600, 24 * 3600, "air_24h", "Gases met by %s over the day, share of long-term residential values"},
	{INW_LIMIT_HOME_8H, 8 * 3600, 8 * 3600, "air_home_8h", "Gases met by %s, worst 8 hours, share of residential values"},
	{INW_LIMIT_HOME_1H, 3600, 3600, "air_1h", "Gases met by %s, worst hour, share of residential values"},
};

const struct inw_span *inw_spans_of(const struct inw_person *p)
{
	return p->kind == INW_WORKER ? work : home;
}

double inw_worst_met(const struct inw_piece *v, size_t n, const struct inw_span *span)
{
	return inw_worst_mean(v, n, span->window) * (span->over > 0 ? span->window / span->over : 1);
}

static const double two_days_s = 2 * 86400 - 1; /* less rounding */

/* What a mean could come to at the most, had the run not begun with clean air: its last day goes on into itself, which joins
 * what the beginning cuts in two, and what it leaves in the end is there from the beginning. Two days have a whole one.
 * `v` has room for twice as many. */
static double at_most(const struct recorder *c, struct inw_piece *v, const struct inw_span *span, double left)
{
	size_t n = c->rows, from = n - 1;

	if (c->s->end >= two_days_s)
		return inw_worst_met(v, n, span);
	while (from > 0 && v[from].t > c->s->end - 86400 + 1e-6)
		from--;
	for (size_t i = from; i < n; i++)
		v[n + i - from] = (struct inw_piece){v[i].t - v[from].t + v[n - 1].t, v[i].from, v[i].to};
	return inw_worst_met(v, span->window > 0 ? 2 * n - from : n, span) + left;
}

static struct inw_verdict *add(struct recorder *c, const char *id, const char *title, enum inw_dim dim)
{
	if (c->verdicts >= MAX_VERDICTS || !id || !title) {
		c->failed |= !id || !title;
		c->cut = true;
		return NULL;
	}
	struct inw_verdict *v = &c->verdict[c->verdicts++];
	*v = (struct inw_verdict){.id = id, .title = title, .state = "over the day", .word = INW_STATED, .dim = dim, .sense = INW_NO_LIMIT,
		.value = NAN, .low = NAN, .high = NAN, .limit = NAN, .limit_high = NAN, .margin = NAN, .limit_source = "no limit applies", .reason = ""};
	return v;
}

static void judge(struct inw_verdict *v, double value, bool at_least, double limit, bool missing)
{
	v->value = v->low = v->high = value;
	v->sense = at_least ? INW_AT_LEAST : INW_AT_MOST;
	v->limit = limit;
	v->margin = at_least ? value - limit : limit - value;
	v->word = isnan(value) ? INW_CANNOT_TELL : !(v->margin >= 0) ? INW_MISSES : missing ? INW_CANNOT_TELL : INW_MEETS;
}

static double value_of(const struct inw_substance *s, enum inw_limit_kind kind, const struct inw_values *x)
{
	const struct inw_limit *l = inw_cautious_limit(s, kind, x);

	return l ? inw_value(x, l->value, NAN) : NAN;
}

/* kg/m3, NAN for none. The mean over a day is held to the stricter of long-term and 24 h values; where no short-term
 * occupational value is published three times the 8 h value counts (ACGIH excursion rule, memory), as in judge/measure.c. */
double inw_span_limit(const struct inw_substance *s, enum inw_limit_kind kind, const struct inw_values *x)
{
	double L = value_of(s, kind, x);

	if (kind == INW_LIMIT_HOME_LONG)
		return fmin(L, value_of(s, INW_LIMIT_HOME_24H, x));
	if (kind == INW_LIMIT_WORK_15MIN && isnan(L) && isnan(value_of(s, INW_LIMIT_WORK_CEILING, x)))
		return 3 * value_of(s, INW_LIMIT_WORK_8H, x);
	return L;
}

/* What somebody who stays for a few minutes is held to: the stricter of limits for 15 minutes and for any moment. */
static double short_limit(const struct inw_substance *s, const struct inw_values *x)
{
	return fmin(inw_span_limit(s, INW_LIMIT_WORK_15MIN, x), value_of(s, INW_LIMIT_WORK_CEILING, x));
}

double inw_span_held(const struct inw_substance *s, enum inw_limit_kind kind, const struct inw_values *x)
{
	double L = inw_span_limit(s, kind, x);

	if (!isnan(L))
		return L;
	switch (kind) {
	case INW_LIMIT_WORK_CEILING: return inw_span_limit(s, INW_LIMIT_WORK_15MIN, x);
	case INW_LIMIT_HOME_8H: return inw_span_limit(s, INW_LIMIT_HOME_LONG, x);
	case INW_LIMIT_HOME_1H: {
		const struct inw_limit *l = inw_shortest_home_limit(s, x);
		return l ? inw_value(x, l->value, NAN) : NAN;
	}
	default: return L;
	}
}

/* A gas with nothing to hold it to cannot be passed. What has a ceiling needs no value for 15 minutes: it counts at the worst moment. */
static bool lacks(const struct inw_substance *s, enum inw_limit_kind kind, const struct inw_values *x)
{
	return isnan(kind == INW_LIMIT_WORK_15MIN ? short_limit(s, x) : inw_span_held(s, kind, x));
}

static const char pressed_out[] = "A part of the cleaner with fumes in it stands above the pressure of the room at some time of the day; what gets out of its "
                                  "joints is not in this number, so it cannot be passed.";

/* Where the model knows nothing of how much gets out, nobody's air can be told. NULL when it can. */
static const char *lost_sight(const struct recorder *c)
{
	return inw_lookout_lost(&c->sight, c->s->given[c->d->require.face_velocity]);
}

static const char weakly[] = "While the box holds fumes some gap is pulled inward by less than is wanted, too weakly to hold against draughts; what these carry out "
                             "is not in this number, so it cannot be passed.";

/* Why more gets out of the box than is counted; NULL when nothing is known to. */
static const char *more_gets_out(const struct recorder *c)
{
	return c->pressed ? pressed_out : c->weak ? weakly : NULL;
}

/* The first of which no rate, or, with `kind`, nothing to hold it to is published. */
static const char *first_lacking(const struct inw_design *d, const enum inw_limit_kind *kind, const struct inw_values *x)
{
	for (size_t j = 0; j < d->jobs; j++) {
		const struct inw_material *m = &d->catalog.material[d->job[j].material];
		if (m->gas_count == 0)
			return m->title;
		for (size_t i = 0; i < m->gas_count; i++) {
			const struct inw_substance *s = &d->catalog.substance[m->gases[i].substance];
			if (m->gases[i].studies == 0 || (kind && lacks(s, *kind, x)))
				return s->title;
		}
	}
	return NULL;
}

const char *inw_unpublished(const struct inw_design *d)
{
	return first_lacking(d, NULL, NULL);
}

const char *inw_span_lacks(const struct inw_design *d, enum inw_limit_kind kind, const struct inw_values *x)
{
	return first_lacking(d, &kind, x);
}

bool inw_met_matters(const struct inw_met *m, enum inw_limit_kind kind)
{
	return m->any || ((kind == INW_LIMIT_WORK_8H || kind == INW_LIMIT_HOME_LONG) && inw_span_lacks(m->d, kind, m->x));
}

static const double nothing = 1e-15; /* of a limit: rounding; where more may be met, that is no number */

static const char beyond_longer[] = "Not every gas has a value of this kind. Held to their values for longer those without would be too much together with the others, "
                                    "so this cannot be passed.";

int inw_met_judge(struct inw_verdict *r, const struct inw_met *m, enum inw_limit_kind kind, struct inw_arena *arena)
{
	const char *lacking = inw_span_lacks(m->d, kind, m->x), *dark = inw_lookout_lost(m->sight, inw_value(m->x, m->d->require.face_velocity, 0));
	bool shallow = !inw_all_outdoors(m->d) && inw_granules_deep(m->d, m->x) < INW_GRANULES_DEEP;

	judge(r, m->any && !dark && !(m->weak && m->value < nothing) ? m->value : NAN, false, 1, lacking || m->pressed || m->weak || shallow || m->beyond);
	r->limit_source = "mixture rule, 29 CFR 1910.1000(d)(2)(i), each limit the strictest in the catalog";
	r->reason = dark ? dark : lacking ? inw_arena_printf(arena, "No rate or no value of this kind is published for %s, so this cannot be passed.", lacking)
		: m->beyond ? beyond_longer : m->pressed ? pressed_out : m->weak ? weakly : shallow ? inw_shallow_bed : "";
	return r->reason ? 0 : -1;
}

static bool is_ever_there(const struct recorder *c, const struct inw_person *p)
{
	for (size_t i = 0; i + 1 < c->rows; i++)
		if (stay_between(c, p, i))
			return true;
	return false;
}

/* What was judged as met is not when its mean would need hours that the run does not have; who was not there met nothing,
 * and that is no pass either. */
static void hold_back(struct recorder *c, struct inw_verdict *r, const struct inw_person *p, double window, double most)
{
	if (!is_ever_there(c, p)) {
		r->word = INW_STATED;
		r->reason = "Not there during this run.";
	} else if (r->word == INW_MEETS && c->s->end < window - 1) {
		r->word = INW_CANNOT_TELL;
		r->reason = "The run is shorter than the time over which this is a mean: what comes before and after is not known. Follow a longer span.";
	} else if (r->word == INW_MEETS && most > r->limit) {
		r->word = INW_CANNOT_TELL;
		r->reason = "The run begins with clean air. With what it leaves in the end, which the day before leaves as well, and with the hours before it joined to those after its beginning, this may be too much. Follow two days ('span: 2 d').";
	}
}

/* The part of a sum that is known, and all of it with stand-ins; the pieces hold all. */
struct sum { double by[INW_MAX_GASES], known, all; bool any; };

static void add_gases(const struct recorder *c, const struct inw_person *p, const struct inw_span *span, bool held, struct sum *o, struct inw_piece *v)
{
	struct inw_values x = {c->s->given, NULL};

	for (int g = 0; g < c->s->gas.count; g++) {
		double L = (held ? inw_span_held : inw_span_limit)(&c->d->catalog.substance[c->s->gas.substance[g]], span->kind, &x);
		if (isnan(L) || o->by[g] > 0)
			continue;
		o->any |= !held;
		o->by[g] = 1 / L;
		breathe(c, p, g, o->by[g], v);
	}
	o->all = inw_worst_met(v, c->rows, span);
}

/* A run that began clean met so much less of all it leaves in the end. */
static double left_for(const struct recorder *c, const struct inw_person *p, const struct inw_span *span, const struct sum *sum)
{
	double hours = 0, day_s = 86400;

	for (size_t i = 0; i < p->stays && span->window > span->over; i++)
		if (p->stay[i].room >= 0)
			hours += fmod(c->s->given[p->stay[i].to] - c->s->given[p->stay[i].from] + day_s, day_s);
	return left_over(c, 0, c->s->gas.count, sum->by) * (span->over > 0 ? fmax(hours / span->over, 1) : 1);
}

/* The mixture rule at every instant, then the mean over the span: the sum of C/L is itself a series. Where other gases have a
 * value of that kind, one that has none is held to what stands in for it. */
static void judge_gases(struct recorder *c, const struct inw_person *p, const struct inw_span *span, struct inw_piece *v)
{
	struct inw_values x = {c->s->given, NULL};
	struct sum sum = {0};

	begin_pieces(c, v);
	add_gases(c, p, span, false, &sum, v);
	sum.known = sum.all;
	if (sum.any)
		add_gases(c, p, span, true, &sum, v);
	const struct inw_met met = {c->d, &x, &c->sight, c->pressed, c->weak, sum.any, sum.known <= 1 && sum.all > 1, sum.all <= 1 ? sum.all : sum.known};
	if (!inw_met_matters(&met, span->kind))
		return;
	struct inw_verdict *r = add(c, inw_arena_printf(c->arena, "day_%s[%s]", span->id, p->name), inw_arena_printf(c->arena, span->title, p->name), INW_DIM_NONE);
	if (!r)
		return;
	c->failed |= inw_met_judge(r, &met, span->kind, c->arena) != 0;
	hold_back(c, r, p, span->over, at_most(c, v, span, left_for(c, p, span, &sum)));
}

static void judge_particles(struct recorder *c, const struct inw_person *p, struct inw_piece *v)
{
	inw_q limit = p->kind == INW_WORKER ? c->d->require.particles_work : c->d->require.particles_home;
	bool unknown = false;

	begin_pieces(c, v);
	breathe(c, p, -1, 1, v);
	for (size_t j = 0; j < c->d->jobs; j++)
		unknown |= c->d->catalog.material[c->d->job[j].material].particle_studies == 0;
	struct inw_verdict *r = add(c, inw_arena_printf(c->arena, "day_particles[%s]", p->name),
	                            inw_arena_printf(c->arena, "Ultrafine particles added to the air of %s, worst hour", p->name), INW_DIM_NUMBER_CONCENTRATION);
	if (!r || limit < 0)
		return;
	static const struct inw_span hour = {.window = 3600, .over = 3600};
	const char *dark = lost_sight(c), *more = more_gets_out(c);
	double value = inw_worst_met(v, c->rows, &hour);
	judge(r, dark || (c->weak && value < nothing * c->s->given[limit]) ? NAN : value, false, c->s->given[limit], unknown || more);
	r->limit_source = c->d->quantity[limit].source;
	if (dark)
		r->reason = dark;
	else if (unknown)
		r->reason = "Nobody has published how many come off, so this cannot be passed.";
	else if (more)
		r->reason = more;
	hold_back(c, r, p, hour.over, at_most(c, v, &hour, left_over(c, -1, 1, &(double){1})));
}

static void judge_people(struct recorder *c, struct inw_piece *v)
{
	for (size_t i = 0; i < c->d->persons; i++) {
		const struct inw_person *p = &c->d->person[i];
		for (size_t k = 0; k < INW_SPANS; k++)
			judge_gases(c, p, &inw_spans_of(p)[k], v);
		judge_particles(c, p, v);
	}
}

/* ---- whoever opens the door ---- */

/* Mean of a column from a row on. */
static double mean_from(const struct recorder *c, size_t row, size_t column, double window)
{
	double sum = 0, begin = c->row[row * c->columns], end = fmin(begin + window, c->row[(c->rows - 1) * c->columns]);

	for (size_t i = row; i + 1 < c->rows && c->row[i * c->columns] < end; i++) {
		const double *a = &c->row[i * c->columns], *b = a + c->columns;
		sum += part_of(&(struct inw_piece){a[C_TIME], a[column], b[column]}, b[C_TIME] - a[C_TIME], fmin(end, b[C_TIME]) - a[C_TIME]);
	}
	return end > begin ? sum / (end - begin) : c->row[row * c->columns + column];
}

static const char *why_no_pass(const struct recorder *c, const char *lacking)
{
	return lacking ? "No rate or no value for so short a time is published for some gas, so this cannot be passed."
		: !c->near ? "This is the air of the whole room: close by an open door there is more, so it cannot be passed. With 'at_box: yes' at somebody's stay the air there counts."
		: lost_sight(c) ? lost_sight(c) : more_gets_out(c);
}

/* Somebody stands at the box when its door is opened, whoever the design lists and when. */
static void judge_opener(struct recorder *c, size_t row)
{
	struct inw_values x = {c->s->given, NULL};
	const double window = 15 * 60;
	int room = 1 + c->s->sol.m.box_room;
	double sum = 0;
	bool any = false;

	for (int g = 0; g < c->s->gas.count; g++) {
		double L = short_limit(&c->d->catalog.substance[c->s->gas.substance[g]], &x);
		any |= !isnan(L);
		sum += isnan(L) ? 0 : mean_from(c, row, c->near ? near_column(c, g) : gas_column(c, g, room), window) / L;
	}
	double particles = mean_from(c, row, c->near ? near_column(c, -1) : gas_column(c, -1, room), window);
	const char *why = why_no_pass(c, inw_span_lacks(c->d, INW_LIMIT_WORK_15MIN, &x));
	struct inw_verdict *r = add(c, inw_arena_printf(c->arena, "day_opener[%zu]", ++c->openers),
	                            "Gases met by whoever opens the door so early, next 15 minutes, share of short-term occupational limits", INW_DIM_NONE);
	if (!r)
		return;
	judge(r, any ? sum : NAN, false, 1, why);
	r->limit_source = "mixture rule, 29 CFR 1910.1000(d)(2)(i), each limit the strictest in the catalog";
	r->reason = inw_arena_printf(c->arena, "The door is opened at " INW_N "; particles %s in the mean of these 15 minutes: " INW_N ". %s",
	                             INW_V(INW_DIM_CLOCK, fmod(c->s->clock + c->row[row * c->columns], 86400)),
	                             c->near ? "close by the box" : "in its room",
	                             INW_V(INW_DIM_NUMBER_CONCENTRATION, particles < 1 ? 0 : particles), why ? why : ""); /* under one in a cubic metre: rounding */
	c->failed |= !r->reason;
}

/* ---- the box ---- */

/* Suction while the door is shut, and the longest time that air was pushed out by a gap. */
static void judge_suction(struct recorder *c, const double *t)
{
	double least = INFINITY, at = 0, outward = 0;

	for (size_t i = 0; i < c->rows; i++) {
		const double *v = &c->row[i * c->columns];
		if (v[C_DOOR] > 0 || isnan(v[C_INWARD]))
			continue;
		if (v[C_INWARD] < least)
			least = v[C_INWARD], at = t[i];
		if (v[C_INWARD] < 0 && i + 1 < c->rows) /* a row shows what holds from then on */
			outward += t[i + 1] - t[i];
	}
	inw_q faster = c->d->require.face_velocity;
	if (!isnan(c->sight.face_ms)) {
		struct inw_verdict *f = add(c, "day_face_velocity", "Mean inward air speed over the slowest opening, least while the door is shut", INW_DIM_VELOCITY);
		if (f) {
			judge(f, c->sight.face_ms, true, c->s->given[faster], false);
			f->limit_source = c->d->quantity[faster].source;
		}
		struct inw_verdict *e = add(c, "day_opening_pressure", "Air is pressed inward at every edge of every opening, least while the door is shut", INW_DIM_PRESSURE);
		if (e) {
			judge(e, c->edge_Pa, true, 0, false);
			e->limit_source = "air goes out wherever the pressure inside is higher";
		}
		if (!isfinite(least)) /* a hood without any other gap is judged by its openings alone */
			return;
	}
	struct inw_verdict *r = add(c, "day_inward_pressure", "Air is pressed inward at every gap, all day while the door is shut", INW_DIM_PRESSURE);
	if (!r)
		return;
	judge(r, isfinite(least) ? least : NAN, true, c->s->given[c->d->require.inward_pressure], false);
	r->limit_source = c->d->quantity[c->d->require.inward_pressure].source;
	r->reason = inw_arena_printf(c->arena, "Least at " INW_N " into the day; some gap leaked outward for " INW_N " in all.", INW_V(INW_DIM_TIME, at),
	                             INW_V(INW_DIM_TIME, outward));
	c->failed |= !r->reason;
}

enum clearing { CLEARED, OPENED, NEXT_JOB, STILL_NOT };

static bool gives_off(const struct recorder *c, int job, int gas)
{
	const struct inw_material *m = &c->d->catalog.material[c->d->job[job].material];

	for (size_t i = 0; i < m->gas_count; i++)
		if (gas < 0 || m->gases[i].substance == c->s->gas.substance[gas])
			return true;
	return gas < 0;
}

static const double *row_of(const struct recorder *c, size_t row)
{
	return &c->row[row * c->columns];
}

struct stop { size_t row; int job; double share; }; /* which job ended where, and to what share of it all must fall */

/* What may be left of a gas (-1: particles): a share of what there was when the job that gives it off ended, of the most
 * there ever was when it is left over from another job. */
static double goal_of(const struct recorder *c, const struct stop *stop, int gas)
{
	const double rounding = 1e-14; /* of the most there ever is: less than that is none */
	size_t at = gas_column(c, gas, 0);
	double most = row_of(c, stop->row)[at], ever = 0;

	for (size_t n = 0; n < c->rows; n++) {
		if (n < stop->row && !gives_off(c, stop->job, gas))
			most = fmax(most, row_of(c, n)[at]);
		ever = fmax(ever, row_of(c, n)[at]);
	}
	return fmax(stop->share * most, rounding * ever);
}

/* What the box holds over what may be left in it: the goal, or hardly more than its room has, at one temperature (a warm box
 * has less in a cubic metre of the same air). Hardly: a box that breathes its room's air while that clears is always a little
 * behind it; a tenth more than they breathe already harms nobody who opens it, and is far below what is known of any of it.
 * Ours. */
static double excess(const struct recorder *c, size_t row, int gas, double goal)
{
	const double hardly = 1.1, *v = row_of(c, row), held = v[gas_column(c, gas, 0)];
	int room = c->s->sol.m.box_room;
	double as_room = v[gas_column(c, gas, 1 + room)] * v[warmth_column(c, room)] / v[C_BOX];

	return held > 0 ? held / fmax(fmax(goal, hardly * as_room), 1e-300) : 0;
}

/* How a box clears up to a row, at which it is opened, the next job begins or the run ends. */
struct cleared {
	enum clearing end; size_t row;
	double wait;                           /* s from the stop until all has cleared for good, straight in the logarithm between rows */
	int worst; double excess;              /* what there is most of over what may be left (gas, -1: particles), and how much */
	bool rose;                             /* that had cleared before */
};

static void clear_one(const struct recorder *c, const struct stop *stop, int gas, struct cleared *o)
{
	double goal = goal_of(c, stop, gas), now = excess(c, o->row, gas, goal);
	size_t k = o->row;

	if (now > o->excess) {
		o->worst = gas;
		o->excess = now;
		o->rose = false;
		for (size_t n = stop->row; n < o->row; n++)
			o->rose |= excess(c, n, gas, goal) <= 1;
	}
	while (k > stop->row && excess(c, k - 1, gas, goal) <= 1)
		k--;
	if (now > 1 || k == stop->row)
		return;
	double before = row_of(c, k - 1)[C_TIME], high = log(excess(c, k - 1, gas, goal)), low = log(fmax(excess(c, k, gas, goal), 1e-300));
	double length = row_of(c, k)[C_TIME] - before;
	o->wait = fmax(o->wait, before + (high > low ? high / (high - low) : 1) * length - row_of(c, stop->row)[C_TIME]);
}

/* What goes out by an open door has not been cleared; what has cleared and comes back, with the blower stopped or off a warm
 * part, is there when the door is opened. */
static struct cleared cleared_by(const struct recorder *c, const struct stop *stop, size_t row)
{
	const double *v = row_of(c, row);
	struct cleared o = {.row = row, .end = v[C_RUNNING] > 0 ? NEXT_JOB : v[C_DOOR] > 0 ? OPENED : STILL_NOT, .worst = -1};

	for (int g = -1; g < c->s->gas.count; g++)
		clear_one(c, stop, g, &o);
	if (o.excess <= 1)
		o.end = CLEARED;
	return o;
}

static bool opens_at(const struct recorder *c, size_t row)
{
	return row_of(c, row)[C_DOOR] > 0 && (row == 0 || !(row_of(c, row - 1)[C_DOOR] > 0));
}

/* After a job: up to when the door is first opened, or where nobody opens it up to the next job or the run's end; `opened`: s
 * from the stop until then, NAN. Should it be opened more often, the first time that was too early. */
static struct cleared clears(const struct recorder *c, const struct stop *stop, double *opened)
{
	struct cleared first = {.row = c->rows};
	size_t k = stop->row;

	*opened = NAN;
	for (; k + 1 < c->rows && !(row_of(c, k)[C_RUNNING] > 0); k++) {
		if (!(opens_at(c, k) || (k == stop->row && row_of(c, k)[C_DOOR] > 0)))
			continue;
		struct cleared o = cleared_by(c, stop, k);
		if (first.row < c->rows && o.end == CLEARED)
			continue;
		*opened = row_of(c, k)[C_TIME] - row_of(c, stop->row)[C_TIME];
		first = o;
		if (o.end != CLEARED)
			break;
	}
	return first.row < c->rows ? first : cleared_by(c, stop, k);
}

static const char *name_of(const struct recorder *c, int gas)
{
	return gas < 0 ? "of particles" : inw_arena_printf(c->arena, "%s", c->d->catalog.substance[c->s->gas.substance[gas]].title);
}

static const char *why_not(struct recorder *c, const struct cleared *o)
{
	static const char *const when[] = {[CLEARED] = "", [OPENED] = "When the door is opened", [NEXT_JOB] = "When the next job begins", [STILL_NOT] = "When the run ends"};
	static const char *const then[] = {[CLEARED] = "", [OPENED] = "leave it shut longer.", [NEXT_JOB] = "do not open it between them.",
		[STILL_NOT] = "follow a longer span to see when it clears."};
	const char *what = name_of(c, o->worst);

	return inw_arena_printf(c->arena, "%s, the box holds " INW_N " times as much %s as may be left in it%s%s", when[o->end], INW_V(INW_DIM_NONE, o->excess), what ? what : "",
	                        o->rose ? ". It had cleared before and filled again: a finished part goes on giving off gas, and the blower must run on to take it out." : ": ",
	                        o->rose ? "" : then[o->end]);
}

/* The wait after a job against when the door is opened. */
static void judge_wait(struct recorder *c, struct inw_verdict *r, const struct stop *stop)
{
	double opened;
	struct cleared o = clears(c, stop, &opened);

	r->reason = o.end != CLEARED ? why_not(c, &o)
		: "Until everything the box holds, gas of the warm part included, has fallen for good to the share at which the door may be opened, or to what the room has; a box takes longer than a perfectly mixed one, and that is counted in.";
	c->failed |= !r->reason;
	if (o.end == CLEARED)
		r->value = r->low = r->high = o.wait * c->s->given[c->d->require.mixing];
	if (isnan(opened)) /* nobody opens it: a number to know */
		return;
	r->sense = INW_AT_MOST;
	r->limit = opened;
	r->limit_source = "when the door is opened in this day";
	r->margin = opened - r->value;
	r->word = r->margin >= 0 ? INW_MEETS : INW_MISSES;
	if (r->word == INW_MISSES)
		judge_opener(c, o.row);
}

/* When after each job has what the box holds fallen to the share at which the door may be opened? */
static void judge_purge(struct recorder *c)
{
	size_t n = 0;

	for (size_t i = 1; i < c->rows && n < c->ends; i++) {
		const double *before = &c->row[(i - 1) * c->columns], *now = &c->row[i * c->columns];
		if (!(before[C_RUNNING] > 0 && now[C_RUNNING] == 0))
			continue;
		int job = c->ended[n++];
		struct inw_verdict *r = add(c, inw_arena_printf(c->arena, "day_purge[%zu]", n),
		                            c->d->box.has_door ? "Wait after a job before the door may be opened" : "Time after a job until the box has cleared", INW_DIM_TIME);
		if (!r)
			return;
		judge_wait(c, r, &(struct stop){i, job, c->s->given[c->d->require.purge_fraction]});
		r->where = inw_arena_printf(c->arena, "job %s that ended " INW_N " into the day", c->d->job[job].name, INW_V(INW_DIM_TIME, now[C_TIME]));
		c->failed |= !r->where;
	}
}

/* The chamber while each job ran, and the carbon. Warming up is no fault: the low end of the band counts at the job's end. */
static void judge_heat(struct recorder *c)
{
	for (size_t j = 0; j < c->d->jobs; j++) {
		const struct inw_job *job = &c->d->job[j];
		if (isnan(c->hottest[j]) || job->chamber_low < 0 || job->chamber_high < 0)
			continue;
		struct inw_verdict *r = add(c, inw_arena_printf(c->arena, "day_chamber_hottest[%s]", job->name),
		                            inw_arena_printf(c->arena, "Chamber at its hottest while %s runs", job->name), INW_DIM_TEMPERATURE);
		if (!r)
			return;
		judge(r, c->hottest[j], false, c->s->given[job->chamber_high], false);
		r->limit_source = c->d->quantity[job->chamber_high].source;
		r = add(c, inw_arena_printf(c->arena, "day_chamber_reached[%s]", job->name),
		        inw_arena_printf(c->arena, "Chamber at the end of %s", job->name), INW_DIM_TEMPERATURE);
		if (!r)
			return;
		judge(r, c->last[j], true, c->s->given[job->chamber_low], false);
		r->limit_source = c->d->quantity[job->chamber_low].source;
	}
	inw_q most = c->d->require.bed_T;
	if (isnan(c->bed_K) || most < 0)
		return;
	struct inw_verdict *r = add(c, "day_bed_temperature", "Carbon at its hottest", INW_DIM_TEMPERATURE);
	if (r) {
		judge(r, c->bed_K, false, c->s->given[most], false);
		r->limit_source = c->d->quantity[most].source;
	}
}

/* "saturday at 09:00", of t s since the day's start; NULL when memory is out. */
static char *weekday_and_clock(const struct recorder *c, double t)
{
	return inw_arena_printf(c->arena, "%s at " INW_N, inw_weekday_words[inw_day_weekday(c->d, c->s->given, t)],
	                        INW_V(INW_DIM_CLOCK, fmod(c->s->clock + t, 86400)));
}

/* A day on which nothing runs has judged nothing. */
static void judge_jobs(struct recorder *c)
{
	const struct inw_job *next = NULL;
	double soonest = INFINITY;

	for (size_t j = 0; j < c->d->jobs; j++) {
		double t = inw_day_next_run(c->d, c->s->given, &c->d->job[j], c->s->end);
		if (!isnan(c->hottest[j]))
			return;
		if (t < soonest) {
			soonest = t;
			next = &c->d->job[j];
		}
	}
	struct inw_verdict *r = next ? add(c, "day_jobs", "Jobs that run in this day", INW_DIM_NONE) : NULL;
	if (!r)
		return;
	judge(r, 0, true, 1, false);
	r->word = INW_CANNOT_TELL;
	r->limit_source = "ours: a day without a job judges nothing";
	const char *from = weekday_and_clock(c, 0), *at = weekday_and_clock(c, soonest);
	r->reason = inw_arena_printf(c->arena, "No job runs in the " INW_N " from %s, so nothing is judged here. '%s' begins next on %s: follow that day ('weekday: %s') or a longer span.",
	                             INW_V(INW_DIM_TIME, c->s->end), from ? from : "", next->name, at ? at : "", inw_weekday_words[inw_day_weekday(c->d, c->s->given, 86400 * floor(soonest / 86400))]); /* on which a day begins that has it */
	c->failed |= !from || !at || !r->reason;
}

/* An open door holds nothing, whatever the gaps do. */
static void judge_open_door(struct recorder *c)
{
	double open = 0;

	for (size_t i = 0; i + 1 < c->rows; i++) {
		const double *v = &c->row[i * c->columns];
		if (v[C_DOOR] > 0 && v[C_RUNNING] > 0)
			open += v[c->columns + C_TIME] - v[C_TIME];
	}
	if (!(open > 0))
		return;
	struct inw_verdict *r = add(c, "day_door_running", "Time in which the door stands open while a job runs", INW_DIM_TIME);
	if (!r)
		return;
	judge(r, open, false, 0, false);
	for (size_t i = 0; i < c->rows; i++)
		if (opens_at(c, i) && c->row[i * c->columns + C_RUNNING] > 0)
			judge_opener(c, i);
	r->limit_source = "ours: an open door holds nothing";
	r->reason = "What goes out by the open door is in what people breathe, but in no gap's pull.";
}

static void judge_totals(struct recorder *c)
{
	struct inw_verdict *r = add(c, "day_energy", "Electrical energy of the day", INW_DIM_ENERGY);
	if (r)
		r->value = r->low = r->high = c->s->energy;
	double emitted = 0, kept = 0;
	for (int g = 0; g < c->s->gas.count; g++) {
		emitted += c->s->gas.account[g].emitted;
		kept += c->s->gas.account[g].kept;
	}
	r = add(c, "day_gas_emitted", "Gas given off in the day", INW_DIM_MASS);
	if (r)
		r->value = r->low = r->high = emitted;
	r = add(c, "day_gas_kept", "Gas taken up by the carbon in the day", INW_DIM_MASS);
	if (r)
		r->value = r->low = r->high = kept;
}

static void state(struct recorder *c, const char *id, const char *title, const char *stage, enum inw_dim dim, double value)
{
	struct inw_verdict *r = add(c, inw_arena_printf(c->arena, "%s[%s]", id, stage), inw_arena_printf(c->arena, title, stage), dim);

	if (r)
		r->value = r->low = r->high = value;
}

/* What each medium caught, and its resistance after that: what wears it out over months. */
static void state_media(struct recorder *c)
{
	const struct inw_day_sim *s = c->s;

	for (size_t k = 0; k < c->d->cleaner.stages; k++) {
		const struct inw_stage *g = &c->d->cleaner.stage[k];
		if (g->kind != INW_STAGE_MEDIUM)
			continue;
		state(c, "day_medium_fume", "Particles of the jobs on '%s'", g->name, INW_DIM_MASS, inw_day_fume_kg(s, (int)k));
		state(c, "day_medium_dust", "Dust of the rooms on '%s'", g->name, INW_DIM_MASS, s->dust_kg[k]);
		state(c, "day_medium_ratio", "Resistance of '%s' in the end, over clean", g->name, INW_DIM_NONE, s->given[g->medium.loading] + s->growth[k]);
	}
}

/* The carbon's water and the warmth of its uptake: numbers to know. */
static void judge_carbon(struct recorder *c)
{
	const struct inw_day_beds *b = &c->s->gas.carbon;
	const double matters_K = 3; /* a fifth of the saturation pressure of water: ours */

	if (b->beds == 0 || b->held == 0)
		return;
	struct inw_verdict *r = add(c, "day_bed_water", "Most water in the carbon", INW_DIM_MASS);
	if (r) {
		r->value = r->low = r->high = b->water.most;
		r->reason = inw_arena_printf(c->arena, "It begins with " INW_N ", in balance with the air of its room, and ends with " INW_N ". Water fills pores that gases then lack; what it gives back when it dries is not put into the box's air.",
		                             INW_V(INW_DIM_MASS, b->water.start), INW_V(INW_DIM_MASS, b->water.held));
		if (b->wet_s > 0) {
			r->word = INW_CANNOT_TELL;
			r->reason = inw_arena_printf(c->arena, "For " INW_N " air came to the carbon so damp that water condenses in it. That is not followed: the air counts as 98 %% humid, and wet carbon really holds less gas than here.",
			                             INW_V(INW_DIM_TIME, b->wet_s));
		}
		c->failed |= !r->reason;
	}
	r = add(c, "day_bed_heat", "Carbon warmed or cooled by what it takes up and gives back, at most", INW_DIM_TEMPERATURE_DIFFERENCE);
	if (!r)
		return;
	r->value = r->low = r->high = fmax(b->warmest_K, -b->coldest_K);
	const char *means = r->value <= matters_K ? "Too little to change anything else."
		: -b->coldest_K > b->warmest_K ? "Not counted is that the air which it cools comes back into the box: while the carbon dries the box really warms up later than told here."
		: "Not counted is that the air which it warms comes back into the box: the box is really warmer by that than told here.";
	r->reason = inw_arena_printf(c->arena, "Mostly by water: " INW_N " warmer while it takes some up, " INW_N " colder while it dries. That is counted in what the carbon holds. %s",
	                             INW_V(INW_DIM_TEMPERATURE_DIFFERENCE, b->warmest_K), INW_V(INW_DIM_TEMPERATURE_DIFFERENCE, -b->coldest_K), means);
	c->failed |= !r->reason;
}

/* ---- all of it ---- */

static void add_moment(struct recorder *c, char *what)
{
	c->failed |= !what;
	if (what && c->moments < MAX_MOMENTS)
		c->moment[c->moments++] = (struct inw_moment){c->s->t, what};
}

/* What was on when last looked at; the values of the doings by their place in the design. */
struct seen { int job; bool door; double *value; };

/* The quantity that a doing changes. */
static inw_q changed_by(const struct inw_design *d, const struct inw_doing *a)
{
	switch (a->kind) {
	case INW_DO_FLAP: return d->cleaner.position;
	case INW_DO_WINDOW: return d->doorway[a->doorway].width;
	case INW_DO_HEATER: return d->heat.heater_target;
	case INW_DO_SPEED:
		for (size_t k = 0; k < d->cleaner.stages; k++)
			if (d->cleaner.stage[k].kind == INW_STAGE_BLOWER)
				return d->cleaner.stage[k].blower.speed;
		return INW_NONE;
	case INW_DO_DOOR: break;
	}
	return INW_NONE;
}

static char *say_doing(const struct recorder *c, const struct inw_doing *a, double now)
{
	const char *what = a->kind == INW_DO_FLAP ? "flap" : a->kind == INW_DO_SPEED ? "blower speed" : a->kind == INW_DO_HEATER ? "heater"
	                 : c->d->doorway[a->doorway].name;

	return inw_arena_printf(c->arena, "%s to " INW_N, what, INW_V(c->d->quantity[a->to].dim, now));
}

static void note_doings(struct recorder *c, struct seen *was)
{
	for (size_t i = 0; i < c->d->day.doings; i++) {
		const struct inw_doing *a = &c->d->day.doing[i];
		inw_q q = changed_by(c->d, a);
		if (q < 0)
			continue;
		bool told = false; /* an earlier entry changes the same */
		for (size_t k = 0; k < i && !told; k++)
			told = changed_by(c->d, &c->d->day.doing[k]) == q;
		if (!told && c->s->x[q] != was->value[q])
			add_moment(c, say_doing(c, a, c->s->x[q]));
	}
	memcpy(was->value, c->s->x, sizeof(double) * c->d->quantities);
}

static void note_changes(struct recorder *c, struct seen *was)
{
	const struct inw_day_sim *s = c->s;

	if (was->job != s->job && was->job >= 0) {
		add_moment(c, inw_arena_printf(c->arena, "%s ends", c->d->job[was->job].name));
		if (s->job < 0) /* as many as events: each ends at one */
			c->ended[c->ends++] = was->job;
	}
	if (was->job != s->job && s->job >= 0)
		add_moment(c, inw_arena_printf(c->arena, s->job_began < s->t - 1 && s->t == 0 ? "%s is on already" : "%s begins", c->d->job[s->job].name));
	if (was->door != s->door_open)
		add_moment(c, inw_arena_printf(c->arena, s->door_open ? "door opened" : "door shut"));
	note_doings(c, was);
	was->job = s->job;
	was->door = s->door_open;
}

static double closure(const struct inw_day_sim *s)
{
	double worst = 0;

	for (int i = 0; i < s->gas.count + s->bins; i++) {
		const struct inw_account *a = i < s->gas.count ? &s->gas.account[i] : &s->bin[i - s->gas.count];
		double held = 0;
		for (int z = 0; z <= s->sol.m.rooms; z++)
			held += a->held[z];
		if (a->emitted > 0)
			worst = fmax(worst, fabs(a->emitted - held - a->kept - a->outdoors - a->merged) / fmax(a->emitted, fabs(a->merged)));
	}
	const struct inw_bed_water *w = &s->gas.carbon.water;
	if (w->start + w->in > 0)
		worst = fmax(worst, fabs(w->start + w->in - w->out - w->held) / (w->start + w->in));
	return worst;
}

static int run(struct recorder *c, const struct inw_day_options *o)
{
	struct seen was = {-1, false, inw_arena_alloc(c->arena, sizeof(double) * (c->d->quantities + 1))};
	int more = 1;

	c->carbon = (struct inw_bed_log){.arena = c->arena, .d = c->d, .x = &c->best, .span = c->s->end, .wanted = BED_MOMENTS};
	if (!was.value || name_columns(c) || inw_bed_log_begin(&c->carbon, &c->s->gas.carbon))
		return -1;
	memcpy(was.value, c->s->given, sizeof(double) * c->d->quantities);
	note_changes(c, &was);
	do {
		if (c->rows == MAX_ROWS) {
			c->s->why = "more steps than can be kept: make the span shorter";
			return 2;
		}
		if (record(c))
			return -1;
		more = inw_day_step(c->s);
		note_changes(c, &was);
		if (o && o->progress && c->s->steps % 64 == 0)
			o->progress(o->context, c->s->t / c->s->end);
		if (o && o->stop && c->s->steps % 64 == 0 && o->stop(o->context))
			return 1;
	} while (more > 0);
	return more < 0 ? 2 : 0; /* the last step's end has its row */
}

static const char *const day_notes[] = {
	"A day judges pull, chamber, carbon temperature, what people breathe and the door, at best-estimate inputs. Ranges, gusts, flue draught, flammability, noise and the life of the carbon are in `inward check`.",
	"Air flows are those of the instant; what a warming box pushes out is counted.",
	"The carbon holds no gas when the day begins, and as much water as the air of its room gives it; what it takes up and gives back later is followed through its depth.",
	"Concentrations are what the machine adds since the day's start; the box and the rooms start clean.",
	/* the last: where somebody works at the box */
	"Who works at the box breathes the air of a half sphere about it, into which all goes that leaves the box into its room; how fast the room's air renews it is a rough assumption, and where in it the face is counts for nothing.",
};
/* Why the day begins when it does, where the file leaves that open. */
static const char *begins(struct recorder *c)
{
	const struct inw_day *day = &c->d->day;
	const char *clock = "", *weekday = "";

	if (day->begins == INW_BEGINS_CUT)
		clock = c->s->end >= two_days_s ? "The file does not say when the day begins, and whenever it did, a job would be under way, or somebody there or coming before the next job begins. So two days are followed: the first begins with clean air, the second does not."
		      : "The file does not say when the day begins, and whenever it did, a job would be under way, or somebody there or coming before the next job begins. It begins with clean air all the same: leave out 'span', or make it 2 d.";
	else if (day->begins == INW_BEGINS_WHOLE && c->s->clock > 0)
		clock = inw_arena_printf(c->arena, "The file does not say when the day begins. At " INW_N " nothing runs, and nobody is there before a job begins: nothing that midnight would cut in two is cut.",
		                         INW_V(INW_DIM_CLOCK, c->s->clock));
	if (!day->weekday_said && day->weekday > 0)
		weekday = inw_arena_printf(c->arena, "The file names no weekday: this is a %s, on which %s begin.", inw_weekday_words[day->weekday], c->d->jobs > 1 ? "most jobs" : "jobs");
	const char *s = clock && weekday ? inw_arena_printf(c->arena, "%s%s%s", clock, *clock && *weekday ? " " : "", weekday) : NULL;
	c->failed |= !s;
	return s && *s ? s : NULL;
}

/* What holds of every day, and which jobs are not in this one. */
static void gather_notes(struct recorder *c)
{
	size_t usual = INW_COUNT(day_notes) - (c->near ? 0 : 1), n = 0;
	const char **note = inw_arena_alloc(c->arena, sizeof *note * (usual + c->d->jobs + 1));

	c->failed |= !note;
	for (size_t j = 0; note && j < c->d->jobs; j++) {
		const char *at = isnan(c->hottest[j]) ? weekday_and_clock(c, inw_day_next_run(c->d, c->s->given, &c->d->job[j], c->s->end)) : "";
		if (at && !*at)
			continue;
		note[n] = at ? inw_arena_printf(c->arena, "Not in this run: '%s', which begins next on %s.", c->d->job[j].name, at) : NULL;
		c->failed |= !note[n];
		n += note[n] != NULL;
	}
	for (size_t i = 0; note && i < usual; i++)
		note[n++] = day_notes[i];
	c->r->notes = note;
	c->r->note_count = n;
}

static const char *const day_cautions[] = {
	"Published limits protect most healthy people from the named substances, not everybody from everything.",
	"Check the finished box with smoke at every gap when it is hot: the drawing is not the box.",
};

static enum inw_word worst_word(const struct recorder *c)
{
	enum inw_word word = c->cut ? INW_CANNOT_TELL : INW_MEETS;

	for (size_t i = 0; i < c->verdicts; i++) {
		if (c->verdict[i].word == INW_MISSES)
			return INW_MISSES;
		if (c->verdict[i].word == INW_CANNOT_TELL)
			word = INW_CANNOT_TELL;
	}
	return word;
}

static void *keep(struct recorder *c, const void *from, size_t bytes)
{
	void *to = inw_arena_alloc(c->arena, bytes + 1);

	c->failed |= !to;
	return to ? memcpy(to, from, bytes) : NULL;
}

/* What cannot be told has no number in the series either. */
static void leave_out_rooms(struct recorder *c)
{
	for (size_t i = 0; i < c->rows; i++)
		for (int g = -1; g < c->s->gas.count; g++) {
			for (size_t r = 0; r < c->d->rooms; r++)
				c->row[i * c->columns + gas_column(c, g, 1 + (int)r)] = NAN;
			if (c->near)
				c->row[i * c->columns + near_column(c, g)] = NAN;
		}
}

/* What helps where air was pressed out. */
static void look_for_changes(struct recorder *c, const struct inw_day_options *o)
{
	struct inw_day_mends mends;

	for (size_t i = 0; i < c->verdicts; i++)
		if (c->verdict[i].word == INW_MISSES && strcmp(c->verdict[i].id, "day_inward_pressure") == 0) {
			c->failed |= inw_day_mend(c->d, o, c->verdict, c->verdicts, c->arena, &mends) != 0;
			c->verdict[i].change = mends.change;
		}
}

static void finish(struct recorder *c, const struct inw_day_options *o)
{
	struct inw_day_report *r = c->r;
	double *t = inw_arena_alloc(c->arena, sizeof *t * (c->rows + 1));
	struct inw_piece *v = inw_arena_alloc(c->arena, sizeof *v * 2 * (c->rows + 1)); /* twice: see at_most */

	if (!t || !v) {
		c->failed = true;
		return;
	}
	for (size_t i = 0; i < c->rows; i++)
		t[i] = c->row[i * c->columns];
	judge_jobs(c);
	judge_suction(c, t);
	judge_open_door(c);
	judge_heat(c);
	judge_people(c, v);
	judge_purge(c);
	judge_totals(c);
	judge_carbon(c);
	state_media(c);
	if (c->unset)
		inw_untell(c->verdict, c->verdicts);
	if (o && o->changes)
		look_for_changes(c, o);
	r->more_escapes = lost_sight(c) ? lost_sight(c) : more_gets_out(c);
	if (lost_sight(c))
		leave_out_rooms(c);
	r->title = c->d->title;
	r->file = c->d->file;
	r->overall = worst_word(c);
	r->begins = begins(c);
	r->start_clock_s = c->s->clock;
	r->span_s = c->s->end;
	r->verdicts = keep(c, c->verdict, sizeof *c->verdict * c->verdicts);
	r->verdict_count = c->verdicts;
	r->series = (struct inw_series){c->name, c->dim, c->columns, c->row, c->rows};
	r->moments = keep(c, c->moment, sizeof *c->moment * c->moments);
	r->moment_count = c->moments;
	c->failed |= inw_bed_log_end(&c->carbon, &c->s->gas.carbon, &r->beds, &r->bed_count) != 0;
	gather_notes(c);
	r->cautions = day_cautions;
	r->caution_count = INW_COUNT(day_cautions);
	r->steps = c->s->steps;
	r->matter_closure = closure(c->s);
	r->design = c->d;
}

enum inw_status inw_day(const struct inw_design *d, const struct inw_day_options *options, struct inw_day_report **out, struct inw_diags *diags)
{
	struct inw_arena *arena = inw_arena_new(CEILING);
	struct recorder *c = arena ? inw_arena_alloc(arena, sizeof *c) : NULL;
	struct inw_day_sim *s = arena ? inw_arena_alloc(arena, sizeof *s) : NULL;
	struct inw_day_report *r = arena ? inw_arena_alloc(arena, sizeof *r) : NULL;
	double *given = arena ? inw_arena_alloc(arena, 2 * sizeof *given * (d->quantities + 1)) : NULL;
	enum inw_status status = INW_NO_MEMORY;
	int ended = -1;

	if (!c || !s || !r || !given)
		goto done;
	for (size_t i = 0; i < d->quantities; i++)
		given[i] = d->quantity[i].value;
	*c = (struct recorder){.d = d, .arena = arena, .s = s, .r = r, .edge_Pa = NAN, .sight = {.face_ms = NAN}, .bed_K = NAN, .best = {given, NULL}};
	for (int j = 0; j < INW_MAX_JOBS_SIZED; j++)
		c->hottest[j] = c->last[j] = NAN;
	ended = inw_day_start(s, d, &(struct inw_day_setup){0, options ? options->tolerance : 0}, given, given + d->quantities + 1) ? 2 : 0;
	if (!ended)
		ended = run(c, options);
	if (ended == 1)
		status = INW_IO;
	if (ended == 2) {
		status = INW_NOT_CONVERGED;
		inw_diag_add(diags, INW_ERROR, d->file, 0, 0, "the day stops after %.4g h: %s", s->t / 3600, s->why ? s->why : "no reason is known");
	}
	if (ended == 0) {
		finish(c, options);
		status = c->failed ? INW_NO_MEMORY : INW_OK;
	}
done:
	if (status == INW_OK) {
		r->arena_ = arena;
		*out = r;
		return INW_OK;
	}
	if (status == INW_NO_MEMORY)
		diags->out_of_memory = true;
	inw_arena_free(arena);
	return status;
}

void inw_day_free(struct inw_day_report *r)
{
	if (r)
		inw_arena_free(r->arena_);
}
