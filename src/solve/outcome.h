/* SPDX-License-Identifier: MIT */
/* outcome.h: what follows from the flows and temperatures of one solved state: concentrations, carbon, sound, power.
 *
 * These depend on the flows but no flow depends on them, so each is solved after, exactly: the block below the diagonal
 * of one coupled system. Concentrations are of what the machine adds: outdoor air and what was there before count as zero.
 */
#ifndef INW_OUTCOME_H
#define INW_OUTCOME_H

#include "model/sheet.h"
#include "model/sorbent.h"
#include "solve/steady.h"

/* One substance of the job, with what its way through the cleaner depends on. */
struct inw_gas_outcome {
	int substance;               /* index in the catalog */
	double emission_kgs;
	double pass;                 /* share that one pass lets through, fresh bed */
	double box_kgm3, room_kgm3[INW_MAX_ROOMS], inlet_kgm3; /* inlet: at the bed */
	double spent_kgm3[INW_MAX_ROOMS]; /* the same room with a bed that holds nothing */
	double spent_box_kgm3;
	double used, used_kgm3[INW_MAX_ROOMS]; /* share let through when the bed is as spent as the requirement allows, or as it is after the
	                                          life required where that is more (`outlived`); and the rooms then */
	double late;                 /* share let through when the bed has been used for as long as is required */
	bool outlived;
	int bed;                     /* the stage that the following is of: the first that takes it up; -1 none */
	double p_Pa, psat_Pa;        /* partial pressure at the bed; the cautious saturation pressure there */
	double capacity;             /* kg/kg alone, at that bed's inlet concentration and temperature */
	double rate_1s, rate_other_1s; /* the lower and the higher of the two published rate laws */
	double use_kgs;              /* carbon it takes up from the first bed that holds it */
	double service_s;            /* this substance through the bed, mixture counted */
	bool weak;                   /* plain carbon hardly holds it: pass = 1 is judged */
	bool below_fitted;           /* under 5 ppm at the bed, or under the lowest measured point: the isotherm is carried beyond its data */
	bool measured, above_measured; /* by points in place of the law; beyond the last */
	bool vp_out_of_range;
};

/* Where in the cleaner, when it is no stage's inlet side (0, 1, ...). */
enum inw_part { INW_PART_INLET = -4 /* duct */, INW_PART_OUTLET /* behind all stages */, INW_PART_RETURN, INW_PART_EXHAUST };

/* How far the room stands above the air in housing and ducts of the cleaner. */
struct inw_joints {
	double stage_Pa[INW_MAX_STAGES]; /* before each stage */
	double least_Pa;             /* of all that holds air not yet cleaned; NaN: nothing does */
	int part;                    /* where that is: a stage, or an enum inw_part */
	bool leak;                   /* below zero behind the inlet duct, which is the box's own pressure */
};

struct inw_outcome {
	double gap_least_Pa[INW_MAX_GAPS], gap_velocity_ms[INW_MAX_GAPS]; /* where the inward pressure is least; NaN velocity when the area is unknown */
	int worst_gap, worst_velocity_gap; /* -1 when there is none; openings are judged by their face speed and edges instead */
	double edge_Pa; int edge_gap; /* least inward pressure at an edge of an opening, and of which; NaN and -1 when there is none */
	double face_ms;              /* least mean inward speed of an opening, NaN when there is none */
	double inward_Pa, inward_ms; /* at the worst gap, gust allowance taken off the pressure when the state says so; the speed
	                                counted over a path of 3 mm */
	double escape_m3s;           /* out of the box through gaps */
	struct inw_joints cleaner;
	double cleaner_Pa;           /* its least, gust taken off */
	double room_p_Pa[INW_MAX_ROOMS]; /* at mid-height against outdoors */
	double particle_pass, box_particles_m3, room_particles_m3[INW_MAX_ROOMS], particle_emission_s;
	double particle_kept;        /* share of what is emitted that stays in box and cleaner */
	int gases;
	int bed, medium, blower;     /* stage indices of the (last) such, -1 none */
	double granules_deep;        /* see inw_granules_deep */
	double residence_s, bed_velocity_ms, bed_T_K, uptake_K, bed_rh, carbon_kg, life_s; int life_gas;
	double medium_velocity_ms, bypass; int bypass_stage;
	bool no_fibre;               /* a medium's rated worst size is that of no fibre: all sizes count as passing like it */
	double clean_m3s, share_out, operating_Pa, peak_margin; /* flow over the flow of highest rise, less 1; INFINITY when the curve only falls */
	double delivery;             /* least flow of a blower over its free delivery at its speed */
	double lfl_fraction; bool lfl_unknown, lfl_saturated; /* of some gas there would be more than air can hold */
	double sound_dB;
	double power_W, blower_W, plate_W, heating_W;
	double removal_1s, gas_removal_1s; /* of box air, source off: particles; the slowest gas, carbon as `used` */
	double dew_margin_K;         /* end of the exhaust duct above the dew point of the air in it; INFINITY without exhaust */
	double air_changes_1s;       /* cleaned air over box volume */
	struct inw_gas_outcome gas[INW_MAX_GASES]; /* as many as there are; what is beyond them is anything */
};

