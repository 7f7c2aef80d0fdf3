/* SPDX-License-Identifier: MIT */
/* test_properties.c: what physics says about any box, over random designs, and limit cases with analytic answers.
 * Nothing here is compared with an earlier answer of ours. Argument: how many random designs (1000).
 */
#include <stdlib.h>

#include "solve/outcome.h"
#include "test/check.h"
#include "test/model/random_design.h"

static const struct inw_state as_designed = {.name = "as designed", .speed_factor = 1};
static int listed;

/* ---- random designs ---- */

/* How often a property could be tried and how often it failed. */
struct property { const char *name; int tried, failed; double worst; };

static void property(struct property *p, uint64_t seed, bool good, double by)
{
	p->tried++;
	if (good)
		return;
	p->failed++;
	p->worst = fmax(p->worst, by);
	if (listed++ < 30)
		printf("  %s: design %llu, by %.3g\n", p->name, (unsigned long long)seed, by);
}

static bool build(struct inw_solution *sol, const struct inw_design *d, const double *x)
{
	struct inw_values v = {x, NULL};
	const char *why;

	return inw_model_build(&sol->m, d, &v, &d->job[0], &as_designed, &why) == 0;
}

static bool solved(struct inw_solution *sol)
{
	inw_steady(sol, false);
	return sol->status == INW_OK;
}

/* One air everywhere, and no source of heat or pressure: nothing may move, nothing may be warm. */
static void still(struct property *p, uint64_t seed, const struct inw_solution *base)
{
	static struct inw_solution s;
	const double T = 291.15;

	for (int i = 0; i < base->m.rooms; i++) /* a free room that loses heat to nothing has no temperature of its own */
		if (!base->m.room[i].held && base->m.room[i].heat_loss + base->m.room[i].exchange_kgs < 1e-3)
			return;
	s = *base;
	s.m.T_out = T;
	s.m.w_box = s.m.w_out;
	s.m.heat_air = s.m.heater_power = s.m.plate_area = 0;
	s.m.plate_on = false;
	for (int i = 0; i < s.m.rooms; i++) {
		s.m.room[i].T = T;
		s.m.room[i].humidity_ratio = s.m.w_out;
	}
	for (int k = 0; k < s.m.stages; k++)
		s.m.stage[k].speed = s.m.stage[k].power = s.m.stage[k].idle = 0;
	if (!solved(&s)) {
		property(p, seed, s.m.fixed_share && !s.m.gaps, s.residual);
		return;
	}
	double most = fabs(s.y[s.s.T_box] - T);
	for (int i = 0; i < s.m.rooms; i++)
		if (s.s.T_room[i] >= 0)
			most = fmax(most, fabs(s.y[s.s.T_room[i]] - T));
	property(p, seed, most < 1e-4, most);
	most = 0;
	for (int i = 0; i < s.m.gaps; i++)
		most = fmax(most, fabs(s.f.gap_in[i] - s.f.gap_out[i]));
	if (s.s.m_clean >= 0)
		most = fmax(most, fabs(s.y[s.s.m_clean]));
	property(p, seed, most < 1e-6, most); /* kg/s: a cubic millimetre of air per second is 1e-9 */
}

/* Largest difference of what must agree, in natural units. */
static double apart(const struct inw_solution *a, const struct inw_solution *b)
{
	double d = fabs(a->y[a->s.T_box] - b->y[b->s.T_box]) / 10;

	d = fmax(d, fabs(a->y[a->s.p_box] - b->y[b->s.p_box]) / 10);
	if (a->s.m_clean >= 0)
		d = fmax(d, fabs(a->y[a->s.m_clean] - b->y[b->s.m_clean]) / 1e-3);
	if (a->s.m_exhaust >= 0)
		d = fmax(d, fabs(a->y[a->s.m_exhaust] - b->y[b->s.m_exhaust]) / 1e-3);
	return d;
}

