/* SPDX-License-Identifier: MIT */
/* change.c: the numbers of a text, other numbers in their places, and the text kept in the file. */
#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "design/rewrite.h"
#include "serve/api.h"
#include "show/json_parts.h"

enum { VALUE_SIZE = 256 };

/* ---- quantities -------------------------------------------------------------------------------------------------- */

bool serve_is_written(const struct serve_ask *a, const struct inw_quantity *q)
{
	return q->origin == INW_FROM_FILE && q->line > 0 && q->file && strcmp(q->file, a->desk->name) == 0;
}

static struct inw_rewritable text_of(const struct serve_ask *a)
{
	return (struct inw_rewritable){a->desk->name, a->text.bytes, a->text.length};
}

void serve_put_format(struct inw_json *b, json_t *o, double value, enum inw_dim dim)
{
	char text[64];
	inw_json__put(b, o, "si", inw_json__text(inw_format(text, sizeof text, value, dim, INW_SI)));
	inw_json__put(b, o, "us", inw_json__text(inw_format(text, sizeof text, value, dim, INW_US)));
}

static json_t *quantity(struct inw_json *b, const struct inw_quantity *q, json_t *written)
{
	json_t *o = inw_json__quantity(b, q);
	/* the largest number there is means that only infinity is kept out, and its decimals would be read as that */
	inw_json__put_unit(b, o, "least", q->dim, q->least > -DBL_MAX ? q->least : NAN);
	inw_json__put_unit(b, o, "most", q->dim, q->most < DBL_MAX ? q->most : NAN);
	serve_put_format(b, o, q->value, q->dim);
	inw_json__put(b, o, "written", written ? written : json_null());
	return o;
}

/* Quantities of the text, and what it writes of each, found in one walk over it. */
struct place { int line, column; size_t nth; };
struct wanted {
	const struct inw_quantity **q; /* [count] */
	json_t **says;                 /* [count]; NULL: nothing */
	struct place *place; size_t places; /* of those written, in the order of the text */
	size_t count;
	bool failed;
};

static int by_place(const void *left, const void *right)
{
	const struct place *a = left, *b = right;
	return a->line != b->line ? (a->line > b->line) - (a->line < b->line) : (a->column > b->column) - (a->column < b->column);
}

/* Several quantities may stand in one place: a sheet of all panels. */
static void note_at(struct wanted *w, int line, int column, const struct inw_scalar *s)
{
	const struct place key = {line, column, 0};
	struct place *at = bsearch(&key, w->place, w->places, sizeof *at, by_place);
	while (at && at > w->place && by_place(at - 1, &key) == 0)
		at--;
	for (; at && at < w->place + w->places && by_place(at, &key) == 0; at++)
		if (!w->says[at->nth] && s->length < VALUE_SIZE) {
			w->says[at->nth] = json_stringn(s->says, s->length);
			w->failed |= !w->says[at->nth];
		}
}

static void note(void *context, const struct inw_scalar *s)
{
	note_at(context, s->line, s->column, s);
	if (s->line != s->line_before || s->column != s->column_before)
		note_at(context, s->line_before, s->column_before, s);
}

static bool wanted_begin(struct wanted *w, size_t count)
{
	*w = (struct wanted){.q = calloc(count + 1, sizeof *w->q), .says = calloc(count + 1, sizeof *w->says), .place = calloc(count + 1, sizeof *w->place)};
	return w->q && w->says && w->place;
}

/* The list as JSON; frees what it was made from. */
static json_t *wanted_end(struct inw_json *b, const struct serve_ask *a, struct wanted *w)
{
	struct inw_rewritable t = text_of(a);
	json_t *list = json_array();
	for (size_t i = 0; i < w->count; i++)
		if (serve_is_written(a, w->q[i]))
			w->place[w->places++] = (struct place){w->q[i]->line, w->q[i]->column, i};
	qsort(w->place, w->places, sizeof *w->place, by_place);
	b->failed |= inw_rewrite_each(&t, note, w) == INW_NO_MEMORY || w->failed;
	for (size_t i = 0; i < w->count; i++)
		inw_json__append(b, list, quantity(b, w->q[i], w->says[i]));
	return list;
}

