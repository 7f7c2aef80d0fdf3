/* SPDX-License-Identifier: MIT */
/* test_map.c: maps against what they must be: a check of the design with the number written in its file (Y1 of map.c), its
 * zero crossings against bisection by hand and against the fan law, and lines of level against a circle.
 */
#include <stdlib.h>

#include "base/base.h"
#include "base/contour.h"
#include "test/text.h"

/* ---- designs with other numbers in their text ---- */

/* `text` with the one place that says `old` saying `new`. */
static char *replaced(const char *text, const char *old, const char *new)
{
	const char *at = strstr(text, old);
	char *out = calloc(1, strlen(text) + strlen(new) + 1);

	CHECK(at && out && !strstr(at + 1, old));
	if (at && out)
		sprintf(out, "%.*s%s%s", (int)(at - text), text, new, at + strlen(old));
	return out;
}

static struct inw_design *parse(const char *text)
{
	struct inw_diags diags = {0};
	struct inw_design *d = NULL;
	enum inw_status s = inw_design_parse(text, strlen(text), "map.yaml", NULL, &d, &diags);

	for (size_t i = 0; i < diags.count; i++)
		if (diags.items[i].severity == INW_ERROR)
			printf("# %s\n", diags.items[i].message);
	CHECK(s == INW_OK);
	inw_diags_free(&diags);
	return d;
}

static struct inw_report *check(const struct inw_design *d)
{
	struct inw_diags diags = {0};
	struct inw_report *r = NULL;

	CHECK(inw_check(d, &r, &diags) == INW_OK);
	inw_diags_free(&diags);
	return r;
}

static const struct inw_verdict *verdict_of(const struct inw_report *r, const struct inw_map_verdict *v)
{
	for (size_t i = 0; i < r->verdict_count; i++)
		if (strcmp(r->verdicts[i].id, v->id) == 0 && strcmp(r->verdicts[i].job, v->job) == 0)
			return &r->verdicts[i];
	check_true_(__FILE__, __LINE__, "a verdict of the map is none of the report", 0);
	return NULL;
}

static struct inw_map *map_of(const struct inw_design *d, const struct inw_map_options *o)
{
	struct inw_diags diags = {0};
	struct inw_map *m = NULL;
	enum inw_status s = inw_map(d, o, &m, &diags);

	for (size_t i = 0; i < diags.count; i++)
		printf("# %s\n", diags.items[i].message);
	CHECK(s == INW_OK);
	inw_diags_free(&diags);
	return m;
}

/* ---- Y1: a point is a check of the file with the value in it ---- */

static const char *const mended = "examples/splint-night-mended.yaml";

/* The solver stops at relative residuals of 1e-9 or so, from wherever it begins: what both find agrees a little less well.
 * A balance is nothing but what is left of rounding. */
static void same_number(const char *id, double got, double want, double more)
{
	if (strcmp(id, "balance") == 0)
		return;
	if (isnan(want) || isinf(want)) {
		CHECK((isnan(want) && isnan(got)) || got == want);
		return;
	}
	CHECK_ABS(got, want, 1e-6 * fmax(fabs(want), 1e-6) + more, "a check of the design with the value in its file");
}

static void same_point(const struct inw_map *m, size_t point, const char *text)
{
	struct inw_design *d = parse(text);
	struct inw_report *r = check(d);

	for (size_t v = 0; v < m->verdict_count; v++) {
		const struct inw_map_verdict *of = &m->verdicts[v];
		const struct inw_verdict *want = verdict_of(r, of);
		if (!want)
			continue;
		same_number(of->id, of->value[point], want->value, 0);
		if (!m->sure)
			same_number(of->id, of->margin[point], want->margin, 1e-6 * fabs(want->value));
		if (m->sure)
			CHECK(of->word[point] == want->word);
		if (m->sure && want->word == INW_MEETS)
			CHECK(of->margin[point] >= 0);
		if (m->sure && want->word == INW_MISSES)
			CHECK(!(of->margin[point] >= 0));
	}
	inw_report_free(r);
	inw_design_free(d);
}

