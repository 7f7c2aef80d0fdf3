/* SPDX-License-Identifier: MIT */
/* design.h: one design file, read and completed. Everything is SI.
 *
 * Numbers do not stand in the structs: each is an `inw_q`, an index into `quantity[]`, which knows value, range and
 * provenance. The model is assembled from an array of values with the same indices (best estimates, or one of them
 * moved to the end of its range, or a sample), so ranges need no second copy of the design.
 *
 * Invariants (after a reading without errors):
 *  D1 every inw_q is INW_NONE or a valid index; fields marked `opt` may be INW_NONE, the others never are.
 *  D2 low <= value <= high for every quantity, all finite.
 *  D3 every room, substance, material, job index is valid; room index INW_OUTDOORS stands for the open air.
 *  D4 names within one list are unique.
 * Ownership: the arena owns everything.
 */
#ifndef INW_DESIGN_H
#define INW_DESIGN_H

#include "base/base.h"

typedef int inw_q;
enum { INW_NONE = -1, INW_OUTDOORS = -1, INW_NOWHERE = -2 };

struct inw_place { int line, column; };

/* ---- the catalog's nouns (also written by users in the design file under `catalog:`) ---- */

/* One vapour pressure law with the temperatures it was fitted for. */
enum inw_vp_form {
	INW_VP_DIPPR101, /* ln p[Pa] = c0 + c1/T + c2 ln T + c3 T^c4 */
	INW_VP_ANTOINE,  /* log10 p[Pa] = c0 - c1/(T + c2), T in K */
	INW_VP_POINT     /* one measured pressure c0 [Pa] at c1 [K]; carried to other temperatures by c2 [J/mol] heat of vaporisation */
};
struct inw_vapour_pressure { enum inw_vp_form form; double c[5]; double T_low_K, T_high_K; const char *source; enum inw_basis basis; };

enum inw_limit_kind {
	INW_LIMIT_WORK_8H, INW_LIMIT_WORK_15MIN, INW_LIMIT_WORK_CEILING,   /* occupational */
	INW_LIMIT_HOME_1H, INW_LIMIT_HOME_8H, INW_LIMIT_HOME_24H, INW_LIMIT_HOME_LONG /* public, residential */
};
struct inw_limit { enum inw_limit_kind kind; inw_q value; /* kg/m3 */ const char *body; /* who set it */ const char *effect; /* "" or the effect group of the mixture rule */ };

struct inw_substance {
	const char *name, *title;
	inw_q molar_mass;
	struct inw_vapour_pressure *vp; size_t vp_count; /* all published laws; the cautious one is the most volatile */
	inw_q liquid_density;        /* opt */
	inw_q molar_refraction;      /* opt, m3/mol: affinity by Wood 1994 */
	inw_q diffusivity;           /* at 25 degC, 1 atm */
	inw_q lfl;                   /* opt, volume ratio */
	bool weakly_held;            /* plain carbon hardly holds it at room concentrations */
	struct inw_limit *limits; size_t limit_count;
	const char *note;            /* contradictions of sources, "" for none */
};

enum inw_emission_per { INW_PER_TIME, INW_PER_MASS };
struct inw_emission {
	int substance;
	enum inw_emission_per per;
	inw_q rate;                  /* kg/s or kg/kg: median, low and high are the 5 % and 95 % points */
	int studies;                 /* how many published studies; 0: unknown, a guess with a wide range */
};
struct inw_material {
	const char *name, *title, *process; /* process: printing, soldering, laser cutting, resin printing, solvent */
	inw_q chamber_low, chamber_high;    /* opt: band of chamber temperature it wants */
	inw_q plate;                        /* opt: plate temperature */
	inw_q nozzle;                       /* opt */
	struct inw_emission *gases; size_t gas_count;
	enum inw_emission_per particles_per;
	inw_q particles;                    /* particles per s, or per kg of material; median, 5 %, 95 % */
	int particle_studies;
	inw_q particle_diameter;            /* count median */
	inw_q particle_spread;              /* geometric standard deviation of the sizes */
	inw_q burst_gas, burst_particles;   /* emission while heating up over that of the running job (1: no burst) */
	inw_q burst_time;                   /* s, how long the burst lasts from switching on */
	inw_q afterglow, afterglow_time;    /* share of the running job's gas rate that the warm part gives off right after it, and
	                                       the time constant (s) with which that dies away */
	const char *note;
};

