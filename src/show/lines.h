/* SPDX-License-Identifier: MIT */
/* lines.h: what text, JSON and picture share: words for our enums, numbers that may be missing, lines of 80 columns.
 *
 * Invariants: L1 no line is longer than INW_COLUMNS characters (a character is one UTF-8 code point; wide scripts count
 * as one, which is not what a terminal shows). L2 no control character of a name reaches the output, so a name in a
 * design file cannot move the reader's cursor.
 * Ownership: all additions go to the caller's inw_text; nothing is kept.
 */
#ifndef INW_LINES_H
#define INW_LINES_H

#include "base/base.h"

enum { INW_COLUMNS = 80, INW_CELL = 48 };

const char *inw_show__word(enum inw_word word);         /* "meets" */
const char *inw_show__word_meaning(enum inw_word word); /* one plain sentence */
int inw_show__word_rank(enum inw_word word);            /* 0 the worst .. 4; order of every list */
const char *inw_show__basis(enum inw_basis basis);      /* "read in the source" */
const char *inw_show__origin(enum inw_origin origin);   /* "written in the design file" */
enum inw_dim
inw_show__difference_dim(enum inw_dim dim); /* dimension of a difference: of two temperatures, of two clocks */
extern const char *const inw_show__disclaimer;

/* Width in characters of UTF-8 text. */
size_t inw_show__width(const char *s);
/* `text` with its control characters and broken UTF-8 replaced by '?'. Returns `out`, always terminated and valid. */
char *inw_show__plain(char *out, size_t size, const char *text);
/* Value with unit; "no number" for NaN and "without end" for infinity. Returns `out`. */
char *inw_show__number(char *out, size_t size, double value, enum inw_dim dim, enum inw_units units);
struct inw_bounded { double value; enum inw_bound bound; };
/* "more than 274 d" where that is all that is known, else the number; "29 degF of difference", which no reader is to take for a
 * temperature (K, of the metric units, is none to most). Returns `out`. */
char *inw_show__bounded(char *out, size_t size, struct inw_bounded b, enum inw_dim dim, enum inw_units units);
/* "0.3 Pa to 0.8 Pa", or the one value when both are the same. Returns `out`. */
char *inw_show__range(char *out, size_t size, const double low_high[2], enum inw_dim dim, enum inw_units units);

/* A text for one reader. */
struct inw_page {
	struct inw_text t;
	enum inw_units units;
	enum inw_detail detail; /* of the text report */
	bool unranged;          /* ranges were not worked out: say nothing of how sure a number is */
};

/* `head` as it stands, then the words of `text` with its numbers written out, wrapped; the following lines start with
 * `hang` spaces. */
void inw_show__wrap(struct inw_page *p, const char *head, int hang, const char *text);
/* The same with a format. */
void inw_show__wrapf(struct inw_page *p, const char *head, int hang, const char *format, ...)
	__attribute__((format(printf, 4, 5)));

/* A table: a name column, then right-aligned cells. Rows that do not fit beside their name put the name on a line of
 * its own; a table too wide even so is written as a list. */
struct inw_table {
	const void *context;
	const char *const *head; /* columns + 1 headings, the name's first */
	size_t rows, columns;
	const char *(*name)(const void *context, size_t row);
	void (*cell)(const void *context, size_t row, size_t column, char out[INW_CELL]);
};
void inw_show__table(struct inw_page *p, const struct inw_table *table, int indent);

#endif
