/* SPDX-License-Identifier: MIT */
/* read.h: the parts of the reading, in the order in which they are called. Each fills its part of r->d. */
#ifndef INW_READ_H
#define INW_READ_H

#include "design/schema.h"

enum {
	INW_MOST_ROOMS = 64,
	INW_MOST_GAPS = 256,
	INW_MOST_STAGES = 16,
	INW_MOST_JOBS = 64,
	INW_MOST_MEASURED = 16,
	INW_MOST_POINTS = 24 /* INW_BLOWER_POINTS in physics/flow.h */
};

/* Gather the records of a catalog file (or of the `catalog:` of a design file): later ones of the same name count. */
void inw_catalog_gather(struct inw_reader *r, const struct inw_node *root, const struct inw_text_file *file);
/* Read all gathered records into r->d->catalog. */
void inw_catalog_read(struct inw_reader *r);
/* A design with nothing but the built-in catalog, for what may be named before there is a design. */
enum inw_status inw_catalog_alone(struct inw_design **out, struct inw_diags *diags) __attribute__((warn_unused_result));
/* Read `*.yaml` in `dir` (NULL: the built-in files) and gather them. */
enum inw_status inw_catalog_load(struct inw_reader *r, const char *dir);
/* The built-in catalog alone, for a reader with nothing but diagnostics. r->arena is the caller's when that is INW_OK. */
enum inw_status inw_catalog_open(struct inw_reader *r);
/* The built-in catalog read once, for the designs of a program that reads many. Each takes from the shelf what it would have
 * read, so the shelf must outlast them; any number of threads may read from it. */
struct inw_shelf;
enum inw_status inw_shelf_new(struct inw_shelf **out, struct inw_diags *diags) __attribute__((warn_unused_result));
void inw_shelf_free(struct inw_shelf *shelf);
/* inw_design_parse with the built-in catalog. */
enum inw_status inw_shelf_parse(const struct inw_shelf *shelf, const char *bytes, size_t length, const char *name,
				struct inw_design **out, struct inw_diags *diags) __attribute__((warn_unused_result));
/* The whole file into r->buffer (until the next one is read), at most a byte more than 1 MiB. */
enum inw_status inw_read_file(struct inw_reader *r, const char *path, size_t *length);
/* A blower by its curve, or by free delivery, shut-off pressure and shape. */
void inw_read_blower_class(struct inw_reader *r, const struct inw_node *map, const char *path, bool in_stage,
                            struct inw_blower_class *out);
/* The key `measured` of a carbon: after the substances. Nothing is changed without it. */
void inw_read_measured(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_measured **out, size_t *count);
/* The measured loadings of a bed against what its pores hold. */
void inw_check_measured(struct inw_reader *r, const char *path, const struct inw_bed *bed);
/* Sections searched as one list, in that order. */
struct inw_sections { enum inw_section section[2]; size_t count; };
/* Index of a record named by a scalar, by its name or, with a warning, by another name of it (`also`); or -1 after a
 * fault with the nearest name. */
int inw_record_of(struct inw_reader *r, const struct inw_sections *in, const struct inw_node *n, const char *what);
int inw_record_index(struct inw_reader *r, enum inw_section s, const struct inw_node *n, const char *what);

void inw_read_site(struct inw_reader *r, const struct inw_node *root);
void inw_read_rooms(struct inw_reader *r, const struct inw_node *root);
void inw_read_people(struct inw_reader *r, const struct inw_node *root);
/* Once it is known where the box stands and where its air goes: which doorways lead from there to flues and to people. */
void inw_find_ways(struct inw_design *d);
void inw_read_box(struct inw_reader *r, const struct inw_node *root);
void inw_read_near(struct inw_reader *r, const struct inw_node *root);
void inw_read_cleaner(struct inw_reader *r, const struct inw_node *root);
void inw_read_heat(struct inw_reader *r, const struct inw_node *root);
void inw_read_jobs(struct inw_reader *r, const struct inw_node *root);
void inw_read_day(struct inw_reader *r, const struct inw_node *root);
/* What the file leaves open of when the day begins; after people, jobs and day. */
void inw_day_settle(struct inw_reader *r);
void inw_read_require(struct inw_reader *r, const struct inw_node *root);
void inw_read_upkeep(struct inw_reader *r, const struct inw_node *root);
void inw_read_choose(struct inw_reader *r, const struct inw_node *root); /* last: it names what the others read */

/* Room named by a scalar; INW_OUTDOORS for "outdoors" where `outdoors` allows it; INW_NOWHERE after a fault. */
int inw_room_index(struct inw_reader *r, const struct inw_node *n, bool outdoors);
/* A power-law leak {flow, at, exponent} or {area, exponent}: C and n. map NULL: the default area. */
void inw_read_leak(struct inw_reader *r, const struct inw_node *map, const char *path, const char *defaults, inw_q *C,
		   inw_q *n);
extern const char *const inw_face_words[INW_FACES];
extern const char *const inw_weekday_words[7];
/* The key `days` of a mapping: a list of weekdays; every day without it. Bit 0 is Monday. */
unsigned char inw_read_days(struct inw_reader *r, const struct inw_node *map, const char *path);

#endif
