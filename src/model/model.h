/* SPDX-License-Identifier: MIT */
/* model.h: one box in one state as numbers, and the equations that hold for it.
 *
 * `inw_model_build` turns a design, an array of values (same indices as design->quantity) and a state into plain numbers.
 * `inw_model_residual` gives the residual of every balance and its Jacobian at a state vector. No method is chosen here.
 *
 * Heights are above the floor of the rooms. The pressure of a zone is its gauge pressure at height 0 (for the box: at its
 * inside floor), against outdoor air at height 0; inside a zone it falls with the zone's own density. A gap's pressure
 * difference is positive when the air outside pushes in.
 *
 * Invariants:
 *  M1 every unknown has exactly one slot and every slot one equation (faces that are alike share theirs);
 *     `inw_model_slots` alone defines the order.
 *  M2 the sum of the mass residuals over box, rooms and junction is the net flow from outdoors.
 *  M3 the Jacobian is the exact derivative of the residual (tested against differences).
 *  M4 every conductance is finite at zero flow.
 */
#ifndef INW_MODEL_H
#define INW_MODEL_H

#include "base/sparse.h"
#include "design/design.h"
#include "physics/flow.h"

enum { INW_MAX_ROOMS = 12, INW_MAX_GAPS = 64, INW_MAX_STAGES = 12, INW_MAX_DOORWAYS = 24, INW_MAX_GASES = 16, INW_MAX_UNKNOWNS = INW_SPARSE_ROWS };

#define INW_PI 3.14159265358979323846
#define INW_GRAVITY 9.80665 /* m/s2, standard (3rd CGPM 1901), exact */

/* Values of the design's quantities, and which of them were read (NULL: do not care): for what they do, or only for what
 * they would do in time. */
enum { INW_READ = 1, INW_READ_FOR_TIME = 2 };
struct inw_values { const double *x; unsigned char *touched; };

static inline double inw_value(const struct inw_values *v, inw_q q, double absent)
{
	if (q < 0)
		return absent;
	if (v->touched)
		v->touched[q] |= INW_READ;
	return v->x[q];
}

/* How doors between rooms stand, and windows: shut but in the first two. */
enum inw_doors { INW_DOORS_AS_WRITTEN, INW_DOORS_OPEN, INW_DOORS_SHUT,
	INW_DOORS_TO_FLUES, INW_DOORS_TO_PEOPLE /* open on the way from the box there, the others shut */ };
/* And one of them then: a window is opened by nobody, what is fixed stays as it is, and what is written low is shut already. */
enum inw_door { INW_DOOR_AS_WRITTEN, INW_DOOR_OPEN, INW_DOOR_SHUT };
enum inw_door inw_door_stands(const struct inw_doorway *o, enum inw_doors doors);

/* What a state changes against the design as written. */
struct inw_state {
	const char *name;
	double speed_factor;       /* on the blower's speed */
	bool loaded;               /* particle stage at its final resistance */
	bool hottest;              /* machine heat at the high end of its range */
	bool low_blower;           /* blower at its stated low */
	bool new_medium;           /* particle stage clean, whatever its stated loading */
	enum inw_doors doors;
	bool storing;              /* in time: plate and machine have temperatures of their own (see inw_model_capacity) */
	bool idle;                 /* machine switched off */
	bool door_open;
	bool gust;                 /* subtract the pressure allowance from every gap's inward pressure */
};

enum inw_plate_mode { INW_PLATE_HOLDS, INW_PLATE_FULL, INW_PLATE_OFF };
enum inw_heater_mode { INW_HEATER_OFF, INW_HEATER_FULL, INW_HEATER_HOLDS };

struct inw_air { double rho, drho_dT, mu, dmu_dT; };

struct inw_model_room {
	bool held; double T;                        /* held temperature or first guess */
	bool assumed;                               /* heated to T, never cooled: the solver says whether it is held */
	double volume, floor, height, humidity_ratio;
	double heat_loss, exchange_kgs, capacity;   /* W/K; balanced exchange with outdoors; J/K */
	double leak_C, leak_n;
	bool pinned;                                /* no way for air to reach outdoors: pressure pinned, said in notes */
};
struct inw_model_gap {
	enum inw_gap_kind kind;
	int room;
	double z, rise;                             /* above the box floor */
	struct inw_resistance r;                    /* crack, hole: whole */
	double depth;                               /* crack: path through it */
	double width, cd;                           /* opening */
	double C, n;                                /* measured */
	double area;                                /* clear area, 0 for measured */
};
struct inw_model_doorway { int a, b; double width, rise, sill, cd; };
struct inw_model_duct { bool present; double diameter, length, roughness, stretch, insulation; struct inw_resistance fittings; int room; };
struct inw_model_stage {
	enum inw_stage_kind kind;
	struct inw_resistance r;                    /* medium, bed with screens */
	bool has_bypass; struct inw_resistance seal;
	struct inw_blower_curve curve; double speed, power, idle; bool motor_in_air;
	/* for what follows from the flows */
	double area, depth;
	double loading, clean_lin;                  /* medium: resistance over clean, and the linear part of the clean one, 1/m3 */
};
struct inw_model_panel { bool present; int like /* the first face of the same sheet, size and attitude: it has the same temperatures */, alike /* faces like this one; 0 but on the first */, facing_in; double area, length, run /* of the stirred air along it */, resistance, emissivity_out, exchange_in, capacity /* J/K */; };

