/* SPDX-License-Identifier: MIT */
/* http.c: the socket's side, on libmicrohttpd: a thread for each connection, so that a long computation holds up nobody
 * else (doc/decisions). What is answered is in api.c. */
#include <errno.h>
#include <arpa/inet.h>
#include <microhttpd.h>
#include <netdb.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

#include "serve/api.h"
#include "serve/files.h"
#include "serve/guard.h"
#include "serve/rate.h"
#include "serve/serve.h"

enum {
	MOST_CONNECTIONS = 256,
	MOST_OF_ONE = 64,              /* of one address that is not this computer */
	IDLE_S = 10, REQUEST_S = 20, REPLY_S = 60,
	HEADER_BYTES = 24 << 10,       /* of a request, and of its answer's own head */
	MOST_BODY = 3 << 20,           /* a text of 1 MiB with every line end and quote escaped, and more */
	MOST_BODIES = 24 << 20,        /* of all requests at one time */
	STACK_BYTES = 1 << 20,
	REMOTE_RATE = 100
};

/* ---- what there is ----------------------------------------------------------------------------------------------- */

enum phase { PHASE_REQUEST, PHASE_WORK, PHASE_REPLY };

struct connection {
	struct connection *next, *before;
	int fd;
	enum phase phase;
	double since_s;
	bool shut;
};

struct serve_server {
	const struct serve_options *options;
	struct MHD_Daemon *daemon;
	struct serve_desk desk;
	struct serve_rate rate;
	bool has_rate;
	unsigned port;
	pthread_mutex_t lock;          /* of the list of connections */
	struct connection *first;
	atomic_bool stopping;
	atomic_size_t bodies;          /* bytes of bodies held */
};

/* One request, from its head to the end of its answer. */
struct exchange {
	struct serve_server *s;
	struct MHD_Connection *c;
	struct connection *of;
	char *body;
	size_t length, capacity;
	bool post;
	char client[SERVE_CLIENT];
};

