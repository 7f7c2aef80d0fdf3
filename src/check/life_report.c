/* SPDX-License-Identifier: MIT */
/* life_report.c: what months on the carbon come to: when it is spent, what it holds and gives back, what a year costs. */
#include <math.h>
#include <string.h>

#include "check/bed_log.h"
#include "check/life.h"
#include "judge/sentence.h"

static const double year_s = 365 * 86400.0;

static struct inw_verdict *add(struct inw_months *l, const char *id, const char *title, enum inw_dim dim, double value)
{
	if (l->verdicts == l->verdict_room) {
		l->failed = true;
		return NULL;
	}
	struct inw_verdict *v = &l->verdict[l->verdicts++];
	*v = (struct inw_verdict){.id = id, .title = title, .state = "over months", .word = INW_STATED, .dim = dim, .sense = INW_NO_LIMIT,
		.value = value, .low = NAN, .high = NAN, .limit = NAN, .limit_high = NAN, .margin = NAN, .limit_source = "no limit applies", .reason = ""};
	return v;
}

/* NULL when the arena is full: then the whole report is given up. */
static const char *said(struct inw_months *l, const char *s)
{
	l->failed |= !s;
	return s ? s : "";
}

/* Not spent within what was looked ahead: at the end of it no more is known. */
static bool outlasts(const struct inw_months *l)
{
	return l->r->spent_s == INFINITY;
}

static const char *why_spent(struct inw_months *l)
{
	const struct inw_books *b = l->books;
	const struct inw_design *d = l->d;

	if (outlasts(l))
		return said(l, inw_arena_printf(l->arena, "Within " INW_N " it is not spent. Carbon ages by itself and by what is in the air of any room: change it yearly whatever it holds (common practice).",
		                                INW_V(INW_DIM_TIME, l->r->horizon_s)));
	const char *who = b->by >= 0 ? d->catalog.substance[l->sim->gas.substance[b->by]].title : d->person[-1 - b->by].name;
	if (b->spent_s <= 0)
		return said(l, inw_arena_printf(l->arena, "%s: %s from the first day on: this bed never does its job.", who, b->why));
	return said(l, inw_arena_printf(l->arena, "%s: %s.", who, b->why));
}

/* A gas that comes off and that plain carbon does not hold, NULL when there is none. */
static const char *not_held(const struct inw_months *l)
{
	const struct inw_gases *gas = &l->sim->gas;

	for (int g = 0; g < gas->count; g++)
		if (gas->carbon.slot[g] < 0 && gas->account[g].emitted > 0)
			return l->d->catalog.substance[gas->substance[g]].title;
	return NULL;
}

/* What was judged as met is not when repeating the air may hide what is lacking; who was never there met nothing, and that is
 * no pass either. */
static void hold_back_person(struct inw_months *l, struct inw_verdict *v, size_t i, const struct inw_breath *breath)
{
	const struct inw_books *b = l->books;

	if (isnan(breath->most)) {
		v->word = INW_STATED;
		v->reason = "Never there while it was followed.";
	} else if (v->word == INW_MEETS && l->air_off > v->margin) {
		v->word = INW_CANNOT_TELL;
		v->reason = said(l, inw_arena_printf(l->arena, "Repeated air differs from that of a full run by up to " INW_N " of a limit, which is more than there is to spare.", INW_V(INW_DIM_FRACTION, l->air_off)));
	} else if (v->word == INW_MISSES && breath->over && !*v->reason) {
		v->reason = "It is over the limit with new carbon already: changing the carbon does not bring it down.";
	} else if (v->word == INW_MISSES && !outlasts(l) && b->by == -1 - (int)i && !*v->reason) {
		v->reason = "It comes over the limit as the carbon is spent: this is what they breathe where it is not changed by then.";
	}
}

