/* SPDX-License-Identifier: MIT */
/* The jobs, the heat the machine makes, and what is required. */
#include "design/read.h"

#include <math.h>
#include <string.h>

/* ---- jobs ---- */

static const struct inw_bounds rate_range = { 0, 10.0 / 3600, true, "more than zero and less than 10 kg/h" };
static const struct inw_bounds duration_range = { 0, 31 * 86400.0, true, "more than zero and less than a month" };

static const struct inw_field job_fields[] = {
	INW_ANY("name", INW_NEEDED),
	INW_ANY("material", INW_NEEDED), INW_MAP("chamber", INW_OPTIONAL),
	INW_LIST("days", 7, INW_OPTIONAL),
	INW_Q("rate", struct inw_job, rate, MASS_RATE, INW_NEEDED, .bounds = &rate_range),
	INW_Q("start", struct inw_job, start, CLOCK, .fallback = "jobs.start"),
	INW_Q("duration", struct inw_job, duration, TIME, INW_NEEDED, .bounds = &duration_range),
	INW_Q("plate", struct inw_job, plate, TEMPERATURE, .bounds = &inw_plate_range),
};
static const struct inw_schema job_schema = INW_SCHEMA("a job", job_fields);
static const struct inw_field band_fields[] = {
	INW_Q("from", struct inw_job, chamber_low, TEMPERATURE, INW_NEEDED, .bounds = &inw_chamber_range),
	INW_Q("to", struct inw_job, chamber_high, TEMPERATURE, INW_NEEDED, .bounds = &inw_chamber_range),
};
static const struct inw_schema band_schema = INW_SCHEMA("a chamber band", band_fields);

/* What the job does not say, its material does. */
static void from_material(struct inw_reader *r, const struct inw_node *map, const char *path, struct inw_job *job)
{
	const struct inw_material *m = &r->d->catalog.material[job->material];

	if (!inw_node_get(map, "chamber")) {
		job->chamber_low = m->chamber_low;
		job->chamber_high = m->chamber_high;
	}
	if (inw_node_get(map, "plate"))
		return;
	job->plate = m->plate;
	if (job->plate < 0 && strcmp(m->process, "printing") == 0)
		job->plate = inw_check_bounds(r,
			inw_quantity_default(r, "jobs.plate", INW_DIM_TEMPERATURE, inw_say(r, "%s.plate", path)),
			&inw_plate_range);
}

static void check_job(struct inw_reader *r, const char *path, const struct inw_job *job)
{
	if (inw_best(r, job->chamber_low) >= inw_best(r, job->chamber_high))
		inw_fault_q(r, job->chamber_low, "%s.chamber: 'from' (%s) must be below 'to' (%s)", path,
			    inw_shown(r, job->chamber_low), inw_shown(r, job->chamber_high));
	if (inw_best(r, job->plate) < inw_best(r, job->chamber_low))
		inw_warn_q(r, job->plate, "%s: the plate (%s) is colder than the chamber is meant to be (%s)", path,
			   inw_shown(r, job->plate), inw_shown(r, job->chamber_low));
}

static void read_job(struct inw_reader *r, const struct inw_node *map, const char *name, struct inw_job *job)
{
	const char *path = inw_say(r, "jobs[%s]", name);
	const struct inw_node *band = inw_map_at(map, "chamber");

	job->chamber_low = job->chamber_high = INW_NONE;
	inw_schema_walk(r, map, &job_schema, path, job);
	job->name = name;
	job->place = (struct inw_place){ map->line, map->column };
	job->days = inw_read_days(r, map, path);
	if (band)
		inw_schema_walk(r, band, &band_schema, inw_say(r, "%s.chamber", path), job);
	job->material = map->kind == INW_NODE_MAP
				? inw_record_index(r, INW_MATERIALS, inw_node_get(map, "material"), "material")
				: -1;
	if (job->material >= 0)
		from_material(r, map, path, job);
	check_job(r, path, job);
}

