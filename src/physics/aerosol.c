/* SPDX-License-Identifier: MIT */
/* aerosol.c: how small particles move in air, settle on surfaces and pass a fibrous medium.
 *
 * Invariants: A1 slip >= 1 and falls with size. A2 floor >= wall >= ceiling >= 0 for deposition, and
 * floor - ceiling = settling velocity. A3 penetration stays within 0 .. 1 and grows with velocity.
 */
#include <assert.h>
#include <math.h>

#include "physics/clean.h"
#include "physics/flow.h"

#define BOLTZMANN 1.380649e-23 /* J/K, SI 2019, exact */
#define GRAVITY 9.80665        /* m/s2, standard, 3rd CGPM 1901, exact */
#define PI 3.14159265358979323846

/* Mean free path of air molecules.
 * Given: T K > 0; p Pa > 0.
 * Returned: m. 0.066 um at 20 degC and 101325 Pa.
 * Valid: air, some 200 .. 1000 K.
 * Omits: humidity.
 * Source: 0.066 um from Hinds, Aerosol Technology, 2nd ed. 1999; its change with temperature and pressure by Willeke
 * 1976, J. Aerosol Sci. 7:381-387 (memory), with the Sutherland constant of the US Standard Atmosphere 1976.
 * Tests: test/physics/test_aerosol.c, `free_path`.
 */
double inw_mean_free_path_m(double T_K, double p_Pa)
{
	const double at_reference = 0.066e-6, T0_K = 293.15, p0_Pa = 101325, sutherland_K = 110.4;

	return at_reference * (p0_Pa / p_Pa) * (T_K / T0_K) * (1 + sutherland_K / T0_K) / (1 + sutherland_K / T_K);
}

/* Cunningham slip correction: 1 + (l/d)(2.34 + 1.05 exp(-0.39 d/l)).
 * Given: diameter m > 0; mean free path m > 0.
 * Returned: dimensionless, >= 1.
 * Valid: all sizes; within 2.1 % of the data (Hinds; memory).
 * Omits: how molecules leave the particle: solid and liquid ones differ by a few per cent.
 * Source: Allen & Raabe 1985, constants as given by Hinds 1999, eq. 3.20.
 * Tests: test/physics/test_aerosol.c, `motion`.
 */
double inw_slip(double diameter_m, double mean_free_path_m)
{
	const double Kn = mean_free_path_m / diameter_m; /* on the diameter, as this form has it */

	return 1 + Kn * (2.34 + 1.05 * exp(-0.39 / Kn));
}

/* How the slip goes with size, d ln Cc/d ln d.
 * Given: as above. Returned: -1 (far below the mean free path) .. 0.
 * Source: derivative of the above.
 * Tests: test/physics/test_aerosol.c, `motion`.
 */
double inw_slip_slope(double diameter_m, double mean_free_path_m)
{
	const double Kn = mean_free_path_m / diameter_m, tail = 1.05 * exp(-0.39 / Kn); /* as above */
	const double excess = Kn * (2.34 + tail);

	return -(excess + 0.39 * tail) / (1 + excess);
}

static double mobility_slip(double diameter_m, double T_K, double p_Pa)
{
	return inw_slip(diameter_m, inw_mean_free_path_m(T_K, p_Pa));
}

/* Diffusivity of a particle, Stokes & Einstein with slip: k T Cc/(3 pi mu d).
 * Given: diameter m > 0; T K; p Pa. Returned: m2/s.
 * Valid: spheres from about 2 nm (smaller ones are molecules).
 * Omits: shape.
 * Source: Hinds 1999, eq. 7.7 (number from memory).
 * Tests: test/physics/test_aerosol.c, `motion`.
 */
double inw_particle_diffusivity_m2s(double diameter_m, double T_K, double p_Pa)
{
	return BOLTZMANN * T_K * mobility_slip(diameter_m, T_K, p_Pa) / (3 * PI * inw_air_viscosity_Pas(T_K) * diameter_m);
}

/* Settling velocity, Stokes with slip: rho d^2 g Cc/(18 mu).
 * Given: diameter m > 0; particle density kg/m3; T K; p Pa. Returned: m/s downwards.
 * Valid: Reynolds number of the particle below 1: up to some 75 um at unit density.
 * Omits: shape, the lift of the air's own density (0.1 %).
 * Source: Hinds 1999, eq. 3.21 (number from memory).
 * Tests: test/physics/test_aerosol.c, `motion`.
 */
