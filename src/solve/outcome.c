/* SPDX-License-Identifier: MIT */
#include "solve/outcome.h"

#include <assert.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "physics/clean.h"
#include "physics/heat.h"
#include "solve/linear.h"
#include "solve/transport.h"

static double val(const struct inw_values *x, inw_q q, double absent)
{
	return inw_value(x, q, absent);
}

/* ---- gaps ---- */

static double velocity_at(const struct inw_solution *sol, int i, double dp)
{
	const struct inw_model_gap *g = &sol->m.gap[i];
	double T_room = g->room == INW_OUTDOORS ? sol->m.T_out : sol->s.T_room[g->room] >= 0 ? sol->y[sol->s.T_room[g->room]] : sol->m.room[g->room].T;
	struct inw_air a = inw_model_air(&sol->m, dp >= 0 ? T_room : sol->y[sol->s.T_box], sol->m.w_box);

	if (g->kind == INW_GAP_MEASURED)
		return NAN; /* a power law knows flow, not area */
	if (g->kind == INW_GAP_OPENING) {
		double v = g->cd * sqrt(2 * fabs(dp) / a.rho);
		return dp >= 0 ? v : -v;
	}
	return inw_resistance_flow(g->r, dp, a.rho, a.mu).q_m3s / g->area;
}

/* Against diffusion it is speed times path that counts, C(x)/C0 = exp(-v x/D). The required speed is stated for a path of
 * 3 mm: a deeper seam needs less, so its speed counts for more, and a thin sheet's for less. */
double inw_counted_speed_ms(const struct inw_model_gap *g, double v)
{
	const double stated_path = 3e-3;

	return g->depth > 0 && v > 0 ? v * g->depth / stated_path : v;
}

double inw_face_speed_ms(const struct inw_solution *sol, int i)
{
	double rho = inw_zone_density(sol, 1 + sol->m.box_room);

	return (sol->f.gap_in[i] - sol->f.gap_out[i]) / (rho * sol->m.gap[i].area);
}

static void one_gap(struct inw_outcome *o, const struct inw_solution *sol, int i, bool gust)
{
	double least = fmin(sol->f.gap_dp_bottom[i], sol->f.gap_dp_top[i]) - (gust ? sol->m.gust : 0);
	double v = o->gap_velocity_ms[i] = velocity_at(sol, i, least), counted = inw_counted_speed_ms(&sol->m.gap[i], v);

	o->gap_least_Pa[i] = least;
	if (o->worst_gap < 0 || least < o->inward_Pa) {
		o->worst_gap = i;
		o->inward_Pa = least;
	}
	/* a speed that is not known is worse than any that is known to be inward */
	if (o->worst_velocity_gap < 0 || (isnan(counted) && o->inward_ms > 0) || counted < o->inward_ms || (isnan(o->inward_ms) && counted < 0)) {
		o->worst_velocity_gap = i;
		o->inward_ms = counted;
	}
}

static void gaps(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_state *state)
{
	o->worst_gap = o->worst_velocity_gap = o->edge_gap = -1;
	o->inward_Pa = o->inward_ms = o->face_ms = o->edge_Pa = NAN;
	for (int i = 0; i < sol->m.gaps; i++) {
		o->escape_m3s += sol->f.gap_out[i] / inw_model_air(&sol->m, sol->y[sol->s.T_box], sol->m.w_box).rho;
		if (sol->m.gap[i].kind != INW_GAP_OPENING) {
			one_gap(o, sol, i, state->gust);
			continue;
		}
		/* a gust goes through an opening with the room's air; its face speed is what a hood is judged by */
		o->gap_least_Pa[i] = fmin(sol->f.gap_dp_bottom[i], sol->f.gap_dp_top[i]);
		o->gap_velocity_ms[i] = inw_face_speed_ms(sol, i);
		if (!(o->gap_velocity_ms[i] >= o->face_ms))
			o->face_ms = o->gap_velocity_ms[i];
		if (!(o->gap_least_Pa[i] >= o->edge_Pa)) {
			o->edge_Pa = o->gap_least_Pa[i];
			o->edge_gap = i;
		}
	}
}

static double slot(const struct inw_solution *sol, int i)
{
	return i >= 0 ? sol->y[i] : 0;
}

/* ---- the cleaner's own joints ---- */

static double room_p(const struct inw_solution *sol, int room, double z)
{
	int zone = room == INW_OUTDOORS ? 1 + sol->m.rooms : 1 + room;
	double rho = room == INW_OUTDOORS ? inw_model_air(&sol->m, sol->m.T_out, sol->m.w_out).rho : inw_zone_density(sol, zone);

	return (room == INW_OUTDOORS ? 0 : sol->y[sol->s.p_room[room]]) - rho * INW_GRAVITY * z;
}

static double box_p(const struct inw_solution *sol, double z)
{
	return sol->y[sol->s.p_box] - inw_zone_density(sol, 0) * INW_GRAVITY * (z - sol->m.stand);
}

static void hold(struct inw_joints *j, int part, double inward_Pa)
{
	if (inward_Pa >= j->least_Pa)
		return;
	j->least_Pa = inward_Pa;
	j->part = part;
}

/* A duct that has a length, with a room around it. */
static bool in_a_room(const struct inw_model_duct *d)
{
	return d->present && d->length > 0 && d->room != INW_OUTDOORS;
}

/* Behind the stages. Along a duct the pressure changes evenly, and so does that of the room: the most is at one of the ends. */
static void behind(struct inw_joints *j, const struct inw_solution *sol)
{
	const struct inw_model *m = &sol->m;
	double z = m->stand + m->inlet_z, back = m->stand + m->return_z;
	bool returns = sol->s.m_return >= 0, exhausts = sol->s.m_exhaust >= 0;

	if (returns || (exhausts && in_a_room(&m->exhaust))) /* else the blower stands at the wall and blows straight out */
		hold(j, INW_PART_OUTLET, room_p(sol, m->box_room, z) - sol->y[sol->s.p_junction]);
	if (returns && in_a_room(&m->ret))
		hold(j, INW_PART_RETURN, room_p(sol, m->ret.room, back) - box_p(sol, back));
	if (exhausts && in_a_room(&m->exhaust))
		hold(j, INW_PART_EXHAUST, room_p(sol, m->exhaust.room, m->exhaust_z) - room_p(sol, m->exhaust_to, m->exhaust_z));
}