/* Seconds from the beginning of a run of `a` to that of the next one of `b`, at the least; infinite when there is none. */
static double until_next(const struct inw_reader *r, const struct inw_job *a, const struct inw_job *b)
{
	const double day_s = 86400, week_s = 7 * day_s;
	double later = inw_best(r, b->start) - inw_best(r, a->start), least = INFINITY;

	for (int i = 0; i < 7; i++)
		for (int k = 0; k < 7; k++) {
			double apart = fmod((k - i) * day_s + later + 2 * week_s, week_s);

			if (a->days >> i & 1 && b->days >> k & 1)
				least = fmin(least, a == b && apart == 0 ? week_s : apart);
		}
	return least;
}

static bool outlasts(const struct inw_reader *r, const struct inw_job *job, double apart)
{
	return inw_high(r, job->duration) > apart + 1e-6; /* s: rounding of units */
}

/* There is one machine: it ends a run before it begins the next. Where they just meet it goes on. */
static void check_repeat(struct inw_reader *r, const struct inw_job *job)
{
	double apart = until_next(r, job, job);

	if (outlasts(r, job, apart))
		inw_fault_q(r, job->duration, "jobs[%s].duration: a run of %s is not over when the next one begins, %s after it; found %s, expected "
			    "at most %s, or fewer days in 'days'. A machine that never stops runs 24 h every day",
			    job->name, inw_shown_as(r, inw_high(r, job->duration), INW_DIM_TIME), inw_shown_as(r, apart, INW_DIM_TIME),
			    inw_shown(r, job->duration), inw_shown_as(r, apart, INW_DIM_TIME));
	else if (job->duration >= 0)
		r->d->quantity[job->duration].most = fmin(r->d->quantity[job->duration].most, apart);
}

/* One machine runs one job at a time: what two do at once in one box nobody would judge. */
static void check_overlaps(struct inw_reader *r)
{
	const struct inw_design *d = r->d;

	for (size_t i = 0; i < d->jobs; i++)
		for (size_t j = 0; j < d->jobs; j++) {
			const struct inw_job *a = &d->job[i], *b = &d->job[j];
			double apart = until_next(r, a, b);

			if (i == j || !outlasts(r, a, apart) || (apart == 0 && i > j))
				continue;
			inw_fault_q(r, a->duration, "jobs[%s] runs for %s from %s, but jobs[%s] begins at %s: one machine runs one job at a time, and each job "
				    "is judged as if alone. Give them other hours or 'days'; machines that run together are one job, with their rates added up",
				    a->name, inw_shown_as(r, inw_high(r, a->duration), INW_DIM_TIME), inw_shown(r, a->start), b->name, inw_shown(r, b->start));
		}
}

void inw_read_jobs(struct inw_reader *r, const struct inw_node *root)
{
	const struct inw_node *list = inw_list_at(root, "jobs");
	size_t count = !list ? 0 : list->count < INW_MOST_JOBS ? list->count : INW_MOST_JOBS;
	const char **names = inw_take(r, count, sizeof(*names));

	r->d->job = inw_take(r, count, sizeof(*r->d->job));
	if (list && !count)
		inw_fault(r, list, "'jobs' must name at least one job");
	for (size_t i = 0; names && r->d->job && i < count; i++) {
		inw_name_item(r, list->item[i], i, names, "job");
		read_job(r, list->item[i], names[i], &r->d->job[i]);
		check_repeat(r, &r->d->job[i]);
		r->d->jobs = i + 1;
	}
	check_overlaps(r);
}

/* ---- heat ---- */

