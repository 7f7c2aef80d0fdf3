/* SPDX-License-Identifier: MIT */
/* text.c: the report for a person at a terminal. The answer first, then what supports it, cautions last. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/lines.h"

static void title(struct inw_page *p, const char *head, const char *name)
{
	inw_text_add(&p->t, "\n");
	inw_show__wrapf(p, "", 2, "%s%s", head, name ? name : "");
	inw_text_add(&p->t, "----------------------------------------------------------------\n");
}

static bool same(const char *a, const char *b)
{
	return strcmp(a ? a : "", b ? b : "") == 0;
}

static size_t count_word(const struct inw_report *r, const char *job, bool every_job, enum inw_word word)
{
	size_t n = 0;
	for (size_t i = 0; i < r->verdict_count; i++)
		n += r->verdicts[i].word == word && (every_job || same(r->verdicts[i].job, job));
	return n;
}

/* ---- one verdict as sentences ------------------------------------------------------------------------------------ */

static void limit_words(char *out, size_t size, const struct inw_verdict *v, enum inw_units units)
{
	char low[INW_CELL], high[INW_CELL];
	inw_show__number(low, sizeof low, v->limit, v->dim, units);
	inw_show__number(high, sizeof high, v->limit_high, v->dim, units);
	if (v->sense != INW_NO_LIMIT && isnan(v->limit)) {
		snprintf(out, size, "the limit is not known");
		return;
	}
	switch (v->sense) {
	case INW_AT_LEAST: snprintf(out, size, "wanted: at least %s", low); return;
	case INW_AT_MOST: snprintf(out, size, "allowed: at most %s", low); return;
	case INW_WITHIN: snprintf(out, size, "wanted: from %s to %s", low, high); return;
	case INW_NO_LIMIT: break;
	}
	snprintf(out, size, "no limit applies");
}

static void margin_words(char *out, size_t size, const struct inw_verdict *v, enum inw_units units)
{
	char number[INW_CELL];
	*out = '\0';
	if (v->sense == INW_NO_LIMIT || !isfinite(v->margin))
		return;
	inw_show__number(number, sizeof number, fabs(v->margin), inw_show__difference_dim(v->dim), units);
	snprintf(out, size, v->margin < 0 ? "; off by %s" : "; %s to spare", number);
}

/* Would the verdict be met at the good (or bad) end of its range? */
static bool met_at(const struct inw_verdict *v, bool good_end)
{
	if (v->sense == INW_AT_LEAST)
		return (good_end ? v->high : v->low) >= v->limit;
	if (v->sense == INW_AT_MOST)
		return (good_end ? v->low : v->high) <= v->limit;
	return false;
}

static const char *sureness(const struct inw_verdict *v)
{
	if (v->word == INW_CANNOT_TELL)
		return "it cannot be told";
	if (!isfinite(v->value) && isnan(v->low))
		return "there is no number";
	if (v->assumed == 0 && !(v->low < v->high))
		return "nothing that was assumed moves this number";
	if (v->word == INW_MEETS)
		return "it holds over the whole range of what was assumed";
	if (v->word == INW_IN_DOUBT)
		return "it holds at the best estimate and fails at the bad end of the range";
	if (v->word == INW_MISSES && (v->sense == INW_AT_LEAST || v->sense == INW_AT_MOST))
		return met_at(v, true) ? "it would be met only at the good end of what was assumed"
		                       : "it is missed over the whole range of what was assumed";
	return "the range follows from what was assumed";
}

/* Below this an input is not worth a reader's line. */
static const double least_share = 0.02;

static void blame_words(struct inw_text *line, const struct inw_verdict *v)
{
	if (!v->assumed && !v->blames)
		return;
	inw_text_printf(line, "; %zu assumed %s it", v->assumed, v->assumed == 1 ? "input moves" : "inputs move");
	for (size_t i = 0; i < v->blames && i < INW_MAX_BLAME; i++)
		if (i == 0 || v->blame[i].share >= least_share)
			inw_text_printf(line, "%s %s (%.0f %% of the range)", i ? "," : ", most of all", v->blame[i].path,
			                100 * v->blame[i].share);
}

