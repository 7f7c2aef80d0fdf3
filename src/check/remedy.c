/* SPDX-License-Identifier: MIT */
/* remedy.c: what to change, found by solving the model again with one thing moved until the requirement is met. */
#include <ctype.h>
#include <math.h>
#include <string.h>

#include "check/study.h"
#include "judge/sentence.h"
#include "solve/slope.h"

/* One thing a person can turn: a quantity, and those that follow it in proportion (the mass of a deeper bed). What adds (an inlet
 * beside leaks that nobody knows) comes on top of what is there, which stays as little known as it was. */
struct knob { inw_q q, follows[2]; bool adds; };

/* A setting of the knob that was solved: what the measure was there, and how far from the state as it is that led. */
struct try { double to, value; bool bad_end; int state; struct inw_shift shift; };
enum { TRIES = 64 };

struct search {
	struct inw_study *s;
	int i, state;       /* the measure, and the state in which it is worst with what was tried */
	struct inw_case c, near;
	struct inw_slope slope; /* at near */
	struct try tried[TRIES]; int tries; /* with this knob; the latest take the places of the first */
	double added;       /* by a knob that adds, in what was solved last */
	double farther;     /* what the range reaches beyond the likeliest bad case, in the measure's scale; infinite: no range is known */
	bool sure;          /* the last find holds over the whole range */
};

/* Everything that depends on other inputs goes along with them, but for what the knob sets. */
static void follow(struct inw_study *s, const struct knob *k, double added)
{
	const inw_q kept[] = {k->q, k->follows[0], k->follows[1]};

	inw_design_follow(s->d, s->x, kept, k->adds ? 0 : INW_COUNT(kept));
	if (k->adds)
		s->x[k->q] += added;
}

static void turn(struct inw_study *s, const struct knob *k, double to, double from)
{
	double ratio = from != 0 ? to / from : 1;

	s->x[k->q] = to;
	for (int f = 0; f < 2; f++)
		if (k->follows[f] >= 0)
			s->x[k->follows[f]] = s->d->quantity[k->follows[f]].value * ratio;
	follow(s, k, to - from);
}

/* How unlike a try is to what is tried now, in the way from the present value there. Ours: that another state or the bad end of
 * the inputs leads about as far astray as so much of the way. */
static double unlike(const struct search *t, const struct try *a, double to, double now, bool bad_end)
{
	const double other_state = 0.5, other_end = 0.2;

	return fabs(a->to - to) / fmax(fabs(to - now), 1e-300) + (a->state != t->state ? other_state : 0) + (a->bad_end != bad_end ? other_end : 0);
}

/* The try most like it, but for one. NULL: there is none. */
static const struct try *most_like(const struct search *t, double to, double now, bool bad_end, const struct try *but)
{
	const struct try *best = NULL;

	for (int n = 0; n < t->tries && n < TRIES; n++) {
		const struct try *a = &t->tried[n];
		if (a != but && a->shift.n > 0 && (!best || unlike(t, a, to, now, bad_end) < unlike(t, best, to, now, bad_end)))
			best = a;
	}
	return best;
}

/* What is tried lies on the line through the two tries most like it, where they differ in nothing else, or near the first. */
static void expect(const struct search *t, double to, double now, bool bad_end, struct inw_shift *shift)
{
	const struct try *a = most_like(t, to, now, bad_end, NULL), *b = most_like(t, to, now, bad_end, a);

	shift->n = 0;
	if (!a)
		return;
	*shift = a->shift;
	if (!b || b->state != a->state || b->bad_end != a->bad_end || b->shift.n != a->shift.n || !(fabs((to - a->to) / (a->to - b->to)) <= 2))
		return;
	for (int i = 0; i < shift->n; i++)
		shift->y[i] += (to - a->to) / (a->to - b->to) * (a->shift.y[i] - b->shift.y[i]);
}

static void note_try(struct search *t, double to, bool bad_end, double value)
{
	struct try *now = &t->tried[t->tries++ % TRIES];

	now->to = to;
	now->bad_end = bad_end;
	now->state = t->state;
	now->value = value;
	inw_study_shift(&now->shift, &t->s->c[t->state], &t->c);
}

/* With the knob at `to` in the search's state, left in t->c. */
static double solve_at(struct search *t, const struct knob *k, double to, bool bad_end)
{
	struct inw_shift shift;
	double now = t->s->d->quantity[k->q].value;

	expect(t, to, now, bad_end, &shift);
	turn(t->s, k, to, now);
	t->added = to - now;
	inw_study_case(t->s, &t->c, t->state, &t->s->c[t->state], &shift);
	double v = inw_study_value(t->s, t->i, &t->c);
	note_try(t, to, bad_end, v);
	return v;
}

/* The same from a try that was just that, where there is one; t->c is then anything. */
static double known_at(struct search *t, const struct knob *k, double to, bool bad_end)
{
	for (int n = 0; n < t->tries && n < TRIES; n++)
		if (t->tried[n].to == to && t->tried[n].state == t->state && t->tried[n].bad_end == bad_end)
			return t->tried[n].value;
	return solve_at(t, k, to, bad_end);
}

static double value_at(struct search *t, const struct knob *k, double to)
{
	return solve_at(t, k, to, false);
}

static double margin_at(struct search *t, const struct knob *k, double to)
{
	return inw_measure_margin(&t->s->measures.m[t->i], known_at(t, k, to, false));
}

/* With every other input where this measure is worst for its likelihood, and as much beyond as its range reaches now. */
static double value_at_bad_end(struct search *t, const struct knob *k, double to)
{
	inw_study_bad(t->s, t->i);
	double v = inw_study_moved(t->s, t->i, known_at(t, k, to, true), t->farther);
	inw_study_good(t->s);
	return v;
}

static double margin_at_bad_end(struct search *t, const struct knob *k, double to)
{
	return inw_measure_margin(&t->s->measures.m[t->i], value_at_bad_end(t, k, to));
}

