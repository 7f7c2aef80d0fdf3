/* SPDX-License-Identifier: MIT */
/* compare.c: designs side by side: what differs in their files, and what becomes of each verdict.
 *
 * Invariants: X1 what stands in any of the designs is in the comparison or alike in all of them. X2 nothing is computed anew:
 * every number is one of the reports'.
 */
#include <math.h>
#include <string.h>

#include "design/design.h"

enum { COMPARISON_CEILING = 64 << 20 };

struct comparer {
	struct inw_arena *arena;
	const struct inw_report *const *r;
	size_t n;
	struct inw_difference *difference; size_t differences, capacity;
	bool failed;
};

static void *take(struct comparer *c, size_t count, size_t size)
{
	void *p = inw_arena_alloc(c->arena, count * size + 1);

	c->failed |= !p;
	return p;
}

/* ---- what a design says in words ---- */

struct word { const char *path, *text; };
struct words { struct comparer *c; struct word *word; size_t count, capacity; };

static void add_word(struct words *w, const char *path, const char *text)
{
	if (!path || !text) {
		w->c->failed = true;
		return;
	}
	if (w->count == w->capacity) {
		size_t more = w->capacity ? 2 * w->capacity : 64;
		struct word *word = take(w->c, more, sizeof *word);
		if (!word)
			return;
		if (w->count)
			memcpy(word, w->word, w->count * sizeof *word);
		w->word = word;
		w->capacity = more;
	}
	w->word[w->count++] = (struct word){path, text};
}

/* `text` (used up) under a path made of `format` and a name. */
static void add_text(struct words *w, const char *format, const char *name, struct inw_text *text)
{
	struct inw_text path = {0};

	for (const char *s = format; *s; s++)
		if (*s == '*')
			inw_text_add(&path, name);
		else
			inw_text_addn(&path, s, 1);
	if (path.failed || text->failed)
		w->c->failed = true;
	else
		add_word(w, inw_arena_dup(w->c->arena, path.s, path.length), inw_arena_dup(w->c->arena, text->s ? text->s : "none", text->s ? text->length : 4));
	inw_text_free(&path);
	inw_text_free(text);
}

static void add_named(struct words *w, const char *format, const char *name, const char *text)
{
	struct inw_text t = {0};

	inw_text_add(&t, text);
	add_text(w, format, name, &t);
}

static void list(struct inw_text *t, const char *item)
{
	inw_text_printf(t, "%s%s", t->length ? ", " : "", item);
}

static const char *room_name(const struct inw_design *d, int room)
{
	return room == INW_OUTDOORS ? "outdoors" : room < 0 ? "nowhere" : d->room[room].name;
}

static void place_words(struct words *w, const struct inw_design *d)
{
	struct inw_text rooms = {0}, doors = {0}, people = {0};

	for (size_t i = 0; i < d->rooms; i++)
		list(&rooms, d->room[i].name);
	add_text(w, "rooms", "", &rooms);
	for (size_t i = 0; i < d->rooms; i++) {
		struct inw_text flues = {0};
		add_named(w, "rooms[*]", d->room[i].name, d->room[i].T_held ? "temperature held" : "temperature free");
		for (size_t k = 0; k < d->room[i].appliances; k++)
			list(&flues, d->catalog.appliance[d->room[i].appliance[k].kind].name);
		if (d->room[i].appliances)
			add_text(w, "rooms[*].appliances", d->room[i].name, &flues);
	}
	for (size_t i = 0; i < d->doorways; i++) {
		list(&doors, d->doorway[i].name);
		struct inw_text between = {0};
		list(&between, room_name(d, d->doorway[i].a));
		list(&between, room_name(d, d->doorway[i].b));
		add_text(w, "doorways[*].between", d->doorway[i].name, &between);
	}
	for (size_t i = 0; i < d->persons; i++) {
		const struct inw_person *p = &d->person[i];
		struct inw_text stays = {0};
		inw_text_printf(&people, "%s%s (%s)", i ? ", " : "", p->name, p->kind == INW_WORKER ? "worker" : "resident");
		for (size_t k = 0; k < p->stays; k++)
			inw_text_printf(&stays, "%s%s%s", k ? ", " : "", d->room[p->stay[k].room].name, p->stay[k].at_box ? " at the box" : "");
		add_text(w, "people[*].stays", p->name, &stays);
	}
	add_text(w, "doorways", "", &doors);
	add_text(w, "people", "", &people);
}

