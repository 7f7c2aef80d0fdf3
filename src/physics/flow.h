/* SPDX-License-Identifier: MIT */
/* flow.h: laws of moving air: properties, openings, ducts, flap, media, bed, blower. Pure functions, SI, no state.
 *
 * Most resistances here have one shape, dp = lin * mu * Q + quad * rho * Q|Q|, with `lin` [1/m3] and `quad` [1/m4]
 * made of geometry alone. So they add up in series, and the flow under a given dp is the root of a quadratic.
 * Invariants: F1 lin >= 0, quad >= 0. F2 dp(Q) is odd and increasing. F3 each derivative is exact, not a difference.
 */
#ifndef INW_FLOW_H
#define INW_FLOW_H

/* ---- air ---- */
double inw_air_pressure_at_altitude_Pa(double altitude_m);                       /* ISO 2533 / US Std Atm 1976 troposphere */
double inw_air_saturation_Pa(double T_K);                                        /* Hyland-Wexler over water (over ice below 0 degC) */
double inw_air_humidity_ratio(double p_Pa, double vapour_Pa);                    /* kg water per kg dry air */
double inw_air_vapour_Pa(double p_Pa, double humidity_ratio);                    /* the inverse */
double inw_air_dew_point_K(double vapour_Pa);                                    /* inverse of saturation */
double inw_air_density_kgm3(double p_Pa, double T_K, double humidity_ratio);     /* moist ideal gas; d/dT = -rho/T */
/* A property with its slope by temperature as a share of it: d ln(value)/dT, 1/K. */
struct inw_property { double value, slope; };
struct inw_property inw_air_viscosity(double T_K);                               /* Pa s; Sutherland, US Std Atm 1976 */
double inw_air_viscosity_Pas(double T_K);                                        /* its value alone */
struct inw_property inw_air_conductivity(double T_K);                            /* W/(m K), US Std Atm 1976 */
double inw_air_heat_capacity_JkgK(double humidity_ratio);                        /* per kg of moist air: (1006 + 1860 W)/(1+W) */

/* ---- resistances of the common shape ---- */
struct inw_resistance { double lin, quad; };
struct inw_flow { double q_m3s, dq_ddp, dq_drho, dq_dmu; };
struct inw_drop { double dp_Pa, ddp_dq, ddp_drho, ddp_dmu; };

struct inw_resistance inw_resistance_add(struct inw_resistance a, struct inw_resistance b); /* in series */
struct inw_flow inw_resistance_flow(struct inw_resistance r, double dp_Pa, double rho_kgm3, double mu_Pas);
struct inw_drop inw_resistance_drop(struct inw_resistance r, double q_m3s, double rho_kgm3, double mu_Pas);

struct inw_resistance inw_crack(double length_m, double width_m, double depth_m, double bends); /* Baker, Sharples & Ward 1987 */
struct inw_resistance inw_hole(double diameter_m, double cd);      /* sharp round: orifice + Sampson creeping flow */
struct inw_resistance inw_slot(double length_m, double width_m, double cd); /* sharp slot: orifice + Hasimoto creeping flow */
struct inw_resistance inw_fitting(double area_m2, double diameter_m, double loss, double laminar_loss); /* two-K: loss + laminar_loss/Re */
struct inw_resistance inw_screen(double area_m2, double open_fraction); /* perforated plate or square screen, Blevins table; interpolated in log K */
struct inw_resistance inw_medium_resistance(double area_m2, double rated_velocity_ms, double rated_dp_Pa, double rated_mu_Pas, double loading); /* Darcy through the rated point */
struct inw_resistance inw_bed_resistance(double area_m2, double diameter_m, double depth_m, double granule_m, double sphericity, double voidage); /* Ergun; wall by Eisfeld & Schnitzlein 2001; diameter 0 = no wall */
/* Flap blade: loss coefficient of one port of area A when the blade is `angle` from parallel to that port's flow
 * (0 open .. pi/2 shut), seat leak in parallel. Returns open conductance g = 1/sqrt(K) and dg/dangle, 0 only when shut with no leak. */
struct inw_flap { double g, dg_dangle; };
struct inw_flap inw_flap_conductance(double angle_rad, double seat_leak);

/* ---- laws of other shapes ---- */
/* Q = C dp^n at reference air (20 degC, 101325 Pa), corrected to this air (ASTM E779), linear below a stated dp. */
struct inw_flow inw_power_law_flow(double C_m3s, double n, double dp_Pa, double rho_kgm3, double mu_Pas);

/* Tall opening from its lower edge to `rise`: dp(z) = dp_bottom - slope z (z from the lower edge; dp > 0 drives `a -> b`).
 * Mass flows both ways, each with the density of where it comes from, and derivatives. mu is not used by the present law. */
struct inw_two_way { double ab_kgs, ba_kgs, dab_ddp, dba_ddp, dab_dslope, dba_dslope, dab_drho_a, dba_drho_b; };
struct inw_two_way inw_tall_opening(double width_m, double rise_m, double cd, double dp_bottom_Pa, double slope_Pam, double rho_a, double rho_b, double mu);

/* Darcy friction factor: 64/Re, Colebrook, and a smooth blend between Re 2300 and 4000. */
struct inw_friction { double f, df_dRe; };
struct inw_friction inw_duct_friction(double Re, double relative_roughness);
struct inw_drop inw_duct_drop(double diameter_m, double length_m, double roughness_m, double stretch, double q_m3s, double rho_kgm3, double mu_Pas);

/* Blower: monotone (Fritsch-Carlson) cubic through measured points at rated speed, scaled by the fan laws.
 * Beyond the points: the last slope carried on as a square law, so that a stopped wheel is a resistance. */
#define INW_BLOWER_POINTS 24
struct inw_blower_curve { int n; double q[INW_BLOWER_POINTS], p[INW_BLOWER_POINTS], slope[INW_BLOWER_POINTS], rho_ref; };
/* 0, or -1 when points are not finite, not increasing in flow from >= 0, fewer than 2, more than INW_BLOWER_POINTS, or when
 * the last piece does not fall (a stopped wheel would push). */
int inw_blower_fit(struct inw_blower_curve *c, const double *q_m3s, const double *p_Pa, int n, double rho_ref);
struct inw_rise { double p_Pa, dp_dq, dp_drho, dp_dspeed; };
struct inw_rise inw_blower_rise(const struct inw_blower_curve *c, double speed, double q_m3s, double rho_kgm3);
double inw_blower_peak_flow_m3s(const struct inw_blower_curve *c); /* flow of the highest rise at rated speed; 0 when the curve only falls */
double inw_blower_power_W(double idle_W, double rated_W, double speed); /* floor + (rated - floor) speed^3 */

#endif
