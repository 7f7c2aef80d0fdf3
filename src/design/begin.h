/* SPDX-License-Identifier: MIT */
/* begin.h: from answers to the text of a design: what was said, the plan made of it, the text written of the plan.
 *
 * Invariants: B1 one table of questions; no answer is known by anything but its id there. B2 what nobody said is either left
 * out, so that the catalog's default with its range counts, or stands in the text with a remark that it is a guess or a size
 * to begin with. B3 the same answers give the same bytes.
 * Ownership: all in the arena of the questions or the one that is given.
 */
#ifndef INW_BEGIN_H
#define INW_BEGIN_H

#include "design/design.h"

/* Questions with the catalog that they were made of. */
struct inw_asking {
	struct inw_questions public;    /* first: what the outside holds */
	struct inw_catalog catalog;
	const struct inw_quantity *quantity;
};
enum inw_status inw_asking_open(struct inw_asking **out, struct inw_diags *diags) INW_MUST_CHECK;
/* Index of a question by its id; -1 when there is none. */
int inw_question_of(const struct inw_questions *q, const char *id);
/* The offer that a word means, by its own or another name; NULL when there is none. */
const struct inw_offer *inw_offer_of(const struct inw_question *q, const char *word, size_t length);
/* The next word of "a, b": its length (0 at the end); `*at` is moved to its front. */
size_t inw_answer_word(const char **at);

/* ---- what was said ---- */

struct inw_amount { double value, low, high; bool said; }; /* SI; low and high are value when nothing is known to vary */
struct inw_sayings { const struct inw_asking *ask; const struct inw_answer *answers; size_t count; };
/* Each answer by itself, then twice answered ones; warnings of what no question asked for. */
enum inw_status inw_sayings_check(const struct inw_sayings *s, const char *name, struct inw_diags *diags) INW_MUST_CHECK;
/* The answer, or NULL; the word of the offer that it means, or NULL; all such words, in the order said; a number. The id must be
 * that of a question; answers that were not taken count as none. */
const struct inw_answer *inw_said(const struct inw_sayings *s, const char *id);
const char *inw_said_word(const struct inw_sayings *s, const char *id);
size_t inw_said_words(const struct inw_sayings *s, const char *id, const char **words, size_t most);
bool inw_said_amount(const struct inw_sayings *s, const char *id, struct inw_amount *out);

/* ---- the plan ---- */

enum { INW_BEGIN_MATERIALS = 7 /* a weekday each */, INW_BEGIN_APPLIANCES = 16 };
enum inw_seams { INW_SEAMS_UNKNOWN, INW_SEAMS_AIM /* of a box that is to be built */, INW_SEAMS_SEALED, INW_SEAMS_CLOSE, INW_SEAMS_OPEN };
enum inw_presence { INW_WORKS = 1, INW_SLEEPS_THERE = 2, INW_SLEEPS_NEXT_DOOR = 4, INW_CHILD = 8, INW_ANYBODY = 16 /* nobody said */ };

/* What the text will say. An amount without a value (NaN) is left out. */
struct inw_start {
	enum inw_units units;
	const struct inw_asking *ask;
	const char *title, *process, *material[INW_BEGIN_MATERIALS]; size_t materials;
	bool material_said, built, hands, hands_said, heater, out_said, hose;
	struct inw_amount rate, hours, start, heater_target, width, depth, height, panel_thickness, floor, ceiling, length, altitude;
	bool size_of_machine;           /* the box was made of the size of the machine */
	const char *panel; bool panel_said;
	enum inw_seams seams; bool seams_said;
	unsigned people;                /* sum of enum inw_presence */
	const char *appliance[INW_BEGIN_APPLIANCES]; size_t appliances; bool appliance_said;
	const char *filter; bool filter_said;
	const char *carbon; bool carbon_said;
	struct inw_amount filter_area, bed_diameter, bed_depth, bed_mass;
	const char *blower; bool blower_said; /* NULL: one of his own, by the next two */
	struct inw_amount flow, pressure;
	double duct;                    /* m */
	double speed, flap;             /* shares */
};

/* From answers that were taken. INW_BAD_INPUT: they contradict each other. Nothing is sized yet. */
enum inw_status inw_start_plan(const struct inw_sayings *s, enum inw_units units, const char *name, struct inw_start *out,
                               struct inw_diags *diags) INW_MUST_CHECK;
/* The same with a blower of the catalog (-1: the one that was said) and cleaner and ducts sized for it. */
void inw_start_size(const struct inw_start *plan, const struct inw_sayings *s, int blower, struct inw_start *out);
/* Cleaner and ducts made for a smaller flow. False when that is no smaller, or nothing of it is free. */
bool inw_start_shrink(struct inw_start *s, const struct inw_sayings *said, double flow_m3s);
/* The design file; `out` has failed when memory is out. */
void inw_start_write(const struct inw_start *s, struct inw_text *out);

#endif
