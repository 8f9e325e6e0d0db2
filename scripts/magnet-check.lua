-- Magnets on the bench: what should gauss meter and compass say over each pole, and what does a weak one change?
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Lay the pickup down, away from steel, and touch each pole in turn with the probe. The first table is what a sound
-- pickup reads; the second, what it reads with one magnet gone weak. With readings of your own it judges them:
--
--   lodeloom run magnet-check standoff=1 weak=3 left=60
--   lodeloom run magnet-check read1=1010 read2=925 read3=905 read4=560 read5=-915 read6=1005

local standoff = given.standoff or 0.8  -- mm from the pole's top to the middle of the probe's sensor
local weak = given.weak or 4            -- which magnet is weak, counted from the bass side
local left = given.left or 60           -- per cent of its charge that it still has
local material = given.material or "AlNiCo 5"

local function pickup(charge_of)
    local rods = {}
    for i = 1, 6 do
        rods[i] = ll.rod{ name = "pole " .. i, diameter = 4.8, length = 17, at = { (i - 3.5) * 10.4, 0, -8.5 },
            material = material, north = "+z", charge = charge_of(i) }
    end
    return ll.pickup{ parts = rods, accuracy = 2 } -- per cent, as good as most probes
end

-- A needle's ends are drawn by the opposite pole.
local needle = { N = "south end", S = "north end", weak = "swings little" }

local sound = pickup(function() return 1 end):poles{ standoff = standoff }
local faulty = pickup(function(i) return i == weak and left / 100 or 1 end):poles{ standoff = standoff }

local expected = ll.table{
    title = "A sound pickup, probe " .. standoff .. " mm over the poles",
    columns = { "pole", "bz_gauss", "bz_mt", "shows", "compass" },
    notes = { "bz: upward. compass: the end of the needle that the pole draws.", sound:mesh_error() },
}
for _, row in ipairs(sound) do
    expected:add{ pole = row.pole, bz_gauss = row.bz_gauss, bz_mt = row.bz_mt, shows = row.shows,
        compass = needle[row.shows] }
end
expected:print()

local change = ll.table{
    title = "The same with magnet " .. weak .. " at " .. left .. " % of its charge",
    columns = { "pole", "bz_gauss", "bz_mt", "against_sound_percent" },
    notes = { "A weak magnet shows on its own pole; its neighbours hardly change. Makers and batches differ by 10 % and",
        "more, so compare the poles of one pickup with each other first.", faulty:mesh_error() },
}
for i, row in ipairs(faulty) do
    change:add{ pole = row.pole, bz_gauss = row.bz_gauss, bz_mt = row.bz_mt,
        against_sound_percent = 100 * (row.bz_mt / sound[i].bz_mt - 1) }
end
change:print()

-- Readings of the bench, in gauss, + where a north pole looks up. Each is set beside the sound pickup, then beside the
-- middle one of the six, so that a stronger or weaker grade does not matter, nor which face the maker put up.
local function middle(list)
    local sorted = { table.unpack(list) }
    table.sort(sorted)
    return (sorted[3] + sorted[4]) / 2
end

local function judge(share)
    if share < -0.1 then
        return "upside down"
    elseif share < 0.8 then
        return "weak"
    end
    return share > 1.2 and "strong: another magnet?" or "sound"
end

if given.read1 then
    local shares = {}
    for i = 1, 6 do
        shares[i] = (given["read" .. i] or 0) / sound[i].bz_gauss
    end
    local usual = middle(shares)
    local judged = ll.table{
        title = "Your readings",
        columns = { "pole", "read_gauss", "of_expected_percent", "of_usual_percent", "says" },
        notes = { "of_expected: beside the sound pickup above. of_usual: the same beside the middle one of the six",
            "poles; sound is within a fifth of that.", sound:mesh_error() },
    }
    for i, share in ipairs(shares) do
        judged:add{ pole = sound[i].pole, read_gauss = share * sound[i].bz_gauss, of_expected_percent = 100 * share,
            of_usual_percent = 100 * share / usual, says = judge(share / usual) }
    end
    judged:print()
end
