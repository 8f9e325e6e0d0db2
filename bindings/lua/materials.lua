-- materials.lua - the material tables as tables of results.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local type, tostring = core.type, core.tostring

local new_table = core.declares("ll", "materials", {
    { "name", "text", "none", "as it is written in scripts" },
    { "group", "text", "none", "magnet, steel, conductor or string stock" },
    { "remanence_mt", "mT", "none", "flux density at no field" },
    { "coercivity_kam", "kA/m", "none", "field at which the flux density is gone" },
    { "recoil", "", "none", "relative slope of the way back from where it was" },
    { "at_60c_mt", "mT", "none", "remanence at 60 degrees C" },
    { "mu_r", "", "none", "initial relative permeability" },
    { "saturation_t", "T", "none", "polarisation that no field exceeds" },
    { "conductivity_sm", "S/m", "none", "electrical conductivity at 20 degrees C" },
    { "source", "text", "none", "where the figures are from" },
})

local figures = {
    magnet = { "remanence_mt", "coercivity_kam", "recoil", "at_60c_mt", "conductivity_sm" },
    steel = { "mu_r", "saturation_t", "conductivity_sm" },
    conductor = { "conductivity_sm" },
}
figures["string stock"] = figures.steel

local function find_row(rows, name)
    local meant, cure = core.material_meant(name)
    for _, row in ipairs(rows) do
        if row.name == meant then
            return row
        end
    end
    core.fail("there is no material '" .. name .. "'; " .. cure)
end

-- One material: a line for each figure, its source and what sources disagree about under it.
local function sheet_of(row)
    local rows = {}
    for _, key in ipairs({ "group", "remanence_mt", "coercivity_kam", "mu_r", "saturation_t",
        "conductivity_sm", "density_kg_m3", "remanence_per_k" }) do
        if row[key] then
            local value = row[key]
            rows[#rows + 1] = { figure = key, value = type(value) == "number"
                and string.format("%.6g", value) or value }
        end
    end
    local notes = { "source: " .. row.source }
    if row.note ~= "" then
        notes[2] = "note: " .. row.note
    end
    return core.table({ title = row.name, columns = { "figure", "value" }, rows = rows, notes = notes })
end

-- ll.materials([name]): all materials with their main figures and sources, or one with everything.
function ll.materials(name)
    local all, rows = core.material_rows(), {}
    if name ~= nil then
        return sheet_of(find_row(all, type(name) == "string" and name or tostring(name)))
    end
    for i, row in ipairs(all) do
        row.recoil = row.mu_r -- a magnet's is the slope of its recoil line
        row.at_60c_mt = row.remanence_per_k and row.remanence_mt * (1 + 40 * row.remanence_per_k)
        rows[i] = { name = row.name, group = row.group, source = row.source }
        for _, key in ipairs(figures[row.group] or {}) do
            rows[i][key] = row[key]
        end
    end
    return new_table({
        title = "materials",
        rows = rows,
        notes = { "`-`: does not apply, is not known, or the curve itself gives it; ll.materials(name) shows everything",
            "at_60c: remanence at 60 degrees C by its reversible change, where that is known; all else at 20" },
    })
end
