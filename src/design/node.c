/* SPDX-License-Identifier: MIT */
/* node.c: YAML bytes as a tree of places.
 *
 * The bytes are looked through once before libyaml sees them, so that every sign which may not stand in a design file
 * has a line and a column. Then libyaml's events build the tree on a stack of open lists and maps.
 *
 * Invariants of a tree that is handed out:
 *  N1 every scalar's text ends with a NUL and holds none; no text holds a control character but tab and line feed.
 *  N2 every key is a scalar, not empty, and stands once in its map.
 *  N3 a walk that follows every pointer visits at most NODES_MAX nodes, through at most DEPTH_MAX lists and maps.
 *     An aliased value is shared, not copied, and has the place of its anchor.
 */
#include "design/node.h"

#include <assert.h>
#include <limits.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

#define BYTES_MAX ((size_t)1 << 20)
#define DEPTH_MAX 32
#define NODES_MAX ((size_t)100000)
#define ANCHORS_MAX 256 /* they are looked up one after the other */
#define SIGNS_LISTED 20 /* a binary file is not a list of a thousand faults */
#define NAME_SHOWN 40   /* bytes of a key or anchor that a message repeats */

/* ---- looking through the bytes ----------------------------------------------------------------------------------- */

struct scan {
	const unsigned char *p, *end;
	int line, column;
	int faults;
	const char *name;
	struct inw_diags *diags;
};

/* Length of the well-formed UTF-8 sequence at p, 0 when there is none (RFC 3629: no overlong forms, no surrogates). */
static size_t sequence(const unsigned char *p, const unsigned char *end, uint32_t *code)
{
	static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
	size_t n = *p < 0x80 ? 1 : *p < 0xC2 ? 0 : *p < 0xE0 ? 2 : *p < 0xF0 ? 3 : *p < 0xF5 ? 4 : 0;

	if (n < 2) {
		*code = *p;
		return n;
	}
	if ((size_t)(end - p) < n)
		return 0;
	*code = *p & (0xFFu >> (n + 1));
	for (size_t i = 1; i < n; i++) {
		if ((p[i] & 0xC0) != 0x80)
			return 0;
		*code = *code << 6 | (p[i] & 0x3F);
	}
	if (*code < least[n] || *code > 0x10FFFF || (*code >= 0xD800 && *code <= 0xDFFF))
		return 0;
	return n;
}

/* YAML 1.1, 5.1: the printable set, which libyaml insists on; less the byte order mark inside the text and DEL. */
static bool is_allowed(uint32_t c)
{
	return c == '\t' || c == '\n' || c == '\r' || (c >= 0x20 && c < 0x7F) || c == 0x85 ||
	       (c >= 0xA0 && c <= 0xFFFD && c != 0xFEFF) || c >= 0x10000;
}

static void sign_fault(struct scan *s, uint32_t code, bool broken)
{
	if (s->faults++ >= SIGNS_LISTED)
		return;
	if (broken)
		inw_diag_add(s->diags, INW_ERROR, s->name, s->line, s->column,
		             "the byte 0x%02X is not valid UTF-8 here; save the file as UTF-8 text", (unsigned)code);
	else if (code == 0)
		inw_diag_add(s->diags, INW_ERROR, s->name, s->line, s->column,
		             "a NUL byte stands here; a design file is plain text in UTF-8");
	else
		inw_diag_add(s->diags, INW_ERROR, s->name, s->line, s->column,
		             "the control character U+%04X may not stand in a design file", (unsigned)code);
}

/* One sign further; reports what may not stand here. */
static void scan_sign(struct scan *s)
{
	uint32_t code;
	size_t n = sequence(s->p, s->end, &code);

	if (n == 0)
		sign_fault(s, *s->p, true);
	else if (!is_allowed(code))
		sign_fault(s, code, false);
	s->p += n ? n : 1;
	s->column++;
	if (n && (code == '\n' || (code == '\r' && (s->p == s->end || *s->p != '\n')))) {
		s->line++;
		s->column = 1;
	}
}

static bool scan_bytes(const char *bytes, size_t length, const char *name, struct inw_diags *diags)
{
	struct scan s = {.line = 1, .column = 1, .name = name, .diags = diags};
	bool too_long = length > BYTES_MAX;

	s.p = (const unsigned char *)bytes;
	s.end = s.p + (too_long ? BYTES_MAX : length);
	while (s.p < s.end && s.faults <= SIGNS_LISTED) {
		if (too_long && s.end - s.p < 4)
			break; /* the cut may go through a sign */
		scan_sign(&s);
	}
	if (too_long && s.faults == 0)
		inw_diag_add(diags, INW_ERROR, name, s.line, s.column,
		             "the file has %zu bytes; no more than %zu are read, which end here", length, BYTES_MAX);
	return !too_long && s.faults == 0;
}