/* What somebody breathes, against the limit for one span of time: the worst of all months. */
static void judge_person(struct inw_months *l, size_t i, size_t k)
{
	const struct inw_values x = {l->given, NULL};
	const struct inw_person *p = &l->d->person[i];
	const struct inw_span *span = &inw_spans_of(p)[k];
	const double *by = l->by[p->kind == INW_WORKER][k];
	const struct inw_breath *breath = &l->books->breath[INW_MEANS * i + k];
	double all = fmax(breath->most, breath[INW_SPANS].most); /* passes over NAN: nothing stands in */
	struct inw_met met = {.d = l->d, .x = &x, .sight = &l->sight, .pressed = l->pressed, .weak = l->weak, .beyond = breath->most <= 1 && all > 1,
		.value = all <= 1 ? all : breath->most};

	for (int g = 0; g < l->sim->gas.count; g++)
		met.any |= by[g] > 0;
	if (!inw_met_matters(&met, span->kind))
		return;
	struct inw_verdict *v = add(l, said(l, inw_arena_printf(l->arena, "life_%s[%s]", span->id, p->name)), said(l, inw_arena_printf(l->arena, span->title, p->name)), INW_DIM_NONE, NAN);
	if (!v)
		return;
	l->failed |= inw_met_judge(v, &met, span->kind, l->arena) != 0;
	v->low = v->high = NAN; /* at best estimate */
	hold_back_person(l, v, i, breath);
}

static void judge_people(struct inw_months *l)
{
	for (size_t i = 0; i < l->d->persons; i++)
		for (size_t k = 0; k < INW_SPANS; k++)
			judge_person(l, i, k);
}

/* No pass of what the carbon does, with a reason. */
static void hold_back(struct inw_months *l, const char *why)
{
	for (size_t i = 0; i < l->verdicts; i++) {
		struct inw_verdict *v = &l->verdict[i];
		if ((v->word != INW_MEETS && v->word != INW_IN_DOUBT) || (strcmp(v->id, "life_use") != 0 && strncmp(v->id, "life_air", 8) != 0))
			continue;
		v->word = INW_CANNOT_TELL;
		v->reason = why;
	}
}

/* Where no law of carbon holds, what it says of carbon is no pass. */
static void hold_back_what_no_law_tells(struct inw_months *l)
{
	const struct inw_values x = {l->given, NULL};
	double wet = fmax(l->sim->gas.carbon.wet_s, l->gas->carbon.wet_s);

	if (inw_granules_deep(l->d, &x) < INW_GRANULES_DEEP)
		hold_back(l, inw_shallow_bed);
	if (wet > 0)
		hold_back(l, said(l, inw_arena_printf(l->arena, "For " INW_N " of what was followed air came to the carbon so damp that water condenses in it. That is not followed: wet carbon really holds less gas than here, so this cannot be passed.", INW_V(INW_DIM_TIME, wet))));
}

static void judge_heat(struct inw_months *l)
{
	inw_q most = l->d->require.bed_T;
	double hottest = l->books->hottest_K;

	if (most < 0 || !(hottest > 0))
		return;
	struct inw_verdict *v = add(l, "life_bed_temperature", "Carbon at its hottest", INW_DIM_TEMPERATURE, hottest);
	if (!v)
		return;
	v->sense = INW_AT_MOST;
	v->limit = l->given[most];
	v->margin = v->limit - hottest;
	v->limit_source = l->d->quantity[most].source;
	v->word = v->margin >= 0 ? INW_MEETS : INW_MISSES;
}

