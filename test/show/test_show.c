/* SPDX-License-Identifier: MIT */
/* test_show.c: text, JSON, explanation and picture of reports made by hand. With "--json NAME" it prints one of them,
 * for validate.py. Invariants L1 and L2 of src/show/lines.h are tested on every text. */
#include <dirent.h>
#include <jansson.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "check.h"
#include "judge/laws.h"
#include "judge/sentence.h"
#include "show/draw.h"
#include "show/lines.h"
#include "show/verdicts.h"
#include "sample.h"

static struct sample sample;

/* fontconfig, below cairo, keeps some blocks for good; under a leak sanitizer they are not ours to free. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
	return "leak:libfontconfig";
}

/* ---- helpers ----------------------------------------------------------------------------------------------------- */

static size_t widest_line(const char *s)
{
	size_t most = 0, n = 0;
	for (; *s; s++) {
		n = *s == '\n' ? 0 : n + (((unsigned char)*s & 0xC0) != 0x80);
		most = n > most ? n : most;
	}
	return most;
}

static bool plain_ascii(const char *s)
{
	for (; *s; s++)
		if (*s != '\n' && (*s < 0x20 || *s > 0x7E))
			return false;
	return true;
}

static bool has(const char *s, const char *part)
{
	return s && strstr(s, part);
}

/* Both stand in s, the first before the second. */
static bool in_order(const char *s, const char *first, const char *second)
{
	const char *a = s ? strstr(s, first) : NULL;
	return a && strstr(a, second);
}

static char *text_of(enum inw_units units)
{
	char *t = inw_show_text(&sample.report, units, INW_FULL);
	CHECK(t != NULL);
	CHECK(widest_line(t) <= 80);
	CHECK(plain_ascii(t));
	CHECK(!has(t, "safe") && !has(t, "Safe"));
	CHECK(!has(t, "nan") && !has(t, "inf "));
	return t;
}

/* ---- laws -------------------------------------------------------------------------------------------------------- */

static bool filled(const char *s)
{
	return s && *s && plain_ascii(s);
}

static void test_laws(void)
{
	static const char *const wanted[] = {
		"air_density",
		"crack",
		"hole",
		"slot",
		"tall_opening",
		"power_law",
		"bed_resistance",
		"medium_resistance",
		"screen",
		"duct_friction",
		"fitting",
		"flap",
		"blower",
		"stack",
		"mass_balance",
		"heat_balance",
		"natural_convection",
		"forced_convection",
		"radiation",
		"sheet",
		"duct_heat",
		"vapour_pressure",
		"dubinin_radushkevich",
		"measured_isotherm",
		"rate_coefficient",
		"wheeler_jonas",
		"initial_penetration",
		"residence_time",
		"medium_penetration",
		"bypass_series",
		"slip",
		"deposition",
		"room_balance",
		"mixture_rule",
		"purge",
		"sound_power",
		"sound_distance",
		"blower_power",
		"lfl",
		"heating_power",
		"dew_point",
		"emission",
	};
	for (size_t i = 0; i < INW_COUNT(wanted); i++)
		CHECK(inw_law_find(wanted[i]) != NULL);
	for (size_t i = 0; i < inw_judge__law_count(); i++) {
		const struct inw_law *l = inw_judge__law_at(i);
		CHECK(filled(l->key) && filled(l->title) && filled(l->equation) && filled(l->source) && filled(l->range) &&
		      filled(l->omits));
		CHECK(inw_law_find(l->key) == l); /* and so no key stands twice */
		/* a source that is recalled must not be passed off as read */
		CHECK(l->basis != INW_BASIS_FOUND || !has(l->source, "memory"));
		CHECK(l->basis != INW_BASIS_GIVEN && l->basis != INW_BASIS_UNKNOWN);
	}
	CHECK(inw_judge__law_at(inw_judge__law_count()) == NULL);
	CHECK(inw_law_find("phlogiston") == NULL);
	CHECK(inw_law_find(NULL) == NULL);
}

/* ---- text -------------------------------------------------------------------------------------------------------- */

