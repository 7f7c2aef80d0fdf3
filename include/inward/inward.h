/* SPDX-License-Identifier: MIT */
/* inward.h: judge the air system of a boxed machine.
 *
 * One design file goes in (inw_design_read), one report comes out (inw_check): verdicts with number, limit, margin,
 * how sure, and what to change. inw_show_* turn the report into text, JSON or a picture.
 *
 * Ownership: what a function returns through a `**` out-parameter is yours; free it with the function named beside it.
 * Everything reached from inside a design or a report belongs to it. All free functions take NULL.
 * All numbers are SI (kelvin, pascal, m3/s, kg, s) unless a name says otherwise.
 * The library keeps no global state, prints nothing and never exits; use each design from one thread at a time.
 */
#ifndef INWARD_H
#define INWARD_H

#include <stdbool.h>
#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

#define INW_MUST_CHECK __attribute__((warn_unused_result))

#pragma GCC visibility push(default) /* what stands in this file is what the shared library shows */

/* ---- status ---------------------------------------------------------------------------------------------------- */

enum inw_status {
	INW_OK = 0,
	INW_BAD_INPUT,     /* the diagnostics say what and where */
	INW_NO_MEMORY,
	INW_NOT_CONVERGED, /* the numbers are not an answer */
	INW_IO             /* a file could not be read or written */
};

/* ---- trouble with a place -------------------------------------------------------------------------------------- */

enum inw_severity { INW_WARNING, INW_ERROR };

struct inw_diag {
	enum inw_severity severity;
	char *file;   /* as given by the caller */
	int line;     /* from 1; 0 when there is no place */
	int column;   /* from 1; 0 when there is no place */
	char *message;
};

struct inw_diags {
	struct inw_diag *items;
	size_t count, capacity;
	size_t errors;       /* how many of them are INW_ERROR, counting those beyond the ceiling that were dropped */
	bool out_of_memory;
};

void inw_diags_free(struct inw_diags *d);

/* ---- quantities ------------------------------------------------------------------------------------------------ */

/* What a number measures. The table of units that may be written for each is in src/design/units.c. */
enum inw_dim {
	INW_DIM_NONE,          /* a pure number */
	INW_DIM_FRACTION,      /* 0.4 from "40 %" */
	INW_DIM_LENGTH,        /* m */
	INW_DIM_AREA,          /* m2 */
	INW_DIM_VOLUME,        /* m3 */
	INW_DIM_TIME,          /* s */
	INW_DIM_CLOCK,         /* s after midnight, from "22:30" */
	INW_DIM_TEMPERATURE,   /* K, absolute */
	INW_DIM_TEMPERATURE_DIFFERENCE, /* K */
	INW_DIM_PRESSURE,      /* Pa */
	INW_DIM_VOLUME_FLOW,   /* m3/s */
	INW_DIM_VELOCITY,      /* m/s */
	INW_DIM_MASS,          /* kg */
	INW_DIM_MASS_RATE,     /* kg/s */
	INW_DIM_DENSITY,       /* kg/m3 */
	INW_DIM_CONCENTRATION, /* kg/m3 of a substance in air, from "50 ug/m3" */
	INW_DIM_VOLUME_RATIO,  /* 1e-6 from "1 ppm" */
	INW_DIM_POWER,         /* W */
	INW_DIM_ENERGY,        /* J */
	INW_DIM_CONDUCTANCE,   /* W/K */
	INW_DIM_CONDUCTIVITY,  /* W/(m K) */
	INW_DIM_RESISTANCE,    /* m2 K/W */
	INW_DIM_RATE,          /* 1/s, from "0.5 1/h" */
	INW_DIM_NUMBER_RATE,   /* particles per s, from "1e10 1/min" */
	INW_DIM_NUMBER_PER_MASS, /* particles per kg of material, from "1e10 1/g" */
	INW_DIM_NUMBER_CONCENTRATION, /* particles per m3, from "20000 1/cm3" */
	INW_DIM_MASS_RATIO,    /* kg per kg, from "300 ug/g" */
	INW_DIM_MOLAR_MASS,    /* kg/mol */
	INW_DIM_MOLAR_VOLUME,  /* m3/mol, from "26.3 cm3/mol" */
	INW_DIM_MOLAR_ENERGY,  /* J/mol */
	INW_DIM_SPECIFIC_VOLUME, /* m3/kg, from "0.45 cm3/g" */
	INW_DIM_DIFFUSIVITY,   /* m2/s */
	INW_DIM_ANGLE,         /* rad */
	INW_DIM_SPEED_OF_ROTATION, /* 1/s */
	INW_DIM_SOUND,         /* dB, as the name beside it says */
	INW_DIM_MASS_PER_AREA, /* kg/m2 */
	INW_DIM_HEAT_CAPACITY, /* J/K, from "8 kJ/K" */
	INW_DIM_SPECIFIC_HEAT, /* J/(kg K) */
	INW_DIM_PRICE_PER_MASS, /* money per kg, whatever the money, from "18 /kg" */
	INW_DIM_PRICE_PER_ENERGY, /* money per J, from "0.3 /kWh" */
	INW_DIM_PRICE_PER_LENGTH, /* money per m, from "6 1/m" */
	INW_DIM_PRICE_PER_AREA, /* money per m2, from "40 1/m2" */
	INW_DIM_COUNT
};

enum inw_origin {
	INW_FROM_FILE,    /* written in the design file */
	INW_FROM_CATALOG, /* a record of the catalog that the design file names */
	INW_FROM_DEFAULT, /* left out: a catalogued default, listed as assumed */
	INW_DERIVED       /* worked out from other quantities of the file (a mass from a volume) */
};

