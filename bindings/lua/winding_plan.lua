-- winding_plan.lua - ll.winding_plan: what a bobbin will hold of each wire on the shelf, and what the winder's meter shows on the way.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...

local COLUMNS = { "wire", "fits", "turns", "filled_percent", "layers", "per_layer", "build_mm", "length_mm", "width_mm", "dcr_ohm", "quarter_ohm",
    "half_ohm", "three_quarters_ohm", "wire_m", "weight_g", "pull_g" }
local OLD_COLUMNS = { "level_db", "peak_ratio", "says" }
local TIGHT = 0.93 -- of the room: what is wound unevenly stands higher somewhere; common practice, no source

local function name_of(wire)
    local figures = wire:figures()[1]
    return wire.awg and string.format("AWG %.4g", wire.awg) or string.format("%.3f mm", figures.bare_mm)
end

-- One of them is wanted.
local function wanted(given)
    local what
    for _, name in ipairs{ "turns", "dcr", "grams" } do
        if given[name] ~= nil then
            what = what and core.fail("winding_plan: give one of 'turns', 'dcr' and 'grams'") or name
        end
    end
    return what or core.fail("winding_plan: 'turns' is missing, or 'dcr' or 'grams' in its place")
end

local function words_of(db)
    return math.abs(db) < 1 and "as loud as before" or math.abs(db) < 3 and (db > 0 and "a little louder" or "a little softer")
        or db > 0 and "louder" or "softer"
end

-- Level goes with the turns, inductance with their square, and so the peak with a cable as one over them.
local function beside_old(row, old)
    row.level_db = 20 * math.log(row.turns / old, 10)
    row.peak_ratio, row.says = old / row.turns, words_of(row.level_db)
end

function ll.winding_plan(fields)
    local given = core.read("winding_plan", fields, "winding_plan")
    local what, columns = not core.run().check_mode and wanted(given), { table.unpack(COLUMNS) }
    for _, name in ipairs(given.old and OLD_COLUMNS or {}) do
        columns[#columns + 1] = name
    end
    local t = ll.table{ title = "winding plan", columns = columns, notes = {
        "quarter, half, three_quarters: what an ohm meter shows after so many of the turns; wire may be 4 % off (one standard deviation), and "
            .. "what shows less in proportion has slipped or is short of turns.",
        "filled: of the room; from " .. core.integer(100 * TIGHT) .. " % on it is tight. weight: of the copper; enamel adds 5 to 10 %, and a tenth more "
            .. "is wise to have. pull: at which the wire begins to stretch; stay well below." } }
    for _, wire in ipairs(what and core.list(given.wires) or {}) do
        local row = core.plan(given.opening[1], given.opening[2], given.corner or 0, given.room, given.height, wire, what,
            given[what], given.packing or core.USUAL_PACKING)
        row.wire = name_of(wire)
        row.fits = row.filled_percent <= 100 * TIGHT and "yes" or row.filled_percent <= 100 and "tight" or "no"
        if given.old then
            beside_old(row, given.old)
        end
        t:add(row)
    end
    return t
end