/* The first face of a material, or (NULL) one more of the same. */
static void add_face(struct inw_text *t, const char *material, const char *face)
{
	if (material)
		inw_text_printf(t, "%s%s (%s", t->length ? "), " : "", material, face);
	else
		inw_text_printf(t, ", %s", face);
}

/* "acrylic (top, front, back, left, right), plywood (bottom)". */
static void panel_words(struct words *w, const struct inw_design *d, const char *const face[INW_FACES])
{
	const char *material[INW_FACES];
	struct inw_text panels = {0};

	for (int i = 0; i < INW_FACES; i++)
		material[i] = d->box.panel[i].material ? d->box.panel[i].material : "of its own";
	for (int i = 0; i < INW_FACES; i++) {
		bool before = false;
		for (int k = 0; k < i && !before; k++)
			before = strcmp(material[k], material[i]) == 0;
		for (int k = i, n = 0; k < INW_FACES && !before; k++)
			if (strcmp(material[k], material[i]) == 0)
				add_face(&panels, n++ ? NULL : material[i], face[k]);
	}
	inw_text_add(&panels, ")");
	add_text(w, "box.panels", "", &panels);
}

static void box_words(struct words *w, const struct inw_design *d)
{
	static const char *const face[INW_FACES] = {"top", "bottom", "front", "back", "left", "right"};
	static const char *const kind[] = {"crack", "hole", "opening", "measured"};
	struct inw_text gaps = {0};

	add_named(w, "box.stands_in", "", room_name(d, d->box.room));
	panel_words(w, d, face);
	for (size_t i = 0; i < d->box.gaps; i++)
		list(&gaps, d->box.gap[i].name);
	add_text(w, "box.gaps", "", &gaps);
	for (size_t i = 0; i < d->box.gaps; i++) {
		const struct inw_gap *g = &d->box.gap[i];
		struct inw_text t = {0};
		inw_text_printf(&t, "%s, %s, to %s", kind[g->kind], face[g->face], room_name(d, g->room));
		add_text(w, "box.gaps[*]", g->name, &t);
	}
	add_named(w, "box.door", "", d->box.has_door ? face[d->box.door_face] : "none");
}

/* A blower keeps no name: its curve's quantities do, when it is a record's. */
static void blower_word(struct words *w, const struct inw_design *d, const struct inw_stage *s)
{
	const char *path = d->quantity[s->blower.flow[0]].path, *end = strchr(path, ']');
	struct inw_text t = {0};

	if (strncmp(path, "blowers[", 8) == 0 && end)
		inw_text_addn(&t, path + 8, (size_t)(end - path - 8));
	else
		inw_text_add(&t, "a curve of its own");
	if (!s->blower.motor_in_air)
		inw_text_add(&t, ", motor outside of the air");
	add_text(w, "cleaner.stages[*]", s->name, &t);
}

static void stage_words(struct words *w, const struct inw_design *d)
{
	static const char *const kind[] = {"particle", "carbon", "blower"};
	struct inw_text stages = {0};

	for (size_t i = 0; i < d->cleaner.stages; i++)
		list(&stages, kind[d->cleaner.stage[i].kind]);
	add_text(w, "cleaner.stages", "", &stages);
	for (size_t i = 0; i < d->cleaner.stages; i++) {
		const struct inw_stage *s = &d->cleaner.stage[i];
		if (s->kind == INW_STAGE_BLOWER)
			blower_word(w, d, s);
		else if (s->kind == INW_STAGE_MEDIUM)
			add_named(w, "cleaner.stages[*]", s->name, s->medium.klass >= 0 ? d->catalog.medium[s->medium.klass].name : "of its own");
		else
			add_named(w, "cleaner.stages[*]", s->name, s->bed.carbon >= 0 ? d->catalog.carbon[s->bed.carbon].name : "of its own");
	}
}

static void cleaner_words(struct words *w, const struct inw_design *d)
{
	static const char *const split[] = {"flap", "fixed share", "tee"};
	const struct inw_cleaner *c = &d->cleaner;

	add_named(w, "cleaner", "", c->present ? "present" : "none");
	if (!c->present)
		return;
	stage_words(w, d);
	add_named(w, "cleaner.split", "", c->has_return && c->has_exhaust ? split[c->split] : "none");
	add_named(w, "cleaner.return", "", c->has_return ? "to the box" : "none");
	add_named(w, "cleaner.exhaust", "", c->has_exhaust ? room_name(d, c->exhaust_to) : "none");
}

