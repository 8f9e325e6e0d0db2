-- usual.lua - ll.usual: what is usual of the quantities that scripts describe.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...

function ll.usual()
    return core.table({
        title = "what is usual; outside it is odd, below or above never a mistake",
        columns = { "usual", "below_never", "above_never", "asked_for", "source" },
        rows = core.usual_rows(),
    })
end
