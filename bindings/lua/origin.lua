-- origin.lua - what a table rests on goes with it: how far a mesh may put its values off, and what is odd or was assumed in the
-- descriptions. An origin is { error, missed, of, widest, mesh, remarks }: relative, whether it is worse than was asked for, relative to
-- what, the same relative to the largest value however small, all that in words, and a list of texts. What came from no mesh has but remarks.
-- SPDX-License-Identifier: GPL-3.0-or-later
local _, core = ...
local format, max = string.format, math.max

local MOST_REMARKS = 12 -- nobody reads more

-- Where the results that are made now are counted, the innermost place first.
local gathering

-- Until what this gives is closed, all results that are made are gathered in it, and count for what is around it, too:
-- local scope <close> = core.gather().
function core.gather()
    local scope = core.setmetatable({ outer = gathering }, { __close = function(scope)
        gathering = scope.outer
        for _, origin in ipairs(gathering and scope or {}) do
            gathering[#gathering + 1] = origin
        end
    end })
    gathering = scope
    return scope
end

local function add_once(list, text)
    for _, known in ipairs(list) do
        if known == text then
            return
        end
    end
    list[#list + 1] = text
end

local OF_EACH = "the largest value of each reading, or of 5 mT, 5 mV where all are smaller"

-- The worst of several readings in words.
function core.worst_of_mesh(error)
    return format("%.2g %% of ", max(100 * error, 0.01)) .. OF_EACH
end

-- One origin of all in the list.
function core.joined(list)
    local all, words, measures = { remarks = {} }, {}, {}
    for _, origin in ipairs(list) do
        if origin.error then
            all.error = max(all.error or 0, origin.error)
            all.missed = all.missed or origin.missed
            add_once(words, origin.mesh)
            add_once(measures, origin.of or OF_EACH)
        end
        for _, remark in ipairs(origin.remarks) do
            if #all.remarks < MOST_REMARKS then
                add_once(all.remarks, remark)
            end
        end
    end
    if #words > 1 then
        words[1] = all.missed and "WARNING: the mesh error may be more than was asked for, up to " .. core.worst_of_mesh(all.error)
            .. "; give the pickup a wider accuracy or more memory"
            or "mesh error: at most about " .. core.worst_of_mesh(all.error)
    end
    all.mesh, all.of = words[1], #measures > 1 and OF_EACH or measures[1]
    return all
end

-- Says it under the table, with the name of what is meant before it where there are several.
local function say(sheet, origin, name)
    local before = name and name .. ": " or ""
    if origin.mesh then
        add_once(sheet.notes, before .. origin.mesh)
    end
    for _, remark in ipairs(origin.remarks) do
        add_once(sheet.notes, remark)
    end
end

-- The sheet rests on that origin, too.
function core.rest_on(sheet, origin, name)
    say(sheet, origin, name)
    sheet.origin = core.joined({ sheet.origin or { remarks = {} }, origin })
end

-- A result is made.
function core.tell_origin(sheet)
    say(sheet, sheet.origin)
    if gathering then
        gathering[#gathering + 1] = sheet.origin
    end
end

-- A function that gives a table made of readings: it rests on all that are taken meanwhile.
function core.resting(make)
    return function(...)
        local scope <close> = core.gather()
        local t, more = make(...)
        core.rest_on(core.sheet_of(t, "rest_on"), core.joined(scope))
        return t, more
    end
end
