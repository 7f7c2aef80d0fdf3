/* SPDX-License-Identifier: MIT */
/* test_life_show.c: text, CSV, JSON and picture of months made by hand. With "--json NAME" it prints one, for
 * validate.py. Expected numbers are worked out by hand in life_sample.h. */
#include <dirent.h>
#include <jansson.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <unistd.h>

#include "check.h"
#include "life_sample.h"
#include "test/show/files.h"
#include "show/life_parts.h"

static struct life_sample sample;

/* fontconfig, below cairo, keeps some blocks for good; under a leak sanitizer they are not ours to free. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
	return "leak:libfontconfig";
}

static size_t widest_line(const char *s)
{
	size_t most = 0, n = 0;
	for (; *s; s++) {
		n = *s == '\n' ? 0 : n + (((unsigned char)*s & 0xC0) != 0x80);
		most = n > most ? n : most;
	}
	return most;
}

static bool has(const char *s, const char *part)
{
	return s && strstr(s, part);
}

static bool in_order(const char *s, const char *first, const char *second)
{
	const char *a = s ? strstr(s, first) : NULL;
	return a && strstr(a, second);
}

/* `s` with each stretch of white space as one space, so that a test does not depend on where a line was broken. */
static char *unwrapped(const char *s)
{
	char *out = malloc(strlen(s) + 1), *w = out;
	for (; out && *s; s++)
		if ((*s != ' ' && *s != '\n') || (s[1] != ' ' && s[1] != '\n'))
			*w++ = *s == '\n' ? ' ' : *s;
	if (w)
		*w = '\0';
	return out;
}

static char *text_of(enum inw_units units, enum inw_detail detail)
{
	char *t = inw_show_life_text(&sample.report, units, detail);
	CHECK(t != NULL);
	CHECK(widest_line(t) <= 80);
	CHECK(!has(t, "safe") && !has(t, "Safe") && !has(t, "{{"));
	CHECK(!has(t, "nan") && !has(t, "inf "));
	char *flat = unwrapped(t);
	inw_string_free(t);
	return flat;
}

/* ---- text -------------------------------------------------------------------------------------------------------- */

static void test_text(void)
{
	life_sample_make(&sample);
	char *t = text_of(INW_SI, INW_BRIEF);
	CHECK(strncmp(t, "Verdict: IN DOUBT: ", 19) == 0);
	CHECK(has(t, "Change: it is spent after 5 months at best estimate; at the bad end of what is assumed after 5 weeks, at the good end after 10 months."));
	CHECK(has(t, "Running: 600 h with a job running by then; wanted: at least 300 h."));
	CHECK(has(t, "Why: Toluene: more passes than is allowed."));
	CHECK(has(t, "the same week again and again, followed for 5 months."));
	CHECK(in_order(t, "Gas a week held given back 1 % passes 10 % passes", "Toluene, by hand 70 mg 1.4 g 500 ug at once 19 weeks"));
	CHECK(in_order(t, "Styrene 1 mg 20 mg 0 g not yet not yet", "Formaldehyde 3 mg not held - - -"));
	CHECK(has(t, "'1 particle' is loaded: 6 months."));
	CHECK(in_order(t, "Carbon per year 1.3 kg", "Electrical energy per year 100 kWh"));
	CHECK(in_order(t, "Cost per year 55", "No price is given for heating: not counted.")); /* also in brief: a part of the cost is not the cost */
	CHECK(!has(t, "One filling per change"));
	CHECK(in_order(t, "Use of the carbon (life_use)", "it holds at the best estimate and fails at the bad end"));
	CHECK(has(t, "One week was followed in full and its air repeated. A full run of the last week, from the same carbon and with media as loaded as they are by then, differs by 0.02 %"));
	CHECK(in_order(t, "Cautions", "certifies nothing"));
	CHECK(!has(t, "exceeds a limit"));
	free(t);
	t = text_of(INW_US, INW_FULL);
	CHECK(has(t, "Carbon per year 2.87 lb")); /* 1.3036 kg / 0.45359237 */
	CHECK(in_order(t, "Toluene, by hand, at home, for long (3 ug/m3): 10 weeks", "1 more limits of these gases are kept"));
	CHECK(has(t, "One filling per change"));
	CHECK(has(t, "Limit from: the hand"));
	free(t);
}

