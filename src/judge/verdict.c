/* SPDX-License-Identifier: MIT */
#include "judge/verdict.h"

#include <math.h>

#include "judge/sentence.h"

/* Numbers that mean nothing when an emission behind them was never measured. */
static bool needs_emission(enum inw_measure_kind k)
{
	switch (k) {
	case INW_M_WORK_8H: case INW_M_WORK_PEAK: case INW_M_HOME_LONG: case INW_M_HOME_1H: case INW_M_PARTICLES: case INW_M_CARBON_LIFE: case INW_M_LFL:
		return true;
	default:
		return false;
	}
}

enum inw_word inw_verdict_word(const struct inw_finding *f)
{
	const struct inw_measure *m = f->m;

	if (m->sense == INW_NO_LIMIT)
		return isnan(f->value) ? INW_CANNOT_TELL : INW_STATED;
	if (isnan(f->value))
		return INW_CANNOT_TELL;
	if (!(inw_measure_margin(m, f->value) >= 0))
		return INW_MISSES;
	if (needs_emission(m->kind) && (m->unknown_source || m->missing_limit))
		return INW_CANNOT_TELL; /* missing data never passes */
	if (f->broken || f->weakly || !(inw_measure_margin(m, f->low) >= 0) || !(inw_measure_margin(m, f->high) >= 0))
		return INW_IN_DOUBT;
	return INW_MEETS;
}

static void gap_reason(struct inw_text *t, const struct inw_finding *f, const struct inw_design *d, const char **where)
{
	const struct inw_case *c = f->worst;
	int g = f->m->kind == INW_M_INWARD_VELOCITY ? c->o.worst_velocity_gap : f->m->kind == INW_M_EDGE_PRESSURE ? c->o.edge_gap : c->o.worst_gap;

	if (g < 0) {
		inw_text_add(t, "No gap is described, so there is nothing to judge: a box without any leak does not exist.");
		return;
	}
	const struct inw_gap *gap = &d->box.gap[c->sol.m.gap_of[g]];
	double top = c->sol.f.gap_dp_top[g], bottom = c->sol.f.gap_dp_bottom[g];
	*where = gap->name;
	if (f->m->kind == INW_M_INWARD_VELOCITY && isnan(f->value)) {
		inw_text_add(t, "The gaps are known by their flow alone, not by their area, so their air speed is unknown.");
		return;
	}
	double rho_box = inw_model_air(&c->sol.m, c->sol.y[c->sol.s.T_box], c->sol.m.w_box).rho;
	double T_room = c->sol.s.T_room[c->sol.m.box_room] >= 0 ? c->sol.y[c->sol.s.T_room[c->sol.m.box_room]] : c->sol.m.room[c->sol.m.box_room].T;
	double lift = (inw_model_air(&c->sol.m, T_room, c->sol.m.w_box).rho - rho_box) * INW_GRAVITY * c->sol.m.box_h;
	bool out = fmin(top, bottom) < 0;
	if (f->value < 0)
		inw_text_printf(t, out ? "The gap '%s' leaks outward first. " : "The gap '%s' would leak outward first, in a gust. ", gap->name);
	inw_text_printf(t, lift >= 0 ? "At " INW_N " the warm air in the box presses " INW_N " harder at the top than at the bottom (stack effect)"
	                             : "At " INW_N " the air in the box is heavier than the room's and presses " INW_N " harder at the bottom than at the top",
	                INW_V(INW_DIM_TEMPERATURE, c->sol.y[c->sol.s.T_box]), INW_V(INW_DIM_PRESSURE, fabs(lift)));
	if (d->cleaner.present)
		inw_text_printf(t, ", and the blower's suction must beat that at the %s gap.", lift >= 0 ? "highest" : "lowest");
	else
		inw_text_add(t, ", and no blower draws against that.");
	if (fmin(top, bottom) < 0 && fmax(top, bottom) > 0)
		inw_text_add(t, " This gap leaks both ways: in below, out above.");
	if (c->o.escape_m3s > 0)
		inw_text_printf(t, " In all " INW_N " of box air escapes %s.", INW_V(INW_DIM_VOLUME_FLOW, c->o.escape_m3s), gap->room == d->box.room ? "into the room" : "through the gaps");
}