/* How well a number is founded. */
enum inw_basis {
	INW_BASIS_GIVEN,    /* the user wrote it */
	INW_BASIS_FOUND,    /* read in the cited source */
	INW_BASIS_DERIVED,  /* computed from cited numbers, as the note says */
	INW_BASIS_MEMORY,   /* recalled, not seen: verify */
	INW_BASIS_PRACTICE, /* common practice, no source */
	INW_BASIS_UNKNOWN   /* nobody has published it: the range is a guess that says so */
};

/* One input number with its range and its provenance. */
struct inw_quantity {
	const char *path;   /* its name, for instance "box.gaps[door seam].width" */
	enum inw_dim dim;
	double value;       /* SI */
	double low, high;   /* SI; equal to value when nothing is known to vary */
	enum inw_origin origin;
	enum inw_basis basis;
	const char *source; /* citation and locator, or what it was worked out from; never NULL */
	const char *file;   /* the file it was read from, catalog files included; NULL for none */
	int line, column;
	double least, most; /* SI; what may be written for it; infinite where nothing bounds it */
};

/* ---- a design --------------------------------------------------------------------------------------------------- */

struct inw_design; /* one design file, read, checked, completed; immutable */

struct inw_read_options {
	const char *catalog_dir; /* a folder with catalog files; NULL: the catalog built into the library */
};

/* Read a design file. `*out` is set only when INW_OK is returned (warnings may still stand in `diags`).
 * Errors: INW_IO, INW_BAD_INPUT (all faults are listed, not only the first), INW_NO_MEMORY. */
enum inw_status inw_design_read(const char *path, const struct inw_read_options *options, struct inw_design **out,
                                struct inw_diags *diags) INW_MUST_CHECK;
/* The same from bytes in memory; `name` stands for the file in diagnostics. */
enum inw_status inw_design_parse(const char *bytes, size_t length, const char *name,
                                 const struct inw_read_options *options, struct inw_design **out,
                                 struct inw_diags *diags) INW_MUST_CHECK;
void inw_design_free(struct inw_design *d);

const char *inw_design_title(const struct inw_design *d);
size_t inw_design_quantity_count(const struct inw_design *d);
const struct inw_quantity *inw_design_quantity(const struct inw_design *d, size_t index);

/* ---- units at the edge ------------------------------------------------------------------------------------------ */

enum inw_units { INW_SI, INW_US };

/* Write a value with its unit, three significant figures or as many as the unit deserves, into `out` (at most `size`
 * bytes, always terminated). Returns `out`. */
char *inw_format(char *out, size_t size, double value_SI, enum inw_dim dim, enum inw_units units);
/* Parse "120 mm" as the given dimension. Returns NULL when fine, else a static sentence that says what is wrong. */
const char *inw_parse_quantity(const char *text, enum inw_dim dim, double *value_SI);

/* ---- the report -------------------------------------------------------------------------------------------------- */

/* Our five words. Only INW_MEETS is a pass. */
enum inw_word {
	INW_MEETS,       /* met over the whole range of what was assumed */
	INW_IN_DOUBT,    /* met at the best estimate, but not over the whole range */
	INW_MISSES,      /* not met */
	INW_CANNOT_TELL, /* data missing, model out of its range, or no solution */
	INW_STATED       /* no limit applies: a number to know */
};

enum inw_sense { INW_AT_LEAST, INW_AT_MOST, INW_WITHIN, INW_NO_LIMIT };

#define INW_MAX_BLAME 4 /* most influential assumptions named with a verdict */

struct inw_blame {
	const char *path;      /* the assumed quantity */
	double share;          /* of the verdict's range: 0..1 */
};

/* How a number is meant: as it stands, or only as what the true one is more, or less, than (it lies beyond what was looked at). */
enum inw_bound { INW_EXACTLY, INW_MORE_THAN, INW_LESS_THAN };

struct inw_verdict {
	const char *id;        /* stable, for instance "inward_pressure" or "air_8h[sleeper]" */
	const char *title;     /* plain words */
	const char *job;       /* which job */
	const char *state;     /* which state gave the worst number, for instance "hottest box" */
	enum inw_word word;
	enum inw_dim dim;
	enum inw_sense sense;
	double value;          /* worst state, best estimate of the inputs */
	double low, high;      /* over the range of what was assumed */
	double limit, limit_high; /* limit_high only for INW_WITHIN */
	double margin;         /* positive is good; same unit as the value */
	const char *limit_source;
	const char *where;     /* "gap 'lid seam'", "bedroom"; NULL for none */
	const char *reason;    /* one or two sentences */
	const char *change;    /* what to change, computed; NULL when nothing needs it */
	const char *caution;   /* usual caution for this hazard; NULL for none */
	struct inw_blame blame[INW_MAX_BLAME];
	size_t blames;
	size_t assumed;        /* how many assumed quantities move this number, by more than a millionth of it */
	enum inw_bound bound;  /* of `value`: a life of the carbon that outlasts the horizon is more than what is told */
};

/* One computed number that `why` can explain. */
struct inw_fact {
	const char *name;        /* "box.temperature", "gaps[lid seam].dp" */
	enum inw_dim dim;
	double value;
	const char *law;         /* key into inw_law */
	const char *const *uses; /* names of facts and paths of quantities it was computed from */
	size_t use_count;
};

struct inw_law {
	const char *key, *title, *equation, *source, *range, *omits;
	enum inw_basis basis;    /* of the source */
};

const struct inw_law *inw_law_find(const char *key);

