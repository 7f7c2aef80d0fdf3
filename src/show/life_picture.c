/* SPDX-License-Identifier: MIT */
#include "show/canvas.h"

enum inw_status inw_show_life_picture(const struct inw_life_report *r, const char *path, enum inw_units units, struct inw_diags *diags)
{
	(void)r; (void)units; (void)path; (void)diags;
	return INW_IO;
}
