/* SPDX-License-Identifier: MIT */
/* begin.h: from answers to the text of a design: what was said, the plan made of it, the text written of the plan.
 *
 * Invariants: B1 one table of questions; no answer is known by anything but its id there. B2 what nobody said is either left
 * out, so that the catalog's default with its range counts, or stands in the text with a remark that it is a guess or a size
 * to begin with. B3 the same answers give the same bytes.
 * Ownership: all in the arena of the questions or the one that is given.
 */
#ifndef INW_BEGIN_H
#define INW_BEGIN_H

#include "design/design.h"

/* Questions with the catalog that they were made of. */
struct inw_asking {
	struct inw_questions public;    /* first: what the outside holds */
	struct inw_catalog catalog;
	const struct inw_quantity *quantity;
};
enum inw_status inw_asking_open(struct inw_asking **out, struct inw_diags *diags) INW_MUST_CHECK;
/* Index of a question by its id; -1 when there is none. */
int inw_question_of(const struct inw_questions *q, const char *id);
/* The offer that a word means, by its own or another name; NULL when there is none. */
const struct inw_offer *inw_offer_of(const struct inw_question *q, const char *word, size_t length);
/* The next word of "a, b": its length (0 at the end); `*at` is moved to its front. */
size_t inw_answer_word(const char **at);

#endif
