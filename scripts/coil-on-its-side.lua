-- A coil lying on its side: does it hear the strings as well as one that stands?
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- A slim pickup has room for 12 mm and no more. One and the same core, coil and magnet are tried twice: standing, core
-- upright under the strings with the magnet beneath; and lying on the side, core along the strings with the magnet at
-- its bridge end. The tops of both are level.
--
-- Other figures, in millimetres:  lodeloom run coil-on-its-side height=3

local height = given.height or 3.5   -- underside of the strings over the top of the winding

local core = ll.block{ name = "core", size = { 58, 4, 14 }, at = { 0, 0, 0 }, material = "steel 1018" }
local magnet = ll.block{ name = "magnet", size = { 58, 10, 4 }, at = { 0, 0, -9.2 }, material = "ferrite C5",
    north = "+z" }
local coil = ll.coil{ turns = 6000, wire = ll.awg(43), opening = { 60, 5 }, corner = 0.5, build = 4, height = 11,
    at = { 0, 0, 0 } }

-- Laid down towards the neck: what looked up looks to the neck. Turning a part leaves its centre where it is, so the
-- magnet and the coil are also moved to their new places.
local lying_core = core:turned("x", -90)
local lying_magnet = magnet:turned("x", -90):moved(0, -9.2, 9.2)
local lying_coil = coil:with{ along = "+y" }

local builds = {
    { name = "standing", parts = { core, magnet }, coil = coil, top = 7 },
    { name = "on its side", parts = { lying_core, lying_magnet }, coil = lying_coil, top = 6.5 },
}

local set = { { "E2", 1.17, true, -25.5 }, { "G3", 0.43, false, 5.1 }, { "E4", 0.25, false, 25.5 } }

local result = ll.table{
    title = "Strings " .. height .. " mm over the top of the pickup",
    columns = { "build", "string", "output_mv", "sideways_mv" },
    notes = {
        "output: string moving up at 1 m/s; sideways: to the treble side at 1 m/s; nothing connected.",
        "On its side it hears less, and works all the same: a string is magnetised along its length, as this core is.",
    },
}
local sheet = ll.table{
    title = "The coil on the bench",
    columns = { "build", "dcr_ohm", "l_h" },
    notes = { "Turning a pickup changes nothing on an LCR bridge." },
}
for _, build in ipairs(builds) do
    local p = ll.pickup{ name = build.name, parts = build.parts, coils = { build.coil }, accuracy = 1 }
    local strings = {}
    for i, s in ipairs(set) do
        strings[i] = ll.string{ note = s[1], gauge = s[2], wound = s[3],
            wrap = s[3] and "nickel-plated steel" or nil, x = s[4], z = build.top + height + s[2] / 2 }
    end
    local outputs, winding = p:sensitivity{ strings = strings }, p:winding()
    for _, row in ipairs(outputs) do
        result:add{ build = build.name, string = row.string, output_mv = row.vertical_mv,
            sideways_mv = row.horizontal_mv }
    end
    result:note("output " .. build.name .. ": " .. outputs:mesh_error())
    sheet:note("l, " .. build.name .. ": " .. winding:mesh_error())
    sheet:add{ build = build.name, dcr_ohm = winding.dcr_ohm, l_h = winding.l_h }
end
result:print()
sheet:print()