/* Needs a converged solution. */
void inw_outcome(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job, const struct inw_state *state);
/* The same in parts, where not all of it is wanted: first what the air does, all else zero or NaN; then sound, power and dew, and what
 * it carries, each of which looks only at the first. How fast the box clears (removal_1s, gas_removal_1s) needs both and only comes with the whole. */
void inw_outcome_air(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, const struct inw_state *state);
void inw_outcome_aside(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x);
void inw_outcome_particles(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job);
/* Without `used` not how long the carbon lasts, nor the rooms behind it by then. */
void inw_outcome_gases(struct inw_outcome *o, const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job, bool used);

/* How the cleaner's housing and ducts stand against the rooms. */
struct inw_joints inw_cleaner_joints(const struct inw_solution *sol);
/* Speed v through a gap as it counts against the required one, which is stated for a path of 3 mm. */
double inw_counted_speed_ms(const struct inw_model_gap *g, double v);
/* Mean speed over opening `gap` of the model: what comes in less what goes out, on its area. m/s. */
double inw_face_speed_ms(const struct inw_solution *sol, int gap);
/* What goes through a particle stage's medium now. */
struct inw_sheet_flow inw_medium_flow(const struct inw_solution *sol, int stage);
/* How many granules deep the shallowest bed is; INFINITY without any. The laws of carbon take it that air passes a bed evenly
 * (plug flow): below INW_GRANULES_DEEP they say nothing. From Peclet number 20 of the bed on (src/physics/transfer.c) with a
 * spread of half a granule times the speed (memory); ten granules are common practice too, no source. */
#define INW_GRANULES_DEEP 10
extern const char inw_shallow_bed[]; /* why, for people */
double inw_granules_deep(const struct inw_design *d, const struct inw_values *x);
/* A carbon stage as it is now: what a bed resolved in depth needs of the flows. */
struct inw_bed_now {
	double area, depth, granule, voidage, mass, bulk, W0, structure, T, p, nu, velocity, q, factor, rate_factor, bypass;
	double vapour_Pa;            /* of water, in the air that comes */
	double water_half, water_sites;
	double rho, humidity_ratio;  /* of that air */
	double heat_JK;              /* of the carbon */
	double stage;                /* its place in the cleaner: a number like all here, since states are averaged as numbers */
};
struct inw_bed_now inw_bed_now(const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, int stage);
/* What was measured of a gas on that carbon, as sorbent.h takes it; `n` 0: nothing. */
struct inw_sorbate_points inw_bed_measured(const struct inw_bed_now *b, const struct inw_design *d, const struct inw_values *x, int substance);
/* How fast a fresh bed takes a gas up (1/s, the slower of the published laws, at 0.1 % breakthrough) and the saturation
 * pressure there. C: kg/m3 at the bed. */
void inw_bed_rate(const struct inw_bed_now *b, const struct inw_design *d, const struct inw_values *x, int substance, double C, double *rate_1s, double *psat_Pa);
/* Heat that a gas sets free on carbon, J/kg: heat of vaporisation times the ratio of adsorption to it. */
double inw_uptake_heat_Jkg(const struct inw_substance *s, double molar_mass_kgmol, double T_K);
/* Heat of the room air that is drawn outdoors and must be warmed anew, W. */
double inw_heating_W(const struct inw_solution *sol);
/* Volume of box air per second that the walls clear of particles of one size. */
double inw_box_deposition_m3s(const struct inw_solution *sol, double diameter);
/* Share of a gas that the fresh train lets through at concentration C, kg/m3. */
double inw_fresh_pass(const struct inw_solution *sol, const struct inw_design *d, const struct inw_values *x, int substance, double C);

/* The most volatile of the published vapour pressure laws at T; out_of_range says that T is outside its data. */
double inw_cautious_vapour_pressure_Pa(const struct inw_substance *s, double T_K, bool *out_of_range);

#endif
