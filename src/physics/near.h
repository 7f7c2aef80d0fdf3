/* SPDX-License-Identifier: MIT */
/* near.h: the air close by a source, where whoever works at it breathes. Pure functions, SI. */
#ifndef INW_NEAR_H
#define INW_NEAR_H

/* Air that a half sphere of that radius exchanges with the room about it. */
double inw_near_exchange_m3s(double radius_m, double speed_ms);
double inw_near_volume_m3(double radius_m);
/* What its air holds in balance: the room's air comes in by exchange, the source brings its own air and matter with it. */
double inw_near_concentration(double room, double exchange, double source_air, double source);

#endif
