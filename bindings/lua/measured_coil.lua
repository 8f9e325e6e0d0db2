-- measured_coil.lua - ll.find_coil: the coil that fits an impedance, compared with what was described and handed on.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local abs, format, pi, sqrt = math.abs, string.format, math.pi, math.sqrt
local type = core.type

local new_coil, COLUMNS = core.declares("find_coil", "found_coil", {
    { "what", "text", "none", "measured, the band of 95 in 100, or described" },
    { "dcr_ohm", "ohm", "model", "resistance" },
    { "l_h", "H", "model", "inductance at low frequencies" },
    { "c_f", "F", "model", "capacitance" },
    { "resonance_hz", "Hz", "model", "where the impedance is largest" },
    { "peak_ohm", "ohm", "model", "how large it is there" },
    { "q", "", "model", "that frequency over the width of the peak" },
})
local new_curve = core.declares("find_coil", "found_curve", {
    { "f_hz", "Hz", "none", "frequency" },
    { "measured_ohm", "ohm", "model", "size of the impedance, as measured" },
    { "fitted_ohm", "ohm", "model", "of the coil that was found" },
    { "residual_percent", "%", "model", "measured against fitted" },
    { "described_ohm", "ohm", "mesh", "of the pickup that was given" },
    { "off_percent", "%", "mesh", "measured against described" },
})

local NO_INPUT = 1e7 -- ohm: the input that recorded it is taken off
local BAND = 1.96 -- standard deviations on each side hold 95 of 100, of a normal distribution

-- Rows { f, re, im, sd } in ohm of a table's points.
local function rows_of(points, percent)
    local rows = {}
    if type(points) ~= "table" then
        core.fail("find_coil: 'points' is a table with f_hz, r_ohm and l_h, such as r:measured_impedance{...} or ll.read_table{...}")
    end
    for i, row in ipairs(points) do
        local f, r, l, sd = core.rawget(row, "f_hz"), core.rawget(row, "r_ohm"), core.rawget(row, "l_h"), core.rawget(row, "sd_ohm")
        if type(f) ~= "number" or type(r) ~= "number" or type(l) ~= "number" then
            core.fail("find_coil: row " .. core.integer(i) .. " of 'points' lacks a number in f_hz, r_ohm or l_h")
        end
        local x = 2 * pi * f * l
        rows[i] = { f, r, x, type(sd) == "number" and sd > 0 and sd or percent / 100 * sqrt((r * r + x * x) / 2) }
    end
    return rows
end

local function size(re, im)
    return sqrt(re * re + im * im)
end

-- Relative standard deviations with the resistor's tolerance as two of its own: it scales ohms and henries, and farads inversely.
local function deviations(coil, resistor_percent)
    local scale = (resistor_percent or 0) / 200
    local sd = {}
    for k, value in ipairs(coil.sd) do
        sd[k] = sqrt(value * value + scale * scale)
    end
    if coil.peak then
        sd[4], sd[5], sd[6] = coil.peak_sd[1], sqrt(coil.peak_sd[2] ^ 2 + scale * scale), coil.peak_sd[3]
    end
    return sd
end

local function values_of(coil)
    local peak = coil.peak or {}
    return { coil.r_ohm, coil.l_h, coil.c_f, peak[1], peak[2], peak[3] }
end

local function row(what, values)
    local record = { what = what }
    for k = 2, #COLUMNS do
        record[COLUMNS[k]] = values[k - 1]
    end
    return record
end

local placeholder = { r_ohm = 7000, l_h = 2.5, c_f = 1e-10, core = 0, core_hz = 0, share = {}, corner_hz = {},
    sd = { 0.01, 0.01, 0.01 }, correlation = { 0, 0, 0 }, peak = { 8000, 5e5, 3 }, peak_sd = { 0.01, 0.01, 0.01 }, misfit = 1, rest = 0.01 }

-- What the same measurement would have found of the pickup as described, with the cable on it: its coil, and |Z| along f.
local function described(pickup, f, cable)
    local c, rows, list = (core.rawget(pickup:winding()[1], "c_f") or 0) + (cable or 0), {}, {}
    for i, z in ipairs(pickup:impedance{ f = f }) do
        -- Z / (1 + j b Z) with Z = r + j x.
        local r, x, b = z.r_ohm, 2 * pi * z.f_hz * z.l_h, 2 * pi * z.f_hz * c
        local re, im = 1 - b * x, b * r
        local by = re * re + im * im
        list[i] = size(r, x) / sqrt(by)
        rows[i] = { f[i], (r * re + x * im) / by, (x * re - r * im) / by, 1e-3 * list[i] }
    end
    return values_of(core.placeholder() and placeholder or core.coil_find(rows)), list
end

local function add_described(t, other, values)
    local off = {}
    for k = 1, #COLUMNS - 1 do
        local by = other[k] and values[k] and values[k] - other[k]
        off[k] = by and (abs(by) < 1e-9 * abs(other[k]) and 0 or by) or nil
    end
    t:add(row("described", other))
    t:add(row("measured - described", off))
end

