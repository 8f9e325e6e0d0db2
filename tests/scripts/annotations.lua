-- Loads the annotations as an editor does and compares their names with the module's; prints every field.
local real = ll
local annotated = require "annotated"
for name, value in pairs(real) do
    assert(type(annotated[name]) == type(value), name)
end
for name in pairs(annotated) do
    assert(pcall(function() return real[name] end), name)
end
for _, row in ipairs(real.fields()) do
    for _, field in ipairs(real.fields(row.noun):column("field")) do
        print(field)
    end
end
