/* SPDX-License-Identifier: MIT */
/* odds_file.c: what was sampled, on its way to a file and back: to the bit, for the same machine, design and options. */
#include <errno.h>
#include <inttypes.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/whole_file.h"
#include "check/odds.h"
#include "solve/sample.h"

/* `sum`: FNV-1a of all bytes of the file, itself as zero (G. Fowler, L. C. Noll, K.-P. Vo; draft-eastlake-fnv, memory). Each of
 * its steps can be undone, so that one damaged byte always changes it. */
struct head { char magic[16]; uint64_t version, order, sum, design, outputs, drivers, size, stored; };

static const uint64_t fnv_begin = 0xcbf29ce484222325u;

static uint64_t fnv(uint64_t h, const void *bytes, size_t n)
{
	const unsigned char *b = bytes;

	for (size_t i = 0; i < n; i++)
		h = (h ^ b[i]) * 0x100000001b3u;
	return h;
}

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
	return (struct head){"inward sampled\n", 4, 0x0102030405060708u, 0, fingerprint(e), (uint64_t)e->plan.outputs, e->in.drivers, e->size, stored_size(e)};
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
	head.sum = fnv(fnv_begin, bytes, length);
	memcpy(bytes, &head, sizeof head);
	enum inw_status s = inw_whole_file_write(path, bytes, length, diags);
	free(bytes);
	return s;
}

/* What the bytes of the file add up to, itself left out; it stands behind the head again afterwards. 0, or -1. */
static int sum_of(FILE *f, struct head head, uint64_t *sum)
{
	unsigned char piece[1 << 14];
	size_t n;

	head.sum = 0;
	*sum = fnv(fnv_begin, &head, sizeof head);
	while ((n = fread(piece, 1, sizeof piece, f)) > 0)
		*sum = fnv(*sum, piece, n);
	return ferror(f) || fseek(f, (long)sizeof head, SEEK_SET) ? -1 : 0;
}

static enum inw_status is_whole(FILE *f, const struct head *head, const char *path, struct inw_diags *diags)
{
	uint64_t sum;

	if (sum_of(f, *head, &sum)) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "cannot read it: %s", strerror(errno));
		return INW_IO;
	}
	if (sum == head->sum)
		return INW_OK;
	inw_diag_add(diags, INW_ERROR, path, 0, 0, "the file of samples ends early or is damaged: its checksum (FNV-1a) is to be %016" PRIx64 ", its bytes give %016" PRIx64, head->sum, sum);
	return INW_BAD_INPUT;
}

static enum inw_status take(struct inw_engine *e, FILE *f, const char *path, struct inw_diags *diags)
{
	struct head head, mine = head_of(e);

	if (fread(&head, sizeof head, 1, f) != 1 || memcmp(head.magic, mine.magic, sizeof head.magic) != 0 || head.order != mine.order) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "this is no file of samples that 'inward odds --keep' wrote on a machine like this one");
		return INW_BAD_INPUT;
	}
	if (head.version != mine.version) {
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "these samples were kept by another version of inward: found format %" PRIu64 ", expected %" PRIu64, head.version, mine.version);
		return INW_BAD_INPUT;
	}
	enum inw_status s = is_whole(f, &head, path, diags);
	if (s != INW_OK)
		return s;
	mine.sum = head.sum;
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
