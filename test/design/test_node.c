/* SPDX-License-Identifier: MIT */
/* test_node.c: YAML bytes as a tree of places. N1..N3 are the invariants named in node.c. */
#include "test/check.h"

#include <stdlib.h>

#include "design/node.h"

struct trial {
	struct inw_arena *arena;
	struct inw_diags diags;
	struct inw_node *root;
};

static struct trial parse_bytes(const char *bytes, size_t length, size_t ceiling)
{
	struct trial t = {.arena = inw_arena_new(ceiling)};
	/* a block of its own: the sanitizer then sees a read past the end */
	char *copy = malloc(length ? length : 1);

	if (copy) {
		memcpy(copy, bytes, length);
		t.root = inw_node_parse(t.arena, copy, length, "d.yaml", &t.diags);
	}
	free(copy); /* the tree must not point into the text */
	return t;
}

static struct trial parse(const char *text)
{
	return parse_bytes(text, strlen(text), (size_t)64 << 20);
}

static void done(struct trial *t)
{
	inw_diags_free(&t->diags);
	inw_arena_free(t->arena);
}

/* All diagnostics as "line:column: message" lines. */
static void says_bytes(const char *bytes, size_t length, const char *want)
{
	struct trial t = parse_bytes(bytes, length, (size_t)64 << 20);
	struct inw_text all = {0};

	inw_text_add(&all, "");
	for (size_t i = 0; i < t.diags.count; i++) {
		CHECK_TEXT(t.diags.items[i].file, "d.yaml");
		CHECK(t.diags.items[i].severity == INW_ERROR);
		inw_text_printf(&all, "%d:%d: %s\n", t.diags.items[i].line, t.diags.items[i].column,
		     t.diags.items[i].message);
	}
	CHECK_TEXT(all.s, want);
	CHECK(t.root == NULL && t.diags.errors == t.diags.count && t.diags.count > 0 && !t.diags.out_of_memory);
	inw_text_free(&all);
	done(&t);
}

static void says(const char *text, const char *want)
{
	says_bytes(text, strlen(text), want);
}

/* ---- what is read ------------------------------------------------------------------------------------------------ */

static void a_design_becomes_a_tree_of_places(void)
{
	struct trial t = parse("title: Splint printer   # beside a bedroom\n"
	                       "rooms:\n"
	                       "  - name: workroom\n"
	                       "    floor: 9 m2\n"
	                       "  - {name: 'bed room', start: \"22:00\"}\n"
	                       "empty: {}\n"
	                       "nothing:\n"
	                       "answer: no\n");
	const struct inw_node *rooms = inw_node_get(t.root, "rooms"), *n;

	CHECK(t.root && t.root->kind == INW_NODE_MAP && t.root->count == 5 && t.root->line == 1 && t.root->column == 1);
	CHECK(t.diags.count == 0);
	if (!t.root || !rooms || rooms->count != 2) {
		CHECK(rooms && rooms->count == 2);
		done(&t);
		return;
	}
	CHECK_TEXT(inw_node_get(t.root, "title")->text, "Splint printer");
	CHECK(rooms->kind == INW_NODE_LIST && rooms->line == 3 && rooms->column == 3);
	n = inw_node_get(rooms->item[0], "floor");
	CHECK_TEXT(n->text, "9 m2");
	CHECK(n->line == 4 && n->column == 12 && n->length == 4 && n->kind == INW_NODE_SCALAR);
	CHECK(rooms->item[0]->key[1]->line == 4 && rooms->item[0]->key[1]->column == 5);
	CHECK_TEXT(inw_node_get(rooms->item[1], "name")->text, "bed room");
	CHECK_TEXT(inw_node_get(rooms->item[1], "start")->text, "22:00");
	CHECK(inw_node_get(t.root, "empty")->kind == INW_NODE_MAP && inw_node_get(t.root, "empty")->count == 0);
	CHECK(inw_node_get(t.root, "nothing")->length == 0);
	CHECK_TEXT(inw_node_get(t.root, "answer")->text, "no"); /* no typing */
	CHECK(inw_node_get(t.root, "absent") == NULL);
	CHECK(inw_node_get(rooms, "name") == NULL && inw_node_get(NULL, "name") == NULL);
	done(&t);
}

static void columns_count_signs_not_bytes(void)
{
	struct trial t = parse("{\"\xC2\xB5\xC3\xA9\": a, b: \xE2\x84\x83}\n");

	CHECK(t.root && t.root->count == 2);
	if (t.root) {
		CHECK(t.root->item[0]->column == 8);
		CHECK_TEXT(t.root->item[1]->text, "\xE2\x84\x83");
		CHECK(t.root->item[1]->column == 14);
	}
	done(&t);
}

