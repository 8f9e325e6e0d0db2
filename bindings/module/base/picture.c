/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/picture.h"
#include "module/base/fault.h"
#include "module/base/output.h"
#include "module/base/settings.h"
#include <lauxlib.h>

#ifndef LL_HAVE_CAIRO

void bind_check_sheet(lua_State *L, const bind_sheet *sheet)
{
    if (!bind_check_of(L)->on)
        bind_raise(
            L,
            "%s: this program was built without pictures; install libcairo2-dev and build it "
            "anew",
            sheet->place);
}

void bind_draw(lua_State *L, const bind_sheet *sheet, bind_drawer drawer, const void *what)
{
    (void)drawer;
    (void)what;
    bind_check_sheet(L, sheet);
}

#else

#include "picture/canvas.h"

static const char canvas_type[] = "lodeloom.canvas";

void bind_check_sheet(lua_State *L, const bind_sheet *sheet)
{
    picture_format format;
    if (!picture_format_of(sheet->file, &format))
        bind_raise(L, "%s: a file name ending in .png, .svg or .pdf was expected, not %s",
                   sheet->place, bind_quoted(L, sheet->file));
    bind_folder_for(L, sheet->place, sheet->file);
}

/* Runs at collection, and never before the drawing is done. */
static int free_canvas(lua_State *L)
{
    picture_canvas **box = lua_touserdata(L, 1);
    picture_canvas_free(*box);
    *box = NULL;
    return 0;
}

/* Pushes a box that frees its canvas when it is collected. */
static picture_canvas **push_box(lua_State *L)
{
    picture_canvas **box = lua_newuserdatauv(L, sizeof *box, 0);
    *box = NULL;
    if (luaL_newmetatable(L, canvas_type)) {
        lua_pushcfunction(L, free_canvas);
        lua_setfield(L, -2, "__gc");
        lua_pushliteral(L, "canvas");
        lua_setfield(L, -2, "__metatable");
    }
    lua_setmetatable(L, -2);
    return box;
}

void bind_draw(lua_State *L, const bind_sheet *sheet, bind_drawer drawer, const void *what)
{
    picture_format format = PICTURE_PNG;
    const char *bytes = NULL;
    size_t size = 0;
    bind_check_sheet(L, sheet);
    if (bind_check_of(L)->on)
        return;
    picture_canvas **box = push_box(L);
    picture_format_of(sheet->file, &format);
    *box = picture_canvas_new(format, sheet->width_mm, sheet->height_mm);
    if (!*box) {
        bind_raise(L, "%s: not enough memory", sheet->place);
        return;
    }
    picture_canvas_describe(*box, sheet->title, sheet->words);
    drawer(picture_canvas_cairo(*box), what, sheet->width_mm, sheet->height_mm);
    if (!picture_canvas_bytes(*box, &bytes, &size))
        bind_raise(L, "%s: the picture could not be drawn", sheet->place);
    bind_write_file(L, sheet->file, bytes, size);
    picture_canvas_free(*box);
    *box = NULL;
    lua_pop(L, 1);
}

#endif
