/* SPDX-License-Identifier: MIT */
/* begin_write.c: a plan as the text of a design file. Behind each line a remark says why it is there. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "design/begin.h"

enum { REMARK_AT = 68, WIDE = 130, OWN_DIGITS = 2, SAID_DIGITS = 6, AMOUNT = 160 };

/* Units that a design of either kind is written in. */
static const char *const mm[] = {"mm", "in"}, *const m[] = {"m", "ft"}, *const m2[] = {"m2", "ft2"}, *const g_h[] = {"g/h", "oz/h"},
	*const hours[] = {"h", "h"}, *const kg[] = {"kg", "lb"}, *const m3_h[] = {"m3/h", "ft3/min"}, *const pa[] = {"Pa", "inH2O"},
	*const degC[] = {"degC", "degF"}, *const percent[] = {"%", "%"}, *const watt[] = {"W", "W"};

struct writer { const struct inw_start *s; struct inw_text *out; };

static const char said[] = "you said";

/* ---- pieces ------------------------------------------------------------------------------------------------------ */

/* "500" of so many digits in a unit whose zero may lie elsewhere (degC). */
static void put_number(char *out, size_t size, double value, const char *unit, enum inw_dim dim, int digits)
{
	char text[INW_NUMBER_SIZE], sample[32];
	double one = 1, two = 2;

	snprintf(sample, sizeof sample, "1 %s", unit);
	(void)inw_parse_quantity(sample, dim, &one);
	*sample = '2';
	(void)inw_parse_quantity(sample, dim, &two);
	double zero = dim == INW_DIM_TEMPERATURE ? 2 * one - two : 0, number = (value - zero) / (two - one);
	snprintf(out, size, "%s", inw_number_write(text, fabs(number) < 1e-9 ? 0 : number, digits));
}

/* "500 mm", or "500 mm (450 mm .. 600 mm)": what was said in full, what is chosen to two digits. Returns `out`. */
static char *put_amount(const struct writer *w, char out[AMOUNT], const struct inw_amount *a, const char *const unit[2], enum inw_dim dim)
{
	char number[3][INW_NUMBER_SIZE];
	const double value[] = {a->value, a->low, a->high};
	const char *u = unit[w->s->units];
	int digits = a->said ? SAID_DIGITS : dim == INW_DIM_TEMPERATURE ? OWN_DIGITS + 1 : OWN_DIGITS;

	for (int i = 0; i < 3; i++)
		put_number(number[i], sizeof number[i], value[i], u, dim, digits);
	if (strcmp(number[1], number[2]) == 0)
		snprintf(out, AMOUNT, "%s %s", number[0], u);
	else
		snprintf(out, AMOUNT, "%s %s (%s .. %s %s)", number[0], u, number[1], number[2], u);
	return out;
}

static char *put_ours(const struct writer *w, char out[AMOUNT], double value, double low, double high, const char *const unit[2], enum inw_dim dim)
{
	const struct inw_amount a = {value, low, high, false};

	return put_amount(w, out, &a, unit, dim);
}

static char *put_length(const struct writer *w, char out[AMOUNT], double value_m)
{
	return put_ours(w, out, value_m, value_m, value_m, w->s->units == INW_SI && value_m >= 1 ? m : mm, INW_DIM_LENGTH);
}

/* A line and the remark behind it, which begins in one column where the line leaves room; above it where both are too long. */
static void put_line(struct writer *w, const char *remark, const char *format, ...) __attribute__((format(printf, 3, 4)));
static void put_line(struct writer *w, const char *remark, const char *format, ...)
{
	char line[1024];
	va_list args;

	va_start(args, format);
	int n = vsnprintf(line, sizeof line, format, args);
	va_end(args);
	bool above = remark && n + 4 + (int)strlen(remark) > WIDE;
	if (above)
		inw_text_printf(w->out, "%*s# %s\n", (int)strspn(line, " "), "", remark);
	inw_text_printf(w->out, "%s", line);
	if (remark && !above)
		inw_text_printf(w->out, "%*s# %s", n + 2 < REMARK_AT ? REMARK_AT - n : 2, "", remark);
	inw_text_add(w->out, "\n");
}

