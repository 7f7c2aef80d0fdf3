/* SPDX-License-Identifier: MIT */
/* parts.c: what a drawing needs of a design beside its numbers' values: what there is, where it stands and leads to, and
 * which of its numbers the text writes, so that they can be taken hold of. */
#include <float.h>
#include <math.h>
#include <string.h>

#include "design/design.h"
#include "serve/api.h"

struct parts {
	struct inw_json *b;
	const struct serve_ask *a;
	const struct inw_design *d;
};

static const char *const face_word[INW_FACES] = {"top", "bottom", "front", "back", "left", "right"};
static const char *const gap_word[] = {"crack", "hole", "opening", "measured"};
static const char *const stage_word[] = {"medium", "bed", "blower"};
static const char *const split_word[] = {"flap", "fixed", "tee"};

/* A number with its path, its bounds, and whether the text itself writes it; null for none. */
static json_t *number(const struct parts *p, inw_q q)
{
	if (q == INW_NONE)
		return json_null();
	const struct inw_quantity *n = &p->d->quantity[q];
	json_t *o = json_object();
	inw_json__put(p->b, o, "path", inw_json__text(n->path));
	inw_json__put(p->b, o, "dimension", inw_json__text(inw_json__dimension(n->dim)));
	inw_json__put(p->b, o, "value", inw_json__real(n->value));
	inw_json__put(p->b, o, "least", inw_json__real(n->least > -DBL_MAX ? n->least : NAN));
	inw_json__put(p->b, o, "most", inw_json__real(n->most < DBL_MAX ? n->most : NAN));
	inw_json__put(p->b, o, "written", json_boolean(serve_is_written(p->a, n)));
	return o;
}

static const char *room_name(const struct inw_design *d, int room)
{
	return room == INW_OUTDOORS ? "outdoors" : room == INW_NOWHERE ? NULL : d->room[room].name;
}

static void put_number(const struct parts *p, json_t *o, const char *name, inw_q q)
{
	inw_json__put(p->b, o, name, number(p, q));
}

static void put_word(const struct parts *p, json_t *o, const char *name, const char *word)
{
	inw_json__put(p->b, o, name, inw_json__text(word));
}

/* ---- the box ----------------------------------------------------------------------------------------------------- */

/* The number that closes a gap when it is made smaller, and by which power of it the gap's area goes. */
static inw_q closes(const struct inw_gap *g)
{
	switch (g->kind) {
	case INW_GAP_CRACK: return g->width;
	case INW_GAP_HOLE: return g->diameter;
	case INW_GAP_OPENING: return g->opening_width;
	case INW_GAP_MEASURED: break;
	}
	return g->C;
}

static json_t *gap(const struct parts *p, const struct inw_gap *g)
{
	json_t *o = json_object();
	put_word(p, o, "name", g->name);
	put_word(p, o, "kind", gap_word[g->kind]);
	put_word(p, o, "face", face_word[g->face]);
	put_word(p, o, "room", room_name(p->d, g->room));
	put_number(p, o, "height", g->height);
	put_number(p, o, "rise", g->rise);
	put_number(p, o, "size", closes(g));
	inw_json__put(p->b, o, "area_power", json_integer(g->kind == INW_GAP_HOLE ? 2 : 1));
	return o;
}

static json_t *door(const struct parts *p, const struct inw_box *x)
{
	if (!x->has_door)
		return json_null();
	json_t *o = json_object();
	put_word(p, o, "face", face_word[x->door_face]);
	put_number(p, o, "width", x->door_width);
	put_number(p, o, "height", x->door_height);
	put_number(p, o, "sill", x->door_sill);
	return o;
}

static json_t *walls(const struct parts *p, const struct inw_box *x)
{
	json_t *list = json_array();
	for (int f = 0; f < INW_FACES; f++) {
		json_t *o = json_object();
		put_word(p, o, "face", face_word[f]);
		put_word(p, o, "material", x->panel[f].material);
		put_number(p, o, "thickness", x->panel[f].thickness);
		inw_json__append(p->b, list, o);
	}
	return list;
}

static json_t *box(const struct parts *p)
{
	const struct inw_box *x = &p->d->box;
	json_t *o = json_object(), *gaps = json_array();
	for (size_t i = 0; i < x->gaps; i++)
		inw_json__append(p->b, gaps, gap(p, &x->gap[i]));
	put_word(p, o, "room", room_name(p->d, x->room));
	put_number(p, o, "width", x->width);
	put_number(p, o, "depth", x->depth);
	put_number(p, o, "height", x->height);
	put_number(p, o, "stand", x->stand);
	inw_json__put(p->b, o, "door", door(p, x));
	inw_json__put(p->b, o, "walls", walls(p, x));
	inw_json__put(p->b, o, "gaps", gaps);
	return o;
}

/* ---- the cleaner ------------------------------------------------------------------------------------------------- */

static json_t *port(const struct parts *p, inw_q height, const struct inw_duct *duct)
{
	json_t *o = json_object();
	put_number(p, o, "height", height);
	put_number(p, o, "diameter", duct->diameter);
	put_number(p, o, "length", duct->length);
	return o;
}

