/* SPDX-License-Identifier: MIT */
/* check.c: the whole of `inward check` as one call: study every job, judge, gather what has to be shown beside it. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/crew.h"
#include "check/facts.h"
#include "check/study.h"
#include "check/views.h"
#include "judge/sentence.h"
#include "judge/verdict.h"

enum { REPORT_CEILING = 64 << 20, MAX_LINES = 128 };

struct builder {
	const struct inw_design *d;
	int threads;
	struct inw_arena *arena, *scratch;      /* scratch: one job's study, freed when its verdicts stand */
	struct inw_report *r;
	struct inw_verdict *verdict; size_t verdicts;
	struct inw_state_view *view; size_t views;
	struct inw_rule rule[MAX_LINES]; size_t rules;
	const char *caution[MAX_LINES]; size_t cautions;
	const char *note[MAX_LINES]; size_t notes;
	unsigned char *touched;
	bool cut;                               /* some verdicts did not fit */
	bool failed;
};

static const char *keep(struct builder *b, struct inw_text *t)
{
	const char *s = t->failed ? NULL : inw_arena_dup(b->arena, t->s ? t->s : "", t->length);

	b->failed |= !s;
	inw_text_free(t);
	return s ? s : "";
}

static void add_once(const char **list, size_t *n, const char *s)
{
	for (size_t i = 0; i < *n; i++)
		if (strcmp(list[i], s) == 0)
			return;
	if (*n < MAX_LINES)
		list[(*n)++] = s;
}

/* ---- verdicts ---- */

/* Is the air in the carbon wetter than is allowed, or may it be? Then water fills pores that the law of its life, which knows
 * no water, gives to gases. */
static bool wet_carbon(const struct inw_study *s)
{
	for (int i = 0; i < s->measures.n; i++) {
		const struct inw_measure *m = &s->measures.m[i];
		if (m->kind == INW_M_BED_RH && m->sense == INW_AT_MOST)
			return !(inw_measure_margin(m, s->value[i]) >= 0);
	}
	return false;
}

static void add_verdict(struct builder *b, struct inw_study *s, int i)
{
	struct inw_finding f = inw_study_finding(s, i);
	const struct inw_measure *m = f.m;
	struct inw_verdict *v = &b->verdict[b->verdicts++];
	const char *where = NULL;

	/* the study and its strings go when its verdicts stand */
	const char *id = inw_arena_dup(b->arena, m->id, strlen(m->id)), *title = inw_arena_dup(b->arena, m->title, strlen(m->title));
	b->failed |= !id || !title;
	*v = (struct inw_verdict){.id = id, .title = title, .job = s->job->name, .state = f.state, .dim = m->dim, .sense = m->sense, .value = f.value,
		.low = f.low, .high = f.high, .limit = m->limit, .limit_high = m->limit_high, .limit_source = m->limit_source};
	v->word = inw_verdict_word(&f);
	v->margin = inw_measure_margin(m, f.value);
	v->reason = inw_verdict_reason(&f, b->d, b->arena, &where);
	b->failed |= !v->reason;
	if (m->kind == INW_M_CARBON_LIFE && v->word == INW_MEETS && wet_carbon(s)) {
		v->word = INW_IN_DOUBT;
		v->reason = inw_arena_printf(b->arena, "%s The air in the carbon is too humid: water fills pores, which this number leaves out and `inward life` counts.", v->reason ? v->reason : "");
		b->failed |= !v->reason;
	}
	v->where = where;
	v->caution = m->caution;
	if (m->caution && v->word != INW_STATED)
		add_once(b->caution, &b->cautions, m->caution);
	memcpy(v->blame, s->blame[i], sizeof v->blame);
	v->blames = s->blames[i];
	v->assumed = s->assumed[i];
}

/* ---- what to change ---- */

