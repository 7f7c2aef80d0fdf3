/* SPDX-License-Identifier: MIT */
/* sentence.h: numbers inside sentences stay SI until the sentence is shown.
 *
 * A sentence holds numbers as `{{dim|value}}`; inw_sentence writes them out in the reader's units. So one report serves
 * metric and US readers, text and JSON, and no number is rounded twice.
 */
#ifndef INW_SENTENCE_H
#define INW_SENTENCE_H

#include "base/base.h"

#define INW_N "{{%d|%.17g}}"
#define INW_V(dim, value) (int)(dim), (double)(value)

/* Append the sentence with its numbers written out. */
void inw_sentence(struct inw_text *out, const char *sentence, enum inw_units units);

#endif