static const char *part_of_cleaner(const struct inw_design *d, int part)
{
	switch (part) {
	case INW_PART_INLET: return "inlet duct";
	case INW_PART_OUTLET: return "outlet";
	case INW_PART_RETURN: return "return duct";
	case INW_PART_EXHAUST: return "exhaust duct";
	default: return d->cleaner.stage[part].name;
	}
}

/* What a square centimetre of leak lets through: an orifice with the coefficient of a sharp edge, 0.6 (common practice). */
static double leak_m3s(const struct inw_case *c, double dp_Pa)
{
	double rho = inw_model_air(&c->sol.m, c->sol.y[c->sol.s.T_in], c->sol.m.w_box).rho;

	return 0.6 * 1e-4 * sqrt(2 * dp_Pa / rho);
}

static void cleaner_reason(struct inw_text *t, const struct inw_finding *f, const struct inw_design *d, const char **where)
{
	const struct inw_case *c = f->worst;
	const struct inw_model *m = &c->sol.m;
	int part = c->o.cleaner.part;

	if (isnan(f->value))
		return;
	*where = part_of_cleaner(d, part);
	if (m->clean_after < m->stages)
		inw_text_printf(t, "Up to '%s' the air in the cleaner is not yet clean. ", d->cleaner.stage[m->clean_after].name);
	else
		inw_text_add(t, "Nothing in this cleaner takes out both particles and gases, so fumes go all the way, ducts too. ");
	inw_text_printf(t, part >= 0 ? "Before '%s' it stands " : "In the %s it stands ", *where);
	inw_text_printf(t, INW_N " %s the room.", INW_V(INW_DIM_PRESSURE, fabs(f->value)), f->value < 0 ? "above" : "below");
	if (f->value < 0 && c->o.cleaner.leak)
		inw_text_printf(t, " Each joint there leaks outward, whatever the box does: through each square centimetre of leak comes " INW_N
		                ". How tight housing and ducts are is not described, so what gets out is not known.",
		                INW_V(INW_DIM_VOLUME_FLOW, leak_m3s(c, -f->value)));
	else if (f->value < 0)
		inw_text_add(t, c->o.cleaner.least_Pa < 0 ? " Its joints leak as the gaps of the box there do." : " In a gust its joints would leak outward.");
}

static void chamber_reason(struct inw_text *t, const struct inw_finding *f)
{
	const struct inw_flows *l = &f->worst->sol.f;
	double panels = 0;

	for (int i = 0; i < INW_FACES; i++)
		panels += l->panel_W[i];
	inw_text_printf(t, "The machine gives " INW_N "; " INW_N " of it leaves through the panels, the rest with the air.", INW_V(INW_DIM_POWER, f->worst->sol.m.heat_air + l->plate_W + l->heater_W),
	                INW_V(INW_DIM_POWER, panels));
	if (f->worst->sol.plate_idle)
		inw_text_add(t, " The chamber is hotter than the plate's set temperature: the plate idles.");
}

static void gas_reason(struct inw_text *t, const struct inw_finding *f, const struct inw_design *d)
{
	const struct inw_gas_outcome *g = &f->worst->o.gas[f->m->index];
	const struct inw_substance *s = &d->catalog.substance[g->substance];

	if (f->worst->o.bed < 0)
		inw_text_add(t, "There is no carbon in the train.");
	else if (isnan(f->value))
		inw_text_add(t, inw_shallow_bed);
	else if (g->weak)
		inw_text_printf(t, "Plain carbon hardly holds %s at room concentrations: none of it is counted.", s->title);
	else
		inw_text_printf(t, "The air spends " INW_N " in the carbon. Of two published laws for how fast it is taken up, the slower is judged "
		                "(%.3g against %.3g per second).", INW_V(INW_DIM_TIME, f->worst->o.residence_s), g->rate_1s, g->rate_other_1s);
}

