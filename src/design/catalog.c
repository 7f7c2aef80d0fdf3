/* SPDX-License-Identifier: MIT */
#include "design/read.h"

#include <dirent.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "design/builtin.h"

#define MOST_RECORDS 2000
#define MOST_FILES 256

/* ---- gathering ---- */

static void add_record(struct inw_reader *r, enum inw_section s, const struct inw_record *record, size_t overridable)
{
	struct inw_records *all = &r->records[s];

	for (size_t i = 0; i < overridable; i++) {
		if (inw_is_word(all->item[i].name, record->name)) {
			all->item[i] = *record;
			return;
		}
	}
	if (all->count == all->capacity) {
		size_t capacity = all->capacity ? all->capacity * 2 : 64;
		struct inw_record *more = inw_take(r, capacity, sizeof(*more));

		if (!more)
			return;
		if (all->count)
			memcpy(more, all->item, all->count * sizeof(*more));
		all->item = more;
		all->capacity = capacity;
	}
	all->item[all->count++] = *record;
}

static void gather_section(struct inw_reader *r, enum inw_section s, const struct inw_node *map,
			   const struct inw_text_file *file)
{
	size_t before = r->records[s].count; /* keys of one mapping are unique: only earlier files are overridden */

	if (map->kind != INW_NODE_MAP) {
		inw_fault(r, map, "catalog section '%s' must be a mapping from name to record", inw_section_name[s]);
		return;
	}
	if (map->count > MOST_RECORDS) {
		inw_fault(r, map, "catalog section '%s' has %zu records; at most %d are taken", inw_section_name[s],
			  map->count, MOST_RECORDS);
		return;
	}
	for (size_t i = 0; i < map->count; i++) {
		struct inw_record record = { .name = map->key[i]->text, .node = map->item[i], .file = file };

		add_record(r, s, &record, before);
	}
}

void inw_catalog_gather(struct inw_reader *r, const struct inw_node *root, const struct inw_text_file *file)
{
	const struct inw_text_file *walked = r->file;

	r->file = file;
	if (root->kind != INW_NODE_MAP) {
		inw_fault(r, root, "a catalog must be a mapping from section to records");
		r->file = walked;
		return;
	}
	for (size_t i = 0; i < root->count; i++) {
		size_t s = 0;

		while (s < INW_SECTIONS && strcmp(root->key[i]->text, inw_section_name[s]))
			s++;
		if (s == INW_SECTIONS)
			inw_fault_word(r, root->key[i], "unknown catalog section", inw_section_name, INW_SECTIONS);
		else
			gather_section(r, (enum inw_section)s, root->item[i], file);
	}
	r->file = walked;
}

/* ---- loading ---- */

static enum inw_status load_tree(struct inw_reader *r, const struct inw_node *root, const char *name)
{
	struct inw_text_file *file = inw_take(r, 1, sizeof(*file));

	if (!file)
		return INW_NO_MEMORY;
	file->name = name;
	file->origin = INW_FROM_CATALOG;
	inw_catalog_gather(r, root, file);
	return INW_OK;
}

static int by_name(const void *a, const void *b)
{
	return strcmp(*(char *const *)a, *(char *const *)b);
}

static bool is_yaml(const char *name)
{
	size_t n = strlen(name);

	return name[0] != '.' && n > 5 && strcmp(name + n - 5, ".yaml") == 0;
}

/* Paths of the folder's *.yaml files, sorted, so that the order of reading is the same everywhere. */
static enum inw_status list_folder(struct inw_reader *r, const char *dir, const char **paths, size_t *count)
{
	DIR *folder = opendir(dir);
	struct dirent *entry;

	if (!folder) {
		inw_diag_add(r->diags, INW_ERROR, dir, 0, 0, "cannot open the catalog folder: %s", strerror(errno));
		return errno == ENOMEM ? INW_NO_MEMORY : INW_IO;
	}
	while ((entry = readdir(folder)) && *count < MOST_FILES)
		if (is_yaml(entry->d_name))
			paths[(*count)++] = inw_say(r, "%s/%s", dir, entry->d_name);
	closedir(folder);
	if (!*count || *count == MOST_FILES)
		inw_diag_add(r->diags, INW_ERROR, dir, 0, 0, "a catalog folder must hold from 1 to %d files *.yaml",
			     MOST_FILES - 1);
	qsort(paths, *count, sizeof(*paths), by_name);
	return INW_OK;
}

