/* SPDX-License-Identifier: MIT */
#include "show/canvas.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/whole_file.h"

enum kind { KIND_SVG, KIND_PDF, KIND_PNG, KIND_NONE };

static enum kind kind_of(const char *path)
{
	static const char *const ending[] = {".svg", ".pdf", ".png"};
	size_t n = strlen(path);
	for (size_t i = 0; i < INW_COUNT(ending); i++)
		if (n > 4 && strcmp(path + n - 4, ending[i]) == 0)
			return (enum kind)i;
	return KIND_NONE;
}

bool inw_canvas__fits(const char *path, struct inw_diags *diags)
{
	if (kind_of(path) != KIND_NONE)
		return true;
	inw_diag_add(diags, INW_ERROR, path, 0, 0, "a picture's name must end in .svg, .pdf or .png");
	return false;
}

enum inw_status inw_picture_may(const char *path, struct inw_diags *diags)
{
	return inw_canvas__fits(path, diags) ? inw_whole_file_may(path, diags) : INW_BAD_INPUT;
}

/* The picture's bytes are kept until all are there. */
static cairo_status_t keep_bytes(void *context, const unsigned char *bytes, unsigned length)
{
	struct inw_text *kept = context;
	inw_text_addn(kept, (const char *)bytes, length);
	return kept->failed ? CAIRO_STATUS_NO_MEMORY : CAIRO_STATUS_SUCCESS;
}

enum { PNG_SCALE = 2 };

static cairo_surface_t *new_surface(enum kind kind, struct inw_size size, struct inw_text *kept)
{
	cairo_surface_t *surface;
	if (kind == KIND_SVG)
		return cairo_svg_surface_create_for_stream(keep_bytes, kept, size.w, size.h);
	if (kind == KIND_PDF) {
		surface = cairo_pdf_surface_create_for_stream(keep_bytes, kept, size.w, size.h);
		/* No clock in the library, and the same report must give the same bytes: the epoch stands for "not stated". */
		cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, "1970-01-01T00:00:00Z");
		return surface;
	}
	surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)ceil(size.w * PNG_SCALE),
	                                     (int)ceil(size.h * PNG_SCALE));
	cairo_surface_set_device_scale(surface, PNG_SCALE, PNG_SCALE);
	return surface;
}

static enum inw_status status_of(cairo_status_t s)
{
	if (s == CAIRO_STATUS_SUCCESS)
		return INW_OK;
	return s == CAIRO_STATUS_NO_MEMORY ? INW_NO_MEMORY : INW_IO;
}

typedef bool draw_function(void *context, cairo_t *c);

static enum inw_status draw_into(struct inw_text *kept, enum kind kind, struct inw_size size, draw_function *draw,
                                 void *context)
{
	cairo_surface_t *surface = new_surface(kind, size, kept);
	cairo_t *c = cairo_create(surface);
	bool whole = draw(context, c);
	cairo_status_t drawn = cairo_status(c);
	if (drawn == CAIRO_STATUS_SUCCESS && kind == KIND_PNG)
		drawn = cairo_surface_write_to_png_stream(surface, keep_bytes, kept);
	cairo_destroy(c);
	cairo_surface_finish(surface);
	if (drawn == CAIRO_STATUS_SUCCESS)
		drawn = cairo_surface_status(surface);
	cairo_surface_destroy(surface);
	return !whole || kept->failed ? INW_NO_MEMORY : status_of(drawn);
}

/* The library counts the names of its surfaces on through the life of a process: counted anew in each drawing, so that the same
 * drawing is the same text. Names that the drawing itself counts stay. False when memory is out. */
static bool count_anew(struct inw_text *t)
{
	enum { MOST = 32 };
	static const char name[] = "surface";
	struct inw_text out = {0};
	unsigned long seen[MOST];
	size_t count = 0;
	const char *s = t->s, *at;
	for (; (at = strstr(s, name)) != NULL && at > t->s; ) {
		char *end;
		at += strlen(name);
		inw_text_addn(&out, s, (size_t)(at - s));
		s = at;
		unsigned long number = strtoul(at, &end, 10);
		size_t i = 0;
		while (i < count && seen[i] != number)
			i++;
		if (end == at || i == MOST || !strchr("\"#", at[-(long)sizeof name]))
			continue;
		seen[i] = number;
		count += i == count;
		inw_text_printf(&out, "%zu", i + 1);
		s = end;
	}
	inw_text_add(&out, s);
	inw_text_free(t);
	*t = out;
	return !t->failed;
}

char *inw_canvas__svg(struct inw_size size, draw_function *draw, void *context)
{
	struct inw_text kept = {0};
	if (draw_into(&kept, KIND_SVG, size, draw, context) != INW_OK || !count_anew(&kept))
		inw_text_free(&kept);
	return kept.s;
}

char *inw_canvas__pdf(struct inw_size size, draw_function *draw, void *context, size_t *length)
{
	struct inw_text kept = {0};
	if (draw_into(&kept, KIND_PDF, size, draw, context) != INW_OK)
		inw_text_free(&kept);
	*length = kept.length;
	return kept.s;
}

enum inw_status inw_canvas__draw(const char *path, struct inw_size size, draw_function *draw, void *context,
                                 struct inw_diags *diags)
{
	struct inw_text kept = {0};
	enum inw_status s = draw_into(&kept, kind_of(path), size, draw, context);
	if (s == INW_OK && kind_of(path) == KIND_SVG && !count_anew(&kept))
		s = INW_NO_MEMORY;
	if (s == INW_OK)
		s = inw_whole_file_write(path, kept.s, kept.length, diags);
	else if (s == INW_IO)
		inw_diag_add(diags, INW_ERROR, path, 0, 0, "could not be drawn");
	inw_text_free(&kept);
	return s;
}