struct inw_medium_class {               /* a rated class of fibrous medium */
	const char *name, *title;
	inw_q efficiency;                   /* at the worst size, at the rated velocity */
	inw_q worst_size;                   /* m, the most penetrating size at the rated velocity */
	inw_q rated_velocity;               /* m/s through the medium */
	inw_q rated_dp;                     /* Pa, clean, at the rated velocity */
	inw_q final_ratio;                  /* loaded over clean resistance at which it is changed */
};
/* What a carbon has been measured to hold of one substance alone, from point to point more. */
enum { INW_MEASURED_MOST = 24 };
struct inw_measured {
	int substance;
	inw_q temperature;
	double p_Pa[INW_MEASURED_MOST], loading[INW_MEASURED_MOST] /* kg/kg */; size_t points;
};
struct inw_carbon {
	const char *name, *title;
	inw_q granule;                      /* m, mean */
	inw_q sphericity, voidage, bulk_density, micropore_volume /* m3/kg */, structure /* b' of Wood 1994, mol2 cm3.. see catalog */;
	inw_q water_half;                   /* relative humidity at which water alone fills half of the micropores */
	inw_q water_sites;                  /* share of them that the first water molecules hold on to */
	struct inw_measured *measured; size_t measureds; /* in place of Dubinin and Radushkevich; each of another substance */
};
struct inw_panel_material { const char *name, *title; inw_q conductivity, emissivity, density /* kg/m3 */, heat /* J/(kg K) */; };
struct inw_multiwall { const char *name, *title; inw_q thickness, resistance, emissivity, weight /* kg/m2 */, heat /* J/(kg K) */; }; /* a sheet known by its resistance */
struct inw_blower_class {
	const char *name, *title;
	inw_q *flow, *rise; size_t points;  /* curve at rated speed and reference density, from zero flow to zero rise */
	inw_q flow_factor, rise_factor;     /* 1, with the spread of the whole curve: points of one wheel vary together */
	inw_q density;                      /* reference, kg/m3 */
	inw_q power;                        /* W electrical at rated speed and best point */
	inw_q idle_power;                   /* W, electronics' floor under speed control */
	inw_q sound;                        /* opt, dB(A) at 1 m at rated speed */
	bool forward_curved;
};
struct inw_appliance_kind { const char *name, *title; inw_q limit; /* Pa of depressurisation; judged at its low end */ };
/* What a cheap test sees of a box while the first job runs as designed. */
enum inw_sight { INW_SEES_BOX_T, INW_SEES_GAP_FLOW /* gaps alone, box drawn 10 Pa down */, INW_SEES_INWARD /* only whether air goes in or out */,
	INW_SEES_BOX_CLEARING, INW_SEES_ROOM_AIR, INW_SEES_CARBON, INW_SEES_CLEANER_FLOW, INW_SEES_PARTICLE_PASS, INW_SEES_ROOM_PARTICLES, INW_SEES_POWER,
	INW_SEES_SOUND, INW_SIGHTS };
struct inw_test {
	const char *name, *title, *how, *cost;
	int observes;                       /* enum inw_sight */
	inw_q accuracy;                     /* standard deviation: K, Pa or dB, of all else a share of what is read */
};

struct inw_catalog {
	struct inw_substance *substance; size_t substances;
	struct inw_material *material; size_t materials;
	struct inw_medium_class *medium; size_t mediums;
	struct inw_carbon *carbon; size_t carbons;
	struct inw_panel_material *panel; size_t panels;
	struct inw_multiwall *multiwall; size_t multiwalls;
	struct inw_blower_class *blower; size_t blowers;
	struct inw_appliance_kind *appliance; size_t appliances;
	struct inw_test *test; size_t tests;
	/* single defaults and limits of `catalog/defaults.yaml` become quantities of the design under their own names */
};

/* ---- the design's nouns ---- */

struct inw_site { inw_q pressure, T_out, rh_out, gust; };