static const char *or_guess(bool is_said, const char *guess)
{
	return is_said ? said : guess;
}

static void put_quoted(struct inw_text *out, const char *text)
{
	inw_text_add(out, "\"");
	for (const char *c = text; *c; c++) {
		if (*c == '"' || *c == '\\')
			inw_text_add(out, "\\");
		inw_text_addn(out, c, 1);
	}
	inw_text_add(out, "\"");
}

/* ---- head, rooms, people ----------------------------------------------------------------------------------------- */

static void put_title(struct writer *w)
{
	struct inw_text made = {0};

	inw_text_printf(&made, "A box for %s", w->s->process);
	for (size_t i = 0; i < w->s->materials; i++)
		if (strcmp(w->s->material[i], w->s->process))
			inw_text_printf(&made, "%s%s", i ? ", " : ": ", w->s->material[i]);
	inw_text_add(w->out, "title: ");
	put_quoted(w->out, w->s->title ? w->s->title : made.s ? made.s : "");
	inw_text_add(w->out, "\n");
	w->out->failed |= made.failed;
	inw_text_free(&made);
}

static void put_head(struct writer *w)
{
	char a[AMOUNT];

	inw_text_add(w->out, "# A design to start from, made of answers. Nothing of it is built or proven yet. Behind each line stands why it is there:\n"
	                     "#   you said   taken from an answer\n"
	                     "#   guess      nobody said: measure it and write what you find; brackets hold how far it may be off\n"
	                     "#   chosen     a size to begin with; the check says what to change\n"
	                     "# What is not written here is taken from the catalog with its range, and the report lists it as assumed.\n"
	                     "inward: 1\n");
	put_title(w);
	if (w->s->altitude.said)
		put_line(w, said, "site: {altitude: %s}", put_amount(w, a, &w->s->altitude, m, INW_DIM_LENGTH));
}

static void put_appliances(struct writer *w)
{
	const struct inw_start *s = w->s;
	struct inw_text list = {0};

	for (size_t i = 0; i < s->appliances; i++)
		inw_text_printf(&list, "%s%s", i ? ", " : "", s->appliance[i]);
	if (s->appliances)
		put_line(w, or_guess(s->appliance_said, "guess, to be careful: look what burns there; if nothing does, take this line out"),
		         "    appliances: [%s]", list.s ? list.s : "");
	w->out->failed |= list.failed;
	inw_text_free(&list);
}

static void put_rooms(struct writer *w)
{
	const struct inw_start *s = w->s;
	char a[AMOUNT];

	inw_text_add(w->out, "rooms:\n  - name: room\n");
	put_line(w, or_guess(s->floor.said, "guess: measure it"), "    floor: %s", put_amount(w, a, &s->floor, m2, INW_DIM_AREA));
	if (s->ceiling.said)
		put_line(w, said, "    height: %s", put_amount(w, a, &s->ceiling, m, INW_DIM_LENGTH));
	put_appliances(w);
	if (!(s->people & INW_SLEEPS_NEXT_DOOR))
		return;
	inw_text_add(w->out, "  - name: next room\n");
	put_line(w, "guess: measure it", "    floor: %s", put_ours(w, a, 12, 8, 20, m2, INW_DIM_AREA));
	char width[AMOUNT], gap[AMOUNT];
	inw_text_add(w->out, "doorways:\n");
	put_line(w, "guess: the gap under a door that is shut",
	         "  - {name: door, between: [room, next room], width: %s, height: %s}", put_length(w, width, 0.8),
	         put_ours(w, gap, 0.008, 0.003, 0.015, mm, INW_DIM_LENGTH));
}