static void mirror(struct property *p, uint64_t seed, const struct inw_solution *base)
{
	static struct inw_solution s;

	s = *base;
	s.m.panel[INW_LEFT] = base->m.panel[INW_RIGHT];
	s.m.panel[INW_RIGHT] = base->m.panel[INW_LEFT];
	for (int i = INW_LEFT; i <= INW_RIGHT; i++) /* each with temperatures of its own, also where the two are alike */
		s.m.panel[i].like = i, s.m.panel[i].alike = 1;
	bool good = solved(&s);
	property(p, seed, good && apart(&s, base) <= 1e-9, apart(&s, base));
	if (good)
		property(p, seed, fabs(s.y[s.s.T_panel_in[INW_LEFT]] - base->y[base->s.T_panel_in[INW_RIGHT]]) <= 1e-8,
		         fabs(s.y[s.s.T_panel_in[INW_LEFT]] - base->y[base->s.T_panel_in[INW_RIGHT]]));
}

static int turned(int room, int rooms)
{
	return room < 0 ? room : rooms - 1 - room;
}

static void reverse_order(struct property *p, uint64_t seed, const struct inw_solution *base)
{
	static struct inw_solution s;
	struct inw_model *m = &s.m;
	struct inw_model_duct *duct[3] = {&m->inlet, &m->ret, &m->exhaust};

	s = *base;
	for (int i = 0; i < m->gaps; i++) {
		m->gap[i] = base->m.gap[m->gaps - 1 - i];
		m->gap[i].room = turned(m->gap[i].room, m->rooms);
	}
	for (int i = 0; i < m->rooms; i++)
		m->room[i] = base->m.room[m->rooms - 1 - i];
	for (int i = 0; i < m->doorways; i++) {
		m->doorway[i].a = turned(m->doorway[i].a, m->rooms);
		m->doorway[i].b = turned(m->doorway[i].b, m->rooms);
	}
	for (int i = 0; i < 3; i++)
		duct[i]->room = turned(duct[i]->room, m->rooms);
	m->box_room = turned(m->box_room, m->rooms);
	m->exhaust_to = turned(m->exhaust_to, m->rooms);
	bool good = solved(&s);
	property(p, seed, good && apart(&s, base) <= 1e-9, apart(&s, base));
}

/* Warm air in a duct can draw either way: two steady states, and between them a box may jump to the cooler one. */
static bool same_way(const struct inw_solution *a, const struct inw_solution *b)
{
	const int slot[] = {a->s.m_clean, a->s.m_return, a->s.m_exhaust};

	for (size_t i = 0; i < INW_COUNT(slot); i++)
		if (slot[i] >= 0 && (a->y[slot[i]] > 0) != (b->y[slot[i]] > 0))
			return false;
	return true;
}

static bool all_held(const struct inw_solution *s)
{
	for (int i = 0; i < s->m.rooms; i++)
		if (!s->m.room[i].held)
			return false;
	return true;
}

static void hotter_plate(struct property *p, uint64_t seed, const struct inw_solution *base)
{
	static struct inw_solution s;

	if (!base->m.plate_on)
		return;
	s = *base;
	s.m.plate_T += 10;
	if (solved(&s) && same_way(&s, base))
		property(p, seed, s.y[s.s.T_box] >= base->y[base->s.T_box] - 1e-6, base->y[base->s.T_box] - s.y[s.s.T_box]);
}

static void more_heat(struct property *p, uint64_t seed, const struct inw_solution *base)
{
	static struct inw_solution s;

	s = *base;
	s.m.heat_air += 20;
	if (solved(&s) && same_way(&s, base))
		property(p, seed, s.y[s.s.T_box] >= base->y[base->s.T_box] - 1e-6, base->y[base->s.T_box] - s.y[s.s.T_box]);
}

static double least_inward(const struct inw_solution *s, int but)
{
	double least = INFINITY;

	for (int i = 0; i < s->m.gaps; i++)
		if (i != but)
			least = fmin(least, fmin(s->f.gap_dp_bottom[i], s->f.gap_dp_top[i]));
	return least;
}

