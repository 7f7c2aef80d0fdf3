/* SPDX-License-Identifier: MIT */
/* clean.h: laws of cleaning air: vapour pressure, adsorption, particle capture and deposition, sound. Pure functions, SI. */
#ifndef INW_CLEAN_H
#define INW_CLEAN_H

#define INW_GAS_CONSTANT 8.31446261815324 /* J/(mol K), CODATA 2018, exact */

/* ---- vapours ---- (forms as in design.h's inw_vp_form) */
double inw_vapour_dippr101_Pa(const double c[5], double T_K);
double inw_vapour_antoine_Pa(const double c[3], double T_K);
double inw_vapour_point_Pa(double p_Pa, double T_at_K, double heat_Jmol, double T_K); /* Clausius-Clapeyron */
double inw_vapour_heat_Jmol(double p1_Pa, double T1_K, double p2_Pa, double T2_K);        /* the same, solved for the heat */
double inw_diffusivity_m2s(double D25_m2s, double T_K, double p_Pa);                  /* T^1.75 / p (Fuller) */
double inw_molar_refraction_m3mol(double n_D, double molar_mass_kgmol, double density_kgm3); /* Lorentz-Lorenz */

/* ---- the bed ---- */
/* Static capacity, kg per kg of carbon: Dubinin-Radushkevich in Wood's 1994 form. 0 <= p/psat < 1.
 * W0 m3/kg; structure = b' (1994: 3.56e-5 with R in cal, Pe in cm3/mol, W0 in cm3/g); refraction m3/mol. */
double inw_dr_capacity(double W0_m3kg, double structure, double refraction_m3mol, double liquid_kgm3, double T_K, double p_over_psat);
/* Rate coefficient 1/s at breakthrough fraction x = Cx/C0. */
double inw_rate_wood_stampfer(double velocity_ms, double refraction_m3mol, double x);
double inw_rate_lodewyckx_vansant(double velocity_ms, double granule_m, double beta, double capacity, double molar_mass_kgmol);
double inw_rate_film(double velocity_ms, double granule_m, double voidage, double diffusivity_m2s, double nu_m2s); /* upper bound: Wakao & Funazkri 1978 */
double inw_affinity_beta(double refraction_m3mol);                              /* 0.0862 Pe^0.75, benzene = 1 (Wood 2001) */
/* Wheeler-Jonas: service time s until the outlet is x of the inlet; <= 0 when it breaks through at once. */
double inw_wheeler_jonas_s(double capacity, double mass_kg, double bulk_kgm3, double rate_1s, double C0_kgm3, double x, double q_m3s);
/* Share that a fresh bed lets through from the first minute: exp(-kv V/Q). */
double inw_initial_penetration(double rate_1s, double bed_m3, double q_m3s);

/* ---- particles ---- */
double inw_mean_free_path_m(double T_K, double p_Pa);
double inw_slip(double diameter_m, double mean_free_path_m);                    /* Allen & Raabe 1985 as in Hinds 1999 */
double inw_slip_slope(double diameter_m, double mean_free_path_m);              /* d ln(slip)/d ln(diameter), -1 .. 0 */
double inw_particle_diffusivity_m2s(double diameter_m, double T_K, double p_Pa);
double inw_settling_ms(double diameter_m, double density_kgm3, double T_K, double p_Pa);
/* Penetration (0..1) at the worst size through a medium of known rated penetration, at another face velocity:
 * ln P scales as the minimum single-fibre efficiency, U^(-4/9) (Lee & Liu 1980). */
double inw_medium_penetration(double rated_penetration, double rated_velocity_ms, double velocity_ms);
struct inw_deposition { double wall_ms, floor_ms, ceiling_ms; };
struct inw_deposition inw_deposition_velocity(double diameter_m, double density_kgm3, double friction_velocity_ms, double T_K, double p_Pa); /* Lai & Nazaroff 2000 */

/* ---- sound ---- */
double inw_sound_power_dB(double q_m3s, double rise_Pa);                        /* 40 + 10 lg Q + 20 lg p */
double inw_sound_speed_change_dB(double speed_ratio);                           /* 55 lg n */
double inw_sound_at_dB(double power_dBA, double distance_m, double room_surface_m2, double absorption); /* direct + reverberant */

/* ---- others ---- */
double inw_purge_time_s(double start, double end, double removal_1s);           /* first order; NaN when it never gets there */

#endif