static void test_text(void)
{
	sample_make(&sample);
	char *t = text_of(INW_SI);
	CHECK(strncmp(t, "Verdict: MISSES", 15) == 0);
	CHECK(in_order(t, "\nWorst: Pressure into the box at its weakest gap: -0.301 Pa",
	               "\nChange first: Send out 9.5 m3/h more"));
	CHECK(in_order(t, "Change first:", "Job: night splint"));
	CHECK(in_order(t, "MISSES (1)", "IN DOUBT (1)"));
	CHECK(in_order(t, "IN DOUBT (1)", "CANNOT TELL (1)"));
	CHECK(in_order(t, "CANNOT TELL (1)", "MEETS (3)"));
	CHECK(in_order(t, "MEETS (3)", "STATED (1)"));
	CHECK(has(t, "wanted: at least 0.5 Pa; off by 0.801 Pa"));
	CHECK(has(t, "wanted: from 45 degC to 70 degC; 10 K to spare")); /* the margin of a temperature is a difference */
	CHECK(has(t, "Limit from: OEHHA 8-hour reference level"));
	CHECK(has(t, "box.gaps[lid seam].width\n      (62 % of the range)") ||
	      has(t, "box.gaps[lid seam].width (62 % of the range)"));
	CHECK(has(t, "without end"));
	CHECK(has(t, "Physics DISAGREES: 64 changes an hour"));
	CHECK(has(t, "NOT SOLVED"));
	CHECK(in_order(t, "Other states", "hottest box"));
	CHECK(in_order(t, "\nCautions\n", "certifies nothing"));
	CHECK(in_order(t, "certifies nothing", "come first.\n"));
	inw_string_free(t);
}

static void test_text_us(void)
{
	sample_make(&sample);
	char *t = text_of(INW_US);
	/* -0.3009 Pa / 249.0889 Pa per conventional inch of water (NIST SP 811, B.8) = -0.001208 */
	CHECK(has(t, "-0.00121 inH2O"));
	CHECK(has(t, "140 degF"));         /* 60 degC, exact: 60 * 9/5 + 32 */
	CHECK(has(t, "18 degF to spare")); /* a difference of 10 K */
	CHECK(has(t, "20.1 ft3/min"));     /* 0.0095 m3/s * 60 / 0.3048^3 = 20.13 */
	inw_string_free(t);
}

/* Numbers inside sentences appear in the reader's units, everywhere. */
static void test_sentences(void)
{
	char change[128];
	sample_make(&sample);
	snprintf(change, sizeof change, "Send out " INW_N " more.", INW_V(INW_DIM_VOLUME_FLOW, 0.0095));
	sample.verdict[1].change = change;
	sample.rule[0].physics = change;
	char *si = text_of(INW_SI), *us = text_of(INW_US), *json = inw_show_json(&sample.report);
	CHECK(has(si, "Change first: Send out 34.2 m3/h more.") && !has(si, "{{"));    /* 0.0095 * 3600 */
	CHECK(has(us, "Change first: Send out 20.1 ft3/min more.") && !has(us, "{{")); /* 0.0095 * 60 / 0.3048^3 */
	CHECK(has(json, "\"change\": \"Send out 34.2 m3/h more.\"") && !has(json, "{{"));
	inw_string_free(si);
	inw_string_free(us);
	inw_string_free(json);
}

static void test_text_hard(void)
{
	static char long_name[600];
	sample_blank(&sample);
	inw_string_free(text_of(INW_SI));
	sample_many(&sample, 0.3, 1.8, 34);
	inw_string_free(text_of(INW_US));
	sample_make(&sample);
	memset(long_name, 'x', sizeof long_name - 1);
	sample.report.title = long_name;
	sample.verdict[0].id = long_name;
	sample.gap[0].name = long_name;
	sample.gap[1].name = "a \x1B[31mred\x07 hole\xFF"; /* an escape, a bell, a byte that is not UTF-8 */
	sample.verdict[1].reason = "";
	inw_string_free(text_of(INW_SI));
	sample_make(&sample);
	sample.gap[0].name = "Schn\xC3\xBCrloch \xE2\x80\x9Eoben\xE2\x80\x9C";
	char *t = inw_show_text(&sample.report, INW_SI, INW_FULL);
	CHECK(has(t, sample.gap[0].name));
	CHECK(widest_line(t) <= 80);
	inw_string_free(t);
}

