/* SPDX-License-Identifier: MIT */
/* test_life.c: months on the carbon by repetition, held against the same months followed in full; what repetition must keep
 * whatever it is given; and the report. The source is taken in whole, for its static functions.
 */
#include "check/life.c"

#include <stdlib.h>

#include "test/check.h"

/* A small bed that two vapours fill within weeks; the rest, in the places of `%s`: its capacity, the job's weekdays, more
 * sections. */
static const char *const design =
	"inward: 1\ntitle: test\n"
	"site: {outdoor: {temperature: 10 degC, humidity: 60 %%}, pressure: 1013.25 hPa}\n"
	"rooms:\n  - {name: shop, floor: 20 m2, height: 2.5 m, temperature: 20 degC, humidity: 45 %%, air_changes: 1 1/h, leakage: {area: 60 cm2}}\n"
	"people:\n  - {name: maker, as: worker, stays: [{room: shop, from: \"08:00\", to: \"16:00\"}]}\n"
	"box:\n  inside: {width: 500 mm, depth: 500 mm, height: 600 mm}\n"
	"  panels: {all: {resistance: 0.05 m2K/W, emissivity: 0.9, weight: 4 kg/m2, heat: 1000 J/(kg K)}}\n"
	"  gaps: [{name: hole, kind: hole, face: back, height: 50 mm, diameter: 60 mm}]\n"
	"cleaner:\n  inlet: {height: 550 mm, duct: {diameter: 75 mm}}\n"
	"  stages:\n    - carbon: {record: coconut 4x8, diameter: 150 mm, depth: 80 mm, granule: 2 mm, capacity_factor: %s, seal: {length: 0.5 m, width: 0 mm, depth: 5 mm}}\n"
	"    - blower: {curve: [[0 m3/h, 200 Pa], [60 m3/h, 0 Pa]], power: 10 W, motor_in_air: no, speed: 50 %%}\n"
	"  split: {flap: {position: 40 %%, diameter: 75 mm}}\n"
	"  return: {height: 50 mm, duct: {diameter: 75 mm}}\n  exhaust: {to: outdoors, height: 1.35 m, duct: {diameter: 75 mm}}\n"
	"heat: {plate: {width: 250 mm, depth: 250 mm}, hot_end: 60 W, electronics: 20 W}\n"
	"jobs:\n  - {name: job, material: fume, rate: 10 g/h, start: \"09:00\", duration: 8 h, plate: 60 degC, days: [%s]}\n"
	"catalog:\n  materials:\n    fume: {title: fume, process: printing, gases: [{substance: styrene, per: time, value: 30 mg/h (20 mg/h .. 45 mg/h), studies: 1},"
	" {substance: toluene, per: time, value: 20 mg/h (10 mg/h .. 40 mg/h), studies: 1}],"
	" particles: {per: time, value: 1e9 1/min, studies: 1}, particle_diameter: 100 nm, particle_spread: 1.5, burst_gas: 1, burst_particles: 1,"
	" burst_time: 5 min, afterglow: 20 %%, afterglow_time: 30 min}\n"
	"%s";
static const char *const every_day = "mon, tue, wed, thu, fri, sat, sun", *const three_days = "mon, wed, thu";
static const char *const small = "0.1 (0.08 .. 0.12)";


enum { AS_IT_IS = 0, INDOORS = 1, AT_BOX = 2, DUSTY = 4, DAMP = 8, AT_HOME = 16, MUCH = 32 }; /* cleaned air goes to the shop; who is there works at the box; a medium; a shop of damp air; who is there lives there, with MMA and much of it */

/* `text` with `to` in the place of `from`. */
static void change(char *text, size_t size, const char *from, const char *to)
{
	char *at = strstr(text, from), rest[8192];

	CHECK(at != NULL);
	if (!at)
		return;
	snprintf(rest, sizeof rest, "%s", at + strlen(from));
	snprintf(at, size - (size_t)(at - text), "%s%s", to, rest);
}

static struct inw_design *read_changed(unsigned how, const char *capacity, const char *days, const char *more)
{
	struct inw_diags diags = {0};
	struct inw_design *d = NULL;
	char text[8192];