static json_t *stage(const struct parts *p, const struct inw_stage *s)
{
	json_t *o = json_object();
	put_word(p, o, "name", s->name);
	put_word(p, o, "kind", stage_word[s->kind]);
	if (s->kind == INW_STAGE_MEDIUM) {
		put_word(p, o, "record", p->d->catalog.medium[s->medium.klass].title);
		put_number(p, o, "area", s->medium.area);
	} else if (s->kind == INW_STAGE_BED) {
		put_word(p, o, "record", p->d->catalog.carbon[s->bed.carbon].title);
		put_number(p, o, "area", s->bed.area);
		put_number(p, o, "diameter", s->bed.diameter);
		put_number(p, o, "depth", s->bed.depth);
		put_number(p, o, "mass", s->bed.mass);
	} else {
		put_number(p, o, "speed", s->blower.speed);
	}
	return o;
}

static json_t *exhaust(const struct parts *p, const struct inw_cleaner *c)
{
	json_t *o = port(p, c->exhaust_height, &c->exhaust);
	put_word(p, o, "to", room_name(p->d, c->exhaust_to));
	return o;
}

static json_t *cleaner(const struct parts *p)
{
	const struct inw_cleaner *c = &p->d->cleaner;
	if (!c->present)
		return json_null();
	json_t *o = json_object(), *stages = json_array();
	for (size_t i = 0; i < c->stages; i++)
		inw_json__append(p->b, stages, stage(p, &c->stage[i]));
	inw_json__put(p->b, o, "inlet", port(p, c->inlet_height, &c->inlet));
	inw_json__put(p->b, o, "stages", stages);
	put_word(p, o, "split", split_word[c->split]);
	put_number(p, o, "position", c->split == INW_SPLIT_FLAP ? c->position : c->split == INW_SPLIT_FIXED ? c->share : INW_NONE);
	inw_json__put(p->b, o, "return", c->has_return ? port(p, c->return_height, &c->ret) : json_null());
	inw_json__put(p->b, o, "exhaust", c->has_exhaust ? exhaust(p, c) : json_null());
	return o;
}

/* ---- rooms and people -------------------------------------------------------------------------------------------- */

static json_t *room(const struct parts *p, const struct inw_room *r)
{
	json_t *o = json_object(), *appliances = json_array();
	for (size_t i = 0; i < r->appliances; i++)
		inw_json__append(p->b, appliances, inw_json__text(p->d->catalog.appliance[r->appliance[i].kind].title));
	put_word(p, o, "name", r->name);
	put_number(p, o, "floor", r->floor);
	put_number(p, o, "height", r->height);
	inw_json__put(p->b, o, "appliances", appliances);
	return o;
}

static json_t *doorway(const struct parts *p, const struct inw_doorway *w)
{
	json_t *o = json_object(), *between = json_array();
	inw_json__append(p->b, between, inw_json__text(room_name(p->d, w->a)));
	inw_json__append(p->b, between, inw_json__text(room_name(p->d, w->b)));
	put_word(p, o, "name", w->name);
	inw_json__put(p->b, o, "between", between);
	put_number(p, o, "width", w->width);
	put_number(p, o, "height", w->height);
	put_number(p, o, "sill", w->sill);
	return o;
}

static json_t *person(const struct parts *p, const struct inw_person *who)
{
	json_t *o = json_object(), *stays = json_array();
	for (size_t i = 0; i < who->stays; i++) {
		json_t *stay = json_object();
		put_word(p, stay, "room", room_name(p->d, who->stay[i].room));
		put_number(p, stay, "from", who->stay[i].from);
		put_number(p, stay, "to", who->stay[i].to);
		inw_json__put(p->b, stay, "at_box", json_boolean(who->stay[i].at_box));
		inw_json__append(p->b, stays, stay);
	}
	put_word(p, o, "name", who->name);
	put_word(p, o, "as", who->kind == INW_WORKER ? "worker" : "resident");
	inw_json__put(p->b, o, "stays", stays);
	return o;
}

json_t *serve_parts_of(struct inw_json *b, const struct serve_ask *a, const struct inw_design *d)
{
	const struct parts p = {b, a, d};
	json_t *o = json_object(), *rooms = json_array(), *doorways = json_array(), *people = json_array();
	for (size_t i = 0; i < d->rooms; i++)
		inw_json__append(b, rooms, room(&p, &d->room[i]));
	for (size_t i = 0; i < d->doorways; i++)
		inw_json__append(b, doorways, doorway(&p, &d->doorway[i]));
	for (size_t i = 0; i < d->persons; i++)
		inw_json__append(b, people, person(&p, &d->person[i]));
	inw_json__put(b, o, "box", box(&p));
	inw_json__put(b, o, "cleaner", cleaner(&p));
	inw_json__put(b, o, "rooms", rooms);
	inw_json__put(b, o, "doorways", doorways);
	inw_json__put(b, o, "people", people);
	return o;
}

struct serve_reply *serve_parts(struct serve_ask *a)
{
	struct serve_study *s = serve_study_open(a->desk, &a->text, false);
	struct inw_json b = {false};
	struct serve_reply *r = s && s->d ? serve_reply_or_none(&b, serve_parts_of(&b, a, s->d)) : serve_study_trouble(s);
	if (s)
		serve_study_close(a->desk, s);
	return r;
}
