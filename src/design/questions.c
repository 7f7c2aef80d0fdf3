/* SPDX-License-Identifier: MIT */
/* questions.c: the questions of the set-up, in the order to be asked. The one table that command line, server and page show;
 * what the catalog has to offer is added when they are opened. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "design/begin.h"
#include "design/read.h"
#include "design/units.h"

enum { MOST_TEXT = 200 /* bytes of a line of one's own */ };

/* ---- the table --------------------------------------------------------------------------------------------------- */

static const char machine_part[] = "The machine", box_part[] = "The box", room_part[] = "The room", have_part[] = "What you have";

#define WORDS(...) (const char *const[]){__VA_ARGS__}, INW_COUNT(((const char *const[]){__VA_ARGS__}))
#define OFFERS(list) .offers = list, .offer_count = INW_COUNT(list)
#define WHEN(id, ...) .when = {id, WORDS(__VA_ARGS__)}
#define WHEN_ANSWERED(id) .when = {id, NULL, 0}
#define NUMBER(d, si, us, low, high) .asks = INW_ASKS_NUMBER, .dim = INW_DIM_##d, .example = {si, us}, .least = low, .most = high

/* The words are the catalog's processes of materials; a test holds them against it. */
static const struct inw_offer machines[] = {
	{"printing", "A 3D printer that melts plastic wire", WORDS("printer", "3d printer"), {0}},
	{"soldering", "A soldering place", WORDS("solder", "soldering iron"), {0}},
	{"laser cutting", "A laser cutter", WORDS("laser", "laser cutter"), {0}},
	{"resin printing", "A resin printer", WORDS("resin", "resin printer"), {0}},
	{"solvent", "Work with solvents: rinsing, wiping off", WORDS("solvents", "rinsing", "washing"), {0}},
};
static const struct inw_offer boxes[] = {
	{"planned", "No: it is still to be built", WORDS("no", "not yet"), {0}},
	{"built", "Yes: it stands there", WORDS("yes", "there"), {0}},
};
static const struct inw_offer seams[] = {
	{"sealed", "Taped or with gaskets all round", WORDS("taped", "gaskets", "tight"), {0}},
	{"close", "Panels meet well, without a seal", WORDS("fitted"), {0}},
	{"open", "Light shows through here and there", WORDS("loose"), {0}},
};
static const struct inw_offer people[] = {
	{"works", "Somebody works there by day", WORDS("worker", "work"), {0}},
	{"sleeps there", "Somebody sleeps in the same room", WORDS("sleeps"), {0}},
	{"sleeps next door", "Somebody sleeps in the next room", WORDS("next door"), {0}},
	{"child", "A child is there at times", WORDS("children", "pupil"), {0}},
};
static const struct inw_offer ways_out[] = {
	{"hose", "Outdoors, by a hose through a window or a wall", WORDS("outdoors", "outside", "window", "yes"), {0}},
	{"nowhere", "Nowhere: it must stay in the room", WORDS("inside", "room", "no"), {0}},
};
static const struct inw_offer no_appliance[] = {{"none", "None: somebody has looked", WORDS("no"), {0}}};
static const struct inw_offer own_blower[] = {{"own", "Another one: I know its flow and pressure", WORDS("other", "another"), {0}}};

