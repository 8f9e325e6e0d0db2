-- row.lua - a row of equal parts, one for each string.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...

-- How far an arc of a radius has fallen at x from its crown.
function core.fall(radius, x)
    return radius and (radius > math.abs(x) and radius - math.sqrt(radius ^ 2 - x ^ 2)
        or core.fail(string.format("'radius' %g mm is smaller than half of what it spans (%g mm)", radius, math.abs(x)))) or 0
end

-- Places along a row: those listed, or equal steps about the middle.
function core.places(what, count, spacing, places)
    places = places and core.list(places)
    if places and #places > 0 then
        return #places == count and places or core.fail(string.format("%s: 'places' has %d, and there are %d", what, #places, count))
    end
    local list = {}
    for i = 1, count do
        list[i] = (i - (count + 1) / 2) * (spacing or 0)
    end
    return list
end

-- Of a list that is there and not empty.
function core.length_of(list)
    local length = list and #core.list(list) or 0
    return length > 0 and length or nil
end

local function count_of(given)
    local listed = core.length_of(given.heights) or core.length_of(given.places)
    local count = given.count or listed or core.fail("row: 'count' (how many) is missing")
    if listed and listed ~= count then
        core.fail(string.format("row: 'heights' and 'places' are lists with one value for each of the %d parts, not %d", count, listed))
    end
    return count
end

-- The row's middle is where the part stands; the first is on the bass side when it runs along +x. What stands in a row
-- is a pole, unless the part says otherwise: a row of magnets under the poles has pole = false.
function ll.row(fields)
    local given = core.read("row", fields, "row")
    local along = { x = { 1, 0 }, y = { 0, 1 } }
    local dx, dy = table.unpack(along[given.along or "x"])
    local list = {}
    -- In a check the mistakes of a wrong part are told once, not for each of its copies.
    if core.is_wrong(given.part) then
        return { given.part }
    end
    local count = count_of(given)
    if count > 1 and not given.spacing and not core.length_of(given.places) then
        core.fail("row: 'spacing' (from middle to middle) is missing, or 'places' of them all")
    end
    local places, heights = core.places("row", count, given.spacing, given.places), given.heights and core.list(given.heights)
    for i = 1, count do
        local name = (given.name or "pole") .. " " .. core.integer(i)
        local up = (heights and heights[i] or 0) - core.fall(given.radius, places[i])
        list[i] = given.part and given.part:with({ name = name, pole = given.part.pole ~= false })
            :moved(places[i] * dx, places[i] * dy, up)
    end
    return list
end
