/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "failing.h"

#include <gsl/gsl_eigen.h>
#include <gsl/gsl_fft_real.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_interp.h>
#include <gsl/gsl_min.h>
#include <gsl/gsl_multifit.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <gsl/gsl_permutation.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_roots.h>
#include <stdint.h>

enum { MOST_PLACES = 1 << 20 };

static size_t calls, refused = SIZE_MAX, held;
static bool counting, from_then_on;
static const void *places[MOST_PLACES];

void failing_begin(size_t call, bool all_from_then_on)
{
    calls = 0;
    refused = call;
    from_then_on = all_from_then_on;
    counting = true;
}

size_t failing_end(void)
{
    counting = false;
    return calls;
}

size_t failing_held(void)
{
    return held;
}

const void *failing_place(size_t call)
{
    return call < MOST_PLACES ? places[call] : NULL;
}

static bool refuses(const void *place)
{
    if (!counting)
        return false;
    if (calls < MOST_PLACES)
        places[calls] = place;
    const size_t call = calls++;
    return from_then_on ? call >= refused : call == refused;
}

/* ---- the C library's, as the engine and CHOLMOD call them ---- */

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *at, size_t size);
void __real_free(void *at);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *at, size_t size);
void __wrap_free(void *at);

static void *given(void *at)
{
    held += at != NULL;
    return at;
}

void *__wrap_malloc(size_t size)
{
    return refuses(__builtin_return_address(0)) ? NULL : given(__real_malloc(size));
}

void *__wrap_calloc(size_t count, size_t size)
{
    return refuses(__builtin_return_address(0)) ? NULL : given(__real_calloc(count, size));
}

void *__wrap_realloc(void *at, size_t size)
{
    if (refuses(__builtin_return_address(0)))
        return NULL;
    void *moved = __real_realloc(at, size);
    return at ? moved : given(moved);
}

void __wrap_free(void *at)
{
    held -= at != NULL;
    __real_free(at);
}

/* ---- GSL's ---- */

#define REFUSING(result, name, parameters, arguments)                                              \
    result *__real_##name parameters;                                                              \
    result *__wrap_##name parameters;                                                              \
    result *__wrap_##name parameters                                                               \
    {                                                                                              \
        return refuses(__builtin_return_address(0)) ? NULL : __real_##name arguments;              \
    }

REFUSING(gsl_matrix, gsl_matrix_alloc, (size_t n, size_t m), (n, m))
REFUSING(gsl_matrix, gsl_matrix_calloc, (size_t n, size_t m), (n, m))
REFUSING(gsl_matrix_complex, gsl_matrix_complex_alloc, (size_t n, size_t m), (n, m))
REFUSING(gsl_matrix_complex, gsl_matrix_complex_calloc, (size_t n, size_t m), (n, m))
REFUSING(gsl_vector, gsl_vector_alloc, (size_t n), (n))
REFUSING(gsl_vector_complex, gsl_vector_complex_alloc, (size_t n), (n))
REFUSING(gsl_vector_complex, gsl_vector_complex_calloc, (size_t n), (n))
REFUSING(gsl_permutation, gsl_permutation_alloc, (size_t n), (n))
REFUSING(gsl_eigen_gensymmv_workspace, gsl_eigen_gensymmv_alloc, (size_t n), (n))
REFUSING(gsl_eigen_symmv_workspace, gsl_eigen_symmv_alloc, (size_t n), (n))
REFUSING(gsl_eigen_hermv_workspace, gsl_eigen_hermv_alloc, (size_t n), (n))
REFUSING(gsl_multifit_linear_workspace, gsl_multifit_linear_alloc, (size_t n, size_t p), (n, p))
REFUSING(gsl_multifit_nlinear_workspace, gsl_multifit_nlinear_alloc,
         (const gsl_multifit_nlinear_type *type, const gsl_multifit_nlinear_parameters *how,
          size_t n, size_t p),
         (type, how, n, p))
REFUSING(gsl_interp, gsl_interp_alloc, (const gsl_interp_type *type, size_t n), (type, n))
REFUSING(gsl_fft_real_wavetable, gsl_fft_real_wavetable_alloc, (size_t n), (n))
REFUSING(gsl_fft_real_workspace, gsl_fft_real_workspace_alloc, (size_t n), (n))
REFUSING(gsl_integration_workspace, gsl_integration_workspace_alloc, (size_t n), (n))
REFUSING(gsl_integration_glfixed_table, gsl_integration_glfixed_table_alloc, (size_t n), (n))
REFUSING(gsl_min_fminimizer, gsl_min_fminimizer_alloc, (const gsl_min_fminimizer_type *type),
         (type))
REFUSING(gsl_root_fsolver, gsl_root_fsolver_alloc, (const gsl_root_fsolver_type *type), (type))
REFUSING(gsl_rng, gsl_rng_alloc, (const gsl_rng_type *type), (type))
