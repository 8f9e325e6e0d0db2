/* material.c - making, sharing and asking materials.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "material/material.h"
#include "base/constants.h"
#include "material/law.h"
#include "material/law_key.h"
#include "material/material_key.h"
#include "material/tables.h"

#include <math.h>
#include <stdatomic.h>
#include <stdlib.h>

struct ll_material {
    atomic_size_t owners;
    ll_material_class kind;
    const char *name; /* of static storage */
    double conductivity_s_m;
    double mu_r;
    double remanence_per_k;
    ll_law law;
};

/* ---- what its results depend on ---- */

static const ll_member members[] = {
    LL_MEMBER(ll_material, owners, LL_MEMBER_ASIDE),
    LL_MEMBER(ll_material, kind, LL_MEMBER_ENUM),
    LL_MEMBER(ll_material, name, LL_MEMBER_ASIDE),
    LL_MEMBER(ll_material, conductivity_s_m, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_material, mu_r, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_material, remanence_per_k, LL_MEMBER_NUMBERS),
    LL_MEMBER_WITH(ll_material, law, &ll_law_members),
};
const ll_members ll_material_members = LL_MEMBERS(ll_material, members);

void ll_material_add_to_key(const ll_material *material, ll_key *key)
{
    ll_key_add_members(key, &ll_material_members, material);
}

/* ---- making ---- */

static bool is_conductivity(double s_m)
{
    return isfinite(s_m) && s_m >= 0.0;
}

/* Takes over what the law holds, also on failure. */
static ll_status material_new(ll_material_class kind, ll_law law, double mu_r,
                              double conductivity_s_m, ll_material **out)
{
    static const char *const names[] = {"magnet", "steel", "conductor"};
    ll_material *m = malloc(sizeof *m);
    if (!m) {
        free(law.pieces);
        return LL_NO_MEMORY;
    }
    *m = (ll_material){.kind = kind,
                       .name = names[kind],
                       .conductivity_s_m = conductivity_s_m,
                       .mu_r = mu_r,
                       .law = law};
    atomic_init(&m->owners, 1);
    *out = m;
    return LL_OK;
}

ll_status ll_material_magnet(double remanence_t, double recoil, double conductivity_s_m,
                             ll_material **out)
{
    if (!(remanence_t > 0.0 && remanence_t <= LL_MOST_REMANENCE_T && recoil >= 1.0 &&
          recoil <= 100.0) ||
        !is_conductivity(conductivity_s_m))
        return LL_BAD_VALUE;
    return material_new(LL_MAGNET, ll_law_straight(remanence_t, recoil), recoil, conductivity_s_m,
                        out);
}

static double slope_at_zero(const ll_law *law)
{
    double b, slope;
    law->b_of_h(law, 0.0, &b, &slope);
    return slope / LL_MU0;
}

static ll_status magnet_from_points(size_t n, const double (*hb)[2], double recoil,
                                    double conductivity_s_m, ll_material **out)
{
    if (!(recoil == 0.0 || (recoil >= 1.0 && recoil <= 100.0)) ||
        !is_conductivity(conductivity_s_m))
        return LL_BAD_VALUE;
    ll_law law;
    const ll_status status = ll_law_magnet_curve(n, hb, &law);
    if (status)
        return status;
    if (recoil == 0.0)
        recoil = fmax(1.0, slope_at_zero(&law));
    return material_new(LL_MAGNET, law, recoil, conductivity_s_m, out);
}

static ll_status steel_from_points(size_t n, const double (*hb)[2], double conductivity_s_m,
                                   ll_material **out)
{
    if (!is_conductivity(conductivity_s_m))
        return LL_BAD_VALUE;
    ll_law law;
    const ll_status status = ll_law_steel_curve(n, hb, &law);
    if (status)
        return status;
    return material_new(LL_STEEL, law, slope_at_zero(&law), conductivity_s_m, out);
}

/* Two columns side by side; NULL without memory. */
static double (*pair_up(size_t n, const double *h_a_m, const double *b_t))[2]
{
    double(*hb)[2] = calloc(n ? n : 1, sizeof *hb);
    for (size_t i = 0; hb && i < n; i++) {
        hb[i][0] = h_a_m[i];
        hb[i][1] = b_t[i];
    }
    return hb;
}

ll_status ll_material_magnet_curve(size_t n, const double *h_a_m, const double *b_t, double recoil,
                                   double conductivity_s_m, ll_material **out)
{
    double(*hb)[2] = pair_up(n, h_a_m, b_t);
    if (!hb)
        return LL_NO_MEMORY;
    const ll_status status =
        magnet_from_points(n, (const double(*)[2])hb, recoil, conductivity_s_m, out);
    free(hb);
    return status;
}