static void days_words(struct inw_text *t, unsigned char days)
{
	static const char *const day[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};

	if ((days & INW_EVERY_DAY) == INW_EVERY_DAY)
		inw_text_add(t, "every day");
	for (int i = 0; i < 7 && (days & INW_EVERY_DAY) != INW_EVERY_DAY; i++)
		if (days >> i & 1)
			list(t, day[i]);
}

static void job_words(struct words *w, const struct inw_design *d)
{
	static const char *const doing[] = {"door", "flap", "speed", "window", "heater"};
	struct inw_text jobs = {0}, doings = {0};

	for (size_t i = 0; i < d->jobs; i++)
		list(&jobs, d->job[i].name);
	add_text(w, "jobs", "", &jobs);
	for (size_t i = 0; i < d->jobs; i++) {
		struct inw_text days = {0};
		add_named(w, "jobs[*].material", d->job[i].name, d->catalog.material[d->job[i].material].name);
		days_words(&days, d->job[i].days);
		add_text(w, "jobs[*].days", d->job[i].name, &days);
	}
	for (size_t i = 0; i < d->day.doings; i++)
		list(&doings, doing[d->day.doing[i].kind]);
	add_text(w, "day.doings", "", &doings);
}

static struct words words_of(struct comparer *c, size_t k)
{
	struct words w = {.c = c};
	const struct inw_design *d = c->r[k]->design;

	place_words(&w, d);
	box_words(&w, d);
	cleaner_words(&w, d);
	job_words(&w, d);
	return w;
}

/* ---- differences ---- */

static struct inw_difference *add_difference(struct comparer *c)
{
	if (c->differences == c->capacity) {
		size_t more = c->capacity ? 2 * c->capacity : 256;
		struct inw_difference *all = take(c, more, sizeof *all);
		if (!all)
			return NULL;
		if (c->differences)
			memcpy(all, c->difference, c->differences * sizeof *all);
		c->difference = all;
		c->capacity = more;
	}
	return &c->difference[c->differences++];
}

static const char *word_at(const struct words *w, const char *path)
{
	for (size_t i = 0; i < w->count; i++)
		if (strcmp(w->word[i].path, path) == 0)
			return w->word[i].text;
	return NULL;
}

static bool same_text(const char *a, const char *b)
{
	return a == b || (a && b && strcmp(a, b) == 0);
}

static void compare_word(struct comparer *c, const struct words *w, const char *path)
{
	const char **text = take(c, c->n, sizeof *text);
	bool alike = true;

	for (size_t k = 0; text && k < c->n; k++) {
		text[k] = word_at(&w[k], path);
		alike &= same_text(text[k], text[0]);
	}
	struct inw_difference *d = text && !alike ? add_difference(c) : NULL;
	if (d)
		*d = (struct inw_difference){.path = path, .word = text};
}

static void compare_words(struct comparer *c)
{
	struct words *w = take(c, c->n, sizeof *w);

	for (size_t k = 0; w && k < c->n; k++)
		w[k] = words_of(c, k);
	for (size_t k = 0; w && !c->failed && k < c->n; k++)
		for (size_t i = 0; i < w[k].count; i++) {
			bool before = false;
			for (size_t e = 0; e < k && !before; e++)
				before = word_at(&w[e], w[k].word[i].path) != NULL;
			if (!before)
				compare_word(c, w, w[k].word[i].path);
		}
}

static bool same_number(double a, double b)
{
	return a == b || fabs(a - b) <= 1e-12 * fmax(fabs(a), fabs(b)); /* what is written the same, and what is worked out from it */
}

static bool same_quantity(const struct inw_quantity *a, const struct inw_quantity *b)
{
	if (!a || !b)
		return a == b;
	return a->dim == b->dim && same_number(a->value, b->value) && same_number(a->low, b->low) && same_number(a->high, b->high);
}

static bool is_dependent(const struct inw_design *d, const struct inw_quantity *q)
{
	for (size_t i = 0; i < d->dependences; i++)
		if (&d->quantity[d->dependence[i].to] == q)
			return true;
	return false;
}

