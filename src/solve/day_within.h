/* SPDX-License-Identifier: MIT */
/* day_within.h: what the parts of a day share and nobody else needs. */
#ifndef INW_DAY_WITHIN_H
#define INW_DAY_WITHIN_H

#include "solve/day.h"

/* One step as it is tried. */
struct inw_day_trial {
	struct inw_solution stage[2];
	struct inw_gases gas;
	struct inw_gas_drive drive;
	struct inw_account bin[INW_MAX_BINS];
	double error;
	double number[2][INW_MAX_ZONES][INW_MAX_BINS];  /* per m3, at the stages: what particles meet */
};

/* ---- day_program.c: what is on at a moment, and when that changes ---- */
void inw_day_list_events(struct inw_day_sim *s);
void inw_day_find_job(struct inw_day_sim *s);
void inw_day_apply_doings(struct inw_day_sim *s);
double inw_day_outdoor_T(const struct inw_day_sim *s, double t);
/* 1/s of one size into the box, from this step's beginning. */
double inw_day_particle_emission(const struct inw_day_sim *s, int bin);

/* ---- day_particles.c: sizes, and what becomes of them in a step ---- */
void inw_day_particles_start(struct inw_day_sim *s);
/* What walls and cleaner do to each size now, from the state at the step's beginning. */
void inw_day_particles_now(struct inw_day_sim *s);
/* What the media have caught in an accepted step, and what that adds to their resistance. Before the accounts move on. */
void inw_day_particles_caught(struct inw_day_sim *s, const struct inw_day_trial *t, double dt);
/* The model's media as loaded as they are by now. */
void inw_day_load_media(struct inw_day_sim *s);
/* All sizes through the step; raises t->error. */
void inw_day_particles_step(const struct inw_day_sim *s, struct inw_day_trial *t, struct inw_mover *m, double dt);

#endif
