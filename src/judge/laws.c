/* SPDX-License-Identifier: MIT */
/* laws.c: what stands behind every computed number: one record for each law of src/physics and each balance.
 *
 * `basis` is the basis of the SOURCE: FOUND means that the cited text or a reprint of it was read, DERIVED that the
 * relation follows from definitions or conservation, MEMORY that it is recalled and wants verifying, PRACTICE that
 * nobody stands behind it. A record must not claim more than the comments in src/physics do.
 */
#include "judge/laws.h"

#include <string.h>

#include "base/base.h"

static const struct inw_law laws[] = {
	/* ---- properties of air ---- */
	{"air_pressure_at_altitude", "Air pressure at an altitude", "p = 101325 (1 - 0.0065 H/288.15)^5.2559, H = R z/(R + z), R = 6356766 m",
	 "US Standard Atmosphere 1976 (ISO 2533), troposphere; values checked against ASHRAE Fundamentals 2017, ch. 1",
	 "-500 m to 11 km", "the weather: some +/- 3 kPa about the mean", INW_BASIS_FOUND},
	{"air_density", "Density of moist air", "rho = p (1 + W) / (287.042 T (1 + 1.607858 W))",
	 "ideal gas law for moist air, ASHRAE Fundamentals 2017, ch. 1 (checked against its worked values)",
	 "-50 to 100 degC near atmospheric pressure", "real-gas effects, below 0.1 % here", INW_BASIS_FOUND},
	{"air_viscosity", "Viscosity of air", "mu = 1.458e-6 T^1.5 / (T + 110.4)",
	 "Sutherland's law with the constants of the US Standard Atmosphere 1976", "200 to 600 K",
	 "humidity, about 1 % at most here", INW_BASIS_FOUND},
	{"air_conductivity", "Heat conductivity of air", "k = 2.64638e-3 T^1.5 / (T + 245.4 * 10^(-12/T))",
	 "US Standard Atmosphere 1976", "200 to 600 K", "humidity", INW_BASIS_FOUND},
	{"air_heat_capacity", "Heat capacity of moist air", "cp = (1006 + 1860 W) / (1 + W)",
	 "memory: the usual rounded values for dry air and vapour", "0 to 100 degC",
	 "its change with temperature, below 0.5 %", INW_BASIS_MEMORY},
	{"saturation", "Saturation pressure of water vapour", "ln p = sum of c_i T^i (i = -1..4) + c ln T",
	 "Hyland & Wexler 1983, coefficients recalled; agrees within 0.03 % with ASHRAE Fundamentals 2017, ch. 1, table 3",
	 "-100 to 200 degC", "the enhancement by the air, 0.5 %", INW_BASIS_MEMORY},
	{"humidity_ratio", "Water carried by air", "W = 0.621945 p_v / (p - p_v)", "ASHRAE Fundamentals 2017, ch. 1",
	 "vapour pressure below air pressure", "real-gas effects", INW_BASIS_FOUND},
	{"dew_point", "Dew point", "p_sat(T_dew) = p_v; against the wall, T_wall = T_air - U/h_in (T_air - T_room)",
	 "inverse of the saturation law; checked against ASHRAE Fundamentals 2017, ch. 1, example 1", "-100 to 200 degC",
	 "surfaces that hold water before it condenses", INW_BASIS_DERIVED},
	/* ---- openings, ducts, media ---- */
	{"stack", "Pressure difference from density and height", "dp(z) = dp(0) - (rho_room - rho_box) g z",
	 "hydrostatics; the worked value rho 1.315 / 1.191 kg/m3 over 8 m = 9.72 Pa is in an open course text on building "
	 "ventilation (dm4bem, tutorial A05)",
	 "air at rest inside the box and beyond the gap", "layering: the box is taken as one temperature",
	 INW_BASIS_DERIVED},
	{"crack", "Flow through a long narrow crack",
	 "dp = 12 mu z Q / (L d^3) + rho (1.5 + bends) Q^2 / (2 d^2 L^2)",
	 "Baker, Sharples & Ward 1987, Building and Environment 22:293-304, as recalled (paper not read)",
	 "cracks much longer than wide; depth more than a few widths", "roughness, a width that varies along the crack",
	 INW_BASIS_MEMORY},
	{"hole", "Flow through a sharp round hole", "dp = 3 mu Q / a^3 + rho Q^2 / (2 Cd^2 A^2), a = radius",
	 "orifice equation, BS 5925:1991 cl. 9 eq. (2) as amended 1995; creeping term of Sampson from memory",
	 "walls thinner than the hole is wide", "short-tube recovery of thick walls", INW_BASIS_MEMORY},
	{"slot", "Flow through a sharp slot", "dp = 32 mu Q / (pi L d^2) + rho Q^2 / (2 Cd^2 L^2 d^2), d = gap",
	 "orifice equation, BS 5925:1991 cl. 9 eq. (2) as amended 1995; creeping term of Hasimoto from memory",
	 "walls thinner than the slot is wide", "short-tube recovery of thick walls", INW_BASIS_MEMORY},
	{"tall_opening", "Flow both ways through a tall opening",
	 "m = integral over height of Cd w sqrt(2 rho |dp(z)|), each sign of dp(z) for itself",
	 "orifice equation (BS 5925:1991 cl. 9) over the height; gives Brown & Solvason 1962 when no net air flows "
	 "(their equation recalled)",
	 "upright openings; air at rest on both sides", "mixing between the two streams", INW_BASIS_DERIVED},
	{"power_law", "Measured leak", "Q = C dp^n, corrected to the density and viscosity of this air",
	 "ISO 9972 / ASTM E779 form; exponent between 0.5 and 1. The correction is recalled, the standards' full text was not "
	 "read",
	 "pressures as they were measured; straightened to a line near zero", "that C and n change below the measured range",
	 INW_BASIS_MEMORY},
	{"series", "Resistances one after the other", "dp = sum of (lin_i mu Q + quad_i rho Q^2)",
	 "addition of losses at one flow", "any", "that a fitting close behind another loses more or less than alone",
	 INW_BASIS_DERIVED},
	{"duct_friction", "Friction in a duct",
	 "dp = f (L/D) rho v^2 / 2, 1/sqrt(f) = -2 log10(e/(3.7 D) + 2.51/(Re sqrt(f))), f = 64/Re below Re 2300",
	 "Darcy-Weisbach and Colebrook, Cengel & Cimbala, Fluid Mechanics, ch. 8; the join from Re 2300 to 4000 is ours",
	 "Re up to 1e8, relative roughness up to 0.05", "a hose's folds beyond the stretch factor given", INW_BASIS_FOUND},
	{"fitting", "Loss of a bend, entry or exit", "dp = (K + K1/Re) rho v^2 / 2",
	 "two-K form, memory; K of each fitting as its record says", "one fitting at a time",
	 "interference of neighbouring fittings", INW_BASIS_MEMORY},
	{"screen", "Loss of a screen or perforated plate", "dp = K(open area) rho v^2 / 2, ln K interpolated in a table",
	 "Blevins 1984, table of perforated plates and square screens, as reprinted in an open fluids library",
	 "open area 5 to 100 %", "Reynolds number; granules that cover the holes", INW_BASIS_FOUND},
	{"medium_resistance", "Resistance of a fibrous filter medium",
	 "dp = dp_rated (v / v_rated) (mu / mu_rated) loading; through a day loading grows by K2 (M/A) v_rated/dp_rated, "
	 "K2 = 180 mu (1-e)/(e^3 d^2 rho Cc)",
	 "Darcy's law through the rated point; common in the trade, source not read; dust on it as a cake: Kozeny-Carman, recalled, "
	 "named for this by Berry et al. 2023, J. Aerosol Sci. 167:106078", "creeping flow between fibres; solid dust",
	 "pleats that touch; the frame, unless its area is given; dust in the depth of the sheet, which resists less",
	 INW_BASIS_MEMORY},
	{"bed_resistance", "Resistance of a bed of granules",
	 "dp/L = 150 mu (1-e)^2 v / (e^3 d^2) + 1.75 rho (1-e) v^2 / (e^3 d), with a wall term for narrow beds",
	 "Ergun 1952 (reprinted in lists of packed-bed laws, which were read); wall term Eisfeld & Schnitzlein 2001, recalled",
	 "Re/(1-e) 1 to 4000; published beds scatter by about 30 %, and one published line for such carbon is up to 2.2 times "
	 "higher",
	 "fines and dust in the bed", INW_BASIS_MEMORY},
	{"flap", "Flap that shares the flow between two ports",
	 "g = 1/sqrt(K(angle)), K from 0.24 at 5 deg to 751 at 70 deg; the other port at 90 deg - angle",
	 "Weisbach-type table of a butterfly blade, memory; that ln K is straight in the angle: Legg, Building Services "
	 "Engineering Research and Technology 7(4) 1986, abstract",
	 "5 to 70 deg; beyond that carried on to the seat leak", "jets from the blade into a bend close behind",
	 INW_BASIS_MEMORY},
	{"blower", "Pressure a blower makes",
	 "p = (rho/rho_0) n^2 p_0(Q/n), p_0 a monotone cubic through the measured points",
	 "fan laws, checked on Abulencia & Theodore, examples 17.1 and 17.2; interpolation Fritsch & Carlson 1980, recalled",
	 "the measured range of flow and half to full speed",
	 "losses at the blower's own inlet and outlet when ducts crowd it", INW_BASIS_FOUND},
	{"blower_power", "Electric power of a blower", "P = P_idle + (P_rated - P_idle) n^3",
	 "fan laws with a floor for the electronics; that small fans need the floor is seen in published datasheets, its form is "
	 "ours",
	 "half to full speed", "how power changes with flow at one speed", INW_BASIS_DERIVED},
	{"stall_margin", "Distance from the blower's unsteady range", "margin = Q / Q_peak - 1",
	 "common practice: stay on the falling side of the curve", "blowers whose curve has a peak", "the system's own storage",
	 INW_BASIS_PRACTICE},
	{"cleaner_pressure", "Pressure in the cleaner against the room around it",
	 "dp = p_room(z) - p(z), p before a stage = p behind it + what the stage takes - what the blower adds",
	 "addition of pressures along the chain, hydrostatics", "joints of housing and ducts; all stages at the height of the inlet",
	 "the few Pa that the speed of the air in a duct takes off", INW_BASIS_DERIVED},
	{"opening_velocity", "Mean velocity of air through a gap", "v = Q / A", "definition", "any",
	 "that the speed varies over the gap", INW_BASIS_DERIVED},
	{"room_pressure", "Pressure of a room against outdoors", "air in = air out through its leaks, C dp^n, and its doorways",
	 "conservation of mass with the leakage law ISO 9972 / ASTM E779 (recalled)", "steady weather and doors",
	 "wind, unless a gust allowance is given", INW_BASIS_DERIVED},
	/* ---- balances ---- */
	{"mass_balance", "Balance of air", "sum of mass flows into every place = 0",
	 "conservation of mass; all pressures are solved for at once", "steady state", "storage while pressures change",
	 INW_BASIS_DERIVED},
	{"heat_balance", "Balance of heat", "sum of heat into the box air, each panel and the plate = 0",
	 "conservation of energy; solved together with the air; what warms up is in `inward day`", "steady state",
	 "layering inside the box",
	 INW_BASIS_DERIVED},
	{"room_balance", "Concentration in the rooms", "V dC/dt = G - Q C + flows from and to other rooms",
	 "well-mixed rooms, conservation of mass", "rooms stirred within minutes",
	 "higher concentration close to the box; take-up by walls and cloth", INW_BASIS_DERIVED},
	{"time_mean", "Mean over a time of the day", "C_mean = integral of C dt / time", "definition of the limits' averaging",
	 "jobs and stays as written", "days that differ", INW_BASIS_DERIVED},
	{"mixture_rule", "Several substances that act alike", "E = C1/L1 + C2/L2 + ... <= 1",
	 "29 CFR 1910.1000(d)(2)(i)", "substances with the same kind of effect", "effects that multiply", INW_BASIS_FOUND},
	{"purge", "Time until the door may be opened", "t = ln(C_start / C_end) / (removal rate)",
	 "CDC 2003, Guidelines for Environmental Infection Control in Health-Care Facilities, App. B, table B.1",
	 "well-mixed air, no source left", "corners that mix slowly; parts that go on giving off fume", INW_BASIS_FOUND},
	{"near_zone", "Air close by the box, where somebody works", "C = (beta C_room + G) / (beta + q), beta = pi r^2 s",
	 "two-zone model, Nicas 1996, Am Ind Hyg Assoc J 57:542; Keil, Simmons & Anthony 2009, AIHA (both recalled); q is ours",
	 "a half sphere of arm's length; changes over minutes", "draughts, the warm air that rises, where in it the face is", INW_BASIS_MEMORY},
	{"bypass_series", "Filter with a leak beside it", "P = (1 - x) P_filter + x, x = share of the flow past the seal",
	 "conservation of the particles; gaps remove almost none, Ward & Siegel 2005 (abstract)", "particles and vapours alike",
	 "take-up inside the gap", INW_BASIS_DERIVED},
	{"residence_time", "Time the air spends in the bed", "t = (area * depth) / Q, of the empty bed",
	 "definition, empty-bed convention", "flow spread evenly", "channels along the wall", INW_BASIS_DERIVED},
	{"exhaust_share", "Share of the flow that is sent out", "share = Q_exhaust / (Q_exhaust + Q_return)", "definition", "any",
	 "nothing", INW_BASIS_DERIVED},
	{"lfl", "Vapour against its lower flammable limit", "fraction = sum over the gases of C_box / LFL",
	 "Le Chatelier's rule for mixtures, memory; a quarter of the LFL as the ceiling: NFPA 33 ch. 7 (excerpt)", "vapour mixed through the box",
	 "richer pockets at the source; LFL falls as air warms", INW_BASIS_MEMORY},
	{"heating_power", "Heat that the exhaust takes from the room", "P = m cp (T_room - T_outdoors)",
	 "balance of heat of the air that replaces what is sent out", "steady state", "heat given back by the box itself",
	 INW_BASIS_DERIVED},
	{"emission", "What the process gives off", "G = rate per time, or rate per mass of material * material per time",
	 "chamber studies as each record cites; published rates differ by factors of ten to a hundred",
	 "the process and temperature studied", "bursts at start-up and accidents", INW_BASIS_DERIVED},
	{"electric_power", "Electric power of the air system", "P = blower + machine + hot plate + heater", "addition", "steady state",
	 "supply losses", INW_BASIS_DERIVED},
	/* ---- heat ---- */
	{"natural_convection", "Heat carried by air that rises by itself",
	 "upright Nu = {0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27)}^2; level, warm face up 0.54 Ra^(1/4) or "
	 "0.15 Ra^(1/3), warm face down 0.27 Ra^(1/4)",
	 "Churchill & Chu 1975 and McAdams / Lloyd & Moran, as in Incropera et al., ch. 9, examples 9.2 and 9.3",
	 "Ra 1e4 to 1e11 for level plates", "neighbouring walls; stirring is added by its own law", INW_BASIS_FOUND},
	{"forced_convection", "Heat carried by air that is blown along", "Nu = 0.664 Re^(1/2) Pr^(1/3) up to Re 5e5",
	 "laminar flat plate, memory (Incropera et al., ch. 7)", "even flow along a flat plate",
	 "turbulence of a blower's jet, which carries more", INW_BASIS_MEMORY},
	{"mixed_convection", "Rising and blown air together", "h = (h_n^3 + h_f^3)^(1/3)",
	 "memory: Churchill's blending with exponent 3 (Incropera et al., ch. 9)", "streams that help or cross each other",
	 "opposed streams", INW_BASIS_MEMORY},
	{"radiation", "Heat by radiation", "q = e sigma (Ts^4 - Tr^4)",
	 "Stefan-Boltzmann law, CODATA 2018 constant; Incropera et al., ch. 1, example 1.2", "grey surfaces, clear air",
	 "panels that let heat radiation through", INW_BASIS_FOUND},
	{"radiant_exchange", "Radiation among the panels inside the box",
	 "each panel to one common radiant temperature, with Carroll's correction for its share of the area",
	 "Carroll 1980, recalled", "closed convex boxes", "that the plate sees some panels more than others",
	 INW_BASIS_MEMORY},
	{"sheet", "Heat through a panel", "q = (T_in - T_out) / (sum of thickness/conductivity)",
	 "Fourier's law, layers in series; checked on Hundy, Trott & Welch, example 23.1", "flat panels",
	 "edges, screws, frames", INW_BASIS_FOUND},
	{"duct_heat", "Heat lost by a duct", "T_end = T_room + (T_start - T_room) exp(-U' L / (m cp))",
	 "balance along the duct; inside Dittus-Boelter or Nu 3.66, outside Churchill & Chu 1975 for a cylinder, recalled",
	 "round ducts in still air", "bends and folds", INW_BASIS_MEMORY},
	/* ---- vapours and particles ---- */
	{"vapour_pressure", "Vapour pressure of a substance",
	 "ln p = c0 + c1/T + c2 ln T + c3 T^c4, or log10 p = A - B/(T + C), or one point carried by its heat of vaporisation",
	 "coefficients as each substance's record cites (Perry's Handbook, table 2-8, among them)",
	 "the temperatures each record was fitted for", "mixtures", INW_BASIS_FOUND},
	{"diffusivity", "Spreading of a vapour in air", "D = D25 (T / 298.15 K)^1.75 (101325 Pa / p)",
	 "Fuller, Schettler & Giddings 1966, exponent recalled", "0 to 100 degC", "humidity", INW_BASIS_MEMORY},
	{"molar_refraction", "Molar refraction", "Pe = (n^2 - 1)/(n^2 + 2) * M / rho", "Lorentz-Lorenz equation, memory",
	 "visible light, liquids", "nothing that matters here", INW_BASIS_MEMORY},
	{"dubinin_radushkevich", "How much vapour the carbon can hold",
	 "We = W0 d_L exp{-b' W0 Pe^-1.8 R^2 T^2 [ln(p/p_sat)]^2}",
	 "Wood 1994, Am. Ind. Hyg. Assoc. J. 55:11, form recalled; reproduces the OSHA respirator table made with it to 0.9 % rms",
	 "fitted at hundreds of ppm; below about 5 ppm it is carried on beyond its data",
	 "water vapour above half humidity, other vapours in the same pores", INW_BASIS_MEMORY},
	{"measured_isotherm", "How much vapour the carbon can hold, as measured",
	 "ln(p_sat/p) T = the same as at the measured point of that filling; between the points a monotone cubic in logarithms",
	 "the points of the carbon's 'measured'; Polanyi's potential theory, as in Dubinin 1960, Chem. Rev. 60:235 (recalled)",
	 "some tens of kelvin about the temperature of the points; below the first a straight line to zero, above the last no more than a twentieth above it",
	 "scatter of the points, other vapours in the same pores", INW_BASIS_MEMORY},
	{"affinity", "Affinity of a vapour for carbon", "beta = 0.0862 Pe^0.75, benzene = 1", "Wood 2001, recalled",
	 "organic vapours", "small polar molecules", INW_BASIS_MEMORY},
	{"rate_coefficient", "How fast the carbon takes it up",
	 "1/kv = (1/v + 0.027) (0.000825 + S/Pe), S = 0.063 - 0.0055 ln[(C0-Cx)/Cx]; or "
	 "kv = 800 beta^0.33 v^0.75 d^-1.5 sqrt(We/M); the slower, and never above the air film "
	 "in air mixed along the bed, 1/k = d^2/[(2 + 1.1 Sc^(1/3) Re^0.6) 6 (1-eps) D] + 0.5 d^2/(v d + 9.7 eps D)",
	 "Wood & Stampfer 1993, Lodewyckx & Vansant 2000, Wakao & Funazkri 1978, Edwards & Richardson 1968, all recalled; the first two differ by about "
	 "1.7 times, which is carried as range",
	 "fine cartridge carbons (first), taken to other granules by (1.1 mm/d)^1.5; 0.1 % breakthrough (second), its We read at "
	 "50 ppm at the least", "humidity", INW_BASIS_MEMORY},
	{"wheeler_jonas", "How long the carbon lasts",
	 "t = W/(sum of C0 Q/We) (1 - ln[(1-x)/x] Q/(kv V)): We W/(C0 Q) - We rho_B/(kv C0) ln[(C0-Cx)/Cx] for one gas",
	 "Wheeler-Jonas equation; roles of the terms in Lodewyckx, Wood, Ryu 2004, Carbon 42:1351 (abstract), form recalled",
	 "steady inlet, humidity up to 50 %; several vapours use one pore volume, each at its own rate (Lewis, recalled)",
	 "pauses, in which the vapour spreads; vapours that displace each other and are given back", INW_BASIS_MEMORY},
	{"initial_penetration", "Share that a fresh bed lets through", "P0 = exp(-kv V / Q)",
	 "first-order uptake along the bed (Wheeler-Jonas at time zero gives 1/(1 + exp(kv V/Q)), less for a thin bed)", "one pass, even flow",
	 "channels along the wall", INW_BASIS_DERIVED},
	{"gas_removal", "Share of a vapour removed in one pass", "removal = 1 - [(1 - x) exp(-kv V/Q) + x]",
	 "first-order uptake with the leak past the seal", "fresh carbon", "ageing, humidity", INW_BASIS_DERIVED},
	{"mean_free_path", "Mean free path of air", "l = 0.066 um (101325/p) (T/293.15) (1 + 110.4/293.15)/(1 + 110.4/T)",
	 "0.066 um from Hinds 1999; its change by Willeke 1976, J. Aerosol Sci. 7:381, memory", "near atmospheric pressure", "humidity",
	 INW_BASIS_MEMORY},
	{"slip", "Slip of small particles", "Cc = 1 + (l/d) [2.34 + 1.05 exp(-0.39 d/l)]",
	 "Allen & Raabe 1985 as in Hinds 1999 (constants read in a reprint)", "all sizes", "shapes other than spheres",
	 INW_BASIS_FOUND},
	{"particle_diffusivity", "Spreading of particles", "D = k T Cc / (3 pi mu d)",
	 "Stokes-Einstein with slip, Hinds 1999 (values at 0.001 and 0.01 um recalled)", "spheres", "charge",
	 INW_BASIS_MEMORY},
	{"settling", "Settling of particles", "v = rho d^2 g Cc / (18 mu)", "Stokes's law with slip, Hinds 1999, recalled",
	 "below about 50 um", "shapes other than spheres", INW_BASIS_MEMORY},
	{"medium_penetration", "What a filter medium lets through, by size, speed and temperature",
	 "ln P = ln P_rated E(d, v, T) / E(d_rated, v_rated, T_rated), E = 1.6 [(1-a)/Ku]^(1/3) Pe^(-2/3) + 0.6 (1-a)/Ku "
	 "R^2/(1+R) + Stk J/(2 Ku^2) of the fibre whose worst size is d_rated; judged at the size that passes best",
	 "single-fibre theory, Lee & Liu 1982 with impaction as in Hinds 1999, both recalled; that the class sets the level and "
	 "theory the rest is ours; where no fibre fits, ln P = ln P_rated (v/v_rated)^(-4/9), Lee & Liu 1980, recalled",
	 "glass-fibre media within about four times of the rated velocity; slower counts as a quarter of it",
	 "charged media, which lose efficiency with age; oily fume; that dust on it filters too", INW_BASIS_MEMORY},
	{"deposition", "Particles that stick to walls",
	 "rate = (v_wall A_wall + v_floor A_floor + v_ceiling A_ceiling) / V",
	 "Lai & Nazaroff 2000, balance read in a restatement, velocities recalled", "smooth surfaces, stirred air",
	 "charge; rough or furnished rooms, measured up to 2.6 times higher", INW_BASIS_MEMORY},
	/* ---- sound ---- */
	{"sound_power", "Sound made by a blower", "Lw = 40 + 10 log10 Q + 20 log10 p",
	 "estimate printed by an engineering reference page (fan noise), Q in m3/s, p in Pa", "blowers near their best point",
	 "tones, bearings, whine of electronics", INW_BASIS_FOUND},
	{"sound_speed", "Sound at another speed", "dL = 55 log10(n2/n1)",
	 "slope of published small-fan datasheets (51 to 56 over their speeds)", "half to full speed",
	 "resonances", INW_BASIS_DERIVED},
	{"sound_distance", "Sound at a distance in a room", "Lp = Lw + 10 log10[1/(4 pi r^2) + 4/R], R = S a/(1 - a)",
	 "direct and reverberant field, memory; its free-field part Lp = Lw - 20 log10 r - 11 was read",
	 "one room, source in its middle", "doors and walls between source and ear; the box's own damping",
	 INW_BASIS_MEMORY},
};

size_t inw_judge__law_count(void)
{
	return INW_COUNT(laws);
}

const struct inw_law *inw_judge__law_at(size_t index)
{
	return index < INW_COUNT(laws) ? &laws[index] : NULL;
}

const struct inw_law *inw_law_find(const char *key)
{
	for (size_t i = 0; key && i < INW_COUNT(laws); i++)
		if (strcmp(laws[i].key, key) == 0)
			return &laws[i];
	return NULL;
}