/* ---- the builder ------------------------------------------------------------------------------------------------- */

/* A list or map that is still open. */
struct frame {
	struct inw_node *node;
	size_t base;    /* of its children on the stack */
	int anchor;     /* index, -1 for none */
	size_t size;    /* nodes in it, aliases followed */
	int height;     /* levels of lists and maps in it, itself included; 0 for a scalar */
};

struct anchor {
	char *name;
	struct inw_node *node; /* NULL while it is open */
	size_t size;
	int height;
	int line;
};

struct builder {
	struct inw_arena *arena;
	const char *name;
	struct inw_diags *diags;
	struct inw_node **stack; /* children of open frames, keys and values alternating in a map */
	size_t top, capacity;
	struct frame frame[DEPTH_MAX];
	int depth;
	struct anchor anchor[ANCHORS_MAX];
	int anchors;
	size_t size;             /* nodes so far, aliases followed */
	struct inw_node *root;
	bool failed;             /* a fault was listed; go on to find more */
	bool stopped;            /* no going on */
};

static bool out_of_memory(struct builder *b)
{
	b->diags->out_of_memory = true;
	b->stopped = true;
	return false;
}

struct place { int line, column; };

static struct place place_of(yaml_mark_t m)
{
	struct place at = {INT_MAX, INT_MAX};

	if (m.line < INT_MAX)
		at.line = (int)m.line + 1;
	if (m.column < INT_MAX)
		at.column = (int)m.column + 1;
	return at;
}

#define FAULT(b, at, ...) \
	do { \
		(b)->failed = true; \
		inw_diag_add((b)->diags, INW_ERROR, (b)->name, (at).line, (at).column, __VA_ARGS__); \
	} while (0)
#define STOP(b, at, ...) \
	do { \
		FAULT(b, at, __VA_ARGS__); \
		(b)->stopped = true; \
	} while (0)

static int shown(size_t length)
{
	return length > NAME_SHOWN ? NAME_SHOWN : (int)length;
}

static bool push(struct builder *b, struct inw_node *node)
{
	if (b->top == b->capacity) {
		size_t capacity = b->capacity ? 2 * b->capacity : 64;
		struct inw_node **stack = realloc(b->stack, capacity * sizeof(*stack));

		if (!stack)
			return out_of_memory(b);
		b->stack = stack;
		b->capacity = capacity;
	}
	b->stack[b->top++] = node;
	return true;
}

static struct frame *open_frame(struct builder *b)
{
	return b->depth > 0 ? &b->frame[b->depth - 1] : NULL;
}

static bool key_is_next(struct builder *b)
{
	struct frame *f = open_frame(b);

	return f && f->node->kind == INW_NODE_MAP && (b->top - f->base) % 2 == 0;
}

static struct inw_node *new_node(struct builder *b, enum inw_node_kind kind, struct place at)
{
	struct inw_node *n = inw_arena_alloc(b->arena, sizeof *n);

	if (!n) {
		out_of_memory(b);
		return NULL;
	}
	n->kind = kind;
	n->line = at.line;
	n->column = at.column;
	return n;
}

static void check_key(struct builder *b, const struct inw_node *key, bool plain, struct place at)
{
	if (key->kind != INW_NODE_SCALAR)
		FAULT(b, at, "a key must be a word or a text, not a list or a map");
	else if (key->length == 0)
		FAULT(b, at, "a key is empty here");
	else if (plain && strcmp(key->text, "<<") == 0)
		FAULT(b, at, "merging with '<<' is not understood; write the keys out");
}

/* A finished node becomes a child of the open frame, or the root. `size` and `height` follow aliases. */
static bool attach(struct builder *b, struct inw_node *node, size_t size, int height)
{
	struct frame *f = open_frame(b);

	if (!f) {
		b->root = node;
		return true;
	}
	f->size += size;
	if (f->height < height + 1)
		f->height = height + 1;
	return push(b, node);
}