static void air_reason(struct inw_text *t, const struct inw_finding *f, const struct inw_design *d, const char **where)
{
	const struct inw_case *c = f->worst;
	const struct inw_person *p = &d->person[f->m->index];
	int room = p->stays ? p->stay[0].room : c->sol.m.box_room;

	*where = d->room[room].name;
	if (isnan(f->value) && (c->sol.m.gaps == 0 || c->sol.m.box_pinned))
		inw_text_add(t, "No gap of the box is described, so what gets out is not known. ");
	else if (isnan(f->value) && c->o.cleaner.leak)
		inw_text_add(t, "A part of the cleaner with fumes in it stands above the pressure of the room, so what gets out of its joints is not known. ");
	else if (isnan(f->value) && c->o.face_ms < d->quantity[d->require.face_velocity].value)
		inw_text_add(t, "An opening of the box draws in too slowly to hold against draughts, so what gets out is not known. ");
	else if (isnan(f->value) && f->m->kind != INW_M_PARTICLES && c->o.granules_deep < INW_GRANULES_DEEP)
		inw_text_add(t, inw_shallow_bed);
	else if (isnan(f->value) && c->o.inward_Pa < d->quantity[d->require.inward_pressure].value)
		inw_text_add(t, "A gap is pulled inward by less than is wanted, too weakly to hold against draughts, so what gets out is not known. ");
	else if (isnan(f->value) && f->m->kind == INW_M_HOME_LONG && c->ok && !f->m->missing_limit)
		inw_text_add(t, "Not every gas has a value for eight hours; held to their values for longer, those that have none would be too much together with the others. ");
	else if (isnan(f->value) && c->ok && f->m->kind == INW_M_HOME_1H)
		inw_text_add(t, "Some or all of the gases have no published value for one hour, and held to their values for longer they would be too much, or have none. ");
	if (f->m->missing_limit)
		inw_text_printf(t, "No value of this kind is published for %s, so this cannot be passed. ", f->m->missing);
	else if (f->m->unknown_source)
		inw_text_printf(t, "Nobody has published how much of it comes off (%s), so this cannot be passed. ", f->m->missing);
	if (f->m->kind == INW_M_PARTICLES) {
		inw_text_printf(t, "%.3g of what is emitted reaches the rooms or the outdoors; the rest stays in the cleaner or on the walls.", 1 - c->o.particle_kept);
		return;
	}
	int most = -1;
	for (int i = 0; i < c->o.gases; i++)
		if (most < 0 || c->o.gas[i].used_kgm3[room] > c->o.gas[most].used_kgm3[room])
			most = i;
	if (most >= 0)
		inw_text_printf(t, "In the %s: " INW_N " of %s (fresh carbon " INW_N ", spent " INW_N ").", d->room[room].name, INW_V(INW_DIM_CONCENTRATION, c->o.gas[most].used_kgm3[room]),
		                d->catalog.substance[c->o.gas[most].substance].title, INW_V(INW_DIM_CONCENTRATION, c->o.gas[most].room_kgm3[room]),
		                INW_V(INW_DIM_CONCENTRATION, c->o.gas[most].spent_kgm3[room]));
	if (most >= 0 && c->o.gas[most].outlived)
		inw_text_printf(t, " The carbon does not last as long as is required: judged with what it lets through by then, " INW_N ".", INW_V(INW_DIM_FRACTION, c->o.gas[most].used));
	else
		inw_text_add(t, " Judged with the carbon as spent as the requirement allows.");
	inw_text_add(t, " Counted as if the machine ran during every hour spent there.");
	if (f->value <= 0)
		inw_text_add(t, " Nothing leaves by the gaps in this steady state; an opened door, draughts and the finished part are not in it.");
}

static void life_reason(struct inw_text *t, const struct inw_finding *f, const struct inw_design *d)
{
	const struct inw_outcome *o = &f->worst->o;

	if (isnan(f->value) && o->granules_deep < INW_GRANULES_DEEP) {
		inw_text_add(t, inw_shallow_bed);
		return;
	}
	if (o->life_gas < 0) {
		inw_text_add(t, "No gas that carbon holds comes off, or no air passes the bed.");
		return;
	}
	const struct inw_gas_outcome *g = &o->gas[o->life_gas];
	inw_text_printf(t, "%s comes through first; at " INW_N " in the air the carbon", d->catalog.substance[g->substance].title, INW_V(INW_DIM_CONCENTRATION, g->inlet_kgm3));
	if (g->bed != o->bed) /* one of several */
		inw_text_printf(t, " of '%s', which the air meets first,", d->cleaner.stage[g->bed].name);
	inw_text_printf(t, " holds " INW_N " of it.", INW_V(INW_DIM_MASS_RATIO, g->capacity));
	if (o->life_s <= 0)
		inw_text_add(t, " The bed is thinner than the zone in which the gas is taken up: it lets gas through from the first minute.");
	if (f->value > 365 * 86400.0) /* a year of use */
		inw_text_add(t, " Beyond a year of use dust, ageing and what else is in the air end it sooner: weigh it, and change it yearly (common practice).");
	if (g->measured && g->below_fitted)
		inw_text_add(t, " That is less than the lowest measured point: a straight line from there to zero is taken.");
	if (g->above_measured)
		inw_text_add(t, " That is more than the highest measured point: no more is counted as held than a twentieth above it.");
	if (!g->measured && g->below_fitted)
		inw_text_add(t, " The law was fitted above about 5 ppm and is carried far below that here; its doubt is widened accordingly.");
	if (f->m->unknown_source)
		inw_text_printf(t, " Nobody has published how much of it comes off (%s).", f->m->missing ? f->m->missing : "this material");
}