/* What stands in r->buffer; its faults are listed, and more files are read to find more. */
static enum inw_status load_text(struct inw_reader *r, size_t length, const char *name)
{
	const struct inw_node *root = inw_node_parse(r->arena, r->buffer, length, name, r->diags);

	return root ? load_tree(r, root, name) : INW_OK;
}

static enum inw_status load_folder(struct inw_reader *r, const char *dir)
{
	const char *paths[MOST_FILES];
	size_t count = 0;
	enum inw_status status = list_folder(r, dir, paths, &count);

	for (size_t i = 0; i < count && status == INW_OK && !r->no_memory; i++) {
		size_t length = 0;

		status = inw_read_file(r, paths[i], &length);
		if (status == INW_OK)
			status = load_text(r, length, paths[i]);
	}
	return status;
}

enum inw_status inw_catalog_load(struct inw_reader *r, const char *dir)
{
	enum inw_status status = INW_OK;

	if (dir)
		return load_folder(r, dir);
	for (size_t i = 0; i < inw_builtin_count && status == INW_OK; i++)
		status = load_tree(r, inw_builtin_files[i].root, inw_builtin_files[i].name);
	return status;
}

/* ---- records ---- */

/* One record on its way from text to struct. */
struct record_walk {
	struct inw_reader *r;
	const struct inw_record *record;
	const char *path;
};

/* Record i of several sections, taken as one list. */
static const struct inw_record *record_at(const struct inw_reader *r, const struct inw_sections *in, size_t i)
{
	size_t k = 0;

	while (k + 1 < in->count && i >= r->records[in->section[k]].count)
		i -= r->records[in->section[k++]].count;
	return &r->records[in->section[k]].item[i];
}

static size_t records_in(const struct inw_reader *r, const struct inw_sections *in)
{
	size_t all = 0;

	for (size_t k = 0; k < in->count; k++)
		all += r->records[in->section[k]].count;
	return all;
}

/* Whether the word is another name of the record: its own in other capitals, its title, one of its `also`. */
static bool is_also(const struct inw_record *record, const char *word)
{
	const struct inw_node *also = inw_list_at(record->node, "also");
	const char *title = inw_text_at(record->node, "title");

	if (inw_same_word(record->name, word) || (title && inw_same_word(title, word)))
		return true;
	for (size_t i = 0; also && i < also->count; i++)
		if (also->item[i]->kind == INW_NODE_SCALAR && inw_same_word(also->item[i]->text, word))
			return true;
	return false;
}

/* All names of all records: their own first, then the other ones, each with its record. */
struct names { const char **word; const struct inw_record **of; size_t own, count; };

static void add_name(struct names *names, const char *word, const struct inw_record *of)
{
	names->word[names->count] = word;
	names->of[names->count++] = of;
}

static bool gather_names(struct inw_reader *r, const struct inw_sections *in, struct names *out)
{
	size_t records = records_in(r, in), most = records;

	for (size_t i = 0; i < records; i++) {
		const struct inw_node *also = inw_list_at(record_at(r, in, i)->node, "also");

		most += also ? also->count : 0;
	}
	*out = (struct names){ inw_take(r, most, sizeof(*out->word)),
			       inw_take(r, most, sizeof(const struct inw_record *)), records, 0 };
	if (!out->word || !out->of)
		return false;
	for (size_t i = 0; i < records; i++)
		add_name(out, record_at(r, in, i)->name, record_at(r, in, i));
	for (size_t i = 0; i < records; i++) {
		const struct inw_node *also = inw_list_at(record_at(r, in, i)->node, "also");

		for (size_t k = 0; also && k < also->count; k++)
			if (also->item[k]->kind == INW_NODE_SCALAR && also->item[k]->length)
				add_name(out, also->item[k]->text, record_at(r, in, i));
	}
	return true;
}

/* Own names go before other ones; without any near, the own ones are listed. */
static void fault_record(struct inw_reader *r, const struct inw_node *n, const struct inw_sections *in,
			 const char *what)
{
	struct names names;
	const char *near;

	if (!gather_names(r, in, &names))
		return;
	near = inw_nearest_word(n->text, names.word, names.own) ? NULL
	     : inw_nearest_word(n->text, names.word + names.own, names.count - names.own);
	for (size_t i = names.own; near && i < names.count; i++) {
		if (names.word[i] != near)
			continue;
		inw_fault(r, n, "unknown %s '%.60s'; did you mean '%s', which is '%s'?", what, n->text, near,
			  names.of[i]->name);
		return;
	}
	inw_fault_word(r, n, inw_say(r, "unknown %s", what), names.word, names.own);
}

