/* SPDX-License-Identifier: MIT */
/* number.c: decimal numbers in and out.
 *
 * Reading is done with whole numbers of any length, so it is exact and needs no proof about rounding: the text is
 * N / M with whole N and M; the quotient is taken to 54 or 55 bits with a note whether anything was left over, then
 * rounded once, half to even (IEEE 754-2019, 4.3.1).
 */
#include "base/number.h"
#include "base/base.h"

#include <assert.h>
#include <float.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#define DIGITS_MAX 40
/* Outside these powers of ten (of the leading digit) a number is surely infinite or zero: DBL_MAX is 1.8e308, the
 * least subnormal 4.9e-324. */
#define POWER_MAX 309
#define POWER_MIN (-325)

/* ---- whole numbers ----------------------------------------------------------------------------------------------- */

/* Largest need: 10^(40 + 325) has 1213 bits, moved up by 55. */
#define WORDS 48
struct whole { uint32_t w[WORDS]; int n; }; /* little end first; w[n-1] is not 0 */

static void times_plus(struct whole *a, uint32_t factor, uint32_t add)
{
	uint64_t carry = add;

	for (int i = 0; i < a->n; i++) {
		carry += (uint64_t)a->w[i] * factor;
		a->w[i] = (uint32_t)carry;
		carry >>= 32;
	}
	if (carry) {
		assert(a->n < WORDS);
		a->w[a->n++] = (uint32_t)carry;
	}
}

static void times_power_of_ten(struct whole *a, int power)
{
	for (; power > 0; power--)
		times_plus(a, 10, 0);
}

static int bits(const struct whole *a)
{
	int b = 32 * (a->n - 1);

	assert(a->n > 0);
	for (uint32_t top = a->w[a->n - 1]; top; top >>= 1)
		b++;
	return b;
}

static void double_times(struct whole *a, int count)
{
	for (; count > 0; count--)
		times_plus(a, 2, 0);
}

static void halve(struct whole *a)
{
	for (int i = 0; i < a->n; i++)
		a->w[i] = a->w[i] >> 1 | (i + 1 < a->n ? a->w[i + 1] << 31 : 0);
	if (a->n > 0 && a->w[a->n - 1] == 0)
		a->n--;
}

static bool at_least(const struct whole *a, const struct whole *b)
{
	if (a->n != b->n)
		return a->n > b->n;
	for (int i = a->n - 1; i >= 0; i--)
		if (a->w[i] != b->w[i])
			return a->w[i] > b->w[i];
	return true;
}

/* a -= b, where a >= b */
static void take(struct whole *a, const struct whole *b)
{
	int64_t borrow = 0;

	for (int i = 0; i < a->n; i++) {
		borrow += (int64_t)a->w[i] - (i < b->n ? (int64_t)b->w[i] : 0);
		a->w[i] = (uint32_t)borrow;
		borrow = borrow < 0 ? -1 : 0;
	}
	assert(borrow == 0);
	while (a->n > 0 && a->w[a->n - 1] == 0)
		a->n--;
}

/* ---- reading ----------------------------------------------------------------------------------------------------- */

struct decimal {
	bool negative;
	char digit[DIGITS_MAX]; /* 0..9, without leading zeros */
	int digits;
	int power;              /* of ten, of the last digit */
	bool too_long;
};

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

/* One digit left of the point (`step` 0) or right of it (-1). */
static void keep_digit(struct decimal *d, char c, int step)
{
	if (d->digits == 0 && c == '0') {
		d->power += step;
	} else if (d->digits < DIGITS_MAX) {
		d->digit[d->digits++] = (char)(c - '0');
		d->power += step;
	} else {
		d->too_long |= c != '0';
		d->power += step + 1;
	}
}

/* The exponent at text[i], when a whole one stands there. */
static size_t read_exponent(const char *text, size_t length, size_t i, struct decimal *d)
{
	size_t j = i + 1;
	bool negative = false;
	int e = 0;

	if (i >= length || (text[i] != 'e' && text[i] != 'E'))
		return i;
	if (j < length && (text[j] == '-' || text[j] == '+'))
		negative = text[j++] == '-';
	if (j >= length || !is_digit(text[j]))
		return i;
	for (; j < length && is_digit(text[j]); j++)
		e = e < 100000 ? 10 * e + (text[j] - '0') : e; /* surely infinite or zero, and still an int */
	d->power += negative ? -e : e;
	return j;
}

static size_t read_decimal(const char *text, size_t length, struct decimal *d)
{
	size_t i = 0, first;
	bool any = false;

	if (i < length && (text[i] == '+' || text[i] == '-'))
		d->negative = text[i++] == '-';
	for (first = i; i < length && is_digit(text[i]); i++)
		keep_digit(d, text[i], 0);
	any = i > first;
	if (i + 1 < length && text[i] == '.' && is_digit(text[i + 1])) {
		for (i++; i < length && is_digit(text[i]); i++)
			keep_digit(d, text[i], -1);
		any = true;
	}
	return any ? read_exponent(text, length, i, d) : 0;
}