static const struct inw_question table[] = {
	{.id = "machine", .part = machine_part, .question = "What stands in the box?", .asks = INW_ASKS_CHOICE, OFFERS(machines),
	 .help = "What gives off the fume.", .assumed = "A 3D printer, or whatever the material belongs to."},
	{.id = "material", .part = machine_part, .question = "Which material does it work with?", .asks = INW_ASKS_CHOICES,
	 .help = "Each becomes a job of its own. Different materials give off different gases in very different amounts.",
	 .assumed = "The one that gives off most gas of what such a machine works with."},
	{.id = "rate", .part = machine_part, .question = "How much of it in an hour?", NUMBER(MASS_RATE, "10 g/h", "0.35 oz/h", 1e-2 / 3.6e6, 5 / 3600.0),
	 .help = "Weigh a part and divide by its hours. Of solder the wire melted, of a laser what the cut takes away, of a solvent "
	         "what evaporates.",
	 .assumed = "A usual amount, with a wide range."},
	{.id = "hours", .part = machine_part, .question = "For how long does it run on a day?", NUMBER(TIME, "4 h", "4 h", 300, 86400),
	 .help = "On a usual day, in one go.", .assumed = "4 hours; soldering and solvents 1 hour."},
	{.id = "start", .part = machine_part, .question = "When does it begin?", NUMBER(CLOCK, "22:00", "22:00", 0, 86340),
	 .help = "The time of day, for instance 09:00 or 10:30 pm.", .assumed = "In the morning."},

	{.id = "box", .part = box_part, .question = "Is there a box already?", .asks = INW_ASKS_CHOICE, OFFERS(boxes),
	 .help = "Of a box that stands there the inside is measured; for one that is planned the size of the machine will do.",
	 .assumed = "None yet."},
	{.id = "width", .part = box_part, .question = "How wide is it?", NUMBER(LENGTH, "500 mm", "20 in", 0.05, 3),
	 .help = "The inside of the box; without one the machine itself, to which some room on every side is added.",
	 .assumed = "A box 500 mm wide."},
	{.id = "depth", .part = box_part, .question = "How deep is it?", NUMBER(LENGTH, "500 mm", "20 in", 0.05, 3),
	 .help = "From front to back, measured as the width.", .assumed = "A box 500 mm deep."},
	{.id = "height", .part = box_part, .question = "How high is it?", NUMBER(LENGTH, "600 mm", "24 in", 0.05, 3),
	 .help = "From floor to lid, measured as the width.", .assumed = "A box 600 mm high."},
	{.id = "panel", .part = box_part, .question = "What are its walls made of?", .asks = INW_ASKS_CHOICE,
	 .help = "The walls decide how warm the box gets.",
	 .assumed = "Of a planned box what does best for the warmth that the material wants; else acrylic."},
	{.id = "panel_thickness", .part = box_part, .question = "How thick are the walls?", NUMBER(LENGTH, "4 mm", "0.16 in", 3e-4, 0.1),
	 .help = "Of a solid sheet; a multiwall sheet knows its own.", WHEN_ANSWERED("panel"), .assumed = "A usual thickness, with its range."},
	{.id = "seams", .part = box_part, .question = "How well do its seams close?", .asks = INW_ASKS_CHOICE, OFFERS(seams),
	 .help = "Where the lid, the door and the panels meet. Hold a lamp inside and look from outside in the dark.",
	 .assumed = "Of a planned box: sealed, as an aim. Of one that stands there: nothing; every edge counts as a half-open seam."},
	{.id = "hands", .part = box_part, .question = "Do hands work in it through an opening?", .asks = INW_ASKS_YES_NO,
	 .help = "An opening that is never shut needs far more air than seams do.",
	 .assumed = "Yes where somebody solders, else no."},
	{.id = "heater", .part = box_part, .question = "Does a heater of its own warm the box?", .asks = INW_ASKS_YES_NO,
	 .help = "Not the plate of a printer: a heater for the air of the box.", .assumed = "No."},

	{.id = "floor", .part = room_part, .question = "How large is the floor of the room?", NUMBER(AREA, "12 m2", "130 ft2", 1, 2000),
	 .help = "Length times width.", .assumed = "12 square metres, with a wide range."},
	{.id = "ceiling", .part = room_part, .question = "How high is the room?", NUMBER(LENGTH, "2.4 m", "8 ft", 1.5, 12),
	 .help = "From the floor to the ceiling.", .assumed = "A usual height, with its range."},
	{.id = "people", .part = room_part, .question = "Who is there, and when?", .asks = INW_ASKS_CHOICES, OFFERS(people),
	 .help = "Limits for healthy adults at work are not for those who sleep there, nor for children.",
	 .assumed = "Somebody at any hour, for whom the stricter limits of homes count."},
	{.id = "appliance", .part = room_part, .question = "What burns gas, oil or wood in the room?", .asks = INW_ASKS_CHOICES,
	 .help = "A fan that blows air outdoors can draw flue gas out of a chimney into the room: carbon monoxide, which kills. Look "
	         "before you answer 'none'.",
	 .assumed = "A gas water heater on a chimney, until somebody has looked: the most easily disturbed of what has a flue."},
	{.id = "outdoors", .part = room_part, .question = "Where can air go?", .asks = INW_ASKS_CHOICE, OFFERS(ways_out),
	 .help = "Air that is drawn out of the box must go somewhere; outdoors is best for the lungs.", .assumed = "Outdoors, by a hose."},
	{.id = "hose", .part = room_part, .question = "How long is the way outdoors?", NUMBER(LENGTH, "2 m", "6.5 ft", 0.1, 30),
	 .help = "Along the hose, from the cleaner to the window or wall.", WHEN("outdoors", "hose"), .assumed = "2 metres, with a range."},
	{.id = "altitude", .part = room_part, .question = "How high above the sea is it?", NUMBER(LENGTH, "120 m", "400 ft", -400, 4500),
	 .help = "Air is thinner higher up, and a blower pushes less.", .assumed = "Not far above the sea."},

	{.id = "filter", .part = have_part, .question = "Which particle filter do you have?", .asks = INW_ASKS_CHOICE,
	 .help = "Its class stands on the label. 'HEPA' alone is no class.", .assumed = "None yet: one is chosen."},
	{.id = "filter_area", .part = have_part, .question = "How large is the medium of the filter?", NUMBER(AREA, "0.5 m2", "5 ft2", 0.005, 50),
	 .help = "With its pleats unfolded: number of pleats times twice their depth times their length.", WHEN_ANSWERED("filter"),
	 .assumed = "The area that the flow asks for: hold yours against it."},
	{.id = "carbon", .part = have_part, .question = "Which carbon do you have?", .asks = INW_ASKS_CHOICE,
	 .help = "Larger sieve numbers are finer granules, which act faster and resist more.", .assumed = "None yet: coconut 8x16 is chosen."},
	{.id = "carbon_mass", .part = have_part, .question = "How much carbon do you have?", NUMBER(MASS, "1 kg", "2 lb", 0.01, 50),
	 .help = "Weighed, or as the label says.", .assumed = "As much as diameter and depth hold; without these what the flow asks for."},
	{.id = "carbon_diameter", .part = have_part, .question = "How wide is the bed of carbon?", NUMBER(LENGTH, "200 mm", "8 in", 0.03, 1),
	 .help = "The diameter of a round bed, across the flow.", .assumed = "As wide as the flow asks for."},
	{.id = "carbon_depth", .part = have_part, .question = "How deep is the bed of carbon?", NUMBER(LENGTH, "60 mm", "2.4 in", 0.01, 1),
	 .help = "Along the flow, from one screen to the other.", .assumed = "What mass and diameter make of it, else 60 mm."},
	{.id = "blower", .part = have_part, .question = "Which blower do you have?", .asks = INW_ASKS_CHOICE,
	 .help = "Its name by kind and size. Small fans without pressure do not get air through filter and carbon.",
	 .assumed = "None yet: the one that does most of what is required is chosen."},
	{.id = "blower_flow", .part = have_part, .question = "How much air does it move freely?", NUMBER(VOLUME_FLOW, "60 m3/h", "35 ft3/min", 2 / 3600.0, 2000 / 3600.0),
	 .help = "The largest flow of its data sheet, against no pressure.", WHEN("blower", "own"), .assumed = "That of a radial blower of 120 mm."},
	{.id = "blower_pressure", .part = have_part, .question = "Which pressure does it reach?", NUMBER(PRESSURE, "300 Pa", "1.2 inH2O", 5, 5000),
	 .help = "The largest pressure of its data sheet, at no flow.", WHEN("blower", "own"), .assumed = "That of a radial blower of 120 mm."},
	{.id = "title", .part = have_part, .question = "What shall the design be called?", .asks = INW_ASKS_TEXT,
	 .help = "A line to know it by.", .assumed = "It is named after machine and material."},
};

