/* SPDX-License-Identifier: MIT */
/* serve.h: the local server of one design file (doc/serve.md).
 *
 * Invariants: V1 nothing is answered before Host, Origin, token and rate are looked at. V2 a connection that does not
 * finish its request, or does not take its answer, is closed after a fixed time. V3 what requests hold in memory is bounded:
 * connections, headers, bodies, kept answers, studies.
 * Ownership: serve_stop frees the server; options are borrowed while it runs.
 */
#ifndef INW_SERVE_H
#define INW_SERVE_H

#include "inward/inward.h"

struct serve_options {
	const char *file;
	const char *address;   /* numeric */
	unsigned port;         /* 0: any free one */
	const char *token;     /* NULL: none is demanded; not NULL unless the address is loopback */
	unsigned rate;         /* requests a second from one address; 0: any number from loopback, 100 from others */
};

struct serve_server;

/* NULL with diagnostics. Signals should be blocked before: the threads inherit that. */
struct serve_server *serve_start(const struct serve_options *options, struct inw_diags *diags) INW_MUST_CHECK;
unsigned serve_port(const struct serve_server *s);
/* To be called about once a second: closes connections whose time is up. */
void serve_tick(struct serve_server *s);
/* Ends computations, closes connections, waits for the threads. Takes NULL. */
void serve_stop(struct serve_server *s);

/* 32 hexadecimal digits of the machine's random source; false when there is none. */
bool serve_new_token(char token[33]);

#endif