struct inw_appliance { int kind; inw_q limit; struct inw_place place; };
struct inw_room {
	const char *name;
	inw_q floor, height;       /* m2, m */
	bool T_held;
	bool T_assumed;            /* held, but nobody said so: heated to T and never cooled */
	inw_q T;                   /* held temperature, or starting guess when free */
	inw_q rh;                  /* relative humidity of the room air */
	inw_q heat_loss;           /* W/K to outdoors, other than by air (used when free and for heating cost) */
	inw_q air_changes;         /* 1/s, balanced exchange with outdoors (windows, a fan both ways, wind) */
	inw_q leak_C, leak_n;      /* m3/s at 1 Pa; exponent: what answers to pressure */
	inw_q capacity;            /* J/K of air, furniture and the inner skin of the walls; used when its temperature is free */
	inw_q absorption;          /* mean sound absorption of its surfaces, 0..1 */
	inw_q particles_in;        /* opt */
	inw_q dust;                /* kg/m3 of suspended dust that its air carries into the box (default) */
	struct inw_appliance *appliance; size_t appliances;
	struct inw_place place;
};
/* An opening between two rooms or a room and outdoors: a doorway, a window, the gap under a door. */
struct inw_doorway {
	const char *name;
	int a, b;
	inw_q width, height, sill, cd;
	inw_q shut;                /* height of what stays open once it is shut */
	bool fixed;                /* can be neither shut nor opened: an arch, a grille */
	bool low;                  /* written as the gap that a shut door leaves */
	bool to_flue, to_people;   /* lies on the shortest way from the air of the box to a room with a flue; with people */
	struct inw_place place;
};

static inline bool inw_is_window(const struct inw_doorway *o) { return o->a == INW_OUTDOORS || o->b == INW_OUTDOORS; }

enum inw_person_kind { INW_WORKER, INW_RESIDENT };
struct inw_stay { int room; inw_q from, to; bool at_box; /* works at the box: breathes the air close by it */ };
struct inw_person { const char *name; enum inw_person_kind kind; struct inw_stay *stay; size_t stays; struct inw_place place; };

enum inw_face { INW_TOP, INW_BOTTOM, INW_FRONT, INW_BACK, INW_LEFT, INW_RIGHT, INW_FACES };
struct inw_panel {
	const char *material;
	inw_q thickness;           /* opt when the record gives a resistance */
	inw_q resistance;          /* m2 K/W of the sheet itself; value derived from thickness and conductivity when those are given:
	                              then `resistance` is INW_NONE and the two below are set */
	inw_q conductivity;        /* opt */
	inw_q insulation_thickness, insulation_conductivity; /* opt second layer */
	inw_q weight;              /* kg/m2 of the sheet, derived from density and thickness or given by the record */
	inw_q heat;                /* J/(kg K) */
	inw_q emissivity;
	struct inw_place place;
};

enum inw_gap_kind {
	INW_GAP_CRACK,   /* long and narrow: length, width, depth, bends */
	INW_GAP_HOLE,    /* round and sharp: diameter, count */
	INW_GAP_OPENING, /* tall and wide: opening_width, rise; two-way flow */
	INW_GAP_MEASURED /* power law C, n */
};
struct inw_gap {
	const char *name;
	enum inw_gap_kind kind;
	enum inw_face face;
	int room;                  /* beyond it; INW_OUTDOORS allowed */
	inw_q height;              /* of its lower edge above the inside floor of the box */
	inw_q rise;                /* vertical extent; 0 for level cracks and holes; of an upright hole its diameter */
	inw_q length, width, depth, bends;      /* crack (width is the gap itself) */
	inw_q diameter, count, cd;              /* hole; cd also for openings */
	inw_q opening_width;                    /* opening */
	inw_q C, n;                             /* measured: m3/s at 1 Pa */
	struct inw_place place;
};