/* A flow, pressure or temperature to draw. Arrays belong to the report. */
struct inw_gap_view {
	const char *name, *face, *room;
	double height, rise;        /* m above the inside floor of the box; vertical extent */
	double dp_top_Pa, dp_bottom_Pa; /* positive: room above box, air comes in */
	double in_m3s, out_m3s;     /* at the temperature of where it comes from */
	double velocity_ms;         /* mean inward velocity where the pressure is least; negative outward */
};
enum inw_stage_kind { INW_STAGE_MEDIUM, INW_STAGE_BED, INW_STAGE_BLOWER };
struct inw_stage_view {
	const char *name;
	enum inw_stage_kind kind;
	double dp_Pa;               /* loss; for a blower the rise, as a positive number */
	double flow_m3s, bypass_m3s, face_velocity_ms, T_K, residence_s;
	double inward_Pa;           /* the room around the cleaner above the air that comes to it; negative: its joints leak outward */
};
struct inw_room_view {
	const char *name;
	double T_K, p_Pa;           /* gauge, against outdoors at the same height */
	double heater_W;            /* what holds its temperature; 0 when free */
	double particles_m3;
};
struct inw_panel_view { const char *face; double T_in_K, T_out_K, loss_W, area_m2; };
struct inw_curve { const double *x, *y; size_t count; };

/* The solved state that the picture and the tables show: the job's normal state at best-estimate inputs. */
struct inw_state_view {
	const char *job, *state;
	bool converged;
	int iterations;
	double mass_residual, energy_residual; /* relative */
	double box_T_K, box_p_Pa /* gauge at the inside floor against the room */, neutral_height_m /* NaN when none */;
	double box_width, box_depth, box_height, inlet_height, return_height;
	double cleaner_m3s, return_m3s, exhaust_m3s, leak_in_m3s, leak_out_m3s; /* actual */
	double return_T_K, exhaust_T_K, exhaust_end_T_K, plate_W, panels_W;
	double flap_position;       /* 0 all returned .. 1 all sent out; NaN for no flap */
	double blower_speed;        /* fraction of rated */
	double operating_flow_m3s, operating_rise_Pa;
	struct inw_curve blower_curve, train_curve; /* Pa over m3/s, at this state */
	const struct inw_gap_view *gaps; size_t gap_count;
	const struct inw_stage_view *stages; size_t stage_count;
	const struct inw_room_view *rooms; size_t room_count;
	const struct inw_panel_view *panels; size_t panel_count;
};

/* What common practice says beside what the physics says. */
struct inw_rule { const char *job; const char *rule; const char *physics; bool disagree; };

struct inw_report {
	const char *title, *file;
	enum inw_word overall;      /* INW_MEETS only when every verdict with a limit meets it */
	const struct inw_verdict *verdicts; size_t verdict_count;
	const struct inw_state_view *states; size_t state_count;   /* for each job: as designed, then the other states it is judged in */
	const struct inw_fact *facts; size_t fact_count;
	const struct inw_rule *rules; size_t rule_count;
	const struct inw_quantity *const *assumed; size_t assumed_count; /* defaults, with range and source */
	const char *const *cautions; size_t caution_count;
	const char *const *notes; size_t note_count;               /* out of range, left out, disagreements of sources */
	const struct inw_design *design;                           /* borrowed */
	void *arena_;                                              /* private */
};

/* Judge every job of the design in every state. The design must outlive the report.
 * INW_NOT_CONVERGED is not returned: what did not converge is a verdict INW_CANNOT_TELL. */
enum inw_status inw_check(const struct inw_design *d, struct inw_report **out, struct inw_diags *diags) INW_MUST_CHECK;
/* The same by `threads` threads (0: as many as there are processors), sooner. The report is the same to the last bit. */
enum inw_status inw_check_by(const struct inw_design *d, unsigned threads, struct inw_report **out, struct inw_diags *diags)
	INW_MUST_CHECK;
void inw_report_free(struct inw_report *r);

/* Sentences of a report (reason, change, rule, physics) hold their numbers as `{{dim|value}}`, dim an enum inw_dim and
 * value SI, so that one report serves readers of both unit systems. The inw_show functions write them out; a client of
 * its own uses this. A fresh text (free with inw_string_free), or NULL when memory is out. */
char *inw_show_sentence(const char *sentence, enum inw_units units) INW_MUST_CHECK;

/* Each returns a fresh text (free with inw_string_free), or NULL when memory is out. */
enum inw_detail {
	INW_BRIEF, /* what is met and what is assumed in a line each, sources left to INW_FULL and inw_show_why */
	INW_FULL
};
char *inw_show_text(const struct inw_report *r, enum inw_units units, enum inw_detail detail) INW_MUST_CHECK;
char *inw_show_json(const struct inw_report *r) INW_MUST_CHECK;
/* Where a number comes from, recursively. NULL and a diagnostic with the nearest name when there is no such quantity. */
char *inw_show_why(const struct inw_report *r, const char *name, enum inw_units units, struct inw_diags *diags) INW_MUST_CHECK;
void inw_string_free(char *s);

/* Draw cutaway and operating chart of state `state` into `path` (.svg, .pdf or .png by its ending). The file appears
 * whole or not at all. */
enum inw_status inw_show_picture(const struct inw_report *r, size_t state, const char *path, enum inw_units units,
                                 struct inw_diags *diags) INW_MUST_CHECK;
/* The same as SVG text, fresh (free with inw_string_free), the same bytes each time; NULL when there is no such state or memory
 * is out. */
char *inw_show_picture_svg(const struct inw_report *r, size_t state, enum inw_units units) INW_MUST_CHECK;
/* Before long work: is the ending of `path` one of these, and could a file be written there? INW_BAD_INPUT, INW_IO or INW_NO_MEMORY
 * with a diagnostic. It leaves nothing. */
enum inw_status inw_picture_may(const char *path, struct inw_diags *diags) INW_MUST_CHECK;

/* ---- a day in time ------------------------------------------------------------------------------------------------- */

/* Numbers over time: row by row, the first column the time in s since the day's start. */
struct inw_series {
	const char *const *name;        /* "time", "box.temperature", "gases[styrene].room[bedroom]" */
	const enum inw_dim *dim;
	size_t columns;
	const double *value;            /* rows * columns */
	size_t rows;
};
struct inw_moment { double t; const char *what; }; /* something began or ended */