static void put_people(struct writer *w)
{
	const unsigned who = w->s->people;

	inw_text_add(w->out, "people:\n");
	if (who & INW_WORKS)
		put_line(w, "you said; the hours are a guess", "  - {name: worker, as: worker, stays: [{room: room, from: \"09:00\", to: \"17:00\"%s}]}",
		         w->s->hands ? ", at_box: yes" : "");
	if (who & (INW_SLEEPS_THERE | INW_SLEEPS_NEXT_DOOR)) {
		inw_text_add(w->out, "  - name: sleeper\n    as: resident\n    stays:\n");
		if (who & INW_SLEEPS_THERE)
			put_line(w, "you said; the hours are a guess", "      - {room: room, from: \"22:00\", to: \"07:00\"}");
	}
	if (who & INW_SLEEPS_NEXT_DOOR) {
		if (who & INW_SLEEPS_THERE)
			inw_text_add(w->out, "  - name: sleeper next door\n    as: resident\n    stays:\n");
		put_line(w, "you said; the hours are a guess", "      - {room: next room, from: \"22:00\", to: \"07:00\"}");
	}
	if (who & INW_CHILD)
		put_line(w, "you said; the hours are a guess", "  - {name: child, as: resident, stays: [{room: room, from: \"14:00\", to: \"20:00\"}]}");
	if (who & INW_ANYBODY)
		put_line(w, "guess, to be careful: somebody at any hour",
		         "  - {name: somebody, as: resident, stays: [{room: room, from: \"00:00\", to: \"23:59\"}]}");
}

/* ---- the box ----------------------------------------------------------------------------------------------------- */

static const struct width { double value, low, high; const char *why; } widths[] = {
	[INW_SEAMS_UNKNOWN] = {5e-4, 1e-4, 2e-3, "guess: a half-open seam; measure it"}, /* box.seam.width of catalog/defaults.yaml */
	[INW_SEAMS_AIM] = {1.5e-4, 8e-5, 2e-4, "chosen: an aim, not measured; tape or gaskets all round"}, /* this and the next: common practice, no source */
	[INW_SEAMS_SEALED] = {1.5e-4, 5e-5, 3e-4, "taped or with a gasket; how wide is a guess: measure it"},
	[INW_SEAMS_CLOSE] = {4e-4, 2e-4, 8e-4, "panels that meet, no seal; how wide is a guess: measure it"},
	[INW_SEAMS_OPEN] = {1e-3, 5e-4, 2e-3, "light shows through; how wide is a guess: measure it"},
};

static void put_seam(struct writer *w, const char *name, const char *where, double length_m)
{
	const struct width *g = &widths[w->s->seams];
	char width[AMOUNT], length[AMOUNT], remark[128];

	snprintf(remark, sizeof remark, "%s%s", w->s->seams_said ? "you said: " : "", g->why);
	put_line(w, remark, "    - {name: %s, kind: crack, %s, length: %s, width: %s}", name, where, put_length(w, length, length_m),
	         put_ours(w, width, g->value, g->low, g->high, mm, INW_DIM_LENGTH));
}

/* A size of the box, in full: seams and holes are fitted to it. */
static char *put_size(const struct writer *w, char out[AMOUNT], const struct inw_amount *a)
{
	const struct inw_amount full = {a->value, a->low, a->high, true};

	return put_amount(w, out, &full, mm, INW_DIM_LENGTH);
}

static double door_width(const struct inw_start *s)
{
	return 0.8 * s->width.value;
}

/* Gaps are left to the catalog only where a box stands that nobody has looked at: then every edge is a half-open seam. */
static bool lists_gaps(const struct inw_start *s)
{
	return s->seams != INW_SEAMS_UNKNOWN || s->hands;
}

