/* SPDX-License-Identifier: MIT */
/* A design file from bytes to struct inw_design: catalog first, then the parts in an order where each needs only the
 * ones before it. */
#include "design/read.h"

#include <assert.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define TEXT_CEILING ((size_t)1 << 20)   /* as node.h */
#define ARENA_CEILING ((size_t)64 << 20) /* a text of 1 MiB cannot need more; what does is refused as memory out */

struct inw_shelf { struct inw_reader r; };

struct head { const char *title; };
static const struct inw_field root_fields[] = {
	INW_ANY("inward", INW_NEEDED),
	INW_TEXT("title", struct head, title, INW_OPTIONAL),
	INW_MAP("site", INW_OPTIONAL),
	INW_LIST("rooms", INW_MOST_ROOMS, INW_NEEDED),
	INW_LIST("doorways", INW_MOST_GAPS, INW_OPTIONAL),
	INW_LIST("people", INW_MOST_ROOMS, INW_OPTIONAL),
	INW_MAP("box", INW_NEEDED),
	INW_MAP("cleaner", INW_OPTIONAL),
	INW_MAP("heat", INW_OPTIONAL),
	INW_LIST("jobs", INW_MOST_JOBS, INW_NEEDED),
	INW_MAP("day", INW_OPTIONAL),
	INW_MAP("upkeep", INW_OPTIONAL),
	INW_MAP("choose", INW_OPTIONAL),
	INW_MAP("require", INW_OPTIONAL),
	INW_MAP("catalog", INW_OPTIONAL),
};
static const struct inw_schema root_schema = INW_SCHEMA("the design", root_fields);

static void check_version(struct inw_reader *r, const struct inw_node *root)
{
	const struct inw_node *n = inw_node_get(root, "inward");

	if (n && (n->kind != INW_NODE_SCALAR || strcmp(n->text, "1") != 0))
		inw_fault(r, n, "this reader knows version 1 of the format only: write 'inward: 1'");
}

static void read_parts(struct inw_reader *r, const struct inw_node *root)
{
	struct head head = { r->d->file };
	const struct inw_node *own = inw_map_at(root, "catalog");

	inw_schema_walk(r, root, &root_schema, "", &head);
	r->d->title = head.title;
	check_version(r, root);
	if (own)
		inw_catalog_gather(r, own, r->file);
	if (!r->shelf)
		inw_catalog_read(r);
	inw_read_site(r, root);
	inw_read_rooms(r, root);
	inw_read_people(r, root);
	inw_read_box(r, root);
	inw_read_near(r, root);
	inw_read_cleaner(r, root);
	inw_find_ways(r->d);
	inw_read_jobs(r, root);
	inw_read_heat(r, root);
	inw_read_day(r, root);
	inw_read_require(r, root);
	inw_read_upkeep(r, root);
	inw_read_choose(r, root);
}

/* D2; what breaks it is a bug of the reading. */
static void assert_quantities(const struct inw_design *d)
{
	for (size_t i = 0; i < d->quantities; i++) {
		const struct inw_quantity *q = &d->quantity[i];

		assert(q->path && q->source);
		assert(isfinite(q->low) && isfinite(q->high) && q->low <= q->value && q->value <= q->high);
		(void)q;
	}
}

static enum inw_status outcome(const struct inw_reader *r, size_t errors_before)
{
	if (r->no_memory || r->diags->out_of_memory)
		return INW_NO_MEMORY;
	return r->diags->errors > errors_before ? INW_BAD_INPUT : INW_OK;
}

static void *copy(struct inw_reader *r, const void *from, size_t count, size_t size)
{
	void *to = inw_take(r, count, size);

	return to && count ? memcpy(to, from, count * size) : to;
}

/* As if the built-in catalog had been loaded and read: what grows or is written to later is the reader's own. */
static enum inw_status take_catalog(struct inw_reader *r)
{
	const struct inw_reader *kept = &r->shelf->r;
	const struct inw_design *d = kept->d;

