/* SPDX-License-Identifier: MIT */
/* test_begin.c: questions against the catalog they offer; answers, good and bad; and that whatever is answered the text that is
 * written reads without a diagnostic (B2 of begin.h) and says what was answered. */
#include <stdlib.h>

#include "design/begin.h"
#include "test/check.h"

/* ---- questions --------------------------------------------------------------------------------------------------- */

static const struct inw_question *question(const struct inw_questions *q, const char *id)
{
	int i = inw_question_of(q, id);

	CHECK(i >= 0);
	return &q->questions[i < 0 ? 0 : i];
}

static void test_table(const struct inw_asking *ask)
{
	const struct inw_questions *q = &ask->public;

	for (size_t i = 0; i < q->count; i++) {
		const struct inw_question *it = &q->questions[i];
		CHECK(inw_question_of(q, it->id) == (int)i); /* one of a kind */
		CHECK(*it->question && *it->help && *it->assumed);
		CHECK((it->offer_count > 0) == (it->asks == INW_ASKS_CHOICE || it->asks == INW_ASKS_CHOICES));
		if (it->asks == INW_ASKS_NUMBER) {
			double value[2] = {NAN, NAN};
			for (int u = 0; u < 2; u++) {
				CHECK(!inw_parse_quantity(it->example[u], it->dim, &value[u]));
				CHECK(value[u] >= it->least && value[u] <= it->most);
			}
			CHECK_REL(value[1], value[0], 0.1, "an example in US units is about the metric one");
		}
		if (it->when.question) {
			int on = inw_question_of(q, it->when.question);
			CHECK(on >= 0 && on < (int)i); /* it was asked before */
			for (size_t k = 0; k < it->when.count && on >= 0; k++)
				CHECK(inw_offer_of(&q->questions[on], it->when.is[k], strlen(it->when.is[k])) != NULL);
		}
		for (size_t k = i + 2; k < q->count; k++) /* parts are not interrupted */
			CHECK(q->questions[k].part != it->part || q->questions[k - 1].part == it->part);
		for (size_t k = 0; k < it->offer_count; k++) /* no word means two things */
			for (size_t l = 0; l < k; l++)
				CHECK(strcmp(it->offers[k].word, it->offers[l].word) != 0);
	}
}

/* The machines are the catalog's processes, no fewer and no more. */
static void test_machines(const struct inw_asking *ask)
{
	const struct inw_question *machine = question(&ask->public, "machine");

	for (size_t i = 0; i < ask->catalog.materials; i++) {
		const char *process = ask->catalog.material[i].process;
		CHECK(inw_offer_of(machine, process, strlen(process)) != NULL);
	}
	for (size_t k = 0; k < machine->offer_count; k++) {
		size_t of = 0;
		for (size_t i = 0; i < ask->catalog.materials; i++)
			of += strcmp(ask->catalog.material[i].process, machine->offers[k].word) == 0;
		CHECK(of > 0);
	}
	CHECK(question(&ask->public, "material")->offer_count == ask->catalog.materials);
	CHECK(question(&ask->public, "blower")->offer_count == ask->catalog.blowers + 1);
	CHECK(question(&ask->public, "filter")->offer_count == ask->catalog.mediums);
}

static void test_when(const struct inw_asking *ask)
{
	const struct inw_questions *q = &ask->public;
	size_t hose = (size_t)inw_question_of(q, "hose"), area = (size_t)inw_question_of(q, "filter_area");
	const struct inw_answer no_way[] = {{"outdoors", "nowhere", 0, 0}}, way[] = {{"outdoors", "Window", 0, 0}}, filter[] = {{"filter", "HEPA", 0, 0}};
	const struct inw_answer laser[] = {{"machine", "laser", 0, 0}};
	const struct inw_offer *pla = inw_offer_of(question(q, "material"), "PLA", 3);

	CHECK(!inw_question_applies(q, hose, NULL, 0));
	CHECK(!inw_question_applies(q, hose, no_way, 1));
	CHECK(inw_question_applies(q, hose, way, 1));
	CHECK(!inw_question_applies(q, area, way, 1));
	CHECK(inw_question_applies(q, area, filter, 1));
	CHECK(inw_offer_applies(q, pla, NULL, 0) && !inw_offer_applies(q, pla, laser, 1));
}

/* ---- bad answers ------------------------------------------------------------------------------------------------- */