/* Every joint of housing and ducts leaks as a seam of the box does: inward where the room's pressure is the higher one. The
 * pressure is that of air at rest; in a duct the air's speed takes a few Pa off it, which is not counted. */
struct inw_joints inw_cleaner_joints(const struct inw_solution *sol)
{
	const struct inw_model *m = &sol->m;
	struct inw_joints j = {.least_Pa = INFINITY};

	if (sol->s.m_clean >= 0) {
		double z = m->stand + m->inlet_z, p = sol->y[sol->s.p_junction], room = room_p(sol, m->box_room, z);
		for (int k = m->stages; k-- > 0;) {
			p += (m->stage[k].kind == INW_STAGE_BLOWER ? -1 : 1) * sol->f.stage_dp[k];
			j.stage_Pa[k] = room - p;
			if (k <= m->clean_after)
				hold(&j, k, room - p);
		}
		if (m->clean_after >= m->stages)
			behind(&j, sol);
		j.leak = j.least_Pa < 0;
		if (in_a_room(&m->inlet))
			hold(&j, INW_PART_INLET, room_p(sol, m->inlet.room, z) - box_p(sol, z));
	}
	j.least_Pa = isfinite(j.least_Pa) ? j.least_Pa : NAN;
	return j;
}

/* A gust goes through an opening with the room's air, into the cleaner too. */
static void joints(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_state *state)
{
	o->cleaner = inw_cleaner_joints(sol);
	o->cleaner_Pa = o->cleaner.least_Pa - (state->gust && isnan(o->face_ms) ? sol->m.gust : 0);
}

/* Where a zone loses nothing at all the matrix is singular but for rounding (pivots under 1e-13 of the flows): a trillionth
 * of the largest flow is then taken as a loss everywhere, far below any leak, and tells what is without end. `tiny` is that
 * loss, 0 when none was needed. */
static int factor(struct inw_transport *t, double *tiny)
{
	double keep[INW_COUNT(t->a)], most = 0, least = INFINITY;
	int n = t->n, status;

	memcpy(keep, t->a, sizeof keep);
	for (int i = 0; i < n; i++)
		most = fmax(most, t->a[i * n + i]);
	*tiny = 0;
	status = inw_lu_factor(t->a, t->pivot, n);
	for (int i = 0; i < n && !status; i++)
		if (keep[i * n + i] > 1e-12) /* not a zone that stands apart */
			least = fmin(least, fabs(t->a[i * n + i]));
	if (!status && least > 1e-13 * most)
		return 0;
	memcpy(t->a, keep, sizeof keep);
	*tiny = 1e-12 * most;
	for (int i = 0; i < n; i++)
		t->a[i * n + i] += *tiny;
	return inw_lu_factor(t->a, t->pivot, n);
}

/* Mixing ratios of all zones for a steady emission into the box; infinite where it piles up without end. 0, or -1. */
static int steady_mix(const struct inw_solution *sol, double pass, double box_sink, double emission, double *y)
{
	struct inw_transport t;
	double tiny;

	inw_transport_build(&t, sol, pass, box_sink);
	if (factor(&t, &tiny))
		return -1;
	memset(y, 0, sizeof(double) * (size_t)t.n);
	y[0] = emission;
	inw_lu_solve(t.a, t.pivot, t.n, y);
	for (int i = 0; i < t.n; i++)
		if (tiny > 0 && y[i] > 1e-4 * emission / tiny)
			y[i] = INFINITY;
	return 0;
}

/* The zones of a state once, for gases that the cleaner lets by in any share: what one unit given off in the box makes when it
 * lets nothing by (`direct`), and what one unit that comes out of the cleaner makes then (`again`). The share that goes round
 * is one entry of the matrix, so the answer is the one and a multiple of the other (Sherman & Morrison 1950, memory). */
struct mixing { const struct inw_solution *sol; int n, from; double flow, direct[INW_MAX_ZONES], again[INW_MAX_ZONES]; bool sound; };

static void begin_mixing(struct mixing *mix, const struct inw_solution *sol)
{
	struct inw_transport t;
	double tiny, m = slot(sol, sol->s.m_clean);

	inw_transport_build(&t, sol, 0, 0);
	*mix = (struct mixing){.sol = sol, .n = t.n, .from = m >= 0 ? 0 : t.n - 1, .flow = fabs(m)};
	mix->sound = !factor(&t, &tiny) && !(tiny > 0);
	if (!mix->sound)
		return;
	mix->direct[0] = mix->again[m >= 0 ? t.n - 1 : 0] = 1;
	inw_lu_solve(t.a, t.pivot, t.n, mix->direct);
	inw_lu_solve(t.a, t.pivot, t.n, mix->again);
}

/* As steady_mix without a sink. */
static int mixed(const struct mixing *mix, double pass, double emission, double *y)
{
	const double enough = 1e-6; /* of what comes round must get lost: less than that, and digits are lost in the difference */
	double round = mix->flow * pass, lost = 1 - round * mix->again[mix->from];

	if (!mix->sound || !(lost > enough))
		return steady_mix(mix->sol, pass, 0, emission, y);
	for (int i = 0; i < mix->n; i++)
		y[i] = emission * (mix->direct[i] + round * mix->direct[mix->from] / lost * mix->again[i]);
	return 0;
}

/* ---- particles ---- */

/* Penetration of a stage with its seal's leak: P = (1 - x) P_stage + x, x the share of flow past it. */
static double with_bypass(double penetration, double x)
{
	return (1 - x) * penetration + x;
}

