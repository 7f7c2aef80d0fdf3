/* SPDX-License-Identifier: MIT */
/* paper_checks.c: what to look at each month on the built box, what should be seen, and where that is from; with a log to write
 * in. How often is common practice, and says so; the numbers are those of the report. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/paper.h"

static const char practice[] = "common practice, no source";

struct check { const char *what, *how, *source; };

static void put_check(struct inw_paper *p, const struct check *c)
{
	double w = inw_leaf__width(&p->l), first = 118, last = 118;
	const struct inw_leaf_cell cell[] = {{0, first - 8, INW_LEAF_STRONG, c->what}, {first, w - first - last - 8, INW_LEAF_BODY, c->how},
	                                     {w - last, last, INW_LEAF_SMALL, c->source}};
	inw_leaf__row(&p->l, cell, INW_COUNT(cell));
	inw_leaf__rule(&p->l);
}

/* What is written into `how` is the text of a check; false when memory is out. */
static void put_made(struct inw_paper *p, const char *what, struct inw_text *how, const char *source)
{
	p->l.failed |= how->failed;
	if (!how->failed && how->s)
		put_check(p, &(struct check){what, how->s, source});
	inw_text_free(how);
}

/* The catalog's test that sees it; NULL for none. */
static const struct inw_test *test_of(const struct inw_design *d, enum inw_sight sight)
{
	for (size_t i = 0; d && i < d->catalog.tests; i++)
		if (d->catalog.test[i].observes == (int)sight)
			return &d->catalog.test[i];
	return NULL;
}

static const char *source_of(const struct inw_design *d, const struct inw_test *t)
{
	return d && t && t->accuracy >= 0 ? d->quantity[t->accuracy].source : practice;
}

/* ---- air --------------------------------------------------------------------------------------------------------- */

static void smoke(struct inw_paper *p, const struct inw_state_view *s)
{
	const struct inw_test *t = test_of(p->d, INW_SEES_INWARD);
	struct inw_text how = {0};
	inw_text_printf(&how, "%s Everywhere it must go in. No solvent or other vapour that burns may be about.",
	                t ? t->how : "With the job running hot, hold smoke at each gap and watch which way it goes.");
	put_made(p, "Smoke at every gap", &how, source_of(p->d, t));
	for (size_t i = 0; i < s->gap_count; i++) {
		const struct inw_gap_view *g = &s->gaps[i];
		char height[INW_CELL], pull[INW_CELL], flow[INW_CELL];
		inw_show__number(height, sizeof height, g->height, INW_DIM_LENGTH, p->l.units);
		inw_show__number(pull, sizeof pull, fmin(g->dp_bottom_Pa, g->dp_top_Pa), INW_DIM_PRESSURE, p->l.units);
		inw_show__number(flow, sizeof flow, g->in_m3s, INW_DIM_VOLUME_FLOW, p->l.units);
		inw_text_printf(&how, "%s, %s up: %s%s goes in, driven by %s where it is least.", g->face ? g->face : "face not known", height,
		                g->out_m3s > 0 ? "as the design stands air goes OUT here; " : "", flow, pull);
		struct inw_text what = {0};
		inw_text_printf(&what, "  %s", g->name);
		p->l.failed |= what.failed;
		if (what.s)
			put_made(p, what.s, &how, "this report, state 'as designed'");
		inw_text_free(&what);
		inw_text_free(&how);
	}
}

static void pressure(struct inw_paper *p, const struct inw_state_view *s)
{
	static const struct { const char *state, *words; } all[] = {{"new particle stage", "with a new particle stage"}, {"loaded particle stage", "with a loaded one"},
	                                                           {"blower low", "with a tired blower"}};
	char number[INW_CELL];
	struct inw_text how = {0};
	inw_text_printf(&how, "A gauge or a sloping tube of water, box against room at the height of the box's floor, job running hot: %s as designed",
	                inw_show__number(number, sizeof number, s->box_p_Pa, INW_DIM_PRESSURE, p->l.units));
	for (size_t i = 0; i < INW_COUNT(all); i++) {
		const struct inw_state_view *other = inw_paper__state(p->r, s->job, all[i].state);
		if (other && other->converged)
			inw_text_printf(&how, ", %s %s", inw_show__number(number, sizeof number, other->box_p_Pa, INW_DIM_PRESSURE, p->l.units), all[i].words);
	}
	inw_text_add(&how, ". Less pull than all of these: something leaks, is loaded or has slipped; find it before the next job.");
	put_made(p, "Pressure in the box", &how, "numbers: this report; the rest common practice, no source");
}