/* The end of the range that harms, less the likeliest bad case: ranges add up one by one, the case moves all at once. */
static double beyond_bad_case(struct search *t, const struct knob *k)
{
	struct inw_study *s = t->s;
	const struct inw_measure *m = &s->measures.m[t->i];
	bool low = inw_measure_margin(m, s->low[t->i]) < inw_measure_margin(m, s->high[t->i]);

	inw_study_bad(s, t->i);
	inw_study_case(s, &t->c, t->state, &s->c[t->state], NULL);
	double v = inw_study_value(s, t->i, &t->c);
	note_try(t, s->d->quantity[k->q].value, true, v);
	inw_study_good(s);
	double by = inw_study_apart(s, t->i, low ? s->low[t->i] : s->high[t->i], v);
	if (s->broken[t->i] || !isfinite(by))
		return low ? -INFINITY : INFINITY;
	return low ? fmin(by, 0) : fmax(by, 0);
}

typedef double margin_function(struct search *t, const struct knob *k, double to);

/* Two settings of a knob, and the margins there. */
struct bracket { double bad, good, margin_bad, margin_good; };

/* Where between them, 0 to 1, the margin passes through zero if it is straight; the middle when that says nothing. */
static double crossing(const struct bracket *b)
{
	double at = b->margin_bad / (b->margin_bad - b->margin_good);

	return at > 0 && at < 1 ? at : 0.5;
}

/* The first of 256 equal steps from bad to good whose margin is good. Where the guess by a straight line keeps falling on the
 * same side, it is pushed on towards the other, twice as far each time. */
static double first_good(struct search *t, const struct knob *k, struct bracket b, margin_function *margin)
{
	double start = b.bad, step = (b.good - b.bad) / 256;
	int low = 0, high = 256, push = 0;

	while (high - low > 1) {
		int at = low + (int)lround((high - low) * crossing(&b)) + push;
		at = at <= low ? low + 1 : at >= high ? high - 1 : at;
		double now = margin(t, k, start + at * step);
		if (now >= 0) {
			high = at, b.margin_good = now;
			push = push < 0 ? 2 * push : -1;
		} else {
			low = at, b.margin_bad = now;
			push = push > 0 ? 2 * push : 1;
		}
	}
	return start + high * step;
}

/* Least movement from the present value towards `end` that makes the margin good, to a five-hundredth of the way (find() adds
 * a half per cent); NaN when even the end does not. Values are put back. */
static double find_with(struct search *t, const struct knob *k, double end, margin_function *margin)
{
	double now = t->s->d->quantity[k->q].value;
	struct bracket b = {now, NAN, NAN, NAN};

	for (int i = 3; i >= 0 && isnan(b.good); i--) { /* an eighth, a quarter, half, all of the way: the first that is good */
		double at = now + (end - now) / (1 << i), left = margin(t, k, at);
		if (left >= 0)
			b.good = at, b.margin_good = left;
		else
			b.bad = at, b.margin_bad = left;
	}
	if (!isnan(b.good))
		b.good = first_good(t, k, b, margin);
	inw_study_good(t->s);
	return b.good;
}

/* The least margin of all states with the knob at `to`; t->state is then the one that has it. */
static double least_margin(struct search *t, const struct knob *k, double to, margin_function *margin)
{
	double least = INFINITY;
	int worst = t->state;

	for (t->state = 0; t->state < INW_STATES; t->state++) {
		if (!inw_study_looks(t->s->d, &t->s->measures.m[t->i], t->state))
			continue;
		double left = margin(t, k, to);
		if (!(left >= least))
			least = left, worst = t->state;
	}
	inw_study_good(t->s);
	t->state = worst;
	return least;
}

/* The same in every state: what mends one may leave another as the worst. */
static double find_in_all(struct search *t, const struct knob *k, double end, margin_function *margin)
{
	t->state = t->s->worst[t->i];
	for (int tries = 0; tries < 3; tries++) {
		double to = find_with(t, k, end, margin);
		if (isnan(to) || least_margin(t, k, to, margin) >= 0)
			return to;
	}
	return NAN;
}

static bool is_turned(const struct knob *k, inw_q q)
{
	return !k->adds && (q == k->q || q == k->follows[0] || q == k->follows[1]);
}

/* How much of the range as it is comes from quantity q, squared shares adding up to 1; negative: by its low side. */
static double known_share(const struct search *t, inw_q q)
{
	const struct inw_quantity *quantity = &t->s->d->quantity[q];
	double by = t->s->bad[t->i] ? t->s->bad[t->i][q] : 0;

	return by > 0 ? by / (quantity->high - quantity->value) : by < 0 ? by / (quantity->value - quantity->low) : 0;
}

static bool is_known(const struct search *t, inw_q q)
{
	return fabs(known_share(t, q)) >= 0.1; /* a trifle before may be the other way round now */
}

/* The deviation towards harm when quantity q goes to that end of its range which brings one; 0 when neither does. Where one
 * side was known to do much of the harm before, only that is tried. */
static double harm_of(struct search *t, const struct knob *k, inw_q q, double at, int sign)
{
	struct inw_study *s = t->s;
	const struct inw_quantity *quantity = &s->d->quantity[q];
	s->glances = true; /* what is no harm need not be known closely */
	double keep = s->x[q], harm = 0, known = is_known(t, q) ? known_share(t, q) : 0, to[INW_MOST_ENDS];
	int n = inw_study_ends(s, (size_t)q, to);

	for (int e = 0; e < n; e++) {
		if (known * (to[e] - quantity->value) < 0)
			continue;
		s->x[q] = to[e];
		follow(s, k, t->added);
		if (s->moves_air[q] & INW_READ)
			inw_study_case(s, &t->c, t->state, &t->near, s->shift[q] ? &s->shift[q][e] : NULL);
		else
			inw_study_same_air(s, &t->c, t->state, &t->near);
		double by = sign * inw_study_apart(s, t->i, inw_study_value(s, t->i, &t->c), at);
		harm = isnan(by) ? by : fmax(harm, by);
	}
	s->x[q] = keep;
	s->glances = false;
	return harm;
}