static double bypass_share(const struct inw_solution *sol, int k)
{
	double mc = slot(sol, sol->s.m_clean);
	const struct inw_model_stage *g = &sol->m.stage[k];

	if (sol->s.m_bypass[k] < 0)
		return 0;
	if (fabs(mc) < 1e-9) /* kg/s; hardly any flow: both ways are laminar and share it by their linear terms */
		return g->r.lin / (g->r.lin + g->seal.lin);
	return fmin(fmax(sol->y[sol->s.m_bypass[k]] / mc, 0), 1); /* rounding at small flows; one pressure drives both ways */
}

static double stage_T(const struct inw_solution *sol, int k)
{
	for (int i = 0; i < k; i++)
		if (sol->m.stage[i].kind == INW_STAGE_BLOWER)
			return sol->y[sol->s.T_junction];
	return sol->y[sol->s.T_in];
}

static double stage_flow(const struct inw_solution *sol, int k)
{
	double rho = inw_model_air(&sol->m, stage_T(sol, k), sol->m.w_box).rho;

	return fabs(slot(sol, sol->s.m_clean)) / rho;
}

struct inw_sheet_flow inw_medium_flow(const struct inw_solution *sol, int stage)
{
	double x = bypass_share(sol, stage);

	/* kg/m3: unit-density spheres, the convention of Hinds 1999 */
	return (struct inw_sheet_flow){stage_flow(sol, stage) * (1 - x) / sol->m.stage[stage].area, x, {stage_T(sol, stage), sol->m.p_site, 1000}};
}

/* Of the worst size of each medium. */
static double particle_pass(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x)
{
	double pass = 1;

	for (int k = 0; k < sol->m.stages; k++) {
		if (sol->m.stage[k].kind != INW_STAGE_MEDIUM)
			continue;
		struct inw_sized_medium medium = inw_sheet_fit(&d->cleaner.stage[k].medium, x);
		struct inw_sheet_flow flow = inw_medium_flow(sol, k);
		pass *= inw_sheet_worst_pass(&medium, &flow);
		o->medium = k;
		o->medium_velocity_ms = flow.velocity_ms;
		o->no_fibre |= !(medium.least > 0);
	}
	return pass;
}

/* Volume of box air per second that its walls clear of particles. Friction velocity from the stirring along the panels:
 * u* = U sqrt(cf/2), cf = 1.328 Re^-1/2 (Blasius; laminar plate, memory). */
double inw_box_deposition_m3s(const struct inw_solution *sol, double diameter)
{
	const struct inw_model *m = &sol->m;
	double T = sol->y[sol->s.T_box], U = m->stirring;

	if (U <= 0 || diameter <= 0)
		return 0;
	struct inw_air a = inw_model_air(m, T, m->w_box);
	double Re = U * m->forced_length * a.rho / a.mu, friction = U * sqrt(0.5 * 1.328 / sqrt(Re));
	/* density 1000 kg/m3: the convention of unit-density spheres, Hinds 1999 */
	struct inw_deposition v = inw_deposition_velocity(diameter, 1000, friction, T, m->p_site);
	double level = m->box_w * m->box_d, wall = 2 * m->box_h * (m->box_w + m->box_d);
	return v.wall_ms * wall + (v.floor_ms + v.ceiling_ms) * level;
}

void inw_outcome_particles(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job)
{
	const struct inw_material *mat = &d->catalog.material[job->material];
	double y[INW_MAX_ZONES], rho = inw_zone_density(sol, 0);
	double dep = inw_box_deposition_m3s(sol, val(x, mat->particle_diameter, 0));

	o->particle_pass = particle_pass(o, sol, d, x);
	o->particle_emission_s = val(x, mat->particles, NAN) * (mat->particles_per == INW_PER_MASS ? val(x, job->rate, 0) : 1);
	if (steady_mix(sol, o->particle_pass, dep * rho, o->particle_emission_s, y)) {
		o->box_particles_m3 = NAN;
		return;
	}
	o->box_particles_m3 = y[0] * rho;
	double gone = 0;
	for (int i = 0; i < sol->m.rooms; i++)
		o->room_particles_m3[i] = y[1 + i] * inw_zone_density(sol, 1 + i);
	for (int i = 0; i < sol->m.gaps; i++)
		gone += sol->f.gap_out[i] * y[0] - (sol->m.gap[i].room >= 0 ? sol->f.gap_in[i] * y[1 + sol->m.gap[i].room] : 0);
	double me = slot(sol, sol->s.m_exhaust); /* blowing back it brings what is in the air at its end */
	if (me > 0)
		gone += me * y[1 + sol->m.rooms];
	else if (me < 0 && sol->m.exhaust_to >= 0)
		gone += me * y[1 + sol->m.exhaust_to];
	o->particle_kept = 1 - gone / o->particle_emission_s;
}

/* ---- gases ---- */

double inw_cautious_vapour_pressure_Pa(const struct inw_substance *s, double T_K, bool *out_of_range)
{
	double most = 0;

	*out_of_range = true;
	for (size_t i = 0; i < s->vp_count; i++) {
		const struct inw_vapour_pressure *v = &s->vp[i];
		double p = v->form == INW_VP_DIPPR101 ? inw_vapour_dippr101_Pa(v->c, T_K)
		         : v->form == INW_VP_ANTOINE ? inw_vapour_antoine_Pa(v->c, T_K)
		                                     : inw_vapour_point_Pa(v->c[0], v->c[1], v->c[2], T_K);
		bool inside = v->form == INW_VP_POINT || (T_K >= v->T_low_K && T_K <= v->T_high_K);
		/* a law outside its data only counts when no law is inside */
		if (inside && *out_of_range)
			most = 0;
		if (inside || *out_of_range)
			most = fmax(most, p);
		if (inside)
			*out_of_range = false;
	}
	return most;
}