static void line_ends_and_byte_order_mark(void)
{
	struct trial t = parse("\xEF\xBB\xBF" "a: 1\r\nb: 2\r\n");

	CHECK(t.root && t.root->count == 2);
	CHECK(inw_node_get(t.root, "a") != NULL); /* the mark is no part of the key */
	CHECK(t.root && t.root->item[1]->line == 2 && t.root->item[1]->column == 4);
	done(&t);
}

static void aliases_share_their_value(void)
{
	struct trial t = parse("base: &d {diameter: 75 mm}\ninlet: *d\nreturn: *d\nname: &n seam\nother: *n\n*n : "
	     "key\n");

	CHECK(t.root && t.root->count == 6 && t.diags.count == 0);
	CHECK(t.root && inw_node_get(t.root, "inlet") == inw_node_get(t.root, "base"));
	CHECK(t.root && inw_node_get(t.root, "inlet")->line == 1);
	CHECK_TEXT(inw_node_get(t.root, "other")->text, "seam");
	CHECK_TEXT(inw_node_get(t.root, "seam")->text, "key");
	done(&t);
}

static void texts_may_have_several_lines(void)
{
	struct trial t = parse("a: |\n  one\n  two\nb: \"x\\ty\\n\"\n");

	CHECK_TEXT(inw_node_get(t.root, "a")->text, "one\ntwo\n");
	CHECK_TEXT(inw_node_get(t.root, "b")->text, "x\ty\n");
	done(&t);
}

/* ---- what is refused --------------------------------------------------------------------------------------------- */

static void empty_files(void)
{
	says("", "1:1: the file is empty\n");
	says("\n\n# only a remark\n", "1:1: the file is empty\n");
	says("---\n...\n", "1:1: the file is empty\n");
	says("\xEF\xBB\xBF", "1:1: the file is empty\n");
}

static void keys_given_twice_are_all_listed(void)
{
	says("a: 1\nb: 2\na: 3\nc: {x: 1, y: 2, x: 3}\na: 4\n",
	     "4:17: the key 'x' was already given in line 4\n3:1: the key 'a' was already given in line 1\n"
	     "5:1: the key 'a' was already given in line 3\n");
	says("b: {'k': 1, \"k\": 2}\n", "1:13: the key 'k' was already given in line 1\n");
	says("n: &n a\na: 1\n*n : 2\n", "2:1: the key 'a' was already given in line 1\n");
}

static void keys_that_are_none(void)
{
	says("? [a, b]\n: 1\nc: 2\n", "1:3: a key must be a word or a text, not a list or a map\n");
	says("{a: 1}: 2\n", "1:1: a key must be a word or a text, not a list or a map\n");
	says("x: &x {a: 1}\n*x : 2\n", "2:1: a key must be a word or a text, not a list or a map\n");
	says("'': 2\n", "1:1: a key is empty here\n");
	says("base: &b {a: 1}\nc:\n  <<: *b\n", "3:3: merging with '<<' is not understood; write the keys out\n");
}

static void several_documents(void)
{
	says("a: 1\n---\nb: 2\n", "2:1: a second document begins here; a file holds one\n");
}

static void tags(void)
{
	says("a: !!int 5\nb: !own {c: 1}\n", "1:4: tags such as 'tag:yaml.org,2002:int' are not understood; leave it "
	     "out\n"
	     "2:4: tags such as '!own' are not understood; leave it out\n");
}

static void signs_that_may_not_stand(void)
{
	says_bytes("a: x\0y\nb: 1\n", 12, "1:5: a NUL byte stands here; a design file is plain text in UTF-8\n");
	says("a: \x1b[31m\nb: \x07\n", "1:4: the control character U+001B may not stand in a design file\n"
	     "2:4: the control character U+0007 may not stand in a design file\n");
	says("a: \xFF\n\xC3\n", "1:4: the byte 0xFF is not valid UTF-8 here; save the file as UTF-8 text\n"
	     "2:1: the byte 0xC3 is not valid UTF-8 here; save the file as UTF-8 text\n");
	says("a: \xC0\xAF\n", "1:4: the byte 0xC0 is not valid UTF-8 here; save the file as UTF-8 "
	     "text\n"   /* overlong '/' */
	     "1:5: the byte 0xAF is not valid UTF-8 here; save the file as UTF-8 text\n");
	says("a: \xED\xA0\x80", "1:4: the byte 0xED is not valid UTF-8 here; save the file as UTF-8 "
	     "text\n" /* a surrogate */
	     "1:5: the byte 0xA0 is not valid UTF-8 here; save the file as UTF-8 text\n"
	     "1:6: the byte 0x80 is not valid UTF-8 here; save the file as UTF-8 text\n");
	says("a: \xEF\xBF\xBF\n", "1:4: the control character U+FFFF may not stand in a design file\n");
	says("a: \xC2\x80\n", "1:4: the control character U+0080 may not stand in a design file\n");
	says("a: x\xEF\xBB\xBF\n", "1:5: the control character U+FEFF may not stand in a design file\n");
	says("a: \x7F\n", "1:4: the control character U+007F may not stand in a design file\n");
	/* UTF-16 with its mark: libyaml alone would read it */
	says_bytes("\xFF\xFE" "a\0", 4, "1:1: the byte 0xFF is not valid UTF-8 here; save the file as UTF-8 text\n"
	           "1:2: the byte 0xFE is not valid UTF-8 here; save the file as UTF-8 text\n"
	           "1:4: a NUL byte stands here; a design file is plain text in UTF-8\n");
	says("a: \"x\\0y\"\nb: \"\\e[31m\"\n",
	     "1:4: this text holds a control character (written as an escape); only \\t and \\n may stand in one\n"
	     "2:4: this text holds a control character (written as an escape); only \\t and \\n may stand in one\n");
}

