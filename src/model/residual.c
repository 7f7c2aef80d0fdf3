/* SPDX-License-Identifier: MIT */
/* residual.c: every balance of the box and its derivative (model.h, M1-M4; equations in doc/theory.md).
 *
 * Two kinds of thing: zones (box, rooms, open air), joined by paths of air that all share one scatter routine; and the
 * cleaner, a chain inlet duct - stages - junction - return and exhaust, written out.
 */
#include "model/model.h"

#include <assert.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "physics/heat.h"

/* A body of air that paths start and end in. */
struct zone {
	int p, T;              /* slots of pressure and temperature, -1 when fixed */
	int mass, heat;        /* rows, -1 when there is none */
	double P, T_K, z0;     /* pressure at height z0 */
	struct inw_air air;
	double W;              /* heat gained so far, against its own temperature */
};

struct work {
	const struct inw_model *m;
	const struct inw_slots *s;
	const double *y;
	double *r;
	struct inw_sparse *J;
	struct inw_flows *f;
	double cp;
	struct zone zone[INW_MAX_ROOMS + 2]; /* 0 box, 1.. rooms, last outdoors */
	struct zone *out;
};

/* A one-way flow (m >= 0 from a to b) with its derivatives by the pressures and temperatures of both ends. */
struct path { double m, dPa, dPb, dTa, dTb; };

static double value(const struct work *w, int slot, double fixed)
{
	return slot >= 0 ? w->y[slot] : fixed;
}

static void jac(struct work *w, int row, int column, double d)
{
	if (w->J && row >= 0 && column >= 0)
		inw_sparse_add(w->J, row, column, d);
}

static void res(struct work *w, int row, double v)
{
	if (row >= 0)
		w->r[row] += v;
}

struct inw_air inw_model_air(const struct inw_model *m, double T_K, double humidity_ratio)
{
	double rho = inw_air_density_kgm3(m->p_site, T_K, humidity_ratio);
	struct inw_property mu = inw_air_viscosity(T_K);

	return (struct inw_air){rho, -rho / T_K, mu.value, mu.value * mu.slope};
}

static struct zone *zone_of(struct work *w, int room)
{
	return room == INW_OUTDOORS ? w->out : &w->zone[1 + room];
}

static void zones_begin(struct work *w)
{
	const struct inw_model *m = w->m;
	const struct inw_slots *s = w->s;

	w->zone[0] = (struct zone){s->p_box, s->T_box, s->p_box, s->T_box, value(w, s->p_box, 0), value(w, s->T_box, 0), m->stand,
	                           inw_model_air(m, w->y[s->T_box], m->w_box), 0};
	for (int i = 0; i < m->rooms; i++) {
		double T = value(w, s->T_room[i], m->room[i].T);
		w->zone[1 + i] = (struct zone){s->p_room[i], s->T_room[i], s->p_room[i], s->T_room[i], w->y[s->p_room[i]], T, 0,
		                               inw_model_air(m, T, m->room[i].humidity_ratio), 0};
	}
	w->out = &w->zone[1 + m->rooms];
	*w->out = (struct zone){-1, -1, -1, -1, 0, m->T_out, 0, inw_model_air(m, m->T_out, m->w_out), 0};
}

/* ---- paths between zones ---- */

static double pressure_at(const struct zone *z, double height)
{
	return z->P - z->air.rho * INW_GRAVITY * (height - z->z0);
}

/* Pressure difference a - b at a height; its derivative by T_a is -drho_a g (height - z0_a), by T_b the opposite. */
static double stack_dT(const struct zone *z, double height)
{
	return -z->air.drho_dT * INW_GRAVITY * (height - z->z0);
}

/* Heat that flow m brings into zone `to` from air at T (slot T_slot): m cp (T - T_to). */
static void carry(struct work *w, struct zone *to, double m_kgs, double T, int T_slot)
{
	to->W += m_kgs * w->cp * (T - to->T_K);
	jac(w, to->heat, T_slot, m_kgs * w->cp);
	jac(w, to->heat, to->T, -m_kgs * w->cp);
}

/* factor * d[k] at the four columns of a row, the way of nearly all of the matrix's entries */
static void jac_four(struct work *w, int row, const int column[4], const double d[4], double factor)
{
	if (!w->J || row < 0)
		return;
	for (int k = 0; k < 4; k++)
		if (column[k] >= 0)
			inw_sparse_add(w->J, row, column[k], factor * d[k]);
}

static void scatter(struct work *w, struct zone *a, struct zone *b, const struct path *p)
{
	const double dheat = w->cp * (a->T_K - b->T_K);
	const int column[4] = {a->p, b->p, a->T, b->T};
	const double d[4] = {p->dPa, p->dPb, p->dTa, p->dTb};

	res(w, a->mass, -p->m);
	res(w, b->mass, p->m);
	carry(w, b, p->m, a->T_K, a->T);
	jac_four(w, a->mass, column, d, -1);
	jac_four(w, b->mass, column, d, 1);
	jac_four(w, b->heat, column, d, dheat);
}

/* What a level path carries at `height` from the side with the higher pressure; `law` gives the volume flow under dp > 0. */
struct level { struct inw_resistance r; double C, n; bool power; };

