/* SPDX-License-Identifier: MIT */
/* test_linear.c: elimination against systems whose answers are known in closed form, and against its own residual. */
#include <float.h>
#include <stdint.h>

#include "solve/linear.h"
#include "test/check.h"

enum { MOST = INW_SPARSE_ROWS };

static double random_unit(uint64_t *state) /* splitmix64, Steele, Lea & Flood 2014 (memory) */
{
	uint64_t z = *state += 0x9e3779b97f4a7c15u;

	z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
	z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
	return (double)((z ^ (z >> 31)) >> 11) * 0x1p-53;
}

/* By the sets of what is not empty; and once more by what is left of the matrix, which must give the same bits. */
static int solve(const double *a, double *b, int n)
{
	static struct inw_sparse m;
	struct inw_elimination e;
	double again[MOST];

	inw_sparse_empty(&m, n);
	for (int i = 0; i < n; i++)
		for (int j = 0; j < n; j++)
			if (a[i * n + j] != 0)
				inw_sparse_add(&m, i, j, a[i * n + j]);
	memcpy(again, b, sizeof *b * (size_t)n);
	int bad = inw_solve(&e, &m, b);
	if (!bad)
		inw_solve_again(&e, &m, again);
	CHECK(bad || memcmp(again, b, sizeof *b * (size_t)n) == 0);
	return bad;
}

static double binomial(int n, int k)
{
	double c = 1;

	for (int i = 1; i <= k; i++)
		c = c * (n - k + i) / i;
	return c;
}

/* Hilbert's matrix 1/(i + j - 1) and its inverse, which is whole numbers: Choi 1983, Am. Math. Monthly 90:301-312
 * (memory): (-1)^(i+j) (i+j-1) C(n+i-1, n-j) C(n+j-1, n-i) C(i+j-2, i-1)^2. Condition number of n = 5: 4.77e5, n = 8:
 * 1.5e10 (same place): the error may be that times the rounding. */
static void hilbert(int n, double condition)
{
	double a[MOST], want, column[MOST];
	int pivot[MOST];

	for (int j = 1; j <= n; j++) {
		for (int i = 1; i <= n; i++) {
			for (int k = 1; k <= n; k++)
				a[(i - 1) * n + k - 1] = 1.0 / (i + k - 1);
			column[i - 1] = i == j;
		}
		CHECK(inw_lu_factor(a, pivot, n) == 0);
		inw_lu_solve(a, pivot, n, column);
		for (int i = 1; i <= n; i++) {
			double c = binomial(i + j - 2, i - 1);
			want = ((i + j) % 2 ? -1 : 1) * (i + j - 1) * binomial(n + i - 1, n - j) * binomial(n + j - 1, n - i) * c * c;
			CHECK_REL(column[i - 1], want, 4 * condition * DBL_EPSILON, "Choi 1983, inverse of Hilbert's matrix");
		}
	}
}

/* Second differences with ends held: x_i = i (n + 1 - i)/2 solves -x_(i-1) + 2 x_i - x_(i+1) = 1 (textbook). */
static void second_difference(int n)
{
	static double a[MOST * MOST], once[MOST * MOST];
	double x[MOST] = {0}, y[MOST];
	int pivot[MOST];

	memset(a, 0, sizeof a);
	for (int i = 0; i < n; i++) {
		a[i * n + i] = 2;
		if (i)
			a[i * n + i - 1] = -1;
		if (i + 1 < n)
			a[i * n + i + 1] = -1;
		x[i] = 1;
	}
	memcpy(once, a, sizeof once);
	memcpy(y, x, sizeof y);
	CHECK(inw_lu_factor(a, pivot, n) == 0);
	inw_lu_solve(a, pivot, n, x);
	CHECK(solve(once, y, n) == 0);
	for (int i = 0; i < n; i++)
		CHECK_REL(y[i], 0.5 * (i + 1) * (n - i), n * n * DBL_EPSILON, "closed form of the second difference's inverse");
	for (int i = 0; i < n; i++)
		CHECK_REL(x[i], 0.5 * (i + 1) * (n - i), n * n * DBL_EPSILON, "closed form of the second difference's inverse");
}