static void narrow(struct inw_model_gap *g)
{
	g->r.lin *= 2;
	g->r.quad *= 4;
	g->C /= 2;
	g->width /= 2;
}

/* Heat aside (the temperature held), a fixed share sent out must find its way in through the other gaps: unless the blower,
 * working against more, sends out less. */
static void tighter(struct property *p, uint64_t seed, const struct inw_solution *base)
{
	static struct inw_solution s, wide;

	if (!all_held(base) || !base->m.fixed_share || base->m.gaps < 2 || base->m.exhaust_to != INW_OUTDOORS)
		return;
	for (int i = 0; i < base->m.gaps; i++)
		if (base->m.gap[i].room != base->m.box_room || !(base->f.gap_dp_bottom[i] > 0 && base->f.gap_dp_top[i] > 0))
			return;
	wide = *base;
	wide.m.heater_power = 1e5; /* the temperature is held in both */
	wide.m.heater_target = fmax(base->y[base->s.T_box] + 5, 310);
	if (!solved(&wide) || !(wide.f.gap_dp_bottom[0] > 0 && wide.f.gap_dp_top[0] > 0)) /* one that leaks out is another matter */
		return;
	s = wide;
	narrow(&s.m.gap[0]);
	if (!solved(&s) || !(s.y[s.s.m_exhaust] > 0) || !(least_inward(&wide, 0) > 0))
		return;
	double before = least_inward(&wide, 0), after = least_inward(&s, 0);
	double flow = s.y[s.s.m_exhaust] / wide.y[wide.s.m_exhaust];
	double stack = INW_GRAVITY * wide.m.box_h * 1.3; /* at most; kg/m3 of cold air against none: what does not go with the flow */
	property(p, seed, after >= (before + stack) * fmin(1, flow * flow) - stack - 1e-6, before - after); /* dp ~ m^2 at most */
}

/* Where the blower drives the air, that is: where warmth drives most of it, through two branches, more of one may cool the other. */
static void faster(struct property *p, uint64_t seed, const struct inw_solution *base)
{
	static struct inw_solution s;
	double driven = 0; /* Pa: what blowers make, less what the other stages take */
	bool turns = false;

	s = *base;
	for (int k = 0; k < s.m.stages; k++) {
		turns = turns || s.m.stage[k].speed > 0.01;
		driven += s.m.stage[k].kind == INW_STAGE_BLOWER ? base->f.stage_dp[k] : -base->f.stage_dp[k];
		s.m.stage[k].speed *= 1.1;
	}
	if (turns && driven >= 0 && base->s.m_clean >= 0 && base->y[base->s.m_clean] > 1e-4 && solved(&s))
		property(p, seed, s.y[s.s.m_clean] >= base->y[base->s.m_clean] - 1e-9, base->y[base->s.m_clean] - s.y[s.s.m_clean]);
}

static bool all_forwards(const struct inw_solution *s)
{
	return s->s.m_exhaust >= 0 && s->s.m_return >= 0 && s->y[s->s.m_exhaust] > 0.01 * s->y[s->s.m_clean] && s->y[s->s.m_return] > 0;
}

/* Towards out: more of the flow leaves, so the box stands lower against its room. Only with temperatures held (with less
 * air returned the box may grow warmer, and its stack stronger) and with both branches blowing (a branch that draws air out
 * of the box backwards is a second exhaust, which the flap shuts), and by a blower, not by warmth alone: without these there
 * are counterexamples. */