int inw_record_of(struct inw_reader *r, const struct inw_sections *in, const struct inw_node *n, const char *what)
{
	size_t records = records_in(r, in);

	if (!n || r->no_memory) /* then a section may be missing */
		return -1;
	if (n->kind != INW_NODE_SCALAR || !n->length) {
		inw_fault(r, n, "%s must be named by a single word", what);
		return -1;
	}
	for (size_t i = 0; i < records; i++)
		if (inw_is_word(record_at(r, in, i)->name, n->text))
			return (int)i;
	for (size_t i = 0; i < records; i++) {
		const struct inw_record *record = record_at(r, in, i);
		const char *title = inw_text_at(record->node, "title");

		if (!is_also(record, n->text))
			continue;
		inw_warn(r, n, "%s '%.60s' is read as '%s'%s%s%s", what, n->text, record->name, title ? " (" : "",
			 title ? title : "", title ? ")" : "");
		return (int)i;
	}
	fault_record(r, n, in, what);
	return -1;
}

int inw_record_index(struct inw_reader *r, enum inw_section s, const struct inw_node *n, const char *what)
{
	struct inw_sections in = { { s, s }, 1 };

	return inw_record_of(r, &in, n, what);
}

/* Other names of a record are words. */
static void check_also(struct inw_reader *r, const struct inw_record *record, const char *path)
{
	const struct inw_node *also = inw_list_at(record->node, "also");

	for (size_t i = 0; also && i < also->count; i++)
		if (also->item[i]->kind != INW_NODE_SCALAR || !also->item[i]->length)
			inw_fault(r, also->item[i], "%s.also must be a list of names", path);
}

/* Walk each record of a section with `read`, into an array of `size` bytes each. */
static void *read_section(struct inw_reader *r, enum inw_section s, size_t size, size_t *count,
                          void (*read)(const struct record_walk *w, void *out))
{
	struct inw_records *all = &r->records[s];
	char *out = inw_take(r, all->count, size);
	const struct inw_text_file *walked = r->file;

	if (!out)
		return NULL;
	*count = all->count;
	for (size_t i = 0; i < all->count; i++) {
		struct record_walk w = { r, &all->item[i], NULL };

		r->file = w.record->file;
		w.path = inw_say(r, "%s[%s]", inw_section_name[s], w.record->name);
		check_also(r, w.record, w.path);
		read(&w, out + i * size);
	}
	r->file = walked;
	return out;
}

/* keys of a VALUE that stands among other keys */
#define VALUE_KEYS INW_ANY("value", INW_OPTIONAL), INW_ANY("low", INW_OPTIONAL), INW_ANY("high", INW_OPTIONAL), \
	CITE_KEYS
#define CITE_KEYS INW_ANY("source", INW_OPTIONAL), INW_ANY("at", INW_OPTIONAL), INW_ANY("basis", INW_OPTIONAL), \
	INW_ANY("note", INW_OPTIONAL)

/* ---- substances ---- */

static const char *const vp_forms[] = { "dippr101", "antoine", "point" };

struct vp_record { int form; };
static const struct inw_field vp_fields[] = {
	INW_CHOICE("form", struct vp_record, form, vp_forms, INW_NEEDED),
	INW_LIST("c", 5, INW_OPTIONAL), INW_ANY("from", INW_OPTIONAL), INW_ANY("to", INW_OPTIONAL),
	INW_ANY("pressure", INW_OPTIONAL), INW_ANY("temperature", INW_OPTIONAL), INW_ANY("heat", INW_OPTIONAL),
	CITE_KEYS,
};
static const struct inw_schema vp_schema = INW_SCHEMA("a vapour pressure", vp_fields);

static double number_at(const struct record_walk *w, const struct inw_node *map, const char *key, enum inw_dim dim)
{
	const struct inw_node *n = inw_node_get(map, key);

	if (n)
		return inw_plain_number(w->r, n, dim, key);
	inw_fault(w->r, map, "%s.vapour_pressure needs '%s'", w->path, key);
	return NAN;
}

static void read_coefficients(const struct record_walk *w, const struct inw_node *map, struct inw_vapour_pressure *vp)
{
	const struct inw_node *c = inw_list_at(map, "c");
	size_t want = vp->form == INW_VP_DIPPR101 ? 5 : 3;

	if (!c || c->count != want) {
		inw_fault(w->r, c ? c : map, "%s.vapour_pressure needs 'c', a list of %zu numbers", w->path, want);
		return;
	}
	for (size_t i = 0; i < want; i++)
		vp->c[i] = inw_plain_number(w->r, c->item[i], INW_DIM_NONE, "c");
	vp->T_low_K = number_at(w, map, "from", INW_DIM_TEMPERATURE);
	vp->T_high_K = number_at(w, map, "to", INW_DIM_TEMPERATURE);
	if (vp->T_low_K >= vp->T_high_K)
		inw_fault(w->r, map, "%s.vapour_pressure: 'from' must be below 'to'", w->path);
}