/* Which way is harm from this value: 1 up, -1 down; and the limit that lies there. */
static int harm_lies(const struct inw_measure *m, double at, double *limit)
{
	bool up = m->sense == INW_AT_MOST || (m->sense == INW_WITHIN && m->limit_high - at < at - m->limit);

	*limit = up && m->sense == INW_WITHIN ? m->limit_high : m->limit;
	return up ? 1 : -1;
}

/* How far a deviation from `at` leads from `at` past the limit; 0 where that is good. */
static double past_by(const struct search *t, double at, double by)
{
	const struct inw_measure *m = &t->s->measures.m[t->i];
	double end = inw_study_moved(t->s, t->i, at, by), limit;

	(void)harm_lies(m, at, &limit);
	return inw_measure_margin(m, end) >= 0 ? 0 : inw_study_apart(t->s, t->i, end, limit);
}

/* How far, in the measure's scale, the range that it has with the knob at `to` reaches past its limit: positive upwards,
 * negative downwards, 0 where all of it is good. Other inputs may matter there. What mattered before goes first, and once the
 * reach is more than `most` there is no need to know the rest. */
static double past_limit(struct search *t, const struct knob *k, double to, double most)
{
	struct inw_study *s = t->s;
	inw_q n = (inw_q)s->d->quantities;
	double at = value_at(t, k, to), sum = 0, limit, past = past_by(t, at, 0);
	int sign = harm_lies(&s->measures.m[t->i], at, &limit);

	t->near = t->c;
	t->near.slope = t->near.ok && inw_states[t->state].speed_factor > 0 && inw_slope_at(&t->slope, &t->near.sol) ? &t->slope : NULL;
	for (inw_q i = 0; i < 2 * n && fabs(past) <= most; i++) {
		inw_q q = i % n;
		if (!s->matters[q] || is_turned(k, q) || is_known(t, q) != (i < n))
			continue;
		double harm = harm_of(t, k, q, at, sign);
		sum += harm * harm;
		past = past_by(t, at, sign * sqrt(sum));
	}
	inw_study_good(s);
	return past;
}

/* How much farther the aim may be for the knob to reach it in the state as it is; the same settings that find_with() tries. */
static double spare(struct search *t, const struct knob *k, double end)
{
	const struct inw_measure *m = &t->s->measures.m[t->i];
	double now = t->s->d->quantity[k->q].value, most = 0, limit;

	if (m->sense == INW_WITHIN) /* farther one way is nearer to the other limit */
		return INFINITY;
	t->state = t->s->worst[t->i];
	for (int i = 0; i < 4; i++) {
		double v = value_at_bad_end(t, k, now + (end - now) / (1 << i));
		int sign = harm_lies(m, v, &limit);
		most = fmax(most, sign * inw_study_apart(t->s, t->i, limit, v));
	}
	return most;
}

/* Found at the bad end as it is now, then held against the range as it is there, which may reach farther; a second aim goes
 * that much farther. NaN when that does not do. */
static double find_surely(struct search *t, const struct knob *k, double end)
{
	const double more = 1.3; /* not all of what is asked for arrives */

	for (int tries = 0; tries < 2 && isfinite(t->farther); tries++) {
		double to = find_in_all(t, k, end, margin_at_bad_end);
		if (isnan(to))
			return NAN;
		double most = tries == 0 ? spare(t, k, end) / more : 0;
		(void)least_margin(t, k, to, margin_at); /* a check will judge the range of that state */
		double past = past_limit(t, k, to, most);
		if (past == 0)
			return to;
		if (!(fabs(past) <= most)) /* NaN, where an end has no answer, too */
			return NAN;
		t->farther += more * past;
	}
	return NAN;
}

/* First so that the whole range of what was assumed is good; where that is out of reach, at the best estimate, and `sure`
 * says so. A half per cent on top: a reader rounds. The case as designed at the answer stays in t->c. */
static double find(struct search *t, const struct knob *k, double end)
{
	double now = t->s->d->quantity[k->q].value;

	t->state = t->s->worst[t->i];
	t->tries = 0;
	t->farther = beyond_bad_case(t, k);
	double to = find_surely(t, k, end);
	t->sure = !isnan(to);
	if (!t->sure && !(inw_measure_margin(&t->s->measures.m[t->i], t->s->value[t->i]) >= 0))
		to = find_in_all(t, k, end, margin_at);
	t->state = INW_AS_DESIGNED;
	if (isnan(to))
		return NAN;
	to += 0.005 * (end > now ? 1 : -1) * fabs(to);
	to = end > now ? fmin(to, end) : fmax(to, end);
	(void)value_at(t, k, to);
	inw_study_good(t->s);
	return to;
}

/* Does the whole range hold in every state with the knob set to just that? */
static bool holds(struct search *t, const struct knob *k, double to)
{
	return least_margin(t, k, to, margin_at) >= 0 && past_limit(t, k, to, 0) == 0;
}

/* How far from a good setting towards a bad one all still holds, to a hundredth. */
static double loosest(struct search *t, const struct knob *k, double good, double bad)
{
	const double near = 0.01;

	while (fabs(bad - good) > near * fabs(good)) {
		double between = 0.5 * (good + bad);
		*(holds(t, k, between) ? &good : &bad) = between;
	}
	return good;
}

static const char *sure(const struct search *t)
{
	return t->sure ? "" : " (at the best estimate only)";
}

static struct knob one(inw_q q)
{
	return (struct knob){q, {INW_NONE, INW_NONE}, false};
}

static double chamber(const struct inw_case *c)
{
	return c->ok ? c->sol.y[c->sol.s.T_box] : NAN;
}

