/* SPDX-License-Identifier: MIT */
/* test_json_write.c: our writing of JSON against jansson's own, letter for letter. */
#include "check.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "show/json_parts.h"

/* Takes `o`. */
static bool alike(json_t *o)
{
	struct inw_text ours = {0};
	char *theirs = json_dumps(o, JSON_INDENT(1) | JSON_REAL_PRECISION(15));

	inw_json__spell(&ours, o);
	bool same = theirs && ours.s && !ours.failed && strcmp(theirs, ours.s) == 0;
	if (!same)
		printf("theirs %s\nours   %s\n", theirs ? theirs : "none", ours.s ? ours.s : "none");
	free(theirs);
	inw_text_free(&ours);
	json_decref(o);
	return same;
}

static bool real_alike(double v)
{
	json_t *a = json_array();

	return json_array_append_new(a, json_real(v)) == 0 && alike(a);
}

static void chosen_numbers(void)
{
	static const double v[] = {0, -0.0, 1, -1, 0.1, 1e-4, 9.9999999999999995e-5, 1e-5, 123456789012345, 1234567890123456, 999999999999999.88, 99999999999999.95,
		999999999999999, 1e14, 1e15, 1e16, 1e22, 1e23, 1e27, 1e28, 1e41, 1e42, 1e43, 1e300, 5e-324, 2.2250738585072014e-308, 1.7976931348623157e308, 293.15, 0.5,
		/* halves of the fifteenth digit, which doubles hold exactly */
		1000000000000000.5, 100000000000000.5, 100000000000001.5, 562949953421312.5, 0.000030517578125, 4503599627370495.5, 1.00000000000005e0};

	for (size_t i = 0; i < sizeof v / sizeof *v; i++)
		CHECK(real_alike(v[i]));
}

/* splitmix64 (Steele, Lea & Flood 2014, memory) */
static uint64_t draw(uint64_t *state)
{
	uint64_t z = *state += 0x9e3779b97f4a7c15u;

	z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
	z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
	return z ^ (z >> 31);
}

static void drawn_numbers(void)
{
	uint64_t state = 1;
	bool all = true;

	for (int i = 0; i < 200000 && all; i++) { /* any bits; then sizes that a report has, a third of them short decimals */
		uint64_t bits = draw(&state);
		double v;
		memcpy(&v, &bits, sizeof v);
		if (i % 4)
			v = ldexp((double)(bits >> 12) + 1, (int)(bits % 160) - 130) * (bits & 1024 ? 1 : -1);
		if (i % 4 == 3)
			v = round(v * 1e6) / 1e6;
		all = !isfinite(v) || real_alike(v);
	}
	CHECK(all);
}

static void words(void)
{
	CHECK(alike(json_pack("{s:s, s:[], s:{}, s:n, s:b, s:b, s:i, s:[i, {s:[f, s]}]}", "a\"b/\\\n\x01\x7f\xc3\xa9", "q\"b/\\\n\x01\x1f\x7f\xc3\xa9\t\r\b\f", "e", "f",
		"g", "h", 1, "i", 0, "j", -5, "k", 1, "l", 2.5, "")));
	json_t *zero = json_array(), *deep = json_array();
	CHECK(json_array_append_new(zero, json_stringn("a\0b", 3)) == 0 && alike(zero));
	for (int i = 0; i < 12; i++) {
		json_t *outer = json_array();
		CHECK(json_array_append_new(outer, deep) == 0);
		deep = outer;
	}
	CHECK(alike(deep));
}

int main(void)
{
	chosen_numbers();
	drawn_numbers();
	words();
	return check_done();
}