static void test_bad(const struct inw_asking *ask)
{
	static const struct { const char *id, *text, *says; } bad[] = {
		{"material", "PLS", "did you mean 'PLA'"}, {"material", "polyamid", "did you mean 'PA'"}, {"material", "PLA, PETF", "did you mean 'PETG'"},
		{"material", "unobtainium", "one of 'PLA'"}, {"machine", "prniting", "did you mean 'printing'"}, {"width", "500", "has no unit"},
		{"width", "500 mn", "'500 mn'"}, {"width", "40 m", "out of range"}, {"width", "1 mm", "out of range"}, {"width", "-1 m", "out of range"},
		{"floor", "3 m", "area"}, {"hours", "25 h", "out of range"}, {"start", "25:00", "22:00"}, {"hands", "maybe", "'yes' or 'no'"},
		{"title", "a\nb", "control character"}, {"widht", "1 m", "did you mean 'width'"}, {"rate", "nan g/h", "nan"}, {"panel", "acryllic", "did you mean 'acrylic'"},
	};

	for (size_t i = 0; i < INW_COUNT(bad); i++) {
		struct inw_diags diags = {0};
		const struct inw_answer a = {bad[i].id, bad[i].text, 3, 7};
		CHECK(inw_answer_check(&ask->public, &a, "a.json", &diags) == INW_BAD_INPUT);
		CHECK(diags.count == 1 && diags.items[0].line == 3 && diags.items[0].column == 7);
		if (diags.count && !strstr(diags.items[0].message, bad[i].says))
			CHECK_TEXT(diags.items[0].message, bad[i].says);
		inw_diags_free(&diags);
	}
}

struct planned { enum inw_status status; char said[2000]; struct inw_start plan; };

/* A plan of answers as text; what was said about them. The sayings point into `*a`, which is the caller's. */
static struct planned plan_of(const struct inw_asking *ask, const char *text, struct inw_answers **a, struct inw_sayings *s)
{
	struct planned p = {.said = ""};
	struct inw_diags diags = {0};

	p.status = inw_answers_read(text, strlen(text), "a.json", a, &diags);
	*s = (struct inw_sayings){ask, *a ? (*a)->items : NULL, *a ? (*a)->count : 0};
	if (p.status == INW_OK)
		p.status = inw_sayings_check(s, "a.json", &diags);
	if (p.status == INW_OK)
		p.status = inw_start_plan(s, INW_SI, "a.json", &p.plan, &diags);
	for (size_t i = 0; i < diags.count; i++)
		snprintf(p.said + strlen(p.said), sizeof p.said - strlen(p.said), "%s%d: %s; ", diags.items[i].severity == INW_ERROR ? "" : "warning ", diags.items[i].line,
		         diags.items[i].message);
	inw_diags_free(&diags);
	return p;
}

static void test_together(const struct inw_asking *ask)
{
	static const struct { const char *text; enum inw_status status; const char *says; } cases[] = {
		{"[]", INW_BAD_INPUT, "mapping"}, {"{", INW_BAD_INPUT, "broken"}, {"", INW_BAD_INPUT, "empty"}, {"{\"width\": {\"a\": 1}}", INW_BAD_INPUT, "width: a text or a list"},
		{"{\"width\": [\"1 m\", \"2 m\"]}", INW_BAD_INPUT, "answered twice"}, {"{\"machine\": \"laser cutting\", \"material\": \"PLA\"}", INW_BAD_INPUT, "belongs to 'printing'"},
		{"{\"material\": \"PLA, laser acrylic\"}", INW_BAD_INPUT, "'laser acrylic' belongs to 'laser cutting', but the machine is 'printing'"},
		{"{\"appliance\": [\"none\", \"boiler\"]}", INW_BAD_INPUT, "contradict"}, {"{\"height\": \"2 m\", \"ceiling\": \"1.9 m\"}", INW_BAD_INPUT, "higher than the room"},
		{"{\"width\": \"2 m\", \"depth\": \"2 m\", \"floor\": \"3 m2\"}", INW_BAD_INPUT, "more floor"},
		{"{\"material\": [\"PLA\", \"PETG\", \"ABS\", \"ASA\", \"HIPS\", \"PA\", \"PC\", \"TPU\"]}", INW_BAD_INPUT, "7 at the most"},
		{"{\"hose\": \"3 m\"}", INW_OK, "warning 1: hose: not used"}, {"{\"width\": null, \"hands\": true, \"heater\": false, \"title\": \"\"}", INW_OK, ""},
		{"{\"carbon_mass\": \"1 kg\", \"carbon_depth\": \"60 mm\", \"carbon_diameter\": \"200 mm\"}", INW_OK, "warning 1: carbon_depth: not used"},
	};

	for (size_t i = 0; i < INW_COUNT(cases); i++) {
		struct inw_answers *a = NULL;
		struct inw_sayings s;
		struct planned p = plan_of(ask, cases[i].text, &a, &s);
		CHECK(p.status == cases[i].status);
		if (!strstr(p.said, cases[i].says) || (p.status == INW_OK && !*cases[i].says && *p.said))
			CHECK_TEXT(p.said, cases[i].says);
		inw_answers_free(a);
	}
}

