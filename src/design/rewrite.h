/* SPDX-License-Identifier: MIT */
/* rewrite.h: another number at the place of a scalar in a design text. All else stays byte for byte: comments, layout, line
 * ends.
 *
 * Invariants: W1 the new text has the same YAML tokens as the old one but for the scalars that were replaced, and those say
 * what was wanted; a value that cannot be written so is refused. W2 the quotes of a scalar are kept; one that needs them
 * gets them.
 * Ownership: the caller's inw_text takes the new text; nothing is kept.
 */
#ifndef INW_REWRITE_H
#define INW_REWRITE_H

#include "base/base.h"

/* A place as a quantity has it, and what shall stand there: "12 mm (10 .. 14 mm)". */
struct inw_edit {
	int line, column;
	const char *value;
};

/* The text of a design, and its name in diagnostics. */
struct inw_rewritable {
	const char *name, *bytes;
	size_t length;
};

enum { INW_MOST_EDITS = 64 };

/* All edits at once, each at another scalar. INW_BAD_INPUT with diagnostics, or INW_NO_MEMORY. */
enum inw_status inw_rewrite(const struct inw_rewritable *text, const struct inw_edit *edit, size_t edits, struct inw_text *out,
                            struct inw_diags *diags) INW_MUST_CHECK;

/* What the scalar at a place says, without quotes, into `out`. INW_BAD_INPUT when none begins there or it does not fit. */
enum inw_status inw_rewrite_says(const struct inw_rewritable *text, int line, int column, char *out, size_t size)
	INW_MUST_CHECK;

/* Each scalar in the order of the text, in one walk: what it says (not terminated) and its place. With an anchor or a tag before
 * it a quantity may have the place of that: `before` is it, else the same place. INW_NO_MEMORY, or INW_BAD_INPUT at the end of what is YAML. */
struct inw_scalar { int line, column, line_before, column_before; const char *says; size_t length; };
enum inw_status inw_rewrite_each(const struct inw_rewritable *text, void (*visit)(void *context, const struct inw_scalar *s), void *context)
	INW_MUST_CHECK;

/* `value` (SI) in the unit that `old` is written in, without a range: "0.5 mm (0.3 .. 0.8 mm)" and 0.00025 give "0.25 mm".
 * Six significant digits. NULL when it cannot be written (not finite, not a whole minute for a clock time). */
char *inw_rewrite_number(char *out, size_t size, const char *old, enum inw_dim dim, double value);
/* The same with a range. */
char *inw_rewrite_range(char *out, size_t size, const char *old, enum inw_dim dim, const double value_low_high[3]);

#endif
