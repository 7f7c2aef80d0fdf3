/* SPDX-License-Identifier: MIT */
/* transfer.h: how fast a vapour passes between the air and the granules of a bed, and how far the air itself smears it.
 * Pure functions, SI. Rates are per volume of bed: kg/(m3 s) taken up = rate_1s (c - c in equilibrium with the
 * granule). */
#ifndef INW_TRANSFER_H
#define INW_TRANSFER_H

/* The inside of a granule: a sphere with pores. */
struct inw_granule {
	double diameter_m, porosity, tortuosity;
	/* rho_p D_s dq/dc: what diffusion along the walls adds to porosity D/tortuosity; 0: not known */
	double walls_m2s;
};

double inw_rate_pore(struct inw_granule g, double voidage, double diffusivity_m2s);
double inw_rate_series(double film_1s, double pore_1s);
double inw_spread_still_m2s(double voidage, double diffusivity_m2s);
double inw_mixing_s(double velocity_ms, double granule_m, double voidage, double diffusivity_m2s);
double inw_spread_flow_m2s(double velocity_ms, double granule_m, double voidage, double diffusivity_m2s);
double inw_rate_lumped(double rate_1s, double spread_m2s, double velocity_ms);
double inw_ldf_coefficient(double rate_1s, double bulk_kgm3, double loading, double c_kgm3);

#endif