/* What a bed of carbon holds along its depth, at some moments of a run. */
struct inw_bed_profile {
	const char *stage;              /* name of the stage */
	double depth_m, carbon_kg;
	size_t cells;                   /* slices of equal depth; the first is where the air enters */
	const char *const *substance; size_t substances; /* names of the catalog, or "water" */
	const double *t; size_t times;  /* s since the run's start, rising, start and end among them; evenly spaced over a day */
	const double *loading;          /* kg per kg of carbon, [times][substances][cells] */
	const double *full;             /* kg/kg, [substances]: what the carbon would hold in balance with the strongest air that
	                                   came to it in the run (most kg of gases in a m3), all at once; NaN: none came */
	const double *strongest;        /* kg/m3, [substances]: in that air, as it entered the first bed; NaN: none came */
	double strongest_t;             /* when that was, s since the run's start; NaN: none came */
};

struct inw_day_options {
	double tolerance;               /* of a step; 0: the default. Smaller is finer and slower */
	void (*progress)(void *context, double share); /* 0..1, called now and then; NULL for none */
	void *context;
	bool (*stop)(void *context);    /* asked now and then: true ends the run with INW_IO; NULL for never */
	bool changes;                   /* of a day: look for what to change where air is pressed out, by following it up to 24 times more; `progress` then begins anew */
};

struct inw_day_report {
	const char *title, *file;
	enum inw_word overall;
	double start_clock_s, span_s;
	const char *begins;             /* why then, a sentence, where the file leaves it open; NULL: the file says when, or it is midnight */
	const struct inw_verdict *verdicts; size_t verdict_count; /* over the whole day, best-estimate inputs */
	struct inw_series series;
	const char *more_escapes;       /* why more gets out of the box than the air of the rooms shows, a sentence, where that may be; the
	                                   columns of the rooms' air have no number where nothing of it is known; NULL: nothing is known to */
	const struct inw_moment *moments; size_t moment_count;
	const struct inw_bed_profile *beds; size_t bed_count; /* in the order the air meets them; none: nothing of the day is held */
	const char *const *notes; size_t note_count;
	const char *const *cautions; size_t caution_count;
	long steps;
	double matter_closure;          /* worst account: emitted less held, kept and gone, over emitted */
	const struct inw_design *design;/* borrowed */
	void *arena_;                   /* private */
};

/* Run the design's day. Statuses as inw_check; INW_NOT_CONVERGED with a diagnostic when no step could be made. */
enum inw_status inw_day(const struct inw_design *d, const struct inw_day_options *options, struct inw_day_report **out,
                        struct inw_diags *diags) INW_MUST_CHECK;
void inw_day_free(struct inw_day_report *r);

/* As the inw_show functions above, for a day. Each text is fresh (free with inw_string_free), or NULL when memory is out. */
char *inw_show_day_text(const struct inw_day_report *r, enum inw_units units, enum inw_detail detail) INW_MUST_CHECK;
char *inw_show_day_json(const struct inw_day_report *r) INW_MUST_CHECK;
/* The series as CSV (RFC 4180): SI, with the unit at the end of each name as in JSON, and a column `clock` behind the time. */
char *inw_show_day_csv(const struct inw_day_report *r) INW_MUST_CHECK;
/* The day over its hours, drawn into `path` (.svg, .pdf or .png by its ending). The file appears whole or not at all. */
enum inw_status inw_show_day_picture(const struct inw_day_report *r, const char *path, enum inw_units units,
                                     struct inw_diags *diags) INW_MUST_CHECK;
char *inw_show_day_picture_svg(const struct inw_day_report *r, enum inw_units units) INW_MUST_CHECK; /* as inw_show_picture_svg */

/* ---- months on the carbon ------------------------------------------------------------------------------------------ */

/* A limit, and when the air behind the carbon first exceeds it. */
struct inw_life_limit {
	const char *kind;               /* "work_8h", "home_1h", ... */
	double limit_kgm3, reached_s;   /* NaN: not while it was followed */
};
struct inw_life_gas {
	const char *name, *title;
	bool held;                      /* plain carbon holds it; else the rest is about what passes */
	double given_off_kg;            /* by the machine in one pattern */
	double on_carbon_kg;            /* at the end */
	double back_running_kg, back_idle_kg; /* given back in the last pattern, while a job runs and while none does */
	double passes_s[3];             /* when 1 %, 10 %, 50 % of it first passes over a pattern; NaN: not while it was followed */
	const struct inw_life_limit *limits; size_t limit_count;
};

struct inw_life_report {
	const char *title, *file;
	enum inw_word overall;
	double pattern_s;               /* what repeats: a day or a week */
	double spent_s, spent_low_s, spent_high_s; /* use of the carbon by the calendar, with its range; INFINITY: not within the horizon */
	double followed_s, horizon_s;
	double shortcut_error;          /* of the last pattern against a full run from the same carbon, media as loaded by then, share of what was given off in it; NaN: none was needed */
	double matter_closure;          /* worst gas: given off less held, kept and gone, over given off */
	const struct inw_verdict *verdicts; size_t verdict_count;
	const struct inw_life_gas *gases; size_t gas_count;
	const struct inw_bed_profile *beds; size_t bed_count; /* `full` and `strongest` are not known: NaN */
	struct inw_series series;       /* a row per day, later per pass over months: "time", "gases[styrene].let_through", ".on_carbon", ".after_carbon", "air[sleeper]" */
	const char *const *notes; size_t note_count;
	const char *const *cautions; size_t caution_count;
	const struct inw_design *design;/* borrowed */
	void *arena_;                   /* private */
};

/* Repeat the design's week (its day, when every day is alike) until the carbon no longer does its job, or to the design's
 * horizon. Options and statuses as inw_day; `tolerance` is of the pattern followed in full. */
