/* SPDX-License-Identifier: MIT */
#include "check/inputs.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "solve/sample.h"

static const double together = 0.5;            /* correlation of what belongs together (ours: one study's rates rise and fall
                                                  together with its machine and batch, but not in step) */

/* Scatter by factors: what is a rate or a ratio by its nature, and whatever spans more than a factor of two. */
static bool by_factors(const struct inw_quantity *q)
{
	if (!(q->low > 0))
		return false;
	switch (q->dim) {
	case INW_DIM_RATE: case INW_DIM_NUMBER_RATE: case INW_DIM_NUMBER_PER_MASS: case INW_DIM_MASS_RATE: case INW_DIM_MASS_RATIO: case INW_DIM_VOLUME_RATIO:
		return true;
	default:
		return q->high > 2 * q->low;
	}
}

/* What no value of a kind can be below or above, whatever a range says. */
static double least_of(const struct inw_quantity *q)
{
	switch (q->dim) {
	case INW_DIM_TEMPERATURE_DIFFERENCE: case INW_DIM_PRESSURE: case INW_DIM_NONE: case INW_DIM_SOUND: case INW_DIM_MOLAR_ENERGY: case INW_DIM_ANGLE:
	case INW_DIM_CLOCK:
		return q->low >= 0 ? fmax(q->least, 0) : q->least;
	default:
		return fmax(q->least, 0);
	}
}

static double most_of(const struct inw_quantity *q)
{
	return q->dim == INW_DIM_FRACTION && q->high <= 1 ? fmin(q->most, 1) : q->most;
}

static double on_scale(const struct inw_input *in, double v)
{
	return in->log ? (v > 0 ? log(v) : -INFINITY) : v;
}

static void spread(struct inw_input *in, const struct inw_quantity *q)
{
	in->log = by_factors(q);
	in->middle = on_scale(in, q->value);
	in->down = (in->middle - on_scale(in, q->low)) / INW_Z_95;
	in->up = (on_scale(in, q->high) - in->middle) / INW_Z_95;
	double least = least_of(q), most = most_of(q);
	in->z_least = least > -INFINITY && in->down > 0 ? (on_scale(in, least) - in->middle) / in->down : -INFINITY;
	in->z_most = most < INFINITY && in->up > 0 ? (on_scale(in, most) - in->middle) / in->up : INFINITY;
}

double inw_input_value(const struct inw_input *in, double z)
{
	double at = in->middle + z * (z < 0 ? in->down : in->up);

	return in->log ? exp(at) : at;
}

/* Squeezed into what is left of the tail on its side: the median stays where it is. */
static double cut(const struct inw_input *in, double z)
{
	const double nowhere = 6; /* standard deviations: a tail that no sample of ours reaches */

	if (z < 0 && in->z_least > -nowhere) {
		double beyond = inw_normal_below(in->z_least), left = 0.5 - beyond;
		return left > 0 ? fmin(fmax(inw_normal_quantile(beyond + inw_normal_below(z) * left / 0.5), in->z_least), 0) : 0;
	}
	if (z > 0 && in->z_most < nowhere) {
		double beyond = inw_normal_below(-in->z_most), left = 0.5 - beyond;
		return left > 0 ? fmax(fmin(-inw_normal_quantile(beyond + inw_normal_below(-z) * left / 0.5), in->z_most), 0) : 0;
	}
	return z;
}

void inw_inputs_at(const struct inw_inputs *in, const struct inw_design *d, const double *u, double *z, double *x)
{
	double shared = sqrt(in->correlation), own = sqrt(1 - in->correlation);

	for (size_t i = 0; i < in->count; i++) {
		const struct inw_input *p = &in->input[i];
		double free = inw_normal_quantile(u[p->own]);
		if (p->shared >= 0) /* Gaussian copula with one common factor */
			free = own * free + shared * inw_normal_quantile(u[p->shared]);
		z[i] = cut(p, free);
		x[p->q] = inw_input_value(p, z[i]);
	}
	inw_design_follow(d, x, NULL, 0);
}

/* ---- what belongs together ---- */

struct group { char name[128]; double weight; size_t members; int driver; };

