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
	shown();
	too_few();
	return check_done();
}