struct inw_bed_now inw_bed_now(const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, int k)
{
	const struct inw_bed *b = &d->cleaner.stage[k].bed;
	double bypass = bypass_share(sol, k), q = stage_flow(sol, k) * (1 - bypass), area = val(x, b->area, 0);

	struct inw_air air = inw_model_air(&sol->m, stage_T(sol, k), sol->m.w_box);

	return (struct inw_bed_now){.area = area, .depth = val(x, b->depth, 0), .granule = val(x, b->granule, 0), .voidage = val(x, b->voidage, 0),
		.mass = val(x, b->mass, 0), .bulk = val(x, b->mass, 0) / (area * val(x, b->depth, 1)), .W0 = val(x, b->micropore_volume, 0), .structure = val(x, b->structure, 0),
		.T = stage_T(sol, k), .p = sol->m.p_site, .nu = air.mu / air.rho, .velocity = q / area, .q = q,
		.factor = val(x, b->capacity_factor, 1), .rate_factor = val(x, b->rate_factor, 1), .bypass = bypass,
		.vapour_Pa = inw_air_vapour_Pa(sol->m.p_site, sol->m.w_box), .water_half = val(x, b->water_half, 0), .water_sites = val(x, b->water_sites, 0),
		.rho = air.rho, .humidity_ratio = sol->m.w_box, .heat_JK = val(x, b->mass, 0) * val(x, d->cleaner.carbon_heat, 0), .stage = k};
}

const char inw_shallow_bed[] = "The carbon is less than ten granules deep: air finds ways past so few, and no law of carbon holds there (they take it that "
                               "air passes evenly; ten granules are common practice). ";

double inw_granules_deep(const struct inw_design *d, const struct inw_values *x)
{
	double least = INFINITY;

	for (size_t k = 0; k < d->cleaner.stages; k++)
		if (d->cleaner.stage[k].kind == INW_STAGE_BED)
			least = fmin(least, val(x, d->cleaner.stage[k].bed.depth, 0) / val(x, d->cleaner.stage[k].bed.granule, 1));
	return least;
}

struct inw_sorbate_points inw_bed_measured(const struct inw_bed_now *b, const struct inw_design *d, const struct inw_values *x, int substance)
{
	const struct inw_bed *bed = &d->cleaner.stage[(int)b->stage].bed;
	struct inw_sorbate_points p = {0};
	bool beyond;

	for (size_t i = 0; i < bed->measureds; i++) {
		const struct inw_measured *m = &bed->measured[i];
		if (m->substance != substance)
			continue;
		p = (struct inw_sorbate_points){m->p_Pa, m->loading, (int)m->points, val(x, m->temperature, 0), 0};
		p.psat_Pa = inw_cautious_vapour_pressure_Pa(&d->catalog.substance[substance], p.T_K, &beyond);
	}
	return p;
}

/* The carbon stages as they are now, in the order in which air meets them. */
struct train { struct inw_bed_now bed[INW_MAX_STAGES]; int beds; };

static void begin_train(struct train *t, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x)
{
	t->beds = 0;
	for (int k = 0; k < sol->m.stages; k++)
		if (sol->m.stage[k].kind == INW_STAGE_BED)
			t->bed[t->beds++] = inw_bed_now(sol, d, x, k);
}

/* One gas on one carbon stage, and the rates that were last asked of it. */
struct pair {
	const struct inw_substance *s; const struct inw_bed_now *b; const struct inw_values *x;
	struct inw_sorbate_points measured;
	double psat_Pa, rated_Pa, rated_share, rate_1s, rate_other_1s;
	bool vp_out_of_range;
};

static struct pair on_carbon(int substance, const struct inw_bed_now *b, const struct inw_design *d, const struct inw_values *x)
{
	struct pair on = {&d->catalog.substance[substance], b, x, inw_bed_measured(b, d, x, substance), 0, NAN, NAN, 0, 0, false};

	on.psat_Pa = inw_cautious_vapour_pressure_Pa(on.s, b->T, &on.vp_out_of_range);
	return on;
}

/* The isotherm at a partial pressure, kg/kg. */
static double held(const struct pair *on, double p)
{
	const struct inw_bed_now *b = on->b;
	double refraction = val(on->x, on->s->molar_refraction, 0), liquid = val(on->x, on->s->liquid_density, 0), psat = on->psat_Pa;

	if (!(psat > 0) || refraction <= 0 || liquid <= 0)
		return 0;
	if (on->measured.n)
		return inw_sorbate_alone(&(struct inw_carbon_bed){.micropore_m3kg = b->W0, .capacity_factor = b->factor},
		                         &(struct inw_sorbate){.kind = INW_CAPACITY_POINTS, .liquid_kgm3 = liquid, .psat_Pa = psat, .points = on->measured}, b->T, p);
	if (p >= psat)
		return b->factor * b->W0 * liquid; /* pores full: condensing */
	return b->factor * inw_dr_capacity(b->W0, b->structure, refraction, liquid, b->T, p / psat);
}

/* Rate coefficient by both published laws at breakthrough share `share`, neither above what the air film lets through in air that
 * the flow mixes along the bed. The published laws were fitted to breakthrough of real beds, so what mixes there is in them;
 * the film law is of granules alone.
 * Wood & Stampfer's cartridges held granules of about 1.1 mm (12x30 mesh); other sizes by d^-1.5 (Jonas & Rehrmann;
 * Lodewyckx & Vansant). The second law was fitted with capacities at hundreds of ppm: it is read at 50 ppm, the lowest
 * of the published table made with these laws (OSHA), since its square root of capacity means nothing at ppb. */
