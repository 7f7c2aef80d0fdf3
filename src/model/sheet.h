/* SPDX-License-Identifier: MIT */
/* sheet.h: the medium of a particle stage as a design has it: what it lets through, and what is caught does to its
 * resistance. Numbers in, numbers out; nothing is kept. */
#ifndef INW_SHEET_H
#define INW_SHEET_H

#include "model/model.h"
#include "physics/fibre.h"

#define INW_DUST_M 1e-6 /* the size that room dust counts as (why: sheet.c) */

/* The air that goes through a stage: its velocity in the medium, and the share of the flow past the seal. */
struct inw_sheet_flow { double velocity_ms, past_seal; struct inw_aerosol air; };

/* The fibre that makes theory agree with the rating. Where none does (`least` is 0) all sizes pass as the worst one. */
struct inw_sized_medium inw_sheet_fit(const struct inw_medium *s, const struct inw_values *x);
/* Share of one size that gets by medium and seal together, 0 .. 1. */
double inw_sheet_pass(const struct inw_sized_medium *m, const struct inw_sheet_flow *flow, double diameter_m);
/* The same of the size that gets by best at this flow. */
double inw_sheet_worst_pass(const struct inw_sized_medium *m, const struct inw_sheet_flow *flow);

/* What a caught mass adds to the resistance, over that of the clean medium; it adds up over sizes and time. */
double inw_medium_growth(const struct inw_medium *s, const struct inw_values *x, double diameter_m, double caught_kg);
/* Give a stage of a built model this resistance over clean. */
void inw_medium_load(struct inw_model_stage *g, double ratio);

#endif
