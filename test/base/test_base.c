/* SPDX-License-Identifier: MIT */
/* test_base.c: arena, text, diagnostics, nearest word, numbers. */
#include "test/check.h"

#include <float.h>
#include <locale.h>
#include <stdint.h>
#include <stdlib.h>

#include "base/base.h"
#include "base/number.h"

/* ---- arena ------------------------------------------------------------------------------------------------------- */

static void arena_hands_out_zeroed_aligned_memory(void)
{
	struct inw_arena *a = inw_arena_new((size_t)1 << 20);
	int zero = 1, aligned = 1;

	for (size_t n = 0; n < 300; n++) {
		unsigned char *p = inw_arena_alloc(a, n);

		if (!p)
			break;
		aligned &= (uintptr_t)p % _Alignof(max_align_t) == 0;
		for (size_t i = 0; i < n; i++)
			zero &= p[i] == 0;
		memset(p, 0xAA, n); /* the next one must not see this; the sanitizer sees any overlap past the block */
	}
	CHECK(zero);
	CHECK(aligned);
	CHECK(inw_arena_used(a) > 300 * 299 / 2);
	inw_arena_free(a);
	inw_arena_free(NULL);
}

static void arena_keeps_its_ceiling(void)
{
	struct inw_arena *a = inw_arena_new(1000);
	size_t count = 0;

	CHECK(inw_arena_alloc(a, 1001) == NULL);
	CHECK(inw_arena_alloc(a, SIZE_MAX) == NULL);
	CHECK(inw_arena_alloc(a, SIZE_MAX - 8) == NULL);
	while (inw_arena_alloc(a, 100) && count < 100)
		count++;
	CHECK(count == 1000 / 112); /* 100 rounds up to 112 at an alignment of 16, 104 at 8 */
	CHECK(inw_arena_used(a) <= 1000);
	CHECK(inw_arena_alloc(a, 100) == NULL);
	inw_arena_free(a);
	CHECK(inw_arena_alloc(NULL, 1) == NULL);
}

static void arena_gives_what_is_larger_than_a_block(void)
{
	struct inw_arena *a = inw_arena_new((size_t)10 << 20);
	char *small = inw_arena_dup(a, "small", 5), *large = inw_arena_alloc(a, (size_t)5 << 20);

	CHECK(large != NULL);
	if (large)
		memset(large, 1, (size_t)5 << 20);
	CHECK_TEXT(small, "small");
	inw_arena_free(a);
}

static void arena_copies_text(void)
{
	struct inw_arena *a = inw_arena_new(1 << 16);
	char *s = inw_arena_dup(a, "a\0b!", 3);

	CHECK(s && memcmp(s, "a\0b", 4) == 0);
	s = inw_arena_dup(a, NULL, 0);
	CHECK_TEXT(s, "");
	s = inw_arena_printf(a, "%s-%d", "gap", 7);
	CHECK_TEXT(s, "gap-7");
	s = inw_arena_printf(a, "%*d", 70000, 1);
	CHECK(s == NULL); /* above the ceiling */
	CHECK(inw_arena_dup(a, "x", SIZE_MAX) == NULL);
	inw_arena_free(a);
}

/* ---- text -------------------------------------------------------------------------------------------------------- */

static void text_grows(void)
{
	struct inw_text t = {0};

	inw_text_add(&t, "");
	CHECK_TEXT(t.s, "");
	for (int i = 0; i < 1000; i++)
		inw_text_printf(&t, "%03d,", i);
	CHECK(!t.failed && t.length == 4000 && strlen(t.s) == 4000);
	CHECK(strncmp(t.s + 4 * 567, "567,", 4) == 0);
	inw_text_addn(&t, "xyz", 2);
	CHECK_TEXT(t.s + 4000, "xy");
	inw_text_free(&t);
	CHECK(!t.s && !t.length && !t.capacity);
	inw_text_free(NULL);
}