static void wanted_free(struct wanted *w)
{
	free(w->q);
	free(w->says);
	free(w->place);
}

static json_t *all_quantities(struct inw_json *b, const struct serve_ask *a, const struct inw_design *d)
{
	struct wanted w;
	size_t count = inw_design_quantity_count(d);
	bool good = wanted_begin(&w, count);
	for (; good && w.count < count; w.count++)
		w.q[w.count] = inw_design_quantity(d, w.count);
	json_t *list = good ? wanted_end(b, a, &w) : NULL;
	wanted_free(&w);
	return list;
}

struct serve_reply *serve_quantities(struct serve_ask *a)
{
	struct serve_study *s = serve_study_open(a->desk, &a->text, false);
	struct serve_reply *r = NULL;
	if (s && s->d) {
		struct inw_json b = {false};
		char hex[SERVE_HEX];
		json_t *o = json_object();
		serve_hex(a->text.hash, hex);
		inw_json__put(&b, o, "title", inw_json__text(inw_design_title(s->d)));
		inw_json__put(&b, o, "hash", inw_json__text(hex));
		inw_json__put(&b, o, "quantities", all_quantities(&b, a, s->d));
		inw_json__put(&b, o, "diagnostics", serve_diagnostics(&s->diags));
		r = serve_reply_or_none(&b, o);
	} else {
		r = serve_study_trouble(s);
	}
	if (s)
		serve_study_close(a->desk, s);
	return r;
}

/* ---- other numbers in their places ------------------------------------------------------------------------------- */

struct change {
	const char *path;
	const struct inw_quantity *q;
	char value[VALUE_SIZE];
};
struct changes {
	struct change item[INW_MOST_EDITS];
	size_t count;
};

static struct serve_reply *bad_change(const char *what)
{
	return serve_trouble(400, "bad_request", what);
}

static const struct inw_quantity *find(const struct inw_design *d, const char *path)
{
	for (size_t i = 0; i < inw_design_quantity_count(d); i++)
		if (strcmp(inw_design_quantity(d, i)->path, path) == 0)
			return inw_design_quantity(d, i);
	return NULL;
}

/* As wide as it was, in proportion: what is known of a gap's width to a third stays known to a third. */
static bool scaled_range(const struct inw_quantity *q, double value, double out[3])
{
	double ratio = value / q->value;
	if (!(q->low < q->high) || !isfinite(ratio) || ratio <= 0 || q->dim == INW_DIM_TEMPERATURE || q->dim == INW_DIM_CLOCK)
		return false;
	out[0] = value;
	out[1] = fmax(q->low * ratio, fmin(q->least, value)); /* no wider than may be written */
	out[2] = fmin(q->high * ratio, fmax(q->most, value));
	return true;
}

/* A number is written in the unit that stands there. */
static enum inw_status write_number(const struct serve_ask *a, struct change *c, double value, bool scale)
{
	char old[VALUE_SIZE];
	double ends[3];
	struct inw_rewritable t = text_of(a);
	enum inw_status s = inw_rewrite_says(&t, c->q->line, c->q->column, old, sizeof old);
	if (s != INW_OK)
		return s;
	const char *written = scale && scaled_range(c->q, value, ends) ? inw_rewrite_range(c->value, sizeof c->value, old, c->q->dim, ends)
	                                                             : inw_rewrite_number(c->value, sizeof c->value, old, c->q->dim, value);
	return written ? INW_OK : INW_BAD_INPUT;
}