static void read_point(const struct record_walk *w, const struct inw_node *map, struct inw_vapour_pressure *vp)
{
	vp->c[0] = number_at(w, map, "pressure", INW_DIM_PRESSURE);
	vp->c[1] = number_at(w, map, "temperature", INW_DIM_TEMPERATURE);
	vp->c[2] = number_at(w, map, "heat", INW_DIM_MOLAR_ENERGY);
	/* one measured point: its own temperature is all that was measured unless the record says more */
	vp->T_low_K = inw_node_get(map, "from") ? number_at(w, map, "from", INW_DIM_TEMPERATURE) : vp->c[1];
	vp->T_high_K = inw_node_get(map, "to") ? number_at(w, map, "to", INW_DIM_TEMPERATURE) : vp->c[1];
	if (vp->c[0] <= 0 || vp->c[2] <= 0)
		inw_fault(w->r, map, "%s.vapour_pressure: pressure and heat must be more than zero", w->path);
}

static void read_vapour_pressures(const struct record_walk *w, struct inw_substance *out)
{
	const struct inw_node *list = inw_list_at(w->record->node, "vapour_pressure");

	if (!list)
		return;
	out->vp = inw_take(w->r, list->count, sizeof(*out->vp));
	for (size_t i = 0; out->vp && i < list->count; i++) {
		const struct inw_node *map = list->item[i];
		struct inw_vapour_pressure *vp = &out->vp[i];
		struct vp_record record = { -1 };

		inw_schema_walk(w->r, map, &vp_schema, inw_say(w->r, "%s.vapour_pressure", w->path), &record);
		out->vp_count = i + 1;
		if (record.form < 0 || map->kind != INW_NODE_MAP)
			continue;
		vp->form = (enum inw_vp_form)record.form;
		vp->source = inw_citation(w->r, map, &vp->basis);
		if (vp->form == INW_VP_POINT)
			read_point(w, map, vp);
		else
			read_coefficients(w, map, vp);
	}
}

static const char *const limit_kinds[] = {
	"work 8h", "work 15min", "work ceiling", "home 1h", "home 8h", "home 24h", "home long",
};

struct limit_record { int kind; const char *body, *effect; };
static const struct inw_field limit_fields[] = {
	INW_CHOICE("kind", struct limit_record, kind, limit_kinds, INW_NEEDED),
	INW_TEXT("body", struct limit_record, body, INW_NEEDED),
	INW_TEXT("effect", struct limit_record, effect, INW_OPTIONAL),
	VALUE_KEYS,
};
static const struct inw_schema limit_schema = INW_SCHEMA("a limit", limit_fields);

/* One body may have set two limits of a kind; the second one's name ends in a number. */
static const char *limit_path(const struct record_walk *w, const struct inw_substance *s, size_t i, const char *body,
			      const char *kind)
{
	size_t before = 0;

	for (size_t k = 0; k < i; k++)
		before += s->limits[k].kind == s->limits[i].kind && s->limits[k].body &&
			  strcmp(s->limits[k].body, body) == 0;
	if (before)
		return inw_say(w->r, "%s.limits[%s %s %zu]", w->path, body, kind, before + 1);
	return inw_say(w->r, "%s.limits[%s %s]", w->path, body, kind);
}

static void read_limits(const struct record_walk *w, struct inw_substance *out)
{
	const struct inw_node *list = inw_list_at(w->record->node, "limits");

	if (!list)
		return;
	out->limits = inw_take(w->r, list->count, sizeof(*out->limits));
	for (size_t i = 0; out->limits && i < list->count; i++) {
		struct limit_record record = { -1, "", "" };
		struct inw_limit *limit = &out->limits[i];
		const char *path = inw_say(w->r, "%s.limits[%zu]", w->path, i + 1);

		inw_schema_walk(w->r, list->item[i], &limit_schema, path, &record);
		out->limit_count = i + 1;
		limit->value = INW_NONE;
		if (record.kind < 0)
			continue;
		limit->kind = (enum inw_limit_kind)record.kind;
		limit->body = record.body;
		limit->effect = record.effect;
		path = limit_path(w, out, i, record.body, limit_kinds[record.kind]);
		limit->value = inw_quantity_read_map(w->r, list->item[i], INW_DIM_CONCENTRATION, path);
		limit->value = inw_check_bounds(w->r, limit->value, &inw_positive);
	}
}

