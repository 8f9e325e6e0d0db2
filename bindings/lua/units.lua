-- units.lua - small helpers: other units, ranges, multipliers.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local floor, huge, max = math.floor, math.huge, math.max

local MOST = 100000 -- values in one range

local function number(value, what)
    if core.type(value) ~= "number" or value ~= value or value == huge or value == -huge then
        core.fail(what .. " must be a finite number")
    end
    return value
end

-- Inches and thousandths of an inch to millimetres: the inch of 1959 is 25.4 mm.
function ll.inch(x)
    return number(x, "inch: the argument") * 25.4
end

function ll.thou(x)
    return number(x, "thou: the argument") * 0.0254
end

-- Gauss to millitesla.
function ll.gauss(x)
    return number(x, "gauss: the argument") * 0.1
end

ll.kohm, ll.nf, ll.pf = 1e3, 1e-9, 1e-12

-- a, a + step, ... up to b; b itself is met when a whole number of steps leads there.
function ll.range(a, b, step)
    number(a, "range: the first value")
    number(b, "range: the last value")
    step = step == nil and 1 or number(step, "range: the step")
    if step == 0 or (b - a) / step < 0 then
        core.fail("range: with steps of " .. step .. " one never gets from " .. a .. " to " .. b)
    end
    local count = floor((b - a) / step * (1 + 1e-12) + 1e-9)
    if count >= MOST then
        core.fail("range: more than " .. MOST .. " values; take a larger step")
    end
    local list = {}
    for i = 0, count do
        list[i + 1] = a + i * step
    end
    return list
end

-- Frequencies from f1 to f2, per_decade to the decade (10 when left out), both ends met.
function ll.log_range(f1, f2, per_decade)
    number(f1, "log_range: the first value")
    number(f2, "log_range: the last value")
    per_decade = per_decade == nil and 10 or number(per_decade, "log_range: the number per decade")
    if f1 <= 0 or f2 <= f1 or per_decade <= 0 then
        core.fail("log_range: it takes 0 < f1 < f2 and at least one value per decade")
    end
    local decades = math.log(f2 / f1, 10)
    local count = max(1, floor(decades * per_decade + 0.5))
    if count >= MOST then
        core.fail("log_range: more than " .. MOST .. " values")
    end
    local list = {}
    for i = 0, count do
        list[i + 1] = f1 * 10 ^ (decades * i / count)
    end
    list[count + 1] = f2
    return list
end