static double now_s(void)
{
	struct timespec t;
	return clock_gettime(CLOCK_MONOTONIC, &t) ? 0 : (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* ---- connections and their time ---------------------------------------------------------------------------------- */

static void enter_phase(struct serve_server *s, struct connection *c, enum phase phase)
{
	if (!c)
		return;
	pthread_mutex_lock(&s->lock);
	c->phase = phase;
	c->since_s = now_s();
	pthread_mutex_unlock(&s->lock);
}

static void open_connection(struct serve_server *s, struct MHD_Connection *c, void **socket_context)
{
	const union MHD_ConnectionInfo *fd = MHD_get_connection_info(c, MHD_CONNECTION_INFO_CONNECTION_FD);
	struct connection *k = calloc(1, sizeof *k);
	if (!k)
		return; /* without a deadline of ours; the library's remains */
	*k = (struct connection){.fd = fd ? fd->connect_fd : -1, .since_s = now_s()};
	pthread_mutex_lock(&s->lock);
	k->next = s->first;
	if (s->first)
		s->first->before = k;
	s->first = k;
	pthread_mutex_unlock(&s->lock);
	*socket_context = k;
}

static void close_connection(struct serve_server *s, struct connection *k)
{
	if (!k)
		return;
	pthread_mutex_lock(&s->lock);
	if (k->before)
		k->before->next = k->next;
	else
		s->first = k->next;
	if (k->next)
		k->next->before = k->before;
	pthread_mutex_unlock(&s->lock);
	free(k);
}

static void on_connection(void *context, struct MHD_Connection *c, void **socket_context, enum MHD_ConnectionNotificationCode what)
{
	if (what == MHD_CONNECTION_NOTIFY_STARTED)
		open_connection(context, c, socket_context);
	else
		close_connection(context, *socket_context);
}

/* The library closes the socket only after it has said so, hence the number is still ours here. */
void serve_tick(struct serve_server *s)
{
	double now = now_s();
	pthread_mutex_lock(&s->lock);
	for (struct connection *k = s->first; k; k = k->next) {
		double most = k->phase == PHASE_REQUEST ? REQUEST_S : REPLY_S;
		if (k->shut || k->fd < 0 || k->phase == PHASE_WORK || now - k->since_s < most)
			continue;
		k->shut = true;
		shutdown(k->fd, SHUT_RDWR);
	}
	pthread_mutex_unlock(&s->lock);
}

/* ---- who is there ------------------------------------------------------------------------------------------------ */

static bool end_of(int fd, bool peer, struct serve_end *end)
{
	struct sockaddr_storage a;
	socklen_t n = sizeof a;
	char port[8];
	if ((peer ? getpeername : getsockname)(fd, (struct sockaddr *)&a, &n) ||
	    getnameinfo((struct sockaddr *)&a, n, end->address, sizeof end->address, port, sizeof port, NI_NUMERICHOST | NI_NUMERICSERV))
		return false;
	end->address[strcspn(end->address, "%")] = '\0'; /* the zone of a link-local address */
	end->port = (unsigned)strtoul(port, NULL, 10);
	end->loopback = serve_is_loopback(end->address);
	return true;
}

/* A closed or broken connection reads as such at once; data that wait do not say. */
static bool is_gone(void *context)
{
	const struct exchange *x = context;
	char c;
	if (atomic_load(&x->s->stopping))
		return true;
	if (!x->of || x->of->fd < 0)
		return false;
	ssize_t n = recv(x->of->fd, &c, 1, MSG_PEEK | MSG_DONTWAIT);
	return n == 0 || (n < 0 && errno != EAGAIN && errno != EWOULDBLOCK && errno != EINTR);
}

static const char *header(const struct exchange *x, const char *name)
{
	return MHD_lookup_connection_value(x->c, MHD_HEADER_KIND, name);
}

/* Of letters, digits and '-' only; whoever leaves it out shares his address's place. */
static void name_client(struct exchange *x, const char *address)
{
	const char *given = header(x, "X-Inward-Client");
	size_t n = given ? strspn(given, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-") : 0;
	snprintf(x->client, sizeof x->client, "%s %.*s", address, n <= 24 ? (int)n : 0, given ? given : "");
}

/* ---- the answer goes out ----------------------------------------------------------------------------------------- */

static const struct { const char *name, *value; } always[] = {
	{"Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; "
	                            "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"},
	{"X-Content-Type-Options", "nosniff"},
	{"X-Frame-Options", "DENY"},
	{"Referrer-Policy", "no-referrer"},
	{"Cross-Origin-Resource-Policy", "same-origin"},
	{"Cross-Origin-Opener-Policy", "same-origin"},
	{"Permissions-Policy", "camera=(), microphone=(), geolocation=()"},
	{"Cache-Control", "no-store"},
};

static void drop_reply(void *reply)
{
	serve_reply_drop(reply);
}

static enum MHD_Result put_response(struct exchange *x, struct MHD_Response *out, const struct serve_reply *r, const char *type)
{
	enum MHD_Result good = MHD_add_response_header(out, MHD_HTTP_HEADER_CONTENT_TYPE, type);
	for (size_t i = 0; i < INW_COUNT(always) && good; i++)
		good = MHD_add_response_header(out, always[i].name, always[i].value);
	if (good && r && r->allow)
		good = MHD_add_response_header(out, MHD_HTTP_HEADER_ALLOW, r->allow);
	if (good && r && r->later)
		good = MHD_add_response_header(out, MHD_HTTP_HEADER_RETRY_AFTER, "1");
	if (good && r && r->status == 401)
		good = MHD_add_response_header(out, MHD_HTTP_HEADER_WWW_AUTHENTICATE, "Bearer");
	enter_phase(x->s, x->of, PHASE_REPLY);
	if (good)
		good = MHD_queue_response(x->c, r ? (unsigned)r->status : MHD_HTTP_OK, out);
	MHD_destroy_response(out);
	return good;
}

/* MHD_NO closes the connection: all that is left when memory is out. */
static enum MHD_Result put_reply(struct exchange *x, struct serve_reply *r)
{
	struct MHD_Response *out =
		r ? MHD_create_response_from_buffer_with_free_callback_cls(r->length, r->body, drop_reply, r) : NULL;
	if (out)
		return put_response(x, out, r, r->type);
	serve_reply_drop(r);
	return MHD_NO;
}

static enum MHD_Result put_file(struct exchange *x, const struct serve_file *f)
{
	struct MHD_Response *out =
		MHD_create_response_from_buffer(f->length, (void *)(uintptr_t)f->bytes, MHD_RESPMEM_PERSISTENT);
	return out ? put_response(x, out, NULL, f->type) : MHD_NO;
}

/* ---- V1 ---------------------------------------------------------------------------------------------------------- */

static const struct serve_file *file_of(const char *path)
{
	for (size_t i = 0; i < serve_file_count; i++)
		if (strcmp(serve_files[i].path, path) == 0)
			return &serve_files[i];
	return NULL;
}

struct refusal {
	int status;
	const char *code, *message, *allow;
};

static struct refusal method_fault(const char *method, int methods)
{
	bool get = strcmp(method, "GET") == 0 || strcmp(method, "HEAD") == 0, post = strcmp(method, "POST") == 0;
	if (methods == 0)
		return (struct refusal){404, "no_such_path", "there is nothing here", NULL};
	if ((get && methods & SERVE_GET) || (post && methods & SERVE_POST))
		return (struct refusal){0};
	return (struct refusal){405, "method", "this path does not take that method",
	                        methods == (SERVE_GET | SERVE_POST) ? "GET, HEAD, POST" : methods & SERVE_POST ? "POST" : "GET, HEAD"};
}

/* A body is announced, too large, or sent where none belongs. */
static struct refusal body_fault(const struct exchange *x)
{
	const char *length = header(x, "Content-Length");
	if (x->post && !serve_is_json(header(x, "Content-Type")))
		return (struct refusal){415, "content_type", "a POST needs Content-Type: application/json", NULL};
	if (length && (strlen(length) > 9 || strtoul(length, NULL, 10) > MOST_BODY))
		return (struct refusal){413, "too_large", "the body is too large", NULL};
	if (!x->post && (header(x, "Transfer-Encoding") || (length && strcmp(length, "0"))))
		return (struct refusal){400, "body", "a GET takes no body", NULL};
	return (struct refusal){0};
}

/* The files of the page hold no secret, and a browser that opens the page cannot send a token yet. */
static struct refusal access_fault(const struct exchange *x, const struct serve_end *here, bool api)
{
	const char *host = header(x, "Host"), *origin = header(x, "Origin"), *site = header(x, "Sec-Fetch-Site");
	if (!serve_host_fits(host, here))
		return (struct refusal){403, "host", "open the page by the numeric address that inward serve has printed", NULL};
	if (!serve_origin_fits(origin, host))
		return (struct refusal){403, "origin", "another page may not ask here", NULL};
	if (api && site && strcmp(site, "same-origin") && strcmp(site, "none"))
		return (struct refusal){403, "origin", "another page may not ask here", NULL};
	if (api && x->s->options->token && !serve_bears(header(x, "Authorization"), x->s->options->token))
		return (struct refusal){401, "token", "this server wants the token that it has printed when it was started", NULL};
	return (struct refusal){0};
}

static struct refusal rate_fault(struct exchange *x, const char *address)
{
	if (x->s->has_rate && !serve_rate_take(&x->s->rate, address, now_s()))
		return (struct refusal){429, "rate", "too many requests; slow down", NULL};
	return (struct refusal){0};
}

static struct refusal head_fault(struct exchange *x, const char *path, const char *method)
{
	struct serve_end here, there;
	bool api = strncmp(path, "/api/", 5) == 0;
	if (!x->of || !end_of(x->of->fd, false, &here) || !end_of(x->of->fd, true, &there))
		return (struct refusal){503, "busy", "the connection cannot be served now", NULL};
	name_client(x, there.address);
	struct refusal f = rate_fault(x, there.address);
	if (!f.status)
		f = access_fault(x, &here, api);
	if (!f.status)
		f = method_fault(method, api ? serve_methods(path) : file_of(path) ? SERVE_GET : 0);
	return f.status ? f : body_fault(x);
}

/* ---- a request --------------------------------------------------------------------------------------------------- */

static struct exchange *begin(struct serve_server *s, struct MHD_Connection *c, const char *method)
{
	const union MHD_ConnectionInfo *of = MHD_get_connection_info(c, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
	struct exchange *x = calloc(1, sizeof *x);
	if (x)
		*x = (struct exchange){.s = s, .c = c, .of = of ? of->socket_context : NULL, .post = strcmp(method, "POST") == 0};
	return x;
}

static bool grow(struct exchange *x, size_t need)
{
	size_t capacity = x->capacity ? x->capacity : 4096;
	while (capacity < need)
		capacity *= 2;
	if (capacity == x->capacity)
		return true;
	size_t more = capacity - x->capacity;
	if (atomic_fetch_add(&x->s->bodies, more) + more > MOST_BODIES) {
		atomic_fetch_sub(&x->s->bodies, more);
		return false;
	}
	char *body = realloc(x->body, capacity);
	if (!body) {
		atomic_fetch_sub(&x->s->bodies, more);
		return false;
	}
	x->body = body;
	x->capacity = capacity;
	return true;
}

/* The library gives no way to answer in the midst of a body: the connection is closed. */
static enum MHD_Result take_body(struct exchange *x, const char *bytes, size_t *n)
{
	if (*n > MOST_BODY - x->length || !grow(x, x->length + *n))
		return MHD_NO;
	memcpy(x->body + x->length, bytes, *n);
	x->length += *n;
	*n = 0;
	return MHD_YES;
}

static const char *query(void *context, const char *name)
{
	return MHD_lookup_connection_value(context, MHD_GET_ARGUMENT_KIND, name);
}

/* A NUL would end the text before its end; left as it is written it fits nothing. */
static size_t unescape(void *context, struct MHD_Connection *c, char *s)
{
	(void)context, (void)c;
	return strstr(s, "%00") ? strlen(s) : MHD_http_unescape(s);
}

static enum MHD_Result answer(struct exchange *x, const char *path)
{
	const struct serve_file *f = file_of(path);
	if (f)
		return put_file(x, f);
	enter_phase(x->s, x->of, PHASE_WORK);
	const struct serve_request q = {
		.path = path, .post = x->post, .body = x->body ? x->body : "", .length = x->length,
		.query = query, .query_context = x->c,
		.visit = {.client = x->client, .gone = is_gone, .context = x},
	};
	return put_reply(x, serve_answer(&x->s->desk, &q));
}

static enum MHD_Result on_request(void *context, struct MHD_Connection *c, const char *path, const char *method,
                                  const char *version, const char *upload, size_t *upload_size, void **of_request)
{
	struct exchange *x = *of_request;
	(void)version;
	if (x)
		return *upload_size ? take_body(x, upload, upload_size) : answer(x, path);
	x = begin(context, c, method);
	if (!x)
		return MHD_NO;
	*of_request = x;
	struct refusal f = head_fault(x, path, method);
	if (!f.status)
		return MHD_YES;
	struct serve_reply *r = serve_trouble(f.status, f.code, f.message);
	if (r) {
		r->allow = f.allow;
		r->later = f.status == 429 || f.status == 503;
	}
	return put_reply(x, r);
}

static void on_completed(void *context, struct MHD_Connection *c, void **of_request, enum MHD_RequestTerminationCode how)
{
	struct exchange *x = *of_request;
	(void)context, (void)c, (void)how;
	if (!x)
		return;
	enter_phase(x->s, x->of, PHASE_REQUEST);
	atomic_fetch_sub(&x->s->bodies, x->capacity);
	free(x->body);
	free(x);
	*of_request = NULL;
}

/* ---- start and stop ---------------------------------------------------------------------------------------------- */

static void say(struct inw_diags *diags, const struct serve_options *o, const char *what, const char *more)
{
	inw_diag_add(diags, INW_ERROR, o->address, 0, 0, "%s%s%s", what, more ? ": " : "", more ? more : "");
}

/* A listening socket, since the library does not say why it could not make one. */
static int listen_on(const struct serve_options *o, struct inw_diags *diags)
{
	char port[8];
	struct addrinfo hints = {.ai_socktype = SOCK_STREAM, .ai_flags = AI_NUMERICHOST | AI_NUMERICSERV | AI_PASSIVE}, *a = NULL;
	snprintf(port, sizeof port, "%u", o->port);
	if (getaddrinfo(o->address, port, &hints, &a)) {
		say(diags, o, "is no numeric address", NULL);
		return -1;
	}
	int one = 1, fd = socket(a->ai_family, a->ai_socktype, a->ai_protocol);
	bool good = fd >= 0 && setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &one, sizeof one) == 0 &&
	            bind(fd, a->ai_addr, a->ai_addrlen) == 0 && listen(fd, SOMAXCONN) == 0;
	freeaddrinfo(a);
	if (good)
		return fd;
	char text[64];
	snprintf(text, sizeof text, "port %u cannot be served", o->port);
	say(diags, o, text, strerror(errno));
	if (fd >= 0)
		close(fd);
	return -1;
}

static bool start_daemon(struct serve_server *s, int fd)
{
	struct serve_end end = {0};
	bool local = serve_is_loopback(s->options->address);
	s->daemon = MHD_start_daemon(
		MHD_USE_THREAD_PER_CONNECTION | MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_POLL | MHD_USE_ITC, 0, NULL, NULL,
		on_request, s, MHD_OPTION_LISTEN_SOCKET, fd, MHD_OPTION_NOTIFY_COMPLETED, on_completed, s,
		MHD_OPTION_NOTIFY_CONNECTION, on_connection, s, MHD_OPTION_CONNECTION_LIMIT, (unsigned)MOST_CONNECTIONS,
		MHD_OPTION_PER_IP_CONNECTION_LIMIT, local ? 0u : (unsigned)MOST_OF_ONE, MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)IDLE_S,
		MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)HEADER_BYTES, MHD_OPTION_THREAD_STACK_SIZE, (size_t)STACK_BYTES,
		MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_UNESCAPE_CALLBACK, unescape, NULL, MHD_OPTION_END);
	if (!s->daemon)
		return false;
	if (end_of(fd, false, &end))
		s->port = end.port;
	return true;
}

static int cores(void)
{
	long n = sysconf(_SC_NPROCESSORS_ONLN);
	return n < 1 ? 1 : n > SERVE_MOST_RUNNING ? SERVE_MOST_RUNNING : (int)n;
}

static void free_server(struct serve_server *s)
{
	if (s->has_rate)
		serve_rate_free(&s->rate);
	pthread_mutex_destroy(&s->lock);
	serve_desk_free(&s->desk);
	free(s);
}

struct serve_server *serve_start(const struct serve_options *options, struct inw_diags *diags)
{
	struct serve_server *s = calloc(1, sizeof *s);
	unsigned rate = options->rate ? options->rate : serve_is_loopback(options->address) ? 0 : REMOTE_RATE;
	if (!s || !serve_desk_init(&s->desk, options->file, cores(), diags)) {
		diags->out_of_memory |= !s;
		free(s);
		return NULL;
	}
	s->options = options;
	json_object_seed(0); /* here, since it is not to happen first in two threads at once */
	pthread_mutex_init(&s->lock, NULL);
	s->has_rate = rate && serve_rate_init(&s->rate, rate);
	int fd = listen_on(options, diags);
	if (fd >= 0 && start_daemon(s, fd))
		return s;
	if (fd >= 0) {
		say(diags, options, "the server could not be started", NULL);
		close(fd);
	}
	free_server(s);
	return NULL;
}

unsigned serve_port(const struct serve_server *s)
{
	return s->port;
}

void serve_stop(struct serve_server *s)
{
	if (!s)
		return;
	atomic_store(&s->stopping, true);
	MHD_stop_daemon(s->daemon);
	free_server(s);
}

bool serve_new_token(char token[33])
{
	unsigned char random[16];
	FILE *f = fopen("/dev/urandom", "rb");
	bool good = f && fread(random, 1, sizeof random, f) == sizeof random;
	if (f)
		fclose(f);
	for (size_t i = 0; i < sizeof random && good; i++)
		snprintf(token + 2 * i, 3, "%02x", random[i]);
	return good;
}
