/* SPDX-License-Identifier: MIT */
/* answers.c: answers as they are sent, and as they are looked up: by question, in the catalog's own words. */
#include <stdlib.h>
#include <string.h>

#include "design/begin.h"
#include "design/node.h"
#include "design/units.h"

enum { CEILING = 16 << 20, MOST_ANSWERS = 256 };

/* ---- a mapping of answers ---------------------------------------------------------------------------------------- */

struct gathering { struct inw_arena *arena; struct inw_answer *list; size_t count; const char *name; struct inw_diags *diags; };

static void add_answer(struct gathering *g, const struct inw_node *key, const struct inw_node *value)
{
	const char *text = value->text;

	if (value->kind != INW_NODE_SCALAR) {
		inw_diag_add(g->diags, INW_ERROR, g->name, value->line, value->column, "%.60s: a text or a list of texts is wanted", key->text);
		return;
	}
	if (strcmp(text, "null") == 0 || strcmp(text, "~") == 0)
		text = "";
	if (strcmp(text, "true") == 0 || strcmp(text, "false") == 0)
		text = *text == 't' ? "yes" : "no";
	if (g->count < MOST_ANSWERS)
		g->list[g->count++] = (struct inw_answer){key->text, text, value->line, value->column};
	else if (g->count == MOST_ANSWERS) /* said once: no more errors than that are needed */
		inw_diag_add(g->diags, INW_ERROR, g->name, value->line, value->column, "more than %d answers", MOST_ANSWERS);
}

static void gather(struct gathering *g, const struct inw_node *root)
{
	if (root->kind != INW_NODE_MAP) {
		inw_diag_add(g->diags, INW_ERROR, g->name, root->line, root->column, "answers must be a mapping of questions' ids and texts");
		return;
	}
	for (size_t i = 0; i < root->count; i++) {
		const struct inw_node *value = root->item[i];
		if (value->kind != INW_NODE_LIST)
			add_answer(g, root->key[i], value);
		for (size_t k = 0; value->kind == INW_NODE_LIST && k < value->count; k++)
			add_answer(g, root->key[i], value->item[k]);
	}
}

enum inw_status inw_answers_read(const char *bytes, size_t length, const char *name, struct inw_answers **out, struct inw_diags *diags)
{
	size_t before = diags->errors;
	struct inw_arena *arena = inw_arena_new(CEILING);
	struct inw_node *root = arena ? inw_node_parse(arena, bytes, length, name, diags) : NULL;
	struct inw_answers *a = root ? inw_arena_alloc(arena, sizeof *a) : NULL;
	struct gathering g = {arena, a ? inw_arena_alloc(arena, MOST_ANSWERS * sizeof *g.list) : NULL, 0, name, diags};

	*out = NULL;
	if (g.list)
		gather(&g, root);
	if (g.list && diags->errors == before && !diags->out_of_memory) {
		*a = (struct inw_answers){g.list, g.count, arena};
		*out = a;
		return INW_OK;
	}
	inw_arena_free(arena);
	return diags->errors > before && !diags->out_of_memory ? INW_BAD_INPUT : INW_NO_MEMORY;
}

void inw_answers_free(struct inw_answers *a)
{
	if (a)
		inw_arena_free(a->arena_);
}

/* ---- looked up --------------------------------------------------------------------------------------------------- */

const struct inw_answer *inw_said(const struct inw_sayings *s, const char *id)
{
	for (size_t i = 0; i < s->count; i++)
		if (strcmp(s->answers[i].id, id) == 0 && *s->answers[i].text)
			return &s->answers[i];
	return NULL;
}

const char *inw_said_word(const struct inw_sayings *s, const char *id)
{
	const struct inw_answer *a = inw_said(s, id);
	const struct inw_question *q = &s->ask->public.questions[inw_question_of(&s->ask->public, id)];
	const struct inw_offer *o = a ? inw_offer_of(q, a->text, strlen(a->text)) : NULL;

	return o ? o->word : NULL;
}

size_t inw_said_words(const struct inw_sayings *s, const char *id, const char **words, size_t most)
{
	const struct inw_question *q = &s->ask->public.questions[inw_question_of(&s->ask->public, id)];
	size_t count = 0;

	for (size_t i = 0; i < s->count; i++) {
		const char *at = s->answers[i].text;
		if (strcmp(s->answers[i].id, id))
			continue;
		for (size_t n; (n = inw_answer_word(&at)) > 0; at += n) {
			const struct inw_offer *o = inw_offer_of(q, at, n);
			bool twice = false;
			for (size_t k = 0; o && k < count; k++)
				twice |= words[k] == o->word;
			if (o && !twice && count < most)
				words[count++] = o->word;
		}
	}
	return count;
}

bool inw_said_amount(const struct inw_sayings *s, const char *id, struct inw_amount *out)
{
	const struct inw_answer *a = inw_said(s, id);
	const struct inw_question *q = &s->ask->public.questions[inw_question_of(&s->ask->public, id)];
	char why[256];

	if (!a || inw_units_parse(a->text, q->dim, &out->value, &out->low, &out->high, why, sizeof why))
		return false;
	out->said = true;
	return true;
}

/* ---- all of them ------------------------------------------------------------------------------------------------- */

static void check_twice(const struct inw_sayings *s, size_t i, const char *name, struct inw_diags *diags)
{
	const struct inw_answer *a = &s->answers[i];
	const struct inw_answer *first = inw_said(s, a->id);
	const struct inw_question *q = &s->ask->public.questions[inw_question_of(&s->ask->public, a->id)];

	if (*a->text && first != a && q->asks != INW_ASKS_CHOICES)
		inw_diag_add(diags, INW_ERROR, name, a->line, a->column, "%s: answered twice: '%.60s' and '%.60s'", a->id, first->text, a->text);
}

/* An answer that no question of this set-up asked for must not go by in silence. */
static void warn_unasked(const struct inw_sayings *s, size_t i, const char *name, struct inw_diags *diags)
{
	const struct inw_answer *a = &s->answers[i];
	size_t index = (size_t)inw_question_of(&s->ask->public, a->id);
	const struct inw_when *w = &s->ask->public.questions[index].when;

	if (*a->text && !inw_question_applies(&s->ask->public, index, s->answers, s->count))
		inw_diag_add(diags, INW_WARNING, name, a->line, a->column, "%s: not used: it counts only %s '%s'%s%s%s", a->id,
		             w->count ? "when" : "with an answer to", w->question, w->count ? " is '" : "", w->count ? w->is[0] : "", w->count ? "'" : "");
}

enum inw_status inw_sayings_check(const struct inw_sayings *s, const char *name, struct inw_diags *diags)
{
	size_t before = diags->errors;

	for (size_t i = 0; i < s->count; i++)
		if (inw_answer_check(&s->ask->public, &s->answers[i], name, diags) == INW_OK) {
			check_twice(s, i, name, diags);
			warn_unasked(s, i, name, diags);
		}
	return diags->out_of_memory ? INW_NO_MEMORY : diags->errors > before ? INW_BAD_INPUT : INW_OK;
}