static void points_of_curve(bool sure)
{
	char *text = read_text(mended), new[80];
	struct inw_design *d = parse(text);
	const struct inw_map_options o = {.axis = {{.name = "flap.position", .from = NAN, .to = NAN, .points = 9}}, .axes = 1, .sure = sure};
	struct inw_map *m = map_of(d, &o);

	CHECK_ABS(m->axis[0].at[0], 0, 0, "all that a share may be");
	CHECK_ABS(m->axis[0].at[m->points - 1], 1, 0, "all that a share may be");
	CHECK(m->points > 9); /* the changes were sought */
	for (size_t i = 0; i < m->points; i += sure ? 11 : 5) {
		snprintf(new, sizeof new, "position: %.17g %%", 100 * m->axis[0].at[i]);
		char *moved = replaced(text, "position: 66 %", new);
		same_point(m, i, moved);
		free(moved);
	}
	for (size_t v = 0; v < m->verdict_count; v++) { /* now */
		struct inw_report *r = check(d);
		const struct inw_verdict *want = verdict_of(r, &m->verdicts[v]);
		if (want)
			same_number(m->verdicts[v].id, m->verdicts[v].value_now, want->value, 0);
		inw_report_free(r);
	}
	inw_map_free(m);
	inw_design_free(d);
	free(text);
}

/* What follows from the number goes along: mass and wall of a bed of another width. */
static void points_of_plane(void)
{
	char *text = read_text(mended), new[80];
	struct inw_design *d = parse(text);
	const struct inw_map_options o = {.axis = {{.name = "cleaner.stages[2 carbon].diameter", .from = 0.2, .to = 0.32, .points = 4},
	                                           {.name = "rooms[workroom].temperature", .from = NAN, .to = NAN, .points = 3}}, .axes = 2};
	struct inw_map *m = map_of(d, &o);

	CHECK(m->points == 12);
	for (size_t i = 0; i < m->points; i += 3) {
		snprintf(new, sizeof new, "diameter: %.17g m, depth: 60 mm", m->axis[0].at[i % 4]);
		char *once = replaced(text, "diameter: 260 mm, depth: 60 mm", new);
		snprintf(new, sizeof new, "temperature: %.17g K", m->axis[1].at[i / 4]);
		char *twice = replaced(once, "temperature: 20 degC", new);
		same_point(m, i, twice);
		free(once);
		free(twice);
	}
	inw_map_free(m);
	inw_design_free(d);
	free(text);
}

/* A requirement may be moved too: its own verdict's limit goes along. */
static void points_of_requirement(void)
{
	char *text = read_text(mended), new[40];
	struct inw_design *d = parse(text);
	const char *of = "noise";
	const struct inw_map_options o = {.axis = {{.name = "require.noise", .from = 30, .to = 60, .points = 5}}, .axes = 1, .of = &of, .of_count = 1};
	struct inw_map *m = map_of(d, &o);

	CHECK(m->verdict_count == 1);
	for (size_t i = 0; i < m->points; i += 2) {
		snprintf(new, sizeof new, "noise: %.17g dB", m->axis[0].at[i]);
		char *moved = replaced(text, "noise: 45 dB", new);
		same_point(m, i, moved);
		free(moved);
	}
	/* it is met from the sound on */
	CHECK(m->met_count == 1);
	CHECK_ABS(m->met[0].from, m->verdicts[0].value_now, m->precision, "the sound itself");
	inw_map_free(m);
	inw_design_free(d);
	free(text);
}

/* What a heater holds is in no equation while it is off, or at full power: from point to point it is put right all the same. And a
 * narrow band between two points is found. `power` and the target that is written say how it begins. */