static void text_keeps_its_ceiling_and_its_failure(void)
{
	static char block[1 << 20];
	struct inw_text t = {0};
	size_t before;

	memset(block, 'a', sizeof block);
	for (int i = 0; i < 70 && !t.failed; i++)
		inw_text_addn(&t, block, sizeof block);
	CHECK(t.failed);
	CHECK(t.length < (size_t)64 << 20);
	before = t.length;
	inw_text_add(&t, "b");
	inw_text_printf(&t, "%d", 1);
	CHECK(t.length == before && t.s[before] == '\0');
	inw_text_free(&t);
	CHECK(!t.failed);
}

/* ---- diagnostics ------------------------------------------------------------------------------------------------- */

static void diags_keep_place_and_message(void)
{
	struct inw_diags d = {0};

	inw_diag_add(&d, INW_WARNING, "a.yaml", 3, 14, "width %d of '%s'", 7, "lid seam");
	inw_diag_add(&d, INW_ERROR, NULL, 0, 0, "no place");
	CHECK(d.count == 2 && d.errors == 1 && !d.out_of_memory);
	CHECK(d.items[0].severity == INW_WARNING && d.items[0].line == 3 && d.items[0].column == 14);
	CHECK_TEXT(d.items[0].file, "a.yaml");
	CHECK_TEXT(d.items[0].message, "width 7 of 'lid seam'");
	CHECK_TEXT(d.items[1].file, "");
	inw_diags_free(&d);
	CHECK(d.count == 0 && d.items == NULL && d.errors == 0);
	inw_diags_free(&d);
	inw_diags_free(NULL);
	inw_diag_add(NULL, INW_ERROR, "x", 1, 1, "nobody listens");
}

static void diags_keep_two_hundred_and_count_on(void)
{
	struct inw_diags d = {0};

	for (int i = 0; i < 500; i++)
		inw_diag_add(&d, INW_ERROR, "a", i, 1, "fault %d", i);
	CHECK(d.count == 200 && d.errors == 500);
	CHECK_TEXT(d.items[199].message, "fault 199");
	inw_diags_free(&d);
}

static void an_error_finds_room_among_warnings(void)
{
	struct inw_diags d = {0};

	for (int i = 0; i < 300; i++)
		inw_diag_add(&d, INW_WARNING, "a", i, 1, "warning %d", i);
	CHECK(d.count == 200 && d.errors == 0);
	inw_diag_add(&d, INW_ERROR, "a", 1, 1, "the reason");
	CHECK(d.count == 200 && d.errors == 1);
	CHECK_TEXT(d.items[199].message, "the reason");
	CHECK_TEXT(d.items[198].message, "warning 198");
	inw_diags_free(&d);
}

/* ---- nearest word ------------------------------------------------------------------------------------------------ */

static const char *const words[] = {"diameter", "height", "width", "depth", "mm", "length",
                                    "natural draught water heater"};

#define NEAREST(given) inw_nearest_word(given, words, INW_COUNT(words))

static void nearest_word_knows_the_four_slips(void)
{
	CHECK_TEXT(NEAREST("diamter"), "diameter");   /* left out */
	CHECK_TEXT(NEAREST("heighht"), "height");     /* doubled */
	CHECK_TEXT(NEAREST("wodth"), "width");        /* replaced */
	CHECK_TEXT(NEAREST("lenght"), "length");      /* neighbours swapped: one slip, not two */
	CHECK_TEXT(NEAREST("hieght"), "height");
	CHECK_TEXT(NEAREST("mn"), "mm");
	CHECK_TEXT(NEAREST("WIDTH"), "width");        /* case is no slip */
	CHECK_TEXT(NEAREST("MM"), "mm");
	CHECK_TEXT(NEAREST("natural draft water heater"), "natural draught water heater");
}

static void nearest_word_is_silent_when_none_is_near(void)
{
	const char *long_word = "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"; /* 75 */

	CHECK(NEAREST("colour") == NULL);
	CHECK(NEAREST("xy") == NULL);
	CHECK(NEAREST("x") == NULL);
	CHECK(NEAREST("") == NULL);
	CHECK(NEAREST(long_word) == NULL);
	CHECK(inw_nearest_word("width", NULL, 0) == NULL);
	CHECK(inw_nearest_word("aaa", &long_word, 1) == NULL);
}