static void flap(struct property *p, uint64_t seed, const struct inw_design *d, const double *x0)
{
	static struct inw_solution a, b;
	const struct inw_cleaner *c = &d->cleaner;
	double *x = malloc(sizeof(double) * (d->quantities + 1));

	if (x && c->present && c->split == INW_SPLIT_FLAP && c->exhaust_to == INW_OUTDOORS) {
		memcpy(x, x0, sizeof(double) * d->quantities);
		x[c->position] = 0.8 * x0[c->position];
		bool good = build(&a, d, x) && build(&b, d, x0) && a.m.gaps && all_held(&a);
		for (int k = 0; good && k < a.m.stages; k++)
			good = a.m.stage[k].kind != INW_STAGE_BLOWER || a.m.stage[k].speed > 0.2;
		for (int i = 0; good && i < a.m.gaps; i++)
			good = a.m.gap[i].room == a.m.box_room;
		a.m.heater_power = b.m.heater_power = 1e5;
		a.m.heater_target = b.m.heater_target = 345;
		if (good && solved(&a) && solved(&b) && all_forwards(&a) && all_forwards(&b) && a.m.heater == INW_HEATER_HOLDS && b.m.heater == INW_HEATER_HOLDS)
			property(p, seed, least_inward(&b, -1) >= least_inward(&a, -1) - 1e-6, least_inward(&a, -1) - least_inward(&b, -1));
	}
	free(x);
}

static void properties(int designs)
{
	static struct inw_solution base;
	struct property p[] = {{.name = "a box left alone is at room temperature"}, {.name = "mirrored"}, {.name = "order of gaps and rooms"},
		{.name = "hotter plate, hotter box"}, {.name = "more heat, hotter box"}, {.name = "tighter gap, more pressure at the others"},
		{.name = "faster, more flow"}, {.name = "flap towards out, pressure does not fall"}};

	for (int i = 0; i < designs; i++) {
		uint64_t seed = 5000000u + (uint64_t)i;
		struct random_source r = {seed};
		struct inw_design *d = random_design(&r);
		CHECK(d != NULL);
		for (int v = 0; d && v < 4; v++) {
			double *x = random_values(&r, d, v > 0);
			if (x && build(&base, d, x) && solved(&base)) {
				still(&p[0], seed, &base);
				mirror(&p[1], seed, &base);
				reverse_order(&p[2], seed, &base);
				hotter_plate(&p[3], seed, &base);
				more_heat(&p[4], seed, &base);
				tighter(&p[5], seed, &base);
				faster(&p[6], seed, &base);
				flap(&p[7], seed, d, x);
			}
			free(x);
		}
		inw_design_free(d);
	}
	for (size_t k = 0; k < INW_COUNT(p); k++) {
		printf("%s: %d tried, %d failed, worst %.3g\n", p[k].name, p[k].tried, p[k].failed, p[k].worst);
		CHECK(p[k].tried > 0);
		CHECK(p[k].failed == 0);
	}
}

/* ---- limit cases ---- */

/* Read a design and solve it at its best estimates; false when that fails. `d` is the caller's to free. */
static bool solve_text(const char *text, struct inw_solution *sol, struct inw_design **d, double **x)
{
	struct inw_diags diags = {0};
	struct random_source r = {1};

	*d = NULL;
	*x = NULL;
	bool good = inw_design_parse(text, strlen(text), "text", NULL, d, &diags) == INW_OK;
	for (size_t i = 0; i < diags.count; i++)
		printf("  %s\n", diags.items[i].message);
	inw_diags_free(&diags);
	*x = good ? random_values(&r, *d, false) : NULL;
	good = *x && build(sol, *d, *x) && solved(sol);
	CHECK(good);
	return good;
}

static void done(struct inw_design *d, double *x)
{
	free(x);
	inw_design_free(d);
}

#define ROOM_AT_20 "inward: 1\ntitle: limit case\nsite: {altitude: 0 m, outdoor: {temperature: 20 degC, humidity: 0 %}}\n" \
	"rooms:\n  - {name: room, floor: 18.75 m2, height: 2.4 m, temperature: 20 degC, humidity: 0 %, air_changes: 1 1/h, "
#define BOX "box:\n  inside: {width: 500 mm, depth: 500 mm, height: 800 mm}\n  stirring: 0 m/s\n  panels:\n" \
	"    all: {resistance: 10 m2K/W, emissivity: 0.9}\n"