/* As small as hands allow, since each bit of it must be fed with air. */
static void put_opening(struct writer *w)
{
	const struct inw_start *s = w->s;
	char height[AMOUNT], width[AMOUNT], rise[AMOUNT];

	put_line(w, or_guess(s->hands_said, "guess: hands work in it; as small as they allow"), "    - {name: hand opening, kind: opening, face: front, height: %s, width: %s, rise: %s}",
	         put_length(w, height, 0.02 * s->height.value), put_length(w, width, fmin(0.8 * s->width.value, 0.3)),
	         put_length(w, rise, fmin(0.4 * s->height.value, 0.1)));
}

static void put_door_seam(struct writer *w)
{
	const struct inw_start *s = w->s;
	double rise = 0.8 * s->height.value;
	char height[AMOUNT], up[AMOUNT], where[2 * AMOUNT];

	snprintf(where, sizeof where, "face: front, height: %s, rise: %s", put_length(w, height, 0.1 * s->height.value), put_length(w, up, rise));
	put_seam(w, "door seam", where, 2 * (door_width(s) + rise));
}

static void put_gaps(struct writer *w)
{
	const struct inw_start *s = w->s;
	double round = 2 * (s->width.value + s->depth.value);
	char up[AMOUNT], where[2 * AMOUNT], height[AMOUNT], hole[AMOUNT];

	inw_text_add(w->out, "  gaps:\n");
	put_seam(w, "lid seam", "face: top", round);
	put_seam(w, "floor seam", "face: bottom", round);
	snprintf(where, sizeof where, "face: back, height: %s, rise: %s", put_length(w, height, 0), put_size(w, up, &s->height));
	put_seam(w, "corner seams", where, 4 * s->height.value);
	if (s->hands)
		put_opening(w);
	else
		put_door_seam(w);
	put_length(w, height, 0.1 * s->height.value);
	if (s->built)
		put_line(w, "guess: where cables and wire go in", "    - {name: cable hole, kind: hole, face: back, height: %s, diameter: %s}", height,
		         put_ours(w, hole, 0.012, 0.008, 0.02, mm, INW_DIM_LENGTH));
	else
		put_line(w, "chosen: an aim; cables and wire, stuffed to this", "    - {name: cable hole, kind: hole, face: back, height: %s, diameter: %s}", height,
		         put_ours(w, hole, 0.01, 0.008, 0.012, mm, INW_DIM_LENGTH));
}

static void put_panels(struct writer *w)
{
	const struct inw_start *s = w->s;
	char a[AMOUNT];
	bool thick = s->panel_thickness.said;

	put_line(w, or_guess(s->panel_said, s->built ? "guess: look what it is made of" : "chosen: with it most of what is required is met"), "    all: {material: %s%s%s}", s->panel, thick ? ", thickness: " : "",
	         thick ? put_amount(w, a, &s->panel_thickness, mm, INW_DIM_LENGTH) : "");
}

static void put_box(struct writer *w)
{
	const struct inw_start *s = w->s;
	const double usual_stand_m = 0.8, usual_ceiling_m = 2.4; /* box.stand and rooms.height of catalog/defaults.yaml */
	char width[AMOUNT], depth[AMOUNT], height[AMOUNT], sill[AMOUNT];
	bool all = s->width.said && s->depth.said && s->height.said, some = s->width.said || s->depth.said || s->height.said;
	const char *why = all                  ? said
	                  : some               ? "you said, but not all of it: measure the rest"
	                  : s->size_of_machine ? "chosen: the machine and some room round it"
	                  : s->built           ? "guess: measure the inside"
	                                       : "chosen: measure your machine";

	put_line(w, NULL, "box:");
	if (!s->built)
		put_line(w, "strike this when it is built and its gaps are measured: till then they are aims", "  planned: yes");
	put_line(w, why,
	         "  inside: {width: %s, depth: %s, height: %s}", put_size(w, width, &s->width), put_size(w, depth, &s->depth), put_size(w, height, &s->height));
	if (usual_stand_m + s->height.value > 0.99 * (s->ceiling.said ? s->ceiling.value : usual_ceiling_m))
		put_line(w, "guess: too high for a table", "  stand: %s", put_length(w, sill, 0));
	inw_text_add(w->out, "  panels:\n");
	put_panels(w);
	if (lists_gaps(s))
		put_gaps(w);
	else
		put_line(w, NULL, "  # gaps: not known, so every edge counts as a half-open seam. Measure them, or the flow through all of them.");
	if (!s->hands)
		put_line(w, s->built ? "guess: where it is opened" : "chosen", "  door: {face: front, width: %s, height: %s, sill: %s}", put_length(w, width, door_width(s)),
		         put_length(w, height, 0.8 * s->height.value), put_length(w, sill, 0.1 * s->height.value));
}