static void rates(struct pair *on, double p_Pa, double share)
{
	const struct inw_substance *s = on->s;
	const struct inw_bed_now *b = on->b;
	const struct inw_values *x = on->x;
	const double fitted_granule = 1.1e-3, fitted_ppm = 50e-6;
	double rated_Pa = fmax(fitted_ppm * b->p, p_Pa);

	if (rated_Pa == on->rated_Pa && share == on->rated_share)
		return;
	double Pe = val(x, s->molar_refraction, 0), beta = inw_affinity_beta(Pe);
	double We = held(on, rated_Pa);
	double D = inw_diffusivity_m2s(val(x, s->diffusivity, 0), b->T, b->p);
	double film = inw_rate_film(b->velocity, b->granule, b->voidage, D, b->nu), mixed = 1 / inw_mixing_s(b->velocity, b->granule, b->voidage, D);
	double most = inw_rate_series(film, mixed);
	double size = fitted_granule / b->granule, ws = fmin(most, inw_rate_wood_stampfer(b->velocity, Pe, share) * size * sqrt(size));
	double lv = fmin(most, inw_rate_lodewyckx_vansant(b->velocity, b->granule, beta, We, val(x, s->molar_mass, 0)));

	on->rated_Pa = rated_Pa;
	on->rated_share = share;
	on->rate_1s = fmin(most, fmin(ws, lv) * b->rate_factor);
	on->rate_other_1s = fmin(most, fmax(ws, lv) * b->rate_factor);
}

/* The partial pressure that at the bed's temperature answers to the one of a measured point: the same potential (isotherm.h). */
static double carried(const struct pair *on, int i)
{
	const struct inw_sorbate_points *m = &on->measured;

	return on->psat_Pa * pow(m->p_Pa[i] / m->psat_Pa, m->T_K / on->b->T);
}

static double partial_Pa(const struct pair *on, double C)
{
	return C * INW_GAS_CONSTANT * on->b->T / val(on->x, on->s->molar_mass, 1);
}

void inw_bed_rate(const struct inw_bed_now *b, const struct inw_design *d, const struct inw_values *x, int substance, double C, double *rate_1s, double *psat_Pa)
{
	struct pair on = on_carbon(substance, b, d, x);

	rates(&on, partial_Pa(&on, C), 1e-3);
	*rate_1s = on.rate_1s;
	*psat_Pa = on.psat_Pa;
}

/* What is told of a gas on the bed that takes it up first. */
static void tell_of(struct inw_gas_outcome *g, const struct pair *on, double C, double capacity)
{
	const int points = on->measured.n;

	g->bed = (int)on->b->stage;
	g->inlet_kgm3 = C;
	g->p_Pa = partial_Pa(on, C);
	g->psat_Pa = on->psat_Pa;
	g->vp_out_of_range = on->vp_out_of_range;
	g->measured = points > 0;
	g->above_measured = points && g->p_Pa > carried(on, points - 1);
	/* 5 ppm: under this the isotherm is an extrapolation of its data (OSHA table 50 ppm up; D-R has no Henry limit) */
	g->below_fitted = points ? g->p_Pa < carried(on, 0) : g->p_Pa / on->b->p < 5e-6;
	g->capacity = capacity;
	g->rate_1s = on->rate_1s;
	g->rate_other_1s = on->rate_other_1s;
}

/* Share of a gas that the fresh train lets through at inlet concentration C. */
static double train_pass(struct inw_gas_outcome *g, struct pair *on, int beds, double C)
{
	double pass = 1;

	g->use_kgs = 0;
	for (int k = 0; k < beds; k++) {
		const struct inw_bed_now *b = on[k].b;
		double capacity = held(&on[k], partial_Pa(&on[k], C * pass));
		bool takes = b->q > 0 && capacity > 0;
		if (takes) /* initial penetration: at the fraction of 0.1 %, the low end of Wood & Stampfer's fit */
			rates(&on[k], partial_Pa(&on[k], C * pass), 1e-3);
		if (!(g->use_kgs > 0)) { /* beds in series fill as one: the first that takes it up meets it all, and is what is told of */
			tell_of(g, &on[k], C * pass, capacity);
			g->use_kgs = takes ? C * b->q / capacity : 0;
		}
		if (takes)
			pass *= with_bypass(inw_initial_penetration(on[k].rate_1s, b->area * b->depth, b->q), b->bypass);
	}
	return pass;
}

/* The gas on all beds; how many: none where plain carbon hardly holds it. */
static int on_train(struct pair on[INW_MAX_STAGES], const struct inw_gas_outcome *g, const struct train *t, const struct inw_design *d, const struct inw_values *x)
{
	for (int k = 0; k < t->beds && !g->weak; k++)
		on[k] = on_carbon(g->substance, &t->bed[k], d, x);
	return g->weak ? 0 : t->beds;
}

double inw_fresh_pass(const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, int substance, double C)
{
	struct inw_gas_outcome g = {.substance = substance, .weak = d->catalog.substance[substance].weakly_held, .bed = -1};
	struct train t;
	struct pair on[INW_MAX_STAGES];

	begin_train(&t, sol, d, x);
	return train_pass(&g, on, on_train(on, &g, &t, d, x), C);
}

static void gas(struct inw_outcome *o, struct inw_gas_outcome *g, const struct mixing *mix, const struct train *t, const struct inw_design *d, const struct inw_values *x)
{
	struct pair on[INW_MAX_STAGES];
	int beds = on_train(on, g, t, d, x);
	const struct inw_solution *sol = mix->sol;
	double y[INW_MAX_ZONES], rho = inw_zone_density(sol, 0), at_bed = o->bed >= 0 ? inw_model_air(&sol->m, stage_T(sol, o->bed), sol->m.w_box).rho : rho;

	g->pass = 1;
	g->box_kgm3 = NAN;
	if (mixed(mix, 1, g->emission_kgs, y))
		return;
	for (int i = 0; i < sol->m.rooms; i++)
		g->spent_kgm3[i] = y[1 + i] * inw_zone_density(sol, 1 + i);
	g->spent_box_kgm3 = y[0] * rho;
	/* The rate coefficient depends weakly on the concentration at the bed, which depends on what the bed lets through. */
	double C = 0;
	for (int it = 0; it < 50; it++) {
		g->pass = train_pass(g, on, beds, fmax(C, 1e-15));
		if (mixed(mix, g->pass, g->emission_kgs, y))
			return;
		double next = y[0] * at_bed;
		bool done = !(fabs(next - C) > 1e-13 * next);
		C = next;
		if (done)
			break;
	}
	g->box_kgm3 = y[0] * rho;
	for (int i = 0; i < sol->m.rooms; i++)
		g->room_kgm3[i] = y[1 + i] * inw_zone_density(sol, 1 + i);
}