#define HELD_AT_60 "heat: {hot_end: 0 W, electronics: 0 W, plate: {width: 1 mm, depth: 1 mm}, heater: {power: 5000 W, target: 60 degC}}\n"
#define COLD "heat: {hot_end: 0 W, electronics: 0 W, plate: {width: 1 mm, depth: 1 mm}}\n"
#define JOB "jobs:\n  - {name: job, material: resin rinsing, rate: 10 g/h, duration: 1 h, plate: 20 degC}\n"

/* Two like orifices, heated air: the pressures across them share rho g h dT/T so that what enters leaves (BS 5925:1991;
 * textbook). rho ~ 1/T: inflow below with cold air, outflow above with warm, so dp_low/dp_high = rho_box/rho_room =
 * T_room/T_box. Smoothing of the power law near zero: 0.25 (0.01 Pa/dp)^2 = 3e-4 here. */
static void chimney(void)
{
	static struct inw_solution s;
	struct inw_design *d;
	double *x;

	if (solve_text(ROOM_AT_20 "leakage: {area: 200 cm2}}\n" BOX "  gaps:\n"
	               "    - {name: low, kind: measured, face: front, height: 100 mm, flow: 5 m3/h, at: 1 Pa, exponent: 0.5}\n"
	               "    - {name: high, kind: measured, face: front, height: 700 mm, flow: 5 m3/h, at: 1 Pa, exponent: 0.5}\n" HELD_AT_60 JOB, &s, &d, &x)) {
		const double T_room = 293.15, T_box = 333.15, rho = 101325 / (287.05287 * T_room), stack = rho * INW_GRAVITY * 0.6 * (1 - T_room / T_box);
		double low = stack / (1 + T_box / T_room), high = -stack / (1 + T_room / T_box);
		CHECK_ABS(s.y[s.s.T_box], T_box, 1e-6, "the thermostat's target");
		CHECK_REL(s.f.gap_dp_bottom[0], low, 2e-3, "neutral plane of two like orifices");
		CHECK_REL(s.f.gap_dp_bottom[1], high, 2e-3, "neutral plane of two like orifices");
		CHECK_REL(s.f.gap_dp_bottom[0] - s.f.gap_dp_bottom[1], stack, 1e-5, "rho g h dT/T");
		CHECK_REL(s.f.gap_in[0], 5 / 3600.0 * sqrt(low * 1.2041 / rho) * rho, 2e-3, "orifice law, ASTM E779's correction to density");
	}
	done(d, x);
}

/* All that the blower takes must come through one sharp hole: dp = rho/2 (q/(Cd A))^2 (BS 5925) + 24 mu q/D^3 (Sampson). */
static void one_hole(void)
{
	static struct inw_solution s;
	struct inw_design *d;
	double *x;

	if (solve_text(ROOM_AT_20 "leakage: {area: 400 cm2}}\n" BOX "  gaps:\n"
	               "    - {name: hole, kind: hole, face: front, height: 100 mm, diameter: 40 mm, cd: 0.61}\n"
	               "cleaner:\n  inlet: {height: 700 mm, duct: {diameter: 100 mm, length: 0.1 m}}\n  stages:\n"
	               "    - blower: {curve: [[0 m3/h, 200 Pa], [40 m3/h, 100 Pa], [60 m3/h, 0 Pa]], power: 1 W, motor_in_air: no}\n"
	               "  return: none\n  exhaust: {to: outdoors, height: 1 m, duct: {diameter: 100 mm, length: 0.5 m}}\n" COLD JOB, &s, &d, &x)) {
		double rho = 101325 / (287.05287 * 293.15), q = s.y[s.s.m_exhaust] / rho, A = 0.25 * INW_PI * 0.04 * 0.04;
		double want = 0.5 * rho * pow(q / (0.61 * A), 2) + 24 * 1.8134e-5 * q / pow(0.04, 3);
		CHECK(q > 20 / 3600.0);
		CHECK_REL(s.f.gap_dp_bottom[0], want, 1e-3, "orifice law and Sampson's creeping flow");
		CHECK_REL(s.f.gap_in[0], s.y[s.s.m_exhaust], 1e-9, "what leaves enters");
	}
	done(d, x);
}

