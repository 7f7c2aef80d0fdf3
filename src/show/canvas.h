/* SPDX-License-Identifier: MIT */
/* canvas.h: from a drawing function to a file whose ending chooses the kind: .svg, .pdf or .png.
 * The same drawing gives the same bytes.
 * The file appears whole or not at all: no file is opened before the drawing is whole. */
#ifndef INW_CANVAS_H
#define INW_CANVAS_H

#include <cairo.h>

#include "base/base.h"

struct inw_size {
	double w, h;
};

/* False, with a diagnostic, when the ending is none of ours. */
bool inw_canvas__fits(const char *path, struct inw_diags *diags);
/* `draw` returns false when memory is out. INW_IO with a diagnostic, or INW_NO_MEMORY. `path` must fit. */
enum inw_status inw_canvas__draw(const char *path, struct inw_size size, bool (*draw)(void *context, cairo_t *c),
                                 void *context, struct inw_diags *diags) INW_MUST_CHECK;
/* The same as the text of an SVG file (the caller's, from malloc); NULL when it could not be drawn. */
char *inw_canvas__svg(struct inw_size size, bool (*draw)(void *context, cairo_t *c), void *context) INW_MUST_CHECK;
/* The same as the bytes of a PDF file; `draw` may end a page (cairo_show_page) and go on on the next. */
char *inw_canvas__pdf(struct inw_size size, bool (*draw)(void *context, cairo_t *c), void *context, size_t *length) INW_MUST_CHECK;

#endif
