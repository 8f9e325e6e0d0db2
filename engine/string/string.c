/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/string.h"
#include "base/constants.h"

double ll_string_tension_n(double mass_kg_m, double scale_m, double frequency_hz)
{
    const double speed = ll_string_wave_m_s(scale_m, frequency_hz);
    return mass_kg_m * speed * speed;
}

double ll_string_wave_m_s(double scale_m, double frequency_hz)
{
    return 2 * scale_m * frequency_hz;
}

double ll_string_notch_hz(double wave_m_s, double distance_m, bool in_phase)
{
    return wave_m_s / distance_m / (in_phase ? 2 : 1);
}

double ll_string_plain_mass_kg_m(double diameter_m, double density_kg_m3)
{
    return density_kg_m3 * LL_PI * diameter_m * diameter_m / 4;
}
