/* SPDX-License-Identifier: MIT */
/* odds_file.c: what was sampled, on its way to a file and back: to the bit, for the same machine, design and options. */
#include <errno.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/whole_file.h"
#include "check/odds.h"
#include "solve/sample.h"

struct head { char magic[16]; uint64_t version, order, design, outputs, drivers, size, stored; };

/* All that the samples depend on: the inputs and their ranges, the options, and where the histograms stand. */
static uint64_t fingerprint(const struct inw_engine *e)
{
	uint64_t h = inw_hash(e->options->seed, (uint64_t)e->options->life << 2 | (uint64_t)e->options->independent << 1 | (uint64_t)e->options->day), bits;

	for (size_t q = 0; q < e->d->quantities; q++) {
		const double three[] = {e->d->quantity[q].value, e->d->quantity[q].low, e->d->quantity[q].high};
		for (size_t i = 0; i < INW_COUNT(three); i++) {
			memcpy(&bits, &three[i], sizeof bits);
			h = inw_hash(h, bits);
		}
	}
	for (int i = 0; i < e->plan.outputs; i++) {
		memcpy(&bits, &e->range[i].from, sizeof bits);
		h = inw_hash(h, bits);
		memcpy(&bits, &e->range[i].to, sizeof bits);
		h = inw_hash(h, bits);
	}
	for (const char *s = e->d->bytes; s && s < e->d->bytes + e->d->length; s++)
		h = inw_hash(h, (unsigned char)*s);
	return h;
}

static size_t stored_size(const struct inw_engine *e)
{
	return INW_ODDS_STORED * ((size_t)e->plan.outputs + INW_SIGHTS);
}

static struct head head_of(const struct inw_engine *e)
{
	return (struct head){"inward sampled\n", 3, 0x0102030405060708u, fingerprint(e), (uint64_t)e->plan.outputs, e->in.drivers, e->size, stored_size(e)};
}

enum inw_status inw_odds_keep(const struct inw_engine *e, const char *path, struct inw_diags *diags)
{
	struct head head = head_of(e);
	size_t one = (e->size + stored_size(e)) * sizeof(double), length = sizeof head + INW_ODDS_REPLICATES * one;
	char *bytes = malloc(length), *at = bytes;

	if (!bytes)
		return INW_NO_MEMORY;
	memcpy(at, &head, sizeof head);
	at += sizeof head;
	for (int i = 0; i < INW_ODDS_REPLICATES; i++, at += one) {
		memcpy(at, e->tally[i], e->size * sizeof(double));
		memcpy(at + e->size * sizeof(double), e->stored[i], stored_size(e) * sizeof(double));
	}
	enum inw_status s = inw_whole_file_write(path, bytes, length, diags);
	free(bytes);
	return s;
}

static enum inw_status take(struct inw_engine *e, FILE *f, const char *path, struct inw_diags *diags)
{
	struct head head, mine = head_of(e);

	if (fread(&head, sizeof head, 1, f) != 1 || memcmp(head.magic, mine.magic, sizeof head.magic) != 0 || head.order != mine.order) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "this is no file of samples that 'inward odds --keep' wrote on a machine like this one");
		return INW_BAD_INPUT;
	}
	if (memcmp(&head, &mine, sizeof head) != 0) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "these samples are of another design or catalog, or were drawn with another --seed, --day, --life or "
		             "--independent, or by another version of inward");
		return INW_BAD_INPUT;
	}
	for (int i = 0; i < INW_ODDS_REPLICATES; i++)
		if (fread(e->tally[i], sizeof(double), e->size, f) != e->size || fread(e->stored[i], sizeof(double), stored_size(e), f) != stored_size(e)
		    || !(e->tally[i][0] >= 0 && e->tally[i][0] < 0x1p40)) {
			inw_diag_add(diags, INW_ERROR, path, 0, 0, "the file of samples ends early or is damaged");
			return INW_BAD_INPUT;
		}
	return INW_OK;
}

enum inw_status inw_odds_resume(struct inw_engine *e, const char *path, struct inw_diags *diags)
{
	FILE *f = fopen(path, "rb");

	if (!f) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "cannot read it: %s", strerror(errno));
		return INW_IO;
	}
	enum inw_status s = take(e, f, path, diags);
	fclose(f);
	return s;
}
