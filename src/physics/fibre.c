/* SPDX-License-Identifier: MIT */
/* fibre.c: single-fibre theory, and its shape over size and velocity hung on a sheet's rated class.
 *
 * Theory alone cannot give a rated sheet: no single fibre has both the resistance and the efficiency of a class (real
 * sheets mix fibres). With Davies' law the rated drop would ask for a solidity below 0.003, outside of all sheets and of these laws;
 * at 0.06 the drop is three to twelve times the rated one (test/physics/test_fibre.c, `drop_gives_no_solidity`). So the class gives the level at the worst size and the rated velocity, theory only the ratio of
 * efficiencies; the number of fibres and the depth cancel. The fibre fitted here is an effective one: take no pressure
 * from it.
 *
 * Why Lee & Liu is the main form: it was made for and compared with measurements around the size of greatest
 * penetration, where a class is anchored; its two terms carry the same group (1 - a)/Ku, so that the assumed solidity
 * hardly matters once anchored; its limit is the U^(-4/9) of inw_medium_penetration; and for a worst size of 0.15 um it
 * finds a fibre of 0.67 um, as such sheets have. Hinds' set is the second opinion: some 25 % less capture, in ln P, at
 * 10 nm.
 * Why the parts are added in the anchored law: 1 - product of (1 - part) means nothing beyond 1, and 10 nm particles at
 * low velocity go there. Near the worst size the two rules agree within a few per cent.
 *
 * Invariants: E1 every part >= 0. E2 a fitted sheet gives its rated penetration at its rated point, and no other size
 * passes better there. E3 penetration is within 0 .. 1.
 */
#include "physics/fibre.h"

#include <assert.h>
#include <math.h>

#include "physics/clean.h"
#include "physics/flow.h"

#define PI 3.14159265358979323846

/* Hydrodynamic factor of Kuwabara's cell, -ln(a)/2 - 3/4 + a - a^2/4.
 * Given: solidity in (0, 1). Returned: > 0.
 * Valid: parallel fibres across the flow, creeping, solidity up to some 0.3. Omits: slip at the fibre.
 * Source: Kuwabara 1959, J. Phys. Soc. Japan 14:527 (memory), as printed in Lee & Liu 1982 and in Tan, Air Pollution
 * and Greenhouse Gases 2014, ch. 6.
 * Tests: test/physics/test_fibre.c, `case_a`.
 */
double inw_fibre_kuwabara(double solidity)
{
	assert(solidity > 0 && solidity < 1);
	return -log(solidity) / 2 - 0.75 + solidity - solidity * solidity / 4; /* 0.75: same sources */
}

/* What a particle brings to capture, whatever the fibre. */
struct particle { double diameter_m, diffusivity_m2s, stopping_m /* per m/s: Stk df/U */, slip_slope; };

static struct particle particle_of(double diameter_m, const struct inw_aerosol *air)
{
	const double path = inw_mean_free_path_m(air->T_K, air->p_Pa);
	const double relaxation = air->density_kgm3 * diameter_m * diameter_m * inw_slip(diameter_m, path) /
		(18 * inw_air_viscosity_Pas(air->T_K)); /* Stokes with slip, Hinds 1999 (memory) */

	assert(diameter_m > 0 && air->density_kgm3 > 0);
	return (struct particle){diameter_m, inw_particle_diffusivity_m2s(diameter_m, air->T_K, air->p_Pa), relaxation,
		inw_slip_slope(diameter_m, path)};
}

/* Impaction, Stk J/(2 Ku^2), J = (29.6 - 28 a^0.62) R^2 - 27.5 R^2.8 up to R = 0.4, and 2 above; `slope`: R dJ/dR.
 * Source: Hinds 1999 after Yeh & Liu 1974, as printed in Tan 2014, ch. 6. The two branches do not meet (solidity 0.05:
 * 1.92 and 2; 0.1: 1.55 and 2). A step would be a false worst size, so they are joined by a line from R = 0.4 to 0.5:
 * ours, common practice, no source.
 */
