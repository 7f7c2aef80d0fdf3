/* SPDX-License-Identifier: MIT */
/* test_day_panels.c: what stands beside the curves of a day's picture. The source is taken in whole, for its static functions.
 */
#include "show/day_panels.c"

#include "show/day_sample.h"
#include "test/check.h"

static struct day_sample sample;

/* The words beside the curve of a column. */
static void is_said(const char *column, const char *words)
{
	const struct inw_day_picture p = {.r = &sample.report, .units = INW_SI};
	struct inw_chart l = {.units = INW_SI, .series = &sample.report.series, .span_s = sample.report.span_s,
	                      .scale = inw_chart__scale(INW_DIM_CONCENTRATION, INW_SI), .log = true, .axis = {.low = -3, .high = 3}};
	name_curve(&p, &l, inw_day__column(&sample.report, column), 1, inw_chart__style(0), "it");
	CHECK(strcmp(l.entry[0].text, words) == 0);
	if (strcmp(l.entry[0].text, words))
		printf("# %s: %s\n", column, l.entry[0].text);
}

static void of_rooms(void)
{
	static const char workroom[] = "gases[caprolactam].room[workroom]", bedroom[] = "gases[caprolactam].room[bed, \"back\" room]";

	day_sample_make(&sample);
	is_said(workroom, "it: most 3 \xC2\xB5g/m\xC2\xB3 at 22:00");
	is_said(bedroom, "it: nothing all day");
	sample.report.more_escapes = "A gap is pulled inward too weakly.";
	is_said(workroom, "it: most 3 \xC2\xB5g/m\xC2\xB3 at 22:00, or more");
	is_said(bedroom, "it: cannot be told");
	is_said("gases[caprolactam].box", "it: most 300 \xC2\xB5g/m\xC2\xB3 at 22:00"); /* the box's own is known */
	for (size_t i = 0; i < DAY_ROWS; i++)
		sample.value[i * DAY_COLUMNS + 14] = NAN;
	is_said(workroom, "it: cannot be told");
}

int main(void)
{
	of_rooms();
	return check_done();
}