static void nearest_word_prefers_the_nearer_then_the_first(void)
{
	static const char *const two[] = {"abcdef", "abcdxx", "abcdxy"};

	CHECK_TEXT(inw_nearest_word("abcdxz", two, 3), "abcdxx");
	CHECK_TEXT(inw_nearest_word("abcdxy", two, 3), "abcdxy");
}

/* ---- numbers ----------------------------------------------------------------------------------------------------- */

static double read_whole(const char *text)
{
	double x;
	size_t used;
	enum inw_number_fault f = inw_number_read(text, strlen(text), &x, &used);

	return f == INW_NUMBER_FINE && used == strlen(text) ? x : NAN;
}

static int fault_of(const char *text)
{
	double x;
	size_t used;

	return (int)inw_number_read(text, strlen(text), &x, &used);
}

static size_t used_of(const char *text)
{
	double x;
	size_t used;

	return inw_number_read(text, strlen(text), &x, &used) == INW_NUMBER_FINE ? used : 0;
}

/* Known hard cases; the expected values follow from IEEE 754 arithmetic alone. */
static void numbers_round_to_the_nearest(void)
{
	CHECK(read_whole("9007199254740993") == 9007199254740992.0);           /* 2^53 + 1, a tie: to even */
	CHECK(read_whole("9007199254740995") == 9007199254740996.0);           /* 2^53 + 3, a tie: to even */
	CHECK(read_whole("9007199254740993.00000000000000000001") == 9007199254740994.0); /* just above the tie */
	CHECK(read_whole("1.7976931348623157e308") == DBL_MAX);
	CHECK(read_whole("4.9406564584124654e-324") == 0x1p-1074);
	CHECK(read_whole("2.2250738585072011e-308") == 0x0.fffffffffffffp-1022); /* largest subnormal */
	CHECK(read_whole("2.2250738585072014e-308") == DBL_MIN);
	CHECK(read_whole("0.1") == 0.1);
	CHECK(read_whole("+.5E+01") == 5.0);
	CHECK(read_whole("-0") == 0 && !signbit(read_whole("-0")));
	CHECK(read_whole("0.0000000000000000000000000000000000000000000000000000000000000000000001e70") == 1.0);
	CHECK(read_whole("10000000000000000000000000000000000000000000000000000000000000000000000e-70") == 1.0);
}

static void numbers_out_of_range_are_refused(void)
{
	CHECK(fault_of("1.7976931348623159e308") == INW_NUMBER_TOO_LARGE); /* the tie with DBL_MAX is at ...1588 */
	CHECK(fault_of("1e309") == INW_NUMBER_TOO_LARGE);
	CHECK(fault_of("1e999999999999999999999") == INW_NUMBER_TOO_LARGE);
	CHECK(fault_of("2.4703282292062327e-324") == INW_NUMBER_TOO_SMALL); /* below half the least subnormal */
	CHECK(fault_of("-1e-999999999999999999999") == INW_NUMBER_TOO_SMALL);
	CHECK(read_whole("0e999999") == 0);
	CHECK(fault_of("1.00000000000000000000000000000000000000001") == INW_NUMBER_TOO_LONG);
}

static void numbers_stop_where_they_end(void)
{
	CHECK(used_of("5.") == 1);
	CHECK(used_of("0.2..0.8") == 3);
	CHECK(used_of("1e") == 1);
	CHECK(used_of("1e+") == 1);
	CHECK(used_of("1em") == 1);
	CHECK(used_of("0x10") == 1);
	CHECK(used_of("1,5") == 1);
	CHECK(fault_of("") == INW_NUMBER_NONE);
	CHECK(fault_of("-") == INW_NUMBER_NONE);
	CHECK(fault_of(".") == INW_NUMBER_NONE);
	CHECK(fault_of("e5") == INW_NUMBER_NONE);
	CHECK(fault_of(" 5") == INW_NUMBER_NONE);
	CHECK(fault_of("nan") == INW_NUMBER_NONE);
	CHECK(fault_of("inf") == INW_NUMBER_NONE);
}

static uint64_t random_state = 88172645463325252u;

