-- cover.lua - a box of sheet metal, open below: five plates that meet along their edges.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...

-- The top lies over the long walls, and these over the short ones, so that no plate cuts into another.
function ll.cover(fields)
    local given = core.read("cover", fields, "cover")
    local size, at, t = given.size, given.at, given.thickness
    if not (size and at and t and given.material) then
        return {}
    end
    local name, wall = given.name or "cover", size[3] - t
    if 2 * t >= math.min(size[1], size[2]) or wall <= 0 then
        return core.fail("cover: 'thickness' leaves no room inside 'size'")
    end
    local function plate(side, x, y, z, dx, dy, dz, holes)
        return ll.plate{ holes = holes, name = name .. " " .. side, material = given.material, size = { x, y, z },
            at = { at[1] + dx, at[2] + dy, at[3] + dz } }
    end
    local y, x = (size[2] - t) / 2, (size[1] - t) / 2
    return {
        plate("top", size[1], size[2], t, 0, 0, wall / 2, given.holes),
        plate("neck side", size[1], t, wall, 0, y, -t / 2),
        plate("bridge side", size[1], t, wall, 0, -y, -t / 2),
        plate("bass side", t, size[2] - 2 * t, wall, -x, 0, -t / 2),
        plate("treble side", t, size[2] - 2 * t, wall, x, 0, -t / 2),
    }
end
