-- plate.lua - a plate with clear holes for screws and poles.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...

-- Metal that is not magnetic is one block, whose holes let through what stands in them. Steel is cut into blocks that share their
-- edges and act as one piece: a hole is a square that the round one just fits in.
function ll.plate(fields)
    local given = core.read("plate", fields, "plate")
    local size, at, holes = given.size, given.at, core.list(given.holes)
    holes = core.type(holes[1]) == "number" and { holes } or holes
    if not (size and at and given.material) then
        return {}
    end
    local own = { name = given.name, size = size, at = at, material = given.material }
    if ll.material(given.material):figures()[1].kind ~= "steel" then
        own.holes = #holes > 0 and holes or nil
        return ll.block(own)
    end
    for _, hole in ipairs(holes) do
        if hole[3] < 0.2 or math.abs(hole[1]) >= size[1] / 2 or math.abs(hole[2]) >= size[2] / 2 then
            core.fail("plate: each hole is {x, y, diameter} from the plate's middle, as in {-15, 0, 3.4}")
        end
    end
    local list = {}
    for i, tile in ipairs(core.tiles(size[1], size[2], holes)) do
        list[i] = ll.block({ name = (given.name or "plate") .. ", piece " .. core.integer(i), material = given.material,
            size = { tile[3], tile[4], size[3] }, at = { at[1] + tile[1], at[2] + tile[2], at[3] } })
    end
    return list
end