/* Which sections of the catalog a question offers, behind or before words of its own. */
static const struct source {
	const char *id;
	enum inw_section section[2]; size_t sections;
	const struct inw_offer *first; size_t firsts;
	const struct inw_offer *last; size_t lasts;
} sources[] = {
	{"material", {INW_MATERIALS}, 1, NULL, 0, NULL, 0},
	{"panel", {INW_PANELS, INW_MULTIWALLS}, 2, NULL, 0, NULL, 0},
	{"appliance", {INW_APPLIANCES}, 1, no_appliance, INW_COUNT(no_appliance), NULL, 0},
	{"filter", {INW_MEDIUMS}, 1, NULL, 0, NULL, 0},
	{"carbon", {INW_CARBONS}, 1, NULL, 0, NULL, 0},
	{"blower", {INW_BLOWERS}, 1, NULL, 0, own_blower, INW_COUNT(own_blower)},
};

/* ---- what the catalog offers ------------------------------------------------------------------------------------- */

static void read_offer(struct inw_reader *r, const struct inw_record *record, struct inw_offer *out)
{
	const struct inw_node *also = inw_list_at(record->node, "also");
	const char *title = inw_text_at(record->node, "title"), *process = inw_text_at(record->node, "process");
	const char **words = inw_take(r, also ? also->count : 0, sizeof *words), **is = inw_take(r, 1, sizeof *is);

	*out = (struct inw_offer){.word = record->name, .title = title ? title : record->name, .also = words};
	for (size_t i = 0; words && also && i < also->count; i++)
		words[out->also_count++] = also->item[i]->text;
	if (process && is) {
		*is = process;
		out->when = (struct inw_when){"machine", is, 1};
	}
}

