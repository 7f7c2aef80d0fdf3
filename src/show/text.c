/* SPDX-License-Identifier: MIT */
/* text.c: the report for a person at a terminal. The answer first, then what supports it, cautions last. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/verdicts.h"

static bool same(const char *a, const char *b)
{
	return strcmp(a ? a : "", b ? b : "") == 0;
}

static size_t count_word(const struct inw_report *r, const char *job, enum inw_word word)
{
	size_t n = 0;
	for (size_t i = 0; i < r->verdict_count; i++)
		n += r->verdicts[i].word == word && same(r->verdicts[i].job, job);
	return n;
}

/* ---- the summary ------------------------------------------------------------------------------------------------- */

static void summary(struct inw_page *p, const struct inw_report *r, enum inw_units units)
{
	const struct inw_verdict *w = inw_show__worst(r->verdicts, r->verdict_count);
	const struct inw_verdict *c = inw_show__closest(r->verdicts, r->verdict_count);
	const char *change = inw_show__first_change(r);
	char value[INW_CELL], limit[3 * INW_CELL], words[240];
	const struct inw_verdict *v = w ? w : c;
	inw_show__overall(words, sizeof words, r);
	inw_show__wrap(p, "Verdict: ", 9, words);
	if (inw_show__planned(r->design))
		inw_show__wrap(p, "Planned: ", 9, inw_show__planned(r->design));
	if (inw_show__beyond_check(words, sizeof words, r, units))
		inw_show__wrap(p, "Not in it: ", 9, words);
	if (v) {
		inw_show__number(value, sizeof value, v->value, v->dim, units);
		inw_show__limit_words(limit, sizeof limit, v, units);
		inw_show__wrapf(p, w ? "Worst: " : "Closest call: ", 9, "%s: %s (%s)%s%s%s%s", v->title, value, limit,
		                v->where ? ", " : "", v->where ? v->where : "", v->job ? ", job " : "", v->job ? v->job : "");
		if (isnan(v->value) && v->reason)
			inw_show__wrap(p, "Why: ", 9, v->reason);
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

static void show_group(struct inw_page *p, const struct inw_report *r, const char *job, enum inw_word word)
{
	size_t n = count_word(r, job, word);
	if (!n)
		return;
	inw_text_add(&p->t, "\n");
	inw_show__wrapf(p, "", 2, "%s (%zu): %s", inw_show__group_name(word), n, inw_show__word_meaning(word));
	bool brief = p->detail == INW_BRIEF && (word == INW_MEETS || word == INW_STATED);
	for (size_t i = 0; i < r->verdict_count; i++)
		if (r->verdicts[i].word == word && same(r->verdicts[i].job, job))
			(brief ? inw_show__verdict_in_brief : inw_show__verdict)(p, &r->verdicts[i]);
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
	inw_show__title(p, job ? "Job: " : "All jobs", job);
	for (size_t i = 0; i < INW_WORDS; i++)
		show_group(p, r, job, inw_show__order[i]);
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
	inw_show__title(p, "Rules of thumb beside the physics", NULL);
	bool several = false;
	for (size_t i = 1; i < r->rule_count; i++)
		several |= strcmp(r->rules[i].job, r->rules[0].job) != 0;
	for (size_t i = 0; i < r->rule_count; i++) {
		inw_show__wrapf(p, "  Rule", 4, "%s%s: %s", several ? ", job " : "", several ? r->rules[i].job : "", r->rules[i].rule);
		inw_show__wrapf(p, r->rules[i].disagree ? "    Physics DISAGREES: " : "    Physics agrees: ", 6, "%s",
		                r->rules[i].physics);
	}
}

static void show_assumed(struct inw_page *p, const struct inw_report *r, enum inw_units units)
{
	if (!r->assumed_count)
		return;
	inw_show__title(p, "Assumed, because the design file leaves it out", NULL);
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

char *inw_show_text(const struct inw_report *r, enum inw_units units, enum inw_detail detail)
{
	struct inw_page page = {.units = units, .detail = detail};
	summary(&page, r, units);
	inw_text_add(&page.t, "\n");
	inw_show__wrapf(&page, "", 2, "%s (%s)", r->title ? r->title : "", r->file ? r->file : "");
	show_jobs(&page, r, units);
	show_rules(&page, r);
	show_assumed(&page, r, units);
	inw_show__list(&page, "Notes", r->notes, r->note_count);
	inw_show__cautions(&page, r->cautions, r->caution_count);
	if (detail == INW_BRIEF)
		inw_show__wrap(&page, "\n", 0, "With --full: every reason and source. `inward why FILE NAME`: where one number comes from.");
	if (page.t.failed) {
		inw_text_free(&page.t);
		return NULL;
	}
	return page.t.s;
}
