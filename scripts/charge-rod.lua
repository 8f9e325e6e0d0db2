-- Charging a rod: do these two blocks charge it to the full, what do they do to the rod beside it, and how is it knocked back to a reading?
-- Tollgate bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- A vice of wood or brass holds two blocks of a strong magnet; the rod stands between them, in the pickup or out of it.
--
--   lodeloom run charge-rod grade="AlNiCo 2" clearance=1.5
--   lodeloom run charge-rod target=900            knocked back until the probe reads 900 gauss

local grade = given.grade or "AlNiCo 5"
local diameter, length = given.diameter or 4.8, given.length or 17
local block_size = given.block or 20            -- square blocks, this wide
local thick = given.thick or 10                 -- and this thick, along their north
local block_grade = given.magnet or "NdFeB N42"
local clearance = given.clearance or 0.1        -- from each end of the rod to its block
local spacing = given.spacing or 10.4           -- to the next rod
local standoff = given.standoff or 0.5          -- of the probe over the rod
local target = given.target or 1000             -- gauss, after it was knocked back

print([[Before the blocks come out of their box: safety glasses, nobody with a pacemaker or metal in the body in the room, no
cards, watches or disks near, one block in the hand at a time, and never fingers between two. They jump from a hand's breadth
away and splinter. See docs/cautions.md. A charger with capacitors kills: it is for those who are trained and allowed to.
]])

local function rod(name, x)
    return ll.rod{ name = name, diameter = diameter, length = length, at = { x, 0, -length / 2 }, material = grade, north = "+z" }
end
local this, beside = rod("rod", 0), rod("beside", spacing)

-- Two blocks, `gap` from the rod's ends.
local function blocks(name, gap, north, ...)
    local function block(z)
        return ll.block{ size = { block_size, block_size, thick }, at = { 0, 0, z }, material = block_grade, north = north }
    end
    return ll.pickup{ name = name, parts = { block(gap + thick / 2), block(-length - gap - thick / 2), ... } }
end

-- ---- charged out of the pickup, and in it ----
local alone = ll.pickup{ name = "the rod alone", parts = { this } }
local charged = alone:charge{ through = blocks("blocks", clearance, "+z", this), standoff = standoff }
charged:print()

local pair = ll.pickup{ name = "two rods", parts = { this, beside } }
local both = pair:charge{ before = "full", through = blocks("blocks turned", clearance, "-z", this, beside), standoff = standoff }
print("The rod turned round in its pickup: what that does to the charged rod beside it.")
both:print()

-- ---- knocked back: the turned blocks come nearer until the probe reads the target ----
local function knocked(gap)
    local far = blocks("turned, " .. string.format("%.1f mm", gap), gap, "-z", this)
    -- The same blocks from further off, once more: what is stable loses nothing by it.
    local further = blocks("from further off", gap + 5, "-z", this)
    return alone:charge{ before = "full", through = { far, alone, further }, standoff = standoff }
end

local full = charged[#charged].face_gauss
if target < full then
    local near, far = 2, 60
    for _ = 1, 7 do
        local gap = math.sqrt(near * far)
        local left = knocked(gap)
        if left[#left].face_gauss < target then near = gap else far = gap end
    end
    print(string.format("Knocked back to %.0f G or a little more: blocks turned round, %.1f mm from each end.", target, far))
    knocked(far):print()
else
    print(string.format("The target of %.0f G is not below the %.0f G of the charged rod.", target, full))
end