static uint64_t random_bits(void) /* xorshift64, any stream does */
{
	random_state ^= random_state << 13;
	random_state ^= random_state >> 7;
	random_state ^= random_state << 17;
	return random_state;
}

/* The C library's strtod in the "C" locale is a second, independent implementation of the same rule. */
static void numbers_agree_with_the_c_library(void)
{
	int differ = 0;

	for (int i = 0; i < 200000; i++) {
		char text[64];
		uint64_t bits = random_bits();
		double x, want, got;

		memcpy(&x, &bits, sizeof x);
		if (!isfinite(x))
			continue;
		snprintf(text, sizeof text, "%.*e", (int)(random_bits() % 30), x);
		want = strtod(text, NULL);
		got = read_whole(text);
		if (isfinite(want) && want != 0 && got != want && differ++ < 5)
			printf("%s: %a, C library %a\n", text, got, want);
	}
	CHECK(differ == 0);
}

static void written(const char *want, double x, int digits)
{
	char out[INW_NUMBER_SIZE];

	CHECK_TEXT(inw_number_write(out, x, digits), want);
}

static void numbers_are_written_plainly(void)
{
	written("0", 0.0, 3);
	written("0", -0.0, 3);
	written("1", 1.0, 3);
	written("-1.5", -1.5, 3);
	written("1000", 999.7, 3);
	written("123000", 123456.0, 3);
	written("1.23e6", 1234567.0, 3);
	written("1234567", 1234567.0, 7);
	written("0.000123", 0.000123, 3);
	written("1.23e-5", 0.0000123, 3);
	written("1e10", 1e10, 3);
	written("-2.5e-300", -2.5e-300, 3);
	written("0.1", 0.1, 17 - 2);
	written("0.10000000000000001", 0.1, 17);
	written("undefined", NAN, 3);
	written("infinite", INFINITY, 3);
	written("-infinite", -INFINITY, 3);
	written("1.7976931348623157e308", DBL_MAX, 17);
}

static void seventeen_digits_come_back_exactly(void)
{
	int differ = 0;

	for (int i = 0; i < 20000; i++) {
		char out[INW_NUMBER_SIZE];
		uint64_t bits = random_bits();
		double x;

		memcpy(&x, &bits, sizeof x);
		if (isfinite(x) && read_whole(inw_number_write(out, x, 17)) != x)
			differ++;
	}
	CHECK(differ == 0);
}

/* A host program may have set a locale with a decimal comma. Checked when the system has one. */
static void numbers_do_not_know_the_locale(void)
{
	static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "fr_FR.utf8", "nl_NL.UTF-8",
	     "ru_RU.UTF-8"};
	size_t i = 0;
	char out[INW_NUMBER_SIZE];

	while (i < INW_COUNT(names) && !setlocale(LC_NUMERIC, names[i]))
		i++;
	if (i == INW_COUNT(names)) {
		printf("note: no locale with a decimal comma on this system\n");
		return;
	}
	CHECK(strcmp(localeconv()->decimal_point, ",") == 0);
	CHECK(read_whole("1.5") == 1.5);
	CHECK(used_of("1,5") == 1);
	CHECK_TEXT(inw_number_write(out, 1.5, 3), "1.5");
	setlocale(LC_NUMERIC, "C");
}

int main(void)
{
	arena_hands_out_zeroed_aligned_memory();
	arena_keeps_its_ceiling();
	arena_gives_what_is_larger_than_a_block();
	arena_copies_text();
	text_grows();
	text_keeps_its_ceiling_and_its_failure();
	diags_keep_place_and_message();
	diags_keep_two_hundred_and_count_on();
	an_error_finds_room_among_warnings();
	nearest_word_knows_the_four_slips();
	nearest_word_is_silent_when_none_is_near();
	nearest_word_prefers_the_nearer_then_the_first();
	numbers_round_to_the_nearest();
	numbers_out_of_range_are_refused();
	numbers_stop_where_they_end();
	numbers_agree_with_the_c_library();
	numbers_are_written_plainly();
	seventeen_digits_come_back_exactly();
	numbers_do_not_know_the_locale();
	return check_done();
}
