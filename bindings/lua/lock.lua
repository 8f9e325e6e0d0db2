-- lock.lua - the module tells when it is asked for something that it does not have.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...

-- Words of the trade that are no words of the module, and how what they mean is described.
local described = {
    [ [[ll.rod{...}, or ll.screw{...} with a head]] ] = "pole poles slug slugs stud studs polepiece pole_piece cylinder disc disk pin",
    [ [[ll.screw{...}]] ] = "bolt",
    [ [[ll.block{...}]] ] = "bar bars blade blades rail rails bar_magnet keeper horseshoe",
    [ [[ll.plate{...}, with holes = for what passes through it]] ] = "baseplate base_plate flatwork",
    [ [[ll.cover{...}]] ] = "box shield lid can",
    [ [[ll.ring{...}]] ] = "tube washer sleeve ring_magnet",
    [ [[ll.coil{ opening = ..., build = ..., height = ... }]] ] = "bobbin turns coils",
    [ [[material = "ferrite C5"; ll.materials() lists them]] ] = "ferrite ceramic alnico neodymium samarium brass copper iron nickel_silver",
    [ [[ll.network{...}]] ] = "guitar circuit pot pots volume tone cap capacitor cable lead amp amplifier input load switch",
    [ [[ll.blend{...}]] ] = "phase switching mix",
    [ [[pickup:output{...}]] ] = "level levels loudness voltage",
    [ [[ll.network{ from = pickup }:peak(), or pickup:winding() for the coil alone]] ] = "resonance peak q",
    [ [[pickup:field{ {x, y, z} }]] ] = "gauss_at fields_at flux b",
    [ [[pickup:winding()]] ] = "resistance dcr inductance capacitance lcr",
    [ [[pickup:pull{...}]] ] = "warble force",
}

local function as_described(key)
    for call, words in next, described do
        for word in string.gmatch(words, "%S+") do
            if word == key then
                return call
            end
        end
    end
end

core.setmetatable(ll, core.guard({
    __index = function(_, key)
        local names = {}
        for name in next, ll do
            names[#names + 1] = name
        end
        table.sort(names)
        local near = core.nearest(core.tostring(key), names)
        local call = as_described(core.tostring(key))
        local meant = core.elsewhere(key, "ll") or near and "ll." .. near
        core.fail("there is no ll." .. core.tostring(key) .. (call and "; write " .. call
            or meant and "; did you mean " .. meant .. "?" or ""))
    end,
    __newindex = function(_, key)
        core.fail("ll." .. core.tostring(key) .. ": the module takes no new names; use a local")
    end,
    __metatable = "lodeloom",
}))