static void points_of_heater(const char *heater)
{
	char *mends = read_text(mended), new[80];
	char *text = replaced(mends, "heater: {power: 300 W, target: 50 degC}", heater), *narrow = replaced(text, "chamber: {from: 45 degC, to: 70 degC}", "chamber: {from: 50 degC, to: 50.8 degC}");
	struct inw_design *d = parse(narrow);
	const struct inw_map_options o = {.axis = {{.name = "heater.target", .from = 294.15, .to = 364.15, .points = 15}}, .axes = 1};
	struct inw_map *m = map_of(d, &o);

	for (size_t i = 0; i < m->points; i += 2) {
		snprintf(new, sizeof new, "target: %.17g K", m->axis[0].at[i]);
		char *moved = replaced(narrow, strstr(heater, "60") ? "target: 60 degC" : "target: 40 degC", new);
		same_point(m, i, moved);
		free(moved);
	}
	for (size_t v = 0; v < m->verdict_count; v++)
		if (strcmp(m->verdicts[v].id, "chamber_temperature") == 0 && strstr(heater, "300")) {
			CHECK(m->verdicts[v].met_count == 1);
			CHECK_ABS(m->verdicts[v].met[0].from, 273.15 + 50, m->precision, "where the heater holds its target");
			CHECK_ABS(m->verdicts[v].met[0].to, 273.15 + 50.8, m->precision, "where the heater holds its target");
		}
	inw_map_free(m);
	inw_design_free(d);
	free(mends);
	free(text);
	free(narrow);
}

/* ---- crossings ---- */

static double margin_at(const char *text, const char *id, double position)
{
	char new[64];

	snprintf(new, sizeof new, "position: %.17g %%", 100 * position);
	char *moved = replaced(text, "position: 66 %", new);
	struct inw_design *d = parse(moved);
	struct inw_report *r = check(d);
	const struct inw_verdict *v = verdict_of(r, &(struct inw_map_verdict){.id = id, .job = r->verdicts[0].job});
	double margin = v ? v->margin : NAN;
	inw_report_free(r);
	inw_design_free(d);
	free(moved);
	return margin;
}

static void crossing_by_hand(void)
{
	char *text = read_text(mended);
	struct inw_design *d = parse(text);
	const struct inw_map_options o = {.axis = {{.name = "flap.position", .from = NAN, .to = NAN}}, .axes = 1};
	struct inw_map *m = map_of(d, &o);
	double low = 0, high = 1;

	for (int i = 0; i < 14; i++) {
		double middle = 0.5 * (low + high);
		*(margin_at(text, "inward_pressure", middle) >= 0 ? &high : &low) = middle;
	}
	CHECK(strcmp(m->verdicts[0].id, "inward_pressure") == 0 && m->verdicts[0].met_count == 1);
	CHECK_ABS(m->verdicts[0].met[0].from, high, m->precision + 1.0 / (1 << 14), "bisection of checks");
	CHECK(m->precision <= 1.001 / 1024);
	CHECK(m->met_count == 1 && m->met[0].from >= m->verdicts[0].met[0].from);
	inw_map_free(m);
	inw_design_free(d);
	free(text);
}

/* A fan's level goes with 55 lg of its speed (noise.c has the source); nothing else of this design makes a sound that
 * matters, so the line at which its limit is just met lies at a speed that a pocket calculator tells, whatever the flap does. */
static void line_of_the_fan_law(void)
{
	char *text = read_text(mended);
	struct inw_design *d = parse(text);
	const char *of = "noise";
	const struct inw_map_options o = {.axis = {{.name = "flap.position", .from = 0.2, .to = 0.9, .points = 4}, {.name = "cleaner.stages[3 blower].speed", .from = 0.5, .to = 1, .points = 26}},
	                                  .axes = 2, .of = &of, .of_count = 1};
	struct inw_map *m = map_of(d, &o);
	double speed = 0.7 * pow(10, m->verdicts[0].margin_now / 55);

	CHECK(m->verdicts[0].zero_count == 1);
	for (size_t i = 0; m->verdicts[0].zero_count && i < m->verdicts[0].zero[0].count; i++)
		CHECK_REL(m->verdicts[0].zero[0].y[i], speed, 2e-4, "55 lg of the speed, straight over steps of 2 %");
	inw_map_free(m);
	inw_design_free(d);
	free(text);
}

/* ---- lines of level ---- */

enum { MOST = 129 };
static double grid_x[MOST], grid_z[MOST * MOST];

