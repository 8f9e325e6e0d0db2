/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "font.h"
#include <cairo-ft.h>
#include <fontconfig/fontconfig.h>
#include <stdio.h>
#include <unistd.h>

/* Where Debian, Fedora and Arch keep it. */
static const char *const folders[] = {"/usr/share/fonts/truetype/dejavu",
                                      "/usr/share/fonts/dejavu-sans-fonts", "/usr/share/fonts/TTF"};
static const char *const names[2] = {"DejaVuSans.ttf", "DejaVuSans-Bold.ttf"};

/* The face of a file, without asking fontconfig what the machine has: that would read its settings and all its fonts,
 * and write a cache outside of the folder that scripts may write to. NULL when there is no such file. */
static cairo_font_face_t *face_of_file(const char *path)
{
    FcPattern *pattern = access(path, R_OK) == 0 ? FcPatternCreate() : NULL;
    if (!pattern)
        return NULL;
    FcPatternAddString(pattern, FC_FILE, (const FcChar8 *)path);
    FcPatternAddInteger(pattern, FC_INDEX, 0);
    cairo_font_face_t *face = cairo_ft_font_face_create_for_pattern(pattern);
    FcPatternDestroy(pattern);
    if (cairo_font_face_status(face) == CAIRO_STATUS_SUCCESS)
        return face;
    cairo_font_face_destroy(face);
    return NULL;
}

/* From the first folder that has it. */
static cairo_font_face_t *find_face(bool bold)
{
    cairo_font_face_t *face = NULL;
    char path[128];
    for (size_t i = 0; !face && i < sizeof folders / sizeof *folders; i++) {
        snprintf(path, sizeof path, "%s/%s", folders[i], names[bold]);
        face = face_of_file(path);
    }
    return face;
}

void picture_select_font(cairo_t *cairo, bool bold)
{
    static cairo_font_face_t *faces[2]; /* kept to the end */
    static bool looked[2];
    if (!looked[bold])
        faces[bold] = find_face(bold);
    looked[bold] = true;
    if (faces[bold])
        cairo_set_font_face(cairo, faces[bold]);
    else
        cairo_select_font_face(cairo, "sans-serif", CAIRO_FONT_SLANT_NORMAL,
                               bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
}