static double level_path(struct work *w, struct zone *a, struct zone *b, double height, const struct level *law)
{
	double dp = pressure_at(a, height) - pressure_at(b, height);
	double sign = dp >= 0 ? 1 : -1;
	struct zone *from = dp >= 0 ? a : b, *to = dp >= 0 ? b : a;
	struct inw_flow q = law->power ? inw_power_law_flow(law->C, law->n, fabs(dp), from->air.rho, from->air.mu)
	                               : inw_resistance_flow(law->r, fabs(dp), from->air.rho, from->air.mu);
	double rho = from->air.rho, dm = rho * q.dq_ddp;
	struct path p = {.m = rho * q.q_m3s, .dPa = dm, .dPb = -dm};

	p.dTa = dm * stack_dT(from, height) + from->air.drho_dT * (q.q_m3s + rho * q.dq_drho) + rho * q.dq_dmu * from->air.dmu_dT;
	p.dTb = -dm * stack_dT(to, height);
	scatter(w, from, to, &p);
	return sign * p.m;
}

/* Both ways at once; `a` and `b` in the law's sense (dp > 0 drives a -> b). */
static void tall_path(struct work *w, struct zone *a, struct zone *b, const struct inw_model_doorway *o, double *ab, double *ba)
{
	double dp = pressure_at(a, o->sill) - pressure_at(b, o->sill);
	double slope = INW_GRAVITY * (a->air.rho - b->air.rho);
	struct inw_two_way t = inw_tall_opening(o->width, o->rise, o->cd, dp, slope, a->air.rho, b->air.rho,
	                                        0.5 * (a->air.mu + b->air.mu));
	double da = INW_GRAVITY * a->air.drho_dT, db = -INW_GRAVITY * b->air.drho_dT;
	double ha = stack_dT(a, o->sill), hb = -stack_dT(b, o->sill);
	struct path p = {t.ab_kgs, t.dab_ddp, -t.dab_ddp, t.dab_ddp * ha + t.dab_dslope * da + t.dab_drho_a * a->air.drho_dT,
	                 t.dab_ddp * hb + t.dab_dslope * db};
	struct path q = {t.ba_kgs, -t.dba_ddp, t.dba_ddp, t.dba_ddp * hb + t.dba_dslope * db + t.dba_drho_b * b->air.drho_dT,
	                 t.dba_ddp * ha + t.dba_dslope * da};

	scatter(w, a, b, &p);
	scatter(w, b, a, &q);
	*ab = t.ab_kgs;
	*ba = t.ba_kgs;
}

/* Gauss-Legendre points and weights on 0..1, four of them: Abramowitz & Stegun 1964, table 25.4. A tall seam is four
 * cracks in a row, each a share of its length. */
static const double gauss_at[4] = {0.06943184420297371, 0.33000947820757187, 0.66999052179242813, 0.93056815579702629};
static const double gauss_share[4] = {0.17392742256872693, 0.32607257743127307, 0.32607257743127307, 0.17392742256872693};

/* A round hole has its area about the middle: Gauss-Chebyshev points of the second kind, (1 - cos(k pi/5))/2 with shares
 * 2/5 sin^2(k pi/5), Abramowitz & Stegun 1964, 25.4.40. */
static const double disc_at[4] = {0.09549150281252627, 0.34549150281252627, 0.6545084971874737, 0.9045084971874737};
static const double disc_share[4] = {0.13819660112501052, 0.36180339887498949, 0.36180339887498949, 0.13819660112501052};

/* Across a hole that small the pressure changes by some 0.05 Pa in a box that is 50 K warmer: its middle stands for all (ours). */
static const double small_hole_m = 0.025;

static void gap_count(struct inw_flows *f, int i, double m)
{
	if (!f)
		return;
	if (m >= 0)
		f->gap_in[i] += m;
	else
		f->gap_out[i] -= m;
}

static void gap(struct work *w, int i)
{
	const struct inw_model_gap *g = &w->m->gap[i];
	struct zone *room = zone_of(w, g->room), *box = &w->zone[0];
	double z = w->m->stand + g->z;
	struct level law = {g->r, g->C, g->n, g->kind == INW_GAP_MEASURED};

	if (w->f) {
		w->f->gap_dp_bottom[i] = pressure_at(room, z) - pressure_at(box, z);
		w->f->gap_dp_top[i] = pressure_at(room, z + g->rise) - pressure_at(box, z + g->rise);
	}
	if (g->kind == INW_GAP_OPENING) {
		struct inw_model_doorway o = {0, 0, g->width, g->rise, z, g->cd};
		double in, out;
		tall_path(w, room, box, &o, &in, &out);
		gap_count(w->f, i, in);
		gap_count(w->f, i, -out);
	} else if (g->kind == INW_GAP_HOLE && g->rise < small_hole_m) {
		gap_count(w->f, i, level_path(w, room, box, z + 0.5 * g->rise, &law));
	} else if (g->rise > 0) {
		const double *at = g->kind == INW_GAP_HOLE ? disc_at : gauss_at, *share = g->kind == INW_GAP_HOLE ? disc_share : gauss_share;
		for (int k = 0; k < 4; k++) {
			struct level part = law; /* a share of the length carries that share of the flow: both terms grow */
			part.r.lin /= share[k];
			part.r.quad /= share[k] * share[k];
			part.C *= share[k];
			gap_count(w->f, i, level_path(w, room, box, z + g->rise * at[k], &part));
		}
	} else {
		gap_count(w->f, i, level_path(w, room, box, z, &law));
	}
}

