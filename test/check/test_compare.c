/* SPDX-License-Identifier: MIT */
/* test_compare.c: designs side by side: a design beside itself differs in nothing; beside itself with known edits in exactly
 * these; and verdicts are those of the reports.
 */
#include <stdlib.h>

#include "base/base.h"
#include "test/text.h"

struct judged { struct inw_design *design; struct inw_report *report; };

/* The one place of the text that says `old` says `new` from now on. */
static char *edited(char *text, const char *old, const char *new)
{
	const char *at = strstr(text, old);
	char *out = calloc(1, strlen(text) + strlen(new) + 1);

	CHECK(at && out && !strstr(at + 1, old));
	if (at && out)
		sprintf(out, "%.*s%s%s", (int)(at - text), text, new, at + strlen(old));
	free(text);
	return out;
}

static struct judged judge(const char *text, const char *name)
{
	struct judged j = {NULL, NULL};
	struct inw_diags diags = {0};

	enum inw_status s = inw_design_parse(text, strlen(text), name, NULL, &j.design, &diags);
	for (size_t i = 0; i < diags.count; i++)
		if (diags.items[i].severity == INW_ERROR)
			printf("# %s\n", diags.items[i].message);
	CHECK(s == INW_OK);
	if (s == INW_OK)
		CHECK(inw_check(j.design, &j.report, &diags) == INW_OK);
	inw_diags_free(&diags);
	return j;
}

static void forget(struct judged j)
{
	inw_report_free(j.report);
	inw_design_free(j.design);
}

static struct inw_comparison *compare(const struct judged *a, const struct judged *b)
{
	const struct inw_report *const r[] = {a->report, b->report};
	struct inw_comparison *c = NULL;
	struct inw_diags diags = {0};

	CHECK(inw_compare(r, 2, &c, &diags) == INW_OK && c && diags.count == 0);
	inw_diags_free(&diags);
	return c;
}

static const struct inw_difference *difference(const struct inw_comparison *c, const char *path)
{
	for (size_t i = 0; i < c->difference_count; i++)
		if (strcmp(c->differences[i].path, path) == 0)
			return &c->differences[i];
	return NULL;
}

/* ---- itself ---- */

static void beside_itself(const char *file)
{
	char *text = read_text(file);
	struct judged a = judge(text, "a.yaml"), b = judge(text, "b.yaml");
	struct inw_comparison *c = compare(&a, &b);

	CHECK(c->difference_count == 0);
	CHECK(c->row_count == a.report->verdict_count);
	CHECK(c->tally[1].better == 0 && c->tally[1].worse == 0);
	CHECK(c->tally[0].meets == c->tally[1].meets && c->tally[0].misses == c->tally[1].misses);
	CHECK(c->tally[0].meets + c->tally[0].misses + c->tally[0].in_doubt + c->tally[0].cannot_tell + c->tally[0].stated == a.report->verdict_count);
	for (size_t i = 0; i < c->row_count; i++) {
		CHECK(c->rows[i].alike && c->rows[i].step[0] == 0 && c->rows[i].step[1] == 0);
		CHECK(c->rows[i].verdict[0] == &a.report->verdicts[i] && c->rows[i].verdict[1] == &b.report->verdicts[i]);
	}
	char *s = inw_show_comparison_text(c, INW_SI, INW_BRIEF);
	CHECK(s && strstr(s, "Nothing.") && strstr(s, "neither better nor worse"));
	inw_string_free(s);
	inw_comparison_free(c);
	forget(a);
	forget(b);
	free(text);
}

/* ---- known edits ---- */

static const char *const night = "examples/splint-night.yaml";

static void number_differs(const struct inw_comparison *c, const char *path, double first, double second)
{
	const struct inw_difference *d = difference(c, path);

	CHECK(d && d->quantity && !d->word && d->quantity[0] && d->quantity[1]);
	if (!d || !d->quantity || !d->quantity[0] || !d->quantity[1])
		return;
	CHECK_REL(d->quantity[0]->value, first, 1e-12, "what the file says");
	CHECK_REL(d->quantity[1]->value, second, 1e-12, "what the file says");
}

static void word_differs(const struct inw_comparison *c, const char *path, const char *first, const char *second)
{
	const struct inw_difference *d = difference(c, path);

	CHECK(d && d->word && !d->quantity);
	if (!d || !d->word)
		return;
	CHECK_TEXT(d->word[0] ? d->word[0] : "-", first);
	CHECK_TEXT(d->word[1] ? d->word[1] : "-", second);
}