/* The quantity that sets the share sent out, INW_NONE for a design that has none. */
inw_q inw_share_quantity(const struct inw_design *d)
{
	const struct inw_cleaner *c = &d->cleaner;

	if (!c->present || !c->has_exhaust || !c->has_return)
		return INW_NONE;
	return c->split == INW_SPLIT_FLAP ? c->position : c->split == INW_SPLIT_FIXED ? c->share : INW_NONE;
}

const struct inw_stage *inw_stage_of(const struct inw_design *d, enum inw_stage_kind kind)
{
	for (size_t i = 0; i < d->cleaner.stages; i++)
		if (d->cleaner.stage[i].kind == kind)
			return &d->cleaner.stage[i];
	return NULL;
}

/* Which gap, sealed to a tenth of its area, gains the most inward pressure? */
static const struct inw_gap *seal_first(struct search *t, double *gain)
{
	const struct inw_design *d = t->s->d;
	const struct inw_gap *best = NULL;
	double now = inw_study_value(t->s, t->i, &t->s->c[t->s->worst[t->i]]);

	*gain = 0;
	t->state = t->s->worst[t->i];
	for (size_t g = 0; g < d->box.gaps; g++) {
		const struct inw_gap *gap = &d->box.gap[g];
		inw_q q = gap->kind == INW_GAP_CRACK ? gap->width : gap->kind == INW_GAP_HOLE ? gap->diameter : gap->C;
		if (gap->kind == INW_GAP_OPENING || q < 0) /* hands go in there: remedy_face says how narrow */
			continue;
		struct knob k = one(q);
		t->tries = 0;
		(void)value_at(t, &k, (gap->kind == INW_GAP_HOLE ? sqrt(0.1) : 0.1) * d->quantity[q].value);
		double v = inw_study_value(t->s, t->i, &t->c);
		inw_study_good(t->s);
		if (v - now > *gain) {
			*gain = v - now;
			best = gap;
		}
	}
	return best;
}

static void say_share(struct inw_text *out, const struct search *t, inw_q q, double to)
{
	const struct inw_study *s = t->s;

	inw_text_printf(out, "%s from " INW_N " to " INW_N "%s", s->d->cleaner.split == INW_SPLIT_FLAP ? "Turn the flap" : "Raise the share sent out",
	                INW_V(INW_DIM_FRACTION, s->d->quantity[q].value), INW_V(INW_DIM_FRACTION, to), sure(t));
}

static void more_blower(struct inw_text *out, struct search *t)
{
	const struct inw_stage *b = inw_stage_of(t->s->d, INW_STAGE_BLOWER);

	if (!b) {
		inw_text_add(out, "There is no blower: add one.");
		return;
	}
	struct knob k = one(b->blower.speed);
	double to = find(t, &k, 3);
	double now = t->s->d->quantity[b->blower.speed].value;
	if (isnan(to))
		return;
	if (to <= 1)
		inw_text_printf(out, " Or run the blower at " INW_N " of its rated speed instead of " INW_N "%s.", INW_V(INW_DIM_FRACTION, to), INW_V(INW_DIM_FRACTION, now), sure(t));
	else
		inw_text_printf(out, " Or fit a stronger blower: this one would have to turn at " INW_N " of its rated speed%s.", INW_V(INW_DIM_FRACTION, to), sure(t));
}

/* Which gap is worth sealing most, and how much. */
static void tighter(struct inw_text *out, struct search *t)
{
	double gain;
	const struct inw_gap *g = seal_first(t, &gain);

	const struct inw_measure *m = &t->s->measures.m[t->i];
	if (g && gain > 0.01 * m->limit) /* less is not worth a person's time */
		inw_text_printf(out, " Seal '%s' first: closed to a tenth of its area it is worth " INW_N " more.", g->name, INW_V(m->dim, gain));
	for (size_t i = 0; i < t->s->d->box.gaps; i++)
		if (t->s->d->box.gap[i].kind == INW_GAP_OPENING) {
			inw_text_printf(out, " '%s' sets the pressure of the whole box: narrow it.", t->s->d->box.gap[i].name);
			break;
		}
}

/* How much narrower, or how much more air? */
static void remedy_face(struct inw_text *out, struct search *t)
{
	const struct inw_design *d = t->s->d;

	for (size_t i = 0; i < d->box.gaps; i++) {
		const struct inw_gap *g = &d->box.gap[i];
		if (g->kind != INW_GAP_OPENING)
			continue;
		struct knob k = one(g->opening_width);
		double to = find(t, &k, 0.05 * d->quantity[g->opening_width].value);
		if (!isnan(to)) {
			inw_text_printf(out, "Narrow '%s' to " INW_N " instead of " INW_N "%s.", g->name, INW_V(INW_DIM_LENGTH, to), INW_V(INW_DIM_LENGTH, d->quantity[g->opening_width].value), sure(t));
			break;
		}
	}
	more_blower(out, t);
}

/* What sending more air out does to the chamber, or to the heater that holds it (t->c against the case as designed). */
static void say_chamber_cost(struct inw_text *out, const struct search *t, double T_before)
{
	const struct inw_case *before = &t->s->c[INW_AS_DESIGNED];
	double cost = chamber(&t->c) - T_before;

	if (!isfinite(cost))
		inw_text_add(out, ".");
	else if (t->c.sol.m.heater == INW_HEATER_HOLDS && fabs(cost) < 0.05) /* K: shown to a tenth at the best */
		inw_text_printf(out, "; to hold " INW_N " the heater then gives " INW_N " instead of " INW_N ".", INW_V(INW_DIM_TEMPERATURE, chamber(&t->c)),
		                INW_V(INW_DIM_POWER, t->c.sol.f.heater_W), INW_V(INW_DIM_POWER, before->sol.f.heater_W));
	else
		inw_text_printf(out, "; the chamber then settles at " INW_N " (%s by " INW_N ").", INW_V(INW_DIM_TEMPERATURE, chamber(&t->c)),
		                cost < 0 ? "cooler" : "warmer", INW_V(INW_DIM_TEMPERATURE_DIFFERENCE, fabs(cost)));
}