/* ---- texts ------------------------------------------------------------------------------------------------------- */

static struct inw_design *reads(const char *text, const char *answers)
{
	struct inw_diags diags = {0};
	struct inw_design *d = NULL;
	bool good = inw_design_parse(text, strlen(text), "begun.yaml", NULL, &d, &diags) == INW_OK && diags.count == 0;

	CHECK(good);
	if (!good) {
		printf("# %s\n", answers);
		for (size_t i = 0; i < diags.count; i++)
			printf("# %d: %s\n", diags.items[i].line, diags.items[i].message);
	}
	inw_diags_free(&diags);
	return d;
}

static double quantity(const struct inw_design *d, const char *path)
{
	struct inw_diags diags = {0};
	const struct inw_quantity *q = inw_design_find(d, path, &diags);

	CHECK(q != NULL);
	inw_diags_free(&diags);
	return q ? q->value : NAN;
}

/* What was answered stands in the design; what was not has its range. */
static void test_said(const struct inw_asking *ask)
{
	static const char text[] = "{\"material\": [\"nylon\", \"PLA\"], \"rate\": \"20 g/h (15 .. 25 g/h)\", \"hours\": \"9 h\", \"start\": \"22:30\","
		"\"box\": \"built\", \"width\": \"20 in\", \"depth\": \"410 mm\", \"height\": \"555 mm\", \"panel\": \"plywood\", \"panel_thickness\": \"12 mm\","
		"\"seams\": \"close\", \"floor\": \"9.5 m2\", \"ceiling\": \"8 ft\", \"people\": [\"works\", \"sleeps next door\"], \"appliance\": \"boiler\","
		"\"outdoors\": \"hose\", \"hose\": \"3 m\", \"altitude\": \"300 m\", \"filter\": \"H14\", \"filter_area\": \"0.8 m2\", \"carbon\": \"4x8\","
		"\"carbon_mass\": \"2 kg\", \"carbon_diameter\": \"250 mm\", \"blower\": \"own\", \"blower_flow\": \"65 m3/h\", \"blower_pressure\": \"1 inH2O\","
		"\"title\": \"a \\\"quoted\\\" \\\\ title: # no\"}";
	static const struct { const char *path; double want; } want[] = {
		{"jobs[printing PA].rate", 20e-3 / 3600}, {"jobs[printing PLA].duration", 9 * 3600}, {"jobs[printing PA].start", 22.5 * 3600},
		{"box.inside.width", 0.508}, {"box.inside.depth", 0.41}, {"box.inside.height", 0.555}, {"box.panels.all.thickness", 0.012},
		{"rooms[room].floor", 9.5}, {"rooms[room].height", 8 * 0.3048}, {"cleaner.exhaust.duct.length", 3}, {"cleaner.stages[1 particle].area", 0.8},
		{"cleaner.stages[2 carbon].mass", 2}, {"cleaner.stages[2 carbon].diameter", 0.25},
	};
	struct inw_answers *a = NULL;
	struct inw_sayings s;
	struct planned p = plan_of(ask, text, &a, &s);
	struct inw_start sized;
	struct inw_text out = {0};

	CHECK(p.status == INW_OK);
	CHECK_TEXT(p.said, "");
	if (p.status == INW_OK) {
		inw_start_size(&p.plan, &s, -1, &sized);
		inw_start_write(&sized, &out);
		struct inw_design *d = reads(out.s, text);
		for (size_t i = 0; d && i < INW_COUNT(want); i++)
			CHECK_REL(quantity(d, want[i].path), want[i].want, 1e-5, "what was answered, to six digits");
		CHECK(d && d->rooms == 2 && d->persons == 2 && d->jobs == 2 && d->room[0].appliances == 1 && d->box.gaps == 5);
		CHECK_TEXT(d ? inw_design_title(d) : NULL, "a \"quoted\" \\ title: # no");
		inw_design_free(d);
	}
	inw_text_free(&out);
	inw_answers_free(a);
}

