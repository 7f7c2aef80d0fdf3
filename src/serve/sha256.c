/* SPDX-License-Identifier: MIT */
/* sha256.c: FIPS 180-4. Constants and functions: sections 4.1.2, 4.2.2; padding 5.1.1; first hash value 5.3.3; the
 * computation 6.2.2. */
#include "serve/sha256.h"

#include <stdint.h>
#include <string.h>

enum { BLOCK = 64, ROUNDS = 64, LENGTH_AT = 56 };

/* 4.2.2: first 32 bits of the fractional parts of the cube roots of the first 64 primes */
static const uint32_t K[ROUNDS] = {
	0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5, 0xd807aa98, 0x12835b01,
	0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174, 0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc,
	0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da, 0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147,
	0x06ca6351, 0x14292967, 0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
	0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070, 0x19a4c116, 0x1e376c08,
	0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3, 0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208,
	0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2,
};

static uint32_t right(uint32_t x, unsigned n)
{
	return x >> n | x << (32 - n);
}

static void schedule(const unsigned char *block, uint32_t w[ROUNDS])
{
	for (int t = 0; t < 16; t++)
		w[t] = (uint32_t)block[4 * t] << 24 | (uint32_t)block[4 * t + 1] << 16 | (uint32_t)block[4 * t + 2] << 8 |
		       block[4 * t + 3];
	for (int t = 16; t < ROUNDS; t++) {
		uint32_t s0 = right(w[t - 15], 7) ^ right(w[t - 15], 18) ^ w[t - 15] >> 3;
		uint32_t s1 = right(w[t - 2], 17) ^ right(w[t - 2], 19) ^ w[t - 2] >> 10;
		w[t] = s1 + w[t - 7] + s0 + w[t - 16];
	}
}

static void take_block(uint32_t h[8], const unsigned char *block)
{
	uint32_t w[ROUNDS], v[8];
	schedule(block, w);
	memcpy(v, h, sizeof v);
	for (int t = 0; t < ROUNDS; t++) {
		uint32_t S1 = right(v[4], 6) ^ right(v[4], 11) ^ right(v[4], 25), ch = (v[4] & v[5]) ^ (~v[4] & v[6]);
		uint32_t S0 = right(v[0], 2) ^ right(v[0], 13) ^ right(v[0], 22);
		uint32_t maj = (v[0] & v[1]) ^ (v[0] & v[2]) ^ (v[1] & v[2]), T1 = v[7] + S1 + ch + K[t] + w[t];
		memmove(v + 1, v, 7 * sizeof *v);
		v[4] += T1;
		v[0] = T1 + S0 + maj;
	}
	for (int i = 0; i < 8; i++)
		h[i] += v[i];
}

void serve_sha256(const void *bytes, size_t length, unsigned char hash[SERVE_HASH])
{
	uint32_t h[8] = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
	unsigned char last[2 * BLOCK] = {0};
	const unsigned char *p = bytes;
	size_t left = length;
	for (; left >= BLOCK; p += BLOCK, left -= BLOCK)
		take_block(h, p);
	if (left)
		memcpy(last, p, left);
	last[left] = 0x80;
	size_t blocks = left < LENGTH_AT ? 1 : 2;
	for (int i = 0; i < 8; i++)
		last[blocks * BLOCK - 1 - (size_t)i] = (unsigned char)((uint64_t)length * 8 >> 8 * i);
	for (size_t b = 0; b < blocks; b++)
		take_block(h, last + b * BLOCK);
	for (int i = 0; i < SERVE_HASH; i++)
		hash[i] = (unsigned char)(h[i / 4] >> (24 - 8 * (i % 4)));
}

void serve_hex(const unsigned char hash[SERVE_HASH], char hex[SERVE_HEX])
{
	for (int i = 0; i < SERVE_HASH; i++) {
		hex[2 * i] = "0123456789abcdef"[hash[i] >> 4];
		hex[2 * i + 1] = "0123456789abcdef"[hash[i] & 15];
	}
	hex[SERVE_HEX - 1] = '\0';
}