static void how_sure(struct inw_page *p, const struct inw_verdict *v, enum inw_units units)
{
	char range[2 * INW_CELL + 8];
	struct inw_text line = {0};
	const double ends[2] = {v->low, v->high};
	inw_text_add(&line, sureness(v));
	if (v->low < v->high)
		inw_text_printf(&line, v->word == INW_CANNOT_TELL ? "; what is known spans %s" : ": %s",
		                inw_show__range(range, sizeof range, ends, v->dim, units));
	blame_words(&line, v);
	inw_text_add(&line, ".");
	if (line.failed)
		p->t.failed = 1;
	else
		inw_show__wrap(p, "    How sure: ", 6, line.s);
	inw_text_free(&line);
}

static void optional(struct inw_page *p, const char *head, const char *text)
{
	if (text && *text)
		inw_show__wrap(p, head, 6, text);
}

static void show_verdict(struct inw_page *p, const struct inw_verdict *v, enum inw_units units)
{
	char value[INW_CELL], limit[3 * INW_CELL], margin[2 * INW_CELL];
	inw_show__number(value, sizeof value, v->value, v->dim, units);
	limit_words(limit, sizeof limit, v, units);
	margin_words(margin, sizeof margin, v, units);
	inw_show__wrapf(p, "  * ", 4, "%s (%s)", v->title, v->id);
	inw_show__wrapf(p, "    ", 6, "%s; %s%s", value, limit, margin);
	how_sure(p, v, units);
	if (v->where || v->state)
		inw_show__wrapf(p, "    Where: ", 6, "%s%s%s%s%s", v->where ? v->where : "", v->where && v->state ? ", " : "",
		                v->state ? "in the state '" : "", v->state ? v->state : "", v->state ? "'" : "");
	optional(p, "    Why: ", v->reason);
	optional(p, "    Change: ", v->change);
	if (p->detail == INW_BRIEF)
		return;
	optional(p, "    Limit from: ", v->sense == INW_NO_LIMIT ? NULL : v->limit_source);
	optional(p, "    Caution: ", v->caution);
}

/* What is met, and what is only stated, in a line. */
static void show_in_brief(struct inw_page *p, const struct inw_verdict *v, enum inw_units units)
{
	char value[INW_CELL], limit[3 * INW_CELL], margin[2 * INW_CELL];
	inw_show__number(value, sizeof value, v->value, v->dim, units);
	limit_words(limit, sizeof limit, v, units);
	margin_words(margin, sizeof margin, v, units);
	inw_show__wrapf(p, "  * ", 4, "%s: %s%s%s%s", v->title, value, v->sense == INW_NO_LIMIT ? "" : "; ",
	                v->sense == INW_NO_LIMIT ? "" : limit, margin);
}

/* ---- the summary ------------------------------------------------------------------------------------------------- */

/* The first verdict of the worst word: within one word the judge's order is the order of importance. */
static const struct inw_verdict *worst(const struct inw_report *r)
{
	const struct inw_verdict *w = NULL;
	for (size_t i = 0; i < r->verdict_count; i++) {
		const struct inw_verdict *v = &r->verdicts[i];
		if (inw_show__word_rank(v->word) < inw_show__word_rank(INW_MEETS) &&
		    (!w || inw_show__word_rank(v->word) < inw_show__word_rank(w->word)))
			w = v;
	}
	return w;
}

/* Among what is met: the one with the least to spare, relative to its limit. */
static const struct inw_verdict *closest(const struct inw_report *r)
{
	const struct inw_verdict *c = NULL;
	double least = INFINITY;
	for (size_t i = 0; i < r->verdict_count; i++) {
		const struct inw_verdict *v = &r->verdicts[i];
		/* a removal near one is judged by what is left: from 99 % to 99.9 % is a long way */
		bool share = v->dim == INW_DIM_FRACTION && v->sense == INW_AT_LEAST && v->limit > 0.5 && v->limit < 1;
		double spare = share ? fabs(v->margin) / (1 - v->limit) : fabs(v->margin) / fmax(fabs(v->limit), fabs(v->value));
		if (v->word == INW_MEETS && v->sense != INW_NO_LIMIT && spare < least) {
			least = spare;
			c = v;
		}
	}
	return c;
}

static const char *first_change(const struct inw_report *r, const struct inw_verdict *w)
{
	if (w && w->change)
		return w->change;
	for (int rank = 0; rank < inw_show__word_rank(INW_MEETS); rank++)
		for (size_t i = 0; i < r->verdict_count; i++)
			if (inw_show__word_rank(r->verdicts[i].word) == rank && r->verdicts[i].change)
				return r->verdicts[i].change;
	return NULL;
}

