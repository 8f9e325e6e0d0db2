/* nouns.h - the things that scripts describe, as the binding keeps them.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_NOUNS_H
#define LL_BIND_NOUNS_H

#include "circuit/network.h"
#include "material/material.h"
#include "module/base/mesh_error.h"
#include "module/base/object.h"
#include "reading/estimator.h"
#include "reading/readings.h"
#include "string/string.h"
#include "winding/winding.h"

typedef struct bind_material {
    bind_object head;
    ll_material *material; /* owned; NULL in a wrong one */
} bind_material;
extern const bind_noun bind_noun_material;
/* Pushes the material of the tables; false, and nothing pushed, when there is none. */
bool bind_push_named_material(lua_State *L, const char *name);

typedef struct bind_wire {
    bind_object head;
    double gauge;  /* AWG; 0 for a metric size */
    double bare_m; /* metric */
    int build;     /* ll_wire_build */
    ll_wire wire;
} bind_wire;
extern const bind_noun bind_noun_wire;

/* One for all four shapes; each shape's noun has its own fields. */
typedef struct bind_part {
    bind_object head;
    const char *name;
    const ll_material *material;
    ll_vec3 at_m;
    ll_vec3 along;
    ll_vec3 north;
    ll_rotation turn;
    double charge;
    int charged;          /* ll_charging */
    double temperature_c; /* NaN: the pickup's */
    bool pole;
    ll_vec3 size_m;                       /* block */
    bind_list holes;                      /* block: {x, y, diameter} */
    double diameter_m, inner_m, length_m; /* rod, ring (outer), screw (thread) */
    double head_m[2];                     /* screw: diameter, height */
    double top_m;                         /* screw */
    ll_shape shape;
    ll_pose pose;
} bind_part;
extern const bind_noun bind_noun_part;

enum { BIND_CCW, BIND_CW };
enum { BIND_HOT_FINISH, BIND_HOT_START };

/* Turns that touch each other: a closed loop within the winding. */
typedef struct bind_shorted {
    double turns;
} bind_shorted;

typedef struct bind_coil {
    bind_object head;
    const char *name;
    double turns;
    double opening_m[2];
    double corner_m; /* negative: not given */
    double build_m, height_m;
    ll_vec3 at_m, along;
    ll_rotation turn;
    const bind_wire *wire;
    int hand, hot;
    double dcr_ohm, inductance_h, capacitance_f; /* measured; 0: not given */
    double permittivity;
    bind_shorted shorted;
    ll_coil_shape shape;
    ll_pose pose;
} bind_coil;
extern const bind_noun bind_noun_coil;

typedef struct bind_string {
    bind_object head;
    const char *name;
    const char *note;
    double gauge_m, core_m;
    bool wound;
    double scale_m, x_m;
    double gap_m, z_m;
    bool has_z;
    double from_bridge_m, fret;
    double mass_kg_m, loss, loss_bending; /* 0: not given */
    const ll_material *material, *wrap;   /* wrap may be NULL */
    double frequency_hz;                  /* of the open string; 0 without a note */
} bind_string;
extern const bind_noun bind_noun_string;

typedef struct bind_pickup {
    bind_object head;
    const char *name;
    bind_objects parts;      /* bind_part */
    bind_objects coils;      /* bind_coil */
    ll_scene *scene;         /* owned */
    ll_estimator *estimator; /* owned; solves nothing until a reading needs it */
    double accuracy;         /* mesh error asked for, of a reading's largest value */
    double contact_gap_m;    /* air left where parts merely touch; 0: as the engine does */
    double temperature_c;    /* of magnets that have none of their own */
    double lead_f;           /* of its own lead; below 0: the usual one */
} bind_pickup;
extern const bind_noun bind_noun_pickup;

typedef struct bind_lumped {
    bind_object head;
    const char *name;
    double r_ohm, l_h, c_f;
    bind_list measured; /* {Hz, ohm, H} in place of r and l */
    bind_list rows;     /* the same in either case; one row for r and l */
} bind_lumped;
extern const bind_noun bind_noun_lumped;

typedef struct bind_network bind_network;

/* Where a network's coil comes from: one of the three. */
typedef struct bind_network_coil {
    const bind_lumped *lumped;
    bind_pickup *pickup;
    const bind_network *network; /* joined within itself, with controls of its own */
} bind_network_coil;

typedef struct bind_treble_bleed {
    double c_f, r_ohm;
    int wiring; /* 0: the resistor across the capacitor, 1: in series */
} bind_treble_bleed;

struct bind_network {
    bind_object head;
    const char *name;
    bind_objects from; /* bind_lumped, bind_pickup and bind_network */
    bind_network_coil coils[LL_NETWORK_COILS];
    int wiring; /* ll_wiring */
    bind_flags reversed, bypassed;
    bind_list tapped;
    size_t coil_total, network_total; /* with those of the networks within it */
    double coupling;
    double volume_ohm, volume_turn, tone_ohm, tone_turn;
    int volume_taper, tone_taper; /* ll_taper */
    double tone_cap_f;
    int tone_at; /* 0: before the volume pot, 1: at its wiper */
    bind_treble_bleed bleed;
    double cable_f, cable_m, cable_f_m;
    double input_ohm, input_f;
    ll_network *network;   /* owned; NULL until a reading needs it */
    bind_mesh_error error; /* of its pickups, once it is built */
};
extern const bind_noun bind_noun_network;

/* Each registers its metatables and adds its functions to the module's table on the top of the stack. */
void bind_open_material(lua_State *L);
void bind_open_wire(lua_State *L);
void bind_open_part(lua_State *L);
void bind_open_coil(lua_State *L);
void bind_open_string(lua_State *L);
void bind_open_pickup(lua_State *L);
void bind_open_lumped(lua_State *L);
void bind_open_network(lua_State *L);

#endif