static void outlet(struct inw_paper *p, const struct inw_state_view *s)
{
	const struct inw_test *t = test_of(p->d, INW_SEES_CLEANER_FLOW);
	char flow[INW_CELL];
	struct inw_text how = {0};
	if (!t || !(s->cleaner_m3s > 0))
		return;
	inw_text_printf(&how, "%s Through the cleaner go %s as designed", t->how, inw_show__number(flow, sizeof flow, s->cleaner_m3s, INW_DIM_VOLUME_FLOW, p->l.units));
	if (s->exhaust_m3s > 0)
		inw_text_printf(&how, ", of which %s are sent out", inw_show__number(flow, sizeof flow, s->exhaust_m3s, INW_DIM_VOLUME_FLOW, p->l.units));
	inw_text_add(&how, ".");
	put_made(p, "Air at the outlet", &how, source_of(p->d, t));
}

/* ---- the cleaner ------------------------------------------------------------------------------------------------- */

static void medium(struct inw_paper *p, const struct inw_state_view *s, size_t stage)
{
	const struct inw_state_view *loaded = inw_paper__state(p->r, s->job, "loaded particle stage");
	const struct inw_stage *own = p->d && stage < p->d->cleaner.stages ? &p->d->cleaner.stage[stage] : NULL;
	char number[INW_CELL];
	struct inw_text how = {0}, what = {0};
	inw_text_printf(&how, "Pressure across it, job running: %s as designed",
	                inw_show__number(number, sizeof number, s->stages[stage].dp_Pa, INW_DIM_PRESSURE, p->l.units));
	if (loaded && loaded->converged && stage < loaded->stage_count)
		inw_text_printf(&how, "; change the medium at %s", inw_show__number(number, sizeof number, loaded->stages[stage].dp_Pa, INW_DIM_PRESSURE, p->l.units));
	inw_text_add(&how, ", or when it is wet, torn or smells. Out of doors, with gloves, into a closed bag.");
	inw_text_printf(&what, "Resistance of '%s'", s->stages[stage].name);
	p->l.failed |= what.failed;
	if (what.s)
		put_made(p, what.s, &how, own && own->kind == INW_STAGE_MEDIUM && own->medium.final_ratio >= 0 ? p->d->quantity[own->medium.final_ratio].source : practice);
	inw_text_free(&what);
	inw_text_free(&how);
}

static void carbon(struct inw_paper *p, const struct inw_state_view *s, size_t stage)
{
	const struct inw_stage *own = p->d && stage < p->d->cleaner.stages ? &p->d->cleaner.stage[stage] : NULL;
	char number[INW_CELL] = "";
	struct inw_text how = {0}, what = {0};
	inw_text_add(&how, "Read the date of the last change, and weigh the bed: ");
	if (own && own->kind == INW_STAGE_BED)
		inw_text_printf(&how, "new it holds %s of carbon. ", inw_paper__value(p, number, own->bed.mass));
	inw_text_add(&how, "Write both down: what it gains is gas and water together. Change it when the first page says, and at once when a smell or a meter behind it says so.");
	inw_text_printf(&what, "Carbon in '%s'", s->stages[stage].name);
	p->l.failed |= what.failed;
	if (what.s)
		put_made(p, what.s, &how, source_of(p->d, test_of(p->d, INW_SEES_CARBON)));
	inw_text_free(&what);
	inw_text_free(&how);
}