static void remedy_inward(struct inw_text *out, struct search *t)
{
	inw_q q = inw_share_quantity(t->s->d);
	double T = chamber(&t->s->c[INW_AS_DESIGNED]);

	if (!t->s->d->cleaner.present) {
		inw_text_add(out, "Nothing pulls air out of this box. Add a cleaner with a blower and a branch that sends part of the air out.");
		return;
	}
	if (!t->s->d->cleaner.has_exhaust) {
		inw_text_add(out, "All cleaned air goes back into the box, so nothing holds it under suction. Add a branch that sends part of it out.");
		tighter(out, t);
		return;
	}
	if (q < 0) {
		more_blower(out, t);
		tighter(out, t);
		return;
	}
	struct knob k = one(q);
	double to = find(t, &k, 1);
	if (!isnan(to)) {
		say_share(out, t, q, to);
		turn(t->s, &k, to, t->s->d->quantity[q].value);
		inw_study_case(t->s, &t->c, INW_AS_DESIGNED, &t->s->c[INW_AS_DESIGNED], NULL);
		inw_study_good(t->s);
		say_chamber_cost(out, t, T);
	} else {
		t->state = t->s->worst[t->i];
		(void)value_at(t, &k, 1);
		double best = inw_study_value(t->s, t->i, &t->c);
		inw_study_good(t->s);
		if (inw_measure_margin(&t->s->measures.m[t->i], t->s->value[t->i]) < 0)
			inw_text_printf(out, "Even with everything sent out the number only reaches " INW_N ": the blower and the train cannot do it.", INW_V(t->s->measures.m[t->i].dim, best));
		else
			inw_text_add(out, "Sending more out does not take away the doubt.");
		more_blower(out, t);
	}
	tighter(out, t);
}

/* Where the blower stands decides: before it air is drawn, behind it pressed. */
static void remedy_cleaner(struct inw_text *out, const struct search *t)
{
	const struct inw_cleaner *c = &t->s->d->cleaner;
	const struct inw_model *m = &t->s->c[t->s->worst[t->i]].sol.m;
	int blower = -1;

	for (int k = 0; k < m->stages; k++)
		if (m->stage[k].kind == INW_STAGE_BLOWER && blower < 0)
			blower = k;
	if (m->clean_after >= m->stages)
		inw_text_add(out, "Clean the air, particles and gases, before it is pressed through anything indoors; or set the blower where the air goes "
		             "out, so that it draws through every duct in the room (all the duct in the inlet, none in the exhaust).");
	else if (blower >= 0 && blower < m->clean_after)
		inw_text_printf(out, "Put the blower last, behind '%s': then housing and ducts before it are under suction, and leak inward.",
		                c->stage[m->clean_after].name);
	else
		inw_text_add(out, "Mend the inward pressure of the box first: the cleaner draws from it.");
}

static void remedy_cold(struct inw_text *out, struct search *t)
{
	const struct inw_design *d = t->s->d;
	const struct inw_measure *m = &t->s->measures.m[t->i];
	const double inside = 0.25, spare = 1.05; /* ours: of the band, above its edge; of the power */
	double hold = m->limit + inside * (m->limit_high - m->limit);
	inw_q q = inw_share_quantity(d);
	int worst = t->s->worst[t->i];
	struct inw_case *c = &t->c;

	/* the heat that a thermostat has to add at the bad end of what is not known */
	inw_study_bad(t->s, t->i);
	inw_study_case(t->s, c, worst, &t->s->c[worst], NULL);
	inw_study_good(t->s);
	if (c->ok) {
		c->sol.m.heater = INW_HEATER_HOLDS;
		c->sol.m.heater_power = 1e6;
		c->sol.m.heater_target = hold;
		inw_steady(&c->sol, true);
	}
	if (c->ok && c->sol.status == INW_OK)
		inw_text_printf(out, "To hold " INW_N " even at the bad end of what is assumed, the chamber takes a heater of " INW_N " with that target.", INW_V(INW_DIM_TEMPERATURE, hold),
		                INW_V(INW_DIM_POWER, spare * c->sol.f.heater_W));
	if (q >= 0) {
		struct knob k = one(q);
		double to = find(t, &k, 0);
		if (!isnan(to)) {
			inw_text_printf(out, " Or send out only " INW_N " instead of " INW_N "%s, if the gaps still leak inward then.", INW_V(INW_DIM_FRACTION, to),
			                INW_V(INW_DIM_FRACTION, d->quantity[q].value), sure(t));
		}
	}
	inw_text_add(out, " Insulating panels saves the most of what is lost.");
}

static void remedy_chamber(struct inw_text *out, struct search *t)
{
	const struct inw_measure *m = &t->s->measures.m[t->i];
	inw_q q = inw_share_quantity(t->s->d);

	double at = t->s->value[t->i];
	if (at - m->limit < m->limit_high - at) { /* missed or in doubt on the cold side */
		remedy_cold(out, t);
		return;
	}
	double to = NAN;
	if (q >= 0) {
		struct knob k = one(q);
		to = find(t, &k, 1);
	}
	if (!isnan(to)) {
		say_share(out, t, q, to);
		inw_text_add(out, ": more cool room air then comes in through the gaps.");
	} else {
		inw_text_add(out, "Sending more air out does not cool it enough: use a cooler plate, or thinner panels. Do not cool it by opening the box: "
		             "an open box holds no fume back.");
	}
}