static void count_words(struct inw_page *p, const struct inw_report *r)
{
	size_t of[4] = {count_word(r, NULL, true, INW_MISSES), count_word(r, NULL, true, INW_IN_DOUBT),
	                count_word(r, NULL, true, INW_CANNOT_TELL), count_word(r, NULL, true, INW_MEETS)};
	size_t all = of[0] + of[1] + of[2] + of[3];
	const char *overall = r->overall == INW_MEETS      ? "MEETS every requirement"
	                      : r->overall == INW_MISSES   ? "MISSES what is required"
	                      : r->overall == INW_IN_DOUBT ? "IN DOUBT"
	                      : r->overall == INW_STATED   ? "STATED: no requirement applies"
	                                                   : "CANNOT TELL";
	inw_show__wrapf(p, "Verdict: ", 9, "%s. Of %zu checks: %zu met, %zu missed, %zu in doubt, %zu cannot be told.",
	                overall, all, of[3], of[0], of[1], of[2]);
}

static void summary(struct inw_page *p, const struct inw_report *r, enum inw_units units)
{
	const struct inw_verdict *w = worst(r), *c = closest(r);
	const char *change = first_change(r, w);
	char value[INW_CELL], limit[3 * INW_CELL];
	const struct inw_verdict *v = w ? w : c;
	count_words(p, r);
	if (v) {
		inw_show__number(value, sizeof value, v->value, v->dim, units);
		limit_words(limit, sizeof limit, v, units);
		inw_show__wrapf(p, w ? "Worst: " : "Closest call: ", 9, "%s: %s (%s)%s%s%s%s", v->title, value, limit,
		                v->where ? ", " : "", v->where ? v->where : "", v->job ? ", job " : "", v->job ? v->job : "");
	} else {
		inw_show__wrap(p, "Worst: ", 9, "nothing was checked against a limit.");
	}
	if (change)
		inw_show__wrap(p, "Change first: ", 9, change);
	else
		inw_show__wrap(p, "Change first: ", 9,
		               w ? "nothing could be worked out; see the reasons below." : "nothing needs it.");
}

/* ---- verdicts of a job ------------------------------------------------------------------------------------------- */

static const enum inw_word order[] = {INW_MISSES, INW_IN_DOUBT, INW_CANNOT_TELL, INW_MEETS, INW_STATED};

static const char *group_name(enum inw_word word)
{
	switch (word) {
	case INW_MISSES: return "MISSES";
	case INW_IN_DOUBT: return "IN DOUBT";
	case INW_CANNOT_TELL: return "CANNOT TELL";
	case INW_MEETS: return "MEETS";
	case INW_STATED: return "STATED";
	}
	return "CANNOT TELL";
}

static void show_group(struct inw_page *p, const struct inw_report *r, const char *job, enum inw_word word,
                       enum inw_units units)
{
	size_t n = count_word(r, job, false, word);
	if (!n)
		return;
	inw_text_add(&p->t, "\n");
	inw_show__wrapf(p, "", 2, "%s (%zu): %s", group_name(word), n, inw_show__word_meaning(word));
	bool brief = p->detail == INW_BRIEF && (word == INW_MEETS || word == INW_STATED);
	for (size_t i = 0; i < r->verdict_count; i++)
		if (r->verdicts[i].word == word && same(r->verdicts[i].job, job))
			(brief ? show_in_brief : show_verdict)(p, &r->verdicts[i], units);
}

/* ---- the solved state -------------------------------------------------------------------------------------------- */

struct state_context {
	const struct inw_state_view *s;
	enum inw_units units;
};

static const char *gap_name(const void *context, size_t row)
{
	const struct state_context *c = context;
	return c->s->gaps[row].name;
}

static void gap_cell(const void *context, size_t row, size_t column, char out[INW_CELL])
{
	const struct state_context *c = context;
	const struct inw_gap_view *g = &c->s->gaps[row];
	const double value[] = {g->height, g->dp_bottom_Pa, g->dp_top_Pa, g->in_m3s, g->out_m3s, g->velocity_ms};
	static const enum inw_dim dim[] = {INW_DIM_LENGTH,      INW_DIM_PRESSURE,    INW_DIM_PRESSURE,
	                                   INW_DIM_VOLUME_FLOW, INW_DIM_VOLUME_FLOW, INW_DIM_VELOCITY};
	inw_show__number(out, INW_CELL, value[column], dim[column], c->units);
}

static const char *stage_name(const void *context, size_t row)
{
	const struct state_context *c = context;
	return c->s->stages[row].name;
}