	snprintf(text, sizeof text, design, capacity, days, more);
	if (how & INDOORS)
		change(text, sizeof text, "to: outdoors", "to: shop");
	if (how & AT_BOX)
		change(text, sizeof text, "room: shop, from", "room: shop, at_box: yes, from");
	if (how & DAMP)
		change(text, sizeof text, "humidity: 45 %", "humidity: 99 %");
	if (how & DUSTY)
		change(text, sizeof text, "stages:\n", "stages:\n    - particle: {class: H13, area: 0.25 m2, seal: {length: 0.9 m, width: 0 mm, depth: 8 mm}}\n");
	if (how & AT_HOME) {
		change(text, sizeof text, "as: worker", "as: resident");
		change(text, sizeof text, "styrene, per: time, value: 30 mg/h (20 mg/h .. 45 mg/h)", how & MUCH ? "MMA, per: time, value: 2 g/h" : "MMA, per: time, value: 1 ug/h");
		change(text, sizeof text, "value: 20 mg/h (10 mg/h .. 40 mg/h)", "value: 1 mg/h");
	}
	enum inw_status s = inw_design_parse(text, strlen(text), "life.yaml", NULL, &d, &diags);
	for (size_t i = 0; i < diags.count; i++)
		if (diags.items[i].severity == INW_ERROR)
			printf("# %s\n", diags.items[i].message);
	CHECK(s == INW_OK);
	inw_diags_free(&diags);
	return d;
}

static struct inw_design *read_design(const char *capacity, const char *days, const char *more)
{
	return read_changed(AS_IT_IS, capacity, days, more);
}

/* ---- the same months in full ---- */

struct end { double spent_s, t, held[INW_MAX_GASES], share[INW_MAX_GASES], met[INW_SPANS], growth; int gases; };

static struct end end_of(const struct inw_months *l)
{
	struct end e = {.spent_s = l->books->spent_s, .t = l->books->t, .gases = l->sim->gas.count};

	memcpy(e.held, l->books->held, sizeof e.held);
	memcpy(e.share, l->books->share, sizeof e.share);
	for (int k = 0; k < INW_SPANS; k++)
		e.met[k] = l->books->breath[k].index;
	e.growth = l->sim->growth[0];
	return e;
}

static int begin(struct inw_months *l, const struct inw_design *d, struct inw_life_report *r, double span_s)
{
	memset(l, 0, sizeof *l);
	l->d = d;
	l->r = r;
	l->arena = inw_arena_new(CEILING);
	l->shortcut = NAN;
	if (!l->arena || take_memory(l))
		return -1;
	r->pattern_s = l->period;
	r->horizon_s = l->given[d->upkeep.horizon];
	if (span_s > 0)
		l->given[d->day.span] = span_s;
	if (inw_day_start(l->sim, d, &(struct inw_day_setup){0, 0}, l->given, l->x))
		return -1;
	for (int k = 1; k * day_s < l->sim->end; k++)
		inw_day_stop_at(l->sim, k * day_s);
	inw_books_open(l, l->books, &l->sim->gas);
	find_limits(l);
	keep_moment(l, 0, &l->sim->gas);
	return name_columns(l);
}

/* Until spent, at most `days`: every step of it. */
static struct end in_full(const struct inw_design *d, double days)
{
	static struct inw_months l;
	struct inw_life_report r = {0};
	struct end e = {0};
	int more = 1;

	CHECK(begin(&l, d, &r, days * day_s) == 0);
	while (more > 0 && going_on(&l, l.books))
		more = full_step(&l, l.books, false, l.sim->end);
	CHECK(more >= 0);
	e = end_of(&l);
	inw_arena_free(l.arena);
	return e;
}

/* Until spent or, above 0, to `horizon_s`, by repetition. */
static struct end repeated(const struct inw_design *d, int fineness, double horizon_s, double *off)
{
	static struct inw_months l;
	struct inw_life_report r = {0};
	const struct tweak none = {0, 1, 1, fineness};
	struct end e = {0};

