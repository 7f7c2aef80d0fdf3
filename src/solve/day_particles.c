/* SPDX-License-Identifier: MIT */
/* day_particles.c: particles by size through a day: removal by media and walls, and meeting. */
#include <math.h>
#include <string.h>

#include "physics/aerosol_dynamics.h"
#include "solve/day_within.h"

/* Sizes of each job's particles; what a source puts beyond the grid's ends is counted at the ends. */
static void list_sizes(struct inw_day_sim *s)
{
	for (int j = 0; j < (int)s->d->jobs; j++) {
		const struct inw_material *m = &s->d->catalog.material[s->d->job[j].material];
		struct inw_lognormal sizes = {s->given[m->particle_diameter], s->given[m->particle_spread]};
		struct inw_bin_outside beyond = inw_bins_source(&s->grid, sizes, s->share[j]);
		s->share[j][0] += beyond.below;
		s->share[j][s->bins - 1] += beyond.above;
	}
}

void inw_day_particles_start(struct inw_day_sim *s)
{
	struct inw_values x = {s->given, NULL};

	list_sizes(s);
	for (size_t k = 0; k < s->d->cleaner.stages; k++)
		if (s->d->cleaner.stage[k].kind == INW_STAGE_MEDIUM)
			s->medium[k] = inw_sheet_fit(&s->d->cleaner.stage[k].medium, &x);
}

/* Share of each size that one way through the train lets by: media by their fibres at the true velocity, seals beside them. */
static void particle_pass_now(struct inw_day_sim *s)
{
	const struct inw_solution *sol = &s->sol;

	for (int b = 0; b < s->bins; b++) {
		s->bin_pass[b] = 1;
		s->bin_wall_m3s[b] = inw_box_deposition_m3s(sol, s->grid.diameter_m[b]);
	}
	for (int k = 0; k < sol->m.stages && sol->s.m_clean >= 0; k++) {
		if (sol->m.stage[k].kind != INW_STAGE_MEDIUM)
			continue;
		struct inw_sheet_flow flow = inw_medium_flow(sol, k);
		for (int b = 0; b < s->bins; b++) {
			s->stage_pass[k][b] = inw_sheet_pass(&s->medium[k], &flow, s->grid.diameter_m[b]);
			s->bin_pass[b] *= s->stage_pass[k][b];
		}
	}
}

void inw_day_particles_now(struct inw_day_sim *s)
{
	double T = s->sol.y[s->sol.s.T_box];

	if (fabs(T - s->meet_T) > 1) { /* K: the kernel changes by some 0.2 % */
		inw_coagulation_brownian(&s->meet, &s->grid, &(struct inw_aerosol){T, s->sol.m.p_site, 1000});
		s->meet_T = T;
	}
	particle_pass_now(s);
}

/* How much faster than at the table's temperature particles meet at T: that of their mean size stands for all. */
static double faster_at(const struct inw_day_sim *s, double T, const double *N, double total)
{
	double mean = 0;

	for (int b = 0; b < s->bins; b++)
		mean += N[b] * s->grid.diameter_m[b] / total;
	struct inw_thermal_motion here = inw_thermal_motion(mean, &(struct inw_aerosol){T, s->sol.m.p_site, 1000});
	struct inw_thermal_motion table = inw_thermal_motion(mean, &(struct inw_aerosol){s->meet_T, s->sol.m.p_site, 1000});
	return inw_coagulation_kernel_m3s(&here, &here) / inw_coagulation_kernel_m3s(&table, &table);
}

/* What meeting wins and loses for every size, at numbers `N`; nothing where too few meet to matter. */
struct meeting { double won[INW_MAX_BINS], lost[INW_MAX_BINS]; };

static void meet(const struct inw_day_sim *s, int zone, const double *N, double dt, struct meeting *out)
{
	double few[INW_MAX_BINS], total = 0, T = zone ? s->sol.m.room[zone - 1].T : s->sol.y[s->sol.s.T_box];

	if (zone && s->sol.s.T_room[zone - 1] >= 0)
		T = s->sol.y[s->sol.s.T_room[zone - 1]];

	memset(out, 0, sizeof *out);
	for (int b = 0; b < s->bins; b++)
		total += few[b] = fmax(N[b], 0); /* an implicit step may leave next to nothing below zero */
	/* 1e-14 m3/s is above every kernel from 2 nm up with particles of up to 10 um in number: nothing to do below this */
	if (total * 1e-14 * dt < 1e-6)
		return;
	inw_coagulation_split(&s->meet, few, out->won, out->lost);
	double as_here = faster_at(s, T, few, total);
	for (int b = 0; b < s->bins; b++) {
		out->won[b] *= as_here;
		out->lost[b] *= as_here;
	}
}