/* A room's leakage is spread evenly over its height: two halves at the two Gauss points. */
static void room_air(struct work *w, int i)
{
	const struct inw_model_room *room = &w->m->room[i];
	struct zone *z = &w->zone[1 + i];
	struct path exchange = {.m = room->exchange_kgs};
	struct level half = {.C = room->leak_C / 2, .n = room->leak_n, .power = true};

	scatter(w, w->out, z, &exchange);
	scatter(w, z, w->out, &exchange);
	for (int k = -1; k <= 1 && room->leak_C > 0; k += 2) {
		double m = level_path(w, w->out, z, room->height * (0.5 + k * 0.5 / sqrt(3.0)), &half);
		if (w->f)
			*(m >= 0 ? &w->f->leak_in[i] : &w->f->leak_out[i]) += fabs(m);
	}
	z->W += room->heat_loss * (w->m->T_out - z->T_K);
	w->out->W -= room->heat_loss * (w->m->T_out - z->T_K);
	jac(w, z->heat, z->T, -room->heat_loss);
}

/* ---- the cleaner ---- */

/* A point of the chain whose air properties depend on up to two temperatures, half each. */
struct point { struct inw_air air; int T1, T2; double share; };

static struct point point_at(const struct work *w, int T1, int T2)
{
	double T = 0.5 * (w->y[T1] + w->y[T2]);

	return (struct point){inw_model_air(w->m, T, w->m->w_box), T1, T2, 0.5};
}

static void point_jac(struct work *w, int row, const struct point *p, double d_dT)
{
	jac(w, row, p->T1, d_dT * p->share);
	jac(w, row, p->T2, d_dT * p->share);
}

/* dp of a law under mass flow m at a point: d/dm and d/dT of dp(q = m/rho, rho, mu). */
struct drop_T { double dp, dm, dT; };

static struct drop_T drop_at(struct inw_drop d, double m_kgs, const struct inw_air *a)
{
	double dq_dT = -m_kgs / (a->rho * a->rho) * a->drho_dT;

	return (struct drop_T){d.dp_Pa, d.ddp_dq / a->rho, d.ddp_dq * dq_dT + d.ddp_drho * a->drho_dT + d.ddp_dmu * a->dmu_dT};
}

static struct drop_T resistance_at(struct inw_resistance r, double m_kgs, const struct inw_air *a)
{
	return drop_at(inw_resistance_drop(r, m_kgs / a->rho, a->rho, a->mu), m_kgs, a);
}

/* Subtract a duct's losses from equation `row`, whose flow is in slot `m`. */
static void duct_loss(struct work *w, const struct inw_model_duct *d, int row, int m, const struct point *p)
{
	double flow = w->y[m];
	struct drop_T f = resistance_at(d->fittings, flow, &p->air), t = {0};

	if (d->length > 0)
		t = drop_at(inw_duct_drop(d->diameter, d->length, d->roughness, d->stretch, flow / p->air.rho, p->air.rho, p->air.mu), flow, &p->air);
	res(w, row, -(f.dp + t.dp));
	jac(w, row, m, -(f.dm + t.dm));
	point_jac(w, row, p, -(f.dT + t.dT));
}

/* Add sign * (pressure of the zone at a height) to a row. */
static void add_zone_pressure(struct work *w, int row, const struct zone *z, double height, double sign)
{
	res(w, row, sign * pressure_at(z, height));
	jac(w, row, z->p, sign);
	jac(w, row, z->T, sign * stack_dT(z, height));
}

static int first_blower(const struct inw_model *m)
{
	for (int k = 0; k < m->stages; k++)
		if (m->stage[k].kind == INW_STAGE_BLOWER)
			return k;
	return m->stages;
}

static void stage(struct work *w, int k, int row, int T_slot)
{
	const struct inw_model_stage *g = &w->m->stage[k];
	int mc = w->s->m_clean, mb = w->s->m_bypass[k];
	struct inw_air air = inw_model_air(w->m, w->y[T_slot], w->m->w_box);
	double through = w->y[mc] - (mb >= 0 ? w->y[mb] : 0);
	struct drop_T d = resistance_at(g->r, through, &air);

	res(w, row, -d.dp);
	jac(w, row, mc, -d.dm);
	jac(w, row, mb, d.dm);
	jac(w, row, T_slot, -d.dT);
	if (w->f)
		w->f->stage_dp[k] = d.dp;
	if (mb < 0)
		return;
	struct drop_T leak = resistance_at(g->seal, w->y[mb], &air); /* the same pressure drives the seal's leak */
	res(w, mb, d.dp - leak.dp);
	jac(w, mb, mc, d.dm);
	jac(w, mb, mb, -d.dm - leak.dm);
	jac(w, mb, T_slot, d.dT - leak.dT);
}