struct inw_box {
	int room;                  /* where it stands */
	bool planned;              /* it is not built: its gaps are aims */
	inw_q width, depth, height;/* inside */
	inw_q stand;               /* height of its inside floor above the room's floor */
	struct inw_panel panel[INW_FACES];
	struct inw_gap *gap; size_t gaps;
	bool has_door; inw_q door_width, door_height, door_sill /* above the inside floor */; enum inw_face door_face; /* opt quantities when has_door is false */
	inw_q stirring;            /* m/s, air speed along the inside of the panels */
	inw_q near_radius, near_speed; /* opt: of the air around whoever works at it, m and m/s; read when somebody does */
	inw_q convection;          /* real heat transfer at the panels over that of the law: 1, its range is the law's own doubt */
	struct inw_place place;
};

struct inw_duct { /* a run of round duct with fittings; length 0 for none */
	inw_q diameter, length, roughness, stretch /* factor on friction for a compressed hose, 1 = stretched */, loss /* sum of K */, insulation /* m2 K/W */;
	int room;                  /* whose air surrounds it */
	struct inw_place place;
};

struct inw_medium {
	int klass;                 /* catalog */
	inw_q efficiency, worst_size, rated_velocity, rated_dp, final_ratio;
	inw_q area;                /* m2 of medium, pleats unfolded */
	inw_q frame_area;          /* opt: face of the frame, for the entry loss into pleats */
	inw_q seal_length, seal_width, seal_depth; /* the leak past it; width 0 = none */
	inw_q loading;             /* resistance now over clean, 1 = clean */
	inw_q cake_porosity;       /* of what it catches, lying on it: 0 .. 1 (default) */
};
struct inw_bed {
	int carbon;
	inw_q area;                /* m2 across the flow; derived from diameter or sides */
	inw_q diameter;            /* opt: m, for the wall term (hydraulic diameter when sides are given) */
	inw_q depth, granule, sphericity, voidage, bulk_density, micropore_volume, structure, water_half, water_sites;
	inw_q mass;                /* kg, given or derived */
	inw_q screens;             /* number of retaining screens */
	inw_q screen_open;         /* open area of each, 0..1 */
	inw_q seal_length, seal_width, seal_depth;
	inw_q capacity_factor;     /* real capacity over that of the law: 1, its range is the law's own doubt (default) */
	inw_q rate_factor;         /* the same for the rate coefficient (default) */
	struct inw_measured *measured; size_t measureds; /* of the stage, else of the record */
	bool impregnated;          /* for light aldehydes; then weakly held substances count as held in part: not modelled, said so */
};
struct inw_blower {
	inw_q *flow, *rise; size_t points;
	inw_q flow_factor, rise_factor; /* as in inw_blower_class: multiply the points' flow and rise */
	inw_q density, power, idle_power, sound, speed /* fraction of rated */, speed_low /* factor on it in the worst state */;
	bool forward_curved, motor_in_air;
};
struct inw_stage { const char *name; enum inw_stage_kind kind; struct inw_medium medium; struct inw_bed bed; struct inw_blower blower; struct inw_place place; };

enum inw_split_kind { INW_SPLIT_FLAP, INW_SPLIT_FIXED, INW_SPLIT_TEE };
struct inw_cleaner {
	bool present;
	inw_q inlet_height;
	inw_q capacity;            /* J/K of housing and stages without the carbon */
	inw_q carbon_heat;         /* J/(kg K) of the carbon */
	inw_q casing;              /* W/K from the casing of blower and stages to the room around it (default) */
	struct inw_duct inlet, ret, exhaust;
	struct inw_stage *stage; size_t stages;
	enum inw_split_kind split;
	inw_q position;            /* flap: 0 all returned .. 1 all sent out */
	inw_q flap_diameter, seat_leak; /* seat_leak: open area left when shut, fraction of the port */
	inw_q share;               /* fixed: exhaust over total */
	bool has_return, has_exhaust;
	inw_q return_height;
	int exhaust_to;            /* room index, INW_OUTDOORS or INW_NOWHERE (then has_exhaust is false) */
	inw_q exhaust_height;      /* above the room floor */
	struct inw_place place;
};

struct inw_heat {
	inw_q plate_width, plate_depth, plate_emissivity;
	inw_q plate_power;         /* W, what its heater can give */
	inw_q plate_capacity;      /* J/K */
	inw_q contents;            /* J/K of the machine that stands in the box */
	inw_q contents_exchange;   /* W/K between it and the box air */
	inw_q plate_share_below;   /* 0..1 of the top's convection that the underside adds */
	inw_q hot_end, electronics;/* W released in the box while the job runs */
	inw_q heater_power;        /* W chamber heater's ceiling, 0 = none */
	inw_q heater_target;       /* opt, K */
};