static void one_number(void)
{
	char *text = read_text(night), *other = edited(read_text(night), "position: 0 %", "position: 70 %");
	struct judged a = judge(text, "a.yaml"), b = judge(other, "b.yaml");
	struct inw_comparison *c = compare(&a, &b);

	CHECK(c->difference_count == 1 && !c->differences[0].follows);
	number_differs(c, "cleaner.split.flap.position", 0, 0.7);
	/* with the flap open the box draws inward, as a check of each says */
	CHECK(strcmp(c->rows[0].id, "inward_pressure") == 0);
	CHECK(c->rows[0].verdict[0]->word == INW_MISSES && c->rows[0].step[1] == 1 && !c->rows[0].alike);
	CHECK(c->tally[1].better >= 1);
	inw_comparison_free(c);
	c = compare(&b, &a); /* the other way round */
	CHECK(c->rows[0].step[1] == -1 && c->tally[1].worse >= 1);
	number_differs(c, "cleaner.split.flap.position", 0.7, 0);
	inw_comparison_free(c);
	forget(a);
	forget(b);
	free(text);
	free(other);
}

/* A slower blower is a quieter one, whatever the limit says of both. */
static void same_word(void)
{
	char *text = read_text(night), *other = edited(read_text(night), "speed: 70 %}", "speed: 65 %}");
	struct judged a = judge(text, "a.yaml"), b = judge(other, "b.yaml");
	struct inw_comparison *c = compare(&a, &b);
	bool seen = false;

	for (size_t i = 0; i < c->row_count; i++) {
		const struct inw_verdict_row *row = &c->rows[i];
		CHECK(row->by_margin[0] == 0 && (row->by_margin[1] == 0 || row->step[1] == 0));
		if (strcmp(row->id, "noise") != 0)
			continue;
		seen = true;
		CHECK(row->step[1] == 0 && row->by_margin[1] == 1 && row->verdict[1]->value < row->verdict[0]->value);
	}
	CHECK(seen);
	char *s = inw_show_comparison_text(c, INW_SI, INW_BRIEF);
	CHECK(s && strstr(s, "more to spare than 1, with the same verdict") && !strstr(s, "neither better nor worse"));
	inw_string_free(s);
	inw_comparison_free(c);
	forget(a);
	forget(b);
	free(text);
	free(other);
}

/* Something is asked, and not met. */
static int is_bad(const struct inw_verdict *v)
{
	return v && v->word != INW_STATED && v->word != INW_MEETS;
}

static void many_edits(void)
{
	char *text = read_text(night), *other = read_text(night);

	other = edited(other, "width: 0.5 mm (0.3 .. 0.8 mm)", "width: 0.5 mm (0.4 .. 0.8 mm)");
	other = edited(other, "    - {name: cable holes, kind: hole, face: back, height: 50 mm, diameter: 10 mm, count: 2}\n", "");
	other = edited(other, "depth: 20 mm, screens: 2", "depth: 40 mm, screens: 2");
	other = edited(other, "class: H13", "class: H14");
	other = edited(other, "material: acrylic", "material: polycarbonate");
	other = edited(other, "record: coconut 4x8", "record: coconut 6x12");
	other = edited(other, "material: PA, rate", "material: PETG, rate");
	other = edited(other, "  - {name: splint maker, as: worker, stays: [{room: workroom, from: \"09:00\", to: \"17:00\"}]}\n", "");
	other = edited(other, "{to: outdoors, height", "{to: bedroom, height");
	struct judged a = judge(text, "a.yaml"), b = judge(other, "b.yaml");
	struct inw_comparison *c = compare(&a, &b);

	number_differs(c, "box.gaps[lid seam].width", 0.0005, 0.0005); /* its range does */
	number_differs(c, "cleaner.stages[2 carbon].depth", 0.02, 0.04);
	const struct inw_difference *hole = difference(c, "box.gaps[cable holes].diameter"), *mass = difference(c, "cleaner.stages[2 carbon].mass");
	CHECK(hole && hole->quantity && hole->quantity[0] && !hole->quantity[1]);
	CHECK(mass && mass->follows);
	CHECK(!difference(c, "box.gaps[floor seam].width") && !difference(c, "site.gust"));
	word_differs(c, "box.gaps", "lid seam, door seam, floor seam, cable holes", "lid seam, door seam, floor seam");
	word_differs(c, "box.gaps[cable holes]", "hole, back, to workroom", "-");
	word_differs(c, "box.panels", "acrylic (top, front, back, left, right), plywood (bottom)", "polycarbonate (top, front, back, left, right), plywood (bottom)");
	word_differs(c, "cleaner.stages[1 particle]", "H13", "H14");
	word_differs(c, "cleaner.stages[2 carbon]", "coconut 4x8", "coconut 6x12");
	word_differs(c, "cleaner.exhaust", "outdoors", "bedroom");
	word_differs(c, "people", "splint maker (worker), sleeper (resident)", "sleeper (resident)");
	word_differs(c, "jobs[night splint].material", "PA", "PETG");
	CHECK(!difference(c, "cleaner.stages"));
	size_t only[2] = {0, 0};
	for (size_t i = 0; i < c->row_count; i++) {
		CHECK(c->rows[i].verdict[0] || c->rows[i].verdict[1]);
		only[0] += !c->rows[i].verdict[1];
		only[1] += !c->rows[i].verdict[0];
		if (!c->rows[i].verdict[0] || !c->rows[i].verdict[1])
			CHECK(!c->rows[i].alike && c->rows[i].step[1] == is_bad(c->rows[i].verdict[0]) - is_bad(c->rows[i].verdict[1]));
	}
	CHECK(only[0] > 0 && only[1] > 0); /* the maker's air; gases of the other material */
	CHECK(a.report->verdict_count - only[0] == b.report->verdict_count - only[1]);
	inw_comparison_free(c);
	forget(a);
	forget(b);
	free(text);
	free(other);
}

