/* SPDX-License-Identifier: MIT */
/* sorbent.h: a carbon and the vapours that meet in it, as the numbers a bed needs: equilibrium and rates.
 *
 * Ownership: plain structs of the caller; arrays that measured points refer to must outlive them.
 */
#ifndef INW_SORBENT_H
#define INW_SORBENT_H

#include "physics/isotherm.h"
#include "physics/transfer.h"

/* Substances compete through one or two sums of what is held: held[0] of room_i q_i, held[1] that of the one which is
 * `apart` (water; -1: none). */
struct inw_bed_sums { double room[INW_PORES_MOST]; int apart; };

/* Equilibrium as a bed sees it: gas concentration kg/m3 and loading kg per kg of carbon. 0 fine; above 0: no equilibrium
 * there, try nearer to what held.
 * slant: c_i = slant_i q_i at these sums, which may be a little below zero; `by`, two rows of n, the derivatives by each
 * (the second 0 when none is apart). loading: the inverse, with the n*n row-major Jacobian. */
struct inw_bed_law {
	const void *context;
	const struct inw_bed_sums *sums;
	int (*slant)(const void *context, const double *held, double *slant, double *by);
	int (*loading)(const void *context, const double *c, double *q, double *dq_dc);
};

#define INW_WATER_KGMOL 18.015268e-3 /* ASHRAE Handbook Fundamentals 2017, ch. 1 */

enum inw_capacity_kind { INW_CAPACITY_DUBININ, INW_CAPACITY_POINTS, INW_CAPACITY_WATER };

/* Measured loadings kg/kg of a substance alone at partial pressures Pa, both increasing, 2 .. INW_SORBATE_POINTS of them;
 * saturation at the temperature of measurement. The caller's arrays, looked at only while a sorbent is made of them. */
enum { INW_SORBATE_POINTS = 24 };
struct inw_sorbate_points { const double *p_Pa, *loading; int n; double T_K, psat_Pa; };

struct inw_sorbate {
	enum inw_capacity_kind kind;
	double molar_mass_kgmol, liquid_kgm3, diffusivity_m2s; /* the last at the state of the air */
	double psat_Pa;                      /* at the temperature of the bed */
	double refraction_m3mol;             /* dubinin */
	struct inw_sorbate_points points;    /* points */
	double water_c, water_sites;         /* water */
	double measured_rate_1s;             /* above 0: this instead of film and pores (Wood & Stampfer, a test) */
};

/* Water vapour on a carbon that it fills by half at the relative humidity `half`: see isotherm.h. */
struct inw_sorbate inw_sorbate_water(double half, double sites, double T_K, double p_Pa);

struct inw_carbon_bed {
	double micropore_m3kg, structure;    /* Dubinin & Radushkevich in Wood's form */
	double capacity_factor, rate_factor; /* pure numbers, 1: the laws as they are */
	struct inw_granule granule;
	double voidage;
};

/* Points as a curve (isotherm.h). */
struct inw_sorbate_curve { double x[INW_SORBATE_POINTS], y[INW_SORBATE_POINTS], slope[INW_SORBATE_POINTS]; };

/* One bed at one temperature and flow. */
struct inw_sorbent {
	struct inw_pores pores;
	double per_Pa[INW_PORES_MOST];       /* kg/m3 of gas per Pa */
	struct inw_bed_sums sums;            /* m3 of liquid per kg */
	double rate_1s[INW_PORES_MOST];      /* film and pores, per volume of bed */
	/* dispersion with and without flow, per cross-section */
	double spread_m2s[INW_PORES_MOST], still_m2s[INW_PORES_MOST];
	struct inw_sorbate_curve curve[INW_PORES_MOST]; /* of those with points */
};

struct inw_bed_air { double T_K, nu_m2s, velocity_ms; };

/* What the carbon holds of one substance alone at a partial pressure, kg/kg; saturated at psat and above. */
double inw_sorbate_alone(const struct inw_carbon_bed *bed, const struct inw_sorbate *s, double T_K, double p_Pa);
/* Fill `out` for n <= INW_PORES_MOST substances, one of them water at most. */
void inw_sorbent_at(const struct inw_carbon_bed *bed, const struct inw_sorbate *s, int n, const struct inw_bed_air *air,
	struct inw_sorbent *out);
/* The law of `out`, which must stay where it is. */
struct inw_bed_law inw_sorbent_law(const struct inw_sorbent *out);

#endif