enum inw_status inw_life(const struct inw_design *d, const struct inw_day_options *options, struct inw_life_report **out,
                         struct inw_diags *diags) INW_MUST_CHECK;
void inw_life_free(struct inw_life_report *r);
char *inw_show_life_text(const struct inw_life_report *r, enum inw_units units, enum inw_detail detail) INW_MUST_CHECK;
char *inw_show_life_json(const struct inw_life_report *r) INW_MUST_CHECK;
char *inw_show_life_csv(const struct inw_life_report *r) INW_MUST_CHECK;
enum inw_status inw_show_life_picture(const struct inw_life_report *r, const char *path, enum inw_units units,
                                      struct inw_diags *diags) INW_MUST_CHECK;
char *inw_show_life_picture_svg(const struct inw_life_report *r, enum inw_units units) INW_MUST_CHECK;

/* ---- on paper ------------------------------------------------------------------------------------------------------ */

enum inw_paper_size { INW_A4, INW_LETTER };
struct inw_paper_options {
	enum inw_units units;
	enum inw_paper_size size;
	const char *dated;              /* printed as it stands; NULL: a line to write on. The library knows no clock */
	const struct inw_life_report *life; /* of the same design: when the carbon is changed; NULL: the paper says how to find out */
	const struct inw_day_report *day;   /* of the same design: how long its door stays shut after a job; NULL: as above */
};

/* The report to keep beside the machine, as a PDF of several pages: how to set it, the box with its dimensions, cautions,
 * verdicts, what to check each month, what was assumed, sources. `path` must end in .pdf; the file appears whole or not at all.
 * The same report and options give the same bytes. */
enum inw_status inw_show_paper(const struct inw_report *r, const struct inw_paper_options *options, const char *path,
                               struct inw_diags *diags) INW_MUST_CHECK;
/* The same as bytes (free with inw_string_free), `*length` of them; NULL when memory is out. */
char *inw_show_paper_pdf(const struct inw_report *r, const struct inw_paper_options *options, size_t *length) INW_MUST_CHECK;

/* ---- designs side by side ------------------------------------------------------------------------------------------ */

/* Something in the files that is not the same in all designs: a number, or a word (a material, the names in a list). Arrays
 * hold an item for each design, NULL where the design has no such thing. */
struct inw_difference {
	const char *path;               /* "box.gaps[lid seam].width", "cleaner.stages" */
	const struct inw_quantity *const *quantity; /* NULL: it is a word */
	const char *const *word;        /* NULL: it is a number */
	bool follows;                   /* worked out from other numbers wherever it stands */
};
/* One verdict in each design. */
struct inw_verdict_row {
	const char *id, *title, *job;   /* as in the first design that has it */
	const struct inw_verdict *const *verdict; /* for each design; NULL: not judged there */
	bool alike;                     /* in every design, with the same word and number */
	const int *step;                /* for each design: 1 its word is better than in the first design, -1 worse, 0 neither: what is
	                                   not judged, or stated without a limit, stands with what is met */
	const int *by_margin;           /* the same for a word alike whose margin differs by a hundredth of the number or more */
};
/* How many verdicts of a design have each word; how many are better and worse than in the first design. */
struct inw_tally { size_t meets, in_doubt, misses, cannot_tell, stated, better, worse; };

struct inw_comparison {
	const struct inw_report *const *reports; size_t count; /* borrowed; an array of its own */
	const struct inw_difference *differences; size_t difference_count; /* words first, each in the order of the first design */
	const struct inw_verdict_row *rows; size_t row_count;
	const struct inw_tally *tally;  /* for each design */
	void *arena_;                   /* private */
};

/* Two reports or more, which must outlive the comparison. Verdicts are paired by id and job; where both designs have one job
 * its name does not matter. INW_BAD_INPUT for fewer than two. */
enum inw_status inw_compare(const struct inw_report *const *reports, size_t count, struct inw_comparison **out,
                            struct inw_diags *diags) INW_MUST_CHECK;
void inw_comparison_free(struct inw_comparison *c);
/* INW_FULL: what is alike, and what follows from other numbers, too. */
char *inw_show_comparison_text(const struct inw_comparison *c, enum inw_units units, enum inw_detail detail) INW_MUST_CHECK;
char *inw_show_comparison_json(const struct inw_comparison *c) INW_MUST_CHECK;

/* ---- maps ---------------------------------------------------------------------------------------------------------- */

struct inw_map_axis_options {
	const char *name;               /* path of a quantity, or its tail where that is the only such one: "flap.position" */
	double from, to;                /* SI; NAN: chosen from what may be written and from what the design has */
	size_t points;                  /* 0: chosen; else 3 .. 201 */
};
struct inw_map_options {
	struct inw_map_axis_options axis[2]; size_t axes; /* one or two */
	const char *const *of; size_t of_count; /* ids of verdicts, or "id@job"; none: every one that has a limit */
	bool sure;                      /* at the bad end of what is assumed, as a check judges; else at best estimates */
	void (*progress)(void *context, double share); /* as in inw_day_options, both */
	bool (*stop)(void *context);
	void *context;
};

struct inw_map_axis {
	const struct inw_quantity *quantity; /* of the design; what follows from it goes along */
	double now;                     /* its value in the design */
	const double *at; size_t count; /* the values solved for, rising; of one quantity not evenly spaced */
};
struct inw_map_line { const double *x, *y; size_t count; bool closed; }; /* through points of the map, SI */
struct inw_map_interval { double from, to; };