static void remedy_bed(struct inw_text *out, struct search *t)
{
	const struct inw_stage *b = inw_stage_of(t->s->d, INW_STAGE_BED);

	if (!b) {
		inw_text_add(out, "There is no carbon in this train: add a bed.");
		return;
	}
	double depth = t->s->d->quantity[b->bed.depth].value;
	struct knob k = {b->bed.depth, {b->bed.mass, INW_NONE}, false};
	double to = find(t, &k, 5 * depth);
	if (!isnan(to)) {
		inw_text_printf(out, "Make the bed " INW_N " deep instead of " INW_N "%s (" INW_N " of carbon); the flow then falls to " INW_N ".", INW_V(INW_DIM_LENGTH, to),
		                INW_V(INW_DIM_LENGTH, depth), sure(t), INW_V(INW_DIM_MASS, t->s->d->quantity[b->bed.mass].value * to / depth), INW_V(INW_DIM_VOLUME_FLOW, t->c.o.clean_m3s));
		return;
	}
	double area = t->s->d->quantity[b->bed.area].value;
	struct knob wide = {b->bed.area, {b->bed.mass, INW_NONE}, false};
	to = find(t, &wide, 40 * area);
	if (!isnan(to))
		inw_text_printf(out, "Depth alone does not do it. Keep the depth and widen the bed to an area of " INW_N "%s (" INW_N " of carbon).",
		                INW_V(INW_DIM_AREA, to), sure(t), INW_V(INW_DIM_MASS, t->s->d->quantity[b->bed.mass].value * to / area));
	else
		inw_text_add(out, "No bed of this carbon within reach does it: let all of this air go outdoors and none come back, or use less of the source.");
}

/* A tighter seal that mends it. Where the width as it is assumed would do, and only its doubt is in the way, the widest that does
 * is told: that is what has to be seen to. */
static bool seal_tighter(struct inw_text *out, struct search *t, const char *name, inw_q width)
{
	const struct inw_quantity *now = &t->s->d->quantity[width];
	const double hardly = 0.98; /* find() ends no nearer to what is than that when a step is needed at all */
	struct knob k = one(width);
	double to = find(t, &k, 0);

	if (isnan(to))
		return false;
	if (t->sure && to > hardly * now->value && now->high > now->value)
		inw_text_printf(out, "See to it that the seal of '%s' is nowhere wider than " INW_N ", a gasket pressed all round, and write its width: it is only taken as "
		                INW_N ", and may be anything up to " INW_N ".", name, INW_V(INW_DIM_LENGTH, 0.995 * loosest(t, &k, to, now->high)),
		                INW_V(INW_DIM_LENGTH, now->value), INW_V(INW_DIM_LENGTH, now->high));
	else
		inw_text_printf(out, "Close the seal of '%s' to a gap of " INW_N " (now " INW_N ")%s: a gasket pressed all round.", name, INW_V(INW_DIM_LENGTH, to),
		                INW_V(INW_DIM_LENGTH, now->value), sure(t));
	return true;
}

/* When the bed's seal alone lets by half of what is allowed, a deeper bed only pushes more through it. */
static bool tighter_bed_seal(struct inw_text *out, struct search *t)
{
	const struct inw_case *c = &t->s->c[t->s->worst[t->i]];
	const struct inw_stage *b = inw_stage_of(t->s->d, INW_STAGE_BED);
	double allowed = 1 - t->s->measures.m[t->i].limit;

	if (!b || b->bed.seal_width < 0)
		return false;
	const struct inw_quantity *seal = &t->s->d->quantity[b->bed.seal_width];
	bool to_blame = t->s->blames[t->i] > 0 && strcmp(t->s->blame[t->i][0].path, seal->path) == 0;
	if (!to_blame && !(c->o.bypass_stage >= 0 && t->s->d->cleaner.stage[c->o.bypass_stage].kind == INW_STAGE_BED && c->o.bypass > 0.5 * allowed))
		return false;
	return seal_tighter(out, t, b->name, b->bed.seal_width);
}

static void remedy_gas(struct inw_text *out, struct search *t)
{
	const struct inw_measure *m = &t->s->measures.m[t->i];
	const struct inw_gas_outcome *g = &t->s->c[0].o.gas[m->index];

	if (g->weak)
		inw_text_printf(out, "Plain carbon hardly holds %s: more of it does not help. Send all of this air outdoors and none back into the box or a room "
		                "(return: none), or use carbon made for it, which is not counted here.", t->s->d->catalog.substance[g->substance].title);
	else if (!tighter_bed_seal(out, t))
		remedy_bed(out, t);
}

static void remedy_seal(struct inw_text *out, struct search *t)
{
	int k = t->s->c[t->s->worst[t->i]].o.bypass_stage;

	if (k < 0)
		return;
	const struct inw_stage *s = &t->s->d->cleaner.stage[k];
	inw_q q = s->kind == INW_STAGE_MEDIUM ? s->medium.seal_width : s->bed.seal_width;
	if (q < 0)
		return;
	if (!seal_tighter(out, t, s->name, q))
		inw_text_printf(out, "A tighter seal of '%s' alone does not settle it: state its width, or use more area so that less pressure drives the leak.", s->name);
}

static void remedy_particles(struct inw_text *out, struct search *t)
{
	const struct inw_stage *s = inw_stage_of(t->s->d, INW_STAGE_MEDIUM);

	if (!s) {
		inw_text_add(out, "There is no particle stage in this train: add one before the carbon.");
		return;
	}
	if (s->medium.seal_width >= 0 && seal_tighter(out, t, s->name, s->medium.seal_width))
		return;
	double area = t->s->d->quantity[s->medium.area].value;
	struct knob a = one(s->medium.area);
	double to = find(t, &a, 20 * area);
	if (!isnan(to))
		inw_text_printf(out, "Give the medium " INW_N " instead of " INW_N "%s, so that air passes it slower.", INW_V(INW_DIM_AREA, to), INW_V(INW_DIM_AREA, area), sure(t));
	else
		inw_text_add(out, "Use a medium of a higher class, with a tight seal.");
}

/* An opening that lets through at the pull allowed what so much more of the room's leakage would, C dp^n; at whichever end of n that
 * is more, and by the discharge coefficient of a doorway, when it is to be sure at its low end (catalog, doorways.cd, from memory). Air
 * at 20 degC, as rooms' leaks are read. */