struct mending {
	struct inw_study *s[INW_MOST_HANDS]; /* the first is the study itself */
	struct inw_arena *arena[INW_MOST_HANDS];
	int hands;
	struct inw_verdict *verdict;         /* of measure 0 */
	int measure[INW_MAX_MEASURES]; size_t count;
	bool failed[INW_MOST_HANDS];
};

static void mend_one(void *context, int hand, size_t piece)
{
	struct mending *m = context;
	int i = m->measure[piece];

	m->failed[hand] |= inw_remedy(m->s[hand], i, m->arena[hand], &m->verdict[i].change) != 0;
}

/* The hands' texts into the report's own memory. */
static void keep_changes(struct builder *b, const struct mending *m)
{
	for (size_t n = 0; n < m->count; n++) {
		struct inw_verdict *v = &m->verdict[m->measure[n]];
		v->change = v->change ? inw_arena_dup(b->arena, v->change, strlen(v->change)) : NULL;
	}
	for (int h = 0; h < m->hands; h++) {
		b->failed |= m->failed[h];
		if (h)
			inw_study_back(m->s[0], m->s[h]);
	}
}

static void changes(struct builder *b, struct inw_study *s, struct inw_verdict *verdict)
{
	struct mending *m = inw_arena_alloc(b->scratch, sizeof *m);

	b->failed |= !m;
	if (!m)
		return;
	m->verdict = verdict;
	for (int i = 0; i < s->measures.n; i++)
		if (verdict[i].word == INW_MISSES || verdict[i].word == INW_IN_DOUBT)
			m->measure[m->count++] = i;
	for (; m->hands < b->threads && m->hands < INW_MOST_HANDS && (size_t)m->hands < m->count; m->hands++) {
		int h = m->hands;
		m->s[h] = h ? inw_study_apprentice(s, b->scratch) : s;
		m->arena[h] = inw_arena_new(REPORT_CEILING);
		b->failed |= !m->s[h] || !m->arena[h];
	}
	if (!b->failed && m->count)
		inw_crew_do(m->hands, m->count, mend_one, m);
	if (!b->failed)
		keep_changes(b, m);
	for (int h = 0; h < m->hands; h++)
		inw_arena_free(m->arena[h]);
}

/* ---- rules of thumb ---- */

static void add_rule(struct builder *b, const struct inw_study *s, struct inw_text *rule, struct inw_text *physics, bool disagree)
{
	const char *r = keep(b, rule), *p = keep(b, physics);

	if (b->rules < MAX_LINES)
		b->rule[b->rules++] = (struct inw_rule){s->job->name, r, p, disagree};
}

static void rules_of_flow(struct builder *b, const struct inw_study *s)
{
	const struct inw_outcome *o = &s->c[0].o;
	const struct inw_model *m = &s->c[0].sol.m;
	double volume = m->box_w * m->box_d * m->box_h, ach = o->air_changes_1s * 3600, out = o->share_out * o->air_changes_1s * 3600;
	struct inw_text r = {0}, p = {0};

	inw_text_printf(&r, "6 to 12 air changes an hour for a box (common practice; a 2 ft cube at 12 an hour is about " INW_N "): for this box " INW_N " to " INW_N ".",
	                INW_V(INW_DIM_VOLUME_FLOW, 0.6096 * 0.6096 * 0.6096 * 12 / 3600), INW_V(INW_DIM_VOLUME_FLOW, volume * 6 / 3600), INW_V(INW_DIM_VOLUME_FLOW, volume * 12 / 3600));
	bool rule_met = out >= 6;
	inw_text_printf(&p, "This design cleans its air %.3g times an hour and sends out %.3g times an hour; the worst gap then has an inward pressure of " INW_N ". ", ach, out,
	                INW_V(INW_DIM_PRESSURE, o->inward_Pa));
	if (o->worst_gap >= 0 && o->inward_Pa < 0)
		inw_text_printf(&p, "The rule says nothing about whether a seam leaks outward: '%s' does.", b->d->box.gap[m->gap_of[o->worst_gap]].name);
	else
		inw_text_add(&p, "What decides is the suction at the top of the hot box, not the number of air changes.");
	add_rule(b, s, &r, &p, (ach >= 6 && o->inward_Pa < 0) || (rule_met && o->inward_Pa < 0) || (!rule_met && o->inward_Pa > 0));
}