static void judge_use(struct inw_months *l)
{
	inw_q least = l->d->require.carbon_life;
	double share = l->running_s / l->period;
	struct inw_verdict *v = add(l, "life_use", "Running time until the carbon lets too much through", INW_DIM_TIME, fmin(l->r->spent_s, l->r->horizon_s) * share);

	if (!v)
		return;
	v->bound = outlasts(l) ? INW_MORE_THAN : INW_EXACTLY;
	v->low = fmin(l->r->spent_low_s, l->r->horizon_s) * share;
	v->high = l->r->spent_high_s * share;
	v->reason = why_spent(l);
	if (least < 0 || inw_all_outdoors(l->d))
		return;
	v->sense = INW_AT_LEAST;
	v->limit = l->given[least];
	v->limit_source = l->d->quantity[least].source;
	v->margin = v->value - v->limit;
	const char *unknown = inw_unpublished(l->d);
	const double too_far = 0.1; /* as far as the published rates of uptake may be off: ours */
	v->word = !(v->margin >= 0) ? INW_MISSES : unknown ? INW_CANNOT_TELL : v->low >= v->limit ? INW_MEETS : INW_IN_DOUBT;
	if (!(v->margin >= 0) && outlasts(l)) { /* not spent, but hardly used: the horizon is what is short */
		v->word = INW_CANNOT_TELL;
		v->reason = "The carbon is not spent when the time looked ahead is over, and by then it has not been used for that long: look further ahead ('upkeep: {horizon: ...}').";
	}
	if (v->word != INW_MISSES && l->shortcut > too_far) {
		v->word = INW_CANNOT_TELL;
		v->reason = said(l, inw_arena_printf(l->arena, "A pattern that is repeated differs from one followed in full by " INW_N " of what is given off, so the months cannot be told. Does the box still warm up, cool down or fill with water from day to day?", INW_V(INW_DIM_FRACTION, l->shortcut)));
	}
	const char *passes = not_held(l);
	if (passes && v->word != INW_MISSES) {
		v->word = INW_CANNOT_TELL;
		v->reason = said(l, inw_arena_printf(l->arena, "This carbon does not hold %s at all: no change of carbon helps there, and this time is that of what it holds.", passes));
	}
	if (v->word == INW_CANNOT_TELL && unknown)
		v->reason = said(l, inw_arena_printf(l->arena, "No rate is published for %s, so this cannot be passed. By what is known: %s", unknown, v->reason));
}

static void judge_calendar(struct inw_months *l)
{
	struct inw_verdict *v = add(l, "life_calendar", "Time by the calendar until the carbon must be changed", INW_DIM_TIME, fmin(l->r->spent_s, l->r->horizon_s));

	if (v) {
		v->bound = outlasts(l) ? INW_MORE_THAN : INW_EXACTLY;
		v->low = fmin(l->r->spent_low_s, l->r->horizon_s);
		v->high = fmin(l->r->spent_high_s, l->r->horizon_s);
		if (!(v->low < v->high))
			v->low = v->high = NAN; /* all of it lies beyond the horizon */
		v->reason = outlasts(l) ? "The time looked ahead; it is not spent by then." : "At best estimate, in the pattern that the design describes.";
	}
}

static double carbon_kg(const struct inw_months *l)
{
	double sum = 0;

	for (size_t k = 0; k < l->d->cleaner.stages; k++)
		if (l->d->cleaner.stage[k].kind == INW_STAGE_BED)
			sum += l->given[l->d->cleaner.stage[k].bed.mass];
	return sum;
}

/* Pieces that are loaded in a year, from clean to what their class is changed at. */
static double media_per_year(const struct inw_months *l)
{
	double sum = 0;

	for (size_t k = 0; k < l->d->cleaner.stages; k++) {
		const struct inw_stage *g = &l->d->cleaner.stage[k];
		if (g->kind == INW_STAGE_MEDIUM && l->given[g->medium.final_ratio] > 1)
			sum += l->growth[k] / (l->given[g->medium.final_ratio] - 1) * year_s / l->period;
	}
	return sum;
}