static void test_text_empty(void)
{
	struct inw_report nothing = {.overall = INW_CANNOT_TELL};
	char *t = inw_show_text(&nothing, INW_SI, INW_FULL);
	CHECK(has(t, "CANNOT TELL"));
	CHECK(has(t, "nothing was checked against a limit"));
	CHECK(has(t, "certifies nothing"));
	inw_string_free(t);
}

static void test_all_met(void)
{
	sample_make(&sample);
	sample.report.overall = INW_MEETS;
	sample.report.verdicts = &sample.verdict[3]; /* the chamber: 10 K of 70 degC; the carbon: no end */
	sample.report.verdict_count = 2;
	char *t = text_of(INW_SI);
	CHECK(in_order(t, "Closest call: Chamber temperature", "Change first: nothing needs it."));
	CHECK(in_order(t, "MEETS every requirement in steady states", "Not in it: opening the box and the hours of a day: 'inward day FILE'."));
	CHECK(!has(t, "to clear")); /* nothing says how long */
	inw_string_free(t);
}

/* Who passes is told how long the box's own air takes to clear, at the late end; who does not has other things to do. */
static void test_not_in_it(void)
{
	sample_make(&sample);
	struct inw_verdict wait[2] = {{.id = "purge_time", .title = "wait", .job = "a", .word = INW_MEETS, .dim = INW_DIM_TIME, .value = 300, .low = 200, .high = 660},
	                              {.id = "purge_time", .title = "wait", .job = "b", .word = INW_STATED, .dim = INW_DIM_TIME, .value = 400, .low = NAN, .high = NAN}};
	char line[240];

	sample.report.verdicts = wait;
	sample.report.verdict_count = 2;
	sample.report.overall = INW_MEETS;
	CHECK(inw_show__beyond_check(line, sizeof line, &sample.report, INW_SI) && has(line, "takes up to 11 min to clear."));
	wait[1].value = NAN;
	CHECK(inw_show__beyond_check(line, sizeof line, &sample.report, INW_SI) && !has(line, "to clear"));
	sample.report.overall = INW_STATED;
	CHECK(inw_show__beyond_check(line, sizeof line, &sample.report, INW_US));
	sample.report.overall = INW_IN_DOUBT;
	CHECK(!inw_show__beyond_check(line, sizeof line, &sample.report, INW_SI));
}

/* ---- JSON -------------------------------------------------------------------------------------------------------- */

static void test_json(void)
{
	json_error_t e;
	sample_make(&sample);
	sample.verdict[1].value = 0.1;
	char *t = inw_show_json(&sample.report);
	CHECK(has(t, "\"value_Pa\": 0.1,")); /* 15 digits: not 0.10000000000000001 */
	CHECK(has(t, "\"margin_K\": 10.0"));
	json_t *o = json_loads(t ? t : "", JSON_REJECT_DUPLICATES, &e);
	json_t *v = json_array_get(json_object_get(o, "verdicts"), 5), *s = json_array_get(json_object_get(o, "states"), 0);
	CHECK(json_is_null(json_object_get(v, "value_Pa"))); /* NaN */
	CHECK_ABS(json_real_value(json_object_get(v, "limit_Pa")), 2, 0, "sample.h");
	CHECK(json_is_null(json_object_get(json_array_get(json_object_get(o, "verdicts"), 4), "value_s"))); /* infinity */
	CHECK_REL(json_real_value(json_object_get(s, "neutral_height_m")), 0.55 / 1.4181, 1e-14, "15 digits of sample.h");
	CHECK(json_is_null(json_object_get(json_array_get(json_object_get(s, "stages"), 2), "loss_Pa")));
	CHECK(json_object_get(json_object_get(o, "laws"), "stack") != NULL);
	json_decref(o);
	inw_string_free(t);
}

static void test_json_bad_bytes(void)
{
	json_error_t e;
	sample_make(&sample);
	sample.report.file = "n\xE9 \x01.yaml"; /* Latin-1: no UTF-8 */
	char *t = inw_show_json(&sample.report);
	json_t *o = json_loads(t ? t : "", 0, &e);
	CHECK_TEXT(json_string_value(json_object_get(o, "file")), "n? ?.yaml");
	json_decref(o);
	inw_string_free(t);
}

/* ---- why --------------------------------------------------------------------------------------------------------- */