	r->d->catalog = d->catalog;
	r->capacity = d->quantities + 512; /* of the design itself: grows like any other where that is not enough */
	r->d->quantity = inw_take(r, r->capacity, sizeof(*d->quantity));
	r->d->dependence = copy(r, d->dependence, d->dependences, sizeof(*d->dependence));
	r->d->dependences = r->dependence_capacity = d->dependences;
	for (size_t s = 0; s < INW_SECTIONS; s++) {
		const struct inw_records *all = &kept->records[s];

		r->records[s] = (struct inw_records){ copy(r, all->item, all->count, sizeof(*all->item)), all->count, all->count };
	}
	if (r->no_memory)
		return INW_NO_MEMORY;
	memcpy(r->d->quantity, d->quantity, d->quantities * sizeof(*d->quantity));
	r->d->quantities = d->quantities;
	return INW_OK;
}

static enum inw_status read_bytes(struct inw_reader *r, const char *bytes, size_t length,
				  const struct inw_read_options *options)
{
	size_t before = r->errors_before = r->diags->errors;
	const struct inw_node *root = inw_node_parse(r->arena, bytes, length, r->d->file, r->diags);
	enum inw_status status;

	r->d->bytes = inw_arena_dup(r->arena, bytes, length);
	r->d->length = length;
	if (options && options->catalog_dir)
		r->d->catalog_dir = inw_arena_dup(r->arena, options->catalog_dir, strlen(options->catalog_dir));
	r->no_memory |= !r->d->bytes || (options && options->catalog_dir && !r->d->catalog_dir);
	if (!root)
		return r->diags->errors > before && !r->diags->out_of_memory ? INW_BAD_INPUT : INW_NO_MEMORY;
	if (root->kind != INW_NODE_MAP) {
		inw_fault(r, root, "a design must be a mapping of keys that begins with 'inward: 1'");
		return outcome(r, before);
	}
	if (inw_map_at(root, "catalog")) /* its records may stand in for those of the built-in catalog */
		r->shelf = NULL;
	status = r->shelf ? take_catalog(r) : inw_catalog_load(r, options ? options->catalog_dir : NULL);
	if (status != INW_OK)
		return status;
	read_parts(r, root);
	status = outcome(r, before);
	if (status == INW_OK)
		assert_quantities(r->d);
	return status;
}

/* A reader with an empty design. NULL when memory is out. */
static struct inw_design *new_design(struct inw_reader *r, const char *name)
{
	struct inw_arena *arena = inw_arena_new(ARENA_CEILING);
	struct inw_text_file *file;

	if (!arena)
		return NULL;
	r->arena = arena;
	r->d = inw_take(r, 1, sizeof(*r->d));
	file = inw_take(r, 1, sizeof(*file));
	if (r->d && file) {
		r->d->arena = arena;
		file->name = r->d->file = inw_arena_dup(arena, name, strlen(name));
		file->origin = INW_FROM_FILE;
		r->file = file;
		if (file->name)
			return r->d;
	}
	inw_arena_free(arena);
	return NULL;
}

static enum inw_status finish(struct inw_reader *r, enum inw_status status, struct inw_design **out)
{
	if (status == INW_OK)
		*out = r->d;
	else
		inw_arena_free(r->arena);
	return status;
}

enum inw_status inw_catalog_open(struct inw_reader *r)
{
	size_t before = r->diags->errors;
	enum inw_status status;

	if (!new_design(r, "catalog"))
		return INW_NO_MEMORY;
	status = inw_catalog_load(r, NULL);
	if (status == INW_OK)
		inw_catalog_read(r);
	if (status == INW_OK)
		status = outcome(r, before);
	if (status != INW_OK)
		inw_arena_free(r->arena);
	return status;
}

