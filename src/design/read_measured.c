/* SPDX-License-Identifier: MIT */
/* What a carbon has been measured to hold: points of one substance at one temperature, by partial pressure or by what is in
 * the air. */
#include "design/read.h"

#include <math.h>

#include "design/units.h"

static const double R_JmolK = 8.31446261815324; /* CODATA 2018, exact: as physics/clean.h has it, which this folder does not see */
static const double atmosphere_Pa = 101325; /* shares by volume are meant in air at this pressure */

static const struct inw_field measured_fields[] = {
	INW_ANY("substance", INW_NEEDED),
	INW_Q("temperature", struct inw_measured, temperature, TEMPERATURE, INW_NEEDED, .bounds = &inw_chamber_range),
	INW_LIST("points", INW_MEASURED_MOST, INW_NEEDED),
};
static const struct inw_schema measured_schema = INW_SCHEMA("a measured isotherm", measured_fields);

/* Pascal of the substance from a pressure, a mass in a volume of air at that temperature, or a share by volume. */
static double partial_pressure(struct inw_reader *r, const struct inw_node *n, const char *path, const struct inw_measured *m)
{
	double value, low, high;
	char why[256];

	if (n->kind == INW_NODE_SCALAR) {
		if (!inw_units_parse(n->text, INW_DIM_PRESSURE, &value, &low, &high, why, sizeof(why)))
			return value;
		if (!inw_units_parse(n->text, INW_DIM_CONCENTRATION, &value, &low, &high, why, sizeof(why)))
			return value * R_JmolK * inw_best(r, m->temperature) /
			       inw_best(r, r->d->catalog.substance[m->substance].molar_mass);
		if (!inw_units_parse(n->text, INW_DIM_VOLUME_RATIO, &value, &low, &high, why, sizeof(why)))
			return value * atmosphere_Pa;
	}
	inw_fault(r, n, "%s: how much of it is in the air must be a partial pressure (10 Pa), a concentration (50 mg/m3) or a "
			"share by volume (20 ppm)", path);
	return NAN;
}

static bool read_point(struct inw_reader *r, const struct inw_node *pair, const char *path, struct inw_measured *m)
{
	size_t i = m->points;

	if (pair->kind != INW_NODE_LIST || pair->count != 2) {
		inw_fault(r, pair, "%s must be a list of what is in the air and of what the carbon then holds, such as [10 Pa, 120 mg/g]",
			  path);
		return false;
	}
	m->p_Pa[i] = partial_pressure(r, pair->item[0], path, m);
	m->loading[i] = inw_plain_number(r, pair->item[1], INW_DIM_MASS_RATIO, path);
	if (isnan(m->p_Pa[i]) || isnan(m->loading[i]))
		return false;
	if (!(m->p_Pa[i] > 0 && m->loading[i] > 0)) {
		inw_fault(r, pair, "%s: both numbers must be more than zero", path);
		return false;
	}
	if (i > 0 && !(m->p_Pa[i] > m->p_Pa[i - 1] && m->loading[i] > m->loading[i - 1])) {
		inw_fault(r, pair, "%s: both numbers must increase from point to point", path);
		return false;
	}
	m->points = i + 1;
	return true;
}

/* The line to zero below the first point must not credit more than is known. */
static void check_low_end(struct inw_reader *r, const struct inw_node *list, const char *path, const struct inw_measured *m)
{
	if (m->loading[1] / m->loading[0] > m->p_Pa[1] / m->p_Pa[0])
		inw_fault(r, list->item[0], "%s: the second point holds more for its air than the first; below the first a straight line to "
			  "zero is taken, which would credit the carbon with too much: leave the first point out", path);
}

static void read_points(struct inw_reader *r, const struct inw_node *list, const char *path, struct inw_measured *m)
{
	bool fine = true;

	if (list->count < 2)
		inw_fault(r, list, "%s needs from 2 to %d points", path, INW_MEASURED_MOST);
	if (list->count < 2 || list->count > INW_MEASURED_MOST) /* which has been told */
		return;
	for (size_t i = 0; i < list->count && fine; i++)
		fine = read_point(r, list->item[i], inw_say(r, "%s[%zu]", path, i + 1), m);
	if (fine)
		check_low_end(r, list, path, m);
}

void inw_read_measured(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_measured **out, size_t *count)
{
	const struct inw_node *list = inw_list_at(map, "measured");
	size_t many = list && list->count <= INW_MOST_MEASURED ? list->count : 0;

	if (!many)
		return;
	*count = 0;
	*out = inw_take(r, many, sizeof(**out));
	for (size_t i = 0; *out && i < many; i++) {
		const struct inw_node *item = list->item[i], *points = inw_list_at(item, "points");
		const char *here = inw_say(r, "%s.measured[%zu]", path, i + 1);
		struct inw_measured *m = &(*out)[*count];

		*m = (struct inw_measured){ .temperature = INW_NONE };
		m->substance = inw_record_index(r, INW_SUBSTANCES, item->kind == INW_NODE_MAP ? inw_node_get(item, "substance") : NULL, "substance");
		if (m->substance >= 0)
			here = inw_say(r, "%s.measured[%s]", path, r->d->catalog.substance[m->substance].name);
		inw_schema_walk(r, item, &measured_schema, here, m);
		for (size_t k = 0; m->substance >= 0 && k < *count; k++)
			if ((*out)[k].substance == m->substance)
				inw_fault(r, item, "%s is there twice: write the points of the temperature nearest to the carbon's", here);
		if (m->substance >= 0 && m->temperature >= 0 && points)
			read_points(r, points, inw_say(r, "%s.points", here), m);
		*count += m->points >= 2;
	}
}

void inw_check_measured(struct inw_reader *r, const char *path, const struct inw_bed *bed)
{
	const double slip = 1.5; /* ours: nothing is packed half as dense again as liquid */

	for (size_t i = 0; i < bed->measureds; i++) {
		const struct inw_measured *m = &bed->measured[i];
		const struct inw_substance *s = &r->d->catalog.substance[m->substance];
		if (s->weakly_held || s->liquid_density < 0 || s->molar_refraction < 0 || !s->vp_count)
			inw_warn_q(r, m->temperature, "%s: the points of '%s' are not used: %s", path, s->name, s->weakly_held
				   ? "by its record plain carbon hardly holds it" : "its record lacks liquid_density, molar_refraction or vapour_pressure");
		double most = m->loading[m->points - 1], room = inw_best(r, bed->micropore_volume) * inw_best(r, s->liquid_density);

		if (most > slip * room)
			inw_fault_q(r, m->temperature, "%s: the last point (%s) is far more than the carbon's micropores hold of '%s' (%s): see its unit, or "
				    "give the 'micropore_volume' of the carbon that was measured", path,
				    inw_shown_as(r, most, INW_DIM_MASS_RATIO), s->name, inw_shown_as(r, room, INW_DIM_MASS_RATIO));
		else if (most >= room)
			inw_warn_q(r, m->temperature, "%s: the last point (%s) is more than the carbon's micropores hold of '%s' as liquid (%s): it "
				   "counts as packed denser", path, inw_shown_as(r, most, INW_DIM_MASS_RATIO), s->name,
				   inw_shown_as(r, room, INW_DIM_MASS_RATIO));
	}
}
