/* SPDX-License-Identifier: MIT */
/* json_write.c: a tree of JSON as text, letter for letter as jansson writes it (JSON_INDENT(1), so many digits of a number), which
 * takes four times as long: it prints each number by printf and looks at every list for loops that no report has. */
#include <float.h>
#include <limits.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "show/json_parts.h"

enum { DIGITS = 15 /* every decimal of 15 digits survives a double; 17 would show noise */, NUMBER = 40 };

static void value(struct inw_text *t, const json_t *o, int depth);

/* ---- numbers ---- */

/* 10^0 to 10^27, each exact in 64 bits: 5^27 < 2^64. */
#define TENS(e) 1##e##0L, 1##e##1L, 1##e##2L, 1##e##3L, 1##e##4L, 1##e##5L, 1##e##6L, 1##e##7L, 1##e##8L, 1##e##9L
static const long double ten[] = {TENS(e), TENS(e1), 1e20L, 1e21L, 1e22L, 1e23L, 1e24L, 1e25L, 1e26L, 1e27L};

/* v > 0 as DIGITS digits times 10^(*exponent - DIGITS + 1), rounded to the nearest; 0 where that is not certain. */
static uint64_t digits_of(double v, int *exponent)
{
	const long double least = ten[DIGITS - 1], most = ten[DIGITS], doubtful = 1e-3L; /* two roundings are 1e-4 at the most */
	int e = (int)floor(log10(v)), by = DIGITS - 1 - e;

	if (LDBL_MANT_DIG < 64 || by > 27 || by < -27)
		return 0;
	long double scaled = by >= 0 ? (long double)v * ten[by] : (long double)v / ten[-by];
	if (!(scaled >= least && scaled < most - 1)) /* log10 was off by a hair */
		return 0;
	uint64_t whole = (uint64_t)scaled;
	long double rest = scaled - (long double)whole;
	if (fabsl(rest - 0.5L) < doubtful)
		return 0;
	*exponent = e;
	return whole + (rest > 0.5L);
}

/* As "%.15g" does it, of digits that begin with one that is not 0. */
static size_t lay_out(char *s, uint64_t digits, int exponent)
{
	char d[DIGITS];
	int count = DIGITS, n = 0;

	for (int i = DIGITS - 1; i >= 0; i--, digits /= 10)
		d[i] = (char)('0' + digits % 10);
	while (count > 1 && d[count - 1] == '0')
		count--;
	if (exponent < -4 || exponent >= DIGITS) { /* 1.5e-07, and jansson has no zero in front: 1.5e-7 */
		s[n++] = d[0];
		if (count > 1)
			s[n++] = '.';
		memcpy(s + n, d + 1, (size_t)(count - 1));
		return (size_t)(n + count - 1 + snprintf(s + n + count - 1, 8, "e%d", exponent));
	}
	if (exponent < 0) {
		memcpy(s, "0.000", 5);
		n = 1 - exponent;
		memcpy(s + n, d, (size_t)count);
		return (size_t)(n + count);
	}
	for (int i = 0; i < count || i <= exponent; i++) {
		if (i == exponent + 1)
			s[n++] = '.';
		s[n++] = i < count ? d[i] : '0';
	}
	if (count <= exponent + 1)
		memcpy(s + n, ".0", 2), n += 2;
	return (size_t)n;
}

static void real(struct inw_text *t, double v)
{
	char s[NUMBER], *end;
	int exponent = 0;
	uint64_t digits = v == 0 ? 0 : digits_of(fabs(v), &exponent);

	if (digits) {
		s[0] = '-';
		size_t n = lay_out(s + 1, digits, exponent);
		inw_text_addn(t, v < 0 ? s : s + 1, v < 0 ? n + 1 : n);
		return;
	}
	int n = snprintf(s, sizeof s, "%.*g", DIGITS, v);
	if (!strpbrk(s, ".e")) {
		memcpy(s + n, ".0", 3);
	} else if ((end = strchr(s, 'e')) != NULL) { /* neither a plus nor zeros in front of an exponent */
		char *from = end + 1, *to = end + 1;
		if (*from == '-')
			from++, to++;
		from += strspn(from, "+0");
		memmove(to, from, strlen(from) + 1);
	}
	inw_text_add(t, s);
}

/* ---- the rest ---- */

static void text(struct inw_text *t, const char *s, size_t length)
{
	static const char name[] = "\"\\\b\f\n\r\t", letter[] = "\"\\bfnrt";
	const char *end = s + length, *plain = s;

	inw_text_add(t, "\"");
	for (; s < end; s++) {
		unsigned char c = (unsigned char)*s;
		if (c >= ' ' && c != '"' && c != '\\')
			continue;
		const char *known = c ? strchr(name, c) : NULL;
		inw_text_addn(t, plain, (size_t)(s - plain));
		if (known)
			inw_text_printf(t, "\\%c", letter[known - name]);
		else
			inw_text_printf(t, "\\u%04X", c);
		plain = s + 1;
	}
	inw_text_addn(t, plain, (size_t)(end - plain));
	inw_text_add(t, "\"");
}

static void new_line(struct inw_text *t, int depth)
{
	static const char blank[] = "\n                                ";

	inw_text_addn(t, blank, depth + 1 < (int)sizeof blank ? (size_t)depth + 1 : sizeof blank - 1);
}

static void list(struct inw_text *t, const json_t *o, int depth)
{
	size_t count = json_array_size(o);

	inw_text_add(t, "[");
	for (size_t i = 0; i < count; i++) {
		if (i)
			inw_text_add(t, ",");
		new_line(t, depth + 1);
		value(t, json_array_get(o, i), depth + 1);
	}
	if (count)
		new_line(t, depth);
	inw_text_add(t, "]");
}

static void object(struct inw_text *t, json_t *o, int depth)
{
	bool any = false;

	inw_text_add(t, "{");
	for (void *i = json_object_iter(o); i; i = json_object_iter_next(o, i)) {
		const char *key = json_object_iter_key(i);
		if (any)
			inw_text_add(t, ",");
		any = true;
		new_line(t, depth + 1);
		text(t, key, strlen(key));
		inw_text_add(t, ": ");
		value(t, json_object_iter_value(i), depth + 1);
	}
	if (any)
		new_line(t, depth);
	inw_text_add(t, "}");
}

static void value(struct inw_text *t, const json_t *o, int depth)
{
	switch (json_typeof(o)) {
	case JSON_OBJECT: object(t, (json_t *)(uintptr_t)o, depth); break; /* it is walked by way of a pointer that could change it */
	case JSON_ARRAY: list(t, o, depth); break;
	case JSON_STRING: text(t, json_string_value(o), json_string_length(o)); break;
	case JSON_INTEGER: inw_text_printf(t, "%" JSON_INTEGER_FORMAT, json_integer_value(o)); break;
	case JSON_REAL: real(t, json_real_value(o)); break;
	case JSON_TRUE: inw_text_add(t, "true"); break;
	case JSON_FALSE: inw_text_add(t, "false"); break;
	case JSON_NULL: inw_text_add(t, "null"); break;
	}
}

void inw_json__spell(struct inw_text *t, const json_t *o)
{
	value(t, o, 0);
}