/* Backward stability: the residual is small against |A||x|, whatever the condition. Higham 2002, Accuracy and Stability of
 * Numerical Algorithms, ch. 9: growth with partial pivoting is in practice under n (memory). Rows of all scales, half of
 * the entries empty, and no diagonal, so that rows must be exchanged. */
static void backward(const double *a, const double *b, const double *x, int n)
{
	for (int i = 0; i < n; i++) {
		double r = -b[i], size = fabs(b[i]), most = 0, big = 0;
		for (int j = 0; j < n; j++) {
			r += a[i * n + j] * x[j];
			size += fabs(a[i * n + j] * x[j]);
			most = fmax(most, fabs(a[i * n + j]));
			big = fmax(big, fabs(x[j]));
		}
		CHECK_ABS(r, 0, 4 * n * DBL_EPSILON * (size + most * big), "Higham 2002, backward error of elimination");
	}
}

static void random_system(int n, uint64_t *state)
{
	static double a[MOST * MOST], f[MOST * MOST];
	double b[MOST], x[MOST], y[MOST];
	int pivot[MOST];

	for (int i = 0; i < n; i++) {
		double scale = pow(10, 8 * random_unit(state) - 4);
		for (int j = 0; j < n; j++)
			a[i * n + j] = (j == (i + 1) % n) ? scale : i == j || random_unit(state) < 0.5 ? 0 : scale * (2 * random_unit(state) - 1);
		x[i] = y[i] = b[i] = scale * (2 * random_unit(state) - 1);
	}
	if (n < 2)
		return;
	memcpy(f, a, sizeof f);
	CHECK(inw_lu_factor(f, pivot, n) == 0);
	inw_lu_solve(f, pivot, n, x);
	backward(a, b, x, n);
	memcpy(f, a, sizeof f);
	CHECK(solve(f, y, n) == 0);
	backward(a, b, y, n);
}

static void singular(void)
{
	double zero[4] = {0}, equal[4] = {1, 2, 2, 4}, nan_in[4] = {NAN, 1, 1, 1}, empty_column[9] = {1, 0, 2, 3, 0, 4, 5, 0, 7};
	double exchange[4] = {0, 2, 4, 0}, b[2] = {6, 8};
	int pivot[3];

	double zero2[4] = {0}, equal2[4] = {1, 2, 2, 4}, nan2[4] = {NAN, 1, 1, 1}, empty2[9] = {1, 0, 2, 3, 0, 4, 5, 0, 7};
	double exchange2[4] = {0, 2, 4, 0}, b2[3] = {6, 8, 1};

	CHECK(solve(zero2, b2, 2) == -1);
	CHECK(solve(equal2, b2, 2) == -1);
	CHECK(solve(nan2, b2, 2) == -1);
	CHECK(solve(empty2, b2, 3) == -1);
	b2[0] = 6, b2[1] = 8;
	CHECK(solve(exchange2, b2, 2) == 0);
	CHECK_ABS(b2[0], 2, 0, "4 x0 = 8");
	CHECK_ABS(b2[1], 3, 0, "2 x1 = 6");
	CHECK(inw_lu_factor(zero, pivot, 2) == -1);
	CHECK(inw_lu_factor(equal, pivot, 2) == -1);
	CHECK(inw_lu_factor(nan_in, pivot, 2) == -1);
	CHECK(inw_lu_factor(empty_column, pivot, 3) == -1);
	CHECK(inw_lu_factor(exchange, pivot, 2) == 0);
	inw_lu_solve(exchange, pivot, 2, b);
	CHECK_ABS(b[0], 2, 0, "4 x0 = 8");
	CHECK_ABS(b[1], 3, 0, "2 x1 = 6");
}

int main(void)
{
	uint64_t state = 1;

	hilbert(5, 4.77e5);
	hilbert(8, 1.53e10);
	second_difference(1);
	second_difference(30);
	second_difference(MOST);
	for (int i = 0; i < 200; i++)
		random_system(2 + i % (MOST - 1), &state);
	singular();
	return check_done();
}