	CHECK(begin(&l, d, &r, 0) == 0);
	if (horizon_s > 0)
		r.horizon_s = horizon_s;
	CHECK(follow_in_full(&l, l.books, false, l.period) == 0);
	l.pattern[INW_FINELY].fresh = l.pattern[INW_ROUGHLY].fresh = true;
	CHECK(follow_in_full(&l, l.books, true, 2 * l.period) == 0);
	inw_gases_copy(l.gas, &l.sim->gas);
	CHECK(repeat(&l, l.books, &none, true) == 0);
	e = end_of(&l);
	*off = closure(&l, l.gas);
	inw_arena_free(l.arena);
	return e;
}

/* The error of repeating. Its own parts: the share is a mean over a pattern, which repetition has once per pass; a pass
 * moves 2 % of what is held or could be, 3 % roughly. */
static void against_full(const char *days, const char *what)
{
	struct inw_design *d = read_design(small, days, "require: {gas_removal: 90 %}\n");
	double off;
	struct end full = in_full(d, 80), fine = repeated(d, INW_FINELY, 0, &off), rough = repeated(d, INW_ROUGHLY, 0, &off);

	printf("# %s: spent after %.3f d in full; %.3f d by repetition, %.3f d roughly\n", what, full.spent_s / day_s, fine.spent_s / day_s, rough.spent_s / day_s);
	CHECK(full.spent_s < 79 * day_s);
	CHECK_REL(fine.spent_s, full.spent_s, 0.02, "every step of it");
	CHECK_REL(rough.spent_s, full.spent_s, 0.05, "every step of it");
	inw_design_free(d);
}

/* To one and the same time: what is held, and what is breathed. */
static void at_one_time(unsigned how, double days)
{
	struct inw_design *d = read_changed(how, small, every_day, "require: {gas_removal: 1 %}\n"); /* never spent by that */
	double off;
	struct end fine = repeated(d, INW_FINELY, days * day_s, &off), full = in_full(d, fine.t / day_s);

	for (int g = 0; g < full.gases; g++) {
		printf("# gas %d after %.0f d: %.6g g in full, %.6g g by repetition; passes %.4g, %.4g\n", g, full.t / day_s, 1e3 * full.held[g], 1e3 * fine.held[g], full.share[g], fine.share[g]);
		CHECK_REL(fine.held[g], full.held[g], 5e-3, "every step of it");
	}
	printf("# 8 h: %.5g in full, %.5g by repetition; 15 min: %.5g, %.5g; peak: %.5g, %.5g\n", full.met[0], fine.met[0], full.met[1], fine.met[1], full.met[2], fine.met[2]);
	for (int k = 0; k < INW_SPANS && (how & INDOORS); k++) {
		CHECK(full.met[k] > 0);
		CHECK_REL(fine.met[k], full.met[k], 0.02, "every step of it");
	}
	CHECK_ABS(fine.t, full.t, 1, "the same time");
	inw_design_free(d);
}

/* Matter is kept through years and passes that stand for many patterns (the issue asks for 1e-8 over a year). */
static void matter(void)
{
	struct inw_design *d = read_design("5", three_days, "require: {gas_removal: 1 %}\n");
	double off = NAN;
	struct end e = repeated(d, INW_ROUGHLY, 365 * day_s, &off);

	printf("# a year: matter off by %.2g, %.4g and %.4g g held\n", off, 1e3 * e.held[0], 1e3 * e.held[1]);
	CHECK(e.t >= 365 * day_s - 1);
	CHECK_ABS(off, 0, 1e-10, "what is given off is found again");
	inw_design_free(d);
}

/* ---- the report ---- */

static const struct inw_verdict *find(const struct inw_life_report *r, const char *id)
{
	for (size_t i = 0; i < r->verdict_count; i++)
		if (strcmp(r->verdicts[i].id, id) == 0)
			return &r->verdicts[i];
	return NULL;
}