static void stage_cell(const void *context, size_t row, size_t column, char out[INW_CELL])
{
	const struct state_context *c = context;
	const struct inw_stage_view *s = &c->s->stages[row];
	bool blower = s->kind == INW_STAGE_BLOWER;
	char number[INW_CELL];
	switch (column) {
	case 0:
		inw_show__number(number, sizeof number, s->dp_Pa, INW_DIM_PRESSURE, c->units);
		snprintf(out, INW_CELL, "%s%.40s", blower ? "adds " : "takes ", number);
		return;
	case 1: inw_show__number(out, INW_CELL, s->flow_m3s, INW_DIM_VOLUME_FLOW, c->units); return;
	case 2: inw_show__number(out, INW_CELL, s->T_K, INW_DIM_TEMPERATURE, c->units); return;
	case 3:
		if (blower)
			snprintf(out, INW_CELL, "-");
		else
			inw_show__number(out, INW_CELL, s->bypass_m3s, INW_DIM_VOLUME_FLOW, c->units);
		return;
	default:
		if (blower)
			snprintf(out, INW_CELL, "-");
		else
			inw_show__number(out, INW_CELL, s->face_velocity_ms, INW_DIM_VELOCITY, c->units);
	}
}

static const char *room_name(const void *context, size_t row)
{
	const struct state_context *c = context;
	return c->s->rooms[row].name;
}

static void room_cell(const void *context, size_t row, size_t column, char out[INW_CELL])
{
	const struct state_context *c = context;
	const struct inw_room_view *r = &c->s->rooms[row];
	const double value[] = {r->T_K, r->p_Pa, r->heater_W, r->particles_m3};
	static const enum inw_dim dim[] = {INW_DIM_TEMPERATURE, INW_DIM_PRESSURE, INW_DIM_POWER,
	                                   INW_DIM_NUMBER_CONCENTRATION};
	inw_show__number(out, INW_CELL, value[column], dim[column], c->units);
}

static const char *panel_name(const void *context, size_t row)
{
	const struct state_context *c = context;
	return c->s->panels[row].face;
}

static void panel_cell(const void *context, size_t row, size_t column, char out[INW_CELL])
{
	const struct state_context *c = context;
	const struct inw_panel_view *p = &c->s->panels[row];
	const double value[] = {p->T_in_K, p->T_out_K, p->loss_W, p->area_m2};
	static const enum inw_dim dim[] = {INW_DIM_TEMPERATURE, INW_DIM_TEMPERATURE, INW_DIM_POWER, INW_DIM_AREA};
	inw_show__number(out, INW_CELL, value[column], dim[column], c->units);
}

static void show_tables(struct inw_page *p, const struct state_context *c)
{
	static const char *const gap_head[] = {"Gap",    "height",  "inward below", "at its top",
	                                       "air in", "air out", "speed in"};
	static const char *const stage_head[] = {"Cleaner stage", "pressure", "flow", "air at", "past the seal", "speed"};
	static const char *const room_head[] = {"Room", "air at", "against outdoors", "heating", "particles"};
	static const char *const panel_head[] = {"Panel", "inside", "outside", "heat lost", "area"};
	const struct inw_table gaps = {c, gap_head, c->s->gap_count, 6, gap_name, gap_cell};
	const struct inw_table stages = {c, stage_head, c->s->stage_count, 5, stage_name, stage_cell};
	const struct inw_table rooms = {c, room_head, c->s->room_count, 4, room_name, room_cell};
	const struct inw_table panels = {c, panel_head, c->s->panel_count, 4, panel_name, panel_cell};
	const struct inw_table *const all[] = {&gaps, &stages, &rooms, &panels};
	for (size_t i = 0; i < INW_COUNT(all); i++) {
		if (all[i]->rows)
			inw_text_add(&p->t, "\n");
		inw_show__table(p, all[i], 2);
	}
}

static void number_line(struct inw_page *p, const char *name, double value, enum inw_dim dim, enum inw_units units)
{
	char number[INW_CELL];
	if (isnan(value))
		return; /* a flap or a neutral plane that does not exist is not missing data */
	inw_show__number(number, sizeof number, value, dim, units);
	inw_text_printf(&p->t, "  %-52s %20s\n", name, number);
}