/* What the flow of the rule, all sent out, would do at this box's gaps and temperature. */
static void rule_at_the_top(struct builder *b, struct inw_study *s)
{
	const struct inw_case *c = &s->c[0];
	const struct inw_model *m = &c->sol.m;
	struct inw_text r = {0}, p = {0};
	double T_room = c->sol.s.T_room[m->box_room] >= 0 ? c->sol.y[c->sol.s.T_room[m->box_room]] : m->room[m->box_room].T, rho_room = inw_model_air(m, T_room, m->w_box).rho, rho_box = inw_model_air(m, c->sol.y[c->sol.s.T_box], m->w_box).rho;
	double need = (rho_room - rho_box) * INW_GRAVITY * m->box_h, wanted = rho_room * m->box_w * m->box_d * m->box_h * 12 / 3600;

	if (need <= 0 || m->gaps == 0 || !m->has_cleaner)
		return;
	/* drawing `wanted` in through the gaps: halve on the box pressure until the gaps take it */
	struct inw_solution probe = c->sol;
	double low = -2000, high = 2000, r_[INW_MAX_UNKNOWNS], at = probe.y[probe.s.p_box];
	struct inw_flows *f = inw_arena_alloc(b->scratch, sizeof *f);
	b->failed |= !f;
	if (!f)
		return;
	for (int i = 0; i < 60; i++) {
		double mid = 0.5 * (low + high), net = 0;
		probe.y[probe.s.p_box] = at + mid;
		inw_model_residual(&probe.m, &probe.s, probe.y, r_, NULL, f);
		for (int g = 0; g < m->gaps; g++)
			net += f->gap_in[g] - f->gap_out[g];
		*(net > wanted ? &low : &high) = mid;
	}
	double least = INFINITY;
	int worst = 0;
	for (int g = 0; g < m->gaps; g++) {
		double dp = fmin(f->gap_dp_top[g], f->gap_dp_bottom[g]);
		if (dp < least)
			least = dp, worst = g;
	}
	inw_text_add(&r, "12 air changes an hour drawn out keeps a box under suction (common practice).");
	inw_text_printf(&p, "At this box's temperature that draws " INW_N " at the worst gap ('%s'): %s", INW_V(INW_DIM_PRESSURE, least), b->d->box.gap[m->gap_of[worst]].name,
	                least < 0 ? "the top seams of the hot box still leak outward." : "here it would do.");
	add_rule(b, s, &r, &p, least < 0);
}

static void rule_of_depth(struct builder *b, const struct inw_study *s)
{
	const struct inw_outcome *o = &s->c[0].o;
	struct inw_text r = {0}, p = {0};

	if (o->bed < 0)
		return;
	double depth = s->c[0].sol.m.stage[o->bed].depth;
	inw_text_printf(&r, "A bed " INW_N " to " INW_N " deep is usual (common practice).", INW_V(INW_DIM_LENGTH, 0.05), INW_V(INW_DIM_LENGTH, 0.06));
	inw_text_printf(&p, "This bed is " INW_N " deep and holds the air for " INW_N, INW_V(INW_DIM_LENGTH, depth), INW_V(INW_DIM_TIME, o->residence_s));
	double worst = 0;
	bool any = false;
	for (int i = 0; i < o->gases; i++)
		if (!o->gas[i].weak) {
			worst = fmax(worst, o->gas[i].pass);
			any = true;
		}
	if (any)
		inw_text_printf(&p, "; fresh, it lets " INW_N " of the gas that it holds worst through from the first minute", INW_V(INW_DIM_FRACTION, worst));
	if (!isnan(o->life_s) && o->life_s > 0)
		inw_text_printf(&p, ", and lasts " INW_N " of use", INW_V(INW_DIM_TIME, o->life_s));
	inw_text_add(&p, ". Granule size, flow and grams of carbon decide, not depth alone.");
	add_rule(b, s, &r, &p, depth >= 0.05 && worst > 0.1);
}

