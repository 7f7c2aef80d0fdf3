/* SPDX-License-Identifier: MIT */
/* dump_day.c: one design as dump.c gives it, and what the day adds: stores, jobs, doings, weather, and this library's run as
 * rows at the ends of its steps, as JSON for day_peer.py.
 *
 * usage: dump_day DESIGN BINS TOLERANCE (0: the default)
 */
#define main dump_main
#include "dump.c"
#undef main

#include "solve/day.h"

static struct inw_day_sim sim;

static double at(const double *x, inw_q q)
{
	return q < 0 ? NAN : x[q];
}

static void stores(const struct inw_design *d, const double *x)
{
	double carbon = 0;

	printf("\"stores\": {");
	for (size_t k = 0; k < d->cleaner.stages; k++)
		if (d->cleaner.stage[k].kind == INW_STAGE_BED)
			carbon += at(x, d->cleaner.stage[k].bed.mass) * at(x, d->cleaner.carbon_heat);
	number("cleaner", d->cleaner.present ? at(x, d->cleaner.capacity) + carbon : 0, ", ");
	number("plate_power", at(x, d->heat.plate_power), ", ");
	number("plate", at(x, d->heat.plate_capacity), ", ");
	number("contents", at(x, d->heat.contents), ", ");
	number("contents_exchange", at(x, d->heat.contents_exchange), ", \"panels\": [");
	for (int i = 0; i < INW_FACES; i++)
		printf("%s%.17g", i ? ", " : "", at(x, d->box.panel[i].weight) * at(x, d->box.panel[i].heat));
	printf("], \"rooms\": [");
	for (size_t i = 0; i < d->rooms; i++)
		printf("%s%.17g", i ? ", " : "", at(x, d->room[i].capacity));
	printf("]},\n");
}

static void program(const struct inw_design *d, const double *x)
{
	static const char *const kind[] = {"door", "flap", "speed", "window", "heater"};

	printf("\"day\": {");
	number("start", at(x, d->day.start), ", ");
	number("span", at(x, d->day.span), ", \"weather\": [");
	for (size_t i = 0; i < d->day.weathers; i++)
		printf("%s[%.17g, %.17g]", i ? ", " : "", at(x, d->day.weather[i].at), at(x, d->day.weather[i].T));
	printf("], \"doings\": [");
	for (size_t i = 0; i < d->day.doings; i++) {
		const struct inw_doing *a = &d->day.doing[i];
		printf("%s{", i ? ", " : "");
		text("kind", kind[a->kind], ", ");
		number("at", at(x, a->at), ", ");
		number("for", at(x, a->lasts), ", ");
		number("to", at(x, a->to), ", ");
		integer("doorway", a->doorway, "}");
	}
	printf("], \"jobs\": [");
	for (size_t j = 0; j < d->jobs; j++) {
		const struct inw_job *o = &d->job[j];
		const struct inw_material *m = &d->catalog.material[o->material];
		printf("%s{", j ? ",\n" : "");
		Q(o, plate);
		number("start", at(x, o->start), ", ");
		number("duration", at(x, o->duration), ", ");
		number("burst_gas", at(x, m->burst_gas), ", ");
		number("burst_particles", at(x, m->burst_particles), ", ");
		number("burst_time", at(x, m->burst_time), ", ");
		number("afterglow", at(x, m->afterglow), ", ");
		number("afterglow_time", at(x, m->afterglow_time), ", ");
		number("particles", at(x, m->particles) * (m->particles_per == INW_PER_MASS ? at(x, o->rate) : 1), ", ");
		number("median", at(x, m->particle_diameter), ", ");
		number("gsd", at(x, m->particle_spread), ", \"gases\": {");
		for (size_t i = 0; i < m->gas_count; i++)
			printf("%s\"%d\": %.17g", i ? ", " : "", m->gases[i].substance, at(x, m->gases[i].rate) * (m->gases[i].per == INW_PER_MASS ? at(x, o->rate) : 1));
		printf("}}");
	}
	printf("]");
	if (d->box.has_door) {
		printf(", \"door\": {");
		number("width", at(x, d->box.door_width), ", ");
		number("height", at(x, d->box.door_height), ", ");
		number("sill", at(x, d->box.door_sill), "}");
	}
	printf("},\n");
}