enum inw_status inw_shelf_new(struct inw_shelf **out, struct inw_diags *diags)
{
	struct inw_reader r = { .diags = diags };
	enum inw_status status = inw_catalog_open(&r);

	*out = NULL;
	if (status != INW_OK)
		return status;
	*out = inw_take(&r, 1, sizeof(**out));
	if (*out)
		(*out)->r = r;
	else
		inw_arena_free(r.arena);
	return *out ? INW_OK : INW_NO_MEMORY;
}

void inw_shelf_free(struct inw_shelf *shelf)
{
	if (shelf)
		inw_arena_free(shelf->r.arena);
}

enum inw_status inw_shelf_parse(const struct inw_shelf *shelf, const char *bytes, size_t length, const char *name,
				struct inw_design **out, struct inw_diags *diags)
{
	struct inw_reader r = { .diags = diags, .shelf = shelf };

	*out = NULL;
	if (!new_design(&r, name))
		return INW_NO_MEMORY;
	return finish(&r, read_bytes(&r, bytes, length, NULL), out);
}

enum inw_status inw_design_parse(const char *bytes, size_t length, const char *name,
				 const struct inw_read_options *options, struct inw_design **out,
				 struct inw_diags *diags)
{
	struct inw_reader r = { .diags = diags };

	*out = NULL;
	if (!new_design(&r, name))
		return INW_NO_MEMORY;
	return finish(&r, read_bytes(&r, bytes, length, options), out);
}

enum inw_status inw_catalog_alone(struct inw_design **out, struct inw_diags *diags)
{
	struct inw_reader r = { .diags = diags };
	size_t before = diags->errors;
	enum inw_status status;

	*out = NULL;
	if (!new_design(&r, "the catalog"))
		return INW_NO_MEMORY;
	status = inw_catalog_load(&r, NULL);
	if (status == INW_OK)
		inw_catalog_read(&r);
	return finish(&r, status == INW_OK ? outcome(&r, before) : status, out);
}

enum inw_status inw_read_file(struct inw_reader *r, const char *path, size_t *length)
{
	FILE *f = fopen(path, "rb");
	int failed;

	if (!f) {
		inw_diag_add(r->diags, INW_ERROR, path, 0, 0, "cannot open: %s", strerror(errno));
		return errno == ENOMEM ? INW_NO_MEMORY : INW_IO;
	}
	if (!r->buffer)
		r->buffer = inw_take(r, TEXT_CEILING + 1,
				     1); /* one more, so that node.c sees and says that it is too long */
	errno = 0;
	*length = r->buffer ? fread(r->buffer, 1, TEXT_CEILING + 1, f) : 0;
	failed = ferror(f);
	if (failed)
		inw_diag_add(r->diags, INW_ERROR, path, 0, 0, "cannot read: %s", strerror(errno));
	fclose(f);
	return !r->buffer ? INW_NO_MEMORY : failed ? INW_IO : INW_OK;
}

enum inw_status inw_design_read(const char *path, const struct inw_read_options *options, struct inw_design **out,
                                struct inw_diags *diags)
{
	struct inw_reader r = { .diags = diags };
	enum inw_status status;
	size_t length = 0;

	*out = NULL;
	if (!new_design(&r, path))
		return INW_NO_MEMORY;
	status = inw_read_file(&r, path, &length);
	if (status == INW_OK)
		status = read_bytes(&r, r.buffer, length, options);
	return finish(&r, status, out);
}

enum inw_status inw_design_changed(const struct inw_design *d, const struct inw_change *change, size_t changes,
				   struct inw_design **out, struct inw_diags *diags)
{
	struct inw_reader r = { .diags = diags, .change = change, .changes = changes };
	const struct inw_read_options options = { d->catalog_dir };

	*out = NULL;
	if (!new_design(&r, d->file))
		return INW_NO_MEMORY;
	return finish(&r, read_bytes(&r, d->bytes, d->length, &options), out);
}