/* ---- notes ---- */

static void notef(struct builder *b, const char *format, const char *a, const char *c)
{
	char *s = inw_arena_printf(b->arena, format, a, c);

	b->failed |= !s;
	if (s)
		add_once(b->note, &b->notes, s);
}

static void notes(struct builder *b, const struct inw_study *s)
{
	const struct inw_material *mat = &b->d->catalog.material[s->job->material];
	const struct inw_case *c = &s->c[0];

	if (mat->note && *mat->note)
		notef(b, "%s: %s", mat->title, mat->note);
	for (size_t i = 0; i < mat->gas_count; i++) {
		const struct inw_substance *sub = &b->d->catalog.substance[mat->gases[i].substance];
		if (sub->note && *sub->note)
			notef(b, "%s: %s", sub->title, sub->note);
		if (sub->weakly_held)
			notef(b, "%s: not controlled by unimpregnated carbon; none of it is counted as held.%s", sub->title, "");
		if (mat->gases[i].studies == 0)
			notef(b, "%s from %s: no published rate; the range is a guess and no verdict passes on it.", sub->title, mat->title);
	}
	notef(b, "%s: only the gases that its record lists are judged; others may come off.%s", mat->title, "");
	if (mat->particle_studies == 0)
		notef(b, "Particles from %s: no published rate; the range is a guess and no verdict passes on it.%s", mat->title, "");
	for (int i = 0; i < c->o.gases && c->ok; i++)
		if (c->o.gas[i].vp_out_of_range && !c->o.gas[i].weak)
			notef(b, "%s: no vapour pressure law covers the bed's temperature; the nearest is carried on.%s", b->d->catalog.substance[c->o.gas[i].substance].title, "");
	if (c->ok && c->sol.m.box_pinned)
		notef(b, "No way for air between box and surroundings is described: the level of its pressure cannot be known.%s%s", "", "");
	for (int i = 0; c->ok && i < c->sol.m.rooms; i++)
		if (c->sol.m.room[i].pinned)
			notef(b, "No way for air between '%s' and outdoors is described: its pressure is taken as outdoors'.%s", b->d->room[i].name, "");
	b->cut |= s->measures.overflow;
	if (s->measures.overflow)
		notef(b, "More people, rooms and gases than this report holds: some verdicts are left out.%s%s", "", "");
	if (b->d->box.planned)
		notef(b, "This box is not built yet ('planned: yes'): the sizes of its gaps are aims, not measurements, and each verdict holds only for a box that is built as tight. Measure the gaps, or the flow through all of them, when it stands.%s%s", "", "");
	notef(b, "Each answer is the steady state: the hours before it, the days after and the opening of the box are not in it; `inward day` follows a day through and judges these.%s%s", "", "");
	if (b->d->jobs > 1)
		notef(b, "The life of the carbon is that under each job alone, without what the others put on it.%s%s", "", "");
	notef(b, "Concentrations are what the machine adds; what was in the air before is not counted.%s%s", "", "");
}

/* ---- weather that is not judged ---- */

/* What harms more in mild weather than in what the design states. */
static bool goes_with_weather(enum inw_measure_kind k)
{
	return k == INW_M_WORK_8H || k == INW_M_WORK_PEAK || k == INW_M_HOME_LONG || k == INW_M_HOME_1H || k == INW_M_PARTICLES || k == INW_M_DEPRESSURISATION;
}

/* The study stands where it is as mild outdoors as it can be for one of the rooms: which measure suffers most by that, and how high
 * it gets. -1 when none gets a tenth (ours) higher. */
