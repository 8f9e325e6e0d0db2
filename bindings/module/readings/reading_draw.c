/* reading_draw.c - the pickup on paper, as it was described.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/base/picture.h"
#include "module/base/settings.h"
#include "module/readings/query.h"
#include "module/readings/sight.h"
#include "picture/drawing.h"

typedef struct draw_options {
    const char *file, *title;
    bind_objects strings;
    double width_m, height_m;
} draw_options;

static const bind_field draw_table[] = {
    {"file", FIELD_TEXT, offsetof(draw_options, file), .meaning = BIND_PICTURE_FILE,
     .required = true},
    {"strings", FIELD_OBJECTS, offsetof(draw_options, strings),
     .meaning = "strings to be shown over it", .of = &bind_noun_string},
    {"title", FIELD_TEXT, offsetof(draw_options, title),
     .meaning = "printed above; the pickup's name when left out"},
    BIND_PICTURE_SIZE(draw_options, 120),
};
static const draw_options draw_defaults = {.width_m = 0.24};

/* Pushes a buffer of the strings where they stand over the pickup. */
static const picture_string *push_strings(const bind_query *r, const bind_objects *strings)
{
    picture_string *list = bind_buffer(r->L, strings->count, sizeof *list);
    for (size_t i = 0; i < strings->count; i++) {
        const bind_string *string = strings->items[i];
        ll_string placed = bind_place_string(r, string);
        list[i] = (picture_string){.name = string->name,
                                   .x_mm = bind_from_si(UNIT_MM, placed.x_m),
                                   .z_mm = bind_from_si(UNIT_MM, placed.z_m),
                                   .diameter_mm = bind_from_si(UNIT_MM, placed.diameter_m)};
    }
    return list;
}

#ifdef LL_HAVE_CAIRO
/* The drawer that bind_draw wants. */
static void draw(cairo_t *cairo, const void *what, double width_mm, double height_mm)
{
    picture_drawing_draw(cairo, what, width_mm, height_mm);
}
#endif

/* Pushes the lines of the key as one text. */
static const char *push_words(lua_State *L, const picture_drawing *drawing)
{
    luaL_Buffer text;
    luaL_buffinit(L, &text);
    for (size_t i = 0; i < drawing->count; i++) {
        luaL_addstring(&text, i > 0 ? "; " : "");
        luaL_addstring(&text, drawing->solids[i].name);
        luaL_addstring(&text, ": ");
        luaL_addstring(&text, drawing->solids[i].words);
    }
    luaL_pushresult(&text);
    return lua_tostring(L, -1);
}

/* As wide as asked for, and as high as that takes when nothing is said. */
static double height_mm(const draw_options *options, const picture_drawing *drawing)
{
#ifdef LL_HAVE_CAIRO
    if (options->height_m == 0)
        return picture_drawing_height(drawing, bind_from_si(UNIT_MM, options->width_m));
#else
    (void)drawing;
#endif
    return bind_from_si(UNIT_MM, options->height_m);
}

/* pickup:draw{ file = "x.png", strings = s } */
static int draw_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const draw_options *options = said;
    if (!r->fine || r->pickup->head.wrong)
        return 0;
    picture_drawing drawing = {.title = options->title ? options->title : r->pickup->name,
                               .string_count = options->strings.count};
    if (!drawing.title)
        drawing.title = "";
    drawing.strings = push_strings(r, &options->strings);
    drawing.solids = bind_push_solids(L, r->pickup, &drawing.count);
    if (drawing.count > PICTURE_MOST_SOLIDS)
        return bind_raise(L, "%s: more than %d parts and coils are too many for a drawing",
                          r->place, PICTURE_MOST_SOLIDS);
    const bind_sheet sheet = {.place = r->place,
                              .file = options->file,
                              .width_mm = bind_from_si(UNIT_MM, options->width_m),
                              .height_mm = height_mm(options, &drawing),
                              .title = drawing.title,
                              .words = push_words(L, &drawing)};
    bind_draw(L, &sheet, BIND_DRAWER(draw), &drawing);
    return 0;
}

const bind_reading bind_reading_draw = {
    BIND_READING_NAME("draw", "a drawing"),
    .meaning = "draws it from above and from two sides, with dimensions, into a file",
    .of = &bind_noun_pickup, BIND_READING_OPTIONS(draw_options, draw_table, &draw_defaults),
    .read = draw_reading};
