-- usual.lua - ll.usual: what is usual of the quantities that scripts describe.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...

local new_table = core.declares("ll", "usual", {
    { "usual", "text", "none", "quantity, and where it usually lies" },
    { "below_never", "text", "none", "below this it is a mistake" },
    { "above_never", "text", "none", "above this it is one" },
    { "asked_for", "text", "none", "unit in which it is asked for" },
    { "source", "text", "none", "where the figures are from" },
})

function ll.usual()
    return new_table({
        title = "what is usual; outside it is odd, below or above never a mistake",
        rows = core.usual_rows(),
    })
end