static char *why(const char *name, struct inw_diags *d)
{
	memset(d, 0, sizeof *d);
	char *t = inw_show_why(&sample.report, name, INW_SI, d);
	CHECK(!t || (widest_line(t) <= 80 && plain_ascii(t)));
	return t;
}

static void test_why(void)
{
	struct inw_diags d;
	sample_make(&sample);
	char *t = why("gaps[lid seam].dp", &d);
	CHECK(d.count == 0);
	CHECK(in_order(t, "gaps[lid seam].dp = -0.301 Pa", "Pressure difference from density and height (stack)"));
	CHECK(in_order(t, "box.density", "- site.pressure = 1002 hPa"));
	CHECK(has(t, "splint.yaml:4:19"));
	CHECK(has(t, "range: 980 hPa to 1024 hPa"));
	CHECK(has(t, "catalog/defaults.yaml:101:5"));
	CHECK(has(t, "gaps[lid seam].dp = -0.301 Pa (above; the two are solved together)")); /* the circle ends */
	CHECK(has(t, "box.temperature = 60 degC (printed above)"));
	inw_string_free(t);
	t = why("exhaust.end_temperature", &d);
	CHECK(has(t, "something forgotten: no record of it"));
	inw_string_free(t);
	t = why("site.pressure", &d);
	CHECK(in_order(t, "site.pressure", "you wrote it"));
	inw_string_free(t);
}

static void test_why_verdict(void)
{
	struct inw_diags d;
	sample_make(&sample);
	char *t = why("inward_pressure", &d);
	CHECK(in_order(t, "inward_pressure = -0.301 Pa: misses", "box.gaps[lid seam].width = 0.4 mm"));
	inw_string_free(t);
	t = why("list", &d);
	CHECK(has(t, "carbon.life = without end") && has(t, "site.pressure = 1002 hPa") && has(t, "noise: misses"));
	inw_string_free(t);
}

static void test_why_unknown(void)
{
	struct inw_diags d;
	sample_make(&sample);
	CHECK(why("box.temprature", &d) == NULL);
	CHECK(d.count == 1 && d.errors == 1 && !d.out_of_memory);
	CHECK(d.count && has(d.items[0].message, "did you mean 'box.temperature'?"));
	CHECK(d.count && has(d.items[0].message, "'list'"));
	inw_diags_free(&d);
}

/* A chain of facts far deeper than a line is wide. */
static void test_why_deep(void)
{
	enum { DEEP = 300 };
	static struct inw_fact fact[DEEP];
	static char name[DEEP][16];
	static const char *uses[DEEP];
	struct inw_diags d;
	sample_make(&sample);
	for (int i = 0; i < DEEP; i++) {
		snprintf(name[i], sizeof name[i], "step%d", i);
		uses[i] = name[i];
	}
	for (int i = 0; i < DEEP; i++)
		fact[i] = (struct inw_fact){name[i], INW_DIM_NONE, i, "mass_balance", &uses[i + 1 < DEEP ? i + 1 : 0], 1};
	sample.report.facts = fact;
	sample.report.fact_count = DEEP;
	char *t = why("step0", &d);
	CHECK(has(t, "step299") && has(t, "Balance of air (mass_balance), printed above."));
	inw_string_free(t);
}

/* ---- picture ----------------------------------------------------------------------------------------------------- */

static char folder[] = "/tmp/inward-show-XXXXXX";

static const char *in_folder(const char *name)
{
	static char path[4][sizeof folder + 256];
	static int turn;
	char *p = path[turn++ % 4];
	snprintf(p, sizeof path[0], "%s/%s", folder, name);
	return p;
}

static int files_in_folder(void)
{
	int n = 0;
	DIR *d = opendir(folder);
	for (struct dirent *e = d ? readdir(d) : NULL; e; e = readdir(d))
		n += e->d_name[0] != '.';
	if (d)
		closedir(d);
	return n;
}

static size_t read_all(const char *path, unsigned char *bytes, size_t size)
{
	FILE *f = fopen(path, "rb");
	size_t n = f ? fread(bytes, 1, size, f) : 0;
	if (f)
		fclose(f);
	return n;
}