static bool count_nodes(struct builder *b, size_t more, struct place at)
{
	if (more > NODES_MAX - b->size) {
		STOP(b, at, "the file has more than %zu values%s", NODES_MAX,
		     more > 1 ? " once this alias is followed" : "");
		return false;
	}
	b->size += more;
	return true;
}

/* ---- anchors and aliases ----------------------------------------------------------------------------------------- */

static struct anchor *find_anchor(struct builder *b, const char *name)
{
	for (int i = 0; i < b->anchors; i++)
		if (strcmp(b->anchor[i].name, name) == 0)
			return &b->anchor[i];
	return NULL;
}

/* Index of the new anchor, -1 for none. */
static int add_anchor(struct builder *b, const yaml_char_t *yaml_name, struct place at)
{
	const char *name = (const char *)yaml_name;
	struct anchor *a;

	if (!name)
		return -1;
	a = find_anchor(b, name);
	if (a) {
		FAULT(b, at, "the anchor '&%.*s' was already set in line %d", shown(strlen(name)), name, a->line);
		return -1;
	}
	if (b->anchors == ANCHORS_MAX) {
		STOP(b, at, "the file has more than %d anchors", ANCHORS_MAX);
		return -1;
	}
	a = &b->anchor[b->anchors];
	*a = (struct anchor){.line = at.line, .name = inw_arena_dup(b->arena, name, strlen(name))};
	if (!a->name) {
		out_of_memory(b);
		return -1;
	}
	return b->anchors++;
}

static void settle_anchor(struct builder *b, int index, struct inw_node *node, size_t size, int height)
{
	if (index < 0)
		return;
	b->anchor[index].node = node;
	b->anchor[index].size = size;
	b->anchor[index].height = height;
}

/* Something in the place of a value that cannot be had, so that the rest is still read. */
static void attach_nothing(struct builder *b, struct place at)
{
	struct inw_node *n = new_node(b, INW_NODE_SCALAR, at);

	if (!n)
		return;
	n->text = "";
	attach(b, n, 1, 0);
}

static void take_alias(struct builder *b, const yaml_event_t *e)
{
	const char *name = (const char *)e->data.alias.anchor;
	struct place at = place_of(e->start_mark);
	struct anchor *a = find_anchor(b, name);
	int n = shown(strlen(name));

	if (!a || !a->node) {
		if (!a)
			FAULT(b, at, "the alias '*%.*s' has no anchor '&%.*s' before it", n, name, n, name);
		else
			FAULT(b, at, "the alias '*%.*s' stands inside the value it names (line %d)", n, name, a->line);
		attach_nothing(b, at);
		return;
	}
	if (b->depth + a->height > DEPTH_MAX) {
		STOP(b, at, "lists and maps are nested more than %d deep once the alias '*%.*s' is followed",
		     DEPTH_MAX, n, name);
		return;
	}
	if (!count_nodes(b, a->size, at))
		return;
	if (key_is_next(b))
		check_key(b, a->node, false, at);
	attach(b, a->node, a->size, a->height);
}

/* ---- scalars, lists, maps ---------------------------------------------------------------------------------------- */

/* What an escape in double quotes can still bring in after the bytes were looked through. */
static bool has_control(const char *s, size_t length)
{
	for (size_t i = 0; i < length; i++)
		if (((unsigned char)s[i] < 0x20 && s[i] != '\t' && s[i] != '\n') || s[i] == 0x7F)
			return true;
	return false;
}

static void refuse_tag(struct builder *b, const yaml_char_t *tag, struct place at)
{
	if (tag)
		FAULT(b, at, "tags such as '%.*s' are not understood; leave it out", shown(strlen((const char *)tag)),
		      (const char *)tag);
}

static void take_scalar(struct builder *b, const yaml_event_t *e)
{
	struct place at = place_of(e->start_mark);
	const char *text = (const char *)e->data.scalar.value;
	size_t length = e->data.scalar.length;
	bool is_key = key_is_next(b);
	int anchor = add_anchor(b, e->data.scalar.anchor, at);
	struct inw_node *n;

	refuse_tag(b, e->data.scalar.tag, at);
	if (b->stopped || !count_nodes(b, 1, at))
		return;
	n = new_node(b, INW_NODE_SCALAR, at);
	if (!n)
		return;
	if (has_control(text, length)) {
		FAULT(b, at, "this text holds a control character (written as an escape); only \\t and \\n may stand "
		             "in one");
		text = "?";
		length = 1;
	}
	n->text = inw_arena_dup(b->arena, text, length);
	n->length = length;
	if (!n->text) {
		out_of_memory(b);
		return;
	}
	if (is_key)
		check_key(b, n, e->data.scalar.style == YAML_PLAIN_SCALAR_STYLE, at);
	settle_anchor(b, anchor, n, 1, 0);
	attach(b, n, 1, 0);
}

