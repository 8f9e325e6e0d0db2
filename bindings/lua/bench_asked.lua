-- bench_asked.lua - readings that smell of another unit are asked back: a slip of the pen is no fault of the pickup.
-- SPDX-License-Identifier: GPL-3.0-or-later
local _, core = ...
local bench = core.bench
local abs, exp, log, format = math.abs, math.exp, math.log, string.format

-- For each test: what else people count in, by how much that is larger than what is asked for, and how it is written. `shown`
-- is a value on the test's scale as the script has it.
local function as_logarithm(value)
    return exp(value)
end

local kilohms = { name = "kilohms", factor = 1e3, written = "%s * ll.kohm", unit = "ohm" }
local slips = {
    dcr = { kilohms, shown = as_logarithm },
    coil_dcr = { kilohms, shown = as_logarithm },
    jack = { kilohms, shown = as_logarithm },
    loss = { kilohms, shown = as_logarithm, asked = "inductance: r" },
    inductance = { { name = "millihenries", factor = 1e-3, written = "%s", scale = 1e-3, unit = "H" },
        shown = as_logarithm, asked = "inductance: l" },
    resonance = { { name = "kilohertz", factor = 1e3, written = "%se3", unit = "Hz" },
        shown = as_logarithm, asked = "resonance: f" },
    gauss = { { name = "millitesla", factor = 10, written = "%s", scale = 10, unit = "gauss" },
        { name = "tesla", factor = 1e4, written = "%s", scale = 1e4, unit = "gauss" },
        shown = function(value) return 10 * value end },
}
slips.face_gauss = slips.gauss

-- How near a reading in another unit is to a sound pickup's: as readings and parts scatter, no more. Common practice, no source.
local NEAR = log(1.35)

-- True when each of the readings, `values` by their items, would be a sound one's in the slip's unit.
local function smells(slip, values, sound, shown)
    local any = false
    for k, value in next, values do
        local read, expected = shown(value), shown(sound[k])
        if abs(expected) > 1e-6 and abs(read) > 1e-12 then
            if abs(log(abs(read / expected) * slip.factor)) > NEAR then
                return false
            end
            any = true
        end
    end
    return any
end

-- Three digits, written out.
local function rounded(value)
    local digit = 10 ^ (math.floor(log(abs(value), 10)) - 2)
    return format("%.6g", math.floor(value / digit + 0.5) * digit)
end

local function ask(name, slip, read, sound)
    core.fail(format("diagnose: '%s' is %.6g %s, and a sound pickup has %s %s; %.6g %s are written %s; if it is right as it is, "
        .. "add sure = true to the readings", name, read, slip.unit, rounded(sound), slip.unit, abs(read), slip.name,
        format(slip.written, format("%.6g", abs(read) * (slip.scale or 1)))))
end

-- The same of the whole resistance before anything is solved, where every coil has its wire.
function bench.ask_dcr(pickup, values)
    local coils = bench.flat(pickup.coils or {})
    for _, coil in ipairs(coils) do
        if not coil.wire and not coil.dcr then
            return
        end
    end
    local sound = #coils > 0 and { log(pickup:winding().dcr_ohm) }
    if sound and smells(kilohms, values, sound, as_logarithm) then
        ask("dcr", kilohms, exp(values[1]), exp(sound[1]))
    end
end

-- Raises when a reading is what a sound pickup would give in another unit.
function bench.ask_back(job, taken)
    local sound
    for t, test in ipairs(bench.tests) do
        local of = slips[test.name] or {}
        for _, slip in ipairs(taken[t] and of or {}) do
            sound = sound or bench.state(job, {}, {})
            local predicted = test.predict(job, sound)
            if smells(slip, taken[t], predicted, of.shown) then
                local k = next(taken[t])
                ask(of.asked or test.name, slip, of.shown(taken[t][k]), of.shown(predicted[k]))
            end
        end
    end
end