struct inw_job {
	const char *name;
	int material;
	inw_q rate;                /* kg/s of material */
	inw_q duration, start;     /* s; clock */
	unsigned char days;        /* on which it starts: bit 0 Monday .. bit 6 Sunday */
	inw_q plate;               /* opt K */
	inw_q chamber_low, chamber_high; /* opt */
	struct inw_place place;
};

/* What is required. Each has a default with a source; the user may override; INW_NONE = no limit unless written. */
struct inw_require {
	inw_q inward_pressure;     /* Pa at the worst gap */
	inw_q inward_velocity;     /* m/s, at seams and holes */
	inw_q face_velocity;       /* m/s, mean over an opening */
	inw_q particle_removal, gas_removal; /* fraction per pass */
	inw_q residence_time;      /* s */
	inw_q carbon_life;         /* s of use */
	inw_q seal_bypass;         /* fraction of flow past a stage */
	inw_q stall_margin;        /* operating flow over flow at the curve's peak, less 1 */
	inw_q lfl_fraction;
	inw_q noise;               /* dB(A) at the listener; opt */
	inw_q noise_distance;      /* m from blower to the nearest ear */
	inw_q purge_time;          /* s; opt */
	inw_q mixing;              /* how many times longer a real box takes than a perfectly mixed one (default) */
	inw_q purge_fraction;      /* of the starting concentration at which the door may be opened */
	inw_q power;               /* W; opt */
	inw_q heating;             /* W; opt */
	inw_q particles_work, particles_home; /* particles per m3 */
	inw_q humidity;            /* relative humidity at the bed, at most */
	inw_q bed_T;               /* K, at most */
};

enum { INW_EVERY_DAY = 0x7f };

/* What happens in a day beside the jobs. */
enum inw_doing_kind { INW_DO_DOOR /* the box's door stands open */, INW_DO_FLAP, INW_DO_SPEED, INW_DO_WINDOW /* a doorway's width */, INW_DO_HEATER /* target */ };
struct inw_doing {
	enum inw_doing_kind kind;
	inw_q at;                  /* clock */
	unsigned char days;        /* on which it is done, as of a job */
	inw_q lasts;               /* opt, s: then back to what it was; without it the change stays */
	inw_q to;                  /* new value: position, speed, width, temperature; INW_NONE for the door */
	int doorway;               /* INW_DO_WINDOW: which */
	struct inw_place place;
};
struct inw_weather { inw_q at, T; };
enum inw_day_begins {
	INW_BEGINS_AS_SAID,        /* the file says when */
	INW_BEGINS_WHOLE,          /* chosen: nothing is cut (see day_begins.c) */
	INW_BEGINS_CUT             /* chosen, but something is cut whenever it begins */
};
/* Into how many sizes a day sorts particles. */
enum { INW_SIZES_LEAST = 2, INW_SIZES_MOST = 64, INW_SIZES_USUAL = 32 };
struct inw_day {
	inw_q start, span;         /* clock; s */
	enum inw_day_begins begins;
	int weekday;               /* on which it starts: 0 Monday .. 6 Sunday */
	bool weekday_said;         /* else chosen as one on which jobs run */
	struct inw_weather *weather; size_t weathers; /* outdoor temperature through the day, straight lines between; none: constant */
	struct inw_doing *doing; size_t doings;
	int particle_sizes;
};

/* What it costs to run, and how far ahead to look. Prices are in whatever money they are written in. */
struct inw_upkeep {
	inw_q horizon;             /* s: the carbon is followed no longer */
	inw_q carbon, medium;      /* opt: per kg; per piece */
	inw_q electricity, heating; /* opt: per J */
};

/* ---- what may be chosen (`choose:`) ---- */

/* Numbers that are read from one place of the file: a sheet of all six panels is written once. They move together; a range
 * that was written is kept in proportion (of temperatures: as wide as it is). */