static const struct inw_field heat_fields[] = {
	INW_MAP("plate", INW_OPTIONAL),
	INW_MAP("heater", INW_OPTIONAL),
	INW_Q("hot_end", struct inw_heat, hot_end, POWER, .fallback = "heat.hot_end", .bounds = &inw_not_negative),
	INW_Q("electronics", struct inw_heat, electronics, POWER, .fallback = "heat.electronics",
	      .bounds = &inw_not_negative),
	INW_Q("contents", struct inw_heat, contents, HEAT_CAPACITY, .fallback = "heat.contents",
	      .bounds = &inw_positive),
	INW_Q("contents_exchange", struct inw_heat, contents_exchange, CONDUCTANCE,
	      .fallback = "heat.contents_exchange", .bounds = &inw_not_negative),
};
static const struct inw_schema heat_schema = INW_SCHEMA("heat", heat_fields);
static const struct inw_field plate_fields[] = {
	INW_Q("width", struct inw_heat, plate_width, LENGTH, .fallback = "heat.plate.width", .bounds = &inw_positive),
	INW_Q("depth", struct inw_heat, plate_depth, LENGTH, .fallback = "heat.plate.depth", .bounds = &inw_positive),
	INW_Q("emissivity", struct inw_heat, plate_emissivity, NONE, .fallback = "heat.plate.emissivity",
	      .bounds = &inw_emissivity_range),
	INW_Q("underside", struct inw_heat, plate_share_below, FRACTION, .fallback = "heat.plate.underside",
	      .bounds = &inw_share),
	INW_Q("power", struct inw_heat, plate_power, POWER, .fallback = "heat.plate.power",
	      .bounds = &inw_not_negative),
	INW_Q("capacity", struct inw_heat, plate_capacity, HEAT_CAPACITY, .fallback = "heat.plate.capacity",
	      .bounds = &inw_positive),
};
static const struct inw_schema plate_schema = INW_SCHEMA("heat.plate", plate_fields);
static const struct inw_field heater_fields[] = {
	INW_Q("power", struct inw_heat, heater_power, POWER, .fallback = "heat.heater.power",
	      .bounds = &inw_not_negative),
	INW_Q("target", struct inw_heat, heater_target, TEMPERATURE, .bounds = &inw_chamber_range),
};
static const struct inw_schema heater_schema = INW_SCHEMA("heat.heater", heater_fields);

static bool some_job_has_plate(const struct inw_design *d)
{
	for (size_t i = 0; i < d->jobs; i++)
		if (d->job[i].plate >= 0)
			return true;
	return false;
}

static void check_plate(struct inw_reader *r, const struct inw_heat *h)
{
	const struct inw_box *box = &r->d->box;

	if (inw_best(r, h->plate_width) > inw_best(r, box->width))
		inw_fault_q(r, h->plate_width, "heat.plate.width (%s) is more than the box is wide (%s)",
			    inw_shown(r, h->plate_width), inw_shown(r, box->width));
	if (inw_best(r, h->plate_depth) > inw_best(r, box->depth))
		inw_fault_q(r, h->plate_depth, "heat.plate.depth (%s) is more than the box is deep (%s)",
			    inw_shown(r, h->plate_depth), inw_shown(r, box->depth));
}

static void read_plate(struct inw_reader *r, const struct inw_node *heat)
{
	const struct inw_node *map = inw_map_at(heat, "plate");
	static const char none[] = "no plate is given, and no job has a plate temperature";
	struct inw_heat *h = &r->d->heat;

	if (map || some_job_has_plate(r->d)) {
		inw_schema_walk(r, map, &plate_schema, "heat.plate", h);
		check_plate(r, h);
		return;
	}
	h->plate_width = inw_quantity_fixed(r, "heat.plate.width", INW_DIM_LENGTH, 0, none);
	h->plate_depth = inw_quantity_fixed(r, "heat.plate.depth", INW_DIM_LENGTH, 0, none);
	h->plate_emissivity = inw_quantity_fixed(r, "heat.plate.emissivity", INW_DIM_NONE, 0, none);
	h->plate_share_below = inw_quantity_fixed(r, "heat.plate.underside", INW_DIM_FRACTION, 0, none);
	h->plate_power = inw_quantity_fixed(r, "heat.plate.power", INW_DIM_POWER, 0, none);
	h->plate_capacity = inw_quantity_fixed(r, "heat.plate.capacity", INW_DIM_HEAT_CAPACITY, 0, none);
}