static int suffers(struct inw_study *s, struct inw_case *c, double *most)
{
	const double much = 1.1;
	int at = -1;

	for (int k = 0; k < INW_STATES; k++) {
		c->ok = false;
		for (int i = 0; i < s->measures.n; i++) {
			const struct inw_measure *m = &s->measures.m[i];
			if (!goes_with_weather(m->kind) || s->worst[i] != k || !(s->value[i] > 0))
				continue;
			if (!c->ok)
				inw_study_case(s, c, k, &s->c[k], NULL);
			double v = inw_study_value(s, i, c);
			if (v > much * s->value[i] && (at < 0 || v / m->limit > *most / s->measures.m[at].limit))
				at = i, *most = v;
		}
	}
	return at;
}

/* One outdoor temperature without a range is judged alone: say what mild weather would do to rooms that breathe by warmth. */
static void mild_weather(struct builder *b, struct inw_study *s)
{
	inw_q q = b->d->site.T_out;
	struct inw_quantity any = b->d->quantity[q];
	struct inw_case *c = inw_arena_alloc(b->scratch, sizeof *c);
	double out, in, most = 0;

	b->failed |= !c;
	if (!c || any.low < any.high || !s->c[INW_AS_DESIGNED].ok)
		return;
	any.low = -INFINITY, any.high = INFINITY;
	for (int room = 0; room < (int)b->d->rooms; room++) {
		if (!inw_study_still(s, room, &out, &in) || isnan(out = inw_study_near(&any, out)))
			continue;
		s->x[q] = out;
		inw_design_follow(b->d, s->x, NULL, 0);
		int i = suffers(s, c, &most);
		inw_study_good(s);
		if (i < 0)
			continue;
		const struct inw_measure *m = &s->measures.m[i];
		const char *note = inw_arena_printf(b->arena, "Outdoors is given as " INW_N " without a range, and is judged so alone. Rooms that breathe by warmth change less air in mild weather: at " INW_N
		                                    " '%s' would be " INW_N " instead of " INW_N " (at most " INW_N "). Give a range to have it judged, as 'temperature: 10 degC (-5 .. 25 degC)'.",
		                                    INW_V(INW_DIM_TEMPERATURE, any.value), INW_V(INW_DIM_TEMPERATURE, out), m->id, INW_V(m->dim, most), INW_V(m->dim, s->value[i]), INW_V(m->dim, m->limit));
		b->failed |= !note;
		if (note)
			add_once(b->note, &b->notes, note);
		return;
	}
}

/* ---- rooms that would have to be cooled ---- */

/* The state in which the room gets warmest by itself or, where it is held, takes most cooling; how warm, how much. */
static int most_warmed(const struct inw_study *s, int room, double *T_K, double *cooling_W)
{
	int at = -1;

	*T_K = *cooling_W = 0;
	for (int k = 0; k < INW_STATES; k++) {
		const struct inw_solution *sol = &s->c[k].sol;
		if (!s->c[k].ok || inw_states[k].speed_factor == 0)
			continue;
		if (sol->s.T_room[room] >= 0 && sol->y[sol->s.T_room[room]] > *T_K)
			*T_K = sol->y[sol->s.T_room[room]], at = k;
		if (sol->s.T_room[room] < 0 && -sol->f.room_heater_W[room] > *cooling_W)
			*cooling_W = -sol->f.room_heater_W[room], at = *T_K > 0 ? at : k;
	}
	return at;
}