static void seal_reason(struct inw_text *t, const struct inw_finding *f, const struct inw_design *d, const char **where)
{
	int k = f->worst->o.bypass_stage;

	if (k < 0)
		return;
	*where = d->cleaner.stage[k].name;
	inw_text_printf(t, "The pressure across '%s' (" INW_N ") drives air through its seal; a leak caps what any medium can do.", d->cleaner.stage[k].name,
	                INW_V(INW_DIM_PRESSURE, f->worst->sol.f.stage_dp[k]));
}

static void suction_reason(struct inw_text *t, const struct inw_finding *f, const struct inw_design *d, const char **where)
{
	const struct inw_room *r = &d->room[f->m->index];

	*where = r->name;
	inw_text_printf(t, "The exhaust lowers the pressure of '%s' by " INW_N " against the same weather with the blower stopped. %s: %s.", r->name,
	                INW_V(INW_DIM_PRESSURE, f->value), d->catalog.appliance[r->appliance[f->m->sub].kind].title, "typical limit, judged at its low end");
}

static void lfl_reason(struct inw_text *t, const struct inw_finding *f)
{
	const struct inw_outcome *o = &f->worst->o;

	inw_text_add(t, "Counted with carbon that holds nothing, and with the blower stopped: tie the source to proven airflow. ");
	if (f->m->unknown_source)
		inw_text_printf(t, "Nobody has published how much comes off (%s), so this cannot be passed. ", f->m->missing);
	if (o->lfl_saturated)
		inw_text_printf(t, "More would come off than air of " INW_N " can hold: counted is what it holds, saturated. The rest condenses or "
		                "drifts as mist, which burns too. ", INW_V(INW_DIM_TEMPERATURE, f->worst->sol.y[f->worst->sol.s.T_box]));
	if (o->lfl_unknown)
		inw_text_add(t, "Some of the gases have no published lower flammable limit; they are not in the sum.");
}

static void bed_reason(struct inw_text *t, const struct inw_outcome *o)
{
	inw_text_printf(t, "The air that comes to it has " INW_N ".", INW_V(INW_DIM_TEMPERATURE, o->bed_T_K));
	if (isnan(o->uptake_K))
		inw_text_add(t, " So much vapour comes that the carbon heats itself far above that, and may burn: 'inward day' follows how hot it gets.");
	else
		inw_text_printf(t, " What the carbon takes up warms it by " INW_N " as long as that lasts, without any loss of heat.",
		                INW_V(INW_DIM_TEMPERATURE_DIFFERENCE, o->uptake_K));
}