/* Each way in which a life can end. */
static void test_answers(void)
{
	struct inw_life_report *r = &sample.report;
	life_sample_make(&sample);
	r->spent_low_s = 0;
	r->spent_high_s = INFINITY;
	char *t = text_of(INW_SI, INW_BRIEF);
	CHECK(has(t, "at the bad end of what is assumed from the first day on, at the good end not within what was looked ahead"));
	free(t);
	r->spent_s = INFINITY;
	sample.verdict[0].bound = INW_MORE_THAN;
	t = text_of(INW_SI, INW_BRIEF);
	CHECK(has(t, "at best estimate it is not spent within 24 months, at the bad end of what is assumed from the first day on."));
	CHECK(has(t, "Running: more than 600 h"));
	CHECK(has(t, "the carbon lets too much through: more than 25 d") || has(t, "more than 25 d; wanted"));
	free(t);
	t = inw_show_life_json(r);
	CHECK(has(t, "\"value_s\": null") && has(t, "\"value_more_than_s\": 2160000"));
	free(t);
	r->spent_low_s = INFINITY;
	t = text_of(INW_SI, INW_BRIEF);
	CHECK(has(t, "within the 24 months that were looked ahead it is not spent, nor at the bad end"));
	free(t);
	r->spent_s = r->spent_low_s = 0;
	t = text_of(INW_SI, INW_BRIEF);
	CHECK(has(t, "however often it is changed: this bed lets too much through from the first day on."));
	CHECK(!has(t, "Running:"));
	free(t);
	sample.verdict[0].word = INW_STATED;
	sample.verdict[0].sense = INW_NO_LIMIT;
	r->overall = INW_MEETS;
	r->shortcut_error = NAN;
	t = text_of(INW_SI, INW_BRIEF);
	CHECK(strncmp(t, "Verdict: none. No least life is required", 40) == 0);
	CHECK(has(t, "All of it was followed in full"));
	CHECK(!has(t, "What is required"));
	free(t);
}

static void test_parts(void)
{
	char out[INW_CELL];
	life_sample_make(&sample);
	CHECK_TEXT(inw_life__span(out, sizeof out, 86400), "1 day");
	CHECK_TEXT(inw_life__span(out, sizeof out, 3600), "less than a day");
	CHECK_TEXT(inw_life__span(out, sizeof out, 13 * 86400), "13 days");
	CHECK_TEXT(inw_life__span(out, sizeof out, 14 * 86400), "2 weeks");
	CHECK_TEXT(inw_life__span(out, sizeof out, 19 * life_week), "19 weeks");
	CHECK_TEXT(inw_life__span(out, sizeof out, 365 * 86400.0), "12 months");
	CHECK_TEXT(inw_life__moment(out, sizeof out, 0), "new");
	CHECK_TEXT(inw_life__moment(out, sizeof out, 3 * life_week), "week 3");
	CHECK_TEXT(inw_life__short_title(out, sizeof out, &sample.gas[0]), "Toluene");
	CHECK(inw_life__verdict(&sample.report, "life_use") == sample.verdict && !inw_life__verdict(&sample.report, "life"));
}

static void test_text_hard(void)
{
	static char long_name[600];
	life_sample_blank(&sample);
	free(text_of(INW_SI, INW_FULL));
	life_sample_make(&sample);
	memset(long_name, 'x', sizeof long_name - 1);
	sample.report.title = long_name;
	sample.gas[1].title = "a \x1B[31mred\x07 \xFF gas";
	char *t = text_of(INW_SI, INW_FULL);
	CHECK(!has(t, "\x1B") && !has(t, "\x07"));
	free(t);
	sample.report.series.rows = sample.report.series.columns = sample.report.verdict_count = sample.report.gas_count = 0;
	free(text_of(INW_SI, INW_FULL));
}

/* ---- CSV --------------------------------------------------------------------------------------------------------- */

/* One field of RFC 4180 at *s into out; *s then stands behind the comma or the CR LF. The byte that ended it. */
static int field(const char **s, char *out)
{
	bool quoted = **s == '"';
	const char *p = *s + quoted;
	for (;; p++) {
		if (quoted ? *p == '"' && p[1] != '"' : *p == ',' || *p == '\r' || !*p)
			break;
		if (quoted && *p == '"')
			p++;
		*out++ = *p;
	}
	*out = '\0';
	p += quoted;
	int end = *p;
	*s = p + (end == '\r' ? 2 : end != 0);
	return end;
}

static void test_csv(void)
{
	char f[200];
	int end = 0, wrong = 0;
	life_sample_make(&sample);
	char *t = inw_show_life_csv(&sample.report);
	const char *s = t;
	CHECK(has(t, "time_s,gases[toluene].let_through,gases[toluene].on_carbon_kg,gases[toluene].after_carbon_kgm3,"));
	CHECK(has(t, "\"air[mender, \"\"night\"\"]\",air[sleeper]\r\n"));
	for (size_t c = 0; c < LIFE_COLUMNS; c++)
		end = field(&s, f);
	CHECK(end == '\r');
	for (size_t i = 0; i < LIFE_ROWS; i++)
		for (size_t c = 0; c < LIFE_COLUMNS; c++) {
			end = field(&s, f);
			double want = sample.value[i * LIFE_COLUMNS + c];
			wrong += (c + 1 == LIFE_COLUMNS) != (end == '\r');
			wrong += isnan(want) ? *f != '\0' : !(fabs(strtod(f, NULL) - want) <= 1e-14 * fabs(want));
		}
	CHECK(wrong == 0);
	CHECK(*s == '\0'); /* and nothing after the last row */
	inw_string_free(t);
}