static double impaction_J(double R, double solidity, double *slope)
{
	const double branch = fmin(R, 0.4), above = 2, joint = fmin(fmax((R - 0.4) / 0.1, 0), 1);
	const double square = (29.6 - 28 * pow(solidity, 0.62)) * branch * branch, rest = 27.5 * pow(branch, 2.8);
	const double J = square - rest;

	*slope = R < 0.4 ? 2 * square - 2.8 * rest : R < 0.5 ? R / 0.1 * (above - J) : 0;
	return J + joint * (above - J);
}

/* Parts of what one fibre catches.
 * Given: form; fibre; particle diameter m > 0; velocity at the face of the sheet m/s > 0; air and particle density.
 * Returned: with R = d/df, Pe = U df/D:
 *   Lee & Liu: diffusion 1.6 ((1 - a)/Ku)^(1/3) Pe^(-2/3); interception 0.6 (1 - a)/Ku R^2/(1 + R);
 *   Hinds: 2 Pe^(-2/3); (1 - a) R^2/(Ku (1 + R)); and of diffusing particles 1.24 R^(2/3)/(Ku Pe)^(1/2);
 *   both: impaction as above.
 * Valid: Lee & Liu 0.05 .. 1.3 um, 1 .. 30 cm/s, solidity 0.0086 .. 0.151 (memory); boundary layers thin, Pe >> 1.
 * Omits: charge on fibre or particle (which makes most of a charged sheet), slip at fibres under a micrometre, thermal
 * rebound (looked for below 2 nm), bounce, gravity, neighbours (sheets are not homogeneous).
 * Source: Lee & Liu 1982, Aerosol Sci. Technol. 1:35-46 and 1:147-161 (constants from memory: theory 2.6 and 1, fitted
 * to measurements 1.6 and 0.6. A mixed pair 2.6 and 0.6 is met too. 1.6 and 0.6 agree within 6 % with their minimum of
 * 1980 and the others do not, see the test; once anchored, all three give nearly the same). Hinds, Aerosol Technology
 * 1999, ch. 9 (memory; interception as printed in a public note that uses it).
 * Tests: test/physics/test_fibre.c, `case_a`, `minimum`, `constants_hardly_matter`.
 */
struct inw_capture inw_fibre_capture(enum inw_fibre_form form, const struct inw_fibre *fibre, double diameter_m,
	double velocity_ms, const struct inw_aerosol *air)
{
	const struct particle p = particle_of(diameter_m, air);
	const double df = fibre->diameter_m, a = fibre->solidity, Ku = inw_fibre_kuwabara(a), R = diameter_m / df;
	const double Pe = velocity_ms * df / p.diffusivity_m2s;
	double slope;
	struct inw_capture c = {.impaction = p.stopping_m * velocity_ms / df * impaction_J(R, a, &slope) / (2 * Ku * Ku)};

	assert(df > 0 && velocity_ms >= 0);
	if (form == INW_FIBRE_HINDS) {
		c.diffusion = 2 * pow(Pe, -2.0 / 3);
		c.interception = (1 - a) * R * R / (Ku * (1 + R));
		c.diffusing_interception = 1.24 * pow(R, 2.0 / 3) / sqrt(Ku * Pe);
	} else {
		c.diffusion = 1.6 * cbrt((1 - a) / (Ku * Pe * Pe));
		c.interception = 0.6 * (1 - a) / Ku * R * R / (1 + R);
	}
	return c;
}

double inw_capture_sum(const struct inw_capture *c)
{
	return c->diffusion + c->interception + c->diffusing_interception + c->impaction;
}

/* The parts as independent chances.
 * Given: parts. Returned: 0 .. 1, NaN when a part is over 1, which is no chance.
 * Source: Tan 2014, ch. 6; Hinds 1999, ch. 9 (memory).
 * Tests: test/physics/test_fibre.c, `case_a`.
 */