static void a_binary_file_is_no_thousand_faults(void)
{
	char bytes[5000];
	struct trial t;

	memset(bytes, 0xFE, sizeof bytes);
	t = parse_bytes(bytes, sizeof bytes, 1 << 20);
	CHECK(!t.root && t.diags.count == 20);
	done(&t);
}

static void broken_yaml_has_a_place(void)
{
	says("a: 1\n b: 2\n", "2:3: the YAML is broken: mapping values are not allowed in this context; is a text "
	     "with ': ' in it missing its quotes, or a line not aligned?\n");
	says("a: [1, 2\nb: 3\n", "2:2: the YAML is broken: did not find expected ',' or ']' while parsing a flow "
	     "sequence that begins in line 1; is a comma or a closing bracket missing?\n");
	says("a:\n\tb: 1\n", "2:1: the YAML is broken: found character that cannot start any token while scanning for "
	     "the next token; indent with spaces instead of tabs, and put quotes round a text that begins with a "
	     "sign\n");
	says("a: \"x\n", "2:1: the YAML is broken: found unexpected end of stream while scanning a quoted scalar that "
	     "begins in line 1; is a closing quote missing?\n");
	/* what was found before the break is listed too */
	says("{a: 1, a: 2}: 3\nb: [\n", "1:8: the key 'a' was already given in line 1\n"
	     "1:1: a key must be a word or a text, not a list or a map\n"
	     "3:1: the YAML is broken: did not find expected node content while parsing a flow node\n");
}

/* ---- bounds ------------------------------------------------------------------------------------------------------ */

static struct trial parse_text(struct inw_text *t)
{
	struct trial result = parse_bytes(t->s, t->length, (size_t)256 << 20);

	CHECK(!t->failed);
	inw_text_free(t);
	return result;
}

static void only(struct trial *t, const char *part)
{
	CHECK(t->root == NULL && t->diags.count == 1);
	CHECK(t->diags.count == 1 && strstr(t->diags.items[0].message, part) != NULL);
	CHECK(t->diags.count == 1 && t->diags.items[0].line >= 1 && t->diags.items[0].column >= 1);
	if (t->diags.count && !strstr(t->diags.items[0].message, part))
		printf("%s\n", t->diags.items[0].message);
	done(t);
}

static void nest(struct inw_text *text, int depth)
{
	for (int i = 0; i < depth; i++)
		inw_text_add(text, "[");
	inw_text_add(text, "x");
	for (int i = 0; i < depth; i++)
		inw_text_add(text, "]");
}

static void nesting_is_bounded(void)
{
	struct inw_text text = {0};
	struct trial t;

	nest(&text, 32);
	t = parse_text(&text);
	CHECK(t.root != NULL);
	done(&t);
	nest(&text, 33);
	t = parse_text(&text);
	CHECK(t.diags.count == 1 && t.diags.items[0].column == 33);
	only(&t, "nested more than 32 deep");
	nest(&text, 500000);
	t = parse_text(&text);
	only(&t, "nested more than 32 deep");
}

static void size_is_bounded(void)
{
	struct inw_text text = {0};
	struct trial t;

	while (text.length < (size_t)1 << 20)
		inw_text_add(&text, "# remark\n");
	text.length = ((size_t)1 << 20) - 6;
	inw_text_add(&text, "\na: 1\n");
	CHECK(text.length == (size_t)1 << 20);
	t = parse_text(&text);
	CHECK(t.root != NULL);
	done(&t);
	while (text.length <= (size_t)1 << 20)
		inw_text_add(&text, "# remark\n");
	t = parse_text(&text);
	only(&t, "the file has 1048581 bytes; no more than 1048576 are read, which end here");
}