static struct inw_grid circle(size_t n)
{
	for (size_t i = 0; i < n; i++)
		grid_x[i] = -1 + 2 * (double)i / (double)(n - 1);
	for (size_t j = 0; j < n; j++)
		for (size_t i = 0; i < n; i++)
			grid_z[j * n + i] = grid_x[i] * grid_x[i] + grid_x[j] * grid_x[j];
	return (struct inw_grid){grid_x, grid_x, grid_z, n, n};
}

static double length_of(const struct inw_map_line *l)
{
	double sum = 0;

	for (size_t i = 1; i < l->count; i++)
		sum += hypot(l->x[i] - l->x[i - 1], l->y[i] - l->y[i - 1]);
	return sum;
}

static double area_below(const struct inw_grid *g, double level)
{
	struct inw_cell_shape s[2];
	double sum = 0;

	for (size_t j = 0; j + 1 < g->ny; j++)
		for (size_t i = 0; i + 1 < g->nx; i++)
			for (size_t k = inw_contour_below(g, level, i, j, s); k-- > 0;)
				for (size_t p = 0; p < s[k].n; p++) {
					size_t q = (p + 1) % s[k].n;
					sum += 0.5 * (s[k].x[p] * s[k].y[q] - s[k].x[q] * s[k].y[p]);
				}
	return sum;
}

/* Error of the straight pieces falls with the square of the spacing: 4 times for half of it. */
static void circle_converges(void)
{
	const double r = 0.7321, pi = acos(-1);
	double before_length = NAN, before_area = NAN;

	for (size_t n = 17; n <= MOST; n = 2 * n - 1) {
		struct inw_arena *arena = inw_arena_new(1 << 24);
		struct inw_grid g = circle(n);
		struct inw_map_line *lines = NULL;
		size_t count = 0;
		CHECK(inw_contour(&g, r * r, arena, &lines, &count) == 0);
		CHECK(count == 1 && lines[0].closed);
		double length = fabs(length_of(&lines[0]) - 2 * pi * r), area = fabs(area_below(&g, r * r) - pi * r * r);
		/* chords are short by pi h^2 / 12 r, and lie inside by up to h^2 / 8 r where x^2 is taken as straight: 1.4 + 2.9 of h^2/4 */
		CHECK_ABS(length, 0, 6.0 / (double)((n - 1) * (n - 1)), "2 pi r");
		CHECK_ABS(area, 0, 8.0 / (double)((n - 1) * (n - 1)), "pi r^2");
		if (n > 17) {
			CHECK(before_length / length > 2.8 && before_length / length < 5.6); /* 4, but for where the points fall */
			CHECK(before_area / area > 2.8 && before_area / area < 5.6);
		}
		before_length = length;
		before_area = area;
		inw_arena_free(arena);
	}
}

static void lines_of(const double *z, size_t n, double level, size_t want, bool closed)
{
	static const double at[] = {0, 1, 2, 3};
	const struct inw_grid g = {at, at, z, n, n};
	struct inw_arena *arena = inw_arena_new(1 << 20);
	struct inw_map_line *lines = NULL;
	size_t count = 0;

	CHECK(inw_contour(&g, level, arena, &lines, &count) == 0);
	CHECK(count == want);
	for (size_t i = 0; i < count; i++)
		CHECK(lines[i].closed == closed);
	inw_arena_free(arena);
}

static void small_grids(void)
{
	const double flat[] = {1, 1, 1, 1}, saddle[] = {1, -1, -1, 1}, high_saddle[] = {1, -0.1, -0.1, 1}, peak[] = {0, 0, 0, 0, 1, 0, 0, 0, 0},
	             hole[] = {NAN, 0, 0, 1}, wall[] = {0, INFINITY, 0, INFINITY};
	const double at[] = {0, 1};
	struct inw_cell_shape s[2];

	lines_of(flat, 2, 0, 0, false);
	lines_of(flat, 2, 1, 0, false); /* on the level is above it */
	lines_of(saddle, 2, 0, 2, false);
	lines_of(peak, 3, 0.5, 1, true);
	lines_of(hole, 2, 0.5, 0, false);
	lines_of(wall, 2, 0.5, 1, false);
	/* the middle is above: the two low corners are cut off each by itself; below: they hang together */
	CHECK(inw_contour_below(&(struct inw_grid){at, at, high_saddle, 2, 2}, 0, 0, 0, s) == 2 && s[0].n == 3 && s[1].n == 3);
	CHECK(inw_contour_below(&(struct inw_grid){at, at, high_saddle, 2, 2}, 0.9, 0, 0, s) == 1 && s[0].n == 6);
	CHECK(inw_contour_below(&(struct inw_grid){at, at, hole, 2, 2}, 0.5, 0, 0, s) == 0);
	CHECK(inw_contour_below(&(struct inw_grid){at, at, flat, 2, 2}, 2, 0, 0, s) == 1 && s[0].n == 4);
}