/* Money per year of those parts whose price is known; says which are not. */
static void judge_cost(struct inw_months *l, const struct inw_verdict *carbon)
{
	const struct inw_upkeep *u = &l->d->upkeep;
	const struct { inw_q price; double amount; const char *what; } part[] = {
		{u->carbon, carbon->value, "carbon"}, {u->electricity, l->energy_J * year_s / l->period, "electricity"},
		{u->heating, l->heating_J * year_s / l->period, "heating"}, {u->medium, media_per_year(l), "the medium"}};
	double sum = 0;
	int priced = 0;
	const char *lacking = "";

	for (size_t i = 0; i < INW_COUNT(part); i++) {
		if (part[i].price >= 0) {
			sum += l->given[part[i].price] * part[i].amount;
			priced++;
		} else if (part[i].amount > 0) {
			lacking = said(l, inw_arena_printf(l->arena, "%s%s%s", lacking, *lacking ? ", " : "", part[i].what));
		}
	}
	struct inw_verdict *v = add(l, "life_cost_year", "Cost per year, in the money of the prices", INW_DIM_NONE, priced ? sum : NAN);
	if (!v)
		return;
	v->bound = u->carbon >= 0 ? carbon->bound : INW_EXACTLY;
	if (*lacking)
		v->reason = said(l, inw_arena_printf(l->arena, "No price is given for %s ('upkeep'): not counted.", lacking));
}

static void judge_year(struct inw_months *l)
{
	double kg = carbon_kg(l), use = fmin(l->r->spent_s, l->r->horizon_s), per_year = use > 0 ? kg * year_s / use : INFINITY;
	struct inw_verdict *v = add(l, "life_carbon_year", "Carbon per year", INW_DIM_MASS, isfinite(per_year) ? per_year : NAN);

	if (!v)
		return;
	v->bound = outlasts(l) ? INW_LESS_THAN : INW_EXACTLY;
	v->low = kg * year_s / fmin(l->r->spent_high_s, l->r->horizon_s);
	v->high = l->r->spent_low_s > 0 ? kg * year_s / fmin(l->r->spent_low_s, l->r->horizon_s) : NAN;
	v->reason = outlasts(l) ? said(l, inw_arena_printf(l->arena, "As if it were changed at the end of what was looked ahead: it is not spent by then. Changed yearly all the same it is " INW_N ".", INW_V(INW_DIM_MASS, kg)))
		: isfinite(per_year) ? "One filling per change." : "It never does its job, so no amount of changing does.";
	add(l, "life_energy_year", "Electrical energy per year", INW_DIM_ENERGY, l->energy_J * year_s / l->period);
	add(l, "life_heating_year", "Heat per year for the room air that is drawn outdoors", INW_DIM_ENERGY, l->heating_J * year_s / l->period);
	judge_cost(l, v);
}

static void judge_shortcut(struct inw_months *l)
{
	struct inw_verdict *v = add(l, "life_shortcut", "Repeating the recorded air against a full run of the last pattern from the same carbon, media as loaded by then", INW_DIM_FRACTION, l->shortcut);

	if (v)
		v->reason = isnan(l->shortcut) ? "The carbon is spent before anything was repeated: all of it is a full run."
			: said(l, inw_arena_printf(l->arena, "Largest difference of any gas, in what the carbon took up and in what it let through, as a share of what the machine gave off in that pattern. It is no sum of what all repetitions are off by. What people breathe differs by up to " INW_N " of a limit, which is counted against what they have to spare.", INW_V(INW_DIM_FRACTION, l->air_off)));
}

static const char *const kind_name[INW_LIMIT_KINDS] = {"work_8h", "work_15min", "work_ceiling", "home_1h", "home_8h", "home_24h", "home_long"};