/* What passes a seal follows from its stage's flow alone, and is foretold badly: it goes with the cube of the seal's width. */
void inw_model_seals(const struct inw_model *m, const struct inw_slots *s, double *y)
{
	int blow = first_blower(m);

	for (int k = 0; k < m->stages && s->m_clean >= 0; k++) {
		if (s->m_bypass[k] < 0)
			continue;
		struct inw_air air = inw_model_air(m, y[k < blow ? s->T_in : s->T_junction], m->w_box);
		double *by = &y[s->m_bypass[k]], all = y[s->m_clean], step = 1;
		for (int it = 0; it < 20 && fabs(step) > 1e-12 * fabs(all); it++) {
			struct drop_T through = resistance_at(m->stage[k].r, all - *by, &air), leak = resistance_at(m->stage[k].seal, *by, &air);
			step = (through.dp - leak.dp) / (through.dm + leak.dm);
			*by += step;
		}
	}
}

static void blower(struct work *w, int k, int row, int T_slot)
{
	const struct inw_model_stage *g = &w->m->stage[k];
	int mc = w->s->m_clean;
	struct inw_air air = inw_model_air(w->m, w->y[T_slot], w->m->w_box);
	double q = w->y[mc] / air.rho;
	struct inw_rise p = inw_blower_rise(&g->curve, g->speed, q, air.rho);

	res(w, row, p.p_Pa);
	jac(w, row, mc, p.dp_dq / air.rho);
	jac(w, row, T_slot, (p.dp_drho - p.dp_dq * q / air.rho) * air.drho_dT);
	if (w->f)
		w->f->stage_dp[k] = p.p_Pa;
}

/* Electrical heat of the blowers that ends in the air: all of it for a motor in the stream, else the work on the air. */
static double blower_heat(struct work *w, double *dm, double *dT, double *electric)
{
	double sum = 0;

	*dm = *dT = *electric = 0;
	for (int k = 0; k < w->m->stages; k++) {
		const struct inw_model_stage *g = &w->m->stage[k];
		if (g->kind != INW_STAGE_BLOWER)
			continue;
		double power = inw_blower_power_W(g->idle, g->power, g->speed);
		*electric += power;
		if (g->motor_in_air) {
			sum += power;
			continue;
		}
		struct inw_air a = inw_model_air(w->m, w->y[w->s->T_in], w->m->w_box);
		double q = w->y[w->s->m_clean] / a.rho;
		struct inw_rise p = inw_blower_rise(&g->curve, g->speed, q, a.rho);
		if (q < 0 ? p.p_Pa >= 0 : p.p_Pa <= 0)
			continue; /* a wheel that is blown through works on nothing */
		sum += p.p_Pa * q;
		*dm += (p.dp_dq * q + p.p_Pa) / a.rho;
		*dT += (p.dp_drho * q - (p.dp_dq * q + p.p_Pa) * q / a.rho) * a.drho_dT;
	}
	return sum;
}

static void chain_pressures(struct work *w)
{
	const struct inw_model *m = w->m;
	const struct inw_slots *s = w->s;
	int row = s->m_clean, blow = first_blower(m);
	double top = m->stand + m->inlet_z;
	struct point in = point_at(w, s->T_box, s->T_in);

	add_zone_pressure(w, row, &w->zone[0], top, 1);
	duct_loss(w, &m->inlet, row, s->m_clean, &in);
	for (int k = 0; k < m->stages; k++) {
		if (m->stage[k].kind == INW_STAGE_BLOWER)
			blower(w, k, row, s->T_in);
		else
			stage(w, k, row, k < blow ? s->T_in : s->T_junction);
	}
	res(w, row, -w->y[s->p_junction]);
	jac(w, row, s->p_junction, -1);
}

/* Junction pressure, less the column of air in the duct, less its losses, less what is at the other end. */
static void branch(struct work *w, const struct inw_model_duct *d, int m_slot, int T_end, const struct zone *end, double height)
{
	double rise = height - (w->m->stand + w->m->inlet_z);
	struct point p = point_at(w, w->s->T_junction, T_end);

	res(w, m_slot, w->y[w->s->p_junction] - p.air.rho * INW_GRAVITY * rise);
	jac(w, m_slot, w->s->p_junction, 1);
	point_jac(w, m_slot, &p, -p.air.drho_dT * INW_GRAVITY * rise);
	duct_loss(w, d, m_slot, m_slot, &p);
	add_zone_pressure(w, m_slot, end, height, -1);
}