double inw_capture_independent(const struct inw_capture *c)
{
	if (!(fmax(fmax(c->diffusion, c->interception), fmax(c->diffusing_interception, c->impaction)) <= 1))
		return NAN;
	return 1 - (1 - c->diffusion) * (1 - c->interception) * (1 - c->diffusing_interception) * (1 - c->impaction);
}

/* What a homogeneous sheet lets through, exp(-4 a E L/(pi df)).
 * Given: fibre; depth m >= 0; single-fibre efficiency >= 0. Returned: 0 .. 1.
 * Omits: the 1/(1 - a) that some texts have in the exponent (velocity between the fibres; 6 % at solidity 0.06).
 * Source: Hinds 1999, ch. 9 (memory); with (1 - a): Tan 2014, eq. 6.96.
 * Tests: test/physics/test_fibre.c, `case_a`, `dense_sheets`.
 */
double inw_fibre_penetration(const struct inw_fibre *fibre, double depth_m, double efficiency)
{
	return exp(-4 * fibre->solidity * efficiency * depth_m / (PI * fibre->diameter_m));
}

/* Resistance of a homogeneous sheet, 64 mu U L a^1.5 (1 + 56 a^3)/df^2.
 * Given: fibre; depth m; velocity m/s; viscosity Pa s. Returned: Pa.
 * Valid: solidity 0.006 .. 0.3 (memory), creeping flow. Overestimates real sheets (Tan 2014).
 * Omits: slip at the fibre (lowers it below 1 um).
 * Source: Davies 1952 (memory), as printed in Tan 2014, eqs. 6.99-6.101.
 * Tests: test/physics/test_fibre.c, `case_a`, `dense_sheets`.
 */
double inw_fibre_drop_Pa(const struct inw_fibre *fibre, double depth_m, double velocity_ms, double mu_Pas)
{
	const double a = fibre->solidity, df = fibre->diameter_m;

	return 64 * mu_Pas * velocity_ms * depth_m * pow(a, 1.5) * (1 + 56 * a * a * a) / (df * df);
}

static double summed(enum inw_fibre_form form, const struct inw_fibre *fibre, double diameter_m, double velocity_ms,
	const struct inw_aerosol *air)
{
	const struct inw_capture c = inw_fibre_capture(form, fibre, diameter_m, velocity_ms, air);

	return inw_capture_sum(&c);
}

/* The most penetrating size: a coarse walk over 5 nm .. 5 um, then golden section in ln d.
 * Given: form; fibre; velocity m/s > 0; air. Returned: m, to 1e-7 of itself.
 * Valid: where one minimum lies inside; NaN when the least is at an end of the walk.
 * Source: minimum of the laws above; the method is textbook (Kiefer 1953).
 * Tests: test/physics/test_fibre.c, `minimum`, `dense_sheets`, `anchored`.
 */
double inw_fibre_worst_size_m(enum inw_fibre_form form, const struct inw_fibre *fibre, double velocity_ms,
	const struct inw_aerosol *air)
{
	const double golden = (sqrt(5) - 1) / 2, from = log(5e-9), step = log(1e3) / 60;
	double least = INFINITY, lo, hi;
	int at = 0;

	for (int i = 0; i <= 60; i++) {
		const double E = summed(form, fibre, exp(from + i * step), velocity_ms, air);

		if (E < least) {
			least = E;
			at = i;
		}
	}
	if (at == 0 || at == 60)
		return NAN;
	lo = from + (at - 1) * step;
	hi = from + (at + 1) * step;
	while (hi - lo > 1e-7) {
		const double a = hi - golden * (hi - lo), b = lo + golden * (hi - lo);

		if (summed(form, fibre, exp(a), velocity_ms, air) < summed(form, fibre, exp(b), velocity_ms, air))
			hi = b;
		else
			lo = a;
	}
	return exp((lo + hi) / 2);
}

/* Which way the capture goes with size at the rated point: ln of what rises with size over what falls, d ln d apart. Its
 * sign tells a fibre too thick (below 0) from one too fine; nearly straight in ln df. */
