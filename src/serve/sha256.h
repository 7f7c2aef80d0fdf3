/* SPDX-License-Identifier: MIT */
/* sha256.h: the name of a text by its content (FIPS 180-4, section 6.2). Ownership: nothing is kept. */
#ifndef INW_SERVE_SHA256_H
#define INW_SERVE_SHA256_H

#include <stddef.h>

enum { SERVE_HASH = 32, SERVE_HEX = 2 * SERVE_HASH + 1 };

void serve_sha256(const void *bytes, size_t length, unsigned char hash[SERVE_HASH]);
void serve_hex(const unsigned char hash[SERVE_HASH], char hex[SERVE_HEX]);

#endif
