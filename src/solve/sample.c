/* SPDX-License-Identifier: MIT */
#include "solve/sample.h"

#include <math.h>

/* Steele, Lea & Flood 2014, splitmix64's finisher (memory). */
uint64_t inw_hash(uint64_t a, uint64_t b)
{
	uint64_t h = a ^ (b + 0x9e3779b97f4a7c15u + (a << 6) + (a >> 2));

	for (int k = 0; k < 2; k++) {
		h += 0x9e3779b97f4a7c15u;
		h = (h ^ (h >> 30)) * 0xbf58476d1ce4e5b9u;
		h = (h ^ (h >> 27)) * 0x94d049bb133111ebu;
		h ^= h >> 31;
	}
	return h;
}

static double unit_of(uint64_t bits)
{
	return ((double)(bits >> 12) + 0.5) * 0x1p-52; /* 52 bits and a half: neither 0 nor 1 */
}

double inw_hash_unit(uint64_t a, uint64_t b)
{
	return unit_of(inw_hash(a, b));
}

/* All direction numbers of one dimension from its first: Bratley & Fox 1988, ACM TOMS 14:88-100, eq. 2 (memory). */
static void directions(size_t dimension, uint32_t v[INW_SAMPLE_DIGITS])
{
	const struct inw_sobol_number *n = &inw_sobol_number[dimension];
	int degree = 0;

	while (n->polynomial >> (degree + 1))
		degree++;
	for (int i = 0; i < INW_SAMPLE_DIGITS; i++) {
		if (degree == 0) {
			v[i] = 1u << (31 - i); /* van der Corput */
			continue;
		}
		if (i < degree) {
			v[i] = n->first[i] << (31 - i);
			continue;
		}
		v[i] = v[i - degree] ^ (v[i - degree] >> degree);
		for (int k = 1; k < degree; k++)
			if (n->polynomial >> (degree - k) & 1)
				v[i] ^= v[i - k];
	}
}

/* What the first digits become: a coin for every digit and every value of those before it. */
static void toss(uint64_t seed, uint16_t *top)
{
	top[0] = 0;
	for (int digit = 0; digit < INW_SAMPLE_TABLED; digit++)
		for (unsigned before = 1u << digit; before-- > 0;) { /* from the last one: each makes two in its place and beyond */
			unsigned coin = (unsigned)(inw_hash(seed, before | 1u << digit) >> 40 & 1), y = (unsigned)top[before] << 1;
			top[2 * before] = (uint16_t)(y | coin);
			top[2 * before + 1] = (uint16_t)(y | (coin ^ 1));
		}
}

int inw_sampler_make(struct inw_sampler *s, uint64_t seed, size_t dimensions, struct inw_arena *arena)
{
	size_t tabled = dimensions < INW_SAMPLE_DIMENSIONS ? dimensions : INW_SAMPLE_DIMENSIONS;

	s->dimensions = dimensions;
	s->seed = inw_arena_alloc(arena, sizeof *s->seed * (dimensions + 1));
	s->direction = inw_arena_alloc(arena, sizeof *s->direction * INW_SAMPLE_DIGITS * (tabled + 1));
	s->top = inw_arena_alloc(arena, sizeof *s->top * (tabled + 1) << INW_SAMPLE_TABLED);
	if (!s->seed || !s->direction || !s->top)
		return -1;
	for (size_t i = 0; i < dimensions; i++)
		s->seed[i] = inw_hash(seed, i);
	for (size_t i = 0; i < tabled; i++) {
		directions(i, &s->direction[i * INW_SAMPLE_DIGITS]);
		toss(s->seed[i], &s->top[i << INW_SAMPLE_TABLED]);
	}
	return 0;
}

static uint64_t reversed(uint64_t x)
{
	x = (x >> 1 & 0x5555555555555555u) | (x & 0x5555555555555555u) << 1;
	x = (x >> 2 & 0x3333333333333333u) | (x & 0x3333333333333333u) << 2;
	x = (x >> 4 & 0x0f0f0f0f0f0f0f0fu) | (x & 0x0f0f0f0f0f0f0f0fu) << 4;
	return __builtin_bswap64(x);
}

/* Digits after the tabled ones, the first of them lowest: every operation carries from lower to higher bits only, so a digit
 * depends on those before it. Bits above the given ones fill with what all of them make. The even constants are ours. */