static enum inw_status draw(const char *path, enum inw_units units, const char *message)
{
	struct inw_diags d = {0};
	enum inw_status s = inw_show_picture(&sample.report, 0, path, units, &d);
	CHECK(message ? d.count == 1 && has(d.items[0].message, message) : d.count == 0);
	inw_diags_free(&d);
	return s;
}

static void test_picture_files(void)
{
	static unsigned char a[1 << 20], b[1 << 20];
	sample_make(&sample);
	CHECK(draw(in_folder("a.svg"), INW_SI, NULL) == INW_OK);
	CHECK(draw(in_folder("a.pdf"), INW_SI, NULL) == INW_OK);
	CHECK(draw(in_folder("b.pdf"), INW_SI, NULL) == INW_OK);
	CHECK(draw(in_folder("a.png"), INW_US, NULL) == INW_OK);
	CHECK(files_in_folder() == 4); /* and no temporary file */
	CHECK(read_all(in_folder("a.svg"), a, sizeof a) > 1000 && memcmp(a, "<?xml", 5) == 0);
	CHECK(read_all(in_folder("a.png"), a, sizeof a) > 1000 &&
	      memcmp(a, "\x89PNG\r\n\x1A\n", 8) == 0); /* ISO/IEC 15948, 5.2 */
	size_t n = read_all(in_folder("a.pdf"), a, sizeof a), m = read_all(in_folder("b.pdf"), b, sizeof b);
	CHECK(n > 1000 && n < sizeof a && memcmp(a, "%PDF-", 5) == 0);
	CHECK(n == m && memcmp(a, b, n) == 0); /* the same report, the same bytes */
	n = read_all(in_folder("a.svg"), a, sizeof a - 1);
	a[n] = '\0';
	char *svg = inw_show_picture_svg(&sample.report, 0, INW_SI); /* several drawings later */
	CHECK(svg && strcmp((const char *)a, svg) == 0);
	inw_string_free(svg);
}

static void test_picture_shapes(void)
{
	sample_many(&sample, 1.2, 0.25, 12);
	CHECK(draw(in_folder("c.svg"), INW_SI, NULL) == INW_OK);
	sample_many(&sample, 0.3, 1.8, SAMPLE_GAPS);
	CHECK(draw(in_folder("c.svg"), INW_SI, NULL) == INW_OK);
	sample_blank(&sample);
	CHECK(draw(in_folder("c.svg"), INW_SI, NULL) == INW_OK);
	sample.state[0].gap_count = sample.state[0].stage_count = sample.state[0].room_count = 0;
	sample.state[0].box_width = sample.state[0].box_height = NAN;
	sample.state[0].blower_curve.count = sample.state[0].train_curve.count = 0;
	sample.report.title = "\xFF broken \x1B";
	CHECK(draw(in_folder("c.svg"), INW_SI, NULL) == INW_OK);
}

static void test_picture_refused(void)
{
	struct inw_diags d = {0};
	int before = files_in_folder();
	sample_make(&sample);
	CHECK(draw(in_folder("a.jpg"), INW_SI, ".svg, .pdf or .png") == INW_BAD_INPUT);
	CHECK(draw("/nowhere-at-all/a.svg", INW_SI, "could not be created") == INW_IO);
	CHECK(mkdir(in_folder("d.png"), 0777) == 0);
	CHECK(draw(in_folder("d.png"), INW_SI, "could not be written") == INW_IO); /* a folder has that name */
	rmdir(in_folder("d.png"));
	CHECK(inw_show_picture(&sample.report, 99, in_folder("e.svg"), INW_SI, &d) == INW_BAD_INPUT);
	inw_diags_free(&d);
	CHECK(files_in_folder() == before);
}

/* A disk that fills: no file may grow beyond 2000 bytes. An old picture of that name stays as it was. */
static void test_picture_full_disk(void)
{
	static const char *const name[] = {"full.svg", "full.pdf", "full.png"};
	struct rlimit old, small;
	unsigned char bytes[8];
	int before = files_in_folder();
	sample_make(&sample);
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
	CHECK(files_in_folder() == before + 1);
	CHECK(read_all(in_folder("full.svg"), bytes, sizeof bytes) == 3 && memcmp(bytes, "old", 3) == 0);
}

static void remove_folder(void)
{
	DIR *d = opendir(folder);
	for (struct dirent *e = d ? readdir(d) : NULL; e; e = readdir(d))
		if (e->d_name[0] != '.')
			unlink(in_folder(e->d_name));
	if (d)
		closedir(d);
	rmdir(folder);
}

