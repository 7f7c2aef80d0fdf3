/* SPDX-License-Identifier: MIT */
#include "physics/flow.h"
#include "physics/monotone.h"

#include <assert.h>
#include <math.h>

/* Fit of a measured curve.
 * Purpose: a C1 curve f(q) through the points which rises and falls only where they do, so no surge the maker did not
 *   measure is invented.
 * Given: n 2..INW_BLOWER_POINTS flows m3/s, increasing, >= 0, with rises Pa at the rated speed and density rho_ref >
 *   0 kg/m3.
 * Returned: 0, or -1 and *c untouched when the points are unfit (bad input): wrong number, not finite, not
 *   increasing, or the last piece does not fall. A rising last piece would make the stopped wheel (see below) push.
 * Rule: the slope at the first point may not be positive. A curve that rises from shut-off starts flat there; Fritsch
 *   & Carlson's region allows it, and air forced backwards then always meets a growing rise.
 * Source: Fritsch & Carlson 1980 (see monotone.c); monotone interpolation of fan curves is common practice, no source.
 * Checked by: test/physics/test_blower.c. */
int inw_blower_fit(struct inw_blower_curve *c, const double *q_m3s, const double *p_Pa, int n, double rho_ref)
{
	assert(rho_ref > 0);
	if (n < 2 || n > INW_BLOWER_POINTS || !(q_m3s[0] >= 0))
		return -1;
	for (int i = 0; i < n; i++)
		if (!isfinite(q_m3s[i]) || !isfinite(p_Pa[i]) || (i > 0 && q_m3s[i] <= q_m3s[i - 1]))
			return -1;
	if (p_Pa[n - 1] >= p_Pa[n - 2])
		return -1;
	*c = (struct inw_blower_curve){.n = n, .rho_ref = rho_ref};
	for (int i = 0; i < n; i++) {
		c->q[i] = q_m3s[i];
		c->p[i] = p_Pa[i];
	}
	inw_monotone__slopes(c->q, c->p, n, c->slope);
	if (c->slope[0] > 0)
		c->slope[0] = 0;
	assert(c->slope[n - 1] < 0);
	return 0;
}

/* c of the square law that carries on the last slope: d/dq [-c q^2] = slope at the last point */
static double square_law(const struct inw_blower_curve *c)
{
	return -c->slope[c->n - 1] / (2 * c->q[c->n - 1]);
}

/* Beyond the last point: s^2 p_m - c (q^2 - s^2 q_m^2) */
static struct inw_rise beyond(const struct inw_blower_curve *c, double s, double q)
{
	double k = square_law(c), qm = c->q[c->n - 1], held = c->p[c->n - 1] + k * qm * qm;

	return (struct inw_rise){.p_Pa = s * s * held - k * q * q, .dp_dq = -2 * k * q, .dp_dspeed = 2 * s * held};
}

/* Before the first point, and backwards: with x = q - s q_0 <= 0, s^2 p_0 + s slope_0 x + c x^2 */
static struct inw_rise before(const struct inw_blower_curve *c, double s, double q)
{
	double k = square_law(c), q0 = c->q[0], m = c->slope[0], x = q - s * q0;

	return (struct inw_rise){
		.p_Pa = s * s * c->p[0] + s * m * x + k * x * x,
		.dp_dq = s * m + 2 * k * x,
		.dp_dspeed = 2 * s * c->p[0] + m * x - s * m * q0 - 2 * k * x * q0,
	};
}

/* Among the points: s^2 f(q/s) */
static struct inw_rise among(const struct inw_blower_curve *c, double s, double q)
{
	int i = inw_monotone__find(c->q, c->n, q / s);
	struct inw_monotone_value f = inw_monotone__piece(c->q + i, c->p + i, c->slope + i, q / s);

	return (struct inw_rise){.p_Pa = s * s * f.y, .dp_dq = s * f.dy, .dp_dspeed = 2 * s * f.y - q * f.dy};
}

/* Pressure rise of the blower.
 * Given: a fitted curve, speed >= 0 as a fraction of rated, q m3/s of either sign, rho > 0 kg/m3 of the air in the
 *   wheel.
 * Returned: rise Pa and exact derivatives by q, rho, speed; C1 in all three, also where the three parts below join.
 * Parts, all times rho/rho_ref: among the points s^2 f(q/s) (fan laws: flow as speed, pressure as speed squared, ISO
 *   5801 and any fan text, memory); beyond the last point the last slope carried on as a square law; before the first
 *   point and for back flow a parabola that only grows. As s -> 0 both ends become -c q|q|: a stopped wheel is a
 *   passive resistance.
 * Valid range: fan laws hold where the wheel's Reynolds number matters little; published small axial fans follow flow ~
 *   speed^1.00, pressure ~ speed^2.00 between 57 % and 100 % speed (see the test).
 * Omits: compressibility, inlet swirl, surge (flow that swings in time), the drag of a locked wheel (here guessed by
 *   c).
 * Source: fan laws as named; the two ends are ours. Checked by: test/physics/test_blower.c. */
struct inw_rise inw_blower_rise(const struct inw_blower_curve *c, double speed, double q_m3s, double rho_kgm3)
{
	double dense = rho_kgm3 / c->rho_ref;
	struct inw_rise r;

	assert(c->n >= 2 && speed >= 0 && rho_kgm3 > 0);
	if (q_m3s >= speed * c->q[c->n - 1])
		r = beyond(c, speed, q_m3s);
	else if (q_m3s <= speed * c->q[0])
		r = before(c, speed, q_m3s);
	else
		r = among(c, speed, q_m3s);
	return (struct inw_rise){
		.p_Pa = r.p_Pa * dense,
		.dp_dq = r.dp_dq * dense,
		.dp_drho = r.p_Pa / c->rho_ref,
		.dp_dspeed = r.dp_dspeed * dense,
	};
}

/* Flow of the highest rise at rated speed; left of it several flows share one rise and the wheel may hunt.
 * Given: a fitted curve. Returned: m3/s, 0 when the curve only falls. A monotone cubic has its peak at a point.
 * Checked by: test/physics/test_blower.c. */
double inw_blower_peak_flow_m3s(const struct inw_blower_curve *c)
{
	int top = 0;

	for (int i = 1; i < c->n; i++)
		if (c->p[i] > c->p[top])
			top = i;
	return top > 0 ? c->q[top] : 0;
}

/* Electric power.
 * Given: idle (electronics and friction) 0..rated W, rated W, speed 0..about 1.2 as a fraction of rated.
 * Returned: W. Omits: the change of power along the curve at one speed; efficiency of the motor at part load.
 * Source: cube of speed for the air (fan laws) on a constant floor; the floor because published small fans at 20 % of
 *   their signal draw 0.5..1.2 W and not the cube (see the test). Checked by: test/physics/test_blower.c. */
double inw_blower_power_W(double idle_W, double rated_W, double speed)
{
	assert(idle_W >= 0 && rated_W >= idle_W && speed >= 0);
	return idle_W + (rated_W - idle_W) * speed * speed * speed;
}