/* A job of another name is the same job where there is but one. */
static void renamed_job(void)
{
	char *text = read_text(night), *other = edited(read_text(night), "name: night splint", "name: late splint");
	struct judged a = judge(text, "a.yaml"), b = judge(other, "b.yaml");
	struct inw_comparison *c = compare(&a, &b);

	CHECK(c->row_count == a.report->verdict_count);
	for (size_t i = 0; i < c->row_count; i++)
		CHECK(c->rows[i].alike);
	word_differs(c, "jobs", "night splint", "late splint");
	inw_comparison_free(c);
	forget(a);
	forget(b);
	free(text);
	free(other);
}

/* ---- what is judged in one of them only ---- */

static const char *const mended = "examples/splint-night-mended.yaml";

static const struct inw_verdict_row *row_of(const struct inw_comparison *c, const char *id)
{
	for (size_t i = 0; i < c->row_count; i++)
		if (strcmp(c->rows[i].id, id) == 0)
			return &c->rows[i];
	return NULL;
}

static void shows(const struct inw_comparison *c, const char *line)
{
	char *s = inw_show_comparison_text(c, INW_SI, INW_BRIEF);

	CHECK(s && strstr(s, line));
	if (s && !strstr(s, line))
		printf("# no line '%s' in:\n%s\n", line, s);
	inw_string_free(s);
}

static void a_limit_more(void)
{
	char *text = read_text(mended), *other = edited(read_text(mended), "require:\n", "require:\n  power: 10 W\n");
	other = edited(other, "    absorption: 15 %\n", "    absorption: 15 %\n    appliances: [natural draught water heater]\n");
	struct judged a = judge(text, "a.yaml"), b = judge(other, "b.yaml");
	struct inw_comparison *c = compare(&a, &b), *back = compare(&b, &a);
	const struct inw_verdict_row *power = row_of(c, "power"), *again = row_of(back, "power");

	CHECK(power && power->verdict[0]->word == INW_STATED && power->verdict[1]->word == INW_MISSES && power->step[1] == -1);
	CHECK(again && again->step[1] == 1 && again->by_margin[1] == 0);
	CHECK(c->tally[1].worse == 1 && c->tally[1].better == 0 && back->tally[1].better == 1 && back->tally[1].worse == 0);
	shows(c, "2 is worse than 1 at:");
	shows(c, "misses, was stated without a");
	shows(back, "stated without a limit, was");
	shows(back, "Against 1: 1 better (1 of these only because nothing is asked there");
	/* a flue that is there is told without being asked */
	word_differs(c, "rooms[workroom].appliances", "none", "natural draught water heater");
	shows(c, "  rooms[workroom].appliances\n    1: none\n    2: natural draught water heater\n");
	shows(back, "    1: natural draught water heater\n    2: none\n");
	inw_comparison_free(c);
	inw_comparison_free(back);
	forget(a);
	forget(b);
	free(text);
	free(other);
}