struct inw_model {
	double p_site, T_out, w_out, gust;
	struct inw_model_room room[INW_MAX_ROOMS]; int rooms;
	struct inw_model_doorway doorway[INW_MAX_DOORWAYS]; int doorways;
	int box_room; double box_w, box_d, box_h, stand, stirring, convection, forced_length, w_box;
	bool box_pinned;
	bool has_cleaner, has_return, has_exhaust, fixed_share;
	double inlet_z, return_z, exhaust_z /* absolute */, share, casing;
	int exhaust_to;
	struct inw_model_duct inlet, ret, exhaust;
	int clean_after;                            /* stage behind which the job's fumes are out of the air; `stages` when none is */
	struct inw_model_panel panel[INW_FACES];
	double plate_area, plate_length, plate_run, plate_T, plate_exchange, plate_below; bool plate_on;
	bool storing; enum inw_plate_mode plate; double plate_power, plate_capacity, contents, contents_exchange, cleaner_capacity;
	double heat_air;                            /* W straight into the box air: hot end, electronics */
	double heater_power, heater_target; enum inw_heater_mode heater;
	int stages, gaps;
	/* as many as there are; what is beyond them is anything */
	struct inw_model_stage stage[INW_MAX_STAGES];
	struct inw_model_gap gap[INW_MAX_GAPS]; int gap_of[INW_MAX_GAPS]; /* index in the design: gaps of no width are left out */
};

/* Where each unknown stands in the state vector; -1 when the model has no such unknown. */
struct inw_slots {
	int p_box, p_room[INW_MAX_ROOMS], p_junction;
	int m_clean, m_return, m_exhaust, m_bypass[INW_MAX_STAGES];
	int T_box, T_room[INW_MAX_ROOMS], T_in, T_junction, T_return, T_exhaust, T_star;
	int T_plate, T_contents;                     /* only when storing */
	int T_skin[3];                              /* of inlet, return and exhaust duct */
	int T_panel_in[INW_FACES], T_panel_out[INW_FACES];
	int n;
};

/* What the equations computed on the way, for results. */
struct inw_flows {
	double gap_in[INW_MAX_GAPS], gap_out[INW_MAX_GAPS];             /* kg/s */
	double gap_dp_bottom[INW_MAX_GAPS], gap_dp_top[INW_MAX_GAPS];
	double door_ab[INW_MAX_DOORWAYS], door_ba[INW_MAX_DOORWAYS];
	double leak_in[INW_MAX_ROOMS], leak_out[INW_MAX_ROOMS];         /* kg/s from and to outdoors */
	double stage_dp[INW_MAX_STAGES];                                /* loss; rise for a blower */
	/* up to here what the air does, from here heat (inw_model_air_alone) */
	double blower_heat, blower_power;
	double plate_W, plate_convection_W, contents_W /* into the box air */, heater_W, panel_W[INW_FACES], panels_in_W, duct_W[3], casing_W;
	double room_heater_W[INW_MAX_ROOMS];
	double outdoors_W;                                              /* heat that ends outdoors: with the sources it closes the balance */
	double throttle_Pa;                                             /* fixed share: what the balancing throttle must take */
};

/* 0, or -1 with a static sentence in `why` when the design is beyond what the model holds (too many gaps, ...). */
int inw_model_build(struct inw_model *m, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job,
                    const struct inw_state *state, const char **why) __attribute__((warn_unused_result));
/* A model that was built in one state, for the same values in another. Only for states that are alike in `storing`, `idle` and `door_open`. */
void inw_model_restate(struct inw_model *m, const struct inw_design *d, const struct inw_values *x, const struct inw_job *job, const struct inw_state *state);
void inw_model_slots(const struct inw_model *m, struct inw_slots *s);
/* Values of unknowns that two models share, from one order to another. */
void inw_model_carry_over(const struct inw_slots *to, double *y, const struct inw_slots *from, const double *was);
void inw_model_guess(const struct inw_model *m, const struct inw_slots *s, double *y);
/* The flows past the stages' seals that belong to the rest of y: a better start where that is foretold. */
void inw_model_seals(const struct inw_model *m, const struct inw_slots *s, double *y);
/* Natural size of each unknown and of each equation, for scaling. */
void inw_model_scales(const struct inw_model *m, const struct inw_slots *s, double *unknown, double *equation);
/* residual[n]; jacobian and flows may be NULL. */
void inw_model_residual(const struct inw_model *m, const struct inw_slots *s, const double *y, double *residual,
                        struct inw_sparse *jacobian, struct inw_flows *flows);
/* The same of mass and pressure alone: rows of heat are zero, and what `flows` holds of heat stays as it was. */
void inw_model_air_alone(const struct inw_model *m, const struct inw_slots *s, const double *y, double *residual, struct inw_flows *flows);

/* Heat that each unknown stores, J/K: capacity dy/dt = residual for the rows where it is not zero; the others hold at every
 * instant. Only meaningful for a storing model. */
void inw_model_capacity(const struct inw_model *m, const struct inw_slots *s, const double *y, double *capacity);

struct inw_air inw_model_air(const struct inw_model *m, double T_K, double humidity_ratio);

#endif
