/* SPDX-License-Identifier: MIT */
/* units.h: the one table of units. Factors are exact or derived in code from exact ones. Not udunits: see doc/decisions. */
#ifndef INW_UNITS_H
#define INW_UNITS_H

#include "base/base.h"

/* "120 mm (100 mm .. 140 mm)" or "120 mm": value, low, high in SI (low = high = value without a range).
 * Returns 0, or -1 with a sentence in `why` (what was found, which units fit, the nearest right unit).
 * Locale-independent; refuses NaN, inf, hex, leftovers, a bare number where a unit is needed, a unit where none fits,
 * a range that does not hold its value. INW_DIM_CLOCK takes "22:30". INW_DIM_TEMPERATURE takes degC, degF, K. Never clamps. */
int inw_units_parse(const char *text, enum inw_dim dim, double *value, double *low, double *high, char *why, size_t why_size)
	__attribute__((warn_unused_result));
/* Name of the dimension in plain words ("a length"), and the list of units that fit ("mm, cm, m, in, ft"). */
const char *inw_units_dim_name(enum inw_dim dim);
const char *inw_units_fitting(enum inw_dim dim);
/* The suffix used in JSON names for the dimension in SI or the unit stated ("_Pa", "_m3s"). */
const char *inw_units_json_suffix(enum inw_dim dim);

/* One unit that numbers of a dimension are written in: from the magnitude `from` on (SI), or for zero when `usual`;
 * what is written is value * `by` - `less`. */
struct inw_shown_unit { enum inw_dim dim; enum inw_units system; double from, by, less; const char *name; bool usual; };
/* The nth, in the order of dimensions and magnitudes; false behind the last. */
bool inw_units_shown(size_t nth, struct inw_shown_unit *out);

#endif
