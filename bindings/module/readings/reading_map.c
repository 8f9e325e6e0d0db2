/* reading_map.c - the field of the magnets in a plane, as a picture.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/base/output.h"
#include "module/base/picture.h"
#include "module/base/settings.h"
#include "module/readings/query.h"
#include "module/readings/sight.h"
#include "picture/map.h"
#include <math.h>

enum { SHOW_B, SHOW_BX, SHOW_BY, SHOW_BZ };

typedef struct map_options {
    const char *file, *title;
    int plane, show;
    double at_m, from_m[2], to_m[2], points;
    bool arrows;
    double width_m, height_m;
} map_options;

static const char *const planes[] = {"xz", "yz", "xy", NULL};
static const char *const shown[] = {"b", "bx", "by", "bz", NULL};

static const bind_field map_table[] = {
    {"file", FIELD_TEXT, offsetof(map_options, file), .meaning = BIND_PICTURE_FILE,
     .required = true},
    {"plane", FIELD_CHOICE, offsetof(map_options, plane),
     .meaning = "the plane that is shown; xz, seen from the bridge, when left out",
     .words = planes},
    {"at", FIELD_NUMBER, offsetof(map_options, at_m),
     .meaning = "where it stands on the third axis; 0 when left out", .unit = UNIT_MM, .low = -1e4,
     .high = 1e4},
    {"show", FIELD_CHOICE, offsetof(map_options, show),
     .meaning = "flux density or one component of it; b when left out", .words = shown},
    {"arrows", FIELD_FLAG, offsetof(map_options, arrows),
     .meaning = "whether arrows show its direction; true when left out"},
    {"from", FIELD_PAIR, offsetof(map_options, from_m),
     .meaning = "lower left corner in the plane; 8 mm beyond the pickup when left out",
     .unit = UNIT_MM, .low = -1e4, .high = 1e4},
    {"to", FIELD_PAIR, offsetof(map_options, to_m),
     .meaning = "upper right corner; 8 mm beyond the pickup when left out", .unit = UNIT_MM,
     .low = -1e4, .high = 1e4},
    {"points", FIELD_WHOLE, offsetof(map_options, points),
     .meaning = "points along the longer side; 80 when left out, more show more and take longer",
     .low = 8, .high = 300},
    {"title", FIELD_TEXT, offsetof(map_options, title),
     .meaning = "printed above; the pickup's name when left out"},
    BIND_PICTURE_SIZE(map_options, 90),
};
static const map_options map_defaults = {
    .from_m = {NAN, NAN}, .to_m = {NAN, NAN}, .points = 80, .arrows = true, .width_m = 0.18};

/* Each plane as one looks at it, and what the axes are called. `sign` is that of the third axis in `towards`. */
static const struct {
    picture_view view;
    const char *across, *up, *third;
    double sign;
} plane_rows[] = {
    {{{1, 0, 0}, {0, 0, 1}, {0, -1, 0}}, "x (mm)", "z (mm)", "y", -1},
    {{{0, 1, 0}, {0, 0, 1}, {1, 0, 0}}, "y (mm)", "z (mm)", "x", 1},
    {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, "x (mm)", "y (mm)", "z", 1},
};

/* From the options, or around all bodies. */
static picture_range range_of(const picture_map *map, ll_vec3 direction, double from_m, double to_m)
{
    const double beyond_mm = 8;
    picture_range range = {INFINITY, -INFINITY};
    for (size_t i = 0; i < map->count; i++) {
        picture_range reach = picture_reach(&map->solids[i], direction);
        range.from_mm = fmin(range.from_mm, reach.from_mm - beyond_mm);
        range.to_mm = fmax(range.to_mm, reach.to_mm + beyond_mm);
    }
    if (isfinite(from_m))
        range.from_mm = bind_from_si(UNIT_MM, from_m);
    if (isfinite(to_m))
        range.to_mm = bind_from_si(UNIT_MM, to_m);
    return range;
}

/* A grid of about equal steps both ways, `points` along the longer side. */
static void set_grid(picture_map *map, double points)
{
    double across = map->across.to_mm - map->across.from_mm, up = map->up.to_mm - map->up.from_mm;
    double step = fmax(across, up) / (points - 1);
    map->columns = (size_t)fmax(2, floor(across / step + 0.5) + 1);
    map->rows = (size_t)fmax(2, floor(up / step + 0.5) + 1);
}

/* Point c of row r, in metres. */
static ll_vec3 grid_point(const picture_map *map, size_t c, size_t r)
{
    double u = (double)c / (double)(map->columns - 1), v = (double)r / (double)(map->rows - 1);
    double across = map->across.from_mm + u * (map->across.to_mm - map->across.from_mm);
    double up = map->up.from_mm + v * (map->up.to_mm - map->up.from_mm);
    ll_vec3 mm = ll_add(ll_add(ll_scale(across, map->view.across), ll_scale(up, map->view.up)),
                        ll_scale(map->at_mm, map->view.towards));
    return ll_scale(bind_to_si(UNIT_MM, 1), mm);
}

