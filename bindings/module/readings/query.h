/* query.h - what the readings of a pickup share: its solution, its strings' heights, and all of them by name.
 *
 * The functions below that ask the engine solve the pickup when it has not been solved yet, and raise when the
 * engine refuses. While a script is only checked they solve nothing and answer with placeholders.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_QUERY_H
#define LL_BIND_QUERY_H

#include "module/base/rows.h"
#include "module/nouns/pickup.h"
#include <complex.h>

/* One reading under way: the pickup or the network that it was asked of, its table, and "pickup 'neck': field" for messages. */
struct bind_query {
    lua_State *L;
    bind_pickup *pickup;
    bind_network *network;
    bind_result *t;
    const char *place;
    bool fine; /* its options are; false in a check alone */
};

/* Adds the readings to the methods of what they are asked of, and makes them known to help. */
void bind_open_readings(lua_State *L);

/* The part of that name, which must be the only one; raises otherwise. */
size_t bind_find_part(const bind_query *r, const char *name);

/* Shows how far a long reading is; false when a limit was reached and the engine is to stop with LL_CANCELLED. */
bool bind_go_on(lua_State *L, const char *what, double share_done);

/* True when the engine may be asked; false in a check, where the caller answers with placeholders. */
bool bind_may_ask(const bind_query *r);

/* The finest solution so far; NULL in a check. */
const ll_solution *bind_ask_solution(const bind_query *r);
/* The solution on the first mesh alone, if there is no finer one yet; NULL in a check. */
const ll_solution *bind_ask_draft(const bind_query *r);
/* Flux density at n points. */
void bind_ask_b(const bind_query *r, size_t n, const ll_vec3 *points_m, ll_vec3 *b_t);
double bind_ask_section_bz(const bind_query *r, size_t part, double z_m);
/* Inductance between coils i and j, their winding directions left out. */
double bind_ask_inductance(const bind_query *r, size_t i, size_t j);
/* The eddy currents over a range that holds f_hz[n]; NULL in a check. */
const ll_eddies *bind_ask_eddies(const bind_query *r, size_t n, const double *f_hz);
/* change_h[n] += the sum over coils i and j of a[i] b[j] times what they change of inductance i, j; see ll_eddies_inductance. */
void bind_ask_change(const bind_query *r, const double *a, const double *b, size_t n,
                     const double *f_hz, double complex *change_h);
/* How far that may be off, real and imaginary part; see ll_eddies_inductance_error. */
void bind_ask_change_error(const bind_query *r, const double *a, const double *b, size_t n,
                           const double *f_hz, double complex *error_h);
/* The pickup as one coil at room temperature, with the figures of `winding` and `impedance`: rows with eddy currents and shorted turns,
 * its own capacitance, and what shorts leave of its EMF. Pushes what keeps the rows; raises where a figure is unknown. */
void bind_ask_lumped(const bind_query *r, ll_network_coil *out);
/* The last of these alone: shorted_s and shorted_share. */
void bind_ask_shorts(const bind_query *r, ll_network_coil *out);
/* Linkage that the string adds to a coil, added to sum[n] with the factor. */
void bind_ask_linkage(const bind_query *r, size_t coil, const ll_string *string, double factor,
                      size_t n, const double *x_m, const double *z_m, double *sum_wb);
/* d(linkage)/dz and d(linkage)/dx of each of n strings, slopes[2 n]; the coils count by their share. */
void bind_ask_slopes(const bind_query *r, size_t n, const ll_string *strings, const double *share,
                     double *slopes_wb_m);
/* What a reading is of: how the engine takes it, and for each kind of its values the size below which nobody asks how far they
 * are off in per cent, with that in words ("5 mT, as all are smaller"). */
typedef struct bind_measure {
    ll_reading read;
    const double *least; /* [kinds] */
    const char *words;
} bind_measure;
/* Any other reading, values[kinds][count]. False, and nothing asked, in a check. */
bool bind_ask(const bind_query *r, const bind_measure *measure, void *context, size_t kinds,
              size_t count, double *values);
/* The same where an error `wider` times the accuracy asked for will do. */
bool bind_ask_wider(const bind_query *r, const bind_measure *measure, double wider, void *context,
                    size_t kinds, size_t count, double *values);

/* Raises when the pickup has no coil. */
void bind_need_coil(const bind_query *r);
/* Of a table under way that rests on eddy currents: a remark where those of a sheet of steel are told too small. */
void bind_note_joined_sheet(const bind_query *r);

/* Pushes the sign of every coil, bind_coil_sign. */
const double *bind_shares(const bind_query *r);
/* The engine's view of a string over this pickup: its height settled, and above the pole below it. */
ll_string bind_place_string(const bind_query *r, const bind_string *string);
/* Pushes those of a list. Nothing is placed over a wrong pickup, in a check. */
const ll_string *bind_place_strings(const bind_query *r, const bind_objects *strings);

/* Adds ll.sound to the module's table on the top of the stack. */
void bind_open_listen(lua_State *L);

/* An uneven field is none in the pickup's middle, halfway between all coils (one or more), and grows by as much as the even one has
 * over this. */
extern const double bind_hum_grows_over_m;
ll_vec3 bind_middle_of_coils(const bind_pickup *pickup);

#endif