/* ---- JSON -------------------------------------------------------------------------------------------------------- */

static void test_json(void)
{
	json_error_t e;
	life_sample_make(&sample);
	sample.report.spent_high_s = INFINITY;
	char *t = inw_show_life_json(&sample.report);
	json_t *o = json_loads(t ? t : "", JSON_REJECT_DUPLICATES, &e);
	json_t *columns = json_object_get(json_object_get(o, "series"), "columns");
	json_t *passes = json_object_get(json_array_get(columns, 1), "values");
	json_t *gas = json_array_get(json_object_get(o, "gases"), 0), *limits = json_object_get(gas, "limits");
	CHECK(json_array_size(columns) == LIFE_COLUMNS && json_array_size(passes) == LIFE_ROWS);
	CHECK_REL(json_real_value(json_array_get(passes, LIFE_ROWS - 1)), 0.1, 1e-12, "life_sample.h");
	CHECK(json_is_null(json_array_get(json_object_get(json_array_get(columns, 7), "values"), 0))); /* not held */
	CHECK_ABS(json_number_value(json_object_get(o, "spent_s")), 12096000, 0, "20 weeks");
	CHECK_ABS(json_number_value(json_object_get(o, "spent_low_s")), 3024000, 0, "5 weeks");
	CHECK(json_is_null(json_object_get(o, "spent_high_s")));
	CHECK_REL(json_number_value(json_object_get(gas, "given_back_idle_kg")), 4e-7, 1e-12, "life_sample.h");
	CHECK_REL(json_number_value(json_object_get(gas, "passes_10_percent_s")), 19 * life_week, 1e-12, "life_sample.h");
	CHECK(json_is_null(json_object_get(gas, "passes_50_percent_s")));
	CHECK(json_array_size(limits) == 2 && json_is_null(json_object_get(json_array_get(limits, 1), "reached_s")));
	CHECK(json_is_false(json_object_get(json_array_get(json_object_get(o, "gases"), 2), "held_by_carbon")));
	CHECK(json_array_size(json_object_get(o, "verdicts")) == LIFE_VERDICTS);
	json_t *bed = json_array_get(json_object_get(o, "beds"), 0);
	CHECK(json_array_size(json_object_get(bed, "times_s")) == LIFE_TIMES && json_is_null(json_object_get(bed, "strongest_time_s")));
	json_decref(o);
	inw_string_free(t);
}

/* ---- picture ----------------------------------------------------------------------------------------------------- */

static enum inw_status draw(const char *path, enum inw_units units, const char *message)
{
	struct inw_diags d = {0};
	enum inw_status s = inw_show_life_picture(&sample.report, path, units, &d);
	CHECK(message ? d.count == 1 && has(d.items[0].message, message) : d.count == 0);
	inw_diags_free(&d);
	return s;
}

static void test_picture_files(void)
{
	static unsigned char a[1 << 20], b[1 << 20];
	life_sample_make(&sample);
	CHECK(draw(in_folder("a.svg"), INW_SI, NULL) == INW_OK);
	CHECK(draw(in_folder("a.pdf"), INW_SI, NULL) == INW_OK);
	CHECK(draw(in_folder("b.pdf"), INW_SI, NULL) == INW_OK);
	CHECK(draw(in_folder("a.png"), INW_US, NULL) == INW_OK);
	CHECK(each_file(false) == 4); /* and no temporary file */
	CHECK(read_all(in_folder("a.svg"), a, sizeof a) > 1000 && memcmp(a, "<?xml", 5) == 0);
	CHECK(read_all(in_folder("a.png"), a, sizeof a) > 1000 &&
	      memcmp(a, "\x89PNG\r\n\x1A\n", 8) == 0); /* ISO/IEC 15948, 5.2 */
	size_t n = read_all(in_folder("a.pdf"), a, sizeof a), m = read_all(in_folder("b.pdf"), b, sizeof b);
	CHECK(n > 1000 && n < sizeof a && memcmp(a, "%PDF-", 5) == 0);
	CHECK(n == m && memcmp(a, b, n) == 0); /* the same report, the same bytes */
}

