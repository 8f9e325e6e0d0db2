-- ends with 0: require stays in the scripts' folders
for _, name in ipairs({ "..other", "/etc/passwd", "../hostile/bytecode", "Upper", "a..b", "a.", "io", "" }) do
    assert(not pcall(require, name), name)
end
assert(require("lodeloom") == ll)