static void branches(struct work *w)
{
	const struct inw_model *m = w->m;
	const struct inw_slots *s = w->s;
	int J = s->p_junction;

	res(w, J, w->y[s->m_clean]);
	jac(w, J, s->m_clean, 1);
	if (s->m_return >= 0) {
		res(w, J, -w->y[s->m_return]);
		jac(w, J, s->m_return, -1);
		branch(w, &m->ret, s->m_return, s->T_return, &w->zone[0], m->stand + m->return_z);
	}
	if (s->m_exhaust < 0)
		return;
	res(w, J, -w->y[s->m_exhaust]);
	jac(w, J, s->m_exhaust, -1);
	branch(w, &m->exhaust, s->m_exhaust, s->T_exhaust, zone_of(w, m->exhaust_to), m->exhaust_z);
	if (!m->fixed_share)
		return;
	if (w->f) /* what is left over is what a balancing throttle has to take */
		w->f->throttle_Pa = w->r[s->m_exhaust];
	w->r[s->m_exhaust] = w->y[s->m_exhaust] - m->share * w->y[s->m_clean];
	if (w->J) {
		inw_sparse_empty_row(w->J, s->m_exhaust);
		jac(w, s->m_exhaust, s->m_exhaust, 1);
		jac(w, s->m_exhaust, s->m_clean, -m->share);
	}
}

/* Mass flows into and out of box and destination. */
static void chain_mass(struct work *w)
{
	const struct inw_slots *s = w->s;
	struct zone *box = &w->zone[0];

	res(w, box->mass, -w->y[s->m_clean]);
	jac(w, box->mass, s->m_clean, -1);
	if (s->m_return >= 0) {
		res(w, box->mass, w->y[s->m_return]);
		jac(w, box->mass, s->m_return, 1);
	}
	if (s->m_exhaust >= 0) {
		struct zone *to = zone_of(w, w->m->exhaust_to);
		res(w, to->mass, w->y[s->m_exhaust]);
		jac(w, to->mass, s->m_exhaust, 1);
	}
}

/* A duct as a heat exchanger with the room around it. Its skin temperature is an unknown of its own:
 *   skin: K (T_donor - T_skin) = h_out (T_skin - T_room), K = 1/(1/h_in + R)
 *   end:  T_end = T_room + (T_donor - T_room) exp(-U pi D L / (|m| cp)), U = K h_out/(K + h_out)
 */
struct exchange { double UA, dq, dT, dskin, droom; struct inw_film in, out; }; /* UA W/K and its derivatives by |q|, donor, skin, room */

static struct exchange duct_exchange(struct work *w, const struct inw_model_duct *d, int skin, const double T[2], double q)
{
	double Ts = w->y[skin], A = INW_PI * d->diameter * d->length;
	struct inw_film in = inw_duct_inside(d->diameter, q, T[0], w->m->p_site), out = inw_duct_outside(d->diameter, Ts, T[1], w->m->p_site);
	double K = 1 / (1 / in.h_Wm2K + d->insulation), dK = K * K / (in.h_Wm2K * in.h_Wm2K), U = K * out.h_Wm2K / (K + out.h_Wm2K);
	double by_K = out.h_Wm2K / (K + out.h_Wm2K), by_h = K / (K + out.h_Wm2K);

	by_K *= by_K;
	by_h *= by_h;
	res(w, skin, A * (K * (T[0] - Ts) - out.h_Wm2K * (Ts - T[1])));
	jac(w, skin, skin, A * (-K - out.h_Wm2K - out.d1 * (Ts - T[1])));
	return (struct exchange){A * U, A * by_K * dK * in.d1, A * by_K * dK * in.d2, A * by_h * out.d1, A * by_h * out.d2, in, out};
}

struct donor { double T, forward, dm; };

/* The other derivatives of the skin's balance: by donors (with the flow they fix), room and flow. */
static void skin_jac(struct work *w, const struct inw_model_duct *d, const struct exchange *x, int skin, const double T[2], const double q[3], const int column[4],
                     const struct donor *from, double difference)
{
	double Ts = w->y[skin], A = INW_PI * d->diameter * d->length;
	struct inw_film in = x->in, out = x->out;
	double K = 1 / (1 / in.h_Wm2K + d->insulation), dK = K * K / (in.h_Wm2K * in.h_Wm2K);
	double by_T = A * (K + dK * (in.d2 + in.d1 * q[1]) * (T[0] - Ts));

	jac(w, skin, column[0], by_T * from->forward);
	jac(w, skin, column[1], by_T * (1 - from->forward));
	jac(w, skin, column[2], A * (out.h_Wm2K - out.d2 * (Ts - T[1])));
	jac(w, skin, column[3], A * dK * in.d1 * q[2] * (T[0] - Ts) + by_T * from->dm * difference);
}

/* What the air in a duct comes from. Below a hundredth of a gram per second (some mm/s in a duct of 75 mm) it is a mixture
 * of both ends, as natural convection in the duct would mix it anyhow (ours, no source); without that the temperature, and
 * the weight of the column of air, would jump where the flow turns round, and there might be no solution at all. */
static struct donor donor_of(double m, double T_forward, double T_back)
{
	const double small = 1e-5; /* kg/s */
	double t = 0.5 * (1 + m / small), share = t <= 0 ? 0 : t >= 1 ? 1 : t * t * (3 - 2 * t);
	double dm = t <= 0 || t >= 1 ? 0 : 3 * t * (1 - t) / small;

	return (struct donor){share * T_forward + (1 - share) * T_back, share, dm};
}