static void read_offers(struct inw_reader *r, const struct source *s, struct inw_question *q)
{
	size_t most = s->firsts + s->lasts;

	for (size_t k = 0; k < s->sections; k++)
		most += r->records[s->section[k]].count;
	struct inw_offer *list = inw_take(r, most, sizeof *list);
	q->offers = list;
	if (!list)
		return;
	for (size_t i = 0; i < s->firsts; i++)
		list[q->offer_count++] = s->first[i];
	for (size_t k = 0; k < s->sections; k++)
		for (size_t i = 0; i < r->records[s->section[k]].count; i++)
			read_offer(r, &r->records[s->section[k]].item[i], &list[q->offer_count++]);
	for (size_t i = 0; i < s->lasts; i++)
		list[q->offer_count++] = s->last[i];
}

enum inw_status inw_asking_open(struct inw_asking **out, struct inw_diags *diags)
{
	struct inw_reader r = {.diags = diags};

	*out = NULL;
	enum inw_status s = inw_catalog_open(&r);
	if (s != INW_OK)
		return s;
	struct inw_asking *a = inw_take(&r, 1, sizeof *a);
	struct inw_question *q = inw_take(&r, 1, sizeof table);
	if (q)
		memcpy(q, table, sizeof table);
	for (size_t i = 0; q && i < INW_COUNT(table); i++)
		for (size_t k = 0; k < INW_COUNT(sources); k++)
			if (strcmp(sources[k].id, q[i].id) == 0)
				read_offers(&r, &sources[k], &q[i]);
	if (r.no_memory || !a) {
		inw_arena_free(r.arena);
		return INW_NO_MEMORY;
	}
	*a = (struct inw_asking){{q, INW_COUNT(table), r.arena}, r.d->catalog, r.d->quantity};
	*out = a;
	return INW_OK;
}

enum inw_status inw_questions(struct inw_questions **out, struct inw_diags *diags)
{
	struct inw_asking *a = NULL;
	enum inw_status s = inw_asking_open(&a, diags);

	*out = a ? &a->public : NULL;
	return s;
}

void inw_questions_free(struct inw_questions *q)
{
	if (q)
		inw_arena_free(q->arena_);
}

/* ---- one answer -------------------------------------------------------------------------------------------------- */

int inw_question_of(const struct inw_questions *q, const char *id)
{
	for (size_t i = 0; i < q->count; i++)
		if (strcmp(q->questions[i].id, id) == 0)
			return (int)i;
	return -1;
}