/* One verdict over the map. Arrays hold a number for each point, the first quantity running fastest; NAN: no answer. */
struct inw_map_verdict {
	const char *id, *title, *job;
	enum inw_dim dim;
	enum inw_sense sense;
	double limit, limit_high;       /* as the design stands */
	bool untold;                    /* data behind it are missing: it cannot be met, whatever its number */
	double one;                     /* what a margin is divided by to compare it with others: see doc/json.md */
	const double *value;            /* of its worst state, at best estimates */
	const double *margin;           /* of that value, or of the bad end of its range; own unit, positive is good */
	const double *level;            /* zero with the margin and of its sign, made for drawing lines between points */
	const enum inw_word *word;      /* at best estimates, or over the whole range */
	double value_now, margin_now;
	const struct inw_map_interval *met; size_t met_count; /* of one quantity */
	const struct inw_map_line *zero; size_t zero_count;   /* of two: where the margin is zero */
};

struct inw_map {
	const char *title, *file;
	struct inw_map_axis axis[2]; size_t axes;
	size_t points;
	bool sure, named;               /* as asked; only verdicts that were named are mapped */
	const struct inw_map_verdict *verdicts; size_t verdict_count;
	const double *least;            /* the least margin over `one` of those that can be told; NAN: none of these is missed, and one has no answer */
	const int *limiting;            /* which verdict that is; -1: none */
	const struct inw_map_interval *met; size_t met_count; /* of one quantity: where all that can be told are met */
	double precision;               /* of one quantity: the ends of intervals are within so much of the change, SI */
	long best;                      /* the point at which `least` is greatest, of several the nearest to the design; -1: nowhere an answer */
	double least_now; int limiting_now;
	size_t solved;                  /* points solved, each in every state of every job */
	const char *const *notes; size_t note_count;
	const struct inw_design *design;/* borrowed */
	void *arena_;                   /* private */
};

/* Judge the design with one or two of its quantities moved over a range, each point as if the value were written in the file
 * in place of the quantity's own, without a range. INW_BAD_INPUT with diagnostics: no such quantity or verdict (with the
 * nearest name), one that is worked out from others, values that may not be written. INW_IO: `stop` ended it. */
enum inw_status inw_map(const struct inw_design *d, const struct inw_map_options *options, struct inw_map **out,
                        struct inw_diags *diags) INW_MUST_CHECK;
void inw_map_free(struct inw_map *m);
char *inw_show_map_text(const struct inw_map *m, enum inw_units units, enum inw_detail detail) INW_MUST_CHECK;
char *inw_show_map_json(const struct inw_map *m) INW_MUST_CHECK;
/* A row for each point: the quantities, then value and margin of each verdict. */
char *inw_show_map_csv(const struct inw_map *m) INW_MUST_CHECK;
enum inw_status inw_show_map_picture(const struct inw_map *m, const char *path, enum inw_units units,
                                     struct inw_diags *diags) INW_MUST_CHECK;
char *inw_show_map_picture_svg(const struct inw_map *m, enum inw_units units) INW_MUST_CHECK;
/* Which quantity a name means: its path, or the tail of just one path. NULL with a diagnostic otherwise. */
const struct inw_quantity *inw_design_find(const struct inw_design *d, const char *name, struct inw_diags *diags);

/* ---- how sure ------------------------------------------------------------------------------------------------------ */

struct inw_odds_options {
	double width;                   /* stop when every probability is known to +- this with 95 % confidence; 0: 0.01, of lives 0.05 */
	size_t samples;                 /* and after so many at the latest; 0: 2^20, of days 2^12, of lives 2^10 */
	unsigned long long seed;        /* of the sampled points: the same seed gives the same bits, with any number of threads */
	unsigned threads;               /* 0: one for each processor */
	bool independent;               /* without the correlations that are assumed between inputs that belong together */
	bool day;                       /* judge days (inw_day) rather than the states of inw_check */
	bool life;                      /* judge the carbon's months (inw_life) */
	bool bare;                      /* only the numbers and how likely requirements are met: neither the inputs' total shares nor the next measurement */
	const char *keep, *resume;      /* files: what was sampled is written to one and taken up from the other; NULL: not */
	void (*progress)(void *context, double share); /* as in inw_day_options; both are called by the calling thread alone */
	bool (*stop)(void *context);    /* true ends the sampling; what was sampled counts */
	void *context;
};

/* How an input that is not known was drawn: normal in its value or its logarithm, each side with its own width. */
struct inw_odds_input {
	const struct inw_quantity *quantity; /* low and high are taken as the 5 % and 95 % points, the value as the median */
	bool log;
	bool cut;                       /* a tail is cut off at what may be written for it */
	const char *shares;             /* what it shares with others; NULL: independent */
};

/* How much of the variance of a number comes from one input (or from what several share). */
struct inw_odds_influence {
	const char *name;               /* path of the quantity, or what several share */
	double first, first_error;      /* by itself; errors are half-widths of 95 % intervals */
	double total, total_error;      /* with all that it does together with others: `first` at least; NaN: not worked out, or not well enough */
};

/* Something cheap that can be measured. */
struct inw_odds_test { const char *name, *title, *how, *cost, *accuracy, *source; };
/* What is gained by it: the probability that the better of the two answers, met or not met, is the right one. */
struct inw_odds_next {
	const struct inw_odds_test *test;
	double gain, gain_error;
	double coarsest;                /* an instrument so many times as coarse still brings nine tenths of the gain; 1 at least */
};

enum { INW_ODDS_INFLUENCES = 5, INW_ODDS_NEXT = 3 };
/* When more than this share of the samples has no answer, what the others give says too little of the number (ours). */
#define INW_ODDS_MOST_SILENT 0.1