static void report(void)
{
	struct inw_design *d = read_design(small, three_days, "require: {gas_removal: 90 %}\nupkeep: {carbon: 20 /kg, electricity: 0.3 /kWh, heating: 0.1 /kWh}\n");
	struct inw_life_report *r = NULL;
	struct inw_diags diags = {0};

	CHECK(inw_life(d, NULL, &r, &diags) == INW_OK);
	if (!r)
		return;
	const struct inw_verdict *use = find(r, "life_use"), *year = find(r, "life_carbon_year"), *energy = find(r, "life_energy_year"),
		*heat = find(r, "life_heating_year"), *cost = find(r, "life_cost_year"), *calendar = find(r, "life_calendar");
	CHECK(use && year && energy && heat && cost && calendar);
	CHECK_ABS(r->pattern_s, 7 * day_s, 0, "not every day is alike");
	CHECK(r->spent_low_s < r->spent_s && r->spent_s < r->spent_high_s);
	printf("# spent after %.2f d, %.2f to %.2f d; a pattern is off by %.2g\n", r->spent_s / day_s, r->spent_low_s / day_s, r->spent_high_s / day_s, r->shortcut_error);
	CHECK(r->shortcut_error < 0.01);
	CHECK_ABS(r->matter_closure, 0, 1e-10, "what is given off is found again");
	/* 3 jobs of 8 h a week; what is spent within the week's first days is so within its jobs */
	CHECK_REL(use->value, r->spent_s * 24 / 168, 1e-6, "24 h of use in 168 h");
	CHECK(use->word == INW_MISSES);
	CHECK_REL(calendar->value, r->spent_s, 1e-12, "itself");
	double kg = d->quantity[d->cleaner.stage[0].bed.mass].value;
	CHECK_REL(year->value, kg * 365 * day_s / r->spent_s, 1e-12, "one filling per change");
	CHECK_REL(cost->value, 20 * year->value + 0.3 / 3.6e6 * energy->value + 0.1 / 3.6e6 * heat->value, 1e-12, "prices times amounts");
	for (size_t g = 0; g < r->gas_count; g++) {
		double rate = g ? 20e-6 / 3600 : 30e-6 / 3600, hours = 8;
		/* burst of 1, so even; the afterglow of 20 % dies away with 30 min */
		CHECK_REL(r->gases[g].given_off_kg, 3 * rate * (hours * 3600 + 0.2 * 1800), 2e-3, "rate times time, and the warm part's tail");
		CHECK(r->gases[g].held && r->gases[g].on_carbon_kg > 0);
		for (size_t i = 0; i < r->series.rows; i++)
			for (size_t c = 1; c < r->series.columns; c++)
				CHECK(!(r->series.value[i * r->series.columns + c] < 0)); /* no rounding is shown as less than nothing */
		/* the more passes, the later */
		const double *at = r->gases[g].passes_s;
		CHECK(!(at[0] > at[1]) && !(at[1] > at[2]));
	}
	CHECK(r->bed_count == 1 && r->beds[0].times > 5);
	CHECK(r->beds[0].t[0] == 0 && fabs(r->beds[0].t[r->beds[0].times - 1] - r->followed_s) < 1);
	inw_life_free(r);
	inw_design_free(d);
	inw_diags_free(&diags);
}

/* What `inward day` says of the same days. */
static struct inw_day_report *day_of(const struct inw_design *d)
{
	struct inw_day_report *r = NULL;
	struct inw_diags diags = {0};

	CHECK(inw_day(d, NULL, &r, &diags) == INW_OK);
	inw_diags_free(&diags);
	return r;
}

static struct inw_life_report *life_of(const struct inw_design *d)
{
	struct inw_life_report *r = NULL;
	struct inw_diags diags = {0};

	CHECK(inw_life(d, NULL, &r, &diags) == INW_OK);
	inw_diags_free(&diags);
	return r;
}

static const struct inw_verdict *find_of_day(const struct inw_day_report *r, const char *id)
{
	for (size_t i = 0; i < r->verdict_count; i++)
		if (strcmp(r->verdicts[i].id, id) == 0)
			return &r->verdicts[i];
	return NULL;
}

static const char *const spans_of_work[INW_SPANS] = {"air_8h", "air_15min", "air_peak"};