/* People breathe behind the bed until it is changed: judge it as spent as the requirement allows, or as it is when it has been
 * used for as long as is required, where that lets more through. Without `mix` nobody asks. */
static void used_rooms(struct inw_gas_outcome *g, const struct mixing *mix, const struct inw_design *d, const struct inw_values *x)
{
	for (int i = 0; i < INW_MAX_ROOMS; i++)
		g->used_kgm3[i] = NAN;
	if (!mix)
		return;
	const struct inw_solution *sol = mix->sol;
	double y[INW_MAX_ZONES], allowed = fmax(g->pass, 1 - val(x, d->require.gas_removal, 0.9));

	g->outlived = g->late > allowed;
	g->used = fmax(allowed, g->late);
	if (isnan(g->box_kgm3) || mixed(mix, g->used, g->emission_kgs, y))
		return;
	for (int i = 0; i < sol->m.rooms; i++)
		g->used_kgm3[i] = y[1 + i] * inw_zone_density(sol, 1 + i);
}

/* ---- warmth of uptake ---- */

/* Heat of adsorption over heat of vaporisation: 40 to 70 kJ/mol, 1.5 to 2 times (memory), the upper end. */
static const double gas_heat_factor = 2;

double inw_uptake_heat_Jkg(const struct inw_substance *s, double molar_mass_kgmol, double T_K)
{
	const double step_K = 1;
	bool beyond;
	double low = inw_cautious_vapour_pressure_Pa(s, T_K, &beyond), high = inw_cautious_vapour_pressure_Pa(s, T_K + step_K, &beyond);

	return gas_heat_factor / molar_mass_kgmol * inw_vapour_heat_Jmol(low, T_K, high, T_K + step_K);
}

/* How much warmer than the air that comes the carbon of the first bed gets behind the front of each gas, all added up. Without any
 * loss the heat of uptake is carried off by the air, C h/(rho cp), and is dammed up where the front is nearly as fast as the warmth:
 * over 1 - u_front/u_warmth, u_front/u_warmth = cs C/(rho cp q) (equilibrium theory of an adiabatic column, Pan and Basmadjian
 * 1967 and 1970, Chemical Engineering Science 22 and 25: memory). NaN beyond what that holds for: capacities are those at the
 * air's own temperature, and carbon 20 K warmer (by us) holds too much less for it. */
static double uptake_warmth(const struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x)
{
	const double most_K = 20, T = o->bed_T_K, C_air = inw_model_air(&sol->m, T, sol->m.w_box).rho * inw_air_heat_capacity_JkgK(sol->m.w_box);
	double sum = 0, cs = val(x, d->cleaner.carbon_heat, 0);

	for (int i = 0; i < o->gases; i++) {
		const struct inw_gas_outcome *g = &o->gas[i];
		const struct inw_substance *s = &d->catalog.substance[g->substance];
		if (g->weak || !(g->inlet_kgm3 > 0) || !(g->capacity > 0))
			continue;
		double ratio = cs * g->inlet_kgm3 / (C_air * g->capacity);
		if (ratio >= 1)
			return NAN;
		sum += g->inlet_kgm3 * inw_uptake_heat_Jkg(s, val(x, s->molar_mass, 1), T) / (C_air * (1 - ratio));
	}
	return sum <= most_K ? sum : NAN;
}

/* Share that the granules let through after t of use: Wheeler and Jonas' curve, ln(x/(1-x)) = kv V/Q (t/t0 - 1), t0 when all
 * carbon is taken up. Once more than is allowed comes through it comes round to the bed again: from then on the air that comes
 * is taken to be that of spent carbon, more than it can be. */
static double let_through_at(double t, const struct inw_gas_outcome *g, double t0, double units)
{
	double e = units * (t / t0 - 1);

	if (t > g->service_s)
		e += units * (g->spent_box_kgm3 / g->box_kgm3 - 1) * (t - g->service_s) / t0;
	return 1 / (1 + exp(-e));
}

/* Service time of the bed under all gases at once: each takes carbon at the rate G/We (Lewis' rule for one shared pore
 * volume), and of the time that gives each loses the share that its own transfer zone takes of the bed: Wheeler-Jonas'
 * second term over its first, ln((1-x)/x) Q/(kv V), in which the capacity has dropped out. */
static void life(struct inw_outcome *o, const struct inw_solution *sol, const struct train *t, const struct inw_design *d, const struct inw_values *x)
{
	double wanted = val(x, d->require.carbon_life, 0);
	/* what the seal lets by is part of the share that is allowed through */
	double use = 0, leak = bypass_share(sol, o->bed), allowed = 1 - val(x, d->require.gas_removal, 0.9), share = (allowed - leak) / (1 - leak);

	o->life_s = NAN;
	o->life_gas = -1;
	for (int i = 0; i < o->gases; i++)
		use += o->gas[i].use_kgs;
	for (int i = 0; i < o->gases; i++) {
		struct inw_gas_outcome *g = &o->gas[i];
		g->service_s = g->weak ? NAN : 0;
		if (!(g->use_kgs > 0))
			continue;
		double units = 0; /* transfer units of all beds: kv V/Q */
		for (int k = 0; k < t->beds; k++) {
			const struct inw_bed_now *bed = &t->bed[k];
			struct pair on = on_carbon(g->substance, bed, d, x);
			/* rate at the breakthrough that ends the service, within the fit's 0.1 to 10 % */
			rates(&on, partial_Pa(&on, g->inlet_kgm3), fmin(fmax(share, 1e-3), 0.1));
			units += on.rate_1s * bed->mass / (bed->bulk * bed->q);
		}
		/* a train thinner than its transfer zone serves no time at all */
		g->service_s = o->carbon_kg / use * (share > 0 ? fmax(1 - (log1p(-share) - log(share)) / units, 0) : 0);
		g->late = with_bypass(let_through_at(wanted, g, o->carbon_kg / use, units), leak);
		if (o->life_gas < 0 || g->service_s < o->life_s) {
			o->life_s = g->service_s;
			o->life_gas = i;
		}
	}
}