size_t inw_answer_word(const char **at)
{
	*at += strspn(*at, ", \t");
	size_t n = strcspn(*at, ",");
	while (n && ((*at)[n - 1] == ' ' || (*at)[n - 1] == '\t'))
		n--;
	return n;
}

/* Capitals do not matter. */
static bool same(const char *name, const char *word, size_t length)
{
	char copy[MOST_TEXT + 1];

	if (length >= sizeof copy)
		return false;
	memcpy(copy, word, length);
	copy[length] = '\0';
	return inw_same_word(name, copy);
}

static bool means(const struct inw_offer *o, const char *word, size_t length)
{
	bool found = same(o->word, word, length) || same(o->title, word, length);

	for (size_t i = 0; i < o->also_count && !found; i++)
		found = same(o->also[i], word, length);
	return found;
}

const struct inw_offer *inw_offer_of(const struct inw_question *q, const char *word, size_t length)
{
	for (size_t i = 0; i < q->offer_count; i++)
		if (strlen(q->offers[i].word) == length && memcmp(q->offers[i].word, word, length) == 0)
			return &q->offers[i];
	for (size_t i = 0; i < q->offer_count; i++)
		if (means(&q->offers[i], word, length))
			return &q->offers[i];
	return NULL;
}

static void say_at(const struct inw_answer *a, const char *name, struct inw_diags *diags, const char *sentence)
{
	inw_diag_add(diags, INW_ERROR, name, a->line, a->column, "%s: %s", a->id, sentence);
}

/* The nearest word, or all of them. */
static void say_no_such_word(const struct inw_question *q, const struct inw_answer *a, const char *word, const char *name,
                             struct inw_diags *diags)
{
	enum { MOST = 128 };
	const char *words[MOST], *near;
	char list[600] = "";
	size_t n = 0, length = 0;

	for (size_t i = 0; i < q->offer_count && n < MOST; i++)
		words[n++] = q->offers[i].word;
	near = inw_nearest_word(word, words, n);
	for (size_t i = 0; !near && i < q->offer_count; i++)
		for (size_t k = 0; k < q->offers[i].also_count && !near; k++)
			near = inw_nearest_word(word, &q->offers[i].also[k], 1) ? q->offers[i].word : NULL;
	for (size_t i = 0; i < n && length < sizeof list; i++)
		length += (size_t)snprintf(list + length, sizeof list - length, "%s'%s'", i ? ", " : "", words[i]);
	inw_diag_add(diags, INW_ERROR, name, a->line, a->column, "%s: there is no '%.60s'%s%s%s", a->id, word,
	             near ? "; did you mean '" : "; one of ", near ? near : list, near ? "'?" : "");
}

static void check_words(const struct inw_question *q, const struct inw_answer *a, const char *name, struct inw_diags *diags)
{
	const char *at = a->text;
	size_t count = 0;

	for (size_t n; (n = q->asks == INW_ASKS_CHOICES ? inw_answer_word(&at) : strlen(at)) > 0; at += n, count++) {
		char word[MOST_TEXT + 1];
		snprintf(word, sizeof word, "%.*s", (int)(n < sizeof word ? n : sizeof word - 1), at);
		if (!inw_offer_of(q, at, n))
			say_no_such_word(q, a, word, name, diags);
	}
}

static void check_number(const struct inw_question *q, const struct inw_answer *a, const char *name, struct inw_diags *diags)
{
	char why[256], least[2][64], most[2][64];
	double value, low, high;

	if (inw_units_parse(a->text, q->dim, &value, &low, &high, why, sizeof why)) {
		inw_diag_add(diags, INW_ERROR, name, a->line, a->column, strcmp(q->example[INW_SI], q->example[INW_US]) == 0 ? "%s: %s; for instance %s" : "%s: %s; for instance %s or %s",
		             a->id, why, q->example[INW_SI], q->example[INW_US]);
		return;
	}
	if (low >= q->least && high <= q->most)
		return;
	for (int u = 0; u < 2; u++) {
		inw_format(least[u], sizeof least[u], q->least, q->dim, u ? INW_US : INW_SI);
		inw_format(most[u], sizeof most[u], q->most, q->dim, u ? INW_US : INW_SI);
	}
	bool alike = strcmp(least[0], least[1]) == 0;
	inw_diag_add(diags, INW_ERROR, name, a->line, a->column, "%s: '%.60s' is out of range: from %s to %s can be answered%s%s%s%s%s", a->id,
	             a->text, least[0], most[0], alike ? "" : " (", alike ? "" : least[1], alike ? "" : " to ", alike ? "" : most[1],
	             alike ? "" : ")");
}

