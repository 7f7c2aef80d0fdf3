/* SPDX-License-Identifier: MIT */
#include "serve/guard.h"

#include <arpa/inet.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

enum { HTTP_PORT = 80 };

bool serve_is_loopback(const char *address)
{
	struct in_addr four;
	struct in6_addr six;
	if (inet_pton(AF_INET, address, &four) == 1)
		return ntohl(four.s_addr) >> 24 == 127; /* RFC 1122, 3.2.1.3 */
	return inet_pton(AF_INET6, address, &six) == 1 && IN6_IS_ADDR_LOOPBACK(&six);
}

/* Digits only, no more than five, in 1 .. 65535; 0 else. */
static unsigned port_of(const char *s)
{
	unsigned port = 0;
	size_t n = strspn(s, "0123456789");
	if (n < 1 || n > 5 || s[n])
		return 0;
	while (*s)
		port = 10 * port + (unsigned)(*s++ - '0');
	return port > 65535 ? 0 : port;
}

/* Host in its two parts; the brackets of an IPv6 address are taken off. */
static bool split_host(const char *host, char *name, size_t size, unsigned *port)
{
	const char *from = host, *end = host[0] == '[' ? strchr(host, ']') : host + strcspn(host, ":");
	if (!end)
		return false;
	if (host[0] == '[')
		from++;
	const char *rest = host[0] == '[' ? end + 1 : end;
	if (end == from || (size_t)(end - from) >= size)
		return false;
	snprintf(name, size, "%.*s", (int)(end - from), from);
	*port = *rest == ':' ? port_of(rest + 1) : *rest ? 0 : HTTP_PORT;
	return *port != 0;
}

/* Two numeric addresses in whatever spelling. */
static bool same_address(const char *a, const char *b, bool brackets)
{
	unsigned char x[sizeof(struct in6_addr)], y[sizeof x];
	int family = brackets ? AF_INET6 : AF_INET;
	size_t n = brackets ? sizeof(struct in6_addr) : sizeof(struct in_addr);
	return inet_pton(family, a, x) == 1 && inet_pton(family, b, y) == 1 && memcmp(x, y, n) == 0;
}

bool serve_host_fits(const char *host, const struct serve_end *end)
{
	char name[64];
	unsigned port;
	if (!host || !split_host(host, name, sizeof name, &port) || port != end->port)
		return false;
	if (end->loopback && host[0] != '[' && strcasecmp(name, "localhost") == 0)
		return true;
	return same_address(name, end->address, host[0] == '[');
}

bool serve_origin_fits(const char *origin, const char *host)
{
	static const char scheme[] = "http://";
	if (!origin)
		return true;
	return host && strncasecmp(origin, scheme, sizeof scheme - 1) == 0 && strcasecmp(origin + sizeof scheme - 1, host) == 0;
}

bool serve_is_json(const char *content_type)
{
	static const char type[] = "application/json";
	if (!content_type || strncasecmp(content_type, type, sizeof type - 1))
		return false;
	const char *rest = content_type + sizeof type - 1;
	rest += strspn(rest, " \t");
	if (!*rest)
		return true;
	if (*rest++ != ';')
		return false;
	rest += strspn(rest, " \t");
	return strcasecmp(rest, "charset=utf-8") == 0 || strcasecmp(rest, "charset=\"utf-8\"") == 0;
}

bool serve_token_fits(const char *token)
{
	size_t n = strspn(token, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_");
	return n >= 16 && n <= 128 && !token[n];
}

bool serve_bears(const char *authorization, const char *token)
{
	static const char scheme[] = "Bearer ";
	if (!authorization || strncasecmp(authorization, scheme, sizeof scheme - 1))
		return false;
	const char *given = authorization + sizeof scheme - 1;
	size_t n = strlen(token), given_length = strlen(given);
	unsigned char differ = given_length != n;
	for (size_t i = 0; i < n; i++) /* over the token's own length, whatever was given */
		differ |= (unsigned char)(token[i] ^ (i < given_length ? given[i] : 0));
	return !differ;
}