static void test_spread(void)
{
	double some[] = {10, 10, 10, 11, 300}, crowded[] = {5, 5, 5}, one[] = {-4};
	inw_draw__spread(some, 5, 30, 0, 400);
	CHECK(some[0] >= 0 && some[4] <= 400);
	for (int i = 1; i < 5; i++)
		CHECK(some[i] - some[i - 1] >= 30 - 1e-9);
	CHECK_ABS(some[4], 300, 1e-9, "what stands free stays where it is");
	inw_draw__spread(crowded, 3, 30, 0, 40); /* cannot fit: even steps over all there is */
	CHECK_ABS(crowded[0], 0, 1e-9, "by hand");
	CHECK_ABS(crowded[1], 20, 1e-9, "by hand");
	CHECK_ABS(crowded[2], 40, 1e-9, "by hand");
	inw_draw__spread(one, 1, 30, 0, 40);
	CHECK_ABS(one[0], 0, 1e-9, "by hand");
	inw_draw__spread(NULL, 0, 30, 0, 40);
}

static void test_axis(void)
{
	char tick[32];
	struct inw_axis a = inw_draw__axis(-0.3, 0.7, 0, 100, INW_DIM_PRESSURE, INW_SI);
	CHECK_ABS(inw_draw__on(&a, 0.7), 100, 1e-9, "by hand");
	CHECK_ABS(inw_draw__first_tick(&a), -0.2, 1e-12, "by hand: steps of 0.2");
	CHECK_TEXT(inw_draw__tick(tick, sizeof tick, &a, 0.4), "0.4");
	a = inw_draw__axis(0, 60.0 / 3600, 0, 100, INW_DIM_VOLUME_FLOW, INW_SI);
	CHECK_TEXT(inw_draw__tick(tick, sizeof tick, &a, 40.0 / 3600), "40");
	a = inw_draw__axis(0, 0, 0, 100, INW_DIM_PRESSURE, INW_SI); /* nothing to span */
	CHECK(a.high > a.low);
	a = inw_draw__axis(NAN, NAN, 0, 100, INW_DIM_PRESSURE, INW_SI);
	CHECK(a.high > a.low);
}

/* ---- reports for validate.py ------------------------------------------------------------------------------------- */

static void every_dimension(void)
{
	static struct inw_verdict verdict[INW_DIM_COUNT];
	static struct inw_fact fact[INW_DIM_COUNT];
	static struct inw_quantity quantity[INW_DIM_COUNT];
	static const struct inw_quantity *assumed[INW_DIM_COUNT];
	sample_make(&sample);
	for (int i = 0; i < INW_DIM_COUNT; i++) {
		verdict[i] = sample.verdict[1];
		verdict[i].dim = (enum inw_dim)i;
		fact[i] = (struct inw_fact){"number", (enum inw_dim)i, i, "stack", NULL, 0};
		quantity[i] = sample.quantity[0];
		quantity[i].dim = (enum inw_dim)i;
		assumed[i] = &quantity[i];
	}
	sample.report.verdicts = verdict;
	sample.report.facts = fact;
	sample.report.assumed = assumed;
	sample.report.verdict_count = sample.report.fact_count = sample.report.assumed_count = INW_DIM_COUNT;
}

static int print_json(const char *name)
{
	sample_make(&sample);
	if (strcmp(name, "many") == 0)
		sample_many(&sample, 0.3, 1.8, SAMPLE_GAPS);
	else if (strcmp(name, "blank") == 0)
		sample_blank(&sample);
	else if (strcmp(name, "dimensions") == 0)
		every_dimension();
	char *t = inw_show_json(&sample.report);
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
	test_laws();
	test_text();
	test_text_us();
	test_sentences();
	test_text_hard();
	test_text_empty();
	test_all_met();
	test_not_in_it();
	test_json();
	test_json_bad_bytes();
	test_why();
	test_why_verdict();
	test_why_unknown();
	test_why_deep();
	test_spread();
	test_axis();
	test_picture_files();
	test_picture_shapes();
	test_picture_refused();
	test_picture_full_disk();
	remove_folder();
	return check_done();
}