/* Share of its volume that air holds of a vapour at the most: all of it where no law reaches; and never less than the LFL, since
 * what condenses drifts as mist, which burns like vapour (memory). */
static double most_vapour(const struct inw_substance *s, double T_K, double p_Pa, double lfl)
{
	bool beyond;
	double sat = inw_cautious_vapour_pressure_Pa(s, T_K, &beyond) / p_Pa;

	return beyond ? 1 : fmin(1, fmax(sat, lfl));
}

static void flammability(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x)
{
	for (int i = 0; i < o->gases; i++) {
		const struct inw_substance *s = &d->catalog.substance[o->gas[i].substance];
		double T = sol->y[sol->s.T_box], lfl = val(x, s->lfl, 1);
		double share = o->gas[i].spent_box_kgm3 * INW_GAS_CONSTANT * T / val(x, s->molar_mass, 1) / sol->m.p_site;
		if (s->lfl < 0) {
			o->lfl_unknown = true;
			continue;
		}
		double most = most_vapour(s, T, sol->m.p_site, lfl);
		o->lfl_saturated |= share > most;
		o->lfl_fraction += (share > most ? most : share) / lfl; /* Le Chatelier's rule for mixtures */
	}
}

void inw_outcome_gases(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job, bool used)
{
	const struct inw_material *mat = &d->catalog.material[job->material];
	struct mixing mix;
	struct train t;

	begin_mixing(&mix, sol);
	begin_train(&t, sol, d, x);
	for (size_t i = 0; i < mat->gas_count && o->gases < INW_MAX_GASES; i++) {
		const struct inw_emission *e = &mat->gases[i];
		struct inw_gas_outcome *g = &o->gas[o->gases++];
		*g = (struct inw_gas_outcome){.substance = e->substance, .weak = d->catalog.substance[e->substance].weakly_held, .bed = -1};
		g->emission_kgs = val(x, e->rate, NAN) * (e->per == INW_PER_MASS ? val(x, job->rate, 0) : 1);
		gas(o, g, &mix, &t, d, x);
	}
	if (o->bed >= 0 && used)
		life(o, sol, &t, d, x);
	if (o->bed >= 0)
		o->uptake_K = uptake_warmth(o, sol, d, x);
	for (int i = 0; i < o->gases; i++)
		used_rooms(&o->gas[i], used ? &mix : NULL, d, x);
	flammability(o, sol, d, x);
}

/* ---- the rest ---- */

static void stages(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x)
{
	const struct inw_model *m = &sol->m;

	o->bed = o->medium = o->blower = o->bypass_stage = -1;
	o->life_s = NAN;
	o->granules_deep = inw_granules_deep(d, x);
	o->peak_margin = o->delivery = INFINITY;
	for (int k = 0; k < m->stages; k++) {
		const struct inw_model_stage *g = &m->stage[k];
		double share = bypass_share(sol, k);
		if (share > o->bypass || (o->bypass_stage < 0 && g->kind != INW_STAGE_BLOWER)) {
			o->bypass = share;
			o->bypass_stage = k;
		}
		if (g->kind == INW_STAGE_BED) {
			struct inw_bed_now b = inw_bed_now(sol, d, x, k);
			o->bed = k;
			o->residence_s += b.q > 0 ? b.area * b.depth / b.q : INFINITY;
			o->bed_velocity_ms = fmax(o->bed_velocity_ms, b.velocity);
			o->bed_T_K = b.T;
			o->carbon_kg += b.mass;
			double vapour = m->w_box / (m->w_box + 0.621945) * m->p_site; /* ASHRAE Fundamentals 2017 ch. 1 eq. 20: W = 0.621945 pw/(p - pw) */
			o->bed_rh = vapour / inw_air_saturation_Pa(b.T);
		}
		if (g->kind == INW_STAGE_BLOWER) {
			double q = slot(sol, sol->s.m_clean) / inw_model_air(m, sol->y[sol->s.T_in], m->w_box).rho;
			double peak = inw_blower_peak_flow_m3s(&g->curve) * g->speed;
			o->blower = k;
			o->operating_Pa = sol->f.stage_dp[k];
			o->clean_m3s = q;
			o->delivery = fmin(o->delivery, q / (g->curve.q[g->curve.n - 1] * g->speed));
			if (peak > 0)
				o->peak_margin = fmin(o->peak_margin, q / peak - 1);
		}
	}
	if (o->blower < 0)
		o->clean_m3s = slot(sol, sol->s.m_clean) / inw_zone_density(sol, 0);
	double mc = slot(sol, sol->s.m_clean);
	o->share_out = mc > 0 ? slot(sol, sol->s.m_exhaust) / mc : 0;
	o->air_changes_1s = o->clean_m3s / (m->box_w * m->box_d * m->box_h);
}

/* A-weighted sound power of one blower. Data sheets state the pressure level at 1 m in a free field: Lw = Lp + 11. Without
 * one: the estimate from flow and rise, less the A-weighting of its octave corrections (13.2 dB for a forward-curved wheel,
 * 3.6 dB for an axial one: see noise.c). NaN below a fifth of the rated speed, where no data were read. */