/* Somebody at the box in the cupboard of another's night, a job that the carbon does not hold, a room with a flue. */
static void one_thing_more(void)
{
	char *text = read_text(night), *other = read_text(night);

	other = edited(other, "people:\n", "people:\n  - {name: guest, as: resident, stays: [{room: workroom, from: \"21:00\", to: \"08:00\"}]}\n");
	other = edited(other, "doorways:\n", "  - {name: boiler room, floor: 4 m2, appliances: [natural draught water heater]}\n"
	               "doorways:\n  - {name: hatch, between: [workroom, boiler room], width: 0.6 m, height: 1 m, fixed: yes}\n");
	struct judged a = judge(text, "a.yaml"), b = judge(other, "b.yaml");
	struct inw_comparison *c = compare(&a, &b);
	size_t worse = 0, bad = 0;

	for (size_t i = 0; i < c->row_count; i++) {
		const struct inw_verdict_row *row = &c->rows[i];
		if (row->verdict[0])
			continue;
		bad += (size_t)is_bad(row->verdict[1]);
		worse += row->step[1] == -1;
		CHECK(row->step[1] == -is_bad(row->verdict[1]));
	}
	CHECK(bad > 0 && worse == bad && c->tally[1].worse >= bad);
	shows(c, ", was not judged");
	shows(c, "  rooms[boiler room].appliances\n    1: -\n    2: natural draught water heater\n");
	shows(c, "guest (resident)");
	shows(c, "  doorways[hatch].between\n    1: -\n    2: workroom, boiler room\n");
	shows(c, "; --full lists them.\n\nVerdicts that change");
	char *full = inw_show_comparison_text(c, INW_SI, INW_FULL);
	CHECK(full && !strstr(full, "--full lists"));
	inw_string_free(full);
	/* what no list tells is not told to be nothing */
	c->difference_count = 0;
	shows(c, "and yet verdicts differ");
	inw_comparison_free(c);
	forget(a);
	forget(b);
	free(text);
	free(other);
}

/* The line of what --full shows more counts what the short text leaves out, each once. */
static void what_is_left_out(void)
{
	char *text = read_text(night), *other = edited(read_text(night), "    - {name: cable holes, kind: hole, face: back, height: 50 mm, diameter: 10 mm, count: 2}\n", "");
	struct judged a = judge(text, "a.yaml"), b = judge(other, "b.yaml");
	struct inw_comparison *c = compare(&a, &b);

	/* the names of all gaps and what this one is stand there; its height, diameter, count, coefficient do not */
	CHECK(c->difference_count == 6);
	shows(c, "  box.gaps[cable holes]: only in 1 (4 inputs)\n");
	shows(c, "  box.gaps[cable holes]\n    1: hole, back, to workroom\n    2: -\n");
	shows(c, "\n4 more differences belong to these or follow from them; --full lists them.\n");
	inw_comparison_free(c);
	forget(a);
	forget(b);
	free(text);
	free(other);
}

/* ---- every word ---- */

/* The example of doc/design-file.md has nearly every key of a design file. */
static char *example(void)
{
	char *doc = read_text("doc/design-file.md"), *from = strstr(doc, "```yaml\n"), *to = from ? strstr(from, "\n```\n") : NULL;
	char *text = calloc(1, strlen(doc) + 1);

	CHECK(to && text);
	if (to && text)
		memcpy(text, from + 8, (size_t)(to - from - 7));
	free(doc);
	return text;
}

/* All that says `old` says `new` from now on. */
static char *replaced(char *text, const char *old, const char *new)
{
	char *out = calloc(1, strlen(text) + 64 * (strlen(new) + 1)), *at = text;
	int n = 0;

	CHECK(out != NULL);
	for (char *hit; out && n < 64 && (hit = strstr(at, old)); at = hit + strlen(old), n++) {
		strncat(out, at, (size_t)(hit - at));
		strcat(out, new);
	}
	check_true_(__FILE__, __LINE__, old, n > 0);
	strcat(out, at);
	free(text);
	return out;
}

/* Of a key of doc/design-file.md: `old` becomes `new` in the example, and the comparison lists `path`. `first` is made of the
 * example before, where it does not have what the key belongs to. */
struct turn { const char *section, *key, *old, *new, *path; const char *first_old, *first_new; };

#define CHOICE "upkeep: {carbon: 18 /kg}\nchoose:\n  least: [money, noise]\n  without: [noise]\n  free: [{what: \"cleaner.stages[2 carbon].diameter\", from: 100 mm, to: 200 mm}]\n" \
	"  among: [{what: \"cleaner.stages[2 carbon].record\", per: \"cleaner.stages[2 carbon].mass\", of: [{record: coconut 4x8, price: 12 1/kg}, {record: coconut 8x16, price: 14 1/kg}]}]\n" \
	"  prices: [{of: \"cleaner.stages[1 particle].area\", price: 30 1/m2}]\ncatalog: {}"
