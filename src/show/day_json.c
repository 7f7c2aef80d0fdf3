/* SPDX-License-Identifier: MIT */
/* day_json.c: a day as JSON. Names are stable and carry their unit; doc/json.md and doc/day.schema.json say them. */
#include <math.h>
#include <stdio.h>

#include "design/units.h"
#include "show/day_parts.h"
#include "show/json_parts.h"

enum { FORMAT_VERSION = 1 };

static json_t *moment(struct inw_json *b, const struct inw_day_report *r, const struct inw_moment *m)
{
	char clock[INW_CELL];
	json_t *o = json_object();
	inw_json__put(b, o, "time_s", inw_json__real(m->t));
	inw_json__put(b, o, "clock", inw_json__text(inw_day__clock(clock, sizeof clock, r, m->t)));
	inw_json__put(b, o, "what", inw_json__text(m->what));
	return o;
}

char *inw_show_day_json(const struct inw_day_report *r)
{
	struct inw_json b = {false};
	json_t *o = json_object(), *verdicts = json_array(), *moments = json_array();
	for (size_t i = 0; i < r->verdict_count; i++)
		inw_json__append(&b, verdicts, inw_json__verdict(&b, &r->verdicts[i]));
	for (size_t i = 0; i < r->moment_count; i++)
		inw_json__append(&b, moments, moment(&b, r, &r->moments[i]));
	inw_json__put(&b, o, "inward_day", json_integer(FORMAT_VERSION));
	inw_json__put_head(&b, o, r->title, r->file, r->overall);
	inw_json__put(&b, o, "start_clock_s", inw_json__real(r->start_clock_s));
	inw_json__put(&b, o, "span_s", inw_json__real(r->span_s));
	inw_json__put(&b, o, "begins", inw_json__sentence(r->begins));
	inw_json__put(&b, o, "steps", json_integer(r->steps));
	inw_json__put(&b, o, "matter_closure", inw_json__real(r->matter_closure));
	inw_json__put(&b, o, "verdicts", verdicts);
	inw_json__put(&b, o, "moments", moments);
	inw_json__put(&b, o, "series", inw_json__series(&b, &r->series));
	inw_json__put(&b, o, "more_escapes", inw_json__sentence(r->more_escapes));
	inw_json__put(&b, o, "beds", inw_json__beds(&b, r->beds, r->bed_count));
	inw_json__put(&b, o, "notes", inw_json__strings(&b, r->notes, r->note_count));
	inw_json__put(&b, o, "cautions", inw_json__strings(&b, r->cautions, r->caution_count));
	return inw_json__write(&b, o);
}
