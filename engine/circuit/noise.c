/* noise.c - thermal noise over a band.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/gsl.h"
#include "circuit/network.h"
#include <gsl/gsl_integration.h>
#include <math.h>

typedef struct integrand {
    const ll_network *network;
    ll_status status;
} integrand;

/* Over the logarithm of the frequency, where a resonance is as wide as its Q says. */
static double per_log_f(double log_f, void *context)
{
    integrand *what = context;
    const double f_hz = exp(log_f);
    double v2_per_hz = 0;
    const ll_status status = ll_network_noise_density(what->network, f_hz, &v2_per_hz);
    if (status)
        what->status = status;
    return v2_per_hz * f_hz;
}

ll_status ll_network_noise(const ll_network *network, double from_hz, double to_hz, double *rms_v)
{
    enum { PIECES = 200 };
    if (!(from_hz > 0 && to_hz > from_hz && isfinite(to_hz)))
        return LL_BAD_VALUE;
    gsl_integration_workspace *workspace = gsl_integration_workspace_alloc(PIECES);
    if (!workspace)
        return LL_NO_MEMORY;
    integrand what = {network, LL_OK};
    gsl_function function = {per_log_f, &what};
    double sum_v2 = 0, error_v2 = 0;
    const int code = gsl_integration_qag(&function, log(from_hz), log(to_hz), 0, 1e-8, PIECES,
                                         GSL_INTEG_GAUSS21, workspace, &sum_v2, &error_v2);
    gsl_integration_workspace_free(workspace);
    if (what.status)
        return what.status;
    if (code)
        return LL_NO_CONVERGENCE;
    *rms_v = sqrt(sum_v2);
    return LL_OK;
}