/* What is held by nobody's word is heated and never cooled; what is held by the design's own word may take cooling that is not there. */
static void cooled_rooms(struct builder *b, const struct inw_study *s)
{
	const double little_W = 20; /* ours: what an open door does */

	for (int i = 0; i < (int)b->d->rooms; i++) {
		const struct inw_room *room = &b->d->room[i];
		const char *note = NULL;
		double T, W;
		int k = most_warmed(s, i, &T, &W);
		if (k >= 0 && room->T_assumed && T > 0)
			note = inw_arena_printf(b->arena, "Nothing is said of the temperature of '%s': it is taken as heated to " INW_N " and never cooled, and gets to " INW_N
			                        " in the state '%s'. If it is cooled say to what ('temperature: 24 degC'); if it loses its heat otherwise give 'heat_loss'.",
			                        room->name, INW_V(INW_DIM_TEMPERATURE, b->d->quantity[room->T].value), INW_V(INW_DIM_TEMPERATURE, T), inw_states[k].name);
		else if (k >= 0 && room->T_held && !room->T_assumed && W > little_W)
			note = inw_arena_printf(b->arena, "'%s' is stated to have " INW_N ": that takes " INW_N " of cooling in the state '%s'. With less it is warmer than what is judged "
			                        "here: 'temperature: free' works out how warm.", room->name, INW_V(INW_DIM_TEMPERATURE, b->d->quantity[room->T].value), INW_V(INW_DIM_POWER, W), inw_states[k].name);
		else
			continue;
		b->failed |= !note;
		if (note)
			add_once(b->note, &b->notes, note);
	}
}

static bool any_job_is(const struct inw_design *d, const char *process)
{
	for (size_t j = 0; j < d->jobs; j++) {
		const char *is = d->catalog.material[d->job[j].material].process;
		if (is && strcmp(is, process) == 0)
			return true;
	}
	return false;
}

static void usual_cautions(struct builder *b)
{
	static const char *const usual[] = {
		"A closed box with a hot machine in it is a fire risk: fit a cut-out that switches off by itself when it gets too hot, use nothing that feeds a fire, and until that is so do not leave it running alone.",
		"Fumes: if anyone has a headache, a tight chest, cough or itching eyes, stop the machine, leave and air the room.",
		"Check the finished box with smoke at every gap when it is hot: the drawing is not the box.",
		"Fit a smoke alarm and a carbon monoxide alarm in every room where people sleep near a machine that runs unattended.",
	};

	if (any_job_is(b->d, "laser cutting"))
		add_once(b->caution, &b->cautions, "A laser sets alight what it cuts: never leave it running alone, and keep what puts a fire out within reach. Never cut PVC or "
		         "other plastics that hold chlorine: no filter makes that good.");
	if (b->d->cleaner.present && b->d->cleaner.has_exhaust && b->d->cleaner.exhaust_to == INW_OUTDOORS)
		add_once(b->caution, &b->cautions, "Keep the outlet out of doors away from windows, air intakes and neighbours: what carbon lets through comes out there.");
	for (size_t i = 0; i < INW_COUNT(usual); i++)
		add_once(b->caution, &b->cautions, usual[i]);
}

/* ---- all of it ---- */

static int one_job(struct builder *b, size_t j)
{
	const struct inw_job *job = &b->d->job[j];
	struct inw_study *s = inw_study_run(b->d, job, b->threads, b->scratch);
	struct inw_verdict *first = &b->verdict[b->verdicts];
	char *suffix = j ? inw_arena_printf(b->arena, "@%s", job->name) : inw_arena_dup(b->arena, "", 0);

	if (!s || !suffix)
		return -1;
	for (int i = 0; i < s->measures.n; i++)
		add_verdict(b, s, i);
	changes(b, s, first);
	for (int k = 0; k < INW_STATES; k++)
		if (inw_state_arises(b->d, k) && inw_view(&b->view[b->views++], s, k, b->arena))
			return -1;
	struct inw_fact *facts = (struct inw_fact *)(void *)b->r->facts;
	if (inw_facts_collect(&facts, &b->r->fact_count, s, suffix, b->arena))
		return -1;
	b->r->facts = facts;
	for (size_t q = 0; q < b->d->quantities; q++)
		b->touched[q] |= s->touched[q];
	if (s->c[0].ok) {
		rules_of_flow(b, s);
		rule_at_the_top(b, s);
		rule_of_depth(b, s);
	}
	notes(b, s);
	mild_weather(b, s);
	cooled_rooms(b, s);
	return 0;
}

