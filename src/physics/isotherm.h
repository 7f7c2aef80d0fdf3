/* SPDX-License-Identifier: MIT */
/* isotherm.h: how far a vapour fills the micropores of a carbon at equilibrium, alone and with others, and what
 * pressure a given filling gives off. Pure functions, SI. A filling is the share 0..1 of the pore volume, as liquid.
 *
 * Ownership: the caller owns all arrays; an inw_isotherm made from points keeps pointers to them.
 */
#ifndef INW_ISOTHERM_H
#define INW_ISOTHERM_H

enum { INW_PORES_MOST = 17 }; /* as many as a design has gases (model.h), and water */

enum inw_isotherm_kind { INW_ISOTHERM_DUBININ, INW_ISOTHERM_POINTS, INW_ISOTHERM_WATER };

/* One substance on one carbon at one temperature. Made by the functions below, not by hand. */
struct inw_isotherm {
	enum inw_isotherm_kind kind;
	double psat_Pa;
	double join_filling, join_Pa;            /* below this point Henry's law, through it */
	double root;                             /* dubinin: ln(psat/p) = root sqrt(-ln filling) */
	const double *x, *y, *slope; int points; /* points: ln(p/psat) over ln filling */
	double stretch;                          /* points: temperature of measurement over this one */
	double top, steep;                       /* points: ln filling at saturation, and the slope up to it from the last */
	double c, sites, k;                      /* water */
};

struct inw_isotherm_value { double y, dy; }; /* and its derivative */

double inw_dubinin_curvature(double W0_m3kg, double structure, double refraction_m3mol, double T_K);
struct inw_isotherm inw_isotherm_dubinin(double psat_Pa, double curvature);
/* Fill x, y, slope (n each, n >= 2) from n measured pairs, both strictly increasing and above 0, the pores not quite full. 0, or -1. */
int inw_isotherm_prepare(const double *p_Pa, const double *filling, int n, double psat_Pa, double *x, double *y,
	double *slope)
	__attribute__((warn_unused_result));
struct inw_isotherm inw_isotherm_points(double psat_Pa, double T_K, double measured_at_K, const double *x,
	const double *y, const double *slope, int n);
struct inw_isotherm inw_isotherm_water(double psat_Pa, double c, double sites);
/* The c of a carbon that water alone fills by half at the relative humidity `half`. */
double inw_isotherm_water_c(double half, double sites);

/* Filling at a pressure 0..psat, and the inverse; NaN outside of what the law can mean. */
struct inw_isotherm_value inw_isotherm_filling(const struct inw_isotherm *s, double p_Pa);
struct inw_isotherm_value inw_isotherm_pressure(const struct inw_isotherm *s, double filling);

/* Several substances in one pore volume; water, when present, is the one of kind INW_ISOTHERM_WATER. */
struct inw_pores {
	int n, water;                            /* index of water, or -1 */
	double volume_m3kg;
	double liquid_kgm3[INW_PORES_MOST];
	struct inw_isotherm alone[INW_PORES_MOST];
};

/* Loadings q kg/kg at partial pressures, or partial pressures at loadings, with the n*n row-major Jacobian (NULL: not
 * wanted). 0, or 1 when there is none: saturated, or more than the pores hold. Loadings may be a little below zero. */
int inw_pores_loading(const struct inw_pores *s, const double *p_Pa, double *q, double *dq_dp);
int inw_pores_pressure(const struct inw_pores *s, const double *q, double *p_Pa, double *dp_dq);
/* Pressure over share of the space, and its derivative by the filling: of organic vapours at their filling f < 1, of
 * water at its own. That is all by which they act on each other: see isotherm.c. */
void inw_pores_slant(const struct inw_pores *s, double f, double f_water, double *g, double *dg);

#endif
