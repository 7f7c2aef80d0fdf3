/* SPDX-License-Identifier: MIT */
/* test_day_show.c: text, CSV, JSON and picture of a day made by hand. With "--json NAME" it prints one, for
 * validate.py. Expected numbers are worked out by hand in day_sample.h. */
#include <dirent.h>
#include <jansson.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <unistd.h>

#include "check.h"
#include "day_sample.h"
#include "test/show/files.h"
#include "show/bed_panel.h"
#include "show/day_parts.h"

static struct day_sample sample;

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
	char *t = inw_show_day_text(&sample.report, units, detail);
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
	day_sample_make(&sample);
	char *t = text_of(INW_SI, INW_BRIEF);
	CHECK(strncmp(t, "Verdict: MISSES", 15) == 0);
	CHECK(has(t, "Of 6 checks: 3 met, 2 missed, 0 in doubt, 1 cannot be told."));
	CHECK(in_order(t, "Worst: Air is pressed inward: -0.4 Pa (wanted: at least 0.5 Pa)", "10 h from 20:00"));
	CHECK(has(t, "splint maker 12 % + < 0.01 % ? - 50 % +"));
	CHECK(in_order(t, "Resident", "40 times !"));
	CHECK(has(t, "least at 22:00 with -0.4 Pa"));
	CHECK(has(t, "Air that left the box uncleaned by gaps, door shut 1.44 m3"));
	CHECK(has(t, "Electricity of machine, blower and heater 1.8 kWh"));
	CHECK(in_order(t, "22:00 night splint begins", "23:20 flap to 60 %"));
	CHECK(in_order(t, "MISSES (2)", "CANNOT TELL (1)"));
	CHECK(in_order(t, "Why: Nobody has measured it.", "MEETS (3)"));
	CHECK(!has(t, "How sure")); /* a day has no ranges: it must not speak of them */
	CHECK(in_order(t, "Cautions", "certifies nothing"));
	free(t);
	t = text_of(INW_US, INW_FULL);
	CHECK(has(t, "-0.00161 inH2O")); /* -0.4 Pa over 249.0889 Pa (NIST SP 811, B.8) */
	CHECK(has(t, "134 degF")); /* 330 K = 134.33 degF, exact: 330 * 9/5 - 459.67 */
	CHECK(in_order(t, "STATED (3)", "Limit from: the hand") || has(t, "Limit from: the hand"));
	free(t);
}

/* What the carbon holds: only with --full. */
static void test_carbon(void)
{
	day_sample_make(&sample);
	char *t = text_of(INW_SI, INW_BRIEF);
	CHECK(!has(t, "What the carbon holds"));
	free(t);
	t = text_of(INW_SI, INW_FULL);
	CHECK(in_order(t, "What the carbon holds at the end", "Caprolactam 24.5 mg"));
	CHECK(in_order(t, "Caprolactam 24.5 mg", "water 300 mg") || in_order(t, "Caprolactam 24.5 mg", "water 0.3 g"));
	CHECK(has(t, "All gases together are 9.81 % of what the carbon would take up if the strongest air of the run, that of 02:00"));
	CHECK(has(t, "In '2 carbon' the loading with Caprolactam falls to half of its highest 3.72 mm from")); /* below; 0.25 mm and 5 mm ln 2 */
	CHECK(has(t, "In '3 carbon' there is no Caprolactam."));
	free(t);
	t = text_of(INW_US, INW_FULL);
	CHECK(has(t, "0.787 in deep")); /* 20 mm / 25.4 */
	free(t);
	const struct inw_bed_profile *b = sample.bed;
	/* the highest is that of the first slice's middle, 0.25 mm deep: half of it 3.466 mm further on, to the bend of one slice */
	CHECK_ABS(inw_bed__front_m(b, 0, 10), 0.25e-3 + 5e-3 * log(2), 1e-5, "5 mm ln 2 from the first middle");
	CHECK_REL(inw_bed__front_m(b, 0, 3), inw_bed__front_m(b, 0, 10), 1e-12, "the shape is the same at all times");
	CHECK(isnan(inw_bed__front_m(b, 0, 0)) && isnan(inw_bed__front_m(b + 1, 0, 10)));
	CHECK_REL(inw_bed__front_m(b, 1, 10), 0.02, 1e-12, "even: to the end");
	CHECK_REL(inw_bed__held_kg(b, 2, 0, 10), 0.1 * 1e-3 * 0.25 * (1 - exp(-4)), 1e-3, "the integral; 40 middles");
	CHECK_REL(inw_bed__share_used(b, 2), 0.1 * 1e-3 * 0.25 * (1 - exp(-4)) / 2.5e-4, 1e-3, "over 0.1 x 2 + 0.05 x 1 g");
	size_t order[3];
	CHECK(inw_bed__order(b, 2, order, 3) == 2 && order[0] == 0 && order[1] == 1); /* water last, though it is more */
	CHECK(inw_bed__order(b, 2, order, 1) == 1 && order[0] == 1);
	CHECK(inw_bed__order(b, 0, order, 3) == 0 && isnan(inw_bed__share_used(b, 0)));
	day_sample_blank(&sample);
	t = text_of(INW_SI, INW_FULL);
	CHECK(in_order(t, "What the carbon holds at the end", "Nothing."));
	free(t);
	sample.report.bed_count = 0;
	t = text_of(INW_SI, INW_FULL);
	CHECK(!has(t, "What the carbon holds"));
	free(t);
}