/* Designs of one kind list their numbers in the same order: the place in the first, or one nearby, is tried before all. */
static const struct inw_quantity *quantity_at(const struct inw_design *d, const char *path, size_t near)
{
	size_t n = d->quantities;

	for (size_t i = 0; i < n; i++) {
		size_t at = (near + i) % n;
		if (strcmp(d->quantity[at].path, path) == 0)
			return &d->quantity[at];
	}
	return NULL;
}

static void compare_quantity(struct comparer *c, size_t of, size_t at)
{
	const struct inw_quantity *q = &c->r[of]->design->quantity[at];
	bool alike = true, follows = true;

	for (size_t k = 0; k < of; k++)
		if (quantity_at(c->r[k]->design, q->path, at))
			return; /* done when that one's turn was */
	for (size_t k = 0; k < c->n && alike; k++)
		alike = same_quantity(quantity_at(c->r[k]->design, q->path, at), q);
	if (alike)
		return;
	const struct inw_quantity **all = take(c, c->n, sizeof *all);
	for (size_t k = 0; all && k < c->n; k++) {
		all[k] = quantity_at(c->r[k]->design, q->path, at);
		follows &= !all[k] || is_dependent(c->r[k]->design, all[k]);
	}
	struct inw_difference *d = all ? add_difference(c) : NULL;
	if (d)
		*d = (struct inw_difference){.path = q->path, .quantity = all, .follows = follows};
}

static void compare_quantities(struct comparer *c)
{
	for (size_t k = 0; k < c->n; k++)
		for (size_t i = 0; i < c->r[k]->design->quantities && !c->failed; i++)
			compare_quantity(c, k, i);
}

/* ---- verdicts ---- */

static bool same_job(const struct comparer *c, size_t a, size_t b, const char *of_a, const char *of_b)
{
	return strcmp(of_a, of_b) == 0 || (c->r[a]->design->jobs == 1 && c->r[b]->design->jobs == 1);
}

static const struct inw_verdict *verdict_at(const struct comparer *c, size_t k, size_t first, const struct inw_verdict *v)
{
	for (size_t i = 0; i < c->r[k]->verdict_count; i++) {
		const struct inw_verdict *w = &c->r[k]->verdicts[i];
		if (strcmp(w->id, v->id) == 0 && same_job(c, first, k, v->job, w->job))
			return w;
	}
	return NULL;
}

/* From bad to good. What is not judged (NULL), or has no limit, misses nothing: what is missed in one design only is then
 * a step, and what is met in one only is none. */
static int rank(const struct inw_verdict *v)
{
	switch (v ? v->word : INW_STATED) {
	case INW_MISSES: return 0;
	case INW_CANNOT_TELL: return 1;
	case INW_IN_DOUBT: return 2;
	case INW_MEETS:
	case INW_STATED: break;
	}
	return 3;
}

static int step_from(const struct inw_verdict *first, const struct inw_verdict *v)
{
	int a = rank(first), b = rank(v);

	return (b > a) - (b < a);
}

/* With the same word: who has more to spare, by so much of the number and of its limit that it is worth a line (ours). */
static int margin_from(const struct inw_verdict *first, const struct inw_verdict *v)
{
	const double worth = 0.01, of_limit = 0.001;

	if (!first || !v || first->word != v->word || v->word == INW_STATED || !isfinite(first->margin) || !isfinite(v->margin))
		return 0;
	double by = v->margin - first->margin;
	double least = fmax(worth * fmax(fabs(first->value), fabs(v->value)), isfinite(v->limit) ? of_limit * fabs(v->limit) : 0);
	return fabs(by) > least ? (by > 0) - (by < 0) : 0;
}

/* Numbers of a solution agree to what it was solved to. */
static bool same_verdict(const struct inw_verdict *a, const struct inw_verdict *b)
{
	const double rounding = 1e-9;

	if (!a || !b)
		return a == b;
	bool value = a->value == b->value || (isnan(a->value) && isnan(b->value)) || fabs(a->value - b->value) <= rounding * fmax(fabs(a->value), fabs(b->value)) ||
		fabs(a->value - b->value) < 1e-12;
	bool limit = a->limit == b->limit || (isnan(a->limit) && isnan(b->limit));
	return a->word == b->word && value && limit && a->sense == b->sense;
}

