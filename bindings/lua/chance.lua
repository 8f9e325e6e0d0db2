-- chance.lua - what math.random gives at a point of a sweep depends on the point alone: not on the process that computes it, nor
-- on what was drawn before.
-- SPDX-License-Identifier: GPL-3.0-or-later
local _, core = ...
local randomseed = math.randomseed

-- Names the points around this one, a sweep may stand in the build of another, and the script's own seed around them all.
local here = core.hash("1 0")

-- A host that keeps numbers of its own for points puts these in its place: draw from this seed on, and as before again.
core.begin_chance, core.end_chance = randomseed, function() end

-- The script has given a seed outside of all sweeps: another one gives other numbers at each point.
function core.seed_points(text)
    here = core.hash(text)
end

local leaving = { __close = function(place)
    here = place.before
    core.end_chance()
end }

-- For point i of a sweep: hold it in a variable that is closed.
function core.chance_of(i)
    local place = core.setmetatable({ before = here }, leaving)
    here = core.hash(string.format("%d", i), here)
    core.begin_chance(math.tointeger(tonumber("0x" .. here)), 0)
    return place
end