static void show_numbers(struct inw_page *p, const struct inw_state_view *s, enum inw_units u)
{
	const struct {
		const char *name;
		double value;
		enum inw_dim dim;
	} line[] = {
		{"Air in the box", s->box_T_K, INW_DIM_TEMPERATURE},
		{"Pressure at the box floor against the room", s->box_p_Pa, INW_DIM_PRESSURE},
		{"Height above which air pushes out (neutral plane)", s->neutral_height_m, INW_DIM_LENGTH},
		{"Flow through the cleaner", s->cleaner_m3s, INW_DIM_VOLUME_FLOW},
		{"  of which back into the box", s->return_m3s, INW_DIM_VOLUME_FLOW},
		{"  of which sent out", s->exhaust_m3s, INW_DIM_VOLUME_FLOW},
		{"Air drawn in through the gaps", s->leak_in_m3s, INW_DIM_VOLUME_FLOW},
		{"Air pushed out through the gaps", s->leak_out_m3s, INW_DIM_VOLUME_FLOW},
		{"Air returned at", s->return_T_K, INW_DIM_TEMPERATURE},
		{"Air sent out at", s->exhaust_T_K, INW_DIM_TEMPERATURE},
		{"  at the far end of its duct", s->exhaust_end_T_K, INW_DIM_TEMPERATURE},
		{"Power of the hot plate", s->plate_W, INW_DIM_POWER},
		{"Heat lost through the panels", s->panels_W, INW_DIM_POWER},
		{"Flap: share of its way towards sending all out", s->flap_position, INW_DIM_FRACTION},
		{"Blower speed, share of its rated speed", s->blower_speed, INW_DIM_FRACTION},
		{"Blower works at", s->operating_flow_m3s, INW_DIM_VOLUME_FLOW},
		{"  against", s->operating_rise_Pa, INW_DIM_PRESSURE},
	};
	for (size_t i = 0; i < INW_COUNT(line); i++)
		number_line(p, line[i].name, line[i].value, line[i].dim, u);
}

static void show_state(struct inw_page *p, const struct inw_state_view *s, enum inw_units units)
{
	const struct state_context c = {s, units};
	inw_text_add(&p->t, "\n");
	inw_show__wrapf(p, "", 2, "State '%s' of job '%s'", s->state ? s->state : "", s->job ? s->job : "");
	if (s->converged)
		inw_show__wrapf(p, "  ", 2, "Solved in %d steps; air balances to %.0e, heat to %.0e of the largest flow.",
		                s->iterations, s->mass_residual, s->energy_residual);
	else
		inw_show__wrap(p, "  ", 2, "NOT SOLVED: the numbers below are not an answer.");
	show_numbers(p, s, units);
	show_tables(p, &c);
	if (s->gap_count)
		inw_show__wrap(
			p, "  ", 2,
			"Inward below and at its top: pressure that drives air in at the lower and upper edge of the gap; "
			"a minus sign means that it drives air OUT.");
}

/* ---- the other states of a job, side by side --------------------------------------------------------------------- */

struct job_context {
	const struct inw_report *r;
	const char *job;
	enum inw_units units;
};

/* The nth state of the job, the first (which is shown in full) not counted; NULL beyond the last. */
static const struct inw_state_view *other_state(const struct job_context *c, size_t nth)
{
	bool first = true;
	for (size_t i = 0; i < c->r->state_count; i++) {
		if (!same(c->r->states[i].job, c->job))
			continue;
		if (!first && nth-- == 0)
			return &c->r->states[i];
		first = false;
	}
	return NULL;
}

static const char *state_name(const void *context, size_t row)
{
	const struct inw_state_view *s = other_state(context, row);
	return s->state ? s->state : "";
}

static void state_cell(const void *context, size_t row, size_t column, char out[INW_CELL])
{
	const struct job_context *c = context;
	const struct inw_state_view *s = other_state(c, row);
	const double value[] = {s->box_T_K, s->box_p_Pa, s->cleaner_m3s, s->leak_out_m3s};
	static const enum inw_dim dim[] = {INW_DIM_TEMPERATURE, INW_DIM_PRESSURE, INW_DIM_VOLUME_FLOW, INW_DIM_VOLUME_FLOW};
	if (column == 0)
		snprintf(out, INW_CELL, "%s", s->converged ? "yes" : "NO");
	else
		inw_show__number(out, INW_CELL, value[column - 1], dim[column - 1], c->units);
}

static void show_other_states(struct inw_page *p, const struct job_context *c)
{
	static const char *const head[] = {"Other states", "solved", "box air", "at its floor", "cleaned", "leaks out"};
	struct inw_table table = {c, head, 0, 5, state_name, state_cell};
	while (other_state(c, table.rows))
		table.rows++;
	if (table.rows)
		inw_text_add(&p->t, "\n");
	inw_show__table(p, &table, 2);
}