static double inlet_area(const struct search *t, double more_C)
{
	const struct inw_measure *m = &t->s->measures.m[t->i];
	const struct inw_quantity *n = &t->s->d->quantity[t->s->d->room[m->index].leak_n];
	const double rho = 1.2041, cd = t->sure ? 0.4 : 0.6;

	return more_C * fmax(pow(m->limit, n->low), pow(m->limit, n->high)) / (cd * sqrt(2 * m->limit / rho));
}

static void remedy_suction(struct inw_text *out, struct search *t)
{
	const struct inw_measure *m = &t->s->measures.m[t->i];
	inw_q q = inw_share_quantity(t->s->d), leak = t->s->d->room[m->index].leak_C;

	if (q >= 0) {
		struct knob k = one(q);
		double to = find(t, &k, 0);
		if (!isnan(to))
			inw_text_printf(out, "Send out " INW_N " instead of " INW_N "%s if the gaps still leak inward then.", INW_V(INW_DIM_FRACTION, to), INW_V(INW_DIM_FRACTION, t->s->d->quantity[q].value), sure(t));
	}
	struct knob k = {leak, {INW_NONE, INW_NONE}, true};
	double now = t->s->d->quantity[leak].value, most = 50 * now, to = find(t, &k, most);
	if (!t->sure && holds(t, &k, most)) { /* leaks known to a factor: find() extrapolates from there in vain */
		to = loosest(t, &k, most, now);
		t->sure = true;
	}
	if (!isnan(to))
		inw_text_printf(out, " Or give the room an air inlet of " INW_N " free area%s that cannot be shut.", INW_V(INW_DIM_AREA, inlet_area(t, to - now)), sure(t));
}

static void remedy_noise(struct inw_text *out, struct search *t)
{
	const struct inw_stage *b = inw_stage_of(t->s->d, INW_STAGE_BLOWER);
	inw_q distance = t->s->d->require.noise_distance;

	if (!b)
		return;
	struct knob k = one(b->blower.speed);
	double to = find(t, &k, 0.1);
	if (!isnan(to))
		inw_text_printf(out, "Slow the blower to " INW_N " of its rated speed%s, if flow and suction still do then.", INW_V(INW_DIM_FRACTION, to), sure(t));
	if (distance >= 0) {
		struct knob far = one(distance);
		to = find(t, &far, 20);
		if (!isnan(to))
			inw_text_printf(out, " Or move it " INW_N " from the nearest ear%s.", INW_V(INW_DIM_LENGTH, to), sure(t));
	}
	inw_text_add(out, " A lined silencer and a soft mount take off more than a slower blower or some distance.");
}

static void remedy_stall(struct inw_text *out, struct search *t)
{
	const struct inw_stage *s = inw_stage_of(t->s->d, INW_STAGE_MEDIUM), *b = inw_stage_of(t->s->d, INW_STAGE_BED);

	inw_text_add(out, "The train asks for more pressure than this blower holds steadily.");
	if (b) {
		double area = t->s->d->quantity[b->bed.area].value;
		struct knob k = {b->bed.area, {b->bed.mass, INW_NONE}, false};
		double to = find(t, &k, 8 * area);
		if (!isnan(to)) {
			inw_text_printf(out, " A bed with an area of " INW_N " instead of " INW_N " takes it off the hump%s.", INW_V(INW_DIM_AREA, to), INW_V(INW_DIM_AREA, area), sure(t));
			return;
		}
	}
	if (s) {
		double area = t->s->d->quantity[s->medium.area].value;
		struct knob k = one(s->medium.area);
		double to = find(t, &k, 20 * area);
		if (!isnan(to)) {
			inw_text_printf(out, " A medium of " INW_N " instead of " INW_N " takes it off the hump%s.", INW_V(INW_DIM_AREA, to), INW_V(INW_DIM_AREA, area), sure(t));
			return;
		}
	}
	inw_text_add(out, " Use a blower with a higher shut-off pressure.");
}

/* What a person breathes: first what escapes by the gaps, then what is sent into the room, then what passes. */
static void remedy_air(struct inw_text *out, struct search *t)
{
	const struct inw_case *c = &t->s->c[t->s->worst[t->i]];
	inw_q q = inw_share_quantity(t->s->d);

	if (c->o.escape_m3s > 0)
		inw_text_printf(out, "The box leaks " INW_N " into the room through its gaps: mend the inward pressure first.", INW_V(INW_DIM_VOLUME_FLOW, c->o.escape_m3s));
	for (int i = 0; i < c->o.gases && t->s->measures.m[t->i].kind != INW_M_PARTICLES; i++)
		if (c->o.gas[i].weak)
			inw_text_printf(out, " %s is hardly held by plain carbon: what does not go outdoors stays.", t->s->d->catalog.substance[c->o.gas[i].substance].title);
	if (q >= 0 && t->s->d->cleaner.exhaust_to == INW_OUTDOORS) {
		struct knob k = one(q);
		double to = find(t, &k, 1);
		if (!isnan(to))
			inw_text_printf(out, " Sending " INW_N " outdoors instead of " INW_N " meets it%s.", INW_V(INW_DIM_FRACTION, to), INW_V(INW_DIM_FRACTION, t->s->d->quantity[q].value), sure(t));
	}
	const struct inw_stage *b = inw_stage_of(t->s->d, INW_STAGE_BED);
	if (b && t->s->measures.m[t->i].kind != INW_M_PARTICLES && c->o.escape_m3s <= 0) {
		double depth = t->s->d->quantity[b->bed.depth].value;
		struct knob k = {b->bed.depth, {b->bed.mass, INW_NONE}, false};
		double to = find(t, &k, 5 * depth);
		if (!isnan(to))
			inw_text_printf(out, " A bed " INW_N " deep instead of " INW_N " meets it%s.", INW_V(INW_DIM_LENGTH, to), INW_V(INW_DIM_LENGTH, depth), sure(t));
	}
	if (out->length == 0)
		inw_text_add(out, "Use less of the source, air the room, or send the cleaned air outdoors.");
}