double inw_settling_ms(double diameter_m, double density_kgm3, double T_K, double p_Pa)
{
	const double slip = mobility_slip(diameter_m, T_K, p_Pa);

	return density_kgm3 * diameter_m * diameter_m * GRAVITY * slip / (18 * inw_air_viscosity_Pas(T_K));
}

/* Penetration at the worst size through a fibrous medium at another face velocity: ln P grows with the smallest
 * single-fibre efficiency, which goes as U^(-4/9).
 * Given: rated penetration 0 .. 1 at rated velocity m/s > 0; velocity m/s >= 0, both through the medium.
 * Returned: 0 .. 1: the worst over sizes, which itself moves to smaller sizes as the velocity rises.
 * Valid: diffusion and interception only: fine fibres, velocities up to some 0.2 m/s.
 * Omits: temperature (the theory's (T/mu)^(4/9) raises -ln P by about 1.4 % from 20 to 60 degC), loading, charge,
 * leaks.
 * Source: Lee & Liu 1980, J. Air Pollut. Control Assoc. 30:377-381, minimum efficiency (memory); that lower flow
 * filters better is also in published guidance on EN 1822.
 * Tests: test/physics/test_aerosol.c, `medium`.
 */
double inw_medium_penetration(double rated_penetration, double rated_velocity_ms, double velocity_ms)
{
	assert(rated_penetration >= 0 && rated_penetration <= 1 && rated_velocity_ms > 0 && velocity_ms >= 0);
	return pow(rated_penetration, pow(velocity_ms / rated_velocity_ms, -4.0 / 9));
}

/* The part of the resistance integral that is an angle, at one of its ends. */
static double deposition_angle(double s, double r)
{
	return sqrt(3) * atan((2 * r - s) / (sqrt(3) * s));
}

/* The dimensionless resistance I between a smooth wall and the well-mixed core: every number as in Lai & Nazaroff 2000,
 * J. Aerosol Sci. 31:463-476 (memory; three public codes agree). */
static double deposition_integral(double Sc, double r_plus)
{
	const double root = cbrt(Sc), s = 10.92 / root, sum = (s + 4.3) / (s + r_plus);
	/* from r+, with the inner fit, to 4.3, with the outer one */
	const double between = 0.5 * log(sum * sum * sum * (1 / Sc + 7.669e-4 * r_plus * r_plus * r_plus) / (1 / Sc + 0.0609));

	return 3.64 * root * root * (between + deposition_angle(s, 4.3) - deposition_angle(s, r_plus)) + 39;
}

/* Deposition velocities of particles on the inside of a stirred, smooth enclosure.
 * Given: diameter m > 0; particle density kg/m3 > 0; friction velocity m/s >= 0 along the walls; T K; p Pa.
 * Returned: m/s on upright faces, on faces that look up (floor) and on faces that look down (ceiling).
 * At zero friction velocity: settling alone.
 * Valid: 1 nm .. 10 um, friction velocity 0.3 .. 3 cm/s in the paper (memory); smooth walls.
 * Omits: roughness, charge, warm or cold walls (thermophoresis keeps particles off a hot panel and draws them to a cold
 * one), inertia: upright faces gather more coarse particles in practice than this says (Lai & Nazaroff 2005).
 * Source: Lai & Nazaroff 2000, J. Aerosol Sci. 31:463-476, table 2 (constants from memory, the same in three public
 * codes).
 * Tests: test/physics/test_aerosol.c, `deposition`.
 */
struct inw_deposition inw_deposition_velocity(double diameter_m, double density_kgm3, double friction_velocity_ms,
	double T_K, double p_Pa)
{
	const double nu = inw_air_viscosity_Pas(T_K) / inw_air_density_kgm3(p_Pa, T_K, 0);
	const double settling = inw_settling_ms(diameter_m, density_kgm3, T_K, p_Pa);
	const double Sc = nu / inw_particle_diffusivity_m2s(diameter_m, T_K, p_Pa);
	const double integral = deposition_integral(Sc, diameter_m * friction_velocity_ms / (2 * nu));
	/* nothing in still air: the ratio is infinite, and settling alone is left */
	const double ceiling = settling / expm1(settling * integral / friction_velocity_ms);

	assert(friction_velocity_ms >= 0);
	return (struct inw_deposition){
		.wall_ms = friction_velocity_ms / integral,
		.floor_ms = ceiling + settling,
		.ceiling_ms = ceiling,
	};
}