static struct serve_reply *read_change(const struct serve_ask *a, const struct inw_design *d, const json_t *o, struct change *c)
{
	const json_t *value = json_object_get(o, "value"), *range = json_object_get(o, "range");
	const char *text = json_string_value(json_object_get(o, "text"));
	c->path = json_string_value(json_object_get(o, "path"));
	if (!c->path || !text == !json_is_number(value))
		return bad_change("each of 'set' needs a 'path', and either 'value' (a number in SI) or 'text' ('12 mm')");
	const char *how = range ? json_string_value(range) : "none";
	if (!how || (strcmp(how, "none") && strcmp(how, "scaled")))
		return bad_change("'range' is 'none' or 'scaled'");
	c->q = find(d, c->path);
	if (!c->q)
		return serve_trouble(404, "no_such_name", "no quantity of the design has that path");
	if (!serve_is_written(a, c->q))
		return serve_trouble(422, "not_written", "the text does not write this number itself: it is assumed, from the catalog, or "
		                     "worked out");
	if (text && strlen(text) >= sizeof c->value)
		return bad_change("that text is too long for a number");
	enum inw_status s = INW_OK;
	if (text)
		snprintf(c->value, sizeof c->value, "%s", text);
	else
		s = write_number(a, c, json_number_value(value), strcmp(how, "scaled") == 0);
	if (s == INW_NO_MEMORY)
		return serve_reply_no_memory();
	if (s != INW_OK)
		return serve_trouble(422, "bad_value", "that number cannot be written in the unit that stands there");
	return NULL;
}

static struct serve_reply *read_changes(const struct serve_ask *a, const struct inw_design *d, struct changes *all)
{
	const json_t *list = json_object_get(a->sent, "set");
	size_t n = json_array_size(list);
	if (n < 1 || n > INW_MOST_EDITS)
		return bad_change("'set' must be a list of 1 to 64 changes");
	for (; all->count < n; all->count++) {
		const json_t *o = json_array_get(list, all->count);
		struct serve_reply *r = json_is_object(o) ? read_change(a, d, o, &all->item[all->count])
		                                          : bad_change("each of 'set' must be an object");
		if (r)
			return r;
	}
	return NULL;
}

/* The new text, or an answer that says why not. */
static struct serve_reply *rewrite(const struct serve_ask *a, const struct changes *all, struct inw_text *out)
{
	struct inw_edit edit[INW_MOST_EDITS];
	struct inw_diags diags = {0};
	struct inw_rewritable t = text_of(a);
	for (size_t i = 0; i < all->count; i++)
		edit[i] = (struct inw_edit){all->item[i].q->line, all->item[i].q->column, all->item[i].value};
	enum inw_status s = inw_rewrite(&t, edit, all->count, out, &diags);
	struct serve_reply *r = s == INW_OK ? NULL : serve_status_trouble(s, &diags);
	inw_diags_free(&diags);
	return r;
}

/* The text that is asked about becomes the changed one. */
static struct serve_reply *change_text(struct serve_ask *a)
{
	struct inw_text new = {0};
	struct changes *all = calloc(1, sizeof *all);
	struct serve_study *s = all ? serve_study_open(a->desk, &a->text, false) : NULL;
	struct serve_reply *r = !all ? serve_reply_no_memory() : s && s->d ? read_changes(a, s->d, all) : serve_study_trouble(s);
	if (!r)
		r = rewrite(a, all, &new);
	if (s)
		serve_study_close(a->desk, s);
	free(all);
	if (r) {
		inw_text_free(&new);
		return r;
	}
	serve_text_free(&a->text);
	a->text.bytes = new.s;
	a->text.length = new.length;
	serve_text_hash(&a->text);
	return NULL;
}

/* What was set, as it reads now. */
static json_t *now_set(struct inw_json *b, struct serve_ask *a, const struct inw_design *d)
{
	const json_t *set = json_object_get(a->sent, "set");
	struct wanted w;
	bool good = wanted_begin(&w, json_array_size(set));
	for (size_t i = 0; good && i < json_array_size(set); i++) {
		const struct inw_quantity *q = find(d, json_string_value(json_object_get(json_array_get(set, i), "path")));
		if (q)
			w.q[w.count++] = q;
	}
	json_t *list = good ? wanted_end(b, a, &w) : NULL;
	wanted_free(&w);
	return list;
}

