/* SPDX-License-Identifier: MIT */
/* guard.h: what the headers of a request must say. Pure functions on texts; a text that is not there is NULL.
 *
 * Why a page of somebody else cannot use this server: its name would have to stand in Host (a name that was made to lead
 * here does, but only a numeric address is taken), its address in Origin, and its scripts cannot send JSON elsewhere without
 * being asked first, which is never answered. Ownership: nothing is kept.
 */
#ifndef INW_SERVE_GUARD_H
#define INW_SERVE_GUARD_H

#include <stdbool.h>
#include <stddef.h>

/* The end of a connection that is ours. */
struct serve_end {
	char address[64];    /* numeric, as inet_ntop writes it: "127.0.0.1", "::1" */
	unsigned port;
	bool loopback;
};

/* Host must be that address, or "localhost" on loopback, with the port (80 when it names none). */
bool serve_host_fits(const char *host, const struct serve_end *end);
/* Origin, where one is sent, must be "http://" and Host. */
bool serve_origin_fits(const char *origin, const char *host);
/* "application/json", with no other charset than UTF-8. */
bool serve_is_json(const char *content_type);
/* "Bearer " and the token; takes as long for a wrong one as for the right one. */
bool serve_bears(const char *authorization, const char *token);
/* A token is 16 to 128 letters, digits, '-', '_'. */
bool serve_token_fits(const char *token);
/* "127...." or "::1". */
bool serve_is_loopback(const char *address);

#endif