#define OWN_BLOWER "blower: {free_delivery: 60 m3/h, shut_off: 300 Pa, shape: axial, power: 12 W, speed: 70 %}"
#define MEASURED "mass: 0.5 kg, measured: [{substance: toluene, temperature: 25 degC, points: [[0.7 Pa, 200 mg/g], [7 Pa, 240 mg/g]]}]"

static const struct turn turn[] = {
	{"rooms", "name", "bedroom", "attic", "rooms", NULL, NULL},
	{"rooms", "temperature", "temperature: 20 degC          #", "temperature: free #", "rooms[workroom]", NULL, NULL},
	{"rooms", "temperature left out", "temperature: 20 degC (17 degC .. 24 degC)\n", "height: 2.4 m\n", "rooms[workroom]", "height: 2.4 m                 # (default)\n    temperature: 20 degC          # held; or the word  free\n", "temperature: 20 degC (17 degC .. 24 degC)\n"},
	{"rooms", "appliances", "    appliances: [natural draught water heater]", "    ", "rooms[workroom].appliances", NULL, NULL},
	{"rooms", "appliances, of another venting", "[natural draught water heater]", "[wood stove closed]", "rooms[workroom].appliances", NULL, NULL},
	{"doorways", "name", "window, between", "pane, between", "doorways", "window: window", "window: bedroom door"},
	{"doorways", "between", "between: [bedroom, outdoors]", "between: [workroom, outdoors]", "doorways[window].between", NULL, NULL},
	{"doorways", "fixed", "height: 20 mm, sill: 1 m}", "height: 20 mm, sill: 1 m, fixed: yes}", "doorways[window].fixed", NULL, NULL},
	{"people", "name", "name: maker", "name: mender", "people", NULL, NULL},
	{"people", "as", "as: worker", "as: resident", "people", NULL, NULL},
	{"people", "stays", "stays: [{room: bedroom,", "stays: [{room: workroom,", "people[sleeper].stays", NULL, NULL},
	{"people", "stays, each: at_box", "to: \"17:00\"}]", "to: \"17:00\", at_box: yes}]", "people[maker].stays", NULL, NULL},
	{"box", "stands_in", "stands_in: workroom", "stands_in: bedroom", "box.stands_in", NULL, NULL},
	{"box", "planned", "  stands_in:", "  planned: yes\n  stands_in:", "box.planned", NULL, NULL},
	{"box", "gaps", "    - {name: cable hole, kind: hole, face: back, height: 50 mm, diameter: 10 mm, count: 2}\n", "", "box.gaps", NULL, NULL},
	{"box", "door", "  door: {face: front", "  door: {face: back", "box.door", NULL, NULL},
	{"a panel", "material", "material: acrylic", "material: polycarbonate", "box.panels", NULL, NULL},
	{"a panel", "insulation", "insulation: {material: foam", "insulation: {material: plywood", "box.panels", NULL, NULL},
	{"a panel", "insulation left out", ", insulation: {material: foam, thickness: 20 mm}", "", "box.panels", NULL, NULL},
	{"a gap", "name", "name: cable hole", "name: wire hole", "box.gaps", NULL, NULL},
	{"a gap", "kind", "kind: hole, face: back, height: 50 mm, diameter: 10 mm, count: 2", "kind: measured, face: back, height: 50 mm, flow: 2 m3/h, at: 10 Pa", "box.gaps[cable hole]", NULL, NULL},
	{"a gap", "face", "kind: hole, face: back", "kind: hole, face: left", "box.gaps[cable hole]", NULL, NULL},
	{"a gap", "room", "diameter: 10 mm, count: 2", "diameter: 10 mm, count: 2, room: bedroom", "box.gaps[cable hole]", NULL, NULL},
	{"cleaner", "stages", "    - particle: {class: H13, area", "    - particle: {class: E11, area: 0.5 m2}\n    - particle: {class: H13, area", "cleaner.stages", NULL, NULL},
	{"cleaner", "exhaust.to", "exhaust: {to: outdoors", "exhaust: {to: bedroom", "cleaner.exhaust", NULL, NULL},
	{"cleaner", "return", "  return: {height: 50 mm, duct: {diameter: 75 mm, length: 0.5 m, bends: 2}}", "  return: none", "cleaner.return", "    - {at: \"22:00\", flap: 50 %}", "    "},
	{"cleaner", "split.share", "    flap: {position: 20 %, diameter: 75 mm, seat_leak: 1 %}", "    share: 20 %", "cleaner.split", "    - {at: \"22:00\", flap: 50 %}", "    "},
	{"cleaner", "split.tee", "    flap: {position: 20 %, diameter: 75 mm, seat_leak: 1 %}", "    tee: yes", "cleaner.split", "    - {at: \"22:00\", flap: 50 %}", "    "},
	{"a duct", "hose", "hose: yes, stretch: 1.5, ", "", "cleaner.exhaust.duct.roughness", NULL, NULL},
	{"a duct", "room", "length: 0.3 m, bends: 1", "length: 0.3 m, bends: 1, room: bedroom", "cleaner.inlet.duct.room", NULL, NULL},
	{"a duct", "room of the return", "length: 0.5 m, bends: 2", "length: 0.5 m, bends: 2, room: outdoors", "cleaner.return.duct.room", NULL, NULL},
	{"a duct", "room of the exhaust", "insulation: 0.3 m2K/W}}\n       ", "insulation: 0.3 m2K/W, room: outdoors}}\n       ", "cleaner.exhaust.duct.room", NULL, NULL},
	{"a stage", "particle.class", "class: H13", "class: H14", "cleaner.stages[1 particle]", NULL, NULL},
	{"a stage", "carbon.record", "record: coconut 4x8", "record: coconut 8x16", "cleaner.stages[2 carbon]", NULL, NULL},
	{"a stage", "carbon.measured", "mass: 0.5 kg", MEASURED, "cleaner.stages[2 carbon].measured", NULL, NULL},
	{"a stage", "carbon.impregnated", "mass: 0.5 kg", "mass: 0.5 kg, impregnated: yes", "cleaner.stages[2 carbon]", NULL, NULL},
	{"a stage", "blower.record", "record: radial 97 mm", "record: radial 120 mm", "cleaner.stages[3 blower]", NULL, NULL},
	{"a stage", "blower.curve", "[30 m3/h, 240 Pa]", "[30 m3/h, 230 Pa]", "cleaner.stages[3 blower].curve[2].rise", "blower: {record: radial 97 mm, speed: 70 %}", "blower: {curve: [[0 m3/h, 300 Pa], [30 m3/h, 240 Pa], [60 m3/h, 0 Pa]], power: 12 W}"},
	{"a stage", "blower.free_delivery, shut_off, shape", "shape: axial", "shape: forward curved", "cleaner.stages[3 blower]", "blower: {record: radial 97 mm, speed: 70 %}", OWN_BLOWER},
	{"a stage", "blower.forward_curved", "shape: axial", "shape: axial, forward_curved: yes", "cleaner.stages[3 blower]", "blower: {record: radial 97 mm, speed: 70 %}", OWN_BLOWER},
	{"a stage", "blower.motor_in_air", "radial 97 mm, speed: 70 %}", "radial 97 mm, speed: 70 %, motor_in_air: no}", "cleaner.stages[3 blower]", NULL, NULL},
	{"a measured isotherm", "substance", "substance: toluene", "substance: styrene", "cleaner.stages[2 carbon].measured", "mass: 0.5 kg", MEASURED},
	{"a measured isotherm", "points", "[7 Pa, 240 mg/g]", "[7 Pa, 241 mg/g]", "cleaner.stages[2 carbon].measured", "mass: 0.5 kg", MEASURED},
	{"jobs", "name", "name: night splint", "name: late splint", "jobs", NULL, NULL},
	{"jobs", "material", "material: PA,", "material: PETG,", "jobs[night splint].material", NULL, NULL},
	{"jobs", "days", "rate: 15 g/h", "rate: 15 g/h, days: [mon]", "jobs[night splint].days", NULL, NULL},
	{"day", "start", "  start: \"00:00\"   ", "  #", "day.begins", NULL, NULL},
	{"day", "weekday", "  span: 24 h", "  weekday: tuesday\n  span: 24 h", "day.weekday", NULL, NULL},
	{"day", "particle_sizes", "particle_sizes: 32", "particle_sizes: 16", "day.particle_sizes", NULL, NULL},
	{"day", "outdoor", "[[\"06:00\", 1 degC], ", "[", "day.outdoor[2].temperature", NULL, NULL},
	{"day", "doings", "    - {at: \"07:30\", speed: 30 %, for: 1 h}", "    ", "day.doings", NULL, NULL},
	{"a doing", "days", "door: open, for: 3 min", "door: open, for: 3 min, days: [tue]", "day.doings[1]", NULL, NULL},
	{"a doing", "door", "{at: \"07:10\", door: open,", "{at: \"07:10\", speed: 40 %,", "day.doings[1]", NULL, NULL},
	{"a doing", "window", "window: window, width", "window: bedroom door, width", "day.doings[4]", NULL, NULL},
	{"choose", "least", "least: [money, noise]", "least: [noise, money]", "choose.least", "catalog: {}", CHOICE},
	{"choose", "without", "without: [noise]", "without: [power]", "choose.without", "catalog: {}", CHOICE},
	{"choose", "free", "to: 200 mm", "to: 210 mm", "choose.free[cleaner.stages[2 carbon].diameter]", "catalog: {}", CHOICE},
	{"choose", "free, each: what", "carbon].diameter", "carbon].depth", "choose.free", "catalog: {}", CHOICE},
	{"choose", "among", "price: 14 1/kg", "price: 15 1/kg", "choose.among[cleaner.stages[2 carbon].record]", "catalog: {}", CHOICE},
	{"choose", "among, each: of", "{record: coconut 8x16,", "{record: coconut 6x12,", "choose.among[cleaner.stages[2 carbon].record]", "catalog: {}", CHOICE},
	{"choose", "among, each: what", "  among: [", "  sure: 80 %\n  among: [", "choose.sure", "catalog: {}", CHOICE},
	{"choose", "among, each: per", "per: \"cleaner.stages[2 carbon].mass\", of: [{record: coconut 4x8, price: 12 1/kg}, {record: coconut 8x16, price: 14 1/kg}]", "of: [{record: coconut 4x8, price: 12}, {record: coconut 8x16, price: 14}]", "choose.among[cleaner.stages[2 carbon].record]", "catalog: {}", CHOICE},
	{"choose", "prices", "price: 30 1/m2", "price: 31 1/m2", "choose.prices", "catalog: {}", CHOICE},
};