struct inw_odds_verdict {
	const char *id, *title, *job;   /* as in a report; of all at once: "all" */
	enum inw_dim dim;
	enum inw_sense sense;
	double limit, limit_high;
	const char *limit_source;
	bool untold;                    /* data behind it are missing: whatever the odds, it does not pass */
	double met, met_error;          /* probability that it is met, and half-width of its 95 % interval; NaN: no limit applies */
	double none;                    /* share of the samples without an answer: they count as not met */
	const char *none_why;           /* why, after "since"; NULL: there are none, or it is not known */
	double low, median, high;       /* 5, 50 and 95 % points of the samples that have an answer; NaN when INW_ODDS_MOST_SILENT have none */
	double tail;                    /* mean of the worst twentieth of them; NaN without a limit */
	enum inw_bound low_bound, median_bound, high_bound, tail_bound; /* not INW_EXACTLY: the point lies beyond what was looked at */
	double more_than, less_than;    /* shares of the samples of which only that much is known */
	double undecided;               /* share of the samples whose bound does not tell whether they are met: they count as not met */
	double known_now;               /* the larger of `met` and 1 - `met`: how often the better answer is right today */
	const double *at, *share; size_t bins; /* histogram: bins + 1 edges, and the share of all samples between them; bounds apart */
	double below, above;            /* shares beyond the first and the last edge */
	/* The largest first; bounds count as numbers, and where there is little else, none is told. */
	struct inw_odds_influence influence[INW_ODDS_INFLUENCES]; size_t influences;
	struct inw_odds_next next[INW_ODDS_NEXT]; size_t nexts; /* the best first; only what is a gain */
};

struct inw_odds {
	const char *title, *file;
	bool day, life, stopped;        /* as asked; stopped: `stop` ended it before it was done */
	bool known;                     /* every probability is known to the width asked for */
	double width;
	size_t samples, no_answer;      /* no_answer: samples for which some number has none */
	size_t looked_at, otherwise;    /* samples solved in every state, and how many of these then had another verdict */
	size_t replicates, drivers;     /* independent scrambles of the points; dimensions */
	double correlation;             /* between inputs that share something */
	struct inw_odds_verdict all;    /* everything that can be told is met at once */
	size_t required, untold;        /* verdicts with a limit, and of how many of these data are missing: with any it is no pass */
	const struct inw_odds_verdict *verdicts; size_t verdict_count;
	const struct inw_odds_input *inputs; size_t input_count;
	const struct inw_odds_test *tests; size_t test_count;
	const char *const *notes; size_t note_count;
	const struct inw_design *design;/* borrowed */
	void *arena_;                   /* private */
};

/* How likely each requirement is met, given what is not known. Statuses as inw_check; INW_BAD_INPUT when the file to resume
 * is of another design or of other options, or is damaged; INW_IO when a file could not be read or written. Whether `keep` can be
 * written is asked before the first sample; where it fails at the end all the same, *out is set, else NULL stands there. */
enum inw_status inw_odds(const struct inw_design *d, const struct inw_odds_options *options, struct inw_odds **out,
                         struct inw_diags *diags) INW_MUST_CHECK;
void inw_odds_free(struct inw_odds *o);
char *inw_show_odds_text(const struct inw_odds *o, enum inw_units units, enum inw_detail detail) INW_MUST_CHECK;
char *inw_show_odds_json(const struct inw_odds *o) INW_MUST_CHECK;
enum inw_status inw_show_odds_picture(const struct inw_odds *o, const char *path, enum inw_units units,
                                      struct inw_diags *diags) INW_MUST_CHECK;
char *inw_show_odds_picture_svg(const struct inw_odds *o, enum inw_units units) INW_MUST_CHECK;

/* ---- choosing ------------------------------------------------------------------------------------------------------ */

struct inw_choose_options {
	void (*progress)(void *context, double share); /* as in inw_day_options, both; `stop` ends the search with what it has */
	bool (*stop)(void *context);
	void *context;
};

enum { INW_GOALS = 6 };
struct inw_goal { const char *name; enum inw_dim dim; }; /* "money", "noise", ... */
extern const struct inw_goal inw_goals[INW_GOALS];

/* One thing that was free, in one design. */
struct inw_pick {
	const char *what;               /* its path */
	const char *written, *was;      /* as it stands in the chosen design, and in the file that was read */
	bool is_word;                   /* a record; the rest is of numbers */
	enum inw_dim dim;
	double value, value_was, from, to; /* SI */
	bool at_from, at_to;            /* it would go further if it might */
};
/* A requirement that keeps the design from being better. */
struct inw_binding {
	const char *id, *title, *job;
	enum inw_dim dim;
	double limit, margin;           /* margin with the wanted probability */
	double eased;                   /* the limit, moved a step to the easy side */
	double gain;                    /* what that takes off the goal, found by solving again; NaN: not worked out */
};
struct inw_chosen {
	const char *name;               /* "cheapest", "between cheapest and quietest" */
	const char *why;                /* a sentence, numbers as in inw_show_sentence */
	int goal;                       /* index into inw_goals: what it was made small for */
	bool holds;                     /* every requirement that can be told, with the wanted probability */
	const char *const *untold; size_t untold_count; /* ids of what its check cannot tell */
	double least_sure;              /* the least probability of all requirements, by samples; NaN: none were drawn */
	double together, together_error;/* probability that all that can be told hold at once, and half-width of its 95 % interval */
	const char *day;                /* what a day followed at best estimates comes to: a sentence; NULL: none was followed */
	enum inw_word day_overall;      /* of that day */
	double day_pull;                /* its least pull where what is not known is so bad for it as it is in 1 - sure of all cases, Pa; NaN: not worked out */
	double value[INW_GOALS];        /* NaN: not known */
	const struct inw_pick *picks; size_t pick_count;
	const struct inw_binding *bindings; size_t binding_count;
	const char *text; size_t length;/* the whole design file */
	const struct inw_design *design;/* read from that text */
	const struct inw_report *report;/* its check */
};