/* A job once a week is met on its day, whenever the week begins: as in a day that is a week long. */
static void once_a_week(void)
{
	static const char *const more[] = {"day: {start: \"06:00\", weekday: monday, span: 14 d}\nupkeep: {horizon: 14 d}\n",
		"day: {start: \"06:00\", weekday: tuesday, span: 14 d}\nupkeep: {horizon: 14 d}\n"};

	for (int i = 0; i < 2; i++) {
		struct inw_design *d = read_changed(INDOORS | (i ? AT_BOX : 0), "0.02", "mon", more[i]);
		struct inw_day_report *day = day_of(d);
		struct inw_life_report *life = life_of(d);
		for (int k = 0; k < INW_SPANS; k++) {
			char of_day[64], of_life[64];
			snprintf(of_day, sizeof of_day, "day_%s[maker]", spans_of_work[k]);
			snprintf(of_life, sizeof of_life, "life_%s[maker]", spans_of_work[k]);
			const struct inw_verdict *a = find_of_day(day, of_day), *b = find(life, of_life);
			CHECK(a && b && a->value > 0);
			printf("# once a week, %s: %.5g in a day, %.5g here\n", spans_of_work[k], a ? a->value : NAN, b ? b->value : NAN);
			if (a && b)
				CHECK_REL(b->value, a->value, 5e-3, "a day of two weeks");
			CHECK(a && b && a->word == b->word); /* and for the same reason: nothing cleans this air of particles before the blower */
			CHECK(a && b && a->word == INW_CANNOT_TELL && strcmp(a->reason, b->reason) == 0 && strstr(b->reason, "joints"));
		}
		inw_day_free(day);
		inw_life_free(life);
		inw_design_free(d);
	}
}

/* Methyl methacrylate has no value for an hour, nor for eight, as toluene has: it is held to those for longer, as in a day that is as
 * long. Much of it comes through within a day. */
static void no_value_for_so_short(void)
{
	static const char *const of[] = {"air_1h", "air_home_8h"};

	for (unsigned i = 0; i < 2; i++) {
		struct inw_design *d = read_changed(INDOORS | AT_HOME | (i ? MUCH : 0), "0.02", every_day, "day: {start: \"06:00\", span: 7 d}\nupkeep: {horizon: 7 d}\n");
		struct inw_day_report *day = day_of(d);
		struct inw_life_report *life = life_of(d);
		for (size_t k = 0; k < INW_COUNT(of); k++) {
			char of_day[64], of_life[64];
			snprintf(of_day, sizeof of_day, "day_%s[maker]", of[k]);
			snprintf(of_life, sizeof of_life, "life_%s[maker]", of[k]);
			const struct inw_verdict *a = find_of_day(day, of_day), *b = find(life, of_life);
			printf("# at home, %s: %.5g in a day, %.5g here: %s\n", of[k], a ? a->value : NAN, b ? b->value : NAN, b ? b->reason : "");
			if (a && b && !i)
				CHECK_REL(b->value, a->value, 5e-3, "a day of a week");
			CHECK(a && b && a->word == b->word && strcmp(a->reason, b->reason) == 0);
			CHECK(b && (strstr(b->reason, "Held to their values for longer") != NULL) == i);
		}
		inw_day_free(day);
		inw_life_free(life);
		inw_design_free(d);
	}
}

/* All 8 h limits at work of what comes off, by a factor. */
static void move_limits(struct inw_design *d, double by)
{
	const struct inw_material *m = &d->catalog.material[d->job[0].material];

	for (size_t i = 0; i < m->gas_count; i++) {
		const struct inw_substance *s = &d->catalog.substance[m->gases[i].substance];
		for (size_t k = 0; k < s->limit_count; k++)
			if (s->limits[k].kind == INW_LIMIT_WORK_8H)
				d->quantity[s->limits[k].value].value *= by;
	}
}