/* What the air loses, the room around it gains. */
static double duct_loss_to_room(struct work *w, struct zone *room, int m_slot, int end, int donor, double T_donor)
{
	double m = w->y[m_slot], flow = fabs(m), sign = m >= 0 ? 1 : -1, loss = flow * w->cp * (T_donor - w->y[end]);

	room->W += loss;
	jac(w, room->heat, m_slot, sign * w->cp * (T_donor - w->y[end]));
	jac(w, room->heat, donor, flow * w->cp);
	jac(w, room->heat, end, -flow * w->cp);
	return loss;
}

/* Returns the heat the duct loses to the room around it. */
static double duct_heat(struct work *w, const struct inw_model_duct *d, int m_slot, const int slot[2], int donor_forward, const struct zone *donor_back)
{
	int end = slot[0], skin = slot[1];
	double m = w->y[m_slot], flow = fabs(m), sign = m >= 0 ? 1 : -1, E = 1;
	struct donor from = donor_of(m, w->y[donor_forward], donor_back->T_K);
	struct zone *room = zone_of(w, d->room);
	double lift = from.T - room->T_K, by_donor = 1; /* d end / d T of the donor */

	if (skin >= 0) {
		struct inw_air a = inw_model_air(w->m, from.T, w->m->w_box);
		double T[2] = {from.T, room->T_K}, q[3] = {flow / a.rho, -flow / (a.rho * a.rho) * a.drho_dT, sign / a.rho};
		struct exchange x = duct_exchange(w, d, skin, T, q[0]);
		double NTU = flow > 0 ? x.UA / (flow * w->cp) : INFINITY;
		E = exp(-NTU);
		double by_UA = NTU < 500 ? -E / (flow * w->cp) : 0; /* beyond that E is zero to all digits */
		by_donor = E + lift * by_UA * (x.dT + x.dq * q[1]);
		if (w->J) {
			skin_jac(w, d, &x, skin, T, q, (const int[]){donor_forward, donor_back->T, room->T, m_slot}, &from, w->y[donor_forward] - donor_back->T_K);
			jac(w, end, room->T, -lift * by_UA * x.droom);
			jac(w, end, skin, -lift * by_UA * x.dskin);
			jac(w, end, m_slot, -lift * (by_UA * x.dq * q[2] + (NTU < 500 ? E * NTU / flow * sign : 0)));
		}
	}
	res(w, end, w->y[end] - room->T_K - lift * E);
	jac(w, end, end, 1);
	jac(w, end, donor_forward, -by_donor * from.forward);
	jac(w, end, donor_back->T, -by_donor * (1 - from.forward));
	jac(w, end, m_slot, -by_donor * from.dm * (w->y[donor_forward] - donor_back->T_K));
	jac(w, end, room->T, -(1 - E));
	return duct_loss_to_room(w, room, m_slot, end, m >= 0 ? donor_forward : donor_back->T, m >= 0 ? w->y[donor_forward] : donor_back->T_K);
}

/* Heat carried by chain flow in slot m (counted positive towards `row`'s body at T_own) from T_from. */
static double chain_carry(struct work *w, int row, int m_slot, double sign, int T_from, int T_own)
{
	double m = w->y[m_slot], in = sign * m;

	if (sign > 0 ? m < 0 : m >= 0) /* at rest: as flowing forwards, everywhere the same */
		return 0;
	double lift = w->y[T_from] - w->y[T_own];
	jac(w, row, m_slot, sign * w->cp * lift);
	jac(w, row, T_from, in * w->cp);
	jac(w, row, T_own, -in * w->cp);
	return in * w->cp * lift;
}

static void chain_heat(struct work *w)
{
	const struct inw_model *m = w->m;
	const struct inw_slots *s = w->s;
	struct zone *box = &w->zone[0], *around = zone_of(w, m->box_room);
	/* a body of air as a zone, so that backflow through a duct has somewhere to come from */
	struct zone junction = {.T = s->T_junction, .T_K = w->y[s->T_junction]};
	double dm, dT, electric, heat = blower_heat(w, &dm, &dT, &electric), duct[3] = {0}, row_J = 0;
	int J = s->T_junction;

	duct[0] = duct_heat(w, &m->inlet, s->m_clean, (const int[]){s->T_in, s->T_skin[0]}, s->T_box, &junction);
	row_J += chain_carry(w, J, s->m_clean, 1, s->T_in, J);
	box->W += chain_carry(w, box->heat, s->m_clean, -1, s->T_in, s->T_box);
	if (s->m_return >= 0) {
		duct[1] = duct_heat(w, &m->ret, s->m_return, (const int[]){s->T_return, s->T_skin[1]}, J, box);
		box->W += chain_carry(w, box->heat, s->m_return, 1, s->T_return, s->T_box);
		row_J += chain_carry(w, J, s->m_return, -1, s->T_return, J);
	}
	if (s->m_exhaust >= 0) {
		struct zone *to = zone_of(w, m->exhaust_to);
		duct[2] = duct_heat(w, &m->exhaust, s->m_exhaust, (const int[]){s->T_exhaust, s->T_skin[2]}, J, to);
		row_J += chain_carry(w, J, s->m_exhaust, -1, s->T_exhaust, J);
		if (w->y[s->m_exhaust] >= 0) {
			carry(w, to, w->y[s->m_exhaust], w->y[s->T_exhaust], s->T_exhaust);
			jac(w, to->heat, s->m_exhaust, w->cp * (w->y[s->T_exhaust] - to->T_K));
		}
	}
	double casing = m->casing * (w->y[J] - around->T_K);
	around->W += casing;
	jac(w, around->heat, J, m->casing);
	jac(w, around->heat, around->T, -m->casing);
	res(w, J, row_J + heat - casing);
	jac(w, J, s->m_clean, dm);
	jac(w, J, s->T_in, dT);
	jac(w, J, J, -m->casing);
	jac(w, J, around->T, m->casing);
	if (w->f) {
		memcpy(w->f->duct_W, duct, sizeof duct);
		w->f->blower_heat = heat;
		w->f->blower_power = electric;
		w->f->casing_W = casing;
	}
}