/* Emissions of one material were measured on the same machines; gaps nobody has looked at share the care of one builder. */
static bool group_of(const struct inw_design *d, inw_q q, char *name, size_t size)
{
	const struct inw_quantity *quantity = &d->quantity[q];

	for (size_t m = 0; m < d->catalog.materials; m++) {
		const struct inw_material *mat = &d->catalog.material[m];
		bool mine = mat->particles == q;
		for (size_t g = 0; g < mat->gas_count; g++)
			mine |= mat->gases[g].rate == q;
		if (mine) {
			size_t n = strlen(mat->name);
			const char *head = "what all emissions of ", *tail = " share";
			if (strlen(head) + n + strlen(tail) + 1 > size)
				return false;
			memcpy(name, head, strlen(head) + 1);
			memcpy(name + strlen(name), mat->name, n + 1);
			memcpy(name + strlen(name), tail, strlen(tail) + 1);
			return true;
		}
	}
	if (quantity->origin != INW_FROM_DEFAULT)
		return false;
	for (size_t g = 0; g < d->box.gaps; g++)
		if (d->box.gap[g].width == q) {
			const char *text = "what all assumed gap widths share";
			memcpy(name, text, strlen(text) + 1);
			return true;
		}
	return false;
}

static int find_group(struct group *group, size_t *groups, const char *name)
{
	for (size_t i = 0; i < *groups; i++)
		if (strcmp(group[i].name, name) == 0)
			return (int)i;
	memcpy(group[*groups].name, name, strlen(name) + 1);
	return (int)(*groups)++;
}

/* ---- the order of drivers ---- */

struct wish { double weight; int input, group; };

static int heavier(const void *a, const void *b)
{
	const struct wish *p = a, *q = b;

	if (p->weight != q->weight)
		return p->weight > q->weight ? -1 : 1;
	return p->group != q->group ? p->group - q->group : p->input - q->input;
}

/* The heaviest get the first coordinates, which fill space best. */
static int order(struct inw_inputs *in, const struct inw_design *d, struct group *group, size_t groups, const double *weight, struct inw_arena *arena)
{
	struct wish *wish = inw_arena_alloc(arena, sizeof *wish * (in->count + groups + 1));
	size_t n = 0;

	in->driver = inw_arena_alloc(arena, sizeof *in->driver * (in->count + groups + 1));
	in->only = inw_arena_alloc(arena, sizeof *in->only * (in->count + groups + 1));
	if (!wish || !in->driver || !in->only)
		return -1;
	for (size_t i = 0; i < in->count; i++)
		wish[n++] = (struct wish){weight[in->input[i].q] * (in->input[i].shared >= 0 ? 1 - in->correlation : 1), (int)i, -1};
	for (size_t g = 0; g < groups; g++)
		if (group[g].members > 1)
			wish[n++] = (struct wish){group[g].weight, -1, (int)g};
	qsort(wish, n, sizeof *wish, heavier);
	for (size_t k = 0; k < n; k++) {
		in->only[k] = wish[k].input;
		if (wish[k].group >= 0) {
			group[wish[k].group].driver = (int)k;
			in->driver[k] = inw_arena_dup(arena, group[wish[k].group].name, strlen(group[wish[k].group].name));
		} else {
			in->input[wish[k].input].own = (int)k;
			in->driver[k] = d->quantity[in->input[wish[k].input].q].path;
		}
		if (!in->driver[k])
			return -1;
	}
	for (size_t i = 0; i < in->count; i++) {
		int g = in->input[i].shared;
		in->input[i].shared = g >= 0 ? group[g].driver : -1;
	}
	in->drivers = n;
	return 0;
}

int inw_inputs_list(struct inw_inputs *out, const struct inw_design *d, const unsigned char *sampled, const double *weight, bool independent, struct inw_arena *arena)
{
	struct group *group = inw_arena_alloc(arena, sizeof *group * (d->catalog.materials + 2));
	size_t groups = 0;
	char name[sizeof group->name];

	memset(out, 0, sizeof *out);
	out->input = inw_arena_alloc(arena, sizeof *out->input * (d->quantities + 1));
	if (!group || !out->input)
		return -1;
	out->correlation = independent ? 0 : together;
	for (size_t q = 0; q < d->quantities; q++) {
		if (!sampled[q])
			continue;
		struct inw_input *in = &out->input[out->count++];
		in->q = (inw_q)q;
		in->shared = -1;
		spread(in, &d->quantity[q]);
		if (independent || !group_of(d, (inw_q)q, name, sizeof name))
			continue;
		in->shared = find_group(group, &groups, name);
		group[in->shared].weight += out->correlation * weight[q];
		group[in->shared].members++;
	}
	for (size_t i = 0; i < out->count; i++) /* alone it shares with nobody */
		if (out->input[i].shared >= 0 && group[out->input[i].shared].members < 2)
			out->input[i].shared = -1;
	return order(out, d, group, groups, weight, arena);
}
