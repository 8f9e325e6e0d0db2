-- winding_plan.lua - ll.winding_plan: what a bobbin will hold of each wire on the shelf, and what the winder's meter shows on the way.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...

local new_table, ALL = core.declares("ll", "winding_plan", {
    { "wire", "text", "none", "gauge, or diameter" },
    { "fits", "text", "model", "yes, tight or no" },
    { "turns", "", "model", "that give what was wanted" },
    { "filled_percent", "%", "model", "of the room" },
    { "layers", "", "model", "one on the other" },
    { "per_layer", "", "model", "turns in a layer" },
    { "build_mm", "mm", "model", "thickness of the winding" },
    { "length_mm", "mm", "model", "outer length of the winding" },
    { "width_mm", "mm", "model", "its outer width" },
    { "dcr_ohm", "ohm", "model", "what an ohm meter shows when it is done" },
    { "quarter_ohm", "ohm", "model", "after a quarter of the turns" },
    { "half_ohm", "ohm", "model", "after half of them" },
    { "three_quarters_ohm", "ohm", "model", "after three quarters" },
    { "wire_m", "m", "model", "wire that it takes" },
    { "weight_g", "g", "model", "of its copper" },
    { "pull_g", "g", "model", "at which the wire begins to stretch" },
    { "level_db", "dB", "model", "against the old winding" },
    { "peak_ratio", "", "model", "its peak with a cable over that of the old one" },
    { "says", "text", "model", "how it is heard" },
})
local OLD_COLUMNS = 3 -- the last of them
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
    local what = not core.run().check_mode and wanted(given)
    local t = new_table{ title = "winding plan", columns = { table.unpack(ALL, 1, #ALL - (given.old and 0 or OLD_COLUMNS)) }, notes = {
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
