/* SPDX-License-Identifier: MIT */
/* aerosol_dynamics.h: laws of many particles together: how often two meet and stick, and how sizes are spread. Pure
 * functions, SI, no state. Motion of one particle: clean.h. */
#ifndef INW_AEROSOL_DYNAMICS_H
#define INW_AEROSOL_DYNAMICS_H

/* The air that carries particles, and what these are made of. */
struct inw_aerosol { double T_K, p_Pa, density_kgm3; };

/* How one size moves by heat alone: what two of them need in order to meet. */
struct inw_thermal_motion {
	double diameter_m, diffusivity_m2s;
	double speed_ms;      /* mean of the thermal speed */
	double shell_m;       /* Fuchs' distance from the surface within which it flies straight */
};

double inw_particle_speed_ms(double diameter_m, double density_kgm3, double T_K);
struct inw_thermal_motion inw_thermal_motion(double diameter_m, const struct inw_aerosol *air);

/* Collision kernel m3/s: pairs of the two sizes meet at kernel N1 N2 per m3 and s. Within one size there are N^2/2 pairs,
 * so that equal particles vanish as dN/dt = -kernel/2 N^2: Hinds' K is half of it. */
double inw_coagulation_kernel_m3s(const struct inw_thermal_motion *a, const struct inw_thermal_motion *b);
/* Hinds' K (half a kernel), averaged over a lognormal spread of particles that are large against the mean free path. */
double inw_coagulation_lognormal_m3s(double count_median_m, double gsd, double T_K, double p_Pa);

/* Sizes spread lognormally: count median m > 0, geometric standard deviation >= 1 (1: all alike). */
struct inw_lognormal { double count_median_m, gsd; };
double inw_lognormal_share(struct inw_lognormal sizes, double from_m, double to_m); /* of the number, in (from, to] */
double inw_lognormal_moment(struct inw_lognormal sizes, double k);                  /* mean of d^k, m^k */
/* The part of that mean that particles in (from, to] bring; k = 0 gives the share of the number. */
double inw_lognormal_part(struct inw_lognormal sizes, double k, double from_m, double to_m);

#endif