/* The door is opened 60 min after the job, the wait is 70; or nobody can say how long it takes. */
static void test_door(void)
{
	day_sample_make(&sample);
	char *t = text_of(INW_SI, INW_BRIEF);
	CHECK(has(t, "night splint ends at 02:00. Wait 70 min with the blower running: the door is opened at 03:00, too early."));
	CHECK(!has(t, "may be opened from"));
	free(t);
	sample.verdict[DAY_PURGE].value = NAN;
	t = text_of(INW_SI, INW_BRIEF);
	CHECK(has(t, "night splint ends at 02:00. The door is opened at 03:00, before the box has cleared"));
	CHECK(!has(t, "may be opened from"));
	free(t);
	sample.verdict[DAY_PURGE].value = 3000;
	t = text_of(INW_SI, INW_BRIEF);
	CHECK(has(t, "Wait 50 min with the blower running: the door may be opened from 02:50."));
	free(t);
	sample.value[38 * DAY_COLUMNS + 5] = 0; /* the blower stands at 02:20 */
	t = text_of(INW_SI, INW_BRIEF);
	CHECK(has(t, "Wait 50 min with the blower as it runs in this day: the door may be opened from 02:50."));
	CHECK(!has(t, "with the blower running"));
	free(t);
	sample.design.box.has_door = false;
	t = text_of(INW_SI, INW_BRIEF);
	CHECK(has(t, "When the box has cleared") && has(t, "the box has cleared, at 02:50.") && !has(t, "may be opened"));
	free(t);
	sample.design.box.has_door = true;
	sample.verdict[DAY_PURGE].value = NAN;
	for (size_t i = 0; i < DAY_ROWS; i++)
		sample.value[i * DAY_COLUMNS + 9] = 0; /* the door stays shut */
	t = text_of(INW_SI, INW_BRIEF);
	CHECK(has(t, "Do not open the door: the box has not cleared when the run stops at 06:00."));
	free(t);
}

static void test_text_hard(void)
{
	static char long_name[600];
	day_sample_blank(&sample);
	free(text_of(INW_SI, INW_FULL));
	day_sample_make(&sample);
	sample.report.span_s = 3 * 86400.0; /* clocks then name the day */
	memset(long_name, 'x', sizeof long_name - 1);
	sample.report.title = long_name;
	sample.moment[1].what = "a \x1B[31mred\x07 \xFF moment";
	char *t = text_of(INW_SI, INW_FULL);
	CHECK(has(t, "day 1, 22:00 night splint begins"));
	CHECK(has(t, "day 2, 02:00 night splint ends"));
	CHECK(!has(t, "\x1B") && !has(t, "\x07"));
	free(t);
	sample.report.series.rows = sample.report.series.columns = sample.report.verdict_count = sample.report.moment_count = 0;
	free(text_of(INW_SI, INW_FULL));
}

