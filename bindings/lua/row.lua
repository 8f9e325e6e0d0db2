-- row.lua - a row of equal parts, one for each string.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...

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
    for i = 1, given.count or 0 do
        local shift = (i - (given.count + 1) / 2) * (given.spacing or 0)
        local name = (given.name or "pole") .. " " .. core.integer(i)
        list[i] = given.part and given.part:with({ name = name, pole = given.part.pole ~= false })
            :moved(shift * dx, shift * dy, 0)
    end
    return list
end