static void node_count_is_bounded(void)
{
	struct inw_text text = {0};
	struct trial t;

	for (int i = 0; i < 99999; i++)
		inw_text_add(&text, "- a\n");
	t = parse_text(&text);
	CHECK(t.root && t.root->count == 99999);
	done(&t);
	for (int i = 0; i < 100001; i++)
		inw_text_add(&text, "- a\n");
	t = parse_text(&text);
	CHECK(t.diags.count == 1 && t.diags.items[0].line == 100000);
	only(&t, "more than 100000 values");
}

/* "Billion laughs": nine lists, each naming the one before ten times. */
static void alias_bombs_are_refused(void)
{
	struct inw_text text = {0};
	struct trial t;

	inw_text_add(&text, "a0: &a0 [x,x,x,x,x,x,x,x,x,x]\n");
	for (int i = 1; i < 10; i++) {
		inw_text_printf(&text, "a%d: &a%d [", i, i);
		for (int j = 0; j < 10; j++)
			inw_text_printf(&text, "%s*a%d", j ? "," : "", i - 1);
		inw_text_add(&text, "]\n");
	}
	t = parse_text(&text);
	only(&t, "more than 100000 values once this alias is followed");
	/* none alone is too large, only all together are: 1 + 501 + 200 times 501 */
	inw_text_add(&text, "- &a [");
	for (int i = 0; i < 500; i++)
		inw_text_add(&text, "x,");
	inw_text_add(&text, "]\n");
	for (int i = 0; i < 200; i++)
		inw_text_add(&text, "- *a\n");
	t = parse_text(&text);
	CHECK(t.diags.count == 1 && t.diags.items[0].line == 1 + 199); /* (100000 - 1 - 501) / 501 = 198 fit */
	only(&t, "more than 100000 values once this alias is followed");
	/* deep instead of wide: each level names the one before */
	inw_text_add(&text, "- &a0 [x]\n");
	for (int i = 1; i < 40; i++)
		inw_text_printf(&text, "- &a%d [*a%d]\n", i, i - 1);
	t = parse_text(&text);
	only(&t, "nested more than 32 deep once the alias");
}

static void aliases_that_lead_nowhere(void)
{
	says("a: &x [1, *x]\nb: *y\nc: 3\nc: 4\n", "1:11: the alias '*x' stands inside the value it names (line 1)\n"
	     "2:4: the alias '*y' has no anchor '&y' before it\n4:1: the key 'c' was already given in line 3\n");
	says("a: &x 1\nb: &x 2\n", "2:4: the anchor '&x' was already set in line 1\n");
}

static void anchors_are_bounded(void)
{
	struct inw_text text = {0};
	struct trial t;

	for (int i = 0; i < 257; i++)
		inw_text_printf(&text, "- &a%d x\n", i);
	t = parse_text(&text);
	only(&t, "more than 256 anchors");
}

static void a_large_map_is_checked_in_time(void)
{
	struct inw_text text = {0};
	struct trial t;

	for (int i = 0; i < 45000; i++)
		inw_text_printf(&text, "k%d: 1\n", i);
	inw_text_add(&text, "k17: 1\n");
	t = parse_text(&text);
	only(&t, "the key 'k17' was already given in line 18");
}

/* The arena's ceiling stands for memory running out: at every ceiling a whole tree or none, and it is said. */
static void memory_may_run_out_anywhere(void)
{
	const char *text = "a: [1, 2, {b: &x 'text', c: *x}]\nd: {e: f, g: [h, i]}\n";
	size_t ceiling, whole = 0;
	int wrong = 0;

	for (ceiling = 0; ceiling < 10000 && !whole; ceiling += 16) {
		struct trial t = parse_bytes(text, strlen(text), ceiling);

		if (t.root)
			whole = ceiling;
		else
			wrong += !t.diags.out_of_memory || t.diags.count != 0;
		done(&t);
	}
	CHECK(wrong == 0);
	CHECK(whole > 500 && whole < 5000);
}

int main(void)
{
	a_design_becomes_a_tree_of_places();
	columns_count_signs_not_bytes();
	line_ends_and_byte_order_mark();
	aliases_share_their_value();
	texts_may_have_several_lines();
	empty_files();
	keys_given_twice_are_all_listed();
	keys_that_are_none();
	several_documents();
	tags();
	signs_that_may_not_stand();
	a_binary_file_is_no_thousand_faults();
	broken_yaml_has_a_place();
	nesting_is_bounded();
	size_is_bounded();
	node_count_is_bounded();
	alias_bombs_are_refused();
	aliases_that_lead_nowhere();
	anchors_are_bounded();
	a_large_map_is_checked_in_time();
	memory_may_run_out_anywhere();
	return check_done();
}