/* Over a limit with new carbon, which changing it does not mend; over it when the carbon lets much through, which ends its life. */
static void over(void)
{
	for (int i = 0; i < 2; i++) {
		struct inw_design *d = read_changed(INDOORS, small, every_day, "require: {gas_removal: 1 %}\nupkeep: {horizon: 28 d}\n");
		struct inw_life_report *r = life_of(d);
		double new = r->series.value[r->series.columns - 1], old = r->series.value[r->series.rows * r->series.columns - 1];
		CHECK(old > 3 * new && new > 0);
		move_limits(d, i ? sqrt(new * old) : 0.5 * new);
		inw_life_free(r);
		r = life_of(d);
		const struct inw_verdict *air = find(r, "life_air_8h[maker]"), *use = find(r, "life_use");
		CHECK(air && air->word == INW_MISSES);
		CHECK(use && (strstr(use->reason, "what they breathe comes over its limit") != NULL) == i);
		CHECK((r->spent_s < 20 * day_s) == i);
		inw_life_free(r);
		inw_design_free(d);
	}
}

/* Carbon in which water condenses holds less than is followed here: no pass, as in a day. */
static void damp(void)
{
	for (unsigned i = 0; i < 2; i++) {
		struct inw_design *d = read_changed(i ? DAMP : AS_IT_IS, "5", every_day, "require: {gas_removal: 50 %, carbon_life: 10 h}\nupkeep: {horizon: 7 d}\n");
		struct inw_day_report *day = day_of(d);
		struct inw_life_report *life = life_of(d);
		const struct inw_verdict *water = find_of_day(day, "day_bed_water"), *use = find(life, "life_use");
		CHECK(water && (water->word == INW_CANNOT_TELL) == i);
		CHECK(use && use->word == (i ? INW_CANNOT_TELL : INW_MEETS) && (strstr(use->reason, "condenses") != NULL) == i);
		inw_day_free(day);
		inw_life_free(life);
		inw_design_free(d);
	}
}

/* What a medium is loaded with after weeks is put there in one go; and it is no more than what it is changed at. */
static void loaded(void)
{
	static struct inw_months l;
	struct inw_life_report r = {0};
	struct inw_design *d = read_changed(DUSTY, small, every_day, "require: {gas_removal: 1 %}\n");
	struct end full = in_full(d, 20);

	for (int i = 0; i < 2; i++) {
		CHECK(begin(&l, d, &r, 0) == 0);
		CHECK(follow_in_full(&l, l.books, false, l.period) == 0);
		l.growth[0] = l.sim->growth[0];
		CHECK(follow_in_full(&l, l.books, false, 2 * l.period) == 0);
		l.growth[0] = l.sim->growth[0] - l.growth[0];
		l.books->t = i ? 20 * 365 * day_s : 20 * day_s;
		load_media(&l);
		CHECK(inw_day_step(l.sim) > 0 && inw_day_step(l.sim) > 0);
		printf("# growth of the medium's resistance after 20 d: %.5g in full, %.5g in one go\n", full.growth, l.sim->growth[0]);
		if (!i) /* as it loads less air comes: 20 days are a little less than ten times two */
			CHECK_REL(l.sim->growth[0], full.growth, 0.03, "every step of it");
		else
			CHECK_REL(l.sim->growth[0], l.given[d->cleaner.stage[0].medium.final_ratio] - l.given[d->cleaner.stage[0].medium.loading], 1e-3, "its class");
		inw_arena_free(l.arena);
	}
	inw_design_free(d);
}

/* A stretch as two straight pieces: its integral and its ends are kept, and it leaves their range only where it must. */
static void shapes(void)
{
	struct inw_arena *arena = inw_arena_new(1 << 20);
	static const double all[][3] = {{1, 1, 1}, {0, 2, 3}, {0, 1, 3}, {3, 1, 0}, {3, 2, 0}, {0, 0.9, 1}, {1, 3, 1}, {2, 0.5, 0}, {0, 1.5, 3}};

	for (size_t i = 0; arena && i < INW_COUNT(all); i++) {
		struct inw_breath x = {0};
		const double *v = all[i];
		CHECK(inw_books_shape(arena, &x, 100, v) == 0);
		double sum = 0;
		for (size_t k = 0; k + 1 < x.n; k++) {
			sum += 0.5 * (x.v[k].from + x.v[k].to) * (x.v[k + 1].t - x.v[k].t);
			bool within = v[1] >= fmin(v[0], v[2]) && v[1] <= fmax(v[0], v[2]);
			CHECK(!within || (x.v[k].to >= fmin(v[0], v[2]) && x.v[k].to <= fmax(v[0], v[2])));
		}
		CHECK_REL(sum, 100 * v[1], 1e-12, "mean times time");
		CHECK_ABS(x.v[0].from, v[0], 1e-12, "its beginning");
		CHECK_ABS(x.v[x.n - 2].to, v[2], 1e-12, "its end");
		CHECK_REL(x.v[x.n - 1].t, 100, 1e-12, "its length");
	}
	inw_arena_free(arena);
}