/* A generator of our own, the same everywhere (Park and Miller 1988: 16807 modulo 2^31 - 1). */
static unsigned long seed = 20240;
static size_t below(size_t n)
{
	seed = seed * 16807 % 2147483647;
	return (size_t)(seed / 7) % n;
}

enum { ANSWER = 160 };
static void random_answer(const struct inw_question *q, char out[ANSWER])
{
	static const char *const titles[] = {"x", "'", "a: b", "- [", "\\", "\"", "#", "%", "&a *b", "yes"};
	enum inw_units units = below(2) ? INW_SI : INW_US;

	*out = '\0';
	if (below(3) == 0)
		return;
	if (q->asks == INW_ASKS_YES_NO)
		strcpy(out, below(2) ? "yes" : "No");
	else if (q->asks == INW_ASKS_TEXT)
		strcpy(out, titles[below(INW_COUNT(titles))]);
	else if (q->asks == INW_ASKS_NUMBER) {
		double far = (double)below(1001) / 1000, value = below(4) ? q->least + (q->most - q->least) * far * far * far : below(2) ? q->least : q->most;
		if (below(3))
			strcpy(out, q->example[units]);
		else
			inw_format(out, ANSWER, value, q->dim, units);
	} else {
		snprintf(out, ANSWER, "%s", q->offers[below(q->offer_count)].word);
	}
}

/* Whatever is taken reads without a diagnostic, with every blower, in both kinds of units, the same twice. */
static void test_any(const struct inw_asking *ask, int rounds)
{
	char text[64][ANSWER], said[64 * ANSWER];
	struct inw_answer answer[64];
	int taken = 0;

	for (int round = 0; round < rounds; round++) {
		struct inw_diags diags = {0};
		const struct inw_sayings s = {ask, answer, ask->public.count};
		struct inw_start plan, sized;
		*said = '\0';
		for (size_t i = 0; i < ask->public.count; i++) {
			random_answer(&ask->public.questions[i], text[i]);
			answer[i] = (struct inw_answer){ask->public.questions[i].id, text[i], 0, 0};
			if (*text[i])
				snprintf(said + strlen(said), sizeof said - strlen(said), "%.20s: %.100s; ", answer[i].id, text[i]);
		}
		bool good = inw_sayings_check(&s, "a", &diags) == INW_OK && inw_start_plan(&s, below(2) ? INW_SI : INW_US, "a", &plan, &diags) == INW_OK;
		CHECK(good == (diags.errors == 0));
		if (good) {
			struct inw_text out = {0}, again = {0};
			inw_start_size(&plan, &s, plan.blower_said ? -1 : (int)below(ask->catalog.blowers), &sized);
			for (size_t k = below(3); k > 0; k--)
				(void)inw_start_shrink(&sized, &s, 1e-3 * (double)(1 + below(40)));
			inw_start_write(&sized, &out);
			inw_start_write(&sized, &again);
			CHECK_TEXT(out.s, again.s);
			inw_design_free(reads(out.s, said));
			inw_text_free(&out);
			inw_text_free(&again);
			taken++;
		}
		inw_diags_free(&diags);
	}
	printf("%d of %d sets of answers taken\n", taken, rounds);
	CHECK(taken > rounds / 10);
}

int main(int argc, char **argv)
{
	struct inw_diags diags = {0};
	struct inw_asking *ask = NULL;

	CHECK(inw_asking_open(&ask, &diags) == INW_OK && diags.count == 0);
	if (!ask)
		return 1;
	test_table(ask);
	test_machines(ask);
	test_when(ask);
	test_bad(ask);
	test_together(ask);
	test_said(ask);
	test_any(ask, argc > 1 ? atoi(argv[1]) : 1500);
	inw_questions_free(&ask->public);
	inw_diags_free(&diags);
	return check_done();
}