/* What meeting does at the two stages, by zone, and the zones' volumes. */
struct meetings { struct meeting at[2][INW_MAX_ZONES]; double volume[INW_MAX_ZONES]; int zones; };

static void meet_everywhere(const struct inw_day_sim *s, const struct inw_day_trial *t, int zones, double dt, struct meetings *out)
{
	out->zones = zones;
	for (int z = 0; z < zones; z++) {
		out->volume[z] = inw_zone_volume(&s->sol.m, z);
		meet(s, z, t->number[0][z], dt, &out->at[0][z]);
		if (memcmp(t->number[0][z], t->number[1][z], sizeof(double) * (size_t)s->bins) == 0)
			out->at[1][z] = out->at[0][z]; /* the first time */
		else
			meet(s, z, t->number[1][z], dt, &out->at[1][z]);
	}
}

/* Size `b` as the one or the other of two. */
static void set_out(const struct inw_day_sim *s, const struct meetings *meet, int b, struct inw_two *two, int which)
{
	two->pass[which] = s->bin_pass[b];
	two->wall_m3s[which] = s->bin_wall_m3s[b];
	two->source[0][which] = two->source[1][which] = inw_day_particle_emission(s, b);
	for (int k = 0; k < 2; k++)
		for (int z = 0; z < meet->zones; z++) {
			two->won[k][z][which] = meet->at[k][z].won[b] * meet->volume[z];
			two->lost[k][z][which] = meet->at[k][z].lost[b];
		}
}

/* All sizes once through the step, two by two, meeting at the numbers of t->number; then these are those of the stages. The
 * error by number. `joined` by zone in volume of particles. */
static double step_sizes(const struct inw_day_sim *s, struct inw_day_trial *t, struct inw_mover *m, double dt, double *joined)
{
	struct meetings meet;
	struct inw_two two = {0};
	double error = 0, all = 0;

	meet_everywhere(s, t, m->zones, dt, &meet);
	memset(joined, 0, sizeof(double) * INW_MAX_ZONES);
	for (int b = 0; b < s->bins; b++) {
		const int which = b % 2;
		if (which == 0) {
			for (int i = 0; i < 2; i++) {
				const int size = b + i < s->bins ? b + i : b; /* the odd one twice */
				set_out(s, &meet, size, &two, i);
				two.from[i] = &s->bin[size];
				two.to[i] = &t->bin[size];
			}
			inw_mover_step(m, dt, &two);
		}
		const double scale = inw_mover_scale(m, two.source[0][which], &s->bin[b], &t->bin[b]);
		error += two.error[which] / fmax(scale, 1e-300) * t->bin[b].peak; /* sizes weigh by their number */
		all += t->bin[b].peak;
		for (int z = 0; z < m->zones; z++) {
			joined[z] += two.joined[z][which] * s->grid.volume_m3[b];
			for (int k = 0; k < 2; k++)
				t->number[k][z][b] = two.amount[k][z][which] / meet.volume[z];
		}
	}
	return all > 0 ? error / all : 0;
}

/* Particles that meet keep their volume: what the two evaluations differ by is put back in proportion. The share put back. */
static double keep_volume(const struct inw_day_sim *s, struct inw_day_trial *t, int zones, const double *joined)
{
	double most = 0;

	for (int z = 0; z < zones; z++) {
		double volume = 0;
		for (int b = 0; b < s->bins; b++)
			volume += t->bin[b].held[z] * s->grid.volume_m3[b];
		double share = volume > 0 ? joined[z] / volume : 0;
		for (int b = 0; b < s->bins; b++) {
			t->bin[b].merged -= share * t->bin[b].held[z];
			t->bin[b].held[z] *= 1 + share;
		}
		most = fmax(most, fabs(share));
	}
	return most;
}