/* Where an opening is too slow to hold against draughts nobody's air can be told, as little as in a day or in a check. */
static void slow_opening(void)
{
	struct inw_design *d = read_design(small, every_day, "upkeep: {horizon: 30 d}\n");
	struct inw_life_report *r[2] = {NULL, NULL};
	struct inw_diags diags = {0};

	CHECK(inw_life(d, NULL, &r[0], &diags) == INW_OK);
	d->box.gap[0].kind = INW_GAP_OPENING; /* of the hole's quarter turned: 60 mm square, which draws far less than 0.4 m/s */
	d->box.gap[0].opening_width = d->box.gap[0].rise = d->box.gap[0].diameter;
	d->quantity[d->require.face_velocity].value = 5;
	CHECK(inw_life(d, NULL, &r[1], &diags) == INW_OK);
	for (int i = 0; i < 2; i++) {
		const struct inw_verdict *air = r[i] ? find(r[i], "life_air_8h[maker]") : NULL;
		CHECK(air && air->word == INW_CANNOT_TELL && strstr(air->reason, i ? "draughts" : "joints") && isnan(air->value)); /* next to nothing, at a gap pulled too weakly: no number */
		CHECK(air && isnan(r[i]->series.value[r[i]->series.columns - 1]) == (i == 1)); /* no picture of it either */
		inw_life_free(r[i]);
	}
	inw_design_free(d);
	inw_diags_free(&diags);
}

static bool now(void *context)
{
	(void)context;
	return true;
}

/* Told to stop, without carbon, with nothing that fills it. */
static void ways_out(void)
{
	struct inw_design *d = read_design(small, every_day, "");
	struct inw_life_report *r = NULL;
	struct inw_diags diags = {0};
	const struct inw_day_options stop = {.stop = now};

	CHECK(inw_life(d, &stop, &r, &diags) == INW_IO);
	CHECK(!r);
	inw_design_free(d);
	inw_diags_free(&diags);
}

/* Only some weekdays: which, by the calendar. The run starts on a Monday. */
static void weekdays(void)
{
	struct inw_design *d = read_design(small, three_days, "day: {start: \"06:00\", weekday: sunday, span: 8 d}\n");
	static struct inw_day_sim s;
	double *x = malloc(2 * sizeof *x * (d->quantities + 1)), began[8];
	int n = 0, job = -1;

	for (size_t i = 0; i < d->quantities; i++)
		x[i] = d->quantity[i].value;
	CHECK(inw_day_start(&s, d, NULL, x, x + d->quantities + 1) == 0);
	while (inw_day_step(&s) > 0) {
		if (s.job >= 0 && job < 0 && n < 8)
			began[n++] = s.t;
		job = s.job;
	}
	/* from Sunday 06:00: Monday 09:00 is 27 h later, Wednesday 75 h, Thursday 99 h, the next Monday 195 h is out */
	const double want[] = {27, 75, 99};
	CHECK(n == 3);
	for (int i = 0; i < n && i < 3; i++)
		CHECK_ABS(began[i] / 3600, want[i], 1e-6, "the calendar");
	free(x);
	inw_design_free(d);
}

int main(void)
{
	weekdays();
	against_full(every_day, "every day");
	against_full(three_days, "three days of seven");
	shapes();
	at_one_time(AS_IT_IS, 28);
	at_one_time(INDOORS, 18);
	at_one_time(INDOORS | AT_BOX, 18);
	once_a_week();
	no_value_for_so_short();
	over();
	damp();
	loaded();
	matter();
	report();
	slow_opening();
	ways_out();
	return check_done();
}