static int assumed(struct builder *b)
{
	const struct inw_quantity **list = inw_arena_alloc(b->arena, sizeof *list * (b->d->quantities + 1));
	size_t n = 0;

	if (!list)
		return -1;
	for (size_t q = 0; q < b->d->quantities; q++)
		if (b->touched[q] && b->d->quantity[q].origin == INW_FROM_DEFAULT)
			list[n++] = &b->d->quantity[q];
	b->r->assumed = list;
	b->r->assumed_count = n;
	return 0;
}

static const void *copy(struct builder *b, const void *from, size_t bytes)
{
	void *to = inw_arena_alloc(b->arena, bytes + 1);

	b->failed |= !to;
	return to ? memcpy(to, from, bytes) : NULL;
}

/* The overall word: the worst of those with a limit, misses first, then what cannot be told, then doubt. */
static enum inw_word overall(const struct builder *b)
{
	bool misses = false, unknown = b->cut, doubt = false;

	for (size_t i = 0; i < b->verdicts; i++) {
		misses |= b->verdict[i].word == INW_MISSES;
		unknown |= b->verdict[i].word == INW_CANNOT_TELL;
		doubt |= b->verdict[i].word == INW_IN_DOUBT;
	}
	return misses ? INW_MISSES : unknown ? INW_CANNOT_TELL : doubt ? INW_IN_DOUBT : INW_MEETS;
}

static int build_report(struct builder *b)
{
	const struct inw_design *d = b->d;

	b->verdict = inw_arena_alloc(b->arena, sizeof *b->verdict * (INW_MAX_MEASURES * d->jobs + 1));
	b->view = inw_arena_alloc(b->arena, sizeof *b->view * (INW_STATES * d->jobs + 1));
	b->touched = inw_arena_alloc(b->arena, d->quantities + 1);
	if (!b->verdict || !b->view || !b->touched)
		return -1;
	for (size_t j = 0; j < d->jobs; j++) {
		b->scratch = inw_arena_new(REPORT_CEILING);
		int bad = !b->scratch || one_job(b, j);
		inw_arena_free(b->scratch);
		if (bad)
			return -1;
	}
	usual_cautions(b);
	struct inw_report *r = b->r;
	r->title = d->title;
	r->file = d->file;
	r->overall = overall(b);
	r->verdicts = b->verdict;
	r->verdict_count = b->verdicts;
	r->states = b->view;
	r->state_count = b->views;
	r->rules = copy(b, b->rule, sizeof *b->rule * b->rules);
	r->rule_count = b->rules;
	r->cautions = copy(b, b->caution, sizeof *b->caution * b->cautions);
	r->caution_count = b->cautions;
	r->notes = copy(b, b->note, sizeof *b->note * b->notes);
	r->note_count = b->notes;
	r->design = d;
	return assumed(b) || b->failed ? -1 : 0;
}

enum inw_status inw_check(const struct inw_design *d, struct inw_report **out, struct inw_diags *diags)
{
	return inw_check_by(d, 1, out, diags);
}

enum inw_status inw_check_by(const struct inw_design *d, unsigned threads, struct inw_report **out, struct inw_diags *diags)
{
	struct inw_arena *arena = inw_arena_new(REPORT_CEILING);
	struct builder *b = arena ? inw_arena_alloc(arena, sizeof *b) : NULL;
	struct inw_report *r = arena ? inw_arena_alloc(arena, sizeof *r) : NULL;

	if (!b || !r)
		goto out_of_memory;
	b->d = d;
	b->threads = inw_crew_hands(threads);
	b->arena = arena;
	b->r = r;
	r->arena_ = arena;
	if (build_report(b))
		goto out_of_memory;
	*out = r;
	return INW_OK;
out_of_memory:
	diags->out_of_memory = true;
	inw_arena_free(arena);
	return INW_NO_MEMORY;
}

void inw_report_free(struct inw_report *r)
{
	if (r)
		inw_arena_free(r->arena_);
}