struct trial { enum inw_fibre_form form; double solidity, Ku, velocity_ms; struct particle p; };

static double tilt(const struct trial *t, double ln_df)
{
	const double df = exp(ln_df), R = t->p.diameter_m / df, spread = t->p.slip_slope - 1; /* of D ~ Cc/d */
	const double Pe = t->velocity_ms * df / t->p.diffusivity_m2s, g = (1 - t->solidity) / t->Ku;
	const double intercepted = R * R * (2 + R) / ((1 + R) * (1 + R)); /* R d/dR of R^2/(1 + R) */
	double turn, J = impaction_J(R, t->solidity, &turn);
	double rises = t->p.stopping_m * t->velocity_ms / df * ((2 + t->p.slip_slope) * J + turn) / (2 * t->Ku * t->Ku);
	double falls = -2.0 / 3 * spread / cbrt(Pe * Pe);

	if (t->form == INW_FIBRE_HINDS) {
		const double both = (2.0 / 3 + spread / 2) * 1.24 * pow(R, 2.0 / 3) / sqrt(t->Ku * Pe); /* as inw_fibre_capture */

		rises += g * intercepted + fmax(both, 0);
		falls = 2 * falls + fmax(-both, 0);
	} else {
		rises += 0.6 * g * intercepted; /* as inw_fibre_capture */
		falls *= 1.6 * cbrt(g);         /* the same */
	}
	return rises > 0 ? log(rises / falls) : -INFINITY;
}

/* How fast what is intercepted rises with size, over itself: R d/dR of the logarithm of R^2 (2 + R)/(1 + R)^2. */
static double steepness(double R)
{
	return 2 + R / (2 + R) - 2 * R / (1 + R);
}

/* Secants from about where the root is for sheets rated at 5.3 cm/s; the first slope is that of diffusion and interception.
 * NaN when they end outside or not at all. */
static double level_near(const struct trial *t, double lo, double hi)
{
	double x = fmin(fmax(log(0.67e-6) + 2.4 * log(t->p.diameter_m / 0.15e-6), lo + 0.1), hi - 0.1); /* looked for: 0.1 .. 0.5 um */
	double at = tilt(t, x), step = at / (steepness(t->p.diameter_m * exp(-x)) - 2.0 / 3);

	const int tries = 8; /* five or six are usual */
	for (int i = 0; i < tries && x + step > lo && x + step < hi; i++) {
		double was = at;

		x += step;
		if (fabs(step) < 1e-6) /* the next one would be of its square */
			return x;
		at = tilt(t, x);
		step *= at / (was - at);
	}
	return NAN;
}

/* The root between two ends of opposite sign, by halves. */
static double level_between(const struct trial *t, double lo, double hi)
{
	while (hi - lo > 1e-9) { /* of the fibre's diameter: the worst size follows to the same digits */
		double middle = (lo + hi) / 2;

		*(tilt(t, middle) > 0 ? &lo : &hi) = middle;
	}
	return (lo + hi) / 2;
}

/* Finds the fibre whose worst size at the rated velocity is the rated one, and keeps the rated level.
 * Given: form; solidity in (0, 0.3), common practice 0.04 .. 0.08 for glass sheets (memory; hardly matters); rating:
 * penetration 0 .. 1, worst size m, velocity m/s > 0; air of the rating, with the density of its test particles.
 * Returned: see the header. About a microsecond, since a check fits thousands of times.
 * Omits: mixed fibres, charge. Source: derived; secants or bisection in ln df on the slope over size.
 * Tests: test/physics/test_fibre.c, `anchored`, `no_fibre`.
 */
