/* SPDX-License-Identifier: MIT */
/* schema.h: a mapping's keys as a table, and the one walker that reads any of them.
 *
 * The walker lists every unknown key with the nearest right one, every value of the wrong kind, every missing key,
 * every quantity out of its bounds, and stores what it read at the field's offset. Fields that are maps, lists or of
 * several forms are only checked to be known and of the right kind; the caller reads them with inw_map_at or
 * inw_list_at.
 */
#ifndef INW_SCHEMA_H
#define INW_SCHEMA_H

#include "design/reader.h"

/* What a number must keep to. `words` says it for the reader of a diagnostic. */
struct inw_bounds { double low, high; bool open; /* the ends themselves are refused */ const char *words; };
extern const struct inw_bounds inw_positive, inw_not_negative, inw_share, inw_share_open, inw_share_not_full,
	inw_share_above_zero;
extern const struct inw_bounds inw_chamber_range, inw_plate_range, inw_nozzle_range, inw_room_range, inw_loading_range,
	inw_sphericity_range, inw_voidage_range, inw_exponent_range, inw_emissivity_range, inw_cd_range,
	inw_altitude_range, inw_pressure_range, inw_speed_range, inw_water_half_range, inw_water_sites_range;

enum inw_field_kind {
	INW_FIELD_QUANTITY, /* inw_q */
	INW_FIELD_TEXT,     /* const char * */
	INW_FIELD_FLAG,     /* bool, yes or no */
	INW_FIELD_CHOICE,   /* int, index into words */
	INW_FIELD_WHOLE,    /* int, a whole number from 0, or within its bounds */
	INW_FIELD_MAP, INW_FIELD_LIST, INW_FIELD_ANY /* not stored */
};
/* A word that people write, the one that is meant, and what that one means. The last of a list has no word. */
struct inw_hint { const char *word, *right, *means; };
struct inw_field {
	const char *key;
	enum inw_field_kind kind;
	enum inw_dim dim;
	size_t offset;
	bool required;
	const char *fallback;            /* key of the catalogued default */
	bool may_lack;                   /* the catalog may have no such default: INW_NONE then */
	const struct inw_bounds *bounds;
	const char *const *words;
	size_t word_count;
	const struct inw_hint *hints;    /* of a choice; NULL for none */
	size_t most;                     /* list: the most items taken */
};
struct inw_schema {
	const char *what;
	const struct inw_field *field;
	size_t count;
	bool partial; /* the mapping has other keys, which another schema checks */
};

/* map NULL: nothing was written, defaults alone are taken. */
void inw_schema_walk(struct inw_reader *r, const struct inw_node *map, const struct inw_schema *s, const char *path,
		     void *out);
/* The value of a key when it is of that kind, else NULL (the walker has said why). */
const struct inw_node *inw_map_at(const struct inw_node *map, const char *key);
const struct inw_node *inw_list_at(const struct inw_node *map, const char *key);
const char *inw_text_at(const struct inw_node *map, const char *key);
/* The quantity, or INW_NONE after a fault. */
inw_q inw_check_bounds(struct inw_reader *r, inw_q q, const struct inw_bounds *b) __attribute__((warn_unused_result));
/* The `name` of item i of a list, unique among names[0..i-1]; its number from 1 after a fault. Stored into names[i]. */
void inw_name_item(struct inw_reader *r, const struct inw_node *item, size_t i, const char **names, const char *what);

#define INW_NEEDED .required = true
#define INW_OPTIONAL .required = false
#define INW_Q(k, T, m, d, ...)                                                                                         \
	{                                                                                                              \
		.key = k, .kind = INW_FIELD_QUANTITY, .dim = INW_DIM_##d, .offset = offsetof(T, m), __VA_ARGS__        \
	}
#define INW_TEXT(k, T, m, ...) { .key = k, .kind = INW_FIELD_TEXT, .offset = offsetof(T, m), __VA_ARGS__ }
#define INW_FLAG(k, T, m) { .key = k, .kind = INW_FIELD_FLAG, .offset = offsetof(T, m) }
#define INW_CHOICE(k, T, m, w, ...)                                                                                    \
	{                                                                                                              \
		.key = k, .kind = INW_FIELD_CHOICE, .offset = offsetof(T, m), .words = w, .word_count = INW_COUNT(w),  \
		__VA_ARGS__                                                                                            \
	}
#define INW_MAP(k, ...) { .key = k, .kind = INW_FIELD_MAP, __VA_ARGS__ }
#define INW_LIST(k, n, ...) { .key = k, .kind = INW_FIELD_LIST, .most = n, __VA_ARGS__ }
#define INW_ANY(k, ...) { .key = k, .kind = INW_FIELD_ANY, __VA_ARGS__ }
#define INW_SCHEMA(w, f) { .what = w, .field = f, .count = INW_COUNT(f) }
#define INW_PART(w, f) { .what = w, .field = f, .count = INW_COUNT(f), .partial = true }

#endif
