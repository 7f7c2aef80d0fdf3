/* SPDX-License-Identifier: MIT */
/* compare.c: designs side by side: what differs in their files, and what becomes of each verdict.
 *
 * Invariants: X1 what stands in any of the designs is in the comparison or alike in all of them. X2 nothing is computed anew:
 * every number is one of the reports'.
 */
#include <math.h>
#include <stdio.h>
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

static const char *yes_or_no(bool yes)
{
	return yes ? "yes" : "no";
}

static void room_words(struct words *w, const struct inw_design *d)
{
	struct inw_text rooms = {0};

	for (size_t i = 0; i < d->rooms; i++)
		list(&rooms, d->room[i].name);
	add_text(w, "rooms", "", &rooms);
	for (size_t i = 0; i < d->rooms; i++) {
		const struct inw_room *r = &d->room[i];
		struct inw_text flues = {0};
		add_named(w, "rooms[*]", r->name, !r->T_held ? "temperature free" : r->T_assumed ? "heated as assumed, never cooled" : "temperature held");
		for (size_t k = 0; k < r->appliances; k++)
			list(&flues, d->catalog.appliance[r->appliance[k].kind].name);
		add_text(w, "rooms[*].appliances", r->name, &flues);
	}
}

static void doorway_words(struct words *w, const struct inw_design *d)
{
	struct inw_text doors = {0};

	for (size_t i = 0; i < d->doorways; i++)
		list(&doors, d->doorway[i].name);
	add_text(w, "doorways", "", &doors);
	for (size_t i = 0; i < d->doorways; i++) {
		struct inw_text between = {0};
		list(&between, room_name(d, d->doorway[i].a));
		list(&between, room_name(d, d->doorway[i].b));
		add_text(w, "doorways[*].between", d->doorway[i].name, &between);
		add_named(w, "doorways[*].fixed", d->doorway[i].name, yes_or_no(d->doorway[i].fixed));
	}
}

static void people_words(struct words *w, const struct inw_design *d)
{
	struct inw_text people = {0};

	for (size_t i = 0; i < d->persons; i++) {
		const struct inw_person *p = &d->person[i];
		struct inw_text stays = {0};
		inw_text_printf(&people, "%s%s (%s)", i ? ", " : "", p->name, p->kind == INW_WORKER ? "worker" : "resident");
		for (size_t k = 0; k < p->stays; k++)
			inw_text_printf(&stays, "%s%s%s", k ? ", " : "", d->room[p->stay[k].room].name, p->stay[k].at_box ? " at the box" : "");
		add_text(w, "people[*].stays", p->name, &stays);
	}
	add_text(w, "people", "", &people);
}

/* The record of a section of the catalog whose number this is, NULL when it is none's: few of the design's nouns keep a name. */
static const char *record_of(struct words *w, const struct inw_design *d, inw_q q, const char *section)
{
	const char *path = d->quantity[q].path, *end = strchr(path, ']');
	size_t n = strlen(section);

	if (strncmp(path, section, n) != 0 || path[n] != '[' || !end)
		return NULL;
	const char *name = inw_arena_dup(w->c->arena, path + n + 1, (size_t)(end - path) - n - 1);
	w->c->failed |= !name;
	return name;
}

