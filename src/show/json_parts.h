/* SPDX-License-Identifier: MIT */
/* json_parts.h: what the report and the day share in JSON: additions that remember a failure, numbers whose names carry
 * their unit, verdicts. NaN and infinity have no form in JSON and become null.
 * Ownership: each value returned is the caller's until it is put or appended; what is put belongs to its parent. */
#ifndef INW_JSON_PARTS_H
#define INW_JSON_PARTS_H

#include <jansson.h>

#include "base/base.h"
#include "show/lines.h"

/* One report being built. `failed` sticks, so a chain of additions needs one check at the end. */
struct inw_json {
	bool failed;
};

void inw_json__put(struct inw_json *b, json_t *object, const char *name, json_t *value);
void inw_json__append(struct inw_json *b, json_t *array, json_t *value);
json_t *inw_json__text(const char *s);     /* null for NULL; what is not UTF-8 becomes '?' */
json_t *inw_json__sentence(const char *s); /* with its numbers written out, metric as everything in JSON */
json_t *inw_json__real(double value);
json_t *inw_json__integer(size_t value);
/* "value" with the unit of `dim` behind it: "value_Pa". */
void inw_json__put_unit(struct inw_json *b, json_t *object, const char *name, enum inw_dim dim, double value);
/* The same where it may be but a bound: then "value_Pa" is null, and "value_more_than_Pa" or "value_less_than_Pa" has it. */
void inw_json__put_bounded(struct inw_json *b, json_t *object, const char *name, enum inw_dim dim, struct inw_bounded value);
const char *inw_json__dimension(enum inw_dim dim); /* stable name */
json_t *inw_json__verdict(struct inw_json *b, const struct inw_verdict *v);
json_t *inw_json__strings(struct inw_json *b, const char *const *items, size_t count);
json_t *inw_json__quantity(struct inw_json *b, const struct inw_quantity *q);
/* Rows and columns of numbers. */
json_t *inw_json__series(struct inw_json *b, const struct inw_series *s);
json_t *inw_json__beds(struct inw_json *b, const struct inw_bed_profile *beds, size_t count);
/* Version of the tool, title, file and overall word. */
void inw_json__put_head(struct inw_json *b, json_t *o, const char *title, const char *file, enum inw_word overall);
/* The disclaimer, then all of `o`, which is used up, as text; NULL when anything has failed. */
char *inw_json__write(struct inw_json *b, json_t *o);

#endif