static bool stands_before(const struct comparer *c, size_t of, const struct inw_verdict *v)
{
	for (size_t k = 0; k < of; k++)
		if (verdict_at(c, k, of, v))
			return true;
	return false;
}

static int fill_row(struct comparer *c, size_t of, const struct inw_verdict *v, struct inw_verdict_row *row)
{
	const struct inw_verdict **all = take(c, c->n, sizeof *all);
	int *step = take(c, c->n, sizeof *step), *by_margin = take(c, c->n, sizeof *by_margin);
	bool alike = true;

	if (!all || !step || !by_margin)
		return -1;
	for (size_t k = 0; k < c->n; k++) {
		all[k] = k == of ? v : verdict_at(c, k, of, v);
		step[k] = k ? step_from(all[0], all[k]) : 0;
		by_margin[k] = k ? margin_from(all[0], all[k]) : 0;
		alike &= same_verdict(all[k], all[0]);
	}
	*row = (struct inw_verdict_row){.id = v->id, .title = v->title, .job = v->job, .verdict = all, .alike = alike, .step = step, .by_margin = by_margin};
	return 0;
}

static int compare_verdicts(struct comparer *c, struct inw_comparison *out)
{
	size_t most = 0, n = 0;

	for (size_t k = 0; k < c->n; k++)
		most += c->r[k]->verdict_count;
	struct inw_verdict_row *row = take(c, most, sizeof *row);
	for (size_t of = 0; row && of < c->n; of++)
		for (size_t i = 0; i < c->r[of]->verdict_count; i++) {
			const struct inw_verdict *v = &c->r[of]->verdicts[i];
			if (!stands_before(c, of, v) && fill_row(c, of, v, &row[n++]))
				return -1;
		}
	out->rows = row;
	out->row_count = n;
	return row ? 0 : -1;
}

static int count(struct comparer *c, struct inw_comparison *out)
{
	struct inw_tally *tally = take(c, c->n, sizeof *tally);

	if (!tally)
		return -1;
	for (size_t k = 0; k < c->n; k++) {
		for (size_t i = 0; i < c->r[k]->verdict_count; i++) {
			enum inw_word word = c->r[k]->verdicts[i].word;
			tally[k].meets += word == INW_MEETS;
			tally[k].in_doubt += word == INW_IN_DOUBT;
			tally[k].misses += word == INW_MISSES;
			tally[k].cannot_tell += word == INW_CANNOT_TELL;
			tally[k].stated += word == INW_STATED;
		}
		for (size_t i = 0; i < out->row_count; i++) {
			tally[k].better += out->rows[i].step[k] > 0;
			tally[k].worse += out->rows[i].step[k] < 0;
		}
	}
	out->tally = tally;
	return 0;
}

static int compare(struct comparer *c, struct inw_comparison *out)
{
	const struct inw_report **reports = take(c, c->n, sizeof *reports);

	if (!reports)
		return -1;
	memcpy(reports, c->r, c->n * sizeof *reports);
	compare_words(c);
	compare_quantities(c);
	if (c->failed || compare_verdicts(c, out) || count(c, out))
		return -1;
	out->reports = reports;
	out->count = c->n;
	out->differences = c->difference;
	out->difference_count = c->differences;
	return 0;
}

enum inw_status inw_compare(const struct inw_report *const *reports, size_t n, struct inw_comparison **out, struct inw_diags *diags)
{
	if (n < 2) {
		inw_diag_add(diags, INW_ERROR, n ? reports[0]->file : NULL, 0, 0, "a comparison wants two designs or more");
		return INW_BAD_INPUT;
	}
	struct inw_arena *arena = inw_arena_new(COMPARISON_CEILING);
	struct inw_comparison *made = arena ? inw_arena_alloc(arena, sizeof *made) : NULL;
	struct comparer c = {.arena = arena, .r = reports, .n = n};
	if (!made || compare(&c, made)) {
		inw_arena_free(arena);
		diags->out_of_memory = true;
		return INW_NO_MEMORY;
	}
	made->arena_ = arena;
	*out = made;
	return INW_OK;
}

void inw_comparison_free(struct inw_comparison *c)
{
	if (c)
		inw_arena_free(c->arena_);
}