/* Meeting is of second order in the number: wins and losses are taken at the step's beginning first, then at the stages
 * that this gives; losses within the step stay implicit, so that no size is lost faster than it is there. */
void inw_day_particles_step(const struct inw_day_sim *s, struct inw_day_trial *t, struct inw_mover *m, double dt)
{
	double joined[INW_MAX_ZONES];
	double most = 0, emitted = 0;

	for (int b = 0; b < s->bins; b++)
		emitted = fmax(emitted, fmax(s->bin[b].peak, inw_day_particle_emission(s, b)));
	if (!(emitted > 0))
		return;
	for (int z = 0; z < m->zones; z++)
		for (int b = 0; b < s->bins; b++)
			t->number[0][z][b] = t->number[1][z][b] = s->bin[b].held[z] / inw_zone_volume(&s->sol.m, z);
	double error = step_sizes(s, t, m, dt, joined);
	for (int z = 0; z < m->zones; z++) {
		double total = 0;
		for (int b = 0; b < s->bins; b++)
			total += t->number[1][z][b];
		most = fmax(most, total);
	}
	if (most * 1e-14 * dt > 1e-3) /* the share that may meet; its square, which one evaluation errs by, is next to nothing below this */
		error = step_sizes(s, t, m, dt, joined);
	t->error = fmax(t->error, error);
	t->error = fmax(t->error, keep_volume(s, t, m->zones, joined));
}

/* ---- what the media catch ---- */

static const double unit_density = 1000; /* kg/m3, the convention of Hinds 1999 */

/* Of `caught` particles of one size each medium takes its share in the order in which the air comes to them. */
static void share_out(struct inw_day_sim *s, int bin, double caught)
{
	int n = s->sol.m.stages, backwards = s->sol.s.m_clean >= 0 && s->sol.y[s->sol.s.m_clean] < 0;
	double left = 1, all = 1 - s->bin_pass[bin];

	for (int i = 0; i < n && all > 0; i++) {
		int k = backwards ? n - 1 - i : i;
		if (s->sol.m.stage[k].kind != INW_STAGE_MEDIUM)
			continue;
		s->caught[k][bin] += caught * left * (1 - s->stage_pass[k][bin]) / all;
		left *= s->stage_pass[k][bin];
	}
}

void inw_day_particles_caught(struct inw_day_sim *s, const struct inw_day_trial *t, double dt)
{
	struct inw_values x = {s->x, NULL};
	double dust[2][INW_MAX_STAGES];

	for (int b = 0; b < s->bins; b++)
		share_out(s, b, (t->bin[b].kept - t->bin[b].walls) - (s->bin[b].kept - s->bin[b].walls));
	for (int k = 0; k < 2; k++)
		inw_dust_caught(&t->stage[k], s->d, &x, dust[k]);
	for (int k = 0; k < s->sol.m.stages; k++) {
		const struct inw_medium *medium = &s->d->cleaner.stage[k].medium;
		if (s->sol.m.stage[k].kind != INW_STAGE_MEDIUM)
			continue;
		s->dust_kg[k] += dt * ((1 - INW_SDIRK2_GAMMA) * dust[0][k] + INW_SDIRK2_GAMMA * dust[1][k]);
		s->growth[k] = inw_medium_growth(medium, &x, INW_DUST_M, s->dust_kg[k]);
		for (int b = 0; b < s->bins; b++)
			s->growth[k] += !(s->caught[k][b] > 0) ? 0 : inw_medium_growth(medium, &x, s->grid.diameter_m[b], s->caught[k][b] * s->grid.volume_m3[b] * unit_density);
	}
}

/* On top of what the design says it is loaded with already. */
void inw_day_load_media(struct inw_day_sim *s)
{
	struct inw_values x = {s->x, NULL};

	for (int k = 0; k < s->sol.m.stages; k++)
		if (s->sol.m.stage[k].kind == INW_STAGE_MEDIUM)
			inw_medium_load(&s->sol.m.stage[k], inw_value(&x, s->d->cleaner.stage[k].medium.loading, 1) + s->growth[k]);
}

double inw_day_fume_kg(const struct inw_day_sim *s, int stage)
{
	double volume = 0;

	for (int b = 0; b < s->bins; b++)
		volume += s->caught[stage][b] * s->grid.volume_m3[b];
	return volume * unit_density;
}
