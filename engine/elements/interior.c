/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/interior.h"

#include <cholmod.h>
#include <stdlib.h>
#include <string.h>

struct ll_interior {
    cholmod_common common;
    const ll_mesh *mesh;
    cholmod_sparse *matrix; /* symmetric, lower triangle stored, columns sorted */
    cholmod_factor *factor;
    int (*slot)
        [10]; /* [tets] where the entries of each element's lower triangle stand among the values */
    size_t nodes;
};

struct ll_interior_work {
    cholmod_common common;
    cholmod_dense *b, *x, *y, *e; /* kept between solves */
};

static void start(cholmod_common *common)
{
    cholmod_start(common);
    common->print = 0;
    /* Simplicial: no threaded library is entered from the solver's own threads. */
    common->supernodal = CHOLMOD_SIMPLICIAL;
    /* Nested dissection takes half the time of minimum degree on solid pieces; the latter where the library lacks it. */
    common->nmethods = 1;
    common->method[0].ordering = CHOLMOD_METIS;
}

/* Caller frees it; NULL when memory is short. One at a time: METIS draws from the one rand() of the process, which it seeds
 * anew each time, and with two at once the order of elimination, and with it the last digits, would be left to chance. */
static cholmod_factor *analysed(cholmod_sparse *matrix, cholmod_common *common)
{
    cholmod_factor *factor;
#pragma omp critical(ll_interior_analysis)
    factor = cholmod_analyze(matrix, common);
    if (factor)
        return factor;
    common->method[0].ordering = CHOLMOD_AMD;
    return cholmod_analyze(matrix, common);
}

static ll_status fault_of(const cholmod_common *common)
{
    return common->status == CHOLMOD_OUT_OF_MEMORY ? LL_NO_MEMORY : LL_LIBRARY;
}

double ll_tet_hats(const ll_mesh *mesh, size_t t, ll_vec3 gradient[4])
{
    const int *n = mesh->tet[t];
    const ll_vec3 o = mesh->node_m[n[0]];
    const ll_vec3 a = ll_sub(mesh->node_m[n[1]], o), b = ll_sub(mesh->node_m[n[2]], o),
                  c = ll_sub(mesh->node_m[n[3]], o);
    const double six = ll_dot(ll_cross(a, b), c);
    gradient[1] = ll_scale(1 / six, ll_cross(b, c));
    gradient[2] = ll_scale(1 / six, ll_cross(c, a));
    gradient[3] = ll_scale(1 / six, ll_cross(a, b));
    gradient[0] = ll_scale(-1, ll_add(gradient[1], ll_add(gradient[2], gradient[3])));
    return six / 6;
}

ll_vec3 ll_tet_gradient(const ll_mesh *mesh, size_t t, const double *node_value)
{
    ll_vec3 hat[4], sum = {0};
    ll_tet_hats(mesh, t, hat);
    for (int k = 0; k < 4; k++)
        sum = ll_add(sum, ll_scale(node_value[mesh->tet[t][k]], hat[k]));
    return sum;
}

static void add_entry(cholmod_triplet *triplet, int a, int b)
{
    ((int *)triplet->i)[triplet->nnz] = a > b ? a : b;
    ((int *)triplet->j)[triplet->nnz] = a > b ? b : a;
    ((double *)triplet->x)[triplet->nnz++] = 0;
}

static ll_status make_pattern(ll_interior *in)
{
    const ll_mesh *mesh = in->mesh;
    cholmod_triplet *triplet = cholmod_allocate_triplet(mesh->nodes, mesh->nodes, 10 * mesh->tets,
                                                        -1, CHOLMOD_REAL, &in->common);
    if (!triplet)
        return LL_NO_MEMORY;
    for (size_t t = 0; t < mesh->tets; t++)
        for (int a = 0; a < 4; a++)
            for (int b = 0; b <= a; b++)
                add_entry(triplet, mesh->tet[t][a], mesh->tet[t][b]);
    in->matrix = cholmod_triplet_to_sparse(triplet, triplet->nnz, &in->common);
    cholmod_free_triplet(&triplet, &in->common);
    return in->matrix && cholmod_sort(in->matrix, &in->common) ? LL_OK : LL_NO_MEMORY;
}

static int find_slot(const cholmod_sparse *matrix, int a, int b)
{
    const int row = a > b ? a : b, column = a > b ? b : a;
    const int *start = matrix->p, *rows = matrix->i;
    int low = start[column], high = start[column + 1] - 1;
    while (low < high) {
        const int mid = (low + high) / 2;
        if (rows[mid] < row)
            low = mid + 1;
        else
            high = mid;
    }
    return low;
}

static ll_status find_slots(ll_interior *in)
{
    const ll_mesh *mesh = in->mesh;
    in->slot = malloc((mesh->tets + 1) * sizeof *in->slot);
    if (!in->slot)
        return LL_NO_MEMORY;
    for (size_t t = 0; t < mesh->tets; t++)
        for (int a = 0, k = 0; a < 4; a++)
            for (int b = 0; b <= a; b++)
                in->slot[t][k++] = find_slot(in->matrix, mesh->tet[t][a], mesh->tet[t][b]);
    return LL_OK;
}