/* ---- the cleaner ------------------------------------------------------------------------------------------------- */

static void put_filter(struct writer *w)
{
	const struct inw_start *s = w->s;
	char area[AMOUNT], seal[AMOUNT];

	put_amount(w, area, &s->filter_area, m2, INW_DIM_AREA);
	if (s->filter_said)
		put_line(w, s->filter_area.said ? said : "you said; its area is a guess: count and measure the pleats", "    - particle: {class: %s, area: %s}", s->filter, area);
	else
		put_line(w, "chosen: large for its flow; a gasket pressed all round", "    - particle: {class: %s, area: %s, seal: {width: %s}}", s->filter, area,
		         put_ours(w, seal, 2e-5, 5e-6, 3e-5, mm, INW_DIM_LENGTH)); /* common practice, no source */
}

static void put_carbon(struct writer *w)
{
	const struct inw_start *s = w->s;
	bool some = s->bed_diameter.said || s->bed_depth.said || s->bed_mass.said || s->carbon_said;
	char a[AMOUNT], seal[AMOUNT];

	inw_text_printf(w->out, "    - carbon:\n");
	put_line(w, or_guess(s->carbon_said, "chosen: granules fine enough to act fast"), "        record: %s", s->carbon);
	put_line(w, or_guess(s->bed_diameter.said, some ? "chosen to fit" : "chosen: slow air, some 0.2 m/s"), "        diameter: %s",
	         put_amount(w, a, &s->bed_diameter, mm, INW_DIM_LENGTH));
	if (isfinite(s->bed_depth.value))
		put_line(w, or_guess(s->bed_depth.said, "chosen: some 0.3 s in the carbon"), "        depth: %s", put_amount(w, a, &s->bed_depth, mm, INW_DIM_LENGTH));
	if (isfinite(s->bed_mass.value))
		put_line(w, said, "        mass: %s", put_amount(w, a, &s->bed_mass, kg, INW_DIM_MASS));
	if (!some)
		put_line(w, "chosen: no way round the bed", "        seal: {width: %s}", put_ours(w, seal, 2e-5, 0, 5e-5, mm, INW_DIM_LENGTH)); /* common practice */
}

/* The power of one's own blower, by flow and pressure as that of the catalog's radial ones (17 W for 72 m3/h and 350 Pa). */
static double own_power(const struct inw_start *s)
{
	const double per_air = 17 / (72 / 3600.0 * 350), least_W = 2;

	return fmax(least_W, per_air * s->flow.value * s->pressure.value);
}

