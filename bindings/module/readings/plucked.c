/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/readings/plucked.h"
#include "module/base/fault.h"
#include "module/base/output.h"
#include "module/base/rows.h"
#include "module/base/settings.h"
#include "module/readings/network.h"
#include "signal/sound.h"
#include "signal/spectrum.h"
#include <complex.h>
#include <stdio.h>

/* A box of voices, freed when Lua collects it. */
typedef struct voice_box {
    size_t count;
    ll_voice *voice[];
} voice_box;

static const char box_type[] = "lodeloom.voices";

static int free_voices(lua_State *L)
{
    voice_box *box = lua_touserdata(L, 1);
    for (size_t i = 0; i < box->count; i++) {
        ll_voice_free(box->voice[i]);
        box->voice[i] = NULL;
    }
    return 0;
}

static voice_box *push_box(lua_State *L, size_t count)
{
    voice_box *box = lua_newuserdatauv(L, sizeof *box + count * sizeof box->voice[0], 0);
    box->count = count;
    for (size_t i = 0; i < count; i++)
        box->voice[i] = NULL;
    if (luaL_newmetatable(L, box_type)) {
        lua_pushcfunction(L, free_voices);
        lua_setfield(L, -2, "__gc");
        lua_pushliteral(L, "voices");
        lua_setfield(L, -2, "__metatable");
    }
    lua_setmetatable(L, -2);
    return box;
}

static bool tell(void *context, double share_done)
{
    return bind_go_on(context, "sounding", share_done);
}

void bind_check_pluck(const bind_query *r, const ll_pluck *pluck, const bind_string *string,
                      const ll_stiff_string *tuned)
{
    if (ll_pluck_check(pluck, tuned) != LL_OK)
        bind_mistake(r->L,
                     "%s: the pluck at %s from the bridge, %s wide, is not on string %s, which "
                     "sounds over %s",
                     r->place, bind_quantity(r->L, UNIT_MM, pluck->from_bridge_m),
                     bind_quantity(r->L, UNIT_MM, pluck->width_m), bind_quoted(r->L, string->name),
                     bind_quantity(r->L, UNIT_MM, tuned->length_m));
}

static void voice_of(const bind_query *r, const bind_plucked *plucked, const bind_string *string,
                     const ll_string *placed, const double *share, const ll_solution *solution,
                     ll_voice **out)
{
    ll_voice_spec spec = bind_voice_spec(r, string, placed, &plucked->pluck);
    spec.share = share;
    const ll_status status = ll_voice_new(solution, &spec, out);
    if (status == LL_STRING_IN_PART)
        bind_raise(r->L, "%s: string %s would touch a part as it swings; pluck it less or raise it",
                   r->place, bind_quoted(r->L, string->name));
    if (status == LL_BAD_VALUE && ll_material_kind(placed->material) != LL_STEEL)
        bind_raise(r->L, "%s: string %s is not magnetic and gives no signal", r->place,
                   bind_quoted(r->L, string->name));
    bind_demand(r->L, status, r->place);
}

ll_voice *const *bind_voices(const bind_query *r, const bind_plucked *plucked)
{
    lua_State *L = r->L;
    const size_t n = plucked->strings.count;
    bind_need_coil(r);
    for (size_t i = 0; i < n; i++) {
        const ll_stiff_string tuned = bind_tuned(r, plucked->strings.items[i]);
        bind_check_pluck(r, &plucked->pluck, plucked->strings.items[i], &tuned);
    }
    const ll_string *placed = bind_place_strings(r, &plucked->strings);
    double *share = (double *)bind_shares(r);
    double *slopes_wb_m = bind_buffer(L, 2 * n, sizeof *slopes_wb_m);
    bind_ask_slopes(r, n, placed, share, slopes_wb_m);
    for (size_t c = 0; c < r->pickup->coils.count; c++)
        share[c] *= bind_hot_sign(r->pickup);
    const ll_solution *solution = bind_ask_solution(r);
    voice_box *box = push_box(L, n);
    for (size_t i = 0; i < n && solution; i++) {
        if (!tell(L, (double)i / (double)n))
            bind_demand(L, LL_CANCELLED, r->place);
        voice_of(r, plucked, plucked->strings.items[i], &placed[i], share, solution,
                 &box->voice[i]);
    }
    return solution ? box->voice : NULL;
}