/* ---- panels, plate, room ---- */

static struct inw_flux times(struct inw_flux f, double factor)
{
	return (struct inw_flux){factor * f.q_Wm2, factor * f.dq_dTs, factor * f.dq_dTa};
}

/* Inner face: convection to box air, radiation to the star node, conduction out. Outer face: to the room by both. Faces
 * that are alike are one of their common area. */
static void panel(struct work *w, int i)
{
	const struct inw_model_panel *p = &w->m->panel[i];
	const struct inw_slots *s = w->s;

	if (w->f)
		w->f->panel_W[i] = w->f->panel_W[p->like];
	if (p->like != i)
		return;
	struct zone *box = &w->zone[0], *room = zone_of(w, w->m->box_room);
	int in = s->T_panel_in[i], out = s->T_panel_out[i], star = s->T_star;
	double Ti = w->y[in], To = w->y[out], A = p->alike * p->area, G = A / p->resistance, p_site = w->m->p_site;
	struct inw_flux ci = times(inw_mixed_convection(p->facing_in, (struct inw_stream){w->m->stirring, p->run}, p->length, Ti, box->T_K, p_site), w->m->convection);
	struct inw_flux co = times(inw_natural_convection(-p->facing_in, p->length, To, room->T_K, p_site), w->m->convection);
	struct inw_flux ri = inw_radiation(p->exchange_in, Ti, w->y[star]), ro = inw_radiation(p->emissivity_out, To, room->T_K);

	res(w, in, -A * (ci.q_Wm2 + ri.q_Wm2) - G * (Ti - To));
	jac(w, in, in, -A * (ci.dq_dTs + ri.dq_dTs) - G);
	jac(w, in, box->T, -A * ci.dq_dTa);
	jac(w, in, star, -A * ri.dq_dTa);
	jac(w, in, out, G);
	res(w, out, G * (Ti - To) - A * (co.q_Wm2 + ro.q_Wm2));
	jac(w, out, in, G);
	jac(w, out, out, -G - A * (co.dq_dTs + ro.dq_dTs));
	jac(w, out, room->T, -A * (co.dq_dTa + ro.dq_dTa));

	box->W += A * ci.q_Wm2;
	jac(w, box->heat, in, A * ci.dq_dTs);
	jac(w, box->heat, box->T, A * ci.dq_dTa);
	room->W += A * (co.q_Wm2 + ro.q_Wm2);
	jac(w, room->heat, out, A * (co.dq_dTs + ro.dq_dTs));
	jac(w, room->heat, room->T, A * (co.dq_dTa + ro.dq_dTa));
	res(w, star, A * ri.q_Wm2);
	jac(w, star, in, A * ri.dq_dTs);
	jac(w, star, star, A * ri.dq_dTa);
	if (w->f)
		w->f->panel_W[i] = p->area * (co.q_Wm2 + ro.q_Wm2);
}

static void plate(struct work *w)
{
	const struct inw_model *m = w->m;
	struct zone *box = &w->zone[0];
	int star = w->s->T_star;

	if (!m->plate_on)
		return;
	int own = w->s->T_plate;
	double T = value(w, own, m->plate_T);
	struct inw_flux c = inw_mixed_convection(1, (struct inw_stream){m->stirring, m->plate_run}, m->plate_length, T, box->T_K, m->p_site);
	struct inw_flux r = inw_radiation(m->plate_exchange, T, w->y[star]);
	double A = m->plate_area, Ac = A * (1 + m->plate_below);

	jac(w, box->heat, own, Ac * c.dq_dTs);
	jac(w, star, own, A * r.dq_dTs);
	if (own >= 0 && m->plate == INW_PLATE_HOLDS) {
		res(w, own, T - m->plate_T);
		jac(w, own, own, 1);
	} else if (own >= 0) {
		res(w, own, (m->plate == INW_PLATE_FULL ? m->plate_power : 0) - Ac * c.q_Wm2 - A * r.q_Wm2);
		jac(w, own, own, -Ac * c.dq_dTs - A * r.dq_dTs);
		jac(w, own, box->T, -Ac * c.dq_dTa);
		jac(w, own, star, -A * r.dq_dTa);
	}

	box->W += Ac * c.q_Wm2;
	jac(w, box->heat, box->T, Ac * c.dq_dTa);
	res(w, star, A * r.q_Wm2);
	jac(w, star, star, A * r.dq_dTa);
	if (w->f) {
		w->f->plate_W = Ac * c.q_Wm2 + A * r.q_Wm2;
		w->f->plate_convection_W = Ac * c.q_Wm2;
	}
}