struct inw_choices {
	const char *title, *file;
	double sure, years;
	const int *goals; size_t goal_count; /* what was to be small, the most important first; indices into inw_goals */
	const char *const *without; size_t without_count;
	bool found;                     /* some design holds every requirement, and each of them can be told */
	size_t day_missed, day_untold;  /* of the chosen: how many miss something in a day; of how many more that cannot be told */
	size_t day_unsure;              /* and how many of the others pull less than is wanted where what is not known is so bad, or it is not known */
	bool stopped;                   /* before the end: the best so far */
	const struct inw_chosen *chosen; size_t chosen_count; /* the front; when nothing holds, the one that lacks the least */
	const char *conflict;           /* not found: why; a sentence, numbers as in inw_show_sentence; NULL: not known */
	size_t combinations, polished;  /* of records: all, and those that were searched */
	long solved;                    /* solutions of all states */
	const char *const *notes; size_t note_count;
	const struct inw_design *design;/* borrowed */
	void *arena_;                   /* private */
};

/* Choose what the design's `choose:` leaves free. INW_BAD_INPUT: there is no such section, or it names a requirement that is
 * not judged. When nothing holds all requirements that is INW_OK with `found` false. */
enum inw_status inw_choose(const struct inw_design *d, const struct inw_choose_options *options, struct inw_choices **out,
                           struct inw_diags *diags) INW_MUST_CHECK;
void inw_choices_free(struct inw_choices *c);
char *inw_show_choices_text(const struct inw_choices *c, enum inw_units units, enum inw_detail detail) INW_MUST_CHECK;
char *inw_show_choices_json(const struct inw_choices *c) INW_MUST_CHECK;
/* Write each chosen design into a file: `where` is a folder, or the beginning of the files' names. Each file appears whole or
 * not at all; when one of the names is taken already, nothing is written. `written` (may be NULL) is told each name. */
enum inw_status inw_choices_write(const struct inw_choices *c, const char *where, void (*written)(void *context, const char *path),
                                  void *context, struct inw_diags *diags) INW_MUST_CHECK;

/* ---- starting from nothing ----------------------------------------------------------------------------------------- */

enum inw_asks {
	INW_ASKS_CHOICE,   /* one of the offers */
	INW_ASKS_CHOICES,  /* any of them */
	INW_ASKS_NUMBER,   /* with a unit: "500 mm" */
	INW_ASKS_YES_NO,   /* "yes" or "no" */
	INW_ASKS_TEXT      /* a line of your own */
};
/* `question` NULL: always. Else when that question is answered with one of these words; none: with anything. */
struct inw_when { const char *question; const char *const *is; size_t count; };
struct inw_offer {
	const char *word, *title;       /* what is answered, and what it means */
	const char *const *also; size_t also_count; /* other words that are taken for it */
	struct inw_when when;           /* offered unless that question is answered otherwise */
};
/* One question of the set-up. Every one may stay unanswered. */
struct inw_question {
	const char *id;                 /* stable: "material" */
	const char *part;               /* heading of the group it belongs to; questions of a part follow each other */
	const char *question, *help;
	const char *assumed;            /* what an unanswered one means, a sentence */
	enum inw_asks asks;
	enum inw_dim dim;               /* of a number */
	const char *example[2];         /* of a number, by enum inw_units: "500 mm", "20 in"; its unit is a good one to offer */
	double least, most;             /* of a number, SI; both may be answered */
	const struct inw_offer *offers; size_t offer_count;
	struct inw_when when;           /* else it need not be asked */
};
struct inw_questions { const struct inw_question *questions; size_t count; void *arena_ /* private */; };

/* The questions in the order to be asked, with what the catalog has to offer. */
enum inw_status inw_questions(struct inw_questions **out, struct inw_diags *diags) INW_MUST_CHECK;
void inw_questions_free(struct inw_questions *q);
char *inw_show_questions_json(const struct inw_questions *q) INW_MUST_CHECK;

/* An answer as text. Of INW_ASKS_CHOICES there may be several, or one with commas. "" is none. Place: for diagnostics, 0 for
 * none. */
struct inw_answer { const char *id, *text; int line, column; };
struct inw_answers { const struct inw_answer *items; size_t count; void *arena_ /* private */; };
/* A JSON object (or YAML mapping) of ids and answers: texts, or lists of texts. INW_BAD_INPUT with places. */
enum inw_status inw_answers_read(const char *bytes, size_t length, const char *name, struct inw_answers **out,
                                 struct inw_diags *diags) INW_MUST_CHECK;
void inw_answers_free(struct inw_answers *a);
/* Whether question `index` applies after these answers. */
bool inw_question_applies(const struct inw_questions *q, size_t index, const struct inw_answer *answers, size_t count);
bool inw_offer_applies(const struct inw_questions *q, const struct inw_offer *offer, const struct inw_answer *answers, size_t count);
/* INW_BAD_INPUT: what is wrong with this one, with the nearest right word. */
enum inw_status inw_answer_check(const struct inw_questions *q, const struct inw_answer *answer, const char *name,
                                 struct inw_diags *diags) INW_MUST_CHECK;

struct inw_begin_options {
	const char *name;               /* stands for the answers in diagnostics; NULL: "answers" */
	enum inw_units units;           /* of the text that is written */
	void (*progress)(void *context, double share); /* as in inw_day_options, both */
	bool (*stop)(void *context);
	void *context;
};
/* A design file to start from, which reads without a diagnostic: what was answered, sizes to begin with for what a design
 * must state (found by solving), and nothing for what may be left to the catalog. Same answers, same bytes. `*text` is fresh
 * (free with inw_string_free). INW_BAD_INPUT: each wrong answer with the nearest right one, and answers that contradict each
 * other. An answer that was of no use is a warning; so is it, with the reason, when nothing that the answers allow can be solved in
 * every state: the text is a start to go on from all the same. INW_IO: `stop` ended it. */
enum inw_status inw_begin(const struct inw_answer *answers, size_t count, const struct inw_begin_options *options, char **text,
                          struct inw_diags *diags) INW_MUST_CHECK;

const char *inw_version(void);

#pragma GCC visibility pop

#ifdef __cplusplus
}
#endif

#endif