ll_status ll_interior_new(const ll_mesh *mesh, ll_interior **out)
{
    ll_interior *in = calloc(1, sizeof *in);
    if (!in)
        return LL_NO_MEMORY;
    start(&in->common);
    in->mesh = mesh;
    in->nodes = mesh->nodes;
    ll_status status = make_pattern(in);
    if (!status)
        status = find_slots(in);
    if (status)
        ll_interior_free(in);
    else
        *out = in;
    return status;
}

void ll_interior_fill(ll_interior *in, const ll_tensor *mu)
{
    double *value = in->matrix->x;
    memset(value, 0, in->matrix->nzmax * sizeof *value);
    for (size_t t = 0; t < in->mesh->tets; t++) {
        ll_vec3 hat[4];
        double along[4];
        const double volume = ll_tet_hats(in->mesh, t, hat);
        for (int a = 0; a < 4; a++)
            along[a] = ll_dot(hat[a], mu[t].axis);
        for (int a = 0, k = 0; a < 4; a++)
            for (int b = 0; b <= a; b++)
                value[in->slot[t][k++]] += volume * (mu[t].across * ll_dot(hat[a], hat[b]) +
                                                     mu[t].extra * along[a] * along[b]);
    }
}

void ll_interior_fill_axes(ll_interior *in, const double (*mu)[3])
{
    double *value = in->matrix->x;
    memset(value, 0, in->matrix->nzmax * sizeof *value);
    for (size_t t = 0; t < in->mesh->tets; t++) {
        ll_vec3 hat[4];
        const double volume = ll_tet_hats(in->mesh, t, hat);
        for (int a = 0, k = 0; a < 4; a++) {
            const ll_vec3 flux =
                ll_vec(mu[t][0] * hat[a].x, mu[t][1] * hat[a].y, mu[t][2] * hat[a].z);
            for (int b = 0; b <= a; b++)
                value[in->slot[t][k++]] += volume * ll_dot(flux, hat[b]);
        }
    }
}

void ll_interior_free(ll_interior *in)
{
    if (!in)
        return;
    cholmod_free_sparse(&in->matrix, &in->common);
    cholmod_free_factor(&in->factor, &in->common);
    cholmod_finish(&in->common);
    free(in->slot);
    free(in);
}

/* The diagonal stands first in each column of a sorted lower triangle. */
static void add_diagonal(cholmod_sparse *matrix, const double *surface, size_t count)
{
    const int *start = matrix->p;
    for (size_t j = 0; j < count; j++)
        ((double *)matrix->x)[start[j]] += surface[j];
}

ll_status ll_interior_factorise(ll_interior *in, const double *surface)
{
    cholmod_sparse *shifted = cholmod_copy_sparse(in->matrix, &in->common);
    if (!shifted)
        return LL_NO_MEMORY;
    size_t count = 0;
    while (count < in->nodes && surface[count] > 0)
        count++;
    add_diagonal(shifted, surface, count);
    if (!in->factor)
        in->factor = analysed(shifted, &in->common);
    if (in->factor)
        cholmod_factorize(shifted, in->factor, &in->common);
    cholmod_free_sparse(&shifted, &in->common);
    return in->factor && in->common.status == CHOLMOD_OK ? LL_OK : fault_of(&in->common);
}

void ll_interior_multiply(const ll_interior *in, const double *x, double *y)
{
    const int *start = in->matrix->p, *row = in->matrix->i;
    const double *value = in->matrix->x;
    memset(y, 0, in->nodes * sizeof *y);
    for (size_t j = 0; j < in->nodes; j++) {
        double sum = value[start[j]] * x[j];
        for (int k = start[j] + 1; k < start[j + 1]; k++) {
            sum += value[k] * x[row[k]];
            y[row[k]] += value[k] * x[j];
        }
        y[j] += sum;
    }
}

ll_interior_work *ll_interior_work_new(void)
{
    ll_interior_work *work = calloc(1, sizeof *work);
    if (work)
        start(&work->common);
    return work;
}

void ll_interior_work_free(ll_interior_work *work)
{
    if (!work)
        return;
    cholmod_free_dense(&work->b, &work->common);
    cholmod_free_dense(&work->x, &work->common);
    cholmod_free_dense(&work->y, &work->common);
    cholmod_free_dense(&work->e, &work->common);
    cholmod_finish(&work->common);
    free(work);
}

/* Room for the right-hand sides, one below the other. */
static ll_status make_room(const ll_interior *in, ll_interior_work *work, size_t count)
{
    if (work->b && work->b->nrow == in->nodes && work->b->ncol == count)
        return LL_OK;
    cholmod_free_dense(&work->b, &work->common);
    work->b = cholmod_allocate_dense(in->nodes, count, in->nodes, CHOLMOD_REAL, &work->common);
    return work->b ? LL_OK : LL_NO_MEMORY;
}

ll_status ll_interior_solve(const ll_interior *in, ll_interior_work *work, size_t count,
                            double *const *x)
{
    const size_t n = in->nodes;
    const ll_status status = make_room(in, work, count);
    if (status)
        return status;
    for (size_t k = 0; k < count; k++)
        memcpy((double *)work->b->x + k * n, x[k], n * sizeof **x);
    if (!cholmod_solve2(CHOLMOD_A, in->factor, work->b, NULL, &work->x, NULL, &work->y, &work->e,
                        &work->common))
        return fault_of(&work->common);
    for (size_t k = 0; k < count; k++)
        memcpy(x[k], (const double *)work->x->x + k * n, n * sizeof **x);
    return LL_OK;
}
