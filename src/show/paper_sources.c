/* SPDX-License-Identifier: MIT */
/* paper_sources.c: what was assumed, with its range; and where every number and law that went into the report is from. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "show/paper.h"

/* ---- assumed ----------------------------------------------------------------------------------------------------- */

static void assumed_row(struct inw_paper *p, const struct inw_quantity *q)
{
	char value[INW_CELL], range[2 * INW_CELL + 8] = "", number[4 * INW_CELL];
	const double ends[2] = {q->low, q->high};
	const char *basis = inw_show__basis(q->basis);
	struct inw_text source = {0};
	bool twice = strcmp(q->source, basis) == 0, ranged = q->low < q->high;
	inw_show__number(value, sizeof value, q->value, q->dim, p->l.units);
	if (ranged)
		inw_show__range(range, sizeof range, ends, q->dim, p->l.units);
	snprintf(number, sizeof number, "%s%s%s%s", value, ranged ? " (" : "", range, ranged ? ")" : "");
	inw_text_printf(&source, "%s%s%s", q->source, twice ? "" : "; ", twice ? "" : basis);
	p->l.failed |= source.failed;
	double w = inw_leaf__width(&p->l), first = 0.34 * w, second = 0.24 * w;
	const struct inw_leaf_cell cell[] = {{0, first - 8, INW_LEAF_SMALL, q->path}, {first, second - 8, INW_LEAF_SMALL, number},
	                                     {first + second, w - first - second, INW_LEAF_FINE, source.s}};
	inw_leaf__row(&p->l, cell, INW_COUNT(cell));
	inw_leaf__rule(&p->l);
	inw_text_free(&source);
}

void inw_paper__assumed(struct inw_paper *p)
{
	inw_leaf__head(&p->l, "Assumed, because the design file leaves it out: value, range, source");
	if (!p->r->assumed_count)
		inw_leaf__text(&p->l, INW_LEAF_BODY, 0, "Nothing.");
	for (size_t i = 0; i < p->r->assumed_count; i++)
		assumed_row(p, p->r->assumed[i]);
}

/* ---- sources ----------------------------------------------------------------------------------------------------- */

/* Numbers of the design that some fact of the report uses. */
static bool *used(const struct inw_paper *p)
{
	bool *is = calloc(p->d->quantities + 1, sizeof *is);
	for (size_t i = 0; is && i < p->r->fact_count; i++)
		for (size_t k = 0; k < p->r->facts[i].use_count; k++)
			for (size_t q = 0; q < p->d->quantities; q++)
				is[q] |= strcmp(p->d->quantity[q].path, p->r->facts[i].uses[k]) == 0;
	return is;
}

static void one_source(struct inw_paper *p, bool *is, size_t first)
{
	const struct inw_quantity *all = p->d->quantity;
	struct inw_text line = {0};
	inw_text_printf(&line, "%s (%s): ", all[first].source, inw_show__basis(all[first].basis));
	for (size_t q = first; q < p->d->quantities; q++)
		if (is[q] && all[q].basis == all[first].basis && strcmp(all[q].source, all[first].source) == 0) {
			inw_text_printf(&line, "%s%s", q == first ? "" : ", ", all[q].path);
			is[q] = false;
		}
	p->l.failed |= line.failed;
	if (!line.failed)
		inw_leaf__item(&p->l, INW_LEAF_SMALL, line.s);
	inw_text_free(&line);
}

static void numbers(struct inw_paper *p)
{
	bool *is = p->d ? used(p) : NULL;
	size_t written = 0;
	p->l.failed |= p->d && !is;
	for (size_t q = 0; is && q < p->d->quantities; q++) {
		written += is[q] && p->d->quantity[q].origin == INW_FROM_FILE && p->d->quantity[q].basis == INW_BASIS_GIVEN;
		is[q] &= !(p->d->quantity[q].origin == INW_FROM_FILE && p->d->quantity[q].basis == INW_BASIS_GIVEN);
	}
	if (is)
		inw_leaf__textf(&p->l, INW_LEAF_BODY, 0, "Numbers: %zu are written in the design file, whose author knows where they are from. The others:", written);
	for (size_t q = 0; is && q < p->d->quantities; q++)
		if (is[q] && p->d->quantity[q].origin != INW_FROM_DEFAULT)
			one_source(p, is, q);
	free(is);
}

static void limits(struct inw_paper *p)
{
	inw_leaf__text(&p->l, INW_LEAF_BODY, 0, "Limits:");
	for (size_t i = 0; i < p->r->verdict_count; i++) {
		const struct inw_verdict *v = &p->r->verdicts[i];
		bool before = v->sense == INW_NO_LIMIT || !v->limit_source;
		for (size_t k = 0; k < i && !before; k++)
			before = strcmp(p->r->verdicts[k].id, v->id) == 0;
		struct inw_text line = {0};
		inw_text_printf(&line, "%s: %s", v->id ? v->id : "", v->limit_source ? v->limit_source : "");
		p->l.failed |= line.failed;
		if (!before && !line.failed)
			inw_leaf__item(&p->l, INW_LEAF_SMALL, line.s);
		inw_text_free(&line);
	}
}

static void laws(struct inw_paper *p)
{
	inw_leaf__text(&p->l, INW_LEAF_BODY, 0, "Laws:");
	for (size_t i = 0; i < p->r->fact_count; i++) {
		const struct inw_law *law = p->r->facts[i].law ? inw_law_find(p->r->facts[i].law) : NULL;
		bool before = !law;
		for (size_t k = 0; k < i && !before; k++)
			before = p->r->facts[k].law && strcmp(p->r->facts[k].law, law->key) == 0;
		struct inw_text line = {0};
		if (!before)
			inw_text_printf(&line, "%s: %s (%s). Holds for: %s. Leaves out: %s.", law->title, law->source, inw_show__basis(law->basis), law->range, law->omits);
		p->l.failed |= line.failed;
		if (line.s)
			inw_leaf__item(&p->l, INW_LEAF_SMALL, line.s);
		inw_text_free(&line);
	}
}

void inw_paper__sources(struct inw_paper *p)
{
	inw_leaf__head(&p->l, "Where the numbers are from ('inward why FILE NAME' takes each apart)");
	limits(p);
	numbers(p);
	laws(p);
}