enum { INW_MOST_FREE = 16, INW_MOST_CHOICES = 8, INW_MOST_RECORDS = 16, INW_MOST_PRICES = 32, INW_MOST_TOGETHER = 8, INW_MOST_WITHOUT = 32 };
struct inw_free {
	inw_q q[INW_MOST_TOGETHER]; size_t qs;
	double from, to;           /* SI */
	double price;              /* money per SI unit of it; 0: none */
	double halving;            /* money each time it is halved from what is written: closing a gap; 0: none */
	const char *written;       /* the scalar as it stands */
	struct inw_place place;    /* of the scalar */
};
struct inw_choice {
	const char *what;          /* path of the word */
	const char *now;           /* the word as it stands */
	const char *word[INW_MOST_RECORDS]; double price[INW_MOST_RECORDS]; size_t count;
	inw_q per;                 /* what the prices are per SI unit of; INW_NONE: per piece */
	struct inw_place place;    /* of the word in the file */
};
struct inw_price { inw_q of; double price; };
enum inw_aim { INW_AIM_MONEY, INW_AIM_NOISE, INW_AIM_CLEANER, INW_AIM_BOX, INW_AIM_HEAT, INW_AIM_CARBON, INW_AIMS };
struct inw_without { const char *id; struct inw_place place; };
struct inw_wishes {
	bool present;
	struct inw_place place;
	double sure;               /* with what probability each requirement is to hold */
	double years;              /* of running that money counts */
	enum inw_aim aim[INW_AIMS]; size_t aims; /* what is to be small, the most important first */
	struct inw_without without[INW_MOST_WITHOUT]; size_t withouts; /* requirements that may be left out */
	struct inw_free free[INW_MOST_FREE]; size_t frees;
	struct inw_choice choice[INW_MOST_CHOICES]; size_t choices;
	struct inw_price price[INW_MOST_PRICES]; size_t prices;
};

/* How one quantity follows from others: kept, so that a moved input carries along what was worked out from it. In the
 * order of making, so that one pass settles all. */
enum { INW_DEPENDS_ON = 6 };
struct inw_dependence { inw_q to; double (*f)(const double *x); inw_q from[INW_DEPENDS_ON]; size_t count; };

struct inw_design {
	struct inw_arena *arena;
	const char *title, *file;
	struct inw_quantity *quantity; size_t quantities;
	struct inw_dependence *dependence; size_t dependences;
	struct inw_catalog catalog;
	struct inw_site site;
	struct inw_room *room; size_t rooms;
	struct inw_doorway *doorway; size_t doorways;
	struct inw_person *person; size_t persons;
	struct inw_box box;
	struct inw_cleaner cleaner;
	struct inw_heat heat;
	struct inw_job *job; size_t jobs;
	struct inw_require require;
	struct inw_day day;
	struct inw_upkeep upkeep;
	struct inw_wishes wishes;
	const char *bytes; size_t length; /* what was read */
	const char *catalog_dir;          /* of the options it was read with; NULL: the built-in catalog */
};

/* Times in s since the day's start: when the job begins next, not before `from`; the weekday of t, 0 Monday. */
double inw_day_next_run(const struct inw_design *d, const double *x, const struct inw_job *job, double from);
int inw_day_weekday(const struct inw_design *d, const double *x, double t);

/* Work out anew in `x` whatever follows from other quantities, except the `kept` ones. */
void inw_design_follow(const struct inw_design *d, double *x, const inw_q *kept, size_t keeps);

/* A number that is to be read as another one, without a range. */
struct inw_change { const char *path; double value; };
/* Read the design again with these changes: whatever is wrong with them is said as a reading says it. */
enum inw_status inw_design_changed(const struct inw_design *d, const struct inw_change *change, size_t changes,
                                   struct inw_design **out, struct inw_diags *diags) __attribute__((warn_unused_result));
/* The same without reading, for changes that a reading takes: into `quantity`, an array like that of the design, with what
 * follows from them. Paths of `change` are not looked at; `q` says which quantities they are. */
void inw_design_change(const struct inw_design *d, const inw_q *q, const double *value, size_t changes,
                       struct inw_quantity *quantity);

#endif