/* Nothing known, nothing to draw, a single row, more gases and people than there is room for, and each way to end. */
static void test_picture_shapes(void)
{
	static struct inw_life_gas many[40];
	struct inw_life_report *r = &sample.report;
	life_sample_blank(&sample);
	CHECK(draw(in_folder("c.svg"), INW_SI, NULL) == INW_OK);
	life_sample_make(&sample);
	r->series.rows = 1;
	CHECK(draw(in_folder("c.svg"), INW_SI, NULL) == INW_OK);
	r->series.rows = r->series.columns = r->bed_count = r->verdict_count = r->gas_count = 0;
	r->followed_s = r->spent_s = r->spent_low_s = 0;
	CHECK(draw(in_folder("c.svg"), INW_SI, NULL) == INW_OK);
	life_sample_make(&sample);
	for (size_t i = 0; i < INW_COUNT(many); i++)
		many[i] = sample.gas[i % 2];
	r->gases = many;
	r->gas_count = INW_COUNT(many);
	r->title = "\xFF broken \x1B";
	r->spent_low_s = 0;
	CHECK(draw(in_folder("c.svg"), INW_US, NULL) == INW_OK);
	life_sample_make(&sample);
	r->spent_s = r->spent_low_s = r->spent_high_s = INFINITY;
	r->followed_s = r->horizon_s = 40 * 365 * 86400.0;
	CHECK(draw(in_folder("c.svg"), INW_SI, NULL) == INW_OK);
}

/* The words that a reader goes by stand in the picture as in the text; SVG by cairo has them as outlines only, so what is
 * looked for is that the mark of the end moves with it. */
static void test_picture_moves(void)
{
	static unsigned char a[1 << 20], b[1 << 20];
	life_sample_make(&sample);
	CHECK(draw(in_folder("m.svg"), INW_SI, NULL) == INW_OK);
	size_t n = read_all(in_folder("m.svg"), a, sizeof a);
	sample.report.spent_low_s = 6 * life_week;
	CHECK(draw(in_folder("m.svg"), INW_SI, NULL) == INW_OK);
	size_t m = read_all(in_folder("m.svg"), b, sizeof b);
	CHECK(n > 1000 && n < sizeof a && (n != m || memcmp(a, b, n) != 0));
}

/* A disk that fills: no file may grow beyond 2000 bytes. An old picture of that name stays as it was. */
static void test_picture_refused(void)
{
	static const char *const name[] = {"full.svg", "full.pdf", "full.png"};
	struct rlimit old, small;
	unsigned char bytes[8];
	int before = each_file(false);
	life_sample_make(&sample);
	CHECK(draw(in_folder("a.jpg"), INW_SI, ".svg, .pdf or .png") == INW_BAD_INPUT);
	CHECK(draw("/nowhere-at-all/a.svg", INW_SI, "could not be created") == INW_IO);
	CHECK(getrlimit(RLIMIT_FSIZE, &old) == 0);
	signal(SIGXFSZ, SIG_IGN);
	small = old;
	small.rlim_cur = 2000;
	FILE *f = fopen(in_folder("full.svg"), "w");
	CHECK(f && fputs("old", f) >= 0 && fclose(f) == 0);
	CHECK(setrlimit(RLIMIT_FSIZE, &small) == 0);
	for (size_t i = 0; i < INW_COUNT(name); i++)
		CHECK(draw(in_folder(name[i]), INW_SI, "could not be written") == INW_IO);
	CHECK(setrlimit(RLIMIT_FSIZE, &old) == 0);
	CHECK(each_file(false) == before + 1);
	CHECK(read_all(in_folder("full.svg"), bytes, sizeof bytes) == 3 && memcmp(bytes, "old", 3) == 0);
}

static void every_dimension(void)
{
	static struct inw_verdict verdict[INW_DIM_COUNT];
	static const char *name[INW_DIM_COUNT];
	static enum inw_dim dim[INW_DIM_COUNT];
	for (int i = 0; i < INW_DIM_COUNT; i++) {
		verdict[i] = sample.verdict[0];
		verdict[i].dim = dim[i] = (enum inw_dim)i;
		name[i] = "number";
	}
	sample.report.verdicts = verdict;
	sample.report.verdict_count = INW_DIM_COUNT;
	sample.report.series = (struct inw_series){name, dim, INW_DIM_COUNT, sample.value, 2};
}

static int print_json(const char *name)
{
	life_sample_make(&sample);
	if (strcmp(name, "blank") == 0)
		life_sample_blank(&sample);
	else if (strcmp(name, "dimensions") == 0)
		every_dimension();
	char *t = inw_show_life_json(&sample.report);
	fputs(t ? t : "", stdout);
	inw_string_free(t);
	return t ? 0 : 1;
}

int main(int argc, char **argv)
{
	if (argc == 3 && strcmp(argv[1], "--json") == 0)
		return print_json(argv[2]);
	if (!mkdtemp(folder))
		return 1;
	test_parts();
	test_text();
	test_answers();
	test_text_hard();
	test_csv();
	test_json();
	test_picture_files();
	test_picture_shapes();
	test_picture_moves();
	test_picture_refused();
	each_file(true);
	rmdir(folder);
	return check_done();
}