/* Outer face of an upright sheet by hand: q = (Ti - To)/R = h (To - Tr) + e sigma (To^4 - Tr^4), h of Churchill & Chu 1975
 * with air at film temperature (Sutherland; k of US Std Atm 1976, its ten-to-the-power term with it). */
static double upright_loss(double Ti, double Tr, double R, double e, double height)
{
	double low = Tr, high = Ti;

	for (int i = 0; i < 60; i++) {
		double To = 0.5 * (low + high), T = 0.5 * (To + Tr), mu = 1.458e-6 * pow(T, 1.5) / (T + 110.4), rho = 101325 / (287.05287 * T);
		double k = 2.64638e-3 * pow(T, 1.5) / (T + 245.4 * pow(10, -12 / T)), nu = mu / rho, Pr = mu * 1006 / k;
		double Ra = 9.80665 * (To - Tr) / T * pow(height, 3) / (nu * nu) * Pr;
		double Nu = pow(0.825 + 0.387 * pow(Ra, 1.0 / 6) / pow(1 + pow(0.492 / Pr, 9.0 / 16), 8.0 / 27), 2);
		double out = Nu * k / height * (To - Tr) + e * 5.670374e-8 * (pow(To, 4) - pow(Tr, 4));
		*(out < (Ti - To) / R ? &low : &high) = To;
	}
	return (Ti - 0.5 * (low + high)) / R;
}

/* No air moves: what the heater gives is what the sheets pass, between A dT/(R + 1) and A dT/R (films: 0.04 to 0.17
 * m2K/W each in buildings, ISO 6946:2017 table 7, memory; at 4 W/m2 and unstirred more, but no more than 0.5: 2 W/m2K). */
static void no_flow(void)
{
	static struct inw_solution s;
	struct inw_design *d;
	double *x;

	if (solve_text(ROOM_AT_20 "leakage: {area: 200 cm2}}\n" BOX "  gaps: []\n" HELD_AT_60 JOB, &s, &d, &x)) {
		double A = 2 * (0.25 + 0.4 + 0.4), sum = 0;
		for (int i = 0; i < INW_FACES; i++)
			sum += s.f.panel_W[i];
		CHECK_REL(s.f.heater_W + s.f.plate_W, sum, 1e-8, "first law");
		CHECK(sum < A * 40 / 10.0 && sum > A * 40 / 11);
		double front = 0.4 * upright_loss(s.y[s.s.T_panel_in[INW_FRONT]], 293.15, 10, 0.9, 0.8);
		CHECK_REL(s.f.panel_W[INW_FRONT], front, 1e-4, "Churchill & Chu 1975 and radiation, by halving");
	}
	done(d, x);
	if (solve_text(ROOM_AT_20 "leakage: {area: 200 cm2}}\nbox:\n  inside: {width: 500 mm, depth: 500 mm, height: 800 mm}\n"
	               "  panels:\n    all: {resistance: 0.02 m2K/W, emissivity: 0.9}\n  gaps: []\n" HELD_AT_60 JOB, &s, &d, &x)) {
		double front = 0.4 * upright_loss(s.y[s.s.T_panel_in[INW_FRONT]], 293.15, 0.02, 0.9, 0.8);
		CHECK_REL(s.f.panel_W[INW_FRONT], front, 1e-4, "Churchill & Chu 1975 and radiation, by halving");
	}
	done(d, x);
}

/* An extract from a room with a known leakage area: Q = ELA sqrt(8/rho) (dp/4)^0.65 (ASTM E779), whose table for 20, 50, 100
 * and 200 cm2 at 10, 20, 40 and 60 m3/h reads as below to two figures (worked out from that law). A steep blower holds
 * the flow; the box stands open. */