static double blower_sound_dB(const struct inw_outcome *o, const struct inw_solution *sol, const struct inw_blower *b, const struct inw_values *x, int k)
{
	const struct inw_model_stage *g = &sol->m.stage[k];

	if (g->speed < 0.2)
		return g->speed > 0 ? NAN : -INFINITY;
	if (b->sound >= 0)
		return val(x, b->sound, 0) + 10 * log10(4 * INW_PI) + inw_sound_speed_change_dB(g->speed);
	return inw_sound_power_dB(fmax(o->clean_m3s, 1e-6), fmax(sol->f.stage_dp[k], 1)) - (b->forward_curved ? 13.2 : 3.6);
}

static void sound(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x)
{
	const struct inw_model_room *r = &sol->m.room[sol->m.box_room];
	const struct inw_room *room = &d->room[sol->m.box_room];
	double sum = 0, distance = val(x, d->require.noise_distance, 1), side = sqrt(r->floor), absorption = val(x, room->absorption, 0.2);
	double surface = 2 * r->floor + 4 * side * r->height; /* a square room */

	if (o->blower < 0)
		return;
	for (int k = 0; k < sol->m.stages; k++)
		if (sol->m.stage[k].kind == INW_STAGE_BLOWER)
			sum += pow(10, blower_sound_dB(o, sol, &d->cleaner.stage[k].blower, x, k) / 10);
	o->sound_dB = sum > 0 ? inw_sound_at_dB(10 * log10(sum), distance, surface, absorption) : isnan(sum) ? NAN : 0;
}

static void box_removal(struct inw_outcome *o, const struct inw_solution *sol, double dep_m3s)
{
	const struct inw_model *m = &sol->m;
	double rho = inw_zone_density(sol, 0), mass = rho * m->box_w * m->box_d * m->box_h, out = 0, mc = slot(sol, sol->s.m_clean), mr = slot(sol, sol->s.m_return);

	for (int i = 0; i < m->gaps; i++)
		out += sol->f.gap_out[i];
	out += fmax(mc, 0) + fmax(-mr, 0);
	o->removal_1s = (out - fmax(mr, 0) * o->particle_pass) / mass + dep_m3s * rho / mass;
	o->gas_removal_1s = INFINITY;
	for (int i = 0; i < o->gases; i++)
		o->gas_removal_1s = fmin(o->gas_removal_1s, (out - fmax(mr, 0) * o->gas[i].used) / mass);
}

/* The duct's inner wall at its far end, where water condenses first: cooler than the air by the film's share of the drop. */
static double exhaust_wall_K(const struct inw_solution *sol, double m_kgs)
{
	const struct inw_model *m = &sol->m;
	double T = sol->y[sol->s.T_exhaust];

	if (sol->s.T_skin[2] < 0)
		return T;
	int room = m->exhaust.room;
	double T_room = room == INW_OUTDOORS ? m->T_out : sol->s.T_room[room] >= 0 ? sol->y[sol->s.T_room[room]] : m->room[room].T;
	double in = inw_duct_inside(m->exhaust.diameter, m_kgs / inw_model_air(m, T, m->w_box).rho, T, m->p_site).h_Wm2K;
	double out = inw_duct_outside(m->exhaust.diameter, sol->y[sol->s.T_skin[2]], T_room, m->p_site).h_Wm2K;
	return T - (T - T_room) / (1 + in * (m->exhaust.insulation + 1 / out));
}

double inw_heating_W(const struct inw_solution *sol)
{
	const struct inw_model *m = &sol->m;
	double T_room = sol->s.T_room[m->box_room] >= 0 ? sol->y[sol->s.T_room[m->box_room]] : m->room[m->box_room].T;
	double me = sol->s.m_exhaust >= 0 ? sol->y[sol->s.m_exhaust] : 0;

	return m->exhaust_to == INW_OUTDOORS && me > 0 ? me * inw_air_heat_capacity_JkgK(m->w_box) * (T_room - m->T_out) : 0;
}

static void money_and_heat(struct inw_outcome *o, const struct inw_solution *sol)
{
	const struct inw_model *m = &sol->m;

	o->blower_W = sol->f.blower_power;
	o->plate_W = sol->f.plate_W;
	o->power_W = o->blower_W + o->plate_W + m->heat_air + sol->f.heater_W;
	o->dew_margin_K = INFINITY;
	o->heating_W = 0;
	if (sol->s.m_exhaust < 0)
		return;
	double me = sol->y[sol->s.m_exhaust];
	if (m->exhaust_to == INW_OUTDOORS && me > 0) {
		double vapour = m->w_box / (m->w_box + 0.621945) * m->p_site;
		o->heating_W = inw_heating_W(sol);
		o->dew_margin_K = vapour > 0 ? exhaust_wall_K(sol, me) - inw_air_dew_point_K(vapour) : INFINITY;
	}
}

void inw_outcome_air(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, const struct inw_state *state)
{
	const struct inw_model *m = &sol->m;

	memset(o, 0, offsetof(struct inw_outcome, gas));
	gaps(o, sol, state);
	joints(o, sol, state);
	for (int i = 0; i < m->rooms; i++) {
		double h = 0.5 * m->room[i].height;
		o->room_p_Pa[i] = sol->y[sol->s.p_room[i]] - inw_zone_density(sol, 1 + i) * INW_GRAVITY * h + inw_model_air(m, m->T_out, m->w_out).rho * INW_GRAVITY * h;
	}
	stages(o, sol, d, x);
	o->sound_dB = o->power_W = o->heating_W = o->dew_margin_K = NAN;
}

void inw_outcome_aside(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x)
{
	sound(o, sol, d, x);
	money_and_heat(o, sol);
}

void inw_outcome(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job, const struct inw_state *state)
{
	const struct inw_material *mat = &d->catalog.material[job->material];

	inw_outcome_air(o, sol, d, x, state);
	inw_outcome_aside(o, sol, d, x);
	inw_outcome_particles(o, sol, d, x, job);
	inw_outcome_gases(o, sol, d, x, job, true);
	box_removal(o, sol, inw_box_deposition_m3s(sol, val(x, mat->particle_diameter, 0)));
}