local function note_coil(t, coil, sd)
    local texts = {}
    for k, name in ipairs{ "R", "L", "C", "peak", "peak's ohms", "Q" } do
        texts[#texts + 1] = sd[k] and format("%s %.2g %%", name, 100 * BAND * sd[k]) or nil
    end
    t:note("give or take (95 of 100): " .. table.concat(texts, ", "))
    t:note(format("correlation: R with L %+.2f, L with C %+.2f, R with C %+.2f", table.unpack(coil.correlation)))
    local metal = {}
    for k, share in ipairs(coil.share) do
        metal[k] = format("%.0f %% of L above %.0f Hz (a loop)", 100 * share, coil.corner_hz[k])
    end
    if coil.core > 0 then
        metal[#metal + 1] = format("%.0f %% spread around %.0f Hz (thick steel)", 100 * coil.core, coil.core_hz)
    end
    t:note("taken by currents in metal: " .. (#metal > 0 and table.concat(metal, ", ") or "nothing that can be told"))
    t:note(format("what the coil leaves over: %.2g %% of |Z|, %.2g of what the points' own deviations say", 100 * coil.rest, coil.misfit))
    if coil.misfit > 2 then
        t:note("WARNING: the points are off this kind of coil by more than their noise; look at the curve. The bands are widened for it")
    end
    if not coil.peak then
        t:note("the curve has no peak that can be told: no resonance and no Q")
    end
end

local function curve_of(rows, coil, other)
    local columns = { "f_hz", "measured_ohm", "fitted_ohm", "residual_percent" }
    if other then
        columns[5], columns[6] = "described_ohm", "off_percent"
    end
    local f = {}
    for i, z in ipairs(rows) do
        f[i] = z[1]
    end
    local re, im = core.coil_curve(coil, f)
    local t = new_curve{ title = "the curve", columns = columns,
        notes = { "residual: measured against fitted; off: measured against described" } }
    for i, z in ipairs(rows) do
        local measured, fitted = size(z[2], z[3]), size(re[i], im[i])
        t:add{ f_hz = z[1], measured_ohm = measured, fitted_ohm = fitted, residual_percent = 100 * (measured / fitted - 1),
            [columns[5] or "f_hz"] = other and other[i] or z[1],
            [columns[6] or "f_hz"] = other and 100 * (measured / other[i] - 1) or z[1] }
    end
    return t
end

-- The coil's resistance and inductance without its capacitance, as p:impedance and ll.lumped have them.
local function bare_rows(coil, f)
    local bare = {}
    for key, value in next, coil do
        bare[key] = value
    end
    bare.c_f = 0
    local re, im = core.coil_curve(bare, f)
    local list = {}
    for i, hz in ipairs(f) do
        list[i] = { hz, re[i], im[i] / (2 * pi * hz) }
    end
    return list
end

-- Where a bridge's figures are handed on: below the peak, above which the capacitance hides the coil, and within what was measured.
-- High up shorted turns and metal around the coil show.
local HIGH_HZ, BELOW_PEAK, LEAST_HIGH_HZ = 5000, 0.6, 1500
local function handed_hz(coil, rows)
    local list, high = { 120, 1000 }, 0
    for _, z in ipairs(rows) do
        high = math.max(high, z[1])
    end
    high = math.min(HIGH_HZ, high, coil.peak and BELOW_PEAK * coil.peak[1] or HIGH_HZ)
    list[3] = high >= LEAST_HIGH_HZ and 100 * math.floor(high / 100) or nil
    return list
end

-- What other words take: readings for ll.diagnose, measured and error for ll.fit, a lumped coil for ll.network.
-- The cable that hung on it is a load, and no part of the coil; only who knows it can compare the peak.
local function handed_on(coil, rows, values, sd, cable)
    local handed = { readings = { dcr = coil.r_ohm, inductance = {} }, measured = {}, error = {} }
    for _, z in ipairs(bare_rows(coil, handed_hz(coil, rows))) do
        handed.readings.inductance[#handed.readings.inductance + 1] = { f = z[1], r = z[2], l = z[3] }
    end
    if coil.peak and cable then
        handed.readings.resonance = { f = coil.peak[1], cable = cable, input = NO_INPUT }
    end
    for k, name in ipairs{ "dcr_ohm", "l_h", "c_f", "resonance_hz" } do
        handed.measured[name] = values[k]
        handed.error[name] = values[k] and sd[k] * values[k] or nil
    end
    handed.measured.c_f = coil.c_f - (cable or 0)
    local measured = bare_rows(coil, ll.log_range(20, 20000, 10))
    handed.lumped = ll.lumped{ name = "as measured", measured = measured, c = coil.c_f > (cable or 0) and coil.c_f - (cable or 0) or nil }
    return handed
end

-- ll.find_coil{ points = t, pickup = p }: the coil, the curve, and what to hand on.
function ll.find_coil(fields)
    local given = core.read("find_coil", fields, "find_coil")
    local rows = rows_of(given.points, given.percent or 0.5)
    local coil = core.placeholder() and placeholder or core.coil_find(rows)
    local values, sd = values_of(coil), deviations(coil, given.resistor_percent)
    local t = new_coil{ title = "the coil" }
    local band = {}
    for k, value in next, values do
        band[k] = BAND * sd[k] * abs(value)
    end
    t:add(row("measured", values))
    t:add(row("give or take", band))
    local other
    if given.pickup then
        local f = {}
        for i, z in ipairs(rows) do
            f[i] = z[1]
        end
        local expected
        expected, other = described(given.pickup, f, given.cable)
        add_described(t, expected, values)
    end
    note_coil(t, coil, sd)
    t:note(given.cable and "handed on without the cable, and the peak with it as its load"
        or "handed on without its peak, as no cable was told: cable = 500 * ll.pf, or 0")
    return t, curve_of(rows, coil, other), handed_on(coil, rows, values, sd, given.cable)
end
