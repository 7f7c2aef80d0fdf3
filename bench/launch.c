/* SPDX-License-Identifier: MIT */
/* launch.c: runs a command and tells what it cost: wall time (monotonic clock) and largest resident set
 * (getrusage of the child). Usage: launch TIMES COMMAND ARGUMENT... Prints one line for each run; the command's output is
 * thrown away, its exit status must be 0 or 1 ("not all met" is a result too).
 */
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static double now_s(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void become(char **command)
{
	int nowhere = open("/dev/null", O_RDWR);
	if (nowhere >= 0 && dup2(nowhere, STDIN_FILENO) >= 0 && dup2(nowhere, STDOUT_FILENO) >= 0)
		execvp(command[0], command);
	_exit(127);
}

static int run_once(char **command)
{
	double start = now_s();
	pid_t child = fork();
	if (child < 0)
		return -1;
	if (child == 0)
		become(command);
	int status = 0;
	if (waitpid(child, &status, 0) != child || !WIFEXITED(status) || WEXITSTATUS(status) > 1)
		return -1;
	double wall = now_s() - start;
	struct rusage used;
	getrusage(RUSAGE_CHILDREN, &used); /* the largest of the children so far */
	printf("wall_ms=%.3f max_rss_KiB=%ld\n", 1e3 * wall, used.ru_maxrss);
	return 0;
}

int main(int argc, char **argv)
{
	if (argc < 3) {
		fprintf(stderr, "usage: launch TIMES COMMAND ARGUMENT...\n");
		return 2;
	}
	for (int i = 0; i < atoi(argv[1]); i++) {
		if (run_once(argv + 2) != 0) {
			fprintf(stderr, "launch: %s failed\n", argv[2]);
			return 2;
		}
	}
	return 0;
}
