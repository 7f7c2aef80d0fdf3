/* SPDX-License-Identifier: MIT */
/* load.c: so many connections that ask one path of a local HTTP server over and over; prints answers a second.
 * usage: load PORT PATH CONNECTIONS SECONDS [BODY_FILE ...]   (with bodies: POST of JSON, each in its turn)
 * Any answer but 200 ends it with status 1. */
#include <arpa/inet.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

struct load {
	unsigned short port;
	double until_s;
	char **request;
	size_t *length, requests;
	atomic_size_t next, answers, failures;
};

static double now_s(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int dial(unsigned short port)
{
	struct sockaddr_in a = {.sin_family = AF_INET, .sin_port = htons(port), .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
	int fd = socket(AF_INET, SOCK_STREAM, 0);
	return fd >= 0 && connect(fd, (struct sockaddr *)&a, sizeof a) == 0 ? fd : -1;
}

/* One answer with Content-Length read to its end; -1 for any other. */
static int take_answer(int fd)
{
	char head[65536];
	size_t n = 0;
	for (;;) {
		ssize_t got = recv(fd, head + n, sizeof head - 1 - n, 0);
		if (got <= 0)
			return -1;
		n += (size_t)got;
		head[n] = '\0';
		const char *end = strstr(head, "\r\n\r\n"), *length = strstr(head, "Content-Length: ");
		if (!end && n < sizeof head - 1)
			continue;
		if (!end || !length || length > end || strncmp(head, "HTTP/1.1 200", 12))
			return -1;
		size_t left = strtoul(length + 16, NULL, 10), have = n - (size_t)(end + 4 - head);
		while (have < left) {
			got = recv(fd, head, sizeof head, 0);
			if (got <= 0)
				return -1;
			have += (size_t)got;
		}
		return 0;
	}
}

static void *client(void *context)
{
	struct load *l = context;
	int fd = dial(l->port);
	while (fd >= 0 && now_s() < l->until_s) {
		size_t i = atomic_fetch_add(&l->next, 1) % l->requests;
		if (send(fd, l->request[i], l->length[i], MSG_NOSIGNAL) != (ssize_t)l->length[i] || take_answer(fd)) {
			atomic_fetch_add(&l->failures, 1);
			break;
		}
		atomic_fetch_add(&l->answers, 1);
	}
	if (fd < 0)
		atomic_fetch_add(&l->failures, 1);
	else
		close(fd);
	return NULL;
}

static char *slurp(const char *path, size_t *length)
{
	FILE *f = fopen(path, "rb");
	char *s = malloc(1 << 22);
	if (!f || !s)
		exit(2);
	*length = fread(s, 1, 1 << 22, f);
	fclose(f);
	return s;
}

static void make_request(struct load *l, size_t i, const char *path, const char *file)
{
	size_t length = 0;
	char *body = file ? slurp(file, &length) : NULL;
	l->request[i] = malloc(length + 512 + strlen(path));
	if (!l->request[i])
		exit(2);
	int n = body ? sprintf(l->request[i], "POST %s HTTP/1.1\r\nHost: 127.0.0.1:%u\r\nContent-Type: application/json\r\nContent-Length: %zu\r\n\r\n", path, l->port, length)
	             : sprintf(l->request[i], "GET %s HTTP/1.1\r\nHost: 127.0.0.1:%u\r\n\r\n", path, l->port);
	if (body)
		memcpy(l->request[i] + n, body, length);
	l->length[i] = (size_t)n + length;
	free(body);
}

int main(int argc, char **argv)
{
	if (argc < 5)
		return 2;
	struct load l = {.port = (unsigned short)atoi(argv[1]), .requests = argc > 5 ? (size_t)argc - 5 : 1};
	int connections = atoi(argv[3]);
	double seconds = atof(argv[4]);
	pthread_t *t = calloc((size_t)connections, sizeof *t);
	l.request = calloc(l.requests, sizeof *l.request);
	l.length = calloc(l.requests, sizeof *l.length);
	if (!t || !l.request || !l.length)
		return 2;
	for (size_t i = 0; i < l.requests; i++)
		make_request(&l, i, argv[2], argc > 5 ? argv[5 + i] : NULL);
	double began = now_s();
	l.until_s = began + seconds;
	for (int i = 0; i < connections; i++)
		pthread_create(&t[i], NULL, client, &l);
	for (int i = 0; i < connections; i++)
		pthread_join(t[i], NULL);
	printf("%.6g answers a second, %zu failures\n", (double)atomic_load(&l.answers) / (now_s() - began), atomic_load(&l.failures));
	for (size_t i = 0; i < l.requests; i++)
		free(l.request[i]);
	free(l.request);
	free(l.length);
	free(t);
	return atomic_load(&l.failures) != 0;
}