static uint64_t carry_up(uint64_t n, uint64_t seed)
{
	n += seed;
	n ^= n * 0x6c50b47c9b5f5ec4u;
	n *= seed >> 32 | 1;
	n ^= n * 0xb82f1e52d7a3d8aeu;
	n ^= n * 0xc7afe638ae1d4d12u;
	return n;
}

static double scrambled(const struct inw_sampler *s, size_t i, uint32_t x)
{
	enum { rest_bits = INW_SAMPLE_DIGITS - INW_SAMPLE_TABLED };
	uint32_t first = x >> rest_bits;
	uint64_t rest = reversed((uint64_t)x << (32 + INW_SAMPLE_TABLED)); /* next digit lowest */

	rest = reversed(carry_up(rest, inw_hash(s->seed[i] ^ 0x5bd1e995u, first)));
	return unit_of((uint64_t)s->top[i << INW_SAMPLE_TABLED | first] << (64 - INW_SAMPLE_TABLED) | rest >> INW_SAMPLE_TABLED);
}

void inw_sampler_point(const struct inw_sampler *s, uint64_t index, double *u)
{
	for (size_t i = 0; i < s->dimensions; i++) {
		if (i >= INW_SAMPLE_DIMENSIONS) {
			u[i] = inw_hash_unit(s->seed[i], index);
			continue;
		}
		const uint32_t *v = &s->direction[i * INW_SAMPLE_DIGITS];
		uint32_t x = 0;
		for (uint64_t k = index; k; k &= k - 1)
			x ^= v[__builtin_ctzll(k)];
		u[i] = scrambled(s, i, x);
	}
}

/* ---- the normal distribution ---- */

static double ratio(const double a[8], const double b[8], double r)
{
	double p = a[7], q = b[7];

	for (int i = 6; i >= 0; i--) {
		p = p * r + a[i];
		q = q * r + b[i];
	}
	return p / q;
}

/* M. J. Wichura, Algorithm AS 241, PPND16, Appl. Statist. 37 (1988) 477-484: relative error about 1e-16. Coefficients from
 * memory; held against erfc by test/solve/test_sample.c. */
double inw_normal_quantile(double p)
{
	static const double a[8] = {3.3871328727963666080e0, 1.3314166789178437745e+2, 1.9715909503065514427e+3, 1.3731693765509461125e+4,
		4.5921953931549871457e+4, 6.7265770927008700853e+4, 3.3430575583588128105e+4, 2.5090809287301226727e+3};
	static const double b[8] = {1, 4.2313330701600911252e+1, 6.8718700749205790830e+2, 5.3941960214247511077e+3,
		2.1213794301586595867e+4, 3.9307895800092710610e+4, 2.8729085735721942674e+4, 5.2264952788528545610e+3};
	static const double c[8] = {1.42343711074968357734e0, 4.63033784615654529590e0, 5.76949722146069140550e0, 3.64784832476320460504e0,
		1.27045825245236838258e0, 2.41780725177450611770e-1, 2.27238449892691845833e-2, 7.74545014278341407640e-4};
	static const double d[8] = {1, 2.05319162663775882187e0, 1.67638483018380384940e0, 6.89767334985100004550e-1,
		1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4, 1.05075007164441684324e-9};
	static const double e[8] = {6.65790464350110377720e0, 5.46378491116411436990e0, 1.78482653991729133580e0, 2.96560571828504891230e-1,
		2.65321895265761230930e-2, 1.24266094738807843860e-3, 2.71155556874348757815e-5, 2.01033439929228813265e-7};
	static const double f[8] = {1, 5.99832206555887937690e-1, 1.36929880922735805310e-1, 1.48753612908506148525e-2,
		7.86869131145613259100e-4, 1.84631831751005468180e-5, 1.42151175831644588870e-7, 2.04426310338993978564e-15};
	double q = p - 0.5;

	if (fabs(q) <= 0.425)
		return q * ratio(a, b, 0.180625 - q * q);
	double r = sqrt(-log(q < 0 ? p : 1 - p)), z = r <= 5 ? ratio(c, d, r - 1.6) : ratio(e, f, r - 5);
	return q < 0 ? -z : z;
}

double inw_normal_below(double z)
{
	return 0.5 * erfc(-z * 0.70710678118654752440);
}
