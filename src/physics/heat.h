/* SPDX-License-Identifier: MIT */
/* heat.h: laws of heat: natural and forced convection, radiation, sheets, ducts. Pure functions, SI, exact derivatives.
 * Invariants: H1 a flux is zero at equal temperatures and has the sign of the difference. H2 the flux is continuous with
 * a finite derivative everywhere, zero difference included.
 */
#ifndef INW_HEAT_H
#define INW_HEAT_H

#define INW_STEFAN_BOLTZMANN 5.670374419e-8 /* W/(m2 K4), CODATA 2018, exact */

enum inw_attitude { INW_UPRIGHT, INW_WARM_FACE_UP /* warm plate facing up or cold plate facing down */, INW_WARM_FACE_DOWN };

/* Mean Nusselt numbers of natural convection, on the height (upright), area/perimeter (level) or diameter. */
double inw_plate_nusselt(enum inw_attitude attitude, double Ra, double Pr);
double inw_cylinder_nusselt(double Ra, double Pr); /* level, Churchill & Chu 1975 */

/* Flux W/m2 from surface to air and its derivatives. */
struct inw_flux { double q_Wm2, dq_dTs, dq_dTa; };
/* Natural convection on a plate. `facing`: +1 the wetted face looks up, -1 down, 0 upright; the correlation is chosen by
 * facing and the sign of Ts - Ta, and joined without a step. length: height of an upright plate, area/perimeter of a level one.
 * Churchill & Chu 1975 (upright), Lloyd & Moran / McAdams (level). Film properties at the mean temperature. */
struct inw_flux inw_natural_convection(int facing, double length_m, double Ts_K, double Ta_K, double p_Pa);
/* Forced along a flat plate (laminar 0.664 Re^1/2 Pr^1/3, Re <= 5e5; mixed beyond). */
struct inw_flux inw_forced_convection(double velocity_ms, double length_m, double Ts_K, double Ta_K, double p_Pa);
/* Both at once: h = (hn^3 + hf^3)^(1/3). */
struct inw_stream { double velocity_ms, run_m; }; /* along the surface, over this length */
struct inw_flux inw_mixed_convection(int facing, struct inw_stream stream, double length_m, double Ts_K, double Ta_K, double p_Pa);
/* Net radiation W/m2 from a surface at Ts to surroundings at Tr: emissivity * sigma (Ts^4 - Tr^4). dq_dTa is by Tr. */
struct inw_flux inw_radiation(double emissivity, double Ts_K, double Tr_K);
/* Factor on sigma (Ts^4 - Tstar^4) between a surface and the mean-radiant star node of an enclosure, per area of the surface:
 * 1/((1 - emissivity)/emissivity + 1/F'), F' = 1/(1 - area/total area): the first step of Carroll's 1980 view correction. */
double inw_radiant_exchange_factor(double emissivity, double area_m2, double total_area_m2);

/* Film coefficients of a duct, W/(m2 K), with derivatives. Inside: d1 by |q|, d2 by the air's temperature. Outside
 * (natural convection and radiation): d1 by the skin's temperature, d2 by the room's. Both finite at zero. */
struct inw_film { double h_Wm2K, d1, d2; };
struct inw_film inw_duct_inside(double diameter_m, double q_m3s, double T_air_K, double p_Pa);
struct inw_film inw_duct_outside(double diameter_m, double T_skin_K, double T_room_K, double p_Pa);

#endif
