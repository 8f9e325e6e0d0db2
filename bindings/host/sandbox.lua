-- sandbox.lua - the environment of a script: an allow-list, with caps on what could run away.
-- Gets the host's functions, returns the environment.
-- SPDX-License-Identifier: GPL-3.0-or-later
local host, ll = ...
local error, ipairs, next, select, type, xpcall = error, ipairs, next, select, type, xpcall
local rawequal, rawget, rawset, setmetatable, tonumber, tostring = rawequal, rawget, rawset, setmetatable, tonumber, tostring
local concat, remove, sort, unpack = table.concat, table.remove, table.sort, table.unpack
local find, gsub, rep, sformat = string.find, string.gsub, string.rep, string.format
local metatable_of, fail = host.metatable_of, host.fail

local MOST_BYTES, MOST_ITEMS = 1 << 24, 1000000

local function metafield(value, name)
    local metatable = metatable_of(value)
    return metatable and rawget(metatable, name)
end

-- Once a limit is reached no handler of the script may carry on.
local function guard(fine, ...)
    if not fine and ... == "not enough memory" then
        host.out_of_memory()
    end
    host.raise_if_tripped()
    return fine, ...
end

local function guarded(f)
    return function(...)
        return guard(f(...))
    end
end

-- Addresses differ from run to run, so nothing shows them.
local function plain_tostring(value)
    local kind = type(value)
    if kind == "function" or kind == "thread" or kind == "table" and metafield(value, "__tostring") == nil then
        return kind
    end
    return tostring(value)
end

local env = {
    _VERSION = _VERSION,
    error = error,
    getmetatable = getmetatable,
    pcall = guarded(function(f, ...)
        return xpcall(f, host.core.placed, ...)
    end),
    rawequal = rawequal,
    rawlen = rawlen,
    select = select,
    tonumber = tonumber,
    tostring = plain_tostring,
    type = type,
    ll = ll,
    lodeloom = ll,
    given = host.given,
}
env._G = env

-- A row of results keeps its values elsewhere, so that nothing gets into it unseen.
function env.next(t, key)
    return next(host.core.plain(t), key)
end

function env.rawget(t, key)
    return rawget(host.core.plain(t), key)
end

function env.rawset(t, key, value)
    if rawequal(host.core.plain(t), t) then
        return rawset(t, key, value)
    end
    t[key] = value
    return t
end

-- While a script is only checked, readings are placeholders, and what it asserts about them says nothing.
function env.assert(...)
    local value, message = ...
    if value or host.placeholders_used() then
        return ...
    elseif select("#", ...) < 2 then
        fail("assertion failed")
    elseif type(message) == "string" then
        fail(message)
    end
    error(message, 0)
end

function env.setmetatable(t, metatable)
    if type(metatable) == "table" and rawget(metatable, "__gc") ~= nil then
        fail("setmetatable: scripts cannot have finalisers (__gc)")
    end
    return setmetatable(t, metatable)
end

local order = { number = 1, string = 2, boolean = 3 }

local function before(a, b)
    local ka, kb = type(a), type(b)
    if ka ~= kb then
        return order[ka] < order[kb]
    elseif ka == "boolean" then
        return a and not b
    end
    return a < b
end