/* Temperatures of a row: box, machine, plate, junction, then panels inside and outside, then rooms. */
static void row(void)
{
	const struct inw_solution *sol = &sim.sol;
	const struct inw_slots *s = &sol->s;
	double T[4 + 2 * INW_FACES + INW_MAX_ROOMS] = {slot(sol, s->T_box), slot(sol, s->T_contents), slot(sol, s->T_plate), slot(sol, s->T_junction)};

	for (int i = 0; i < INW_FACES; i++) {
		T[4 + i] = sol->y[s->T_panel_in[i]];
		T[4 + INW_FACES + i] = sol->y[s->T_panel_out[i]];
	}
	for (int i = 0; i < sol->m.rooms; i++)
		T[4 + 2 * INW_FACES + i] = s->T_room[i] >= 0 ? sol->y[s->T_room[i]] : sol->m.room[i].T;
	printf("{\"t\": %.17g, ", sim.t);
	integer("job", sim.job, ", ");
	integer("heater", (long)sol->m.heater, ", ");
	number("m_clean", slot(sol, s->m_clean), ", ");
	number("heater_W", sol->f.heater_W, ", ");
	array("T", T, 4 + 2 * INW_FACES + sol->m.rooms, ", \"gas\": [");
	for (int g = 0; g < sim.gas.count; g++) {
		printf("%s{", g ? ", " : "");
		array("held", sim.gas.account[g].held, 1 + sol->m.rooms, "}");
	}
	printf("], \"particles\": [");
	for (int b = 0; b < sim.bins; b++) {
		printf("%s{", b ? ", " : "");
		array("held", sim.bin[b].held, 1 + sol->m.rooms, "}");
	}
	printf("]}");
}

static int run(const struct inw_design *d, const double *x, double *now, const struct inw_day_setup *setup)
{
	int more;

	if (inw_day_start(&sim, d, setup, x, now)) {
		fprintf(stderr, "dump_day: %s\n", sim.why);
		return -1;
	}
	printf("\"substances_of\": [");
	for (int g = 0; g < sim.gas.count; g++)
		printf("%s%d", g ? ", " : "", sim.gas.substance[g]);
	printf("], ");
	array("diameters", sim.grid.diameter_m, sim.bins, ", ");
	array("edges", sim.grid.edge_m, sim.bins + 1, ",\n\"rows\": [\n");
	row();
	while ((more = inw_day_step(&sim)) > 0) {
		printf(",\n");
		row();
	}
	printf("\n]}\n");
	return more;
}

int main(int argc, char **argv)
{
	struct inw_diags diags = {0};
	struct inw_design *d = NULL;
	struct inw_day_setup setup = {argc > 2 ? atoi(argv[2]) : 0, argc > 3 ? strtod(argv[3], NULL) : 0};
	int status = 1;

	if (argc < 2)
		return 2;
	if (inw_design_read(argv[1], NULL, &d, &diags) == INW_OK) {
		double *x = calloc(2 * d->quantities + 2, sizeof *x);
		for (size_t i = 0; x && i < d->quantities; i++)
			x[i] = d->quantity[i].value;
		if (x) {
			structure(d, x);
			printf("\"cases\": [],\n");
			stores(d, x);
			program(d, x);
			status = run(d, x, x + d->quantities + 1, &setup) ? 1 : 0;
		}
		free(x);
	}
	for (size_t i = 0; i < diags.count && !d; i++)
		fprintf(stderr, "%s:%d: %s\n", argv[1], diags.items[i].line, diags.items[i].message);
	inw_design_free(d);
	inw_diags_free(&diags);
	return status;
}