static void check_line(const struct inw_answer *a, const char *name, struct inw_diags *diags)
{
	if (strlen(a->text) > MOST_TEXT)
		say_at(a, name, diags, "that is too long: 200 bytes at the most");
	for (const char *c = a->text; *c; c++)
		if ((unsigned char)*c < 0x20 || *c == 0x7F) {
			say_at(a, name, diags, "a control character stands in it; one line of text is wanted");
			return;
		}
}

static void check_yes_no(const struct inw_answer *a, const char *name, struct inw_diags *diags)
{
	if (!inw_same_word(a->text, "yes") && !inw_same_word(a->text, "no"))
		say_at(a, name, diags, "'yes' or 'no' is wanted");
}

static void say_no_such_question(const struct inw_questions *q, const struct inw_answer *a, const char *name, struct inw_diags *diags)
{
	const char *ids[INW_COUNT(table)];

	for (size_t i = 0; i < q->count; i++)
		ids[i] = q->questions[i].id;
	const char *near = inw_nearest_word(a->id, ids, q->count);
	inw_diag_add(diags, INW_ERROR, name, a->line, a->column, "there is no question '%.60s'%s%s%s", a->id, near ? "; did you mean '" : "",
	             near ? near : "", near ? "'?" : "");
}

enum inw_status inw_answer_check(const struct inw_questions *all, const struct inw_answer *a, const char *name, struct inw_diags *diags)
{
	size_t before = diags->errors;
	int index = inw_question_of(all, a->id);
	const struct inw_question *q = index < 0 ? NULL : &all->questions[index];

	if (!q)
		say_no_such_question(all, a, name, diags);
	else if (!*a->text)
		return INW_OK; /* unanswered */
	else if (q->asks == INW_ASKS_CHOICE || q->asks == INW_ASKS_CHOICES)
		check_words(q, a, name, diags);
	else if (q->asks == INW_ASKS_NUMBER)
		check_number(q, a, name, diags);
	else if (q->asks == INW_ASKS_YES_NO)
		check_yes_no(a, name, diags);
	else
		check_line(a, name, diags);
	return diags->errors > before ? INW_BAD_INPUT : diags->out_of_memory ? INW_NO_MEMORY : INW_OK;
}

/* ---- when a question applies ------------------------------------------------------------------------------------- */

/* Is it answered, and if words are given with one of them? */
static bool is_answered(const struct inw_questions *q, const struct inw_when *w, const struct inw_answer *answers, size_t count)
{
	int index = inw_question_of(q, w->question);

	for (size_t i = 0; i < count; i++) {
		if (strcmp(answers[i].id, w->question) || !*answers[i].text)
			continue;
		const struct inw_offer *o = index < 0 ? NULL : inw_offer_of(&q->questions[index], answers[i].text, strlen(answers[i].text));
		if (w->count == 0)
			return true;
		for (size_t k = 0; o && k < w->count; k++)
			if (strcmp(o->word, w->is[k]) == 0)
				return true;
	}
	return false;
}

bool inw_question_applies(const struct inw_questions *q, size_t index, const struct inw_answer *answers, size_t count)
{
	const struct inw_when *w = &q->questions[index].when;

	return !w->question || is_answered(q, w, answers, count);
}

bool inw_offer_applies(const struct inw_questions *q, const struct inw_offer *offer, const struct inw_answer *answers, size_t count)
{
	const struct inw_when any = {offer->when.question, NULL, 0};

	return !any.question || !is_answered(q, &any, answers, count) || is_answered(q, &offer->when, answers, count);
}