-- Keys in a fixed order: numbers, texts, booleans, then the rest as they come.
local function ordered_keys(t)
    local keys, others = {}, {}
    for key in next, t do
        local list = order[type(key)] and keys or others
        list[#list + 1] = key
    end
    sort(keys, before)
    for _, key in ipairs(others) do
        keys[#keys + 1] = key
    end
    return keys
end

-- In a check a list may be unknown: it has no items then.
function env.ipairs(t)
    if host.core.is_unknown(t) then
        return function() end
    end
    return ipairs(t)
end

-- The same script gives the same bytes everywhere, so pairs runs in order.
function env.pairs(t)
    local own = metafield(t, "__pairs")
    if own then
        return own(t)
    elseif type(t) ~= "table" then
        fail("pairs: a table was expected, not a " .. type(t))
    end
    local keys, i = ordered_keys(t), 0
    return function()
        local key, value
        repeat
            i = i + 1
            key = keys[i]
            value = key ~= nil and rawget(t, key)
        until key == nil or value ~= nil
        if key ~= nil then
            return key, value
        end
    end, t, nil
end

function env.print(...)
    local texts = {}
    for i = 1, select("#", ...) do
        texts[i] = plain_tostring((select(i, ...)))
    end
    host.print(concat(texts, "\t") .. "\n")
end

-- Copies the named functions of a library.
local function allowed(library, names)
    local copy = {}
    for name in string.gmatch(names, "%S+") do
        copy[name] = library[name]
    end
    return copy
end

env.coroutine = allowed(coroutine, "create isyieldable running status yield")
env.coroutine.resume = guarded(coroutine.resume)
env.coroutine.close = guarded(coroutine.close)

-- coroutine.wrap in terms of resume, so that a limit passes through it.
do
    local create, resume = coroutine.create, env.coroutine.resume
    local function finish(fine, ...)
        if not fine then
            error((...), 0)
        end
        return ...
    end
    function env.coroutine.wrap(f)
        local thread = create(f)
        return function(...)
            return finish(resume(thread, ...))
        end
    end
end

env.math = allowed(math, [[abs acos asin atan ceil cos deg exp floor fmod huge log max maxinteger min
    mininteger modf pi rad sin sqrt tan tointeger type ult]])

-- Each point of a sweep draws from a source of its own, and the script goes on afterwards as if it had drawn nothing.
local source = math
local sources = {}

function host.core.begin_chance(a, b)
    sources[#sources + 1] = source
    source = host.new_math()
    source.randomseed(a, b)
end

function host.core.end_chance()
    source = remove(sources)
end

function env.math.random(...)
    local random = source.random
    local number = random(...)
    return number
end

-- Never from the clock.
function env.math.randomseed(a, b)
    if type(a) ~= "number" then
        fail("randomseed: a number was expected; results must be the same on every bench")
    end
    b = type(b) == "number" and b or 0
    if #sources == 0 then
        host.core.seed_points(a .. " " .. b)
    end
    return source.randomseed(a, b)
end
math.randomseed(1, 0)

env.utf8 = allowed(utf8, "char charpattern codepoint codes len offset")

local strings = allowed(string, "byte char len lower pack packsize reverse sub unpack upper")
env.string = strings

-- The library takes numbers for texts and texts for numbers, so the caps do as well.
local function length_of(value)
    local kind = type(value)
    return (kind == "string" or kind == "number") and #tostring(value) or 0
end

function strings.rep(text, count, separator)
    if 1.0 * (length_of(text) + length_of(separator)) * (tonumber(count) or 0) > MOST_BYTES then
        fail("rep: the text would be longer than " .. MOST_BYTES .. " bytes")
    end
    return rep(text, count, separator)
end

-- A pattern backtracks with about the power of the text's length that it has open repetitions.
local function check_pattern(text, pattern)
    if type(pattern) == "number" or type(text) ~= "string" or type(pattern) ~= "string" then
        return -- the library says what is wrong
    end
    local _, repetitions = gsub(pattern, "[*+-]", "")
    local _, balances = gsub(pattern, "%%b", "") -- each looks to the end of the text for its partner
    repetitions = repetitions + balances
    local power = repetitions + (find(pattern, "^%^") and 0 or 1)
    if #text > MOST_BYTES or (repetitions > 1 and (#text) ^ power > 1e15) then
        fail("a pattern with " .. repetitions .. " repetitions on a text of " .. #text
            .. " bytes may take for ever; split the text first")
    end
end

for _, name in ipairs({ "find", "gmatch", "gsub", "match" }) do
    local real = string[name]
    strings[name] = function(text, pattern, ...)
        if not (name == "find" and select(2, ...)) then -- a plain find has no pattern
            check_pattern(text, pattern)
        end
        return real(text, pattern, ...)
    end
end

function strings.format(format, ...)
    if type(format) == "string" and find(format, "%%[^%a%%]*p") then
        fail("format: %p shows addresses, which differ from run to run")
    end
    local values = { ... }
    local count = select("#", ...)
    for i = 1, count do
        local kind = type(values[i])
        if kind == "table" or kind == "function" or kind == "thread" or kind == "userdata" then
            values[i] = plain_tostring(values[i])
        end
    end
    return sformat(format, unpack(values, 1, count))
end

-- Methods of texts are the capped functions, for good.
local string_metatable = metatable_of("")
string_metatable.__index = strings
string_metatable.__metatable = "string"

local tables = allowed(table, "pack")
env.table = tables

-- A length that lies would send the library's loops for ever.
local function honest(t, name)
    if type(t) == "table" and metafield(t, "__len") ~= nil then
        fail(name .. ": not for tables with a length of their own (__len)")
    end
end

local function short(name, first, last)
    if 0.0 + (tonumber(last) or 0) - (tonumber(first) or 0) >= MOST_ITEMS then -- whole numbers wrap round
        fail(name .. ": more than " .. MOST_ITEMS .. " items")
    end
end

for _, name in ipairs({ "insert", "remove", "sort" }) do
    local real = table[name]
    tables[name] = function(t, ...)
        honest(t, name)
        return real(t, ...)
    end
end

function tables.concat(t, separator, first, last)
    honest(t, "concat")
    short("concat", first or 1, last or 1)
    return concat(t, separator, first or 1, last or #t)
end

function tables.unpack(t, first, last)
    honest(t, "unpack")
    short("unpack", first or 1, last or 1)
    return unpack(t, first or 1, last or #t)
end

local move = table.move
function tables.move(a, first, last, to, b)
    short("move", first, last)
    return move(a, first, last, to, b)
end

-- require: only what lies in the folder of the script or among the scripts of the program.
local loaded, loading = { lodeloom = ll }, {}

function env.require(name)
    if type(name) ~= "string" or not find(name, "^[a-z][a-z0-9_.]*$") or find(name, "..", 1, true)
        or find(name, "%.$") then
        fail("require: a lower-case name was expected, with dots between folders, as in \"rows.six\"")
    elseif loaded[name] ~= nil then
        return loaded[name]
    elseif loading[name] then
        fail("require: '" .. name .. "' is needed to load itself")
    end
    loading[name] = true
    local chunk = host.load_module(gsub(name, "%.", "/") .. ".lua", env)
        or fail("require: there is no '" .. name .. "' beside the script or among the scripts that came along")
    local value = chunk(name)
    loading[name] = nil
    loaded[name] = value == nil and true or value
    return loaded[name]
end

-- A name that was never given a value is a slip, not a nil.
local GONE = {
    io = "files are read and written by nobody but the program; tables have :save(name)",
    os = "scripts know neither clock nor system, so that they give the same on every bench",
    debug = "it does not exist here", package = "use require", load = "it does not exist here",
    loadstring = "it does not exist here", dofile = "use require", loadfile = "use require",
    xpcall = "use pcall", collectgarbage = "memory takes care of itself", unpack = "it is table.unpack in this Lua",
}

local function is_material(name)
    for _, row in ipairs(host.core.material_rows()) do
        if string.lower(row.name) == string.lower(name) then
            return true
        end
    end
    return false
end

local function cure_for(name)
    if GONE[name] then
        return "; " .. GONE[name]
    elseif is_material(name) then
        return '; a material\'s name stands in quotes, "' .. name .. '"'
    elseif rawget(ll, name) then
        return "; did you mean ll." .. name .. "?"
    end
    local names = host.names_in_sight()
    for key in next, env do
        names[#names + 1] = key
    end
    sort(names)
    local near = host.core.nearest(name, names)
    return near and "; did you mean '" .. near .. "'?"
        or ": give it a value in a line further up, as in local " .. name .. " = ..., or put it in quotes if it is a text"
end

setmetatable(env, {
    __index = host.core.guard(function(_, name)
        fail("there is no '" .. tostring(name) .. "' here" .. cure_for(tostring(name)))
    end),
    __metatable = "environment",
})

return env
