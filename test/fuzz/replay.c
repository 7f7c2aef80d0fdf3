/* SPDX-License-Identifier: MIT */
/* replay.c: runs a fuzz target over the kept corpus without libFuzzer, so that the corpus is an ordinary test in every
 * build. Arguments: folders. A target that finds a fault aborts, which the runner counts as a failure.
 */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Exactly as many bytes as the file has, in a block of its own: a read past the end is then seen by the sanitizer. */
static int replay(const char *path)
{
	FILE *f = fopen(path, "rb");
	if (!f)
		return -1;
	int status = -1;
	uint8_t *bytes = NULL;
	long size = 0;
	if (fseek(f, 0, SEEK_END) == 0 && (size = ftell(f)) >= 0 && fseek(f, 0, SEEK_SET) == 0) {
		bytes = malloc(size ? (size_t)size : 1);
		if (bytes && fread(bytes, 1, (size_t)size, f) == (size_t)size)
			status = 0;
		if (status == 0)
			(void)LLVMFuzzerTestOneInput(bytes, (size_t)size); /* tells only whether to keep the input */
	}
	free(bytes);
	fclose(f);
	return status;
}

int main(int argc, char **argv)
{
	int passed = 0, failed = 0;
	for (int i = 1; i < argc; i++) {
		struct dirent **entry = NULL;
		int count = scandir(argv[i], &entry, NULL, alphasort);
		if (count < 0) {
			failed++;
			printf("FAIL %s: cannot be listed\n", argv[i]);
		}
		for (int k = 0; k < count; k++) {
			char path[4096];
			snprintf(path, sizeof path, "%s/%s", argv[i], entry[k]->d_name);
			if (entry[k]->d_name[0] != '.') {
				fprintf(stderr, "replaying %s\n", path); /* the last of these names the file that aborts */
				int status = replay(path);
				passed += status == 0;
				failed += status != 0;
			}
			free(entry[k]);
		}
		free(entry);
	}
	printf("%d passed, %d failed\n", passed, failed);
	return failed || !passed;
}
