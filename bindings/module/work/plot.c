/* plot.c - hands the curves that plot.lua has sorted out to the drawing.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/work/plot.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/picture.h"
#include "picture/plot.h"
#include <lauxlib.h>
#include <math.h>

/* Texts and buffers live in the description and on the stack until all is drawn. */

/* A text that the description holds, and keeps; empty when it has none. */
static const char *text_in(lua_State *L, int table, const char *key)
{
    lua_getfield(L, table, key);
    const char *text = lua_tostring(L, -1);
    lua_pop(L, 1);
    return text ? text : "";
}

/* 0 when there is none. */
static double number_in(lua_State *L, int table, const char *key)
{
    lua_getfield(L, table, key);
    double value = lua_tonumber(L, -1);
    lua_pop(L, 1);
    return value;
}

/* False when there is none. */
static bool flag_in(lua_State *L, int table, const char *key)
{
    lua_getfield(L, table, key);
    bool flag = lua_toboolean(L, -1);
    lua_pop(L, 1);
    return flag;
}

/* Pushes a buffer of the numbers in field `key` of the table, NAN for what is none. */
static const double *push_numbers(lua_State *L, int table, const char *key, size_t *count)
{
    lua_getfield(L, table, key);
    *count = lua_rawlen(L, -1);
    double *values = bind_buffer(L, *count, sizeof *values);
    for (size_t i = 0; i < *count; i++) {
        lua_rawgeti(L, -2, (lua_Integer)i + 1);
        values[i] = lua_type(L, -1) == LUA_TNUMBER ? lua_tonumber(L, -1) : NAN;
        lua_pop(L, 1);
    }
    lua_remove(L, -2);
    return values;
}

/* Pushes a buffer for the list in field `key` and fills it: read() finds an item of the list on the top, and may leave on it
 * what its values live in. */
static void *push_items(lua_State *L, int table, const char *key, size_t size,
                        void (*read)(lua_State *L, void *out), size_t *count)
{
    luaL_checkstack(L, 8, "too deeply nested");
    lua_getfield(L, table, key);
    *count = lua_type(L, -1) == LUA_TTABLE ? lua_rawlen(L, -1) : 0;
    const int list = lua_gettop(L);
    char *items = bind_buffer(L, *count, size);
    for (size_t i = 0; i < *count; i++) {
        luaL_checkstack(L, 8, "too long a list");
        lua_rawgeti(L, list, (lua_Integer)i + 1);
        read(L, items + i * size);
    }
    return items;
}

static void read_curve(lua_State *L, void *out)
{
    picture_curve *curve = out;
    int item = lua_gettop(L);
    size_t count = 0;
    curve->x = push_numbers(L, item, "x", &curve->count);
    curve->y = push_numbers(L, item, "y", &count);
    curve->colour = (size_t)number_in(L, item, "colour");
    curve->dash = (size_t)number_in(L, item, "dash");
}

static void read_panel(lua_State *L, void *out)
{
    picture_panel *panel = out;
    int item = lua_gettop(L);
    panel->label = text_in(L, item, "label");
    panel->log = flag_in(L, item, "log");
    panel->degrees = flag_in(L, item, "degrees");
    panel->from_zero = flag_in(L, item, "from_zero");
    panel->at_least = number_in(L, item, "at_least");
    panel->curves = push_items(L, item, "curves", sizeof(picture_curve), read_curve, &panel->count);
}

/* Of the legend: which colour and dash its text stands for. */
static void read_entry(lua_State *L, void *out)
{
    int item = lua_gettop(L);
    *(picture_entry *)out =
        (picture_entry){text_in(L, item, "text"), (size_t)number_in(L, item, "colour"),
                        (size_t)number_in(L, item, "dash"), flag_in(L, item, "plain")};
    lua_pop(L, 1);
}

/* A text of an axis that counts texts. */
static void read_name(lua_State *L, void *out)
{
    *(const char **)out = lua_tostring(L, -1); /* the list keeps it */
    lua_pop(L, 1);
}

#ifdef LL_HAVE_CAIRO
/* The drawer that bind_draw wants. */
static void draw(cairo_t *cairo, const void *what, double width_mm, double height_mm)
{
    picture_plot_draw(cairo, what, width_mm, height_mm);
}
#endif

/* core.draw_plot(description): see plot.lua, which makes it. */
static int core_draw_plot(lua_State *L)
{
    lua_settop(L, 1);
    const bind_sheet sheet = {.place = "plot",
                              .file = text_in(L, 1, "file"),
                              .width_mm = number_in(L, 1, "width"),
                              .height_mm = number_in(L, 1, "height"),
                              .title = text_in(L, 1, "title"),
                              .words = text_in(L, 1, "words")};
    picture_plot plot = {.title = sheet.title,
                         .x_label = text_in(L, 1, "x_label"),
                         .x_log = flag_in(L, 1, "x_log"),
                         .mark = (picture_mark)number_in(L, 1, "mark")};
    bind_check_sheet(L, &sheet);
    plot.x_names = push_items(L, 1, "x_names", sizeof(const char *), read_name, &plot.name_count);
    plot.entries =
        push_items(L, 1, "entries", sizeof(picture_entry), read_entry, &plot.entry_count);
    plot.panels = push_items(L, 1, "panels", sizeof(picture_panel), read_panel, &plot.panel_count);
    bind_draw(L, &sheet, BIND_DRAWER(draw), &plot);
    return 0;
}

void bind_open_plot(lua_State *L)
{
    bind_core_function(L, "draw_plot", core_draw_plot);
}