int inw_sized_medium_fit(struct inw_sized_medium *m, enum inw_fibre_form form, double solidity,
	const struct inw_rating *rating, const struct inw_aerosol *air)
{
	const struct trial t = {form, solidity, inw_fibre_kuwabara(solidity), rating->velocity_ms,
		particle_of(rating->worst_size_m, air)};
	/* below the worst size itself the laws mean nothing (particles wider than the fibre); 30 um: coarse felt, memory */
	const double lo = log(rating->worst_size_m), hi = log(30e-6);
	double at = NAN;

	assert(rating->penetration >= 0 && rating->penetration <= 1 && rating->worst_size_m > 0 && rating->velocity_ms > 0);
	*m = (struct inw_sized_medium){.form = form, .fibre = {rating->worst_size_m, solidity}, .rating = *rating, .air = *air,
		.depth = -log(rating->penetration)};
	if (hi > lo)
		at = level_near(&t, lo, hi);
	if (isnan(at)) {
		if (!(hi > lo && tilt(&t, lo) > 0)) /* even the finest fibre has a larger worst size */
			return -1;
		if (!(tilt(&t, hi) < 0))
			return -1;
		at = level_between(&t, lo, hi);
	}
	m->fibre.diameter_m = exp(at);
	m->least = summed(form, &m->fibre, rating->worst_size_m, rating->velocity_ms, air);
	return 0;
}

/* What a rated sheet lets through of one size, at another velocity, temperature and pressure: exp(-s E/E0). Where no fibre
 * fits its rating: exp(-s (v/v0)^(-4/9)) for all sizes, as inw_medium_penetration at the worst one.
 * Given: fitted sheet; diameter m > 0; velocity through the sheet m/s >= 0; air and particle density.
 * Returned: 0 .. 1.
 * Valid: uncharged sheets, 10 nm .. 1 um, 0.5 .. 20 cm/s; beyond, as the laws above. Against the U^(-4/9) of
 * inw_medium_penetration at the worst size: -ln P less by 5 % at half the rated velocity and by 10 % at a fifth, more
 * by 6 % at twice (worst size 0.15 um). Heat helps: -ln P at the worst size rises by 6 % from 20 to 60 degC.
 * Omits: leaks past the seal, pinholes and uneven sheet: these, not the fibres, set what passes below some 1e-6 or so
 * (common practice), so a 10 nm penetration of 1e-60 only means "none through the fibres". Loading, loss of charge.
 * Source: laws above; that a class should set the level and theory the shape: see the top of the file.
 * Tests: test/physics/test_fibre.c, `anchored`, `velocity_law`, `heat`, `no_fibre`.
 */
double inw_sized_medium_penetration(const struct inw_sized_medium *m, double diameter_m, double velocity_ms,
	const struct inw_aerosol *air)
{
	if (!(m->depth > 0)) /* a sheet that stops nothing, in still air too */
		return 1;
	if (!(m->least > 0))
		return inw_medium_penetration(m->rating.penetration, m->rating.velocity_ms, velocity_ms);
	return exp(-m->depth * summed(m->form, &m->fibre, diameter_m, velocity_ms, air) / m->least);
}

/* Where the most penetrating size has moved to: from d0 [(l^(1/2) T/mu)/(l0^(1/2) T0/mu0) v0/v]^(2/9), l the mean free
 * path, by secants on the slope of the fitted law over size.
 * Given: sheet; velocity m/s > 0; air. Returned: m. That first size itself when no fibre fits.
 * Valid: a quarter to four times the rated velocity. What passes there is the most that passes of any size, within 1e-4 of
 * -ln P, since the minimum is flat (2e-3 for fibres under 0.2 um, where the joint of impaction's branches lies close by);
 * where it really is, looked through, says inw_sized_medium_worst_size_m, for fifty times the work.
 * Source: Lee & Liu 1980, J. Air Pollut. Control Assoc. 30:377-381: d_min ~ (l^(1/2) k T/(mu U))^(2/9) (memory).
 * Tests: test/physics/test_fibre.c, `moved_worst_size`.
 */
