/* SPDX-License-Identifier: MIT */
#include "inward/inward.h"

/* The same as in meson.build, which a test compares. */
const char *inw_version(void)
{
	return "0.1.0";
}