/* quotient * 2^-shift with something left over or not, as the nearest double; 0 when it vanishes */
static double round_once(uint64_t quotient, bool left_over, int shift)
{
	int drop = 0, exponent;
	uint64_t kept, rest, half;

	while (quotient >> drop >= (uint64_t)1 << DBL_MANT_DIG)
		drop++;
	exponent = drop + DBL_MANT_DIG - 1 - shift; /* of the leading bit */
	if (exponent < DBL_MIN_EXP - 1)
		drop += DBL_MIN_EXP - 1 - exponent;
	if (drop > 62)
		return 0;
	assert(drop > 0);
	kept = quotient >> drop;
	rest = quotient & (((uint64_t)1 << drop) - 1);
	half = (uint64_t)1 << (drop - 1);
	if (rest > half || (rest == half && (left_over || kept & 1)))
		kept++;
	return ldexp((double)kept, drop - shift);
}

static double nearest_double(const struct decimal *d)
{
	struct whole n = {0}, m = {.w = {1}, .n = 1};
	uint64_t quotient = 0;
	int shift;

	for (int i = 0; i < d->digits; i++)
		times_plus(&n, 10, (uint32_t)d->digit[i]);
	times_power_of_ten(&n, d->power);
	times_power_of_ten(&m, -d->power);
	shift = 54 - (bits(&n) - bits(&m)); /* the quotient then has 54 or 55 bits */
	double_times(&n, shift);
	double_times(&m, 54 - (shift < 0 ? shift : 0));
	for (int i = 54; i >= 0; i--) {
		quotient <<= 1;
		if (at_least(&n, &m)) {
			take(&n, &m);
			quotient |= 1;
		}
		halve(&m);
	}
	return round_once(quotient, n.n > 0, shift);
}

/* Up to 15 digits and 10^22 a whole number and a power of ten are doubles without rounding (2^53 > 10^15, 5^22 < 2^53), and
 * their product or quotient rounds once: Clinger 1990, How to read floating point numbers accurately, PLDI (memory). Almost
 * every number that people write is of this kind. Where the machine keeps more digits than a double has, it would round
 * twice. */
static bool rounds_once(const struct decimal *d, double *x)
{
	static const double ten[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
	                             1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
	const int most = (int)INW_COUNT(ten) - 1;
	double whole = 0;

	if (FLT_EVAL_METHOD != 0 || d->digits > DBL_DIG || d->power > most || d->power < -most)
		return false;
	for (int i = 0; i < d->digits; i++)
		whole = 10 * whole + d->digit[i];
	*x = d->power < 0 ? whole / ten[-d->power] : whole * ten[d->power];
	return true;
}

enum inw_number_fault inw_number_read(const char *text, size_t length, double *value, size_t *used)
{
	struct decimal d = {0};
	int leading;
	double x;

	*value = 0;
	*used = read_decimal(text, length, &d);
	if (*used == 0)
		return INW_NUMBER_NONE;
	if (d.too_long)
		return INW_NUMBER_TOO_LONG;
	if (d.digits == 0)
		return INW_NUMBER_FINE;
	leading = d.power + d.digits - 1;
	if (leading > POWER_MAX)
		return INW_NUMBER_TOO_LARGE;
	if (leading < POWER_MIN)
		return INW_NUMBER_TOO_SMALL;
	if (!rounds_once(&d, &x))
		x = nearest_double(&d);
	if (isinf(x))
		return INW_NUMBER_TOO_LARGE;
	if (x == 0)
		return INW_NUMBER_TOO_SMALL;
	*value = d.negative ? -x : x;
	return INW_NUMBER_FINE;
}

/* ---- writing ----------------------------------------------------------------------------------------------------- */

#define LEAST_POWER (-4) /* 0.000123 still reads well, 0.0000123 does not */
#define MOST_POWER 5     /* 123000 likewise */

/* The digits of x != 0 and the power of ten of the first. printf's own decimal point, whatever it is, is skipped. */
static int digits_of(double x, int digits, char digit[20])
{
	char text[48];
	const char *p;
	int n = 0, power = 0;
	bool negative;

	snprintf(text, sizeof text, "%.*e", digits - 1, fabs(x));
	for (p = text; *p && *p != 'e'; p++)
		if (is_digit(*p))
			digit[n++] = *p;
	assert(*p == 'e' && n == digits);
	negative = p[1] == '-';
	for (p += 2; is_digit(*p); p++)
		power = 10 * power + (*p - '0');
	while (n > 1 && digit[n - 1] == '0')
		n--;
	digit[n] = '\0';
	return negative ? -power : power;
}

static void write_fixed(char *p, const char *digit, int power)
{
	int n = (int)strlen(digit), last = power < n - 1 ? n - 1 : power;

	if (power < 0)
		p += sprintf(p, "0.%.*s", -power - 1, "0000");
	for (int i = 0; i <= last; i++) {
		*p++ = i < n ? digit[i] : '0';
		if (i == power && i < last)
			*p++ = '.';
	}
	*p = '\0';
}

char *inw_number_write(char out[INW_NUMBER_SIZE], double x, int digits)
{
	char digit[20], *p = out;
	int power;

	assert(digits >= 1 && digits <= 17);
	if (isnan(x))
		return strcpy(out, "undefined");
	if (signbit(x) && x != 0)
		*p++ = '-';
	if (isinf(x) || x == 0) {
		strcpy(p, x == 0 ? "0" : "infinite");
		return out;
	}
	power = digits_of(x, digits, digit);
	if (power >= LEAST_POWER && (power <= MOST_POWER || power < digits))
		write_fixed(p, digit, power);
	else
		sprintf(p, "%c%s%se%d", digit[0], digit[1] ? "." : "", digit + 1, power);
	return out;
}

int inw_by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return (x > y) - (x < y);
}