const ll_network *bind_plucked_load(const bind_query *r, const bind_plucked *plucked)
{
    const bool wanted = plucked->load && !bind_check_of(r->L)->on;
    return wanted ? bind_ask_network(r, plucked->load) : NULL;
}

size_t bind_plucked_samples(const bind_plucked *plucked)
{
    const size_t n = (size_t)(plucked->seconds * LL_SOUND_RATE_HZ + 0.5);
    return n > 0 ? n : 1;
}

/* A network at the bins of a transform. Direct current is taken a hundredth of a hertz up, where no capacitor is a gap yet. */
static ll_status respond(void *context, size_t n, const double *frequency_hz, double *re,
                         double *im)
{
    const ll_network *network = context;
    const double least_hz = 0.01;
    for (size_t i = 0; i < n; i++) {
        double complex h;
        const double hz = frequency_hz[i] > least_hz ? frequency_hz[i] : least_hz;
        const ll_status status = ll_network_response(network, hz, &h);
        if (status)
            return status;
        re[i] = creal(h);
        im[i] = frequency_hz[i] > 0 ? cimag(h) : 0;
    }
    return LL_OK;
}

/* Turns closed within the pickup's coils, where nothing is connected to them. */
static ll_status respond_shorted(void *context, size_t n, const double *frequency_hz, double *re,
                                 double *im)
{
    for (size_t i = 0; i < n; i++) {
        double complex h;
        ll_network_emf_left(context, frequency_hz[i], &h);
        re[i] = creal(h);
        im[i] = cimag(h);
    }
    return LL_OK;
}

/* What a network rings on for: a tenth of a second is far more than pickups plucked. */
enum { TAIL = LL_SOUND_RATE_HZ / 10 };

double *bind_render(const bind_query *r, const bind_plucked *plucked, size_t count,
                    ll_voice *const *voices, const ll_network *load)
{
    lua_State *L = r->L;
    const size_t n = bind_plucked_samples(plucked);
    const ll_progress progress = {tell, L};
    double *voltage_v = bind_buffer(L, n, sizeof *voltage_v);
    size_t ears = 0, n_heard = 0;
    for (size_t i = 0; i < count && voices; i++)
        ears += ll_voice_ears(voices[i]);
    ll_heard_string *heard = bind_buffer(L, ears, sizeof *heard);
    for (size_t i = 0; i < count && voices; i++)
        for (size_t ear = 0; ear < ll_voice_ears(voices[i]); ear++)
            heard[n_heard++] = ll_voice_heard(voices[i], ear, (double)i * plucked->strum_s);
    if (voices)
        bind_demand(L, ll_voltage(ears, heard, LL_SOUND_RATE_HZ, n, voltage_v, &progress),
                    r->place);
    lua_pop(L, 1);
    bind_show_progress(L, NULL, 1);
    ll_network_coil bare = {0};
    if (!load && voices)
        bind_ask_shorts(r, &bare);
    if (load || bare.shorted_s > 0) {
        const ll_response response =
            load ? (ll_response){respond, (void *)load} : (ll_response){respond_shorted, &bare};
        bind_demand(L, ll_filter(n, voltage_v, LL_SOUND_RATE_HZ, TAIL, &response), r->place);
    }
    return voltage_v;
}

/* Whether any of the strings rings as long as the defaults say. */
static bool is_assumed(const bind_plucked *plucked, bool wound)
{
    for (size_t i = 0; i < plucked->strings.count; i++) {
        const bind_string *string = plucked->strings.items[i];
        if (string->wound == wound && !(string->loss > 0 && string->loss_bending > 0))
            return true;
    }
    return false;
}

void bind_note_plucked(const bind_result *t, const bind_plucked *plucked)
{
    char pluck[120];
    snprintf(pluck, sizeof pluck, "%g mm from the bridge, %g mm aside at %g degrees",
             bind_from_si(UNIT_MM, plucked->pluck.from_bridge_m),
             bind_from_si(UNIT_MM, plucked->pluck.height_m),
             bind_from_si(UNIT_DEG, plucked->pluck.angle_rad));
    bind_note(t, "plucked %s; %s", pluck,
              plucked->load ? "heard through the load" : "nothing connected");
    if (is_assumed(plucked, false))
        bind_note(t, "how long plain strings ring is an assumption: bending from memory, the rest "
                     "common practice, no source");
    if (is_assumed(plucked, true))
        bind_note(t, "how long wound strings ring is an assumption: common practice, no source");
}
