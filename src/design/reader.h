/* SPDX-License-Identifier: MIT */
/* reader.h: what every part of the reading shares: faults with a place, and the register of quantities.
 *
 * Invariants: R1 a number enters the design only through inw_quantity_add. R2 what could not be read is INW_NONE after
 * a fault was listed; INW_NONE reads as NaN (inw_best), so that a later check is false and one defect gives one fault.
 * R3 when memory is out, `no_memory` sticks and the reading goes on harmlessly to its end.
 * Ownership: the design's arena owns everything but the reader itself.
 */
#ifndef INW_READER_H
#define INW_READER_H

#include "design/design.h"
#include "design/node.h"

enum inw_section {
	INW_SOURCES, INW_SUBSTANCES, INW_MATERIALS, INW_MEDIUMS, INW_CARBONS, INW_PANELS, INW_MULTIWALLS, INW_SHAPES,
	INW_BLOWERS, INW_APPLIANCES, INW_TESTS, INW_DEFAULTS, INW_REQUIREMENTS, INW_SECTIONS
};
extern const char *const inw_section_name[INW_SECTIONS];

/* A file that is being read, and what stands for its bare numbers. */
struct inw_text_file { const char *name; enum inw_origin origin; };
struct inw_record {
	const char *name;
	const struct inw_node *node;
	const struct inw_text_file *file;
	const char *citation;
};
struct inw_records { struct inw_record *item; size_t count, capacity; };

struct inw_reader {
	struct inw_arena *arena;
	struct inw_diags *diags; size_t errors_before; /* the caller's may hold some */
	struct inw_design *d;
	size_t capacity;                  /* of d->quantity */
	size_t dependence_capacity;       /* of d->dependence */
	bool no_memory;
	char *buffer;                     /* of the file being read */
	const struct inw_text_file *file; /* that is being walked */
	const struct inw_node *at;        /* the mapping walked last: where a fault of a default or a record shows */
	struct inw_records records[INW_SECTIONS];
	const struct inw_change *change;  /* numbers to be read as others; NULL for none */
	size_t changes;
	const struct inw_shelf *shelf;    /* the built-in catalog as read before; NULL: none, or of no use here */
};

/* ---- memory: NULL sets no_memory ---- */
void *inw_take(struct inw_reader *r, size_t count, size_t size) __attribute__((warn_unused_result));
const char *inw_say(struct inw_reader *r, const char *format, ...)
	__attribute__((format(printf, 2, 3), warn_unused_result));

/* The same for words one after the other: a catalog has thousands, and printf takes its time. */
const char *inw_join(struct inw_reader *r, const char *const *part, size_t count) __attribute__((warn_unused_result));

/* ---- faults ---- */
void inw_fault(struct inw_reader *r, const struct inw_node *at, const char *format, ...)
	__attribute__((format(printf, 3, 4)));
void inw_warn(struct inw_reader *r, const struct inw_node *at, const char *format, ...)
	__attribute__((format(printf, 3, 4)));
/* at the place where a quantity was written, or where it was used when another file holds it */
void inw_fault_q(struct inw_reader *r, inw_q q, const char *format, ...) __attribute__((format(printf, 3, 4)));
void inw_warn_q(struct inw_reader *r, inw_q q, const char *format, ...) __attribute__((format(printf, 3, 4)));
/* The same word but for capitals. */
bool inw_same_word(const char *a, const char *b);
/* "SAYING 'given'", with the nearest word or the list of them */
void inw_fault_word(struct inw_reader *r, const struct inw_node *at, const char *saying, const char *const *words,
		    size_t count);

/* ---- quantities ---- */
struct inw_derivation {
	const char *path, *how;
	enum inw_dim dim;
	double (*f)(const double *x);     /* monotone in each argument, so the corners bound it */
	inw_q from[INW_DEPENDS_ON];
	size_t count;
};
inw_q inw_quantity_add(struct inw_reader *r, const struct inw_quantity *q);
/* A number, or the mapping {value, low, high, source, at, basis, note}. INW_NONE after a fault. */
inw_q inw_quantity_read(struct inw_reader *r, const struct inw_node *n, enum inw_dim dim, const char *path);
/* The mapping form where it shares its mapping with other keys (which the caller has checked). */
inw_q inw_quantity_read_map(struct inw_reader *r, const struct inw_node *map, enum inw_dim dim, const char *path);
/* INW_NONE when one of `from` is. Range: the corners of theirs. Assumed when all of `from` are. */
inw_q inw_quantity_derive(struct inw_reader *r, const struct inw_derivation *how);
/* What follows from the form of the design and from no number in it: no heater, a level crack. */
inw_q inw_quantity_fixed(struct inw_reader *r, const char *path, enum inw_dim dim, double value, const char *why);
/* A catalogued default or requirement under `key`, registered under `path`. INW_NONE and a fault when there is none. */
inw_q inw_quantity_default(struct inw_reader *r, const char *key, enum inw_dim dim, const char *path);
bool inw_has_default(const struct inw_reader *r, const char *key);
/* Citation of a record or value mapping: title, year, id, locator, note. */
const char *inw_citation(struct inw_reader *r, const struct inw_node *map, enum inw_basis *basis);

double inw_best(const struct inw_reader *r, inw_q q); /* NaN for INW_NONE */
double inw_low(const struct inw_reader *r, inw_q q);
double inw_high(const struct inw_reader *r, inw_q q);
/* Its value with its unit, for a diagnostic. */
const char *inw_shown(struct inw_reader *r, inw_q q);
const char *inw_shown_as(struct inw_reader *r, double value, enum inw_dim dim);

/* A number that is no quantity of its own (a coefficient, an end of a law's range); NaN after a fault. */
double inw_plain_number(struct inw_reader *r, const struct inw_node *n, enum inw_dim dim, const char *path);

const struct inw_record *inw_record_find(const struct inw_reader *r, enum inw_section s, const char *name);

#endif
