/* SPDX-License-Identifier: MIT */
/* sorbent.h: a carbon and the vapours that meet in it, as the numbers a bed needs: equilibrium and rates.
 *
 * Ownership: plain structs of the caller; arrays that measured points refer to must outlive them.
 */
#ifndef INW_SORBENT_H
#define INW_SORBENT_H

#include "physics/isotherm.h"
#include "physics/transfer.h"

/* Equilibrium as a bed sees it: gas concentration kg/m3 and loading kg per kg of carbon, with n*n row-major Jacobians.
 * 0 fine; above 0: no equilibrium there, try nearer to what held. A loading may be a trial slightly below zero. */
struct inw_bed_law {
	const void *context;
	int (*gas)(const void *context, const double *q, double *c, double *dc_dq);
	int (*loading)(const void *context, const double *c, double *q, double *dq_dc);
};

enum inw_capacity_kind { INW_CAPACITY_DUBININ, INW_CAPACITY_POINTS, INW_CAPACITY_WATER };

struct inw_sorbate {
	enum inw_capacity_kind kind;
	double molar_mass_kgmol, liquid_kgm3, diffusivity_m2s; /* the last at the state of the air */
	double psat_Pa;                      /* at the temperature of the bed */
	double refraction_m3mol;             /* dubinin */
	const double *x, *y, *slope;         /* points: from inw_isotherm_prepare */
	int points; double measured_at_K;
	double water_c, water_sites;         /* water */
	double measured_rate_1s;             /* above 0: this instead of film and pores (Wood & Stampfer, a test) */
};

struct inw_carbon_bed {
	double micropore_m3kg, structure;    /* Dubinin & Radushkevich in Wood's form */
	double capacity_factor, rate_factor; /* pure numbers, 1: the laws as they are */
	struct inw_granule granule;
	double voidage;
};

/* One bed at one temperature and flow. */
struct inw_sorbent {
	struct inw_pores pores;
	double per_Pa[INW_PORES_MOST];       /* kg/m3 of gas per Pa */
	double rate_1s[INW_PORES_MOST];      /* film and pores, per volume of bed */
	/* dispersion with and without flow, per cross-section */
	double spread_m2s[INW_PORES_MOST], still_m2s[INW_PORES_MOST];
};

struct inw_bed_air { double T_K, nu_m2s, velocity_ms; };

/* Fill `out` for n <= INW_PORES_MOST substances, one of them water at most. */
void inw_sorbent_at(const struct inw_carbon_bed *bed, const struct inw_sorbate *s, int n, const struct inw_bed_air *air,
	struct inw_sorbent *out);
/* The law of `out`, which must stay where it is. */
struct inw_bed_law inw_sorbent_law(const struct inw_sorbent *out);

#endif