static int list_gases(struct inw_months *l)
{
	int n = l->sim->gas.count;
	struct inw_life_gas *gas = inw_arena_alloc(l->arena, sizeof *gas * (size_t)(n + 1));
	const struct inw_books *b = l->books;
	const struct inw_life_stretch *s = l->pattern[INW_FINELY].stretch;

	if (!gas)
		return -1;
	for (int g = 0; g < n; g++) {
		const struct inw_substance *sub = &l->d->catalog.substance[l->sim->gas.substance[g]];
		struct inw_life_limit *limits = inw_arena_alloc(l->arena, sizeof *limits * INW_LIMIT_KINDS);
		if (!limits)
			return -1;
		gas[g] = (struct inw_life_gas){.name = sub->name, .title = sub->title, .held = l->sim->gas.carbon.slot[g] >= 0, .on_carbon_kg = b->held[g],
			.back_running_kg = b->back_running[g], .back_idle_kg = b->back_idle[g], .limits = limits};
		for (int i = 0; i < l->pattern[INW_FINELY].count; i++)
			gas[g].given_off_kg += s[i].drive.source[g][0] * s[i].dt;
		memcpy(gas[g].passes_s, b->passes_s[g], sizeof gas[g].passes_s);
		for (int k = 0; k < INW_LIMIT_KINDS && gas[g].held; k++)
			if (!isnan(l->limit[g][k]))
				limits[gas[g].limit_count++] = (struct inw_life_limit){kind_name[k], l->limit[g][k], b->over_s[g][k]};
	}
	l->r->gases = gas;
	l->r->gas_count = (size_t)n;
	return 0;
}

/* What the beds held by depth, as profiles. */
static int list_beds(struct inw_months *l)
{
	const struct inw_day_beds *c = &l->gas->carbon;
	size_t slots = (size_t)inw_day_beds_slots(c), cells = INW_BED_CELLS, n = l->moments;
	struct inw_bed_profile *p = inw_arena_alloc(l->arena, sizeof *p * (size_t)(c->beds + 1));
	double *t = inw_arena_alloc(l->arena, sizeof *t * n), *nothing = inw_arena_alloc(l->arena, sizeof *nothing * (slots + 1));
	const char **name = inw_arena_alloc(l->arena, sizeof *name * (slots + 1));

	if (!p || !t || !nothing || !name)
		return -1;
	for (size_t i = 0; i < n; i++)
		t[i] = l->moment[i].t;
	for (size_t s = 0; s < slots; s++) {
		name[s] = inw_bed_log_name(l->d, c, (int)s);
		nothing[s] = NAN; /* no strongest air is looked for over months */
	}
	for (int k = 0; k < c->beds && slots > 0; k++) {
		const struct inw_stage *stage = &l->d->cleaner.stage[c->bed[k].stage];
		double *loading = inw_arena_alloc(l->arena, sizeof *loading * n * slots * cells), *to = loading;
		if (!loading)
			return -1;
		for (size_t i = 0; i < n; i++)
			for (size_t s = 0; s < slots; s++)
				for (size_t j = 0; j < cells; j++)
					*to++ = l->moment[i].q[k][j * slots + s];
		p[k] = (struct inw_bed_profile){.stage = stage->name, .depth_m = l->given[stage->bed.depth], .carbon_kg = l->given[stage->bed.mass], .cells = cells,
			.substance = name, .substances = slots, .t = t, .times = n, .loading = loading, .full = nothing, .strongest = nothing, .strongest_t = NAN};
	}
	l->r->beds = p;
	l->r->bed_count = slots > 0 ? (size_t)c->beds : 0;
	return 0;
}