/* One row of the grid; limits of time are looked at between rows. */
static void ask_row(const bind_query *r, const ll_solution *solution, const picture_map *map,
                    size_t row, ll_vec3 *point, ll_vec3 *b_t)
{
    const bind_limits *limits = bind_limits_of(r->L);
    for (size_t c = 0; c < map->columns; c++)
        point[c] = grid_point(map, c, row);
    bind_show_progress(r->L, "map", (double)row / (double)map->rows);
    ll_status status = ll_solution_b(solution, map->columns, point, b_t);
    if (status == LL_OK && limits->go_on && !limits->go_on())
        status = LL_CANCELLED;
    bind_demand(r->L, status, r->place);
}

/* What the map shows of B, in the unit of the scale of colours. */
static double value_of(ll_vec3 b_t, int show)
{
    const double parts[] = {ll_norm(b_t), b_t.x, b_t.y, b_t.z};
    return bind_from_si(UNIT_MT, parts[show]);
}

/* Pushes the buffers of values and directions and fills them from one solution: a picture needs no second mesh. */
static void push_field(const bind_query *r, picture_map *map, const map_options *options)
{
    lua_State *L = r->L;
    size_t n = map->columns * map->rows;
    double *value = bind_buffer(L, n, sizeof *value);
    double(*direction)[3] = bind_buffer(L, n, sizeof *direction);
    ll_vec3 *point = bind_buffer(L, map->columns, sizeof *point);
    ll_vec3 *b_t = bind_buffer(L, map->columns, sizeof *b_t);
    map->value = value;
    map->direction = options->arrows ? (const double(*)[3])direction : NULL;
    const ll_solution *solution = bind_ask_solution(r);
    for (size_t row = 0; solution && row < map->rows; row++) {
        ask_row(r, solution, map, row, point, b_t);
        for (size_t c = 0; c < map->columns; c++) {
            size_t i = row * map->columns + c;
            value[i] = value_of(b_t[c], options->show);
            direction[i][0] = ll_dot(b_t[c], map->view.across);
            direction[i][1] = ll_dot(b_t[c], map->view.up);
            direction[i][2] = ll_dot(b_t[c], map->view.towards);
        }
    }
    bind_show_progress(L, NULL, 1);
}

#ifdef LL_HAVE_CAIRO
/* The drawer that bind_draw wants. */
static void draw(cairo_t *cairo, const void *what, double width_mm, double height_mm)
{
    picture_map_draw(cairo, what, width_mm, height_mm);
}
#endif

/* As wide as asked for, and as high as one scale in both directions takes when nothing is said. */
static double height_mm(const map_options *options, const picture_map *map)
{
#ifdef LL_HAVE_CAIRO
    if (options->height_m == 0)
        return fmin(400, picture_map_height(map, bind_from_si(UNIT_MM, options->width_m)));
#else
    (void)map;
#endif
    return bind_from_si(UNIT_MM, options->height_m);
}

/* "flux density in the plane y = 0 mm, arrows along it". */
static const char *push_caption(lua_State *L, const map_options *options)
{
    const char *at = bind_quantity(L, UNIT_MM, options->at_m);
    return lua_pushfstring(
        L, "%s in the plane %s = %s%s",
        options->show == SHOW_B ? "flux density" : shown[options->show],
        plane_rows[options->plane].third, at,
        options->arrows ? "; arrows: direction in the plane, rings: mostly through it" : "");
}

/* What is left of the description when the plane and its range are settled; pushes what it holds. */
static picture_map begin_map(const bind_query *r, const map_options *options)
{
    picture_map map = {.title = options->title ? options->title : r->pickup->name,
                       .caption = push_caption(r->L, options),
                       .across_label = plane_rows[options->plane].across,
                       .up_label = plane_rows[options->plane].up,
                       .unit = bind_unit_text(UNIT_MT),
                       .view = plane_rows[options->plane].view,
                       .is_signed = options->show != SHOW_B};
    map.title = map.title ? map.title : "";
    map.at_mm = plane_rows[options->plane].sign * bind_from_si(UNIT_MM, options->at_m);
    map.solids = bind_push_solids(r->L, r->pickup, &map.count);
    map.across = range_of(&map, map.view.across, options->from_m[0], options->to_m[0]);
    map.up = range_of(&map, map.view.up, options->from_m[1], options->to_m[1]);
    if (map.across.from_mm >= map.across.to_mm || map.up.from_mm >= map.up.to_mm)
        bind_raise(r->L, "%s: 'from' must be below and to the left of 'to'", r->place);
    set_grid(&map, options->points);
    return map;
}

/* pickup:map{ file = "x.png", plane = "yz", at = 0 } */
static int map_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const map_options *options = said;
    if (!r->fine || r->pickup->head.wrong)
        return 0;
    picture_map map = begin_map(r, options);
    const bind_sheet sheet = {.place = r->place,
                              .file = options->file,
                              .width_mm = bind_from_si(UNIT_MM, options->width_m),
                              .height_mm = height_mm(options, &map),
                              .title = map.title,
                              .words = map.caption};
    bind_check_sheet(L, &sheet);
    push_field(r, &map, options);
    bind_draw(L, &sheet, BIND_DRAWER(draw), &map);
    return 0;
}

const bind_reading bind_reading_map = {
    BIND_READING_NAME("map", "a map of the field"),
    .meaning = "draws the field in a plane, with the parts that it cuts, into a file",
    .of = &bind_noun_pickup, BIND_READING_OPTIONS(map_options, map_table, &map_defaults),
    .read = map_reading};