double inw_sized_medium_moved_size_m(const struct inw_sized_medium *m, double velocity_ms, const struct inw_aerosol *air)
{
	const double mobility = air->T_K / inw_air_viscosity_Pas(air->T_K), rated = m->air.T_K / inw_air_viscosity_Pas(m->air.T_K);
	const double path = inw_mean_free_path_m(air->T_K, air->p_Pa) / inw_mean_free_path_m(m->air.T_K, m->air.p_Pa);
	const double a = m->fibre.solidity, df = m->fibre.diameter_m;
	double d = m->rating.worst_size_m * pow(sqrt(path) * mobility / rated * m->rating.velocity_ms / velocity_ms, 2.0 / 9);

	assert(velocity_ms > 0);
	if (!(m->least > 0))
		return d;
	struct trial t = {m->form, a, inw_fibre_kuwabara(a), velocity_ms, particle_of(d, air)};
	double at = tilt(&t, log(df)), step = -at / (steepness(d / df) - 2.0 / 3 * (t.p.slip_slope - 1));
	for (int i = 0; i < 4; i++) {
		double was = at;

		d *= exp(step);
		if (fabs(step) < 5e-3) /* what passes errs by its square */
			break;
		t.p = particle_of(d, air);
		at = tilt(&t, log(df));
		step *= at / (was - at);
	}
	return d;
}

double inw_sized_medium_worst_size_m(const struct inw_sized_medium *m, double velocity_ms,
	const struct inw_aerosol *air)
{
	return inw_fibre_worst_size_m(m->form, &m->fibre, velocity_ms, air);
}

/* Resistance of dust that lies on the sheet as a cake: K2 = 180 mu (1 - e)/(e^3 d^2 rho Cc), so that dp = dp0 + K2 U
 * (M/A).
 * Given: particle diameter m > 0 (that of equal surface per volume); porosity 0 .. 1 of the cake: 0.75 .. 0.95 for
 * submicron solids (memory; K2 spans a factor 10 over it); air and particle density.
 * Returned: 1/s, i.e. Pa per m/s and kg/m2.
 * Valid: solid particles once a cake covers the sheet. Before, in the depth of it, resistance grows more slowly. Treat
 * it as the high end of a range whose low end is 0: liquids and soft fume build no cake (and raise penetration: Payet
 * et al. 1992, J. Aerosol Sci. 23:723-735).
 * Omits: growth inside the sheet (Bergman, Thomas), compression, humidity, chains.
 * Source: Kozeny & Carman (constant 180: Carman 1937, memory), named for loading on the surface by Berry et al. 2023,
 * J. Aerosol Sci. 167:106078; division by slip for particles near the mean free path: common practice, memory.
 * Tests: test/physics/test_fibre.c, `loading`.
 */
double inw_cake_resistance_1s(double diameter_m, double porosity, const struct inw_aerosol *air)
{
	const double mu = inw_air_viscosity_Pas(air->T_K), e = porosity;
	const double slip = inw_slip(diameter_m, inw_mean_free_path_m(air->T_K, air->p_Pa));

	assert(diameter_m > 0 && e > 0 && e < 1 && air->density_kgm3 > 0);
	return 180 * mu * (1 - e) / (e * e * e * diameter_m * diameter_m * air->density_kgm3 * slip);
}

/* Loaded over clean resistance, 1 + K2 (M/A) U0/dp0: both grow with velocity, so the ratio holds at any.
 * Given: K2 1/s >= 0; load kg per m2 of sheet >= 0; clean resistance Pa > 0 at the rated velocity m/s > 0.
 * Returned: >= 1, as inw_medium_resistance takes it.
 * Source: series of two Darcy layers, the form of dp in Novick et al. 1990 (memory).
 * Tests: test/physics/test_fibre.c, `loading`.
 */
double inw_loaded_ratio(double cake_1s, double load_kgm2, double rated_dp_Pa, double rated_velocity_ms)
{
	assert(cake_1s >= 0 && load_kgm2 >= 0 && rated_dp_Pa > 0 && rated_velocity_ms > 0);
	return 1 + cake_1s * load_kgm2 * rated_velocity_ms / rated_dp_Pa;
}