/* The media: how long until each has grown to the resistance at which its class is to be changed. */
static void judge_media(struct inw_months *l)
{
	for (size_t k = 0; k < l->d->cleaner.stages; k++) {
		const struct inw_stage *g = &l->d->cleaner.stage[k];
		if (g->kind != INW_STAGE_MEDIUM)
			continue;
		double left = l->given[g->medium.final_ratio] - l->given[g->medium.loading], rate = l->growth[k] / l->period;
		double life = left <= 0 ? 0 : rate > 0 ? left / rate : INFINITY;
		struct inw_verdict *v = add(l, said(l, inw_arena_printf(l->arena, "life_medium[%s]", g->name)),
		                            said(l, inw_arena_printf(l->arena, "Time by the calendar until '%s' is loaded", g->name)), INW_DIM_TIME, fmin(life, l->r->horizon_s));
		if (!v)
			return;
		v->bound = life > l->r->horizon_s ? INW_MORE_THAN : INW_EXACTLY;
		v->reason = said(l, inw_arena_printf(l->arena, "%sIts resistance grows from " INW_N " to " INW_N " times that of the clean medium, by " INW_N " of the clean one a year, from the dust of the rooms and what the jobs give off. Every state that is called loaded in `inward check` is the one it has then.",
		                                     v->bound != INW_EXACTLY ? "Not within the time looked ahead. " : "",
		                                     INW_V(INW_DIM_NONE, l->given[g->medium.loading]), INW_V(INW_DIM_NONE, l->given[g->medium.final_ratio]), INW_V(INW_DIM_FRACTION, rate * year_s)));
	}
}

static const char *const life_notes[] = {
	"One pattern is followed in full; then its air is repeated, and what box, rooms and carbon hold is followed on. Life: best-estimate inputs; its range moves the gases' rates, the carbon's capacity and its rate of uptake each to both ends of its range.",
	"Only the carbon, the media and the gases that people breathe are judged here, at best estimate but for the range above: particles, the pull inward, the chamber and the door are in `inward day`, every range in `inward check`.",
	"The months are followed with the media as they are in the recorded pattern. What they do to the air as they load is in a last pattern that is followed in full with them as they are by then: what people breathe in it counts as well.",
	"The carbon meets only what the machine gives off and water: what a room's own air brings (paint, cooking, traffic) loads it besides. Nothing ages, dries or is ground to dust.",
	"Concentrations are what the machine adds.",
};
static const char *const life_cautions[] = {
	"Spent carbon gives back what it took up: change it out of doors or with the window open, with gloves, and close it in a bag at once.",
	"Carbon that has taken up much solvent can warm by itself; keep it away from heat and sparks, and ask your waste service where it goes.",
	"A calculated life is no alarm: smell, or a meter behind the carbon, comes first.",
};

static enum inw_word worst_word(const struct inw_months *l)
{
	enum inw_word word = INW_STATED; /* when nothing is required of this carbon */

	for (size_t i = 0; i < l->verdicts; i++) {
		enum inw_word now = l->verdict[i].word;
		if (now == INW_MISSES)
			return now;
		if (now == INW_CANNOT_TELL || (now == INW_IN_DOUBT && word != INW_CANNOT_TELL) || (now == INW_MEETS && word == INW_STATED))
			word = now;
	}
	return word;
}

/* Of air that cannot be told no numbers are drawn. */
static void hide_air(struct inw_months *l)
{
	if (!inw_lookout_lost(&l->sight, l->given[l->d->require.face_velocity]))
		return;
	for (size_t i = 0; i < l->rows; i++)
		for (size_t k = l->columns - l->d->persons; k < l->columns; k++)
			l->row[i * l->columns + k] = NAN;
}

void inw_months_finish(struct inw_months *l)
{
	struct inw_life_report *r = l->r;

	judge_use(l);
	judge_people(l);
	hold_back_what_no_law_tells(l);
	judge_heat(l);
	judge_calendar(l);
	judge_media(l);
	if (l->unset)
		inw_untell(l->verdict, l->verdicts);
	judge_year(l);
	judge_shortcut(l);
	hide_air(l);
	if (list_gases(l) || list_beds(l)) {
		l->failed = true;
		return;
	}
	r->title = l->d->title;
	r->file = l->d->file;
	r->overall = worst_word(l);
	r->verdicts = l->verdict;
	r->verdict_count = l->verdicts;
	r->series = (struct inw_series){l->name, l->dim, l->columns, l->row, l->rows};
	r->notes = life_notes;
	r->note_count = INW_COUNT(life_notes);
	r->cautions = life_cautions;
	r->caution_count = INW_COUNT(life_cautions);
	r->design = l->d;
}