/* ---- what is refused, what is stopped ---- */

static bool stop_at_once(void *context)
{
	return ++*(int *)context > 3;
}

static void refused(const char *name, double from, double to, const char *of, const char *words)
{
	char *text = read_text(mended);
	struct inw_design *d = parse(text);
	struct inw_diags diags = {0};
	struct inw_map *m = NULL;
	const struct inw_map_options o = {.axis = {{.name = name, .from = from, .to = to}}, .axes = 1, .of = &of, .of_count = of ? 1 : 0};

	CHECK(inw_map(d, &o, &m, &diags) == INW_BAD_INPUT && !m);
	CHECK(diags.errors == 1 && diags.count == 1);
	if (diags.count != 1 || !strstr(diags.items[0].message, words)) {
		check_true_(__FILE__, __LINE__, "the words of a fault", 0);
		printf("# want %s, got %s\n", words, diags.count ? diags.items[0].message : "nothing");
	}
	inw_diags_free(&diags);
	inw_design_free(d);
	free(text);
}

static void bad_input(void)
{
	refused("flap.positon", NAN, NAN, NULL, "did you mean 'flap.position'?");
	refused("box.inside.hieght", NAN, NAN, NULL, "did you mean 'box.inside.height'?");
	refused("depth", NAN, NAN, NULL, "may mean");
	refused("cleaner.stages[2 carbon].area", NAN, NAN, NULL, "worked out from others");
	refused("box.gaps[lid seam].rise", NAN, NAN, NULL, "form of the design");
	refused("flap.position", 0, 1.2, NULL, "from 0 % to 100 % only");
	refused("flap.position", 0.6, 0.5, NULL, "must rise");
	refused("box.gaps[floor seam].height", NAN, NAN, NULL, "name a range");
	refused("flap.position", NAN, NAN, "nois", "did you mean 'noise'?");
	refused("flap.position", NAN, NAN, "power", "nothing is required");
}

static void stopped(void)
{
	char *text = read_text(mended);
	struct inw_design *d = parse(text);
	struct inw_diags diags = {0};
	struct inw_map *m = NULL;
	int asked = 0;
	const struct inw_map_options o = {.axis = {{.name = "flap.position", .from = NAN, .to = NAN}}, .axes = 1, .stop = stop_at_once, .context = &asked};

	CHECK(inw_map(d, &o, &m, &diags) == INW_IO && !m && diags.count == 0);
	CHECK(asked == 4);
	inw_diags_free(&diags);
	inw_design_free(d);
	free(text);
}