static void remedy_throttle(struct inw_text *out, struct search *t)
{
	inw_q q = inw_share_quantity(t->s->d);
	struct knob k = one(q);
	double to = q >= 0 ? find(t, &k, 0) : NAN;

	inw_text_add(out, "This share cannot be reached by throttling: the branch sent out needs less loss, or the return more.");
	if (!isnan(to))
		inw_text_printf(out, " A share of " INW_N " instead of " INW_N " can be set%s, if the gaps still leak inward then.", INW_V(INW_DIM_FRACTION, to),
		                INW_V(INW_DIM_FRACTION, t->s->d->quantity[q].value), sure(t));
}

static void remedy_vapour(struct inw_text *out, struct search *t)
{
	bool stopped = inw_states[t->s->worst[t->i]].speed_factor == 0;
	const struct inw_design *d = t->s->d;
	inw_q rate = t->s->job->rate;
	struct knob k = one(rate);
	double to = find(t, &k, 0);

	if (!isnan(to))
		inw_text_printf(out, "Use at most " INW_N " instead of " INW_N "%s", INW_V(INW_DIM_MASS_RATE, to), INW_V(INW_DIM_MASS_RATE, d->quantity[rate].value), sure(t));
	else
		inw_text_add(out, "Use less at a time of what gives off the vapour");
	inw_text_add(out, stopped ? ". More air is no help while the blower stands still: let the source switch off when the airflow fails."
	                          : ", or more air through the box; and let the source switch off when the airflow fails.");
}

/* Met at the best estimate, and one assumption makes most of the doubt: knowing it is the cheapest mend. */
static void say_what_to_measure(struct inw_text *out, const struct inw_study *s, int i)
{
	if (!(inw_measure_margin(&s->measures.m[i], s->value[i]) >= 0) || s->blames[i] == 0 || s->blame[i][0].share < 0.4)
		return;
	const char *path = s->blame[i][0].path;
	if (strcmp(path, "site.gust") == 0 || strncmp(path, "site.outdoor.", strlen("site.outdoor.")) == 0)
		inw_text_printf(out, "The weather (%s) makes most of the doubt, and no measurement takes that away: build in reserve. ", path);
	else
		inw_text_printf(out, "Measure or state %s: it makes most of the doubt. ", path);
}

/* What stands first does not begin with "Or", whatever it was to follow. */
static void join(struct inw_text *out, size_t first)
{
	char *s = out->s + first;
	size_t skip = strspn(s, " ");

	if (strncmp(s + skip, "Or ", 3) == 0) {
		skip += 3;
		s[skip] = (char)toupper((unsigned char)s[skip]);
	}
	memmove(s, s + skip, out->length - first - skip + 1);
	out->length -= skip;
}

int inw_remedy(struct inw_study *s, int i, struct inw_arena *arena, const char **change)
{
	struct search *t = inw_arena_alloc(arena, sizeof *t);
	struct inw_text out = {0};

	*change = NULL;
	if (!t)
		return -1;
	if (!s->c[s->worst[i]].ok)
		return 0;
	t->s = s;
	t->i = i;
	t->state = s->worst[i];
	s->wanted = inw_study_wanted(s, i);
	s->asks = i;
	s->care = INW_CARE_RANGE; /* a setting is found to a five-hundredth of its way */
	say_what_to_measure(&out, s, i);
	size_t first = out.length;
	switch (s->measures.m[i].kind) {
	case INW_M_INWARD_PRESSURE: case INW_M_INWARD_VELOCITY: remedy_inward(&out, t); break;
	case INW_M_EDGE_PRESSURE: case INW_M_FACE_VELOCITY: remedy_face(&out, t); break;
	case INW_M_CLEANER_PRESSURE: remedy_cleaner(&out, t); break;
	case INW_M_DEPRESSURISATION: remedy_suction(&out, t); break;
	case INW_M_CHAMBER: remedy_chamber(&out, t); break;
	case INW_M_PARTICLE_REMOVAL: remedy_particles(&out, t); break;
	case INW_M_GAS_REMOVAL: remedy_gas(&out, t); break;
	case INW_M_CARBON_LIFE: case INW_M_RESIDENCE: remedy_bed(&out, t); break;
	case INW_M_BYPASS: remedy_seal(&out, t); break;
	case INW_M_STALL: remedy_stall(&out, t); break;
	case INW_M_NOISE: remedy_noise(&out, t); break;
	case INW_M_WORK_8H: case INW_M_WORK_PEAK: case INW_M_HOME_LONG: case INW_M_HOME_1H: case INW_M_PARTICLES: remedy_air(&out, t); break;
	case INW_M_LFL: remedy_vapour(&out, t); break;
	case INW_M_PURGE: inw_text_add(&out, "Let the blower run on after the job; more flow or less returned unclean shortens the wait."); break;
	case INW_M_BED_T: inw_text_add(&out, "Carbon holds less and gives back when hot: put the cleaner outside the hot air, with a longer duct before it."); break;
	case INW_M_BED_RH: inw_text_add(&out, "Warmer or drier air at the bed: dry the room, or put the bed where the air is warm."); break;
	case INW_M_CONDENSATION: inw_text_add(&out, "Insulate the exhaust duct, and let it fall towards a drain."); break;
	case INW_M_THROTTLE: remedy_throttle(&out, t); break;
	case INW_M_POWER: case INW_M_HEATING: inw_text_add(&out, "Send out less, insulate panels, or slow the blower."); break;
	case INW_M_CARBON_MASS: case INW_M_DELIVERY: case INW_M_BALANCE: break;
	}
	s->wanted = INW_WANT_ALL;
	s->asks = INW_NONE;
	s->care = INW_CARE_FULL;
	int failed = out.failed;
	if (!failed && out.length) {
		join(&out, first);
		*change = inw_arena_dup(arena, out.s, out.length);
		failed = !*change;
	}
	inw_text_free(&out);
	return failed ? -1 : 0;
}