/* The machine that stands in the box takes up heat and gives it back. */
static void contents(struct work *w)
{
	struct zone *box = &w->zone[0];
	int own = w->s->T_contents;

	if (own < 0)
		return;
	double G = w->m->contents_exchange, W = G * (w->y[own] - box->T_K);
	res(w, own, -W);
	jac(w, own, own, -G);
	jac(w, own, box->T, G);
	box->W += W;
	jac(w, box->heat, own, G);
	jac(w, box->heat, box->T, -G);
	if (w->f)
		w->f->contents_W = W;
}

static void zones_end(struct work *w)
{
	const struct inw_model *m = w->m;
	struct zone *box = &w->zone[0];

	box->W += m->heat_air + (m->heater == INW_HEATER_FULL ? m->heater_power : 0);
	if (m->heater == INW_HEATER_HOLDS) { /* the heater gives what is missing; the equation is the thermostat's */
		if (w->f)
			w->f->heater_W = -box->W;
		if (w->J)
			inw_sparse_empty_row(w->J, box->heat);
		w->r[box->heat] = box->T_K - m->heater_target;
		jac(w, box->heat, box->T, 1);
	} else {
		if (w->f)
			w->f->heater_W = m->heater == INW_HEATER_FULL ? m->heater_power : 0;
		res(w, box->heat, box->W);
	}
	for (int i = 0; i < m->rooms; i++) {
		res(w, w->zone[1 + i].heat, w->zone[1 + i].W);
		if (w->f)
			w->f->room_heater_W[i] = m->room[i].held ? -w->zone[1 + i].W : 0;
	}
}

/* Where no air can come from outdoors the mass balance says nothing about the level of pressure: level it with its
 * surroundings at mid-height; the report says so. */
static void pin(struct work *w, const struct zone *z, const struct zone *to, double height)
{
	if (w->J)
		inw_sparse_empty_row(w->J, z->mass);
	w->r[z->mass] = 0;
	add_zone_pressure(w, z->mass, z, height, 1);
	add_zone_pressure(w, z->mass, to, height, -1);
}

/* Mass and pressure of every path. */
static void air(struct work *w)
{
	const struct inw_model *m = w->m;

	zones_begin(w);
	for (int i = 0; i < m->gaps; i++)
		gap(w, i);
	for (int i = 0; i < m->doorways; i++) {
		double ab, ba;
		if (!(m->doorway[i].width > 0 && m->doorway[i].rise > 0)) /* shut: no path */
			continue;
		tall_path(w, zone_of(w, m->doorway[i].a), zone_of(w, m->doorway[i].b), &m->doorway[i], &ab, &ba);
		if (w->f) {
			w->f->door_ab[i] = ab;
			w->f->door_ba[i] = ba;
		}
	}
	for (int i = 0; i < m->rooms; i++)
		room_air(w, i);
	if (m->has_cleaner) {
		chain_pressures(w);
		branches(w);
		chain_mass(w);
	}
}

static void heat(struct work *w)
{
	if (w->m->has_cleaner)
		chain_heat(w);
	for (int i = 0; i < INW_FACES; i++)
		panel(w, i);
	plate(w);
	contents(w);
	zones_end(w);
}

static void pins(struct work *w)
{
	const struct inw_model *m = w->m;

	for (int i = 0; i < m->rooms; i++)
		if (m->room[i].pinned)
			pin(w, &w->zone[1 + i], w->out, 0.5 * m->room[i].height);
	if (m->box_pinned)
		pin(w, &w->zone[0], zone_of(w, m->box_room), m->stand + 0.5 * m->box_h);
}

void inw_model_residual(const struct inw_model *m, const struct inw_slots *s, const double *y, double *residual,
                        struct inw_sparse *jacobian, struct inw_flows *flows)
{
	struct work w = {.m = m, .s = s, .y = y, .r = residual, .J = jacobian, .f = flows, .cp = inw_air_heat_capacity_JkgK(m->w_box)};

	memset(residual, 0, sizeof(double) * (size_t)s->n);
	if (jacobian)
		inw_sparse_empty(jacobian, s->n);
	if (flows)
		memset(flows, 0, sizeof *flows);
	air(&w);
	heat(&w);
	pins(&w);
	if (flows)
		flows->outdoors_W = w.out->W;
}

void inw_model_air_alone(const struct inw_model *m, const struct inw_slots *s, const double *y, double *residual, struct inw_flows *flows)
{
	struct work w = {.m = m, .s = s, .y = y, .r = residual, .f = flows, .cp = inw_air_heat_capacity_JkgK(m->w_box)};

	memset(residual, 0, sizeof(double) * (size_t)s->n);
	memset(flows, 0, offsetof(struct inw_flows, blower_heat));
	air(&w);
	pins(&w);
}