static void seals(struct inw_paper *p)
{
	char number[INW_CELL];
	struct inw_text how = {0};
	inw_text_add(&how, "Look at the seals of door and lid, and of each stage in its housing: flat, clean, not torn. Tighten what is loose.");
	for (size_t i = 0; i < p->r->verdict_count; i++)
		if (strcmp(p->r->verdicts[i].id, "seal_bypass") == 0) {
			const struct inw_verdict *v = &p->r->verdicts[i];
			inw_text_printf(&how, " Past a stage's seal go %s of the air in the worst state%s%s", inw_show__number(number, sizeof number, v->value, v->dim, p->l.units),
			                v->where ? ": " : "", v->where ? v->where : "");
			inw_text_add(&how, ".");
			break;
		}
	put_made(p, "Seals", &how, practice);
}

/* ---- what protects when all this fails --------------------------------------------------------------------------- */

static void alarms(struct inw_paper *p)
{
	put_check(p, &(struct check){"Alarms", "Press the button of the smoke alarm and of the carbon monoxide alarm, beside the machine and where people sleep; their makers say how "
	                             "often, and when to replace them.", practice});
	put_check(p, &(struct check){"Cut-out and interlock", "The thermal cut-out switches the machine off without any software, and the source stops when the airflow fails: "
	                             "try both.", practice});
	for (size_t i = 0; p->d && i < p->d->rooms; i++)
		for (size_t k = 0; k < p->d->room[i].appliances; k++) {
			struct inw_text how = {0};
			inw_text_printf(&how, "Burns in '%s': look for soot and smell at it with the blower running and windows shut. Each year a licensed fitter tests its flue with the blower "
			                "running.", p->d->room[i].name);
			put_made(p, p->d->catalog.appliance[p->d->room[i].appliance[k].kind].title, &how, practice);
		}
}

/* ---- the log ----------------------------------------------------------------------------------------------------- */

static void draw_log(struct inw_paper *p)
{
	static const char *const head[] = {"date", "smoke goes in everywhere", "pressure", "carbon: date, weight", "medium", "seals", "alarms", "who"};
	enum { ROWS = 12, HIGH = 19, COLUMNS = INW_COUNT(head) };
	static const double share[COLUMNS] = {0.11, 0.17, 0.12, 0.17, 0.11, 0.09, 0.10, 0.13};
	cairo_t *c = p->l.c;
	inw_leaf__need(&p->l, HIGH * (ROWS + 2));
	struct inw_leaf_cell cell[COLUMNS];
	double w = inw_leaf__width(&p->l), x = 0;
	for (size_t i = 0; i < COLUMNS; x += w * share[i++])
		cell[i] = (struct inw_leaf_cell){x + 2, w * share[i] - 4, INW_LEAF_SMALL, head[i]};
	inw_leaf__space(&p->l, 8);
	inw_leaf__row(&p->l, cell, COLUMNS);
	inw_draw__ink(c, inw_ink_grey);
	for (int row = 0; row <= ROWS; row++)
		inw_draw__line(c, (struct inw_spot){INW_LEAF_LEFT, p->l.y + HIGH * row}, (struct inw_spot){INW_LEAF_LEFT + w, p->l.y + HIGH * row}, 0.5);
	for (size_t i = 0; i <= COLUMNS; i++) {
		double at = INW_LEAF_LEFT + (i < COLUMNS ? cell[i].x - 2 : w);
		inw_draw__line(c, (struct inw_spot){at, p->l.y}, (struct inw_spot){at, p->l.y + HIGH * ROWS}, 0.5);
	}
	p->l.y += HIGH * ROWS + 4;
}

void inw_paper__checks(struct inw_paper *p)
{
	const struct inw_state_view *s = inw_paper__job(p->r, 0);
	if (!s)
		return;
	inw_leaf__head(&p->l, "Check each month, and after every change (how often: common practice, no source)");
	smoke(p, s);
	pressure(p, s);
	outlet(p, s);
	for (size_t i = 0; i < s->stage_count; i++)
		if (s->stages[i].kind == INW_STAGE_MEDIUM)
			medium(p, s, i);
		else if (s->stages[i].kind == INW_STAGE_BED)
			carbon(p, s, i);
	seals(p);
	alarms(p);
	draw_log(p);
}
