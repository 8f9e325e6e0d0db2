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

/* Each of the readers below takes the item on the top of the stack, and leaves its buffers above it. */
static void read_curve(lua_State *L, picture_curve *curve)
{
    int item = lua_gettop(L);
    size_t count = 0;
    curve->x = push_numbers(L, item, "x", &curve->count);
    curve->y = push_numbers(L, item, "y", &count);
    curve->colour = (size_t)number_in(L, item, "colour");
    curve->dash = (size_t)number_in(L, item, "dash");
}

/* Pushes the list in field `key` and returns its length. */
static size_t push_list(lua_State *L, int table, const char *key)
{
    luaL_checkstack(L, 8, "too deeply nested");
    lua_getfield(L, table, key);
    return lua_type(L, -1) == LUA_TTABLE ? lua_rawlen(L, -1) : 0;
}

/* A panel with its curves. */
static void read_panel(lua_State *L, picture_panel *panel)
{
    int item = lua_gettop(L);
    panel->label = text_in(L, item, "label");
    panel->log = flag_in(L, item, "log");
    panel->degrees = flag_in(L, item, "degrees");
    panel->from_zero = flag_in(L, item, "from_zero");
    panel->at_least = number_in(L, item, "at_least");
    panel->count = push_list(L, item, "curves");
    int list = lua_gettop(L);
    picture_curve *curves = bind_buffer(L, panel->count, sizeof *curves);
    for (size_t i = 0; i < panel->count; i++) {
        luaL_checkstack(L, 8, "too many curves");
        lua_rawgeti(L, list, (lua_Integer)i + 1);
        read_curve(L, &curves[i]);
    }
    panel->curves = curves;
}

/* All panels, from above. */
static void read_panels(lua_State *L, picture_plot *plot)
{
    plot->panel_count = push_list(L, 1, "panels");
    int list = lua_gettop(L);
    picture_panel *panels = bind_buffer(L, plot->panel_count, sizeof *panels);
    for (size_t i = 0; i < plot->panel_count; i++) {
        luaL_checkstack(L, 8, "too many panels");
        lua_rawgeti(L, list, (lua_Integer)i + 1);
        read_panel(L, &panels[i]);
    }
    plot->panels = panels;
}

/* The legend; an item says which colour and dash its text stands for. */
static void read_entries(lua_State *L, picture_plot *plot)
{
    plot->entry_count = push_list(L, 1, "entries");
    int list = lua_gettop(L);
    picture_entry *entries = bind_buffer(L, plot->entry_count, sizeof *entries);
    for (size_t i = 0; i < plot->entry_count; i++) {
        lua_rawgeti(L, list, (lua_Integer)i + 1);
        int item = lua_gettop(L);
        entries[i] = (picture_entry){text_in(L, item, "text"), (size_t)number_in(L, item, "colour"),
                                     (size_t)number_in(L, item, "dash"), flag_in(L, item, "plain")};
        lua_pop(L, 1);
    }
    plot->entries = entries;
}

/* The texts of an axis that counts texts. */
static void read_names(lua_State *L, picture_plot *plot)
{
    plot->name_count = push_list(L, 1, "x_names");
    int list = lua_gettop(L);
    const char **names = bind_buffer(L, plot->name_count, sizeof *names);
    for (size_t i = 0; i < plot->name_count; i++) {
        lua_rawgeti(L, list, (lua_Integer)i + 1);
        names[i] = lua_tostring(L, -1); /* the list keeps it */
        lua_pop(L, 1);
    }
    plot->x_names = names;
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
    read_names(L, &plot);
    read_entries(L, &plot);
    read_panels(L, &plot);
    bind_draw(L, &sheet, BIND_DRAWER(draw), &plot);
    return 0;
}

void bind_open_plot(lua_State *L)
{
    bind_core_function(L, "draw_plot", core_draw_plot);
}