static struct inw_design *designed(const char *text)
{
	struct inw_design *d = NULL;
	struct inw_diags diags = {0};

	CHECK(inw_design_parse(text, strlen(text), "a.yaml", NULL, &d, &diags) == INW_OK);
	for (size_t i = 0; i < diags.count && !d; i++)
		printf("# %d: %s\n", diags.items[i].line, diags.items[i].message);
	inw_diags_free(&diags);
	return d;
}

/* A comparison asks a report for its design and verdicts: here only the designs count. */
static void is_listed(const struct turn *t)
{
	char *text = example(), *other;

	if (t->first_old)
		text = replaced(text, t->first_old, t->first_new);
	other = replaced(strcpy(calloc(1, strlen(text) + 1), text), t->old, t->new);
	struct inw_design *a = designed(text), *b = designed(other);
	const struct judged one = {a, &(struct inw_report){.design = a}}, two = {b, &(struct inw_report){.design = b}};
	struct inw_comparison *c = a && b ? compare(&one, &two) : NULL;
	check_true_(__FILE__, __LINE__, t->key, c && difference(c, t->path));
	if (c && (!difference(c, t->path) || !c->difference_count))
		printf("# %s: no difference '%s'\n", t->section, t->path);
	inw_comparison_free(c);
	inw_design_free(a);
	inw_design_free(b);
	free(text);
	free(other);
}