/* {"text", "hash", "set", "diagnostics"}, compact and open at its end, for the check to follow byte for byte. */
static bool put_head(struct serve_ask *a, struct inw_text *t)
{
	struct inw_json b = {false};
	char hex[SERVE_HEX];
	json_t *o = json_object();
	struct serve_study *s = serve_study_open(a->desk, &a->text, false);
	serve_hex(a->text.hash, hex);
	inw_json__put(&b, o, "text", json_stringn(a->text.bytes, a->text.length));
	inw_json__put(&b, o, "hash", inw_json__text(hex));
	inw_json__put(&b, o, "set", s && s->d ? now_set(&b, a, s->d) : NULL);
	inw_json__put(&b, o, "diagnostics", s ? serve_diagnostics(&s->diags) : NULL);
	if (s)
		serve_study_close(a->desk, s);
	char *head = b.failed ? NULL : json_dumps(o, JSON_COMPACT | JSON_REAL_PRECISION(15));
	json_decref(o);
	if (head)
		inw_text_addn(t, head, strlen(head) - 1);
	free(head);
	return head != NULL;
}

/* Without "check=no", the check follows the head. */
static struct serve_reply *put_check(struct serve_ask *a, struct inw_text *t)
{
	struct serve_reply *r = serve_kept_or_made(a, &a->desk->quick, "check", serve_make_check);
	if (!r || r->status != 200)
		return r;
	inw_text_add(t, ",\n\"check\": ");
	inw_text_addn(t, r->body, r->length);
	serve_reply_drop(r);
	return NULL;
}

/* With "words=yes", the verdicts in words and the parts follow it. */
static bool put_words(struct serve_ask *a, struct inw_text *t)
{
	struct inw_json b = {false};
	json_t *o = json_object();
	struct serve_study *s = serve_study_open(a->desk, &a->text, true);
	struct serve_said said = s && s->r ? serve_said_of(s->r) : (struct serve_said){0};
	inw_json__put(&b, o, "words", s && s->r ? serve_words(&b, &said, a->units) : NULL);
	inw_json__put(&b, o, "parts", s && s->d ? serve_parts_of(&b, a, s->d) : NULL);
	if (s)
		serve_study_close(a->desk, s);
	char *text = b.failed ? NULL : json_dumps(o, JSON_COMPACT | JSON_REAL_PRECISION(15));
	json_decref(o);
	if (text) {
		inw_text_add(t, ",\n");
		inw_text_addn(t, text + 1, strlen(text) - 2);
	}
	free(text);
	return text != NULL;
}

/* Why the new text cannot be used, or NULL. */
static struct serve_reply *new_text_trouble(struct serve_ask *a)
{
	struct serve_study *s = serve_study_open(a->desk, &a->text, false);
	struct serve_reply *r = s && s->d ? NULL : serve_study_trouble(s);
	if (s)
		serve_study_close(a->desk, s);
	return r;
}

struct serve_reply *serve_with_check(struct serve_ask *a, struct inw_text *t)
{
	const char *check = a->q->query(a->q->query_context, "check");
	struct serve_reply *r = check && strcmp(check, "no") == 0 ? NULL : put_check(a, t);
	if (!r && serve_wants_words(a) && !put_words(a, t))
		t->failed = 1;
	if (r) {
		inw_text_free(t);
		return r;
	}
	inw_text_add(t, "}\n");
	return serve_reply_of(200, serve_json_type, t);
}

struct serve_reply *serve_set(struct serve_ask *a)
{
	struct inw_text t = {0};
	struct serve_reply *r = change_text(a);
	if (!r)
		r = new_text_trouble(a);
	if (r)
		return r;
	if (!put_head(a, &t))
		t.failed = 1;
	return serve_with_check(a, &t);
}

/* ---- saving ------------------------------------------------------------------------------------------------------ */

static bool hash_of(const char *hex, unsigned char hash[SERVE_HASH])
{
	char back[SERVE_HEX];
	if (!hex || strlen(hex) != SERVE_HEX - 1)
		return false;
	for (int i = 0; i < SERVE_HASH; i++) {
		const char pair[3] = {hex[2 * i], hex[2 * i + 1], '\0'};
		hash[i] = (unsigned char)strtoul(pair, NULL, 16);
	}
	serve_hex(hash, back);
	return strcmp(hex, back) == 0;
}