void inw_read_heat(struct inw_reader *r, const struct inw_node *root)
{
	const struct inw_node *map = inw_map_at(root, "heat");
	struct inw_heat *h = &r->d->heat;

	inw_schema_walk(r, map, &heat_schema, "heat", h);
	inw_schema_walk(r, inw_map_at(map, "heater"), &heater_schema, "heat.heater", h);
	read_plate(r, map);
	if (h->heater_target < 0 && inw_best(r, h->heater_power) > 0 &&
	    !inw_text_at(inw_map_at(map, "heater"), "target"))
		inw_fault_q(r, h->heater_power, "heat.heater has power but no 'target'");
}

/* ---- requirements ---- */

#define REQUIRE(key, DIM, ...) INW_Q(#key, struct inw_require, key, DIM, .fallback = "require." #key, __VA_ARGS__)

static const struct inw_bounds noise_range = { 0, 130, false, "between 0 dB and 130 dB" };

static const struct inw_field require_fields[] = {
	REQUIRE(inward_pressure, PRESSURE, .bounds = &inw_not_negative),
	REQUIRE(inward_velocity, VELOCITY, .bounds = &inw_not_negative),
	REQUIRE(face_velocity, VELOCITY, .bounds = &inw_not_negative),
	REQUIRE(particle_removal, FRACTION, .bounds = &inw_share_not_full),
	REQUIRE(gas_removal, FRACTION, .bounds = &inw_share_not_full),
	REQUIRE(residence_time, TIME, .bounds = &inw_not_negative),
	REQUIRE(carbon_life, TIME, .bounds = &inw_not_negative),
	REQUIRE(seal_bypass, FRACTION, .bounds = &inw_share),
	REQUIRE(stall_margin, FRACTION, .bounds = &inw_not_negative),
	REQUIRE(lfl_fraction, FRACTION, .bounds = &inw_share_above_zero),
	REQUIRE(noise, SOUND, .may_lack = true, .bounds = &noise_range),
	REQUIRE(noise_distance, LENGTH, .bounds = &inw_positive),
	REQUIRE(purge_time, TIME, .may_lack = true, .bounds = &inw_positive),
	REQUIRE(mixing, NONE, .bounds = &inw_positive),
	REQUIRE(purge_fraction, FRACTION, .bounds = &inw_share_open),
	REQUIRE(power, POWER, .may_lack = true, .bounds = &inw_positive),
	REQUIRE(heating, POWER, .may_lack = true, .bounds = &inw_not_negative),
	REQUIRE(particles_work, NUMBER_CONCENTRATION, .bounds = &inw_positive),
	REQUIRE(particles_home, NUMBER_CONCENTRATION, .bounds = &inw_positive),
	REQUIRE(humidity, FRACTION, .bounds = &inw_share_above_zero),
	REQUIRE(bed_T, TEMPERATURE, .bounds = &inw_chamber_range),
};
static const struct inw_schema require_schema = INW_SCHEMA("require", require_fields);

void inw_read_require(struct inw_reader *r, const struct inw_node *root)
{
	inw_schema_walk(r, inw_map_at(root, "require"), &require_schema, "require", &r->d->require);
}

/* ---- upkeep ---- */

static const struct inw_bounds horizon_range = { 7 * 86400.0, 20 * 365 * 86400.0, false, "between a week and 20 years" };

static const struct inw_field upkeep_fields[] = {
	INW_Q("horizon", struct inw_upkeep, horizon, TIME, .fallback = "upkeep.horizon", .bounds = &horizon_range),
	INW_Q("carbon", struct inw_upkeep, carbon, PRICE_PER_MASS, .bounds = &inw_not_negative),
	INW_Q("medium", struct inw_upkeep, medium, NONE, .bounds = &inw_not_negative),
	INW_Q("electricity", struct inw_upkeep, electricity, PRICE_PER_ENERGY, .bounds = &inw_not_negative),
	INW_Q("heating", struct inw_upkeep, heating, PRICE_PER_ENERGY, .bounds = &inw_not_negative),
};
static const struct inw_schema upkeep_schema = INW_SCHEMA("upkeep", upkeep_fields);

void inw_read_upkeep(struct inw_reader *r, const struct inw_node *root)
{
	inw_schema_walk(r, inw_map_at(root, "upkeep"), &upkeep_schema, "upkeep", &r->d->upkeep);
}
