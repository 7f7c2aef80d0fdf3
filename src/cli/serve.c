/* SPDX-License-Identifier: MIT */
/* serve.c: the design in a browser. Signals are waited for, not handled, so nothing global is needed for them. */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif

#include "cli/cli.h"

#ifdef INW_PAGE
#include "serve/guard.h"
#include "serve/serve.h"

enum { USUAL_PORT = 8046 };

/* A whole number up to `most`; false for anything else. */
static bool whole(const char *text, unsigned long most, unsigned *out)
{
	size_t n = strspn(text, "0123456789");
	unsigned long value = n >= 1 && n <= 7 && !text[n] ? strtoul(text, NULL, 10) : most + 1;
	*out = (unsigned)value;
	return value <= most;
}

static bool fits(const struct cli_arguments *a, struct serve_options *o, char made[33])
{
	*o = (struct serve_options){.file = a->word[0], .address = a->address ? a->address : "127.0.0.1", .port = USUAL_PORT,
	                            .token = a->token};
	if (a->port && !whole(a->port, 65535, &o->port))
		return cli_say("--port takes a number from 0 (any free port) to 65535, not '%s'", a->port), false;
	if (a->rate && (!whole(a->rate, 1000000, &o->rate) || !o->rate))
		return cli_say("--rate takes a number of requests a second, not '%s'", a->rate), false;
	if (a->token && !serve_token_fits(a->token))
		return cli_say("--token takes 16 to 128 letters, digits, '-' and '_'"), false;
	if (a->token || serve_is_loopback(o->address))
		return true;
	if (!serve_new_token(made))
		return cli_say("no random token could be made; give one by --token"), false;
	o->token = made;
	return true;
}

/* Where the page is. The token stands behind '#', which a browser sends to nobody. A given one is not repeated. */
static enum cli_status say_where(const struct serve_options *o, const struct serve_server *s, bool made)
{
	char text[512];
	bool six = strchr(o->address, ':') != NULL;
	bool all = strcmp(o->address, "0.0.0.0") == 0 || strcmp(o->address, "::") == 0;
	snprintf(text, sizeof text, "inward serves the design at http://%s%s%s:%u/%s%s\n%s%sCtrl-C ends it.\n", six && !all ? "[" : "",
	         all ? "ADDRESS-OF-THIS-COMPUTER" : o->address, six && !all ? "]" : "", serve_port(s), o->token ? "#token=" : "",
	         made ? o->token : o->token ? "TOKEN" : "",
	         made ? "Whoever has this address may read and change the design file: keep it to yourself.\n" : "",
	         o->token ? "It is not encrypted: use it only in a network whose every user you trust.\n" : "");
	return cli_put(text);
}

static void wait_for_end(struct serve_server *s, const sigset_t *ending)
{
	const struct timespec second = {1, 0};
	while (sigtimedwait(ending, NULL, &second) < 0)
		serve_tick(s);
}

static enum cli_status run(const struct cli_arguments *a)
{
	struct serve_options o;
	struct inw_diags diags = {0};
	char made[33];
	sigset_t ending, before;
	if (!fits(a, &o, made))
		return CLI_BAD;
	sigemptyset(&ending);
	sigaddset(&ending, SIGINT);
	sigaddset(&ending, SIGTERM);
	sigprocmask(SIG_BLOCK, &ending, &before);
#ifdef M_ARENA_MAX
	(void)mallopt(M_ARENA_MAX, 2); /* each connection is a thread, and each thread's own arena would keep what one large report took */
#endif
	struct serve_server *s = serve_start(&o, &diags);
	cli_say_diags(&diags);
	inw_diags_free(&diags);
	if (!s)
		return CLI_TROUBLE;
	if (access(o.file, F_OK))
		cli_say("'%s' is not there yet: the page begins from nothing, and saving makes it", o.file);
	enum cli_status status = say_where(&o, s, o.token == made);
	if (status == CLI_MET)
		wait_for_end(s, &ending);
	sigprocmask(SIG_SETMASK, &before, NULL); /* a second Ctrl-C ends it at once */
	serve_stop(s);
	return status;
}

#else

static enum cli_status run(const struct cli_arguments *a)
{
	(void)a;
	cli_say("this inward was built without the page: it needs libmicrohttpd (Debian: libmicrohttpd-dev); install it, then build "
	        "anew with 'meson configure build -Dpage=enabled'");
	return CLI_TROUBLE;
}

#endif

const struct cli_command cli_serve = {
	"serve", "inward serve FILE [--port N] [--address A] [--token T] [--rate N]", "show a design in a browser, to be tried out and changed",
	"Opens a page for the design FILE on this computer: the box cut open, each verdict with\n"
	"its margin, and numbers that can be moved and are judged anew at once. The file is\n"
	"written only when the page is told to save. A FILE that is not there yet is begun from\n"
	"nothing, with the questions of 'inward begin'. Ctrl-C ends it.\n"
	"\n"
	"  --port N         port (8046 unless given; 0: any that is free)\n"
	"  --address A      numeric address to serve at (127.0.0.1 unless given: this computer\n"
	"                   only). On any other, each request must bring a token\n"
	"  --token T        the token, 16 to 128 letters, digits, '-' and '_'; made and printed\n"
	"                   once when none is given\n"
	"  --rate N         most requests a second from one address (unless given: any number\n"
	"                   from this computer, else 100)\n"
	"\n"
	"For programs it answers the same JSON as the command line; see doc/serve.md.\n"
	"\n"
	"Exit status: 0 ended by Ctrl-C; 2 bad usage; 3 trouble of the machine (file, port), or\n"
	"built without the page.\n",
	CLI_PORT | CLI_ADDRESS | CLI_TOKEN | CLI_RATE, 1, 1, run,
};
