-- lock.lua - the module tells when it is asked for something that it does not have.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...

core.setmetatable(ll, core.guard({
    __index = function(_, key)
        local names = {}
        for name in next, ll do
            names[#names + 1] = name
        end
        table.sort(names)
        local near = core.nearest(core.tostring(key), names)
        local meant = core.elsewhere(key, "ll") or near and "ll." .. near
        core.fail("there is no ll." .. core.tostring(key) .. (meant and "; did you mean " .. meant .. "?" or ""))
    end,
    __newindex = function(_, key)
        core.fail("ll." .. core.tostring(key) .. ": the module takes no new names; use a local")
    end,
    __metatable = "lodeloom",
}))