/* Y2: a box that its gaps do not fit into is none, so it has no answer. */
static void what_may_not_be(void)
{
	char *text = read_text(mended), *lid = text ? strstr(text, ", height: 600 mm, length") : NULL;

	CHECK(lid);
	if (lid) /* the seam of the lid goes with it */
		memset(lid + 1, ' ', strlen(" height: 600 mm,"));
	struct inw_design *d = parse(text);
	const struct inw_map_options o = {.axis = {{.name = "box.inside.height", .from = 0.3, .to = 0.9}}, .axes = 1};
	struct inw_map *m = map_of(d, &o);

	CHECK(m->note_count == 1 && strstr(m->notes[0], "but the box is 300 mm high"));
	for (size_t i = 0; i < m->points; i++)
		CHECK(isnan(m->least[i]) == (m->axis[0].at[i] < 0.55)); /* the inlet is highest */
	inw_map_free(m);
	inw_design_free(d);
	free(text);
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

static void shown(const char *file, size_t axes)
{
	char *text = read_text(file);
	struct inw_design *d = parse(text);
	const struct inw_map_options o = {.axis = {{.name = "flap.position", .from = NAN, .to = NAN, .points = 7}, {.name = "cleaner.stages[3 blower].speed", .from = NAN, .to = NAN, .points = 5}}, .axes = axes};
	struct inw_map *m = map_of(d, &o);
	for (int k = 0; k < 4; k++) {
		char *s = inw_show_map_text(m, k % 2 ? INW_US : INW_SI, k / 2 ? INW_FULL : INW_BRIEF);
		lines_fit(s);
		CHECK(s && strstr(s, axes == 1 ? "Quantity: cleaner.split.flap.position" : "Across:   cleaner.split.flap.position"));
		inw_string_free(s);
	}
	char *csv = inw_show_map_csv(m);
	size_t rows = 0;
	for (const char *s = csv; s && *s; s++)
		rows += *s == '\n';
	CHECK(rows == m->points + 1);
	CHECK(csv && strncmp(csv, "cleaner.split.flap.position,", 28) == 0);
	inw_string_free(csv);
	inw_map_free(m);
	inw_design_free(d);
	free(text);
}

/* What the section `choose` frees can be moved like anything else, and beyond the bounds that it names. */
static void freed_number(void)
{
	char *text = read_text(mended), whole[1 << 15];

	snprintf(whole, sizeof whole, "%s\nchoose:\n  least: [noise]\n  free:\n    - {what: flap.position, from: 10 %%, to: 90 %%}\n    - {what: \"cleaner.stages[3 blower].speed\", from: 30 %%, to: 100 %%}\n", text);
	struct inw_design *plain_one = parse(text), *d = parse(whole);
	const struct inw_map_options o = {.axis = {{.name = "flap.position", .from = NAN, .to = NAN, .points = 5}}, .axes = 1};
	struct inw_map *want = map_of(plain_one, &o), *m = map_of(d, &o);

	CHECK(m && want && m->note_count == 0 && m->points == want->points && m->verdict_count == want->verdict_count);
	for (size_t v = 0; m && want && v < m->verdict_count; v++)
		for (size_t i = 0; i < m->points; i++)
			CHECK(memcmp(&m->verdicts[v].value[i], &want->verdicts[v].value[i], sizeof(double)) == 0);
	inw_map_free(m);
	inw_map_free(want);
	inw_design_free(d);
	inw_design_free(plain_one);
	free(text);
}

/* Nine degrees Fahrenheit to spare are no temperature. */
static void apart_in_us_units(void)
{
	char *text = read_text(mended);
	struct inw_design *d = parse(text);
	const char *const of[] = {"chamber_temperature"};
	const struct inw_map_options o = {.axis = {{.name = "heater.target", .from = NAN, .to = NAN, .points = 5}}, .axes = 1, .of = of, .of_count = 1};
	struct inw_map *m = map_of(d, &o);
	char *us = m ? inw_show_map_text(m, INW_US, INW_BRIEF) : NULL;

	CHECK(us && strstr(us, "degF of difference"));
	free(us);
	inw_map_free(m);
	inw_design_free(d);
	free(text);
}

int main(void)
{
	setvbuf(stdout, NULL, _IOLBF, BUFSIZ);
	circle_converges();
	small_grids();
	points_of_curve(false);
	points_of_curve(true);
	points_of_plane();
	points_of_requirement();
	points_of_heater("heater: {power: 300 W, target: 40 degC}");
	points_of_heater("heater: {power: 25 W, target: 60 degC}");
	crossing_by_hand();
	line_of_the_fan_law();
	bad_input();
	stopped();
	what_may_not_be();
	freed_number();
	apart_in_us_units();
	shown(mended, 1);
	shown(mended, 2);
	shown("examples/splint-night.yaml", 1);
	shown("examples/splint-night.yaml", 2);
	return check_done();
}