static void open_container(struct builder *b, enum inw_node_kind kind, const yaml_char_t *anchor, struct place at)
{
	int index = add_anchor(b, anchor, at);
	struct inw_node *n;

	if (b->depth == DEPTH_MAX) {
		STOP(b, at, "lists and maps are nested more than %d deep", DEPTH_MAX);
		return;
	}
	if (b->stopped || !count_nodes(b, 1, at))
		return;
	n = new_node(b, kind, at);
	if (!n)
		return;
	b->frame[b->depth++] = (struct frame){.node = n, .base = b->top, .anchor = index, .size = 1, .height = 1};
}

static int by_key(const void *x, const void *y)
{
	const struct inw_node *a = *(const struct inw_node *const *)x, *b = *(const struct inw_node *const *)y;
	int order = strcmp(a->text, b->text);

	if (order == 0)
		order = (a->line > b->line) - (a->line < b->line);
	return order ? order : (a->column > b->column) - (a->column < b->column);
}

/* Sorted, so that a map of fifty thousand keys costs no billion comparisons. */
static void check_twice(struct builder *b, const struct inw_node *map)
{
	const struct inw_node **key = malloc((map->count + 1) * sizeof(*key));
	size_t n = 0;

	if (!key) {
		out_of_memory(b);
		return;
	}
	for (size_t i = 0; i < map->count; i++)
		if (map->key[i]->kind == INW_NODE_SCALAR && map->key[i]->length > 0)
			key[n++] = map->key[i];
	qsort(key, n, sizeof(*key), by_key);
	for (size_t i = 1; i < n; i++)
		if (strcmp(key[i]->text, key[i - 1]->text) == 0)
			FAULT(b, *key[i], "the key '%.*s' was already given in line %d", shown(key[i]->length),
			      key[i]->text, key[i - 1]->line);
	free(key);
}

/* Children from the stack into the node. */
static bool fill(struct builder *b, const struct frame *f)
{
	struct inw_node *n = f->node, **child = b->stack ? b->stack + f->base : NULL;
	const struct inw_node **item, **key = NULL;
	bool map = n->kind == INW_NODE_MAP;

	n->count = (b->top - f->base) / (map ? 2 : 1);
	b->top = f->base;
	if (n->count == 0)
		return true;
	n->item = item = inw_arena_alloc(b->arena, n->count * sizeof(*item));
	if (map)
		n->key = key = inw_arena_alloc(b->arena, n->count * sizeof(*key));
	if (!item || (map && !key))
		return out_of_memory(b);
	for (size_t i = 0; i < n->count; i++) {
		item[i] = map ? child[2 * i + 1] : child[i];
		if (map)
			key[i] = child[2 * i];
	}
	return true;
}

static void close_container(struct builder *b)
{
	struct frame f = b->frame[b->depth - 1];

	assert(b->depth > 0);
	assert(f.node->kind == INW_NODE_LIST || (b->top - f.base) % 2 == 0); /* libyaml pairs keys and values */
	if (!fill(b, &f))
		return;
	if (f.node->kind == INW_NODE_MAP)
		check_twice(b, f.node);
	b->depth--;
	settle_anchor(b, f.anchor, f.node, f.size, f.height);
	if (key_is_next(b))
		check_key(b, f.node, false, (struct place){f.node->line, f.node->column});
	if (!b->stopped)
		attach(b, f.node, f.size, f.height);
}

/* ---- events ------------------------------------------------------------------------------------------------------ */

static void take_document(struct builder *b, const yaml_event_t *e)
{
	if (b->root)
		STOP(b, place_of(e->start_mark), "a second document begins here; a file holds one");
}