static bool has_turn(const char *section, const char *key)
{
	for (size_t i = 0; i < INW_COUNT(turn); i++)
		if (strcmp(turn[i].section, section) == 0 && strcmp(turn[i].key, key) == 0)
			return true;
	return false;
}

/* Between the first two of the mark, into `out`; what is behind, or NULL. */
static const char *marked(const char *s, char mark, char *out, size_t size)
{
	const char *from = s ? strchr(s, mark) : NULL, *to = from ? strchr(from + 1, mark) : NULL;

	if (to)
		snprintf(out, size, "%.*s", (int)(to - from - 1), from + 1);
	return to;
}

/* Is a value of this kind words? */
static bool is_word_kind(const char *kind)
{
	static const char *const is[] = {"word", "name", "yes", "`yes`", "list"};

	for (size_t i = 0; i < INW_COUNT(is); i++)
		if (strstr(kind, is[i]))
			return true;
	return false;
}

/* Each key that doc/design-file.md calls a word, a name, a list or a yes has its turn above, but for the lists at the top, whose
 * names have. */
static void all_have_a_turn(void)
{
	char *doc = read_text("doc/design-file.md"), section[64] = "", key[64], what[1024], kind[80];
	int rows = 0;

	for (char *line = strtok(doc, "\n"); line; line = strtok(NULL, "\n")) {
		if (strncmp(line, "## ", 3) == 0 && !marked(line, '`', section, sizeof section))
			snprintf(section, sizeof section, "%s", line + 3);
		else if (strncmp(line, "### ", 4) == 0)
			snprintf(section, sizeof section, "%s", line + 4);
		if (strncmp(line, "| `", 3) != 0 || strcmp(section, "Top of the file") == 0 || strcmp(section, "catalog") == 0)
			continue;
		const char *at = marked(line, '`', key, sizeof key);
		at = marked(at, '|', what, sizeof what);
		if (!marked(at, '|', kind, sizeof kind) || !is_word_kind(kind))
			continue;
		rows++;
		check_true_(__FILE__, __LINE__, key, has_turn(section, key));
	}
	CHECK(rows > 40);
	free(doc);
}