static void put_blower(struct writer *w)
{
	const struct inw_start *s = w->s;
	char speed[AMOUNT], flow[AMOUNT], pressure[AMOUNT], power[AMOUNT];

	put_ours(w, speed, s->speed, s->speed, s->speed, percent, INW_DIM_FRACTION);
	if (s->blower) {
		put_line(w, s->blower_said ? "you said; the speed is chosen" : "chosen: with it most of what is required is met", "    - blower: {record: %s, speed: %s}", s->blower, speed);
		return;
	}
	double W = own_power(s);
	put_line(w, NULL, "    - blower:");
	put_line(w, or_guess(s->flow.said, "guess: read it off the data sheet"), "        free_delivery: %s", put_amount(w, flow, &s->flow, m3_h, INW_DIM_VOLUME_FLOW));
	put_line(w, or_guess(s->pressure.said, "guess: read it off the data sheet"), "        shut_off: %s", put_amount(w, pressure, &s->pressure, pa, INW_DIM_PRESSURE));
	put_line(w, "guess: a radial wheel; its data sheet has the curve", "        shape: forward curved");
	put_line(w, "guess: read it off the data sheet", "        power: %s", put_ours(w, power, W, W / 2, 2 * W, watt, INW_DIM_POWER));
	put_line(w, "chosen", "        speed: %s", speed);
}

static void put_ways(struct writer *w)
{
	const struct inw_start *s = w->s;
	char wide[AMOUNT], a[AMOUNT], b[AMOUNT];

	put_length(w, wide, s->duct);
	if (s->hands) {
		put_line(w, "chosen: an opening for hands needs all the air", "  return: none");
	} else {
		put_line(w, "chosen: 0 % all goes back into the box, 100 % all leaves it", "  split: {flap: {position: %s, diameter: %s}}",
		         put_ours(w, a, s->flap, s->flap, s->flap, percent, INW_DIM_FRACTION), wide);
		put_line(w, "chosen: low in the box", "  return: {height: %s, duct: {diameter: %s, length: %s, bends: 2}}", put_length(w, a, 0.1 * s->height.value), wide,
		         put_length(w, b, 0.5));
	}
	put_amount(w, a, &s->length, m, INW_DIM_LENGTH);
	if (s->hose)
		put_line(w, s->length.said ? said : s->out_said ? "you said; its length is a guess" : "chosen: outdoors is best for the lungs; measure the way",
		         "  exhaust: {to: outdoors, duct: {diameter: %s, length: %s, hose: yes, bends: 2}}", wide, a);
	else
		put_line(w, "you said: what leaves the box stays in the room, cleaned", "  exhaust: {to: room, height: %s, duct: {diameter: %s, length: %s, bends: 1}}",
		         put_ours(w, a, 1, 1, 1, m, INW_DIM_LENGTH), wide, put_length(w, b, 0.5));
}

static void put_cleaner(struct writer *w)
{
	const struct inw_start *s = w->s;
	char height[AMOUNT], wide[AMOUNT], length[AMOUNT];

	inw_text_add(w->out, "cleaner:\n");
	put_line(w, "chosen: under the lid, where the warm air is", "  inlet: {height: %s, duct: {diameter: %s, length: %s, bends: 1}}",
	         put_length(w, height, 0.9 * s->height.value), put_length(w, wide, s->duct), put_length(w, length, 0.3));
	inw_text_add(w->out, "  stages:\n");
	put_filter(w);
	put_carbon(w);
	put_blower(w);
	put_ways(w);
}

/* ---- heat, jobs, requirements ------------------------------------------------------------------------------------ */

/* What is warm in the box where no printer with a plate stands: common practice, no source. */
static const struct warmth { const char *process; double tool[3], boards[3]; const char *why; } warmths[] = {
	{"soldering", {30, 15, 60}, {0, 0, 10}, "guess: an iron"},
	{"laser cutting", {30, 10, 60}, {25, 10, 60}, "guess: what the beam leaves in the box"},
	{"resin printing", {0, 0, 10}, {40, 20, 80}, "guess: lamp and motors"},
	{"solvent", {0, 0, 10}, {0, 0, 10}, "guess: nothing warm stands in it"},
};