static void take_event(struct builder *b, const yaml_event_t *e)
{
	struct place at = place_of(e->start_mark);

	switch (e->type) {
	case YAML_DOCUMENT_START_EVENT:
		take_document(b, e);
		break;
	case YAML_ALIAS_EVENT:
		take_alias(b, e);
		break;
	case YAML_SCALAR_EVENT:
		take_scalar(b, e);
		break;
	case YAML_SEQUENCE_START_EVENT:
		refuse_tag(b, e->data.sequence_start.tag, at);
		open_container(b, INW_NODE_LIST, e->data.sequence_start.anchor, at);
		break;
	case YAML_MAPPING_START_EVENT:
		refuse_tag(b, e->data.mapping_start.tag, at);
		open_container(b, INW_NODE_MAP, e->data.mapping_start.anchor, at);
		break;
	case YAML_SEQUENCE_END_EVENT:
	case YAML_MAPPING_END_EVENT:
		close_container(b);
		break;
	default:
		break;
	}
}

/* libyaml's words with a hint where they are not enough. */
static const char *syntax_hint(const char *problem)
{
	static const struct { const char *part, *hint; } hints[] = {
		{"mapping values are not allowed",
		 "; is a text with ': ' in it missing its quotes, or a line not aligned?"},
		{"could not find expected ':'", "; is a ':' missing, or a line not aligned?"},
		{"did not find expected key", "; is a line not aligned with those above it?"},
		{"did not find expected '-' indicator", "; is a line not aligned with those above it?"},
		{"cannot start any token",
		 "; indent with spaces instead of tabs, and put quotes round a text that begins with a sign"},
		{"unexpected end of stream", "; is a closing quote missing?"},
		{"did not find expected ',' or", "; is a comma or a closing bracket missing?"},
	};

	for (size_t i = 0; i < INW_COUNT(hints); i++)
		if (strstr(problem, hints[i].part))
			return hints[i].hint;
	return "";
}

static void syntax_fault(struct builder *b, const yaml_parser_t *p)
{
	const char *problem = p->problem ? p->problem : "it cannot be read";
	struct place at = place_of(p->problem_mark), from = place_of(p->context_mark);

	if (p->error == YAML_MEMORY_ERROR) {
		out_of_memory(b);
	} else if (p->error == YAML_READER_ERROR) { /* the scan leaves nothing to object to, as far as we know */
		at = place_of(p->mark);
		STOP(b, at, "the YAML cannot be read: %s", problem);
	} else if (p->context && p->context_mark.line != p->problem_mark.line) {
		STOP(b, at, "the YAML is broken: %s %s that begins in line %d%s", problem, p->context, from.line,
		     syntax_hint(problem));
	} else {
		STOP(b, at, "the YAML is broken: %s%s%s%s", problem, p->context ? " " : "",
		     p->context ? p->context : "", syntax_hint(problem));
	}
}

static void read_events(struct builder *b, yaml_parser_t *p)
{
	bool end = false;

	while (!end && !b->stopped) {
		yaml_event_t e;

		if (!yaml_parser_parse(p, &e)) {
			syntax_fault(b, p);
			return;
		}
		end = e.type == YAML_STREAM_END_EVENT;
		take_event(b, &e);
		yaml_event_delete(&e);
	}
}

static void refuse_empty(struct builder *b)
{
	struct place at = {1, 1};

	if (!b->root || (b->root->kind == INW_NODE_SCALAR && b->root->length == 0))
		FAULT(b, at, "the file is empty");
}

struct inw_node *inw_node_parse(struct inw_arena *arena, const char *bytes, size_t length, const char *name,
                                struct inw_diags *diags)
{
	struct builder *b;
	struct inw_node *root = NULL;
	yaml_parser_t parser;

	if (length >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0) { /* a byte order mark, as some editors write it */
		bytes += 3;
		length -= 3;
	}
	if (!scan_bytes(bytes, length, name, diags))
		return NULL;
	b = calloc(1, sizeof *b);
	if (!b || !yaml_parser_initialize(&parser)) {
		diags->out_of_memory = true;
		free(b);
		return NULL;
	}
	b->arena = arena;
	b->name = name;
	b->diags = diags;
	yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING); /* or libyaml would take UTF-16 by its byte order mark */
	yaml_parser_set_input_string(&parser, (const unsigned char *)bytes, length);
	read_events(b, &parser);
	yaml_parser_delete(&parser);
	if (!b->stopped)
		refuse_empty(b);
	if (!b->stopped && !b->failed)
		root = b->root;
	free(b->stack);
	free(b);
	return root;
}

const struct inw_node *inw_node_get(const struct inw_node *map, const char *key)
{
	if (!map || map->kind != INW_NODE_MAP)
		return NULL;
	for (size_t i = 0; i < map->count; i++)
		if (inw_is_word(map->key[i]->text, key))
			return map->item[i];
	return NULL;
}