static const struct inw_field substance_fields[] = {
	INW_TEXT("title", struct inw_substance, title, INW_OPTIONAL),
	INW_LIST("also", 32, INW_OPTIONAL),
	INW_Q("molar_mass", struct inw_substance, molar_mass, MOLAR_MASS, INW_NEEDED, .bounds = &inw_positive),
	INW_LIST("vapour_pressure", 32, INW_OPTIONAL),
	INW_Q("liquid_density", struct inw_substance, liquid_density, DENSITY, .bounds = &inw_positive),
	INW_Q("molar_refraction", struct inw_substance, molar_refraction, MOLAR_VOLUME, .bounds = &inw_positive),
	INW_Q("diffusivity", struct inw_substance, diffusivity, DIFFUSIVITY, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("lfl", struct inw_substance, lfl, VOLUME_RATIO, .bounds = &inw_share_open),
	INW_FLAG("weakly_held", struct inw_substance, weakly_held),
	INW_LIST("limits", 64, INW_OPTIONAL),
	INW_TEXT("note", struct inw_substance, note, INW_OPTIONAL),
};
static const struct inw_schema substance_schema = INW_SCHEMA("a substance", substance_fields);

static void read_substance(const struct record_walk *w, void *at)
{
	struct inw_substance *out = at;

	out->name = out->title = w->record->name;
	out->note = "";
	inw_schema_walk(w->r, w->record->node, &substance_schema, w->path, out);
	read_vapour_pressures(w, out);
	read_limits(w, out);
}

/* ---- materials ---- */

static const char *const per_words[] = { "time", "mass" }; /* as enum inw_emission_per */

struct emission_record { int per, studies; };
static const struct inw_field gas_fields[] = {
	INW_ANY("substance", INW_NEEDED),
	INW_CHOICE("per", struct emission_record, per, per_words, INW_NEEDED),
	{ .key = "studies", .kind = INW_FIELD_WHOLE, .offset = offsetof(struct emission_record, studies) },
	VALUE_KEYS,
};
static const struct inw_schema gas_schema = INW_SCHEMA("a gas", gas_fields);

static void read_gas(const struct record_walk *w, const struct inw_node *map, size_t i, struct inw_emission *out)
{
	struct emission_record record = { -1, 0 };
	const char *path = inw_say(w->r, "%s.gases[%zu]", w->path, i + 1);

	inw_schema_walk(w->r, map, &gas_schema, path, &record);
	out->rate = INW_NONE;
	out->substance = map->kind == INW_NODE_MAP
	               ? inw_record_index(w->r, INW_SUBSTANCES, inw_node_get(map, "substance"), "substance") : -1;
	if (out->substance < 0 || record.per < 0)
		return;
	out->per = (enum inw_emission_per)record.per;
	out->studies = record.studies;
	path = inw_say(w->r, "%s.gases[%s]", w->path, w->r->records[INW_SUBSTANCES].item[out->substance].name);
	out->rate = inw_quantity_read_map(w->r, map, out->per == INW_PER_MASS ? INW_DIM_MASS_RATIO : INW_DIM_MASS_RATE,
					  path);
	out->rate = inw_check_bounds(w->r, out->rate, &inw_not_negative);
}

static void read_gases(const struct record_walk *w, struct inw_material *out)
{
	const struct inw_node *list = inw_list_at(w->record->node, "gases");

	if (!list)
		return;
	out->gases = inw_take(w->r, list->count, sizeof(*out->gases));
	for (size_t i = 0; out->gases && i < list->count; i++) {
		read_gas(w, list->item[i], i, &out->gases[i]);
		out->gas_count = i + 1;
		for (size_t k = 0; k < i; k++)
			if (out->gases[i].substance >= 0 && out->gases[k].substance == out->gases[i].substance)
				inw_fault(w->r, list->item[i], "%s.gases names one substance twice", w->path);
	}
}

static const struct inw_field particle_fields[] = {
	INW_CHOICE("per", struct emission_record, per, per_words, INW_NEEDED),
	{ .key = "studies", .kind = INW_FIELD_WHOLE, .offset = offsetof(struct emission_record, studies) },
	VALUE_KEYS,
};
static const struct inw_schema particle_schema = INW_SCHEMA("particles", particle_fields);

static void read_particles(const struct record_walk *w, struct inw_material *out)
{
	const struct inw_node *map = inw_map_at(w->record->node, "particles");
	struct emission_record record = { -1, 0 };
	const char *path = inw_say(w->r, "%s.particles", w->path);

	out->particles = INW_NONE;
	if (!map)
		return;
	inw_schema_walk(w->r, map, &particle_schema, path, &record);
	if (record.per < 0)
		return;
	out->particles_per = (enum inw_emission_per)record.per;
	out->particle_studies = record.studies;
	out->particles = inw_quantity_read_map(w->r, map,
		out->particles_per == INW_PER_MASS ? INW_DIM_NUMBER_PER_MASS : INW_DIM_NUMBER_RATE, path);
	out->particles = inw_check_bounds(w->r, out->particles, &inw_not_negative);
}

static const struct inw_field band_fields[] = {
	INW_Q("low", struct inw_material, chamber_low, TEMPERATURE, INW_NEEDED, .bounds = &inw_chamber_range),
	INW_Q("high", struct inw_material, chamber_high, TEMPERATURE, INW_NEEDED, .bounds = &inw_chamber_range),
};
static const struct inw_schema band_schema = INW_SCHEMA("a chamber band", band_fields);

/* Sizes all alike would be no distribution. */
static const struct inw_bounds spread_range = {1, 10, true,
					       "more than 1 and less than 10: a geometric standard deviation"};

static const struct inw_field material_fields[] = {
	INW_TEXT("title", struct inw_material, title, INW_OPTIONAL),
	INW_LIST("also", 32, INW_OPTIONAL),
	INW_TEXT("process", struct inw_material, process, INW_NEEDED),
	INW_MAP("chamber", INW_OPTIONAL),
	INW_Q("plate", struct inw_material, plate, TEMPERATURE, .bounds = &inw_plate_range),
	INW_Q("nozzle", struct inw_material, nozzle, TEMPERATURE, .bounds = &inw_nozzle_range),
	INW_LIST("gases", 64, INW_OPTIONAL),
	INW_MAP("particles", INW_NEEDED),
	INW_Q("particle_diameter", struct inw_material, particle_diameter, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("particle_spread", struct inw_material, particle_spread, NONE, .fallback = "materials.particle_spread",
	      .bounds = &spread_range),
	INW_Q("burst_gas", struct inw_material, burst_gas, NONE, .fallback = "materials.burst_gas",
	      .bounds = &inw_not_negative),
	INW_Q("burst_particles", struct inw_material, burst_particles, NONE, .fallback = "materials.burst_particles",
	      .bounds = &inw_not_negative),
	INW_Q("burst_time", struct inw_material, burst_time, TIME, .fallback = "materials.burst_time",
	      .bounds = &inw_not_negative),
	INW_Q("afterglow", struct inw_material, afterglow, FRACTION, .fallback = "materials.afterglow",
	      .bounds = &inw_share),
	INW_Q("afterglow_time", struct inw_material, afterglow_time, TIME, .fallback = "materials.afterglow_time",
	      .bounds = &inw_positive),
	INW_TEXT("note", struct inw_material, note, INW_OPTIONAL),
};
static const struct inw_schema material_schema = INW_SCHEMA("a material", material_fields);

static void read_material(const struct record_walk *w, void *at)
{
	struct inw_material *out = at;
	const struct inw_node *band = inw_map_at(w->record->node, "chamber");

	out->name = out->title = w->record->name;
	out->process = out->note = "";
	out->chamber_low = out->chamber_high = INW_NONE;
	inw_schema_walk(w->r, w->record->node, &material_schema, w->path, out);
	if (band)
		inw_schema_walk(w->r, band, &band_schema, inw_say(w->r, "%s.chamber", w->path), out);
	if (inw_best(w->r, out->chamber_low) > inw_best(w->r, out->chamber_high))
		inw_fault_q(w->r, out->chamber_low, "%s.chamber: 'low' is above 'high'", w->path);
	read_gases(w, out);
	read_particles(w, out);
}

/* ---- media, carbons, sheets, appliances: flat records ---- */

static const struct inw_field medium_fields[] = {
	INW_TEXT("title", struct inw_medium_class, title, INW_OPTIONAL),
	INW_LIST("also", 32, INW_OPTIONAL),
	INW_Q("efficiency", struct inw_medium_class, efficiency, FRACTION, INW_NEEDED, .bounds = &inw_share_open),
	INW_Q("worst_size", struct inw_medium_class, worst_size, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("rated_velocity", struct inw_medium_class, rated_velocity, VELOCITY, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("rated_dp", struct inw_medium_class, rated_dp, PRESSURE, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("final_ratio", struct inw_medium_class, final_ratio, NONE, INW_NEEDED, .bounds = &inw_loading_range),
};
static const struct inw_schema medium_schema = INW_SCHEMA("a medium", medium_fields);

static void read_medium(const struct record_walk *w, void *at)
{
	struct inw_medium_class *out = at;

	out->name = out->title = w->record->name;
	inw_schema_walk(w->r, w->record->node, &medium_schema, w->path, out);
}

static const struct inw_field carbon_fields[] = {
	INW_TEXT("title", struct inw_carbon, title, INW_OPTIONAL),
	INW_LIST("also", 32, INW_OPTIONAL),
	INW_Q("granule", struct inw_carbon, granule, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("sphericity", struct inw_carbon, sphericity, NONE, INW_NEEDED, .bounds = &inw_sphericity_range),
	INW_Q("voidage", struct inw_carbon, voidage, FRACTION, INW_NEEDED, .bounds = &inw_voidage_range),
	INW_Q("bulk_density", struct inw_carbon, bulk_density, DENSITY, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("micropore_volume", struct inw_carbon, micropore_volume, SPECIFIC_VOLUME, INW_NEEDED,
	      .bounds = &inw_positive),
	INW_Q("structure", struct inw_carbon, structure, NONE, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("water_half", struct inw_carbon, water_half, FRACTION, .fallback = "carbon.water_half",
	      .bounds = &inw_water_half_range),
	INW_Q("water_sites", struct inw_carbon, water_sites, FRACTION, .fallback = "carbon.water_sites",
	      .bounds = &inw_water_sites_range),
	INW_LIST("measured", INW_MOST_MEASURED, INW_OPTIONAL),
};
static const struct inw_schema carbon_schema = INW_SCHEMA("a carbon", carbon_fields);

static void read_carbon(const struct record_walk *w, void *at)
{
	struct inw_carbon *out = at;

	out->name = out->title = w->record->name;
	inw_schema_walk(w->r, w->record->node, &carbon_schema, w->path, out);
	inw_read_measured(w->r, w->record->node, w->path, &out->measured, &out->measureds);
}

static const struct inw_field panel_fields[] = {
	INW_TEXT("title", struct inw_panel_material, title, INW_OPTIONAL),
	INW_LIST("also", 32, INW_OPTIONAL),
	INW_Q("conductivity", struct inw_panel_material, conductivity, CONDUCTIVITY, INW_NEEDED,
	      .bounds = &inw_positive),
	INW_Q("emissivity", struct inw_panel_material, emissivity, NONE, INW_NEEDED, .bounds = &inw_share),
	INW_Q("density", struct inw_panel_material, density, DENSITY, .fallback = "panels.density",
	      .bounds = &inw_positive),
	INW_Q("heat", struct inw_panel_material, heat, SPECIFIC_HEAT, .fallback = "panels.heat",
	      .bounds = &inw_positive),
};
static const struct inw_schema panel_schema = INW_SCHEMA("a panel material", panel_fields);

static void read_panel(const struct record_walk *w, void *at)
{
	struct inw_panel_material *out = at;

	out->name = out->title = w->record->name;
	inw_schema_walk(w->r, w->record->node, &panel_schema, w->path, out);
}

static const struct inw_field multiwall_fields[] = {
	INW_TEXT("title", struct inw_multiwall, title, INW_OPTIONAL),
	INW_LIST("also", 32, INW_OPTIONAL),
	INW_Q("thickness", struct inw_multiwall, thickness, LENGTH, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("resistance", struct inw_multiwall, resistance, RESISTANCE, INW_NEEDED, .bounds = &inw_positive),
	INW_Q("emissivity", struct inw_multiwall, emissivity, NONE, INW_NEEDED, .bounds = &inw_share),
	INW_Q("weight", struct inw_multiwall, weight, MASS_PER_AREA, .fallback = "multiwalls.weight",
	      .bounds = &inw_positive),
	INW_Q("heat", struct inw_multiwall, heat, SPECIFIC_HEAT, .fallback = "panels.heat", .bounds = &inw_positive),
};
static const struct inw_schema multiwall_schema = INW_SCHEMA("a multiwall sheet", multiwall_fields);

static void read_multiwall(const struct record_walk *w, void *at)
{
	struct inw_multiwall *out = at;

	out->name = out->title = w->record->name;
	inw_schema_walk(w->r, w->record->node, &multiwall_schema, w->path, out);
}

static const struct inw_field appliance_fields[] = {
	INW_TEXT("title", struct inw_appliance_kind, title, INW_OPTIONAL),
	INW_LIST("also", 32, INW_OPTIONAL),
	INW_Q("limit", struct inw_appliance_kind, limit, PRESSURE, INW_NEEDED, .bounds = &inw_not_negative),
};
static const struct inw_schema appliance_schema = INW_SCHEMA("an appliance", appliance_fields);

static void read_appliance(const struct record_walk *w, void *at)
{
	struct inw_appliance_kind *out = at;

	out->name = out->title = w->record->name;
	inw_schema_walk(w->r, w->record->node, &appliance_schema, w->path, out);
}

/* ---- tests that a person can do ---- */

static const char *const sights[INW_SIGHTS] = {
	[INW_SEES_BOX_T] = "box temperature",       [INW_SEES_GAP_FLOW] = "flow through gaps",
	[INW_SEES_INWARD] = "inward or outward",    [INW_SEES_BOX_CLEARING] = "clearing of box",
	[INW_SEES_ROOM_AIR] = "air changes of room", [INW_SEES_CARBON] = "mass of carbon",
	[INW_SEES_CLEANER_FLOW] = "flow of cleaner", [INW_SEES_PARTICLE_PASS] = "particles let through",
	[INW_SEES_ROOM_PARTICLES] = "particles in room", [INW_SEES_POWER] = "power",
	[INW_SEES_SOUND] = "sound",
};

static const struct inw_field test_fields[] = {
	INW_TEXT("title", struct inw_test, title, INW_OPTIONAL),
	INW_LIST("also", 32, INW_OPTIONAL),
	INW_TEXT("how", struct inw_test, how, INW_NEEDED),
	INW_TEXT("cost", struct inw_test, cost, INW_NEEDED),
	INW_CHOICE("observes", struct inw_test, observes, sights, INW_NEEDED),
	INW_ANY("accuracy", INW_NEEDED),
};
static const struct inw_schema test_schema = INW_SCHEMA("a test", test_fields);

static enum inw_dim accuracy_dim(int sight)
{
	return sight == INW_SEES_BOX_T    ? INW_DIM_TEMPERATURE_DIFFERENCE
	       : sight == INW_SEES_INWARD ? INW_DIM_PRESSURE
	       : sight == INW_SEES_SOUND  ? INW_DIM_SOUND
					  : INW_DIM_FRACTION;
}

static void read_test(const struct record_walk *w, void *at)
{
	struct inw_test *out = at;

	out->name = out->title = w->record->name;
	out->how = out->cost = "";
	out->accuracy = INW_NONE;
	inw_schema_walk(w->r, w->record->node, &test_schema, w->path, out);
	for (size_t i = 0; w->record->node->kind == INW_NODE_MAP && i < w->record->node->count; i++)
		if (strcmp(w->record->node->key[i]->text, "accuracy") == 0)
			out->accuracy = inw_check_bounds(w->r, inw_quantity_read(w->r, w->record->node->item[i], accuracy_dim(out->observes),
										  inw_say(w->r, "%s.accuracy", w->path)), &inw_positive);
}

static void read_blower(const struct record_walk *w, void *at)
{
	struct inw_blower_class *out = at;

	out->name = out->title = w->record->name;
	inw_read_blower_class(w->r, w->record->node, w->path, false, out);
}

void inw_catalog_read(struct inw_reader *r)
{
	struct inw_catalog *c = &r->d->catalog;

	c->substance = read_section(r, INW_SUBSTANCES, sizeof(*c->substance), &c->substances, read_substance);
	c->material = read_section(r, INW_MATERIALS, sizeof(*c->material), &c->materials, read_material);
	c->medium = read_section(r, INW_MEDIUMS, sizeof(*c->medium), &c->mediums, read_medium);
	c->carbon = read_section(r, INW_CARBONS, sizeof(*c->carbon), &c->carbons, read_carbon);
	c->panel = read_section(r, INW_PANELS, sizeof(*c->panel), &c->panels, read_panel);
	c->multiwall = read_section(r, INW_MULTIWALLS, sizeof(*c->multiwall), &c->multiwalls, read_multiwall);
	c->blower = read_section(r, INW_BLOWERS, sizeof(*c->blower), &c->blowers, read_blower);
	c->appliance = read_section(r, INW_APPLIANCES, sizeof(*c->appliance), &c->appliances, read_appliance);
	c->test = read_section(r, INW_TESTS, sizeof(*c->test), &c->tests, read_test);
}