static void test_parts(void)
{
	struct inw_stretch s[INW_MOST_STRETCHES];
	char name[INW_NAME];
	day_sample_make(&sample);
	CHECK(inw_day__jobs(&sample.report, s) == 1);
	CHECK_ABS(s[0].from, 7200, 0, "day_sample.h");
	CHECK_ABS(s[0].to, 21600, 0, "day_sample.h");
	CHECK(inw_day__doors(&sample.report, s) == 1);
	CHECK_ABS(s[0].to - s[0].from, 1200, 0, "day_sample.h");
	CHECK(inw_day__gas(&sample.report, 0, name) && !inw_day__gas(&sample.report, 1, name));
	CHECK_ABS(inw_day__limit(&sample.report, "caprolactam", INW_LIMIT_HOME_LONG), 2.2e-9, 0, "day_sample.h");
	CHECK(isnan(inw_day__limit(&sample.report, "caprolactam", INW_LIMIT_WORK_CEILING)));
	CHECK(isnan(inw_day__value(&sample.report, 0, inw_day__column(&sample.report, "no such column"))));
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
	day_sample_make(&sample);
	char *t = inw_show_day_csv(&sample.report);
	const char *s = t;
	CHECK(has(t, "time_s,clock,outdoor.temperature_K,box.temperature_K,"));
	CHECK(has(t, "\"gases[caprolactam].room[bed, \"\"back\"\" room]_kgm3\"\r\n"));
	for (size_t c = 0; c <= DAY_COLUMNS; c++)
		end = field(&s, f);
	CHECK(end == '\r');
	CHECK_TEXT(f, "gases[caprolactam].room[bed, \"back\" room]_kgm3");
	for (size_t i = 0; i < DAY_ROWS; i++)
		for (size_t c = 0; c <= DAY_COLUMNS; c++) {
			end = field(&s, f);
			wrong += (c == DAY_COLUMNS) != (end == '\r');
			if (c == 1) {
				wrong += i == 25 && strcmp(f, "00:10:00"); /* 20:00 and 25 times 10 min */
				continue;
			}
			double want = sample.value[i * DAY_COLUMNS + (c ? c - 1 : 0)];
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
	day_sample_make(&sample);
	char *t = inw_show_day_json(&sample.report);
	json_t *o = json_loads(t ? t : "", JSON_REJECT_DUPLICATES, &e);
	json_t *columns = json_object_get(json_object_get(o, "series"), "columns");
	json_t *pull = json_object_get(json_array_get(columns, 4), "values_Pa");
	json_t *moment = json_array_get(json_object_get(o, "moments"), 1);
	CHECK(json_array_size(columns) == DAY_COLUMNS);
	CHECK(json_array_size(pull) == DAY_ROWS);
	CHECK_ABS(json_real_value(json_array_get(pull, 12)), -0.4, 0, "day_sample.h");
	CHECK(json_is_null(json_array_get(pull, 42))); /* NaN: the door is open */
	CHECK_TEXT(json_string_value(json_object_get(moment, "clock")), "23:20");
	CHECK_TEXT(json_string_value(json_object_get(o, "overall")), "misses");
	CHECK(json_array_size(json_object_get(o, "verdicts")) == DAY_VERDICTS);
	json_t *beds = json_object_get(o, "beds"), *bed = json_array_get(beds, 0), *held = json_array_get(json_object_get(bed, "substances"), 0);
	json_t *last = json_array_get(json_object_get(held, "loading_kgkg"), DAY_TIMES - 1);
	CHECK(json_array_size(beds) == DAY_BEDS && json_array_size(json_object_get(bed, "times_s")) == DAY_TIMES);
	CHECK(json_array_size(last) == DAY_SLICES && json_integer_value(json_object_get(bed, "slices")) == DAY_SLICES);
	CHECK_TEXT(json_string_value(json_object_get(held, "substance")), "caprolactam");
	CHECK_REL(json_real_value(json_array_get(last, 9)), 1e-3 * exp(-9.5 * 0.5 / 5), 1e-12, "day_sample.h"); /* 4.75 mm deep */
	json_decref(o);
	inw_string_free(t);
}

/* ---- picture ----------------------------------------------------------------------------------------------------- */

static enum inw_status draw(const char *path, enum inw_units units, const char *message)
{
	struct inw_diags d = {0};
	enum inw_status s = inw_show_day_picture(&sample.report, path, units, &d);
	CHECK(message ? d.count == 1 && has(d.items[0].message, message) : d.count == 0);
	inw_diags_free(&d);
	return s;
}

static void test_picture_files(void)
{
	static unsigned char a[1 << 20], b[1 << 20];
	day_sample_make(&sample);
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

static void test_picture_shapes(void)
{
	day_sample_blank(&sample);
	CHECK(draw(in_folder("c.svg"), INW_SI, NULL) == INW_OK);
	day_sample_make(&sample);
	sample.report.series.rows = 1;
	CHECK(draw(in_folder("c.svg"), INW_SI, NULL) == INW_OK);
	sample.report.series.rows = 0;
	sample.report.span_s = 0;
	CHECK(draw(in_folder("c.svg"), INW_SI, NULL) == INW_OK);
	day_sample_make(&sample);
	sample.report.span_s = 31 * 86400.0;
	sample.report.title = "\xFF broken \x1B";
	CHECK(draw(in_folder("c.svg"), INW_US, NULL) == INW_OK);
}

/* A disk that fills: no file may grow beyond 2000 bytes. An old picture of that name stays as it was. */
static void test_picture_refused(void)
{
	static const char *const name[] = {"full.svg", "full.pdf", "full.png"};
	struct rlimit old, small;
	unsigned char bytes[8];
	int before = each_file(false);
	day_sample_make(&sample);
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
	day_sample_make(&sample);
	if (strcmp(name, "blank") == 0)
		day_sample_blank(&sample);
	else if (strcmp(name, "dimensions") == 0)
		every_dimension();
	char *t = inw_show_day_json(&sample.report);
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
	test_carbon();
	test_door();
	test_text_hard();
	test_csv();
	test_json();
	test_picture_files();
	test_picture_shapes();
	test_picture_refused();
	each_file(true);
	rmdir(folder);
	return check_done();
}