static json_t *text_and_hash(struct inw_json *b, const struct serve_text *t)
{
	char hex[SERVE_HEX];
	json_t *o = json_object(), *text = t->bytes ? json_stringn(t->bytes, t->length) : NULL;
	serve_hex(t->hash, hex);
	inw_json__put(b, o, "hash", inw_json__text(t->bytes ? hex : NULL)); /* none: there is no file */
	inw_json__put(b, o, "text", text ? text : json_null()); /* not UTF-8: somebody put something else there */
	return o;
}

static struct serve_reply *conflict(const struct serve_ask *a, const struct serve_text *now)
{
	struct inw_json b = {false};
	json_t *o = json_object(), *error = json_object();
	inw_json__put(&b, error, "code", inw_json__text("changed"));
	inw_json__put(&b, error, "message", inw_json__text("the file is not as it was when it was read; nothing was saved"));
	inw_json__put(&b, o, "error", error);
	inw_json__put(&b, o, "yours", text_and_hash(&b, &a->text));
	inw_json__put(&b, o, "file", text_and_hash(&b, now));
	struct serve_reply *r = serve_reply_or_none(&b, o);
	if (r)
		r->status = 409;
	return r;
}

static struct serve_reply *save_reply(const struct serve_ask *a, enum serve_saved saved, const struct serve_text *now)
{
	char hex[SERVE_HEX];
	switch (saved) {
	case SERVE_SAVED:
		serve_hex(a->text.hash, hex);
		return serve_reply_json(200, json_pack("{s:s, s:s}", "file", a->desk->name, "hash", hex));
	case SERVE_CHANGED:
		return conflict(a, now);
	case SERVE_NOT_READ:
		return serve_trouble(500, "no_file", "the design file cannot be read; nothing was saved");
	case SERVE_NOT_WRITTEN:
		break;
	}
	return serve_trouble(500, "not_written", "the design file could not be written; it is as it was");
}

struct serve_reply *serve_save(struct serve_ask *a)
{
	unsigned char read[SERVE_HASH];
	struct serve_text now = {0};
	const json_t *given = json_object_get(a->sent, "read");
	bool new = json_is_null(given);
	if (!json_object_get(a->sent, "text") || (!new && !hash_of(json_string_value(given), read)))
		return serve_trouble(400, "bad_request", "saving needs 'text', and in 'read' the hash of the text that was read (null: "
		                     "there was no file)");
	struct serve_study *s = serve_study_open(a->desk, &a->text, false);
	struct serve_reply *r = s && s->d ? NULL : serve_study_trouble(s); /* no file that cannot be read again */
	if (s)
		serve_study_close(a->desk, s);
	if (r)
		return r;
	enum serve_saved saved = serve_desk_save(a->desk, new ? NULL : read, &a->text, &now);
	r = save_reply(a, saved, &now);
	serve_text_free(&now);
	return r;
}

/* ---- numbers for a reader ---------------------------------------------------------------------------------------- */

struct serve_reply *serve_format(struct serve_ask *a)
{
	const char *value = a->q->query(a->q->query_context, "value"), *dimension = a->q->query(a->q->query_context, "dimension");
	char *end = NULL;
	int dim = 0;
	double number = value ? strtod(value, &end) : NAN;
	if (!value || end == value || *end || !isfinite(number))
		return serve_trouble(400, "bad_request", "'value' must be a number in SI");
	while (dimension && dim < INW_DIM_COUNT && strcmp(inw_json__dimension((enum inw_dim)dim), dimension))
		dim++;
	if (!dimension || dim == INW_DIM_COUNT)
		return serve_trouble(400, "bad_request", "'dimension' is one of those of doc/json.md");
	struct inw_json b = {false};
	json_t *o = json_object();
	serve_put_format(&b, o, number, (enum inw_dim)dim);
	return serve_reply_or_none(&b, o);
}