ll_status ll_material_steel(double mu_r, double conductivity_s_m, ll_material **out)
{
    if (!(isfinite(mu_r) && mu_r >= 1.0) || !is_conductivity(conductivity_s_m))
        return LL_BAD_VALUE;
    return material_new(LL_STEEL, ll_law_straight(0.0, mu_r), mu_r, conductivity_s_m, out);
}

ll_status ll_material_steel_curve(size_t n, const double *h_a_m, const double *b_t,
                                  double conductivity_s_m, ll_material **out)
{
    double(*hb)[2] = pair_up(n, h_a_m, b_t);
    if (!hb)
        return LL_NO_MEMORY;
    const ll_status status = steel_from_points(n, (const double(*)[2])hb, conductivity_s_m, out);
    free(hb);
    return status;
}

ll_status ll_material_steel_arctan(double js_t, double mu_initial, double conductivity_s_m,
                                   ll_material **out)
{
    ll_law law;
    if (!is_conductivity(conductivity_s_m) || ll_law_arctan(js_t, mu_initial, &law))
        return LL_BAD_VALUE;
    return material_new(LL_STEEL, law, mu_initial, conductivity_s_m, out);
}

ll_status ll_material_conductor(double conductivity_s_m, ll_material **out)
{
    if (!is_conductivity(conductivity_s_m) || conductivity_s_m == 0.0)
        return LL_BAD_VALUE;
    return material_new(LL_CONDUCTOR, ll_law_straight(0.0, 1.0), 1.0, conductivity_s_m, out);
}

static ll_status from_entry(const ll_table_entry *entry, ll_material **out)
{
    const ll_material_row *row = &entry->row;
    const double sigma = row->conductivity_s_m;
    const ll_curve *curve = entry->curve;
    switch (entry->kind) {
    case LL_MAGNET:
        return curve ? magnet_from_points(curve->n, curve->hb, row->mu_r, sigma, out)
                     : ll_material_magnet(row->remanence_t, row->mu_r, sigma, out);
    case LL_STEEL:
        return curve ? steel_from_points(curve->n, curve->hb, sigma, out)
                     : ll_material_steel_arctan(row->saturation_t, row->mu_r, sigma, out);
    default:
        return ll_material_conductor(sigma, out);
    }
}

ll_status ll_material_named(const char *name, ll_material **out)
{
    const ll_table_entry *entry = ll_table_find(name);
    if (!entry)
        return LL_UNKNOWN_NAME;
    ll_material *m;
    const ll_status status = from_entry(entry, &m);
    if (status)
        return status;
    m->name = entry->row.name;
    m->remanence_per_k = entry->row.remanence_per_k;
    *out = m;
    return LL_OK;
}

/* The count of owners is the one thing in a material that changes, hence the cast. */
ll_material *ll_material_share(const ll_material *m)
{
    ll_material *shared = (ll_material *)m;
    if (shared)
        atomic_fetch_add(&shared->owners, 1);
    return shared;
}

void ll_material_free(ll_material *m)
{
    if (!m || atomic_fetch_sub(&m->owners, 1) != 1)
        return;
    free(m->law.pieces);
    free(m);
}

const char *ll_material_name(const ll_material *m)
{
    return m->name;
}

ll_material_class ll_material_kind(const ll_material *m)
{
    return m->kind;
}

double ll_material_conductivity_s_m(const ll_material *m)
{
    return m->conductivity_s_m;
}

double ll_material_remanence_t(const ll_material *m)
{
    return m->law.remanence_t;
}

double ll_material_remanence_per_k(const ll_material *m)
{
    return m->remanence_per_k;
}

double ll_material_mu_r(const ll_material *m)
{
    return m->mu_r;
}

bool ll_material_equal(const ll_material *a, const ll_material *b)
{
    ll_key of_a = {0}, of_b = {0};
    ll_material_add_to_key(a, &of_a);
    ll_material_add_to_key(b, &of_b);
    const bool equal = a == b || ll_keys_equal(&of_a, &of_b);
    ll_key_clear(&of_a);
    ll_key_clear(&of_b);
    return equal;
}

bool ll_material_is_linear(const ll_material *m)
{
    return ll_law_is_straight(&m->law);
}

void ll_material_b(const ll_material *m, double h_a_m, double *b_t, double *slope_h_m)
{
    double b, slope;
    m->law.b_of_h(&m->law, h_a_m, &b, &slope);
    if (b_t)
        *b_t = b;
    if (slope_h_m)
        *slope_h_m = slope;
}
