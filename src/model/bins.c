/* SPDX-License-Identifier: MIT */
/* bins.c: particles by size on fixed pivots.
 *
 * Kumar & Ramkrishna 1996, Chem. Eng. Sci. 51:1311-1332: a new particle of volume v between two pivots is shared
 * between them so that number and volume both come out right. It smears a narrow distribution towards large sizes; the
 * error falls with the square of the bin width (tested). */
#include "model/bins.h"

#include <assert.h>
#include <math.h>

#include "physics/clean.h"

#define PI 3.14159265358979323846

static double sphere_m3(double diameter_m)
{
	return PI / 6 * diameter_m * diameter_m * diameter_m;
}

int inw_bins_grid(struct inw_bins *b, int n, double from_m, double to_m)
{
	double step;

	if (n < 2 || n > INW_MAX_BINS || !(from_m > 0 && from_m < to_m && isfinite(to_m)))
		return -1;
	*b = (struct inw_bins){.n = n};
	step = log(to_m / from_m) / n;
	for (int i = 0; i <= n; i++)
		b->edge_m[i] = i == n ? to_m : from_m * exp(i * step);
	for (int i = 0; i < n; i++) {
		b->diameter_m[i] = from_m * exp((i + 0.5) * step);
		b->volume_m3[i] = sphere_m3(b->diameter_m[i]);
	}
	return 0;
}

/* Where the particle made of pivots i <= j goes. Above the last pivot there is no second one to share with: then volume
 * is kept and number is not, and two of the largest stay as they are. */
static struct inw_bin_pair place(const struct inw_bins *b, int i, int j)
{
	const double *v = b->volume_m3;
	struct inw_bin_pair p = {.i = (unsigned char)i, .j = (unsigned char)j};
	int k = j;

	while (k + 1 < b->n && v[i] + v[j] >= v[k + 1])
		k++;
	p.k = (unsigned char)k;
	if (k + 1 == b->n) {
		p.stays = k == j ? v[i] / v[k] : (v[i] + v[j]) / v[k];
		return p;
	}
	p.rises = (v[i] + (v[j] - v[k])) / (v[k + 1] - v[k]);
	p.stays = k == j ? -p.rises : 1 - p.rises;
	return p;
}

static struct inw_bin_pair *start(struct inw_coagulation *c, const struct inw_bins *b)
{
	assert(b->n >= 2 && b->n <= INW_MAX_BINS);
	c->n = b->n;
	c->pairs = 0;
	for (int j = 0; j < b->n; j++)
		for (int i = 0; i <= j; i++)
			c->pair[c->pairs++] = place(b, i, j);
	return c->pair;
}

void inw_coagulation_table(struct inw_coagulation *c, const struct inw_bins *b, inw_bin_kernel kernel,
	const void *context)
{
	struct inw_bin_pair *p = start(c, b);

	for (int m = 0; m < c->pairs; m++)
		p[m].kernel_m3s = kernel(b->diameter_m[p[m].i], b->diameter_m[p[m].j], context);
}

void inw_coagulation_brownian(struct inw_coagulation *c, const struct inw_bins *b, const struct inw_aerosol *air)
{
	struct inw_bin_pair *p = start(c, b);
	struct inw_thermal_motion motion[INW_MAX_BINS];

	for (int i = 0; i < b->n; i++)
		motion[i] = inw_thermal_motion(b->diameter_m[i], air);
	for (int m = 0; m < c->pairs; m++)
		p[m].kernel_m3s = inw_coagulation_kernel_m3s(&motion[p[m].i], &motion[p[m].j]);
}

/* What `meetings` per m3 and s of one pair do to the bins; `out` strides by one. */
static void settle(const struct inw_bin_pair *p, double meetings, double *out)
{
	out[p->i] -= meetings;
	if (p->k != p->j)
		out[p->j] -= meetings;
	out[p->k] += meetings * p->stays;
	if (p->rises > 0) /* never so for the last bin */
		out[p->k + 1] += meetings * p->rises;
}

/* Within one bin there are N^2/2 pairs. */
static double pairs_kernel(const struct inw_bin_pair *p)
{
	return p->i == p->j ? p->kernel_m3s / 2 : p->kernel_m3s;
}

void inw_coagulation_rate(const struct inw_coagulation *c, const double *N, double *dNdt)
{
	for (int m = 0; m < c->pairs; m++) {
		const struct inw_bin_pair *p = &c->pair[m];

		settle(p, pairs_kernel(p) * N[p->i] * N[p->j], dNdt);
	}
}

void inw_coagulation_split(const struct inw_coagulation *c, const double *N, double *won, double *lost)
{
	for (int m = 0; m < c->pairs; m++) {
		const struct inw_bin_pair *p = &c->pair[m];
		const double kernel = pairs_kernel(p), meetings = kernel * N[p->i] * N[p->j];

		lost[p->i] += kernel * N[p->j];
		if (p->k != p->j)
			lost[p->j] += kernel * N[p->i];
		if (p->stays < 0) /* of j itself: k == j */
			lost[p->j] -= p->stays * kernel * N[p->i];
		else
			won[p->k] += p->stays * meetings;
		if (p->rises > 0)
			won[p->k + 1] += p->rises * meetings;
	}
}

void inw_bins_deposition(const struct inw_bins *b, const struct inw_bin_surfaces *s, const struct inw_aerosol *air,
	double *loss_1s)
{
	assert(s->volume_m3 > 0 && s->wall_m2 >= 0 && s->floor_m2 >= 0 && s->ceiling_m2 >= 0);
	for (int i = 0; i < b->n; i++) {
		const struct inw_deposition v = inw_deposition_velocity(b->diameter_m[i], air->density_kgm3,
			s->friction_velocity_ms, air->T_K, air->p_Pa);

		loss_1s[i] = (v.wall_ms * s->wall_m2 + v.floor_ms * s->floor_m2 + v.ceiling_ms * s->ceiling_m2) / s->volume_m3;
	}
}

/* Number and volume between two pivots decide how it is shared between them, as for a new particle. In the half bins at
 * the two ends there is one pivot only: number is kept there. */
struct inw_bin_outside inw_bins_source(const struct inw_bins *b, struct inw_lognormal sizes, double *share)
{
	const double *d = b->diameter_m, *v = b->volume_m3;
	const int last = b->n - 1;

	for (int i = 0; i < b->n; i++)
		share[i] = 0;
	share[0] = inw_lognormal_share(sizes, b->edge_m[0], d[0]);
	for (int i = 0; i < last; i++) {
		const double number = inw_lognormal_share(sizes, d[i], d[i + 1]);
		const double volume = PI / 6 * inw_lognormal_part(sizes, 3, d[i], d[i + 1]);
		/* 0 .. number but for rounding, which must not make a share negative */
		const double up = fmin(number, fmax(0, (volume - number * v[i]) / (v[i + 1] - v[i])));

		share[i] += number - up;
		share[i + 1] += up;
	}
	share[last] += inw_lognormal_share(sizes, d[last], b->edge_m[b->n]);
	return (struct inw_bin_outside){
		.below = inw_lognormal_share(sizes, 0, b->edge_m[0]),
		.above = inw_lognormal_share(sizes, b->edge_m[b->n], INFINITY),
	};
}

double inw_bins_number(const struct inw_bins *b, const double *N)
{
	double sum = 0;

	for (int i = 0; i < b->n; i++)
		sum += N[i];
	return sum;
}

double inw_bins_volume(const struct inw_bins *b, const double *N)
{
	double sum = 0;

	for (int i = 0; i < b->n; i++)
		sum += N[i] * b->volume_m3[i];
	return sum;
}