/* "plywood", "plywood with foam". */
static const char *sheet_words(struct words *w, const struct inw_design *d, const struct inw_panel *p)
{
	const char *sheet = p->material ? p->material : "of its own";
	const char *foam = p->insulation_conductivity >= 0 ? record_of(w, d, p->insulation_conductivity, "panels") : NULL;

	if (p->insulation_conductivity < 0)
		return sheet;
	const char *both = inw_arena_printf(w->c->arena, "%s with %s", sheet, foam ? foam : "insulation of its own");
	w->c->failed |= !both;
	return both ? both : sheet;
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
		material[i] = sheet_words(w, d, &d->box.panel[i]);
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
	add_named(w, "box.planned", "", yes_or_no(d->box.planned));
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

static void blower_word(struct words *w, const struct inw_design *d, const struct inw_stage *s)
{
	const char *record = record_of(w, d, s->blower.flow[0], "blowers");
	struct inw_text t = {0};

	inw_text_add(&t, record ? record : "a curve of its own");
	if (s->blower.forward_curved)
		inw_text_add(&t, ", forward curved");
	if (!s->blower.motor_in_air)
		inw_text_add(&t, ", motor outside of the air");
	add_text(w, "cleaner.stages[*]", s->name, &t);
}

/* What a carbon was measured to hold; the points are no quantities, and stand nowhere else. */
static void measured_words(struct words *w, const struct inw_design *d, const struct inw_stage *s)
{
	struct inw_text t = {0};

	for (size_t i = 0; i < s->bed.measureds; i++) {
		const struct inw_measured *m = &s->bed.measured[i];
		inw_text_printf(&t, "%s%s (", i ? "; " : "", d->catalog.substance[m->substance].name);
		for (size_t k = 0; k < m->points; k++)
			inw_text_printf(&t, "%s%.6g Pa: %.6g kg/kg", k ? ", " : "", m->p_Pa[k], m->loading[k]);
		inw_text_add(&t, ")");
	}
	add_text(w, "cleaner.stages[*].measured", s->name, &t);
}

static void bed_words(struct words *w, const struct inw_design *d, const struct inw_stage *s)
{
	struct inw_text t = {0};

	inw_text_add(&t, s->bed.carbon >= 0 ? d->catalog.carbon[s->bed.carbon].name : "of its own");
	if (s->bed.impregnated)
		inw_text_add(&t, ", impregnated");
	add_text(w, "cleaner.stages[*]", s->name, &t);
	measured_words(w, d, s);
}

static void stage_words(struct words *w, const struct inw_design *d)
{
	struct inw_text stages = {0};

	for (size_t i = 0; i < d->cleaner.stages; i++)
		list(&stages, d->cleaner.stage[i].name);
	add_text(w, "cleaner.stages", "", &stages);
	for (size_t i = 0; i < d->cleaner.stages; i++) {
		const struct inw_stage *s = &d->cleaner.stage[i];
		if (s->kind == INW_STAGE_BLOWER)
			blower_word(w, d, s);
		else if (s->kind == INW_STAGE_MEDIUM)
			add_named(w, "cleaner.stages[*]", s->name, s->medium.klass >= 0 ? d->catalog.medium[s->medium.klass].name : "of its own");
		else
			bed_words(w, d, s);
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
	add_named(w, "cleaner.inlet.duct.room", "", room_name(d, c->inlet.room));
	if (c->has_return)
		add_named(w, "cleaner.return.duct.room", "", room_name(d, c->ret.room));
	if (c->has_exhaust)
		add_named(w, "cleaner.exhaust.duct.room", "", room_name(d, c->exhaust.room));
}

static const char *const weekday[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};

static void days_words(struct inw_text *t, unsigned char days)
{
	if ((days & INW_EVERY_DAY) == INW_EVERY_DAY)
		list(t, "every day");
	for (int i = 0; i < 7 && (days & INW_EVERY_DAY) != INW_EVERY_DAY; i++)
		if (days >> i & 1)
			list(t, weekday[i]);
}

static void job_words(struct words *w, const struct inw_design *d)
{
	struct inw_text jobs = {0};

	for (size_t i = 0; i < d->jobs; i++)
		list(&jobs, d->job[i].name);
	add_text(w, "jobs", "", &jobs);
	for (size_t i = 0; i < d->jobs; i++) {
		struct inw_text days = {0};
		add_named(w, "jobs[*].material", d->job[i].name, d->catalog.material[d->job[i].material].name);
		days_words(&days, d->job[i].days);
		add_text(w, "jobs[*].days", d->job[i].name, &days);
	}
}

static void add_number(struct words *w, const char *path, double number)
{
	struct inw_text t = {0};

	inw_text_printf(&t, "%.9g", number);
	add_text(w, path, "", &t);
}

static void day_words(struct words *w, const struct inw_design *d)
{
	static const char *const kind[] = {"door", "flap", "speed", "window", "heater"};
	const struct inw_day *day = &d->day;
	struct inw_text all = {0};
	char number[24];

	for (size_t i = 0; i < day->doings; i++)
		list(&all, kind[day->doing[i].kind]);
	add_text(w, "day.doings", "", &all);
	for (size_t i = 0; i < day->doings; i++) {
		const struct inw_doing *a = &day->doing[i];
		struct inw_text t = {0};
		snprintf(number, sizeof number, "%zu", i + 1);
		inw_text_add(&t, kind[a->kind]);
		if (a->kind == INW_DO_WINDOW)
			inw_text_printf(&t, " '%s'", d->doorway[a->doorway].name);
		days_words(&t, a->days);
		add_text(w, "day.doings[*]", number, &t);
	}
	add_named(w, "day.begins", "", day->begins == INW_BEGINS_AS_SAID ? "as the file says" : "chosen");
	if (day->weekday_said)
		add_named(w, "day.weekday", "", weekday[day->weekday]);
	add_number(w, "day.particle_sizes", day->particle_sizes);
}

/* ---- what may be chosen: in no verdict, but in the file ---- */

static void free_words(struct words *w, const struct inw_design *d)
{
	struct inw_text all = {0};

	for (size_t i = 0; i < d->wishes.frees; i++)
		list(&all, d->quantity[d->wishes.free[i].q[0]].path);
	add_text(w, "choose.free", "", &all);
	for (size_t i = 0; i < d->wishes.frees; i++) {
		const struct inw_free *f = &d->wishes.free[i];
		struct inw_text t = {0};
		inw_text_printf(&t, "%.9g .. %.9g, price %.9g, halving %.9g, in SI units", f->from, f->to, f->price, f->halving);
		add_text(w, "choose.free[*]", d->quantity[f->q[0]].path, &t);
	}
}

static void record_words(struct words *w, const struct inw_design *d)
{
	for (size_t i = 0; i < d->wishes.choices; i++) {
		const struct inw_choice *c = &d->wishes.choice[i];
		struct inw_text t = {0};
		for (size_t k = 0; k < c->count; k++)
			inw_text_printf(&t, "%s%s (%.9g)", k ? ", " : "", c->word[k], c->price[k]);
		inw_text_printf(&t, ", per %s", c->per >= 0 ? d->quantity[c->per].path : "piece");
		add_text(w, "choose.among[*]", c->what, &t);
	}
}

static void wish_words(struct words *w, const struct inw_design *d)
{
	static const char *const aim[] = {"money", "noise", "cleaner size", "box size", "heat", "carbon"}; /* as enum inw_aim */
	const struct inw_wishes *s = &d->wishes;
	struct inw_text least = {0}, without = {0}, prices = {0};

	if (!s->present)
		return;
	for (size_t i = 0; i < s->aims; i++)
		list(&least, aim[s->aim[i]]);
	for (size_t i = 0; i < s->withouts; i++)
		list(&without, s->without[i].id);
	for (size_t i = 0; i < s->prices; i++)
		inw_text_printf(&prices, "%s%s (%.9g)", i ? ", " : "", d->quantity[s->price[i].of].path, s->price[i].price);
	add_text(w, "choose.least", "", &least);
	add_text(w, "choose.without", "", &without);
	add_text(w, "choose.prices", "", &prices);
	add_number(w, "choose.sure", s->sure);
	add_number(w, "choose.years", s->years);
	free_words(w, d);
	record_words(w, d);
}

/* ---- records: a file may bring its own under a name of the catalog's ---- */

static const char *per_words(enum inw_emission_per per)
{
	return per == INW_PER_TIME ? "by time" : "by mass";
}

static void material_words(struct words *w, const struct inw_design *d, const struct inw_material *m)
{
	struct inw_text t = {0};

	inw_text_printf(&t, "%s; particles %s, studies: %d", m->process, per_words(m->particles_per), m->particle_studies);
	for (size_t i = 0; i < m->gas_count; i++)
		inw_text_printf(&t, "; %s %s, studies: %d", d->catalog.substance[m->gases[i].substance].name, per_words(m->gases[i].per), m->gases[i].studies);
	add_text(w, "materials[*]", m->name, &t);
}

static void substance_words(struct words *w, const struct inw_substance *s)
{
	static const char *const law[] = {"DIPPR 101", "Antoine", "a point"};
	static const char *const limit[] = {"work 8 h", "work 15 min", "work ceiling", "home 1 h", "home 8 h", "home 24 h", "home long"};
	struct inw_text t = {0};

	inw_text_add(&t, s->weakly_held ? "hardly held by plain carbon" : "held by carbon");
	for (size_t i = 0; i < s->limit_count; i++)
		inw_text_printf(&t, "; %s of %s, effect: %s", limit[s->limits[i].kind], s->limits[i].body, *s->limits[i].effect ? s->limits[i].effect : "none");
	for (size_t i = 0; i < s->vp_count; i++) {
		const struct inw_vapour_pressure *v = &s->vp[i];
		inw_text_printf(&t, "; %s %.9g %.9g %.9g %.9g %.9g from %.6g to %.6g K", law[v->form], v->c[0], v->c[1], v->c[2], v->c[3], v->c[4], v->T_low_K, v->T_high_K);
	}
	add_text(w, "substances[*]", s->name, &t);
}

static void catalog_words(struct words *w, const struct inw_design *d)
{
	for (size_t i = 0; i < d->catalog.materials; i++)
		material_words(w, d, &d->catalog.material[i]);
	for (size_t i = 0; i < d->catalog.substances; i++)
		substance_words(w, &d->catalog.substance[i]);
}

static struct words words_of(struct comparer *c, size_t k)
{
	struct words w = {.c = c};
	const struct inw_design *d = c->r[k]->design;

	room_words(&w, d);
	doorway_words(&w, d);
	people_words(&w, d);
	box_words(&w, d);
	cleaner_words(&w, d);
	job_words(&w, d);
	day_words(&w, d);
	wish_words(&w, d);
	catalog_words(&w, d);
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