static void depressurised_room(void)
{
	static const double area[] = {20, 50, 100, 200}, flow[] = {10, 20, 40, 60};
	static const double table[4][4] = {{1.5, 4.5, 13, 24}, {0.4, 1.1, 3.2, 5.9}, {0.13, 0.38, 1.1, 2.0}, {0.04, 0.13, 0.38, 0.70}};
	static struct inw_solution s;
	struct inw_design *d;
	double *x;

	for (int i = 0; i < 4; i++)
		for (int k = 0; k < 4; k++) {
			struct inw_text t = {0};
			inw_text_add(&t, ROOM_AT_20);
			inw_text_printf(&t, "leakage: {area: %g cm2, exponent: 0.65}}\n" BOX "  gaps:\n"
				"    - {name: front, kind: opening, face: front, height: 100 mm, width: 400 mm, rise: 500 mm}\n"
				"cleaner:\n  inlet: {height: 700 mm, duct: {diameter: 150 mm}}\n  stages:\n"
				"    - blower: {curve: [[0 m3/h, 2000 Pa], [%.9g m3/h, 1900 Pa], [%.9g m3/h, 0 Pa]], power: 1 W, density: 1.2041 kg/m3, motor_in_air: no}\n"
				"  return: none\n  exhaust: {to: outdoors, height: 1 m, duct: {diameter: 150 mm}}\n" COLD JOB, area[i], 0.99 * flow[k], flow[k]);
			CHECK(!t.failed);
			if (!t.failed && solve_text(t.s, &s, &d, &x)) {
				double law = 4 * pow(flow[k] / 3600 / (area[i] * 1e-4 * sqrt(8 / 1.2041)), 1 / 0.65);
				CHECK_ABS(law, table[i][k], table[i][k] >= 10 ? 0.5 : table[i][k] >= 1 || table[i][k] == 0.4 ? 0.05 : 0.006, "the table's figures");
				double q = s.y[s.s.m_exhaust] * 287.05287 * 293.15 / 101325;
				CHECK_REL(q, flow[k] / 3600, 1e-2, "the blower's curve");
				double at_q = 4 * pow(q / (area[i] * 1e-4 * sqrt(8 / 1.2041)), 1 / 0.65);
				/* the law's smoothing near zero pressure: (1 - n)/2 (0.01 Pa/dp)^2 less flow */
				CHECK_REL(-s.y[s.s.p_room[0]], at_q, 1e-3 + 0.3 * pow(0.01 / at_q, 2), "ASTM E779's leakage area");
				done(d, x);
			}
			inw_text_free(&t);
		}
}

/* V = 45 m3, one air change per hour, 183 ug/min, nothing held back: 183 * 60/45 = 244.0 ug/m3 (arithmetic of a steady
 * source in a mixed room; the case is that of Azimi et al. 2016, Environ. Sci. Technol. 50:1260, its volume from memory). */
static void mixed_room(void)
{
	static struct inw_solution s;
	static struct inw_outcome o;
	struct inw_design *d;
	double *x;

	if (solve_text(ROOM_AT_20 "leakage: {area: 1 cm2}}\n" BOX "  gaps:\n"
	               "    - {name: low, kind: hole, face: front, height: 100 mm, diameter: 40 mm}\n"
	               "    - {name: high, kind: hole, face: front, height: 700 mm, diameter: 40 mm}\n" HELD_AT_60 JOB, &s, &d, &x)) {
		struct inw_values v = {x, NULL};
		inw_outcome(&o, &s, d, &v, &d->job[0], &as_designed);
		CHECK(o.gases > 0);
		for (int i = 0; i < o.gases; i++)
			CHECK_REL(o.gas[i].room_kgm3[0] / o.gas[i].emission_kgs * (183e-9 / 60), 244e-9, 1e-3, "183 ug/min into 45 m3 at 1/h: 244 ug/m3");
	}
	done(d, x);
}

int main(int argc, char **argv)
{
	properties(argc > 1 ? atoi(argv[1]) : 1000);
	chimney();
	one_hole();
	no_flow();
	depressurised_room();
	mixed_room();
	return check_done();
}