static void put_plate(struct writer *w)
{
	const struct inw_start *s = w->s;
	const double usual_m = 0.235, share = 0.7; /* heat.plate.width of catalog/defaults.yaml */
	char width[AMOUNT], depth[AMOUNT];

	if (share * fmin(s->width.value, s->depth.value) < usual_m)
		put_line(w, "guess: measure it", "  plate: {width: %s, depth: %s}", put_length(w, width, fmin(usual_m, share * s->width.value)),
		         put_length(w, depth, fmin(usual_m, share * s->depth.value)));
}

static bool has_heat(const struct inw_start *s)
{
	return strcmp(s->process, "printing") || s->heater || 0.7 * fmin(s->width.value, s->depth.value) < 0.235;
}

static void put_heat(struct writer *w)
{
	const struct inw_start *s = w->s;
	char a[AMOUNT], b[AMOUNT];

	if (!has_heat(s))
		return;
	inw_text_add(w->out, "heat:\n");
	if (strcmp(s->process, "printing") == 0)
		put_plate(w);
	for (size_t i = 0; i < INW_COUNT(warmths); i++) {
		const struct warmth *h = &warmths[i];
		if (strcmp(h->process, s->process))
			continue;
		put_line(w, h->why, "  hot_end: %s", put_ours(w, a, h->tool[0], h->tool[1], h->tool[2], watt, INW_DIM_POWER));
		put_line(w, h->why, "  electronics: %s", put_ours(w, a, h->boards[0], h->boards[1], h->boards[2], watt, INW_DIM_POWER));
	}
	if (s->heater)
		put_line(w, "you said; the power is a guess, the target leaves the carbon cool enough", "  heater: {power: %s, target: %s}",
		         put_ours(w, a, 200, 100, 400, watt, INW_DIM_POWER), put_amount(w, b, &s->heater_target, degC, INW_DIM_TEMPERATURE));
}

/* Several materials take turns on the days of the week: there is one machine. */
static void put_days(struct writer *w, size_t job)
{
	static const char *const days[] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
	const char *between = "";

	inw_text_add(w->out, "    days: [");
	for (size_t d = job; d < INW_COUNT(days); d += w->s->materials, between = ", ")
		inw_text_printf(w->out, "%s%s", between, days[d]);
	inw_text_add(w->out, "]\n");
}

static void put_jobs(struct writer *w)
{
	const struct inw_start *s = w->s;
	char a[AMOUNT];

	inw_text_add(w->out, "jobs:\n");
	for (size_t i = 0; i < s->materials; i++) {
		put_line(w, NULL, "  - name: %s%s%s", s->process, s->materials > 1 ? " " : "", s->materials > 1 ? s->material[i] : "");
		put_line(w, or_guess(s->material_said, "guess: what gives off most of such materials"), "    material: %s", s->material[i]);
		put_line(w, or_guess(s->rate.said, "guess: weigh what an hour uses up"), "    rate: %s", put_amount(w, a, &s->rate, g_h, INW_DIM_MASS_RATE));
		put_line(w, or_guess(s->hours.said, "guess"), "    duration: %s", put_amount(w, a, &s->hours, hours, INW_DIM_TIME));
		if (s->start.said)
			put_line(w, said, "    start: \"%s\"", inw_format(a, sizeof a, s->start.value, INW_DIM_CLOCK, s->units));
		if (s->materials > 1)
			put_days(w, i);
	}
}

/* 30 dB is for people who sleep (requirements.noise of catalog/defaults.yaml), who may be anybody as long as nobody has said. */
static void put_require(struct writer *w)
{
	if (!(w->s->people & (INW_SLEEPS_THERE | INW_ANYBODY)))
		put_line(w, "chosen: nobody sleeps in this room; common practice, no source", "require: {noise: 45 dB}");
}

void inw_start_write(const struct inw_start *s, struct inw_text *out)
{
	struct writer w = {s, out};

	put_head(&w);
	put_rooms(&w);
	put_people(&w);
	put_box(&w);
	put_cleaner(&w);
	put_heat(&w);
	put_jobs(&w);
	put_require(&w);
}