static void plain_reason(struct inw_text *t, const struct inw_finding *f)
{
	const struct inw_outcome *o = &f->worst->o;

	switch (f->m->kind) {
	case INW_M_PARTICLE_REMOVAL:
		if (o->medium < 0)
			inw_text_add(t, "There is no particle stage in the train.");
		else
			inw_text_printf(t, "Air passes the medium at " INW_N "; its seal lets " INW_N " of the flow by, counted as not cleaned.", INW_V(INW_DIM_VELOCITY, o->medium_velocity_ms),
			                INW_V(INW_DIM_FRACTION, o->bypass));
		if (o->no_fibre)
			inw_text_add(t, " No fibre has the worst size of its rating: every size is counted as passing like that one.");
		break;
	case INW_M_RESIDENCE:
		inw_text_printf(t, INW_N " passes the bed at " INW_N ".", INW_V(INW_DIM_VOLUME_FLOW, o->clean_m3s), INW_V(INW_DIM_VELOCITY, o->bed_velocity_ms));
		break;
	case INW_M_BED_T:
		bed_reason(t, o);
		break;
	case INW_M_NOISE:
		if (isnan(f->value))
			inw_text_add(t, "A blower has no stated sound, or turns below a fifth of its rated speed, where no data were read: measure it beside the running box.");
		break;
	case INW_M_THROTTLE:
		if (f->value < 0)
			inw_text_add(t, "What is sent out is less than the file says, so every other number here is that of a share which cannot be set: the pull on the gaps "
			             "too is less than is told.");
		break;
	case INW_M_STALL:
		inw_text_printf(t, "It works at " INW_N " against " INW_N ".", INW_V(INW_DIM_VOLUME_FLOW, o->clean_m3s), INW_V(INW_DIM_PRESSURE, o->operating_Pa));
		break;
	case INW_M_DELIVERY:
		inw_text_printf(t, "It works at " INW_N " against " INW_N ". Its curve only falls, so it does not say below which flow the wheel stalls; axial "
		                "wheels do at some half of their free delivery (common practice): a finer curve of the maker tells.",
		                INW_V(INW_DIM_VOLUME_FLOW, o->clean_m3s), INW_V(INW_DIM_PRESSURE, o->operating_Pa));
		break;
	case INW_M_FACE_VELOCITY:
		inw_text_add(t, "Over a wide opening draughts decide, not pressure: it is judged by the mean speed of the air through it, and by what its edges "
		             "do (opening_pressure).");
		break;
	case INW_M_PURGE:
		if (isnan(f->value))
			inw_text_add(t, "With what the carbon cannot hold going round and no air sent out, the box is never cleared.");
		else
			inw_text_add(t, "First-order washing out of the box by cleaned and inflowing air, source off, lengthened by the mixing factor. A finished part "
			             "and warm resin go on giving off gas: that is not in this number.");
		break;
	case INW_M_LFL:
		lfl_reason(t, f);
		break;
	case INW_M_POWER:
		inw_text_printf(t, "Blower " INW_N ", plate " INW_N ", the rest hot end, electronics and heater.", INW_V(INW_DIM_POWER, o->blower_W), INW_V(INW_DIM_POWER, o->plate_W));
		break;
	case INW_M_HEATING:
		inw_text_add(t, "Room air that is drawn out must be replaced by outdoor air and warmed; the machine's own heat pays for part of it.");
		break;
	default:
		break;
	}
}

const char *inw_verdict_reason(const struct inw_finding *f, const struct inw_design *d, struct inw_arena *arena, const char **where)
{
	struct inw_text t = {0};

	*where = NULL;
	if (!f->worst->ok) {
		inw_text_printf(&t, "No steady state was found in the state '%s'%s%s: not an answer.", f->state, f->trouble ? ": " : "", f->trouble ? f->trouble : "");
	} else if (f->untold) {
		inw_text_add(&t, f->untold);
	} else {
		switch (f->m->kind) {
		case INW_M_INWARD_PRESSURE: case INW_M_INWARD_VELOCITY: case INW_M_EDGE_PRESSURE: gap_reason(&t, f, d, where); break;
		case INW_M_CLEANER_PRESSURE: cleaner_reason(&t, f, d, where); break;
		case INW_M_CHAMBER: chamber_reason(&t, f); break;
		case INW_M_GAS_REMOVAL: gas_reason(&t, f, d); break;
		case INW_M_WORK_8H: case INW_M_WORK_PEAK: case INW_M_HOME_LONG: case INW_M_HOME_1H: case INW_M_PARTICLES: air_reason(&t, f, d, where); break;
		case INW_M_CARBON_LIFE: life_reason(&t, f, d); break;
		case INW_M_BYPASS: seal_reason(&t, f, d, where); break;
		case INW_M_DEPRESSURISATION: suction_reason(&t, f, d, where); break;
		default: plain_reason(&t, f); break;
		}
		if (f->broken)
			inw_text_add(&t, " At some end of what is assumed there is no answer.");
		else if (f->weakly && inw_verdict_word(f) == INW_IN_DOUBT)
			inw_text_add(&t, " At some end of what is assumed a gap is pulled inward by less than is wanted (inward_pressure): then nothing is told of this.");
	}
	const char *s = t.failed ? NULL : inw_arena_dup(arena, t.s ? t.s : "", t.length);
	inw_text_free(&t);
	return s;
}