/* A record of the file's own, under the same name in both. */
static void own_record(void)
{
	char *text = read_text(mended), *other = edited(read_text(mended), "per: time, value: 4e9 1/min, low: 1e9 1/min, high: 1.6e10 1/min, studies: 1", "per: time, value: 4e9 1/min, low: 1e9 1/min, high: 1.6e10 1/min, studies: 3");
	struct judged a = judge(text, "a.yaml"), b = judge(other, "b.yaml");
	struct inw_comparison *c = compare(&a, &b);

	CHECK(c->difference_count == 1);
	word_differs(c, "materials[PA splint]", "printing; particles by time, studies: 1; caprolactam by mass, studies: 1", "printing; particles by time, studies: 3; caprolactam by mass, studies: 1");
	shows(c, "  materials[PA splint]\n");
	inw_comparison_free(c);
	forget(a);
	forget(b);
	free(text);
	free(other);
}

/* ---- what is shown ---- */

static void lines_fit(const char *text)
{
	size_t n = 0;

	CHECK(text && *text);
	for (const char *s = text; s && *s; s++) {
		n = *s == '\n' ? 0 : n + (((unsigned char)*s & 0xC0) != 0x80);
		if (n > 80) {
			check_true_(__FILE__, __LINE__, "a line of more than 80 columns", 0);
			return;
		}
	}
}

static void shown(void)
{
	static const char *const file[] = {"examples/splint-night.yaml", "examples/splint-night-mended.yaml", "examples/craft-room.yaml",
	                                   "examples/houseboat-bench.yaml", "examples/splint-night.yaml", "examples/splint-night-mended.yaml"};
	const struct inw_report *r[INW_COUNT(file)];
	struct judged j[INW_COUNT(file)];

	for (size_t i = 0; i < INW_COUNT(file); i++) {
		char *text = read_text(file[i]);
		j[i] = judge(text, file[i]);
		r[i] = j[i].report;
		free(text);
	}
	for (size_t n = 2; n <= INW_COUNT(file); n++) {
		struct inw_comparison *c = NULL;
		struct inw_diags diags = {0};
		CHECK(inw_compare(r, n, &c, &diags) == INW_OK);
		for (int k = 0; c && k < 4; k++) {
			char *s = inw_show_comparison_text(c, k % 2 ? INW_US : INW_SI, k / 2 ? INW_FULL : INW_BRIEF);
			lines_fit(s);
			inw_string_free(s);
		}
		inw_comparison_free(c);
		inw_diags_free(&diags);
	}
	for (size_t i = 0; i < INW_COUNT(file); i++)
		forget(j[i]);
}

static void too_few(void)
{
	char *text = read_text(night);
	struct judged a = judge(text, "a.yaml");
	const struct inw_report *const r[] = {a.report};
	struct inw_comparison *c = NULL;
	struct inw_diags diags = {0};

	CHECK(inw_compare(r, 1, &c, &diags) == INW_BAD_INPUT && !c && diags.errors == 1);
	inw_diags_free(&diags);
	forget(a);
	free(text);
}

int main(void)
{
	beside_itself("examples/splint-night.yaml");
	beside_itself("examples/craft-room.yaml"); /* several jobs */
	one_number();
	same_word();
	many_edits();
	renamed_job();
	a_limit_more();
	one_thing_more();
	what_is_left_out();
	for (size_t i = 0; i < INW_COUNT(turn); i++)
		is_listed(&turn[i]);
	all_have_a_turn();
	own_record();
	shown();
	too_few();
	return check_done();
}