static void show_job(struct inw_page *p, const struct inw_report *r, const char *job, enum inw_units units)
{
	title(p, job ? "Job: " : "All jobs", job);
	for (size_t i = 0; i < INW_COUNT(order); i++)
		show_group(p, r, job, order[i], units);
	const struct job_context c = {r, job, units};
	for (size_t i = 0; i < r->state_count; i++)
		if (same(r->states[i].job, job)) {
			show_state(p, &r->states[i], units);
			show_other_states(p, &c);
			break;
		}
}

/* Jobs in the order in which verdicts, then states, first name them. */
static const char *job_at(const struct inw_report *r, size_t i)
{
	return i < r->verdict_count ? r->verdicts[i].job : r->states[i - r->verdict_count].job;
}

static void show_jobs(struct inw_page *p, const struct inw_report *r, enum inw_units units)
{
	size_t all = r->verdict_count + r->state_count;
	for (size_t i = 0; i < all; i++) {
		bool before = false;
		for (size_t k = 0; k < i && !before; k++)
			before = same(job_at(r, k), job_at(r, i));
		if (!before)
			show_job(p, r, job_at(r, i), units);
	}
}

/* ---- the rest ---------------------------------------------------------------------------------------------------- */

static void show_rules(struct inw_page *p, const struct inw_report *r)
{
	if (!r->rule_count)
		return;
	title(p, "Rules of thumb beside the physics", NULL);
	for (size_t i = 0; i < r->rule_count; i++) {
		inw_show__wrapf(p, "  Rule: ", 4, "%s", r->rules[i].rule);
		inw_show__wrapf(p, r->rules[i].disagree ? "    Physics DISAGREES: " : "    Physics agrees: ", 6, "%s",
		                r->rules[i].physics);
	}
}

static void show_assumed(struct inw_page *p, const struct inw_report *r, enum inw_units units)
{
	if (!r->assumed_count)
		return;
	title(p, "Assumed, because the design file leaves it out", NULL);
	for (size_t i = 0; i < r->assumed_count; i++) {
		const struct inw_quantity *q = r->assumed[i];
		char value[INW_CELL], range[2 * INW_CELL + 8];
		const double ends[2] = {q->low, q->high};
		inw_show__number(value, sizeof value, q->value, q->dim, units);
		inw_show__range(range, sizeof range, ends, q->dim, units);
		inw_show__wrapf(p, "  ", 6, "%s: %s%s%s%s", q->path, value, q->low < q->high ? " (" : "",
		                q->low < q->high ? range : "", q->low < q->high ? ")" : "");
		if (p->detail == INW_BRIEF)
			continue;
		const char *basis = inw_show__basis(q->basis);
		bool twice = strcmp(q->source, basis) == 0;
		inw_show__wrapf(p, "      ", 6, "%s%s%s", q->source, twice ? "" : "; ", twice ? "" : basis);
	}
}

static void show_list(struct inw_page *p, const char *head, const char *const *items, size_t count)
{
	if (!count)
		return;
	title(p, head, NULL);
	for (size_t i = 0; i < count; i++)
		inw_show__wrap(p, "  - ", 4, items[i]);
}

static void show_cautions(struct inw_page *p, const struct inw_report *r)
{
	title(p, "Cautions", NULL);
	for (size_t i = 0; i < r->caution_count; i++)
		inw_show__wrap(p, "  - ", 4, r->cautions[i]);
	inw_show__wrap(p, "  - ", 4, inw_show__disclaimer);
}

char *inw_show_text(const struct inw_report *r, enum inw_units units, enum inw_detail detail)
{
	struct inw_page page = {.units = units, .detail = detail};
	summary(&page, r, units);
	inw_text_add(&page.t, "\n");
	inw_show__wrapf(&page, "", 2, "%s (%s)", r->title ? r->title : "", r->file ? r->file : "");
	show_jobs(&page, r, units);
	show_rules(&page, r);
	show_assumed(&page, r, units);
	show_list(&page, "Notes", r->notes, r->note_count);
	show_cautions(&page, r);
	if (detail == INW_BRIEF)
		inw_show__wrap(&page, "\n", 0, "With --full: every reason and source. `inward why FILE NAME`: where one number comes from.");
	if (page.t.failed) {
		inw_text_free(&page.t);
		return NULL;
	}
	return page.t.s;
}
